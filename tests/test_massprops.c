#include "mass/massprops.h"

#include <float.h>
#include <string.h>

#include "mass/solids.h"
#include "reference_data.h"

static void assert_same_body(const sy_massprops *got, const sy_massprops *want, double length_tol,
                             double inertia_tol) {
  assert_near(got->mass, want->mass, 8 * DBL_EPSILON * want->mass);
  assert_near(got->cg.x, want->cg.x, length_tol);
  assert_near(got->cg.y, want->cg.y, length_tol);
  assert_near(got->cg.z, want->cg.z, length_tol);
  assert_near(got->inertia.xx, want->inertia.xx, inertia_tol);
  assert_near(got->inertia.yy, want->inertia.yy, inertia_tol);
  assert_near(got->inertia.zz, want->inertia.zz, inertia_tol);
  assert_near(got->inertia.xy, want->inertia.xy, inertia_tol);
  assert_near(got->inertia.xz, want->inertia.xz, inertia_tol);
  assert_near(got->inertia.yz, want->inertia.yz, inertia_tol);
}

/* Five parts without symmetry, each a body that can exist. */
static void five_parts(sy_massprops p[5]) {
  sy_solid_box(96.2, 0.54, 0.62, 0.47, &p[0], NULL);
  sy_solid_cylinder(41.9, 0.31, 0.62, &p[1], NULL);
  sy_solid_hollow_sphere(3.37, 0.29, 0.23, &p[2], NULL);
  sy_solid_cone(7.7, 0.41, 0.37, &p[3], NULL);
  p[4] = (sy_massprops){0.0, {9, 9, 9}, {0, 0, 0, 0, 0, 0}}; /* a massless part changes nothing */
  const sy_vec3 at[4] = {
      {-1.78, 0.012, 0.331}, {-2.29, -0.137, 0.29}, {-0.41, 0.77, 0.685}, {0.53, -0.61, 0.21}};
  for (int i = 0; i < 4; i++) {
    const sy_frame f = {sy_frame_rotation(0.3 * i, 0.21 - 0.4 * i, 1.1 * i), at[i]};
    p[i] = sy_massprops_place(&p[i], &f);
  }
}

static const double METRES = 16 * DBL_EPSILON * 3;    /* roundings of coordinates below 3 m */
static const double INERTIA = 32 * DBL_EPSILON * 300; /* of moments below 300 kg m2 */

/* Four bodies of the benchmark bicycle: J. P. Meijaard, J. M. Papadopoulos, A. Ruina, A. L. Schwab, Proc. R. Soc. A 463
** (2007), table 1 (fork inertia to full digits remembered). z is down, origin at the rear contact. Published: Ixx about
** the ground line 80.81722, sum m z -80.95. The other figures follow by hand from the table. */
static void combine_benchmark_bicycle_matches_the_published_sums(void **state) {
  (void)state;
  const sy_massprops body[4] = {{2, {0, 0, -0.3}, {0.0603, 0.12, 0.0603, 0, 0, 0}},
                                {85, {0.3, 0, -0.9}, {9.2, 11, 2.8, 0, 2.4, 0}},
                                {4, {0.9, 0, -0.7}, {0.05892, 0.06, 0.00708, 0, -0.00756, 0}},
                                {3, {1.02, 0, -0.35}, {0.1405, 0.28, 0.1405, 0, 0, 0}}};
  sy_massprops bicycle;
  assert_int_equal(sy_massprops_combine(body, 4, &bicycle, NULL), SY_OK);
  const sy_sym3 ground = sy_massprops_inertia_about(&bicycle, (sy_vec3){0, 0, 0});
  const double tol = 64 * DBL_EPSILON * 100;
  assert_near(bicycle.mass, 94, 0);
  assert_near(bicycle.mass * bicycle.cg.z, -80.95, tol);
  assert_near(ground.xx, 80.81722, tol);
  assert_near(ground.xz, 28.93344, tol);
  assert_near(ground.zz, 17.01908, tol);
  assert_near(bicycle.cg.x, 0.34212766, 0.5e-8);
  assert_near(bicycle.cg.z, -0.86117021, 0.5e-8);
}

/* Cube of edge b about a corner: 2/3 M b^2 on the diagonal, -1/4 M b^2 off it; principal moments 1/6, 11/12, 11/12 with the
** first along the space diagonal. Standard example of classical mechanics texts (Marion & Thornton; remembered), exact. */
static void inertia_about_the_corner_of_a_cube(void **state) {
  (void)state;
  const double m = 23.85, b = 0.137, unit = m * b * b;
  sy_massprops cube;
  assert_int_equal(sy_solid_box(m, b, b, b, &cube, NULL), SY_OK);
  cube.cg = (sy_vec3){b / 2, b / 2, b / 2};
  const double tol = 8 * DBL_EPSILON * unit;
  sy_massprops pinned = {m, {0, 0, 0}, sy_massprops_inertia_about(&cube, (sy_vec3){0, 0, 0})};
  assert_near(pinned.inertia.xx, unit * 2 / 3, tol);
  assert_near(pinned.inertia.zz, unit * 2 / 3, tol);
  assert_near(pinned.inertia.xy, -unit / 4, tol);
  assert_near(pinned.inertia.yz, -unit / 4, tol);
  const sy_eigen3 e = sy_massprops_principal(&pinned);
  assert_near(e.value[0], unit / 6, tol);
  assert_near(e.value[1], unit * 11 / 12, tol);
  assert_near(e.value[2], unit * 11 / 12, tol);
  assert_near(fabs(sy_vec3_dot(e.axis[0], (sy_vec3){1, 1, 1})), sqrt(3.0), 8 * DBL_EPSILON);
}

static void combine_order_changes_rounding_only(void **state) {
  (void)state;
  sy_massprops p[5], forward, backward;
  five_parts(p);
  assert_int_equal(sy_massprops_combine(p, 5, &forward, NULL), SY_OK);
  const sy_massprops turned[5] = {p[3], p[4], p[0], p[2], p[1]};
  assert_int_equal(sy_massprops_combine(turned, 5, &backward, NULL), SY_OK);
  assert_same_body(&backward, &forward, METRES, INERTIA);
}

static void combine_in_steps_is_combining_at_once(void **state) {
  (void)state;
  sy_massprops p[5], once, steps;
  five_parts(p);
  assert_int_equal(sy_massprops_combine(p, 5, &once, NULL), SY_OK);
  sy_massprops pair[2];
  assert_int_equal(sy_massprops_combine(p, 2, &pair[0], NULL), SY_OK);
  assert_int_equal(sy_massprops_combine(p + 2, 3, &pair[1], NULL), SY_OK);
  assert_int_equal(sy_massprops_combine(pair, 2, &steps, NULL), SY_OK);
  assert_same_body(&steps, &once, METRES, INERTIA);
  assert_int_equal(sy_massprops_combine(pair, 2, &pair[1], NULL), SY_OK); /* out may be one of the parts */
  assert_memory_equal(&pair[1], &steps, sizeof steps);
}

/* A box cut in two unequal lengths and joined again. */
static void combine_the_halves_of_a_box_makes_the_box(void **state) {
  (void)state;
  sy_massprops half[2], joint, box;
  sy_solid_box(21.7 * 0.3, 0.3, 0.4, 0.5, &half[0], NULL);
  sy_solid_box(21.7 * 0.9, 0.9, 0.4, 0.5, &half[1], NULL);
  half[0].cg.x = -2 + 0.15;
  half[1].cg.x = -2 + 0.75;
  sy_solid_box(21.7 * 1.2, 1.2, 0.4, 0.5, &box, NULL);
  box.cg.x = -1.4;
  assert_int_equal(sy_massprops_combine(half, 2, &joint, NULL), SY_OK);
  assert_same_body(&joint, &box, METRES, INERTIA);
}

/* Moving the frame moves the answer and nothing else: turned, and 1 km away, where squares of coordinates are 1e6 times
** those of the parts. Only the rounding of the moved coordinates themselves may show: 1e3 x 2^-53 m, times mass x size. */
static void combine_commutes_with_a_change_of_frame(void **state) {
  (void)state;
  sy_massprops p[5], here, there, moved[5];
  five_parts(p);
  assert_int_equal(sy_massprops_combine(p, 5, &here, NULL), SY_OK);
  const sy_frame frame = {sy_frame_rotation(-0.9, 0.4, 2.2), {1000, -700, 300}};
  for (int i = 0; i < 5; i++) moved[i] = sy_massprops_place(&p[i], &frame);
  assert_int_equal(sy_massprops_combine(moved, 5, &there, NULL), SY_OK);
  const sy_massprops want = sy_massprops_place(&here, &frame);
  assert_same_body(&there, &want, 1e-12, 150 * 2 * 1e-12);
}

static void remove_takes_out_what_was_put_in(void **state) {
  (void)state;
  sy_massprops p[5], whole, rest, want;
  five_parts(p);
  assert_int_equal(sy_massprops_combine(p, 4, &whole, NULL), SY_OK);
  for (int out = 0; out < 4; out++) {
    sy_massprops others[3];
    for (int i = 0, n = 0; i < 4; i++)
      if (i != out) others[n++] = p[i];
    assert_int_equal(sy_massprops_combine(others, 3, &want, NULL), SY_OK);
    assert_int_equal(sy_massprops_remove(&whole, &p[out], &rest, NULL), SY_OK);
    assert_same_body(&rest, &want, 4 * METRES, 4 * INERTIA); /* the rest may be a third of the whole */
  }
}

/* Taking one of two point masses leaves a point mass: no noise that a later check would call unphysical. */
static void remove_down_to_a_point_mass_leaves_no_inertia(void **state) {
  (void)state;
  const sy_massprops p[2] = {{38.1, {-1.137, 0.71, 0.33}, {0, 0, 0, 0, 0, 0}},
                             {0.73, {0.29, -0.55, 0.61}, {0, 0, 0, 0, 0, 0}}};
  sy_massprops whole, rest;
  assert_int_equal(sy_massprops_combine(p, 2, &whole, NULL), SY_OK);
  assert_int_equal(sy_massprops_remove(&whole, &p[0], &rest, NULL), SY_OK);
  assert_int_equal(sy_massprops_check(&rest, 0, "rest", NULL), SY_OK);
  assert_near(rest.inertia.xx, 0, 0);
  assert_near(rest.cg.x, 0.29, 1e-13); /* 38.1/0.73 times the whole's rounding */
}

static void remove_refuses_what_was_not_inside(void **state) {
  (void)state;
  sy_massprops whole, part, out = {-7, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  sy_solid_box(100, 1, 1, 1, &whole, NULL);
  sy_solid_box(10, 0.1, 0.1, 0.1, &part, NULL);
  part.cg.x = 3; /* 2.5 m outside */
  sy_error err;
  assert_int_equal(sy_massprops_remove(&whole, &part, &out, &err), SY_GEOMETRY);
  assert_string_equal(err.part, "part");
  assert_string_equal(err.field, "inertia");
  assert_string_equal(
      err.message,
      "does not fit the whole's: what would be left is not a physical body, so the part was not inside it");
  part.mass = 100;
  assert_int_equal(sy_massprops_remove(&whole, &part, &out, &err), SY_RANGE);
  assert_string_equal(err.field, "mass");
  assert_string_equal(err.message, "is 100 kg of the whole's 100 kg: nothing would be left");
  part.mass = (double)NAN;
  assert_int_equal(sy_massprops_remove(&whole, &part, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "part");
  whole.inertia.yz = (double)INFINITY;
  assert_int_equal(sy_massprops_remove(&whole, &part, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "whole");
  assert_string_equal(err.field, "inertia");
  assert_near(out.mass, -7, 0);
}

/* 0.1 + 0.2 - 0.3 is 5.6e-17 in doubles, and no body. */
static void remove_everything_but_rounding_is_refused(void **state) {
  (void)state;
  const sy_massprops whole = {0.1 + 0.2, {1, 0, 0}, {0, 0, 0, 0, 0, 0}},
                     part = {0.3, {1, 0, 0}, {0, 0, 0, 0, 0, 0}};
  sy_massprops out;
  assert_true(whole.mass > part.mass);
  assert_int_equal(sy_massprops_remove(&whole, &part, &out, NULL), SY_RANGE);
}

static void place_carries_the_axis_of_a_cylinder(void **state) {
  (void)state;
  sy_massprops shaft;
  sy_solid_cylinder(12, 6, 5, &shaft, NULL); /* 52, 52, 54 about x, y and its axis z */
  const sy_frame nose_down = {sy_frame_rotation(0, acos(-1.0) / 2, 0), {-1, 0.5, 0.25}};
  shaft = sy_massprops_place(&shaft, &nose_down); /* z to x */
  const double tol = 8 * DBL_EPSILON * 54;
  assert_near(shaft.inertia.xx, 54, tol);
  assert_near(shaft.inertia.zz, 52, tol);
  assert_near(shaft.inertia.xz, 0, tol);
  assert_near(shaft.cg.y, 0.5, 0);
}

/* A mirror image by definition: reflect point masses of a body one by one. */
static void mirror_is_the_body_of_mirrored_points(void **state) {
  (void)state;
  sy_massprops p[3] = {{3.1, {0.2, 0.7, 0.3}, {0, 0, 0, 0, 0, 0}},
                       {5.3, {-0.4, 0.9, 0.5}, {0, 0, 0, 0, 0, 0}},
                       {0.7, {1.1, 0.2, -0.2}, {0, 0, 0, 0, 0, 0}}};
  sy_massprops body, image;
  sy_massprops_combine(p, 3, &body, NULL);
  for (int i = 0; i < 3; i++) p[i].cg.y = 2 * 0.0625 - p[i].cg.y;
  sy_massprops_combine(p, 3, &image, NULL);
  const sy_massprops mirrored = sy_massprops_mirror(&body, 0.0625);
  assert_same_body(&mirrored, &image, METRES, 16 * DBL_EPSILON * 10);
  const sy_massprops back = sy_massprops_mirror(&mirrored, 0.0625);
  assert_same_body(&back, &body, METRES, 0);
}

static void combine_names_the_bad_part_and_field(void **state) {
  (void)state;
  sy_massprops p[5], out = {-7, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  sy_error err;
  five_parts(p);
  p[2].mass = -3.37;
  assert_int_equal(sy_massprops_combine(p, 5, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "part 3 of 5");
  assert_string_equal(err.field, "mass");
  assert_string_equal(err.message, "is -3.37 kg, must be >= 0 and finite");
  five_parts(p);
  p[4].cg.z = (double)NAN;
  assert_int_equal(sy_massprops_combine(p, 5, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "part 5 of 5");
  assert_string_equal(err.field, "cg");
  five_parts(p);
  p[0].inertia.xy = (double)INFINITY;
  assert_int_equal(sy_massprops_combine(p, 5, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "part 1 of 5");
  assert_string_equal(err.field, "inertia");
  assert_string_equal(err.message, "has an entry that is not finite");
  assert_int_equal(sy_massprops_combine(p, 0, &out, &err), SY_MISSING);
  assert_string_equal(err.part, "parts");
  assert_string_equal(err.field, "count");
  five_parts(p);
  assert_int_equal(sy_massprops_combine(p + 4, 1, &out, &err), SY_RANGE);
  assert_string_equal(err.field, "mass");
  assert_string_equal(err.message, "sum is 0 kg, must be > 0");
  p[0].mass = p[1].mass = DBL_MAX;
  assert_int_equal(sy_massprops_combine(p, 2, &out, &err), SY_RANGE);
  assert_string_equal(err.part, "parts");
  assert_near(out.mass, -7, 0);
}

static void check_says_why_a_body_cannot_be(void **state) {
  (void)state;
  sy_error err;
  sy_massprops b = {10, {0, 0, 0}, {1, 2, 3.5, 0, 0, 0}};
  assert_int_equal(sy_massprops_check(&b, 1e-9, "bracket", &err), SY_GEOMETRY);
  assert_string_equal(err.part, "bracket");
  assert_string_equal(err.field, "inertia");
  assert_string_equal(
      err.message,
      "has principal moments 1, 2 and 3.5 kg m2: no body has one above the sum of the other two");
  assert_int_equal(sy_massprops_check(&b, 0.15, "bracket", &err), SY_OK); /* 0.5 over, 0.525 allowed */
  b.inertia.xx = -1;
  assert_int_equal(sy_massprops_check(&b, 1e-9, "bracket", &err), SY_GEOMETRY);
  assert_string_equal(err.message, "has a principal moment of -1 kg m2, must be >= 0");
  b.inertia = (sy_sym3){2, 2, 2, 1.9, 0, 0}; /* diagonal fine, principal moments 0.1, 2, 3.9 */
  assert_int_equal(sy_massprops_check(&b, 1e-9, "bracket", &err), SY_GEOMETRY);
  b.mass = -1;
  assert_int_equal(sy_massprops_check(&b, 1e-9, "bracket", &err), SY_RANGE);
  assert_string_equal(err.field, "mass");
}

/* Plausibility: 25 measured vehicles, SAE 1999-01-1336 (table's head says more). A real body passes the check as it is
** measured, Ixz of either sign; all 204 rows behind the table lie within 815-2667 kg and cg heights of 0.489-0.838 m. */
static void check_passes_every_measured_vehicle(void **state) {
  (void)state;
  const table t = table_read("tests/reference/vehicle_inertia.csv");
  enum { MASS = 3, HEIGHT = 4, IXX = 7, IYY = 8, IZZ = 9, IXZ = 10 };
  assert_int_equal(t.rows, 25);
  for (size_t i = 0; i < t.rows; i++) {
    const double *r = t.cell[i];
    assert_true(r[MASS] >= 814.5 && r[MASS] <= 2667.5);
    assert_true(r[HEIGHT] >= 0.489 && r[HEIGHT] <= 0.838);
    const double xz = isnan(r[IXZ]) ? 0 : r[IXZ];
    const sy_massprops plus = {r[MASS], {0, 0, r[HEIGHT]}, {r[IXX], r[IYY], r[IZZ], 0, xz, 0}};
    const sy_massprops minus = {r[MASS], {0, 0, r[HEIGHT]}, {r[IXX], r[IYY], r[IZZ], 0, -xz, 0}};
    assert_int_equal(sy_massprops_check(&plus, 0, "vehicle", NULL), SY_OK);
    assert_int_equal(sy_massprops_check(&minus, 0, "vehicle", NULL), SY_OK);
    /* the axis of the least moment, roll, stays within 6 degrees of lengthwise */
    const sy_eigen3 e = sy_massprops_principal(&plus);
    assert_true(fabs(e.axis[0].x) > cos(0.1));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(combine_benchmark_bicycle_matches_the_published_sums),
      cmocka_unit_test(inertia_about_the_corner_of_a_cube),
      cmocka_unit_test(combine_order_changes_rounding_only),
      cmocka_unit_test(combine_in_steps_is_combining_at_once),
      cmocka_unit_test(combine_the_halves_of_a_box_makes_the_box),
      cmocka_unit_test(combine_commutes_with_a_change_of_frame),
      cmocka_unit_test(remove_takes_out_what_was_put_in),
      cmocka_unit_test(remove_down_to_a_point_mass_leaves_no_inertia),
      cmocka_unit_test(remove_refuses_what_was_not_inside),
      cmocka_unit_test(remove_everything_but_rounding_is_refused),
      cmocka_unit_test(place_carries_the_axis_of_a_cylinder),
      cmocka_unit_test(mirror_is_the_body_of_mirrored_points),
      cmocka_unit_test(combine_names_the_bad_part_and_field),
      cmocka_unit_test(check_says_why_a_body_cannot_be),
      cmocka_unit_test(check_passes_every_measured_vehicle),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
