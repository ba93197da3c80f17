#include "study/plan.h"

#include <float.h>
#include <stdlib.h>
#include <string.h>

#include "answer_cars.h"
#include "answers/balance_answers.h"
#include "answers/corner_answers.h"
#include "answers/shaft_answers.h"
#include "answers/transfer_answers.h"
#include "ledger_tools.h"
#include "near.h"
#include "statics/balance.h"
#include "study/blocks.h"

/* A random car, varied by a shift of the engine (mm forward), a turn of the front box (deg), the driver's mass (kg), the front spring rate
** (N/mm) and the place of the last axle (mm forward), which here takes nothing along. */
enum { SHIFT, TURN, MASS, RATE, AXLE, INPUTS };

typedef struct varied {
  sy_vehicle vehicle;
  sy_ledger *ledger;
} varied;

static varied start(unsigned seed) {
  dice d = {seed};
  varied v;
  v.vehicle = random_vehicle(&d, FOUR_WHEELS);
  v.ledger = random_car_ledger(&d, &v.vehicle, 1);
  return v;
}

static void replace(sy_ledger **ledger, sy_ledger *fresh) {
  sy_ledger_release(*ledger);
  *ledger = fresh;
}

/* The car at these values, by edits of the ledger. */
static void make_car(const varied *v, const double value[INPUTS], sy_plan_car *out) {
  sy_error err;
  sy_ledger *now = sy_ledger_share(v->ledger), *next;
  const sy_route engine = {1, {CAR_ENGINE}}, box = {1, {CAR_GROUP}}, driver = {1, {CAR_DRIVER}};
  must(sy_ledger_shift(now, &engine, (sy_vec3){value[SHIFT] * 1e-3, 0, 0}, &next, &err), &err);
  replace(&now, next);
  must(sy_ledger_turn(now, &box, sy_frame_rotation(0, value[TURN] * SY_DEGREE, 0), (sy_vec3){-0.4, 0.1, 0.3},
                      &next, &err),
       &err);
  replace(&now, next);
  sy_part part = *part_in(now, driver);
  if (part.flags & SY_PART_SOLID) part.inertia = sy_sym3_scale(value[MASS] / part.mass, part.inertia);
  part.mass = value[MASS];
  must(sy_ledger_put(now, &driver, &part, &next, &err), &err);
  replace(&now, next);
  sy_vehicle vehicle = v->vehicle;
  for (int w = 0; w < 2; w++) vehicle.wheel[w].spring_rate = value[RATE] * 1e3;
  vehicle.axle[1].x += value[AXLE] * 1e-3;
  for (int w = 2; w < 4; w++) vehicle.wheel[w].x += value[AXLE] * 1e-3;
  sy_car car;
  sy_totals sums, drawn;
  must(sy_car_make(now, v->ledger, &vehicle, &car, &err), &err);
  car.forward = 0.2, car.left = 0.3;
  sy_ledger_totals(now, &sums);
  sy_ledger_sums(v->ledger, &drawn);
  must(sy_plan_car_make(&car, &sums, &drawn, NULL, 0, NULL, out, &err), &err);
  sy_ledger_release(now);
}

static const double node[INPUTS][5] = {{-50, 3, 60}, {-6, -3, 0.5, 4, 7}, {55, 80, 100}, {25, 60}, {-80, 60}};
static const size_t nodes[INPUTS] = {3, 5, 3 /* its variance goes with its square */, 2, 2};
static const sy_plan_way way[INPUTS] = {SY_PLAN_POWERS, SY_PLAN_ANGLE, SY_PLAN_POWERS, SY_PLAN_POWERS,
                                        SY_PLAN_POWERS};

static sy_status add_term(sy_plan *plan, const varied *v, int input, sy_error *err) {
  double value[INPUTS];
  sy_plan_car car;
  sy_status status = SY_OK;
  for (int i = 0; i < INPUTS; i++) value[i] = node[i][0];
  for (size_t k = 0; k < nodes[input] && status == SY_OK; k++) {
    value[input] = node[input][k];
    make_car(v, value, &car);
    status = sy_plan_try(plan, &car, err);
  }
  const sy_plan_factor factor = {(unsigned)input, way[input], node[input], nodes[input]};
  return status == SY_OK ? sy_plan_term(plan, &factor, 1, err) : status;
}

static sy_status make_plan(const sy_alloc *alloc, const varied *v, const sy_answer_set *set, sy_plan **out,
                           sy_error *err) {
  double value[INPUTS];
  sy_plan_car base;
  for (int i = 0; i < INPUTS; i++) value[i] = node[i][0];
  make_car(v, value, &base);
  sy_plan *plan;
  sy_status status = sy_plan_make(alloc, set, &base, &plan, err);
  if (status != SY_OK) return status;
  for (int i = 0; i < INPUTS && status == SY_OK; i++) status = add_term(plan, v, i, err);
  if (status == SY_OK)
    *out = plan;
  else
    sy_plan_free(plan);
  return status;
}

static void random_values(dice *d, double value[INPUTS]) {
  value[SHIFT] = dice_between(d, -50, 60);
  value[TURN] = dice_between(d, -6, 7);
  value[MASS] = dice_between(d, 55, 100);
  value[RATE] = dice_between(d, 25, 60);
  value[AXLE] = dice_between(d, -80, 60);
}

/* All answers of the set. */
static size_t all_outputs(const sy_answer_set *set, const sy_vehicle *v, sy_plan_output *out) {
  size_t n = 0;
  for (int i = 0; i < sy_answer_count(set, v) && n < SY_MOST_ASKED; i++) {
    const sy_asked a = sy_answer_nth(set, v, i);
    out[n++] = (sy_plan_output){&set->row[a.row], a.index, 1.0 + 0.25 * (double)i, i % 3 == 0 ? 0.7 : 0.0};
  }
  return n;
}

/* Every answer of a plan is that of the car made by the ledger's own edits. A ledger keeps shifts to a picometre: some 1e-10 kg m^2 of 150 kg at
** arms of metres, of which products of inertia are small differences, here shown up to 14 times. */
static void solve_random_variants_equals_edited_ledgers(void **state) {
  (void)state;
  const sy_answer_set *const sets[] = {sy_balance_answers(), sy_corner_answers(), sy_attitude_answers(),
                                       sy_transfer_answers()};
  for (unsigned seed = 1; seed <= 6; seed++) {
    varied v = start(seed);
    for (size_t s = 0; s < 4; s++) {
      sy_plan *plan;
      sy_error err;
      sy_plan_output output[SY_MOST_ASKED];
      const size_t outputs = all_outputs(sets[s], &v.vehicle, output);
      must(make_plan(NULL, &v, sets[s], &plan, &err), &err);
      dice d = {seed + 100};
      for (int k = 0; k < 8; k++) {
        double value[INPUTS], got[SY_MOST_ASKED], *column[SY_MOST_ASKED];
        const double *values[INPUTS];
        sy_plan_car car;
        sy_answer_state solved;
        random_values(&d, value);
        make_car(&v, value, &car);
        assert_true(sy_plan_miss(plan, value, &car) < 1e-12); /* a picometre of some of the mass */
        for (int i = 0; i < INPUTS; i++) values[i] = &value[i];
        for (size_t o = 0; o < outputs; o++) column[o] = &got[o];
        must(sy_plan_solve(plan, values, 1, output, outputs, column, NULL, false, NULL, &err), &err);
        must(sets[s]->solve(&car.car, &car.now, &car.drawn, NULL, true, solved.room, &err), &err);
        for (size_t o = 0; o < outputs; o++) {
          const sy_plan_output *w = &output[o];
          const double want = w->scale * w->row->value(solved.room, w->row->at + w->index) + w->offset;
          if (isnan(want))
            assert_true(isnan(got[o]));
          else
            assert_near(got[o], want, 1e-10 * (w->scale + fabs(want)));
        }
      }
      sy_plan_free(plan);
    }
    sy_ledger_release(v.ledger);
  }
}

/* By the covariance of the parts: what sy_answers_ask says of the same car. */
static void solve_gives_standard_uncertainties_of_the_balance(void **state) {
  (void)state;
  varied v = start(3);
  sy_plan *plan;
  sy_error err;
  sy_plan_output output[SY_MOST_ASKED];
  const sy_answer_set *set = sy_balance_answers();
  const size_t outputs = all_outputs(set, &v.vehicle, output);
  must(make_plan(NULL, &v, set, &plan, &err), &err);
  double value[INPUTS] = {20, 2, 70, 40, 0}, got[SY_MOST_ASKED], sds[SY_MOST_ASKED], *column[SY_MOST_ASKED],
         *sd[SY_MOST_ASKED];
  const double *values[INPUTS];
  for (int i = 0; i < INPUTS; i++) values[i] = &value[i];
  for (size_t o = 0; o < outputs; o++)
    column[o] = &got[o], sd[o] = sy_plan_has_sd(plan, &output[o]) ? &sds[o] : NULL;
  must(sy_plan_solve(plan, values, 1, output, outputs, column, sd, false, NULL, &err), &err);
  sy_plan_car car;
  sy_balance b;
  make_car(&v, value, &car);
  must(sy_balance_make(&car.now, &car.car.vehicle, &car.car.map, &b, &err), &err);
  size_t known = 0;
  for (size_t o = 0; o < outputs; o++) {
    sy_sensitivity by, drawn;
    if (sd[o] == NULL || isnan(got[o])) continue;
    output[o].row->by_sums(&b, output[o].row->at + output[o].index, &by, &drawn);
    const double want = output[o].scale * sqrt(sy_cov4_variance(&car.now.cov, &by));
    assert_near(sds[o], want,
                1e-9 * want +
                    1e-14); /* variances of shares are small differences; a set cross weight has none */
    known++;
  }
  assert_true(known >= 16); /* mass, cg, loads and shares; inertia is not among them */
  sy_plan_free(plan);
  sy_ledger_release(v.ledger);
}

enum { MANY = 1237 };

typedef struct run {
  const sy_plan *plan;
  const double *value[INPUTS];
  const sy_plan_output *output;
  size_t outputs, block;
  double *column[SY_MOST_ASKED];
  bool stream;
} run;

static void do_block(void *with, size_t block) {
  const run *r = with;
  const size_t from = block * r->block, count = MANY - from < r->block ? MANY - from : r->block;
  const double *value[INPUTS];
  double *column[SY_MOST_ASKED];
  for (int i = 0; i < INPUTS; i++) value[i] = r->value[i] + from;
  for (size_t o = 0; o < r->outputs; o++) column[o] = r->column[o] + from;
  if (sy_plan_solve(r->plan, value, count, r->output, r->outputs, column, NULL, r->stream, NULL, NULL) !=
      SY_OK)
    fail();
}

static void solve_bits_do_not_depend_on_threads_blocks_or_level(void **state) {
  (void)state;
  varied v = start(5);
  sy_plan *plan;
  sy_error err;
  sy_plan_output output[SY_MOST_ASKED];
  const size_t outputs = all_outputs(sy_balance_answers(), &v.vehicle, output);
  must(make_plan(NULL, &v, sy_balance_answers(), &plan, &err), &err);
  double *values = malloc(INPUTS * MANY * sizeof *values),
         *first = malloc((outputs + 1) * MANY * sizeof *first),
         *again = aligned_alloc(64, (outputs * MANY * sizeof *again + 63) / 64 * 64);
  assert_true(values != NULL && first != NULL && again != NULL);
  dice d = {77};
  for (size_t i = 0; i < MANY;
       i++) { /* some inputs stay for a while: what stands beside a variant must not show in it */
    double value[INPUTS];
    random_values(&d, value);
    for (size_t k = 0; k < INPUTS; k++) {
      const bool stays = i > 0 && dice_below(&d, 40) < (k == AXLE ? 38u : 20u);
      values[k * MANY + i] = stays ? values[k * MANY + i - 1] : value[k];
    }
  }
  static const size_t blocks[] = {MANY, 64, 256, 1000, 7};
  static const int threads[] = {1, 2, 3, 5};
  bool any = false;
  for (int level = 0; level <= 4; level++)
    for (size_t b = 0; b < 5 && sy_plan_use_level(plan, level); b++)
      for (size_t t = 0; t < 4; t++) {
        run r = {
            .plan = plan, .output = output, .outputs = outputs, .block = blocks[b], .stream = t % 2 == 1};
        for (int i = 0; i < INPUTS; i++) r.value[i] = values + i * MANY;
        for (size_t o = 0; o < outputs; o++) r.column[o] = again + o * MANY;
        must(sy_blocks_run(0, (MANY + r.block - 1) / r.block, threads[t], do_block, &r), NULL);
        if (any) assert_memory_equal(first, again, outputs * MANY * sizeof *first);
        memcpy(first, again, outputs * MANY * sizeof *first);
        any = true;
      }
  free(values);
  free(first);
  free(again);
  sy_plan_free(plan);
  sy_ledger_release(v.ledger);
}

/* What is smooth is met piece by piece: a mass that follows the sine of an input, on two pieces of 1.2 radians. The error of interpolation
** on eight Chebyshev-Lobatto nodes of a sine over a length h is at most (h/4)^8 2 / 8! = 5e-9 of its amplitude (W. Gautschi, Numerical
** Analysis, section 2.2, from memory), here a third of the mass. */
static void pieces_meet_a_smooth_function(void **state) {
  (void)state;
  enum { NODES = 2 * (SY_PLAN_MOST_NODES - 1) + 1 };
  varied v = start(6);
  sy_plan_car car;
  sy_plan *plan;
  sy_error err;
  double at[NODES], value[INPUTS];
  for (int i = 0; i < INPUTS; i++) value[i] = node[i][0];
  for (int i = 0; i < NODES; i++) {
    const int which = i / (SY_PLAN_MOST_NODES - 1), within = i % (SY_PLAN_MOST_NODES - 1);
    at[i] = 1.2 * which + 0.6 * (1.0 - cos(SY_PI * within / (SY_PLAN_MOST_NODES - 1)));
  }
  value[MASS] = 80;
  make_car(&v, value, &car);
  must(sy_plan_make(NULL, sy_balance_answers(), &car, &plan, &err), &err);
  for (int i = 0; i < NODES; i++) {
    value[MASS] = 80 + 20 * sin(at[i]);
    make_car(&v, value, &car);
    must(sy_plan_try(plan, &car, &err), &err);
  }
  const sy_plan_factor factor = {MASS, SY_PLAN_PIECES, at, NODES};
  must(sy_plan_term(plan, &factor, 1, &err), &err);
  double worst = 0;
  for (int i = 0; i <= 48; i++) {
    const double x = 2.4 * i / 48;
    value[MASS] = 80 + 20 * sin(x);
    make_car(&v, value, &car);
    value[MASS] = x;
    const double miss = sy_plan_miss(plan, value, &car);
    worst = miss > worst ? miss : worst;
  }
  assert_true(worst < 5e-9 && worst > 1e-13); /* exact it is not: else nothing was met between the nodes */
  for (int i = 0; i < NODES; i++) {           /* at the nodes it is what was tried */
    value[MASS] = 80 + 20 * sin(at[i]);
    make_car(&v, value, &car);
    value[MASS] = at[i];
    assert_true(sy_plan_miss(plan, value, &car) < 4e-15);
  }
  for (int k = 0; k < NODES - 1; k++) must(sy_plan_try(plan, &car, &err), &err);
  const sy_plan_factor short_of_one = {MASS, SY_PLAN_PIECES, at, NODES - 1};
  assert_int_equal(sy_plan_term(plan, &short_of_one, 1, &err), SY_RANGE);
  sy_plan_free(plan);
  sy_ledger_release(v.ledger);
}

/* Some inputs stay for a while, as the slow ones of a grid do; of a coarse grid values come again, so that extremes tie. */
static void draw_many(dice *d, double *values) {
  for (size_t i = 0; i < MANY; i++) {
    double value[INPUTS];
    random_values(d, value);
    value[SHIFT] = 10 * floor(value[SHIFT] / 10);
    for (size_t k = 0; k < INPUTS; k++) {
      const bool stays = i > 0 && (k != SHIFT || dice_below(d, 40) < 10);
      values[k * MANY + i] = stays ? values[k * MANY + i - 1] : value[k];
    }
  }
}

/* Summaries are those of the columns, to the bit, by any build and any pieces, kept or not. */
static void run_sums_up_what_it_solves(void **state) {
  (void)state;
  static double values[INPUTS * MANY], kept[SY_MOST_ASKED][MANY];
  static const size_t sizes[] = {256, 64, 100, 1};
  varied v = start(8);
  sy_plan *plan;
  sy_error err;
  sy_plan_output output[SY_MOST_ASKED];
  const size_t outputs = all_outputs(sy_balance_answers(), &v.vehicle, output);
  must(make_plan(NULL, &v, sy_balance_answers(), &plan, &err), &err);
  dice d = {5};
  draw_many(&d, values);
  const double *value[INPUTS];
  double *column[SY_MOST_ASKED], *none[SY_MOST_ASKED] = {NULL};
  for (int i = 0; i < INPUTS; i++) value[i] = values + i * MANY;
  for (size_t o = 0; o < outputs; o++) column[o] = kept[o];
  must(sy_plan_solve(plan, value, MANY, output, outputs, column, NULL, false, NULL, &err), &err);
  for (int level = 0; level <= 4; level++)
    for (size_t p = 0; p < 4 && sy_plan_use_level(plan, level); p++)
      for (int keeps = 0; keeps < 2; keeps++) {
        sy_plan_ready ready;
        sy_summary sum[SY_MOST_ASKED], *summary[SY_MOST_ASKED];
        must(sy_plan_prepare(plan, output, outputs, NULL, &ready, &err), &err);
        for (size_t o = 0; o < outputs; o++) sum[o] = sy_summary_begin(), summary[o] = &sum[o];
        for (size_t at = 0; at < MANY; at += sizes[p]) {
          const size_t n = MANY - at < sizes[p] ? MANY - at : sizes[p];
          const double *here[INPUTS];
          double *into_column[SY_MOST_ASKED];
          for (int i = 0; i < INPUTS; i++) here[i] = value[i] + at;
          for (size_t o = 0; o < outputs; o++) into_column[o] = column[o] + at;
          const sy_plan_into into = {keeps ? into_column : none, NULL, summary, 1000 + at, false, NULL};
          must(sy_plan_run(&ready, here, n, &into, &err), &err);
          for (size_t o = 0; o < outputs; o++)
            must(sy_plan_settle(&ready, here, n, 1000 + at, o, &sum[o], &err), &err);
        }
        for (size_t o = 0; o < outputs; o++) {
          sy_summary want = sy_summary_begin();
          sy_summary_add(&want, kept[o], MANY, 1000);
          assert_memory_equal(&sum[o], &want, sizeof want);
        }
      }
  sy_plan_free(plan);
  sy_ledger_release(v.ledger);
}

static void plan_refuses_what_it_documents(void **state) {
  (void)state;
  varied v = start(2);
  double value[INPUTS];
  sy_plan_car base, other;
  sy_plan *plan;
  sy_error err;
  for (int i = 0; i < INPUTS; i++) value[i] = node[i][0];
  make_car(&v, value, &base);
  must(sy_plan_make(NULL, sy_balance_answers(), &base, &plan, &err), &err);
  sy_plan_car_copy(&base, &other);
  other.car.setting.bars = !other.car.setting.bars;
  assert_int_equal(sy_plan_try(plan, &other, &err), SY_CLASH);
  assert_true(isinf(sy_plan_miss(plan, value, &other)));
  sy_plan_car_copy(&base, &other);
  other.car.vehicle.torsion = isnan(base.car.vehicle.torsion) ? 1.0 : (double)NAN;
  assert_int_equal(sy_plan_try(plan, &other, &err), SY_CLASH);
  const double two[2] = {1, 2}, falling[2] = {2, 1};
  const sy_plan_factor table = {0, SY_PLAN_TABLE, two, 2}, wrong = {0, SY_PLAN_TABLE, falling, 2};
  must(sy_plan_try(plan, &base, &err), &err);
  assert_int_equal(sy_plan_term(plan, &table, 1, &err), SY_RANGE); /* one car for two nodes */
  for (int k = 0; k < 2; k++) must(sy_plan_try(plan, &base, &err), &err);
  assert_int_equal(sy_plan_term(plan, &wrong, 1, &err), SY_RANGE);
  for (int k = 0; k < 2; k++) must(sy_plan_try(plan, &base, &err), &err);
  must(sy_plan_term(plan, &table, 1, &err), &err);
  const double none[INPUTS] = {1.5}, *values[INPUTS] = {&none[0], &none[1], &none[2], &none[3], &none[4]};
  double answer, *column[1] = {&answer};
  const sy_plan_output mass = {&sy_balance_answers()->row[0], 0, 1, 0};
  assert_int_equal(sy_plan_solve(plan, values, 1, &mass, 1, column, NULL, false, NULL, &err), SY_UNKNOWN);
  sy_plan_ready ready;
  assert_int_equal(sy_plan_prepare(plan, &mass, SY_MOST_ASKED + 1, NULL, &ready, &err), SY_LIMIT);
  must(sy_plan_prepare(plan, &mass, 1, NULL, &ready, &err), &err);
  sy_summary untouched = sy_summary_begin();
  untouched.at_min = 7;
  assert_int_equal(sy_plan_settle(&ready, values, 10000, 7, 0, &untouched, &err), SY_LIMIT);
  assert_int_equal(sy_plan_settle(&ready, values, 1, 7, 1, &untouched, &err), SY_LIMIT);
  assert_int_equal(sy_plan_settle(&ready, values, 1, 7, 0, &untouched, &err), SY_UNKNOWN);
  assert_int_equal(untouched.at_min, 7);
  const sy_settle_tank tank = {.mass = 1};
  const sy_settle_tank tanks[SY_PLAN_TANKS + 1] = {tank};
  sy_car many = base.car;
  many.tanks = (sy_settle_tanks){tanks, SY_PLAN_TANKS + 1};
  assert_int_equal(sy_plan_car_make(&many, &base.now, &base.drawn, NULL, 0, NULL, &other, &err), SY_LIMIT);
  sy_plan_free(plan);
  sy_plan_free(NULL);
  sy_ledger_release(v.ledger);
}

static void plan_survives_every_refused_allocation(void **state) {
  (void)state;
  varied v = start(4);
  counted_memory m = {0, 0, 0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_status status = SY_LIMIT;
  for (m.refuse = 1; status == SY_LIMIT; m.refuse++) {
    sy_plan *plan = NULL;
    atomic_store(&m.calls, 0);
    status = make_plan(&alloc, &v, sy_balance_answers(), &plan, NULL);
    if (status == SY_OK) sy_plan_free(plan);
    assert_int_equal(atomic_load(&m.live), 0);
  }
  assert_int_equal(status, SY_OK);
  assert_true(m.refuse > 20);
  sy_ledger_release(v.ledger);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(solve_random_variants_equals_edited_ledgers),
      cmocka_unit_test(solve_gives_standard_uncertainties_of_the_balance),
      cmocka_unit_test(solve_bits_do_not_depend_on_threads_blocks_or_level),
      cmocka_unit_test(run_sums_up_what_it_solves),
      cmocka_unit_test(pieces_meet_a_smooth_function),
      cmocka_unit_test(plan_refuses_what_it_documents),
      cmocka_unit_test(plan_survives_every_refused_allocation),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
