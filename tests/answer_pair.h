/* answer_pair.h - two random cars of one family, with all their errors, and their answers under any set of those errors: what brute-force
** differences and simulations of answers are made with. The sums are those of answer_cars.h, apart from the library's.
*/
#ifndef SY_TESTS_ANSWER_PAIR_H
#define SY_TESTS_ANSWER_PAIR_H

#include "answer_cars.h"
#include "answers/sets.h"

enum { MOST_ANSWERS = SY_MOST_ASKED };

/* One vehicle in two states with one drawn state, and the errors of all three ledgers. */
typedef struct answer_pair {
  sy_ledger *drawn, *now[2];
  error_list errors;
  pieces drawn_pieces, now_pieces[2];
  sy_stated stated[2][MOST_STATED];
  sy_car car[2];
} answer_pair;

/* A force that no wheel lifts under, to either side, braking or driving, and air that presses. */
static inline void push_somehow(sy_car *car, dice *d) {
  car->forward = dice_between(d, -0.1, 0.2);
  car->left = dice_between(d, 0.1, 0.25) * (dice_below(d, 2) == 0 ? -1.0 : 1.0);
  car->mu = dice_between(d, 0.7, 1.2);
  car->brake_front_share = dice_between(d, 0.55, 0.7);
  car->drive_front_share = 0.9 - car->brake_front_share;
  for (int a = 0; a < car->vehicle.axle_count; a++) car->setting.downforce[a] = dice_between(d, 100, 600);
}

/* size  of all uncertainties, times those of a first guess */
static inline void open_pair(answer_pair *p, uint64_t seed, car_kind kind, double size) {
  dice d = {seed};
  const sy_vehicle v = random_vehicle(&d, kind);
  sy_error err;
  p->errors.count = 0;
  p->drawn = random_car_ledger(&d, &v, size);
  gather(p->drawn, &p->errors, &p->drawn_pieces);
  const uint64_t of_both = dice_bits(&d); /* pushed alike, and with the same stated numbers */
  for (int i = 0; i < 2; i++) {
    dice same = {of_both};
    sy_car *const car = &p->car[i];
    p->now[i] = random_edits(&d, sy_ledger_share(p->drawn), size);
    gather(p->now[i], &p->errors, &p->now_pieces[i]);
    must(sy_car_make(p->now[i], p->drawn, &v, car, &err), &err);
    push_somehow(car, &same);
    car->stated_count = random_stated(&same, car, size, p->stated[i]);
    car->stated = p->stated[i];
    for (int w = 0; w < car->map.wheel_count; w++) car->setting.pad[w] = 1e-3 * w;
    car->setting.bars = true;
  }
  p->stated[1][0].sd *= 1.3; /* one spring rate was measured anew */
}

static inline void close_pair(answer_pair *p) {
  sy_ledger_release(p->drawn);
  for (int i = 0; i < 2; i++) sy_ledger_release(p->now[i]);
}

static inline int all_answers(const sy_answer_set *set, const sy_car *car, sy_asked *asked) {
  const int count = sy_answer_count(set, &car->vehicle);
  assert_true(count <= MOST_ANSWERS);
  for (int i = 0; i < count; i++) asked[i] = sy_answer_nth(set, &car->vehicle, i);
  return count;
}

static inline double answer_in(const sy_answer_set *set, sy_asked asked, const void *state) {
  const sy_answer_row *row = &set->row[asked.row];
  return row->value(state, row->at + asked.index);
}

#endif
