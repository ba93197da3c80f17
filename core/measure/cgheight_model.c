#include "measure/cgheight_model.h"

#include <float.h>
#include <math.h>

#include "measure/cgheight_check.h"
static bool is_read(const sy_cgheight_reading *r, int end) { return !isnan(r->load[end]); }

size_t cgheight_group(const cgheight_problem *p, size_t reading) {
  return p->session->common_level ? 0 : p->session->reading[reading].run;
}

sy_lift_hold cgheight_hold(const cgheight_problem *p, size_t reading) {
  const sy_cgheight_session *s = p->session;
  const sy_lift_end end = s->reading[reading].lifted;
  return (sy_lift_hold){end, s->by_body && s->reading[reading].lift > 0, s->held[end][0], s->held[end][1]};
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

/* A reading whose lift can be wrong by itself has its tilt as an unknown; blocks are unknowns of their own. */
static void lay_out_tilts(cgheight_problem *p) {
  const sy_cgheight_session *s = p->session;
  uint32_t used = 0;
  for (size_t i = 0; i < s->count; i++) {
    const sy_cgheight_reading *r = &s->reading[i];
    for (int end = 0; end < 2; end++) p->row[i][end] = is_read(r, end) ? (int)p->rows++ : CGHEIGHT_NONE;
    p->row[i][SY_CGHEIGHT_LIFT] = r->lift_sd > 0 ? (int)p->rows++ : CGHEIGHT_NONE;
    p->tilt[i] = r->lift_sd > 0 ? (int)p->cols++ : CGHEIGHT_NONE;
    used |= r->blocks;
  }
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++) {
    const bool errs = (used >> k & 1) != 0 && s->block_sd[k] > 0;
    p->block_row[k] = errs ? (int)p->rows++ : CGHEIGHT_NONE;
    p->block[k] = errs ? (int)p->cols++ : CGHEIGHT_NONE;
  }
}

static double geometry_sd(const sy_cgheight_session *s, int what) {
  if (what == CGHEIGHT_WHEELBASE) return s->wheelbase_sd;
  if (what < CGHEIGHT_FRONT_POINT_X) return s->radius_sd[what - CGHEIGHT_FRONT_RADIUS];
  return s->held_sd[(what - CGHEIGHT_FRONT_POINT_X) / 2][(what - CGHEIGHT_FRONT_POINT_X) % 2];
}

/* Does any lift hold the body at that end's point? */
static bool is_held(const sy_cgheight_session *s, int end) {
  for (size_t i = 0; s->by_body && i < s->count; i++)
    if (s->reading[i].lift > 0 && (int)s->reading[i].lifted == end) return true;
  return false;
}

static void lay_out_geometry(cgheight_problem *p) {
  const sy_cgheight_session *s = p->session;
  for (int what = 0; what < CGHEIGHT_GEOMETRY; what++) {
    const bool point = what >= CGHEIGHT_FRONT_POINT_X;
    const bool used =
        point ? is_held(s, (what - CGHEIGHT_FRONT_POINT_X) / 2) : is_held(s, 0) || is_held(s, 1);
    const bool errs = used && geometry_sd(s, what) > 0;
    p->geometry_row[what] = errs ? (int)p->rows++ : CGHEIGHT_NONE;
    p->geometry[what] = errs ? (int)p->cols++ : CGHEIGHT_NONE;
  }
}

sy_status cgheight_lay_out(cgheight_problem *p, const sy_cgheight_session *session, bool trend,
                           sy_error *err) {
  const sy_status status = cgheight_check(session, err);
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
  lay_out_tilts(p);
  lay_out_geometry(p);
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
sy_lift_loads cgheight_seen_loads(const cgheight_problem *p, size_t i) {
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
  double rate = nose;
  if (s->by_angle) {
    p->seen_tilt[i] = nose * r->lift;
  } else if (r->lift > 0 || r->lift_sd > 0) {
    const sy_lift_hold hold = cgheight_hold(p, i);
    const sy_lift_loads loads = cgheight_seen_loads(p, i);
    const sy_status status = sy_lift_tilt(&p->car, &hold, r->lift, &loads, &p->seen_tilt[i], &rate, err);
    if (status != SY_OK) return status;
  }
  p->rate[i] = rate;
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
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++)
    if (p->block[k] != CGHEIGHT_NONE) {
      p->y[p->block_row[k]] = p->start[p->block[k]] = 0;
      p->sd[p->block_row[k]] = s->block_sd[k];
    }
  for (int what = 0; what < CGHEIGHT_GEOMETRY; what++)
    if (p->geometry[what] != CGHEIGHT_NONE) {
      p->y[p->geometry_row[what]] = p->start[p->geometry[what]] = 0;
      p->sd[p->geometry_row[what]] = geometry_sd(s, what);
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

double cgheight_wheelbase_of(const cgheight_problem *p, const double *x) {
  const int column = p->geometry[CGHEIGHT_WHEELBASE];
  return p->car.wheelbase + (column == CGHEIGHT_NONE ? 0 : x[column]);
}

/* How far the tilt lies above what was read, by blocks and geometry; and `weight` times its derivatives. */
static double by_others(const cgheight_problem *p, const double *x, size_t reading) {
  double sum = 0;
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++)
    if ((p->session->reading[reading].blocks >> k & 1) != 0 && p->block[k] != CGHEIGHT_NONE)
      sum += x[p->block[k]];
  sum *= p->rate[reading];
  for (int what = 0; what < CGHEIGHT_GEOMETRY; what++)
    if (p->geometry[what] != CGHEIGHT_NONE) sum += p->tilt_by[reading][what] * x[p->geometry[what]];
  return sum;
}

static void add_others(const cgheight_problem *p, size_t reading, double weight, double *gradient) {
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++)
    if ((p->session->reading[reading].blocks >> k & 1) != 0 && p->block[k] != CGHEIGHT_NONE)
      gradient[p->block[k]] += weight * p->rate[reading];
  for (int what = 0; what < CGHEIGHT_GEOMETRY; what++)
    if (p->geometry[what] != CGHEIGHT_NONE) gradient[p->geometry[what]] += weight * p->tilt_by[reading][what];
}

double cgheight_tilt_of(const cgheight_problem *p, const double *x, size_t reading) {
  if (p->tilt[reading] != CGHEIGHT_NONE) return x[p->tilt[reading]];
  return p->seen_tilt[reading] + by_others(p, x, reading);
}

void cgheight_add_tilt(const cgheight_problem *p, size_t reading, double weight, double *gradient) {
  if (p->tilt[reading] != CGHEIGHT_NONE)
    gradient[p->tilt[reading]] += weight;
  else
    add_others(p, reading, weight, gradient);
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
  cgheight_add_tilt(p, i, direction * (load->by_tilt + load->by_height * steepening), row);
}

/* The tilt as it was read: the true one less what blocks and geometry err. */
static void observe_tilt(const cgheight_problem *p, const double *x, size_t i, double *fitted,
                         double *jacobian) {
  if (p->tilt[i] == CGHEIGHT_NONE) return;
  const int row = p->row[i][SY_CGHEIGHT_LIFT];
  fitted[row] = x[p->tilt[i]] - by_others(p, x, i);
  if (jacobian == NULL) return;
  double *derivative = &jacobian[(size_t)row * p->cols];
  for (size_t j = 0; j < p->cols; j++) derivative[j] = 0;
  derivative[p->tilt[i]] = 1;
  add_others(p, i, -1, derivative);
}

/* Rows that observe an unknown itself: blocks, geometry and the mass. */
static void observe_itself(const cgheight_problem *p, const double *x, int row, int column, double *fitted,
                           double *jacobian) {
  if (row == CGHEIGHT_NONE) return;
  fitted[row] = x[column];
  if (jacobian == NULL) return;
  for (size_t j = 0; j < p->cols; j++) jacobian[(size_t)row * p->cols + j] = (int)j == column ? 1 : 0;
}

/* ---- geometry that errs ------------------------------------------------------------------------------------------------- */

static double by_geometry(const cgheight_problem *p, const double *x, size_t reading) {
  double sum = 0;
  for (int what = 0; what < CGHEIGHT_GEOMETRY; what++)
    if (p->geometry[what] != CGHEIGHT_NONE) sum += p->load_by[reading][what] * x[p->geometry[what]];
  return sum;
}

sy_status cgheight_model(void *user, const double *x, double *fitted, double *jacobian, sy_error *err) {
  const cgheight_problem *p = user;
  const double mass = cgheight_mass_of(p, x);
  for (size_t i = 0; i < p->session->count; i++) {
    const double tilt = cgheight_tilt_of(p, x, i);
    const double trend = p->trend == CGHEIGHT_NONE ? 0 : x[p->trend];
    const double nose = p->session->reading[i].lifted == SY_LIFT_REAR ? -1 : 1; /* of a tilt read upward */
    const double steepness = nose * tan(tilt), steepening = nose * trend / (cos(tilt) * cos(tilt));
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
      const double more = by_geometry(p, x, i);
      const double upright = end == SY_LIFT_FRONT ? load.front + more : rear + front - load.front - more;
      const double press = cgheight_press(p, tilt);
      fitted[row] = press * upright;
      if (jacobian == NULL) continue;
      double *derivative = &jacobian[(size_t)row * p->cols];
      derive(p, i, end, &load, steepness, steepening, derivative);
      for (int what = 0; what < CGHEIGHT_GEOMETRY; what++)
        if (p->geometry[what] != CGHEIGHT_NONE)
          derivative[p->geometry[what]] += (end == SY_LIFT_FRONT ? 1 : -1) * p->load_by[i][what];
      if (!p->session->on_plane) continue;
      for (size_t j = 0; j < p->cols; j++) derivative[j] *= press;
      cgheight_add_tilt(p, i, -sin(tilt) * upright, derivative);
    }
    observe_tilt(p, x, i, fitted, jacobian);
  }
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++)
    observe_itself(p, x, p->block_row[k], p->block[k], fitted, jacobian);
  for (int what = 0; what < CGHEIGHT_GEOMETRY; what++)
    observe_itself(p, x, p->geometry_row[what], p->geometry[what], fitted, jacobian);
  observe_itself(p, x, p->mass_row, p->mass, fitted, jacobian);
  return SY_OK;
}
