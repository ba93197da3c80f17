/* reconcile_fit.h - the errors of the lines that agree best with a few measured sums, inside the library.
**
** Units    SI: kg, m. q = (m, m x, m y, m z), the sums over all lines.
** Problem  least sum of (error / sd)^2 over all stated errors, plus r^T R^-1 r with r the measured values less those of the lines.
** Method   Gauss-Newton. There are at most four measured values and any number of lines, so each step is solved in the
**          space of the measured values: S = G P G^T + R with P the covariance of q by all stated errors and G the sensitivities of the
**          values on q. Time and memory grow with the number of lines, and an error whose sd is 0 stays 0.
** Source   conditioned least squares with a priori covariances: E. Mikhail & F. Ackermann, Observations and Least Squares, 1976,
**          ch. 11; the form in the space of the measured values: A. Gelb (ed.), Applied Optimal Estimation, 1974, 4.2, and iterated,
**          6.1 (all from memory).
*/
#ifndef SY_MEASURE_RECONCILE_FIT_H
#define SY_MEASURE_RECONCILE_FIT_H

#include "reconcile_lines.h"

enum { SY_FIT_SUMS = 4 };

typedef struct sy_matrix4 {
  double a[SY_FIT_SUMS][SY_FIT_SUMS];
} sy_matrix4;

typedef struct sy_reconcile_fit {
  const sy_reconcile_line *line;
  size_t lines;
  const sy_instrument *instrument;
  size_t instruments;
  size_t rows; /* measured values, 1 to 4 */
  double measured[SY_FIT_SUMS];
  sy_matrix4 noise;           /* R */
  sy_matrix4 of;              /* value = of . q */
  bool per_mass[SY_FIT_SUMS]; /* ... / m */
  double *error, *trial;      /* the caller's: sy_reconcile_errors doubles each */

  /* found */
  double booked[SY_FIT_SUMS];   /* q of the ledger as it stands */
  sy_matrix4 booked_cov;        /* its P */
  double sums[SY_FIT_SUMS];     /* q as adjusted */
  sy_matrix4 cov;               /* P with the sensitivities taken there */
  sy_matrix4 sensitivity;       /* G there: rows x 4 */
  sy_matrix4 weight;            /* S^-1 */
  double pull[SY_FIT_SUMS];     /* S^-1 (measured - values, linear in the errors) */
  double residual[SY_FIT_SUMS]; /* measured - adjusted value */
  double chi2;
} sy_reconcile_fit;

/* Four errors a line (mass, three of the place), then two an instrument (bias, gain). */
size_t sy_reconcile_errors(const sy_reconcile_fit *fit);

/* What one unit of an error does to q, at the errors `u`: of line i's mass (k = 0) or place (k = 1..3); zero where the line has
** none of its own because the one before states it. */
void sy_reconcile_effect(const sy_reconcile_fit *fit, const double *u, size_t i, int k,
                         double h[SY_FIT_SUMS]);
/* The same for an instrument's bias (kind 0) or gain (kind 1). */
void sy_reconcile_common(const sy_reconcile_fit *fit, const double *u, size_t instrument, int kind,
                         double h[SY_FIT_SUMS]);
/* Mass and place of line i with the errors `u`. */
double sy_reconcile_mass(const sy_reconcile_fit *fit, const double *u, size_t i);
sy_vec3 sy_reconcile_place(const sy_reconcile_fit *fit, const double *u, size_t i);

/* The line whose error of mass (k = 0) or place (k = 1..3) is line i's. */
size_t sy_reconcile_owner(const sy_reconcile_fit *fit, size_t i, int k);
double sy_reconcile_sd(const sy_reconcile_fit *fit, size_t i, int k);

/* The inverse of the symmetric, positive definite leading n x n block; false when it is not. The rest of *out is zero. */
bool sy_matrix4_invert(const sy_matrix4 *m, size_t n, sy_matrix4 *out);
double sy_matrix4_form(const sy_matrix4 *m, const double *a, const double *b); /* a^T m b, all four */

/* Errors  SY_GEOMETRY  R is not positive definite: the measured values depend on each other
**         SY_RANGE     the adjusted total mass is not above 0
**         SY_LIMIT     no end within 100 steps */
sy_status sy_reconcile_fit_solve(sy_reconcile_fit *fit, sy_error *err);

#endif
