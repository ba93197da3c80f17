#include "statics/transfer.h"

#include <float.h>
#include <string.h>

#include "base/units.h"
#include "drawn_car.h"
#include "lumps.h"
#include "near.h"

static const double G = SY_STANDARD_GRAVITY;

static void add_axle(sy_vehicle *v, double x, double track, double wheel_rate, double tyre, double bar,
                     double roll_centre) {
  sy_axle a = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  a.x = x, a.bar_rate = bar, a.roll_centre = roll_centre;
  w.loaded_radius = 0.29, w.spring_rate = wheel_rate, w.tyre_rate = tyre;
  sy_vehicle_add_axle(v, a, track, w);
}

static sy_transfer_model model_of(const sy_vehicle *v, const lump *list, size_t count) {
  const sy_totals t = totals_of(list, count);
  const sy_corner_model corner = corner_of(v, &t);
  sy_transfer_model m;
  sy_error err;
  if (sy_transfer_make(&corner, &t, NULL, true, &m, &err) != SY_OK)
    fail_msg("%s: %s", err.field, err.message);
  return m;
}

static sy_corner_result solve(const sy_transfer_model *m, double forward, double left) {
  sy_corner_result r;
  sy_error err;
  if (sy_transfer_solve(m, (sy_vec3){forward * G, left * G, -G}, &r, &err) != SY_OK)
    fail_msg("%s", err.message);
  return r;
}

static double onto_right(const sy_corner_result *r, int axle) {
  return 0.5 * (r->load[2 * axle + 1] - r->load[2 * axle]);
}

/* kktse, "Simplified steady-state lateral load transfer analysis", 2021, corrected 2022 (kktse.github.io), case "stock": 1288 kg, front
** 61 %, tracks 1.482 and 1.481 m, cg 0.533 m high, springs 48.9 and 80.2 N/mm at motion ratios 0.92 and 0.59, bars 23 and 19 mm,
** 1.008 and 1.026 m long, G 80 GPa, turned 0.096 and 0.201 degrees a mm of wheel travel, roll centres 0.096 and 0.168 m.
** Printed: roll stiffness front 1027 and rear 1004 N m/deg (cut: 1027.93, 1004.36), rear share of it 49.4 %, of the transfer 50.2 %. All
** mass counts as sprung, tyres are rigid, the lean of the weight is left out: here tyres of 1e12 N/m and an acceleration in a
** weak gravity that leans nothing. His displayed equation has the front axle's mass in the rear's geometric part, which would give
** 53.5 %; his table has the rear's. */
static void transfer_of_kktse_stock_gives_the_printed_rear_shares(void **state) {
  (void)state;
  const double t[2] = {1.482, 1.481}, spring[2] = {48.9e3, 80.2e3}, ratio[2] = {0.92, 0.59},
               d[2] = {0.023, 0.019}, l[2] = {1.008, 1.026}, bar_ratio[2] = {0.096, 0.201},
               share[2] = {0.61, 0.39};
  double stiffness[2];
  sy_vehicle v = sy_vehicle_default();
  for (int i = 0; i < 2; i++) {
    const double arm = bar_ratio[i] * SY_DEGREE * 1e3; /* rad/m */
    const double bar = SY_PI * pow(d[i], 4) * 80e9 / (32 * l[i]) * arm * arm;
    add_axle(&v, -2.4 * i, t[i], spring[i] * ratio[i] * ratio[i], 1e12, bar, i == 0 ? 0.096 : 0.168);
    stiffness[i] = (v.wheel[2 * i].spring_rate * 0.5 + bar) * t[i] * t[i] * SY_DEGREE; /* N m/deg */
  }
  assert_near(stiffness[0], 1027, 1.5); /* truncated in the source */
  assert_near(stiffness[1], 1004, 1.5);
  assert_near(100 * stiffness[1] / (stiffness[0] + stiffness[1]), 49.4, 0.05);
  const lump body[] = {{1288 * share[0], 0, 0, 0.533, SY_CARRIER_BODY},
                       {1288 * share[1], -2.4, 0, 0.533, SY_CARRIER_BODY}};
  sy_transfer_model m = model_of(&v, body, 2);
  for (int k = 0; k < 2; k++) m.lean[k] = m.under[k] = 0.0; /* as in the source */
  const sy_corner_result r = solve(&m, 0, -0.3);
  const double front = onto_right(&r, 0), rear = onto_right(&r, 1);
  assert_near(100 * rear / (front + rear), 50.2, 0.05);
}

/* D. Barton, J. Fieldhouse, Automotive Chassis Engineering, Springer 2018, ch. 3, p. 174: 1280 kg sprung, 54 % in front, roll centres 0.07
** and 0.32 m, tracks 1.46 m, 140 and 180 kg unsprung at 0.280 and 0.300 m, 0.6 g, g 9.81: geometric 195 N in front and 760 N
** behind, unsprung 158 and 218 N. (The front total printed there, 1919 N, is a slip: 1556 + 195 + 158 = 1909.) */
static void transfer_of_barton_and_fieldhouse_gives_the_printed_paths(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1.46, 40e3, 2e5, 0, 0.07);
  add_axle(&v, -2.6, 1.46, 40e3, 2e5, 0, 0.32);
  const lump list[] = {{1280 * 0.54, 0, 0, 0.5, SY_CARRIER_BODY},
                       {1280 * 0.46, -2.6, 0, 0.5, SY_CARRIER_BODY},
                       {140, 0, 0, 0.28, SY_CARRIER_AXLE},
                       {180, -2.6, 0, 0.3, SY_CARRIER_AXLE + 1}};
  const sy_transfer_model m = model_of(&v, list, 4);
  const double push = 0.6 * 9.81 / 1.46, tol = 0.5; /* half the last printed digit */
  assert_near(m.geometric[0] * push, 195, tol);
  assert_near(m.geometric[1] * push, 760, tol);
  assert_near(m.unsprung[0] * push, 158, tol);
  assert_near(m.unsprung[1] * push, 218, tol);
}

/* R. Jazar, Vehicle Dynamics, 2008, ch. 2, exercise 12 (p. 92; data as printed, the answer is our arithmetic): 2058.9 kg, wheelbase 2750.8 mm, cg
** midway and 760 mm high, accelerating at 1.7 m/s2, g 9.81: 9131.88 N in front, 11065.93 N behind. */
static void transfer_of_jazar_under_drive_moves_load_rearward(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1.5, 30e3, 2e5, 0, 0);
  add_axle(&v, -2.7508, 1.5, 35e3, 2e5, 0, 0);
  const lump list[] = {{2058.9, -2.7508 / 2, 0, 0.76, SY_CARRIER_BODY}};
  const sy_transfer_model m = model_of(&v, list, 1);
  sy_corner_result r;
  /* the vehicle is drawn under standard gravity and would sink under another: all forces times G / 9.81 */
  const double k = G / 9.81;
  assert_int_equal(sy_transfer_solve(&m, (sy_vec3){-1.7 * k, 0, -G}, &r, NULL), SY_OK);
  assert_near((r.load[0] + r.load[1]) / k, 9131.88, 0.005);
  assert_near((r.load[2] + r.load[3]) / k, 11065.93, 0.005);
}

static const lump car[] = {
    {330, -0.4, 0.03, 0.42, SY_CARRIER_BODY},    {420, -2.0, -0.05, 0.55, SY_CARRIER_BODY},
    {31, 0, 0.72, 0.29, SY_CARRIER_AXLE},        {31, 0, -0.72, 0.29, SY_CARRIER_AXLE},
    {36, -2.45, 0.71, 0.3, SY_CARRIER_AXLE + 1}, {36, -2.45, -0.71, 0.3, SY_CARRIER_AXLE + 1}};
enum { CAR = sizeof car / sizeof *car };

static sy_vehicle sprung_car(void) {
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1.47, 31e3, 19e4, 11e3, 0.05);
  add_axle(&v, -2.45, 1.44, 36e3, 21e4, 3e3, 0.11);
  v.torsion = 5200 / SY_DEGREE;
  return v;
}

/* The whole weight, its moment about the ground with the lean, and fore and aft: by hand from the masses. */
static void loads_balance_weight_and_moments(void **state) {
  (void)state;
  const sy_vehicle v = sprung_car();
  const sy_transfer_model m = model_of(&v, car, CAR);
  const double ax = 0.4 * G, ay = -0.7 * G;
  const sy_corner_result r = solve(&m, 0.4, -0.7);
  double weight = 0, about_x = 0, about_y = 0, want_x = 0, want_y = 0;
  for (int i = 0; i < 4; i++) {
    const sy_contact *w = &m.corner.wheel[i];
    weight += r.load[i], about_x += r.load[i] * w->y, about_y += r.load[i] * w->x;
  }
  for (int i = 0; i < CAR; i++) {
    const double c[2] = {(car[i].x + 2.45) / 2.45, -car[i].x / 2.45}, centre[2] = {0.05, 0.11};
    const bool body = car[i].carrier == SY_CARRIER_BODY;
    double lean = 0; /* how far it has gone to the right */
    for (int k = 0; k < 2; k++) {
      const double hub = sy_transfer_hub_roll(&m, &r, k);
      lean += c[k] * (body ? (car[i].z - centre[k]) * r.pose[2 + k] + centre[k] * hub : car[i].z * hub);
    }
    want_x += car[i].mass * (G * (car[i].y - lean) + ay * car[i].z);
    want_y += car[i].mass * (G * car[i].x + ax * car[i].z);
  }
  assert_near(weight, 884 * G, 1e-9);
  assert_near(about_y, want_y, 1e-8);
  assert_near(about_x, want_x, 1e-7);
}

/* Static and suspended rollover with two springs, tyres and equal axles, both inner wheels empty (T. Gillespie, Fundamentals of Vehicle
** Dynamics, 1992, ch. 9, from memory; the equations with tyres derived for this check):
**   K_s p = m_s d a + m_s g d (p + q);   K_t q = m a h + m g h q + m_s g d p;   empty when K_t q = m g t / 2. */
static void equal_axles_tip_where_two_rolls_say(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1.4, 28e3, 17e4, 6e3, 0.1);
  add_axle(&v, -2.2, 1.4, 28e3, 17e4, 6e3, 0.1);
  const lump list[] = {{700, -1.1, 0, 0.62, SY_CARRIER_BODY},
                       {50, 0, 0, 0.3, SY_CARRIER_AXLE},
                       {50, -2.2, 0, 0.3, SY_CARRIER_AXLE + 1}};
  const sy_transfer_model m = model_of(&v, list, 3);
  const double t = 1.4, ms = 700, mass = 800, d = 0.62 - 0.1, moment = 700 * 0.62 + 100 * 0.3;
  const double ks = 2 * (28e3 / 2 + 6e3) * t * t, kt = 2 * 17e4 / 2 * t * t;
  const double q = mass * G * t / 2 / kt;
  /* p from the first equation in a, into the second */
  const double p_a = ms * d / (ks - ms * G * d), p_q = ms * G * d / (ks - ms * G * d);
  const double a = (kt * q - moment * G * q - ms * G * d * p_q * q) / (moment + ms * G * d * p_a);
  sy_transfer_limit limit;
  const sy_transfer_path path = {{0, 0, -G}, {0, -G, 0}, false};
  assert_int_equal(sy_transfer_limits(&m, &path, &limit, NULL), SY_OK);
  assert_true(limit.lifts && limit.tips);
  assert_near(limit.lift, a / G, 1e-9); /* the rounds stop at 1e-13 rad */
  assert_near(limit.tip, a / G, 1e-9);
  assert_int_equal(m.corner.wheel[limit.wheel].side, 1);
  assert_true(limit.tip < t / 2 / (moment / mass)); /* below the static stability factor */
}

/* Beside them tyres that give sideways, as one rate C of all: the weight stands m a / C outward of where it stood, on the tyres alone,
**   K_t q = m a h + m g h q + m_s g d p + m g m a / C  (derived for this check). */
static void tyres_that_give_sideways_bring_the_weight_outward(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1.4, 28e3, 17e4, 6e3, 0.1);
  add_axle(&v, -2.2, 1.4, 28e3, 17e4, 6e3, 0.1);
  v.axle[0].lateral_rate = v.axle[1].lateral_rate = 9e4;
  const lump list[] = {{700, -1.1, 0, 0.62, SY_CARRIER_BODY},
                       {50, 0, 0, 0.3, SY_CARRIER_AXLE},
                       {50, -2.2, 0, 0.3, SY_CARRIER_AXLE + 1}};
  const sy_transfer_model m = model_of(&v, list, 3);
  const double t = 1.4, ms = 700, mass = 800, d = 0.62 - 0.1, moment = 700 * 0.62 + 100 * 0.3, c = 4 * 9e4;
  const double ks = 2 * (28e3 / 2 + 6e3) * t * t, kt = 2 * 17e4 / 2 * t * t;
  const double q = mass * G * t / 2 / kt;
  const double p_a = ms * d / (ks - ms * G * d), p_q = ms * G * d / (ks - ms * G * d);
  const double a =
      (kt * q - moment * G * q - ms * G * d * p_q * q) / (moment + ms * G * d * p_a + mass * G * mass / c);
  sy_transfer_limit limit;
  const sy_transfer_path path = {{0, 0, -G}, {0, -G, 0}, false};
  assert_int_equal(sy_transfer_limits(&m, &path, &limit, NULL), SY_OK);
  assert_near(limit.lift, a / G, 1e-9); /* the rounds stop at 1e-13 rad */
  /* a fifth of that push: both rolls of the same equations, unlike axles in all but their rates */
  const double push = 0.2 * a, det = (ks - ms * G * d) * (kt - moment * G) - ms * G * d * ms * G * d;
  const double on_tyres = moment * push + mass * G * mass * push / c;
  const double hub = ((ks - ms * G * d) * on_tyres + ms * G * d * ms * d * push) / det;
  const sy_corner_result r = solve(&m, 0, -push / G);
  for (int i = 0; i < 4; i++)
    assert_near(r.load[i], mass * G / 4 + (i % 2 ? 1 : -1) * kt * hub / (2 * t), 1e-8);
  assert_near(sy_transfer_sideways(&m, (sy_vec3){0, -push, -G}, 0), -0.25 * mass * G * mass * push / (c / 2),
              1e-9);
}

/* Braking puts more on the front tyres, and more goes outward with it; moments about the ground by hand. */
static void load_that_stands_on_an_axle_goes_outward_with_it(void **state) {
  (void)state;
  sy_vehicle v = sprung_car();
  const sy_transfer_model stiff = model_of(&v, car, CAR);
  v.axle[0].lateral_rate = 8e4;
  const sy_transfer_model m = model_of(&v, car, CAR);
  double mass = 0, x = 0, z = 0;
  for (int i = 0; i < CAR; i++) mass += car[i].mass, x += car[i].mass * car[i].x, z += car[i].mass * car[i].z;
  const double on_front = mass + x / 2.45, load = G * on_front + 0.3 * G * z / 2.45;
  const double moment = -load * on_front * 0.5 * G / (2 * 8e4);
  assert_near(sy_transfer_sideways(&m, (sy_vec3){0.3 * G, -0.5 * G, -G}, 0), moment, 1e-9);
  assert_near(sy_transfer_sideways(&m, (sy_vec3){0.3 * G, -0.5 * G, -G}, 1), 0, 1e-12);
  const sy_corner_result r = solve(&m, 0.3, -0.5), s = solve(&stiff, 0.3, -0.5);
  double about_x = 0;
  for (int i = 0; i < 4; i++) about_x += (r.load[i] - s.load[i]) * m.corner.wheel[i].y;
  assert_true(about_x < moment && about_x > 1.2 * moment); /* and it leans a little more */
  assert_near(r.load[0] + r.load[1], s.load[0] + s.load[1], 1e-8);
}

/* The same two equations for three equal axles with the cg over the middle one and roll centres on the ground: wheels lean with their own
** tyres and not with the body. */
static void three_equal_axles_tip_where_two_rolls_say(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  for (int i = 0; i < 3; i++) add_axle(&v, 0.7 - 1.3 * i, 1.5, 28e3, 17e4, 6e3, 0);
  lump list[4] = {{1200, -0.6, 0, 0.8, SY_CARRIER_BODY}};
  for (int i = 0; i < 3; i++) list[1 + i] = (lump){90, 0.7 - 1.3 * i, 0, 0.42, SY_CARRIER_AXLE + i};
  const sy_transfer_model m = model_of(&v, list, 4);
  const double t = 1.5, ms = 1200, d = 0.8, mass = ms + 270, moment = ms * d + 270 * 0.42;
  const double ks = 3 * (28e3 / 2 + 6e3) * t * t, kt = 3 * 17e4 / 2 * t * t;
  const double q = mass * G * t / 2 / kt;
  const double p_a = ms * d / (ks - ms * G * d), p_q = ms * G * d / (ks - ms * G * d);
  const double a = (kt * q - moment * G * q - ms * G * d * p_q * q) / (moment + ms * G * d * p_a);
  sy_transfer_limit limit;
  const sy_transfer_path path = {{0, 0, -G}, {0, -G, 0}, false};
  assert_int_equal(sy_transfer_limits(&m, &path, &limit, NULL), SY_OK);
  assert_true(limit.lifts && limit.tips);
  assert_near(limit.lift, a / G, 1e-9); /* the rounds stop at 1e-13 rad */
  /* half of that push: roll and hub roll from the same equations, and what every right wheel then carries */
  const double half = 0.5 * a, det = (ks - ms * G * d) * (kt - moment * G) - ms * G * d * ms * G * d;
  const double p = (ms * d * half * (kt - moment * G) + ms * G * d * moment * half) / det,
               hub = ((ks - ms * G * d) * moment * half + ms * G * d * ms * d * half) / det;
  const sy_corner_result r = solve(&m, 0, -half / G);
  assert_near(r.pose[2], p + hub, 1e-12);
  for (int i = 0; i < 6; i++)
    assert_near(r.load[i], mass * G / 6 + (i % 2 ? 1 : -1) * kt * hub / (3 * t), 1e-8);
}

/* Unlike axles, three and four of them, and a drawn state that is not the present one: by hand from the masses, the wheels' own weight going
** sideways with the hubs of their axle and the body's with its roll. */
static void loads_of_more_axles_balance_with_wheels_leaning_on_their_tyres(void **state) {
  (void)state;
  for (int axles = 3; axles <= 4; axles++) {
    sy_vehicle v = sy_vehicle_default();
    const double length = 1.2 * (axles - 1);
    lump list[8] = {{900, 1.7 - 0.35 * length, 0.03, 0.9, SY_CARRIER_BODY},
                    {700, 1.7 - 0.68 * length, -0.05, 1.1, SY_CARRIER_BODY}};
    for (int i = 0; i < axles; i++) {
      add_axle(&v, 1.7 - 1.2 * i, 1.6 + 0.1 * i, 30e3 + 4e3 * i, 20e4 + 1e4 * i, 5e3, 0.1);
      list[2 + i] = (lump){80 + 9 * i, 1.7 - 1.2 * i, 0, 0.42 + 0.02 * i, SY_CARRIER_AXLE + i};
    }
    v.torsion = 9000 / SY_DEGREE;
    const sy_transfer_model m = model_of(&v, list, (size_t)2 + (size_t)axles);
    const sy_corner_result r = solve(&m, 0.2, -0.35);
    double weight = 0, about = 0, want = 0;
    for (int i = 0; i < 2 * axles; i++) weight += r.load[i], about += r.load[i] * m.corner.wheel[i].y;
    for (int i = 0; i < 2 + axles; i++) {
      const double c = (list[i].x - (1.7 - length)) / length;
      const double roll = i < 2 ? c * r.pose[2] + (1 - c) * r.pose[3] : sy_transfer_hub_roll(&m, &r, i - 2);
      want += list[i].mass * G * (list[i].y - 0.35 * list[i].z - roll * list[i].z);
    }
    double mass = 0;
    for (int i = 0; i < 2 + axles; i++) mass += list[i].mass;
    assert_near(weight, mass * G, 1e-8);
    assert_near(about, want, 1e-7);
  }
}

/* Air presses each axle by D: the body sinks by D / (2 k) on springs and tyres in series, the wheels by D / (2 k_t), and braking and
** cornering push on what stands that much lower. By hand from the masses; equal springs, so it does not pitch. */
static void downforce_lowers_what_is_pushed(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  for (int i = 0; i < 2; i++) add_axle(&v, 1.9 - 2.4 * i, 1.45, 31e3, 19e4, 8e3, 0.06);
  const lump list[] = {{640, 0.7, 0, 0.51, SY_CARRIER_BODY},
                       {55, 1.9, 0, 0.29, SY_CARRIER_AXLE},
                       {55, -0.5, 0, 0.29, SY_CARRIER_AXLE + 1}};
  const sy_totals t = totals_of(list, 3);
  const sy_corner_model corner = corner_of(&v, &t);
  const double each = 75 * G, down[SY_MAX_AXLES] = {each, each};
  sy_transfer_model m;
  assert_int_equal(sy_transfer_make(&corner, &t, down, true, &m, NULL), SY_OK);
  const double ride = 31e3 * 19e4 / (31e3 + 19e4), body = 0.51 - each / (2 * ride),
               hub = 0.29 - each / (2 * 19e4);
  const double moment = 640 * body + 110 * hub;
  const sy_corner_result braked = solve(&m, 0.7, 0);
  const double gain = braked.load[0] + braked.load[1] - 0.5 * (750 * G + 2 * each);
  assert_near(gain, 0.7 * G * moment / 2.4, 1e-9);
  const sy_corner_result turned = solve(&m, 0, -0.8);
  const double across =
      640 * (body - 0.06) * turned.pose[2] + (640 * 0.06 + 110 * hub) * sy_transfer_hub_roll(&m, &turned, 0);
  double about = 0;
  for (int i = 0; i < 4; i++) about += turned.load[i] * m.corner.wheel[i].y;
  assert_near(about, -G * (0.8 * moment + across), 1e-8);
  /* roll on springs and bar under what stands above the roll centre, in series with the tyres */
  const double ks = 2 * (31e3 / 2 + 8e3) * 1.45 * 1.45, above = 640 * (body - 0.06);
  const double on_springs = turned.pose[2] - sy_transfer_hub_roll(&m, &turned, 0);
  assert_near(ks * on_springs, G * above * (0.8 + turned.pose[2]), 1e-8);
}

/* More aboard makes the body sink as well, and a table that leans presses less and lets it rise. */
static void other_loads_and_tables_move_what_is_pushed(void **state) {
  (void)state;
  const sy_vehicle v = sprung_car();
  const sy_totals drawn = totals_of(car, CAR);
  const sy_corner_model corner = corner_of(&v, &drawn);
  lump more[CAR + 1];
  memcpy(more, car, sizeof car);
  more[CAR] = (lump){150, -1.3, 0, 0.5, SY_CARRIER_BODY};
  const sy_totals t = totals_of(more, CAR + 1);
  sy_transfer_model m;
  assert_int_equal(sy_transfer_make(&corner, &t, NULL, true, &m, NULL), SY_OK);
  double level = t.all.first.z;
  for (int leans = 0; leans < 2; leans++) {
    const double down = leans ? G * cos(0.4) : G, push = leans ? G * sin(0.4) : 0.5 * G;
    sy_corner_result still, r;
    assert_int_equal(sy_transfer_solve(&m, (sy_vec3){0, 0, -down}, &still, NULL), SY_OK);
    assert_int_equal(sy_transfer_solve(&m, (sy_vec3){push, 0, -down}, &r, NULL), SY_OK);
    double moment = 0;
    for (int i = 0; i <= CAR; i++) {
      const bool body = more[i].carrier == SY_CARRIER_BODY;
      const int axle = more[i].carrier - SY_CARRIER_AXLE;
      const double rise = body ? still.pose[0] - still.pose[1] * more[i].x
                               : 0.5 * (still.height[2 * axle] + still.travel[2 * axle] +
                                        still.height[2 * axle + 1] + still.travel[2 * axle + 1]);
      moment += more[i].mass * (more[i].z + rise);
    }
    assert_true(leans ? moment > level : moment < level);
    level = moment;
    /* the wheels of an axle carry alike to a few kg, and stand alike to a hundredth of a millimetre */
    assert_near(r.load[0] + r.load[1] - still.load[0] - still.load[1], push * moment / 2.45, 0.02);
  }
}

/* Rigid tyres, both inner wheels empty: a = (t / 2) / (h + m_s^2 g d^2 / (m (K_s - m_s g d))), the limit of the two equations above (T.
** Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 9, from memory). A tyre of c gives h g (m g t / 2) / K_t more: below 1e-6
** from 1e10 N/m on. */
static void near_rigid_tyres_tip_where_rigid_ones_would(void **state) {
  (void)state;
  const double tyre[] = {1e9, 1e10, 1e11, 1e12};
  for (size_t k = 0; k < sizeof tyre / sizeof *tyre; k++) {
    sy_vehicle v = sy_vehicle_default();
    for (int i = 0; i < 2; i++) add_axle(&v, 1.3 - 2.2 * i, 1.4, 28e3, tyre[k], 6e3, 0.1);
    const lump list[] = {{700, 0.2, 0, 0.62, SY_CARRIER_BODY},
                         {50, 1.3, 0, 0.3, SY_CARRIER_AXLE},
                         {50, -0.9, 0, 0.3, SY_CARRIER_AXLE + 1}};
    const sy_transfer_model m = model_of(&v, list, 3);
    const double t = 1.4, ms = 700, mass = 800, d = 0.62 - 0.1, h = (700 * 0.62 + 100 * 0.3) / 800;
    const double ks = 2 * (28e3 / 2 + 6e3) * t * t;
    const double want = t / 2 / (h + ms * ms * G * d * d / (mass * (ks - ms * G * d)));
    for (int way = 0; way < 2; way++) {
      const sy_transfer_path path = {{0, 0, -G}, {0, way == 0 ? -G : G, 0}, false};
      sy_transfer_limit limit;
      sy_error err;
      if (sy_transfer_limits(&m, &path, &limit, &err) != SY_OK) fail_msg("%g: %s", tyre[k], err.message);
      assert_true(limit.lifts && limit.tips);
      assert_near(limit.lift, want, 1e-6 + 3e3 / tyre[k]);
      assert_near(limit.tip, want, 1e-6 + 3e3 / tyre[k]);
    }
  }
}

/* Springs near rigid as well, and a suspension that stands on its stop: the loads keep balancing weight and moment. */
static void near_rigid_springs_and_stops_keep_the_balance(void **state) {
  (void)state;
  for (int stops = 0; stops < 2; stops++) {
    sy_vehicle v = sy_vehicle_default();
    for (int i = 0; i < 2; i++) add_axle(&v, 1.3 - 2.2 * i, 1.4, stops ? 28e3 : 1e12, 1e12, 0, 0.1);
    for (int i = 0; stops && i < 4; i++) v.wheel[i].bump = v.wheel[i].droop = 0.004;
    const lump list[] = {{700, 0.1, 0.03, 0.62, SY_CARRIER_BODY},
                         {50, 1.3, 0, 0.3, SY_CARRIER_AXLE},
                         {50, -0.9, 0, 0.3, SY_CARRIER_AXLE + 1}};
    const sy_transfer_model m = model_of(&v, list, 3);
    const sy_corner_result r = solve(&m, 0.2, 0.6);
    double weight = 0, about = 0;
    for (int i = 0; i < 4; i++) weight += r.load[i], about += r.load[i] * m.corner.wheel[i].y;
    /* a lean of 4 mm on 0.7 m moves 700 kg by 0.52 m x 0.0057 rad at most */
    const double want = G * (700 * 0.03 + 0.6 * (700 * 0.62 + 100 * 0.3)), lean = stops ? 700 * G * 0.003 : 0;
    assert_near(weight, 800 * G, 1e-3); /* the last bit of a height times 1e12 N/m */
    assert_near(about, want + 0.5 * lean, 0.5 * lean + 1e-3);
  }
}

/* A solver that gives up has not tipped: its own failure comes back, in its own words. */
static sy_status gives_up_at(void *user, sy_vec3 gravity, sy_corner_result *out, sy_error *err) {
  const double *const most = user;
  if (fabs(gravity.y) > most[0] * G) return sy_fail(err, SY_LIMIT, "vehicle", "springs", "gave up");
  memset(out, 0, sizeof *out);
  out->fits[0].touches = true;
  return SY_OK;
}

static void limits_pass_on_what_is_no_tipping(void **state) {
  (void)state;
  double most = 0.52;
  const sy_transfer_path path = {{0, 0, -G}, {0, G, 0}, false};
  sy_transfer_limit limit = {.tip = -7};
  sy_error err;
  assert_int_equal(sy_transfer_limits_of(gives_up_at, &most, 1, &path, &limit, &err), SY_LIMIT);
  assert_string_equal(err.field, "springs");
  assert_near(limit.tip, -7, 0);
}

/* A wheel whose load falls slowly until something stiff joins, and then fast: it carries nothing from s = 0.6 on, and it tips at 0.9. */
static sy_status falls_in_two_slopes(void *user, sy_vec3 gravity, sy_corner_result *out, sy_error *err) {
  const double s = gravity.y / G, load = s < 0.4 ? 100 - 50 * s : 80 - 400 * (s - 0.4);
  ++*(int *)user;
  memset(out, 0, sizeof *out);
  if (s > 0.9) return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "tips");
  out->load[0] = fmax(load, 0.0), out->load[1] = 300 - 20 * s;
  out->fits[0].touches = load > 0.0, out->fits[1].touches = true;
  return SY_OK;
}

static void looks_that_are_left_out_pass_over_no_bend(void **state) {
  (void)state;
  int looks = 0;
  const sy_transfer_path path = {{0, 0, -G}, {0, G, 0}, false};
  sy_transfer_limit limit;
  assert_int_equal(sy_transfer_limits_of(falls_in_two_slopes, &looks, 2, &path, &limit, NULL), SY_OK);
  assert_near(limit.lift, 0.6, 1e-12); /* as near as an edge is looked for */
  assert_int_equal(limit.wheel, 0);
  assert_near(limit.tip, 0.9, 1e-12);
  assert_true(looks < 90); /* halves down to 1e-12 of the tip, which no load foretells, are half of them */
}

static void standing_still_and_pushed_is_what_either_is_alone(void **state) {
  (void)state;
  const sy_vehicle v = sprung_car();
  const sy_transfer_model m = model_of(&v, car, CAR);
  sy_corner_result rest, loaded;
  assert_int_equal(sy_transfer_solve_both(&m, (sy_vec3){0.4 * G, -0.7 * G, -G}, &rest, &loaded, NULL), SY_OK);
  const sy_corner_result still = solve(&m, 0, 0), pushed = solve(&m, 0.4, -0.7);
  assert_memory_equal(rest.load, still.load, sizeof still.load);
  assert_memory_equal(rest.pose, still.pose, sizeof still.pose);
  assert_memory_equal(loaded.load, pushed.load, sizeof pushed.load);
  assert_memory_equal(loaded.pose, pushed.pose, sizeof pushed.pose);
}

static void first_wheel_lifts_before_it_tips_and_is_named(void **state) {
  (void)state;
  const sy_vehicle v = sprung_car();
  const sy_transfer_model m = model_of(&v, car, CAR);
  sy_transfer_limit limit;
  const sy_transfer_path path = {{0, 0, -G}, {0, G, 0}, true};
  assert_int_equal(sy_transfer_limits(&m, &path, &limit, NULL), SY_OK);
  assert_true(limit.lifts && limit.tips && limit.lift < limit.tip);
  sy_corner_result r;
  assert_int_equal(sy_transfer_solve(&m, sy_transfer_gravity(&path, limit.lift - 1e-7), &r, NULL), SY_OK);
  for (int i = 0; i < 4; i++) assert_true(r.fits[i].touches);
  assert_true(r.load[limit.wheel] < 0.01);
  assert_int_equal(sy_transfer_solve(&m, sy_transfer_gravity(&path, limit.lift + 1e-7), &r, NULL), SY_OK);
  assert_false(r.fits[limit.wheel].touches);
  assert_int_equal(sy_transfer_solve(&m, sy_transfer_gravity(&path, limit.tip + 1e-6), &r, NULL),
                   SY_GEOMETRY);
}

static void downforce_presses_its_axle_only(void **state) {
  (void)state;
  const sy_vehicle v = sprung_car();
  const sy_totals t = totals_of(car, CAR);
  const sy_corner_model corner = corner_of(&v, &t);
  sy_transfer_model plain, pressed;
  const double down[SY_MAX_AXLES] = {400, 730};
  assert_int_equal(sy_transfer_make(&corner, &t, NULL, true, &plain, NULL), SY_OK);
  assert_int_equal(sy_transfer_make(&corner, &t, down, true, &pressed, NULL), SY_OK);
  const sy_corner_result a = solve(&plain, 0, -0.4), b = solve(&pressed, 0, -0.4);
  assert_near(b.load[0] + b.load[1] - a.load[0] - a.load[1], 400, 1e-8);
  assert_near(b.load[2] + b.load[3] - a.load[2] - a.load[3], 730, 1e-8);
  const double bad[SY_MAX_AXLES] = {(double)NAN};
  sy_error err;
  assert_int_equal(sy_transfer_make(&corner, &t, bad, true, &pressed, &err), SY_RANGE);
  assert_string_equal(err.field, "downforce");
  sy_totals odd = t;
  odd.carried[SY_CARRIER_BODY].first.z = (double)NAN;
  assert_int_equal(sy_transfer_make(&corner, &odd, NULL, true, &pressed, &err), SY_RANGE);
  assert_string_equal(err.field, "mass");
}

static void soft_springs_under_a_high_weight_are_refused(void **state) {
  (void)state;
  sy_vehicle v = sprung_car();
  for (int i = 0; i < 4; i++) v.wheel[i].spring_rate = 1200, v.axle[i / 2].bar_rate = 0;
  const sy_totals t = totals_of(car, CAR);
  const sy_corner_model corner = corner_of(&v, &t);
  sy_transfer_model m;
  sy_error err;
  assert_int_equal(sy_transfer_make(&corner, &t, NULL, true, &m, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "spring_rate");
  assert_non_null(strstr(err.message, "unstable in roll"));
}

static void gravity_that_lifts_is_refused(void **state) {
  (void)state;
  const sy_vehicle v = sprung_car();
  const sy_transfer_model m = model_of(&v, car, CAR);
  sy_corner_result r;
  sy_error err;
  assert_int_equal(sy_transfer_solve(&m, (sy_vec3){0, 0, 1}, &r, &err), SY_GEOMETRY);
  assert_int_equal(sy_transfer_solve(&m, (sy_vec3){0, (double)NAN, -G}, &r, &err), SY_RANGE);
  assert_int_equal(sy_transfer_solve(&m, (sy_vec3){0, 3 * G, -G}, &r, &err), SY_GEOMETRY);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(transfer_of_kktse_stock_gives_the_printed_rear_shares),
      cmocka_unit_test(transfer_of_barton_and_fieldhouse_gives_the_printed_paths),
      cmocka_unit_test(transfer_of_jazar_under_drive_moves_load_rearward),
      cmocka_unit_test(loads_balance_weight_and_moments),
      cmocka_unit_test(equal_axles_tip_where_two_rolls_say),
      cmocka_unit_test(tyres_that_give_sideways_bring_the_weight_outward),
      cmocka_unit_test(load_that_stands_on_an_axle_goes_outward_with_it),
      cmocka_unit_test(three_equal_axles_tip_where_two_rolls_say),
      cmocka_unit_test(loads_of_more_axles_balance_with_wheels_leaning_on_their_tyres),
      cmocka_unit_test(downforce_lowers_what_is_pushed),
      cmocka_unit_test(other_loads_and_tables_move_what_is_pushed),
      cmocka_unit_test(near_rigid_tyres_tip_where_rigid_ones_would),
      cmocka_unit_test(near_rigid_springs_and_stops_keep_the_balance),
      cmocka_unit_test(limits_pass_on_what_is_no_tipping),
      cmocka_unit_test(looks_that_are_left_out_pass_over_no_bend),
      cmocka_unit_test(standing_still_and_pushed_is_what_either_is_alone),
      cmocka_unit_test(first_wheel_lifts_before_it_tips_and_is_named),
      cmocka_unit_test(downforce_presses_its_axle_only),
      cmocka_unit_test(soft_springs_under_a_high_weight_are_refused),
      cmocka_unit_test(gravity_that_lifts_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
