/* Answers about a car, their uncertainties and those of their changes, against differences of everything that is stated. */
#include <float.h>
#include <math.h>

#include "answer_cars.h"
#include "answers/balance_answers.h"
#include "answers/corner_answers.h"
#include "answers/sets.h"
#include "answers/stability_answers.h"
#include "answers/transfer_answers.h"

/* ---- brute force -------------------------------------------------------------------------------------------------------------------- */

/* Two cars, each with two ledgers, and the errors of all four. */
typedef struct lab {
  dice d;
  sy_ledger *drawn, *now[2];
  error_list errors;
  pieces drawn_pieces, now_pieces[2];
  sy_stated stated[2][MOST_STATED];
  sy_car car[2];
} lab;

/* A force that no wheel lifts under, to either side, braking or driving, in air or without. */
static void push_somehow(sy_car *car, dice *d) {
  car->forward = dice_between(d, -0.1, 0.2);
  car->left = dice_between(d, 0.1, 0.25) * (dice_below(d, 2) == 0 ? -1.0 : 1.0);
  car->mu = dice_between(d, 0.7, 1.2);
  car->brake_front_share = dice_between(d, 0.55, 0.7);
  for (int a = 0; a < car->vehicle.axle_count; a++) car->setting.downforce[a] = dice_between(d, 100, 600);
}

static void make_car(lab *l, int i, car_kind kind, double size) {
  dice same = {77 + (uint64_t)kind};
  const sy_vehicle v = random_vehicle(&same, kind);
  sy_error err;
  must(sy_car_make(l->now[i], l->drawn, &v, &l->car[i], &err), &err);
  push_somehow(&l->car[i], &same);
  dice stated = {5 + (uint64_t)kind};
  l->car[i].stated_count = random_stated(&stated, &l->car[i], size, l->stated[i]);
  l->car[i].stated = l->stated[i];
  for (int w = 0; w < l->car[i].map.wheel_count; w++) l->car[i].setting.pad[w] = 1e-3 * w;
  l->car[i].setting.bars = true;
}

static void open_lab(lab *l, uint64_t seed, car_kind kind, double size) {
  l->d = (dice){seed};
  l->errors.count = 0;
  dice same = {77 + (uint64_t)kind};
  const sy_vehicle v = random_vehicle(&same, kind);
  l->drawn = random_car_ledger(&l->d, &v, size);
  for (int i = 0; i < 2; i++) {
    l->now[i] = random_edits(&l->d, sy_ledger_share(l->drawn), size);
    make_car(l, i, kind, size);
  }
  /* the second car has one spring rate stated anew, and one uncertainty of another size */
  l->stated[1][0].sd *= 1.5;
  gather(l->drawn, &l->errors, &l->drawn_pieces);
  for (int i = 0; i < 2; i++) gather(l->now[i], &l->errors, &l->now_pieces[i]);
}

static void close_lab(lab *l) {
  sy_ledger_release(l->drawn);
  for (int i = 0; i < 2; i++) sy_ledger_release(l->now[i]);
}

enum { MOST_ANSWERS = 64 };

static int all_answers(const sy_answer_set *set, const sy_car *car, sy_asked *asked) {
  const int count = sy_answer_count(set, &car->vehicle);
  assert_true(count <= SY_MOST_ASKED);
  for (int i = 0; i < count; i++) asked[i] = sy_answer_nth(set, &car->vehicle, i);
  return count;
}

/* The answers of a car whose ledgers' sums are these. */
static void answers_at(const sy_answer_set *set, const sy_car *car, const sy_asked *asked, int count,
                       const sy_totals *now, const sy_totals *drawn, double *out) {
  static sy_answer_state state;
  sy_error err;
  must(set->solve(car, now, drawn, NULL, true, state.room, &err), &err);
  for (int i = 0; i < count; i++) {
    const sy_answer_row *row = &set->row[asked[i].row];
    out[i] = row->value(state.room, row->at + asked[i].index);
  }
}

/* Answers of both cars with these errors of the ledgers. */
static void answers_with(const lab *l, const sy_answer_set *set, const sy_asked *asked, int count,
                         const double *draw, double out[2][MOST_ANSWERS]) {
  sy_totals drawn, now;
  sums_with(&l->drawn_pieces, &l->errors, draw, &drawn);
  for (int i = 0; i < 2; i++) {
    sums_with(&l->now_pieces[i], &l->errors, draw, &now);
    answers_at(set, &l->car[i], asked, count, &now, &drawn, out[i]);
  }
}

/* Variances of each car's answers and of their change, and the covariances of the first car's, all by central differences of single errors. */
typedef struct brute {
  double variance[2][MOST_ANSWERS], change[MOST_ANSWERS], covariance[MOST_ANSWERS][MOST_ANSWERS];
} brute;

static void add_brute(brute *b, int count, double effect[2][MOST_ANSWERS]) {
  for (int k = 0; k < count; k++) {
    for (int i = 0; i < 2; i++) b->variance[i][k] += effect[i][k] * effect[i][k];
    const double d = effect[1][k] - effect[0][k];
    b->change[k] += d * d;
    for (int m = 0; m < count; m++) b->covariance[k][m] += effect[0][k] * effect[0][m];
  }
}

static void brute_force(const lab *l, const sy_answer_set *set, const sy_asked *asked, int count, brute *b) {
  const double part = 1e-3; /* of a standard uncertainty: what is left of third order is a millionth of it */
  double effect[2][MOST_ANSWERS], side[2][2][MOST_ANSWERS];
  memset(b, 0, sizeof *b);
  for (int j = 0; j < l->errors.count; j++) {
    double draw[MOST_ERRORS] = {0};
    for (int s = 0; s < 2; s++) {
      draw[j] = s == 0 ? part : -part;
      answers_with(l, set, asked, count, draw, side[s]);
    }
    for (int i = 0; i < 2; i++)
      for (int k = 0; k < count; k++) effect[i][k] = 0.5 * (side[0][i][k] - side[1][i][k]) / part;
    add_brute(b, count, effect);
  }
  sy_totals now, drawn;
  sums_with(&l->drawn_pieces, &l->errors, NULL, &drawn);
  for (int i = 0; i < 2; i++)
    for (size_t n = 0; n < l->car[i].stated_count; n++) {
      const sy_stated *stated = &l->car[i].stated[n], *same = NULL;
      for (size_t m = 0; m < l->car[1 - i].stated_count; m++)
        if (sy_same_stated(&l->car[i], stated, &l->car[1 - i], &l->car[1 - i].stated[m]))
          same = &l->car[1 - i].stated[m];
      if (same != NULL && i == 1) continue;
      memset(effect, 0, sizeof effect);
      for (int c = 0; c < 2; c++) {
        const sy_stated *const here = c == i ? stated : same;
        if (here == NULL) continue;
        sums_with(&l->now_pieces[c], &l->errors, NULL, &now);
        for (int s = 0; s < 2; s++) {
          sy_car stepped;
          must(sy_car_step(&l->car[c], here, (s == 0 ? part : -part) * here->sd, &stepped, NULL), NULL);
          answers_at(set, &stepped, asked, count, &now, &drawn, side[s][c]);
        }
        for (int k = 0; k < count; k++) effect[c][k] = 0.5 * (side[0][c][k] - side[1][c][k]) / part;
      }
      add_brute(b, count, effect);
    }
}

/* By how much an uncertainty may be off. */
static double allowed(const sy_answer_set *set, sy_asked asked, double value, double want, double tolerance) {
  const double rounding = set->rounding != NULL ? set->rounding(&set->row[asked.row], value) : 0;
  return tolerance * want + 2 * rounding + 1e-9 * fabs(value);
}

/* want: what differences give. Nothing else than rounding and third order is between the two: see where it is called. */
static void assert_sd(const sy_answer_set *set, const lab *l, sy_asked asked, double value, double sd,
                      double want, double tolerance) {
  if (fabs(sd - want) <= allowed(set, asked, value, want, tolerance)) return;
  char name[SY_ANSWER_NAME];
  sy_answer_name(set, &l->car[0].vehicle, asked, name);
  fail_msg("%s.%s = %.9g: sd %.9g, by differences %.9g", set->name, name, value, sd, want);
}

static void check_covariance(const sy_answer_set *set, const lab *l, const sy_asked *asked, int count,
                             const brute *b, double tolerance) {
  static double covariance[MOST_ANSWERS * MOST_ANSWERS];
  double value[MOST_ANSWERS], sd[MOST_ANSWERS], off[MOST_ANSWERS];
  sy_error err;
  must(sy_answers_ask(set, &l->car[0], asked, count, value, NULL, &err), &err);
  must(sy_answers_covariance(set, &l->car[0], asked, count, covariance, &err), &err);
  for (int i = 0; i < count; i++) {
    sd[i] = sqrt(b->variance[0][i]);
    off[i] = allowed(set, asked[i], value[i], sd[i], tolerance);
  }
  for (int i = 0; i < count; i++)
    for (int j = 0; j < count; j++) {
      const double found = covariance[i * count + j];
      if (isnan(value[i]) || isnan(value[j]))
        assert_true(isnan(found));
      else
        assert_near(found, b->covariance[i][j], off[i] * sd[j] + off[j] * sd[i]);
    }
}

/* seeds      cars of each kind: one where a solution takes milliseconds, so that memory checkers get through
** tolerance  of an uncertainty, relative */
static void check_set(const sy_answer_set *set, uint64_t seeds, double tolerance) {
  static lab l;
  static brute b;
  for (int kind = 0; kind < CAR_KINDS; kind++)
    for (uint64_t seed = 1; seed <= seeds; seed++) {
      sy_asked asked[MOST_ANSWERS];
      double value[MOST_ANSWERS], sd[MOST_ANSWERS], change[MOST_ANSWERS], change_sd[MOST_ANSWERS];
      sy_error err;
      open_lab(&l, seed, (car_kind)kind, 0.25);
      const int count = all_answers(set, &l.car[0], asked);
      brute_force(&l, set, asked, count, &b);
      for (int i = 0; i < 2; i++) {
        must(sy_answers_ask(set, &l.car[i], asked, count, value, sd, &err), &err);
        for (int k = 0; k < count; k++)
          if (!isnan(value[k]))
            assert_sd(set, &l, asked[k], value[k], sd[k], sqrt(b.variance[i][k]), tolerance);
      }
      check_covariance(set, &l, asked, count, &b, tolerance);
      must(sy_answers_change(set, &l.car[0], asked, &l.car[1], asked, count, NULL, change, change_sd, &err),
           &err);
      for (int k = 0; k < count; k++)
        if (!isnan(change[k]))
          assert_sd(set, &l, asked[k], value[k], change_sd[k], sqrt(b.change[k]), tolerance);
      close_lab(&l);
    }
}

/* All in closed form: differences by a thousandth of an uncertainty leave a millionth of the third order and the rounding of sums. */
static void balance_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_balance_answers(), 6, 1e-5);
}

/* Errors of unsprung parts are taken as the body's, which is less than a ten-thousandth of any uncertainty here. */
static void corners_have_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_corner_answers(), 6, 1e-4);
}

/* The same. */
static void attitude_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_attitude_answers(), 6, 1e-4);
}

/* Errors of unsprung parts are taken as the body's, which was 0.6 % of the front share of a transfer at most among 240 cars; a limit is
** differenced a thousandth before it, which is 0.4 % of a change here. */
static void transfer_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_transfer_answers(), 1, 5e-3);
}

/* Among these cars is one on which another wheel would lift first within an uncertainty of its cross weight. */
static void stability_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_stability_answers(), 6, 1e-5);
}

/* A limit is differenced a thousandth before it, which is 0.3 % of a change here. */
static void stability_on_springs_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_compliant_answers(), 1, 4e-3);
}

/* ---- by name -------------------------------------------------------------------------------------------------------------------------- */

static void every_answer_is_found_by_its_name(void **state) {
  (void)state;
  for (int kind = 0; kind < CAR_KINDS; kind++) {
    dice d = {3};
    const sy_vehicle v = random_vehicle(&d, (car_kind)kind);
    const sy_answer_set *set;
    for (int s = 0; (set = sy_answer_set_nth(s)) != NULL; s++) {
      assert_ptr_equal(sy_answer_set_find(set->name), set);
      for (int i = 0; i < sy_answer_count(set, &v); i++) {
        const sy_asked asked = sy_answer_nth(set, &v, i);
        char name[SY_ANSWER_NAME], whole[2 * SY_ANSWER_NAME] = "";
        sy_asked found;
        sy_answer_name(set, &v, asked, name);
        if (s > 0) strcat(strcat(whole, set->name), ".");
        assert_ptr_equal(sy_answer_by_name(&v, strcat(whole, name), &found), set);
        assert_int_equal(found.row, asked.row);
        assert_int_equal(found.index, asked.index);
      }
    }
  }
}

static void answer_of_a_corner_is_that_of_its_set(void **state) {
  (void)state;
  static lab l;
  double value, sd, change, change_sd, all[MOST_ANSWERS], all_sd[MOST_ANSWERS];
  sy_asked asked[MOST_ANSWERS];
  sy_error err;
  open_lab(&l, 3, FOUR_WHEELS, 1);
  const int count = all_answers(sy_corner_answers(), &l.car[0], asked);
  must(sy_answers_ask(sy_corner_answers(), &l.car[0], asked, count, all, all_sd, &err), &err);
  must(sy_answer_of(&l.car[0], "corners.lr", &value, &sd, &err), &err);
  /* one answer and many are walked alike */
  assert_true(value == all[count - 2]);
  assert_near(sd, all_sd[count - 2], 1e-12 * sd);
  must(sy_answer_change_of(&l.car[0], &l.car[1], "front_share", NULL, &change, &change_sd, &err), &err);
  assert_true(change_sd > 0 && fabs(change) > 0);
  assert_int_equal(sy_answer_of(&l.car[0], "corners.l3", &value, &sd, &err), SY_UNKNOWN);
  assert_string_equal(err.message, "no answer about this vehicle is called corners.l3");
  assert_int_equal(sy_answer_of(&l.car[0], "corners.", &value, &sd, &err), SY_UNKNOWN);
  close_lab(&l);
}

static void answer_of_wheels_that_are_not_there_is_not_a_number(void **state) {
  (void)state;
  static lab l;
  double value, sd;
  open_lab(&l, 4, ONE_BEHIND, 1);
  must(sy_answer_of(&l.car[0], "cross_share", &value, &sd, NULL), NULL);
  assert_true(isnan(value) && isnan(sd));
  must(sy_answer_of(&l.car[0], "corners.diagonal_ratio", &value, &sd, NULL), NULL);
  assert_true(isnan(value) && isnan(sd));
  close_lab(&l);
}

/* Steiner: about an axis at a distance d from the cg it is J_zz + m d^2. Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, App. B. */
static void yaw_inertia_about_the_rear_axle_is_that_about_the_cg_and_its_distance(void **state) {
  (void)state;
  for (int kind = 0; kind < CAR_KINDS; kind++) {
    static lab l;
    double mass, x, y, zz, rear;
    open_lab(&l, 7, (car_kind)kind, 1);
    const sy_car *car = &l.car[0];
    must(sy_answer_of(car, "mass", &mass, NULL, NULL), NULL);
    must(sy_answer_of(car, "cg.x", &x, NULL, NULL), NULL);
    must(sy_answer_of(car, "cg.y", &y, NULL, NULL), NULL);
    must(sy_answer_of(car, "yaw_inertia", &zz, NULL, NULL), NULL);
    must(sy_answer_of(car, "yaw_inertia_rear", &rear, NULL, NULL), NULL);
    const double ahead = x - car->vehicle.axle[car->vehicle.axle_count - 1].x;
    assert_near(rear, zz + mass * (ahead * ahead + y * y), 1e-12 * rear); /* sums of some tens of terms */
    close_lab(&l);
  }
}

/* Two masses a distance apart along the car, at one height: m1 m2 / (m1 + m2) d^2, as a reduced mass. */
static void pitch_inertia_of_two_points_is_that_of_their_reduced_mass(void **state) {
  (void)state;
  dice d = {2};
  const sy_vehicle v = random_vehicle(&d, FOUR_WHEELS);
  const sy_part front = point(310, -0.4, 0.02, 0.3), rear = point(420, -1.9, -0.01, 0.3);
  sy_ledger_builder *b = start_ledger(NULL);
  sy_car car;
  double inertia;
  add(b, "front", &front);
  add(b, "rear", &rear);
  sy_ledger *ledger = finish(b);
  must(sy_car_make(ledger, NULL, &v, &car, NULL), NULL);
  must(sy_answer_of(&car, "pitch_inertia", &inertia, NULL, NULL), NULL);
  assert_near(inertia, 310.0 * 420.0 / 730.0 * 1.5 * 1.5, 1e-10); /* sums of squares that cancel to a tenth */
  sy_ledger_release(ledger);
}

/* A body set 20 mm lower in front, known to 1.5 mm: heights count it, pitch is its angle over the wheelbase, and what is stated of it adds to
** what else is uncertain. */
static void heights_count_what_the_body_was_raised_by(void **state) {
  (void)state;
  static const char *const names[] = {"heights.front", "heights.rear", "rake", "pitch", "roll"};
  for (int kind = 0; kind < CAR_KINDS; kind++) {
    static lab l;
    open_lab(&l, 8, (car_kind)kind, 1);
    const double length = sy_vehicle_wheelbase(&l.car[0].vehicle), turn = -0.02 / length;
    const double by[5] = {-0.02, 0, 0.02, asin(turn), 0};
    const double effect[5] = {1, 0, -1, 1 / (length * sqrt(1 - turn * turn)), 0};
    sy_car plain = l.car[0], lower = l.car[0];
    lower.raised_front = -0.02;
    const sy_stated raised = {SY_STATED_RAISED_FRONT, 0, 1.5e-3, 0};
    l.stated[0][lower.stated_count] = raised;
    lower.stated_count++;
    for (int i = 0; i < 5; i++) {
      char name[SY_ANSWER_NAME] = "attitude.";
      double value[2], sd[2];
      must(sy_answer_of(&plain, strcat(name, names[i]), &value[0], &sd[0], NULL), NULL);
      must(sy_answer_of(&lower, name, &value[1], &sd[1], NULL), NULL);
      assert_near(value[1] - value[0], by[i], 1e-15);
      assert_near(sd[1], hypot(sd[0], effect[i] * raised.sd), 1e-12);
    }
    close_lab(&l);
  }
}

/* ---- what is refused -------------------------------------------------------------------------------------------------------------------- */

static void stated_out_of_range_is_refused_by_number_and_field(void **state) {
  (void)state;
  static lab l;
  sy_error err;
  double value = 7;
  open_lab(&l, 5, FOUR_WHEELS, 1);
  const struct {
    sy_stated stated;
    sy_status status;
    const char *field;
  } cases[] = {{{SY_STATED_TYRE_RATE, 3, -1, 0}, SY_RANGE, "tyre_rate"},
               {{SY_STATED_TYRE_RATE, 3, (double)NAN, 0}, SY_RANGE, "tyre_rate"},
               {{SY_STATED_PAD, 1, (double)INFINITY, 0}, SY_RANGE, "pads"},
               {{SY_STATED_PAD, 16, 1, 0}, SY_UNKNOWN, "pads"},
               {{SY_STATED_BAR_RATE, 4, 1, 0}, SY_UNKNOWN, "bar_rate"},
               {{SY_STATED_BAR_RATE, 0, 1, 0}, SY_UNKNOWN, "bar_rate"},
               {{SY_STATED_TORSION, 1, 1, 0}, SY_UNKNOWN, "torsion"},
               {{SY_STATED_COUNT, 1, 1, 0}, SY_UNKNOWN, "field"}};
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    l.stated[0][1] = cases[i].stated;
    assert_int_equal(sy_answer_of(&l.car[0], "corners.lf", &value, NULL, &err), cases[i].status);
    assert_true(strncmp(err.part, "stated 2 of ", 12) == 0);
    assert_string_equal(err.field, cases[i].field);
    assert_true(value == 7);
  }
  close_lab(&l);
}

static void asked_beyond_a_set_is_refused(void **state) {
  (void)state;
  static lab l;
  sy_error err;
  double value[SY_MOST_ASKED + 1];
  open_lab(&l, 6, FOUR_WHEELS, 1);
  const sy_answer_set *set = sy_corner_answers();
  const sy_asked beyond[] = {{set->rows, 0, 1}, {-1, 0, 1}, {set->rows - 1, 4, 1}, {0, 1, 1}, {0, -1, 1}};
  for (size_t i = 0; i < sizeof beyond / sizeof *beyond; i++)
    assert_int_equal(sy_answers_ask(set, &l.car[0], &beyond[i], 1, value, NULL, &err), SY_UNKNOWN);
  assert_int_equal(sy_answers_ask(set, &l.car[0], beyond, SY_MOST_ASKED + 1, value, NULL, &err), SY_LIMIT);
  const sy_asked one = {0, 0, 1}, other = {0, 0, 2};
  assert_int_equal(sy_answers_change(set, &l.car[0], &one, &l.car[1], &other, 1, NULL, value, NULL, &err),
                   SY_CLASH);
  close_lab(&l);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(balance_has_the_uncertainties_of_differences),
      cmocka_unit_test(corners_have_the_uncertainties_of_differences),
      cmocka_unit_test(attitude_has_the_uncertainties_of_differences),
      cmocka_unit_test(transfer_has_the_uncertainties_of_differences),
      cmocka_unit_test(stability_has_the_uncertainties_of_differences),
      cmocka_unit_test(stability_on_springs_has_the_uncertainties_of_differences),
      cmocka_unit_test(every_answer_is_found_by_its_name),
      cmocka_unit_test(answer_of_a_corner_is_that_of_its_set),
      cmocka_unit_test(answer_of_wheels_that_are_not_there_is_not_a_number),
      cmocka_unit_test(yaw_inertia_about_the_rear_axle_is_that_about_the_cg_and_its_distance),
      cmocka_unit_test(pitch_inertia_of_two_points_is_that_of_their_reduced_mass),
      cmocka_unit_test(heights_count_what_the_body_was_raised_by),
      cmocka_unit_test(stated_out_of_range_is_refused_by_number_and_field),
      cmocka_unit_test(asked_beyond_a_set_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
