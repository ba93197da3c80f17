/* corner_lanes.h - the kernel behind corner_variants.h, compiled once for each level of instructions. Private to core/study. */
#ifndef SY_STUDY_KERNELS_CORNER_LANES_H
#define SY_STUDY_KERNELS_CORNER_LANES_H

#include "../corner_variants.h"

typedef void sy_corner_lanes(const sy_variants_frame *frame, const sy_variants_in *in, size_t count,
                             const sy_variants_out *out);

sy_corner_lanes sy_corner_lanes_v1, sy_corner_lanes_v3, sy_corner_lanes_v4;

#endif
