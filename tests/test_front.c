/* Pareto fronts against brute force: every variant held against every other, by the definition. */
#include "study/front.h"

#include <stdlib.h>
#include <string.h>

#include "ledger_tools.h"
#include "near.h"

enum { MOST = 300, OUTPUTS = 5 };
static double column[OUTPUTS][MOST];
static uint8_t left_out[MOST];
static sy_error err;

static bool betters(size_t a, size_t b, size_t outputs, const bool *most) {
  bool better = false;
  for (size_t k = 0; k < outputs; k++) {
    const double x = column[k][a], y = column[k][b];
    if (most[k] ? x < y : x > y) return false;
    better = better || x != y;
  }
  return better;
}

static bool takes_part(size_t i, size_t outputs) {
  for (size_t k = 0; k < outputs; k++)
    if (isnan(column[k][i])) return false;
  return left_out[i] == 0;
}

static const double *first_output;

static int along_first(const void *a, const void *b) {
  const size_t i = *(const size_t *)a, j = *(const size_t *)b;
  const double x = first_output[i], y = first_output[j];
  return x != y ? (x > y) - (x < y) : (i > j) - (i < j);
}

static size_t brute_front(size_t n, size_t outputs, const bool *most, size_t *front) {
  size_t members = 0;
  for (size_t i = 0; i < n; i++) {
    bool in = takes_part(i, outputs);
    for (size_t k = 0; k < n && in; k++) in = !(takes_part(k, outputs) && betters(k, i, outputs, most));
    if (in) front[members++] = i;
  }
  first_output = column[0];
  qsort(front, members, sizeof *front, along_first);
  return members;
}

/* Few different values make ties in every output and whole variants that are equal; some are unknown, infinite or zeros of either sign. */
static void draw(dice *d, size_t n, size_t levels) {
  for (size_t i = 0; i < n; i++) {
    for (int k = 0; k < OUTPUTS; k++) {
      column[k][i] = levels == 0 ? dice_between(d, -1, 1) : (double)dice_below(d, levels) - 1;
      const size_t odd = dice_below(d, 50);
      if (odd == 0) column[k][i] = (double)NAN;
      if (odd == 1) column[k][i] = -(double)INFINITY;
      if (odd == 2) column[k][i] = (double)INFINITY;
      if (odd == 3) column[k][i] = -0.0;
    }
    left_out[i] = dice_below(d, 9) == 0;
  }
}

static void front_is_that_of_brute_force(void **state) {
  (void)state;
  dice d = {77};
  const double *const columns[] = {column[0], column[1], column[2], column[3], column[4]};
  size_t front[MOST], want[MOST], members = 0, sizes = 0;
  const int rounds = dice_rounds(2000);
  for (int round = 0; round < rounds; round++) {
    static const size_t levels[] = {0, 2, 3, 5, 20, 300};
    const size_t outputs = 1 + dice_below(&d, OUTPUTS), n = dice_below(&d, round % 10 == 0 ? MOST : 30);
    bool most[OUTPUTS];
    for (int k = 0; k < OUTPUTS; k++) most[k] = dice_below(&d, 2) != 0;
    draw(&d, n, levels[dice_below(&d, 6)]);
    assert_int_equal(sy_front(columns, most, outputs, left_out, n, NULL, front, &members, NULL), SY_OK);
    assert_int_equal(members, brute_front(n, outputs, most, want));
    assert_memory_equal(front, want, members * sizeof *front);
    sizes += members;
  }
  assert_true(sizes > (size_t)rounds);
}

/* On the line x + y + z = 0 through integers nobody betters anybody; moved up along it, all but the lowest are bettered. */
static void all_may_be_in_the_front_or_one_alone(void **state) {
  (void)state;
  const double *const columns[] = {column[0], column[1], column[2]};
  const bool most[3] = {false, false, false};
  size_t front[MOST], members;
  memset(left_out, 0, sizeof left_out);
  for (size_t i = 0; i < MOST; i++) {
    const double a = (double)(i * 7 % MOST), b = (double)(i * 11 % MOST);
    column[0][i] = a, column[1][i] = b, column[2][i] = -a - b;
  }
  assert_int_equal(sy_front(columns, most, 3, NULL, MOST, NULL, front, &members, NULL), SY_OK);
  assert_int_equal(members, MOST);
  for (size_t i = 1; i < MOST; i++) assert_true(column[0][front[i - 1]] < column[0][front[i]]);
  for (size_t i = 0; i < MOST; i++) column[0][i] = column[1][i] = column[2][i] = (double)(i * 7 % MOST);
  assert_int_equal(sy_front(columns, most, 3, NULL, MOST, NULL, front, &members, NULL), SY_OK);
  assert_int_equal(members, 1);
  assert_int_equal(front[0], 0);
  for (size_t i = 0; i < MOST; i++) column[0][i] = column[1][i] = column[2][i] = 4.25;
  assert_int_equal(sy_front(columns, most, 3, NULL, MOST, NULL, front, &members, NULL), SY_OK);
  assert_int_equal(members, MOST);
  for (size_t i = 0; i < MOST; i++) assert_int_equal(front[i], i);
  assert_int_equal(sy_front(columns, most, 2, NULL, 0, NULL, front, &members, NULL), SY_OK);
  assert_int_equal(members, 0);
}

/* Large enough to be swept run by run: the front of the whole is that of the fronts of its parts and of nothing else. What is in it is seen
** from outside: no member is bettered by another, and every other variant is by a member. */
static void front_of_many_holds_by_its_definition(void **state) {
  (void)state;
  enum { N = 60000, FEW = 20000 }; /* of either there are runs enough */
  const size_t n = dice_rounds(N) < N ? FEW : N;
  static double x[3][N];
  static size_t front[N];
  const double *const columns[] = {x[0], x[1], x[2]};
  const bool most[3] = {false, true, false};
  dice d = {31};
  for (int kind = 0; kind < 4; kind++) {
    for (size_t i = 0; i < n; i++) {
      const double a = dice_between(&d, 0, 1), b = dice_between(&d, 0, 1);
      /* anywhere; ties; sorted from the worst on; the first half of the numbers all in a front of their own, the second better than most */
      x[0][i] = kind == 1                 ? floor(20 * a)
                : kind == 2               ? (double)(n - i)
                : kind == 3 && i >= n / 2 ? a / 50
                                          : a;
      x[1][i] = kind == 1 ? floor(20 * b) : kind == 2 ? floor((double)i / 7) : b;
      x[2][i] = kind == 3 && i < n / 2 ? b - a
                : kind == 1            ? floor(dice_between(&d, 0, 9))
                                       : dice_between(&d, 0, 1);
      if (dice_below(&d, 100) == 0) x[2][i] = (double)NAN;
    }
    size_t members;
    assert_int_equal(sy_front(columns, most, 3, NULL, n, NULL, front, &members, NULL), SY_OK);
    assert_true(members > 0 && members < n);
    static unsigned char is_member[N];
    memset(is_member, 0, sizeof is_member);
    for (size_t k = 0; k < members; k++) is_member[front[k]]++;
    for (size_t i = 0; i < n; i++) {
      bool bettered = isnan(x[2][i]);
      for (size_t k = 0; k < members && !bettered; k++) {
        const size_t j = front[k];
        bettered = x[0][j] <= x[0][i] && x[1][j] >= x[1][i] && x[2][j] <= x[2][i] &&
                   (x[0][j] != x[0][i] || x[1][j] != x[1][i] || x[2][j] != x[2][i]);
      }
      assert_int_equal(is_member[i], bettered ? 0 : 1);
    }
  }
}

static void front_that_cannot_be_is_refused(void **state) {
  (void)state;
  const double *const columns[] = {column[0], column[1]};
  const bool most[SY_FRONT_OUTPUTS + 1] = {false};
  size_t front[4] = {9, 9, 9, 9}, members = 9;
  assert_int_equal(sy_front(columns, most, 0, NULL, 4, NULL, front, &members, &err), SY_RANGE);
  assert_int_equal(sy_front(columns, most, SY_FRONT_OUTPUTS + 1, NULL, 4, NULL, front, &members, &err),
                   SY_LIMIT);
  assert_int_equal(sy_front(columns, most, 2, NULL, UINT32_MAX, NULL, front, &members, &err), SY_LIMIT);
  counted_memory memory = {.refuse = 1};
  const sy_alloc alloc = counting_alloc(&memory);
  column[0][0] = column[0][1] = column[1][0] = column[1][1] = 3;
  assert_int_equal(sy_front(columns, most, 2, NULL, 2, &alloc, front, &members, &err), SY_LIMIT);
  assert_non_null(strstr(err.message, "bytes"));
  assert_int_equal(members, 9);
  assert_int_equal(front[0], 9);
  memory.refuse = 0;
  assert_int_equal(sy_front(columns, most, 2, NULL, 2, &alloc, front, &members, &err), SY_OK);
  assert_int_equal(members, 2);
  assert_int_equal(atomic_load(&memory.live), 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(front_is_that_of_brute_force),
      cmocka_unit_test(all_may_be_in_the_front_or_one_alone),
      cmocka_unit_test(front_of_many_holds_by_its_definition),
      cmocka_unit_test(front_that_cannot_be_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
