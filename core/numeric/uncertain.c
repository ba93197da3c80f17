#include "numeric/uncertain.h"

#include <float.h>
#include <math.h>

#include "numeric/stats.h"

double sy_uncertain_limits(double half_width) { return fabs(half_width) / SY_ROOT_3; }

/* People count inputs from 1. */
static sy_status fail_pair(sy_error *err, sy_status status, size_t i, size_t j, const char *what, double a,
                           double b) {
  sy_error name;
  sy_fail(&name, status, NULL, NULL, "inputs %zu and %zu", i + 1, j + 1);
  return sy_fail(err, status, name.message, "correlation", what, a, b);
}

static sy_status check_entries(const double *r, size_t n, sy_error *err) {
  for (size_t i = 0; i < n; i++)
    for (size_t j = 0; j <= i; j++) {
      const double a = r[i * n + j], b = r[j * n + i];
      if (i == j && isfinite(a) && a != 1.0)
        return fail_pair(err, SY_CLASH, i, j, "is %g, must be 1 on the diagonal", a, b);
      if (!(fabs(a) <= 1.0)) return fail_pair(err, SY_RANGE, i, j, "is %g, must be between -1 and 1", a, b);
      if (a != b)
        return fail_pair(err, SY_CLASH, i, j, "is %g one way and %g the other, must be the same", a, b);
    }
  return SY_OK;
}

/* Cholesky with diagonal pivoting, always on the largest rest of the diagonal: a negative rest at the end, or one that is
** zero while its row is not, shows a negative eigenvalue. */
static sy_status check_semidefinite(double *a, size_t n, sy_error *err) {
  const double tol = (double)n * 4 * DBL_EPSILON;
  for (size_t step = 0; step < n; step++) {
    size_t p = 0;
    for (size_t i = 1; i < n; i++)
      if (a[i * n + i] > a[p * n + p]) p = i;
    const double pivot = a[p * n + p];
    if (!(pivot > tol)) break;
    for (size_t i = 0; i < n; i++)
      for (size_t j = 0; j < n; j++)
        if (i != p && j != p) a[i * n + j] -= a[i * n + p] * a[p * n + j] / pivot;
    for (size_t i = 0; i < n; i++) a[i * n + p] = a[p * n + i] = 0.0;
  }
  for (size_t i = 0; i < n; i++)
    for (size_t j = 0; j <= i; j++) {
      /* |a_ij| <= sqrt(a_ii a_jj) for what is semidefinite, and both are within tol */
      const double rest = i == j ? -a[i * n + i] : fabs(a[i * n + j]);
      if (rest > tol)
        return fail_pair(err, SY_GEOMETRY, i, j,
                         "contradicts the other correlations: no errors are correlated like that", 0.0, 0.0);
    }
  return SY_OK;
}

sy_status sy_uncertain_check_correlation(const double *r, size_t n, double *work, sy_error *err) {
  const sy_status status = check_entries(r, n, err);
  if (status != SY_OK) return status;
  for (size_t i = 0; i < n * n; i++) work[i] = r[i];
  return check_semidefinite(work, n, err);
}

static sy_status fail_input(sy_error *err, size_t i, const char *what, double sd) {
  sy_error name;
  sy_fail(&name, SY_OK, NULL, NULL, "input %zu", i + 1);
  return sy_fail(err, SY_RANGE, name.message, "sd", what, sd);
}

sy_status sy_uncertain_covariance(const double *sd, const double *r, size_t n, double *cov, sy_error *err) {
  for (size_t i = 0; i < n; i++) {
    if (sd[i] >= 0.0 && isfinite(sd[i])) continue;
    return fail_input(err, i, "is %g, must be >= 0 and finite", sd[i]);
  }
  if (r != NULL) {
    const sy_status status = sy_uncertain_check_correlation(r, n, cov, err);
    if (status != SY_OK) return status;
  }
  for (size_t i = 0; i < n; i++)
    for (size_t j = 0; j < n; j++) {
      const double correlation = r != NULL ? r[i * n + j] : i == j ? 1.0 : 0.0;
      cov[i * n + j] = sd[i] * correlation * sd[j];
      if (!isfinite(cov[i * n + j]))
        return fail_input(err, i, "is %g, which is too large to be squared", sd[i] > sd[j] ? sd[i] : sd[j]);
    }
  return SY_OK;
}

static double bilinear(const double *a, const double *cov, const double *b, size_t n) {
  double sum = 0;
  for (size_t i = 0; i < n; i++) {
    double row = 0;
    for (size_t j = 0; j < n; j++) row += cov[i * n + j] * b[j];
    sum += a[i] * row;
  }
  return sum;
}

/* Rounding may leave a tiny negative where everything cancels. */
static double root_of_variance(double variance) { return variance < 0 ? 0.0 : sqrt(variance); }

void sy_uncertain_propagate(const double *jacobian, const double *cov, size_t outputs, size_t n,
                            double *out) {
  for (size_t i = 0; i < outputs; i++)
    for (size_t j = 0; j <= i; j++) {
      const double c = bilinear(jacobian + i * n, cov, jacobian + j * n, n);
      out[i * outputs + j] = out[j * outputs + i] = c;
    }
}

double sy_uncertain_linear(const double *c, const double *cov, size_t n) {
  return root_of_variance(bilinear(c, cov, c, n));
}

static double dot(const double *a, const double *b, size_t n) {
  double sum = 0;
  for (size_t i = 0; i < n; i++) sum += a[i] * b[i];
  return sum;
}

/* df/dq_i = (a_i - f b_i) / (b . q) */
sy_status sy_uncertain_ratio(const double *a, const double *b, const double *q, const double *cov, size_t n,
                             double *value, double *u, sy_error *err) {
  const double below = dot(b, q, n);
  const double f = dot(a, q, n) / below;
  if (!isfinite(f))
    return sy_fail(err, SY_RANGE, "ratio", "denominator", "is %g, the quotient has no value", below);
  double variance = 0;
  for (size_t i = 0; i < n; i++)
    for (size_t j = 0; j < n; j++) variance += (a[i] - f * b[i]) * cov[i * n + j] * (a[j] - f * b[j]);
  if (!isfinite(variance / below / below))
    return sy_fail(err, SY_RANGE, "ratio", "covariance",
                   "gives a variance of %g, which is not a number to work with", variance);
  *value = f;
  *u = root_of_variance(variance) / fabs(below);
  return SY_OK;
}

void sy_uncertain_shares(const double *c, const double *cov, size_t n, double *share) {
  const double variance = bilinear(c, cov, c, n);
  for (size_t i = 0; i < n; i++) share[i] = variance > 0 ? c[i] * dot(cov + i * n, c, n) / variance : 0.0;
}

sy_status sy_uncertain_interval(double value, double u, double dof, double coverage, sy_interval *out,
                                sy_error *err) {
  if (!isfinite(value)) return sy_fail(err, SY_RANGE, "interval", "value", "is %g, must be finite", value);
  if (!(u >= 0.0 && isfinite(u)))
    return sy_fail(err, SY_RANGE, "interval", "u", "is %g, must be >= 0 and finite", u);
  if (!(dof >= SY_STATS_LEAST_DOF))
    return sy_fail(err, SY_RANGE, "interval", "dof", "is %g, must be at least %g", dof, SY_STATS_LEAST_DOF);
  if (!(coverage > 0.0 && coverage < 1.0))
    return sy_fail(err, SY_RANGE, "interval", "coverage", "is %g, must be between 0 and 1", coverage);
  const double used = dof > 1.0 ? floor(dof) : dof;
  const double k = sy_stats_student_quantile(0.5 + 0.5 * coverage, used);
  if (!(isfinite(value - k * u) && isfinite(value + k * u)))
    return sy_fail(err, SY_RANGE, "interval", "u", "is %g, and %g times that is too large a number", u, k);
  *out = (sy_interval){value - k * u, value + k * u, k, used};
  return SY_OK;
}

/* T is normal with the variance dof/chi2, so over s = log(chi2/dof) the sum is normal with normal^2 + student^2 exp(-s); s itself has
** the density exp(dof/2 (s - exp(s) + 1)) times a constant. It falls off on both sides: equal steps add up to the last digits. */
typedef struct mixture {
  double normal, student, half_dof, from, step;
  int count;
} mixture;

static mixture mixture_of(double normal, double student, double dof) {
  const double far = 40; /* exp(-40): below a double's last digit of the whole */
  mixture m = {normal, student, dof / 2, 0, fmin(0.25, 0.5 * sqrt(2 / dof)), 0};
  double to = 0;
  while (m.half_dof * (m.from - exp(m.from) + 1) > -far) m.from -= m.step;
  while (m.half_dof * (to - exp(to) + 1) > -far) to += m.step;
  m.count = (int)lround((to - m.from) / m.step) + 1;
  return m;
}

/* P(|sum| < w) and its density there. */
static double held(const mixture *m, double w, double *density) {
  double weights = 0, sum = 0, slope = 0;
  for (int i = 0; i < m->count; i++) {
    const double s = m->from + i * m->step;
    const double weight = exp(m->half_dof * (s - exp(s) + 1));
    const double sd = sqrt(m->normal * m->normal + m->student * m->student * exp(-s));
    const double z = w / sd;
    weights += weight;
    sum += weight * erf(z * 0.707106781186547524400844362104849039);
    slope += weight * 0.797884560802865355879892119868763737 * exp(-z * z / 2) / sd;
  }
  *density = slope / weights;
  return sum / weights;
}

double sy_uncertain_half_width(double normal, double student, double dof, double coverage) {
  const double none = (double)NAN;
  if (!(normal >= 0 && isfinite(normal) && student >= 0 && isfinite(student))) return none;
  if (!(dof >= SY_STATS_LEAST_DOF) || !(coverage > 0 && coverage < 1)) return none;
  if (student == 0 || dof > SY_STATS_MOST_DOF) /* there the two differ by less than a part in dof */
    return hypot(normal, student) * sy_stats_normal_quantile(0.5 + 0.5 * coverage);
  if (normal == 0) return student * sy_stats_student_quantile(0.5 + 0.5 * coverage, dof);
  /* The probability is concave over w, so Newton's steps from below stay below and rise. */
  int exponent; /* a power of two, so that no digit changes, brings both to where squares are numbers */
  frexp(fmax(normal, student), &exponent);
  const double size = ldexp(0.5, exponent);
  const mixture m = mixture_of(normal / size, student / size, dof);
  double w = 0;
  for (int round = 0; round < 200; round++) {
    double density;
    const double step = (coverage - held(&m, w, &density)) / density;
    w += step;
    if (fabs(step) <= 1e-12 * w) break;
  }
  return w * size;
}
