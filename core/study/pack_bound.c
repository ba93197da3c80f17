#include "study/pack_parts.h"

#include <math.h>

/* Rounds of tangents for one box: each takes most of what is left, and boxes are halved anyway. */
enum { TANGENTS = 16 };

/* Nor are they taken for less than this part of what is left to gain. */
#define CLOSE 1e-3

/* kg, for the rounding of sums of masses. */
#define MASS_SLACK 1e-10

/* Misses that differ by less than this part of a unit, or by rounding of their squares, are equal: lines are no closer than that. */
#define NEAR     1e-5
#define ROUNDING 1e-11

double pack_fine(const pack_search *s) {
  return s->goal == PACK_MISS ? NEAR * (2.0 * sqrt(s->score) + NEAR) + ROUNDING * s->score : 1e-9;
}

bool pack_better(const pack_search *s, double score) { return !s->any || score < s->score - pack_fine(s); }

/* ---- a box as a linear programme -------------------------------------------------------------------------------------------------- */

/* Masses are counted from the least in the box, so numbers are small where boxes are. */
typedef struct programme {
  pack_lp lp;
  pack_line line[SY_PACK_ROWS];
  double low[SY_PACK_SLOTS]; /* kg */
  double weight_low[SY_PACK_ROWS], weight_high[SY_PACK_ROWS];
} programme;

/* sign (row - bound) <= 0, in units, give or take what the line is off. */
static void add_side(programme *q, const pack_search *s, int r, double bound, double sign) {
  const pack_line *line = &q->line[r];
  const double per = 1.0 / (s->pack->row[r].unit * q->weight_low[r]);
  if (isinf(bound) || !line->known) return;
  double *const a = q->lp.a[q->lp.rows];
  double at = line->at - (s->by_weight[r] ? bound * s->pack->row[r].whole : bound);
  for (int k = 0; k < q->lp.vars; k++) a[k] = 0.0;
  for (int k = 0; k < s->pack->slots; k++) {
    const double by = line->by[k] - (s->by_weight[r] ? bound : 0.0);
    a[k] = sign * by * per;
    at += by * q->low[k];
  }
  q->lp.b[q->lp.rows++] = (line->e - sign * at) * per + 1e-9;
}

/* Neither lighter nor heavier than the least mass that was found: from both sides, or fractions of steps that are a little lighter stay
** open. */
static void add_mass(programme *q, const pack_search *s) {
  double left = s->mass;
  for (int k = 0; k < s->pack->slots; k++) left -= q->low[k];
  for (int side = 0; side < 2; side++) {
    double *const a = q->lp.a[q->lp.rows], sign = side == 0 ? 1.0 : -1.0;
    for (int k = 0; k < q->lp.vars; k++) a[k] = k < s->pack->slots ? sign : 0.0;
    q->lp.b[q->lp.rows++] = sign * left + MASS_SLACK;
  }
}

static void lay_out(pack_search *s, const pack_box *box, bool tangents, programme *q) {
  const int slots = s->pack->slots;
  double low = 0.0, high = 0.0;
  pack_measure(s, box, q->line);
  q->lp.vars = slots + (tangents ? 1 : 0);
  q->lp.rows = 0;
  for (int k = 0; k < slots; k++) {
    q->low[k] = pack_mass(s, k, box->first[k]);
    q->lp.lo[k] = 0.0;
    q->lp.hi[k] = pack_mass(s, k, box->last[k]) - q->low[k];
    q->lp.c[k] = 0.0;
    low += q->low[k];
    high += q->low[k] + q->lp.hi[k];
  }
  if (s->mass < (double)INFINITY) low = high = s->mass;
  for (int r = 0; r < s->pack->rows; r++) {
    const double whole = s->pack->row[r].whole;
    q->weight_low[r] = s->by_weight[r] ? whole + low : 1.0;
    q->weight_high[r] = s->by_weight[r] ? whole + fmax(low, high) : 1.0;
    if (s->hold[r] && s->can_fail[r]) {
      double min, max;
      pack_window(&s->pack->row[r], &min, &max);
      add_side(q, s, r, max, 1.0);
      add_side(q, s, r, min, -1.0);
    }
    if (s->counts[r] && s->most_miss < (double)INFINITY && !isnan(s->pack->row[r].target)) {
      const double off = sqrt(s->most_miss) * s->pack->row[r].unit;
      add_side(q, s, r, s->pack->row[r].target + off, 1.0);
      add_side(q, s, r, s->pack->row[r].target - off, -1.0);
    }
  }
  if (s->mass < (double)INFINITY) add_mass(q, s);
}

/* ---- misses ------------------------------------------------------------------------------------------------------------------------- */

/* A lower bound of the sum of squares at x (from the low end of the box), convex in x over all of the box, and its gradient. A row's
** miss is at least (line - target x weight - e) / (unit x the largest weight). */
static double misses(const programme *q, const pack_search *s, const double *x, double *gradient) {
  double sum = 0.0;
  for (int k = 0; k < s->pack->slots; k++) gradient[k] = 0.0;
  for (int r = 0; r < s->pack->rows; r++) {
    const sy_pack_row *row = &s->pack->row[r];
    const pack_line *line = &q->line[r];
    const double per = 1.0 / (row->unit * q->weight_high[r]);
    if (!s->counts[r] || !line->known) continue;
    for (int side = 0; side < 2; side++) {
      const double sign = side == 0 ? 1.0 : -1.0;
      const double bound = !isnan(row->target) ? row->target : side == 0 ? row->max : row->min;
      double by[SY_PACK_SLOTS];
      double off = line->at - (s->by_weight[r] ? bound * row->whole : bound);
      if (isinf(bound)) continue;
      for (int k = 0; k < s->pack->slots; k++) {
        by[k] = line->by[k] - (s->by_weight[r] ? bound : 0.0);
        off += by[k] * (q->low[k] + x[k]);
      }
      off = (sign * off - line->e) * per;
      if (off <= 0.0) continue;
      sum += off * off;
      for (int k = 0; k < s->pack->slots; k++) gradient[k] += 2.0 * off * sign * by[k] * per;
    }
  }
  return sum;
}

/* No sum of squares in the box is larger. */
static double most_misses(const programme *q, const pack_search *s) {
  double gradient[SY_PACK_SLOTS], x[SY_PACK_SLOTS], most = 0.0;
  for (int corner = 0; corner < 1 << s->pack->slots; corner++) { /* convex: at a corner */
    for (int k = 0; k < s->pack->slots; k++) x[k] = (corner >> k & 1) != 0 ? q->lp.hi[k] : 0.0;
    most = fmax(most, misses(q, s, x, gradient));
  }
  return most;
}

/* False: nothing in the box holds, or misses by no more than `enough` (INFINITY: any will do). Tangents to the convex bound, each where the
** last programme ended. */
static bool least_miss(programme *q, const pack_search *s, double enough, double *x) {
  const int z = s->pack->slots;
  double bound = 0.0;
  q->lp.lo[z] = 0.0;
  q->lp.hi[z] = 1.0 + most_misses(q, s);
  q->lp.c[z] = 1.0;
  if (!pack_lp_solve(&q->lp, &bound, x)) return false;
  for (int round = 0; round < TANGENTS && q->lp.rows < PACK_LP_ROWS; round++) {
    double gradient[SY_PACK_SLOTS];
    const double sum = misses(q, s, x, gradient), left = fmin(enough, sum) - bound;
    if (sum <= bound + CLOSE * left) break;
    double *const a = q->lp.a[q->lp.rows], b = -sum;
    for (int k = 0; k < z; k++) a[k] = gradient[k], b += gradient[k] * x[k];
    a[z] = -1.0;
    q->lp.b[q->lp.rows++] = b + 1e-12 * (1.0 + sum);
    if (!pack_lp_solve(&q->lp, &bound, x) || bound > enough) return false;
  }
  return true;
}

/* ---- the bound ------------------------------------------------------------------------------------------------------------------------ */

/* Of whole steps: what lies above a bound by less than a step of the score is not there. */
static double rounded_up(const pack_search *s, double bound) {
  const double step = s->goal == PACK_MASS ? s->quantum : s->step[s->slot];
  return step > 0.0 ? step * ceil(bound / step - 1e-6) : bound;
}

/* At least that much in all: totals are whole steps too. Without this, slots that do the same are traded for one another a gram at a time. */
static void add_least(programme *q, const pack_search *s, double least) {
  double *const a = q->lp.a[q->lp.rows], left = least;
  for (int k = 0; k < q->lp.vars; k++) a[k] = k < s->pack->slots ? -1.0 : 0.0;
  for (int k = 0; k < s->pack->slots; k++) left -= q->low[k];
  q->lp.b[q->lp.rows++] = MASS_SLACK - left;
}

/* Can the goal, a mass, be better in the box? */
static bool least_mass(programme *q, const pack_search *s, double *x) {
  const int slots = s->pack->slots;
  double bound = 0.0, fixed = 0.0;
  for (int k = 0; k < slots; k++) {
    q->lp.c[k] = s->goal == PACK_MASS ? 1.0 : k == s->slot ? (s->goal == PACK_LESS ? 1.0 : -1.0) : 0.0;
    fixed += q->lp.c[k] * q->low[k];
  }
  if (slots < q->lp.vars) q->lp.c[slots] = 0.0;
  for (int round = 0;; round++) {
    if (!pack_lp_solve(&q->lp, &bound, x)) return false;
    const double least = rounded_up(s, bound + fixed);
    if (s->any && least >= s->score - pack_fine(s)) return false;
    if (s->goal != PACK_MASS || round == 2 || q->lp.rows == PACK_LP_ROWS ||
        least < bound + fixed + MASS_SLACK)
      return true;
    add_least(q, s, least);
  }
}

bool pack_bound(pack_search *s, const pack_box *box, double x[SY_PACK_SLOTS]) {
  const bool squares = s->goal == PACK_MISS || s->most_miss < (double)INFINITY;
  programme q;
  double y[PACK_LP_VARS];
  lay_out(s, box, squares, &q);
  if (squares) {
    const double best = s->goal == PACK_MISS && s->any ? s->score - pack_fine(s) : (double)INFINITY;
    if (!least_miss(&q, s, fmin(best, s->most_miss), y)) return false;
  }
  if (s->goal != PACK_MISS && !least_mass(&q, s, y)) return false;
  for (int k = 0; k < s->pack->slots; k++) x[k] = q.low[k] + y[k];
  return true;
}
