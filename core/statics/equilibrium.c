#include "statics/equilibrium.h"

#include <math.h>
#include <stdbool.h>

#include "numeric/linsolve.h"

/* Share of the weight on one wheel: of (1, x_e, y_e), where x_e, y_e is the point the weight acts at on the ground. */
typedef struct share {
  double one, x, y;
} share;

/* Barycentric coordinates in the triangle of contacts; false when it has no area. */
static bool three_wheels(const sy_contact *w, share *s) {
  const double area = (w[1].x - w[0].x) * (w[2].y - w[0].y) - (w[2].x - w[0].x) * (w[1].y - w[0].y);
  if (area == 0.0) return false;
  for (int i = 0; i < 3; i++) {
    const sy_contact *j = &w[(i + 1) % 3], *k = &w[(i + 2) % 3];
    s[i] = (share){(j->x * k->y - k->x * j->y) / area, (j->y - k->y) / area, (k->x - j->x) / area};
  }
  return true;
}

/* Two and two, at +-t/2 on each axle. Lever rule along x; across, each axle has its half plus and minus a difference d:
**   d_f t_f + d_r t_r = W y_e            (moments about x)
**   d_r - d_f = (cross - 1/2) W          (right front + left rear = cross W) */
static void four_wheels(const sy_vehicle *v, share *s) {
  const double front_x = v->axle[0].x, rear_x = v->axle[1].x;
  const double wheelbase = front_x - rear_x;
  const double tf = sy_vehicle_track(v, 0), tr = sy_vehicle_track(v, 1);
  const double skew = v->cross_share - 0.5;
  const share front = {-0.5 * rear_x / wheelbase, 0.5 / wheelbase, 0.0};
  const share rear = {0.5 * front_x / wheelbase, -0.5 / wheelbase, 0.0};
  const share df = {-skew * tr / (tf + tr), 0.0, 1.0 / (tf + tr)};
  const share dr = {skew * tf / (tf + tr), 0.0, 1.0 / (tf + tr)};
  s[0] = (share){front.one + df.one, front.x, df.y};
  s[1] = (share){front.one - df.one, front.x, -df.y};
  s[2] = (share){rear.one + dr.one, rear.x, dr.y};
  s[3] = (share){rear.one - dr.one, rear.x, -dr.y};
}

/* A^T (A A^T)^-1 for the rows 1, x, y of A; false when the contacts lie on one line. */
static bool least_norm(const sy_contact *w, int count, share *s) {
  double a[SY_MAX_WHEELS * 3], diagonal[3], scale[3], work[3];
  size_t order[3];
  for (int i = 0; i < count; i++) {
    a[3 * i] = 1.0;
    a[3 * i + 1] = w[i].x;
    a[3 * i + 2] = w[i].y;
  }
  sy_qr qr = {(size_t)count, 3, a, diagonal, scale, order};
  if (sy_qr_factor(&qr, NULL) != SY_OK) return false;
  double one[SY_MAX_WHEELS], x[SY_MAX_WHEELS], y[SY_MAX_WHEELS];
  sy_qr_least_norm(&qr, (const double[3]){1, 0, 0}, one, work);
  sy_qr_least_norm(&qr, (const double[3]){0, 1, 0}, x, work);
  sy_qr_least_norm(&qr, (const double[3]){0, 0, 1}, y, work);
  for (int i = 0; i < count; i++) s[i] = (share){one[i], x[i], y[i]};
  return true;
}

static bool two_and_two(const sy_vehicle *v) {
  return v->axle_count == 2 && v->axle[0].wheels == 2 && v->axle[1].wheels == 2;
}

sy_status sy_loadmap_make(const sy_vehicle *vehicle, sy_vec3 gravity, sy_loadmap *out, sy_error *err) {
  const sy_status status = sy_vehicle_check(vehicle, err);
  if (status != SY_OK) return status;
  if (!sy_vec3_finite(gravity)) return sy_fail(err, SY_RANGE, "vehicle", "gravity", "is not finite");
  if (!(gravity.z < 0.0))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "gravity", "has z = %g m/s2, does not point into the ground",
                   gravity.z);
  sy_loadmap map = {.split = SY_SPLIT_LEAST_NORM};
  map.wheel_count = sy_vehicle_contacts(vehicle, map.wheel);
  share s[SY_MAX_WHEELS];
  bool stands = true;
  if (map.wheel_count == 3) {
    map.split = SY_SPLIT_DETERMINATE;
    stands = three_wheels(map.wheel, s);
  } else if (two_and_two(vehicle)) {
    map.split = SY_SPLIT_CROSS_SHARE;
    four_wheels(vehicle, s);
  } else {
    stands = least_norm(map.wheel, map.wheel_count, s);
  }
  if (!stands) return sy_fail(err, SY_GEOMETRY, "vehicle", "axles", "have all their wheels on one line");
  const double g = -gravity.z;
  for (int i = 0; i < map.wheel_count; i++) { /* m x_e = m x - m z g_x / g_z, likewise y */
    map.c[i][0] = g * s[i].one;
    map.c[i][1] = g * s[i].x;
    map.c[i][2] = g * s[i].y;
    map.c[i][3] = gravity.x * s[i].x + gravity.y * s[i].y;
  }
  *out = map;
  return SY_OK;
}

void sy_loadmap_apply(const sy_loadmap *map, const double q[4], double load[SY_MAX_WHEELS]) {
  for (int i = 0; i < map->wheel_count; i++) load[i] = sy_load_sum(map->c[i], q);
}
