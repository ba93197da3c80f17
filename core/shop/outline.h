/* outline.h - what is seen of a body from the side, from above and from the front: its outline as closed loops of points.
**
** Units    m. Frame: the one the bodies stand in; for a car x forward, y left, z up (ISO 8855:2011).
** View     side (x, z), plan (x, y), front (y, z): a point keeps two of its three coordinates; near or far makes no difference.
** Convex   one loop, counter-clockwise, its first point the one with the least first coordinate (the least second of several): the
**          corners of a hull of points, exactly; of what is round the farthest points in SY_OUTLINE_WAYS directions, so the polygon lies
**          inside by up to r (1 - cos(pi / SY_OUTLINE_WAYS)), a five hundredth of the radius. A point has one, a line two points.
** Meshes   the edges across which the surface turns from the viewer's side to the far side, as loops. Filled by the nonzero rule they
**          are the shadow of the mesh; where something stands before something else of it, the loops cross inside the shadow.
*/
#ifndef SY_SHOP_OUTLINE_H
#define SY_SHOP_OUTLINE_H

#include "../base/alloc.h"
#include "clearance.h"
#include "floor.h"

typedef enum sy_view { SY_VIEW_SIDE, SY_VIEW_PLAN, SY_VIEW_FRONT, SY_VIEW_COUNT } sy_view;

enum { SY_OUTLINE_WAYS = 48 };

typedef struct sy_outline sy_outline;

/* The outline of `body` in that view.
** alloc   NULL for the default
** out     written only when SY_OK is returned; ended by sy_outline_free
** Errors  those of sy_envelope_reach, the part being "body";  SY_RANGE  no such view
**         SY_CLASH  a mesh with a rounding or a sweep: neither is outlined;  SY_LIMIT  memory is out */
SY_API sy_status sy_outline_make(const sy_envelope *body, sy_view view, const sy_alloc *alloc,
                                 sy_outline **out, sy_error *err);

/* How many loops: 1 of a convex body, one or more of a mesh. */
SY_API size_t sy_outline_loops(const sy_outline *outline);

/* Points of loop `i`, below the count. */
SY_API size_t sy_outline_points(const sy_outline *outline, size_t i);

/* Point `k` of loop `i`, both below their counts. */
SY_API sy_plan sy_outline_point(const sy_outline *outline, size_t i, size_t k);

/* NULL is fine. */
SY_API void sy_outline_free(sy_outline *outline);

/* The two coordinates of a point that a view keeps. */
SY_API sy_plan sy_view_point(sy_view view, sy_vec3 p);

#endif
