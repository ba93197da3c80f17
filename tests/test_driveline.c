#include "shop/driveline.h"

#include <float.h>
#include <string.h>

#include "base/units.h"
#include "near.h"

static const double MM = SY_MILLIMETRE, DEG = SY_DEGREE;

static sy_joint joint(double x, double y, double z, sy_vec3 axis) { return (sy_joint){{x, y, z}, axis}; }

static const sy_vec3 ACROSS = {0, 1, 0}, ALONG = {1, 0, 0};

static sy_shaft_pose pose(const sy_joint *inner, const sy_joint *outer) {
  sy_shaft_pose p;
  sy_error err;
  if (sy_shaft_pose_make(inner, outer, &p, &err) != SY_OK)
    fail_msg("%s, %s: %s", err.part, err.field, err.message);
  return p;
}

/* Angles seen from above and from the side make up the true one: tan^2 = tan^2(top) + tan^2(side), for instance in workshop
** rules for a propshaft that is both dropped and offset. Common practice, no source; exact by Pythagoras. 3 and 4 degrees:
** atan(sqrt(tan^2 3 + tan^2 4)) = 4.99417 degrees. */
static void pose_compound_angle_is_the_root_of_squared_tangents(void **state) {
  (void)state;
  const double top = 3 * DEG, side = 4 * DEG, x = 1.37;
  const sy_joint front = joint(0.2, -0.1, 0.3, ALONG);
  const sy_joint rear = joint(0.2 - x, -0.1 + x * tan(top), 0.3 - x * tan(side), ALONG);
  const sy_shaft_pose p = pose(&front, &rear);
  assert_near(p.inner, atan(hypot(tan(top), tan(side))), 8 * DBL_EPSILON);
  assert_near(p.inner / DEG, 4.99417, 0.000005);
  assert_near(p.outer, p.inner, 8 * DBL_EPSILON); /* parallel flanges */
  assert_near(p.length, x * sqrt(1 + pow(tan(top), 2) + pow(tan(side), 2)), 4 * DBL_EPSILON);
}

/* An arc cosine would give 0 or 1.5e-8 for an angle of 1e-9. */
static void pose_keeps_the_digits_of_a_tiny_angle(void **state) {
  (void)state;
  const sy_joint a = joint(0, 0, 0, ACROSS), b = joint(0, 0.5, 0.5e-9, ACROSS);
  assert_near(pose(&a, &b).inner, 1e-9, 1e-9 * 4 * DBL_EPSILON);
}

static void pose_does_not_mind_the_sign_or_length_of_an_axis(void **state) {
  (void)state;
  const sy_joint a = joint(0.137, 0.165, 0.300, ACROSS),
                 b = joint(0.157, 0.640, 0.365, (sy_vec3){0.1, 0.9, -0.2});
  sy_joint flipped = a;
  flipped.axis = (sy_vec3){0, -23.85, 0};
  const sy_shaft_pose p = pose(&a, &b), q = pose(&flipped, &b);
  assert_near(q.inner, p.inner, 4 * DBL_EPSILON);
  assert_near(fabs(sin(2 * q.planes)), fabs(sin(2 * p.planes)), 16 * DBL_EPSILON);
}

/* Sensitivities against central differences of the angles themselves: of step 2e-6 m: rounding leaves 1e-16 / 2e-6, the step
** 4e-12 times a third derivative of the order (2 / 0.475)^3, both well below the tolerance. */
static void pose_slopes_are_the_differences(void **state) {
  (void)state;
  const sy_joint a = joint(0.137, 0.165, 0.300, (sy_vec3){0.02, 1, 0.05});
  const sy_joint b = joint(0.157, 0.640, 0.365, (sy_vec3){-0.1, 0.9, 0.03});
  const sy_shaft_pose p = pose(&a, &b);
  const double sensitivity[3][3] = {{p.inner_sensitivity.x, p.inner_sensitivity.y, p.inner_sensitivity.z},
                                    {p.outer_sensitivity.x, p.outer_sensitivity.y, p.outer_sensitivity.z},
                                    {p.length_sensitivity.x, p.length_sensitivity.y, p.length_sensitivity.z}};
  const double h = 2e-6;
  for (int i = 0; i < 3; i++) {
    sy_joint up = b, down = b;
    double *const at_up[3] = {&up.at.x, &up.at.y, &up.at.z}, *const at_down[3] = {&down.at.x, &down.at.y,
                                                                                  &down.at.z};
    *at_up[i] += h, *at_down[i] -= h;
    const sy_shaft_pose more = pose(&a, &up), less = pose(&a, &down);
    assert_near(sensitivity[0][i], (more.inner - less.inner) / (2 * h), 5e-9);
    assert_near(sensitivity[1][i], (more.outer - less.outer) / (2 * h), 5e-9);
    assert_near(sensitivity[2][i], (more.length - less.length) / (2 * h), 5e-9);
  }
}

static void pose_of_a_straight_joint_slopes_upwards(void **state) {
  (void)state;
  const sy_joint a = joint(0, 0.1, 0.3, ACROSS), b = joint(0, 0.6, 0.3, ACROSS);
  const sy_shaft_pose p = pose(&a, &b);
  assert_near(p.inner, 0, 0);
  assert_near(p.inner_sensitivity.z, 1 / 0.5, 4 * DBL_EPSILON);
  assert_near(p.planes, 0, 0);
}

static void expect(sy_status got, sy_status want, const sy_error *err, const char *part, const char *field) {
  assert_int_equal(got, want);
  assert_string_equal(err->part, part);
  assert_string_equal(err->field, field);
}

static void pose_refuses_what_no_shaft_fits(void **state) {
  (void)state;
  const sy_joint a = joint(0.1, 0.2, 0.3, ACROSS);
  sy_joint b = joint(0.1, 0.2, 0.3009, ACROSS);
  sy_shaft_pose p;
  sy_error err;
  memset(&p, 7, sizeof p);
  const sy_shaft_pose before = p;
  expect(sy_shaft_pose_make(&a, &b, &p, &err), SY_GEOMETRY, &err, "outer joint", "at");
  b = joint(0.4, 0.2, 0.3, ACROSS);
  expect(sy_shaft_pose_make(&a, &b, &p, &err), SY_GEOMETRY, &err, "inner joint", "axis");
  b = joint(0.1, 0.7, 0.3, (sy_vec3){0, 0, 1});
  expect(sy_shaft_pose_make(&a, &b, &p, &err), SY_GEOMETRY, &err, "outer joint", "axis");
  b = joint(0.1, 0.7, 0.3, (sy_vec3){0, 0, 0});
  expect(sy_shaft_pose_make(&a, &b, &p, &err), SY_GEOMETRY, &err, "outer joint", "axis");
  b = joint(0.1, (double)NAN, 0.3, ACROSS);
  expect(sy_shaft_pose_make(&a, &b, &p, &err), SY_RANGE, &err, "outer joint", "at");
  b = joint(0.1, 0.7, 0.3, (sy_vec3){0, (double)INFINITY, 0});
  expect(sy_shaft_pose_make(&a, &b, &p, &err), SY_RANGE, &err, "outer joint", "axis");
  assert_memory_equal(&p, &before, sizeof p); /* untouched */
}

/* ---- paths ------------------------------------------------------------------------------------------------------ */

static sy_vec3 moved(const sy_path *path, double travel) {
  sy_vec3 m;
  sy_error err;
  if (sy_path_move(path, travel, &m, &err) != SY_OK) fail_msg("%s, %s: %s", err.part, err.field, err.message);
  return m;
}

/* A level trailing arm of 380 mm: 60 mm up, and the joint comes forward by 380 - sqrt(380^2 - 60^2) = 4.7667 mm. The same down. */
static void path_arc_of_a_trailing_arm(void **state) {
  (void)state;
  sy_path p = {
      .kind = SY_PATH_ARC, .at = {-2.45, 0.64, 0.305}, .pivot = {-2.07, 0.5, 0.305}, .hinge = {0, -3, 0}};
  for (int way = -1; way <= 1; way += 2) {
    const sy_vec3 m = moved(&p, way * 60 * MM);
    assert_near(m.z, way * 60 * MM, 1e-16);
    assert_near(m.x, 0.38 - sqrt(0.38 * 0.38 - 0.06 * 0.06), 1e-15);
    assert_near(m.x / MM, 4.7667, 0.00005);
    assert_near(m.y, 0, 1e-16);
    p.hinge.y = 1; /* the sense of the hinge does not matter */
  }
  assert_near(sy_vec3_length(moved(&p, 0)), 0, 1e-16);
}

/* About any hinge the joint keeps its distance from every point of the hinge, and rises by the travel. */
static void path_arc_about_a_slanting_hinge_keeps_its_radius(void **state) {
  (void)state;
  const sy_vec3 hinge = {0.3, 0.9, 0.12}, at = {-2.437, 0.641, 0.323}, pivot = {-2.05, 0.25, 0.281};
  const sy_path p = {.kind = SY_PATH_ARC, .at = at, .pivot = pivot, .hinge = hinge};
  for (double travel = -0.11; travel < 0.12; travel += 0.037) {
    const sy_vec3 m = moved(&p, travel), to = sy_vec3_add(at, m);
    assert_near(m.z, travel, 1e-15);
    for (int k = -1; k <= 1; k++) {
      const sy_vec3 on = sy_vec3_muladd(pivot, k, hinge);
      assert_near(sy_vec3_length(sy_vec3_sub(to, on)), sy_vec3_length(sy_vec3_sub(at, on)), 4e-15);
    }
  }
  assert_true(sy_vec3_length(moved(&p, 1e-6)) < 2e-6); /* the near root, not the far one */
}

static void path_arc_that_does_not_reach_is_refused(void **state) {
  (void)state;
  sy_path p = {.kind = SY_PATH_ARC, .at = {0, 0.6, 0.3}, .pivot = {0, 0.5, 0.3}, .hinge = {1, 0, 0}};
  sy_vec3 m;
  sy_error err;
  expect(sy_path_move(&p, 0.11, &m, &err), SY_GEOMETRY, &err, "outer joint", "pivot");
  assert_non_null(strstr(err.message, "110 mm"));
  p.hinge = (sy_vec3){0, 0, 1}; /* upright: it never rises */
  expect(sy_path_move(&p, 0.01, &m, &err), SY_GEOMETRY, &err, "outer joint", "pivot");
  p.hinge = (sy_vec3){0, 0, 0};
  expect(sy_path_move(&p, 0.01, &m, &err), SY_GEOMETRY, &err, "outer joint", "hinge");
  p.kind = SY_PATH_VERTICAL;
  expect(sy_path_move(&p, (double)NAN, &m, &err), SY_RANGE, &err, "outer joint", "travel");
}

static void path_of_points_is_straight_between_them(void **state) {
  (void)state;
  const sy_path_point points[] = {
      {-0.06, {-2.451, 0.638, 0.245}}, {0.01, {-2.450, 0.640, 0.315}}, {0.06, {-2.447, 0.639, 0.365}}};
  sy_path p = {.kind = SY_PATH_POINTS, .points = points, .count = 3};
  assert_near(sy_vec3_length(moved(&p, 0)), 0, 0);
  const sy_vec3 m = moved(&p, 0.06);
  /* at travel 0: 6/7 of the way from the first to the second */
  assert_near(m.x, -2.447 - (-2.451 + 0.001 * 6 / 7), 1e-15);
  assert_near(m.y, 0.639 - (0.638 + 0.002 * 6 / 7), 1e-15);
  assert_near(m.z, 0.06, 1e-15);
  assert_near(moved(&p, -0.06).z, -0.06, 1e-15);
  sy_vec3 out;
  sy_error err;
  expect(sy_path_move(&p, 0.061, &out, &err), SY_RANGE, &err, "outer joint", "path");
  assert_non_null(strstr(err.message, "from -60 to 60 mm"));
  p.count = 1;
  expect(sy_path_move(&p, 0, &out, &err), SY_RANGE, &err, "outer joint", "path");
  const sy_path_point twice[] = {{-0.06, {0, 0, 0}}, {-0.06, {0, 0, 1}}, {0.06, {0, 0, 1}}};
  p.points = twice, p.count = 3;
  expect(sy_path_move(&p, 0, &out, &err), SY_RANGE, &err, "outer joint", "path");
}

/* ---- sweeps ----------------------------------------------------------------------------------------------------- */

static sy_sweep swept(const sy_joint *inner, const sy_joint *outer, const sy_path *path, double droop,
                      double bump, double steer) {
  sy_sweep s;
  sy_error err;
  if (sy_shaft_sweep(inner, outer, path, droop, bump, steer, &s, &err) != SY_OK)
    fail_msg("%s, %s: %s", err.part, err.field, err.message);
  return s;
}

static const sy_path VERTICAL = {.kind = SY_PATH_VERTICAL};

/* A half-shaft against engine position, invented and worked out twice by hand-written sums apart from this project:
** inboard joint at (2430 + s, 165, 300), outboard (2450, 640, 305 + travel), travel -60 to 60 mm, axes across. */
static void sweep_half_shaft_against_engine_position(void **state) {
  (void)state;
  static const double want[][4] = {
      {-50, 8.40, 11.37, 480.2}, {-25, 5.44, 9.45, 477.2}, {0, 2.49, 8.15, 475.4},   {25, 0.85, 7.81, 475.1},
      {50, 3.66, 8.57, 476.0},   {75, 6.63, 10.16, 478.2}, {100, 9.58, 12.24, 481.7}};
  for (size_t i = 0; i < sizeof want / sizeof *want; i++) {
    const sy_joint inner = joint(-2.430 - want[i][0] * MM, -0.165, 0.300, ACROSS);
    const sy_joint outer = joint(-2.450, -0.640, 0.305, ACROSS);
    const sy_sweep s = swept(&inner, &outer, &VERTICAL, 60 * MM, 60 * MM, 0);
    assert_near(s.ride.inner / DEG, want[i][1], 0.005); /* half the last printed digits */
    assert_near(s.worst_angle / DEG, want[i][2], 0.005);
    assert_near(s.ride.length / MM, want[i][3], 0.05);
    assert_near((s.longest.length - s.shortest.length) / MM, 4.4, 0.05);
    assert_near(s.worst_travel, 60 * MM, 0);
    assert_near(s.shortest_travel, -5 * MM, 1e-6); /* level with the inner joint: a length is flat there */
  }
}

/* With the pivot of the swing arm at the inner joint the length does not change at all. */
static void sweep_about_the_inner_joint_has_no_plunge(void **state) {
  (void)state;
  const sy_joint inner = joint(-2.4, 0.17, 0.29, ACROSS), outer = joint(-2.4, 0.62, 0.30, ACROSS);
  const sy_path p = {.kind = SY_PATH_ARC, .at = outer.at, .pivot = inner.at, .hinge = {1, 0, 0}};
  const sy_sweep s = swept(&inner, &outer, &p, 0.07, 0.08, 0);
  assert_near(s.longest.length - s.shortest.length, 0, 1e-15);
  assert_near(s.worst_angle, asin((0.08 + 0.01) / s.ride.length), 1e-14);
}

/* A front wheel turned by 33 degrees on a shaft straight at ride: the outer joint works at 33 degrees, the inner at none. */
static void sweep_adds_the_steering_angle(void **state) {
  (void)state;
  const sy_joint inner = joint(0, 0.2, 0.3, ACROSS), outer = joint(0, 0.6, 0.3, ACROSS);
  const sy_sweep s = swept(&inner, &outer, &VERTICAL, 0, 0, 33 * DEG);
  assert_near(s.worst_angle, 33 * DEG, 4 * DBL_EPSILON);
  assert_int_equal(s.worst_joint, 1);
  assert_near(s.worst.inner, 0, 0);
  assert_near(s.ride.outer, 0, 0);
}

static void sweep_refuses_negative_travel_and_full_lock(void **state) {
  (void)state;
  const sy_joint inner = joint(0, 0.2, 0.3, ACROSS), outer = joint(0, 0.6, 0.3, ACROSS);
  sy_sweep s;
  sy_error err;
  expect(sy_shaft_sweep(&inner, &outer, &VERTICAL, -0.01, 0.06, 0, &s, &err), SY_RANGE, &err, "", "droop");
  expect(sy_shaft_sweep(&inner, &outer, &VERTICAL, 0.01, (double)NAN, 0, &s, &err), SY_RANGE, &err, "",
         "bump");
  expect(sy_shaft_sweep(&inner, &outer, &VERTICAL, 0.01, 0.06, SY_PI / 2, &s, &err), SY_RANGE, &err,
         "outer joint", "steer");
  const sy_path arc = {.kind = SY_PATH_ARC, .at = outer.at, .pivot = {0, 0.55, 0.3}, .hinge = {1, 0, 0}};
  expect(sy_shaft_sweep(&inner, &outer, &arc, 0.01, 0.06, 0, &s, &err), SY_GEOMETRY, &err, "outer joint",
         "pivot");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(pose_compound_angle_is_the_root_of_squared_tangents),
      cmocka_unit_test(pose_keeps_the_digits_of_a_tiny_angle),
      cmocka_unit_test(pose_does_not_mind_the_sign_or_length_of_an_axis),
      cmocka_unit_test(pose_slopes_are_the_differences),
      cmocka_unit_test(pose_of_a_straight_joint_slopes_upwards),
      cmocka_unit_test(pose_refuses_what_no_shaft_fits),
      cmocka_unit_test(path_arc_of_a_trailing_arm),
      cmocka_unit_test(path_arc_about_a_slanting_hinge_keeps_its_radius),
      cmocka_unit_test(path_arc_that_does_not_reach_is_refused),
      cmocka_unit_test(path_of_points_is_straight_between_them),
      cmocka_unit_test(sweep_half_shaft_against_engine_position),
      cmocka_unit_test(sweep_about_the_inner_joint_has_no_plunge),
      cmocka_unit_test(sweep_adds_the_steering_angle),
      cmocka_unit_test(sweep_refuses_negative_travel_and_full_lock),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
