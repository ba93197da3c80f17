/* summary_parts.h - how a block is added to a summary. Private to core/study. */
#ifndef SY_STUDY_SUMMARY_PARTS_H
#define SY_STUDY_SUMMARY_PARTS_H

#include "kernels/reduce_lanes.h"
#include "summary.h"

/* The place in the block of the first value that equals `*value`, which is one of them and becomes that value as it stands there: -0 equals 0. */
typedef size_t sy_summary_find(const void *with, double *value);

/* Adds `count` values, of variants from `first` on, of which the kernel found `reduced`. Only a new extreme is looked for. find NULL: it is
** noted as of the first of these variants and is looked for later (sy_summary_settle). */
void sy_summary_add_reduced(sy_summary *summary, const sy_reduced *reduced, size_t count, uint64_t first,
                            sy_summary_find *find, const void *with);

/* Extremes that were noted as of variant `first` are looked for in x, the values of that and the variants after it. */
void sy_summary_settle(sy_summary *summary, const double *x, size_t count, uint64_t first);

#endif
