/* corner_axle.h - one axle under a body of given height: where its wheels settle and what they then carry.
**
** Units   SI: m, N, N/m. Heights and travels are changes from the drawn state, up and bump positive.
** Wheel   tyre T = drawn + k_t (pad - z) while it touches, else 0; suspension S = drawn - drawn weight + k_w (u + offset) with
**         travel u = z - body height; bar B = k_b (u_left - u_right) + b0, up on the left of the body, down on its right.
**         Balance of a wheel: T = weight + S +- B. At a stop its travel is fixed instead and the stop supplies the rest.
** Contact and stops hold by complementarity: no tyre pulls, no stop pulls the wrong way. The balance is that of a strictly
**         convex energy, so exactly one of the cases (touching or lifted) x (free, at bump, at droop) fits.
** Bent    where a motion ratio changes or a bump stop joins (corner_spring.h), k_w and offset are the tangent at a travel: of where the
**         axle settled last. The energy is convex while the rate is above 0, so tangents followed by a search along the step end there.
** Near rigid  tyre and suspension are in series: a load is taken from the softer of the two, whose deflection is not lost in the
**         rounding of heights. At a stop only the tyre is left.
** Used by corner.c; not part of the public face.
*/
#ifndef SY_STATICS_CORNER_AXLE_H
#define SY_STATICS_CORNER_AXLE_H

#include "corner.h"

typedef struct sy_axle_wheel {
  double drawn, drawn_weight; /* N */
  double tyre_rate, wheel_rate;
  double weight;      /* N, unsprung, now */
  double pad, offset; /* m; offset = perch / motion ratio, at the wheel */
  double bump, droop; /* m >= 0; INFINITY without a stop */
  double bar_sign;    /* +1 left, -1 right, 0 without a bar */
  double
      ratio; /* N of spring rate at the wheel by N of it by m of perch: the motion ratio of a straight wheel */
  const sy_wheel *bent; /* NULL: straight. Else: */
  double perch;         /* m at the spring */
  double drawn_part;    /* N of force at the wheel by N of it as drawn */
} sy_axle_wheel;

typedef struct sy_axle_springs {
  int count; /* 1 or 2 */
  sy_axle_wheel wheel[2];
  double bar_rate, bar_force; /* N/m; N at equal travels: preload and what links pass straight down */
  double links;               /* N, the latter alone */
} sy_axle_springs;

typedef struct sy_axle_state {
  sy_wheel_case fits[2];
  double load[2], travel[2];
  double noise[2]; /* N, by which rounding of heights and travels may move a load */
} sy_axle_state;

/* Sensitivities of the loads at fixed body heights, [wheel][by which wheel]. A load falls by `stiffness` per m of body height and
** rises by it per m of pad. */
typedef struct sy_axle_sensitivities {
  double stiffness[2][2];
  double load_offset[2][2], load_drawn[2][2], load_weight[2][2], load_bar_force[2];
} sy_axle_sensitivities;

/* Settle the axle under body heights `height`; state->fits is tried first, and of bent wheels state->travel. */
void sy_axle_settle(sy_axle_springs *axle, const double height[2], sy_axle_state *state);

/* Make the rates and offsets of bent wheels those at these travels; side as in sy_spring_at. */
void sy_axle_bend(sy_axle_springs *axle, const double travel[2], int side);

/* The sensitivities in the case `fits`. */
void sy_axle_sensitivity(const sy_axle_springs *axle, const sy_wheel_case fits[2],
                         sy_axle_sensitivities *out);

#endif
