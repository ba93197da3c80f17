/* rng.h - random numbers by counting: Threefry 4x32 with 20 rounds.
**
** Four 32-bit words come from a key (the seed) and a counter, and from nothing else. So draw number k is the same whichever
** thread, batch or machine works it out, and one more quantity that is drawn leaves the others as they were.
** Source   J. Salmon, M. Moraes, R. Dror, D. Shaw, Parallel Random Numbers: As Easy as 1, 2, 3, SC 2011, section 4.2 (Threefry;
**          rotations and parity constant of table 4 there).
*/
#ifndef SY_NUMERIC_RNG_H
#define SY_NUMERIC_RNG_H

#include <stddef.h>
#include <stdint.h>

#include "../base/api.h"

typedef struct sy_rng_words {
  uint32_t word[4];
} sy_rng_words;

/* The key of a seed. */
SY_API sy_rng_words sy_rng_key(uint64_t seed);

SY_API sy_rng_words sy_rng_threefry(sy_rng_words key, sy_rng_words counter);

#endif
