#include "answers/stand.h"

#include "base/finite.h"
#include "base/units.h"

sy_status sy_stand_model(const sy_car *car, const sy_totals *drawn, sy_corner_model *out, sy_error *err) {
  const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};
  sy_totals t = *drawn;
  sy_corner_load load;
  double loads[SY_MAX_WHEELS];
  if (car->tanks.count > 0) sy_settle_add(&t, &car->drawn_liquid);
  const double q[4] = {t.all.m, t.all.first.x, t.all.first.y, t.all.first.z};
  sy_loadmap_apply(&car->map, q, loads);
  const sy_status status = sy_corner_load_of(&t, &car->vehicle, level, &load, err);
  return status == SY_OK ? sy_corner_make(&car->vehicle, &load, loads, out, err) : status;
}

sy_status sy_stand_solve(const sy_car *car, const sy_totals *now, const sy_totals *drawn, const sy_sums *lies,
                         sy_stand *out, sy_error *err) {
  const sy_vec3 gravity = sy_car_gravity(car);
  sy_corner_model model;
  sy_settled settled;
  sy_totals lying = *now;
  sy_settle_tanks tanks = car->tanks;
  if (lies != NULL) {
    sy_settle_add(&lying, lies);
    tanks.count = 0;
  }
  sy_status status = sy_stand_model(car, drawn, &model, err);
  if (status == SY_OK)
    status = sy_settle_corner(&model, &lying, &tanks, gravity, &car->setting, &settled, err);
  if (status != SY_OK) return status;
  const sy_sums moved = lies != NULL ? *lies : settled.moved;
  sy_sums both[2] = {sy_sums_add(&now->all, &moved), moved};
  if (now->carriers & 1u) both[1] = sy_sums_add(&now->carried[SY_CARRIER_BODY], &moved);
  status = sy_finite_results(&both[0].m, 2 * (sizeof(sy_sums) / sizeof(double)), "vehicle", "mass", err);
  if (status != SY_OK) return status;
  /* one by one: a whole stand beside would be zeroed and copied, 9 kB each */
  out->model = model;
  out->now = *now;
  out->gravity = gravity;
  out->setting = car->setting;
  out->load = settled.load;
  out->sums = both[0], out->sprung = both[1], out->moved = moved;
  out->result = settled.stand;
  return SY_OK;
}

sy_status sy_stand_make(const sy_car *car, sy_stand *out, sy_error *err) {
  sy_totals now, drawn;
  sy_ledger_sums(car->now, &now);
  if (car->drawn != car->now) sy_ledger_sums(car->drawn, &drawn);
  return sy_stand_solve(car, &now, car->drawn != car->now ? &drawn : &now, NULL, out, err);
}

sy_status sy_stand_sensitivities(const sy_stand *s, sy_corner_sensitivities *out, sy_error *err) {
  return sy_corner_sensitivity(&s->model, &s->setting, &s->result, out, err);
}

double sy_stand_cg_rise(const sy_stand *stand) {
  const sy_vehicle *v = &stand->model.vehicle;
  const sy_corner_result *r = &stand->result;
  const sy_sums *s = &stand->sprung;
  const double last = v->axle[v->axle_count - 1].x, length = sy_vehicle_wheelbase(v);
  const double front = (s->second.xy - last * s->first.y) / length; /* kg m of y at the first axle */
  double up = r->pose[0] * s->m - r->pose[1] * s->first.x;          /* kg m */
  up += r->pose[2] * front + r->pose[3] * (s->first.y - front);
  for (int i = 0; i < stand->model.wheel_count; i++)
    up += stand->load.wheel[i] / -stand->gravity.z * (r->height[i] + r->travel[i]);
  return (up + stand->moved.first.z) / stand->sums.m;
}
