/* lanes.h - which of the builds of a kernel this processor runs.
**
** A kernel is a file in a folder `kernels`; the Makefile compiles it once a level of instructions: 1 any processor, 3 and 4
** x86-64-v3 and -v4. All give the same bits: lanes never mix and nothing is contracted (-ffp-contract=off). Asked at each call: it
** costs some nanoseconds, and there is no state to keep. Private to core/.
*/
#ifndef SY_BASE_LANES_H
#define SY_BASE_LANES_H

#include <stdbool.h>

/* Was the level built, and does this processor run it? Calls of the kernels of levels 3 and 4 stand under #ifdef __x86_64__. */
static inline bool sy_lanes_level(int level) {
#ifdef __x86_64__
  __builtin_cpu_init();
  if (level == 3)
    return __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") && __builtin_cpu_supports("bmi2");
  if (level == 4)
    return __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512bw") &&
           __builtin_cpu_supports("avx512cd") && __builtin_cpu_supports("avx512dq") &&
           __builtin_cpu_supports("avx512vl");
#endif
  return level == 1;
}

#endif
