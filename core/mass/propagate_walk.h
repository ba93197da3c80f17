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

/* A family that is walked together with others. The first is the one that pairings lead from; each other has its own. */
typedef struct walked_family {
  const roots *roots;
  const sy_pairing *pairing; /* from the first family to this one; NULL of the first */
} walked_family;

typedef struct term_walk {
  sum_of_errors *sum;
  bool flat; /* all sensitivities are, over the whole car */
  const walked_family *family;
  int families; /* 1: this one stands alone */
  int me;       /* which of them is walked */
  instrument_slots slots;
} term_walk;

/* Adds what all errors of the family do. A line that pairings name is met in the first family that has it aboard with all that the others
** have of it. */
void sy_walk_terms(const term_walk *walk);

/* The line of another family (`of`) that is line `id` of family `me` of `all`, and its way: NULL when no pairing knows it. */
const paired_line *sy_line_in_family(const walked_family *all, int me, uint64_t id, int of);
/* Where one line stands in the terms of other families, and the sensitivities there. */
typedef struct found_line {
  size_t count;
  place at[SY_MOST_PLACES];
  sy_sensitivity room[SY_MOST_PLACES][SY_WALK_ANSWERS];
} found_line;

/* Down from a root of family `of` to that line of family `me`, for `count` answers: adds where it is there and aboard, and where groups
** around it count as they were weighed with it. */
void sy_find_line(const walked_family *all, int me, int of, const paired_line *line, const place *root,
                  size_t count, found_line *out);
/* Piece 0 or 1 of a line that is aboard itself: a part is its piece 0. NULL: there is none, or it is not aboard. */
const sy_part *sy_piece_of_line(const node *n, uint32_t side);

/* What the errors of a group's pieces do through the line that takes them away again, in the group's directions. */
sy_sensitivity sy_weighed_sensitivity(const weighing *w, const sy_sensitivity *g);

#endif
