/* gap_answers.h - gaps between things that must not touch, with what their stated places leave open.
**
** Units    m. Places and nearest points in one frame.
*/
#ifndef SY_ANSWERS_GAP_ANSWERS_H
#define SY_ANSWERS_GAP_ANSWERS_H

#include "../base/vec3.h"
#include "answer_set.h"

/* A thing whose place is stated. Things of one key are one: they go together. */
typedef struct sy_placed {
  uint64_t key;   /* see sy_own_error; the coordinates count up from it */
  sy_vec3 at, sd; /* as stated */
} sy_placed;

/* A gap between the nearest points p of `a` and q of `b` (shop/clearance.h), with the errors of both places along the line between them.
** b NULL: the ground, which is exact. Points that coincide have no such line: then no error is known. */
SY_API sy_found sy_gap_find(double gap, const sy_placed *a, sy_vec3 p, const sy_placed *b, sy_vec3 q);

/* The set "clearances": tightest, the gap of those the car brings that keeps least of what is asked. */
SY_API const sy_answer_set *sy_gap_answers(void);

#endif
