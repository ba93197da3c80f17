/* seek_task.c - what a solver is given: one task for each mode, all of a size near 1. */
#include <math.h>
#include <string.h>

#include "study/seek_parts.h"

/* How much the least change counts beside the answer that is aimed at, or beside misses, where several places are as good: far below what is
** printed, and enough that the end is one place. */
static const double OTHERWISE = 1e-6;

/* One constraint: sign x (quantity - bound) / span / unit - slack <= 0. Slack is the number of a variable, or none. */
typedef struct emitter {
  const sy_seek_work *w;
  const double *x;
  size_t variables, count;
  double *g, *dg;
} emitter;

enum { NO_SLACK = -1 };

static void emit(emitter *e, size_t quantity, double sign, double bound, ptrdiff_t slack) {
  const sy_seek_work *w = e->w;
  const double by = sign / w->span[quantity] / w->unit;
  for (size_t f = 0; f < w->p->folds; f++, e->count++) {
    const size_t answer = quantity * w->p->folds + f;
    if (e->g != NULL) {
      e->g[e->count] = w->known ? by * (w->value[answer] - bound) : 1.0;
      if (slack != NO_SLACK) e->g[e->count] -= e->x[slack];
    }
    if (e->dg == NULL) continue;
    double *row = e->dg + e->count * e->variables;
    memset(row, 0, e->variables * sizeof *row);
    for (size_t i = 0; i < w->n && w->known; i++) row[i] = by * w->derivative[answer * w->n + i];
    if (slack != NO_SLACK) row[slack] = -1.0;
  }
}

/* Slacks stand behind the inputs: of limits when elastic, then, of several folds, of targets unless they are reached, then the worst fold of what
** is aimed at. A single fold's misses need none: their squares are as smooth as the answers, and a solver that has to move slack and inputs
** together stalled half way from many starts, from which of them by the last digits. */
typedef struct slacks {
  ptrdiff_t limit, target, aim; /* the first of each, or none */
  size_t variables;
} slacks;

static slacks slacks_of(const sy_seek_work *w) {
  slacks s = {NO_SLACK, NO_SLACK, NO_SLACK, w->n};
  if (w->mode == SEEK_ELASTIC) s.limit = (ptrdiff_t)s.variables, s.variables += w->p->limits;
  if (w->mode != SEEK_REACH && w->p->folds > 1)
    s.target = (ptrdiff_t)s.variables, s.variables += w->p->targets;
  if (w->mode == SEEK_REACH && w->p->aim != 0 && w->p->folds > 1) s.aim = (ptrdiff_t)s.variables++;
  return s;
}

static ptrdiff_t after(ptrdiff_t first, size_t k) {
  return first == NO_SLACK ? NO_SLACK : first + (ptrdiff_t)k;
}

/* All constraints of the mode; what nothing moves is none. */
static void emit_all(emitter *e, const slacks *s) {
  const sy_seek_work *w = e->w;
  const sy_seek_problem *p = w->p;
  for (size_t j = 0; j < p->limits; j++) {
    const sy_seek_limit *l = &p->limit[j];
    if (!sy_seek_moves(w, l->quantity)) continue;
    if (isfinite(l->max)) emit(e, l->quantity, 1.0, l->max, after(s->limit, j));
    if (isfinite(l->min)) emit(e, l->quantity, -1.0, l->min, after(s->limit, j));
  }
  for (size_t k = 0; k < p->targets; k++) {
    const sy_seek_target *t = &p->target[k];
    const double band = w->mode == SEEK_REACH ? w->band[k] : 0.0;
    if (!sy_seek_moves(w, t->quantity) || (w->mode != SEEK_REACH && s->target == NO_SLACK)) continue;
    emit(e, t->quantity, 1.0, t->value + band, after(s->target, k));
    emit(e, t->quantity, -1.0, t->value - band, after(s->target, k));
  }
  if (s->aim != NO_SLACK) {
    const double sign = p->aim > 0 ? -1.0 : 1.0;
    emit(e, p->aimed, sign, w->middle[p->aimed], s->aim);
  }
}

/* How much a miss counts: the square of span / within, the largest being 1. */
static double weight_of(const sy_seek_work *w, size_t k) {
  double most = 0.0, own = 0.0;
  for (size_t i = 0; i < w->p->targets; i++) {
    const double by =
        w->span[w->p->target[i].quantity] / fmax(w->within[i], w->p->size[w->p->target[i].quantity]);
    most = fmax(most, by);
    if (i == k) own = by;
  }
  return most > 0.0 ? (own / most) * (own / most) : 0.0;
}

/* Squares of the misses of the one fold there is; adds to df. */
static double squares_of_misses(const sy_seek_work *w, double times, double *df) {
  const sy_seek_problem *p = w->p;
  double sum = 0.0;
  for (size_t k = 0; k < p->targets && w->known; k++) {
    const size_t q = p->target[k].quantity;
    if (!sy_seek_moves(w, q)) continue;
    const double scale = w->span[q] * w->unit, at = (w->value[q] - p->target[k].value) / scale,
                 by = times * weight_of(w, k);
    sum += by * at * at;
    for (size_t i = 0; i < w->n && df != NULL; i++)
      df[i] += 2.0 * by * at * w->derivative[q * w->n + i] / scale;
  }
  return sum;
}

static double objective(const sy_seek_work *w, const slacks *s, const double *x, double *df) {
  const sy_seek_problem *p = w->p;
  const bool least_change = w->mode == SEEK_REACH && p->aim == 0;
  const double change = least_change ? 1.0 : OTHERWISE;
  double f = change * sy_seek_change(w, x);
  if (df != NULL) {
    memset(df, 0, s->variables * sizeof *df);
    for (size_t i = 0; i < w->n; i++) df[i] = 2.0 * change * (x[i] - w->now[i]);
  }
  const double misses = w->mode == SEEK_ELASTIC ? 1e-3 : 1.0; /* limits come first */
  if (w->mode != SEEK_REACH && s->target == NO_SLACK) f += squares_of_misses(w, misses, df);
  for (size_t k = 0; s->target != NO_SLACK && k < p->targets; k++) {
    const double at = x[s->target + (ptrdiff_t)k], by = misses * weight_of(w, k);
    f += by * at * at;
    if (df != NULL) df[s->target + (ptrdiff_t)k] = 2.0 * by * at;
  }
  for (size_t j = 0; s->limit != NO_SLACK && j < p->limits; j++) {
    const double at = x[s->limit + (ptrdiff_t)j];
    f += at * at;
    if (df != NULL) df[s->limit + (ptrdiff_t)j] = 2.0 * at;
  }
  if (w->mode != SEEK_REACH || p->aim == 0) return f;
  if (s->aim != NO_SLACK) {
    if (df != NULL) df[s->aim] = 1.0;
    return f + x[s->aim];
  }
  const double by = (p->aim > 0 ? -1.0 : 1.0) / w->span[p->aimed];
  for (size_t i = 0; i < w->n && df != NULL && w->known; i++)
    df[i] += by * w->derivative[p->aimed * w->n + i];
  return f + (w->known ? by * (w->value[p->aimed] - w->middle[p->aimed]) : 0.0);
}

static bool task_at(const sy_seek_task *task, const double *x, double *f, double *df, double *g, double *dg) {
  sy_seek_work *w = task->user;
  const slacks s = slacks_of(w);
  if (!sy_seek_look(w, x)) return false;
  emitter e = {.w = w, .x = x, .variables = s.variables, .g = g, .dg = dg};
  emit_all(&e, &s);
  const double value = objective(w, &s, x, df);
  /* a place without an answer is worse than any with one, and leads nowhere */
  if (f != NULL) *f = w->known ? value : 1e6;
  if (df != NULL && !w->known) memset(df, 0, s.variables * sizeof *df);
  return true;
}

void sy_seek_pose(sy_seek_work *w, sy_seek_task *task) {
  const slacks s = slacks_of(w);
  emitter e = {.w = w};
  emit_all(&e, &s);
  for (size_t i = 0; i < s.variables; i++) {
    w->lower[i] = 0.0;
    w->upper[i] = i < w->n ? 1.0 : 1e6;
  }
  if (s.aim != NO_SLACK) w->lower[s.aim] = -1e6;
  *task = (sy_seek_task){s.variables, e.count, w->lower, w->upper, task_at, w};
}

bool sy_seek_slacken(sy_seek_work *w, double *x) {
  const slacks s = slacks_of(w);
  const sy_seek_problem *p = w->p;
  if (!sy_seek_look(w, x)) return false;
  for (size_t j = 0; s.limit != NO_SLACK && j < p->limits; j++) {
    const size_t q = p->limit[j].quantity;
    x[s.limit + (ptrdiff_t)j] =
        w->known && sy_seek_moves(w, q) ? sy_seek_broken(w, w->value, j) / w->span[q] / w->unit : 0.0;
  }
  for (size_t k = 0; s.target != NO_SLACK && k < p->targets; k++) {
    const size_t q = p->target[k].quantity;
    x[s.target + (ptrdiff_t)k] =
        w->known && sy_seek_moves(w, q) ? sy_seek_miss(w, w->value, k) / w->span[q] / w->unit : 0.0;
  }
  if (s.aim != NO_SLACK) {
    const double sign = p->aim > 0 ? -1.0 : 1.0;
    x[s.aim] = w->known ? (sy_seek_aimed(w, w->value) - sign * w->middle[p->aimed]) / w->span[p->aimed] : 0.0;
  }
  return true;
}
