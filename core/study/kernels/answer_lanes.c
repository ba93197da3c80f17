/* answer_lanes.c - answers of the balance. Lanes are variants. The Makefile compiles the files of this folder once a level: SY_LEVEL 1 (any
** processor, two lanes), 3 (four), 4 (eight). The width is the registers' own: wider vectors go through memory. */
#include "study/kernels/balance_lanes.h"

#include <math.h>
#ifdef __x86_64__
#include <immintrin.h>
#endif

#include "study/kernels/going_lanes.h"
#include "study/kernels/line_lanes.h"

#define RANGE   AT_LEVEL(sy_range_lanes)
#define BALANCE AT_LEVEL(sy_balance_lanes)
#define REDUCE  AT_LEVEL(sy_balance_reduce_lanes)

/* ---- answers ---------------------------------------------------------------------------------------------------------------- */

/* What is the same for all variants, worked out before a loop. */
typedef struct fixed {
  lanes inverse; /* 1 / m */
  bool has_inverse;
} fixed;

static inline __attribute__((always_inline)) fixed fix(const operands *o) {
  return (fixed){.inverse = inverse_at(o, 0), .has_inverse = o->mask[MASS] == 0};
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

/* ---- all of them -------------------------------------------------------------------------------------------------------------- */

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
    const int shape = LINE_OF(&answer[k], &s, &l);
    if (shape < 0) {
      run_each(&answer[k], &s, n, out[k], how, to);
      continue;
    }
    const bool summed = RUN_LINE(&l, shape, n, out[k], how, to);
    if (to == NULL) continue;
    if (summed)
      LINE_EXTREMES(&l, shape, range_of(&r, &s, l.u, n), to);
    else
      reduce_some(&answer[k], &s, n, to);
  }
#ifdef __x86_64__
  if (streams) _mm_sfence();
#endif
#if SY_LEVEL >= 3
  _mm256_zeroupper(); /* as in summing_lanes.h */
#endif
}
