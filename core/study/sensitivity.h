/* sensitivity.h - what the answers about a car rest on: every input that is stated with an uncertainty, how far one standard
** uncertainty of it moves each answer, and its share of the answer's variance.
**
** Units     SI, and those of the answers times the scale they are asked with. Shares are fractions.
** Inputs    are what montecarlo.h draws, each error once with all that it does: one of a pair for both pieces, one in all ledgers and
**           sets of answers. Bias and gain of an instrument are one input, and so is all that the readings of a record err by: of such a
**           one sigma is the way of its errors that moves the answer most.
** Shares    c_j^2 s_j^2 / u^2, c_j the effect of error j after the records that the ledgers carry: each its own summand, so none is
**           below 0, and those of all inputs come to 1.
** Low, high  the answer solved again with the input one sigma less, and more: nothing is linear but what montecarlo.h says of sets that
**           were found beforehand. Of a car as built the records pull all other errors along, as far as they are linear in them.
** Source    law of propagation: JCGM 100:2008, 5.1.2; shares of a variance after records: the sum of mass/measured.h, by summand.
** Memory    an opaque owner; ledgers and what the cars bring along must live as long.
*/
#ifndef SY_STUDY_SENSITIVITY_H
#define SY_STUDY_SENSITIVITY_H

#include "montecarlo.h"

typedef struct sy_sensitivities sy_sensitivities;

/* Errors  those of sy_spread_new */
SY_API sy_status sy_sensitivities_new(const sy_alloc *alloc, const sy_spread_set *sets, size_t count,
                                      sy_sensitivities **out, sy_error *err);
SY_API void sy_sensitivities_free(sy_sensitivities *sensitivities); /* NULL is fine */

typedef struct sy_input {
  size_t first; /* number of the error, of several the first */
  size_t errors;
  bool bias, gain; /* of an instrument: which of the two it has */
} sy_input;

SY_API size_t sy_sensitivities_inputs(const sy_sensitivities *sensitivities);
SY_API sy_input sy_sensitivities_input(const sy_sensitivities *sensitivities, size_t i);

/* An elementary error by its number, as inputs and steps (weigh_next.h) name it; and how many there are. */
SY_API size_t sy_sensitivities_sources(const sy_sensitivities *sensitivities);
SY_API sy_spread_source sy_sensitivities_source(const sy_sensitivities *sensitivities, size_t i);

SY_API size_t sy_sensitivities_answers(const sy_sensitivities *sensitivities);
SY_API double sy_sensitivities_value(const sy_sensitivities *sensitivities, size_t answer);
/* Its standard uncertainty; 0 where what there is can be rounding, NaN where it has no meaning. */
SY_API double sy_sensitivities_sd(const sy_sensitivities *sensitivities, size_t answer);

typedef struct sy_moved {
  size_t input;
  double change;    /* by one sigma, to first order; of an input of several errors > 0 */
  double low, high; /* one sigma less, and more; NaN: the car does not stand so */
  double share;     /* of the variance */
} sy_moved;

/* The inputs that move an answer most, the largest first, of equal ones the first; those that move it by no more than rounding are left out.
** most    room in `out`; *count of them are written
** rest    the share of all others; 0 where the answer has no uncertainty
** Errors  SY_UNKNOWN  no such answer;  SY_LIMIT  memory is out */
SY_API sy_status sy_sensitivities_largest(const sy_sensitivities *sensitivities, size_t answer, size_t most,
                                          sy_moved *out, size_t *count, double *rest, sy_error *err);

#endif
