#include "numeric/root.h"

#include <float.h>
#include <stdbool.h>

#include "dice.h"
#include "near.h"

/* (x + 3)(x - 1)^2: a simple root at -3, a double one at 1, which no sign shows. */
static double cubic(void *user, double x) {
  int *calls = user;
  if (calls != NULL) ++*calls;
  return (x + 3) * (x - 1) * (x - 1);
}

/* Kepler's equation E - e sin E = M. For M = 5 degrees and e = 0.0167, an arc small enough for the series
** E = M + e sin M + e^2/2 sin 2M + e^3 (3 sin 3M - sin M)/8 + O(e^4): J. Meeus, Astronomical Algorithms, 1991, ch. 29
** (formula from memory). */
static double kepler(void *user, double e) { return e - 0.0167 * sin(e) - *(double *)user; }

static double broken(void *user, double x) {
  (void)user;
  return x < 0.4 ? -1 : x > 0.6 ? 1 : (double)NAN;
}

static double step(void *user, double x) { return x < *(double *)user ? -1 : 1; }

static void root_of_a_cubic_is_found_to_the_last_digits(void **state) {
  (void)state;
  int calls = 0;
  double x = 0;
  assert_int_equal(sy_root_between(cubic, &calls, -4, 4.0 / 3, 0, &x, NULL), SY_OK);
  assert_near(x, -3, 4 * DBL_EPSILON * 3); /* two last digits each side */
  assert_true(calls <= 14);                /* bisection alone would need 54 */
}

static void root_of_keplers_equation_agrees_with_its_series(void **state) {
  (void)state;
  double m = 5 * 3.14159265358979323846 / 180, e = 0.0167, x = 0;
  assert_int_equal(sy_root_between(kepler, &m, 0, 1, 0, &x, NULL), SY_OK);
  const double series = m + e * sin(m) + e * e / 2 * sin(2 * m) + e * e * e * (3 * sin(3 * m) - sin(m)) / 8;
  assert_near(x, series, e * e * e * e); /* the first term left out */
  assert_near(kepler(&m, x), 0, 4 * DBL_EPSILON);
}

static void root_at_an_end_or_a_jump_is_found(void **state) {
  (void)state;
  double x = 0;
  assert_int_equal(sy_root_between(cubic, NULL, -3, 0.5, 0, &x, NULL), SY_OK);
  assert_near(x, -3, 0);
  dice d = {7};
  for (int i = 0; i < 200; i++) {
    double at = dice_between(&d, -1e3, 1e3);
    assert_int_equal(sy_root_between(step, &at, -1e3, 1e3, 0, &x, NULL), SY_OK);
    assert_near(x, at, 8 * DBL_EPSILON * fabs(at) + 8 * DBL_EPSILON);
  }
}

static void tolerance_ends_the_search_early(void **state) {
  (void)state;
  double m = 0.4, rough = 0, exact = 0;
  assert_int_equal(sy_root_between(kepler, &m, 0, 1, 1e-3, &rough, NULL), SY_OK);
  assert_int_equal(sy_root_between(kepler, &m, 0, 1, 0, &exact, NULL), SY_OK);
  assert_near(rough, exact, 1e-3);
}

static void ends_without_a_change_of_sign_are_refused(void **state) {
  (void)state;
  sy_error err;
  double x = 42;
  assert_int_equal(sy_root_between(cubic, NULL, 0, 4, 0, &x, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "ends");
  assert_int_equal(sy_root_between(cubic, NULL, 4, 0, 0, &x, &err), SY_RANGE);
  assert_int_equal(sy_root_between(cubic, NULL, (double)NAN, 0, 0, &x, &err), SY_RANGE);
  assert_int_equal(sy_root_between(cubic, NULL, 0, (double)INFINITY, 0, &x, &err), SY_RANGE);
  assert_int_equal(sy_root_between(broken, NULL, 0, 1, 0, &x, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "function");
  assert_int_equal(sy_root_between(broken, NULL, 0.5, 1, 0, &x, &err), SY_GEOMETRY);
  assert_near(x, 42, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(root_of_a_cubic_is_found_to_the_last_digits),
      cmocka_unit_test(root_of_keplers_equation_agrees_with_its_series),
      cmocka_unit_test(root_at_an_end_or_a_jump_is_found),
      cmocka_unit_test(tolerance_ends_the_search_early),
      cmocka_unit_test(ends_without_a_change_of_sign_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
