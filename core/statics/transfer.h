/* transfer.h - the vehicle on its springs under a steady sideways or fore-and-aft force: cornering, braking, a tilt table.
**
** Units    SI: kg, m, N, rad. Frame ISO 8855:2011.
** Force    is a tilted gravity, as in equilibrium.h: a left turn of a_y pulls with {0, -a_y, -g}, braking with {a_x, 0, -g}, a table
**          that leans by an angle A with {0, +-g sin A, -g cos A}; there springs and tyres also unload, and the body rises.
** Sideways the share of the sprung weight on an axle acts at that axle's roll centre and goes past its springs (geometric), the rest
**          through springs, bar and chassis (elastic), unsprung weight at its own height (unsprung). Roll centres count with two
**          axles only; with more, all of the sprung part goes through the springs. A single wheel leans with the body.
** Heights  are those at which body and wheels stand under what presses on them before they are pushed: other loads and downforce
**          make them sink, a table that leans lets them rise. Roll centres keep their height above the ground.
** Lean     the body's weight goes sideways as it rolls: by its height above the roll centre times the roll on the springs, by its height
**          above the ground times the roll on the tyres. corner.h leaves that out; here it is part of the same equations. Where these
**          find no case it is taken by repetition, which converges whenever the vehicle is stable in roll.
** Tyres    that give sideways let what they carry go outward over them: the axle's share of the mass times the pull over their lateral rates
**          (of an axle that states them). That weight's moment is the tyres' alone, and they keep their rates as loads change.
** Fore and aft  goes through the springs, but for what links carry past them (of two axles; vehicle.h): as much of the axle's share of the load
**          transfer m a h / L as is stated, or the axle's brake or drive force times the tangent of the stated angle, which is the part
**          tan(angle) L / h x (the axle's share of that force) of it. Tyres carry all of the transfer either way: wheel loads do not
**          depend on links but through stops and bent springs; pitch and heights do.
** Shares   of the drive force: all on the axle whose links are stated; of the brake force `brake_front_share`. Where neither says it, as the
**          axles are loaded then.
** Contact  as in corner.h: a wheel that lifts carries nothing, a suspension stops at bump and droop.
** Source   W. Milliken, D. Milliken, Race Car Vehicle Dynamics, 1995, ch. 17 (links), 18; T. Gillespie, Fundamentals of Vehicle Dynamics, 1992,
**          ch. 9, quasi-static rollover of a suspended vehicle (both from memory).
*/
#ifndef SY_STATICS_TRANSFER_H
#define SY_STATICS_TRANSFER_H

#include "corner.h"

typedef struct sy_transfer_model {
  sy_corner_model corner;
  sy_totals totals; /* of what is aboard now */
  double lean[2];   /* kg m: sprung mass times drawn height above the roll centre, front and rear half */
  double mass[2], reach[2]; /* sprung, kg and kg m along the vehicle, front and rear half */
  double under
      [SY_MAX_AXLES]; /* kg m: what leans with the tyres of an axle alone: sprung mass times roll centre, unsprung
                                 times its drawn height */
  double geometric[SY_MAX_AXLES], unsprung[SY_MAX_AXLES]; /* kg m, of the paths past the springs */
  double mass_on[SY_MAX_AXLES];   /* kg that stand on an axle, where any axle states a lateral rate */
  double sideways[SY_MAX_AXLES];  /* m per m/s^2 that tyres give sideways; 0 without a lateral rate */
  double downforce[SY_MAX_AXLES]; /* N on the body over each axle, >= 0 or lift */
  bool bars;                      /* connected */
  double
      brake_front_share; /* of the brake force, for angles; sy_transfer_make leaves it NaN: as the axles are loaded */
} sy_transfer_model;

/* corner     of the drawn state; it may be that of `out`, for other sums of the same car. downforce may be NULL
** Errors  SY_MISSING   nothing aboard has a mass
**         SY_RANGE     a downforce, a mass or a moment is not finite
**         SY_GEOMETRY  unstable in roll: the weight above the roll axis takes more moment than springs and tyres give */
SY_API sy_status sy_transfer_make(const sy_corner_model *corner, const sy_totals *now,
                                  const double *downforce, bool bars, sy_transfer_model *out, sy_error *err);

/* Errors  SY_GEOMETRY  it tips; gravity does not point into the ground
**         SY_RANGE     gravity not finite;  SY_LIMIT  as sy_corner_solve, or lean and springs do not settle (not seen) */
SY_API sy_status sy_transfer_solve(const sy_transfer_model *model, sy_vec3 gravity, sy_corner_result *out,
                                   sy_error *err);

/* Rolls that the lean follows, rad, left side up: of the front and rear half of the body, then of each axle's hubs. */
enum { SY_TRANSFER_ROLLS = 2 + SY_MAX_AXLES };

/* The same from a lean near the answer, as that of a car a little different; on success `roll` is the answer's, which is the same but for
** 1e-13 rad. Errors as above, and SY_RANGE  a roll that is not finite; `roll` stays then. */
SY_API sy_status sy_transfer_solve_from(const sy_transfer_model *model, sy_vec3 gravity,
                                        double roll[SY_TRANSFER_ROLLS], sy_corner_result *out, sy_error *err);

/* Standing still, under the part of gravity into the ground alone, and under all of it: what both rest on is worked out once. Both are written or
** neither. Errors as of sy_transfer_solve. */
SY_API sy_status sy_transfer_solve_both(const sy_transfer_model *model, sy_vec3 gravity,
                                        sy_corner_result *rest, sy_corner_result *out, sy_error *err);

/* What links carry there. */
typedef struct sy_transfer_links {
  double part
      [2]; /* of the load that goes onto or off the axle, first and last; NaN without a force along a vehicle of two axles */
  double front_share; /* front part of the brake or drive force, as it counts for angles; likewise */
} sy_transfer_links;

/* Errors  those of sy_transfer_solve before it is pushed */
SY_API sy_status sy_transfer_links_at(const sy_transfer_model *model, sy_vec3 gravity, sy_transfer_links *out,
                                      sy_error *err);
/* Moment, N m towards the left wheels, of what an axle carries that has gone sideways over its tyres under that gravity. */
SY_API double sy_transfer_sideways(const sy_transfer_model *model, sy_vec3 gravity, int axle);

/* Roll of an axle's pair of hubs against the ground, left side up; 0 for a single wheel. */
SY_API double sy_transfer_hub_roll(const sy_transfer_model *model, const sy_corner_result *r, int axle);

/* A force that grows: gravity = fixed + s along; on a table it is turned and not grown: the same divided by sqrt(1 + s^2), so with
** `along` as long as `fixed` s is the tangent of the angle. */
typedef struct sy_transfer_path {
  sy_vec3 fixed, along;
  bool table;
} sy_transfer_path;

SY_API sy_vec3 sy_transfer_gravity(const sy_transfer_path *path, double s);

typedef struct sy_transfer_limit {
  double lift;      /* s at which the first wheel leaves the ground; 0 when it is off from the start */
  int wheel;        /* which */
  double tip;       /* s at which no equilibrium is left: it goes over */
  bool lifts, tips; /* false: not up to s = 40, an angle of 88.6 degrees */
} sy_transfer_limit;

/* Errors  those of sy_transfer_solve at s = 0 */
SY_API sy_status sy_transfer_limits(const sy_transfer_model *model, const sy_transfer_path *path,
                                    sy_transfer_limit *out, sy_error *err);

/* The same for whatever stands under a gravity as sy_transfer_solve passes it: with liquid that runs, say. */
typedef sy_status sy_transfer_stand(void *user, sy_vec3 gravity, sy_corner_result *out, sy_error *err);
SY_API sy_status sy_transfer_limits_of(sy_transfer_stand *stand, void *user, int wheel_count,
                                       const sy_transfer_path *path, sy_transfer_limit *out, sy_error *err);

#endif
