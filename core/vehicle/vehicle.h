/* vehicle.h - the wheels a vehicle stands on and what carries its body.
**
** Units  SI: m, N/m, N m/rad. Frame ISO 8855:2011, origin on the ground under the front axle as drawn: an axle that is
**        moved in a study leaves the origin where it was.
** Axles  in order from the front: x falls strictly. A field with no honest default is NaN until stated.
** Wheels are numbered axle by axle, left before right; an axle with one wheel has it at y = 0.
*/
#ifndef SY_VEHICLE_VEHICLE_H
#define SY_VEHICLE_VEHICLE_H

#include "../base/status.h"
#include "../base/vec3.h"

enum { SY_MAX_AXLES = 8, SY_MAX_WHEELS = 16 };

typedef struct sy_axle {
  double x;             /* m; 0 for the front axle as drawn, negative behind it */
  int wheels;           /* 1 or 2 */
  double track;         /* m, between the contact centres; two wheels only */
  double loaded_radius; /* m, wheel centre above ground at design load */
  double tyre_rate;     /* N/m, one tyre, vertical */
  double spring_rate;   /* N/m, one spring */
  double motion_ratio;  /* spring travel / wheel travel, default 1 */
  double bar_rate;      /* N/m at the wheel per metre of left-right travel difference, default 0 */
  double roll_centre;   /* m above ground, default 0 */
  double perch_pitch;   /* m of spring seat a turn */
  double bump, droop;   /* m of wheel travel from the design height */
} sy_axle;

typedef struct sy_vehicle {
  int axle_count;
  sy_axle axle[SY_MAX_AXLES];
  double torsion;     /* N m/rad between front and rear axle; NaN: taken as rigid */
  double cross_share; /* (right front + left rear) / total, default 0.5; used with four wheels only */
} sy_vehicle;

typedef struct sy_wheel {
  int axle; /* index */
  int side; /* +1 left, -1 right, 0 single */
  double x, y;
} sy_wheel;

/* All NaN but the defaults named above; axle_count 0, wheels 2. */
SY_API sy_axle sy_axle_default(void);
SY_API sy_vehicle sy_vehicle_default(void);

/* Errors  SY_MISSING   fewer than two axles, a two-wheel axle without track, no loaded radius
**         SY_RANGE     more than SY_MAX_AXLES, a size or rate <= 0 or not finite, wheels not 1 or 2, cross share
**                      outside 0..1
**         SY_GEOMETRY  an axle is not behind the one before it, fewer than three wheels
** The part in the error is "axle 2 of 3", the field the field's name. */
SY_API sy_status sy_vehicle_check(const sy_vehicle *vehicle, sy_error *err);

/* The wheels in their order; returns their number. `wheels` holds SY_MAX_WHEELS. */
SY_API int sy_vehicle_wheels(const sy_vehicle *vehicle, sy_wheel *wheels);

/* m, distance from first to last axle */
SY_API double sy_vehicle_wheelbase(const sy_vehicle *vehicle);

#endif
