/* seek.h - values of inputs that reach targets, or make an answer least or most, within bounds and under limits.
**
** Units    inputs, answers, limits and targets each in a unit of the caller's.
** Folds    each quantity has `folds` values at a place, one for every state or load it is asked in. A limit holds for all of them, a target is as
**          far off as the farthest, and what is made least is the greatest of them (what is made most, the least).
** Asked    for each of these: a target alone is reached with the least change: the sum over the inputs of (change / range)^2. Where one cannot
**          be reached, the nearest is the place that keeps the limits and has the least sum of (miss / within)^2.
** Solver   a callback, so that nothing here depends on a library; what it says of its success is not read. Each end is checked against the
**          constraints here, from several starts: the place as it is, then those of a Latin hypercube (points.h).
** Rounded  what was found is put on the values that an input may have, neighbours are tried, and the best of them is judged by `exact`. So the
**          result does not hang on the last digits of a solver; two that end within half a step of each other give the same bits.
** Source   multipliers of what binds: J. Nocedal, S. Wright, Numerical Optimization, 2nd ed., 12.3 (from memory); non-negative least squares:
**          C. Lawson, R. Hanson, Solving Least Squares Problems, ch. 23 (from memory).
*/
#ifndef SY_STUDY_SEEK_H
#define SY_STUDY_SEEK_H

#include <stdbool.h>
#include <stdint.h>

#include "../base/alloc.h"
#include "../base/status.h"

enum {
  SY_SEEK_INPUTS = 24,
  SY_SEEK_ANSWERS = 4096, /* of one place: quantities x folds */
  SY_SEEK_TARGETS = 16,
  SY_SEEK_LIMITS = 64,
  SY_SEEK_STARTS = 256,
  SY_SEEK_BATCH = 64,   /* places asked about at a time, at most */
  SY_SEEK_BINDINGS = 64 /* at most so many are named */
};

typedef struct sy_seek_input {
  double low, high;    /* low < high */
  double now;          /* as it is, inside or not: changes count from the value inside that is nearest */
  double per;          /* > 0: found values are whole multiples of 1 / per, or one of the bounds */
  const double *value; /* or one of `count` values, rising from low to high; per is not read. NULL: any */
  size_t count;
} sy_seek_input;

typedef struct sy_seek_target {
  size_t quantity;
  double value;
  double
      within; /* how far off counts as reached, >= 0; NAN: half of what one step of the input that does most for it changes, at least the
                 ** quantity's size */
} sy_seek_target;

typedef struct sy_seek_limit {
  size_t quantity;
  double min, max; /* -INFINITY, INFINITY: none */
} sy_seek_limit;

/* Answers at `count` places (count <= SY_SEEK_BATCH): x[place * inputs + input] -> answer[(place * quantities + quantity) * folds + fold], NaN where
** there is none. False: stop. */
typedef bool sy_seek_ask(void *user, size_t count, const double *x, double *answer);

typedef struct sy_seek_problem {
  const sy_seek_input *input;
  size_t inputs, quantities, folds;
  const double *size; /* by quantity, > 0: differences below it do not count */
  const sy_seek_target *target;
  size_t targets;
  const sy_seek_limit *limit;
  size_t limits;
  int aim; /* 0: targets alone; -1: `aimed` least; 1: most */
  size_t aimed;
  size_t starts;
  uint64_t seed;
  sy_seek_ask *ask, *exact; /* many quickly; those that are judged. exact NULL: as ask */
  void *user;
} sy_seek_problem;

/* ---- the solver ------------------------------------------------------------------------------------------------------------------- */

/* Make f least with every g <= 0 and lower <= x <= upper, all of a size near 1. */
typedef struct sy_seek_task {
  size_t n, m;
  const double *lower, *upper;
  /* f at x, its gradient df (n), g (m) and its gradients dg (m x n, one row each); any but `task` and x may be NULL. False: stop. */
  bool (*at)(const struct sy_seek_task *task, const double *x, double *f, double *df, double *g, double *dg);
  void *user;
} sy_seek_task;

typedef enum sy_seek_way {
  SY_SEEK_GRADIENTS, /* by gradients: sequential quadratic programming */
  SY_SEEK_VALUES     /* by values alone, where the first finds nothing */
} sy_seek_way;

typedef struct sy_seek_solver {
  /* x: a start, then the end, inside the bounds in any case */
  void (*solve)(const struct sy_seek_solver *solver, const sy_seek_task *task, sy_seek_way way, double *x);
} sy_seek_solver;

/* ---- what is found ------------------------------------------------------------------------------------------------------------------ */

typedef enum sy_seek_outcome {
  SY_SEEK_REACHED, /* targets are reached and limits kept */
  SY_SEEK_NEAREST, /* limits are kept, a target is missed */
  SY_SEEK_BROKEN,  /* no place is known that keeps all limits */
  SY_SEEK_UNMOVED, /* nothing was sought: no input moves `which`, a quantity that a target misses or that is aimed at */
  SY_SEEK_UNKNOWN, /* nothing was sought: `which`, a quantity, has no answer at any start */
  SY_SEEK_STOPPED  /* ask or exact said so */
} sy_seek_outcome;

typedef enum sy_seek_kind { SY_SEEK_BOUND, SY_SEEK_LIMIT, SY_SEEK_TARGET } sy_seek_kind;

/* What stands in the way at the place that was found. */
typedef struct sy_seek_binding {
  sy_seek_kind kind;
  size_t number; /* of the input, limit or target */
  double value;  /* the bound, limit or target */
  double
      gain; /* by how much, to first order, one unit more room makes the answer aimed at less (or more), or what is not reached nearer, a target
               ** or a limit; >= 0. NaN where there is none of these, or several */
} sy_seek_binding;

typedef struct sy_seek_found {
  sy_seek_outcome outcome;
  size_t which;
  double x[SY_SEEK_INPUTS];
  double within[SY_SEEK_TARGETS]; /* as taken */
  size_t agree;                   /* of the starts: how many ended as well as the best */
  bool by_values;                 /* the first way of solving found nothing, the second did */
  sy_seek_binding binding[SY_SEEK_BINDINGS];
  size_t bindings;
  size_t gains; /* the quantity that gains are of, where they are numbers */
} sy_seek_found;

/* Errors  SY_RANGE    numbers of inputs, starts and so on outside what is above; a number that is not finite where it must be
**         SY_CLASH    low is not below high, a limit's min is above its max; neither targets nor an aim
**         SY_LIMIT    memory is out */
SY_API sy_status sy_seek_run(const sy_seek_problem *problem, const sy_seek_solver *solver,
                             const sy_alloc *alloc, sy_seek_found *out, sy_error *err);

#endif
