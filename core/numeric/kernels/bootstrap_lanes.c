/* The Makefile compiles this file once a level: SY_LEVEL 1 (any processor), 3, 4. The random words of eight replicas stand side by side
** and so do the numbers made of them; then the four sums of a replica. */
#include "numeric/kernels/bootstrap_lanes.h"

#include <string.h>

#if defined(__SSE2__)
#include <immintrin.h>
#endif

#include "numeric/rng_lanes.h"

#ifndef SY_LEVEL
#define SY_LEVEL 1
#endif

#if SY_LEVEL == 4
enum { WIDE = 8 };
#define FUNCTION sy_bootstrap_lanes_v4
#elif SY_LEVEL == 3
enum { WIDE = 4 };
#define FUNCTION sy_bootstrap_lanes_v3
#else
enum { WIDE = 2 };
#define FUNCTION sy_bootstrap_lanes_v1
#endif

enum { LANES = SY_RNG_LANES };

typedef uint64_t wide __attribute__((vector_size(WIDE * sizeof(uint64_t))));

/* The lower 32 bits of each lane times `by`, below 2^32. Compilers do not find that instruction by themselves. */
static inline wide product(wide a, wide by) {
#if SY_LEVEL == 4
  return (wide)_mm512_mul_epu32((__m512i)a, (__m512i)by);
#elif SY_LEVEL == 3
  return (wide)_mm256_mul_epu32((__m256i)a, (__m256i)by);
#elif defined(__SSE2__)
  return (wide)_mm_mul_epu32((__m128i)a, (__m128i)by);
#else
  return (a & 0xffffffffu) * by;
#endif
}

/* A number below `span` from the upper end of the bits of each lane: the whole part of bits x span / 2^64; the remainder stays in `bits`. */
static inline wide draw(wide *bits, wide span) {
  const wide lower = product(*bits, span), upper = product(*bits >> 32, span) + (lower >> 32);
  *bits = upper << 32 | (lower & 0xffffffffu);
  return upper >> 32;
}

enum { MOST = SY_BOOTSTRAP_MOST_DRAWS };

/* `draws` from each lane's word. */
static inline void draw_numbers(const uint64_t word[LANES], uint32_t span, size_t draws,
                                uint64_t number[][LANES]) {
  for (int i = 0; i < LANES; i += WIDE) {
    wide bits, n;
    memcpy(&bits, word + i, sizeof bits);
    for (size_t k = 0; k < draws; k++) {
      n = draw(&bits, (wide){0} + span);
      memcpy(number[k] + i, &n, sizeof n);
    }
  }
}

/* A row in registers: one, or two where they are short. */
#if SY_LEVEL > 1
typedef double four __attribute__((vector_size(4 * sizeof(double))));
typedef struct sums {
  four all;
} sums;
static inline sums plus(sums s, sums r) { return (sums){s.all + r.all}; }
#else
typedef double two __attribute__((vector_size(2 * sizeof(double))));
typedef struct sums {
  two low, high;
} sums;
static inline sums plus(sums s, sums r) { return (sums){s.low + r.low, s.high + r.high}; }
#endif

static inline sums load(const sy_bootstrap_sums *row) {
  sums s;
  memcpy(&s, row, sizeof s);
  return s;
}

static inline void store(sy_bootstrap_sums *row, sums s) { memcpy(row, &s, sizeof s); }

/* The rows of a lane are added one after the other, those of four lanes by turns: an addition is waited for. */
static inline void add_numbers(const sy_bootstrap_sums *row, size_t count, uint64_t number[][LANES],
                               sy_bootstrap_sums sum[LANES]) {
  for (int i = 0; i < LANES; i += 4) {
    sums a = load(&sum[i]), b = load(&sum[i + 1]), c = load(&sum[i + 2]), d = load(&sum[i + 3]);
    for (size_t k = 0; k < count; k++) {
      a = plus(a, load(&row[number[k][i]]));
      b = plus(b, load(&row[number[k][i + 1]]));
      c = plus(c, load(&row[number[k][i + 2]]));
      d = plus(d, load(&row[number[k][i + 3]]));
    }
    store(&sum[i], a);
    store(&sum[i + 1], b);
    store(&sum[i + 2], c);
    store(&sum[i + 3], d);
  }
}

/* `most` draws from each word of `bits`, fewer from the last. */
static inline void add_rows(const sy_bootstrap_sums *row, uint32_t span, size_t draws, size_t most,
                            const uint64_t *bits, sy_bootstrap_sums sum[LANES]) {
  uint64_t number[MOST][LANES];
  for (size_t made = 0; draws > 0;) {
    const size_t now = draws < most ? draws : most;
    draw_numbers(bits, span, now, number + made);
    made += now;
    draws -= now;
    bits += LANES;
    if (draws > 0 && made + most <= MOST) continue;
    add_numbers(row, made, number, sum);
    made = 0;
  }
}

void FUNCTION(const sy_bootstrap_draws *p, uint64_t first, uint32_t try, sy_bootstrap_sums sum[LANES]) {
  uint32_t words[4][LANES];
  for (size_t k = 0; k < p->taken; k++) {
    if (k % 2 == 0) sy_rng_lanes(p->key, first, try, (uint32_t)(k / 2), words);
    for (int lane = 0; lane < LANES; lane++)
      p->bits[k * LANES + (size_t)lane] = (uint64_t)words[k % 2 * 2 + 1][lane] << 32 | words[k % 2 * 2][lane];
  }
  memset(sum, 0, LANES * sizeof *sum);
  add_rows(p->row, (uint32_t)p->rows, p->groups, (size_t)p->group_draws, p->bits, sum);
  add_rows(p->row + p->rows, (uint32_t)p->count, p->singles, (size_t)p->single_draws,
           p->bits + p->group_words * LANES, sum);
}
