#include "shop/cardan.h"

#include <float.h>

#include "base/units.h"
#include "reference_data.h"

static const double DEG = SY_DEGREE;

/* Two joints of 20 degrees each, wrongly phased by a quarter turn, 500 rpm in: middle shaft 469.85 to 532.1 rpm, output 441.5 to
** 566.25 rpm. Examination question printed at qna.carrieradda.com 26514, 26773 and bissoy.com 376914 (566.25 is loose there:
** 500 / cos^2 20 = 566.237). */
static void ripple_and_pair_of_a_wrongly_phased_shaft(void **state) {
  (void)state;
  const sy_ripple one = sy_cardan_ripple(20 * DEG);
  assert_near(500 * one.slowest, 469.85, 0.005);
  assert_near(500 * one.fastest, 532.1, 0.05);
  const sy_ripple both = sy_cardan_ripple(sy_cardan_pair(20 * DEG, 20 * DEG, 90 * DEG));
  assert_near(500 * both.slowest, 441.5, 0.05);
  assert_near(500 * both.fastest, 566.25, 0.02);
}

/* Unevenness 1/cos - cos in percent and largest lead in degrees of a single joint, from the closed forms (derived; no print). A
** shaft maker asks for at most 0.0027 for the residual angle: elbe-group.de, technical notes 3; that is 2.977 degrees. */
static void ripple_of_single_joints(void **state) {
  (void)state;
  static const double want[][3] = {
      {5, 0.7625, 0.10922}, {10, 3.0619, 0.43856}, {15, 6.9350, 0.99312}, {20, 12.4485, 1.78168}};
  for (size_t i = 0; i < sizeof want / sizeof *want; i++) {
    const sy_ripple r = sy_cardan_ripple(want[i][0] * DEG);
    assert_near(100 * r.unevenness, want[i][1], 0.00005); /* half the last digits */
    assert_near(r.lead / DEG, want[i][2], 0.000005);
    assert_near(r.unevenness, r.fastest - r.slowest, 4 * DBL_EPSILON);
  }
  assert_near(100 * sy_cardan_ripple(25 * DEG).unevenness, 19.7070, 0.00005);
  assert_near(sy_cardan_ripple(2.977 * DEG).unevenness, 0.0027, 0.000001);
}

/* "Design Guidelines for Drive Shaft Installation Angle", engineersedge.com: the angle allowed at joint 2 for a given one at joint
** 1, by shaft speed. Each pair must make up the angle allowed at joint 2 alone. Printed to 0.1 degree, the row of 1600 rpm cut
** rather than rounded, and the page's rule sqrt(limit^2 + angle1^2) is the small-angle form: 0.1 degree at joint 2 either way. */
static void pair_of_a_published_table_of_angles(void **state) {
  (void)state;
  const table t = table_read("tests/reference/driveline_combined_angle.csv");
  assert_int_equal(t.rows, 2);
  for (size_t row = 0; row < t.rows; row++) {
    const double alone = t.cell[row][1];
    int seen = 0;
    for (int angle = 0; angle <= 9; angle++) {
      const double allowed = t.cell[row][angle + 1];
      if (isnan(allowed)) continue; /* the row ends */
      const double low = sy_cardan_pair((allowed - 0.1) * DEG, angle * DEG, 0) / DEG;
      const double high = sy_cardan_pair((allowed + 0.1) * DEG, angle * DEG, 0) / DEG;
      if (!(low <= alone + 0.05 && alone - 0.05 <= high))
        fail_msg("row %zu, %d degrees: %g to %g, want %g", row, angle, low, high, alone);
      seen++;
    }
    assert_true(seen >= 9);
  }
}

/* cos beta_e = cos b1 / cos b2 in phase, cos b1 cos b2 out of it; 0 for equal angles, also tiny ones. */
static void pair_in_and_out_of_phase(void **state) {
  (void)state;
  const double b1 = 11.7 * DEG, b2 = 4.3 * DEG;
  assert_near(cos(sy_cardan_pair(b1, b2, 0)), cos(b1) / cos(b2), 4 * DBL_EPSILON);
  assert_near(cos(sy_cardan_pair(b2, b1, SY_PI)), cos(b1) / cos(b2), 4 * DBL_EPSILON);
  assert_near(cos(sy_cardan_pair(b1, b2, SY_PI / 2)), cos(b1) * cos(b2), 4 * DBL_EPSILON);
  assert_near(sy_cardan_pair(b1, b1, 0), 0, 0);
  assert_near(sy_cardan_pair(0, b1, 0.7), b1, 16 * DBL_EPSILON); /* one straight joint: phase means nothing */
  /* small angles: beta_e^2 = |b1^2 - b2^2 exp(2 i twist)|, whose next terms are of the fourth order */
  const double s1 = 3e-4, s2 = 2e-4, twist = 0.6;
  const double re = s1 * s1 - s2 * s2 * cos(2 * twist), im = s2 * s2 * sin(2 * twist);
  assert_near(sy_cardan_pair(s1, s2, twist), sqrt(hypot(re, im)), 3e-4 * 1e-7);
}

/* The speed is the slope of the rotation, and its mean over a turn is 1. Difference step 1e-5: error of the order 1e-10. */
static void speed_is_the_slope_of_turn(void **state) {
  (void)state;
  const double beta = 23.85 * DEG, h = 1e-5;
  double sum = 0;
  for (int i = 0; i < 360; i++) {
    const double psi = -3.1 + i * 6.2 / 360;
    assert_near(sy_cardan_speed(beta, psi),
                (sy_cardan_turn(beta, psi + h) - sy_cardan_turn(beta, psi - h)) / (2 * h), 1e-8);
    sum += sy_cardan_speed(beta, i * DEG) / 360;
  }
  assert_near(sum, 1,
              1e-14); /* evenly spaced samples of a smooth periodic function: the sum is exact to rounding */
  const sy_ripple r = sy_cardan_ripple(beta);
  assert_near(sy_cardan_speed(beta, 0), r.fastest, 8 * DBL_EPSILON);
  assert_near(sy_cardan_speed(beta, SY_PI / 2), r.slowest, 8 * DBL_EPSILON);
}

/* A joint bent by a right angle or more, or by no number, has no answer. */
static void angles_no_joint_has_answer_nan(void **state) {
  (void)state;
  const double bad[] = {SY_PI / 2, 1.7, -0.1, (double)NAN, (double)INFINITY};
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    assert_true(isnan(sy_cardan_turn(bad[i], 0.3)));
    assert_true(isnan(sy_cardan_speed(bad[i], 0.3)));
    const sy_ripple r = sy_cardan_ripple(bad[i]);
    assert_true(isnan(r.slowest) && isnan(r.fastest) && isnan(r.unevenness) && isnan(r.lead));
    assert_true(isnan(sy_cardan_pair(bad[i], 0.1, 0)));
    assert_true(isnan(sy_cardan_pair(0.1, bad[i], 0)));
  }
  assert_true(isnan(sy_cardan_pair(0.1, 0.1, (double)NAN)));
  assert_true(isnan(sy_cardan_turn(0.1, (double)NAN)));
  assert_true(sy_cardan_ripple(1.57).fastest > 1000); /* just short of it */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(ripple_and_pair_of_a_wrongly_phased_shaft),
      cmocka_unit_test(ripple_of_single_joints),
      cmocka_unit_test(pair_of_a_published_table_of_angles),
      cmocka_unit_test(pair_in_and_out_of_phase),
      cmocka_unit_test(speed_is_the_slope_of_turn),
      cmocka_unit_test(angles_no_joint_has_answer_nan),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
