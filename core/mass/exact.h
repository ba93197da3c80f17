/* exact.h - sums that do not depend on the order of their terms.
**
** A total must depend on what is in the car and not on how it got there: the same parts give the same bits after
** any sequence of edits, on any number of threads. Floating addition rounds after each term and cannot promise
** that; adding whole numbers can. A term is cut once to a multiple of 2^-78 and from then on everything is exact:
**
**   value = hi 2^-16 + lo 2^-78,   0 <= lo < 2^62
**
** Range    |value| < 2^45 (3.5e13); callers check their terms, sy_exact_overflow reports a sum that left the range.
** Cut      below 2^-78 (3.3e-24): terms above 1e-8 keep all digits a double has. Cutting is symmetric, so a term and
**          its negative cancel to nothing.
*/
#ifndef SY_MASS_EXACT_H
#define SY_MASS_EXACT_H

#include <stdbool.h>
#include <stdint.h>

typedef struct sy_exact {
  int64_t hi; /* units of 2^-16 */
  int64_t lo; /* units of 2^-78 */
} sy_exact;

#define SY_EXACT_LO_SPAN  ((int64_t)1 << 62)
#define SY_EXACT_HI_LIMIT ((int64_t)1 << 61)
#define SY_EXACT_MAX      0x1p44 /* a single term must stay below this */

/* |x| < SY_EXACT_MAX, finite */
static inline sy_exact sy_exact_from(double x) {
  const double scaled = x * 0x1p16;
  sy_exact e;
  e.hi = (int64_t)scaled; /* toward zero */
  e.lo = (int64_t)((scaled - (double)e.hi) * 0x1p62);
  if (e.lo < 0) {
    e.lo += SY_EXACT_LO_SPAN;
    e.hi -= 1;
  }
  return e;
}

static inline sy_exact sy_exact_add(sy_exact a, sy_exact b) {
  a.hi += b.hi;
  a.lo += b.lo;
  if (a.lo >= SY_EXACT_LO_SPAN) {
    a.lo -= SY_EXACT_LO_SPAN;
    a.hi += 1;
  }
  return a;
}

static inline sy_exact sy_exact_sub(sy_exact a, sy_exact b) {
  a.hi -= b.hi;
  a.lo -= b.lo;
  if (a.lo < 0) {
    a.lo += SY_EXACT_LO_SPAN;
    a.hi -= 1;
  }
  return a;
}

/* By magnitude, so that a small negative sum keeps its digits. */
static inline double sy_exact_value(sy_exact a) {
  if (a.hi >= 0) return (double)a.hi * 0x1p-16 + (double)a.lo * 0x1p-78;
  const sy_exact n = sy_exact_sub((sy_exact){0, 0}, a);
  return -((double)n.hi * 0x1p-16 + (double)n.lo * 0x1p-78);
}

static inline bool sy_exact_overflow(sy_exact a) {
  return a.hi >= SY_EXACT_HI_LIMIT || a.hi <= -SY_EXACT_HI_LIMIT;
}

#endif
