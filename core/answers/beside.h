/* beside.h - the cross weight that springs were set to, from one that was read in another state.
**
** A record reads how four wheels share a diagonal in the state it was taken in; springs are set in the drawn state. From one to the other the
** corner model leads: the share of the drawn state is the one with which the car of the record stands on its springs as it was read. It errs
** as the readings do and as what lies between the two states: the sums of both ledgers.
*/
#ifndef SY_ANSWERS_BESIDE_H
#define SY_ANSWERS_BESIDE_H

#include "ask.h"

/* car       as it stood: `now` its ledger and `drawn` the state its springs were set in, both corrected by the records; its cross weight is not
**           asked
** measured  the share that was read
** share     that of the drawn state
** Errors    those of the corner model;  SY_GEOMETRY  no share of the drawn state reads so */
SY_API sy_status sy_beside_make(const sy_car *car, double measured, double *share, sy_beside *out,
                                sy_error *err);

#endif
