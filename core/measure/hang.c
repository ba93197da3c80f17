#include "measure/hang.h"

#include <math.h>

#include "base/mat3.h"
#include "base/units.h"

#define K95 1.96 /* JCGM 100:2008, Table G.1: covers 95 % of a normal distribution */

/* 1 - d d^T: what lies across a line */
static sy_sym3 across(sy_vec3 d) {
  return (sy_sym3){1 - d.x * d.x, 1 - d.y * d.y, 1 - d.z * d.z, -d.x * d.y, -d.x * d.z, -d.y * d.z};
}

static sy_mat3 full(sy_sym3 a) {
  return (sy_mat3){{{a.xx, a.xy, a.xz}, {a.xy, a.yy, a.yz}, {a.xz, a.yz, a.zz}}};
}

static sy_vec3 apply(sy_sym3 a, sy_vec3 v) { return sy_mat3_apply(full(a), v); }

static bool good_sd(sy_vec3 sd) { return sy_vec3_finite(sd) && sd.x >= 0 && sd.y >= 0 && sd.z >= 0; }

static sy_status check(const sy_plumb *lines, size_t count, sy_error *err) {
  if (count < 2)
    return sy_fail(err, SY_MISSING, "lines", NULL, "are %zu: two at least, from points well apart", count);
  if (count > SY_HANG_MOST)
    return sy_fail(err, SY_RANGE, "lines", NULL, "are %zu, more than %d", count, (int)SY_HANG_MOST);
  for (size_t i = 0; i < count; i++) {
    const sy_plumb *l = &lines[i];
    sy_error name;
    sy_fail(&name, SY_OK, NULL, NULL, "line %zu", i + 1);
    if (!sy_vec3_finite(l->from) || !good_sd(l->from_sd))
      return sy_fail(err, SY_RANGE, name.message, "from", "or its uncertainty is not finite or below 0");
    if (!sy_vec3_finite(l->to) || !good_sd(l->to_sd))
      return sy_fail(err, SY_RANGE, name.message, "to", "or its uncertainty is not finite or below 0");
    if (!(sy_vec3_length(sy_vec3_sub(l->to, l->from)) > 0))
      return sy_fail(err, SY_RANGE, name.message, "to", "is the same point as from");
  }
  return SY_OK;
}

/* a^-1 from its eigenvalues */
static sy_sym3 inverse_of(const sy_eigen3 *e) {
  sy_sym3 inverse = {0, 0, 0, 0, 0, 0};
  for (int i = 0; i < 3; i++) {
    const sy_vec3 v = e->axis[i];
    inverse =
        sy_sym3_add(inverse, sy_sym3_scale(1 / e->value[i], (sy_sym3){v.x * v.x, v.y * v.y, v.z * v.z,
                                                                      v.x * v.y, v.x * v.z, v.y * v.z}));
  }
  return inverse;
}

/* Covariance of a line's sideways place at the cg: P diag(...) P. */
static sy_sym3 wander(const sy_plumb *line, sy_sym3 p, double share) {
  const double a = (1 - share) * (1 - share), b = share * share;
  const sy_vec3 f = line->from_sd, t = line->to_sd;
  const sy_sym3 points = {
      a * f.x * f.x + b * t.x * t.x, a * f.y * f.y + b * t.y * t.y, a * f.z * f.z + b * t.z * t.z, 0, 0, 0};
  return sy_sym3_turn(full(p), points);
}

static sy_status too_near(const sy_plumb *lines, size_t count, const sy_hung *h, sy_error *err) {
  for (size_t i = 0; i < count; i++) {
    const sy_vec3 off = sy_vec3_sub(h->cg, lines[i].from), u = h->cg_sd;
    const double reach = K95 * sqrt(u.x * u.x + u.y * u.y + u.z * u.z),
                 length = sy_vec3_length(sy_vec3_sub(lines[i].to, lines[i].from));
    if (sy_vec3_length(off) > reach + 1e-9 * length)
      continue; /* 1e-9: rounding, where nothing is uncertain */
    sy_error name;
    sy_fail(&name, SY_OK, NULL, NULL, "line %zu", i + 1);
    return sy_fail(
        err, SY_GEOMETRY, name.message, "from",
        "is the CG itself, as far as the uncertainties can tell: hung there a part stays in any position");
  }
  return SY_OK;
}

/* The point nearest to the lines, each with its weight (NULL: all alike), and the inverse of the normal matrix. False for lines
** within a degree of parallel: of two lines the smallest eigenvalue is 1 - cos(angle between them). */
static bool nearest(const sy_plumb *lines, const sy_sym3 *p, const double *weight, size_t count,
                    sy_vec3 *point, sy_sym3 *inverse) {
  const sy_vec3 near = lines[0].to; /* sums stay small */
  sy_sym3 sum = {0, 0, 0, 0, 0, 0};
  sy_vec3 right = {0, 0, 0};
  for (size_t i = 0; i < count; i++) {
    const sy_sym3 w = sy_sym3_scale(weight == NULL ? 1 : weight[i], p[i]);
    sum = sy_sym3_add(sum, w);
    right = sy_vec3_add(right, apply(w, sy_vec3_sub(lines[i].to, near)));
  }
  const sy_eigen3 e = sy_sym3_eigen(sum);
  if (weight == NULL && !(e.value[0] > 1 - cos(SY_DEGREE))) return false;
  *inverse = inverse_of(&e);
  *point = sy_vec3_add(near, apply(*inverse, right));
  return true;
}

/* Could one point lie on all lines? Least sum of (distance / uncertainty)^2 over all points. */
static double disagreement(const sy_plumb *lines, const sy_sym3 *p, const double *sd, size_t count) {
  double weight[SY_HANG_MOST] = {0}, chi2 = 0;
  sy_sym3 ignored;
  sy_vec3 point;
  for (size_t i = 0; i < count; i++) {
    if (!(sd[i] > 0)) return 0;
    weight[i] = 1 / (sd[i] * sd[i]);
  }
  nearest(lines, p, weight, count, &point, &ignored);
  for (size_t i = 0; i < count; i++) {
    const double miss = sy_vec3_length(apply(p[i], sy_vec3_sub(point, lines[i].from)));
    chi2 += weight[i] * miss * miss;
  }
  return chi2;
}

sy_status sy_hang_cg(const sy_plumb *lines, size_t count, sy_hung *out, sy_error *err) {
  sy_status status = check(lines, count, err);
  if (status != SY_OK) return status;
  sy_sym3 p[SY_HANG_MOST] = {{0, 0, 0, 0, 0, 0}}, inverse, spread = {0, 0, 0, 0, 0, 0};
  sy_hung h = {.dof = 2 * (int)count - 3};
  for (size_t i = 0; i < count; i++) {
    const sy_vec3 d = sy_vec3_sub(lines[i].to, lines[i].from);
    p[i] = across(sy_vec3_scale(1 / sy_vec3_length(d), d));
  }
  if (!nearest(lines, p, NULL, count, &h.cg, &inverse))
    return sy_fail(err, SY_GEOMETRY, "lines", NULL,
                   "are within a degree of parallel: where they meet cannot be determined; hang it from "
                   "points further apart");
  for (size_t i = 0; i < count; i++) {
    const sy_vec3 d = sy_vec3_sub(lines[i].to, lines[i].from), off = sy_vec3_sub(h.cg, lines[i].from);
    const double length = sy_vec3_length(d);
    h.below[i] = sy_vec3_dot(off, d) / length;
    h.miss[i] = sy_vec3_length(apply(p[i], off));
    const sy_sym3 own = wander(&lines[i], p[i], h.below[i] / length);
    h.miss_sd[i] = sqrt((own.xx + own.yy + own.zz) / 2);
    spread = sy_sym3_add(spread, own);
  }
  h.chi2 = disagreement(lines, p, h.miss_sd, count);
  const sy_sym3 cov = sy_sym3_turn(full(inverse), spread);
  h.cg_sd = (sy_vec3){sqrt(cov.xx), sqrt(cov.yy), sqrt(cov.zz)};
  status = too_near(lines, count, &h, err);
  if (status != SY_OK) return status;
  *out = h;
  return SY_OK;
}
