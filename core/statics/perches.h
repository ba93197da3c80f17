/* perches.h - how far to turn each spring perch for a cross weight, heights or a roll.
**
** Units    turns of the perches (perch_pitch m of spring seat each, + lifts that corner); heights m, up positive.
** Limits   the total and both moments do not depend on perches: loads change along one line only, sy_loadmap_warp, with equal sides
**          (1/t_f, -1/t_f, -1/t_r, 1/t_r). So a cross weight is one condition; two heights and one roll take the rest of four perches.
**          Five conditions, both rolls with a cross weight, contradict one another in a chassis that twists: the misfit is reported.
** Method   conditions that are linear in the turns while all wheels touch: as many as perches are solved exactly, fewer by the
**          least turns (least-norm solution). Found again from a full solution of the equilibrium until it fits, since a
**          wheel may have been off the ground or a suspension at its stop.
** Rounding of each perch to the notch below or above its exact turns: the combination that comes nearest to the cross weight,
**          of equals the one that departs least.
** Source   rank one of the loads: equilibrium.h; least norm: Golub & Van Loan, Matrix Computations, 5.6.
*/
#ifndef SY_STATICS_PERCHES_H
#define SY_STATICS_PERCHES_H

#include "corner.h"

typedef enum sy_hold {
  SY_HOLD_HEIGHTS,       /* height at both axle lines and the mean of the rolls */
  SY_HOLD_FRONT_HEIGHTS, /* both front corners, and the rear axle line */
  SY_HOLD_REAR_HEIGHTS,
  SY_HOLD_LEAST_TURNS, /* no height, unless one is asked for */
  SY_HOLD_ALL_HEIGHTS /* every corner: exact with a rigid chassis, else the least sum of squares of the height changes */
} sy_hold;

typedef struct sy_perch_ask {
  sy_hold hold;
  bool cross;         /* is a cross weight asked for? */
  double cross_share; /* (right front + left rear) / total */
  bool raise;         /* are heights asked for? */
  double front, rear; /* m, change of the body's height at the first and last axle line */
  bool lean;          /* is a roll asked for? */
  double front_roll,
      rear_roll; /* rad, change of the body's roll at the first and last axle line, left side up: of both their mean while
                                   heights are held or nothing is, with the heights of an end that end's, of all heights both */
  double notch; /* turns, 0: no rounding */
} sy_perch_ask;

typedef struct sy_perch_answer {
  double exact[SY_MAX_WHEELS], turns[SY_MAX_WHEELS]; /* beyond setting->perch; rounded */
  double rule; /* turns, the same at every corner: up on the right front and left rear, down on the
                                                        others; 0 without a cross weight */
  sy_corner_result before, at_exact, after, by_rule; /* equilibria */
  double
      misfit; /* m, by how much the four corners miss what was asked before rounding, root of the sum of squares, where heights, rolls
                    and cross weight cannot all be had; NAN elsewhere */
  double
      pad_allowed; /* m, an error of the worst pad that changes the cross weight by 0.001; NAN without one */
} sy_perch_answer;

/* setting  the present one; its perches are where the turns start
** Errors   SY_MISSING   a wheel has no perch_pitch
**          SY_GEOMETRY  a cross weight asked for without two axles of two wheels; conditions that depend on one another; no turns bring
**                       it about (a wheel stays off the ground or a suspension at its stop)
**          SY_RANGE     cross weight not within 0..1, a height or roll not finite, notch < 0
**          and those of sy_corner_solve */
SY_API sy_status sy_perches_find(const sy_corner_model *model, const sy_corner_load *load,
                                 const sy_corner_setting *setting, const sy_perch_ask *ask,
                                 sy_perch_answer *out, sy_error *err);

/* (right front + left rear) / total of four wheels. */
SY_API double sy_corner_cross(const double load[4]);

#endif
