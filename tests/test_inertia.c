#include "mass/inertia.h"

#include "base/units.h"
#include "ledger_tools.h"

static sy_ledger *of_part(const sy_part *p) {
  sy_ledger_builder *b = start_ledger(NULL);
  add(b, "part", p);
  return finish(b);
}

/* A uniform cube of edge b about its corner: 2/3 on the diagonal, -1/4 beside it, principal moments 1/6 about the long diagonal and 11/12
** twice, all times M b^2. Source: standard example of H. Goldstein, Classical Mechanics, ch. 5 (from memory); exact. */
static void cube_about_its_corner_is_the_textbook_s(void **state) {
  (void)state;
  const double mass = 23.85, edge = 0.137, unit = mass * edge * edge;
  sy_part p = sy_part_default();
  p.mass = mass, p.mass_sd = 0.3;
  p.cg = (sy_vec3){5 + edge / 2, -2 + edge / 2, 1 + edge / 2};
  p.inertia = (sy_sym3){unit / 6, unit / 6, unit / 6, 0, 0, 0};
  p.flags = SY_PART_SOLID;
  sy_ledger *cube = of_part(&p);
  const sy_vec3 corner = {5, -2, 1};
  sy_inertia r;
  assert_int_equal(sy_ledger_inertia(cube, &corner, &r, NULL), SY_OK);
  const double tol = 1e-10 * unit; /* sums about an origin 40 edges away, 1600 times as large, to 2^-52 */
  assert_near(r.tensor.xx, 2.0 / 3 * unit, tol);
  assert_near(r.tensor.zz, 2.0 / 3 * unit, tol);
  assert_near(r.tensor.xy, -0.25 * unit, tol);
  assert_near(r.tensor.yz, -0.25 * unit, tol);
  assert_near(r.moment[0], unit / 6, tol);
  assert_near(r.moment[1], 11.0 / 12 * unit, tol);
  assert_near(r.moment[2], 11.0 / 12 * unit, tol);
  assert_near(fabs(r.axis[0].x), 1 / sqrt(3), 1e-9);
  assert_near(r.axis[0].x, r.axis[0].y, 1e-9);
  assert_near(r.axis[0].x, r.axis[0].z, 1e-9);
  /* all of it goes with the mass */
  assert_near(r.tensor_sd.xx, 0.3 / mass * r.tensor.xx, tol);
  assert_near(r.tensor_sd.xy, 0.3 / mass * 0.25 * unit, tol);
  assert_near(r.moment_sd[0], 0.3 / mass * r.moment[0], tol);
  assert_int_equal(sy_ledger_inertia(cube, NULL, &r, NULL), SY_OK);
  assert_near(r.tensor.yy, unit / 6, tol);
  assert_near(sy_vec3_length(sy_vec3_sub(r.about, p.cg)), 0, 1e-12);
  sy_ledger_release(cube);
}

/* Uncertainties of entries and moments of random bodies: differences of what the same call gives for parts that are a little heavier or
** elsewhere, by the square root of the sum of squares. */
static void uncertainties_are_those_of_parts_that_err(void **state) {
  (void)state;
  dice d = {61};
  for (int round = 0; round < 30; round++) {
    sy_part p[4];
    for (int i = 0; i < 4; i++) {
      p[i] = point(dice_between(&d, 5, 90), dice_between(&d, -2, 2), dice_between(&d, -1, 1),
                   dice_between(&d, 0, 1));
      p[i].mass_sd = dice_between(&d, 0, 1);
      p[i].cg_sd = (sy_vec3){dice_between(&d, 0, 0.02), dice_between(&d, 0, 0.02), dice_between(&d, 0, 0.02)};
    }
    const sy_vec3 at = {dice_between(&d, -2, 2), 0.3, -0.4}, *about = round % 2 == 0 ? NULL : &at;
    double variance[3] = {0, 0, 0}; /* xx, yz and the least moment */
    sy_inertia r, moved[2];
    for (int error = -1; error < 16; error++) {
      for (int side = 0; side < (error < 0 ? 1 : 2); side++) {
        sy_ledger_builder *b = start_ledger(NULL);
        for (int i = 0; i < 4; i++) {
          sy_part q = p[i];
          const double by = (side == 0 ? 1e-4 : -1e-4);
          if (error == 4 * i) q.mass += by * q.mass_sd;
          if (error == 4 * i + 1) q.cg.x += by * q.cg_sd.x;
          if (error == 4 * i + 2) q.cg.y += by * q.cg_sd.y;
          if (error == 4 * i + 3) q.cg.z += by * q.cg_sd.z;
          add(b, NULL, &q);
        }
        sy_ledger *car = finish(b);
        assert_int_equal(sy_ledger_inertia(car, about, error < 0 ? &r : &moved[side], NULL), SY_OK);
        sy_ledger_release(car);
      }
      if (error < 0) continue;
      const double step = 2e-4, effect[3] = {(moved[0].tensor.xx - moved[1].tensor.xx) / step,
                                             (moved[0].tensor.yz - moved[1].tensor.yz) / step,
                                             (moved[0].moment[0] - moved[1].moment[0]) / step};
      for (int k = 0; k < 3; k++) variance[k] += effect[k] * effect[k];
    }
    /* a hundred kg m^2 to 1e-15, over the step; places are kept to a picometre */
    assert_near(r.tensor_sd.xx, sqrt(variance[0]), 1e-5 * (1 + r.tensor_sd.xx));
    assert_near(r.tensor_sd.yz, sqrt(variance[1]), 1e-5 * (1 + r.tensor_sd.yz));
    assert_near(r.moment_sd[0], sqrt(variance[2]), 1e-5 * (1 + r.moment_sd[0]));
  }
}

static void nothing_and_nowhere_are_refused(void **state) {
  (void)state;
  sy_part p = point(0, 1, 2, 3);
  sy_ledger *empty = of_part(&p);
  p.mass = 3;
  sy_ledger *some = of_part(&p);
  sy_inertia r = {.mass = 7};
  sy_error err = {.status = SY_OK};
  assert_int_equal(sy_ledger_inertia(empty, NULL, &r, &err), SY_MISSING);
  assert_string_equal(err.field, "mass");
  assert_int_equal(sy_ledger_inertia(some, &(sy_vec3){0, (double)NAN, 0}, &r, &err), SY_RANGE);
  assert_string_equal(err.field, "about");
  assert_near(r.mass, 7, 0);
  sy_ledger_release(some);
  sy_ledger_release(empty);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(cube_about_its_corner_is_the_textbook_s),
      cmocka_unit_test(uncertainties_are_those_of_parts_that_err),
      cmocka_unit_test(nothing_and_nowhere_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
