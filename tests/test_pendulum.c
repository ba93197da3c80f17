#include "measure/pendulum.h"

#include <float.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"

static dice thrown = {20100};
static double any(double low, double high) { return dice_between(&thrown, low, high); }

static sy_pendulum_result solve(sy_pendulum_kind kind, sy_pendulum p) {
  sy_pendulum_result r;
  assert_int_equal(sy_pendulum_inertia(kind, &p, false, &r, NULL), SY_OK);
  return r;
}

/* ---- published ---------------------------------------------------------------------------------------------------- */

/* J. Moore, M. Hubbard, D. Peterson, A. Schwab, J. Kooijman, An accurate method of measuring and comparing a bicycle's physical
** parameters, Bicycle and Motorcycle Dynamics 2010, Delft, and its open data set, bicycle "A": front wheel 2.02 kg on an edge
** 0.293 m from its centre, period 1.4811273727 s, g 9.81: spin inertia 0.1492 kg m2. Tolerance: half the last digit. */
static void compound_gives_the_published_spin_inertia_of_a_wheel(void **state) {
  (void)state;
  sy_pendulum p = sy_pendulum_default();
  p.mass = 2.02, p.arm = 0.293, p.period = 1.4811273727, p.gravity = 9.81;
  assert_near(solve(SY_PENDULUM_COMPOUND, p).inertia, 0.1492, 0.00005);
}

/* The same source: calibration rod 5.56 kg, 1.05 m long, 0.03 m across, period 1.89399317145 s; the wheel about a diameter
** 0.787577011406 s: 0.0884 kg m2. The stiffness 5.62524 N m/rad is in the data set's results. */
static void torsion_with_a_rod_gives_the_published_inertia_of_a_wheel(void **state) {
  (void)state;
  sy_pendulum p = sy_pendulum_default();
  p.rod_mass = 5.56, p.rod_length = 1.05, p.rod_diameter = 0.03, p.rod_period = 1.89399317145,
  p.period = 0.787577011406;
  const sy_pendulum_result r = solve(SY_PENDULUM_TORSION, p);
  assert_near(r.inertia, 0.0884, 0.00005);
  assert_near(r.stiffness, 5.62524, 0.000005);
}

/* Bifilar pendulum: a worked example in the comment of a public script (author not known): 0.2565 kg, 0.8 s, half spacing 0.325 m,
** wires 0.35 m, g 9.81: 0.012311 kg m2. Its own arithmetic gives 0.0123105, so a millionth. */
static void bifilar_gives_the_published_example(void **state) {
  (void)state;
  sy_pendulum p = sy_pendulum_default();
  p.mass = 0.2565, p.period = 0.8, p.arm_a = p.arm_b = 0.325, p.wire = 0.35, p.gravity = 9.81;
  assert_near(solve(SY_PENDULUM_BIFILAR, p).inertia, 0.012311, 1e-6);
}

/* K(m = 1/2) = 1.854074677301372 (Abramowitz & Stegun, Table 17.1): swinging 90 degrees to each side, sin^2 45 = 1/2. */
static void circular_factor_is_the_elliptic_integral(void **state) {
  (void)state;
  assert_near(sy_pendulum_circular_factor(SY_PI / 2), 1.854074677301372 * 2 / SY_PI,
              1e-15);   /* its last digit */
  const double a = 0.1; /* series 1 + a^2/16 + 11 a^4/3072 + 173 a^6/737280, next term 3e-12 */
  assert_near(sy_pendulum_circular_factor(a),
              1 + a * a / 16 + 11 * a * a * a * a / 3072 + 173 * pow(a, 6) / 737280, 1e-11);
  assert_near(sy_pendulum_circular_factor(0), 1, 0);
}

/* ---- properties --------------------------------------------------------------------------------------------------- */

/* Long wires make the path of a mathematical pendulum, and a wide body rises for nothing. */
static void wires_factor_of_long_wires_is_the_circular_one(void **state) {
  (void)state;
  for (double swing = 0.05; swing < 1.5; swing += 0.13)
    assert_near(sy_pendulum_wires_factor(swing, 0.3, 3000, 5), sy_pendulum_circular_factor(swing),
                1e-7); /* (r / l)^2 = 1e-8 is left out */
  assert_near(sy_pendulum_wires_factor(0, 0.3, 2, 0.2), 1, 0);
}

/* Period of a body of known inertia, with amplitude: what the estimator must undo. */
static double wires_period(double inertia, double mass, double r2, double wire, double g, double swing) {
  return 2 * SY_PI * sqrt(inertia * wire / (mass * g * r2)) *
         sy_pendulum_wires_factor(swing, sqrt(r2), wire, sqrt(inertia / mass));
}

static void wires_and_platform_give_back_the_inertia_they_were_made_from(void **state) {
  (void)state;
  for (int n = 0; n < dice_rounds(200); n++) {
    sy_pendulum p = sy_pendulum_default();
    const double inertia = any(0.01, 20), platform = any(0.01, 3);
    p.mass = any(0.5, 200), p.platform_mass = any(0.5, 20), p.arm_a = any(0.1, 0.9), p.arm_b = any(0.1, 0.9);
    p.wire = any(1, 4), p.swing = n % 2 == 0 ? 0 : any(0.01, 0.6);
    const bool two = n % 3 == 0;
    const double r2 = two ? p.arm_a * p.arm_b : p.arm_a * p.arm_a;
    p.period = wires_period(inertia + platform, p.mass + p.platform_mass, r2, p.wire, p.gravity, p.swing);
    p.platform_period = wires_period(platform, p.platform_mass, r2, p.wire, p.gravity, p.swing);
    const sy_pendulum_result r = solve(two ? SY_PENDULUM_BIFILAR : SY_PENDULUM_TRIFILAR, p);
    assert_near(r.inertia, inertia,
                1e-11 * (inertia + platform)); /* a difference of the two, each to 12 digits */
  }
}

static void compound_and_torsion_give_back_the_inertia_they_were_made_from(void **state) {
  (void)state;
  for (int n = 0; n < dice_rounds(200); n++) {
    sy_pendulum p = sy_pendulum_default();
    const double inertia = any(0.01, 20);
    p.mass = any(0.5, 200), p.arm = any(0.05, 1), p.swing = n % 2 == 0 ? 0 : any(0.01, 1.5);
    const double about = inertia + p.mass * p.arm * p.arm;
    p.period = 2 * SY_PI * sqrt(about / (p.mass * p.gravity * p.arm)) * sy_pendulum_circular_factor(p.swing);
    assert_near(solve(SY_PENDULUM_COMPOUND, p).inertia, inertia, 1e-13 * about);
    sy_pendulum t = sy_pendulum_default();
    const double k = any(0.5, 50), platform = any(0.01, 3);
    t.rod_mass = any(1, 9), t.rod_length = any(0.5, 2), t.rod_diameter = any(0, 0.1);
    const double rod =
        t.rod_mass * (3 * t.rod_diameter * t.rod_diameter / 4 + t.rod_length * t.rod_length) / 12;
    const bool on = n % 2 == 0;
    t.platform_period = 2 * SY_PI * sqrt(platform / k), t.period = 2 * SY_PI * sqrt((inertia + platform) / k);
    t.rod_period = 2 * SY_PI * sqrt((rod + (on ? platform : 0)) / k);
    sy_pendulum_result r;
    assert_int_equal(sy_pendulum_inertia(SY_PENDULUM_TORSION, &t, on, &r, NULL), SY_OK);
    /* two differences, of which the rod's may lose two digits */
    assert_near(r.inertia, inertia, 1e-12 * (inertia + platform) * (rod + platform) / rod);
    assert_near(r.stiffness, k, 1e-12 * k * (rod + platform) / rod);
  }
}

static const size_t field_count = sizeof(sy_pendulum) / sizeof(double);
static double *field(sy_pendulum *p, size_t i) { return (double *)(void *)p + i; }

/* Every sensitivity against a difference quotient. The amplitude's factor is taken as independent of everything but the swing: that is so
** for a compound pendulum; of hanging wires it moves sensitivities by up to a hundredth at the 20 degrees used here. */
static void slopes_are_those_of_the_result(void **state) {
  (void)state;
  for (int n = 0; n < dice_rounds(400); n++) {
    const sy_pendulum_kind kind = (sy_pendulum_kind)(n % 4);
    const bool wires = kind == SY_PENDULUM_BIFILAR || kind == SY_PENDULUM_TRIFILAR, swings = n % 3 == 0;
    sy_pendulum p = sy_pendulum_default();
    p.mass = any(1, 100), p.arm = any(0.1, 0.5), p.arm_a = any(0.2, 0.5), p.arm_b = any(0.2, 0.5),
    p.wire = any(1, 3);
    p.period = any(2, 3), p.swing = swings ? 0.35 : 0;
    if (kind != SY_PENDULUM_COMPOUND) p.platform_period = any(0.8, 1.2);
    if (wires) p.platform_mass = any(1, 5);
    if (n % 8 < 4)
      p.stiffness = any(1, 9);
    else
      p.rod_mass = any(1, 9), p.rod_length = any(0.5, 2), p.rod_diameter = any(0.01, 0.1),
      p.rod_period = any(2, 3);
    const bool on = n % 5 == 0;
    sy_pendulum_result r;
    assert_int_equal(sy_pendulum_inertia(kind, &p, on, &r, NULL), SY_OK);
    for (size_t i = 0; i < field_count; i++) {
      const double value = *field(&p, i);
      if (isnan(value) || value == 0) continue;
      sy_pendulum up = p, down = p;
      const double step = value * 1e-5; /* truncation 1e-10, rounding 1e-10 of the result */
      *field(&up, i) += step, *field(&down, i) -= step;
      sy_pendulum_result a, b;
      assert_int_equal(sy_pendulum_inertia(kind, &up, on, &a, NULL), SY_OK);
      assert_int_equal(sy_pendulum_inertia(kind, &down, on, &b, NULL), SY_OK);
      const double sensitivity = (a.inertia - b.inertia) / (2 * step),
                   size = r.inertia / fabs(value) + fabs(sensitivity);
      const bool is_swing = field(&p, i) == &p.swing;
      assert_near(*field(&r.sensitivity, i), sensitivity,
                  size * (swings && (wires || is_swing) ? 1e-2 : 1e-8));
    }
  }
}

/* ---- refusals ----------------------------------------------------------------------------------------------------- */

static void refuse(sy_pendulum_kind kind, sy_pendulum p, bool on, sy_status status, const char *name) {
  sy_error err;
  sy_pendulum_result r = {.inertia = -7};
  assert_int_equal(sy_pendulum_inertia(kind, &p, on, &r, &err), status);
  assert_string_equal(err.field, name);
  assert_near(r.inertia, -7, 0); /* untouched */
}

static void what_cannot_be_is_refused_by_name(void **state) {
  (void)state;
  sy_pendulum good = sy_pendulum_default();
  good.mass = 31.7, good.period = 2.13, good.arm = 0.31, good.arm_a = 0.37, good.arm_b = 0.41,
  good.wire = 1.9;
  good.stiffness = 3.1;
  static const struct {
    sy_pendulum_kind kind;
    size_t offset;
    const char *name;
  } needed[] = {
      {SY_PENDULUM_COMPOUND, offsetof(sy_pendulum, mass), "mass"},
      {SY_PENDULUM_COMPOUND, offsetof(sy_pendulum, arm), "arm"},
      {SY_PENDULUM_COMPOUND, offsetof(sy_pendulum, gravity), "g"},
      {SY_PENDULUM_COMPOUND, offsetof(sy_pendulum, period), "period"},
      {SY_PENDULUM_BIFILAR, offsetof(sy_pendulum, wire), "wire"},
      {SY_PENDULUM_BIFILAR, offsetof(sy_pendulum, arm_a), "arms.r1"},
      {SY_PENDULUM_BIFILAR, offsetof(sy_pendulum, arm_b), "arms.r2"},
      {SY_PENDULUM_TRIFILAR, offsetof(sy_pendulum, arm_a), "radius"},
      {SY_PENDULUM_TORSION, offsetof(sy_pendulum, stiffness), "rod"},
  };
  for (size_t i = 0; i < sizeof needed / sizeof *needed; i++) {
    sy_pendulum p = good;
    double *at = (double *)(void *)((char *)&p + needed[i].offset);
    *at = (double)NAN;
    refuse(needed[i].kind, p, false, SY_MISSING, needed[i].name);
    if (needed[i].kind == SY_PENDULUM_TORSION) continue;
    *at = -0.3;
    refuse(needed[i].kind, p, false, SY_RANGE, needed[i].name);
    *at = (double)INFINITY;
    refuse(needed[i].kind, p, false, SY_RANGE, needed[i].name);
  }
  sy_pendulum p = good;
  p.stiffness = 0;
  refuse(SY_PENDULUM_TORSION, p, false, SY_RANGE, "stiffness");
  p.stiffness = 3, p.rod_mass = 5;
  refuse(SY_PENDULUM_TORSION, p, false, SY_CLASH, "rod");
  p = good, p.stiffness = (double)NAN, p.rod_mass = 5, p.rod_length = 1.1, p.rod_period = 1.3;
  refuse(SY_PENDULUM_TORSION, p, false, SY_MISSING, "rod.diameter");
  p.rod_diameter = -1;
  refuse(SY_PENDULUM_TORSION, p, false, SY_RANGE, "rod.diameter");
  p.rod_diameter = 0.02, p.rod_length = (double)NAN;
  refuse(SY_PENDULUM_TORSION, p, false, SY_MISSING, "rod.length");
  p.rod_length = 1.1, p.platform_period = 1.5;
  refuse(SY_PENDULUM_TORSION, p, true, SY_GEOMETRY, "rod.period");
}

static void platforms_and_swings_that_cannot_be_are_refused(void **state) {
  (void)state;
  sy_pendulum good = sy_pendulum_default();
  good.mass = 31.7, good.period = 2.13, good.arm = 0.31, good.arm_a = 0.37, good.arm_b = 0.41,
  good.wire = 1.9;
  good.stiffness = 3.1;
  sy_pendulum p = good;
  p.platform_period = 1.1;
  refuse(SY_PENDULUM_TRIFILAR, p, false, SY_MISSING, "platform.mass");
  refuse(SY_PENDULUM_COMPOUND, p, false, SY_CLASH, "platform");
  p.platform_mass = -2;
  refuse(SY_PENDULUM_TRIFILAR, p, false, SY_RANGE, "platform.mass");
  p.platform_mass = 3, p.platform_period = 0;
  refuse(SY_PENDULUM_TRIFILAR, p, false, SY_MISSING, "platform.period");
  p.platform_period = -1;
  refuse(SY_PENDULUM_TRIFILAR, p, false, SY_RANGE, "platform.period");
  p.platform_period = 9;
  refuse(SY_PENDULUM_TRIFILAR, p, false, SY_GEOMETRY, "platform.period");
  refuse(SY_PENDULUM_TORSION, p, false, SY_GEOMETRY, "platform.period");
  p = good, p.period = 0.9;
  refuse(SY_PENDULUM_COMPOUND, p, false, SY_GEOMETRY, "period");
  p = good, p.mass = 1e300, p.arm_a = 1e300;
  refuse(SY_PENDULUM_TRIFILAR, p, false, SY_RANGE, "period");
  p = good, p.swing = 1.6;
  refuse(SY_PENDULUM_COMPOUND, p, false, SY_RANGE, "swing");
  p.swing = (double)NAN;
  refuse(SY_PENDULUM_COMPOUND, p, false, SY_RANGE, "swing");
  p.swing = 1.5, p.wire = 0.4;
  refuse(SY_PENDULUM_TRIFILAR, p, false, SY_GEOMETRY, "swing");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(compound_gives_the_published_spin_inertia_of_a_wheel),
      cmocka_unit_test(torsion_with_a_rod_gives_the_published_inertia_of_a_wheel),
      cmocka_unit_test(bifilar_gives_the_published_example),
      cmocka_unit_test(circular_factor_is_the_elliptic_integral),
      cmocka_unit_test(wires_factor_of_long_wires_is_the_circular_one),
      cmocka_unit_test(wires_and_platform_give_back_the_inertia_they_were_made_from),
      cmocka_unit_test(compound_and_torsion_give_back_the_inertia_they_were_made_from),
      cmocka_unit_test(slopes_are_those_of_the_result),
      cmocka_unit_test(what_cannot_be_is_refused_by_name),
      cmocka_unit_test(platforms_and_swings_that_cannot_be_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
