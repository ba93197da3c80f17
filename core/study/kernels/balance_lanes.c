/* Lanes are variants. The Makefile compiles this file once a level: SY_LEVEL 1 (any processor, two lanes), 3 (four), 4 (eight). The
** width is the registers' own: wider vectors go through memory. */
#include "study/kernels/balance_lanes.h"

#include <math.h>
#include <stdint.h>
#include <string.h>
#ifdef __x86_64__
#include <immintrin.h>
#endif

#include "base/kernel_lanes.h"
#include "study/kernels/summing_lanes.h"

#if SY_LEVEL == 4
#define ADD_POWERS sy_add_powers_lanes_v4
#define ADD_SAME   sy_add_same_lanes_v4
#define RANGE      sy_range_lanes_v4
#define BALANCE    sy_balance_lanes_v4
#define REDUCE     sy_balance_reduce_lanes_v4
#define DEVIATION  sy_balance_sd_lanes_v4
#elif SY_LEVEL == 3
#define ADD_POWERS sy_add_powers_lanes_v3
#define ADD_SAME   sy_add_same_lanes_v3
#define RANGE      sy_range_lanes_v3
#define BALANCE    sy_balance_lanes_v3
#define REDUCE     sy_balance_reduce_lanes_v3
#define DEVIATION  sy_balance_sd_lanes_v3
#else
#define ADD_POWERS sy_add_powers_lanes_v1
#define ADD_SAME   sy_add_same_lanes_v1
#define RANGE      sy_range_lanes_v1
#define BALANCE    sy_balance_lanes_v1
#define REDUCE     sy_balance_reduce_lanes_v1
#define DEVIATION  sy_balance_sd_lanes_v1
#endif

static inline lanes size_of(lanes v) { return (lanes)((masks)v & INT64_MAX); }

static inline void stream_out(double *out, lanes v) {
#if SY_LEVEL == 4
  _mm512_stream_pd(out, (__m512d)v);
#elif SY_LEVEL == 3
  _mm256_stream_pd(out, (__m256d)v);
#elif defined(__x86_64__)
  _mm_stream_pd(out, (__m128d)v);
#else
  store(out, v);
#endif
}

/* The first `count` entries of a vector's, the last one again in the rest. */
static __attribute__((noinline)) void pad(const double *v, size_t count, double out[LANES]) {
  for (size_t k = 0; k < LANES; k++) out[k] = v[k < count ? k : count - 1];
}

static inline lanes load_padded(const double *v, size_t count) {
  double some[LANES];
  pad(v, count, some);
  return load(some);
}

static inline __attribute__((always_inline)) void add_powers(double *restrict sum, const double *same,
                                                             const double *restrict v, size_t n, lanes from,
                                                             lanes scale, const double *coefficient,
                                                             int count) {
  lanes c[4];
  for (int k = 0; k < count && k < 4; k++) c[k] = all(coefficient[k]);
  const lanes before = same != NULL ? all(*same) : from;
  for (size_t i = 0; i < n; i += LANES) {
    const lanes at = i + LANES <= n ? load(v + i) : load_padded(v + i, n - i);
    const lanes t = (at - from) * scale;
    lanes p = c[0];
    for (int k = 1; k < count; k++) p = p * t + (k < 4 ? c[k] : all(coefficient[k]));
    store(sum + i, (same != NULL ? before : load(sum + i)) + p);
  }
}

/* With the number of powers known the compiler makes a loop of it. */
void ADD_POWERS(double *sum, const double *same, const double *v, size_t n, double middle, double by,
                const double *coefficient, int count) {
  const lanes from = all(middle), scale = all(by);
  switch (count) {
  case 1: add_powers(sum, same, v, n, from, scale, coefficient, 1); break;
  case 2: add_powers(sum, same, v, n, from, scale, coefficient, 2); break;
  case 3: add_powers(sum, same, v, n, from, scale, coefficient, 3); break;
  default: add_powers(sum, same, v, n, from, scale, coefficient, count); break;
  }
}

void ADD_SAME(double *sum, size_t n, double by) {
  for (size_t i = 0; i < n; i += LANES) store(sum + i, load(sum + i) + all(by));
}

void RANGE(const double *v, size_t n, double *low, double *high) {
  lanes least_of = all(v[0]), greatest_of = all(v[0]);
  size_t i = 0;
  for (; i + LANES <= n; i += LANES) {
    least_of = least(load(v + i), least_of);
    greatest_of = greatest(load(v + i), greatest_of);
  }
  *low = least_of[0], *high = greatest_of[0];
  for (int k = 1; k < LANES; k++) {
    *low = least_of[k] < *low ? least_of[k] : *low;
    *high = greatest_of[k] > *high ? greatest_of[k] : *high;
  }
  for (; i < n; i++) {
    *low = v[i] < *low ? v[i] : *low;
    *high = v[i] > *high ? v[i] : *high;
  }
}

/* ---- answers ---------------------------------------------------------------------------------------------------------------- */

/* The sums where loops find them without asking: i & mask is i where each variant has its own, 0 where all have the same. */
typedef struct sums_of {
  const double *at[SY_BALANCE_SUMS];
  size_t mask[SY_BALANCE_SUMS];
  unsigned varying; /* bit set of those that do */
  double same[SY_BALANCE_SUMS][LANES];
} sums_of;

static void lay_out(const sy_lane_sum sum[SY_BALANCE_SUMS], sums_of *s) {
  s->varying = 0;
  for (unsigned k = 0; k < SY_BALANCE_SUMS; k++) {
    const bool varies = sum[k].at != NULL;
    store(s->same[k], all(sum[k].same));
    s->at[k] = varies ? sum[k].at : s->same[k];
    s->mask[k] = varies ? SIZE_MAX : 0;
    s->varying |= (unsigned)varies << k;
  }
}

/* Of which sums an answer is made, in the order in which it takes them, the mass last. */
enum { TAKEN = 6, MASS = TAKEN - 1 };

static inline __attribute__((always_inline)) int taken(const sy_lane_answer *w, int k) {
  switch (w->kind) {
  case SY_LANE_LINEAR:
  case SY_LANE_SHARE:
  case SY_LANE_QUOTIENT: return k < 4 ? k : 0;
  case SY_LANE_MEAN: return k == 0 ? w->i : 0;
  case SY_LANE_MOMENT: return k == 0 ? w->i : k == 1 ? w->j : k == 2 ? w->a : k == 3 ? w->b : 0;
  case SY_LANE_PRODUCT: return k == 0 ? w->a : k == 1 ? w->b : k == 2 ? w->i : 0;
  case SY_LANE_INDEX: return k == 0 ? 4 : k == 1 ? 5 : k == 2 ? 1 : k == 3 ? 2 : 0;
  default: return k == 0 ? 4 : k == 1 ? 5 : k == 2 ? 1 : 0;
  }
}

static bool takes_what_varies(const sy_lane_answer *w, const sums_of *s) {
  bool any = false;
  for (int k = 0; k < TAKEN; k++) any = any || (s->varying >> taken(w, k) & 1u) != 0;
  return any;
}

/* Those sums by themselves, so that loops keep where they lie in registers. */
typedef struct operands {
  const double *at[TAKEN];
  size_t mask[TAKEN];
} operands;

static inline __attribute__((always_inline)) operands take(const sy_lane_answer *w, const sums_of *s) {
  operands o;
  for (int k = 0; k < TAKEN; k++) {
    o.at[k] = s->at[taken(w, k)];
    o.mask[k] = s->mask[taken(w, k)];
  }
  return o;
}

static inline __attribute__((always_inline)) lanes get(const operands *o, int k, size_t i) {
  return load(o->at[k] + (i & o->mask[k]));
}

static inline __attribute__((always_inline)) lanes inverse_at(const operands *o, size_t i) {
  return all(1.0) / get(o, MASS, i);
}

/* What is the same for all variants, worked out before a loop. */
typedef struct fixed {
  lanes inverse; /* 1 / m */
  bool has_inverse;
} fixed;

static inline __attribute__((always_inline)) fixed fix(const operands *o) {
  return (fixed){.inverse = inverse_at(o, 0), .has_inverse = o->mask[MASS] == 0};
}

/* Always in this order, whatever is the same for all: so the bits do not depend on which variants stand together. */
static inline __attribute__((always_inline)) lanes linear(const operands *o, const double c[4], size_t i,
                                                          bool clamps) {
  const lanes m = all(c[0]) * get(o, 0, i), x = all(c[1]) * get(o, 1, i), y = all(c[2]) * get(o, 2, i),
              z = all(c[3]) * get(o, 3, i);
  const lanes total = m + x + y + z;
  if (!clamps) return total;
  const lanes size = size_of(m) + size_of(x) + size_of(y) + size_of(z);
  return choose((masks)(size_of(total) <= all(16.0 * 0x1p-52) * size), all(0.0), total);
}

/* Of two second and two first moments. */
static inline __attribute__((always_inline)) lanes moment(const operands *o, lanes inverse, size_t i) {
  const lanes first = get(o, 2, i), second = get(o, 3, i);
  return get(o, 0, i) + get(o, 1, i) - (first * first + second * second) * inverse;
}

static inline __attribute__((always_inline)) lanes index_of(const sy_lane_answer *w, const operands *o,
                                                            lanes inverse, size_t i) {
  const lanes x = get(o, 2, i) * inverse, arms = (all(w->c[1]) - x) * (x - all(w->c[2]));
  const lanes index = all(w->c[0]) * moment(o, inverse, i) / (get(o, MASS, i) * arms);
  return choose((masks)(arms > all(0.0)), index, all((double)NAN));
}

static inline __attribute__((always_inline)) lanes answer_at(const sy_lane_answer *w, const operands *o,
                                                             const fixed *f, size_t i) {
  const lanes inverse = f->has_inverse ? f->inverse : inverse_at(o, i);
  switch (w->kind) {
  case SY_LANE_LINEAR: return linear(o, w->c, i, w->clamps);
  case SY_LANE_SHARE: return linear(o, w->c, i, w->clamps) * inverse;
  case SY_LANE_QUOTIENT: return linear(o, w->c, i, w->clamps) / linear(o, w->d, i, w->clamps);
  case SY_LANE_MEAN: return all(w->c[0]) * (get(o, 0, i) * inverse) + all(w->c[1]);
  case SY_LANE_MOMENT: return all(w->c[0]) * moment(o, inverse, i);
  case SY_LANE_PRODUCT: return all(w->c[0]) * (get(o, 0, i) * get(o, 1, i) * inverse - get(o, 2, i));
  case SY_LANE_INDEX: return index_of(w, o, inverse, i);
  default: {
    const lanes r = all(w->c[1]);
    return all(w->c[0]) * (get(o, 0, i) + get(o, 1, i) - (r + r) * get(o, 2, i) + r * r * get(o, MASS, i));
  }
  }
}

/* What becomes of answers: bit set. */
enum { KEEP = 1, STREAM = 2, SUM = 4 };

static inline __attribute__((always_inline)) void put(double *out, lanes v, int how) {
  if (how & STREAM)
    stream_out(out, v);
  else if (how & KEEP)
    store(out, v);
}

/* Answers as whole vectors, and what they come to so far. With the kind and the rest known the compiler makes a loop of it. */
static inline __attribute__((always_inline)) void run(const sy_lane_answer *w, const sums_of *s, size_t whole,
                                                      double *restrict out, int how,
                                                      quick_summing *restrict sum) {
  const operands o = take(w, s);
  const fixed f = fix(&o);
  QUICK_BEGIN;
  for (size_t i = 0; i < whole; i += LANES) {
    const lanes v = answer_at(w, &o, &f, i);
    put(out + i, v, how);
    if (how & SUM) QUICK_EXTREMES(v);
    if (how & SUM) QUICK_ADD(v);
  }
  if (how & SUM) *sum = QUICK_SO_FAR;
}

static inline __attribute__((always_inline)) void
run_how(const sy_lane_answer *w, const sums_of *s, size_t whole, double *out, int how, quick_summing *sum) {
  switch (how) {
  case KEEP: run(w, s, whole, out, KEEP, sum); break;
  case KEEP | SUM: run(w, s, whole, out, KEEP | SUM, sum); break;
  case SUM: run(w, s, whole, out, SUM, sum); break;
  default: run(w, s, whole, out, KEEP | STREAM | SUM, sum); break;
  }
}

/* The last vector, of which `count` values are there. */
static __attribute__((noinline)) void put_rest(double *out, const lanes *v, size_t count, int how,
                                               quick_summing *sum) {
  double rest[LANES], first[LANES];
  store(rest, *v);
  if (how & KEEP) memcpy(out, rest, count * sizeof *out);
  for (size_t k = 0; k < LANES; k++) {
    first[k] = rest[k < count ? k : 0];
    rest[k] = k < count ? rest[k] : 0.0;
  }
  if (how & SUM) *sum = quick_with(*sum, load(rest), load(first));
}

/* What they come to where some are not known, as an index of yaw inertia may be. */
static __attribute__((noinline)) void reduce_some(const sy_lane_answer *w, const sums_of *s, size_t n,
                                                  sy_reduced *reduced) {
  const operands o = take(w, s);
  const fixed f = fix(&o);
  summing sum = summing_begin();
  for (size_t i = 0; i < n; i += LANES) {
    double v[LANES];
    store(v, answer_at(w, &o, &f, i));
    for (size_t k = i + LANES <= n ? LANES : n - i; k < LANES; k++) v[k] = (double)NAN;
    sum = summing_add(sum, load(v));
  }
  summing_end(sum, (n + LANES - 1) / LANES, reduced);
}

/* A function a kind: the compiler finds its registers one loop at a time. */
#define LOOPS(name, k)                                                                                       \
  static __attribute__((noinline)) void name(const sy_lane_answer *w, const sums_of *s, size_t whole,        \
                                             double *out, int how, quick_summing *sum) {                     \
    sy_lane_answer known = *w;                                                                               \
    known.kind = (k), known.clamps = false;                                                                  \
    run_how(&known, s, whole, out, how, sum);                                                                \
  }

LOOPS(run_linear, SY_LANE_LINEAR)
LOOPS(run_share, SY_LANE_SHARE)
LOOPS(run_quotient, SY_LANE_QUOTIENT)
LOOPS(run_mean, SY_LANE_MEAN)
LOOPS(run_moment, SY_LANE_MOMENT)
LOOPS(run_product, SY_LANE_PRODUCT)
LOOPS(run_index, SY_LANE_INDEX)
LOOPS(run_yaw_rear, SY_LANE_YAW_REAR)

/* Few: not worth loops of their own. */
static __attribute__((noinline)) void run_clamped(const sy_lane_answer *w, const sums_of *s, size_t whole,
                                                  double *out, int how, quick_summing *sum) {
  run(w, s, whole, out, how, sum);
}

typedef void loops(const sy_lane_answer *w, const sums_of *s, size_t whole, double *out, int how,
                   quick_summing *sum);

static loops *loops_of(const sy_lane_answer *w) {
  if (w->clamps) return run_clamped;
  switch (w->kind) {
  case SY_LANE_LINEAR: return run_linear;
  case SY_LANE_SHARE: return run_share;
  case SY_LANE_QUOTIENT: return run_quotient;
  case SY_LANE_MEAN: return run_mean;
  case SY_LANE_MOMENT: return run_moment;
  case SY_LANE_PRODUCT: return run_product;
  case SY_LANE_INDEX: return run_index;
  default: return run_yaw_rear;
  }
}

static void run_each(const sy_lane_answer *w, const sums_of *s, size_t n, double *out, int how,
                     sy_reduced *reduced) {
  const size_t whole = n / LANES * LANES;
  quick_summing sum;
  loops_of(w)(w, s, whole, out, how, &sum);
  if (whole < n) {
    const operands o = take(w, s);
    const fixed f = fix(&o);
    const lanes v = answer_at(w, &o, &f, whole);
    put_rest(out + whole, &v, n - whole, how, &sum);
  }
  if ((how & SUM) != 0 && !quick_end(&sum, (n + LANES - 1) / LANES, n, reduced))
    reduce_some(w, s, n, reduced);
}

/* One for all. */
static void run_same(const sy_lane_answer *w, const sums_of *s, size_t n, double *out, int how,
                     sy_reduced *reduced) {
  const operands o = take(w, s);
  const fixed f = fix(&o);
  const lanes v = answer_at(w, &o, &f, 0);
  size_t i = 0;
  for (; i + LANES <= n && how & KEEP; i += LANES) put(out + i, v, how);
  for (; i < n && how & KEEP; i++) out[i] = v[0];
  if (!(how & SUM)) return;
  double one[LANES];
  store(one, v);
  for (int k = 1; k < LANES; k++) one[k] = (double)NAN;
  const summing sum = summing_add(summing_begin(), load(one));
  summing_end(sum, 1, reduced);
  reduced->known *= (int64_t)n;
  reduced->coarse = (int64_t)((uint64_t)reduced->coarse * n), reduced->fine *= (int64_t)n;
}

/* ---- answers on one first moment alone ------------------------------------------------------------------------------------------ */

/* Where the mass is the same for all, loads, shares and the cg follow the one first moment u that varies by a few products and sums, each of
** which rises with u or falls with it, rounded too: their extremes are at those of u. */
typedef struct line {
  const double *u;
  lanes from, by, then, last, times;
} line;

/* ((from + by u) + then) + last, times the inverse of the mass; or by (u / mass) + from. */
enum { SUMS_MOST = 2, TIMES = 4, MEAN = 8 }; /* how many of `then` and `last` there are; shares; the cg */

static inline __attribute__((always_inline)) lanes line_at(const line *l, lanes u, int shape) {
  if (shape & MEAN) return l->by * (u * l->times) + l->from;
  lanes v = l->from + l->by * u;
  if ((shape & 3) > 0) v = v + l->then;
  if ((shape & 3) > 1) v = v + l->last;
  return shape & TIMES ? v * l->times : v;
}

static inline __attribute__((always_inline)) void run_line_of(const line *l, size_t whole,
                                                              double *restrict out, int how, int shape,
                                                              quick_summing *restrict sum) {
  const double *restrict u = l->u;
  const line known = *l;
  QUICK_BEGIN;
  for (size_t i = 0; i < whole; i += LANES) {
    const lanes v = line_at(&known, load(u + i), shape);
    put(out + i, v, how);
    if (how & SUM) QUICK_ADD(v);
  }
  if (how & SUM) *sum = QUICK_SO_FAR;
}

#define LINE_LOOPS(name, shape)                                                                              \
  static __attribute__((noinline)) void name(const line *l, size_t whole, double *out, int how,              \
                                             quick_summing *sum) {                                           \
    switch (how) {                                                                                           \
    case KEEP: run_line_of(l, whole, out, KEEP, shape, sum); break;                                          \
    case KEEP | SUM: run_line_of(l, whole, out, KEEP | SUM, shape, sum); break;                              \
    case SUM: run_line_of(l, whole, out, SUM, shape, sum); break;                                            \
    default: run_line_of(l, whole, out, KEEP | STREAM | SUM, shape, sum); break;                             \
    }                                                                                                        \
  }

LINE_LOOPS(run_load_0, 0)
LINE_LOOPS(run_load_1, 1)
LINE_LOOPS(run_load_2, 2)
LINE_LOOPS(run_share_0, TIMES)
LINE_LOOPS(run_share_1, TIMES | 1)
LINE_LOOPS(run_share_2, TIMES | 2)
LINE_LOOPS(run_line_mean, MEAN)

/* Adding 0 to what is not 0 changes nothing, nor does adding -0 to anything. */
static bool adds_nothing(double from, double by) { return by == 0.0 && (from != 0.0 || signbit(by)); }

/* The shape, or -1 where the answer is not of that kind. */
static int line_of(const sy_lane_answer *w, const sums_of *s, line *l) {
  const unsigned varying = s->varying & 0xf;
  if (w->clamps || (varying & 1) != 0) return -1;
  const double inverse = 1.0 / s->same[0][0];
  l->times = all(inverse);
  if (w->kind == SY_LANE_MEAN && (varying >> w->i & 1) != 0) {
    l->u = s->at[w->i], l->from = all(w->c[1]), l->by = all(w->c[0]);
    return MEAN;
  }
  if ((w->kind != SY_LANE_LINEAR && w->kind != SY_LANE_SHARE) || (varying & (varying - 1)) != 0) return -1;
  const int only = varying == 2 ? 1 : varying == 4 ? 2 : 3;
  double from = w->c[0] * s->same[0][0], rest[SUMS_MOST + 1];
  int sums = 0;
  for (int k = 1; k < only; k++) from = from + w->c[k] * s->same[k][0];
  for (int k = only + 1; k < 4; k++) {
    rest[sums] = w->c[k] * s->same[k][0];
    sums += !adds_nothing(from, rest[sums]);
  }
  l->u = s->at[only], l->from = all(from), l->by = all(w->c[only]);
  l->then = all(sums > 0 ? rest[0] : 0.0), l->last = all(sums > 1 ? rest[1] : 0.0);
  return sums | (w->kind == SY_LANE_SHARE ? TIMES : 0);
}

static void line_extremes(const line *l, int shape, const double range[2], sy_reduced *reduced) {
  const double a = line_at(l, all(range[0]), shape)[0], b = line_at(l, all(range[1]), shape)[0];
  reduced->min = a < b ? a : b;
  reduced->max = a < b ? b : a;
}

typedef void line_loops(const line *l, size_t whole, double *out, int how, quick_summing *sum);

/* False: an answer is not known, and `reduced` counts nothing. */
static bool run_line(const line *l, int shape, size_t n, double *out, int how, sy_reduced *reduced) {
  static line_loops *const of_shape[MEAN + 1] = {
      [0] = run_load_0,          [1] = run_load_1,          [2] = run_load_2,      [TIMES] = run_share_0,
      [TIMES | 1] = run_share_1, [TIMES | 2] = run_share_2, [MEAN] = run_line_mean};
  const size_t whole = n / LANES * LANES;
  quick_summing sum;
  of_shape[shape](l, whole, out, how, &sum);
  if (whole < n) {
    const lanes v = line_at(l, load(l->u + whole), shape);
    put_rest(out + whole, &v, n - whole, how, &sum);
  }
  return (how & SUM) == 0 || quick_end(&sum, (n + LANES - 1) / LANES, n, reduced);
}

/* Least and greatest of first moments, found when first asked for. */
typedef struct ranges {
  double of[4][2];
  bool found[4];
} ranges;

static const double *range_of(ranges *r, const sums_of *s, const double *u, size_t n) {
  int k = 1;
  while (s->at[k] != u) k++;
  if (!r->found[k]) RANGE(u, n, &r->of[k][0], &r->of[k][1]);
  r->found[k] = true;
  return r->of[k];
}

/* ---- all of them -------------------------------------------------------------------------------------------------------------- */

void BALANCE(const sy_lane_answer *answer, const sy_lane_sum sum[SY_BALANCE_SUMS], size_t n, double *out,
             bool stream) {
  REDUCE(answer, 1, sum, n, &out, &stream, NULL);
}

void REDUCE(const sy_lane_answer *answer, size_t answers, const sy_lane_sum sum[SY_BALANCE_SUMS], size_t n,
            double *const *out, const bool *stream, sy_reduced *reduced) {
  sums_of s;
  ranges r = {.found = {false}};
  bool streams = false;
  lay_out(sum, &s);
  for (size_t k = 0; k < answers; k++) {
    const int keep = out[k] != NULL ? KEEP | (stream[k] ? STREAM : 0) : 0;
    const int how = keep | (reduced != NULL ? SUM : 0);
    sy_reduced *const to = reduced != NULL ? &reduced[k] : NULL;
    line l;
    streams = streams || stream[k];
    if (how == 0) continue;
    if (!takes_what_varies(&answer[k], &s)) {
      run_same(&answer[k], &s, n, out[k], how, to);
      continue;
    }
    const int shape = line_of(&answer[k], &s, &l);
    if (shape < 0)
      run_each(&answer[k], &s, n, out[k], how, to);
    else if (!run_line(&l, shape, n, out[k], how, to))
      reduce_some(&answer[k], &s, n, to);
    else if (to != NULL)
      line_extremes(&l, shape, range_of(&r, &s, l.u, n), to);
  }
#ifdef __x86_64__
  if (streams) _mm_sfence();
#endif
#if SY_LEVEL >= 3
  _mm256_zeroupper(); /* as in summing_lanes.h */
#endif
}

/* ---- uncertainties ---------------------------------------------------------------------------------------------------------- */

static inline lanes root(lanes v) {
#if SY_LEVEL == 4
  return (lanes)_mm512_sqrt_pd((__m512d)v);
#elif SY_LEVEL == 3
  return (lanes)_mm256_sqrt_pd((__m256d)v);
#else
  return (lanes){sqrt(v[0]), sqrt(v[1])};
#endif
}

/* How the answer rests on m and the first moments: the derivatives of statics/balance.c. */
static inline void sensitivity(const sy_lane_answer *w, const operands *o, size_t i, lanes g[4]) {
  const lanes inverse = inverse_at(o, i);
  for (int k = 0; k < 4; k++) g[k] = all(w->kind == SY_LANE_MEAN ? 0.0 : w->c[k]);
  if (w->kind == SY_LANE_SHARE) {
    g[0] -= linear(o, w->c, i, false) * inverse;
    for (int k = 0; k < 4; k++) g[k] *= inverse;
  } else if (w->kind == SY_LANE_QUOTIENT) {
    const lanes under = all(1.0) / linear(o, w->d, i, false), value = linear(o, w->c, i, false) * under;
    for (int k = 0; k < 4; k++) g[k] = (g[k] - value * all(w->d[k])) * under;
  } else if (w->kind == SY_LANE_MEAN) {
    const lanes by = all(w->c[0]) * inverse, moment_arm = get(o, 0, i) * inverse;
    g[0] = all(0.0) - by * moment_arm;
    for (int k = 1; k < 4; k++) g[k] = k == w->i ? by : all(0.0);
  }
}

static inline lanes covariance(const sy_lane_sum *sum, size_t i) {
  return sum->at != NULL ? load(sum->at + i) : all(sum->same);
}

static inline lanes deviation(const sy_lane_answer *w, const sy_lane_sum *sum, const operands *o, size_t i) {
  lanes g[4], variance = all(0.0);
  sensitivity(w, o, i, g);
  int at = SY_BALANCE_SUMS; /* the upper triangle by rows */
  for (int r = 0; r < 4; r++)
    for (int c = r; c < 4; c++, at++)
      variance += (r == c ? g[r] : g[r] + g[r]) * g[c] * covariance(&sum[at], i);
  return root(choose((masks)(variance > all(0.0)), variance, all(0.0)));
}

void DEVIATION(const sy_lane_answer *answer, const sy_lane_sum sum[SY_BALANCE_LANES], size_t n, double *out) {
  sums_of s;
  lay_out(sum, &s);
  const operands o = take(answer, &s);
  size_t i = 0;
  for (; i + LANES <= n; i += LANES) store(out + i, deviation(answer, sum, &o, i));
  if (i == n) return;
  double rest[LANES];
  store(rest, deviation(answer, sum, &o, i));
  memcpy(out + i, rest, (n - i) * sizeof *out);
}
