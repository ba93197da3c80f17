#include "statics/equilibrium.h"

#include <float.h>
#include <string.h>

#include "base/units.h"
#include "mass/massprops.h"
#include "reference_data.h"

static const double G = SY_STANDARD_GRAVITY;

static void add_axle(sy_vehicle *v, double x, int wheels, double track) {
  sy_axle a = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  a.x = x, a.wheels = wheels, w.loaded_radius = 0.3;
  sy_vehicle_add_axle(v, a, track, w);
}

static sy_vehicle car(double wheelbase, double track_front, double track_rear) {
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 2, track_front);
  add_axle(&v, -wheelbase, 2, track_rear);
  return v;
}

/* Loads of a mass at (x, y, z) under a gravity. */
typedef struct loads {
  sy_loadmap map;
  double n[SY_MAX_WHEELS];
} loads;

static loads stand(const sy_vehicle *v, double m, sy_vec3 cg, sy_vec3 gravity) {
  loads l;
  sy_error err;
  if (sy_loadmap_make(v, gravity, &l.map, &err) != SY_OK)
    fail_msg("%s, %s: %s", err.part, err.field, err.message);
  sy_loadmap_apply(&l.map, (const double[4]){m, m * cg.x, m * cg.y, m * cg.z}, l.n);
  return l;
}

/* ---- published axle loads ------------------------------------------------------------------------------------------ */

/* R. N. Jazar, Vehicle Dynamics: Theory and Application, 1st ed., 2008, ch. 2, example 40: wheelbase 2.34 m, 2000 N under
** each front and 1800 N under each rear wheel; cg 1.1084 m behind the front axle. */
static void loads_jazar_example_40(void **state) {
  (void)state;
  const sy_vehicle v = car(2.34, 1.4, 1.4);
  const loads l = stand(&v, 7600 / G, (sy_vec3){-1.1084, 0, 0.5}, (sy_vec3){0, 0, -G});
  const double tol = 7600 / 2.34 / 2 * 0.00005; /* half the last digit of 1.1084 */
  assert_near(l.n[0], 2000, tol);
  assert_near(l.n[1], 2000, tol);
  assert_near(l.n[2], 1800, tol);
  assert_near(l.n[3], 1800, tol);
}

/* NCERT, Physics, class XI, ch. 7: 1800 kg, axles 1.8 m apart, cg 1.05 m behind the front, g 9.8: 3675 N under each front and
** 5145 N under each rear wheel. Exact. */
static void loads_ncert_two_axle_car(void **state) {
  (void)state;
  const sy_vehicle v = car(1.8, 1.3, 1.5); /* tracks do not matter for a cg on the centre line */
  const loads l = stand(&v, 1800, (sy_vec3){-1.05, 0, 0.7}, (sy_vec3){0, 0, -9.8});
  const double tol = 8 * DBL_EPSILON * 17640;
  assert_near(l.n[0], 3675, tol);
  assert_near(l.n[1], 3675, tol);
  assert_near(l.n[2], 5145, tol);
  assert_near(l.n[3], 5145, tol);
}

/* Licence examination question on vehicle dynamics: 1000 kg, front to rear as 5.5 to 4.5, wheelbase 2.5 m. The cg is, of the
** printed choices, 1.125 m behind the front axle (choices read, answer derived). */
static void loads_examination_question(void **state) {
  (void)state;
  const sy_vehicle v = car(2.5, 1.4, 1.4);
  const loads l = stand(&v, 1000, (sy_vec3){-1.125, 0, 0.5}, (sy_vec3){0, 0, -G});
  assert_near((l.n[0] + l.n[1]) / (l.n[2] + l.n[3]), 5.5 / 4.5, 8 * DBL_EPSILON);
}

/* Jazar, ch. 2, exercises 1 and 4 (inputs read, answers derived): 1765 kg, a 1.22 m, b 1.62 m, g 9.81 gives 9876.67 and
** 7437.98 N; 5091 lb with a load ratio of 1.22 on 109.5 in gives 2797.76 and 2293.24 lb with a = 49.324 in. */
static void loads_jazar_exercises(void **state) {
  (void)state;
  sy_vehicle v = car(2.84, 1.4, 1.4);
  loads l = stand(&v, 1765, (sy_vec3){-1.22, 0, 0.5}, (sy_vec3){0, 0, -9.81});
  assert_near(l.n[0] + l.n[1], 9876.67, 0.005);
  assert_near(l.n[2] + l.n[3], 7437.98, 0.005);
  v = car(109.5 * SY_INCH, 1.4, 1.4);
  l = stand(&v, 5091 * SY_POUND, (sy_vec3){-49.324 * SY_INCH, 0, 0.5}, (sy_vec3){0, 0, -G});
  const double tol = 0.005 + 5091 / 109.5 * 0.0005; /* last digits of the loads and of 49.324 in */
  assert_near((l.n[0] + l.n[1]) / SY_POUND_FORCE, 2797.76, tol);
  assert_near((l.n[2] + l.n[3]) / SY_POUND_FORCE, 2293.24, tol);
}

/* Seven parts by hand arithmetic: 626 kg, cg (1015.0799, -40.8946, 347.3163) mm behind the front axle, left, up; front
** share 56.8051 %. The engine 50 mm back puts the cg 135 x 50 / 626 = 10.78275 mm and 135 x 50 / 2350 = 2.872340 kg back. */
static void moving_a_part_shifts_loads_by_the_lever_rule(void **state) {
  (void)state;
  const double part[7][4] = {{220, 1350, 0, 320},   {135, -80, 10, 410}, {42, 520, 0, 330},
                             {77, 1500, -350, 430}, {30, 2050, 0, 300},  {58, 0, 0, 290},
                             {64, 2350, 0, 295}};
  sy_massprops p[7], whole;
  for (int i = 0; i < 7; i++)
    p[i] = (sy_massprops){
        part[i][0], {-part[i][1] * 1e-3, part[i][2] * 1e-3, part[i][3] * 1e-3}, {0, 0, 0, 0, 0, 0}};
  assert_int_equal(sy_massprops_combine(p, 7, &whole, NULL), SY_OK);
  assert_near(whole.mass, 626, 0);
  assert_near(whole.cg.x, -1.0150799, 0.5e-7);
  assert_near(whole.cg.y, -0.0408946, 0.5e-7);
  assert_near(whole.cg.z, 0.3473163, 0.5e-7);
  const sy_vehicle v = car(2.35, 1.45, 1.46);
  const loads before = stand(&v, whole.mass, whole.cg, (sy_vec3){0, 0, -G});
  assert_near((before.n[0] + before.n[1]) / (626 * G), 0.568051, 0.5e-6);
  p[1].cg.x -= 0.05;
  sy_massprops moved;
  assert_int_equal(sy_massprops_combine(p, 7, &moved, NULL), SY_OK);
  const loads after = stand(&v, moved.mass, moved.cg, (sy_vec3){0, 0, -G});
  assert_near(moved.cg.x - whole.cg.x, -135 * 0.05 / 626, 4 * DBL_EPSILON);
  const double gain = (after.n[2] + after.n[3] - before.n[2] - before.n[3]) / G;
  assert_near(gain, 135 * 50 / 2350.0, 64 * DBL_EPSILON * 626);
}

/* ---- tilted gravity -------------------------------------------------------------------------------------------------- */

/* Jazar, ch. 2, exercise 12: 2058.9 kg, wheelbase 2750.8 mm, cg midway and 760 mm high, 1.7 m/s^2 forward, g 9.81 (inputs
** read): 9131.88 N front, 11065.93 N rear (derived). Accelerating forward is a gravity that also pulls back. */
static void loads_accelerating_car(void **state) {
  (void)state;
  const sy_vehicle v = car(2.7508, 1.5, 1.5);
  const loads l = stand(&v, 2058.9, (sy_vec3){-1.3754, 0, 0.76}, (sy_vec3){-1.7, 0, -9.81});
  assert_near(l.n[0] + l.n[1], 9131.88, 0.005);
  assert_near(l.n[2] + l.n[3], 11065.93, 0.005);
}

/* On a grade the uphill axle unloads at tan(slope) = b/h, b from the cg to the downhill axle: Jazar, pp. 46-48. Nose uphill:
** the front goes; nose downhill: the rear, at a/h. */
static void loads_uphill_axle_unloads_at_the_tipping_grade(void **state) {
  (void)state;
  const double a = 1.105, b = 1.235, h = 0.83, m = 1320;
  const sy_vehicle v = car(a + b, 1.41, 1.44);
  const double up = atan2(b, h), down = atan2(a, h), tol = 16 * DBL_EPSILON * m * G;
  loads l = stand(&v, m, (sy_vec3){-a, 0.02, h}, (sy_vec3){-G * sin(up), 0, -G * cos(up)});
  assert_near(l.n[0] + l.n[1], 0, tol);
  assert_near(l.n[2] + l.n[3], m * G * cos(up), tol); /* the whole normal force */
  l = stand(&v, m, (sy_vec3){-a, 0.02, h}, (sy_vec3){G * sin(down), 0, -G * cos(down)});
  assert_near(l.n[2] + l.n[3], 0, tol);
}

/* 25 measured vehicles (SAE 1999-01-1336): at a lateral acceleration of their static stability factor T/(2h), the definition
** of NHTSA's rollover rating, the inner wheels of a left turn are empty. h, T and the factor are printed to 1e-4. */
static void loads_inner_wheels_empty_at_the_static_stability_factor(void **state) {
  (void)state;
  const table t = table_read("tests/reference/vehicle_inertia.csv");
  enum { MASS = 3, HEIGHT = 4, SSF = 5, TRACK = 6 };
  for (size_t i = 0; i < t.rows; i++) {
    const double *r = t.cell[i];
    const sy_vehicle v = car(2.5, r[TRACK], r[TRACK]);
    const loads l = stand(&v, r[MASS], (sy_vec3){-1.2, 0, r[HEIGHT]}, (sy_vec3){0, -r[SSF] * G, -G});
    const double weight = r[MASS] * G;
    const double digits =
        0.5e-4 * (r[HEIGHT] + r[SSF] + 0.5) / r[TRACK]; /* of factor, height and track, in the share */
    assert_near((l.n[0] + l.n[2]) / weight, 0, digits);
    assert_near((l.n[1] + l.n[3]) / weight, 1, digits);
  }
}

/* A left turn loads the right side, braking loads the front. */
static void loads_go_the_way_the_car_is_thrown(void **state) {
  (void)state;
  const sy_vehicle v = car(2.4, 1.45, 1.46);
  const sy_vec3 cg = {-1.2, 0, 0.45};
  const loads left = stand(&v, 800, cg, (sy_vec3){0, -0.5 * G, -G}),
              brake = stand(&v, 800, cg, (sy_vec3){0.8 * G, 0, -G});
  assert_true(left.n[1] > left.n[0] && left.n[3] > left.n[2]);
  assert_true(brake.n[0] > brake.n[2] && brake.n[1] > brake.n[3]);
}

/* ---- how the loads split ---------------------------------------------------------------------------------------------- */

/* The three balances of any load on any layout, checked directly: sum F = W, sum F x = W x_e, sum F y = W y_e. */
static void assert_balances(const loads *l, double m, sy_vec3 cg, sy_vec3 g) {
  double f = 0, fx = 0, fy = 0;
  for (int i = 0; i < l->map.wheel_count; i++) {
    f += l->n[i];
    fx += l->n[i] * l->map.wheel[i].x;
    fy += l->n[i] * l->map.wheel[i].y;
  }
  const double weight = -m * g.z, tol = 64 * DBL_EPSILON * weight * 4; /* lengths below 4 m */
  assert_near(f, weight, tol);
  assert_near(fx, weight * (cg.x - cg.z * g.x / g.z), tol);
  assert_near(fy, weight * (cg.y - cg.z * g.y / g.z), tol);
}

static const sy_vec3 CG = {-1.137, -0.081, 0.462};
static const sy_vec3 TILTED = {1.9, -3.3, -9.1};
static const double MASS = 713.7;

static void four_wheels_stand_with_the_cross_share_asked_for(void **state) {
  (void)state;
  sy_vehicle v = car(2.35, 1.45, 1.61);
  for (double cross = 0.44; cross < 0.57; cross += 0.031) {
    v.cross_share = cross;
    const loads l = stand(&v, MASS, CG, TILTED);
    assert_int_equal(l.map.split, SY_SPLIT_CROSS_SHARE);
    assert_balances(&l, MASS, CG, TILTED);
    assert_near((l.n[1] + l.n[2]) / (-MASS * TILTED.z), cross, 16 * DBL_EPSILON);
  }
}

/* A car whose front axle was moved off the origin carries what it would with everything counted from that axle. */
static void four_wheels_do_not_care_where_the_origin_is(void **state) {
  (void)state;
  sy_vehicle v = car(2.35, 1.45, 1.61);
  v.cross_share = 0.47;
  const loads want = stand(&v, MASS, CG, TILTED);
  for (int i = 0; i < 2; i++) v.axle[i].x += 0.137;
  for (int i = 0; i < 4; i++) v.wheel[i].x += 0.137;
  const loads got = stand(&v, MASS, (sy_vec3){CG.x + 0.137, CG.y, CG.z}, TILTED);
  for (int i = 0; i < 4; i++) assert_near(got.n[i], want.n[i], 64 * DBL_EPSILON * 7000);
}

static void three_wheels_are_determinate_either_way_round(void **state) {
  (void)state;
  for (int single = 0; single < 2; single++) {
    sy_vehicle v = sy_vehicle_default();
    v.cross_share = 0.9; /* means nothing here */
    add_axle(&v, 0, single == 0 ? 1 : 2, 1.45);
    add_axle(&v, -2.35, single == 1 ? 1 : 2, 1.61);
    const loads l = stand(&v, MASS, CG, TILTED);
    assert_int_equal(l.map.split, SY_SPLIT_DETERMINATE);
    assert_int_equal(l.map.wheel_count, 3);
    assert_balances(&l, MASS, CG, TILTED);
  }
  /* over one contact it stands on that one alone */
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 2, 1.45);
  add_axle(&v, -2.35, 1, 1.61);
  const loads on_one = stand(&v, MASS, (sy_vec3){0, 0.725, 0.5}, (sy_vec3){0, 0, -G});
  assert_near(on_one.n[0], MASS * G, 16 * DBL_EPSILON * MASS * G);
  assert_near(on_one.n[1], 0, 16 * DBL_EPSILON * MASS * G);
  assert_near(on_one.n[2], 0, 16 * DBL_EPSILON * MASS * G);
}

/* numpy.linalg.pinv([[1...], [x...], [y...]]) @ (W, W x, W y), three axles of two wheels, level ground. */
static void six_wheels_split_by_least_norm_as_the_pseudoinverse_does(void **state) {
  (void)state;
  sy_vehicle v = car(2.35, 1.45, 1.61);
  add_axle(&v, -3.1, 2, 1.61);
  const loads l = stand(&v, MASS, CG, (sy_vec3){0, 0, -G});
  assert_int_equal(l.map.split, SY_SPLIT_LEAST_NORM);
  assert_balances(&l, MASS, CG, (sy_vec3){0, 0, -G});
  const double want[6] = {1879.60732364547, 2105.23298877022, 798.768198629927,
                          1049.29048887189, 457.792407420266, 708.314697662228};
  for (int i = 0; i < 6; i++) assert_near(l.n[i], want[i], 1e-10); /* 14 digits of some kN */
}

/* Four wheels as 1 + 2 + 1 have no diagonals: least norm. */
static void four_wheels_on_three_axles_split_by_least_norm(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1, 1.45);
  add_axle(&v, -1.2, 2, 1.61);
  add_axle(&v, -2.4, 1, 1.45);
  const loads l = stand(&v, MASS, CG, TILTED);
  assert_int_equal(l.map.split, SY_SPLIT_LEAST_NORM);
  assert_balances(&l, MASS, CG, TILTED);
}

static void sixteen_wheels_are_the_most(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  for (int i = 0; i < SY_MAX_AXLES; i++) add_axle(&v, i == 0 ? 0.0 : -0.4 * i - 0.1 * i * i / 8, 2, 1.5);
  const loads l = stand(&v, MASS, CG, TILTED);
  assert_int_equal(l.map.wheel_count, SY_MAX_WHEELS);
  assert_balances(&l, MASS, CG, TILTED);
}

/* Behind the rear axle and outside the left wheels: negative loads are reported, not clipped. */
static void loads_of_a_tipping_vehicle_are_negative(void **state) {
  (void)state;
  const sy_vehicle v = car(2.35, 1.45, 1.61);
  const sy_vec3 out = {-2.6, 1.0, 0.4};
  const loads l = stand(&v, MASS, out, (sy_vec3){0, 0, -G});
  assert_balances(&l, MASS, out, (sy_vec3){0, 0, -G});
  assert_true(l.n[0] + l.n[1] < 0);
  assert_true(l.n[1] + l.n[3] < 0);
}

/* ---- refusals ------------------------------------------------------------------------------------------------------------ */

static void assert_refused(const sy_vehicle *v, sy_vec3 gravity, sy_status status, const char *part,
                           const char *field, const char *message) {
  sy_loadmap map;
  memset(&map, 7, sizeof map);
  const sy_loadmap before = map;
  sy_error err;
  assert_int_equal(sy_loadmap_make(v, gravity, &map, &err), status);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, field);
  assert_string_equal(err.message, message);
  assert_memory_equal(&map, &before, sizeof map);
}

static void make_refuses_what_cannot_stand(void **state) {
  (void)state;
  const sy_vec3 level = {0, 0, -G};
  sy_vehicle v = car(2.35, 1.45, 1.61);
  assert_refused(&v, (sy_vec3){0, 0, 0}, SY_GEOMETRY, "vehicle", "gravity",
                 "has z = 0 m/s2, does not point into the ground");
  assert_refused(&v, (sy_vec3){0, 0, 9.81}, SY_GEOMETRY, "vehicle", "gravity",
                 "has z = 9.81 m/s2, does not point into the ground");
  assert_refused(&v, (sy_vec3){(double)NAN, 0, -9.81}, SY_RANGE, "vehicle", "gravity", "is not finite");
  v = car(2.35, -1.45, 1.61);
  assert_refused(&v, level, SY_GEOMETRY, "axle 1 of 2", "track",
                 "has its left wheel at y = -0.725 m, not left of its right one at 0.725 m");
  v = sy_vehicle_default();
  for (int i = 0; i < 3; i++) add_axle(&v, -1.2 * i, 1, 1.61);
  assert_refused(&v, level, SY_GEOMETRY, "vehicle", "axles", "have all their wheels on one line");
  add_axle(&v, -3, 1, 1.61);
  assert_refused(&v, level, SY_GEOMETRY, "vehicle", "axles", "have all their wheels on one line");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(loads_jazar_example_40),
      cmocka_unit_test(loads_ncert_two_axle_car),
      cmocka_unit_test(loads_examination_question),
      cmocka_unit_test(loads_jazar_exercises),
      cmocka_unit_test(moving_a_part_shifts_loads_by_the_lever_rule),
      cmocka_unit_test(loads_accelerating_car),
      cmocka_unit_test(loads_uphill_axle_unloads_at_the_tipping_grade),
      cmocka_unit_test(loads_inner_wheels_empty_at_the_static_stability_factor),
      cmocka_unit_test(loads_go_the_way_the_car_is_thrown),
      cmocka_unit_test(four_wheels_stand_with_the_cross_share_asked_for),
      cmocka_unit_test(four_wheels_do_not_care_where_the_origin_is),
      cmocka_unit_test(three_wheels_are_determinate_either_way_round),
      cmocka_unit_test(six_wheels_split_by_least_norm_as_the_pseudoinverse_does),
      cmocka_unit_test(four_wheels_on_three_axles_split_by_least_norm),
      cmocka_unit_test(sixteen_wheels_are_the_most),
      cmocka_unit_test(loads_of_a_tipping_vehicle_are_negative),
      cmocka_unit_test(make_refuses_what_cannot_stand),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
