#include "shop/tapes.h"

#include <float.h>
#include <math.h>

#include "base/finite.h"
#include "base/units.h"

void sy_tapes_lengths(const sy_tapes *tapes, sy_plan at, double *a, double *b) {
  *a = hypot(at.x - tapes->a.x, at.y - tapes->a.y);
  *b = hypot(at.x - tapes->b.x, at.y - tapes->b.y);
}

/* In whole tenths of a millimetre, for messages. */
static double shown(double metres) { return round(metres / SY_MILLIMETRE * 10) / 10; }

sy_status sy_tapes_place(const sy_tapes *tapes, double a, double b, sy_plan near, sy_plan *out,
                         sy_error *err) {
  if (!(a >= 0 && isfinite(a))) return sy_fail(err, SY_RANGE, NULL, "a", "must be a length of 0 or more");
  if (!(b >= 0 && isfinite(b))) return sy_fail(err, SY_RANGE, NULL, "b", "must be a length of 0 or more");
  const double dx = tapes->b.x - tapes->a.x, dy = tapes->b.y - tapes->a.y, base = hypot(dx, dy);
  if (!(base > 0 && isfinite(base))) return sy_fail(err, SY_GEOMETRY, NULL, "tapes", "start at one point");
  const double along = ((a - b) * (a + b) + base * base) / (2 * base), square = (a - along) * (a + along);
  if (!(square >= -8 * DBL_EPSILON * a * a)) /* a place on the line itself leaves a rounding */
    return sy_fail(err, SY_GEOMETRY, NULL, "tapes",
                   "of %g and %g mm do not meet: the points they start at are %g mm apart", shown(a),
                   shown(b), shown(base));
  const double ux = dx / base, uy = dy / base;
  const double side = (near.y - tapes->a.y) * ux - (near.x - tapes->a.x) * uy;
  const double off = copysign(sqrt(fmax(square, 0)), side);
  const sy_plan at = {tapes->a.x + along * ux - off * uy, tapes->a.y + along * uy + off * ux};
  const double place[2] = {at.x, at.y};
  const sy_status status = sy_finite_results(place, 2, "place", "tapes", err);
  if (status == SY_OK) *out = at;
  return status;
}

sy_tapes_uncertainty sy_tapes_uncertainty_at(const sy_tapes *tapes, sy_plan at, double sd_a, double sd_b) {
  double a, b;
  sy_tapes_lengths(tapes, at, &a, &b);
  const double ex = (at.x - tapes->a.x) / a, ey = (at.y - tapes->a.y) / a;
  const double fx = (at.x - tapes->b.x) / b, fy = (at.y - tapes->b.y) / b;
  const double sine = ex * fy - ey * fx, cosine = ex * fx + ey * fy;
  /* at a tape point itself a direction is 0/0: then the other tape alone says nothing across it */
  if (!(fabs(sine) > 8 * DBL_EPSILON)) return (sy_tapes_uncertainty){0, (double)INFINITY, (double)INFINITY};
  /* the inverse of the rows e and f */
  return (sy_tapes_uncertainty){atan2(fabs(sine), fabs(cosine)), hypot(fy * sd_a, ey * sd_b) / fabs(sine),
                                hypot(fx * sd_a, ex * sd_b) / fabs(sine)};
}
