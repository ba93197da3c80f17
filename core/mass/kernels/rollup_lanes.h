/* rollup_lanes.h - the kernel behind rollup.h, compiled once for each level of instructions. Private to core/mass. */
#ifndef SY_MASS_KERNELS_ROLLUP_LANES_H
#define SY_MASS_KERNELS_ROLLUP_LANES_H

#include "../rollup.h"

/* The sums of a node: m, first moments m x m y m z, and the tensor about the frame's origin xx yy zz xy xz yz. */
enum { SY_ROLLUP_SUMS = 10 };

/* One level, placed, into the sums of its parents, of which there are `parents`, one or more.
** sums  what the nodes' children add up to, in blocks as in rollup.h; NULL: they have none
** out   the parents' sums, in such blocks; what stands past the last parent is 0 */
typedef void sy_rollup_lanes(const sy_rollup_level *level, const double *sums, const uint32_t *child_end,
                             size_t parents, double *out);

sy_rollup_lanes sy_rollup_lanes_v1, sy_rollup_lanes_v3, sy_rollup_lanes_v4;

#endif
