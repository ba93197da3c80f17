#include "measure/tensor.h"

#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "measure/pendulum.h"
#include "near.h"

static dice thrown = {20101};
static double any(double low, double high) { return dice_between(&thrown, low, high); }
static double normal(void) { /* Box and Muller */
  return sqrt(-2 * log(1 - any(0, 1))) * cos(2 * SY_PI * any(0, 1));
}

static const double no_cov[SY_TENSOR_MOST * SY_TENSOR_MOST];

/* J. Moore, M. Hubbard, D. Peterson, A. Schwab, J. Kooijman, An accurate method of measuring and comparing a bicycle's physical
** parameters, Bicycle and Motorcycle Dynamics 2010, Delft, and its data set, bicycle "A": frame hung on the torsion wire in its own
** plane at 3.4, 138.7, 229.8 degrees, steer axis tilt 22.9 degrees; beta = tilt - angle and
** I = Ixx cos^2 b - 2 Ixz sin b cos b + Izz sin^2 b. Published Ixx 0.5296, Ixz -0.1163, Izz 0.7568 kg m2: half a last digit. */
static void three_axes_in_a_plane_give_the_published_frame(void **state) {
  (void)state;
  static const double angle[3] = {3.4, 138.7, 229.8},
                      period[3] = {2.09957410356, 2.37671750273, 1.83976940999};
  sy_tensor_swing swings[3];
  for (int i = 0; i < 3; i++) {
    sy_pendulum p = sy_pendulum_default();
    p.rod_mass = 5.56, p.rod_length = 1.05, p.rod_diameter = 0.03, p.rod_period = 1.89399317145,
    p.period = period[i];
    sy_pendulum_result r;
    assert_int_equal(sy_pendulum_inertia(SY_PENDULUM_TORSION, &p, false, &r, NULL), SY_OK);
    const double beta = (22.9 - angle[i]) * SY_DEGREE;
    swings[i] = (sy_tensor_swing){{cos(beta), 0, -sin(beta)}, {0, 0, 0}, r.inertia};
  }
  sy_tensor t;
  assert_int_equal(sy_tensor_fit(swings, 3, no_cov, false, &t, NULL), SY_OK);
  assert_near(t.value[0], 0.5296, 0.00005);
  assert_near(t.value[4], -0.1163, 0.00005);
  assert_near(t.value[2], 0.7568, 0.00005);
  assert_true(t.known[0] && t.known[2] && t.known[4]);
  assert_false(t.known[1] || t.known[3] || t.known[5]);
  assert_true(isnan(t.value[1]) && isnan(t.sd[5]));
  assert_int_equal(t.dof, 0);
}

static sy_vec3 random_axis(void) { return (sy_vec3){any(-1, 1), any(-1, 1), any(-1, 1)}; /* of any length */ }

static double about(sy_sym3 j, sy_vec3 axis) {
  const double length = sy_vec3_length(axis);
  return sy_sym3_quadratic(j, sy_vec3_scale(1 / length, axis));
}

static sy_sym3 random_tensor(void) {
  return (sy_sym3){any(1, 9), any(1, 9), any(1, 9), any(-1, 1), any(-1, 1), any(-1, 1)};
}

static void any_axes_give_back_the_tensor(void **state) {
  (void)state;
  for (int n = 0; n < 100; n++) {
    const sy_sym3 j = random_tensor();
    const double want[6] = {j.xx, j.yy, j.zz, j.xy, j.xz, j.yz};
    sy_tensor_swing swings[9];
    for (int i = 0; i < 9; i++) {
      const sy_vec3 axis = random_axis();
      swings[i] = (sy_tensor_swing){axis, {0, 0, 0}, about(j, axis)};
    }
    sy_tensor t;
    assert_int_equal(sy_tensor_fit(swings, 9, no_cov, false, &t, NULL), SY_OK);
    assert_int_equal(t.dof, 3);
    for (int k = 0; k < 6; k++)
      assert_near(t.value[k], want[k], 1e-12); /* nine axes at random are well apart */
    for (int i = 0; i < 9; i++) assert_near(t.residual[i], 0, 1e-13);
    /* a mirrored part: four entries */
    const sy_sym3 m = {j.xx, j.yy, j.zz, 0, j.xz, 0};
    for (int i = 0; i < 5; i++) swings[i].inertia = about(m, swings[i].axis);
    assert_int_equal(sy_tensor_fit(swings, 5, no_cov, true, &t, NULL), SY_OK);
    assert_near(t.value[4], j.xz, 1e-11);
    assert_false(t.known[3] || t.known[5]);
  }
}

/* First order against a large number of drawn errors: 20 000 draws know a standard deviation to 0.5 %, 2 % is four times that. */
static void uncertainties_are_those_of_drawn_errors(void **state) {
  (void)state;
  enum { COUNT = 7, DRAWS = 20000 };
  const sy_sym3 j = {5.1, 3.7, 6.9, -0.4, 0.8, 0.3};
  const double own = 0.011, shared = 0.017; /* kg m2; what all have in common and what each has alone */
  sy_tensor_swing swings[COUNT];
  double cov[COUNT * COUNT];
  for (int i = 0; i < COUNT; i++) {
    const sy_vec3 axis = random_axis();
    swings[i] = (sy_tensor_swing){axis, {0.002, 0.003, 0.001}, about(j, axis)};
    for (int k = 0; k < COUNT; k++) cov[i * COUNT + k] = shared * shared + (i == k ? own * own : 0);
  }
  sy_tensor t;
  assert_int_equal(sy_tensor_fit(swings, COUNT, cov, false, &t, NULL), SY_OK);
  double square[6] = {0};
  for (int d = 0; d < DRAWS; d++) {
    sy_tensor_swing drawn[COUNT];
    const double common = shared * normal();
    for (int i = 0; i < COUNT; i++) {
      const sy_vec3 a = swings[i].axis, s = swings[i].axis_sd;
      const sy_vec3 truth = {a.x + s.x * normal(), a.y + s.y * normal(), a.z + s.z * normal()};
      drawn[i] = (sy_tensor_swing){a, {0, 0, 0}, about(j, truth) + common + own * normal()};
    }
    sy_tensor one;
    assert_int_equal(sy_tensor_fit(drawn, COUNT, no_cov, false, &one, NULL), SY_OK);
    for (int k = 0; k < 6; k++)
      square[k] += (one.value[k] - t.value[k]) * (one.value[k] - t.value[k]) / DRAWS;
  }
  for (int k = 0; k < 6; k++) assert_near(sqrt(square[k]), t.sd[k], 0.02 * t.sd[k]);
}

static void refuse(const sy_tensor_swing *swings, size_t count, const double *cov, sy_status status,
                   const char *name) {
  sy_error err;
  sy_tensor t = {.dof = -7};
  assert_int_equal(sy_tensor_fit(swings, count, cov, false, &t, &err), status);
  assert_string_equal(err.part, "hangs");
  assert_string_equal(err.field, name);
  assert_int_equal(t.dof, -7);
}

static void what_cannot_be_fitted_is_refused(void **state) {
  (void)state;
  sy_tensor_swing swings[SY_TENSOR_MOST + 1];
  for (int i = 0; i <= SY_TENSOR_MOST; i++) swings[i] = (sy_tensor_swing){random_axis(), {0, 0, 0}, 1};
  refuse(swings, 0, no_cov, SY_MISSING, "");
  refuse(swings, 5, no_cov, SY_MISSING, "");
  refuse(swings, SY_TENSOR_MOST + 1, no_cov, SY_RANGE, "");
  double cov[36] = {0};
  cov[7] = (double)NAN;
  refuse(swings, 6, cov, SY_RANGE, "period");
  for (int i = 0; i < 8; i++) { /* all on a cone about z: xx + yy and zz are indistinguishable */
    const double turn = 0.7 * i;
    swings[i].axis = (sy_vec3){cos(turn), sin(turn), 0.9};
  }
  refuse(swings, 8, no_cov, SY_GEOMETRY, "axis");
  swings[2].axis = (sy_vec3){0, 0, 0};
  refuse(swings, 8, no_cov, SY_RANGE, "axis");
  swings[2].axis.x = (double)NAN;
  refuse(swings, 8, no_cov, SY_RANGE, "");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(three_axes_in_a_plane_give_the_published_frame),
      cmocka_unit_test(any_axes_give_back_the_tensor),
      cmocka_unit_test(uncertainties_are_those_of_drawn_errors),
      cmocka_unit_test(what_cannot_be_fitted_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
