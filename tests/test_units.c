#include "base/units.h"

#include <float.h>

#include "near.h"

/* The factors as printed in NIST SP 811 (2008), Appendix B.8, seven digits (remembered; bold ones there are exact).
** Tolerance: half a unit of the last printed digit. */
static void factors_match_the_printed_table(void **state) {
  (void)state;
  assert_near(SY_INCH, 2.54e-2, 0);
  assert_near(SY_FOOT, 3.048e-1, 0);
  assert_near(SY_POUND, 4.5359237e-1, 0);
  assert_near(SY_OUNCE, 2.834952e-2, 0.5e-8);
  assert_near(SY_STANDARD_GRAVITY, 9.80665, 0);
  assert_near(SY_KILOGRAM_FORCE, 9.80665, 0);
  assert_near(SY_POUND_FORCE, 4.448222, 0.5e-6);
  assert_near(SY_DEGREE, 1.745329e-2, 0.5e-8);
  assert_near(SY_LITRE, 1e-3, 0);
  assert_near(SY_US_GALLON, 3.785412e-3, 0.5e-9);
  assert_near(SY_IMPERIAL_GALLON, 4.54609e-3, 0);
  assert_near(SY_POUND_PER_INCH, 1.751268e2, 0.5e-4);
  assert_near(SY_PSI, 6.894757e3, 0.5e-3);
  assert_near(SY_BAR, 1e5, 0);
  assert_near(SY_POUND_FOOT, 1.355818, 0.5e-6);
  assert_near(SY_POUND_FOOT_SQUARED, 4.214011e-2, 0.5e-8);
  assert_near(SY_POUND_INCH_SQUARED, 2.926397e-4, 0.5e-10);
}

/* The definitions behind the exact ones: 12 in, 16 oz, 231 cubic inches, a pound under standard gravity. */
static void factors_fit_together(void **state) {
  (void)state;
  assert_near(SY_FOOT, 12 * SY_INCH, DBL_EPSILON * SY_FOOT);
  assert_near(16 * SY_OUNCE, SY_POUND, 0);
  assert_near(231 * SY_INCH * SY_INCH * SY_INCH, SY_US_GALLON, 4 * DBL_EPSILON * SY_US_GALLON);
  assert_near(SY_POUND_FORCE, SY_POUND * SY_STANDARD_GRAVITY, DBL_EPSILON * SY_POUND_FORCE);
  assert_near(SY_POUND_FOOT_SQUARED, 144 * SY_POUND_INCH_SQUARED, 4 * DBL_EPSILON * SY_POUND_FOOT_SQUARED);
  assert_near(180 * SY_DEGREE, acos(-1.0), DBL_EPSILON * SY_PI);
  assert_near(SY_NEWTON_METRE_PER_DEGREE * SY_DEGREE, 1, DBL_EPSILON);
  assert_near(SY_KILOGRAM_PER_LITRE, 1 / SY_LITRE, 0);
  assert_near(SY_GRAM * 1000, 1, 0);
  assert_near(SY_MILLIMETRE * 1000, 1, 0);
  assert_near(SY_NEWTON_PER_MM * SY_MILLIMETRE, 1, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(factors_match_the_printed_table),
      cmocka_unit_test(factors_fit_together),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
