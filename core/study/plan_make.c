#include "study/plan.h"

#include <math.h>
#include <string.h>

#include "base/lanes.h"
#include "base/units.h"
#include "study/plan_parts.h"

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

enum { SUMS_OF_TOTALS = (1 + SY_CARRIER_COUNT) * SY_SUMS, COVARIANCES = 10, OF_CROSS = 5 };

uint32_t sy_plan_lane_number(uint32_t lane) {
  return lane < SY_BALANCE_SUMS ? lane : 2 * SUMS_OF_TOTALS + (lane - SY_BALANCE_SUMS);
}

/* What differences of a number are measured by: itself, but of a sum the mass at arms of a metre, of a covariance the variances of the mass and
** of a measured cross weight, and of all else 1: a metre, a radian, an entry of a rotation. */
static double size_of(const sy_plan *p, size_t number, double value) {
  const size_t from = 2 * SUMS_OF_TOTALS, of_cross = from + COVARIANCES;
  const double mass = p->base.now.cov.c[0], cross = p->base.cross_cov[OF_CROSS - 1];
  const double size = number < from                      ? p->base.now.all.m
                      : number < of_cross                ? mass
                      : number < of_cross + OF_CROSS - 1 ? sqrt(mass * cross)
                      : number < of_cross + OF_CROSS     ? cross
                                                         : 1.0;
  return fmax(fabs(value), size);
}

static void note_sizes(sy_plan *p, const double *row) {
  for (size_t i = 0; i < p->numbers; i++)
    if (!isnan(row[i])) p->size[i] = fmax(p->size[i], size_of(p, i, row[i]));
}

sy_status sy_plan_make(const sy_alloc *alloc, const sy_answer_set *set, const sy_plan_car *base,
                       sy_plan **out, sy_error *err) {
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
  return sy_plan_car_follow(&p->base, (sy_plan_moved){.shafts = ~0u, .envelopes = ~0u},
                            NULL); /* no places: no error */
}

bool sy_plan_use_level(sy_plan *plan, int level) {
  if (level != 0 && !sy_lanes_level(level)) return false;
  plan->level = level;
  return true;
}

static void free_part(sy_plan *p, sy_plan_part *t) {
  for (size_t f = 0; f < t->axes; f++)
    resized(p, (void *)(uintptr_t)t->axis[f].factor.node, t->axis[f].factor.count, 0, sizeof(double));
  if (t->number != NULL) resized(p, t->number, t->moving, 0, sizeof *t->number);
  if (t->change != NULL) resized(p, t->change, t->rows * t->moving, 0, sizeof *t->change);
}

void sy_plan_clear(sy_plan *p) {
  for (size_t i = 0; i < p->count; i++) free_part(p, &p->part[i]);
  p->count = 0;
  p->follows = (sy_plan_moved){.places = false};
}

void sy_plan_free(sy_plan *p) {
  if (p == NULL) return;
  sy_plan_clear(p);
  if (p->part != NULL) resized(p, p->part, p->part_room, 0, sizeof *p->part);
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

enum { PIECE = SY_PLAN_MOST_NODES - 1 }; /* nodes from the beginning of one to that of the next */

static bool right_count(const sy_plan_factor *f) {
  switch (f->way) {
  case SY_PLAN_TABLE: return f->count > 0;
  case SY_PLAN_PIECES: return f->count > PIECE && f->count % PIECE == 1;
  case SY_PLAN_ANGLE: return f->count == 5;
  default: return f->count > 0 && f->count <= SY_PLAN_MOST_NODES;
  }
}

static bool is_factor(const sy_plan_factor *f) {
  if (f->input >= SY_PLAN_MOST_INPUTS || !right_count(f)) return false;
  for (size_t i = 1; i < f->count; i++)
    if (!(f->node[i] > f->node[i - 1])) return false;
  return true;
}

static bool moves(const sy_plan *p, size_t number) {
  for (size_t r = 0; r < p->tries; r++)
    if (p->tried[r * p->numbers + number] != p->first[number] && !isnan(p->first[number])) return true;
  return false;
}

/* What the weights of a factor are worked out from. */
static void fill_axis(sy_plan_axis *a) {
  const sy_plan_factor *f = &a->factor;
  for (size_t j = 0; j < f->count && (f->way == SY_PLAN_POWERS || f->way == SY_PLAN_ANGLE); j++) {
    a->half_sine[j] = sin(0.5 * SY_DEGREE * f->node[j]);
    a->half_cosine[j] = cos(0.5 * SY_DEGREE * f->node[j]);
    a->under[j] = 1.0;
    for (size_t k = 0; k < f->count; k++) {
      const double by = f->node[j] - f->node[k];
      if (k != j) a->under[j] *= f->way == SY_PLAN_ANGLE ? sin(0.5 * SY_DEGREE * by) : by;
    }
  }
}

/* The polynomial through `count` values at t, by Newton's divided differences: coefficients from the highest power. What rounding of a
** number of that size leaves is none; returns how many are left, at least one. */
static int fit_powers(const double *t, const double *value, size_t count, double size, double *out) {
  double newton[SY_PLAN_MOST_NODES], c[SY_PLAN_MOST_NODES] = {0};
  memcpy(newton, value, count * sizeof *newton);
  for (size_t d = 1; d < count; d++)
    for (size_t k = count - 1; k >= d; k--) newton[k] = (newton[k] - newton[k - 1]) / (t[k] - t[k - d]);
  for (size_t d = count; d-- > 0;) { /* c(t) = c(t) (t - t_d) + newton_d, c[k] of the power k */
    for (size_t k = count - 1; k > 0; k--) c[k] = c[k - 1] - t[d] * c[k];
    c[0] = newton[d] - t[d] * c[0];
  }
  size_t top = count - 1;
  while (top > 0 && fabs(c[top]) <= 1e-15 * size) top--;
  for (size_t k = 0; k <= top; k++) out[k] = c[top - k];
  return (int)top + 1;
}

static void fill_powers(const sy_plan *p, sy_plan_part *t) {
  const sy_plan_factor *f = &t->axis[0].factor;
  double at[SY_PLAN_MOST_NODES], value[SY_PLAN_MOST_NODES];
  t->is_power = t->axes == 1 && f->way == SY_PLAN_POWERS;
  if (!t->is_power) return;
  const double low = f->node[0], high = f->node[f->count - 1];
  t->middle = 0.5 * (low + high);
  t->by = f->count > 1 ? 2.0 / (high - low) : 1.0;
  for (size_t i = 0; i < f->count; i++) at[i] = (f->node[i] - t->middle) * t->by;
  for (size_t k = 0; k < t->lanes; k++) {
    for (size_t i = 0; i < f->count; i++) value[i] = t->change[i * t->moving + t->column[k]];
    t->powers[k] = fit_powers(at, value, f->count, p->size[sy_plan_lane_number(t->lane[k])], t->power[k]);
  }
}

static bool fill_part(sy_plan *p, sy_plan_part *t, const sy_plan_factor *factors, size_t count) {
  for (size_t f = 0; f < count; f++) {
    double *node = resized(p, NULL, 0, factors[f].count, sizeof *node);
    if (node == NULL) return false;
    memcpy(node, factors[f].node, factors[f].count * sizeof *node);
    t->axis[f].factor = factors[f];
    t->axis[f].factor.node = node;
    t->axes = f + 1;
    fill_axis(&t->axis[f]);
  }
  size_t moving = 0;
  for (size_t i = 0; i < p->numbers; i++) moving += moves(p, i);
  if (moving == 0) return true;
  t->number = resized(p, NULL, 0, moving, sizeof *t->number);
  t->moving = moving;
  if (t->number == NULL) return false;
  t->change = resized(p, NULL, 0, t->rows * moving, sizeof *t->change);
  if (t->change == NULL) return false;
  double *at[SY_PLAN_NUMBERS];
  size_t k = 0;
  sy_plan_car_numbers(&p->base, at);
  for (size_t i = 0; i < p->numbers; i++) {
    if (!moves(p, i)) continue;
    t->number[k] = (uint32_t)i;
    for (size_t r = 0; r < t->rows; r++)
      t->change[r * moving + k] = p->tried[r * p->numbers + i] - p->first[i];
    sy_plan_car_note(&p->base, at[i], &t->follows);
    sy_plan_car_note(&p->base, at[i], &p->follows);
    for (uint32_t lane = 0; lane < SY_BALANCE_LANES; lane++)
      if (sy_plan_lane_number(lane) == i) t->lane[t->lanes] = lane, t->column[t->lanes++] = (uint32_t)k;
    t->sums += i < SY_BALANCE_SUMS;
    k++;
  }
  fill_powers(p, t);
  return true;
}

sy_status sy_plan_term(sy_plan *p, const sy_plan_factor *factors, size_t count, sy_error *err) {
  sy_plan_part t = {.rows = 1};
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
  if (p->count == p->part_room) {
    const size_t room = p->part_room == 0 ? 4 : 2 * p->part_room;
    sy_plan_part *more = resized(p, p->part, p->part_room, room, sizeof *more);
    if (more == NULL) return no_memory(err);
    p->part = more, p->part_room = room;
  }
  if (!fill_part(p, &t, factors, count)) {
    free_part(p, &t);
    return no_memory(err);
  }
  p->tries = 0;
  p->part[p->count++] = t;
  return SY_OK;
}

/* ---- one variant --------------------------------------------------------------------------------------------------------------- */

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

/* Lagrange's products on the piece that the value lies in, or is nearest to. */
static void weigh_piece(const sy_plan_factor *f, double value, sy_plan_weights *w) {
  size_t low = 0, high = f->count / PIECE - 1; /* pieces */
  while (low < high) {
    const size_t mid = low + (high - low) / 2;
    if (value <= f->node[(mid + 1) * PIECE])
      high = mid;
    else
      low = mid + 1;
  }
  const double *node = f->node + low * PIECE;
  w->at = low * PIECE, w->count = SY_PLAN_MOST_NODES;
  for (size_t j = 0; j < SY_PLAN_MOST_NODES; j++) {
    double over = 1.0, under = 1.0;
    for (size_t k = 0; k < SY_PLAN_MOST_NODES; k++) {
      over *= k == j ? 1.0 : value - node[k];
      under *= k == j ? 1.0 : node[j] - node[k];
    }
    w->weight[j] = over / under;
  }
}

/* Lagrange's products, of differences or of sines of half the differences. */
bool sy_plan_weigh(const sy_plan_axis *axis, double value, sy_plan_weights *w) {
  const sy_plan_factor *f = &axis->factor;
  w->at = 0, w->count = f->count;
  if (f->way == SY_PLAN_TABLE) {
    w->at = find_value(f->node, f->count, value);
    w->count = 1, w->weight[0] = 1.0;
    return w->at < f->count;
  }
  if (f->way == SY_PLAN_PIECES) {
    weigh_piece(f, value, w);
    return true;
  }
  double off[SY_PLAN_MOST_NODES] = {0};
  const bool angle = f->way == SY_PLAN_ANGLE;
  const double sine = angle ? sin(0.5 * SY_DEGREE * value) : 0.0,
               cosine = angle ? cos(0.5 * SY_DEGREE * value) : 0.0;
  for (size_t k = 0; k < f->count; k++)
    off[k] = angle ? sine * axis->half_cosine[k] - cosine * axis->half_sine[k] : value - f->node[k];
  for (size_t j = 0; j < f->count; j++) {
    double over = 1.0;
    for (size_t k = 0; k < f->count; k++) over *= k == j ? 1.0 : off[k];
    w->weight[j] = over / axis->under[j];
  }
  return true;
}

/* What is added to: numbers by themselves, or lanes. */
typedef struct target {
  const uint32_t *column; /* NULL: all moving numbers */
  size_t count;
  double *const *at;
} target;

static void add_row(const sy_plan_part *t, size_t row, double weight, const target *to) {
  const double *change = t->change + row * t->moving;
  if (to->column == NULL)
    for (size_t k = 0; k < t->moving; k++) *to->at[t->number[k]] += weight * change[k];
  else
    for (size_t k = 0; k < to->count; k++) *to->at[k] += weight * change[to->column[k]];
}

/* All combinations of the nodes of axes f, f + 1, ... */
static void add_combinations(const sy_plan_part *t, const sy_plan_weights *w, size_t f, size_t row,
                             double weight, const target *to) {
  if (f == t->axes) {
    add_row(t, row, weight, to);
    return;
  }
  for (size_t k = 0; k < w[f].count; k++) {
    const double by = weight * w[f].weight[k];
    if (by != 0.0) add_combinations(t, w, f + 1, row * t->axis[f].factor.count + w[f].at + k, by, to);
  }
}

static bool add_at(const sy_plan_part *t, const double *value, const target *to) {
  sy_plan_weights w[SY_PLAN_MOST_FACTORS];
  for (size_t f = 0; f < t->axes; f++)
    if (!sy_plan_weigh(&t->axis[f], value[t->axis[f].factor.input], &w[f])) return false;
  add_combinations(t, w, 0, 0, 1.0, to);
  return true;
}

bool sy_plan_add_part(const sy_plan_part *t, const double *value, double *const *at) {
  return add_at(t, value, &(target){NULL, 0, at});
}

bool sy_plan_add_lanes(const sy_plan_part *t, const double *value, size_t count, double *const *at) {
  return add_at(t, value, &(target){t->column, count, at});
}

bool sy_plan_put_numbers(const sy_plan *p, const double *value, double *const *at) {
  for (size_t i = 0; i < p->count; i++)
    for (size_t k = 0; k < p->part[i].moving; k++) {
      const uint32_t n = p->part[i].number[k];
      *at[n] = p->first[n];
    }
  for (size_t i = 0; i < p->count; i++)
    if (!sy_plan_add_part(&p->part[i], value, at)) return false;
  return true;
}

double sy_plan_miss(const sy_plan *p, const double *value, const sy_plan_car *car) {
  sy_plan_car mine;
  double *at[SY_PLAN_NUMBERS], real[SY_PLAN_NUMBERS], miss = 0.0;
  if (!sy_plan_car_alike(&p->base, car)) return (double)INFINITY;
  sy_plan_car_copy(&p->base, &mine);
  sy_plan_car_numbers(&mine, at);
  if (!sy_plan_put_numbers(p, value, at)) return (double)INFINITY;
  read_numbers(car, real, p->numbers);
  for (size_t i = 0; i < p->numbers; i++) {
    if (*at[i] == real[i] || (isnan(*at[i]) && isnan(real[i]))) continue;
    const double by = fabs(*at[i] - real[i]) / fmax(p->size[i], size_of(p, i, real[i]));
    if (!(by <= miss)) miss = isnan(by) ? (double)INFINITY : by;
  }
  return miss;
}
