#include "measure/tensor.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "base/finite.h"
#include "numeric/linsolve.h"
#include "numeric/uncertain.h"

/* coefficients of the entries in u^T J u */
static void row_of(sy_vec3 u, double row[6]) {
  const double all[6] = {u.x * u.x, u.y * u.y, u.z * u.z, 2 * u.x * u.y, 2 * u.x * u.z, 2 * u.y * u.z};
  memcpy(row, all, sizeof all);
}

static sy_status check(const sy_tensor_swing *swings, size_t count, const double *cov, sy_error *err) {
  if (count == 0) return sy_fail(err, SY_MISSING, "hangs", NULL, "are missing");
  if (count > SY_TENSOR_MOST)
    return sy_fail(err, SY_RANGE, "hangs", NULL, "are %zu, more than %d", count, (int)SY_TENSOR_MOST);
  for (size_t i = 0; i < count; i++) {
    const sy_tensor_swing *s = &swings[i];
    if (!sy_vec3_finite(s->axis) || !sy_vec3_finite(s->axis_sd) || !isfinite(s->inertia))
      return sy_fail(err, SY_RANGE, "hangs", NULL, "of number %zu is not finite", i + 1);
    if (!(sy_vec3_length(s->axis) > 0))
      return sy_fail(err, SY_RANGE, "hangs", "axis", "of number %zu has no length", i + 1);
  }
  for (size_t i = 0; i < count * count; i++)
    if (!isfinite(cov[i]))
      return sy_fail(err, SY_RANGE, "hangs", "period", "has an uncertainty that is not finite");
  return SY_OK;
}

/* Entries that some axis touches; a coefficient of rounding size is none. */
static size_t find_known(double row[][6], size_t count, bool mirror, bool known[6]) {
  size_t n = 0;
  for (int k = 0; k < 6; k++) {
    known[k] = false;
    for (size_t i = 0; i < count; i++) known[k] = known[k] || fabs(row[i][k]) > 4 * DBL_EPSILON;
    if (mirror && (k == 3 || k == 5)) known[k] = false;
    n += known[k] ? 1 : 0;
  }
  return n;
}

/* An axis off by du: the inertia was measured about another one, so the row is wrong by 2 (J u) . du. */
static void add_axis_uncertainties(const sy_tensor_swing *swings, size_t count, const sy_tensor *t,
                                   double *cov) {
  double j[6];
  for (int k = 0; k < 6; k++) j[k] = t->known[k] ? t->value[k] : 0;
  const sy_mat3 tensor = {{{j[0], j[3], j[4]}, {j[3], j[1], j[5]}, {j[4], j[5], j[2]}}};
  for (size_t i = 0; i < count; i++) {
    const double length = sy_vec3_length(swings[i].axis);
    const sy_vec3 u = sy_vec3_scale(1 / length, swings[i].axis), pull = sy_mat3_apply(tensor, u);
    const sy_vec3 across = sy_vec3_muladd(pull, -sy_vec3_dot(pull, u), u), d = swings[i].axis_sd;
    const sy_vec3 sensitivity = sy_vec3_scale(2 / length, across);
    cov[i * count + i] += sensitivity.x * sensitivity.x * d.x * d.x +
                          sensitivity.y * sensitivity.y * d.y * d.y +
                          sensitivity.z * sensitivity.z * d.z * d.z;
  }
}

/* The linear estimator of the known entries, n x count: column i is what a unit in measurement i does. */
static sy_status estimator(double row[][6], size_t count, const bool known[6], size_t n, double *gain,
                           sy_error *err) {
  double a[SY_TENSOR_MOST * 6], diagonal[6], scale[6], unit[SY_TENSOR_MOST], x[6];
  size_t order[6], at = 0;
  for (size_t i = 0; i < count; i++)
    for (int k = 0; k < 6; k++)
      if (known[k]) a[at++] = row[i][k];
  sy_qr qr = {count, n, a, diagonal, scale, order};
  if (sy_qr_factor(&qr, NULL) != SY_OK)
    return sy_fail(err, SY_GEOMETRY, "hangs", "axis",
                   "lie so that entries of the tensor are indistinguishable: add one across them");
  for (size_t i = 0; i < count; i++) {
    for (size_t k = 0; k < count; k++) unit[k] = k == i ? 1 : 0;
    sy_qr_least_squares(&qr, unit, x);
    for (size_t k = 0; k < n; k++) gain[k * count + i] = x[k];
  }
  return SY_OK;
}

sy_status sy_tensor_fit(const sy_tensor_swing *swings, size_t count, const double *cov, bool mirror,
                        sy_tensor *out, sy_error *err) {
  sy_status status = check(swings, count, cov, err);
  if (status != SY_OK) return status;
  double row[SY_TENSOR_MOST][6], gain[6 * SY_TENSOR_MOST], full[SY_TENSOR_MOST * SY_TENSOR_MOST], spread[36];
  for (size_t i = 0; i < count; i++)
    row_of(sy_vec3_scale(1 / sy_vec3_length(swings[i].axis), swings[i].axis), row[i]);
  sy_tensor t = {.dof = 0};
  const size_t n = find_known(row, count, mirror, t.known);
  if (count < n)
    return sy_fail(err, SY_MISSING, "hangs", NULL,
                   "about %zu axes cannot give the %zu entries of the tensor they touch: add %zu more", count,
                   n, n - count);
  status = estimator(row, count, t.known, n, gain, err);
  if (status != SY_OK) return status;
  for (size_t i = 0; i < count; i++) t.residual[i] = swings[i].inertia;
  for (size_t k = 0, at = 0; k < 6; k++) {
    t.value[k] = t.sd[k] = (double)NAN;
    if (!t.known[k]) continue;
    t.value[k] = 0;
    for (size_t i = 0; i < count; i++) t.value[k] += gain[at * count + i] * swings[i].inertia;
    for (size_t i = 0; i < count; i++) t.residual[i] -= row[i][k] * t.value[k];
    at++;
  }
  memcpy(full, cov, count * count * sizeof *full);
  add_axis_uncertainties(swings, count, &t, full);
  sy_uncertain_propagate(gain, full, n, count, spread);
  for (size_t k = 0, at = 0; k < 6; k++)
    if (t.known[k]) {
      t.sd[k] = sqrt(spread[at * n + at]);
      at++;
    }
  t.dof = (int)(count - n);
  for (size_t k = 0; k < 6; k++)
    if (t.known[k]) {
      const double entry[2] = {t.value[k], t.sd[k]};
      status = sy_finite_results(entry, 2, "hangs", "inertia", err);
      if (status != SY_OK) return status;
    }
  *out = t;
  return SY_OK;
}
