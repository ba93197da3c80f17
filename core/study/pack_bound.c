#include "study/pack_parts.h"

#include <math.h>

/* Rounds of tangents for one box: each takes most of what is left, and boxes are halved anyway. */
enum { TANGENTS = 16 };

/* What the score may be off by rounding: of masses a microgram, of sums of squares a billionth. */
static double fine(const pack_search *s) {
  if (s->goal == PACK_MISS) return 1e-9 * (1.0 + s->score);
  return 1e-9;
}

bool pack_better(const pack_search *s, double score) { return !s->any || score < s->score - fine(s); }

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

static void add_mass(programme *q, const pack_search *s, double most) {
  double *const a = q->lp.a[q->lp.rows], left = most + 1e-8; /* far below a gram */
  for (int k = 0; k < q->lp.vars; k++) a[k] = k < s->pack->slots ? 1.0 : 0.0;
  for (int k = 0; k < s->pack->slots; k++) left -= q->low[k];
  q->lp.b[q->lp.rows++] = left;
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
  high = fmin(high, s->most_mass);
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
  if (s->most_mass < (double)INFINITY) add_mass(q, s, s->most_mass);
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

/* Less than this in the box is not possible: tangents to the convex bound, each where the last programme ended. */
static bool least_miss(programme *q, pack_search *s, double enough, double *x) {
  const int z = s->pack->slots;
  double bound = 0.0;
  q->lp.lo[z] = 0.0;
  q->lp.hi[z] = 1e30;
  q->lp.c[z] = 1.0;
  for (int k = 0; k < z; k++) x[k] = 0.5 * q->lp.hi[k];
  for (int round = 0; round < TANGENTS; round++) {
    double gradient[SY_PACK_SLOTS];
    const double sum = misses(q, s, x, gradient);
    if (q->lp.rows == PACK_LP_ROWS || sum <= bound + 1e-3 * fabs(enough - bound)) break;
    double *const a = q->lp.a[q->lp.rows], b = -sum;
    for (int k = 0; k < z; k++) a[k] = gradient[k], b += gradient[k] * x[k];
    a[z] = -1.0;
    q->lp.b[q->lp.rows++] = b + 1e-12 * (1.0 + sum);
    if (!pack_lp_solve(&q->lp, &bound, x)) return false;
    if (bound > enough) return false;
  }
  return true;
}

/* ---- the bound ------------------------------------------------------------------------------------------------------------------------ */

/* Of whole steps: what lies above a bound by less than a step of the score is not there. */
static double rounded_up(const pack_search *s, double bound) {
  const double step = s->goal == PACK_MASS ? s->quantum : s->step[s->slot];
  return step > 0.0 ? step * ceil(bound / step - 1e-6) : bound;
}

bool pack_bound(pack_search *s, const pack_box *box, double x[SY_PACK_SLOTS]) {
  const int slots = s->pack->slots;
  const bool squares = s->goal == PACK_MISS || s->most_miss < (double)INFINITY;
  programme q;
  double y[PACK_LP_VARS], bound = 0.0, fixed = 0.0;
  lay_out(s, box, squares, &q);
  if (squares) {
    const double best =
        s->goal == PACK_MISS ? (s->any ? s->score - fine(s) : (double)INFINITY) : s->most_miss;
    const double enough = fmin(best, s->most_miss);
    if (!least_miss(&q, s, enough < (double)INFINITY ? enough : 1e29, y)) return false;
    q.lp.c[slots] = 0.0;
  }
  if (s->goal != PACK_MISS) {
    for (int k = 0; k < slots; k++) {
      q.lp.c[k] = s->goal == PACK_MASS ? 1.0 : k == s->slot ? (s->goal == PACK_LESS ? 1.0 : -1.0) : 0.0;
      fixed += q.lp.c[k] * q.low[k];
    }
    if (!pack_lp_solve(&q.lp, &bound, y)) return false;
    if (s->any && rounded_up(s, bound + fixed) >= s->score - fine(s)) return false;
  }
  for (int k = 0; k < slots; k++) x[k] = q.low[k] + y[k];
  return true;
}
