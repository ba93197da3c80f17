/* beside.h - the cross weight that springs were set to, from one that was read in another state.
**
** Units    SI; shares are fractions. Frame ISO 8855:2011.
** What     scales read how four wheels share a diagonal in the state they were read in; springs are set in the drawn state. The share of
**          the drawn state is the one with which the car, as it stood on the scales, reads what was read. It is found as a root, since
**          a wheel may be lifted or a suspension at its stop on the way.
** Errors   it errs as the reading does and as what lies between the two states: the sums of both ledgers, and where the wheels stand.
** Limits   two axles of two wheels.
*/
#ifndef SY_ANSWERS_BESIDE_H
#define SY_ANSWERS_BESIDE_H

#include "ask.h"

/* stood   the car as it stood: who was aboard, pads, perches, the floor; its own cross weight is not asked
** read    the share that was read
** out     the same set up as it was read; may be `stood`. Its vehicle.cross_share goes into other cars by sy_car_set_cross
** rests   how that share rests on `read` and on both ledgers; NULL: not wanted
** Errors  SY_GEOMETRY  not two axles of two wheels;  no share of the drawn state reads so;  and those of sy_stand_make */
SY_API sy_status sy_beside_make(const sy_car *stood, double read, sy_car *out, sy_beside *rests,
                                sy_error *err);

#endif
