#include "shop/survey.h"

#include <float.h>
#include <stdlib.h>
#include <string.h>

#include "base/units.h"
#include "near.h"

static const double MM = SY_MILLIMETRE;

/* ---- tapes ------------------------------------------------------------------------------------------------------ */

/* Crank flange by two tapes, invented and worked out twice apart from this project: 1832 mm from the floor point (0, 0), 668 from
** (2450, 0), each +-2: x 1818.9 +-1.6, y 218.9 +-6.3. */
static void place_of_the_crank_flange(void **state) {
  (void)state;
  const sy_tapes t = {{0, 0}, {2450 * MM, 0}};
  sy_plan p;
  assert_int_equal(sy_tapes_place(&t, 1832 * MM, 668 * MM, (sy_plan){1.8, 0.2}, &p, NULL), SY_OK);
  assert_near(p.x / MM, 1818.9, 0.05);
  assert_near(p.y / MM, 218.9, 0.05);
  const sy_tapes_uncertainty d = sy_tapes_uncertainty_at(&t, p, 2 * MM, 2 * MM);
  assert_near(d.sd_x / MM, 1.6, 0.05);
  assert_near(d.sd_y / MM, 6.3, 0.05);
  /* 180 - atan(218.88 / 1818.88) - atan(218.88 / 631.12) = 154.03, so they cross at 25.97 degrees */
  assert_near(d.crossing / SY_DEGREE, 25.99, 0.05);
  assert_int_equal(sy_tapes_place(&t, 1832 * MM, 668 * MM, (sy_plan){1.8, -0.2}, &p, NULL), SY_OK);
  assert_near(p.y / MM, -218.9, 0.05); /* on the other side */
}

/* The uncertainties against differences of the place itself, with the tapes anywhere. */
static void uncertainty_is_the_slope_of_the_place(void **state) {
  (void)state;
  const sy_tapes t = {{0.31, -0.22}, {2.1, 1.7}};
  const sy_plan at = {1.9, -0.4};
  double a, b;
  sy_tapes_lengths(&t, at, &a, &b);
  sy_plan back, more, less;
  assert_int_equal(sy_tapes_place(&t, a, b, at, &back, NULL), SY_OK);
  assert_near(back.x, at.x, 1e-14);
  assert_near(back.y, at.y, 1e-14);
  const double h = 1e-5; /* error of the order h^2; rounding 1e-16 / h */
  double sum_x = 0, sum_y = 0;
  for (int k = 0; k < 2; k++) {
    const double sd = k == 0 ? 0.002 : 0.003;
    assert_int_equal(sy_tapes_place(&t, a + (k == 0) * h, b + (k == 1) * h, at, &more, NULL), SY_OK);
    assert_int_equal(sy_tapes_place(&t, a - (k == 0) * h, b - (k == 1) * h, at, &less, NULL), SY_OK);
    sum_x += pow((more.x - less.x) / (2 * h) * sd, 2), sum_y += pow((more.y - less.y) / (2 * h) * sd, 2);
  }
  const sy_tapes_uncertainty d = sy_tapes_uncertainty_at(&t, at, 0.002, 0.003);
  assert_near(d.sd_x, sqrt(sum_x), 1e-9);
  assert_near(d.sd_y, sqrt(sum_y), 1e-9);
}

static void tapes_that_say_nothing_are_refused(void **state) {
  (void)state;
  const sy_tapes t = {{0, 0}, {2.45, 0}};
  sy_plan p = {7, 7};
  sy_error err;
  assert_int_equal(sy_tapes_place(&t, 1.2, 1.1, p, &p, &err), SY_GEOMETRY);
  assert_string_equal(err.message,
                      "of 1200 and 1100 mm do not meet: the points they start at are 2450 mm apart");
  assert_int_equal(sy_tapes_place(&t, 4.2, 1.1, p, &p, &err), SY_GEOMETRY);
  assert_int_equal(sy_tapes_place(&t, -1, 1.1, p, &p, &err), SY_RANGE);
  assert_int_equal(sy_tapes_place(&t, 1, (double)NAN, p, &p, &err), SY_RANGE);
  const sy_tapes one = {{1, 1}, {1, 1}};
  assert_int_equal(sy_tapes_place(&one, 1, 1, p, &p, &err), SY_GEOMETRY);
  assert_near(p.x, 7, 0);
  assert_true(isinf(sy_tapes_uncertainty_at(&t, (sy_plan){1.2, 0}, 0.002, 0.002).sd_y));
  assert_true(isinf(sy_tapes_uncertainty_at(&t, (sy_plan){0, 0}, 0.002, 0.002).sd_y));
  /* on the line between them the lengths just meet */
  assert_int_equal(sy_tapes_place(&t, 1.15, 1.3, p, &p, &err), SY_OK);
  assert_near(p.y, 0, 1e-7); /* the root of a rounding */
}

/* ---- surveys ---------------------------------------------------------------------------------------------------- */

enum { POINTS = 6 };
static const sy_plan drawn[POINTS] = {{0, 0.72},     {0.01, -0.71}, {1.3, 0.4},
                                      {1.81, -0.05}, {2.4, 0.73},   {2.41, -0.7}};

static sy_lsq fitted(const sy_survey_line *lines, size_t count, const sy_tapes *tapes, void *memory) {
  sy_lsq fit;
  sy_error err;
  if (sy_survey_fit(lines, count, tapes, memory, &fit, &err) != SY_OK)
    fail_msg("%s: %s", err.field, err.message);
  return fit;
}

static void exact_points(sy_survey_line *lines, const double x[3], const sy_tapes *tapes) {
  for (int i = 0; i < POINTS; i++) {
    const sy_plan p = sy_survey_place(x, drawn[i]);
    lines[i] = (sy_survey_line){.drawn = drawn[i], .value = {p.x, p.y}, .sd = {0.002, 0.002}};
    if (tapes != NULL && i % 2 == 1) {
      lines[i].taped = true;
      sy_tapes_lengths(tapes, p, &lines[i].value[0], &lines[i].value[1]);
    }
  }
}

static void fit_finds_turn_and_shift_by_coordinates_and_tapes(void **state) {
  (void)state;
  const double x[3] = {0.83, -0.31, 0.22};
  const sy_tapes tapes = {{-0.5, -2.5},
                          {3.1, -2.2}}; /* all taped points lie on one side of it, drawn and measured */
  void *memory = malloc(sy_lsq_size(2 * POINTS, SY_SURVEY_COLS));
  sy_survey_line lines[POINTS];
  exact_points(lines, x, &tapes);
  const sy_lsq fit = fitted(lines, POINTS, &tapes, memory);
  for (int k = 0; k < 3; k++) assert_near(fit.x[k], x[k], 1e-12);
  assert_near(fit.chi2, 0, 1e-15);
  assert_int_equal(fit.dof, 2 * POINTS - 3);
  free(memory);
}

/* 15 mm on one of six points, each good to 2 mm: its residual is the largest and far beyond chance. */
static void fit_names_the_point_that_was_moved(void **state) {
  (void)state;
  const double x[3] = {0.01, 0.12, -0.04};
  void *memory = malloc(sy_lsq_size(2 * POINTS, SY_SURVEY_COLS));
  for (size_t bad = 0; bad < 2 * POINTS; bad++) {
    sy_survey_line lines[POINTS];
    exact_points(lines, x, NULL);
    lines[bad / 2].value[bad % 2] += 0.015;
    const sy_lsq fit = fitted(lines, POINTS, NULL, memory);
    assert_int_equal(sy_lsq_worst(&fit, 0, 2 * POINTS), bad);
    assert_true(fabs(fit.standardised[bad]) > sy_lsq_critical(2 * POINTS, 0.05));
  }
  free(memory);
}

static void surveys_that_settle_nothing_are_refused(void **state) {
  (void)state;
  void *memory = malloc(sy_lsq_size(2 * POINTS, SY_SURVEY_COLS));
  sy_survey_line lines[POINTS];
  exact_points(lines, (const double[]){0, 0, 0}, NULL);
  sy_lsq fit;
  sy_error err;
  assert_int_equal(sy_survey_fit(lines, 1, NULL, memory, &fit, &err), SY_RANGE);
  assert_string_equal(err.message, "has 1 points, two or more are needed");
  lines[1].drawn = lines[0].drawn;
  assert_int_equal(sy_survey_fit(lines, 2, NULL, memory, &fit, &err), SY_GEOMETRY);
  lines[1].drawn = drawn[1], lines[1].taped = true, lines[1].value[0] = 0.5, lines[1].value[1] = 0.6;
  assert_int_equal(sy_survey_fit(lines, 3, NULL, memory, &fit, &err), SY_MISSING);
  const sy_tapes tapes = {{0, 0}, {9, 0}};
  assert_int_equal(sy_survey_fit(lines, 3, &tapes, memory, &fit, &err), SY_GEOMETRY);
  assert_non_null(strstr(err.message, "(point 2)"));
  lines[1].taped = false, lines[2].sd[0] = 0;
  assert_int_equal(sy_survey_fit(lines, 3, NULL, memory, &fit, &err), SY_RANGE);
  lines[2].sd[0] = 0.002, lines[2].value[1] = (double)NAN;
  assert_int_equal(sy_survey_fit(lines, 3, NULL, memory, &fit, &err), SY_RANGE);
  free(memory);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(place_of_the_crank_flange),
      cmocka_unit_test(uncertainty_is_the_slope_of_the_place),
      cmocka_unit_test(tapes_that_say_nothing_are_refused),
      cmocka_unit_test(fit_finds_turn_and_shift_by_coordinates_and_tapes),
      cmocka_unit_test(fit_names_the_point_that_was_moved),
      cmocka_unit_test(surveys_that_settle_nothing_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
