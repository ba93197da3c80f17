#include "statics/corner_body.h"

#include <math.h>
#include <string.h>

#include "base/finite.h"

/* Weight on the springs of a piece whose sums are s; `at` NAN when it acts at its own x, else the axle it hangs on. */
static void add_weight(sy_corner_load *load, const sy_vehicle *v, sy_vec3 g, const sy_sums *s, double at) {
  const double down = -g.z, length = sy_vehicle_wheelbase(v), last = v->axle[v->axle_count - 1].x;
  /* moments of the tilted weight: m |g_z| at x + z g_x / |g_z|, likewise y */
  const double about_y = down * s->first.x + g.x * s->first.z;
  const double about_x = down * s->first.y + g.y * s->first.z;
  const double product =
      down * s->second.xy + g.y * s->second.xz; /* the roll moment, each part's times its x */
  const double front = isnan(at) ? (product - last * about_x) / length : about_x * sy_corner_nearness(v, at);
  load->body[0] += down * s->m;
  load->body[1] -= about_y;
  load->body[2] += front;
  load->body[3] += about_x - front;
}

static void add_couple(sy_corner_load *load, const sy_vehicle *v, sy_vec3 g, const sy_totals *t, int axle,
                       double unsprung_first_z) {
  load->couple[axle] = g.y * unsprung_first_z;
  if (v->axle_count != 2) return;
  const sy_sums *body = &t->carried[SY_CARRIER_BODY];
  const double other = v->axle[1 - axle].x, reach = v->axle[axle].x - other;
  const double sprung =
      t->carriers & 1u ? (body->first.x - other * body->m) / reach : 0.0; /* kg on the axle */
  load->couple[axle] = g.y * (sprung * v->axle[axle].roll_centre + unsprung_first_z);
}

sy_status sy_corner_load_of(const sy_totals *totals, const sy_vehicle *vehicle, sy_vec3 gravity,
                            sy_corner_load *out, sy_error *err) {
  if (!sy_vec3_finite(gravity)) return sy_fail(err, SY_RANGE, "vehicle", "gravity", "is not finite");
  if (!(gravity.z < 0.0))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "gravity", "has z = %g m/s2, does not point into the ground",
                   gravity.z);
  if (!(totals->all.m > 0)) return sy_fail(err, SY_MISSING, "vehicle", "mass", "nothing aboard has a mass");
  sy_status status = sy_vehicle_check_counts(vehicle, err);
  if (status != SY_OK) return status;
  sy_corner_load load;
  memset(&load, 0, sizeof load);
  sy_contact wheel[SY_MAX_WHEELS];
  const int count = sy_vehicle_contacts(vehicle, wheel);
  if (totals->carriers & 1u)
    add_weight(&load, vehicle, gravity, &totals->carried[SY_CARRIER_BODY], (double)NAN);
  for (int a = 0; a < vehicle->axle_count; a++) {
    double first_z = 0.0;
    const double x = vehicle->axle[a].x;
    const bool shared = totals->carriers >> (SY_CARRIER_AXLE + a) & 1u;
    const sy_sums *axle = &totals->carried[SY_CARRIER_AXLE + a];
    if (shared) {
      add_weight(&load, vehicle, gravity, axle, x);
      first_z += axle->first.z;
    }
    double askew = 0.0; /* N m of roll that wheels off the axle line take nearer to the front than it is */
    for (int i = 0; i < count; i++) {
      if (wheel[i].axle != a) continue;
      const double off =
          wheel[i].x == x ? 0.0 : sy_corner_nearness(vehicle, wheel[i].x) - sy_corner_nearness(vehicle, x);
      if (shared) { /* the lever rule in y */
        const double tilt =
            wheel[i].side == 0 ? 0.0 : wheel[i].side * axle->first.y / sy_vehicle_track(vehicle, a);
        const double weight = -gravity.z * (axle->m * sy_vehicle_lever(vehicle, a, wheel[i].side) + tilt);
        load.wheel[i] += weight;
        askew += weight * wheel[i].y * off;
      }
      if (totals->carriers >> (SY_CARRIER_WHEEL + i) & 1u) {
        const sy_sums *own = &totals->carried[SY_CARRIER_WHEEL + i];
        add_weight(&load, vehicle, gravity, own, wheel[i].x);
        load.wheel[i] -= gravity.z * own->m;
        first_z += own->first.z;
        askew -= gravity.y * own->first.z * off; /* a couple of the axle, as all that links carry */
      }
    }
    add_couple(&load, vehicle, gravity, totals, a, first_z);
    if (load.couple[a] != 0.0)
      askew += load.couple[a] * (sy_corner_links(vehicle, a) - sy_corner_nearness(vehicle, x));
    load.body[2] += askew;
    load.body[3] -= askew;
  }
  status = sy_finite_results(load.body, sizeof load / sizeof(double), "vehicle", "mass", err);
  if (status == SY_OK) *out = load;
  return status;
}
