/* Least, greatest and mean of columns, against plain loops and sums in whole numbers; the same however the column is cut. */
#include "study/summary.h"

#include <float.h>
#include <string.h>

#include "base/lanes.h"
#include "dice.h"
#include "near.h"
#include "study/kernels/reduce_lanes.h"

enum { N = 10007 };
static const double INF = (double)INFINITY;
static double x[N];

/* Values of all sizes, with the same ones again and some unknown. */
static void draw(uint64_t seed) {
  dice d = {seed};
  for (size_t i = 0; i < N; i++) {
    x[i] = dice_between(&d, -1, 1) * pow(10, dice_between(&d, -12, 9));
    if (dice_below(&d, 11) == 0) x[i] = (double)NAN;
    if (i > 0 && dice_below(&d, 13) == 0) x[i] = x[dice_below(&d, i)];
  }
}

/* The mean to more digits than a double has: each value as a whole number of 2^-53, which is what summary.h says is summed. */
static long double exact_mean(void) {
  int64_t high = 0, low = 0; /* 2^-8, 2^-53 */
  uint64_t known = 0;
  for (size_t i = 0; i < N; i++) {
    if (isnan(x[i])) continue;
    const double whole = nearbyint(x[i] * 256) / 256;
    high += (int64_t)(whole * 256);
    low += (int64_t)nearbyint((x[i] - whole) * 0x1p53);
    known++;
  }
  return ((long double)high * 0x1p-8L + (long double)low * 0x1p-53L) / (long double)known;
}

static void column_is_summed_up_as_by_plain_loops(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed < 20; seed++) {
    draw(seed);
    sy_summary s = sy_summary_begin();
    sy_summary_add(&s, x, N, 1000);
    double min = INF, max = -INF;
    uint64_t at_min = 0, at_max = 0, known = 0;
    for (size_t i = 0; i < N; i++) {
      if (x[i] < min) min = x[i], at_min = 1000 + i;
      if (x[i] > max) max = x[i], at_max = 1000 + i;
      known += isnan(x[i]) ? 0 : 1;
    }
    assert_near(s.min, min, 0);
    assert_near(s.max, max, 0);
    assert_int_equal(s.at_min, at_min);
    assert_int_equal(s.at_max, at_max);
    assert_int_equal(s.known, known);
    assert_int_equal(s.unknown, N - known);
    const double mean = (double)exact_mean();
    assert_near(sy_summary_mean(&s), mean,
                2 * DBL_EPSILON * fabs(mean)); /* the sum becomes a double and is divided */
  }
}

static void summary_is_the_same_bits_however_it_is_put_together(void **state) {
  (void)state;
  draw(7);
  sy_summary whole = sy_summary_begin();
  sy_summary_add(&whole, x, N, 0);
  static const size_t blocks[] = {1, 7, 64, 255, 256, 257, 1000, N};
  for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++)
    for (int backwards = 0; backwards < 2; backwards++) {
      sy_summary joined = sy_summary_begin(), running = sy_summary_begin();
      const size_t count = (N + blocks[b] - 1) / blocks[b];
      for (size_t k = 0; k < count; k++) {
        const size_t first = (backwards ? count - 1 - k : k) * blocks[b],
                     n = N - first < blocks[b] ? N - first : blocks[b];
        sy_summary part = sy_summary_begin();
        sy_summary_add(&part, x + first, n, first);
        sy_summary_join(&joined, &part);
        sy_summary_add(&running, x + first, n, first);
      }
      assert_memory_equal(&joined, &whole, sizeof whole);
      assert_memory_equal(&running, &whole, sizeof whole);
    }
}

static void all_builds_of_the_kernel_sum_up_alike(void **state) {
  (void)state;
  draw(9);
#ifdef __x86_64__
  static sy_summary_lanes *const builds[] = {NULL, sy_summary_lanes_v1, NULL, sy_summary_lanes_v3,
                                             sy_summary_lanes_v4};
#else
  static sy_summary_lanes *const builds[] = {NULL, sy_summary_lanes_v1};
#endif
  for (size_t n = 0; n <= SY_REDUCE_MOST; n++)
    for (size_t b = 1; b < sizeof builds / sizeof *builds; b++) {
      static sy_reduced first;
      sy_reduced r;
      if (builds[b] == NULL || !sy_lanes_level((int)b)) continue;
      builds[b](x + n, n, &r);
      if (b == 1) first = r;
      assert_memory_equal(&r, &first, sizeof r);
    }
}

static void nothing_known_has_no_mean(void **state) {
  (void)state;
  sy_summary s = sy_summary_begin(), none = sy_summary_begin();
  assert_true(isnan(sy_summary_mean(&s)));
  const double unknown[3] = {(double)NAN, (double)NAN, (double)NAN};
  sy_summary_add(&s, unknown, 3, 5);
  assert_int_equal(s.unknown, 3);
  assert_true(isnan(sy_summary_mean(&s)) && s.known == 0);
  const double one = -0.0;
  sy_summary_join(&s, &none);
  sy_summary_add(&s, &one, 1, 8);
  assert_int_equal(s.at_min, 8);
  assert_near(sy_summary_mean(&s), 0, 0);
}

/* What cannot be summed in whole numbers has extremes and no mean, never a wrong one. */
static void values_too_large_have_no_mean(void **state) {
  (void)state;
  static const double large[] = {0x1p36, -0x1p36, (double)INFINITY, -(double)INFINITY, 1e300};
  for (size_t k = 0; k < sizeof large / sizeof *large; k++) {
    sy_summary s = sy_summary_begin();
    const double pair[2] = {3, large[k]};
    sy_summary_add(&s, pair, 2, 0);
    assert_true(isnan(sy_summary_mean(&s)));
    assert_near(large[k] > 0 ? s.max : s.min, large[k], 0);
    assert_int_equal(large[k] > 0 ? s.at_max : s.at_min, 1);
  }
  sy_summary s = sy_summary_begin();
  const double largest[2] = {0x1.fffffffffffffp35, 0x1.fffffffffffffp35};
  sy_summary_add(&s, largest, 2, 0);
  assert_near(sy_summary_mean(&s), largest[0], 0);
  s.known = (uint64_t)1 << 18; /* as if so many of them had been: the sum would not fit */
  assert_true(isnan(sy_summary_mean(&s)));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(column_is_summed_up_as_by_plain_loops),
      cmocka_unit_test(summary_is_the_same_bits_however_it_is_put_together),
      cmocka_unit_test(all_builds_of_the_kernel_sum_up_alike),
      cmocka_unit_test(nothing_known_has_no_mean),
      cmocka_unit_test(values_too_large_have_no_mean),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
