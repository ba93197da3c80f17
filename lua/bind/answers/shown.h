/* shown.h - answers of a solved state as fields of a Lua table, in workshop units. */
#ifndef SYL_BIND_ANSWERS_SHOWN_H
#define SYL_BIND_ANSWERS_SHOWN_H

#include <lua.h>

#include "answers/answer_set.h"

/* The number as workshops read it: kg on a scale, mm, degrees, percent, litres. */
double syl_shown_number(sy_unit unit, double value);

/* Sets the set's answers about the car as a whole in the table on top, by their names; nothing for one without meaning.
** state  what the set's `solve` gave */
void syl_set_answers(lua_State *L, const sy_answer_set *set, const void *state);

/* Pushes a table of the standard uncertainties of all the set's answers about the car, by their names; raises what is wrong. */
void syl_push_uncertainties(lua_State *L, const sy_answer_set *set, const sy_car *car, const void *state);

#endif
