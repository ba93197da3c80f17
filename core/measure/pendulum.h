/* pendulum.h - moment of inertia of a part from the time it takes to swing.
**
** Units    SI: kg, m, s, rad, kg m^2, N m/rad.
** Inertia  about the axis of the swing through the part's own cg: the horizontal line of the pivot's direction for a
**          compound pendulum, the vertical for the others.
** Models   compound  m g d T^2 / (4 pi^2) - m d^2
**          bifilar   m g a b T^2 / (4 pi^2 l), two vertical wires of length l at distances a and b from the vertical
**                    through the cg, which lies between them
**          trifilar  m g R^2 T^2 / (4 pi^2 l), three or more vertical wires of length l at distance R
**          torsion   k T^2 / (4 pi^2), one wire of stiffness k; a rod of known inertia gives k
**          A platform or cradle that swings along is swung empty as well and taken off.
** Swing    0 stands for small swings. Otherwise the period is brought to that of small swings by the exact integral of the
**          motion: the compound pendulum by its elliptic integral, hanging wires with the rise of the part and its kinetic energy
**          (unequal arms as two of sqrt(a b)). A wire in torsion swings alike at any amplitude.
** Source   bifilar, trifilar, compound and torsion pendulum for parts: J. Moore, M. Hubbard, D. Peterson, A. Schwab, J. Kooijman,
**          An accurate method of measuring and comparing a bicycle's physical parameters, Bicycle and Motorcycle Dynamics,
**          Delft 2010; elliptic integral by the arithmetic-geometric mean: Abramowitz & Stegun, Handbook of Mathematical
**          Functions, 17.6.
*/
#ifndef SY_MEASURE_PENDULUM_H
#define SY_MEASURE_PENDULUM_H

#include <stdbool.h>

#include "../base/status.h"

typedef enum sy_pendulum_kind {
  SY_PENDULUM_COMPOUND,
  SY_PENDULUM_BIFILAR,
  SY_PENDULUM_TRIFILAR,
  SY_PENDULUM_TORSION
} sy_pendulum_kind;

/* One measurement; also the sensitivities of the result, entry by entry. All fields are doubles. */
typedef struct sy_pendulum {
  double mass;            /* kg, of the part alone; not for torsion */
  double period;          /* s, one full swing there and back */
  double gravity;         /* m/s^2 */
  double arm;             /* m, pivot to cg: compound */
  double arm_a, arm_b;    /* m, wires from the vertical through the cg; trifilar: arm_a is R */
  double wire;            /* m, length of the hanging wires */
  double stiffness;       /* N m/rad: torsion without a rod */
  double platform_mass;   /* kg; 0 with a platform_period of 0: none */
  double platform_period; /* s, of the empty platform */
  double rod_mass;        /* kg: torsion with a round rod hung across, swinging about its middle */
  double rod_length;      /* m */
  double rod_diameter;    /* m */
  double rod_period; /* s; the rod lies on the platform when there is one and `rod_on_platform` says so */
  double swing;      /* rad, to each side; 0: small */
} sy_pendulum;

typedef struct sy_pendulum_result {
  double inertia;          /* kg m^2 */
  double stiffness;        /* N m/rad, torsion; NaN else */
  double amplitude;        /* measured period / period of small swings */
  sy_pendulum sensitivity; /* d inertia / d each field */
} sy_pendulum_result;

/* All NaN, but standard gravity, no platform and small swings. */
SY_API sy_pendulum sy_pendulum_default(void);

/* rod_on_platform  the rod was swung on the platform, not on the bare wire
** out              the sensitivities leave out what the amplitude's share in them is (second order in the swing)
** Errors  SY_MISSING   a field the kind needs is NaN, or a platform's mass without its period or the reverse; the field is named
**         SY_RANGE     a field is not > 0 (platform, swing and rod_diameter: not >= 0) or not finite, or the inertia is not
**         SY_CLASH     stiffness and a rod both given; a platform under a compound pendulum
**         SY_GEOMETRY  no body swings like this: the inertia would not be > 0 or the swing is wider than the wires allow */
SY_API sy_status sy_pendulum_inertia(sy_pendulum_kind kind, const sy_pendulum *p, bool rod_on_platform,
                                     sy_pendulum_result *out, sy_error *err);

/* Period of a compound pendulum that swings `swing` (0 <= swing < pi) to each side, over that of small swings. */
SY_API double sy_pendulum_circular_factor(double swing);

/* The same for a body on vertical wires of length `wire` at distance `radius` from the axis; `gyration` is its radius of gyration
** about that axis. 2 radius sin(swing / 2) < wire. */
SY_API double sy_pendulum_wires_factor(double swing, double radius, double wire, double gyration);

#endif
