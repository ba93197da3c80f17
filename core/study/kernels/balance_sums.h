/* balance_sums.h - the ten sums of variants as the kernels of the balance read them. Private to the files in this folder. */
#ifndef SY_STUDY_KERNELS_BALANCE_SUMS_H
#define SY_STUDY_KERNELS_BALANCE_SUMS_H

#include "base/kernel_lanes.h"
#include "study/kernels/balance_lanes.h"

/* The sums where loops find them without asking: i & mask is i where each variant has its own, 0 where all have the same. */
typedef struct sums_of {
  const double *at[SY_BALANCE_SUMS];
  size_t mask[SY_BALANCE_SUMS];
  unsigned varying; /* bit set of those that do */
  double same[SY_BALANCE_SUMS][LANES];
} sums_of;

static inline void lay_out(const sy_lane_sum sum[SY_BALANCE_SUMS], sums_of *s) {
  s->varying = 0;
  for (unsigned k = 0; k < SY_BALANCE_SUMS; k++) {
    const bool varies = sum[k].at != NULL;
    store(s->same[k], all(sum[k].same));
    s->at[k] = varies ? sum[k].at : s->same[k];
    s->mask[k] = varies ? SIZE_MAX : 0;
    s->varying |= (unsigned)varies << k;
  }
}

/* Of which sums an answer is made, in the order in which it takes them, the mass last. */
enum { TAKEN = 6, MASS = TAKEN - 1 };

static inline __attribute__((always_inline)) int taken(const sy_lane_answer *w, int k) {
  switch (w->kind) {
  case SY_LANE_LINEAR:
  case SY_LANE_SHARE:
  case SY_LANE_QUOTIENT: return k < 4 ? k : 0;
  case SY_LANE_MEAN: return k == 0 ? w->i : 0;
  case SY_LANE_MOMENT: return k == 0 ? w->i : k == 1 ? w->j : k == 2 ? w->a : k == 3 ? w->b : 0;
  case SY_LANE_PRODUCT: return k == 0 ? w->a : k == 1 ? w->b : k == 2 ? w->i : 0;
  case SY_LANE_INDEX: return k == 0 ? 4 : k == 1 ? 5 : k == 2 ? 1 : k == 3 ? 2 : 0;
  default: return k == 0 ? 4 : k == 1 ? 5 : k == 2 ? 1 : 0;
  }
}

static inline bool takes_what_varies(const sy_lane_answer *w, const sums_of *s) {
  bool any = false;
  for (int k = 0; k < TAKEN; k++) any = any || (s->varying >> taken(w, k) & 1u) != 0;
  return any;
}

/* Those sums by themselves, so that loops keep where they lie in registers. */
typedef struct operands {
  const double *at[TAKEN];
  size_t mask[TAKEN];
} operands;

static inline __attribute__((always_inline)) operands take(const sy_lane_answer *w, const sums_of *s) {
  operands o;
  for (int k = 0; k < TAKEN; k++) {
    o.at[k] = s->at[taken(w, k)];
    o.mask[k] = s->mask[taken(w, k)];
  }
  return o;
}

static inline __attribute__((always_inline)) lanes get(const operands *o, int k, size_t i) {
  return load(o->at[k] + (i & o->mask[k]));
}

static inline __attribute__((always_inline)) lanes inverse_at(const operands *o, size_t i) {
  return all(1.0) / get(o, MASS, i);
}

static inline lanes size_of(lanes v) { return (lanes)((masks)v & INT64_MAX); }

/* Always in this order, whatever is the same for all: so the bits do not depend on which variants stand together. */
static inline __attribute__((always_inline)) lanes linear(const operands *o, const double c[4], size_t i,
                                                          bool clamps) {
  const lanes m = all(c[0]) * get(o, 0, i), x = all(c[1]) * get(o, 1, i), y = all(c[2]) * get(o, 2, i),
              z = all(c[3]) * get(o, 3, i);
  const lanes total = m + x + y + z;
  if (!clamps) return total;
  const lanes size = size_of(m) + size_of(x) + size_of(y) + size_of(z);
  return choose((masks)(size_of(total) <= all(16.0 * 0x1p-52) * size), all(0.0), total);
}

#endif
