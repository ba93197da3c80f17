#include "numeric/stats.h"

#include <float.h>

#include "near.h"

#define INF ((double)INFINITY)

/* JCGM 100:2008, Table G.2: t_p(dof) for fractions of 68.27, 95 and 99 percent, as printed (remembered). */
static void student_quantile_matches_the_guide_table(void **state) {
  (void)state;
  const double row[][4] = {{1, 1.84, 12.71, 63.66}, {2, 1.32, 4.30, 9.92},  {3, 1.20, 3.18, 5.84},
                           {5, 1.11, 2.57, 4.03},   {10, 1.05, 2.23, 3.17}, {16, 1.03, 2.12, 2.92},
                           {30, 1.02, 2.04, 2.75},  {50, 1.01, 2.01, 2.68}, {INF, 1.000, 1.960, 2.576}};
  const double fraction[3] = {0.6827, 0.95, 0.99};
  for (size_t i = 0; i < sizeof row / sizeof *row; i++)
    for (int j = 0; j < 3; j++) {
      const double tol = isinf(row[i][0]) ? 0.0005 : 0.005; /* half the last digit */
      assert_near(sy_stats_student_quantile(0.5 + 0.5 * fraction[j], row[i][0]), row[i][j + 1], tol);
    }
}

/* Closed forms: dof 1 is Cauchy's distribution, 1/2 + atan(t)/pi; dof 2 is 1/2 + t / (2 sqrt(2 + t^2)); dof 4 has
** 1/2 + 3/8 s (1 - s^2/12 (...)) with s = t / sqrt(1 + t^2/4): A&S 26.7.4. */
static void student_matches_its_closed_forms(void **state) {
  (void)state;
  const double pi = acos(-1.0);
  for (double t = -40; t < 40; t += 0.737) {
    assert_near(sy_stats_student_cdf(t, 1), 0.5 + atan(t) / pi, 1e-15);
    assert_near(sy_stats_student_cdf(t, 2), 0.5 + 0.5 * t / sqrt(2 + t * t), 1e-15);
    const double sine = t / sqrt(4 + t * t), cosine_square = 4 / (4 + t * t);
    assert_near(sy_stats_student_cdf(t, 4), 0.5 + 0.5 * sine * (1 + 0.5 * cosine_square), 1e-15);
  }
  /* far out, relatively: atan(1/t)/pi */
  assert_near(sy_stats_student_cdf(-1e9, 1), atan(1e-9) / pi, 1e-13 * 1e-9);
  assert_near(sy_stats_student_quantile(0.9, 2), 0.8 / sqrt(2 * 0.9 * 0.1), 1e-14);
  assert_near(sy_stats_student_quantile(1e-12, 1), -1 / tan(pi * 1e-12), 1e-13 * 3.2e11);
}

/* Normal distribution: 0.975 quantile to 16 digits and cdf(-6) (remembered: A&S table 26.1 and 26.2 give
** 9.8659e-10). */
static void normal_matches_the_tables(void **state) {
  (void)state;
  assert_near(sy_stats_normal_quantile(0.975), 1.959963984540054, 4 * DBL_EPSILON);
  assert_near(sy_stats_normal_cdf(1), 0.8413447460685429, 2 * DBL_EPSILON);
  assert_near(sy_stats_normal_cdf(-6), 9.8659e-10, 0.5e-14);
  assert_near(sy_stats_normal_quantile(0.5), 0, 0);
  assert_near(sy_stats_normal_cdf(-1.3), 0.5 * erfc(1.3 / sqrt(2.0)), DBL_EPSILON);
}

/* F with dof1 2 has the tail (1 + 2 f/dof2)^(-dof2/2); with dof1 1 it is the square of Student's t; the two variances may change
** places, P(F > f) + P(F' > 1/f) = 1. Closed forms: integrate the density of A&S 26.6.1. */
static void f_matches_its_closed_forms(void **state) {
  (void)state;
  for (double f = 0.0137; f < 90; f *= 1.43)
    for (double dof = 1; dof < 2000; dof *= 2.7) {
      const double want = exp(-dof / 2 * log1p(2 * f / dof));
      assert_near(sy_stats_f_tail(f, 2, dof), want, 1e-11 * want + 1e-15);
      assert_near(sy_stats_f_tail(f, 1, dof), 2 * sy_stats_student_cdf(-sqrt(f), dof), 1e-12);
      assert_near(sy_stats_f_tail(f, 3.7, dof) + sy_stats_f_tail(1 / f, dof, 3.7), 1, 1e-12);
    }
  assert_near(sy_stats_f_tail(1.7, 3, INF), sy_stats_chi2_tail(5.1, 3), 0);
  assert_near(sy_stats_f_tail(0, 3, 4), 1, 0);
  assert_near(sy_stats_f_tail(INF, 3, 4), 0, 0);
  assert_true(isnan(sy_stats_f_tail(-1, 3, 4)) && isnan(sy_stats_f_tail(1, 0, 4)) &&
              isnan(sy_stats_f_tail(1, 3, (double)NAN)));
}

/* Chi-square: dof 2 is exponential, 1 - exp(-x/2); dof 1 is the square of a normal; dof 4 has tail (1 + x/2) exp(-x/2).
** Exponents up to 45 are rounded to 1 part in 2^53, and 1 - P doubles what P is off by: 1e-13. */
static void chi2_matches_its_closed_forms(void **state) {
  (void)state;
  for (double x = 0.0137; x < 90; x *= 1.43) {
    assert_near(sy_stats_chi2_tail(x, 2), exp(-x / 2), 1e-13 * exp(-x / 2));
    assert_near(sy_stats_chi2_cdf(x, 2), -expm1(-x / 2), -1e-13 * expm1(-x / 2));
    assert_near(sy_stats_chi2_tail(x, 1), erfc(sqrt(x / 2)), 1e-13 * erfc(sqrt(x / 2)));
    assert_near(sy_stats_chi2_tail(x, 4), (1 + x / 2) * exp(-x / 2), 2e-14 * (1 + x / 2) * exp(-x / 2));
  }
  assert_near(sy_stats_chi2_quantile(0.37, 2), -2 * log1p(-0.37), 1e-14);
  assert_near(sy_stats_chi2_quantile(1e-9, 2), -2 * log1p(-1e-9), 1e-23);
}

/* Printed in tables of the upper 5 percent point (A&S table 26.8, remembered): 4 and 10 degrees of freedom; and 0.995 of
** 100. Half the last digit. */
static void chi2_quantile_matches_the_tables(void **state) {
  (void)state;
  assert_near(sy_stats_chi2_quantile(0.95, 4), 9.4877, 0.5e-4);
  assert_near(sy_stats_chi2_quantile(0.95, 10), 18.3070, 0.5e-4);
  assert_near(sy_stats_chi2_quantile(0.005, 10), 2.15586, 0.5e-5);
  assert_near(sy_stats_chi2_quantile(0.995, 100), 140.169, 0.5e-3);
}

/* 30-digit values of the regularised incomplete gamma function P(4155.496, 2342.561) (by mpmath's gammainc): far out in the
** tail of many degrees of freedom, where single lgamma calls lose what they subtract. */
static void chi2_far_tail_keeps_its_digits(void **state) {
  (void)state;
  const double want = 1.1516633366112156747e-249;
  assert_near(sy_stats_chi2_cdf(4685.122747876716, 8311.00986129108), want, 1e-12 * want);
}

static void quantile_is_the_inverse_of_its_cdf(void **state) {
  (void)state;
  const double dofs[] = {0.37, 1, 2.9, 16.7, 137.5, 9000};
  for (size_t i = 0; i < sizeof dofs / sizeof *dofs; i++)
    for (double p = 1e-6; p < 1; p += 0.0771) {
      assert_near(sy_stats_student_cdf(sy_stats_student_quantile(p, dofs[i]), dofs[i]), p, 1e-12 * p);
      assert_near(sy_stats_chi2_cdf(sy_stats_chi2_quantile(p, dofs[i]), dofs[i]), p, 1e-12 * p);
      const double mirrored = -sy_stats_student_quantile(1 - p, dofs[i]);
      const double t = sy_stats_student_quantile(p, dofs[i]);
      /* 1 - p is off by half an ulp of 1, the tail's slope blows that up by t / p at worst */
      assert_near(mirrored, t, fabs(t) * (1e-13 + 4 * DBL_EPSILON / p / fmin(dofs[i], 1)));
    }
}

static void ends_and_bad_arguments(void **state) {
  (void)state;
  assert_true(isinf(sy_stats_student_quantile(1, 3)) && isinf(-sy_stats_student_quantile(0, 3)));
  assert_near(sy_stats_chi2_quantile(0, 3), 0, 0);
  assert_true(isinf(sy_stats_chi2_quantile(1, 3)));
  assert_near(sy_stats_student_cdf(INF, 3), 1, 0);
  assert_near(sy_stats_student_cdf(-INF, 3), 0, 0);
  assert_near(sy_stats_student_cdf(0, 3), 0.5, 0);
  assert_near(sy_stats_chi2_cdf(-1, 3), 0, 0);
  assert_near(sy_stats_chi2_tail(INF, 3), 0, 0);
  assert_true(isnan(sy_stats_student_cdf(1, 0)));
  assert_true(isnan(sy_stats_student_cdf((double)NAN, 2)));
  assert_true(isnan(sy_stats_student_quantile(1.01, 2)));
  assert_true(isnan(sy_stats_student_quantile(0.5, -2)));
  assert_true(isnan(sy_stats_chi2_cdf(1, (double)NAN)));
  assert_true(isnan(sy_stats_chi2_tail(1, INF)));
  assert_true(isnan(sy_stats_chi2_quantile(-0.1, 2)));
}

/* JCGM 100:2008, H.1 (end gauge): components in nm with their degrees of freedom give 16.7, cut to 16. The
** components are printed to 0.1 nm or less: 16.6 +- 0.05 alone moves the answer by 0.1. */
static void welch_dof_matches_the_end_gauge_example(void **state) {
  (void)state;
  const double u[] = {25, 5.8, 3.9, 6.7, 2.9, 16.6}, dof[] = {18, 24, 5, 8, 50, 2};
  assert_near(sy_stats_welch_dof(u, dof, 6), 16.7, 0.1);
}

static void welch_dof_simple_cases(void **state) {
  (void)state;
  const double same[] = {0.3, 0.3, 0.3}, five[] = {5, 5, 5};
  assert_near(sy_stats_welch_dof(same, five, 3), 15, 1e-14); /* equal ones add up */
  assert_near(sy_stats_welch_dof(same, five, 1), 5, 1e-15);
  const double mixed[] = {0.3, 0.4}, known[] = {7, INF};
  assert_near(sy_stats_welch_dof(mixed, known, 2), 7 * 0.0625 / 0.0081, 1e-12); /* u_c^4 / u_1^4 */
  const double none[] = {0, 0};
  assert_true(isinf(sy_stats_welch_dof(none, known, 2)));
  assert_true(isinf(sy_stats_welch_dof(mixed + 1, known + 1, 1)));
  const double tiny[] = {3e-200, 4e-200};
  assert_near(sy_stats_welch_dof(tiny, known, 2), 7 * 0.0625 / 0.0081, 1e-12);
  const double bad[] = {0, 3};
  assert_true(isnan(sy_stats_welch_dof(mixed, bad, 2)));
}

/* Beyond SY_STATS_MOST_DOF a Student t is taken from a normal distribution. Wanted: the first term of the difference, the normal density
** times (t^3 + t) / (4 dof) (A&S 26.7.5), the next is smaller by t^4 / dof. Series and fractions for chi-square would never end. */
static void dof_beyond_all_readings_end_or_are_refused(void **state) {
  (void)state;
  for (int t = 1; t <= 6; t++) {
    const double density = exp(-0.5 * t * t) / sqrt(2 * 3.14159265358979324), dof = 2e9;
    const double more = density * (t * t * t + t) / (4 * dof), normal = sy_stats_normal_cdf(-t);
    assert_near(sy_stats_student_cdf(-t, dof) - normal, more,
                1e-3 * more + 4e-16 * normal); /* a rounding of both */
    assert_near(sy_stats_student_cdf(-t, 1e160), normal, 1e-15 * normal);
  }
  assert_near(sy_stats_student_quantile(0.975, 1e12), 1.959963984540054, 1e-11); /* 1.96 (1 + 1.2 / dof) */
  const double bad[] = {1e160, 1e308, 2e9, 1e-200, 5e-324};
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    assert_true(isnan(sy_stats_chi2_quantile(0.7, bad[i])));
    assert_true(isnan(sy_stats_chi2_cdf(3, bad[i])) && isnan(sy_stats_chi2_tail(3, bad[i])));
    assert_true(isnan(sy_stats_f_tail(1.3, bad[i], 4)));
  }
  assert_true(isnan(sy_stats_student_cdf(1, 5e-324)) && isnan(sy_stats_student_quantile(0.7, 1e-200)));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(dof_beyond_all_readings_end_or_are_refused),
      cmocka_unit_test(student_quantile_matches_the_guide_table),
      cmocka_unit_test(student_matches_its_closed_forms),
      cmocka_unit_test(normal_matches_the_tables),
      cmocka_unit_test(chi2_matches_its_closed_forms),
      cmocka_unit_test(f_matches_its_closed_forms),
      cmocka_unit_test(chi2_quantile_matches_the_tables),
      cmocka_unit_test(chi2_far_tail_keeps_its_digits),
      cmocka_unit_test(quantile_is_the_inverse_of_its_cdf),
      cmocka_unit_test(ends_and_bad_arguments),
      cmocka_unit_test(welch_dof_matches_the_end_gauge_example),
      cmocka_unit_test(welch_dof_simple_cases),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
