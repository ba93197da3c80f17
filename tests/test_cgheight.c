#include "measure/cgheight.h"

#include <float.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"

enum { MOST = 32 };

typedef struct answer {
  sy_cgheight all;
  sy_cgheight_row row[MOST];
  sy_cgheight_level level[SY_CGHEIGHT_MOST_RUNS];
} answer;

static sy_status try_fit(const sy_cgheight_session *s, answer *a, sy_error *err) {
  void *memory = malloc(sy_cgheight_size(s));
  const sy_status status = sy_cgheight_fit(s, memory, &a->all, a->row, a->level, err);
  free(memory);
  return status;
}

static answer fit_of(const sy_cgheight_session *s) {
  static answer a;
  sy_error err;
  if (try_fit(s, &a, &err) != SY_OK) fail_msg("%s, %s: %s", err.part, err.field, err.message);
  return a;
}

static sy_cgheight_reading reading(size_t run, double lift, double front, double rear) {
  return (sy_cgheight_reading){
      .run = run, .lifted = SY_LIFT_REAR, .lift = lift, .load = {front, rear}, .load_sd = {0.1, 0.1}};
}

/* ---- a page of readings ---------------------------------------------------------------------------------------------------- */

/* Invented: rear axle lifted, 701.4 kg, 2450, radii 290 and 305, true height 348; front load up and down in 150 mm steps, 0.35 kg of
** friction between the runs. Heights and chi-squares were worked out twice apart from this project. */
static sy_cgheight_session page(sy_cgheight_reading *list) {
  const double up[] = {282.7, 283.5, 284.4, 285.3, 286.2}, down[] = {282.9, 284.0, 284.8, 285.6};
  for (size_t i = 0; i < 5; i++)
    list[i] = reading(0, 0.15 * (double)i, up[i], i == 0 ? 701.4 - up[0] : (double)NAN);
  for (size_t i = 0; i < 4; i++)
    list[5 + i] = reading(1, 0.15 * (double)i, down[i], i == 0 ? 701.4 - down[0] : (double)NAN);
  sy_cgheight_session s = sy_cgheight_session_default();
  s.car.wheelbase = 2.45;
  s.car.radius[0] = 0.29;
  s.car.radius[1] = 0.305;
  s.reading = list;
  s.count = 9;
  s.runs = 2;
  return s;
}

static void page_with_a_level_for_each_run_gives_the_worked_height(void **state) {
  (void)state;
  sy_cgheight_reading list[9];
  sy_cgheight_session s = page(list);
  const answer a = fit_of(&s);
  assert_near(a.all.height.value, 0.34797,
              0.5e-5 + 1e-5); /* last digit, and 0.005 mm: the worked fit took 701.4 kg as exact */
  assert_int_equal(a.all.tested, 6);
  assert_near(a.all.chi2, 3.5, 0.05);
  assert_near(a.all.mass.value, 701.4, 0.05);     /* the levels differ from the readings by their scatter */
  assert_near(a.all.behind.value, 1.4626, 0.001); /* half the gap between the runs moves it by 0.6 mm */
  assert_near(a.level[1].load[0] - a.level[0].load[0], 0.35, 0.005 + 0.05);
  assert_false(a.all.suspicious);
  assert_near(a.all.widened, 1, 0);
  assert_true(a.all.height.dof == (double)INFINITY);
  assert_near(a.row[4].tilt / SY_DEGREE, -14.19, 0.005);
  assert_true(isnan(a.row[0].height) && isnan(a.row[0].u_height));
}

static void page_run_by_run_and_with_one_level_gives_the_worked_heights(void **state) {
  (void)state;
  sy_cgheight_reading list[9];
  sy_cgheight_session s = page(list);
  s.common_level = true;
  answer a = fit_of(&s);
  assert_near(a.all.height.value, 0.34654, 1.5e-5);
  assert_near(a.all.chi2 - 2, 30.4,
              0.1); /* the two rear readings differ by 0.2 kg: 2 more, on one more degree of freedom */
  assert_int_equal(a.all.tested, 8);
  assert_true(a.all.widened > 1.9 && a.all.p < 1e-3);
  assert_near(a.all.height.dof, 8, 1); /* nearly all of the uncertainty is the scatter's own */
  s.common_level = false;
  s.runs = 1;
  s.count = 5;
  a = fit_of(&s);
  assert_near(a.all.height.value, 0.34758, 1.5e-5);
  for (size_t i = 5; i < 9; i++) list[i].run = 0;
  s.reading = list + 5;
  s.count = 4;
  a = fit_of(&s);
  assert_near(a.all.height.value, 0.34876, 1.5e-5);
}

/* Each lifted reading against the level reading alone. */
static void single_lifts_against_the_level_give_the_worked_heights(void **state) {
  (void)state;
  const double want[] = {344.5, 347.0, 347.5, 347.2};
  for (size_t i = 1; i <= 4; i++) {
    sy_cgheight_reading list[9], two[2];
    sy_cgheight_session s = page(list);
    two[0] = list[0];
    two[1] = list[i];
    s.reading = two;
    s.count = 2;
    s.runs = 1;
    const answer a = fit_of(&s);
    assert_near(a.all.height.value * 1e3, want[i - 1], 0.05);
    assert_near(a.row[1].height, a.all.height.value, 1e-12);
    assert_near(a.row[1].u_height, a.all.height.by[SY_CGHEIGHT_LOADS], 1e-9);
    assert_int_equal(a.all.tested, 0);
    assert_true(isnan(a.all.trend) && isnan(a.all.p) && isnan(a.all.off));
  }
}

/* u(h) of one 1 kg error is L/(W tan t) for equal radii, of 0.1 degree (h - r) 2/sin 2t x 0.1 degree (first order): for L 2500, W 1000,
** h - r 180 the table below. Formulas: derivative of h = r + dF L/(W tan t). */
static void uncertainty_grows_at_small_tilts_as_tabled(void **state) {
  (void)state;
  const double degrees[] = {2, 3, 5, 8, 10, 15, 20, 25, 30};
  const double by_load[] = {71.591, 47.703, 28.575, 17.788, 14.178, 9.330, 6.869, 5.361, 4.330};
  const double by_tilt[] = {9.007, 6.011, 3.618, 2.280, 1.837, 1.257, 0.977, 0.820, 0.726};
  for (int i = 0; i < 9; i++) {
    const double t = degrees[i] * SY_DEGREE;
    sy_cgheight_reading list[2] = {reading(0, 0, 540, 460),
                                   reading(0, t, 540 + 0.18 * 1000 * tan(t) / 2.5, (double)NAN)};
    list[0].load_sd[0] = list[0].load_sd[1] = 1e-6;
    list[1].load_sd[0] = 1;
    list[1].lift_sd = 0.1 * SY_DEGREE;
    sy_cgheight_session s = sy_cgheight_session_default();
    s.car.wheelbase = 2.5;
    s.car.radius[0] = s.car.radius[1] = 0.3;
    s.by_angle = true;
    s.reading = list;
    s.count = 2;
    s.runs = 1;
    const answer a = fit_of(&s);
    assert_near(a.all.height.value, 0.48, 1e-12);
    assert_near(a.all.height.by[SY_CGHEIGHT_LOADS] * 1e3, by_load[i],
                0.0006); /* last digit, and 1e-6 of the level's uncertainty */
    assert_near(a.all.height.by[SY_CGHEIGHT_LIFTS] * 1e3, by_tilt[i], 0.0006);
    assert_near(a.all.height.u, hypot(a.all.height.by[SY_CGHEIGHT_LOADS], a.all.height.by[SY_CGHEIGHT_LIFTS]),
                1e-12);
  }
}

/* ---- truth ----------------------------------------------------------------------------------------------------------------- */

typedef struct world {
  sy_lift_car car;
  double mass, behind, height;
  double held[2][2];
} world;

static world random_world(dice *d) {
  world w = {
      .car = sy_lift_car_default(), .mass = dice_between(d, 150, 2500), .height = dice_between(d, 0.2, 0.7)};
  w.car.wheelbase = dice_between(d, 1.6, 3.2);
  w.car.radius[0] = dice_between(d, 0.2, 0.4);
  w.car.radius[1] = dice_between(d, 0.2, 0.4);
  w.behind = w.car.wheelbase * dice_between(d, 0.25, 0.75);
  for (int end = 0; end < 2; end++) {
    w.held[end][0] = (end == 0 ? 0 : -w.car.wheelbase) + dice_between(d, -0.2, 0.2);
    w.held[end][1] = w.car.radius[end] - dice_between(d, 0, 0.1);
  }
  return w;
}

/* Front load by points turned one by one (test_lift.c holds the same truth against the formulas), nose up by `tilt`. */
static double front_of(const world *w, sy_lift_end lifted, bool by_body, double tilt) {
  const double c = cos(tilt), s = sin(tilt);
  double x[2] = {0, -w->car.wheelbase}, z[2] = {w->car.radius[0], w->car.radius[1]};
  if (by_body) {
    x[lifted] = w->held[lifted][0];
    z[lifted] = w->held[lifted][1];
  }
  const double front = x[0] * c - z[0] * s, rear = x[1] * c - z[1] * s, cg = -w->behind * c - w->height * s;
  return w->mass * (cg - rear) / (front - rear);
}

static double normal(dice *d) { /* Box & Muller, 1958 */
  const double r = sqrt(-2 * log(dice_between(d, 0x1p-53, 1)));
  return r * cos(2 * SY_PI * dice_between(d, 0, 1));
}

/* Up and down again: steps of random tilts to 2..25 degrees, rear or front lifted, one or both axles read. */
static size_t go_up_and_down(const world *w, dice *d, sy_cgheight_session *s, sy_cgheight_reading *list,
                             bool by_body) {
  size_t n = 0;
  const size_t steps = 2 + dice_below(d, 3);
  const sy_lift_end lifted = dice_below(d, 2) == 0 ? SY_LIFT_FRONT : SY_LIFT_REAR;
  const bool both = dice_below(d, 2) == 0;
  const double top = dice_between(d, 2, 25) * SY_DEGREE;
  s->car = w->car;
  s->by_body = by_body;
  memcpy(s->held, w->held, sizeof s->held);
  for (size_t run = 0; run < 2; run++)
    for (size_t k = 0; k <= steps; k++) {
      const double t = top * (double)k / (double)steps, tilt = lifted == SY_LIFT_REAR ? -t : t;
      const double front = front_of(w, lifted, by_body && k > 0, tilt);
      sy_cgheight_reading r = reading(run, t, front, w->mass - front);
      r.lifted = lifted;
      if (k > 0 && !both) r.load[lifted] = (double)NAN;
      if (!s->by_angle && k > 0) {
        const sy_lift_hold hold = {lifted, by_body, w->held[lifted][0], w->held[lifted][1]};
        r.lift = sy_lift_of_tilt(&w->car, &hold, tilt);
      }
      list[n++] = r;
    }
  s->reading = list;
  s->count = n;
  s->runs = 2;
  return n;
}

static void sessions_without_noise_give_back_the_truth(void **state) {
  (void)state;
  dice d = {31415};
  for (int i = 0; i < 150; i++) {
    sy_cgheight_reading list[MOST];
    sy_cgheight_session s = sy_cgheight_session_default();
    const world w = random_world(&d);
    s.by_angle = i % 3 == 0;
    go_up_and_down(&w, &d, &s, list, i % 4 == 1);
    for (size_t k = 0; k < s.count; k++) list[k].lift_sd = i % 2 == 0 ? (s.by_angle ? 1e-3 : 2e-3) : 0;
    const answer a = fit_of(&s);
    assert_near(a.all.height.value, w.height,
                1e-9); /* m: rounding of loads, 1e-13 of them, by 1/sin 2 degrees */
    assert_near(a.all.mass.value, w.mass, 1e-10 * w.mass);
    assert_near(a.all.behind.value, w.behind, 1e-10 * w.car.wheelbase);
    assert_near(a.all.chi2, 0, 1e-12);
    assert_near(a.all.trend, 0, 1e-6);
    for (size_t k = 0; k < s.count; k++)
      if (list[k].lift > 0) assert_near(a.row[k].height, w.height, 1e-9);
  }
}

/* Free springs and soft tyres: the truth is the forward model itself, which test_lift.c holds against virtual work. What is checked is
** that a session with lifts in mm finds its way back through both. */
static void sessions_on_springs_and_tyres_give_back_the_truth(void **state) {
  (void)state;
  dice d = {2718};
  for (int i = 0; i < 50; i++) {
    world w = random_world(&d);
    for (int end = 0; end < 2; end++) {
      w.car.unsprung[end] = 0.06 * w.mass;
      w.car.compliance[end] = 1 / (w.mass * dice_between(&d, 60, 200));
      w.car.tyre[end] = 1 / (w.mass * dice_between(&d, 300, 600));
    }
    sy_cgheight_reading list[3];
    const double level = w.mass * (w.car.wheelbase - w.behind) / w.car.wheelbase;
    list[0] = reading(0, 0, level, w.mass - level);
    for (size_t k = 1; k < 3; k++) {
      const double tilt = -5.0 * (double)k * SY_DEGREE;
      const sy_lift_hold hold = {.lifted = SY_LIFT_REAR};
      const sy_lift_body body = {w.mass, level, w.height, 0};
      sy_lift_load load;
      assert_int_equal(sy_lift_front_load(&w.car, &hold, &body, tilt, &load, NULL), SY_OK);
      /* the lift: hubs turned point by point on springs and tyres, pads below them */
      double hub[2], now[2] = {load.front, w.mass - load.front}, was[2] = {level, w.mass - level};
      for (int end = 0; end < 2; end++) {
        const double up = w.car.compliance[end] * w.car.gravity *
                          ((now[end] - w.car.unsprung[end]) * cos(tilt) - (was[end] - w.car.unsprung[end]));
        const double x = end == 0 ? 0 : -w.car.wheelbase;
        const double radius = w.car.radius[end] - w.car.tyre[end] * w.car.gravity * (now[end] - was[end]);
        hub[end] = x * sin(tilt) + (w.car.radius[end] + up) * cos(tilt) - radius;
      }
      list[k] = reading(0, hub[1] - hub[0], load.front, (double)NAN);
    }
    sy_cgheight_session s = sy_cgheight_session_default();
    s.car = w.car;
    s.reading = list;
    s.count = 3;
    s.runs = 1;
    const answer a = fit_of(&s);
    assert_near(a.all.height.value, w.height, 1e-9);
    s.car.compliance[0] = s.car.compliance[1] =
        0; /* said to be locked: wrong, and it shows as a trend or a wrong height */
    assert_true(fabs(fit_of(&s).all.height.value - w.height) > 1e-4);
  }
}

/* The stated uncertainty is what noise does: over 600 noisy sessions of one car the height's spread is u within 4 sd of a spread's own
** uncertainty, 1/sqrt(2 x 600) each. Wheelbase and radii are drawn once a session. make nightly does it for coverage, on many cars. */
static void uncertainty_is_the_spread_of_noisy_sessions(void **state) {
  (void)state;
  const int sessions = dice_rounds(600);
  dice d = {5551212};
  const world w = random_world(&d);
  sy_cgheight_reading list[MOST], noisy[MOST];
  sy_cgheight_session s = sy_cgheight_session_default();
  const size_t n = go_up_and_down(&w, &d, &s, list, false);
  for (size_t k = 0; k < n; k++) list[k].lift_sd = list[k].lift > 0 ? 2e-3 : 0;
  s.drift = 0;
  s.wheelbase_sd = 3e-3;
  s.radius_sd[0] = 2e-3;
  s.radius_sd[1] = 4e-3;
  double sum = 0, square = 0, said = 0;
  size_t wide = 0;
  for (int i = 0; i < sessions; i++) {
    memcpy(noisy, list, sizeof noisy);
    for (size_t k = 0; k < n; k++) {
      for (int end = 0; end < 2; end++) noisy[k].load[end] += list[k].load_sd[end] * normal(&d);
      noisy[k].lift = fabs(noisy[k].lift + list[k].lift_sd * normal(&d));
    }
    s.reading = noisy;
    s.car.wheelbase = w.car.wheelbase + s.wheelbase_sd * normal(&d);
    for (int end = 0; end < 2; end++) s.car.radius[end] = w.car.radius[end] + s.radius_sd[end] * normal(&d);
    const answer a = fit_of(&s);
    sum += a.all.height.value - w.height;
    square += (a.all.height.value - w.height) * (a.all.height.value - w.height);
    wide += a.all.widened > 1;
    if (i == 0) s.reading = list;
    if (i == 0) said = fit_of(&s).all.height.u;
  }
  const double spread = sqrt(square / sessions);
  assert_near(spread / said, 1, 4 / sqrt(2.0 * sessions));
  assert_near(sum / sessions, 0, 4 * said / sqrt(sessions));
  assert_near((double)wide / sessions, 0.125, 4 * sqrt(0.125 * 0.875 / sessions)); /* the level of the test */
}

/* dh/dL, dh/dr_f, dh/dr_r of one level and one lifted reading, with M = F0 + R0 read: h = r_r + (F/M)(r_f - r_r) + (F0 - F) L/(M tan t), at
** a tilt read as an angle (derivatives by hand; Mango 2004 as in test_lift.c for why radii matter). */
static void unseen_sources_agree_with_the_derivatives(void **state) {
  (void)state;
  const double t = -9 * SY_DEGREE, f0 = 282.7, f = 285.1, m = 701.4, length = 2.45;
  sy_cgheight_reading list[2] = {reading(0, 0, f0, m - f0), reading(0, -t, f, (double)NAN)};
  sy_cgheight_session s = sy_cgheight_session_default();
  s.car.wheelbase = length;
  s.car.radius[0] = 0.29;
  s.car.radius[1] = 0.305;
  s.wheelbase_sd = 0.002;
  s.radius_sd[0] = 0.001;
  s.radius_sd[1] = 0.003;
  s.by_angle = true;
  s.reading = list;
  s.count = 2;
  s.runs = 1;
  const answer a = fit_of(&s);
  assert_near(a.all.height.value, 0.305 + f / m * -0.015 + (f0 - f) * length / (m * tan(t)), 1e-12);
  assert_near(a.all.height.by[SY_CGHEIGHT_WHEELBASE], fabs((f0 - f) / (m * tan(t))) * 0.002,
              1e-12); /* linear in all three */
  assert_near(a.all.height.by[SY_CGHEIGHT_FRONT_RADIUS], f / m * 0.001, 1e-12);
  assert_near(a.all.height.by[SY_CGHEIGHT_REAR_RADIUS], (1 - f / m) * 0.003, 1e-12);
  s.mass = 701.4; /* weighed elsewhere: then only F0 and F are the pads' */
  s.mass_sd = 2;
  const answer b = fit_of(&s);
  assert_near(b.all.height.by[SY_CGHEIGHT_MASS], fabs(f * -0.015 + (f0 - f) * length / tan(t)) / (m * m) * 2,
              1e-12);
  assert_near(b.all.mass.u, 2, 1e-9);
}

/* ---- what spoils it ---------------------------------------------------------------------------------------------------------- */

static void wrong_reading_is_named_and_with_its_lift_tied(void **state) {
  (void)state;
  sy_cgheight_reading list[9];
  sy_cgheight_session s = page(list);
  list[3].load[0] += 1.0; /* read or written wrong by one kilogram */
  answer a = fit_of(&s);
  assert_true(a.all.suspicious);
  assert_int_equal(a.all.tied_count, 1);
  assert_int_equal(a.all.tied[0].reading, 3);
  assert_int_equal(a.all.tied[0].what, SY_CGHEIGHT_FRONT);
  assert_true(a.all.off > 0 && a.all.off == a.row[3].standardised[0]);
  assert_true(a.all.widened > 1);
  for (size_t i = 0; i < 9; i++)
    list[i].lift_sd = 2e-3; /* one load in a setting: it or its lift may be wrong */
  a = fit_of(&s);
  assert_int_equal(a.all.tied_count, 2);
  assert_int_equal(a.all.tied[1].reading, 3);
  assert_true(a.all.tied[0].what != a.all.tied[1].what);
}

static void trend_with_the_tilt_is_found_and_none_invented(void **state) {
  (void)state;
  sy_cgheight_reading list[9];
  sy_cgheight_session s = page(list);
  answer a = fit_of(&s);
  assert_true(fabs(a.all.trend) < 2 * a.all.u_trend);
  /* the body sinks on its springs by 1.5 mm a degree: the height read grows or shrinks with the tilt */
  const sy_lift_hold hold = {.lifted = SY_LIFT_REAR};
  for (size_t i = 0; i < 9; i++) {
    double tilt;
    assert_int_equal(sy_lift_tilt(&s.car, &hold, list[i].lift, NULL, &tilt, NULL, NULL), SY_OK);
    const sy_lift_body body = {701.4, 282.679, 0.348 - 0.1 * fabs(tan(tilt)), 0};
    sy_lift_load load;
    assert_int_equal(sy_lift_front_load(&s.car, &hold, &body, tilt, &load, NULL), SY_OK);
    list[i].load[0] = load.front;
    if (list[i].lift == 0) list[i].load[1] = 701.4 - load.front;
  }
  a = fit_of(&s);
  assert_near(a.all.trend, -0.1, 1e-9);
  assert_near(a.row[4].height, 0.348 - 0.1 * fabs(tan(a.row[4].tilt)),
              0.003); /* its level is the fit's, which the trend bends */
}

/* A drift through the session spoils one run and hardly a run up and down: gain x ramp by hand for two levels and two lifts. */
static void steady_drift_cancels_up_and_down(void **state) {
  (void)state;
  sy_cgheight_reading list[4] = {reading(0, 0, 282.7, 418.7), reading(0, 0.6, 286.2, (double)NAN),
                                 reading(0, 0.6, 286.2, (double)NAN), reading(0, 0, 282.7, 418.7)};
  sy_cgheight_reading file[9];
  sy_cgheight_session s = page(file);
  s.reading = list;
  s.count = 4;
  s.runs = 1;
  s.drift = 0.3;
  answer a = fit_of(&s);
  assert_near(a.all.height.by[SY_CGHEIGHT_DRIFT], 0,
              1e-5); /* the rear readings' ramp bears on the mass alone */
  assert_near(a.all.drift, 0.3, 0);
  s.count = 2;
  a = fit_of(&s);
  const double by_load =
      2.45 / (701.4 * tan(-a.row[1].tilt)); /* m per kg of the lifted reading, to 1 % for unequal radii */
  assert_near(a.all.height.by[SY_CGHEIGHT_DRIFT], by_load * 0.3 / sqrt(3), 0.01 * by_load * 0.3);
}

static void sideways_tilt_is_the_same_with_track_and_crown(void **state) {
  (void)state;
  /* tyre crown radius 60 mm, track 1480, roll 10 degrees left up: F_L = W [(y + t/2) cos - (h - rho) sin]/(t cos); statics of a body
  ** on two round treads. With the wheel radius in place of the crown the height would come out 240 mm too large. */
  const double w = 700, y = 0.012, track = 1.48, rho = 0.06, h = 0.35, roll = 10 * SY_DEGREE;
  const double level = w * (y + track / 2) / track;
  const double left = w * ((y + track / 2) * cos(roll) - (h - rho) * sin(roll)) / (track * cos(roll));
  sy_cgheight_reading list[2] = {reading(0, 0, level, w - level), reading(0, roll, left, (double)NAN)};
  list[1].lifted = SY_LIFT_FRONT;
  sy_cgheight_session s = sy_cgheight_session_default();
  s.car.wheelbase = track;
  s.car.radius[0] = s.car.radius[1] = rho;
  s.by_angle = true;
  s.reading = list;
  s.count = 2;
  s.runs = 1;
  assert_near(fit_of(&s).all.height.value, h, 1e-12);
}

/* A vehicle on one inclined plane, left side up: moments about the right contact, across and down the plane,
** N_L t = W [(y + t/2) cos - h sin]; the scales read what presses on the plane. The uncertainty by the angle is that of h = (F0 - N/cos) t
** / (W tan), by a difference quotient. */
static void plane_that_tilts_with_its_pads_needs_no_radius(void **state) {
  (void)state;
  const double w = 700, y = 0.012, track = 1.48, h = 0.35;
  sy_cgheight_reading list[4];
  const double level = w * (y + track / 2) / track,
               roll[4] = {0, 8 * SY_DEGREE, 15 * SY_DEGREE, 22 * SY_DEGREE};
  for (int i = 0; i < 4; i++) {
    const double left = w * ((y + track / 2) * cos(roll[i]) - h * sin(roll[i])) / track;
    list[i] = reading(0, roll[i], left, w * cos(roll[i]) - left);
    list[i].lifted = SY_LIFT_FRONT;
    list[i].lift_sd = i == 0 ? 0 : 2e-3;
  }
  sy_cgheight_session s = sy_cgheight_session_default();
  s.car.wheelbase = track;
  s.car.radius[0] = s.car.radius[1] = 0.29; /* no matter */
  s.by_angle = s.on_plane = true;
  s.reading = list;
  s.count = 4;
  s.runs = 1;
  answer a = fit_of(&s);
  assert_near(a.all.height.value, h, 1e-12);
  assert_near(a.all.mass.value, w, 1e-9);
  for (int i = 1; i < 4; i++) assert_near(a.row[i].height, h, 1e-12);
  list[1] = list[3];
  list[1].load[1] = (double)NAN;
  s.count = 2;
  a = fit_of(&s);
  const double t = roll[3], step = 1e-6, n = list[1].load[0];
  const double up = (level - n / cos(t + step)) * track / (w * tan(t + step));
  const double down = (level - n / cos(t - step)) * track / (w * tan(t - step));
  assert_near(a.all.height.by[SY_CGHEIGHT_LIFTS], fabs(up - down) / (2 * step) * 2e-3, 1e-9);
  assert_near(a.row[1].u_height,
              hypot(a.all.height.by[SY_CGHEIGHT_LOADS], a.all.height.by[SY_CGHEIGHT_LIFTS]), 1e-9);
  s.by_angle = false;
  answer kept;
  sy_error err;
  assert_int_equal(try_fit(&s, &kept, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "plane");
  s.by_angle = true;
  s.car.compliance[0] = 1e-5;
  assert_int_equal(try_fit(&s, &kept, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "suspension");
}

/* Four pads: y = sum F y / sum F. 700 kg, CG 10 mm left of centre, tracks 1500 and 1480, any twist. */
static void lateral_place_needs_no_level_and_no_square_chassis(void **state) {
  (void)state;
  double load[8];
  const double place[4] = {0.75, -0.75, 0.74, -0.74}, sd[2] = {0.2, 0.4};
  for (int k = 0; k < 2; k++) {
    const double front = k == 0 ? 290 : 310, rear = 700 - front, twist = k == 0 ? 21.7 : -8.3;
    const double left_front = front / 2 + twist; /* then the rear pair makes up the moment */
    const double moment = 700 * 0.010 - (2 * left_front - front) * 0.75;
    const double left_rear = rear / 2 + moment / 1.48;
    const double list[4] = {left_front, front - left_front, left_rear, rear - left_rear};
    memcpy(load + 4 * k, list, sizeof list);
  }
  double y = 0, u = 0, u1 = 0;
  assert_int_equal(sy_cgheight_lateral(load, sd, 2, place, &y, &u, NULL), SY_OK);
  assert_near(y, 0.010, 1e-14);
  assert_int_equal(sy_cgheight_lateral(load, sd, 1, place, &y, &u1, NULL), SY_OK);
  /* four times (0.75 or 0.74) sd / 700, the CG nearly in the middle */
  assert_near(u1, sqrt(2 * (0.75 * 0.75 + 0.74 * 0.74)) * 0.2 / 700, 1e-7);
  assert_near(1 / (u * u), 1 / (u1 * u1) * (1 + 0.25),
              1e-3 / (u1 * u1)); /* twice the uncertainty counts a quarter */
  /* the same loads on wheels that all stand 6 mm farther left, one of them 20 mm more: 700 kg go along, and what is on that one */
  const double unlike[4] = {0.756, -0.744, 0.766, -0.734};
  assert_int_equal(sy_cgheight_lateral(load, sd, 1, unlike, &y, &u, NULL), SY_OK);
  assert_near(y, 0.016 + 0.020 * load[2] / 700, 1e-14);
}

/* ---- refusals ------------------------------------------------------------------------------------------------------------------- */

static void refuse(const sy_cgheight_session *s, sy_status code, const char *part, const char *piece) {
  static answer a;
  sy_error err;
  a.all.height.value = 42;
  assert_int_equal(try_fit(s, &a, &err), code);
  assert_string_equal(err.part, part);
  if (strstr(err.message, piece) == NULL && strcmp(err.field, piece) != 0)
    fail_msg("%s, %s: %s", err.part, err.field, err.message);
  assert_near(a.all.height.value, 42, 0);
  assert_int_equal(try_fit(s, &a, NULL), code);
}

static void bad_sessions_are_refused_with_the_reading(void **state) {
  (void)state;
  sy_cgheight_reading list[9], good[9];
  sy_cgheight_session s = page(list);
  memcpy(good, list, sizeof good);
#define WITH(change, code, part, piece)                                                                      \
  do {                                                                                                       \
    change;                                                                                                  \
    refuse(&s, code, part, piece);                                                                           \
    memcpy(list, good, sizeof good);                                                                         \
    s = page(list);                                                                                          \
  } while (0)
  WITH(list[2].lift = -0.1, SY_RANGE, "reading 3", "lift");
  WITH(list[2].lift = 2.46, SY_GEOMETRY, "rear", "lift");
  WITH(list[2].lift = 1e-7, SY_GEOMETRY, "readings", "lift");
  WITH(list[2].lift_sd = (double)NAN, SY_RANGE, "reading 3", "lift");
  WITH(list[2].load[0] = (double)NAN, SY_MISSING, "reading 3", "load");
  WITH(list[2].load[0] = (double)INFINITY, SY_RANGE, "reading 3", "front");
  WITH(list[0].load_sd[1] = 0, SY_RANGE, "reading 1", "rear");
  WITH(list[8].run = 2, SY_RANGE, "reading 9", "run");
  WITH(list[8].shift = (double)NAN, SY_RANGE, "reading 9", "shift");
  WITH((s.by_angle = true, list[4].lift = SY_PI / 2), SY_RANGE, "reading 5", "angle");
  WITH(list[0].load[1] = list[5].load[1] = (double)NAN, SY_MISSING, "readings", "mass");
  WITH((s.count = 1, s.runs = 1), SY_GEOMETRY, "readings", "lift");
  WITH(s.count = 0, SY_GEOMETRY, "readings", "lift");
  WITH(s.car.wheelbase = (double)NAN, SY_RANGE, "vehicle", "wheelbase");
  WITH(s.wheelbase_sd = -1, SY_RANGE, "vehicle", "sd");
  WITH(s.mass = -700, SY_RANGE, "vehicle", "mass");
  WITH(s.count = 1000, SY_LIMIT, "session", "readings");
  for (size_t i = 0; i < 9; i++)
    list[i].load_sd[0] = list[i].load_sd[1] = 1e200; /* its square is beyond any double */
  WITH((void)0, SY_GEOMETRY, "readings", "no bound");
  /* one setting alone, both axles read: b and h are indistinguishable */
  sy_cgheight_reading one[1] = {reading(0, 0.3, 284.4, 417.0)};
  WITH((s.reading = one, s.count = 1, s.runs = 1), SY_GEOMETRY, "readings", "level");
  sy_cgheight_reading lone[2] = {reading(0, 0, 282.7, 418.7),
                                 reading(1, 0.3, 284.4, 417.0)}; /* a level of its own each */
  WITH((s.reading = lone, s.count = 2, s.runs = 2), SY_GEOMETRY, "readings", "level");
#undef WITH
  double y = 42, u = 42;
  const double place[4] = {0.75, -0.75, 0.75, -0.75}, load[4] = {0, 0, 0, 0}, sd[1] = {0.1};
  sy_error err;
  assert_int_equal(sy_cgheight_lateral(load, sd, 0, place, &y, &u, &err), SY_RANGE);
  assert_int_equal(sy_cgheight_lateral(load, sd, 1, place, &y, &u, &err), SY_RANGE);
  assert_string_equal(err.field, "total");
  const double some[4] = {1, 1, 1, 1}, zero[1] = {0}, none[4] = {0.75, -0.75, (double)NAN, -0.75};
  assert_int_equal(sy_cgheight_lateral(some, sd, 1, load, &y, &u, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "track");
  assert_int_equal(sy_cgheight_lateral(some, sd, 1, none, &y, &u, &err), SY_RANGE);
  assert_string_equal(err.field, "y");
  assert_int_equal(sy_cgheight_lateral(some, zero, 1, place, &y, &u, &err), SY_RANGE);
  assert_near(y, 42, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(page_with_a_level_for_each_run_gives_the_worked_height),
      cmocka_unit_test(page_run_by_run_and_with_one_level_gives_the_worked_heights),
      cmocka_unit_test(single_lifts_against_the_level_give_the_worked_heights),
      cmocka_unit_test(uncertainty_grows_at_small_tilts_as_tabled),
      cmocka_unit_test(sessions_without_noise_give_back_the_truth),
      cmocka_unit_test(sessions_on_springs_and_tyres_give_back_the_truth),
      cmocka_unit_test(uncertainty_is_the_spread_of_noisy_sessions),
      cmocka_unit_test(unseen_sources_agree_with_the_derivatives),
      cmocka_unit_test(wrong_reading_is_named_and_with_its_lift_tied),
      cmocka_unit_test(trend_with_the_tilt_is_found_and_none_invented),
      cmocka_unit_test(steady_drift_cancels_up_and_down),
      cmocka_unit_test(sideways_tilt_is_the_same_with_track_and_crown),
      cmocka_unit_test(plane_that_tilts_with_its_pads_needs_no_radius),
      cmocka_unit_test(lateral_place_needs_no_level_and_no_square_chassis),
      cmocka_unit_test(bad_sessions_are_refused_with_the_reading),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
