#include "mass/massprops.h"

#include <float.h>

/* Rounding steps that one entry of a tensor goes through on its way in and out of a joint body, with room to spare. */
static const double NOISE = 64 * DBL_EPSILON;

static sy_status check_values(const sy_massprops *body, const char *name, sy_error *err) {
  if (!(body->mass >= 0.0 && isfinite(body->mass))) /* written so that NaN fails */
    return sy_fail(err, SY_RANGE, name, "mass", "is %g kg, must be >= 0 and finite", body->mass);
  if (!sy_vec3_finite(body->cg)) return sy_fail(err, SY_RANGE, name, "cg", "is not a finite point");
  if (!sy_sym3_finite(body->inertia))
    return sy_fail(err, SY_RANGE, name, "inertia", "has an entry that is not finite");
  return SY_OK;
}

/* Name the failing part by its number; people count from 1. */
static sy_status check_part(const sy_massprops *parts, size_t i, size_t count, sy_error *err) {
  const sy_status status = check_values(&parts[i], NULL, NULL);
  if (status == SY_OK) return SY_OK;
  sy_error numbered;
  sy_fail(&numbered, status, NULL, NULL, "part %zu of %zu", i + 1, count);
  return check_values(&parts[i], numbered.message, err);
}

sy_sym3 sy_massprops_inertia_about(const sy_massprops *body, sy_vec3 point) {
  const sy_sym3 shift = sy_sym3_steiner(sy_vec3_sub(point, body->cg));
  return sy_sym3_add(body->inertia, sy_sym3_scale(body->mass, shift));
}

sy_status sy_massprops_combine(const sy_massprops *parts, size_t count, sy_massprops *out, sy_error *err) {
  if (count == 0) return sy_fail(err, SY_MISSING, "parts", "count", "is 0");
  const sy_vec3 ref = parts[0].cg; /* a nearby point keeps the first moments small */
  double mass = 0.0;
  sy_vec3 moment = {0.0, 0.0, 0.0};
  for (size_t i = 0; i < count; i++) {
    const sy_status status = check_part(parts, i, count, err);
    if (status != SY_OK) return status;
    mass += parts[i].mass;
    moment = sy_vec3_muladd(moment, parts[i].mass, sy_vec3_sub(parts[i].cg, ref));
  }
  if (!(mass > 0.0)) return sy_fail(err, SY_RANGE, "parts", "mass", "sum is 0 kg, must be > 0");
  sy_massprops joint = {mass, sy_vec3_muladd(ref, 1.0 / mass, moment), {0.0, 0.0, 0.0, 0.0, 0.0, 0.0}};
  for (size_t i = 0; i < count; i++)
    joint.inertia = sy_sym3_add(joint.inertia, sy_massprops_inertia_about(&parts[i], joint.cg));
  const sy_status status = check_values(&joint, "parts", err); /* finite parts may still overflow together */
  if (status == SY_OK) *out = joint;
  return status;
}

/* The same criterion for a given body and for a remainder, whose tolerance comes from what it was cut out of. */
static sy_status check_inertia(sy_sym3 inertia, double tol, const char *name, sy_error *err) {
  const sy_eigen3 e = sy_sym3_eigen(inertia);
  const double *i = e.value;
  if (!(i[0] >= -tol))
    return sy_fail(err, SY_GEOMETRY, name, "inertia", "has a principal moment of %g kg m2, must be >= 0",
                   i[0]);
  if (!(i[2] <= i[0] + i[1] + tol))
    return sy_fail(
        err, SY_GEOMETRY, name, "inertia",
        "has principal moments %g, %g and %g kg m2: no body has one above the sum of the other two", i[0],
        i[1], i[2]);
  return SY_OK;
}

sy_status sy_massprops_check(const sy_massprops *body, double rel_tol, const char *name, sy_error *err) {
  const sy_status status = check_values(body, name, err);
  if (status != SY_OK) return status;
  const sy_eigen3 e = sy_sym3_eigen(body->inertia);
  return check_inertia(body->inertia, rel_tol * fmax(fabs(e.value[0]), fabs(e.value[2])), name, err);
}

static double trace(sy_sym3 a) { return a.xx + a.yy + a.zz; }

/* What a tensor about a point near `body` may be off by: the roundings of its own entries and of its cg. */
static double noise(const sy_massprops *body, sy_sym3 inertia) {
  return NOISE * (fabs(trace(inertia)) + body->mass * sy_vec3_dot(body->cg, body->cg));
}

static bool all_within(sy_sym3 a, double tol) {
  return fabs(a.xx) <= tol && fabs(a.yy) <= tol && fabs(a.zz) <= tol && fabs(a.xy) <= tol &&
         fabs(a.xz) <= tol && fabs(a.yz) <= tol;
}

sy_status sy_massprops_remove(const sy_massprops *whole, const sy_massprops *part, sy_massprops *out,
                              sy_error *err) {
  sy_status status = check_values(whole, "whole", err);
  if (status == SY_OK) status = check_values(part, "part", err);
  if (status != SY_OK) return status;
  const double mass = whole->mass - part->mass;
  if (!(mass > NOISE * whole->mass)) /* 0.1 + 0.2 - 0.3 leaves 6e-17: nothing is left */
    return sy_fail(err, SY_RANGE, "part", "mass", "is %g kg of the whole's %g kg: nothing would be left",
                   part->mass, whole->mass);
  const sy_vec3 cg = sy_vec3_muladd(whole->cg, part->mass / mass, sy_vec3_sub(whole->cg, part->cg));
  const sy_sym3 had = sy_massprops_inertia_about(whole, cg);
  const sy_sym3 lost = sy_massprops_inertia_about(part, cg);
  sy_massprops rest = {mass, cg, sy_sym3_sub(had, lost)};
  status = check_values(&rest, "remainder", err);
  if (status != SY_OK) return status;
  const double tol = noise(whole, had) + noise(part, lost);
  if (check_inertia(rest.inertia, tol, "part", NULL) != SY_OK)
    return sy_fail(
        err, SY_GEOMETRY, "part", "inertia",
        "does not fit the whole's: what would be left is not a physical body, so the part was not inside it");
  /* a lone point mass is left: without its rounding noise, which would fail a later check */
  if (all_within(rest.inertia, tol)) rest.inertia = (sy_sym3){0.0, 0.0, 0.0, 0.0, 0.0, 0.0};
  *out = rest;
  return SY_OK;
}

sy_massprops sy_massprops_place(const sy_massprops *body, const sy_frame *frame) {
  return (sy_massprops){body->mass, sy_frame_apply(frame, body->cg),
                        sy_sym3_turn(frame->turn, body->inertia)};
}

sy_massprops sy_massprops_mirror(const sy_massprops *body, double plane_y) {
  sy_massprops image = *body;
  image.cg.y = 2.0 * plane_y - body->cg.y;
  image.inertia.xy = -body->inertia.xy;
  image.inertia.yz = -body->inertia.yz;
  return image;
}

sy_eigen3 sy_massprops_principal(const sy_massprops *body) { return sy_sym3_eigen(body->inertia); }
