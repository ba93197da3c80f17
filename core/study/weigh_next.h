/* weigh_next.h - which line to weigh or measure next, so that answers become most certain, and what is left then.
**
** Units     kg, m; shares are fractions.
** Steps     weighing states the mass of a line anew, known to `scale` (standard uncertainty, of one piece; of a tank its empty mass), and no
**           instrument that it was weighed on before speaks of it any more; of a tank whose whole mass has one relative error, and of a
**           group that counts as weighed, that mass. Measuring states those of its three coordinates anew that are known worse than to
**           `tape`. Values stay. So the uncertainties after a step are those of the car with the line set so.
** Records   of a car as built are read again: it is as if the line had been stated so when they were made, in their ledgers too. (A line
**           that is set after its records is another part to them: the scales no longer speak of it.)
** Order     each step is the one that lowers most the mean, over the answers that have an uncertainty, of variance by variance at the
**           start; worked out anew on the car as weighed and measured so far. Of equal ones the first line. A step that would lower it by
**           less than 1e-9 is none.
** Source    the change of a variance by one better known error: c^2 / (P + q), c its covariance with the answer and P its own variance
**           after the records, 1 / q = 1 / v' - 1 / v (Sherman and Morrison; G. Golub & C. Van Loan, Matrix Computations, 2.1.4). What is
**           reported is summed up anew after each step, and nothing subtracted.
*/
#ifndef SY_STUDY_WEIGH_NEXT_H
#define SY_STUDY_WEIGH_NEXT_H

#include "sensitivity.h"

typedef enum sy_weigh_what { SY_WEIGH_MASS, SY_WEIGH_DRY_MASS, SY_WEIGH_PLACE } sy_weigh_what;

typedef struct sy_weigh_step {
  size_t source; /* the line's error that is stated anew, of a place the first */
  sy_weigh_what what;
  double share; /* of the mean variance at the start: what these errors make of it then */
  double drop;  /* what the step takes of it */
} sy_weigh_step;

/* How many steps there can be. */
SY_API size_t sy_weigh_most(const sy_sensitivities *sensitivities);

/* scale, tape  standard uncertainties, > 0
** most    room in `step`, and rows of answers in `after`: uncertainties after each step; *count of them are written
** left    answers: uncertainties when all steps are done, also those that are not listed
** Errors  SY_RANGE  scale or tape are not > 0;  SY_GEOMETRY  nothing is left in what records read that could err;  SY_LIMIT  memory is out */
SY_API sy_status sy_weigh_next(const sy_sensitivities *sensitivities, double scale, double tape, size_t most,
                               sy_weigh_step *step, double *after, size_t *count, double *left,
                               sy_error *err);

#endif
