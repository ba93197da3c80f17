/* plan.h - what is varied of a car, compiled: every number of the car as a function of the inputs, and the answers of a set for many
** variants.
**
** Units    SI; inputs are plain numbers in units of the caller's.
** Tried    a plan knows no edit. The caller makes cars by whatever edits it has, at a few values of the inputs, and gives them to the plan,
**          which finds every number of every other variant between them. Sums of a ledger add up over parts, so
**              number(u) = number(u0) + sum over terms of their change, each a function of the inputs of that term alone:
**          inputs that act on different parts stand in terms of their own, those that act on the same parts share one, in which all
**          combinations of their values are tried.
** Ways     a shift enters the ten sums by its square at most, a mass by itself, a fill of an upright box by its third power; a turn by
**          cosine and sine of twice the angle at most; polynomials and trigonometric polynomials through enough values are then exact
**          but for rounding. What is smooth and none of these, as the fill of a cylinder, is met piece by piece, as nearly as the pieces are
**          small. All else is a table: only values that were tried have an answer.
** Proof    whether such a function holds is never assumed: sy_plan_miss says how far a car that was made otherwise is from the plan's.
** Source   interpolation in Lagrange's form; the trigonometric one by Gauss: A. Zygmund, Trigonometric Series, ch. X (from memory).
** Memory   an opaque owner; sy_plan_solve allocates nothing and may run in several threads at once.
*/
#ifndef SY_STUDY_PLAN_H
#define SY_STUDY_PLAN_H

#include "../answers/ask.h"
#include "../base/alloc.h"
#include "plan_car.h"
#include "summary.h"

typedef struct sy_plan sy_plan;

typedef enum sy_plan_way {
  SY_PLAN_POWERS, /* of a degree one less than the number of nodes */
  SY_PLAN_ANGLE,  /* five nodes, in degrees: up to twice the angle */
  SY_PLAN_TABLE,  /* the nodes and nothing else */
  SY_PLAN_PIECES /* powers piece by piece: SY_PLAN_MOST_NODES nodes each, the last of which is the next one's first */
} sy_plan_way;

enum { SY_PLAN_MOST_NODES = 8, SY_PLAN_MOST_FACTORS = 8, SY_PLAN_MOST_INPUTS = 64 };

/* How a term follows one input. */
typedef struct sy_plan_factor {
  unsigned input; /* 0, 1, ... */
  sy_plan_way way;
  const double *
      node; /* `count` values of the input, rising strictly; up to SY_PLAN_MOST_NODES but in a table or pieces */
  size_t count;
} sy_plan_factor;

/* base    the car at u0, copied
** set     what is solved; also answers of other sets that are solved by the same function can be read
** Errors  SY_LIMIT  memory is out */
SY_API sy_status sy_plan_make(const sy_alloc *alloc, const sy_answer_set *set, const sy_plan_car *base,
                              sy_plan **out, sy_error *err);

SY_API void sy_plan_free(sy_plan *plan); /* NULL is fine */

/* Takes note of a car for the next term.
** Errors  SY_CLASH  it differs from u0 in more than numbers;  SY_LIMIT  memory is out */
SY_API sy_status sy_plan_try(sy_plan *plan, const sy_plan_car *car, sy_error *err);

/* A term from the cars tried since the last one: all combinations of the factors' nodes, those of the last factor fastest.
** Errors  SY_RANGE  that is not their number; nodes that do not rise; more factors or nodes than above;  SY_LIMIT  memory is out.
** Afterwards no tried cars are left. */
SY_API sy_status sy_plan_term(sy_plan *plan, const sy_plan_factor *factors, size_t count, sy_error *err);

/* Takes the terms back. */
SY_API void sy_plan_clear(sy_plan *plan);

/* How far the plan's numbers at `value` (by input) are from those of a car made otherwise: the largest difference by size, where a
** number's size is the larger of itself and what it had in any car tried, and of sums also the mass at arms of a metre. Infinity
** for a car that is not alike or a value that no table has. */
SY_API double sy_plan_miss(const sy_plan *plan, const double *value, const sy_plan_car *car);

/* One answer: shown = scale x answer + offset. */
typedef struct sy_plan_output {
  const sy_answer_row *row;
  int index; /* which axle or wheel */
  double scale, offset;
} sy_plan_output;

/* Is the standard uncertainty of the answer known beside it? Of those of a balance that rest on the masses and their places alone, whose
** covariance the cars bring (plan_car.h), and on the cross weight. */
SY_API bool sy_plan_has_sd(const sy_plan *plan, const sy_plan_output *output);

/* Which build of the kernels runs, for tests: 1 any processor, 3 and 4 x86-64-v3 and -v4; 0: the best there is, as when it is made. False
** when this processor or this build has not got it. */
SY_API bool sy_plan_use_level(sy_plan *plan, int level);

/* What is wanted of outputs, made ready for many calls of sy_plan_run; it points to the plan and the outputs. */
typedef struct sy_plan_ready {
  double room[1152];
} sy_plan_ready;

/* sd      by output: is its standard uncertainty wanted? NULL: of none
** Errors  SY_LIMIT  more than SY_MOST_ASKED outputs */
SY_API sy_status sy_plan_prepare(const sy_plan *plan, const sy_plan_output *output, size_t outputs,
                                 const bool *sd, sy_plan_ready *out, sy_error *err);

/* Where answers go. */
typedef struct sy_plan_into {
  double *const *
      column; /* by output, variant i at [i]: NaN where there is no answer or the car does not stand so; NULL: not kept */
  double *const *sd; /* by output likewise, NULL for those that were not prepared; NULL: none is */
  sy_summary *const *
      summary; /* by output, what is added to, and sy_plan_settle finishes; NULL for those that are not wanted; NULL: none is */
  uint64_t first; /* number of the first variant, for summaries */
  bool stream;    /* write past the caches: for columns that are much larger */
  /* Entry i becomes true of a variant that took a search of its own (answer_set.h) or that does not stand so; others are left alone.
  ** NULL: not wanted */
  bool *singly;
} sy_plan_into;

/* Solves `count` variants. value: by input, variant i at [i]. No bit depends on `count` nor on `stream`.
** Errors  SY_UNKNOWN  a value that no table has: nothing is known of any variant then, and summaries may be of some */
SY_API sy_status sy_plan_run(const sy_plan_ready *ready, const double *const *value, size_t count,
                             const sy_plan_into *into, sy_error *err);

/* In summaries a new extreme is noted as of the first variant of the call, since most are outdone by a later call. This finds out of which
** variant it is: `value` and `count` as in the call whose first variant was `first`, or as of any variants after that one.
** at      among the outputs that were made ready
** Errors  SY_LIMIT  more than 512 variants, or there is no such output;  SY_UNKNOWN  as for sy_plan_run */
SY_API sy_status sy_plan_settle(const sy_plan_ready *ready, const double *const *value, size_t count,
                                uint64_t first, size_t at, sy_summary *summary, sy_error *err);

/* Both at once, for a single call.
** value   by input, variant i at [i]; column  by output likewise, written: NaN where there is no answer or the car does not stand so
** sd      by output likewise, NULL for those that are not wanted; NULL: none is
** stream, singly  as in sy_plan_into
** Errors  SY_UNKNOWN  a value that no table has: nothing is known of any variant then;  SY_LIMIT  more than SY_MOST_ASKED outputs */
SY_API sy_status sy_plan_solve(const sy_plan *plan, const double *const *value, size_t count,
                               const sy_plan_output *output, size_t outputs, double *const *column,
                               double *const *sd, bool stream, bool *singly, sy_error *err);

#endif
