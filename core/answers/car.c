#include "answers/car.h"

#include <math.h>

#include "base/units.h"
#include "mass/measured.h"

static const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};

sy_status sy_car_make(const sy_ledger *now, const sy_ledger *drawn, const sy_vehicle *vehicle, sy_car *out,
                      sy_error *err) {
  sy_loadmap map;
  const sy_status status = sy_loadmap_make(vehicle, level, &map, err);
  if (status != SY_OK) return status;
  *out = (sy_car){.now = now,
                  .drawn = drawn != NULL ? drawn : now,
                  .vehicle = *vehicle,
                  .map = map,
                  .mu = 1.0,
                  .brake_front_share = (double)NAN,
                  .drive_front_share = (double)NAN};
  return SY_OK;
}

typedef struct field_kind {
  const char *name;
  sy_stated_by by;
} field_kind;

static const field_kind kinds[SY_STATED_COUNT] = {
#define SY_STATED_KIND(code, name, by) {name, by},
    SY_STATED_LIST(SY_STATED_KIND)
#undef SY_STATED_KIND
};

static bool known(sy_stated_field field) { return (unsigned)field < SY_STATED_COUNT; }

const char *sy_stated_name(sy_stated_field field) { return known(field) ? kinds[field].name : "unknown"; }

sy_stated_by sy_stated_counts(sy_stated_field field) { return known(field) ? kinds[field].by : SY_BY_CAR; }

static int places_of(const sy_car *car, sy_stated_field field) {
  switch (sy_stated_counts(field)) {
  case SY_BY_WHEEL: return car->map.wheel_count;
  case SY_BY_AXLE: return car->vehicle.axle_count;
  default: return 0;
  }
}

bool sy_stated_measured(const sy_stated *stated) {
  return stated->field == SY_STATED_CROSS_SHARE && stated->source == SY_SOURCE_MEASURED;
}

sy_status sy_car_check(const sy_car *car, sy_error *err) {
  const sy_status counts = sy_vehicle_check_counts(&car->vehicle, err);
  if (counts != SY_OK) return counts;
  bool measured = false;
  for (size_t i = 0; i < car->stated_count; i++) {
    const sy_stated *s = &car->stated[i];
    const int places = known(s->field) ? places_of(car, s->field) : 0;
    sy_error what;
    sy_fail(&what, SY_OK, NULL, NULL, "stated %zu of %zu", i + 1, car->stated_count);
    const char *const part = what.message, *const name = sy_stated_name(s->field);
    if (!known(s->field))
      return sy_fail(err, SY_UNKNOWN, part, "field", "is not a field that has an uncertainty");
    if (!(s->sd > 0.0 && isfinite(s->sd)))
      return sy_fail(err, SY_RANGE, part, name, "has the uncertainty %g, must be > 0", s->sd);
    if (places > 0 && s->at == 0) return sy_fail(err, SY_UNKNOWN, part, name, "names no wheel or axle");
    if (s->at >> places != 0)
      return sy_fail(err, SY_UNKNOWN, part, name, "names a wheel or axle beyond the car's %d", places);
    if (measured && sy_stated_measured(s))
      return sy_fail(err, SY_CLASH, part, name,
                     "is stated a second time as measured; the records give it one error");
    measured = measured || sy_stated_measured(s);
  }
  return SY_OK;
}

/* The number of one wheel or axle, or of the car. */
static double *number_at(sy_car *c, sy_stated_field field, int at) {
  sy_wheel *const wheel = c->vehicle.wheel;
  switch (field) {
  case SY_STATED_SPRING_RATE: return &wheel[at].spring_rate;
  case SY_STATED_TYRE_RATE: return &wheel[at].tyre_rate;
  case SY_STATED_MOTION_RATIO: return &wheel[at].motion_ratio;
  case SY_STATED_BAR_RATE: return &c->vehicle.axle[at].bar_rate;
  case SY_STATED_ROLL_CENTRE: return &c->vehicle.axle[at].roll_centre;
  case SY_STATED_LATERAL_RATE: return &c->vehicle.axle[at].lateral_rate;
  case SY_STATED_TORSION: return &c->vehicle.torsion;
  case SY_STATED_CROSS_SHARE: return &c->vehicle.cross_share;
  case SY_STATED_PAD: return &c->setting.pad[at];
  case SY_STATED_PERCH: return &c->setting.perch[at];
  case SY_STATED_PRELOAD: return &c->setting.preload[at];
  case SY_STATED_DOWNFORCE: return &c->setting.downforce[at];
  case SY_STATED_NOSE_UP: return &c->nose_up;
  case SY_STATED_LEFT_UP: return &c->left_up;
  case SY_STATED_FORWARD: return &c->forward;
  case SY_STATED_LEFT: return &c->left;
  case SY_STATED_MU: return &c->mu;
  case SY_STATED_DRIVE_FRONT_SHARE: return &c->drive_front_share;
  case SY_STATED_RAISED_FRONT: return &c->raised_front;
  case SY_STATED_RAISED_REAR: return &c->raised_rear;
  case SY_STATED_STOP_GAP: return &wheel[at].stop_gap;
  case SY_STATED_STOP_RATE: return &wheel[at].stop_rate;
  case SY_STATED_BRAKE_LINKS: return &c->vehicle.axle[at].brake_links;
  case SY_STATED_BRAKE_ANGLE: return &c->vehicle.axle[at].brake_angle;
  case SY_STATED_DRIVE_LINKS: return &c->vehicle.axle[at].drive_links;
  case SY_STATED_DRIVE_ANGLE: return &c->vehicle.axle[at].drive_angle;
  case SY_STATED_AT:
  case SY_STATED_WHEEL_AT: return &wheel[at].x;
  case SY_STATED_TRACK:
  case SY_STATED_HALF_TRACK: return &wheel[at].y;
  default: return &c->brake_front_share;
  }
}

/* ---- where wheels stand ----------------------------------------------------------------------------------------------------- */

/* Two places closer than any tape reads are one: m. Another datum, or what was added and is taken away, leaves rounding of it. */
#define SAME_PLACE 1e-7

bool sy_stated_place(const sy_stated *stated) {
  return known(stated->field) && (SY_STATED_PLACES >> stated->field & 1u);
}

sy_vec3 sy_stated_wheel_way(const sy_loadmap *map, const sy_stated *stated, int wheel) {
  const sy_vec3 none = {0, 0, 0}, forward = {1, 0, 0}, left = {0, 1, 0};
  if (wheel < 0 || wheel >= map->wheel_count || !sy_stated_place(stated) || !(stated->at >> wheel & 1u))
    return none;
  if (stated->field == SY_STATED_TRACK) return sy_vec3_scale(0.5 * map->wheel[wheel].side, left);
  return stated->field == SY_STATED_HALF_TRACK ? left : forward;
}

double sy_stated_line_way(const sy_loadmap *map, const sy_stated *stated, int axle) {
  bool on_line = false;
  for (int i = 0; i < map->wheel_count; i++)
    on_line = on_line || (map->wheel[i].axle == axle && stated->at >> i & 1u);
  return on_line && stated->field == SY_STATED_AT ? 1.0 : 0.0;
}

/* map: of the car as it stood, whose wheels are as many and on the same sides */
static void step_places(sy_vehicle *v, const sy_loadmap *map, const sy_stated *stated, double by) {
  for (int i = 0; i < map->wheel_count; i++) {
    const sy_vec3 way = sy_stated_wheel_way(map, stated, i);
    v->wheel[i].x += by * way.x;
    v->wheel[i].y += by * way.y;
  }
  for (int a = 0, first = 0; a < v->axle_count; first += v->axle[a].wheels, a++) {
    const double one = v->wheel[first].x, other = v->wheel[first + v->axle[a].wheels - 1].x;
    const double x = v->axle[a].x + by * sy_stated_line_way(map, stated, a);
    v->axle[a].x =
        fmin(fmax(x, fmin(one, other)), fmax(one, other)); /* an axle line runs between its wheels */
  }
}

double sy_beside_by_stated(const sy_beside *beside, const sy_stated *stated) {
  for (size_t i = 0; beside != NULL && i < beside->places && i < SY_BESIDE_PLACES; i++)
    if (beside->place[i].field == stated->field && beside->place[i].at == stated->at)
      return beside->place[i].by;
  return 0.0;
}

bool sy_car_stated_read(const sy_car *car, const sy_stated *stated) {
  const sy_measured *m = stated->error != 0 ? sy_ledger_measured(car->now) : NULL;
  return m != NULL && sy_measured_reads(m, stated->error);
}

/* ---- numbers and cars ---------------------------------------------------------------------------------------------------------- */

static int first_of(unsigned at) {
  int first = 0;
  while (at != 0 && !(at >> first & 1u)) first++;
  return first;
}

double sy_car_stated_value(const sy_car *car, const sy_stated *s) {
  sy_car c = *car;
  if (s->field == SY_STATED_TRACK)
    return sy_vehicle_track(&car->vehicle, car->map.wheel[first_of(s->at)].axle);
  return *number_at(&c, s->field, first_of(s->at));
}

static bool same_value(const sy_car *car, const sy_stated *s, const sy_car *other_car,
                       const sy_stated *other) {
  const double a = sy_car_stated_value(car, s), b = sy_car_stated_value(other_car, other);
  return sy_stated_place(s) ? fabs((a - s->shifted) - (b - other->shifted)) <= SAME_PLACE : a == b;
}

bool sy_same_stated(const sy_car *car, const sy_stated *s, const sy_car *other_car, const sy_stated *other) {
  const bool same_place = s->at == other->at || (s->at & other->at) != 0;
  return s->field == other->field && same_place && s->sd == other->sd && s->source == other->source &&
         same_value(car, s, other_car, other);
}

static bool stays_above_zero(sy_stated_field field) {
  return field <= SY_STATED_BAR_RATE || field == SY_STATED_LATERAL_RATE || field == SY_STATED_TORSION ||
         field == SY_STATED_MU || field == SY_STATED_STOP_RATE;
}

sy_status sy_car_step(const sy_car *car, const sy_stated *s, double by, sy_car *out, sy_error *err) {
  sy_car stepped = *car;
  const bool place = sy_stated_place(s);
  const unsigned at = sy_stated_counts(s->field) == SY_BY_CAR ? 1u : s->at;
  if (place) step_places(&stepped.vehicle, &car->map, s, by);
  for (int i = 0; at >> i != 0 && !place; i++) {
    if (!(at >> i & 1u)) continue;
    double *const number = number_at(&stepped, s->field, i), was = *number, is = was + by;
    *number = stays_above_zero(s->field) ? fmax(is, 0.01 * was) : is;
  }
  const sy_status status = place || s->field == SY_STATED_CROSS_SHARE
                               ? sy_loadmap_make(&stepped.vehicle, level, &stepped.map, err)
                               : SY_OK;
  if (status == SY_OK) *out = stepped;
  return status;
}

sy_status sy_car_set_cross(const sy_car *car, double cross_share, sy_car *out, sy_error *err) {
  sy_car set = *car;
  set.vehicle.cross_share = cross_share;
  const sy_status status = sy_loadmap_make(&set.vehicle, level, &set.map, err);
  if (status == SY_OK) *out = set;
  return status;
}

bool sy_car_has_rates(const sy_car *car) {
  for (int i = 0; i < car->map.wheel_count; i++)
    if (isnan(car->vehicle.wheel[i].spring_rate) || isnan(car->vehicle.wheel[i].tyre_rate)) return false;
  return true;
}

sy_vec3 sy_car_gravity(const sy_car *car) {
  const double g = SY_STANDARD_GRAVITY, fore = sin(car->nose_up), across = sin(car->left_up);
  return (sy_vec3){-g * fore, -g * across, -g * sqrt(1.0 - fore * fore - across * across)};
}
