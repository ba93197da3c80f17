#include "statics/ride.h"

#include <math.h>

#include "base/finite.h"
#include "base/units.h"

static double hertz(double square) { return sqrt(square) / (2.0 * SY_PI); }

static sy_status check(double mass, double inertia, double cg_x, const double *x, const double *rate,
                       size_t count, sy_error *err) {
  if (!(mass > 0.0 && isfinite(mass)))
    return sy_fail(err, SY_RANGE, "sprung body", "mass", "is %g kg, must be above 0", mass);
  if (!(inertia > 0.0 && isfinite(inertia)))
    return sy_fail(err, SY_RANGE, "sprung body", "inertia", "is %g kg m2, must be above 0", inertia);
  if (!isfinite(cg_x)) return sy_fail(err, SY_RANGE, "sprung body", "cg", "is not finite");
  if (count == 0) return sy_fail(err, SY_RANGE, "springs", "count", "is 0");
  for (size_t i = 0; i < count; i++) {
    sy_error name;
    sy_fail(&name, SY_OK, NULL, NULL, "spring %zu of %zu", i + 1, count);
    if (!isfinite(x[i])) return sy_fail(err, SY_RANGE, name.message, "x", "is not finite");
    if (!(rate[i] > 0.0 && isfinite(rate[i])))
      return sy_fail(err, SY_RANGE, name.message, "rate", "is %g N/m, must be above 0", rate[i]);
  }
  return SY_OK;
}

/* Rise of the body at the cg by pitch, of the mode with this square of frequency: the point where z = theta X. From the row of the
** eigenproblem that is farther from vanishing. */
static double node(double k11, double k12, double k22, double mass, double inertia, double square) {
  const double heave = square * mass - k11, pitch = square * inertia - k22;
  if (fabs(heave) * inertia > fabs(pitch) * mass) return k12 / heave;
  return k12 == 0.0 ? (double)INFINITY : pitch / k12;
}

sy_status sy_ride_modes_of(double mass, double inertia, double cg_x, const double *x, const double *rate,
                           size_t count, sy_ride_modes *out, sy_error *err) {
  const sy_status status = check(mass, inertia, cg_x, x, rate, count, err);
  if (status != SY_OK) return status;
  double k11 = 0.0, k12 = 0.0, k22 = 0.0;
  bool apart = false;
  for (size_t i = 0; i < count; i++) {
    const double ahead = x[i] - cg_x;
    k11 += rate[i];
    k12 -= rate[i] * ahead;
    k22 += rate[i] * ahead * ahead;
    apart = apart || x[i] != x[0];
  }
  if (!apart) return sy_fail(err, SY_GEOMETRY, "springs", "x", "are all at one place");
  const double a = k11 / mass, b = k22 / inertia, c = k12 * k12 / (mass * inertia);
  const double half = 0.5 * (a + b), apart_by = hypot(0.5 * (a - b), sqrt(c));
  const double high = half + apart_by,
               low = (a * b - c) / high; /* the product of the two, not a difference */
  sy_ride_modes m = {.bounce_alone = hertz(a), .pitch_alone = hertz(b)};
  const double at_low = node(k11, k12, k22, mass, inertia, low),
               at_high = node(k11, k12, k22, mass, inertia, high);
  const bool low_bounces = fabs(at_low) > fabs(at_high);
  m.bounce = hertz(low_bounces ? low : high);
  m.pitch = hertz(low_bounces ? high : low);
  m.bounce_node = low_bounces ? at_low : at_high;
  m.pitch_node = low_bounces ? at_high : at_low;
  const double frequency[4] = {m.bounce_alone, m.pitch_alone, m.bounce, m.pitch};
  const sy_status finite = sy_finite_results(frequency, 4, "springs", "rate", err);
  if (finite == SY_OK) *out = m;
  return finite;
}

double sy_ride_dynamic_index(double mass, double inertia, double cg_x, double first_x, double last_x) {
  const double ab = (first_x - cg_x) * (cg_x - last_x);
  return ab > 0.0 ? inertia / (mass * ab) : (double)NAN;
}

double sy_ride_wheel_hop(double wheel_rate, double tyre_rate, double mass) {
  return hertz((wheel_rate + tyre_rate) / mass);
}

double sy_ride_deflection(double force, double rate) { return force / rate; }
