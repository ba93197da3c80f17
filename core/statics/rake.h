/* rake.h - how a body stands two of whose points were measured above the floor.
**
** Units    m, rad. Frame ISO 8855:2011; pitch nose down positive, heights up.
** Exact    a body that pitches by p about a point carries a point that lies x ahead of it and z above it to -x sin p + z cos p above it; of two
**          points the difference is dz cos p - dx sin p = H1 - H2. Of the two solutions the one nearer to level. The body does not
**          roll: points off its centre plane are taken as if on it.
** Anchor   the body turns about a point that only rises, over the first axle line, as car heights are set.
** Source   geometry; the tangent half-angle is not needed, since with A = hypot(dx, dz) it is A sin(atan2(dz, dx) - p).
*/
#ifndef SY_STATICS_RAKE_H
#define SY_STATICS_RAKE_H

#include "../base/status.h"

typedef struct sy_rake_point {
  double x, z;   /* where the point is drawn */
  double height; /* as measured above the floor */
  double sd;     /* standard uncertainty of that; 0: exact */
} sy_rake_point;

typedef struct sy_rake {
  double pitch, front,
      rear; /* front, rear: rise of the body at the first and last axle line, at the anchor's height */
  double pitch_sd, front_sd,
      rear_sd; /* by the heights, which err apart; of front and rear together they are not independent */
} sy_rake;

/* first, last  x of the axle lines;  anchor  height of the point that only rises
** Errors  SY_RANGE     a number that is not finite, an sd below 0
**         SY_GEOMETRY  first not ahead of last; points less than a thousandth of the axles' distance apart along the car; heights that differ
**                      by more than the points are apart */
SY_API sy_status sy_rake_of(const sy_rake_point point[2], double first, double last, double anchor,
                            sy_rake *out, sy_error *err);

#endif
