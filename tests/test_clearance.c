#include "shop/clearance.h"

#include <float.h>

#include "base/units.h"
#include "mesh_tools.h"

#define CLOSE 2e-7 /* m: the bracket in which the iteration stops is 1e-7 */

static sy_envelope a_box(double l, double w, double h, sy_vec3 at) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_POINTS);
  e.count = 8;
  for (int i = 0; i < 8; i++)
    e.point[i] = (sy_vec3){(i & 1 ? 0.5 : -0.5) * l, (i & 2 ? 0.5 : -0.5) * w, (i & 4 ? 0.5 : -0.5) * h};
  e.place.at = at;
  return e;
}

static sy_envelope a_line(sy_vec3 from, sy_vec3 to, double radius) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_POINTS);
  e.count = 2;
  e.point[0] = from;
  e.point[1] = to;
  e.rounding = radius;
  return e;
}

static sy_envelope a_ball(sy_vec3 at, double radius) {
  sy_envelope e = a_line(at, at, radius);
  e.count = 1;
  return e;
}

static sy_envelope a_cylinder(double radius, double length, sy_vec3 at, sy_mat3 turn) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_ROUND);
  e.end[0] = (sy_vec3){0, 0, -0.5 * length};
  e.end[1] = (sy_vec3){0, 0, 0.5 * length};
  e.radius[0] = e.radius[1] = radius;
  e.place = (sy_frame){turn, at};
  return e;
}

static sy_gap gap_of(const sy_envelope *a, const sy_envelope *b) {
  sy_gap g;
  sy_error err = {.status = SY_OK};
  must(sy_clearance(a, b, &g, &err), &err);
  return g;
}

static void assert_gap(sy_envelope a, sy_envelope b, double want) {
  const sy_gap ab = gap_of(&a, &b), ba = gap_of(&b, &a);
  assert_near(ab.gap, want, CLOSE);
  assert_near(ba.gap, want, CLOSE);
  assert_int_equal(ab.overlap, want < 0);
  assert_true(ab.uncertainty <= CLOSE);
  if (want > 0)
    assert_near(sy_vec3_length(sy_vec3_sub(ab.at[0], ab.at[1])) - a.rounding - b.rounding, want, CLOSE);
}

/* Plane geometry; each figure by hand. */
static void distances_of_simple_bodies_are_those_of_geometry(void **state) {
  (void)state;
  const sy_mat3 straight = sy_mat3_identity(), lying = sy_frame_rotation(0, SY_PI / 2, 0);
  assert_gap(a_ball((sy_vec3){0, 0, 0}, 0.3), a_ball((sy_vec3){1, 2, 2}, 0.45), 3 - 0.75);
  assert_gap(a_ball((sy_vec3){0, 0, 0}, 2), a_ball((sy_vec3){1, 2, 2}, 1.5),
             -0.5); /* roundings overlap by that much */
  /* lines at right angles, 0.7 apart; then end to end */
  assert_gap(a_line((sy_vec3){-1, 0, 0}, (sy_vec3){1, 0, 0}, 0.1),
             a_line((sy_vec3){0, -1, 0.7}, (sy_vec3){0, 1, 0.7}, 0.2), 0.4);
  assert_gap(a_line((sy_vec3){-1, 0, 0}, (sy_vec3){1, 0, 0}, 0),
             a_line((sy_vec3){4, 4, 0}, (sy_vec3){9, 4, 0}, 0), 5);
  /* boxes face to face, edge to edge, corner to corner */
  assert_gap(a_box(2, 2, 2, (sy_vec3){0, 0, 0}), a_box(1, 3, 1, (sy_vec3){2.25, 0.3, 0.1}), 0.75);
  assert_gap(a_box(2, 2, 2, (sy_vec3){0, 0, 0}), a_box(2, 2, 2, (sy_vec3){2.3, 2.4, 0.5}), 0.5);
  assert_gap(a_box(2, 2, 2, (sy_vec3){0, 0, 0}), a_box(2, 2, 2, (sy_vec3){3, 4, 4}), 3);
  /* cylinders side by side, end on, and crossed at right angles */
  assert_gap(a_cylinder(0.5, 2, (sy_vec3){0, 0, 0}, straight),
             a_cylinder(0.25, 2, (sy_vec3){3, 4, 0.5}, straight), 4.25);
  assert_gap(a_cylinder(0.5, 2, (sy_vec3){0, 0, 0}, straight),
             a_cylinder(0.25, 2, (sy_vec3){0.2, 0.1, 3}, straight), 1);
  assert_gap(a_cylinder(0.5, 2, (sy_vec3){0, 0, 0}, straight),
             a_cylinder(0.25, 2, (sy_vec3){0, 1.5, 0}, lying), 0.75);
  /* a ball over the rim of a cylinder: rim at (0.5, 1) in the plane of axis and centre */
  assert_gap(a_cylinder(0.5, 2, (sy_vec3){0, 0, 0}, straight), a_ball((sy_vec3){0, 0.8, 1.4}, 0.1), 0.4);
  /* a ball beside a cone of radius 1 and height 1: the slant is x + z = 1 / sqrt 2 away */
  sy_envelope cone = sy_envelope_default(SY_ENVELOPE_ROUND);
  cone.end[0] = (sy_vec3){0, 0, 0};
  cone.end[1] = (sy_vec3){0, 0, 1};
  cone.radius[0] = 1;
  cone.radius[1] = 0;
  assert_gap(cone, a_ball((sy_vec3){1.5, 0, 1.5}, 0.2), sqrt(2) - 0.2);
  sy_envelope egg = sy_envelope_default(SY_ENVELOPE_ELLIPSOID);
  egg.half = (sy_vec3){1, 2, 3};
  assert_gap(egg, a_ball((sy_vec3){0, 5, 0}, 1), 2);
  assert_gap(egg, a_box(1, 1, 1, (sy_vec3){0, 0, -4}), 0.5);
}

static void overlapping_bodies_have_no_gap(void **state) {
  (void)state;
  const sy_envelope box = a_box(2, 2, 2, (sy_vec3){0, 0, 0});
  sy_envelope other = a_box(1, 1, 1, (sy_vec3){0.9, 0.2, 0.3});
  sy_gap g = gap_of(&box, &other);
  assert_true(g.overlap);
  assert_near(g.gap, 0, 0);
  other = a_ball((sy_vec3){0.1, 0.2, 0.3}, 0.2);
  g = gap_of(&box, &other);
  assert_true(g.overlap);
  assert_near(g.gap, -0.2, 0);
  other = a_box(1, 1, 1, (sy_vec3){1.5, 0, 0}); /* face on face: touching counts */
  assert_true(gap_of(&box, &other).overlap);
}

/* What leaves upwards needs all of its way. */
static void swept_body_needs_its_way(void **state) {
  (void)state;
  sy_envelope engine = a_box(0.5, 0.4, 0.4, (sy_vec3){0, 0, 0.2});
  const sy_envelope hoop = a_line((sy_vec3){0.4, -0.5, 0.9}, (sy_vec3){0.4, 0.5, 0.9}, 0.02);
  assert_near(gap_of(&engine, &hoop).gap, hypot(0.15, 0.5) - 0.02, CLOSE);
  engine.sweep = (sy_vec3){0, 0, 0.8};
  assert_near(gap_of(&engine, &hoop).gap, 0.13, CLOSE);
  engine.sweep = (sy_vec3){0.3, 0, 0.8};
  assert_true(gap_of(&engine, &hoop).overlap);
}

/* An angle of two boxes as one closed surface would be: here two boxes that do not touch, 0.2 apart, seen as one mesh. */
static void mesh_need_not_be_convex(void **state) {
  (void)state;
  body b = {.corners = 0};
  add_box(&b, (double[3]){0, 0, 0}, (double[3]){1, 0.1, 1}, false);
  add_box(&b, (double[3]){0, 0.9, 0}, (double[3]){1, 1, 1}, false);
  sy_mesh *mesh = mesh_of(&b);
  sy_envelope fork = sy_envelope_default(SY_ENVELOPE_MESH);
  fork.mesh = mesh;
  assert_gap(fork, a_ball((sy_vec3){0.5, 0.5, 0.5}, 0.15), 0.25); /* between the tines */
  assert_gap(fork, a_box(0.2, 0.2, 0.2, (sy_vec3){0.4, 0.45, 0.5}), 0.25);
  fork.place = (sy_frame){sy_frame_rotation(0, 0, SY_PI / 2), {3, 0, 0}}; /* x -> y, y -> -x */
  assert_gap(fork, a_ball((sy_vec3){2.45, 0.5, 0.5}, 0.15), 0.2);
  sy_envelope inside = a_ball((sy_vec3){3 - 0.05, 0.5, 0.5}, 0.001); /* wholly within a tine */
  assert_true(gap_of(&fork, &inside).overlap);
  assert_true(gap_of(&inside, &fork).overlap);
  sy_envelope other = fork;
  other.place.at = (sy_vec3){3, 0, 1.3};
  assert_gap(fork, other, 0.3);
  sy_mesh_free(mesh);
}

static sy_envelope random_envelope(dice *d, int kind, double spread) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_POINTS);
  const double a = dice_between(d, 0.05, 0.6), b = dice_between(d, 0.05, 0.6), c = dice_between(d, 0.05, 0.6);
  if (kind == 0) e = a_box(a, b, c, (sy_vec3){0, 0, 0});
  if (kind == 1) e = a_cylinder(a, b, (sy_vec3){0, 0, 0}, sy_mat3_identity());
  if (kind == 1) e.radius[1] = c;
  if (kind == 2) {
    e = sy_envelope_default(SY_ENVELOPE_ELLIPSOID);
    e.half = (sy_vec3){a, b, c};
  }
  if (kind == 3) {
    e.count = 1 + (int)dice_below(d, 8);
    for (int i = 0; i < e.count; i++)
      e.point[i] = (sy_vec3){dice_between(d, -a, a), dice_between(d, -b, b), dice_between(d, -c, c)};
    e.rounding = dice_between(d, 0, 0.2);
  }
  e.place.turn = sy_frame_rotation(dice_between(d, -3, 3), dice_between(d, -3, 3), dice_between(d, -3, 3));
  e.place.at = (sy_vec3){dice_between(d, -spread, spread), dice_between(d, -spread, spread),
                         dice_between(d, -spread, spread)};
  if (dice_below(d, 4) == 0)
    e.sweep = (sy_vec3){dice_between(d, -0.5, 0.5), dice_between(d, -0.5, 0.5), dice_between(d, -0.5, 0.5)};
  return e;
}

/* A point of the body (without its rounding), anywhere in it. */
static sy_vec3 sample(dice *d, const sy_envelope *e) {
  sy_vec3 p = {0, 0, 0};
  if (e->kind == SY_ENVELOPE_POINTS) {
    double sum = 0, w[8];
    for (int i = 0; i < e->count; i++) sum += w[i] = pow(dice_between(d, 0, 1), 4);
    for (int i = 0; i < e->count; i++) p = sy_vec3_muladd(p, w[i] / sum, e->point[i]);
  } else if (e->kind == SY_ENVELOPE_ROUND) {
    const double t = dice_between(d, 0, 1), angle = dice_between(d, 0, 2 * SY_PI);
    const double r = ((1 - t) * e->radius[0] + t * e->radius[1]) * sqrt(dice_between(d, 0, 1));
    p = (sy_vec3){r * cos(angle), r * sin(angle), (1 - t) * e->end[0].z + t * e->end[1].z};
  } else {
    do p = (sy_vec3){dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1)};
    while (sy_vec3_dot(p, p) > 1);
    p = (sy_vec3){p.x * e->half.x, p.y * e->half.y, p.z * e->half.z};
  }
  return sy_vec3_muladd(sy_frame_apply(&e->place, p), dice_between(d, 0, 1), e->sweep);
}

/* The proof of a gap: a slab of its width, across the line between the two nearest points, with a body on either side. */
static void gap_is_a_slab_that_neither_body_enters(void **state) {
  (void)state;
  dice d = {21};
  int apart = 0, crossed = 0;
  for (int i = 0; i < 2000; i++) {
    const sy_envelope a = random_envelope(&d, i % 4, 1), b = random_envelope(&d, i / 4 % 4, 1);
    const sy_gap g = gap_of(&a, &b);
    const sy_vec3 across = sy_vec3_sub(g.at[1], g.at[0]);
    const double width = sy_vec3_length(across);
    if (width <= 1e-5) { /* the cores overlap or nearly so */
      crossed++;
      continue;
    }
    apart++;
    assert_near(g.gap, width - a.rounding - b.rounding, CLOSE);
    const sy_vec3 n = sy_vec3_scale(1 / width, across);
    double end_a = -(double)INFINITY, begin_b = (double)INFINITY;
    for (int k = 0; k < 200; k++) {
      end_a = fmax(end_a, sy_vec3_dot(n, sample(&d, &a)));
      begin_b = fmin(begin_b, sy_vec3_dot(n, sample(&d, &b)));
    }
    assert_true(begin_b - end_a > width - CLOSE);
  }
  assert_true(apart > 1000 && crossed > 50);
}

static void lowest_point_is_found(void **state) {
  (void)state;
  dice d = {22};
  for (int i = 0; i < 400; i++) {
    const sy_envelope e = random_envelope(&d, i % 4, 1);
    sy_vec3 low;
    assert_int_equal(sy_envelope_reach(&e, (sy_vec3){0, 0, -2}, &low, NULL), SY_OK);
    for (int k = 0; k < 50; k++) assert_true(sample(&d, &e).z - e.rounding >= low.z - 1e-12);
  }
  const sy_envelope ball = a_ball((sy_vec3){0.1, 0.2, 0.3}, 0.05);
  sy_vec3 low;
  assert_int_equal(sy_envelope_reach(&ball, (sy_vec3){0, 0, -1}, &low, NULL), SY_OK);
  assert_near(low.z, 0.25, 1e-16);
}

static void assert_refused(sy_envelope e, sy_status status, const char *field) {
  const sy_envelope ball = a_ball((sy_vec3){0, 0, 0}, 1);
  sy_gap g = {.gap = 7};
  sy_vec3 low = {7, 7, 7};
  sy_error err = {.status = SY_OK};
  assert_int_equal(sy_clearance(&ball, &e, &g, &err), status);
  assert_string_equal(err.part, "b");
  assert_string_equal(err.field, field);
  assert_near(g.gap, 7, 0);
  assert_int_equal(sy_envelope_reach(&e, (sy_vec3){0, 0, -1}, &low, &err), status);
  assert_near(low.x, 7, 0);
}

static void what_is_no_envelope_is_refused(void **state) {
  (void)state;
  sy_envelope e = a_ball((sy_vec3){0, 0, 0}, -1);
  assert_refused(e, SY_RANGE, "rounding");
  e = a_ball((sy_vec3){0, (double)NAN, 0}, 1);
  assert_refused(e, SY_RANGE, "place");
  e.count = 9;
  assert_refused(e, SY_RANGE, "points");
  assert_refused(sy_envelope_default(SY_ENVELOPE_POINTS), SY_RANGE, "points");
  assert_refused(sy_envelope_default(SY_ENVELOPE_ROUND), SY_RANGE, "radius");
  assert_refused(sy_envelope_default(SY_ENVELOPE_ELLIPSOID), SY_RANGE, "half");
  assert_refused(sy_envelope_default(SY_ENVELOPE_MESH), SY_MISSING, "mesh");
  e = a_ball((sy_vec3){0, 0, 0}, 1);
  sy_vec3 low;
  assert_int_equal(sy_envelope_reach(&e, (sy_vec3){0, 0, 0}, &low, NULL), SY_RANGE);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(distances_of_simple_bodies_are_those_of_geometry),
      cmocka_unit_test(overlapping_bodies_have_no_gap),
      cmocka_unit_test(swept_body_needs_its_way),
      cmocka_unit_test(mesh_need_not_be_convex),
      cmocka_unit_test(gap_is_a_slab_that_neither_body_enters),
      cmocka_unit_test(lowest_point_is_found),
      cmocka_unit_test(what_is_no_envelope_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
