#include "numeric/linsolve.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

static double *at(const sy_qr *qr, size_t i, size_t j) { return &qr->a[i * qr->cols + j]; }

static double column_length(const sy_qr *qr, size_t from, size_t j) {
  double sum = 0;
  for (size_t i = from; i < qr->rows; i++) sum += *at(qr, i, j) * *at(qr, i, j);
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
    for (size_t i = 0; i < qr->rows; i++) largest = fmax(largest, fabs(*at(qr, i, j)));
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

/* y (rows, stride apart) -> H_k y */
static void reflect(const sy_qr *qr, size_t k, double *y, size_t stride) {
  double dot = 0;
  for (size_t i = k; i < qr->rows; i++) dot += *at(qr, i, k) * y[i * stride];
  const double factor = -dot / *at(qr, k, k);
  for (size_t i = k; i < qr->rows; i++) y[i * stride] += factor * *at(qr, i, k);
}

sy_status sy_qr_factor(sy_qr *qr, sy_error *err) {
  if (qr->rows < qr->cols)
    return sy_fail(err, SY_RANGE, "matrix", "rows", "are %zu, fewer than the %zu columns", qr->rows,
                   qr->cols);
  if (!all_finite(qr)) return sy_fail(err, SY_RANGE, "matrix", "entries", "are not all finite");
  for (size_t j = 0; j < qr->cols; j++) qr->order[j] = j;
  equilibrate(qr);
  const double lost = (double)qr->rows * DBL_EPSILON; /* of a column of size about 1 */
  for (size_t k = 0; k < qr->cols; k++) {
    size_t longest = k;
    double length = column_length(qr, k, k);
    for (size_t j = k + 1; j < qr->cols; j++) {
      const double other = column_length(qr, k, j);
      if (!(other > length)) continue;
      length = other;
      longest = j;
    }
    if (!(length > lost))
      return sy_fail(err, SY_GEOMETRY, "matrix", "rank", "is %zu, of %zu columns: they depend on one another",
                     k, qr->cols);
    swap_columns(qr, k, longest);
    reflect_column(qr, k, length);
    for (size_t j = k + 1; j < qr->cols; j++) reflect(qr, k, qr->a + j, qr->cols);
  }
  return SY_OK;
}

double sy_qr_least_squares(const sy_qr *qr, double *b, double *x) {
  const size_t n = qr->cols;
  for (size_t k = 0; k < n; k++) reflect(qr, k, b, 1);
  double rest = 0;
  for (size_t i = n; i < qr->rows; i++) rest += b[i] * b[i];
  for (size_t k = n; k-- > 0;) { /* R z = Q^T b */
    for (size_t j = k + 1; j < n; j++) b[k] -= *at(qr, k, j) * b[j];
    b[k] /= qr->diagonal[k];
  }
  for (size_t k = 0; k < n; k++) x[qr->order[k]] = qr->scale[k] * b[k];
  return sqrt(rest);
}

void sy_qr_least_norm(const sy_qr *qr, const double *c, double *y, double *work) {
  const size_t n = qr->cols;
  for (size_t k = 0; k < n; k++) { /* R^T z = c */
    work[k] = qr->scale[k] * c[qr->order[k]];
    for (size_t i = 0; i < k; i++) work[k] -= *at(qr, i, k) * work[i];
    work[k] /= qr->diagonal[k];
  }
  for (size_t i = 0; i < qr->rows; i++) y[i] = i < n ? work[i] : 0.0;
  for (size_t k = n; k-- > 0;) reflect(qr, k, y, 1); /* y = Q z */
}

void sy_qr_inverse_gram(const sy_qr *qr, double *inverse, double *work) {
  const size_t n = qr->cols;
  for (size_t c = 0; c < n; c++) /* work = R^-1, upper triangle, column by column */
    for (size_t k = c + 1; k-- > 0;) {
      double sum = k == c ? 1.0 : 0.0;
      for (size_t j = k + 1; j <= c; j++) sum -= *at(qr, k, j) * work[j * n + c];
      work[k * n + c] = sum / qr->diagonal[k];
    }
  for (size_t i = 0; i < n; i++)
    for (size_t j = i; j < n; j++) {
      double sum = 0;
      for (size_t k = j; k < n; k++) sum += work[i * n + k] * work[j * n + k];
      sum *= qr->scale[i] * qr->scale[j];
      inverse[qr->order[i] * n + qr->order[j]] = sum;
      inverse[qr->order[j] * n + qr->order[i]] = sum;
    }
}
