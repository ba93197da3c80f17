#include "numeric/root.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

/* best: the end nearer to zero; other: the end across the root; before: the best of the step before. */
typedef struct bracket {
  double best, f_best, other, f_other, before, f_before;
  double step, last_step;
} bracket;

static void forget(bracket *b) { /* the far end becomes the third point, so that the next step is a chord */
  b->other = b->before;
  b->f_other = b->f_before;
  b->step = b->last_step = b->best - b->before;
}

static void order(bracket *b) {
  if (!(fabs(b->f_other) < fabs(b->f_best))) return;
  b->before = b->best;
  b->f_before = b->f_best;
  b->best = b->other;
  b->f_best = b->f_other;
  b->other = b->before;
  b->f_other = b->f_before;
}

/* A chord or an inverse parabola through the last points, if it stays well inside and shrinks the steps; else the middle. */
static void choose_step(bracket *b, double middle, double tol) {
  bool interpolated = false;
  if (fabs(b->last_step) >= tol && fabs(b->f_before) > fabs(b->f_best)) {
    const double s = b->f_best / b->f_before;
    double p, q;
    if (b->before == b->other) {
      p = 2 * middle * s;
      q = 1 - s;
    } else {
      const double r = b->f_best / b->f_other, t = b->f_before / b->f_other;
      p = s * (2 * middle * t * (t - r) - (b->best - b->before) * (r - 1));
      q = (t - 1) * (r - 1) * (s - 1);
    }
    if (p > 0) q = -q;
    p = fabs(p);
    if (2 * p < fmin(3 * middle * q - fabs(tol * q), fabs(b->last_step * q))) {
      b->last_step = b->step;
      b->step = p / q;
      interpolated = true;
    }
  }
  if (!interpolated) b->step = b->last_step = middle;
}

sy_status sy_root_between(sy_root_function *f, void *user, double low, double high, double tol, double *root,
                          sy_error *err) {
  if (!(isfinite(low) && isfinite(high) && low <= high))
    return sy_fail(err, SY_RANGE, "root", "ends", "are %g and %g", low, high);
  bracket b = {.best = high, .f_best = f(user, high), .before = low, .f_before = f(user, low)};
  const bool across = (b.f_best >= 0 && b.f_before <= 0) || (b.f_best <= 0 && b.f_before >= 0);
  if (!across) /* also when one is NaN */
    return sy_fail(err, SY_GEOMETRY, "root", "ends", "have the same sign: there may be no root between them");
  forget(&b);
  for (;;) { /* ends: every third step at least halves the bracket */
    if ((b.f_best > 0) == (b.f_other > 0)) forget(&b);
    order(&b);
    const double nearest = 2 * DBL_EPSILON * fabs(b.best) + tol / 2, middle = (b.other - b.best) / 2;
    if (isnan(b.f_best))
      return sy_fail(err, SY_GEOMETRY, "root", "function", "is not a number at %g", b.best);
    if (fabs(middle) <= nearest || b.f_best == 0) break;
    choose_step(&b, middle, nearest);
    b.before = b.best;
    b.f_before = b.f_best;
    b.best += fabs(b.step) > nearest ? b.step : copysign(nearest, middle);
    b.f_best = f(user, b.best);
  }
  *root = b.best;
  return SY_OK;
}
