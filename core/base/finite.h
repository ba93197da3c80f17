/* finite.h - results that are numbers: what large or tiny numbers have left of them is refused and not published. Private.
*/
#ifndef SY_BASE_FINITE_H
#define SY_BASE_FINITE_H

#include <math.h>

#include "status.h"

/* SY_RANGE unless all of `value` are finite; `part` and `field` name the input that most likely is to blame.
** A structure of doubles alone goes as its first number and sizeof / sizeof(double). */
static inline sy_status sy_finite_results(const double *value, size_t count, const char *part,
                                          const char *field, sy_error *err) {
  for (size_t i = 0; i < count; i++)
    if (!isfinite(value[i]))
      return sy_fail(err, SY_RANGE, part, field,
                     "is too large or too small a number: the result is not finite");
  return SY_OK;
}

#endif
