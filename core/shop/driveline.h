/* driveline.h - a shaft between two joints: joint angles in space, length, and both over the travel of a wheel.
**
** Units    m, rad. Frame: any right-handed one with z up; for a vehicle ISO 8855:2011.
** Angles   between two lines, 0 to pi/2: the sign of an axis does not matter. By atan2(|u x v|, |u . v|), which keeps its
**          digits near 0 where the arc cosine loses half of them.
** Travel   of the wheel, up positive (bump). The joint's own centre rises by it.
** Source   vector geometry; the compound of two projected angles tan^2 = tan^2(top) + tan^2(side) follows from it.
*/
#ifndef SY_SHOP_DRIVELINE_H
#define SY_SHOP_DRIVELINE_H

#include <stddef.h>

#include "../base/status.h"
#include "../base/vec3.h"

/* Joint centres nearer than this are one joint: no shaft lies between them. */
#define SY_SHORTEST_SHAFT 1e-3

typedef struct sy_joint {
  sy_vec3 at;   /* centre */
  sy_vec3 axis; /* of the member behind it: output flange, hub, pinion; any length above 0, either sign */
} sy_joint;

typedef struct sy_shaft_pose {
  double inner, outer; /* joint angles */
  double length;       /* between the centres */
  double
      planes; /* from the plane of the inner joint to that of the outer, about the shaft; 0 when one is straight */
  sy_vec3 inner_sensitivity,
      outer_sensitivity; /* of each angle with the outer centre's place; the inner centre's is the opposite */
  sy_vec3 length_sensitivity; /* the same of the length */
} sy_shaft_pose;

/* A straight joint has no sensitivity (its angle grows whichever way it is moved): then that of a move upwards, or as near to it as
** can be, stands for all.
** Errors  SY_RANGE     a value is not finite (part "inner joint" or "outer joint")
**         SY_GEOMETRY  the centres coincide; an axis is 0; an angle is 90 degrees */
SY_API sy_status sy_shaft_pose_make(const sy_joint *inner, const sy_joint *outer, sy_shaft_pose *out,
                                    sy_error *err);

/* ---- how a joint moves with its wheel --------------------------------------------------------------------------- */

typedef enum sy_path_kind { SY_PATH_STILL, SY_PATH_VERTICAL, SY_PATH_ARC, SY_PATH_POINTS } sy_path_kind;

typedef struct sy_path_point {
  double travel;
  sy_vec3 at;
} sy_path_point;

typedef struct sy_path {
  sy_path_kind kind;
  sy_vec3 at;           /* arc: the joint's centre at travel 0 */
  sy_vec3 pivot, hinge; /* arc: about the line through `pivot` along `hinge` */
  const sy_path_point
      *points; /* points: by rising travel, straight in between; what counts is the move from travel 0 */
  size_t count;
} sy_path;

/* How far the joint's centre is from its place at travel 0.
** Errors  SY_GEOMETRY  an arc does not rise that far, or not at all
**         SY_RANGE     outside the table; a table of fewer than two points, not by rising travel or not finite; travel or the
**                      result not finite; an unknown kind */
SY_API sy_status sy_path_move(const sy_path *path, double travel, sy_vec3 *out, sy_error *err);

/* ---- over all travel -------------------------------------------------------------------------------------------- */

typedef struct sy_sweep {
  sy_shaft_pose ride;
  sy_shaft_pose worst; /* where the larger joint angle is largest */
  double worst_angle, worst_travel;
  double worst_steer; /* one of 0, +steer, -steer */
  int worst_joint;    /* 0 inner, 1 outer */
  sy_shaft_pose shortest, longest;
  double shortest_travel, longest_travel;
} sy_sweep;

/* Angle and length between full droop and full bump, each met to a thousandth of a millimetre of travel.
** droop, bump  m from the ride height, >= 0
** steer        rad, >= 0 and < pi/2: the outer axis is turned about the upright through the joint's centre, both ways
** The outer axis keeps its direction over the travel.
** Errors  as above, and SY_RANGE for droop, bump or steer */
SY_API sy_status sy_shaft_sweep(const sy_joint *inner, const sy_joint *outer, const sy_path *path,
                                double droop, double bump, double steer, sy_sweep *out, sy_error *err);

#endif
