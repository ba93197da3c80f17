#include "study/corner_variants.h"

#include "base/lanes.h"
#include "study/kernels/corner_lanes.h"

/* NULL where that level was not built or this processor has not got it. */
static sy_corner_lanes *kernel(int level) {
  if (!sy_lanes_level(level)) return NULL;
#ifdef __x86_64__
  if (level == 3) return sy_corner_lanes_v3;
  if (level == 4) return sy_corner_lanes_v4;
#endif
  return sy_corner_lanes_v1;
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
