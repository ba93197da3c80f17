#include "vehicle/vehicle.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/units.h"

/* Not stated. Cast because clang's NAN is a float. */
#define UNSTATED ((double)NAN)

sy_axle sy_axle_default(void) {
  return (sy_axle){
      .x = UNSTATED, .wheels = 2, .lateral_rate = UNSTATED, .brake_angle = UNSTATED, .drive_angle = UNSTATED};
}

sy_wheel sy_wheel_default(void) {
  return (sy_wheel){.x = UNSTATED,
                    .y = UNSTATED,
                    .loaded_radius = UNSTATED,
                    .tyre_rate = UNSTATED,
                    .spring_rate = UNSTATED,
                    .motion_ratio = 1.0,
                    .perch_pitch = UNSTATED,
                    .bump = UNSTATED,
                    .droop = UNSTATED,
                    .stop_gap = UNSTATED,
                    .stop_rate = UNSTATED};
}

sy_vehicle sy_vehicle_default(void) {
  sy_vehicle v = {.axle_count = 0, .torsion = UNSTATED, .cross_share = 0.5};
  for (int i = 0; i < SY_MAX_AXLES; i++) v.axle[i] = sy_axle_default();
  for (int i = 0; i < SY_MAX_WHEELS; i++) v.wheel[i] = sy_wheel_default();
  return v;
}

void sy_vehicle_add_axle(sy_vehicle *v, sy_axle axle, double track, sy_wheel wheel) {
  const int number = v->axle_count++;
  if (number < 0 || number >= SY_MAX_AXLES) return;
  sy_wheel *w = &v->wheel[sy_vehicle_first_wheel(v, number)];
  v->axle[number] = axle;
  wheel.x = axle.x;
  wheel.y = axle.wheels == 1 ? 0.0 : 0.5 * track;
  w[0] = wheel;
  if (axle.wheels != 2) return;
  w[1] = wheel;
  w[1].y = -wheel.y;
}

/* ---- names --------------------------------------------------------------------------------------------------------------- */

/* "axle 2 of 3", people count from 1. */
static void write_name(char name[SY_WHEEL_NAME], const char *side, const char *what, int axle, int count) {
  sy_error text;
  sy_fail(&text, SY_OK, NULL, NULL, "%s%s %d of %d", side, what, axle + 1, count);
  memcpy(name, text.message, SY_WHEEL_NAME - 1);
  name[SY_WHEEL_NAME - 1] = 0;
}

/* Looks no farther than the wheel: the axles behind it may not have been checked. */
void sy_vehicle_wheel_name(const sy_vehicle *v, int wheel, char name[SY_WHEEL_NAME]) {
  int axle = 0, first = 0;
  while (axle + 1 < v->axle_count && wheel >= first + v->axle[axle].wheels) first += v->axle[axle++].wheels;
  const char *const side = v->axle[axle].wheels == 1 ? "" : wheel == first ? "left " : "right ";
  if (v->axle_count != 2) {
    write_name(name, side, "wheel of axle", axle, v->axle_count);
    return;
  }
  sy_error text;
  sy_fail(&text, SY_OK, NULL, NULL, "%s%s wheel", side, axle == 0 ? "front" : "rear");
  memcpy(name, text.message, SY_WHEEL_NAME);
}

/* ---- checks ------------------------------------------------------------------------------------------------------------- */

/* One field and what it may be. NaN says it was not stated. */
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

static sy_status check_fields(const field *list, size_t count, const char *part, sy_error *err) {
  sy_status status = SY_OK;
  for (size_t i = 0; i < count && status == SY_OK; i++) status = check_field(&list[i], part, err);
  return status;
}

static sy_status check_angle(double angle, const char *name, const char *part, sy_error *err) {
  if (isnan(angle) || fabs(angle) < 0.5 * SY_PI) return SY_OK;
  return sy_fail(err, SY_RANGE, part, name, "is %g rad, must be less than a right angle", angle);
}

static sy_status check_axle(const sy_vehicle *v, int i, const char *part, sy_error *err) {
  const sy_axle *a = &v->axle[i];
  if (a->wheels != 1 && a->wheels != 2)
    return sy_fail(err, SY_RANGE, part, "wheels", "is %d, must be 1 or 2", a->wheels);
  const field fields[] = {{"x", " m", a->x, true, ANY},
                          {"bar_rate", " N/m", a->bar_rate, true, ZERO_OR_MORE},
                          {"roll_centre", " m", a->roll_centre, true, ANY},
                          {"brake_links", "", a->brake_links, true, ANY},
                          {"drive_links", "", a->drive_links, true, ANY},
                          {"tyre_lateral_rate", " N/m", a->lateral_rate, false, ABOVE_ZERO}};
  sy_status status = check_fields(fields, sizeof fields / sizeof *fields, part, err);
  if (status == SY_OK) status = check_angle(a->brake_angle, "brake_angle", part, err);
  if (status == SY_OK) status = check_angle(a->drive_angle, "drive_angle", part, err);
  if (status != SY_OK) return status;
  if (i > 0 && !(a->x < v->axle[i - 1].x))
    return sy_fail(err, SY_GEOMETRY, part, "x", "is %g m, not behind the axle before it at %g m", a->x,
                   v->axle[i - 1].x);
  return SY_OK;
}

static sy_status check_stop(const sy_wheel *w, const char *part, sy_error *err) {
  const field fields[] = {{"stop_gap", " m", w->stop_gap, true, ANY},
                          {"stop_rate", " N/m", w->stop_rate, true, ABOVE_ZERO}};
  const sy_status status = check_fields(fields, sizeof fields / sizeof *fields, part, err);
  if (status != SY_OK || !(w->stop_gap >= w->bump)) return status;
  return sy_fail(err, SY_RANGE, part, "stop_gap", "is %g m, bump already ends at %g m", w->stop_gap, w->bump);
}

static sy_status check_wheel(const sy_wheel *w, const char *part, sy_error *err) {
  const field fields[] = {{"x", " m", w->x, true, ANY},
                          {"y", " m", w->y, true, ANY},
                          {"loaded_radius", " m", w->loaded_radius, true, ABOVE_ZERO},
                          {"tyre_rate", " N/m", w->tyre_rate, false, ABOVE_ZERO},
                          {"spring_rate", " N/m", w->spring_rate, false, ABOVE_ZERO},
                          {"motion_ratio", "", w->motion_ratio, true, ABOVE_ZERO},
                          {"perch_pitch", " m", w->perch_pitch, false, ABOVE_ZERO},
                          {"bump", " m", w->bump, false, ZERO_OR_MORE},
                          {"droop", " m", w->droop, false, ZERO_OR_MORE}};
  sy_status status = check_fields(fields, sizeof fields / sizeof *fields, part, err);
  if (status == SY_OK && !(isnan(w->stop_gap) && isnan(w->stop_rate))) status = check_stop(w, part, err);
  return status == SY_OK && w->curve.count != 0 ? sy_ratio_check(&w->curve, part, err) : status;
}

/* Left of right, and the axle line between them. */
static sy_status check_sides(const sy_vehicle *v, int i, int first, const char *part, sy_error *err) {
  const sy_wheel *left = &v->wheel[first], *right = left + (v->axle[i].wheels - 1);
  const double x = v->axle[i].x;
  if (left != right && !(left->y > right->y))
    return sy_fail(err, SY_GEOMETRY, part, "track",
                   "has its left wheel at y = %g m, not left of its right one at %g m", left->y, right->y);
  if (x < fmin(left->x, right->x) || x > fmax(left->x, right->x))
    return sy_fail(err, SY_GEOMETRY, part, "x", "is %g m, not between its wheels at %g and %g m", x, left->x,
                   right->x);
  return SY_OK;
}

/* Names are written when something is wrong: that takes longer than all the checks. */
static sy_status check_place(const sy_vehicle *v, int axle, int first, bool named, sy_error *err) {
  char part[SY_WHEEL_NAME] = "";
  if (named) write_name(part, "", "axle", axle, v->axle_count);
  sy_status status = check_axle(v, axle, part, err);
  for (int w = first; status == SY_OK && w < first + v->axle[axle].wheels; w++) {
    char wheel[SY_WHEEL_NAME] = "";
    if (named) sy_vehicle_wheel_name(v, w, wheel);
    status = check_wheel(&v->wheel[w], wheel, err);
  }
  return status == SY_OK ? check_sides(v, axle, first, part, err) : status;
}

sy_status sy_vehicle_check(const sy_vehicle *v, sy_error *err) {
  if (v->axle_count < 2)
    return sy_fail(err, SY_MISSING, "vehicle", "axles", "are %d, at least two are needed", v->axle_count);
  if (v->axle_count > SY_MAX_AXLES)
    return sy_fail(err, SY_RANGE, "vehicle", "axles", "are %d, at most %d are allowed", v->axle_count,
                   SY_MAX_AXLES);
  int wheels = 0;
  for (int i = 0; i < v->axle_count; i++) {
    if (check_place(v, i, wheels, false, NULL) != SY_OK) return check_place(v, i, wheels, true, err);
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

/* ---- what follows from the places --------------------------------------------------------------------------------------- */

/* Counts that nobody has checked lead no index out of the arrays. */
static int axles_of(const sy_vehicle *v) {
  return v->axle_count < 0 ? 0 : v->axle_count > SY_MAX_AXLES ? SY_MAX_AXLES : v->axle_count;
}

static int wheels_of(const sy_vehicle *v, int axle) {
  const int wheels = v->axle[axle].wheels;
  return wheels < 0 ? 0 : wheels > 2 ? 2 : wheels;
}

sy_status sy_vehicle_check_counts(const sy_vehicle *v, sy_error *err) {
  if (v->axle_count < 1 || v->axle_count > SY_MAX_AXLES)
    return sy_fail(err, SY_RANGE, "vehicle", "axles", "are %d, must be 1 to %d", v->axle_count,
                   (int)SY_MAX_AXLES);
  for (int a = 0; a < v->axle_count; a++)
    if (v->axle[a].wheels != 1 && v->axle[a].wheels != 2)
      return sy_fail(err, SY_RANGE, "vehicle", "wheels", "of axle %d are %d, must be 1 or 2", a + 1,
                     v->axle[a].wheels);
  return SY_OK;
}

int sy_vehicle_contacts(const sy_vehicle *v, sy_contact *contacts) {
  int n = 0;
  for (int a = 0; a < axles_of(v); a++) {
    const int wheels = wheels_of(v, a);
    for (int k = 0; k < wheels; k++, n++)
      contacts[n] = (sy_contact){a, wheels == 1 ? 0 : 1 - 2 * k, v->wheel[n].x, v->wheel[n].y};
  }
  return n;
}

int sy_vehicle_first_wheel(const sy_vehicle *v, int axle) {
  int first = 0;
  for (int a = 0; a < axle; a++) first += wheels_of(v, a);
  return first;
}

double sy_vehicle_track(const sy_vehicle *v, int axle) {
  if (v->axle[axle].wheels == 1) return UNSTATED;
  const sy_wheel *w = &v->wheel[sy_vehicle_first_wheel(v, axle)];
  return w[0].y - w[1].y;
}

double sy_vehicle_lever(const sy_vehicle *v, int axle, int side) {
  if (v->axle[axle].wheels == 1) return 1.0;
  const sy_wheel *w = &v->wheel[sy_vehicle_first_wheel(v, axle)];
  return (side > 0 ? -w[1].y : w[0].y) / (w[0].y - w[1].y);
}

double sy_vehicle_radius(const sy_vehicle *v, int axle) {
  const sy_wheel *w = &v->wheel[sy_vehicle_first_wheel(v, axle)];
  return v->axle[axle].wheels == 1 ? w[0].loaded_radius : 0.5 * (w[0].loaded_radius + w[1].loaded_radius);
}

double sy_vehicle_wheelbase(const sy_vehicle *v) {
  const int axles = axles_of(v);
  return axles > 0 ? v->axle[0].x - v->axle[axles - 1].x : UNSTATED;
}

bool sy_wheel_on_bump_stop(const sy_wheel *w, double travel) {
  /* a gap of 0 at the drawn height: rounding does not decide */
  return travel > w->stop_gap + SY_TRAVEL_NOTHING;
}
