/* reduce_lanes.h - the kernels behind summary.h and judge.h, compiled once for each level of instructions. Private to core/study. */
#ifndef SY_STUDY_KERNELS_REDUCE_LANES_H
#define SY_STUDY_KERNELS_REDUCE_LANES_H

#include <stddef.h>
#include <stdint.h>

#include "reduced.h"

enum { SY_REDUCE_MOST = 256 }; /* values at a time: they stay in the first cache */

typedef void sy_summary_lanes(const double *x, size_t count, sy_reduced *out);

/* Flags of how values stand to a limit, added to those that were there. */
enum { SY_FLAG_NEAR = 1, SY_FLAG_UNKNOWN = 2, SY_FLAG_FAIL = 4 };

/* A limit of judge.h. */
typedef struct sy_judge_limit {
  double min, max, near, share, coverage;
} sy_judge_limit;

/* sd may be NULL: none is known. */
typedef void sy_judge_lanes(const sy_judge_limit *limit, const double *x, const double *sd, size_t count,
                            int64_t *flags);

/* The folding of fold.h of whole vectors of variants: of how many, the rest of `count` is left. Columns of `out` as there; none may be NULL. */
typedef size_t sy_fold_lanes(const double *x, size_t folds, size_t count, double *const out[4]);

sy_fold_lanes sy_fold_lanes_v1, sy_fold_lanes_v3, sy_fold_lanes_v4;
sy_summary_lanes sy_summary_lanes_v1, sy_summary_lanes_v3, sy_summary_lanes_v4;
sy_judge_lanes sy_judge_lanes_v1, sy_judge_lanes_v3, sy_judge_lanes_v4;

#endif
