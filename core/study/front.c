#include "study/front.h"

#include <math.h>
#include <string.h>

enum { DIGITS = 6, BITS = 11, SPAN = 1 << BITS, RUN = 4096 };

typedef struct entry {
  uint64_t key; /* what is sorted by */
  uint32_t variant;
  uint32_t place; /* of its second output among all different ones, from 1 */
} entry;

typedef struct work {
  const double *const *output;
  const bool *most;
  size_t outputs, n;     /* n: variants that take part */
  entry *sorted, *other; /* n each */
  uint64_t *best;        /* n + 1 */
  uint32_t count[DIGITS][SPAN];
} work;

/* Whole numbers in the order of the doubles, which are not NaN; -0 counts as 0. None is UINT64_MAX. */
static uint64_t key_of(double x) {
  uint64_t bits;
  x += 0.0;
  memcpy(&bits, &x, sizeof bits);
  return bits >> 63 != 0 ? ~bits : bits | (uint64_t)1 << 63;
}

/* Output k, less being better. */
static double value_of(const work *w, size_t k, uint32_t variant) {
  const double x = w->output[k][variant];
  return w->most[k] ? -x : x;
}

/* ---- sorting --------------------------------------------------------------------------------------------------------------------- */

static uint32_t digit(uint64_t key, int d) { return (uint32_t)(key >> (BITS * d)) & (SPAN - 1); }

/* By keys, equal ones as they stood: a digit at a time, the lowest first. Digits that are the same everywhere cost nothing. */
static void sort_by_key(work *w) {
  memset(w->count, 0, sizeof w->count);
  for (size_t i = 0; i < w->n; i++)
    for (int d = 0; d < DIGITS; d++) w->count[d][digit(w->sorted[i].key, d)]++;
  for (int d = 0; d < DIGITS; d++) {
    uint32_t *const count = w->count[d], before = 0;
    if (w->n == 0 || count[digit(w->sorted[0].key, d)] == w->n) continue;
    for (int v = 0; v < SPAN; v++) {
      const uint32_t here = count[v];
      count[v] = before;
      before += here;
    }
    for (size_t i = 0; i < w->n; i++) w->other[count[digit(w->sorted[i].key, d)]++] = w->sorted[i];
    entry *const swap = w->sorted;
    w->sorted = w->other;
    w->other = swap;
  }
}

static void sort_by_output(work *w, size_t k) {
  for (size_t i = 0; i < w->n; i++) w->sorted[i].key = key_of(value_of(w, k, w->sorted[i].variant));
  sort_by_key(w);
}

/* Along the first output; the members stand at the beginning of `sorted`. */
static void sort_front(work *w) {
  for (size_t i = 0; i < w->n; i++) w->sorted[i].key = w->sorted[i].variant;
  sort_by_key(w);
  for (size_t i = 0; i < w->n; i++) w->sorted[i].key = key_of(w->output[0][w->sorted[i].variant]);
  sort_by_key(w);
}

static bool same(const work *w, uint32_t a, uint32_t b) {
  for (size_t k = 0; k < w->outputs; k++)
    if (w->output[k][a] != w->output[k][b]) return false;
  return true;
}

/* ---- up to three outputs --------------------------------------------------------------------------------------------------------- */

/* Of variants seen so far whose second output has a place up to this: the key of their best third one. */
static uint64_t best_up_to(const uint64_t *best, uint32_t place) {
  uint64_t least = UINT64_MAX;
  for (uint32_t at = place; at > 0; at &= at - 1) least = best[at] < least ? best[at] : least;
  return least;
}

static void put(uint64_t *best, size_t places, uint32_t place, uint64_t key) {
  for (size_t at = place; at <= places; at += at & (~at + 1)) best[at] = key < best[at] ? key : best[at];
}

/* Number the different values of the second output; sorted by it. Gives how many there are. */
static uint32_t number_places(work *w) {
  uint32_t place = 0;
  uint64_t last = UINT64_MAX;
  for (size_t i = 0; i < w->n; i++) {
    if (w->sorted[i].key != last) place++;
    last = w->sorted[i].key;
    w->sorted[i].place = place;
  }
  return place;
}

/* What betters a variant stands before it when all are sorted by the first output, then the second, then the third; and of those that do, it is
** enough to know the best third output at each place of the second. */
static void sweep(work *w) {
  uint32_t places = 1;
  if (w->outputs > 2) sort_by_output(w, 2);
  if (w->outputs > 1) {
    sort_by_output(w, 1);
    places = number_places(w);
  }
  sort_by_output(w, 0);
  for (size_t i = 0; i <= places; i++) w->best[i] = UINT64_MAX;
  size_t members = 0, end;
  for (size_t i = 0; i < w->n; i = end) {
    const entry e = w->sorted[i];
    for (end = i + 1;
         end < w->n && w->sorted[end].key == e.key && same(w, e.variant, w->sorted[end].variant);)
      end++;
    const uint64_t third = w->outputs > 2 ? key_of(value_of(w, 2, e.variant)) : 0;
    if (best_up_to(w->best, e.place) <= third) continue;
    put(w->best, places, e.place, third);
    for (size_t k = i; k < end; k++) w->sorted[members++] = w->sorted[k];
  }
  w->n = members;
}

/* Mostly few variants are in the front, and what a run of them betters needs no sorting among all: runs that stay in the cache are swept first. Where
** they keep more than half of what there is, that is given up. */
static void sweep_runs(work *w) {
  entry *const all = w->sorted, *const spare = w->other;
  const size_t n = w->n;
  size_t kept = 0, done = 0;
  while (done < n && 2 * kept <= done) {
    w->sorted = all + done;
    w->other = spare;
    w->n = n - done < RUN ? n - done : RUN;
    done += w->n;
    sweep(w);
    memmove(all + kept, w->sorted, w->n * sizeof *all);
    kept += w->n;
  }
  memmove(all + kept, all + done, (n - done) * sizeof *all);
  w->sorted = all;
  w->other = spare;
  w->n = kept + (n - done);
}

/* ---- more ------------------------------------------------------------------------------------------------------------------------ */

static bool as_good(const work *w, uint32_t a, uint32_t b) {
  for (size_t k = 0; k < w->outputs; k++)
    if (value_of(w, k, a) > value_of(w, k, b)) return false;
  return true;
}

/* The last that came in is nearest in the first outputs and the likeliest to be better. */
static void compare_all(work *w) {
  for (size_t k = w->outputs; k > 0; k--) sort_by_output(w, k - 1);
  size_t members = 0;
  for (size_t i = 0; i < w->n; i++) {
    const entry e = w->sorted[i];
    bool bettered = false;
    for (size_t k = members; k > 0 && !bettered; k--) {
      const uint32_t other = w->sorted[k - 1].variant;
      bettered = as_good(w, other, e.variant) && !same(w, other, e.variant);
    }
    if (!bettered) w->sorted[members++] = e;
  }
  w->n = members;
}

/* ---- the call -------------------------------------------------------------------------------------------------------------------- */

static bool takes_part(const work *w, const uint8_t *left_out, size_t variant) {
  if (left_out != NULL && left_out[variant] != 0) return false;
  for (size_t k = 0; k < w->outputs; k++)
    if (isnan(w->output[k][variant])) return false;
  return true;
}

/* Room for n entries twice and n + 1 keys, behind the work. */
static size_t room_for(size_t n) { return sizeof(work) + 2 * n * sizeof(entry) + (n + 2) * sizeof(uint64_t); }

static work *make(const work *asked, size_t n, const sy_alloc *alloc) {
  work *w = sy_alloc_new(alloc, room_for(n));
  if (w == NULL) return NULL;
  w->output = asked->output;
  w->most = asked->most;
  w->outputs = asked->outputs;
  w->n = n;
  w->sorted = (entry *)(void *)(w + 1);
  w->other = w->sorted + n;
  w->best = (uint64_t *)(void *)(w->other + n);
  return w;
}

sy_status sy_front(const double *const *output, const bool *most, size_t outputs, const uint8_t *left_out,
                   size_t count, const sy_alloc *alloc, size_t *front, size_t *front_count, sy_error *err) {
  if (outputs == 0) return sy_fail(err, SY_RANGE, "front", NULL, "names no output");
  if (outputs > SY_FRONT_OUTPUTS)
    return sy_fail(err, SY_LIMIT, "front", NULL, "is of %zu outputs, at most %d", outputs,
                   (int)SY_FRONT_OUTPUTS);
  if (count >= UINT32_MAX)
    return sy_fail(err, SY_LIMIT, "front", NULL, "is of %zu variants, at most 4294967294", count);
  const work asked = {.output = output, .most = most, .outputs = outputs};
  size_t n = 0;
  for (size_t i = 0; i < count; i++) n += takes_part(&asked, left_out, i);
  work *w = make(&asked, n, alloc);
  if (w == NULL)
    return sy_fail(err, SY_LIMIT, "front", NULL, "needs %zu bytes of memory, which there are not",
                   room_for(n));
  size_t k = 0;
  for (size_t i = 0; i < count; i++)
    if (takes_part(w, left_out, i)) w->sorted[k++] = (entry){0, (uint32_t)i, 1};
  if (outputs > 3) {
    compare_all(w);
  } else {
    if (n > 4 * (size_t)RUN) sweep_runs(w);
    sweep(w);
  }
  sort_front(w);
  for (size_t i = 0; i < w->n; i++) front[i] = w->sorted[i].variant;
  *front_count = w->n;
  sy_alloc_free(alloc, w, room_for(n));
  return SY_OK;
}
