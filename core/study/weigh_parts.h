/* weigh_parts.h - how the line to weigh next is looked for. Private to core/study. */
#ifndef SY_STUDY_WEIGH_PARTS_H
#define SY_STUDY_WEIGH_PARTS_H

#include "sensitivity_parts.h"
#include "weigh_next.h"

enum {
  MOST_FIGURES = SY_MOST_RECORDS * SY_RECORD_FIGURES,
  PLACES = 6 /* of the two pieces of a pair */
};

/* Errors that one step states anew. */
typedef struct candidate {
  sy_weigh_what what;
  size_t source[PLACES], count;
  double variance[PLACES]; /* then */
  size_t common[2];        /* errors of the instrument that it was weighed on; NONE */
  double per[2];           /* kg by one unit of each */
  double share, drop;      /* of the mean variance; the drop as far as it was worked out */
  bool known, done;
} candidate;

/* All candidates in the order of the lines; `out` has room for two an error and one more. */
size_t sy_weigh_lines(const sy_error_list *list, double scale, double tape, candidate *out);

/* Variances of all errors, what they do to answers and to figures of records, and what that comes to. */
typedef struct known {
  double *variance; /* sources */
  double *stated;   /* answers x sources, before records */
  double *figure;   /* errors x figures */
  double *effect;   /* answers x sources, after records */
  double *half;     /* errors x figures: L^-1 H, where S = H C H^T = L L^T */
  double *matrix;   /* figures x figures: S */
  double *gain;     /* answers x figures: S^-1 H C g */
  double *total;    /* answers: variances */
  double *room;     /* all of it */
} known;

size_t sy_known_room(const sy_spread *p);
bool sy_known_new(const sy_spread *p, known *k); /* false: memory is out */
void sy_known_start(const sy_sensitivities *s, known *k);

/* States the candidate's errors anew. */
void sy_known_apply(const sy_spread *p, const candidate *c, known *k);

/* Effects after records; false where these have nothing left that errs. */
bool sy_known_settle(const sy_spread *p, known *k);

/* The variances of all answers. */
void sy_known_sum(const sy_spread *p, known *k);

/* L^-1 b and, `whole`, (L L^T)^-1 b. */
void sy_known_solve(const double *l, size_t n, const double *b, bool whole, double *x);

/* What a candidate takes of the variances of the answers as they are known, each by `first` of it (0: does not count), together. */
double sy_weigh_drop(const sy_spread *p, const known *k, const candidate *c, const double *first);

#endif
