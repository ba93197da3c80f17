#include "vehicle/vehicle.h"

#include <string.h>

#include "near.h"

static sy_vehicle four_wheeler(void) {
  sy_vehicle v = sy_vehicle_default();
  v.axle_count = 2;
  v.axle[0].x = 0, v.axle[0].track = 1.45, v.axle[0].loaded_radius = 0.288;
  v.axle[1].x = -2.4, v.axle[1].track = 1.46, v.axle[1].loaded_radius = 0.301;
  return v;
}

static void defaults_are_nan_where_nothing_is_honest(void **state) {
  (void)state;
  const sy_axle a = sy_axle_default();
  assert_true(isnan(a.x) && isnan(a.track) && isnan(a.loaded_radius) && isnan(a.tyre_rate) &&
              isnan(a.spring_rate));
  assert_true(isnan(a.perch_pitch) && isnan(a.bump) && isnan(a.droop));
  assert_int_equal(a.wheels, 2);
  assert_near(a.motion_ratio, 1, 0);
  assert_near(a.bar_rate, 0, 0);
  assert_near(a.roll_centre, 0, 0);
  const sy_vehicle v = sy_vehicle_default();
  assert_int_equal(v.axle_count, 0);
  assert_true(isnan(v.torsion));
  assert_near(v.cross_share, 0.5, 0);
  assert_true(isnan(v.axle[SY_MAX_AXLES - 1].x));
}

static void wheels_stand_left_before_right_axle_by_axle(void **state) {
  (void)state;
  sy_vehicle v = four_wheeler();
  v.axle_count = 3;
  v.axle[2] = v.axle[1];
  v.axle[2].x = -3.6;
  v.axle[2].wheels = 1;
  assert_int_equal(sy_vehicle_check(&v, NULL), SY_OK);
  sy_wheel w[SY_MAX_WHEELS];
  assert_int_equal(sy_vehicle_wheels(&v, w), 5);
  const sy_wheel want[5] = {
      {0, 1, 0, 0.725}, {0, -1, 0, -0.725}, {1, 1, -2.4, 0.73}, {1, -1, -2.4, -0.73}, {2, 0, -3.6, 0}};
  for (int i = 0; i < 5; i++) {
    assert_int_equal(w[i].axle, want[i].axle);
    assert_int_equal(w[i].side, want[i].side);
    assert_near(w[i].x, want[i].x, 0);
    assert_near(w[i].y, want[i].y, 0);
  }
  assert_near(sy_vehicle_wheelbase(&v), 3.6, 0);
}

static void check_a_single_wheel_needs_no_track(void **state) {
  (void)state;
  sy_vehicle v = four_wheeler();
  v.axle[1].wheels = 1;
  v.axle[1].track = (double)NAN;
  assert_int_equal(sy_vehicle_check(&v, NULL), SY_OK);
}

/* A study moves an axle while the origin stays where the drawing has it. */
static void check_front_axle_may_stand_off_the_origin(void **state) {
  (void)state;
  sy_vehicle v = four_wheeler();
  v.axle[0].x = 0.1;
  assert_int_equal(sy_vehicle_check(&v, NULL), SY_OK);
  assert_near(sy_vehicle_wheelbase(&v), 2.5, 1e-15);
}

static void check_all_fields_stated_passes(void **state) {
  (void)state;
  sy_vehicle v = four_wheeler();
  v.torsion = 297938;
  v.cross_share = 0.487;
  for (int i = 0; i < 2; i++) {
    v.axle[i].tyre_rate = 190000, v.axle[i].spring_rate = 42000, v.axle[i].motion_ratio = 0.86;
    v.axle[i].bar_rate = 9000, v.axle[i].roll_centre = -0.032, v.axle[i].perch_pitch = 0.0015;
    v.axle[i].bump = 0.07, v.axle[i].droop = 0;
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
  v.axle[1].track = (double)NAN;
  assert_refused(&v, SY_MISSING, "axle 2 of 2", "track", "is not given");
  v = four_wheeler();
  v.axle[0].loaded_radius = (double)NAN;
  assert_refused(&v, SY_MISSING, "axle 1 of 2", "loaded_radius", "is not given");
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
  sy_vehicle v = four_wheeler();
  v.axle_count = SY_MAX_AXLES + 1;
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
  v.axle[0].bar_rate = -1;
  assert_refused(&v, SY_RANGE, "axle 1 of 2", "bar_rate", "is -1 N/m, must be >= 0 and finite");
}

/* Every size and rate: 0 or below, and infinity. */
static void check_every_size_and_rate_must_be_positive(void **state) {
  (void)state;
  const struct {
    size_t offset;
    const char *field;
    bool zero_is_fine;
  } fields[] = {{offsetof(sy_axle, track), "track", false},
                {offsetof(sy_axle, loaded_radius), "loaded_radius", false},
                {offsetof(sy_axle, tyre_rate), "tyre_rate", false},
                {offsetof(sy_axle, spring_rate), "spring_rate", false},
                {offsetof(sy_axle, motion_ratio), "motion_ratio", false},
                {offsetof(sy_axle, bar_rate), "bar_rate", true},
                {offsetof(sy_axle, perch_pitch), "perch_pitch", false},
                {offsetof(sy_axle, bump), "bump", true},
                {offsetof(sy_axle, droop), "droop", true}};
  const double bad[3] = {-0.25, (double)INFINITY, 0};
  for (size_t i = 0; i < sizeof fields / sizeof *fields; i++)
    for (int k = 0; k < (fields[i].zero_is_fine ? 2 : 3); k++) {
      sy_vehicle v = four_wheeler();
      memcpy((char *)&v.axle[1] + fields[i].offset, &bad[k], sizeof bad[k]);
      sy_error err;
      assert_int_equal(sy_vehicle_check(&v, &err), SY_RANGE);
      assert_string_equal(err.part, "axle 2 of 2");
      assert_string_equal(err.field, fields[i].field);
    }
}

static void check_names_impossible_geometry(void **state) {
  (void)state;
  sy_vehicle v = four_wheeler();
  v.axle[1].x = 0;
  assert_refused(&v, SY_GEOMETRY, "axle 2 of 2", "x", "is 0 m, not behind the axle before it at 0 m");
  v.axle[1].x = 2.4;
  assert_refused(&v, SY_GEOMETRY, "axle 2 of 2", "x", "is 2.4 m, not behind the axle before it at 0 m");
  v = four_wheeler();
  v.axle[0].wheels = v.axle[1].wheels = 1;
  assert_refused(&v, SY_GEOMETRY, "vehicle", "wheels", "are 2, a vehicle stands on at least three");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(defaults_are_nan_where_nothing_is_honest),
      cmocka_unit_test(wheels_stand_left_before_right_axle_by_axle),
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
