/* Random numbers by counting, and simulations of answers: against published examples, recomputation by other means, and themselves in other
** orders. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answers/balance_answers.h"
#include "answers/sets.h"
#include "first_guess.h"
#include "near.h"
#include "numeric/rng.h"
#include "study/montecarlo.h"
#include "study/montecarlo_plan.h"

/* ---- random numbers ------------------------------------------------------------------------------------------------------------------ */

static uint32_t word_of(uint64_t seed, uint64_t path, uint32_t quantity, uint64_t draw, int which) {
  const sy_rng_words counter = {{(uint32_t)(draw / 4), (uint32_t)path, (uint32_t)(path >> 32), quantity}};
  return sy_rng_threefry(sy_rng_key(seed), counter).word[which];
}

static size_t place_of(size_t draw) { return draw / 4 % 64 + 64 * (draw % 4); }

/* Draws of the definition in random.h by the library's own logarithm, sine and cosine: single precision leaves some 1e-6 of 6.5. */
static void random_block_normals_are_box_and_mullers(void **state) {
  (void)state;
  const uint64_t seed = 20, path = sy_random_path("powertrain/engine"), block = 77;
  float z[SY_DRAWS];
  sy_random_block(SY_NORMAL, seed, path, 5, block, z);
  for (size_t k = 0; k < SY_DRAWS; k += 2) {
    const uint64_t draw = block * SY_DRAWS + k;
    const uint32_t v = word_of(seed, path, 5, draw, k % 4 == 0 ? 0 : 2),
                   w = word_of(seed, path, 5, draw, k % 4 == 0 ? 1 : 3);
    const double r = sqrt(-2.0 * log((double)(v >> 1 | 1u) * 0x1p-31));
    const double a = (double)(int32_t)(w << 2) * 0x1p-31 * 0.78539816339744831;
    const double c = w & 0x80000000u ? -cos(a) : cos(a), s = sin(a);
    const bool swap = (w & 0x40000000u) != 0;
    assert_near((double)z[place_of(k)], r * (swap ? s : c), 4e-6);
    assert_near((double)z[place_of(k + 1)], r * (swap ? c : s), 4e-6);
  }
}

static void random_block_all_levels_have_the_same_bits(void **state) {
  (void)state;
  for (int kind = SY_NORMAL; kind <= SY_ALLOWANCE; kind++)
    for (uint64_t block = 0; block < 40; block++) {
      float first[SY_DRAWS], other[SY_DRAWS];
      assert_true(sy_random_block_level(1, (sy_distribution)kind, 3, 99 + block, 2, block, first));
      for (int level = 3; level <= 4; level++)
        if (sy_random_block_level(level, (sy_distribution)kind, 3, 99 + block, 2, block, other))
          assert_memory_equal(first, other, sizeof first);
    }
}

/* Distribution functions at +- their sd: normal, between +- sqrt 3, triangular between +- sqrt 6, from 0 to 1. */
static double below(sy_distribution kind, double x) {
  const double limit = sqrt(6.0);
  switch (kind) {
  case SY_NORMAL: return 0.5 * erfc(-x / sqrt(2.0));
  case SY_RECTANGULAR: return fmin(1, fmax(0, 0.5 + x / sqrt(12.0)));
  case SY_TRIANGULAR:
    return x <= -limit  ? 0
           : x >= limit ? 1
           : x < 0      ? 0.5 * (1 + x / limit) * (1 + x / limit)
                        : 1 - 0.5 * (1 - x / limit) * (1 - x / limit);
  default: return fmin(1, fmax(0, x));
  }
}

/* 256 cells of equal chance: chi-square of 255 degrees lies within 255 +- 5 sqrt(510) but once in 1e6; and draws of neighbours, of two
** quantities and of two items do not follow one another. */
static void random_block_distributions_are_what_they_are_called(void **state) {
  (void)state;
  enum { BLOCKS = 2000, CELLS = 256 };
  for (int kind = SY_NORMAL; kind <= SY_ALLOWANCE; kind++) {
    static size_t cell[CELLS];
    double mean = 0, square = 0, next = 0, quantity = 0, item = 0;
    const double n = (double)BLOCKS * SY_DRAWS, middle = sy_distribution_mean((sy_distribution)kind);
    const double sd = sy_distribution_sd((sy_distribution)kind);
    memset(cell, 0, sizeof cell);
    for (uint64_t b = 0; b < BLOCKS; b++) {
      float z[3][SY_DRAWS];
      sy_random_block((sy_distribution)kind, 8, 1234567, 0, b, z[0]);
      sy_random_block((sy_distribution)kind, 8, 1234567, 1, b, z[1]);
      sy_random_block((sy_distribution)kind, 8, 1234568, 0, b, z[2]);
      for (size_t i = 0; i < SY_DRAWS; i++) {
        const double x = (double)z[0][i], u = (x - middle) / sd;
        mean += u, square += u * u;
        next += u * ((double)z[0][(i + 64) % SY_DRAWS] - middle) / sd;
        quantity += u * ((double)z[1][i] - middle) / sd;
        item += u * ((double)z[2][i] - middle) / sd;
        const double at = CELLS * below((sy_distribution)kind, x);
        cell[at < CELLS ? (size_t)at : CELLS - 1]++;
      }
    }
    double chi2 = 0;
    for (int i = 0; i < CELLS; i++) chi2 += pow((double)cell[i] - n / CELLS, 2) / (n / CELLS);
    assert_near(chi2, CELLS - 1, 5 * sqrt(2.0 * (CELLS - 1)));
    assert_near(mean / n, 0, 5 / sqrt(n));
    assert_near(square / n, 1, 5 * sqrt(2 / n));
    assert_near(next / n, 0, 5 / sqrt(n));
    assert_near(quantity / n, 0, 5 / sqrt(n));
    assert_near(item / n, 0, 5 / sqrt(n));
  }
}

/* ---- simulations --------------------------------------------------------------------------------------------------------- */

/* Two axles 2.45 m apart, invented. */
static sy_vehicle first_guess_vehicle(void) {
  sy_vehicle v = sy_vehicle_default();
  sy_axle axle = sy_axle_default();
  sy_wheel wheel = sy_wheel_default();
  axle.wheels = 2, wheel.loaded_radius = 0.3;
  axle.x = 0;
  sy_vehicle_add_axle(&v, axle, 1.5, wheel);
  axle.x = -FIRST_GUESS_WHEELBASE;
  sy_vehicle_add_axle(&v, axle, 1.48, wheel);
  return v;
}

static sy_ledger *first_guess_ledger(void) { return first_guess(NULL, 0.006, true); }

/* A car whose mass is a sum of four, each 100 kg with these standard uncertainties. */
static sy_ledger *four_masses(const double sd[4]) {
  sy_error err;
  sy_ledger *ledger = NULL;
  sy_ledger_builder *b = sy_ledger_builder_new(NULL, NULL);
  assert_non_null(b);
  for (int i = 0; i < 4; i++) {
    sy_part p = sy_part_default();
    p.mass = 100, p.mass_sd = sd[i];
    p.cg = p.cg_stated = (sy_vec3){-1.2 + 0.1 * i, 0.02 * i, 0.4};
    assert_int_equal(sy_ledger_add_part(b, "part", NULL, &p, &err), SY_OK);
  }
  assert_int_equal(sy_ledger_finish(b, &ledger, &err), SY_OK);
  sy_ledger_builder_free(b);
  return ledger;
}

static void name_all(sy_spread *p, sy_distribution kind) {
  for (size_t i = 0; i < sy_spread_sources(p); i++) {
    const sy_spread_source is = sy_spread_source_of(p, i);
    char name[64];
    const sy_elementary *e = is.error; /* no stated numbers here */
    snprintf(name, sizeof name, "%llu %u", (unsigned long long)e->line, e->line == 0 ? e->number : 0u);
    sy_spread_name(p, i, sy_random_path(name), (uint32_t)e->kind, kind);
  }
}

typedef struct summary {
  sy_spread_result r;
  double low, high;
} summary;

static void start(sy_spread *p) {
  size_t first, second;
  sy_error err;
  assert_int_equal(sy_spread_start(p, 11, NULL, NULL, NULL, &first, &second, &err), SY_OK);
}

static summary mass_of(const double sd[4], sy_distribution kind, uint64_t draws) {
  sy_ledger *ledger = four_masses(sd);
  const sy_vehicle v = first_guess_vehicle();
  sy_car car;
  sy_error err;
  assert_int_equal(sy_car_make(ledger, NULL, &v, &car, &err), SY_OK);
  sy_asked asked;
  assert_true(sy_answer_find(sy_balance_answers(), &v, "mass", &asked));
  const sy_spread_set set = {sy_balance_answers(), &car, &asked, 1};
  sy_spread *p = NULL;
  assert_int_equal(sy_spread_new(NULL, &set, 1, NULL, &p, &err), SY_OK);
  name_all(p, kind);
  start(p);
  double *numbers = calloc(sy_spread_numbers(p), sizeof *numbers);
  uint32_t *counts = calloc(SY_SPREAD_COUNTS, sizeof *counts);
  uint64_t *wide = calloc(SY_SPREAD_COUNTS, sizeof *wide);
  const size_t blocks = (size_t)((draws + SY_DRAWS - 1) / SY_DRAWS);
  assert_int_equal(sy_spread_run(p, 0, blocks, draws, 2, numbers, counts, &err), SY_OK);
  for (size_t i = 0; i < SY_SPREAD_COUNTS; i++) wide[i] = counts[i];
  const summary s = {sy_spread_result_of(p, numbers, 0), sy_spread_percentile(p, wide, 0, 0.025),
                     sy_spread_percentile(p, wide, 0, 0.975)};
  free(numbers), free(counts), free(wide);
  sy_spread_free(p);
  sy_ledger_release(ledger);
  return s;
}

/* JCGM 101:2008, 9.2: the additive model of four quantities, 1e6 trials. 9.2.2, normal, each of standard uncertainty 1: 2.0, from -3.92
** to 3.92.
** 9.2.3, rectangular: 2.0, from -3.88 to 3.88. 9.2.4, rectangular, one of them of 10: 10.1, from -17.0 to 17.0. From memory; half the last
** digit, and three times what 1e6 draws leave. */
static void spread_sums_of_four_are_those_of_jcgm_101(void **state) {
  (void)state;
  const double equal[4] = {1, 1, 1, 1}, unequal[4] = {1, 1, 1, 10};
  const summary normal = mass_of(equal, SY_NORMAL, 1000000), flat = mass_of(equal, SY_RECTANGULAR, 1000000);
  const summary one = mass_of(unequal, SY_RECTANGULAR, 1000000);
  assert_near(normal.r.mean, 400, 3 * 2e-3);
  assert_near(normal.r.sd, 2.0, 3 * 1.5e-3);
  assert_near(normal.low - 400, -3.92, 0.005 + 3 * 5.4e-3);
  assert_near(normal.high - 400, 3.92, 0.005 + 3 * 5.4e-3);
  assert_near(flat.r.sd, 2.0, 3 * 1.5e-3);
  assert_near(flat.low - 400, -3.88, 0.005 + 3 * 5.4e-3);
  assert_near(flat.high - 400, 3.88, 0.005 + 3 * 5.4e-3);
  assert_near(one.r.sd, 10.1, 0.05 + 3 * 7e-3);
  assert_near(one.low - 400, -17.0, 0.05 + 3 * 5e-3);
  assert_near(one.high - 400, 17.0, 0.05 + 3 * 5e-3);
  assert_near(one.r.drawn, 1000000, 0);
}

/* ---- the same bits ------------------------------------------------------------------------------------------------------- */

enum { N = 10007, BLOCKS = (N + SY_DRAWS - 1) / SY_DRAWS, SHOWN = 6 };

typedef struct tallies {
  double *numbers;
  uint32_t *counts;
  size_t number_bytes, count_bytes;
} tallies;

static tallies tallies_of(const sy_spread *p) {
  tallies t = {.number_bytes = sy_spread_numbers(p) * sizeof *t.numbers,
               .count_bytes = sy_spread_answers(p) * SY_SPREAD_COUNTS * sizeof *t.counts};
  t.numbers = malloc(t.number_bytes);
  t.counts = malloc(t.count_bytes);
  return t;
}

static void free_tallies(tallies *t) { free(t->numbers), free(t->counts); }

static void assert_same(const tallies *a, const tallies *b) {
  assert_memory_equal(a->numbers, b->numbers, a->number_bytes);
  assert_memory_equal(a->counts, b->counts, a->count_bytes);
}

/* The first guess, by names that make the kernels for plain lines, for pools, and for any line do their parts. */
static sy_spread *first_guess_spread(const sy_ledger *ledger, bool sprung) {
  static const char *const names[SHOWN] = {"mass", "front_share", "cg.x",
                                           "cg.z", "yaw_inertia", "sprung.cg.z"};
  const sy_vehicle v = first_guess_vehicle();
  sy_car car;
  sy_error err;
  sy_asked asked[SHOWN];
  sy_spread *p = NULL;
  assert_int_equal(sy_car_make(ledger, NULL, &v, &car, &err), SY_OK);
  for (int i = 0; i < SHOWN; i++) assert_true(sy_answer_find(sy_balance_answers(), &v, names[i], &asked[i]));
  const sy_spread_set set = {sy_balance_answers(), &car, asked, sprung ? SHOWN : SHOWN - 2};
  assert_int_equal(sy_spread_new(NULL, &set, 1, NULL, &p, &err), SY_OK);
  name_all(p, SY_NORMAL);
  start(p);
  return p;
}

static void spread_threads_and_levels_do_not_show(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess_ledger();
  for (int sprung = 0; sprung < 2; sprung++) {
    sy_spread *p = first_guess_spread(ledger, sprung != 0);
    tallies first = tallies_of(p), other = tallies_of(p);
    sy_error err;
    static const int threads[] = {2, 3, 5};
    assert_int_equal(sy_spread_run(p, 0, BLOCKS, N, 1, first.numbers, first.counts, &err), SY_OK);
    for (size_t i = 0; i < sizeof threads / sizeof *threads; i++) {
      assert_int_equal(sy_spread_run(p, 0, BLOCKS, N, threads[i], other.numbers, other.counts, &err), SY_OK);
      assert_same(&first, &other);
    }
    for (int level = 1; level <= 4; level++) {
      if (!sy_spread_use_level(p, level)) continue;
      assert_int_equal(sy_spread_run(p, 0, BLOCKS, N, 1, other.numbers, other.counts, &err), SY_OK);
      assert_same(&first, &other);
    }
    const sy_spread_result r = sy_spread_result_of(p, first.numbers, 0);
    assert_near(r.drawn, N, 0);
    assert_near(r.sd, sy_spread_first_of(p, 0).sd, 5 * r.sd_error);
    free_tallies(&first), free_tallies(&other);
    sy_spread_free(p);
  }
  sy_ledger_release(ledger);
}

/* Numbers and counts of slices add up to those of one run: counts to the bit, sums as far as adding in other groups lets them. */
static void spread_slices_add_up(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess_ledger();
  sy_spread *p = first_guess_spread(ledger, true);
  tallies all = tallies_of(p), part = tallies_of(p), sum = tallies_of(p);
  sy_error err;
  assert_int_equal(sy_spread_run(p, 0, BLOCKS, N, 1, all.numbers, all.counts, &err), SY_OK);
  sy_spread_nothing(p, sum.numbers);
  memset(sum.counts, 0, sum.count_bytes);
  for (size_t from = 0; from < BLOCKS; from += 7) {
    const size_t count = BLOCKS - from < 7 ? BLOCKS - from : 7;
    assert_int_equal(sy_spread_run(p, from, count, N, 2, part.numbers, part.counts, &err), SY_OK);
    sy_spread_fold(p, part.numbers, sum.numbers);
    for (size_t i = 0; i < sum.count_bytes / sizeof *sum.counts; i++) sum.counts[i] += part.counts[i];
  }
  assert_memory_equal(sum.counts, all.counts, all.count_bytes);
  for (size_t a = 0; a < sy_spread_answers(p); a++) {
    const sy_spread_result r = sy_spread_result_of(p, sum.numbers, a),
                           s = sy_spread_result_of(p, all.numbers, a);
    assert_near(r.mean, s.mean, 1e-12 * fabs(s.mean));
    assert_near(r.sd, s.sd, 1e-12 * s.sd);
    assert_near(r.low, s.low, 0);
    assert_near(r.high, s.high, 0);
  }
  free_tallies(&all), free_tallies(&part), free_tallies(&sum);
  sy_spread_free(p);
  sy_ledger_release(ledger);
}

/* Pooled places have the same joint law as places drawn one by one: covariances of the answers agree. Asking for a product of inertia makes
** every place be drawn. */
static void spread_pooled_places_spread_as_drawn_ones(void **state) {
  (void)state;
  static const char *const names[4] = {"mass", "cg.x", "cg.z", "inertia.xz"};
  enum { DRAWS = 200000 };
  sy_ledger *ledger = first_guess_ledger();
  const sy_vehicle v = first_guess_vehicle();
  double covariance[2][3][3];
  size_t drawn[2];
  for (int full = 0; full < 2; full++) {
    sy_car car;
    sy_error err;
    sy_asked asked[4];
    sy_spread *p = NULL;
    assert_int_equal(sy_car_make(ledger, NULL, &v, &car, &err), SY_OK);
    for (int i = 0; i < 4; i++) assert_true(sy_answer_find(sy_balance_answers(), &v, names[i], &asked[i]));
    const sy_spread_set set = {sy_balance_answers(), &car, asked, 3 + full};
    assert_int_equal(sy_spread_new(NULL, &set, 1, NULL, &p, &err), SY_OK);
    name_all(p, SY_NORMAL);
    start(p);
    drawn[full] = sy_spread_drawn(p);
    tallies t = tallies_of(p);
    assert_int_equal(
        sy_spread_run(p, 0, (DRAWS + SY_DRAWS - 1) / SY_DRAWS, DRAWS, 2, t.numbers, t.counts, &err), SY_OK);
    for (size_t a = 0; a < 3; a++)
      for (size_t b = 0; b < 3; b++) covariance[full][a][b] = sy_spread_covariance(p, t.numbers, a, b);
    free_tallies(&t);
    sy_spread_free(p);
  }
  assert_true(drawn[0] < drawn[1]);
  for (size_t a = 0; a < 3; a++)
    for (size_t b = 0; b < 3; b++) {
      const double c = covariance[1][a][b], size = covariance[1][a][a] * covariance[1][b][b];
      assert_near(covariance[0][a][b], c,
                  5 * sqrt(2 * (size + c * c) / DRAWS)); /* both are of so many draws */
    }
  sy_ledger_release(ledger);
}

/* ---- errors -------------------------------------------------------------------------------------------------------------- */

static void spread_two_sources_of_one_name_are_refused(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess_ledger();
  sy_spread *p = first_guess_spread(ledger, false);
  size_t first = 0, second = 0;
  sy_error err;
  sy_spread_name(p, 3, 1, 2, SY_NORMAL);
  sy_spread_name(p, 7, 1, 2, SY_NORMAL);
  assert_int_equal(sy_spread_start(p, 1, NULL, NULL, NULL, &first, &second, &err), SY_CLASH);
  assert_int_equal(first, 3);
  assert_int_equal(second, 7);
  sy_spread_free(p);
  sy_ledger_release(ledger);
}

/* Everything that memory is asked for, from the list of errors to the rooms of two threads. */
static sy_status simulate(const sy_ledger *ledger, const sy_alloc *alloc, sy_error *err) {
  const sy_vehicle v = first_guess_vehicle();
  sy_car car;
  sy_asked asked[2];
  sy_spread *p = NULL;
  size_t first, second;
  double fraction[1] = {0.1}, fixed[1] = {0.2};
  const sy_spread_growth growth = {fraction, fixed, 1};
  assert_int_equal(sy_car_make(ledger, NULL, &v, &car, err), SY_OK);
  assert_true(sy_answer_find(sy_balance_answers(), &v, "mass", &asked[0]));
  assert_true(sy_answer_find(sy_balance_answers(), &v, "sprung.cg.z", &asked[1]));
  const sy_spread_set set = {sy_balance_answers(), &car, asked, 2};
  sy_status status = sy_spread_new(alloc, &set, 1, &growth, &p, err);
  if (status != SY_OK) return status;
  name_all(p, SY_NORMAL);
  status = sy_spread_start(p, 1, NULL, NULL, NULL, &first, &second, err);
  tallies t = tallies_of(p);
  if (status == SY_OK) status = sy_spread_run(p, 0, 3, 700, 2, t.numbers, t.counts, err);
  free_tallies(&t);
  sy_spread_free(p);
  return status;
}

static void spread_memory_that_runs_out_is_reported_and_given_back(void **state) {
  (void)state;
  sy_ledger *ledger = first_guess_ledger();
  counted_memory m = {0};
  const sy_alloc alloc = counting_alloc(&m);
  sy_status status = SY_LIMIT;
  size_t refused = 0;
  for (; status != SY_OK; refused++) {
    sy_error err = {.status = SY_OK};
    atomic_store(&m.calls, 0);
    m.refuse = refused + 1;
    status = simulate(ledger, &alloc, &err);
    m.refuse = 0;
    if (status != SY_OK) {
      assert_int_equal(err.status, SY_LIMIT);
      assert_string_equal(err.message, "memory is out");
    }
    assert_int_equal(atomic_load(&m.live), 0);
  }
  assert_true(refused > 20);
  sy_ledger_release(ledger);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(random_block_normals_are_box_and_mullers),
      cmocka_unit_test(random_block_all_levels_have_the_same_bits),
      cmocka_unit_test(random_block_distributions_are_what_they_are_called),
      cmocka_unit_test(spread_sums_of_four_are_those_of_jcgm_101),
      cmocka_unit_test(spread_threads_and_levels_do_not_show),
      cmocka_unit_test(spread_slices_add_up),
      cmocka_unit_test(spread_pooled_places_spread_as_drawn_ones),
      cmocka_unit_test(spread_two_sources_of_one_name_are_refused),
      cmocka_unit_test(spread_memory_that_runs_out_is_reported_and_given_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
