/* Which points lie in a tank. */
#include "base/units.h"
#include "mass/tank.h"

#define WALL (1e-3 * SY_MILLIMETRE) /* what a drawing may round a point on the wall by */

/* How much of the view from `at` a triangle takes, positive when it is seen from behind: A. van Oosterom, J. Strackee, The Solid
** Angle of a Plane Triangle, IEEE Transactions on Biomedical Engineering BME-30 (1983) 125-126, equation 8. */
static double solid_angle(const sy_vec3 corner[3], sy_vec3 at) {
  const sy_vec3 a = sy_vec3_sub(corner[0], at), b = sy_vec3_sub(corner[1], at),
                c = sy_vec3_sub(corner[2], at);
  const double la = sy_vec3_length(a), lb = sy_vec3_length(b), lc = sy_vec3_length(c);
  return 2 * atan2(sy_vec3_dot(a, sy_vec3_cross(b, c)),
                   la * lb * lc + sy_vec3_dot(a, b) * lc + sy_vec3_dot(a, c) * lb + sy_vec3_dot(b, c) * la);
}

/* From inside the faces fill the whole view, 4 pi; from outside they cancel. */
static bool inside_mesh(const sy_mesh *mesh, sy_vec3 at) {
  double view = 0;
  for (size_t i = 0; i < sy_mesh_describe(mesh)->triangles; i++) {
    sy_vec3 corner[3];
    sy_mesh_triangle(mesh, i, corner);
    view += solid_angle(corner, at);
  }
  return view > 2 * SY_PI;
}

/* On the wall the view jumps, so it is taken a wall's breadth away, to all eight sides: one of them is inside. */
static bool mesh_holds(const sy_mesh *mesh, sy_vec3 p) {
  if (inside_mesh(mesh, p)) return true;
  for (int side = 0; side < 8; side++) {
    const sy_vec3 step = {side & 1 ? WALL : -WALL, side & 2 ? WALL : -WALL, side & 4 ? WALL : -WALL};
    if (inside_mesh(mesh, sy_vec3_add(p, step))) return true;
  }
  return false;
}

static bool cylinder_holds(const sy_tank *t, sy_vec3 p) {
  const double length = sy_vec3_length(t->axis);
  const double along = sy_vec3_dot(p, t->axis) / length;
  const double across = sy_vec3_length(sy_vec3_cross(p, t->axis)) / length;
  return fabs(along) <= t->length / 2 + WALL && across <= t->diameter / 2 + WALL;
}

static bool ellipsoid_holds(sy_vec3 size, sy_vec3 p) {
  const double x = p.x / (size.x / 2 + WALL), y = p.y / (size.y / 2 + WALL), z = p.z / (size.z / 2 + WALL);
  return x * x + y * y + z * z <= 1;
}

sy_status sy_tank_holds(const sy_tank *tank, sy_vec3 point, bool *out, sy_error *err) {
  double capacity;
  const sy_status status = sy_tank_capacity(tank, &capacity, err); /* for what it refuses */
  if (status != SY_OK) return status;
  if (!sy_vec3_finite(point)) return sy_fail(err, SY_RANGE, "tank", "point", "is not finite");
  switch (tank->kind) {
  case SY_TANK_MESH: *out = mesh_holds(tank->mesh, point); return SY_OK;
  case SY_TANK_CYLINDER: *out = cylinder_holds(tank, point); return SY_OK;
  case SY_TANK_ELLIPSOID: *out = ellipsoid_holds(tank->size, point); return SY_OK;
  case SY_TANK_BOX: break;
  }
  *out = fabs(point.x) <= tank->size.x / 2 + WALL && fabs(point.y) <= tank->size.y / 2 + WALL &&
         fabs(point.z) <= tank->size.z / 2 + WALL;
  return SY_OK;
}
