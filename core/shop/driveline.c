#include "shop/driveline.h"

#include <float.h>

#include "base/finite.h"
#include "base/units.h"

static sy_vec3 unit(sy_vec3 v) { return sy_vec3_scale(1 / sy_vec3_length(v), v); }

/* The unit vector across `u` that points up the most. */
static sy_vec3 upward_across(sy_vec3 u) {
  const sy_vec3 up = {0, 0, 1}, forward = {1, 0, 0};
  const sy_vec3 from = fabs(u.z) < 0.9 ? up : forward; /* any direction that is not along u */
  return unit(sy_vec3_muladd(from, -sy_vec3_dot(from, u), u));
}

/* Angle between the lines along the unit vectors u and v, and its sensitivity with a move of the shaft's outer end. */
static double line_angle(sy_vec3 u, sy_vec3 v, double length, sy_vec3 *sensitivity) {
  const double cosine = sy_vec3_dot(u, v), sine = sy_vec3_length(sy_vec3_cross(u, v));
  /* away from the axis: the part of u across v, seen across u */
  const double towards = cosine < 0 ? -1.0 : 1.0;
  const sy_vec3 across = sy_vec3_muladd(sy_vec3_scale(fabs(cosine), u), -towards, v);
  const double size = sy_vec3_length(across);
  const sy_vec3 away = size > 8 * DBL_EPSILON ? sy_vec3_scale(1 / size, across) : upward_across(u);
  *sensitivity = sy_vec3_scale(1 / length, away);
  return atan2(sine, fabs(cosine));
}

static sy_status check_joint(const sy_joint *joint, const char *name, sy_error *err) {
  if (!sy_vec3_finite(joint->at)) return sy_fail(err, SY_RANGE, name, "at", "is not finite");
  if (!sy_vec3_finite(joint->axis)) return sy_fail(err, SY_RANGE, name, "axis", "is not finite");
  if (!(sy_vec3_length(joint->axis) > 0))
    return sy_fail(err, SY_GEOMETRY, name, "axis", "is not a direction");
  return SY_OK;
}

/* What is left of a right angle in double precision. */
#define STRAIGHT_ACROSS (SY_PI / 2 - 8 * DBL_EPSILON)

sy_status sy_shaft_pose_make(const sy_joint *inner, const sy_joint *outer, sy_shaft_pose *out,
                             sy_error *err) {
  sy_status status = check_joint(inner, "inner joint", err);
  if (status == SY_OK) status = check_joint(outer, "outer joint", err);
  if (status != SY_OK) return status;
  const sy_vec3 line = sy_vec3_sub(outer->at, inner->at);
  const double length = sy_vec3_length(line);
  if (!(length >= SY_SHORTEST_SHAFT && isfinite(length)))
    return sy_fail(err, SY_GEOMETRY, "outer joint", "at",
                   "lies where the inner joint is: there is no shaft between them");
  const sy_vec3 u = sy_vec3_scale(1 / length, line), v = unit(inner->axis), w = unit(outer->axis);
  sy_shaft_pose pose = {.length = length, .length_sensitivity = u};
  pose.inner = line_angle(u, v, length, &pose.inner_sensitivity);
  pose.outer = line_angle(u, w, length, &pose.outer_sensitivity);
  if (pose.inner >= STRAIGHT_ACROSS || pose.outer >= STRAIGHT_ACROSS)
    return sy_fail(err, SY_GEOMETRY, pose.inner >= STRAIGHT_ACROSS ? "inner joint" : "outer joint", "axis",
                   "stands at 90 degrees to the shaft: no joint turns there");
  const sy_vec3 first = sy_vec3_cross(v, u), second = sy_vec3_cross(u, w);
  /* unit vectors: a plane that rounding alone spans is none */
  if (sy_vec3_length(first) > 8 * DBL_EPSILON && sy_vec3_length(second) > 8 * DBL_EPSILON)
    pose.planes = atan2(sy_vec3_dot(u, sy_vec3_cross(first, second)), sy_vec3_dot(first, second));
  *out = pose;
  return SY_OK;
}

/* ---- paths ----------------------------------------------------------------------------------------------------- */

/* r turned by t about the unit vector k is par + cos t perp + sin t (k x r); its height is set to r.z + travel. */
static sy_status arc_move(const sy_path *path, double travel, sy_vec3 *out, sy_error *err) {
  const double length = sy_vec3_length(path->hinge);
  if (!(length > 0 && isfinite(length)))
    return sy_fail(err, SY_GEOMETRY, "outer joint", "hinge", "is not a direction");
  const sy_vec3 k = sy_vec3_scale(1 / length, path->hinge), r = sy_vec3_sub(path->at, path->pivot);
  const sy_vec3 par = sy_vec3_scale(sy_vec3_dot(k, r), k), perp = sy_vec3_sub(r, par),
                side = sy_vec3_cross(k, r);
  const double reach = hypot(perp.z, side.z), height = r.z + travel - par.z;
  if (!(fabs(height) < reach))
    return sy_fail(err, SY_GEOMETRY, "outer joint", "pivot", "an arc about it does not rise by %g mm",
                   travel / SY_MILLIMETRE);
  /* perp.z cos t + side.z sin t = reach cos(t - at): of the two roots the one that is 0 at travel 0 */
  const double at = atan2(side.z, perp.z), off = atan2(sqrt(reach * reach - height * height), height);
  const double t = at < 0 ? at + off : at - off;
  *out = sy_vec3_muladd(sy_vec3_scale(cos(t) - 1, perp), sin(t), side);
  return SY_OK;
}

static sy_status check_points(const sy_path *path, sy_error *err) {
  if (path->count < 2) return sy_fail(err, SY_RANGE, "outer joint", "path", "has fewer than two points");
  for (size_t i = 0; i < path->count; i++) {
    const sy_path_point *p = &path->points[i];
    if (!(isfinite(p->travel) && sy_vec3_finite(p->at)))
      return sy_fail(err, SY_RANGE, "outer joint", "path", "point %zu is not finite", i + 1);
    if (i > 0 && !(p->travel > p[-1].travel))
      return sy_fail(err, SY_RANGE, "outer joint", "path", "point %zu is not above the one before it", i + 1);
  }
  return SY_OK;
}

static sy_status table_at(const sy_path *path, double travel, sy_vec3 *out, sy_error *err) {
  const sy_path_point *p = path->points;
  const size_t last = path->count - 1;
  /* the ends of the table come from one decimal text and the travel from another: a rounding may lie between them */
  const double slack = 4 * DBL_EPSILON * fabs(travel);
  if (travel < p[0].travel - slack || travel > p[last].travel + slack)
    return sy_fail(err, SY_RANGE, "outer joint", "path",
                   "goes from %g to %g mm of travel, %g mm is asked for", p[0].travel / SY_MILLIMETRE,
                   p[last].travel / SY_MILLIMETRE, travel / SY_MILLIMETRE);
  size_t i = 1;
  while (i < last && travel > p[i].travel) i++;
  const double share = (travel - p[i - 1].travel) / (p[i].travel - p[i - 1].travel);
  *out = sy_vec3_muladd(p[i - 1].at, share, sy_vec3_sub(p[i].at, p[i - 1].at));
  return SY_OK;
}

static sy_status table_move(const sy_path *path, double travel, sy_vec3 *out, sy_error *err) {
  sy_vec3 from, to;
  sy_status status = check_points(path, err);
  if (status == SY_OK) status = table_at(path, 0, &from, err);
  if (status == SY_OK) status = table_at(path, travel, &to, err);
  if (status == SY_OK) *out = sy_vec3_sub(to, from);
  return status;
}

sy_status sy_path_move(const sy_path *path, double travel, sy_vec3 *out, sy_error *err) {
  if (!isfinite(travel)) return sy_fail(err, SY_RANGE, "outer joint", "travel", "is not finite");
  if (path->kind > SY_PATH_POINTS)
    return sy_fail(err, SY_RANGE, "outer joint", "path", "is of kind %d, which is unknown", (int)path->kind);
  sy_vec3 move = {0, 0, path->kind == SY_PATH_VERTICAL ? travel : 0};
  sy_status status = SY_OK;
  if (path->kind == SY_PATH_ARC) status = arc_move(path, travel, &move, err);
  if (path->kind == SY_PATH_POINTS) status = table_move(path, travel, &move, err);
  const double moved[3] = {move.x, move.y, move.z};
  if (status == SY_OK) status = sy_finite_results(moved, 3, "outer joint", "path", err);
  if (status == SY_OK) *out = move;
  return status;
}

/* ---- sweeps ---------------------------------------------------------------------------------------------------- */

typedef struct setting {
  const sy_joint *inner, *outer;
  const sy_path *path;
  sy_vec3 axis, inner_unit, outer_unit; /* the outer axis as steered; both as unit vectors */
} setting;

static void steer_by(setting *s, double steer) {
  const double c = cos(steer), k = sin(steer);
  const sy_vec3 a = s->outer->axis;
  s->axis = (sy_vec3){c * a.x - k * a.y, k * a.x + c * a.y, a.z};
  s->inner_unit = unit(s->inner->axis), s->outer_unit = unit(s->axis);
}

static sy_status pose_at(const setting *s, double travel, sy_shaft_pose *out, sy_error *err) {
  sy_vec3 move;
  const sy_status status = sy_path_move(s->path, travel, &move, err);
  if (status != SY_OK) return status;
  const sy_joint outer = {sy_vec3_add(s->outer->at, move), s->axis};
  return sy_shaft_pose_make(s->inner, &outer, out, err);
}

/* What poses are compared by: it rises with the angle and the length, and takes a twentieth of the time. */
typedef struct glance {
  double angle;  /* squared tangent of the larger angle */
  double length; /* squared */
} glance;

static double squared_tangent(sy_vec3 line, sy_vec3 axis) {
  const sy_vec3 across = sy_vec3_cross(line, axis);
  const double along = sy_vec3_dot(line, axis);
  return sy_vec3_dot(across, across) / (along * along);
}

static sy_status glance_at(const setting *s, double travel, glance *out, sy_error *err) {
  sy_vec3 move;
  const sy_status status = sy_path_move(s->path, travel, &move, err);
  if (status != SY_OK) return status;
  const sy_vec3 line = sy_vec3_sub(sy_vec3_add(s->outer->at, move), s->inner->at);
  out->angle = fmax(squared_tangent(line, s->inner_unit), squared_tangent(line, s->outer_unit));
  out->length = sy_vec3_dot(line, line);
  const double shortest = 1.001 * SY_SHORTEST_SHAFT;
  if (out->angle < 1e28 && out->length > shortest * shortest && isfinite(out->length)) return SY_OK;
  sy_shaft_pose pose; /* on the verge of what a pose refuses: it says whether it does */
  return pose_at(s, travel, &pose, err);
}

typedef double measure(const glance *g);

static double larger_angle(const glance *g) { return g->angle; }
static double length_of(const glance *g) { return g->length; }
static double shortness_of(const glance *g) { return -g->length; }

/* Evenly spaced poses from droop to bump, which each measure then looks through. */
enum { STEPS = 64, SECTIONS = 28 }; /* 0.618^28 of 2/64 of a metre is below a micrometre */

typedef struct scan {
  double low, high;
  glance at[STEPS + 1];
} scan;

static double travel_of(const scan *c, int i) {
  return i == STEPS ? c->high : c->low + i * ((c->high - c->low) / STEPS);
}

static sy_status make_scan(const setting *s, double low, double high, scan *out, sy_error *err) {
  sy_status status = SY_OK;
  out->low = low, out->high = high;
  for (int i = 0; i <= STEPS && status == SY_OK; i++)
    status = glance_at(s, travel_of(out, i), &out->at[i], err);
  return status;
}

/* The travel where `of` is largest: the best of the scan, refined between its neighbours by golden sections. */
static sy_status largest(const setting *s, const scan *c, measure *of, double *travel, sy_shaft_pose *best,
                         sy_error *err) {
  int at = 0;
  for (int i = 1; i <= STEPS; i++)
    if (of(&c->at[i]) > of(&c->at[at])) at = i;
  glance most = c->at[at];
  *travel = travel_of(c, at);
  const double golden = (sqrt(5) - 1) / 2, step = (c->high - c->low) / STEPS;
  double a = fmax(c->low, *travel - step), b = fmin(c->high, *travel + step);
  double t = b - golden * (b - a), u = a + golden * (b - a);
  glance at_t, at_u;
  sy_status status = glance_at(s, t, &at_t, err);
  if (status == SY_OK) status = glance_at(s, u, &at_u, err);
  for (int i = 0; i < SECTIONS && status == SY_OK; i++) {
    const bool left = of(&at_t) > of(&at_u);
    if (of(left ? &at_t : &at_u) > of(&most)) most = left ? at_t : at_u, *travel = left ? t : u;
    if (left) { /* the upper of the two becomes the end, the lower the upper one */
      b = u, u = t, at_u = at_t;
      t = b - golden * (b - a);
      status = glance_at(s, t, &at_t, err);
    } else {
      a = t, t = u, at_t = at_u;
      u = a + golden * (b - a);
      status = glance_at(s, u, &at_u, err);
    }
  }
  return status == SY_OK ? pose_at(s, *travel, best, err) : status;
}

static double larger_of(const sy_shaft_pose *pose) { return fmax(pose->inner, pose->outer); }

sy_status sy_shaft_sweep(const sy_joint *inner, const sy_joint *outer, const sy_path *path, double droop,
                         double bump, double steer, sy_sweep *out, sy_error *err) {
  if (!(droop >= 0 && isfinite(droop)))
    return sy_fail(err, SY_RANGE, NULL, "droop", "is %g m, must be >= 0", droop);
  if (!(bump >= 0 && isfinite(bump)))
    return sy_fail(err, SY_RANGE, NULL, "bump", "is %g m, must be >= 0", bump);
  if (!(steer >= 0 && steer < SY_PI / 2))
    return sy_fail(err, SY_RANGE, "outer joint", "steer", "must be at least 0 and below 90 degrees");
  sy_sweep sweep = {.worst_angle = -1};
  scan ahead, turned;
  setting s = {.inner = inner, .outer = outer, .path = path};
  s.axis = outer->axis;
  sy_status status = pose_at(&s, 0, &sweep.ride, err); /* which also refuses axes that are none */
  steer_by(&s, 0);
  if (status == SY_OK) status = make_scan(&s, -droop, bump, &ahead, err);
  for (int way = -1; status == SY_OK && way <= 1; way++) {
    if (way != 0 && steer == 0) continue;
    double travel = 0; /* gcc -O3 does not follow that it is set whenever `largest` succeeds */
    sy_shaft_pose pose;
    steer_by(&s, way * steer);
    if (way != 0) status = make_scan(&s, -droop, bump, &turned, err);
    if (status == SY_OK) status = largest(&s, way != 0 ? &turned : &ahead, larger_angle, &travel, &pose, err);
    if (status != SY_OK || !(larger_of(&pose) > sweep.worst_angle)) continue;
    sweep.worst = pose, sweep.worst_angle = larger_of(&pose), sweep.worst_travel = travel;
    sweep.worst_steer = way * steer, sweep.worst_joint = pose.outer > pose.inner;
  }
  steer_by(&s, 0);
  if (status == SY_OK) status = largest(&s, &ahead, length_of, &sweep.longest_travel, &sweep.longest, err);
  if (status == SY_OK)
    status = largest(&s, &ahead, shortness_of, &sweep.shortest_travel, &sweep.shortest, err);
  if (status == SY_OK) *out = sweep;
  return status;
}
