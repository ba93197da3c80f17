#include "statics/transfer.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/units.h"
#include "numeric/repeat.h"
#include "statics/corner_body.h"
#include "statics/corner_straight.h"
#include "statics/equilibrium.h"

/* ---- making ------------------------------------------------------------------------------------------------------------- */

/* Here a model has no corner of its own yet: that is most of it, and copied when all is well. */

/* Unsprung mass times height by axle. */
static void unsprung_heights(const sy_totals *t, const sy_corner_model *m, double *out) {
  for (int a = 0; a < m->vehicle.axle_count; a++) {
    out[a] = t->carriers >> (SY_CARRIER_AXLE + a) & 1u ? t->carried[SY_CARRIER_AXLE + a].first.z : 0.0;
    for (int i = 0; i < m->wheel_count; i++)
      if (m->wheel[i].axle == a && t->carriers >> (SY_CARRIER_WHEEL + i) & 1u)
        out[a] += t->carried[SY_CARRIER_WHEEL + i].first.z;
  }
}

static void lay_out(const sy_corner_model *m, sy_transfer_model *out) {
  const sy_vehicle *v = &m->vehicle;
  const double length = sy_vehicle_wheelbase(v), last = v->axle[v->axle_count - 1].x;
  sy_sums body = {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  if (out->totals.carriers & 1u) body = out->totals.carried[SY_CARRIER_BODY];
  const double high = (body.second.xz - last * body.first.z) / length,
               front = (body.first.x - last * body.m) / length;
  out->lean[0] =
      high; /* each part's height is shared by the lever rule at its own x, as its weight is in corner.h */
  out->lean[1] = body.first.z - high;
  out->reach[0] = (body.second.xx - last * body.first.x) / length;
  out->reach[1] = body.first.x - out->reach[0];
  unsprung_heights(&out->totals, m, out->unsprung);
  out->mass[0] = front;
  out->mass[1] = body.m - front;
  for (int a = 0; a < v->axle_count; a++) {
    const double c = sy_corner_nearness(v, v->axle[a].x);
    out->geometric[a] = out->under[a] = 0.0;
    if (v->axle[a].wheels == 1) { /* leans with the body */
      out->lean[0] += out->unsprung[a] * c;
      out->lean[1] += out->unsprung[a] * (1.0 - c);
      out->unsprung[a] = 0.0;
      continue;
    }
    if (v->axle_count == 2) {
      out->geometric[a] = out->mass[a] * v->axle[a].roll_centre;
      out->lean[a] -= out->geometric[a];
    }
    out->under[a] = out->geometric[a] + out->unsprung[a];
  }
}

/* kg that stand on each axle on level ground: of more than two by equal vertical rates. */
static sy_status axle_masses(const sy_vehicle *v, const sy_transfer_model *t, double *out, sy_error *err) {
  const sy_sums *s = &t->totals.all;
  if (v->axle_count == 2) {
    out[0] = (s->first.x - v->axle[1].x * s->m) / (v->axle[0].x - v->axle[1].x);
    out[1] = s->m - out[0];
    return SY_OK;
  }
  sy_loadmap map;
  double load[SY_MAX_WHEELS];
  const sy_status status = sy_loadmap_make(v, (sy_vec3){0, 0, -1}, &map, err);
  if (status != SY_OK) return status;
  sy_loadmap_apply(&map, (const double[4]){s->m, s->first.x, s->first.y, s->first.z}, load);
  for (int a = 0; a < v->axle_count; a++) out[a] = 0.0;
  for (int i = 0; i < map.wheel_count; i++) out[map.wheel[i].axle] += load[i];
  return SY_OK;
}

static sy_status give_sideways(const sy_vehicle *v, sy_transfer_model *t, sy_error *err) {
  bool any = false;
  for (int a = 0; a < v->axle_count; a++) any = any || !isnan(v->axle[a].lateral_rate);
  if (!any) return SY_OK;
  const sy_status status = axle_masses(v, t, t->mass_on, err);
  for (int a = 0; a < v->axle_count && status == SY_OK; a++)
    if (!isnan(v->axle[a].lateral_rate))
      t->sideways[a] = t->mass_on[a] / (v->axle[a].wheels * v->axle[a].lateral_rate);
  return status;
}

double sy_transfer_sideways(const sy_transfer_model *t, sy_vec3 gravity, int axle) {
  const sy_vehicle *v = &t->corner.vehicle;
  double load = -gravity.z * t->mass_on[axle] + t->downforce[axle];
  if (v->axle_count == 2) load += gravity.x * t->totals.all.first.z / (v->axle[axle].x - v->axle[1 - axle].x);
  return load * t->sideways[axle] * gravity.y;
}

/* Springs and bar of an axle in series with its tyres, which also bear what leans with them: load of each wheel by the rise of the body
** over each, S (S + T)^-1 T. False when the axle falls over on its tyres. */
static bool axle_stiffness(const sy_transfer_model *t, const sy_corner_model *m, int axle, int first,
                           double gravity, sy_axle_sensitivities *out) {
  const double *spring = m->wheel_rate + first, *tyre = m->tyre_rate + first;
  memset(out, 0, sizeof *out);
  if (m->vehicle.axle[axle].wheels == 1) {
    out->stiffness[0][0] = spring[0] * tyre[0] / (spring[0] + tyre[0]);
    return true;
  }
  const double track = sy_vehicle_track(&m->vehicle, axle),
               bar = t->bars ? m->vehicle.axle[axle].bar_rate : 0.0;
  const double lean = gravity * t->under[axle] / (track * track); /* N/m of difference in height */
  const double s[2][2] = {{spring[0] + bar, -bar}, {-bar, spring[1] + bar}},
               k[2][2] = {{tyre[0] - lean, lean}, {lean, tyre[1] - lean}};
  if (!(k[0][0] > 0.0 && k[0][0] * k[1][1] > lean * lean)) return false;
  const double sum[2][2] = {{s[0][0] + k[0][0], s[0][1] + k[0][1]}, {s[1][0] + k[1][0], s[1][1] + k[1][1]}};
  const double det = sum[0][0] * sum[1][1] - sum[0][1] * sum[1][0];
  const double inverse[2][2] = {{sum[1][1] / det, -sum[0][1] / det}, {-sum[1][0] / det, sum[0][0] / det}};
  for (int w = 0; w < 2; w++)
    for (int v = 0; v < 2; v++)
      for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++) out->stiffness[w][v] += s[w][i] * inverse[i][j] * k[j][v];
  return true;
}

static bool body_stiffness(const sy_transfer_model *t, const sy_corner_model *m, double gravity,
                           double k[4][4]) {
  memset(k, 0, 16 * sizeof(double));
  sy_corner_add_torsion(m, k);
  for (int a = 0, first = 0; a < m->vehicle.axle_count; first += m->vehicle.axle[a].wheels, a++) {
    sy_axle_sensitivities axle;
    if (!axle_stiffness(t, m, a, first, gravity, &axle)) return false;
    sy_corner_add_axle(m, &axle, first, m->vehicle.axle[a].wheels, k);
  }
  return true;
}

/* For sentences: nobody reads more. */
static double tenths(double x) { return round(10.0 * x) / 10.0; }

/* What it takes to roll the whole body against springs, bars and tyres, N m/rad, free to rise and pitch along: the last pivot. */
static double roll_rate(const sy_corner_model *m, const sy_transfer_model *t, double gravity) {
  sy_corner_model rigid = *m;
  double k[4][4];
  rigid.rigid = true;
  return body_stiffness(t, &rigid, gravity, k) && sy_corner_factor(k, 3) ? k[2][2] * k[2][2] : 0.0;
}

/* Stable while the energy of springs, tyres and chassis grows with any motion faster than the weight above the roll axis gives back. */
static sy_status check_roll(const sy_corner_model *m, const sy_transfer_model *t, sy_error *err) {
  const double g = SY_STANDARD_GRAVITY;
  double k[4][4];
  if (!body_stiffness(t, m, g, k))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "tyre_rate", "lets the vehicle fall over on its tyres");
  double lean[4];
  sy_corner_fold(m, (const double[4]){0.0, 0.0, g * t->lean[0], g * t->lean[1]}, lean);
  for (int i = 2; i < sy_corner_freedoms(m); i++) k[i][i] -= lean[i];
  if (sy_corner_factor(k, sy_corner_freedoms(m))) return SY_OK;
  return sy_fail(err, SY_GEOMETRY, "vehicle", "spring_rate",
                 "leaves it unstable in roll: springs, bars and tyres give %g N m/deg, the weight above the "
                 "roll axis takes %g",
                 tenths(roll_rate(m, t, g) * SY_DEGREE), tenths(g * (t->lean[0] + t->lean[1]) * SY_DEGREE));
}

sy_status sy_transfer_make(const sy_corner_model *corner, const sy_totals *now, const double *downforce,
                           bool bars, sy_transfer_model *out, sy_error *err) {
  if (!(now->all.m > 0)) return sy_fail(err, SY_MISSING, "vehicle", "mass", "nothing aboard has a mass");
  enum { BEHIND = sizeof(sy_transfer_model) - offsetof(sy_transfer_model, totals) };
  sy_transfer_model t;
  memset(&t.totals, 0, BEHIND);
  t.totals = *now;
  t.bars = bars;
  t.brake_front_share = (double)NAN;
  for (int a = 0; downforce != NULL && a < corner->vehicle.axle_count; a++) {
    if (!isfinite(downforce[a])) return sy_fail(err, SY_RANGE, "vehicle", "downforce", "is not finite");
    t.downforce[a] = downforce[a];
  }
  lay_out(corner, &t);
  double sum = 0.0; /* finite when all of them are */
  for (int k = 0; k < 2; k++) sum += t.lean[k] + t.mass[k] + t.reach[k];
  for (int a = 0; a < corner->vehicle.axle_count; a++) sum += t.under[a];
  if (!isfinite(sum)) return sy_fail(err, SY_RANGE, "vehicle", "mass", "or its moments are not finite");
  sy_status status = give_sideways(&corner->vehicle, &t, err);
  if (status == SY_OK) status = check_roll(corner, &t, err);
  if (status != SY_OK) return status;
  if (corner != &out->corner) out->corner = *corner;
  memcpy(&out->totals, &t.totals, BEHIND);
  return SY_OK;
}

/* ---- solving ------------------------------------------------------------------------------------------------------------- */

double sy_transfer_hub_roll(const sy_transfer_model *t, const sy_corner_result *r, int axle) {
  if (t->corner.vehicle.axle[axle].wheels == 1) return 0.0;
  const int i = sy_vehicle_first_wheel(&t->corner.vehicle, axle);
  /* pitch lifts the wheel behind over the one ahead, and turns nothing sideways */
  const double by_pitch = r->pose[1] * (t->corner.wheel[i].x - t->corner.wheel[i + 1].x);
  return (r->height[i] + r->travel[i] - r->height[i + 1] - r->travel[i + 1] + by_pitch) /
         sy_vehicle_track(&t->corner.vehicle, axle);
}

/* How much higher than drawn what leans stands, times its mass: kg m, sprung by halves and unsprung by axles. */
typedef struct rises {
  double sprung[2], unsprung[SY_MAX_AXLES];
} rises;

/* Under what presses straight down, `load`: the weight's part into the ground, and air. */
static sy_status find_rises(const sy_transfer_model *t, double down, const sy_corner_setting *setting,
                            const sy_corner_load *load, rises *out, sy_error *err) {
  sy_corner_result r;
  const sy_status status = sy_corner_solve(&t->corner, load, setting, &r, err);
  if (status != SY_OK) return status;
  memset(out, 0, sizeof *out);
  for (int k = 0; k < 2; k++) out->sprung[k] = t->mass[k] * r.pose[0] - t->reach[k] * r.pose[1];
  for (int i = 0; i < t->corner.wheel_count; i++)
    out->unsprung[t->corner.wheel[i].axle] += load->wheel[i] / down * (r.height[i] + r.travel[i]);
  return SY_OK;
}

/* The moments of what stands higher or lower than drawn, pushed by gravity, and of what has gone sideways over tyres that give. */
static void add_rises(const sy_transfer_model *t, sy_vec3 gravity, const rises *up, sy_corner_load *load) {
  for (int k = 0; k < 2; k++) {
    load->body[1] -= gravity.x * up->sprung[k];
    load->body[2 + k] += gravity.y * up->sprung[k];
  }
  for (int a = 0; a < t->corner.vehicle.axle_count; a++) {
    const double c = sy_corner_links(&t->corner.vehicle, a);
    load->body[1] -= gravity.x * up->unsprung[a];
    load->body[2] += gravity.y * up->unsprung[a] * c;
    load->body[3] += gravity.y * up->unsprung[a] * (1.0 - c);
    load->couple[a] += gravity.y * up->unsprung[a];
    const double past = t->sideways[a] != 0.0 ? sy_transfer_sideways(t, gravity, a) : 0.0; /* the springs */
    load->body[2] += past * c;
    load->body[3] += past * (1.0 - c);
    load->couple[a] += past;
  }
}

/* The part of the force along the vehicle that acts at the front axle. */
static double front_share(const sy_transfer_model *t, bool brakes, const sy_corner_load *load) {
  const sy_axle *a = t->corner.vehicle.axle;
  const bool front = a[0].drive_links != 0.0 || !isnan(a[0].drive_angle),
             rear = a[1].drive_links != 0.0 || !isnan(a[1].drive_angle);
  if (brakes && !isnan(t->brake_front_share)) return t->brake_front_share;
  if (!brakes && front != rear) return front ? 1.0 : 0.0;
  const double weight = (-load->body[1] - a[1].x * load->body[0]) / (a[0].x - a[1].x);
  const double on_front = fmax(0.0, weight + t->downforce[0]),
               on_rear = fmax(0.0, load->body[0] - weight + t->downforce[1]);
  return on_front / (on_front + on_rear);
}

/* The part of an axle's load transfer that its links carry, and the part of the force along the vehicle that is at the front. */
static sy_transfer_links links_of(const sy_transfer_model *t, sy_vec3 gravity, const sy_corner_load *load,
                                  double height) {
  const sy_vehicle *v = &t->corner.vehicle;
  const bool brakes = gravity.x > 0.0;
  sy_transfer_links out = {{0, 0}, front_share(t, brakes, load)};
  for (int a = 0; a < 2; a++) {
    const double angle = brakes ? v->axle[a].brake_angle : v->axle[a].drive_angle;
    const double share = a == 0 ? out.front_share : 1.0 - out.front_share;
    out.part[a] = brakes ? v->axle[a].brake_links : v->axle[a].drive_links;
    if (!isnan(angle)) out.part[a] = share * tan(angle) * sy_vehicle_wheelbase(v) / height;
  }
  return out;
}

/* kg m: what a force along the vehicle turns it by, for each m/s^2 */
static double turned_by_force(const sy_transfer_model *t, const rises *up) {
  double moment = t->totals.all.first.z + up->sprung[0] + up->sprung[1];
  for (int a = 0; a < t->corner.vehicle.axle_count; a++) moment += up->unsprung[a];
  return moment;
}

static bool along(const sy_transfer_model *t, sy_vec3 gravity) {
  return t->corner.vehicle.axle_count == 2 && gravity.x != 0.0;
}

/* What links press the wheels down by and hold the body up by: forces between the two, so the sums over the body stay. */
static void add_links(const sy_transfer_model *t, sy_vec3 gravity, const rises *up, sy_corner_load *load) {
  const sy_vehicle *v = &t->corner.vehicle;
  if (!along(t, gravity)) return;
  const double moment = turned_by_force(t, up), onto_front = gravity.x * moment / sy_vehicle_wheelbase(v);
  const sy_transfer_links links = links_of(t, gravity, load, moment / t->totals.all.m);
  for (int a = 0, i = 0; a < 2; a++)
    for (int w = 0; w < v->axle[a].wheels; w++, i++)
      load->wheel[i] += (a == 0 ? onto_front : -onto_front) * links.part[a] *
                        sy_vehicle_lever(v, a, t->corner.wheel[i].side);
}

/* The moments of the weight that has gone sideways with the rolls: of both halves of the body, then of each axle's hubs. */
static void add_lean(const sy_transfer_model *t, double down, const rises *up, const double *roll,
                     sy_corner_load *load) {
  for (int k = 0; k < 2; k++) load->body[2 + k] -= down * (t->lean[k] + up->sprung[k]) * roll[k];
  for (int a = 0; a < t->corner.vehicle.axle_count; a++) {
    if (t->corner.vehicle.axle[a].wheels == 1) continue;
    const double c = sy_corner_links(&t->corner.vehicle, a);
    const double past = down * (t->under[a] + up->unsprung[a]) * roll[2 + a];
    load->body[2] -= past * c;
    load->body[3] -= past * (1.0 - c);
    load->couple[a] -= past;
  }
}

/* What it is pushed from: the setting, the loads of what presses straight down, and what that makes stand higher or lower than drawn. */
typedef struct footing {
  sy_corner_setting setting;
  sy_corner_load level;
  rises up;
} footing;

static sy_status set_down(const sy_transfer_model *t, double down, footing *f, sy_error *err) {
  memset(&f->setting, 0, sizeof f->setting);
  f->setting.bars = t->bars;
  memcpy(f->setting.downforce, t->downforce, sizeof f->setting.downforce);
  sy_status status =
      sy_corner_load_of(&t->totals, &t->corner.vehicle, (sy_vec3){0, 0, -down}, &f->level, err);
  if (status == SY_OK) status = find_rises(t, down, &f->setting, &f->level, &f->up, err);
  return status;
}

/* The loads before the body leans, of a gravity whose part into the ground is that of the footing. */
static sy_status push(const sy_transfer_model *t, sy_vec3 gravity, const footing *f, sy_corner_load *load,
                      sy_error *err) {
  sy_status status = SY_OK;
  if (gravity.x == 0.0 && gravity.y == 0.0)
    *load = f->level;
  else
    status = sy_corner_load_of(&t->totals, &t->corner.vehicle, gravity, load, err);
  if (status == SY_OK) add_rises(t, gravity, &f->up, load);
  return status;
}

sy_status sy_transfer_links_at(const sy_transfer_model *t, sy_vec3 gravity, sy_transfer_links *out,
                               sy_error *err) {
  sy_corner_load load;
  footing f;
  const double none = (double)NAN;
  sy_status status = set_down(t, -gravity.z, &f, err);
  if (status == SY_OK) status = push(t, gravity, &f, &load, err);
  if (status != SY_OK) return status;
  *out = along(t, gravity) ? links_of(t, gravity, &load, turned_by_force(t, &f.up) / t->totals.all.m)
                           : (sy_transfer_links){{none, none}, none};
  return SY_OK;
}

sy_status sy_transfer_solve(const sy_transfer_model *t, sy_vec3 gravity, sy_corner_result *out,
                            sy_error *err) {
  double upright[SY_TRANSFER_ROLLS] = {0};
  return sy_transfer_solve_from(t, gravity, upright, out, err);
}

/* While all wheels touch and are free there are no rounds to be taken. */
static bool solve_straight(const sy_transfer_model *t, double down, const rises *up,
                           const sy_corner_setting *setting, const sy_corner_load *plain,
                           double roll[SY_TRANSFER_ROLLS], sy_corner_result *out) {
  const int axles = t->corner.vehicle.axle_count;
  const sy_corner_load load = sy_corner_press(&t->corner, plain, setting);
  sy_corner_lean lean;
  sy_corner_result r;
  for (int k = 0; k < 2; k++) lean.body[k] = down * (t->lean[k] + up->sprung[k]);
  for (int a = 0; a < axles; a++) lean.hubs[a] = down * (t->under[a] + up->unsprung[a]);
  if (!sy_corner_straight(&t->corner, &load, setting, &lean, &r)) return false;
  roll[0] = r.pose[2], roll[1] = r.pose[3];
  for (int a = 0; a < axles; a++) roll[2 + a] = sy_transfer_hub_roll(t, &r, a);
  *out = r;
  return true;
}

/* By repetition, from a lean near the answer or none. */
static sy_status solve_by_rounds(const sy_transfer_model *t, double down, const footing *f,
                                 const sy_corner_load *plain, double roll[SY_TRANSFER_ROLLS],
                                 sy_corner_result *out, sy_error *err) {
  const int axles = t->corner.vehicle.axle_count;
  double at[SY_TRANSFER_ROLLS];
  memcpy(at, roll, sizeof at);
  sy_repeat rounds;
  memset(&rounds, 0, sizeof rounds);
  const double still = 1e-13; /* rad: moves a load by less than its rounding */
  for (int round = 0; round < SY_REPEAT_MOST; round++) {
    sy_corner_load load = *plain;
    add_lean(t, down, &f->up, at, &load);
    sy_corner_result r;
    const sy_status status = sy_corner_solve(&t->corner, &load, &f->setting, &r, err);
    if (status == SY_GEOMETRY && sy_repeat_back(&rounds, 2 + axles, at)) continue;
    if (status != SY_OK) return status;
    double now[SY_TRANSFER_ROLLS] = {r.pose[2], r.pose[3]};
    for (int a = 0; a < axles; a++) now[2 + a] = sy_transfer_hub_roll(t, &r, a);
    if (sy_repeat_next(&rounds, 2 + axles, at, now) > still) continue;
    memcpy(roll, now, sizeof now);
    *out = r;
    return SY_OK;
  }
  if (sy_repeat_runs_away(&rounds))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "goes on moving sideways: it would tip");
  return sy_fail(err, SY_LIMIT, "vehicle", "springs", "and the lean of the body do not settle in %d rounds",
                 (int)SY_REPEAT_MOST);
}

static sy_status solve_on(const sy_transfer_model *t, sy_vec3 gravity, const footing *f,
                          double roll[SY_TRANSFER_ROLLS], sy_corner_result *out, sy_error *err) {
  sy_corner_load plain;
  const sy_status pushed = push(t, gravity, f, &plain, err);
  if (pushed != SY_OK) return pushed;
  add_links(t, gravity, &f->up, &plain);
  if (solve_straight(t, -gravity.z, &f->up, &f->setting, &plain, roll, out)) return SY_OK;
  return solve_by_rounds(t, -gravity.z, f, &plain, roll, out, err);
}

sy_status sy_transfer_solve_from(const sy_transfer_model *t, sy_vec3 gravity, double roll[SY_TRANSFER_ROLLS],
                                 sy_corner_result *out, sy_error *err) {
  footing f;
  if (!sy_vec3_finite(gravity)) return sy_fail(err, SY_RANGE, "vehicle", "gravity", "is not finite");
  const sy_status status = set_down(t, -gravity.z, &f, err);
  if (status != SY_OK) return status;
  for (int a = 0; a < 2 + t->corner.vehicle.axle_count; a++)
    if (!isfinite(roll[a])) return sy_fail(err, SY_RANGE, "vehicle", "roll", "is not finite");
  return solve_on(t, gravity, &f, roll, out, err);
}

sy_status sy_transfer_solve_both(const sy_transfer_model *t, sy_vec3 gravity, sy_corner_result *rest,
                                 sy_corner_result *out, sy_error *err) {
  footing f;
  sy_corner_result still, loaded;
  double roll[SY_TRANSFER_ROLLS] = {0}, pushed[SY_TRANSFER_ROLLS] = {0};
  if (!sy_vec3_finite(gravity)) return sy_fail(err, SY_RANGE, "vehicle", "gravity", "is not finite");
  sy_status status = set_down(t, -gravity.z, &f, err);
  if (status == SY_OK) status = solve_on(t, (sy_vec3){0, 0, gravity.z}, &f, roll, &still, err);
  if (status == SY_OK) status = solve_on(t, gravity, &f, pushed, &loaded, err);
  if (status != SY_OK) return status;
  *rest = still;
  *out = loaded;
  return SY_OK;
}
