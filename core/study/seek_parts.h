/* seek_parts.h - what a search holds while it runs. Private to core/study.
**
** Scaled   inputs run from 0 to 1 over their ranges; a quantity counts in its span, the most that any fold of it changes over the places tried
**          first.
*/
#ifndef SY_STUDY_SEEK_PARTS_H
#define SY_STUDY_SEEK_PARTS_H

#include "seek.h"

typedef enum sy_seek_mode {
  SEEK_REACH,  /* limits and bands around targets hold; the aim, or the least change */
  SEEK_NEAR,   /* limits hold; the least misses */
  SEEK_ELASTIC /* the least that limits are broken by */
} sy_seek_mode;

typedef struct sy_seek_work {
  const sy_seek_problem *p;
  const sy_seek_solver *solver;
  size_t n, answers;          /* inputs; quantities x folds */
  double now[SY_SEEK_INPUTS]; /* scaled, inside */
  double *span;               /* by quantity; 0: nothing moves it */
  double *middle;             /* by quantity: of its first fold that has an answer; NaN where none has one */
  double within[SY_SEEK_TARGETS], band[SY_SEEK_TARGETS],
      goal[SY_SEEK_TARGETS]; /* goal: nearer than that counts as well as there */
  sy_seek_mode mode;
  bool nearest; /* what is settled cannot be all that is asked for: what is aimed at does not count */
  double unit;  /* of slacks, in spans */
  double step;  /* of differences, scaled */
  bool stopped;
  /* answers at the place last asked about, and their derivatives by the scaled inputs */
  bool has, known; /* known: all that count are numbers */
  double place[SY_SEEK_INPUTS];
  double *value, *derivative; /* answers; answers x n */
  double *x, *asked;          /* room: SY_SEEK_BATCH places, and their answers */
  double *start;              /* starts x n, scaled */
  size_t most;                /* constraints, in any mode */
  double *lower, *upper, *g;
} sy_seek_work;

/* Steps of differences. A search has one so short that second derivatives do not show; what is printed one so long that picometres, to which
** a ledger keeps lengths, do not: third derivatives then count by the square of a hundredth of the range. */
#define SY_SEEK_SHORT_STEP 1e-4
#define SY_SEEK_LONG_STEP  1e-2

enum { SY_SEEK_SLACKS = SY_SEEK_LIMITS + SY_SEEK_TARGETS + 1 };

double sy_seek_unscaled(const sy_seek_work *w, size_t input, double u);

/* Answers at scaled places, `count` of any number; false: stopped. */
bool sy_seek_ask_scaled(sy_seek_work *w, const double *u, size_t count, double *answer);

/* Fills value and derivative at the scaled place; false: stopped. */
bool sy_seek_look(sy_seek_work *w, const double *u);

/* How far target k is off in the answers of a place: of the fold that is farthest off. NaN without an answer. */
double sy_seek_miss(const sy_seek_work *w, const double *answer, size_t k);

/* How far limit j is broken there, 0: kept; INFINITY without an answer. */
double sy_seek_broken(const sy_seek_work *w, const double *answer, size_t j);

/* Is it broken by more than the rounding of a scaled place makes? */
bool sy_seek_is_over(const sy_seek_work *w, const double *answer, size_t j);

/* What is aimed at, the worst of its folds; as less is better. */
double sy_seek_aimed(const sy_seek_work *w, const double *answer);

/* The sum of squares of changes. */
double sy_seek_change(const sy_seek_work *w, const double *u);

bool sy_seek_moves(const sy_seek_work *w, size_t quantity);

/* The task of the mode; lower and upper are the work's. */
void sy_seek_pose(sy_seek_work *w, sy_seek_task *task);

/* Slacks behind the inputs of x, as little as the answers there need. False: stopped. */
bool sy_seek_slacken(sy_seek_work *w, double *x);

/* Puts the scaled place on the values there are and tries neighbours; x: values. False: stopped. accepted: is it good by `exact`? */
bool sy_seek_settle(sy_seek_work *w, const double *u, double *x, bool *accepted);

/* What binds at x. */
bool sy_seek_bind(sy_seek_work *w, const double *x, sy_seek_found *out);

#endif
