/* cgheight_geometry.h - what errors of wheelbase, radii and held points do to tilts and loads of a session whose body is held at a
** point. Private to cgheight_fit.c.
*/
#ifndef SY_MEASURE_CGHEIGHT_GEOMETRY_H
#define SY_MEASURE_CGHEIGHT_GEOMETRY_H

#include "cgheight_model.h"

/* tilt_by and load_by of the problem at the unknowns x; nothing where no geometry is unknown. */
sy_status cgheight_linearise(cgheight_problem *p, const double *x, sy_error *err);

#endif
