/* points.h - the values that each input of a study takes, variant by variant.
**
** Units    whatever the values are in.
** Alone    every function gives entries first .. first + count - 1 of one input, from nothing but what is passed: so the parts of a study that
**          run on several machines have the points that the whole has.
** Grid     every combination; the last input changes fastest. Entry i of an input is value i / each % n of its n values.
** One      input after input through its values, while the others stay where the car has them.
** Latin    Latin hypercube: with n points every input has one in each of n equal slices of its range, at random in it, in an order that is
**          random and independent of the other inputs' orders.
** Source   M. McKay, R. Beckman, W. Conover, A Comparison of Three Methods for Selecting Values of Input Variables, Technometrics 21, 1979
**          (Latin hypercube); J. Black, P. Rogaway, Ciphers with Arbitrary Finite Domains, CT-RSA 2002 (orders without storing them:
**          Feistel network and cycle walking).
*/
#ifndef SY_STUDY_POINTS_H
#define SY_STUDY_POINTS_H

#include <stdint.h>

#include "../base/status.h"

#define SY_LATIN_POINTS ((uint64_t)1 << 30)

/* n even steps from `from` to `to`, both ends exact; to < from is fine.
** Errors  SY_RANGE  n below 2, from = to, or either is not finite */
SY_API sy_status sy_points_range(double from, double to, size_t n, double *values, sy_error *err);

/* Of a grid of `inputs` inputs with n[k] values each: every how many variants input k changes (each[k]), and how many there are (total).
** Errors  SY_RANGE  an n is 0
**         SY_LIMIT  more than size_t counts */
SY_API sy_status sy_points_grid_shape(const size_t *n, size_t inputs, size_t *each, size_t *total,
                                      sy_error *err);

SY_API void sy_points_grid(const double *values, size_t n, size_t each, size_t first, size_t count,
                           double *out);

/* One at a time: the input's own n values are entries start .. start + n - 1, all others are `base`. */
SY_API void sy_points_one(const double *values, size_t n, double base, size_t start, size_t first,
                          size_t count, double *out);

/* Latin hypercube of n points: 0 < u < 1. Seed and stream make the numbers; each input has a stream of its own.
** Errors  SY_RANGE  n is 0, or entries behind the n-th are asked for
**         SY_LIMIT  n beyond SY_LATIN_POINTS */
SY_API sy_status sy_points_latin(uint64_t seed, uint64_t stream, size_t n, size_t first, size_t count,
                                 double *u, sy_error *err);

/* u in 0..1 becomes from + u (to - from); or that of n values which it falls on, when 0..1 is cut into n equal parts: the first or last
** for u outside, NaN without a value or for NaN.
** in place: out may be u */
SY_API void sy_points_between(double from, double to, const double *u, size_t count, double *out);
SY_API void sy_points_pick(const double *values, size_t n, const double *u, size_t count, double *out);

#endif
