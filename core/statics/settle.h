/* settle.h - the vehicle on its springs and the liquid in its tanks, each where the other puts it.
**
** Units    SI: kg, m, N, rad. Frame ISO 8855:2011.
** Booked   the ledger's totals hold each liquid where it stands level as filed. Here it runs to where it stands level in the
**          world: by how the tank lies, by gravity and inertia together, and by pitch and roll of the body. What that does to the
**          totals is `moved`, a sum without mass; all else is the models of corner.h and transfer.h on totals + moved.
** Model    as in tank.h: liquid at rest, no waves. The tank leans with the body where the liquid was booked: by the pitch, and by
**          the roll there of a chassis that twists. First order in the angles, as corner.h. Tanks are carried by the body.
** Energy   the liquid takes the lowest place there is, so by the body's pose its potential changes as if it were frozen: forces
**          taken from where it lies are exact, and what is found is a stationary point of springs, body and liquid together.
**          To first order a tank acts in roll as if its liquid were raised by I / V (K. J. Rawson, E. C. Tupper, Basic Ship
**          Theory, ch. 3, from memory).
** Method   repetition: liquid for the pose, pose for the liquid. Each round leaves of the error before about the ratio of
**          weight x I / V to roll or pitch stiffness, a thousandth for a car's tank; slow ones look ahead (numeric/repeat.h).
** Memory   nothing is allocated; the tanks are the caller's.
*/
#ifndef SY_STATICS_SETTLE_H
#define SY_STATICS_SETTLE_H

#include "../mass/tank.h"
#include "perches.h"
#include "transfer.h"

typedef struct sy_settle_tank {
  sy_tank tank;
  double volume;  /* m^3 of its space that are wet */
  double mass;    /* kg of liquid in it, >= 0 */
  sy_mat3 turn;   /* its directions to the vehicle's, body as drawn; of a mirrored tank a reflection */
  sy_vec3 middle; /* m, where the tank's own origin lies in the vehicle, body as drawn */
  sy_sums booked; /* what the totals hold of the liquid, see sy_settle_book */
} sy_settle_tank;

typedef struct sy_settle_tanks {
  const sy_settle_tank *tank;
  size_t count; /* 0: all answers are those of corner.h and transfer.h, bit for bit */
} sy_settle_tanks;

/* Fills `booked` for a liquid that the totals have at rest with `up` (tank's directions) against gravity.
** Errors  those of sy_tank_liquid, also below */
SY_API sy_status sy_settle_book(sy_settle_tank *tank, sy_vec3 up, sy_error *err);

/* The sums of one liquid under `gravity` in a body of that pose (corner.h; NULL: as drawn).
** Errors  those of sy_tank_liquid;  SY_RANGE  counts of axles or wheels, a result that is not finite; so below */
SY_API sy_status sy_settle_liquid(const sy_settle_tank *tank, const sy_vehicle *vehicle, sy_vec3 gravity,
                                  const double pose[4], sy_sums *out, sy_error *err);

/* What all of them together change in the totals; its mass is 0. */
SY_API sy_status sy_settle_moved(const sy_settle_tanks *tanks, const sy_vehicle *vehicle, sy_vec3 gravity,
                                 const double pose[4], sy_sums *out, sy_error *err);

/* Totals with the liquid moved. The uncertainties stay: the move counts as exact beside those of masses and places. */
SY_API void sy_settle_add(sy_totals *totals, const sy_sums *moved);

typedef struct sy_settled {
  sy_corner_result stand;
  sy_corner_load load; /* what it stands under */
  sy_sums moved;
} sy_settled;

/* As sy_corner_solve for the loads of `now`.
** Errors  also SY_GEOMETRY  liquid and body go on moving each other: it would tip
**         SY_LIMIT  they do not come to rest in SY_REPEAT_MOST rounds (not seen) */
SY_API sy_status sy_settle_corner(const sy_corner_model *model, const sy_totals *now,
                                  const sy_settle_tanks *tanks, sy_vec3 gravity,
                                  const sy_corner_setting *setting, sy_settled *out, sy_error *err);

/* As sy_perches_find; each of the four equilibria has the liquid where it lies there. */
SY_API sy_status sy_settle_perches(const sy_corner_model *model, const sy_totals *now,
                                   const sy_settle_tanks *tanks, sy_vec3 gravity,
                                   const sy_corner_setting *setting, const sy_perch_ask *ask,
                                   sy_perch_answer *out, sy_error *err);

/* What sy_transfer_make takes, and the tanks. */
typedef struct sy_settle_car {
  const sy_corner_model *corner;
  const sy_totals *now;
  const double *downforce; /* may be NULL */
  bool bars;
  sy_settle_tanks tanks;
  double brake_front_share; /* as in sy_transfer_model */
} sy_settle_car;

typedef struct sy_settled_transfer {
  sy_transfer_model model;
  sy_corner_result stand;
  sy_sums moved;
} sy_settled_transfer;

/* As sy_transfer_make and sy_transfer_solve. Errors of both, and of sy_settle_corner. */
SY_API sy_status sy_settle_transfer(const sy_settle_car *car, sy_vec3 gravity, sy_settled_transfer *out,
                                    sy_error *err);

/* The same without its model: where it stands, and what the liquid does to the totals. Both are written or neither. */
SY_API sy_status sy_settle_stand(const sy_settle_car *car, sy_vec3 gravity, sy_corner_result *stand,
                                 sy_sums *moved, sy_error *err);

/* As sy_transfer_limits, the liquid running as the force grows. */
SY_API sy_status sy_settle_limits(const sy_settle_car *car, const sy_transfer_path *path,
                                  sy_transfer_limit *out, sy_error *err);

#endif
