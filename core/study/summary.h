/* summary.h - least, greatest and mean of a column, put together from any parts of it.
**
** Units    those of the column. NaN is unknown: it is counted and is in nothing else.
** Exact    sums are whole numbers of 2^-53 (each value is cut to that once), so neither blocks nor threads nor shards, nor the order in which
**          they are joined, show in any bit. For that a value must be below 2^36 = 6.9e10 and the number of values times the greatest below
**          2^53 = 9e15; else there is no mean.
** Ties     the first variant that has the least or greatest value.
*/
#ifndef SY_STUDY_SUMMARY_H
#define SY_STUDY_SUMMARY_H

#include <stdint.h>

#include "../base/status.h"

typedef struct sy_summary {
  double min, max;         /* INFINITY and -INFINITY while nothing is known */
  uint64_t at_min, at_max; /* numbers of variants */
  uint64_t known, unknown;
  uint64_t coarse, fine; /* the sum is coarse 2^-8, read as a signed number, + fine 2^-53; fine < 2^45 */
} sy_summary;

SY_API sy_summary sy_summary_begin(void);

/* Adds x[0 .. count - 1], of variants first, first + 1, ... */
SY_API void sy_summary_add(sy_summary *summary, const double *x, size_t count, uint64_t first);

/* Adds what another was made of, of other variants. */
SY_API void sy_summary_join(sy_summary *summary, const sy_summary *other);

/* NaN where nothing is known, or where there is none by the rule above. */
SY_API double sy_summary_mean(const sy_summary *summary);

/* ---- for the files of core/study alone ---------------------------------------------------------------------------------------- */

struct sy_reduced; /* kernels/reduced.h */

/* The place in the block of the first value that equals `*value`, which is one of them and becomes that value as it stands there: -0 equals 0. */
typedef size_t sy_summary_find(const void *with, double *value);

/* Adds `count` values, of variants from `first` on, of which the kernel found `reduced`. Only a new extreme is looked for. find NULL: it is
** noted as of the first of these variants and is looked for later (sy_summary_settle). */
void sy_summary_add_reduced(sy_summary *summary, const struct sy_reduced *reduced, size_t count,
                            uint64_t first, sy_summary_find *find, const void *with);

/* Extremes that were noted as of variant `first` are looked for in x, the values of that and the variants after it. */
void sy_summary_settle(sy_summary *summary, const double *x, size_t count, uint64_t first);

#endif
