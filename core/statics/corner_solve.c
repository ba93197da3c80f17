#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/finite.h"
#include "statics/corner_body.h"
#include "statics/corner_straight.h"

/* Settle all axles under the pose; gives the forces that remain on the freedoms, upward, and returns by how much rounding of
** heights may falsify them: a near-rigid tyre under a suspension at its stop turns the last bit of a height into newtons. */
static double settle(const sy_corner_model *m, const sy_corner_load *load, sy_axle_springs *axles,
                     sy_corner_result *r, double left[4]) {
  double noise = 0.0;
  double sum[4] = {-load->body[0], -load->body[1], -load->body[2], -load->body[3]};
  if (!m->rigid) {
    const double torque = m->drawn_torque + m->vehicle.torsion * (r->pose[2] - r->pose[3]);
    sum[2] -= torque;
    sum[3] += torque;
  }
  for (int a = 0, first = 0; a < m->vehicle.axle_count; first += axles[a].count, a++) {
    const int second = first + (axles[a].count == 2);
    sy_axle_state s = {.fits = {r->fits[first], r->fits[second]},
                       .travel = {r->travel[first], r->travel[second]}};
    double height[2] = {0, 0};
    for (int w = 0; w < axles[a].count; w++) height[w] = sy_corner_rise(m, r->pose, first + w);
    sy_axle_settle(&axles[a], height, &s);
    for (int w = 0; w < axles[a].count; w++) {
      const int i = first + w;
      r->height[i] = height[w];
      r->travel[i] = s.travel[w];
      r->load[i] = s.load[w];
      r->fits[i] = s.fits[w];
      for (int k = 0; k < 4; k++) {
        sum[k] += s.load[w] * m->arm[i][k];
        noise = fmax(noise, s.noise[w] * fabs(m->arm[i][k]));
      }
    }
    const double difference = axles[a].count == 2 ? s.travel[0] - s.travel[1] : 0.0;
    r->bar[a] = axles[a].bar_rate * difference + axles[a].bar_force - axles[a].links;
  }
  sy_corner_fold(m, sum, left);
  return noise * m->wheel_count;
}

static void move_pose(const sy_corner_model *m, const double from[4], double part, const double step[4],
                      double to[4]) {
  for (int k = 0; k < 4; k++) to[k] = from[k] + part * step[k];
  sy_corner_unfold(m, to);
}

/* Along the step the energy is convex. A full step is right where no case changes; where the step runs past the bottom, halve the
** bracket until the slope is down to a part of what it was: then the energy has fallen enough for the next step. A step that
** `leans` on wheels that do not touch is as long as they would allow; until one touches nothing holds it, so it is doubled while the
** energy still falls as before: else a small force that is left creeps towards them in thousands of steps. */
static double line_search(const sy_corner_model *m, const sy_corner_load *load, sy_axle_springs *axles,
                          bool leans, const double start[4], const double step[4], sy_corner_result *r,
                          double left[4]) {
  const int n = sy_corner_freedoms(m);
  const double before = sy_corner_dot(left, step, n), enough = 0.3 * before;
  const double rounding = 1e-9 * before; /* the slope at the bottom, where it should be 0 */
  double low = 0.0, high = 1.0, at = 1.0, noise = 0.0;
  for (int i = 0; i < 60; i++) { /* to the last bit at worst */
    move_pose(m, start, at, step, r->pose);
    noise = settle(m, load, axles, r, left);
    const double slope = sy_corner_dot(left, step, n);
    if (slope >= -rounding && (slope <= enough || (at == 1.0 && !leans))) break;
    if (leans && at == high && slope > 0.0) {
      low = at;
      at = high = 2.0 * at;
      continue;
    }
    *(slope > 0.0 ? &low : &high) = at;
    at = 0.5 * (low + high);
  }
  return noise;
}

static bool newton_step(const sy_corner_model *m, const sy_axle_springs *axles, const sy_wheel_case *fits,
                        const double left[4], double step[4], bool *leans) {
  static const sy_wheel_case all[SY_MAX_WHEELS] = {
      {true, 0}, {true, 0}, {true, 0}, {true, 0}, {true, 0}, {true, 0}, {true, 0}, {true, 0},
      {true, 0}, {true, 0}, {true, 0}, {true, 0}, {true, 0}, {true, 0}, {true, 0}, {true, 0}};
  const int n = sy_corner_freedoms(m);
  double k[4][4], full[4][4];
  sy_corner_stiffness(m, axles, fits, k);
  memcpy(step, left, 4 * sizeof *step);
  *leans = !sy_corner_factor(k, n);
  if (*leans) { /* too few wheels touch on the way: lean on the others a little, only the path changes */
    sy_corner_stiffness(m, axles, fits, k);
    sy_corner_stiffness(m, axles, all, full);
    for (int i = 0; i < n; i++)
      for (int j = 0; j < n; j++) k[i][j] += 1e-3 * full[i][j];
    if (!sy_corner_factor(k, n)) return false;
  }
  sy_corner_substitute(k, n, step);
  return true;
}

static sy_status refuse_wheel(sy_error *err, const sy_vehicle *v, int wheel, const char *field) {
  char name[SY_WHEEL_NAME];
  sy_vehicle_wheel_name(v, wheel, name);
  return sy_fail(err, SY_RANGE, name, field, "is not finite");
}

static sy_status refuse_axle(sy_error *err, const sy_vehicle *v, int axle, const char *field) {
  sy_error name;
  sy_fail(&name, SY_OK, NULL, NULL, "axle %d of %d", axle + 1, v->axle_count);
  return sy_fail(err, SY_RANGE, name.message, field, "is not finite");
}

static sy_status check_setting(const sy_corner_model *m, const sy_corner_setting *s, sy_error *err) {
  for (int i = 0; i < m->wheel_count; i++) {
    if (!isfinite(s->pad[i])) return refuse_wheel(err, &m->vehicle, i, "pad");
    if (!isfinite(s->perch[i])) return refuse_wheel(err, &m->vehicle, i, "perch");
  }
  for (int a = 0; a < m->vehicle.axle_count; a++)
    if (!isfinite(s->preload[a]) || !isfinite(s->downforce[a]))
      return refuse_axle(err, &m->vehicle, a, isfinite(s->preload[a]) ? "downforce" : "preload");
  return m->bent != 0 ? sy_corner_check_bent(m, s->perch, err) : SY_OK;
}

bool sy_corner_is_plain(const sy_corner_model *m, const sy_corner_result *r) {
  bool plain = m->bent == 0;
  for (int i = 0; i < m->wheel_count; i++) plain = plain && r->fits[i].touches && r->fits[i].stop == 0;
  return plain;
}

sy_status sy_corner_solve(const sy_corner_model *m, const sy_corner_load *weight,
                          const sy_corner_setting *setting, sy_corner_result *out, sy_error *err) {
  sy_status status = check_setting(m, setting, err);
  if (status == SY_OK) status = sy_corner_check_load(&m->vehicle, weight, err);
  if (status != SY_OK) return status;
  const sy_corner_load pressed = sy_corner_press(m, weight, setting), *load = &pressed;
  if (sy_corner_straight(m, load, setting, NULL, out)) return SY_OK; /* most vehicles, most of the time */
  if (!sy_corner_stands(m, load))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "lies outside the wheels: it would tip");
  sy_axle_springs axles[SY_MAX_AXLES];
  for (int a = 0, first = 0; a < m->vehicle.axle_count; first += axles[a].count, a++)
    axles[a] = sy_corner_axle(m, load, setting, a, first);
  sy_corner_result r;
  memset(&r, 0, sizeof r);
  for (int i = 0; i < m->wheel_count; i++) r.fits[i].touches = true;
  double left[4] = {0, 0, 0, 0}, step[4];
  double noise = settle(m, load, axles, &r, left);
  /* The forces that are left fall to a few roundings of the loads in one step while no case changes; a case that changes
  ** costs a step or two. */
  const double small = 1e-13 * load->body[0];
  const int most = 200;
  bool polished = m->bent == 0;
  for (int i = 0; i < most; i++) {
    double worst = 0.0;
    for (int k = 0; k < sy_corner_freedoms(m); k++) worst = fmax(worst, fabs(left[k]));
    const bool settled = worst <= small + noise || (i > most / 2 && worst <= 1e4 * small);
    if (settled && polished) {
      status = sy_finite_results(r.load, offsetof(sy_corner_result, fits) / sizeof(double), "vehicle",
                                 "springs", err);
      if (status == SY_OK) *out = r;
      return status;
    }
    bool leans;
    if (!newton_step(m, axles, r.fits, left, step, &leans)) break;
    double start[4];
    memcpy(start, r.pose, sizeof start);
    if (settled) { /* bent: the next step squares what is left of the error, down to the roundings that answers are differenced by */
      polished = true;
      move_pose(m, start, 1.0, step, r.pose);
      noise = settle(m, load, axles, &r, left);
      continue;
    }
    noise = line_search(m, load, axles, leans, start, step, &r, left);
  }
  return sy_fail(err, SY_LIMIT, "vehicle", "springs", "found no equilibrium in %d steps", most);
}
