/* corner_answers.h - what each wheel carries on its springs, and where the body stands, as two sets of answers.
**
** corners   loads of wheels, N: front rear left right and the wheels' keys; mass, kg, what scales under all wheels read together;
**           front_share left_share cross_share diagonal_ratio as in statics/balance.h.
** attitude  heights.front, heights.rear: the body at the first and last axle line from its drawn height, up, m; rake = rear less front;
**           pitch (nose up), roll (left side up, the mean of front and rear), twist (front less rear), rad; height: of the cg above the
**           floor, m, with body, wheels and liquid where they stand. Heights, rake and pitch count what the body was raised by.
** Closed    sensitivities to the sums, to pads and to perches (statics/corner.h), but for the height, which is differenced. Exact while no
**           wheel lifts, lands or meets a stop. Unsprung parts whose errors are not the same in both states are taken as sprung, and on
**           a floor that slopes as if roll centres were on the ground.
** Errors    of their solve: those of sy_stand_solve.
*/
#ifndef SY_ANSWERS_CORNER_ANSWERS_H
#define SY_ANSWERS_CORNER_ANSWERS_H

#include "answer_set.h"

/* What follows from the wheels' loads alone. */
enum {
  SY_LOAD_FRONT, /* N */
  SY_LOAD_REAR,
  SY_LOAD_LEFT,
  SY_LOAD_RIGHT,
  SY_LOAD_MASS, /* kg */
  SY_LOAD_FRONT_SHARE,
  SY_LOAD_LEFT_SHARE,
  SY_LOAD_CROSS_SHARE,
  SY_LOAD_DIAGONAL_RATIO,
  SY_LOAD_WHEEL /* + wheel index, N */
};

/* One of them, NaN where it has no meaning; and what one N on each wheel does to it. */
SY_API double sy_load_answer(const sy_loadmap *map, const double load[SY_MAX_WHEELS], int answer,
                             double by[SY_MAX_WHEELS]);

SY_API const sy_answer_set *sy_corner_answers(void);
SY_API const sy_answer_set *sy_attitude_answers(void);

#endif
