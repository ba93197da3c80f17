#include "statics/corner.h"

#include <float.h>
#include <string.h>

#include "base/units.h"
#include "lumps.h"
#include "near.h"
#include "statics/equilibrium.h"

static const double G = SY_STANDARD_GRAVITY;

static void add_axle(sy_vehicle *v, double x, double track, double spring, double ratio, double tyre) {
  sy_axle a = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  a.x = x, w.loaded_radius = 0.29;
  w.spring_rate = spring, w.motion_ratio = ratio, w.tyre_rate = tyre;
  sy_vehicle_add_axle(v, a, track, w);
}

/* The invented car of the worked case: wheelbase 2450, tracks 1500 and 1480, 781.4 kg, springs 60 and 75 N/mm, motion ratios
** 0.75 and 0.80, tyres 220 N/mm, perches of 1.5 mm a turn. */
static sy_vehicle worked_car(void) {
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1.5, 60e3, 0.75, 220e3);
  add_axle(&v, -2.45, 1.48, 75e3, 0.80, 220e3);
  return v;
}

static const lump worked_masses[] = {{661.4, -1.4, -0.02, 0.38, SY_CARRIER_BODY},
                                     {28, 0, 0.75, 0.29, SY_CARRIER_AXLE},
                                     {28, 0, -0.75, 0.29, SY_CARRIER_AXLE},
                                     {32, -2.45, 0.74, 0.29, SY_CARRIER_AXLE + 1},
                                     {32, -2.45, -0.74, 0.29, SY_CARRIER_AXLE + 1}};
enum { WORKED = sizeof worked_masses / sizeof *worked_masses };

typedef struct stand {
  sy_corner_model model;
  sy_corner_load load;
  sy_corner_result r;
  sy_corner_sensitivities s;
} stand;

static const sy_vec3 LEVEL = {0, 0, -SY_STANDARD_GRAVITY};

static sy_corner_load load_of(const sy_vehicle *v, const lump *list, size_t count, sy_vec3 gravity) {
  const sy_totals t = totals_of(list, count);
  sy_corner_load load;
  sy_error err;
  if (sy_corner_load_of(&t, v, gravity, &load, &err) != SY_OK) fail_msg("%s: %s", err.field, err.message);
  return load;
}

static sy_corner_model model_of(const sy_vehicle *v, const lump *list, size_t count) {
  const sy_totals t = totals_of(list, count);
  const sy_corner_load drawn_load = load_of(v, list, count, LEVEL);
  sy_loadmap map;
  sy_corner_model model;
  sy_error err;
  double drawn[SY_MAX_WHEELS];
  if (sy_loadmap_make(v, LEVEL, &map, &err) != SY_OK) fail_msg("%s: %s", err.field, err.message);
  sy_loadmap_apply(&map, (const double[4]){t.all.m, t.all.first.x, t.all.first.y, t.all.first.z}, drawn);
  if (sy_corner_make(v, &drawn_load, drawn, &model, &err) != SY_OK)
    fail_msg("%s: %s", err.field, err.message);
  return model;
}

static stand solve(const sy_corner_model *model, const sy_corner_load *load,
                   const sy_corner_setting *setting) {
  stand s = {.model = *model, .load = *load};
  sy_error err;
  if (sy_corner_solve(model, load, setting, &s.r, &err) != SY_OK) fail_msg("%s: %s", err.field, err.message);
  if (sy_corner_sensitivity(model, setting, &s.r, &s.s, &err) != SY_OK)
    fail_msg("%s: %s", err.field, err.message);
  return s;
}

static stand stand_as_drawn(const sy_vehicle *v, const sy_corner_setting *setting) {
  const sy_corner_model model = model_of(v, worked_masses, WORKED);
  return solve(&model, &model.drawn_load, setting);
}

/* ---- closed forms ---------------------------------------------------------------------------------------------------- */

/* Loads that change without total, front share or left share change are a multiple of (1/t_f, -1/t_f, -1/t_r, 1/t_r), since
** these carry no force and no moment. The multiple (N m) follows from compatibility: an offset e at one wheel is used up by
** springs (with the bar, 2 k_b for opposite travels), tyres and chassis in series,
**   T = (e k_w/(k_w + 2 k_b) or the pad)/t_f / (2/t_f^2 (1/(k_w + 2 k_b) + 1/k_t) + the rear's + 1/k_c). */
static double torque_by_hand(const sy_vehicle *v, double offset, double pad, bool bars) {
  double soft = isnan(v->torsion) ? 0.0 : 1.0 / v->torsion, used = 0.0;
  for (int i = 0; i < 2; i++) {
    const sy_wheel *w = &v->wheel[2 * i];
    const double k = w->spring_rate * w->motion_ratio * w->motion_ratio,
                 with = k + (bars ? 2 * v->axle[i].bar_rate : 0), track = 2 * w->y;
    soft += 2 / (track * track) * (1 / with + 1 / w->tyre_rate);
    if (i == 0) used = offset * k / with + pad;
  }
  return used / (2 * v->wheel[0].y) / soft;
}

/* One turn of the left front perch and 1 mm under the left front pad; every case in kg as worked out twice by other
** means (invented car), and by the closed form above to rounding. */
static void slopes_of_the_worked_car(void **state) {
  (void)state;
  static const struct {
    double torsion, bar, turn, turn_rear, pad, pad_rear;
  } cases[] = {{(double)NAN, 0, 1.693, 1.716, 0.846, 0.858},
               {1000, 0, 1.277, 1.294, 0, 0},
               {4000, 0, 1.565, 0, 0, 0},
               {10000, 0, 1.639, 0, 0, 0},
               {(double)NAN, 7.5e3, 1.381, 1.399, 0.997, 1.011}};
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    sy_vehicle v = worked_car();
    v.torsion = cases[i].torsion / SY_DEGREE;
    v.axle[0].bar_rate = cases[i].bar;
    const sy_corner_setting setting = {.bars = true};
    const stand s = stand_as_drawn(&v, &setting);
    const double turn = torque_by_hand(&v, 1.5e-3 / 0.75, 0, true), pad = torque_by_hand(&v, 0, 1e-3, true);
    const double way[4] = {1 / 1.5, -1 / 1.5, -1 / 1.48, 1 / 1.48};
    for (int w = 0; w < 4; w++) { /* a few dozen operations on forces of some thousand newtons */
      assert_near(s.s.load_perch[w][0] * 1.5e-3, turn * way[w], 1e-11 * 1e3);
      assert_near(s.s.load_pad[w][0] * 1e-3, pad * way[w], 1e-11 * 1e3);
    }
    const double tol = 0.0005; /* half the last digit */
    assert_near(s.s.load_perch[0][0] * 1.5e-3 / G, cases[i].turn, tol);
    if (cases[i].turn_rear > 0) assert_near(s.s.load_perch[3][0] * 1.5e-3 / G, cases[i].turn_rear, tol);
    if (cases[i].pad > 0) assert_near(s.s.load_pad[0][0] * 1e-3 / G, cases[i].pad, tol);
    if (cases[i].pad > 0) assert_near(s.s.load_pad[3][0] * 1e-3 / G, cases[i].pad_rear, tol);
    if (i == 0) { /* body heights of the worked case, mm */
      const double height[4] = {1.433, 0.567, 0.427, -0.427};
      for (int w = 0; w < 4; w++) assert_near(s.s.height_perch[w][0] * 1.5, height[w], tol);
    }
  }
}

/* A bar hooked up 3 mm short of slack: e = k_b e0 / (k_w + 2 k_b) on both wheels in opposite ways, twice the closed form. */
static void preloaded_bar_loads_the_left_wheel(void **state) {
  (void)state;
  sy_vehicle v = worked_car();
  v.axle[0].bar_rate = 9e3;
  const sy_corner_setting setting = {.bars = true, .preload = {3e-3, 0}};
  const stand slack = stand_as_drawn(&v, &(sy_corner_setting){.bars = true}),
              s = stand_as_drawn(&v, &setting);
  const double k = 60e3 * 0.75 * 0.75;
  const double torque = 2 * torque_by_hand(&v, 0, 9e3 * 3e-3 / (k + 2 * 9e3), true);
  assert_near(s.r.load[0] - slack.r.load[0], torque / 1.5, 1e-10 * 1e3);
  assert_near(s.r.load[3] - slack.r.load[3], torque / 1.48, 1e-10 * 1e3);
  assert_true(torque > 0);
  /* the bar's own force: it lost part of its preload to the travel it made */
  const double difference = s.r.travel[0] - s.r.travel[1];
  assert_near(s.r.bar[0], 9e3 * (difference + 3e-3), 1e-9);
  assert_true(difference < 0);
}

/* As drawn: loads as given, nothing moves, whatever is off level across the car. */
static void drawn_state_is_the_zero(void **state) {
  (void)state;
  sy_vehicle v = worked_car();
  v.cross_share = 0.52;
  v.torsion = 3000 / SY_DEGREE;
  const stand s = stand_as_drawn(&v, &(sy_corner_setting){.bars = false});
  const double total = 781.4 * G;
  assert_near(s.r.load[1] + s.r.load[2], 0.52 * total, 1e-12 * total);
  for (int i = 0; i < 4; i++) {
    assert_near(s.r.load[i], s.model.drawn[i], 1e-12 * total);
    assert_near(s.r.height[i], 0, 1e-15);
    assert_near(s.r.travel[i], 0, 1e-15);
  }
}

/* Very hard rates under a pad 1 mm high: the vehicle rocks on three wheels, which carry what three wheels carry. */
static void hard_springs_rock_on_three_wheels(void **state) {
  (void)state;
  sy_vehicle v = worked_car();
  for (int i = 0; i < 4; i++) v.wheel[i].spring_rate *= 1e6, v.wheel[i].tyre_rate *= 1e6;
  const stand s = stand_as_drawn(&v, &(sy_corner_setting){.pad = {1e-3}});
  assert_false(s.r.fits[1].touches && s.r.fits[2].touches); /* the other diagonal loses one */
  const int off = s.r.fits[1].touches ? 2 : 1;
  assert_near(s.r.load[off], 0, 0);
  /* three contacts: moments about the line through two of them give the third; here by the corner formula */
  const double x[4] = {0, 0, -2.45, -2.45}, y[4] = {0.75, -0.75, 0.74, -0.74};
  const double cx = -s.load.body[1] / s.load.body[0], cy = (s.load.body[2] + s.load.body[3]) / s.load.body[0];
  for (int i = 0; i < 4; i++) {
    if (i == off) continue;
    int j = (i + 1) % 4, k;
    if (j == off) j = (j + 1) % 4;
    for (k = 0; k == i || k == j || k == off;) k++;
    const double whole = (x[j] - x[i]) * (y[k] - y[i]) - (x[k] - x[i]) * (y[j] - y[i]);
    const double part = (x[j] - cx) * (y[k] - cy) - (x[k] - cx) * (y[j] - cy);
    assert_near(s.r.load[i], s.load.body[0] * part / whole, 1e-10 * s.load.body[0]);
    assert_near(s.r.height[i], i == 0 ? 1e-3 : 0,
                1e-6); /* the rates give a few micrometres, at 1e6 times a real one */
  }
}

/* Three wheels: springs, bars, pads and perches change heights, never loads. Source: balance of forces and moments. */
static void three_wheels_carry_what_balance_gives(void **state) {
  (void)state;
  sy_vehicle v = worked_car();
  v.axle[1].wheels = 1, v.wheel[2].y = 0;
  v.axle[0].bar_rate = 8e3;
  v.torsion = 900 / SY_DEGREE;
  const lump masses[] = {{310, -1.1, 0.03, 0.4, SY_CARRIER_BODY},
                         {36, 0, 0.0, 0.29, SY_CARRIER_AXLE},
                         {21, -2.43, 0.04, 0.3, SY_CARRIER_AXLE + 1}};
  const sy_corner_model model = model_of(&v, masses, 3);
  const sy_corner_setting setting = {
      .bars = true, .pad = {4e-3, 0, -3e-3}, .perch = {0, 2e-3, 1e-3}, .preload = {2e-3}};
  const stand s = solve(&model, &model.drawn_load, &setting);
  const double weight = 367 * G, rear = (310 * 1.1 + 21 * 2.43) / 2.45 * G;
  const double across = (310 * 0.03 + 21 * 0.04) / 1.5 * G;
  assert_near(s.r.load[2], rear, 1e-11 * weight);
  assert_near(s.r.load[0], (weight - rear) / 2 + across, 1e-11 * weight);
  assert_near(s.r.load[1], (weight - rear) / 2 - across, 1e-11 * weight);
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) assert_near(s.s.load_pad[i][j], 0, 1e-9 * 220e3);
  assert_true(fabs(s.r.height[0]) > 1e-3);
}

/* ---- what goes in ------------------------------------------------------------------------------------------------------ */

/* Two front tyres of 252 N/mm take up 300 N by going down 300/(2 x 252) = 0.595 mm (rate of a measured 255/40R17 at
** 3560 N: kktse, road tyre data, 2021). Unsprung weight goes straight to them; the springs feel nothing. */
static void unsprung_weight_presses_the_tyres_only(void **state) {
  (void)state;
  sy_vehicle v = worked_car();
  v.wheel[0].tyre_rate = v.wheel[1].tyre_rate = 252e3;
  const sy_corner_model model = model_of(&v, worked_masses, WORKED);
  lump heavier[WORKED];
  memcpy(heavier, worked_masses, sizeof heavier);
  heavier[1].mass += 150 / G, heavier[2].mass += 150 / G;
  const sy_corner_load load = load_of(&v, heavier, WORKED, LEVEL);
  const stand s = solve(&model, &load, &(sy_corner_setting){.bars = false});
  for (int i = 0; i < 2; i++) {
    assert_near(s.r.load[i] - model.drawn[i], 150, 1e-9);
    assert_near(1e3 * (s.r.height[i] + s.r.travel[i]), -0.595, 0.0005); /* half the last digit */
    assert_near(s.r.travel[i], 0, 1e-15);
  }
}

/* An unsprung part that lies behind its wheels still loads the axles by the lever rule: its moment goes through the links. */
static void loads_of_parts_away_from_their_wheels_balance(void **state) {
  (void)state;
  const sy_vehicle v = worked_car();
  const lump list[] = {{500, -1.3, 0.01, 0.4, SY_CARRIER_BODY},
                       {40, -0.2, 0.11, 0.3, SY_CARRIER_AXLE},
                       {17, -2.6, 0.5, 0.3, SY_CARRIER_WHEEL + 3},
                       {30, -2.4, -0.05, 0.3, SY_CARRIER_AXLE + 1}};
  const sy_corner_load load = load_of(&v, list, 4, LEVEL);
  const double weight = 587 * G, x = -(500 * 1.3 + 40 * 0.2 + 17 * 2.6 + 30 * 2.4) * G,
               y = (500 * 0.01 + 40 * 0.11 + 17 * 0.5 - 30 * 0.05) * G;
  assert_near(load.body[0], weight, 1e-12 * weight);
  assert_near(load.body[1], -x, 1e-12 * weight);
  assert_near(load.body[2] + load.body[3], y, 1e-12 * weight);
  /* front share of each roll moment: lever rule at the part's own place, or at its axle */
  const double front = (500 * 0.01 * (2.45 - 1.3) / 2.45 + 40 * 0.11) * G;
  assert_near(load.body[2], front, 1e-12 * weight);
  assert_near(load.wheel[0], 40 * G * (0.5 + 0.11 / 1.5), 1e-12 * weight);
  assert_near(load.wheel[1], 40 * G * (0.5 - 0.11 / 1.5), 1e-12 * weight);
  assert_near(load.wheel[2], 30 * G * (0.5 - 0.05 / 1.48), 1e-12 * weight);
  assert_near(load.wheel[3], 30 * G * (0.5 + 0.05 / 1.48) + 17 * G, 1e-12 * weight);
  const sy_corner_model model = model_of(&v, list, 4);
  const stand s = solve(&model, &model.drawn_load, &(sy_corner_setting){.pad = {2e-3}});
  assert_near(s.r.load[2] + s.r.load[3], -x / 2.45, 1e-11 * weight);
  assert_near((s.r.load[0] - s.r.load[1]) * 0.75 + (s.r.load[2] - s.r.load[3]) * 0.74, y, 1e-11 * weight);
}

/* On a slope the axles carry what a rigid vehicle's carry (equilibrium.h), the sides likewise. */
static void tilted_ground_loads_axles_and_sides_as_a_rigid_vehicle(void **state) {
  (void)state;
  sy_vehicle v = worked_car();
  v.axle[0].roll_centre = 0.03, v.axle[1].roll_centre = 0.07;
  const sy_vec3 tilt = {-1.2, 0.9, -9.6};
  const sy_corner_model model = model_of(&v, worked_masses, WORKED);
  const sy_corner_load load = load_of(&v, worked_masses, WORKED, tilt);
  const stand s = solve(&model, &load, &(sy_corner_setting){.bars = false});
  const sy_totals t = totals_of(worked_masses, WORKED);
  sy_loadmap map;
  double rigid[SY_MAX_WHEELS];
  assert_int_equal(sy_loadmap_make(&v, tilt, &map, NULL), SY_OK);
  sy_loadmap_apply(&map, (const double[4]){t.all.m, t.all.first.x, t.all.first.y, t.all.first.z}, rigid);
  const double tol = 1e-11 * load.body[0];
  assert_near(s.r.load[0] + s.r.load[1], rigid[0] + rigid[1], tol);
  assert_near(s.r.load[2] + s.r.load[3], rigid[2] + rigid[3], tol);
  assert_near((s.r.load[0] - s.r.load[1]) * 0.75 + (s.r.load[2] - s.r.load[3]) * 0.74,
              (rigid[0] - rigid[1]) * 0.75 + (rigid[2] - rigid[3]) * 0.74, tol);
  assert_true(s.r.travel[0] > s.r.travel[1]); /* pulled to the left, the left side goes into bump */
}

/* With both roll centres at the height of the sprung cg the links carry all of a side pull: the springs stay as they were,
** only the tyres give. */
static void roll_centres_at_the_cg_keep_the_springs_out(void **state) {
  (void)state;
  sy_vehicle v = worked_car();
  v.axle[0].roll_centre = v.axle[1].roll_centre = 0.38;
  const sy_corner_model model = model_of(&v, worked_masses, WORKED);
  const sy_corner_load load = load_of(&v, worked_masses, WORKED, (sy_vec3){0, 1.5, -G});
  sy_corner_load without = load;
  without.couple[0] = without.couple[1] = 0;
  const stand s = solve(&model, &load, &(sy_corner_setting){.bars = false});
  const stand all = solve(&model, &without, &(sy_corner_setting){.bars = false});
  /* as drawn the cross weight of 50 % needs no twist of the loads; what is left is that the two axles' tyres do not roll alike */
  assert_true(fabs(s.r.travel[0] - s.r.travel[1]) < 0.05 * fabs(all.r.travel[0] - all.r.travel[1]));
  assert_near(s.r.load[0] - s.r.load[1] - (all.r.load[0] - all.r.load[1]),
              -(s.r.load[2] - s.r.load[3] - (all.r.load[2] - all.r.load[3])) * 1.48 / 1.5, 1e-8);
}

/* ---- contact and stops ------------------------------------------------------------------------------------------------------ */

/* A load that would need more travel than there is: the suspension ends at its stop, the tyres take the rest. Symmetric car
** with the weight in its middle: each wheel carries a quarter. */
static void stops_end_the_travel(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  add_axle(&v, 0, 1.4, 50e3, 1, 200e3);
  add_axle(&v, -2.4, 1.4, 50e3, 1, 200e3);
  for (int i = 0; i < 4; i++) v.wheel[i].bump = 0.03, v.wheel[i].droop = 0.02;
  lump body = {800, -1.2, 0, 0.5, SY_CARRIER_BODY};
  const sy_corner_model model = model_of(&v, &body, 1);
  static const struct {
    double mass, travel, height;
    int stop;
  } cases[] = {{1200, 400.0 / 4 / 50e3, 0, 0}, /* 100 kg: 19.6 mm */
               {1600, 0.03, 0, 1},             /* 200 kg would be 39.2 mm */
               {300, -0.02, 0, -1}};           /* -125 kg would be 24.5 mm of droop */
  for (size_t i = 0; i < 3; i++) {
    body.mass = cases[i].mass;
    const sy_corner_load load = load_of(&v, &body, 1, LEVEL);
    const stand s = solve(&model, &load, &(sy_corner_setting){.bars = false});
    const double more = (body.mass - 800) / 4 * G, travel = cases[i].stop ? cases[i].travel : more / 50e3;
    for (int w = 0; w < 4; w++) {
      assert_near(s.r.load[w], body.mass / 4 * G, 1e-9);
      assert_near(s.r.travel[w], travel, 1e-14);
      assert_near(s.r.height[w], -more / 200e3 - travel, 1e-14);
      assert_int_equal(s.r.fits[w].stop, cases[i].stop);
    }
  }
}

/* A wheel in a hole lifts; filled up again it takes its load back (the drawn state is reached again, bit for bit or nearly). */
static void lifted_wheel_comes_back(void **state) {
  (void)state;
  const sy_vehicle v = worked_car();
  const stand hole = stand_as_drawn(&v, &(sy_corner_setting){.pad = {0, -0.4, 0, 0}});
  assert_false(hole.r.fits[1].touches);
  assert_near(hole.r.load[1], 0, 0);
  assert_near(hole.r.load[0] + hole.r.load[2] + hole.r.load[3], 781.4 * G, 1e-11 * 781.4 * G);
  /* its suspension hangs: the spring lets go of all it carried but the wheel's own weight */
  const double k = 60e3 * 0.75 * 0.75;
  assert_near(hole.r.travel[1], -hole.model.drawn[1] / k, 1e-12);
  const stand back = stand_as_drawn(&v, &(sy_corner_setting){.pad = {0, -0.0004, 0, 0}});
  assert_true(back.r.fits[1].touches);
}

/* ---- ride ---------------------------------------------------------------------------------------------------------------------- */

/* Static deflection g/(2 pi f)^2: 248.405 mm at 1 Hz, 110.402 at 1.5, 62.101 at 2 (g 9.80665; any text on vibration). */
static void ride_frequency_follows_the_static_deflection(void **state) {
  (void)state;
  const double table[3][2] = {{1.0, 248.405}, {1.5, 110.402}, {2.0, 62.101}};
  for (int i = 0; i < 3; i++) {
    sy_vehicle v = worked_car();
    const sy_corner_model before = model_of(&v, worked_masses, WORKED);
    const double force = (before.drawn[0] + before.drawn[1] - 56 * G) / 2;
    const double ride = force / (table[i][1] * 1e-3); /* and the tyre in series */
    v.wheel[0].spring_rate = v.wheel[1].spring_rate = 1 / (1 / ride - 1 / 220e3) / (0.75 * 0.75);
    const sy_corner_model model = model_of(&v, worked_masses, WORKED);
    assert_near(sy_corner_ride_rate(&model, 1), ride, 1e-10 * ride);
    assert_near(sy_corner_ride_hz(&model, 0), table[i][0],
                0.0005 / table[i][1]); /* half the last digit of the table, in Hz */
  }
}

/* ---- refusals -------------------------------------------------------------------------------------------------------------------- */

static void check_refusal(const sy_vehicle *v, sy_status status, const char *part, const char *field) {
  const sy_corner_load load = load_of(v, worked_masses, WORKED, LEVEL);
  const double drawn[SY_MAX_WHEELS] = {1800, 1700, 2100, 2000};
  sy_corner_model out;
  memset(&out, 0x5a, sizeof out);
  const sy_corner_model before = out;
  sy_error err;
  assert_int_equal(sy_corner_make(v, &load, drawn, &out, &err), status);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, field);
  assert_memory_equal(&out, &before, sizeof out);
}

static void make_refuses_what_it_cannot_use(void **state) {
  (void)state;
  sy_vehicle v = worked_car();
  v.wheel[2].spring_rate = (double)NAN;
  check_refusal(&v, SY_MISSING, "left rear wheel", "spring_rate");
  v = worked_car();
  v.wheel[1].tyre_rate = (double)NAN;
  check_refusal(&v, SY_MISSING, "right front wheel", "tyre_rate");
  v.wheel[1].tyre_rate = -1;
  check_refusal(&v, SY_RANGE, "right front wheel", "tyre_rate");
  v = worked_car();
  v.wheel[0].motion_ratio = 0;
  check_refusal(&v, SY_RANGE, "left front wheel", "motion_ratio");
  v = worked_car();
  v.axle[1].wheels = 1, v.axle[1].bar_rate = 1;
  check_refusal(&v, SY_GEOMETRY, "axle 2 of 2", "bar_rate");
}

static void make_refuses_a_wheel_without_load(void **state) {
  (void)state;
  const sy_vehicle v = worked_car();
  const sy_corner_load load = load_of(&v, worked_masses, WORKED, LEVEL);
  sy_corner_model out;
  sy_error err;
  assert_int_equal(sy_corner_make(&v, &load, (const double[SY_MAX_WHEELS]){1, 2, 3, 0}, &out, &err),
                   SY_RANGE);
  assert_string_equal(err.part, "right rear wheel");
  assert_string_equal(err.field, "load");
}

static void solve_refuses_tipping_and_nonsense(void **state) {
  (void)state;
  const sy_vehicle v = worked_car();
  const sy_corner_model model = model_of(&v, worked_masses, WORKED);
  sy_corner_result r;
  sy_error err;
  lump behind[WORKED];
  memcpy(behind, worked_masses, sizeof behind);
  behind[0].x = -3.1;
  const sy_corner_load load = load_of(&v, behind, WORKED, LEVEL);
  const sy_corner_setting none = {.bars = false};
  assert_int_equal(sy_corner_solve(&model, &load, &none, &r, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "cg");
  const sy_corner_setting pad = {.pad = {0, (double)NAN}}, perch = {.perch = {0, 0, (double)INFINITY}},
                          preload = {.preload = {0, (double)NAN}};
  assert_int_equal(sy_corner_solve(&model, &model.drawn_load, &pad, &r, &err), SY_RANGE);
  assert_string_equal(err.part, "right front wheel");
  assert_int_equal(sy_corner_solve(&model, &model.drawn_load, &perch, &r, &err), SY_RANGE);
  assert_string_equal(err.field, "perch");
  assert_int_equal(sy_corner_solve(&model, &model.drawn_load, &preload, &r, &err), SY_RANGE);
  assert_string_equal(err.part, "axle 2 of 2");
}

static void load_refuses_what_is_no_weight(void **state) {
  (void)state;
  const sy_vehicle v = worked_car();
  const sy_totals t = totals_of(worked_masses, WORKED), nothing = totals_of(worked_masses, 0);
  sy_corner_load load;
  sy_error err;
  assert_int_equal(sy_corner_load_of(&t, &v, (sy_vec3){0, 0, 9.8}, &load, &err), SY_GEOMETRY);
  assert_int_equal(sy_corner_load_of(&t, &v, (sy_vec3){(double)NAN, 0, -9.8}, &load, &err), SY_RANGE);
  assert_int_equal(sy_corner_load_of(&nothing, &v, LEVEL, &load, &err), SY_MISSING);
}

/* NaN in a load is not an equilibrium: it is refused where it comes in, and the answer stays untouched. */
static void loads_that_are_no_numbers_are_refused(void **state) {
  (void)state;
  const sy_vehicle v = worked_car();
  sy_corner_model model = model_of(&v, worked_masses, WORKED), out = model;
  const sy_corner_load good = model.drawn_load;
  const sy_corner_setting none = {.bars = false};
  sy_corner_result r = {.pose = {-7}};
  for (int k = 0; k < 10; k++) {
    sy_corner_load bad = good;
    *(k < 4   ? &bad.body[k]
      : k < 8 ? &bad.wheel[k - 4]
              : &bad.couple[k - 8]) = k % 2 == 0 ? (double)NAN : (double)INFINITY;
    sy_error err;
    assert_int_equal(sy_corner_solve(&model, &bad, &none, &r, &err), SY_RANGE);
    assert_string_equal(err.field, "load");
    assert_int_equal(sy_corner_make(&v, &bad, model.drawn, &out, &err), SY_RANGE);
  }
  assert_near(r.pose[0], -7, 0);
}

static void slope_refuses_two_wheels(void **state) {
  (void)state;
  const sy_vehicle v = worked_car();
  const sy_corner_model model = model_of(&v, worked_masses, WORKED);
  const sy_corner_result at = {.fits = {{true, 0}, {false, 0}, {false, 0}, {true, 0}}};
  sy_corner_sensitivities s;
  sy_error err;
  assert_int_equal(sy_corner_sensitivity(&model, &(sy_corner_setting){.bars = false}, &at, &s, &err),
                   SY_GEOMETRY);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(slopes_of_the_worked_car),
      cmocka_unit_test(preloaded_bar_loads_the_left_wheel),
      cmocka_unit_test(drawn_state_is_the_zero),
      cmocka_unit_test(hard_springs_rock_on_three_wheels),
      cmocka_unit_test(three_wheels_carry_what_balance_gives),
      cmocka_unit_test(unsprung_weight_presses_the_tyres_only),
      cmocka_unit_test(loads_of_parts_away_from_their_wheels_balance),
      cmocka_unit_test(tilted_ground_loads_axles_and_sides_as_a_rigid_vehicle),
      cmocka_unit_test(roll_centres_at_the_cg_keep_the_springs_out),
      cmocka_unit_test(stops_end_the_travel),
      cmocka_unit_test(lifted_wheel_comes_back),
      cmocka_unit_test(ride_frequency_follows_the_static_deflection),
      cmocka_unit_test(make_refuses_what_it_cannot_use),
      cmocka_unit_test(make_refuses_a_wheel_without_load),
      cmocka_unit_test(solve_refuses_tipping_and_nonsense),
      cmocka_unit_test(load_refuses_what_is_no_weight),
      cmocka_unit_test(loads_that_are_no_numbers_are_refused),
      cmocka_unit_test(slope_refuses_two_wheels),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
