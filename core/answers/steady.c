#include "answers/steady.h"

#include <math.h>

#include "answers/stand.h"

sy_status sy_steady_make(const sy_car *car, const sy_totals *now, const sy_totals *drawn, bool air,
                         sy_steady *out, sy_error *err) {
  const sy_status status = sy_stand_model(car, drawn, &out->corner, err);
  if (status != SY_OK) return status;
  out->now = *now;
  out->car = (sy_settle_car){&out->corner,      &out->now,  air ? car->setting.downforce : NULL,
                             car->setting.bars, car->tanks, car->brake_front_share};
  return SY_OK;
}

sy_status sy_steady_stand(const sy_steady *steady, const sy_sums *lies, sy_vec3 gravity,
                          sy_settled_transfer *out, sy_error *err) {
  if (lies == NULL) return sy_settle_transfer(&steady->car, gravity, out, err);
  sy_totals now = steady->now;
  sy_settle_car frozen = steady->car;
  sy_settle_add(&now, lies);
  frozen.now = &now;
  frozen.tanks.count = 0;
  const sy_status status = sy_settle_transfer(&frozen, gravity, out, err);
  if (status == SY_OK) out->moved = *lies;
  return status;
}

/* The equilibrium at s; false when it does not stand there. */
static bool stands_at(const sy_steady *steady, const sy_transfer_path *path, double s, const sy_sums *lies,
                      sy_settled_transfer *out) {
  return sy_steady_stand(steady, lies, sy_transfer_gravity(path, s), out, NULL) == SY_OK;
}

static bool same_contact(const sy_steady *steady, const sy_corner_result *a, const sy_corner_result *b) {
  for (int i = 0; i < steady->corner.wheel_count; i++)
    if (a->fits[i].touches != b->fits[i].touches || a->fits[i].stop != b->fits[i].stop ||
        sy_wheel_on_bump_stop(&steady->corner.vehicle.wheel[i], a->travel[i]) !=
            sy_wheel_on_bump_stop(&steady->corner.vehicle.wheel[i], b->travel[i]))
      return false;
  return true;
}

/* How far before a limit its load is looked at, by it: as far as the last wheel that lifts or stops before it allows, but farther than
** any step that ask.c takes. */
static const double far = 1e-3, near = 1e-4, at_limit = 1e-5;

static bool end_at(const sy_steady *steady, const sy_transfer_path *path, double part,
                   const sy_corner_result *last, sy_ending *e) {
  sy_settled_transfer lower, there;
  e->before = e->limit * (1.0 - part);
  const double below = e->before * (1.0 - part);
  if (!stands_at(steady, path, e->before, NULL, &there) || !stands_at(steady, path, below, NULL, &lower))
    return false;
  e->load = there.stand.load[e->wheel];
  e->fall = (lower.stand.load[e->wheel] - e->load) / (e->before - below);
  e->lies = there.moved;
  return last == NULL || same_contact(steady, last, &lower.stand);
}

sy_ending sy_ending_make(const sy_steady *steady, const sy_transfer_path *path, double limit, int wheel) {
  sy_ending e = {limit,       limit * (1.0 - far), wheel, {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}},
                 (double)NAN, (double)NAN};
  sy_settled_transfer last;
  if (wheel < 0 || !(limit > 0.0)) return e;
  const bool known = stands_at(steady, path, limit * (1.0 - at_limit), NULL, &last);
  if (!end_at(steady, path, far, known ? &last.stand : NULL, &e)) end_at(steady, path, near, NULL, &e);
  return e;
}

sy_ending sy_ending_of_other(const sy_ending *ending, const sy_steady *steady, const sy_transfer_path *path,
                             bool runs) {
  sy_ending e = *ending;
  sy_settled_transfer there;
  const bool stands = e.wheel >= 0 && stands_at(steady, path, e.before, runs ? NULL : &ending->lies, &there);
  e.load = stands ? there.stand.load[e.wheel] : (double)NAN;
  return e;
}
