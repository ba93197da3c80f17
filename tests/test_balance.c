/* Every answer of a balance against the same car worked out part by part, and every sensitivity against differences of the
** sums.
**
** Wanted  masses, cg and inertia are added over the parts here, with the parallel axes of Meriam, Kraige & Bolton, Engineering
**         Mechanics: Dynamics, App. B, straight to the joint cg and not by way of sums; loads solve the balances of forces
**         and moments (with the stated cross weight, or of least squares) as one small system by elimination.
** Cars    are invented, none symmetric, none with its first axle at x = 0 and a round number.
*/
#include "statics/balance.h"

#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "ledger_tools.h"

enum { MOST_PARTS = 12, MOST_ROWS = 4 };

typedef struct car {
  sy_vehicle vehicle;
  sy_vec3 gravity;
  sy_part part[MOST_PARTS];
  size_t parts;
} car;

/* ---- cars ----------------------------------------------------------------------------------------------------- */

static void put_axle(sy_vehicle *v, double x, int wheels, double track) {
  sy_axle axle = sy_axle_default();
  sy_wheel wheel = sy_wheel_default();
  axle.x = x;
  axle.wheels = wheels;
  wheel.loaded_radius = 0.291;
  sy_vehicle_add_axle(v, axle, track, wheel);
}

/* Carried by the body, by an axle, by a wheel, or in part by both. */
static sy_unsprung unsprung_of(size_t i, const sy_vehicle *v) {
  const uint8_t last = (uint8_t)(SY_CARRIER_AXLE + v->axle_count - 1);
  switch (i % 5) {
  case 1: return (sy_unsprung){.fraction = {1}, .carrier = {SY_CARRIER_AXLE}, .count = 1};
  case 2: return (sy_unsprung){.fraction = {0.37}, .carrier = {last}, .count = 1};
  case 3: return (sy_unsprung){.fraction = {0.41, 0.23}, .carrier = {SY_CARRIER_WHEEL + 1, last}, .count = 2};
  default: return (sy_unsprung){.count = 0};
  }
}

/* Parts anywhere between and a little beyond the axles, more of them on the left. */
static void put_parts(car *c, uint64_t seed) {
  dice d = {seed};
  const double front = c->vehicle.axle[0].x, rear = c->vehicle.axle[c->vehicle.axle_count - 1].x;
  for (c->parts = 0; c->parts < MOST_PARTS; c->parts++) {
    sy_part *p = &c->part[c->parts];
    *p = point(dice_between(&d, 9, 95), dice_between(&d, rear - 0.3, front + 0.2),
               dice_between(&d, -0.4, 0.6), dice_between(&d, 0.1, 0.9));
    p->inertia =
        (sy_sym3){dice_between(&d, 2, 3),      dice_between(&d, 2, 3),      dice_between(&d, 2, 3),
                  dice_between(&d, -0.5, 0.5), dice_between(&d, -0.5, 0.5), dice_between(&d, -0.5, 0.5)};
    p->flags = 0;
    p->unsprung = unsprung_of(c->parts, &c->vehicle);
  }
}

enum { CARS = 7 };

static car car_of(int number) {
  car c = {.gravity = {0, 0, -SY_STANDARD_GRAVITY}};
  sy_vehicle *v = &c.vehicle;
  *v = sy_vehicle_default();
  switch (number) {
  case 0: /* two and two, unequal tracks, not set square */
    put_axle(v, 0.137, 2, 1.43), put_axle(v, -2.29, 2, 1.55);
    v->cross_share = 0.537;
    break;
  case 1: /* the same on a slope that falls to nose and right */
    put_axle(v, 0.137, 2, 1.43), put_axle(v, -2.29, 2, 1.55);
    v->cross_share = 0.481;
    c.gravity = (sy_vec3){0.71, -1.13, -9.68};
    break;
  case 2: put_axle(v, 0.412, 1, 0), put_axle(v, -1.87, 2, 1.37); break;
  case 3: put_axle(v, -0.219, 2, 1.61), put_axle(v, -2.91, 1, 0); break;
  case 4: put_axle(v, 1.093, 2, 1.52), put_axle(v, -0.83, 2, 1.49), put_axle(v, -2.17, 2, 1.66); break;
  case 5: /* five wheels on a slope */
    put_axle(v, 0.713, 1, 0), put_axle(v, -1.23, 2, 1.49), put_axle(v, -2.07, 2, 1.66);
    c.gravity = (sy_vec3){-0.52, 0.83, -9.7};
    break;
  default: /* four wheels that are not two and two */
    put_axle(v, 0.61, 1, 0), put_axle(v, -0.93, 2, 1.57), put_axle(v, -2.33, 1, 0);
    break;
  }
  put_parts(&c, 1001u + (uint64_t)number);
  return c;
}

static sy_totals totals_of_car(const car *c) {
  sy_ledger_builder *b = start_ledger(NULL);
  for (size_t i = 0; i < c->parts; i++) add(b, "part", &c->part[i]);
  sy_ledger *ledger = finish(b);
  const sy_totals t = totals_of(ledger);
  sy_ledger_release(ledger);
  return t;
}

static sy_balance balance_of(const car *c, const sy_totals *t) {
  sy_loadmap map;
  sy_balance b;
  sy_error err;
  must(sy_loadmap_make(&c->vehicle, c->gravity, &map, &err), &err);
  must(sy_balance_make(t, &c->vehicle, &map, &b, &err), &err);
  return b;
}

/* ---- the same, part by part ------------------------------------------------------------------------------------- */

/* The share of a part that the carriers in the mask carry. */
static double share_of(const sy_part *p, unsigned carriers) {
  double share = 0, rest = 1;
  for (int k = 0; k < p->unsprung.count; k++) {
    if (carriers >> p->unsprung.carrier[k] & 1u) share += p->unsprung.fraction[k];
    rest -= p->unsprung.fraction[k];
  }
  return carriers & 1u ? share + rest : share;
}

/* mass, then cg */
static void centre_of(const car *c, unsigned carriers, double out[4]) {
  double sum[4] = {0, 0, 0, 0};
  for (size_t i = 0; i < c->parts; i++) {
    const sy_part *p = &c->part[i];
    const double m = share_of(p, carriers) * p->mass;
    sum[0] += m, sum[1] += m * p->cg.x, sum[2] += m * p->cg.y, sum[3] += m * p->cg.z;
  }
  out[0] = sum[0];
  for (int k = 1; k < 4; k++) out[k] = sum[0] > 0 ? sum[k] / sum[0] : (double)NAN;
}

/* xx yy zz xy xz yz about the joint cg, straight from each part */
static void inertia_of(const car *c, const double cg[3], double out[6]) {
  memset(out, 0, 6 * sizeof *out);
  for (size_t i = 0; i < c->parts; i++) {
    const sy_part *p = &c->part[i];
    const double x = p->cg.x - cg[0], y = p->cg.y - cg[1], z = p->cg.z - cg[2], m = p->mass;
    out[0] += p->inertia.xx + m * (y * y + z * z), out[1] += p->inertia.yy + m * (x * x + z * z);
    out[2] += p->inertia.zz + m * (x * x + y * y), out[3] += p->inertia.xy - m * x * y;
    out[4] += p->inertia.xz - m * x * z, out[5] += p->inertia.yz - m * y * z;
  }
}

/* a (n x n, with its right side in column n) by elimination with the largest pivot */
static void eliminate(double a[MOST_ROWS][MOST_ROWS + 1], int n) {
  for (int k = 0; k < n; k++) {
    int best = k;
    for (int i = k + 1; i < n; i++)
      if (fabs(a[i][k]) > fabs(a[best][k])) best = i;
    for (int j = 0; j <= n; j++) {
      const double kept = a[k][j];
      a[k][j] = a[best][j], a[best][j] = kept;
    }
    for (int i = 0; i < n; i++) {
      const double part = i == k ? 0 : a[i][k] / a[k][k];
      for (int j = k; j <= n; j++) a[i][j] -= part * a[k][j];
    }
  }
  for (int k = 0; k < n; k++) a[k][n] /= a[k][k];
}

typedef struct contact {
  int axle, side;
  double x, y;
} contact;

/* axle by axle, left before right */
static int contacts_of(const sy_vehicle *v, contact *out) {
  int count = 0;
  for (int a = 0; a < v->axle_count; a++)
    for (int w = 0; w < v->axle[a].wheels; w++, count++)
      out[count] = (contact){a,
                             v->axle[a].wheels == 1 ? 0
                             : w == 0               ? 1
                                                    : -1,
                             v->wheel[count].x, v->wheel[count].y};
  return count;
}

/* The smallest loads that balance weight and moments, with the cross weight as one more condition for two and two: of three
** wheels, and of four with it, there is but one solution. F = A^T l, (A A^T) l = w. */
static void loads_of(const car *c, const double centre[4], double *load) {
  contact wheel[SY_MAX_WHEELS];
  const int count = contacts_of(&c->vehicle, wheel);
  const bool two_and_two = c->vehicle.axle_count == 2 && count == 4;
  const int rows = two_and_two ? 4 : 3;
  double row[MOST_ROWS][SY_MAX_WHEELS], a[MOST_ROWS][MOST_ROWS + 1];
  const sy_vec3 g = c->gravity;
  const double weight = centre[0] * -g.z, x = centre[1] - centre[3] * g.x / g.z,
               y = centre[2] - centre[3] * g.y / g.z;
  for (int i = 0; i < count; i++) {
    row[0][i] = 1, row[1][i] = wheel[i].x, row[2][i] = wheel[i].y;
    row[3][i] = wheel[i].axle == 0 ? wheel[i].side < 0 : wheel[i].side > 0;
  }
  const double right[MOST_ROWS] = {weight, weight * x, weight * y, weight * c->vehicle.cross_share};
  for (int i = 0; i < rows; i++) {
    for (int j = 0; j < rows; j++) {
      a[i][j] = 0;
      for (int k = 0; k < count; k++) a[i][j] += row[i][k] * row[j][k];
    }
    a[i][rows] = right[i];
  }
  eliminate(a, rows);
  for (int k = 0; k < count; k++) {
    load[k] = 0;
    for (int i = 0; i < rows; i++) load[k] += row[i][k] * a[i][rows];
  }
}

static void want_loads(const car *c, const double centre[4], double *want) {
  contact wheel[SY_MAX_WHEELS];
  const int count = contacts_of(&c->vehicle, wheel);
  double load[SY_MAX_WHEELS], crossed = 0, uncrossed = 0;
  loads_of(c, centre, load);
  for (int k = SY_ANSWER_FRONT; k <= SY_ANSWER_RIGHT; k++) want[k] = 0;
  for (int a = 0; a < c->vehicle.axle_count; a++) want[SY_ANSWER_AXLE + a] = 0;
  for (int i = 0; i < count; i++) {
    const int side = wheel[i].side;
    want[SY_ANSWER_WHEEL + i] = load[i];
    want[SY_ANSWER_AXLE + wheel[i].axle] += load[i];
    want[wheel[i].axle == 0 ? SY_ANSWER_FRONT : SY_ANSWER_REAR] += load[i];
    want[SY_ANSWER_LEFT] += side > 0 ? load[i] : side == 0 ? load[i] / 2 : 0;
    want[SY_ANSWER_RIGHT] += side < 0 ? load[i] : side == 0 ? load[i] / 2 : 0;
    *((wheel[i].axle == 0) == (side < 0) ? &crossed : &uncrossed) += load[i];
  }
  want[SY_ANSWER_FRONT_SHARE] = want[SY_ANSWER_FRONT] / (want[SY_ANSWER_FRONT] + want[SY_ANSWER_REAR]);
  want[SY_ANSWER_LEFT_SHARE] = want[SY_ANSWER_LEFT] / (want[SY_ANSWER_LEFT] + want[SY_ANSWER_RIGHT]);
  if (c->vehicle.axle_count != 2 || count != 4) return;
  want[SY_ANSWER_CROSS_SHARE] = crossed / (crossed + uncrossed);
  want[SY_ANSWER_DIAGONAL_RATIO] = crossed / uncrossed;
}

/* Every answer; NaN where it has no meaning. */
static void want_of(const car *c, double want[SY_ANSWER_COUNT]) {
  for (int k = 0; k < SY_ANSWER_COUNT; k++) want[k] = (double)NAN;
  centre_of(c, SY_ALL_CARRIERS, want + SY_ANSWER_MASS);
  centre_of(c, 1u, want + SY_ANSWER_SPRUNG_MASS);
  centre_of(c, SY_ALL_CARRIERS & ~1u, want + SY_ANSWER_UNSPRUNG_MASS);
  inertia_of(c, want + SY_ANSWER_CG_X, want + SY_ANSWER_XX);
  want_loads(c, want + SY_ANSWER_MASS, want);
  contact wheel[SY_MAX_WHEELS];
  const int count = contacts_of(&c->vehicle, wheel);
  for (int a = 0; a < c->vehicle.axle_count; a++) {
    unsigned carriers = 1u << (SY_CARRIER_AXLE + a);
    for (int i = 0; i < count; i++)
      if (wheel[i].axle == a) carriers |= 1u << (SY_CARRIER_WHEEL + i);
    double centre[4];
    centre_of(c, carriers, centre);
    want[SY_ANSWER_UNSPRUNG_AXLE + a] = centre[0];
  }
  const double ahead = c->vehicle.axle[0].x - want[SY_ANSWER_CG_X],
               behind = want[SY_ANSWER_CG_X] - c->vehicle.axle[c->vehicle.axle_count - 1].x;
  if (ahead > 0 && behind > 0)
    want[SY_ANSWER_YAW_INDEX] = want[SY_ANSWER_ZZ] / (want[SY_ANSWER_MASS] * ahead * behind);
}

/* ---- values ------------------------------------------------------------------------------------------------------ */

/* A dozen parts: sums of a dozen terms, each rounded to 1e-16 of the largest, then differences of moments some ten times as
** large and an elimination that loses another digit. */
#define ROUNDING 1e-12

static void assert_answers(const car *c) {
  const sy_totals t = totals_of_car(c);
  const sy_balance b = balance_of(c, &t);
  double want[SY_ANSWER_COUNT];
  want_of(c, want);
  for (int k = 0; k < SY_ANSWER_COUNT; k++) {
    if (isnan(want[k]) != isnan(b.value[k])) print_error("answer %d: %g, want %g\n", k, b.value[k], want[k]);
    assert_int_equal(isnan(want[k]), isnan(b.value[k]));
    if (isnan(want[k])) continue;
    const bool load = (k >= SY_ANSWER_FRONT && k <= SY_ANSWER_RIGHT) ||
                      (k >= SY_ANSWER_AXLE && k < SY_ANSWER_UNSPRUNG_AXLE);
    const double size = load ? want[SY_ANSWER_MASS] * 10 : k >= SY_ANSWER_XX && k <= SY_ANSWER_YZ ? 1000 : 1;
    assert_near(b.value[k], want[k], ROUNDING * (size > fabs(want[k]) ? size : fabs(want[k])));
  }
}

static void every_answer_is_that_of_the_parts(void **state) {
  (void)state;
  for (int n = 0; n < CARS; n++) {
    const car c = car_of(n);
    assert_answers(&c);
  }
}

/* A load behind the last axle: no distance between the axles, so no index of it. */
static void yaw_index_is_nothing_with_the_cg_beyond_an_axle(void **state) {
  (void)state;
  car c = car_of(0);
  for (size_t i = 0; i < c.parts; i++) c.part[i].cg.x = -3.1 - 0.1 * (double)i;
  assert_answers(&c);
  const sy_totals t = totals_of_car(&c);
  const sy_balance b = balance_of(&c, &t);
  assert_true(isnan(b.value[SY_ANSWER_YAW_INDEX]));
  assert_true(b.value[SY_ANSWER_FRONT] < 0); /* it tips, and the number says so */
}

static void nothing_sprung_and_nothing_unsprung_have_no_centre(void **state) {
  (void)state;
  for (int sprung = 0; sprung < 2; sprung++) {
    car c = car_of(0);
    for (size_t i = 0; i < c.parts; i++) {
      const sy_unsprung on_axle = {.fraction = {1}, .carrier = {SY_CARRIER_AXLE}, .count = 1},
                        on_body = {.count = 0};
      c.part[i].unsprung = sprung ? on_body : on_axle;
    }
    assert_answers(&c);
    const sy_totals t = totals_of_car(&c);
    const sy_balance b = balance_of(&c, &t);
    const int none = sprung ? SY_ANSWER_UNSPRUNG_MASS : SY_ANSWER_SPRUNG_MASS;
    assert_true(b.value[none] == 0 && isnan(b.value[none + 1]) && isnan(b.value[none + 2]) &&
                isnan(b.value[none + 3]));
  }
}

/* ---- sensitivities ----------------------------------------------------------------------------------------------- */

enum { SUMS = 10 };

/* m, first x y z, second xx yy zz xy xz yz */
static double *sum_at(sy_sums *s, int k) {
  double *const list[SUMS] = {&s->m,         &s->first.x,   &s->first.y,   &s->first.z,   &s->second.xx,
                              &s->second.yy, &s->second.zz, &s->second.xy, &s->second.xz, &s->second.yz};
  return list[k];
}

static double sensitivity_at(const sy_sensitivity *g, int k) {
  const double list[SUMS] = {
      g->m,         g->first.x,   g->first.y,       g->first.z,       g->second.xx,
      g->second.yy, g->second.zz, 2 * g->second.xy, 2 * g->second.xz, 2 * g->second.yz};
  return list[k];
}

/* All answers with sum k of a carrier, and so that of the whole, larger by `by`. */
static void answers_at(const car *c, const sy_totals *t, unsigned carrier, int k, double by, double *value) {
  sy_totals changed = *t;
  *sum_at(&changed.all, k) += by;
  *sum_at(&changed.carried[carrier], k) += by;
  const sy_balance b = balance_of(c, &changed);
  memcpy(value, b.value, sizeof b.value);
}

/* With the sums changed by a thousandth of the mass (times 1 m, 1 m^2) the five-point formula leaves some (1e-3)^4 of the fifth
** derivative, and 1e-16 / 1e-3 of the answer in rounding. Quotients of sums have fifth derivatives up to some thousand times
** themselves where what stands below is a tenth of the whole. */
#define STEP    1e-3
#define ALLOWED 1e-8

static double five_points(const double *f) { return (8 * (f[2] - f[1]) - (f[3] - f[0])) / 12; }

static int compared; /* sensitivities that were not zero: the loop below must not pass for want of any */

static void assert_sensitivities_to(const car *c, const sy_totals *t, const sy_balance *b, unsigned carrier,
                                    int k) {
  const double step = STEP * t->all.m;
  double value[4][SY_ANSWER_COUNT];
  const double at[4] = {-2, -1, 1, 2};
  for (int i = 0; i < 4; i++) answers_at(c, t, carrier, k, at[i] * step, value[i]);
  for (int answer = 0; answer < SY_ANSWER_COUNT; answer++) {
    const sy_sensitivity g = sy_balance_sensitivity(b, (sy_answer)answer);
    const double got = g.carriers >> carrier & 1u ? sensitivity_at(&g, k) : 0;
    if (isnan(b->value[answer])) {
      assert_true(got == 0);
      continue;
    }
    const double points[4] = {value[0][answer], value[1][answer], value[2][answer], value[3][answer]};
    const double want = five_points(points) / step;
    const double size = fabs(b->value[answer]) > 1 ? fabs(b->value[answer]) : 1;
    if (!(fabs(got - want) <= ALLOWED * size / t->all.m))
      print_error("answer %d by sum %d of carrier %u\n", answer, k, carrier);
    assert_near(got, want, ALLOWED * size / t->all.m);
    if (g.flat) assert_true(k < 4 || got == 0);
    compared += got != 0;
  }
}

static void every_sensitivity_is_the_difference_by_each_sum_of_each_carrier(void **state) {
  (void)state;
  compared = 0;
  for (int n = 0; n < CARS; n++) {
    const car c = car_of(n);
    const sy_totals t = totals_of_car(&c);
    const sy_balance b = balance_of(&c, &t);
    for (unsigned carrier = 0; carrier < SY_CARRIER_COUNT; carrier++)
      if (t.carriers >> carrier & 1u)
        for (int k = 0; k < SUMS; k++) assert_sensitivities_to(&c, &t, &b, carrier, k);
  }
  assert_true(compared > 1000);
}

/* The cross weight the vehicle is set to is not a sum: its difference is taken by setting it otherwise. */
static void every_answer_follows_the_cross_weight_as_its_difference_says(void **state) {
  (void)state;
  for (int n = 0; n < CARS; n++) {
    const car c = car_of(n);
    const sy_totals t = totals_of_car(&c);
    const sy_balance b = balance_of(&c, &t);
    double value[4][SY_ANSWER_COUNT];
    const double at[4] = {-2, -1, 1, 2};
    for (int i = 0; i < 4; i++) {
      car other = c;
      other.vehicle.cross_share += at[i] * STEP;
      const sy_balance moved = balance_of(&other, &t);
      memcpy(value[i], moved.value, sizeof moved.value);
    }
    for (int answer = 0; answer < SY_ANSWER_COUNT; answer++) {
      const double got = sy_balance_by_cross(&b, (sy_answer)answer);
      const double points[4] = {value[0][answer], value[1][answer], value[2][answer], value[3][answer]};
      if (isnan(b.value[answer]))
        assert_true(got == 0);
      else
        assert_near(got, five_points(points) / STEP, ALLOWED * (fabs(b.value[answer]) + 1));
    }
  }
}

static void answers_without_meaning_have_no_sensitivity(void **state) {
  (void)state;
  car c = car_of(0);
  for (size_t i = 0; i < c.parts; i++) {
    c.part[i].cg.x = -3.1;
    c.part[i].unsprung = (sy_unsprung){.count = 0};
  }
  const sy_totals t = totals_of_car(&c);
  const sy_balance b = balance_of(&c, &t);
  const sy_answer none[] = {SY_ANSWER_YAW_INDEX,        SY_ANSWER_UNSPRUNG_X, SY_ANSWER_UNSPRUNG_Y,
                            SY_ANSWER_UNSPRUNG_Z,       SY_ANSWER_AXLE + 2,   SY_ANSWER_WHEEL + 4,
                            SY_ANSWER_UNSPRUNG_AXLE + 2};
  for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
    assert_true(isnan(b.value[none[i]]));
    const sy_sensitivity g = sy_balance_sensitivity(&b, none[i]);
    for (int k = 0; k < SUMS; k++) assert_true(sensitivity_at(&g, k) == 0);
  }
}

static void nothing_aboard_is_refused_and_leaves_the_answer_alone(void **state) {
  (void)state;
  const car c = car_of(0);
  sy_loadmap map;
  assert_int_equal(sy_loadmap_make(&c.vehicle, c.gravity, &map, NULL), SY_OK);
  const double bad[] = {0, -1, (double)NAN};
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    sy_totals t = totals_of_car(&c);
    t.all.m = bad[i];
    sy_balance b, before;
    memset(&b, 0x5a, sizeof b);
    memcpy(&before, &b, sizeof b);
    sy_error err;
    assert_int_equal(sy_balance_make(&t, &c.vehicle, &map, &b, &err), SY_MISSING);
    assert_string_equal(err.field, "mass");
    assert_memory_equal(&b, &before, sizeof b);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_answer_is_that_of_the_parts),
      cmocka_unit_test(yaw_index_is_nothing_with_the_cg_beyond_an_axle),
      cmocka_unit_test(nothing_sprung_and_nothing_unsprung_have_no_centre),
      cmocka_unit_test(every_sensitivity_is_the_difference_by_each_sum_of_each_carrier),
      cmocka_unit_test(every_answer_follows_the_cross_weight_as_its_difference_says),
      cmocka_unit_test(answers_without_meaning_have_no_sensitivity),
      cmocka_unit_test(nothing_aboard_is_refused_and_leaves_the_answer_alone),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
