#include "vehicle/vehicle.h"

#include <float.h>
#include <string.h>

#include "near.h"

static void add_axle(sy_vehicle *v, double x, int wheels, double track, double radius) {
  sy_axle a = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  a.x = x, a.wheels = wheels, w.loaded_radius = radius;
  sy_vehicle_add_axle(v, a, track, w);
}

static sy_vehicle four_wheeler(void) {
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 2, 1.45, 0.288);
  add_axle(&v, -2.4, 2, 1.46, 0.301);
  return v;
}

/* Left rear wheel 31 mm behind the right one, half tracks and radii of its own at each. */
static sy_vehicle unlike_sides(void) {
  sy_vehicle v = four_wheeler();
  v.wheel[2].x = -2.421, v.wheel[3].x = -2.39;
  v.wheel[2].y = 0.742, v.wheel[3].y = -0.718;
  v.wheel[2].loaded_radius = 0.297;
  return v;
}

static void defaults_are_nan_where_nothing_is_honest(void **state) {
  (void)state;
  const sy_axle a = sy_axle_default();
  const sy_wheel w = sy_wheel_default();
  assert_true(isnan(a.x));
  assert_true(isnan(w.x) && isnan(w.y) && isnan(w.loaded_radius) && isnan(w.tyre_rate) &&
              isnan(w.spring_rate));
  assert_true(isnan(w.perch_pitch) && isnan(w.bump) && isnan(w.droop));
  assert_int_equal(a.wheels, 2);
  assert_near(w.motion_ratio, 1, 0);
  assert_near(a.bar_rate, 0, 0);
  assert_near(a.roll_centre, 0, 0);
  const sy_vehicle v = sy_vehicle_default();
  assert_int_equal(v.axle_count, 0);
  assert_true(isnan(v.torsion));
  assert_near(v.cross_share, 0.5, 0);
  assert_true(isnan(v.axle[SY_MAX_AXLES - 1].x) && isnan(v.wheel[SY_MAX_WHEELS - 1].x));
}

static void wheels_stand_left_before_right_axle_by_axle(void **state) {
  (void)state;
  sy_vehicle v = four_wheeler();
  add_axle(&v, -3.6, 1, (double)NAN, 0.3);
  assert_int_equal(sy_vehicle_check(&v, NULL), SY_OK);
  sy_contact w[SY_MAX_WHEELS];
  assert_int_equal(sy_vehicle_contacts(&v, w), 5);
  const sy_contact want[5] = {
      {0, 1, 0, 0.725}, {0, -1, 0, -0.725}, {1, 1, -2.4, 0.73}, {1, -1, -2.4, -0.73}, {2, 0, -3.6, 0}};
  for (int i = 0; i < 5; i++) {
    assert_int_equal(w[i].axle, want[i].axle);
    assert_int_equal(w[i].side, want[i].side);
    assert_near(w[i].x, want[i].x, 0);
    assert_near(w[i].y, want[i].y, 0);
  }
  assert_near(sy_vehicle_wheelbase(&v), 3.6, 0);
  for (int a = 0; a < 3; a++) assert_int_equal(sy_vehicle_first_wheel(&v, a), 2 * a);
  assert_near(sy_vehicle_track(&v, 1), 1.46, 0);
  assert_true(isnan(sy_vehicle_track(&v, 2)));
  assert_near(sy_vehicle_lever(&v, 1, 1), 0.5, 0);
  assert_near(sy_vehicle_lever(&v, 2, 0), 1, 0);
  assert_near(sy_vehicle_radius(&v, 1), 0.301, 0);
  assert_near(sy_vehicle_radius(&v, 2), 0.3, 0);
}

static void unlike_sides_have_their_own_places(void **state) {
  (void)state;
  const sy_vehicle v = unlike_sides();
  assert_int_equal(sy_vehicle_check(&v, NULL), SY_OK);
  assert_near(sy_vehicle_track(&v, 1), 1.46, 2 * DBL_EPSILON);
  assert_near(sy_vehicle_radius(&v, 1), 0.299, DBL_EPSILON);
  /* a load on the centre plane: the nearer wheel takes more of it, and both balance about that plane */
  const double left = sy_vehicle_lever(&v, 1, 1), right = sy_vehicle_lever(&v, 1, -1);
  assert_near(left, 0.718 / 1.46, 4 * DBL_EPSILON);
  assert_near(left + right, 1, 4 * DBL_EPSILON);
  assert_near(left * 0.742 - right * 0.718, 0, 4 * DBL_EPSILON);
}

static void wheels_have_names(void **state) {
  (void)state;
  char name[SY_WHEEL_NAME];
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 2, 1.45, 0.3);
  add_axle(&v, -2.4, 1, (double)NAN, 0.3);
  static const char *const three[] = {"left front wheel", "right front wheel", "rear wheel"};
  for (int i = 0; i < 3; i++) {
    sy_vehicle_wheel_name(&v, i, name);
    assert_string_equal(name, three[i]);
  }
  add_axle(&v, -3.1, 2, 1.5, 0.3);
  static const char *const five[] = {"left wheel of axle 1 of 3", "right wheel of axle 1 of 3",
                                     "wheel of axle 2 of 3", "left wheel of axle 3 of 3",
                                     "right wheel of axle 3 of 3"};
  for (int i = 0; i < 5; i++) {
    sy_vehicle_wheel_name(&v, i, name);
    assert_string_equal(name, five[i]);
  }
}

static void check_a_single_wheel_needs_no_track(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 2, 1.45, 0.288);
  add_axle(&v, -2.4, 1, (double)NAN, 0.288);
  assert_int_equal(sy_vehicle_check(&v, NULL), SY_OK);
}

/* A study moves an axle while the origin stays where the drawing has it. */
static void check_front_axle_may_stand_off_the_origin(void **state) {
  (void)state;
  sy_vehicle v = four_wheeler();
  v.axle[0].x = v.wheel[0].x = v.wheel[1].x = 0.1;
  assert_int_equal(sy_vehicle_check(&v, NULL), SY_OK);
  assert_near(sy_vehicle_wheelbase(&v), 2.5, 1e-15);
}

static void check_all_fields_stated_passes(void **state) {
  (void)state;
  sy_vehicle v = four_wheeler();
  v.torsion = 297938;
  v.cross_share = 0.487;
  for (int i = 0; i < 2; i++) v.axle[i].bar_rate = 9000, v.axle[i].roll_centre = -0.032;
  for (int i = 0; i < 4; i++) {
    sy_wheel *w = &v.wheel[i];
    w->tyre_rate = 190000, w->spring_rate = 42000, w->motion_ratio = 0.86, w->perch_pitch = 0.0015;
    w->bump = 0.07, w->droop = 0;
  }
  assert_int_equal(sy_vehicle_check(&v, NULL), SY_OK);
}

static void assert_refused(const sy_vehicle *v, sy_status status, const char *part, const char *field,
                           const char *message) {
  sy_error err;
  assert_int_equal(sy_vehicle_check(v, &err), status);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, field);
  assert_string_equal(err.message, message);
}

static void check_names_what_is_missing(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  assert_refused(&v, SY_MISSING, "vehicle", "axles", "are 0, at least two are needed");
  v = four_wheeler();
  v.axle_count = 1;
  assert_refused(&v, SY_MISSING, "vehicle", "axles", "are 1, at least two are needed");
  v = four_wheeler();
  v.wheel[3].y = (double)NAN;
  assert_refused(&v, SY_MISSING, "right rear wheel", "y", "is not given");
  v = four_wheeler();
  v.wheel[0].loaded_radius = (double)NAN;
  assert_refused(&v, SY_MISSING, "left front wheel", "loaded_radius", "is not given");
  v = four_wheeler();
  v.axle[1].x = (double)NAN;
  assert_refused(&v, SY_MISSING, "axle 2 of 2", "x", "is not given");
  v = four_wheeler();
  v.cross_share = (double)NAN;
  assert_refused(&v, SY_MISSING, "vehicle", "cross_share", "is not given");
}

static void check_names_what_is_out_of_range(void **state) {
  (void)state;
  const double inf = (double)INFINITY;
  sy_vehicle v = sy_vehicle_default();
  for (int i = 0; i <= SY_MAX_AXLES; i++) add_axle(&v, -i, 2, 1.5, 0.3);
  assert_refused(&v, SY_RANGE, "vehicle", "axles", "are 9, at most 8 are allowed");
  v = four_wheeler();
  v.axle[1].wheels = 3;
  assert_refused(&v, SY_RANGE, "axle 2 of 2", "wheels", "is 3, must be 1 or 2");
  v = four_wheeler();
  v.torsion = 0;
  assert_refused(&v, SY_RANGE, "vehicle", "torsion", "is 0 N m/rad, must be > 0 and finite");
  v = four_wheeler();
  v.cross_share = 50;
  assert_refused(&v, SY_RANGE, "vehicle", "cross_share", "is 50, must be between 0 and 1");
  v = four_wheeler();
  v.axle[0].x = inf;
  assert_refused(&v, SY_RANGE, "axle 1 of 2", "x", "is inf m, must be finite");
  v = four_wheeler();
  v.wheel[1].x = inf;
  assert_refused(&v, SY_RANGE, "right front wheel", "x", "is inf m, must be finite");
  v = four_wheeler();
  v.axle[0].bar_rate = -1;
  assert_refused(&v, SY_RANGE, "axle 1 of 2", "bar_rate", "is -1 N/m, must be >= 0 and finite");
}

/* Every size and rate of every wheel: 0 or below, and infinity. */
static void check_every_size_and_rate_must_be_positive(void **state) {
  (void)state;
  static const char *const name[4] = {"left front wheel", "right front wheel", "left rear wheel",
                                      "right rear wheel"};
  const struct {
    size_t offset;
    const char *field;
    bool zero_is_fine;
  } fields[] = {{offsetof(sy_wheel, loaded_radius), "loaded_radius", false},
                {offsetof(sy_wheel, tyre_rate), "tyre_rate", false},
                {offsetof(sy_wheel, spring_rate), "spring_rate", false},
                {offsetof(sy_wheel, motion_ratio), "motion_ratio", false},
                {offsetof(sy_wheel, perch_pitch), "perch_pitch", false},
                {offsetof(sy_wheel, bump), "bump", true},
                {offsetof(sy_wheel, droop), "droop", true}};
  const double bad[3] = {-0.25, (double)INFINITY, 0};
  for (size_t i = 0; i < sizeof fields / sizeof *fields; i++)
    for (int k = 0; k < (fields[i].zero_is_fine ? 2 : 3); k++)
      for (int wheel = 0; wheel < 4; wheel++) {
        sy_vehicle v = four_wheeler();
        memcpy((char *)&v.wheel[wheel] + fields[i].offset, &bad[k], sizeof bad[k]);
        sy_error err;
        assert_int_equal(sy_vehicle_check(&v, &err), SY_RANGE);
        assert_string_equal(err.part, name[wheel]);
        assert_string_equal(err.field, fields[i].field);
      }
}

static void check_names_impossible_geometry(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 2, 1.45, 0.3);
  add_axle(&v, 0, 2, 1.45, 0.3);
  assert_refused(&v, SY_GEOMETRY, "axle 2 of 2", "x", "is 0 m, not behind the axle before it at 0 m");
  v.axle[1].x = 2.4;
  assert_refused(&v, SY_GEOMETRY, "axle 2 of 2", "x", "is 2.4 m, not behind the axle before it at 0 m");
  v = unlike_sides();
  v.axle[1].x = -2.5;
  assert_refused(&v, SY_GEOMETRY, "axle 2 of 2", "x",
                 "is -2.5 m, not between its wheels at -2.421 and -2.39 m");
  v = four_wheeler();
  v.wheel[0].y = -0.8;
  assert_refused(&v, SY_GEOMETRY, "axle 1 of 2", "track",
                 "has its left wheel at y = -0.8 m, not left of its right one at -0.725 m");
  v = sy_vehicle_default();
  add_axle(&v, 0, 1, 1.45, 0.3);
  add_axle(&v, -2.4, 1, 1.45, 0.3);
  assert_refused(&v, SY_GEOMETRY, "vehicle", "wheels", "are 2, a vehicle stands on at least three");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(defaults_are_nan_where_nothing_is_honest),
      cmocka_unit_test(wheels_stand_left_before_right_axle_by_axle),
      cmocka_unit_test(unlike_sides_have_their_own_places),
      cmocka_unit_test(wheels_have_names),
      cmocka_unit_test(check_a_single_wheel_needs_no_track),
      cmocka_unit_test(check_front_axle_may_stand_off_the_origin),
      cmocka_unit_test(check_all_fields_stated_passes),
      cmocka_unit_test(check_names_what_is_missing),
      cmocka_unit_test(check_names_what_is_out_of_range),
      cmocka_unit_test(check_every_size_and_rate_must_be_positive),
      cmocka_unit_test(check_names_impossible_geometry),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
