#include "answers/beside.h"

#include <math.h>

#include "answers/corner_answers.h"
#include "base/units.h"

enum { MOST_STEPS = 40 };

/* Shares are of the order of a half; the corner model is exact to some roundings. */
#define SAME_SHARE 1e-14

static sy_status set_to(const sy_car *car, double share, sy_car *out, sy_error *err) {
  static const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};
  *out = *car;
  out->vehicle.cross_share = share;
  return sy_loadmap_make(&out->vehicle, level, &out->map, err);
}

static sy_status read_share(const sy_car *car, sy_asked asked, double share, double *out, sy_error *err) {
  sy_car at;
  const sy_status status = set_to(car, share, &at, err);
  return status == SY_OK ? sy_answers_ask(sy_corner_answers(), &at, &asked, 1, out, NULL, err) : status;
}

/* Loads of wheels that all stand are linear in the share: the secant is there at the second step. */
static sy_status find_share(const sy_car *car, sy_asked asked, double measured, double *share,
                            sy_error *err) {
  double at = measured, rate = 1.0, before = 0, read_before = 0;
  for (int n = 0; n < MOST_STEPS; n++) {
    double read;
    const sy_status status = read_share(car, asked, at, &read, err);
    if (status != SY_OK) return status;
    if (fabs(read - measured) <= SAME_SHARE) {
      *share = at;
      return SY_OK;
    }
    if (n > 0 && at != before && read != read_before) rate = (read - read_before) / (at - before);
    before = at, read_before = read;
    at += (measured - read) / rate;
    if (n > 2 && fabs(at - before) <= SAME_SHARE) {
      *share = at;
      return SY_OK;
    }
    if (!(at > 0.0 && at < 1.0)) break;
  }
  return sy_fail(err, SY_GEOMETRY, "records", "cross_share",
                 "reads %g %%: no cross weight of the drawn state makes the car stand so", 100.0 * measured);
}

/* Loads are linear in the share while no wheel lifts. */
static sy_status by_difference(const sy_car *car, sy_asked asked, double share, double *rate, sy_error *err) {
  const double step = 1e-4;
  double more, less;
  sy_status status = read_share(car, asked, share + step, &more, err);
  if (status == SY_OK) status = read_share(car, asked, share - step, &less, err);
  if (status == SY_OK) *rate = (more - less) / (2.0 * step);
  return status;
}

static sy_sensitivity times(double by, const sy_sensitivity *g) {
  return (sy_sensitivity){by * g->m, sy_vec3_scale(by, g->first), sy_sym3_scale(by, g->second), g->carriers,
                          g->flat};
}

sy_status sy_beside_make(const sy_car *car, double measured, double *share, sy_beside *out, sy_error *err) {
  const sy_answer_set *set = sy_corner_answers();
  sy_asked asked;
  if (!sy_answer_find(set, &car->vehicle, "cross_share", &asked))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cross_share",
                   "has a meaning for two axles of two wheels only");
  double found = 0;
  sy_status status = find_share(car, asked, measured, &found, err);
  if (status != SY_OK) return status;
  sy_car at;
  sy_totals now, drawn;
  sy_answer_state state;
  status = set_to(car, found, &at, err);
  if (status != SY_OK) return status;
  sy_ledger_sums(at.now, &now);
  sy_ledger_sums(at.drawn, &drawn);
  status = set->solve(&at, &now, &drawn, NULL, true, state.room, err);
  if (status != SY_OK) return status;
  const sy_answer_row *row = &set->row[asked.row];
  const sy_stated cross = {SY_STATED_CROSS_SHARE, 0, 1.0, SY_SOURCE_MEASURED};
  sy_sensitivity by_now, by_drawn;
  double rate = 0;
  row->by_sums(state.room, row->at, &by_now, &by_drawn);
  if (row->by_stated == NULL || !row->by_stated(state.room, row->at, &cross, &rate))
    status = by_difference(car, asked, found, &rate, err);
  if (status != SY_OK) return status;
  if (rate == 0)
    return sy_fail(err, SY_GEOMETRY, "records", "cross_share", "does not follow that of the drawn state");
  *share = found;
  *out = (sy_beside){1.0 / rate, at.now, times(-1.0 / rate, &by_now), times(-1.0 / rate, &by_drawn)};
  return SY_OK;
}
