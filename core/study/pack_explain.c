#include "study/pack_parts.h"

#include <math.h>
#include <string.h>

/* A supposition is given up after this much work: that nothing was found is then not said of it. The last ones have more: they say most. FINE:
** which of masses as good as one another are named is worth no more. ALL: of all suppositions before the last ones. */
enum { MOST_WORK = 6000, MOST_AT_LAST = 20000, FINE = 100, ALL = 40000 };

/* A pack with other slots and rows. */
typedef struct supposed {
  sy_pack pack;
  sy_pack_slot slot[SY_PACK_SLOTS];
  sy_pack_row row[SY_PACK_ROWS];
} supposed;

/* What is to be explained, and the list of what hinders. */
typedef struct inquiry {
  const sy_pack *pack;
  const sy_alloc *alloc;
  double most; /* kg in one slot */
  sy_pack_why *why;
  int count;
  uint64_t work;
} inquiry;

static void suppose(const inquiry *q, supposed *s) {
  memcpy(s->slot, q->pack->slot, (size_t)q->pack->slots * sizeof *s->slot);
  memcpy(s->row, q->pack->row, (size_t)q->pack->rows * sizeof *s->row);
  s->pack = *q->pack;
  s->pack.slot = s->slot, s->pack.row = s->row;
}

static bool is_limit(const sy_pack_row *row) { return isnan(row->target); }

static void free_row(sy_pack_row *row) { row->min = -(double)INFINITY, row->max = (double)INFINITY; }

static void widen(sy_pack_slot *slot, double most) { slot->max = fmax(slot->max, most); }

typedef enum answer { NO, YES, GIVEN_UP } answer;

static void note(inquiry *q, sy_pack_hinder kind, int at, const sy_packed *found) {
  sy_pack_why *const w = &q->why[q->count++];
  memset(w, 0, sizeof *w);
  w->kind = kind, w->at = at;
  memcpy(w->mass, found->mass, sizeof w->mass);
  memcpy(w->value, found->value, sizeof w->value);
}

/* Would it do then? */
static answer would_do(inquiry *q, const supposed *s, int least_in, uint64_t most, sy_packed *found) {
  if (pack_least(&s->pack, least_in, most, FINE, q->alloc, found, &q->work, NULL) != SY_OK) return GIVEN_UP;
  return found->possible ? YES : NO;
}

static uint64_t left_of(const inquiry *q) {
  const uint64_t left = q->work < ALL ? ALL - q->work : 0;
  return left < MOST_WORK ? left : MOST_WORK;
}

/* How much larger slots are thought to be, at first and from one try to the next: boxes of what a slot may well hold are bounded far better
** than those of a car's mass. */
#define TIMES 4.0

/* Slot `slot`, or with -1 all, larger by and by, and no more than that takes. */
static void try_larger(inquiry *q, int slot) {
  const sy_pack *pack = q->pack;
  supposed s;
  sy_packed found;
  double times = 1.0;
  bool larger = true;
  while (larger) {
    double least = q->most;
    times *= TIMES;
    larger = false;
    suppose(q, &s);
    for (int k = 0; k < pack->slots; k++) {
      if (slot >= 0 && k != slot) continue;
      const double holds = fmin(q->most, times * pack->slot[k].max);
      larger = larger || holds < q->most;
      least = fmin(least, holds);
      widen(&s.slot[k], holds);
    }
    if (would_do(q, &s, slot, left_of(q), &found) != YES) continue;
    if (slot < 0 && larger && found.added > least) continue; /* still larger slots may do with less in all */
    note(q, slot < 0 ? SY_PACK_ALL : SY_PACK_SLOT, slot < 0 ? 0 : slot, &found);
    return;
  }
}

static void try_slots(inquiry *q) {
  for (int k = 0; k < q->pack->slots; k++) try_larger(q, k);
  if (q->count == 0 && q->pack->slots > 1) try_larger(q, -1);
}

static void try_grams(inquiry *q) {
  supposed s;
  sy_packed found;
  bool steps = false;
  suppose(q, &s);
  for (int k = 0; k < q->pack->slots; k++) {
    steps = steps || s.slot[k].step > 0.0;
    s.slot[k].step = 0.0;
  }
  if (steps && would_do(q, &s, -1, left_of(q), &found) == YES) note(q, SY_PACK_STEPS, 0, &found);
}

static void free_limits(supposed *s) {
  for (int r = 0; r < s->pack.rows; r++)
    if (is_limit(&s->row[r])) free_row(&s->row[r]);
}

/* One limit less cannot do where all limits less do not, nor one that every combination holds. */
static void try_limits(inquiry *q) {
  const sy_pack *pack = q->pack;
  pack_search whole;
  supposed s;
  sy_packed found, all;
  int limits = 0;
  const int before = q->count;
  if (pack_begin(pack, q->alloc, &whole, NULL) != SY_OK) return;
  for (int r = 0; r < pack->rows; r++) limits += is_limit(&pack->row[r]) && whole.can_fail[r] ? 1 : 0;
  if (limits == 0) return;
  suppose(q, &s);
  free_limits(&s);
  const answer does = would_do(q, &s, -1, left_of(q), &all);
  for (int r = 0; r < pack->rows && does != NO; r++) {
    if (!is_limit(&pack->row[r]) || !whole.can_fail[r]) continue;
    suppose(q, &s);
    free_row(&s.row[r]);
    if (would_do(q, &s, -1, left_of(q), &found) == YES) note(q, SY_PACK_LIMIT, r, &found);
  }
  if (q->count == before && does == YES && limits > 1) note(q, SY_PACK_LIMITS, 0, &all);
}

/* Nothing alone would do: larger slots, no steps and no limits at once? */
static void try_all(inquiry *q) {
  supposed s;
  sy_packed found;
  suppose(q, &s);
  for (int k = 0; k < q->pack->slots; k++) {
    widen(&s.slot[k], q->most);
    s.slot[k].step = 0.0;
  }
  answer does = would_do(q, &s, -1, MOST_AT_LAST, &found);
  if (does == YES) note(q, SY_PACK_ALL, 0, &found);
  if (does == YES) return;
  free_limits(&s);
  does = would_do(q, &s, -1, MOST_AT_LAST, &found);
  if (does == YES) note(q, SY_PACK_LIMITS, 0, &found);
  if (does != NO) return;
  suppose(q, &s);
  for (int k = 0; k < q->pack->slots; k++) widen(&s.slot[k], q->most);
  if (pack_all_goals(&s.pack, MOST_AT_LAST, q->alloc, &found, NULL) == SY_OK)
    note(q, SY_PACK_TARGETS, 0, &found);
}

sy_status sy_pack_explain(const sy_pack *pack, double most, const sy_alloc *given, sy_pack_why *why,
                          int *count, sy_error *err) {
  const sy_alloc alloc = sy_alloc_or_default(given);
  const sy_status status = pack_check(pack, true, err);
  if (status != SY_OK) return status;
  if (!(most > 0.0 && most <= SY_PACK_MOST))
    return sy_fail(err, SY_RANGE, "slots", "most", "is %g kg, must be above 0 and at most %g", most,
                   SY_PACK_MOST);
  inquiry q = {pack, &alloc, most, why, 0, 0};
  try_slots(&q);
  try_grams(&q);
  try_limits(&q);
  if (q.count == 0) try_all(&q);
  *count = q.count;
  return SY_OK;
}

sy_status sy_pack_gain(const sy_pack *pack, const sy_packed *found, int row, int slot, double most,
                       const sy_alloc *given, double *gain, sy_error *err) {
  const sy_alloc alloc = sy_alloc_or_default(given);
  sy_status status = pack_check(pack, true, err);
  supposed s;
  sy_packed other;
  uint64_t work = 0;
  if (status != SY_OK) return status;
  if (row >= pack->rows || slot >= pack->slots || (row < 0 && slot < 0))
    return sy_fail(err, SY_RANGE, "gain", NULL, "row %d, slot %d is not one of the pack", row, slot);
  if (!(found->added >= 0.0 && found->added <= SY_PACK_SLOTS * SY_PACK_MOST))
    return sy_fail(err, SY_RANGE, "found", "added", "is %g kg, must be 0 or more", found->added);
  if (row >= 0 && !found->may_bind[row]) {
    *gain = 0.0;
    return SY_OK;
  }
  const inquiry q = {.pack = pack};
  suppose(&q, &s);
  if (row >= 0) free_row(&s.row[row]), s.row[row].target = (double)NAN;
  if (row < 0) {
    if (!(most > 0.0 && most <= SY_PACK_MOST))
      return sy_fail(err, SY_RANGE, "slots", "most", "is %g kg, must be above 0 and at most %g", most,
                     SY_PACK_MOST);
    widen(&s.slot[slot], most);
  }
  status = pack_least(&s.pack, -1, MOST_WORK, 0, &alloc, &other, &work, err);
  if (status == SY_OK) *gain = other.possible ? fmax(0.0, found->added - other.added) : 0.0;
  return status;
}
