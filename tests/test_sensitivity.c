/* What answers rest on and what to weigh next. Random cars against NumPy and the uncertainties package are in
** tests/reference/oracle_sensitivity.py, the order of weighing against every other order in tests/lua/test_sensitivity.lua; here what can be
** worked out by hand, one car edited line by line, the refusals and the memory. */
#include <math.h>

#include "answers/balance_answers.h"
#include "first_guess.h"
#include "mass/measured.h"
#include "near.h"
#include "study/weigh_next.h"

/* Two axles 2.45 m apart, invented. */
static sy_vehicle vehicle(void) {
  sy_vehicle v = sy_vehicle_default();
  sy_axle axle = sy_axle_default();
  sy_wheel wheel = sy_wheel_default();
  axle.wheels = 2, wheel.loaded_radius = 0.3;
  axle.x = 0;
  sy_vehicle_add_axle(&v, axle, 1.5, wheel);
  axle.x = -FIRST_GUESS_WHEELBASE;
  sy_vehicle_add_axle(&v, axle, 1.48, wheel);
  return v;
}

enum { SHOWN = 3, MOST = 64 };
static const char *const shown[SHOWN] = {"mass", "front_share", "cg.z"};

static sy_status made(const sy_alloc *alloc, const sy_ledger *ledger, int count, sy_sensitivities **out,
                      sy_error *err) {
  const sy_vehicle v = vehicle();
  sy_car car;
  sy_asked asked[SHOWN];
  assert_int_equal(sy_car_make(ledger, NULL, &v, &car, err), SY_OK);
  for (int i = 0; i < count; i++) assert_true(sy_answer_find(sy_balance_answers(), &v, shown[i], &asked[i]));
  const sy_spread_set set = {sy_balance_answers(), &car, asked, count};
  return sy_sensitivities_new(alloc, &set, 1, out, err);
}

static sy_sensitivities *sensitivities(const sy_ledger *ledger, int count) {
  sy_sensitivities *s = NULL;
  sy_error err;
  must(made(NULL, ledger, count, &s, &err), &err);
  return s;
}

static void ask(const sy_ledger *ledger, double *value, double *sd) {
  const sy_vehicle v = vehicle();
  sy_car car;
  sy_asked asked[SHOWN];
  sy_error err;
  must(sy_car_make(ledger, NULL, &v, &car, &err), &err);
  for (int i = 0; i < SHOWN; i++) assert_true(sy_answer_find(sy_balance_answers(), &v, shown[i], &asked[i]));
  must(sy_answers_ask(sy_balance_answers(), &car, asked, SHOWN, value, sd, &err), &err);
}

static sy_elementary error_of(const sy_sensitivities *s, size_t source) {
  const sy_spread_source is = sy_sensitivities_source(s, source);
  assert_non_null(is.error);
  return *is.error;
}

/* The ledger with that part known so, and `more` kg heavier. */
static sy_ledger *restated(const sy_ledger *ledger, uint64_t id, double more, double mass_sd,
                           double place_sd) {
  sy_ledger *out = NULL;
  sy_error err;
  for (uint32_t i = 0; i < FIRST_LINES; i++) {
    const sy_route route = {1, {i}};
    sy_item item;
    must(sy_ledger_item(ledger, &route, &item, &err), &err);
    if (item.part == NULL || item.part->id != id) continue;
    sy_part part = *item.part;
    part.mass += more;
    if (mass_sd > 0) part.mass_sd = mass_sd;
    if (place_sd > 0) part.cg_sd.x = place_sd;
    must(sy_ledger_put(ledger, &route, &part, &out, &err), &err);
    return out;
  }
  fail();
  return NULL;
}

/* ---- by hand ------------------------------------------------------------------------------------------------------------------ */

static sy_ledger *two_parts(uint32_t scale) {
  sy_ledger_builder *b = start_ledger(NULL);
  const double mass[2] = {100, 50}, sd[2] = {3, 4};
  for (int i = 0; i < 2; i++) {
    sy_part p = point(mass[i], i == 0 ? -1.0 : -2.0, 0, 0.3);
    p.mass_sd = sd[i];
    p.instrument = scale, p.bias_share = scale > 0 ? 1 : 0, p.gain_mass = scale > 0 ? mass[i] : 0;
    add(b, i == 0 ? "engine" : "driver", &p);
  }
  return finish(b);
}

/* 100 +- 3 and 50 +- 4 kg, read as 150 on a scale of 1 kg. w = 25 / 26, so the errors of both lines have 9 and 16 of 26^2, the reading's
** w^2 = 625 of 26^2; together 650 / 676. Knowing the driver to 0.1 kg leaves 9.01 x 1 / 10.01, then the engine too 0.02 x 1 / 1.02. */
static void sensitivity_a_record_has_its_share_and_is_read_again(void **state) {
  (void)state;
  sy_error err;
  const double variance = 1;
  sy_ledger *booked = two_parts(0), *built = NULL;
  sy_record record = {.ledger = booked, .figures = 1, .readings = 1, .covariance = &variance};
  record.figure[0] = (sy_record_figure){.of = {1, 0, 0, 0}, .read = 150};
  record.effect[0][0] = 1;
  sy_measured *m = NULL;
  must(sy_measured_new(NULL, booked, &record, 1, NULL, 0, &m, &err), &err);
  must(sy_measured_correct(m, booked, &built, &err), &err);
  sy_sensitivities *s = sensitivities(built, 1);
  sy_moved moved[MOST];
  size_t count;
  double rest, after[MOST], left;
  must(sy_sensitivities_largest(s, 0, MOST, moved, &count, &rest, &err), &err);
  assert_int_equal(count, 3);
  assert_near(sy_sensitivities_sd(s, 0), sqrt(650.0 / 676.0), 1e-12);
  assert_near(moved[0].share, 625.0 / 650.0, 1e-12);
  assert_near(moved[1].share, 16.0 / 650.0, 1e-12);
  assert_near(moved[2].share, 9.0 / 650.0, 1e-12);
  assert_near(rest, 0, 1e-15);
  assert_near(moved[1].high, 150 + 4 / 26.0, 1e-9); /* the record takes 25 / 26 of it back */
  assert_near(moved[1].low, 150 - 4 / 26.0, 1e-9);
  sy_weigh_step step[MOST];
  must(sy_weigh_next(s, 0.1, 0.002, MOST, step, after, &count, &left, &err), &err);
  assert_int_equal(count, 2);
  assert_near(after[0], sqrt(9.01 / 10.01), 1e-12);
  assert_near(after[1], sqrt(0.02 / 1.02), 1e-12);
  assert_near(left, after[1], 0);
  assert_near(step[0].share, 16.0 / 650.0, 1e-12);
  assert_near(step[0].drop, 1 - 9.01 / 10.01 / (650.0 / 676.0), 1e-12);
  sy_sensitivities_free(s);
  sy_ledger_release(built), sy_measured_release(m), sy_ledger_release(booked);
}

/* Both on scale 3, whose zero errs by 0.13 kg and its gain by 0.0021: the mass by 2 x 0.13 and 150 x 0.0021, one input of two errors. What
** is weighed again has no part of it left: 3^2, 0.13^2 and (100 x 0.0021)^2 stay of the engine. */
static void sensitivity_a_scale_is_one_input_until_a_line_is_weighed_again(void **state) {
  (void)state;
  sy_error err;
  sy_ledger *ledger = two_parts(3);
  sy_sensitivities *s = sensitivities(ledger, 1);
  sy_moved moved[MOST];
  sy_weigh_step step[MOST];
  size_t count;
  double rest, after[MOST], left;
  must(sy_sensitivities_largest(s, 0, MOST, moved, &count, &rest, &err), &err);
  assert_int_equal(count, 3);
  const double common = 0.26 * 0.26 + 0.315 * 0.315;
  assert_near(moved[2].change, sqrt(common), 1e-12);
  assert_near(moved[2].share, common / (25 + common), 1e-12);
  const sy_input input = sy_sensitivities_input(s, moved[2].input);
  assert_int_equal(input.errors, 2);
  assert_true(input.bias && input.gain);
  must(sy_weigh_next(s, 0.1, 0.002, MOST, step, after, &count, &left, &err), &err);
  assert_int_equal(count, 2);
  assert_near(after[0], sqrt(9 + 0.13 * 0.13 + 0.21 * 0.21 + 0.01), 1e-12);
  assert_near(left, sqrt(0.02), 1e-12);
  sy_sensitivities_free(s);
  sy_ledger_release(ledger);
}

/* ---- one car --------------------------------------------------------------------------------------------------------------------- */

/* Each step leaves what the ledger, with that line put anew, says itself; and the worked scenario's first one is the cooling. */
static void weigh_next_leaves_what_the_edited_ledger_says(void **state) {
  (void)state;
  sy_error err;
  sy_ledger *ledger = first_guess(NULL, 0.015, false);
  sy_sensitivities *s = sensitivities(ledger, SHOWN);
  sy_weigh_step step[MOST];
  size_t count;
  double after[MOST * SHOWN], left[SHOWN], value[SHOWN], sd[SHOWN];
  must(sy_weigh_next(s, 0.1, 0.002, MOST, step, after, &count, left, &err), &err);
  assert_true(count > 20);
  for (size_t i = 0; i < count; i++) {
    const bool place = step[i].what == SY_WEIGH_PLACE;
    sy_ledger *next =
        restated(ledger, error_of(s, step[i].source).line, 0, place ? 0 : 0.1, place ? 0.002 : 0);
    ask(next, value, sd);
    for (int a = 0; a < SHOWN; a++) assert_near(after[i * SHOWN + (size_t)a], sd[a], 1e-9 * sd[a]);
    if (i > 0) assert_true(step[i].drop <= step[i - 1].drop + 1e-12);
    sy_ledger_release(ledger);
    ledger = next;
  }
  for (int a = 0; a < SHOWN; a++) assert_near(left[a], after[(count - 1) * SHOWN + (size_t)a], 0);
  sy_sensitivities_free(s);
  sy_ledger_release(ledger);
}

static void sensitivity_low_and_high_are_cars_with_the_part_so(void **state) {
  (void)state;
  sy_error err;
  sy_ledger *ledger = first_guess(NULL, 0, false);
  sy_sensitivities *s = sensitivities(ledger, SHOWN);
  for (size_t a = 0; a < SHOWN; a++) {
    sy_moved moved[MOST];
    size_t count;
    double rest, sum;
    must(sy_sensitivities_largest(s, a, 5, moved, &count, &rest, &err), &err);
    sum = rest;
    for (size_t i = 0; i < count; i++) {
      const sy_elementary e = error_of(s, sy_sensitivities_input(s, moved[i].input).first);
      sum += moved[i].share;
      for (int side = 0; side < 2; side++) {
        double value[SHOWN];
        sy_ledger *other = restated(ledger, e.line, side == 0 ? -e.sd : e.sd, 0, 0);
        ask(other, value, NULL);
        assert_near(side == 0 ? moved[i].low : moved[i].high, value[a], 1e-12 * fabs(value[a]));
        sy_ledger_release(other);
      }
    }
    assert_near(sum, 1, 1e-12);
  }
  sy_sensitivities_free(s);
  sy_ledger_release(ledger);
}

/* ---- refusals and memory ------------------------------------------------------------------------------------------------------------ */

static void sensitivity_refusals_leave_what_was_there(void **state) {
  (void)state;
  sy_error err;
  sy_ledger *ledger = first_guess(NULL, 0.015, true);
  sy_sensitivities *s = sensitivities(ledger, SHOWN);
  sy_moved moved = {.input = 77};
  sy_weigh_step step = {.source = 77};
  size_t count = 88;
  double rest = 5, after[SHOWN] = {5}, left[SHOWN] = {5};
  assert_int_equal(sy_sensitivities_largest(s, SHOWN, 1, &moved, &count, &rest, &err), SY_UNKNOWN);
  const double wrong[] = {0, -1, (double)NAN, (double)INFINITY};
  for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
    assert_int_equal(sy_weigh_next(s, wrong[i], 0.002, 1, &step, after, &count, left, &err), SY_RANGE);
    assert_string_equal(err.field, "scale");
    assert_int_equal(sy_weigh_next(s, 0.1, wrong[i], 1, &step, after, &count, left, &err), SY_RANGE);
    assert_string_equal(err.field, "tape");
  }
  assert_true(moved.input == 77 && step.source == 77 && count == 88 && rest == 5 && after[0] == 5 &&
              left[0] == 5);
  sy_sensitivities_free(s);
  s = NULL;
  assert_int_equal(made(NULL, ledger, 0, &s, &err),
                   SY_OK); /* nothing asked: nothing moves it, and nothing is to weigh */
  assert_int_equal(sy_weigh_next(s, 0.1, 0.002, 1, &step, after, &count, left, &err), SY_OK);
  assert_int_equal(count, 0);
  sy_sensitivities_free(s);
  sy_ledger_release(ledger);
}

static sy_status everything(const sy_ledger *ledger, const sy_alloc *alloc, sy_error *err) {
  sy_sensitivities *s = NULL;
  sy_moved moved[4];
  sy_weigh_step step[4];
  size_t count;
  double rest, after[4 * SHOWN], left[SHOWN];
  sy_status status = made(alloc, ledger, SHOWN, &s, err);
  if (status == SY_OK) status = sy_sensitivities_largest(s, 0, 4, moved, &count, &rest, err);
  if (status == SY_OK) status = sy_weigh_next(s, 0.1, 0.002, 4, step, after, &count, left, err);
  sy_sensitivities_free(s);
  return status;
}

static void sensitivity_memory_that_runs_out_is_reported_and_given_back(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess(NULL, 0.015, true);
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_status status = SY_LIMIT;
  size_t refused = 0;
  for (; status != SY_OK; refused++) {
    sy_error err = {.status = SY_OK};
    atomic_store(&m.calls, 0);
    m.refuse = refused + 1;
    status = everything(ledger, &alloc, &err);
    m.refuse = 0;
    if (status != SY_OK) {
      assert_int_equal(err.status, SY_LIMIT);
      assert_string_equal(err.message, "memory is out");
    }
    assert_int_equal(atomic_load(&m.live), 0);
  }
  assert_true(refused > 15);
  sy_ledger_release(ledger);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(sensitivity_a_record_has_its_share_and_is_read_again),
      cmocka_unit_test(sensitivity_a_scale_is_one_input_until_a_line_is_weighed_again),
      cmocka_unit_test(weigh_next_leaves_what_the_edited_ledger_says),
      cmocka_unit_test(sensitivity_low_and_high_are_cars_with_the_part_so),
      cmocka_unit_test(sensitivity_refusals_leave_what_was_there),
      cmocka_unit_test(sensitivity_memory_that_runs_out_is_reported_and_given_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
