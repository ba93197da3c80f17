/* cardan.h - how a shaft behind Cardan joints turns when the one before them turns evenly.
**
** Units    rad; speeds are ratios to the input's. Angles of joints are 0 <= beta < pi/2: a joint bent by a right angle turns nothing.
** Errors   every function answers NAN for an angle of a joint outside that range, and for an angle that is not finite.
** Origin   psi = 0 when the input's trunnion lies in the plane of the two shafts: the output is then at its slowest where
**          psi = pi/2 and at its fastest where psi = 0.
** Source   tan psi2 = tan psi / cos beta and what follows from it: F. Schmelz, H. von Seherr-Thoss, E. Aucktor, Universal
**          Joints and Driveshafts, ch. 1 (from memory). The exact law of two joints is derived in cardan.c.
*/
#ifndef SY_SHOP_CARDAN_H
#define SY_SHOP_CARDAN_H

#include "../base/api.h"

/* Output rotation, within half a turn of the input's -pi..pi, and output speed. */
SY_API double sy_cardan_turn(double beta, double psi);
SY_API double sy_cardan_speed(double beta, double psi);

typedef struct sy_ripple {
  double slowest, fastest; /* cos beta and 1 / cos beta */
  double unevenness;       /* (fastest - slowest) / 1 = sin beta tan beta */
  double lead;             /* rad: the furthest the output runs ahead of or behind the input */
} sy_ripple;

SY_API sy_ripple sy_cardan_ripple(double beta);

/* Two joints in a row turn their output as one joint of this angle does.
** twist   angle of the second intermediate yoke from the first, less the angle between the planes of the two joints, both about
**         the middle shaft, right-handed about the direction from the first joint to the second: clockwise for someone who looks from
**         the first joint to the second. 0 is correct phasing. Equal angles and twist 0: constant velocity, 0. */
SY_API double sy_cardan_pair(double beta1, double beta2, double twist);

#endif
