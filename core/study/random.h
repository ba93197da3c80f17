/* random.h - the random numbers of simulations: drawn by counting, so that each stands by itself.
**
** Units     of the distributions: one standard deviation, mean 0; of an allowance: 0 to 1, a fraction.
** Number    draw k (from 0) of one quantity of one item comes from Threefry 4x32-20 (numeric/rng.h): key = the seed; counter = k / 4 (32
**           bits), the hash of the item's path (low, high 32 bits), the quantity; word k % 4 of the answer, or of a normal words 0 and 1
**           make draws 0 and 1, words 2 and 3 draws 2 and 3. So an item more leaves the draws of all others alone, and no thread, block
**           or machine shows.
** Normals   by Box and Muller in single precision: sqrt(-2 ln u) times sine and cosine of an angle. u has 31 bits, so none lies beyond
**           6.56; relative error about 2e-7. Logarithm, sine and cosine are polynomials of our own: libraries differ in their last bits.
** Order     in a block of SY_DRAWS: place i holds draw 4 (i mod 64) + i / 64 of the block, as the lanes of the kernel have them.
** Source    G. Box and M. Muller, A Note on the Generation of Random Normal Deviates, Annals of Mathematical Statistics 29 (1958) 610 (from
**           memory). Polynomials fitted by E. Remez's exchange algorithm.
*/
#ifndef SY_STUDY_RANDOM_H
#define SY_STUDY_RANDOM_H

#include <stdint.h>

#include "../base/api.h"

typedef enum sy_distribution {
  SY_NORMAL,
  SY_RECTANGULAR, /* between limits, all values equally likely: +- sqrt 3 */
  SY_TRIANGULAR,  /* between limits, the middle most likely: +- sqrt 6 */
  SY_ALLOWANCE    /* rectangular from 0 to 1 */
} sy_distribution;

enum { SY_DRAWS = 256 };

/* Draws run from 0 to this less 1: a counter is 32 bits of four. */
#define SY_MOST_DRAWS ((uint64_t)1 << 34)

/* A block of draws: of numbers SY_DRAWS block to SY_DRAWS block + 255 < SY_MOST_DRAWS. */
SY_API void sy_random_block(sy_distribution kind, uint64_t seed, uint64_t path, uint32_t quantity,
                            uint64_t block, float out[SY_DRAWS]);

/* The same by the kernel of one level (base/lanes.h); 0 where that was not built or this processor has not got it. For tests. */
SY_API int sy_random_block_level(int level, sy_distribution kind, uint64_t seed, uint64_t path,
                                 uint32_t quantity, uint64_t block, float out[SY_DRAWS]);

/* The hash of a path. */
SY_API uint64_t sy_random_path(const char *path);

/* Mean and standard deviation of a distribution. */
SY_API double sy_distribution_mean(sy_distribution kind);
SY_API double sy_distribution_sd(sy_distribution kind);

#endif
