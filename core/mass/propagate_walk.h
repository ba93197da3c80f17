/* propagate_walk.h - one walk over the trees of all terms of a family at once. Private to core/mass. */
#ifndef SY_MASS_PROPAGATE_WALK_H
#define SY_MASS_PROPAGATE_WALK_H

#include "propagate_line.h"

/* A node in one of the terms, or in several that share it; its sensitivities are in the directions around it. */
typedef struct place {
  const node *node;
  const sy_sensitivity *by;
} place;

/* The roots of the terms of one family. */
typedef struct roots {
  size_t count;
  place at[SY_MOST_PLACES];
} roots;

typedef struct term_walk {
  sum_of_errors *sum;
  bool flat;                 /* all sensitivities are, over the whole car */
  const sy_pairing *pairing; /* joins the two families; NULL: this one stands alone */
  const roots *own, *other;  /* other: of the family joined to this one, else NULL */
  int family;                /* 0; 1: the second of the pairing */
  instrument_slots slots;
} term_walk;

/* Adds what all errors of the family do. A line that the pairing names is met in the first family with all that both have of it, and in
** the second only where the first has it not aboard. */
void sy_walk_terms(const term_walk *walk);

/* What the errors of a group's pieces do through the line that takes them away again, in the group's directions. */
sy_sensitivity sy_weighed_sensitivity(const weighing *w, const sy_sensitivity *g);

#endif
