#include "statics/trial.h"

void sy_trial_at(const sy_trial *t, double distance, sy_trial_result *out) {
  const sy_vec3 d = sy_vec3_scale(distance, t->direction);
  const sy_vec3 first = sy_vec3_muladd(t->car.first, t->item_mass, d);
  const double sxx = t->car.second.xx + (2.0 * t->item_first.x + t->item_mass * d.x) * d.x;
  const double syy = t->car.second.yy + (2.0 * t->item_first.y + t->item_mass * d.y) * d.y;
  out->mass = t->car.m;
  out->cg = sy_vec3_scale(1.0 / t->car.m, first);
  out->yaw_inertia = sxx + syy - (first.x * out->cg.x + first.y * out->cg.y);
  const double q[4] = {t->car.m, first.x, first.y, first.z};
  sy_loadmap_apply(t->map, q, out->load);
}
