#include "numeric/linsolve.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/lanes.h"
#include "numeric/kernels/reflect_lanes.h"

static double *at(const sy_qr *qr, size_t i, size_t j) { return &qr->a[i * qr->cols + j]; }

static double column_length(const sy_qr *qr, size_t j) {
  double sum = 0;
  for (size_t i = 0; i < qr->rows; i++) sum += *at(qr, i, j) * *at(qr, i, j);
  return sqrt(sum);
}

static bool all_finite(const sy_qr *qr) {
  for (size_t i = 0; i < qr->rows * qr->cols; i++)
    if (!isfinite(qr->a[i])) return false;
  return true;
}

/* Bring every column's largest entry into [1/2, 1): squares neither overflow nor vanish, and sizes compare. */
static void equilibrate(const sy_qr *qr) {
  for (size_t j = 0; j < qr->cols; j++) {
    double largest = 0;
    for (size_t i = 0; i < qr->rows; i++)
      if (fabs(*at(qr, i, j)) > largest) largest = fabs(*at(qr, i, j)); /* fmax is a call */
    int exponent = 0;
    if (largest > 0) frexp(largest, &exponent);
    if (exponent < -1000) exponent = -1000; /* keeps the scale itself a normal number */
    qr->scale[j] = ldexp(1.0, -exponent);
    for (size_t i = 0; i < qr->rows; i++) *at(qr, i, j) *= qr->scale[j];
  }
}

static void swap_columns(const sy_qr *qr, size_t j, size_t k) {
  if (j == k) return;
  for (size_t i = 0; i < qr->rows; i++) {
    const double keep = *at(qr, i, j);
    *at(qr, i, j) = *at(qr, i, k);
    *at(qr, i, k) = keep;
  }
  const size_t order = qr->order[j];
  qr->order[j] = qr->order[k];
  qr->order[k] = order;
  const double scale = qr->scale[j];
  qr->scale[j] = qr->scale[k];
  qr->scale[k] = scale;
}

/* Column k becomes the reflection vector v, normed so that H = 1 - v v^T / v_k; H maps the column to its new diagonal. */
static void reflect_column(const sy_qr *qr, size_t k, double length) {
  const double signed_length =
      *at(qr, k, k) < 0 ? -length : length; /* the same sign: no cancellation in v_k */
  for (size_t i = k; i < qr->rows; i++) *at(qr, i, k) /= signed_length;
  *at(qr, k, k) += 1.0;
  qr->diagonal[k] = -signed_length;
}

/* y (rows) -> H_k y */
static void reflect(const sy_qr *qr, size_t k, double *y) {
  double dot = 0;
  for (size_t i = k; i < qr->rows; i++) dot += *at(qr, i, k) * y[i];
  const double factor = -dot / *at(qr, k, k);
  for (size_t i = k; i < qr->rows; i++) y[i] += factor * *at(qr, i, k);
}

/* The same for all columns behind, and into the diagonal, where nothing stands yet, the lengths of what is left of them below row k. */
static void reflect_rest(const sy_qr *qr, size_t k) {
#ifdef __x86_64__
  if (sy_lanes_level(4)) {
    sy_reflect_lanes_v4(qr->a, qr->rows, qr->cols, k, qr->diagonal);
    return;
  }
  if (sy_lanes_level(3)) {
    sy_reflect_lanes_v3(qr->a, qr->rows, qr->cols, k, qr->diagonal);
    return;
  }
#endif
  sy_reflect_lanes_v1(qr->a, qr->rows, qr->cols, k, qr->diagonal);
}

/* Eight numbers in a row, in registers: compilers keep arrays in memory. */
typedef double two __attribute__((vector_size(2 * sizeof(double))));
typedef struct eight {
  two a, b, c, d;
} eight;

static inline eight load(const double *row) {
  eight v;
  memcpy(&v, row, sizeof v);
  return v;
}

static inline void store(double *row, eight v) { memcpy(row, &v, sizeof v); }

/* s + f v, the factors a number or eight */
static inline eight add_times(eight s, double f, eight v) {
  const two both = {f, f};
  return (eight){s.a + both * v.a, s.b + both * v.b, s.c + both * v.c, s.d + both * v.d};
}

static inline eight minus_over(eight v, double by) {
  const two both = {by, by};
  return (eight){-v.a / both, -v.b / both, -v.c / both, -v.d / both};
}

/* The same for SY_QR_SIDES right sides. */
static void reflect_sides(const sy_qr *qr, size_t k, double *y) {
  eight dot = {.a = {0}};
  const double own = *at(qr, k, k);
  for (size_t i = k; i < qr->rows; i++) {
    const double v = *at(qr, i, k);
    if (v != 0) dot = add_times(dot, v, load(y + i * SY_QR_SIDES));
  }
  const eight factor = minus_over(dot, own);
  for (size_t i = k; i < qr->rows; i++) {
    const double v = *at(qr, i, k);
    if (v != 0) store(y + i * SY_QR_SIDES, add_times(load(y + i * SY_QR_SIDES), v, factor));
  }
}

sy_status sy_qr_factor(sy_qr *qr, sy_error *err) {
  if (qr->rows < qr->cols)
    return sy_fail(err, SY_RANGE, "matrix", "rows", "are %zu, fewer than the %zu columns", qr->rows,
                   qr->cols);
  if (!all_finite(qr)) return sy_fail(err, SY_RANGE, "matrix", "entries", "are not all finite");
  for (size_t j = 0; j < qr->cols; j++) qr->order[j] = j;
  equilibrate(qr);
  const double lost = (double)qr->rows * DBL_EPSILON; /* of a column of size about 1 */
  for (size_t j = 0; j < qr->cols; j++) qr->diagonal[j] = column_length(qr, j);
  for (size_t k = 0; k < qr->cols; k++) {
    size_t longest = k;
    for (size_t j = k + 1; j < qr->cols; j++)
      if (qr->diagonal[j] > qr->diagonal[longest]) longest = j;
    const double length = qr->diagonal[longest];
    if (!(length > lost))
      return sy_fail(err, SY_GEOMETRY, "matrix", "rank", "is %zu, of %zu columns: they depend on one another",
                     k, qr->cols);
    swap_columns(qr, k, longest);
    reflect_column(qr, k, length);
    reflect_rest(qr, k);
  }
  return SY_OK;
}

double sy_qr_least_squares(const sy_qr *qr, double *b, double *x) {
  const size_t n = qr->cols;
  for (size_t k = 0; k < n; k++) reflect(qr, k, b);
  double rest = 0;
  for (size_t i = n; i < qr->rows; i++) rest += b[i] * b[i];
  for (size_t k = n; k-- > 0;) { /* R z = Q^T b */
    for (size_t j = k + 1; j < n; j++) b[k] -= *at(qr, k, j) * b[j];
    b[k] /= qr->diagonal[k];
  }
  for (size_t k = 0; k < n; k++) x[qr->order[k]] = qr->scale[k] * b[k];
  return sqrt(rest);
}

void sy_qr_least_squares_sides(const sy_qr *qr, double *b, double *x) {
  const size_t n = qr->cols, sides = SY_QR_SIDES;
  for (size_t k = 0; k < n; k++) reflect_sides(qr, k, b);
  for (size_t k = n; k-- > 0;) { /* R z = Q^T b */
    for (size_t j = k + 1; j < n; j++)
      for (size_t c = 0; c < sides; c++) b[k * sides + c] -= *at(qr, k, j) * b[j * sides + c];
    for (size_t c = 0; c < sides; c++) b[k * sides + c] /= qr->diagonal[k];
  }
  for (size_t k = 0; k < n; k++)
    for (size_t c = 0; c < sides; c++) x[qr->order[k] * sides + c] = qr->scale[k] * b[k * sides + c];
}

void sy_qr_least_norm(const sy_qr *qr, const double *c, double *y, double *work) {
  const size_t n = qr->cols;
  for (size_t k = 0; k < n; k++) { /* R^T z = c */
    work[k] = qr->scale[k] * c[qr->order[k]];
    for (size_t i = 0; i < k; i++) work[k] -= *at(qr, i, k) * work[i];
    work[k] /= qr->diagonal[k];
  }
  for (size_t i = 0; i < qr->rows; i++) y[i] = i < n ? work[i] : 0.0;
  for (size_t k = n; k-- > 0;) reflect(qr, k, y); /* y = Q z */
}

/* R^-1, upper triangle, from the last row up: a row at a time, whose sums do not wait for each other. */
static void invert_triangle(const sy_qr *qr, double *work) {
  const size_t n = qr->cols;
  for (size_t k = n; k-- > 0;) {
    double *row = work + k * n;
    for (size_t c = k; c < n; c++) row[c] = c == k ? 1.0 : 0.0;
    for (size_t j = k + 1; j < n; j++) {
      const double by = *at(qr, k, j);
      for (size_t c = j; c < n; c++) row[c] -= by * work[j * n + c];
    }
    for (size_t c = k; c < n; c++) row[c] /= qr->diagonal[k];
  }
}

void sy_qr_inverse_gram(const sy_qr *qr, double *inverse, double *work) {
  enum { ROWS = 4 }; /* whose sums are gathered together: each for itself waits for every addition */
  const size_t n = qr->cols;
  invert_triangle(qr, work);
  for (size_t j = 0; j < n; j++)
    for (size_t first = 0; first <= j; first += ROWS) {
      const size_t some = j + 1 - first < ROWS ? j + 1 - first : ROWS;
      const double *own = work + j * n, *row[ROWS];
      double sum[ROWS] = {0};
      for (size_t r = 0; r < ROWS; r++) row[r] = work + (first + (r < some ? r : 0)) * n;
      for (size_t k = j; k < n; k++)
        for (size_t r = 0; r < ROWS; r++) sum[r] += row[r][k] * own[k];
      for (size_t r = 0; r < some; r++) {
        const size_t i = first + r;
        sum[r] *= qr->scale[i] * qr->scale[j];
        inverse[qr->order[i] * n + qr->order[j]] = sum[r];
        inverse[qr->order[j] * n + qr->order[i]] = sum[r];
      }
    }
}
