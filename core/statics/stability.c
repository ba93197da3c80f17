#include "statics/stability.h"

#include <float.h>
#include <math.h>

#include "base/units.h"

/* The edges are lines through two wheels with all others on their left. */
sy_reach sy_stability_reach(const sy_vehicle *vehicle, double x, double y, double dx, double dy) {
  sy_contact wheel[SY_MAX_WHEELS];
  const int count = sy_vehicle_contacts(vehicle, wheel);
  sy_reach best = {(double)INFINITY, {0, 0}};
  for (int i = 0; i < count; i++)
    for (int j = 0; j < count; j++) {
      const double ex = wheel[j].x - wheel[i].x, ey = wheel[j].y - wheel[i].y;
      bool edge = i != j;
      for (int k = 0; k < count && edge; k++)
        edge = ex * (wheel[k].y - wheel[i].y) - ey * (wheel[k].x - wheel[i].x) >= 0.0;
      if (!edge) continue;
      const double closing = ey * dx - ex * dy;
      /* a point on the edge is not outside it by what rounding leaves of its place */
      const double nothing =
          16.0 * DBL_EPSILON *
          (fabs(ex) * (fabs(y) + fabs(wheel[i].y)) + fabs(ey) * (fabs(x) + fabs(wheel[i].x)));
      double inside = ex * (y - wheel[i].y) - ey * (x - wheel[i].x);
      if (fabs(inside) <= nothing) inside = 0.0;
      if (inside < 0.0) return (sy_reach){inside / hypot(ex, ey), {i, j}};
      if (closing > 0.0 && inside / closing < best.distance / hypot(dx, dy))
        best = (sy_reach){inside / closing * hypot(dx, dy), {i, j}};
    }
  return best;
}

double sy_stability_ssf(const sy_vehicle *vehicle, double height) {
  double track = 0.0;
  for (int a = 0; a < vehicle->axle_count; a++) {
    if (vehicle->axle[a].wheels == 1) return (double)NAN;
    track += sy_vehicle_track(vehicle, a);
  }
  return track / vehicle->axle_count / (2.0 * height);
}

double sy_stability_side(const sy_vehicle *vehicle, sy_vec3 cg, double forward, int side, sy_reach *edge) {
  const sy_reach reach = sy_stability_reach(vehicle, cg.x + cg.z * forward, cg.y, 0.0, side);
  if (edge != NULL) *edge = reach;
  return reach.distance < 0.0 ? (double)NAN : reach.distance / cg.z;
}

double sy_stability_roll_arms(const sy_vehicle *vehicle, double arm[SY_MAX_WHEELS]) {
  sy_contact wheel[SY_MAX_WHEELS];
  const int count = sy_vehicle_contacts(vehicle, wheel);
  double x = 0.0, y = 0.0, along = 0.0, both = 0.0, squares = 0.0;
  for (int i = 0; i < count; i++) x += wheel[i].x / count, y += wheel[i].y;
  y /= count; /* equal sides cancel one by one, and leave their y as it is */
  for (int i = 0; i < count; i++) {
    along += (wheel[i].x - x) * (wheel[i].x - x);
    both += (wheel[i].x - x) * (wheel[i].y - y);
  }
  for (int i = 0; i < count; i++) {
    arm[i] = wheel[i].y - y - both / along * (wheel[i].x - x);
    squares += arm[i] * arm[i];
  }
  return squares;
}

double sy_stability_lift_off(const sy_vehicle *vehicle, const double level[SY_MAX_WHEELS], double height,
                             int side, int *out) {
  const int count = sy_vehicle_first_wheel(vehicle, vehicle->axle_count);
  double arm[SY_MAX_WHEELS] = {0}, weight = 0.0, first = (double)INFINITY;
  const double squares = sy_stability_roll_arms(vehicle, arm);
  for (int i = 0; i < count; i++) weight += level[i];
  for (int i = 0; i < count; i++) {
    if (!(side * arm[i] < 0.0)) continue; /* the high side */
    const double tangent = level[i] * squares / (weight * height * fabs(arm[i]));
    if (!(tangent < first)) continue;
    first = tangent;
    if (out != NULL) *out = i;
  }
  return first;
}

/* Weight and downforce over the weight, and the point where they act along the vehicle. */
static double press_of(const sy_vehicle *v, double mass, double x, const double *downforce, double *at) {
  const double weight = mass * SY_STANDARD_GRAVITY;
  double force = weight, moment = weight * x;
  for (int a = 0; a < v->axle_count; a++) {
    force += downforce[a];
    moment += downforce[a] * v->axle[a].x;
  }
  *at = moment / force;
  return force / weight;
}

/* Weight and air act at x_e, y / p, and an acceleration turns mass times height: as if the height were h / p. */
sy_vec3 sy_stability_pressed(const sy_vehicle *v, double mass, sy_vec3 cg,
                             const double downforce[SY_MAX_AXLES]) {
  double x;
  const double press = press_of(v, mass, cg.x, downforce, &x);
  return (sy_vec3){x, cg.y / press, cg.z / press};
}

static bool on_lines(const sy_vehicle *v, const sy_loadmap *map) {
  bool on = true;
  for (int i = 0; i < map->wheel_count; i++) on = on && map->wheel[i].x == v->axle[map->wheel[i].axle].x;
  return on;
}

/* Loads are linear in the moments, so the front axle's and how it follows m x say it all. */
sy_between sy_stability_between(const sy_vehicle *v, const sy_loadmap *map, double mass, sy_vec3 cg,
                                const double downforce[SY_MAX_AXLES]) {
  double x;
  const double press = press_of(v, mass, cg.x, downforce, &x);
  if (on_lines(v, map)) return (sy_between){v->axle[0].x - x, x - v->axle[1].x, cg.z, press};
  const double q[4] = {mass, mass * cg.x, mass * cg.y, mass * cg.z};
  double front = downforce[0], rate = 0.0;
  for (int i = 0; i < map->wheel_count; i++) {
    if (map->wheel[i].axle != 0) continue;
    front += sy_load_sum(map->c[i], q);
    rate += map->c[i][1];
  }
  const double length = SY_STANDARD_GRAVITY / rate;
  const double b = length * front / (mass * SY_STANDARD_GRAVITY * press);
  return (sy_between){length - b, b, cg.z, press};
}

/* share / (1 + height term), where a denominator that is not above 0 never limits */
static double held(double grip, double denominator) {
  return denominator > 0.0 ? grip / denominator : (double)INFINITY;
}

sy_traction sy_stability_traction(sy_between cg, double mu) {
  const double length = cg.a + cg.b, wheelie = cg.b / cg.height;
  return (sy_traction){cg.press * held(mu * cg.b, length + mu * cg.height),
                       cg.press * fmin(held(mu * cg.a, length - mu * cg.height), wheelie),
                       cg.press * fmin(mu, wheelie)};
}

sy_split_traction sy_stability_split_traction(sy_between cg, double mu, double front_share) {
  const double length = cg.a + cg.b;
  sy_split_traction out;
  out.front_slips = cg.press * held(mu * cg.b, front_share * length + mu * cg.height);
  out.rear_slips = cg.press * held(mu * cg.a, (1.0 - front_share) * length - mu * cg.height);
  out.lifts = cg.press * cg.b / cg.height;
  out.most = fmin(fmin(out.front_slips, out.rear_slips), out.lifts);
  out.ideal = (cg.b - mu * cg.height) / length;
  return out;
}

double sy_stability_ideal_brake(sy_between cg, double z) {
  return (cg.b + z / cg.press * cg.height) / (cg.a + cg.b);
}

sy_braking sy_stability_braking(sy_between cg, double mu, double front_share) {
  const double length = cg.a + cg.b;
  sy_braking out;
  out.front_locks = cg.press * held(mu * cg.b, front_share * length - mu * cg.height);
  out.rear_locks = cg.press * held(mu * cg.a, (1.0 - front_share) * length + mu * cg.height);
  out.critical = cg.press * (front_share * length - cg.b) / cg.height;
  out.rear_first = out.rear_locks < out.front_locks;
  return out;
}
