#include "statics/rake.h"

#include <math.h>

#include "dice.h"
#include "near.h"

/* Turned by matrices of our own and measured: the heights give the pose back, and the uncertainties are those of differences. */
static void a_pose_is_found_again_from_two_heights(void **state) {
  (void)state;
  dice d = {11};
  for (int n = 0; n < 500; n++) {
    const double first = dice_between(&d, -2, 2), last = first - dice_between(&d, 1.8, 3.4),
                 anchor = dice_between(&d, 0.2, 0.4);
    const double pitch = dice_between(&d, -0.1, 0.1), rise = dice_between(&d, -0.1, 0.1);
    sy_rake_point p[2];
    for (int i = 0; i < 2; i++) {
      p[i].x = (i == 0) == (n % 2 == 0) ? dice_between(&d, last - 1, last + 0.5)
                                        : dice_between(&d, first - 0.5, first + 1);
      p[i].z = dice_between(&d, 0.05, 0.7);
      p[i].height = anchor + rise + cos(pitch) * (p[i].z - anchor) - sin(pitch) * (p[i].x - first);
      p[i].sd = dice_between(&d, 0.0005, 0.003);
    }
    sy_rake r, step;
    sy_error err;
    assert_int_equal(sy_rake_of(p, first, last, anchor, &r, &err), SY_OK);
    assert_near(r.pitch, pitch, 1e-14);
    assert_near(r.front, rise, 1e-14);
    assert_near(r.rear, rise + (first - last) * sin(pitch), 1e-14);
    double square[3] = {0, 0, 0};
    for (int i = 0; i < 2; i++) {
      sy_rake_point moved[2] = {p[0], p[1]};
      moved[i].height += 1e-3 * p[i].sd;
      assert_int_equal(sy_rake_of(moved, first, last, anchor, &step, &err), SY_OK);
      const double by[3] = {step.pitch - r.pitch, step.front - r.front, step.rear - r.rear};
      for (int k = 0; k < 3; k++) square[k] += by[k] * by[k] * 1e6;
    }
    assert_near(r.pitch_sd, sqrt(square[0]),
                1e-5 * r.pitch_sd); /* a step of a micrometre: its second order */
    assert_near(r.front_sd, sqrt(square[1]), 1e-5 * r.front_sd);
    assert_near(r.rear_sd, sqrt(square[2]), 1e-5 * r.rear_sd);
  }
}

/* By hand: points on the axle lines at the anchor's height read the rises themselves. */
static void points_on_the_axle_lines_read_the_heights(void **state) {
  (void)state;
  const sy_rake_point p[2] = {{0, 0.3, 0.312, 1e-3}, {-2.4, 0.3, 0.306, 2e-3}};
  sy_rake r;
  assert_int_equal(sy_rake_of(p, 0, -2.4, 0.3, &r, NULL), SY_OK);
  assert_near(r.front, 0.012, 1e-15);
  assert_near(r.rear, r.front + 2.4 * sin(r.pitch), 1e-15);
  assert_near(sin(r.pitch), -0.006 / 2.4, 1e-15); /* nose up */
  assert_near(r.front_sd, 1e-3, 1e-15);
  assert_near(r.rear_sd, 2e-3, 1e-8); /* cos of the pitch */
}

static void points_that_say_nothing_are_refused(void **state) {
  (void)state;
  sy_rake r;
  sy_error err;
  sy_rake_point p[2] = {{-1, 0.2, 0.2, 0}, {-1.0005, 0.6, 0.6, 0}};
  assert_int_equal(sy_rake_of(p, 0, -2.4, 0.3, &r, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "place");
  p[1] = (sy_rake_point){-1.5, 0.2, 0.75, 0};
  assert_int_equal(sy_rake_of(p, 0, -2.4, 0.3, &r, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "height");
  p[1].height = (double)NAN;
  assert_int_equal(sy_rake_of(p, 0, -2.4, 0.3, &r, &err), SY_RANGE);
  assert_string_equal(err.part, "point 2 of 2");
  p[1].height = 0.2, p[1].sd = -1;
  assert_int_equal(sy_rake_of(p, 0, -2.4, 0.3, &r, &err), SY_RANGE);
  p[1].sd = 0;
  assert_int_equal(sy_rake_of(p, -2.4, 0, 0.3, &r, &err), SY_GEOMETRY);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_pose_is_found_again_from_two_heights),
      cmocka_unit_test(points_on_the_axle_lines_read_the_heights),
      cmocka_unit_test(points_that_say_nothing_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
