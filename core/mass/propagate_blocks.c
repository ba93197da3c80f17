/* propagate_blocks.c - families of ledgers one after another, and answers in blocks of eight. */
#include "mass/propagate_blocks.h"

#include <math.h>
#include <string.h>

enum { BLOCK = SY_WALK_ANSWERS };

/* ---- families ------------------------------------------------------------------------------------------------------------ */

/* Up to BLOCK answers that are walked together. */
typedef struct block {
  size_t answer[BLOCK], count;
  bool flat;                               /* walk them so: all of them are, or cancel */
  bool crossed;                            /* their products are asked for */
  sy_sensitivity by[SY_WALK_TERMS][BLOCK]; /* times the sign of the term */
} block;

static roots roots_of(const request *q, const block *b, const family *f) {
  roots r = {.count = 0};
  for (size_t i = 0; i < q->term_count; i++)
    if (q->terms[i].ledger->family == f) r.at[r.count++] = (place){&q->terms[i].ledger->root->head, b->by[i]};
  return r;
}

static void clear_instruments(sum_of_errors *sum, size_t slots) {
  memset(sum->bias, 0, slots * sizeof *sum->bias);
  memset(sum->gain, 0, slots * sizeof *sum->gain);
}

/* What readings on the family's instruments have of their errors. */
static void add_readings(const request *q, const block *b, const family *f, const uint8_t *slot,
                         sum_of_errors *sum) {
  for (size_t i = 0; i < q->reading_count; i++) {
    const reading_effect *r = &q->readings[i];
    if (r->family != f) continue;
    for (size_t k = 0; k < b->count; k++) {
      sum->bias[slot[r->number - 1]][k] += r->bias[b->answer[k]];
      sum->gain[slot[r->number - 1]][k] += r->gain[b->answer[k]];
    }
  }
}

static void add_family(const request *q, const block *b, const family *f, sum_of_errors *sum) {
  const roots own = roots_of(q, b, f);
  const walked_family alone = {&own, NULL};
  term_walk w = {.sum = sum, .flat = b->flat, .family = &alone, .families = 1};
  for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++) w.slots.of[0][i] = (uint8_t)i;
  clear_instruments(sum, f->instrument_count);
  sy_walk_terms(&w);
  if (q->listener != NULL) {
    q->listener->instruments(q->listener->with, f, w.slots.of[0], true);
    return;
  }
  add_readings(q, b, f, w.slots.of[0], sum);
  for (size_t i = 0; i < f->instrument_count; i++) sy_add_instrument(sum, i, &f->instrument[i]);
}

/* Families of which pairings know lines and instruments in common; the first is the one they lead from. */
typedef struct joined {
  int count;
  const family *of[SY_MOST_FAMILIES];
  roots roots[SY_MOST_FAMILIES];
  walked_family walked[SY_MOST_FAMILIES];
} joined;

/* An instrument that a pairing knows stands where the first family's does. Returns a bit for each that does not. */
static unsigned place_instruments(const joined *j, int f, uint8_t *slot) {
  unsigned own = (1u << j->of[f]->instrument_count) - 1u;
  for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++) slot[i] = (uint8_t)((size_t)f * SY_MAX_INSTRUMENTS + i);
  for (size_t i = 0; f > 0 && i < SY_MAX_INSTRUMENTS; i++) {
    const uint32_t same = j->walked[f].pairing->same_instrument[i];
    if (same == 0) continue;
    slot[same - 1] = (uint8_t)i;
    own &= ~(1u << (same - 1));
  }
  return own;
}

static void add_joined_families(const request *q, const block *b, const joined *j, sum_of_errors *sum) {
  term_walk w = {.sum = sum, .flat = b->flat, .family = j->walked, .families = j->count};
  unsigned own[SY_MOST_FAMILIES];
  for (int f = 0; f < j->count; f++) own[f] = place_instruments(j, f, w.slots.of[f]);
  clear_instruments(sum, (size_t)j->count * SY_MAX_INSTRUMENTS);
  for (w.me = 0; w.me < j->count; w.me++) sy_walk_terms(&w);
  if (q->listener != NULL) {
    for (int f = 0; f < j->count; f++)
      q->listener->instruments(q->listener->with, j->of[f], w.slots.of[f], f + 1 == j->count);
    return;
  }
  for (int f = 0; f < j->count; f++) add_readings(q, b, j->of[f], w.slots.of[f], sum);
  for (int f = 0; f < j->count; f++)
    for (size_t i = 0; i < j->of[f]->instrument_count; i++)
      if (own[f] >> i & 1u)
        sy_add_instrument(sum, (size_t)f * SY_MAX_INSTRUMENTS + i, &j->of[f]->instrument[i]);
}

static bool has_family(const request *q, size_t terms, const family *f) {
  for (size_t i = 0; i < terms; i++)
    if (q->terms[i].ledger->family == f) return true;
  return false;
}

/* The first family, and those that a pairing joins to it; count 0 where there are no two to join. asked: counts as met, NULL for none. */
static void join(const request *q, const block *b, const family *asked, joined *j) {
  j->count = 0;
  if (q->pairing_count == 0) return;
  j->of[0] = q->pairings[0]->family[0];
  j->walked[0].pairing = NULL;
  int count = 1;
  for (size_t i = 0; i < q->pairing_count; i++) {
    if (!has_family(q, q->term_count, q->pairings[i]->family[1])) continue;
    j->of[count] = q->pairings[i]->family[1];
    j->walked[count++].pairing = q->pairings[i];
  }
  if (count - 1 + (j->of[0] == asked || has_family(q, q->term_count, j->of[0])) < 2) return;
  for (int f = 0; f < count; f++) {
    j->roots[f] = roots_of(q, b, j->of[f]);
    j->walked[f].roots = &j->roots[f];
  }
  j->count = count;
}

static bool is_joined(const joined *j, const family *f) {
  for (int i = 0; i < j->count; i++)
    if (j->of[i] == f) return true;
  return false;
}

static void add_all(const request *q, const block *b, sum_of_errors *sum) {
  sum->count = b->count;
  sum->listener = q->listener;
  sum->crossed = b->crossed;
  memset(sum->variance, 0, sizeof sum->variance);
  memset(sum->product, 0, sizeof sum->product);
  memset(sum->usual, 0, sizeof sum->usual);
  joined j;
  join(q, b, NULL, &j);
  bool joined_done = false;
  for (size_t i = 0; i < q->term_count; i++) {
    const family *f = q->terms[i].ledger->family;
    if (has_family(q, i, f)) continue; /* done */
    if (!is_joined(&j, f)) {
      add_family(q, b, f, sum);
    } else if (!joined_done) {
      add_joined_families(q, b, &j, sum);
      joined_done = true;
    }
  }
  sy_add_usual(sum);
}

/* ---- blocks of answers ----------------------------------------------------------------------------------------------------- */

/* Of terms of one family whose second moments do the opposite of one another, as in a change of a yaw inertia: what all of them share is flat
** in their sum. */
static bool cancels(const request *q, size_t answer) {
  sy_sym3 sum = {0, 0, 0, 0, 0, 0};
  for (size_t i = 0; i < q->term_count; i++) {
    const sy_sensitivity *g = &q->terms[i].by[answer];
    if (q->terms[i].ledger->family != q->terms[0].ledger->family) return false;
    if (!g->flat) sum = sy_sym3_add(sum, sy_sym3_scale(q->terms[i].sign, g->second));
  }
  return sum.xx == 0 && sum.yy == 0 && sum.zz == 0 && sum.xy == 0 && sum.xz == 0 && sum.yz == 0;
}

static bool whole_flat(const request *q, size_t answer) {
  bool flat = true;
  for (size_t i = 0; i < q->term_count; i++) {
    if (q->terms[i].by[answer].carriers != SY_ALL_CARRIERS) return false;
    flat = flat && q->terms[i].by[answer].flat;
  }
  return flat || cancels(q, answer);
}

static bool all_finite(const request *q, size_t answer) {
  for (size_t i = 0; i < q->term_count; i++) {
    const sy_sensitivity *g = &q->terms[i].by[answer];
    if (!isfinite(q->terms[i].sign) || !isfinite(g->m) || !sy_vec3_finite(g->first)) return false;
    if (!g->flat && !sy_sym3_finite(g->second)) return false;
  }
  return true;
}

static void take_answer(const request *q, block *b, size_t answer) {
  for (size_t i = 0; i < q->term_count; i++) {
    const sy_sensitivity *g = &q->terms[i].by[answer];
    const double sign = q->terms[i].sign;
    b->by[i][b->count] = (sy_sensitivity){sign * g->m, sy_vec3_scale(sign, g->first),
                                          sy_sym3_scale(sign, g->second), g->carriers, g->flat};
  }
  b->answer[b->count++] = answer;
}

/* The next answers from *next on, at most `room`, that are flat over the whole car in all terms or in their sum, or are not, as asked: a
** flat one lets whole branches be skipped, which one that is not would forbid all others. */
static void take_next(const request *q, size_t count, bool flat, size_t room, size_t *next, block *b) {
  for (; *next < count && room > 0; ++*next)
    if (whole_flat(q, *next) == flat) {
      take_answer(q, b, *next);
      room--;
    }
}

void sy_blocks_variance(const request *q, size_t count, double *variance) {
  for (int flat = 0; flat < 2; flat++)
    for (size_t next = 0; next < count;) {
      block b;
      sum_of_errors sum;
      b.count = 0, b.flat = flat != 0, b.crossed = false;
      take_next(q, count, flat != 0, BLOCK, &next, &b);
      if (b.count == 0) break;
      add_all(q, &b, &sum);
      for (size_t k = 0; k < b.count; k++)
        variance[b.answer[k]] = all_finite(q, b.answer[k]) ? sum.variance[k] : (double)NAN;
    }
}

/* ---- covariances ----------------------------------------------------------------------------------------------------------- */

enum { HALF = BLOCK / 2 };

/* How far the answers have been taken: those that are flat first. */
typedef struct cursor {
  bool flat;
  size_t next;
} cursor;

/* Adds half a block of answers of one kind; false when there are no more. */
static bool take_half(const request *q, size_t count, cursor *c, block *b) {
  const size_t before = b->count;
  take_next(q, count, c->flat, HALF, &c->next, b);
  if (b->count == before && c->flat) {
    *c = (cursor){false, 0};
    take_next(q, count, c->flat, HALF, &c->next, b);
  }
  return b->count > before;
}

static void write_product(const request *q, size_t count, size_t i, size_t j, double value,
                          double *covariance) {
  const double known = all_finite(q, i) && all_finite(q, j) ? value : (double)NAN;
  covariance[i * count + j] = covariance[j * count + i] = known;
}

/* Walks the block and writes all products, or those of its first `mine` answers with the others. */
static void cross(const request *q, size_t count, const block *b, size_t mine, bool all, double *covariance) {
  sum_of_errors sum;
  add_all(q, b, &sum);
  for (size_t k = 0; k < b->count; k++) {
    if (all) write_product(q, count, b->answer[k], b->answer[k], sum.variance[k], covariance);
    for (size_t l = k + 1; l < b->count; l++)
      if (all || (k < mine && l >= mine))
        write_product(q, count, b->answer[k], b->answer[l], sum.product[k][l], covariance);
  }
}

/* Each half is walked with each that comes after it. Only two of one kind write their own variances: those of flat answers must come from
** a flat walk, to have the bits of sy_propagate_variance. */
void sy_blocks_covariance(const request *q, size_t count, double *covariance) {
  size_t flat_count = 0;
  for (size_t i = 0; i < count; i++) flat_count += whole_flat(q, i);
  cursor at = {true, 0};
  for (;;) {
    block mine;
    mine.count = 0, mine.crossed = true;
    if (!take_half(q, count, &at, &mine)) return;
    mine.flat = at.flat;
    const bool only_half = (at.flat ? flat_count : count - flat_count) <= HALF;
    if (only_half) cross(q, count, &mine, mine.count, true, covariance);
    cursor later = at;
    for (;;) {
      block both = mine;
      if (!take_half(q, count, &later, &both)) break;
      both.flat = later.flat;
      cross(q, count, &both, mine.count, later.flat == mine.flat, covariance);
    }
  }
}

void sy_blocks_lines(const request *q, size_t count) {
  block b;
  sum_of_errors sum;
  b.count = 0, b.crossed = b.flat = false;
  for (size_t i = 0; i < count; i++) take_answer(q, &b, i);
  add_all(q, &b, &sum);
}

void sy_blocks_cross(const request *q, size_t count, size_t rows, double *cross_out) {
  block mine;
  mine.count = 0, mine.crossed = true, mine.flat = true;
  for (size_t i = 0; i < count; i++) {
    mine.flat = mine.flat && whole_flat(q, i);
    take_answer(q, &mine, i);
  }
  for (size_t r = 0; r < rows; r += HALF) {
    block both = mine;
    sum_of_errors sum;
    for (size_t l = r; l < rows && l < r + HALF; l++) take_answer(q, &both, count + l);
    add_all(q, &both, &sum);
    for (size_t k = 0; k < count; k++)
      for (size_t l = 0; l < both.count - count; l++)
        cross_out[k * rows + r + l] = all_finite(q, k) ? sum.product[k][count + l] : (double)NAN;
  }
}

/* Gathered where the family's instruments stand, which other families may have in common with it though no term is of it; those of a family
** that nothing joins to a term do nothing. */
void sy_blocks_instruments(const request *q, const family *f, double bias[SY_MAX_INSTRUMENTS],
                           double gain[SY_MAX_INSTRUMENTS]) {
  block b;
  sum_of_errors sum;
  joined j;
  uint8_t slot[SY_MAX_INSTRUMENTS];
  b.count = 0, b.flat = whole_flat(q, 0), b.crossed = false;
  take_answer(q, &b, 0);
  sum.count = 1, sum.crossed = false, sum.variance[0] = sum.usual[0] = 0, sum.listener = NULL;
  join(q, &b, f, &j);
  int me = 0;
  while (me < j.count && j.of[me] != f) me++;
  for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++) bias[i] = gain[i] = 0, slot[i] = (uint8_t)i;
  if (me < j.count) {
    add_joined_families(q, &b, &j, &sum);
    (void)place_instruments(&j, me, slot);
  } else if (has_family(q, q->term_count, f)) {
    add_family(q, &b, f, &sum);
  } else {
    return;
  }
  for (size_t i = 0; i < f->instrument_count; i++)
    bias[i] = sum.bias[slot[i]][0], gain[i] = sum.gain[slot[i]][0];
}
