/* reflect_lanes.h - the kernel behind linsolve.h, compiled once for each level of instructions. Private to core/numeric. */
#ifndef SY_NUMERIC_KERNELS_REFLECT_LANES_H
#define SY_NUMERIC_KERNELS_REFLECT_LANES_H

#include <stddef.h>

/* Reflects all columns behind column k of the row-major rows x cols matrix `a` in the vector that stands in column k from row k on, normed
** so that H = 1 - v v^T / v_k. length[j], cols of them: of what is left of column j below row k; the first k + 1 stay as they are. */
typedef void sy_reflect_lanes(double *a, size_t rows, size_t cols, size_t k, double *length);

sy_reflect_lanes sy_reflect_lanes_v1, sy_reflect_lanes_v3, sy_reflect_lanes_v4;

#endif
