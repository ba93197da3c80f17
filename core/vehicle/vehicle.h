/* vehicle.h - the wheels a vehicle stands on and what carries its body.
**
** Units  SI: m, N/m, N m/rad. Frame ISO 8855:2011, origin on the ground under the front axle as drawn: an axle that is
**        moved in a study leaves the origin where it was.
** Axles  in order from the front: x falls strictly. A field with no honest default is NaN until stated.
** Wheels are numbered axle by axle, left before right. Each has its own place, size and rates, so the two of an axle may differ;
**        a single wheel stands at y = 0 unless it is stated otherwise.
** Trust  functions that answer without a status, here and elsewhere, take a vehicle whose counts sy_vehicle_check_counts accepts.
*/
#ifndef SY_VEHICLE_VEHICLE_H
#define SY_VEHICLE_VEHICLE_H

#include <stdbool.h>

#include "../base/status.h"
#include "../base/vec3.h"
#include "ratio.h"

enum { SY_MAX_AXLES = 8, SY_MAX_WHEELS = 16, SY_WHEEL_NAME = 48 };

/* What the wheels of an axle have in common; NaN until stated. */
typedef struct sy_axle {
  double
      x; /* m, the axle line; 0 for the front axle as drawn, negative behind it. Between its wheels' own x */
  int wheels;          /* 1 or 2 */
  double bar_rate;     /* N/m at the wheel per metre of left-right travel difference, default 0 */
  double roll_centre;  /* m above ground, default 0 */
  double lateral_rate; /* N/m of one tyre sideways; NaN: it does not give that way */
  /* Of the load that goes onto or off the axle under braking and under drive, the part that its links carry past the springs, of a vehicle of
  ** two axles: anti-dive in front, anti-lift behind; anti-squat. Default 0. */
  double brake_links, drive_links;
  /* Where such an angle is stated it says that part instead (transfer.h): rad, in side view, of the line from the contact patch (of inboard
  ** brakes and of drive the wheel centre) to the instant centre; positive holds the body as above. Default NaN. */
  double brake_angle, drive_angle;
} sy_axle;

/* NaN until stated. */
typedef struct sy_wheel {
  double x, y;          /* m, the contact centre */
  double loaded_radius; /* m, wheel centre above ground at design load */
  double tyre_rate;     /* N/m, vertical */
  double spring_rate;   /* N/m */
  double
      motion_ratio; /* spring travel / wheel travel, default 1; with a curve, what its ratios are multiplied by */
  double perch_pitch; /* m of spring seat a turn */
  double bump, droop; /* m of wheel travel from the design height */
  /* Of a bump stop: its rate joins the wheel's beyond the gap. A gap below 0: it is touched at the design height. Both or none. */
  double stop_gap, stop_rate; /* m of wheel travel from the design height, less than bump; N/m at the wheel */
  sy_ratio_curve curve;
} sy_wheel;

typedef struct sy_vehicle {
  int axle_count;
  sy_axle axle[SY_MAX_AXLES];
  sy_wheel wheel[SY_MAX_WHEELS]; /* as many as the axles have, in their order */
  double torsion;                /* N m/rad between front and rear axle; NaN: taken as rigid */
  double cross_share; /* (right front + left rear) / total, default 0.5; used with four wheels only */
} sy_vehicle;

/* Where a wheel stands. */
typedef struct sy_contact {
  int axle; /* index */
  int side; /* +1 left, -1 right, 0 single */
  double x, y;
} sy_contact;

/* All NaN but the defaults named above; axle_count 0, wheels 2. */
SY_API sy_axle sy_axle_default(void);
SY_API sy_wheel sy_wheel_default(void);
SY_API sy_vehicle sy_vehicle_default(void);

/* Appends an axle with equal sides: its wheels are like `wheel` but stand at axle.x, half the track to each side, a single one at y = 0.
** track  m; two wheels only
** One axle more than SY_MAX_AXLES is counted and not stored; that and all else is left to sy_vehicle_check. */
SY_API void sy_vehicle_add_axle(sy_vehicle *vehicle, sy_axle axle, double track, sy_wheel wheel);

/* Errors  SY_MISSING   fewer than two axles, a wheel without place or loaded radius, half a bump stop
**         SY_RANGE     more than SY_MAX_AXLES, a size or rate <= 0 or not finite, wheels not 1 or 2, cross weight
**                      outside 0..1, a bump stop's gap not below bump, an angle of 90 degrees or more; and those of sy_ratio_check
**         SY_GEOMETRY  an axle is not behind the one before it or its line not between its wheels, a left wheel is not left of the
**                      right one, fewer than three wheels
** The part in the error is "axle 2 of 3" or a wheel as sy_vehicle_wheel_name has it, the field the field's name. */
SY_API sy_status sy_vehicle_check(const sy_vehicle *vehicle, sy_error *err);

/* Of all that, the counts of axles and wheels alone: enough for every index to lie in its array.
** Errors  SY_RANGE  no axle or more than SY_MAX_AXLES; an axle without one or two wheels */
SY_API sy_status sy_vehicle_check_counts(const sy_vehicle *vehicle, sy_error *err);

/* The wheels' places in their order; returns their number. `contacts` holds SY_MAX_WHEELS. */
SY_API int sy_vehicle_contacts(const sy_vehicle *vehicle, sy_contact *contacts);

/* Index of an axle's first wheel: its left one, or the only one. */
SY_API int sy_vehicle_first_wheel(const sy_vehicle *vehicle, int axle);

/* "left front wheel", "rear wheel"; with more than two axles "left wheel of axle 2 of 3", "wheel of axle 3 of 3". */
SY_API void sy_vehicle_wheel_name(const sy_vehicle *vehicle, int wheel, char name[SY_WHEEL_NAME]);

/* m, from the right wheel of an axle to its left one; NaN for a single wheel */
SY_API double sy_vehicle_track(const sy_vehicle *vehicle, int axle);

/* The part of what is shared by an axle's two wheels at y = 0 that wheel `side` (+1 left, -1 right) takes by the lever rule: one half with
** equal sides; 1 for a single wheel. */
SY_API double sy_vehicle_lever(const sy_vehicle *vehicle, int axle, int side);

/* m, mean of the loaded radii of an axle's wheels: the height of its middle */
SY_API double sy_vehicle_radius(const sy_vehicle *vehicle, int axle);

/* Has a travel used up the gap of the wheel's bump stop? False without one. */
SY_API bool sy_wheel_on_bump_stop(const sy_wheel *wheel, double travel);

/* m, distance from first to last axle line; NaN without an axle */
SY_API double sy_vehicle_wheelbase(const sy_vehicle *vehicle);

#endif
