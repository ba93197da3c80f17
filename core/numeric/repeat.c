#include "numeric/repeat.h"

#include <math.h>

double sy_repeat_next(sy_repeat *r, int n, double *x, const double *next) {
  double most = 0.0, along = 0.0, before = 0.0;
  for (int k = 0; k < n; k++) {
    const double step = next[k] - x[k];
    most = fmax(most, fabs(step));
    along += step * r->step[k];
    before += r->step[k] * r->step[k];
    r->step[k] = step;
    x[k] = next[k];
  }
  if (r->plain++ == 0) return most; /* a step after a look ahead says nothing of the part */
  r->part = before > 0.0 ? along / before : 0.0;
  if (r->part > 0.0 && r->part < 1.0) {
    for (int k = 0; k < n; k++) x[k] += r->step[k] * r->part / (1.0 - r->part);
    r->plain = 0;
  }
  return most;
}

bool sy_repeat_runs_away(const sy_repeat *r) { return r->part > 0.99; }
