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

static bool go_anywhere(const sy_plan_into *into, const size_t *which, size_t outputs) {
  bool any = into->singly != NULL;
  for (size_t o = 0; o < outputs; o++)
    any = any || into->column[which[o]] != NULL || (into->summary != NULL && into->summary[which[o]] != NULL);
  return any;
}

/* Variants one after the other, of the outputs in the list. */
static sy_status solve_singly(const sy_plan *p, const double *const *value, size_t from, size_t count,
                              const sy_plan_output *output, const size_t *which, size_t outputs,
                              const sy_plan_into *into, sy_error *err) {
  sy_plan_car car;
  sy_answer_state state, none;
  double *at[SY_PLAN_NUMBERS], v[SY_PLAN_MOST_INPUTS];
  const unsigned inputs = inputs_of(p);
  const void *beside = beside_nothing(p, output, which, outputs, &none);
  if (!go_anywhere(into, which, outputs)) return SY_OK;
  sy_plan_car_copy(&p->base, &car);
  sy_plan_car_numbers(&car, at);
  for (size_t i = from; i < from + count; i++) {
    for (unsigned k = 0; k < inputs; k++) v[k] = value[k][i];
    if (!sy_plan_put_numbers(p, v, at)) return not_tried(i, err);
    const bool solved =
        sy_plan_car_follow(&car, p->follows, NULL) == SY_OK &&
        p->set->solve(&car.car, &car.now, &car.drawn, beside, true, state.room, NULL) == SY_OK;
    if (into->singly != NULL && (!solved || (p->set->searched != NULL && p->set->searched(state.room))))
      into->singly[i] = true;
    for (size_t o = 0; o < outputs; o++) {
      const sy_plan_output *out = &output[which[o]];
      const double answer =
          solved ? out->scale * out->row->value(state.room, out->row->at + out->index) + out->offset
                 : (double)NAN;
      if (into->column[which[o]] != NULL) into->column[which[o]][i] = answer;
      if (into->summary != NULL && into->summary[which[o]] != NULL)
        sy_summary_add(into->summary[which[o]], &answer, 1, into->first + i);
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

/* What the cross weight adds to a variance, of an answer that moves by `by` with it. */
static double by_cross(const sy_plan_car *car, double by, const sy_sensitivity *now) {
  const double *c = car->cross_cov;
  if (by == 0.0) return 0.0;
  if (!isnan(car->cross_sd)) return (by * car->cross_sd) * (by * car->cross_sd);
  const double both = now->m * c[0] + now->first.x * c[1] + now->first.y * c[2] + now->first.z * c[3];
  return by * (2.0 * both + by * c[4]);
}

static double sd_of(const sy_plan_car *car, const sy_balance *b, const sy_plan_output *output) {
  const sy_answer_row *row = output->row;
  const sy_stated cross = {.field = SY_STATED_CROSS_SHARE, .sd = car->cross_sd};
  sy_sensitivity now = {.carriers = SY_ALL_CARRIERS, .flat = true}, drawn = now;
  const int at = row->at + output->index;
  double by = 0.0;
  if (isnan(row->value(b, at))) return (double)NAN;
  row->by_sums(b, at, &now, &drawn);
  if (cross.sd != 0.0 && row->by_stated != NULL) row->by_stated(b, at, &cross, &by);
  const double variance = sy_cov4_variance(&car->now.cov, &now) + by_cross(car, by, &now);
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

/* What is in a sy_plan_ready: outputs by how they are worked out, as their places in the list, and how those side by side are, where the
** wheels of all variants stand alike. */
typedef struct ready {
  const sy_plan *plan;
  const sy_plan_output *output;
  size_t lane[SY_MOST_ASKED], other[SY_MOST_ASKED], lanes, others;
  bool lane_sd[SY_MOST_ASKED], other_sd[SY_MOST_ASKED]; /* by output */
  bool stands;
  sy_lane_answer answer[SY_MOST_ASKED];
} ready;
_Static_assert(sizeof(ready) <= sizeof(sy_plan_ready), "room for what is made ready");
_Static_assert(_Alignof(ready) <= _Alignof(double), "its room is aligned as a double");

static const ready *in(const sy_plan_ready *r) { return (const ready *)(const void *)r->room; }

/* Answers of the list on the places of these values; false where the car does not stand so. */
static bool answers_at(const ready *r, const double *value, sy_lane_answer *answer) {
  sy_balance places;
  bool stands = sy_plan_places(r->plan, value, &places);
  for (size_t o = 0; o < r->lanes && stands; o++)
    stands = sy_plan_lane_answer(&places, &r->output[r->lane[o]], &answer[o]);
  return stands;
}

/* `into` from another variant on. */
static sy_plan_into into_from(const sy_plan_into *into, size_t outputs, size_t from,
                              double *column[SY_MOST_ASKED], double *sd[SY_MOST_ASKED]) {
  for (size_t o = 0; o < outputs; o++) {
    column[o] = into->column[o] != NULL ? into->column[o] + from : NULL;
    sd[o] = into->sd != NULL && into->sd[o] != NULL ? into->sd[o] + from : NULL;
  }
  bool *const singly = into->singly != NULL ? into->singly + from : NULL;
  return (sy_plan_into){column, sd, into->summary, into->first + from, into->stream, singly};
}

/* Uncertainties of `wanted` outputs alone. */
static double *const *only(double *const *sd, const bool *wanted, size_t outputs, double **out) {
  for (size_t o = 0; o < outputs; o++) out[o] = sd != NULL && wanted[o] ? sd[o] : NULL;
  return out;
}

/* The outputs that are worked out side by side. */
static sy_status solve_lanes(const ready *r, const double *const *value, size_t count, size_t outputs,
                             const sy_plan_into *all, sy_error *err) {
  const sy_plan *p = r->plan;
  sy_lane_answer moved[SY_MOST_ASKED];
  const sy_lane_answer *answer = r->answer;
  const unsigned inputs = inputs_of(p);
  double v[SY_PLAN_MOST_INPUTS], *column[SY_MOST_ASKED], *sd[SY_MOST_ASKED], *lane_sd[SY_MOST_ASKED];
  const double *values[SY_PLAN_MOST_INPUTS];
  bool stands = r->stands;
  sy_plan_into into = *all;
  into.sd = only(all->sd, r->lane_sd, outputs, lane_sd);
  for (size_t from = 0, n; from < count; from += n) {
    n = on_same_places(p, value, from, count);
    for (unsigned k = 0; k < inputs; k++) v[k] = value[k][from], values[k] = value[k] + from;
    if (p->follows.places) {
      stands = answers_at(r, v, moved);
      answer = moved;
    }
    if (stands) {
      const sy_plan_into here = into_from(&into, outputs, from, column, sd);
      if (!sy_plan_balance(p, values, n, answer, r->lane, r->lanes, &here)) return not_tried(from, err);
      continue;
    }
    sy_status status = solve_singly(p, value, from, n, r->output, r->lane, r->lanes, &into, err);
    if (status == SY_OK) status = solve_sds(p, value, from, n, r->output, r->lane, r->lanes, into.sd, err);
    if (status != SY_OK) return status;
  }
  return SY_OK;
}

/* ---- all ---------------------------------------------------------------------------------------------------------------------------- */

sy_status sy_plan_prepare(const sy_plan *p, const sy_plan_output *output, size_t outputs, const bool *sd,
                          sy_plan_ready *out, sy_error *err) {
  sy_balance base;
  sy_lane_answer lane;
  if (outputs > SY_MOST_ASKED)
    return sy_fail(err, SY_LIMIT, "plan", NULL, "is asked %zu answers at a time", outputs);
  ready *r = (ready *)(void *)out->room;
  memset(r, 0, sizeof *r);
  r->plan = p, r->output = output;
  const bool side_by_side =
      p->set == sy_balance_answers() &&
      sy_balance_make(&p->base.now, &p->base.car.vehicle, &p->base.car.map, &base, NULL) == SY_OK;
  for (size_t o = 0; o < outputs; o++) {
    const bool in_lanes = side_by_side && sy_plan_lane_answer(&base, &output[o], &lane);
    r->lane_sd[o] = in_lanes && sd != NULL && sd[o] && sy_plan_lane_sd(p, &base, &output[o], &lane);
    r->other_sd[o] = !r->lane_sd[o] && sd != NULL && sd[o];
    if (in_lanes)
      r->lane[r->lanes++] = o;
    else
      r->other[r->others++] = o;
  }
  if (!p->follows.places) r->stands = answers_at(r, NULL, r->answer);
  return SY_OK;
}

sy_status sy_plan_run(const sy_plan_ready *of, const double *const *value, size_t count,
                      const sy_plan_into *into, sy_error *err) {
  const ready *r = in(of);
  const size_t outputs = r->lanes + r->others;
  double *sd[SY_MOST_ASKED];
  sy_status status = SY_OK;
  if (r->lanes > 0) status = solve_lanes(r, value, count, outputs, into, err);
  if (status == SY_OK && r->others > 0)
    status = solve_singly(r->plan, value, 0, count, r->output, r->other, r->others, into, err);
  if (status != SY_OK || into->sd == NULL) return status;
  only(into->sd, r->other_sd, outputs, sd);
  status = solve_sds(r->plan, value, 0, count, r->output, r->lane, r->lanes, sd, err);
  if (status == SY_OK) status = solve_sds(r->plan, value, 0, count, r->output, r->other, r->others, sd, err);
  return status;
}

sy_status sy_plan_settle(const sy_plan_ready *of, const double *const *value, size_t count, uint64_t first,
                         size_t at, sy_summary *summary, sy_error *err) {
  const ready *r = in(of);
  double room[SY_BALANCE_CHUNK], *column[SY_MOST_ASKED] = {NULL};
  if (summary->at_min != first && summary->at_max != first) return SY_OK;
  if (count > SY_BALANCE_CHUNK || at >= r->lanes + r->others)
    return sy_fail(err, SY_LIMIT, "plan", NULL, "settles %zu variants of output %zu", count, at);
  bool in_lanes = false; /* singly each is noted as of itself */
  for (size_t k = 0; k < r->lanes; k++) in_lanes = in_lanes || r->lane[k] == at;
  if (!in_lanes) return SY_OK;
  const sy_plan_into into = {.column = column};
  column[at] = room;
  const sy_status status = sy_plan_run(of, value, count, &into, err);
  if (status == SY_OK) sy_summary_settle(summary, room, count, first);
  return status;
}

sy_status sy_plan_solve(const sy_plan *p, const double *const *value, size_t count,
                        const sy_plan_output *output, size_t outputs, double *const *column,
                        double *const *sd, bool stream, bool *singly, sy_error *err) {
  sy_plan_ready r;
  bool wanted[SY_MOST_ASKED];
  for (size_t o = 0; o < outputs && o < SY_MOST_ASKED; o++) wanted[o] = sd != NULL && sd[o] != NULL;
  const sy_status status = sy_plan_prepare(p, output, outputs, wanted, &r, err);
  const sy_plan_into into = {.column = column, .sd = sd, .stream = stream, .singly = singly};
  return status == SY_OK ? sy_plan_run(&r, value, count, &into, err) : status;
}
