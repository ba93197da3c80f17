#include "study/judge.h"

#include <math.h>
#include <string.h>

#include "base/lanes.h"
#include "study/kernels/reduce_lanes.h"

sy_status sy_limit_check(const sy_limit *limit, const char *name, sy_error *err) {
  if (isnan(limit->min)) return sy_fail(err, SY_RANGE, name, "min", "is not a number");
  if (isnan(limit->max)) return sy_fail(err, SY_RANGE, name, "max", "is not a number");
  if (limit->near < 0) return sy_fail(err, SY_RANGE, name, "near", "is %g, must be 0 or more", limit->near);
  if (!(limit->share >= 0 && limit->share < (double)INFINITY))
    return sy_fail(err, SY_RANGE, name, "share", "is %g, must be 0 or more", limit->share);
  if (limit->min > limit->max)
    return sy_fail(err, SY_CLASH, name, "min", "is %g, above max %g: nothing can be both", limit->min,
                   limit->max);
  return SY_OK;
}

static sy_judge_lanes *kernel(void) {
#ifdef __x86_64__
  if (sy_lanes_level(4)) return sy_judge_lanes_v4;
  if (sy_lanes_level(3)) return sy_judge_lanes_v3;
#endif
  return sy_judge_lanes_v1;
}

/* Of all flags that limits set, the worst counts. */
static uint8_t worst_of(int64_t flags) {
  static const uint8_t worst[8] = {SY_PASS, SY_NEAR, SY_UNDECIDED, SY_UNDECIDED,
                                   SY_FAIL, SY_FAIL, SY_FAIL,      SY_FAIL};
  return worst[flags];
}

void sy_judge(const sy_limit *limit, size_t limits, const double *const *x, const double *const *sd,
              double coverage, size_t count, uint8_t *verdict) {
  sy_judge_lanes *const judge = kernel();
  int64_t flags[SY_REDUCE_MOST];
  for (size_t i = 0; i < count; i += SY_REDUCE_MOST) {
    const size_t n = count - i < SY_REDUCE_MOST ? count - i : SY_REDUCE_MOST;
    memset(flags, 0, sizeof flags);
    for (size_t k = 0; k < limits; k++) {
      const sy_judge_limit l = {limit[k].min, limit[k].max, limit[k].near, limit[k].share, coverage};
      judge(&l, x[k] + i, sd != NULL && sd[k] != NULL ? sd[k] + i : NULL, n, flags);
    }
    for (size_t j = 0; j < n; j++) verdict[i + j] = worst_of(flags[j]);
  }
}

void sy_verdict_count(const uint8_t *verdict, size_t count, uint64_t of_each[4]) {
  uint64_t found[4] = {0};
  for (size_t i = 0; i < count; i++)
    for (unsigned k = 0; k < 4; k++) found[k] += verdict[i] == k + 1;
  for (int k = 0; k < 4; k++) of_each[k] += found[k];
}
