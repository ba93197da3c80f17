#include "measure/hang.h"

#include "base/mat3.h"
#include "base/units.h"
#include "dice.h"
#include "near.h"

static dice thrown = {97};
static double any(double low, double high) { return dice_between(&thrown, low, high); }
static double normal(void) { /* Box and Muller */
  return sqrt(-2 * log(1 - any(0, 1))) * cos(2 * SY_PI * any(0, 1));
}
static sy_vec3 random_point(double size) {
  return (sy_vec3){any(-size, size), any(-size, size), any(-size, size)};
}

/* J. Moore, M. Hubbard, D. Peterson, A. Schwab, J. Kooijman, An accurate method of measuring and comparing a bicycle's physical
** parameters, Bicycle and Motorcycle Dynamics 2010, Delft, and its data set, frame of bicycle "A": hung at 3.4, 138.7, 229.8 degrees the
** rear wheel centre is 0.098, 0.169, -0.294 m (sd 0.003) off the plumb line; steer axis tilt 22.9 degrees, rear wheel rolled
** 27.85 m in 13 turns. Lines x sin b + (z + r) cos b = -a with z down from the ground. Published CG (0.274, -0.538) m, sd 0.0031 and
** 0.0027. They intersect the lines two by two, which do not meet in one point; the nearest point is within 1 sd, 3 mm. */
static void three_lines_give_the_published_cg_of_a_frame(void **state) {
  (void)state;
  static const double angle[3] = {3.4, 138.7, 229.8}, off[3] = {0.098, 0.169, -0.294};
  const double radius = 27.85 / (2 * SY_PI * 13);
  sy_plumb lines[3];
  for (int i = 0; i < 3; i++) {
    const double beta = (22.9 - angle[i]) * SY_DEGREE, s = sin(beta), c = cos(beta);
    const sy_vec3 foot = {-off[i] * s, 0, -off[i] * c - radius}, along = {c, 0, -s},
                  sd = {0.003, 0.003, 0.003};
    lines[i] = (sy_plumb){sy_vec3_muladd(foot, -1, along), sy_vec3_muladd(foot, 1, along), sd, sd};
  }
  sy_hung h;
  assert_int_equal(sy_hang_cg(lines, 3, &h, NULL), SY_OK);
  assert_near(h.cg.x, 0.274, 0.003);
  assert_near(h.cg.z, -0.538, 0.003);
  assert_near(h.cg.y, 0, 1e-15);
  assert_int_equal(h.dof, 3);
}

static sy_plumb line_through(sy_vec3 cg, sy_vec3 hook, double beyond, double sd) {
  const sy_vec3 d = {sd, sd, sd};
  return (sy_plumb){hook, sy_vec3_muladd(hook, beyond, sy_vec3_sub(cg, hook)), d, d};
}

static void lines_that_meet_give_their_point(void **state) {
  (void)state;
  for (int n = 0; n < 200; n++) {
    const sy_vec3 cg = random_point(1);
    const size_t count = 2 + (size_t)n % 5;
    sy_plumb lines[6];
    for (size_t i = 0; i < count; i++) lines[i] = line_through(cg, random_point(1), any(0.5, 2), 0);
    sy_hung h;
    sy_error err;
    if (sy_hang_cg(lines, count, &h, &err) != SY_OK)
      continue; /* two hooks in one line with the cg, now and then */
    assert_near(sy_vec3_length(sy_vec3_sub(h.cg, cg)), 0, 1e-11); /* 1e-15 over (1 - cos) of a degree */
    for (size_t i = 0; i < count; i++) {
      assert_near(h.miss[i], 0, 1e-11);
      assert_near(h.below[i], sy_vec3_length(sy_vec3_sub(cg, lines[i].from)), 1e-11);
    }
    assert_near(h.chi2 + h.cg_sd.x, 0, 0);
  }
}

/* First order against drawn errors of the points, some of them beyond the cg and some short of it: 20 000 draws know a standard
** deviation to 0.5 %; errors of 1 mm on lines of 1 m leave the second order below that. */
static void uncertainties_are_those_of_drawn_errors(void **state) {
  (void)state;
  enum { COUNT = 4, DRAWS = 20000 };
  const sy_vec3 cg = {0.13, -0.07, 0.31};
  static const sy_vec3 hook[COUNT] = {
      {0.9, 0.1, 0.4}, {-0.2, 0.8, 0.5}, {0.1, -0.3, 1.1}, {-0.6, -0.7, -0.1}};
  static const double beyond[COUNT] = {0.5, 1.6, 1.0, 0.7};
  sy_plumb lines[COUNT];
  for (int i = 0; i < COUNT; i++) lines[i] = line_through(cg, hook[i], beyond[i], 0.0005 * (i + 1));
  lines[2].to_sd = (sy_vec3){0.002, 0, 0.001};
  sy_hung h, one;
  assert_int_equal(sy_hang_cg(lines, COUNT, &h, NULL), SY_OK);
  double x2 = 0, y2 = 0, z2 = 0, chi2 = 0;
  for (int d = 0; d < DRAWS; d++) {
    sy_plumb drawn[COUNT];
    for (int i = 0; i < COUNT; i++) {
      drawn[i] = lines[i];
      const sy_vec3 f = lines[i].from_sd, t = lines[i].to_sd;
      drawn[i].from = sy_vec3_add(drawn[i].from, (sy_vec3){f.x * normal(), f.y * normal(), f.z * normal()});
      drawn[i].to = sy_vec3_add(drawn[i].to, (sy_vec3){t.x * normal(), t.y * normal(), t.z * normal()});
    }
    assert_int_equal(sy_hang_cg(drawn, COUNT, &one, NULL), SY_OK);
    const sy_vec3 off = sy_vec3_sub(one.cg, cg);
    x2 += off.x * off.x / DRAWS, y2 += off.y * off.y / DRAWS, z2 += off.z * off.z / DRAWS,
        chi2 += one.chi2 / DRAWS;
  }
  assert_near(sqrt(x2), h.cg_sd.x, 0.02 * h.cg_sd.x);
  assert_near(sqrt(y2), h.cg_sd.y, 0.02 * h.cg_sd.y);
  assert_near(sqrt(z2), h.cg_sd.z, 0.02 * h.cg_sd.z);
  /* one number stands for a line's uncertainty both ways, which of line 3 differ */
  assert_near(chi2, h.dof, 0.1 * h.dof);
}

static void refuse(sy_plumb *lines, size_t count, sy_status status, const char *part, const char *name) {
  sy_error err;
  sy_hung h = {.dof = -7};
  assert_int_equal(sy_hang_cg(lines, count, &h, &err), status);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, name);
  assert_int_equal(h.dof, -7);
}

static void what_determines_no_cg_is_refused(void **state) {
  (void)state;
  const sy_vec3 cg = {0.2, 0.1, 0.3};
  sy_plumb good[3] = {line_through(cg, (sy_vec3){0.9, 0.1, 0.4}, 1.5, 0.001),
                      line_through(cg, (sy_vec3){-0.2, 0.8, 0.5}, 1.5, 0.001),
                      line_through(cg, (sy_vec3){0.1, -0.3, 1.1}, 1.5, 0.001)};
  sy_plumb l[SY_HANG_MOST + 1];
  for (int i = 0; i <= SY_HANG_MOST; i++) l[i] = good[i % 3];
  refuse(l, 0, SY_MISSING, "lines", "");
  refuse(l, 1, SY_MISSING, "lines", "");
  refuse(l, SY_HANG_MOST + 1, SY_RANGE, "lines", "");
  l[1].from.x = (double)NAN;
  refuse(l, 3, SY_RANGE, "line 2", "from");
  l[1] = good[1], l[1].to_sd.z = -1;
  refuse(l, 3, SY_RANGE, "line 2", "to");
  l[1] = good[1], l[1].to = l[1].from;
  refuse(l, 3, SY_RANGE, "line 2", "to");
  l[1] = l[2] = l[0], l[1].from.y += 0.004, l[2].to.z += 0.009; /* half a degree */
  refuse(l, 3, SY_GEOMETRY, "lines", "");
  l[1] = good[1], l[2] = good[2], l[2].from = cg, l[2].from.x += 0.001; /* its uncertainty is 3 mm */
  refuse(l, 3, SY_GEOMETRY, "line 3", "from");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(three_lines_give_the_published_cg_of_a_frame),
      cmocka_unit_test(lines_that_meet_give_their_point),
      cmocka_unit_test(uncertainties_are_those_of_drawn_errors),
      cmocka_unit_test(what_determines_no_cg_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
