/* propagate_line.h - what the errors of one booked line do to up to eight answers, as sums of squares and products. Private to
** core/mass. */
#ifndef SY_MASS_PROPAGATE_LINE_H
#define SY_MASS_PROPAGATE_LINE_H

#include "ledger_node.h"
#include "pairing_line.h"
#include "propagate.h"

enum {
  SY_WALK_ANSWERS = 8,                             /* of one walk */
  SY_WALK_TERMS = SY_MOST_TERMS + SY_MOST_RECORDS, /* the caller's, and the ledgers of records */
  SY_MOST_PLACES =
      SY_WALK_TERMS +
      2 * SY_MOST_WHOLES, /* of one line: a ledger a term, and as each group around it was weighed */
  SY_MOST_PIECES = 2 * SY_MOST_PLACES,     /* a pair in every place */
  SY_MOST_FAMILIES = 1 + SY_MOST_PAIRINGS, /* that are joined */
  SY_MOST_SLOTS = SY_MOST_FAMILIES * SY_MAX_INSTRUMENTS
};

/* One placed part in one of the terms; its sensitivities are in the directions of its group and hold the sign of the term. */
typedef struct piece {
  const sy_part *part;
  const sy_sensitivity *by;
  const sy_vec3 *normal;   /* of its pair's plane, else NULL */
  int family;              /* 0, or that of the pairing that joins another to the first */
  const paired_line *line; /* of another family: as its pairing has it; NULL: of the first, or met alone */
} piece;

/* Where an instrument's two errors are gathered: another family's stand with the first's where they are the same. */
typedef struct instrument_slots {
  uint8_t of[SY_MOST_FAMILIES][SY_MAX_INSTRUMENTS];
} instrument_slots;

/* Who gets every line instead of adding its errors up (error_list.h), and then of the instruments of each family that was walked. */
typedef struct line_listener {
  void *with;
  void (*line)(void *with, const piece *pieces, size_t count, const instrument_slots *slots);
  void (*instruments)(void *with, const family *f, const uint8_t *slot,
                      bool last); /* last: of those walked together */
} line_listener;

/* Sums over all errors met so far: of the squares of what each does to an answer, and of the products of what it does to two. */
typedef struct sum_of_errors {
  size_t count;                                     /* answers */
  bool crossed;                                     /* the products are asked for */
  double variance[SY_WALK_ANSWERS];                 /* start at 0 */
  double product[SY_WALK_ANSWERS][SY_WALK_ANSWERS]; /* above the diagonal; start at 0 */
  double bias[SY_MOST_SLOTS]
             [SY_WALK_ANSWERS]; /* what one unit of an instrument's error does, by slot; start at 0 */
  double gain[SY_MOST_SLOTS][SY_WALK_ANSWERS];
  double usual[SY_WALK_ANSWERS]; /* what all inertias of a usual density do together; start at 0 */
  const line_listener *listener; /* NULL: errors are added up */
} sum_of_errors;

/* Pieces of one booked line, all that there are in the terms: those that state the same have one error, so their effects add before they
** are squared. Errors of instruments are met again and again on the way: their effects are gathered. */
void sy_add_line(sum_of_errors *sum, const piece *pieces, size_t count, const instrument_slots *slots);

/* Do two pieces of a line have one error of their masses of that kind, or along that axis? */
bool sy_same_mass_error_of_pieces(const piece *a, const piece *b, int kind);
bool sy_same_coordinate_of_pieces(const piece *a, const piece *b, int axis);
/* What one unit of a mass error does to the answer of sensitivity `g`; what one metre of error of the place does, by axis, as the first
** family states it. */
double sy_mass_effect(const piece *p, const sy_sensitivity *g, int kind);
sy_vec3 sy_place_effect(const piece *p, const sy_sensitivity *g);

/* All lines below a branch at once, for flat sensitivities g over the whole car; `slot` of its family's instruments. */
void sy_add_branch(sum_of_errors *sum, const branch *b, const sy_sensitivity *g, const uint8_t *slot);

/* At the very end, once. */
void sy_add_usual(sum_of_errors *sum);

/* At the end, once an instrument. */
void sy_add_instrument(sum_of_errors *sum, size_t slot, const sy_instrument *instrument);

#endif
