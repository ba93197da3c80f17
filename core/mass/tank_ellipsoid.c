/* An ellipsoid is a unit sphere stretched along its axes: the plane becomes another plane, and moments stretch along. */
#include "base/units.h"
#include "mass/tank_cut.h"

/* p = D q */
static sy_vec3 stretch(sy_vec3 half, sy_vec3 q) {
  return (sy_vec3){half.x * q.x, half.y * q.y, half.z * q.z};
}

/* m axis axis^T + across (1 - axis axis^T), stretched */
static void add_round(sy_sums *s, double along, double across, sy_vec3 axis, sy_vec3 half) {
  tank_add_spread(s, across, (sy_vec3){half.x, 0, 0});
  tank_add_spread(s, across, (sy_vec3){0, half.y, 0});
  tank_add_spread(s, across, (sy_vec3){0, 0, half.z});
  tank_add_spread(s, along - across, stretch(half, axis));
}

/* A sphere of radius 1 below height x - 1 along the axis; moments by integrating its discs, pi (1 - z^2) thick dz. */
tank_cut sy_tank_cut_ellipsoid(const sy_tank *tank, sy_vec3 up, double level) {
  const sy_vec3 half = sy_vec3_scale(0.5, tank->size);
  const double reach = sy_vec3_length(stretch(half, up)), product = half.x * half.y * half.z;
  const sy_vec3 axis = sy_vec3_scale(1 / reach, stretch(half, up));
  const double z = fmax(-1, fmin(1, level / reach)), x = 1 + z, disc = x * (1 - z);
  tank_cut c = {.wet.m = 0};
  c.wet.m = product * SY_PI / 3 * x * x * (3 - x);
  c.wet.first = sy_vec3_scale(-product * SY_PI / 4 * disc * disc, stretch(half, axis));
  const double z3 = z * z * z, z5 = z3 * z * z;
  add_round(&c.wet, product * SY_PI * (z3 / 3 - z5 / 5 + 2.0 / 15),
            product * SY_PI / 4 * (z - 2 * z3 / 3 + z5 / 5 + 8.0 / 15), axis, half);
  /* a disc's area grows by product / reach */
  const double area = product / reach * SY_PI * disc;
  c.open.m = area;
  c.open.first = sy_vec3_scale(area * z, stretch(half, axis));
  add_round(&c.open, area * z * z, area * disc / 4, axis, half);
  return c;
}
