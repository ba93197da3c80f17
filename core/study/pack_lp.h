/* pack_lp.h - a small linear programme: the least of c . x where rows of a x are at most b, x between bounds. Within core/study.
**
** Method   dual simplex on a dense table; the box is where it starts, so there is no first phase.
** Proof    what it says of the least value, or that there is none, is worked out anew from the multipliers y >= 0 that it ends with:
**              c . x >= c . x + y . (a x - b) >= the least of that over the box alone,
**          which holds for any y, however far off rounding or an early end left it. Only how close the bound is rests on the simplex.
** Source   V. Chvatal, Linear Programming, 1983, chs. 8 and 10 (bounded variables, dual simplex; from memory).
*/
#ifndef SY_STUDY_PACK_LP_H
#define SY_STUDY_PACK_LP_H

#include <stdbool.h>

enum { PACK_LP_VARS = 9, PACK_LP_ROWS = 288 };

typedef struct pack_lp {
  int vars, rows;
  double lo[PACK_LP_VARS], hi[PACK_LP_VARS], c[PACK_LP_VARS];
  double a[PACK_LP_ROWS][PACK_LP_VARS], b[PACK_LP_ROWS];
} pack_lp;

/* False: proven that no x holds all rows. Else no x that does has less than *bound, and x is where the simplex ended, in the box. */
bool pack_lp_solve(const pack_lp *lp, double *bound, double x[PACK_LP_VARS]);

#endif
