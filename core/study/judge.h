/* judge.h - how variants stand to limits: pass, near, unknown or fail.
**
** Units    those of the quantity that is limited.
** Near     inside, but by less than the band: what the limit states; else `coverage` times the value's standard uncertainty; where there is
**          none or it is 0, a share of the bound that is nearer.
** Worst    of several limits the worst verdict counts: fail outranks unknown, that near, that pass. Unknown (NaN) is never feasible.
*/
#ifndef SY_STUDY_JUDGE_H
#define SY_STUDY_JUDGE_H

#include <stdbool.h>
#include <stdint.h>

#include "../base/status.h"

typedef enum sy_verdict { SY_PASS = 1, SY_NEAR, SY_UNDECIDED, SY_FAIL } sy_verdict;

typedef struct sy_limit {
  double min, max; /* inclusive; -INFINITY, INFINITY: no such limit */
  double near;     /* the band, >= 0; NAN: not stated */
  double share;    /* of the bound's magnitude, >= 0 */
} sy_limit;

/* `name` is what errors are about.
** Errors  SY_RANGE  a number is NaN (near may be) or negative where it must not be
**         SY_CLASH  min is above max: nothing can be both */
SY_API sy_status sy_limit_check(const sy_limit *limit, const char *name, sy_error *err);

/* Verdicts of `count` variants on `limits` checked limits: value k of variant i is x[k][i], its standard uncertainty sd[k][i]; sd, or an sd[k],
** may be NULL. Without limits all pass.
** verdict  a sy_verdict each */
SY_API void sy_judge(const sy_limit *limit, size_t limits, const double *const *x, const double *const *sd,
                     double coverage, size_t count, uint8_t *verdict);

/* How many are of each verdict: of_each[SY_PASS - 1] and so on, added to what stands there. */
SY_API void sy_verdict_count(const uint8_t *verdict, size_t count, uint64_t of_each[4]);

#endif
