/* hoist.h - how a rigid slung part hangs on one to four legs from one hook, and what each leg carries.
**
** Units    m, rad; tensions as fractions of the weight. Places are those of the part itself as it stands now: x forward, y left,
**          z up (ISO 8855:2011 for a vehicle).
** Legs     are inextensible and massless: each holds its point within its length of the hook.
** Rest     the cg hangs under the hook, as low as the legs let it: of all hooks H with |H - P_i| <= l_i those where |H - c| is
**          largest, and of several such rests the one nearest to how it stands now.
** Source   equilibrium of forces and moments; in its potential energy it is the maximum of a distance over balls, met where one,
**          two or three legs are tight. A fourth leg of exactly the right length shares by least squares, as equally stiff legs do.
*/
#ifndef SY_SHOP_HOIST_H
#define SY_SHOP_HOIST_H

#include <stdbool.h>

#include "../base/status.h"
#include "../base/vec3.h"

enum { SY_MAX_LEGS = 4 };

/* Two legs whose points are nearer than this hold on at one point, and one of them carries nothing: m. No two eyes fit so near to one
** another (common practice, no source). */
#define SY_HOIST_APART 0.01

typedef struct sy_sling {
  int count;                  /* 1 to SY_MAX_LEGS */
  sy_vec3 point[SY_MAX_LEGS]; /* where each leg holds on */
  double length[SY_MAX_LEGS]; /* > 0, from there to the hook */
} sy_sling;

typedef struct sy_hang {
  sy_vec3 hook;                /* in the part's own directions */
  sy_vec3 up;                  /* unit vector of what is up when it hangs */
  double pitch, roll;          /* nose down and left side up positive (frame.h); yaw is free */
  double tilt;                 /* of its own z from the upright */
  double tension[SY_MAX_LEGS]; /* of 1 = the whole weight; 0 for a slack leg */
  double angle
      [SY_MAX_LEGS]; /* of each leg from the upright; that of a slack one is how it would lie when pulled straight */
  bool slack[SY_MAX_LEGS];
  bool shared; /* four legs are tight: how they share rests on all being equally tight */
} sy_hang;

/* Errors  SY_RANGE     no or too many legs, a length <= 0, anything not finite (part "leg 2")
**         SY_GEOMETRY  two points are less than SY_HOIST_APART from one another (part "leg 2"); the legs are too short to meet at one hook;
**                      the part hangs at its cg, or its cg lies on the line between two points: then its attitude is anyone's */
SY_API sy_status sy_hang_make(const sy_sling *sling, sy_vec3 cg, sy_hang *out, sy_error *err);

#endif
