/* Shafts, gaps and what can be drawn from a tank as answers: their uncertainties, and those of changes between two cars. */
#include <float.h>
#include <math.h>
#include <string.h>

#include "answers/gap_answers.h"
#include "answers/sets.h"
#include "answers/shaft_answers.h"
#include "answers/usable_answers.h"
#include "base/units.h"
#include "ledger_tools.h"
#include "near.h"

static const double MM = SY_MILLIMETRE;

/* ---- a car that brings them ---------------------------------------------------------------------------------------------------- */

static sy_car some_car(const sy_ledger *ledger) {
  sy_vehicle v = sy_vehicle_default();
  sy_car car;
  sy_error err;
  for (int a = 0; a < 2; a++) {
    sy_axle axle = sy_axle_default();
    sy_wheel wheel = sy_wheel_default();
    axle.x = -2.4 * a, wheel.loaded_radius = 0.3;
    sy_vehicle_add_axle(&v, axle, 1.4, wheel);
  }
  must(sy_car_make(ledger, NULL, &v, &car, &err), &err);
  return car;
}

static sy_ledger *some_ledger(void) {
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_part tub = point(600, -1.2, 0, 0.4);
  add(b, "tub", &tub);
  return finish(b);
}

/* ---- shafts -------------------------------------------------------------------------------------------------------------------- */

enum { COORDINATES = 6 };

typedef struct stated_shaft {
  sy_shaft shaft;
  sy_joint_error error[COORDINATES];
} stated_shaft;

static const char *const coordinate[COORDINATES] = {"left inner x", "left inner y", "left inner z",
                                                    "left outer x", "left outer y", "left outer z"};

/* A half shaft of a driven wheel, 12 and 26 mm off the straight line, each coordinate known to some tenths of a millimetre. */
static void make_shaft(stated_shaft *s) {
  memset(s, 0, sizeof *s);
  s->shaft = (sy_shaft){.inner = {{-2.388, 0.187, 0.331}, {0.02, 1, 0.01}},
                        .outer = {{-2.400, 0.641, 0.305}, {0, 1, 0.03}},
                        .path = {.kind = SY_PATH_VERTICAL},
                        .droop = 0.071,
                        .bump = 0.058,
                        .error = s->error,
                        .error_count = COORDINATES};
  for (int k = 0; k < COORDINATES; k++) {
    const sy_vec3 at = k < 3 ? s->shaft.inner.at : s->shaft.outer.at;
    const double place[3] = {at.x, at.y, at.z}, sd = (0.4 + 0.1 * k) * MM;
    s->error[k] = (sy_joint_error){sy_error_key(coordinate[k]),
                                   place[k % 3],
                                   sd,
                                   k / 3,
                                   {k % 3 == 0 ? sd : 0, k % 3 == 1 ? sd : 0, k % 3 == 2 ? sd : 0}};
  }
}

static sy_shaft_found find(const sy_shaft *s) {
  sy_shaft_found f;
  sy_error err;
  must(sy_shaft_find(s, &f, NULL, &err), &err);
  return f;
}

/* Variances by moving one coordinate after the other a hundredth of its uncertainty. */
static void brute_shaft(const stated_shaft *s, double variance[3]) {
  memset(variance, 0, 3 * sizeof *variance);
  for (int k = 0; k < COORDINATES; k++) {
    sy_shaft_found side[2];
    for (int m = 0; m < 2; m++) {
      sy_shaft moved = s->shaft;
      sy_joint *const joint = k < 3 ? &moved.inner : &moved.outer;
      joint->at = sy_vec3_muladd(joint->at, m == 0 ? 0.01 : -0.01, s->error[k].move);
      moved.error_count = 0;
      side[m] = find(&moved);
    }
    const double effect[3] = {side[0].static_angle.value - side[1].static_angle.value,
                              side[0].worst_angle.value - side[1].worst_angle.value,
                              side[0].plunge.value - side[1].plunge.value};
    for (int i = 0; i < 3; i++) variance[i] += effect[i] * effect[i] / (0.02 * 0.02);
  }
}

/* Travel is met to a thousandth of a millimetre, of which the length at its least depends to second order only. */
static void shaft_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  stated_shaft s;
  double variance[3];
  make_shaft(&s);
  brute_shaft(&s, variance);
  const sy_shaft_found f = find(&s.shaft);
  assert_near(sy_found_sd(&f.static_angle), sqrt(variance[0]), 1e-5 * sqrt(variance[0]));
  assert_near(sy_found_sd(&f.worst_angle), sqrt(variance[1]), 1e-5 * sqrt(variance[1]));
  assert_near(sy_found_sd(&f.plunge), sqrt(variance[2]), 1e-3 * sqrt(variance[2]));
}

/* A flat shaft 0.45 m long whose wheel drops 70 mm +- 2: the angle's tangent is travel by length, plunge sqrt(l^2 + t^2) - l. */
static void shaft_with_an_uncertain_travel_follows_it(void **state) {
  (void)state;
  const double l = 0.45, t = 0.07, u = 2 * MM;
  sy_shaft s = {.inner = {{0, 0.2, 0.3}, {0, 1, 0}},
                .outer = {{0, 0.2 + l, 0.3}, {0, 1, 0}},
                .path = {.kind = SY_PATH_VERTICAL},
                .droop = t,
                .bump = 0.05};
  s.droop_error = (sy_travel_error){sy_error_key("rear droop"), u};
  s.bump_error = (sy_travel_error){sy_error_key("rear bump"), u}; /* half of one: never the worst */
  const sy_shaft_found f = find(&s);
  const double angle = u * l / (l * l + t * t), plunge = u * t / hypot(l, t);
  /* the step is all of the uncertainty: third order leaves (u / l)^2 of it */
  assert_near(f.worst_angle.value, atan(t / l), 1e-9);
  assert_near(sy_found_sd(&f.worst_angle), angle, 1e-4 * angle);
  assert_near(sy_found_sd(&f.plunge), plunge, 1e-4 * plunge);
  assert_near(sy_found_sd(&f.static_angle), 0, 0);
}

static void shaft_without_travel_leaves_the_worst_unknown(void **state) {
  (void)state;
  stated_shaft s;
  make_shaft(&s);
  s.shaft.bump = (double)NAN;
  const sy_shaft_found f = find(&s.shaft);
  assert_true(f.static_angle.value > 0 && isnan(f.worst_angle.value) && isnan(sy_found_sd(&f.plunge)));
}

static void shaft_of_no_length_is_refused_and_nothing_written(void **state) {
  (void)state;
  stated_shaft s;
  sy_shaft_found f = {.static_angle = {.value = 7}};
  sy_error err;
  make_shaft(&s);
  s.shaft.error_count = SY_MOST_OWN;
  assert_int_equal(sy_shaft_find(&s.shaft, &f, NULL, &err), SY_LIMIT);
  assert_string_equal(err.field, "error");
  s.shaft.error_count = COORDINATES;
  s.shaft.outer.at = s.shaft.inner.at;
  assert_int_equal(sy_shaft_find(&s.shaft, &f, NULL, &err), SY_GEOMETRY);
  assert_true(f.static_angle.value == 7);
}

/* The engine with the inner joint goes 30 mm forward in the second car: the same six statements, with other effects; then one place is
** stated anew. Against differences of each statement in both cars at once. */
static void change_of_shafts_meets_each_statement_once(void **state) {
  (void)state;
  sy_ledger *ledger = some_ledger();
  stated_shaft a, b;
  double value, sd, change, change_sd;
  make_shaft(&a);
  make_shaft(&b);
  b.shaft.inner.at.x += 0.03;
  b.error[1].value += 1e-3; /* stated anew */
  const sy_shaft_found fa = find(&a.shaft), fb = find(&b.shaft);
  sy_car from = some_car(ledger), to = from;
  from.shaft = &fa, from.shaft_count = 1;
  to.shaft = &fb, to.shaft_count = 1;
  must(sy_answer_of(&to, "shafts.static_angle", &value, &sd, NULL), NULL);
  assert_near(value, fb.static_angle.value, 0);
  assert_near(sd, sy_found_sd(&fb.static_angle), DBL_EPSILON * sd);
  must(sy_answer_change_of(&from, &to, "shafts.static_angle", NULL, &change, &change_sd, NULL), NULL);
  assert_near(change, value - fa.static_angle.value, DBL_EPSILON);
  double want = 0;
  for (int k = 0; k < COORDINATES; k++) {
    double effect[2];
    for (int c = 0; c < 2; c++) {
      sy_shaft_found side[2];
      for (int m = 0; m < 2; m++) {
        const stated_shaft *const of = c == 0 ? &a : &b;
        sy_shaft moved = of->shaft;
        sy_joint *const joint = k < 3 ? &moved.inner : &moved.outer;
        joint->at = sy_vec3_muladd(joint->at, m == 0 ? 0.01 : -0.01, of->error[k].move);
        moved.error_count = 0;
        side[m] = find(&moved);
      }
      effect[c] = (side[0].static_angle.value - side[1].static_angle.value) / 0.02;
    }
    want += k == 1 ? effect[0] * effect[0] + effect[1] * effect[1] : pow(effect[1] - effect[0], 2);
  }
  assert_near(change_sd, sqrt(want), 1e-5 * sqrt(want)); /* differences by a hundredth of 0.5 mm in 450 */
  assert_true(change_sd < 0.9 * hypot(sd, sy_found_sd(&fa.static_angle)));
  sy_ledger_release(ledger);
}

static void worst_of_several_shafts_counts_and_one_unknown_hides_it(void **state) {
  (void)state;
  sy_ledger *ledger = some_ledger();
  stated_shaft s;
  double value, sd;
  make_shaft(&s);
  sy_shaft_found list[2] = {find(&s.shaft), find(&s.shaft)};
  s.shaft.inner.at.z += 0.02;
  list[1] = find(&s.shaft);
  sy_car car = some_car(ledger);
  must(sy_answer_of(&car, "shafts.worst_angle", &value, &sd, NULL), NULL);
  assert_true(isnan(value) && isnan(sd)); /* it has none */
  car.shaft = list, car.shaft_count = 2;
  must(sy_answer_of(&car, "shafts.worst_angle", &value, &sd, NULL), NULL);
  assert_near(value, fmax(list[0].worst_angle.value, list[1].worst_angle.value), 0);
  list[0].worst_angle.value = (double)NAN;
  must(sy_answer_of(&car, "shafts.worst_angle", &value, &sd, NULL), NULL);
  assert_true(isnan(value) && isnan(sd));
  sy_ledger_release(ledger);
}

/* ---- gaps ---------------------------------------------------------------------------------------------------------------------- */

/* 30 and 40 mm apart in two directions: 50 mm along {0.6, 0.8, 0}; an error of u along an axis counts by its part. */
static void gap_follows_places_along_its_line(void **state) {
  (void)state;
  const sy_placed a = {sy_error_key("pipe"), {0.1, 0.2, 0.3}, {2 * MM, 1 * MM, 9 * MM}},
                  b = {sy_error_key("tray"), {0.5, 0.2, 0.3}, {3 * MM, 0, 9 * MM}};
  const sy_vec3 p = {0.1, 0.2, 0.3}, q = {0.13, 0.24, 0.3};
  const sy_found f = sy_gap_find(0.05, &a, p, &b, q);
  const double want = MM * sqrt(pow(0.6 * 2, 2) + pow(0.8 * 1, 2) + pow(0.6 * 3, 2));
  assert_near(f.value, 0.05, 0);
  assert_near(sy_found_sd(&f), want, 8 * DBL_EPSILON * want);
  const sy_found over = sy_gap_find(0.3, &a, p, NULL, (sy_vec3){0.1, 0.2, 0});
  assert_near(sy_found_sd(&over), 9 * MM, 8 * DBL_EPSILON * MM);
  const sy_found alone = sy_gap_find(0.05, &a, p, &a, q);
  assert_near(sy_found_sd(&alone), 0, 0);
  const sy_found touching = sy_gap_find(0, &a, p, &b, p);
  assert_near(sy_found_sd(&touching), 0, 0);
}

static void tightest_gap_keeps_least_of_what_is_asked(void **state) {
  (void)state;
  sy_ledger *ledger = some_ledger();
  const sy_placed a = {sy_error_key("pipe"), {0, 0, 0}, {2 * MM, 0, 0}},
                  b = {sy_error_key("tray"), {0, 0, 0}, {1 * MM, 0, 0}};
  const sy_vec3 p = {0, 0, 0}, q = {1, 0, 0};
  const sy_gap_found one[2] = {{sy_gap_find(0.030, &a, p, &b, q), 0.010},
                               {sy_gap_find(0.035, &a, p, NULL, q), 0.020}};
  const sy_gap_found two[1] = {{sy_gap_find(0.033, &a, p, NULL, q), 0.020}};
  double value, sd, change;
  sy_car car = some_car(ledger), other = car;
  must(sy_answer_of(&car, "clearances.tightest", &value, &sd, NULL), NULL);
  assert_true(isnan(value) && isnan(sd));
  car.gap = one, car.gap_count = 2;
  other.gap = two, other.gap_count = 1;
  must(sy_answer_of(&car, "clearances.tightest", &value, &sd, NULL), NULL);
  assert_near(value, 0.035, 0);
  assert_near(sd, 2 * MM, DBL_EPSILON * MM);
  must(sy_answer_change_of(&car, &other, "clearances.tightest", NULL, &change, &sd, NULL), NULL);
  assert_near(change, -0.002, DBL_EPSILON);
  assert_near(sd, 0, 0); /* the pipe's place goes out */
  sy_ledger_release(ledger);
}

/* ---- tanks ---------------------------------------------------------------------------------------------------------------------- */

/* A flat box of 400 x 300 mm: a pick-up 5 mm +- 1 above the floor leaves 0.6 litres +- 0.12; nine tenths of it with foam. */
static void unusable_volume_is_the_box_below_its_pick_up(void **state) {
  (void)state;
  sy_tank box = sy_tank_default(SY_TANK_BOX);
  sy_found f;
  sy_error err;
  box.size = (sy_vec3){0.4, 0.3, 0.2};
  const sy_pick_up_error error[3] = {{sy_error_key("fuel pick_up x"), 10 * MM, 3 * MM, {3 * MM, 0, 0}},
                                     {sy_error_key("fuel pick_up y"), 0, 0, {0, 0, 0}},
                                     {sy_error_key("fuel pick_up z"), -95 * MM, 1 * MM, {0, 0, 1 * MM}}};
  const sy_vec3 at = {10 * MM, 0, -95 * MM}, up = {0, 0, 1};
  must(sy_unusable_find(&box, 0.9, at, up, error, 3, &f, &err), &err);
  const double litre = SY_LITRE;
  assert_near(f.value, 0.9 * 0.6 * litre, 1e-12);
  assert_near(sy_found_sd(&f), 0.9 * 0.12 * litre, 1e-12);
  f.value = 7;
  assert_int_equal(sy_unusable_find(&box, 1, at, up, error, 4, &f, &err), SY_LIMIT);
  assert_int_equal(sy_unusable_find(&box, 1, at, (sy_vec3){0, 0, 0}, error, 3, &f, &err), SY_RANGE);
  assert_near(f.value, 7, 0);
}

/* Another fill is measured anew, what stays is the same: its error goes out of the change. */
static void change_of_usable_volume_has_the_errors_of_both_fills(void **state) {
  (void)state;
  sy_ledger *ledger = some_ledger();
  const double litre = SY_LITRE;
  sy_found stays = sy_found_of(0.6 * litre), fill[2], usable[2];
  double value, sd, change;
  sy_found_add(&stays, sy_error_key("fuel pick_up z"), -95, 1, 0.12 * litre);
  sy_found_add(&stays, sy_error_key("fuel pick_up x"), 10, 0, 5); /* certain: no error */
  for (int i = 0; i < 2; i++) {
    fill[i] = sy_found_of((20 + 10 * i) * litre);
    sy_found_add(&fill[i], sy_error_key("fuel fill"), 20 + 10 * i, 0.3, 0.3 * litre);
    usable[i] = sy_usable_find(&fill[i], &stays);
  }
  sy_car car = some_car(ledger), other = car;
  must(sy_answer_of(&car, "usable.volume", &value, &sd, NULL), NULL);
  assert_true(isnan(value) && isnan(sd));
  car.usable = &usable[0], other.usable = &usable[1];
  must(sy_answer_of(&car, "usable.volume", &value, &sd, NULL), NULL);
  assert_near(value, 19.4 * litre, 1e-15);
  assert_near(sd, hypot(0.3, 0.12) * litre, 1e-15);
  must(sy_answer_change_of(&car, &other, "usable.volume", NULL, &change, &sd, NULL), NULL);
  assert_near(change, 10 * litre, 1e-15);
  assert_near(sd, 0.3 * sqrt(2) * litre, 1e-15);
  const sy_found dry = sy_usable_find(&stays, &fill[0]);
  assert_near(dry.value, 0, 0);
  assert_near(sy_found_sd(&dry), 0, 0);
  sy_ledger_release(ledger);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(shaft_has_the_uncertainties_of_differences),
      cmocka_unit_test(shaft_with_an_uncertain_travel_follows_it),
      cmocka_unit_test(shaft_without_travel_leaves_the_worst_unknown),
      cmocka_unit_test(shaft_of_no_length_is_refused_and_nothing_written),
      cmocka_unit_test(change_of_shafts_meets_each_statement_once),
      cmocka_unit_test(worst_of_several_shafts_counts_and_one_unknown_hides_it),
      cmocka_unit_test(gap_follows_places_along_its_line),
      cmocka_unit_test(tightest_gap_keeps_least_of_what_is_asked),
      cmocka_unit_test(unusable_volume_is_the_box_below_its_pick_up),
      cmocka_unit_test(change_of_usable_volume_has_the_errors_of_both_fills),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
