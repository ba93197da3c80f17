/* answer_cars.h - random cars with every kind of stated error. */
#ifndef SY_TESTS_ANSWER_CARS_H
#define SY_TESTS_ANSWER_CARS_H

#include "answer_errors.h"
#include "answers/car.h"
#include "base/units.h"

typedef enum car_kind { FOUR_WHEELS, ONE_IN_FRONT, ONE_BEHIND, SIX_WHEELS, CAR_KINDS } car_kind;

static inline sy_vehicle random_vehicle(dice *d, car_kind kind) {
  sy_vehicle v = sy_vehicle_default();
  const int axles = kind == SIX_WHEELS ? 3 : 2;
  for (int a = 0; a < axles; a++) {
    sy_axle axle = sy_axle_default();
    sy_wheel wheel = sy_wheel_default();
    axle.x = a == 0   ? 0.03 /* the datum is not the front axle */
             : a == 1 ? -2.4 - dice_between(d, 0, 0.2)
                      : -3.3;
    axle.wheels = (kind == ONE_IN_FRONT && a == 0) || (kind == ONE_BEHIND && a == 1) ? 1 : 2;
    wheel.loaded_radius = dice_between(d, 0.27, 0.32);
    wheel.tyre_rate = dice_between(d, 170e3, 240e3);
    wheel.spring_rate = dice_between(d, 30e3, 60e3) * (axle.wheels == 1 ? 1.8 : 1.0);
    wheel.motion_ratio = dice_between(d, 0.75, 1.0);
    wheel.perch_pitch = 1.5e-3;
    axle.bar_rate = axle.wheels == 2 ? dice_between(d, 4e3, 12e3) : 0;
    axle.roll_centre = dice_between(d, 0.02, 0.09);
    if (a == 0) axle.lateral_rate = 0.6 * wheel.tyre_rate;
    sy_vehicle_add_axle(&v, axle, dice_between(d, 1.35, 1.6), wheel);
  }
  if (kind == FOUR_WHEELS && dice_below(d, 2) == 0) { /* unlike sides */
    v.wheel[1].spring_rate *= 1.1;
    v.wheel[3].tyre_rate *= 0.95;
    v.wheel[1].y -= 0.02;
  }
  if (dice_below(d, 3) > 0) v.torsion = dice_between(d, 3e3, 12e3) / SY_DEGREE;
  v.cross_share = dice_between(d, 0.485, 0.515);
  return v;
}

/* A part near there with errors of `size` times what a first guess has. */
static inline sy_part rough_part(dice *d, double mass, double x, double y, double z, double size) {
  /* one after the other: compilers take the arguments of a call in their own order */
  const double part_mass = mass * dice_between(d, 0.85, 1.15), ahead = dice_between(d, -0.1, 0.1),
               left = dice_between(d, -0.03, 0.03), up = dice_between(d, -0.04, 0.04);
  sy_part p = point(part_mass, x + ahead, y + left, z + up);
  p.mass_sd = size * p.mass * dice_between(d, 0.004, 0.05);
  p.cg_sd = (sy_vec3){size * dice_between(d, 0.002, 0.02), size * dice_between(d, 0.002, 0.01),
                      size * dice_between(d, 0.003, 0.015)};
  p.cg_stated = p.cg;
  if (dice_below(d, 2) == 0) {
    const double k = p.mass / 12;
    p.flags = SY_PART_SOLID;
    p.inertia = (sy_sym3){k * 0.3, k * 0.5, k * 0.6, k * 0.02, k * -0.03, k * 0.01};
  }
  return p;
}

static inline void weigh_on(sy_part *p, uint32_t instrument) {
  p->instrument = instrument;
  p->bias_share = 1;
  p->gain_mass = p->mass;
}

enum {
  CAR_TUB,
  CAR_ENGINE,
  CAR_GROUP,
  CAR_FRONT_CORNERS,
  CAR_REAR_CORNERS,
  CAR_TANK,
  CAR_DRIVER,
  CAR_BALLAST
};

/* Tub, engine, a turned group, pairs at the wheels (carried by them), a tank with a fill, driver, ballast. size: of the errors. */
static inline sy_ledger *random_car_ledger(dice *d, const sy_vehicle *v, double size) {
  static sy_fill fill; /* the ledger keeps a copy */
  sy_ledger_builder *b = start_ledger(NULL);
  const double last = v->axle[v->axle_count - 1].x, middle = 0.5 * last + (v->axle[0].wheels == 1   ? -0.35
                                                                           : v->axle[1].wheels == 1 ? 0.4
                                                                                                    : 0);
  sy_part tub = rough_part(d, 210, middle, 0.01, 0.36, size),
          engine = rough_part(d, 150, middle - 0.5, -0.03, 0.38, size);
  weigh_on(&engine, 3);
  add(b, "tub", &tub);
  add(b, "engine", &engine);
  sy_group group = sy_group_default();
  const double third = dice_between(d, -0.5, 0.5), second = dice_between(d, -0.4, 0.4),
               first = dice_between(d, -0.4, 0.4);
  group.frame = (sy_frame){sy_frame_rotation(first, second, third), {middle + 0.6, 0.05, 0.4}};
  open_group(b, "front box", &group);
  for (int i = 0; i < 3; i++) {
    sy_part p = rough_part(d, 14, 0.1 * i, -0.1, 0.05, size);
    if (i == 1) weigh_on(&p, 1);
    if (i == 2) p.count = 3;
    add(b, "thing", &p);
  }
  close_group(b);
  for (int end = 0; end < 2; end++) {
    const int axle = end == 0 ? 0 : v->axle_count - 1;
    sy_part corner = rough_part(d, 24, v->axle[axle].x, 0.7, 0.29, 0.3 * size);
    corner.cg.x = v->axle[axle].x + dice_between(d, -0.02, 0.02);
    corner.cg_stated = corner.cg;
    corner.unsprung =
        (sy_unsprung){{dice_below(d, 2) == 0 ? 1.0 : 0.6}, {(uint8_t)(SY_CARRIER_AXLE + axle)}, 1};
    const sy_group plain = sy_group_default();
    add_pair(b, end == 0 ? "front corner" : "rear corner", &plain, &corner);
  }
  const double volume = dice_between(d, 0.01, 0.04), liquid = 745 * volume;
  sy_part tank = rough_part(d, 1, middle - 0.2, 0.02, 0.3, size);
  tank.mass = 6 + liquid;
  tank.flags = SY_PART_POINT;
  tank.inertia = (sy_sym3){0, 0, 0, 0, 0, 0};
  tank.mass_sd = 0;
  fill = (sy_fill){.dry = 6,
                   .dry_sd = 0.3 * size,
                   .density = 745,
                   .density_sd = 9 * size,
                   .volume = volume,
                   .volume_sd = 0.5e-3 * size,
                   .dry_arm = {0, 0, -0.01},
                   .liquid_arm = {0.01, 0, 0.01},
                   .surface_arm = {0.02, 0, 0.06}};
  tank.fill = &fill;
  add(b, "tank", &tank);
  sy_part driver = rough_part(d, 80, middle + 0.1, 0.2, 0.4, size),
          ballast = rough_part(d, 18, middle + 0.7, -0.2, 0.15, size);
  add(b, "driver", &driver);
  weigh_on(&ballast, 2);
  add(b, "ballast", &ballast);
  return finish(b);
}

static inline const sy_part *part_in(const sy_ledger *ledger, sy_route route) {
  sy_item item;
  must(sy_ledger_item(ledger, &route, &item, NULL), NULL);
  return item.part;
}

static inline sy_ledger *replaced(sy_ledger *old, sy_status status, const sy_error *err, sy_ledger *next) {
  must(status, err);
  sy_ledger_release(old);
  return next;
}

/* A later state: the engine moved, the driver's mass stated anew, the ballast taken out or its place stated anew, another fill, one of the
** front pair moved. `old` is released. */
static inline sy_ledger *random_edits(dice *d, sy_ledger *old, double size) {
  sy_error err;
  sy_ledger *next = NULL;
  sy_route engine = route1(CAR_ENGINE), driver = route1(CAR_DRIVER), ballast = route1(CAR_BALLAST),
           tank = route1(CAR_TANK), group = route1(CAR_GROUP), left = route2(CAR_FRONT_CORNERS, 0);
  sy_status status =
      sy_ledger_shift(old, &engine, (sy_vec3){dice_between(d, -0.06, 0.06), 0, 0.01}, &next, &err);
  old = replaced(old, status, &err, next);
  sy_part p = *part_in(old, driver);
  p.mass += dice_between(d, -9, 9);
  p.mass_sd = size * 0.02 * p.mass;
  status = sy_ledger_put(old, &driver, &p, &next, &err);
  old = replaced(old, status, &err, next);
  if (dice_below(d, 2) == 0) {
    status = sy_ledger_set_aboard(old, &ballast, dice_below(d, 2) == 0, &next, &err);
  } else {
    p = *part_in(old, ballast);
    p.cg.x -= 0.2;
    p.cg.y += 0.1;
    p.cg.z += 0.03;
    p.cg_stated = p.cg;
    status = sy_ledger_put(old, &ballast, &p, &next, &err);
  }
  old = replaced(old, status, &err, next);
  p = *part_in(old, tank);
  sy_fill fill = *p.fill;
  fill.volume *= dice_between(d, 0.5, 1.2);
  p.mass = fill.dry + fill.density * fill.volume;
  p.fill = &fill;
  status = sy_ledger_put(old, &tank, &p, &next, &err);
  old = replaced(old, status, &err, next);
  status =
      sy_ledger_turn(old, &group, sy_frame_rotation(0.05, -0.1, 0.1), (sy_vec3){-0.5, 0, 0.3}, &next, &err);
  old = replaced(old, status, &err, next);
  if (dice_below(d, 2) == 0) {
    status = sy_ledger_shift(old, &left, (sy_vec3){0.01, 0.02, 0}, &next, &err);
    old = replaced(old, status, &err, next);
  }
  return old;
}

/* Stated uncertainties of rates and settings, of about `size` of what is usual. Returns how many; `out` holds MOST_STATED. */
enum { MOST_STATED = 40 };
static inline size_t random_stated(dice *d, const sy_car *car, double size, sy_stated *out) {
  size_t n = 0;
  for (int a = 0, first = 0; a < car->vehicle.axle_count; first += car->vehicle.axle[a].wheels, a++) {
    const sy_axle *x = &car->vehicle.axle[a];
    const sy_wheel *w = &car->vehicle.wheel[first];
    const unsigned wheels = (x->wheels == 2 ? 3u : 1u) << first, axle = 1u << a;
    out[n++] = (sy_stated){
        SY_STATED_SPRING_RATE, wheels, size * w->spring_rate * dice_between(d, 0.01, 0.05), 0, 0, 0};
    if (dice_below(d, 2) == 0)
      out[n++] = (sy_stated){
          SY_STATED_TYRE_RATE, 1u << first, size * w->tyre_rate * dice_between(d, 0.02, 0.1), 0, 0, 0};
    if (dice_below(d, 2) == 0) out[n++] = (sy_stated){SY_STATED_MOTION_RATIO, wheels, size * 0.02, 0, 0, 0};
    if (x->bar_rate > 0 && dice_below(d, 2) == 0)
      out[n++] = (sy_stated){SY_STATED_BAR_RATE, axle, size * 0.05 * x->bar_rate, 0, 0, 0};
    if (!isnan(x->lateral_rate))
      out[n++] = (sy_stated){SY_STATED_LATERAL_RATE, axle, size * 0.05 * x->lateral_rate, 0, 0, 0};
    if (dice_below(d, 2) == 0) out[n++] = (sy_stated){SY_STATED_ROLL_CENTRE, axle, size * 5e-3, 0, 0, 0};
    if (dice_below(d, 2) == 0) out[n++] = (sy_stated){SY_STATED_PAD, 1u << first, size * 0.5e-3, 0, 0, 0};
    if (dice_below(d, 3) == 0) out[n++] = (sy_stated){SY_STATED_PERCH, 1u << first, size * 0.4e-3, 0, 0, 0};
  }
  if (car->vehicle.torsion > 0)
    out[n++] = (sy_stated){SY_STATED_TORSION, 0, size * 0.1 * car->vehicle.torsion, 0, 0, 0};
  if (car->map.split == SY_SPLIT_CROSS_SHARE)
    out[n++] = (sy_stated){SY_STATED_CROSS_SHARE, 0, size * 3e-3, 0, 0, 0};
  if (dice_below(d, 2) == 0) out[n++] = (sy_stated){SY_STATED_NOSE_UP, 0, size * 0.1 * SY_DEGREE, 0, 0, 0};
  if (car->setting.downforce[0] != 0.0) out[n++] = (sy_stated){SY_STATED_DOWNFORCE, 1, size * 40, 0, 0, 0};
  if (car->left != 0.0) out[n++] = (sy_stated){SY_STATED_LEFT, 0, size * 0.02, 0, 0, 0};
  if (car->forward != 0.0) out[n++] = (sy_stated){SY_STATED_FORWARD, 0, size * 0.03, 0, 0, 0};
  out[n++] = (sy_stated){SY_STATED_MU, 0, size * 0.02, 0, 0, 0};
  if (!isnan(car->brake_front_share))
    out[n++] = (sy_stated){SY_STATED_BRAKE_FRONT_SHARE, 0, size * 0.01, 0, 0, 0};
  if (!isnan(car->drive_front_share))
    out[n++] = (sy_stated){SY_STATED_DRIVE_FRONT_SHARE, 0, size * 0.01, 0, 0, 0};
  for (int a = 0, first = 0; a < car->vehicle.axle_count; first += car->vehicle.axle[a].wheels, a++) {
    const unsigned wheels = (car->vehicle.axle[a].wheels == 2 ? 3u : 1u) << first;
    const bool own =
        dice_below(d, 3) == 0 && car->vehicle.axle[a].wheels == 2; /* the left wheel stands by itself */
    const unsigned on_line = own ? wheels & ~(1u << first) : wheels;
    out[n++] = (sy_stated){SY_STATED_AT, on_line, size * 3e-3, 0, 0, 0};
    if (own) out[n++] = (sy_stated){SY_STATED_WHEEL_AT, 1u << first, size * 2e-3, 1, 0, 0};
    if (own)
      out[n++] = (sy_stated){SY_STATED_HALF_TRACK, 1u << first, size * 1.5e-3, 1, 0, 0};
    else if (car->vehicle.axle[a].wheels == 2)
      out[n++] = (sy_stated){SY_STATED_TRACK, wheels, size * 2.5e-3, 0, 0, 0};
  }
  assert_true(n <= MOST_STATED);
  return n;
}

#endif
