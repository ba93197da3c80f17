#include "study/pack_lp.h"

#include <float.h>
#include <math.h>
#include <stddef.h>

/* What is not worth a step, as a share of the numbers it is made of: they are sums of some ten products, and steps add to that. */
#define FINE (4096 * DBL_EPSILON)

/* Basic variables follow those that are not: basic[i] = d[i] + sum of t[i][j] other[j]. Numbers below `vars` are x, then slacks. */
typedef struct table {
  const pack_lp *lp;
  double t[PACK_LP_ROWS][PACK_LP_VARS], d[PACK_LP_ROWS], size[PACK_LP_ROWS];
  double cost[PACK_LP_VARS];
  int basic[PACK_LP_ROWS], other[PACK_LP_VARS];
  bool up[PACK_LP_VARS]; /* stands at its upper bound */
} table;

static double low_of(const pack_lp *lp, int v) { return v < lp->vars ? lp->lo[v] : 0.0; }

static double high_of(const pack_lp *lp, int v) { return v < lp->vars ? lp->hi[v] : (double)INFINITY; }

static double other_value(const table *s, int j) {
  return s->up[j] ? high_of(s->lp, s->other[j]) : low_of(s->lp, s->other[j]);
}

/* Of all others: a row is a sum over them, so they are looked up once for all rows. */
static void other_values(const table *s, double value[PACK_LP_VARS]) {
  for (int j = 0; j < s->lp->vars; j++) value[j] = other_value(s, j);
}

static double basic_value(const table *s, int i, const double other[PACK_LP_VARS]) {
  double v = s->d[i];
  for (int j = 0; j < s->lp->vars; j++) v += s->t[i][j] * other[j];
  return v;
}

static void start(const pack_lp *lp, table *s) {
  double far[PACK_LP_VARS];
  s->lp = lp;
  for (int j = 0; j < lp->vars; j++) {
    far[j] = fmax(fabs(lp->lo[j]), fabs(lp->hi[j]));
    s->other[j] = j;
    s->cost[j] = lp->c[j];
    s->up[j] = lp->c[j] < 0.0;
  }
  for (int i = 0; i < lp->rows; i++) {
    s->basic[i] = lp->vars + i;
    s->d[i] = lp->b[i];
    s->size[i] = fabs(lp->b[i]);
    for (int j = 0; j < lp->vars; j++) {
      s->t[i][j] = -lp->a[i][j];
      s->size[i] += fabs(lp->a[i][j]) * far[j];
    }
  }
}

/* The row whose basic variable is furthest outside its bounds, by its size; -1: none. */
static int leaving(const table *s, bool *below) {
  int worst = -1;
  double most = FINE, other[PACK_LP_VARS] = {0};
  other_values(s, other);
  for (int i = 0; i < s->lp->rows; i++) {
    const double v = basic_value(s, i, other), low = low_of(s->lp, s->basic[i]) - v,
                 high = v - high_of(s->lp, s->basic[i]), out = low > high ? low : high;
    if (!(out > 0.0)) continue; /* most rows: inside */
    const double by = out / (s->size[i] > 0.0 ? s->size[i] : 1.0);
    if (by > most) most = by, worst = i, *below = low > high;
  }
  return worst;
}

/* What comes in for it: the one whose cost is used up first, of equal ones the largest pivot; -1: nothing can help. */
static int entering(const table *s, int row, bool below) {
  int best = -1;
  double least = 0.0, pivot = 0.0;
  for (int j = 0; j < s->lp->vars; j++) {
    const double t = below ? s->t[row][j] : -s->t[row][j];
    if (s->up[j] ? t >= 0.0 : t <= 0.0) continue;
    if (high_of(s->lp, s->other[j]) <= low_of(s->lp, s->other[j])) continue;
    const double ratio = fabs(s->cost[j] / t), size = fabs(t);
    if (best < 0 || ratio < least * (1.0 - FINE) || (ratio <= least * (1.0 + FINE) && size > pivot))
      best = j, least = ratio, pivot = size;
  }
  return best;
}

static void pivot(table *s, int row, int j, bool below) {
  const int n = s->lp->vars, out = s->basic[row];
  double *const r = s->t[row];
  const double p = 1.0 / r[j];
  for (int k = 0; k < n; k++) r[k] = k == j ? p : -p * r[k];
  s->d[row] *= -p;
  for (int i = 0; i < s->lp->rows; i++) {
    const double f = s->t[i][j];
    if (i == row || f == 0.0) continue;
    s->t[i][j] = 0.0; /* so that f p comes there, as the sum that all others are */
    for (int k = 0; k < n; k++) s->t[i][k] += f * r[k];
    s->d[i] += f * s->d[row];
  }
  const double f = s->cost[j];
  for (int k = 0; k < n; k++) s->cost[k] = k == j ? f * p : s->cost[k] + f * r[k];
  s->basic[row] = s->other[j];
  s->size[row] = fmax(fabs(low_of(s->lp, s->basic[row])), high_of(s->lp, s->basic[row]));
  if (!(s->size[row] < (double)INFINITY))
    s->size[row] = s->lp->b[s->basic[row] - n] != 0.0 ? fabs(s->lp->b[s->basic[row] - n]) : 1.0;
  s->other[j] = out;
  s->up[j] = !below;
}

/* The least over the box of c . x + y . (a x - b), less what rounding may have added. `c` NULL: without it. */
static double over_box(const pack_lp *lp, const double *c, const double *y) {
  double sum = 0.0, size = 0.0;
  double by[PACK_LP_VARS];
  double by_size[PACK_LP_VARS];
  for (int k = 0; k < lp->vars; k++) by[k] = c != NULL ? c[k] : 0.0, by_size[k] = fabs(by[k]);
  for (int i = 0; i < lp->rows; i++) {
    if (y[i] == 0.0) continue;
    sum -= y[i] * lp->b[i];
    size += fabs(y[i] * lp->b[i]);
    for (int k = 0; k < lp->vars; k++) by[k] += y[i] * lp->a[i][k], by_size[k] += fabs(y[i] * lp->a[i][k]);
  }
  for (int k = 0; k < lp->vars; k++) {
    sum += by[k] > 0.0 ? by[k] * lp->lo[k] : by[k] * lp->hi[k];
    size += by_size[k] * fmax(fabs(lp->lo[k]), fabs(lp->hi[k]));
  }
  return sum - (lp->rows + lp->vars + 4) * DBL_EPSILON * size;
}

/* Multipliers that show that the row's variable cannot come inside its bounds. */
static bool none(const table *s, int row, bool below) {
  double y[PACK_LP_ROWS] = {0};
  const int n = s->lp->vars;
  if (s->basic[row] >= n) y[s->basic[row] - n] = 1.0;
  for (int j = 0; j < n; j++)
    if (s->other[j] >= n) y[s->other[j] - n] = fmax(0.0, below ? -s->t[row][j] : s->t[row][j]);
  return over_box(s->lp, NULL, y) > 0.0;
}

bool pack_lp_solve(const pack_lp *lp, double *bound, double x[PACK_LP_VARS]) {
  table s;
  start(lp, &s);
  const int most = 20 + 4 * (lp->rows + lp->vars); /* far more than it takes: an end of circles by rounding */
  for (int step = 0; step < most; step++) {
    bool below = false;
    const int row = leaving(&s, &below), j = row < 0 ? -1 : entering(&s, row, below);
    if (row < 0) break;
    if (j < 0) {
      if (none(&s, row, below)) return false;
      break;
    }
    pivot(&s, row, j, below);
  }
  double y[PACK_LP_ROWS] = {0}, other[PACK_LP_VARS] = {0};
  other_values(&s, other);
  for (int j = 0; j < lp->vars; j++) {
    const int v = s.other[j];
    if (v >= lp->vars)
      y[v - lp->vars] = fmax(0.0, s.cost[j]);
    else
      x[v] = other[j];
  }
  for (int i = 0; i < lp->rows; i++) {
    const int v = s.basic[i];
    if (v < lp->vars) x[v] = fmin(fmax(basic_value(&s, i, other), lp->lo[v]), lp->hi[v]);
  }
  *bound = over_box(lp, lp->c, y);
  return true;
}
