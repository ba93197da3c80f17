/* seek_run.c - a search from check to result: starts, spans, one mode after the other. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "study/points.h"
#include "study/seek_parts.h"

/* ---- checks ------------------------------------------------------------------------------------------------------------------------ */

static sy_status check_input(const sy_seek_input *i, size_t number, sy_error *err) {
  if (!isfinite(i->low) || !isfinite(i->high) || !isfinite(i->now))
    return sy_fail(err, SY_RANGE, "input", "low", "of number %zu is not finite, or high or now", number + 1);
  if (!(i->low < i->high))
    return sy_fail(err, SY_CLASH, "input", "low", "of number %zu is %g, not below high, %g", number + 1,
                   i->low, i->high);
  if (i->value == NULL && !(i->per > 0.0 && isfinite(i->per)))
    return sy_fail(err, SY_RANGE, "input", "per", "of number %zu is %g, must be above 0", number + 1, i->per);
  for (size_t k = 0; i->value != NULL && k < i->count; k++)
    if (!(i->value[k] >= i->low && i->value[k] <= i->high) || (k > 0 && !(i->value[k] > i->value[k - 1])))
      return sy_fail(err, SY_RANGE, "input", "value", "of number %zu does not rise from low to high",
                     number + 1);
  if (i->value != NULL && i->count == 0)
    return sy_fail(err, SY_RANGE, "input", "count", "of number %zu is 0", number + 1);
  return SY_OK;
}

static sy_status check_asked(const sy_seek_problem *p, sy_error *err) {
  for (size_t k = 0; k < p->targets; k++) {
    const sy_seek_target *t = &p->target[k];
    if (t->quantity >= p->quantities || !isfinite(t->value) || t->within < 0.0 || isinf(t->within))
      return sy_fail(err, SY_RANGE, "target", NULL, "number %zu has no such quantity, value or within",
                     k + 1);
  }
  for (size_t j = 0; j < p->limits; j++) {
    const sy_seek_limit *l = &p->limit[j];
    if (l->quantity >= p->quantities || isnan(l->min) || isnan(l->max))
      return sy_fail(err, SY_RANGE, "limit", NULL, "number %zu has no such quantity, or NaN", j + 1);
    if (l->min > l->max) return sy_fail(err, SY_CLASH, "limit", NULL, "number %zu: min is above max", j + 1);
  }
  for (size_t q = 0; q < p->quantities; q++)
    if (!(p->size[q] > 0.0 && isfinite(p->size[q])))
      return sy_fail(err, SY_RANGE, "size", NULL, "of quantity %zu is %g, must be above 0", q + 1,
                     p->size[q]);
  if (p->targets == 0 && p->aim == 0)
    return sy_fail(err, SY_CLASH, "aim", NULL, "is none, and there are no targets");
  if (p->aim != 0 && p->aimed >= p->quantities)
    return sy_fail(err, SY_RANGE, "aimed", NULL, "is not one of the quantities");
  return SY_OK;
}

static sy_status check(const sy_seek_problem *p, sy_error *err) {
  if (p->inputs == 0 || p->inputs > SY_SEEK_INPUTS)
    return sy_fail(err, SY_RANGE, "inputs", NULL, "are %zu, must be 1 to %d", p->inputs, SY_SEEK_INPUTS);
  if (p->quantities == 0 || p->folds == 0 || p->quantities > SY_SEEK_ANSWERS / p->folds)
    return sy_fail(err, SY_RANGE, "quantities", NULL, "are %zu in %zu folds: 1 to %d answers are possible",
                   p->quantities, p->folds, SY_SEEK_ANSWERS);
  if (p->targets > SY_SEEK_TARGETS || p->limits > SY_SEEK_LIMITS)
    return sy_fail(err, SY_RANGE, "targets", NULL, "are %zu with %zu limits, at most %d and %d", p->targets,
                   p->limits, SY_SEEK_TARGETS, SY_SEEK_LIMITS);
  if (p->starts == 0 || p->starts > SY_SEEK_STARTS)
    return sy_fail(err, SY_RANGE, "starts", NULL, "are %zu, must be 1 to %d", p->starts, SY_SEEK_STARTS);
  for (size_t i = 0; i < p->inputs; i++) {
    const sy_status status = check_input(&p->input[i], i, err);
    if (status != SY_OK) return status;
  }
  return check_asked(p, err);
}

/* ---- starts and spans ------------------------------------------------------------------------------------------------------------- */

static double clamped(double u) { return u < 0.0 ? 0.0 : u > 1.0 ? 1.0 : u; }

/* The place as it is, then a Latin hypercube over the others. */
static void make_starts(sy_seek_work *w) {
  const sy_seek_problem *p = w->p;
  for (size_t i = 0; i < w->n; i++) {
    double u[SY_SEEK_STARTS];
    w->now[i] = clamped((p->input[i].now - p->input[i].low) / (p->input[i].high - p->input[i].low));
    w->start[i] = w->now[i];
    if (p->starts > 1) sy_points_latin(p->seed, i + 1, p->starts - 1, 0, p->starts - 1, u, NULL);
    for (size_t s = 1; s < p->starts; s++) w->start[s * w->n + i] = u[s - 1];
  }
}

/* Place `s` of those that spans are taken from: the starts, and the ends of each input by itself. */
static void put_place(const sy_seek_work *w, size_t s, double *u) {
  const size_t end = s - w->p->starts;
  memcpy(u, s < w->p->starts ? w->start + s * w->n : w->now, w->n * sizeof *u);
  if (s >= w->p->starts) u[end / 2] = end % 2 == 0 ? 0.0 : 1.0;
}

/* Every answer's least and most there go into value and derivative. */
static bool look_around(sy_seek_work *w) {
  const size_t places = w->p->starts + 2 * w->n;
  double u[SY_SEEK_BATCH * SY_SEEK_INPUTS];
  for (size_t k = 0; k < w->answers; k++)
    w->value[k] = (double)INFINITY, w->derivative[k] = -(double)INFINITY;
  for (size_t from = 0, count; from < places; from += count) {
    count = places - from < SY_SEEK_BATCH ? places - from : SY_SEEK_BATCH;
    for (size_t s = 0; s < count; s++) put_place(w, from + s, u + s * w->n);
    if (!sy_seek_ask_scaled(w, u, count, w->asked)) return false;
    for (size_t k = 0; k < count * w->answers; k++) {
      const size_t answer = k % w->answers;
      if (isnan(w->asked[k])) continue;
      w->value[answer] = fmin(w->value[answer], w->asked[k]);
      w->derivative[answer] = fmax(w->derivative[answer], w->asked[k]);
    }
  }
  return true;
}

static bool make_spans(sy_seek_work *w) {
  const size_t folds = w->p->folds;
  if (!look_around(w)) return false;
  for (size_t q = 0; q < w->p->quantities; q++) {
    double span = 0.0, largest = w->p->size[q];
    w->middle[q] = (double)NAN;
    for (size_t k = q * folds; k < (q + 1) * folds; k++) {
      if (!(w->value[k] <= w->derivative[k])) continue;
      if (isnan(w->middle[q])) w->middle[q] = 0.5 * (w->value[k] + w->derivative[k]);
      span = fmax(span, w->derivative[k] - w->value[k]);
      largest = fmax(largest, fmax(fabs(w->value[k]), fabs(w->derivative[k])));
    }
    w->span[q] = span > 1e-10 * largest ? span : 0.0; /* less is rounding: lengths are kept to a picometre */
  }
  return true;
}

/* How much one step of the input that does most changes the worst fold of a quantity, where it is. */
static double one_step(const sy_seek_work *w, size_t quantity) {
  double most = 0.0;
  for (size_t i = 0; i < w->n; i++) {
    const sy_seek_input *in = &w->p->input[i];
    const double range = in->high - in->low, step = in->value != NULL
                                                        ? range / (double)(in->count > 1 ? in->count - 1 : 1)
                                                        : 1.0 / in->per;
    for (size_t f = 0; f < w->p->folds; f++)
      most =
          fmax(most, fabs(w->derivative[(quantity * w->p->folds + f) * w->n + i]) * fmin(step / range, 1.0));
  }
  return isfinite(most) ? most : 0.0;
}

enum {
  FINE = 50,
  WELL = 10
}; /* parts of what counts as reached: what solvers go for, and what counts as exactly there */

static bool make_bands(sy_seek_work *w) {
  if (!sy_seek_look(w, w->start)) return false;
  for (size_t k = 0; k < w->p->targets; k++) {
    const sy_seek_target *t = &w->p->target[k];
    const double finest = fmax(w->p->size[t->quantity], 0.5 * one_step(w, t->quantity));
    w->within[k] = isnan(t->within) ? finest : t->within;
    const double aim = fmin(w->within[k], finest);
    w->band[k] = w->p->aim != 0 ? w->within[k] : aim / FINE;
    w->goal[k] = aim / WELL;
  }
  return true;
}

/* ---- one mode ---------------------------------------------------------------------------------------------------------------------- */

/* What a solver ended at, as it is found here. */
typedef struct end {
  double u[SY_SEEK_INPUTS];
  double f, over; /* over: by how much the worst constraint is broken, scaled */
} end;

/* So much of a span may an end be outside: rounding to a value comes after, and takes more. */
static const double TOUCHES = 1e-6;

/* Ends count as good as the best within a thousandth of a span: what is nearer is a matter of when a solver stops. */
static const double AS_WELL = 1e-3;

static bool is_inside(const end *e) { return e->over <= TOUCHES; }

static bool is_better_end(const end *a, const end *b) {
  if (is_inside(a) != is_inside(b)) return is_inside(a);
  return is_inside(a) ? a->f < b->f - 1e-9 * fmax(1.0, fabs(b->f)) : a->over < b->over;
}

static bool measure(sy_seek_work *w, const sy_seek_task *task, const double *u, end *out) {
  double x[SY_SEEK_INPUTS + SY_SEEK_SLACKS];
  for (size_t i = 0; i < w->n; i++) out->u[i] = x[i] = clamped(u[i]);
  if (!sy_seek_slacken(w, x) || !task->at(task, x, &out->f, NULL, w->g, NULL)) return false;
  out->over = 0.0;
  for (size_t j = 0; j < task->m; j++) out->over = fmax(out->over, w->g[j]);
  return true;
}

static bool solve(sy_seek_work *w, const sy_seek_task *task, sy_seek_way way, const double *from, end *out) {
  double x[SY_SEEK_INPUTS + SY_SEEK_SLACKS];
  memset(x, 0, sizeof x);
  memcpy(x, from, w->n * sizeof *x);
  if (!sy_seek_slacken(w, x)) return false;
  w->solver->solve(w->solver, task, way, x);
  return !w->stopped && measure(w, task, x, out);
}

/* From one start by gradients; twice, since an end is often the better for a fresh look from there. */
static bool solve_well(sy_seek_work *w, const sy_seek_task *task, const double *from, end *out) {
  end again;
  if (!solve(w, task, SY_SEEK_GRADIENTS, from, out) || !solve(w, task, SY_SEEK_GRADIENTS, out->u, &again))
    return false;
  if (is_better_end(&again, out) || (is_inside(&again) && again.f <= out->f)) *out = again;
  return true;
}

/* By values alone, then by gradients from there. */
static bool solve_by_values(sy_seek_work *w, const sy_seek_task *task, const double *from, end *best,
                            bool *used) {
  end e, polished;
  if (!solve(w, task, SY_SEEK_VALUES, from, &e) || !solve(w, task, SY_SEEK_GRADIENTS, e.u, &polished))
    return false;
  if (is_better_end(&polished, &e)) e = polished;
  if (is_better_end(&e, best)) *best = e, *used = true;
  return true;
}

/* How far off the first start is, in spans, where that is more than one: so misses and what limits are broken by are of a size near 1. */
static bool set_unit(sy_seek_work *w, const double *start) {
  const sy_seek_problem *p = w->p;
  w->unit = 1.0;
  if (w->mode == SEEK_REACH) return true;
  if (!sy_seek_look(w, start)) return false;
  for (size_t k = 0; k < p->targets && w->known; k++)
    if (sy_seek_moves(w, p->target[k].quantity))
      w->unit = fmax(w->unit, sy_seek_miss(w, w->value, k) / w->span[p->target[k].quantity]);
  for (size_t j = 0; j < p->limits && w->known; j++)
    if (sy_seek_moves(w, p->limit[j].quantity))
      w->unit = fmax(w->unit, sy_seek_broken(w, w->value, j) / w->span[p->limit[j].quantity]);
  return true;
}

/* All starts in one mode. False: stopped. */
static bool attempt(sy_seek_work *w, sy_seek_mode mode, const double *start, size_t starts, end *best,
                    sy_seek_found *out) {
  sy_seek_task task;
  double f[SY_SEEK_STARTS];
  w->mode = mode;
  if (!set_unit(w, start)) return false;
  sy_seek_pose(w, &task);
  *best = (end){.f = (double)INFINITY, .over = (double)INFINITY};
  for (size_t s = 0; s < starts; s++) {
    end e;
    if (!solve_well(w, &task, start + s * w->n, &e)) return false;
    f[s] = is_inside(&e) ? e.f : (double)INFINITY;
    if (s == 0 || is_better_end(&e, best)) *best = e;
  }
  out->agree = 0;
  for (size_t s = 0; s < starts; s++) out->agree += f[s] <= best->f + AS_WELL * fmax(1.0, fabs(best->f));
  out->by_values = false;
  if (is_inside(best)) return true;
  end from = *best;
  out->agree = 0;
  return solve_by_values(w, &task, from.u, best, &out->by_values) &&
         (is_inside(best) || solve_by_values(w, &task, start, best, &out->by_values));
}

/* ---- all modes ---------------------------------------------------------------------------------------------------------------------- */

/* Bands as wide as the nearest place needs them; true where that is near enough. */
static bool widen(sy_seek_work *w) {
  bool reached = true;
  for (size_t k = 0; k < w->p->targets; k++) {
    const double miss = sy_seek_miss(w, w->value, k), fine = w->band[k];
    if (!sy_seek_moves(w, w->p->target[k].quantity)) continue;
    reached = reached && miss <= w->within[k];
    w->band[k] = fmax(fine, miss + fine);
    w->goal[k] = fmax(w->goal[k], miss + w->goal[k]);
  }
  return reached;
}

/* The place nearest to the targets, then within bands that it can reach. */
static bool search_near(sy_seek_work *w, end *best, sy_seek_found *out) {
  if (!attempt(w, SEEK_NEAR, w->start, w->p->starts, best, out)) return false;
  if (!is_inside(best)) {
    out->outcome = SY_SEEK_BROKEN;
    return attempt(w, SEEK_ELASTIC, w->start, w->p->starts, best, out);
  }
  if (!sy_seek_look(w, best->u)) return false;
  double goal[SY_SEEK_TARGETS];
  memcpy(goal, w->goal, sizeof goal);
  if (!widen(w)) {
    memset(w->goal, 0, sizeof w->goal);
    out->outcome = SY_SEEK_NEAREST;
    return true;
  }
  const sy_seek_found before = *out;
  end e;
  out->outcome = SY_SEEK_REACHED;
  if (!attempt(w, SEEK_REACH, best->u, 1, &e, out)) return false;
  if (is_inside(&e)) *best = e;
  if (!out->by_values) out->by_values = before.by_values;
  out->agree = before.agree;
  return true;
}

/* Is a limit broken in these answers? Those of a quantity that never has an answer decide nothing. */
static bool is_broken(const sy_seek_work *w, const double *answer, bool moved_too) {
  for (size_t j = 0; j < w->p->limits; j++) {
    const size_t q = w->p->limit[j].quantity;
    if (!isnan(w->middle[q]) && (moved_too || !sy_seek_moves(w, q)) && sy_seek_is_over(w, answer, j))
      return true;
  }
  return false;
}

static bool search(sy_seek_work *w, sy_seek_found *out) {
  end best;
  bool accepted;
  out->outcome = SY_SEEK_REACHED;
  /* folds can seldom all lie within a fiftieth of a target: how near they come is found out first */
  const bool spread = w->p->aim == 0 && w->p->folds > 1;
  if (!spread && !attempt(w, SEEK_REACH, w->start, w->p->starts, &best, out)) return false;
  if ((spread || !is_inside(&best)) && !search_near(w, &best, out)) return false;
  w->nearest = out->outcome != SY_SEEK_REACHED;
  if (!sy_seek_settle(w, best.u, out->x, &accepted) || !sy_seek_bind(w, out->x, out)) return false;
  if (out->outcome == SY_SEEK_REACHED && !accepted) out->outcome = SY_SEEK_NEAREST;
  if (is_broken(w, w->value, out->outcome == SY_SEEK_NEAREST)) out->outcome = SY_SEEK_BROKEN;
  return true;
}

/* A quantity that no input moves, or that has no answer: then there is nothing to seek. */
static bool is_hopeless(const sy_seek_work *w, sy_seek_found *out) {
  const sy_seek_problem *p = w->p;
  for (size_t k = 0; k < p->targets + (p->aim != 0); k++) {
    const size_t q = k < p->targets ? p->target[k].quantity : p->aimed;
    out->which = q;
    out->outcome = SY_SEEK_UNKNOWN;
    if (isnan(w->middle[q])) return true;
    out->outcome = SY_SEEK_UNMOVED;
    if (sy_seek_moves(w, q)) continue;
    if (k == p->targets || !(sy_seek_miss(w, w->value, k) <= w->within[k])) return true;
  }
  out->which = 0;
  return false;
}

/* ---- memory ---------------------------------------------------------------------------------------------------------------------------- */

static size_t most_constraints(const sy_seek_problem *p) {
  return p->folds * (2 * p->limits + 2 * p->targets + 1);
}

/* Doubles that a search needs; with `room` they are shared out. */
static size_t share_out(sy_seek_work *w, double *room) {
  const sy_seek_problem *p = w->p;
  size_t at = 0;
  const struct {
    double **where;
    size_t count;
  } list[] = {{&w->span, p->quantities},
              {&w->middle, p->quantities},
              {&w->value, w->answers},
              {&w->derivative, w->answers * w->n},
              {&w->x, SY_SEEK_BATCH * w->n},
              {&w->asked, (SY_SEEK_BATCH > 2 * w->n + 1 ? SY_SEEK_BATCH : 2 * w->n + 1) * w->answers},
              {&w->start, p->starts * w->n},
              {&w->lower, w->n + SY_SEEK_SLACKS},
              {&w->upper, w->n + SY_SEEK_SLACKS},
              {&w->g, w->most}};
  for (size_t k = 0; k < sizeof list / sizeof list[0]; k++) {
    if (room != NULL) *list[k].where = room + at;
    at += list[k].count;
  }
  return at;
}

sy_status sy_seek_run(const sy_seek_problem *p, const sy_seek_solver *solver, const sy_alloc *alloc,
                      sy_seek_found *out, sy_error *err) {
  const sy_status status = check(p, err);
  if (status != SY_OK) return status;
  sy_seek_work w = {.p = p,
                    .solver = solver,
                    .n = p->inputs,
                    .answers = p->quantities * p->folds,
                    .step = SY_SEEK_SHORT_STEP};
  w.most = most_constraints(p);
  const sy_alloc from = sy_alloc_or_default(alloc);
  const size_t bytes = share_out(&w, NULL) * sizeof(double);
  double *room = sy_alloc_new(&from, bytes);
  if (room == NULL) return sy_fail(err, SY_LIMIT, "search", NULL, "memory is out");
  share_out(&w, room);
  sy_seek_found found;
  memset(&found, 0, sizeof found);
  make_starts(&w);
  bool went = make_spans(&w) && make_bands(&w);
  if (went && !is_hopeless(&w, &found)) went = search(&w, &found);
  if (!went) found.outcome = SY_SEEK_STOPPED;
  memcpy(found.within, w.within, sizeof found.within);
  sy_alloc_free(&from, room, bytes);
  *out = found;
  return SY_OK;
}
