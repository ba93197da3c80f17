#include "statics/settle.h"

#include <float.h>
#include <string.h>

#include "base/units.h"
#include "drawn_car.h"
#include "lumps.h"
#include "near.h"

static const double G = SY_STANDARD_GRAVITY;
static const sy_vec3 LEVEL = {0, 0, -SY_STANDARD_GRAVITY};

static void add_axle(sy_vehicle *v, double x, double track, double rate, double centre) {
  sy_axle a = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  a.x = x, a.bar_rate = 6e3, a.roll_centre = centre;
  w.loaded_radius = 0.29, w.perch_pitch = 0.0015;
  w.spring_rate = rate, w.motion_ratio = 0.9, w.tyre_rate = 2.1e5;
  sy_vehicle_add_axle(v, a, track, w);
}

static sy_vehicle vehicle_of(double rate) {
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1.43, rate, 0.031);
  add_axle(&v, -2.37, 1.46, 1.1 * rate, 0.07);
  v.cross_share = 0.5;
  return v;
}

/* A box of liquid, its own directions those of the vehicle, booked level. */
static sy_settle_tank box(double length, double width, double depth, double mass, sy_vec3 at) {
  sy_settle_tank t = {
      .tank = sy_tank_default(SY_TANK_BOX), .mass = mass, .turn = sy_mat3_identity(), .middle = at};
  t.tank.size = (sy_vec3){length, width, 4 * depth};
  t.volume = length * width * depth;
  assert_int_equal(sy_settle_book(&t, (sy_vec3){0, 0, 1}, NULL), SY_OK);
  return t;
}

static const lump BODY[] = {{310, -0.61, 0.03, 0.41, SY_CARRIER_BODY},
                            {420, -1.53, -0.05, 0.37, SY_CARRIER_BODY},
                            {70, 0, 0, 0.29, SY_CARRIER_AXLE},
                            {90, -2.37, 0, 0.29, SY_CARRIER_AXLE + 1}};

/* The body and the liquids where they are booked. */
static sy_totals totals_with(const sy_settle_tank *tanks, size_t count) {
  sy_totals t = totals_of(BODY, 4);
  for (size_t i = 0; i < count; i++) {
    t.all = sy_sums_add(&t.all, &tanks[i].booked);
    t.carried[0] = sy_sums_add(&t.carried[0], &tanks[i].booked);
  }
  return t;
}

static sy_settled stand(const sy_corner_model *m, const sy_totals *t, sy_settle_tanks tanks,
                        const sy_corner_setting *s) {
  sy_error err;
  sy_settled out;
  if (sy_settle_corner(m, t, &tanks, LEVEL, s, &out, &err) != SY_OK) fail_msg("%s", err.message);
  return out;
}

static sy_settled_transfer push(const sy_corner_model *m, const sy_totals *t, sy_settle_tanks tanks,
                                double forward, double left) {
  sy_error err;
  sy_settled_transfer out;
  const sy_settle_car car = {m, t, NULL, true, tanks, (double)NAN};
  if (sy_settle_transfer(&car, (sy_vec3){forward * G, left * G, -G}, &out, &err) != SY_OK)
    fail_msg("%s", err.message);
  return out;
}

static const sy_settle_tanks NONE = {NULL, 0};

/* ---- without liquid, and as drawn ------------------------------------------------------------------------------------------- */

static void settle_without_tanks_is_corner_and_transfer_bit_for_bit(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  const sy_totals t = totals_with(NULL, 0);
  const sy_corner_model m = corner_of(&v, &t);
  const sy_corner_setting s = {.pad = {0.004, -0.003, 0.001}, .bars = true};
  sy_corner_result plain;
  assert_int_equal(sy_corner_solve(&m, &m.drawn_load, &s, &plain, NULL), SY_OK);
  const sy_settled settled = stand(&m, &t, NONE, &s);
  assert_memory_equal(plain.load, settled.stand.load, sizeof plain.load);
  assert_memory_equal(plain.pose, settled.stand.pose, sizeof plain.pose);
  sy_transfer_model model;
  const sy_vec3 gravity = {0.3 * G, -0.7 * G, -G};
  assert_int_equal(sy_transfer_make(&m, &t, NULL, true, &model, NULL), SY_OK);
  assert_int_equal(sy_transfer_solve(&model, gravity, &plain, NULL), SY_OK);
  const sy_settled_transfer moving = push(&m, &t, NONE, 0.3, -0.7);
  assert_memory_equal(plain.load, moving.stand.load, sizeof plain.load);
  assert_memory_equal(plain.pose, moving.stand.pose, sizeof plain.pose);
}

static void standing_under_a_force_is_that_of_its_model(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  const sy_settle_tank tank = box(0.3, 0.7, 0.09, 23.85, (sy_vec3){-1.21, 0.11, 0.33});
  const sy_totals t = totals_with(&tank, 1);
  const sy_corner_model m = corner_of(&v, &t);
  const sy_settle_car car = {&m, &t, NULL, true, {&tank, 1}, (double)NAN};
  const sy_settled_transfer whole = push(&m, &t, car.tanks, 0.3, -0.7);
  sy_corner_result alone;
  sy_sums moved;
  assert_int_equal(sy_settle_stand(&car, (sy_vec3){0.3 * G, -0.7 * G, -G}, &alone, &moved, NULL), SY_OK);
  assert_memory_equal(alone.load, whole.stand.load, sizeof alone.load);
  assert_memory_equal(&moved, &whole.moved, sizeof moved);
}

static void settle_as_drawn_moves_nothing(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  const sy_settle_tank tank = box(0.3, 0.7, 0.09, 23.85, (sy_vec3){-1.21, 0.11, 0.33});
  const sy_totals t = totals_with(&tank, 1);
  const sy_corner_model m = corner_of(&v, &t);
  const sy_settled s = stand(&m, &t, (sy_settle_tanks){&tank, 1}, &(sy_corner_setting){.bars = false});
  /* a pose of rounding, 1e-17 rad, times I / V = 0.45 m and the mass */
  assert_near(s.moved.first.y, 0, 1e-14);
  assert_near(s.moved.first.x, 0, 1e-14);
  for (int i = 0; i < 4; i++) assert_near(s.stand.load[i], m.drawn[i], 1e-9);
}

/* ---- the free surface ---------------------------------------------------------------------------------------------------------- */

/* A box part full, its surface clear of floor and brim: the centre moves by I / V of the slope, b^2 / 12 d, exactly, and up by half
** of that times the slope (K. J. Rawson, E. C. Tupper, Basic Ship Theory, ch. 3, from memory: metacentric radius). */
static void liquid_runs_by_metacentric_radius_of_slope(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  const sy_settle_tank tank = box(0.31, 0.72, 0.09, 17.3, (sy_vec3){-1.21, 0.11, 0.33});
  const double roll = 0.013, pitch = -0.007, radius_y = 0.72 * 0.72 / (12 * 0.09),
               radius_x = 0.31 * 0.31 / (12 * 0.09);
  const double pose[4] = {0.02, pitch, roll, roll};
  sy_sums s;
  assert_int_equal(sy_settle_liquid(&tank, &v, LEVEL, pose, &s, NULL), SY_OK);
  const double tol = 64 * DBL_EPSILON * 17.3; /* a level found to rounding */
  assert_near(s.m, 17.3, 0);
  assert_near(s.first.y - tank.booked.first.y, -17.3 * radius_y * roll, tol); /* left side up: to the right */
  assert_near(s.first.x - tank.booked.first.x, 17.3 * radius_x * pitch, tol); /* nose up: rearward */
  assert_near(s.first.z - tank.booked.first.z,
              17.3 * 0.5 * (radius_y * roll * roll + radius_x * pitch * pitch), tol);
  const sy_vec3 braking = {0.05 * G, 0, -G};
  assert_int_equal(sy_settle_liquid(&tank, &v, braking, NULL, &s, NULL), SY_OK);
  assert_near(s.first.x - tank.booked.first.x, 17.3 * radius_x * 0.05, tol);
}

/* To first order in roll a tank acts as if its liquid were raised by I / V, standing over its own centre: the same source. */
static void tank_in_roll_acts_as_frozen_liquid_raised_by_metacentric_radius(void **state) {
  (void)state;
  const double slight = 1e-3, radius = 0.72 * 0.72 / (12 * 0.09);
  sy_vehicle v = vehicle_of(4e4);
  for (int twists = 0; twists < 2; twists++) {
    if (twists) v.torsion = 2500 / SY_DEGREE;
    const sy_settle_tank tank =
        box(0.02, 0.72, 0.09, 17.3, (sy_vec3){-1.21, 0, 0.33}); /* short: one roll along it */
    const sy_totals t = totals_with(&tank, 1);
    const sy_corner_model m = corner_of(&v, &t);
    sy_totals raised = t;
    const sy_sums up = {0, {0, 0, 17.3 * radius}, {.xz = -1.21 * 17.3 * radius}};
    sy_settle_add(&raised, &up);
    const sy_settled_transfer free = push(&m, &t, (sy_settle_tanks){&tank, 1}, 0, slight),
                              frozen = push(&m, &raised, NONE, 0, slight),
                              still = push(&m, &t, NONE, 0, slight);
    for (int i = 0; i < 4; i++) {
      const double gain = frozen.stand.load[i] - m.drawn[i];
      assert_near(free.stand.load[i] - m.drawn[i], gain, slight * fabs(gain)); /* the next order */
      assert_true(fabs(still.stand.load[i] - frozen.stand.load[i]) >
                  10 * slight * fabs(gain)); /* and it shows */
    }
    assert_near(free.stand.pose[2], frozen.stand.pose[2], slight * fabs(frozen.stand.pose[2]));
  }
}

/* The law of loads under a steady force, with the liquid's own moment: what stands right of the centre plane more than left, times half
** the track, summed over axles, balances weight and force about the ground. */
static void transfer_with_liquid_closes_its_moments(void **state) {
  (void)state;
  sy_vehicle v = vehicle_of(4e4);
  v.torsion = 4000 / SY_DEGREE;
  sy_settle_tank tanks[2] = {box(0.31, 0.72, 0.09, 17.3, (sy_vec3){-1.21, 0.11, 0.33}),
                             box(0.2, 0.25, 0.1, 4.1, (sy_vec3){-2.2, -0.31, 0.5})};
  const sy_totals t = totals_with(tanks, 2);
  const sy_corner_model m = corner_of(&v, &t);
  const sy_settled_transfer s = push(&m, &t, (sy_settle_tanks){tanks, 2}, 0.35, 0.8);
  double sum = 0, about_y = 0, about_x = 0;
  for (int i = 0; i < 4; i++) {
    sum += s.stand.load[i];
    about_y += s.stand.load[i] * m.wheel[i].x;
    about_x += s.stand.load[i] * m.wheel[i].y;
  }
  /* heights as it stands with the liquid there, before it is pushed */
  sy_corner_result still;
  assert_int_equal(sy_transfer_solve(&s.model, LEVEL, &still, NULL), SY_OK);
  double leant = 0, risen = 0;
  for (int k = 0; k < 2; k++) {
    const double body = s.model.mass[k] * still.pose[0] - s.model.reach[k] * still.pose[1];
    double hubs = 0;
    for (int i = 2 * k; i < 2 * k + 2; i++)
      hubs += m.drawn_load.wheel[i] / G * (still.height[i] + still.travel[i]);
    leant += (s.model.lean[k] + body) * s.stand.pose[2 + k] +
             (s.model.under[k] + hubs) * sy_transfer_hub_roll(&s.model, &s.stand, k);
    risen += body + hubs;
  }
  sy_vec3 first = sy_vec3_add(t.all.first, s.moved.first);
  first.z += risen;
  const double weight = t.all.m * G, tol = 1e-11 * weight; /* as found: corner.h's last step */
  assert_near(sum, weight, tol);
  assert_near(about_y, G * (first.x + 0.35 * first.z), tol);
  assert_near(about_x, G * (first.y + 0.8 * first.z - leant), tol);
  assert_true(s.moved.first.y > 0.8 * 17.3 * 0.2 &&
              s.moved.first.x > 0); /* forward in braking, left in a right turn */
}

/* ---- places and mirrors ----------------------------------------------------------------------------------------------------------- */

static void mirrored_tank_runs_as_in_the_mirror(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  sy_settle_tank left = box(0.31, 0.22, 0.09, 6.2, (sy_vec3){-1.21, 0.4, 0.33}), right = left;
  left.turn = sy_frame_rotation(0.21, -0.1, 0.3);
  assert_int_equal(
      sy_settle_book(&left, sy_mat3_apply(sy_mat3_transpose(left.turn), (sy_vec3){0, 0, 1}), NULL), SY_OK);
  const sy_mat3 mirror = {{{1, 0, 0}, {0, -1, 0}, {0, 0, 1}}};
  right.turn = sy_mat3_mul(mirror, left.turn);
  right.middle.y = -left.middle.y;
  assert_int_equal(
      sy_settle_book(&right, sy_mat3_apply(sy_mat3_transpose(right.turn), (sy_vec3){0, 0, 1}), NULL), SY_OK);
  const double pose[4] = {0, 0.01, 0.02, 0.02}, other[4] = {0, 0.01, -0.02, -0.02};
  sy_sums a, b;
  assert_int_equal(sy_settle_liquid(&left, &v, (sy_vec3){0.4 * G, 0.3 * G, -G}, pose, &a, NULL), SY_OK);
  assert_int_equal(sy_settle_liquid(&right, &v, (sy_vec3){0.4 * G, -0.3 * G, -G}, other, &b, NULL), SY_OK);
  const double tol = 64 * DBL_EPSILON * 6.2;
  assert_near(a.first.x, b.first.x, tol);
  assert_near(a.first.y, -b.first.y, tol);
  assert_near(a.first.z, b.first.z, tol);
  assert_near(a.second.xy, -b.second.xy, tol);
  assert_near(a.second.zz, b.second.zz, tol);
}

static void full_and_empty_tanks_move_nothing(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  sy_settle_tank t[2] = {box(0.31, 0.22, 0.09, 6.2, (sy_vec3){-1.21, 0.4, 0.33}),
                         box(0.2, 0.2, 0.05, 0, (sy_vec3){-0.4, 0, 0.3})};
  t[0].volume *= 4; /* brim-full */
  t[1].volume = 0;
  for (int i = 0; i < 2; i++) assert_int_equal(sy_settle_book(&t[i], (sy_vec3){0, 0, 1}, NULL), SY_OK);
  sy_sums moved;
  const sy_settle_tanks tanks = {t, 2};
  assert_int_equal(
      sy_settle_moved(&tanks, &v, (sy_vec3){G, G, -G}, (double[4]){0, 0.1, 0.1, 0.1}, &moved, NULL), SY_OK);
  assert_near(moved.first.x, 0, 64 * DBL_EPSILON * 6.2);
  assert_near(moved.first.y, 0, 64 * DBL_EPSILON * 6.2);
  assert_near(moved.m, 0, 0);
}

/* ---- perches and limits -------------------------------------------------------------------------------------------------------------- */

static void perches_with_liquid_reach_the_cross_share_asked(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  const sy_settle_tank tank = box(0.3, 0.9, 0.05, 38.5, (sy_vec3){-1.21, 0.11, 0.33});
  const sy_settle_tanks tanks = {&tank, 1};
  const sy_totals t = totals_with(&tank, 1);
  const sy_corner_model m = corner_of(&v, &t);
  const sy_corner_setting s = {.pad = {0.02, 0.01, -0.01, 0.0}};
  const sy_perch_ask ask = {.hold = SY_HOLD_LEAST_TURNS,
                            .cross = true,
                            .cross_share = 0.53,
                            .raise = true,
                            .front = 0.012,
                            .rear = -0.02,
                            .notch = 0.25};
  sy_perch_answer a;
  sy_error err;
  if (sy_settle_perches(&m, &t, &tanks, LEVEL, &s, &ask, &a, &err) != SY_OK) fail_msg("%s", err.message);
  assert_near(sy_corner_cross(a.at_exact.load), 0.53,
              1e-10); /* to the last of three rounds, a thousandth each */
  sy_corner_setting after = s;
  for (int i = 0; i < 4; i++) after.perch[i] += a.turns[i] * 0.0015;
  const sy_settled settled = stand(&m, &t, tanks, &after);
  assert_memory_equal(settled.stand.load, a.after.load, sizeof a.after.load);
  assert_near(stand(&m, &t, tanks, &s).stand.load[0], a.before.load[0], 0);
  assert_true(fabs(settled.moved.first.x) > 1e-3); /* the liquid did run */
}

static void wheel_lift_off_comes_earlier_by_the_liquid(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  const sy_settle_tank tank = box(0.3, 0.9, 0.06, 38.5, (sy_vec3){-1.21, 0.0, 0.33});
  const sy_totals t = totals_with(&tank, 1);
  const sy_corner_model m = corner_of(&v, &t);
  const sy_transfer_path path = {{0, 0, -G}, {0, G, 0}, false};
  sy_settle_car car = {&m, &t, NULL, true, {&tank, 1}, (double)NAN};
  sy_transfer_limit with, without;
  assert_int_equal(sy_settle_limits(&car, &path, &with, NULL), SY_OK);
  sy_settled_transfer just;
  assert_int_equal(sy_settle_transfer(&car, sy_transfer_gravity(&path, with.lift * (1 - 1e-9)), &just, NULL),
                   SY_OK);
  assert_near(just.stand.load[with.wheel], 0, 1e-8 * t.all.m * G);
  car.tanks.count = 0;
  assert_int_equal(sy_settle_limits(&car, &path, &without, NULL), SY_OK);
  assert_true(with.lifts && with.tips && with.lift < without.lift - 0.01 && with.tip < without.tip);
}

/* ---- errors ------------------------------------------------------------------------------------------------------------------------------ */

static void settle_refuses_in_one_sentence(void **state) {
  (void)state;
  const sy_vehicle v = vehicle_of(4e4);
  sy_settle_tank tank = box(0.3, 0.7, 0.09, 23.85, (sy_vec3){-1.21, 0.11, 0.33});
  const sy_settle_tanks tanks = {&tank, 1};
  const sy_totals t = totals_with(&tank, 1);
  const sy_corner_model m = corner_of(&v, &t);
  const sy_corner_setting s = {.bars = false};
  sy_settled out = {.moved.m = 7};
  sy_error err;
  assert_int_equal(sy_settle_corner(&m, &t, &tanks, (sy_vec3){0, 0, 0}, &s, &out, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "gravity");
  assert_int_equal(sy_settle_corner(&m, &t, &tanks, (sy_vec3){0, (double)NAN, -G}, &s, &out, &err), SY_RANGE);
  tank.volume = 1.01 * 0.3 * 0.7 * 0.36;
  assert_int_equal(sy_settle_corner(&m, &t, &tanks, LEVEL, &s, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "tank");
  assert_int_equal(sy_settle_book(&tank, (sy_vec3){0, 0, 1}, &err), SY_RANGE);
  assert_near(out.moved.m, 7, 0); /* untouched */
}

/* A surface as wide as the springs are soft: weight x I / V just below the roll stiffness K, so each round leaves 0.97 of the error before
** and the roll by a pad is 1 / (1 - G m I / (V K)) times that with the liquid frozen (K. J. Rawson, E. C. Tupper, Basic Ship
** Theory, ch. 3, from memory). Looking ahead finds it; repetition alone would take a thousand rounds. */
static void liquid_nearly_as_strong_as_the_springs_comes_to_rest(void **state) {
  (void)state;
  sy_vehicle v = vehicle_of(4e4);
  for (int k = 0; k < 2; k++) v.axle[k].bar_rate = 0;
  for (int k = 0; k < 4; k++) v.wheel[k].y = k % 2 == 0 ? 0.7 : -0.7, v.wheel[k].tyre_rate = 1e12;
  const double stiffness = (v.wheel[0].spring_rate + v.wheel[2].spring_rate) * 0.81 * 0.5 * 1.4 * 1.4;
  const double radius = 1.3 * 1.3 / (12 * 0.02), mass = 0.97 * stiffness / (G * radius);
  const sy_settle_tank tank = box(0.9, 1.3, 0.02, mass, (sy_vec3){-1.1, 0, 0.3});
  const sy_totals t = totals_with(&tank, 1);
  const sy_corner_model m = corner_of(&v, &t);
  sy_settled frozen, runs;
  const sy_corner_setting s = {.pad = {1e-5, 0, 1e-5, 0}};
  assert_int_equal(sy_settle_corner(&m, &t, &(sy_settle_tanks){&tank, 0}, LEVEL, &s, &frozen, NULL), SY_OK);
  assert_int_equal(sy_settle_corner(&m, &t, &(sy_settle_tanks){&tank, 1}, LEVEL, &s, &runs, NULL), SY_OK);
  /* second order in an angle of 2e-4 over a depth of 20 mm and half a width of 0.65 m */
  assert_near(runs.stand.pose[2] / frozen.stand.pose[2], 1 / (1 - 0.97), 1e-3);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(settle_without_tanks_is_corner_and_transfer_bit_for_bit),
      cmocka_unit_test(standing_under_a_force_is_that_of_its_model),
      cmocka_unit_test(settle_as_drawn_moves_nothing),
      cmocka_unit_test(liquid_runs_by_metacentric_radius_of_slope),
      cmocka_unit_test(tank_in_roll_acts_as_frozen_liquid_raised_by_metacentric_radius),
      cmocka_unit_test(transfer_with_liquid_closes_its_moments),
      cmocka_unit_test(mirrored_tank_runs_as_in_the_mirror),
      cmocka_unit_test(full_and_empty_tanks_move_nothing),
      cmocka_unit_test(perches_with_liquid_reach_the_cross_share_asked),
      cmocka_unit_test(wheel_lift_off_comes_earlier_by_the_liquid),
      cmocka_unit_test(settle_refuses_in_one_sentence),
      cmocka_unit_test(liquid_nearly_as_strong_as_the_springs_comes_to_rest),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
