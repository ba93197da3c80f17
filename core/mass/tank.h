/* tank.h - liquid at rest in a tank: where it stands, its centre and inertia, and its free surface.
**
** Units    SI: m, m^3. Frame: the tank's own, right-handed, its origin at the tank's middle (a mesh keeps its own).
** Up       the direction against gravity, in the tank's frame; of any length but zero. A tank that leans is given an `up`
**          that leans the other way; a car that brakes has up leaning back, since the liquid runs forward.
** Model    the liquid is frozen in the shape it has at rest: one level, no waves, no trapped air.
*/
#ifndef SY_MASS_TANK_H
#define SY_MASS_TANK_H

#include "mesh.h"

typedef enum sy_tank_kind { SY_TANK_BOX, SY_TANK_CYLINDER, SY_TANK_ELLIPSOID, SY_TANK_MESH } sy_tank_kind;

/* The inner space. Start from sy_tank_default, which puts NaN into all sizes. */
typedef struct sy_tank {
  sy_tank_kind kind;
  sy_vec3 size;        /* m, box and ellipsoid: full lengths along x, y and z */
  double diameter;     /* m, cylinder */
  double length;       /* m, cylinder, along its axis */
  sy_vec3 axis;        /* cylinder: any direction but zero */
  const sy_mesh *mesh; /* closed and looking outward (sy_mesh_check), in m; not owned */
} sy_tank;

typedef struct sy_liquid {
  double volume;          /* m^3 */
  double level;           /* m: the surface stands where unit up . p = level */
  double depth;           /* m, from the lowest point of the tank to the surface */
  sy_vec3 centroid;       /* m; NaN when the tank is empty: nothing has no centre */
  sy_sym3 inertia;        /* m^5, tensor about the centroid, for density 1 */
  double area;            /* m^2, of the free surface; 0 in an empty and in a brim-full tank */
  sy_vec3 surface;        /* m, its centre; NaN when there is none */
  sy_sym3 surface_second; /* m^4, the integral of r r^T over it, r from its centre: no tensor sign */
} sy_liquid;

SY_API sy_tank sy_tank_default(sy_tank_kind kind);

/* Volume up to the brim, m^3.
** Errors  SY_RANGE  a size is not > 0, not finite or not within 1e-6 and 1e4 m, an axis zero, an unknown kind
**         SY_MISSING  no mesh */
SY_API sy_status sy_tank_capacity(const sy_tank *tank, double *out, sy_error *err);

/* `volume` of liquid at rest.
** Errors  those of sy_tank_capacity; SY_RANGE  the volume is < 0, not finite or above the capacity (by more than the
**         rounding of a sum, one part in 1e9), or `up` is zero or not finite
** A slight change of up, `turn` (at right angles to it), moves the centroid by -(surface_second turn) / volume. That is the
** metacentric radius I / V: K. J. Rawson, E. C. Tupper, Basic Ship Theory, ch. 3 (from memory).
** Source  level by Newton's method inside a bracket, with the surface's area for the slope; meshes cut triangle by triangle,
**         with the tetrahedra's apex on the surface so that the cut itself adds nothing. */
SY_API sy_status sy_tank_liquid(const sy_tank *tank, double volume, sy_vec3 up, sy_liquid *out,
                                sy_error *err);

/* The liquid that stands below `point` (a pick-up, an outlet): what cannot be drawn at this attitude.
** Errors  as above */
SY_API sy_status sy_tank_below(const sy_tank *tank, sy_vec3 point, sy_vec3 up, sy_liquid *out, sy_error *err);

/* The liquid that stands `height` above the lowest point of the tank, square to its surface: what a dipstick says. 0 below, the brim above.
** Errors  as above; SY_RANGE  the height is not finite */
SY_API sy_status sy_tank_to_height(const sy_tank *tank, double height, sy_vec3 up, sy_liquid *out,
                                   sy_error *err);

/* Does `point` lie in the tank? On its wall it does, and up to a thousandth of a millimetre beyond.
** Errors  those of sy_tank_capacity; SY_RANGE  the point is not finite */
SY_API sy_status sy_tank_holds(const sy_tank *tank, sy_vec3 point, bool *out, sy_error *err);

/* The tank itself, empty: an even sheet all over the surface of the space.
** mass   kg, of the sheet
** out    cg in the tank's frame (a mesh's is the centroid of its surface), inertia about it; written only when SY_OK
** Errors  those of sy_tank_capacity; SY_RANGE  mass < 0 or not finite
** Source  box and closed cylinder: sums of rectangles and discs, Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4;
**         triangles: A/12 (a a^T + b b^T + c c^T + (a + b + c)(a + b + c)^T); an ellipsoid has no closed form and is added up
**         over its surface (within 1e-10 of the inertia up to 3 : 1, 1e-6 up to 10 : 1). */
SY_API sy_status sy_tank_shell(const sy_tank *tank, double mass, sy_massprops *out, sy_error *err);

#endif
