#include "shop/cg_ellipse.h"

#include <math.h>

#include "base/finite.h"
#include "base/units.h"

/* How a coordinate of the CG, m . way / m, rests on the sums. */
static sy_sensitivity place_along(const sy_sums *s, sy_vec3 way) {
  sy_sensitivity g = {.flat = true};
  g.m = -sy_vec3_dot(s->first, way) / (s->m * s->m);
  g.first = sy_vec3_scale(1 / s->m, way);
  return g;
}

sy_status sy_cg_ellipse(const sy_sums *sums, const sy_cov4 *cov, sy_view view, double probability,
                        sy_ellipse *out, sy_error *err) {
  static const sy_vec3 first[SY_VIEW_COUNT] = {{1, 0, 0}, {1, 0, 0}, {0, 1, 0}};
  static const sy_vec3 second[SY_VIEW_COUNT] = {{0, 0, 1}, {0, 1, 0}, {0, 0, 1}};
  if ((unsigned)view >= SY_VIEW_COUNT)
    return sy_fail(err, SY_RANGE, "cg", "view", "is %d, which is unknown", (int)view);
  if (!(sums->m > 0)) return sy_fail(err, SY_RANGE, "cg", "mass", "is %g kg, must be > 0", sums->m);
  if (!(probability > 0 && probability < 1))
    return sy_fail(err, SY_RANGE, "cg", "probability", "is %g, must be above 0 and below 1", probability);
  const sy_sensitivity a = place_along(sums, first[view]), b = place_along(sums, second[view]);
  const double aa = sy_cov4_variance(cov, &a), bb = sy_cov4_variance(cov, &b),
               ab = sy_cov4_covariance(cov, &a, &b);
  const double middle = 0.5 * (aa + bb), half = 0.5 * (aa - bb), spread = hypot(half, ab);
  const double k = -2 * log1p(-probability);
  sy_ellipse e = {.centre = sy_view_point(view, sy_vec3_scale(1 / sums->m, sums->first))};
  e.half[0] = sqrt(k * (middle + spread));
  e.half[1] = sqrt(k * fmax(0, middle - spread)); /* rounding may leave a tiny negative */
  e.turn = spread > 0 ? 0.5 * atan2(ab, half) : 0;
  const double found[5] = {e.centre.x, e.centre.y, e.half[0], e.half[1], e.turn};
  const sy_status status = sy_finite_results(found, 5, "cg", "covariance", err);
  if (status == SY_OK) *out = e;
  return status;
}
