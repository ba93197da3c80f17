/* repeat.h - a fixed point x = f(x) by repetition, looking ahead where each round leaves an even part of the error before.
**
** Method   plain rounds x <- f(x). After two of them the part that a round leaves of the one before is known, and the rest of the way is
**          taken at once (Aitken's delta-squared process, with one part for the whole vector). Only parts below 1 are looked
**          ahead by: what grows runs away as it should, and no unstable fixed point is found. A look ahead to a larger step, or
**          to a place where f has no answer, is taken back; so is one after which plain rounds come to such a place, since a look ahead may
**          overshoot by less than the rounds after it do. Each that did not help makes the next one wait a round longer.
** Source   P. Henrici, Elements of Numerical Analysis, 1964, ch. 4 (from memory).
*/
#ifndef SY_NUMERIC_REPEAT_H
#define SY_NUMERIC_REPEAT_H

#include <stdbool.h>

#include "../base/api.h"

enum {
  SY_REPEAT_MOST = 200, /* rounds; what has not settled by then never will */
  SY_REPEAT_SIZE = 12
};

/* All zeros to begin with. */
typedef struct sy_repeat {
  double step[SY_REPEAT_SIZE];  /* of the round before */
  double kept[SY_REPEAT_SIZE];  /* where the last look ahead began */
  double start[SY_REPEAT_SIZE]; /* where the first one did: plain rounds alone led there */
  double part;                  /* that a plain round left of the one before it */
  double before;                /* largest step before the last look ahead */
  int plain;                    /* rounds since then */
  int timid;                    /* looks ahead that did not help */
  int looks;                    /* looks ahead since `start` */
  bool ahead;                   /* what goes in next is a look ahead */
  bool led;                     /* a look ahead lies between `kept` and here */
  bool anew;                    /* the rounds went back to `start` already */
} sy_repeat;

/* One round: x went in and next came out, n <= SY_REPEAT_SIZE numbers. Puts into x what goes in next and returns the largest change. */
SY_API double sy_repeat_next(sy_repeat *r, int n, double *x, const double *next);

/* f has no answer at x: true when a look ahead led there, at once or by the rounds after it, with x where it began; false when plain rounds
** did. */
SY_API bool sy_repeat_back(sy_repeat *r, int n, double *x);

/* Did the rounds grow, or shrink by less than a hundredth each? */
SY_API bool sy_repeat_runs_away(const sy_repeat *r);

#endif
