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

/* The car with its liquid where `lies` says; `now` are the sums it then has. */
static sy_settle_car freeze(const sy_steady *steady, const sy_sums *lies, sy_totals *now) {
  sy_settle_car frozen = steady->car;
  *now = steady->now;
  sy_settle_add(now, lies);
  frozen.now = now;
  frozen.tanks.count = 0;
  return frozen;
}

sy_status sy_steady_stand(const sy_steady *steady, const sy_sums *lies, sy_vec3 gravity,
                          sy_settled_transfer *out, sy_error *err) {
  if (lies == NULL) return sy_settle_transfer(&steady->car, gravity, out, err);
  sy_totals now;
  const sy_settle_car frozen = freeze(steady, lies, &now);
  const sy_status status = sy_settle_transfer(&frozen, gravity, out, err);
  if (status == SY_OK) out->moved = *lies;
  return status;
}

/* Where it stands at a place of a path, with the liquid there. */
typedef struct place {
  sy_corner_result stand;
  sy_sums moved;
} place;

/* The equilibrium at s; false when it does not stand there. */
static bool stands_at(const sy_steady *steady, const sy_transfer_path *path, double s, const sy_sums *lies,
                      place *out) {
  const sy_vec3 gravity = sy_transfer_gravity(path, s);
  if (lies == NULL) return sy_settle_stand(&steady->car, gravity, &out->stand, &out->moved, NULL) == SY_OK;
  sy_totals now;
  const sy_settle_car frozen = freeze(steady, lies, &now);
  if (sy_settle_stand(&frozen, gravity, &out->stand, &out->moved, NULL) != SY_OK) return false;
  out->moved = *lies;
  return true;
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
  place lower, there;
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
  place last;
  if (wheel < 0 || !(limit > 0.0)) return e;
  const bool known = stands_at(steady, path, limit * (1.0 - at_limit), NULL, &last);
  if (!end_at(steady, path, far, known ? &last.stand : NULL, &e)) end_at(steady, path, near, NULL, &e);
  return e;
}

sy_ending sy_ending_of_other(const sy_ending *ending, const sy_steady *steady, const sy_transfer_path *path,
                             bool runs) {
  sy_ending e = *ending;
  place there;
  const bool stands = e.wheel >= 0 && stands_at(steady, path, e.before, runs ? NULL : &ending->lies, &there);
  e.load = stands ? there.stand.load[e.wheel] : (double)NAN;
  return e;
}
