/* plan_balance.h - answers of the balance for many variants side by side. Private to core/study.
**
** The ten sums of every variant are put together once, then each answer runs over them in lanes. Every variant gets the same bits whatever
** variants stand beside it: what is the same for all of them is computed once, in the order in which it is computed for one.
*/
#ifndef SY_STUDY_PLAN_BALANCE_H
#define SY_STUDY_PLAN_BALANCE_H

#include "../statics/balance.h"
#include "plan_parts.h"

/* Can it be answered so? balance: of the car whose places count; then out says how. Rows of other sets and of axles' unsprung masses cannot. */
bool sy_plan_lane_answer(const sy_balance *balance, const sy_plan_output *output, sy_lane_answer *out);

/* The places that count for variants from `value` on, none of whose inputs that move places differ; false where it stands on none. */
bool sy_plan_places(const sy_plan *plan, const double *value, sy_balance *out);

/* Up to SY_BALANCE_CHUNK variants, all on the same places.
** value   by input, as in sy_plan_run
** which   the outputs that `answer` is of: their places in the lists of `into`; sd in lanes only of answers that sy_plan_lane_sd knows
** False where a table has no such value. */
bool sy_plan_balance(const sy_plan *plan, const double *const *value, size_t count,
                     const sy_lane_answer *answer, const size_t *which, size_t answers,
                     const sy_plan_into *into);

/* Is its uncertainty known in lanes? balance: of the plan's base. */
bool sy_plan_lane_sd(const sy_plan *plan, const sy_balance *balance, const sy_plan_output *output,
                     const sy_lane_answer *answer);

#endif
