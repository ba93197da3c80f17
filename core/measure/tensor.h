/* tensor.h - an inertia tensor from inertias measured about several axes through the cg.
**
** Units    kg m^2. Entries are in the order xx yy zz xy xz yz, with tensor sign: xy = -(integral of x y dm).
** Model    inertia about the unit axis u is u^T J u: linear in the six entries. Axes in one plane determine the three entries of
**          that plane; entries that no axis touches stay unknown.
** Source   three axes in a plane: J. Moore, M. Hubbard, D. Peterson, A. Schwab, J. Kooijman, An accurate method of measuring and
**          comparing a bicycle's physical parameters, Bicycle and Motorcycle Dynamics, Delft 2010; u^T J u: Meriam, Kraige & Bolton,
**          Engineering Mechanics: Dynamics, App. B.
*/
#ifndef SY_MEASURE_TENSOR_H
#define SY_MEASURE_TENSOR_H

#include <stddef.h>

#include "../base/mat3.h"
#include "../base/status.h"

enum { SY_TENSOR_MOST = 32 };

/* The part swung about one axis. */
typedef struct sy_tensor_swing {
  sy_vec3 axis;    /* direction in the part, any length > 0 */
  sy_vec3 axis_sd; /* standard uncertainty of its entries */
  double inertia;  /* kg m^2 */
} sy_tensor_swing;

typedef struct sy_tensor {
  bool known[6];
  double value[6], sd[6];          /* NaN where not known */
  double residual[SY_TENSOR_MOST]; /* measured less fitted, by swing */
  int dof;                         /* swings less known entries */
} sy_tensor;

/* Least squares, every swing of the same weight; uncertainties by first order.
** cov     count x count, of the measured inertias: what they share makes them correlated
** mirror  the part is its own image in the plane y = 0, so xy = yz = 0
** Errors  SY_MISSING   no swing, or fewer than the entries they touch
**         SY_RANGE     an axis has no length; a value or a result is not finite; more than SY_TENSOR_MOST swings
**         SY_GEOMETRY  the axes do not determine the entries */
SY_API sy_status sy_tensor_fit(const sy_tensor_swing *swings, size_t count, const double *cov, bool mirror,
                               sy_tensor *out, sy_error *err);

#endif
