/* summing_lanes.h - the running extremes and sum of lanes, for the kernels that fill sy_reduced. Private to the files in this folder.
**
** A double plus 1.5 2^52 units is rounded to a whole number of units, which then are its last bits: bits add up as whole numbers, in any
** order and by lanes of any width, and what the constant itself adds is known.
*/
#ifndef SY_STUDY_KERNELS_SUMMING_LANES_H
#define SY_STUDY_KERNELS_SUMMING_LANES_H

#include <math.h>
#include <stdbool.h>
#ifdef __x86_64__
#include <immintrin.h>
#endif

#include "base/kernel_lanes.h"
#include "study/kernels/reduced.h"

#define TO_COARSE 0x1.8p44 /* whose last bit is 2^-8 */
#define TO_FINE   0x1.8p-1 /* 2^-53 */

/* Bits as whole numbers whose sums may wrap, which signed ones may not. */
typedef uint64_t wraps __attribute__((vector_size(sizeof(lanes))));

typedef struct summing {
  lanes low, high;
  masks known;
  wraps coarse, fine;
} summing;

/* a < b ? a : b and a > b ? a : b: what the instructions give, too, where a is NaN or equal. */
static inline lanes least(lanes a, lanes b) {
#if SY_LEVEL == 4
  return (lanes)_mm512_min_pd((__m512d)a, (__m512d)b);
#elif SY_LEVEL == 3
  return (lanes)_mm256_min_pd((__m256d)a, (__m256d)b);
#elif defined(__x86_64__)
  return (lanes)_mm_min_pd((__m128d)a, (__m128d)b);
#else
  return choose((masks)(a < b), a, b);
#endif
}

static inline lanes greatest(lanes a, lanes b) {
#if SY_LEVEL == 4
  return (lanes)_mm512_max_pd((__m512d)a, (__m512d)b);
#elif SY_LEVEL == 3
  return (lanes)_mm256_max_pd((__m256d)a, (__m256d)b);
#elif defined(__x86_64__)
  return (lanes)_mm_max_pd((__m128d)a, (__m128d)b);
#else
  return choose((masks)(a > b), a, b);
#endif
}

static inline summing summing_begin(void) {
  const masks none = {0};
  const wraps zero = {0};
  return (summing){all((double)INFINITY), all(-(double)INFINITY), none, zero, zero};
}

/* NaN, which alone differs from itself, counts as 0 in the sums. */
static inline summing summing_add(summing s, lanes v) {
  const lanes same = v;
  const masks is_known = (masks)(v == same);
  const lanes value = (lanes)((masks)v & is_known), coarse = value + all(TO_COARSE),
              fine = (value - (coarse - all(TO_COARSE))) + all(TO_FINE);
  s.low = least(v, s.low);
  s.high = greatest(v, s.high);
  s.known -= is_known;
  s.coarse += (wraps)coarse;
  s.fine += (wraps)fine;
  return s;
}

/* The same of values that are thought to be known, in fewer registers: whether they are is seen at the end. A value that is not a number, and one
** so large that there is no sum, sets other bits in the exponent of `coarse` than those all others have. */
typedef struct quick_summing {
  lanes low, high;
  wraps coarse, fine, seen;
} quick_summing;

/* In a loop its parts are variables of their own: gcc 12 keeps a structure of them in memory, from where each step waits for the last one. */
#define QUICK_BEGIN                                                                                          \
  lanes low_ = all((double)INFINITY), high_ = all(-(double)INFINITY);                                        \
  wraps coarse_ = {0}, fine_ = {0}, seen_ = {0}
#define QUICK_ADD(v)                                                                                         \
  do {                                                                                                       \
    const lanes to_coarse_ = (v) + all(TO_COARSE);                                                           \
    const lanes to_fine_ = ((v) - (to_coarse_ - all(TO_COARSE))) + all(TO_FINE);                             \
    coarse_ += (wraps)to_coarse_, fine_ += (wraps)to_fine_, seen_ |= (wraps)to_coarse_;                      \
  } while (0)
#define QUICK_EXTREMES(v) (low_ = least(v, low_), high_ = greatest(v, high_))
#define QUICK_SO_FAR      ((quick_summing){low_, high_, coarse_, fine_, seen_})

static inline quick_summing quick_with(quick_summing s, lanes v, lanes extremes) {
  lanes low_ = s.low, high_ = s.high;
  wraps coarse_ = s.coarse, fine_ = s.fine, seen_ = s.seen;
  QUICK_ADD(v);
  QUICK_EXTREMES(extremes);
  return QUICK_SO_FAR;
}

static inline uint64_t bits_of(double value) {
  uint64_t bits;
  memcpy(&bits, &value, sizeof bits);
  return bits;
}

/* The lanes of a summing, one after the other. */
typedef struct summing_parts {
  double low[LANES], high[LANES];
  int64_t known[LANES], coarse[LANES], fine[LANES], seen[LANES];
} summing_parts;

/* Returns all bits that were seen. */
static __attribute__((noinline)) uint64_t summing_join(const summing_parts *p, size_t vectors,
                                                       sy_reduced *out) {
  const uint64_t added = (uint64_t)vectors * LANES;
  uint64_t coarse = 0, fine = 0, seen = 0;
  *out = (sy_reduced){p->low[0], p->high[0], 0, 0, 0};
  for (int k = 0; k < LANES; k++) {
    out->min = p->low[k] < out->min ? p->low[k] : out->min;
    out->max = p->high[k] > out->max ? p->high[k] : out->max;
    out->known += p->known[k];
    coarse += (uint64_t)p->coarse[k];
    fine += (uint64_t)p->fine[k];
    seen |= (uint64_t)p->seen[k];
  }
  out->coarse = (int64_t)(coarse - added * bits_of(TO_COARSE));
  out->fine = (int64_t)(fine - added * bits_of(TO_FINE));
  return seen;
}

/* After `vectors` of them. */
static inline void summing_end(summing s, size_t vectors, sy_reduced *out) {
  summing_parts p;
  store(p.low, s.low);
  store(p.high, s.high);
  memcpy(p.known, &s.known, sizeof p.known);
  memcpy(p.coarse, &s.coarse, sizeof p.coarse);
  memcpy(p.fine, &s.fine, sizeof p.fine);
  memset(p.seen, 0, sizeof p.seen);
#if SY_LEVEL >= 3
  /* gcc 12 forgets this where it sees into the callee; code for any processor, libm's too, then runs at a third of its speed */
  _mm256_zeroupper();
#endif
  (void)summing_join(&p, vectors, out);
}

/* After `vectors` of them with `count` values. False: not all are known, and out counts nothing. */
static inline bool quick_end(const quick_summing *s, size_t vectors, size_t count, sy_reduced *out) {
  summing_parts p;
  store(p.low, s->low);
  store(p.high, s->high);
  memset(p.known, 0, sizeof p.known);
  memcpy(p.coarse, &s->coarse, sizeof p.coarse);
  memcpy(p.fine, &s->fine, sizeof p.fine);
  memcpy(p.seen, &s->seen, sizeof p.seen);
#if SY_LEVEL >= 3
  _mm256_zeroupper(); /* as above */
#endif
  const uint64_t seen = summing_join(&p, vectors, out);
  out->known = (int64_t)count;
  return seen >> 52 == bits_of(TO_COARSE) >> 52;
}

#endif
