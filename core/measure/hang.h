/* hang.h - cg of a part hung from several points: every plumb line through a hanging point passes through it.
**
** Units    m, in axes of the part.
** Model    the point nearest to all lines: sum (1 - d d^T) c = sum (1 - d d^T) p, every line of the same weight. The uncertainty of each
**          line's two points grows with the distance of the cg beyond them.
** Source   the three lines of J. Moore, M. Hubbard, D. Peterson, A. Schwab, J. Kooijman, An accurate method of measuring and
**          comparing a bicycle's physical parameters, Bicycle and Motorcycle Dynamics, Delft 2010; nearest point derived here.
*/
#ifndef SY_MEASURE_HANG_H
#define SY_MEASURE_HANG_H

#include <stddef.h>

#include "../base/status.h"
#include "../base/vec3.h"

enum { SY_HANG_MOST = 32 };

typedef struct sy_plumb {
  sy_vec3 from, to;       /* the hanging point, and a mark on the line under it */
  sy_vec3 from_sd, to_sd; /* standard uncertainties of their coordinates, >= 0 */
} sy_plumb;

typedef struct sy_hung {
  sy_vec3 cg, cg_sd;
  double miss[SY_HANG_MOST]; /* distance of each line from the cg */
  double miss_sd
      [SY_HANG_MOST]; /* what the uncertainty of the line alone lets it wander sideways there, in one direction */
  double below[SY_HANG_MOST]; /* cg below the hanging point along the line; < 0: above it */
  double
      chi2; /* least sum of (distance / miss_sd)^2 over all points, as if one lay on all lines; 0 where a line is exact */
  int dof; /* 2 count - 3 */
} sy_hung;

/* Errors  SY_MISSING   fewer than two lines
**         SY_RANGE     a value is not finite, an sd is < 0, the two points of a line are one; more than SY_HANG_MOST lines
**         SY_GEOMETRY  all lines within a degree of parallel; a hanging point is the cg within its uncertainty
** The part in an error is "line 2". */
SY_API sy_status sy_hang_cg(const sy_plumb *lines, size_t count, sy_hung *out, sy_error *err);

#endif
