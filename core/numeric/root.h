/* root.h - where a function of one variable is zero.
**
** Units    the caller's.
** Source   R. Brent, Algorithms for Minimization without Derivatives, 1973, ch. 4 (from memory): interpolation, with a
**          bisection whenever it does not do better.
*/
#ifndef SY_NUMERIC_ROOT_H
#define SY_NUMERIC_ROOT_H

#include "../base/status.h"

typedef double sy_root_function(void *user, double x);

/* A root between low and high, at which the function has opposite signs (or is 0), to the last digits of x or to
** `tol` (absolute, 0 for the last digits).
** Errors  SY_RANGE     an end is not finite, or low > high
**         SY_GEOMETRY  the ends have the same sign, or a value is NaN */
SY_API sy_status sy_root_between(sy_root_function *f, void *user, double low, double high, double tol,
                                 double *root, sy_error *err);

#endif
