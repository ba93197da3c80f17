/* corner_spring.h - what a suspension carries by its wheel's travel where that bends: a motion ratio that changes, a bump stop.
**
** Units   SI: m, N, N/m. Travel from the drawn state, bump positive.
** Force   at the wheel  S(u) = r(u) (F0 + k (s(u) + perch)) + stop(u): r the motion ratio, s the spring's travel (ratio.h), k its rate,
**         stop(u) the bump stop's rate times what is beyond its gap. F0 is what the spring carries as drawn: S(0) is the drawn force.
** Rate    k r^2 + F r' + the stop's, F the spring's force. On a piece of the curve it is 3/2 k r^2 and a constant, so it is
**         least at one of the piece's ends, or where the stop, which adds to it, is touched.
** Straight wheels do without all this: corner_axle.h has their one rate.
** Used by corner.c; not part of the public face.
*/
#ifndef SY_STATICS_CORNER_SPRING_H
#define SY_STATICS_CORNER_SPRING_H

#include <stdbool.h>

#include "../vehicle/vehicle.h"

static inline bool sy_spring_is_bent(const sy_wheel *wheel) {
  return wheel->curve.count != 0 || !(wheel->stop_rate != wheel->stop_rate);
}

typedef struct sy_spring_state {
  double force, rate; /* N and N/m at the wheel */
  double perch_rate;  /* N at the wheel by m of perch */
  double drawn_part;  /* N by N of the force as drawn */
} sy_spring_state;

/* drawn_force  S(0), N;  perch  m at the spring
** side         of the rate where it changes at once, as in sy_ratio_steepness: 0 for answers, 1 for a step of Newton's, which a mean would slow */
sy_spring_state sy_spring_at(const sy_wheel *wheel, double drawn_force, double perch, double travel,
                             int side);

/* The least rate from full droop to full bump, where these are stated, and the travel it is at. */
double sy_spring_least_rate(const sy_wheel *wheel, double drawn_force, double perch, double *travel);

#endif
