/* corner.h - the vehicle on its springs: what each wheel carries, where the body stands, and what a perch or a pad changes.
**
** Units    SI: kg, m, N, rad. Frame ISO 8855:2011. Heights, travels and angles are changes from the drawn state, up, bump,
**          left side up (roll) and nose down (pitch) positive; a body point rises by z + roll(x) y - pitch x.
** Drawn    the state the vehicle is set up in: the body at its drawn heights, the chassis without twist, bars slack, each wheel
**          carrying what the caller says (equilibrium.h with the file's cross weight). All else is a change from there.
** Model    sprung body (heave, pitch, and a roll that changes evenly from first to last axle, against the chassis' torsional
**          rate), one unsprung mass a wheel, wheel rate = spring rate x motion ratio^2, tyre rate, a bar per axle. A perch
**          turned by a (m at the spring) acts as a / motion ratio at the wheel. Rigid chassis: one roll, nothing huge.
** Contact  tyres push only; travel ends at bump and droop where they are stated. The equilibrium is the minimum of a convex
**          energy: exactly one, whenever the cg lies inside the contacts.
** Small    first order in heights and angles; weight x height x angle is left out.
** Loads    any number of wheels; with three they follow from balance alone.
** Source   equilibrium of forces and moments; unilateral contact: R. Cottle, J.-S. Pang, R. Stone, The Linear Complementarity
**          Problem, 1992 (from memory); wheel rates: W. Milliken, D. Milliken, Race Car Vehicle Dynamics, 1995, ch. 16
**          (from memory).
*/
#ifndef SY_STATICS_CORNER_H
#define SY_STATICS_CORNER_H

#include <stdbool.h>

#include "../mass/ledger.h"
#include "../vehicle/vehicle.h"

/* What one load state puts on the springs. */
typedef struct sy_corner_load {
  double body[4]; /* sum of N (1, -x, y c, y (1 - c)); c falls from 1 at the first axle to 0 at the last */
  double wheel
      [SY_MAX_WHEELS]; /* N, unsprung weight on each wheel, in the sums above too; and what links press it down by, which is not */
  double couple[SY_MAX_AXLES]; /* N m that links carry past the springs, loading the left wheel; see below */
} sy_corner_load;

/* The loads of a ledger's totals. Each part's weight acts where the part is: its roll moment is shared between the ends by the
** lever rule at its own x.
** gravity  as in equilibrium.h. Across, unsprung parts act at their own height past the springs, with two axles the sprung share of an
**          axle does so at its roll centre, and the rest goes through the springs.
** Errors   SY_GEOMETRY gravity not pointing into the ground;  SY_MISSING no mass
**          SY_RANGE    gravity or a load not finite, counts of axles or wheels */
SY_API sy_status sy_corner_load_of(const sy_totals *totals, const sy_vehicle *vehicle, sy_vec3 gravity,
                                   sy_corner_load *out, sy_error *err);

typedef struct sy_corner_model {
  sy_vehicle vehicle;
  int wheel_count;
  sy_contact wheel[SY_MAX_WHEELS];
  double arm[SY_MAX_WHEELS][4]; /* rise of the body over a wheel per unit of each freedom */
  double wheel_rate[SY_MAX_WHEELS], tyre_rate[SY_MAX_WHEELS], motion_ratio[SY_MAX_WHEELS]; /* as drawn */
  double drawn[SY_MAX_WHEELS];                                                             /* N */
  sy_corner_load drawn_load;
  double drawn_torque; /* N m in the chassis as drawn */
  bool rigid;
  unsigned
      bent; /* bit set of the wheels whose rate changes with their travel: a curve of motion ratios, a bump stop */
} sy_corner_model;

/* drawn  N on each wheel in the drawn state
** Errors  SY_MISSING   spring_rate or tyre_rate of a wheel is not given
**         SY_RANGE     a wheel carries nothing or less as drawn, a load or a result is not finite; the rate of a bent wheel is not above
**                      0 all along; and those of sy_vehicle_check
**         SY_GEOMETRY  the cg as drawn lies outside the wheels, contacts on one line, a bar on a single wheel */
SY_API sy_status sy_corner_make(const sy_vehicle *vehicle, const sy_corner_load *drawn_load,
                                const double drawn[SY_MAX_WHEELS], sy_corner_model *out, sy_error *err);

typedef struct sy_corner_setting {
  double pad[SY_MAX_WHEELS];    /* m, ground under the wheel higher than the rest */
  double perch[SY_MAX_WHEELS];  /* m at the spring, + compresses it: lifts that corner of the body */
  double preload[SY_MAX_AXLES]; /* m of travel difference built into a bar, + loads the left wheel */
  double downforce
      [SY_MAX_AXLES]; /* N that air presses on the body over each axle, on the centre line; negative: lift */
  bool bars;          /* connected */
} sy_corner_setting;

typedef struct sy_wheel_case {
  bool touches;
  signed char stop; /* +1 at bump, -1 at droop, 0 free */
} sy_wheel_case;

typedef struct sy_corner_result {
  double load[SY_MAX_WHEELS];   /* N */
  double height[SY_MAX_WHEELS]; /* m, body over the wheel */
  double travel[SY_MAX_WHEELS]; /* m */
  double bar[SY_MAX_AXLES];     /* N, up on the left of the body */
  double pose[4];               /* heave at x = 0, pitch, roll at the first axle, roll at the last */
  sy_wheel_case fits[SY_MAX_WHEELS];
} sy_corner_result;

/* Does it rest on straight springs with every wheel on the ground and free of its stops? One set of linear equations then says where. */
SY_API bool sy_corner_is_plain(const sy_corner_model *model, const sy_corner_result *result);

/* Errors  SY_GEOMETRY  the cg lies outside the wheels: it tips
**         SY_RANGE     a pad, perch, preload, downforce, load or result is not finite; perches that leave the rate of a bent wheel not
**                      above 0
**         SY_LIMIT     no equilibrium after many steps (not seen; the energy is convex) */
SY_API sy_status sy_corner_solve(const sy_corner_model *model, const sy_corner_load *load,
                                 const sy_corner_setting *setting, sy_corner_result *out, sy_error *err);

/* First-order changes; of straight springs exact while no wheel lifts, lands or meets a stop. [wheel][by which wheel] */
typedef struct sy_corner_sensitivities {
  double load_pad[SY_MAX_WHEELS][SY_MAX_WHEELS];   /* N/m */
  double load_perch[SY_MAX_WHEELS][SY_MAX_WHEELS]; /* N/m at the spring */
  double load_body[SY_MAX_WHEELS][4];              /* N per unit of load->body, wheel weights unchanged */
  double load_drawn[SY_MAX_WHEELS]
                   [SY_MAX_WHEELS];  /* N/N of model->drawn, with the torque that goes with it */
  double load_torque[SY_MAX_WHEELS]; /* N per N m of drawn roll moment on the first half (drawn_load.body[2]
                                                       up, body[3] down) */
  double pose_pad[4][SY_MAX_WHEELS], pose_perch[4][SY_MAX_WHEELS];
  double pose_body[4][4], pose_drawn[4][SY_MAX_WHEELS], pose_torque[4]; /* as the loads' */
  double height_pad[SY_MAX_WHEELS][SY_MAX_WHEELS], height_perch[SY_MAX_WHEELS][SY_MAX_WHEELS];
} sy_corner_sensitivities;

/* at    a result: its contacts and, of bent wheels, its travels count; NULL: as drawn, all wheels touch and are free
** Errors  SY_GEOMETRY  the wheels that touch do not hold the body */
SY_API sy_status sy_corner_sensitivity(const sy_corner_model *model, const sy_corner_setting *setting,
                                       const sy_corner_result *at, sy_corner_sensitivities *out,
                                       sy_error *err);

/* The rates of the wheels where a result has them, N/m: those of the model, but for bent wheels. */
SY_API void sy_corner_rates_at(const sy_corner_model *model, const sy_corner_setting *setting,
                               const sy_corner_result *at, double rate[SY_MAX_WHEELS]);

/* Ride rate of a wheel as drawn: wheel rate and tyre in series, N/m. */
SY_API double sy_corner_ride_rate(const sy_corner_model *model, int wheel);

/* What springs carry below this part of an axle's load is what differences of equal loads leave. */
#define SY_CORNER_NOTHING 1e-9

/* Undamped frequency, Hz, of what an axle's springs carry as drawn on its ride rates; NAN when they carry nothing. */
SY_API double sy_corner_ride_hz(const sy_corner_model *model, int axle);

/* The same of what they carry in a result, on the rates it has there.
** weight  of the result: its unsprung weights */
SY_API double sy_corner_ride_hz_at(const sy_corner_model *model, const sy_corner_setting *setting,
                                   const sy_corner_load *weight, const sy_corner_result *at, int axle);

#endif
