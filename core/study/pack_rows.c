#include "study/pack_parts.h"

#include <float.h>
#include <math.h>
#include <string.h>

/* A row counts as linear when it differs from its line by less than this part of a unit, or by rounding of its own. */
#define SAME     1e-7
#define ROUNDING 1e-13

/* Of a unit: what lies on the edge of a target's window by design, half a step off, may be outside it by rounding. */
#define EDGE 1e-9

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

static double weight_of(const pack_search *s, int r, const double *mass) {
  if (!s->by_weight[r]) return 1.0;
  double weight = s->pack->row[r].whole;
  for (int k = 0; k < s->pack->slots; k++) weight += mass[k];
  return weight;
}

/* ---- points of a box ------------------------------------------------------------------------------------------------------------- */

enum { MOST_POINTS = (1 << SY_PACK_SLOTS) + 2 * SY_PACK_SLOTS + 1 };

/* Up to three slots all combinations of least, middle and most; else the corners, the middle and the middles of the faces. at[k]: -1, 0 or 1,
** how far from the middle. */
static int place_points(int slots, signed char at[][SY_PACK_SLOTS]) {
  int n = 0;
  if (slots <= 3) {
    const int all = slots == 1 ? 3 : slots == 2 ? 9 : 27;
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

static void take_points(pack_search *s, const pack_box *box, const bool *wanted, points *p) {
  const int slots = s->pack->slots;
  p->n = place_points(slots, p->at);
  for (int k = 0; k < slots; k++) {
    const double low = pack_mass(s, k, box->first[k]), high = pack_mass(s, k, box->last[k]);
    p->middle[k] = 0.5 * (low + high);
    p->half[k] = 0.5 * (high - low);
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
    const double v = p->value[i][r] * weight_of(s, r, p->mass[i]);
    if (!isfinite(v)) return;
    for (int k = 0; k < slots; k++) sum[k] += p->at[i][k] * v, squares[k] += p->at[i][k] * p->at[i][k];
  }
  for (int k = 0; k < slots; k++) line->by[k] = p->half[k] > 0.0 ? sum[k] / squares[k] / p->half[k] : 0.0;
  for (int i = 0; i < p->n; i++) {
    double left = p->value[i][r] * weight_of(s, r, p->mass[i]);
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
  for (int i = 0; i < p->n; i++) size = fmax(size, fabs(p->value[i][r]) * weight_of(s, r, p->mass[i]));
  return SAME * s->pack->row[r].unit * weight_of(s, r, p->middle) + ROUNDING * size;
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
  take_points(s, box, wanted, &p);
  for (int r = 0; r < s->pack->rows; r++) {
    if (!wanted[r]) continue;
    double spread = 0.0;
    fit(s, &p, r, &line[r], &spread);
    if (line[r].known) line[r].e = 1.5 * spread + fuzz(s, &p, r);
  }
}

/* ---- the whole box ------------------------------------------------------------------------------------------------------------------ */

/* Both ways of looking at a row, as it is and times the weight: the one that leaves less is taken. */
static void try_linear(pack_search *s, const points *p, int r) {
  pack_line way[2];
  double spread[2] = {0, 0};
  for (int w = 0; w < 2; w++) {
    s->by_weight[r] = w == 0 && s->pack->row[r].whole > 0.0;
    fit(s, p, r, &way[w], &spread[w]);
    if (way[w].known) {
      way[w].e = fuzz(s, p, r);
      if (spread[w] <= way[w].e) {
        s->linear[r] = true;
        s->line[r] = way[w];
        return;
      }
    }
  }
  s->by_weight[r] = s->pack->row[r].whole > 0.0;
  s->linear[r] = false;
  s->line[r] = way[0];
  s->line[r].e = 1.5 * spread[0] + way[0].e;
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
    double most = sign * (line->at - bound * (s->by_weight[r] ? s->pack->row[r].whole : 1.0)) + line->e;
    for (int k = 0; k < s->pack->slots; k++) {
      const double by = sign * (line->by[k] - (s->by_weight[r] ? bound : 0.0));
      most += by * pack_mass(s, k, by > 0.0 ? s->whole.last[k] : s->whole.first[k]);
    }
    if (most > 0.0) return true;
  }
  return false;
}

sy_status pack_begin(const sy_pack *pack, const sy_alloc *alloc, pack_search *s, sy_error *err) {
  bool wanted[SY_PACK_ROWS];
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
  points p;
  for (int r = 0; r < pack->rows; r++) wanted[r] = true;
  take_points(s, &s->whole, wanted, &p);
  for (int r = 0; r < pack->rows; r++) {
    try_linear(s, &p, r);
    s->can_fail[r] = can_fail(s, r);
  }
  return SY_OK;
}
