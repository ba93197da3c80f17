/* reconcile.h - the ledger against what the scales say of the whole car.
**
** Units    SI: kg, m. Loads in kg, as a scale reads. Frame ISO 8855:2011.
** Measured the loads under all wheels, or under all axles, give the sums m, m x and (wheels) m y. How four or more wheels share a
**          diagonal depends on springs and floor and says nothing about masses: a warp that is left free. A measured CG height is one
**          value more.
** Adjusted masses and places move as far as their stated uncertainties let them, least squares (reconcile_fit.h). What has no uncertainty
** stays. Tests    chi2 on dof = values measured. Of a single error the standardised residual w is its adjustment by the standard deviation
** of that
**          adjustment; its square is what chi2 would lose were that one error free, whatever its uncertainty. So a part that counts as
**          exact has one too, and all errors that move the sums in one direction have the same: places along the car act through m x
**          alone, and no weighing shows which part's place is wrong.
** Source   E. Mikhail & F. Ackermann, Observations and Least Squares, 1976, ch. 11; W. Baarda, A Testing Procedure for Use in Geodetic
**          Networks, 1968 (both from memory); JCGM 100:2008, 5.2 (correlated inputs). The free warp: derived here.
*/
#ifndef SY_MEASURE_RECONCILE_H
#define SY_MEASURE_RECONCILE_H

#include "reconcile_lines.h"

/* A mass and its cg with standard uncertainties; NaN where nothing is known of it. */
typedef struct sy_reconcile_body {
  double mass, cg[3];
  double mass_sd, cg_sd[3];
} sy_reconcile_body;

typedef struct sy_reconciled_error {
  double change;        /* adjusted less stated; 0 for what is exact */
  double before, after; /* standard uncertainties */
  double sigmas;        /* w; NaN where no measured value depends on it */
  double alone;         /* the error it must have to explain everything by itself; NaN as well */
} sy_reconciled_error;

typedef struct sy_reconciled_line {
  sy_reconciled_error
      mass; /* kg, of one piece: the scale's common errors included, but for sigmas and alone */
  sy_reconciled_error place[3]; /* m, vehicle's directions */
} sy_reconciled_line;

typedef struct sy_reconciled {
  sy_reconcile_body ledger, scales, both; /* as booked, as measured, adjusted */
  double off_sigmas[4];                   /* scales less ledger: mass, x, y, z, in standard deviations; NaN */
  sy_reconcile_body missing;              /* scales less ledger as one body; its cg is NaN where mass is 0 */
  double chi2, p;
  /* ln of the determinant of the covariance that chi2 is of: chi2 + log_det is -2 ln of the likelihood, but for a constant that ledgers
  ** held against the same measured values share */
  double log_det;
  size_t dof;
  double load[SY_MAX_WHEELS];                 /* kg, adjusted */
  sy_reconciled_error reading[SY_MAX_WHEELS]; /* kg */
  sy_reconciled_error height;                 /* m; NaN: not measured */
  double warp[SY_MAX_WHEELS],
      warp_sd;                    /* four wheels: kg beyond the least-norm split, sd of the first; else NaN */
  const sy_reconciled_line *line; /* as many as the problem has */
  sy_reconciled_error bias[SY_MAX_INSTRUMENTS]; /* kg */
  sy_reconciled_error gain[SY_MAX_INSTRUMENTS];
} sy_reconciled;

/* Bytes of workspace for so many lines. */
SY_API size_t sy_reconcile_size(size_t lines, size_t instruments);

/* memory   sy_reconcile_size bytes, aligned for any type; out->line points into it
** Errors   SY_MISSING   no lines, fewer than two axles or three wheels
**          SY_RANGE     a reading, place or uncertainty is not finite, an uncertainty of a reading or the height not > 0 (part "support
**          2"), more than
**                       SY_MAX_WHEELS; a mass or an uncertainty of a line or an instrument is negative or not finite (part "line 3",
**                       "instrument 1"); the ledger's mass or what would be left of it is not above 0
**          SY_CLASH     no line has an uncertainty, so nothing may move
**          SY_GEOMETRY  the supports lie in one line
**          SY_LIMIT     readings and ledger do not come together: another car */
SY_API sy_status sy_reconcile_solve(const sy_reconcile *problem, void *memory, sy_reconciled *out,
                                    sy_error *err);

#endif
