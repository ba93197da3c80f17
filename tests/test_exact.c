#include "mass/exact.h"

#include <float.h>

#include "dice.h"
#include "near.h"

enum { TERMS = 1000 };

/* Terms of both signs from 1e-24 to 1e12: no floating sum of them is independent of their order. */
static void fill(dice *d, double *x, size_t count) {
  for (size_t i = 0; i < count; i++) x[i] = dice_between(d, -1, 1) * pow(10.0, dice_between(d, -24, 12));
}

static sy_exact sum_in_order(const double *x, const size_t *order, size_t count) {
  sy_exact sum = {0, 0};
  for (size_t i = 0; i < count; i++) sum = sy_exact_add(sum, sy_exact_from(x[order[i]]));
  return sum;
}

static void add_in_any_order_gives_the_same_bits(void **state) {
  (void)state;
  dice d = {20231};
  double x[TERMS], last = 0;
  size_t order[TERMS], moved = 0;
  fill(&d, x, TERMS);
  for (size_t i = 0; i < TERMS; i++) order[i] = i;
  const sy_exact want = sum_in_order(x, order, TERMS);
  for (int turn = 0; turn < 300; turn++) {
    dice_shuffle(&d, order, TERMS);
    const sy_exact got = sum_in_order(x, order, TERMS);
    assert_true(got.hi == want.hi && got.lo == want.lo);
    double plain = 0;
    for (size_t i = 0; i < TERMS; i++) plain += x[order[i]];
    moved += plain != last;
    last = plain;
  }
  assert_true(moved > 100); /* the terms are hard enough: a plain sum does move */
}

/* As threads would: each sums a stretch, then the stretches are joined in either direction. */
static void add_of_partial_sums_gives_the_same_bits(void **state) {
  (void)state;
  dice d = {77};
  double x[TERMS];
  fill(&d, x, TERMS);
  sy_exact whole = {0, 0}, part[8], up = {0, 0}, down = {0, 0};
  for (size_t i = 0; i < TERMS; i++) whole = sy_exact_add(whole, sy_exact_from(x[i]));
  for (size_t k = 0; k < 8; k++) {
    part[k] = (sy_exact){0, 0};
    for (size_t i = k * TERMS / 8; i < (k + 1) * TERMS / 8; i++)
      part[k] = sy_exact_add(part[k], sy_exact_from(x[i]));
  }
  for (size_t k = 0; k < 8; k++) up = sy_exact_add(up, part[k]);
  for (size_t k = 8; k-- > 0;) down = sy_exact_add(down, part[k]);
  assert_memory_equal(&up, &whole, sizeof whole);
  assert_memory_equal(&down, &whole, sizeof whole);
}

static void from_of_a_term_and_its_negative_cancel_to_nothing(void **state) {
  (void)state;
  dice d = {4};
  for (int i = 0; i < 20000; i++) {
    const double x = dice_between(&d, -1, 1) * pow(10.0, dice_between(&d, -30, 13));
    const sy_exact sum = sy_exact_add(sy_exact_from(x), sy_exact_from(-x));
    assert_true(sum.hi == 0 && sum.lo == 0);
  }
}

static void sub_takes_out_exactly_what_add_put_in(void **state) {
  (void)state;
  dice d = {5};
  sy_exact sum = sy_exact_from(-417.0371);
  const sy_exact before = sum;
  double x[TERMS];
  fill(&d, x, TERMS);
  for (size_t i = 0; i < TERMS; i++) {
    sum = sy_exact_add(sum, sy_exact_from(x[i]));
    assert_true(sum.lo >= 0 && sum.lo < SY_EXACT_LO_SPAN); /* one form for each value */
  }
  for (size_t i = 0; i < TERMS; i++) sum = sy_exact_sub(sum, sy_exact_from(x[i]));
  assert_memory_equal(&sum, &before, sizeof sum);
}

/* Every double whose last bit is not below 2^-78 comes back unchanged. */
static void value_gives_back_a_single_term_to_the_last_bit(void **state) {
  (void)state;
  dice d = {6};
  for (int i = 0; i < 20000; i++) {
    /* above 2^-25 the last of 53 bits is 2^-78 or more */
    const double x = (i % 2 ? 1 : -1) * ldexp(dice_between(&d, 0.5, 1), (int)dice_below(&d, 68) - 24);
    assert_true(sy_exact_value(sy_exact_from(x)) == x);
  }
}

static void value_of_a_small_negative_keeps_its_digits(void **state) {
  (void)state;
  /* cut once to a multiple of 2^-78, nothing else: -3e-20 has 13 bits left */
  assert_near(sy_exact_value(sy_exact_from(-3e-20)), -3e-20, 0x1p-78);
  assert_true(sy_exact_value(sy_exact_from(-3e-20)) == -sy_exact_value(sy_exact_from(3e-20)));
  /* what a sum of doubles would have lost altogether */
  const sy_exact large = sy_exact_from(0x1p43);
  sy_exact sum = sy_exact_add(large, sy_exact_from(-3e-20));
  sum = sy_exact_sub(sum, large);
  assert_near(sy_exact_value(sum), -3e-20, 0x1p-78);
}

/* Two sums of the same terms: here, and compensated in long double after Neumaier, Z. angew. Math. Mech. 54 (1974) 39
** (the method from memory). */
static void value_agrees_with_a_compensated_sum(void **state) {
  (void)state;
  dice d = {8};
  for (int turn = 0; turn < 200; turn++) {
    double x[TERMS];
    fill(&d, x, TERMS);
    sy_exact sum = {0, 0};
    long double s = 0, c = 0;
    for (size_t i = 0; i < TERMS; i++) {
      sum = sy_exact_add(sum, sy_exact_from(x[i]));
      const long double t = s + (long double)x[i];
      c += fabsl(s) >= fabsl((long double)x[i]) ? (s - t) + (long double)x[i] : ((long double)x[i] - t) + s;
      s = t;
    }
    const double want = (double)(s + c);
    /* each term is cut by less than 2^-78; the value rounds hi, lo and their sum; the other side rounds once */
    assert_near(sy_exact_value(sum), want, TERMS * 0x1p-78 + 3 * DBL_EPSILON * fabs(want));
  }
}

static void overflow_is_reported_where_the_range_ends(void **state) {
  (void)state;
  assert_false(sy_exact_overflow(sy_exact_from(nextafter(SY_EXACT_MAX, 0))));
  assert_false(sy_exact_overflow(sy_exact_from(-nextafter(SY_EXACT_MAX, 0))));
  for (int sign = -1; sign <= 1; sign += 2) {
    /* 2^43 four times is 2^45, the end of the range */
    sy_exact sum = {0, 0};
    int terms = 0;
    while (!sy_exact_overflow(sum)) {
      sum = sy_exact_add(sum, sy_exact_from(sign * 0x1p43));
      terms++;
    }
    assert_int_equal(terms, 4);
    assert_true(sy_exact_value(sum) == sign * 0x1p45);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(add_in_any_order_gives_the_same_bits),
      cmocka_unit_test(add_of_partial_sums_gives_the_same_bits),
      cmocka_unit_test(from_of_a_term_and_its_negative_cancel_to_nothing),
      cmocka_unit_test(sub_takes_out_exactly_what_add_put_in),
      cmocka_unit_test(value_gives_back_a_single_term_to_the_last_bit),
      cmocka_unit_test(value_of_a_small_negative_keeps_its_digits),
      cmocka_unit_test(value_agrees_with_a_compensated_sum),
      cmocka_unit_test(overflow_is_reported_where_the_range_ends),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
