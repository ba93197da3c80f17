/* pack.h - the least mass in slots that brings answers where they are wanted: whole steps in each slot, searched to the end.
**
** Units    kg for slots; each row's own for its numbers.
** Slots    hold a whole number of steps between their least and their most; without a step of their own to the gram (SY_PACK_GRAIN).
** Rows     answers as functions of the masses in all slots, by one callback. A row with a target must come within `unit` of it, one
**          without must stay in its limits. A row that is NaN holds nothing.
** Best     the least mass; of equal masses what comes nearest to the targets, the sum of the squares of its misses, each in its unit, to
**          1e-5 of one; of those what puts most into the first slot, then into the second. So there is one answer, and no brute force finds less.
** Proof    branch and bound over boxes of steps. A row of which `row x (whole + all that is in the slots)`, the row itself, or the row
**          times some other sum over the masses (a track over a height: a moment) is linear in the masses is a linear condition, exactly;
**          that it is so is tried, not assumed. Linear programmes then bound each box, by multipliers that prove the bound (pack_lp.h). Any
**          other row is measured at the corners, the middle and the middles of the faces of each box and bounded by the linear function through it, times
**          whichever of these leaves least, give or take one and a half times the spread that it leaves: that covers every answer that is
**          convex or concave across the box, and boxes shrink to single combinations. What is given back was worked out by the callback,
**          never from a bound.
** Nothing  when no combination holds all rows: the one that holds the limits and comes nearest to the targets; where none holds the limits,
**          what comes nearest to these. Of equal ones the least mass, then the first slots.
** Memory   a list of boxes from the allocator, given back before the call returns.
*/
#ifndef SY_STUDY_PACK_H
#define SY_STUDY_PACK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "../base/alloc.h"
#include "../base/status.h"

enum { SY_PACK_SLOTS = 8, SY_PACK_ROWS = 64 };

#define SY_PACK_GRAIN 0.001 /* kg: the step of a slot that states none */
#define SY_PACK_MOST  1e6   /* kg in one slot, and as many steps at most as 2^31 */

typedef struct sy_pack_slot {
  double min, max; /* kg, 0 <= min <= max <= SY_PACK_MOST */
  double step;     /* kg, >= SY_PACK_GRAIN; 0: none, to the gram */
} sy_pack_slot;

typedef struct sy_pack_row {
  double target;   /* NaN: none, the row has limits */
  double min, max; /* of one without a target; -INFINITY, INFINITY: no such limit */
  double unit;     /* > 0: what counts as one miss, of a target how far off it may be */
  double
      whole; /* kg, >= 0: the mass that the row is a share or a mean of, with nothing in the slots; 0: of none */
} sy_pack_row;

typedef struct sy_pack {
  const sy_pack_slot *slot;
  int slots; /* 1 to SY_PACK_SLOTS */
  const sy_pack_row *row;
  int rows; /* 1 to SY_PACK_ROWS */
  /* Rows for the masses (kg, by slot). wanted, by row: the others may be left as they are. A failure stands for NaN in all rows: with
  ** those masses the car does not stand. */
  sy_status (*values)(void *user, const double *mass, const bool *wanted, double *value);
  void *user;
  /* Called after every box, so that somebody may say that it goes on; no result depends on it. NULL: nobody does. */
  void (*watch)(void *watcher);
  void *watcher;
} sy_pack;

typedef struct sy_packed {
  bool possible;                 /* all rows hold */
  bool limits_hold;              /* those without a target do */
  double mass[SY_PACK_SLOTS];    /* kg */
  unsigned steps[SY_PACK_SLOTS]; /* mass = steps x step */
  double added;                  /* kg, of all */
  double value[SY_PACK_ROWS];
  bool may_bind
      [SY_PACK_ROWS]; /* some masses in the slots do not hold the row: others need not be asked for what they cost */
  double miss;        /* root of the sum of the squares of all misses of targets, each in its unit */
  uint64_t boxes, tried; /* what it took: boxes bounded, combinations worked out */
} sy_packed;

/* Errors  SY_RANGE  a number outside what stands above
**         SY_CLASH  min above max, or no whole number of steps between them
**         SY_MISSING  no slot, no row
**         SY_LIMIT  too many slots or rows; no memory; more work than half a million boxes take */
SY_API sy_status sy_pack_solve(const sy_pack *pack, const sy_alloc *alloc, sy_packed *out, sy_error *err);

/* The units that misses are counted in when nobody states any: half of what one step of the slot that does most changes the row, or what
** rounding slots without a step to the gram may do to it where that is more; 0: no slot changes it.
** at       masses to step from, or NULL: the least of each slot
** unit     by row
** Errors   as above; the rows' own units are not looked at */
SY_API sy_status sy_pack_units(const sy_pack *pack, const double *at, double *unit, sy_error *err);

/* What stands in the way of what cannot be. */
typedef enum sy_pack_hinder {
  SY_PACK_SLOT,   /* slot `at` is too small: it would have to hold `mass[at]`, the others what they may */
  SY_PACK_ALL,    /* all slots together: with these masses it would do, none of them is enough alone */
  SY_PACK_STEPS,  /* the steps: to the gram these masses would do */
  SY_PACK_LIMIT,  /* row `at`: without that limit these masses would do */
  SY_PACK_LIMITS, /* the limits together */
  SY_PACK_TARGETS /* no masses in these slots, however large, bring it about; the targets want the opposite of one another or lie beyond
                     what the slots' places can do */
} sy_pack_hinder;

typedef struct sy_pack_why {
  sy_pack_hinder kind;
  int at; /* slot or row */
  double mass
      [SY_PACK_SLOTS]; /* kg, with which it would do; of SY_PACK_TARGETS with which large slots come nearest */
  double value[SY_PACK_ROWS]; /* then */
} sy_pack_why;

enum { SY_PACK_WHYS = SY_PACK_SLOTS + SY_PACK_ROWS + 4 };

/* For a pack that sy_pack_solve found impossible: what hinders it, in the order of the list above.
** most   kg: how much a slot may be thought to hold
** why    room for SY_PACK_WHYS
** Errors as above */
SY_API sy_status sy_pack_explain(const sy_pack *pack, double most, const sy_alloc *alloc, sy_pack_why *why,
                                 int *count, sy_error *err);

/* How much less mass would do, kg, without row `row` (>= 0), or with up to `most` in slot `slot`. 0: that one does not bind.
** found  what sy_pack_solve found, possible
** Errors as above */
SY_API sy_status sy_pack_gain(const sy_pack *pack, const sy_packed *found, int row, int slot, double most,
                              const sy_alloc *alloc, double *gain, sy_error *err);

#endif
