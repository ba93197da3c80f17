#include "measure/partcg.h"

#include <stdlib.h>
#include <string.h>

#include "base/frame.h"
#include "base/units.h"
#include "dice.h"
#include "near.h"

static dice thrown = {1009};
static double any(double low, double high) { return dice_between(&thrown, low, high); }
static double normal(void) { /* Box and Muller */
  return sqrt(-2 * log(1 - any(0, 1))) * cos(2 * SY_PI * any(0, 1));
}

static sy_status solve(const sy_partcg *p, sy_partcg_result *r, sy_error *err) {
  void *memory = malloc(sy_partcg_size(p));
  assert_non_null(memory);
  const sy_status status = sy_partcg_solve(p, memory, r, err);
  r->fit = (sy_lsq){.rows = r->fit.rows, .cols = r->fit.cols, .dof = r->fit.dof, .chi2 = r->fit.chi2};
  free(memory);
  return status;
}

/* R. N. Jazar, Vehicle Dynamics: Theory and Application, Springer 2008, ch. 2, Example 40, p. 41: wheelbase 2.34 m, 2000 N under each
** front wheel, 1800 N under each rear wheel: CG 1.1084 m behind the front axle. Half a last digit. */
static void four_level_supports_give_the_published_cg_of_a_car(void **state) {
  (void)state;
  sy_partcg p = {.places = 4, .poses = 1};
  for (size_t i = 0; i < 4; i++) {
    p.place[i].at = (sy_vec3){i < 2 ? 0 : -2.34, i % 2 == 0 ? 0.7 : -0.7, 0};
    p.pose[0].place[i] = i, p.pose[0].load[i] = (i < 2 ? 2000 : 1800) / 9.81, p.pose[0].sd[i] = 0.1;
  }
  p.pose[0].legs = 4;
  sy_partcg_result r;
  assert_int_equal(solve(&p, &r, NULL), SY_OK);
  assert_near(r.cg[0], -1.1084, 0.00005);
  assert_near(r.cg[1], 0, 1e-12);
  assert_near(r.mass, 7600 / 9.81, 1e-9);
  assert_true(r.known[0] && r.known[1] && !r.known[2] && isnan(r.cg[2]));
  assert_near(r.mass_sd, 0.2, 1e-9);
}

/* ---- made-up truths -------------------------------------------------------------------------------------------------- */

static const double mass = 93.7;
static const sy_vec3 centre = {-0.12, 0.031, 0.27};

static sy_vec3 ground_at(const sy_partcg_pose *pose, sy_vec3 p) {
  return sy_mat3_apply(sy_frame_rotation(pose->roll, pose->pitch, 0), p);
}

/* Loads of a pose: legs above three carry `extra` each, the first three what equilibrium leaves (Cramer's rule). */
static void load_pose(const sy_partcg *p, sy_partcg_pose *pose, double extra) {
  sy_vec3 sum = {mass, 0, 0};
  const sy_vec3 c = ground_at(pose, centre);
  sum.y = mass * c.x, sum.z = mass * c.y;
  sy_vec3 row[3];
  for (size_t j = 0; j < pose->legs; j++) {
    const sy_vec3 at = ground_at(pose, p->place[pose->place[j]].at), column = {1, at.x, at.y};
    if (j < 3)
      row[j] = column;
    else
      pose->load[j] = extra, sum = sy_vec3_muladd(sum, -extra, column);
  }
  const double det = sy_vec3_dot(row[0], sy_vec3_cross(row[1], row[2]));
  pose->load[0] = sy_vec3_dot(sum, sy_vec3_cross(row[1], row[2])) / det;
  pose->load[1] = sy_vec3_dot(row[0], sy_vec3_cross(sum, row[2])) / det;
  pose->load[2] = sy_vec3_dot(row[0], sy_vec3_cross(row[1], sum)) / det;
}

static sy_partcg truth(size_t legs, size_t poses) {
  static const sy_vec3 feet[5] = {{0.21, 0.33, 0.02},
                                  {0.19, -0.31, -0.01},
                                  {-0.42, 0.05, 0.07},
                                  {-0.38, -0.29, 0.03},
                                  {0.03, 0.4, -0.05}};
  sy_partcg p = {.places = legs, .poses = poses};
  for (size_t i = 0; i < legs; i++) p.place[i].at = feet[i];
  for (size_t k = 0; k < poses; k++) {
    sy_partcg_pose *pose = &p.pose[k];
    pose->legs = legs;
    pose->roll = k % 2 == 0 ? 0 : any(-0.4, 0.4), pose->pitch = k == 0 ? 0 : any(0.1, 0.5);
    for (size_t j = 0; j < legs; j++) pose->place[j] = j, pose->sd[j] = 0.05;
    load_pose(&p, pose, any(5, 20));
  }
  return p;
}

static void poses_give_back_the_cg_they_were_made_from(void **state) {
  (void)state;
  for (int n = 0; n < dice_rounds(100); n++) {
    sy_partcg p = truth(3 + (size_t)n % 3, 2 + (size_t)n % 4);
    if (n % 2 == 0) {
      for (size_t i = 0; i < p.places; i++) p.place[i].sd = (sy_vec3){0.001, 0.001, 0.002};
      for (size_t k = 0; k < p.poses; k++)
        p.pose[k].pitch_sd = 0.002, p.pose[k].roll_sd = k % 3 == 0 ? 0 : 0.001;
    }
    sy_partcg_result r;
    assert_int_equal(solve(&p, &r, NULL), SY_OK);
    assert_near(r.mass, mass,
                1e-9); /* steps end at 1e-11 of its uncertainty; rounding of a fit of some 30 unknowns */
    assert_near(r.cg[0], centre.x, 1e-10);
    assert_near(r.cg[1], centre.y, 1e-10);
    assert_near(r.cg[2], centre.z, 1e-9); /* over the tangent of 6 degrees */
    assert_near(r.fit.chi2, 0, 1e-10);
    for (int i = 0; i < 3; i++) {
      double sum = 0;
      for (int c = 0; c < SY_PARTCG_CAUSES; c++) sum += r.cause[c][i] * r.cause[c][i];
      assert_near(sqrt(sum), r.cg_sd[i], 1e-12);
    }
  }
}

/* A support that was not read is one whose reading says next to nothing: the same answer as a reading that is wrong by tens of kilograms
** with a standard uncertainty of 1e4 kg, to (0.05 / 1e4)^2 of an uncertainty and the rounding that such a weight costs. */
static void a_support_that_was_not_read_is_unknown(void **state) {
  (void)state;
  for (int n = 0; n < dice_rounds(60); n++) {
    const size_t legs = 3 + (size_t)n % 3;
    sy_partcg p = truth(legs, 3);
    for (size_t i = 0; i < p.places; i++) p.place[i].sd = (sy_vec3){0.001, 0.001, 0.002};
    p.pose[1].pitch_sd = p.pose[2].pitch_sd = 0.002;
    const size_t lost = (size_t)n % legs, other = (lost + 1) % legs;
    sy_partcg vague = p;
    vague.pose[1].load[lost] += 50, vague.pose[1].sd[lost] = 1e4;
    p.pose[1].unread[lost] = true, p.pose[1].load[lost] = (double)NAN, p.pose[1].sd[lost] = 0;
    if (n % 2 == 0) { /* and one pose of which two are missing */
      vague.pose[2].load[lost] -= 30, vague.pose[2].sd[lost] = 1e4;
      vague.pose[2].load[other] = 0, vague.pose[2].sd[other] = 1e4;
      p.pose[2].unread[lost] = p.pose[2].unread[other] = true;
      p.pose[2].load[lost] = p.pose[2].load[other] = 0;
    }
    sy_partcg_result r, v;
    assert_int_equal(solve(&p, &r, NULL), SY_OK);
    assert_int_equal(solve(&vague, &v, NULL), SY_OK);
    assert_near(r.mass, mass, 1e-9);
    assert_near(r.cg[0], centre.x, 1e-9);
    assert_near(r.cg[1], centre.y, 1e-9);
    assert_near(r.cg[2], centre.z, 1e-8);
    assert_int_equal(r.loads, legs * 3 - (n % 2 == 0 ? 3 : 1));
    assert_near(r.mass_sd, v.mass_sd, 1e-5 * v.mass_sd);
    for (int i = 0; i < 3; i++) assert_near(r.cg_sd[i], v.cg_sd[i], 1e-5 * v.cg_sd[i]);
    assert_int_equal(r.fit.dof + (n % 2 == 0 ? 3 : 1), v.fit.dof);
  }
}

/* Two edges under a beam, and two balances on a knife edge: what a lever says. */
static void edges_and_balances_follow_the_lever(void **state) {
  (void)state;
  sy_partcg p = {.places = 2, .poses = 1};
  p.place[1].at.x = -2;
  p.pose[0] = (sy_partcg_pose){.legs = 2, .place = {0, 1}, .load = {30, 10}, .sd = {0.1, 0.1}};
  sy_partcg_result r;
  assert_int_equal(solve(&p, &r, NULL), SY_OK);
  assert_near(r.mass, 40, 1e-12);
  assert_near(r.cg[0], -0.5, 1e-12);
  assert_false(r.known[1] || r.known[2]);
  sy_partcg e = {.balances = 2};
  e.balance[0] = (sy_partcg_balance){.axis = 1, .edge = 0.41, .edge_sd = 0.001};
  e.balance[1] = (sy_partcg_balance){
      .axis = 1, .edge = 0.52, .edge_sd = 0.001, .mass = 20, .mass_sd = 0.01, .at = 0.9, .at_sd = 0.001};
  assert_int_equal(solve(&e, &r, NULL), SY_OK);
  assert_near(r.cg[1], 0.41, 1e-12);
  assert_near(r.mass, 20 * (0.9 - 0.52) / (0.52 - 0.41), 1e-9);
  /* m = M (a - e) / (e - c): u^2 by hand */
  const double d = 0.11, m = r.mass, by_edge = 20 / d + m / d, by_cg = m / d, by_at = 20 / d,
               by_mass = m / 20;
  assert_near(r.mass_sd,
              sqrt(1e-6 * (by_edge * by_edge + by_cg * by_cg + by_at * by_at) + 1e-4 * by_mass * by_mass),
              1e-7);
  e.balances = 1; /* the part alone: where it balances, and no mass */
  assert_int_equal(solve(&e, &r, NULL), SY_OK);
  assert_near(r.cg[1], 0.41, 1e-12);
  assert_true(isnan(r.mass));
}

/* First order against drawn errors in readings, places and angles: 4000 draws know a standard deviation to 1.1 %, 4 % is nearly four
** times that; errors of a millimetre and a tenth of a degree leave the second order far below. chi-square has the fit's degrees of
** freedom on average, to sqrt(2 dof / draws). */
static void uncertainties_are_those_of_drawn_errors(void **state) {
  (void)state;
  const int draws = dice_rounds(4000);
  const double room = 0.04 * sqrt(4000.0 / draws); /* of an uncertainty: scatter of a mean square */
  sy_partcg p = truth(4, 3);
  for (size_t i = 0; i < p.places; i++) p.place[i].sd = (sy_vec3){0.001, 0.0007, 0.0015};
  for (size_t k = 0; k < p.poses; k++) p.pose[k].pitch_sd = 0.0017, p.pose[k].roll_sd = 0.001;
  sy_partcg_result r, one;
  assert_int_equal(solve(&p, &r, NULL), SY_OK);
  double square[4] = {0}, chi2 = 0;
  for (int d = 0; d < draws; d++) {
    sy_partcg q = p;
    for (size_t i = 0; i < q.places; i++)
      q.place[i].at =
          sy_vec3_add(q.place[i].at, (sy_vec3){0.001 * normal(), 0.0007 * normal(), 0.0015 * normal()});
    for (size_t k = 0; k < q.poses; k++) {
      q.pose[k].pitch += 0.0017 * normal(), q.pose[k].roll += 0.001 * normal();
      for (size_t j = 0; j < 4; j++) q.pose[k].load[j] += 0.05 * normal();
    }
    assert_int_equal(solve(&q, &one, NULL), SY_OK);
    const double off[4] = {one.mass - mass, one.cg[0] - centre.x, one.cg[1] - centre.y, one.cg[2] - centre.z};
    for (int i = 0; i < 4; i++) square[i] += off[i] * off[i] / draws;
    chi2 += one.fit.chi2 / draws;
  }
  assert_near(sqrt(square[0]), r.mass_sd, room * r.mass_sd);
  for (int i = 0; i < 3; i++) assert_near(sqrt(square[i + 1]), r.cg_sd[i], room * r.cg_sd[i]);
  assert_near(chi2, (double)r.fit.dof, 4 * sqrt(2.0 * (double)r.fit.dof / draws));
}

/* ---- refusals ----------------------------------------------------------------------------------------------------- */

static void refuse(const sy_partcg *p, sy_status status, const char *part, const char *name) {
  sy_error err;
  sy_partcg_result r = {.mass = -7};
  assert_int_equal(solve(p, &r, &err), status);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, name);
  assert_near(r.mass, -7, 0);
}

static void what_settles_nothing_is_refused_by_pose(void **state) {
  (void)state;
  const sy_partcg good = truth(3, 2);
  sy_partcg p = {.poses = 0};
  refuse(&p, SY_MISSING, "part_cg", "poses");
  p = good, p.poses = SY_PARTCG_POSES + 1;
  refuse(&p, SY_RANGE, "part_cg", "");
  p = good, p.pose[1].legs = 0;
  refuse(&p, SY_RANGE, "pose 2", "supports");
  p = good, p.pose[1].place[2] = 3;
  refuse(&p, SY_RANGE, "pose 2", "supports");
  p = good, p.pose[0].load[1] = (double)NAN;
  refuse(&p, SY_RANGE, "pose 1", "readings");
  p = good, p.pose[0].sd[1] = 0;
  refuse(&p, SY_RANGE, "pose 1", "readings");
  p = good, p.pose[1].pitch = (double)INFINITY;
  refuse(&p, SY_RANGE, "pose 2", "tilt");
  p = good, p.pose[1].roll_sd = -1;
  refuse(&p, SY_RANGE, "pose 2", "tilt");
  p = good, p.place[0].sd.y = (double)NAN;
  refuse(&p, SY_RANGE, "part_cg", "supports");
  p = good, p.place[2].at = sy_vec3_scale(0.5, sy_vec3_add(p.place[0].at, p.place[1].at));
  refuse(&p, SY_GEOMETRY, "pose 1", "supports");
  p = good, p.pose[0].legs = 2, p.place[1].at = p.place[0].at, p.place[1].at.z += 0.1;
  refuse(&p, SY_GEOMETRY, "pose 1", "supports");
  p = good;
  for (size_t k = 0; k < 2; k++)
    for (size_t j = 0; j < 3; j++) p.pose[k].load[j] *= -1;
  refuse(&p, SY_GEOMETRY, "part_cg", "readings");
  p = good, p.pose[1].unread[0] = p.pose[1].unread[1] = p.pose[1].unread[2] = true;
  refuse(&p, SY_GEOMETRY, "pose 2", "readings");
  p = good, p.poses = 1,
  p.pose[0].unread[1] = true; /* two of three, and no other pose: nothing determines the mass */
  refuse(&p, SY_GEOMETRY, "pose 1", "readings");
  p = good, p.pose[0].unread[1] = p.pose[1].unread[1] =
                true; /* four equations for mass and three directions: which tilts alone decide */
  p.pose[1].roll = p.pose[1].pitch = 0;
  refuse(&p, SY_GEOMETRY, "pose 1", "readings");
  p = truth(5, 2), p.pose[0].unread[0] = p.pose[0].unread[2] = p.pose[0].unread[4] = true;
  refuse(&p, SY_GEOMETRY, "pose 1", "readings");
  p = (sy_partcg){.balances = 1};
  p.balance[0] = (sy_partcg_balance){.axis = 0, .edge = 0.4, .edge_sd = 0.001, .mass = 20, .at = 0.9};
  refuse(&p, SY_MISSING, "edge", "");
  p.balance[0].edge_sd = 0;
  refuse(&p, SY_RANGE, "edge 1", "");
  p.balance[0].edge_sd = 0.001, p.balances = 2, p.balance[1] = p.balance[0];
  refuse(&p, SY_GEOMETRY, "part_cg", "poses"); /* twice the same says one thing */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(four_level_supports_give_the_published_cg_of_a_car),
      cmocka_unit_test(poses_give_back_the_cg_they_were_made_from),
      cmocka_unit_test(a_support_that_was_not_read_is_unknown),
      cmocka_unit_test(edges_and_balances_follow_the_lever),
      cmocka_unit_test(uncertainties_are_those_of_drawn_errors),
      cmocka_unit_test(what_settles_nothing_is_refused_by_pose),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
