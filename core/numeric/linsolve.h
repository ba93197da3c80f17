/* linsolve.h - small dense linear systems by Householder QR with column pivoting.
**
** Matrices are row major: entry (i, j) of an m x n matrix is a[i * n + j]. The caller owns all memory.
** Units    none; columns may differ in size by any power (they are brought to one size by exact powers of two), so the
**          rank found does not depend on the units the columns are written in.
** Errors   SY_RANGE     an entry is not finite, or rows < cols
**          SY_GEOMETRY  the columns depend on one another: rank < cols. A column counts as dependent when what is left of
**                       it after the others is below rows x 2^-52 of its size: rounding alone leaves that much.
** Source   Golub & Van Loan, Matrix Computations, 5.1 (reflections), 5.4 (pivoting), 5.3 and 5.6 (the two problems).
*/
#ifndef SY_NUMERIC_LINSOLVE_H
#define SY_NUMERIC_LINSOLVE_H

#include <stddef.h>

#include "../base/status.h"

/* A factored matrix. All pointers belong to the caller. */
typedef struct sy_qr {
  size_t rows, cols;
  double *a;        /* rows x cols: the matrix going in; reflections and R after */
  double *diagonal; /* cols: R's diagonal */
  double *scale;    /* cols: powers of two that the columns were multiplied by */
  size_t *order;    /* cols: which column of the matrix stands at each place */
} sy_qr;

/* Factor qr->a in place. */
SY_API sy_status sy_qr_factor(sy_qr *qr, sy_error *err);

/* The x (cols) that makes |A x - b| least. `b` (rows) is overwritten: its first cols entries are used up, the length of the
** others is the residual's, which is returned. */
SY_API double sy_qr_least_squares(const sy_qr *qr, double *b, double *x);

/* The same for this many right sides side by side: row i of side c is b[i * SY_QR_SIDES + c], so are the answers. The bits are those of one
** after the other, in a fraction of the time. After its first cols rows b holds what each side leaves, in the residual space. */
enum { SY_QR_SIDES = 8 };
SY_API void sy_qr_least_squares_sides(const sy_qr *qr, double *b, double *x);

/* The shortest y (rows) with A^T y = c (c has cols entries): factor A^T to solve the wide system A. `work` has cols. */
SY_API void sy_qr_least_norm(const sy_qr *qr, const double *c, double *y, double *work);

/* (A^T A)^-1, cols x cols: times the variance of one observation it is the covariance of the least-squares x.
** `work` has cols x cols. */
SY_API void sy_qr_inverse_gram(const sy_qr *qr, double *inverse, double *work);

#endif
