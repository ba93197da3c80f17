/* ratio.h - a motion ratio that changes with the travel of the wheel.
**
** Units   m of wheel travel, bump positive; spring travel over wheel travel.
** Curve   linear between its points; beyond the first and the last the ratio stays what it is there.
** Spring  its travel is the integral of the ratio, so a force F of the spring acts at the wheel as ratio x F (virtual work), and the
**         rate at the wheel has a second term: spring rate x ratio^2 + F x the change of the ratio per m.
*/
#ifndef SY_VEHICLE_RATIO_H
#define SY_VEHICLE_RATIO_H

#include "../base/status.h"

enum { SY_MAX_RATIOS = 8 };

/* m: travels that differ by less are one, beyond what rounding leaves of a travel and below what anything can be built to. So a vehicle that
** stands where its curve has a corner has the mean of both sides, and not one of them by the last bit. */
#define SY_TRAVEL_NOTHING 1e-9

typedef struct sy_ratio_curve {
  int count;                    /* of points, 2 or more; 0: no curve */
  double travel[SY_MAX_RATIOS]; /* m from the design height, rising strictly */
  double ratio[SY_MAX_RATIOS];  /* > 0 */
} sy_ratio_curve;

/* Errors  SY_RANGE     one point alone or more than SY_MAX_RATIOS, a ratio not > 0, a number that is not finite
**         SY_GEOMETRY  a travel not above the one before it
** part    of the error; the field is "motion_ratio" */
SY_API sy_status sy_ratio_check(const sy_ratio_curve *curve, const char *part, sy_error *err);

/* Of a curve that passes the check and has points. */
SY_API double sy_ratio_at(const sy_ratio_curve *curve, double travel);

/* Spring travel from wheel travel 0, m. */
SY_API double sy_ratio_spring_travel(const sy_ratio_curve *curve, double travel);

/* Change of the ratio per m of wheel travel: at a point, or within SY_TRAVEL_NOTHING of it, the mean of both sides; `side` -1 or +1 takes one of
** them at the point itself. */
SY_API double sy_ratio_steepness(const sy_ratio_curve *curve, double travel, int side);

#endif
