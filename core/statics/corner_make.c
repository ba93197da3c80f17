#include "statics/corner_body.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/finite.h"
#include "base/units.h"
#include "statics/corner_spring.h"

static sy_status check_rates(const sy_vehicle *v, int i, sy_error *err) {
  const sy_wheel *w = &v->wheel[i];
  if (!isnan(w->spring_rate) && !isnan(w->tyre_rate)) return SY_OK;
  char name[SY_WHEEL_NAME];
  sy_vehicle_wheel_name(v, i, name);
  return sy_fail(err, SY_MISSING, name, isnan(w->spring_rate) ? "spring_rate" : "tyre_rate", "is not given");
}

static sy_status check_bar(const sy_vehicle *v, int i, sy_error *err) {
  if (v->axle[i].wheels == 2 || !(v->axle[i].bar_rate > 0)) return SY_OK;
  sy_error name;
  sy_fail(&name, SY_OK, NULL, NULL, "axle %d of %d", i + 1, v->axle_count);
  return sy_fail(err, SY_GEOMETRY, name.message, "bar_rate",
                 "is given on a single wheel, a bar joins two wheels");
}

/* Of a model all that stands behind its vehicle. The vehicle, which is most of it, is copied once, when all is well. */
static void *behind_vehicle(sy_corner_model *m) { return &m->wheel_count; }
enum { BEHIND_VEHICLE = sizeof(sy_corner_model) - offsetof(sy_corner_model, wheel_count) };

static void lay_out(sy_corner_model *m, const sy_vehicle *v, const sy_corner_load *drawn_load,
                    const double *drawn) {
  memset(behind_vehicle(m), 0, BEHIND_VEHICLE);
  m->wheel_count = sy_vehicle_contacts(v, m->wheel);
  m->drawn_load = *drawn_load;
  m->rigid = isnan(v->torsion);
  m->drawn_torque = -drawn_load->body[2];
  for (int i = 0; i < m->wheel_count; i++) {
    const sy_wheel *w = &v->wheel[i];
    const double c = sy_corner_nearness(v, w->x);
    const double arm[4] = {1.0, -w->x, w->y * c, w->y * (1.0 - c)};
    memcpy(m->arm[i], arm, sizeof arm);
    m->wheel_rate[i] = w->spring_rate * w->motion_ratio * w->motion_ratio;
    m->tyre_rate[i] = w->tyre_rate;
    m->motion_ratio[i] = w->motion_ratio;
    m->drawn[i] = drawn[i];
    m->drawn_torque += drawn[i] * arm[2];
    if (!sy_spring_is_bent(w)) continue;
    m->bent |= 1u << i;
    m->wheel_rate[i] = sy_spring_at(w, drawn[i] - drawn_load->wheel[i], 0.0, 0.0, 0).rate;
  }
}

/* For sentences: nobody reads more. */
static double tenths(double x) { return round(10.0 * x) / 10.0; }

static sy_status check_bent(const sy_corner_model *m, const sy_vehicle *v, const double *perch,
                            sy_error *err) {
  for (int i = 0; i < m->wheel_count; i++) {
    if (!(m->bent >> i & 1u)) continue;
    const sy_wheel *w = &v->wheel[i];
    double travel;
    const double rate = sy_spring_least_rate(w, m->drawn[i] - m->drawn_load.wheel[i], perch[i], &travel);
    if (rate > 0.0) continue;
    char name[SY_WHEEL_NAME];
    sy_vehicle_wheel_name(v, i, name);
    return sy_fail(
        err, SY_RANGE, name, "motion_ratio",
        "falls so fast that the rate at the wheel is %g N/mm %g mm %s, must be above 0 from droop to "
        "bump",
        tenths(rate * 1e-3), tenths(fabs(travel) * 1e3),
        travel < 0.0 ? "down from the design height" : "up from the design height");
  }
  return SY_OK;
}

sy_status sy_corner_check_bent(const sy_corner_model *m, const double *perch, sy_error *err) {
  return check_bent(m, &m->vehicle, perch, err);
}

sy_status sy_corner_make(const sy_vehicle *vehicle, const sy_corner_load *drawn_load,
                         const double drawn[SY_MAX_WHEELS], sy_corner_model *out, sy_error *err) {
  sy_status status = sy_vehicle_check(vehicle, err);
  const int wheels = sy_vehicle_first_wheel(vehicle, status == SY_OK ? vehicle->axle_count : 0);
  for (int i = 0; status == SY_OK && i < wheels; i++) status = check_rates(vehicle, i, err);
  for (int i = 0; status == SY_OK && i < vehicle->axle_count; i++) status = check_bar(vehicle, i, err);
  if (status == SY_OK) status = sy_corner_check_load(vehicle, drawn_load, err);
  if (status != SY_OK) return status;
  sy_corner_model m;
  lay_out(&m, vehicle, drawn_load, drawn);
  if (!sy_corner_stands(&m, drawn_load))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "lies outside the wheels as drawn: it would tip");
  for (int i = 0; i < m.wheel_count; i++) {
    if (drawn[i] > 0.0 && isfinite(drawn[i])) continue;
    char name[SY_WHEEL_NAME];
    sy_vehicle_wheel_name(vehicle, i, name);
    return sy_fail(err, SY_RANGE, name, "load", "is %g N as drawn, must be above 0", drawn[i]);
  }
  for (int i = 0; i < m.wheel_count && status == SY_OK; i++) {
    status = sy_finite_results(&m.wheel_rate[i], 1, "vehicle", "spring_rate", err);
    if (status == SY_OK) status = sy_finite_results(m.arm[i], 4, "vehicle", "x", err);
  }
  if (status == SY_OK) status = sy_finite_results(&m.drawn_torque, 1, "vehicle", "load", err);
  if (status == SY_OK && m.bent != 0) {
    static const double as_drawn[SY_MAX_WHEELS] = {0};
    status = check_bent(&m, vehicle, as_drawn, err);
  }
  if (status != SY_OK) return status;
  out->vehicle = *vehicle;
  memcpy(behind_vehicle(out), behind_vehicle(&m), BEHIND_VEHICLE);
  return SY_OK;
}

/* ---- ride ---------------------------------------------------------------------------------------------------------------- */

double sy_corner_ride_rate(const sy_corner_model *m, int i) {
  return m->wheel_rate[i] * m->tyre_rate[i] / (m->wheel_rate[i] + m->tyre_rate[i]);
}

void sy_corner_rates_at(const sy_corner_model *m, const sy_corner_setting *setting,
                        const sy_corner_result *at, double rate[SY_MAX_WHEELS]) {
  for (int i = 0; i < m->wheel_count; i++) {
    const double drawn = m->drawn[i] - m->drawn_load.wheel[i];
    rate[i] = m->wheel_rate[i];
    if (m->bent >> i & 1u)
      rate[i] = sy_spring_at(&m->vehicle.wheel[i], drawn, setting->perch[i], at->travel[i], 0).rate;
  }
}

/* Of an axle with these rates, loads and unsprung weights. */
static double ride_hz(const sy_corner_model *m, int axle, const double *wheel_rate, const double *loads,
                      const double *unsprung) {
  double rate = 0.0, force = 0.0, load = 0.0;
  for (int i = 0; i < m->wheel_count; i++)
    if (m->wheel[i].axle == axle) {
      rate += wheel_rate[i] * m->tyre_rate[i] / (wheel_rate[i] + m->tyre_rate[i]);
      force += loads[i] - unsprung[i];
      load += loads[i];
    }
  return force > SY_CORNER_NOTHING * load ? sqrt(rate * SY_STANDARD_GRAVITY / force) / (2.0 * SY_PI)
                                          : (double)NAN;
}

double sy_corner_ride_hz(const sy_corner_model *m, int axle) {
  return ride_hz(m, axle, m->wheel_rate, m->drawn, m->drawn_load.wheel);
}

double sy_corner_ride_hz_at(const sy_corner_model *m, const sy_corner_setting *setting,
                            const sy_corner_load *weight, const sy_corner_result *at, int axle) {
  double rate[SY_MAX_WHEELS];
  sy_corner_rates_at(m, setting, at, rate);
  return ride_hz(m, axle, rate, at->load, weight->wheel);
}
