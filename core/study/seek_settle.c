/* seek_settle.c - from the place that a solver ends at to values that an input may have: rounded, neighbours tried, the best judged exactly. */
#include <float.h>
#include <math.h>
#include <string.h>

#include "study/seek_parts.h"

/* ---- the values there are ------------------------------------------------------------------------------------------------------------ */

static const double NONE = (double)NAN;

/* Multiples of 1 / per are distinguished with this share of a step to spare: rounding of a bound such as 0.1 leaves less. */
static const double SPARE = 1e-6;

static double nearer(double x, double a, double b) { return fabs(x - b) < fabs(x - a) ? b : a; }

static size_t place_in(const sy_seek_input *i, double x) {
  size_t at = 0;
  for (size_t k = 1; k < i->count; k++)
    if (fabs(i->value[k] - x) < fabs(i->value[at] - x)) at = k;
  return at;
}

static double rounded(const sy_seek_input *i, double x) {
  if (i->value != NULL) return i->value[place_in(i, x)];
  const double v = round(x * i->per) / i->per;
  if (v < i->low || v > i->high) return v < i->low ? i->low : i->high;
  return nearer(x, nearer(x, v, i->low), i->high);
}

/* The next value above or below one of them, NaN at the end. */
static double next_to(const sy_seek_input *i, double x, int way) {
  if (i->value != NULL) {
    const size_t at = place_in(i, x);
    if (way < 0) return at > 0 ? i->value[at - 1] : NONE;
    return at + 1 < i->count ? i->value[at + 1] : NONE;
  }
  const double end = way > 0 ? i->high : i->low;
  if (x == end) return NONE;
  const double v = (way > 0 ? floor(x * i->per + SPARE) + 1.0 : ceil(x * i->per - SPARE) - 1.0) / i->per;
  return way > 0 ? fmin(v, end) : fmax(v, end);
}

/* ---- neighbours -------------------------------------------------------------------------------------------------------------------- */

/* Of up to this many inputs all combinations of one step up, down or none; of more, those that move one or two. */
enum { ALL_WAYS = 4, MOST_NEIGHBOURS = 2 * SY_SEEK_INPUTS * SY_SEEK_INPUTS };

static size_t neighbours(size_t n) {
  size_t all = 1;
  for (size_t i = 0; i < n && n <= ALL_WAYS; i++) all *= 3;
  return n <= ALL_WAYS ? all - 1 : 2 * n + 2 * n * (n - 1);
}

static bool step(const sy_seek_work *w, double *x, size_t input, int way) {
  x[input] = next_to(&w->p->input[input], x[input], way);
  return !isnan(x[input]);
}

/* Neighbour `number` of x; false where there is none. */
static bool neighbour(const sy_seek_work *w, const double *x, size_t number, double *out) {
  const size_t n = w->n;
  memcpy(out, x, n * sizeof *out);
  if (n <= ALL_WAYS) {
    size_t rest = number + 1;
    for (size_t i = 0; i < n; i++, rest /= 3)
      if (rest % 3 != 0 && !step(w, out, i, rest % 3 == 1 ? 1 : -1)) return false;
    return true;
  }
  if (number < 2 * n) return step(w, out, number / 2, number % 2 == 0 ? 1 : -1);
  const size_t pair = (number - 2 * n) / 4, ways = (number - 2 * n) % 4;
  size_t a = 0, b = pair;
  while (b >= n - 1 - a) b -= n - 1 - a, a++;
  return step(w, out, a, ways < 2 ? 1 : -1) && step(w, out, a + 1 + b, ways % 2 == 0 ? 1 : -1);
}

/* ---- which is better ----------------------------------------------------------------------------------------------------------------- */

typedef struct score {
  double broken, missed, worth, change;
  double rounding; /* of worth: less than that does not count */
} score;

static const score WORST = {(double)INFINITY, (double)INFINITY, (double)INFINITY, (double)INFINITY, 0};

static double beyond(double miss, double allowed, double unit) {
  const double by = isnan(miss) ? (double)INFINITY : fmax(miss - allowed, 0.0) / unit;
  return by * by;
}

static score score_of(const sy_seek_work *w, const double *x, const double *answer) {
  const sy_seek_problem *p = w->p;
  score s = {0, 0, 0, 0, 1e-12};
  double u[SY_SEEK_INPUTS];
  for (size_t j = 0; j < p->limits; j++)
    if (sy_seek_moves(w, p->limit[j].quantity))
      s.broken += sy_seek_broken(w, answer, j) / w->span[p->limit[j].quantity];
  for (size_t k = 0; k < p->targets; k++) {
    const double miss = sy_seek_miss(w, answer, k), unit = fmax(w->within[k], p->size[p->target[k].quantity]);
    if (!sy_seek_moves(w, p->target[k].quantity)) continue;
    s.missed += beyond(miss, w->within[k], unit);
    if (p->aim == 0) s.worth += beyond(miss, w->goal[k], unit);
  }
  if (p->aim != 0 && !w->nearest) { /* some roundings of a double, which count in spans */
    const double aimed = sy_seek_aimed(w, answer), span = w->span[p->aimed];
    s.worth = (aimed + (p->aim > 0 ? 1.0 : -1.0) * w->middle[p->aimed]) / span;
    s.rounding = 64 * DBL_EPSILON * fmax(1.0, fabs(w->middle[p->aimed]) / span);
  }
  for (size_t i = 0; i < w->n; i++) u[i] = (x[i] - p->input[i].low) / (p->input[i].high - p->input[i].low);
  s.change = sy_seek_change(w, u);
  return s;
}

/* -1 or 1: a is below b or above it by more than rounding makes of the sums they come from. */
static int order(double a, double b, double rounding) {
  if (!isfinite(a) || !isfinite(b)) return (a > b) - (a < b);
  return a < b - rounding ? -1 : a > b + rounding ? 1 : 0;
}

/* The same where 0 is below all else: what is kept is not what is nearly kept. */
static int order_kept(double a, double b) {
  if (a == 0.0 || b == 0.0) return (a > b) - (a < b);
  return order(a, b, 1e-9 * fmax(a, b));
}

/* By all but the change. */
static int order_scores(const score *a, const score *b) {
  int by = order_kept(a->broken, b->broken);
  if (by == 0) by = order_kept(a->missed, b->missed);
  return by == 0 ? order(a->worth, b->worth, a->rounding) : by;
}

static bool is_better(const score *a, const score *b) {
  const int by = order_scores(a, b);
  return by == 0 ? a->change < b->change * (1.0 - 1e-12) : by < 0;
}

static bool is_good(const score *s) { return s->broken == 0.0 && s->missed == 0.0; }

static bool score_one(sy_seek_work *w, sy_seek_ask *ask, const double *x, score *out) {
  w->stopped = w->stopped || !ask(w->p->user, 1, x, w->asked);
  if (!w->stopped) *out = score_of(w, x, w->asked);
  return !w->stopped;
}

/* Scores of all neighbours of x; of one that is not there the worst. */
static bool score_all(sy_seek_work *w, const double *x, score *out) {
  const size_t all = neighbours(w->n);
  size_t number[SY_SEEK_BATCH], count = 0;
  for (size_t k = 0; k <= all; k++) {
    if (count == SY_SEEK_BATCH || (k == all && count > 0)) {
      w->stopped = !w->p->ask(w->p->user, count, w->x, w->asked);
      if (w->stopped) return false;
      for (size_t i = 0; i < count; i++)
        out[number[i]] = score_of(w, w->x + i * w->n, w->asked + i * w->answers);
      count = 0;
    }
    if (k == all) break;
    out[k] = WORST;
    if (neighbour(w, x, k, w->x + count * w->n)) number[count++] = k;
  }
  return true;
}

static size_t best_of(const score *s, size_t count) {
  size_t best = 0;
  for (size_t k = 1; k < count; k++)
    if (is_better(&s[k], &s[best])) best = k;
  return best;
}

/* Inputs that do nothing for what is asked go back to where they are: one after the other, those that leave all else as good. */
static bool put_back(sy_seek_work *w, double *x, score *here) {
  for (size_t i = 0; i < w->n; i++) {
    const double was = x[i];
    score there;
    x[i] = rounded(&w->p->input[i], sy_seek_unscaled(w, i, w->now[i]));
    if (x[i] == was) continue;
    if (!score_one(w, w->p->ask, x, &there)) return false;
    if (order_scores(&there, here) == 0)
      *here = there;
    else
      x[i] = was;
  }
  return true;
}

/* ---- settling ------------------------------------------------------------------------------------------------------------------------- */

enum {
  MOST_MOVES = 200, /* from neighbour to neighbour */
  MOST_EXACT = 32   /* neighbours judged when rounding alone decides */
};

bool sy_seek_settle(sy_seek_work *w, const double *u, double *x, bool *accepted) {
  score here, near[MOST_NEIGHBOURS] = {{0}}, judged;
  sy_seek_ask *exact = w->p->exact != NULL ? w->p->exact : w->p->ask;
  const size_t all = neighbours(w->n);
  for (size_t i = 0; i < w->n; i++) x[i] = rounded(&w->p->input[i], sy_seek_unscaled(w, i, u[i]));
  if (!score_one(w, w->p->ask, x, &here)) return false;
  if (!put_back(w, x, &here)) return false;
  for (int moves = 0; moves < MOST_MOVES; moves++) {
    if (!score_all(w, x, near)) return false;
    const size_t best = best_of(near, all);
    if (!is_better(&near[best], &here)) break;
    double to[SY_SEEK_INPUTS];
    neighbour(w, x, best, to);
    memcpy(x, to, w->n * sizeof *x);
    here = near[best];
  }
  if (!score_one(w, exact, x, &judged)) return false;
  *accepted = is_good(&judged);
  for (int tried = 0; tried < MOST_EXACT && !*accepted && is_good(&here); tried++) {
    const size_t best = best_of(near, all);
    double to[SY_SEEK_INPUTS];
    if (!is_good(&near[best]) || !neighbour(w, x, best, to)) break;
    near[best] = WORST;
    if (!score_one(w, exact, to, &judged)) return false;
    *accepted = is_good(&judged);
    if (*accepted) memcpy(x, to, w->n * sizeof *x);
  }
  return true;
}
