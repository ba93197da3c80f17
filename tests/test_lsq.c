#include "numeric/lsq.h"

#include <float.h>
#include <stdbool.h>
#include <string.h>

#include "dice.h"
#include "reference_data.h"

enum { MOST_ROWS = TABLE_ROWS, MOST_COLS = 12 };

static const double ones[MOST_ROWS] = {1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
                                       1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
                                       1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};

static void *memory(void) {
  static double block[20000];
  assert_true(sy_lsq_size(MOST_ROWS, MOST_COLS) <= sizeof block);
  return block;
}

/* Certified linear fits: NIST Statistical Reference Datasets, Linear Regression. At least `digits` of each coefficient, its
** standard deviation and the residual standard deviation. What a sound double calculation keeps depends on the data's
** conditioning: the floors are those of test_linsolve.c, between LAPACK's QR and the normal equations. */
static void assert_certified(const char *path, bool powers, double digits) {
  const table t = table_read(path);
  double a[MOST_ROWS * MOST_COLS], y[MOST_ROWS];
  for (size_t i = 0; i < t.rows; i++) {
    y[i] = t.cell[i][0];
    for (size_t j = 0; j < t.certified; j++)
      a[i * t.certified + j] = powers ? pow(t.cell[i][1], (double)j) : j == 0 ? 1 : t.cell[i][j];
  }
  sy_lsq fit;
  assert_int_equal(sy_lsq_linear(a, y, ones, t.rows, t.certified, memory(), &fit, NULL), SY_OK);
  assert_int_equal(fit.dof, t.rows - t.certified);
  const double s = sqrt(fit.chi2 / (double)fit.dof), rel = pow(10, -digits);
  if (t.residual_stddev > 0) assert_near(s, t.residual_stddev, rel * t.residual_stddev);
  for (size_t j = 0; j < t.certified; j++) {
    assert_near(fit.x[j], t.estimate[j], rel * fabs(t.estimate[j]));
    if (t.stddev[j] > 0)
      assert_near(s * sqrt(fit.covariance[j * fit.cols + j]), t.stddev[j], rel * t.stddev[j]);
  }
}

static void linear_norris_keeps_eleven_digits(void **state) {
  (void)state;
  assert_certified("tests/reference/nist_norris.csv", true, 11);
}
static void linear_longley_keeps_nine_digits(void **state) {
  (void)state;
  assert_certified("tests/reference/nist_longley.csv", false, 9);
}
static void linear_wampler_one_and_three_keep_eight_digits(void **state) {
  (void)state;
  assert_certified("tests/reference/nist_wampler1.csv", true, 8);
  assert_certified("tests/reference/nist_wampler3.csv", true, 8);
}

/* y = b1 (1 - exp(-b2 x)) */
typedef struct curve {
  size_t rows;
  const double *x;
} curve;

static sy_status saturating(void *user, const double *b, double *fitted, double *jacobian, sy_error *err) {
  const curve *c = user;
  (void)err;
  for (size_t i = 0; i < c->rows; i++) {
    const double e = exp(-b[1] * c->x[i]);
    fitted[i] = b[0] * (1 - e);
    if (jacobian == NULL) continue;
    jacobian[i * 2] = 1 - e;
    jacobian[i * 2 + 1] = b[0] * c->x[i] * e;
  }
  return SY_OK;
}

/* NIST Statistical Reference Datasets, Nonlinear Regression, data set Misra1a: certified to eleven digits (data, starts and certified
** values from memory; a slip in any of them could not agree to ten digits). Both of its starts, the far one needs
** damped steps. */
static void fit_of_misra1a_from_both_starts_keeps_ten_digits(void **state) {
  (void)state;
  const double y[] = {10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02,
                      44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78};
  const double x[] = {77.6,  114.9, 141.1, 190.8, 239.9, 289.0, 332.8,
                      378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0};
  const double start[2][2] = {{500, 0.0001}, {250, 0.0005}};
  curve c = {14, x};
  for (int k = 0; k < 2; k++) {
    sy_lsq fit;
    assert_int_equal(sy_lsq_fit(saturating, &c, y, ones, start[k], 14, 2, memory(), &fit, NULL), SY_OK);
    assert_near(fit.x[0], 2.3894212918e2, 1e-10 * 2.4e2);
    assert_near(fit.x[1], 5.5015643181e-4, 1e-10 * 5.5e-4);
    assert_near(fit.chi2, 1.2455138894e-1, 1e-10 * 0.12);
    const double s = sqrt(fit.chi2 / 12);
    assert_near(s, 1.0187876330e-1, 1e-10 * 0.1);
    assert_near(s * sqrt(fit.covariance[0]), 2.7070075241,
                1e-9 * 2.7); /* a derivative at the minimum: one digit less */
    assert_near(s * sqrt(fit.covariance[3]), 7.2668688436e-6, 1e-9 * 7.3e-6);
  }
}

/* A straight line with uncertainties in both coordinates, as total least squares: unknown are intercept, slope and the true x of
** every point; observed are x and y. */
static sy_status line_and_places(void *user, const double *p, double *fitted, double *jacobian,
                                 sy_error *err) {
  const size_t n = *(const size_t *)user, cols = n + 2;
  (void)err;
  for (size_t i = 0; i < n; i++) {
    fitted[i] = p[2 + i];
    fitted[n + i] = p[0] + p[1] * p[2 + i];
    if (jacobian == NULL) continue;
    double *row = &jacobian[i * cols], *below = &jacobian[(n + i) * cols];
    for (size_t j = 0; j < cols; j++) row[j] = below[j] = 0;
    row[2 + i] = 1;
    below[0] = 1;
    below[1] = p[2 + i];
    below[2 + i] = p[1];
  }
  return SY_OK;
}

/* Pearson's data with York's weights: D. York, Least-squares fitting of a straight line, Can. J. Phys. 44, 1966, 1079; solution
** intercept 5.47991022, slope -0.480533407, sum of squares 11.8663532 (data and solution from memory, the
** solution also in York et al., Am. J. Phys. 72, 2004, 367). */
static void fit_of_pearsons_line_with_yorks_weights_agrees(void **state) {
  (void)state;
  const double x[] = {0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4};
  const double y[] = {5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5};
  const double weight_x[] = {1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1};
  const double weight_y[] = {1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500};
  double observed[20], sd[20], start[12] = {5, -0.5};
  size_t n = 10;
  for (size_t i = 0; i < n; i++) {
    observed[i] = start[2 + i] = x[i];
    observed[n + i] = y[i];
    sd[i] = 1 / sqrt(weight_x[i]);
    sd[n + i] = 1 / sqrt(weight_y[i]);
  }
  sy_lsq fit;
  assert_int_equal(sy_lsq_fit(line_and_places, &n, observed, sd, start, 20, 12, memory(), &fit, NULL), SY_OK);
  assert_int_equal(fit.dof, 8);
  assert_near(fit.x[0], 5.47991022, 5e-9); /* half a unit of the last digit given, here and below */
  assert_near(fit.x[1], -0.480533407, 5e-10);
  assert_near(fit.chi2, 11.8663532, 5e-8);
  /* the estimate alone is the same */
  static double other[1 << 12];
  assert_true(sy_lsq_size(20, 12) <= sizeof other);
  sy_lsq estimate;
  assert_int_equal(sy_lsq_estimate(line_and_places, &n, observed, sd, start, 20, 12, other, &estimate, NULL),
                   SY_OK);
  assert_memory_equal(estimate.x, fit.x, 12 * sizeof *fit.x);
  assert_memory_equal(estimate.covariance, fit.covariance, 12 * 12 * sizeof *fit.covariance);
  assert_memory_equal(estimate.residual, fit.residual, 20 * sizeof *fit.residual);
  assert_true(estimate.chi2 == fit.chi2);
  assert_null(estimate.gain);
  assert_null(estimate.residual_space);
  /* and so is the minimum alone */
  sy_lsq minimum;
  assert_int_equal(sy_lsq_minimum(line_and_places, &n, observed, sd, start, 20, 12, other, &minimum, NULL),
                   SY_OK);
  assert_memory_equal(minimum.x, fit.x, 12 * sizeof *fit.x);
  assert_memory_equal(minimum.residual, fit.residual, 20 * sizeof *fit.residual);
  assert_true(minimum.chi2 == fit.chi2);
  assert_null(minimum.covariance);
  assert_null(minimum.gain);
  /* one point has two readings and one place: what is wrong, x or y, cannot be determined */
  for (size_t i = 0; i < n; i++) {
    assert_near(fabs(sy_lsq_correlation(&fit, i, n + i)), 1,
                1e-9); /* structural; rounding of two rows of length sqrt q */
    assert_near(fabs(fit.standardised[i]), fabs(fit.standardised[n + i]), 1e-6);
  }
}

/* Properties of any fit, on a random one: leverages add up to the unknowns, an error in one observation shows in its residual by
** its redundancy and in the estimate by its gain, covariance = gain diag(sd^2) gain^T, scaling the columns' units scales
** the answer. */
static void report_of_a_random_fit_predicts_what_an_error_does(void **state) {
  (void)state;
  enum { ROWS = 17, COLS = 4 };
  dice d = {20111};
  double a[ROWS * COLS], y[ROWS], sd[ROWS], x[COLS], residual[ROWS], redundancy[ROWS], gain[ROWS * COLS];
  for (size_t i = 0; i < ROWS; i++) {
    for (size_t j = 0; j < COLS; j++) a[i * COLS + j] = dice_between(&d, -1, 1) * (j == 2 ? 1e6 : 1);
    y[i] = dice_between(&d, -10, 10);
    sd[i] = dice_between(&d, 0.1, 2);
  }
  sy_lsq fit;
  assert_int_equal(sy_lsq_linear(a, y, sd, ROWS, COLS, memory(), &fit, NULL), SY_OK);
  double sum = 0;
  for (size_t i = 0; i < ROWS; i++) {
    residual[i] = fit.residual[i];
    redundancy[i] = fit.redundancy[i];
    sum += redundancy[i];
    assert_near(fit.standardised[i], residual[i] / sd[i] / sqrt(redundancy[i]), 1e-12 * 100);
  }
  assert_near(sum, ROWS - COLS, 1e-13 * ROWS); /* 17 sums of squares of 13 roundings each */
  for (size_t j = 0; j < COLS; j++) {
    x[j] = fit.x[j];
    for (size_t i = 0; i < ROWS; i++) gain[j * ROWS + i] = fit.gain[j * ROWS + i];
    for (size_t k = 0; k < COLS; k++) {
      double c = 0;
      for (size_t i = 0; i < ROWS; i++) c += fit.gain[j * ROWS + i] * sd[i] * sd[i] * fit.gain[k * ROWS + i];
      const double size = sqrt(fit.covariance[j * COLS + j] * fit.covariance[k * COLS + k]);
      assert_near(c, fit.covariance[j * COLS + k], 1e-13 * size);
    }
  }
  for (size_t wrong = 0; wrong < ROWS; wrong++) {
    y[wrong] += 3;
    assert_int_equal(sy_lsq_linear(a, y, sd, ROWS, COLS, memory(), &fit, NULL), SY_OK);
    assert_near(fit.residual[wrong] - residual[wrong], 3 * redundancy[wrong], 1e-12 * 30);
    for (size_t j = 0; j < COLS; j++)
      assert_near(fit.x[j] - x[j], 3 * gain[j * ROWS + wrong],
                  1e-12 * (fabs(x[j]) + 3 * fabs(gain[j * ROWS + wrong])));
    y[wrong] -= 3;
  }
}

/* Studentised residuals are those of a fit without the observation: (y_i - fitted without i)/its own sd there. */
static void studentised_residual_is_that_of_the_fit_without_it(void **state) {
  (void)state;
  enum { ROWS = 9 };
  const double y[ROWS] = {1.1, 1.9, 3.2, 3.8, 5.3, 8.0, 7.1, 7.7, 9.2};
  double a[ROWS * 2], less[ROWS * 2], rest[ROWS];
  for (size_t i = 0; i < ROWS; i++) {
    a[2 * i] = 1;
    a[2 * i + 1] = (double)i + 1;
  }
  for (size_t out = 0; out < ROWS; out++) {
    size_t n = 0;
    for (size_t i = 0; i < ROWS; i++) {
      if (i == out) continue;
      less[2 * n] = 1;
      less[2 * n + 1] = a[2 * i + 1];
      rest[n++] = y[i];
    }
    sy_lsq fit;
    assert_int_equal(sy_lsq_linear(less, rest, ones, n, 2, memory(), &fit, NULL), SY_OK);
    const double at = a[2 * out + 1], s2 = fit.chi2 / (double)fit.dof;
    const double spread = 1 + fit.covariance[0] + 2 * at * fit.covariance[1] +
                          at * at * fit.covariance[3]; /* of y - prediction, / s2 */
    const double want = (y[out] - fit.x[0] - fit.x[1] * at) / sqrt(s2 * spread);
    assert_int_equal(sy_lsq_linear(a, y, ones, ROWS, 2, memory(), &fit, NULL), SY_OK);
    assert_near(sy_lsq_studentised(&fit, out), want, 1e-11 * (1 + fabs(want)));
    assert_int_equal(sy_lsq_worst(&fit, 0, ROWS), 5);
    assert_int_equal(sy_lsq_worst(&fit, 0, 0), 0);
  }
}

/* Three observations for three unknowns, one of which meets one observation only: nothing is tested, and it says so. */
static void observation_that_alone_settles_an_unknown_is_untestable(void **state) {
  (void)state;
  const double a[] = {1, 0, 1, 0, 1, 0, 1, 1}, y[] = {2, 2.3, 1.9, 7}, sd[] = {0.1, 0.1, 0.1, 0.1};
  sy_lsq fit;
  assert_int_equal(sy_lsq_linear(a, y, sd, 4, 2, memory(), &fit, NULL), SY_OK);
  assert_true(isnan(fit.standardised[3]));
  assert_near(fit.redundancy[3], 0, SY_LSQ_UNTESTABLE);
  assert_true(isnan(sy_lsq_studentised(&fit, 3)));
  assert_near(sy_lsq_correlation(&fit, 0, 3), 0, 0);
  assert_int_equal(sy_lsq_worst(&fit, 0, 4), 1);
  assert_int_equal(sy_lsq_worst(&fit, 3, 4), 4);
  assert_near(fit.x[0], 6.2 / 3, 1e-15);
  assert_near(sqrt(fit.covariance[0]), 0.1 / sqrt(3), 1e-16);
  assert_near(sy_lsq_correlation(&fit, 0, 1), -0.5, 1e-15); /* three readings of one thing: -1/(n - 1) */
}

/* One test at 5 % is 1.95996 (normal table); of 10 the level of each is 1 - 0.95^0.1 = 0.0051162 (Z. Sidak, J. Am. Stat. Assoc.
** 62, 1967, 626: formula, from memory; figures from SciPy's norm.ppf). */
static void critical_value_grows_with_the_number_tested(void **state) {
  (void)state;
  assert_near(sy_lsq_critical(1, 0.05), 1.959963984540054, 1e-12);
  assert_near(sy_lsq_critical(10, 0.05), 2.799625219301094, 1e-11);
  assert_true(isnan(sy_lsq_critical(0, 0.05)));
}

static sy_status nowhere(void *user, const double *x, double *fitted, double *jacobian, sy_error *err) {
  (void)user, (void)x, (void)fitted, (void)jacobian;
  return sy_fail(err, SY_GEOMETRY, "lift", "height", "is beyond the wheelbase");
}

/* |x|, cut off below 0.5: the derivative points to where the model has no answer or to nothing better. */
static sy_status cliff(void *user, const double *x, double *fitted, double *jacobian, sy_error *err) {
  (void)user;
  if (!(x[0] > 0.5)) return sy_fail(err, SY_RANGE, "x", "", "is %g", x[0]);
  fitted[0] = x[0];
  if (jacobian != NULL) jacobian[0] = 1;
  return SY_OK;
}

static void bad_fits_are_refused_with_a_reason(void **state) {
  (void)state;
  const double a[] = {1, 2, 2, 4, 3, 6}, y[] = {1, 2, 3}, sd[] = {1, 0, 1};
  const double nan_y[] = {1, (double)NAN, 3}, independent[] = {1, 2, 3, 4, 5, 7};
  sy_error err;
  sy_lsq fit = {.dof = 77};
  assert_int_equal(sy_lsq_linear(a, y, ones, 3, 2, memory(), &fit, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "rank");
  assert_int_equal(sy_lsq_linear(independent, y, sd, 3, 2, memory(), &fit, &err), SY_RANGE);
  assert_string_equal(err.field, "sd");
  assert_string_equal(err.message, "of observation 2 is 0, must be > 0");
  assert_int_equal(sy_lsq_linear(independent, nan_y, ones, 3, 2, memory(), &fit, &err), SY_RANGE);
  assert_string_equal(err.field, "observation");
  assert_int_equal(sy_lsq_linear(independent, y, ones, 1, 2, memory(), &fit, &err), SY_RANGE);
  assert_string_equal(err.message, "are 1 for 2 unknowns");
  assert_int_equal(sy_lsq_linear(independent, y, ones, 3, 0, memory(), &fit, &err), SY_RANGE);
  const double start[] = {1};
  assert_int_equal(sy_lsq_fit(nowhere, NULL, y, ones, start, 1, 1, memory(), &fit, &err), SY_GEOMETRY);
  assert_string_equal(err.part, "lift");
  const double low[] = {0.2}; /* the answer lies where the model has none */
  assert_int_equal(sy_lsq_fit(cliff, NULL, low, ones, start, 1, 1, memory(), &fit, &err), SY_LIMIT);
  assert_string_equal(err.part, "readings");
  assert_non_null(strstr(err.message, "number 1 of 1 is the furthest off"));
  assert_int_equal(fit.dof, 77);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(linear_norris_keeps_eleven_digits),
      cmocka_unit_test(linear_longley_keeps_nine_digits),
      cmocka_unit_test(linear_wampler_one_and_three_keep_eight_digits),
      cmocka_unit_test(fit_of_misra1a_from_both_starts_keeps_ten_digits),
      cmocka_unit_test(fit_of_pearsons_line_with_yorks_weights_agrees),
      cmocka_unit_test(report_of_a_random_fit_predicts_what_an_error_does),
      cmocka_unit_test(studentised_residual_is_that_of_the_fit_without_it),
      cmocka_unit_test(observation_that_alone_settles_an_unknown_is_untestable),
      cmocka_unit_test(critical_value_grows_with_the_number_tested),
      cmocka_unit_test(bad_fits_are_refused_with_a_reason),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
