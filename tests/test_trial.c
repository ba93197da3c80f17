/* One item moved by a trial against the same move made in a ledger, and against worked figures. */
#include "statics/trial.h"

#include <float.h>

#include "first_guess.h"
#include "ledger_tools.h"

#define G 9.80665

static sy_vehicle two_axles(double wheelbase, double front_track, double rear_track) {
  sy_vehicle v = sy_vehicle_default();
  for (int i = 0; i < 2; i++) {
    sy_axle a = sy_axle_default();
    sy_wheel w = sy_wheel_default();
    a.x = i == 0 ? 0 : -wheelbase;
    w.loaded_radius = 0.29;
    sy_vehicle_add_axle(&v, a, i == 0 ? front_track : rear_track, w);
  }
  return v;
}

static sy_loadmap map_of(const sy_vehicle *v, sy_vec3 gravity) {
  sy_loadmap map;
  sy_error err;
  must(sy_loadmap_make(v, gravity, &map, &err), &err);
  return map;
}

static sy_trial trial_of(const sy_ledger *ledger, sy_route route, sy_vec3 direction, const sy_loadmap *map) {
  const sy_totals car = totals_of(ledger);
  sy_totals item;
  sy_error err;
  must(sy_ledger_item_totals(ledger, &route, &item, &err), &err);
  return (sy_trial){car.all, item.all.m, item.all.first, direction, map};
}

static void trial_at_any_distance_is_the_moved_ledger(void **state) {
  (void)state;
  const sy_vehicle v = two_axles(2.4, 1.45, 1.46);
  const sy_loadmap map = map_of(&v, (sy_vec3){-0.3, 0.5, -G}); /* on a slope, so that z counts in the loads */
  for (uint64_t seed = 1; seed <= 100; seed++) {
    dice d = {seed};
    sy_ledger *ledger = random_ledger(&d, 15);
    sy_route routes[2048];
    const size_t count = all_routes(ledger, routes, 2048);
    const sy_route route = routes[dice_below(&d, count)];
    sy_item item;
    sy_error err;
    must(sy_ledger_item(ledger, &route, &item, &err), &err);
    const sy_vec3 any = {dice_between(&d, -1, 1), dice_between(&d, -1, 1), dice_between(&d, -1, 1)};
    const sy_vec3 direction = sy_vec3_scale(1 / sy_vec3_length(any), any);
    const sy_trial trial = trial_of(ledger, route, direction, &map);
    for (int step = -3; step <= 3 && item.aboard && trial.car.m > 0; step++) {
      const double distance = 0.07 * step;
      sy_trial_result got;
      sy_trial_at(&trial, distance, &got);
      sy_ledger *moved = NULL;
      must(sy_ledger_shift(ledger, &route, sy_vec3_scale(distance, direction), &moved, &err), &err);
      const sy_totals t = totals_of(moved);
      const sy_massprops want = sy_sums_body(&t.all);
      /* roundings of moments of the mass at up to 10 m; the ledger keeps lengths to a picometre */
      const double tol = 64 * DBL_EPSILON * t.all.m * 100 + trial.item_mass * 1e-11;
      assert_near(got.mass, want.mass, tol);
      assert_near(got.cg.x, want.cg.x, tol / t.all.m);
      assert_near(got.cg.y, want.cg.y, tol / t.all.m);
      assert_near(got.cg.z, want.cg.z, tol / t.all.m);
      assert_near(got.yaw_inertia, want.inertia.zz, tol);
      const double q[4] = {t.all.m, t.all.first.x, t.all.first.y, t.all.first.z};
      double load[SY_MAX_WHEELS];
      sy_loadmap_apply(&map, q, load);
      for (int i = 0; i < map.wheel_count; i++) assert_near(got.load[i], load[i], G * tol);
      sy_ledger_release(moved);
    }
    sy_ledger_release(ledger);
  }
}

static void trial_of_the_first_guess_s_engine_gives_the_worked_change(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess(NULL, 0, true);
  const sy_vehicle v = two_axles(FIRST_GUESS_WHEELBASE, 1.5, 1.48);
  const sy_loadmap map = map_of(&v, (sy_vec3){0, 0, -G});
  const sy_trial trial = trial_of(ledger, route1(FIRST_ENGINE), (sy_vec3){-1, 0, 0}, &map);
  sy_trial_result here, there;
  sy_trial_at(&trial, 0, &here);
  sy_trial_at(&trial, 0.05, &there);
  /* half a unit of the last printed digit */
  assert_near((here.load[0] + here.load[1]) / G, 327.31, 0.005);
  assert_near((there.load[0] + there.load[1] - here.load[0] - here.load[1]) / G, -3.4286, 0.00005);
  assert_near((there.load[0] + there.load[1]) / (there.mass * G), 0.42019, 0.000005);
  assert_near(here.yaw_inertia, 549.98, 0.005);
  assert_near((there.load[1] + there.load[2]) / (there.mass * G), 0.5,
              1e-14); /* the cross weight stays as set */
  sy_ledger_release(ledger);
}

/* m at x beside M at X: about the joint cg J = m M/(m + M) (x - X)^2, so moving m changes J along a parabola. */
static void trial_of_one_of_two_points_follows_the_reduced_mass(void **state) {
  (void)state;
  sy_ledger_builder *b = start_ledger(NULL);
  const sy_part big = point(78, -1.02, 0, 0.36), small = point(12, -0.6, 0.25, 0.25);
  add(b, "big", &big);
  add(b, "small", &small);
  sy_ledger *ledger = finish(b);
  const sy_vehicle v = two_axles(2.4, 1.45, 1.46);
  const sy_loadmap map = map_of(&v, (sy_vec3){0, 0, -G});
  const sy_trial trial = trial_of(ledger, route1(1), (sy_vec3){0.6, -0.8, 0}, &map);
  for (int step = -10; step <= 10; step++) {
    const double distance = 0.1 * step;
    const double dx = -0.6 + 0.6 * distance + 1.02, dy = 0.25 - 0.8 * distance;
    sy_trial_result got;
    sy_trial_at(&trial, distance, &got);
    /* second moments to 78 x 1.02^2 + 12 x 1.6^2 = 112 */
    assert_near(got.yaw_inertia, 12.0 * 78 / 90 * (dx * dx + dy * dy), 32 * DBL_EPSILON * 112);
  }
  sy_ledger_release(ledger);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(trial_at_any_distance_is_the_moved_ledger),
      cmocka_unit_test(trial_of_the_first_guess_s_engine_gives_the_worked_change),
      cmocka_unit_test(trial_of_one_of_two_points_follows_the_reduced_mass),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
