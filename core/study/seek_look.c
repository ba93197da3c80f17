/* seek_look.c - answers at a place, their derivatives, and how they stand to what is asked. */
#include <math.h>
#include <string.h>

#include "study/seek_parts.h"

double sy_seek_unscaled(const sy_seek_work *w, size_t input, double u) {
  const sy_seek_input *i = &w->p->input[input];
  if (u <= 0.0) return i->low;
  if (u >= 1.0) return i->high;
  return i->low + u * (i->high - i->low);
}

bool sy_seek_ask_scaled(sy_seek_work *w, const double *u, size_t count, double *answer) {
  for (size_t from = 0, some; from < count && !w->stopped; from += some) {
    some = count - from < SY_SEEK_BATCH ? count - from : SY_SEEK_BATCH;
    for (size_t k = 0; k < some; k++)
      for (size_t i = 0; i < w->n; i++) w->x[k * w->n + i] = sy_seek_unscaled(w, i, u[(from + k) * w->n + i]);
    w->stopped = !w->p->ask(w->p->user, some, w->x, answer + from * w->answers);
  }
  return !w->stopped;
}

/* ---- derivatives ------------------------------------------------------------------------------------------------------------------ */

/* Two more places for an input: one to either side, or both to the side where there is room. */
static void beside(double u, double step, double out[2]) {
  out[0] = u < step ? u + step : u - step;
  out[1] = u > 1.0 - step ? u - 2.0 * step : u < step ? u + 2.0 * step : u + step;
}

static double derivative(double u, double step, double here, double a, double b) {
  if (u < step) return (-3.0 * here + 4.0 * a - b) / (2.0 * step);
  if (u > 1.0 - step) return (3.0 * here - 4.0 * a + b) / (2.0 * step);
  return (b - a) / (2.0 * step);
}

static bool all_known(const sy_seek_work *w) {
  for (size_t k = 0; k < w->answers; k++) {
    if (isnan(w->middle[k / w->p->folds])) continue; /* never has one: it counts for nothing */
    if (!isfinite(w->value[k])) return false;
    for (size_t i = 0; i < w->n; i++)
      if (!isfinite(w->derivative[k * w->n + i])) return false;
  }
  return true;
}

bool sy_seek_look(sy_seek_work *w, const double *u) {
  if (w->has && memcmp(w->place, u, w->n * sizeof *u) == 0) return true;
  double at[(2 * SY_SEEK_INPUTS + 1) * SY_SEEK_INPUTS];
  const size_t n = w->n;
  memcpy(at, u, n * sizeof *u);
  for (size_t i = 0; i < n; i++) {
    double two[2];
    beside(u[i], w->step, two);
    for (size_t k = 0; k < 2; k++) {
      double *place = at + (1 + 2 * i + k) * n;
      memcpy(place, u, n * sizeof *u);
      place[i] = two[k];
    }
  }
  if (!sy_seek_ask_scaled(w, at, 2 * n + 1, w->asked)) return false;
  memcpy(w->value, w->asked, w->answers * sizeof *w->value);
  for (size_t k = 0; k < w->answers; k++)
    for (size_t i = 0; i < n; i++)
      w->derivative[k * n + i] =
          derivative(u[i], w->step, w->value[k], w->asked[(1 + 2 * i) * w->answers + k],
                     w->asked[(2 + 2 * i) * w->answers + k]);
  memcpy(w->place, u, n * sizeof *u);
  w->has = true;
  w->known = all_known(w);
  return true;
}

/* ---- how answers stand ---------------------------------------------------------------------------------------------------------- */

double sy_seek_miss(const sy_seek_work *w, const double *answer, size_t k) {
  const sy_seek_target *t = &w->p->target[k];
  const double *q = answer + t->quantity * w->p->folds;
  double miss = 0.0;
  for (size_t f = 0; f < w->p->folds; f++) {
    const double off = fabs(q[f] - t->value);
    if (!(off <= miss)) miss = off; /* NaN stays */
    if (isnan(off)) return off;
  }
  return miss;
}

double sy_seek_broken(const sy_seek_work *w, const double *answer, size_t j) {
  const sy_seek_limit *l = &w->p->limit[j];
  const double *q = answer + l->quantity * w->p->folds;
  double broken = 0.0;
  for (size_t f = 0; f < w->p->folds; f++) {
    if (isnan(q[f])) return (double)INFINITY;
    broken = fmax(broken, fmax(q[f] - l->max, l->min - q[f]));
  }
  return broken;
}

bool sy_seek_is_over(const sy_seek_work *w, const double *answer, size_t j) {
  return sy_seek_broken(w, answer, j) > 1e-9 * w->span[w->p->limit[j].quantity];
}

double sy_seek_aimed(const sy_seek_work *w, const double *answer) {
  if (w->p->aim == 0) return 0.0;
  const double *q = answer + w->p->aimed * w->p->folds, sign = w->p->aim > 0 ? -1.0 : 1.0;
  double worst = -(double)INFINITY;
  for (size_t f = 0; f < w->p->folds; f++) {
    if (isnan(q[f])) return (double)INFINITY;
    worst = fmax(worst, sign * q[f]);
  }
  return worst;
}

double sy_seek_change(const sy_seek_work *w, const double *u) {
  double sum = 0.0;
  for (size_t i = 0; i < w->n; i++) sum += (u[i] - w->now[i]) * (u[i] - w->now[i]);
  return sum;
}

bool sy_seek_moves(const sy_seek_work *w, size_t quantity) { return w->span[quantity] > 0.0; }
