#include "answers/transfer_answers.h"

#include <math.h>
#include <string.h>

#include "base/units.h"

_Static_assert(sizeof(sy_pushed) <= sizeof(sy_answer_state), "the room for states");

static const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};

static sy_vec3 gravity_of(const sy_car *car) {
  const double g = SY_STANDARD_GRAVITY;
  return (sy_vec3){car->forward * g, car->left * g, -g};
}

/* The force that grows is the one sideways; without any, the one along the car. */
static sy_transfer_path path_of(const sy_car *car) {
  const double g = SY_STANDARD_GRAVITY;
  if (car->left != 0.0)
    return (sy_transfer_path){{car->forward * g, 0, -g}, {0, car->left > 0 ? g : -g, 0}, false};
  return (sy_transfer_path){{0, 0, -g}, {car->forward > 0 ? g : -g, 0, 0}, false};
}

static sy_status find_limit(const sy_steady *moving, const sy_transfer_path *path, sy_pushed *s,
                            sy_error *err) {
  sy_transfer_limit limit;
  s->lift = (sy_ending){.limit = (double)NAN, .wheel = -1, .load = (double)NAN, .fall = (double)NAN};
  s->tips = (double)NAN;
  const sy_status status = sy_settle_limits(&moving->car, path, &limit, err);
  s->stands = status == SY_OK;
  if (status == SY_GEOMETRY) return SY_OK;
  if (status != SY_OK) return status;
  if (limit.tips) s->tips = limit.tip;
  if (limit.lifts) {
    s->lift = sy_ending_make(moving, path, limit.lift, limit.lift > 0.0 ? limit.wheel : -1);
    s->lift.wheel = limit.wheel;
  }
  return SY_OK;
}

static const sy_ending no_lift = {.wheel = -1};

/* What springs do not change. */
static sy_status push_rigid(const sy_car *car, const sy_totals *now, const sy_pushed *was, sy_pushed *s,
                            sy_error *err) {
  const sy_status status = sy_rigid_push_make(car, now, was != NULL ? &was->rigid : NULL, &s->rigid, err);
  if (status != SY_OK) return status;
  memset(&s->model, 0, sizeof s->model);
  s->model.corner.vehicle = car->vehicle;
  s->model.corner.wheel_count = sy_vehicle_contacts(&car->vehicle, s->model.corner.wheel);
  memset(&s->rest, 0, sizeof s->rest);
  memset(&s->loaded, 0, sizeof s->loaded);
  for (int i = 0; i < s->model.corner.wheel_count; i++) {
    s->rest.load[i] = s->rigid.rest[i];
    s->loaded.load[i] = s->rigid.loaded[i];
    s->loaded.fits[i].touches = true;
  }
  s->forward = car->forward, s->left = car->left;
  s->rest_lies = (sy_sums){.m = 0.0}, s->loaded_lies = s->rigid.lies;
  s->lift = no_lift;
  s->lift.limit = s->lift.load = s->lift.fall = (double)NAN;
  s->tips = s->rigid.turn.tips;
  s->stands = s->sprung = false;
  return SY_OK;
}

/* Without air and liquid that runs the car that is pushed is the one that stands still. */
static bool is_one_model(const sy_car *car, bool frozen) {
  bool air = false;
  for (int a = 0; a < car->vehicle.axle_count; a++) air = air || car->setting.downforce[a] != 0.0;
  return !frozen && car->tanks.count == 0 && !air;
}

static sy_status push_one_model(const sy_car *car, const sy_steady *steady, sy_pushed *s, sy_error *err) {
  static const sy_sums nothing;
  const sy_status status =
      sy_transfer_make(&steady->corner, &steady->now, NULL, car->setting.bars, &s->model, err);
  if (status != SY_OK) return status;
  s->model.brake_front_share = car->brake_front_share;
  s->rest_lies = s->loaded_lies = nothing;
  return sy_transfer_solve_both(&s->model, gravity_of(car), &s->rest, &s->loaded, err);
}

/* was     where the liquid stays as it is there; NULL: it runs */
static sy_status push_two_models(const sy_car *car, sy_steady *steady, const sy_pushed *was, sy_pushed *s,
                                 sy_error *err) {
  sy_settled_transfer there;
  sy_status status = sy_steady_stand(steady, was != NULL ? &was->rest_lies : NULL, level, &there, err);
  if (status != SY_OK) return status;
  s->rest = there.stand, s->rest_lies = there.moved;
  steady->car.downforce = car->setting.downforce; /* from here on air presses */
  status = sy_steady_stand(steady, was != NULL ? &was->loaded_lies : NULL, gravity_of(car), &there, err);
  if (status != SY_OK) return status;
  s->model = there.model, s->loaded = there.stand, s->loaded_lies = there.moved;
  return SY_OK;
}

static sy_status solve(const sy_car *car, const sy_totals *now, const sy_totals *drawn, const void *base,
                       bool runs, void *state, sy_error *err) {
  sy_pushed *s = state;
  const sy_pushed *const was = base;
  const bool frozen = was != NULL && !runs;
  const sy_transfer_path path = path_of(car);
  sy_steady steady;
  if (!sy_car_has_rates(car)) return push_rigid(car, now, frozen ? was : NULL, s, err);
  sy_status status = sy_steady_make(car, now, drawn, false, &steady, err);
  if (status == SY_OK && is_one_model(car, frozen))
    status = push_one_model(car, &steady, s, err);
  else if (status == SY_OK)
    status = push_two_models(car, &steady, frozen ? was : NULL, s, err);
  if (status != SY_OK) return status;
  s->forward = car->forward, s->left = car->left;
  s->sprung = true;
  memset(&s->rigid, 0, sizeof s->rigid);
  if (was == NULL) return find_limit(&steady, &path, s, err);
  s->lift = sy_ending_of_other(&was->lift, &steady, &path, runs);
  s->tips = was->tips, s->stands = was->stands;
  return SY_OK;
}

sy_status sy_pushed_make(const sy_car *car, sy_pushed *out, sy_error *err) {
  sy_totals now, drawn;
  sy_pushed s;
  sy_ledger_sums(car->now, &now);
  if (car->drawn != car->now) sy_ledger_sums(car->drawn, &drawn);
  sy_status status = sy_car_check(car, err);
  if (status == SY_OK && (car->brake_front_share < 0.0 || car->brake_front_share > 1.0))
    return sy_fail(err, SY_RANGE, "car", "brake_front_share", "is %g, must be between 0 and 1, or NaN",
                   car->brake_front_share);
  if (status == SY_OK) status = solve(car, &now, car->drawn != car->now ? &drawn : &now, NULL, true, &s, err);
  if (status == SY_OK) *out = s;
  return status;
}

static bool searched(const void *state) {
  const sy_pushed *s = state;
  if (sy_sums_any(&s->rest_lies) || sy_sums_any(&s->loaded_lies)) return true;
  return s->sprung && !(sy_corner_is_plain(&s->model.corner, &s->rest) &&
                        sy_corner_is_plain(&s->model.corner, &s->loaded));
}

/* ---- what follows from the loads --------------------------------------------------------------------------------------------- */

/* N from the left wheel of an axle to its right one since standing still; NaN for a single wheel. */
static double across(const sy_pushed *s, int axle) {
  const sy_vehicle *v = &s->model.corner.vehicle;
  if (v->axle[axle].wheels == 1) return (double)NAN;
  const int i = sy_vehicle_first_wheel(v, axle);
  return 0.5 * (s->loaded.load[i + 1] - s->loaded.load[i] - s->rest.load[i + 1] + s->rest.load[i]);
}

sy_across sy_pushed_across(const sy_pushed *s, int axle) {
  const sy_vehicle *v = &s->model.corner.vehicle;
  const double g = SY_STANDARD_GRAVITY;
  if (v->axle[axle].wheels == 1) {
    const double none = (double)NAN;
    return (sy_across){none, none, none, none, none};
  }
  /* a pull to the left, as in a right turn, loads the left wheel */
  const double pull = -s->left * g / sy_vehicle_track(v, axle), total = across(s, axle);
  if (!s->sprung) return (sy_across){total, (double)NAN, (double)NAN, (double)NAN, (double)NAN};
  const double geometric = pull * s->model.geometric[axle], unsprung = pull * s->model.unsprung[axle];
  const sy_vec3 gravity = {s->forward * g, s->left * g, -g};
  const double tyres = -sy_transfer_sideways(&s->model, gravity, axle) / sy_vehicle_track(v, axle);
  return (sy_across){total, geometric, unsprung, tyres, total - geometric - unsprung - tyres};
}

enum {
  ROLL,
  PITCH,
  TWIST,
  FRONT_TRANSFER_SHARE,
  PITCH_GAIN,
  FRONT_HEIGHT,
  REAR_HEIGHT,
  TOTAL_TRANSFER,
  RIGID_LIFT
};

static double total_transfer(const sy_pushed *s) {
  const sy_vehicle *v = &s->model.corner.vehicle;
  double sum = 0.0;
  if (s->left == 0.0) return (double)NAN;
  if (!s->sprung) return s->rigid.across;
  for (int a = 0; a < v->axle_count; a++)
    if (v->axle[a].wheels == 2) sum += across(s, a);
  return s->left > 0.0 ? -sum : sum;
}

static double rigid_lift(const sy_pushed *s) {
  const double lift = s->rigid.turn.lift;
  return !s->sprung && isfinite(lift) ? lift : (double)NAN;
}

static double front_transfer_share(const sy_pushed *s) {
  const sy_vehicle *v = &s->model.corner.vehicle;
  double front = 0.0, all = 0.0;
  for (int a = 0; a < v->axle_count; a++) {
    if (v->axle[a].wheels == 1) continue;
    front += a == 0 ? across(s, a) : 0.0;
    all += across(s, a);
  }
  return s->left != 0.0 ? front / all : (double)NAN;
}

static double pitch_gain(const sy_pushed *s) {
  const sy_corner_model *c = &s->model.corner;
  double sum = -s->model.downforce[0];
  for (int i = 0; i < c->wheel_count; i++)
    if (c->wheel[i].axle == 0) sum += s->loaded.load[i] - s->rest.load[i];
  return sum;
}

double sy_pushed_height(const sy_pushed *s, int axle) {
  const double *now = s->loaded.pose, *rest = s->rest.pose;
  return now[0] - rest[0] - s->model.corner.vehicle.axle[axle].x * (now[1] - rest[1]);
}

static double value(const void *state, int at) {
  const sy_pushed *s = state;
  const double *now = s->loaded.pose, *rest = s->rest.pose;
  if (!s->sprung && at <= TWIST) return (double)NAN;
  switch (at) {
  case ROLL: return 0.5 * (now[2] + now[3] - rest[2] - rest[3]);
  case PITCH: return -(now[1] - rest[1]);
  case TWIST: return now[2] - now[3] - rest[2] + rest[3];
  case FRONT_TRANSFER_SHARE: return front_transfer_share(s);
  case FRONT_HEIGHT: return s->sprung ? sy_pushed_height(s, 0) : (double)NAN;
  case REAR_HEIGHT:
    return s->sprung ? sy_pushed_height(s, s->model.corner.vehicle.axle_count - 1) : (double)NAN;
  case TOTAL_TRANSFER: return total_transfer(s);
  case RIGID_LIFT: return rigid_lift(s);
  default: return s->sprung ? pitch_gain(s) : s->rigid.pitch_gain;
  }
}

static double wheel_load(const void *state, int at) { return ((const sy_pushed *)state)->loaded.load[at]; }

static double wheel_gain(const void *state, int at) {
  const sy_pushed *s = state;
  return s->loaded.load[at] - s->rest.load[at];
}

static double lift(const void *state, int at) {
  (void)at;
  return ((const sy_pushed *)state)->lift.limit;
}

static double lift_load(const void *state, int at) {
  (void)at;
  return ((const sy_pushed *)state)->lift.load;
}

static double lift_fall(const void *state, int at) {
  (void)at;
  return ((const sy_pushed *)state)->lift.fall;
}

#define ROW(name, per, at, unit, value)                                                                      \
  { name, per, at, unit, value, NULL, NULL, NULL, NULL }
static const sy_answer_row rows[] = {
    ROW("roll", SY_PER_CAR, ROLL, SY_UNIT_RADIAN, value),
    ROW("pitch", SY_PER_CAR, PITCH, SY_UNIT_RADIAN, value),
    ROW("twist", SY_PER_CAR, TWIST, SY_UNIT_RADIAN, value),
    ROW("front_transfer_share", SY_PER_CAR, FRONT_TRANSFER_SHARE, SY_UNIT_FRACTION, value),
    ROW("pitch_gain", SY_PER_CAR, PITCH_GAIN, SY_UNIT_NEWTON, value),
    ROW("heights.front", SY_PER_CAR, FRONT_HEIGHT, SY_UNIT_METRE, value),
    ROW("heights.rear", SY_PER_CAR, REAR_HEIGHT, SY_UNIT_METRE, value),
    ROW("total_transfer", SY_PER_CAR, TOTAL_TRANSFER, SY_UNIT_NEWTON, value),
    ROW("rigid_lift.g", SY_PER_CAR, RIGID_LIFT, SY_UNIT_G, value),
    {"first_lift.g", SY_PER_CAR, 0, SY_UNIT_G, lift, NULL, NULL, lift_load, lift_fall},
    ROW("gain.", SY_PER_WHEEL, 0, SY_UNIT_NEWTON, wheel_gain),
    ROW("", SY_PER_WHEEL, 0, SY_UNIT_NEWTON, wheel_load),
};

/* What differences leave of an uncertainty that is none: a millionth of a kilogram, degree or per cent. */
static double rounding(const sy_answer_row *row, double size) {
  (void)size;
  switch (row->unit) {
  case SY_UNIT_RADIAN: return 1e-6 * SY_DEGREE;
  case SY_UNIT_METRE: return 1e-9;
  case SY_UNIT_FRACTION: return 1e-8;
  case SY_UNIT_NEWTON: return 1e-6 * SY_STANDARD_GRAVITY;
  default: return 0.0;
  }
}

const sy_answer_set *sy_transfer_answers(void) {
  static const sy_answer_set set = {
      .name = "transfer",
      .row = rows,
      .rows = sizeof rows / sizeof *rows,
      .on_drawn = true,
      .sums = SY_SUM_M | SY_SUM_X | SY_SUM_Y | SY_SUM_Z | SY_SUM_XY | SY_SUM_XZ | SY_SUM_XX,
      .fields = 1u << SY_STATED_SPRING_RATE | 1u << SY_STATED_TYRE_RATE | 1u << SY_STATED_MOTION_RATIO |
                1u << SY_STATED_BAR_RATE | 1u << SY_STATED_LATERAL_RATE | 1u << SY_STATED_ROLL_CENTRE |
                1u << SY_STATED_TORSION | 1u << SY_STATED_CROSS_SHARE | 1u << SY_STATED_DOWNFORCE |
                1u << SY_STATED_FORWARD | 1u << SY_STATED_LEFT | 1u << SY_STATED_BRAKE_FRONT_SHARE |
                1u << SY_STATED_STOP_GAP | 1u << SY_STATED_STOP_RATE | 1u << SY_STATED_BRAKE_LINKS |
                1u << SY_STATED_BRAKE_ANGLE | 1u << SY_STATED_DRIVE_LINKS | 1u << SY_STATED_DRIVE_ANGLE |
                SY_STATED_PLACES,
      .solve = solve,
      .rounding = rounding,
      .searched = searched};
  return &set;
}
