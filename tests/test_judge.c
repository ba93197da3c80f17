/* Verdicts of many variants, against the rule written out one variant at a time. */
#include "study/judge.h"

#include <string.h>

#include "base/lanes.h"
#include "dice.h"
#include "near.h"
#include "study/fold.h"
#include "study/kernels/reduce_lanes.h"

static const double INF = (double)INFINITY, NONE = (double)NAN;
static sy_error err;

/* As car:checks says it: the nearer bound counts, min where both are as near. */
static sy_verdict plain(const sy_limit *l, double coverage, double x, double u) {
  if (isnan(x)) return SY_UNDECIDED;
  const double low = x - l->min, high = l->max - x;
  const double margin = low <= high ? low : high, bound = low <= high ? l->min : l->max;
  const double band = !isnan(l->near) ? l->near : u > 0 ? coverage * u : l->share * fabs(bound);
  return margin < 0 ? SY_FAIL : margin < band ? SY_NEAR : SY_PASS;
}

static void one_limit_is_judged_as_a_person_would(void **state) {
  (void)state;
  const sy_limit limit = {41, 43, NONE, 0.05};
  static const double x[] = {40.999, 41, 41.0001, 42, 43, 43.001, (double)NAN, 42.9, 42.9};
  static const double sd[] = {0, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.06, 0.04};
  static const uint8_t want[] = {SY_FAIL, SY_NEAR,      SY_NEAR, SY_PASS, SY_NEAR,
                                 SY_FAIL, SY_UNDECIDED, SY_NEAR, SY_PASS};
  const double *const xs[] = {x}, *const sds[] = {sd};
  uint8_t got[9];
  sy_judge(&limit, 1, xs, sds, 2, 9, got);
  assert_memory_equal(got, want, sizeof want);
  /* without uncertainty 5 % of the bound: 2.05 of 41, so all of 41..43 is near */
  sy_judge(&limit, 1, xs, NULL, 2, 9, got);
  assert_int_equal(got[3], SY_NEAR);
  assert_int_equal(got[0], SY_FAIL);
}

enum { N = 1009, LIMITS = 4 };
static double values[LIMITS][N], sds[LIMITS][N];
static const sy_limit limits[LIMITS] = {{-1, 1, (double)NAN, 0.05},
                                        {-0.9, (double)INFINITY, 0.2, 0.05},
                                        {-(double)INFINITY, 0.95, (double)NAN, 0.3},
                                        {-5, -5, (double)NAN, 0}};

static void draw(void) {
  dice d = {3};
  for (int k = 0; k < LIMITS; k++)
    for (size_t i = 0; i < N; i++) {
      values[k][i] = k == 3 ? -5 : dice_between(&d, -1.2, 1.2);
      sds[k][i] = dice_below(&d, 3) == 0 ? 0 : dice_between(&d, 0, 0.3);
      const size_t odd = dice_below(&d, 40);
      if (odd == 0) values[k][i] = NONE;
      if (odd == 1) values[k][i] = INF;
      if (odd == 2) values[k][i] = -INF;
      if (odd == 3) sds[k][i] = NONE;
      if (odd == 4) values[k][i] = limits[k].min;
    }
}

static void worst_of_all_limits_counts(void **state) {
  (void)state;
  draw();
  const double *const xs[] = {values[0], values[1], values[2], values[3]};
  const double *const us[] = {sds[0], NULL, sds[2], sds[3]};
  static uint8_t got[N + 1];
  uint64_t counts[4] = {0}, want_counts[4] = {0};
  for (size_t used = 0; used <= LIMITS; used++)
    for (size_t n = 0; n <= N; n += n < 20 ? 1 : 329) {
      memset(got, 77, sizeof got);
      sy_judge(limits, used, xs, us, 1.96, n, got);
      for (size_t i = 0; i < n; i++) {
        uint8_t want = SY_PASS;
        for (size_t k = 0; k < used; k++) {
          const uint8_t one = (uint8_t)plain(&limits[k], 1.96, xs[k][i], us[k] != NULL ? us[k][i] : 0);
          want = one > want ? one : want;
        }
        assert_int_equal(got[i], want);
        want_counts[want - 1]++;
      }
      assert_int_equal(got[n], 77);
      sy_verdict_count(got, n, counts);
    }
  for (int k = 0; k < 4; k++) {
    assert_int_equal(counts[k], want_counts[k]);
    assert_true(counts[k] > 0);
  }
}

static void all_builds_of_the_kernel_judge_alike(void **state) {
  (void)state;
  draw();
#ifdef __x86_64__
  static sy_judge_lanes *const builds[] = {NULL, sy_judge_lanes_v1, NULL, sy_judge_lanes_v3,
                                           sy_judge_lanes_v4};
#else
  static sy_judge_lanes *const builds[] = {NULL, sy_judge_lanes_v1};
#endif
  static int64_t first[N + 1], flags[N + 1];
  for (int k = 0; k < LIMITS; k++) {
    const sy_judge_limit l = {limits[k].min, limits[k].max, limits[k].near, limits[k].share, 1.96};
    for (size_t b = 1; b < sizeof builds / sizeof *builds; b++) {
      if (builds[b] == NULL || !sy_lanes_level((int)b)) continue;
      memset(flags, 0, sizeof flags);
      builds[b](&l, values[k], sds[k], N, flags);
      if (b == 1) memcpy(first, flags, sizeof flags);
      assert_memory_equal(flags, first, sizeof flags);
    }
  }
}

static void limits_that_contradict_themselves_are_refused(void **state) {
  (void)state;
  const sy_limit fine = {-INF, INF, NONE, 0.05}, crossed = {43, 41, NONE, 0}, nan = {NONE, 1, NONE, 0},
                 nan_max = {1, NONE, NONE, 0}, band = {1, 2, -0.1, 0}, share = {1, 2, NONE, NONE};
  assert_int_equal(sy_limit_check(&fine, "front_share", NULL), SY_OK);
  assert_int_equal(sy_limit_check(&crossed, "front_share", &err), SY_CLASH);
  assert_string_equal(err.part, "front_share");
  assert_string_equal(err.message, "is 43, above max 41: nothing can be both");
  assert_int_equal(sy_limit_check(&nan, "x", &err), SY_RANGE);
  assert_string_equal(err.field, "min");
  assert_int_equal(sy_limit_check(&nan_max, "x", &err), SY_RANGE);
  assert_string_equal(err.field, "max");
  assert_int_equal(sy_limit_check(&band, "x", &err), SY_RANGE);
  assert_string_equal(err.field, "near");
  assert_int_equal(sy_limit_check(&share, "x", &err), SY_RANGE);
}

/* ---- folding --------------------------------------------------------------------------------------------------------------------- */

static void folded_are_the_lowest_and_the_highest_of_each_variant(void **state) {
  (void)state;
  static const double x[] = {3, 1, 2,       /**/ 5, 5, 5, /**/ 7, (double)NAN, 9, /**/ (double)NAN,
                             1, 2, /**/ -1, -3,     -3};
  static const double want[4][5] = {{1, 5, (double)NAN, (double)NAN, -3},
                                    {3, 5, (double)NAN, (double)NAN, -1},
                                    {2, 1, (double)NAN, (double)NAN, 2},
                                    {1, 1, (double)NAN, (double)NAN, 1}};
  double got[4][5];
  const sy_folded out = {got[0], got[1], got[2], got[3]}, lowest = {.lowest = got[0]};
  sy_fold(x, 3, 5, &out);
  for (int k = 0; k < 4; k++)
    for (int i = 0; i < 5; i++)
      assert_true(got[k][i] == want[k][i] || (isnan(got[k][i]) && isnan(want[k][i])));
  sy_fold(x, 1, 15, &(sy_folded){0});
  sy_fold(x, 5, 3, &lowest);
  assert_near(got[0][0], 1, 0);
}

/* Few different values, zeros of both signs and some unknown: the bits of the plain loop, by every build of the kernel and for any rest. */
static void all_builds_of_the_kernel_fold_alike(void **state) {
  (void)state;
  enum { VARIANTS = 37, MOST_FOLDS = 7 };
  static double x[VARIANTS * MOST_FOLDS], got[4][VARIANTS], want[4][VARIANTS];
#ifdef __x86_64__
  static sy_fold_lanes *const builds[] = {NULL, sy_fold_lanes_v1, NULL, sy_fold_lanes_v3, sy_fold_lanes_v4};
#else
  static sy_fold_lanes *const builds[] = {NULL, sy_fold_lanes_v1};
#endif
  static const double few[] = {0.0, -0.0, 1.5, -2, 1e300, -(double)INFINITY, (double)NAN};
  dice d = {11};
  for (size_t i = 0; i < VARIANTS * MOST_FOLDS; i++)
    x[i] = few[dice_below(&d, dice_below(&d, 5) == 0 ? 7 : 6)];
  for (size_t folds = 1; folds <= MOST_FOLDS; folds++) {
    for (size_t i = 0; i < VARIANTS; i++) {
      const double *v = x + i * folds;
      size_t low = 0, high = 0;
      bool open = false;
      for (size_t f = 0; f < folds; f++) {
        open = open || isnan(v[f]);
        low = v[f] < v[low] ? f : low;
        high = v[f] > v[high] ? f : high;
      }
      want[0][i] = open ? NONE : v[low], want[1][i] = open ? NONE : v[high];
      want[2][i] = open ? NONE : (double)(low + 1), want[3][i] = open ? NONE : (double)(high + 1);
    }
    for (size_t b = 1; b < sizeof builds / sizeof *builds; b++) {
      double *const out[4] = {got[0], got[1], got[2], got[3]};
      if (builds[b] == NULL || !sy_lanes_level((int)b)) continue;
      const size_t done = builds[b](x, folds, VARIANTS, out);
      assert_true(done > VARIANTS - 8 && done <= VARIANTS);
      for (int k = 0; k < 4; k++) assert_memory_equal(got[k], want[k], done * sizeof **got);
    }
    for (size_t n = 0; n <= VARIANTS; n++) {
      const sy_folded out = {got[0], got[1], got[2], got[3]};
      memset(got, 0, sizeof got);
      sy_fold(x, folds, n, &out);
      for (int k = 0; k < 4; k++) assert_memory_equal(got[k], want[k], n * sizeof **got);
    }
  }
}

static void folded_verdict_is_the_worst(void **state) {
  (void)state;
  static const uint8_t verdict[] = {SY_PASS,           SY_NEAR, /**/ SY_FAIL, SY_UNDECIDED,
                                    /**/ SY_UNDECIDED, SY_NEAR, /**/ SY_PASS, SY_PASS};
  static const uint8_t want[] = {SY_NEAR, SY_FAIL, SY_UNDECIDED, SY_PASS};
  uint8_t got[4];
  sy_fold_verdict(verdict, 2, 4, got);
  assert_memory_equal(got, want, sizeof want);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(one_limit_is_judged_as_a_person_would),
      cmocka_unit_test(worst_of_all_limits_counts),
      cmocka_unit_test(all_builds_of_the_kernel_judge_alike),
      cmocka_unit_test(limits_that_contradict_themselves_are_refused),
      cmocka_unit_test(folded_are_the_lowest_and_the_highest_of_each_variant),
      cmocka_unit_test(all_builds_of_the_kernel_fold_alike),
      cmocka_unit_test(folded_verdict_is_the_worst),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
