/* clearance.h - how far two envelopes are apart.
**
** Units    m. All of one call in one frame.
** Envelope a convex body, rounded if asked, and swept along a line if it leaves that way; or a closed mesh of any shape.
** Gap      the least distance between the surfaces. When the bodies overlap the gap is below 0: -depth where only the roundings
**          overlap, else 0 less the roundings, with `overlap` set; how deep bodies without roundings overlap is not reported.
** Source   E. G. Gilbert, D. W. Johnson, S. S. Keerthi, A fast procedure for computing the distance between complex objects in
**          three-dimensional space, IEEE Journal of Robotics and Automation 4 (1988) 193-203. The closest point of a simplex is
**          found by trying its corners, edges and faces. It ends with a bracket: the support plane proves a lower bound.
*/
#ifndef SY_SHOP_CLEARANCE_H
#define SY_SHOP_CLEARANCE_H

#include "../mass/mesh.h"

typedef enum sy_envelope_kind {
  SY_ENVELOPE_POINTS,    /* the hull of some points: a point, a line, a box, a convex piece */
  SY_ENVELOPE_ROUND,     /* between two discs: a cylinder, a cone */
  SY_ENVELOPE_ELLIPSOID, /* a sphere too */
  SY_ENVELOPE_MESH,
} sy_envelope_kind;

enum { SY_ENVELOPE_POINTS_MOST = 8 };

typedef struct sy_envelope {
  sy_envelope_kind kind;
  sy_frame place; /* from the envelope's own frame, in which all of these stand */
  sy_vec3 point[SY_ENVELOPE_POINTS_MOST];
  int count;           /* of points, 1 to 8 */
  sy_vec3 end[2];      /* of the axis of a round body */
  double radius[2];    /* there, >= 0 */
  sy_vec3 half;        /* of an ellipsoid, along its axes, > 0 */
  const sy_mesh *mesh; /* closed (sy_mesh_check); not owned */
  double rounding;     /* added all round, >= 0 */
  sy_vec3 sweep;       /* in the outer frame: it also stands anywhere from where it is to there */
} sy_envelope;

typedef struct sy_gap {
  double gap;         /* m */
  double uncertainty; /* m: the gap is at most so much less; what the iteration left open */
  sy_vec3 at[2];      /* the nearest points of a and b, without roundings */
  bool overlap;
} sy_gap;

/* The most triangle pairs or triangles one call goes through; finer meshes are refused. */
#define SY_CLEARANCE_MOST 2e8

/* kind SY_ENVELOPE_POINTS, no rounding, no sweep, NaN where something must be said. */
SY_API sy_envelope sy_envelope_default(sy_envelope_kind kind);

/* Errors  SY_RANGE    a size < 0 or not finite, a count or kind out of range, a result not finite;  SY_MISSING  no mesh
**         SY_LIMIT    the product of two meshes' triangles is above SY_CLEARANCE_MOST */
SY_API sy_status sy_clearance(const sy_envelope *a, const sy_envelope *b, sy_gap *out, sy_error *err);

/* The lowest point of an envelope along `down` (any length but zero). Errors as above; SY_RANGE  no direction. */
SY_API sy_status sy_envelope_reach(const sy_envelope *a, sy_vec3 down, sy_vec3 *out, sy_error *err);

#endif
