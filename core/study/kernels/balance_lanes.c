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

#if SY_LEVEL == 4
#define ADD_POWERS sy_add_powers_lanes_v4
#define BALANCE    sy_balance_lanes_v4
#define DEVIATION  sy_balance_sd_lanes_v4
#elif SY_LEVEL == 3
#define ADD_POWERS sy_add_powers_lanes_v3
#define BALANCE    sy_balance_lanes_v3
#define DEVIATION  sy_balance_sd_lanes_v3
#else
#define ADD_POWERS sy_add_powers_lanes_v1
#define BALANCE    sy_balance_lanes_v1
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

void ADD_POWERS(double *sum, const double *v, size_t n, double middle, double by, const double *coefficient,
                int count) {
  const lanes from = all(middle), scale = all(by);
  for (size_t i = 0; i < n; i += LANES) {
    const lanes t = (load(v + i) - from) * scale;
    lanes p = all(coefficient[0]);
    for (int k = 1; k < count; k++) p = p * t + all(coefficient[k]);
    store(sum + i, load(sum + i) + p);
  }
}

/* ---- answers ---------------------------------------------------------------------------------------------------------------- */

static inline lanes get(const sy_lane_sum *s, size_t i) {
  return s->at != NULL ? load(s->at + i) : all(s->same);
}

/* Always in this order, whatever is the same for all: so the bits do not depend on which variants stand together. */
static inline __attribute__((always_inline)) lanes linear(const sy_lane_sum *sum, const double c[4], size_t i,
                                                          bool clamps) {
  const lanes m = all(c[0]) * get(&sum[0], i), x = all(c[1]) * get(&sum[1], i),
              y = all(c[2]) * get(&sum[2], i), z = all(c[3]) * get(&sum[3], i);
  const lanes total = m + x + y + z;
  if (!clamps) return total;
  const lanes size = size_of(m) + size_of(x) + size_of(y) + size_of(z);
  return choose((masks)(size_of(total) <= all(16.0 * 0x1p-52) * size), all(0.0), total);
}

static inline lanes moment(const sy_lane_sum *sum, int i, int j, int a, int b, lanes inverse, size_t at) {
  const lanes first = get(&sum[a], at), second = get(&sum[b], at);
  return get(&sum[i], at) + get(&sum[j], at) - (first * first + second * second) * inverse;
}

static inline lanes index_of(const sy_lane_answer *w, const sy_lane_sum *sum, lanes inverse, size_t i) {
  const lanes x = get(&sum[1], i) * inverse, arms = (all(w->c[1]) - x) * (x - all(w->c[2]));
  const lanes index = all(w->c[0]) * moment(sum, 4, 5, 1, 2, inverse, i) / (get(&sum[0], i) * arms);
  return choose((masks)(arms > all(0.0)), index, all((double)NAN));
}

/* inverse: 1 / m. */
static inline __attribute__((always_inline)) lanes answer_at(const sy_lane_answer *w, const sy_lane_sum *sum,
                                                             lanes inverse, size_t i) {
  switch (w->kind) {
  case SY_LANE_LINEAR: return linear(sum, w->c, i, w->clamps);
  case SY_LANE_SHARE: return linear(sum, w->c, i, w->clamps) * inverse;
  case SY_LANE_QUOTIENT: return linear(sum, w->c, i, w->clamps) / linear(sum, w->d, i, w->clamps);
  case SY_LANE_MEAN: return all(w->c[0]) * (get(&sum[w->i], i) * inverse) + all(w->c[1]);
  case SY_LANE_MOMENT: return all(w->c[0]) * moment(sum, w->i, w->j, w->a, w->b, inverse, i);
  case SY_LANE_PRODUCT:
    return all(w->c[0]) * (get(&sum[w->a], i) * get(&sum[w->b], i) * inverse - get(&sum[w->i], i));
  case SY_LANE_INDEX: return index_of(w, sum, inverse, i);
  default: {
    const lanes r = all(w->c[1]);
    return all(w->c[0]) *
           (get(&sum[4], i) + get(&sum[5], i) - (r + r) * get(&sum[1], i) + r * r * get(&sum[0], i));
  }
  }
}

/* With the kind known the compiler makes a loop of it. */
static inline __attribute__((always_inline)) void run(const sy_lane_answer *w, const sy_lane_sum *sum,
                                                      size_t n, double *out, bool stream) {
  const bool same = sum[0].at == NULL;
  const lanes one = all(1.0), same_inverse = one / all(sum[0].same);
  size_t i = 0;
  for (; i + LANES <= n; i += LANES) {
    const lanes inverse = same ? same_inverse : one / load(sum[0].at + i);
    const lanes v = answer_at(w, sum, inverse, i);
    if (stream)
      stream_out(out + i, v);
    else
      store(out + i, v);
  }
  if (i == n) return;
  double rest[LANES];
  store(rest, answer_at(w, sum, same ? same_inverse : one / load(sum[0].at + i), i));
  memcpy(out + i, rest, (n - i) * sizeof *out);
}

void BALANCE(const sy_lane_answer *answer, const sy_lane_sum sum[SY_BALANCE_SUMS], size_t n, double *out,
             bool stream) {
  sy_lane_answer w = *answer;
  if (w.clamps) { /* few: not worth a loop of each kind */
    run(&w, sum, n, out, false);
    return;
  }
#define KIND(k)                                                                                              \
  case (k): w.kind = (k), w.clamps = false, run(&w, sum, n, out, stream); break
  switch (answer->kind) {
    KIND(SY_LANE_LINEAR);
    KIND(SY_LANE_SHARE);
    KIND(SY_LANE_QUOTIENT);
    KIND(SY_LANE_MEAN);
    KIND(SY_LANE_MOMENT);
    KIND(SY_LANE_PRODUCT);
    KIND(SY_LANE_INDEX);
    KIND(SY_LANE_YAW_REAR);
  }
#undef KIND
#ifdef __x86_64__
  if (stream) _mm_sfence();
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
static inline void sensitivity(const sy_lane_answer *w, const sy_lane_sum *sum, size_t i, lanes g[4]) {
  const lanes inverse = all(1.0) / get(&sum[0], i);
  for (int k = 0; k < 4; k++) g[k] = all(w->kind == SY_LANE_MEAN ? 0.0 : w->c[k]);
  if (w->kind == SY_LANE_SHARE) {
    g[0] -= linear(sum, w->c, i, false) * inverse;
    for (int k = 0; k < 4; k++) g[k] *= inverse;
  } else if (w->kind == SY_LANE_QUOTIENT) {
    const lanes under = all(1.0) / linear(sum, w->d, i, false), value = linear(sum, w->c, i, false) * under;
    for (int k = 0; k < 4; k++) g[k] = (g[k] - value * all(w->d[k])) * under;
  } else if (w->kind == SY_LANE_MEAN) {
    const lanes by = all(w->c[0]) * inverse, moment_arm = get(&sum[w->i], i) * inverse;
    g[0] = all(0.0) - by * moment_arm;
    for (int k = 1; k < 4; k++) g[k] = k == w->i ? by : all(0.0);
  }
}

static inline lanes deviation(const sy_lane_answer *w, const sy_lane_sum *sum, size_t i) {
  lanes g[4], variance = all(0.0);
  sensitivity(w, sum, i, g);
  int at = SY_BALANCE_SUMS; /* the upper triangle by rows */
  for (int r = 0; r < 4; r++)
    for (int c = r; c < 4; c++, at++) variance += (r == c ? g[r] : g[r] + g[r]) * g[c] * get(&sum[at], i);
  return root(choose((masks)(variance > all(0.0)), variance, all(0.0)));
}

void DEVIATION(const sy_lane_answer *answer, const sy_lane_sum sum[SY_BALANCE_LANES], size_t n, double *out) {
  size_t i = 0;
  for (; i + LANES <= n; i += LANES) store(out + i, deviation(answer, sum, i));
  if (i == n) return;
  double rest[LANES];
  store(rest, deviation(answer, sum, i));
  memcpy(out + i, rest, (n - i) * sizeof *out);
}
