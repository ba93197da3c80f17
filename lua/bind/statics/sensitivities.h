/* sensitivities.h - doubts of answers that have no slopes of their own: first order, by differences over the ledgers' sums. */
#ifndef SYL_BIND_STATICS_SENSITIVITIES_H
#define SYL_BIND_STATICS_SENSITIVITIES_H

#include "mass/propagate.h"

/* Fills the answers for these totals; false when there are none. */
typedef bool syl_answers(void *user, const sy_totals *now, const sy_totals *drawn, double *answers);

enum { SYL_MOST_SLOPES = 40 };

/* variance[i] of answer i from the stated doubts of masses and places in both ledgers, errors they share met once. Errors of unsprung
** parts are taken as if the body carried them. NAN where the answers end nearby. count <= SYL_MOST_SLOPES. */
void syl_sums_variance(const sy_ledger *now, const sy_ledger *drawn, syl_answers *answers, void *user,
                       int count, double *variance);

#endif
