/* Masses in slots against brute force: every combination of steps worked out. The problems are random; what is right follows from the
** definition in pack.h alone. */
#include "study/pack.h"

#include <stdlib.h>
#include <string.h>

#include "ledger_tools.h"
#include "near.h"

/* ---- a load with slots ---------------------------------------------------------------------------------------------------------------- */

enum { ROWS = 5 };

/* Shares and means of a mass, one sum (a load) and one inertia about the joint cg, which is neither. */
typedef struct load {
  double mass, at[3][2]; /* kg; of two cars and a third number: shares before */
  double share[SY_PACK_SLOTS][2], arm[SY_PACK_SLOTS];
  double moment, inertia;
  int slots;
  long calls;
} load;

static sy_status values(void *user, const double *mass, const bool *wanted, double *value) {
  load *l = user;
  double whole = l->mass, sums[2] = {l->mass * l->at[0][0], l->mass * l->at[0][1]}, moment = l->moment, inertia = l->inertia;
  for (int k = 0; k < l->slots; k++) {
    whole += mass[k];
    sums[0] += mass[k] * l->share[k][0];
    sums[1] += mass[k] * l->share[k][1];
    moment += mass[k] * l->arm[k];
    inertia += mass[k] * l->arm[k] * l->arm[k];
  }
  l->calls++;
  if (wanted[0]) value[0] = sums[0] / whole;
  if (wanted[1]) value[1] = sums[1] / whole;
  if (wanted[2]) value[2] = whole;
  if (wanted[3]) value[3] = moment;
  if (wanted[4]) value[4] = inertia - moment * moment / whole;
  return SY_OK;
}

static void draw_load(dice *d, load *l, int slots) {
  memset(l, 0, sizeof *l);
  l->slots = slots;
  l->mass = dice_between(d, 300, 1200);
  l->at[0][0] = dice_between(d, 0.38, 0.55);
  l->at[0][1] = dice_between(d, 0.46, 0.54);
  l->moment = l->mass * dice_between(d, -0.3, 0.3);
  l->inertia = l->mass * dice_between(d, 0.6, 1.2);
  for (int k = 0; k < slots; k++) {
    l->share[k][0] = dice_between(d, -0.4, 1.3);
    l->share[k][1] = dice_between(d, -0.1, 1.1);
    l->arm[k] = dice_between(d, -2.0, 2.0);
    if (k > 0 && dice_below(d, 4) == 0) { /* two slots side by side: ties */
      l->share[k][0] = l->share[k - 1][0];
      if (dice_below(d, 2) == 0) l->share[k][1] = l->share[k - 1][1];
    }
  }
}

/* ---- brute force -------------------------------------------------------------------------------------------------------------------------- */

typedef struct tally {
  bool any;
  double mass, squares;
  unsigned steps[SY_PACK_SLOTS];
} tally;

static double off(const sy_pack_row *row, double v) {
  if (!isnan(row->target)) return (v - row->target) / row->unit;
  return v > row->max ? (v - row->max) / row->unit : v < row->min ? (v - row->min) / row->unit : 0.0;
}

static bool first_before(const unsigned *a, const unsigned *b, int slots) {
  for (int k = 0; k < slots; k++)
    if (a[k] != b[k]) return a[k] > b[k];
  return false;
}

/* mass_first: as among what holds; else among what does not */
static void keep(tally *t, double mass, double squares, const unsigned *steps, int slots, bool mass_first) {
  const double close = 1e-5 * (2.0 * sqrt(t->squares) + 1e-5); /* pack.h */
  const int heavier = mass > t->mass + 1e-9 ? 1 : mass < t->mass - 1e-9 ? -1 : 0,
            further = squares > t->squares + close ? 1 : squares < t->squares - close ? -1 : 0,
            order = mass_first ? (heavier != 0 ? heavier : further) : (further != 0 ? further : heavier);
  if (t->any && (order > 0 || (order == 0 && !first_before(steps, t->steps, slots)))) return;
  t->any = true, t->mass = mass, t->squares = squares;
  memcpy(t->steps, steps, (size_t)slots * sizeof *steps);
}

typedef struct brute {
  tally held, near, limits;
} brute;

static void brute_force(const sy_pack *p, brute *b) {
  unsigned at[SY_PACK_SLOTS] = {0}, last[SY_PACK_SLOTS];
  const bool wanted[SY_PACK_ROWS] = {true, true, true, true, true};
  memset(b, 0, sizeof *b);
  for (int k = 0; k < p->slots; k++) {
    at[k] = (unsigned)ceil(p->slot[k].min / p->slot[k].step - 1e-6);
    last[k] = (unsigned)floor(p->slot[k].max / p->slot[k].step + 1e-6);
  }
  unsigned first[SY_PACK_SLOTS];
  memcpy(first, at, sizeof first);
  for (;;) {
    double mass[SY_PACK_SLOTS], v[SY_PACK_ROWS], all = 0.0, squares = 0.0, broken = 0.0;
    bool holds = true;
    for (int k = 0; k < p->slots; k++) mass[k] = at[k] * p->slot[k].step, all += mass[k];
    p->values(p->user, mass, wanted, v);
    for (int r = 0; r < p->rows; r++) {
      const double by = off(&p->row[r], v[r]);
      if (isnan(p->row[r].target)) broken += by * by;
      else {
        squares += by * by;
        holds = holds && fabs(by) <= 1.0 + 1e-9;
      }
    }
    if (holds && broken == 0.0) keep(&b->held, all, squares, at, p->slots, true);
    if (broken == 0.0) keep(&b->near, all, squares, at, p->slots, false);
    keep(&b->limits, all, broken, at, p->slots, false);
    int k = p->slots - 1;
    while (k >= 0 && at[k] == last[k]) at[k] = first[k], k--;
    if (k < 0) return;
    at[k]++;
  }
}

/* ---- random problems ----------------------------------------------------------------------------------------------------------------------- */

static void draw_slots(dice *d, sy_pack_slot *slot, int slots) {
  static const double step[] = {0.5, 0.25, 1.0, 0.1, 0.45, 2.0};
  for (int k = 0; k < slots; k++) {
    slot[k].step = step[dice_below(d, slots == 1 ? 6 : 3)];
    slot[k].max = slot[k].step * (double)(1 + dice_below(d, slots == 1 ? 150 : slots == 2 ? 60 : 24)) + dice_between(d, 0, 0.05);
    slot[k].min = dice_below(d, 3) == 0 ? slot[k].max * dice_between(d, 0, 0.3) : 0.0;
    if (floor(slot[k].max / slot[k].step + 1e-3) < ceil(slot[k].min / slot[k].step - 1e-3)) slot[k].min = 0.0;
  }
}

/* Targets near what some masses give, limits around. */
static void draw_rows(dice *d, const sy_pack *p, sy_pack_row *row) {
  static const bool all[SY_PACK_ROWS] = {true, true, true, true, true};
  double mass[SY_PACK_SLOTS], v[ROWS], none[SY_PACK_SLOTS] = {0}, empty[ROWS];
  for (int k = 0; k < p->slots; k++) mass[k] = dice_between(d, p->slot[k].min, p->slot[k].max * (dice_below(d, 4) == 0 ? 1.4 : 1.0));
  p->values(p->user, mass, all, v);
  p->values(p->user, none, all, empty);
  const int targets = 1 + (int)dice_below(d, 2);
  for (int r = 0; r < ROWS; r++) {
    const double change = fabs(v[r] - empty[r]) + 1e-6;
    row[r] = (sy_pack_row){.target = (double)NAN, .min = -(double)INFINITY, .max = (double)INFINITY, .unit = 1};
    row[r].whole = r == 2 || r == 3 ? 0.0 : empty[2];
    if (r < targets) row[r].target = v[r];
    else if (dice_below(d, 2) == 0) row[r].max = v[r] + change * dice_between(d, -0.2, 1);
    else if (dice_below(d, 3) == 0) row[r].min = v[r] - change * dice_between(d, -0.2, 1);
  }
  double unit[SY_PACK_ROWS];
  assert_int_equal(sy_pack_units(p, NULL, unit, NULL), SY_OK);
  for (int r = 0; r < ROWS; r++) row[r].unit = fmax(unit[r], 1e-9) * (dice_below(d, 3) == 0 ? 4 : 1);
}

static long most_boxes, all_boxes;

static void same_as_brute_force(const sy_pack *p) {
  sy_packed got;
  brute b;
  assert_int_equal(sy_pack_solve(p, NULL, &got, NULL), SY_OK);
  brute_force(p, &b);
  all_boxes += (long)got.boxes;
  if ((long)got.boxes > most_boxes) most_boxes = (long)got.boxes;
  assert_int_equal(got.possible, b.held.any);
  const tally *want = b.held.any ? &b.held : b.near.any ? &b.near : &b.limits;
  assert_int_equal(got.limits_hold, b.near.any);
  assert_near(got.added, want->mass, 1e-9);
  for (int k = 0; k < p->slots; k++) assert_int_equal(got.steps[k], want->steps[k]);
}

static void solve_is_brute_force_over_all_steps(void **state) {
  (void)state;
  dice d = {15};
  int possible = 0;
  for (int round = 0; round < 600; round++) {
    load l;
    sy_pack_slot slot[SY_PACK_SLOTS];
    sy_pack_row row[ROWS];
    const int slots = 1 + (int)dice_below(&d, 3);
    draw_load(&d, &l, slots);
    draw_slots(&d, slot, slots);
    sy_pack p = {slot, slots, row, ROWS, values, &l};
    for (int r = 0; r < ROWS; r++) row[r] = (sy_pack_row){.target = 0, .unit = 1};
    draw_rows(&d, &p, row);
    same_as_brute_force(&p);
    sy_packed got;
    sy_pack_solve(&p, NULL, &got, NULL);
    possible += got.possible;
  }
  print_message("possible %d of 600, boxes %ld, most %ld\n", possible, all_boxes, most_boxes);
  assert_in_range(possible, 100, 500);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(solve_is_brute_force_over_all_steps),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
