/* corner_variants.h - many variants of one vehicle on its springs, side by side.
**
** Units    SI: N/m, N m/rad, N, m, rad. Frame ISO 8855:2011. Two axles of two wheels, each wheel at its own place on its own rates; all
**          wheels touch and no stop is met: whoever wants to know about a lifted wheel looks for a load below 0 and asks corner.h. Rates
**          that change with travel (a curve of motion ratios, a bump stop) are not for it either: each variant would end at rates of its
**          own, after as many steps as the slowest of its lanes. corner.h solves those one by one.
** Heights  from where springs and tyres carry nothing, up positive: the model of corner.h without a drawn state, so the
**          difference of two variants is what corner.h gives between two load states. A perch offset e at a wheel is
**          k_w e less sprung weight there and as much more unsprung weight; a pad p is k_t p less unsprung weight.
** Columns  one array a quantity, `count` long, variant i at [i]. Inputs and outputs may not overlap.
** Bits     the same on every processor and for every split of the columns: lanes are variants, no sum runs over them.
** Method   by forces: what the wheels carry of the body follows from balance but for one moment, which the chassis passes from end to
**          end; that one makes both ends and the twist fit. Of the model of corner.h, which is solved by displacements there.
**          Where both axles stand square and even about the centre plane the balance is the lever rule, which is quicker. Source:
**          force (flexibility) method, J. S. Przemieniecki, Theory of Matrix Structural Analysis, 1968, ch. 8 (from memory).
*/
#ifndef SY_STUDY_CORNER_VARIANTS_H
#define SY_STUDY_CORNER_VARIANTS_H

#include <stddef.h>

#include "../base/api.h"

/* Four places whose diagonals are parallel (equilibrium.h) have no answer: heights come out infinite or NaN. */
typedef struct sy_variants_frame {
  double axle[2];    /* m, x of the front and rear axle line, between which the chassis twists */
  double x[4], y[4]; /* m, the contacts lf rf lr rr */
} sy_variants_frame;

typedef struct sy_variants_in {
  const double *wheel_rate[4], *tyre_rate[4]; /* lf rf lr rr, N/m, > 0 */
  const double *bar_rate[2];                  /* front, rear, N/m of travel difference, >= 0 */
  const double *torsion;                      /* N m/rad of the chassis, > 0; INFINITY is a rigid one */
  const double *weight, *x, *y;               /* N of the sprung body, and where it acts */
  const double *unsprung[4];                  /* N */
} sy_variants_in;

typedef struct sy_variants_out {
  double *heave;    /* m, of the body at x = 0 */
  double *pitch;    /* rad, nose down */
  double *roll;     /* rad, left side up, mean of the two ends */
  double *twist;    /* rad, front less rear */
  double *wheel[4]; /* m; the load on a tyre is -tyre_rate x wheel */
} sy_variants_out;

SY_API void sy_corner_variants(const sy_variants_frame *frame, const sy_variants_in *in, size_t count,
                               const sy_variants_out *out);

/* The same by one of the ways there are, for tests: 1 any processor, 3 and 4 x86-64-v3 and -v4. Returns 0 when this processor or this
** build has not got it, else 1. */
SY_API int sy_corner_variants_level(int level, const sy_variants_frame *frame, const sy_variants_in *in,
                                    size_t count, const sy_variants_out *out);

#endif
