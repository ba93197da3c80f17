/* Answers about a car, their uncertainties and those of their changes, against differences of everything that is stated. */
#include <float.h>
#include <math.h>
#include <string.h>

#include "answer_pair.h"
#include "answers/balance_answers.h"
#include "answers/corner_answers.h"
#include "answers/stability_answers.h"
#include "answers/transfer_answers.h"

/* ---- brute force -------------------------------------------------------------------------------------------------------------------- */

/* The answers of a car whose ledgers' sums are these. */
static void answers_at(const sy_answer_set *set, const sy_car *car, const sy_asked *asked, int count,
                       const sy_totals *now, const sy_totals *drawn, double *out) {
  static sy_answer_state state;
  sy_error err;
  must(set->solve(car, now, drawn, NULL, true, state.room, &err), &err);
  for (int i = 0; i < count; i++) out[i] = answer_in(set, asked[i], state.room);
}

/* Answers of both cars with these errors of the ledgers. */
static void answers_with(const answer_pair *p, const sy_answer_set *set, const sy_asked *asked, int count,
                         const double *draw, bool as_body, double out[2][MOST_ANSWERS]) {
  sy_totals drawn, now;
  sums_with(&p->drawn_pieces, &p->errors, draw, as_body, &drawn);
  for (int i = 0; i < 2; i++) {
    sums_with(&p->now_pieces[i], &p->errors, draw, as_body, &now);
    answers_at(set, &p->car[i], asked, count, &now, &drawn, out[i]);
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

static void brute_force(const answer_pair *p, const sy_answer_set *set, const sy_asked *asked, int count,
                        bool as_body, brute *b) {
  const double part = 1e-3; /* of a standard uncertainty: what is left of third order is a millionth of it */
  double effect[2][MOST_ANSWERS], side[2][2][MOST_ANSWERS];
  memset(b, 0, sizeof *b);
  for (int j = 0; j < p->errors.count; j++) {
    double draw[MOST_ERRORS] = {0};
    for (int s = 0; s < 2; s++) {
      draw[j] = s == 0 ? part : -part;
      answers_with(p, set, asked, count, draw, as_body, side[s]);
    }
    for (int i = 0; i < 2; i++)
      for (int k = 0; k < count; k++) effect[i][k] = 0.5 * (side[0][i][k] - side[1][i][k]) / part;
    add_brute(b, count, effect);
  }
  sy_totals now, drawn;
  sums_with(&p->drawn_pieces, &p->errors, NULL, false, &drawn);
  for (int i = 0; i < 2; i++)
    for (size_t n = 0; n < p->car[i].stated_count; n++) {
      const sy_stated *stated = &p->car[i].stated[n], *same = NULL;
      for (size_t m = 0; m < p->car[1 - i].stated_count; m++)
        if (sy_same_stated(&p->car[i], stated, &p->car[1 - i], &p->car[1 - i].stated[m]))
          same = &p->car[1 - i].stated[m];
      if (same != NULL && i == 1) continue;
      memset(effect, 0, sizeof effect);
      for (int c = 0; c < 2; c++) {
        const sy_stated *const here = c == i ? stated : same;
        if (here == NULL) continue;
        sums_with(&p->now_pieces[c], &p->errors, NULL, false, &now);
        for (int s = 0; s < 2; s++) {
          sy_car stepped;
          must(sy_car_step(&p->car[c], here, (s == 0 ? part : -part) * here->sd, &stepped, NULL), NULL);
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
static void assert_sd(const sy_answer_set *set, const answer_pair *p, sy_asked asked, double value, double sd,
                      double want, double tolerance) {
  if (fabs(sd - want) <= allowed(set, asked, value, want, tolerance)) return;
  char name[SY_ANSWER_NAME];
  sy_answer_name(set, &p->car[0].vehicle, asked, name);
  fail_msg("%s.%s = %.9g: sd %.9g, by differences %.9g", set->name, name, value, sd, want);
}

static void check_covariance(const sy_answer_set *set, const answer_pair *p, const sy_asked *asked, int count,
                             const brute *b, double tolerance) {
  static double covariance[MOST_ANSWERS * MOST_ANSWERS];
  double value[MOST_ANSWERS], sd[MOST_ANSWERS], off[MOST_ANSWERS];
  sy_error err;
  must(sy_answers_ask(set, &p->car[0], asked, count, value, NULL, &err), &err);
  must(sy_answers_covariance(set, &p->car[0], asked, count, covariance, &err), &err);
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

/* Of two sets as of one: the halves of a list, asked as if they were of two. The balance with them on top: asked the other way round. */
static void check_between(const sy_answer_set *set, const answer_pair *p, const sy_asked *asked, int count) {
  static double whole[MOST_ANSWERS * MOST_ANSWERS], part[MOST_ANSWERS * MOST_ANSWERS],
      turned[MOST_ANSWERS * MOST_ANSWERS];
  const sy_car *car = &p->car[0];
  const int half = count / 2;
  const sy_question first = {set, asked, half}, second = {set, asked + half, count - half};
  const sy_asked balance[] = {{0, 0, 1.0}, {1, 0, -2.5}};
  const sy_question other = {sy_balance_answers(), balance, 2};
  sy_error err;
  if (set->found != NULL) {
    assert_int_equal(sy_answers_between(car, first, second, part, &err), SY_UNKNOWN);
    return;
  }
  must(sy_answers_covariance(set, car, asked, count, whole, &err), &err);
  must(sy_answers_between(car, first, second, part, &err), &err);
  for (int i = 0; i < half; i++)
    for (int j = half; j < count; j++) {
      const double want = whole[i * count + j], got = part[i * (count - half) + j - half];
      const double size = sqrt(whole[i * count + i] * whole[j * count + j]);
      if (isnan(want))
        assert_true(isnan(got));
      else
        assert_near(got, want, 1e-12 * size);
    }
  must(sy_answers_between(car, first, other, part, &err), &err);
  must(sy_answers_between(car, other, first, turned, &err), &err);
  for (int i = 0; i < half; i++)
    for (int j = 0; j < 2; j++)
      if (!isnan(part[2 * i + j]))
        assert_near(part[2 * i + j], turned[j * half + i], 1e-12 * fabs(part[2 * i + j]) + 1e-15);
}

/* The pair without rates, and so without their uncertainties. */
static void forget_rates(answer_pair *p) {
  for (int i = 0; i < 2; i++) {
    sy_car *const car = &p->car[i];
    size_t n = 0;
    for (int w = 0; w < SY_MAX_WHEELS; w++) car->vehicle.wheel[w].spring_rate = (double)NAN;
    for (size_t k = 0; k < car->stated_count; k++)
      if (p->stated[i][k].field != SY_STATED_SPRING_RATE) p->stated[i][n++] = p->stated[i][k];
    car->stated_count = n;
  }
}

static void check_pair(const sy_answer_set *set, const answer_pair *p, bool as_body, double tolerance) {
  static brute b;
  sy_asked asked[MOST_ANSWERS];
  double value[MOST_ANSWERS], sd[MOST_ANSWERS], change[MOST_ANSWERS], change_sd[MOST_ANSWERS];
  sy_error err;
  const int count = all_answers(set, &p->car[0], asked);
  brute_force(p, set, asked, count, as_body, &b);
  for (int i = 0; i < 2; i++) {
    must(sy_answers_ask(set, &p->car[i], asked, count, value, sd, &err), &err);
    for (int k = 0; k < count; k++)
      if (!isnan(value[k])) assert_sd(set, p, asked[k], value[k], sd[k], sqrt(b.variance[i][k]), tolerance);
  }
  check_covariance(set, p, asked, count, &b, tolerance);
  check_between(set, p, asked, count);
  double again[MOST_ANSWERS];
  must(sy_answers_change(set, &p->car[0], asked, &p->car[1], asked, count, NULL, change, change_sd, again,
                         &err),
       &err);
  for (int k = 0; k < count; k++) /* the answers about the second car, to the bit */
    assert_true(again[k] == value[k] || (isnan(again[k]) && isnan(value[k])));
  for (int k = 0; k < count; k++)
    if (!isnan(change[k])) assert_sd(set, p, asked[k], value[k], change_sd[k], sqrt(b.change[k]), tolerance);
}

/* kinds      the first of these: cars on four wheels alone where a solution takes milliseconds, so that memory checkers get through; the
**            simulations of `make nightly` draw all
** cars       pairs of each kind
** as_body    see sums_with
** tolerance  of an uncertainty, relative */
static void check_set(const sy_answer_set *set, int kinds, uint64_t cars, bool as_body, double tolerance) {
  static answer_pair p;
  for (int kind = 0; kind < kinds; kind++)
    for (uint64_t seed = 1; seed <= cars; seed++) {
      open_pair(&p, seed, (car_kind)kind, 0.25);
      check_pair(set, &p, as_body, tolerance);
      close_pair(&p);
    }
}

/* All in closed form: differences by a thousandth of an uncertainty leave a millionth of the third order and the rounding of sums. */
static void balance_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_balance_answers(), CAR_KINDS, 6, false, 1e-5);
}

/* Errors of unsprung parts are taken as the body's, which is 2e-4 of any uncertainty here at most. */
static void corners_have_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_corner_answers(), CAR_KINDS, 6, false, 2e-4);
}

/* The same. */
static void attitude_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_attitude_answers(), CAR_KINDS, 6, false, 2e-4);
}

/* A limit is differenced a thousandth before it, which is 0.3 % of a change at most. */
static void transfer_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_transfer_answers(), 1, 1, true, 4e-3);
}

/* Without rates what is known rests on sums alone; all else has neither a value nor an uncertainty. */
static void transfer_without_rates_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  static answer_pair p;
  for (int kind = 0; kind < CAR_KINDS; kind++)
    for (uint64_t seed = 1; seed <= 6; seed++) {
      open_pair(&p, seed, (car_kind)kind, 0.25);
      forget_rates(&p);
      check_pair(sy_transfer_answers(), &p, false, 1e-5);
      sy_asked asked[MOST_ANSWERS];
      double value[MOST_ANSWERS], sd[MOST_ANSWERS];
      sy_error err;
      const int count = all_answers(sy_transfer_answers(), &p.car[0], asked);
      must(sy_answers_ask(sy_transfer_answers(), &p.car[0], asked, count, value, sd, &err), &err);
      int known = 0;
      for (int k = 0; k < count; k++) {
        assert_int_equal(isnan(value[k]), isnan(sd[k]));
        known += !isnan(value[k]);
      }
      /* pitch gain with two axles, what goes across and wheel lift-off; with three wheels their loads and gains and the front share */
      assert_int_equal(known, kind == SIX_WHEELS ? 2 : kind == FOUR_WHEELS ? 3 : 3 + 6 + 1);
      close_pair(&p);
    }
}

/* Among these cars is one on which another wheel would lift first within an uncertainty of its cross weight. */
static void stability_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_stability_answers(), CAR_KINDS, 6, false, 1e-5);
}

/* A limit is differenced a thousandth before it, which is 0.3 % of a change here. */
static void stability_on_springs_has_the_uncertainties_of_differences(void **state) {
  (void)state;
  check_set(sy_compliant_answers(), 1, 1, true, 5e-3);
}

/* It matters to the front share of a transfer, 2 % of its uncertainty here at most: an error of an axle's own weight goes past the springs. */
static void errors_of_unsprung_parts_may_be_taken_as_the_bodys(void **state) {
  (void)state;
  check_set(sy_transfer_answers(), 1, 1, false, 2.5e-2);
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
  static answer_pair p;
  double value, sd, change, change_sd, all[MOST_ANSWERS], all_sd[MOST_ANSWERS];
  sy_asked asked[MOST_ANSWERS];
  sy_error err;
  open_pair(&p, 3, FOUR_WHEELS, 1);
  const int count = all_answers(sy_corner_answers(), &p.car[0], asked);
  must(sy_answers_ask(sy_corner_answers(), &p.car[0], asked, count, all, all_sd, &err), &err);
  must(sy_answer_of(&p.car[0], "corners.lr", &value, &sd, &err), &err);
  /* one answer and many are walked alike */
  assert_true(value == all[count - 2]);
  assert_near(sd, all_sd[count - 2], 1e-12 * sd);
  must(sy_answer_change_of(&p.car[0], &p.car[1], "front_share", NULL, &change, &change_sd, &err), &err);
  assert_true(change_sd > 0 && fabs(change) > 0);
  assert_int_equal(sy_answer_of(&p.car[0], "corners.l3", &value, &sd, &err), SY_UNKNOWN);
  assert_string_equal(err.message, "no answer about this vehicle is called corners.l3");
  assert_int_equal(sy_answer_of(&p.car[0], "corners.", &value, &sd, &err), SY_UNKNOWN);
  close_pair(&p);
}

static void answer_of_wheels_that_are_not_there_is_not_a_number(void **state) {
  (void)state;
  static answer_pair p;
  double value, sd;
  open_pair(&p, 4, ONE_BEHIND, 1);
  must(sy_answer_of(&p.car[0], "cross_share", &value, &sd, NULL), NULL);
  assert_true(isnan(value) && isnan(sd));
  must(sy_answer_of(&p.car[0], "corners.diagonal_ratio", &value, &sd, NULL), NULL);
  assert_true(isnan(value) && isnan(sd));
  close_pair(&p);
}

/* Steiner: about an axis at a distance d from the cg it is J_zz + m d^2. Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, App. B. */
static void yaw_inertia_about_the_rear_axle_is_that_about_the_cg_and_its_distance(void **state) {
  (void)state;
  for (int kind = 0; kind < CAR_KINDS; kind++) {
    static answer_pair p;
    double mass, x, y, zz, rear;
    open_pair(&p, 7, (car_kind)kind, 1);
    const sy_car *car = &p.car[0];
    must(sy_answer_of(car, "mass", &mass, NULL, NULL), NULL);
    must(sy_answer_of(car, "cg.x", &x, NULL, NULL), NULL);
    must(sy_answer_of(car, "cg.y", &y, NULL, NULL), NULL);
    must(sy_answer_of(car, "yaw_inertia", &zz, NULL, NULL), NULL);
    must(sy_answer_of(car, "yaw_inertia_rear", &rear, NULL, NULL), NULL);
    const double ahead = x - car->vehicle.axle[car->vehicle.axle_count - 1].x;
    assert_near(rear, zz + mass * (ahead * ahead + y * y), 1e-12 * rear); /* sums of some tens of terms */
    close_pair(&p);
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
    static answer_pair p;
    open_pair(&p, 8, (car_kind)kind, 1);
    size_t n = 0; /* of a wheelbase that is uncertain the angle would be, too */
    for (size_t k = 0; k < p.car[0].stated_count; k++)
      if (!sy_stated_place(&p.stated[0][k])) p.stated[0][n++] = p.stated[0][k];
    p.car[0].stated_count = n;
    const double length = sy_vehicle_wheelbase(&p.car[0].vehicle), turn = -0.02 / length;
    const double by[5] = {-0.02, 0, 0.02, asin(turn), 0};
    const double effect[5] = {1, 0, -1, 1 / (length * sqrt(1 - turn * turn)), 0};
    sy_car plain = p.car[0], lower = p.car[0];
    lower.raised_front = -0.02;
    const sy_stated raised = {SY_STATED_RAISED_FRONT, 0, 1.5e-3, 0, 0, 0};
    p.stated[0][lower.stated_count] = raised;
    lower.stated_count++;
    for (int i = 0; i < 5; i++) {
      char name[SY_ANSWER_NAME] = "attitude.";
      double value[2], sd[2];
      must(sy_answer_of(&plain, strcat(name, names[i]), &value[0], &sd[0], NULL), NULL);
      must(sy_answer_of(&lower, name, &value[1], &sd[1], NULL), NULL);
      assert_near(value[1] - value[0], by[i], 1e-15);
      assert_near(sd[1], hypot(sd[0], effect[i] * raised.sd), 1e-12);
    }
    close_pair(&p);
  }
}

/* ---- what is refused -------------------------------------------------------------------------------------------------------------------- */

static void stated_out_of_range_is_refused_by_number_and_field(void **state) {
  (void)state;
  static answer_pair p;
  sy_error err;
  double value = 7;
  open_pair(&p, 5, FOUR_WHEELS, 1);
  const struct {
    sy_stated stated;
    sy_status status;
    const char *field;
  } cases[] = {{{SY_STATED_TYRE_RATE, 3, -1, 0, 0, 0}, SY_RANGE, "tyre_rate"},
               {{SY_STATED_TYRE_RATE, 3, (double)NAN, 0, 0, 0}, SY_RANGE, "tyre_rate"},
               {{SY_STATED_PAD, 1, (double)INFINITY, 0, 0, 0}, SY_RANGE, "pads"},
               {{SY_STATED_PAD, 16, 1, 0, 0, 0}, SY_UNKNOWN, "pads"},
               {{SY_STATED_BAR_RATE, 4, 1, 0, 0, 0}, SY_UNKNOWN, "bar_rate"},
               {{SY_STATED_BAR_RATE, 0, 1, 0, 0, 0}, SY_UNKNOWN, "bar_rate"},
               {{SY_STATED_TORSION, 1, 1, 0, 0, 0}, SY_UNKNOWN, "torsion"},
               {{SY_STATED_COUNT, 1, 1, 0, 0, 0}, SY_UNKNOWN, "field"}};
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    p.stated[0][1] = cases[i].stated;
    assert_int_equal(sy_answer_of(&p.car[0], "corners.lf", &value, NULL, &err), cases[i].status);
    assert_true(strncmp(err.part, "stated 2 of ", 12) == 0);
    assert_string_equal(err.field, cases[i].field);
    assert_true(value == 7);
  }
  close_pair(&p);
}

static void a_measured_cross_weight_stated_twice_is_refused(void **state) {
  (void)state;
  static answer_pair p;
  sy_error err;
  double value = 7;
  open_pair(&p, 5, FOUR_WHEELS, 1);
  const sy_stated cross = {SY_STATED_CROSS_SHARE, 0, 1e-3, SY_SOURCE_MEASURED, 0, 0};
  p.stated[0][0] = cross;
  p.stated[0][1] = cross, p.stated[0][1].sd = 2e-3;
  assert_int_equal(sy_answer_of(&p.car[0], "corners.lf", &value, NULL, &err), SY_CLASH);
  assert_true(strncmp(err.part, "stated 2 of ", 12) == 0);
  assert_string_equal(err.field, "cross_share");
  assert_true(value == 7);
  close_pair(&p);
}

static void asked_beyond_a_set_is_refused(void **state) {
  (void)state;
  static answer_pair p;
  sy_error err;
  double value[SY_MOST_ASKED + 1];
  open_pair(&p, 6, FOUR_WHEELS, 1);
  const sy_answer_set *set = sy_corner_answers();
  const sy_asked beyond[] = {{set->rows, 0, 1}, {-1, 0, 1}, {set->rows - 1, 4, 1}, {0, 1, 1}, {0, -1, 1}};
  for (size_t i = 0; i < sizeof beyond / sizeof *beyond; i++)
    assert_int_equal(sy_answers_ask(set, &p.car[0], &beyond[i], 1, value, NULL, &err), SY_UNKNOWN);
  assert_int_equal(sy_answers_ask(set, &p.car[0], beyond, SY_MOST_ASKED + 1, value, NULL, &err), SY_LIMIT);
  const sy_asked one = {0, 0, 1}, other = {0, 0, 2};
  assert_int_equal(
      sy_answers_change(set, &p.car[0], &one, &p.car[1], &other, 1, NULL, value, NULL, NULL, &err), SY_CLASH);
  close_pair(&p);
}

/* A row that is solved for alone has the bits that it has among all. */
static void a_row_alone_is_what_it_is_among_all(void **state) {
  (void)state;
  static answer_pair p;
  static sy_answer_state all, alone;
  const sy_answer_set *set = sy_stability_answers();
  for (uint64_t round = 0; round < 12; round++) {
    sy_totals now;
    open_pair(&p, 31 + round, (car_kind)(round % CAR_KINDS), 1);
    sy_ledger_sums(p.car[0].now, &now);
    assert_int_equal(set->solve(&p.car[0], &now, &now, NULL, true, all.room, NULL), SY_OK);
    for (int r = 0; r < set->rows; r++) {
      const sy_answer_row *row = &set->row[r];
      assert_int_equal(set->solve_rows(&p.car[0], &now, &now, UINT64_C(1) << r, alone.room, NULL), SY_OK);
      const double want = row->value(all.room, row->at), got = row->value(alone.room, row->at);
      assert_true(memcmp(&want, &got, sizeof want) == 0 || (isnan(want) && isnan(got)));
    }
    close_pair(&p);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(balance_has_the_uncertainties_of_differences),
      cmocka_unit_test(corners_have_the_uncertainties_of_differences),
      cmocka_unit_test(attitude_has_the_uncertainties_of_differences),
      cmocka_unit_test(transfer_has_the_uncertainties_of_differences),
      cmocka_unit_test(transfer_without_rates_has_the_uncertainties_of_differences),
      cmocka_unit_test(stability_has_the_uncertainties_of_differences),
      cmocka_unit_test(stability_on_springs_has_the_uncertainties_of_differences),
      cmocka_unit_test(errors_of_unsprung_parts_may_be_taken_as_the_bodys),
      cmocka_unit_test(every_answer_is_found_by_its_name),
      cmocka_unit_test(answer_of_a_corner_is_that_of_its_set),
      cmocka_unit_test(answer_of_wheels_that_are_not_there_is_not_a_number),
      cmocka_unit_test(yaw_inertia_about_the_rear_axle_is_that_about_the_cg_and_its_distance),
      cmocka_unit_test(pitch_inertia_of_two_points_is_that_of_their_reduced_mass),
      cmocka_unit_test(heights_count_what_the_body_was_raised_by),
      cmocka_unit_test(stated_out_of_range_is_refused_by_number_and_field),
      cmocka_unit_test(a_measured_cross_weight_stated_twice_is_refused),
      cmocka_unit_test(asked_beyond_a_set_is_refused),
      cmocka_unit_test(a_row_alone_is_what_it_is_among_all),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
