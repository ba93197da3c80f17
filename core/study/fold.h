/* fold.h - what nobody chooses: of each variant the lowest and the highest answer over all combinations of the folded inputs.
**
** Layout   the combinations of a variant follow each other: value f of variant i is x[i folds + f].
** Unknown  a variant with one unknown value (NaN) has neither a lowest nor a highest: they may lie there.
** Ties     the first combination.
*/
#ifndef SY_STUDY_FOLD_H
#define SY_STUDY_FOLD_H

#include <stddef.h>
#include <stdint.h>

#include "../base/api.h"

/* Columns of `count` entries; *_at: numbers of combinations, from 1. NaN where unknown. Any of them may be NULL. */
typedef struct sy_folded {
  double *lowest, *highest, *lowest_at, *highest_at;
} sy_folded;

/* folds >= 1 */
SY_API void sy_fold(const double *x, size_t folds, size_t count, const sy_folded *out);

/* The worst of the verdicts (judge.h) of each variant's combinations. */
SY_API void sy_fold_verdict(const uint8_t *verdict, size_t folds, size_t count, uint8_t *worst);

#endif
