#include "mass/ledger_check.h"

#define MAX_MASS       1e5 /* kg, of one piece: a hundred tonnes is not a vehicle part */
#define MAX_COORDINATE 1e3 /* m */
#define MAX_COUNT      1000000u

/* Whole picometres, as the double nearest to them: a sum of two such lengths rounds to the whole number again, so shifts
** add up exactly in any order, and 1.02 m stays the double 1.02. Good to 1e3 m, where doubles lie 0.1 pm apart. */
static double keep(double x) { return rint(x * 1e12) / 1e12 + 0.0; /* + 0.0: no minus zero */ }

sy_vec3 sy_ledger_keep_length(sy_vec3 v) { return (sy_vec3){keep(v.x), keep(v.y), keep(v.z)}; }

static sy_status check_place(const char *name, const char *field, sy_vec3 v, sy_error *err) {
  const double c[3] = {v.x, v.y, v.z};
  for (int i = 0; i < 3; i++)
    if (!(fabs(c[i]) <= MAX_COORDINATE))
      return sy_fail(err, SY_RANGE, name, field, "has a coordinate of %g m, must be within %g m", c[i],
                     MAX_COORDINATE);
  return SY_OK;
}

static sy_status check_id(const char *name, uint64_t id, sy_error *err) {
  if (id >> 63) return sy_fail(err, SY_RANGE, name, "id", "must be below 2^63");
  return SY_OK;
}

static sy_status check_unsprung(const char *name, const sy_unsprung *unsprung, sy_error *err) {
  double sum = 0;
  if (unsprung->count > SY_MAX_UNSPRUNG)
    return sy_fail(err, SY_RANGE, name, "unsprung", "names %d carriers, at most %d", (int)unsprung->count,
                   SY_MAX_UNSPRUNG);
  for (unsigned i = 0; i < unsprung->count; i++) {
    if (unsprung->carrier[i] >= SY_CARRIER_COUNT)
      return sy_fail(err, SY_RANGE, name, "unsprung", "names carrier %d, there are %d",
                     (int)unsprung->carrier[i], SY_CARRIER_COUNT);
    if (!(unsprung->fraction[i] > 0 && unsprung->fraction[i] <= 1))
      return sy_fail(err, SY_RANGE, name, "unsprung", "has a fraction of %g, must be above 0 and at most 1",
                     unsprung->fraction[i]);
    sum += unsprung->fraction[i];
  }
  /* a few roundings of decimal fractions that are meant to make 1 */
  if (sum > 1.0 + 1e-12)
    return sy_fail(err, SY_RANGE, name, "unsprung", "has fractions that sum to %g, at most 1", sum);
  return SY_OK;
}

static sy_status check_fill(const char *name, const sy_fill *f, sy_error *err) {
  if (f == NULL) return SY_OK;
  const double v[7] = {f->dry, f->dry_sd, f->density, f->density_sd, f->volume, f->volume_sd, f->share_sd};
  for (int i = 0; i < 7; i++)
    if (!(v[i] >= 0 && isfinite(v[i])))
      return sy_fail(err, SY_RANGE, name, "fill", "has a value of %g, must be >= 0 and finite", v[i]);
  if (!sy_vec3_finite(f->dry_arm) || !sy_vec3_finite(f->liquid_arm) || !sy_vec3_finite(f->surface_arm))
    return sy_fail(err, SY_RANGE, name, "fill", "has an arm that is not finite");
  return SY_OK;
}

static sy_status check_whole(const char *name, const sy_whole *w, sy_error *err) {
  if (w == NULL) return SY_OK;
  if (!(w->mass > 0 && w->mass <= MAX_MASS) || !isfinite(w->moved) || !sy_vec3_finite(w->arm) ||
      !sy_sym3_finite(w->inertia_sd))
    return sy_fail(err, SY_RANGE, name, "whole",
                   "is %g kg, must be above 0 and at most %g, and all of it finite", w->mass, MAX_MASS);
  return check_place(name, "whole", w->arm, err);
}

sy_status sy_ledger_check_part(const char *name, const sy_part *part, sy_part *out, sy_error *err) {
  const double stated =
      sy_part_stated_mass(part); /* a correction may go below 0: then the record fits badly */
  if (!((stated >= 0 || part->whole != NULL) && fabs(stated) <= MAX_MASS && fabs(part->mass) <= MAX_MASS))
    return sy_fail(err, SY_RANGE, name, "mass", "is %g kg, must be from 0 to %g", part->mass, MAX_MASS);
  if (!(part->mass_sd >= 0 && isfinite(part->mass_sd)))
    return sy_fail(err, SY_RANGE, name, "mass", "has an uncertainty of %g kg, must be >= 0", part->mass_sd);
  if (part->count < 1 || part->count > MAX_COUNT)
    return sy_fail(err, SY_RANGE, name, "count", "is %zu, must be from 1 to %zu", (size_t)part->count,
                   (size_t)MAX_COUNT);
  sy_status status = check_id(name, part->id, err);
  if (status == SY_OK) status = check_place(name, "at", part->cg, err);
  if (status != SY_OK) return status;
  const double sd[3] = {part->cg_sd.x, part->cg_sd.y, part->cg_sd.z};
  for (int i = 0; i < 3; i++)
    if (!(sd[i] >= 0 && isfinite(sd[i])))
      return sy_fail(err, SY_RANGE, name, "at", "has an uncertainty of %g m, must be >= 0", sd[i]);
  status = check_fill(name, part->fill, err);
  if (status == SY_OK) status = check_whole(name, part->whole, err);
  if (status != SY_OK) return status;
  if (!sy_sym3_finite(part->inertia)) return sy_fail(err, SY_RANGE, name, "inertia", "is not finite");
  if (!(part->growth >= 0 && part->growth <= 10))
    return sy_fail(err, SY_RANGE, name, "growth", "is %g, must be from 0 to 10", part->growth);
  status = check_unsprung(name, &part->unsprung, err);
  if (status != SY_OK) return status;
  sy_part kept = *part;
  kept.cg = sy_ledger_keep_length(part->cg);
  if (!sy_part_terms_fit(&kept)) return sy_fail(err, SY_RANGE, name, "mass", "gives sums too large to keep");
  *out = kept;
  return SY_OK;
}

sy_status sy_ledger_check_instrument(const family *f, const char *name, const sy_part *part, sy_error *err) {
  if (part->instrument > f->instrument_count)
    return sy_fail(err, SY_UNKNOWN, name, "instrument", "is number %zu, there are %zu",
                   (size_t)part->instrument, f->instrument_count);
  if (!isfinite(part->bias_share) || !isfinite(part->gain_mass))
    return sy_fail(err, SY_RANGE, name, "instrument", "has a share that is not finite");
  return SY_OK;
}

sy_status sy_ledger_check_group(const char *name, const sy_group *group, sy_group *out, sy_error *err) {
  sy_status status = check_id(name, group->id, err);
  if (status == SY_OK) status = check_place(name, "at", group->frame.at, err);
  if (status != SY_OK) return status;
  /* rounding of a product of a few rotations */
  if (!sy_mat3_is_rotation(group->frame.turn, 1e-9))
    return sy_fail(err, SY_RANGE, name, "turned", "is not a rotation");
  if (group->twin && !(fabs(sy_vec3_length(group->twin_normal) - 1.0) < 1e-9))
    return sy_fail(err, SY_RANGE, name, "pair", "has a mirror plane without a unit normal");
  sy_group kept = *group;
  kept.frame.at = sy_ledger_keep_length(group->frame.at);
  for (int i = 0; i < 3; i++) /* an angle of zero leaves minus zeros: no turn, the same bits */
    for (int j = 0; j < 3; j++) kept.frame.turn.m[i][j] += 0.0;
  *out = kept;
  return SY_OK;
}

sy_status sy_ledger_no_memory(sy_error *err) {
  return sy_fail(err, SY_LIMIT, "ledger", NULL, "memory is out");
}

sy_status sy_ledger_sum_failed(bool too_large, sy_error *err) {
  if (!too_large) return sy_ledger_no_memory(err);
  return sy_fail(err, SY_RANGE, "ledger", "mass", "the sums are too large to keep");
}
