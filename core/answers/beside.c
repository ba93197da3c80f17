#include "answers/beside.h"

#include <math.h>

#include "answers/corner_answers.h"
#include "answers/stand.h"
#include "numeric/root.h"

/* ---- the share -------------------------------------------------------------------------------------------------------------- */

/* Between which shares all wheels carry something as drawn: each load is a straight line of it. */
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

/* The share that the car reads when it was drawn with `drawn`. */
static sy_status reads(const sy_car *car, double drawn, double *out, sy_error *err) {
  sy_car set;
  sy_stand stand;
  sy_status status = sy_car_set_cross(car, drawn, &set, err);
  if (status == SY_OK) status = sy_stand_make(&set, &stand, err);
  if (status == SY_OK) *out = sy_corner_cross(stand.result.load);
  return status;
}

typedef struct search {
  const sy_car *car;
  double read;
  sy_status status;
  sy_error err;
} search;

static double off(void *user, double drawn) {
  search *s = user;
  double read = 0.0;
  if (s->status == SY_OK) s->status = reads(s->car, drawn, &read, &s->err);
  return s->status == SY_OK ? read - s->read : (double)NAN;
}

static sy_status find(const sy_car *stood, double read, double *drawn, sy_error *err) {
  search s = {.car = stood, .read = read, .status = SY_OK};
  double range[2];
  sy_status status = sy_vehicle_check_counts(&stood->vehicle, err);
  if (status != SY_OK) return status;
  if (stood->map.split != SY_SPLIT_CROSS_SHARE)
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cross_share", "is one of two axles with two wheels each");
  status = drawn_range(stood, range, err);
  if (status != SY_OK) return status;
  status = sy_root_between(off, &s, range[0], range[1], 0.0, drawn, NULL);
  if (s.status != SY_OK) {
    if (err != NULL) *err = s.err;
    return s.status;
  }
  if (status == SY_OK) return SY_OK;
  return sy_fail(err, SY_GEOMETRY, "vehicle", "cross_share",
                 "as read, %g %%, is not one that turns of the perches give this car: before it a wheel "
                 "leaves the ground",
                 round(1e4 * read) * 1e-2);
}

/* ---- how it rests on what was read ------------------------------------------------------------------------------------------- */

/* Loads are linear in the share while no wheel lifts. */
static sy_status rate_of(const sy_car *car, double drawn, double *rate, sy_error *err) {
  const double step = 1e-4;
  double more, less;
  sy_status status = reads(car, drawn + step, &more, err);
  if (status == SY_OK) status = reads(car, drawn - step, &less, err);
  if (status != SY_OK) return status;
  *rate = (more - less) / (2.0 * step);
  if (*rate != 0) return SY_OK;
  return sy_fail(err, SY_GEOMETRY, "vehicle", "cross_share",
                 "as read does not follow that of the drawn state");
}

static sy_sensitivity times(double by, const sy_sensitivity *g) {
  return (sy_sensitivity){by * g->m, sy_vec3_scale(by, g->first), sy_sym3_scale(by, g->second), g->carriers,
                          g->flat};
}

/* Of an uncertainty: what is left of third order is a millionth of it. */
#define PLACE_STEP 1e-3

/* By each place that is uncertain, at the drawn share held; 0 where the car would not stand so. */
static void rest_on_places(const sy_car *set, double rate, sy_beside *out) {
  out->places = 0;
  for (size_t k = 0; k < set->stated_count && out->places < SY_BESIDE_PLACES; k++) {
    const sy_stated *stated = &set->stated[k];
    if (!sy_stated_place(stated)) continue;
    double side[2] = {0, 0};
    bool stands = true;
    for (int s = 0; s < 2 && stands; s++) {
      sy_car moved;
      stands =
          sy_car_step(set, stated, (s == 0 ? PLACE_STEP : -PLACE_STEP) * stated->sd, &moved, NULL) == SY_OK &&
          reads(&moved, set->vehicle.cross_share, &side[s], NULL) == SY_OK;
    }
    const double by = stands ? (side[0] - side[1]) / (2.0 * PLACE_STEP * stated->sd) : 0.0;
    out->place[out->places++] = (sy_beside_place){stated->field, stated->at, -by / rate};
  }
}

/* The read share f(drawn share, sums, places) is held, so its differential is 0. */
static sy_status rest(const sy_car *set, sy_beside *out, sy_error *err) {
  const sy_answer_set *answers = sy_corner_answers();
  sy_asked asked;
  sy_totals now, drawn;
  sy_answer_state state;
  sy_sensitivity by_now, by_drawn;
  double rate = 0;
  sy_ledger_sums(set->now, &now);
  sy_ledger_sums(set->drawn, &drawn);
  sy_answer_find(answers, &set->vehicle, "cross_share", &asked); /* two axles of two wheels have it */
  sy_status status = answers->solve(set, &now, &drawn, NULL, true, state.room, err);
  if (status == SY_OK) status = rate_of(set, set->vehicle.cross_share, &rate, err);
  if (status != SY_OK) return status;
  const sy_answer_row *row = &answers->row[asked.row];
  row->by_sums(state.room, row->at, &by_now, &by_drawn);
  *out = (sy_beside){.by_measured = 1.0 / rate,
                     .at = set->now,
                     .by_at = times(-1.0 / rate, &by_now),
                     .by_drawn = times(-1.0 / rate, &by_drawn)};
  rest_on_places(set, rate, out);
  return SY_OK;
}

sy_status sy_beside_make(const sy_car *stood, double read, sy_car *out, sy_beside *rests, sy_error *err) {
  sy_car set;
  sy_beside found;
  double drawn;
  sy_status status = find(stood, read, &drawn, err);
  if (status == SY_OK) status = sy_car_set_cross(stood, drawn, &set, err);
  if (status == SY_OK && rests != NULL) status = rest(&set, &found, err);
  if (status != SY_OK) return status;
  if (rests != NULL) *rests = found;
  *out = set;
  return SY_OK;
}
