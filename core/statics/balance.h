/* balance.h - everything a balance sheet states, and the sensitivity of each answer for its uncertainty.
**
** Units   SI: kg, m, kg m^2, N; shares are fractions. Frame ISO 8855:2011.
** Front   is the first axle, rear all others together. A wheel on the centre line counts half to each side.
** Shares  front_share = front / total, left_share = left / total, cross_share = (right front + left rear) / total,
**         diagonal_ratio = (right front + left rear) / (left front + right rear); the last two only for two axles of two
**         wheels.
** Index   yaw_index = I_zz / (m a b), a and b the distances of the cg from the first and last axle (k^2 / a b).
** Source  balance of forces and moments; parallel axes: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics,
**         App. B.
*/
#ifndef SY_STATICS_BALANCE_H
#define SY_STATICS_BALANCE_H

#include "../mass/ledger.h"
#include "equilibrium.h"

typedef enum sy_answer {
  SY_ANSWER_MASS,
  SY_ANSWER_CG_X,
  SY_ANSWER_CG_Y,
  SY_ANSWER_CG_Z,
  SY_ANSWER_FRONT, /* N */
  SY_ANSWER_REAR,
  SY_ANSWER_LEFT,
  SY_ANSWER_RIGHT,
  SY_ANSWER_FRONT_SHARE,
  SY_ANSWER_LEFT_SHARE,
  SY_ANSWER_CROSS_SHARE,
  SY_ANSWER_DIAGONAL_RATIO,
  SY_ANSWER_SPRUNG_MASS,
  SY_ANSWER_SPRUNG_X,
  SY_ANSWER_SPRUNG_Y,
  SY_ANSWER_SPRUNG_Z,
  SY_ANSWER_UNSPRUNG_MASS,
  SY_ANSWER_UNSPRUNG_X,
  SY_ANSWER_UNSPRUNG_Y,
  SY_ANSWER_UNSPRUNG_Z,
  SY_ANSWER_XX,
  SY_ANSWER_YY,
  SY_ANSWER_ZZ,
  SY_ANSWER_XY,
  SY_ANSWER_XZ,
  SY_ANSWER_YZ,
  SY_ANSWER_YAW_INDEX,
  SY_ANSWER_AXLE,                                            /* + axle index, N */
  SY_ANSWER_WHEEL = SY_ANSWER_AXLE + SY_MAX_AXLES,           /* + wheel index, N */
  SY_ANSWER_UNSPRUNG_AXLE = SY_ANSWER_WHEEL + SY_MAX_WHEELS, /* + axle index: kg its wheels carry unsprung */
  SY_ANSWER_COUNT = SY_ANSWER_UNSPRUNG_AXLE + SY_MAX_AXLES
} sy_answer;

/* Sums of wheel loads that several answers rest on. */
enum {
  SY_ROW_FRONT, /* to SY_ROW_RIGHT in the order of the answers */
  SY_ROW_REAR,
  SY_ROW_LEFT,
  SY_ROW_RIGHT,
  SY_ROW_TOTAL,
  SY_ROW_CROSSED, /* right front and left rear */
  SY_ROW_UNCROSSED,
  SY_BALANCE_ROWS
};

typedef struct sy_balance {
  sy_massprops whole;
  sy_sums sums, sprung, unsprung; /* about the vehicle's origin */
  double unsprung_axle[SY_MAX_AXLES];
  double front_x, rear_x; /* m, first and last axle */
  int axle_count;
  bool crossed; /* two axles of two wheels: cross_share and diagonal_ratio mean something */
  sy_loadmap map;
  double row[SY_BALANCE_ROWS][4]; /* N per (kg, kg m, kg m, kg m) */
  double value[SY_ANSWER_COUNT];  /* NaN where the answer has no meaning */
} sy_balance;

/* Errors  SY_MISSING  nothing aboard has a mass
**         SY_RANGE    a sum is not finite, counts of axles or wheels */
SY_API sy_status sy_balance_make(const sy_totals *totals, const sy_vehicle *vehicle, const sy_loadmap *map,
                                 sy_balance *out, sy_error *err);

/* How the answer rests on the ledger's sums (see sums.h). An answer without meaning has sensitivity zero. */
SY_API sy_sensitivity sy_balance_sensitivity(const sy_balance *balance, sy_answer answer);

/* How the answer follows the cross weight that the vehicle is set to (a ratio): its derivative, 0 where loads do not depend on one. */
SY_API double sy_balance_by_cross(const sy_balance *balance, sy_answer answer);

/* How far wheels go, forward and to the left, and the lines of the first and last axle; m per unit of whatever moves them. */
typedef struct sy_balance_ways {
  sy_vec3 wheel[SY_MAX_WHEELS];
  double front_x, rear_x;
} sy_balance_ways;

/* The derivative of the answer by where wheels stand, the ledger as it is. False, and nothing written, where loads are split by the least norm and
** the answer is one of them: there is no closed form. */
SY_API bool sy_balance_by_places(const sy_balance *balance, sy_answer answer, const sy_balance_ways *ways,
                                 double *by);

#endif
