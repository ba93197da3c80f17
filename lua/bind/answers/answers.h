/* answers.h - answers by name, their uncertainties and those of their changes, as Lua lists. */
#ifndef SYL_BIND_ANSWERS_ANSWERS_H
#define SYL_BIND_ANSWERS_ANSWERS_H

#include "bind/vehicle/geometry.h"

/* The answer of the set that a quantity's name means in a file ("cg.x", "front_share", "axle.rear", "lf"), in workshop units and the file's
** axes: scale x answer + offset. geometry: where it lies on the stack, not relative. False when the set has none of that name. */
bool syl_find_answer(lua_State *L, int geometry, const sy_answer_set *set, const char *name, sy_asked *asked,
                     double *offset);

#endif
