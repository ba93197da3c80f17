/* seek_nlopt.c - the solver of sy.seek by NLopt, a module of its own: steelyard.seek_nlopt, loaded when a search begins.
**
** Ways     by gradients SLSQP (D. Kraft, Algorithm 733, ACM Trans. Math. Softw. 20, 1994), by values COBYLA (M. Powell, A direct search
**          optimization method that models the objective and constraint functions by linear interpolation, 1994); both as NLopt has them.
** Random   neither draws anything: NLopt's one generator, which all of a process share, is left alone.
** Success  what NLopt returns is not read: core/study/seek_run.c holds each end against the constraints.
*/
#include <lauxlib.h>
#include <nlopt.h>
#include <stdlib.h>
#include <string.h>

#include "bind/study/solver.h"

enum { MOST_BY_GRADIENTS = 200, MOST_BY_VALUES = 2000 }; /* evaluations */

/* Ends are rounded to some 1e-4 of a range: these leave them the same to far below that. */
static const double NEAR = 1e-10, NEAR_BY_VALUES = 1e-7, FIRST_STEP = 0.1;

typedef struct job {
  const sy_seek_task *task;
  nlopt_opt opt;
} job;

static double objective(unsigned n, const double *x, double *gradient, void *data) {
  job *j = data;
  double f = 0.0;
  (void)n;
  if (!j->task->at(j->task, x, &f, gradient, NULL, NULL)) nlopt_force_stop(j->opt);
  return f;
}

static void constraints(unsigned m, double *g, unsigned n, const double *x, double *gradient, void *data) {
  job *j = data;
  (void)n;
  memset(g, 0, m * sizeof *g);
  if (!j->task->at(j->task, x, NULL, NULL, g, gradient)) nlopt_force_stop(j->opt);
}

static void put_inside(const sy_seek_task *task, double *x) {
  for (size_t i = 0; i < task->n; i++) {
    if (!(x[i] >= task->lower[i])) x[i] = task->lower[i];
    if (x[i] > task->upper[i]) x[i] = task->upper[i];
  }
}

static void solve(const sy_seek_solver *solver, const sy_seek_task *task, sy_seek_way way, double *x) {
  const bool by_gradients = way == SY_SEEK_GRADIENTS;
  double f;
  (void)solver;
  put_inside(task, x);
  nlopt_opt opt = nlopt_create(by_gradients ? NLOPT_LD_SLSQP : NLOPT_LN_COBYLA, (unsigned)task->n);
  double *none = calloc(task->m > 0 ? task->m : 1, sizeof *none);
  job j = {task, opt};
  if (opt != NULL && none != NULL) {
    nlopt_set_lower_bounds(opt, task->lower);
    nlopt_set_upper_bounds(opt, task->upper);
    nlopt_set_min_objective(opt, objective, &j);
    if (task->m > 0) nlopt_add_inequality_mconstraint(opt, (unsigned)task->m, constraints, &j, none);
    nlopt_set_xtol_abs1(opt, by_gradients ? NEAR : NEAR_BY_VALUES);
    nlopt_set_maxeval(opt, by_gradients ? MOST_BY_GRADIENTS : MOST_BY_VALUES);
    if (!by_gradients) nlopt_set_initial_step1(opt, FIRST_STEP);
    nlopt_optimize(opt, x, &f);
    put_inside(task, x);
  }
  free(none);
  nlopt_destroy(opt);
}

/* the one symbol the module exports */
int luaopen_steelyard_seek_nlopt(lua_State *L);

__attribute__((visibility("default"))) int luaopen_steelyard_seek_nlopt(lua_State *L) {
  luaL_checkversion(L);
  syl_solver *s = lua_newuserdatauv(L, sizeof *s, 0);
  memset(s, 0, sizeof *s);
  memcpy(s->version, SY_VERSION, sizeof SY_VERSION);
  s->solver.solve = solve;
  luaL_newmetatable(L, SYL_SOLVER);
  lua_setmetatable(L, -2);
  return 1;
}
