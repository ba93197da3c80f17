#include "study/pack_parts.h"

#include <math.h>
#include <string.h>

/* A supposition is given up after this: that nothing was found is then not said of it. The last ones have more: they say most. FINE: which of
** masses as good as one another are named is worth no more. */
enum { MOST_BOXES = 3000, MOST_OF_ALL = 20000, FINE = 300 };

/* A pack with other slots and rows. */
typedef struct supposed {
  sy_pack pack;
  sy_pack_slot slot[SY_PACK_SLOTS];
  sy_pack_row row[SY_PACK_ROWS];
  const sy_alloc *alloc;
  uint64_t most_boxes;
} supposed;

static void suppose(const sy_pack *pack, const sy_alloc *alloc, supposed *s) {
  memcpy(s->slot, pack->slot, (size_t)pack->slots * sizeof *s->slot);
  memcpy(s->row, pack->row, (size_t)pack->rows * sizeof *s->row);
  s->pack = *pack;
  s->pack.slot = s->slot, s->pack.row = s->row;
  s->alloc = alloc;
  s->most_boxes = MOST_BOXES;
}

static bool is_limit(const sy_pack_row *row) { return isnan(row->target); }

static void free_row(sy_pack_row *row) { row->min = -(double)INFINITY, row->max = (double)INFINITY; }

static void widen(sy_pack_slot *slot, double most) { slot->max = fmax(slot->max, most); }

typedef enum answer { NO, YES, GIVEN_UP } answer;

static void note(sy_pack_hinder kind, int at, const sy_packed *found, sy_pack_why *why, int *count) {
  sy_pack_why *const w = &why[(*count)++];
  memset(w, 0, sizeof *w);
  w->kind = kind, w->at = at;
  memcpy(w->mass, found->mass, sizeof w->mass);
  memcpy(w->value, found->value, sizeof w->value);
}

/* Would it do then? */
static answer would_do(const supposed *s, int least_in, sy_packed *found) {
  if (pack_least(&s->pack, least_in, s->most_boxes, FINE, s->alloc, found, NULL) != SY_OK) return GIVEN_UP;
  return found->possible ? YES : NO;
}

/* The same; if it would, that goes into the list. */
static answer suppose_so(const supposed *s, int least_in, sy_pack_hinder kind, int at, sy_pack_why *why,
                         int *count) {
  sy_packed found;
  const answer does = would_do(s, least_in, &found);
  if (does == YES) note(kind, at, &found, why, count);
  return does;
}

/* How much larger slots are thought to be, at first and from one try to the next: boxes of what a slot may well hold are bounded far better
** than those of a car's mass. */
#define TIMES 4.0

/* Slot `slot`, or with -1 all, larger by and by up to `most` (kg) and no more than that takes. */
static void try_larger(const sy_pack *pack, int slot, double most, sy_pack_hinder kind, const sy_alloc *alloc,
                       sy_pack_why *why, int *count) {
  supposed s;
  sy_packed found;
  double times = 1.0;
  bool larger = true;
  while (larger) {
    double least = most;
    times *= TIMES;
    larger = false;
    suppose(pack, alloc, &s);
    for (int k = 0; k < pack->slots; k++) {
      if (slot >= 0 && k != slot) continue;
      const double holds = fmin(most, times * pack->slot[k].max);
      larger = larger || holds < most;
      least = fmin(least, holds);
      widen(&s.slot[k], holds);
    }
    if (would_do(&s, slot, &found) != YES) continue;
    if (slot < 0 && larger && found.added > least) continue; /* still larger slots may do with less in all */
    note(kind, slot < 0 ? 0 : slot, &found, why, count);
    return;
  }
}

static void try_slots(const sy_pack *pack, double most, const sy_alloc *alloc, sy_pack_why *why, int *count) {
  const int before = *count;
  for (int k = 0; k < pack->slots; k++) try_larger(pack, k, most, SY_PACK_SLOT, alloc, why, count);
  if (*count == before && pack->slots > 1) try_larger(pack, -1, most, SY_PACK_ALL, alloc, why, count);
}

static void free_limits(supposed *s) {
  for (int r = 0; r < s->pack.rows; r++)
    if (is_limit(&s->row[r])) free_row(&s->row[r]);
}

/* One limit less cannot do where all limits less do not, nor one that every combination holds. */
static void try_limits(const sy_pack *pack, const sy_alloc *alloc, sy_pack_why *why, int *count) {
  pack_search whole;
  supposed s;
  sy_packed found;
  int limits = 0;
  const int before = *count;
  if (pack_begin(pack, alloc, &whole, NULL) != SY_OK) return;
  for (int r = 0; r < pack->rows; r++) limits += is_limit(&pack->row[r]) && whole.can_fail[r] ? 1 : 0;
  if (limits == 0) return;
  suppose(pack, alloc, &s);
  free_limits(&s);
  const answer does = would_do(&s, -1, &found);
  for (int r = 0; r < pack->rows && does != NO; r++) {
    if (!is_limit(&pack->row[r]) || !whole.can_fail[r]) continue;
    suppose(pack, alloc, &s);
    free_row(&s.row[r]);
    suppose_so(&s, -1, SY_PACK_LIMIT, r, why, count);
  }
  if (*count == before && does == YES && limits > 1) note(SY_PACK_LIMITS, 0, &found, why, count);
}

/* Nothing alone would do: larger slots, no steps and no limits at once? */
static void try_all(const sy_pack *pack, double most, const sy_alloc *alloc, sy_pack_why *why, int *count) {
  supposed s;
  suppose(pack, alloc, &s);
  s.most_boxes = MOST_OF_ALL;
  for (int k = 0; k < pack->slots; k++) {
    widen(&s.slot[k], most);
    s.slot[k].step = 0.0;
  }
  answer does = suppose_so(&s, -1, SY_PACK_ALL, 0, why, count);
  if (does == YES) return;
  free_limits(&s);
  does = suppose_so(&s, -1, SY_PACK_LIMITS, 0, why, count);
  if (does != NO) return;
  sy_packed near;
  suppose(pack, alloc, &s);
  for (int k = 0; k < pack->slots; k++) widen(&s.slot[k], most);
  if (pack_all_goals(&s.pack, MOST_OF_ALL, s.alloc, &near, NULL) == SY_OK)
    note(SY_PACK_TARGETS, 0, &near, why, count);
}

sy_status sy_pack_explain(const sy_pack *pack, double most, const sy_alloc *given, sy_pack_why *why,
                          int *count, sy_error *err) {
  const sy_alloc alloc = sy_alloc_or_default(given);
  const sy_status status = pack_check(pack, true, err);
  supposed s;
  int n = 0;
  bool steps = false;
  if (status != SY_OK) return status;
  if (!(most > 0.0 && most <= SY_PACK_MOST))
    return sy_fail(err, SY_RANGE, "slots", "most", "is %g kg, must be above 0 and at most %g", most,
                   SY_PACK_MOST);
  try_slots(pack, most, &alloc, why, &n);
  suppose(pack, &alloc, &s);
  for (int k = 0; k < pack->slots; k++) {
    steps = steps || s.slot[k].step > 0.0;
    s.slot[k].step = 0.0;
  }
  if (steps) suppose_so(&s, -1, SY_PACK_STEPS, 0, why, &n);
  try_limits(pack, &alloc, why, &n);
  if (n == 0) try_all(pack, most, &alloc, why, &n);
  *count = n;
  return SY_OK;
}

sy_status sy_pack_gain(const sy_pack *pack, const sy_packed *found, int row, int slot, double most,
                       const sy_alloc *given, double *gain, sy_error *err) {
  const sy_alloc alloc = sy_alloc_or_default(given);
  sy_status status = pack_check(pack, true, err);
  supposed s;
  sy_packed other;
  if (status != SY_OK) return status;
  if (row >= pack->rows || slot >= pack->slots || (row < 0 && slot < 0))
    return sy_fail(err, SY_RANGE, "gain", NULL, "row %d, slot %d is not one of the pack", row, slot);
  if (!(found->added >= 0.0 && found->added <= SY_PACK_SLOTS * SY_PACK_MOST))
    return sy_fail(err, SY_RANGE, "found", "added", "is %g kg, must be 0 or more", found->added);
  if (row >= 0 && !found->may_bind[row]) {
    *gain = 0.0;
    return SY_OK;
  }
  suppose(pack, &alloc, &s);
  if (row >= 0) free_row(&s.row[row]), s.row[row].target = (double)NAN;
  if (row < 0) {
    if (!(most > 0.0 && most <= SY_PACK_MOST))
      return sy_fail(err, SY_RANGE, "slots", "most", "is %g kg, must be above 0 and at most %g", most,
                     SY_PACK_MOST);
    widen(&s.slot[slot], most);
  }
  status = pack_least(&s.pack, -1, MOST_BOXES, 0, &alloc, &other, err);
  if (status == SY_OK) *gain = other.possible ? fmax(0.0, found->added - other.added) : 0.0;
  return status;
}
