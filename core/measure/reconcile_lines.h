/* reconcile_lines.h - what is aboard, as lines whose stated errors a weighing can move, and what the scales read of it.
**
** Units    SI: kg, m. Frame ISO 8855:2011, the vehicle's.
** Line     `pieces` of one mass at one place. With errors dm of the mass and e of the place, as stated, it adds
**          pieces (mass + dm) (1, place + directions e) to the sums (m, m x, m y, m z).
** Pairs    are two lines, left and right; what the second states as the first does is one error (same_mass, same_place), and the
**          mirror image's place errs as in the mirror.
** Scales   the mass also errs by bias_share b + gain_mass g, with b and g the scale's, common to all that it weighed.
** Weighed  a group that counts as it was weighed (mass/whole.h), with all in it as then, is one line: a body that errs as the weighing did.
**          With pieces changed since it is its pieces and what it has beyond them, which errs by itself: not what whole.h says of it.
** Errors of different lines are independent, as everywhere in the ledger (ledger.h).
*/
#ifndef SY_MEASURE_RECONCILE_LINES_H
#define SY_MEASURE_RECONCILE_LINES_H

#include "../mass/ledger.h"
#include "../vehicle/vehicle.h"

typedef struct sy_reconcile_line {
  sy_route route;
  double mass, mass_sd; /* kg, of one piece; sd 0: exact */
  double pieces;
  sy_vec3 place;      /* m */
  sy_vec3 place_sd;   /* m, in the directions of the statement */
  sy_mat3 directions; /* those directions in the vehicle's frame: a rotation, or one with a reflection */
  bool side;          /* one piece of a pair */
  bool same_mass, same_place[3]; /* as the line before states it; the place by coordinate */
  uint32_t instrument;           /* counted from 1; 0: none */
  double bias_share, gain_mass;
} sy_reconcile_line;

typedef struct sy_reconcile_support {
  double x, y;          /* m */
  double load, load_sd; /* kg; sd > 0 */
  int axle;             /* supports of one axle share the errors of its place and track */
} sy_reconcile_support;

typedef struct sy_reconcile {
  const sy_reconcile_line *line;
  size_t lines;
  const sy_instrument *instrument;
  size_t instruments;
  sy_reconcile_support support[SY_MAX_WHEELS];
  size_t supports;
  const double *
      load_covariance; /* supports x supports, kg^2, in place of every load_sd; NULL: loads err each by itself */
  bool lateral;        /* wheels; false: axles, `y` means nothing */
  double place_sd[SY_MAX_AXLES]; /* m, of an axle's x */
  double track_sd[SY_MAX_AXLES]; /* m */
  double height, height_sd;      /* m, of the cg; NaN: not measured */
  unsigned own_x, own_y; /* bit sets of the supports whose place along, or across, is stated by itself: */
  double x_sd[SY_MAX_WHEELS],
      y_sd[SY_MAX_WHEELS]; /* m, then its standard uncertainty in place of the axle's */
  /* Numbers of the errors of these places, the same in all records that err by one of them (record.h); 0: of this one alone */
  uint32_t place_error[SY_MAX_AXLES], track_error[SY_MAX_AXLES], x_error[SY_MAX_WHEELS],
      y_error[SY_MAX_WHEELS];
} sy_reconcile;

/* The lines of what is aboard, in file order. `lines` holds `room` of them and may be NULL with room 0; returns how many there
** are. */
SY_API size_t sy_reconcile_lines(const sy_ledger *ledger, sy_reconcile_line *lines, size_t room);

#endif
