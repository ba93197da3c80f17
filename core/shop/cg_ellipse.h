/* cg_ellipse.h - the ellipse in which the CG lies, as seen in one view.
**
** Units    m, rad. Frame: that of the sums; a view keeps two of its axes (outline.h).
** Model    first order: the CG is first / m, its covariance follows from that of the four sums, and both coordinates together are
**          taken for normal. Then the ellipse of a probability P has the half axes sqrt(k lambda), lambda the eigenvalues of the 2 x 2
**          covariance and k = -2 ln(1 - P), the quantile of chi-square with two degrees of freedom: 5.991 for 95 %. So it is wider than
**          the limits of each coordinate for itself, which take k = 1.96^2.
** Source   JCGM 102:2011, 6.5.2 and 6.5.2.3: elliptical coverage regions of a bivariate quantity.
*/
#ifndef SY_SHOP_CG_ELLIPSE_H
#define SY_SHOP_CG_ELLIPSE_H

#include "../mass/sums.h"
#include "outline.h"

typedef struct sy_ellipse {
  sy_plan centre;
  double half[2]; /* m, the longer one first; 0 where nothing is uncertain */
  double
      turn; /* rad, from the view's first axis towards its second to the longer one; in (-pi/2, pi/2], 0 of a circle */
} sy_ellipse;

/* sums         mass > 0
** cov          of its m and first
** probability  above 0 and below 1
** out          written only when SY_OK is returned
** Errors  SY_RANGE  the mass is not > 0, the probability outside its range, no such view, or a result not finite */
SY_API sy_status sy_cg_ellipse(const sy_sums *sums, const sy_cov4 *cov, sy_view view, double probability,
                               sy_ellipse *out, sy_error *err);

#endif
