/* solids.h - standard bodies of uniform density, by mass and size.
**
** Units    SI: kg, m. Result: cg at the origin, inertia about the cg (kg m^2).
** Axis     a body of revolution has its axis along z; turn it with sy_massprops_place. A box has its
**          `length` along x, `width` along y, `height` along z.
** Errors   SY_RANGE  mass < 0, a size <= 0 or not finite, wall more than half the diameter; `out` untouched
** Source   Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4 (hollow bodies by
**          subtraction).
*/
#ifndef SY_MASS_SOLIDS_H
#define SY_MASS_SOLIDS_H

#include "massprops.h"

SY_API sy_status sy_solid_box(double mass, double length, double width, double height, sy_massprops *out,
                              sy_error *err);
SY_API sy_status sy_solid_cylinder(double mass, double diameter, double length, sy_massprops *out,
                                   sy_error *err);
/* inner diameter 0 is a solid cylinder */
SY_API sy_status sy_solid_hollow_cylinder(double mass, double outer_diameter, double inner_diameter,
                                          double length, sy_massprops *out, sy_error *err);
/* the same by outer diameter and wall thickness */
SY_API sy_status sy_solid_tube(double mass, double outer_diameter, double wall, double length,
                               sy_massprops *out, sy_error *err);
SY_API sy_status sy_solid_sphere(double mass, double diameter, sy_massprops *out, sy_error *err);
SY_API sy_status sy_solid_hollow_sphere(double mass, double outer_diameter, double inner_diameter,
                                        sy_massprops *out, sy_error *err);
/* full axes along x, y, z */
SY_API sy_status sy_solid_ellipsoid(double mass, double length, double width, double height,
                                    sy_massprops *out, sy_error *err);
/* base diameter and height; the base lies at z = -height/4, the tip at +3/4 height: cg at the origin */
SY_API sy_status sy_solid_cone(double mass, double diameter, double height, sy_massprops *out, sy_error *err);
/* thin, along z */
SY_API sy_status sy_solid_rod(double mass, double length, sy_massprops *out, sy_error *err);
/* thin, in the x-y plane */
SY_API sy_status sy_solid_plate(double mass, double length, double width, sy_massprops *out, sy_error *err);

/* What stands for a body of which only the mass is known: a ball of SY_USUAL_DENSITY, whose inertia is the least of all bodies of that
** density. Hollows and fittings counted, engines, gearboxes, batteries and people are within a factor of two of it; what is long or flat has
** more, and should state its shape. SY_USUAL_SD is the standard uncertainty of such an inertia, as a fraction, and one error in all of them:
** the density is guessed once. Common practice, no source. mass >= 0. */
#define SY_USUAL_DENSITY 1000.0 /* kg/m^3 */
#define SY_USUAL_SD      0.5
SY_API sy_sym3 sy_solid_usual(double mass);

#endif
