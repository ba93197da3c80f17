/* subtract.h - mass, cg and inertia of a part that cannot be weighed alone, from weighings with and without it.
**
** Units    SI. All bodies share one right-handed frame; inertia about each body's own cg, tensor sign.
** Model    what is left = sum of the bodies weighed with the part - sum of those weighed without it. A body may be a whole vehicle
**          with its cg, or the load of one wheel or axle at its place (a point).
** Uncertainty  first order, errors of different numbers independent. The cg of what is left moves by (whole mass / its own mass) times
**          an error in the cg of the whole: small parts of large things come out badly, and the result says how badly.
** Source   composite bodies: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, App. B; propagation: JCGM 100:2008, 5.1.
*/
#ifndef SY_MEASURE_SUBTRACT_H
#define SY_MEASURE_SUBTRACT_H

#include <stdbool.h>
#include <stddef.h>

#include "../mass/massprops.h"

typedef struct sy_weighed {
  sy_massprops
      body; /* a cg coordinate that nobody measured is NaN, in all bodies alike; an inertia not asked for too */
  double mass_sd;     /* standard uncertainties, >= 0 */
  sy_vec3 cg_sd;      /* of coordinates that are known */
  sy_sym3 inertia_sd; /* NaN, as the inertia, where not asked for */
  bool without;       /* weighed without the part */
} sy_weighed;

/* out          what is left; `without` is false; inertia NaN unless asked for
** with_inertia the bodies' inertia is known, and all three coordinates of their cg
** Errors  SY_MISSING   no body with the part, or none without it; a coordinate is known in some bodies only
**         SY_RANGE     a mass is < 0, an sd is < 0, a value or a result is not finite; nothing would be left (field "mass"), or so little that its
**                      95 % reaches down to nothing
**         SY_GEOMETRY  the inertia left is not that of a body, by more than its 95 % */
SY_API sy_status sy_subtract(const sy_weighed *bodies, size_t count, bool with_inertia, sy_weighed *out,
                             sy_error *err);

#endif
