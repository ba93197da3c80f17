#include "measure/weigh.h"

#include <stdlib.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"
#include "statics/equilibrium.h"

static dice thrown = {733};
static double any(double low, double high) { return dice_between(&thrown, low, high); }
static double normal(void) { /* Box and Muller */
  return sqrt(-2 * log(1 - any(0, 1))) * cos(2 * SY_PI * any(0, 1));
}

static void *memory_for(const sy_weigh *p) {
  void *memory = malloc(sy_weigh_size(p));
  assert_non_null(memory);
  return memory;
}

/* S. Narasimhan & C. Jordache, Data Reconciliation and Gross Error Detection, Gulf 2000, Example 1-1: an exchanger with a bypass. Flows
** 1 = 2 + 3, 2 = 4, 3 = 5, 4 + 5 = 6 are read as 101.91, 64.45, 34.65, 64.20, 36.44, 98.88 with variance 1 and reconciled to 100.22,
** 64.50, 35.72, 64.50, 35.72, 100.22 (half a last digit). It is two loads, each read twice, and twice together. The other figures follow
** from the same least squares: chi-square 6.4075, standardised adjustments 2.0698 and so on, sd 0.57735 = 1 / sqrt 3. */
static void two_loads_and_their_sum_are_reconciled_as_published(void **state) {
  (void)state;
  static const double read[6] = {101.91, 64.45, 34.65, 64.20, 36.44, 98.88};
  static const double adjusted[6] = {2.0698, -0.0612, -1.3105, -0.3674, 0.8818, -1.6412};
  static const unsigned wheels[6] = {3, 1, 2, 1, 2, 3};
  sy_weigh p = {.wheels = 2, .pads = 1, .readings = 6};
  for (int i = 0; i < 6; i++) p.reading[i] = (sy_weigh_reading){wheels[i], 0, 1, read[i], 1};
  void *memory = memory_for(&p);
  sy_weigh_result r;
  assert_int_equal(sy_weigh_solve(&p, memory, &r, NULL), SY_OK);
  assert_near(r.load[0], 64.50, 0.005);
  assert_near(r.load[1], 35.72, 0.005);
  assert_near(r.load[0] + r.load[1], 100.22, 0.005);
  assert_near(r.fit.chi2, 6.4075, 0.00005);
  assert_int_equal(r.fit.dof, 4);
  for (int i = 0; i < 6; i++) assert_near(r.fit.standardised[i], adjusted[i], 0.00005);
  assert_near(sqrt(r.cov[0] + r.cov[3] + 2 * r.cov[1]), 1 / sqrt(3), 1e-12);
  free(memory);
}

/* A car that was turned and whose pads went round: loads, offsets and the floor's slopes as they were put in. */
static sy_weigh turned_and_swapped(const double load[4], const double offset[4], double along,
                                   double across) {
  static const size_t pad[6][4] = {{0, 1, 2, 3}, {1, 0, 3, 2}, {2, 3, 0, 1},
                                   {3, 2, 1, 0}, {0, 1, 2, 3}, {1, 2, 3, 0}};
  static const int facing[6] = {1, 1, 1, -1, -1, 1};
  sy_weigh p = {.wheels = 4, .pads = 4, .readings = 24, .slopes = true};
  for (size_t w = 0; w < 4; w++) p.front[w] = w < 2 ? 1 : -1, p.left[w] = w % 2 == 0 ? 1 : -1;
  for (size_t i = 0; i < 4; i++) p.offset_sd[i] = 0.5;
  for (size_t r = 0; r < 6; r++)
    for (size_t w = 0; w < 4; w++) {
      const double floor_adds = facing[r] * (p.front[w] * along + p.left[w] * across);
      p.reading[4 * r + w] =
          (sy_weigh_reading){1u << w, pad[r][w], facing[r], load[w] + offset[pad[r][w]] + floor_adds, 0.1};
    }
  return p;
}

static void turning_and_swapping_separate_loads_offsets_and_floor(void **state) {
  (void)state;
  static const double load[4] = {151.3, 148.9, 213.7, 219.2}, offset[4] = {0.4, -0.3, 0.2, -0.3};
  const sy_weigh p = turned_and_swapped(load, offset, 0.37, -0.21);
  void *memory = memory_for(&p);
  sy_weigh_result r;
  assert_int_equal(sy_weigh_solve(&p, memory, &r, NULL), SY_OK);
  /* offsets are observed as 0, so what 24 readings at 0.1 show pulls against four of 0.5: a few per cent of 0.5 stays */
  for (int w = 0; w < 4; w++) assert_near(r.load[w], load[w], 0.02);
  for (int i = 0; i < 4; i++) assert_near(r.offset[i], offset[i], 0.02);
  assert_near(r.slope_front, 0.37, 0.02);
  assert_near(r.slope_left, -0.21, 0.02);
  assert_near(r.fit.chi2, (0.16 + 0.09 + 0.04 + 0.09) / 0.25, 0.05);
  free(memory);
}

/* Wheels at unlike places on a floor that slopes both ways, the car turned round once: the loads of the level come back, read without error.
** Source: what scales read is the load map of the leaning gravity. */
static void unlike_wheels_gain_by_their_places(void **state) {
  (void)state;
  static const double place[4][2] = {{0.03, 0.78}, {-0.02, -0.71}, {-2.47, 0.69}, {-2.41, -0.76}};
  const double mass = 733, q[4] = {mass, mass * -1.21, mass * 0.018, mass * 0.44}, g = 9.80665;
  sy_vehicle v = sy_vehicle_default();
  v.axle_count = 2, v.axle[0].x = 0, v.axle[1].x = -2.44;
  for (int i = 0; i < 4; i++)
    v.wheel[i].x = place[i][0], v.wheel[i].y = place[i][1], v.wheel[i].loaded_radius = 0.3;
  double level[SY_MAX_WHEELS], load[SY_MAX_WHEELS];
  sy_loadmap map;
  sy_weigh p = {.wheels = 4, .pads = 1, .readings = 8, .slopes = true};
  assert_int_equal(sy_loadmap_make(&v, (sy_vec3){0, 0, -g}, &map, NULL), SY_OK);
  sy_loadmap_apply(&map, q, level);
  for (int i = 0; i < 4; i++) p.front[i] = map.c[i][1] / map.c[0][1], p.left[i] = map.c[i][2] / map.c[0][2];
  for (int turn = 0; turn < 2; turn++) {
    const int facing = turn == 0 ? 1 : -1;
    assert_int_equal(sy_loadmap_make(&v, (sy_vec3){facing * 0.11, facing * 0.07, -g}, &map, NULL), SY_OK);
    sy_loadmap_apply(&map, q, load);
    for (unsigned w = 0; w < 4; w++)
      p.reading[4 * turn + (int)w] = (sy_weigh_reading){1u << w, 0, facing, load[w] / g, 0.1};
  }
  void *memory = memory_for(&p);
  sy_weigh_result r;
  assert_int_equal(sy_weigh_solve(&p, memory, &r, NULL), SY_OK);
  for (int w = 0; w < 4; w++)
    assert_near(r.load[w], level[w] / g, 1e-10); /* rounding of hundreds of kilograms */
  assert_near(r.fit.chi2, 0, 1e-18);
  p.front[2] = (double)NAN;
  assert_int_equal(sy_weigh_solve(&p, memory, &r, NULL), SY_RANGE);
  free(memory);
}

/* First order against drawn errors, gains and offsets among them: 20 000 draws know a standard deviation to 0.5 %. */
static void uncertainties_are_those_of_drawn_errors(void **state) {
  (void)state;
  enum { DRAWS = 20000 };
  static const double load[4] = {151.3, 148.9, 213.7, 219.2}, none[4] = {0, 0, 0, 0};
  sy_weigh p = turned_and_swapped(load, none, 0.1, 0.05);
  p.gain_sd[0] = p.gain_sd[2] = 0.002, p.ratio_sd = 0.001;
  void *memory = memory_for(&p);
  sy_weigh_result r, one;
  assert_int_equal(sy_weigh_solve(&p, memory, &r, NULL), SY_OK);
  double square[16] = {0};
  for (int d = 0; d < DRAWS; d++) {
    sy_weigh q = p;
    double offset[4], gain[4];
    const double ratio = 1 + 0.001 * normal();
    for (int i = 0; i < 4; i++) offset[i] = 0.5 * normal(), gain[i] = ratio * (1 + p.gain_sd[i] * normal());
    for (size_t i = 0; i < q.readings; i++) {
      const size_t pad = q.reading[i].pad;
      q.reading[i].load = q.reading[i].load * gain[pad] + offset[pad] + 0.1 * normal();
    }
    assert_int_equal(sy_weigh_solve(&q, memory, &one, NULL), SY_OK);
    for (int w = 0; w < 4; w++)
      for (int v = 0; v < 4; v++)
        square[4 * w + v] += (one.load[w] - load[w]) * (one.load[v] - load[v]) / DRAWS;
  }
  for (int i = 0; i < 16; i++)
    assert_near(square[i], r.cov[i], 0.04 * r.cov[5 * (i / 4)]); /* variances: twice 0.5 %, fourfold */
  free(memory);
}

static void refuse(const sy_weigh *p, sy_status status, const char *part) {
  void *memory = memory_for(p);
  sy_error err;
  sy_weigh_result r = {.slope_left = -7};
  assert_int_equal(sy_weigh_solve(p, memory, &r, &err), status);
  assert_string_equal(err.part, part);
  assert_near(r.slope_left, -7, 0);
  free(memory);
}

static void what_settles_no_loads_is_refused(void **state) {
  (void)state;
  static const double load[4] = {151.3, 148.9, 213.7, 219.2}, none[4] = {0, 0, 0, 0};
  const sy_weigh good = turned_and_swapped(load, none, 0, 0);
  sy_weigh p = good;
  p.readings = 0;
  refuse(&p, SY_MISSING, "runs");
  p = good, p.wheels = SY_WEIGH_WHEELS + 1;
  refuse(&p, SY_RANGE, "runs");
  p = good, p.reading[2].pad = 4;
  refuse(&p, SY_RANGE, "reading 3");
  p = good, p.reading[2].wheels = 16;
  refuse(&p, SY_RANGE, "reading 3");
  p = good, p.reading[7].load = (double)NAN;
  refuse(&p, SY_RANGE, "reading 8");
  p = good, p.reading[7].sd = 0;
  refuse(&p, SY_RANGE, "reading 8");
  p = good, p.offset_sd[1] = -1;
  refuse(&p, SY_RANGE, "pads");
  p = good, p.gain_sd[1] = (double)INFINITY;
  refuse(&p, SY_RANGE, "pads");
  p = good, p.ratio_sd = (double)NAN;
  refuse(&p, SY_RANGE, "plank");
  p = good, p.readings = 3, p.slopes = false;
  refuse(&p, SY_GEOMETRY, "runs");
  p = (sy_weigh){.wheels = 2, .pads = 1, .readings = 3};
  for (int i = 0; i < 3; i++) p.reading[i] = (sy_weigh_reading){3, 0, 1, 300, 0.1};
  refuse(&p, SY_GEOMETRY, "runs"); /* only ever together */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(two_loads_and_their_sum_are_reconciled_as_published),
      cmocka_unit_test(turning_and_swapping_separate_loads_offsets_and_floor),
      cmocka_unit_test(unlike_wheels_gain_by_their_places),
      cmocka_unit_test(uncertainties_are_those_of_drawn_errors),
      cmocka_unit_test(what_settles_no_loads_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
