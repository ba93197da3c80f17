/* The empty tank as an even sheet: sums over its surface, with area in the place of mass. */
#include "base/units.h"
#include "mass/tank_cut.h"
#include "numeric/gauss.h"

/* Six rectangles: two by two across each axis. */
static sy_sums box_surface(sy_vec3 size) {
  const double l = size.x, w = size.y, h = size.z;
  const double across_x = 2 * w * h, across_y = 2 * l * h, across_z = 2 * l * w;
  return (sy_sums){.m = across_x + across_y + across_z,
                   .second = {.xx = l * l / 12 * (3 * across_x + across_y + across_z),
                              .yy = w * w / 12 * (across_x + 3 * across_y + across_z),
                              .zz = h * h / 12 * (across_x + across_y + 3 * across_z)}};
}

/* Wall and two ends. */
static sy_sums cylinder_surface(double radius, double length, sy_vec3 axis) {
  const double wall = 2 * SY_PI * radius * length, ends = 2 * SY_PI * radius * radius;
  const double along = length * length * (wall / 12 + ends / 4),
               across = radius * radius * (wall / 2 + ends / 4);
  const sy_vec3 n = sy_vec3_scale(1 / sy_vec3_length(axis), axis);
  sy_sums s = {.m = wall + ends, .second = {.xx = across, .yy = across, .zz = across}};
  tank_add_spread(&s, along - across, n);
  return s;
}

enum { SPOKES = 32 };

/* An eighth of it, which gives all: z = c cos t, x and y on the ring. Even steps round the ring, where everything repeats itself, and
** the Gauss-Legendre rule from the pole to the equator. */
static sy_sums ellipsoid_surface(sy_vec3 size) {
  const double a = size.x / 2, b = size.y / 2, c = size.z / 2;
  sy_sums s = {.m = 0};
  for (int i = 0; i < 2 * SY_GAUSS_PAIRS; i++) {
    const double t = SY_PI / 4 * (1 + (i % 2 == 0 ? 1 : -1) * sy_gauss[i / 2][0]);
    const double sine = sin(t), cosine = cos(t);
    for (int k = 0; k < SPOKES; k++) {
      const double p = SY_PI / 2 * (k + 0.5) / SPOKES, x = cos(p), y = sin(p);
      const double stretch =
          sqrt(a * a * b * b * cosine * cosine + c * c * sine * sine * (b * b * x * x + a * a * y * y));
      const double area = 8 * stretch * sine * (SY_PI / 4 * sy_gauss[i / 2][1]) * (SY_PI / 2 / SPOKES);
      s.m += area;
      s.second.xx += area * (a * sine * x) * (a * sine * x);
      s.second.yy += area * (b * sine * y) * (b * sine * y);
      s.second.zz += area * (c * cosine) * (c * cosine);
    }
  }
  return s;
}

static sy_sums mesh_surface(const sy_mesh *mesh) {
  sy_sums s = {.m = 0};
  for (size_t i = 0; i < sy_mesh_describe(mesh)->triangles; i++) {
    sy_vec3 p[3];
    sy_mesh_triangle(mesh, i, p);
    const double area = 0.5 * sy_vec3_length(sy_vec3_cross(sy_vec3_sub(p[1], p[0]), sy_vec3_sub(p[2], p[0])));
    const sy_vec3 sum = sy_vec3_add(p[0], sy_vec3_add(p[1], p[2]));
    s.m += area;
    s.first = sy_vec3_muladd(s.first, area / 3, sum);
    for (int k = 0; k < 3; k++) tank_add_spread(&s, area / 12, p[k]);
    tank_add_spread(&s, area / 12, sum);
  }
  return s;
}

sy_status sy_tank_shell(const sy_tank *tank, double mass, sy_massprops *out, sy_error *err) {
  double capacity;
  const sy_status status = sy_tank_capacity(tank, &capacity, err); /* for what it refuses */
  if (status != SY_OK) return status;
  if (!(mass >= 0 && isfinite(mass)))
    return sy_fail(err, SY_RANGE, "tank", "mass", "is %g kg, must be >= 0 and finite", mass);
  const sy_sums s = tank->kind == SY_TANK_BOX ? box_surface(tank->size)
                    : tank->kind == SY_TANK_CYLINDER
                        ? cylinder_surface(tank->diameter / 2, tank->length, tank->axis)
                    : tank->kind == SY_TANK_ELLIPSOID ? ellipsoid_surface(tank->size)
                                                      : mesh_surface(tank->mesh);
  const sy_massprops sheet = sy_sums_body(&s);
  *out = (sy_massprops){mass, sheet.cg, sy_sym3_scale(mass / s.m, sheet.inertia)};
  return SY_OK;
}
