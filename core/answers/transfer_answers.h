/* transfer_answers.h - a car under a steady force: what each wheel gains, how body and chassis lean, and the force at which the first
** wheel leaves the ground.
**
** Units    SI: N, rad; shares are fractions; forces per weight in g. Model and signs as in statics/transfer.h.
** Force    the car's `forward` and `left`, and the downforce of its setting; liquid follows it. Gains and angles are against standing still
**          on level ground without air.
** Lift     of the force that grows, sideways when there is any, the other one staying; see sy_pushed.
** Rates    without them only what does not depend on springs is known (rigid_push.h); all else is NaN.
*/
#ifndef SY_ANSWERS_TRANSFER_ANSWERS_H
#define SY_ANSWERS_TRANSFER_ANSWERS_H

#include "answer_set.h"
#include "rigid_push.h"
#include "steady.h"

typedef struct sy_pushed {
  sy_transfer_model model;       /* under the force */
  sy_corner_result rest, loaded; /* standing still, and under it */
  sy_sums rest_lies, loaded_lies;
  double forward, left; /* g */
  sy_ending
      lift; /* of the first wheel that leaves the ground; limit in g, NaN: none does up to 40 g, or it does not stand without the
                     force that grows */
  double tips; /* g at which it goes over; NaN: not up to 40 g */
  bool stands; /* without the force that grows */
  bool sprung; /* rates are stated; if not, `rigid` is all that is known, and the loads with three wheels */
  sy_rigid_push rigid;
} sy_pushed;

/* Errors  those of sy_car_check, sy_corner_make, sy_transfer_make, sy_settle_transfer and sy_rigid_push_make: SY_GEOMETRY of the field "cg" when the force tips
** it;  SY_RANGE  a front share of the brake force outside 0..1 */
SY_API sy_status sy_pushed_make(const sy_car *car, sy_pushed *out, sy_error *err);

/* What goes from an axle's left wheel to its right one, N, by its paths: past the springs at the roll centre, past them from unsprung parts, past them by
** tyres that give sideways,
** and through springs and bar; all NaN for a single wheel, the paths also without rates. */
typedef struct sy_across {
  double total, geometric, unsprung, tyres, elastic;
} sy_across;

SY_API sy_across sy_pushed_across(const sy_pushed *pushed, int axle);

/* How far the body rose over an axle line since standing still, m. */
SY_API double sy_pushed_height(const sy_pushed *pushed, int axle);

/* roll, pitch, twist, front_transfer_share (NaN without a force sideways), pitch_gain (onto the first axle, less the downforce there),
** heights.front and heights.rear (of the body over the first and last axle line, from standing still), first_lift.g; total_transfer, onto the
** outer wheels of all axles, and rigid_lift.g, both of a turn, the latter without rates alone; of each wheel its load and gain.KEY.
** Errors of unsprung parts are taken as the body's: of cars tried at random that is 2 % of the uncertainty of front_transfer_share at most,
** which an axle's own weight goes straight into, and below 0.7 % of any other. */
SY_API const sy_answer_set *sy_transfer_answers(void);

#endif
