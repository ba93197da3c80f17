#include "study/fold.h"

#include <math.h>

/* Without branches on values, which nobody can foretell. */
void sy_fold(const double *x, size_t folds, size_t count, const sy_folded *out) {
  for (size_t i = 0; i < count; i++) {
    const double *value = x + i * folds;
    double low = value[0], high = value[0], low_at = 1, high_at = 1;
    int open = isnan(value[0]) != 0;
    for (size_t f = 1; f < folds; f++) {
      const double v = value[f], at = (double)(f + 1);
      low_at = v < low ? at : low_at;
      low = v < low ? v : low;
      high_at = v > high ? at : high_at;
      high = v > high ? v : high;
      open |= isnan(v) != 0;
    }
    if (open) low = high = low_at = high_at = (double)NAN;
    if (out->lowest != NULL) out->lowest[i] = low;
    if (out->highest != NULL) out->highest[i] = high;
    if (out->lowest_at != NULL) out->lowest_at[i] = low_at;
    if (out->highest_at != NULL) out->highest_at[i] = high_at;
  }
}

void sy_fold_verdict(const uint8_t *verdict, size_t folds, size_t count, uint8_t *worst) {
  for (size_t i = 0; i < count; i++) {
    uint8_t most = 0;
    for (size_t f = 0; f < folds; f++) most = verdict[i * folds + f] > most ? verdict[i * folds + f] : most;
    worst[i] = most;
  }
}
