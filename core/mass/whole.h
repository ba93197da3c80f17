/* whole.h - a group that counts as it was weighed in one piece.
**
** Units     SI: kg, m, in the frame of the group.
** Sums      the group's mass, and its cg where that was measured too, are the measured ones. What the whole has beyond its pieces stands in
**           a line of the group: a mass, which may be below 0, and a moment, which has no place of its own. Without a measured cg the
**           mass lies at the pieces' cg, as uncertain as they are spread about it: it may lie anywhere they do. That is an error of its moment
**           as booked, whatever records later find of its mass (measured.h). A measured inertia replaces that of the group about its cg;
**           without one it is that of the pieces.
** Errors    those of the pieces leave the group's mass and moments, and come back for a piece that is moved, set anew or taken out by
**           itself: it is the limit of a line about which nothing is known before the weighing. What remains is the error of the weighing.
** Later     the line moves and turns with its group. While it is not aboard the group is the sum of its pieces again.
** Source    conditioning on a weighing with a priori covariances in the limit of an infinite one: as measured adjustment in E. Mikhail and
**           F. Ackermann, Observations and Least Squares, 1976 (from memory); tests/reference/oracle_whole.py takes that limit in numbers.
*/
#ifndef SY_MASS_WHOLE_H
#define SY_MASS_WHOLE_H

#include "ledger.h"

typedef struct sy_weighed_whole {
  double mass, mass_sd; /* kg; the uncertainty beside that of its scale */
  bool has_cg;
  sy_vec3 cg, cg_sd; /* m */
  sy_vec3
      spread; /* m, without a cg: standard uncertainty of the place of what the whole has beyond its pieces */
  bool has_inertia;
  sy_sym3 inertia, inertia_sd; /* kg m^2, about the whole's cg */
} sy_weighed_whole;

/* Without cg and inertia, nothing exact but what is given: mass NaN. */
SY_API sy_weighed_whole sy_weighed_whole_default(void);

/* pieces  the ledger as it stood when the group was weighed
** ledger  derived from it by appending to that group the line that is to take the difference, as the last of its children: its name,
**         number, carriers, scale and growth count, its mass and place are written over
** line    the route of that line
** Errors  SY_RANGE    the mass is not above 0, a value is not finite or an uncertainty below 0, as sy_ledger_put
**         SY_MISSING  the pieces have no mass
**         SY_CLASH    the line is a group, is not the last child or the group counts as weighed already; `pieces` is of another family;
**                     records correct the ledger (measured.h)
**         SY_LIMIT    more than SY_MOST_WHOLES such groups inside one another; memory is out
**         SY_UNKNOWN  no such route */
SY_API sy_status sy_ledger_count_whole(const sy_ledger *pieces, const sy_ledger *ledger, const sy_route *line,
                                       const sy_weighed_whole *whole, sy_ledger **out, sy_error *err);

/* Such a group as one body, in its own frame: its mass errs as the weighing does, its place along three directions. Without a measured cg that
** is by the pieces' places and masses, and by where what is beyond them lies; what scales do to several of them at once is left out. */
typedef struct sy_whole_body {
  double mass, mass_sd; /* kg; the uncertainty beside that of its scale */
  sy_vec3 place;        /* m */
  sy_mat3 directions;   /* columns: of the errors of the place */
  sy_vec3 place_sd;     /* m, along them */
  uint32_t instrument;  /* as of a part */
  double bias_share, gain_mass;
  bool unchanged; /* all in it is as when it was weighed; else pieces' errors count beside these */
} sy_whole_body;

/* False: the route leads to no group that counts as it was weighed. */
SY_API bool sy_ledger_whole_body(const sy_ledger *ledger, const sy_route *group, sy_whole_body *out);

#endif
