/* answer_spread.h - how far answers spread when everything that is stated is drawn at random: a simulation beside the first-order uncertainties.
**
** Each draw takes every error of both cars' ledgers, rates and settings from a normal distribution, adds up the sums anew with those errors,
** products and all, and solves both cars: nothing is linear here, and errors that the cars share are drawn once.
** Source   propagation of distributions: JCGM 101:2008, 7. The standard uncertainty of a simulated one is about 1 / sqrt(2 draws) of it.
*/
#ifndef SY_TESTS_ANSWER_SPREAD_H
#define SY_TESTS_ANSWER_SPREAD_H

#include <stdio.h>

#include "answer_kinks.h"
#include "answer_pair.h"

enum { SPREAD_SETS = 5, FIRST_CAR = 0, SECOND_CAR = 1, CHANGE = 2 };

/* Sets that are simulated with one set of draws. Looking for a limit is dear, so it can be left out: then a solve begins from the car without
** errors, and rows that are limits on springs (sy_answer_row.near) are not looked at. */
typedef struct spread_sets {
  const char *name[SPREAD_SETS];
  int count;
  bool limits, rest; /* which rows */
} spread_sets;

static inline bool looked_at(const spread_sets *sets, const sy_answer_row *row) {
  return row->near != NULL ? sets->limits : sets->rest;
}

/* Where a set begins from a car that is solved: it looks for no limit then. */
static inline const void *begin_from(const spread_sets *sets, const sy_answer_set *set,
                                     const sy_answer_state *plain) {
  for (int r = 0; r < set->rows && !sets->limits; r++)
    if (set->row[r].near != NULL) return plain->room;
  return NULL;
}

/* All answers of both cars, and of those that are the least of several, which. */
typedef struct spread_answers {
  double value[SPREAD_SETS][2][MOST_ANSWERS];
  int least[SPREAD_SETS][2][MOST_ANSWERS];
} spread_answers;

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
static inline bool draw_stated(const answer_pair *p, int i, double drawn[2][MOST_STATED], sy_car *out) {
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
  double first[SPREAD_SETS][3][MOST_ANSWERS],
      square[SPREAD_SETS][3][MOST_ANSWERS];  /* from the values without errors */
  bool kinked[SPREAD_SETS][3][MOST_ANSWERS]; /* in some draw another was the least */
  int draws;
} spread_sums;

/* Answers of both cars with these errors; false when one car does not stand. draw NULL: none, which fills `plain` with solved cars. */
static inline bool answers_drawn(const answer_pair *p, const spread_sets *sets, const double *draw,
                                 const sy_car car[2], spread_answers *out) {
  static sy_answer_state plain[SPREAD_SETS][2], other;
  sy_totals drawn, now;
  sums_with(&p->drawn_pieces, &p->errors, draw, false, &drawn);
  for (int i = 0; i < 2; i++) {
    sums_with(&p->now_pieces[i], &p->errors, draw, false, &now);
    for (int s = 0; s < sets->count; s++) {
      const sy_answer_set *set = sy_answer_set_find(sets->name[s]);
      sy_answer_state *const state = draw == NULL ? &plain[s][i] : &other;
      const void *base = draw == NULL ? NULL : begin_from(sets, set, &plain[s][i]);
      sy_asked asked[MOST_ANSWERS];
      const int count = all_answers(set, &p->car[i], asked);
      if (set->solve(&car[i], &now, &drawn, base, true, state->room, NULL) != SY_OK) return false;
      for (int k = 0; k < count; k++) {
        out->value[s][i][k] = answer_in(set, asked[k], state->room);
        out->least[s][i][k] = least_of(set, &set->row[asked[k].row], &car[i], &now, state->room);
      }
    }
  }
  return true;
}

static inline void add_draw(const spread_answers *plain, const spread_answers *drawn, int s, int k,
                            spread_sums *out) {
  double off[3];
  bool kinked[3];
  for (int i = 0; i < 2; i++) {
    off[i] = drawn->value[s][i][k] - plain->value[s][i][k];
    kinked[i] = drawn->least[s][i][k] != plain->least[s][i][k];
  }
  off[CHANGE] = off[1] - off[0];
  kinked[CHANGE] = kinked[0] || kinked[1];
  for (int i = 0; i < 3; i++) {
    out->first[s][i][k] += off[i];
    out->square[s][i][k] += off[i] * off[i];
    out->kinked[s][i][k] = out->kinked[s][i][k] || kinked[i];
  }
}

/* False when a car does not stand in a draw. */
static inline bool simulate(const answer_pair *p, const spread_sets *sets, uint64_t seed, int draws,
                            spread_sums *out) {
  static spread_answers plain, drawn;
  dice d = {seed};
  memset(out, 0, sizeof *out);
  out->draws = draws;
  if (!answers_drawn(p, sets, NULL, p->car, &plain)) return false;
  for (int n = 0; n < draws; n++) {
    double draw[MOST_ERRORS], stated[2][MOST_STATED];
    sy_car car[2];
    draw_normals(&d, draw, p->errors.count);
    for (int i = 0; i < 2; i++) draw_normals(&d, stated[i], MOST_STATED);
    for (int i = 0; i < 2; i++)
      if (!draw_stated(p, i, stated, &car[i])) return false;
    if (!answers_drawn(p, sets, draw, car, &drawn)) return false;
    for (int s = 0; s < sets->count; s++)
      for (int k = 0; k < MOST_ANSWERS; k++) add_draw(&plain, &drawn, s, k, out);
  }
  return true;
}

static inline double simulated_sd(const spread_sums *sums, int s, int i, int k) {
  const double n = sums->draws, mean = sums->first[s][i][k] / n;
  return sqrt((sums->square[s][i][k] - n * mean * mean) / (n - 1.0));
}

/* By how much a simulated uncertainty departs from the stated one, relative; NaN where there is nothing to compare: answers without
** meaning, and those that nothing makes uncertain. A value that lost its meaning in a draw departs without end. */
static inline double departure(double value, double stated, double found) {
  const double rounding = 1e-9 * fabs(value); /* of sums of some tens of terms: what is set is exact */
  if (isnan(value) || (found <= rounding && stated <= rounding)) return (double)NAN;
  if (stated == 0.0 && found <= 2e-7 * fabs(value) + 2e-9) return (double)NAN; /* the set's own rounding */
  const double off = fabs(found / stated - 1.0);
  return isnan(off) ? (double)INFINITY : off;
}

/* What a comparison found. */
typedef struct spread_worst {
  double off;    /* the worst departure, relative, */
  char name[96]; /* and what it is of */
  int compared, kinked;
} spread_worst;

static inline void compare_answer(const answer_pair *p, const sy_answer_set *set, sy_asked asked, int of,
                                  double off, spread_worst *w) {
  static const char *const car[3] = {"first car", "second car", "change"};
  char answer[SY_ANSWER_NAME];
  w->compared++;
  if (off <= w->off) return;
  w->off = off;
  sy_answer_name(set, &p->car[0].vehicle, asked, answer);
  snprintf(w->name, sizeof w->name, "%s %s %s", set->name, answer, car[of]);
}

/* All answers, of the two cars and of their change.
** kinks   those with a kink among the draws too; else they are counted */
static inline spread_worst compare_spread(const answer_pair *p, const spread_sets *sets,
                                          const spread_sums *sums, bool kinks) {
  spread_worst w = {0, "", 0, 0};
  for (int s = 0; s < sets->count; s++) {
    const sy_answer_set *set = sy_answer_set_find(sets->name[s]);
    sy_asked asked[MOST_ANSWERS];
    double value[2][MOST_ANSWERS], change[MOST_ANSWERS], sd[3][MOST_ANSWERS];
    const int count = all_answers(set, &p->car[0], asked);
    sy_error err;
    for (int i = 0; i < 2; i++)
      must(sy_answers_ask(set, &p->car[i], asked, count, value[i], sd[i], &err), &err);
    must(sy_answers_change(set, &p->car[0], asked, &p->car[1], asked, count, NULL, change, sd[CHANGE], NULL,
                           &err),
         &err);
    for (int i = 0; i < 3; i++)
      for (int k = 0; k < count; k++) {
        const double off = departure(value[0][k], sd[i][k], simulated_sd(sums, s, i, k));
        if (!looked_at(sets, &set->row[asked[k].row]) || isnan(off)) continue;
        if (sums->kinked[s][i][k] && !kinks)
          w.kinked++;
        else
          compare_answer(p, set, asked[k], i, off, &w);
      }
  }
  return w;
}

#endif
