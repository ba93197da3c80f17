/* steady.h - a car on its springs under a steady force, and the force or angle at which a wheel's load comes to nothing.
**
** Units    SI: kg, m, N, rad. Frame, force and paths as in statics/transfer.h; liquid as in statics/settle.h.
** Set-up   what the car's setting says of bars and downforce counts; pads, perches, preload and the slope of the floor do not: the car is
**          pushed where it stands as set, on level ground.
** Memory   nothing is allocated.
*/
#ifndef SY_ANSWERS_STEADY_H
#define SY_ANSWERS_STEADY_H

#include "car.h"

/* A car ready to be pushed. It points into itself and at the car's tanks and setting: it stays where it was made, as long as the car. */
typedef struct sy_steady {
  sy_corner_model corner; /* of the drawn state */
  sy_totals now;          /* liquid where the ledger books it */
  sy_settle_car car;
} sy_steady;

/* air     with the setting's downforce, or without
** Errors  those of sy_corner_make; what is not finite in `now` or the setting is refused by sy_steady_stand */
SY_API sy_status sy_steady_make(const sy_car *car, const sy_totals *now, const sy_totals *drawn, bool air,
                                sy_steady *out, sy_error *err);

/* lies    what the liquid does to the sums, when that is known; NULL: it is found
** Errors  those of sy_settle_transfer */
SY_API sy_status sy_steady_stand(const sy_steady *steady, const sy_sums *lies, sy_vec3 gravity,
                                 sy_settled_transfer *out, sy_error *err);

/* Where a wheel's load comes to nothing on a path. The load has a kink there, so it is looked at a little before: a thousandth, or less where
** another wheel lifts or a suspension stops in between. */
typedef struct sy_ending {
  double limit;  /* s of the path; NaN: none */
  double before; /* a little less, */
  int wheel;     /* and the wheel whose load is looked at there; -1: none */
  sy_sums lies;  /* where the liquid is then */
  double load;   /* N on that wheel there; NaN without one */
  double fall;   /* by how much it falls per unit of s, N */
} sy_ending;

/* The ending of that limit and wheel, with its load and fall.
** wheel   -1: none, or nothing to be differenced */
SY_API sy_ending sy_ending_make(const sy_steady *steady, const sy_transfer_path *path, double limit,
                                int wheel);

/* The same place of the path for another car, liquid where it was or (`runs`) where it then is: only the load is worked out anew. */
SY_API sy_ending sy_ending_of_other(const sy_ending *ending, const sy_steady *steady,
                                    const sy_transfer_path *path, bool runs);

#endif
