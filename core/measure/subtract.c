#include "measure/subtract.h"

#include <math.h>

#include "base/finite.h"

#define K95 1.96 /* JCGM 100:2008, Table G.1: covers 95 % of a normal distribution */

static const char *name_of(const sy_weighed *w) { return w->without ? "without" : "whole"; }

static double sign_of(const sy_weighed *w) { return w->without ? -1 : 1; }

static bool good_sd(double sd) { return sd >= 0 && isfinite(sd); }

/* One coordinate is known in all bodies or in none. */
static sy_status check_coordinate(const sy_weighed *bodies, size_t count, int axis, sy_error *err) {
  static const char *const fields[] = {"cg.x", "cg.y", "cg.z"};
  const char *field = fields[axis];
  size_t known = 0;
  for (size_t i = 0; i < count; i++) {
    const double x = sy_vec3_along(bodies[i].body.cg, axis);
    if (isnan(x)) continue;
    known++;
    if (!isfinite(x)) return sy_fail(err, SY_RANGE, name_of(&bodies[i]), field, "is not finite");
    if (!good_sd(sy_vec3_along(bodies[i].cg_sd, axis)))
      return sy_fail(err, SY_RANGE, name_of(&bodies[i]), field, "has an uncertainty below 0 or not finite");
  }
  for (size_t i = 0; i < count && known != 0 && known != count; i++) {
    if (isnan(sy_vec3_along(bodies[i].body.cg, axis)))
      return sy_fail(err, SY_MISSING, name_of(&bodies[i]), field, "is missing here and stated elsewhere");
  }
  return SY_OK;
}

static sy_status check(const sy_weighed *bodies, size_t count, bool with_inertia, sy_error *err) {
  size_t with = 0;
  for (size_t i = 0; i < count; i++) {
    const sy_weighed *w = &bodies[i];
    if (!(w->body.mass >= 0 && isfinite(w->body.mass)))
      return sy_fail(err, SY_RANGE, name_of(w), "mass", "is %g kg, must be 0 or more", w->body.mass);
    if (!good_sd(w->mass_sd))
      return sy_fail(err, SY_RANGE, name_of(w), "mass", "has an uncertainty below 0 or not finite");
    const sy_sym3 sd = w->inertia_sd;
    if (with_inertia &&
        !(sy_sym3_finite(w->body.inertia) && sy_vec3_finite(w->body.cg) && good_sd(sd.xx) && good_sd(sd.yy) &&
          good_sd(sd.zz) && good_sd(sd.xy) && good_sd(sd.xz) && good_sd(sd.yz)))
      return sy_fail(err, SY_RANGE, name_of(w), "inertia",
                     "or its uncertainty is not finite, or the cg is not known in all coordinates");
    with += w->without ? 0 : 1;
  }
  if (with == 0 || with == count)
    return sy_fail(err, SY_MISSING, with == 0 ? "whole" : "without", NULL, "is missing");
  for (int i = 0; i < 3; i++) {
    const sy_status status = check_coordinate(bodies, count, i, err);
    if (status != SY_OK) return status;
  }
  return SY_OK;
}

/* to a gram, for sentences */
static double brief(double x) { return round(x * 1e3) / 1e3; }

static double square(double x) { return x * x; }

/* cg and the uncertainties of mass and cg; coordinates are taken from a nearby point, which keeps the sums small */
static void sum_places(const sy_weighed *bodies, size_t count, sy_weighed *rest) {
  const sy_vec3 near = bodies[0].body.cg;
  sy_vec3 moment = {0, 0, 0}, variance = {0, 0, 0};
  double mass = 0, mass_variance = 0;
  for (size_t i = 0; i < count; i++) {
    const double m = sign_of(&bodies[i]) * bodies[i].body.mass;
    mass += m;
    mass_variance += square(bodies[i].mass_sd);
    moment = sy_vec3_muladd(moment, m, sy_vec3_sub(bodies[i].body.cg, near));
  }
  const sy_vec3 cg = sy_vec3_muladd(near, 1 / mass, moment);
  for (size_t i = 0; i < count; i++) {
    const sy_vec3 off = sy_vec3_sub(bodies[i].body.cg, cg), sd = bodies[i].cg_sd;
    const double u = bodies[i].mass_sd / mass, share = bodies[i].body.mass / mass;
    variance = sy_vec3_add(variance, (sy_vec3){square(off.x * u) + square(share * sd.x),
                                               square(off.y * u) + square(share * sd.y),
                                               square(off.z * u) + square(share * sd.z)});
  }
  rest->body.mass = mass, rest->mass_sd = sqrt(mass_variance);
  rest->body.cg = cg;
  rest->cg_sd = (sy_vec3){sqrt(variance.x), sqrt(variance.y), sqrt(variance.z)};
}

/* sum of +-(J + m S(d)), d from the cg of what is left; since sum m d = 0 there, an error of that cg moves it in second order only */
static void sum_inertia(const sy_weighed *bodies, size_t count, sy_weighed *rest) {
  sy_sym3 sum = {0, 0, 0, 0, 0, 0}, v = {0, 0, 0, 0, 0, 0};
  for (size_t i = 0; i < count; i++) {
    const sy_weighed *w = &bodies[i];
    const sy_vec3 d = sy_vec3_sub(w->body.cg, rest->body.cg), c = w->cg_sd;
    const double m = w->body.mass, m2 = square(m), u2 = square(w->mass_sd);
    const sy_sym3 s = sy_sym3_steiner(d), j = w->inertia_sd;
    sum = sy_sym3_add(sum, sy_sym3_scale(sign_of(w), sy_sym3_add(w->body.inertia, sy_sym3_scale(m, s))));
    v.xx += square(j.xx) + u2 * square(s.xx) + 4 * m2 * (square(d.y * c.y) + square(d.z * c.z));
    v.yy += square(j.yy) + u2 * square(s.yy) + 4 * m2 * (square(d.x * c.x) + square(d.z * c.z));
    v.zz += square(j.zz) + u2 * square(s.zz) + 4 * m2 * (square(d.x * c.x) + square(d.y * c.y));
    v.xy += square(j.xy) + u2 * square(s.xy) + m2 * (square(d.y * c.x) + square(d.x * c.y));
    v.xz += square(j.xz) + u2 * square(s.xz) + m2 * (square(d.z * c.x) + square(d.x * c.z));
    v.yz += square(j.yz) + u2 * square(s.yz) + m2 * (square(d.z * c.y) + square(d.y * c.z));
  }
  rest->body.inertia = sum;
  rest->inertia_sd = (sy_sym3){sqrt(v.xx), sqrt(v.yy), sqrt(v.zz), sqrt(v.xy), sqrt(v.xz), sqrt(v.yz)};
}

/* What large numbers leave; a coordinate that nobody measured is NaN. */
static sy_status check_rest(const sy_weighed *rest, bool with_inertia, sy_error *err) {
  const double mass[2] = {rest->body.mass, rest->mass_sd};
  sy_status status = sy_finite_results(mass, 2, "without", "mass", err);
  for (int k = 0; k < 3 && status == SY_OK; k++) {
    const double place[2] = {sy_vec3_along(rest->body.cg, k), sy_vec3_along(rest->cg_sd, k)};
    if (!isnan(place[0])) status = sy_finite_results(place, 2, "without", "cg", err);
  }
  if (status != SY_OK || !with_inertia) return status;
  const sy_sym3 both[2] = {rest->body.inertia, rest->inertia_sd};
  return sy_finite_results(&both[0].xx, 2 * sizeof(sy_sym3) / sizeof(double), "without", "inertia", err);
}

sy_status sy_subtract(const sy_weighed *bodies, size_t count, bool with_inertia, sy_weighed *out,
                      sy_error *err) {
  sy_status status = check(bodies, count, with_inertia, err);
  if (status != SY_OK) return status;
  double mass = 0, most = 0;
  for (size_t i = 0; i < count; i++) {
    mass += sign_of(&bodies[i]) * bodies[i].body.mass;
    most += bodies[i].body.mass;
  }
  if (!(mass > (double)count * 0x1p-52 * most)) /* less is rounding */
    return sy_fail(err, SY_RANGE, "without", "mass", "leaves nothing of the whole: %g kg less %g kg",
                   brief((most + mass) / 2), brief((most - mass) / 2));
  sy_weighed rest = {.without = false};
  sum_places(bodies, count, &rest);
  if (rest.body.mass <= K95 * rest.mass_sd)
    return sy_fail(err, SY_RANGE, "without", "mass",
                   "leaves %g kg, which its own uncertainty (95 %%: %g kg) does not tell from nothing: weigh "
                   "the part alone",
                   brief(rest.body.mass), brief(K95 * rest.mass_sd));
  rest.body.inertia = rest.inertia_sd =
      (sy_sym3){(double)NAN, (double)NAN, (double)NAN, (double)NAN, (double)NAN, (double)NAN};
  if (with_inertia) {
    sum_inertia(bodies, count, &rest);
    const sy_eigen3 e = sy_sym3_eigen(rest.body.inertia);
    const sy_sym3 u = rest.inertia_sd;
    const double slack =
        K95 * sqrt(square(u.xx) + square(u.yy) + square(u.zz)) / fmax(fabs(e.value[0]), fabs(e.value[2]));
    if (sy_massprops_check(&rest.body, slack + 1e-12, "rest", NULL) !=
        SY_OK) /* 1e-12: rounding of the sums */
      return sy_fail(
          err, SY_GEOMETRY, "without", "inertia",
          "leaves a tensor no body has, by more than its uncertainty: was the part inside, and are all "
          "about their own CG?");
  }
  status = check_rest(&rest, with_inertia, err);
  if (status == SY_OK) *out = rest;
  return status;
}
