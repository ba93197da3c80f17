/* rigid_push.h - what a steady force does to a vehicle whose springs nobody knows: that which does not depend on them.
**
** Units    SI: kg, m, N; forces per weight in g. Frame ISO 8855:2011, signs as in statics/transfer.h.
** Known    of two axles what braking moves from one to the other, m a h / L; what a turn moves across, m a h / t; with three wheels all
**          loads. The body stays at its drawn height and does not lean; liquid runs in it.
** Unknown  how four wheels or more share it: springs, bars and chassis decide that.
** Source   balance of forces and moments: T. Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 1 (from memory).
*/
#ifndef SY_ANSWERS_RIGID_PUSH_H
#define SY_ANSWERS_RIGID_PUSH_H

#include "stability_answers.h"

typedef struct sy_rigid_push {
  double pitch_gain; /* N onto the first axle, less the downforce there; NaN: more than two axles */
  double
      across; /* N onto the outer wheels of all axles together, at their mean track; NaN without a force sideways */
  double rest[SY_MAX_WHEELS],
      loaded[SY_MAX_WHEELS]; /* N, standing still and then; NaN but with three wheels */
  sy_sums lies;              /* what the liquid does to the sums under the force */
  sy_rigid_turn turn;        /* with a force sideways; along the car only `tips` */
} sy_rigid_push;

/* was     the liquid stays where it was there; NULL: it runs
** Errors  SY_MISSING   no mass;  SY_GEOMETRY  field "downforce": lift leaves the wheels nothing;  field "cg": it tips
**         and those of sy_settle_moved and sy_loadmap_make */
SY_API sy_status sy_rigid_push_make(const sy_car *car, const sy_totals *now, const sy_rigid_push *was,
                                    sy_rigid_push *out, sy_error *err);

#endif
