#include "answers/gap_answers.h"

#include <math.h>

#include "answers/found_set.h"

static void add_place(const sy_placed *thing, sy_vec3 way, sy_found *out) {
  const double along[3] = {way.x, way.y, way.z}, at[3] = {thing->at.x, thing->at.y, thing->at.z},
               sd[3] = {thing->sd.x, thing->sd.y, thing->sd.z};
  for (int i = 0; i < 3; i++)
    if (along[i] != 0.0) sy_found_add(out, thing->key + (uint64_t)i, at[i], sd[i], along[i] * sd[i]);
}

sy_found sy_gap_find(double gap, const sy_placed *a, sy_vec3 p, const sy_placed *b, sy_vec3 q) {
  sy_found f = sy_found_of(gap);
  const sy_vec3 way = sy_vec3_sub(q, p);
  const double length = sy_vec3_length(way);
  if (!(length > 0.0) || (b != NULL && a->key == b->key)) return f;
  add_place(a, sy_vec3_scale(-1.0 / length, way), &f);
  if (b != NULL) add_place(b, sy_vec3_scale(1.0 / length, way), &f);
  return f;
}

static sy_status solve(const sy_car *car, const sy_totals *now, const sy_totals *drawn, const void *base,
                       bool runs, void *state, sy_error *err) {
  (void)now, (void)drawn, (void)base, (void)runs, (void)err;
  sy_found *tightest = state;
  double least = (double)INFINITY;
  *tightest = sy_found_of((double)NAN);
  for (size_t i = 0; i < car->gap_count; i++) {
    const double kept = car->gap[i].gap.value - car->gap[i].asked;
    if (!(kept < least)) continue;
    least = kept;
    *tightest = car->gap[i].gap;
  }
  return SY_OK;
}

static const sy_answer_row rows[] = {SY_FOUND_ROW("tightest", 0, SY_UNIT_METRE)};

const sy_answer_set *sy_gap_answers(void) {
  static const sy_answer_set set = {.name = "clearances",
                                    .row = rows,
                                    .rows = sizeof rows / sizeof *rows,
                                    .solve = solve,
                                    .found = sy_found_in};
  return &set;
}
