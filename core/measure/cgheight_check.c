#include "measure/cgheight_check.h"

#include <math.h>

#include "base/text.h"
#include "base/units.h"

static bool is_read(const sy_cgheight_reading *r, int end) { return !isnan(r->load[end]); }

/* Larger ones have squares that are not numbers. */
static bool good_sd(double sd) { return sd >= 0 && sd <= 1e6; }

static sy_status check_reading(const sy_cgheight_session *s, size_t i, sy_error *err) {
  const sy_cgheight_reading *r = &s->reading[i];
  char part[8 + SY_TEXT_DOUBLE] = "reading ";
  sy_text_from_double((double)i + 1, part + 8);
  if (r->run >= s->runs)
    return sy_fail(err, SY_RANGE, part, "run", "is number %zu of %zu", r->run + 1, s->runs);
  if (r->lifted != SY_LIFT_FRONT && r->lifted != SY_LIFT_REAR)
    return sy_fail(err, SY_RANGE, part, "lifted", "is %d, must be the front or the rear end", (int)r->lifted);
  if (!(r->lift >= 0 && isfinite(r->lift)))
    return sy_fail(err, SY_RANGE, part, "lift", "is %g, must be >= 0", r->lift);
  if (s->by_angle && r->lift >= SY_PI / 2)
    return sy_fail(err, SY_RANGE, part, "angle", "is %g rad, must be below a right angle", r->lift);
  if (!good_sd(r->lift_sd))
    return sy_fail(err, SY_RANGE, part, "lift", "has an sd of %g, must be >= 0", r->lift_sd);
  if (r->blocks != 0 && (s->by_angle || !(r->lift > 0)))
    return sy_fail(err, SY_RANGE, part, "blocks", "belong to a lift above 0 in mm");
  if (!isfinite(r->shift)) return sy_fail(err, SY_RANGE, part, "shift", "is not finite");
  if (!is_read(r, 0) && !is_read(r, 1)) return sy_fail(err, SY_MISSING, part, "load", "no axle was read");
  for (int end = 0; end < 2; end++) {
    if (!is_read(r, end)) continue;
    const char *field = end == SY_LIFT_FRONT ? "front" : "rear";
    if (!isfinite(r->load[end])) return sy_fail(err, SY_RANGE, part, field, "is not finite");
    if (!(r->load_sd[end] > 0 && isfinite(r->load_sd[end])))
      return sy_fail(err, SY_RANGE, part, field, "has an sd of %g kg, must be > 0", r->load_sd[end]);
    if (!(r->step_sd[end] >= 0 && r->step_sd[end] <= r->load_sd[end]))
      return sy_fail(err, SY_RANGE, part, field, "has a step's sd of %g kg, must be within the load's %g",
                     r->step_sd[end], r->load_sd[end]);
  }
  return SY_OK;
}

sy_status cgheight_check(const sy_cgheight_session *s, sy_error *err) {
  if (s->count > SY_CGHEIGHT_MOST_READINGS || s->runs > SY_CGHEIGHT_MOST_RUNS)
    return sy_fail(err, SY_LIMIT, "session", "readings", "are more than %d in %d runs",
                   (int)SY_CGHEIGHT_MOST_READINGS, (int)SY_CGHEIGHT_MOST_RUNS);
  if (s->on_plane && (!s->by_angle || s->by_body))
    return sy_fail(err, SY_GEOMETRY, "session", "plane", "takes the angle of the plane as the lift");
  if (s->on_plane && (s->car.compliance[0] > 0 || s->car.compliance[1] > 0))
    return sy_fail(err, SY_GEOMETRY, "session", "suspension", "must be locked on a plane");
  if (!(good_sd(s->wheelbase_sd) && good_sd(s->radius_sd[0]) && good_sd(s->radius_sd[1])))
    return sy_fail(err, SY_RANGE, "vehicle", "sd", "of wheelbase and radii must be >= 0");
  for (int end = 0; end < 2; end++)
    if (!(good_sd(s->compliance_sd[end]) && good_sd(s->tyre_sd[end]) && good_sd(s->unsprung_sd[end])))
      return sy_fail(err, SY_RANGE, "vehicle", "sd", "of springs, tyres and unsprung masses must be >= 0");
  if (!isnan(s->drift) && !good_sd(s->drift))
    return sy_fail(err, SY_RANGE, "session", "drift", "is %g kg, must be >= 0", s->drift);
  if (!isnan(s->mass) && !(s->mass > 0 && isfinite(s->mass) && s->mass_sd > 0))
    return sy_fail(err, SY_RANGE, "vehicle", "mass", "is %g kg, it and its sd must be > 0", s->mass);
  for (int end = 0; end < 2; end++)
    for (int i = 0; i < 2; i++)
      if (!good_sd(s->held_sd[end][i]))
        return sy_fail(err, SY_RANGE, "jack", "sd", "is %g m, must be >= 0", s->held_sd[end][i]);
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++)
    if (!good_sd(s->block_sd[k]))
      return sy_fail(err, SY_RANGE, "blocks", "sd", "of block %d is %g m, must be >= 0", k + 1,
                     s->block_sd[k]);
  bool lifted = false;
  for (size_t i = 0; i < s->count; i++) {
    const sy_status status = check_reading(s, i, err);
    if (status != SY_OK) return status;
    lifted = lifted || s->reading[i].lift > 0;
  }
  if (!lifted)
    return sy_fail(err, SY_GEOMETRY, "readings", "lift", "is 0 in all: level loads do not tell the height");
  return SY_OK;
}
