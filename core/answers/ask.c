#include "answers/ask.h"

#include <math.h>
#include <string.h>

#include "mass/propagate.h"

/* ---- what is asked ---------------------------------------------------------------------------------------------------------- */

/* No two units of anything differ by more; an answer times this is a number. */
#define MOST_SCALE 1e12

static sy_status check_asked(const sy_answer_set *set, const sy_car *car, const sy_asked *asked, int count,
                             sy_error *err) {
  if (count < 0 || count > SY_MOST_ASKED)
    return sy_fail(err, SY_LIMIT, set->name, "count", "is %d, must be 0 to %d", count, (int)SY_MOST_ASKED);
  const sy_status status = sy_car_check(car, err);
  if (status != SY_OK) return status;
  for (int i = 0; i < count; i++) {
    const sy_asked *a = &asked[i];
    if (a->row < 0 || a->row >= set->rows || a->index < 0 ||
        a->index >= sy_answer_row_count(&set->row[a->row], &car->vehicle))
      return sy_fail(err, SY_UNKNOWN, set->name, "asked", "row %d, index %d is not an answer about this car",
                     a->row, a->index);
    if (!(fabs(a->scale) <= MOST_SCALE))
      return sy_fail(err, SY_RANGE, set->name, "scale", "is %g, must be at most %g", a->scale, MOST_SCALE);
  }
  return SY_OK;
}

/* ---- one car ---------------------------------------------------------------------------------------------------------------- */

/* A car whose answers are solved, with what is asked of it. */
typedef struct solved {
  const sy_answer_set *set;
  const sy_car *car;
  const sy_asked *asked;
  int count;
  sy_totals now, drawn;
  const void *room; /* the solved state: the one below, or the caller's */
  sy_answer_state state;
} solved;

static const sy_answer_row *row_of(const solved *s, int i) { return &s->set->row[s->asked[i].row]; }

static int at_of(const solved *s, int i) { return row_of(s, i)->at + s->asked[i].index; }

static double value_of(const solved *s, int i) { return row_of(s, i)->value(s->room, at_of(s, i)); }

static void take(const sy_answer_set *set, const sy_car *car, const sy_asked *asked, int count,
                 const void *state, solved *out) {
  out->set = set, out->car = car, out->asked = asked, out->count = count, out->room = state;
  sy_ledger_sums(car->now, &out->now);
  if (set->on_drawn && car->drawn != car->now)
    sy_ledger_sums(car->drawn, &out->drawn);
  else
    out->drawn = out->now;
}

static sy_status solve(const sy_answer_set *set, const sy_car *car, const sy_asked *asked, int count,
                       solved *out, sy_error *err) {
  take(set, car, asked, count, out->state.room, out);
  return set->solve(car, &out->now, &out->drawn, NULL, true, out->state.room, err);
}

/* ---- differences: what has no closed form ------------------------------------------------------------------------------------- */

/* kg, kg m or kg m^2. Answers are smooth, and exact to about 1e-12 of themselves: both errors of a central difference stay far below
** those of the uncertainty itself. */
static const double step = 1e-3;

/* Of a standard uncertainty. A whole one would leave its square, and where it changes which wheel lifts first, on one side only, most of
** the effect would cancel. */
static const double part = 1e-3;

/* One of the ten sums more by that, of the whole and of what the body carries. */
static void shift_sum(sy_totals *t, int which, double by) {
  static const sy_sums nothing;
  sy_sums *sums[2] = {&t->all, &t->carried[SY_CARRIER_BODY]};
  if (!(t->carriers & 1u)) *sums[1] = nothing;
  t->carriers |= 1u;
  for (int k = 0; k < 2; k++) {
    sy_sums *s = sums[k];
    double *const at[SY_SUMS] = {&s->m,         &s->first.x,   &s->first.y,   &s->first.z,   &s->second.xy,
                                 &s->second.xz, &s->second.xx, &s->second.yz, &s->second.yy, &s->second.zz};
    *at[which] += by;
  }
}

static void put_sensitivity(sy_sensitivity *s, int which, double by) {
  double *const at[SY_SUMS] = {&s->m,         &s->first.x,   &s->first.y,   &s->first.z,   &s->second.xy,
                               &s->second.xz, &s->second.xx, &s->second.yz, &s->second.yy, &s->second.zz};
  const bool mixed = which == 4 || which == 5 || which == 7; /* counts twice: sums.h */
  *at[which] = mixed ? 0.5 * by : by;
}

/* The answers that are differenced, in another state of the car; false when it does not stand there. */
static bool differenced(const solved *s, const sy_car *car, const sy_totals *now, const sy_totals *drawn,
                        bool runs, const bool *wanted, double *out) {
  sy_answer_state other;
  if (s->set->solve(car, now, drawn, s->room, runs, other.room, NULL) != SY_OK) return false;
  for (int i = 0; i < s->count; i++) {
    const sy_answer_row *row = row_of(s, i);
    if (wanted[i]) out[i] = (row->near != NULL ? row->near : row->value)(other.room, at_of(s, i));
  }
  return true;
}

/* From what was differenced to the answer: of a limit the load falls to nothing sooner. */
static double per_answer(const solved *s, int i, double by) {
  const sy_answer_row *row = row_of(s, i);
  return row->fall != NULL ? by / row->fall(s->room, at_of(s, i)) : by;
}

typedef enum ledger_of { BOTH, NOW, DRAWN } ledger_of;

/* Sensitivities to the sums of one of the ledgers, or of both when they are one, of the wanted answers. */
static void difference_sums(const solved *s, ledger_of which, const bool *wanted, sy_sensitivity *out) {
  const unsigned flat_sums = SY_SUM_M | SY_SUM_X | SY_SUM_Y | SY_SUM_Z;
  const bool flat = (s->set->sums & ~flat_sums) == 0;
  for (int i = 0; i < s->count; i++)
    if (wanted[i]) out[i] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = flat};
  for (int k = 0; k < SY_SUMS; k++) {
    if (!(s->set->sums >> k & 1u)) continue;
    double v[2][SY_MOST_ASKED];
    bool good = true;
    for (int side = 0; side < 2; side++) {
      sy_totals now = s->now, drawn = s->drawn;
      if (which != DRAWN) shift_sum(&now, k, side == 0 ? step : -step);
      if (which != NOW) shift_sum(&drawn, k, side == 0 ? step : -step);
      good = good && differenced(s, s->car, &now, &drawn, false, wanted, v[side]);
    }
    for (int i = 0; i < s->count; i++)
      if (wanted[i])
        put_sensitivity(&out[i], k,
                        good ? per_answer(s, i, (v[0][i] - v[1][i]) / (2.0 * step)) : (double)NAN);
  }
}

/* What one standard uncertainty of a stated number does to each answer. */
static void stated_effects(const solved *s, const sy_stated *stated, double *effect) {
  bool wanted[SY_MOST_ASKED], any = false;
  for (int i = 0; i < s->count; i++) {
    const sy_answer_row *row = row_of(s, i);
    double by = 0.0;
    wanted[i] = row->by_stated == NULL || !row->by_stated(s->room, at_of(s, i), stated, &by);
    effect[i] = by * stated->sd;
    any = any || wanted[i];
  }
  if (!any || !(s->set->fields >> stated->field & 1u)) return;
  double v[2][SY_MOST_ASKED];
  bool good = true;
  for (int side = 0; side < 2; side++) {
    sy_car other;
    good = good &&
           sy_car_step(s->car, stated, (side == 0 ? part : -part) * stated->sd, &other, NULL) == SY_OK &&
           differenced(s, &other, &s->now, &s->drawn, true, wanted, v[side]);
  }
  for (int i = 0; i < s->count; i++)
    if (wanted[i]) effect[i] = good ? per_answer(s, i, 0.5 * (v[0][i] - v[1][i]) / part) : (double)NAN;
}

/* ---- sensitivities to the ledgers ----------------------------------------------------------------------------------------------- */

typedef struct by_ledgers {
  sy_sensitivity now[SY_MOST_ASKED], drawn[SY_MOST_ASKED];
} by_ledgers;

static void sensitivities(const solved *s, by_ledgers *out) {
  bool wanted[SY_MOST_ASKED], any = false;
  const bool one = !s->set->on_drawn || s->car->now == s->car->drawn;
  for (int i = 0; i < s->count; i++) {
    const sy_answer_row *row = row_of(s, i);
    out->now[i] = out->drawn[i] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
    wanted[i] = row->by_sums == NULL;
    any = any || wanted[i];
    if (!wanted[i]) row->by_sums(s->room, at_of(s, i), &out->now[i], &out->drawn[i]);
  }
  if (!any) return;
  difference_sums(s, one ? BOTH : NOW, wanted, out->now);
  if (!one) difference_sums(s, DRAWN, wanted, out->drawn);
}

/* ---- terms ------------------------------------------------------------------------------------------------------------------------ */

/* Stated numbers of one car that err with readings of its records: two an axle and two a wheel (sy_car_check). */
enum { MOST_READ = SY_MOST_READ_ERRORS / 2, MOST_CAR_TERMS = 4 + MOST_READ };
_Static_assert(MOST_READ >= 2 * (SY_MAX_AXLES + SY_MAX_WHEELS), "the places of all axles and wheels");

/* A car's ledgers with what one unit of their sums does to the answers asked, as terms of the propagation. */
typedef struct car_terms {
  by_ledgers by;
  sy_sensitivity beside[SY_MOST_ASKED], at[SY_MOST_ASKED];
  double read[MOST_READ][SY_MOST_ASKED];
  sy_term term
      [MOST_CAR_TERMS]; /* drawn, now, two of the one cross weight that may be measured, and `reads` of places */
  size_t count, reads;
} car_terms;

static void add_term(car_terms *t, const sy_ledger *of, double sign, const sy_sensitivity *by) {
  t->term[t->count] = (sy_term){.ledger = of, .sign = sign, .by = by};
  t->count++;
}

static size_t stated_of(const sy_car *car) { return car->stated != NULL ? car->stated_count : 0; }

/* Is its error one that goes with what the records read, and not by itself? */
static bool is_of_records(const sy_car *car, const sy_stated *stated) {
  return sy_stated_measured(stated) || sy_car_stated_read(car, stated);
}

static sy_sensitivity times(double by, const sy_sensitivity *g) {
  return (sy_sensitivity){by * g->m, sy_vec3_scale(by, g->first), sy_sym3_scale(by, g->second), g->carriers,
                          g->flat};
}

static sy_sensitivity sum_of(const sy_sensitivity *a, const sy_sensitivity *b) {
  return (sy_sensitivity){a->m + b->m, sy_vec3_add(a->first, b->first), sy_sym3_add(a->second, b->second),
                          a->carriers, a->flat && b->flat};
}

/* Of a cross weight that was read; NULL without one. */
static const sy_stated *measured_cross(const sy_car *car) {
  for (size_t k = 0; k < stated_of(car); k++)
    if (sy_stated_measured(&car->stated[k])) return &car->stated[k];
  return NULL;
}

/* What one standard uncertainty of a stated number does, also by way of a cross weight that was worked out from one that was read. */
static void whole_effects(const solved *s, const sy_stated *stated, double *effect) {
  const double by = sy_beside_by_stated(s->car->beside, stated) * stated->sd;
  const sy_stated *cross = by != 0 ? measured_cross(s->car) : NULL;
  double by_cross[SY_MOST_ASKED];
  stated_effects(s, stated, effect);
  if (cross == NULL) return;
  stated_effects(s, cross, by_cross);
  for (int i = 0; i < s->count; i++) effect[i] += by * by_cross[i] / cross->sd;
}

/* A cross weight as measured has no error of its own: it errs as the readings do, and as the ledgers it was worked out from. */
static void add_measured(const solved *s, const sy_stated *stated, double sign, car_terms *out) {
  double effect[SY_MOST_ASKED];
  const sy_beside *beside = s->car->beside;
  stated_effects(s, stated, effect);
  for (int i = 0; i < s->count; i++) {
    const double by = effect[i] / stated->sd;
    out->beside[i] = (sy_sensitivity){
        .m = beside != NULL ? by * beside->by_measured : by, .carriers = SY_ALL_CARRIERS, .flat = true};
    if (beside == NULL || beside->at == NULL) continue;
    const sy_sensitivity drawn = times(by, &beside->by_drawn);
    out->at[i] = times(by, &beside->by_at);
    out->by.drawn[i] = sum_of(&out->by.drawn[i], &drawn);
  }
  add_term(out, NULL, sign, out->beside);
  if (beside != NULL && beside->at != NULL) add_term(out, beside->at, sign, out->at);
}

/* Where axles stand: the records were taken there too. */
static void add_read(const solved *s, const sy_stated *stated, double sign, car_terms *out) {
  double *by = out->read[out->reads];
  bool any = false;
  if (!(s->set->fields >> stated->field & 1u)) return;
  whole_effects(s, stated, by);
  for (int i = 0; i < s->count; i++) {
    by[i] /= stated->sd;
    any = any || by[i] != 0; /* a NaN too */
  }
  if (!any) return;
  out->reads++;
  out->term[out->count++] = (sy_term){.sign = sign, .error = stated->error, .by_error = by};
}

static void terms_of(const solved *s, double sign, car_terms *out) {
  sensitivities(s, &out->by);
  out->count = out->reads = 0;
  if (s->set->on_drawn) add_term(out, s->car->drawn, sign, out->by.drawn);
  add_term(out, s->car->now, sign, out->by.now);
  const sy_stated *cross = measured_cross(s->car);
  if (cross != NULL) add_measured(s, cross, sign, out);
  for (size_t k = 0; k < stated_of(s->car) && out->reads < MOST_READ; k++)
    if (sy_car_stated_read(s->car, &s->car->stated[k])) add_read(s, &s->car->stated[k], sign, out);
}

/* Answer i with the other sign. */
static void turn_round(car_terms *t, int i) {
  for (size_t k = 0; k < t->count; k++) {
    if (t->term[k].by == NULL) continue;
    sy_sensitivity *by = (sy_sensitivity *)(uintptr_t)&t->term[k].by[i]; /* one of the arrays of `t` */
    *by = times(-1.0, by);
  }
  for (size_t k = 0; k < t->reads; k++) t->read[k][i] = -t->read[k][i];
}

/* ---- sets whose answers have errors of their own ------------------------------------------------------------------------------------ */

static const sy_found *found_of(const solved *s, int i) { return s->set->found(s->room, at_of(s, i)); }

static double own_variance(const solved *s, int i) {
  return sy_found_covariance(found_of(s, i), found_of(s, i));
}

/* ---- asking ------------------------------------------------------------------------------------------------------------------------- */

static double shown_sd(const solved *s, int i, double variance) {
  const sy_answer_row *row = row_of(s, i);
  const double value = value_of(s, i), sd = sqrt(fmax(variance, 0.0) + 0.0 * variance); /* NaN stays */
  if (isnan(value)) return (double)NAN;
  const double rounding = s->set->rounding != NULL ? s->set->rounding(row, value) : 0.0;
  return sd <= rounding ? 0.0 : fabs(s->asked[i].scale) * sd;
}

static void add_squares(double *variance, const double *effect, int count) {
  for (int i = 0; i < count; i++) variance[i] += effect[i] * effect[i];
}

static sy_status variances(const solved *s, double *variance, sy_error *err) {
  double effect[SY_MOST_ASKED];
  car_terms t;
  for (int i = 0; i < s->count && s->set->found != NULL; i++) variance[i] = own_variance(s, i);
  if (s->set->found != NULL) return SY_OK;
  terms_of(s, 1.0, &t);
  const sy_status status = sy_propagate_variance(t.term, t.count, (size_t)s->count, NULL, variance, err);
  for (size_t k = 0; k < stated_of(s->car) && status == SY_OK; k++) {
    if (is_of_records(s->car, &s->car->stated[k])) continue;
    whole_effects(s, &s->car->stated[k], effect);
    add_squares(variance, effect, s->count);
  }
  return status;
}

static sy_status values(const solved *s, double *value, double *sd, sy_error *err) {
  double variance[SY_MOST_ASKED] = {0};
  const sy_status status = sd != NULL ? variances(s, variance, err) : SY_OK;
  if (status != SY_OK) return status;
  for (int i = 0; i < s->count; i++) {
    value[i] = s->asked[i].scale * value_of(s, i);
    if (sd != NULL) sd[i] = shown_sd(s, i, variance[i]);
  }
  return SY_OK;
}

sy_status sy_answers_ask(const sy_answer_set *set, const sy_car *car, const sy_asked *asked, int count,
                         double *value, double *sd, sy_error *err) {
  solved s;
  sy_status status = check_asked(set, car, asked, count, err);
  if (status == SY_OK) status = solve(set, car, asked, count, &s, err);
  return status == SY_OK ? values(&s, value, sd, err) : status;
}

sy_status sy_answers_ask_solved(const sy_answer_set *set, const sy_car *car, const void *state,
                                const sy_asked *asked, int count, double *value, double *sd, sy_error *err) {
  solved s;
  const sy_status status = check_asked(set, car, asked, count, err);
  if (status != SY_OK) return status;
  take(set, car, asked, count, state, &s);
  return values(&s, value, sd, err);
}

static sy_status covariances(const solved *s, double *covariance, sy_error *err) {
  double effect[SY_MOST_ASKED];
  const int count = s->count;
  car_terms t;
  for (int i = 0; i < count && s->set->found != NULL; i++)
    for (int j = 0; j < count; j++)
      covariance[i * count + j] = sy_found_covariance(found_of(s, i), found_of(s, j));
  if (s->set->found != NULL) return SY_OK;
  terms_of(s, 1.0, &t);
  const sy_status status = sy_propagate_covariance(t.term, t.count, (size_t)count, NULL, covariance, err);
  for (size_t k = 0; k < stated_of(s->car) && status == SY_OK; k++) {
    if (is_of_records(s->car, &s->car->stated[k])) continue;
    whole_effects(s, &s->car->stated[k], effect);
    for (int i = 0; i < count; i++)
      for (int j = 0; j < count; j++) covariance[i * count + j] += effect[i] * effect[j];
  }
  return status;
}

sy_status sy_answers_covariance(const sy_answer_set *set, const sy_car *car, const sy_asked *asked, int count,
                                double *covariance, sy_error *err) {
  double found[SY_MOST_ASKED * SY_MOST_ASKED] = {0};
  solved s;
  sy_status status = check_asked(set, car, asked, count, err);
  if (status == SY_OK) status = solve(set, car, asked, count, &s, err);
  if (status == SY_OK) status = covariances(&s, found, err);
  if (status != SY_OK) return status;
  for (int i = 0; i < count; i++)
    for (int j = 0; j < count; j++) {
      const bool known = !isnan(value_of(&s, i)) && !isnan(value_of(&s, j));
      covariance[i * count + j] =
          known ? asked[i].scale * asked[j].scale * found[i * count + j] : (double)NAN;
    }
  return SY_OK;
}

/* ---- between two sets ----------------------------------------------------------------------------------------------------------------- */

/* Room for one set's terms as terms of the answers of both. */
typedef struct widened {
  sy_sensitivity by[4][SY_MOST_ASKED];
  double read[MOST_READ][SY_MOST_ASKED];
} widened;

/* What the set does not answer rests on nothing. */
static void widen(const car_terms *of, int first, int count, int both, widened *w, sy_term *out) {
  size_t ledgers = 0, reads = 0;
  for (size_t k = 0; k < of->count; k++) {
    out[k] = of->term[k];
    if (of->term[k].by == NULL) {
      double *by = w->read[reads++];
      for (int i = 0; i < both; i++) by[i] = 0.0;
      for (int i = 0; i < count; i++) by[first + i] = of->term[k].by_error[i];
      out[k].by_error = by;
      continue;
    }
    sy_sensitivity *by = w->by[ledgers++];
    for (int i = 0; i < both; i++) by[i] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
    for (int i = 0; i < count; i++) by[first + i] = of->term[k].by[i];
    out[k].by = by;
  }
}

static sy_status between(const solved *a, const solved *b, double *out, sy_error *err) {
  const int both = a->count + b->count;
  car_terms terms[2];
  widened wide[2];
  sy_term all[2 * MOST_CAR_TERMS];
  double joint[SY_MOST_ASKED * SY_MOST_ASKED], effect[2][SY_MOST_ASKED];
  terms_of(a, 1.0, &terms[0]);
  terms_of(b, 1.0, &terms[1]);
  widen(&terms[0], 0, a->count, both, &wide[0], all);
  widen(&terms[1], a->count, b->count, both, &wide[1], all + terms[0].count);
  const sy_status status =
      sy_propagate_covariance(all, terms[0].count + terms[1].count, (size_t)both, NULL, joint, err);
  if (status != SY_OK) return status;
  for (int i = 0; i < a->count; i++)
    for (int j = 0; j < b->count; j++) out[i * b->count + j] = joint[i * both + a->count + j];
  for (size_t k = 0; k < stated_of(a->car); k++) {
    if (is_of_records(a->car, &a->car->stated[k])) continue;
    whole_effects(a, &a->car->stated[k], effect[0]);
    whole_effects(b, &b->car->stated[k], effect[1]);
    for (int i = 0; i < a->count; i++)
      for (int j = 0; j < b->count; j++) out[i * b->count + j] += effect[0][i] * effect[1][j];
  }
  return SY_OK;
}

sy_status sy_answers_between(const sy_car *car, sy_question a, sy_question b, double *covariance,
                             sy_error *err) {
  double found[SY_MOST_ASKED * SY_MOST_ASKED / 4] = {0};
  solved s[2];
  sy_status status = check_asked(a.set, car, a.asked, a.count, err);
  if (status == SY_OK) status = check_asked(b.set, car, b.asked, b.count, err);
  if (status != SY_OK) return status;
  if (a.count + b.count > SY_MOST_ASKED)
    return sy_fail(err, SY_LIMIT, "answers", "count", "are %d and %d, at most %d are possible", a.count,
                   b.count, (int)SY_MOST_ASKED);
  if (a.set->found != NULL || b.set->found != NULL)
    return sy_fail(err, SY_UNKNOWN, "answers", NULL, "have errors of their own");
  status = solve(a.set, car, a.asked, a.count, &s[0], err);
  if (status == SY_OK) status = solve(b.set, car, b.asked, b.count, &s[1], err);
  if (status == SY_OK) status = between(&s[0], &s[1], found, err);
  if (status != SY_OK) return status;
  for (int i = 0; i < a.count; i++)
    for (int j = 0; j < b.count; j++) {
      const bool known = !isnan(value_of(&s[0], i)) && !isnan(value_of(&s[1], j));
      covariance[i * b.count + j] =
          known ? a.asked[i].scale * b.asked[j].scale * found[i * b.count + j] : (double)NAN;
    }
  return SY_OK;
}

/* ---- to first order --------------------------------------------------------------------------------------------------------------- */

static void write_linear(const solved *s, sy_sensitivity *by_now, sy_sensitivity *by_drawn,
                         double *by_stated) {
  double effect[SY_MOST_ASKED];
  by_ledgers by;
  sensitivities(s, &by);
  for (int i = 0; i < s->count; i++) {
    by_now[i] = times(s->asked[i].scale, &by.now[i]);
    if (s->set->on_drawn) by_drawn[i] = times(s->asked[i].scale, &by.drawn[i]);
  }
  for (size_t k = 0; k < stated_of(s->car); k++) {
    const sy_stated *stated = &s->car->stated[k];
    stated_effects(s, stated, effect);
    for (int i = 0; i < s->count; i++)
      by_stated[(size_t)i * stated_of(s->car) + k] = s->asked[i].scale * effect[i] / stated->sd;
  }
}

sy_status sy_answers_linear(const sy_answer_set *set, const sy_car *car, const sy_totals *now,
                            const sy_totals *drawn, const sy_asked *asked, int count, double *value,
                            sy_sensitivity *by_now, sy_sensitivity *by_drawn, double *by_stated,
                            sy_error *err) {
  solved s;
  sy_status status = check_asked(set, car, asked, count, err);
  if (status != SY_OK) return status;
  take(set, car, asked, count, s.state.room, &s);
  if (now != NULL) s.now = *now;
  if (drawn != NULL || now != NULL) s.drawn = set->on_drawn && drawn != NULL ? *drawn : s.now;
  status = set->solve(car, &s.now, &s.drawn, NULL, true, s.state.room, err);
  if (status != SY_OK) return status;
  for (int i = 0; i < count; i++) {
    value[i] = asked[i].scale * value_of(&s, i);
    by_now[i] = by_drawn[i] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
  }
  for (size_t k = 0; k < (size_t)count * stated_of(car); k++) by_stated[k] = 0.0;
  if (set->found == NULL) write_linear(&s, by_now, by_drawn, by_stated);
  return SY_OK;
}

/* ---- a change ----------------------------------------------------------------------------------------------------------------------- */

static const sy_stated *same_in(const sy_car *car, const sy_stated *stated, const sy_car *other) {
  for (size_t k = 0; k < stated_of(other); k++)
    if (sy_same_stated(car, stated, other, &other->stated[k])) return &other->stated[k];
  return NULL;
}

/* Stated numbers: those of both cars are counted once, with the difference of what they do. */
static void add_stated_change(const solved *from, const solved *to, const double *sign, double *variance) {
  double effect[SY_MOST_ASKED] = {0}, before[SY_MOST_ASKED] = {0};
  for (size_t k = 0; k < stated_of(to->car); k++) {
    const sy_stated *stated = &to->car->stated[k], *same = same_in(to->car, stated, from->car);
    if (is_of_records(to->car, stated)) continue;
    whole_effects(to, stated, effect);
    if (same != NULL && !is_of_records(from->car, same)) {
      whole_effects(from, same, before);
      for (int i = 0; i < to->count; i++) effect[i] += sign[i] * before[i];
    }
    add_squares(variance, effect, to->count);
  }
  for (size_t k = 0; k < stated_of(from->car); k++) {
    const sy_stated *stated = &from->car->stated[k];
    if (is_of_records(from->car, stated) || same_in(from->car, stated, to->car) != NULL) continue;
    whole_effects(from, stated, effect);
    add_squares(variance, effect, to->count);
  }
}

static sy_status change_variance(const solved *from, const solved *to, const double *sign,
                                 const sy_pairing *pairing, double *variance, sy_error *err) {
  car_terms a, b;
  sy_term all[2 * MOST_CAR_TERMS];
  size_t n = 0;
  for (int i = 0; i < to->count && to->set->found != NULL; i++)
    variance[i] = sy_found_change_variance(found_of(from, i), found_of(to, i), sign[i]);
  if (to->set->found != NULL) return SY_OK;
  terms_of(from, -1.0, &a);
  for (int i = 0; i < from->count; i++)
    if (sign[i] > 0.0) turn_round(&a, i);
  terms_of(to, 1.0, &b);
  for (size_t k = 0; k < a.count; k++) all[n++] = a.term[k];
  for (size_t k = 0; k < b.count; k++) all[n++] = b.term[k];
  const sy_status status = sy_propagate_variance(all, n, (size_t)to->count, pairing, variance, err);
  if (status == SY_OK) add_stated_change(from, to, sign, variance);
  return status;
}

sy_status sy_answers_change(const sy_answer_set *set, const sy_car *from, const sy_asked *asked_from,
                            const sy_car *to, const sy_asked *asked_to, int count, const sy_pairing *pairing,
                            double *change, double *sd, double *value, sy_error *err) {
  double sign[SY_MOST_ASKED] = {0}, variance[SY_MOST_ASKED] = {0};
  solved a, b;
  sy_status status = check_asked(set, from, asked_from, count, err);
  if (status == SY_OK) status = check_asked(set, to, asked_to, count, err);
  for (int i = 0; i < count && status == SY_OK; i++) {
    if (fabs(asked_from[i].scale) != fabs(asked_to[i].scale))
      status = sy_fail(err, SY_CLASH, set->name, "scale", "is %g in one car and %g in the other",
                       asked_from[i].scale, asked_to[i].scale);
    sign[i] = asked_from[i].scale == asked_to[i].scale ? -1.0 : 1.0; /* shown in opposite directions */
  }
  if (status == SY_OK) status = solve(set, from, asked_from, count, &a, err);
  if (status == SY_OK) status = solve(set, to, asked_to, count, &b, err);
  if (status == SY_OK && sd != NULL) status = change_variance(&a, &b, sign, pairing, variance, err);
  if (status != SY_OK) return status;
  for (int i = 0; i < count && sd != NULL; i++)
    sd[i] = isnan(value_of(&a, i)) ? (double)NAN : shown_sd(&b, i, variance[i]);
  for (int i = 0; i < count; i++)
    change[i] = asked_to[i].scale * value_of(&b, i) - asked_from[i].scale * value_of(&a, i);
  for (int i = 0; i < count && value != NULL; i++) value[i] = asked_to[i].scale * value_of(&b, i);
  return SY_OK;
}
