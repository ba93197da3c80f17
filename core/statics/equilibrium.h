/* equilibrium.h - what each wheel carries, as a linear map of the vehicle's mass moments.
**
** Units    SI: kg, m, N. Frame ISO 8855:2011, z = 0 the ground plane.
** Gravity  an argument, in vehicle axes: {0, 0, -9.80665} on level ground. Any steady acceleration or slope is a tilted
**          gravity; normal loads are those of a weight m |g_z| acting where the line of effective gravity through the
**          cg meets the ground: x_e = x - h g_x/g_z, y_e = y - h g_y/g_z. Along-ground reactions are not resolved.
** Loads    normal force on wheel i: F_i = c_i . (m, m x, m y, m z), N. A negative load means the vehicle tips: it is
**          reported, never clipped.
**          three wheels  the three balances alone (exact)
**          four wheels   and (right front + left rear) = cross_share x total, at whatever places the four stand
**          more          the least-norm split A^T (A A^T)^-1 w: equal vertical rates under every wheel
**          Four wheels on one axle layout other than two and two use the least-norm split too.
*/
#ifndef SY_STATICS_EQUILIBRIUM_H
#define SY_STATICS_EQUILIBRIUM_H

#include <float.h>
#include <math.h>

#include "../vehicle/vehicle.h"

typedef enum sy_split { SY_SPLIT_DETERMINATE, SY_SPLIT_CROSS_SHARE, SY_SPLIT_LEAST_NORM } sy_split;

typedef struct sy_loadmap {
  int wheel_count;
  sy_split split;
  sy_contact wheel[SY_MAX_WHEELS];
  double c[SY_MAX_WHEELS][4]; /* N per (kg, kg m, kg m, kg m) */
} sy_loadmap;

/* Errors  SY_GEOMETRY  contacts on one line, gravity not pointing into the ground, four wheels whose loads no cross weight fixes (the
**                      lines from left front to right rear and from right front to left rear are parallel)
**         SY_RANGE     gravity not finite; and those of sy_vehicle_check */
SY_API sy_status sy_loadmap_make(const sy_vehicle *vehicle, sy_vec3 gravity, sy_loadmap *out, sy_error *err);

/* c . q; what rounding leaves of terms that cancel counts as 0, so a cg straight above an axle loads the others by nothing and not by
** a negative load. */
static inline double sy_load_sum(const double c[4], const double q[4]) {
  const double term[4] = {c[0] * q[0], c[1] * q[1], c[2] * q[2], c[3] * q[3]};
  const double sum = term[0] + term[1] + term[2] + term[3];
  const double size = fabs(term[0]) + fabs(term[1]) + fabs(term[2]) + fabs(term[3]);
  return fabs(sum) <= 16.0 * DBL_EPSILON * size
             ? 0.0
             : sum; /* a few roundings of places, moments and shares each */
}

/* The one change of four loads that leaves their sum and both moments as they are, so long that it moves the cross weight by 1 for a
** weight of 1: what a perch or a pad does. By the areas of the triangles of three contacts each: v_i = +-(area of the other three).
** For SY_SPLIT_CROSS_SHARE only. */
SY_API void sy_loadmap_warp(const sy_loadmap *map, double way[4]);

/* load[i] in N for moments q = (m, m x, m y, m z). */
SY_API void sy_loadmap_apply(const sy_loadmap *map, const double q[4], double load[SY_MAX_WHEELS]);

#endif
