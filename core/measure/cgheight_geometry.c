#include "measure/cgheight_geometry.h"

static double *place_of(sy_lift_car *car, sy_lift_hold *hold, int what) {
  if (what == CGHEIGHT_WHEELBASE) return &car->wheelbase;
  if (what < CGHEIGHT_FRONT_POINT_X) return &car->radius[what - CGHEIGHT_FRONT_RADIUS];
  if ((what - CGHEIGHT_FRONT_POINT_X) / 2 != (int)hold->lifted) return NULL;
  return (what - CGHEIGHT_FRONT_POINT_X) % 2 == 0 ? &hold->x : &hold->z;
}

/* By differences over a thousandth of the wheelbase: loads and tilts are smooth on the scale of the vehicle, and errors are small. */
static sy_status linearise_reading(cgheight_problem *p, const double *x, size_t i, int what, sy_error *err) {
  const sy_cgheight_reading *r = &p->session->reading[i];
  const double step = p->car.wheelbase * 1e-3;
  const size_t group = cgheight_group(p, i);
  const sy_lift_body body = {cgheight_mass_of(p, x), cgheight_level_of(p, x, group, SY_LIFT_FRONT), x[0],
                             r->shift};
  const sy_lift_loads loads = cgheight_seen_loads(p, i);
  double tilt[2] = {0, 0}, load[2] = {0, 0};
  for (int k = 0; k < 2; k++) {
    sy_lift_car car = p->car;
    sy_lift_hold hold = cgheight_hold(p, i);
    double *place = place_of(&car, &hold, what);
    sy_lift_load found;
    if (place == NULL) return SY_OK;
    *place += k == 0 ? step : -step;
    sy_status status = SY_OK;
    if (!p->session->by_angle) status = sy_lift_tilt(&car, &hold, r->lift, &loads, &tilt[k], NULL, err);
    if (status == SY_OK)
      status = sy_lift_front_load(&car, &hold, &body, cgheight_tilt_of(p, x, i), &found, err);
    if (status != SY_OK) return status;
    load[k] = found.front;
  }
  p->tilt_by[i][what] = (tilt[0] - tilt[1]) / (2 * step);
  p->load_by[i][what] = (load[0] - load[1]) / (2 * step);
  return SY_OK;
}

sy_status cgheight_linearise(cgheight_problem *p, const double *x, sy_error *err) {
  for (size_t i = 0; i < p->session->count; i++)
    for (int what = 0; what < CGHEIGHT_GEOMETRY; what++) {
      p->tilt_by[i][what] = p->load_by[i][what] = 0;
      if (p->geometry[what] == CGHEIGHT_NONE || !(p->session->reading[i].lift > 0)) continue;
      const sy_status status = linearise_reading(p, x, i, what, err);
      if (status != SY_OK) return status;
    }
  return SY_OK;
}
