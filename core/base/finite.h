/* finite.h - results that are numbers: what large or tiny numbers have left of them is refused and not published. Private.
*/
#ifndef SY_BASE_FINITE_H
#define SY_BASE_FINITE_H

#include <float.h>
#include <math.h>
#include <stdbool.h>

#include "status.h"

/* SY_RANGE unless all of `value` are finite; `part` and `field` name the input that most likely is to blame.
** A structure of doubles alone goes as its first number and sizeof / sizeof(double). */
static inline sy_status sy_finite_results(const double *value, size_t count, const char *part,
                                          const char *field, sy_error *err) {
  bool finite = true; /* nearly always: no branch a number */
  for (size_t i = 0; i < count; i++) finite &= fabs(value[i]) <= DBL_MAX;
  return finite ? SY_OK
                : sy_fail(err, SY_RANGE, part, field,
                          "is too large or too small a number: the result is not finite");
}

/* The same of numbers of which some have no meaning and are NaN. */
static inline sy_status sy_finite_answers(const double *value, size_t count, const char *part,
                                          const char *field, sy_error *err) {
  bool infinite = false;
  for (size_t i = 0; i < count; i++) infinite |= fabs(value[i]) > DBL_MAX;
  return infinite ? sy_fail(err, SY_RANGE, part, field,
                            "is too large or too small a number: the result is not finite")
                  : SY_OK;
}

#endif
