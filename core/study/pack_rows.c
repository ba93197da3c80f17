#include <float.h>
#include <math.h>
#include <string.h>

#include "numeric/linsolve.h"
#include "study/pack_parts.h"

/* A row counts as linear when it differs from its line by less than this part of a unit, or by rounding of its own. */
#define SAME     1e-7
#define ROUNDING 1e-13

/* Of a unit: what lies on the edge of a target's window by design, half a step off, may be outside it by rounding. */
#define EDGE 1e-9

/* Weights are learned so far from the middle, as a part of the way to the ends. */
#define INNER 0.5

/* A weight that is learned is 1 in the middle; one that comes nearer to 0 somewhere makes nothing linear that can be had here. */
#define LEAST_WEIGHT 0.02

/* ---- slots ------------------------------------------------------------------------------------------------------------------------ */

double pack_mass(const pack_search *s, int slot, unsigned steps) {
  /* tenths and thousandths as written: 126 x 0.1 is not 12.6 in binary, 126 / 10 is */
  const double per = round(1.0 / s->step[slot]);
  return fabs(per * s->step[slot] - 1.0) <= 4 * DBL_EPSILON ? steps / per : steps * s->step[slot];
}

static double step_of(const sy_pack_slot *slot) { return slot->step > 0.0 ? slot->step : SY_PACK_GRAIN; }

static unsigned greatest_common(unsigned a, unsigned b) {
  while (b != 0) {
    const unsigned rest = a % b;
    a = b, b = rest;
  }
  return a;
}

/* The mass that all steps are multiples of, where they are whole milligrams. */
static double common_step(const pack_search *s) {
  unsigned all = 0;
  for (int k = 0; k < s->pack->slots; k++) {
    const double mg = s->step[k] * 1e6, whole = round(mg);
    if (!(whole < 4e9) || fabs(mg - whole) > 1e-6) return 0.0;
    all = greatest_common(all, (unsigned)whole);
  }
  return all * 1e-6;
}

/* ---- rows --------------------------------------------------------------------------------------------------------------------------- */

void pack_window(const sy_pack_row *row, double *min, double *max) {
  const bool target = !isnan(row->target);
  const double off = row->unit * (1.0 + EDGE);
  *min = target ? row->target - off : row->min;
  *max = target ? row->target + off : row->max;
}

double pack_off(const sy_pack_row *row, double value) {
  if (isnan(value)) return (double)INFINITY;
  if (!isnan(row->target)) return (value - row->target) / row->unit;
  return value > row->max   ? (value - row->max) / row->unit
         : value < row->min ? (value - row->min) / row->unit
                            : 0.0;
}

bool pack_holds(const sy_pack_row *row, double value) {
  const double off = fabs(pack_off(row, value));
  return isnan(row->target) ? off == 0.0 : off <= 1.0 + EDGE;
}

static bool values(pack_search *s, const double *mass, const bool *wanted, double *value) {
  s->tried++;
  if (s->pack->values(s->pack->user, mass, wanted, value) == SY_OK) return true;
  for (int r = 0; r < s->pack->rows; r++)
    if (wanted[r]) value[r] = (double)NAN;
  return false;
}

bool pack_values_at(pack_search *s, const unsigned *steps, const bool *wanted, double *value) {
  double mass[SY_PACK_SLOTS];
  for (int k = 0; k < s->pack->slots; k++) mass[k] = pack_mass(s, k, steps[k]);
  return values(s, mass, wanted, value);
}

double pack_weight_at(const pack_search *s, int row, const double *mass) {
  const pack_weight *w = &s->weight[row];
  double weight = w->at;
  for (int k = 0; k < s->pack->slots; k++) weight += w->by[k] * mass[k];
  return weight;
}

/* ---- points of a box ------------------------------------------------------------------------------------------------------------- */

enum { MOST_POINTS = (1 << SY_PACK_SLOTS) + 2 * SY_PACK_SLOTS + 1 };

/* Up to two slots all combinations of least, middle and most; else the corners, the middle and the middles of the faces. at[k]: -1, 0 or 1,
** how far from the middle. One and a half times the spread of these covers every quadratic in three slots: what its squares come to with both
** signs stays within that, and products of two slots show at the corners. */
static int place_points(int slots, signed char at[][SY_PACK_SLOTS]) {
  int n = 0;
  if (slots <= 2) {
    const int all = slots == 1 ? 3 : 9;
    for (int i = 0; i < all; i++, n++)
      for (int k = 0, rest = i; k < slots; k++, rest /= 3) at[n][k] = (signed char)(rest % 3 - 1);
    return n;
  }
  for (int i = 0; i < 1 << slots; i++, n++)
    for (int k = 0; k < slots; k++) at[n][k] = (i >> k & 1) != 0 ? 1 : -1;
  for (int i = 0; i <= 2 * slots; i++, n++)
    for (int k = 0; k < slots; k++) at[n][k] = (signed char)(i == 2 * k ? -1 : i == 2 * k + 1 ? 1 : 0);
  return n;
}

typedef struct points {
  int n;
  signed char at[MOST_POINTS][SY_PACK_SLOTS];
  double mass[MOST_POINTS][SY_PACK_SLOTS], value[MOST_POINTS][SY_PACK_ROWS];
  double middle[SY_PACK_SLOTS], half[SY_PACK_SLOTS];
} points;

/* reach: 1 to the ends of the box. */
static void take_points(pack_search *s, const pack_box *box, double reach, const bool *wanted, points *p) {
  const int slots = s->pack->slots;
  p->n = place_points(slots, p->at);
  for (int k = 0; k < slots; k++) {
    const double low = pack_mass(s, k, box->first[k]), high = pack_mass(s, k, box->last[k]);
    p->middle[k] = 0.5 * (low + high);
    p->half[k] = 0.5 * reach * (high - low);
  }
  for (int i = 0; i < p->n; i++) {
    for (int k = 0; k < slots; k++) p->mass[i][k] = p->middle[k] + p->at[i][k] * p->half[k];
    values(s, p->mass[i], wanted, p->value[i]);
  }
}

/* The line through them by least squares over their symmetric lattice, moved to the middle of what it leaves. spread: that, end to end. */
static void fit(const pack_search *s, const points *p, int r, pack_line *line, double *spread) {
  const int slots = s->pack->slots;
  double sum[SY_PACK_SLOTS] = {0}, squares[SY_PACK_SLOTS] = {0};
  double left_low = (double)INFINITY, left_high = -(double)INFINITY;
  *line = (pack_line){0};
  for (int i = 0; i < p->n; i++) {
    const double v = p->value[i][r] * pack_weight_at(s, r, p->mass[i]);
    if (!isfinite(v)) return;
    for (int k = 0; k < slots; k++) sum[k] += p->at[i][k] * v, squares[k] += p->at[i][k] * p->at[i][k];
  }
  for (int k = 0; k < slots; k++) line->by[k] = p->half[k] > 0.0 ? sum[k] / squares[k] / p->half[k] : 0.0;
  for (int i = 0; i < p->n; i++) {
    double left = p->value[i][r] * pack_weight_at(s, r, p->mass[i]);
    for (int k = 0; k < slots; k++) left -= line->by[k] * p->mass[i][k];
    left_low = fmin(left_low, left), left_high = fmax(left_high, left);
  }
  line->known = true;
  line->at = 0.5 * (left_low + left_high);
  *spread = left_high - left_low;
}

/* What rounding may leave of a row that is linear. */
static double fuzz(const pack_search *s, const points *p, int r) {
  double size = 0.0;
  for (int i = 0; i < p->n; i++) size = fmax(size, fabs(p->value[i][r]) * pack_weight_at(s, r, p->mass[i]));
  return SAME * s->pack->row[r].unit * pack_weight_at(s, r, p->middle) + ROUNDING * size;
}

void pack_measure(pack_search *s, const pack_box *box, pack_line *line) {
  bool wanted[SY_PACK_ROWS] = {false}, any = false;
  for (int r = 0; r < s->pack->rows; r++) {
    line[r] = s->line[r];
    wanted[r] = !s->linear[r] && ((s->hold[r] && s->can_fail[r]) || s->counts[r]);
    any = any || wanted[r];
  }
  if (!any) return;
  points p;
  take_points(s, box, 1.0, wanted, &p);
  for (int r = 0; r < s->pack->rows; r++) {
    if (!wanted[r]) continue;
    double spread = 0.0;
    fit(s, &p, r, &line[r], &spread);
    if (line[r].known) line[r].e = 1.5 * spread + fuzz(s, &p, r);
  }
}

/* ---- the whole box ------------------------------------------------------------------------------------------------------------------ */

/* What a row is a share of is not always the mass: a track over a height is one of a moment. Where row x (1 + d . u), u being -1 to 1 across the
** points, is linear for some d, then row x 1 = n + n . u - row x d . u: n and d by least squares. False: no such weight, or one that is not
** above 0 in the whole box. What is learned so must be tried at other points: as many numbers as there are points along one slot always fit. */
static bool learn_weight(const pack_search *s, const points *inner, int r, pack_weight *weight) {
  enum { COLS = 2 * SY_PACK_SLOTS + 1 };
  const int slots = s->pack->slots, cols = 2 * slots + 1;
  double a[MOST_POINTS * COLS], b[MOST_POINTS], x[COLS], diagonal[COLS], scale[COLS], mean = 0.0, least = 1.0;
  size_t order[COLS];
  for (int i = 0; i < inner->n; i++) {
    if (!isfinite(inner->value[i][r])) return false;
    mean += inner->value[i][r] / inner->n;
  }
  for (int i = 0; i < inner->n; i++) {
    double *const row = &a[i * cols];
    b[i] =
        inner->value[i][r] - mean; /* n without mean x (1 + d . u): numbers are of the size of what changes */
    row[0] = 1.0;
    for (int k = 0; k < slots; k++)
      row[1 + k] = inner->at[i][k], row[1 + slots + k] = -b[i] * inner->at[i][k];
  }
  sy_qr qr = {(size_t)inner->n, (size_t)cols, a, diagonal, scale, order};
  if (sy_qr_factor(&qr, NULL) != SY_OK) return false;
  sy_qr_least_squares(&qr, b, x);
  weight->at = 1.0;
  for (int k = 0; k < slots; k++) {
    const double d = x[1 + slots + k];
    least -= fabs(d) / INNER;
    weight->by[k] = d / inner->half[k];
    weight->at -= weight->by[k] * inner->middle[k];
  }
  return least > LEAST_WEIGHT;
}

/* All ways of looking at a row: times what it is said to be a share of, as it is, times what it shows to be a share of. The first that is
** linear is taken, else the one that leaves least. */
static void try_linear(pack_search *s, const points *p, const points *inner, int r) {
  const sy_pack_row *row = &s->pack->row[r];
  double least = (double)INFINITY;
  pack_weight best = {.at = 1.0};
  s->linear[r] = false;
  s->line[r] = (pack_line){0};
  for (int way = 0; way < 3; way++) {
    pack_weight *const w = &s->weight[r];
    pack_line line;
    double spread = 0.0;
    *w = (pack_weight){.at = way == 0 ? row->whole : 1.0};
    for (int k = 0; k < s->pack->slots; k++) w->by[k] = way == 0 ? 1.0 : 0.0;
    if ((way == 0 && !(row->whole > 0.0)) || (way == 2 && !(inner != NULL && learn_weight(s, inner, r, w))))
      continue;
    fit(s, p, r, &line, &spread);
    if (!line.known) continue;
    line.e = fuzz(s, p, r);
    s->linear[r] = spread <= line.e;
    const double leaves = spread / pack_weight_at(s, r, p->middle);
    if (!s->linear[r]) line.e += 1.5 * spread;
    if (s->linear[r] || leaves < least) s->line[r] = line, least = leaves, best = *w;
    if (s->linear[r]) break;
  }
  s->weight[r] = best;
}

/* Could the row lie outside its window somewhere in the whole box? */
static bool can_fail(const pack_search *s, int r) {
  const pack_line *line = &s->line[r];
  double min, max;
  if (!line->known) return true;
  pack_window(&s->pack->row[r], &min, &max);
  for (int side = 0; side < 2; side++) {
    const double bound = side == 0 ? max : min, sign = side == 0 ? 1.0 : -1.0;
    if (isinf(bound)) continue;
    double most = sign * (line->at - bound * s->weight[r].at) + line->e;
    for (int k = 0; k < s->pack->slots; k++) {
      const double by = sign * (line->by[k] - bound * s->weight[r].by[k]);
      most += by * pack_mass(s, k, by > 0.0 ? s->whole.last[k] : s->whole.first[k]);
    }
    if (most > 0.0) return true;
  }
  return false;
}

/* Rows that are linear as they are need no more points. */
static void begin_rows(pack_search *s) {
  bool wanted[SY_PACK_ROWS] = {false}, fixed = false, any = false;
  points p, inner;
  for (int r = 0; r < s->pack->rows; r++) wanted[r] = true;
  take_points(s, &s->whole, 1.0, wanted, &p);
  for (int r = 0; r < s->pack->rows; r++) {
    try_linear(s, &p, NULL, r);
    wanted[r] = !s->linear[r];
    any = any || wanted[r];
  }
  for (int k = 0; k < s->pack->slots; k++) fixed = fixed || s->whole.first[k] == s->whole.last[k];
  if (any && !fixed) take_points(s, &s->whole, INNER, wanted, &inner);
  for (int r = 0; r < s->pack->rows; r++) {
    if (any && !fixed && wanted[r]) try_linear(s, &p, &inner, r);
    s->can_fail[r] = can_fail(s, r);
  }
}

sy_status pack_begin(const sy_pack *pack, const sy_alloc *alloc, pack_search *s, sy_error *err) {
  memset(s, 0, sizeof *s);
  s->pack = pack, s->alloc = alloc;
  for (int k = 0; k < pack->slots; k++) {
    const sy_pack_slot *slot = &pack->slot[k];
    s->step[k] = step_of(slot);
    /* a thousandth of a step: 0.3 / 0.1 is not 3 */
    const double first = ceil(slot->min / s->step[k] - 1e-3), last = floor(slot->max / s->step[k] + 1e-3);
    if (first > last)
      return sy_fail(err, SY_CLASH, "slots", "step",
                     "no whole number of steps of %g kg lies between %g and %g kg", s->step[k], slot->min,
                     slot->max);
    if (last > 2147483647.0)
      return sy_fail(err, SY_RANGE, "slots", "step", "%g kg in steps of %g kg are too many", slot->max,
                     s->step[k]);
    s->whole.first[k] = (unsigned)first;
    s->whole.last[k] = (unsigned)last;
  }
  s->quantum = common_step(s);
  begin_rows(s);
  return SY_OK;
}
