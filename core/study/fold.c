#include "study/fold.h"

#include <math.h>
#include <stdbool.h>

#include "base/lanes.h"
#include "study/kernels/reduce_lanes.h"

static sy_fold_lanes *kernel(void) {
#ifdef __x86_64__
  if (sy_lanes_level(4)) return sy_fold_lanes_v4;
  if (sy_lanes_level(3)) return sy_fold_lanes_v3;
#endif
  return sy_fold_lanes_v1;
}

/* Without branches on values, which nobody can foretell. */
static void fold_one(const double *value, size_t folds, size_t i, const sy_folded *out) {
  double low = value[0], high = value[0], low_at = 1, high_at = 1;
  bool open = isnan(value[0]);
  for (size_t f = 1; f < folds; f++) {
    const double v = value[f], at = (double)(f + 1);
    low_at = v < low ? at : low_at;
    low = v < low ? v : low;
    high_at = v > high ? at : high_at;
    high = v > high ? v : high;
    open |= isnan(v);
  }
  if (open) low = high = low_at = high_at = (double)NAN;
  if (out->lowest != NULL) out->lowest[i] = low;
  if (out->highest != NULL) out->highest[i] = high;
  if (out->lowest_at != NULL) out->lowest_at[i] = low_at;
  if (out->highest_at != NULL) out->highest_at[i] = high_at;
}

void sy_fold(const double *x, size_t folds, size_t count, const sy_folded *out) {
  double *const all[4] = {out->lowest, out->highest, out->lowest_at, out->highest_at};
  const bool side_by_side = all[0] != NULL && all[1] != NULL && all[2] != NULL && all[3] != NULL;
  size_t i = side_by_side ? kernel()(x, folds, count, all) : 0;
  for (; i < count; i++) fold_one(x + i * folds, folds, i, out);
}

void sy_fold_verdict(const uint8_t *verdict, size_t folds, size_t count, uint8_t *worst) {
  for (size_t i = 0; i < count; i++) {
    uint8_t most = 0;
    for (size_t f = 0; f < folds; f++) most = verdict[i * folds + f] > most ? verdict[i * folds + f] : most;
    worst[i] = most;
  }
}
