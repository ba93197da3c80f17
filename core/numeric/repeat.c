#include "numeric/repeat.h"

#include <math.h>
#include <string.h>

static void return_to(sy_repeat *r, const double *place, int n, double *x) {
  memcpy(x, place, (size_t)n * sizeof *x);
  r->ahead = r->led = false;
  r->plain = 0;
  r->timid++;
}

bool sy_repeat_back(sy_repeat *r, int n, double *x) {
  if (r->led) {
    r->looks--;
    return_to(r, r->kept, n, x);
    return true;
  }
  if (r->looks == 0 || r->anew) return false;
  r->looks = 0;
  r->anew = true;
  return_to(r, r->start, n, x);
  return true;
}

double sy_repeat_next(sy_repeat *r, int n, double *x, const double *next) {
  double most = 0.0, along = 0.0, before = 0.0;
  for (int k = 0; k < n; k++) most = fmax(most, fabs(next[k] - x[k]));
  if (r->ahead && most > r->before && sy_repeat_back(r, n, x)) return most;
  if (r->ahead && most > 0.5 * r->before) r->timid++;
  r->ahead = false;
  for (int k = 0; k < n; k++) {
    const double step = next[k] - x[k];
    along += step * r->step[k];
    before += r->step[k] * r->step[k];
    r->step[k] = step;
    x[k] = next[k];
  }
  if (r->plain++ == 0) return most; /* a step after a look ahead says nothing of the part */
  r->part = before > 0.0 ? along / before : 0.0;
  if (r->plain < 2 + r->timid || !(r->part > 0.0 && r->part < 1.0)) return most;
  memcpy(r->kept, x, (size_t)n * sizeof *x);
  if (r->looks++ == 0) memcpy(r->start, x, (size_t)n * sizeof *x);
  for (int k = 0; k < n; k++) x[k] += r->step[k] * r->part / (1.0 - r->part);
  r->before = most;
  r->plain = 0;
  r->ahead = r->led = true;
  return most;
}

bool sy_repeat_runs_away(const sy_repeat *r) { return r->part > 0.99; }
