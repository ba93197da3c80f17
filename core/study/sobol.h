/* sobol.h - Sobol's sequence: points that fill the unit cube evenly, however many are taken.
**
** Units    none: coordinates 0 <= u < 1, multiples of 2^-32.
** Order    that of the Gray code (Antonov & Saleev); point 0, all zeros, is kept, and nothing is scrambled. The first 2^m points are balanced:
**          each coordinate has one in every interval of 2^-m. Point i depends on i alone.
** Source   S. Joe, F. Kuo, Constructing Sobol sequences with better two-dimensional projections, SIAM J. Sci. Comput. 30, 2008: the
**          polynomials and first direction numbers of their file new-joe-kuo-6.21201.
*/
#ifndef SY_STUDY_SOBOL_H
#define SY_STUDY_SOBOL_H

#include <stdint.h>

#include "../base/status.h"

enum { SY_SOBOL_INPUTS = 64 };
#define SY_SOBOL_POINTS ((uint64_t)1 << 32)

/* Coordinate `input` (from 0) of points first .. first + count - 1.
** Errors  SY_LIMIT  input not below SY_SOBOL_INPUTS, or points beyond SY_SOBOL_POINTS */
SY_API sy_status sy_sobol(unsigned input, uint64_t first, size_t count, double *u, sy_error *err);

#endif
