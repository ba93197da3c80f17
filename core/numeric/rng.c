#include "numeric/rng.h"

sy_rng_words sy_rng_key(uint64_t seed) {
  return (sy_rng_words){{(uint32_t)seed, (uint32_t)(seed >> 32), 0, 0}};
}

static uint32_t turn(uint32_t x, int by) { return x << by | x >> (32 - by); }

/* The key comes in before the first and after every fourth round, one word further on each time; words 1 and 3 change places
** from round to round. */
sy_rng_words sy_rng_threefry(sy_rng_words key, sy_rng_words counter) {
  static const int by[8][2] = {{10, 26}, {11, 21}, {13, 27}, {23, 5}, {6, 20}, {17, 11}, {25, 10}, {18, 20}};
  const uint32_t k[5] = {key.word[0], key.word[1], key.word[2], key.word[3],
                         0x1BD11BDAu ^ key.word[0] ^ key.word[1] ^ key.word[2] ^ key.word[3]};
  uint32_t *x = counter.word;
  for (uint32_t round = 0;; round++) {
    if (round % 4 == 0) {
      const uint32_t n = round / 4;
      for (uint32_t w = 0; w < 4; w++) x[w] += k[(n + w) % 5];
      x[3] += n;
    }
    if (round == 20) return counter;
    uint32_t *b = round % 2 == 0 ? &x[1] : &x[3], *d = round % 2 == 0 ? &x[3] : &x[1];
    x[0] += *b;
    *b = turn(*b, by[round % 8][0]) ^ x[0];
    x[2] += *d;
    *d = turn(*d, by[round % 8][1]) ^ x[2];
  }
}
