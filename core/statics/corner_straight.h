/* corner_straight.h - the vehicle on its springs by straight lines: while no contact changes all is linear, so one solution of as many equations as the
** body has freedoms is the answer.
**
** Cases    a wheel touches or not, is free to travel or at a stop. As all touch and are free is tried first; what does not fit there is changed and
**          tried again. A case that fits is the answer: there is but one (corner.h).
** Bent     wheels go along the tangents at the travels found before, as drawn to begin with, until they end where these were taken.
** Lean     of a vehicle under a steady force (transfer.h) the weight goes sideways with the rolls, which only adds to the same equations: what
**          rounds would end at comes at once.
** Axle     springs and bar S, tyres that touch T, what leans with the hubs l = hubs / track^2 on E = {{1, -1}, {-1, 1}}: free travels under a
**          body of heights h are u = C (p + (l E - T) h + s l x pitch), C = (S + T - l E)^-1, s = {1, -1}, x by how much the left wheel
**          stands ahead of the right one; the hubs rise by h + u = C S h + ..., so that no digits are lost on stiff tyres.
** Used by corner_solve.c and transfer.c; not part of the public face.
*/
#ifndef SY_STATICS_CORNER_STRAIGHT_H
#define SY_STATICS_CORNER_STRAIGHT_H

#include "corner.h"

/* Moments per radian, N m, of weight that goes sideways: of the halves of the body with their rolls, of each axle with its hubs'. */
typedef struct sy_corner_lean {
  double body[2], hubs[SY_MAX_AXLES];
} sy_corner_lean;

/* load     what air presses with included, before anything leans
** lean     NULL: nothing does
** False, and nothing in `out`, where it is not so simple: no case is found in a few, or nothing holds the body in one. Then what corner.h says of
** errors is the caller's to find out. */
bool sy_corner_straight(const sy_corner_model *model, const sy_corner_load *load,
                        const sy_corner_setting *setting, const sy_corner_lean *lean, sy_corner_result *out);

#endif
