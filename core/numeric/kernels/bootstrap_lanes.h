/* bootstrap_lanes.h - the kernel behind bootstrap.h, compiled once for each level of instructions. Private to core/numeric.
**
** Readings are drawn `group` at a time: one number below count^group picks a row of sums made beforehand.
*/
#ifndef SY_NUMERIC_KERNELS_BOOTSTRAP_LANES_H
#define SY_NUMERIC_KERNELS_BOOTSTRAP_LANES_H

#include <stddef.h>
#include <stdint.h>

enum {
  SY_BOOTSTRAP_LANES = 8,
  SY_BOOTSTRAP_MOST_DRAWS = 64, /* of 64 bits: fewer than there are bits */
};

/* A reading's or a replica's. */
typedef struct sy_bootstrap_sums {
  double t, y, tt, ty;
} sy_bootstrap_sums;

typedef struct sy_bootstrap_draws {
  sy_bootstrap_sums *row; /* `rows` of groups, then `count` of single readings */
  uint64_t *bits;         /* work: SY_BOOTSTRAP_LANES for each 64 bits that a replica takes */
  size_t count, rows;
  size_t groups, singles;        /* draws a replica takes */
  int group_draws, single_draws; /* how many of those 64 bits are good for */
  size_t group_words, taken;     /* 64 bits for the groups; for both */
  uint32_t key[5];               /* sy_rng_schedule */
} sy_bootstrap_draws;

/* The sums of replicas first, first + 1, ...; `try` makes other ones of the same numbers. */
typedef void sy_bootstrap_lanes(const sy_bootstrap_draws *draws, uint64_t first, uint32_t try,
                                sy_bootstrap_sums sum[SY_BOOTSTRAP_LANES]);

sy_bootstrap_lanes sy_bootstrap_lanes_v1, sy_bootstrap_lanes_v3, sy_bootstrap_lanes_v4;

#endif
