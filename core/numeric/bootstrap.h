/* bootstrap.h - how far a straight line may be off, from the readings' own scatter: readings are drawn again, with
** replacement, as pairs.
**
** Units    those of t and y.
** Pairs    every replica is a least-squares line (all readings of the same weight) through `count` of the readings, each drawn
**          with the same chance. No distribution is taken for granted; what all readings share (a gain, a bias) stays unseen.
** Chance   reading i is drawn with chance 1/count to within a part in 2^20, far below what a million replicas resolve.
** Repeats  a replica that drew only readings of one t has no slope and is drawn again, as if such draws did not exist.
** Numbers  replica k of a seed is always the same, whatever is drawn beside it (rng.h).
** Digits   replicas are fitted to what the line through all readings leaves, about the mean of t: the normal equations then lose
**          nothing that the readings hold.
** Source   B. Efron, R. Tibshirani, An Introduction to the Bootstrap, 1993, 9.5 (pairs), 13.3 (percentile interval).
*/
#ifndef SY_NUMERIC_BOOTSTRAP_H
#define SY_NUMERIC_BOOTSTRAP_H

#include <stdint.h>

#include "../base/status.h"

enum { SY_BOOTSTRAP_MOST_READINGS = 65536 };

typedef struct sy_bootstrap_line {
  double intercept, slope; /* y = intercept + slope t, through all readings */
} sy_bootstrap_line;

/* Bytes of memory for the fit below, aligned for any type; 0 when count is outside 2..65536. */
SY_API size_t sy_bootstrap_size(size_t count);

/* Replicas first, first + 1, ... of the line through (t, y).
** intercept, slope  replicas of each; they are written only on success
** out               the line through all readings; may be NULL
** Errors  SY_RANGE     count outside 2..65536, a value that is not finite or too large to be squared
**         SY_GEOMETRY  all t are the same, or differ by rounding only */
SY_API sy_status sy_bootstrap_line_fit(const double *t, const double *y, size_t count, uint64_t seed,
                                       uint64_t first, size_t replicas, void *memory, double *intercept,
                                       double *slope, sy_bootstrap_line *out, sy_error *err);

/* The value below which a share p (0..1) of the sorted values lies: linear between order statistics, the k-th of n standing
** for (k - 1) / (n - 1).
** Source  R. Hyndman, Y. Fan, Sample Quantiles in Statistical Packages, The American Statistician 50, 1996, definition 7. */
SY_API double sy_bootstrap_quantile(const double *sorted, size_t count, double p);

/* Ascending, in place. */
SY_API void sy_bootstrap_sort(double *values, size_t count);

#endif
