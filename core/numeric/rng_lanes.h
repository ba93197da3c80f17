/* rng_lanes.h - rng.h for eight counters side by side, to be built into kernels (base/lanes.h). The rounds are written out, so that
** they stay in registers. Private to core/.
*/
#ifndef SY_NUMERIC_RNG_LANES_H
#define SY_NUMERIC_RNG_LANES_H

#include "rng.h"

enum { SY_RNG_LANES = 8 };

/* What a key adds, in its order, and a fifth word made of the four. */
static inline void sy_rng_schedule(sy_rng_words key, uint32_t k[5]) {
  k[4] = 0x1BD11BDAu;
  for (int i = 0; i < 4; i++) {
    k[i] = key.word[i];
    k[4] ^= key.word[i];
  }
}

/* Inlined whatever the optimiser thinks of twenty of them: a loop over lanes is side by side only without calls in it. */
#define SY_RNG_ROUND static inline __attribute__((always_inline)) void

SY_RNG_ROUND sy_rng_mix(uint32_t *a, uint32_t *b, uint32_t *c, uint32_t *d, int first, int second) {
  *a += *b;
  *b = (*b << first | *b >> (32 - first)) ^ *a;
  *c += *d;
  *d = (*d << second | *d >> (32 - second)) ^ *c;
}

SY_RNG_ROUND sy_rng_add_key(const uint32_t k[5], uint32_t n, uint32_t *a, uint32_t *b, uint32_t *c,
                            uint32_t *d) {
  *a += k[n % 5];
  *b += k[(n + 1) % 5];
  *c += k[(n + 2) % 5];
  *d += k[(n + 3) % 5] + n;
}

/* Key number n and four rounds, of the first or the second half of the rotations. */
SY_RNG_ROUND sy_rng_four(const uint32_t k[5], uint32_t n, uint32_t *a, uint32_t *b, uint32_t *c,
                         uint32_t *d) {
  sy_rng_add_key(k, n, a, b, c, d);
  const int odd = n % 2 != 0;
  sy_rng_mix(a, b, c, d, odd ? 6 : 10, odd ? 20 : 26);
  sy_rng_mix(a, d, c, b, odd ? 17 : 11, odd ? 11 : 21);
  sy_rng_mix(a, b, c, d, odd ? 25 : 13, odd ? 10 : 27);
  sy_rng_mix(a, d, c, b, odd ? 18 : 23, odd ? 20 : 5);
}

/* All twenty rounds of one counter, which lies in a, b, c, d; so does the answer. */
SY_RNG_ROUND sy_rng_rounds(const uint32_t k[5], uint32_t *a, uint32_t *b, uint32_t *c, uint32_t *d) {
  sy_rng_four(k, 0, a, b, c, d);
  sy_rng_four(k, 1, a, b, c, d);
  sy_rng_four(k, 2, a, b, c, d);
  sy_rng_four(k, 3, a, b, c, d);
  sy_rng_four(k, 4, a, b, c, d);
  sy_rng_add_key(k, 5, a, b, c, d);
}

/* Counters: `first + lane` in words 0 and 1 (low word first), `stream` in word 2, `block` in word 3. out[w][lane] is word w of
** the answer. */
static inline void sy_rng_lanes(const uint32_t k[5], uint64_t first, uint32_t stream, uint32_t block,
                                uint32_t out[4][SY_RNG_LANES]) {
  uint32_t low[SY_RNG_LANES], high[SY_RNG_LANES];
  for (unsigned lane = 0; lane < SY_RNG_LANES; lane++) {
    low[lane] = (uint32_t)(first + lane);
    high[lane] = (uint32_t)((first + lane) >> 32);
  }
  for (unsigned lane = 0; lane < SY_RNG_LANES; lane++) {
    uint32_t a = low[lane], b = high[lane], c = stream, d = block;
    sy_rng_rounds(k, &a, &b, &c, &d);
    out[0][lane] = a;
    out[1][lane] = b;
    out[2][lane] = c;
    out[3][lane] = d;
  }
}

#endif
