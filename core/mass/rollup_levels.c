#include "mass/rollup.h"

#include <string.h>

#include "base/lanes.h"
#include "mass/kernels/rollup_lanes.h"

enum { SUMS = SY_ROLLUP_SUMS };

static sy_status check_shape(const sy_rollup_level *levels, size_t level_count, sy_error *err) {
  if (level_count == 0 || levels[level_count - 1].count == 0)
    return sy_fail(err, SY_MISSING, "tree", NULL, "there is nothing to roll up");
  for (size_t k = 0; k < level_count; k++) {
    if (levels[k].count > UINT32_MAX)
      return sy_fail(err, SY_RANGE, "tree", "count", "is %zu, at most %zu", levels[k].count,
                     (size_t)UINT32_MAX);
    if (k == 0) continue;
    const uint32_t *end = levels[k].child_end;
    for (size_t i = 1; i < levels[k].count; i++)
      if (end[i] < end[i - 1])
        return sy_fail(err, SY_CLASH, "tree", "child_end", "falls at node %zu of level %zu", i + 1, k + 1);
    const size_t last = levels[k].count > 0 ? end[levels[k].count - 1] : 0;
    if (last != levels[k - 1].count)
      return sy_fail(err, SY_CLASH, "tree", "child_end",
                     "of level %zu ends at %zu, but the level below has %zu nodes", k + 1, last,
                     levels[k - 1].count);
  }
  return SY_OK;
}

static sy_rollup_lanes *kernel(void) {
#ifdef __x86_64__
  if (sy_lanes_level(4)) return sy_rollup_lanes_v4;
  if (sy_lanes_level(3)) return sy_rollup_lanes_v3;
#endif
  return sy_rollup_lanes_v1;
}

size_t sy_rollup_work(const sy_rollup_level *levels, size_t level_count) {
  size_t room = sy_rollup_room(SUMS, 1); /* of the root */
  for (size_t k = 1; k < level_count; k++) room += sy_rollup_room(SUMS, levels[k].count);
  return room;
}

/* The sums of the root, which has the whole top level as its children. */
static sy_massprops body_of(const double *sums) {
  double s[SUMS];
  for (size_t k = 0; k < SUMS; k++) s[k] = sums[sy_rollup_at(SUMS, 0, k)];
  const double m = s[0];
  sy_massprops body = {m, {s[1] / m, s[2] / m, s[3] / m}, {0, 0, 0, 0, 0, 0}};
  const sy_sym3 about_origin = {s[4], s[5], s[6], s[7], s[8], s[9]};
  body.inertia = sy_sym3_sub(about_origin, sy_sym3_scale(m, sy_sym3_steiner(body.cg)));
  return body;
}

sy_status sy_rollup(const sy_rollup_level *levels, size_t level_count, double *work, sy_massprops *out,
                    sy_error *err) {
  const sy_status status = check_shape(levels, level_count, err);
  if (status != SY_OK) return status;
  sy_rollup_lanes *roll_level = kernel();
  const double *sums = NULL;
  double *parents = work;
  const uint32_t all = (uint32_t)levels[level_count - 1].count;
  for (size_t k = 0; k < level_count; k++) {
    const sy_rollup_level *above = k + 1 < level_count ? &levels[k + 1] : NULL;
    const size_t count = above != NULL ? above->count : 1;
    roll_level(&levels[k], sums, above != NULL ? above->child_end : &all, count, parents);
    sums = parents;
    parents += sy_rollup_room(SUMS, count);
  }
  const double *root = parents - sy_rollup_room(SUMS, 1);
  if (root[0] == 0) return sy_fail(err, SY_MISSING, "tree", "mass", "nothing has a mass");
  const sy_massprops body = body_of(root);
  if (!(isfinite(body.mass) && body.mass > 0 && sy_vec3_finite(body.cg) && sy_sym3_finite(body.inertia)))
    return sy_fail(err, SY_RANGE, "tree", NULL,
                   "a mass, place or inertia is negative, too large or not a number");
  *out = body;
  return SY_OK;
}
