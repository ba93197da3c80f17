#include "study/plan.h"

#include <math.h>
#include <string.h>

#include "answers/transfer_answers.h"
#include "base/units.h"

/* ---- what a plan holds ---------------------------------------------------------------------------------------------------- */

typedef struct term {
  size_t factors, rows, moving; /* rows: combinations of nodes; moving: numbers that differ in any of them */
  sy_plan_factor factor[SY_PLAN_MOST_FACTORS]; /* nodes are the plan's own */
  uint32_t *number;                            /* which, `moving` of them */
  double *change;                              /* rows x moving, from u0 */
} term;

struct sy_plan {
  sy_alloc alloc;
  const sy_answer_set *set;
  size_t numbers;
  double *first, *size; /* at u0, and the size of each */
  double *tried;        /* tries x numbers */
  size_t tries, room;
  term *terms;
  size_t count, terms_room;
  bool places; /* does what the map of loads rests on move? */
  sy_plan_car base;
};

static void *resized(const sy_plan *p, void *old, size_t old_count, size_t count, size_t one) {
  return p->alloc.resize(p->alloc.user, old, old_count * one, count * one);
}

static sy_status no_memory(sy_error *err) { return sy_fail(err, SY_LIMIT, "plan", NULL, "memory is out"); }

static void read_numbers(const sy_plan_car *car, double *out, size_t count) {
  double *at[SY_PLAN_NUMBERS];
  sy_plan_car *where = (sy_plan_car *)(uintptr_t)car; /* read only */
  sy_plan_car_numbers(where, at);
  for (size_t i = 0; i < count; i++) out[i] = *at[i];
}

enum { SUMS_OF_TOTALS = (1 + SY_CARRIER_COUNT) * SY_SUMS };

/* What differences of a number are measured by. */
static double size_of(const sy_plan *p, size_t number, double value) {
  const double mass = p->base.now.all.m; /* and at arms of a metre */
  return fmax(fabs(value), number < 2 * SUMS_OF_TOTALS ? mass : 0.0);
}

static void note_sizes(sy_plan *p, const double *row) {
  for (size_t i = 0; i < p->numbers; i++)
    if (!isnan(row[i])) p->size[i] = fmax(p->size[i], size_of(p, i, row[i]));
}

sy_status sy_plan_make(const sy_alloc *alloc, const sy_answer_set *set, const sy_plan_car *base, sy_plan **out,
                       sy_error *err) {
  const sy_alloc from = sy_alloc_or_default(alloc);
  sy_plan *p = from.resize(from.user, NULL, 0, sizeof *p);
  if (p == NULL) return no_memory(err);
  memset(p, 0, offsetof(sy_plan, base));
  p->alloc = from;
  p->set = set;
  sy_plan_car_copy(base, &p->base);
  double *at[SY_PLAN_NUMBERS];
  p->numbers = sy_plan_car_numbers(&p->base, at);
  p->first = resized(p, NULL, 0, p->numbers, sizeof *p->first);
  p->size = resized(p, NULL, 0, p->numbers, sizeof *p->size);
  if (p->first == NULL || p->size == NULL) {
    sy_plan_free(p);
    return no_memory(err);
  }
  read_numbers(&p->base, p->first, p->numbers);
  for (size_t i = 0; i < p->numbers; i++) p->size[i] = 0;
  note_sizes(p, p->first);
  *out = p;
  return SY_OK;
}

static void free_term(sy_plan *p, term *t) {
  for (size_t f = 0; f < t->factors; f++)
    resized(p, (void *)(uintptr_t)t->factor[f].node, t->factor[f].count, 0, sizeof(double));
  if (t->number != NULL) resized(p, t->number, t->moving, 0, sizeof *t->number);
  if (t->change != NULL) resized(p, t->change, t->rows * t->moving, 0, sizeof *t->change);
}

void sy_plan_clear(sy_plan *p) {
  for (size_t i = 0; i < p->count; i++) free_term(p, &p->terms[i]);
  p->count = 0;
  p->places = false;
}

void sy_plan_free(sy_plan *p) {
  if (p == NULL) return;
  sy_plan_clear(p);
  if (p->terms != NULL) resized(p, p->terms, p->terms_room, 0, sizeof *p->terms);
  if (p->tried != NULL) resized(p, p->tried, p->room * p->numbers, 0, sizeof *p->tried);
  if (p->first != NULL) resized(p, p->first, p->numbers, 0, sizeof *p->first);
  if (p->size != NULL) resized(p, p->size, p->numbers, 0, sizeof *p->size);
  const sy_alloc from = p->alloc;
  from.resize(from.user, p, sizeof *p, 0);
}

/* ---- cars tried -------------------------------------------------------------------------------------------------------------- */

sy_status sy_plan_try(sy_plan *p, const sy_plan_car *car, sy_error *err) {
  if (!sy_plan_car_alike(&p->base, car))
    return sy_fail(err, SY_CLASH, "plan", NULL, "two variants differ in more than numbers");
  if (p->tries == p->room) {
    const size_t room = p->room == 0 ? 8 : 2 * p->room;
    double *more = resized(p, p->tried, p->room * p->numbers, room * p->numbers, sizeof *more);
    if (more == NULL) return no_memory(err);
    p->tried = more, p->room = room;
  }
  double *row = p->tried + p->tries * p->numbers;
  read_numbers(car, row, p->numbers);
  for (size_t i = 0; i < p->numbers; i++)
    if (isnan(row[i]) != isnan(p->first[i]))
      return sy_fail(err, SY_CLASH, "plan", NULL, "two variants differ in which numbers they have");
  note_sizes(p, row);
  p->tries++;
  return SY_OK;
}

static bool is_factor(const sy_plan_factor *f) {
  if (f->count == 0 || f->input >= SY_PLAN_MOST_INPUTS || (f->way != SY_PLAN_TABLE && f->count > SY_PLAN_MOST_NODES) ||
      (f->way == SY_PLAN_ANGLE && f->count != 5))
    return false;
  for (size_t i = 1; i < f->count; i++)
    if (!(f->node[i] > f->node[i - 1])) return false;
  return true;
}

static bool moves(const sy_plan *p, size_t number) {
  for (size_t r = 0; r < p->tries; r++)
    if (p->tried[r * p->numbers + number] != p->first[number] && !isnan(p->first[number])) return true;
  return false;
}

/* Numbers of the axles' and wheels' places, and the cross weight: all that the map of loads rests on. */
static bool is_place(sy_plan *p, size_t number) {
  double *at[SY_PLAN_NUMBERS];
  sy_plan_car_numbers(&p->base, at);
  const double *const n = at[number];
  sy_vehicle *const v = &p->base.car.vehicle;
  for (int a = 0; a < SY_MAX_AXLES; a++)
    if (n == &v->axle[a].x) return true;
  for (int w = 0; w < SY_MAX_WHEELS; w++)
    if (n == &v->wheel[w].x || n == &v->wheel[w].y) return true;
  return n == &v->cross_share;
}

static bool fill_term(sy_plan *p, term *t, const sy_plan_factor *factors, size_t count) {
  for (size_t f = 0; f < count; f++) {
    double *node = resized(p, NULL, 0, factors[f].count, sizeof *node);
    if (node == NULL) return false;
    memcpy(node, factors[f].node, factors[f].count * sizeof *node);
    t->factor[f] = factors[f];
    t->factor[f].node = node;
    t->factors = f + 1;
  }
  size_t moving = 0;
  for (size_t i = 0; i < p->numbers; i++) moving += moves(p, i);
  if (moving == 0) return true;
  t->number = resized(p, NULL, 0, moving, sizeof *t->number);
  t->moving = moving;
  if (t->number == NULL) return false;
  t->change = resized(p, NULL, 0, t->rows * moving, sizeof *t->change);
  if (t->change == NULL) return false;
  size_t k = 0;
  for (size_t i = 0; i < p->numbers; i++) {
    if (!moves(p, i)) continue;
    t->number[k] = (uint32_t)i;
    for (size_t r = 0; r < t->rows; r++) t->change[r * moving + k] = p->tried[r * p->numbers + i] - p->first[i];
    p->places = p->places || is_place(p, i);
    k++;
  }
  return true;
}

sy_status sy_plan_term(sy_plan *p, const sy_plan_factor *factors, size_t count, sy_error *err) {
  term t = {.rows = 1};
  bool fine = count > 0 && count <= SY_PLAN_MOST_FACTORS;
  for (size_t f = 0; f < count && fine; f++) {
    fine = is_factor(&factors[f]);
    t.rows *= factors[f].count;
  }
  const size_t tries = p->tries;
  if (!fine || t.rows != tries) {
    p->tries = 0;
    return sy_fail(err, SY_RANGE, "plan", NULL, "%zu cars tried are not what a term needs", tries);
  }
  if (p->count == p->terms_room) {
    const size_t room = p->terms_room == 0 ? 4 : 2 * p->terms_room;
    term *more = resized(p, p->terms, p->terms_room, room, sizeof *more);
    if (more == NULL) return no_memory(err);
    p->terms = more, p->terms_room = room;
  }
  if (!fill_term(p, &t, factors, count)) {
    free_term(p, &t);
    return no_memory(err);
  }
  p->tries = 0;
  p->terms[p->count++] = t;
  return SY_OK;
}

/* ---- one variant --------------------------------------------------------------------------------------------------------------- */

/* How much each node counts at a value. Of a table one counts, `at`. */
typedef struct weights {
  size_t at, count;
  double weight[SY_PLAN_MOST_NODES];
} weights;

/* Index in rising values, or count. */
static size_t find_value(const double *node, size_t count, double value) {
  size_t low = 0, high = count;
  while (low < high) {
    const size_t mid = low + (high - low) / 2;
    if (node[mid] < value)
      low = mid + 1;
    else
      high = mid;
  }
  return low < count && node[low] == value ? low : count;
}

/* Lagrange's products, of differences or of sines of half the differences: 1 at the own node and 0 at the others, exactly. */
static bool weigh(const sy_plan_factor *f, double value, weights *w) {
  w->at = 0, w->count = f->count;
  if (f->way == SY_PLAN_TABLE) {
    w->at = find_value(f->node, f->count, value);
    w->count = 1, w->weight[0] = 1.0;
    return w->at < f->count;
  }
  for (size_t j = 0; j < f->count; j++) {
    double over = 1.0, under = 1.0;
    for (size_t k = 0; k < f->count; k++) {
      if (k == j) continue;
      const double a = value - f->node[k], b = f->node[j] - f->node[k];
      over *= f->way == SY_PLAN_ANGLE ? sin(0.5 * SY_DEGREE * a) : a;
      under *= f->way == SY_PLAN_ANGLE ? sin(0.5 * SY_DEGREE * b) : b;
    }
    w->weight[j] = over / under;
  }
  return true;
}

static void add_row(const term *t, size_t row, double weight, double *const *at) {
  const double *change = t->change + row * t->moving;
  for (size_t k = 0; k < t->moving; k++) *at[t->number[k]] += weight * change[k];
}

/* All combinations of the nodes of factors f, f + 1, ... */
static void add_combinations(const term *t, const weights *w, size_t f, size_t row, double weight, double *const *at) {
  if (f == t->factors) {
    add_row(t, row, weight, at);
    return;
  }
  for (size_t k = 0; k < w[f].count; k++) {
    const double by = weight * w[f].weight[k];
    if (by != 0.0) add_combinations(t, w, f + 1, row * t->factor[f].count + w[f].at + k, by, at);
  }
}

/* A car whose numbers lie at `at`, as base: then with those that move as they are at `value`. False without an answer. */
static bool put_numbers(const sy_plan *p, const double *value, double *const *at) {
  for (size_t i = 0; i < p->count; i++)
    for (size_t k = 0; k < p->terms[i].moving; k++) {
      const uint32_t n = p->terms[i].number[k];
      *at[n] = p->first[n];
    }
  for (size_t i = 0; i < p->count; i++) {
    const term *t = &p->terms[i];
    weights w[SY_PLAN_MOST_FACTORS];
    for (size_t f = 0; f < t->factors; f++)
      if (!weigh(&t->factor[f], value[t->factor[f].input], &w[f])) return false;
    add_combinations(t, w, 0, 0, 1.0, at);
  }
  return true;
}

double sy_plan_miss(const sy_plan *p, const double *value, const sy_plan_car *car) {
  sy_plan_car mine;
  double *at[SY_PLAN_NUMBERS], real[SY_PLAN_NUMBERS], miss = 0.0;
  if (!sy_plan_car_alike(&p->base, car)) return (double)INFINITY;
  sy_plan_car_copy(&p->base, &mine);
  sy_plan_car_numbers(&mine, at);
  if (!put_numbers(p, value, at)) return (double)INFINITY;
  read_numbers(car, real, p->numbers);
  for (size_t i = 0; i < p->numbers; i++) {
    if (*at[i] == real[i] || (isnan(*at[i]) && isnan(real[i]))) continue;
    const double by = fabs(*at[i] - real[i]) / fmax(p->size[i], size_of(p, i, real[i]));
    if (!(by <= miss)) miss = isnan(by) ? (double)INFINITY : by;
  }
  return miss;
}

/* ---- many ------------------------------------------------------------------------------------------------------------------------ */

static bool asks_limit(const sy_plan_output *output, size_t outputs) {
  for (size_t o = 0; o < outputs; o++)
    if (output[o].row->near != NULL) return true;
  return false;
}

/* A set whose limits nobody asks need not look for them: it is solved as beside a car where none was found. */
static const void *without_limits(const sy_plan *p, const sy_plan_output *output, size_t outputs, sy_answer_state *none) {
  if (p->set != sy_transfer_answers() || asks_limit(output, outputs)) return NULL;
  sy_pushed *s = (sy_pushed *)(void *)none->room;
  memset(s, 0, sizeof *s);
  s->lift.wheel = -1;
  return s;
}

sy_status sy_plan_solve(const sy_plan *p, const double *const *value, size_t count, const sy_plan_output *output,
                        size_t outputs, double *const *column, sy_error *err) {
  sy_plan_car car;
  sy_answer_state state, none;
  double *at[SY_PLAN_NUMBERS], v[SY_PLAN_MOST_INPUTS];
  unsigned inputs = 0;
  const void *beside = without_limits(p, output, outputs, &none);
  sy_plan_car_copy(&p->base, &car);
  sy_plan_car_numbers(&car, at);
  for (size_t i = 0; i < p->count; i++)
    for (size_t f = 0; f < p->terms[i].factors; f++)
      if (p->terms[i].factor[f].input >= inputs) inputs = p->terms[i].factor[f].input + 1;
  for (size_t i = 0; i < count; i++) {
    for (unsigned k = 0; k < inputs; k++) v[k] = value[k][i];
    if (!put_numbers(p, v, at))
      return sy_fail(err, SY_UNKNOWN, "plan", NULL, "variant %zu has a value that was not tried", i + 1);
    const bool solved = sy_plan_car_follow(&car, p->places, NULL) == SY_OK &&
                        p->set->solve(&car.car, &car.now, &car.drawn, beside, true, state.room, NULL) == SY_OK;
    for (size_t o = 0; o < outputs; o++) {
      const sy_answer_row *row = output[o].row;
      column[o][i] =
          solved ? output[o].scale * row->value(state.room, row->at + output[o].index) + output[o].offset : (double)NAN;
    }
  }
  return SY_OK;
}
