/* propagate_two.h - the errors of plain parts, two parts at a time: most of what a walk over a ledger does. Private to core/mass. */
#ifndef SY_MASS_PROPAGATE_TWO_H
#define SY_MASS_PROPAGATE_TWO_H

#include "propagate_line.h"

/* Has the part the errors of its mass and its place and no others? */
static inline bool sy_is_plain_part(const sy_part *p) {
  return p->fill == NULL && p->whole == NULL && p->instrument == 0 && !(p->flags & SY_PART_USUAL);
}

/* Can plain parts be added so in a walk with these sensitivities? All are over the whole car, and products of two answers are not asked
** for. */
bool sy_takes_two(const sum_of_errors *sum, const sy_sensitivity *by);

/* Adds both, to the bit as sy_add_line does for one after the other. Both are plain, in no pair, in one group; sy_takes_two. */
void sy_add_two(sum_of_errors *sum, const sy_part *p, const sy_part *q, const sy_sensitivity *by);

#endif
