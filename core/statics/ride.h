/* ride.h - how a sprung body bounces and pitches on its rates.
**
** Units    SI: kg, kg m^2, m, N/m, Hz. x forward; places from any origin, nodes from the cg, ahead of it positive.
** Model    two freedoms, no damping, small motion: heave of the cg z and pitch theta (nose down), a point ahead by X rises by
**          z - theta X. Rates are ride rates, wheel rate and tyre in series. Coupled modes from
**          M = diag(m, I),  K = [[sum k, -sum k X], [-sum k X, sum k X^2]].
** Bounce   is the mode whose node (point that stays still) lies farther from the cg, pitch the other; the product of the two
**          node distances is -I/m.
** Index    dynamic index I / (m a b), a and b from the cg to the first and last axle: 1 when the axles do not feel one another.
**          (Not the yaw index, which has the yaw inertia.)
** Source   S. Rao, Mechanical Vibrations, ch. 5 (two freedoms, coordinate coupling; from memory); T. Gillespie, Fundamentals
**          of Vehicle Dynamics, 1992, ch. 5 (from memory).
*/
#ifndef SY_STATICS_RIDE_H
#define SY_STATICS_RIDE_H

#include "corner.h"

typedef struct sy_ride_modes {
  double bounce_alone, pitch_alone; /* Hz, each without the other */
  double bounce, pitch;             /* Hz */
  double bounce_node, pitch_node;   /* m ahead of the cg; infinite when the two are not coupled */
} sy_ride_modes;

/* inertia  about the cross axis through the cg
** x, rate  of `count` springs
** Errors   SY_RANGE  mass, inertia or a rate not above 0, a value or a result not finite, no spring
**          SY_GEOMETRY  all springs at one place: it would fall over */
SY_API sy_status sy_ride_modes_of(double mass, double inertia, double cg_x, const double *x,
                                  const double *rate, size_t count, sy_ride_modes *out, sy_error *err);

/* I / (m a b); NAN when the cg is not between the axles. */
SY_API double sy_ride_dynamic_index(double mass, double inertia, double cg_x, double first_x, double last_x);

/* A wheel between its tyre and its spring, the body still: sqrt((k_wheel + k_tyre) / m) / 2 pi, Hz. */
SY_API double sy_ride_wheel_hop(double wheel_rate, double tyre_rate, double mass);

/* What a mass sinks on a rate in its own weight, m. */
SY_API double sy_ride_deflection(double force, double rate);

#endif
