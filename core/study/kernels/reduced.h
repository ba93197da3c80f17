/* reduced.h - what kernels find of a run of values. Private to core/study. */
#ifndef SY_STUDY_KERNELS_REDUCED_H
#define SY_STUDY_KERNELS_REDUCED_H

#include <stdint.h>

/* Of some values, NaN left out. The sums are of whole numbers, so neither the number of lanes nor their order shows. */
typedef struct sy_reduced {
  double min, max; /* +inf, -inf where there are none; of 0 and -0 either */
  int64_t known;   /* how many are not NaN */
  int64_t coarse;  /* sum of the values rounded to 2^-8, in those; nothing where a value is 2^36 or more */
  int64_t fine;    /* sum of what that left, rounded to 2^-53, in those */
} sy_reduced;

#endif
