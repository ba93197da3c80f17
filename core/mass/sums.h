/* sums.h - the ten sums behind every mass property, the 4 x 4 covariance of the first four, and sensitivities on them.
**
** Units    SI: kg, m. All about the origin of one frame.
**   m        sum of masses                    first   sum of m r
**   second   sum of m r r^T (with the parts' own second moments): positive products, no tensor sign
** All ten add up over parts, so a whole is the plain sum of its pieces; inertia follows at the end:
**   cg = first / m,  S_cg = second - first first^T / m,  J = trace(S_cg) 1 - S_cg.
** Covariance of q = (m, m x, m y, m z) as the upper triangle c[0..9] = 00 01 02 03 11 12 13 22 23 33.
** A change of frame p' = R p + t is linear in all of them: q' = T q, C' = T C T^T.
*/
#ifndef SY_MASS_SUMS_H
#define SY_MASS_SUMS_H

#include "massprops.h"

typedef struct sy_sums {
  double m;
  sy_vec3 first;
  sy_sym3 second;
} sy_sums;

typedef struct sy_cov4 {
  double c[10];
} sy_cov4;

/* How an answer f rests on the ten sums at the present state: df = m dm + first . d(m r) + second : dS
** (`second` is the symmetric matrix of the inner product, so its off-diagonal entries count twice), taken over the
** pieces that the carriers in the mask carry. */
typedef struct sy_sensitivity {
  double m;
  sy_vec3 first;
  sy_sym3 second;
  unsigned carriers; /* bit set, see ledger.h; SY_ALL_CARRIERS for the whole car */
  bool flat;         /* second is zero: the 4 x 4 covariance is enough */
} sy_sensitivity;

/* Sums of one body. */
SY_API sy_sums sy_sums_of(const sy_massprops *body);

/* Back to a body. `s->m` must be > 0. */
SY_API sy_massprops sy_sums_body(const sy_sums *s);

SY_API sy_sums sy_sums_scale(double factor, const sy_sums *s);
SY_API sy_sums sy_sums_add(const sy_sums *a, const sy_sums *b);

/* Is any of the ten not 0? */
SY_API bool sy_sums_any(const sy_sums *s);

/* The same pieces seen from the outer frame. */
SY_API sy_sums sy_sums_place(const sy_sums *s, const sy_frame *frame);
SY_API sy_cov4 sy_cov4_place(const sy_cov4 *c, const sy_frame *frame);

/* The sensitivity for moments taken in the inner frame. */
SY_API sy_sensitivity sy_sensitivity_inside(const sy_sensitivity *g, const sy_frame *frame);

/* (m, first) . C . (m, first) for a flat sensitivity */
SY_API double sy_cov4_variance(const sy_cov4 *c, const sy_sensitivity *g);

/* The same between two: a covariance of two answers. */
SY_API double sy_cov4_covariance(const sy_cov4 *c, const sy_sensitivity *g, const sy_sensitivity *h);

#endif
