/* corner_lanes.h - the kernel behind corner_variants.h, compiled once for each level of instructions. Private to core/study. */
#ifndef SY_STUDY_KERNELS_CORNER_LANES_H
#define SY_STUDY_KERNELS_CORNER_LANES_H

#include <stdbool.h>

#include "../corner_variants.h"

/* What the kernel multiplies by, of one frame. */
typedef struct sy_corner_frame {
  double front, rear;                      /* m, the axle lines */
  bool even;                               /* both axles square and even about the centre plane */
  double along, across[2], half_across[2]; /* 1/m: 1 / wheelbase, 1 and 1/2 / half track; where it is even */
  /* Else the inverse of what the freedoms (heave, pitch, roll in front, roll behind) raise the body by over each wheel. Row i is what a
  ** weight of 1 puts on wheel i: share[0] + share[1] x + share[2] y + share[3] x y at x, y, with nothing passed from end to end;
  ** pair is what a moment of 1 that the chassis passes adds. Column wise it makes freedoms of heights. */
  double share[4][4], pair[4], heave[4], pitch[4], roll[4];
} sy_corner_frame;

typedef void sy_corner_lanes(const sy_corner_frame *frame, const sy_variants_in *in, size_t count,
                             const sy_variants_out *out);

sy_corner_lanes sy_corner_lanes_v1, sy_corner_lanes_v3, sy_corner_lanes_v4;

#endif
