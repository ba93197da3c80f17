#include "statics/stability.h"

#include <float.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"

static sy_vehicle vehicle(double wheelbase, double front, double rear) {
  sy_vehicle v = sy_vehicle_default();
  for (int i = 0; i < 2; i++) {
    const double track = i == 0 ? front : rear;
    sy_axle a = sy_axle_default();
    sy_wheel w = sy_wheel_default();
    a.x = i * -wheelbase, a.wheels = isnan(track) ? 1 : 2, w.loaded_radius = 0.3;
    sy_vehicle_add_axle(&v, a, track, w);
  }
  return v;
}

/* Static stability factor T / 2h, T the mean track: U.S. National Highway Traffic Safety Administration, rollover resistance rulemaking,
** chapter V. A rigid vehicle with its cg on the centre plane tips there, in g and as the tangent of a table's angle. */
static void ssf_is_mean_track_by_twice_the_height(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2.6, 1.50, 1.46);
  assert_near(sy_stability_ssf(&v, 0.55), 1.48 / 1.1, 4 * DBL_EPSILON);
  const sy_vehicle even = vehicle(2.6, 1.48, 1.48);
  const sy_vec3 cg = {-1.1, 0, 0.55};
  for (int side = -1; side <= 1; side += 2)
    assert_near(sy_stability_side(&even, cg, 0, side, NULL), 1.48 / 1.1, 8 * DBL_EPSILON);
  const sy_vehicle three = vehicle(2.6, 1.5, (double)NAN);
  assert_true(isnan(sy_stability_ssf(&three, 0.55)));
}

/* The half track at the cg between the axles, less the cg's own place. */
static void tip_uses_the_half_track_where_the_cg_is(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2.5, 1.6, 1.2);
  const sy_vec3 cg = {-1.0, 0.04, 0.5};
  const double half = 0.8 + (0.6 - 0.8) * 1.0 / 2.5;
  sy_reach edge;
  assert_near(sy_stability_side(&v, cg, 0, 1, &edge), (half - 0.04) / 0.5, 8 * DBL_EPSILON);
  assert_true(edge.wheel[0] + edge.wheel[1] == 2); /* left front 0 and left rear 2 */
  assert_near(sy_stability_side(&v, cg, 0, -1, NULL), (half + 0.04) / 0.5, 8 * DBL_EPSILON);
}

/* R. Jazar, Vehicle Dynamics, 2008, pp. 46-48: on a grade it tips at atan(a2 / h), a2 from the cg to the axle downhill. */
static void grade_tips_at_jazar_s_angle(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2.6, 1.5, 1.45);
  const double h = 0.7;
  assert_near(sy_stability_reach(&v, -1.1, 0, -1, 0).distance / h, 1.5 / h, 8 * DBL_EPSILON);
  assert_near(sy_stability_reach(&v, -1.1, 0, 1, 0).distance / h, 1.1 / h, 8 * DBL_EPSILON);
}

/* The load map of equilibrium.h is another way: at the limit a wheel's load, or those of the edge's other wheels, are zero. */
static void three_wheels_tip_where_the_balance_says(void **state) {
  (void)state;
  dice d = {5};
  for (int n = 0; n < 500; n++) {
    const bool nose = dice_bits(&d) & 1;
    const double track = dice_between(&d, 1.0, 1.6), length = dice_between(&d, 1.9, 2.8);
    const sy_vehicle v = vehicle(length, nose ? (double)NAN : track, nose ? track : (double)NAN);
    const double along = dice_between(&d, 0.2, 0.5) * length; /* from the pair */
    const sy_vec3 cg = {nose ? along - length : -along, dice_between(&d, -0.05, 0.05),
                        dice_between(&d, 0.3, 0.6)};
    const double forward = dice_between(&d, -0.2, 0.2);
    for (int side = -1; side <= 1; side += 2) {
      const double limit = sy_stability_side(&v, cg, forward, side, NULL), m = 431;
      sy_loadmap map;
      double load[SY_MAX_WHEELS];
      const sy_vec3 pull = {9.8 * forward, 9.8 * side * limit, -9.8};
      assert_int_equal(sy_loadmap_make(&v, pull, &map, NULL), SY_OK);
      sy_loadmap_apply(&map, (double[4]){m, m * cg.x, m * cg.y, m * cg.z}, load);
      assert_near(fmin(load[0], fmin(load[1], load[2])), 0, 1e-10 * m * 9.8);
      int wheel = -1; /* without forward force the wheel that lifts goes with it */
      const sy_vec3 level = {0, 0, -9.8};
      assert_int_equal(sy_loadmap_make(&v, level, &map, NULL), SY_OK);
      sy_loadmap_apply(&map, (double[4]){m, m * cg.x, m * cg.y, m * cg.z}, load);
      assert_near(sy_stability_lift_off(&v, load, cg.z, side, &wheel),
                  sy_stability_side(&v, cg, 0, side, NULL), 1e-12 * 5);
      assert_true(wheel >= 0);
    }
  }
}

/* Braking tips it forward before it turns over: no sideways limit is left. */
static void side_without_a_stand_is_not_a_number(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2.0, 1.2, (double)NAN);
  assert_true(isnan(sy_stability_side(&v, (sy_vec3){-0.5, 0, 0.6}, 1.0, 1, NULL)));
}

/* Level loads 100 105 140 150, equal tracks: each wheel's distance is the same, so the lightest one on the high side lifts. By hand:
** t / (2 h) x 4 x 100 / 495. */
static void lightest_upper_wheel_lifts_first(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2.4, 1.4, 1.4);
  const double level[SY_MAX_WHEELS] = {100, 105, 140, 150};
  int wheel = -1;
  assert_near(sy_stability_lift_off(&v, level, 0.5, -1, &wheel), 1.4 / 2 / 0.5 * 4 * 100 / 495,
              8 * DBL_EPSILON);
  assert_int_equal(wheel, 0);
  assert_near(sy_stability_lift_off(&v, level, 0.5, 1, &wheel), 1.4 / 2 / 0.5 * 4 * 105 / 495,
              8 * DBL_EPSILON);
  assert_int_equal(wheel, 1);
}

/* Lecture slides on vehicle performance (slideshare 263385814; data as printed, the answers by a = mu g (b/L) / (1 +- mu h/L)): wheelbase 2.6 m, cg
** midway and 0.7 m high, mu 0.7, g 9.81: front drive 2.8890, rear drive 4.2309, all 6.8670 m/s2. */
static void traction_of_the_slides(void **state) {
  (void)state;
  const sy_traction t = sy_stability_traction((sy_between){1.3, 1.3, 0.7, 1}, 0.7);
  const double tol = 0.00005; /* half the last digit */
  assert_near(9.81 * t.front, 2.8890, tol);
  assert_near(9.81 * t.rear, 4.2309, tol);
  assert_near(9.81 * t.all, 6.8670, tol);
}

/* R. Jazar, Vehicle Dynamics, 2008, pp. 54-55: 0 to 100 km/h at mu 1 in 6.21 s with front drive, 2.83 s with four-wheel drive (wheelbase 2.272 m,
** cg midway and 0.22 m high, inferred). */
static void traction_of_jazar_gives_his_times(void **state) {
  (void)state;
  const sy_traction t = sy_stability_traction((sy_between){1.136, 1.136, 0.22, 1}, 1.0);
  const double speed = 100 / 3.6;
  assert_near(speed / (9.81 * t.front), 6.21, 0.005);
  assert_near(speed / (9.81 * t.all), 2.83, 0.005);
}

static void check_split(sy_between cg, double mu) {
  const sy_traction t = sy_stability_traction(cg, mu);
  const double tol = 8 * DBL_EPSILON;
  assert_near(sy_stability_split_traction(cg, mu, 1).most, fmin(t.front, cg.press * cg.b / cg.height), tol);
  assert_near(sy_stability_split_traction(cg, mu, 0).most, t.rear, tol);
  const sy_split_traction best =
      sy_stability_split_traction(cg, mu, fmax(0, sy_stability_split_traction(cg, mu, 0).ideal));
  assert_near(best.most, t.all, tol * 10);
  for (int i = 0; i <= 20; i++)
    assert_true(sy_stability_split_traction(cg, mu, 0.05 * i).most <= best.most + tol);
}

/* All in front and all in the rear are the published cases above, and the share of the axle loads under way is that of all wheels. */
static void split_drive_ends_in_the_published_cases(void **state) {
  (void)state;
  check_split((sy_between){1.3, 1.3, 0.7, 1}, 0.7);
  check_split((sy_between){1.136, 1.136, 0.22, 1}, 1.0);
  check_split((sy_between){1.9, 0.5, 0.9, 1}, 1.2); /* the front lifts before */
  check_split((sy_between){1.1, 1.4, 0.45, 1.3}, 0.9);
}

/* By equilibrium: each axle carries its share of the force, the one that slips exactly what it can hold. */
static void split_drive_by_hand(void **state) {
  (void)state;
  const double a = 1.31, b = 1.14, h = 0.37, mu = 0.85;
  for (int i = 1; i < 10; i++) {
    const double share = 0.1 * i;
    const sy_split_traction t = sy_stability_split_traction((sy_between){a, b, h, 1}, mu, share);
    const double front = (b - t.most * h) / (a + b), rear = (a + t.most * h) / (a + b); /* of the weight */
    const double used = fmax(share * t.most / front, (1 - share) * t.most / rear);
    assert_near(used, mu, 1e-12);
    assert_true((share * t.most / front > (1 - share) * t.most / rear) == (t.front_slips < t.rear_slips));
  }
}

/* On a grade the weight's two parts, along it and into it, by their sines and cosines: the tangent is the acceleration on the level. */
static void split_drive_holds_on_the_grade_of_its_tangent(void **state) {
  (void)state;
  dice d = {23};
  for (int n = 0; n < 200; n++) {
    const double a = dice_between(&d, 0.8, 1.6), b = dice_between(&d, 0.8, 1.6),
                 h = dice_between(&d, 0.2, 0.7), mu = dice_between(&d, 0.2, 1.1),
                 share = dice_between(&d, 0, 1);
    const sy_split_traction t = sy_stability_split_traction((sy_between){a, b, h, 1}, mu, share);
    const double up = sin(atan(t.most)), into = cos(atan(t.most));
    const double front = (b * into - h * up) / (a + b),
                 rear = (a * into + h * up) / (a + b); /* of the weight */
    const double spare[3] = {mu * front - share * up, mu * rear - (1 - share) * up, front};
    assert_true(fmin(fmin(spare[0], spare[1]), spare[2]) > -1e-12);
    assert_near(fmin(fmin(spare[0], spare[1]), spare[2]), 0, 1e-12);
  }
}

static void traction_ends_where_the_front_lifts(void **state) {
  (void)state;
  const sy_traction t = sy_stability_traction((sy_between){1.9, 0.5, 0.9, 1}, 1.2);
  assert_near(t.rear, 0.5 / 0.9, 2 * DBL_EPSILON);
  assert_near(t.all, 0.5 / 0.9, 2 * DBL_EPSILON);
}

/* Ideal split (b + z h) / L; b 1.3, L 2.6, h 0.5: our arithmetic of the relation in R. Limpert, Brake Design and Safety, and T. Gillespie,
** Fundamentals of Vehicle Dynamics (both from memory). */
static void ideal_brake_split_rises_with_deceleration(void **state) {
  (void)state;
  const double want[5] = {0.53846, 0.57692, 0.61538, 0.65385, 0.69231};
  for (int i = 0; i < 5; i++)
    assert_near(sy_stability_ideal_brake((sy_between){1.3, 1.3, 0.5, 1}, 0.2 * (i + 1)), want[i], 0.000005);
}

/* At its locking point an axle's brake force is mu times its load, from the balance by hand. */
static void fixed_split_locks_where_force_meets_grip(void **state) {
  (void)state;
  dice d = {8};
  for (int n = 0; n < 500; n++) {
    const sy_between cg = {dice_between(&d, 0.8, 1.5), dice_between(&d, 0.8, 1.5), dice_between(&d, 0.3, 0.8),
                           1};
    const double mu = dice_between(&d, 0.2, 1.2), share = dice_between(&d, 0.4, 0.9), length = cg.a + cg.b;
    const sy_braking b = sy_stability_braking(cg, mu, share);
    if (isfinite(b.front_locks))
      assert_near(share * b.front_locks, mu * (cg.b + b.front_locks * cg.height) / length,
                  1e-12 * (1 + b.front_locks));
    assert_near((1 - share) * b.rear_locks, mu * (cg.a - b.rear_locks * cg.height) / length, 1e-13);
    assert_near(sy_stability_ideal_brake(cg, b.critical), share, 1e-14);
    assert_true(b.rear_first == (fmin(b.rear_locks, b.front_locks) > b.critical));
  }
}

/* Under downforce each limit is a plain balance of moments about the contact points: weight and air press, the weight's mass is pushed (T.
** Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 2 and 3, from memory). */
static void downforce_presses_and_is_not_pushed(void **state) {
  (void)state;
  dice d = {19};
  for (int n = 0; n < 200; n++) {
    sy_vehicle v = sy_vehicle_default();
    const double front = dice_between(&d, -1, 4), length = dice_between(&d, 2, 3), rear = front - length,
                 track = dice_between(&d, 1.2, 1.6);
    for (int i = 0; i < 2; i++) {
      sy_axle axle = sy_axle_default();
      sy_wheel w = sy_wheel_default();
      axle.x = i == 0 ? front : rear, w.loaded_radius = 0.3;
      sy_vehicle_add_axle(&v, axle, track, w);
    }
    const double m = dice_between(&d, 300, 1500), b = length * dice_between(&d, 0.3, 0.7), a = length - b,
                 h = dice_between(&d, 0.3, 0.8), y = dice_between(&d, -0.1, 0.1),
                 mu = dice_between(&d, 0.4, 1.6), share = dice_between(&d, 0.4, 0.8), g = SY_STANDARD_GRAVITY;
    const double air[SY_MAX_AXLES] = {dice_between(&d, -300, 3000), dice_between(&d, -300, 3000)};
    const sy_vec3 cg = {rear + b, y, h};
    const double on[2] = {m * g * b / length + air[0], m * g * a / length + air[1]}; /* standing */
    sy_loadmap map;
    sy_error err;
    assert_int_equal(sy_loadmap_make(&v, (sy_vec3){0, 0, -g}, &map, &err), SY_OK);
    const sy_between at = sy_stability_between(&v, &map, m, cg, air);
    const sy_braking brake = sy_stability_braking(at, mu, share);
    if (isfinite(brake.front_locks)) {
      const double z = brake.front_locks;
      assert_near(share * z * m * g, mu * (on[0] + z * m * g * h / length), 1e-8 * m * g);
    }
    const double z = brake.rear_locks;
    assert_near((1 - share) * z * m * g, mu * (on[1] - z * m * g * h / length), 1e-8 * m * g);
    const double ideal = sy_stability_ideal_brake(at, 0.7), nose = on[0] + 0.7 * m * g * h / length;
    assert_near(ideal, nose / (m * g + air[0] + air[1]), 1e-12);
    assert_near(sy_stability_ideal_brake(at, brake.critical), share, 1e-12);
    const sy_traction t = sy_stability_traction(at, mu);
    assert_near(t.front * m * g, mu * (on[0] - t.front * m * g * h / length), 1e-8 * m * g);
    const double lifts = on[0] * length / (m * g * h);
    assert_near(t.all, fmin(mu * (on[0] + on[1]) / (m * g), lifts), 1e-9);
    const double right = sy_stability_side(&v, sy_stability_pressed(&v, m, cg, air), 0, 1, NULL);
    /* about the left wheels: a push to the left */
    assert_near(right * m * g * h, m * g * (track / 2 - y) + (air[0] + air[1]) * track / 2, 1e-8 * m * g);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(ssf_is_mean_track_by_twice_the_height),
      cmocka_unit_test(tip_uses_the_half_track_where_the_cg_is),
      cmocka_unit_test(grade_tips_at_jazar_s_angle),
      cmocka_unit_test(three_wheels_tip_where_the_balance_says),
      cmocka_unit_test(side_without_a_stand_is_not_a_number),
      cmocka_unit_test(lightest_upper_wheel_lifts_first),
      cmocka_unit_test(traction_of_the_slides),
      cmocka_unit_test(traction_of_jazar_gives_his_times),
      cmocka_unit_test(split_drive_ends_in_the_published_cases),
      cmocka_unit_test(split_drive_by_hand),
      cmocka_unit_test(split_drive_holds_on_the_grade_of_its_tangent),
      cmocka_unit_test(traction_ends_where_the_front_lifts),
      cmocka_unit_test(ideal_brake_split_rises_with_deceleration),
      cmocka_unit_test(fixed_split_locks_where_force_meets_grip),
      cmocka_unit_test(downforce_presses_and_is_not_pushed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
