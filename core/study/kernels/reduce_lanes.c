/* Lanes are variants. The Makefile compiles this file once a level: SY_LEVEL 1 (any processor, two lanes), 3 (four), 4 (eight). The
** width is the registers' own: wider vectors go through memory. What does not fill a vector is filled up with NaN. */
#include "study/kernels/reduce_lanes.h"

#include <math.h>
#include <string.h>

#include "base/kernel_lanes.h"
#include "study/kernels/summing_lanes.h"

#if SY_LEVEL == 4
#define SUMMARY sy_summary_lanes_v4
#define JUDGE   sy_judge_lanes_v4
#define FOLD    sy_fold_lanes_v4
#elif SY_LEVEL == 3
#define SUMMARY sy_summary_lanes_v3
#define JUDGE   sy_judge_lanes_v3
#define FOLD    sy_fold_lanes_v3
#else
#define SUMMARY sy_summary_lanes_v1
#define JUDGE   sy_judge_lanes_v1
#define FOLD    sy_fold_lanes_v1
#endif

static inline lanes load_some(const double *column, size_t count) {
  lanes v = {0};
  if (count >= LANES) {
    memcpy(&v, column, sizeof v);
    return v;
  }
  for (size_t k = 0; k < LANES; k++) v[k] = k < count ? column[k] : (double)NAN;
  return v;
}

/* Lanes that are NaN, which alone differs from itself. */
static inline masks unknown(lanes v) {
  const lanes same = v;
  return v != same;
}

void SUMMARY(const double *x, size_t count, sy_reduced *out) {
  summing s = summing_begin();
  size_t vectors = 0;
  for (size_t i = 0; i < count; i += LANES, vectors++) s = summing_add(s, load_some(x + i, count - i));
  summing_end(s, vectors, out);
}

void JUDGE(const sy_judge_limit *limit, const double *x, const double *sd, size_t count, int64_t *flags) {
  const lanes min = all(limit->min), max = all(limit->max), zero = all(0.0);
  const int is_stated = limit->near >= 0;
  const lanes share_of_min = all(limit->share * fabs(limit->min)),
              share_of_max = all(limit->share * fabs(limit->max));
  const lanes stated = all(limit->near), times = all(limit->coverage);
  for (size_t i = 0; i < count; i += LANES) {
    const size_t left = count - i < LANES ? count - i : LANES;
    const lanes v = load_some(x + i, left);
    const lanes above = v - min, below = max - v;
    const masks at_min = above <= below;
    const lanes margin = choose(at_min, above, below);
    lanes band = choose(at_min, share_of_min, share_of_max);
    if (is_stated) {
      band = stated;
    } else if (sd != NULL) {
      const lanes u = load_some(sd + i, left);
      band = choose(u > zero, times * u, band);
    }
    const masks flag =
        ((margin < band) & SY_FLAG_NEAR) | ((margin < zero) & SY_FLAG_FAIL) | (unknown(v) & SY_FLAG_UNKNOWN);
    if (left == LANES) {
      masks worst;
      memcpy(&worst, flags + i, sizeof worst);
      worst |= flag;
      memcpy(flags + i, &worst, sizeof worst);
    } else {
      for (size_t k = 0; k < left; k++) flags[i + k] |= flag[k];
    }
  }
}

/* Value f of each variant of a vector, `folds` apart. */
static inline lanes load_apart(const double *x, size_t folds) {
#if SY_LEVEL == 4
  return (lanes){x[0],         x[folds],     x[2 * folds], x[3 * folds],
                 x[4 * folds], x[5 * folds], x[6 * folds], x[7 * folds]};
#elif SY_LEVEL == 3
  return (lanes){x[0], x[folds], x[2 * folds], x[3 * folds]};
#else
  return (lanes){x[0], x[folds]};
#endif
}

size_t FOLD(const double *x, size_t folds, size_t count, double *const out[4]) {
  double *restrict lowest = out[0], *restrict highest = out[1], *restrict lowest_at = out[2],
                   *restrict highest_at = out[3];
  const lanes none = all((double)NAN);
  size_t i = 0;
  for (; i + LANES <= count; i += LANES) {
    const double *from = x + i * folds;
    lanes low = load_apart(from, folds), high = low, low_at = all(1.0), high_at = low_at;
    masks open = unknown(low);
    for (size_t f = 1; f < folds; f++) {
      const lanes v = load_apart(from + f, folds), at = all((double)(f + 1));
      low_at = choose((masks)(v < low), at, low_at);
      high_at = choose((masks)(v > high), at, high_at);
      low = least(v, low);
      high = greatest(v, high);
      open |= unknown(v);
    }
    store(lowest + i, choose(open, none, low));
    store(highest + i, choose(open, none, high));
    store(lowest_at + i, choose(open, none, low_at));
    store(highest_at + i, choose(open, none, high_at));
  }
  return i;
}
