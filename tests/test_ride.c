#include "statics/ride.h"

#include <float.h>
#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"

static sy_ride_modes modes(double mass, double inertia, const double x[2], const double rate[2]) {
  sy_ride_modes m;
  sy_error err;
  if (sy_ride_modes_of(mass, inertia, 0, x, rate, 2, &m, &err) != SY_OK)
    fail_msg("%s: %s", err.field, err.message);
  return m;
}

/* C. H. Edwards, D. E. Penney, Differential Equations and Linear Algebra, 2nd ed., problem 7.4-24: 100 x'' = -4000 x + 4000 th,
** 1000 th'' = 4000 x - 104000 th (m 100, I 1000, k 2000 each, arms 6 and 4): 6.13 and 10.31 rad/s as printed, the latter
** cut: 10.3155. */
static void modes_of_edwards_and_penney(void **state) {
  (void)state;
  const sy_ride_modes m = modes(100, 1000, (double[2]){6, -4}, (double[2]){2000, 2000});
  assert_near(2 * SY_PI * m.bounce, 6.13, 0.005);
  assert_near(2 * SY_PI * m.pitch, 10.31, 0.01);
  assert_near(2 * SY_PI * m.bounce_alone, sqrt(4000 / 100.0), 1e-14 * 10);
  assert_near(2 * SY_PI * m.pitch_alone, sqrt(104000 / 1000.0), 1e-14 * 10);
}

/* S. S. Rao, Mechanical Vibrations, example 5.7 (answers from memory, recomputed): m 1000 kg, radius of gyration 0.9 m, springs 18 and
** 22 kN/m 1.0 m ahead and 1.5 m behind: 5.8593 and 9.4341 rad/s, nodes -2.6461 and 0.3061 m from the cg. */
static void modes_and_nodes_of_rao(void **state) {
  (void)state;
  const sy_ride_modes m = modes(1000, 810, (double[2]){1.0, -1.5}, (double[2]){18e3, 22e3});
  const double tol = 0.00005; /* half the last digit */
  assert_near(2 * SY_PI * m.bounce, 5.8593, tol);
  assert_near(2 * SY_PI * m.pitch, 9.4341, tol);
  assert_near(m.bounce_node, -2.6461, tol);
  assert_near(m.pitch_node, 0.3061, tol);
  assert_near(m.bounce_node * m.pitch_node, -810 / 1000.0, 1e-14);
}

/* M^-1 K v = w^2 v and the product of the nodes, on random bodies. */
static void modes_solve_the_eigenproblem(void **state) {
  (void)state;
  dice d = {42};
  for (int n = 0; n < 1000; n++) {
    const double m = dice_between(&d, 100, 2000), i = m * dice_between(&d, 0.2, 3);
    const double x[2] = {dice_between(&d, 0.2, 2.5), dice_between(&d, -2.5, -0.2)};
    const double k[2] = {dice_between(&d, 1e4, 9e4), dice_between(&d, 1e4, 9e4)};
    const sy_ride_modes r = modes(m, i, x, k);
    const double hz[2] = {r.bounce, r.pitch}, node[2] = {r.bounce_node, r.pitch_node};
    for (int j = 0; j < 2; j++) {
      const double w2 = pow(2 * SY_PI * hz[j], 2), z = node[j]; /* theta = 1 */
      double force = 0, moment = 0;
      for (int s = 0; s < 2; s++) {
        const double push = k[s] * (z - x[s]);
        force += push;
        moment -= push * x[s];
      }
      const double scale = (k[0] + k[1]) * (fabs(z) + 3) * 3;
      assert_near(force, w2 * m * z, 1e-11 * scale);
      assert_near(moment, w2 * i, 1e-11 * scale);
    }
    assert_near(r.bounce_node * r.pitch_node, -i / m, 1e-10 * i / m);
    assert_true(fabs(r.bounce_node) >= fabs(r.pitch_node));
  }
}

/* A dynamic index of 1: each axle moves as if it were alone, so the nodes are over the axles. */
static void axles_do_not_feel_one_another_at_index_one(void **state) {
  (void)state;
  const double a = 1.1, b = 1.4, m = 900, i = m * a * b, k[2] = {40e3, 70e3};
  const sy_ride_modes r = modes(m, i, (double[2]){a, -b}, k);
  assert_near(sy_ride_dynamic_index(m, i, -a, 0, -(a + b)), 1, 8 * DBL_EPSILON);
  const double front = sqrt(k[0] / (m * b / (a + b))) / (2 * SY_PI),
               rear = sqrt(k[1] / (m * a / (a + b))) / (2 * SY_PI);
  const bool front_bounces = fabs(r.bounce - front) < 1e-9;
  assert_near(r.bounce, front_bounces ? front : rear, 1e-12);
  assert_near(r.pitch, front_bounces ? rear : front, 1e-12);
  assert_near(front_bounces ? r.bounce_node : r.pitch_node, -b, 1e-9);
}

/* Springs whose moments balance: pure bounce, pure pitch about the cg. */
static void balanced_springs_do_not_couple(void **state) {
  (void)state;
  const sy_ride_modes r = modes(800, 700, (double[2]){1, -1}, (double[2]){30e3, 30e3});
  assert_true(isinf(r.bounce_node));
  assert_near(r.pitch_node, 0, 0);
  assert_near(r.bounce, r.bounce_alone, 1e-15);
  assert_near(r.pitch, r.pitch_alone, 1e-15);
}

/* D. C. Barton, J. D. Fieldhouse, Automotive Chassis Engineering, 2018, p. 213: 20.63 + 300 kN/m on 40 kg, 14.25 Hz. */
static void wheel_hop_of_barton_and_fieldhouse(void **state) {
  (void)state;
  assert_near(sy_ride_wheel_hop(20.63e3, 300e3, 40), 14.25, 0.005);
}

/* g/(2 pi f)^2 at g 9.80665: 248.405 mm at 1 Hz, 39.745 at 2.5. */
static void deflection_is_the_square_of_the_period(void **state) {
  (void)state;
  const double mass = 317;
  for (int i = 0; i < 2; i++) {
    const double f = i ? 2.5 : 1.0, rate = mass * pow(2 * SY_PI * f, 2);
    assert_near(1e3 * sy_ride_deflection(mass * SY_STANDARD_GRAVITY, rate), i ? 39.745 : 248.405, 0.0005);
  }
}

static void modes_refuse_nonsense(void **state) {
  (void)state;
  const double x[2] = {1, -1}, one[2] = {1, 1}, k[2] = {3e4, 3e4}, none[2] = {3e4, 0};
  sy_ride_modes m;
  sy_error err;
  assert_int_equal(sy_ride_modes_of(0, 1, 0, x, k, 2, &m, &err), SY_RANGE);
  assert_string_equal(err.field, "mass");
  assert_int_equal(sy_ride_modes_of(1, -1, 0, x, k, 2, &m, &err), SY_RANGE);
  assert_string_equal(err.field, "inertia");
  assert_int_equal(sy_ride_modes_of(1, 1, (double)NAN, x, k, 2, &m, &err), SY_RANGE);
  assert_int_equal(sy_ride_modes_of(1, 1, 0, x, none, 2, &m, &err), SY_RANGE);
  assert_string_equal(err.part, "spring 2 of 2");
  assert_int_equal(sy_ride_modes_of(1, 1, 0, x, k, 0, &m, &err), SY_RANGE);
  assert_int_equal(sy_ride_modes_of(1, 1, 0, one, k, 2, &m, &err), SY_GEOMETRY);
  assert_int_equal(sy_ride_modes_of(1, 1, 0, (double[2]){1, (double)INFINITY}, k, 2, &m, &err), SY_RANGE);
  assert_true(isnan(sy_ride_dynamic_index(1, 1, 0.5, 0, -2)));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(modes_of_edwards_and_penney),
      cmocka_unit_test(modes_and_nodes_of_rao),
      cmocka_unit_test(modes_solve_the_eigenproblem),
      cmocka_unit_test(axles_do_not_feel_one_another_at_index_one),
      cmocka_unit_test(balanced_springs_do_not_couple),
      cmocka_unit_test(wheel_hop_of_barton_and_fieldhouse),
      cmocka_unit_test(deflection_is_the_square_of_the_period),
      cmocka_unit_test(modes_refuse_nonsense),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
