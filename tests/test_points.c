/* Points of a study. Sobol's numbers are held to SciPy's by tests/reference/oracle_points.py; here are the claims that need no table.
** Not under valgrind: counts over a million points; the sanitizers have it.
*/
#include "study/points.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "near.h"
#include "numeric/stats.h"
#include "study/sobol.h"

static sy_error err;

static void range_has_even_steps_and_exact_ends(void **state) {
  (void)state;
  double v[12];
  assert_int_equal(sy_points_range(-40, 60, 6, v, NULL), SY_OK);
  for (int i = 0; i < 6; i++) assert_near(v[i], -40 + 20 * i, 0);
  assert_int_equal(sy_points_range(0, 1, 11, v, NULL), SY_OK);
  assert_near(v[3], 0.3, 0); /* the nearest double: what a person writes */
  assert_int_equal(sy_points_range(2.7, -0.1, 12, v, NULL), SY_OK);
  assert_near(v[0], 2.7, 0);
  assert_near(v[11], -0.1, 0);
}

static void range_of_one_value_is_refused(void **state) {
  (void)state;
  double v[3] = {7, 7, 7};
  assert_int_equal(sy_points_range(5, 9, 1, v, &err), SY_RANGE);
  assert_string_equal(err.field, "n");
  assert_int_equal(sy_points_range(5, 9, 0, v, NULL), SY_RANGE);
  assert_int_equal(sy_points_range(5, 5, 3, v, &err), SY_RANGE);
  assert_string_equal(err.field, "to");
  assert_non_null(strstr(err.message, "{5}"));
  assert_int_equal(sy_points_range((double)NAN, 5, 3, v, &err), SY_RANGE);
  assert_string_equal(err.field, "from");
  assert_int_equal(sy_points_range(1, (double)INFINITY, 3, v, &err), SY_RANGE);
  assert_string_equal(err.field, "to");
  assert_near(v[0] + v[1] + v[2], 21, 0);
}

/* Three loops, the last innermost, say what a grid is. */
static void grid_goes_through_all_combinations_with_the_last_fastest(void **state) {
  (void)state;
  static const size_t n[3] = {2, 5, 3};
  static const double values[3][5] = {{0.5, 7}, {3, 1, 4, 1.5, 9}, {-2, 6, 5.35}};
  size_t each[3], total;
  assert_int_equal(sy_points_grid_shape(n, 3, each, &total, NULL), SY_OK);
  assert_int_equal(total, 30);
  double want[3][30];
  size_t i = 0;
  for (size_t a = 0; a < 2; a++)
    for (size_t b = 0; b < 5; b++)
      for (size_t c = 0; c < 3; c++, i++)
        want[0][i] = values[0][a], want[1][i] = values[1][b], want[2][i] = values[2][c];
  for (int k = 0; k < 3; k++)
    for (size_t first = 0; first <= 30; first++)
      for (size_t count = 0; first + count <= 30; count++) {
        double got[31];
        sy_points_grid(values[k], n[k], each[k], first, count, got);
        assert_memory_equal(got, &want[k][first], count * sizeof *got);
      }
}

static void grid_too_large_to_count_is_refused(void **state) {
  (void)state;
  static const size_t huge[3] = {(size_t)1 << 32, (size_t)1 << 31, 4}, none[2] = {3, 0};
  size_t each[3] = {9, 9, 9}, total = 9;
  assert_int_equal(sy_points_grid_shape(huge, 3, each, &total, &err), SY_LIMIT);
  assert_int_equal(sy_points_grid_shape(none, 2, each, &total, &err), SY_RANGE);
  assert_non_null(strstr(err.message, "input 2 of 2"));
  assert_int_equal(each[0] + total, 18);
  assert_int_equal(sy_points_grid_shape(huge, 2, each, &total, &err), SY_OK);
  assert_true(total == (size_t)1 << 63);
}

static void one_at_a_time_leaves_the_others_alone(void **state) {
  (void)state;
  static const double a[2] = {1, 2}, b[3] = {10, 20, 30};
  double x[5], y[5], part[2];
  sy_points_one(a, 2, 0.5, 0, 0, 5, x);
  sy_points_one(b, 3, -7, 2, 0, 5, y);
  static const double want_x[5] = {1, 2, 0.5, 0.5, 0.5}, want_y[5] = {-7, -7, 10, 20, 30};
  assert_memory_equal(x, want_x, sizeof x);
  assert_memory_equal(y, want_y, sizeof y);
  sy_points_one(b, 3, -7, 2, 1, 2, part);
  assert_memory_equal(part, want_y + 1, sizeof part);
}

/* Counted: one point a slice, whatever the number of points. */
static void latin_hypercube_has_one_point_in_every_slice(void **state) {
  (void)state;
  static const size_t counts[] = {1, 2, 3, 4, 5, 7, 16, 17, 64, 100, 1000, 4096, 65537, 1000003};
  double *u = malloc(1000003 * sizeof *u);
  unsigned char *seen = malloc(1000003);
  assert_non_null(u);
  assert_non_null(seen);
  for (size_t c = 0; c < sizeof counts / sizeof *counts; c++)
    for (uint64_t input = 0; input < 3; input++) {
      const size_t n = counts[c];
      assert_int_equal(sy_points_latin(42, input, n, 0, n, u, NULL), SY_OK);
      memset(seen, 0, n);
      for (size_t i = 0; i < n; i++) {
        assert_true(u[i] > 0 && u[i] < 1);
        seen[(size_t)(u[i] * (double)n)]++;
      }
      for (size_t i = 0; i < n; i++) assert_int_equal(seen[i], 1);
    }
  free(seen);
  free(u);
}

/* Chi-square of `cells` counts that should be even: inside what chance leaves open once in 10^6 on either side, since some tens of such
** tests are made here, once for all (the seeds are fixed). */
static void assert_even(const double *counts, size_t cells, double total) {
  double chi2 = 0;
  const double want = total / (double)cells, dof = (double)(cells - 1);
  for (size_t k = 0; k < cells; k++) chi2 += (counts[k] - want) * (counts[k] - want) / want;
  assert_true(sy_stats_chi2_tail(chi2, dof) > 1e-6 && sy_stats_chi2_cdf(chi2, dof) > 1e-6);
}

/* All n! orders of few points turn up equally often, over seeds and over inputs. */
static void latin_orders_are_equally_likely(void **state) {
  (void)state;
  enum { DRAWS = 100000 };
  for (int by_input = 0; by_input < 2; by_input++)
    for (size_t n = 2, orders = 2; n <= 6; n++, orders *= n) {
      double counts[720] = {0};
      for (uint64_t draw = 0; draw < DRAWS; draw++) {
        double u[6];
        assert_int_equal(sy_points_latin(by_input ? 5 : draw, by_input ? draw : 3, n, 0, n, u, NULL), SY_OK);
        size_t rank = 0; /* of the order among all: by how many later points are lower */
        for (size_t i = 0; i < n; i++) {
          size_t lower = 0;
          for (size_t k = i + 1; k < n; k++) lower += u[k] < u[i];
          rank = rank * (n - i) + lower;
        }
        counts[rank]++;
      }
      assert_even(counts, orders, DRAWS);
    }
}

/* Many points: where neighbours, points a power of two apart and two inputs lie is unrelated, and so is the place in the slice. */
static void latin_points_are_unrelated(void **state) {
  (void)state;
  enum { N = 200000, GRID = 32 };
  static const size_t steps[] = {1, 2, 3, 16, 256, 1024, 65536};
  static double a[N], b[N], counts[GRID * GRID];
  assert_int_equal(sy_points_latin(7, 0, N, 0, N, a, NULL), SY_OK);
  assert_int_equal(sy_points_latin(7, 1, N, 0, N, b, NULL), SY_OK);
  for (size_t s = 0; s <= sizeof steps / sizeof *steps; s++) {
    const bool inputs = s == sizeof steps / sizeof *steps;
    const size_t step = inputs ? 0 : steps[s];
    memset(counts, 0, sizeof counts);
    for (size_t i = 0; i + step < N; i++) {
      const double x = a[i], y = inputs ? b[i] : a[i + step];
      counts[(size_t)(x * GRID) * GRID + (size_t)(y * GRID)]++;
    }
    assert_even(counts, GRID * GRID, (double)(N - step));
  }
  double within[GRID] = {0};
  for (size_t i = 0; i < N; i++) within[(size_t)(fmod(a[i] * N, 1) * GRID)]++;
  assert_even(within, GRID, N);
}

static void points_are_the_same_alone_as_in_the_whole(void **state) {
  (void)state;
  enum { N = 10007 };
  static double whole[N], part[N];
  static const size_t cuts[] = {0, 1, 2, 3, 255, 256, 4999, N};
  for (int sobol = 0; sobol < 2; sobol++) {
    if (sobol)
      assert_int_equal(sy_sobol(37, 0, N, whole, NULL), SY_OK);
    else
      assert_int_equal(sy_points_latin(9, 37, N, 0, N, whole, NULL), SY_OK);
    for (size_t c = 0; c + 1 < sizeof cuts / sizeof *cuts; c++) {
      const size_t first = cuts[c], count = cuts[c + 1] - first;
      if (sobol)
        assert_int_equal(sy_sobol(37, first, count, part + first, NULL), SY_OK);
      else
        assert_int_equal(sy_points_latin(9, 37, N, first, count, part + first, NULL), SY_OK);
    }
    assert_memory_equal(part, whole, sizeof whole);
  }
}

/* The first 2^m points of every input have one in each of 2^m equal slices, and so has every later run of as many: a property of
** Sobol's numbers whatever the table (I. Sobol, USSR Comput. Math. Math. Phys. 7, 1967). */
static void sobol_points_are_balanced(void **state) {
  (void)state;
  enum { M = 12, N = 1 << M };
  static double u[N];
  static unsigned char seen[N];
  for (unsigned input = 0; input < SY_SOBOL_INPUTS; input++)
    for (uint64_t run = 0; run < 3; run++) {
      memset(seen, 0, sizeof seen);
      assert_int_equal(sy_sobol(input, run * 1000 * N, N, u, NULL), SY_OK);
      if (run == 0) assert_near(u[0], 0, 0);
      for (size_t i = 0; i < N; i++) seen[(size_t)(u[i] * N)]++;
      for (size_t i = 0; i < N; i++) assert_int_equal(seen[i], 1);
    }
}

static void sobol_points_reach_the_last(void **state) {
  (void)state;
  double u[3];
  assert_int_equal(sy_sobol(63, SY_SOBOL_POINTS - 3, 3, u, NULL), SY_OK);
  for (int i = 0; i < 3; i++) assert_true(u[i] > 0 && u[i] < 1);
  assert_int_equal(sy_sobol(0, SY_SOBOL_POINTS - 1, 1, u, NULL), SY_OK);
  assert_near(u[0], 0x1p-32, 0); /* Gray code 100..0 read backwards */
  assert_int_equal(sy_sobol(0, SY_SOBOL_POINTS - 1, 2, u, &err), SY_LIMIT);
  assert_int_equal(sy_sobol(64, 0, 1, u, &err), SY_LIMIT);
  assert_non_null(strstr(err.message, "65 inputs"));
  assert_near(u[0], 0x1p-32, 0);
}

static void latin_points_that_cannot_be_are_refused(void **state) {
  (void)state;
  double u[2] = {3, 3};
  assert_int_equal(sy_points_latin(1, 0, 0, 0, 0, u, &err), SY_RANGE);
  assert_int_equal(sy_points_latin(1, 0, 5, 4, 2, u, &err), SY_RANGE);
  assert_int_equal(sy_points_latin(1, 0, 5, 6, 0, u, &err), SY_RANGE);
  assert_int_equal(sy_points_latin(1, 0, SY_LATIN_POINTS + 1, 0, 1, u, &err), SY_LIMIT);
  assert_near(u[0] + u[1], 6, 0);
  assert_int_equal(sy_points_latin(1, 0, SY_LATIN_POINTS, SY_LATIN_POINTS - 2, 2, u, &err), SY_OK);
  assert_true(u[0] > 0 && u[0] < 1 && u[1] > 0 && u[1] < 1);
}

static void places_become_values(void **state) {
  (void)state;
  static const double values[3] = {7, 5, 11};
  double u[5] = {0, 0.3333, 0.3334, 0.99999, 1};
  double got[5];
  sy_points_pick(values, 3, u, 5, got);
  static const double want[5] = {7, 7, 5, 11, 11};
  assert_memory_equal(got, want, sizeof got);
  sy_points_between(-40, 60, u, 5, u);
  assert_near(u[0], -40, 0);
  assert_near(u[1], -6.67, 1e-14 * 40);
  assert_near(u[4], 60, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(range_has_even_steps_and_exact_ends),
      cmocka_unit_test(range_of_one_value_is_refused),
      cmocka_unit_test(grid_goes_through_all_combinations_with_the_last_fastest),
      cmocka_unit_test(grid_too_large_to_count_is_refused),
      cmocka_unit_test(one_at_a_time_leaves_the_others_alone),
      cmocka_unit_test(latin_hypercube_has_one_point_in_every_slice),
      cmocka_unit_test(latin_orders_are_equally_likely),
      cmocka_unit_test(latin_points_are_unrelated),
      cmocka_unit_test(points_are_the_same_alone_as_in_the_whole),
      cmocka_unit_test(sobol_points_are_balanced),
      cmocka_unit_test(sobol_points_reach_the_last),
      cmocka_unit_test(latin_points_that_cannot_be_are_refused),
      cmocka_unit_test(places_become_values),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
