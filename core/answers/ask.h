/* ask.h - answers of a set about a car, their uncertainties and covariances, and the change of each between two cars.
**
** One way   every uncertainty here is first order in all that is stated: the masses and places in both of a car's ledgers, its rates and
**           its settings. What an error does in all ledgers is added up before it is squared (mass/propagate.h), so an error that two
**           cars share counts in a change with the difference of what it does to them, and nothing is subtracted.
** Places    of axles and wheels are stated numbers too. Where a car's ledgers carry records that were taken there an error of a place is
**           also one of these (sy_stated.error): what they read of shares and loads stays as certain as it was read.
** Source    law of propagation of uncertainty with correlated inputs: JCGM 100:2008, 5.2.2.
** Arrays    `count` <= SY_MOST_ASKED answers in the order asked; each times its scale. NaN where an answer has no meaning for the car;
**           an uncertainty is NaN also where the answer ends so near by that no difference can be taken.
** Unsprung  errors of unsprung parts are taken as the body's by answers that are differenced (see the sets).
** Memory    nothing is allocated; some 250 kB of stack.
*/
#ifndef SY_ANSWERS_ASK_H
#define SY_ANSWERS_ASK_H

#include "../mass/propagate.h"
#include "answer_set.h"

/* sd      standard uncertainties; NULL: not wanted, which is much less work
** Errors  those of sy_car_check and of the set's solve;  SY_LIMIT  more than SY_MOST_ASKED answers;  SY_RANGE  a scale
**         SY_UNKNOWN  no such row, axle or wheel */
SY_API sy_status sy_answers_ask(const sy_answer_set *set, const sy_car *car, const sy_asked *asked, int count,
                                double *value, double *sd, sy_error *err);

/* The same for a car that is solved already.
** state   what the set's solve gave for the car's own sums: a sy_pushed, sy_rigid or sy_compliant */
SY_API sy_status sy_answers_ask_solved(const sy_answer_set *set, const sy_car *car, const void *state,
                                       const sy_asked *asked, int count, double *value, double *sd,
                                       sy_error *err);

/* Covariances: count x count numbers row by row, the variances on the diagonal. Errors as above. */
SY_API sy_status sy_answers_covariance(const sy_answer_set *set, const sy_car *car, const sy_asked *asked,
                                       int count, double *covariance, sy_error *err);

/* Answers of a set and which of them. */
typedef struct sy_question {
  const sy_answer_set *set;
  const sy_asked *asked;
  int count;
} sy_question;

/* Covariances of answers of one set with those of another about the same car: a.count x b.count numbers row by row.
** Errors  as above;  SY_LIMIT  more than SY_MOST_ASKED answers of both;  SY_UNKNOWN  the answers of a set have errors of their own */
SY_API sy_status sy_answers_between(const sy_car *car, sy_question a, sy_question b, double *covariance,
                                    sy_error *err);

/* Values, and how each answer follows all that is stated, to first order.
** now, drawn  NULL, or sums to take instead of the ledgers' own: those of a car that has grown
** by_now, by_drawn  `count` of them; the second are zero where the set does not rest on the drawn state. Of one ledger both count
** by_stated   count x car->stated_count: what one unit of each stated number does, a measured cross weight too
** All of them times the scale; zero for sets that were found beforehand. Errors as above. */
SY_API sy_status sy_answers_linear(const sy_answer_set *set, const sy_car *car, const sy_totals *now,
                                   const sy_totals *drawn, const sy_asked *asked, int count, double *value,
                                   sy_sensitivity *by_now, sy_sensitivity *by_drawn, double *by_stated,
                                   sy_error *err);

/* to less from. asked_from, asked_to  the same answers in both cars, whose scales may differ in sign and not in size
** pairing  which lines of ledgers of two families are the same (mass/pairing.h), or NULL
** sd, value  of the changes, and the answers about `to`; NULL: not wanted
** Errors  as above;  SY_CLASH  scales of another size */
SY_API sy_status sy_answers_change(const sy_answer_set *set, const sy_car *from, const sy_asked *asked_from,
                                   const sy_car *to, const sy_asked *asked_to, int count,
                                   const sy_pairing *pairing, double *change, double *sd, double *value,
                                   sy_error *err);

#endif
