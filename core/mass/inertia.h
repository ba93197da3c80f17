/* inertia.h - the inertia of a ledger about any point, its principal moments and axes, and how uncertain they are.
**
** Units        SI: kg, m, kg m^2. Frame ISO 8855:2011; products have the tensor sign (massprops.h).
** Principal    moments ascending, axes as sy_sym3_eigen gives them: of equal moments any axes in their plane, signs arbitrary.
** Uncertainty  first order, with all that parts have in common (propagate.h). About the cg the entries do not change to first order when
**              the cg does; a principal moment changes by its axis' share of what the tensor does.
** Source       parallel-axis theorem and principal axes: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, App. B.
*/
#ifndef SY_MASS_INERTIA_H
#define SY_MASS_INERTIA_H

#include "ledger.h"

typedef struct sy_inertia {
  double mass;
  sy_vec3 cg, about; /* m */
  sy_sym3 tensor, tensor_sd;
  double moment[3], moment_sd[3];
  sy_vec3 axis[3];
  size_t parts,
      points; /* booked lines aboard; those that count as points, so that the inertia is "at least" */
} sy_inertia;

/* about   NULL: about the cg
** Errors  SY_MISSING  nothing aboard has a mass;  SY_RANGE  the point is not finite or beyond 1e6 m */
SY_API sy_status sy_ledger_inertia(const sy_ledger *ledger, const sy_vec3 *about, sy_inertia *out,
                                   sy_error *err);

#endif
