/* The Makefile compiles this file once a level: SY_LEVEL 1 (any processor), 3, 4. Plain loops: the random words of eight replicas side by
** side, the four sums of a replica side by side. */
#include "numeric/kernels/bootstrap_lanes.h"

#include "numeric/rng_lanes.h"

#ifndef SY_LEVEL
#define SY_LEVEL 1
#endif

#if SY_LEVEL == 4
#define FUNCTION sy_bootstrap_lanes_v4
#elif SY_LEVEL == 3
#define FUNCTION sy_bootstrap_lanes_v3
#else
#define FUNCTION sy_bootstrap_lanes_v1
#endif

enum { LANES = SY_RNG_LANES };

/* A number below `span` from the upper end of `bits`: the whole part of bits x span / 2^64; the remainder stays in `bits`. */
static inline size_t draw(uint64_t *bits, uint32_t span) {
#ifdef __SIZEOF_INT128__
  __extension__ typedef unsigned __int128 wide;
  const wide product = (wide)*bits * span;
  *bits = (uint64_t)product;
  return (size_t)(product >> 64);
#else
  const uint64_t lower = (*bits & 0xffffffffu) * span, upper = (*bits >> 32) * span + (lower >> 32);
  *bits = upper << 32 | (lower & 0xffffffffu);
  return (size_t)(upper >> 32);
#endif
}

static inline void add_rows(const sy_bootstrap_sums *row, uint32_t span, size_t draws, int most,
                            const uint64_t *bits, sy_bootstrap_sums *sum) {
  sy_bootstrap_sums s = *sum;
  for (; draws > 0; bits += LANES) {
    uint64_t rest = *bits;
    for (int k = 0; k < most && draws > 0; k++, draws--) {
      const sy_bootstrap_sums *r = &row[draw(&rest, span)];
      s.t += r->t;
      s.y += r->y;
      s.tt += r->tt;
      s.ty += r->ty;
    }
  }
  *sum = s;
}

void FUNCTION(const sy_bootstrap_draws *p, uint64_t first, uint32_t try, sy_bootstrap_sums sum[LANES]) {
  uint32_t words[4][LANES];
  for (size_t k = 0; k < p->taken; k++) {
    if (k % 2 == 0) sy_rng_lanes(p->key, first, try, (uint32_t)(k / 2), words);
    for (int lane = 0; lane < LANES; lane++)
      p->bits[k * LANES + (size_t)lane] = (uint64_t)words[k % 2 * 2 + 1][lane] << 32 | words[k % 2 * 2][lane];
  }
  for (int lane = 0; lane < LANES; lane++) {
    const uint64_t *bits = p->bits + lane;
    sy_bootstrap_sums s = {0, 0, 0, 0};
    add_rows(p->row, (uint32_t)p->rows, p->groups, p->group_draws, bits, &s);
    add_rows(p->row + p->rows, (uint32_t)p->count, p->singles, p->single_draws, bits + p->group_words * LANES,
             &s);
    sum[lane] = s;
  }
}
