/* error_list_parts.h - the search for the errors of ledgers while it is on. Private to core/mass.
**
** The walk of propagate.h carries sensitivities down to the pieces. Here they are those of the ten sums themselves, so what arrives at a
** piece says how its own sums count in those of each ledger: as they lie in the vehicle, or through the map of a group that was weighed.
*/
#ifndef SY_MASS_ERROR_LIST_PARTS_H
#define SY_MASS_ERROR_LIST_PARTS_H

#include "error_list.h"
#include "measured_parts.h"

enum { TEN = 10, ROUND = SY_WALK_ANSWERS };

/* Not SY_ALL_CARRIERS, which the pieces of a weighed group have: so these are never taken together with others. */
#define WHOLE_CAR (SY_ALL_CARRIERS | 1u << SY_CARRIER_COUNT)

typedef struct met_piece {
  piece piece; /* `by` is not good any more */
  uint32_t line;
  int bias, gain; /* errors of its instrument; first the slot */
} met_piece;

/* How a piece's own sums count in one sum of a ledger. */
typedef struct count_in {
  double m;
  sy_vec3 first;
  sy_sym3 second;
} count_in;

typedef struct instrument_errors {
  int bias, gain;
} instrument_errors;

typedef struct finder {
  sy_error_list *list;
  request q;
  sy_term term[SY_WALK_TERMS];
  sy_sensitivity by[SY_WALK_TERMS][ROUND];
  size_t terms;
  met_piece *met;
  size_t pieces, room;
  count_in *counts; /* pieces x terms x TEN */
  double *carried;  /* pieces x carriers; only where a group counts as weighed */
  /* while a walk is on */
  size_t first, many, at; /* answers of this walk; pieces met so far */
  uint32_t line;
  bool counting, weighed, differs, out_of_memory;
  bool exact_too;                        /* mass errors of sd 0, of what was weighed on an instrument */
  instrument_errors slot[SY_MOST_SLOTS]; /* of the families that are walked together */
  bool used[SY_MOST_SLOTS];              /* something was weighed on it */
  size_t from;                           /* their first piece */
  const sy_measured *m;
  instrument_errors read_on[SY_MOST_RECORDS][SY_MAX_INSTRUMENTS];
} finder;

/* The errors of the pieces of a line by their numbers, or SY_NO_ERROR. */
typedef struct line_errors {
  int mass[SY_MOST_PIECES][MASS_ERRORS], place[SY_MOST_PIECES][3], inertia[SY_MOST_PIECES];
} line_errors;

/* Room for one more in a block of `used` entries of that size; false: memory is out. */
bool sy_finder_grow(const sy_alloc *alloc, void **block, size_t used, size_t *room, size_t size);

/* A new error: its number, or SY_NO_ERROR where memory is out, which is noted. */
int sy_finder_error(finder *f, sy_error_kind kind, double sd, const sy_part *part, uint32_t number);

/* Those of the pieces of a line; false: memory is out. */
bool sy_finder_line_errors(finder *f, const met_piece *p, size_t count, line_errors *out);

/* Nothing was weighed so far. */
void sy_finder_clear_slots(finder *f);

/* Two errors for each instrument of a family; then those that were walked together know theirs. A line_listener's. */
void sy_finder_name_instruments(void *with, const family *fam, const uint8_t *slot, bool last);

/* Meet all pieces, and note which errors of instruments they have; then `out_of_memory` says how it went. */
void sy_finder_meet(finder *f);

/* How each piece counts in that many answers: sums of the ledgers, or what carriers have of the mass. Then `differs` says whether all is well. */
void sy_finder_walk(finder *f, size_t answers, bool carriers);

/* The stakes of all pieces, with the errors of their lines; false: memory is out. */
bool sy_finder_stakes(finder *f);

/* The effects of all errors on the figures of records, once all errors are known; false: memory is out. */
bool sy_finder_figures(finder *f);

#endif
