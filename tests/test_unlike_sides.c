/* Vehicles whose two sides differ: every wheel at its own place on its own rates. Each answer is held against the plain equations, solved
** here by elimination. Source: balance of forces and moments; a plane on springs. The vehicles are drawn at random. */
#include <float.h>
#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "drawn_car.h"
#include "lumps.h"
#include "near.h"
#include "statics/balance.h"
#include "statics/perches.h"
#include "statics/stability.h"
#include "statics/transfer.h"

static const double G = SY_STANDARD_GRAVITY;
static const sy_vec3 LEVEL = {0, 0, -SY_STANDARD_GRAVITY};

/* x of a x = b by elimination with pivots; a and b are used up. */
static void solve_plainly(int n, double a[8][8], double b[8], double x[8]) {
  for (int c = 0; c < n; c++) {
    int best = c;
    for (int r = c; r < n; r++)
      if (fabs(a[r][c]) > fabs(a[best][c])) best = r;
    for (int k = 0; k < n; k++) {
      const double swap = a[c][k];
      a[c][k] = a[best][k], a[best][k] = swap;
    }
    const double swap = b[c];
    b[c] = b[best], b[best] = swap;
    for (int r = c + 1; r < n; r++) {
      const double factor = a[r][c] / a[c][c];
      for (int k = c; k < n; k++) a[r][k] -= factor * a[c][k];
      b[r] -= factor * b[c];
    }
  }
  for (int r = n - 1; r >= 0; r--) {
    x[r] = b[r];
    for (int k = r + 1; k < n; k++) x[r] -= a[r][k] * x[k];
    x[r] /= a[r][r];
  }
}

/* Axles of two wheels, 1.9 to 3 m from first to last; each wheel up to 60 mm off its axle line and 80 mm nearer to the centre or farther out. */
static sy_vehicle unlike_vehicle(dice *d, int axles) {
  sy_vehicle v = sy_vehicle_default();
  const double front = dice_between(d, -1, 3), length = dice_between(d, 1.9, 3);
  for (int a = 0; a < axles; a++) {
    sy_axle axle = sy_axle_default();
    sy_wheel w = sy_wheel_default();
    axle.x = front - length * a / (axles - 1);
    w.loaded_radius = 0.3;
    sy_vehicle_add_axle(&v, axle, dice_between(d, 1.3, 1.6), w);
    for (int i = 2 * a; i < 2 * a + 2; i++) {
      sy_wheel *own = &v.wheel[i];
      const double askew = dice_between(d, 0, 0.06);
      own->x += i % 2 == 0 ? askew : -askew;
      own->y += dice_between(d, -0.08, 0.08);
      own->loaded_radius = dice_between(d, 0.27, 0.32);
      own->spring_rate = dice_between(d, 25e3, 70e3), own->motion_ratio = dice_between(d, 0.6, 1.1);
      own->tyre_rate = dice_between(d, 150e3, 260e3);
    }
  }
  v.cross_share = dice_between(d, 0.45, 0.55);
  return v;
}

static sy_vec3 cg_of(dice *d, const sy_vehicle *v) {
  const double last = v->axle[v->axle_count - 1].x;
  return (sy_vec3){last + dice_between(d, 0.35, 0.65) * (v->axle[0].x - last), dice_between(d, -0.06, 0.06),
                   dice_between(d, 0.3, 0.6)};
}

/* ---- rigid ---------------------------------------------------------------------------------------------------------------- */

static sy_loadmap map_of(const sy_vehicle *v, sy_vec3 gravity) {
  sy_loadmap map;
  sy_error err;
  if (sy_loadmap_make(v, gravity, &map, &err) != SY_OK) fail_msg("%s: %s", err.field, err.message);
  return map;
}

/* The three balances and the cross weight as four equations. */
static void four_wheels_carry_what_four_equations_give(void **state) {
  (void)state;
  dice d = {41};
  for (int n = 0; n < 300; n++) {
    const sy_vehicle v = unlike_vehicle(&d, 2);
    const sy_vec3 cg = cg_of(&d, &v), gravity = {dice_between(&d, -2, 2), dice_between(&d, -3, 3), -9.3};
    const sy_loadmap map = map_of(&v, gravity);
    assert_int_equal(map.split, SY_SPLIT_CROSS_SHARE);
    const double m = dice_between(&d, 300, 1500), weight = -m * gravity.z;
    double a[8][8] = {{0}}, b[8], want[8], load[SY_MAX_WHEELS];
    for (int i = 0; i < 4; i++)
      a[0][i] = 1, a[1][i] = v.wheel[i].x, a[2][i] = v.wheel[i].y, a[3][i] = i == 1 || i == 2;
    b[0] = weight;
    b[1] = weight * (cg.x - cg.z * gravity.x / gravity.z);
    b[2] = weight * (cg.y - cg.z * gravity.y / gravity.z);
    b[3] = weight * v.cross_share;
    solve_plainly(4, a, b, want);
    sy_loadmap_apply(&map, (const double[4]){m, m * cg.x, m * cg.y, m * cg.z}, load);
    /* two eliminations of four equations with numbers up to 4: some hundred roundings */
    for (int i = 0; i < 4; i++) assert_near(load[i], want[i], 500 * DBL_EPSILON * weight);
  }
}

/* One wheel a little off its place: the loads go over into those of equal sides, which are worked out by another formula. */
static void nearly_equal_sides_carry_what_equal_ones_do(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  for (int a = 0; a < 2; a++) {
    sy_axle axle = sy_axle_default();
    sy_wheel w = sy_wheel_default();
    axle.x = -2.35 * a, w.loaded_radius = 0.3;
    sy_vehicle_add_axle(&v, axle, a == 0 ? 1.45 : 1.61, w);
  }
  v.cross_share = 0.47;
  const double m = 713.7, q[4] = {m, m * -1.137, m * -0.081, m * 0.462}, off = 1e-7;
  double equal[SY_MAX_WHEELS], unlike[SY_MAX_WHEELS], way[4], other[4];
  const sy_loadmap map = map_of(&v, LEVEL);
  sy_loadmap_apply(&map, q, equal);
  sy_loadmap_warp(&map, way);
  for (int i = 0; i < 4; i++) {
    sy_vehicle moved = v;
    moved.wheel[i].y += off;
    const sy_loadmap near = map_of(&moved, LEVEL);
    sy_loadmap_apply(&near, q, unlike);
    sy_loadmap_warp(&near, other);
    for (int k = 0; k < 4; k++) { /* a few kN on a track of 1.5 m change by some kN/m */
      assert_near(unlike[k], equal[k], 1e4 * off);
      assert_near(other[k], way[k], 2 * off);
    }
  }
}

/* The warp alone passes unseen by scales that weigh the whole: no force, no moment; it makes what a cross weight makes. */
static void warp_changes_the_cross_share_and_no_sum(void **state) {
  (void)state;
  dice d = {43};
  for (int n = 0; n < 100; n++) {
    sy_vehicle v = unlike_vehicle(&d, 2);
    const sy_vec3 cg = cg_of(&d, &v);
    const double m = dice_between(&d, 300, 1500), q[4] = {m, m * cg.x, m * cg.y, m * cg.z}, by = 0.03;
    double way[4], before[SY_MAX_WHEELS], after[SY_MAX_WHEELS], sum = 0, about_y = 0, about_x = 0;
    const sy_loadmap map = map_of(&v, LEVEL);
    sy_loadmap_warp(&map, way);
    sy_loadmap_apply(&map, q, before);
    v.cross_share += by;
    const sy_loadmap other = map_of(&v, LEVEL);
    sy_loadmap_apply(&other, q, after);
    for (int i = 0; i < 4; i++) {
      sum += way[i], about_y += way[i] * v.wheel[i].x, about_x += way[i] * v.wheel[i].y;
      assert_near(after[i] - before[i], way[i] * by * m * G, 1000 * DBL_EPSILON * m * G);
    }
    assert_near(sum, 0, 32 * DBL_EPSILON);
    assert_near(about_y, 0, 128 * DBL_EPSILON);
    assert_near(about_x, 0, 32 * DBL_EPSILON);
    assert_near(way[1] + way[2], 1, 16 * DBL_EPSILON);
  }
}

/* Every answer of a balance against the same vehicle with a little more and less of a cross weight. */
static void balance_follows_the_cross_share(void **state) {
  (void)state;
  dice d = {47};
  for (int n = 0; n < 100; n++) {
    const sy_vehicle v = unlike_vehicle(&d, 2);
    const sy_vec3 cg = cg_of(&d, &v);
    const lump body = {dice_between(&d, 300, 1500), cg.x, cg.y, cg.z, SY_CARRIER_BODY};
    const sy_totals t = totals_of(&body, 1);
    const double step = 1e-4;
    sy_balance b[3];
    for (int k = 0; k < 3; k++) {
      sy_vehicle other = v;
      other.cross_share += step * (k - 1);
      const sy_loadmap map = map_of(&other, LEVEL);
      assert_int_equal(sy_balance_make(&t, &other, &map, &b[k], NULL), SY_OK);
    }
    for (int k = 0; k < SY_ANSWER_COUNT; k++) {
      const sy_answer answer = (sy_answer)k;
      if (isnan(b[1].value[k])) continue;
      const double by = sy_balance_by_cross(&b[1], answer),
                   want = (b[2].value[k] - b[0].value[k]) / (2 * step);
      /* rounding of the difference, and for the ratio the third derivative, 6/(1 - c)^4 < 180, times step^2 / 6 */
      const double tol = 1000 * DBL_EPSILON * fabs(b[1].value[k]) / step + 30 * step * step;
      assert_near(by, want, fmax(tol, k >= SY_ANSWER_AXLE ? 1e-8 * body.mass * G : 0));
    }
    /* axles askew: the front axle feels it, unlike that of a vehicle with equal sides */
    assert_true(fabs(sy_balance_by_cross(&b[1], SY_ANSWER_FRONT)) > 1e-4 * body.mass * G);
  }
}

/* The diagonals point the same way: RF - LR = 3/2 (LF - RR), so the warp leaves the cross weight alone. */
static void parallel_diagonals_are_refused(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  sy_axle axle = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  axle.x = 0, w.loaded_radius = 0.3;
  sy_vehicle_add_axle(&v, axle, 0.25, w);
  axle.x = -2.5;
  sy_vehicle_add_axle(&v, axle, 0.25, w);
  v.wheel[2].x = -3, v.wheel[2].y = 2.5;
  v.wheel[3].x = -2, v.wheel[3].y = 1.875;
  sy_loadmap map;
  sy_error err;
  assert_int_equal(sy_loadmap_make(&v, LEVEL, &map, &err), SY_GEOMETRY);
  assert_string_equal(err.field, "cross_share");
  v.wheel[2].y = 2.4; /* no longer quite parallel */
  assert_int_equal(sy_loadmap_make(&v, LEVEL, &map, &err), SY_OK);
}

/* All wheels on equal tyres on a table: heave, pitch and roll from three equations, then the wheel that comes to nothing first. */
static void wheel_lift_off_on_equal_tyres_is_a_plane_fit(void **state) {
  (void)state;
  dice d = {53};
  for (int n = 0; n < 200; n++) {
    const sy_vehicle v = unlike_vehicle(&d, n % 2 == 0 ? 2 : 3);
    const int wheels = 2 * v.axle_count;
    double level[SY_MAX_WHEELS], total = 0;
    for (int i = 0; i < wheels; i++) total += level[i] = dice_between(&d, 800, 3000);
    const double height = dice_between(&d, 0.4, 0.9);
    double a[8][8] = {{0}}, b[8] = {0, 0, total * height}, pose[8];
    for (int i = 0; i < wheels; i++) {
      const double row[3] = {1, v.wheel[i].x, v.wheel[i].y};
      for (int r = 0; r < 3; r++)
        for (int c = 0; c < 3; c++) a[r][c] += row[r] * row[c];
    }
    solve_plainly(3, a, b, pose);
    for (int side = -1; side <= 1; side += 2) {
      double want = (double)INFINITY;
      int lifts = -1, found = -1;
      for (int i = 0; i < wheels; i++) {
        const double gain = side * (pose[0] + pose[1] * v.wheel[i].x + pose[2] * v.wheel[i].y);
        if (gain < 0 && level[i] / -gain < want) want = level[i] / -gain, lifts = i;
      }
      assert_near(sy_stability_lift_off(&v, level, height, side, &found), want, 1e-11 * want);
      assert_int_equal(found, lifts);
    }
  }
}

/* ---- on springs ------------------------------------------------------------------------------------------------------------ */

/* A rigid body on ride rates: more mass on board changes loads by -k (z + roll y - pitch x) from three equations. */
static void added_mass_sinks_a_plane_on_ride_rates(void **state) {
  (void)state;
  dice d = {59};
  for (int n = 0; n < 100; n++) {
    const sy_vehicle v = unlike_vehicle(&d, 2 + n % 3);
    const int wheels = 2 * v.axle_count;
    const sy_vec3 cg = cg_of(&d, &v), place = cg_of(&d, &v);
    const double more = dice_between(&d, 5, 30);
    const lump list[2] = {{dice_between(&d, 900, 1500), cg.x, cg.y, cg.z, SY_CARRIER_BODY},
                          {more, place.x, place.y, place.z, SY_CARRIER_BODY}};
    const sy_totals drawn = totals_of(list, 1), now = totals_of(list, 2);
    const sy_corner_model m = corner_of(&v, &drawn);
    const sy_corner_setting none = {.bars = false};
    sy_corner_load load;
    sy_corner_result r;
    assert_int_equal(sy_corner_load_of(&now, &v, LEVEL, &load, NULL), SY_OK);
    assert_int_equal(sy_corner_solve(&m, &load, &none, &r, NULL), SY_OK);
    double a[8][8] = {{0}}, pose[8], rate[SY_MAX_WHEELS];
    double b[8] = {-more * G, more * G * place.x, -more * G * place.y};
    for (int i = 0; i < wheels; i++) {
      const sy_wheel *w = &v.wheel[i];
      const double wheel = w->spring_rate * w->motion_ratio * w->motion_ratio, row[3] = {1, -w->x, w->y};
      rate[i] = 1 / (1 / wheel + 1 / w->tyre_rate);
      for (int p = 0; p < 3; p++)
        for (int c = 0; c < 3; c++) a[p][c] += rate[i] * row[p] * row[c];
    }
    solve_plainly(3, a, b, pose);
    for (int i = 0; i < wheels; i++) {
      const double rise = pose[0] - pose[1] * v.wheel[i].x + pose[2] * v.wheel[i].y;
      assert_near(r.height[i], rise, 1e-12);
      assert_near(r.load[i], m.drawn[i] - rate[i] * rise,
                  1e-9 * more * G); /* of loads ten to a hundred times as large */
    }
  }
}

/* Perches turned for a cross weight with the heights held: loads change along the warp and no other way, by what was asked; the body stands
** as high at both axle lines as before and rolls as before in the mean of both ends. */
static void perches_move_loads_along_the_warp(void **state) {
  (void)state;
  dice d = {73};
  for (int n = 0; n < 60; n++) {
    sy_vehicle v = unlike_vehicle(&d, 2);
    for (int i = 0; i < 4; i++) v.wheel[i].perch_pitch = dice_between(&d, 1e-3, 2e-3);
    if (n % 2 == 0) v.torsion = dice_between(&d, 1e5, 1e6);
    const sy_vec3 cg = cg_of(&d, &v);
    const lump body = {dice_between(&d, 700, 1500), cg.x, cg.y, cg.z, SY_CARRIER_BODY};
    const sy_totals t = totals_of(&body, 1);
    const sy_corner_model m = corner_of(&v, &t);
    const sy_loadmap map = map_of(&v, LEVEL);
    const sy_corner_setting none = {.bars = false};
    const sy_perch_ask ask = {.hold = SY_HOLD_HEIGHTS, .cross = true, .cross_share = v.cross_share + 0.01};
    sy_perch_answer a;
    sy_error err;
    double way[4];
    if (sy_perches_find(&m, &m.drawn_load, &none, &ask, &a, &err) != SY_OK) fail_msg("%s", err.message);
    sy_loadmap_warp(&map, way);
    const double weight = body.mass * G;
    for (int i = 0; i < 4; i++)
      assert_near(a.at_exact.load[i] - a.before.load[i], way[i] * 0.01 * weight, 1e-10 * weight);
    for (int axle = 0; axle < 2; axle++)
      assert_near(a.at_exact.pose[0] - v.axle[axle].x * a.at_exact.pose[1], 0, 1e-11);
    assert_near(a.at_exact.pose[2] + a.at_exact.pose[3], 0, 1e-11);
    /* a turn is that wheel's own pitch */
    sy_corner_setting turned = none;
    sy_corner_result r;
    for (int i = 0; i < 4; i++) turned.perch[i] = a.exact[i] * v.wheel[i].perch_pitch;
    assert_int_equal(sy_corner_solve(&m, &m.drawn_load, &turned, &r, NULL), SY_OK);
    for (int i = 0; i < 4; i++) assert_near(r.load[i], a.at_exact.load[i], 1e-10 * weight);
  }
}

/* One wheel of an otherwise even car ends at 4 mm of bump, the one behind it at 3 mm of droop, under twice and half the weight. */
static void stops_are_each_wheels_own(void **state) {
  (void)state;
  sy_vehicle v = sy_vehicle_default();
  for (int a = 0; a < 2; a++) {
    sy_axle axle = sy_axle_default();
    sy_wheel w = sy_wheel_default();
    axle.x = -2.4 * a;
    w.loaded_radius = 0.3, w.spring_rate = 40e3, w.tyre_rate = 200e3;
    sy_vehicle_add_axle(&v, axle, 1.4, w);
  }
  v.wheel[1].bump = 0.004, v.wheel[3].droop = 0.003;
  lump body = {800, -1.2, 0, 0.5, SY_CARRIER_BODY};
  const sy_totals drawn = totals_of(&body, 1);
  const sy_corner_model m = corner_of(&v, &drawn);
  const sy_corner_setting none = {.bars = false};
  for (int heavy = 0; heavy < 2; heavy++) {
    sy_corner_load load;
    sy_corner_result r;
    body.mass = heavy ? 1600 : 400;
    const sy_totals now = totals_of(&body, 1);
    assert_int_equal(sy_corner_load_of(&now, &v, LEVEL, &load, NULL), SY_OK);
    assert_int_equal(sy_corner_solve(&m, &load, &none, &r, NULL), SY_OK);
    for (int i = 0; i < 4; i++) {
      const bool stopped = i == (heavy ? 1 : 3);
      assert_int_equal(r.fits[i].stop, stopped ? (heavy ? 1 : -1) : 0);
      if (stopped)
        assert_near(r.travel[i], heavy ? 0.004 : -0.003, 0);
      else
        assert_true(fabs(r.travel[i]) > 0.01);
    }
  }
}

/* A part that two unlike wheels carry: by the lever between their own places across, and the roll moment it leaves in the chassis is that of
** those two weights where the wheels stand. */
static void unsprung_part_lies_on_its_wheels(void **state) {
  (void)state;
  dice d = {61};
  for (int n = 0; n < 100; n++) {
    const sy_vehicle v = unlike_vehicle(&d, 2);
    const lump part = {dice_between(&d, 20, 60), v.axle[1].x, dice_between(&d, -0.3, 0.3), 0.3,
                       SY_CARRIER_AXLE + 1};
    const sy_totals t = totals_of(&part, 1);
    sy_corner_load load;
    assert_int_equal(sy_corner_load_of(&t, &v, LEVEL, &load, NULL), SY_OK);
    const sy_wheel *left = &v.wheel[2], *right = &v.wheel[3];
    const double weight = part.mass * G, track = left->y - right->y;
    assert_near(load.wheel[2], weight * (part.y - right->y) / track, 16 * DBL_EPSILON * weight);
    assert_near(load.wheel[3], weight * (left->y - part.y) / track, 16 * DBL_EPSILON * weight);
    const double last = v.axle[1].x, length = v.axle[0].x - last;
    const double front = load.wheel[2] * left->y * (left->x - last) / length +
                         load.wheel[3] * right->y * (right->x - last) / length;
    assert_near(load.body[0], weight, 4 * DBL_EPSILON * weight);
    assert_near(load.body[1], -weight * part.x, 4 * DBL_EPSILON * weight);
    assert_near(load.body[2], front, 32 * DBL_EPSILON * weight);
    assert_near(load.body[2] + load.body[3], weight * part.y, 8 * DBL_EPSILON * weight);
    /* a part of one wheel alone leans on the chassis where that wheel is */
    const lump hub = {part.mass, right->x, right->y, 0.3, SY_CARRIER_WHEEL + 3};
    const sy_totals own = totals_of(&hub, 1);
    assert_int_equal(sy_corner_load_of(&own, &v, LEVEL, &load, NULL), SY_OK);
    assert_near(load.wheel[3], weight, 4 * DBL_EPSILON * weight);
    assert_near(load.body[2], weight * right->y * (right->x - last) / length, 16 * DBL_EPSILON * weight);
  }
}

/* Soft springs under a weight so high that one more millimetre would let it go over: heave, pitch and roll by three equations with what the
** leaning weight takes, which lose their one solution where the determinant goes through 0. */
static void weight_too_high_for_unlike_springs_is_refused(void **state) {
  (void)state;
  dice d = {67};
  for (int n = 0; n < 50; n++) {
    sy_vehicle v = unlike_vehicle(&d, 2);
    for (int i = 0; i < 2; i++)
      v.axle[i].roll_centre = 0.04 + 0.05 * i, v.axle[i].bar_rate = dice_between(&d, 0, 9e3);
    const double last = v.axle[1].x, length = v.axle[0].x - last, mass = dice_between(&d, 500, 900);
    const sy_vec3 cg = cg_of(&d, &v);
    /* k of the body by heave, pitch and roll, springs with the bar against tyres: each axle's own two equations for its wheels */
    double k[3][3] = {{0}};
    for (int a = 0; a < 2; a++) {
      const double share = (a == 0 ? cg.x - last : v.axle[0].x - cg.x) / length;
      const double under = mass * share * v.axle[a].roll_centre * G; /* leans with the tyres alone */
      const sy_wheel *w = &v.wheel[2 * a];
      const double track = w[0].y - w[1].y, bar = v.axle[a].bar_rate;
      double s[2];
      for (int i = 0; i < 2; i++) s[i] = w[i].spring_rate * w[i].motion_ratio * w[i].motion_ratio;
      for (int c = 0; c < 3;
           c++) { /* body moved by one unit of a freedom: heights h, wheels z, and the forces on the body */
        double h[2], z[8], eq[8][8] = {{0}}, right[8];
        for (int i = 0; i < 2; i++) h[i] = c == 0 ? 1 : c == 1 ? -w[i].x : w[i].y;
        const double lean = under / (track * track);
        for (int i = 0; i < 2; i++) {
          eq[i][i] = s[i] + bar + w[i].tyre_rate - lean;
          eq[i][1 - i] = lean - bar;
          right[i] = s[i] * h[i] + bar * (h[i] - h[1 - i]);
        }
        solve_plainly(2, eq, right, z);
        for (int i = 0; i < 2; i++) {
          const double force = s[i] * (h[i] - z[i]) + bar * ((h[i] - z[i]) - (h[1 - i] - z[1 - i]));
          const double row[3] = {1, -w[i].x, w[i].y};
          for (int p = 0; p < 3; p++) k[p][c] += force * row[p];
        }
      }
    }
    const double heave_pitch = k[0][0] * k[1][1] - k[0][1] * k[1][0];
    const double determinant = k[2][0] * (k[0][1] * k[1][2] - k[0][2] * k[1][1]) -
                               k[2][1] * (k[0][0] * k[1][2] - k[0][2] * k[1][0]) + k[2][2] * heave_pitch;
    const double roll = determinant / heave_pitch; /* N m/rad, free to rise and pitch */
    const double axis =
        (v.axle[0].roll_centre * (cg.x - last) + v.axle[1].roll_centre * (v.axle[0].x - cg.x)) / length;
    const double most = axis + roll / (mass * G);
    for (int side = -1; side <= 1; side += 2) {
      const lump body = {mass, cg.x, cg.y, most * (1 + side * 1e-6), SY_CARRIER_BODY};
      const sy_totals t = totals_of(&body, 1);
      const sy_corner_model m = corner_of(&v, &t);
      sy_transfer_model out;
      sy_error err;
      assert_int_equal(sy_transfer_make(&m, &t, NULL, true, &out, &err), side < 0 ? SY_OK : SY_GEOMETRY);
      if (side > 0) assert_string_equal(err.field, "spring_rate");
    }
  }
}

/* Cornering and braking: weight, and moments about the ground of what was pushed and of what has leaned, by hand. */
static void pushed_loads_balance(void **state) {
  (void)state;
  dice d = {71};
  for (int n = 0; n < 50; n++) {
    sy_vehicle v = unlike_vehicle(&d, 2);
    for (int i = 0; i < 2; i++) v.axle[i].bar_rate = dice_between(&d, 0, 9e3);
    if (n % 2 == 0) v.torsion = dice_between(&d, 1e5, 1e6);
    const sy_vec3 cg = cg_of(&d, &v);
    const lump body = {dice_between(&d, 700, 1100), cg.x, cg.y, cg.z, SY_CARRIER_BODY};
    const sy_totals t = totals_of(&body, 1);
    const sy_corner_model m = corner_of(&v, &t);
    sy_transfer_model car;
    sy_corner_result r;
    assert_int_equal(sy_transfer_make(&m, &t, NULL, true, &car, NULL), SY_OK);
    const double forward = 0.3, left = -0.3, weight = body.mass * G;
    assert_int_equal(sy_transfer_solve(&car, (sy_vec3){forward * G, left * G, -G}, &r, NULL), SY_OK);
    double sum = 0, about_y = 0, about_x = 0;
    for (int i = 0; i < 4; i++) {
      assert_true(r.fits[i].touches);
      sum += r.load[i], about_y += r.load[i] * v.wheel[i].x, about_x += r.load[i] * v.wheel[i].y;
    }
    const double near = (cg.x - v.axle[1].x) / (v.axle[0].x - v.axle[1].x);
    const double roll = near * r.pose[2] + (1 - near) * r.pose[3];
    assert_near(sum, weight, 1e-11 * weight);
    assert_near(about_y, weight * (cg.x + forward * cg.z), 1e-11 * weight * 4);
    assert_near(about_x, weight * (cg.y + left * cg.z - cg.z * roll),
                1e-10 * weight); /* lean found by repetition */
  }
}

/* A body that pitches lifts the wheel that stands behind over the one ahead; that is no roll, so no weight leans with it. Links past the springs
** load wheels off the axle line, and the chassis between the springs feels no twist of it: what their couple takes of the body's roll by halves
** is what the two loads make there, +-couple / track at y with the nearness of each wheel. */
static void links_and_pitch_twist_nothing(void **state) {
  (void)state;
  dice d = {73};
  for (int n = 0; n < 50; n++) {
    sy_vehicle v = unlike_vehicle(&d, 2);
    v.axle[0].roll_centre = 0.05, v.axle[1].roll_centre = 0.11;
    const sy_wheel *w = v.wheel;
    const double x[2] = {v.axle[0].x, v.axle[1].x}, length = x[0] - x[1];
    /* a sprung mass over each axle line, at its roll centre: nothing of a sideways force is left for the springs */
    const lump list[] = {{dice_between(&d, 300, 500), x[0], 0.02, 0.05, SY_CARRIER_BODY},
                         {dice_between(&d, 300, 500), x[1], -0.01, 0.11, SY_CARRIER_BODY},
                         {dice_between(&d, 20, 40), w[0].x, w[0].y, 0.3, SY_CARRIER_WHEEL},
                         {dice_between(&d, 20, 40), w[1].x, w[1].y, 0.28, SY_CARRIER_WHEEL + 1},
                         {dice_between(&d, 40, 70), x[1], 0.0, 0.31, SY_CARRIER_AXLE + 1}};
    const sy_totals t = totals_of(list, 5);
    const double pull = 0.5 * G, size = t.all.m * G;
    sy_corner_load level, pushed;
    assert_int_equal(sy_corner_load_of(&t, &v, LEVEL, &level, NULL), SY_OK);
    assert_int_equal(sy_corner_load_of(&t, &v, (sy_vec3){0, pull, -G}, &pushed, NULL), SY_OK);
    double halves[2] = {0, 0};
    for (int i = 0; i < 4; i++) {
      const double track = sy_vehicle_track(&v, i / 2), near = (w[i].x - x[1]) / length;
      const double load = (i % 2 == 0 ? 1 : -1) * pushed.couple[i / 2] / track;
      halves[0] += load * w[i].y * near, halves[1] += load * w[i].y * (1 - near);
    }
    for (int k = 0; k < 2; k++)
      assert_near(pushed.body[2 + k] - level.body[2 + k], halves[k], 64 * DBL_EPSILON * size);
    assert_near(pushed.couple[0], pull * (list[0].mass * 0.05 + list[2].mass * 0.3 + list[3].mass * 0.28),
                16 * DBL_EPSILON * size);

    sy_transfer_model car = {.corner = corner_of(&v, &t)};
    sy_corner_result r = {.pose = {0.01, dice_between(&d, -0.02, 0.02), 0, 0}};
    for (int i = 0; i < 4; i++) r.height[i] = r.pose[0] - r.pose[1] * w[i].x;
    for (int a = 0; a < 2; a++) assert_near(sy_transfer_hub_roll(&car, &r, a), 0, 16 * DBL_EPSILON);
  }
}

/* What the first axle carries of a vehicle pushed by `forward` times its weight (braking positive), as of the whole. */
static double first_carries(const sy_vehicle *v, sy_vec3 cg, double forward) {
  const double q[4] = {1, cg.x, cg.y, cg.z};
  double load[SY_MAX_WHEELS];
  sy_loadmap map;
  sy_error err;
  assert_int_equal(sy_loadmap_make(v, (sy_vec3){forward * G, 0, -G}, &map, &err), SY_OK);
  sy_loadmap_apply(&map, q, load);
  return (load[0] + load[1]) / G;
}

/* Traction and locking where wheels stand off their axle lines: at each limit an axle's force is mu times what it carries, by the loads
** under a leaning weight. */
static void grip_ends_where_the_axle_carries_no_more(void **state) {
  (void)state;
  dice d = {41};
  const double none[SY_MAX_AXLES] = {0};
  for (int n = 0; n < 200; n++) {
    const sy_vehicle v = unlike_vehicle(&d, 2);
    const double x[2] = {v.axle[1].x, v.axle[0].x};
    const sy_vec3 cg = {x[0] + dice_between(&d, 0.35, 0.65) * (x[1] - x[0]), dice_between(&d, -0.1, 0.1),
                        dice_between(&d, 0.25, 0.6)};
    const double mu = dice_between(&d, 0.3, 1), share = dice_between(&d, 0.3, 0.8);
    sy_loadmap map;
    sy_error err;
    assert_int_equal(sy_loadmap_make(&v, LEVEL, &map, &err), SY_OK);
    const sy_between at = sy_stability_between(&v, &map, 700, cg, none);
    const sy_traction t = sy_stability_traction(at, mu);
    const sy_split_traction s = sy_stability_split_traction(at, mu, share);
    const sy_braking z = sy_stability_braking(at, mu, share);
    const double tol = 1e-12;
    assert_near(t.front, mu * first_carries(&v, cg, -t.front), tol);
    if (t.rear < at.b / at.height) assert_near(t.rear, mu * (1 - first_carries(&v, cg, -t.rear)), tol);
    assert_near(share * s.front_slips, mu * first_carries(&v, cg, -s.front_slips), tol);
    assert_near(first_carries(&v, cg, -s.lifts), 0, tol);
    assert_near((1 - share) * z.rear_locks, mu * (1 - first_carries(&v, cg, z.rear_locks)), tol);
    assert_near(sy_stability_ideal_brake(at, mu), first_carries(&v, cg, mu), tol);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(grip_ends_where_the_axle_carries_no_more),
      cmocka_unit_test(four_wheels_carry_what_four_equations_give),
      cmocka_unit_test(nearly_equal_sides_carry_what_equal_ones_do),
      cmocka_unit_test(warp_changes_the_cross_share_and_no_sum),
      cmocka_unit_test(balance_follows_the_cross_share),
      cmocka_unit_test(parallel_diagonals_are_refused),
      cmocka_unit_test(wheel_lift_off_on_equal_tyres_is_a_plane_fit),
      cmocka_unit_test(added_mass_sinks_a_plane_on_ride_rates),
      cmocka_unit_test(perches_move_loads_along_the_warp),
      cmocka_unit_test(stops_are_each_wheels_own),
      cmocka_unit_test(unsprung_part_lies_on_its_wheels),
      cmocka_unit_test(weight_too_high_for_unlike_springs_is_refused),
      cmocka_unit_test(pushed_loads_balance),
      cmocka_unit_test(links_and_pitch_twist_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
