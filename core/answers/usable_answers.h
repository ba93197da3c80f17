/* usable_answers.h - what can be drawn from a tank: its fill less what stays below the pick-up.
**
** Units    SI: m^3, m. Frame of the tank as in mass/tank.h.
*/
#ifndef SY_ANSWERS_USABLE_ANSWERS_H
#define SY_ANSWERS_USABLE_ANSWERS_H

#include "../mass/tank.h"
#include "answer_set.h"

/* A stated coordinate of a pick-up. */
typedef struct sy_pick_up_error {
  uint64_t key; /* see sy_own_error */
  double value, sd;
  sy_vec3 move; /* m, in the tank's frame, by one standard uncertainty */
} sy_pick_up_error;

/* What stays below a pick-up, with the error of each of its coordinates: the level differs by as much, and the tank's sides are not upright.
** part    of the tank's space that holds liquid: less than 1 with foam or baffles
** up      against gravity, in the tank's frame
** Errors  those of sy_tank_below, also beside the pick-up;  SY_LIMIT  more than three coordinates;  SY_RANGE  part below 0, an
**         uncertainty not finite or beyond SY_MOST_ERROR */
SY_API sy_status sy_unusable_find(const sy_tank *tank, double part, sy_vec3 pick_up, sy_vec3 up,
                                  const sy_pick_up_error *error, size_t count, sy_found *out, sy_error *err);

/* fill less unusable, 0 and certain when it holds no more than that. */
SY_API sy_found sy_usable_find(const sy_found *fill, const sy_found *unusable);

/* The set "usable": volume, of the tank that the car brings (car.h). */
SY_API const sy_answer_set *sy_usable_answers(void);

#endif
