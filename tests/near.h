/* near.h - compare doubles in cmocka tests. Include this instead of cmocka.h.
**
** cmocka's assert_float_equal goes through float, and a NaN passes it; assert_near keeps the full double,
** fails on NaN and prints both values, their difference and the tolerance.
*/
#ifndef SY_TESTS_NEAR_H
#define SY_TESTS_NEAR_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* |got - want| <= tol, absolute; write a relative tolerance as `rel * want_scale`, with its reason. */
#define assert_near(got, want, tol) assert_near_at((got), (want), (tol), #got, __FILE__, __LINE__)

static inline void assert_near_at(double got, double want, double tol, const char *what, const char *file,
                                  int line) {
  if (got == want) return; /* also equal infinities, whose difference is NaN */
  const double miss = fabs(got - want);
  if (miss <= tol) return; /* false for any NaN */
  print_error("%s: got %.17g, want %.17g, off by %.3g, allowed %.3g\n", what, got, want, miss, tol);
  _fail(file, line);
}

#endif
