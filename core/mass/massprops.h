/* massprops.h - mass, centre of gravity (cg) and inertia of rigid parts.
**
** Units    SI: kg, m, kg m^2. Convert at the edge (units.h), never here.
** Frame    all parts of one call share one right-handed frame; for a vehicle x is forward, y left, z up
**          (ISO 8855:2011).
** Inertia  about the part's own cg, axes parallel to the frame. Products have the tensor sign:
**          xy = -(integral of x y dm).
*/
#ifndef SY_MASS_MASSPROPS_H
#define SY_MASS_MASSPROPS_H

#include "../base/frame.h"
#include "../base/status.h"

typedef struct sy_massprops {
  double mass;     /* kg, >= 0 (the joint mass must be > 0) */
  sy_vec3 cg;      /* m */
  sy_sym3 inertia; /* kg m^2, about cg */
} sy_massprops;

/* Join `count` parts rigidly into one.
** parts   read only; their order changes the result by rounding only
** out     may be one of `parts`
** Allocates nothing. Each inertia is shifted once, straight to the joint cg, so parts far from the frame
** origin lose no digits.
** Errors  SY_MISSING  count is 0
**         SY_RANGE    a mass is < 0, the joint mass is 0, or any value is not finite
** Source  parallel-axis theorem for moments and products: Meriam, Kraige & Bolton, Engineering Mechanics:
**         Dynamics, App. B, B/1 and B/2. */
SY_API sy_status sy_massprops_combine(const sy_massprops *parts, size_t count, sy_massprops *out,
                                      sy_error *err);

/* What is left of `whole` when `part` is taken out.
** Errors  SY_RANGE     the remaining mass is not > 0, or a value is not finite
**         SY_GEOMETRY  the remainder is not a physical body: `part` was not inside `whole` */
SY_API sy_status sy_massprops_remove(const sy_massprops *whole, const sy_massprops *part, sy_massprops *out,
                                     sy_error *err);

/* The body moved by a placement: cg -> turn cg + at, inertia -> turn J turn^T. */
SY_API sy_massprops sy_massprops_place(const sy_massprops *body, const sy_frame *frame);

/* The mirror image in the plane y = plane_y. */
SY_API sy_massprops sy_massprops_mirror(const sy_massprops *body, double plane_y);

/* The inertia tensor about another point: J + m S(p - cg). */
SY_API sy_sym3 sy_massprops_inertia_about(const sy_massprops *body, sy_vec3 point);

/* Principal moments (ascending) and axes. */
SY_API sy_eigen3 sy_massprops_principal(const sy_massprops *body);

/* Can a rigid body have this inertia? Principal moments >= 0 and none above the sum of the other two, each
** within `rel_tol` of the largest moment.
** Errors  SY_GEOMETRY with the reason as the message; SY_RANGE for values that are not finite, mass < 0 */
SY_API sy_status sy_massprops_check(const sy_massprops *body, double rel_tol, const char *name,
                                    sy_error *err);

#endif
