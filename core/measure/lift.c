#include "measure/lift.h"

#include <float.h>
#include <math.h>

#include "base/finite.h"
#include "base/units.h"

enum { MOST_ROUNDS = 100 };

sy_lift_car sy_lift_car_default(void) {
  const double unknown = (double)NAN;
  return (sy_lift_car){.wheelbase = unknown, .radius = {unknown, unknown}, .gravity = SY_STANDARD_GRAVITY};
}

static sy_status check_axle(const sy_lift_car *car, int end, sy_error *err) {
  const char *part = end == SY_LIFT_FRONT ? "front axle" : "rear axle";
  if (!(car->radius[end] >= 0 && isfinite(car->radius[end]))) /* 0: pads on one inclined plane */
    return sy_fail(err, SY_RANGE, part, "radius", "is %g m, must be > 0", car->radius[end]);
  if (!(car->unsprung[end] >= 0 && isfinite(car->unsprung[end])))
    return sy_fail(err, SY_RANGE, part, "unsprung", "is %g kg, must be >= 0", car->unsprung[end]);
  if (!(car->compliance[end] >= 0 && isfinite(car->compliance[end])))
    return sy_fail(err, SY_RANGE, part, "rate", "must be > 0");
  if (!(car->tyre[end] >= 0 && isfinite(car->tyre[end])))
    return sy_fail(err, SY_RANGE, part, "tyre_rate", "must be > 0");
  return SY_OK;
}

sy_status sy_lift_check(const sy_lift_car *car, const sy_lift_hold *hold, sy_error *err) {
  if (!(car->wheelbase > 0 && isfinite(car->wheelbase)))
    return sy_fail(err, SY_RANGE, "vehicle", "wheelbase", "is %g m, must be > 0", car->wheelbase);
  if (!(car->gravity > 0 && isfinite(car->gravity)))
    return sy_fail(err, SY_RANGE, "vehicle", "gravity", "is %g m/s^2, must be > 0", car->gravity);
  for (int end = SY_LIFT_FRONT; end <= SY_LIFT_REAR; end++) {
    const sy_status status = check_axle(car, end, err);
    if (status != SY_OK) return status;
  }
  if (!hold->by_body) return SY_OK;
  if (!(isfinite(hold->x) && isfinite(hold->z)))
    return sy_fail(err, SY_RANGE, "jack", "place", "is not finite");
  if (car->compliance[0] > 0 || car->compliance[1] > 0)
    return sy_fail(err, SY_GEOMETRY, "jack", "suspension",
                   "hangs free when the body is held: lock it, or lift under the wheels");
  const double lever = hold->lifted == SY_LIFT_REAR ? -hold->x : car->wheelbase + hold->x;
  if (!(lever > 0))
    return sy_fail(err, SY_GEOMETRY, "jack", "place", "lies at or beyond the axle that stays on its pads");
  return SY_OK;
}

/* The two supports on the level body: wheel centres, or the held point. */
typedef struct supports {
  double xf, zf, xr, zr;
} supports;

static supports supports_of(const sy_lift_car *car, const sy_lift_hold *hold) {
  supports s = {0, car->radius[SY_LIFT_FRONT], -car->wheelbase, car->radius[SY_LIFT_REAR]};
  if (hold->by_body && hold->lifted == SY_LIFT_FRONT) {
    s.xf = hold->x;
    s.zf = hold->z;
  } else if (hold->by_body) {
    s.xr = hold->x;
    s.zr = hold->z;
  }
  return s;
}

/* Bump travel of an axle from the level state, by the load across the body's z. */
static double travel(const sy_lift_car *car, int end, double load, double level, double tilt) {
  return car->compliance[end] * car->gravity *
         ((load - car->unsprung[end]) * cos(tilt) - (level - car->unsprung[end]));
}

/* ---- tilt and lift ------------------------------------------------------------------------------------------------ */

/* The line between two body points, `apart` forward and `above` each other, one `rise` higher than the other now: it
** stands at asin(rise/length), on the level body at asin(above/length). */
static double turned(double apart, double above, double rise, double *rate) {
  const double length = hypot(apart, above), sine = rise / length;
  *rate = 1 / (length * sqrt((1 - sine) * (1 + sine)));
  return asin(sine) - asin(above / length);
}

static sy_status too_high(const sy_lift_hold *hold, double lift, sy_error *err) {
  return sy_fail(err, SY_GEOMETRY, hold->lifted == SY_LIFT_REAR ? "rear" : "front", "lift",
                 "of %g m is more than the lever allows", lift);
}

/* Held at the body: the point turns about the lower wheels' centre, which sinks with its tyre. */
static sy_status tilt_by_body(const sy_lift_car *car, const sy_lift_hold *hold, double lift,
                              const sy_lift_loads *loads, double *tilt, double *rate, sy_error *err) {
  const supports s = supports_of(car, hold);
  const int low = hold->lifted == SY_LIFT_REAR ? SY_LIFT_FRONT : SY_LIFT_REAR;
  const double sink =
      loads == NULL ? 0 : car->tyre[low] * car->gravity * (loads->now[low] - loads->level[low]);
  const double apart = s.xf - s.xr, above = s.zf - s.zr;
  const double rise = hold->lifted == SY_LIFT_REAR ? above - (lift + sink) : above + lift + sink;
  if (!(fabs(rise) < hypot(apart, above))) return too_high(hold, lift, err);
  *tilt = turned(apart, above, rise, rate);
  return SY_OK;
}

sy_status sy_lift_tilt(const sy_lift_car *car, const sy_lift_hold *hold, double lift,
                       const sy_lift_loads *loads, double *tilt, double *rate, sy_error *err) {
  double answer = 0, by_lift = 0;
  if (!isfinite(lift)) return too_high(hold, lift, err);
  if (hold->by_body) {
    const sy_status status = tilt_by_body(car, hold, lift, loads, &answer, &by_lift, err);
    if (status != SY_OK) return status;
  } else {
    const double pads = hold->lifted == SY_LIFT_REAR ? -lift : lift; /* front above rear */
    for (int round = 0;; round++) { /* the springs' travel depends on the tilt, by its cosine */
      double above = car->radius[0] - car->radius[1], rise = pads + above;
      if (loads != NULL)
        for (int end = 0; end < 2; end++) {
          const double sign = end == SY_LIFT_FRONT ? 1 : -1, more = loads->now[end] - loads->level[end];
          above += sign * travel(car, end, loads->now[end], loads->level[end], answer);
          rise -= sign * car->tyre[end] * car->gravity * more;
        }
      if (!(fabs(rise) < hypot(car->wheelbase, above)) || round == MOST_ROUNDS)
        return too_high(hold, lift, err);
      const double before = answer;
      answer = turned(car->wheelbase, above, rise, &by_lift);
      if (fabs(answer - before) <= 2 * DBL_EPSILON) break; /* an angle: absolute */
    }
  }
  *tilt = answer;
  if (rate != NULL) *rate = hold->lifted == SY_LIFT_REAR ? -by_lift : by_lift;
  return SY_OK;
}

static bool upright(double tilt) { return fabs(tilt) < SY_PI / 2; } /* NaN is not */

double sy_lift_of_tilt(const sy_lift_car *car, const sy_lift_hold *hold, double tilt) {
  if (!upright(tilt)) return (double)NAN;
  const supports s = supports_of(car, hold);
  const double apart = s.xf - s.xr, above = s.zf - s.zr;
  const double rise = apart * sin(tilt) + above * cos(tilt) - above;
  return hold->lifted == SY_LIFT_REAR ? -rise : rise;
}

double sy_lift_point(const sy_lift_car *car, const sy_lift_hold *hold, double x, double z, double tilt) {
  if (!upright(tilt)) return (double)NAN;
  const bool front_low = hold->lifted == SY_LIFT_REAR;
  const double pivot_x = front_low ? 0 : -car->wheelbase, pivot_z = car->radius[front_low ? 0 : 1];
  return pivot_z + (x - pivot_x) * sin(tilt) + (z - pivot_z) * cos(tilt);
}

/* ---- loads ------------------------------------------------------------------------------------------------------------ */

double sy_lift_liquid(double mass, const double level[2], const double tilted[2], double tilt) {
  return mass * ((tilted[0] - level[0]) * cos(tilt) - (tilted[1] - level[1]) * sin(tilt));
}

/* Moment about the rear support of the front load F less that of the weights, over gravity:
**   F [(xf - xr) c - (zf + sf - zr - sr) s] - (F0 L - M (L + xr)) c + s [M (h - zr) - (M - mr) sr + mf sf] - shift
** with c, s of the tilt, the axles' bump travel sf, sr, their unsprung masses mf, mr (which move with the wheels), and F0 the
** level front load, so that the cg is F0 L / M ahead of the rear axle. Zero in balance. Locked: sf = sr = 0, and F follows at
** once; else by Newton's steps, F enters the travels linearly. */
typedef struct moment {
  double value, by_load, by_height, by_front, by_mass, by_tilt;
} moment;

static moment moment_at(const sy_lift_car *car, const supports *p, const sy_lift_body *b, double tilt,
                        double load) {
  const double c = cos(tilt), s = sin(tilt), length = car->wheelbase, m = b->mass, g = car->gravity;
  const double mf = car->unsprung[0], mr = car->unsprung[1];
  const double kf = car->compliance[0] * g, kr = car->compliance[1] * g; /* m/kg */
  const double rear = m - load;
  const double sf = travel(car, SY_LIFT_FRONT, load, b->front, tilt);
  const double sr = travel(car, SY_LIFT_REAR, rear, m - b->front, tilt);
  const double arm = (p->xf - p->xr) * c - (p->zf + sf - p->zr - sr) * s;
  const double ahead =
      b->front * length - m * (length + p->xr); /* kg m: of the cg ahead of the rear support */
  const double above = m * (b->height - p->zr) - (m - mr) * sr + mf * sf;
  const double by_sf = -(load - mf) * s, by_sr = -(rear - mr) * s;
  return (moment){
      .value = load * arm - ahead * c + above * s - b->shift,
      .by_load = arm + by_sf * kf * c - by_sr * kr * c,
      .by_height = m * s,
      .by_front = -length * c - by_sf * kf + by_sr * kr,
      .by_mass = (length + p->xr) * c + s * (b->height - p->zr - sr) + by_sr * kr * (c - 1),
      .by_tilt = -load * ((p->xf - p->xr) * s + (p->zf + sf - p->zr - sr) * c) + ahead * s + above * c -
                 by_sf * kf * (load - mf) * s - by_sr * kr * (rear - mr) * s,
  };
}

sy_status sy_lift_front_load(const sy_lift_car *car, const sy_lift_hold *hold, const sy_lift_body *body,
                             double tilt, sy_lift_load *out, sy_error *err) {
  const double given[] = {body->mass, body->front, body->height, body->shift, tilt};
  static const char *const name[] = {"mass", "front", "height", "shift", "tilt"};
  for (size_t i = 0; i < sizeof given / sizeof *given; i++)
    if (!isfinite(given[i]))
      return sy_fail(err, SY_RANGE, "lift", name[i], "is %g, must be finite", given[i]);
  const supports p = supports_of(car, hold);
  double load = body->front;
  for (int round = 0; round < MOST_ROUNDS; round++) {
    const moment m = moment_at(car, &p, body, tilt, load);
    if (!(m.by_load > 0)) break; /* more load must mean more moment, or nothing holds the body */
    const double step = -m.value / m.by_load;
    load += step;
    if (fabs(step) <= 4 * DBL_EPSILON * fmax(fabs(load), fabs(body->mass))) {
      const moment end = moment_at(car, &p, body, tilt, load);
      const sy_lift_load found = {load, -end.by_height / end.by_load, -end.by_front / end.by_load,
                                  -end.by_mass / end.by_load, -end.by_tilt / end.by_load};
      const sy_status status =
          sy_finite_results(&found.front, sizeof found / sizeof(double), "lift", "load", err);
      if (status == SY_OK) *out = found;
      return status;
    }
  }
  return sy_fail(err, SY_GEOMETRY, "lift", "tilt", "of %g rad leaves the vehicle no balance", tilt);
}

sy_status sy_lift_height(const sy_lift_car *car, const sy_lift_hold *hold, const sy_lift_body *body,
                         double tilt, double front, double *out, sy_error *err) {
  if (!isfinite(front)) return sy_fail(err, SY_RANGE, "lift", "front", "is not finite");
  if (!(body->mass > 0 && isfinite(body->mass)))
    return sy_fail(err, SY_RANGE, "lift", "mass", "is %g kg, must be > 0", body->mass);
  if (!isfinite(body->front) || !isfinite(body->shift))
    return sy_fail(err, SY_RANGE, "lift", isfinite(body->front) ? "shift" : "front", "is not finite");
  if (!upright(tilt))
    return sy_fail(err, SY_RANGE, "lift", "tilt", "is %g rad, not below a right angle", tilt);
  const supports p = supports_of(car, hold);
  sy_lift_body at_ground = *body;
  at_ground.height = 0;
  const moment m = moment_at(car, &p, &at_ground, tilt, front);
  const double height = -m.value / m.by_height; /* the moment is linear in the height */
  if (!isfinite(height))
    return sy_fail(err, SY_GEOMETRY, "lift", "tilt", "is 0: a level vehicle says nothing of its height");
  *out = height;
  return SY_OK;
}
