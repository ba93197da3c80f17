/* propagate.h - variances and covariances of answers from the stated errors of parts, in one ledger or in several at once.
**
** Units     SI: kg, m. The unit of an answer is the caller's; a variance has its square.
** Frame     sensitivities are by the sums about the vehicle's origin (ISO 8855:2011), each at its own ledger's state.
** Terms     an answer changes by sum_i sign_i (by_i . dS_i): dS_i the change of the ten sums of ledger i (sums.h). One term is an
**           uncertainty; two with signs -1 and +1 a change between two cars; a car on springs rests on two ledgers (as it stands and
**           as drawn), its change on four; one more (the ledger a record was taken on, -1, H^T w) a condition from a measurement.
**           A ledger may stand in several terms. Without a ledger a term is of what records read: the number beside the sums, by its `by`.m,
**           or the error of that number which readings have in common (measured.h), one unit of which does `by_error` to each answer: an
**           answer that rests on where an axle stands, beside records that were taken there.
** Errors    of one line: its mass, of a tank each of the masses and volumes it is made of, its place along x, y and z of its group;
**           and of each instrument its bias and its gain. All are independent. Every one is counted once, with all that it does in all
**           ledgers: variance = sum_j (sum_i sign_i by_i . E_ij)^2 var e_j. Nothing is subtracted, so small changes keep their digits
**           and no variance is below 0.
** Same      a line has one error in two ledgers where identity, stated value and stated uncertainty agree, judged for the mass, for
**           each of a tank's and for each coordinate by itself: a part of which x was stated anew keeps the errors of y and z. Shifting
**           and turning state nothing. Coordinates are the group's: where a group was turned, the errors inside turn with it and stay
**           the same errors, and a coordinate stated anew there is one along the group's own axis. The piece of a pair that was stated
**           by itself keeps the error of a coordinate it states as the pair does where the mirror leaves that axis alone; across the
**           mirror, and askew to it, its error is new. Ledgers of one family (built from one another) know each other's lines; those
**           of two families do as far as a `pairing` says (pairing.h), else they share nothing.
** Weighed  a group that counts as it was weighed (whole.h) stands on the errors of that weighing, and on those of its pieces only where
**           they are not as they were weighed.
** Not a number  an answer one of whose sensitivities is not finite has a variance that is not a number; the others are as without it.
** Memory    none is allocated. The stack grows with the nesting of groups: about 27 kB a level, SY_MAX_NESTING levels at most.
** Source    law of propagation with correlated inputs: JCGM 100:2008, 5.2.2; of several answers: JCGM 102:2011, 6.2.1.
*/
#ifndef SY_MASS_PROPAGATE_H
#define SY_MASS_PROPAGATE_H

#include "ledger.h"
#include "pairing.h"

typedef struct sy_term {
  const sy_ledger *ledger;
  double sign;              /* any factor: +1 of the car asked about, -1 of the one compared with */
  const sy_sensitivity *by; /* one an answer */
  uint32_t error;           /* without a ledger: a number above 0, then `by` is not read. */
  const double *by_error;   /* one an answer */
} sy_term;

enum { SY_MOST_TERMS = 8, SY_MOST_READ_ERRORS = 96, SY_MOST_RECORDS = 12, SY_MOST_PAIRINGS = 6 };

/* variance[k], k < count, of answer k. pairing may be NULL. One walk for eight answers, and O(1) for those that are flat over the whole
** car, each or in the sum of all terms, where all terms share what they stand on.
** Errors  SY_LIMIT  more than SY_MOST_TERMS terms, and SY_MOST_READ_ERRORS of errors of readings
**         SY_UNKNOWN  an error of readings beside ledgers whose records have none of that number */
SY_API sy_status sy_propagate_variance(const sy_term *terms, size_t term_count, size_t count,
                                       const sy_pairing *pairing, double *variance, sy_error *err);

/* covariance[i * count + j] of answers i and j: symmetric, the variances on its diagonal, to the bit. One walk for four answers with four
** others. Errors as above. */
SY_API sy_status sy_propagate_covariance(const sy_term *terms, size_t term_count, size_t count,
                                         const sy_pairing *pairing, double *covariance, sy_error *err);

#endif
