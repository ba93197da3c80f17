/* partcg_plan.h - inside of partcg: which unknown of the fit stands where, and the model it is fitted to. */
#ifndef SY_MEASURE_PARTCG_PLAN_H
#define SY_MEASURE_PARTCG_PLAN_H

#include <math.h>

#include "partcg.h"

/* Unknowns: mass, cg along the known directions, then free loads, angles, places, known masses and their places, as far as they are
** uncertain. Rows: loads, edges, and one for each uncertain input. SY_PARTCG_NONE stands for what is exact. */
#define SY_PARTCG_NONE ((size_t)-1)

typedef struct sy_partcg_plan {
  const sy_partcg *problem;
  size_t rows, cols, loads;
  bool has_mass;
  size_t directions;
  sy_vec3 direction[3]; /* of the cg, that poses determine */
  sy_vec3 reference;    /* where the cg is taken from: its unknown directions stay there */
  size_t load_row[SY_PARTCG_POSES][SY_PARTCG_LEGS]; /* of a read load */
  size_t free_load[SY_PARTCG_POSES][SY_PARTCG_LEGS];
  size_t corner[SY_PARTCG_POSES][3]; /* the legs whose loads follow from equilibrium */
  sy_vec3 along
      [SY_PARTCG_POSES]; /* two legs: horizontal direction from one to the other, as (x, y) of the ground */
  size_t roll[SY_PARTCG_POSES], pitch[SY_PARTCG_POSES], place[SY_PARTCG_PLACES][3];
  size_t mass[SY_PARTCG_BALANCES], at[SY_PARTCG_BALANCES];
} sy_partcg_plan;

/* Rows of turn = Ry(pitch) Rx(roll): ground x and y of a point of the part, and their sensitivities. */
typedef struct sy_partcg_ground {
  sy_vec3 x, y, x_roll, y_roll, x_pitch;
} sy_partcg_ground;

/* The rows for one attitude. */
sy_partcg_ground sy_partcg_ground_of(double roll, double pitch);

/* The unknown's value, or the input where it is exact. */
static inline double sy_partcg_value(size_t column, const double *x, double exact) {
  return column == SY_PARTCG_NONE ? exact : x[column];
}

/* Errors of sy_partcg_solve, but those of the fit. */
sy_status sy_partcg_make_plan(const sy_partcg *problem, sy_partcg_plan *plan, sy_error *err);

/* A failure of "pose 2" or "edge 1": `number` counts from 0. */
sy_status sy_partcg_bad(sy_error *err, sy_status status, const char *what, size_t number, const char *field,
                        const char *why);

sy_vec3 sy_partcg_cg(const sy_partcg_plan *plan, const double *x);

/* The model of sy_lsq_fit; user is a sy_partcg_plan. */
sy_status sy_partcg_model(void *user, const double *x, double *fitted, double *jacobian, sy_error *err);

#endif
