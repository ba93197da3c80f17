#include "statics/perches.h"

#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"

static const double G = SY_STANDARD_GRAVITY;

/* The invented car of test_corner.c: wheelbase 2450, tracks 1500 and 1480, springs 60 and 75 N/mm, motion ratios 0.75 and 0.80,
** tyres 220 N/mm, perches 1.5 mm a turn. */
static sy_vehicle worked_car(double torsion) {
  sy_vehicle v = sy_vehicle_default();
  v.torsion = torsion;
  for (int i = 0; i < 2; i++) {
    sy_axle a = sy_axle_default();
    sy_wheel w = sy_wheel_default();
    a.x = i == 0 ? 0 : -2.45;
    w.loaded_radius = 0.29;
    w.tyre_rate = 220e3;
    w.spring_rate = i == 0 ? 60e3 : 75e3;
    w.motion_ratio = i == 0 ? 0.75 : 0.80;
    w.perch_pitch = 1.5e-3;
    sy_vehicle_add_axle(&v, a, i == 0 ? 1.5 : 1.48, w);
  }
  return v;
}

static const double DRAWN[SY_MAX_WHEELS] = {1760, 1690, 2120, 2093}; /* N, no symmetry */

static sy_corner_model model_of(double torsion) {
  const sy_vehicle v = worked_car(torsion);
  sy_corner_load load;
  memset(&load, 0, sizeof load);
  const double y[4] = {0.75, -0.75, 0.74, -0.74};
  for (int i = 0; i < 4; i++) {
    load.body[0] += DRAWN[i];
    load.body[1] += i < 2 ? 0 : 2.45 * DRAWN[i];
    load.body[2] += i < 2 ? y[i] * DRAWN[i] : 0;
    load.body[3] += i < 2 ? 0 : y[i] * DRAWN[i];
    load.wheel[i] = (i < 2 ? 28 : 32) * G;
  }
  sy_corner_model m;
  sy_error err;
  if (sy_corner_make(&v, &load, DRAWN, &m, &err) != SY_OK) fail_msg("%s: %s", err.field, err.message);
  return m;
}

static sy_perch_answer find(const sy_corner_model *m, const sy_corner_setting *s, sy_perch_ask ask) {
  sy_perch_answer a;
  sy_error err;
  if (sy_perches_find(m, &m->drawn_load, s, &ask, &a, &err) != SY_OK)
    fail_msg("%s: %s", err.field, err.message);
  return a;
}

static const sy_corner_setting NONE = {.bars = false};
static const double RIGID = (double)NAN, SOFT = 2000 / SY_DEGREE;

/* Loads move along (1/t_f, -1/t_f, -1/t_r, 1/t_r) only: front load and moment about the centre line stay. */
static void check_loads(const sy_perch_answer *a, double cross) {
  const double total = 1760 + 1690 + 2120 + 2093, tol = 1e-11 * total;
  assert_near(sy_corner_cross(a->at_exact.load), cross, 1e-11);
  const double step = (DRAWN[1] + DRAWN[2] - cross * total) / (1 / 1.5 + 1 / 1.48);
  const double way[4] = {1 / 1.5, -1 / 1.5, -1 / 1.48, 1 / 1.48};
  for (int i = 0; i < 4; i++) assert_near(a->at_exact.load[i], DRAWN[i] + step * way[i], tol);
}

/* Least turns: the multiple of the slopes s that brings the change D, a = s D/(s . s), shortest vector with s . a = D. Slopes of
** the cross weight by hand, %: one turn up on the left front -0.436, left rear from its rates alike. */
static void least_turns_follow_the_slopes(void **state) {
  (void)state;
  const sy_corner_model m = model_of(RIGID);
  const double total = 1760 + 1690 + 2120 + 2093, now = (1690 + 2120) / total;
  const sy_perch_answer a =
      find(&m, &NONE, (sy_perch_ask){.hold = SY_HOLD_LEAST_TURNS, .cross = true, .cross_share = now + 0.01});
  check_loads(&a, now + 0.01);
  /* torque (N m) of one turn: offset / track / (2/t_f^2 (1/k_f + 1/k_t) + the rear's); see test_corner.c */
  const double soft = 2 / 2.25 * (1 / 33.75e3 + 1 / 220e3) + 2 / (1.48 * 1.48) * (1 / 48e3 + 1 / 220e3);
  const double front = 2e-3 / 1.5 / soft, rear = 1.875e-3 / 1.48 / soft; /* pitch / motion ratio */
  const double share = (1 / 1.5 + 1 / 1.48) / total;
  const double s[4] = {-front * share, front * share, rear * share, -rear * share};
  double square = 0;
  for (int i = 0; i < 4; i++) square += s[i] * s[i];
  for (int i = 0; i < 4; i++) assert_near(a.exact[i], s[i] * 0.01 / square, 1e-9);
  assert_memory_equal(a.turns, a.exact, 4 * sizeof(double)); /* no notch, no rounding */
  /* rule of thumb: x at every corner */
  assert_near(a.rule, 0.01 / (2 * share * (front + rear)), 1e-9);
  assert_near(sy_corner_cross(a.by_rule.load), now + 0.01, 1e-11);
}

static void held_heights_stay(void **state) {
  (void)state;
  const double torsions[2] = {RIGID, SOFT};
  for (int t = 0; t < 2; t++) {
    const sy_corner_model m = model_of(torsions[t]);
    const sy_perch_ask ask = {.hold = SY_HOLD_HEIGHTS, .cross = true, .cross_share = 0.48};
    const sy_perch_answer a = find(&m, &NONE, ask);
    check_loads(&a, 0.48);
    const double *p = a.at_exact.pose;
    assert_near(p[0], 0, 1e-13);
    assert_near(p[0] + 2.45 * p[1], 0, 1e-13);
    assert_near(0.5 * (p[2] + p[3]), 0, 1e-13);
    if (t == 0)
      for (int i = 0; i < 4; i++) assert_near(a.at_exact.height[i], 0, 1e-13);
    /* a soft chassis twists by the torque that went through it: step of the loads / rate */
    if (t == 1) assert_near(p[2] - p[3], (a.at_exact.load[0] - DRAWN[0]) * 1.5 / SOFT, 1e-12);
  }
}

static void front_or_rear_corners_stay(void **state) {
  (void)state;
  const sy_corner_model m = model_of(SOFT);
  sy_perch_answer a =
      find(&m, &NONE, (sy_perch_ask){.hold = SY_HOLD_FRONT_HEIGHTS, .cross = true, .cross_share = 0.51});
  check_loads(&a, 0.51);
  assert_near(a.at_exact.height[0], 0, 1e-13);
  assert_near(a.at_exact.height[1], 0, 1e-13);
  assert_near(a.at_exact.height[2] + a.at_exact.height[3], 0, 1e-13);
  assert_true(fabs(a.at_exact.height[2]) > 1e-5);
  a = find(&m, &NONE, (sy_perch_ask){.hold = SY_HOLD_REAR_HEIGHTS, .cross = true, .cross_share = 0.51});
  assert_near(a.at_exact.height[2], 0, 1e-13);
  assert_near(a.at_exact.height[3], 0, 1e-13);
  assert_near(a.at_exact.height[0] + a.at_exact.height[1], 0, 1e-13);
}

/* All corners of a soft chassis: the answer is the least sum of squares of the heights at that cross weight. Any other turns that
** keep the cross weight make it larger, by the square of the departure. */
static void all_corners_of_a_soft_chassis_are_a_least_squares_answer(void **state) {
  (void)state;
  const sy_corner_model m = model_of(SOFT);
  const sy_perch_answer a =
      find(&m, &NONE, (sy_perch_ask){.hold = SY_HOLD_ALL_HEIGHTS, .cross = true, .cross_share = 0.51});
  check_loads(&a, 0.51);
  sy_corner_sensitivities s;
  assert_int_equal(sy_corner_sensitivity(&m, &NONE, NULL, &s, NULL), SY_OK);
  double least = 0;
  for (int i = 0; i < 4; i++) least += a.at_exact.height[i] * a.at_exact.height[i];
  dice d = {77};
  for (int n = 0; n < 200; n++) {
    double turns[4], row[4], along = 0, square = 0;
    for (int j = 0; j < 4; j++) {
      turns[j] = dice_between(&d, -1, 1);
      row[j] = s.load_perch[1][j] + s.load_perch[2][j];
      along += row[j] * turns[j];
      square += row[j] * row[j];
    }
    double sum = 0, apart = 0;
    for (int i = 0; i < 4; i++) {
      double change = 0;
      for (int j = 0; j < 4; j++)
        change += s.height_perch[i][j] * 1.5e-3 * (turns[j] - row[j] * along / square);
      sum += (a.at_exact.height[i] + change) * (a.at_exact.height[i] + change);
      apart += change * change;
    }
    assert_near(sum, least + apart, 1e-12 * sum + 1e-18);
  }
}

/* Heights alone: two turns of the same size left and right, no change of the cross weight to speak of. */
static void heights_are_set_where_asked(void **state) {
  (void)state;
  const sy_corner_model m = model_of(SOFT);
  const sy_perch_answer a =
      find(&m, &NONE, (sy_perch_ask){.hold = SY_HOLD_HEIGHTS, .raise = true, .front = 0.005, .rear = -0.003});
  const double *p = a.at_exact.pose;
  assert_near(p[0], 0.005, 1e-13);
  assert_near(p[0] + 2.45 * p[1], -0.003, 1e-13);
  assert_near(0.5 * (p[2] + p[3]), 0, 1e-13);
  /* the tyres carry the same, so the body rises by the offset of its own axle: turns = height x motion ratio / pitch */
  assert_near(a.exact[0], 0.005 * 0.75 / 1.5e-3, 1e-9);
  assert_near(a.exact[3], -0.003 * 0.80 / 1.5e-3, 1e-9);
  assert_near(sy_corner_cross(a.at_exact.load), sy_corner_cross(a.before.load), 1e-12);
}

/* Rounded turns are notches beside the exact ones, and no other choice of such notches comes nearer to the cross weight. */
static void rounding_takes_the_best_notches(void **state) {
  (void)state;
  dice d = {5};
  for (int n = 0; n < 50; n++) {
    const sy_corner_model m = model_of(n % 2 ? SOFT : RIGID);
    const double want = dice_between(&d, 0.45, 0.55), notch = n % 3 ? 0.25 : 1.0 / 6;
    const sy_perch_answer a =
        find(&m, &NONE,
             (sy_perch_ask){.hold = SY_HOLD_HEIGHTS, .cross = true, .cross_share = want, .notch = notch});
    double miss[4];
    for (int i = 0; i < 4; i++) {
      assert_near(a.turns[i] / notch, round(a.turns[i] / notch), 1e-9);
      miss[i] = a.turns[i] - a.exact[i];
      assert_true(fabs(miss[i]) < notch * (1 + 1e-9));
    }
    const double reached = fabs(sy_corner_cross(a.after.load) - want);
    for (int other = 0; other < 16; other++) {
      sy_corner_setting s = NONE;
      for (int i = 0; i < 4; i++)
        s.perch[i] = (floor(a.exact[i] / notch) + (other >> i & 1)) * notch * 1.5e-3;
      sy_corner_result r;
      assert_int_equal(sy_corner_solve(&m, &m.drawn_load, &s, &r, NULL), SY_OK);
      assert_true(fabs(sy_corner_cross(r.load) - want) >= reached - 2e-9);
    }
  }
}

/* A wheel that a hole left hanging is brought down by perches, through the states in between. */
static void a_hanging_wheel_is_brought_back(void **state) {
  (void)state;
  const sy_corner_model m = model_of(SOFT);
  const sy_corner_setting hole = {.pad = {0, -0.4, 0, 0}};
  const sy_perch_answer a =
      find(&m, &hole, (sy_perch_ask){.hold = SY_HOLD_LEAST_TURNS, .cross = true, .cross_share = 0.5});
  assert_false(a.before.fits[1].touches);
  assert_true(a.at_exact.fits[1].touches);
  assert_near(sy_corner_cross(a.at_exact.load), 0.5, 1e-9);
}

/* 1 mm under the left front pad of the worked car is 0.218 % of 781.4 kg (worked out twice by other means); the torque goes with
** 1 / track of the pad's own axle, so a rear pad counts 1500/1480 times that and is the worst: 0.1 % is 0.45 mm there. */
static void allowed_pad_error_of_the_worked_car(void **state) {
  (void)state;
  const sy_corner_model m = model_of(RIGID);
  const sy_perch_answer a =
      find(&m, &NONE, (sy_perch_ask){.hold = SY_HOLD_HEIGHTS, .cross = true, .cross_share = 0.5});
  const double total = 1760 + 1690 + 2120 + 2093;
  const double at_781 = a.pad_allowed * (781.4 * G) / total;
  const double want = 0.1 / (0.218 * 1.5 / 1.48);
  assert_near(1e3 * at_781, want, want * 0.0005 / 0.218); /* half the last digit of 0.218 */
}

static void refuse(const sy_corner_model *m, sy_perch_ask ask, sy_status status, const char *field) {
  sy_perch_answer a;
  memset(&a, 0x33, sizeof a);
  const sy_perch_answer before = a;
  sy_error err;
  assert_int_equal(sy_perches_find(m, &m->drawn_load, &NONE, &ask, &a, &err), status);
  assert_string_equal(err.field, field);
  assert_memory_equal(&a, &before, sizeof a);
}

static void find_refuses_nonsense(void **state) {
  (void)state;
  sy_corner_model m = model_of(RIGID);
  refuse(&m, (sy_perch_ask){.cross = true, .cross_share = 1.2}, SY_RANGE, "cross_share");
  refuse(&m, (sy_perch_ask){.cross = true, .cross_share = 0.5, .notch = -1}, SY_RANGE, "notch");
  refuse(&m, (sy_perch_ask){.raise = true, .front = (double)INFINITY}, SY_RANGE, "heights");
  refuse(&m, (sy_perch_ask){.cross = true, .cross_share = 0.995}, SY_GEOMETRY,
         "perches"); /* a wheel would have to pull */
  m.vehicle.wheel[3].perch_pitch = (double)NAN;
  refuse(&m, (sy_perch_ask){.cross = true, .cross_share = 0.5}, SY_MISSING, "perch_pitch");
}

/* Roll is a condition like a height: with two heights and the cross weight four on four perches, which a solution of the equilibrium
** confirms. The roll lies where the heights are held. */
static void roll_is_asked_beside_heights_and_cross_weight(void **state) {
  (void)state;
  const double tilt = 0.2 * SY_DEGREE;
  for (int rigid = 0; rigid < 2; rigid++) {
    const sy_corner_model m = model_of(rigid ? RIGID : SOFT);
    for (sy_hold hold = SY_HOLD_HEIGHTS; hold <= SY_HOLD_LEAST_TURNS; hold++) {
      const sy_perch_answer a = find(&m, &NONE,
                                     (sy_perch_ask){.hold = hold,
                                                    .cross = true,
                                                    .cross_share = 0.507,
                                                    .raise = true,
                                                    .front = 3e-3,
                                                    .rear = -2e-3,
                                                    .lean = true,
                                                    .front_roll = tilt,
                                                    .rear_roll = tilt});
      const double *pose = a.at_exact.pose;
      check_loads(&a, 0.507);
      assert_near(pose[0], 3e-3, 1e-12);
      assert_near(pose[0] + 2.45 * pose[1], -2e-3, 1e-12);
      const double roll = hold == SY_HOLD_FRONT_HEIGHTS  ? pose[2]
                          : hold == SY_HOLD_REAR_HEIGHTS ? pose[3]
                                                         : 0.5 * (pose[2] + pose[3]);
      assert_near(roll, tilt, 1e-12);
      assert_true(isnan(a.misfit));
    }
  }
}

/* Five conditions: both rolls, two heights and a cross weight. A rigid chassis meets them, one that twists misses by what the cross weight
** twists it: M = load x track / 2 on each end less what it was, angle = M / torsion; least squares leave each end an equal moment's share. */
static void both_rolls_and_a_cross_weight_leave_a_misfit(void **state) {
  (void)state;
  const double tilt = -0.1 * SY_DEGREE, cross = 0.507;
  const sy_perch_ask ask = {.hold = SY_HOLD_ALL_HEIGHTS,
                            .cross = true,
                            .cross_share = cross,
                            .lean = true,
                            .front_roll = tilt,
                            .rear_roll = tilt};
  const sy_corner_model rigid = model_of(RIGID), soft = model_of(SOFT);
  sy_perch_answer a = find(&rigid, &NONE, ask);
  assert_near(a.at_exact.pose[2], tilt, 1e-12);
  assert_true(isnan(a.misfit));
  a = find(&soft, &NONE, ask);
  check_loads(&a, cross);
  /* half-tracks h_f, h_r: corners off by +-h_f d_f and +-h_r d_r with d_f - d_r = twist, so the least sum of squares is
  ** 2 twist^2 h_f^2 h_r^2 / (h_f^2 + h_r^2) */
  const double total = 1760 + 1690 + 2120 + 2093,
               moved = (DRAWN[1] + DRAWN[2] - cross * total) / (1 / 1.5 + 1 / 1.48);
  const double twist = moved / SOFT, front = 0.75 * 0.75, rear = 0.74 * 0.74;
  assert_near(a.misfit, fabs(twist) * sqrt(2 * front * rear / (front + rear)), 1e-9);
  double square = 0;
  for (int i = 0; i < 4; i++)
    square += pow(a.at_exact.height[i] - tilt * (i % 2 == 0 ? 1 : -1) * (i < 2 ? 0.75 : 0.74), 2);
  assert_near(sqrt(square), a.misfit, 1e-12);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(least_turns_follow_the_slopes),
      cmocka_unit_test(held_heights_stay),
      cmocka_unit_test(front_or_rear_corners_stay),
      cmocka_unit_test(all_corners_of_a_soft_chassis_are_a_least_squares_answer),
      cmocka_unit_test(heights_are_set_where_asked),
      cmocka_unit_test(rounding_takes_the_best_notches),
      cmocka_unit_test(a_hanging_wheel_is_brought_back),
      cmocka_unit_test(allowed_pad_error_of_the_worked_car),
      cmocka_unit_test(find_refuses_nonsense),
      cmocka_unit_test(roll_is_asked_beside_heights_and_cross_weight),
      cmocka_unit_test(both_rolls_and_a_cross_weight_leave_a_misfit),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
