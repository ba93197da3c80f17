/* Masses in slots against brute force: every combination of steps worked out. The problems are random; what is right follows from the
** definition in pack.h alone. And rows that are answers of cars against the same cars with the masses booked as parts. */
#include <stdlib.h>
#include <string.h>

#include "answer_cars.h"
#include "answers/sets.h"
#include "ledger_tools.h"
#include "near.h"
#include "study/pack_cars.h"

/* ---- a load with slots ---------------------------------------------------------------------------------------------------------------- */

enum { ROWS = 5 };

/* Shares and means of a mass, one sum (a load) and one inertia about the joint cg, which is neither. */
typedef struct load {
  double mass, at[3][2]; /* kg; of two cars and a third number: shares before */
  double share[SY_PACK_SLOTS][2], arm[SY_PACK_SLOTS];
  double moment, inertia;
  int slots, rows; /* rows 0: all five */
} load;

static sy_status values(void *user, const double *mass, const bool *wanted, double *value) {
  load *l = user;
  double whole = l->mass, sums[2] = {l->mass * l->at[0][0], l->mass * l->at[0][1]}, moment = l->moment,
         inertia = l->inertia;
  for (int k = 0; k < l->slots; k++) {
    whole += mass[k];
    sums[0] += mass[k] * l->share[k][0];
    sums[1] += mass[k] * l->share[k][1];
    moment += mass[k] * l->arm[k];
    inertia += mass[k] * l->arm[k] * l->arm[k];
  }
  const double all[ROWS] = {sums[0] / whole, sums[1] / whole, whole, moment,
                            inertia - moment * moment / whole};
  for (int r = 0; r < (l->rows > 0 ? l->rows : ROWS); r++)
    if (wanted[r]) value[r] = all[r];
  return SY_OK;
}

/* What tips: the nearer edge over the height (a share of a moment, with a bend where the sides are equal), half a track over the height, then as
** above. */
static sy_status tips(void *user, const double *mass, const bool *wanted, double *value) {
  load *l = user, every = *l;
  bool more[SY_PACK_ROWS] = {false};
  double all[SY_PACK_ROWS];
  double across = l->mass * l->at[0][1], up = 0.3 * l->mass;
  for (int r = 2; r < ROWS; r++) more[r] = true;
  every.rows = 0;
  values(&every, mass, more, all);
  for (int k = 0; k < l->slots; k++)
    across += mass[k] * l->share[k][1], up += mass[k] * (0.5 + 0.2 * l->arm[k]);
  all[0] = fmin(across, all[2] - across) / up;
  all[1] = 0.5 * all[2] / up;
  for (int r = 0; r < (l->rows > 0 ? l->rows : ROWS); r++)
    if (wanted[r]) value[r] = all[r];
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
  const int heavier = mass > t->mass + 1e-9   ? 1
                      : mass < t->mass - 1e-9 ? -1
                                              : 0,
            further = squares > t->squares + close   ? 1
                      : squares < t->squares - close ? -1
                                                     : 0,
            order = mass_first ? (heavier != 0 ? heavier : further) : (further != 0 ? further : heavier);
  if (t->any && (order > 0 || (order == 0 && !first_before(steps, t->steps, slots)))) return;
  t->any = true, t->mass = mass, t->squares = squares;
  memcpy(t->steps, steps, (size_t)slots * sizeof *steps);
}

typedef struct brute {
  tally held, near, limits;
} brute;

static void brute_force(const sy_pack *p, brute *b) {
  unsigned at[SY_PACK_SLOTS] = {0},
           last[SY_PACK_SLOTS] = {0}; /* of slots that are not there always the last */
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
      if (isnan(p->row[r].target))
        broken += by * by;
      else {
        squares += by * by;
        holds = holds && fabs(by) <= 1.0 + 1e-9;
      }
    }
    if (holds && broken == 0.0) keep(&b->held, all, squares, at, p->slots, true);
    if (broken == 0.0) keep(&b->near, all, squares, at, p->slots, false);
    keep(&b->limits, all, broken, at, p->slots, false);
    int k = SY_PACK_SLOTS - 1;
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
    slot[k].max = slot[k].step * (double)(1 + dice_below(d, slots == 1   ? 150
                                                            : slots == 2 ? 60
                                                                         : 24)) +
                  dice_between(d, 0, 0.05);
    slot[k].min = dice_below(d, 3) == 0 ? slot[k].max * dice_between(d, 0, 0.3) : 0.0;
    if (floor(slot[k].max / slot[k].step + 1e-3) < ceil(slot[k].min / slot[k].step - 1e-3)) slot[k].min = 0.0;
  }
}

/* Targets near what some masses give, limits around. */
static void draw_rows(dice *d, const sy_pack *p, sy_pack_row *row) {
  static const bool all[SY_PACK_ROWS] = {true, true, true, true, true};
  double mass[SY_PACK_SLOTS], v[ROWS], none[SY_PACK_SLOTS] = {0}, empty[ROWS];
  for (int k = 0; k < p->slots; k++)
    mass[k] = dice_between(d, p->slot[k].min, p->slot[k].max * (dice_below(d, 4) == 0 ? 1.4 : 1.0));
  p->values(p->user, mass, all, v);
  p->values(p->user, none, all, empty);
  const int targets = 1 + (int)dice_below(d, 2);
  for (int r = 0; r < ROWS; r++) {
    const double change = fabs(v[r] - empty[r]) + 1e-6;
    row[r] =
        (sy_pack_row){.target = (double)NAN, .min = -(double)INFINITY, .max = (double)INFINITY, .unit = 1};
    row[r].whole = r == 2 || r == 3 ? 0.0 : empty[2];
    if (r < targets)
      row[r].target = v[r];
    else if (dice_below(d, 2) == 0)
      row[r].max = v[r] + change * dice_between(d, -0.2, 1);
    else if (dice_below(d, 3) == 0)
      row[r].min = v[r] - change * dice_between(d, -0.2, 1);
  }
  double unit[SY_PACK_ROWS];
  assert_int_equal(sy_pack_units(p, NULL, unit, NULL), SY_OK);
  for (int r = 0; r < ROWS; r++) row[r].unit = fmax(unit[r], 1e-9) * (dice_below(d, 3) == 0 ? 4 : 1);
}

static sy_packed same_as_brute_force(const sy_pack *p) {
  sy_packed got;
  brute b;
  assert_int_equal(sy_pack_solve(p, NULL, &got, NULL), SY_OK);
  brute_force(p, &b);
  assert_int_equal(got.possible, b.held.any);
  const tally *want = b.held.any ? &b.held : b.near.any ? &b.near : &b.limits;
  assert_int_equal(got.limits_hold, b.near.any);
  assert_near(got.added, want->mass, 1e-9);
  for (int k = 0; k < p->slots; k++) assert_int_equal(got.steps[k], want->steps[k]);
  return got;
}

static sy_pack random_pack(dice *d, sy_status (*of)(void *, const double *, const bool *, double *), load *l,
                           sy_pack_slot *slot, sy_pack_row *row) {
  const int slots = 1 + (int)dice_below(d, 3);
  draw_load(d, l, slots);
  draw_slots(d, slot, slots);
  const sy_pack p = {slot, slots, row, ROWS, of, l, NULL, NULL};
  for (int r = 0; r < ROWS; r++) row[r] = (sy_pack_row){.target = 0, .unit = 1};
  draw_rows(d, &p, row);
  return p;
}

static void solve_is_brute_force_over_all_steps(void **state) {
  (void)state;
  dice d = {15};
  int possible = 0, limited = 0;
  const int rounds = dice_rounds(800);
  for (int round = 0; round < rounds; round++) {
    load l;
    sy_pack_slot slot[SY_PACK_SLOTS];
    sy_pack_row row[ROWS];
    const sy_pack p = random_pack(&d, values, &l, slot, row);
    const sy_packed got = same_as_brute_force(&p);
    possible += got.possible;
    limited += !got.limits_hold;
  }
  /* every way out was taken often */
  assert_in_range(possible, rounds / 4, 7 * rounds / 8);
  assert_in_range(limited, rounds / 40, rounds / 2);
}

static void solve_of_what_tips_is_brute_force(void **state) {
  (void)state;
  dice d = {18};
  int possible = 0;
  const int rounds = dice_rounds(400);
  for (int round = 0; round < rounds; round++) {
    load l;
    sy_pack_slot slot[SY_PACK_SLOTS];
    sy_pack_row row[ROWS];
    const sy_pack p = random_pack(&d, tips, &l, slot, row);
    possible += same_as_brute_force(&p).possible;
  }
  assert_in_range(possible, rounds / 5, 7 * rounds / 8);
}

/* A track over a height is the whole over twice a moment: as linear as a share of the whole, once it is known of which moment, and found by
** as little. Of 10^13 combinations some hundred are worked out. */
static void solve_learns_what_a_row_is_a_share_of(void **state) {
  (void)state;
  load l = {.mass = 700,
            .at = {{0.42, 0.49}},
            .share = {{1.2, 0.5}, {0.8, 0.5}, {0.1, 0.2}},
            .arm = {-1.9, -1.2, 0.7}};
  l.slots = 3, l.rows = 2;
  const sy_pack_slot slot[] = {{0, 40, 0}, {0, 30, 0}, {0, 30, 0}};
  const double want[] = {11.3, 7.9, 4.1};
  const bool all[SY_PACK_ROWS] = {true, true};
  double v[SY_PACK_ROWS], unit[SY_PACK_ROWS];
  tips(&l, want, all, v);
  sy_pack_row row[] = {{(double)NAN, 0, 2, 1, 700}, {v[1], 0, 0, 1, 700}};
  const sy_pack p = {slot, 3, row, 2, tips, &l, NULL, NULL};
  assert_int_equal(sy_pack_units(&p, NULL, unit, NULL), SY_OK);
  row[1].unit = unit[1];
  sy_packed got;
  assert_int_equal(sy_pack_solve(&p, NULL, &got, NULL), SY_OK);
  assert_true(got.possible);
  /* the lowest slot does most: (0.3 M + m z) / (M + m) = 1 / (2 v) by hand, less what the window takes off */
  const double low = 0.5 - 0.2 * 1.9, height = 0.5 / v[1];
  assert_near(got.added, 700 * (0.3 - height) / (height - low), 0.003);
  assert_in_range(got.tried, 1, 300);
}

/* Beyond a mass the car does not stand: rows have no value there, and nothing is placed there. */
static sy_status falls_over(void *user, const double *mass, const bool *wanted, double *value) {
  const load *l = user;
  double all = 0.0;
  for (int k = 0; k < l->slots; k++) all += mass[k];
  return all > 6.0 ? SY_GEOMETRY : values(user, mass, wanted, value);
}

static void solve_where_a_car_falls_over_stays_where_it_stands(void **state) {
  (void)state;
  dice d = {16};
  int held = 0;
  const int rounds = dice_rounds(100);
  for (int round = 0; round < rounds; round++) {
    load l;
    sy_pack_slot slot[SY_PACK_SLOTS];
    sy_pack_row row[ROWS];
    sy_pack p = random_pack(&d, values, &l, slot, row);
    for (int k = 0; k < p.slots; k++) slot[k].min = 0.0;
    p.values = falls_over;
    sy_packed got;
    assert_int_equal(sy_pack_solve(&p, NULL, &got, NULL), SY_OK);
    assert_true(got.added <= 6.0);
    held += got.possible;
  }
  assert_in_range(held, rounds / 10, rounds);
}

/* ---- without steps ----------------------------------------------------------------------------------------------------------------------- */

/* One target, one slot: m = (t M - S) / (s - t) by hand, to the gram. Two targets in two slots: the same by Cramer's rule. */
static void solve_without_steps_is_the_linear_solution_to_the_gram(void **state) {
  (void)state;
  dice d = {17};
  for (int round = 0; round < dice_rounds(200); round++) {
    load l;
    draw_load(&d, &l, 2);
    l.share[0][0] = dice_between(&d, 0.9, 1.3), l.share[1][0] = dice_between(&d, -0.4, 0.2);
    l.share[0][1] = dice_between(&d, 0.6, 1.0), l.share[1][1] = dice_between(&d, 0.6, 1.0);
    const sy_pack_slot slot[] = {{0, 25, 0}, {0, 25, 0}};
    const double want[2] = {dice_between(&d, 1, 20), dice_between(&d, 1, 20)};
    double v[SY_PACK_ROWS], unit[SY_PACK_ROWS];
    const bool all[SY_PACK_ROWS] = {true, true, true, true, true};
    l.rows = 2;
    values(&l, want, all, v);
    sy_pack_row row[] = {{v[0], 0, 0, 1, l.mass}, {v[1], 0, 0, 1, l.mass}};
    const sy_pack p = {slot, 2, row, 2, values, &l, NULL, NULL};
    assert_int_equal(sy_pack_units(&p, NULL, unit, NULL), SY_OK);
    row[0].unit = unit[0], row[1].unit = unit[1];
    sy_packed got;
    assert_int_equal(sy_pack_solve(&p, NULL, &got, NULL), SY_OK);
    assert_true(got.possible);
    /* a window of two grams' effects on each share lets the masses differ by some: not by more than the window over the determinant */
    for (int k = 0; k < 2; k++) assert_near(got.mass[k], want[k], 0.05);
    assert_true(got.added <= want[0] + want[1] + 1e-3);
  }
}

static void units_are_half_of_what_a_step_changes(void **state) {
  (void)state;
  load l = {.mass = 700, .at = {{0.42, 0.49}}, .share = {{1.2, 0.5}, {-0.2, 0.6}}, .slots = 2, .rows = 2};
  const sy_pack_slot slot[] = {{0, 10, 0.5}, {0, 10, 0}};
  const sy_pack_row row[] = {{0.43, 0, 0, 1, 700}, {0.5, 0, 0, 1, 700}};
  const sy_pack p = {slot, 2, row, 2, values, &l, NULL, NULL};
  double unit[SY_PACK_ROWS];
  assert_int_equal(sy_pack_units(&p, NULL, unit, NULL), SY_OK);
  /* (S + m s) / (M + m) - S / M = m (s - S / M) / (M + m) */
  assert_near(unit[0], 0.5 * 0.5 * (1.2 - 0.42) / 700.5, 1e-15);
  assert_near(unit[1], 0.5 * 0.5 * (0.5 - 0.49) / 700.5, 1e-15);
  const sy_pack_slot grams[] = {{0, 10, 0}, {0, 10, 0}};
  const sy_pack q = {grams, 2, row, 2, values, &l, NULL, NULL};
  assert_int_equal(sy_pack_units(&q, NULL, unit, NULL), SY_OK);
  assert_near(unit[0], 0.5 * (0.78 + 0.62) * 0.001 / 700.001,
              1e-15); /* both rounded: neither may miss by that */
}

/* ---- why not, and what binds --------------------------------------------------------------------------------------------------------------- */

static const sy_pack_why *find_why(const sy_pack_why *why, int count, sy_pack_hinder kind, int at) {
  for (int i = 0; i < count; i++)
    if (why[i].kind == kind && why[i].at == at) return &why[i];
  return NULL;
}

/* front share from 0.42 of 700 kg to 0.45: the nose (1.2) takes 28 kg, the foot well (0.8) 60: m = M (t - S) / (s - t). */
static void explain_says_how_much_a_slot_would_have_to_hold(void **state) {
  (void)state;
  load l = {.mass = 700, .at = {{0.42, 0.49}}, .share = {{1.2, 0.5}, {0.8, 0.5}}, .slots = 2, .rows = 1};
  const sy_pack_slot slot[] = {{0, 12, 0.5}, {0, 10, 0.5}};
  const sy_pack_row row[] = {{0.45, 0, 0, 2e-4, 700}};
  const sy_pack p = {slot, 2, row, 1, values, &l, NULL, NULL};
  sy_packed got;
  sy_pack_why why[SY_PACK_WHYS];
  int count = 0;
  assert_int_equal(sy_pack_solve(&p, NULL, &got, NULL), SY_OK);
  assert_false(got.possible);
  assert_true(got.limits_hold);
  assert_near(got.mass[0], 12, 0);
  assert_near(got.mass[1], 10, 0);
  assert_int_equal(sy_pack_explain(&p, 2800, NULL, why, &count, NULL), SY_OK);
  /* with the other one full, whose 10 kg bring 3.5 of the 21 kg m: (21 - 3.5) / 0.75 = 23.3 and (21 - 9) / 0.35 = 34.3, the window takes
  ** 0.15 kg m off */
  const sy_pack_why *nose = find_why(why, count, SY_PACK_SLOT, 0),
                    *well = find_why(why, count, SY_PACK_SLOT, 1);
  assert_non_null(nose);
  assert_non_null(well);
  assert_near(nose->mass[0], 23.5, 1e-9);
  assert_near(nose->mass[1], 9.5, 1e-9); /* lighter, and still within 0.15 kg m */
  assert_near(well->mass[1], 34.0, 1e-9);
  assert_null(find_why(why, count, SY_PACK_TARGETS, 0));
}

static void explain_names_steps_limits_and_what_no_mass_brings(void **state) {
  (void)state;
  load l = {.mass = 700, .at = {{0.42, 0.49}}, .share = {{1.2, 0.5}}, .slots = 1, .rows = 3};
  sy_pack_slot slot[] = {{0, 12, 4}};
  sy_pack_row row[] = {{0.4267, 0, 0, 1e-5, 700},
                       {(double)NAN, -(double)INFINITY, (double)INFINITY, 1, 0},
                       {(double)NAN, 0, 900, 1, 0}};
  const sy_pack p = {slot, 1, row, 3, values, &l, NULL, NULL};
  sy_packed got;
  sy_pack_why why[SY_PACK_WHYS];
  int count = 0;
  assert_int_equal(sy_pack_solve(&p, NULL, &got, NULL), SY_OK);
  assert_false(got.possible);
  assert_int_equal(sy_pack_explain(&p, 2800, NULL, why, &count, NULL), SY_OK);
  assert_int_equal(count, 1);
  assert_int_equal(why[0].kind, SY_PACK_STEPS);
  assert_near(why[0].mass[0], 700 * 0.0067 / (1.2 - 0.4267), 0.01);
  slot[0].step = 0.1, row[0].target = 0.43, row[0].unit = 1e-4, row[2].max = 705; /* 9.1 kg are too many */
  assert_int_equal(sy_pack_solve(&p, NULL, &got, NULL), SY_OK);
  assert_false(got.possible);
  assert_near(got.mass[0], 5, 1e-12);
  assert_int_equal(sy_pack_explain(&p, 2800, NULL, why, &count, NULL), SY_OK);
  assert_int_equal(count, 1);
  assert_int_equal(why[0].kind, SY_PACK_LIMIT);
  assert_int_equal(why[0].at, 2);
  assert_near(why[0].mass[0], 9.1, 0.1);
  row[0].target = 0.40; /* the nose takes nothing off the nose */
  assert_int_equal(sy_pack_explain(&p, 2800, NULL, why, &count, NULL), SY_OK);
  assert_int_equal(count, 1);
  assert_int_equal(why[0].kind, SY_PACK_TARGETS);
  assert_near(why[0].mass[0], 0, 0);
}

static void gain_is_what_less_would_do(void **state) {
  (void)state;
  load l = {.mass = 700, .at = {{0.42, 0.49}}, .share = {{1.2, 0.5}, {0.8, 0.5}}, .slots = 2, .rows = 3};
  const sy_pack_slot slot[] = {{0, 4, 0.5}, {0, 30, 0.5}};
  const sy_pack_row row[] = {{0.43, 0, 0, 2e-4, 700},
                             {(double)NAN, -(double)INFINITY, (double)INFINITY, 1, 0},
                             {(double)NAN, 716, 900, 1, 0}};
  const sy_pack p = {slot, 2, row, 3, values, &l, NULL, NULL};
  sy_packed got;
  double gain = -1;
  assert_int_equal(sy_pack_solve(&p, NULL, &got, NULL), SY_OK);
  assert_true(got.possible);
  assert_near(got.added, 16, 1e-12); /* the least the limit allows */
  assert_int_equal(sy_pack_gain(&p, &got, 2, -1, 0, NULL, &gain, NULL), SY_OK);
  /* by hand: 7 kg m less 0.14 for the window; 4 kg x 0.77 in the nose leave 3.78 / 0.37 = 10.2: 14 or 14.5 kg in all */
  assert_near(gain, 1.75, 0.3);
  assert_int_equal(sy_pack_gain(&p, &got, -1, 0, 2800, NULL, &gain, NULL), SY_OK);
  assert_near(gain, 0, 0); /* the limit asks for 16 kg whatever the nose holds */
}

/* ---- memory and wrong numbers -------------------------------------------------------------------------------------------------------------- */

static void solve_survives_every_refused_allocation(void **state) {
  (void)state;
  dice d = {18};
  load l;
  sy_pack_slot slot[SY_PACK_SLOTS];
  sy_pack_row row[ROWS];
  const sy_pack p = random_pack(&d, values, &l, slot, row);
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_packed got, want;
  assert_int_equal(sy_pack_solve(&p, NULL, &want, NULL), SY_OK);
  for (size_t refuse = 1;; refuse++) {
    m.refuse = refuse;
    atomic_store(&m.calls, 0);
    memset(&got, 0x5a, sizeof got);
    const sy_packed before = got;
    sy_error err;
    const sy_status status = sy_pack_solve(&p, &alloc, &got, &err);
    assert_int_equal(atomic_load(&m.live), 0);
    if (status == SY_OK) break;
    assert_int_equal(status, SY_LIMIT);
    assert_memory_equal(&got, &before, sizeof got);
  }
  assert_memory_equal(got.mass, want.mass, (size_t)p.slots * sizeof *got.mass);
}

static void refused(const sy_pack *p, sy_status status, const char *part, const char *field) {
  sy_packed out;
  sy_error err;
  memset(&out, 0x5a, sizeof out);
  const sy_packed before = out;
  assert_int_equal(sy_pack_solve(p, NULL, &out, &err), status);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, field);
  assert_memory_equal(&out, &before, sizeof out);
}

static void solve_refuses_wrong_slots_and_rows(void **state) {
  (void)state;
  load l = {.mass = 700, .at = {{0.42, 0.49}}, .share = {{1.2, 0.5}}, .slots = 1, .rows = 1};
  sy_pack_slot slot[] = {{0, 12, 0.5}};
  sy_pack_row row[] = {{0.43, 0, 0, 1e-4, 700}};
  sy_pack p = {slot, 1, row, 1, values, &l, NULL, NULL};
  const double nan = (double)NAN, inf = (double)INFINITY;
  p.slots = 0, refused(&p, SY_MISSING, "slots", ""), p.slots = 9, refused(&p, SY_LIMIT, "slots", ""),
  p.slots = 1;
  p.rows = 0, refused(&p, SY_MISSING, "rows", ""), p.rows = 65, refused(&p, SY_LIMIT, "rows", ""), p.rows = 1;
  const struct {
    sy_pack_slot slot;
    sy_status status;
    const char *field;
  } slots[] = {
      {{-1, 12, 0.5}, SY_RANGE, "min"}, {{nan, 12, 0.5}, SY_RANGE, "min"},   {{0, 0, 0.5}, SY_RANGE, "max"},
      {{0, nan, 0.5}, SY_RANGE, "max"}, {{0, inf, 0.5}, SY_RANGE, "max"},    {{13, 12, 0.5}, SY_CLASH, "min"},
      {{0, 12, -1}, SY_RANGE, "step"},  {{0, 12, 0.0001}, SY_RANGE, "step"}, {{0, 12, 13}, SY_CLASH, "step"},
      {{7, 9, 5}, SY_CLASH, "step"},    {{0, 12, nan}, SY_RANGE, "step"}};
  for (size_t i = 0; i < sizeof slots / sizeof *slots; i++) {
    slot[0] = slots[i].slot;
    refused(&p, slots[i].status, "slots", slots[i].field);
  }
  slot[0] = (sy_pack_slot){0, 12, 0.5};
  const struct {
    sy_pack_row row;
    sy_status status;
    const char *field;
  } rows[] = {{{inf, 0, 0, 1, 0}, SY_RANGE, "target"}, {{nan, nan, 1, 1, 0}, SY_RANGE, "min"},
              {{nan, 2, 1, 1, 0}, SY_CLASH, "min"},    {{0.4, 0, 0, 0, 0}, SY_RANGE, "unit"},
              {{0.4, 0, 0, nan, 0}, SY_RANGE, "unit"}, {{0.4, 0, 0, inf, 0}, SY_RANGE, "unit"},
              {{0.4, 0, 0, 1, -1}, SY_RANGE, "whole"}, {{0.4, 0, 0, 1, nan}, SY_RANGE, "whole"}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    row[0] = rows[i].row;
    refused(&p, rows[i].status, "rows", rows[i].field);
  }
  row[0] = (sy_pack_row){0.43, 0, 0, 1e-4, 700};
  sy_pack_why why[SY_PACK_WHYS];
  sy_packed found;
  int count = 7;
  double gain = 7;
  assert_int_equal(sy_pack_explain(&p, nan, NULL, why, &count, NULL), SY_RANGE);
  assert_int_equal(count, 7);
  assert_int_equal(sy_pack_solve(&p, NULL, &found, NULL), SY_OK);
  assert_int_equal(sy_pack_gain(&p, &found, 1, -1, 0, NULL, &gain, NULL), SY_RANGE);
  assert_int_equal(sy_pack_gain(&p, &found, -1, -1, 0, NULL, &gain, NULL), SY_RANGE);
  assert_int_equal(sy_pack_gain(&p, &found, -1, 0, -5, NULL, &gain, NULL), SY_RANGE);
  found.added = nan;
  assert_int_equal(sy_pack_gain(&p, &found, 0, -1, 0, NULL, &gain, NULL), SY_RANGE);
  assert_near(gain, 7, 0);
}

/* ---- cars ----------------------------------------------------------------------------------------------------------------------------------- */

static const char *const asked_names[] = {"front_share",
                                          "left_share",
                                          "cg.x",
                                          "height",
                                          "yaw_inertia",
                                          "corners.lf",
                                          "corners.cross_share",
                                          "attitude.heights.front",
                                          "lf",
                                          "mass"};
enum { ASKED = sizeof asked_names / sizeof *asked_names };

/* The ledger with one more part. */
static sy_ledger *with_part(sy_ledger *ledger, double mass, sy_vec3 at) {
  sy_ledger *out = NULL;
  const sy_route top = route0();
  const sy_part part = point(mass, at.x, at.y, at.z);
  sy_ledger_builder *const b = sy_ledger_builder_new(NULL, ledger);
  sy_error e;
  must(sy_ledger_add_part(b, "more", NULL, &part, &e), &e);
  must(sy_ledger_append(ledger, &top, b, &out, &e), &e);
  sy_ledger_builder_free(b);
  return out;
}

/* A row is the answer about the car with parts of these masses at these places, booked as any part is; the state that the springs were set
** in stays as it was. */
static void cars_values_are_those_of_parts_in_the_ledger(void **state) {
  (void)state;
  dice d = {19};
  for (int round = 0; round < dice_rounds(60); round++) {
    const sy_vehicle v = random_vehicle(&d, FOUR_WHEELS);
    sy_ledger *const bare = random_car_ledger(&d, &v, 1);
    const double mass[2] = {dice_between(&d, 0, 20), dice_between(&d, 1, 20)};
    const sy_vec3 at[2] = {{dice_between(&d, 0, 0.6), -0.3, 0.1}, {dice_between(&d, -2.6, -2), 0.35, 0.2}};
    sy_ledger *const first = with_part(bare, mass[0], at[0]), *const both = with_part(first, mass[1], at[1]),
                     *const probe = with_part(bare, 2, at[1]);
    sy_car car, loaded;
    sy_pack_car known;
    must(sy_car_make(bare, NULL, &v, &car, NULL), NULL);
    must(sy_car_make(both, bare, &v, &loaded, NULL), NULL);
    must(sy_pack_car_make(&car, &known, NULL), NULL);
    must(sy_pack_car_at(&known, 0, at[0], SY_CARRIER_BODY, NULL), NULL);
    must(sy_pack_car_with(&known, 1, probe, 2, NULL), NULL);
    sy_pack_answer answer[ASKED];
    bool wanted[SY_PACK_ROWS] = {false};
    for (int r = 0; r < ASKED; r++) {
      answer[r] = (sy_pack_answer){.set = sy_answer_by_name(&v, asked_names[r], &answer[r].asked)};
      assert_non_null(sy_answer_by_name(&v, asked_names[r], &answer[r].asked));
      wanted[r] = true;
    }
    sy_pack_cars cars = {&known, 1, answer, ASKED, 2};
    double value[SY_PACK_ROWS], want;
    must(sy_pack_cars_check(&cars, NULL), NULL);
    must(sy_pack_cars_values(&cars, mass, wanted, value), NULL);
    for (int r = 0; r < ASKED; r++) {
      must(sy_answer_of(&loaded, asked_names[r], &want, NULL, NULL), NULL);
      assert_near(value[r], want,
                  1e-9 * (1 + fabs(want))); /* ledgers cut places to a picometre, springs are solved anew */
    }
    sy_error e;
    assert_int_equal(sy_pack_car_with(&known, 1, bare, 2, &e), SY_MISSING);
    assert_int_equal(sy_pack_car_with(&known, 1, both, 2, &e), SY_CLASH);
    assert_int_equal(sy_pack_car_with(&known, 8, probe, 2, &e), SY_RANGE);
    assert_int_equal(sy_pack_car_with(&known, 1, probe, 0, &e), SY_RANGE);
    assert_int_equal(sy_pack_car_at(&known, -1, at[0], SY_CARRIER_BODY, &e), SY_RANGE);
    assert_int_equal(sy_pack_car_at(&known, 0, at[0], SY_CARRIER_COUNT, &e), SY_RANGE);
    assert_int_equal(sy_pack_car_at(&known, 0, (sy_vec3){(double)NAN, 0, 0}, SY_CARRIER_BODY, &e), SY_RANGE);
    answer[0].car = 1;
    assert_int_equal(sy_pack_cars_check(&cars, &e), SY_UNKNOWN);
    answer[0].car = 0, answer[0].asked.row = 1000;
    assert_int_equal(sy_pack_cars_check(&cars, &e), SY_UNKNOWN);
    cars.slots = 9;
    assert_int_equal(sy_pack_cars_check(&cars, &e), SY_LIMIT);
    sy_ledger_release(probe), sy_ledger_release(both), sy_ledger_release(first), sy_ledger_release(bare);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(solve_is_brute_force_over_all_steps),
      cmocka_unit_test(solve_of_what_tips_is_brute_force),
      cmocka_unit_test(solve_learns_what_a_row_is_a_share_of),
      cmocka_unit_test(solve_where_a_car_falls_over_stays_where_it_stands),
      cmocka_unit_test(solve_without_steps_is_the_linear_solution_to_the_gram),
      cmocka_unit_test(units_are_half_of_what_a_step_changes),
      cmocka_unit_test(explain_says_how_much_a_slot_would_have_to_hold),
      cmocka_unit_test(explain_names_steps_limits_and_what_no_mass_brings),
      cmocka_unit_test(gain_is_what_less_would_do),
      cmocka_unit_test(solve_survives_every_refused_allocation),
      cmocka_unit_test(solve_refuses_wrong_slots_and_rows),
      cmocka_unit_test(cars_values_are_those_of_parts_in_the_ledger),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
