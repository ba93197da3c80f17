/* tapes.h - places on a floor by two tapes from two fixed points.
**
** Units    m, rad; any two axes.
** Uncertainty  first order: with e and f the unit vectors from the tape points to the place, d a = e . d p and d b = f . d p. It grows
**          as one over the sine of the angle at which the tapes cross, and is boundless on the line between the tape points.
** Source   two circles; law of propagation: JCGM 100:2008, 5.1.2.
*/
#ifndef SY_SHOP_TAPES_H
#define SY_SHOP_TAPES_H

#include "../base/status.h"
#include "floor.h"

typedef struct sy_tapes {
  sy_plan a, b; /* where the tapes are held to the floor */
} sy_tapes;

/* The lengths to a place. */
SY_API void sy_tapes_lengths(const sy_tapes *tapes, sy_plan at, double *a, double *b);

/* The place at lengths a and b; of the two that there are, the one on the same side of the line between the tape points as `near`.
** Errors  SY_RANGE     a length < 0 or not finite, or the result not finite
**         SY_GEOMETRY  the tape points coincide; the lengths do not meet: together too short, or one too long for the other */
SY_API sy_status sy_tapes_place(const sy_tapes *tapes, double a, double b, sy_plan near, sy_plan *out,
                                sy_error *err);

typedef struct sy_tapes_uncertainty {
  double crossing;   /* 0 to pi/2, the angle at which the tapes cross */
  double sd_x, sd_y; /* standard uncertainties; INFINITY where the tapes do not cross */
} sy_tapes_uncertainty;

/* sd_a, sd_b: standard uncertainties of the two lengths. */
SY_API sy_tapes_uncertainty sy_tapes_uncertainty_at(const sy_tapes *tapes, sy_plan at, double sd_a,
                                                    double sd_b);

#endif
