/* Suspensions whose force is no straight line of the travel: motion ratios that change, bump stops; and links that carry load past springs.
** Random vehicles against SciPy's least energy: tests/reference/oracle_springs.py. */
#include <float.h>
#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "drawn_car.h"
#include "lumps.h"
#include "near.h"
#include "statics/perches.h"
#include "statics/transfer.h"

static const double G = SY_STANDARD_GRAVITY;
static const sy_vec3 LEVEL = {0, 0, -SY_STANDARD_GRAVITY};

/* ---- the curve ------------------------------------------------------------------------------------------------------------- */

static const sy_ratio_curve three = {3, {-0.05, 0.01, 0.06}, {0.9, 0.84, 0.6}};

/* Areas of trapezia, beyond the ends of rectangles: by hand. */
static void spring_travel_is_the_area_under_the_curve(void **state) {
  (void)state;
  assert_near(sy_ratio_at(&three, -0.2), 0.9, 0);
  assert_near(sy_ratio_at(&three, 0.0), 0.85, DBL_EPSILON);
  assert_near(sy_ratio_at(&three, 0.035), 0.72, 2 * DBL_EPSILON);
  assert_near(sy_ratio_at(&three, 0.2), 0.6, 0);
  assert_near(sy_ratio_spring_travel(&three, 0.0), 0, 0);
  assert_near(sy_ratio_spring_travel(&three, 0.01), 0.00845, 1e-17);
  assert_near(sy_ratio_spring_travel(&three, 0.08), 0.00845 + 0.05 * 0.72 + 0.02 * 0.6, 1e-16);
  assert_near(sy_ratio_spring_travel(&three, -0.06), -(0.05 * 0.875 + 0.01 * 0.9), 1e-16);
}

/* A body at its drawn height whose stops have no gap stands on none by rounding. */
static void rounding_is_no_way_into_a_stop(void **state) {
  (void)state;
  const sy_wheel touched = {.stop_gap = 0.0}, none = {.stop_gap = (double)NAN};
  assert_false(sy_wheel_on_bump_stop(&touched, 0.0));
  assert_false(sy_wheel_on_bump_stop(&touched, 1e-17));
  assert_true(sy_wheel_on_bump_stop(&touched, 1e-8));
  assert_false(sy_wheel_on_bump_stop(&none, 0.1));
}

static void steepness_at_a_point_is_the_mean_of_both_sides(void **state) {
  (void)state;
  const double before = -1.0, after = -4.8; /* per m */
  assert_near(sy_ratio_steepness(&three, 0.0, 0), before, 1e-14);
  assert_near(sy_ratio_steepness(&three, 0.01, -1), before, 1e-14);
  assert_near(sy_ratio_steepness(&three, 0.01, 1), after, 1e-14);
  assert_near(sy_ratio_steepness(&three, 0.01, 0), 0.5 * (before + after), 1e-14);
  assert_near(sy_ratio_steepness(&three, 0.01 + 1e-12, 0), 0.5 * (before + after), 1e-14);
  assert_near(sy_ratio_steepness(&three, 0.01 + 1e-12, -1), after, 1e-14);
  assert_near(sy_ratio_steepness(&three, -0.05, -1), 0, 0);
  assert_near(sy_ratio_steepness(&three, 0.06, 0), 0.5 * after, 1e-14);
  assert_near(sy_ratio_steepness(&three, 0.07, 1), 0, 0);
}

/* ---- vehicles -------------------------------------------------------------------------------------------------------------- */

static void add_axle(sy_vehicle *v, double x, double spring, double ratio, double tyre) {
  sy_axle a = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  a.x = x, w.loaded_radius = 0.3, w.perch_pitch = 0.0015;
  w.spring_rate = spring, w.motion_ratio = ratio, w.tyre_rate = tyre;
  sy_vehicle_add_axle(v, a, 1.5, w);
}

/* 228 kg of body on each wheel in front, 190 behind; wheels of 25 kg. */
static sy_vehicle even_car(void) {
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 42e3, 0.86, 190e3);
  add_axle(&v, -2.4, 54e3, 0.82, 215e3);
  return v;
}

static const lump even_masses[] = {{456, 0, 0, 0.5, SY_CARRIER_BODY},
                                   {380, -2.4, 0, 0.5, SY_CARRIER_BODY},
                                   {50, 0, 0, 0.3, SY_CARRIER_AXLE},
                                   {50, -2.4, 0, 0.3, SY_CARRIER_AXLE + 1}};
enum { EVEN = sizeof even_masses / sizeof *even_masses };

static sy_corner_model model_of(const sy_vehicle *v) {
  const sy_totals t = totals_of(even_masses, EVEN);
  return corner_of(v, &t);
}

static sy_corner_result stand(const sy_corner_model *m, double more_kg, const sy_corner_setting *setting) {
  sy_corner_load load = m->drawn_load;
  sy_corner_result r;
  sy_error err;
  load.body[0] += more_kg * G; /* over the front axle */
  if (sy_corner_solve(m, &load, setting, &r, &err) != SY_OK) fail_msg("%s: %s", err.field, err.message);
  return r;
}

static const sy_corner_setting none;

static void set_curve(sy_vehicle *v, int axle, int count, const double *travel, const double *ratio) {
  for (int i = 2 * axle; i < 2 * axle + 2; i++) {
    v->wheel[i].motion_ratio = 1.0;
    v->wheel[i].curve.count = count;
    memcpy(v->wheel[i].curve.travel, travel, (size_t)count * sizeof *travel);
    memcpy(v->wheel[i].curve.ratio, ratio, (size_t)count * sizeof *ratio);
  }
}

/* A spring of 42 N/mm at a ratio of 0.86 that falls by a quarter of itself in 60 mm, under 228 kg of body. At the wheel 42 x 0.86^2 = 31.1 N/mm;
** the spring carries 228 g / 0.86 = 2600 N, and the ratio changes by -0.25 x 0.86 / 60 = -0.003583 a mm: 2600 x 0.003583 = 9.3 N/mm less. By virtual
** work (ratio.h); the arithmetic is done by hand, to the digits shown. */
static void ratio_that_falls_a_quarter_in_60_mm_takes_9_off_31(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  const sy_corner_model straight = model_of(&v);
  set_curve(&v, 0, 2, (const double[]){-0.03, 0.03}, (const double[]){0.86 * 1.125, 0.86 * 0.875});
  const sy_corner_model bent = model_of(&v);
  assert_near(straight.wheel_rate[0] * 1e-3, 31.1, 0.05);
  assert_near((straight.wheel_rate[0] - bent.wheel_rate[0]) * 1e-3, 9.3, 0.05);
  double rate[SY_MAX_WHEELS];
  const sy_corner_result r = stand(&bent, 0, &none);
  sy_corner_rates_at(&bent, &none, &r, rate);
  assert_near(rate[0], bent.wheel_rate[0], 1e-9); /* travels are 0 but for rounding */
  assert_near(rate[2], straight.wheel_rate[2], 0);
  /* with the sprung mass: 228 kg on 31.1 - 9.3 and the tyre's 190 N/mm in series */
  const double series = bent.wheel_rate[0] * 190e3 / (bent.wheel_rate[0] + 190e3);
  assert_near(sy_corner_ride_hz(&bent, 0), sqrt(series / 228) / (2 * SY_PI), 1e-12);
  assert_near(sy_corner_ride_hz_at(&bent, &none, &bent.drawn_load, &r, 0), sy_corner_ride_hz(&bent, 0),
              1e-12);
}

static void curve_of_equal_ratios_stands_as_the_straight_car(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  const sy_corner_setting turned = {.pad = {0.002, 0, -0.001}, .perch = {0.003, 0, 0.001, 0}};
  const sy_corner_model straight = model_of(&v);
  set_curve(&v, 0, 3, (const double[]){-0.05, 0.0, 0.04}, (const double[]){0.86, 0.86, 0.86});
  const sy_corner_model bent = model_of(&v);
  const sy_corner_result a = stand(&straight, 90, &turned), b = stand(&bent, 90, &turned);
  for (int i = 0; i < 4; i++) { /* some hundred roundings of the loads */
    assert_near(b.load[i], a.load[i], 1e-12 * 9000);
    assert_near(b.travel[i], a.travel[i], 1e-15);
  }
}

static void drawn_state_is_the_zero_also_on_a_touched_stop(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  set_curve(&v, 0, 3, three.travel, three.ratio);
  for (int i = 0; i < 4; i++) v.wheel[i].stop_gap = -0.004, v.wheel[i].stop_rate = 30e3;
  const sy_corner_model m = model_of(&v);
  const sy_corner_result r = stand(&m, 0, &none);
  for (int i = 0; i < 4; i++) {
    assert_near(r.travel[i], 0, 1e-17);
    assert_near(r.load[i], m.drawn[i], 1e-11);
  }
}

/* Both wheels of an axle take 60 kg more each: 12 mm of the 19 that the spring alone would take, the rest on spring and stop. */
static void load_goes_onto_spring_and_bump_stop(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  const double gap = 0.012, stop = 70e3, wheel = 42e3 * 0.86 * 0.86, force = 60 * G;
  for (int i = 0; i < 2; i++) v.wheel[i].stop_gap = gap, v.wheel[i].stop_rate = stop;
  const sy_corner_model m = model_of(&v);
  const sy_corner_result r = stand(&m, 120, &none);
  const double travel = gap + (force - wheel * gap) / (wheel + stop);
  for (int i = 0; i < 2; i++) {
    assert_near(r.travel[i], travel, 1e-14);
    assert_near(r.load[i], m.drawn[i] + force, 1e-9);
    assert_near(r.height[i], -travel - force / 190e3, 1e-14);
    assert_true(sy_wheel_on_bump_stop(&v.wheel[i], r.travel[i]));
    assert_false(sy_wheel_on_bump_stop(&v.wheel[i + 2], r.travel[i + 2]));
  }
  double rate[SY_MAX_WHEELS];
  sy_corner_rates_at(&m, &none, &r, rate);
  assert_near(rate[0], wheel + stop, 1e-9);
}

/* ---- random vehicles ------------------------------------------------------------------------------------------------------- */

static sy_vehicle bent_vehicle(dice *d) {
  sy_vehicle v = even_car();
  for (int i = 0; i < 4; i++) {
    sy_wheel *w = &v.wheel[i];
    w->y += dice_between(d, -0.05, 0.05);
    w->motion_ratio = dice_between(d, 0.9, 1.1);
    w->spring_rate = dice_between(d, 40e3, 80e3);
    w->curve.count = 2 + (int)dice_between(d, 0, 6.99);
    double travel = -0.05, ratio = dice_between(d, 0.75, 0.95);
    for (int k = 0; k < w->curve.count; k++) {
      w->curve.travel[k] = travel, w->curve.ratio[k] = ratio;
      travel += dice_between(d, 0.01, 0.03), ratio += dice_between(d, -0.025, 0.03);
    }
    if (dice_between(d, 0, 1) < 0.5)
      w->stop_gap = dice_between(d, 0.005, 0.03), w->stop_rate = dice_between(d, 2e4, 2e5);
  }
  v.torsion = dice_between(d, 0, 1) < 0.3 ? (double)NAN : dice_between(d, 5e4, 5e5);
  return v;
}

/* Also of what the ledgers book: a load of the body, and the loads as drawn. */
static void sensitivities_are_those_of_differences(void **state) {
  (void)state;
  dice d = {7};
  for (int n = 0; n < 60; n++) {
    const sy_vehicle v = bent_vehicle(&d);
    const sy_corner_setting setting = {.pad = {dice_between(&d, -0.01, 0.01)},
                                       .perch = {0, dice_between(&d, -0.01, 0.01)}};
    sy_corner_model m = model_of(&v);
    sy_corner_load load = m.drawn_load;
    load.body[0] += dice_between(&d, -400, 1500), load.body[1] += dice_between(&d, -300, 300);
    load.body[2] += dice_between(&d, -150, 150);
    sy_corner_result at, more[2];
    sy_corner_sensitivities s;
    sy_error err;
    if (sy_corner_solve(&m, &load, &setting, &at, &err) != SY_OK) fail_msg("%s", err.message);
    assert_int_equal(sy_corner_sensitivity(&m, &setting, &at, &s, &err), SY_OK);
    const double step = 0.01; /* N: curvature leaves a ten millionth of it, roundings of loads less */
    for (int k = 0; k < 4; k++) {
      for (int side = 0; side < 2; side++) {
        sy_corner_load other = load;
        other.body[k] += side == 0 ? step : -step;
        assert_int_equal(sy_corner_solve(&m, &other, &setting, &more[side], &err), SY_OK);
      }
      for (int i = 0; i < 4; i++)
        assert_near((more[0].load[i] - more[1].load[i]) / (2 * step), s.load_body[i][k], 1e-6);
    }
    for (int j = 0; j < 4; j++) {
      for (int side = 0; side < 2; side++) {
        sy_corner_model other = m;
        other.drawn[j] += side == 0 ? step : -step;
        other.drawn_torque += (side == 0 ? step : -step) * m.arm[j][2];
        assert_int_equal(sy_corner_solve(&other, &load, &setting, &more[side], &err), SY_OK);
      }
      for (int i = 0; i < 4; i++)
        assert_near((more[0].load[i] - more[1].load[i]) / (2 * step), s.load_drawn[i][j], 1e-6);
    }
  }
}

/* The answer is read back by solving with its turns. */
static void perches_of_bent_cars_reach_their_cross_weight(void **state) {
  (void)state;
  dice d = {29};
  int found = 0;
  for (int n = 0; n < 100; n++) {
    const sy_vehicle v = bent_vehicle(&d);
    const sy_corner_model m = model_of(&v);
    sy_corner_load load = m.drawn_load;
    load.body[0] += dice_between(&d, 0, 1500), load.body[2] += dice_between(&d, -200, 200);
    const sy_perch_ask ask = {
        .hold = (sy_hold)(n % 4), .cross = true, .cross_share = dice_between(&d, 0.48, 0.52)};
    sy_perch_answer a;
    sy_error err;
    const sy_status status = sy_perches_find(&m, &load, &none, &ask, &a, &err);
    if (status != SY_OK) { /* a perch turned so far that the curve no longer holds the wheel up */
      assert_string_equal(err.field, "motion_ratio");
      continue;
    }
    found++;
    sy_corner_setting turned = none;
    sy_corner_result r;
    for (int i = 0; i < 4; i++) turned.perch[i] = a.exact[i] * v.wheel[i].perch_pitch;
    assert_int_equal(sy_corner_solve(&m, &load, &turned, &r, &err), SY_OK);
    assert_near(sy_corner_cross(r.load), ask.cross_share,
                1e-9); /* find_exact ends at a billionth of the turns */
    if (ask.hold != SY_HOLD_HEIGHTS) continue;
    assert_near(r.pose[0], a.before.pose[0], 1e-10);
    assert_near(r.pose[1], a.before.pose[1], 1e-10);
    assert_near(r.pose[2] + r.pose[3], a.before.pose[2] + a.before.pose[3], 1e-10);
  }
  assert_true(found >= 90);
}

/* ---- refusals ---------------------------------------------------------------------------------------------------------------- */

static void rate_that_turns_negative_is_named_with_its_travel(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  const sy_totals t = totals_of(even_masses, EVEN);
  set_curve(&v, 0, 3, (const double[]){-0.05, 0.0, 0.05}, (const double[]){0.86, 0.86, 0.4});
  sy_corner_model m = {.rigid = true};
  sy_error err;
  assert_int_equal(try_corner_of(&v, &t, &m, &err), SY_RANGE);
  assert_string_equal(err.part, "left front wheel");
  assert_string_equal(err.field, "motion_ratio");
  /* at 50 mm: ratio 0.4, spring 2600 + 42 x 31.5 = 3923 N, 42 x 0.16 - 3923 x 0.0092 = -29.4 N/mm */
  assert_string_equal(
      err.message,
      "falls so fast that the rate at the wheel is -29.4 N/mm 50 mm up from the design height, must be "
      "above 0 from droop to bump");
  assert_int_equal(m.wheel_count, 0);                                         /* untouched */
  for (int i = 0; i < 2; i++) v.wheel[i].bump = 0.0, v.wheel[i].droop = 0.06; /* bump is not travelled */
  assert_int_equal(try_corner_of(&v, &t, &m, &err), SY_OK);
  for (int i = 0; i < 2; i++) v.wheel[i].bump = 0.03, v.wheel[i].droop = 0.06;
  assert_int_equal(try_corner_of(&v, &t, &m, &err), SY_RANGE);
  assert_non_null(strstr(err.message, "30 mm up"));
}

/* The stop joins in too late: by hand, just before it 42 x 0.538^2 - 3628 x 0.0092 = -21.2 N/mm. */
static void rate_below_0_short_of_a_stop_is_refused(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  const sy_totals t = totals_of(even_masses, EVEN);
  set_curve(&v, 0, 3, (const double[]){-0.05, 0.0, 0.05}, (const double[]){0.86, 0.86, 0.4});
  for (int i = 0; i < 2; i++) v.wheel[i].stop_gap = 0.035, v.wheel[i].stop_rate = 80e3;
  sy_corner_model m;
  sy_error err;
  assert_int_equal(try_corner_of(&v, &t, &m, &err), SY_RANGE);
  assert_non_null(strstr(err.message, "is -21.2 N/mm 35 mm up from the design height"));
  for (int i = 0; i < 2; i++)
    v.wheel[i].stop_gap = 0.0; /* 31.1 - 23.9 N/mm as drawn, more than 0 from there on */
  assert_int_equal(try_corner_of(&v, &t, &m, &err), SY_OK);
}

static void perch_that_takes_the_rate_below_0_is_refused(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  set_curve(&v, 0, 2, (const double[]){-0.03, 0.03}, (const double[]){0.86 * 1.125, 0.86 * 0.875});
  const sy_corner_model m = model_of(&v);
  const sy_corner_setting turned = {.perch = {0, 0.2}};
  sy_corner_result r;
  sy_error err;
  assert_int_equal(sy_corner_solve(&m, &m.drawn_load, &turned, &r, &err), SY_RANGE);
  assert_string_equal(err.part, "right front wheel");
}

static void check_refusal(const sy_vehicle *v, sy_status status, const char *field, const char *says) {
  sy_error err;
  assert_int_equal(sy_vehicle_check(v, &err), status);
  assert_string_equal(err.part, "right rear wheel");
  assert_string_equal(err.field, field);
  if (strstr(err.message, says) == NULL) fail_msg("%s", err.message);
}

static void vehicle_refuses_curves_and_stops_that_cannot_be(void **state) {
  (void)state;
  const sy_vehicle fine = even_car();
  sy_vehicle v = fine;
  sy_wheel *const w = &v.wheel[3];
  w->curve = (sy_ratio_curve){1, {0}, {0.8}};
  check_refusal(&v, SY_RANGE, "motion_ratio", "has 1 points");
  w->curve.count = SY_MAX_RATIOS + 1;
  check_refusal(&v, SY_RANGE, "motion_ratio", "has 9 points, a curve has 2 to 8");
  w->curve = (sy_ratio_curve){3, {-0.02, 0.01, 0.01}, {0.8, 0.8, 0.8}};
  check_refusal(&v, SY_GEOMETRY, "motion_ratio", "0.01 m of travel after one at 0.01 m");
  w->curve = (sy_ratio_curve){2, {-0.02, 0.01}, {0.8, 0}};
  check_refusal(&v, SY_RANGE, "motion_ratio", "is 0 at 0.01 m of travel, must be above 0");
  w->curve = (sy_ratio_curve){2, {-0.02, (double)INFINITY}, {0.8, 0.7}};
  check_refusal(&v, SY_RANGE, "motion_ratio", "point 2 that is not finite");
  v = fine, w->stop_gap = 0.03;
  check_refusal(&v, SY_MISSING, "stop_rate", "is not given");
  v = fine, w->stop_rate = 3e4;
  check_refusal(&v, SY_MISSING, "stop_gap", "is not given");
  v = fine, w->stop_gap = 0.06, w->stop_rate = 3e4, w->bump = 0.06;
  check_refusal(&v, SY_RANGE, "stop_gap", "is 0.06 m, bump already ends at 0.06 m");
  v = fine, w->stop_gap = 0.03, w->stop_rate = 0;
  check_refusal(&v, SY_RANGE, "stop_rate", "must be > 0");
}

/* ---- links --------------------------------------------------------------------------------------------------------------------- */

static sy_transfer_model braked(const sy_vehicle *v) {
  const sy_totals t = totals_of(even_masses, EVEN);
  const sy_corner_model corner = corner_of(v, &t);
  sy_transfer_model m;
  sy_error err;
  if (sy_transfer_make(&corner, &t, NULL, true, &m, &err) != SY_OK) fail_msg("%s", err.message);
  return m;
}

static sy_corner_result pushed(const sy_transfer_model *m, double forward) {
  sy_corner_result r;
  sy_error err;
  if (sy_transfer_solve(m, (sy_vec3){forward * G, 0, -G}, &r, &err) != SY_OK) fail_msg("%s", err.message);
  return r;
}

/* Mass times height, 836 kg at 0.5 and 100 kg at 0.3 m, over the wheelbase: onto the front axle at 1 g, kg. */
static const double ONTO_FRONT = (836 * 0.5 + 100 * 0.3) / 2.4;

static void links_leave_wheel_loads_and_hold_the_body(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  const double z = 0.8, wheel = 42e3 * 0.86 * 0.86;
  const sy_corner_result plain = pushed((const sy_transfer_model[]){braked(&v)}, z);
  for (int n = 0; n < 4; n++) {
    const double part = (double[]){-0.5, 0.3, 1.0, 1.4}[n];
    v.axle[0].brake_links = part, v.axle[0].drive_links = 7; /* that one is not asked */
    const sy_transfer_model m = braked(&v);
    const sy_corner_result r = pushed(&m, z);
    const double onto = 0.5 * z * ONTO_FRONT * G; /* N a wheel */
    assert_near(r.load[0], m.corner.drawn[0] + onto, 1e-9);
    for (int i = 0; i < 4; i++) assert_near(r.load[i], plain.load[i], 1e-9);
    assert_near(r.travel[0], (1 - part) * onto / wheel, 1e-12); /* with 1 the spring does not shorten */
    assert_near(r.height[0], -(1 - part) * onto / wheel - onto / 190e3, 1e-12);
    assert_near(r.travel[2], plain.travel[2], 1e-14);
    sy_transfer_links links;
    assert_int_equal(sy_transfer_links_at(&m, (sy_vec3){z * G, 0, -G}, &links, NULL), SY_OK);
    assert_near(links.part[0], part, 0);
    assert_near(links.part[1], 0, 0);
  }
}

static void anti_lift_and_anti_squat_hold_the_tail(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  const double wheel = 54e3 * 0.82 * 0.82, off = 0.5 * 0.6 * ONTO_FRONT * G;
  v.axle[1].brake_links = 0.25, v.axle[1].drive_links = 1.0;
  const sy_transfer_model m = braked(&v);
  const sy_corner_result braking = pushed(&m, 0.6), drive = pushed(&m, -0.6);
  assert_near(braking.travel[2], -0.75 * off / wheel, 1e-12);
  assert_near(drive.travel[2], 0, 1e-12);
  assert_near(drive.load[2], m.corner.drawn[2] + off, 1e-9);
  assert_near(drive.height[2], -off / 215e3, 1e-12); /* tyres give all the same */
}

/* The classical condition of full anti-dive: the line from the contact patch to the instant centre rises by h / L over the front share of the
** brake force; of full anti-squat with rear drive by h / L. W. Milliken, D. Milliken, Race Car Vehicle Dynamics, 1995, ch. 17, and T.
** Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 7 (both from memory). */
static void angle_of_full_anti_dive_keeps_the_springs_as_they_are(void **state) {
  (void)state;
  const double height = ONTO_FRONT * 2.4 / 936, share = 0.62;
  sy_vehicle v = even_car();
  v.axle[0].brake_angle = atan(height / (2.4 * share));
  v.axle[1].brake_angle = atan(height / (2.4 * (1 - share)));
  v.axle[1].drive_angle = atan(height / 2.4);
  sy_transfer_model m = braked(&v);
  m.brake_front_share = share;
  for (int n = 0; n < 2; n++) {
    const sy_corner_result r = pushed(&m, n == 0 ? 0.9 : -0.4);
    sy_transfer_links links;
    assert_int_equal(sy_transfer_links_at(&m, (sy_vec3){(n == 0 ? 0.9 : -0.4) * G, 0, -G}, &links, NULL),
                     SY_OK);
    assert_near(links.front_share, n == 0 ? share : 0, 0);
    assert_near(links.part[1], 1, 4 * DBL_EPSILON);
    assert_near(r.travel[2], 0, 1e-14);
    if (n == 0) assert_near(r.travel[0], 0, 1e-14);
  }
}

/* Where nobody states the brakes' share the force goes by the loads under it: at 0.5 g the front carries 506 + 0.5 x 186.7 of 936 kg. */
static void brake_force_is_shared_as_the_axles_are_loaded(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  v.axle[0].brake_angle = 0.1;
  const sy_transfer_model m = braked(&v);
  sy_transfer_links links;
  assert_int_equal(sy_transfer_links_at(&m, (sy_vec3){0.5 * G, 0, -G}, &links, NULL), SY_OK);
  const double share = (506 + 0.5 * ONTO_FRONT) / 936;
  assert_near(links.front_share, share, 1e-14);
  assert_near(links.part[0], share * tan(0.1) * 936 / ONTO_FRONT, 1e-13);
  assert_int_equal(sy_transfer_links_at(&m, LEVEL, &links, NULL), SY_OK);
  assert_true(isnan(links.front_share) && isnan(links.part[0]));
}

/* A stop that braking runs into takes the rest of the dive. */
static void braking_runs_into_the_bump_stop(void **state) {
  (void)state;
  sy_vehicle v = even_car();
  const double gap = 0.01, stop = 60e3, wheel = 42e3 * 0.86 * 0.86, onto = 0.5 * 0.9 * ONTO_FRONT * G;
  for (int i = 0; i < 2; i++) v.wheel[i].stop_gap = gap, v.wheel[i].stop_rate = stop;
  const sy_corner_result r = pushed((const sy_transfer_model[]){braked(&v)}, 0.9);
  assert_near(r.travel[0], gap + (onto - wheel * gap) / (wheel + stop), 1e-12);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(spring_travel_is_the_area_under_the_curve),
      cmocka_unit_test(rounding_is_no_way_into_a_stop),
      cmocka_unit_test(steepness_at_a_point_is_the_mean_of_both_sides),
      cmocka_unit_test(ratio_that_falls_a_quarter_in_60_mm_takes_9_off_31),
      cmocka_unit_test(curve_of_equal_ratios_stands_as_the_straight_car),
      cmocka_unit_test(drawn_state_is_the_zero_also_on_a_touched_stop),
      cmocka_unit_test(load_goes_onto_spring_and_bump_stop),
      cmocka_unit_test(sensitivities_are_those_of_differences),
      cmocka_unit_test(perches_of_bent_cars_reach_their_cross_weight),
      cmocka_unit_test(rate_that_turns_negative_is_named_with_its_travel),
      cmocka_unit_test(rate_below_0_short_of_a_stop_is_refused),
      cmocka_unit_test(perch_that_takes_the_rate_below_0_is_refused),
      cmocka_unit_test(vehicle_refuses_curves_and_stops_that_cannot_be),
      cmocka_unit_test(links_leave_wheel_loads_and_hold_the_body),
      cmocka_unit_test(anti_lift_and_anti_squat_hold_the_tail),
      cmocka_unit_test(angle_of_full_anti_dive_keeps_the_springs_as_they_are),
      cmocka_unit_test(brake_force_is_shared_as_the_axles_are_loaded),
      cmocka_unit_test(braking_runs_into_the_bump_stop),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
