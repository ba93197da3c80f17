#include "measure/cgheight_model.h"

#include <float.h>
#include <math.h>

#include "base/text.h"
#include "base/units.h"

static bool is_read(const sy_cgheight_reading *r, int end) { return !isnan(r->load[end]); }

size_t cgheight_group(const cgheight_problem *p, size_t reading) {
  return p->session->common_level ? 0 : p->session->reading[reading].run;
}

sy_lift_hold cgheight_hold(const cgheight_problem *p, size_t reading) {
  const sy_cgheight_session *s = p->session;
  const sy_lift_end end = s->reading[reading].lifted;
  return (sy_lift_hold){end, s->by_body && s->reading[reading].lift > 0, s->held[end][0], s->held[end][1]};
}

/* ---- checks ---------------------------------------------------------------------------------------------------------- */

static sy_status check_reading(const sy_cgheight_session *s, size_t i, sy_error *err) {
  const sy_cgheight_reading *r = &s->reading[i];
  char part[8 + SY_TEXT_DOUBLE] = "reading ";
  sy_text_from_double((double)i + 1, part + 8);
  if (r->run >= s->runs)
    return sy_fail(err, SY_RANGE, part, "run", "is number %zu of %zu", r->run + 1, s->runs);
  if (!(r->lift >= 0 && isfinite(r->lift)))
    return sy_fail(err, SY_RANGE, part, "lift", "is %g, must be >= 0", r->lift);
  if (s->by_angle && r->lift >= SY_PI / 2)
    return sy_fail(err, SY_RANGE, part, "angle", "is %g rad, must be below a right angle", r->lift);
  if (!(r->lift_sd >= 0 && isfinite(r->lift_sd)))
    return sy_fail(err, SY_RANGE, part, "lift", "has a doubt of %g, must be >= 0", r->lift_sd);
  if (!isfinite(r->shift)) return sy_fail(err, SY_RANGE, part, "shift", "is not finite");
  if (!is_read(r, 0) && !is_read(r, 1)) return sy_fail(err, SY_MISSING, part, "load", "no axle was read");
  for (int end = 0; end < 2; end++) {
    if (!is_read(r, end)) continue;
    const char *field = end == SY_LIFT_FRONT ? "front" : "rear";
    if (!isfinite(r->load[end])) return sy_fail(err, SY_RANGE, part, field, "is not finite");
    if (!(r->load_sd[end] > 0 && isfinite(r->load_sd[end])))
      return sy_fail(err, SY_RANGE, part, field, "has a doubt of %g kg, must be > 0", r->load_sd[end]);
  }
  return SY_OK;
}

static sy_status check_session(const sy_cgheight_session *s, sy_error *err) {
  if (s->count > SY_CGHEIGHT_MOST_READINGS || s->runs > SY_CGHEIGHT_MOST_RUNS)
    return sy_fail(err, SY_LIMIT, "session", "readings", "are more than %d in %d runs",
                   (int)SY_CGHEIGHT_MOST_READINGS, (int)SY_CGHEIGHT_MOST_RUNS);
  if (s->on_plane && (!s->by_angle || s->by_body))
    return sy_fail(err, SY_GEOMETRY, "session", "plane", "takes the angle of the plane as the lift");
  if (s->on_plane && (s->car.compliance[0] > 0 || s->car.compliance[1] > 0))
    return sy_fail(err, SY_GEOMETRY, "session", "suspension", "must be locked on a plane");
  if (!(s->wheelbase_sd >= 0 && s->radius_sd[0] >= 0 && s->radius_sd[1] >= 0))
    return sy_fail(err, SY_RANGE, "vehicle", "sd", "of wheelbase and radii must be >= 0");
  if (!isnan(s->mass) && !(s->mass > 0 && isfinite(s->mass) && s->mass_sd > 0))
    return sy_fail(err, SY_RANGE, "vehicle", "mass", "is %g kg, it and its sd must be > 0", s->mass);
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

/* ---- layout ---------------------------------------------------------------------------------------------------------- */

static void lay_out_levels(cgheight_problem *p) {
  const sy_cgheight_session *s = p->session;
  p->groups = s->common_level ? 1 : s->runs;
  p->complete = 0;
  for (size_t g = 0; g < p->groups; g++) {
    bool read[2] = {false, false};
    for (size_t i = 0; i < s->count; i++)
      for (int end = 0; end < 2; end++)
        read[end] = read[end] || (cgheight_group(p, i) == g && is_read(&s->reading[i], end));
    for (int end = 0; end < 2; end++) p->level[g][end] = read[end] ? (int)p->cols++ : CGHEIGHT_NONE;
    if (read[0] && read[1]) p->complete++;
  }
}

sy_status cgheight_lay_out(cgheight_problem *p, const sy_cgheight_session *session, bool trend,
                           sy_error *err) {
  const sy_status status = check_session(session, err);
  if (status != SY_OK) return status;
  p->session = session;
  p->car = session->car;
  if (session->on_plane) p->car.radius[0] = p->car.radius[1] = 0;
  p->rows = 0;
  p->cols = 1;
  p->trend = trend ? (int)p->cols++ : CGHEIGHT_NONE;
  p->mass = isnan(session->mass) ? CGHEIGHT_NONE : (int)p->cols++;
  lay_out_levels(p);
  if (p->complete == 0 && p->mass == CGHEIGHT_NONE)
    return sy_fail(err, SY_MISSING, "readings", "mass", "follows from none: no run reads both axles");
  for (size_t i = 0; i < session->count; i++) {
    const sy_cgheight_reading *r = &session->reading[i];
    for (int end = 0; end < 2; end++) p->row[i][end] = is_read(r, end) ? (int)p->rows++ : CGHEIGHT_NONE;
    const bool free_tilt = r->lift > 0 && r->lift_sd > 0;
    p->row[i][SY_CGHEIGHT_LIFT] = free_tilt ? (int)p->rows++ : CGHEIGHT_NONE;
    p->tilt[i] = free_tilt ? (int)p->cols++ : CGHEIGHT_NONE;
  }
  p->mass_row = p->mass == CGHEIGHT_NONE ? CGHEIGHT_NONE : (int)p->rows++;
  return SY_OK;
}

/* ---- observations ------------------------------------------------------------------------------------------------------ */

/* Mean load of an axle over the level readings of a group or, without any, over all its readings; NaN without those. */
static double seen_level(const cgheight_problem *p, size_t group, int end) {
  double sum[2] = {0, 0}, count[2] = {0, 0};
  for (size_t i = 0; i < p->session->count; i++) {
    const sy_cgheight_reading *r = &p->session->reading[i];
    if (cgheight_group(p, i) != group || !is_read(r, end)) continue;
    sum[r->lift > 0] += r->load[end];
    count[r->lift > 0]++;
  }
  return count[0] > 0 ? sum[0] / count[0] : sum[1] / count[1];
}

/* Loads of a reading as read; the axle that was not is what is left of the mass. */
static sy_lift_loads seen_loads(const cgheight_problem *p, size_t i) {
  const sy_cgheight_reading *r = &p->session->reading[i];
  const size_t group = cgheight_group(p, i);
  const double mass = cgheight_mass_of(p, p->start);
  sy_lift_loads loads;
  for (int end = 0; end < 2; end++) {
    const int other = 1 - end;
    loads.level[end] = cgheight_level_of(p, p->start, group, end);
    loads.now[end] = is_read(r, end) ? r->load[end] : mass - r->load[other];
  }
  return loads;
}

static sy_status see_tilt(cgheight_problem *p, size_t i, sy_error *err) {
  const sy_cgheight_session *s = p->session;
  const sy_cgheight_reading *r = &s->reading[i];
  const double nose = r->lifted == SY_LIFT_REAR ? -1 : 1;
  p->seen_tilt[i] = p->tilt_sd[i] = 0;
  if (!(r->lift > 0)) return SY_OK;
  double rate = 1;
  if (s->by_angle) {
    p->seen_tilt[i] = nose * r->lift;
  } else {
    const sy_lift_hold hold = cgheight_hold(p, i);
    const sy_lift_loads loads = seen_loads(p, i);
    const sy_status status = sy_lift_tilt(&p->car, &hold, r->lift, &loads, &p->seen_tilt[i], &rate, err);
    if (status != SY_OK) return status;
  }
  p->tilt_sd[i] = fabs(rate) * r->lift_sd;
  return SY_OK;
}

sy_status cgheight_observe(cgheight_problem *p, sy_error *err) {
  const sy_cgheight_session *s = p->session;
  p->start[0] = fmax(p->car.radius[0], p->car.radius[1]) +
                p->car.wheelbase / 50; /* near any car's; the loads are linear in it */
  if (p->trend != CGHEIGHT_NONE) p->start[p->trend] = 0;
  if (p->mass != CGHEIGHT_NONE) p->start[p->mass] = s->mass;
  for (size_t g = 0; g < p->groups; g++)
    for (int end = 0; end < 2; end++)
      if (p->level[g][end] != CGHEIGHT_NONE) p->start[p->level[g][end]] = seen_level(p, g, end);
  for (size_t i = 0; i < s->count; i++) {
    const sy_lift_hold hold = cgheight_hold(p, i);
    sy_status status = sy_lift_check(&p->car, &hold, err);
    if (status == SY_OK) status = see_tilt(p, i, err);
    if (status != SY_OK) return status;
    for (int end = 0; end < 2; end++) {
      if (p->row[i][end] == CGHEIGHT_NONE) continue;
      p->y[p->row[i][end]] = s->reading[i].load[end];
      p->sd[p->row[i][end]] = s->reading[i].load_sd[end];
    }
    if (p->tilt[i] == CGHEIGHT_NONE) continue;
    p->y[p->row[i][SY_CGHEIGHT_LIFT]] = p->start[p->tilt[i]] = p->seen_tilt[i];
    p->sd[p->row[i][SY_CGHEIGHT_LIFT]] = p->tilt_sd[i];
  }
  if (p->mass_row != CGHEIGHT_NONE) {
    p->y[p->mass_row] = s->mass;
    p->sd[p->mass_row] = s->mass_sd;
  }
  return SY_OK;
}

/* ---- the model --------------------------------------------------------------------------------------------------------- */

double cgheight_mass_of(const cgheight_problem *p, const double *x) {
  if (p->mass != CGHEIGHT_NONE) return x[p->mass];
  double sum = 0;
  for (size_t g = 0; g < p->groups; g++)
    if (p->level[g][0] != CGHEIGHT_NONE && p->level[g][1] != CGHEIGHT_NONE)
      sum += x[p->level[g][0]] + x[p->level[g][1]];
  return sum / (double)p->complete;
}

double cgheight_level_of(const cgheight_problem *p, const double *x, size_t group, int end) {
  if (p->level[group][end] != CGHEIGHT_NONE) return x[p->level[group][end]];
  return cgheight_mass_of(p, x) - x[p->level[group][1 - end]];
}

void cgheight_add_mass(const cgheight_problem *p, double weight, double *gradient) {
  if (p->mass != CGHEIGHT_NONE) {
    gradient[p->mass] += weight;
    return;
  }
  for (size_t g = 0; g < p->groups; g++)
    if (p->level[g][0] != CGHEIGHT_NONE && p->level[g][1] != CGHEIGHT_NONE)
      for (int end = 0; end < 2; end++) gradient[p->level[g][end]] += weight / (double)p->complete;
}

void cgheight_add_level(const cgheight_problem *p, size_t group, int end, double weight, double *gradient) {
  if (p->level[group][end] != CGHEIGHT_NONE) {
    gradient[p->level[group][end]] += weight;
    return;
  }
  cgheight_add_mass(p, weight, gradient);
  gradient[p->level[group][1 - end]] -= weight;
}

double cgheight_press(const cgheight_problem *p, double tilt) { return p->session->on_plane ? cos(tilt) : 1; }

/* One row: `direction` 1 for the front load F, -1 for the rear one, R0 + F0 - F. */
static void derive(const cgheight_problem *p, size_t i, int end, const sy_lift_load *load, double steepness,
                   double steepening, double *row) {
  for (size_t j = 0; j < p->cols; j++) row[j] = 0;
  const double direction = end == SY_LIFT_FRONT ? 1 : -1;
  const size_t group = cgheight_group(p, i);
  row[0] = direction * load->by_height;
  if (p->trend != CGHEIGHT_NONE) row[p->trend] = direction * load->by_height * steepness;
  cgheight_add_mass(p, direction * load->by_mass, row);
  cgheight_add_level(p, group, SY_LIFT_FRONT, direction * load->by_front + (end == SY_LIFT_REAR ? 1 : 0),
                     row);
  if (end == SY_LIFT_REAR) cgheight_add_level(p, group, SY_LIFT_REAR, 1, row);
  if (p->tilt[i] != CGHEIGHT_NONE)
    row[p->tilt[i]] = direction * (load->by_tilt + load->by_height * steepening);
}

sy_status cgheight_model(void *user, const double *x, double *fitted, double *jacobian, sy_error *err) {
  const cgheight_problem *p = user;
  const double mass = cgheight_mass_of(p, x);
  for (size_t i = 0; i < p->session->count; i++) {
    const double tilt = p->tilt[i] == CGHEIGHT_NONE ? p->seen_tilt[i] : x[p->tilt[i]];
    const double trend = p->trend == CGHEIGHT_NONE ? 0 : x[p->trend];
    const double steepness = fabs(tan(tilt)), slope = copysign(trend / (cos(tilt) * cos(tilt)), trend * tilt);
    const size_t group = cgheight_group(p, i);
    const sy_lift_hold hold = cgheight_hold(p, i);
    const double front = cgheight_level_of(p, x, group, SY_LIFT_FRONT);
    const double rear = cgheight_level_of(p, x, group, SY_LIFT_REAR);
    const sy_lift_body body = {mass, front, x[0] + trend * steepness, p->session->reading[i].shift};
    sy_lift_load load;
    const sy_status status = sy_lift_front_load(&p->car, &hold, &body, tilt, &load, err);
    if (status != SY_OK) return status;
    for (int end = 0; end < 2; end++) {
      const int row = p->row[i][end];
      if (row == CGHEIGHT_NONE) continue;
      const double upright = end == SY_LIFT_FRONT ? load.front : rear + front - load.front;
      const double press = cgheight_press(p, tilt);
      fitted[row] = press * upright;
      if (jacobian == NULL) continue;
      double *derivative = &jacobian[(size_t)row * p->cols];
      derive(p, i, end, &load, steepness, slope, derivative);
      if (!p->session->on_plane) continue;
      for (size_t j = 0; j < p->cols; j++) derivative[j] *= press;
      if (p->tilt[i] != CGHEIGHT_NONE) derivative[p->tilt[i]] -= sin(tilt) * upright;
    }
    if (p->tilt[i] == CGHEIGHT_NONE) continue;
    const int row = p->row[i][SY_CGHEIGHT_LIFT];
    fitted[row] = tilt;
    if (jacobian == NULL) continue;
    for (size_t j = 0; j < p->cols; j++) jacobian[(size_t)row * p->cols + j] = 0;
    jacobian[(size_t)row * p->cols + (size_t)p->tilt[i]] = 1;
  }
  if (p->mass_row != CGHEIGHT_NONE) {
    fitted[p->mass_row] = mass;
    if (jacobian != NULL)
      for (size_t j = 0; j < p->cols; j++)
        jacobian[(size_t)p->mass_row * p->cols + j] = (int)j == p->mass ? 1 : 0;
  }
  return SY_OK;
}
