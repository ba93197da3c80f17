/* The Makefile compiles this file once a level: SY_LEVEL 1 (any processor), 3, 4. Lanes are columns: eight side by side, two of what is left
** of them and one, so the sums of one do not wait for those of another. Rows that the vector does not reach, most in a sparse matrix, are
** left alone. */
#include "numeric/kernels/reflect_lanes.h"

#include <math.h>
#include <string.h>

#ifndef SY_LEVEL
#define SY_LEVEL 1
#endif

typedef double two __attribute__((vector_size(2 * sizeof(double))));

/* Eight numbers in as many registers as they take; each is loaded and stored by itself, since compilers take a structure of several, or an
** array, through memory. `lane` is one of them and `from` its first number. */
#if SY_LEVEL == 4
typedef double wide __attribute__((vector_size(8 * sizeof(double))));
typedef struct eight {
  wide a;
} eight;
#define EACH(f)  f(a, 0)
#define FUNCTION sy_reflect_lanes_v4
#elif SY_LEVEL == 3
typedef double wide __attribute__((vector_size(4 * sizeof(double))));
typedef struct eight {
  wide a, b;
} eight;
#define EACH(f)  f(a, 0) f(b, 4)
#define FUNCTION sy_reflect_lanes_v3
#else
typedef two wide;
typedef struct eight {
  wide a, b, c, d;
} eight;
#define EACH(f)  f(a, 0) f(b, 2) f(c, 4) f(d, 6)
#define FUNCTION sy_reflect_lanes_v1
#endif

static inline eight load(const double *row) {
  eight v;
#define LOAD(lane, from) memcpy(&v.lane, row + (from), sizeof v.lane);
  EACH(LOAD)
  return v;
}

static inline void store(double *row, eight v) {
#define STORE(lane, from) memcpy(row + (from), &v.lane, sizeof v.lane);
  EACH(STORE)
}

static inline eight zero(void) {
  eight v;
#define ZERO(lane, from) v.lane = (wide){0};
  EACH(ZERO)
  return v;
}

/* s + f v, the factors a number or one a lane */
static inline eight add_times(eight s, double f, eight v) {
  const wide all = f - (wide){0};
#define PLUS_TIMES(lane, from) s.lane += all * v.lane;
  EACH(PLUS_TIMES)
  return s;
}

static inline two add_times_two(two s, double f, two v) { return s + (two){f, f} * v; }

static inline eight add_products(eight s, eight f, eight v) {
#define PLUS_PRODUCT(lane, from) s.lane += f.lane * v.lane;
  EACH(PLUS_PRODUCT)
  return s;
}

static inline eight minus_over(eight v, double by) {
  const wide all = by - (wide){0};
#define MINUS_OVER(lane, from) v.lane = -v.lane / all;
  EACH(MINUS_OVER)
  return v;
}

static inline two load_two(const double *row) {
  two v;
  memcpy(&v, row, sizeof v);
  return v;
}

/* One reflection: its vector's first entry, and the rows of it. */
typedef struct reflection {
  double *a;
  size_t rows, cols, k;
} reflection;

static inline double *at(const reflection *r, size_t i, size_t j) { return &r->a[i * r->cols + j]; }

static void reflect_eight(const reflection *r, size_t j, double *length) {
  const size_t k = r->k;
  const double own = *at(r, k, k);
  eight dot = zero(), square = dot;
  for (size_t i = k; i < r->rows; i++) {
    const double v = *at(r, i, k);
    if (v != 0) dot = add_times(dot, v, load(at(r, i, j)));
  }
  const eight factor = minus_over(dot, own), first = add_times(load(at(r, k, j)), own, factor);
  store(at(r, k, j), first);
  for (size_t i = k + 1; i < r->rows; i++) {
    const double v = *at(r, i, k);
    eight row = load(at(r, i, j));
    if (v != 0) {
      row = add_times(row, v, factor);
      store(at(r, i, j), row);
    }
    square = add_products(square, row, row);
  }
  double squares[8];
  store(squares, square);
  for (size_t c = 0; c < 8; c++) length[j + c] = sqrt(squares[c]);
}

static void reflect_two(const reflection *r, size_t j, double *length) {
  const size_t k = r->k;
  const double own = *at(r, k, k);
  two dot = {0, 0}, square = {0, 0};
  for (size_t i = k; i < r->rows; i++) {
    const double v = *at(r, i, k);
    if (v != 0) dot = add_times_two(dot, v, load_two(at(r, i, j)));
  }
  const two factor = -dot / (two){own, own}, first = add_times_two(load_two(at(r, k, j)), own, factor);
  memcpy(at(r, k, j), &first, sizeof first);
  for (size_t i = k + 1; i < r->rows; i++) {
    const double v = *at(r, i, k);
    two row = load_two(at(r, i, j));
    if (v != 0) {
      row = add_times_two(row, v, factor);
      memcpy(at(r, i, j), &row, sizeof row);
    }
    square += row * row;
  }
  length[j] = sqrt(square[0]);
  length[j + 1] = sqrt(square[1]);
}

static void reflect_one(const reflection *r, size_t j, double *length) {
  const size_t k = r->k;
  const double own = *at(r, k, k);
  double dot = 0, square = 0;
  for (size_t i = k; i < r->rows; i++) dot += *at(r, i, k) * *at(r, i, j);
  const double factor = -dot / own;
  *at(r, k, j) += factor * own;
  for (size_t i = k + 1; i < r->rows; i++) {
    *at(r, i, j) += factor * *at(r, i, k);
    square += *at(r, i, j) * *at(r, i, j);
  }
  length[j] = sqrt(square);
}

void FUNCTION(double *a, size_t rows, size_t cols, size_t k, double *length) {
  const reflection r = {a, rows, cols, k};
  size_t j = k + 1;
  for (; j + 8 <= cols; j += 8) reflect_eight(&r, j, length);
  for (; j + 2 <= cols; j += 2) reflect_two(&r, j, length);
  if (j < cols) reflect_one(&r, j, length);
}
