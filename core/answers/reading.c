#include "answers/reading.h"

#include <math.h>
#include <string.h>

#include "answers/beside.h"
#include "answers/corner_answers.h"
#include "answers/stand.h"

static bool fits(const sy_reading *r, int i, int j) {
  const double both = r->covariance[i][j], most = sqrt(r->covariance[i][i]) * sqrt(r->covariance[j][j]);
  return both == r->covariance[j][i] &&
         fabs(both) <= most * (1.0 + 1e-9); /* wholly correlated, but for rounding */
}

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
    const double sd = sqrt(r->covariance[i][i]);
    if (!(sd >= 0.0 && sd <= r->load[i]))
      return sy_fail(err, SY_RANGE, name, "sd", "is %g N, must be between 0 and the load", sd);
    for (int j = 0; j < i; j++)
      if (!fits(r, i, j))
        return sy_fail(err, SY_RANGE, name, "covariance", "is none of two loads as uncertain as these");
  }
  return SY_OK;
}

sy_status sy_reading_set_up(const sy_reading *reading, const sy_car *stood, sy_car *out, sy_error *err) {
  const sy_status status = check(reading, stood, err);
  return status == SY_OK ? sy_beside_make(stood, sy_corner_cross(reading->load), out, NULL, err) : status;
}

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
                               sd != NULL ? change_sd : NULL, NULL, err);
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
    for (int i = 0; i < then->map.wheel_count; i++)
      for (int j = 0; j < then->map.wheel_count; j++)
        square += asked[k].scale * asked[k].scale * by[i] * reading->covariance[i][j] * by[j];
    sd[k] = sqrt(fmax(0.0, square));
  }
  return SY_OK;
}
