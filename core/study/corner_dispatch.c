#include "study/corner_variants.h"

#include "study/kernels/corner_lanes.h"

/* The best kernel that was built and that this processor runs. Asked at each call: it costs some nanoseconds, and there is no state to
** keep. */
static sy_corner_lanes *kernel(int level) {
  if (level == 1) return sy_corner_lanes_v1;
#if defined(__x86_64__)
  __builtin_cpu_init();
  if (level == 3 && __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") &&
      __builtin_cpu_supports("bmi2"))
    return sy_corner_lanes_v3;
  if (level == 4 && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512bw") &&
      __builtin_cpu_supports("avx512cd") && __builtin_cpu_supports("avx512dq") &&
      __builtin_cpu_supports("avx512vl"))
    return sy_corner_lanes_v4;
#endif
  return NULL;
}

int sy_corner_variants_level(int level, const sy_variants_frame *frame, const sy_variants_in *in,
                             size_t count, const sy_variants_out *out) {
  sy_corner_lanes *const run = kernel(level);
  if (run == NULL) return 0;
  run(frame, in, count, out);
  return 1;
}

void sy_corner_variants(const sy_variants_frame *frame, const sy_variants_in *in, size_t count,
                        const sy_variants_out *out) {
  for (int level = 4; level > 0; level--)
    if (sy_corner_variants_level(level, frame, in, count, out)) return;
}
