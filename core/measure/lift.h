/* lift.h - a vehicle with one axle lifted: tilt from lift, load from tilt, height from load.
**
** Units    m, rad, N/m and so on as SI; loads in kg, what a scale reads (force / gravity).
** Frame    x forward from the front axle, z up from the ground, of the level vehicle. The tilt turns the body nose up;
**          a lifted rear axle has a negative one.
** Loads    wheels roll freely on level pads, so a wheel pushes straight down from its centre. Exact at any tilt, no small
**          angles. The load is of the two wheels together, or of the jack that holds the body in their place.
** Locked   suspension, unless a compliance is given: then wheels move along the body's z, linearly.
** Tyres    bear on the tilt only where it is worked out from a lift: at a known tilt of the body, hubs and body are one piece.
** Source   statics of a rigid body; the set-up of ISO 10392:2011, 6 (axle lift). The exact expression for unequal radii is
**          derived in the source; that many in use get it wrong: Mango, SAE 2004-01-1076, 2004, abstract.
*/
#ifndef SY_MEASURE_LIFT_H
#define SY_MEASURE_LIFT_H

#include <stdbool.h>

#include "../base/status.h"

/* Index of radii, rates and so on, and which end is lifted. */
typedef enum sy_lift_end { SY_LIFT_FRONT, SY_LIFT_REAR } sy_lift_end;

typedef struct sy_lift_car {
  double wheelbase; /* m, > 0 */
  double
      radius[2]; /* m: loaded, level; height of the wheel centres, of an axle's two the mean by their loads */
  double unsprung[2];   /* kg: with the wheels of an axle; counts with a compliance only. Default 0 */
  double compliance[2]; /* m/N: travel of an axle by its load, 0 where locked (default) */
  double tyre[2];       /* m/N: deflection of the two tyres together, default 0 */
  double gravity;       /* m/s^2, default standard; counts with compliance and tyres only */
} sy_lift_car;

/* Where the lifted end is held: under its wheels, or at a point of the body with the wheels hanging. */
typedef struct sy_lift_hold {
  sy_lift_end lifted;
  bool by_body;
  double x, z; /* m, of that point on the level vehicle */
} sy_lift_hold;

/* NaN where nothing honest can be said. */
SY_API sy_lift_car sy_lift_car_default(void);

/* Errors  SY_RANGE     a length or rate is not finite or not > 0 (compliances and masses: >= 0)
**         SY_GEOMETRY  held at the body with a suspension that is not locked, or at a point without a lever */
SY_API sy_status sy_lift_check(const sy_lift_car *car, const sy_lift_hold *hold, sy_error *err);

/* What a lift was read with, for tyres and springs: loads of the axles now and level, kg. */
typedef struct sy_lift_loads {
  double now[2], level[2];
} sy_lift_loads;

/* The tilt of a lift: of the pads of one axle above the other's, or, held at the body, of that point above where it was.
** loads  NULL or ignored with stiff tyres and locked suspension
** rate   d tilt / d lift, rad/m; may be NULL
** Errors  SY_GEOMETRY  a lift that the lever does not allow */
SY_API sy_status sy_lift_tilt(const sy_lift_car *car, const sy_lift_hold *hold, double lift,
                              const sy_lift_loads *loads, double *tilt, double *rate, sy_error *err);

/* The lift of a tilt, for stiff tyres and locked suspension. NAN for a tilt that is not finite or of 90 degrees or more. */
SY_API double sy_lift_of_tilt(const sy_lift_car *car, const sy_lift_hold *hold, double tilt);

/* Height of a body point (x, z) above the ground while the lower axle stands on it, for stiff tyres and locked suspension. NAN as
** above. */
SY_API double sy_lift_point(const sy_lift_car *car, const sy_lift_hold *hold, double x, double z,
                            double tilt);

/* What the body weighs and where. */
typedef struct sy_lift_body {
  double mass;   /* kg */
  double front;  /* kg: load of the front axle, level */
  double height; /* m: of the cg, level */
  double shift;  /* kg m: what liquids have moved at this tilt, sy_lift_liquid; 0 without */
} sy_lift_body;

/* Moment of a liquid's move from `level` to `tilted`, its centroids in body axes (x and z). */
SY_API double sy_lift_liquid(double mass, const double level[2], const double tilted[2], double tilt);

typedef struct sy_lift_load {
  double front;                                 /* kg: on the front axle, or on what holds the body there */
  double by_height, by_front, by_mass, by_tilt; /* its derivatives */
} sy_lift_load;

/* `car` and `hold` as sy_lift_check has them.
** Errors  SY_RANGE     a number of `body` or the tilt is not finite, or the load is not
**         SY_GEOMETRY  no load balances: the lever is gone, or springs so soft that the body falls */
SY_API sy_status sy_lift_front_load(const sy_lift_car *car, const sy_lift_hold *hold,
                                    const sy_lift_body *body, double tilt, sy_lift_load *out, sy_error *err);

/* The height (m) from the load `front` on the front axle; body->height is not read. `out` is written only when SY_OK is returned.
** Errors  SY_RANGE     a load, mass, shift or tilt is not finite
**         SY_GEOMETRY  a level vehicle says nothing of its height: the tilt is 0 */
SY_API sy_status sy_lift_height(const sy_lift_car *car, const sy_lift_hold *hold, const sy_lift_body *body,
                                double tilt, double front, double *out, sy_error *err);

#endif
