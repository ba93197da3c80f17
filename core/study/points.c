#include "study/points.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "numeric/rng_lanes.h"

sy_status sy_points_range(double from, double to, size_t n, double *values, sy_error *err) {
  if (!isfinite(from) || !isfinite(to))
    return sy_fail(err, SY_RANGE, NULL, isfinite(from) ? "to" : "from", "is %g", isfinite(from) ? to : from);
  if (n < 2)
    return sy_fail(err, SY_RANGE, NULL, "n",
                   "is %zu; a range has at least 2 values (one value is a list: {%g})", n, from);
  if (from == to)
    return sy_fail(err, SY_RANGE, NULL, "to", "is %g like from; one value is a list: {%g}", to, from);
  const double last = (double)(n - 1);
  if (!isfinite(last * (to - from))) return sy_fail(err, SY_RANGE, NULL, "to", "is too far from %g", from);
  for (size_t i = 0; i < n; i++) values[i] = from + (double)i * (to - from) / last;
  values[n - 1] = to;
  return SY_OK;
}

sy_status sy_points_grid_shape(const size_t *n, size_t inputs, size_t *each, size_t *total, sy_error *err) {
  size_t all = 1;
  for (size_t k = 0; k < inputs; k++) {
    if (n[k] == 0)
      return sy_fail(err, SY_RANGE, NULL, "vary", "input %zu of %zu has no values", k + 1, inputs);
    if (all > SIZE_MAX / n[k])
      return sy_fail(err, SY_LIMIT, NULL, "vary", "makes more variants than can be counted");
    all *= n[k];
  }
  size_t rest = all;
  for (size_t k = 0; k < inputs; k++) {
    rest /= n[k];
    each[k] = rest;
  }
  *total = all;
  return SY_OK;
}

/* Eight at a time: of a slow input that is most of a grid. */
static void fill(double *out, size_t count, double value) {
  const double some[8] = {value, value, value, value, value, value, value, value};
  size_t i = 0;
  for (; i + 8 <= count; i += 8) memcpy(out + i, some, sizeof some);
  for (; i < count; i++) out[i] = value;
}

void sy_points_grid(const double *values, size_t n, size_t each, size_t first, size_t count, double *out) {
  size_t value = first / each % n, left = each - first % each, at = 0;
  while (at < count) { /* the rest of a round where each value stands once, else a run of one value */
    const bool once = each == 1;
    size_t run = once ? n - value : left;
    run = run < count - at ? run : count - at;
    if (once)
      memcpy(out + at, values + value, run * sizeof *out);
    else
      fill(out + at, run, values[value]);
    at += run, left = each;
    value = once ? 0 : value + 1 == n ? 0 : value + 1;
  }
}

void sy_points_one(const double *values, size_t n, double base, size_t start, size_t first, size_t count,
                   double *out) {
  for (size_t i = 0; i < count; i++) {
    const size_t at = first + i;
    out[i] = at >= start && at - start < n ? values[at - start] : base;
  }
}

/* ---- Latin hypercube ------------------------------------------------------------------------------------------------------------- */

enum { ROUNDS = 12, RUN = 4 * SY_RNG_LANES };

/* An order of 0 .. n - 1: a Feistel network over the least even power of two that holds them; what falls outside is sent through again. With
** 8 rounds the 120 orders of 5 points still differ in chance by 4 %, which 400000 of them show; with 12 none of such tests does.
** A network makes even permutations only, from 16 places on; so for half of the keys the first two places change hands besides. */
typedef struct order {
  uint32_t key[ROUNDS];
  uint32_t n, swap, side; /* side: the mask of half of a place */
  int half;               /* its bits */
} order;

/* Every bit of x touches every bit of the result. Source: the 32-bit finaliser of MurmurHash3 (from memory). */
static inline uint32_t mix(uint32_t x) {
  x = (x ^ x >> 16) * 0x85EBCA6Bu;
  x = (x ^ x >> 13) * 0xC2B2AE35u;
  return x ^ x >> 16;
}

/* The key of a stream is what the seed makes of the stream's number. */
static sy_rng_words stream_key(uint64_t seed, uint64_t stream) {
  const sy_rng_words counter = {{(uint32_t)stream, (uint32_t)(stream >> 32), 0, 0}};
  return sy_rng_threefry(sy_rng_key(seed), counter);
}

enum { PLACES = 0, WITHIN = 1 }; /* word 2 of the counters */

static order make_order(sy_rng_words key, uint32_t n) {
  order o = {.n = n, .half = 1};
  while ((uint32_t)1 << (2 * o.half) < n) o.half++;
  o.side = ((uint32_t)1 << o.half) - 1;
  sy_rng_words w = {{0}};
  for (uint32_t r = 0; r <= ROUNDS; r++) {
    const sy_rng_words counter = {{r / 4, 0, PLACES, 0}};
    if (r % 4 == 0) w = sy_rng_threefry(key, counter);
    if (r < ROUNDS) o.key[r] = w.word[r % 4];
  }
  o.swap = n > 1 && w.word[0] & 1;
  return o;
}

/* The network on RUN places side by side: alone, each round waits for the one before. */
static void network(const order *o, uint32_t place[RUN]) {
  uint32_t left[RUN], right[RUN];
  for (int k = 0; k < RUN; k++) {
    left[k] = place[k] >> o->half;
    right[k] = place[k] & o->side;
  }
  for (int r = 0; r < ROUNDS; r++)
    for (int k = 0; k < RUN; k++) {
      const uint32_t next = left[k] ^ (mix(right[k] ^ o->key[r]) & o->side);
      left[k] = right[k];
      right[k] = next;
    }
  for (int k = 0; k < RUN; k++) place[k] = left[k] << o->half | right[k];
}

/* Places of points i .. i + RUN - 1, of which those from n on mean nothing. */
static void places(const order *o, uint32_t i, uint32_t out[RUN]) {
  uint32_t place[RUN];
  bool outside = true;
  for (uint32_t k = 0; k < RUN; k++) out[k] = place[k] = i + k;
  for (bool first = true; outside; first = false) {
    network(o, place);
    outside = false;
    for (uint32_t k = 0; k < RUN; k++) {
      if (first || out[k] >= o->n) out[k] = place[k];
      outside = outside || (out[k] >= o->n && i + k < o->n);
    }
  }
  for (uint32_t k = 0; k < RUN; k++)
    if (out[k] < 2) out[k] ^= o->swap;
}

sy_status sy_points_latin(uint64_t seed, uint64_t stream, size_t n, size_t first, size_t count, double *u,
                          sy_error *err) {
  if (n == 0) return sy_fail(err, SY_RANGE, "latin", "points", "are 0");
  if (n > SY_LATIN_POINTS)
    return sy_fail(err, SY_LIMIT, "latin", "points", "are %zu, at most %zu are made", n,
                   (size_t)SY_LATIN_POINTS);
  if (first > n || count > n - first)
    return sy_fail(err, SY_RANGE, "latin", "points", "are %zu, more are asked for", n);
  const sy_rng_words key = stream_key(seed, stream);
  const order o = make_order(key, (uint32_t)n);
  uint32_t schedule[5], place[RUN], word[4][SY_RNG_LANES];
  sy_rng_schedule(key, schedule);
  for (size_t run = first - first % RUN; run < first + count; run += RUN) {
    places(&o, (uint32_t)run, place);
    sy_rng_lanes(schedule, run / 4, WITHIN, 0, word);
    const size_t from = run < first ? first - run : 0,
                 end = first + count - run < RUN ? first + count - run : RUN;
    for (size_t k = from; k < end; k++) {
      /* 20 bits and a half: with a place below 2^30 exact, so no point rounds into the next slice */
      const double within = ((double)(word[k % 4][k / 4] >> 12) + 0.5) * 0x1p-20;
      u[run + k - first] = ((double)place[k] + within) / (double)n;
    }
  }
  return SY_OK;
}

/* ---- from 0..1 to values --------------------------------------------------------------------------------------------------------- */

void sy_points_between(double from, double to, const double *u, size_t count, double *out) {
  for (size_t i = 0; i < count; i++) out[i] = from + u[i] * (to - from);
}

void sy_points_pick(const double *values, size_t n, const double *u, size_t count, double *out) {
  for (size_t i = 0; i < count; i++) {
    const double at = u[i] * (double)n; /* no whole number holds what lies far outside */
    if (n == 0 || isnan(at))
      out[i] = (double)NAN;
    else
      out[i] = values[!(at >= 1.0) ? 0 : at < (double)n ? (size_t)at : n - 1];
  }
}
