/* adding_lanes.c - the sums of variants side by side: polynomials of what is varied are added, and least and greatest looked for. */
#include <string.h>

#include "base/kernel_lanes.h"
#include "study/kernels/balance_lanes.h"
#include "study/kernels/summing_lanes.h"

#define ADD_POWERS AT_LEVEL(sy_add_powers_lanes)
#define ADD_SAME   AT_LEVEL(sy_add_same_lanes)
#define RANGE      AT_LEVEL(sy_range_lanes)

/* The first `count` entries of a vector's, the last one again in the rest. */
static __attribute__((noinline)) void pad(const double *v, size_t count, double out[LANES]) {
  for (size_t k = 0; k < LANES; k++) out[k] = v[k < count ? k : count - 1];
}

static inline lanes load_padded(const double *v, size_t count) {
  double some[LANES];
  pad(v, count, some);
  return load(some);
}

static inline __attribute__((always_inline)) void add_powers(double *restrict sum, const double *same,
                                                             const double *restrict v, size_t n, lanes from,
                                                             lanes scale, const double *coefficient,
                                                             int count) {
  lanes c[4];
  for (int k = 0; k < count && k < 4; k++) c[k] = all(coefficient[k]);
  const lanes before = same != NULL ? all(*same) : from;
  for (size_t i = 0; i < n; i += LANES) {
    const lanes at = i + LANES <= n ? load(v + i) : load_padded(v + i, n - i);
    const lanes t = (at - from) * scale;
    lanes p = c[0];
    for (int k = 1; k < count; k++) p = p * t + (k < 4 ? c[k] : all(coefficient[k]));
    store(sum + i, (same != NULL ? before : load(sum + i)) + p);
  }
}

/* With the number of powers known the compiler makes a loop of it. */
void ADD_POWERS(double *sum, const double *same, const double *v, size_t n, double middle, double by,
                const double *coefficient, int count) {
  const lanes from = all(middle), scale = all(by);
  switch (count) {
  case 1: add_powers(sum, same, v, n, from, scale, coefficient, 1); break;
  case 2: add_powers(sum, same, v, n, from, scale, coefficient, 2); break;
  case 3: add_powers(sum, same, v, n, from, scale, coefficient, 3); break;
  default: add_powers(sum, same, v, n, from, scale, coefficient, count); break;
  }
}

void ADD_SAME(double *sum, size_t n, double by) {
  for (size_t i = 0; i < n; i += LANES) store(sum + i, load(sum + i) + all(by));
}

void RANGE(const double *v, size_t n, double *low, double *high) {
  lanes least_of = all(v[0]), greatest_of = all(v[0]);
  size_t i = 0;
  for (; i + LANES <= n; i += LANES) {
    least_of = least(load(v + i), least_of);
    greatest_of = greatest(load(v + i), greatest_of);
  }
  *low = least_of[0], *high = greatest_of[0];
  for (int k = 1; k < LANES; k++) {
    *low = least_of[k] < *low ? least_of[k] : *low;
    *high = greatest_of[k] > *high ? greatest_of[k] : *high;
  }
  for (; i < n; i++) {
    *low = v[i] < *low ? v[i] : *low;
    *high = v[i] > *high ? v[i] : *high;
  }
}
