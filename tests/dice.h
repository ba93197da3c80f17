/* dice.h - seeded numbers for tests: the same on every machine.
**
** Source  SplitMix64: Steele, Lea & Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014.
*/
#ifndef SY_TESTS_DICE_H
#define SY_TESTS_DICE_H

#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

typedef struct dice {
  uint64_t state;
} dice;

static inline uint64_t dice_bits(dice *d) {
  uint64_t z = d->state += 0x9e3779b97f4a7c15u;
  z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
  z = (z ^ z >> 27) * 0x94d049bb133111ebu;
  return z ^ z >> 31;
}

/* low <= x < high */
static inline double dice_between(dice *d, double low, double high) {
  return low + (high - low) * ((double)(dice_bits(d) >> 11) * 0x1p-53);
}

static inline size_t dice_below(dice *d, size_t limit) { return (size_t)(dice_bits(d) % limit); }

/* How many rounds of random cases a test goes: `all`, or where the environment has FEW_ROUNDS a twentieth. tests/run sets it under valgrind,
** where each takes thirty times as long and what is wrong with memory is wrong in the first rounds as well. */
static inline int dice_rounds(int all) { return getenv("FEW_ROUNDS") == NULL ? all : (all + 19) / 20; }

/* Any order equally likely, as far as 64 bits go. */
static inline void dice_shuffle(dice *d, size_t *order, size_t count) {
  for (size_t i = count; i > 1; i--) {
    const size_t j = dice_below(d, i), swap = order[i - 1];
    order[i - 1] = order[j];
    order[j] = swap;
  }
}

#endif
