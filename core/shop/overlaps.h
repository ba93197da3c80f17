/* overlaps.h - which of many bodies intersect, and which stand nearer than a gap.
**
** Units    m. All bodies in one frame.
** Found    boxes along the axes round all bodies pick the pairs that can meet (sorted along x and swept); each of those is then measured
**          by clearance.h, meshes triangle by triangle.
** Touching bodies drawn face to face touch and do not intersect, but rounding puts them a hair into one another. So two bodies that
**          intersect are both made smaller by half of SY_OVERLAPS_TOUCH and asked again: when they are apart then, they touch, with a
**          gap of 0. A plate without thickness keeps its plane, so half of that depth is enough for what it cuts.
*/
#ifndef SY_SHOP_OVERLAPS_H
#define SY_SHOP_OVERLAPS_H

#include "../base/alloc.h"
#include "clearance.h"

#define SY_OVERLAPS_TOUCH 1e-4 /* m: a tenth of a millimetre, which no drawing of a whole car is good to */

/* The most pairs whose boxes meet; more are refused, for each is measured. */
#define SY_OVERLAPS_MOST 200000

typedef struct sy_overlap {
  size_t a, b;  /* of the bodies, from 0; a < b */
  bool overlap; /* they intersect, and more than touch */
  double gap;   /* m, >= 0: 0 when they intersect or touch */
  sy_vec3
      at[2]; /* the nearest points of a and b, without roundings; of two that intersect some point of both */
} sy_overlap;

typedef struct sy_overlaps sy_overlaps;

/* All pairs that intersect or are less than `gap` apart, in the order of a, then b.
** body  `count` of them; 0 gives an empty list
** gap   m, >= 0; with 0 only those that intersect
** alloc NULL for the default
** out   written only when SY_OK is returned; ended by sy_overlaps_free
** Errors  those of sy_clearance, the part being "body 3";  SY_RANGE  gap < 0 or not finite
**         SY_LIMIT  more than SY_OVERLAPS_MOST pairs to measure, or in all more pairs of triangles than SY_CLEARANCE_MOST; no memory */
SY_API sy_status sy_overlaps_find(const sy_envelope *body, size_t count, double gap, const sy_alloc *alloc,
                                  sy_overlaps **out, sy_error *err);

SY_API size_t sy_overlaps_count(const sy_overlaps *found);

/* Entry `i`, below the count. */
SY_API sy_overlap sy_overlaps_at(const sy_overlaps *found, size_t i);

/* NULL is fine. */
SY_API void sy_overlaps_free(sy_overlaps *found);

#endif
