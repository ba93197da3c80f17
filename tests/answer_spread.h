/* answer_spread.h - how far answers spread when everything that is stated is drawn at random: a simulation beside the first-order uncertainties.
**
** Each draw takes every error of both cars' ledgers, rates and settings from a normal distribution, adds up the sums anew with those errors,
** products and all, and solves both cars: nothing is linear here, and errors that the cars share are drawn once.
** Source   propagation of distributions: JCGM 101:2008, 7. The standard uncertainty of a simulated one is about 1 / sqrt(2 draws) of it.
*/
#ifndef SY_TESTS_ANSWER_SPREAD_H
#define SY_TESTS_ANSWER_SPREAD_H

#include <stdio.h>

#include "answer_cars.h"
#include "answers/sets.h"

enum { SPREAD_SETS = 3, SPREAD_MOST = 64, FIRST_CAR = 0, SECOND_CAR = 1, CHANGE = 2 };
static const char *const spread_set[SPREAD_SETS] = {"balance", "corners", "attitude"};

/* Two cars of one family, each with its drawn state, and the errors of all ledgers. */
typedef struct spread_pair {
  sy_ledger *drawn, *now[2];
  error_list errors;
  pieces drawn_pieces, now_pieces[2];
  sy_stated stated[2][MOST_STATED];
  sy_car car[2];
} spread_pair;

/* size  of all uncertainties, times those of a first guess */
static inline void open_pair(spread_pair *p, uint64_t seed, double size) {
  dice d = {seed};
  const car_kind kind = (car_kind)dice_below(&d, CAR_KINDS);
  const sy_vehicle v = random_vehicle(&d, kind);
  sy_error err;
  p->errors.count = 0;
  p->drawn = random_car_ledger(&d, &v, size);
  gather(p->drawn, &p->errors, &p->drawn_pieces);
  const uint64_t of_stated = dice_bits(&d);
  for (int i = 0; i < 2; i++) {
    dice same = {of_stated};
    p->now[i] = random_edits(&d, sy_ledger_share(p->drawn), size);
    gather(p->now[i], &p->errors, &p->now_pieces[i]);
    must(sy_car_make(p->now[i], p->drawn, &v, &p->car[i], &err), &err);
    p->car[i].stated_count = random_stated(&same, &p->car[i], size, p->stated[i]);
    p->car[i].stated = p->stated[i];
    p->car[i].setting.bars = true;
  }
  p->stated[1][0].sd *= 1.3; /* one spring rate was measured anew */
}

static inline void close_pair(spread_pair *p) {
  sy_ledger_release(p->drawn);
  for (int i = 0; i < 2; i++) sy_ledger_release(p->now[i]);
}

/* Two normal numbers (Box and Muller 1958). */
static inline void normal_pair(dice *d, double out[2]) {
  const double r = sqrt(-2.0 * log(1.0 - dice_between(d, 0, 1))), a = dice_between(d, 0, 2.0 * SY_PI);
  out[0] = r * cos(a);
  out[1] = r * sin(a);
}

static inline void draw_normals(dice *d, double *out, int count) {
  for (int i = 0; i < count; i += 2) {
    double two[2];
    normal_pair(d, two);
    out[i] = two[0];
    if (i + 1 < count) out[i + 1] = two[1];
  }
}

/* Car i with its stated numbers stepped by what was drawn; numbers that both state alike were drawn once. */
static inline bool draw_stated(const spread_pair *p, int i, double drawn[2][MOST_STATED], sy_car *out) {
  *out = p->car[i];
  for (size_t k = 0; k < p->car[i].stated_count; k++) {
    const sy_stated *s = &p->stated[i][k];
    double x = drawn[i][k];
    for (size_t m = 0; i == 1 && m < p->car[0].stated_count; m++)
      if (sy_same_stated(&p->car[0], &p->stated[0][m], &p->car[1], s)) x = drawn[0][m];
    const sy_car before = *out;
    if (sy_car_step(&before, s, x * s->sd, out, NULL) != SY_OK) return false;
  }
  return true;
}

typedef struct spread_sums {
  double first[SPREAD_SETS][3][SPREAD_MOST],
      square[SPREAD_SETS][3][SPREAD_MOST]; /* from the values without errors */
  int draws;
} spread_sums;

static inline int spread_count(const sy_answer_set *set, const sy_car *car, sy_asked *asked) {
  const int count = sy_answer_count(set, &car->vehicle);
  for (int i = 0; i < count; i++) asked[i] = sy_answer_nth(set, &car->vehicle, i);
  return count;
}

/* All answers of both cars with these errors; false when one does not stand. */
static inline bool answers_drawn(const spread_pair *p, const double *draw, const sy_car car[2],
                                 double out[SPREAD_SETS][2][SPREAD_MOST]) {
  static sy_answer_state state;
  sy_totals drawn, now;
  sums_with(&p->drawn_pieces, &p->errors, draw, &drawn);
  for (int i = 0; i < 2; i++) {
    sums_with(&p->now_pieces[i], &p->errors, draw, &now);
    for (int s = 0; s < SPREAD_SETS; s++) {
      const sy_answer_set *set = sy_answer_set_find(spread_set[s]);
      sy_asked asked[SPREAD_MOST];
      const int count = spread_count(set, &p->car[i], asked);
      if (set->solve(&car[i], &now, &drawn, NULL, true, state.room, NULL) != SY_OK) return false;
      for (int k = 0; k < count; k++) {
        const sy_answer_row *row = &set->row[asked[k].row];
        out[s][i][k] = row->value(state.room, row->at + asked[k].index);
      }
    }
  }
  return true;
}

/* False when a car does not stand in a draw. */
static inline bool simulate(const spread_pair *p, uint64_t seed, int draws, spread_sums *out) {
  static double middle[SPREAD_SETS][2][SPREAD_MOST], value[SPREAD_SETS][2][SPREAD_MOST];
  dice d = {seed};
  memset(out, 0, sizeof *out);
  out->draws = draws;
  if (!answers_drawn(p, NULL, p->car, middle)) return false;
  for (int n = 0; n < draws; n++) {
    double draw[MOST_ERRORS], stated[2][MOST_STATED];
    sy_car car[2];
    draw_normals(&d, draw, p->errors.count);
    for (int i = 0; i < 2; i++) draw_normals(&d, stated[i], MOST_STATED);
    for (int i = 0; i < 2; i++)
      if (!draw_stated(p, i, stated, &car[i])) return false;
    if (!answers_drawn(p, draw, car, value)) return false;
    for (int s = 0; s < SPREAD_SETS; s++)
      for (int k = 0; k < SPREAD_MOST; k++) {
        const double a = value[s][0][k] - middle[s][0][k], b = value[s][1][k] - middle[s][1][k];
        const double off[3] = {a, b, b - a};
        for (int i = 0; i < 3; i++) {
          out->first[s][i][k] += off[i];
          out->square[s][i][k] += off[i] * off[i];
        }
      }
  }
  return true;
}

static inline double simulated_sd(const spread_sums *sums, int s, int i, int k) {
  const double n = sums->draws, mean = sums->first[s][i][k] / n;
  return sqrt((sums->square[s][i][k] - n * mean * mean) / (n - 1.0));
}

/* The worst departure of simulated from first-order standard uncertainties, relative, over all answers and the two cars and their change;
** what it is of goes into `name`. Answers without meaning, and those that nothing makes uncertain, are left out. */
static inline double worst_departure(const spread_pair *p, const spread_sums *sums, char name[96],
                                     int *counted) {
  double worst = 0;
  for (int s = 0; s < SPREAD_SETS; s++) {
    const sy_answer_set *set = sy_answer_set_find(spread_set[s]);
    sy_asked asked[SPREAD_MOST];
    double value[2][SPREAD_MOST], change[SPREAD_MOST], sd[3][SPREAD_MOST];
    const int count = spread_count(set, &p->car[0], asked);
    sy_error err;
    for (int i = 0; i < 2; i++)
      must(sy_answers_ask(set, &p->car[i], asked, count, value[i], sd[i], &err), &err);
    must(sy_answers_change(set, &p->car[0], asked, &p->car[1], asked, count, NULL, change, sd[CHANGE], &err),
         &err);
    for (int i = 0; i < 3; i++)
      for (int k = 0; k < count; k++) {
        const double found = simulated_sd(sums, s, i, k);
        const double rounding =
            1e-9 * fabs(value[0][k]); /* of sums of some tens of terms: what is set is exact */
        if (isnan(value[0][k]) || (found <= rounding && sd[i][k] <= rounding)) continue;
        if (sd[i][k] == 0.0 && found <= 2e-7 * fabs(value[0][k]) + 2e-9)
          continue; /* the set's own rounding */
        const double off = fabs(found / sd[i][k] - 1.0);
        ++*counted;
        if (off <= worst) continue;
        char answer[SY_ANSWER_NAME];
        worst = off;
        sy_answer_name(set, &p->car[0].vehicle, asked[k], answer);
        snprintf(name, 96, "%s %s %s", set->name, answer,
                 i == CHANGE ? "change"
                 : i == 0    ? "first car"
                             : "second car");
      }
  }
  return worst;
}

#endif
