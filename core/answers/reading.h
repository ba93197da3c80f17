/* reading.h - a car as scales found it, and what they will read of it next.
**
** Units    SI: kg, m, N. Frame ISO 8855:2011.
** Set-up   of the four loads that scales read three follow from mass and place of the CG; the fourth, the cross weight, is the set-up
**          (beside.h).
** Next     what the scales read beside the model's loads (a mass that is booked wrong) is carried along as it is: the loads to expect
**          are those read, and the change of the model's from there. A change is known far better than a load.
** Sd       the scales' own, and that of the change (ask.h). The two have no error in common: what the scales read says nothing
**          of a line. So in the change of a share the ledger's mass counts as uncertain as it is booked: a little too much, by that part of
**          the change.
** Limits   two axles of two wheels. The cars should state no uncertainty of the cross weight: it is the scales'.
*/
#ifndef SY_ANSWERS_READING_H
#define SY_ANSWERS_READING_H

#include "ask.h"

typedef struct sy_reading {
  double load[SY_MAX_WHEELS];                      /* N, > 0, in the order of the wheels */
  double covariance[SY_MAX_WHEELS][SY_MAX_WHEELS]; /* N^2, of those loads; 0: exact */
} sy_reading;

/* stood   the car as it stood on the scales: who was aboard, pads, perches, the floor
** out     the same set up as it was read; may be `stood`. Its vehicle.cross_share goes into other cars by sy_car_set_cross
** Errors  SY_GEOMETRY  not two axles of two wheels;  and those of sy_beside_make
**         SY_RANGE     a load that is not > 0 or not finite: a wheel off the scale says nothing of its perch; a standard uncertainty
**                      ("sd") not within 0..load, a covariance that is not finite, not symmetric or above what its two allow */
SY_API sy_status sy_reading_set_up(const sy_reading *reading, const sy_car *stood, sy_car *out,
                                   sy_error *err);

/* What the scales will read of `then`.
** stood   as sy_reading_set_up gave it;  then  what was changed since: turns of the perches, who is aboard
** asked   answers of sy_corner_answers, as many as `count` says
** pairing which lines are the same where the car was weighed under another file (mass/pairing.h), or NULL
** sd      NULL: not wanted
** Errors  as above, and those of sy_answers_change */
SY_API sy_status sy_reading_expect(const sy_reading *reading, const sy_car *stood, const sy_car *then,
                                   const sy_asked *asked, int count, const sy_pairing *pairing, double *value,
                                   double *sd, sy_error *err);

#endif
