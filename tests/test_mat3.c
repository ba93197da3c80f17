#include "base/mat3.h"

#include <float.h>

#include "base/frame.h"
#include "near.h"

static const sy_mat3 A = {{{2.31, -0.47, 1.19}, {0.83, 3.07, -1.61}, {-2.29, 0.59, 1.73}}};
static const sy_mat3 B = {{{0.29, 1.37, -0.71}, {2.11, -0.13, 0.97}, {-1.03, 0.61, 2.53}}};

/* Products and determinant by NumPy 1.24: A @ B, numpy.linalg.det(A). */
static void mul_transpose_and_det_match_numpy(void **state) {
  (void)state;
  const sy_mat3 ab = sy_mat3_mul(A, B);
  assert_near(ab.m[0][2], 0.9147, 1e-14); /* four roundings of terms below 4 */
  assert_near(ab.m[1][0], 8.3767, 1e-14);
  assert_near(ab.m[2][1], -2.1587, 1e-14);
  assert_near(sy_mat3_transpose(A).m[0][2], -2.29, 0);
  assert_near(sy_mat3_det(A), 22.35374, 1e-13);
  assert_near(sy_mat3_det(ab), sy_mat3_det(A) * sy_mat3_det(B), 1e-12);
}

static void is_rotation_accepts_turns_and_refuses_the_rest(void **state) {
  (void)state;
  const double tol = 8 * DBL_EPSILON; /* roundings of three products */
  const sy_mat3 turn = sy_frame_rotation(0.31, -1.07, 2.9);
  assert_true(sy_mat3_is_rotation(turn, tol));
  sy_mat3 other = turn;
  other.m[1][2] += 1e-9;
  assert_false(sy_mat3_is_rotation(other, tol));
  assert_true(sy_mat3_is_rotation(other, 1e-8));
  const sy_mat3 mirror = {{{1, 0, 0}, {0, -1, 0}, {0, 0, 1}}};
  assert_false(sy_mat3_is_rotation(mirror, tol));
  other.m[0][0] = (double)NAN;
  assert_false(sy_mat3_is_rotation(other, 1.0));
}

/* S(d) is defined by u^T S u = |d x u|^2: the square of the distance from the axis u. */
static void steiner_is_the_square_of_the_distance_from_an_axis(void **state) {
  (void)state;
  const sy_vec3 d = {0.137, -2.385, 0.81}, u = {0.6, 0.0, -0.8}, w = {-0.48, 0.6, -0.64};
  const sy_vec3 across = sy_vec3_cross(d, u), other = sy_vec3_cross(d, w);
  const double tol = 16 * DBL_EPSILON * sy_vec3_dot(d, d);
  assert_near(sy_sym3_quadratic(sy_sym3_steiner(d), u), sy_vec3_dot(across, across), tol);
  assert_near(sy_sym3_quadratic(sy_sym3_steiner(d), w), sy_vec3_dot(other, other), tol);
}

static void assert_same_tensor(sy_sym3 got, sy_sym3 want, double tol) {
  assert_near(got.xx, want.xx, tol);
  assert_near(got.yy, want.yy, tol);
  assert_near(got.zz, want.zz, tol);
  assert_near(got.xy, want.xy, tol);
  assert_near(got.xz, want.xz, tol);
  assert_near(got.yz, want.yz, tol);
}

/* Turning the point turns its Steiner matrix: S(R d) = R S(d) R^T, reflections included. */
static void turn_carries_steiner_along(void **state) {
  (void)state;
  const sy_vec3 d = {0.137, -2.385, 0.81};
  sy_mat3 r = sy_frame_rotation(0.31, -1.07, 2.9);
  const double tol = 32 * DBL_EPSILON * sy_vec3_dot(d, d);
  assert_same_tensor(sy_sym3_turn(r, sy_sym3_steiner(d)), sy_sym3_steiner(sy_mat3_apply(r, d)), tol);
  r.m[1][0] = -r.m[1][0], r.m[1][1] = -r.m[1][1], r.m[1][2] = -r.m[1][2];
  assert_same_tensor(sy_sym3_turn(r, sy_sym3_steiner(d)), sy_sym3_steiner(sy_mat3_apply(r, d)), tol);
}

static sy_sym3 rebuild(const sy_eigen3 *e) {
  sy_sym3 sum = {0, 0, 0, 0, 0, 0};
  for (int i = 0; i < 3; i++) {
    const sy_vec3 v = e->axis[i];
    const sy_sym3 outer = {v.x * v.x, v.y * v.y, v.z * v.z, v.x * v.y, v.x * v.z, v.y * v.z};
    sum = sy_sym3_add(sum, sy_sym3_scale(e->value[i], outer));
  }
  return sum;
}

static void assert_decomposes(sy_sym3 a, double size) {
  const sy_eigen3 e = sy_sym3_eigen(a);
  const double tol = 32 * DBL_EPSILON; /* some six sweeps of rotations, each entry a few roundings */
  assert_same_tensor(rebuild(&e), a, tol * size);
  assert_true(e.value[0] <= e.value[1] && e.value[1] <= e.value[2]);
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) assert_near(sy_vec3_dot(e.axis[i], e.axis[j]), i == j ? 1 : 0, tol);
  assert_near(sy_vec3_dot(sy_vec3_cross(e.axis[0], e.axis[1]), e.axis[2]), 1, tol);
}

static void eigen_of_any_size_and_shape_rebuilds_the_tensor(void **state) {
  (void)state;
  assert_decomposes((sy_sym3){548.3, 2211.7, 2390.1, -13.7, 71.9, 4.21}, 2400);
  assert_decomposes((sy_sym3){1, 1, 1, 0.999999999, 0.999999999, 0.999999999}, 3);
  assert_decomposes((sy_sym3){2.3e200, -1.7e200, 4.1e199, 9.9e199, -3e200, 1e150}, 5e200);
  assert_decomposes((sy_sym3){2.3e-200, 1.7e-200, 4.1e-199, 9.9e-200, -3e-200, 1e-250}, 5e-199);
  assert_decomposes((sy_sym3){5, 5, 5, 0, 0, 0}, 5);
  assert_decomposes((sy_sym3){0, 0, 0, 0, 0, 0}, 0);
  assert_decomposes((sy_sym3){0, 0, 0, 0, 0, 3.7}, 3.7);
  assert_decomposes((sy_sym3){1e-30, 1e12, 1, 1e-9, 1e-14, 1e5}, 1e12);
}

/* numpy.linalg.eigvalsh of [[548.3, -13.7, 71.9], [-13.7, 2211.7, 4.21], [71.9, 4.21, 2390.1]], NumPy 1.24 (LAPACK). */
static void eigen_values_match_lapack(void **state) {
  (void)state;
  const sy_eigen3 e = sy_sym3_eigen((sy_sym3){548.3, 2211.7, 2390.1, -13.7, 71.9, 4.21});
  const double tol = 2e-12; /* 4 ulp of the largest */
  assert_near(e.value[0], 545.3822620271786, tol);
  assert_near(e.value[1], 2211.740705063969, tol);
  assert_near(e.value[2], 2392.9770329088533, tol);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(mul_transpose_and_det_match_numpy),
      cmocka_unit_test(is_rotation_accepts_turns_and_refuses_the_rest),
      cmocka_unit_test(steiner_is_the_square_of_the_distance_from_an_axis),
      cmocka_unit_test(turn_carries_steiner_along),
      cmocka_unit_test(eigen_of_any_size_and_shape_rebuilds_the_tensor),
      cmocka_unit_test(eigen_values_match_lapack),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
