/* Somebody seated, put together from body segments. tests/reference/oracle_person.py compares whole postures with NumPy. */
#include <string.h>

#include "base/units.h"
#include "mass/person.h"
#include "near.h"

static sy_person seated(void) {
  sy_person p = sy_person_default();
  p.mass = 80, p.stature = 1.759;
  p.torso = 38 * SY_DEGREE, p.thigh = 14 * SY_DEGREE, p.knee = 127 * SY_DEGREE, p.ankle = 95 * SY_DEGREE;
  p.shoulder = 47 * SY_DEGREE, p.elbow = 118 * SY_DEGREE, p.head = 19 * SY_DEGREE;
  return p;
}

static sy_seated solve(sy_person p) {
  sy_seated r;
  sy_error err;
  if (sy_person_seated(&p, &r, &err) != SY_OK) fail_msg("%s, %s: %s", err.part, err.field, err.message);
  return r;
}

/* P. de Leva, Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters, J. Biomechanics 29(9), 1996, Table 4: a shank is 4.33 % and
** a foot 1.37 % of a man, 9.12 kg of 80. About 8 kg is reported from a scale under the pedals of a race seat (common practice,
** no source): between the two ways to carry a leg. */
static void lower_legs_of_an_80_kg_man_are_the_published_share(void **state) {
  (void)state;
  const sy_seated r = solve(seated());
  assert_near(r.body.mass, 80, 80 * 4e-16);
  assert_near(r.lower_legs, 9.12, 1e-12);
  assert_true(r.heels_least < 8 && 8 < r.heels_most);
  assert_true(r.heels_least < r.lower_legs);
}

/* R. Huston, Principles of Biomechanics, CRC 2009: the sitting height of the median man is 0.927 of 1.759 m and buttock to knee
** 0.605 m. The hips lie some 85 mm above a hard seat (from memory), so crown above hips is 0.842 m. Lengths are of other men: 3 %. */
static void sitting_height_is_that_of_another_survey(void **state) {
  (void)state;
  sy_person p = seated();
  p.torso = p.head = p.thigh = 0;
  p.knee = 90 * SY_DEGREE;
  const sy_seated a = solve(p);
  p.head =
      90 *
      SY_DEGREE; /* the head's centre then moves by what it lies above the neck, by 6.94 % of that in the joint CG */
  const sy_seated b = solve(p);
  const double up = (a.body.cg.z - b.body.cg.z) / 0.0694; /* 0.4998 of the head's length */
  const double head = up / (1 - 0.5002), neck = (515.5 + 87.8) / 1741 * p.stature;
  assert_near(head + neck, 0.927 - 0.085, 0.03 * 0.842);
  assert_near(a.knee.x, 422.2 / 1741 * 1.759, 1e-12);
}

static void body_scales_with_stature_and_mass(void **state) {
  (void)state;
  sy_person p = seated();
  const sy_seated a = solve(p);
  p.stature *= 1.1, p.mass *= 0.7;
  const sy_seated b = solve(p);
  assert_near(b.body.cg.x, 1.1 * a.body.cg.x, 1e-15); /* roundings of 0.3 m */
  assert_near(b.body.cg.z, 1.1 * a.body.cg.z, 1e-15);
  assert_near(b.body.inertia.yy, 0.7 * 1.21 * a.body.inertia.yy, 1e-13); /* of 8 kg m2 */
  assert_near(b.body.inertia.xz, 0.7 * 1.21 * a.body.inertia.xz, 1e-13);
  assert_near(b.heels_most, 0.7 * a.heels_most, 1e-13);
}

/* A body turned as a whole, torso, head and thigh by the same angle, keeps its principal moments. */
static void leaning_back_as_a_whole_turns_the_body(void **state) {
  (void)state;
  sy_person p = seated();
  const sy_seated a = solve(p);
  const double turn = 11 * SY_DEGREE;
  p.torso += turn, p.head += turn, p.thigh += turn;
  const sy_seated b = solve(p);
  const sy_mat3 r = {{{cos(turn), 0, -sin(turn)}, {0, 1, 0}, {sin(turn), 0, cos(turn)}}};
  const sy_vec3 cg = sy_mat3_apply(r, a.body.cg);
  const sy_sym3 j = sy_sym3_turn(r, a.body.inertia);
  assert_near(b.body.cg.x, cg.x, 1e-15);
  assert_near(b.body.cg.z, cg.z, 1e-15);
  assert_near(b.body.inertia.xx, j.xx, 1e-13);
  assert_near(b.body.inertia.zz, j.zz, 1e-13);
  assert_near(b.body.inertia.xz, j.xz, 1e-13);
  assert_near(b.body.inertia.yy, a.body.inertia.yy, 1e-13);
}

static void leaning_back_moves_the_cg_back_and_down(void **state) {
  (void)state;
  sy_person p = seated();
  const sy_seated a = solve(p);
  p.torso += 10 * SY_DEGREE;
  const sy_seated b = solve(p);
  assert_true(b.body.cg.x < a.body.cg.x && b.body.cg.z < a.body.cg.z);
}

static void heels_behind_the_knees_carry_an_unknown_load(void **state) {
  (void)state;
  sy_person p = seated();
  p.knee = 60 * SY_DEGREE;
  const sy_seated r = solve(p);
  assert_true(isnan(r.heels_least));
  assert_true(isfinite(r.heels_most));
}

static void refuses(sy_person p, sy_status status, const char *field) {
  sy_seated r;
  memset(&r, 7, sizeof r);
  sy_seated before = r;
  sy_error err;
  assert_int_equal(sy_person_seated(&p, &r, &err), status);
  assert_string_equal(err.field, field);
  assert_memory_equal(&r, &before, sizeof r);
}

static void what_no_body_does_is_refused_by_name(void **state) {
  (void)state;
  sy_person p = seated();
  p.mass = 0, refuses(p, SY_RANGE, "mass"), p = seated();
  p.mass = (double)NAN, refuses(p, SY_MISSING, "mass"), p = seated();
  p.mass = (double)INFINITY, refuses(p, SY_RANGE, "mass"), p = seated();
  p.stature = 1759, refuses(p, SY_RANGE, "stature"), p = seated();
  p.stature = (double)NAN, refuses(p, SY_MISSING, "stature"), p = seated();
  p.torso = 95 * SY_DEGREE, refuses(p, SY_RANGE, "torso"), p = seated();
  p.thigh = -95 * SY_DEGREE, refuses(p, SY_RANGE, "thigh"), p = seated();
  p.knee = 181 * SY_DEGREE, refuses(p, SY_RANGE, "knee"), p = seated();
  p.knee = (double)NAN, refuses(p, SY_MISSING, "knee"), p = seated();
  p.ankle = 30 * SY_DEGREE, refuses(p, SY_RANGE, "ankle"), p = seated();
  p.shoulder = 190 * SY_DEGREE, refuses(p, SY_RANGE, "shoulder"), p = seated();
  p.elbow = 10 * SY_DEGREE, refuses(p, SY_RANGE, "elbow"), p = seated();
  p.head = 100 * SY_DEGREE, refuses(p, SY_RANGE, "head"), p = seated();
  p.knee = p.elbow = 180 * SY_DEGREE, solve(p); /* the limits themselves */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(lower_legs_of_an_80_kg_man_are_the_published_share),
      cmocka_unit_test(sitting_height_is_that_of_another_survey),
      cmocka_unit_test(body_scales_with_stature_and_mass),
      cmocka_unit_test(leaning_back_as_a_whole_turns_the_body),
      cmocka_unit_test(leaning_back_moves_the_cg_back_and_down),
      cmocka_unit_test(heels_behind_the_knees_carry_an_unknown_load),
      cmocka_unit_test(what_no_body_does_is_refused_by_name),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
