#include "shop/outline.h"

#include "base/units.h"
#include "mesh_tools.h"
#include "shop/cg_ellipse.h"

#define EXACT 1e-12 /* m: some roundings of lengths of a metre */

static sy_outline *outline_of(const sy_envelope *e, sy_view view) {
  sy_outline *found = NULL;
  sy_error err = {.status = SY_OK};
  must(sy_outline_make(e, view, NULL, &found, &err), &err);
  return found;
}

/* Twice the area a loop goes round counter-clockwise, by the shoelace formula. */
static double area_of(const sy_outline *o, size_t loop) {
  double twice = 0;
  const size_t n = sy_outline_points(o, loop);
  for (size_t i = 0; i < n; i++) {
    const sy_plan p = sy_outline_point(o, loop, i), q = sy_outline_point(o, loop, (i + 1) % n);
    twice += p.x * q.y - q.x * p.y;
  }
  return 0.5 * twice;
}

static double farthest(const sy_outline *o, double a, double b) {
  double best = -(double)INFINITY;
  for (size_t l = 0; l < sy_outline_loops(o); l++)
    for (size_t i = 0; i < sy_outline_points(o, l); i++) {
      const sy_plan p = sy_outline_point(o, l, i);
      best = fmax(best, a * p.x + b * p.y);
    }
  return best;
}

static sy_envelope a_box(double l, double w, double h) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_POINTS);
  e.count = 8;
  for (int i = 0; i < 8; i++)
    e.point[i] = (sy_vec3){(i & 1 ? 0.5 : -0.5) * l, (i & 2 ? 0.5 : -0.5) * w, (i & 4 ? 0.5 : -0.5) * h};
  return e;
}

static sy_envelope a_round(sy_vec3 from, sy_vec3 to, double radius, double tip) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_ROUND);
  e.end[0] = from, e.end[1] = to;
  e.radius[0] = radius, e.radius[1] = tip;
  return e;
}

static void assert_loop(const sy_outline *o, const sy_plan *want, size_t count) {
  assert_int_equal(sy_outline_loops(o), 1);
  assert_int_equal(sy_outline_points(o, 0), count);
  for (size_t i = 0; i < count; i++) {
    assert_near(sy_outline_point(o, 0, i).x, want[i].x, EXACT);
    assert_near(sy_outline_point(o, 0, i).y, want[i].y, EXACT);
  }
}

/* A box 0.54 x 0.62 x 0.47 at (-1.79, 0.11, 0.318), nose 30 degrees up: a turn of -30 degrees about y (frame.h). Corners by hand from
** cos 30 = sqrt 3 / 2 and sin 30 = 1 / 2. */
static void outline_of_a_turned_box_has_its_four_corners(void **state) {
  (void)state;
  sy_envelope e = a_box(0.54, 0.62, 0.47);
  e.place.turn = sy_frame_rotation(0, -30 * SY_DEGREE, 0);
  e.place.at = (sy_vec3){-1.79, 0.11, 0.318};
  const double c = sqrt(3) / 2, s = 0.5, l = 0.27, h = 0.235;
  sy_outline *side = outline_of(&e, SY_VIEW_SIDE);
  assert_loop(side,
              (sy_plan[]){{-1.79 - c * l - s * h, 0.318 - s * l + c * h},
                          {-1.79 - c * l + s * h, 0.318 - s * l - c * h},
                          {-1.79 + c * l + s * h, 0.318 + s * l - c * h},
                          {-1.79 + c * l - s * h, 0.318 + s * l + c * h}},
              4);
  assert_near(area_of(side, 0), 0.54 * 0.47, EXACT);
  sy_outline_free(side);
  sy_outline *plan = outline_of(&e, SY_VIEW_PLAN);
  const double reach = c * l + s * h;
  assert_loop(
      plan,
      (sy_plan[]){{-1.79 - reach, -0.2}, {-1.79 + reach, -0.2}, {-1.79 + reach, 0.42}, {-1.79 - reach, 0.42}},
      4);
  sy_outline_free(plan);
  sy_outline *front = outline_of(&e, SY_VIEW_FRONT);
  const double up = s * l + c * h;
  assert_loop(front,
              (sy_plan[]){{-0.2, 0.318 - up}, {0.42, 0.318 - up}, {0.42, 0.318 + up}, {-0.2, 0.318 + up}}, 4);
  sy_outline_free(front);
}

/* Seen along its axis a cylinder is a circle, of which the outline has 48 points: area n/2 r^2 sin(2 pi / n). From beside it is a
** rectangle, a cone a triangle, a rod a line, a point a point. */
static void outline_of_round_bodies_is_circle_rectangle_triangle(void **state) {
  (void)state;
  const sy_envelope wheel =
      a_round((sy_vec3){-2.4, 0.62, 0.301}, (sy_vec3){-2.4, 0.815, 0.301}, 0.301, 0.301);
  sy_outline *o = outline_of(&wheel, SY_VIEW_SIDE);
  assert_int_equal(sy_outline_points(o, 0), SY_OUTLINE_WAYS);
  for (size_t i = 0; i < SY_OUTLINE_WAYS; i++) {
    const sy_plan p = sy_outline_point(o, 0, i);
    assert_near(hypot(p.x + 2.4, p.y - 0.301), 0.301, EXACT);
  }
  assert_near(area_of(o, 0), 24 * 0.301 * 0.301 * sin(2 * SY_PI / 48), EXACT);
  sy_outline_free(o);
  o = outline_of(&wheel, SY_VIEW_FRONT);
  assert_loop(o, (sy_plan[]){{0.62, 0}, {0.815, 0}, {0.815, 0.602}, {0.62, 0.602}}, 4);
  sy_outline_free(o);
  const sy_envelope cone = a_round((sy_vec3){0.1, 0, 0}, (sy_vec3){0.1, 0, 0.7}, 0.23, 0);
  o = outline_of(&cone, SY_VIEW_SIDE);
  assert_loop(o, (sy_plan[]){{-0.13, 0}, {0.33, 0}, {0.1, 0.7}}, 3);
  sy_outline_free(o);
  const sy_envelope rod = a_round((sy_vec3){-0.3, 0, 0.2}, (sy_vec3){0.4, 0, 0.2}, 0, 0);
  o = outline_of(&rod, SY_VIEW_SIDE);
  assert_loop(o, (sy_plan[]){{-0.3, 0.2}, {0.4, 0.2}}, 2);
  sy_outline_free(o);
  o = outline_of(&rod, SY_VIEW_FRONT);
  assert_loop(o, (sy_plan[]){{0, 0.2}}, 1);
  sy_outline_free(o);
}

/* The shadow of an ellipsoid with half axes h turned by R is p^T S^-1 p = 1, where S is the 2 x 2 block of R diag(h^2) R^T. */
static void outline_of_an_ellipsoid_lies_on_its_shadow(void **state) {
  (void)state;
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_ELLIPSOID);
  const double half[3] = {0.41, 0.23, 0.137};
  e.half = (sy_vec3){half[0], half[1], half[2]};
  e.place.turn = sy_frame_rotation(0.3, -0.7, 1.1);
  static const int axes[SY_VIEW_COUNT][2] = {{0, 2}, {0, 1}, {1, 2}};
  for (int view = 0; view < SY_VIEW_COUNT; view++) {
    double s[2][2] = {{0}};
    for (int i = 0; i < 2; i++)
      for (int k = 0; k < 2; k++)
        for (int j = 0; j < 3; j++)
          s[i][k] += e.place.turn.m[axes[view][i]][j] * half[j] * half[j] * e.place.turn.m[axes[view][k]][j];
    const double det = s[0][0] * s[1][1] - s[0][1] * s[1][0];
    sy_outline *o = outline_of(&e, (sy_view)view);
    assert_int_equal(sy_outline_points(o, 0), SY_OUTLINE_WAYS);
    for (size_t i = 0; i < SY_OUTLINE_WAYS; i++) {
      const sy_plan p = sy_outline_point(o, 0, i);
      const double one = (s[1][1] * p.x * p.x - 2 * s[0][1] * p.x * p.y + s[0][0] * p.y * p.y) / det;
      assert_near(one, 1, 1e-11); /* roundings, times the ratio of the axes squared */
    }
    sy_outline_free(o);
  }
}

/* Whatever the body, its outline reaches as far as the body along the ways it was looked for, and no farther between them. */
static void outline_reaches_as_far_as_the_body(void **state) {
  (void)state;
  dice d = {2026};
  for (int round = 0; round < 300; round++) {
    sy_envelope e = round % 3 == 0 ? a_box(dice_between(&d, 0.1, 1), dice_between(&d, 0.1, 1), 0.3)
                    : round % 3 == 1
                        ? a_round((sy_vec3){0, 0, 0}, (sy_vec3){0.3, dice_between(&d, -1, 1), 0.2},
                                  dice_between(&d, 0.01, 0.4), dice_between(&d, 0.01, 0.4))
                        : sy_envelope_default(SY_ENVELOPE_ELLIPSOID);
    if (round % 3 == 2) e.half = (sy_vec3){dice_between(&d, 0.1, 1), 0.2, 0.3};
    e.place.turn = sy_frame_rotation(dice_between(&d, -3, 3), dice_between(&d, -3, 3), 0.4);
    e.place.at = (sy_vec3){dice_between(&d, -3, 3), 0.2, dice_between(&d, 0, 1)};
    if (round % 2) e.rounding = 0.03;
    if (round % 5 == 0) e.sweep = (sy_vec3){0.4, -0.1, dice_between(&d, -1, 1)};
    for (int view = 0; view < SY_VIEW_COUNT; view++) {
      sy_outline *o = outline_of(&e, (sy_view)view);
      for (int i = 0; i < SY_OUTLINE_WAYS; i++) {
        const double a = cos(2 * SY_PI * i / 48), b = sin(2 * SY_PI * i / 48);
        const sy_vec3 way = view == SY_VIEW_SIDE   ? (sy_vec3){a, 0, b}
                            : view == SY_VIEW_PLAN ? (sy_vec3){a, b, 0}
                                                   : (sy_vec3){0, a, b};
        sy_vec3 p;
        assert_int_equal(sy_envelope_reach(&e, way, &p, NULL), SY_OK);
        /* points within a nanometre of a straight line are left out */
        assert_near(farthest(o, a, b), sy_vec3_dot(p, way), 2e-9);
      }
      sy_outline_free(o);
    }
  }
}

/* A mesh of two boxes that stand apart along y and overlap as seen from the side: two loops, and of each view the areas together are those
** of the faces that look one way (Green's theorem). */
static void outline_of_a_mesh_is_where_it_turns_away(void **state) {
  (void)state;
  body b = one_box();
  add_box(&b, (double[3]){0.5, 2, 3}, (double[3]){2.5, 2.75, 6}, false);
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_MESH);
  sy_mesh *mesh = mesh_of(&b);
  e.mesh = mesh;
  e.place.at = (sy_vec3){1, 2, 3};
  const double want[SY_VIEW_COUNT][2] = {{2 * 3.5, 2 * 3}, {2 * 0.75, 2 * 0.75}, {0.75 * 3.5, 0.75 * 3}};
  for (int view = 0; view < SY_VIEW_COUNT; view++) {
    sy_outline *o = outline_of(&e, (sy_view)view);
    assert_int_equal(sy_outline_loops(o), 2);
    for (size_t l = 0; l < 2; l++) {
      assert_int_equal(sy_outline_points(o, l), 4);
      assert_near(fabs(area_of(o, l)), want[view][l], EXACT);
    }
    assert_near(farthest(o, 1, 0), view == SY_VIEW_FRONT ? 4.75 : 3.5, EXACT);
    sy_outline_free(o);
  }
  e.place.turn = sy_frame_rotation(0.2, 0.5, -0.3); /* three faces of each box to see: hexagons */
  sy_outline *o = outline_of(&e, SY_VIEW_FRONT);
  assert_int_equal(sy_outline_loops(o), 2);
  const sy_mat3 *r = &e.place.turn;
  for (size_t l = 0; l < 2; l++) {
    const double x = 2, y = 0.75, z = l == 0 ? 3.5 : 3;
    assert_int_equal(sy_outline_points(o, l), 6);
    const double seen = fabs(r->m[0][0]) * y * z + fabs(r->m[0][1]) * x * z + fabs(r->m[0][2]) * x * y;
    assert_near(fabs(area_of(o, l)), seen, 20 * EXACT);
  }
  sy_outline_free(o);
  sy_mesh_free(mesh);
}

static void assert_refused(const sy_envelope *e, sy_view view, sy_status status, const char *field) {
  sy_outline *found = NULL;
  sy_error err = {.status = SY_OK};
  assert_int_equal(sy_outline_make(e, view, NULL, &found, &err), status);
  assert_string_equal(err.part, "body");
  assert_string_equal(err.field, field);
  assert_null(found);
}

static void what_has_no_outline_is_refused(void **state) {
  (void)state;
  sy_envelope e = a_box(0.1, 0.2, 0.3);
  assert_refused(&e, (sy_view)3, SY_RANGE, "view");
  e.point[3].x = (double)NAN;
  assert_refused(&e, SY_VIEW_SIDE, SY_RANGE, "place");
  e = a_round((sy_vec3){0, 0, 0}, (sy_vec3){0, 0, 1}, -0.1, 0.1);
  assert_refused(&e, SY_VIEW_SIDE, SY_RANGE, "radius");
  e = sy_envelope_default(SY_ENVELOPE_MESH);
  assert_refused(&e, SY_VIEW_SIDE, SY_MISSING, "mesh");
  const body b = one_box();
  sy_mesh *mesh = mesh_of(&b);
  e.mesh = mesh;
  e.rounding = 0.01;
  assert_refused(&e, SY_VIEW_SIDE, SY_CLASH, "mesh");
  sy_mesh_free(mesh);
}

static void count_blocks(const sy_envelope *e, int blocks) {
  counted_memory m = {.live = 0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_status status = SY_LIMIT;
  for (m.refuse = 1; status != SY_OK; m.refuse++) {
    sy_outline *found = NULL;
    sy_error err = {.status = SY_OK};
    atomic_store(&m.calls, 0);
    status = sy_outline_make(e, SY_VIEW_PLAN, &alloc, &found, &err);
    if (status != SY_OK) {
      assert_int_equal(status, SY_LIMIT);
      assert_string_equal(err.message, "memory is out");
      assert_null(found);
    }
    sy_outline_free(found);
    assert_int_equal(atomic_load(&m.live), 0);
  }
  assert_int_equal(m.refuse - 2, blocks);
}

static void memory_that_runs_out_is_reported_and_given_back(void **state) {
  (void)state;
  sy_envelope e = a_box(0.1, 0.2, 0.3);
  count_blocks(&e, 3); /* itself, its points, its loops */
  const body b = one_box();
  e = sy_envelope_default(SY_ENVELOPE_MESH);
  sy_mesh *mesh = mesh_of(&b);
  e.mesh = mesh;
  count_blocks(&e, 4); /* the edges too */
  sy_mesh_free(mesh);
}

/* One body of 230 kg whose place is known to 15 mm along x and 4 mm along z: half axes of 15 and 4 times sqrt 5.991465, the 95 % point of
** chi-square with two degrees of freedom (5.991: Abramowitz & Stegun, table 26.8). */
static void ellipse_of_one_body_is_that_of_its_place(void **state) {
  (void)state;
  const double m = 230, sx = 0.015, sz = 0.004;
  const sy_sums sums = {m, {m * -1.79, m * 0.03, m * 0.33}, {0, 0, 0, 0, 0, 0}};
  const sy_cov4 cov = {{0, 0, 0, 0, m * m * sx * sx, 0, 0, 0, 0, m * m * sz * sz}};
  sy_ellipse e;
  assert_int_equal(sy_cg_ellipse(&sums, &cov, SY_VIEW_SIDE, 0.95, &e, NULL), SY_OK);
  assert_near(e.centre.x, -1.79, EXACT);
  assert_near(e.centre.y, 0.33, EXACT);
  assert_near(e.half[0], sx * sqrt(5.991464547), 1e-10); /* the table's digits */
  assert_near(e.half[1], sz * sqrt(5.991464547), 1e-10);
  assert_near(e.turn, 0, EXACT);
  assert_int_equal(sy_cg_ellipse(&sums, &cov, SY_VIEW_FRONT, 0.95, &e, NULL), SY_OK);
  assert_near(e.half[0], sz * sqrt(5.991464547), 1e-10);
  assert_near(e.half[1], 0, EXACT);
  assert_near(fabs(e.turn), SY_PI / 2, EXACT); /* upright: y is not uncertain */
}

/* A mass that is uncertain far from the CG moves it towards itself: two bodies, 600 kg exactly and 80 kg +- 4 at (1.2, 0.5) from it. The CG
** lies at 80/680 of the way; d(m2/(m1+m2))/dm2 = m1/m^2, so the ellipse is a line along (1.2, 0.5) of that length. */
static void ellipse_of_an_uncertain_mass_points_at_it(void **state) {
  (void)state;
  const double m = 680, sd = 4, x = 1.2, z = 0.5;
  const sy_sums sums = {m, {80 * x, 0, 80 * z}, {0, 0, 0, 0, 0, 0}};
  const double v = sd * sd;
  const sy_cov4 cov = {{v, v * x, 0, v * z, v * x * x, 0, v * x * z, 0, 0, v * z * z}};
  sy_ellipse e;
  assert_int_equal(sy_cg_ellipse(&sums, &cov, SY_VIEW_SIDE, 0.95, &e, NULL), SY_OK);
  assert_near(e.half[0], sqrt(5.991464547) * 600 / (m * m) * sd * hypot(x, z), 1e-10);
  assert_near(e.half[1], 0, 1e-9); /* the root of what rounding leaves */
  assert_near(e.turn, atan2(z, x), 1e-9);
  sy_ellipse untouched = {{1, 2}, {3, 4}, 5};
  sy_error err;
  const sy_sums none = {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  assert_int_equal(sy_cg_ellipse(&none, &cov, SY_VIEW_SIDE, 0.95, &untouched, &err), SY_RANGE);
  assert_string_equal(err.field, "mass");
  assert_int_equal(sy_cg_ellipse(&sums, &cov, SY_VIEW_SIDE, 1, &untouched, &err), SY_RANGE);
  assert_string_equal(err.field, "probability");
  assert_int_equal(sy_cg_ellipse(&sums, &cov, (sy_view)7, 0.95, &untouched, &err), SY_RANGE);
  assert_string_equal(err.field, "view");
  assert_near(untouched.half[1], 4, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(outline_of_a_turned_box_has_its_four_corners),
      cmocka_unit_test(outline_of_round_bodies_is_circle_rectangle_triangle),
      cmocka_unit_test(outline_of_an_ellipsoid_lies_on_its_shadow),
      cmocka_unit_test(outline_reaches_as_far_as_the_body),
      cmocka_unit_test(outline_of_a_mesh_is_where_it_turns_away),
      cmocka_unit_test(what_has_no_outline_is_refused),
      cmocka_unit_test(memory_that_runs_out_is_reported_and_given_back),
      cmocka_unit_test(ellipse_of_one_body_is_that_of_its_place),
      cmocka_unit_test(ellipse_of_an_uncertain_mass_points_at_it),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
