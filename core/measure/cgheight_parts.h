/* cgheight_parts.h - the answers of a fitted session as functions of its readings, and what their uncertainties are made of.
** Private to cgheight_fit.c and cgheight_rows.c.
**
** An answer is a function of the unknowns; its gradient there times the fit's gain weighs every observation.
*/
#ifndef SY_MEASURE_CGHEIGHT_PARTS_H
#define SY_MEASURE_CGHEIGHT_PARTS_H

#include "cgheight_model.h"

/* A problem with its memory. */
typedef struct cgheight_workspace {
  cgheight_problem *problem;
  double *gradient, *weight; /* cols, rows: scratch of linear functions of the readings */
  void *fit;
} cgheight_workspace;

/* Chance below which readings are said to scatter too much, or runs to differ; see cgheight.h. */
#define CGHEIGHT_UNLIKELY 0.125

typedef enum cgheight_answer {
  CGHEIGHT_HEIGHT,
  CGHEIGHT_MASS,
  CGHEIGHT_BEHIND,
  CGHEIGHT_SHARE,
  CGHEIGHT_ANSWERS
} cgheight_answer;

/* How much worse readings and runs are than stated. */
typedef struct cgheight_spread {
  double widened, dof,
      load_dof;           /* factor on loads and lifts, its degrees of freedom, those of the loads' sd */
  double run_sd, run_dof; /* kg: of a level load from run to run; 0 where nothing shows */
  double drift;           /* kg, for the height */
} cgheight_spread;

double cgheight_answer_of(const cgheight_problem *p, const double *x, cgheight_answer which);

/* Uncertainty of the linear function of the unknowns in b->gradient, by loads, lifts, blocks and mass as stated; b->weight becomes
** its weights on the observations. */
void cgheight_weigh(const cgheight_workspace *b, const sy_lsq *f);
double cgheight_uncertainty(const cgheight_workspace *b);
void cgheight_clear(const cgheight_workspace *b);

/* The largest gap between two runs' level loads of an axle, kg. */
double cgheight_gap(const cgheight_problem *p, const double *x);

/* Scatter of the level loads about their means over the runs, both axles pooled (zeros wander alike), kg, and its degrees of freedom. */
double cgheight_run_scatter(const cgheight_problem *p, const double *x, double *dof);

/* value, u, dof and all of by[] but the unseen sources, which are there already. */
void cgheight_value(const cgheight_workspace *b, const sy_lsq *f, cgheight_answer which,
                    const cgheight_spread *spread, sy_cgheight_value *out);

/* cgheight_rows.c: what is said of each reading, of each run, and of the worst. */
void cgheight_list_rows(const cgheight_workspace *b, const sy_lsq *f, double widened, sy_cgheight_row *rows);
void cgheight_list_levels(const cgheight_workspace *b, const sy_lsq *f, double widened,
                          sy_cgheight_level *levels);
void cgheight_suspect(const cgheight_workspace *b, const sy_lsq *f, sy_cgheight *out);

#endif
