/* lsq.h - fits by least squares with stated standard uncertainties, and what their residuals show.
**
** One report serves every measurement: estimate, covariance, residuals, how much of an error each observation would show
** (redundancy), standardised residuals and which observations are indistinguishable.
**
** Units    the caller's: observation i has the unit of y[i] and sd[i], parameter j of x[j]. Columns may differ in size.
** Matrices row major: entry (i, j) of a rows x cols matrix is a[i * cols + j].
** Weights  1/sd^2, independent observations, sd known beforehand: the covariance is (J^T W J)^-1 and is not scaled by the
**          residuals. An uncertain abscissa is an observation of its own with one more parameter, its true value; the fit
**          then is total least squares.
** Memory   one block of sy_lsq_size bytes, aligned for any type, belongs to the caller; the report points into it.
** Errors   SY_RANGE     an sd is not > 0, a value, the estimate or chi2 is not finite, rows < cols
**          SY_GEOMETRY  the observations do not settle the parameters: rank < cols
** Source   JCGM 100:2008, H.3 (a fit with its covariance); W. Baarda, A Testing Procedure for Use in Geodetic Networks, 1968
**          (redundancy numbers, standardised residuals); R. Cook & S. Weisberg, Residuals and Influence in Regression,
**          1982, 2.2 (studentised residuals); J. Nocedal & S. Wright, Numerical Optimization, 2006, 10.3 (Gauss-Newton,
**          Levenberg-Marquardt). Baarda and Cook from memory.
*/
#ifndef SY_NUMERIC_LSQ_H
#define SY_NUMERIC_LSQ_H

#include "../base/status.h"

typedef struct sy_lsq {
  size_t rows, cols;
  size_t dof;               /* rows - cols */
  double chi2;              /* sum of (residual / sd)^2 */
  const double *x;          /* cols: the estimate */
  const double *covariance; /* cols x cols; INFINITY where an uncertainty is too large to be squared */
  const double *gain;       /* cols x rows: change of x[j] per unit of y[i] */
  const double *residual;   /* rows: observed - fitted */
  const double
      *redundancy; /* rows: 1 - leverage, the share of an error in y[i] that stays in its residual; 0..1 */
  const double *
      standardised; /* rows: residual / (sd sqrt redundancy); NaN where the redundancy is below SY_LSQ_UNTESTABLE */
  const double *residual_space; /* rows x dof, orthonormal columns: residual space of the weighted problem */
} sy_lsq;

/* An observation of lesser redundancy tests nothing: of an error only this share would stay in its residual, which no
** scale displays. */
#define SY_LSQ_UNTESTABLE 1e-8

/* Bytes for either fit below. */
SY_API size_t sy_lsq_size(size_t rows, size_t cols);

/* The x that makes the sum of ((y - a x)_i / sd_i)^2 least. a: rows x cols; y, sd: rows. They are only read. */
SY_API sy_status sy_lsq_linear(const double *a, const double *y, const double *sd, size_t rows, size_t cols,
                               void *memory, sy_lsq *out, sy_error *err);

/* A model gives the fitted value of every observation (rows) for parameters x and, unless `jacobian` is NULL, their
** derivatives (rows x cols). It fails where it has no answer; the fit then tries a shorter step. */
typedef sy_status sy_lsq_model(void *user, const double *x, double *fitted, double *jacobian, sy_error *err);

/* The same for a model that is not linear, from the start x: Gauss-Newton steps, damped when one does not lessen chi2. Ends
** when a step is below 1e-11 of the estimate's own uncertainty, or rounding. Finds the minimum next to the start.
** Errors  also SY_LIMIT  no end within 200 steps; and the model's own at the start */
SY_API sy_status sy_lsq_fit(sy_lsq_model *model, void *user, const double *y, const double *sd,
                            const double *start, size_t rows, size_t cols, void *memory, sy_lsq *out,
                            sy_error *err);

/* The same without what is said of single observations, which takes most of the time: gain, redundancy, standardised and
** residual_space are NULL, and nothing below may be asked of it. */
SY_API sy_status sy_lsq_estimate(sy_lsq_model *model, void *user, const double *y, const double *sd,
                                 const double *start, size_t rows, size_t cols, void *memory, sy_lsq *out,
                                 sy_error *err);

/* The same without the covariance too, which is NULL: where the fit is, and chi2. */
SY_API sy_status sy_lsq_minimum(sy_lsq_model *model, void *user, const double *y, const double *sd,
                                const double *start, size_t rows, size_t cols, void *memory, sy_lsq *out,
                                sy_error *err);

/* Residual over the spread the fit itself shows, with observation i left out of that spread: Student's t with dof - 1.
** NaN where standardised is NaN or dof < 2. */
SY_API double sy_lsq_studentised(const sy_lsq *fit, size_t i);

/* Which of the observations from..to-1 has the largest |standardised|; `to` when none has one. */
SY_API size_t sy_lsq_worst(const sy_lsq *fit, size_t from, size_t to);

/* Correlation of the standardised residuals of i and k: at +-1 an error in one looks just like an error in the other. 0 where
** one of them is untestable. */
SY_API double sy_lsq_correlation(const sy_lsq *fit, size_t i, size_t k);

/* The largest |standardised| that chance alone exceeds in a share `alpha` of fits, were all `tested` independent
** (Sidak's bound, so never too small): normal quantile of (1 + (1 - alpha)^(1/tested)) / 2. */
SY_API double sy_lsq_critical(size_t tested, double alpha);

#endif
