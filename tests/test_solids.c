#include "mass/solids.h"

#include <float.h>
#include <string.h>

#include "base/units.h"
#include "near.h"

/* A few roundings of the largest moment. */
static void assert_moments(const sy_massprops *body, double mass, double ix, double iy, double iz) {
  const double tol = 8 * DBL_EPSILON * fmax(ix, fmax(iy, iz));
  assert_near(body->mass, mass, 0);
  assert_near(body->inertia.xx, ix, tol);
  assert_near(body->inertia.yy, iy, tol);
  assert_near(body->inertia.zz, iz, tol);
  assert_near(body->inertia.xy, 0, 0);
  assert_near(body->inertia.xz, 0, 0);
  assert_near(body->inertia.yz, 0, 0);
  assert_near(sy_vec3_length(body->cg), 0, 0);
  assert_int_equal(sy_massprops_check(body, 1e-12, "solid", NULL), SY_OK);
}

/* Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4 (formulas remembered; the arithmetic is ours):
** box m (b^2 + c^2) / 12, cylinder m r^2 / 2 and m (3 r^2 + l^2) / 12, sphere 2/5 m r^2, rod m l^2 / 12, cone
** 3/10 m r^2 and 3/20 m r^2 + 3/80 m h^2, ellipsoid m (b^2 + c^2) / 5 by semi-axes. */
static void full_bodies_match_the_handbook(void **state) {
  (void)state;
  sy_massprops b;
  assert_int_equal(sy_solid_box(12, 3, 5, 7, &b, NULL), SY_OK);
  assert_moments(&b, 12, 74, 58, 34);
  assert_int_equal(sy_solid_cylinder(12, 2 * 3, 5, &b, NULL), SY_OK);
  assert_moments(&b, 12, 27 + 25, 52, 54);
  assert_int_equal(sy_solid_sphere(5, 2 * 3, &b, NULL), SY_OK);
  assert_moments(&b, 5, 18, 18, 18);
  assert_int_equal(sy_solid_rod(12, 5, &b, NULL), SY_OK);
  assert_moments(&b, 12, 25, 25, 0);
  assert_int_equal(sy_solid_plate(12, 3, 5, &b, NULL), SY_OK);
  assert_moments(&b, 12, 25, 9, 34);
  assert_int_equal(sy_solid_cone(80, 2 * 3, 5, &b, NULL), SY_OK);
  assert_moments(&b, 80, 108 + 75, 183, 216);
  assert_int_equal(sy_solid_ellipsoid(5, 2 * 3, 2 * 5, 2 * 7, &b, NULL), SY_OK);
  assert_moments(&b, 5, 74, 58, 34);
}

/* Solid cylinder r = 8.5 in, h = 65 in, m = 12000 lb: Ixx = 4441750, Izz = 433500 lb in^2 (same formulas, exact). */
static void cylinder_in_inches_and_pounds(void **state) {
  (void)state;
  sy_massprops b;
  assert_int_equal(sy_solid_cylinder(12000 * SY_POUND, 17 * SY_INCH, 65 * SY_INCH, &b, NULL), SY_OK);
  assert_moments(&b, 12000 * SY_POUND, 4441750 * SY_POUND_INCH_SQUARED, 4441750 * SY_POUND_INCH_SQUARED,
                 433500 * SY_POUND_INCH_SQUARED);
}

/* A hollow body and the core taken out of it make the full body: masses go with the volumes at one density. */
static void hollow_bodies_and_their_cores_make_full_ones(void **state) {
  (void)state;
  sy_massprops parts[2], whole, full;
  const double outer = 0.137, inner = 0.0911, length = 2.385, density = 7850;
  const double area_out = SY_PI / 4 * outer * outer, area_in = SY_PI / 4 * inner * inner;
  sy_solid_hollow_cylinder(density * length * (area_out - area_in), outer, inner, length, &parts[0], NULL);
  sy_solid_cylinder(density * length * area_in, inner, length, &parts[1], NULL);
  assert_int_equal(sy_massprops_combine(parts, 2, &whole, NULL), SY_OK);
  sy_solid_cylinder(density * length * area_out, outer, length, &full, NULL);
  const double tol = 16 * DBL_EPSILON;
  assert_near(whole.inertia.zz, full.inertia.zz, tol * full.inertia.zz);
  assert_near(whole.inertia.xx, full.inertia.xx, tol * full.inertia.xx);

  const double ball_out = SY_PI / 6 * outer * outer * outer, ball_in = SY_PI / 6 * inner * inner * inner;
  sy_solid_hollow_sphere(density * (ball_out - ball_in), outer, inner, &parts[0], NULL);
  sy_solid_sphere(density * ball_in, inner, &parts[1], NULL);
  assert_int_equal(sy_massprops_combine(parts, 2, &whole, NULL), SY_OK);
  sy_solid_sphere(density * ball_out, outer, &full, NULL);
  assert_near(whole.inertia.yy, full.inertia.yy, tol * full.inertia.yy);
}

/* Thin walls: m r^2 about the axis, m (r^2/2 + l^2/12) across, and 2/3 m r^2 for a shell (same handbook table). The wall
** w leaves them by the order of w/r. */
static void thin_walls_approach_the_shell_formulas(void **state) {
  (void)state;
  const double m = 3.7, r = 0.29, l = 1.13, w = 1e-7 * r;
  sy_massprops b;
  assert_int_equal(sy_solid_tube(m, 2 * r, w, l, &b, NULL), SY_OK);
  assert_near(b.inertia.zz, m * r * r, 2e-7 * m * r * r);
  assert_near(b.inertia.xx, m * (r * r / 2 + l * l / 12), 2e-7 * m * r * r);
  assert_int_equal(sy_solid_hollow_sphere(m, 2 * r, 2 * r * (1 - 1e-12), &b, NULL), SY_OK);
  assert_near(b.inertia.xx, 2.0 / 3 * m * r * r, 4e-12 * m * r * r); /* no digits lost in R^5 - r^5 */
}

static void tube_is_the_hollow_cylinder_of_its_wall(void **state) {
  (void)state;
  sy_massprops tube, hollow;
  sy_solid_tube(2.3, 0.044, 0.0025, 1.2, &tube, NULL);
  sy_solid_hollow_cylinder(2.3, 0.044, 0.039, 1.2, &hollow, NULL);
  assert_near(tube.inertia.zz, hollow.inertia.zz, 8 * DBL_EPSILON * hollow.inertia.zz);
  assert_int_equal(sy_solid_tube(2.3, 0.044, 0.022, 1.2, &tube, NULL), SY_OK); /* all wall: a bar */
  sy_solid_cylinder(2.3, 0.044, 1.2, &hollow, NULL);
  assert_memory_equal(&tube, &hollow, sizeof tube);
}

static void massless_bodies_are_allowed(void **state) {
  (void)state;
  sy_massprops b;
  assert_int_equal(sy_solid_box(0, 1, 2, 3, &b, NULL), SY_OK);
  assert_near(b.inertia.xx, 0, 0);
}

typedef struct refusal {
  sy_status status;
  sy_error err;
  sy_massprops out;
} refusal;

static void assert_refused(const refusal *r, const char *part, const char *field, const char *message) {
  assert_int_equal(r->status, SY_RANGE);
  assert_string_equal(r->err.part, part);
  assert_string_equal(r->err.field, field);
  assert_string_equal(r->err.message, message);
  assert_near(r->out.mass, -7, 0); /* untouched */
}

static void bad_sizes_are_refused_by_solid_and_field(void **state) {
  (void)state;
  refusal r = {.out = {.mass = -7}};
  const double nan = (double)NAN, inf = (double)INFINITY;
  r.status = sy_solid_box(-1, 1, 1, 1, &r.out, &r.err);
  assert_refused(&r, "box", "mass", "is -1 kg, must be >= 0 and finite");
  r.status = sy_solid_box(1, 1, 0, 1, &r.out, &r.err);
  assert_refused(&r, "box", "width", "is 0 m, must be > 0 and finite");
  r.status = sy_solid_cylinder(1, nan, 1, &r.out, &r.err);
  assert_refused(&r, "cylinder", "diameter", "is nan m, must be > 0 and finite");
  r.status = sy_solid_hollow_cylinder(1, 0.1, 0.1, 1, &r.out, &r.err);
  assert_refused(&r, "hollow cylinder", "inner_diameter",
                 "is 0.1 m, must be less than the outer diameter of 0.1 m");
  r.status = sy_solid_hollow_cylinder(1, 0.1, -0.01, 1, &r.out, &r.err);
  assert_refused(&r, "hollow cylinder", "inner_diameter", "is -0.01 m, must be >= 0");
  r.status = sy_solid_tube(1, 0.1, 0.06, 1, &r.out, &r.err);
  assert_refused(&r, "tube", "wall", "is 0.06 m, more than half the outer diameter of 0.1 m");
  r.status = sy_solid_tube(1, 0.1, 0.01, inf, &r.out, &r.err);
  assert_refused(&r, "tube", "length", "is inf m, must be > 0 and finite");
  r.status = sy_solid_sphere(nan, 0.1, &r.out, &r.err);
  assert_refused(&r, "sphere", "mass", "is nan kg, must be >= 0 and finite");
  r.status = sy_solid_hollow_sphere(1, 0.1, 0.2, &r.out, &r.err);
  assert_refused(&r, "hollow sphere", "inner_diameter",
                 "is 0.2 m, must be less than the outer diameter of 0.1 m");
  r.status = sy_solid_ellipsoid(1, 1, 1, -2, &r.out, &r.err);
  assert_refused(&r, "ellipsoid", "height", "is -2 m, must be > 0 and finite");
  r.status = sy_solid_cone(1, 1, 0, &r.out, &r.err);
  assert_refused(&r, "cone", "height", "is 0 m, must be > 0 and finite");
  r.status = sy_solid_rod(1, 0, &r.out, &r.err);
  assert_refused(&r, "rod", "length", "is 0 m, must be > 0 and finite");
  r.status = sy_solid_plate(1, 1, nan, &r.out, &r.err);
  assert_refused(&r, "plate", "width", "is nan m, must be > 0 and finite");
  r.status = sy_solid_box(1, 1e200, 1, 1, &r.out, &r.err);
  assert_refused(&r, "box", "inertia", "is too large for a number");
}

/* A ball of water: its diameter by hand from the mass. Of eight times the mass it is twice as large, with 32 times the inertia. */
static void usual_body_is_a_ball_of_its_density(void **state) {
  (void)state;
  const double mass = 96.2, diameter = 2 * cbrt(3 * mass / (4 * 3.141592653589793 * 1000));
  sy_massprops ball;
  assert_int_equal(sy_solid_sphere(mass, diameter, &ball, NULL), SY_OK);
  const sy_sym3 usual = sy_solid_usual(mass), larger = sy_solid_usual(8 * mass);
  assert_near(usual.xx, ball.inertia.xx, 16 * DBL_EPSILON * ball.inertia.xx); /* a few roundings */
  assert_near(usual.yy, usual.xx, 0);
  assert_near(usual.zz, usual.xx, 0);
  assert_near(usual.xy, 0, 0);
  assert_near(larger.zz, 32 * usual.zz, 64 * DBL_EPSILON * usual.zz * 32);
  assert_near(sy_solid_usual(0).xx, 0, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(full_bodies_match_the_handbook),
      cmocka_unit_test(cylinder_in_inches_and_pounds),
      cmocka_unit_test(hollow_bodies_and_their_cores_make_full_ones),
      cmocka_unit_test(thin_walls_approach_the_shell_formulas),
      cmocka_unit_test(tube_is_the_hollow_cylinder_of_its_wall),
      cmocka_unit_test(massless_bodies_are_allowed),
      cmocka_unit_test(usual_body_is_a_ball_of_its_density),
      cmocka_unit_test(bad_sizes_are_refused_by_solid_and_field),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
