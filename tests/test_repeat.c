#include "numeric/repeat.h"

#include <math.h>
#include <string.h>

#include "base/units.h"
#include "near.h"

/* x <- a + B x with x = (1, -2) fixed. */
static void map_of(double first, double second, const double *x, double *next) {
  const double e[2] = {x[0] - 1, x[1] + 2}, turn = 0.3; /* the two parts lie along turned axes */
  const double u = cos(turn) * e[0] + sin(turn) * e[1], v = cos(turn) * e[1] - sin(turn) * e[0];
  next[0] = 1 + first * u * cos(turn) - second * v * sin(turn);
  next[1] = -2 + first * u * sin(turn) + second * v * cos(turn);
}

static int rounds_until_still(double first, double second, double *x, sy_repeat *r) {
  memset(r, 0, sizeof *r);
  for (int round = 1; round <= SY_REPEAT_MOST; round++) {
    double next[2];
    map_of(first, second, x, next);
    if (!(sy_repeat_next(r, 2, x, next) > 1e-13)) return round;
  }
  return 0;
}

/* Plain repetition needs ln 1e-13 / ln part rounds: 3000 for a part of 0.99. Aitken's process takes the whole way at once. */
static void slow_parts_settle_in_few_rounds(void **state) {
  (void)state;
  const double parts[][2] = {{0.1, 0.01}, {0.9, 0.2}, {0.99, 0.5}, {0.999, -0.3}};
  for (int k = 0; k < 4; k++) {
    double x[2] = {7, 5};
    sy_repeat r;
    const int rounds = rounds_until_still(parts[k][0], parts[k][1], x, &r);
    assert_true(rounds > 0 && rounds < 100);
    assert_near(x[0], 1, 1e-9); /* a step of 1e-13 is 1e-10 from the end where a part is 0.999 */
    assert_near(x[1], -2, 1e-9);
  }
}

/* The fixed point of a map that grows is not found: it is unstable. */
static void growing_parts_run_away(void **state) {
  (void)state;
  double x[2] = {1.001, -2};
  sy_repeat r;
  assert_int_equal(rounds_until_still(1.02, 0.5, x, &r), 0);
  assert_true(sy_repeat_runs_away(&r));
  assert_true(fabs(x[0] - 1) > 0.01);
}

/* x <- sqrt(x) beyond 1/4 with no answer past 1.05: looks ahead that leave the region are taken back. */
static void looks_ahead_into_nothing_are_taken_back(void **state) {
  (void)state;
  double x = 0.3;
  int taken_back = 0;
  sy_repeat r;
  memset(&r, 0, sizeof r);
  bool still = false;
  for (int round = 0; round < SY_REPEAT_MOST && !still; round++) {
    if (x > 0.97 && r.ahead && taken_back < 2) {
      assert_true(sy_repeat_back(&r, 1, &x));
      assert_true(x < 0.97);
      taken_back++;
      continue;
    }
    const double next = sqrt(x);
    still = !(sy_repeat_next(&r, 1, &x, &next) > 1e-13);
  }
  assert_true(still && taken_back > 0);
  assert_near(x, 1, 1e-12);
  memset(&r, 0, sizeof r);
  assert_false(sy_repeat_back(&r, 1, &x)); /* plain rounds led there */
}

/* Plain rounds to the fixed point: the largest x[0] on their way. */
static double farthest(double first, double second, double *x) {
  double most = 1;
  for (int round = 0; round < 400; round++) {
    double next[2];
    most = fmax(most, x[0]);
    map_of(first, second, x, next);
    memcpy(x, next, sizeof next);
  }
  return most;
}

/* A map with no answer beyond the farthest that plain rounds go, so that a look ahead which overshoots leaves it at once or a round later:
** where plain rounds settle, those that look ahead do too. */
static void looks_ahead_settle_wherever_plain_rounds_do(void **state) {
  (void)state;
  for (int i = 0; i < 8 * 9 * 12; i++) {
    const int slow = i % 8, fast = i / 8 % 9, from = i / 72;
    const double first = 0.3 + 0.08 * slow, second = -0.8 + 0.2 * fast, way = SY_PI / 6 * from;
    const double start[2] = {1 + cos(way), -2 + sin(way)};
    double x[2] = {start[0], start[1]}, next[2];
    const double edge = farthest(first, second, x) + 1e-9; /* rounding */
    sy_repeat r;
    bool still = false;
    memset(&r, 0, sizeof r);
    memcpy(x, start, sizeof x);
    for (int round = 0; round < SY_REPEAT_MOST && !still; round++) {
      if (x[0] > edge) {
        if (!sy_repeat_back(&r, 2, x)) fail_msg("parts %g and %g, start %d: left", first, second, from);
        continue;
      }
      map_of(first, second, x, next);
      still = !(sy_repeat_next(&r, 2, x, next) > 1e-13);
    }
    assert_true(still);
    assert_near(x[0], 1, 1e-11); /* a part of 0.86 leaves seven times the last step */
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(slow_parts_settle_in_few_rounds),
      cmocka_unit_test(growing_parts_run_away),
      cmocka_unit_test(looks_ahead_into_nothing_are_taken_back),
      cmocka_unit_test(looks_ahead_settle_wherever_plain_rounds_do),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
