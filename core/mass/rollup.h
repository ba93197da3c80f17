/* rollup.h - mass, cg and inertia of a large tree of placed bodies, everything worked out anew from columns of numbers.
**
** For trees that come in whole and are rolled up often; a ledger (ledger.h) keeps its sums and changes them instead.
**
** Units    SI: kg, m, kg m^2. Every node has its own frame; `turn` and `at` lead from it to its parent's.
** Shape    levels from the lowest up. The children of a node stand side by side in the level below, parents in the same
**          order as their children; the nodes of the top level stand in the root's frame. A body that hangs higher in the
**          tree is a node of a higher level, with or without children.
** Order    children are added in their order, levels from below, each product rounded by itself: the same bits from
**          every compiler, vector width and optimisation. Each node's moments are taken about its own origin, so parts
**          far from the root lose no digits.
** Source   parallel axes and turned tensors: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, App. B.
*/
#ifndef SY_MASS_ROLLUP_H
#define SY_MASS_ROLLUP_H

#include <stdint.h>

#include "massprops.h"

/* Each column holds `count` numbers. */
typedef struct sy_rollup_level {
  size_t count;
  const double *mass;  /* kg, of the node's own body; NULL: none here has one, cg and inertia are not read */
  const double *cg[3]; /* m, in the node's frame */
  const double *inertia[6]; /* kg m^2 about the body's cg: xx yy zz xy xz yz, tensor sign */
  const double *turn[9];    /* rotation into the parent's frame, row by row */
  const double *at[3];      /* m, the node's origin in the parent's frame */
  const uint32_t *
      child_end; /* node i holds those from child_end[i - 1] (0 for the first) up to before child_end[i] of the
                             ** level below; not read in the lowest level */
} sy_rollup_level;

/* How many doubles sy_rollup needs for `work`. */
SY_API size_t sy_rollup_work(const sy_rollup_level *levels, size_t level_count);

/* work  room for sy_rollup_work doubles, not shared with any column
** Errors  SY_MISSING  no level or no node, or nothing has a mass
**         SY_CLASH    child_end falls somewhere or does not end with the level below
**         SY_RANGE    the joint mass is < 0 or a result is not finite; single values are not looked at */
SY_API sy_status sy_rollup(const sy_rollup_level *levels, size_t level_count, double *work, sy_massprops *out,
                           sy_error *err);

#endif
