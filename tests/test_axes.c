#include "base/axes.h"

#include <string.h>

#include "near.h"

static void assert_point(sy_vec3 got, double x, double y, double z) {
  assert_near(got.x, x, 0); /* signs and places only: nothing rounds */
  assert_near(got.y, y, 0);
  assert_near(got.z, z, 0);
}

/* SAE J670, z-down: x forward, y right, z down, against ISO 8855: x forward, y left, z up. The rotation is
** diag(1, -1, -1): (1, 2, 3) is (1, -2, -3), tensor entries xy and xz change sign, yz and the diagonal do not. (The
** directions are the standards'; SAE's z-down is remembered; the signs follow from R J R^T.) */
static void in_and_out_z_down_axes_change_the_signs_of_the_standard(void **state) {
  (void)state;
  const sy_way sae[3] = {SY_FORWARD, SY_RIGHT, SY_DOWN};
  sy_axes axes;
  assert_int_equal(sy_axes_make(sae, (sy_vec3){0, 0, 0}, &axes, NULL), SY_OK);
  assert_false(axes.left_handed);
  assert_point(sy_axes_point_in(&axes, (sy_vec3){1, 2, 3}), 1, -2, -3);
  assert_point(sy_axes_point_out(&axes, (sy_vec3){1, 2, 3}), 1, -2, -3);
  const sy_sym3 j = {11, 22, 33, 12, 13, 23};
  const sy_sym3 in = sy_axes_tensor_in(&axes, j), out = sy_axes_tensor_out(&axes, j);
  assert_memory_equal(&in, &((sy_sym3){11, 22, 33, -12, -13, 23}), sizeof in);
  assert_memory_equal(&out, &in, sizeof in);
}

/* A workshop's axes: x back from the front axle, y right, z up from a floor 40 mm below the ground, centre plane at 12 mm. */
static void in_and_out_back_and_right_counts_from_the_origin(void **state) {
  (void)state;
  const sy_way workshop[3] = {SY_BACK, SY_RIGHT, SY_UP};
  sy_axes axes;
  assert_int_equal(sy_axes_make(workshop, (sy_vec3){0.5, 0.25, 0.125}, &axes, NULL), SY_OK);
  assert_false(axes.left_handed); /* two flips */
  assert_point(sy_axes_point_in(&axes, (sy_vec3){2.5, 1.25, 0.5}), -2, -1, 0.375);
  assert_point(sy_axes_point_out(&axes, (sy_vec3){-2, -1, 0.375}), 2.5, 1.25, 0.5);
  assert_point(sy_axes_vector_in(&axes, (sy_vec3){2.5, 1.25, 0.5}), -2.5, -1.25, 0.5); /* no origin */
  assert_point(sy_axes_vector_out(&axes, (sy_vec3){-2.5, -1.25, 0.5}), 2.5, 1.25, 0.5);
}

/* Axes on their side: x up, y forward, z left. A point 3 up, 1 forward, 2 left. */
static void in_permuted_axes_put_each_coordinate_in_its_place(void **state) {
  (void)state;
  const sy_way side[3] = {SY_UP, SY_FORWARD, SY_LEFT};
  sy_axes axes;
  assert_int_equal(sy_axes_make(side, (sy_vec3){0, 0, 0}, &axes, NULL), SY_OK);
  assert_false(axes.left_handed);
  assert_point(sy_axes_point_in(&axes, (sy_vec3){3, 1, 2}), 1, 2, 3);
  const sy_sym3 in = sy_axes_tensor_in(&axes, (sy_sym3){33, 11, 22, 13, 23, 12}); /* file xx is up-up ... */
  assert_memory_equal(&in, &((sy_sym3){11, 22, 33, 12, 13, 23}), sizeof in);
}

/* Every one of the 48 sets: handedness by the triple product of its directions, and everything survives the way in and
** out, left-handed sets included. */
static void make_all_sets_know_their_hand_and_come_back(void **state) {
  (void)state;
  int good = 0;
  for (int i = 0; i < 216; i++) {
    const sy_way set[3] = {(sy_way)(i % 6), (sy_way)(i / 6 % 6), (sy_way)(i / 36)};
    sy_axes axes;
    if (sy_axes_make(set, (sy_vec3){0.5, -0.25, 2}, &axes, NULL) != SY_OK) continue;
    good++;
    const sy_vec3 x = sy_way_vector(set[0]), y = sy_way_vector(set[1]), z = sy_way_vector(set[2]);
    assert_true(axes.left_handed == (sy_vec3_dot(sy_vec3_cross(x, y), z) < 0));
    const sy_vec3 p = {1.25, -3.5, 0.75};
    assert_point(sy_axes_point_out(&axes, sy_axes_point_in(&axes, p)), p.x, p.y, p.z);
    const sy_sym3 j = {11, 22, 33, 12, 13, 23};
    const sy_sym3 back = sy_axes_tensor_out(&axes, sy_axes_tensor_in(&axes, j));
    assert_memory_equal(&back, &j, sizeof j);
    /* a reflection keeps what a tensor says about a direction: v^T J v */
    const sy_sym3 in = sy_axes_tensor_in(&axes, j);
    assert_near(sy_sym3_quadratic(in, sy_axes_vector_in(&axes, p)), sy_sym3_quadratic(j, p), 1e-12);
  }
  assert_int_equal(good, 48); /* 3! orders x 2^3 signs */
}

static void make_clashing_directions_are_refused_by_name(void **state) {
  (void)state;
  const sy_way clash[3] = {SY_FORWARD, SY_LEFT, SY_BACK};
  sy_axes axes;
  memset(&axes, 7, sizeof axes);
  const sy_axes before = axes;
  sy_error err;
  assert_int_equal(sy_axes_make(clash, (sy_vec3){0, 0, 0}, &axes, &err), SY_CLASH);
  assert_string_equal(err.part, "axes");
  assert_string_equal(err.field, "z");
  assert_string_equal(err.message, "runs back, along the same line as x, which runs forward");
  assert_memory_equal(&axes, &before, sizeof axes);
}

static void make_wrong_directions_and_origins_are_refused(void **state) {
  (void)state;
  sy_axes axes;
  sy_error err;
  const sy_way wrong[3] = {SY_FORWARD, (sy_way)6, SY_UP}, right[3] = {SY_FORWARD, SY_LEFT, SY_UP};
  assert_int_equal(sy_axes_make(wrong, (sy_vec3){0, 0, 0}, &axes, &err), SY_RANGE);
  assert_string_equal(err.field, "y");
  assert_int_equal(sy_axes_make(right, (sy_vec3){0, (double)NAN, 0}, &axes, &err), SY_RANGE);
  assert_string_equal(err.field, "origin");
}

static void way_names_are_the_six_words(void **state) {
  (void)state;
  const char *const words[] = {"forward", "back", "left", "right", "up", "down"};
  for (int i = 0; i < SY_WAY_COUNT; i++) assert_string_equal(sy_way_name((sy_way)i), words[i]);
  assert_string_equal(sy_way_name(SY_WAY_COUNT), "none");
  assert_point(sy_way_vector(SY_RIGHT), 0, -1, 0); /* y runs left */
  assert_point(sy_way_vector(SY_DOWN), 0, 0, -1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(in_and_out_z_down_axes_change_the_signs_of_the_standard),
      cmocka_unit_test(in_and_out_back_and_right_counts_from_the_origin),
      cmocka_unit_test(in_permuted_axes_put_each_coordinate_in_its_place),
      cmocka_unit_test(make_all_sets_know_their_hand_and_come_back),
      cmocka_unit_test(make_clashing_directions_are_refused_by_name),
      cmocka_unit_test(make_wrong_directions_and_origins_are_refused),
      cmocka_unit_test(way_names_are_the_six_words),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
