#include "base/frame.h"

#include <float.h>

#include "base/units.h"
#include "near.h"

static void assert_point(sy_vec3 got, double x, double y, double z, double tol) {
  assert_near(got.x, x, tol);
  assert_near(got.y, y, tol);
  assert_near(got.z, z, tol);
}

/* ISO 8855:2011: x forward, y left, z up; roll about x, pitch about y, yaw about z, right-handed: positive roll lifts the
** left side, positive pitch puts the nose down, positive yaw turns the nose left. 3-4-5 triangles keep it exact. */
static void rotation_each_angle_turns_the_way_the_standard_says(void **state) {
  (void)state;
  const double a = atan2(3, 4), tol = 4 * DBL_EPSILON;
  const sy_vec3 nose = {1, 0, 0}, left = {0, 1, 0};
  assert_point(sy_mat3_apply(sy_frame_rotation(a, 0, 0), left), 0, 0.8, 0.6, tol);
  assert_point(sy_mat3_apply(sy_frame_rotation(0, a, 0), nose), 0.8, 0, -0.6, tol);
  assert_point(sy_mat3_apply(sy_frame_rotation(0, 0, a), nose), 0.8, 0.6, 0, tol);
}

/* Roll first, then pitch, then yaw, all about the fixed axes. */
static void rotation_applies_roll_pitch_yaw_in_that_order(void **state) {
  (void)state;
  const sy_mat3 stepwise = sy_mat3_mul(
      sy_frame_rotation(0, 0, -0.7), sy_mat3_mul(sy_frame_rotation(0, 1.1, 0), sy_frame_rotation(0.4, 0, 0)));
  const sy_mat3 at_once = sy_frame_rotation(0.4, 1.1, -0.7);
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) assert_near(at_once.m[i][j], stepwise.m[i][j], 4 * DBL_EPSILON);
}

/* dz(x, y) = roll y - pitch x to first order in the angles, from the definition above. */
static void rotation_small_angles_lift_points_linearly(void **state) {
  (void)state;
  const double roll = 1.7e-5, pitch = -2.3e-5;
  const sy_vec3 p = {-2.35, 0.725, 0.31};
  const double rise = sy_mat3_apply(sy_frame_rotation(roll, pitch, 0), p).z - p.z;
  assert_near(rise, roll * p.y - pitch * p.x, 5e-10); /* second order: angle^2 x size */
}

static void apply_turns_first_and_shifts_then(void **state) {
  (void)state;
  const sy_frame f = {sy_frame_rotation(0, 0, SY_PI / 2), {10, 20, 30}};
  assert_point(sy_frame_apply(&f, (sy_vec3){1, 2, 3}), 10 - 2, 20 + 1, 33, 8 * DBL_EPSILON * 30);
  const sy_frame nothing = sy_frame_identity();
  assert_point(sy_frame_apply(&nothing, (sy_vec3){1.37, 2.11, -3.3}), 1.37, 2.11, -3.3, 0);
}

static void compose_and_inverse_agree_with_one_after_the_other(void **state) {
  (void)state;
  const sy_frame outer = {sy_frame_rotation(0.3, -0.2, 1.4), {-1.78, 0.12, 0.33}};
  const sy_frame inner = {sy_frame_rotation(-1.1, 0.9, 0.05), {0.42, -0.18, 0.06}};
  const sy_vec3 p = {0.137, -0.81, 2.385};
  const sy_frame both = sy_frame_compose(&outer, &inner);
  const sy_vec3 want = sy_frame_apply(&outer, sy_frame_apply(&inner, p));
  const double tol = 32 * DBL_EPSILON * 4; /* coordinates below 4 */
  assert_point(sy_frame_apply(&both, p), want.x, want.y, want.z, tol);
  const sy_frame back = sy_frame_inverse(&both);
  assert_point(sy_frame_apply(&back, want), p.x, p.y, p.z, tol);
}

static void about_leaves_its_point_and_turns_the_rest(void **state) {
  (void)state;
  const sy_vec3 point = {-1.2, 0.4, 0.35};
  const sy_frame f = sy_frame_about(sy_frame_rotation(0, SY_PI / 2, 0), point);
  const double tol = 8 * DBL_EPSILON;
  assert_point(sy_frame_apply(&f, point), point.x, point.y, point.z, tol);
  /* what was 0.1 ahead is now 0.1 below: nose down */
  assert_point(sy_frame_apply(&f, (sy_vec3){-1.1, 0.4, 0.35}), -1.2, 0.4, 0.25, tol);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(rotation_each_angle_turns_the_way_the_standard_says),
      cmocka_unit_test(rotation_applies_roll_pitch_yaw_in_that_order),
      cmocka_unit_test(rotation_small_angles_lift_points_linearly),
      cmocka_unit_test(apply_turns_first_and_shifts_then),
      cmocka_unit_test(compose_and_inverse_agree_with_one_after_the_other),
      cmocka_unit_test(about_leaves_its_point_and_turns_the_rest),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
