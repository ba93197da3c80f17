#include "vehicle/ratio.h"

#include <math.h>

sy_status sy_ratio_check(const sy_ratio_curve *c, const char *part, sy_error *err) {
  const char *const field = "motion_ratio";
  if (c->count == 0) return SY_OK;
  if (c->count < 2 || c->count > SY_MAX_RATIOS)
    return sy_fail(err, SY_RANGE, part, field, "has %d points, a curve has 2 to %d", c->count,
                   (int)SY_MAX_RATIOS);
  for (int i = 0; i < c->count; i++) {
    if (!isfinite(c->travel[i]) || !isfinite(c->ratio[i]))
      return sy_fail(err, SY_RANGE, part, field, "has a point %d that is not finite", i + 1);
    if (!(c->ratio[i] > 0.0))
      return sy_fail(err, SY_RANGE, part, field, "is %g at %g m of travel, must be above 0", c->ratio[i],
                     c->travel[i]);
    if (i > 0 && !(c->travel[i] > c->travel[i - 1]))
      return sy_fail(err, SY_GEOMETRY, part, field, "has a point at %g m of travel after one at %g m",
                     c->travel[i], c->travel[i - 1]);
  }
  return SY_OK;
}

/* The segment that a travel lies in: from point i to i + 1; -1 before the first point, count - 1 from the last one on. */
static int segment(const sy_ratio_curve *c, double travel) {
  int i = -1;
  while (i + 1 < c->count && travel >= c->travel[i + 1]) i++;
  return i;
}

static double of_piece(const sy_ratio_curve *c, int i) {
  if (i < 0 || i >= c->count - 1) return 0.0;
  return (c->ratio[i + 1] - c->ratio[i]) / (c->travel[i + 1] - c->travel[i]);
}

double sy_ratio_at(const sy_ratio_curve *c, double travel) {
  const int i = segment(c, travel);
  if (i < 0) return c->ratio[0];
  return c->ratio[i] + of_piece(c, i) * (travel - c->travel[i]);
}

double sy_ratio_steepness(const sy_ratio_curve *c, double travel, int side) {
  for (int i = 0; i < c->count; i++) {
    const double below = of_piece(c, i - 1), above = of_piece(c, i);
    if (side == 0 && fabs(travel - c->travel[i]) <= SY_TRAVEL_NOTHING) return 0.5 * (below + above);
    if (side < 0 && travel == c->travel[i]) return below;
  }
  return of_piece(c, segment(c, travel));
}

/* From the first point. */
static double integral(const sy_ratio_curve *c, double travel) {
  const int last = segment(c, travel);
  if (last < 0) return c->ratio[0] * (travel - c->travel[0]);
  double sum = 0.0;
  for (int i = 0; i < last; i++)
    sum += 0.5 * (c->ratio[i] + c->ratio[i + 1]) * (c->travel[i + 1] - c->travel[i]);
  const double rest = travel - c->travel[last];
  return sum + rest * (c->ratio[last] + 0.5 * of_piece(c, last) * rest);
}

double sy_ratio_spring_travel(const sy_ratio_curve *c, double travel) {
  return integral(c, travel) - integral(c, 0.0);
}
