/* pack_parts.h - what the pieces of the search for masses in slots (pack.h) share. Within core/study. */
#ifndef SY_STUDY_PACK_PARTS_H
#define SY_STUDY_PACK_PARTS_H

#include "pack.h"
#include "pack_lp.h"

/* Steps from first[k] to last[k] in each slot. */
typedef struct pack_box {
  unsigned first[SY_PACK_SLOTS], last[SY_PACK_SLOTS];
} pack_box;

/* at + by . mass, above 0 whatever is in the slots: what a row is a share or a mean of. */
typedef struct pack_weight {
  double at, by[SY_PACK_SLOTS];
} pack_weight;

/* row x weight = at + by . mass, give or take e. */
typedef struct pack_line {
  double at, by[SY_PACK_SLOTS], e;
  bool known; /* false: nothing is, somewhere in the box the car does not stand */
} pack_line;

/* What a search wants. Each goal is reached before the next is looked at, among what reaches those before. */
typedef enum pack_goal {
  PACK_MASS, /* the least mass */
  PACK_MISS, /* the least sum of squares of misses of the rows that are counted */
  PACK_LESS, /* the least in one slot */
  PACK_MORE  /* the most in one slot */
} pack_goal;

typedef struct pack_search {
  const sy_pack *pack;
  const sy_alloc *alloc;
  pack_box whole; /* all that the slots may hold */
  double step[SY_PACK_SLOTS], most_row[SY_PACK_ROWS];
  pack_weight weight[SY_PACK_ROWS]; /* the row times this is looked at; 1: the row */
  bool linear[SY_PACK_ROWS];        /* its line holds for all boxes */
  pack_line line[SY_PACK_ROWS];     /* of the whole box */
  bool can_fail[SY_PACK_ROWS];      /* in the whole box the row may be outside what it must hold */
  double quantum;                   /* kg: all masses are multiples of it; 0: not known */
  /* what is wanted now */
  pack_goal goal;
  int slot;                  /* of PACK_LESS and PACK_MORE */
  bool hold[SY_PACK_ROWS];   /* rows that must hold */
  bool counts[SY_PACK_ROWS]; /* rows whose misses count */
  double mass;               /* kg, of all; INFINITY: any */
  double most_miss;          /* sum of squares, INFINITY: any */
  /* the best so far */
  bool any;
  double score;
  unsigned best[SY_PACK_SLOTS];
  uint64_t boxes, tried, most_work;
} pack_search;

/* Tries which rows are linear, and which can fail at all. The slots and rows have been checked.
** Errors  SY_CLASH  no whole number of steps in a slot */
sy_status pack_begin(const sy_pack *pack, const sy_alloc *alloc, pack_search *s, sy_error *err);

double pack_mass(const pack_search *s, int slot, unsigned steps);

double pack_weight_at(const pack_search *s, int row, const double *mass);

/* What the row must be within: a target's window, or the limits. */
void pack_window(const sy_pack_row *row, double *min, double *max);

/* The line of a row that is not linear, in this box. */
void pack_measure(pack_search *s, const pack_box *box, pack_line *line);

/* How many of its own units a value lies off: from its target, or outside its limits. */
double pack_off(const sy_pack_row *row, double value);

/* Does the row hold at this value? What is exactly on the edge of a target's window is inside, whatever rounding says. */
bool pack_holds(const sy_pack_row *row, double value);

/* The rows at these steps; those wanted. False: the car does not stand so. */
bool pack_values_at(pack_search *s, const unsigned *steps, const bool *wanted, double *value);

/* Can a box hold anything better than the best so far? Then x is where to look, kg, and `left` the most that the line of a row leaves, in its
** units: INFINITY where nothing is known of it.
** line  by row: pack_measure's of this box, or of one around it */
bool pack_bound(const pack_search *s, const pack_box *box, const pack_line *line, double x[SY_PACK_SLOTS],
                double *left);

/* Scores that differ by less are equal: masses a microgram, see pack_bound.c for misses. */
double pack_fine(const pack_search *s);

/* Is `score` better than the best so far by more than rounding? */
bool pack_better(const pack_search *s, double score);

/* What it has taken: boxes, and the combinations they were measured on, of which so many take as long as a box of linear rows. */
enum { PACK_TRIED_A_BOX = 30 };
uint64_t pack_work(const pack_search *s);

/* Searches `whole` for what is wanted; s->any says whether it was found.
** Errors  SY_LIMIT  memory, or too much work */
sy_status pack_branch(pack_search *s, sy_error *err);

/* All goals in turn. out->possible is set; where it is false, out is the nearest. */
sy_status pack_all_goals(const sy_pack *pack, uint64_t most_work, const sy_alloc *given, sy_packed *out,
                         sy_error *err);

/* Do any masses hold all rows? Then those with the least in `slot` (-1: in none), of these the least mass; which of equal ones, that takes
** `fine` more work at most: after so much it is the best until then. Where none do, only out->possible is set.
** work    what it took is added to it, whether it succeeds or not
** Errors  SY_LIMIT  memory, or too much work before the least mass is found */
sy_status pack_least(const sy_pack *pack, int slot, uint64_t most_work, uint64_t fine, const sy_alloc *given,
                     sy_packed *out, uint64_t *work, sy_error *err);

sy_status pack_check(const sy_pack *pack, bool units, sy_error *err);

#endif
