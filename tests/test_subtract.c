#include "measure/subtract.h"

#include <string.h>

#include "dice.h"
#include "near.h"

static dice thrown = {4712};
static double any(double low, double high) { return dice_between(&thrown, low, high); }

static sy_weighed exact(sy_massprops body, bool without) {
  return (sy_weighed){.body = body, .without = without};
}

/* J. P. Meijaard, J. M. Papadopoulos, A. Ruina, A. L. Schwab, Linearized dynamics equations for the balance and steer of a bicycle,
** Proc. R. Soc. A 463 (2007), table 1 and eq. 5.4: the benchmark bicycle, x forward, z down. Its four bodies together weigh 94 kg and
** have 80.81722 kg m2 about the ground line (entry of M) and sum m z = -80.95 kg m (entry of K0). Less three of the bodies the fork is
** left: 4 kg at (0.9, -0.7), 0.05892 kg m2. Tolerance: half a last digit of 80.81722, and rounding. */
static void benchmark_bicycle_less_three_bodies_leaves_its_fork(void **state) {
  (void)state;
  const double z = -80.95 / 94, x = (2 * 0.0 + 85 * 0.3 + 4 * 0.9 + 3 * 1.02) / 94;
  const sy_sym3 none = {0, 0, 0, 0, 0, 0};
  sy_weighed bodies[4] = {exact((sy_massprops){94, {x, 0, z}, none}, false),
                          exact((sy_massprops){2, {0, 0, -0.3}, none}, true),
                          exact((sy_massprops){85, {0.3, 0, -0.9}, none}, true),
                          exact((sy_massprops){3, {1.02, 0, -0.35}, none}, true)};
  bodies[0].body.inertia =
      (sy_sym3){80.81722 - 94 * z * z, 300, 300, 0, 0, 0}; /* yy and zz large enough for any body */
  bodies[1].body.inertia.xx = 0.0603, bodies[2].body.inertia.xx = 9.2, bodies[3].body.inertia.xx = 0.1405;
  sy_weighed rest;
  assert_int_equal(sy_subtract(bodies, 4, false, &rest, NULL), SY_OK);
  assert_near(rest.body.mass, 4, 1e-13);
  assert_near(rest.body.cg.x, 0.9, 1e-13);
  assert_near(rest.body.cg.z, -0.7, 1e-12);
  assert_true(isnan(rest.body.inertia.xx));
  /* the products and zz of the whole are not published: those of the fork are made equal to its xx, so that a body is left */
  sy_sym3 j = none;
  for (int i = 1; i < 4; i++) {
    const sy_vec3 d = sy_vec3_sub(bodies[i].body.cg, bodies[0].body.cg);
    j = sy_sym3_add(j, sy_sym3_scale(bodies[i].body.mass, sy_sym3_steiner(d)));
  }
  const sy_vec3 d = sy_vec3_sub((sy_vec3){0.9, 0, -0.7}, bodies[0].body.cg);
  j = sy_sym3_add(j, sy_sym3_scale(4, sy_sym3_steiner(d)));
  bodies[0].body.inertia = (sy_sym3){80.81722 - 94 * z * z, j.yy + 0.05892, j.zz + 0.05892, j.xy, j.xz, j.yz};
  assert_int_equal(sy_subtract(bodies, 4, true, &rest, NULL), SY_OK);
  assert_near(rest.body.inertia.xx, 0.05892, 0.5e-5 + 1e-12);
}

static sy_massprops random_body(void) {
  const double a = any(0.1, 0.5), b = any(0.1, 0.5), c = any(0.1, 0.5), m = any(3, 90);
  return (sy_massprops){
      m, {any(-2, 2), any(-1, 1), any(0, 1)}, {m * (b + c), m * (a + c), m * (a + b), 0.01, -0.02, 0.03}};
}

static void what_was_joined_comes_apart_again(void **state) {
  (void)state;
  for (int n = 0; n < 200; n++) {
    const sy_massprops parts[2] = {random_body(), random_body()};
    sy_massprops whole;
    assert_int_equal(sy_massprops_combine(parts, 2, &whole, NULL), SY_OK);
    const sy_weighed bodies[2] = {exact(whole, false), exact(parts[1], true)};
    sy_weighed rest;
    assert_int_equal(sy_subtract(bodies, 2, true, &rest, NULL), SY_OK);
    assert_near(rest.body.mass, parts[0].mass, 1e-13 * whole.mass);
    assert_near(rest.body.cg.x, parts[0].cg.x, 1e-13 * whole.mass / parts[0].mass);
    assert_near(rest.body.inertia.yy, parts[0].inertia.yy, 1e-12 * whole.inertia.yy);
    assert_near(rest.body.inertia.xz, parts[0].inertia.xz, 1e-12 * whole.inertia.yy);
    assert_near(rest.mass_sd + rest.cg_sd.z + rest.inertia_sd.xy, 0, 0);
  }
}

/* Loads of wheels are bodies as well: taken at their places they say mass and cg like the whole car does. */
static void wheel_loads_do_as_well_as_a_whole(void **state) {
  (void)state;
  sy_weighed pads[8];
  const double with[4] = {151.3, 148.9, 213.7, 219.2}, without[4] = {150.1, 143.6, 209.2, 208.7};
  static const double x[4] = {0, 0, -2.4, -2.4}, y[4] = {0.72, -0.72, 0.73, -0.73};
  double mass = 0, mx = 0, my = 0;
  for (int i = 0; i < 8; i++) {
    const double load = i < 4 ? with[i] : without[i - 4];
    pads[i] = exact((sy_massprops){load, {x[i % 4], y[i % 4], (double)NAN}, {0, 0, 0, 0, 0, 0}}, i >= 4);
    pads[i].mass_sd = 0.1;
    const double m = i < 4 ? load : -load;
    mass += m, mx += m * x[i % 4], my += m * y[i % 4];
  }
  sy_weighed rest;
  assert_int_equal(sy_subtract(pads, 8, false, &rest, NULL), SY_OK);
  assert_near(rest.body.mass, mass, 1e-12);
  assert_near(rest.body.cg.x, mx / mass, 1e-12);
  assert_near(rest.body.cg.y, my / mass, 1e-12);
  assert_true(isnan(rest.body.cg.z) && isnan(rest.cg_sd.z));
  assert_near(rest.mass_sd, 0.1 * sqrt(8), 1e-15);
}

static void refuse(sy_weighed *bodies, size_t count, bool with_inertia, sy_status status, const char *part,
                   const char *name) {
  sy_error err;
  sy_weighed rest = {.mass_sd = -7};
  assert_int_equal(sy_subtract(bodies, count, with_inertia, &rest, &err), status);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, name);
  assert_near(rest.mass_sd, -7, 0);
}

static void what_leaves_no_body_is_refused(void **state) {
  (void)state;
  const sy_massprops whole = {50, {0.1, 0.02, 0.03}, {3, 4, 5, 0, 0, 0}},
                     part = {40, {0.11, 0.01, 0.02}, {2, 3, 3.5, 0, 0, 0}};
  sy_weighed good[2] = {exact(whole, false), exact(part, true)}, b[2];
#define FRESH memcpy(b, good, sizeof b)
  FRESH, b[1].body.mass = 51;
  refuse(b, 2, false, SY_RANGE, "without", "mass");
  FRESH, b[1].body.mass = 50;
  refuse(b, 2, false, SY_RANGE, "without", "mass");
  FRESH, b[1].mass_sd = 5.2; /* 10 kg left, +- 10.2 */
  refuse(b, 2, false, SY_RANGE, "without", "mass");
  FRESH, b[0].body.mass = -1;
  refuse(b, 2, false, SY_RANGE, "whole", "mass");
  FRESH, b[0].mass_sd = (double)NAN;
  refuse(b, 2, false, SY_RANGE, "whole", "mass");
  FRESH, b[1].body.inertia.xx = 2.95;
  refuse(b, 2, true, SY_GEOMETRY, "without", "inertia");
  b[0].inertia_sd.xx = 0.5; /* now it may be */
  sy_weighed rest;
  assert_int_equal(sy_subtract(b, 2, true, &rest, NULL), SY_OK);
  FRESH, b[1].inertia_sd.yz = -1;
  refuse(b, 2, true, SY_RANGE, "without", "inertia");
  FRESH, b[1].body.cg.y = (double)NAN;
  refuse(b, 2, false, SY_MISSING, "without", "cg.y");
  refuse(b, 2, true, SY_RANGE, "without", "inertia");
  FRESH, b[0].body.cg.z = (double)INFINITY;
  refuse(b, 2, false, SY_RANGE, "whole", "cg.z");
  FRESH, b[0].cg_sd.x = -0.1;
  refuse(b, 2, false, SY_RANGE, "whole", "cg.x");
  refuse(b, 1, false, SY_MISSING, "without", "");
  refuse(b + 1, 1, false, SY_MISSING, "whole", "");
  refuse(b, 0, false, SY_MISSING, "whole", "");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(benchmark_bicycle_less_three_bodies_leaves_its_fork),
      cmocka_unit_test(what_was_joined_comes_apart_again),
      cmocka_unit_test(wheel_loads_do_as_well_as_a_whole),
      cmocka_unit_test(what_leaves_no_body_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
