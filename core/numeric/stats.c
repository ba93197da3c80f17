#include "numeric/stats.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

#define NOT_A_NUMBER ((double)NAN)
#define INFINITE     ((double)INFINITY)

static const double HALF_LOG_TWO_PI = 0.918938533204672741780329736405617640;
static const double ROOT_HALF = 0.707106781186547524400844362104849039;

/* ---- the gamma function, in pieces that stay accurate when large values cancel ------------------------------- */

/* log Gamma(a) = (a - 1/2) log a - a + log(2 pi)/2 + remainder(a), a >= 10 to the last digit.
** Stirling's series, A&S 6.1.40: B_2k / (2k (2k - 1) a^(2k - 1)). */
static double stirling_remainder(double a) {
  static const double c[] = {1.0 / 12,   -1.0 / 360,      1.0 / 1260, -1.0 / 1680,
                             1.0 / 1188, -691.0 / 360360, 1.0 / 156};
  const double inverse = 1.0 / a, square = inverse * inverse;
  double sum = 0;
  for (int k = 6; k >= 0; k--) sum = sum * square + c[k];
  return sum * inverse;
}

enum { STIRLING_FROM = 10 };

/* a^a e^-a / Gamma(a + 1), by Gamma(a + 1) = Gamma(a + n + 1) / ((a + 1) ... (a + n)) for small a */
static double poisson_peak(double a) {
  double product = 1.0, b = a;
  while (b < STIRLING_FROM) product *= ++b;
  /* log of b^b e^-b / Gamma(b + 1) is -log(2 pi b)/2 - remainder(b) */
  const double log_peak = -HALF_LOG_TWO_PI - 0.5 * log(b) - stirling_remainder(b);
  const double ratio = a > 0 ? a * log(a) : 0.0;
  return product * exp(log_peak + (b - a) + (ratio - b * log(b)));
}

/* Gamma(a + 1/2) / Gamma(a) */
static double half_step(double a) {
  double product = 1.0;
  for (; a < STIRLING_FROM; a += 1.0) product *= a / (a + 0.5);
  const double h = 0.5 / a;
  return product * sqrt(a) * exp(a * log1p(h) - 0.5 + (stirling_remainder(a + 0.5) - stirling_remainder(a)));
}

/* ---- chi-square: incomplete gamma with a = dof/2, at x/2 ------------------------------------------------------ */

/* x^a e^-x / Gamma(a + 1) as the peak at x = a times what is lost by being off it */
static double poisson_density(double a, double x) {
  const double d = (x - a) / a;
  if (fabs(d) < 0.5) return poisson_peak(a) * exp(-a * (d - log1p(d)));
  return poisson_peak(a) * exp(a * log(x / a) - (x - a));
}

/* P(a, x) by its series (A&S 6.5.29), for x < a + 1: some sqrt(a) terms */
static double gamma_series(double a, double x) {
  double term = 1.0, sum = 1.0;
  for (double k = a + 1; term > DBL_EPSILON / 4 * sum; k += 1) {
    term *= x / k;
    sum += term;
  }
  return sum * poisson_density(a, x);
}

/* A continued fraction b0 + a1/(b1 + a2/(b2 + ...)) by Lentz' method: one more pair (a, b) a step. */
typedef struct fraction {
  double value, c, d;
} fraction;

static const double TINY = 1e-300; /* stands for a zero denominator, far below any that matters */

static double away_from_zero(double x) { return fabs(x) < TINY ? TINY : x; }

static fraction fraction_begin(double b0) { return (fraction){away_from_zero(b0), away_from_zero(b0), 0.0}; }

/* true while it still changes */
static bool fraction_step(fraction *f, double a, double b) {
  f->d = 1.0 / away_from_zero(b + a * f->d);
  f->c = away_from_zero(b + a / f->c);
  const double factor = f->c * f->d;
  f->value *= factor;
  return fabs(factor - 1.0) > DBL_EPSILON;
}

/* Both fractions converge in some sqrt(a) steps; this many serve dof of 1e9 and end a calculation with bad digits. */
enum { MOST_STEPS = 200000 };

/* Q(a, x), for x >= a + 1: the even part of A&S 6.5.31 */
static double gamma_fraction(double a, double x) {
  fraction f = fraction_begin(x + 1 - a);
  for (int n = 1; n < MOST_STEPS; n++)
    if (!fraction_step(&f, -n * (n - a), x + 2 * n + 1 - a)) break;
  return a * poisson_density(a, x) / f.value;
}

static double gamma_part(double a, double x, bool upper) {
  if (isinf(x)) return upper ? 0.0 : 1.0;
  if (x <= 0) return upper ? 1.0 : 0.0;
  if (x < a + 1) {
    const double p = gamma_series(a, x);
    return upper ? 1.0 - p : p;
  }
  const double q = gamma_fraction(a, x);
  return upper ? q : 1.0 - q;
}

/* Smaller ones have reciprocals that are not numbers. */
static bool bad_dof(double dof) { return !(dof >= SY_STATS_LEAST_DOF); }

/* More, and series and fractions would go on for ever: they take some sqrt(dof) steps. */
static bool bad_count(double dof) { return bad_dof(dof) || dof > SY_STATS_MOST_DOF; }

double sy_stats_chi2_cdf(double x, double dof) {
  if (bad_count(dof) || isnan(x)) return NOT_A_NUMBER;
  return gamma_part(0.5 * dof, 0.5 * x, false);
}

double sy_stats_chi2_tail(double x, double dof) {
  if (bad_count(dof) || isnan(x)) return NOT_A_NUMBER;
  return gamma_part(0.5 * dof, 0.5 * x, true);
}

/* x times the density */
static double chi2_slope(double x, double dof) { return 0.5 * dof * poisson_density(0.5 * dof, 0.5 * x); }

/* ---- Student t: incomplete beta ------------------------------------------------------------------------------- */

/* The fraction of I_x(a, b) (A&S 26.5.8), for x < (a + 1) / (a + b + 2) */
static double beta_fraction(double a, double b, double x) {
  fraction f = fraction_begin(1.0);
  for (int m = 0; m < MOST_STEPS; m++) {
    const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
    const bool more = fraction_step(&f, odd, 1.0);
    const int k = m + 1;
    const double even = k * (b - k) * x / ((a + 2 * k - 1) * (a + 2 * k));
    if (!fraction_step(&f, even, 1.0) && !more) break;
  }
  return 1.0 / f.value;
}

/* The normal deviate with the same tail as t with many degrees of freedom (A&S 26.7.8): wrong by t^5 / dof^2. */
static double nearly_normal(double t, double dof) {
  return t * (1 - 0.25 / dof) / hypot(1.0, t / sqrt(2 * dof));
}

/* P(|T| > t), or P(|T| < t): I_x(dof/2, 1/2) at x = dof / (dof + t^2) and its complement */
static double student_part(double t, double dof, bool outside) {
  if (isinf(t)) return outside ? 0.0 : 1.0;
  if (t == 0) return outside ? 1.0 : 0.0;
  if (dof > SY_STATS_MOST_DOF) {
    const double z = nearly_normal(t, dof) * ROOT_HALF;
    return outside ? erfc(z) : erf(z);
  }
  const double a = 0.5 * dof;
  const double root_dof = sqrt(dof);
  const double s = t / root_dof; /* t^2 / dof = s^2 may overflow: work by hypot */
  const double h = hypot(1.0, s);
  const double x = 1.0 / h / h;
  const double rest = s / h * (s / h);
  const double log_x = s < 1 ? -log1p(s * s) : -2.0 * log(h);
  /* x^a (1 - x)^(1/2) / B(a, 1/2) */
  const double front =
      exp(a * log_x) * (s / h) * half_step(a) * 0.564189583547756286948079451560772586; /* 1/sqrt pi */
  const bool direct = x < (a + 1) / (a + 2.5);
  const double part =
      direct ? front / a * beta_fraction(a, 0.5, x) : 2.0 * front * beta_fraction(0.5, a, rest);
  return direct == outside ? part : 1.0 - part;
}

double sy_stats_student_cdf(double t, double dof) {
  if (bad_dof(dof) || isnan(t)) return NOT_A_NUMBER;
  const double tail = 0.5 * student_part(fabs(t), dof, true);
  return t < 0 ? tail : 1.0 - tail;
}

/* P(F > f) = I_x(dof2/2, dof1/2) at x = dof2 / (dof2 + dof1 f) (A&S 26.6.2); 1/B(a, b) by Gamma(a) = a^(a-1) e^-a / peak(a) */
double sy_stats_f_tail(double f, double dof1, double dof2) {
  if (bad_count(dof1) || bad_dof(dof2) || !(f >= 0)) return NOT_A_NUMBER;
  if (dof2 > SY_STATS_MOST_DOF) return sy_stats_chi2_tail(dof1 * f, dof1);
  if (f == 0 || isinf(f)) return f == 0 ? 1.0 : 0.0;
  const double a = 0.5 * dof2, b = 0.5 * dof1, ratio = dof1 / dof2 * f;
  const double x = 1.0 / (1.0 + ratio), rest = 1.0 / (1.0 + 1.0 / ratio);
  const double powers = (a + b - 1) * log(a + b) - (a - 1) * log(a) - (b - 1) * log(b);
  const double front = exp(powers - a * log1p(ratio) - b * log1p(1.0 / ratio)) * poisson_peak(a) *
                       poisson_peak(b) / poisson_peak(a + b);
  if (x < (a + 1) / (a + b + 2)) return front / a * beta_fraction(a, b, x);
  return 1.0 - front / b * beta_fraction(b, a, rest);
}

/* t times the density of |T| */
static double student_slope(double t, double dof) {
  static const double ROOT_TWO_OVER_PI = 0.797884560802865355879892119868763737;
  if (dof > SY_STATS_MOST_DOF)
    return ROOT_TWO_OVER_PI * t * exp(-0.5 * t * t); /* the slope of a Newton step: near enough */
  const double s = t / sqrt(dof);
  const double log_x = s < 1 ? -log1p(s * s) : -2.0 * log(hypot(1.0, s));
  return 2.0 * s * half_step(0.5 * dof) * exp(0.5 * (dof + 1) * log_x) *
         0.564189583547756286948079451560772586;
}

double sy_stats_normal_cdf(double x) { return sy_stats_student_cdf(x, INFINITE); }

/* ---- quantiles ------------------------------------------------------------------------------------------------- */

/* A distribution of x > 0: the mass on one side of x, and x times the density. */
typedef struct positive {
  double (*part)(double x, double dof, bool upper);
  double (*slope)(double x, double dof);
  double dof;
} positive;

static double chi2_part(double x, double dof, bool upper) { return gamma_part(0.5 * dof, 0.5 * x, upper); }

/* The x with part(x) = target. Newton's method for log part over log x, where both ends are nearly straight, kept inside
** a bracket that halves (in log x) whenever a step would leave it. */
static double solve(const positive *d, double target, bool upper) {
  double low = log(DBL_MIN), high = log(DBL_MAX); /* of x */
  double u = 0.0;
  for (int i = 0; i < 400; i++) { /* each bisection halves 1400: 70 of them reach the last digit */
    const double x = exp(u);
    const double part = d->part(x, d->dof, upper);
    if (part == target) return x;
    if ((part > target) == upper)
      low = u;
    else
      high = u;
    const double slope = d->slope(x, d->dof) * (upper ? -1.0 : 1.0) / part;
    double next = u - log(part / target) / slope;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    const double step = fabs(next - u);
    u = next;
    if (step <= 2 * DBL_EPSILON || !(low < high)) break;
  }
  return exp(u);
}

/* Solve on the side with the smaller mass: its digits are all there. */
double sy_stats_chi2_quantile(double p, double dof) {
  if (bad_count(dof) || !(p >= 0 && p <= 1)) return NOT_A_NUMBER;
  if (p == 0) return 0.0;
  if (p == 1) return INFINITE;
  const positive d = {chi2_part, chi2_slope, dof};
  return p < 0.5 ? solve(&d, p, false) : solve(&d, 1.0 - p, true);
}

double sy_stats_student_quantile(double p, double dof) {
  if (bad_dof(dof) || !(p >= 0 && p <= 1)) return NOT_A_NUMBER;
  if (p == 0) return -INFINITE;
  if (p == 1) return INFINITE;
  if (p == 0.5) return 0.0;
  const positive d = {student_part, student_slope, dof};
  const double tails = 2.0 * (p < 0.5 ? p : 1.0 - p); /* exact */
  const double t = tails < 0.5 ? solve(&d, tails, true) : solve(&d, 1.0 - tails, false);
  return p < 0.5 ? -t : t;
}

double sy_stats_normal_quantile(double p) { return sy_stats_student_quantile(p, INFINITE); }

double sy_stats_welch_dof(const double *u, const double *dof, size_t count) {
  double largest = 0; /* in its units neither fourth power overflows nor all vanish */
  for (size_t i = 0; i < count; i++) {
    if (bad_dof(dof[i]) || isnan(u[i])) return NOT_A_NUMBER;
    largest = fmax(largest, fabs(u[i]));
  }
  if (largest == 0) return INFINITE;
  double square = 0, fourth = 0;
  for (size_t i = 0; i < count; i++) {
    const double r = u[i] / largest;
    square += r * r;
    fourth += r * r * r * r / dof[i];
  }
  return fourth > 0 ? square * square / fourth : INFINITE;
}
