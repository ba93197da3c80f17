/* ledger_check.h - what a part and a group must be before they are booked. Private to core/mass. */
#ifndef SY_MASS_LEDGER_CHECK_H
#define SY_MASS_LEDGER_CHECK_H

#include "ledger_node.h"

/* Checked copies with lengths kept to a whole picometre, so that shifts add up exactly in any order. A part's instrument must have
** been checked before: what it does to the sums is among what must fit. */
sy_status sy_ledger_check_part(const char *name, const sy_part *part, sy_part *out, sy_error *err);
/* Does the part name a scale that is there, with finite shares? */
sy_status sy_ledger_check_instrument(const family *f, const char *name, const sy_part *part, sy_error *err);
sy_status sy_ledger_check_group(const char *name, const sy_group *group, sy_group *out, sy_error *err);
sy_status sy_ledger_no_memory(sy_error *err);
/* memory or range, as a branch reported it */
sy_status sy_ledger_sum_failed(bool too_large, sy_error *err);
sy_vec3 sy_ledger_keep_length(sy_vec3 v);

#endif
