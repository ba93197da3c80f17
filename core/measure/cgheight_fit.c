#include <math.h>
#include <string.h>

#include "base/units.h"
#include "measure/cgheight_model.h"
#include "numeric/stats.h"
#include "numeric/uncertain.h"

static const double too_rare = 0.05; /* chance below which the readings are said to scatter too much */
static const double same_look =
    0.999; /* likeness of two observations from which on they cannot be told apart */
static const double least_tilt = 1e-6; /* rad: the height's doubt is millions of the loads' */

/* The most rows and columns that a session can come to, with a trend. */
static size_t most_rows(const sy_cgheight_session *s) { return 3 * s->count + 1; }
static size_t most_cols(const sy_cgheight_session *s) { return 3 + 2 * s->runs + s->count; }

size_t sy_cgheight_size(const sy_cgheight_session *s) {
  if (s->count > SY_CGHEIGHT_MOST_READINGS || s->runs > SY_CGHEIGHT_MOST_RUNS) return 0;
  const size_t rows = most_rows(s), cols = most_cols(s);
  return sizeof(cgheight_problem) + (3 * rows + 2 * cols) * sizeof(double) + sy_lsq_size(rows, cols);
}

/* A problem with its memory. */
typedef struct workspace {
  cgheight_problem *problem;
  double *gradient, *weight; /* cols, rows: scratch of linear functions of the readings */
  void *fit;
} workspace;

static workspace set_up(const sy_cgheight_session *s, void *memory) {
  const size_t rows = most_rows(s), cols = most_cols(s);
  workspace b = {.problem = memory};
  double *next = (double *)(void *)(b.problem + 1);
  b.problem->y = next;
  b.problem->sd = next + rows;
  b.weight = next + 2 * rows;
  b.problem->start = next + 3 * rows;
  b.gradient = next + 3 * rows + cols;
  b.fit = next + 3 * rows + 2 * cols;
  return b;
}

static sy_status fit(const workspace *b, sy_lsq *out, sy_error *err) {
  cgheight_problem *p = b->problem;
  sy_status status = cgheight_observe(p, err);
  if (status != SY_OK) return status;
  status = sy_lsq_fit(cgheight_model, p, p->y, p->sd, p->start, p->rows, p->cols, b->fit, out, err);
  if (status == SY_GEOMETRY && err != NULL && strcmp(err->field, "rank") == 0)
    status =
        sy_fail(err, SY_GEOMETRY, "readings", "",
                "do not tell the height: a run needs the same axle at two lifts, level being one of them");
  if (status == SY_RANGE && err != NULL && strcmp(err->field, "observations") == 0)
    status =
        sy_fail(err, SY_GEOMETRY, "readings", "", "are too few to tell the height: read level and lifted");
  return status;
}

/* ---- linear functions of the readings ------------------------------------------------------------------------------- */

/* weight (per observation) = gradient (per unknown) x gain */
static void weigh(const workspace *b, const sy_lsq *f) {
  for (size_t i = 0; i < f->rows; i++) {
    b->weight[i] = 0;
    for (size_t j = 0; j < f->cols; j++) b->weight[i] += b->gradient[j] * f->gain[j * f->rows + i];
  }
}

static double doubt(const workspace *b, const sy_lsq *f) {
  double sum = 0;
  for (size_t i = 0; i < f->rows; i++)
    sum += b->weight[i] * b->problem->sd[i] * b->weight[i] * b->problem->sd[i];
  return sqrt(sum);
}

static void clear(const workspace *b) { memset(b->gradient, 0, b->problem->cols * sizeof *b->gradient); }

/* ---- sources ------------------------------------------------------------------------------------------------------------ */

/* Half the difference of the heights found with one value up and down by its uncertainty. */
static sy_status by_change(const workspace *b, double *value, double by, double *u, sy_error *err) {
  *u = 0;
  if (!(by > 0)) return SY_OK;
  const double keep = *value;
  double height[2];
  for (int k = 0; k < 2; k++) {
    sy_lsq f;
    *value = k == 0 ? keep + by : keep - by;
    const sy_status status = fit(b, &f, err);
    *value = keep;
    if (status != SY_OK) return status;
    height[k] = f.x[0];
  }
  *u = fabs(height[0] - height[1]) / 2;
  return SY_OK;
}

static sy_status unseen(const workspace *b, sy_cgheight *out, sy_error *err) {
  const sy_cgheight_session *s = b->problem->session;
  sy_lift_car *car = &b->problem->car;
  sy_status status = by_change(b, &car->wheelbase, s->wheelbase_sd, &out->u[SY_CGHEIGHT_WHEELBASE], err);
  if (status == SY_OK)
    status = by_change(b, &car->radius[0], s->radius_sd[0], &out->u[SY_CGHEIGHT_FRONT_RADIUS], err);
  if (status == SY_OK)
    status = by_change(b, &car->radius[1], s->radius_sd[1], &out->u[SY_CGHEIGHT_REAR_RADIUS], err);
  return status;
}

static void seen(const workspace *b, const sy_lsq *f, sy_cgheight *out) {
  const cgheight_problem *p = b->problem;
  double sum[SY_CGHEIGHT_SOURCES] = {0};
  for (size_t i = 0; i < p->session->count; i++)
    for (int what = 0; what < 3; what++) {
      if (p->row[i][what] == CGHEIGHT_NONE) continue;
      const size_t row = (size_t)p->row[i][what];
      const double part = f->gain[row] * p->sd[row];
      sum[what == SY_CGHEIGHT_LIFT ? SY_CGHEIGHT_LIFTS : SY_CGHEIGHT_LOADS] += part * part;
    }
  if (p->mass_row != CGHEIGHT_NONE) {
    const double part = f->gain[p->mass_row] * p->sd[p->mass_row];
    sum[SY_CGHEIGHT_MASS] = part * part;
  }
  out->u[SY_CGHEIGHT_LOADS] = out->widened * sqrt(sum[SY_CGHEIGHT_LOADS]);
  out->u[SY_CGHEIGHT_LIFTS] = out->widened * sqrt(sum[SY_CGHEIGHT_LIFTS]);
  out->u[SY_CGHEIGHT_MASS] = sqrt(sum[SY_CGHEIGHT_MASS]);
}

/* Zeros that drift steadily from the first reading to the last, by up to out->drift either way. A session up and down again
** cancels most of it. */
static void drift(const workspace *b, const sy_lsq *f, const sy_cgheight_level *levels, sy_cgheight *out) {
  const cgheight_problem *p = b->problem;
  out->drift = p->session->drift;
  if (isnan(out->drift)) {
    out->drift = 0;
    for (size_t g = 0; g < p->session->runs; g++)
      for (size_t h = 0; h < g; h++)
        for (int end = 0; end < 2; end++)
          out->drift = fmax(out->drift, fabs(levels[g].load[end] - levels[h].load[end]));
  }
  double square = 0;
  for (int end = 0; end < 2; end++) {
    double change = 0;
    for (size_t i = 0; i < p->session->count; i++)
      if (p->row[i][end] != CGHEIGHT_NONE)
        change += f->gain[p->row[i][end]] * (double)i / (double)(p->session->count - 1);
    square += change * change;
  }
  out->u[SY_CGHEIGHT_DRIFT] = sy_uncertain_limits(out->drift) * sqrt(square);
}

static void add_up(const sy_cgheight_session *s, sy_cgheight *out) {
  double dof[SY_CGHEIGHT_SOURCES], u[SY_CGHEIGHT_SOURCES], square = 0;
  for (int k = 0; k < SY_CGHEIGHT_SOURCES; k++) {
    dof[k] = (double)INFINITY;
    u[k] = out->u[k];
    square += u[k] * u[k];
  }
  dof[SY_CGHEIGHT_LOADS] = s->load_dof;
  if (out->widened > 1) { /* loads and lifts share one factor, found once */
    u[SY_CGHEIGHT_LOADS] = hypot(u[SY_CGHEIGHT_LOADS], u[SY_CGHEIGHT_LIFTS]);
    u[SY_CGHEIGHT_LIFTS] = 0;
    dof[SY_CGHEIGHT_LOADS] = (double)out->tested;
  }
  out->u_height = sqrt(square);
  out->dof = sy_stats_welch_dof(u, dof, SY_CGHEIGHT_SOURCES);
}

/* ---- the readings one by one -------------------------------------------------------------------------------------------- */

/* The upright front load as the reading shows it, its share of each axle's reading by their doubts, and what it changes by the tilt
** (on a plane). */
static double front_seen(const workspace *b, const sy_lsq *f, size_t i, double share[2], double *by_tilt) {
  const cgheight_problem *p = b->problem;
  const size_t group = cgheight_group(p, i);
  const double press = cgheight_press(p, p->seen_tilt[i]);
  double weight[2] = {0, 0}, front[2] = {0, 0}, upright[2] = {0, 0};
  for (int end = 0; end < 2; end++) {
    if (p->row[i][end] == CGHEIGHT_NONE) continue;
    const double sd = p->sd[p->row[i][end]];
    upright[end] = p->y[p->row[i][end]] / press;
    weight[end] = 1 / (sd * sd);
    front[end] = end == SY_LIFT_FRONT ? upright[end]
                                      : cgheight_level_of(p, f->x, group, SY_LIFT_FRONT) +
                                            cgheight_level_of(p, f->x, group, SY_LIFT_REAR) - upright[end];
  }
  for (int end = 0; end < 2; end++) share[end] = weight[end] / (weight[0] + weight[1]);
  *by_tilt =
      p->session->on_plane ? tan(p->seen_tilt[i]) * (share[0] * upright[0] - share[1] * upright[1]) : 0;
  return share[0] * front[0] + share[1] * front[1];
}

static void height_alone(const workspace *b, const sy_lsq *f, size_t i, sy_cgheight_row *row) {
  const cgheight_problem *p = b->problem;
  const size_t group = cgheight_group(p, i);
  const sy_lift_hold hold = cgheight_hold(p, i);
  sy_lift_body body = {cgheight_mass_of(p, f->x), cgheight_level_of(p, f->x, group, SY_LIFT_FRONT), 0,
                       p->session->reading[i].shift};
  double share[2], by_tilt;
  sy_lift_load load;
  const double front = front_seen(b, f, i, share, &by_tilt), press = cgheight_press(p, p->seen_tilt[i]);
  if (sy_lift_height(&p->car, &hold, &body, p->seen_tilt[i], front, &row->height, NULL) != SY_OK)
    row->height = (double)NAN;
  body.height = row->height;
  row->u_height = (double)NAN;
  if (sy_lift_front_load(&p->car, &hold, &body, p->seen_tilt[i], &load, NULL) != SY_OK) return;
  clear(b); /* d height = (d front - by_front d level - by_mass d mass - by_tilt d tilt) / by_height */
  cgheight_add_mass(p, -load.by_mass, b->gradient);
  cgheight_add_level(p, group, SY_LIFT_FRONT, share[1] - load.by_front, b->gradient);
  cgheight_add_level(p, group, SY_LIFT_REAR, share[1], b->gradient);
  weigh(b, f);
  if (p->row[i][0] != CGHEIGHT_NONE) b->weight[p->row[i][0]] += share[0] / press;
  if (p->row[i][1] != CGHEIGHT_NONE) b->weight[p->row[i][1]] -= share[1] / press;
  if (p->tilt[i] != CGHEIGHT_NONE) b->weight[p->row[i][SY_CGHEIGHT_LIFT]] += by_tilt - load.by_tilt;
  row->u_height = doubt(b, f) / fabs(load.by_height);
}

static void list_rows(const workspace *b, const sy_lsq *f, sy_cgheight_row *rows) {
  const cgheight_problem *p = b->problem;
  for (size_t i = 0; i < p->session->count; i++) {
    const double none = (double)NAN;
    rows[i] = (sy_cgheight_row){
        p->seen_tilt[i], {none, none, none}, {none, none, none}, {none, none, none}, none, none};
    for (int what = 0; what < 3; what++) {
      if (p->row[i][what] == CGHEIGHT_NONE) continue;
      const size_t row = (size_t)p->row[i][what];
      rows[i].residual[what] = f->residual[row];
      rows[i].standardised[what] = f->standardised[row];
      rows[i].redundancy[what] = f->redundancy[row];
    }
    if (p->session->reading[i].lift > 0) height_alone(b, f, i, &rows[i]);
  }
}

static void list_levels(const workspace *b, const sy_lsq *f, sy_cgheight_level *levels) {
  const cgheight_problem *p = b->problem;
  for (size_t run = 0; run < p->session->runs; run++) {
    const size_t group = p->session->common_level ? 0 : run;
    levels[run].readings = 0;
    for (size_t i = 0; i < p->session->count; i++) levels[run].readings += p->session->reading[i].run == run;
    for (int end = 0; end < 2; end++) {
      const int column = p->level[group][end];
      levels[run].load[end] = column == CGHEIGHT_NONE ? (double)NAN : f->x[column];
      levels[run].u[end] =
          column == CGHEIGHT_NONE ? (double)NAN : sqrt(f->covariance[(size_t)column * (f->cols + 1)]);
    }
  }
}

/* ---- suspects ---------------------------------------------------------------------------------------------------------- */

static sy_cgheight_name name_of(const cgheight_problem *p, size_t row) {
  for (size_t i = 0; i < p->session->count; i++)
    for (int what = 0; what < 3; what++)
      if (p->row[i][what] == (int)row) return (sy_cgheight_name){i, (sy_cgheight_what)what};
  return (sy_cgheight_name){p->session->count, SY_CGHEIGHT_FRONT}; /* the mass */
}

static void suspect(const workspace *b, const sy_lsq *f, sy_cgheight *out) {
  const size_t end = f->rows - (b->problem->mass_row == CGHEIGHT_NONE ? 0 : 1);
  size_t tested = 0;
  for (size_t i = 0; i < end; i++) tested += isnan(f->standardised[i]) ? 0 : 1;
  out->critical = sy_lsq_critical(tested, too_rare);
  out->off = (double)NAN;
  out->tied_count = 0;
  out->suspicious = false;
  const size_t worst = sy_lsq_worst(f, 0, end);
  if (worst == end) return;
  out->off = f->standardised[worst];
  out->suspicious = fabs(out->off) > out->critical;
  out->tied[out->tied_count++] = name_of(b->problem, worst);
  for (size_t i = 0; i < end && out->tied_count < SY_CGHEIGHT_MOST_TIED; i++)
    if (i != worst && fabs(sy_lsq_likeness(f, worst, i)) > same_look)
      out->tied[out->tied_count++] = name_of(b->problem, i);
}

/* ---- all together -------------------------------------------------------------------------------------------------------- */

/* Does the height seem to change with the tilt? One unknown more; needs a reading to spare and two tilts. */
static void look_for_trend(const workspace *b, const sy_cgheight_session *s, sy_cgheight *out) {
  sy_lsq f;
  out->trend = out->u_trend = (double)NAN;
  if (cgheight_lay_out(b->problem, s, true, NULL) != SY_OK || fit(b, &f, NULL) != SY_OK || f.dof == 0) return;
  out->trend = f.x[b->problem->trend];
  out->u_trend = sqrt(f.covariance[(size_t)b->problem->trend * (f.cols + 1)]);
}

static void vehicle(const workspace *b, const sy_lsq *f, sy_cgheight *out) {
  const cgheight_problem *p = b->problem;
  const sy_cgheight_session *s = p->session;
  double front = 0;
  out->mass = cgheight_mass_of(p, f->x);
  clear(b);
  cgheight_add_mass(p, 1, b->gradient);
  weigh(b, f);
  out->u_mass = doubt(b, f);
  for (size_t g = 0; g < p->groups; g++)
    front += cgheight_level_of(p, f->x, g, SY_LIFT_FRONT) / (double)p->groups;
  out->behind = p->car.wheelbase * (1 - front / out->mass);
  clear(b);
  for (size_t g = 0; g < p->groups; g++)
    cgheight_add_level(p, g, SY_LIFT_FRONT, -p->car.wheelbase / out->mass / (double)p->groups, b->gradient);
  cgheight_add_mass(p, p->car.wheelbase * front / (out->mass * out->mass), b->gradient);
  weigh(b, f);
  out->u_behind = hypot(doubt(b, f), out->behind / p->car.wheelbase * s->wheelbase_sd);
}

static sy_status check_tilts(const cgheight_problem *p, sy_error *err) {
  for (size_t i = 0; i < p->session->count; i++)
    if (p->session->reading[i].lift > 0 && !(fabs(p->seen_tilt[i]) > least_tilt))
      return sy_fail(err, SY_GEOMETRY, "readings", "lift", "of %g is too little to tell anything",
                     p->session->reading[i].lift);
  return SY_OK;
}

sy_status sy_cgheight_fit(const sy_cgheight_session *session, void *memory, sy_cgheight *out,
                          sy_cgheight_row *rows, sy_cgheight_level *levels, sy_error *err) {
  if (sy_cgheight_size(session) == 0)
    return sy_fail(err, SY_LIMIT, "session", "readings", "are more than %d in %d runs",
                   (int)SY_CGHEIGHT_MOST_READINGS, (int)SY_CGHEIGHT_MOST_RUNS);
  const workspace b = set_up(session, memory);
  sy_error own; /* fit() looks at it */
  sy_error *e = err != NULL ? err : &own;
  sy_cgheight answer = {0};
  sy_lsq f;
  sy_status status = cgheight_lay_out(b.problem, session, false, e);
  if (status == SY_OK) status = cgheight_observe(b.problem, e);
  if (status == SY_OK) status = check_tilts(b.problem, e);
  if (status == SY_OK) status = fit(&b, &f, e);
  if (status == SY_OK) status = unseen(&b, &answer, e);
  if (status != SY_OK) return status;
  look_for_trend(&b, session, &answer);
  status = cgheight_lay_out(b.problem, session, false, e);
  if (status == SY_OK) status = fit(&b, &f, e);
  if (status != SY_OK) return status;
  answer.height = f.x[0];
  answer.chi2 = f.chi2;
  answer.tested = f.dof;
  answer.p = f.dof > 0 ? sy_stats_chi2_tail(f.chi2, (double)f.dof) : (double)NAN;
  answer.widened = answer.p < too_rare ? sqrt(f.chi2 / (double)f.dof) : 1;
  vehicle(&b, &f, &answer);
  list_levels(&b, &f, levels);
  list_rows(&b, &f, rows);
  suspect(&b, &f, &answer);
  seen(&b, &f, &answer);
  drift(&b, &f, levels, &answer);
  add_up(session, &answer);
  if (!(isfinite(answer.height) && isfinite(answer.u_height)))
    return sy_fail(e, SY_GEOMETRY, "readings", "", "do not tell the height: its doubt has no bound");
  *out = answer;
  return SY_OK;
}
