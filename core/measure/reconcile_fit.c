#include "measure/reconcile_fit.h"

#include <float.h>
#include <math.h>
#include <string.h>

enum { N = SY_FIT_SUMS, MOST_STEPS = 100, MOST_HALVINGS = 30 };

/* A step below this share of every error's own uncertainty is the end: ten million times finer than anything that is printed. */
#define SMALL_STEP 1e-11

size_t sy_reconcile_errors(const sy_reconcile_fit *fit) { return 4 * fit->lines + 2 * fit->instruments; }

/* ---- the model ------------------------------------------------------------------------------------------------ */

size_t sy_reconcile_owner(const sy_reconcile_fit *fit, size_t i, int k) {
  const sy_reconcile_line *l = &fit->line[i];
  return i > 0 && (k == 0 ? l->same_mass : l->same_place[k - 1]) ? i - 1 : i;
}

double sy_reconcile_sd(const sy_reconcile_fit *fit, size_t i, int k) {
  const sy_reconcile_line *l = &fit->line[i];
  return k == 0 ? l->mass_sd : k == 1 ? l->place_sd.x : k == 2 ? l->place_sd.y : l->place_sd.z;
}

double sy_reconcile_mass(const sy_reconcile_fit *fit, const double *u, size_t i) {
  const sy_reconcile_line *l = &fit->line[i];
  double mass = l->mass + u[4 * sy_reconcile_owner(fit, i, 0)];
  if (l->instrument > 0) {
    const double *common = u + 4 * fit->lines + 2 * (l->instrument - 1);
    mass += l->bias_share * common[0] + l->gain_mass * common[1];
  }
  return mass;
}

sy_vec3 sy_reconcile_place(const sy_reconcile_fit *fit, const double *u, size_t i) {
  const sy_vec3 e = {u[4 * sy_reconcile_owner(fit, i, 1) + 1], u[4 * sy_reconcile_owner(fit, i, 2) + 2],
                     u[4 * sy_reconcile_owner(fit, i, 3) + 3]};
  return sy_vec3_add(fit->line[i].place, sy_mat3_apply(fit->line[i].directions, e));
}

static void add_vector(double h[N], double factor, sy_vec3 v) {
  h[1] += factor * v.x;
  h[2] += factor * v.y;
  h[3] += factor * v.z;
}

static sy_vec3 direction(const sy_reconcile_line *l, int k) {
  return (sy_vec3){l->directions.m[0][k - 1], l->directions.m[1][k - 1], l->directions.m[2][k - 1]};
}

void sy_reconcile_effect(const sy_reconcile_fit *fit, const double *u, size_t i, int k, double h[N]) {
  memset(h, 0, N * sizeof *h);
  for (size_t j = i; j < fit->lines && j <= i + 1; j++) {
    if (sy_reconcile_owner(fit, j, k) != i) break;
    const sy_reconcile_line *l = &fit->line[j];
    if (k == 0) {
      h[0] += l->pieces;
      add_vector(h, l->pieces, sy_reconcile_place(fit, u, j));
    } else {
      add_vector(h, l->pieces * sy_reconcile_mass(fit, u, j), direction(l, k));
    }
  }
}

void sy_reconcile_common(const sy_reconcile_fit *fit, const double *u, size_t instrument, int kind,
                         double h[N]) {
  memset(h, 0, N * sizeof *h);
  for (size_t i = 0; i < fit->lines; i++) {
    const sy_reconcile_line *l = &fit->line[i];
    if (l->instrument != instrument + 1) continue;
    const double share = l->pieces * (kind == 0 ? l->bias_share : l->gain_mass);
    h[0] += share;
    add_vector(h, share, sy_reconcile_place(fit, u, i));
  }
}

/* ---- small matrices ------------------------------------------------------------------------------------------- */

/* What is left of a pivot when it should be nothing: a few roundings of what was taken from it. */
#define ROUNDING (16 * DBL_EPSILON)

/* By Cholesky's factor: a = l l^T. */
bool sy_matrix4_invert(const sy_matrix4 *m, size_t n, sy_matrix4 *out) {
  sy_matrix4 l = {{{0}}}, inverse = {{{0}}};
  for (size_t i = 0; i < n; i++)
    for (size_t j = 0; j <= i; j++) {
      double sum = m->a[i][j];
      for (size_t k = 0; k < j; k++) sum -= l.a[i][k] * l.a[j][k];
      if (i == j) {
        if (!(sum > ROUNDING * m->a[i][i] && isfinite(sum))) return false;
        l.a[i][i] = sqrt(sum);
      } else {
        l.a[i][j] = sum / l.a[j][j];
      }
    }
  for (size_t c = 0; c < n; c++) { /* solve for the unit vector c */
    double x[N] = {0};
    for (size_t i = 0; i < n; i++) {
      double sum = i == c;
      for (size_t k = 0; k < i; k++) sum -= l.a[i][k] * x[k];
      x[i] = sum / l.a[i][i];
    }
    for (size_t i = n; i-- > 0;) {
      double sum = x[i];
      for (size_t k = i + 1; k < n; k++) sum -= l.a[k][i] * x[k];
      x[i] = sum / l.a[i][i];
    }
    for (size_t i = 0; i < n; i++) inverse.a[i][c] = x[i];
  }
  *out = inverse;
  return true;
}

double sy_matrix4_form(const sy_matrix4 *m, const double *a, const double *b) {
  double sum = 0;
  for (int i = 0; i < N; i++)
    for (int k = 0; k < N; k++) sum += a[i] * m->a[i][k] * b[k];
  return sum;
}

static void add_outer(sy_matrix4 *m, double factor, const double h[N]) {
  for (int i = 0; i < N; i++)
    for (int k = 0; k < N; k++) m->a[i][k] += factor * h[i] * h[k];
}

/* ---- one pass over the lines ---------------------------------------------------------------------------------- */

/* Every error in turn: its number, sd, and effect on q. */
typedef void each_error(void *user, size_t number, double sd, const double h[N]);

static void walk_errors(const sy_reconcile_fit *fit, const double *u, each_error *visit, void *user) {
  double h[N];
  for (size_t i = 0; i < fit->lines; i++)
    for (int k = 0; k < 4; k++) {
      const double sd = sy_reconcile_sd(fit, i, k);
      if (!(sd > 0) || sy_reconcile_owner(fit, i, k) != i) continue;
      sy_reconcile_effect(fit, u, i, k, h);
      visit(user, 4 * i + (size_t)k, sd, h);
    }
  for (size_t i = 0; i < fit->instruments; i++)
    for (int kind = 0; kind < 2; kind++) {
      const double sd = kind == 0 ? fit->instrument[i].bias_sd : fit->instrument[i].gain_sd;
      if (!(sd > 0)) continue;
      sy_reconcile_common(fit, u, i, kind, h);
      visit(user, 4 * fit->lines + 2 * i + (size_t)kind, sd, h);
    }
}

static void sums_of(const sy_reconcile_fit *fit, const double *u, double q[N]) {
  memset(q, 0, N * sizeof *q);
  for (size_t i = 0; i < fit->lines; i++) {
    const double mass = fit->line[i].pieces * sy_reconcile_mass(fit, u, i);
    q[0] += mass;
    add_vector(q, mass, sy_reconcile_place(fit, u, i));
  }
}

typedef struct gathering {
  const double *u;
  sy_matrix4 cov;
  double linear[N]; /* sum of effect times error */
} gathering;

static void gather(void *user, size_t number, double sd, const double h[N]) {
  gathering *g = user;
  add_outer(&g->cov, sd * sd, h);
  for (int i = 0; i < N; i++) g->linear[i] += h[i] * g->u[number];
}

/* The measured values of sums q, and their sensitivities; false where there is no mass to divide by. */
static bool values_of(const sy_reconcile_fit *fit, const double q[N], double value[N],
                      sy_matrix4 *sensitivity) {
  for (size_t r = 0; r < fit->rows; r++) {
    const double *of = fit->of.a[r];
    value[r] = 0;
    for (int k = 0; k < N; k++) value[r] += of[k] * q[k];
    for (int k = 0; k < N; k++) sensitivity->a[r][k] = of[k];
    if (!fit->per_mass[r]) continue;
    if (!(q[0] > 0)) return false;
    value[r] /= q[0];
    sensitivity->a[r][0] -= value[r];
    for (int k = 0; k < N; k++) sensitivity->a[r][k] /= q[0];
  }
  return true;
}

/* ---- the steps ------------------------------------------------------------------------------------------------ */

static bool objective(const sy_reconcile_fit *fit, const sy_matrix4 *noise_weight, const double *u,
                      double *out) {
  double q[N], value[N] = {0}, r[N] = {0}, sum = 0;
  sy_matrix4 sensitivity = {{{0}}};
  sums_of(fit, u, q);
  if (!(q[0] > 0) || !values_of(fit, q, value, &sensitivity)) return false;
  for (size_t i = 0; i < fit->rows; i++) r[i] = fit->measured[i] - value[i];
  for (size_t i = 0; i < fit->lines; i++)
    for (int k = 0; k < 4; k++) {
      const double sd = sy_reconcile_sd(fit, i, k), e = u[4 * i + (size_t)k];
      if (sd > 0) sum += e / sd * (e / sd);
    }
  for (size_t i = 0; i < fit->instruments; i++) {
    const double *e = u + 4 * fit->lines + 2 * i;
    const double sd[2] = {fit->instrument[i].bias_sd, fit->instrument[i].gain_sd};
    for (int kind = 0; kind < 2; kind++)
      if (sd[kind] > 0) sum += e[kind] / sd[kind] * (e[kind] / sd[kind]);
  }
  *out = sum + sy_matrix4_form(noise_weight, r, r);
  return isfinite(*out);
}

/* Everything at the errors u: sums, sensitivities, S^-1, and the pull on the errors. */
static bool look_at(sy_reconcile_fit *fit, const double *u) {
  gathering g = {u, {{{0}}}, {0}};
  double value[N] = {0}, off[N] = {0};
  sums_of(fit, u, fit->sums);
  memset(&fit->sensitivity, 0, sizeof fit->sensitivity);
  if (!values_of(fit, fit->sums, value, &fit->sensitivity)) return false;
  walk_errors(fit, u, gather, &g);
  fit->cov = g.cov;
  sy_matrix4 s = fit->noise;
  for (size_t r = 0; r < fit->rows; r++) {
    fit->residual[r] = off[r] = fit->measured[r] - value[r];
    for (int k = 0; k < N; k++) off[r] += fit->sensitivity.a[r][k] * g.linear[k];
    for (size_t c = 0; c < fit->rows; c++)
      s.a[r][c] += sy_matrix4_form(&g.cov, fit->sensitivity.a[r], fit->sensitivity.a[c]);
  }
  if (!sy_matrix4_invert(&s, fit->rows, &fit->weight)) return false;
  for (int r = 0; r < N; r++) {
    fit->pull[r] = 0;
    for (int k = 0; k < N; k++) fit->pull[r] += fit->weight.a[r][k] * off[k];
  }
  fit->chi2 = sy_matrix4_form(&fit->weight, off, off);
  return true;
}

typedef struct stepping {
  double pull[N]; /* G^T S^-1 (...): on q */
  double *trial;
  const double *u;
  double largest; /* step in units of the error's own uncertainty */
} stepping;

static void step(void *user, size_t number, double sd, const double h[N]) {
  stepping *s = user;
  double sum = 0;
  for (int k = 0; k < N; k++) sum += h[k] * s->pull[k];
  s->trial[number] = sd * sd * sum;
  s->largest = fmax(s->largest, fabs(s->trial[number] - s->u[number]) / sd);
}

/* Shorten the step until it lessens the sum. Near the end rounding decides: a sum of `count` squares is good to `count` roundings,
** and a step that adds less is taken whole. */
static void shorten(const sy_reconcile_fit *fit, const sy_matrix4 *noise_weight, double before,
                    size_t count) {
  const double most = before * (1.0 + (double)count * DBL_EPSILON);
  for (int halving = 0; halving < MOST_HALVINGS; halving++) {
    double after;
    if (objective(fit, noise_weight, fit->trial, &after) && after <= most) return;
    for (size_t i = 0; i < count; i++) fit->trial[i] = 0.5 * (fit->trial[i] + fit->error[i]);
  }
}

sy_status sy_reconcile_fit_solve(sy_reconcile_fit *fit, sy_error *err) {
  const size_t count = sy_reconcile_errors(fit);
  sy_matrix4 noise_weight;
  if (!sy_matrix4_invert(&fit->noise, fit->rows, &noise_weight))
    return sy_fail(err, SY_GEOMETRY, "readings", NULL,
                   "do not settle mass and place: the supports lie in one line");
  for (size_t i = 0; i < count; i++) fit->error[i] = fit->trial[i] = 0.0;
  if (!look_at(fit, fit->error) || !(fit->sums[0] > 0))
    return sy_fail(err, SY_RANGE, "ledger", "mass", "its sum is not above 0");
  memcpy(fit->booked, fit->sums, sizeof fit->booked);
  fit->booked_cov = fit->cov;
  for (int n = 0; n < MOST_STEPS; n++) {
    stepping s = {{0}, fit->trial, fit->error, 0};
    double before = 0;
    for (int k = 0; k < N; k++)
      for (int r = 0; r < N; r++) s.pull[k] += fit->sensitivity.a[r][k] * fit->pull[r];
    walk_errors(fit, fit->error, step, &s);
    if (s.largest > 1e-6 && objective(fit, &noise_weight, fit->error, &before))
      shorten(fit, &noise_weight, before, count);
    memcpy(fit->error, fit->trial, count * sizeof *fit->error);
    if (!look_at(fit, fit->error)) break;
    if (s.largest < SMALL_STEP) return SY_OK;
  }
  if (!(fit->sums[0] > 0))
    return sy_fail(err, SY_RANGE, "readings", NULL,
                   "would leave no mass in the ledger: they belong to another car");
  return sy_fail(
      err, SY_LIMIT, "readings", NULL,
      "cannot be reached by correcting the ledger (%d steps tried): they belong to another car or load",
      MOST_STEPS);
}
