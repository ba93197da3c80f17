#include "near.h"

#include <float.h>
#include <stdbool.h>
#include <string.h>

#include "base/lanes.h"
#include "dice.h"
#include "numeric/bootstrap.h"
#include "numeric/kernels/bootstrap_lanes.h"
#include "numeric/rng_lanes.h"

enum { MOST = 300, REPLICAS = 40000 };

static double intercept[REPLICAS], slope[REPLICAS];
static uint64_t memory[MOST * 300];

static sy_status run(const double *t, const double *y, size_t count, uint64_t first, size_t replicas,
                     sy_bootstrap_line *out) {
  assert_true(sy_bootstrap_size(count) <= sizeof memory);
  return sy_bootstrap_line_fit(t, y, count, 5, first, replicas, memory, intercept, slope, out, NULL);
}

static void scatter(dice *d, size_t count, double *t, double *y) {
  for (size_t i = 0; i < count; i++) {
    t[i] = dice_between(d, -0.2, 0.5);
    y[i] = 1.27 + 0.53 * t[i] + dice_between(d, -0.02, 0.02) * (1 + 3 * t[i] * t[i]);
  }
}

/* The textbook formulas, straight from a set of readings; false without a slope. */
static bool plain_line(const double *t, const double *y, const size_t *drawn, size_t count, double *b,
                       double *a) {
  double tm = 0, ym = 0, tt = 0, ty = 0;
  for (size_t i = 0; i < count; i++) {
    tm += t[drawn[i]] / (double)count;
    ym += y[drawn[i]] / (double)count;
  }
  bool alike = true;
  for (size_t i = 0; i < count; i++) {
    alike = alike && t[drawn[i]] == t[drawn[0]];
    tt += (t[drawn[i]] - tm) * (t[drawn[i]] - tm);
    ty += (t[drawn[i]] - tm) * (y[drawn[i]] - ym);
  }
  *b = ty / tt;
  *a = ym - *b * tm;
  return !alike;
}

typedef struct moments {
  double count, sum, squares;
} moments;

static void add(moments *m, double x) {
  m->count += 1;
  m->sum += x;
  m->squares += x * x;
}

static double mean_by(const moments *m) { return m->sum / m->count; }
static double sd_by(const moments *m) {
  return sqrt(fmax(m->squares / m->count - mean_by(m) * mean_by(m), 0));
}

static moments moments_of(const double *v, size_t count) {
  moments m = {0, 0, 0};
  for (size_t i = 0; i < count; i++) add(&m, v[i]);
  return m;
}

/* Mean and sd agree within 5 standard errors of the draws of both; `kurtosis` at most 10 for these small sets, so an sd has a
** relative standard error of sqrt(9/4/n). */
static void same_law(const double *got, size_t count, const moments *want, double more) {
  const moments m = moments_of(got, count);
  const double error = sqrt(1 / (double)count + more), sd = sd_by(want);
  assert_near(mean_by(&m), mean_by(want), 5 * error * sd);
  assert_near(sd_by(&m), sd, 5 * 1.5 * error * sd);
}

/* All n^n ways to draw n of n readings, each as likely as the next: the whole bootstrap distribution (Efron & Tibshirani, An
** Introduction to the Bootstrap, 1993, 6.2 "the ideal bootstrap estimate"). */
static void replicas_follow_the_exact_distribution_of_few_readings(void **state) {
  (void)state;
  static double slopes[46656];
  dice d = {11};
  for (size_t n = 3; n <= 6; n++) {
    double t[6], y[6];
    scatter(&d, n, t, y);
    moments want_slope = {0, 0, 0};
    size_t ways = 1;
    for (size_t i = 0; i < n; i++) ways *= n;
    for (size_t way = 0; way < ways; way++) {
      size_t drawn[6], rest = way;
      for (size_t i = 0; i < n; i++, rest /= n) drawn[i] = rest % n;
      double a;
      if (plain_line(t, y, drawn, n, &slopes[way], &a))
        add(&want_slope, slopes[way]);
      else
        slopes[way] = (double)INFINITY; /* below nothing */
    }
    assert_int_equal(run(t, y, n, 0, REPLICAS, NULL), SY_OK);
    /* slopes of close pairs have long tails, so shares are compared and not moments: below points all over the middle */
    for (double f = -2; f <= 2; f += 0.5) {
      const double limit = mean_by(&want_slope) + f * sd_by(&want_slope);
      double below = 0, want = 0;
      for (size_t way = 0; way < ways; way++) want += slopes[way] < limit ? 1 / want_slope.count : 0;
      for (size_t k = 0; k < REPLICAS; k++) below += slope[k] < limit ? 1.0 / REPLICAS : 0;
      assert_near(below, want, 5 * sqrt(0.25 / REPLICAS)); /* 5 standard errors of a share */
    }
  }
}

/* Numbers of readings on both sides of where the rows are made of pairs (22), a set with singles besides, and large ones; the
** other side draws with another generator (dice.h) and fits by the textbook formulas. */
static void replicas_follow_a_bootstrap_by_other_means(void **state) {
  (void)state;
  static const size_t counts[] = {7, 8, 20, 21, 22, 23, 40, MOST};
  dice d = {12};
  for (size_t c = 0; c < sizeof counts / sizeof *counts; c++) {
    const size_t n = counts[c], draws = 8000;
    double t[MOST], y[MOST];
    scatter(&d, n, t, y);
    moments want_slope = {0, 0, 0}, want_intercept = {0, 0, 0};
    for (size_t k = 0; k < draws; k++) {
      size_t drawn[MOST];
      for (size_t i = 0; i < n; i++) drawn[i] = dice_below(&d, n);
      double b, a;
      if (!plain_line(t, y, drawn, n, &b, &a)) continue;
      add(&want_slope, b);
      add(&want_intercept, a);
    }
    assert_int_equal(run(t, y, n, 0, draws, NULL), SY_OK);
    same_law(slope, draws, &want_slope, 1 / (double)draws);
    same_law(intercept, draws, &want_intercept, 1 / (double)draws);
  }
}

/* Each reading in turn is the only one off the line, so slopes show how often it was drawn: never in a share (1 - 1/n)^n. */
static void every_reading_is_drawn_as_often_as_the_others(void **state) {
  (void)state;
  enum { N = 20, DRAWS = 20000 };
  double t[N], y[N];
  for (size_t off = 0; off < N; off++) {
    for (size_t i = 0; i < N; i++) {
      t[i] = (double)i / N;
      y[i] = i == off ? 1.0 : 0.0;
    }
    assert_int_equal(run(t, y, N, 0, DRAWS, NULL), SY_OK);
    double never = 0;
    for (size_t k = 0; k < DRAWS; k++) /* 1e-12: rounding; a reading drawn once moves the line by some 0.01 */
      never += fabs(slope[k]) < 1e-12 && fabs(intercept[k]) < 1e-12 ? 1.0 / DRAWS : 0;
    const double share = pow(1 - 1.0 / N, N);
    assert_near(never, share, 5 * sqrt(share * (1 - share) / DRAWS)); /* 5 standard errors */
  }
}

/* Two words of five pairs, one of three singles, as for 23 readings drawn in pairs; the sums themselves are any numbers. */
static void all_builds_of_the_kernel_give_the_same_bits(void **state) {
  (void)state;
  enum { COUNT = 20, ROWS = COUNT * COUNT };
  static sy_bootstrap_sums row[ROWS + COUNT];
  uint64_t bits[3 * SY_BOOTSTRAP_LANES];
  dice d = {13};
  for (size_t i = 0; i < ROWS + COUNT; i++)
    row[i] = (sy_bootstrap_sums){dice_between(&d, -1, 1), dice_between(&d, -1, 1), dice_between(&d, 0, 1),
                                 dice_between(&d, -1, 1)};
  sy_bootstrap_draws draws = {.row = row,
                              .bits = bits,
                              .count = COUNT,
                              .rows = ROWS,
                              .groups = 10,
                              .singles = 3,
                              .group_draws = 5,
                              .single_draws = 10,
                              .group_words = 2,
                              .taken = 3};
  sy_rng_schedule(sy_rng_key(99), draws.key);
  for (uint64_t first = 0; first < 8000; first += SY_BOOTSTRAP_LANES) {
    sy_bootstrap_sums plain[SY_BOOTSTRAP_LANES], wide[SY_BOOTSTRAP_LANES];
    sy_bootstrap_lanes_v1(&draws, first, 0, plain);
#ifdef __x86_64__
    if (sy_lanes_level(3)) {
      sy_bootstrap_lanes_v3(&draws, first, 0, wide);
      assert_memory_equal(plain, wide, sizeof plain);
    }
    if (sy_lanes_level(4)) {
      sy_bootstrap_lanes_v4(&draws, first, 0, wide);
      assert_memory_equal(plain, wide, sizeof plain);
    }
#endif
    sy_bootstrap_lanes_v1(&draws, first, 1, wide);
    assert_memory_not_equal(plain, wide, sizeof plain); /* another try, other draws */
  }
}

static void replicas_are_the_same_in_any_batch(void **state) {
  (void)state;
  enum { N = 20, ALL = 100 };
  dice d = {14};
  double t[N], y[N], whole[ALL];
  scatter(&d, N, t, y);
  assert_int_equal(run(t, y, N, 0, ALL, NULL), SY_OK);
  memcpy(whole, slope, sizeof whole);
  for (size_t first = 0; first < ALL; first += 13) {
    const size_t more = ALL - first < 13 ? ALL - first : 13;
    slope[more] = 77;
    assert_int_equal(run(t, y, N, first, more, NULL), SY_OK);
    assert_memory_equal(slope, whole + first, more * sizeof *slope);
    assert_true(slope[more] == 77); /* nothing behind is touched */
  }
}

static void a_straight_line_is_given_back_by_every_replica(void **state) {
  (void)state;
  enum { N = 12 };
  double t[N], y[N];
  for (size_t i = 0; i < N; i++) {
    t[i] = 0.1 + 0.037 * (double)(i * i);
    y[i] = 2.37 - 0.71 * t[i];
  }
  sy_bootstrap_line whole;
  assert_int_equal(run(t, y, N, 0, 2000, &whole), SY_OK);
  const double tol = 200 * DBL_EPSILON; /* roundings of y, over a draw of nearly equal t at worst */
  assert_near(whole.slope, -0.71, tol);
  assert_near(whole.intercept, 2.37, tol);
  for (size_t k = 0; k < 2000; k++) {
    assert_near(slope[k], -0.71, tol);
    assert_near(intercept[k], 2.37, tol);
  }
  double there[N], moved[2000];
  for (size_t i = 0; i < N; i++) y[i] += 0.01 * (double)(i * 7 % 5);
  assert_int_equal(run(t, y, N, 0, 2000, NULL), SY_OK);
  memcpy(moved, slope, sizeof moved);
  for (size_t i = 0; i < N; i++) there[i] = t[i] + 1e6;
  assert_int_equal(run(there, y, N, 0, 2000, NULL), SY_OK);
  for (size_t k = 0; k < 2000;
       k++) /* ulp of 1e6 is 1.2e-10, over steps of t of 0.04 or more, times slopes below 2 */
    assert_near(slope[k], moved[k], 1e-7);
}

/* Half of all draws of two readings, and most of these four, hold one t only. */
static void draws_without_a_slope_are_drawn_again(void **state) {
  (void)state;
  const double t[] = {0.1, 0.1, 0.1, 0.7}, y[] = {1.0, 1.3, 1.9, 2.5};
  assert_int_equal(run(t, y, 4, 0, 5000, NULL), SY_OK);
  for (size_t k = 0; k < 5000; k++) { /* the mean of some of the first three, joined to the fourth */
    assert_true(slope[k] >= (2.5 - 1.9) / 0.6 - 1e-12 && slope[k] <= (2.5 - 1.0) / 0.6 + 1e-12);
    assert_near(intercept[k] + 0.7 * slope[k], 2.5, 1e-13); /* a few roundings */
  }
  const double t2[] = {3.0, 3.5}, y2[] = {-1.0, 4.0};
  assert_int_equal(run(t2, y2, 2, 0, 1000, NULL), SY_OK);
  for (size_t k = 0; k < 1000; k++) assert_near(slope[k], 10.0, 1e-12); /* a few roundings */
}

static void assert_refused(const double *t, const double *y, size_t count, sy_status want, const char *part,
                           const char *field, const char *message) {
  sy_error err;
  slope[0] = intercept[0] = 4711;
  assert_int_equal(sy_bootstrap_line_fit(t, y, count, 1, 0, 1, memory, intercept, slope, NULL, &err), want);
  assert_string_equal(err.part, part);
  assert_string_equal(err.field, field);
  assert_string_equal(err.message, message);
  assert_true(slope[0] == 4711 && intercept[0] == 4711);
}

static void bad_readings_are_refused_by_name(void **state) {
  (void)state;
  const double good[] = {1.5, 2.5, 4.0}, hole[] = {1.5, (double)NAN, 4.0}, same[] = {0.3, 0.3, 0.3};
  const double huge[] = {1.5, 2.5, 1e200};
  assert_refused(good, good, 1, SY_RANGE, "readings", "count", "is 1, must be 2 to 65536");
  assert_refused(good, good, 65537, SY_RANGE, "readings", "count", "is 65537, must be 2 to 65536");
  assert_refused(hole, good, 3, SY_RANGE, "reading 2 of 3", "t", "is nan, must be a number below 1e150");
  assert_refused(good, hole, 3, SY_RANGE, "reading 2 of 3", "y", "is nan, must be a number below 1e150");
  assert_refused(good, huge, 3, SY_RANGE, "reading 3 of 3", "y", "is 1e200, must be a number below 1e150");
  assert_refused(same, good, 3, SY_GEOMETRY, "readings", "t",
                 "is the same in all: no slope follows from them");
  assert_int_equal(sy_bootstrap_size(1), 0);
  assert_int_equal(sy_bootstrap_size(65537), 0);
}

/* Definition 7 of Hyndman & Fan 1996: position 1 + (n - 1) p. */
static void quantiles_lie_between_order_statistics(void **state) {
  (void)state;
  double v[] = {15, 3, 7, 4};
  sy_bootstrap_sort(v, 4);
  assert_near(sy_bootstrap_quantile(v, 4, 0), 3, 0);
  assert_near(sy_bootstrap_quantile(v, 4, 0.25), 3.75, 1e-15); /* position 1.75 */
  assert_near(sy_bootstrap_quantile(v, 4, 0.9), 7 + 0.7 * 8, 1e-14);
  assert_near(sy_bootstrap_quantile(v, 4, 1), 15, 0);
  assert_true(isnan(sy_bootstrap_quantile(v, 4, 1.1)) && isnan(sy_bootstrap_quantile(v, 0, 0.5)));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(replicas_follow_the_exact_distribution_of_few_readings),
      cmocka_unit_test(replicas_follow_a_bootstrap_by_other_means),
      cmocka_unit_test(every_reading_is_drawn_as_often_as_the_others),
      cmocka_unit_test(all_builds_of_the_kernel_give_the_same_bits),
      cmocka_unit_test(replicas_are_the_same_in_any_batch),
      cmocka_unit_test(a_straight_line_is_given_back_by_every_replica),
      cmocka_unit_test(draws_without_a_slope_are_drawn_again),
      cmocka_unit_test(bad_readings_are_refused_by_name),
      cmocka_unit_test(quantiles_lie_between_order_statistics),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
