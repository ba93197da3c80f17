#include "shop/hoist.h"

#include <float.h>
#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"

static const double DEG = SY_DEGREE;

static sy_hang hung(const sy_sling *sling, sy_vec3 cg) {
  sy_hang h;
  sy_error err;
  if (sy_hang_make(sling, cg, &h, &err) != SY_OK) fail_msg("%s, %s: %s", err.part, err.field, err.message);
  return h;
}

/* Forces and moments about the cg balance: sum T e = up and sum T (P - c) x e = 0, for whatever legs carry. */
static void assert_balanced(const sy_sling *s, sy_vec3 cg, const sy_hang *h) {
  sy_vec3 force = {0, 0, 0}, moment = {0, 0, 0};
  double reach = 0;
  for (int i = 0; i < s->count; i++) {
    const sy_vec3 line = sy_vec3_sub(h->hook, s->point[i]);
    const sy_vec3 pull = sy_vec3_scale(h->tension[i] / sy_vec3_length(line), line);
    force = sy_vec3_add(force, pull);
    moment = sy_vec3_add(moment, sy_vec3_cross(sy_vec3_sub(s->point[i], cg), pull));
    reach = fmax(reach, sy_vec3_length(line));
    assert_true(h->tension[i] >= 0);
    assert_true(sy_vec3_length(line) <= s->length[i] * (1 + 3e-9)); /* TIGHT of hoist.c, thrice */
    if (h->slack[i]) assert_near(h->tension[i], 0, 0);
  }
  /* the lengths at a hook of three spheres carry rounding times their condition, here at most some hundreds */
  assert_near(sy_vec3_length(sy_vec3_sub(force, h->up)), 0, 1e-12);
  assert_near(sy_vec3_length(moment), 0, 1e-12 * reach);
}

/* One leg 30 mm behind a cg 240 mm below it: the nose goes down by atan(30 / 240) = 7.1250 degrees. */
static void one_leg_hangs_plumb_through_the_cg(void **state) {
  (void)state;
  const sy_sling s = {.count = 1, .point = {{-0.930, 0.011, 0.64}}, .length = {0.7}};
  const sy_hang h = hung(&s, (sy_vec3){-0.9, 0.011, 0.40});
  assert_near(h.pitch / DEG, 7.1250, 0.00005);
  assert_near(h.pitch, atan(30.0 / 240), 1e-14);
  assert_near(h.roll, 0, 1e-16);
  assert_near(h.tension[0], 1, 0);
  assert_near(h.angle[0], 0, 1e-15);
  assert_near(sy_vec3_length(sy_vec3_sub(h.hook, s.point[0])), 0.7, 1e-15);
}

/* A symmetrical two-leg sling: each leg carries W / (2 cos a), a from the upright: at 30, 45 and 60 degrees 0.5774, 0.7071 and
** 1.0000 of the weight. The tables of sling makers and OSHA 29 CFR 1910.184 are built on this (from memory); exact by statics. */
static void two_legs_share_by_the_cosine(void **state) {
  (void)state;
  static const double want[][2] = {{30, 0.5774}, {45, 0.7071}, {60, 1.0000}};
  for (size_t i = 0; i < 3; i++) {
    const double a = want[i][0] * DEG, half = 0.31;
    const sy_sling s = {.count = 2,
                        .point = {{half, 0.02, 0.1}, {-half, 0.02, 0.1}},
                        .length = {half / sin(a), half / sin(a)}};
    const sy_vec3 cg = {0, 0.02, -0.15};
    const sy_hang h = hung(&s, cg);
    for (int k = 0; k < 2; k++) {
      assert_near(h.tension[k], want[i][1], 0.00005);
      assert_near(h.angle[k], a, 1e-14);
    }
    assert_near(h.tilt, 0, 1e-14);
    assert_balanced(&s, cg, &h);
  }
}

/* Legs of 500 and 400 mm on points 500 apart, cg 200 ahead of the rear one and 300 below, 40 to the left: the hook is found on the
** drawing board as the corner of a triangle, the roll from the cg's offset: atan(40 / 300). */
static void two_legs_turn_until_the_cg_lies_in_their_plane(void **state) {
  (void)state;
  const sy_sling s = {.count = 2, .point = {{0, 0, 0}, {0.5, 0, 0}}, .length = {0.5, 0.4}};
  const sy_vec3 cg = {0.2, 0.04, -0.3};
  const sy_hang h = hung(&s, cg);
  const double x = (0.25 - 0.16 + 0.25) / (2 * 0.5), height = sqrt(0.25 - x * x), below = hypot(0.3, 0.04);
  assert_near(h.hook.x, x, 1e-15);
  assert_near(h.pitch, atan2(-(x - 0.2), height + below), 1e-15);
  assert_near(h.roll, atan2(-0.04, 0.3), 1e-14);
  assert_balanced(&s, cg, &h);
}

static void four_equal_legs_over_the_cg_share_evenly(void **state) {
  (void)state;
  const double a = 0.3, b = 0.2, l = 0.6;
  const sy_sling s = {
      .count = 4, .point = {{a, b, 0}, {a, -b, 0}, {-a, b, 0}, {-a, -b, 0}}, .length = {l, l, l, l}};
  const sy_vec3 cg = {0, 0, -0.25};
  const sy_hang h = hung(&s, cg);
  const double upright = sqrt(l * l - a * a - b * b) / l;
  for (int i = 0; i < 4; i++) assert_near(h.tension[i], 0.25 / upright, 1e-14);
  assert_true(h.shared);
  assert_balanced(&s, cg, &h);
}

/* 30 mm more on one leg and it hangs on the other three; a plate hung above its cg by one short leg hangs on that alone. */
static void a_long_leg_goes_slack(void **state) {
  (void)state;
  const double a = 0.3, b = 0.2, l = 0.6;
  sy_sling s = {
      .count = 4, .point = {{a, b, 0}, {a, -b, 0}, {-a, b, 0}, {-a, -b, 0}}, .length = {l, l, l, l + 0.03}};
  const sy_vec3 cg = {0.02, 0.01, -0.25};
  sy_hang h = hung(&s, cg);
  assert_true(h.slack[3]);
  assert_near(h.tension[3], 0, 0);
  assert_false(h.shared);
  assert_balanced(&s, cg, &h);
  const sy_sling one = {.count = 2, .point = {{0, 0, 0.1}, {0.2, 0, 0.1}}, .length = {0.3, 0.9}};
  h = hung(&one, (sy_vec3){0.05, 0.01, -0.3});
  assert_true(h.slack[1]);
  assert_near(h.tension[0], 1, 0);
}

/* A crate slung from below its cg on a wide base stays upright: of its two rests the nearer one counts. */
static void points_below_the_cg_hold_on_a_wide_base(void **state) {
  (void)state;
  const double a = 0.6, b = 0.5, l = 1.6;
  const sy_sling s = {
      .count = 4, .point = {{a, b, 0}, {a, -b, 0}, {-a, b, 0}, {-a, -b, 0}}, .length = {l, l, l, l}};
  const sy_hang h = hung(&s, (sy_vec3){0.03, -0.02, 0.2});
  assert_true(h.up.z > 0.99);
  /* two points below the cg do not: it turns over */
  const sy_sling two = {.count = 2, .point = {{a, 0, 0}, {-a, 0, 0}}, .length = {l, l}};
  assert_true(hung(&two, (sy_vec3){0.03, -0.02, 0.2}).up.z < 0);
}

/* Random slings from a hook as drawn: whatever comes out is in balance and within the legs. */
static void every_rest_is_in_balance(void **state) {
  (void)state;
  dice d = {12345};
  for (int run = 0; run < 300; run++) {
    sy_sling s = {.count = 1 + run % 4};
    const sy_vec3 cg = {dice_between(&d, -0.1, 0.1), dice_between(&d, -0.1, 0.1),
                        dice_between(&d, -0.4, -0.2)};
    for (int i = 0; i < s.count; i++) {
      s.point[i] = (sy_vec3){(i & 1 ? 0.3 : -0.3) + dice_between(&d, -0.1, 0.1),
                             (i & 2 ? 0.2 : -0.2) + dice_between(&d, -0.1, 0.1), dice_between(&d, 0, 0.1)};
      s.length[i] = dice_between(&d, 0.6, 0.8);
    }
    const sy_hang h = hung(&s, cg);
    assert_balanced(&s, cg, &h);
  }
}

static void expect(const sy_sling *s, sy_vec3 cg, sy_status want, const char *part, const char *field,
                   const char *says) {
  sy_hang h;
  sy_error err;
  memset(&h, 7, sizeof h);
  const sy_hang before = h;
  assert_int_equal(sy_hang_make(s, cg, &h, &err), want);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, field);
  if (strstr(err.message, says) == NULL) fail_msg("%s", err.message);
  assert_memory_equal(&h, &before, sizeof h);
}

static void slings_that_cannot_hold_are_refused(void **state) {
  (void)state;
  const sy_vec3 cg = {0, 0, -0.3};
  sy_sling s = {.count = 2, .point = {{0.5, 0, 0}, {-0.5, 0, 0}}, .length = {0.4, 0.5}};
  expect(&s, cg, SY_GEOMETRY, "", "legs", "1 and 2 are too short to meet: their points are 1000 mm apart");
  s.length[0] = 0;
  expect(&s, cg, SY_RANGE, "leg 1", "length", "is 0 mm");
  s.length[0] = (double)NAN;
  expect(&s, cg, SY_RANGE, "leg 1", "length", "must be above 0");
  s.length[0] = 0.8, s.point[1].z = (double)INFINITY;
  expect(&s, cg, SY_RANGE, "leg 2", "point", "not finite");
  s.point[1].z = 0;
  expect(&s, (sy_vec3){0.1, (double)NAN, 0}, SY_RANGE, "", "cg", "not finite");
  expect(&s, (sy_vec3){0.1, 0, 0}, SY_GEOMETRY, "", "points", "lies on the line between the points");
  s.point[1] = (sy_vec3){0.5 - 0.009, 0, 0}; /* nearer than SY_HOIST_APART */
  expect(&s, cg, SY_GEOMETRY, "leg 2", "point",
         "is 9 mm from that of leg 1, two legs need points 10 mm apart");
  s.count = 1;
  expect(&s, s.point[0], SY_GEOMETRY, "", "points", "at the cg");
  s.count = 0;
  expect(&s, cg, SY_RANGE, "", "legs", "are 0");
  s.count = 5;
  expect(&s, cg, SY_RANGE, "", "legs", "are 5");
  const sy_sling far = {
      .count = 3, .point = {{0.5, 0, 0}, {-0.5, 0, 0}, {0, 0.9, 0}}, .length = {0.55, 0.55, 0.5}};
  expect(&far, cg, SY_GEOMETRY, "", "legs", "do not meet at one hook");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(one_leg_hangs_plumb_through_the_cg),
      cmocka_unit_test(two_legs_share_by_the_cosine),
      cmocka_unit_test(two_legs_turn_until_the_cg_lies_in_their_plane),
      cmocka_unit_test(four_equal_legs_over_the_cg_share_evenly),
      cmocka_unit_test(a_long_leg_goes_slack),
      cmocka_unit_test(points_below_the_cg_hold_on_a_wide_base),
      cmocka_unit_test(every_rest_is_in_balance),
      cmocka_unit_test(slings_that_cannot_hold_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
