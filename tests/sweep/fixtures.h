/* fixtures.h - valid values of the structures that public functions take, for tests/test_sweep.c: make_TYPE fills the i-th of a row of
** them. All are invented. What the library makes itself (models, load maps, ledgers) comes from it, once, by make_shared.
*/
#ifndef SY_TESTS_SWEEP_FIXTURES_H
#define SY_TESTS_SWEEP_FIXTURES_H

#include <stdlib.h>
#include <string.h>

#include "dice.h"
#include "near.h"
#include "steelyard.h"

static void must(sy_status status, const sy_error *err) {
  if (status == SY_OK) return;
  print_error("%s: %s, %s: %s\n", sy_status_name(status), err->part, err->field, err->message);
  abort();
}

/* ---- memory of exactly the size that was asked for, so that a sanitizer sees what goes beyond ------------------------ */

static void *lent;
static void *memory_of(size_t size) {
  free(lent);
  lent = calloc(1, size > 0 ? size : 1);
  assert_non_null(lent);
  return lent;
}

/* ---- base and mass --------------------------------------------------------------------------------------------------- */

static void make_sy_vec3(sy_vec3 *v, int i) { *v = (sy_vec3){-0.31 - 0.2 * i, 0.17 + 0.1 * i, 0.43}; }
static void make_sy_mat3(sy_mat3 *m, int i) { *m = sy_frame_rotation(0.11 + i, -0.23, 0.37); }
static void make_sy_sym3(sy_sym3 *s, int i) { *s = (sy_sym3){2.3 + i, 2.9, 3.1, -0.2, 0.4, 0.1}; }
static void make_sy_frame(sy_frame *f, int i) {
  make_sy_mat3(&f->turn, i);
  make_sy_vec3(&f->at, i);
}
static void make_sy_axes(sy_axes *a, int i) {
  (void)i;
  const sy_way axis[3] = {SY_BACK, SY_RIGHT, SY_UP};
  sy_error err;
  must(sy_axes_make(axis, (sy_vec3){0.5, 0, 0.1}, a, &err), &err);
}
static void make_sy_csv_cell(sy_csv_cell *c, int i) { *c = (sy_csv_cell){&"62,5 kg"[i], 7 - (size_t)i}; }
static void make_sy_csv_marks(sy_csv_marks *m, int i) {
  *m = sy_csv_marks_none();
  m->comma = (sy_csv_place){1, (size_t)i + 1};
}
static void make_sy_massprops(sy_massprops *p, int i) {
  p->mass = i == 0 ? 61.7 : 7.3 + i;
  make_sy_vec3(&p->cg, i);
  make_sy_sym3(&p->inertia, i);
  if (i > 0) p->inertia = sy_sym3_scale(0.05, p->inertia);
}
static void make_sy_sums(sy_sums *s, int i) {
  sy_massprops p;
  make_sy_massprops(&p, i);
  *s = sy_sums_of(&p);
}
static void make_sy_cov4(sy_cov4 *c, int i) {
  const double list[10] = {4, -1, 0.3, 0.7, 2, 0.1, -0.2, 1.7, 0.2, 1.1};
  memcpy(c->c, list, sizeof list);
  c->c[0] += i;
}
static void make_sy_sensitivity(sy_sensitivity *g, int i) {
  *g =
      (sy_sensitivity){.m = 0.3 + i, .first = {0.1, -0.2, 0.05}, .carriers = SY_ALL_CARRIERS, .flat = i == 0};
  if (i > 0) make_sy_sym3(&g->second, i);
}
static void make_sy_instrument(sy_instrument *s, int i) { *s = (sy_instrument){0.05 + 0.01 * i, 0.001}; }

static sy_fill a_fill;
static void make_sy_fill(sy_fill *f, int i) {
  (void)i;
  *f = (sy_fill){.dry = 4.1,
                 .dry_sd = 0.2,
                 .density = 745,
                 .density_sd = 3,
                 .volume = 0.021,
                 .volume_sd = 0.0005,
                 .dry_arm = {0.01, 0.02, 0.03},
                 .liquid_arm = {-0.01, 0, -0.02},
                 .surface_arm = {0, 0, 0.06}};
}
static void make_sy_part(sy_part *p, int i) {
  *p = sy_part_default();
  p->mass = 19.7 + i, p->mass_sd = 0.3;
  make_sy_vec3(&p->cg, i);
  p->cg_sd = (sy_vec3){0.005, 0.004, 0.003};
  make_sy_sym3(&p->inertia, 0);
  p->growth = 0.02;
  p->unsprung = (sy_unsprung){{0.4, 0.2}, {SY_CARRIER_AXLE, SY_CARRIER_WHEEL + 2}, 2};
  p->instrument = 1, p->bias_share = 1, p->gain_mass = 19.7;
  make_sy_fill(&a_fill, 0);
  p->fill = &a_fill;
}
static void make_sy_weighed_whole(sy_weighed_whole *w, int i) {
  (void)i;
  *w = (sy_weighed_whole){.mass = 41, .mass_sd = 0.2, .has_cg = true, .has_inertia = true};
  w->cg = (sy_vec3){0.11, 0.02, 0.05}, w->cg_sd = (sy_vec3){0.001, 0.002, 0.003};
  w->inertia = (sy_sym3){4, 5, 6, 0.1, 0.2, 0.3}, w->inertia_sd = (sy_sym3){0.1, 0.1, 0.1, 0.1, 0.1, 0.1};
}
static void make_sy_group(sy_group *g, int i) {
  *g = sy_group_default();
  make_sy_frame(&g->frame, i);
  g->twin_normal = (sy_vec3){0, 1, 0};
}
static void make_sy_route(sy_route *r, int i) { *r = (sy_route){.depth = 1, .child = {(uint32_t)i}}; }

static void make_sy_person(sy_person *p, int i) {
  (void)i;
  *p = (sy_person){SY_SEGMENTS_MEN, 78, 1.77, 0.5, 0.2, 2.1, 1.6, 0.7, 2.0, 0.1};
}

static double rollup_bodies[2][SY_ROLLUP_BODY * SY_ROLLUP_BLOCK],
    rollup_places[2][SY_ROLLUP_PLACE * SY_ROLLUP_BLOCK];
static uint32_t rollup_ends[2][2];
static void make_sy_rollup_level(sy_rollup_level *l, int i) {
  const double turn[9] = {1, 0, 0, 0, 1, 0, 0, 0, 1};
  for (size_t n = 0; n < 2; n++) {
    for (size_t k = 0; k < SY_ROLLUP_BODY; k++)
      rollup_bodies[i][sy_rollup_at(SY_ROLLUP_BODY, n, k)] = k == 0  ? 11.3 + (double)n
                                                             : k < 4 ? 0.1 * (double)k - (double)n
                                                             : k < 7 ? 2.1 + (double)n
                                                                     : 0.1;
    for (size_t k = 0; k < SY_ROLLUP_PLACE; k++)
      rollup_places[i][sy_rollup_at(SY_ROLLUP_PLACE, n, k)] = k < 9 ? turn[k] : 0.3 * (double)k + 3;
  }
  l->count = i == 0 ? 2 : 1;
  l->body = rollup_bodies[i];
  l->place = rollup_places[i];
  rollup_ends[i][0] = 2, rollup_ends[i][1] = 2;
  l->child_end = rollup_ends[i];
}

static sy_mesh *a_mesh;
static void make_sy_tank(sy_tank *t, int i) {
  static const sy_tank_kind kinds[4] = {SY_TANK_BOX, SY_TANK_CYLINDER, SY_TANK_ELLIPSOID, SY_TANK_MESH};
  *t = sy_tank_default(kinds[i % 4]);
  t->size = (sy_vec3){0.42, 0.31, 0.27};
  t->diameter = 0.29, t->length = 0.47, t->axis = (sy_vec3){0.2, 1, 0.1};
  t->mesh = a_mesh;
}

/* ---- measure ------------------------------------------------------------------------------------------------------------ */

static void make_sy_lift_car(sy_lift_car *c, int i) {
  (void)i;
  *c = sy_lift_car_default();
  c->wheelbase = 2.45, c->radius[0] = 0.29, c->radius[1] = 0.305;
  c->unsprung[0] = 61, c->unsprung[1] = 72;
  c->tyre[0] = 2.2e-6, c->tyre[1] = 2.4e-6;
  c->compliance[0] = 3e-6, c->compliance[1] = 2.1e-6;
}
static void make_sy_lift_hold(sy_lift_hold *h, int i) {
  (void)i;
  *h = (sy_lift_hold){.lifted = SY_LIFT_REAR, .x = -2.6, .z = 0.2};
}
static void make_sy_lift_loads(sy_lift_loads *l, int i) {
  (void)i;
  *l = (sy_lift_loads){{301, 400}, {283, 418}};
}
static void make_sy_lift_body(sy_lift_body *b, int i) {
  (void)i;
  *b = (sy_lift_body){.mass = 701.4, .front = 282.9, .height = 0.35, .shift = 0.4};
}

static sy_cgheight_reading cg_readings[9];
static void make_sy_cgheight_session(sy_cgheight_session *s, int i) {
  (void)i;
  static const double up[9] = {282.7, 283.5, 284.4, 285.3, 286.2, 282.9, 284.0, 284.8, 285.6};
  for (int k = 0; k < 9; k++)
    cg_readings[k] = (sy_cgheight_reading){.run = k >= 5,
                                           .lifted = SY_LIFT_REAR,
                                           .lift = 0.15 * (k % 5),
                                           .lift_sd = 0.001,
                                           .blocks = k % 5 == 0 ? 0u : (1u << k % 5) - 1u,
                                           .load = {up[k], k % 5 == 0 ? 701.4 - up[k] : (double)NAN},
                                           .load_sd = {0.1, 0.1},
                                           .step_sd = {0.03, 0.03},
                                           .shift = 0};
  *s = sy_cgheight_session_default();
  s->car.wheelbase = 2.45, s->car.radius[0] = 0.29, s->car.radius[1] = 0.305;
  s->wheelbase_sd = 0.002, s->radius_sd[0] = s->radius_sd[1] = 0.002;
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++) s->block_sd[k] = 0.0004;
  s->reading = cg_readings;
  s->count = 9, s->runs = 2;
  s->drift = 0.2;
}

static void make_sy_plumb(sy_plumb *p, int i) {
  static const sy_vec3 from[4] = {{0.3, 0.01, 0.2}, {-0.2, 0.03, 0.25}, {0.05, 0.3, 0.1}, {-0.1, -0.2, 0.3}};
  const sy_vec3 cg = {0.02, 0.01, -0.05};
  p->from = from[i % 4];
  p->to = sy_vec3_muladd(p->from, 1.7, sy_vec3_sub(cg, p->from));
  p->to.x += 0.001 * i;
  p->from_sd = p->to_sd = (sy_vec3){0.001, 0.001, 0.001};
}

static void make_sy_partcg(sy_partcg *p, int i) {
  (void)i;
  static const double load[2][3] = {{20.1, 24.3, 31.2}, {22.9, 27.1, 25.6}};
  static const sy_vec3 at[3] = {{0.3, 0.2, 0}, {0.3, -0.25, 0.01}, {-0.4, 0.02, 0.03}};
  memset(p, 0, sizeof *p);
  p->places = 3, p->poses = 2, p->balances = 1;
  for (int k = 0; k < 3; k++) p->place[k] = (sy_partcg_place){at[k], {0.001, 0.001, 0.001}};
  for (int k = 0; k < 2; k++) {
    sy_partcg_pose *q = &p->pose[k];
    q->pitch = 0.35 * k, q->pitch_sd = 0.002, q->roll_sd = 0.002;
    q->legs = 3;
    for (int n = 0; n < 3; n++) q->place[n] = (size_t)n, q->load[n] = load[k][n], q->sd[n] = 0.05;
  }
  p->balance[0] = (sy_partcg_balance){0, 0.02, 0.001, 10, 0.01, -0.05, 0.002};
}

static void make_sy_pendulum(sy_pendulum *p, int i) {
  (void)i;
  *p = sy_pendulum_default();
  p->mass = 31.7, p->period = 1.91, p->arm = 0.42;
  p->swing = 0.1;
}

static sy_instrument reconcile_scales[2];
static sy_reconcile_line reconcile_lines[4];
static void make_sy_reconcile(sy_reconcile *r, int i) {
  (void)i;
  static const double load[4] = {173.1, 170.9, 201.3, 196.2};
  memset(r, 0, sizeof *r);
  for (int k = 0; k < 4; k++)
    reconcile_lines[k] = (sy_reconcile_line){.mass = 185.1,
                                             .mass_sd = 1 + k,
                                             .pieces = 1,
                                             .place = {-0.6 * k - 0.4, 0.05, 0.3},
                                             .place_sd = {0.01, 0.01, 0.01},
                                             .directions = sy_mat3_identity(),
                                             .instrument = k == 0 ? 1 : 0,
                                             .bias_share = 1,
                                             .gain_mass = 185.1};
  make_sy_instrument(&reconcile_scales[0], 0), make_sy_instrument(&reconcile_scales[1], 1);
  r->line = reconcile_lines, r->lines = 4;
  r->instrument = reconcile_scales, r->instruments = 2;
  r->supports = 4, r->lateral = true;
  for (int k = 0; k < 4; k++)
    r->support[k] = (sy_reconcile_support){k < 2 ? 0 : -2.4, k % 2 == 0 ? 0.72 : -0.72, load[k], 0.5, k / 2};
  r->place_sd[1] = 0.002, r->track_sd[0] = 0.002;
  r->height = 0.31, r->height_sd = 0.01;
}

static void make_sy_weighed(sy_weighed *w, int i) {
  memset(w, 0, sizeof *w);
  w->body = (sy_massprops){i == 0 ? 701.4 : 540.2,
                           {-1.31 + 0.1 * i, 0.01, 0.41},
                           {210 - 70.0 * i, 720 - 250.0 * i, 800 - 280.0 * i, 3, 8, 1}};
  w->mass_sd = 0.3, w->cg_sd = (sy_vec3){0.002, 0.002, 0.005};
  w->inertia_sd = (sy_sym3){2, 3, 3, 1, 1, 1};
  w->without = i > 0;
}

static void make_sy_tensor_swing(sy_tensor_swing *s, int i) {
  static const sy_vec3 axis[7] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 0},
                                  {1, 0, 1}, {0, 1, 1}, {1, 1, 1}};
  *s = (sy_tensor_swing){axis[i % 7], {0.01, 0.01, 0.01}, 2.1 + 0.13 * (i % 7)};
}

static void make_sy_weigh(sy_weigh *w, int i) {
  (void)i;
  static const double load[4] = {151.3, 148.9, 213.7, 219.2};
  memset(w, 0, sizeof *w);
  w->wheels = 4, w->pads = 4, w->readings = 12, w->slopes = true;
  for (int k = 0; k < 4; k++)
    w->front[k] = k < 2 ? 1 : -1, w->left[k] = k % 2 == 0 ? 1 : -1, w->offset_sd[k] = 0.5,
    w->gain_sd[k] = 0.001;
  w->ratio_sd = 0.0005;
  for (int k = 0; k < 12; k++)
    w->reading[k] = (sy_weigh_reading){1u << k % 4, (size_t)(k % 4 ^ k / 4), k < 8 ? 1 : -1,
                                       load[k % 4] + 0.1 * (k % 3), 0.1};
}

/* ---- numeric ------------------------------------------------------------------------------------------------------------- */

static double qr_a[8], qr_diagonal[2], qr_scale[2];
static size_t qr_order[2];
static void make_sy_qr(sy_qr *q, int i) {
  const double a[8] = {1, 0.3, 1, 1.7, 1, 2.9, 1, 3.1};
  memcpy(qr_a, a, sizeof a);
  *q = (sy_qr){4, 2, qr_a, qr_diagonal, qr_scale, qr_order};
  if (i > 0) sy_qr_factor(q, NULL);
}
static sy_lsq a_fit;
static void make_sy_lsq(sy_lsq *f, int i) {
  (void)i;
  *f = a_fit;
}
static void make_sy_repeat(sy_repeat *r, int i) {
  memset(r, 0, sizeof *r);
  double x[2] = {0.7, 0.3};
  for (int k = 0; k < 2 + i; k++) {
    const double next[2] = {0.5 * x[0] + 0.1, 0.4 * x[1] - 0.2};
    sy_repeat_next(r, 2, x, next);
  }
}
static void make_sy_rng_words(sy_rng_words *w, int i) { *w = sy_rng_key(95u + (uint64_t)i); }

static double line_less_third(void *user, double x) {
  (void)user;
  return x - 1.0 / 3.0;
}
static sy_status straight_line(void *user, const double *x, double *fitted, double *jacobian, sy_error *err) {
  (void)user, (void)err;
  for (int i = 0; i < 4; i++) {
    fitted[i] = x[0] + x[1] * i;
    if (jacobian != NULL) jacobian[2 * i] = 1, jacobian[2 * i + 1] = i;
  }
  return SY_OK;
}

/* ---- shop ---------------------------------------------------------------------------------------------------------------- */

static void make_sy_envelope(sy_envelope *e, int i) {
  static const sy_envelope_kind kinds[4] = {SY_ENVELOPE_POINTS, SY_ENVELOPE_ROUND, SY_ENVELOPE_ELLIPSOID,
                                            SY_ENVELOPE_MESH};
  *e = sy_envelope_default(kinds[i % 4]);
  make_sy_frame(&e->place, i);
  e->place.at.x += 1.3 * i;
  e->count = 3;
  for (int k = 0; k < 3; k++) e->point[k] = (sy_vec3){0.1 * k, 0.07 * k * k, -0.05 * k};
  e->end[0] = (sy_vec3){0, 0, 0}, e->end[1] = (sy_vec3){0.3, 0.1, 0};
  e->radius[0] = 0.05, e->radius[1] = 0.07;
  e->half = (sy_vec3){0.1, 0.2, 0.15};
  e->mesh = a_mesh;
  e->rounding = 0.003, e->sweep = (sy_vec3){0.01, 0, 0.02};
}
static void make_sy_joint(sy_joint *j, int i) {
  *j = (sy_joint){{-2.4, 0.2 + 0.4 * i, 0.31 - 0.02 * i}, {0.05, 1, 0.02 + 0.1 * i}};
}
static sy_joint_error joint_errors[2];
static void make_sy_joint_error(sy_joint_error *e, int i) {
  *e = (sy_joint_error){77u + (uint64_t)i, 0.31, 0.0005, i, {0, 0, 0.0005}};
}
static void make_sy_travel_error(sy_travel_error *e, int i) {
  *e = (sy_travel_error){91u + (uint64_t)i, 0.002};
}
static sy_path_point path_points[3];
static void make_sy_path(sy_path *p, int i) {
  for (int k = 0; k < 3; k++)
    path_points[k] = (sy_path_point){-0.1 + 0.1 * k, {0.001 * k, 0.7 - 0.002 * k * k, 0.3 + 0.1 * k}};
  *p = (sy_path){i == 0 ? SY_PATH_ARC : SY_PATH_POINTS,
                 {-2.4, 0.6, 0.29},
                 {-2.3, 0.2, 0.28},
                 {1, 0.02, 0.03},
                 path_points,
                 3};
}
static void make_sy_shaft(sy_shaft *s, int i) {
  (void)i;
  for (int k = 0; k < 2; k++) make_sy_joint_error(&joint_errors[k], k);
  make_sy_joint(&s->inner, 0), make_sy_joint(&s->outer, 1), make_sy_path(&s->path, 0);
  s->droop = 0.05, s->bump = 0.04, s->steer = 0.1;
  s->error = joint_errors, s->error_count = 2;
  make_sy_travel_error(&s->droop_error, 0), make_sy_travel_error(&s->bump_error, 1);
}
static void make_sy_placed(sy_placed *p, int i) {
  *p = (sy_placed){55u + 7u * (uint64_t)i, {0.3, 0.1, 0.2}, {0.002, 0.001, 0.003}};
}
static void make_sy_found(sy_found *f, int i) {
  *f = (sy_found){0.02 + 0.01 * i, 1, {{13u + (uint64_t)i, 20, 0.3, 0.0003}}};
}
static void make_sy_pick_up_error(sy_pick_up_error *e, int i) {
  *e = (sy_pick_up_error){31u + (uint64_t)i, 5, 0.5, {0, 0, 0.0005}};
}
static void make_sy_sling(sy_sling *s, int i) {
  (void)i;
  *s = (sy_sling){3, {{0.3, 0.2, 0.4}, {0.28, -0.22, 0.41}, {-0.35, 0.03, 0.38}}, {0.8, 0.83, 0.79}};
}
static void make_sy_plan(sy_plan *p, int i) {
  static const sy_plan list[4] = {{-0.2, 0.6}, {-0.3, -0.61}, {-2.1, 0.55}, {-2.2, -0.5}};
  *p = i < 0 ? (sy_plan){-1.2, 0.03} : list[i % 4];
}
static void make_sy_support(sy_support *s, int i) {
  (void)i;
  sy_plan at[4];
  for (int k = 0; k < 4; k++) make_sy_plan(&at[k], k);
  sy_error err;
  must(sy_support_make(at, 4, s, &err), &err);
}
static void make_sy_tapes(sy_tapes *t, int i) {
  (void)i;
  *t = (sy_tapes){{0, 1.1}, {0.05, -1.2}};
}
static void make_sy_survey_line(sy_survey_line *l, int i) {
  sy_plan drawn;
  make_sy_plan(&drawn, i);
  *l = (sy_survey_line){drawn, i % 2 == 1, {drawn.x + 0.003, drawn.y - 0.002}, {0.002, 0.002}};
  sy_tapes tapes;
  make_sy_tapes(&tapes, 0);
  if (l->taped) sy_tapes_lengths(&tapes, drawn, &l->value[0], &l->value[1]);
}

/* ---- vehicle and statics ---------------------------------------------------------------------------------------------- */

static void make_sy_axle(sy_axle *a, int i) {
  *a = sy_axle_default();
  a->x = -2.37 * i + 0.02, a->bar_rate = 6e3, a->roll_centre = 0.031 + 0.04 * i;
  a->brake_links = 0.3, a->drive_links = 0.2 * i;
  if (i == 0) a->brake_angle = 0.07;
}
static void make_sy_ratio_curve(sy_ratio_curve *c, int i) {
  *c = (sy_ratio_curve){3, {-0.05, 0.011, 0.06}, {1.02, 0.97 - 0.01 * i, 0.93}};
}
static void make_sy_wheel(sy_wheel *w, int i) {
  *w = sy_wheel_default();
  w->loaded_radius = 0.29, w->tyre_rate = 2.1e5, w->spring_rate = 4.1e4 + 3e3 * i, w->motion_ratio = 0.9;
  w->perch_pitch = 0.0015, w->bump = 0.06, w->droop = 0.07;
  if (i == 0) return; /* the other one is bent */
  w->stop_gap = 0.03, w->stop_rate = 5.1e4;
  make_sy_ratio_curve(&w->curve, i);
}
static void make_sy_vehicle(sy_vehicle *v, int i) {
  (void)i;
  *v = sy_vehicle_default();
  for (int k = 0; k < 2; k++) {
    sy_axle axle;
    sy_wheel wheel;
    make_sy_axle(&axle, k), make_sy_wheel(&wheel, k);
    sy_vehicle_add_axle(v, axle, 1.43 + 0.03 * k, wheel);
  }
  v->torsion = 3e5, v->cross_share = 0.51;
}

static sy_ledger *a_ledger, *other_ledger; /* of two families */
static sy_sensitivity some_by[2];
static sy_totals some_totals;
static sy_loadmap a_map;
static sy_balance a_balance;
static sy_corner_load a_load;
static sy_corner_model a_model;
static sy_corner_result a_result;
static sy_transfer_model a_transfer;
static const sy_vec3 LEVEL = {0, 0, -SY_STANDARD_GRAVITY};

static void make_sy_totals(sy_totals *t, int i) {
  (void)i;
  *t = some_totals;
}
static void make_sy_loadmap(sy_loadmap *m, int i) {
  (void)i;
  *m = a_map;
}
static void make_sy_balance_ways(sy_balance_ways *w, int i) {
  *w = (sy_balance_ways){.front_x = 0.13 + i, .rear_x = -0.21};
  for (int k = 0; k < SY_MAX_WHEELS; k++) make_sy_vec3(&w->wheel[k], i + k);
}
static void make_sy_balance(sy_balance *b, int i) {
  (void)i;
  *b = a_balance;
}
static void make_sy_corner_load(sy_corner_load *l, int i) {
  (void)i;
  *l = a_load;
}
static void make_sy_corner_model(sy_corner_model *m, int i) {
  (void)i;
  *m = a_model;
}
static void make_sy_corner_result(sy_corner_result *r, int i) {
  (void)i;
  *r = a_result;
}
static void make_sy_transfer_model(sy_transfer_model *m, int i) {
  (void)i;
  *m = a_transfer;
}
static void make_sy_corner_setting(sy_corner_setting *s, int i) {
  (void)i;
  *s = (sy_corner_setting){
      .pad = {0.002}, .perch = {0, 0.001}, .preload = {0.001}, .downforce = {150, 210}, .bars = true};
}
static void make_sy_perch_ask(sy_perch_ask *a, int i) {
  (void)i;
  *a = (sy_perch_ask){SY_HOLD_HEIGHTS, true, 0.5, true, 0.003, -0.002, true, 0.002, 0.001, 0.25};
}
static void make_sy_settle_tank(sy_settle_tank *t, int i) {
  memset(t, 0, sizeof *t);
  make_sy_tank(&t->tank, i);
  t->volume = 0.013, t->mass = 9.7;
  t->turn = sy_mat3_identity();
  t->middle = (sy_vec3){-1.29, 0.02, 0.31};
  must(sy_settle_book(t, (sy_vec3){0, 0, 1}, NULL), &(sy_error){.status = SY_OK});
}
static sy_settle_tank some_tanks[2];
static void make_sy_settle_tanks(sy_settle_tanks *t, int i) {
  (void)i;
  for (int k = 0; k < 2; k++) make_sy_settle_tank(&some_tanks[k], k);
  *t = (sy_settle_tanks){some_tanks, 2};
}
static sy_totals car_totals;
static double car_downforce[SY_MAX_AXLES];
static void make_sy_settle_car(sy_settle_car *c, int i) {
  (void)i;
  car_totals = some_totals;
  car_downforce[0] = 130, car_downforce[1] = 190;
  c->corner = &a_model, c->now = &car_totals, c->downforce = car_downforce, c->bars = true;
  c->brake_front_share = 0.62;
  make_sy_settle_tanks(&c->tanks, 0);
}
static void make_sy_transfer_path(sy_transfer_path *p, int i) {
  (void)i;
  *p = (sy_transfer_path){{0, 0, -9.8}, {0.7, 9.8, 0}, true};
}
static sy_status stands(void *user, sy_vec3 gravity, sy_corner_result *out, sy_error *err) {
  (void)user;
  return sy_transfer_solve(&a_transfer, gravity, out, err);
}
static void make_sy_between(sy_between *b, int i) {
  (void)i;
  *b = (sy_between){1.41, 1.04, 0.43, 1.05};
}
static void make_sy_trial(sy_trial *t, int i) {
  make_sy_sums(&t->car, i);
  t->item_mass = 11, t->item_first = (sy_vec3){-17, 1, 3}, t->direction = (sy_vec3){-1, 0, 0};
  t->map = &a_map;
}
static void make_sy_variants_frame(sy_variants_frame *f, int i) {
  (void)i;
  *f = (sy_variants_frame){{0.02, -2.43}, {0.02, 0.02, -2.43, -2.43}, {0.751, -0.748, 0.738, -0.741}};
}
enum { VARIANTS = 5 };
static double variants_in[18][VARIANTS], variants_out[8][VARIANTS];
static void make_sy_variants_in(sy_variants_in *v, int i) {
  (void)i;
  dice d = {2468};
  static const double low[18] = {1e4, 1e4, 1e4,  1e4, 1.5e5, 1.5e5, 1.5e5, 1.5e5, 0,
                                 0,   1e4, 4000, -2,  -0.1,  150,   150,   150,   150};
  for (int q = 0; q < 18; q++)
    for (int k = 0; k < VARIANTS; k++)
      variants_in[q][k] = low[q] + (fabs(low[q]) + 0.1) * dice_between(&d, 0, 0.5);
  for (int w = 0; w < 4; w++)
    v->wheel_rate[w] = variants_in[w], v->tyre_rate[w] = variants_in[4 + w],
    v->unsprung[w] = variants_in[14 + w];
  v->bar_rate[0] = variants_in[8], v->bar_rate[1] = variants_in[9], v->torsion = variants_in[10];
  v->weight = variants_in[11], v->x = variants_in[12], v->y = variants_in[13];
}
static void make_sy_variants_out(sy_variants_out *v, int i) {
  (void)i;
  *v = (sy_variants_out){variants_out[0],
                         variants_out[1],
                         variants_out[2],
                         variants_out[3],
                         {variants_out[4], variants_out[5], variants_out[6], variants_out[7]}};
}

static sy_stated some_stated[2];
static void make_sy_stated(sy_stated *s, int i) {
  *s = (sy_stated){i == 0 ? SY_STATED_SPRING_RATE : SY_STATED_CROSS_SHARE,
                   i == 0 ? 3u : 0u,
                   i == 0 ? 500 : 0.004,
                   0,
                   0,
                   0};
}
static void make_sy_rake_point(sy_rake_point *p, int i) {
  *p = (sy_rake_point){-2.2 * i, 0.2, 0.21 - 0.02 * i, 0.001};
}
static void make_sy_reading(sy_reading *r, int i) {
  (void)i;
  for (int w = 0; w < SY_MAX_WHEELS; w++) {
    r->load[w] = 1700.0 + 10.0 * w;
    r->covariance[w][w] = 4.0;
  }
}

static void make_sy_car(sy_car *c, int i) {
  (void)i;
  sy_vehicle v;
  make_sy_vehicle(&v, 0);
  for (int k = 0; k < SY_MAX_WHEELS;
       k++) { /* straight springs: bent ones take ten times as long, and the models above have them */
    v.wheel[k].curve.count = 0;
    v.wheel[k].stop_gap = v.wheel[k].stop_rate = (double)NAN;
  }
  sy_error err;
  must(sy_car_make(a_ledger, NULL, &v, c, &err), &err);
  make_sy_corner_setting(&c->setting, 0);
  c->nose_up = 0.004, c->left_up = 0.003;
  for (int k = 0; k < 2; k++) make_sy_stated(&some_stated[k], k);
  c->stated = some_stated, c->stated_count = 2;
}
static void make_sy_asked(sy_asked *a, int i) {
  *a = sy_answer_nth(sy_corner_answers(), &a_model.vehicle, i);
}
static void make_sy_question(sy_question *q, int i) {
  static sy_asked asked[2][3];
  for (int k = 0; k < 3; k++) make_sy_asked(&asked[i % 2][k], k);
  *q = (sy_question){sy_corner_answers(), asked[i % 2], 3};
}
static sy_stand a_stand;
static void make_sy_stand(sy_stand *s, int i) {
  (void)i;
  *s = a_stand;
}

static sy_steady a_steady;
static sy_steady *steady(void) {
  static sy_car car;
  static sy_error err;
  make_sy_car(&car, 0);
  must(sy_steady_make(&car, &some_totals, &some_totals, true, &a_steady, &err), &err);
  return &a_steady;
}
static sy_pushed a_pushed;
static void make_sy_pushed(sy_pushed *p, int i) {
  sy_car car;
  sy_error err;
  (void)i;
  make_sy_car(&car, 0);
  car.left = -0.5;
  must(sy_pushed_make(&car, &a_pushed, &err), &err);
  *p = a_pushed;
}
static void make_sy_rigid_push(sy_rigid_push *p, int i) {
  sy_car car;
  sy_totals now;
  sy_error err;
  (void)i;
  make_sy_car(&car, 0);
  car.left = -0.5;
  sy_ledger_sums(car.now, &now);
  must(sy_rigid_push_make(&car, &now, NULL, p, &err), &err);
}
static void make_sy_rigid_turn(sy_rigid_turn *t, int i) {
  sy_rigid_push p;
  make_sy_rigid_push(&p, i);
  *t = p.turn;
}
static void make_sy_ending(sy_ending *e, int i) {
  (void)i;
  *e = (sy_ending){.limit = 1.1, .before = 1.0989, .wheel = 1, .load = 3, .fall = 2500};
}

static double record_covariance[16];
static sy_record_instrument record_instrument;
static void make_sy_record_figure(sy_record_figure *f, int i) {
  *f = (sy_record_figure){
      .of = {i == 0, i == 1, i == 2, i == 3}, .per_mass = i == 3, .read = i == 0 ? 150 : 1};
}
static void make_sy_record_instrument(sy_record_instrument *r, int i) {
  memset(r, 0, sizeof *r);
  r->number = 1 + (uint32_t)i;
  for (int j = 0; j < 4; j++) r->bias[j] = 1, r->gain[j] = 40;
}
static void make_sy_record(sy_record *r, int i) {
  (void)i;
  memset(r, 0, sizeof *r);
  for (int j = 0; j < 4; j++) record_covariance[5 * j] = 0.25;
  make_sy_record_instrument(&record_instrument, 0);
  r->ledger = a_ledger;
  r->figures = 3, r->readings = 4;
  for (int k = 0; k < 4; k++) make_sy_record_figure(&r->figure[k], k);
  for (int j = 0; j < 4; j++) {
    r->effect[0][j] = 1;
    r->effect[1][j] = j < 2 ? 0 : -2.4;
    r->effect[2][j] = j % 2 == 0 ? 0.72 : -0.72;
  }
  r->covariance = record_covariance;
  r->instruments = 1, r->instrument = &record_instrument;
}
static sy_measured *a_measured;
static sy_ledger *a_corrected; /* carries it */

/* ---- what the library makes -------------------------------------------------------------------------------------------- */

static sy_csv *a_csv;
static sy_overlaps *an_overlap;
static sy_outline *an_outline;
static sy_ledger_builder *a_builder;

static sy_ledger_builder *new_builder(const sy_ledger *relative) {
  sy_ledger_builder_free(a_builder);
  a_builder = sy_ledger_builder_new(NULL, relative);
  assert_non_null(a_builder);
  const sy_instrument scales[2] = {{0.05, 0.001}, {0.1, 0}};
  if (relative == NULL) sy_ledger_builder_instruments(a_builder, scales, 2, NULL);
  return a_builder;
}
static sy_ledger_builder *filled_builder(const sy_ledger *relative) {
  sy_ledger_builder *b = new_builder(relative);
  sy_part part;
  make_sy_part(&part, 0);
  sy_error err;
  must(sy_ledger_add_part(b, "pump", NULL, &part, &err), &err);
  return b;
}
static sy_ledger_builder *open_builder(void) {
  sy_ledger_builder *b = new_builder(NULL);
  const sy_group plain = sy_group_default();
  sy_error err;
  must(sy_ledger_open_group(b, "group", NULL, &plain, &err), &err);
  return b;
}
static sy_ledger_builder *fresh_builder(void) {
  sy_ledger_builder_free(a_builder);
  return a_builder = sy_ledger_builder_new(NULL, NULL);
}

static sy_ledger *make_ledger(void) {
  static const double mass[4] = {310, 420, 70, 90}, x[4] = {-0.61, -1.53, 0, -2.37},
                      y[4] = {0.03, -0.05, 0, 0};
  sy_ledger_builder *b = new_builder(NULL);
  sy_error err;
  for (int i = 0; i < 4; i++) {
    sy_part p = sy_part_default();
    p.mass = mass[i], p.mass_sd = 1, p.cg = (sy_vec3){x[i], y[i], 0.4};
    p.inertia = (sy_sym3){9, 11, 12, 0.1, 0.2, 0.3};
    if (i >= 2) p.unsprung = (sy_unsprung){{1}, {(uint8_t)(SY_CARRIER_AXLE + i - 2)}, 1};
    if (i == 3) p.instrument = 1, p.bias_share = 1, p.gain_mass = 90;
    must(sy_ledger_add_part(b, i == 0 ? "engine" : "part", i == 0 ? "heavy" : NULL, &p, &err), &err);
  }
  const sy_group plain = sy_group_default();
  must(sy_ledger_open_group(b, "group", NULL, &plain, &err), &err);
  must(sy_ledger_close_group(b, &err), &err);
  sy_ledger *ledger = NULL;
  must(sy_ledger_finish(b, &ledger, &err), &err);
  return ledger;
}

static sy_ledger *weighed_pieces, *weighed_line; /* a group of two parts; the same with a line at its end */

static void make_weighed(void) {
  sy_ledger_builder *b = new_builder(NULL);
  const sy_group plain = sy_group_default();
  sy_error err;
  must(sy_ledger_open_group(b, "group", NULL, &plain, &err), &err);
  for (int i = 0; i < 2; i++) {
    sy_part p;
    make_sy_part(&p, i);
    must(sy_ledger_add_part(b, "part", NULL, &p, &err), &err);
  }
  must(sy_ledger_close_group(b, &err), &err);
  must(sy_ledger_finish(b, &weighed_pieces, &err), &err);
  b = new_builder(weighed_pieces);
  const sy_part line = sy_part_default();
  must(sy_ledger_add_part(b, "unaccounted", NULL, &line, &err), &err);
  const sy_route group = {.depth = 1, .child = {0}};
  must(sy_ledger_append(weighed_pieces, &group, b, &weighed_line, &err), &err);
}

static const char TABLE[] = "part;mass;x\nengine;96,2;1,5\n\"a \"\"b\"\"\";1.234,5;2,25\n";
static const char TETRAHEDRON[] =
    "v 0 0 0\nv 0.4 0 0\nv 0 0.3 0\nv 0 0 0.5\nf 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n";
static char stl[84 + 4 * 50];

static void make_stl(void) {
  const uint32_t count = 4;
  memcpy(stl + 80, &count, sizeof count);
  for (size_t i = 0; i < 4; i++) {
    sy_vec3 corner[3];
    sy_mesh_triangle(a_mesh, i, corner);
    for (int k = 0; k < 3; k++) {
      const float xyz[3] = {(float)corner[k].x, (float)corner[k].y, (float)corner[k].z};
      memcpy(stl + 84 + 50 * i + 12 + 12 * (size_t)k, xyz, sizeof xyz);
    }
  }
}

static sy_mesh *spare_mesh; /* for what changes one */
static sy_mesh *new_mesh(void) {
  sy_mesh_free(spare_mesh);
  sy_error err;
  must(sy_mesh_read(TETRAHEDRON, sizeof TETRAHEDRON - 1, NULL, &spare_mesh, &err), &err);
  return spare_mesh;
}

static void *fit_memory;
static void make_fit(void) {
  const double a[8] = {1, 0, 1, 1, 1, 2, 1, 3}, y[4] = {0.9, 2.1, 2.8, 4.2}, sd[4] = {0.1, 0.1, 0.2, 0.1};
  fit_memory = malloc(sy_lsq_size(4, 2));
  sy_error err;
  must(sy_lsq_linear(a, y, sd, 4, 2, fit_memory, &a_fit, &err), &err);
}

static void make_shared(void) {
  sy_error err;
  must(sy_csv_read(TABLE, sizeof TABLE - 1, NULL, &a_csv, &err), &err);
  must(sy_mesh_read(TETRAHEDRON, sizeof TETRAHEDRON - 1, NULL, &a_mesh, &err), &err);
  sy_envelope two[2];
  for (int i = 0; i < 2; i++) make_sy_envelope(&two[i], i);
  must(sy_overlaps_find(two, 2, 2, NULL, &an_overlap, &err), &err);
  must(sy_outline_make(&two[0], SY_VIEW_SIDE, NULL, &an_outline, &err), &err);
  make_stl();
  make_fit();
  make_weighed();
  a_ledger = make_ledger(), other_ledger = make_ledger();
  for (int i = 0; i < 2; i++) make_sy_sensitivity(&some_by[i], i);
  sy_ledger_totals(a_ledger, &some_totals);
  sy_vehicle v;
  make_sy_vehicle(&v, 0);
  must(sy_loadmap_make(&v, LEVEL, &a_map, &err), &err);
  must(sy_balance_make(&some_totals, &v, &a_map, &a_balance, &err), &err);
  must(sy_corner_load_of(&some_totals, &v, LEVEL, &a_load, &err), &err);
  double drawn[SY_MAX_WHEELS];
  const sy_sums *s = &some_totals.all;
  sy_loadmap_apply(&a_map, (const double[4]){s->m, s->first.x, s->first.y, s->first.z}, drawn);
  must(sy_corner_make(&v, &a_load, drawn, &a_model, &err), &err);
  sy_corner_setting setting;
  make_sy_corner_setting(&setting, 0);
  must(sy_corner_solve(&a_model, &a_load, &setting, &a_result, &err), &err);
  must(sy_transfer_make(&a_model, &some_totals, NULL, true, &a_transfer, &err), &err);
  sy_car car;
  make_sy_car(&car, 0);
  must(sy_stand_make(&car, &a_stand, &err), &err);
  sy_record record;
  make_sy_record(&record, 0);
  must(sy_measured_new(NULL, a_ledger, &record, 1, NULL, 0, &a_measured, &err), &err);
  must(sy_measured_correct(a_measured, a_ledger, &a_corrected, &err), &err);
}

static void free_shared(void) {
  free(lent);
  free(fit_memory);
  sy_ledger_release(a_corrected);
  sy_measured_release(a_measured);
  sy_csv_free(a_csv);
  sy_overlaps_free(an_overlap);
  sy_outline_free(an_outline);
  sy_mesh_free(a_mesh);
  sy_mesh_free(spare_mesh);
  sy_ledger_builder_free(a_builder);
  sy_ledger_release(weighed_pieces);
  sy_ledger_release(weighed_line);
  sy_ledger_release(a_ledger);
  sy_ledger_release(other_ledger);
}

#endif
