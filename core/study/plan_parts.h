/* plan_parts.h - what a plan holds and how it finds numbers between those tried. Private to core/study. */
#ifndef SY_STUDY_PLAN_PARTS_H
#define SY_STUDY_PLAN_PARTS_H

#include "kernels/balance_lanes.h"
#include "plan.h"

/* A factor with what its weights are worked out from. */
typedef struct sy_plan_axis {
  sy_plan_factor factor;                                                 /* nodes are the plan's own */
  double under[SY_PLAN_MOST_NODES];                                      /* Lagrange's denominators */
  double half_sine[SY_PLAN_MOST_NODES], half_cosine[SY_PLAN_MOST_NODES]; /* of the nodes of an angle */
} sy_plan_axis;

typedef struct sy_plan_part {
  size_t axes, rows, moving; /* rows: combinations of nodes; moving: numbers that differ in any of them */
  sy_plan_axis axis[SY_PLAN_MOST_FACTORS];
  uint32_t *number; /* which, `moving` of them, rising */
  double *change;   /* rows x moving, from u0 */
  /* Those that lanes are made of (kernels/balance_lanes.h): which lane, and where among the moving ones. Sums first, then covariances. */
  size_t sums, lanes;
  uint32_t lane[SY_BALANCE_LANES], column[SY_BALANCE_LANES];
  sy_plan_moved follows; /* what follows from them */
  /* Of powers of one input: the change of those lanes as a polynomial in (value - middle) x by, from the highest power that is there. */
  bool is_power;
  double middle, by;
  double power[SY_BALANCE_LANES][SY_PLAN_MOST_NODES];
  int powers[SY_BALANCE_LANES]; /* how many coefficients */
} sy_plan_part;

struct sy_plan {
  sy_alloc alloc;
  const sy_answer_set *set;
  int level; /* of the kernels; 0: the best */
  size_t numbers;
  double *first, *size; /* at u0, and the size of each */
  double *tried;        /* tries x numbers */
  size_t tries, room;
  sy_plan_part *part;
  size_t count, part_room;
  sy_plan_moved follows; /* from all that moves */
  sy_plan_car base;
};

/* How much each node counts at a value: `count` of them, from number `at` on. */
typedef struct sy_plan_weights {
  size_t at, count;
  double weight[SY_PLAN_MOST_NODES];
} sy_plan_weights;

/* False where a table has no such value. */
bool sy_plan_weigh(const sy_plan_axis *axis, double value, sy_plan_weights *out);

/* The number of a car that lane k is. */
uint32_t sy_plan_lane_number(uint32_t lane);

/* Adds what the part does at `value` (by input) to all its numbers, which lie at `at`; or to the first `count` of its lanes, which lie there
** in their order. False without an answer. */
bool sy_plan_add_part(const sy_plan_part *part, const double *value, double *const *at);
bool sy_plan_add_lanes(const sy_plan_part *part, const double *value, size_t count, double *const *at);

/* The numbers of a car that lie at `at`, as base before: those that move as they are at `value`. False without an answer. */
bool sy_plan_put_numbers(const sy_plan *plan, const double *value, double *const *at);

#endif
