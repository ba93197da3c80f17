#include "numeric/lsq.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/finite.h"
#include "numeric/linsolve.h"
#include "numeric/stats.h"

/* The caller's block, cut up. */
typedef struct space {
  size_t rows, cols;
  sy_qr qr;                                            /* of the weighted system */
  double *jacobian, *weighted, *rest, *fitted, *trial; /* rows x cols, (rows + cols) x cols, rows.. */
  double *x, *step, *next, *covariance, *gram;         /* cols, cols, cols, cols x cols twice */
  double *gain, *residual, *redundancy, *standardised, *residual_space;
  double *sides, *solved; /* rows and cols x SY_QR_SIDES */
} space;

static size_t dof_of(size_t rows, size_t cols) { return rows > cols ? rows - cols : 0; }

size_t sy_lsq_size(size_t rows, size_t cols) {
  const size_t doubles = rows * cols            /* jacobian */
                         + (rows + cols) * cols /* weighted, with room for the damping rows */
                         + (rows + cols) + 2 * rows + 5 * cols +
                         2 * cols * cols /* .. to gram, R's diagonal and scale */
                         + cols * rows + 3 * rows + rows * dof_of(rows, cols) + (rows + cols) * SY_QR_SIDES;
  return doubles * sizeof(double) + cols * sizeof(size_t);
}

static double *cut(double **next, size_t count) {
  double *piece = *next;
  *next += count;
  return piece;
}

static space lay_out(size_t rows, size_t cols, void *memory) {
  space s;
  double *next = memory;
  s.rows = rows;
  s.cols = cols;
  s.jacobian = cut(&next, rows * cols);
  s.weighted = cut(&next, (rows + cols) * cols);
  s.rest = cut(&next, rows + cols);
  s.fitted = cut(&next, rows);
  s.trial = cut(&next, rows);
  s.x = cut(&next, cols);
  s.step = cut(&next, cols);
  s.next = cut(&next, cols);
  s.covariance = cut(&next, cols * cols);
  s.gram = cut(&next, cols * cols);
  s.gain = cut(&next, cols * rows);
  s.residual = cut(&next, rows);
  s.redundancy = cut(&next, rows);
  s.standardised = cut(&next, rows);
  s.residual_space = cut(&next, rows * dof_of(rows, cols));
  s.sides = cut(&next, rows * SY_QR_SIDES);
  s.solved = cut(&next, cols * SY_QR_SIDES);
  s.qr.rows = rows;
  s.qr.cols = cols;
  s.qr.a = s.weighted;
  s.qr.diagonal = cut(&next, cols);
  s.qr.scale = cut(&next, cols);
  s.qr.order = (size_t *)(void *)next; /* nothing else is ever kept there */
  return s;
}

static sy_status check(const double *y, const double *sd, size_t rows, size_t cols, sy_error *err) {
  if (cols == 0 || rows < cols)
    return sy_fail(err, SY_RANGE, "fit", "observations", "are %zu for %zu unknowns", rows, cols);
  for (size_t i = 0; i < rows; i++) {
    if (!isfinite(y[i])) return sy_fail(err, SY_RANGE, "fit", "observation", "%zu is not finite", i + 1);
    if (!(sd[i] > 0 && isfinite(sd[i])))
      return sy_fail(err, SY_RANGE, "fit", "sd", "of observation %zu is %g, must be > 0", i + 1, sd[i]);
  }
  return SY_OK;
}

/* weighted = diag(1/sd) jacobian, rest = (y - fitted)/sd, and below them `damping` times the columns' sizes. */
static sy_status factor(space *s, const double *y, const double *sd, double damping, sy_error *err) {
  const size_t n = s->cols;
  for (size_t i = 0; i < s->rows; i++) {
    for (size_t j = 0; j < n; j++) s->weighted[i * n + j] = s->jacobian[i * n + j] / sd[i];
    s->rest[i] = (y[i] - s->fitted[i]) / sd[i];
  }
  s->qr.rows = s->rows;
  if (damping > 0) {
    s->qr.rows += n;
    for (size_t j = 0; j < n; j++) {
      double size = 0;
      for (size_t i = 0; i < s->rows; i++) size = hypot(size, s->weighted[i * n + j]);
      for (size_t k = 0; k < n; k++) s->weighted[(s->rows + j) * n + k] = j == k ? damping * size : 0;
      s->rest[s->rows + j] = 0;
    }
  }
  return sy_qr_factor(&s->qr, err);
}

/* Observations i, i + 1, ..: unit vectors solved for give columns of the pseudo-inverse and, in what they leave, rows of the residual
** space: the redundancy is a sum of squares there and not 1 minus nearly 1. */
static void report_some(space *s, const double *sd, size_t i) {
  const size_t n = s->cols, dof = s->rows - n, sides = SY_QR_SIDES;
  const size_t count = s->rows - i < SY_QR_SIDES ? s->rows - i : SY_QR_SIDES;
  memset(s->sides, 0, s->rows * sides * sizeof *s->sides);
  for (size_t c = 0; c < count; c++) s->sides[(i + c) * sides + c] = 1;
  sy_qr_least_squares_sides(&s->qr, s->sides, s->solved);
  for (size_t c = 0; c < count; c++) {
    for (size_t j = 0; j < n; j++) s->gain[j * s->rows + i + c] = s->solved[j * sides + c] / sd[i + c];
    double redundancy = 0;
    for (size_t k = 0; k < dof; k++) {
      const double left = s->sides[(n + k) * sides + c];
      s->residual_space[(i + c) * dof + k] = left;
      redundancy += left * left;
    }
    s->redundancy[i + c] = fmin(redundancy, 1.0);
    const double w = s->residual[i + c] / sd[i + c];
    s->standardised[i + c] = redundancy > SY_LSQ_UNTESTABLE ? w / sqrt(redundancy) : (double)NAN;
  }
}

/* How much of a report is asked for. */
typedef enum extent { MINIMUM, ESTIMATE, ALL } extent;

/* That much of the report; `weighted` is factored without damping and fitted is the model at x. */
static sy_status report(space *s, const double *y, const double *sd, extent asked, sy_lsq *out,
                        sy_error *err) {
  const size_t n = s->cols, dof = s->rows - n;
  double chi2 = 0;
  if (asked >= ESTIMATE) sy_qr_inverse_gram(&s->qr, s->covariance, s->gram);
  for (size_t i = 0; i < s->rows; i++) {
    s->residual[i] = y[i] - s->fitted[i];
    const double w = s->residual[i] / sd[i];
    chi2 += w * w;
  }
  for (size_t i = 0; asked == ALL && i < s->rows; i += SY_QR_SIDES) report_some(s, sd, i);
  sy_status status = sy_finite_results(&chi2, 1, "fit", "observations", err);
  if (status == SY_OK) status = sy_finite_results(s->x, n, "fit", "observations", err);
  if (status != SY_OK) return status;
  *out = (sy_lsq){s->rows, s->cols, dof, chi2, s->x, s->covariance, NULL, s->residual, NULL, NULL, NULL};
  if (asked == MINIMUM) out->covariance = NULL;
  if (asked != ALL) return SY_OK;
  out->gain = s->gain;
  out->redundancy = s->redundancy;
  out->standardised = s->standardised;
  out->residual_space = s->residual_space;
  return SY_OK;
}

sy_status sy_lsq_linear(const double *a, const double *y, const double *sd, size_t rows, size_t cols,
                        void *memory, sy_lsq *out, sy_error *err) {
  sy_status status = check(y, sd, rows, cols, err);
  if (status != SY_OK) return status;
  space s = lay_out(rows, cols, memory);
  memcpy(s.jacobian, a, rows * cols * sizeof *a);
  memset(s.fitted, 0, rows * sizeof *s.fitted);
  status = factor(&s, y, sd, 0, err);
  if (status != SY_OK) return status;
  sy_qr_least_squares(&s.qr, s.rest, s.x);
  for (size_t i = 0; i < rows; i++)
    for (size_t j = 0; j < cols; j++) s.fitted[i] += a[i * cols + j] * s.x[j];
  return report(&s, y, sd, ALL, out, err);
}

/* Fitting a model that is not linear ----------------------------------------------------------------------------- */

static double chi_square(const double *y, const double *fitted, const double *sd, size_t rows) {
  double sum = 0;
  for (size_t i = 0; i < rows; i++) {
    const double w = (y[i] - fitted[i]) / sd[i];
    sum += w * w;
  }
  return sum;
}

/* |J step|, weighted: the step in units of the estimate's own uncertainty. */
static double sigmas(const space *s, const double *sd) {
  double sum = 0;
  for (size_t i = 0; i < s->rows; i++) {
    double row = 0;
    for (size_t j = 0; j < s->cols; j++) row += s->jacobian[i * s->cols + j] * s->step[j];
    sum += row / sd[i] * (row / sd[i]);
  }
  return sqrt(sum);
}

/* Take the step if it makes chi2 less. */
static bool improves(space *s, sy_lsq_model *model, void *user, const double *y, const double *sd,
                     double *chi2) {
  for (size_t j = 0; j < s->cols; j++) s->next[j] = s->x[j] + s->step[j];
  if (model(user, s->next, s->trial, NULL, NULL) != SY_OK) return false;
  const double after = chi_square(y, s->trial, sd, s->rows);
  if (!(after < *chi2)) return false;
  memcpy(s->x, s->next, s->cols * sizeof *s->x);
  *chi2 = after;
  return true;
}

enum { MOST_STEPS = 200 };
static const double near = 1e-4; /* sigmas: closer than this a step is better known than the change of chi2 */
static const double settled = 1e-11; /* sigmas: far below any reading, well above rounding */
static const double lightest = 1e-3; /* damping, times a column's size: hardly changes the step */
static const double heaviest = 1e8;  /* such a step moves nothing */

/* Names the observation that is the furthest off where the steps ended: usually the one that was misread. */
static sy_status not_settled(const space *s, const double *y, const double *sd, sy_error *err) {
  size_t worst = 0;
  double most = 0;
  for (size_t i = 0; i < s->rows; i++) {
    const double off = fabs(y[i] - s->fitted[i]) / sd[i];
    if (off > most) {
      most = off;
      worst = i;
    }
  }
  return sy_fail(err, SY_LIMIT, "readings", NULL,
                 "contradict one another, no answer comes near them: number %zu of %zu is the furthest off",
                 worst + 1, s->rows);
}

static sy_status fit(sy_lsq_model *model, void *user, const double *y, const double *sd, const double *start,
                     size_t rows, size_t cols, void *memory, extent asked, sy_lsq *out, sy_error *err) {
  sy_status status = check(y, sd, rows, cols, err);
  if (status != SY_OK) return status;
  space s = lay_out(rows, cols, memory);
  memcpy(s.x, start, cols * sizeof *start);
  double before = (double)INFINITY;
  for (int steps = 0; steps < MOST_STEPS; steps++) {
    status = model(user, s.x, s.fitted, s.jacobian, err);
    if (status == SY_OK) status = factor(&s, y, sd, 0, err);
    if (status != SY_OK) return status;
    double chi2 = chi_square(y, s.fitted, sd, rows);
    if (!isfinite(chi2)) return sy_fail(err, SY_RANGE, "fit", "model", "is not finite at the start");
    sy_qr_least_squares(&s.qr, s.rest, s.step);
    const double size = sigmas(&s, sd);
    if (size <= settled || (size <= near && size >= before)) /* steps that no longer shrink are rounding */
      return report(&s, y, sd, asked, out, err);
    before = size;
    bool better = improves(&s, model, user, y, sd, &chi2);
    if (!better && size <= near) {
      for (size_t j = 0; j < cols; j++) s.x[j] += s.step[j];
      continue;
    }
    for (double damping = lightest; !better && damping < heaviest; damping *= 4) {
      status = factor(&s, y, sd, damping, err);
      if (status != SY_OK) return status;
      sy_qr_least_squares(&s.qr, s.rest, s.step);
      better = improves(&s, model, user, y, sd, &chi2);
    }
    if (!better) return not_settled(&s, y, sd, err);
  }
  return not_settled(&s, y, sd, err);
}

sy_status sy_lsq_fit(sy_lsq_model *model, void *user, const double *y, const double *sd, const double *start,
                     size_t rows, size_t cols, void *memory, sy_lsq *out, sy_error *err) {
  return fit(model, user, y, sd, start, rows, cols, memory, ALL, out, err);
}

sy_status sy_lsq_estimate(sy_lsq_model *model, void *user, const double *y, const double *sd,
                          const double *start, size_t rows, size_t cols, void *memory, sy_lsq *out,
                          sy_error *err) {
  return fit(model, user, y, sd, start, rows, cols, memory, ESTIMATE, out, err);
}

sy_status sy_lsq_minimum(sy_lsq_model *model, void *user, const double *y, const double *sd,
                         const double *start, size_t rows, size_t cols, void *memory, sy_lsq *out,
                         sy_error *err) {
  return fit(model, user, y, sd, start, rows, cols, memory, MINIMUM, out, err);
}

/* Reading a report ------------------------------------------------------------------------------------------------ */

double sy_lsq_studentised(const sy_lsq *fit, size_t i) {
  if (fit->dof < 2) return (double)NAN;
  const double t = fit->standardised[i] / sqrt(fit->chi2 / (double)fit->dof), dof = (double)fit->dof;
  return t * sqrt((dof - 1) / (dof - t * t));
}

size_t sy_lsq_worst(const sy_lsq *fit, size_t from, size_t to) {
  size_t worst = to;
  for (size_t i = from; i < to; i++)
    if (!isnan(fit->standardised[i]) &&
        (worst == to || fabs(fit->standardised[i]) > fabs(fit->standardised[worst])))
      worst = i;
  return worst;
}

double sy_lsq_correlation(const sy_lsq *fit, size_t i, size_t k) {
  if (isnan(fit->standardised[i]) || isnan(fit->standardised[k])) return 0;
  double sum = 0;
  for (size_t c = 0; c < fit->dof; c++)
    sum += fit->residual_space[i * fit->dof + c] * fit->residual_space[k * fit->dof + c];
  return fmax(-1.0, fmin(1.0, sum / sqrt(fit->redundancy[i] * fit->redundancy[k])));
}

double sy_lsq_critical(size_t tested, double alpha) {
  if (tested == 0) return (double)NAN;
  const double each = -expm1(log1p(-alpha) / (double)tested); /* 1 - (1 - alpha)^(1/tested) */
  return -sy_stats_normal_quantile(each / 2);
}
