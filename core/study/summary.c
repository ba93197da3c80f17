#include "study/summary.h"

#include <math.h>

#include "base/lanes.h"
#include "study/kernels/reduce_lanes.h"

#define FINE_SPAN ((int64_t)1 << 45) /* units of 2^-53 in one of 2^-8 */
#define LARGEST   0x1p36
#define MOST_SUM  0x1p53

static sy_summary_lanes *kernel(void) {
#ifdef __x86_64__
  if (sy_lanes_level(4)) return sy_summary_lanes_v4;
  if (sy_lanes_level(3)) return sy_summary_lanes_v3;
#endif
  return sy_summary_lanes_v1;
}

sy_summary sy_summary_begin(void) {
  return (sy_summary){(double)INFINITY, -(double)INFINITY, UINT64_MAX, UINT64_MAX, 0, 0, 0, 0};
}

/* A sum too large, of which no mean is given, wraps. */
static void add_sum(sy_summary *s, uint64_t coarse, int64_t fine) {
  fine += (int64_t)s->fine;
  const int64_t carry = fine < 0 ? -((FINE_SPAN - 1 - fine) / FINE_SPAN) : fine / FINE_SPAN;
  s->fine = (uint64_t)(fine - carry * FINE_SPAN);
  s->coarse += coarse + (uint64_t)carry;
}

static void lower(sy_summary *s, double value, uint64_t at) {
  if (!(value < s->min || (value == s->min && at < s->at_min))) return;
  s->min = value;
  s->at_min = at;
}

static void raise(sy_summary *s, double value, uint64_t at) {
  if (!(value > s->max || (value == s->max && at < s->at_max))) return;
  s->max = value;
  s->at_max = at;
}

void sy_summary_add_reduced(sy_summary *s, const sy_reduced *r, size_t count, uint64_t first,
                            sy_summary_find *find, const void *with) {
  const uint64_t known = (uint64_t)r->known;
  s->known += known;
  s->unknown += count - known;
  if (known == 0) return;
  double value = r->min;
  if (value < s->min || (value == s->min && first < s->at_min)) {
    const size_t at = find != NULL ? find(with, &value) : 0;
    lower(s, value, first + at);
  }
  value = r->max;
  if (value > s->max || (value == s->max && first < s->at_max)) {
    const size_t at = find != NULL ? find(with, &value) : 0;
    raise(s, value, first + at);
  }
  if (r->min > -LARGEST && r->max < LARGEST) add_sum(s, (uint64_t)r->coarse, r->fine);
}

static size_t find(const void *with, double *value) {
  const double *x = with;
  size_t i = 0;
  while (x[i] != *value) i++;
  *value = x[i];
  return i;
}

void sy_summary_add(sy_summary *summary, const double *x, size_t count, uint64_t first) {
  sy_summary_lanes *const reduce = kernel();
  for (size_t i = 0; i < count; i += SY_REDUCE_MOST) {
    const size_t n = count - i < SY_REDUCE_MOST ? count - i : SY_REDUCE_MOST;
    sy_reduced r;
    reduce(x + i, n, &r);
    sy_summary_add_reduced(summary, &r, n, first + i, find, x + i);
  }
}

static void settle(double *value, uint64_t *at, const double *x, size_t count, uint64_t first) {
  if (*at != first) return;
  for (size_t i = 0; i < count; i++) {
    if (x[i] != *value) continue;
    *value = x[i];
    *at = first + i;
    return;
  }
}

void sy_summary_settle(sy_summary *s, const double *x, size_t count, uint64_t first) {
  if (s->known == 0) return;
  settle(&s->min, &s->at_min, x, count, first);
  settle(&s->max, &s->at_max, x, count, first);
}

void sy_summary_join(sy_summary *summary, const sy_summary *other) {
  summary->known += other->known;
  summary->unknown += other->unknown;
  if (other->known == 0) return;
  lower(summary, other->min, other->at_min);
  raise(summary, other->max, other->at_max);
  add_sum(summary, other->coarse, (int64_t)other->fine);
}

double sy_summary_mean(const sy_summary *summary) {
  if (summary->known == 0) return (double)NAN;
  const double largest = fmax(fabs(summary->min), fabs(summary->max)), n = (double)summary->known;
  if (!(largest < LARGEST && largest * n < MOST_SUM)) return (double)NAN;
  return ((double)(int64_t)summary->coarse * 0x1p-8 + (double)summary->fine * 0x1p-53) / n;
}
