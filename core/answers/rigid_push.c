#include "answers/rigid_push.h"

#include <math.h>

#include "base/units.h"

static const double G = SY_STANDARD_GRAVITY;

/* The point where weight, air and the force together meet the ground must lie within the wheels. */
static sy_status check_stands(const sy_car *car, const sy_totals *t, sy_error *err) {
  double force = t->all.m * G;
  for (int a = 0; a < car->vehicle.axle_count; a++) force += car->setting.downforce[a];
  if (!(force > 0.0))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "downforce",
                   "is so much lift that wheels carry nothing more: it would tip");
  const sy_vec3 cg = sy_stability_pressed(
      &car->vehicle, t->all.m, sy_vec3_scale(1.0 / t->all.m, t->all.first), car->setting.downforce);
  const double x = cg.x + cg.z * car->forward, y = cg.y + cg.z * car->left;
  if (sy_stability_reach(&car->vehicle, x, y, 1, 0).distance < 0.0)
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "lies outside the wheels: it would tip");
  return SY_OK;
}

/* Three wheels carry what balance gives them. */
static sy_status three_wheels(const sy_car *car, const sy_totals *now, const sy_totals *t, sy_rigid_push *r,
                              sy_error *err) {
  const sy_vehicle *v = &car->vehicle;
  sy_loadmap map;
  const sy_vec3 gravity = {car->forward * G, car->left * G, -G};
  const double was[4] = {now->all.m, now->all.first.x, now->all.first.y, now->all.first.z};
  const double is[4] = {t->all.m, t->all.first.x, t->all.first.y, t->all.first.z};
  const sy_status status = sy_loadmap_make(v, gravity, &map, err);
  if (status != SY_OK) return status;
  sy_loadmap_apply(&car->map, was, r->rest);
  sy_loadmap_apply(&map, is, r->loaded);
  r->pitch_gain = r->across = 0.0;
  for (int i = 0; i < map.wheel_count; i++) {
    const sy_contact *w = &map.wheel[i];
    const double part = v->axle[w->axle].wheels == 1 ? 1.0 : sy_vehicle_lever(v, w->axle, w->side);
    const double gain = r->loaded[i] - r->rest[i];
    if (w->axle == 0) r->pitch_gain += gain;
    r->across += 0.5 * gain * w->side * (car->left > 0.0 ? 1.0 : -1.0);
    r->loaded[i] += car->setting.downforce[w->axle] * part;
  }
  return SY_OK;
}

static double mean_track(const sy_vehicle *v) {
  double sum = 0.0;
  int count = 0;
  for (int a = 0; a < v->axle_count; a++) {
    if (v->axle[a].wheels == 1) continue;
    sum += sy_vehicle_track(v, a);
    count++;
  }
  return sum / count;
}

static void whole_axles(const sy_car *car, const sy_totals *t, sy_rigid_push *r) {
  const sy_vehicle *v = &car->vehicle;
  const double up = t->all.first.z, side = car->left > 0.0 ? 1.0 : -1.0;
  for (int i = 0; i < SY_MAX_WHEELS; i++) r->rest[i] = r->loaded[i] = (double)NAN;
  r->pitch_gain = v->axle_count == 2
                      ? G * (r->lies.first.x + car->forward * up) / (v->axle[0].x - v->axle[1].x)
                      : (double)NAN;
  r->across = side * G * (r->lies.first.y + car->left * up) / mean_track(v);
}

/* Along the car it goes over an axle line; liquid as it lies under the force. */
static double tips_along(const sy_car *car, const sy_totals *t) {
  const sy_vec3 cg = sy_stability_pressed(
      &car->vehicle, t->all.m, sy_vec3_scale(1.0 / t->all.m, t->all.first), car->setting.downforce);
  return sy_stability_reach(&car->vehicle, cg.x, cg.y, car->forward > 0.0 ? 1.0 : -1.0, 0.0).distance / cg.z;
}

sy_status sy_rigid_push_make(const sy_car *car, const sy_totals *now, const sy_rigid_push *was,
                             sy_rigid_push *out, sy_error *err) {
  sy_rigid_push r = {.turn = {.lift = (double)NAN, .tips = (double)NAN, .wheel = -1}};
  sy_totals t = *now;
  sy_status status = SY_OK;
  if (!(now->all.m > 0.0)) return sy_fail(err, SY_MISSING, "vehicle", "mass", "nothing aboard has a mass");
  if (was != NULL)
    r.lies = was->lies;
  else if (car->tanks.count > 0)
    status = sy_settle_moved(&car->tanks, &car->vehicle, (sy_vec3){car->forward * G, car->left * G, -G}, NULL,
                             &r.lies, err);
  if (status != SY_OK) return status;
  sy_settle_add(&t, &r.lies);
  status = check_stands(car, &t, err);
  if (status != SY_OK) return status;
  if (car->map.split == SY_SPLIT_DETERMINATE)
    status = three_wheels(car, now, &t, &r, err);
  else
    whole_axles(car, &t, &r);
  if (car->left == 0.0) r.across = (double)NAN;
  if (status == SY_OK && car->left != 0.0)
    status = sy_rigid_turn_make(car, now, was != NULL ? &was->turn : NULL, &r.turn, err);
  else if (car->forward != 0.0)
    r.turn.tips = tips_along(car, &t);
  if (status == SY_OK) *out = r;
  return status;
}
