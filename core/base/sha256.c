#include "base/sha256.h"

#include <string.h>

/* 4.2.2: the first 32 bits of the fractional parts of the cube roots of the first 64 primes */
static const uint32_t ROUND[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

enum { LENGTH_BYTES = 8 }; /* 5.1.1: of the message's length in bits, at the end of the last block */

static uint32_t turn(uint32_t x, int by) { return x >> by | x << (32 - by); }

static uint32_t read_word(const unsigned char *at) {
  return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | (uint32_t)at[3];
}

/* 6.2.2, step 3, but for the change of names: what was d is the next e, what was h the next a. */
static inline void take_round(uint32_t a, uint32_t b, uint32_t c, uint32_t *d, uint32_t e, uint32_t f,
                              uint32_t g, uint32_t *h, uint32_t word) {
  const uint32_t choice = g ^ (e & (f ^ g)), majority = (a & b) | (c & (a | b));
  /* by 6, 11 and 25, and by 2, 13 and 22: each turn takes the ones before it along */
  const uint32_t one = *h + turn(turn(turn(e, 14) ^ e, 5) ^ e, 6) + choice + word;
  *d += one;
  *h = one + turn(turn(turn(a, 9) ^ a, 11) ^ a, 2) + majority;
}

/* 6.2.2: one block of the message. Eight rounds at a time, after which each name is its own again: nothing is moved from one to the
** next, which would be half of the work. */
static void take_block(uint32_t state[8], const unsigned char *block) {
  uint32_t w[64];
  for (int t = 0; t < 16; t++) w[t] = read_word(block + 4 * t);
  for (int t = 16; t < 64; t++) {
    const uint32_t x = w[t - 15], y = w[t - 2];
    w[t] = (turn(y, 17) ^ turn(y, 19) ^ y >> 10) + w[t - 7] + (turn(x, 7) ^ turn(x, 18) ^ x >> 3) + w[t - 16];
  }
  uint32_t a = state[0], b = state[1], c = state[2], d = state[3];
  uint32_t e = state[4], f = state[5], g = state[6], h = state[7];
  for (int t = 0; t < 64; t += 8) {
    take_round(a, b, c, &d, e, f, g, &h, ROUND[t] + w[t]);
    take_round(h, a, b, &c, d, e, f, &g, ROUND[t + 1] + w[t + 1]);
    take_round(g, h, a, &b, c, d, e, &f, ROUND[t + 2] + w[t + 2]);
    take_round(f, g, h, &a, b, c, d, &e, ROUND[t + 3] + w[t + 3]);
    take_round(e, f, g, &h, a, b, c, &d, ROUND[t + 4] + w[t + 4]);
    take_round(d, e, f, &g, h, a, b, &c, ROUND[t + 5] + w[t + 5]);
    take_round(c, d, e, &f, g, h, a, &b, ROUND[t + 6] + w[t + 6]);
    take_round(b, c, d, &e, f, g, h, &a, ROUND[t + 7] + w[t + 7]);
  }
  state[0] += a, state[1] += b, state[2] += c, state[3] += d;
  state[4] += e, state[5] += f, state[6] += g, state[7] += h;
}

sy_sha256 sy_sha256_begin(void) {
  /* 5.3.3: the same of the square roots of the first eight primes */
  return (sy_sha256){.state = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c,
                               0x1f83d9ab, 0x5be0cd19}};
}

void sy_sha256_add(sy_sha256 *digest, const void *bytes, size_t size) {
  const unsigned char *from = bytes;
  const size_t held = (size_t)(digest->length % SY_SHA256_BLOCK);
  digest->length += size;
  if (held + size < SY_SHA256_BLOCK) {
    if (size > 0) memcpy(digest->block + held, from, size);
    return;
  }
  if (held > 0) {
    memcpy(digest->block + held, from, SY_SHA256_BLOCK - held);
    take_block(digest->state, digest->block);
    from += SY_SHA256_BLOCK - held;
    size -= SY_SHA256_BLOCK - held;
  }
  for (; size >= SY_SHA256_BLOCK; from += SY_SHA256_BLOCK, size -= SY_SHA256_BLOCK)
    take_block(digest->state, from);
  if (size > 0) memcpy(digest->block, from, size);
}

void sy_sha256_text(const sy_sha256 *digest, char text[SY_SHA256_TEXT]) {
  static const unsigned char padding[SY_SHA256_BLOCK] = {0x80}; /* 5.1.1: a one, then zeros */
  sy_sha256 last = *digest;
  const size_t held = (size_t)(last.length % SY_SHA256_BLOCK), room = SY_SHA256_BLOCK - LENGTH_BYTES;
  unsigned char bits[LENGTH_BYTES];
  for (int i = 0; i < LENGTH_BYTES; i++) bits[i] = (unsigned char)(digest->length * 8 >> (56 - 8 * i));
  sy_sha256_add(&last, padding, held < room ? room - held : SY_SHA256_BLOCK + room - held);
  sy_sha256_add(&last, bits, sizeof bits);
  for (int i = 0; i < 2 * SY_SHA256_BYTES; i++)
    text[i] = "0123456789abcdef"[last.state[i / 8] >> (28 - 4 * (i % 8)) & 15];
  text[2 * SY_SHA256_BYTES] = '\0';
}
