#include "measure/pendulum.h"

#include <float.h>
#include <math.h>

#include "base/finite.h"
#include "base/units.h"

sy_pendulum sy_pendulum_default(void) {
  const double missing = (double)NAN;
  return (sy_pendulum){.mass = missing,
                       .period = missing,
                       .gravity = SY_STANDARD_GRAVITY,
                       .arm = missing,
                       .arm_a = missing,
                       .arm_b = missing,
                       .wire = missing,
                       .stiffness = missing,
                       .rod_mass = missing,
                       .rod_length = missing,
                       .rod_diameter = missing,
                       .rod_period = missing};
}

/* ---- amplitude ---------------------------------------------------------------------------------------------------- */

double sy_pendulum_circular_factor(double swing) {
  double a = 1, b = cos(swing / 2);
  while (a - b > 4 * DBL_EPSILON * a) { /* digits double each time */
    const double mean = (a + b) / 2;
    b = sqrt(a * b);
    a = mean;
  }
  return 2 / (a + b);
}

/* With phi = A sin t the integrand T = 4 int sqrt((I + m h'^2) / (2 m g (h(A) - h))) dphi is smooth and periodic in t, so the
** midpoint rule gains digits as fast as a Fourier series. */
double sy_pendulum_wires_factor(double swing, double radius, double wire, double gyration) {
  enum { POINTS = 64 };
  if (!(swing > 0)) return 1;
  const double r2 = radius * radius, top = sin(swing / 2);
  const double top_root = sqrt(wire * wire - 4 * r2 * top * top);
  double sum = 0;
  for (int i = 0; i < POINTS; i++) {
    const double t = (i + 0.5) / POINTS * SY_PI - SY_PI / 2, phi = swing * sin(t);
    const double half = sin((SY_PI / 2 - t) / 2), low = sin(phi / 2);
    const double left = 2 * swing * half * half; /* A - phi without losing digits */
    const double root = sqrt(wire * wire - 4 * r2 * low * low);
    const double fall =
        4 * r2 * sin(swing - left / 2) * sin(left / 2) / (root + top_root); /* h(A) - h(phi) */
    const double rise = r2 * sin(phi) / root;                               /* dh/dphi */
    const double inertia = 1 + rise * rise / (gyration * gyration);
    sum += sqrt(inertia * r2 / (2 * wire * fall)) * swing * cos(t);
  }
  return sum / POINTS; /* (2/pi) int_0^(pi/2) = (1/pi) int over the half turn */
}

/* ---- checks ------------------------------------------------------------------------------------------------------- */

static sy_status positive(double x, const char *field, sy_error *err) {
  if (isnan(x)) return sy_fail(err, SY_MISSING, "pendulum", field, "is missing");
  if (!(x > 0 && isfinite(x))) return sy_fail(err, SY_RANGE, "pendulum", field, "must be above 0, is %g", x);
  return SY_OK;
}

static sy_status all_positive(const double *values, const char *const *fields, int count, sy_error *err) {
  for (int i = 0; i < count; i++) {
    const sy_status status = positive(values[i], fields[i], err);
    if (status != SY_OK) return status;
  }
  return SY_OK;
}

static sy_status check_torsion(const sy_pendulum *p, sy_error *err) {
  if (!isnan(p->stiffness)) {
    if (!isnan(p->rod_mass) || !isnan(p->rod_length) || !isnan(p->rod_period))
      return sy_fail(err, SY_CLASH, "pendulum", "rod",
                     "and stiffness both say how stiff the wire is: give one");
    return positive(p->stiffness, "stiffness", err);
  }
  if (isnan(p->rod_mass) && isnan(p->rod_length) && isnan(p->rod_period))
    return sy_fail(err, SY_MISSING, "pendulum", "rod",
                   "is missing: a rod of known mass and length swung on the same wire gives its stiffness");
  if (!(p->rod_diameter >= 0 && isfinite(p->rod_diameter)))
    return sy_fail(err, isnan(p->rod_diameter) ? SY_MISSING : SY_RANGE, "pendulum", "rod.diameter",
                   isnan(p->rod_diameter) ? "is missing" : "must be 0 or more");
  const double values[] = {p->rod_mass, p->rod_length, p->rod_period};
  static const char *const fields[] = {"rod.mass", "rod.length", "rod.period"};
  return all_positive(values, fields, 3, err);
}

static sy_status check_platform(sy_pendulum_kind kind, const sy_pendulum *p, sy_error *err) {
  const bool heavy = p->platform_mass != 0, timed = p->platform_period != 0;
  if (!heavy && !timed) return SY_OK;
  if (kind == SY_PENDULUM_COMPOUND)
    return sy_fail(err, SY_CLASH, "pendulum", "platform",
                   "goes with wires; a compound pendulum swings the part alone");
  if (kind != SY_PENDULUM_TORSION) {
    if (!heavy) return sy_fail(err, SY_MISSING, "pendulum", "platform.mass", "is missing beside its period");
    const sy_status status = positive(p->platform_mass, "platform.mass", err);
    if (status != SY_OK) return status;
  }
  if (!timed)
    return sy_fail(err, SY_MISSING, "pendulum", "platform.period",
                   "is missing: swing the platform empty as well");
  return positive(p->platform_period, "platform.period", err);
}

static sy_status check_kind(sy_pendulum_kind kind, const sy_pendulum *p, sy_error *err) {
  static const char *const compound[] = {"mass", "g", "arm"}, *const bifilar[] = {"mass", "g", "wire",
                                                                                  "arms.r1", "arms.r2"};
  static const char *const trifilar[] = {"mass", "g", "wire", "radius"};
  if (kind == SY_PENDULUM_TORSION) return check_torsion(p, err);
  if (kind == SY_PENDULUM_COMPOUND)
    return all_positive((const double[]){p->mass, p->gravity, p->arm}, compound, 3, err);
  const double wires[] = {p->mass, p->gravity, p->wire, p->arm_a, p->arm_b};
  if (kind == SY_PENDULUM_BIFILAR) return all_positive(wires, bifilar, 5, err);
  return all_positive(wires, trifilar, 4, err);
}

static sy_status check_swing(sy_pendulum_kind kind, const sy_pendulum *p, sy_error *err) {
  if (!(p->swing >= 0 && p->swing <= SY_PI / 2))
    return sy_fail(err, SY_RANGE, "pendulum", "swing", "must be 0 to 90 degrees to each side");
  if (kind != SY_PENDULUM_BIFILAR && kind != SY_PENDULUM_TRIFILAR) return SY_OK;
  const double radius = kind == SY_PENDULUM_BIFILAR ? sqrt(p->arm_a * p->arm_b) : p->arm_a;
  if (2 * radius * sin(p->swing / 2) < p->wire) return SY_OK;
  return sy_fail(err, SY_GEOMETRY, "pendulum", "swing", "is wider than wires of that length allow");
}

/* ---- the kinds ---------------------------------------------------------------------------------------------------- */

static const double four_pi2 = 4 * SY_PI * SY_PI;

/* to a thousandth, for sentences */
static double brief(double x) { return round(x * 1e3) / 1e3; }

static sy_status compound(const sy_pendulum *p, sy_pendulum_result *r, sy_error *err) {
  r->amplitude = sy_pendulum_circular_factor(p->swing);
  const double t = p->period / r->amplitude, c = t * t / four_pi2;
  r->inertia = p->mass * p->arm * (p->gravity * c - p->arm);
  if (!(r->inertia > 0))
    return sy_fail(
        err, SY_GEOMETRY, "pendulum", "period",
        "of %g s is shorter than any body's with that arm, %g s: are arm and count of swings right?",
        brief(p->period), brief(r->amplitude * sqrt(p->arm / p->gravity * four_pi2)));
  r->sensitivity.mass = r->inertia / p->mass;
  r->sensitivity.gravity = p->mass * p->arm * c;
  r->sensitivity.arm = p->mass * (p->gravity * c - 2 * p->arm);
  r->sensitivity.period = 2 * p->mass * p->gravity * p->arm * c / p->period;
  return SY_OK;
}

/* Inertia of `mass` on the wires from one period, with the amplitude's correction: the factor depends on the inertia a little, and
** each round gains as many digits as the first correction is small. */
static double on_wires(const sy_pendulum *p, double r2, double mass, double period, double *factor) {
  enum { ROUNDS = 100 }; /* a dozen is usual */
  const double small = mass * p->gravity * r2 / (four_pi2 * p->wire);
  double inertia = small * period * period;
  *factor = 1;
  for (int i = 0; i < ROUNDS && p->swing > 0; i++) {
    const double before = inertia;
    *factor = sy_pendulum_wires_factor(p->swing, sqrt(r2), p->wire, sqrt(inertia / mass));
    const double t = period / *factor;
    inertia = small * t * t;
    if (fabs(inertia - before) <= 4 * DBL_EPSILON * inertia) break;
  }
  return inertia;
}

static sy_status no_heavier(sy_error *err) {
  return sy_fail(err, SY_GEOMETRY, "pendulum", "platform.period",
                 "leaves no inertia for the part: it swings no slower with the part than empty");
}

static sy_status wires(sy_pendulum_kind kind, const sy_pendulum *p, sy_pendulum_result *r, sy_error *err) {
  const double r2 = p->arm_a * (kind == SY_PENDULUM_BIFILAR ? p->arm_b : p->arm_a),
               whole = p->mass + p->platform_mass;
  const double loaded = on_wires(p, r2, whole, p->period, &r->amplitude);
  double ignored;
  const double empty =
      p->platform_mass > 0 ? on_wires(p, r2, p->platform_mass, p->platform_period, &ignored) : 0;
  r->inertia = loaded - empty;
  if (!(r->inertia > 0)) return no_heavier(err);
  r->sensitivity.mass = loaded / whole;
  r->sensitivity.period = 2 * loaded / p->period;
  r->sensitivity.gravity = r->inertia / p->gravity;
  r->sensitivity.wire = -r->inertia / p->wire;
  r->sensitivity.arm_a = (kind == SY_PENDULUM_BIFILAR ? 1 : 2) * r->inertia / p->arm_a;
  if (kind == SY_PENDULUM_BIFILAR) r->sensitivity.arm_b = r->inertia / p->arm_b;
  if (p->platform_mass > 0) {
    r->sensitivity.platform_mass = loaded / whole - empty / p->platform_mass;
    r->sensitivity.platform_period = -2 * empty / p->platform_period;
  }
  return SY_OK;
}

static sy_status torsion(const sy_pendulum *p, bool rod_on_platform, sy_pendulum_result *r, sy_error *err) {
  const double empty2 = p->platform_period * p->platform_period, t2 = p->period * p->period;
  const double part = (t2 - empty2) / four_pi2;
  if (!(part > 0)) return no_heavier(err);
  r->amplitude = 1;
  r->stiffness = p->stiffness;
  double rod = (double)NAN, left2 = (double)NAN;
  if (isnan(p->stiffness)) {
    rod = p->rod_mass * (0.75 * p->rod_diameter * p->rod_diameter + p->rod_length * p->rod_length) / 12;
    left2 = p->rod_period * p->rod_period - (rod_on_platform ? empty2 : 0);
    if (!(left2 > 0))
      return sy_fail(err, SY_GEOMETRY, "pendulum", "rod.period",
                     "is no longer than that of the empty platform it lay on");
    r->stiffness = four_pi2 * rod / left2;
  }
  const double k = r->stiffness;
  r->inertia = k * part;
  r->sensitivity.period = 2 * k * p->period / four_pi2;
  r->sensitivity.platform_period = -2 * k * p->platform_period / four_pi2;
  if (!isnan(p->stiffness)) {
    r->sensitivity.stiffness = part;
    return SY_OK;
  }
  r->sensitivity.rod_mass = r->inertia / p->rod_mass;
  r->sensitivity.rod_length = r->inertia / rod * p->rod_mass * p->rod_length / 6;
  r->sensitivity.rod_diameter = r->inertia / rod * p->rod_mass * p->rod_diameter / 8;
  r->sensitivity.rod_period = -2 * r->inertia * p->rod_period / left2;
  if (rod_on_platform) r->sensitivity.platform_period += 2 * r->inertia * p->platform_period / left2;
  return SY_OK;
}

static sy_status by_kind(sy_pendulum_kind kind, const sy_pendulum *p, bool rod_on_platform,
                         sy_pendulum_result *r, sy_error *err) {
  if (kind == SY_PENDULUM_COMPOUND) return compound(p, r, err);
  if (kind == SY_PENDULUM_TORSION) return torsion(p, rod_on_platform, r, err);
  return wires(kind, p, r, err);
}

/* The inertia is even in the swing and its square's series is short, so a difference over a hundredth of it is good to four
** digits of the sensitivity. */
static double swing_sensitivity(sy_pendulum_kind kind, const sy_pendulum *p, bool rod_on_platform) {
  const double step = p->swing / 100;
  sy_pendulum wide = *p, narrow = *p;
  wide.swing += step;
  narrow.swing -= step;
  sy_pendulum_result a = {0}, b = {0};
  if (step == 0 || by_kind(kind, &wide, rod_on_platform, &a, NULL) != SY_OK ||
      by_kind(kind, &narrow, rod_on_platform, &b, NULL) != SY_OK)
    return 0;
  return (a.inertia - b.inertia) / (2 * step);
}

sy_status sy_pendulum_inertia(sy_pendulum_kind kind, const sy_pendulum *p, bool rod_on_platform,
                              sy_pendulum_result *out, sy_error *err) {
  sy_status status = check_kind(kind, p, err);
  if (status == SY_OK) status = positive(p->period, "period", err);
  if (status == SY_OK) status = check_platform(kind, p, err);
  if (status == SY_OK) status = check_swing(kind, p, err);
  if (status != SY_OK) return status;
  sy_pendulum_result r = {.stiffness = (double)NAN};
  status = by_kind(kind, p, rod_on_platform, &r, err);
  if (status != SY_OK) return status;
  if (!isfinite(r.inertia))
    return sy_fail(err, SY_RANGE, "pendulum", "period", "and the others make an inertia beyond all numbers");
  r.sensitivity.swing = swing_sensitivity(kind, p, rod_on_platform);
  status = sy_finite_results(&r.sensitivity.mass, sizeof r.sensitivity / sizeof(double), "pendulum", "period",
                             err);
  if (status == SY_OK) *out = r;
  return status;
}
