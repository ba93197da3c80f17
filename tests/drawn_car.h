/* drawn_car.h - the corner model of a vehicle whose drawn state has these totals. */
#ifndef SY_TESTS_DRAWN_CAR_H
#define SY_TESTS_DRAWN_CAR_H

#include "base/units.h"
#include "near.h"
#include "statics/corner.h"
#include "statics/equilibrium.h"

static inline sy_status try_corner_of(const sy_vehicle *v, const sy_totals *t, sy_corner_model *out,
                                      sy_error *err) {
  const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};
  sy_loadmap map;
  sy_corner_load load;
  double drawn[SY_MAX_WHEELS];
  const double q[4] = {t->all.m, t->all.first.x, t->all.first.y, t->all.first.z};
  const sy_status status = sy_loadmap_make(v, level, &map, err);
  if (status != SY_OK) return status;
  sy_loadmap_apply(&map, q, drawn);
  if (sy_corner_load_of(t, v, level, &load, err) != SY_OK) fail_msg("%s", err->message);
  return sy_corner_make(v, &load, drawn, out, err);
}

static inline sy_corner_model corner_of(const sy_vehicle *v, const sy_totals *t) {
  sy_error err;
  sy_corner_model m;
  if (try_corner_of(v, t, &m, &err) != SY_OK) fail_msg("%s: %s", err.field, err.message);
  return m;
}

#endif
