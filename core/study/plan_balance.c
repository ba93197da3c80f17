#include "study/plan_balance.h"

#include <math.h>
#include <string.h>

#include "answers/balance_answers.h"
#include "base/lanes.h"

/* ---- which kernel ----------------------------------------------------------------------------------------------------------- */

typedef struct kernels {
  sy_add_powers_lanes *add;
  sy_add_same_lanes *add_same;
  sy_range_lanes *range;
  sy_balance_reduce_lanes *run;
  sy_balance_sd_lanes *sd;
} kernels;

/* level: of which build, 0 for the best. */
static kernels of_level(int level) {
#ifdef __x86_64__
  if (level == 4 || (level == 0 && sy_lanes_level(4)))
    return (kernels){sy_add_powers_lanes_v4, sy_add_same_lanes_v4, sy_range_lanes_v4,
                     sy_balance_reduce_lanes_v4, sy_balance_sd_lanes_v4};
  if (level == 3 || (level == 0 && sy_lanes_level(3)))
    return (kernels){sy_add_powers_lanes_v3, sy_add_same_lanes_v3, sy_range_lanes_v3,
                     sy_balance_reduce_lanes_v3, sy_balance_sd_lanes_v3};
#endif
  (void)level;
  return (kernels){sy_add_powers_lanes_v1, sy_add_same_lanes_v1, sy_range_lanes_v1,
                   sy_balance_reduce_lanes_v1, sy_balance_sd_lanes_v1};
}

/* ---- from rows of the set to lanes ------------------------------------------------------------------------------------------- */

static void linear_of(const sy_balance *b, int row, double scale, double c[4]) {
  for (int k = 0; k < 4; k++) c[k] = scale * b->row[row][k];
}

/* A total that rests on the mass alone, but for rounding of the places. */
static bool by_mass_alone(const double c[4]) {
  return fabs(c[1]) + fabs(c[2]) + fabs(c[3]) <= 1e-14 * fabs(c[0]);
}

/* row by the total. */
static bool share_of(const sy_balance *b, int row, double scale, sy_lane_answer *out) {
  linear_of(b, row, scale, out->c);
  linear_of(b, SY_ROW_TOTAL, 1.0, out->d);
  out->kind = by_mass_alone(out->d) ? SY_LANE_SHARE : SY_LANE_QUOTIENT;
  for (int k = 0; k < 4 && out->kind == SY_LANE_SHARE; k++) out->c[k] /= out->d[0];
  return true;
}

static bool moment_of(int axis, double scale, sy_lane_answer *out) {
  static const int second[3][2] = {{5, 6}, {4, 6}, {4, 5}}, first[3][2] = {{2, 3}, {1, 3}, {1, 2}};
  out->kind = SY_LANE_MOMENT;
  out->i = second[axis][0], out->j = second[axis][1];
  out->a = first[axis][0], out->b = first[axis][1];
  out->c[0] = scale;
  return true;
}

static bool product_of(int which, double scale, sy_lane_answer *out) {
  static const int second[3] = {7, 8, 9}, first[3][2] = {{1, 2}, {1, 3}, {2, 3}};
  out->kind = SY_LANE_PRODUCT;
  out->i = second[which];
  out->a = first[which][0], out->b = first[which][1];
  out->c[0] = scale;
  return true;
}

static bool code_of(const sy_balance *b, sy_answer code, double scale, double offset, sy_lane_answer *out) {
  const sy_sensitivity by = sy_balance_sensitivity(b, code); /* of a load its own coefficients */
  const bool load = (code >= SY_ANSWER_FRONT && code <= SY_ANSWER_RIGHT) ||
                    (code >= SY_ANSWER_AXLE && code < SY_ANSWER_UNSPRUNG_AXLE);
  if (load || code == SY_ANSWER_MASS) {
    const double c[4] = {by.m, by.first.x, by.first.y, by.first.z};
    out->kind = SY_LANE_LINEAR;
    for (int k = 0; k < 4; k++) out->c[k] = scale * c[k];
    out->clamps = load;
    return offset == 0.0;
  }
  if (code >= SY_ANSWER_CG_X && code <= SY_ANSWER_CG_Z) {
    out->kind = SY_LANE_MEAN;
    out->i = 1 + (int)code - (int)SY_ANSWER_CG_X;
    out->c[0] = scale, out->c[1] = offset;
    return true;
  }
  if (offset != 0.0) return false;
  switch (code) {
  case SY_ANSWER_FRONT_SHARE: return share_of(b, SY_ROW_FRONT, scale, out);
  case SY_ANSWER_LEFT_SHARE: return share_of(b, SY_ROW_LEFT, scale, out);
  case SY_ANSWER_CROSS_SHARE: return b->crossed && share_of(b, SY_ROW_CROSSED, scale, out);
  case SY_ANSWER_DIAGONAL_RATIO:
    out->kind = SY_LANE_QUOTIENT;
    linear_of(b, SY_ROW_CROSSED, scale, out->c);
    linear_of(b, SY_ROW_UNCROSSED, 1.0, out->d);
    return b->crossed;
  case SY_ANSWER_XX: return moment_of(0, scale, out);
  case SY_ANSWER_YY: return moment_of(1, scale, out);
  case SY_ANSWER_ZZ: return moment_of(2, scale, out);
  case SY_ANSWER_XY: return product_of(0, scale, out);
  case SY_ANSWER_XZ: return product_of(1, scale, out);
  case SY_ANSWER_YZ: return product_of(2, scale, out);
  case SY_ANSWER_YAW_INDEX:
    out->kind = SY_LANE_INDEX;
    out->c[0] = scale, out->c[1] = b->front_x, out->c[2] = b->rear_x;
    return true;
  default: return false;
  }
}

bool sy_plan_lane_answer(const sy_balance *b, const sy_plan_output *output, sy_lane_answer *out) {
  const sy_answer_set *set = sy_balance_answers();
  const sy_answer_row *row = output->row;
  *out = (sy_lane_answer){.kind = SY_LANE_LINEAR};
  if (row < set->row || row >= set->row + set->rows) return false;
  if (strcmp(row->name, "cg_behind") == 0) { /* the first axle's place less the cg's */
    const double scale = output->scale;
    return code_of(b, SY_ANSWER_CG_X, -scale, output->offset + scale * b->front_x, out);
  }
  if (strcmp(row->name, "yaw_inertia_rear") == 0) {
    out->kind = SY_LANE_YAW_REAR;
    out->c[0] = output->scale, out->c[1] = b->rear_x;
    return output->offset == 0.0;
  }
  return code_of(b, (sy_answer)(row->at + output->index), output->scale, output->offset, out);
}

bool sy_plan_places(const sy_plan *p, const double *value, sy_balance *out) {
  sy_plan_car car;
  double *at[SY_PLAN_NUMBERS];
  sy_plan_car_copy(&p->base, &car);
  if (p->follows.places) {
    sy_plan_car_numbers(&car, at);
    if (!sy_plan_put_numbers(p, value, at)) return false;
    car.now.all = p->base.now.all; /* any mass will do */
  }
  return sy_plan_car_follow(&car, p->follows, NULL) == SY_OK &&
         sy_balance_make(&car.now, &car.car.vehicle, &car.car.map, out, NULL) == SY_OK;
}

/* ---- sums --------------------------------------------------------------------------------------------------------------------- */

enum { PADDED = SY_BALANCE_CHUNK + 8 };

typedef struct sums {
  sy_lane_sum sum[SY_BALANCE_LANES];
  _Alignas(64) double room[SY_BALANCE_LANES][PADDED];
} sums;

/* In every bit. */
static bool all_equal(const double *v, size_t n) { return memcmp(v, v + 1, (n - 1) * sizeof *v) == 0; }

/* From one number for all to one each. */
static double *spread(sums *s, int k, size_t n) {
  if (s->sum[k].at == NULL) {
    for (size_t i = 0; i < n + 8; i++) s->room[k][i] = s->sum[k].same;
    s->sum[k].at = s->room[k];
  }
  return s->room[k];
}

static double powers_at(const sy_plan_part *t, size_t k, double value) {
  const double at = (value - t->middle) * t->by;
  double p = t->power[k][0];
  for (int c = 1; c < t->powers[k]; c++) p = p * at + t->power[k][c];
  return p;
}

/* Bit set of the sums, and with uncertainties of the covariances, that answers are made of. */
static uint32_t sums_of_answers(const sy_lane_answer *answer, size_t answers) {
  uint32_t set = 0xf; /* the mass says whether anything is aboard; uncertainties rest on the four */
  for (size_t o = 0; o < answers; o++) {
    const sy_lane_answer *w = &answer[o];
    if (w->kind == SY_LANE_MOMENT) set |= 1u << w->i | 1u << w->j;
    if (w->kind == SY_LANE_PRODUCT) set |= 1u << w->i;
    if (w->kind == SY_LANE_INDEX || w->kind == SY_LANE_YAW_REAR) set |= 1u << 4 | 1u << 5;
  }
  return set | ~(uint32_t)0 << SY_BALANCE_SUMS;
}

static void add_powers(const sy_plan_part *t, const double *value, size_t n, bool same, size_t lanes,
                       uint32_t wanted, const kernels *use, sums *s) {
  for (size_t k = 0; k < lanes; k++) {
    const int to = (int)t->lane[k];
    if ((wanted >> to & 1) == 0) continue;
    const bool is_same = s->sum[to].at == NULL;
    if (!same) {
      use->add(s->room[to], is_same ? &s->sum[to].same : NULL, value, n, t->middle, t->by, t->power[k],
               t->powers[k]);
      s->sum[to].at = s->room[to];
      continue;
    }
    const double by = powers_at(t, k, value[0]);
    if (is_same)
      s->sum[to].same += by;
    else
      use->add_same(s->room[to], n, by);
  }
}

/* Any other part, one variant after the other; `same`: one for all, and all its lanes are so far. */
static bool add_others(const sy_plan_part *t, const double *const *value, size_t n, bool same, size_t lanes,
                       sums *s) {
  double *at[SY_BALANCE_LANES], v[SY_PLAN_MOST_INPUTS];
  for (size_t k = 0; k < lanes && !same; k++) spread(s, (int)t->lane[k], n);
  for (size_t i = 0; i < (same ? 1 : n); i++) {
    for (size_t f = 0; f < t->axes; f++) v[t->axis[f].factor.input] = value[t->axis[f].factor.input][i];
    for (size_t k = 0; k < lanes; k++) at[k] = same ? &s->sum[t->lane[k]].same : &s->room[t->lane[k]][i];
    if (!sy_plan_add_lanes(t, v, lanes, at)) return false;
  }
  return true;
}

static bool make_sums(const sy_plan *p, const double *const *value, size_t n, bool uncertain, uint32_t wanted,
                      const kernels *use, sums *s) {
  for (uint32_t k = 0; k < SY_BALANCE_LANES; k++)
    s->sum[k] = (sy_lane_sum){NULL, p->first[sy_plan_lane_number(k)]};
  for (size_t i = 0; i < p->count; i++) {
    const sy_plan_part *t = &p->part[i];
    const size_t lanes = uncertain ? t->lanes : t->sums;
    bool same = true, spread_out = false;
    for (size_t f = 0; f < t->axes; f++) same = same && all_equal(value[t->axis[f].factor.input], n);
    for (size_t k = 0; k < lanes; k++) spread_out = spread_out || s->sum[t->lane[k]].at != NULL;
    if (t->is_power)
      add_powers(t, value[t->axis[0].factor.input], n, same, lanes, wanted, use, s);
    else if (!add_others(t, value, n, same && !spread_out, lanes, s))
      return false;
  }
  return true;
}

/* ---- answers -------------------------------------------------------------------------------------------------------------------- */

typedef struct range {
  double low, high;
} range;

static range range_of(const sy_lane_sum *s, size_t n, const kernels *use) {
  range r = {s->same, s->same};
  if (s->at != NULL) use->range(s->at, n, &r.low, &r.high);
  return r;
}

/* Can one of these loads be as small as rounding leaves? */
static bool may_vanish(const double c[4], const range r[4]) {
  double middle = 0.0, half = 0.0, size = 0.0;
  for (int k = 0; k < 4; k++) {
    middle += c[k] * 0.5 * (r[k].low + r[k].high);
    half += fabs(c[k]) * 0.5 * (r[k].high - r[k].low);
    size += fabs(c[k]) * fmax(fabs(r[k].low), fabs(r[k].high));
  }
  return !(fabs(middle) - half > 1e-12 * size);
}

/* Where some variants have nothing aboard: NaN in place of what the lanes had. */
static void leave_out(const sy_lane_sum *mass, size_t n, double *out) {
  for (size_t i = 0; i < n; i++)
    if (!((mass->at != NULL ? mass->at[i] : mass->same) > 0.0)) out[i] = (double)NAN;
}

/* The answers of a run, and where they go. */
typedef struct going {
  sy_lane_answer answer[SY_MOST_ASKED];
  double *out[SY_MOST_ASKED];
  sy_summary *summary[SY_MOST_ASKED];
  bool stream[SY_MOST_ASKED], summed;
} going;

/* Those that go somewhere; how many. */
static size_t gather(const sy_lane_answer *answer, const size_t *which, size_t answers, const range r[4],
                     const sy_plan_into *into, going *g) {
  size_t n = 0;
  g->summed = false;
  for (size_t o = 0; o < answers; o++) {
    double *const out = into->column[which[o]];
    sy_summary *const summary = into->summary != NULL ? into->summary[which[o]] : NULL;
    if (out == NULL && summary == NULL) continue;
    g->answer[n] = answer[o];
    g->answer[n].clamps = answer[o].clamps && may_vanish(answer[o].c, r);
    g->out[n] = out;
    g->stream[n] = into->stream && !g->answer[n].clamps && out != NULL && ((uintptr_t)out & 63u) == 0;
    g->summed = g->summed || summary != NULL;
    g->summary[n++] = summary;
  }
  return n;
}

/* Some variants have nothing aboard. */
static void answer_with_gaps(const going *g, size_t answers, const sums *s, size_t count, uint64_t first,
                             const kernels *use) {
  static const bool never = false;
  double room[SY_BALANCE_CHUNK];
  for (size_t k = 0; k < answers; k++) {
    double *const to = g->out[k] != NULL ? g->out[k] : room;
    use->run(&g->answer[k], 1, s->sum, count, &to, &never, NULL);
    leave_out(&s->sum[0], count, to);
    if (g->summary[k] != NULL) sy_summary_add(g->summary[k], to, count, first);
  }
}

static void answer_all(const going *g, size_t answers, const sums *s, size_t count, uint64_t first,
                       const kernels *use) {
  sy_reduced r[SY_MOST_ASKED];
  use->run(g->answer, answers, s->sum, count, g->out, g->stream, g->summed ? r : NULL);
  for (size_t k = 0; k < answers; k++)
    if (g->summary[k] != NULL) sy_summary_add_reduced(g->summary[k], &r[k], count, first, NULL, NULL);
}

bool sy_plan_balance(const sy_plan *p, const double *const *value, size_t count, const sy_lane_answer *answer,
                     const size_t *which, size_t answers, const sy_plan_into *into) {
  const kernels use = of_level(p->level);
  sums s;
  going g;
  bool uncertain = false, clamps = false;
  for (size_t o = 0; o < answers; o++) {
    uncertain = uncertain || (into->sd != NULL && into->sd[which[o]] != NULL);
    clamps = clamps || answer[o].clamps;
  }
  if (!make_sums(p, value, count, uncertain, sums_of_answers(answer, answers), &use, &s)) return false;
  range r[4];
  for (int k = 0; k < (clamps ? 4 : 1); k++) r[k] = range_of(&s.sum[k], count, &use);
  const bool gaps = !(r[0].low > 0.0);
  const size_t going_out = gather(answer, which, answers, r, into, &g);
  (gaps ? answer_with_gaps : answer_all)(&g, going_out, &s, count, into->first, &use);
  for (size_t o = 0; uncertain && o < answers; o++) {
    double *const deviation = into->sd[which[o]];
    if (deviation == NULL) continue;
    use.sd(&answer[o], s.sum, count, deviation);
    if (gaps) leave_out(&s.sum[0], count, deviation);
  }
  return true;
}

/* May the answer follow where wheels stand? Of each way in which they may. */
static bool by_places(const sy_balance *b, const sy_plan_output *output) {
  const sy_answer_row *row = output->row;
  bool any = row->by_stated == NULL;
  for (int field = SY_STATED_AT; field <= SY_STATED_HALF_TRACK && !any; field++)
    for (int i = 0; i < b->map.wheel_count && !any; i++) {
      const sy_stated one = {.field = (sy_stated_field)field, .at = 1u << i, .sd = 1};
      double by = 0.0;
      any = !row->by_stated(b, row->at + output->index, &one, &by) || by != 0.0;
    }
  return any;
}

bool sy_plan_has_sd(const sy_plan *p, const sy_plan_output *output) {
  sy_balance b;
  sy_sensitivity now, drawn;
  if (p->set != sy_balance_answers() || output->row->by_sums == NULL ||
      sy_balance_make(&p->base.now, &p->base.car.vehicle, &p->base.car.map, &b, NULL) != SY_OK)
    return false;
  if (p->base.places_err && by_places(&b, output)) return false;
  now = drawn = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
  output->row->by_sums(&b, output->row->at + output->index, &now, &drawn);
  return now.flat && now.carriers == SY_ALL_CARRIERS;
}

bool sy_plan_lane_sd(const sy_plan *p, const sy_balance *b, const sy_plan_output *output,
                     const sy_lane_answer *answer) {
  const sy_answer_row *row = output->row;
  const double measured = sqrt(p->base.cross_cov[4]);
  const sy_stated cross = {.field = SY_STATED_CROSS_SHARE,
                           .sd = isnan(p->base.cross_sd) ? measured : p->base.cross_sd};
  double by = 0.0;
  if (answer->kind > SY_LANE_MEAN || !sy_plan_has_sd(p, output)) return false;
  if (!(cross.sd > 0.0) || row->by_stated == NULL) return true;
  if (p->follows.places) return false; /* tracks may become unlike */
  row->by_stated(b, row->at + output->index, &cross, &by);
  const double effect = fabs(by) * cross.sd * fabs(output->scale),
               size = fabs(output->scale * row->value(b, row->at + output->index));
  return effect <= 1e-13 * size; /* rounding of even places: the cross weight moves nothing of it */
}
