/* seek_solver.h - a plain solver for tests of core/study/seek.h: an augmented Lagrangian with projected gradient steps. Slow, and written
** for nothing but to be another one than that which ships.
** Source  D. Bertsekas, Constrained Optimization and Lagrange Multiplier Methods, 1982, ch. 2 and 3 (from memory).
*/
#ifndef SY_TESTS_SEEK_SOLVER_H
#define SY_TESTS_SEEK_SOLVER_H

#include <math.h>
#include <string.h>

#include "study/seek.h"

enum { TEST_VARIABLES = 128, TEST_CONSTRAINTS = 64 };

/* `noise` is added to every end, now up, now down; `ways` counts how often which way was asked. */
typedef struct test_solver {
  sy_seek_solver solver;
  double noise;
  int ways[2];
  bool gives_up; /* leaves x where it is, by gradients */
} test_solver;

typedef struct lagrangian {
  const sy_seek_task *task;
  double multiplier[TEST_CONSTRAINTS], by;
} lagrangian;

static double clip(double x, double low, double high) { return x < low ? low : x > high ? high : x; }

static double lagrangian_at(const lagrangian *l, const double *x, double *gradient, double *worst) {
  static double g[TEST_CONSTRAINTS], dg[TEST_CONSTRAINTS * TEST_VARIABLES];
  const sy_seek_task *t = l->task;
  double f;
  *worst = 0.0;
  if (!t->at(t, x, &f, gradient, g, dg)) return (double)NAN;
  for (size_t j = 0; j < t->m; j++) {
    const double pull = fmax(l->multiplier[j] + l->by * g[j], 0.0);
    f += (pull * pull - l->multiplier[j] * l->multiplier[j]) / (2.0 * l->by);
    for (size_t i = 0; i < t->n; i++) gradient[i] += pull * dg[j * t->n + i];
    *worst = fmax(*worst, g[j]);
  }
  return f;
}

/* Projected gradient with a step that grows while it helps and shrinks until it does. */
static void descend(const lagrangian *l, double *x) {
  const sy_seek_task *t = l->task;
  double gradient[TEST_VARIABLES], to[TEST_VARIABLES], there[TEST_VARIABLES], worst, step = 1.0;
  double f = lagrangian_at(l, x, gradient, &worst);
  for (int k = 0; k < 3000 && step > 1e-14; k++) {
    double moved = 0.0, along = 0.0;
    for (size_t i = 0; i < t->n; i++) {
      to[i] = clip(x[i] - step * gradient[i], t->lower[i], t->upper[i]);
      moved = fmax(moved, fabs(to[i] - x[i]));
      along += gradient[i] * (to[i] - x[i]);
    }
    if (moved < 1e-13) return;
    const double next = lagrangian_at(l, to, there, &worst);
    if (!(next <= f + 1e-4 * along)) {
      step *= 0.5;
      continue;
    }
    /* the next step's length from how the gradient turned: Barzilai and Borwein */
    double ss = 0.0, sy = 0.0;
    for (size_t i = 0; i < t->n; i++) {
      const double s = to[i] - x[i], y = there[i] - gradient[i];
      ss += s * s, sy += s * y;
    }
    step = sy > 0.0 ? ss / sy : 2.0 * step;
    memcpy(x, to, t->n * sizeof *x);
    memcpy(gradient, there, t->n * sizeof *gradient);
    f = next;
  }
}

static void test_solve(const sy_seek_solver *solver, const sy_seek_task *task, sy_seek_way way, double *x) {
  test_solver *s = (test_solver *)(uintptr_t)solver;
  lagrangian l = {.task = task, .by = 10.0};
  double gradient[TEST_VARIABLES], g[TEST_CONSTRAINTS], worst;
  s->ways[way]++;
  if (s->gives_up && way == SY_SEEK_GRADIENTS) return;
  for (int round = 0; round < 40; round++) {
    descend(&l, x);
    if (isnan(lagrangian_at(&l, x, gradient, &worst))) return;
    task->at(task, x, NULL, NULL, g, NULL);
    for (size_t j = 0; j < task->m; j++) l.multiplier[j] = fmax(l.multiplier[j] + l.by * g[j], 0.0);
    if (worst < 1e-10 && round > 15) break;
    if (round % 5 == 4) l.by = fmin(4.0 * l.by, 1e4);
  }
  for (size_t i = 0; i < task->n; i++)
    x[i] = clip(x[i] + (i % 2 == 0 ? s->noise : -s->noise), task->lower[i], task->upper[i]);
}

static test_solver make_test_solver(double noise) {
  return (test_solver){.solver = {test_solve}, .noise = noise};
}

#endif
