/* deviation_lanes.c - standard uncertainties of answers that rest on the mass and the first moments. */
#include <math.h>
#include <string.h>
#ifdef __x86_64__
#include <immintrin.h>
#endif

#include "study/kernels/balance_sums.h"

#define DEVIATION AT_LEVEL(sy_balance_sd_lanes)

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
