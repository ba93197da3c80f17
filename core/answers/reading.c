#include "answers/reading.h"

#include <math.h>
#include <string.h>

#include "answers/corner_answers.h"
#include "answers/stand.h"
#include "numeric/root.h"

static sy_status check(const sy_reading *r, const sy_car *car, sy_error *err) {
  const sy_status counts = sy_vehicle_check_counts(&car->vehicle, err);
  if (counts != SY_OK) return counts;
  if (car->map.split != SY_SPLIT_CROSS_SHARE)
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cross_share", "is one of two axles with two wheels each");
  for (int i = 0; i < car->map.wheel_count; i++) {
    char name[SY_WHEEL_NAME];
    sy_vehicle_wheel_name(&car->vehicle, i, name);
    if (!(r->load[i] > 0.0 && isfinite(r->load[i])))
      return sy_fail(err, SY_RANGE, name, "load", "is read as %g N, must be above 0", r->load[i]);
    if (!(r->sd[i] >= 0.0 && r->sd[i] <= r->load[i]))
      return sy_fail(err, SY_RANGE, name, "sd", "is %g N, must be between 0 and the load", r->sd[i]);
  }
  return SY_OK;
}

/* ---- the set-up ---------------------------------------------------------------------------------------------------------- */

/* Between which cross weights all wheels carry something as drawn: each load is a straight line of it. */
static sy_status drawn_range(const sy_car *car, double range[2], sy_error *err) {
  static const double at[2] = {0.25, 0.75};
  double load[2][SY_MAX_WHEELS];
  sy_totals t;
  sy_ledger_sums(car->drawn, &t);
  if (car->tanks.count > 0) sy_settle_add(&t, &car->drawn_liquid);
  const double q[4] = {t.all.m, t.all.first.x, t.all.first.y, t.all.first.z};
  for (int k = 0; k < 2; k++) {
    sy_car set;
    const sy_status status = sy_car_set_cross(car, at[k], &set, err);
    if (status != SY_OK) return status;
    sy_loadmap_apply(&set.map, q, load[k]);
  }
  range[0] = 0.0, range[1] = 1.0;
  for (int i = 0; i < car->map.wheel_count; i++) {
    const double rate = (load[1][i] - load[0][i]) / (at[1] - at[0]);
    const double empty = at[0] - load[0][i] / rate;
    if (rate > 0.0) range[0] = fmax(range[0], empty);
    if (rate < 0.0) range[1] = fmin(range[1], empty);
  }
  /* a little inside, where they carry a millionth */
  const double inside = 1e-6 * (range[1] - range[0]);
  range[0] += inside, range[1] -= inside;
  if (range[0] < range[1]) return SY_OK;
  return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "lies outside the wheels as drawn: it would tip");
}

typedef struct search {
  const sy_car *car;
  double read; /* share */
  sy_status status;
  sy_error err;
} search;

static double off(void *user, double cross_share) {
  search *s = user;
  sy_car set;
  sy_stand stand;
  if (s->status == SY_OK) s->status = sy_car_set_cross(s->car, cross_share, &set, &s->err);
  if (s->status == SY_OK) s->status = sy_stand_make(&set, &stand, &s->err);
  return s->status == SY_OK ? sy_corner_cross(stand.result.load) - s->read : (double)NAN;
}

sy_status sy_reading_set_up(const sy_reading *reading, const sy_car *stood, sy_car *out, sy_error *err) {
  search s = {.car = stood, .status = SY_OK};
  double range[2], share;
  sy_status status = check(reading, stood, err);
  if (status == SY_OK) status = drawn_range(stood, range, err);
  if (status != SY_OK) return status;
  s.read = sy_corner_cross(reading->load);
  status = sy_root_between(off, &s, range[0], range[1], 0.0, &share, NULL);
  if (s.status != SY_OK) {
    if (err != NULL) *err = s.err;
    return s.status;
  }
  if (status != SY_OK)
    return sy_fail(
        err, SY_GEOMETRY, "vehicle", "cross_share",
        "as read, %g %%, is not one that turns of the perches give this car: before it a wheel leaves the "
        "ground",
        round(1e4 * s.read) * 1e-2);
  return sy_car_set_cross(stood, share, out, err);
}

/* ---- what comes next --------------------------------------------------------------------------------------------------------- */

sy_status sy_reading_expect(const sy_reading *reading, const sy_car *stood, const sy_car *then,
                            const sy_asked *asked, int count, const sy_pairing *pairing, double *value,
                            double *sd, sy_error *err) {
  const sy_answer_set *set = sy_corner_answers();
  sy_stand was, is;
  double change[SY_MOST_ASKED], change_sd[SY_MOST_ASKED], load[SY_MAX_WHEELS], by[SY_MAX_WHEELS];
  sy_status status = check(reading, stood, err);
  if (status == SY_OK) status = check(reading, then, err);
  if (status == SY_OK)
    status = sy_answers_change(set, stood, asked, then, asked, count, pairing, change,
                               sd != NULL ? change_sd : NULL, err);
  if (status == SY_OK) status = sy_stand_make(stood, &was, err);
  if (status == SY_OK) status = sy_stand_make(then, &is, err);
  if (status != SY_OK) return status;
  for (int i = 0; i < then->map.wheel_count; i++)
    load[i] = reading->load[i] + (is.result.load[i] - was.result.load[i]);
  for (int k = 0; k < count; k++) {
    const sy_answer_row *row = &set->row[asked[k].row];
    value[k] = asked[k].scale * sy_load_answer(&then->map, load, row->at + asked[k].index, by);
    if (sd == NULL) continue;
    double square = change_sd[k] * change_sd[k];
    for (int i = 0; i < then->map.wheel_count; i++) square += pow(asked[k].scale * by[i] * reading->sd[i], 2);
    sd[k] = sqrt(square);
  }
  return SY_OK;
}
