/* balance_lanes.h - the kernels behind plan_balance.h, compiled once for each level of instructions. Private to core/study. */
#ifndef SY_STUDY_KERNELS_BALANCE_LANES_H
#define SY_STUDY_KERNELS_BALANCE_LANES_H

#include <stdbool.h>
#include <stddef.h>

#include "reduced.h"

enum {
  SY_BALANCE_CHUNK = 512, /* variants at a time: their sums stay in the first cache */
  SY_BALANCE_SUMS = 10,
  SY_BALANCE_LANES = 20 /* those, and the ten covariances of m and the first moments (mass/sums.h) */
};

/* One of the ten sums of every variant: `at`, padded to whole vectors, or NULL where all have the same, `same`. */
typedef struct sy_lane_sum {
  const double *at;
  double same;
} sy_lane_sum;

typedef enum sy_lane_kind {
  SY_LANE_LINEAR,   /* ((c0 m + c1 x) + c2 y) + c3 z */
  SY_LANE_SHARE,    /* the same by m */
  SY_LANE_QUOTIENT, /* the same by that of d */
  SY_LANE_MEAN,     /* c0 (first moment `i` / m) + c1 */
  SY_LANE_MOMENT, /* c0 of the moment of inertia from second moments i and j, first moments a and b, about the cg */
  SY_LANE_PRODUCT, /* c0 of the product of inertia from second moment i, first moments a and b */
  SY_LANE_INDEX, /* c0 times the upright moment by m (c1 - cg x) (cg x - c2); NaN where that is not above 0 */
  SY_LANE_YAW_REAR /* c0 of the upright moment about x = c1 */
} sy_lane_kind;

typedef struct sy_lane_answer {
  sy_lane_kind kind;
  int i, j, a, b; /* of the ten sums: m, x y z, xx yy zz xy xz yz */
  double c[4], d[4];
  bool clamps; /* a sum that is as small as rounding leaves of its terms is 0, as in statics/equilibrium.h */
} sy_lane_answer;

/* sum[i] += the polynomial of (v[i] - middle) x by, `count` coefficients from the highest power; or sum[i] = *same + that. sum is padded to
** whole vectors. */
typedef void sy_add_powers_lanes(double *sum, const double *same, const double *v, size_t n, double middle,
                                 double by, const double *coefficient, int count);

/* sum[i] += by; padded likewise. */
typedef void sy_add_same_lanes(double *sum, size_t n, double by);

/* The standard uncertainty of an answer that rests on m and the first moments alone: LINEAR to MEAN. */
typedef void sy_balance_sd_lanes(const sy_lane_answer *answer, const sy_lane_sum sum[SY_BALANCE_LANES],
                                 size_t n, double *out);

/* out[i] for i < n; stream: past the caches, `out` aligned to 64 bytes. */
typedef void sy_balance_lanes(const sy_lane_answer *answer, const sy_lane_sum sum[SY_BALANCE_SUMS], size_t n,
                              double *out, bool stream);

/* The same of several answers, and what each comes to.
** out      by answer; NULL where it is not kept
** reduced  by answer; NULL: nobody asks. n < 2^17: more would not fit the sums */
typedef void sy_balance_reduce_lanes(const sy_lane_answer *answer, size_t answers,
                                     const sy_lane_sum sum[SY_BALANCE_SUMS], size_t n, double *const *out,
                                     const bool *stream, sy_reduced *reduced);

/* Least and greatest of v, n > 0. */
typedef void sy_range_lanes(const double *v, size_t n, double *low, double *high);

sy_add_powers_lanes sy_add_powers_lanes_v1, sy_add_powers_lanes_v3, sy_add_powers_lanes_v4;
sy_balance_lanes sy_balance_lanes_v1, sy_balance_lanes_v3, sy_balance_lanes_v4;
sy_add_same_lanes sy_add_same_lanes_v1, sy_add_same_lanes_v3, sy_add_same_lanes_v4;
sy_balance_reduce_lanes sy_balance_reduce_lanes_v1, sy_balance_reduce_lanes_v3, sy_balance_reduce_lanes_v4;
sy_range_lanes sy_range_lanes_v1, sy_range_lanes_v3, sy_range_lanes_v4;
sy_balance_sd_lanes sy_balance_sd_lanes_v1, sy_balance_sd_lanes_v3, sy_balance_sd_lanes_v4;

#endif
