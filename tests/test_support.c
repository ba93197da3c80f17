#include "shop/support.h"

#include <float.h>
#include <string.h>

#include "near.h"

static sy_support made(const sy_plan *at, int count) {
  sy_support s;
  sy_error err;
  if (sy_support_make(at, count, &s, &err) != SY_OK) fail_msg("%s, %s: %s", err.part, err.field, err.message);
  return s;
}

/* Stands under the corners of a rectangle 1.6 by 0.8: the margin is the distance to the nearest side, by inspection. */
static void load_in_a_rectangle(void **state) {
  (void)state;
  const sy_plan at[] = {
      {-2.0, 0.4}, {-0.4, 0.4}, {-0.4, -0.4}, {-2.0, -0.4}, {-1.0, 0.1}}; /* the fifth stands inside */
  const sy_support s = made(at, 5);
  assert_int_equal(s.hull_count, 4);
  sy_support_loads t = sy_support_load(&s, (sy_plan){-1.9, 0.05});
  assert_near(t.margin, 0.1, 1e-15);
  assert_near(t.outward.x, -1, 1e-15);
  assert_true((t.from == 0 && t.to == 3) || (t.from == 3 && t.to == 0));
  t = sy_support_load(&s, (sy_plan){-0.35, 0});
  assert_near(t.margin, -0.05, 1e-15);
  for (int i = 0; i < 5; i++) assert_near(t.load[i], 0, 0);
  /* a weight 1.0 behind the rear stands tips when it is a tenth: 0.1 / 1.0 */
  assert_near(sy_support_to_tip(&s, (sy_plan){-1.9, 0}, (sy_plan){-3.0, 0}), 0.1, 1e-15);
  assert_near(sy_support_to_tip(&s, (sy_plan){-1.9, 0}, (sy_plan){0.6, 0}), 1.5, 1e-15);
  assert_true(isinf(sy_support_to_tip(&s, (sy_plan){-1.9, 0}, (sy_plan){-1.0, 0.3})));
  assert_near(sy_support_to_tip(&s, (sy_plan){-0.35, 0}, (sy_plan){-3, 0}), 0, 0);
}

/* A beam on two supports by the lever rule, across and along: 3 of 8 of the way from the rear, 1 of 4 from the left. */
static void loads_by_the_lever_rule(void **state) {
  (void)state;
  const sy_plan at[] = {{-2.0, 0.4}, {-0.4, 0.4}, {-0.4, -0.4}, {-2.0, -0.4}};
  const sy_support s = made(at, 4);
  const sy_support_loads t = sy_support_load(&s, (sy_plan){-1.4, 0.2});
  /* equal stiffness: 1/4 + x/(4 a^2) ... on a rectangle this adds the two levers */
  assert_near(t.load[0], 0.25 - (-1.4 + 1.2) * 0.8 / (4 * 0.64) + 0.2 * 0.4 / (4 * 0.16), 1e-15);
  assert_near(t.load[1] + t.load[2], 3.0 / 8, 1e-15);
  assert_near(t.load[2] + t.load[3], 1.0 / 4, 1e-15);
  assert_true(t.even);
}

/* Three stands: force and moments, whatever the triangle. */
static void three_stands_are_determinate(void **state) {
  (void)state;
  const sy_plan at[] = {{-0.42, 0.52}, {-1.99, 0.03}, {-0.37, -0.61}}, cg = {-0.93, -0.07};
  const sy_support s = made(at, 3);
  const sy_support_loads t = sy_support_load(&s, cg);
  assert_near(t.load[0] + t.load[1] + t.load[2], 1, 4 * DBL_EPSILON);
  assert_near(t.load[0] * at[0].x + t.load[1] * at[1].x + t.load[2] * at[2].x, cg.x, 8 * DBL_EPSILON);
  assert_near(t.load[0] * at[0].y + t.load[1] * at[1].y + t.load[2] * at[2].y, cg.y, 8 * DBL_EPSILON);
  assert_false(t.even);
}

/* With the cg close to one stand the far one would have to pull; it carries nothing, and the others balance. */
static void a_stand_does_not_pull(void **state) {
  (void)state;
  const sy_plan at[] = {{-2.0, 0.4}, {-0.4, 0.4}, {-0.4, -0.4}, {-2.0, -0.4}}, cg = {-0.5, 0.35};
  const sy_support s = made(at, 4);
  const sy_support_loads t = sy_support_load(&s, cg);
  double sum = 0, x = 0, y = 0;
  for (int i = 0; i < 4; i++) {
    assert_true(t.load[i] >= 0);
    sum += t.load[i], x += t.load[i] * at[i].x, y += t.load[i] * at[i].y;
  }
  assert_near(t.load[3], 0, 0);
  assert_near(sum, 1, 8 * DBL_EPSILON);
  assert_near(x, cg.x, 8 * DBL_EPSILON);
  assert_near(y, cg.y, 8 * DBL_EPSILON);
}

/* Whichever way the stands are listed, the hull and all answers are the same. */
static void order_does_not_matter(void **state) {
  (void)state;
  const sy_plan at[] = {{-0.4, -0.5}, {-1.1, 0.7}, {-2.1, 0.33}, {-1.9, -0.41}, {-0.5, 0.48}, {-1.2, 0}};
  const sy_plan cg = {-1.31, 0.12}, weight = {0.9, 0.2};
  const sy_support s = made(at, 6);
  const sy_support_loads want = sy_support_load(&s, cg);
  for (int turn = 1; turn < 6; turn++) {
    sy_plan other[6];
    for (int i = 0; i < 6; i++) other[(i * 5 + turn) % 6] = at[i];
    const sy_support o = made(other, 6);
    assert_int_equal(o.hull_count, s.hull_count);
    assert_near(sy_support_load(&o, cg).margin, want.margin, 4 * DBL_EPSILON);
    assert_near(sy_support_to_tip(&o, cg, weight), sy_support_to_tip(&s, cg, weight), 8 * DBL_EPSILON);
  }
}

static void stands_that_hold_nothing_are_refused(void **state) {
  (void)state;
  sy_plan at[SY_MAX_STANDS + 1] = {{-0.4, 0.5}, {-1.0, 0.25}, {-1.6, 0}};
  sy_support s;
  sy_error err;
  memset(&s, 7, sizeof s);
  const sy_support was = s;
  assert_int_equal(sy_support_make(at, 3, &s, &err), SY_GEOMETRY);
  assert_string_equal(err.message, "lie on one line: the car would fall to either side");
  assert_int_equal(sy_support_make(at, 2, &s, &err), SY_RANGE);
  assert_string_equal(err.message, "are 2, 3 to 16 stands are possible");
  assert_int_equal(sy_support_make(at, SY_MAX_STANDS + 1, &s, &err), SY_RANGE);
  at[1].y = (double)NAN;
  assert_int_equal(sy_support_make(at, 3, &s, &err), SY_RANGE);
  assert_string_equal(err.part, "stand 2");
  assert_memory_equal(&s, &was, sizeof s);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(load_in_a_rectangle),          cmocka_unit_test(loads_by_the_lever_rule),
      cmocka_unit_test(three_stands_are_determinate), cmocka_unit_test(a_stand_does_not_pull),
      cmocka_unit_test(order_does_not_matter),        cmocka_unit_test(stands_that_hold_nothing_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
