#include "vehicle/vehicle.h"

#include <math.h>
#include <stdbool.h>

/* Not stated. Cast because clang's NAN is a float. */
#define UNSTATED ((double)NAN)

sy_axle sy_axle_default(void) {
  return (sy_axle){.x = UNSTATED,
                   .wheels = 2,
                   .track = UNSTATED,
                   .loaded_radius = UNSTATED,
                   .tyre_rate = UNSTATED,
                   .spring_rate = UNSTATED,
                   .motion_ratio = 1.0,
                   .bar_rate = 0.0,
                   .roll_centre = 0.0,
                   .perch_pitch = UNSTATED,
                   .bump = UNSTATED,
                   .droop = UNSTATED};
}

sy_vehicle sy_vehicle_default(void) {
  sy_vehicle v = {.axle_count = 0, .torsion = UNSTATED, .cross_share = 0.5};
  for (int i = 0; i < SY_MAX_AXLES; i++) v.axle[i] = sy_axle_default();
  return v;
}

/* One field of an axle and what it may be. NaN says it was not stated. */
typedef struct field {
  const char *name;
  const char *unit;
  double value;
  bool needed;
  enum { ANY, ABOVE_ZERO, ZERO_OR_MORE } rule;
} field;

static sy_status check_field(const field *f, const char *part, sy_error *err) {
  if (isnan(f->value)) return f->needed ? sy_fail(err, SY_MISSING, part, f->name, "is not given") : SY_OK;
  const bool big_enough = f->rule == ANY || f->value > 0 || (f->rule == ZERO_OR_MORE && f->value == 0);
  if (isfinite(f->value) && big_enough) return SY_OK;
  static const char *const asked[] = {"", " > 0 and", " >= 0 and"};
  return sy_fail(err, SY_RANGE, part, f->name, "is %g%s, must be%s finite", f->value, f->unit,
                 asked[f->rule]);
}

static sy_status check_axle(const sy_axle *a, const char *part, sy_error *err) {
  if (a->wheels != 1 && a->wheels != 2)
    return sy_fail(err, SY_RANGE, part, "wheels", "is %d, must be 1 or 2", a->wheels);
  const field fields[] = {{"x", " m", a->x, true, ANY},
                          {"track", " m", a->wheels == 2 ? a->track : 1.0, true, ABOVE_ZERO},
                          {"loaded_radius", " m", a->loaded_radius, true, ABOVE_ZERO},
                          {"tyre_rate", " N/m", a->tyre_rate, false, ABOVE_ZERO},
                          {"spring_rate", " N/m", a->spring_rate, false, ABOVE_ZERO},
                          {"motion_ratio", "", a->motion_ratio, true, ABOVE_ZERO},
                          {"bar_rate", " N/m", a->bar_rate, true, ZERO_OR_MORE},
                          {"roll_centre", " m", a->roll_centre, true, ANY},
                          {"perch_pitch", " m", a->perch_pitch, false, ABOVE_ZERO},
                          {"bump", " m", a->bump, false, ZERO_OR_MORE},
                          {"droop", " m", a->droop, false, ZERO_OR_MORE}};
  for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
    const sy_status status = check_field(&fields[i], part, err);
    if (status != SY_OK) return status;
  }
  return SY_OK;
}

static sy_status check_order(const sy_vehicle *v, int i, const char *part, sy_error *err) {
  const double x = v->axle[i].x;
  if (i > 0 && !(x < v->axle[i - 1].x))
    return sy_fail(err, SY_GEOMETRY, part, "x", "is %g m, not behind the axle before it at %g m", x,
                   v->axle[i - 1].x);
  return SY_OK;
}

static sy_status check_place(const sy_vehicle *v, int i, const char *part, sy_error *err) {
  const sy_status status = check_axle(&v->axle[i], part, err);
  return status == SY_OK ? check_order(v, i, part, err) : status;
}

sy_status sy_vehicle_check(const sy_vehicle *v, sy_error *err) {
  if (v->axle_count < 2)
    return sy_fail(err, SY_MISSING, "vehicle", "axles", "are %d, at least two are needed", v->axle_count);
  if (v->axle_count > SY_MAX_AXLES)
    return sy_fail(err, SY_RANGE, "vehicle", "axles", "are %d, at most %d are allowed", v->axle_count,
                   SY_MAX_AXLES);
  int wheels = 0;
  for (int i = 0; i < v->axle_count; i++) {
    if (check_place(v, i, "axle", err) !=
        SY_OK) { /* named now: writing a name takes longer than all the checks */
      sy_error name;
      sy_fail(&name, SY_OK, NULL, NULL, "axle %d of %d", i + 1, v->axle_count);
      return check_place(v, i, name.message, err);
    }
    wheels += v->axle[i].wheels;
  }
  if (wheels < 3)
    return sy_fail(err, SY_GEOMETRY, "vehicle", "wheels", "are %d, a vehicle stands on at least three",
                   wheels);
  const field torsion = {"torsion", " N m/rad", v->torsion, false, ABOVE_ZERO};
  const sy_status status = check_field(&torsion, "vehicle", err);
  if (status != SY_OK) return status;
  if (isnan(v->cross_share)) return sy_fail(err, SY_MISSING, "vehicle", "cross_share", "is not given");
  if (!(v->cross_share >= 0.0 && v->cross_share <= 1.0))
    return sy_fail(err, SY_RANGE, "vehicle", "cross_share", "is %g, must be between 0 and 1", v->cross_share);
  return SY_OK;
}

int sy_vehicle_wheels(const sy_vehicle *v, sy_wheel *wheels) {
  int n = 0;
  for (int i = 0; i < v->axle_count; i++) {
    const sy_axle *a = &v->axle[i];
    if (a->wheels == 1) {
      wheels[n++] = (sy_wheel){i, 0, a->x, 0.0};
      continue;
    }
    wheels[n++] = (sy_wheel){i, +1, a->x, +0.5 * a->track};
    wheels[n++] = (sy_wheel){i, -1, a->x, -0.5 * a->track};
  }
  return n;
}

double sy_vehicle_wheelbase(const sy_vehicle *v) { return v->axle[0].x - v->axle[v->axle_count - 1].x; }
