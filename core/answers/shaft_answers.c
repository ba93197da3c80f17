#include "answers/shaft_answers.h"

#include <math.h>

#include "answers/found_set.h"

/* ---- one shaft --------------------------------------------------------------------------------------------------------------- */

/* `sensitivity`: of the answer by the outer centre's place; by the inner one's it is the opposite. */
static void add_places(const sy_shaft *shaft, sy_vec3 sensitivity, sy_found *out) {
  for (size_t i = 0; i < shaft->error_count; i++) {
    const sy_joint_error *e = &shaft->error[i];
    const double effect = sy_vec3_dot(sensitivity, e->move);
    sy_found_add(out, e->key, e->value, e->sd, e->joint == 1 ? effect : -effect);
  }
}

/* What a stated travel does, by solving at both ends of its standard uncertainty: the worst place may be the end of it or not. */
static sy_status add_travel(const sy_shaft *shaft, bool bump, sy_shaft_found *out, sy_error *err) {
  const sy_travel_error *e = bump ? &shaft->bump_error : &shaft->droop_error;
  const double travel = bump ? shaft->bump : shaft->droop;
  sy_sweep side[2];
  if (!(e->sd > 0.0)) return SY_OK;
  for (int k = 0; k < 2; k++) {
    const double x = fmax(0.0, travel + (k == 0 ? e->sd : -e->sd));
    const sy_status status =
        sy_shaft_sweep(&shaft->inner, &shaft->outer, &shaft->path, bump ? shaft->droop : x,
                       bump ? x : shaft->bump, shaft->steer, &side[k], err);
    if (status != SY_OK) return status;
  }
  const double longer = side[0].longest.length - side[0].shortest.length,
               shorter = side[1].longest.length - side[1].shortest.length;
  sy_found_add(&out->worst_angle, e->key, travel, e->sd, 0.5 * (side[0].worst_angle - side[1].worst_angle));
  sy_found_add(&out->plunge, e->key, travel, e->sd, 0.5 * (longer - shorter));
  return SY_OK;
}

static bool is_move(sy_vec3 v) {
  return fabs(v.x) <= SY_MOST_ERROR && fabs(v.y) <= SY_MOST_ERROR && fabs(v.z) <= SY_MOST_ERROR;
}

static sy_status check_errors(const sy_shaft *shaft, sy_error *err) {
  for (size_t i = 0; i < shaft->error_count; i++) {
    const sy_joint_error *e = &shaft->error[i];
    if (!isfinite(e->value) || !(e->sd >= 0.0 && e->sd <= SY_MOST_ERROR) || !is_move(e->move))
      return sy_fail(err, SY_RANGE, "shaft", "error", "number %zu of %zu is not finite or beyond %g m", i + 1,
                     shaft->error_count, SY_MOST_ERROR);
  }
  const double travel[2] = {shaft->droop_error.sd, shaft->bump_error.sd};
  for (int k = 0; k < 2; k++)
    if (!(travel[k] >= 0.0 && travel[k] <= SY_MOST_ERROR))
      return sy_fail(err, SY_RANGE, "shaft", k == 0 ? "droop" : "bump", "has the uncertainty %g m",
                     travel[k]);
  return SY_OK;
}

static sy_status find_static(const sy_shaft *shaft, sy_found *out, sy_error *err) {
  sy_vec3 move;
  sy_shaft_pose pose;
  sy_status status = sy_path_move(&shaft->path, 0.0, &move, err);
  const sy_joint outer = {sy_vec3_add(shaft->outer.at, move), shaft->outer.axis};
  if (status == SY_OK) status = sy_shaft_pose_make(&shaft->inner, &outer, &pose, err);
  if (status != SY_OK) return status;
  const bool at_outer = pose.outer > pose.inner;
  out->value = at_outer ? pose.outer : pose.inner;
  add_places(shaft, at_outer ? pose.outer_sensitivity : pose.inner_sensitivity, out);
  return SY_OK;
}

sy_status sy_shaft_find(const sy_shaft *shaft, sy_shaft_found *out, sy_sweep *sweep, sy_error *err) {
  const sy_found unknown = sy_found_of((double)NAN);
  sy_shaft_found f = {unknown, unknown, unknown};
  sy_sweep s;
  if (shaft->error_count > SY_MOST_OWN - 2)
    return sy_fail(err, SY_LIMIT, "shaft", "error", "has %zu stated coordinates, at most %d are possible",
                   shaft->error_count, SY_MOST_OWN - 2);
  sy_status status = check_errors(shaft, err);
  if (status == SY_OK) status = find_static(shaft, &f.static_angle, err);
  const bool known = !isnan(shaft->droop) && !isnan(shaft->bump);
  if (status == SY_OK && known) {
    status = sy_shaft_sweep(&shaft->inner, &shaft->outer, &shaft->path, shaft->droop, shaft->bump,
                            shaft->steer, &s, err);
    if (status != SY_OK) return status;
    f.worst_angle.value = s.worst_angle;
    f.plunge.value = s.longest.length - s.shortest.length;
    add_places(shaft, s.worst_joint == 1 ? s.worst.outer_sensitivity : s.worst.inner_sensitivity,
               &f.worst_angle);
    add_places(shaft, s.longest.length_sensitivity, &f.plunge);
    add_places(shaft, sy_vec3_scale(-1.0, s.shortest.length_sensitivity), &f.plunge);
    status = add_travel(shaft, false, &f, err);
    if (status == SY_OK) status = add_travel(shaft, true, &f, err);
  }
  if (status != SY_OK) return status;
  if (sweep != NULL && known) *sweep = s;
  *out = f;
  return SY_OK;
}

/* ---- all shafts of a car --------------------------------------------------------------------------------------------------------- */

enum { STATIC, WORST, PLUNGE, ANGLES };

static const sy_found *of_shaft(const sy_shaft_found *s, int at) {
  return at == STATIC ? &s->static_angle : at == WORST ? &s->worst_angle : &s->plunge;
}

_Static_assert(ANGLES * sizeof(sy_found) <= sizeof(sy_answer_state), "the room for states");

static sy_found largest_of(const sy_car *car, int at) {
  sy_found most = sy_found_of((double)NAN);
  for (size_t i = 0; i < car->shaft_count; i++) {
    const sy_found *f = of_shaft(&car->shaft[i], at);
    if (isnan(f->value)) return *f;
    if (i == 0 || f->value > most.value) most = *f;
  }
  return most;
}

static sy_status solve(const sy_car *car, const sy_totals *now, const sy_totals *drawn, const void *base,
                       bool runs, void *state, sy_error *err) {
  (void)now, (void)drawn, (void)base, (void)runs, (void)err;
  for (int k = 0; k < ANGLES; k++) ((sy_found *)state)[k] = largest_of(car, k);
  return SY_OK;
}

static const sy_answer_row rows[] = {
    SY_FOUND_ROW("static_angle", STATIC, SY_UNIT_RADIAN),
    SY_FOUND_ROW("worst_angle", WORST, SY_UNIT_RADIAN),
    SY_FOUND_ROW("plunge", PLUNGE, SY_UNIT_METRE),
};

const sy_answer_set *sy_shaft_answers(void) {
  static const sy_answer_set set = {.name = "shafts",
                                    .row = rows,
                                    .rows = sizeof rows / sizeof *rows,
                                    .solve = solve,
                                    .found = sy_found_in};
  return &set;
}
