/* Searches against published problems of nonlinear programming, closed forms and brute force, with a solver that is not the one shipped. */
#include "study/seek.h"

#include <stdlib.h>
#include <string.h>

#include "ledger_tools.h"
#include "near.h"
#include "seek_solver.h"

static sy_error err;
static sy_seek_found found;

/* ---- problems ----------------------------------------------------------------------------------------------------------------------- */

typedef void answers_of(const double *x, double *answer);

typedef struct asked {
  sy_seek_problem problem;
  answers_of *answers;
  size_t calls, stop_at; /* 0: never */
} asked;

static bool ask(void *user, size_t count, const double *x, double *answer) {
  asked *a = user;
  assert_true(count >= 1 && count <= SY_SEEK_BATCH);
  for (size_t k = 0; k < count; k++)
    a->answers(x + k * a->problem.inputs, answer + k * a->problem.quantities * a->problem.folds);
  return ++a->calls != a->stop_at;
}

static const double sizes[] = {1e-6, 1e-6, 1e-6, 1e-6};

static asked ask_of(answers_of *answers, const sy_seek_input *input, size_t inputs, size_t quantities,
                    size_t folds) {
  return (asked){.problem = {.input = input,
                             .inputs = inputs,
                             .quantities = quantities,
                             .folds = folds,
                             .size = sizes,
                             .starts = 8,
                             .seed = 1,
                             .ask = ask},
                 .answers = answers};
}

static void run_with(asked *a, test_solver *solver) {
  a->problem.user = a;
  memset(&found, 0xee, sizeof found);
  assert_int_equal(sy_seek_run(&a->problem, &solver->solver, NULL, &found, &err), SY_OK);
}

static void run(asked *a) {
  test_solver solver = make_test_solver(0.0);
  run_with(a, &solver);
}

static const sy_seek_binding *binding_of(sy_seek_kind kind, size_t number) {
  for (size_t k = 0; k < found.bindings; k++)
    if (found.binding[k].kind == kind && found.binding[k].number == number) return &found.binding[k];
  return NULL;
}

/* ---- published problems ---------------------------------------------------------------------------------------------------------------- */

static void beale(const double *x, double *q) {
  q[0] = 9 - 8 * x[0] - 6 * x[1] - 4 * x[2] + 2 * x[0] * x[0] + 2 * x[1] * x[1] + x[2] * x[2] +
         2 * x[0] * x[1] + 2 * x[0] * x[2];
  q[1] = x[0] + x[1] + 2 * x[2];
}

/* E. Beale's problem, number 35 of W. Hock, K. Schittkowski, Test Examples for Nonlinear Programming Codes, 1981 (from memory): least 1/9 at
** (4/3, 7/9, 4/9), where x1 + x2 + 2 x3 <= 3 binds. Its multiplier is 2/9: the gradient there is (-2/9, -2/9, -4/9), our arithmetic. */
static void run_published_quadratic_problem_gives_published_place_and_multiplier(void **state) {
  (void)state;
  const sy_seek_input input[3] = {
      {0, 3, 0.5, 1e4, NULL, 0}, {0, 3, 0.5, 1e4, NULL, 0}, {0, 3, 0.5, 1e4, NULL, 0}};
  const sy_seek_limit limit = {1, -(double)INFINITY, 3};
  asked a = ask_of(beale, input, 3, 2, 1);
  a.problem.limit = &limit, a.problem.limits = 1, a.problem.aim = -1;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  const double want[3] = {4.0 / 3, 7.0 / 9, 4.0 / 9};
  double q[2];
  /* the minimum is flat: a place that is as good to the rounding of 1e-4 lies some steps away at most */
  for (int i = 0; i < 3; i++) assert_near(found.x[i], want[i], 1e-3);
  beale(found.x, q);
  assert_near(q[0], 1.0 / 9, 2e-4); /* one step of 1e-4 and the multiplier */
  assert_true(q[1] <= 3);
  const sy_seek_binding *b = binding_of(SY_SEEK_LIMIT, 0);
  assert_non_null(b);
  assert_int_equal(found.bindings, 1);
  assert_near(b->value, 3, 0);
  assert_near(b->gain, 2.0 / 9, 2e-3); /* the gradient over the distance to the place itself */
}

static void hock71(const double *x, double *q) {
  q[0] = x[0] * x[3] * (x[0] + x[1] + x[2]) + x[2];
  q[1] = x[0] * x[1] * x[2] * x[3];
  q[2] = x[0] * x[0] + x[1] * x[1] + x[2] * x[2] + x[3] * x[3];
}

/* Number 71 of the same book (from memory): least 17.0140173 at (1, 4.7429994, 3.8211503, 1.3794082), with an equality, which is a target here. */
static void run_published_problem_with_equality_gives_published_place(void **state) {
  (void)state;
  const sy_seek_input one = {1, 5, 2, 1e3, NULL, 0}, input[4] = {one, one, one, one};
  const sy_seek_limit limit = {1, 25, (double)INFINITY};
  const sy_seek_target target = {2, 40, 0.01};
  asked a = ask_of(hock71, input, 4, 3, 1);
  a.problem.limit = &limit, a.problem.limits = 1, a.problem.aim = -1;
  a.problem.target = &target, a.problem.targets = 1;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  const double want[4] = {1, 4.7429994, 3.8211503, 1.3794082};
  double q[3];
  for (int i = 0; i < 4; i++)
    assert_near(found.x[i], want[i], 0.01); /* the band about 40 moves it by some thousandths */
  hock71(found.x, q);
  assert_near(q[0], 17.0140173, 0.01);
  assert_true(q[1] >= 25 && fabs(q[2] - 40) <= 0.01);
  /* multipliers 1.0879 of x1 >= 1, 0.5523 of the product and 0.1615 of the equality (from memory, as solvers print them); a step of 0.001 is a
  ** thousandth of x, and second derivatives are of the size of the first */
  const sy_seek_binding *bound = binding_of(SY_SEEK_BOUND, 0), *product = binding_of(SY_SEEK_LIMIT, 0),
                        *sum = binding_of(SY_SEEK_TARGET, 0);
  assert_non_null(bound);
  assert_non_null(product);
  assert_non_null(sum);
  assert_near(bound->gain, 1.0879, 0.01);
  assert_near(product->gain, 0.5523, 0.01);
  assert_near(sum->gain, 0.1615, 0.01);
}

/* ---- targets -------------------------------------------------------------------------------------------------------------------------- */

/* A beam: mass at an arm, as the share of it that one support carries; the other quantity is its mass. */
static void beam(const double *x, double *q) {
  const double mass = 500 + x[1], moment = 500 * 1400 + 120 * x[0] + x[1] * 2600;
  q[0] = 100 * (1 - moment / mass / 2400);
  q[1] = mass;
}

static sy_seek_input beam_input[2] = {{-100, 100, 0, 100, NULL, 0}, {0, 30, 0, 1000, NULL, 0}};
static const double beam_sizes[] = {0.005, 0.05};

static asked beam_problem(const sy_seek_target *target, size_t targets) {
  asked a = ask_of(beam, beam_input, 2, 2, 1);
  a.problem.size = beam_sizes;
  a.problem.target = target, a.problem.targets = targets;
  return a;
}

static void run_target_is_reached_with_the_least_change(void **state) {
  (void)state;
  const sy_seek_target target = {0, 41.0, (double)NAN};
  asked a = beam_problem(&target, 1);
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  assert_near(found.within[0], 0.005, 0); /* 0.01 of the one, or 0.001 of the other, changes it by far less */
  double q[2], least = (double)INFINITY, at = 0;
  beam(found.x, q);
  assert_near(q[0], 41.0, 0.0005 + 1e-4); /* a tenth of that is as good, and one step more */
  /* brute force: for each mass the shift that gives 41, and the change it takes */
  for (double mass = 0; mass <= 30; mass += 0.001) {
    const double shift = ((1 - 0.41) * 2400 * (500 + mass) - 500 * 1400 - mass * 2600) / 120;
    const double change = shift * shift / (200.0 * 200) + mass * mass / (30.0 * 30);
    if (fabs(shift) <= 100 && change < least) least = change, at = mass;
  }
  const double change = found.x[0] * found.x[0] / (200.0 * 200) + found.x[1] * found.x[1] / (30.0 * 30);
  /* a tenth of 0.005 spares so much of the way from 41.667, and of the change twice that */
  assert_near(change, least, 2 * 0.0005 / 0.6667 * least + 1e-6);
  assert_near(found.x[1], at, 0.05);
  assert_int_equal(found.bindings, 0);
}

static void run_target_out_of_reach_gives_the_nearest_and_the_bounds_that_hinder(void **state) {
  (void)state;
  const sy_seek_target target = {0, 45.0, (double)NAN};
  asked a = beam_problem(&target, 1);
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_NEAREST);
  assert_near(found.x[0], -100, 0); /* forward as far as it goes, and no mass behind the axle */
  assert_near(found.x[1], 0, 0);
  const sy_seek_binding *shift = binding_of(SY_SEEK_BOUND, 0), *mass = binding_of(SY_SEEK_BOUND, 1);
  assert_non_null(shift);
  assert_non_null(mass);
  /* d share / d shift = 100 x 120 / (500 x 2400) %, d share / d mass by the quotient rule */
  assert_near(shift->gain, 100.0 * 120 / (500 * 2400.0), 1e-9);
  const double moment = 500 * 1400 - 120 * 100;
  assert_near(mass->gain, 100 * (2600 * 500 - moment) / (500.0 * 500 * 2400), 1e-7);
}

static void run_targets_that_contradict_each_other_are_weighed_by_what_each_allows(void **state) {
  (void)state;
  /* 41.9 needs no mass, 520 kg need 20 */
  const sy_seek_target target[2] = {{0, 45.0, 0.01}, {1, 520, 1}};
  asked a = beam_problem(target, 2);
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_NEAREST);
  double q[2], best = (double)INFINITY, want = 0;
  for (int k = 0; k <= 30000; k++) {
    const double x[2] = {-100, k / 1000.0};
    beam(x, q);
    const double sum = (q[0] - 45) * (q[0] - 45) / 1e-4 + (q[1] - 520) * (q[1] - 520);
    if (sum < best) best = sum, want = x[1];
  }
  assert_near(found.x[0], -100, 0);
  assert_near(found.x[1], want, 0.002);
  for (size_t k = 0; k < found.bindings; k++)
    assert_true(isnan(found.binding[k].gain)); /* of two misses there is no one gain */
}

static void run_target_beside_what_is_made_least_uses_what_it_allows(void **state) {
  (void)state;
  const sy_seek_target target = {0, 41.0, 0.1};
  asked a = beam_problem(&target, 1);
  a.problem.aim = 1, a.problem.aimed = 1;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  /* most mass: the shift at its end, the share at the low end of its band */
  double q[2];
  beam(found.x, q);
  assert_near(found.x[0], -100, 0);
  assert_true(q[0] >= 40.9);
  const double more[2] = {found.x[0], found.x[1] + 0.001};
  beam(more, q);
  assert_true(q[0] < 40.9 || more[1] > 30); /* not a gram more */
  assert_non_null(binding_of(SY_SEEK_TARGET, 0));
  assert_non_null(binding_of(SY_SEEK_BOUND, 0));
}

static void run_values_of_a_list_are_kept_to(void **state) {
  (void)state;
  static const double values[] = {-100, -60, -20, 0, 20, 60, 100};
  const sy_seek_input input[2] = {{-100, 100, 0, 0, values, 7}, {0, 30, 0, 1000, NULL, 0}};
  const sy_seek_target target = {0, 41.2, (double)NAN};
  asked a = beam_problem(&target, 1);
  a.problem.input = input;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  bool listed = false;
  for (int k = 0; k < 7; k++) listed = listed || found.x[0] == values[k];
  assert_true(listed);
}

/* ---- folds -------------------------------------------------------------------------------------------------------------------------------- */

static void two_loads(const double *x, double *q) {
  q[0] = (x[0] - 1) * (x[0] - 1) + 0.25 * x[1];
  q[1] = (x[0] - 2.2) * (x[0] - 2.2) + 0.3 * x[1];
  q[2] = 10 + x[0], q[3] = 12 + x[0];
}

static const sy_seek_input fold_input[2] = {{0, 4, 0.3, 1000, NULL, 0}, {-1, 1, 0.5, 1000, NULL, 0}};

/* The greater of two parabolas is least where they meet: x = 1.6 - 0.05 y / 2.4 with y = -1 (closed form). */
static void run_least_over_folds_is_the_least_worst(void **state) {
  (void)state;
  asked a = ask_of(two_loads, fold_input, 2, 2, 2);
  a.problem.aim = -1;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  assert_near(found.x[1], -1, 0);
  assert_near(found.x[0], 1.6 - 0.05 / 2.4 * found.x[1] * -1, 0.0011); /* one step, and rounding */
  const sy_seek_binding *b = binding_of(SY_SEEK_BOUND, 1);
  assert_non_null(b);
  /* weights of the folds are 1.2458 and 1.1542 of 2.4 there, so a unit of y gives their mean of 0.25 and 0.3 */
  const double x = found.x[0], one = 2 * (2.2 - x), two = 2 * (x - 1);
  assert_near(b->gain, (0.25 * one + 0.3 * two) / (one + two), 1e-3);
}

static void run_target_over_folds_lies_between_them(void **state) {
  (void)state;
  const sy_seek_target wide = {1, 12.5, 1.2}, narrow = {1, 12.5, 0.8};
  asked a = ask_of(two_loads, fold_input, 2, 2, 2);
  a.problem.target = &wide, a.problem.targets = 1;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  assert_near(found.x[0], 1.5, 0.002);  /* 11.5 and 13.5: one off to either side */
  assert_near(found.x[1], 0.5, 0.0011); /* stays */
  a.problem.target = &narrow;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_NEAREST);
  assert_near(found.x[0], 1.5, 0.002);
}

/* ---- limits ------------------------------------------------------------------------------------------------------------------------------ */

static void run_limits_that_cannot_all_be_kept_are_said_so(void **state) {
  (void)state;
  const sy_seek_limit limit[2] = {{0, 43.2, (double)INFINITY}, {1, 515, (double)INFINITY}};
  const sy_seek_target target = {0, 43.5, (double)NAN};
  asked a = beam_problem(&target, 1);
  a.problem.limit = limit, a.problem.limits = 2;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_BROKEN);
}

static void shifted_beam(const double *x, double *q) {
  const double both[2] = {x[0], 0};
  beam(both, q);
}

static void run_limit_that_nothing_moves_is_broken_whatever_is_sought(void **state) {
  (void)state;
  const sy_seek_target target = {0, 41.5, (double)NAN};
  const sy_seek_limit heavy = {1, 510, (double)INFINITY}, light = {1, -(double)INFINITY, 510};
  asked a = beam_problem(&target, 1);
  a.answers = shifted_beam, a.problem.inputs = 1;
  a.problem.limit = &heavy, a.problem.limits = 1;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_BROKEN);
  a.problem.limit = &light;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
}

/* Every rounded place near a bound that binds keeps it, however the rounding falls. */
static void run_rounding_never_breaks_a_limit(void **state) {
  (void)state;
  for (int k = 0; k < 20; k++) {
    const sy_seek_limit limit = {0, 41.23456 + 0.0137 * k, (double)INFINITY};
    asked a = beam_problem(NULL, 0);
    a.problem.limit = &limit, a.problem.limits = 1;
    a.problem.aim = 1, a.problem.aimed = 1;
    run(&a);
    double q[2];
    beam(found.x, q);
    assert_int_equal(found.outcome, SY_SEEK_REACHED);
    assert_true(q[0] >= limit.min);
    assert_non_null(binding_of(SY_SEEK_LIMIT, 0));
  }
}

/* The same of a band around a target beside something made most, where one input has few values. */
static void run_rounding_never_leaves_the_band_of_a_target(void **state) {
  (void)state;
  static const double values[] = {-100, -50, 0, 50, 100};
  const sy_seek_input input[2] = {{-100, 100, 0, 0, values, 5}, {0, 30, 0, 1e5, NULL, 0}};
  for (int k = 0; k < 20; k++) {
    const sy_seek_target target = {0, 41.2 + 0.0137 * k, 0.061};
    asked a = beam_problem(&target, 1);
    a.problem.input = input;
    a.problem.aim = 1, a.problem.aimed = 1;
    run(&a);
    double q[2];
    beam(found.x, q);
    assert_int_equal(found.outcome, SY_SEEK_REACHED);
    assert_true(fabs(q[0] - target.value) <= target.within);
    assert_near(q[0], target.value - target.within,
                0.001); /* mass behind the axle: to the low edge, but for a gram */
  }
}

/* ---- solvers ------------------------------------------------------------------------------------------------------------------------------- */

static void run_ends_that_differ_by_little_give_the_same_bits(void **state) {
  (void)state;
  const sy_seek_target target = {0, 41.317, (double)NAN};
  asked a = beam_problem(&target, 1);
  run(&a);
  const sy_seek_found first = found;
  for (int k = 1; k <= 12; k++) {
    test_solver solver = make_test_solver(k % 2 == 0 ? 2e-6 / k : -2e-6 / k);
    a.problem.seed = (uint64_t)k * 7919;
    a.problem.starts = (size_t)(k % 4 + 2);
    run_with(&a, &solver);
    assert_memory_equal(found.x, first.x, 2 * sizeof(double));
    assert_int_equal(found.bindings, first.bindings);
  }
}

static void run_first_way_that_finds_nothing_is_followed_by_the_second(void **state) {
  (void)state;
  const sy_seek_target target = {0, 41.317, (double)NAN};
  asked a = beam_problem(&target, 1);
  run(&a);
  const sy_seek_found first = found;
  assert_false(first.by_values);
  test_solver solver = make_test_solver(0.0);
  solver.gives_up = true;
  run_with(&a, &solver);
  assert_true(solver.ways[SY_SEEK_VALUES] > 0);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
}

/* ---- what is not sought, and errors ---------------------------------------------------------------------------------------------------------- */

static void still(const double *x, double *q) { q[0] = 50, q[1] = x[0] + x[1]; }
static void unknown(const double *x, double *q) { q[0] = (double)NAN, q[1] = x[0]; }
static void partly(const double *x, double *q) { q[0] = x[0] < 0 ? (double)NAN : x[0], q[1] = x[0] + x[1]; }

static void run_quantity_that_nothing_moves_is_said_and_not_sought(void **state) {
  (void)state;
  const sy_seek_target far = {0, 49, (double)NAN}, there = {0, 50, (double)NAN};
  asked a = beam_problem(&far, 1);
  a.answers = still;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_UNMOVED);
  assert_int_equal(found.which, 0);
  a.problem.target = &there;
  a.problem.aim = -1, a.problem.aimed = 1;
  run(&a); /* it is where it should be: the other can be made least */
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  assert_near(found.x[0], -100, 0);
}

static void run_quantity_without_an_answer_is_said(void **state) {
  (void)state;
  const sy_seek_target target = {0, 49, (double)NAN};
  asked a = beam_problem(&target, 1);
  a.answers = unknown;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_UNKNOWN);
  a.answers = partly; /* half the range has one */
  const sy_seek_target inside = {0, 49, 0.01};
  a.problem.target = &inside;
  run(&a);
  assert_int_equal(found.outcome, SY_SEEK_REACHED);
  assert_near(found.x[0], 49, 0.01);
}

static void run_stopped_by_its_caller_stops(void **state) {
  (void)state;
  const sy_seek_target target = {0, 41, (double)NAN};
  for (size_t stop = 1; stop < 40; stop += 3) {
    asked a = beam_problem(&target, 1);
    a.stop_at = stop;
    run(&a);
    assert_int_equal(found.outcome, SY_SEEK_STOPPED);
    assert_int_equal(a.calls, stop);
  }
}

static void refused(const asked *a, sy_status status) {
  test_solver solver = make_test_solver(0.0);
  const sy_seek_found before = found;
  assert_int_equal(sy_seek_run(&a->problem, &solver.solver, NULL, &found, &err), status);
  assert_memory_equal(&found, &before, sizeof found);
  assert_int_equal(sy_seek_run(&a->problem, &solver.solver, NULL, &found, NULL), status);
}

static void run_refuses_what_is_no_problem(void **state) {
  (void)state;
  const sy_seek_target target = {0, 41, (double)NAN}, nowhere = {2, 41, 1}, nan = {0, (double)NAN, 1},
                       negative = {0, 41, -1};
  const sy_seek_limit crossed = {0, 3, 2}, unknown_limit = {0, (double)NAN, 2};
  sy_seek_input bad[2] = {beam_input[0], beam_input[1]};
  asked a = beam_problem(&target, 1);
  a.problem.inputs = 0, refused(&a, SY_RANGE);
  a.problem.inputs = SY_SEEK_INPUTS + 1, refused(&a, SY_RANGE);
  a = beam_problem(&target, 1), a.problem.starts = 0, refused(&a, SY_RANGE);
  a = beam_problem(&target, 1), a.problem.folds = 0, refused(&a, SY_RANGE);
  a = beam_problem(&target, 1), a.problem.folds = SY_SEEK_ANSWERS, refused(&a, SY_RANGE);
  a = beam_problem(NULL, 0), refused(&a, SY_CLASH);
  a = beam_problem(&nowhere, 1), refused(&a, SY_RANGE);
  a = beam_problem(&nan, 1), refused(&a, SY_RANGE);
  a = beam_problem(&negative, 1), refused(&a, SY_RANGE);
  a = beam_problem(NULL, 0), a.problem.aim = 1, a.problem.aimed = 2, refused(&a, SY_RANGE);
  a = beam_problem(&target, 1), a.problem.limit = &crossed, a.problem.limits = 1, refused(&a, SY_CLASH);
  a = beam_problem(&target, 1), a.problem.limit = &unknown_limit, a.problem.limits = 1, refused(&a, SY_RANGE);
  a = beam_problem(&target, 1), a.problem.input = bad;
  bad[1].low = 30, refused(&a, SY_CLASH);
  bad[1].low = (double)NAN, refused(&a, SY_RANGE);
  bad[1].low = 0, bad[1].per = 0, refused(&a, SY_RANGE);
  static const double falling[] = {5, 3};
  bad[1].value = falling, bad[1].count = 2, refused(&a, SY_RANGE);
  bad[1].count = 0, refused(&a, SY_RANGE);
}

static void run_without_memory_is_refused_and_leaks_nothing(void **state) {
  (void)state;
  const sy_seek_target target = {0, 41, (double)NAN};
  test_solver solver = make_test_solver(0.0);
  asked a = beam_problem(&target, 1);
  a.problem.user = &a;
  counted_memory memory = {.refuse = 1};
  const sy_alloc alloc = counting_alloc(&memory);
  const sy_seek_found before = found;
  assert_int_equal(sy_seek_run(&a.problem, &solver.solver, &alloc, &found, &err), SY_LIMIT);
  assert_memory_equal(&found, &before, sizeof found);
  memory = (counted_memory){.refuse = 0};
  assert_int_equal(sy_seek_run(&a.problem, &solver.solver, &alloc, &found, &err), SY_OK);
  assert_true(memory.calls > 0);
  assert_int_equal(memory.live, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(run_published_quadratic_problem_gives_published_place_and_multiplier),
      cmocka_unit_test(run_published_problem_with_equality_gives_published_place),
      cmocka_unit_test(run_target_is_reached_with_the_least_change),
      cmocka_unit_test(run_target_out_of_reach_gives_the_nearest_and_the_bounds_that_hinder),
      cmocka_unit_test(run_targets_that_contradict_each_other_are_weighed_by_what_each_allows),
      cmocka_unit_test(run_target_beside_what_is_made_least_uses_what_it_allows),
      cmocka_unit_test(run_values_of_a_list_are_kept_to),
      cmocka_unit_test(run_least_over_folds_is_the_least_worst),
      cmocka_unit_test(run_target_over_folds_lies_between_them),
      cmocka_unit_test(run_limits_that_cannot_all_be_kept_are_said_so),
      cmocka_unit_test(run_limit_that_nothing_moves_is_broken_whatever_is_sought),
      cmocka_unit_test(run_rounding_never_breaks_a_limit),
      cmocka_unit_test(run_rounding_never_leaves_the_band_of_a_target),
      cmocka_unit_test(run_ends_that_differ_by_little_give_the_same_bits),
      cmocka_unit_test(run_first_way_that_finds_nothing_is_followed_by_the_second),
      cmocka_unit_test(run_quantity_that_nothing_moves_is_said_and_not_sought),
      cmocka_unit_test(run_quantity_without_an_answer_is_said),
      cmocka_unit_test(run_stopped_by_its_caller_stops),
      cmocka_unit_test(run_refuses_what_is_no_problem),
      cmocka_unit_test(run_without_memory_is_refused_and_leaks_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
