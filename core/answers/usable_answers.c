#include "answers/usable_answers.h"

#include <math.h>

#include "answers/found_set.h"

static sy_status below(const sy_tank *tank, double part, sy_vec3 at, sy_vec3 up, double *out, sy_error *err) {
  sy_liquid w;
  const sy_status status = sy_tank_below(tank, at, up, &w, err);
  if (status == SY_OK) *out = w.volume * part;
  return status;
}

sy_status sy_unusable_find(const sy_tank *tank, double part, sy_vec3 pick_up, sy_vec3 up,
                           const sy_pick_up_error *error, size_t count, sy_found *out, sy_error *err) {
  sy_found f = sy_found_of((double)NAN);
  if (count > 3) return sy_fail(err, SY_LIMIT, "tank", "pick_up", "has %zu coordinates, not three", count);
  if (!(part >= 0.0 && part <= SY_MOST_ERROR))
    return sy_fail(err, SY_RANGE, "tank", "part", "is %g, must be 0 or more", part);
  sy_status status = below(tank, part, pick_up, up, &f.value, err);
  for (size_t i = 0; i < count && status == SY_OK; i++) {
    const sy_pick_up_error *e = &error[i];
    double high = 0.0, low = 0.0;
    if (!isfinite(e->value) || !(e->sd >= 0.0 && e->sd <= SY_MOST_ERROR))
      return sy_fail(err, SY_RANGE, "tank", "pick_up", "has the uncertainty %g of %g", e->sd, e->value);
    if (e->sd == 0.0) continue;
    status = below(tank, part, sy_vec3_add(pick_up, e->move), up, &high, err);
    if (status == SY_OK) status = below(tank, part, sy_vec3_sub(pick_up, e->move), up, &low, err);
    sy_found_add(&f, e->key, e->value, e->sd, 0.5 * (high - low));
  }
  if (status == SY_OK) *out = f;
  return status;
}

sy_found sy_usable_find(const sy_found *fill, const sy_found *unusable) {
  sy_found f = sy_found_of(0.0);
  if (fill->value <= unusable->value) return f;
  f = *fill;
  f.value -= unusable->value;
  for (int i = 0; i < unusable->errors; i++) {
    const sy_own_error *e = &unusable->error[i];
    sy_found_add(&f, e->key, e->value, e->sd, -e->effect);
  }
  return f;
}

static sy_status solve(const sy_car *car, const sy_totals *now, const sy_totals *drawn, const void *base,
                       bool runs, void *state, sy_error *err) {
  (void)now, (void)drawn, (void)base, (void)runs, (void)err;
  *(sy_found *)state = car->usable != NULL ? *car->usable : sy_found_of((double)NAN);
  return SY_OK;
}

static const sy_answer_row rows[] = {SY_FOUND_ROW("volume", 0, SY_UNIT_METRE_3)};

const sy_answer_set *sy_usable_answers(void) {
  static const sy_answer_set set = {.name = "usable",
                                    .row = rows,
                                    .rows = sizeof rows / sizeof *rows,
                                    .solve = solve,
                                    .found = sy_found_in};
  return &set;
}
