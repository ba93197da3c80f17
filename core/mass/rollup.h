/* rollup.h - mass, cg and inertia of a large tree of placed bodies, everything worked out anew from blocks of numbers.
**
** For trees that come in whole and are rolled up often; a ledger (ledger.h) keeps its sums and changes them instead.
**
** Units    SI: kg, m, kg m^2. Every node has its own frame; `place` leads from it to its parent's.
** Shape    levels from the lowest up. The children of a node stand side by side in the level below, parents in the same
**          order as their children; the nodes of the top level stand in the root's frame. A body that hangs higher in the
**          tree is a node of a higher level, with or without children.
** Blocks   the numbers of eight nodes in a row stand together, number by number, so that they are read as one stream and
**          worked out side by side: number k of node i stands at sy_rollup_at. The last block is as long as the others; what
**          stands past the last node there changes nothing. Blocks that begin at multiples of 64 bytes are read fastest.
** Order    each product is rounded by itself and the children of a node are added in an order that the tree alone fixes: those
**          at the same place of their blocks one after the other, then these eight sums by halves. The same bits from
**          every compiler, vector width and optimisation. Each node's moments are taken about its parent's origin, so parts
**          far from the root lose no digits.
** Source   parallel axes and turned tensors: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, App. B.
*/
#ifndef SY_MASS_ROLLUP_H
#define SY_MASS_ROLLUP_H

#include <stdint.h>

#include "massprops.h"

enum {
  SY_ROLLUP_BLOCK = 8, /* nodes */
  SY_ROLLUP_BODY =
      10, /* numbers of a node: mass, cg x y z, inertia about the cg xx yy zz xy xz yz (tensor sign) */
  SY_ROLLUP_PLACE = 12, /* rotation into the parent's frame, row by row, then its origin there x y z */
};

typedef struct sy_rollup_level {
  size_t count;        /* nodes */
  const double *body;  /* blocks of the nodes' own bodies, in their own frames; NULL: none here has one */
  const double *place; /* blocks */
  const uint32_t *
      child_end; /* node i holds those from child_end[i - 1] (0 for the first) up to before child_end[i] of the
                             ** level below; not read in the lowest level */
} sy_rollup_level;

/* Where number `number` of node `node` stands in blocks of `numbers` a node. */
static inline size_t sy_rollup_at(size_t numbers, size_t node, size_t number) {
  return (node / SY_ROLLUP_BLOCK * numbers + number) * SY_ROLLUP_BLOCK + node % SY_ROLLUP_BLOCK;
}

/* How many doubles the blocks of `count` nodes take, `numbers` a node. */
static inline size_t sy_rollup_room(size_t numbers, size_t count) {
  return (count + SY_ROLLUP_BLOCK - 1) / SY_ROLLUP_BLOCK * SY_ROLLUP_BLOCK * numbers;
}

/* How many doubles sy_rollup needs for `work`. */
SY_API size_t sy_rollup_work(const sy_rollup_level *levels, size_t level_count);

/* work  room for sy_rollup_work doubles, not shared with any block
** Errors  SY_MISSING  no level or no node, or nothing has a mass
**         SY_CLASH    child_end falls somewhere or does not end with the level below
**         SY_RANGE    the joint mass is < 0 or a result is not finite; single values are not looked at */
SY_API sy_status sy_rollup(const sy_rollup_level *levels, size_t level_count, double *work, sy_massprops *out,
                           sy_error *err);

#endif
