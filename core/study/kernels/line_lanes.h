/* line_lanes.h - answers that follow one first moment alone. Private to the files in this folder.
**
** Where the mass is the same for all, loads, shares and the cg follow the one first moment u that varies by a few products and sums, each of
** which rises with u or falls with it, rounded too: their extremes are at those of u.
*/
#ifndef SY_STUDY_KERNELS_LINE_LANES_H
#define SY_STUDY_KERNELS_LINE_LANES_H

#include "study/kernels/balance_sums.h"

typedef struct line {
  const double *u;
  lanes from, by, then, last, times;
} line;

#define LINE_OF       AT_LEVEL(sy_line_of_lanes)
#define LINE_EXTREMES AT_LEVEL(sy_line_extremes_lanes)
#define RUN_LINE      AT_LEVEL(sy_run_line_lanes)

/* The shape of the answer as a line, which goes to `l`; -1 where it is not of that kind. */
int LINE_OF(const sy_lane_answer *w, const sums_of *s, line *l);

/* Of n variants, to `out` and `reduced` as `how` says (going_lanes.h), but for least and greatest. False: an answer is not known, and
** `reduced` counts nothing. */
bool RUN_LINE(const line *l, int shape, size_t n, double *out, int how, sy_reduced *reduced);

/* Least and greatest, from those of u. */
void LINE_EXTREMES(const line *l, int shape, const double range[2], sy_reduced *reduced);

#endif
