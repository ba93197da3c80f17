#include "study/pack_parts.h"

#include <math.h>
#include <string.h>

/* Rounds of tangents for one box: each takes most of what is left, and boxes are halved anyway. */
enum { TANGENTS = 16 };

/* Nor are they taken for less than this part of what is left to gain. */
#define CLOSE 1e-3

/* kg, for the rounding of sums of masses. */
#define MASS_SLACK 1e-10

/* Misses that differ by less than this part of a unit, or by rounding of their squares, are equal: lines come as close as that. */
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
  int slots;
  const pack_line *line;     /* by row */
  double low[SY_PACK_SLOTS]; /* kg */
  double weight_low[SY_PACK_ROWS], weight_high[SY_PACK_ROWS];
} programme;

/* sign (row - bound) <= 0, in units, give or take what the line is off. */
static void add_side(programme *q, const pack_search *s, int r, double bound, double sign) {
  const pack_line *line = &q->line[r];
  const double per = 1.0 / (s->pack->row[r].unit * q->weight_low[r]);
  if (isinf(bound) || !line->known) return;
  double *const a = q->lp.a[q->lp.rows];
  double at = line->at - bound * s->weight[r].at;
  for (int k = 0; k < q->lp.vars; k++) a[k] = 0.0;
  for (int k = 0; k < s->pack->slots; k++) {
    const double by = line->by[k] - bound * s->weight[r].by[k];
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

/* The least and the greatest weight in the box; of one that all slots add the same to, where the mass is known, that one. */
static void weigh(const pack_search *s, int r, programme *q) {
  const pack_weight *w = &s->weight[r];
  bool same = s->mass < (double)INFINITY;
  double low = w->at, high = w->at;
  for (int k = 0; k < s->pack->slots; k++) {
    const double ends[2] = {w->by[k] * q->low[k], w->by[k] * (q->low[k] + q->lp.hi[k])};
    low += fmin(ends[0], ends[1]);
    high += fmax(ends[0], ends[1]);
    same = same && w->by[k] == w->by[0];
  }
  if (same) low = high = w->at + w->by[0] * s->mass;
  q->weight_low[r] = low, q->weight_high[r] = high;
}

static void lay_out(const pack_search *s, const pack_box *box, const pack_line *line, bool tangents,
                    programme *q) {
  const int slots = s->pack->slots;
  q->line = line;
  q->lp.vars = slots + (tangents ? 1 : 0);
  q->lp.rows = 0;
  q->slots = slots;
  for (int k = 0; k < slots; k++) {
    q->low[k] = pack_mass(s, k, box->first[k]);
    q->lp.lo[k] = 0.0;
    q->lp.hi[k] = pack_mass(s, k, box->last[k]) - q->low[k];
    q->lp.c[k] = 0.0;
  }
  for (int r = 0; r < s->pack->rows; r++) {
    weigh(s, r, q);
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

/* A linear function of what is above the low end of the box. */
typedef struct linear {
  double at, by[SY_PACK_SLOTS];
} linear;

static double value_of(const programme *q, const linear *l, const double *x) {
  double v = l->at;
  for (int k = 0; k < q->slots; k++) v += l->by[k] * x[k];
  return v;
}

/* The row times its weight, less `bound` times the weight. */
static linear beyond(const programme *q, const pack_search *s, int r, double bound) {
  linear l = {q->line[r].at - bound * s->weight[r].at, {0}};
  for (int k = 0; k < q->slots; k++) {
    l.by[k] = q->line[r].by[k] - bound * s->weight[r].by[k];
    l.at += l.by[k] * q->low[k];
  }
  return l;
}

static double weight_at(const programme *q, const pack_search *s, int r, const double *x) {
  double mass[SY_PACK_SLOTS];
  for (int k = 0; k < q->slots; k++) mass[k] = q->low[k] + x[k];
  return pack_weight_at(s, r, mass);
}

/* How many units the row is off at x at the least, whatever its line is off there; and its value by the line. */
static double off_at(const programme *q, const pack_search *s, int r, const double *x, double *value) {
  const sy_pack_row *row = &s->pack->row[r];
  const linear l = beyond(q, s, r, 0.0);
  double min = row->min, max = row->max;
  if (!isnan(row->target)) min = max = row->target;
  *value = value_of(q, &l, x) / weight_at(q, s, r, x);
  const double e = q->line[r].e / q->weight_low[r], over = *value - max - e, under = min - *value - e;
  return over > 0.0 ? over / row->unit : under > 0.0 ? -under / row->unit : 0.0;
}

static bool is_counted(const programme *q, const pack_search *s, int r) {
  return s->counts[r] && q->line[r].known;
}

/* No sum of squares in the box is larger: a row along one slot rises or falls all the way, so each is worst at a corner. */
static double most_misses(const programme *q, const pack_search *s) {
  double most = 0.0;
  for (int r = 0; r < s->pack->rows; r++) {
    double worst = 0.0;
    for (int corner = 0; is_counted(q, s, r) && corner < 1 << q->slots; corner++) {
      double x[SY_PACK_SLOTS], value;
      for (int k = 0; k < q->slots; k++) x[k] = (corner >> k & 1) != 0 ? q->lp.hi[k] : 0.0;
      worst = fmax(worst, fabs(off_at(q, s, r, x, &value)));
    }
    most += worst * worst;
  }
  return most;
}

/* Adds a linear function that is nowhere in the box above l / weight: the chord from its least to its greatest, since l over the weight is at
** least l / largest weight where l > 0 and l / least weight where not. Near where l is 0 the weight hardly counts. */
static void add_chord(const programme *q, int r, const linear *l, linear *sum) {
  double low = l->at, high = l->at;
  for (int k = 0; k < q->slots; k++) {
    low += fmin(0.0, l->by[k] * q->lp.hi[k]);
    high += fmax(0.0, l->by[k] * q->lp.hi[k]);
  }
  const double at_low = low / (low > 0.0 ? q->weight_high[r] : q->weight_low[r]),
               at_high = high / (high > 0.0 ? q->weight_high[r] : q->weight_low[r]);
  const double rate = high > low ? (at_high - at_low) / (high - low) : 0.0;
  sum->at += at_low + rate * (l->at - low);
  for (int k = 0; k < q->slots; k++) sum->by[k] += rate * l->by[k];
}

/* The sum of squares at x, and a linear function below it everywhere in the box: squares of misses are convex in the rows, so they lie above
** their tangent there, and a row less its value at x is linear over the weight. */
static double tangent(const programme *q, const pack_search *s, const double *x, linear *below) {
  double sum = 0.0;
  memset(below, 0, sizeof *below);
  for (int r = 0; r < s->pack->rows; r++) {
    double value;
    if (!is_counted(q, s, r)) continue;
    const double off = off_at(q, s, r, x, &value), by = 2.0 * off / s->pack->row[r].unit;
    if (off == 0.0) continue;
    linear l = beyond(q, s, r, value);
    l.at *= by;
    for (int k = 0; k < q->slots; k++) l.by[k] *= by;
    sum += off * off;
    add_chord(q, r, &l, below);
  }
  below->at += sum;
  return sum;
}

/* False: nothing in the box holds, or misses by no more than `enough` (INFINITY: any will do). Tangents, each where the last programme
** ended. */
static bool least_miss(programme *q, const pack_search *s, double enough, double *x) {
  const int z = q->slots;
  double bound = 0.0;
  q->lp.lo[z] = 0.0;
  q->lp.hi[z] = 1.0 + most_misses(q, s);
  q->lp.c[z] = 1.0;
  if (!pack_lp_solve(&q->lp, &bound, x)) return false;
  for (int round = 0; round < TANGENTS && q->lp.rows < PACK_LP_ROWS; round++) {
    linear below;
    const double sum = tangent(q, s, x, &below), left = fmin(enough, sum) - bound;
    if (sum <= bound + CLOSE * left) break;
    double *const a = q->lp.a[q->lp.rows];
    for (int k = 0; k < z; k++) a[k] = below.by[k];
    a[z] = -1.0;
    q->lp.b[q->lp.rows++] = -below.at + 1e-12 * (1.0 + sum);
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

/* Of the rows that anything is asked of. */
static double most_left(const programme *q, const pack_search *s) {
  double most = 0.0;
  for (int r = 0; r < s->pack->rows; r++) {
    if (!((s->hold[r] && s->can_fail[r]) || s->counts[r])) continue;
    if (!q->line[r].known) return (double)INFINITY;
    most = fmax(most, q->line[r].e / (q->weight_low[r] * s->pack->row[r].unit));
  }
  return most;
}

bool pack_bound(const pack_search *s, const pack_box *box, const pack_line *line, double x[SY_PACK_SLOTS],
                double *left) {
  const bool squares = s->goal == PACK_MISS || s->most_miss < (double)INFINITY;
  programme q;
  double y[PACK_LP_VARS] = {0};
  lay_out(s, box, line, squares, &q);
  if (squares) {
    const double best = s->goal == PACK_MISS && s->any ? s->score - pack_fine(s) : (double)INFINITY;
    if (!least_miss(&q, s, fmin(best, s->most_miss), y)) return false;
  }
  if (s->goal != PACK_MISS && !least_mass(&q, s, y)) return false;
  for (int k = 0; k < s->pack->slots; k++) x[k] = q.low[k] + y[k];
  *left = most_left(&q, s);
  return true;
}
