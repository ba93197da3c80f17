/* found_set.h - what sets have in common whose answers the car brings along (found.h): their solved state is an array of sy_found, one a row,
** which values and errors are read off.
*/
#ifndef SY_ANSWERS_FOUND_SET_H
#define SY_ANSWERS_FOUND_SET_H

#include "answer_set.h"

/* The `value` of all their rows, and the `found` of their sets. at: which of the array */
double sy_found_value(const void *state, int at);
const sy_found *sy_found_in(const void *state, int at);

#define SY_FOUND_ROW(name, at, unit)                                                                         \
  { name, SY_PER_CAR, at, unit, sy_found_value, NULL, NULL, NULL, NULL }

#endif
