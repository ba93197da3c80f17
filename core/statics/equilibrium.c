#include "statics/equilibrium.h"

#include <math.h>
#include <stdbool.h>

#include "numeric/linsolve.h"

/* Share of the weight on one wheel: of (1, x_e, y_e), where x_e, y_e is the point the weight acts at on the ground. */
typedef struct share {
  double one, x, y;
} share;

/* Twice the area of a triangle of contacts, > 0 when they follow one another to the left. */
static double area_of(const sy_contact *a, const sy_contact *b, const sy_contact *c) {
  return (b->x - a->x) * (c->y - a->y) - (c->x - a->x) * (b->y - a->y);
}

/* Barycentric coordinates in the triangle of contacts; false when it has no area. */
static bool three_wheels(const sy_contact *w, share *s) {
  const double area = area_of(&w[0], &w[1], &w[2]);
  if (area == 0.0) return false;
  for (int i = 0; i < 3; i++) {
    const sy_contact *j = &w[(i + 1) % 3], *k = &w[(i + 2) % 3];
    s[i] = (share){(j->x * k->y - k->x * j->y) / area, (j->y - k->y) / area, (k->x - j->x) / area};
  }
  return true;
}

/* Do both axles stand square to the centre plane, their wheels equally far from it? */
static bool equal_sides(const sy_contact *w) {
  return w[0].x == w[1].x && w[2].x == w[3].x && w[0].y == -w[1].y && w[2].y == -w[3].y;
}

/* Two and two, at +-t/2 on each axle. Lever rule along x; across, each axle has its half plus and minus a difference d:
**   d_f t_f + d_r t_r = W y_e            (moments about x)
**   d_r - d_f = (cross - 1/2) W          (right front + left rear = cross W) */
static void four_equal_sides(const sy_contact *w, double cross_share, share *s) {
  const double front_x = w[0].x, rear_x = w[2].x;
  const double wheelbase = front_x - rear_x;
  const double tf = w[0].y - w[1].y, tr = w[2].y - w[3].y;
  const double skew = cross_share - 0.5;
  const share front = {-0.5 * rear_x / wheelbase, 0.5 / wheelbase, 0.0};
  const share rear = {0.5 * front_x / wheelbase, -0.5 / wheelbase, 0.0};
  const share df = {-skew * tr / (tf + tr), 0.0, 1.0 / (tf + tr)};
  const share dr = {skew * tf / (tf + tr), 0.0, 1.0 / (tf + tr)};
  s[0] = (share){front.one + df.one, front.x, df.y};
  s[1] = (share){front.one - df.one, front.x, -df.y};
  s[2] = (share){rear.one + dr.one, rear.x, dr.y};
  s[3] = (share){rear.one - dr.one, rear.x, -dr.y};
}

/* A^T (A A^T)^-1 for the rows 1, x, y of A; false when the contacts lie on one line. With a cross weight (else NAN) the right front
** and the left rear of four wheels are a fourth row, which leaves nothing free: the least-norm solution plus as much of the warp as
** makes the cross weight. */
static bool least_norm(const sy_contact *w, int count, double cross_share, share *s) {
  const bool crossed = !isnan(cross_share);
  const size_t rows = crossed ? 4 : 3;
  double a[SY_MAX_WHEELS * 4], diagonal[4], scale[4], work[4];
  size_t order[4];
  for (int i = 0; i < count; i++) {
    double *row = a + rows * (size_t)i;
    row[0] = 1.0;
    row[1] = w[i].x;
    row[2] = w[i].y;
    if (crossed) row[3] = i == 1 || i == 2;
  }
  sy_qr qr = {(size_t)count, rows, a, diagonal, scale, order};
  if (sy_qr_factor(&qr, NULL) != SY_OK) return false;
  double one[SY_MAX_WHEELS], x[SY_MAX_WHEELS], y[SY_MAX_WHEELS];
  sy_qr_least_norm(&qr, (const double[4]){1, 0, 0, cross_share}, one, work);
  sy_qr_least_norm(&qr, (const double[4]){0, 1, 0, 0}, x, work);
  sy_qr_least_norm(&qr, (const double[4]){0, 0, 1, 0}, y, work);
  for (int i = 0; i < count; i++) s[i] = (share){one[i], x[i], y[i]};
  return true;
}

static bool two_and_two(const sy_vehicle *v) {
  return v->axle_count == 2 && v->axle[0].wheels == 2 && v->axle[1].wheels == 2;
}

static sy_status share_out(const sy_vehicle *v, sy_loadmap *map, share *s, sy_error *err) {
  const sy_contact *w = map->wheel;
  bool stands = true;
  map->split = SY_SPLIT_LEAST_NORM;
  if (map->wheel_count == 3) {
    map->split = SY_SPLIT_DETERMINATE;
    stands = three_wheels(w, s);
  } else if (two_and_two(v)) {
    map->split = SY_SPLIT_CROSS_SHARE;
    if (equal_sides(w)) {
      four_equal_sides(w, v->cross_share, s);
    } else if (!least_norm(w, 4, v->cross_share, s)) {
      stands = least_norm(w, 4, (double)NAN, s);
      if (stands)
        return sy_fail(
            err, SY_GEOMETRY, "vehicle", "cross_share",
            "does not fix the loads of wheels that stand like these: their diagonals are parallel");
    }
  } else {
    stands = least_norm(w, map->wheel_count, (double)NAN, s);
  }
  return stands ? SY_OK : sy_fail(err, SY_GEOMETRY, "vehicle", "axles", "have all their wheels on one line");
}

sy_status sy_loadmap_make(const sy_vehicle *vehicle, sy_vec3 gravity, sy_loadmap *out, sy_error *err) {
  sy_status status = sy_vehicle_check(vehicle, err);
  if (status != SY_OK) return status;
  if (!sy_vec3_finite(gravity)) return sy_fail(err, SY_RANGE, "vehicle", "gravity", "is not finite");
  if (!(gravity.z < 0.0))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "gravity", "has z = %g m/s2, does not point into the ground",
                   gravity.z);
  sy_loadmap map = {.wheel_count = 0};
  map.wheel_count = sy_vehicle_contacts(vehicle, map.wheel);
  share s[SY_MAX_WHEELS];
  status = share_out(vehicle, &map, s, err);
  if (status != SY_OK) return status;
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

/* With equal sides t_r of the total to t_f behind goes from left to right in front, written so that what cancels cancels exactly. */
void sy_loadmap_warp(const sy_loadmap *map, double way[4]) {
  const sy_contact *w = map->wheel;
  if (equal_sides(w)) {
    const double tf = w[0].y - w[1].y, tr = w[2].y - w[3].y;
    const double front = tr / (tf + tr), rear = tf / (tf + tr);
    way[0] = -front, way[1] = front, way[2] = rear, way[3] = -rear;
    return;
  }
  const double v[4] = {area_of(&w[1], &w[2], &w[3]), -area_of(&w[0], &w[2], &w[3]),
                       area_of(&w[0], &w[1], &w[3]), -area_of(&w[0], &w[1], &w[2])};
  for (int i = 0; i < 4; i++) way[i] = v[i] / (v[1] + v[2]);
}

void sy_loadmap_apply(const sy_loadmap *map, const double q[4], double load[SY_MAX_WHEELS]) {
  for (int i = 0; i < map->wheel_count; i++) load[i] = sy_load_sum(map->c[i], q);
}
