#include "study/pack_cars.h"

#include <math.h>
#include <string.h>

#include "answers/corner_answers.h"

/* kg, and kg m at arms of some metres: sums are whole numbers of far less. */
#define SAME_MASS 1e-9

sy_status sy_pack_car_make(const sy_car *car, sy_pack_car *out, sy_error *err) {
  const sy_status status = sy_car_check(car, err);
  if (status != SY_OK) return status;
  memset(out, 0, sizeof *out);
  out->car = car;
  sy_ledger_sums(car->now, &out->now);
  sy_ledger_sums(car->drawn, &out->drawn);
  return SY_OK;
}

static sy_status check_slot(int slot, sy_error *err) {
  if (slot >= 0 && slot < SY_PACK_SLOTS) return SY_OK;
  return sy_fail(err, SY_RANGE, "slots", "slot", "is %d, must be 0 to %d", slot, SY_PACK_SLOTS - 1);
}

sy_status sy_pack_car_at(sy_pack_car *car, int slot, sy_vec3 place, int carrier, sy_error *err) {
  const sy_status status = check_slot(slot, err);
  if (status != SY_OK) return status;
  if (carrier < 0 || carrier >= SY_CARRIER_COUNT)
    return sy_fail(err, SY_RANGE, "slots", "carrier", "is %d, must be 0 to %d", carrier,
                   SY_CARRIER_COUNT - 1);
  if (!(isfinite(place.x) && isfinite(place.y) && isfinite(place.z)))
    return sy_fail(err, SY_RANGE, "slots", "place", "is not finite");
  const sy_massprops body = {1.0, place, {0, 0, 0, 0, 0, 0}};
  sy_totals *const unit = &car->unit[slot];
  memset(unit, 0, sizeof *unit);
  unit->all = sy_sums_of(&body);
  unit->carried[carrier] = unit->all;
  unit->carriers = 1u << carrier;
  return SY_OK;
}

static sy_sums per_kg(const sy_sums *with, const sy_sums *without, double kg) {
  const sy_sums less = sy_sums_scale(-1.0, without), more = sy_sums_add(with, &less);
  return sy_sums_scale(1.0 / kg, &more);
}

static const sy_sums *carried(const sy_totals *t, int carrier) {
  static const sy_sums nothing;
  return (t->carriers >> carrier & 1u) != 0 ? &t->carried[carrier] : &nothing;
}

sy_status sy_pack_car_with(sy_pack_car *car, int slot, const sy_ledger *with, double kg, sy_error *err) {
  sy_totals more, unit;
  const sy_status status = check_slot(slot, err);
  if (status != SY_OK) return status;
  if (!(kg > 0.0 && kg <= SY_PACK_MOST))
    return sy_fail(err, SY_RANGE, "slots", "kg", "is %g, must be above 0 and at most %g", kg, SY_PACK_MOST);
  sy_ledger_sums(with, &more);
  memset(&unit, 0, sizeof unit);
  unit.all = per_kg(&more.all, &car->now.all, kg);
  if (fabs(unit.all.m) * kg <= SAME_MASS)
    return sy_fail(err, SY_MISSING, "slots", NULL, "slot %d lies in what is not aboard", slot + 1);
  if (!(fabs(unit.all.m - 1.0) * kg <= SAME_MASS))
    return sy_fail(err, SY_CLASH, "slots", NULL, "slot %d adds %g kg where it holds %g", slot + 1,
                   unit.all.m * kg, kg);
  for (int i = 0; i < SY_CARRIER_COUNT; i++) {
    if (((more.carriers | car->now.carriers) >> i & 1u) == 0) continue;
    unit.carried[i] = per_kg(carried(&more, i), carried(&car->now, i), kg);
    unit.carriers |= 1u << i;
  }
  car->unit[slot] = unit;
  return SY_OK;
}

sy_status sy_pack_cars_check(const sy_pack_cars *cars, sy_error *err) {
  if (cars->slots < 1 || cars->slots > SY_PACK_SLOTS || cars->answers < 1 || cars->answers > SY_PACK_ROWS)
    return sy_fail(err, SY_LIMIT, "slots", NULL, "are %d with %d rows, must be 1 to %d with 1 to %d",
                   cars->slots, cars->answers, (int)SY_PACK_SLOTS, (int)SY_PACK_ROWS);
  for (int r = 0; r < cars->answers; r++) {
    const sy_pack_answer *a = &cars->answer[r];
    if (a->car < 0 || a->car >= cars->cars)
      return sy_fail(err, SY_UNKNOWN, "rows", "car", "of row %d is %d of %d", r + 1, a->car + 1, cars->cars);
    if (a->asked.row < 0 || a->asked.row >= a->set->rows || a->asked.index < 0 ||
        a->asked.index >= sy_answer_row_count(&a->set->row[a->asked.row], &cars->car[a->car].car->vehicle))
      return sy_fail(err, SY_UNKNOWN, "rows", "asked",
                     "of row %d: row %d, index %d is not an answer about this car", r + 1, a->asked.row,
                     a->asked.index);
  }
  return SY_OK;
}

/* ---- rows ---------------------------------------------------------------------------------------------------------------------------------- */

static void add_scaled(sy_sums *to, double kg, const sy_sums *unit) {
  const sy_sums more = sy_sums_scale(kg, unit);
  *to = sy_sums_add(to, &more);
}

static void load(const sy_pack_car *car, int slots, const double *mass, sy_totals *out) {
  static const sy_sums nothing;
  *out = car->now;
  for (int k = 0; k < slots; k++) {
    const sy_totals *unit = &car->unit[k];
    if (mass[k] == 0.0) continue; /* the car's own sums, to the bit */
    add_scaled(&out->all, mass[k], &unit->all);
    for (int i = 0; i < SY_CARRIER_COUNT; i++) {
      if ((unit->carriers >> i & 1u) == 0) continue;
      if ((out->carriers >> i & 1u) == 0) out->carried[i] = nothing;
      out->carriers |= 1u << i;
      add_scaled(&out->carried[i], mass[k], &unit->carried[i]);
    }
  }
}

/* A set that is solved beside another state leaves out its sensitivities, which nobody asks here; of these sets that state is not read where
** liquid runs. */
static const void *beside_nothing(const sy_answer_set *set, const sy_answer_state *none) {
  return set == sy_corner_answers() || set == sy_attitude_answers() ? none : NULL;
}

/* Answers with the sums, for these rows of the set alone where it can do with less for them. */
static bool stands(const sy_answer_set *set, const sy_pack_car *car, const sy_totals *now, uint64_t asked,
                   sy_answer_state *state) {
  if (set->solve_rows != NULL)
    return set->solve_rows(car->car, now, &car->drawn, asked, state->room, NULL) == SY_OK;
  static const sy_answer_state none;
  return set->solve(car->car, now, &car->drawn, beside_nothing(set, &none), true, state->room, NULL) == SY_OK;
}

static bool is_of(const sy_pack_answer *a, const sy_pack_answer *of) {
  return a->car == of->car && a->set == of->set;
}

/* All wanted rows of the car and set that row `first` is of. */
static void solve(const sy_pack_cars *c, int first, const double *mass, const bool *wanted, bool *done,
                  double *value) {
  const sy_pack_answer *of = &c->answer[first];
  const sy_pack_car *car = &c->car[of->car];
  sy_totals now;
  sy_answer_state state;
  uint64_t asked = 0;
  for (int r = first; r < c->answers && of->set->solve_rows != NULL; r++)
    if (wanted[r] && is_of(&c->answer[r], of)) asked |= UINT64_C(1) << c->answer[r].asked.row;
  load(car, c->slots, mass, &now);
  const bool known = stands(of->set, car, &now, asked, &state);
  for (int r = first; r < c->answers; r++) {
    const sy_pack_answer *a = &c->answer[r];
    if (done[r] || !wanted[r] || !is_of(a, of)) continue;
    const sy_answer_row *row = &a->set->row[a->asked.row];
    value[r] =
        known ? a->asked.scale * row->value(state.room, row->at + a->asked.index) + a->offset : (double)NAN;
    done[r] = true;
  }
}

sy_status sy_pack_cars_values(void *user, const double *mass, const bool *wanted, double *value) {
  const sy_pack_cars *c = user;
  bool done[SY_PACK_ROWS] = {false};
  for (int r = 0; r < c->answers; r++)
    if (wanted[r] && !done[r]) solve(c, r, mass, wanted, done, value);
  return SY_OK;
}
