#include "numeric/uncertain.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "numeric/stats.h"
#include "reference_data.h"

/* ---- JCGM 100:2008 (GUM), H.2: resistance and reactance from simultaneous readings ------------------------------ */

typedef struct readings {
  double mean[3], sd[3], correlation[9];
} readings;

/* Means, standard deviations of the mean, correlations: GUM equations 3, 5, 17. */
static readings evaluate(const table *t) {
  readings r;
  const double n = (double)t->rows;
  double c[3][3];
  for (int j = 0; j < 3; j++) {
    r.mean[j] = 0;
    for (size_t i = 0; i < t->rows; i++) r.mean[j] += t->cell[i][j] / n;
  }
  for (int j = 0; j < 3; j++)
    for (int k = 0; k < 3; k++) {
      c[j][k] = 0;
      for (size_t i = 0; i < t->rows; i++)
        c[j][k] += (t->cell[i][j] - r.mean[j]) * (t->cell[i][k] - r.mean[k]) / (n * (n - 1));
    }
  for (int j = 0; j < 3; j++) r.sd[j] = sqrt(c[j][j]);
  for (int j = 0; j < 3; j++)
    for (int k = 0; k < 3; k++)
      r.correlation[3 * j + k] = j == k ? 1 : c[j < k ? j : k][j < k ? k : j] / (r.sd[j] * r.sd[k]);
  return r;
}

/* R = V/I cos(phi), X = V/I sin(phi), Z = V/I. The Guide prints R 127.732 (0.071), X 219.847 (0.295), Z 254.260 (0.236) ohm
** and, remembered, correlations R,X -0.588, R,Z -0.485, X,Z 0.993; it rounded means and inputs on the way, so 0.001. */
static void propagate_guide_impedance_example(void **state) {
  (void)state;
  const table t = table_read("tests/reference/gum_h2.csv");
  const readings r = evaluate(&t);
  assert_near(r.sd[0], 0.0032, 0.5e-4); /* the inputs as the Guide prints them */
  assert_near(r.correlation[1], -0.36, 0.005);
  assert_near(r.correlation[2], 0.86, 0.005);
  assert_near(r.correlation[5], -0.65, 0.005);
  const double v = r.mean[0], i = r.mean[1], c = cos(r.mean[2]), s = sin(r.mean[2]);
  const double z = v / i;
  const double jacobian[9] = {c / i, -z * c / i, -z * s, s / i, -z * s / i, z * c, 1 / i, -z / i, 0};
  double cov[9], out[9];
  assert_int_equal(sy_uncertain_covariance(r.sd, r.correlation, 3, cov, NULL), SY_OK);
  sy_uncertain_propagate(jacobian, cov, 3, 3, out);
  assert_near(z * c, 127.732, 0.001);
  assert_near(z * s, 219.847, 0.001);
  assert_near(z, 254.260, 0.001);
  const double u[3] = {sqrt(out[0]), sqrt(out[4]), sqrt(out[8])};
  assert_near(u[0], 0.071, 0.001);
  assert_near(u[1], 0.295, 0.001);
  assert_near(u[2], 0.236, 0.001);
  assert_near(out[1] / (u[0] * u[1]), -0.588, 0.001);
  assert_near(out[2] / (u[0] * u[2]), -0.485, 0.001);
  assert_near(out[5] / (u[1] * u[2]), 0.993, 0.001);
  assert_near(sy_uncertain_linear(jacobian, cov, 3), u[0], 4 * DBL_EPSILON); /* one row by itself */
}

/* GUM, H.1: length of an end gauge. Components in nm; the Guide prints u_c 32, effective dof 16, k_99 2.92, U_99 93 (its
** u_c rounded; 92.5 from the unrounded one). Results remembered. */
static void interval_guide_end_gauge_example(void **state) {
  (void)state;
  const double sd[6] = {25, 5.8, 3.9, 6.7, 2.9, 16.6}, one[6] = {1, 1, 1, 1, 1, 1};
  double cov[36];
  assert_int_equal(sy_uncertain_covariance(sd, NULL, 6, cov, NULL), SY_OK);
  const double u = sy_uncertain_linear(one, cov, 6);
  assert_near(u, 32, 0.5);
  sy_interval at;
  assert_int_equal(sy_uncertain_interval(838, u, 16.7, 0.99, &at, NULL), SY_OK);
  assert_near(at.dof, 16, 0);
  assert_near(at.factor, 2.92, 0.005);
  assert_near(at.high - 838, 92.5, 0.5);
  assert_near(838 - at.low, at.high - 838, 1e-12);
}

static void interval_normal_and_small_dof(void **state) {
  (void)state;
  sy_interval at;
  assert_int_equal(sy_uncertain_interval(10, 2, (double)INFINITY, 0.95, &at, NULL), SY_OK);
  assert_near(at.factor, 1.959963984540054, 1e-14);
  assert_near(at.high, 10 + 2 * 1.959963984540054, 1e-13);
  assert_int_equal(sy_uncertain_interval(10, 0, 0.7, 0.95, &at, NULL), SY_OK);
  assert_near(at.dof, 0.7, 0); /* below 1 there is nothing to cut to */
  assert_near(at.low, 10, 0);
}

static void interval_refuses_each_bad_argument_by_name(void **state) {
  (void)state;
  const struct {
    double value, u, dof, coverage;
    const char *field;
  } bad[] = {{(double)NAN, 1, 5, 0.95, "value"},
             {0, -1, 5, 0.95, "u"},
             {0, (double)INFINITY, 5, 0.95, "u"},
             {0, 1, 0, 0.95, "dof"},
             {0, 1, 5, 0, "coverage"},
             {0, 1, 5, 1, "coverage"},
             {0, 1, 5, 95, "coverage"}};
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    sy_interval out = {1, 2, 3, 4};
    sy_error err;
    assert_int_equal(sy_uncertain_interval(bad[i].value, bad[i].u, bad[i].dof, bad[i].coverage, &out, &err),
                     SY_RANGE);
    assert_string_equal(err.part, "interval");
    assert_string_equal(err.field, bad[i].field);
    assert_near(out.low, 1, 0);
  }
}

/* A rectangular distribution of half width a has the standard deviation a / sqrt 3: GUM 4.3.7. */
static void limits_are_rectangular(void **state) {
  (void)state;
  assert_near(sy_uncertain_limits(1), 0.5773502691896258, DBL_EPSILON);
  assert_near(sy_uncertain_limits(-15), 15 * 0.5773502691896258, 15 * DBL_EPSILON);
}

/* x_c = sum m x / sum m of four parts with uncertain masses: dx_c/dm_i = (x_i - x_c) / M. Engine 135 kg at -0.08 m and the
** like; the ratio of two linear forms and the textbook derivative must agree. */
static void ratio_is_the_uncertainty_of_a_centre_of_gravity(void **state) {
  (void)state;
  const double m[4] = {135, 42, 77, 220}, x[4] = {-0.08, 0.52, 1.5, 1.35}, sd[4] = {1.5, 0.7, 2, 3.1};
  const double one[4] = {1, 1, 1, 1};
  const double r[16] = {1, 0.3, 0, 0, 0.3, 1, 0, -0.2, 0, 0, 1, 0, 0, -0.2, 0, 1};
  double cov[16], value, u;
  assert_int_equal(sy_uncertain_covariance(sd, r, 4, cov, NULL), SY_OK);
  assert_int_equal(sy_uncertain_ratio(x, one, m, cov, 4, &value, &u, NULL), SY_OK);
  const double total = 474, centre = (135 * -0.08 + 42 * 0.52 + 77 * 1.5 + 220 * 1.35) / total;
  assert_near(value, centre, 4 * DBL_EPSILON);
  double variance = 0;
  for (int i = 0; i < 4; i++)
    for (int j = 0; j < 4; j++)
      variance += (x[i] - centre) / total * r[4 * i + j] * sd[i] * sd[j] * (x[j] - centre) / total;
  assert_near(u, sqrt(variance), 1e-14 * u + 1e-17);
}

/* Two readings that share their whole error: the difference is certain, the mean is as uncertain as each. */
static void linear_shared_errors_cancel_in_a_difference(void **state) {
  (void)state;
  const double sd[2] = {2.7, 2.7}, r[4] = {1, 1, 1, 1}, difference[2] = {1, -1}, mean[2] = {0.5, 0.5};
  double cov[4];
  assert_int_equal(sy_uncertain_covariance(sd, r, 2, cov, NULL), SY_OK);
  assert_near(sy_uncertain_linear(difference, cov, 2), 0, 0);
  assert_near(sy_uncertain_linear(mean, cov, 2), 2.7, 4 * DBL_EPSILON);
}

static void shares_sum_to_one_and_may_be_negative(void **state) {
  (void)state;
  const double sd[3] = {3, 4, 1}, c[3] = {1, 1, -2};
  double cov[9], share[3];
  assert_int_equal(sy_uncertain_covariance(sd, NULL, 3, cov, NULL), SY_OK);
  sy_uncertain_shares(c, cov, 3, share); /* 9, 16 and 4 of 29 */
  assert_near(share[0], 9.0 / 29, DBL_EPSILON);
  assert_near(share[1], 16.0 / 29, DBL_EPSILON);
  assert_near(share[2], 4.0 / 29, DBL_EPSILON);
  const double r[9] = {1, 0, 0.9, 0, 1, 0, 0.9, 0, 1};
  assert_int_equal(sy_uncertain_covariance(sd, r, 3, cov, NULL), SY_OK);
  sy_uncertain_shares(c, cov, 3, share); /* first with third: -2 x 0.9 x 3 = -5.4; u^2 = 29 - 10.8 */
  assert_near(share[2], (4 - 5.4) / 18.2, 4 * DBL_EPSILON);
  assert_near(share[0] + share[1] + share[2], 1, 4 * DBL_EPSILON);
  const double nothing[3] = {0, 0, 0};
  sy_uncertain_shares(nothing, cov, 3, share);
  assert_near(share[0] + share[1] + share[2], 0, 0);
}

static void ratio_without_a_value_is_refused(void **state) {
  (void)state;
  const double a[2] = {1, 2}, b[2] = {1, -1}, q[2] = {3, 3}, cov[4] = {1, 0, 0, 1};
  double value = 7, u = 8;
  sy_error err;
  assert_int_equal(sy_uncertain_ratio(a, b, q, cov, 2, &value, &u, &err), SY_RANGE);
  assert_string_equal(err.part, "ratio");
  assert_string_equal(err.field, "denominator");
  assert_string_equal(err.message, "is 0, the quotient has no value");
  assert_near(value, 7, 0);
  assert_near(u, 8, 0);
}

static void assert_refused(const double *r, size_t n, sy_status want, const char *part, const char *says) {
  double work[36];
  sy_error err;
  assert_int_equal(sy_uncertain_check_correlation(r, n, work, &err), want);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, "correlation");
  if (strstr(err.message, says) == NULL) fail_msg("\"%s\" does not say \"%s\"", err.message, says);
}

/* Either part alone is its own distribution. Both: t with 1 degree of freedom is Cauchy's, its sum with a normal one has the Voigt profile.
** Half-widths by SciPy: special.voigt_profile integrated to 95 %, and for dof 2 the convolution by integrate.quad. */
static void half_width_adds_the_distributions(void **state) {
  (void)state;
  assert_near(sy_uncertain_half_width(0, 0.7, 3, 0.95), 0.7 * sy_stats_student_quantile(0.975, 3), 0);
  assert_near(sy_uncertain_half_width(0.7, 0, 3, 0.95), 0.7 * sy_stats_normal_quantile(0.975), 0);
  assert_near(sy_uncertain_half_width(3, 4, (double)INFINITY, 0.9), 5 * sy_stats_normal_quantile(0.95),
              1e-14);
  assert_near(sy_uncertain_half_width(1, 1, 1, 0.95), 12.784906347360, 1e-8);
  assert_near(sy_uncertain_half_width(1, 0.5, 1, 0.95), 6.513754577620, 1e-8);
  assert_near(sy_uncertain_half_width(1, 1, 2, 0.95), 4.632897709181, 1e-8);
  assert_near(sy_uncertain_half_width(1, 1, 1e5, 0.95), sqrt(2) * sy_stats_normal_quantile(0.975), 1e-4);
  assert_true(isnan(sy_uncertain_half_width(-1, 1, 2, 0.95)) &&
              isnan(sy_uncertain_half_width(1, 1, 0, 0.95)) && isnan(sy_uncertain_half_width(1, 1, 2, 1)));
}

static void check_correlation_refuses_what_cannot_be(void **state) {
  (void)state;
  const double lopsided[4] = {1, 0.3, 0.4, 1}, diagonal[4] = {1, 0, 0, 0.9}, large[4] = {1, 1.2, 1.2, 1};
  const double not_finite[4] = {1, (double)NAN, (double)NAN, 1}, no_diagonal[4] = {(double)NAN, 0, 0, 1};
  assert_refused(lopsided, 2, SY_CLASH, "inputs 2 and 1",
                 "is 0.4 one way and 0.3 the other, must be the same");
  assert_refused(diagonal, 2, SY_CLASH, "inputs 2 and 2", "is 0.9, must be 1 on the diagonal");
  assert_refused(large, 2, SY_RANGE, "inputs 2 and 1", "is 1.2, must be between -1 and 1");
  assert_refused(not_finite, 2, SY_RANGE, "inputs 2 and 1", "is nan");
  assert_refused(no_diagonal, 2, SY_RANGE, "inputs 1 and 1", "is nan");
  /* 1 and 2 move together, 2 and 3 too, 1 and 3 against each other: impossible. Eigenvalues 1.9, 1.9, -0.8 */
  const double circle[9] = {1, 0.9, -0.9, 0.9, 1, 0.9, -0.9, 0.9, 1};
  double work[9];
  sy_error err;
  assert_int_equal(sy_uncertain_check_correlation(circle, 3, work, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "correlation");
  assert_non_null(strstr(err.message, "contradicts the other correlations"));
  /* a zero pivot with a row that is not zero: 1 = 2 exactly, but they see 3 differently */
  const double zero_pivot[9] = {1, 1, 0.2, 1, 1, 0.1, 0.2, 0.1, 1};
  assert_int_equal(sy_uncertain_check_correlation(zero_pivot, 3, work, NULL), SY_GEOMETRY);
  /* 2 and 3 are both 1 exactly, so they cannot differ: nothing but zeros is left on the diagonal */
  const double all_zero[9] = {1, 1, 1, 1, 1, 0.5, 1, 0.5, 1};
  assert_refused(all_zero, 3, SY_GEOMETRY, "inputs 3 and 2", "no errors are correlated like that");
}

/* Determinant of [[1 a a][a 1 a][a a 1]] is (1 - a)^2 (1 + 2 a): the boundary is a = -1/2. */
static void check_correlation_accepts_up_to_the_boundary(void **state) {
  (void)state;
  double work[36];
  const double a = -0.5, b = -0.5000001;
  const double on[9] = {1, a, a, a, 1, a, a, a, 1}, off[9] = {1, b, b, b, 1, b, b, b, 1};
  assert_int_equal(sy_uncertain_check_correlation(on, 3, work, NULL), SY_OK);
  assert_int_equal(sy_uncertain_check_correlation(off, 3, work, NULL), SY_GEOMETRY);
  double all_one[36]; /* rank one */
  for (int i = 0; i < 36; i++) all_one[i] = 1;
  assert_int_equal(sy_uncertain_check_correlation(all_one, 6, work, NULL), SY_OK);
  /* the correlations of the Guide's example, rounded to two places as printed */
  const double printed[9] = {1, -0.36, 0.86, -0.36, 1, -0.65, 0.86, -0.65, 1};
  assert_int_equal(sy_uncertain_check_correlation(printed, 3, work, NULL), SY_OK);
}

static void covariance_refuses_a_bad_sd_by_number(void **state) {
  (void)state;
  const double sd[3] = {1, 2, -0.5};
  double cov[9];
  sy_error err;
  assert_int_equal(sy_uncertain_covariance(sd, NULL, 3, cov, &err), SY_RANGE);
  assert_string_equal(err.part, "input 3");
  assert_string_equal(err.field, "sd");
  assert_string_equal(err.message, "is -0.5, must be >= 0 and finite");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(propagate_guide_impedance_example),
      cmocka_unit_test(interval_guide_end_gauge_example),
      cmocka_unit_test(interval_normal_and_small_dof),
      cmocka_unit_test(interval_refuses_each_bad_argument_by_name),
      cmocka_unit_test(limits_are_rectangular),
      cmocka_unit_test(ratio_is_the_uncertainty_of_a_centre_of_gravity),
      cmocka_unit_test(linear_shared_errors_cancel_in_a_difference),
      cmocka_unit_test(shares_sum_to_one_and_may_be_negative),
      cmocka_unit_test(ratio_without_a_value_is_refused),
      cmocka_unit_test(half_width_adds_the_distributions),
      cmocka_unit_test(check_correlation_refuses_what_cannot_be),
      cmocka_unit_test(check_correlation_accepts_up_to_the_boundary),
      cmocka_unit_test(covariance_refuses_a_bad_sd_by_number),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
