/* seek_bind.c - what binds at the place that was found, and what more room would give: multipliers of the first-order conditions. */
#include <math.h>
#include <string.h>

#include "numeric/linsolve.h"
#include "study/seek_parts.h"

enum { MOST_ROWS = SY_SEEK_INPUTS + 1, MOST_COLUMNS = 128 };

/* Gradients of what is at its end, scaled, by column; a last row for the worst of the folds. */
typedef struct system {
  size_t rows, columns;
  double a[MOST_COLUMNS][MOST_ROWS], want[MOST_ROWS], by[MOST_COLUMNS];
  sy_seek_binding what[MOST_COLUMNS]; /* kind and number; number == NOBODY: a fold of what is made less */
  double unit[MOST_COLUMNS];          /* one unit of it, scaled */
} system_of;

static const size_t NOBODY = (size_t)-1;
static const double STEPS_OFF = 2.0;
static const double COUNTS = 1e-6; /* of a multiplier, scaled: below it is rounding */

/* ---- non-negative least squares -------------------------------------------------------------------------------------------------------- */

/* The answers for the columns in the set alone; false where they depend on one another. */
static bool solve_set(const system_of *s, const bool *in, double *out) {
  double a[MOST_ROWS * MOST_ROWS], diagonal[MOST_ROWS], scale[MOST_ROWS], b[MOST_ROWS], x[MOST_ROWS];
  size_t order[MOST_ROWS], column[MOST_ROWS], cols = 0;
  for (size_t c = 0; c < s->columns; c++) {
    if (!in[c]) continue;
    if (cols == s->rows) return false;
    column[cols++] = c;
  }
  if (cols == 0) return true;
  for (size_t r = 0; r < s->rows; r++)
    for (size_t c = 0; c < cols; c++) a[r * cols + c] = s->a[column[c]][r];
  sy_qr qr = {s->rows, cols, a, diagonal, scale, order};
  if (sy_qr_factor(&qr, NULL) != SY_OK) return false;
  memcpy(b, s->want, s->rows * sizeof *b);
  sy_qr_least_squares(&qr, b, x);
  for (size_t c = 0; c < cols; c++) out[column[c]] = x[c];
  return true;
}

/* Which column would lessen the residual most; NOBODY: none does. */
static size_t next_column(const system_of *s, const bool *in, const bool *barred) {
  double rest[MOST_ROWS], most = 1e-9;
  size_t best = NOBODY;
  memcpy(rest, s->want, s->rows * sizeof *rest);
  for (size_t c = 0; c < s->columns; c++)
    for (size_t r = 0; r < s->rows; r++) rest[r] -= s->by[c] * s->a[c][r];
  for (size_t c = 0; c < s->columns; c++) {
    double along = 0.0, length = 0.0;
    for (size_t r = 0; r < s->rows; r++) along += rest[r] * s->a[c][r], length += s->a[c][r] * s->a[c][r];
    if (in[c] || barred[c] || !(length > 0.0) || along / sqrt(length) <= most) continue;
    most = along / sqrt(length);
    best = c;
  }
  return best;
}

/* by >= 0 that makes |a by - want| least: Lawson & Hanson. */
static void solve_positive(system_of *s) {
  bool in[MOST_COLUMNS] = {false}, barred[MOST_COLUMNS] = {false};
  double z[MOST_COLUMNS];
  memset(s->by, 0, sizeof s->by);
  for (size_t round = 0; round < 4 * MOST_COLUMNS; round++) {
    const size_t more = next_column(s, in, barred);
    if (more == NOBODY) return;
    in[more] = true;
    for (;;) {
      memset(z, 0, sizeof z);
      if (!solve_set(s, in, z)) { /* it says nothing that those in the set do not */
        in[more] = false, barred[more] = true;
        break;
      }
      double share = 1.0;
      for (size_t c = 0; c < s->columns; c++)
        if (in[c] && z[c] <= 0.0) share = fmin(share, s->by[c] / (s->by[c] - z[c]));
      if (!(share >= 0.0)) share = 0.0;
      bool left = false;
      for (size_t c = 0; c < s->columns; c++) {
        if (!in[c]) continue;
        s->by[c] += share * (z[c] - s->by[c]);
        if (z[c] <= 0.0 && s->by[c] <= 1e-14) in[c] = false, s->by[c] = 0.0, left = true;
      }
      if (!left) break;
    }
  }
}

/* ---- what is at its end ----------------------------------------------------------------------------------------------------------------- */

/* How much one step of each input moves the answer together: rounding may leave it that far from its end. */
static double reach_of(const sy_seek_work *w, size_t answer) {
  double sum = 0.0;
  for (size_t i = 0; i < w->n; i++) {
    const sy_seek_input *in = &w->p->input[i];
    const double range = in->high - in->low, step = in->value != NULL
                                                        ? range / (double)(in->count > 1 ? in->count - 1 : 1)
                                                        : 1.0 / in->per;
    sum += fabs(w->derivative[answer * w->n + i]) * fmin(step / range, 1.0);
  }
  return sum;
}

static double *add_column(system_of *s, sy_seek_kind kind, size_t number, double value, double unit) {
  if (s->columns == MOST_COLUMNS) return NULL;
  s->what[s->columns] = (sy_seek_binding){kind, number, value, (double)NAN};
  s->unit[s->columns] = unit;
  double *a = s->a[s->columns++];
  memset(a, 0, sizeof s->a[0]);
  return a;
}

/* sign x answer is at its end, in units of the quantity's span. */
static void add_answer(system_of *s, const sy_seek_work *w, size_t quantity, size_t fold, double sign,
                       sy_seek_kind kind, size_t number, double value) {
  double *a = add_column(s, kind, number, value, 1.0 / w->span[quantity]);
  for (size_t i = 0; i < w->n && a != NULL; i++)
    a[i] = sign * w->derivative[(quantity * w->p->folds + fold) * w->n + i] / w->span[quantity];
}

/* Rounding may have left an input some steps inside its bound, to keep a limit; one of few values stands there or does not. */
static bool is_at(const sy_seek_input *in, double x, double end) {
  return in->value != NULL ? x == end : fabs(x - end) * in->per <= STEPS_OFF + 1e-6;
}

static void add_bounds(system_of *s, const sy_seek_work *w, const double *x) {
  for (size_t i = 0; i < w->n; i++) {
    const sy_seek_input *in = &w->p->input[i];
    for (int high = 0; high < 2; high++) {
      const double end = high ? in->high : in->low;
      if (!is_at(in, x[i], end)) continue;
      double *a = add_column(s, SY_SEEK_BOUND, i, end, 1.0 / (in->high - in->low));
      if (a != NULL) a[i] = high ? 1.0 : -1.0;
    }
  }
}

static void add_limits(system_of *s, const sy_seek_work *w) {
  for (size_t j = 0; j < w->p->limits; j++) {
    const sy_seek_limit *l = &w->p->limit[j];
    if (!sy_seek_moves(w, l->quantity) || sy_seek_is_over(w, w->value, j)) continue;
    for (size_t f = 0; f < w->p->folds; f++) {
      const size_t answer = l->quantity * w->p->folds + f;
      const double q = w->value[answer], spare = reach_of(w, answer);
      if (l->max - q <= spare) add_answer(s, w, l->quantity, f, 1.0, SY_SEEK_LIMIT, j, l->max);
      if (q - l->min <= spare) add_answer(s, w, l->quantity, f, -1.0, SY_SEEK_LIMIT, j, l->min);
    }
  }
}

/* A target that is reached is a band, of which one side may bind. */
static void add_targets(system_of *s, const sy_seek_work *w, size_t missed) {
  for (size_t k = 0; k < w->p->targets; k++) {
    const sy_seek_target *t = &w->p->target[k];
    if (k == missed || !sy_seek_moves(w, t->quantity)) continue;
    for (size_t f = 0; f < w->p->folds; f++) {
      const size_t answer = t->quantity * w->p->folds + f;
      const double q = w->value[answer], spare = reach_of(w, answer);
      if (t->value + w->within[k] - q <= spare)
        add_answer(s, w, t->quantity, f, 1.0, SY_SEEK_TARGET, k, t->value);
      if (q - (t->value - w->within[k]) <= spare)
        add_answer(s, w, t->quantity, f, -1.0, SY_SEEK_TARGET, k, t->value);
    }
  }
}

/* What more room would better: a quantity whose worst fold is to go down (sign 1), up (-1) or nearer to a value (0). */
typedef struct wish {
  size_t quantity, target; /* target: which, of one that is missed */
  double sign, from;       /* from: the value, or the limit */
} wish;

static double off_of(const wish *a, double q) { return a->sign != 0.0 ? a->sign * q : fabs(q - a->from); }

/* Folds among which the worst lies: each gets a column that pushes the level they share. */
static void add_folds(system_of *s, const sy_seek_work *w, const wish *a) {
  double worst = -(double)INFINITY;
  const size_t folds = w->p->folds;
  const double *q = w->value + a->quantity * folds;
  for (size_t f = 0; f < folds; f++) worst = fmax(worst, off_of(a, q[f]));
  for (size_t f = 0; f < folds; f++) {
    const double side = a->sign != 0.0 ? a->sign : q[f] >= a->from ? 1.0 : -1.0;
    if (worst - off_of(a, q[f]) > reach_of(w, a->quantity * folds + f)) continue;
    add_answer(s, w, a->quantity, f, side, SY_SEEK_TARGET, NOBODY, 0.0);
    if (s->columns > 0 && s->what[s->columns - 1].number == NOBODY) s->a[s->columns - 1][w->n] = -1.0;
  }
}

/* Targets that are missed, and how many; of limits those that are broken. */
static size_t missed_of(const sy_seek_work *w, wish list[SY_SEEK_TARGETS]) {
  size_t count = 0;
  for (size_t k = 0; k < w->p->targets; k++) {
    const sy_seek_target *t = &w->p->target[k];
    if (sy_seek_moves(w, t->quantity) && !(sy_seek_miss(w, w->value, k) <= w->within[k] * (1.0 + 1e-9)))
      list[count++] = (wish){t->quantity, k, 0.0, t->value};
  }
  return count;
}

static size_t broken_of(const sy_seek_work *w, wish list[SY_SEEK_LIMITS]) {
  size_t count = 0;
  for (size_t j = 0; j < w->p->limits; j++) {
    const sy_seek_limit *l = &w->p->limit[j];
    if (!sy_seek_moves(w, l->quantity) || !sy_seek_is_over(w, w->value, j)) continue;
    double over = 0.0;
    for (size_t f = 0; f < w->p->folds; f++)
      over = fmax(over, w->value[l->quantity * w->p->folds + f] - l->max);
    list[count++] = (wish){l->quantity, NOBODY, over > 0.0 ? 1.0 : -1.0, over > 0.0 ? l->max : l->min};
  }
  return count;
}

/* Where there are several: what lessens the sum of their squares is wanted, of the fold of each that is farthest off. */
static void want_nearer(system_of *s, const sy_seek_work *w, const wish *list, size_t count) {
  double most = 0.0;
  memset(s->want, 0, sizeof s->want);
  for (size_t k = 0; k < count; k++) {
    const wish *a = &list[k];
    const double *q = w->value + a->quantity * w->p->folds,
                 unit = a->target == NOBODY ? w->span[a->quantity]
                                            : fmax(w->within[a->target], w->p->size[a->quantity]);
    size_t far = 0;
    for (size_t f = 1; f < w->p->folds; f++)
      if (off_of(a, q[f]) > off_of(a, q[far])) far = f;
    const double *gradient = w->derivative + (a->quantity * w->p->folds + far) * w->n;
    for (size_t i = 0; i < w->n; i++) s->want[i] -= (q[far] - a->from) / unit * gradient[i] / unit;
  }
  for (size_t i = 0; i < w->n; i++) most = fmax(most, fabs(s->want[i]));
  for (size_t i = 0; i < w->n && most > 0.0; i++) s->want[i] /= most;
}

/* One entry for each end that counts: of folds that share a limit their multipliers add up. */
static void put(const system_of *s, double span, bool judged, sy_seek_found *out) {
  out->bindings = 0;
  for (size_t c = 0; c < s->columns; c++) {
    const double gain = s->by[c] * s->unit[c] * span;
    if (s->what[c].number == NOBODY || (judged && !(s->by[c] > COUNTS))) continue;
    size_t at = 0;
    while (at < out->bindings &&
           (out->binding[at].kind != s->what[c].kind || out->binding[at].number != s->what[c].number ||
            out->binding[at].value != s->what[c].value))
      at++;
    if (at == SY_SEEK_BINDINGS) continue;
    if (at == out->bindings) {
      out->binding[out->bindings] = s->what[c];
      out->binding[out->bindings++].gain = isnan(span) ? span : 0.0;
    }
    out->binding[at].gain += gain; /* NaN stays */
  }
}

bool sy_seek_bind(sy_seek_work *w, const double *x, sy_seek_found *out) {
  system_of s;
  double u[SY_SEEK_INPUTS];
  for (size_t i = 0; i < w->n; i++) {
    const sy_seek_input *in = &w->p->input[i];
    u[i] = x[i] == in->high ? 1.0 : (x[i] - in->low) / (in->high - in->low);
  }
  w->has = false;
  w->step = SY_SEEK_LONG_STEP;
  if (!sy_seek_look(w, u)) return false;
  out->bindings = 0;
  if (!w->known) return true;
  wish list[SY_SEEK_LIMITS > SY_SEEK_TARGETS ? SY_SEEK_LIMITS : SY_SEEK_TARGETS];
  size_t count = broken_of(w, list);
  const bool broken = count > 0;
  if (!broken) count = missed_of(w, list);
  if (count == 0 && w->p->aim != 0)
    list[count++] = (wish){w->p->aimed, NOBODY, w->p->aim > 0 ? -1.0 : 1.0, 0.0};
  memset(&s, 0, sizeof s);
  s.rows = w->n + 1;
  s.want[w->n] = -1.0; /* the level is to go down */
  add_bounds(&s, w, x);
  add_limits(&s, w);
  if (count == 1) {
    if (!broken) add_targets(&s, w, list[0].target);
    add_folds(&s, w, &list[0]);
    out->gains = list[0].quantity;
  } else if (count > 1) {
    want_nearer(&s, w, list, count);
  }
  if (count > 0) solve_positive(&s);
  put(&s, count == 1 ? w->span[out->gains] : (double)NAN, count > 0, out);
  return true;
}
