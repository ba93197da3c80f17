#include "study/plan_balance.h"

#include <math.h>
#include <string.h>

#include "answers/balance_answers.h"
#include "base/lanes.h"

/* ---- which kernel ----------------------------------------------------------------------------------------------------------- */

typedef struct kernels {
  sy_add_powers_lanes *add;
  sy_balance_lanes *run;
  sy_balance_sd_lanes *sd;
} kernels;

/* level: of which build, 0 for the best. */
static kernels of_level(int level) {
#ifdef __x86_64__
  if (level == 4 || (level == 0 && sy_lanes_level(4)))
    return (kernels){sy_add_powers_lanes_v4, sy_balance_lanes_v4, sy_balance_sd_lanes_v4};
  if (level == 3 || (level == 0 && sy_lanes_level(3)))
    return (kernels){sy_add_powers_lanes_v3, sy_balance_lanes_v3, sy_balance_sd_lanes_v3};
#endif
  (void)level;
  return (kernels){sy_add_powers_lanes_v1, sy_balance_lanes_v1, sy_balance_sd_lanes_v1};
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

static bool all_equal(const double *v, size_t n) {
  for (size_t i = 1; i < n; i++)
    if (v[i] != v[0]) return false;
  return true;
}

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

static void add_powers(const sy_plan_part *t, const double *value, size_t n, bool same, size_t lanes,
                       const kernels *use, sums *s) {
  _Alignas(64) double padded[PADDED];
  if (!same) {
    memcpy(padded, value, n * sizeof *padded);
    for (size_t i = n; i < n + 8; i++) padded[i] = value[n - 1];
  }
  for (size_t k = 0; k < lanes; k++) {
    const int to = (int)t->lane[k];
    if (!same) {
      use->add(spread(s, to, n), padded, n, t->middle, t->by, t->power[k], t->powers[k]);
      continue;
    }
    const double by = powers_at(t, k, value[0]);
    if (s->sum[to].at == NULL)
      s->sum[to].same += by;
    else
      for (size_t i = 0; i < n; i++) s->room[to][i] += by;
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

static bool make_sums(const sy_plan *p, const double *const *value, size_t n, bool uncertain,
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
      add_powers(t, value[t->axis[0].factor.input], n, same, lanes, use, s);
    else if (!add_others(t, value, n, same && !spread_out, lanes, s))
      return false;
  }
  return true;
}

/* ---- answers -------------------------------------------------------------------------------------------------------------------- */

typedef struct range {
  double low, high;
} range;

static range range_of(const sy_lane_sum *s, size_t n) {
  range r = {s->same, s->same};
  if (s->at == NULL) return r;
  r.low = r.high = s->at[0];
  for (size_t i = 1; i < n; i++) {
    r.low = s->at[i] < r.low ? s->at[i] : r.low;
    r.high = s->at[i] > r.high ? s->at[i] : r.high;
  }
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

bool sy_plan_balance(const sy_plan *p, const double *const *value, size_t count, const sy_lane_answer *answer,
                     const size_t *which, size_t answers, double *const *column, double *const *sd,
                     bool stream) {
  const kernels use = of_level(p->level);
  sums s;
  bool uncertain = false;
  for (size_t o = 0; o < answers && sd != NULL; o++) uncertain = uncertain || sd[which[o]] != NULL;
  if (!make_sums(p, value, count, uncertain, &use, &s)) return false;
  range r[4];
  for (int k = 0; k < 4; k++) r[k] = range_of(&s.sum[k], count);
  for (size_t o = 0; o < answers; o++) {
    sy_lane_answer w = answer[o];
    double *const out = column[which[o]];
    w.clamps = w.clamps && may_vanish(w.c, r);
    use.run(&w, s.sum, count, out, stream && !w.clamps && ((uintptr_t)out & 63u) == 0);
    double *const deviation = sd != NULL ? sd[which[o]] : NULL;
    if (deviation != NULL) use.sd(&answer[o], s.sum, count, deviation);
    for (size_t i = 0; i < count && !(r[0].low > 0.0); i++) { /* nothing aboard */
      if ((s.sum[0].at != NULL ? s.sum[0].at[i] : s.sum[0].same) > 0.0) continue;
      out[i] = (double)NAN;
      if (deviation != NULL) deviation[i] = (double)NAN;
    }
  }
  return true;
}

bool sy_plan_has_sd(const sy_plan *p, const sy_plan_output *output) {
  sy_balance b;
  sy_sensitivity now, drawn;
  if (p->set != sy_balance_answers() || output->row->by_sums == NULL || isnan(p->base.cross_sd) ||
      sy_balance_make(&p->base.now, &p->base.car.vehicle, &p->base.car.map, &b, NULL) != SY_OK)
    return false;
  now = drawn = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
  output->row->by_sums(&b, output->row->at + output->index, &now, &drawn);
  return now.flat && now.carriers == SY_ALL_CARRIERS;
}

bool sy_plan_lane_sd(const sy_plan *p, const sy_balance *b, const sy_plan_output *output,
                     const sy_lane_answer *answer) {
  const sy_answer_row *row = output->row;
  const sy_stated cross = {SY_STATED_CROSS_SHARE, 0, p->base.cross_sd, 0};
  double by = 0.0;
  if (answer->kind > SY_LANE_MEAN || !sy_plan_has_sd(p, output)) return false;
  if (!(cross.sd > 0.0) || row->by_stated == NULL) return true;
  if (p->follows.places) return false; /* tracks may become unlike */
  row->by_stated(b, row->at + output->index, &cross, &by);
  const double effect = fabs(by) * cross.sd * fabs(output->scale),
               size = fabs(output->scale * row->value(b, row->at + output->index));
  return effect <= 1e-13 * size; /* rounding of even places: the cross weight moves nothing of it */
}
