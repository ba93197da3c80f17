#include "numeric/linsolve.h"

#include <float.h>
#include <stdbool.h>
#include <string.h>

#include "base/lanes.h"
#include "dice.h"
#include "numeric/kernels/reflect_lanes.h"
#include "reference_data.h"

enum { MOST_ROWS = TABLE_ROWS, MOST_COLS = 8 };

/* A factorisation with its memory. */
typedef struct problem {
  sy_qr qr;
  double a[MOST_ROWS * MOST_COLS], diagonal[MOST_COLS], scale[MOST_COLS], work[MOST_COLS * MOST_COLS];
  size_t order[MOST_COLS];
} problem;

static void set_up(problem *p, size_t rows, size_t cols) {
  p->qr = (sy_qr){rows, cols, p->a, p->diagonal, p->scale, p->order};
}

static double power(double x, size_t n) {
  double y = 1;
  while (n-- > 0) y *= x;
  return y;
}

/* Fit and compare with the certified values: at least `digits` of each coefficient, of its standard deviation and of the
** residual. How many a sound double calculation keeps depends on the data's conditioning: LAPACK's Householder QR keeps
** 13.3, 12.7, 10.9, 9.3 and 9.5 of the worst coefficient, the normal equations 11.9, 11.6, 7.2, 7.9 and 7.9; the
** floors stand between or, for the last two, at the order of the normal equations plus one. */
static void assert_fits(const char *path, bool powers, double digits) {
  const table t = table_read(path);
  static problem p;
  set_up(&p, t.rows, t.certified);
  double y[MOST_ROWS];
  for (size_t i = 0; i < t.rows; i++) {
    y[i] = t.cell[i][0];
    for (size_t j = 0; j < t.certified; j++)
      p.a[i * t.certified + j] = powers ? power(t.cell[i][1], j) : j == 0 ? 1 : t.cell[i][j];
  }
  assert_int_equal(sy_qr_factor(&p.qr, NULL), SY_OK);
  double x[MOST_COLS], gram[MOST_COLS * MOST_COLS];
  const double rest = sy_qr_least_squares(&p.qr, y, x);
  const double s = rest / sqrt((double)(t.rows - t.certified));
  const double rel = pow(10, -digits);
  if (t.residual_stddev > 0) assert_near(s, t.residual_stddev, rel * t.residual_stddev);
  sy_qr_inverse_gram(&p.qr, gram, p.work);
  for (size_t j = 0; j < t.certified; j++) {
    assert_near(x[j], t.estimate[j], rel * fabs(t.estimate[j]));
    if (t.stddev[j] > 0) assert_near(s * sqrt(gram[j * t.certified + j]), t.stddev[j], rel * t.stddev[j]);
  }
}

/* NIST Statistical Reference Datasets, Linear Regression: data and certified values, 15 digits. */
static void least_squares_norris_keeps_eleven_digits(void **state) {
  (void)state;
  assert_fits("tests/reference/nist_norris.csv", true, 11);
}
static void least_squares_pontius_keeps_eleven_digits(void **state) {
  (void)state;
  assert_fits("tests/reference/nist_pontius.csv", true, 11);
}
static void least_squares_longley_keeps_nine_digits(void **state) {
  (void)state;
  assert_fits("tests/reference/nist_longley.csv", false, 9);
}
static void least_squares_wampler1_keeps_eight_digits(void **state) {
  (void)state;
  assert_fits("tests/reference/nist_wampler1.csv", true, 8);
}
static void least_squares_wampler3_keeps_eight_digits(void **state) {
  (void)state;
  assert_fits("tests/reference/nist_wampler3.csv", true, 8);
}

/* The shortest y with 3 y1 + 4 y2 = 10 lies along (3, 4): y = 10 (3, 4) / 25. */
static void least_norm_of_one_equation_lies_along_it(void **state) {
  (void)state;
  problem p;
  set_up(&p, 2, 1);
  p.a[0] = 3, p.a[1] = 4;
  assert_int_equal(sy_qr_factor(&p.qr, NULL), SY_OK);
  double y[2];
  sy_qr_least_norm(&p.qr, (const double[]){10}, y, p.work);
  assert_near(y[0], 1.2, 4 * DBL_EPSILON);
  assert_near(y[1], 1.6, 4 * DBL_EPSILON);
}

/* numpy.linalg.pinv(A) @ c for A = [[1 1 1 1 1], [0 0 -2.4 -2.4 -3.6], [0.7 -0.7 0.75 -0.75 0]], c = (5000, -7300, 120). */
static void least_norm_matches_the_pseudoinverse(void **state) {
  (void)state;
  problem p;
  set_up(&p, 5, 3);
  const double at[5][3] = {{1, 0, 0.7}, {1, 0, -0.7}, {1, -2.4, 0.75}, {1, -2.4, -0.75}, {1, -3.6, 0}};
  memcpy(p.a, at, sizeof at);
  assert_int_equal(sy_qr_factor(&p.qr, NULL), SY_OK);
  double y[5];
  sy_qr_least_norm(&p.qr, (const double[]){5000, -7300, 120}, y, p.work);
  const double want[5] = {1218.14572886425, 1138.33575261722, 966.366455529162, 880.855766693058,
                          796.296296296297};
  for (int i = 0; i < 5; i++) assert_near(y[i], want[i], 1e-11); /* 1e4 x condition 7 x a few roundings */
}

/* Least squares by its defining property: the residual stands on every column. */
static void least_squares_residual_is_square_to_the_columns(void **state) {
  (void)state;
  problem p;
  set_up(&p, 4, 2);
  const double a[4][2] = {{0.137, 23.85}, {-1.91, 7.7}, {2.2, -3.31}, {0.5, 0.61}};
  const double b[4] = {3.1, -2.7, 0.45, 8.8};
  memcpy(p.a, a, sizeof a);
  assert_int_equal(sy_qr_factor(&p.qr, NULL), SY_OK);
  double used[4], x[2], rest = 0, on[2] = {0, 0};
  memcpy(used, b, sizeof b);
  const double length = sy_qr_least_squares(&p.qr, used, x);
  for (int i = 0; i < 4; i++) {
    const double r = b[i] - a[i][0] * x[0] - a[i][1] * x[1];
    rest += r * r;
    on[0] += r * a[i][0];
    on[1] += r * a[i][1];
  }
  assert_near(length, sqrt(rest), 1e-13); /* sizes of 10 */
  assert_near(on[0], 0, 1e-12);
  assert_near(on[1], 0, 1e-12);
}

/* Random 20 x 11 systems, a third of them zeros: more columns than go together, and some over. */
static void sides_solved_together_are_those_solved_one_by_one(void **state) {
  (void)state;
  enum { ROWS = 20, COLS = 11 };
  dice d = {31};
  for (int turn = 0; turn < 50; turn++) {
    static double a[ROWS * COLS], diagonal[COLS], scale[COLS];
    size_t order[COLS];
    const sy_qr qr = {ROWS, COLS, a, diagonal, scale, order};
    for (size_t i = 0; i < ROWS * COLS; i++) a[i] = dice_below(&d, 3) == 0 ? 0 : dice_between(&d, -2, 3);
    sy_qr own = qr;
    assert_int_equal(sy_qr_factor(&own, NULL), SY_OK);
    double b[ROWS * SY_QR_SIDES], x[COLS * SY_QR_SIDES], alone[SY_QR_SIDES][ROWS], answer[COLS];
    for (size_t i = 0; i < ROWS; i++)
      for (size_t c = 0; c < SY_QR_SIDES; c++) alone[c][i] = b[i * SY_QR_SIDES + c] = dice_between(&d, -9, 9);
    sy_qr_least_squares_sides(&qr, b, x);
    for (size_t c = 0; c < SY_QR_SIDES; c++) {
      sy_qr_least_squares(&qr, alone[c], answer);
      for (size_t k = 0; k < COLS; k++) assert_true(x[k * SY_QR_SIDES + c] == answer[k]);
      for (size_t k = COLS; k < ROWS; k++) assert_true(b[k * SY_QR_SIDES + c] == alone[c][k]);
    }
  }
}

/* Lengths in micrometres instead of metres, or in units of 1e-150 m: the same rank, the same answer. */
static void factor_does_not_care_for_the_units_of_a_column(void **state) {
  (void)state;
  for (int e = -150; e <= 150; e += 50) {
    const double unit = pow(10, e);
    problem p;
    set_up(&p, 3, 2);
    const double a[6] = {1, 2.4 * unit, 1, -0.3 * unit, 1, 1.7 * unit};
    memcpy(p.a, a, sizeof a);
    assert_int_equal(sy_qr_factor(&p.qr, NULL), SY_OK);
    double b[3] = {1 + 2 * 2.4, 1 - 2 * 0.3, 1 + 2 * 1.7}, x[2];
    sy_qr_least_squares(&p.qr, b, x);
    assert_near(x[0], 1, 1e-14);
    assert_near(x[1] * unit, 2, 1e-14);
  }
}

static void factor_dependent_columns_are_refused_with_their_rank(void **state) {
  (void)state;
  problem p;
  sy_error err;
  set_up(&p, 4, 3); /* the third column is 0.1 x first + 0.7 x second, rounded */
  for (int i = 0; i < 4; i++) {
    p.a[3 * i] = 1.3 * i - 0.77;
    p.a[3 * i + 1] = 0.9 * i * i + 0.31;
    p.a[3 * i + 2] = 0.1 * p.a[3 * i] + 0.7 * p.a[3 * i + 1];
  }
  assert_int_equal(sy_qr_factor(&p.qr, &err), SY_GEOMETRY);
  assert_string_equal(err.part, "matrix");
  assert_string_equal(err.field, "rank");
  assert_string_equal(err.message, "is 2, of 3 columns: they depend on one another");

  set_up(&p, 2, 1);
  p.a[0] = p.a[1] = 0;
  assert_int_equal(sy_qr_factor(&p.qr, &err), SY_GEOMETRY);
  assert_string_equal(err.message, "is 0, of 1 columns: they depend on one another");
}

static void factor_bad_input_is_refused(void **state) {
  (void)state;
  problem p;
  sy_error err;
  set_up(&p, 2, 3);
  assert_int_equal(sy_qr_factor(&p.qr, &err), SY_RANGE);
  assert_string_equal(err.field, "rows");
  assert_string_equal(err.message, "are 2, fewer than the 3 columns");
  set_up(&p, 2, 1);
  p.a[0] = 1, p.a[1] = (double)INFINITY;
  assert_int_equal(sy_qr_factor(&p.qr, &err), SY_RANGE);
  assert_string_equal(err.field, "entries");
}

enum { TALL = 40, MOST_WIDE = 23 }; /* twice eight, three times two and one */

/* What the kernel does, one number after the other: the same bits are asked for. */
static void reflect_plainly(double *a, size_t rows, size_t cols, size_t k, double *length) {
  for (size_t j = k + 1; j < cols; j++) {
    double dot = 0, square = 0;
    for (size_t i = k; i < rows; i++) dot += a[i * cols + k] * a[i * cols + j];
    const double factor = -dot / a[k * cols + k];
    for (size_t i = k; i < rows; i++) {
      a[i * cols + j] += factor * a[i * cols + k];
      if (i > k) square += a[i * cols + j] * a[i * cols + j];
    }
    length[j] = sqrt(square);
  }
}

/* Half of the entries are 0, as most of a sparse matrix are: rows that the vector does not reach are passed over. */
static void reflections_of_every_level_have_the_bits_of_the_plain_ones(void **state) {
  (void)state;
  sy_reflect_lanes *const builds[] = {sy_reflect_lanes_v1,
#ifdef __x86_64__
                                      sy_reflect_lanes_v3, sy_reflect_lanes_v4
#endif
  };
  static const int level[] = {1, 3, 4};
  dice d = {41};
  for (size_t cols = 1; cols <= MOST_WIDE; cols++)
    for (size_t k = 0; k < cols; k += 3) {
      double given[TALL * MOST_WIDE], want[TALL * MOST_WIDE], length[MOST_WIDE] = {0};
      for (size_t i = 0; i < TALL * cols; i++)
        given[i] = dice_below(&d, 2) == 0 ? 0.0 : dice_between(&d, -2, 3);
      given[k * cols + k] = 1.375;
      memcpy(want, given, sizeof want);
      reflect_plainly(want, TALL, cols, k, length);
      for (size_t b = 0; b < sizeof builds / sizeof *builds; b++) {
        double got[TALL * MOST_WIDE], left[MOST_WIDE] = {0};
        if (!sy_lanes_level(level[b])) continue;
        memcpy(got, given, sizeof got);
        builds[b](got, TALL, cols, k, left);
        assert_memory_equal(got, want, TALL * cols * sizeof *got);
        assert_memory_equal(left, length, sizeof left);
      }
    }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(least_squares_norris_keeps_eleven_digits),
      cmocka_unit_test(least_squares_pontius_keeps_eleven_digits),
      cmocka_unit_test(least_squares_longley_keeps_nine_digits),
      cmocka_unit_test(least_squares_wampler1_keeps_eight_digits),
      cmocka_unit_test(least_squares_wampler3_keeps_eight_digits),
      cmocka_unit_test(least_norm_of_one_equation_lies_along_it),
      cmocka_unit_test(least_norm_matches_the_pseudoinverse),
      cmocka_unit_test(least_squares_residual_is_square_to_the_columns),
      cmocka_unit_test(sides_solved_together_are_those_solved_one_by_one),
      cmocka_unit_test(reflections_of_every_level_have_the_bits_of_the_plain_ones),
      cmocka_unit_test(factor_does_not_care_for_the_units_of_a_column),
      cmocka_unit_test(factor_dependent_columns_are_refused_with_their_rank),
      cmocka_unit_test(factor_bad_input_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
