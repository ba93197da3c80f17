/* propagate_blocks.c - families of ledgers one after another, and answers in blocks of eight. */
#include "mass/propagate.h"

#include <math.h>
#include <string.h>

#include "mass/pairing_line.h"
#include "mass/propagate_walk.h"

enum { BLOCK = SY_WALK_ANSWERS };

/* ---- families ------------------------------------------------------------------------------------------------------------ */

/* Up to BLOCK answers that are walked together. */
typedef struct block {
  size_t answer[BLOCK], count;
  bool flat;                               /* walk them so: all of them are */
  bool crossed;                            /* their products are asked for */
  sy_sensitivity by[SY_MOST_TERMS][BLOCK]; /* times the sign of the term */
} block;

/* What is asked for. */
typedef struct request {
  const sy_term *terms;
  size_t term_count;
  const sy_pairing *pairing;
} request;

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

static void add_family(const request *q, const block *b, const family *f, sum_of_errors *sum) {
  const roots own = roots_of(q, b, f);
  term_walk w = {.sum = sum, .flat = b->flat, .own = &own};
  for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++) w.slots.of[0][i] = (uint8_t)i;
  clear_instruments(sum, f->instrument_count);
  sy_walk_terms(&w);
  for (size_t i = 0; i < f->instrument_count; i++) sy_add_instrument(sum, i, &f->instrument[i]);
}

/* Two families of which the pairing knows lines and instruments in common. */
static void add_paired_families(const request *q, const block *b, sum_of_errors *sum) {
  const sy_pairing *p = q->pairing;
  const family *first = p->family[0], *second = p->family[1];
  const roots from = roots_of(q, b, first), to = roots_of(q, b, second);
  term_walk w = {.sum = sum, .flat = b->flat, .pairing = p, .own = &from, .other = &to};
  bool with_first[SY_MAX_INSTRUMENTS] = {false};
  for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++) {
    w.slots.of[0][i] = (uint8_t)i;
    w.slots.of[1][i] = (uint8_t)(SY_MAX_INSTRUMENTS + i);
  }
  for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++)
    if (p->same_instrument[i] > 0) {
      w.slots.of[1][p->same_instrument[i] - 1] = (uint8_t)i;
      with_first[p->same_instrument[i] - 1] = true;
    }
  clear_instruments(sum, (size_t)2 * SY_MAX_INSTRUMENTS);
  sy_walk_terms(&w);
  w.own = &to, w.other = &from, w.family = 1;
  sy_walk_terms(&w);
  for (size_t i = 0; i < first->instrument_count; i++) sy_add_instrument(sum, i, &first->instrument[i]);
  for (size_t i = 0; i < second->instrument_count; i++)
    if (!with_first[i]) sy_add_instrument(sum, SY_MAX_INSTRUMENTS + i, &second->instrument[i]);
}

static bool has_family(const request *q, size_t terms, const family *f) {
  for (size_t i = 0; i < terms; i++)
    if (q->terms[i].ledger->family == f) return true;
  return false;
}

static void add_all(const request *q, const block *b, sum_of_errors *sum) {
  sum->count = b->count;
  sum->crossed = b->crossed;
  memset(sum->variance, 0, sizeof sum->variance);
  memset(sum->product, 0, sizeof sum->product);
  memset(sum->usual, 0, sizeof sum->usual);
  const sy_pairing *p = q->pairing;
  const bool joined =
      p != NULL && has_family(q, q->term_count, p->family[0]) && has_family(q, q->term_count, p->family[1]);
  bool joined_done = false;
  for (size_t i = 0; i < q->term_count; i++) {
    const family *f = q->terms[i].ledger->family;
    if (has_family(q, i, f)) continue; /* done */
    if (!joined || (f != p->family[0] && f != p->family[1])) {
      add_family(q, b, f, sum);
    } else if (!joined_done) {
      add_paired_families(q, b, sum);
      joined_done = true;
    }
  }
  sy_add_usual(sum);
}

/* ---- blocks of answers ----------------------------------------------------------------------------------------------------- */

static bool whole_flat(const request *q, size_t answer) {
  for (size_t i = 0; i < q->term_count; i++)
    if (!q->terms[i].by[answer].flat || q->terms[i].by[answer].carriers != SY_ALL_CARRIERS) return false;
  return true;
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

/* The next answers from *next on, at most `room`, that are flat over the whole car in all terms, or are not, as asked: a flat one lets
** whole branches be skipped, which one that is not would forbid all others. */
static void take_next(const request *q, size_t count, bool flat, size_t room, size_t *next, block *b) {
  for (; *next < count && room > 0; ++*next)
    if (whole_flat(q, *next) == flat) {
      take_answer(q, b, *next);
      room--;
    }
}

static sy_status check(size_t term_count, sy_error *err) {
  if (term_count > SY_MOST_TERMS)
    return sy_fail(err, SY_LIMIT, "propagation", "terms", "are %zu, at most %d", term_count,
                   (int)SY_MOST_TERMS);
  return SY_OK;
}

sy_status sy_propagate_variance(const sy_term *terms, size_t term_count, size_t count,
                                const sy_pairing *pairing, double *variance, sy_error *err) {
  const sy_status status = check(term_count, err);
  if (status != SY_OK) return status;
  const request q = {terms, term_count, pairing};
  for (int flat = 0; flat < 2; flat++)
    for (size_t next = 0; next < count;) {
      block b;
      sum_of_errors sum;
      b.count = 0, b.flat = flat != 0, b.crossed = false;
      take_next(&q, count, flat != 0, BLOCK, &next, &b);
      if (b.count == 0) break;
      add_all(&q, &b, &sum);
      for (size_t k = 0; k < b.count; k++)
        variance[b.answer[k]] = all_finite(&q, b.answer[k]) ? sum.variance[k] : (double)NAN;
    }
  return SY_OK;
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
sy_status sy_propagate_covariance(const sy_term *terms, size_t term_count, size_t count,
                                  const sy_pairing *pairing, double *covariance, sy_error *err) {
  const sy_status status = check(term_count, err);
  if (status != SY_OK) return status;
  const request q = {terms, term_count, pairing};
  size_t flat_count = 0;
  for (size_t i = 0; i < count; i++) flat_count += whole_flat(&q, i);
  cursor at = {true, 0};
  for (;;) {
    block mine;
    mine.count = 0, mine.crossed = true;
    if (!take_half(&q, count, &at, &mine)) return SY_OK;
    mine.flat = at.flat;
    const bool only_half = (at.flat ? flat_count : count - flat_count) <= HALF;
    if (only_half) cross(&q, count, &mine, mine.count, true, covariance);
    cursor later = at;
    for (;;) {
      block both = mine;
      if (!take_half(&q, count, &later, &both)) break;
      both.flat = later.flat;
      cross(&q, count, &both, mine.count, later.flat == mine.flat, covariance);
    }
  }
}
