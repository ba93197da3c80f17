#include "study/plan_parts.h"

#include <math.h>
#include <string.h>

#include "answers/balance_answers.h"
#include "answers/corner_answers.h"
#include "answers/transfer_answers.h"
#include "study/plan_balance.h"

/* ---- many ------------------------------------------------------------------------------------------------------------------------ */

static bool asks_limit(const sy_plan_output *output, const size_t *which, size_t outputs) {
  for (size_t o = 0; o < outputs; o++)
    if (output[which[o]].row->near != NULL) return true;
  return false;
}

/* What nobody asks here need not be worked out. A set solved beside another state, with liquid that runs, leaves out its sensitivities, and of a
** transfer the limits are not looked for where none was found; those of the others are their answers. */
static const void *beside_nothing(const sy_plan *p, const sy_plan_output *output, const size_t *which,
                                  size_t outputs, sy_answer_state *none) {
  if (p->set == sy_corner_answers() || p->set == sy_attitude_answers())
    return none; /* which they do not read */
  if (p->set != sy_transfer_answers() || asks_limit(output, which, outputs)) return NULL;
  sy_pushed *s = (sy_pushed *)(void *)none->room;
  memset(s, 0, sizeof *s);
  s->lift.wheel = -1;
  return s;
}

static unsigned inputs_of(const sy_plan *p) {
  unsigned inputs = 0;
  for (size_t i = 0; i < p->count; i++)
    for (size_t f = 0; f < p->part[i].axes; f++)
      if (p->part[i].axis[f].factor.input >= inputs) inputs = p->part[i].axis[f].factor.input + 1;
  return inputs;
}

static sy_status not_tried(size_t variant, sy_error *err) {
  return sy_fail(err, SY_UNKNOWN, "plan", NULL, "variant %zu has a value that was not tried", variant + 1);
}

/* Variants one after the other, of the outputs in the list. */
static sy_status solve_singly(const sy_plan *p, const double *const *value, size_t from, size_t count,
                              const sy_plan_output *output, const size_t *which, size_t outputs,
                              double *const *column, bool *singly, sy_error *err) {
  sy_plan_car car;
  sy_answer_state state, none;
  double *at[SY_PLAN_NUMBERS], v[SY_PLAN_MOST_INPUTS];
  const unsigned inputs = inputs_of(p);
  const void *beside = beside_nothing(p, output, which, outputs, &none);
  sy_plan_car_copy(&p->base, &car);
  sy_plan_car_numbers(&car, at);
  for (size_t i = from; i < from + count; i++) {
    for (unsigned k = 0; k < inputs; k++) v[k] = value[k][i];
    if (!sy_plan_put_numbers(p, v, at)) return not_tried(i, err);
    const bool solved =
        sy_plan_car_follow(&car, p->follows, NULL) == SY_OK &&
        p->set->solve(&car.car, &car.now, &car.drawn, beside, true, state.room, NULL) == SY_OK;
    if (singly != NULL && (!solved || (p->set->searched != NULL && p->set->searched(state.room))))
      singly[i] = true;
    for (size_t o = 0; o < outputs; o++) {
      const sy_plan_output *out = &output[which[o]];
      column[which[o]][i] =
          solved ? out->scale * out->row->value(state.room, out->row->at + out->index) + out->offset
                 : (double)NAN;
    }
  }
  return SY_OK;
}

/* Variants from `from` on that stand on the same places: how many. */
static size_t on_same_places(const sy_plan *p, const double *const *value, size_t from, size_t count) {
  size_t same = count - from < SY_BALANCE_CHUNK ? count - from : SY_BALANCE_CHUNK;
  for (size_t i = 0; i < p->count; i++)
    for (size_t f = 0; f < p->part[i].axes && p->part[i].follows.places; f++) {
      const double *v = value[p->part[i].axis[f].factor.input] + from;
      size_t k = 1;
      while (k < same && v[k] == v[0]) k++;
      same = k;
    }
  return same;
}

/* ---- uncertainties ------------------------------------------------------------------------------------------------------------- */

static double sd_of(const sy_plan_car *car, const sy_balance *b, const sy_plan_output *output) {
  const sy_answer_row *row = output->row;
  const sy_stated cross = {SY_STATED_CROSS_SHARE, 0, car->cross_sd, 0};
  sy_sensitivity now = {.carriers = SY_ALL_CARRIERS, .flat = true}, drawn = now;
  const int at = row->at + output->index;
  double by = 0.0;
  if (isnan(row->value(b, at))) return (double)NAN;
  row->by_sums(b, at, &now, &drawn);
  if (cross.sd > 0.0 && row->by_stated != NULL) row->by_stated(b, at, &cross, &by);
  const double variance = sy_cov4_variance(&car->now.cov, &now) + (by * cross.sd) * (by * cross.sd);
  return fabs(output->scale) * sqrt(fmax(variance, 0.0));
}

/* Of the outputs in the list, those that are wanted. */
static sy_status solve_sds(const sy_plan *p, const double *const *value, size_t from, size_t count,
                           const sy_plan_output *output, const size_t *which, size_t outputs,
                           double *const *sd, sy_error *err) {
  sy_plan_car car;
  sy_balance b;
  double *at[SY_PLAN_NUMBERS], v[SY_PLAN_MOST_INPUTS];
  const unsigned inputs = inputs_of(p);
  bool wanted = false;
  for (size_t o = 0; o < outputs; o++) wanted = wanted || sd[which[o]] != NULL;
  if (!wanted) return SY_OK;
  sy_plan_car_copy(&p->base, &car);
  sy_plan_car_numbers(&car, at);
  for (size_t i = from; i < from + count; i++) {
    for (unsigned k = 0; k < inputs; k++) v[k] = value[k][i];
    if (!sy_plan_put_numbers(p, v, at)) return not_tried(i, err);
    const bool stands = sy_plan_car_follow(&car, p->follows, NULL) == SY_OK &&
                        sy_balance_make(&car.now, &car.car.vehicle, &car.car.map, &b, NULL) == SY_OK;
    for (size_t o = 0; o < outputs; o++)
      if (sd[which[o]] != NULL) sd[which[o]][i] = stands ? sd_of(&car, &b, &output[which[o]]) : (double)NAN;
  }
  return SY_OK;
}

/* ---- side by side ----------------------------------------------------------------------------------------------------------------- */

/* Some of the outputs, side by side. */
static sy_status solve_lanes(const sy_plan *p, const double *const *value, size_t count,
                             const sy_plan_output *output, const size_t *which, size_t outputs,
                             double *const *column, double *const *sd, bool stream, bool *singly,
                             sy_error *err) {
  sy_lane_answer lane[SY_MOST_ASKED];
  sy_balance places;
  const unsigned inputs = inputs_of(p);
  double v[SY_PLAN_MOST_INPUTS], *here[SY_MOST_ASKED], *deviation[SY_MOST_ASKED];
  const double *values[SY_PLAN_MOST_INPUTS];
  bool stands = false;
  for (size_t from = 0, n; from < count; from += n) {
    n = on_same_places(p, value, from, count);
    for (unsigned k = 0; k < inputs; k++) v[k] = value[k][from], values[k] = value[k] + from;
    if (from == 0 || p->follows.places) {
      stands = sy_plan_places(p, v, &places);
      for (size_t o = 0; o < outputs && stands; o++)
        stands = sy_plan_lane_answer(&places, &output[which[o]], &lane[o]);
    }
    for (size_t o = 0; o < outputs; o++) {
      here[which[o]] = column[which[o]] + from;
      deviation[which[o]] = sd[which[o]] != NULL ? sd[which[o]] + from : NULL;
    }
    if (stands) {
      if (!sy_plan_balance(p, values, n, lane, which, outputs, here, deviation, stream))
        return not_tried(from, err);
      continue;
    }
    sy_status status = solve_singly(p, value, from, n, output, which, outputs, column, singly, err);
    if (status == SY_OK) status = solve_sds(p, value, from, n, output, which, outputs, sd, err);
    if (status != SY_OK) return status;
  }
  return SY_OK;
}

/* ---- all ---------------------------------------------------------------------------------------------------------------------------- */

/* Outputs by how they are worked out: their places in the list. */
typedef struct shares {
  size_t lane[SY_MOST_ASKED], other[SY_MOST_ASKED], lanes, others;
  double *lane_sd[SY_MOST_ASKED], *other_sd[SY_MOST_ASKED]; /* by output */
} shares;

static void share_out(const sy_plan *p, const sy_plan_output *output, size_t outputs, double *const *sd,
                      shares *s) {
  sy_balance base;
  sy_lane_answer lane;
  const bool side_by_side =
      p->set == sy_balance_answers() &&
      sy_balance_make(&p->base.now, &p->base.car.vehicle, &p->base.car.map, &base, NULL) == SY_OK;
  s->lanes = s->others = 0;
  for (size_t o = 0; o < outputs; o++) {
    const bool in_lanes = side_by_side && sy_plan_lane_answer(&base, &output[o], &lane);
    const bool its_sd =
        in_lanes && sd != NULL && sd[o] != NULL && sy_plan_lane_sd(p, &base, &output[o], &lane);
    if (in_lanes)
      s->lane[s->lanes++] = o;
    else
      s->other[s->others++] = o;
    s->lane_sd[o] = its_sd ? sd[o] : NULL;
    s->other_sd[o] = its_sd || sd == NULL ? NULL : sd[o];
  }
}

sy_status sy_plan_solve(const sy_plan *p, const double *const *value, size_t count,
                        const sy_plan_output *output, size_t outputs, double *const *column,
                        double *const *sd, bool stream, bool *singly, sy_error *err) {
  shares s;
  if (outputs > SY_MOST_ASKED)
    return sy_fail(err, SY_LIMIT, "plan", NULL, "is asked %zu answers at a time", outputs);
  share_out(p, output, outputs, sd, &s);
  sy_status status = SY_OK;
  if (s.lanes > 0)
    status = solve_lanes(p, value, count, output, s.lane, s.lanes, column, s.lane_sd, stream, singly, err);
  if (status == SY_OK && s.others > 0)
    status = solve_singly(p, value, 0, count, output, s.other, s.others, column, singly, err);
  if (status == SY_OK) status = solve_sds(p, value, 0, count, output, s.lane, s.lanes, s.other_sd, err);
  if (status == SY_OK) status = solve_sds(p, value, 0, count, output, s.other, s.others, s.other_sd, err);
  return status;
}
