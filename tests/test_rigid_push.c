/* What a force does to a car whose springs nobody knows: against a worked example, by hand, and against the same car on hard springs. */
#include "answers/rigid_push.h"

#include <math.h>

#include "answer_pair.h"
#include "answers/transfer_answers.h"

static const double G = SY_STANDARD_GRAVITY;

static sy_car car_of(const sy_ledger *ledger, const sy_vehicle *v) {
  sy_car car;
  sy_error err;
  must(sy_car_make(ledger, NULL, v, &car, &err), &err);
  return car;
}

static sy_rigid_push push(const sy_car *car) {
  sy_totals now;
  sy_rigid_push r;
  sy_error err;
  sy_ledger_sums(car->now, &now);
  must(sy_rigid_push_make(car, &now, NULL, &r, &err), &err);
  return r;
}

static sy_pushed pushed(const sy_car *car) {
  sy_pushed s;
  sy_error err;
  must(sy_pushed_make(car, &s, &err), &err);
  return s;
}

static sy_vehicle vehicle(int front, int rear, double length, double front_track, double rear_track) {
  sy_vehicle v = sy_vehicle_default();
  for (int i = 0; i < 2; i++) {
    sy_axle a = sy_axle_default();
    sy_wheel w = sy_wheel_default();
    a.x = i == 0 ? 0 : -length;
    a.wheels = i == 0 ? front : rear;
    w.loaded_radius = 0.3;
    sy_vehicle_add_axle(&v, a, i == 0 ? front_track : rear_track, w);
  }
  return v;
}

static sy_ledger *one_part(double mass, double x, double y, double z) {
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_part part = point(mass, x, y, z);
  add(b, "all", &part);
  return finish(b);
}

/* Front 9131.88 N and rear 11 065.93 N under drive, g 9.81 there: R. N. Jazar, Vehicle Dynamics, 2008, ch. 2, exercise 12: 2058.9 kg, wheelbase
** 2750.8 mm, CG midway, 760 mm high, 1.7 m/s2 (result derived). */
static void drive_moves_what_a_textbook_says(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2, 2, 2.7508, 1.5, 1.5);
  sy_ledger *ledger = one_part(2058.9, -1.3754, 0, 0.760);
  sy_car car = car_of(ledger, &v);
  car.forward = -1.7 / 9.81;
  const double jazar = 0.5 * (9131.88 - 11065.93); /* half of the difference of the axles, N at 9.81 */
  assert_near(push(&car).pitch_gain * 9.81 / G, jazar, 0.01); /* printed to 0.01 N, both */
  sy_ledger_release(ledger);
}

/* m a h / t across at the mean track, by hand. */
static void a_turn_moves_mass_by_height_and_track(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2, 2, 2.45, 1.48, 1.52);
  sy_ledger *ledger = one_part(731, -1.31, 0.02, 0.37);
  sy_car car = car_of(ledger, &v);
  car.left = -0.8; /* a left turn */
  sy_rigid_push r = push(&car);
  assert_near(r.across, 731 * G * 0.8 * 0.37 / 1.5, 1e-9);
  assert_near(r.pitch_gain, 0, 1e-9);
  assert_true(isnan(r.loaded[0]) && isnan(r.rest[3]));
  car.left = 0.8;
  assert_near(push(&car).across, r.across, 1e-9);
  car.left = 0, car.forward = 0.5;
  assert_true(isnan(push(&car).across));
  assert_near(push(&car).turn.tips, 1.31 / 0.37, 1e-9); /* over the front axle line, a / h */
  car.forward = -0.5;
  assert_near(push(&car).turn.tips, (2.45 - 1.31) / 0.37, 1e-9); /* over the rear one, b / h */
  sy_ledger_release(ledger);
}

/* Wheel lift-off in a turn is that of a table as the tangent of its angle, and tipping that of a rigid car in the same turn: sy_rigid's, which
** has tests of its own. Downforce that doubles all loads of a car that is loaded evenly doubles both. */
static void limits_are_those_of_the_rigid_car(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2, 2, 2.45, 1.48, 1.52);
  for (int even = 0; even < 2; even++) {
    sy_ledger *ledger = one_part(731, -1.31, even ? 0 : 0.02, 0.37);
    sy_car car = car_of(ledger, &v);
    for (int side = 0; side < 2; side++) {
      sy_rigid rigid;
      sy_error err;
      car.left = side == 0 ? -0.6 : 0.6;
      must(sy_rigid_make(&car, &rigid, &err), &err);
      sy_tip_lines lines;
      must(sy_tip_lines_make(&car, &lines, &err), &err);
      for (int k = 0; k < 2; k++) {
        assert_near(lines.turn[k], rigid.value[SY_RIGID_TURN + k], 0);
        assert_memory_equal(&lines.edge[k], &rigid.edge[k], sizeof lines.edge[k]);
      }
      const sy_rigid_turn turn = push(&car).turn;
      assert_near(turn.tips, rigid.value[SY_RIGID_TURN + side], 1e-12);
      assert_near(turn.lift, tan(rigid.value[SY_RIGID_LIFT + 1 - side]),
                  1e-12); /* in a left turn the right side is low */
      assert_int_equal(turn.wheel, rigid.lift_wheel[1 - side]);
      if (!even) continue;
      sy_car pressed = car;
      pressed.setting.downforce[0] = 731 * G * (2.45 - 1.31) / 2.45;
      pressed.setting.downforce[1] = 731 * G * 1.31 / 2.45;
      assert_near(push(&pressed).turn.lift, 2 * turn.lift, 1e-12);
      assert_near(push(&pressed).turn.tips, 2 * turn.tips, 1e-12);
    }
    sy_ledger_release(ledger);
  }
}

/* On springs and tyres a hundred thousand times as hard the body neither sinks nor leans: what is known without rates comes out. */
static void on_hard_springs_the_same_comes_out(void **state) {
  (void)state;
  static answer_pair p;
  for (int kind = 0; kind < CAR_KINDS; kind++)
    for (uint64_t seed = 1; seed <= 12; seed++) {
      open_pair(&p, seed, (car_kind)kind, 0.25);
      sy_car hard = p.car[0], none = p.car[0];
      hard.stated_count = none.stated_count = 0;
      for (int x = 0; x < hard.vehicle.axle_count; x++) hard.vehicle.axle[x].lateral_rate = (double)NAN;
      hard.vehicle.torsion = (double)NAN; /* else the half over a single wheel leans on the chassis */
      for (int i = 0; i < hard.map.wheel_count; i++) {
        hard.vehicle.wheel[i].spring_rate *= 1e5;
        hard.vehicle.wheel[i].tyre_rate *= 1e5;
        none.vehicle.wheel[i].tyre_rate = (double)NAN;
      }
      const sy_pushed a = pushed(&hard), b = pushed(&none);
      const double small =
          1e-4 * a.model.totals.all.m * G * 0.25; /* the hundred thousandth of some centimetres of lean */
      assert_true(a.sprung && !b.sprung);
      double moment = 0, track = 0, front = -hard.setting.downforce[0];
      int pairs = 0;
      for (int x = 0; x < hard.vehicle.axle_count; x++)
        if (hard.vehicle.axle[x].wheels == 2) track += sy_vehicle_track(&hard.vehicle, x), pairs++;
      for (int i = 0; i < hard.map.wheel_count; i++)
        moment += (a.loaded.load[i] - a.rest.load[i]) * hard.map.wheel[i].y;
      assert_near(b.rigid.across * track / pairs, fabs(moment), small);
      for (int i = 0; i < hard.map.wheel_count; i++)
        if (hard.map.wheel[i].axle == 0) front += a.loaded.load[i] - a.rest.load[i];
      if (hard.vehicle.axle_count == 2) assert_near(b.rigid.pitch_gain, front, small);
      for (int i = 0; i < hard.map.wheel_count; i++) {
        if (hard.map.split != SY_SPLIT_DETERMINATE) {
          assert_true(isnan(b.loaded.load[i]));
          continue;
        }
        assert_near(b.loaded.load[i], a.loaded.load[i], small);
        assert_near(b.rest.load[i], a.rest.load[i], small);
      }
      if (hard.map.split == SY_SPLIT_DETERMINATE) assert_near(b.rigid.turn.lift, b.rigid.turn.tips, 1e-9);
      close_pair(&p);
    }
}

static void a_force_that_tips_is_refused(void **state) {
  (void)state;
  const sy_vehicle v = vehicle(2, 2, 2.45, 1.5, 1.5);
  sy_ledger *ledger = one_part(731, -1.31, 0, 0.5);
  sy_car car = car_of(ledger, &v);
  sy_pushed s;
  sy_error err;
  car.left = 0.75 / 0.5 + 0.01;
  assert_int_equal(sy_pushed_make(&car, &s, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "cg");
  car.left = 0.3, car.setting.downforce[1] = -800 * G;
  assert_int_equal(sy_pushed_make(&car, &s, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "downforce");
  sy_ledger_release(ledger);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(drive_moves_what_a_textbook_says),
      cmocka_unit_test(a_turn_moves_mass_by_height_and_track),
      cmocka_unit_test(limits_are_those_of_the_rigid_car),
      cmocka_unit_test(on_hard_springs_the_same_comes_out),
      cmocka_unit_test(a_force_that_tips_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
