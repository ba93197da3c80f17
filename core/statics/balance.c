#include "statics/balance.h"

#include <string.h>

#include "base/finite.h"
#include "base/units.h"

/* A load, side sum or axle sum: N per unit of (m, m x, m y, m z). */
typedef struct row {
  double c[4];
} row;

static row add_row(row a, double factor, const double c[4]) {
  for (int k = 0; k < 4; k++) a.c[k] += factor * c[k];
  return a;
}

static double apply_row(row a, const double q[4]) { return sy_load_sum(a.c, q); }

/* The share of a wheel's load that counts to the left: 1, 1/2 on the centre line, 0. */
static double leftness(const sy_contact *w) { return 0.5 + 0.5 * w->side; }

/* How much of a wheel's load counts in each row; the right front and left rear wheels make the crossed diagonal. */
static void factors_of(const sy_contact *w, double factor[SY_BALANCE_ROWS]) {
  const bool front = w->axle == 0, crossed = front == (w->side < 0);
  factor[SY_ROW_FRONT] = front;
  factor[SY_ROW_REAR] = !front;
  factor[SY_ROW_LEFT] = leftness(w);
  factor[SY_ROW_RIGHT] = 1.0 - leftness(w);
  factor[SY_ROW_TOTAL] = 1.0;
  factor[SY_ROW_CROSSED] = crossed;
  factor[SY_ROW_UNCROSSED] = !crossed;
}

static void sum_rows(sy_balance *b) {
  memset(b->row, 0, sizeof b->row);
  for (int i = 0; i < b->map.wheel_count; i++) {
    double factor[SY_BALANCE_ROWS];
    factors_of(&b->map.wheel[i], factor);
    for (int r = 0; r < SY_BALANCE_ROWS; r++)
      for (int k = 0; k < 4; k++) b->row[r][k] += factor[r] * b->map.c[i][k];
  }
}

static row stored(const sy_balance *b, int r) {
  return (row){{b->row[r][0], b->row[r][1], b->row[r][2], b->row[r][3]}};
}

static row axle_row(const sy_balance *b, int axle) {
  row r = {{0, 0, 0, 0}};
  for (int i = 0; i < b->map.wheel_count; i++) r = add_row(r, b->map.wheel[i].axle == axle, b->map.c[i]);
  return r;
}

/* Every answer that is linear in the moments. */
static row load_row(const sy_balance *b, sy_answer answer) {
  if (answer >= SY_ANSWER_FRONT && answer <= SY_ANSWER_RIGHT)
    return stored(b, SY_ROW_FRONT + (int)answer - (int)SY_ANSWER_FRONT);
  if (answer >= SY_ANSWER_AXLE && answer < SY_ANSWER_AXLE + SY_MAX_AXLES)
    return axle_row(b, (int)answer - (int)SY_ANSWER_AXLE);
  const int wheel = (int)answer - (int)SY_ANSWER_WHEEL;
  row r = {{0, 0, 0, 0}};
  return wheel >= 0 && wheel < b->map.wheel_count ? add_row(r, 1, b->map.c[wheel]) : r;
}

static sy_sums sum_carriers(const sy_totals *t, unsigned carriers) {
  sy_sums sum = {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  const unsigned both = t->carriers & carriers;
  for (unsigned c = 0; both >> c != 0; c++)
    if (both >> c & 1u) sum = sy_sums_add(&sum, &t->carried[c]);
  return sum;
}

static double mass_of_carriers(const sy_totals *t, unsigned carriers) {
  const unsigned both = t->carriers & carriers;
  double sum = 0;
  for (unsigned c = 0; both >> c != 0; c++)
    if (both >> c & 1u) sum += t->carried[c].m;
  return sum;
}

/* The axle's lever carrier and its two wheel carriers. */
static unsigned axle_carriers(const sy_loadmap *map, int axle) {
  unsigned bits = 1u << (SY_CARRIER_AXLE + axle);
  for (int i = 0; i < map->wheel_count; i++)
    if (map->wheel[i].axle == axle) bits |= 1u << (SY_CARRIER_WHEEL + i);
  return bits;
}

static void centre_values(const sy_sums *s, double *mass_then_xyz) {
  mass_then_xyz[0] = s->m;
  mass_then_xyz[1] = s->m > 0 ? s->first.x / s->m : (double)NAN;
  mass_then_xyz[2] = s->m > 0 ? s->first.y / s->m : (double)NAN;
  mass_then_xyz[3] = s->m > 0 ? s->first.z / s->m : (double)NAN;
}

static void share_values(sy_balance *b, const double q[4]) {
  double *v = b->value;
  const double total = apply_row(stored(b, SY_ROW_TOTAL), q);
  v[SY_ANSWER_FRONT_SHARE] = v[SY_ANSWER_FRONT] / total;
  v[SY_ANSWER_LEFT_SHARE] = v[SY_ANSWER_LEFT] / total;
  if (!b->crossed) return;
  const double cross = apply_row(stored(b, SY_ROW_CROSSED), q),
               other = apply_row(stored(b, SY_ROW_UNCROSSED), q);
  v[SY_ANSWER_CROSS_SHARE] = cross / total;
  v[SY_ANSWER_DIAGONAL_RATIO] = cross / other;
}

static void values(sy_balance *b) {
  double *v = b->value;
  const double q[4] = {b->sums.m, b->sums.first.x, b->sums.first.y, b->sums.first.z};
  for (int k = 0; k < SY_ANSWER_COUNT; k++) v[k] = (double)NAN;
  v[SY_ANSWER_MASS] = b->whole.mass;
  v[SY_ANSWER_CG_X] = b->whole.cg.x;
  v[SY_ANSWER_CG_Y] = b->whole.cg.y;
  v[SY_ANSWER_CG_Z] = b->whole.cg.z;
  for (int k = SY_ANSWER_FRONT; k <= SY_ANSWER_RIGHT; k++) v[k] = apply_row(load_row(b, (sy_answer)k), q);
  for (int i = 0; i < b->axle_count; i++) {
    v[SY_ANSWER_AXLE + i] = apply_row(load_row(b, (sy_answer)(SY_ANSWER_AXLE + i)), q);
    v[SY_ANSWER_UNSPRUNG_AXLE + i] = b->unsprung_axle[i];
  }
  for (int i = 0; i < b->map.wheel_count; i++)
    v[SY_ANSWER_WHEEL + i] =
        apply_row((row){{b->map.c[i][0], b->map.c[i][1], b->map.c[i][2], b->map.c[i][3]}}, q);
  share_values(b, q);
  centre_values(&b->sprung, v + SY_ANSWER_SPRUNG_MASS);
  centre_values(&b->unsprung, v + SY_ANSWER_UNSPRUNG_MASS);
  const sy_sym3 j = b->whole.inertia;
  const double list[6] = {j.xx, j.yy, j.zz, j.xy, j.xz, j.yz};
  memcpy(v + SY_ANSWER_XX, list, sizeof list);
  const double ab = (b->front_x - b->whole.cg.x) * (b->whole.cg.x - b->rear_x);
  if (ab > 0) v[SY_ANSWER_YAW_INDEX] = j.zz / (b->whole.mass * ab);
}

/* What numbers too large leave. A value that is NaN has no meaning for this car, unless what it comes from is not a number. */
static sy_status check_numbers(const sy_balance *b, sy_error *err) {
  const double ends[2] = {b->front_x, b->rear_x};
  sy_status status = sy_finite_results(ends, 2, "vehicle", "x", err);
  if (status == SY_OK)
    status = sy_finite_results(&b->sprung.m, sizeof b->sprung / sizeof(double), "vehicle", "mass", err);
  if (status == SY_OK)
    status = sy_finite_results(&b->unsprung.m, sizeof b->unsprung / sizeof(double), "vehicle", "mass", err);
  return status == SY_OK ? sy_finite_answers(b->value, SY_ANSWER_COUNT, "vehicle", "mass", err) : status;
}

sy_status sy_balance_make(const sy_totals *totals, const sy_vehicle *vehicle, const sy_loadmap *map,
                          sy_balance *out, sy_error *err) {
  if (!(totals->all.m > 0)) return sy_fail(err, SY_MISSING, "vehicle", "mass", "nothing aboard has a mass");
  sy_status status = sy_vehicle_check_counts(vehicle, err);
  if (status == SY_OK)
    status = sy_finite_results(&totals->all.m, sizeof totals->all / sizeof(double), "vehicle", "mass", err);
  if (status != SY_OK) return status;
  sy_balance b;
  b.sums = totals->all;
  b.whole = sy_sums_body(&totals->all);
  b.sprung = sum_carriers(totals, 1u << SY_CARRIER_BODY);
  b.unsprung = sum_carriers(totals, SY_ALL_CARRIERS & ~(1u << SY_CARRIER_BODY));
  b.axle_count = vehicle->axle_count;
  b.front_x = vehicle->axle[0].x;
  b.rear_x = vehicle->axle[vehicle->axle_count - 1].x;
  b.map = *map;
  for (int i = 0; i < SY_MAX_AXLES; i++)
    b.unsprung_axle[i] = i < b.axle_count ? mass_of_carriers(totals, axle_carriers(map, i)) : 0;
  b.crossed = b.axle_count == 2 && vehicle->axle[0].wheels == 2 && vehicle->axle[1].wheels == 2;
  sum_rows(&b);
  values(&b);
  status = check_numbers(&b, err);
  if (status == SY_OK) *out = b;
  return status;
}

/* ---- sensitivities ------------------------------------------------------------------------------------------- */

static sy_sensitivity flat_sensitivity(const double c[4]) {
  return (sy_sensitivity){c[0], {c[1], c[2], c[3]}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
}

/* d(n/d) = (dn - (n/d) dd) / d */
static sy_sensitivity ratio_sensitivity(row n, row d, const double q[4]) {
  const double bottom = apply_row(d, q), ratio = apply_row(n, q) / bottom;
  double c[4];
  for (int k = 0; k < 4; k++) c[k] = (n.c[k] - ratio * d.c[k]) / bottom;
  return flat_sensitivity(c);
}

/* mass (axis 0) or one coordinate of the cg (axis 1..3) of what some carriers carry */
static sy_sensitivity centre_sensitivity(const sy_sums *s, int axis, unsigned carriers) {
  double c[4] = {1, 0, 0, 0};
  if (axis > 0) {
    const double first[4] = {0, s->first.x, s->first.y, s->first.z};
    c[0] = s->m > 0 ? -first[axis] / (s->m * s->m) : 0;
    c[axis] = s->m > 0 ? 1.0 / s->m : 0;
  }
  sy_sensitivity g = flat_sensitivity(c);
  g.carriers = carriers;
  return g;
}

/* J_xx = S_yy + S_zz - (f_y^2 + f_z^2)/m,  J_xy = -(S_xy - f_x f_y/m), and so on */
static sy_sensitivity inertia_sensitivity(const sy_balance *b, sy_answer answer) {
  const double m = b->sums.m;
  const sy_vec3 c = b->whole.cg;
  sy_sensitivity g = flat_sensitivity((double[4]){0, 0, 0, 0});
  g.flat = false;
  switch (answer) {
  case SY_ANSWER_XX:
    g = (sy_sensitivity){
        c.y * c.y + c.z * c.z, {0, -2 * c.y, -2 * c.z}, {0, 1, 1, 0, 0, 0}, SY_ALL_CARRIERS, false};
    break;
  case SY_ANSWER_YY:
    g = (sy_sensitivity){
        c.x * c.x + c.z * c.z, {-2 * c.x, 0, -2 * c.z}, {1, 0, 1, 0, 0, 0}, SY_ALL_CARRIERS, false};
    break;
  case SY_ANSWER_ZZ:
    g = (sy_sensitivity){
        c.x * c.x + c.y * c.y, {-2 * c.x, -2 * c.y, 0}, {1, 1, 0, 0, 0, 0}, SY_ALL_CARRIERS, false};
    break;
  case SY_ANSWER_XY:
    g = (sy_sensitivity){-c.x * c.y, {c.y, c.x, 0}, {0, 0, 0, -0.5, 0, 0}, SY_ALL_CARRIERS, false};
    break;
  case SY_ANSWER_XZ:
    g = (sy_sensitivity){-c.x * c.z, {c.z, 0, c.x}, {0, 0, 0, 0, -0.5, 0}, SY_ALL_CARRIERS, false};
    break;
  default:
    g = (sy_sensitivity){-c.y * c.z, {0, c.z, c.y}, {0, 0, 0, 0, 0, -0.5}, SY_ALL_CARRIERS, false};
    break;
  }
  if (answer != SY_ANSWER_YAW_INDEX) return g;
  /* I_zz / d with d = m a b = (m x_f - f_x)(f_x - m x_r) / m */
  g = inertia_sensitivity(b, SY_ANSWER_ZZ);
  const double before = b->front_x - c.x, behind = c.x - b->rear_x, d = m * before * behind;
  const double index = b->value[SY_ANSWER_YAW_INDEX];
  if (isnan(index)) return flat_sensitivity((double[4]){0, 0, 0, 0});
  g.m = (g.m - index * (b->front_x * behind - b->rear_x * before - before * behind)) / d;
  g.first.x = (g.first.x - index * (before - behind)) / d;
  g.first.y /= d;
  g.second = sy_sym3_scale(1.0 / d, g.second);
  return g;
}

sy_sensitivity sy_balance_sensitivity(const sy_balance *b, sy_answer answer) {
  const double q[4] = {b->sums.m, b->sums.first.x, b->sums.first.y, b->sums.first.z};
  const double none[4] = {0, 0, 0, 0};
  if (answer <= SY_ANSWER_CG_Z) return centre_sensitivity(&b->sums, (int)answer, SY_ALL_CARRIERS);
  if (answer >= SY_ANSWER_SPRUNG_MASS && answer <= SY_ANSWER_SPRUNG_Z)
    return centre_sensitivity(&b->sprung, (int)answer - (int)SY_ANSWER_SPRUNG_MASS, 1u << SY_CARRIER_BODY);
  if (answer >= SY_ANSWER_UNSPRUNG_MASS && answer <= SY_ANSWER_UNSPRUNG_Z)
    return centre_sensitivity(&b->unsprung, (int)answer - (int)SY_ANSWER_UNSPRUNG_MASS,
                              SY_ALL_CARRIERS & ~(1u << SY_CARRIER_BODY));
  if (answer >= SY_ANSWER_XX && answer <= SY_ANSWER_YAW_INDEX) return inertia_sensitivity(b, answer);
  if (answer >= SY_ANSWER_UNSPRUNG_AXLE) {
    const int axle = (int)answer - (int)SY_ANSWER_UNSPRUNG_AXLE;
    if (axle >= b->axle_count) return flat_sensitivity(none);
    return centre_sensitivity(&b->unsprung, 0, axle_carriers(&b->map, axle));
  }
  if (answer == SY_ANSWER_FRONT_SHARE)
    return ratio_sensitivity(stored(b, SY_ROW_FRONT), stored(b, SY_ROW_TOTAL), q);
  if (answer == SY_ANSWER_LEFT_SHARE)
    return ratio_sensitivity(stored(b, SY_ROW_LEFT), stored(b, SY_ROW_TOTAL), q);
  if (answer == SY_ANSWER_CROSS_SHARE || answer == SY_ANSWER_DIAGONAL_RATIO) {
    if (!b->crossed) return flat_sensitivity(none);
    const int bottom = answer == SY_ANSWER_CROSS_SHARE ? SY_ROW_TOTAL : SY_ROW_UNCROSSED;
    return ratio_sensitivity(stored(b, SY_ROW_CROSSED), stored(b, bottom), q);
  }
  return flat_sensitivity(load_row(b, answer).c);
}

/* The row of an answer that is a load or a share of the total; -1: another kind. */
static int row_of(sy_answer answer) {
  if (answer >= SY_ANSWER_FRONT && answer <= SY_ANSWER_RIGHT)
    return SY_ROW_FRONT + (int)answer - (int)SY_ANSWER_FRONT;
  if (answer == SY_ANSWER_FRONT_SHARE) return SY_ROW_FRONT;
  return answer == SY_ANSWER_LEFT_SHARE ? SY_ROW_LEFT : -1;
}

/* A cross weight that is 1 more moves load along the warp (equilibrium.h), as much as the total. Unlike tracks leave a trace of it in the
** sides, axles askew one in the axles. */
double sy_balance_by_cross(const sy_balance *b, sy_answer answer) {
  if (b->map.split != SY_SPLIT_CROSS_SHARE) return 0;
  if (answer == SY_ANSWER_CROSS_SHARE) return 1.0;
  const double total = b->value[SY_ANSWER_FRONT] + b->value[SY_ANSWER_REAR],
               uncrossed = 1.0 - b->value[SY_ANSWER_CROSS_SHARE];
  if (answer == SY_ANSWER_DIAGONAL_RATIO) return 1.0 / (uncrossed * uncrossed);
  const int at = row_of(answer), wheel = (int)answer - (int)SY_ANSWER_WHEEL,
            axle = (int)answer - (int)SY_ANSWER_AXLE;
  double way[4], sum = 0;
  sy_loadmap_warp(&b->map, way);
  if (wheel >= 0 && wheel < 4) return way[wheel] * total;
  if (axle >= 0 && axle < 2) return (way[2 * axle] + way[2 * axle + 1]) * total;
  if (at < 0) return 0;
  for (int i = 0; i < 4; i++) {
    double factor[SY_BALANCE_ROWS];
    factors_of(&b->map.wheel[i], factor);
    sum += factor[at] * way[i];
  }
  return answer == SY_ANSWER_FRONT_SHARE || answer == SY_ANSWER_LEFT_SHARE ? sum : sum * total;
}

static bool is_load(sy_answer answer) {
  return (answer >= SY_ANSWER_FRONT && answer <= SY_ANSWER_DIAGONAL_RATIO) ||
         (answer >= SY_ANSWER_AXLE && answer < SY_ANSWER_UNSPRUNG_AXLE);
}

/* Loads that stand as far off as the wheels went turn the car; so they change as if its moments had changed by as much the other way: where the
** places alone (and a cross weight, which no place is in) fix them. */
bool sy_balance_by_places(const sy_balance *b, sy_answer answer, const sy_balance_ways *ways, double *by) {
  if (answer == SY_ANSWER_YAW_INDEX) { /* I_zz / (m a b) */
    const double before = b->front_x - b->whole.cg.x, behind = b->whole.cg.x - b->rear_x,
                 index = b->value[SY_ANSWER_YAW_INDEX];
    *by = isnan(index) ? 0.0 : index * (ways->rear_x / behind - ways->front_x / before);
    return true;
  }
  if (!is_load(answer)) {
    *by = 0.0;
    return true;
  }
  if (b->map.split == SY_SPLIT_LEAST_NORM) return false;
  sy_vec3 moment = {0, 0, 0}; /* kg m */
  for (int i = 0; i < b->map.wheel_count; i++)
    moment = sy_vec3_muladd(moment, b->value[SY_ANSWER_WHEEL + i] / SY_STANDARD_GRAVITY, ways->wheel[i]);
  const sy_sensitivity g = sy_balance_sensitivity(b, answer);
  *by = -(g.first.x * moment.x + g.first.y * moment.y);
  return true;
}
