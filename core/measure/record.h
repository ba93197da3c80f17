/* record.h - what scales read of a car, as figures of its ledger's sums (mass/measured.h).
**
** Units    SI: kg, m. Loads in kg, as a scale reads. Frame ISO 8855:2011.
** Loads    under all wheels, or under all axles, give m, m x and (wheels) m y; how four or more wheels share a diagonal says nothing about
**          masses and goes into no figure. An axle further back or a wider track than stated moves moments: in all
**          records alike that were taken at these places (sy_reconcile numbers them). A measured CG height is one
**          figure more.
*/
#ifndef SY_MEASURE_RECORD_H
#define SY_MEASURE_RECORD_H

#include "../mass/measured.h"
#include "reconcile_lines.h"

/* supports, axle uncertainties, height: of sy_reconcile; its lines are not asked, nor the sd of its loads.
** load_covariance  supports x supports, kg^2
** room             SY_RECORD_READINGS^2 numbers for out->covariance, which points there
** out              all but `ledger` and its instruments
** Errors  SY_MISSING  fewer than two axles or three wheels
**         SY_RANGE    a number that is not finite, a variance that is not above 0 (part "support 2", or "height") */
SY_API sy_status sy_record_loads(const sy_reconcile *read, const double *load_covariance, double *room,
                                 sy_record *out, sy_error *err);

/* Of an assembly measured whole: its mass and the coordinates of its cg that are not NaN, in this order, with their covariance. */
SY_API sy_status sy_record_body(const double mass_and_cg[4], const double *covariance, double *room,
                                sy_record *out, sy_error *err);

/* The cross weight of four loads (left front, right front, left rear, right rear), as a share, and what one kg of each does to it.
** Errors  SY_RANGE  they do not add up to more than 0 */
SY_API sy_status sy_record_cross_share(const double load[4], double *share, double by[4], sy_error *err);

#endif
