#include "study/pack_parts.h"

#include <math.h>
#include <string.h>

/* Some ten seconds of a balance's answers. */
enum { MOST_WORK = 500000 };

/* ---- checks ---------------------------------------------------------------------------------------------------------------------------- */

static sy_status check_slot(const sy_pack_slot *slot, int n, sy_error *err) {
  if (!(slot->min >= 0.0 && slot->min <= SY_PACK_MOST))
    return sy_fail(err, SY_RANGE, "slots", "min", "of slot %d is %g kg, must be 0 to %g", n, slot->min,
                   SY_PACK_MOST);
  if (!(slot->max > 0.0 && slot->max <= SY_PACK_MOST))
    return sy_fail(err, SY_RANGE, "slots", "max", "of slot %d is %g kg, must be above 0 and at most %g", n,
                   slot->max, SY_PACK_MOST);
  if (slot->min > slot->max)
    return sy_fail(err, SY_CLASH, "slots", "min", "of slot %d is %g kg, above the most it holds, %g", n,
                   slot->min, slot->max);
  if (!(slot->step == 0.0 || (slot->step >= SY_PACK_GRAIN && slot->step <= SY_PACK_MOST)))
    return sy_fail(err, SY_RANGE, "slots", "step", "of slot %d is %g kg, must be %g or more", n, slot->step,
                   SY_PACK_GRAIN);
  if (slot->step > slot->max)
    return sy_fail(err, SY_CLASH, "slots", "step", "of slot %d is %g kg, more than it holds, %g", n,
                   slot->step, slot->max);
  return SY_OK;
}

static sy_status check_row(const sy_pack_row *row, int n, bool units, sy_error *err) {
  if (isinf(row->target)) return sy_fail(err, SY_RANGE, "rows", "target", "of row %d is not finite", n);
  if (isnan(row->target) && (isnan(row->min) || isnan(row->max)))
    return sy_fail(err, SY_RANGE, "rows", "min", "of row %d: it has neither a target nor limits", n);
  if (isnan(row->target) && row->min > row->max)
    return sy_fail(err, SY_CLASH, "rows", "min", "of row %d is %g, above its max, %g", n, row->min, row->max);
  if (units && !(row->unit > 0.0 && isfinite(row->unit)))
    return sy_fail(err, SY_RANGE, "rows", "unit", "of row %d is %g, must be above 0", n, row->unit);
  if (!(row->whole >= 0.0 && row->whole <= SY_PACK_MOST))
    return sy_fail(err, SY_RANGE, "rows", "whole", "of row %d is %g kg, must be 0 to %g", n, row->whole,
                   SY_PACK_MOST);
  return SY_OK;
}

sy_status pack_check(const sy_pack *pack, bool units, sy_error *err) {
  if (pack->slots < 1) return sy_fail(err, SY_MISSING, "slots", NULL, "there is none");
  if (pack->rows < 1) return sy_fail(err, SY_MISSING, "rows", NULL, "there is none");
  if (pack->slots > SY_PACK_SLOTS)
    return sy_fail(err, SY_LIMIT, "slots", NULL, "are %d, at most %d", pack->slots, (int)SY_PACK_SLOTS);
  if (pack->rows > SY_PACK_ROWS)
    return sy_fail(err, SY_LIMIT, "rows", NULL, "are %d, at most %d", pack->rows, (int)SY_PACK_ROWS);
  sy_status status = SY_OK;
  for (int k = 0; k < pack->slots && status == SY_OK; k++) status = check_slot(&pack->slot[k], k + 1, err);
  for (int r = 0; r < pack->rows && status == SY_OK; r++)
    status = check_row(&pack->row[r], r + 1, units, err);
  return status;
}

/* ---- goals in turn ------------------------------------------------------------------------------------------------------------------- */

static bool is_target(const pack_search *s, int r) { return !isnan(s->pack->row[r].target); }

static sy_status reach(pack_search *s, pack_goal goal, int slot, bool from_best, sy_error *err) {
  s->goal = goal, s->slot = slot;
  if (!from_best) s->any = false;
  if (s->any) { /* what was found for the goals before is where this one begins */
    double value[SY_PACK_ROWS], squares = 0.0, mass = 0.0;
    for (int k = 0; k < s->pack->slots; k++) mass += pack_mass(s, k, s->best[k]);
    s->score = mass;
    if (goal == PACK_MISS) {
      pack_values_at(s, s->best, s->counts, value);
      for (int r = 0; r < s->pack->rows; r++) {
        const double off = s->counts[r] ? pack_off(&s->pack->row[r], value[r]) : 0.0;
        squares += off * off;
      }
      s->score = squares;
    } else if (goal != PACK_MASS) {
      const double in = pack_mass(s, slot, s->best[slot]);
      s->score = goal == PACK_LESS ? in : -in;
    }
  }
  return pack_branch(s, err);
}

/* Among what is as light and as near, the most in the first slot, then in the second; the last one follows from the mass. */
static sy_status first_slots(pack_search *s, sy_error *err) {
  for (int k = 0; k + 1 < s->pack->slots; k++) {
    const sy_status status = reach(s, PACK_MORE, k, true, err);
    if (status != SY_OK) return status;
    s->whole.first[k] = s->whole.last[k] = s->best[k];
  }
  return SY_OK;
}

static void keep_mass(pack_search *s) { s->mass = s->score; }

static void keep_miss(pack_search *s) { s->most_miss = s->score + pack_fine(s); }

/* Of what is as light the nearest, then the first slots. */
static sy_status choose(pack_search *s, sy_error *err) {
  keep_mass(s);
  const sy_status status = reach(s, PACK_MISS, 0, true, err);
  if (status != SY_OK) return status;
  keep_miss(s);
  return first_slots(s, err);
}

/* No masses hold all rows: those that come nearest, the lightest of them. */
static sy_status nearest(pack_search *s, sy_error *err) {
  sy_status status = reach(s, PACK_MISS, 0, false, err);
  if (status != SY_OK || !s->any) return status;
  keep_miss(s);
  status = reach(s, PACK_MASS, 0, true, err);
  if (status != SY_OK) return status;
  keep_mass(s);
  return first_slots(s, err);
}

/* May limits alone hold? Found out by the least mass that holds them. */
static sy_status limits_hold(pack_search *s, bool *hold, sy_error *err) {
  for (int r = 0; r < s->pack->rows; r++) s->hold[r] = !is_target(s, r), s->counts[r] = false;
  const sy_status status = reach(s, PACK_MASS, 0, false, err);
  *hold = s->any;
  return status;
}

static void want(pack_search *s, bool all, bool limits) {
  for (int r = 0; r < s->pack->rows; r++) {
    s->hold[r] = all || (limits && !is_target(s, r));
    s->counts[r] = all || limits ? is_target(s, r) : !is_target(s, r);
  }
}

static void publish(pack_search *s, bool possible, bool hold, sy_packed *out) {
  bool wanted[SY_PACK_ROWS];
  double squares = 0.0;
  memset(out, 0, sizeof *out);
  out->possible = possible;
  out->limits_hold = hold;
  for (int r = 0; r < s->pack->rows; r++) wanted[r] = true;
  if (!s->any) memcpy(s->best, s->whole.first, sizeof s->best); /* it stands nowhere: with the least */
  pack_values_at(s, s->best, wanted, out->value);
  for (int k = 0; k < s->pack->slots; k++) {
    out->mass[k] = pack_mass(s, k, s->best[k]);
    out->steps[k] = s->best[k];
    out->added += out->mass[k];
  }
  for (int r = 0; r < s->pack->rows; r++) {
    const double off = is_target(s, r) ? pack_off(&s->pack->row[r], out->value[r]) : 0.0;
    squares += off * off;
  }
  out->miss = sqrt(squares);
  memcpy(out->may_bind, s->can_fail, sizeof out->may_bind);
  out->boxes = s->boxes;
  out->tried = s->tried;
}

static sy_status begin(const sy_pack *pack, uint64_t most_work, const sy_alloc *alloc, pack_search *s,
                       sy_error *err) {
  const sy_status status = pack_begin(pack, alloc, s, err);
  if (status != SY_OK) return status;
  s->most_work = most_work;
  s->mass = s->most_miss = (double)INFINITY;
  want(s, true, true);
  return SY_OK;
}

sy_status pack_all_goals(const sy_pack *pack, uint64_t most_work, const sy_alloc *given, sy_packed *out,
                         sy_error *err) {
  const sy_alloc alloc = sy_alloc_or_default(given);
  pack_search s;
  bool hold = true;
  sy_status status = begin(pack, most_work, &alloc, &s, err);
  if (status != SY_OK) return status;
  status = reach(&s, PACK_MASS, 0, false, err);
  const bool possible = s.any;
  if (status == SY_OK && possible) status = choose(&s, err);
  if (status == SY_OK && !possible) {
    status = limits_hold(&s, &hold, err);
    if (status == SY_OK) {
      want(&s, false, hold);
      status = nearest(&s, err);
    }
  }
  if (status == SY_OK) publish(&s, possible, hold, out);
  return status;
}

static sy_status least(pack_search *s, int slot, sy_error *err) {
  if (slot >= 0) {
    const sy_status status = reach(s, PACK_LESS, slot, false, err);
    if (status != SY_OK || !s->any) return status;
    s->whole.first[slot] = s->whole.last[slot] = s->best[slot];
  }
  return reach(s, PACK_MASS, 0, s->any, err);
}

sy_status pack_least(const sy_pack *pack, int slot, uint64_t most_work, uint64_t fine, const sy_alloc *given,
                     sy_packed *out, uint64_t *work, sy_error *err) {
  const sy_alloc alloc = sy_alloc_or_default(given);
  pack_search s;
  sy_status status = begin(pack, most_work, &alloc, &s, err);
  if (status != SY_OK) return status;
  status = least(&s, slot, err);
  out->possible = status == SY_OK && s.any;
  if (out->possible) {
    s.most_work = pack_work(&s) + fine;
    if (fine > 0) (void)choose(&s, NULL);
    publish(&s, true, true, out);
  }
  *work += pack_work(&s);
  return status;
}

sy_status sy_pack_solve(const sy_pack *pack, const sy_alloc *alloc, sy_packed *out, sy_error *err) {
  const sy_status status = pack_check(pack, true, err);
  return status == SY_OK ? pack_all_goals(pack, MOST_WORK, alloc, out, err) : status;
}

/* ---- units ----------------------------------------------------------------------------------------------------------------------------- */

sy_status sy_pack_units(const sy_pack *pack, const double *at, double *unit, sy_error *err) {
  double mass[SY_PACK_SLOTS], base[SY_PACK_ROWS], more[SY_PACK_ROWS], most[SY_PACK_ROWS] = {0},
                                                                      grains[SY_PACK_ROWS] = {0};
  bool wanted[SY_PACK_ROWS];
  const sy_status status = pack_check(pack, false, err);
  if (status != SY_OK) return status;
  for (int r = 0; r < pack->rows; r++) wanted[r] = true;
  for (int k = 0; k < pack->slots; k++) mass[k] = at != NULL ? at[k] : pack->slot[k].min;
  if (pack->values(pack->user, mass, wanted, base) != SY_OK)
    return sy_fail(err, SY_GEOMETRY, "slots", NULL, "the car does not stand with these masses");
  for (int k = 0; k < pack->slots; k++) {
    const bool grain = pack->slot[k].step == 0.0;
    const double was = mass[k], step = grain ? SY_PACK_GRAIN : pack->slot[k].step;
    mass[k] = was + step;
    const sy_status stands = pack->values(pack->user, mass, wanted, more);
    mass[k] = was;
    if (stands != SY_OK) continue;
    for (int r = 0; r < pack->rows; r++) {
      const double by = fabs(more[r] - base[r]);
      if (isnan(by)) continue;
      most[r] = fmax(most[r], by);
      if (grain) grains[r] += by;
    }
  }
  for (int r = 0; r < pack->rows; r++) unit[r] = 0.5 * fmax(most[r], grains[r]);
  return SY_OK;
}
