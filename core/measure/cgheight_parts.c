#include "measure/cgheight_parts.h"

#include <math.h>
#include <string.h>

#include "numeric/stats.h"
#include "numeric/uncertain.h"

/* ---- linear functions of the readings ------------------------------------------------------------------------------- */

void cgheight_clear(const cgheight_workspace *b) {
  memset(b->gradient, 0, b->problem->cols * sizeof *b->gradient);
}

/* weight (per observation) = gradient (per unknown) x gain */
void cgheight_weigh(const cgheight_workspace *b, const sy_lsq *f) {
  for (size_t i = 0; i < f->rows; i++) b->weight[i] = 0;
  for (size_t j = 0; j < f->cols; j++)
    for (size_t i = 0; i < f->rows; i++) b->weight[i] += b->gradient[j] * f->gain[j * f->rows + i];
}

static double square_of(const cgheight_workspace *b, int row) {
  if (row == CGHEIGHT_NONE) return 0;
  const double part = b->weight[row] * b->problem->sd[row];
  return part * part;
}

/* Two readings of an axle at the same setting with the same load on the display: the display cut off the same. */
static bool same_display(const cgheight_problem *p, size_t i, size_t k, int end) {
  const sy_cgheight_reading *a = &p->session->reading[i], *b = &p->session->reading[k];
  return a->step_sd[end] > 0 && a->load[end] == b->load[end] && a->lift == b->lift &&
         (a->lifted == b->lifted || !(a->lift > 0));
}

static double shared_steps(const cgheight_workspace *b, int end) {
  const cgheight_problem *p = b->problem;
  const sy_cgheight_reading *r = p->session->reading;
  double sum = 0;
  for (size_t i = 0; i < p->session->count; i++)
    for (size_t k = 0; p->row[i][end] != CGHEIGHT_NONE && k < i; k++)
      if (p->row[k][end] != CGHEIGHT_NONE && same_display(p, i, k, end))
        sum +=
            2 * b->weight[p->row[i][end]] * r[i].step_sd[end] * b->weight[p->row[k][end]] * r[k].step_sd[end];
  return sum;
}

static double by_loads(const cgheight_workspace *b) {
  double sum = 0;
  for (int end = 0; end < 2; end++) {
    for (size_t i = 0; i < b->problem->session->count; i++) sum += square_of(b, b->problem->row[i][end]);
    sum += shared_steps(b, end);
  }
  return sqrt(fmax(sum, 0)); /* a sum of squares but for rounding */
}

static double by_lifts(const cgheight_workspace *b) {
  double sum = 0;
  for (size_t i = 0; i < b->problem->session->count; i++)
    sum += square_of(b, b->problem->row[i][SY_CGHEIGHT_LIFT]);
  return sqrt(sum);
}

static double by_block_heights(const cgheight_workspace *b) {
  double sum = 0;
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++) sum += square_of(b, b->problem->block_row[k]);
  return sqrt(sum);
}

static double by_places(const cgheight_workspace *b, int first, int last) {
  double sum = 0;
  for (int what = first; what <= last; what++) sum += square_of(b, b->problem->geometry_row[what]);
  return sqrt(sum);
}

double cgheight_uncertainty(const cgheight_workspace *b) {
  const double loads = by_loads(b), lifts = by_lifts(b), blocks = by_block_heights(b);
  const double places = by_places(b, 0, CGHEIGHT_GEOMETRY - 1);
  return sqrt(loads * loads + lifts * lifts + blocks * blocks + places * places +
              square_of(b, b->problem->mass_row));
}

/* Zeros that drift steadily from the first reading to the last, by up to so much either way, each axle by itself. A session up and
** down again cancels most of it in the height. */
static double by_drift(const cgheight_workspace *b, double drift) {
  const cgheight_problem *p = b->problem;
  double square = 0;
  if (!(drift > 0)) return 0;
  for (int end = 0; end < 2; end++) {
    double change = 0;
    for (size_t i = 0; i < p->session->count; i++)
      if (p->row[i][end] != CGHEIGHT_NONE)
        change += b->weight[p->row[i][end]] * (double)i / (double)(p->session->count - 1);
    square += change * change;
  }
  return sy_uncertain_limits(drift) * sqrt(square);
}

/* ---- runs -------------------------------------------------------------------------------------------------------------- */

double cgheight_gap(const cgheight_problem *p, const double *x) {
  double gap = 0;
  for (size_t g = 0; g < p->groups; g++)
    for (size_t h = 0; h < g; h++)
      for (int end = 0; end < 2; end++)
        if (p->level[g][end] != CGHEIGHT_NONE && p->level[h][end] != CGHEIGHT_NONE)
          gap = fmax(gap, fabs(x[p->level[g][end]] - x[p->level[h][end]]));
  return gap;
}

double cgheight_run_scatter(const cgheight_problem *p, const double *x, double *dof) {
  double squares = 0;
  *dof = 0;
  for (int end = 0; end < 2; end++) {
    double sum = 0, count = 0;
    for (size_t g = 0; g < p->groups; g++)
      if (p->level[g][end] != CGHEIGHT_NONE) {
        sum += x[p->level[g][end]];
        count++;
      }
    if (!(count > 1)) continue;
    for (size_t g = 0; g < p->groups; g++)
      if (p->level[g][end] != CGHEIGHT_NONE) {
        const double off = x[p->level[g][end]] - sum / count;
        squares += off * off;
      }
    *dof += count - 1;
  }
  return *dof > 0 ? sqrt(squares / *dof) : 0;
}

/* The runs' scatter in the function b->gradient, whose means go over the runs. */
static double by_runs(const cgheight_workspace *b, double run_sd) {
  const cgheight_problem *p = b->problem;
  double square = 0;
  for (size_t g = 0; g < p->groups; g++)
    for (int end = 0; end < 2; end++)
      if (p->level[g][end] != CGHEIGHT_NONE)
        square += b->gradient[p->level[g][end]] * b->gradient[p->level[g][end]];
  return run_sd * sqrt(square);
}

/* ---- answers ------------------------------------------------------------------------------------------------------------ */

static double front_of(const cgheight_problem *p, const double *x) {
  double front = 0;
  for (size_t g = 0; g < p->groups; g++)
    front += cgheight_level_of(p, x, g, SY_LIFT_FRONT) / (double)p->groups;
  return front;
}

double cgheight_answer_of(const cgheight_problem *p, const double *x, cgheight_answer which) {
  if (which == CGHEIGHT_HEIGHT) return x[0];
  const double mass = cgheight_mass_of(p, x);
  if (which == CGHEIGHT_MASS) return mass;
  const double share = front_of(p, x) / mass;
  return which == CGHEIGHT_SHARE ? share : cgheight_wheelbase_of(p, x) * (1 - share);
}

static void take_gradient(const cgheight_workspace *b, const double *x, cgheight_answer which) {
  const cgheight_problem *p = b->problem;
  cgheight_clear(b);
  if (which == CGHEIGHT_HEIGHT) {
    b->gradient[0] = 1;
  } else if (which == CGHEIGHT_MASS) {
    cgheight_add_mass(p, 1, b->gradient);
  } else {
    const double by_share = which == CGHEIGHT_SHARE ? 1 : -cgheight_wheelbase_of(p, x);
    const double mass = cgheight_mass_of(p, x);
    const int wheelbase = p->geometry[CGHEIGHT_WHEELBASE];
    if (which == CGHEIGHT_BEHIND && wheelbase != CGHEIGHT_NONE)
      b->gradient[wheelbase] = 1 - front_of(p, x) / mass;
    for (size_t g = 0; g < p->groups; g++)
      cgheight_add_level(p, g, SY_LIFT_FRONT, by_share / mass / (double)p->groups, b->gradient);
    cgheight_add_mass(p, -by_share * front_of(p, x) / (mass * mass), b->gradient);
  }
}

static const double coverage = 0.95;

/* Loads and lifts that were widened share one factor, found once; so do runs and what lies in them. The others are stated. */
static void add_up(const cgheight_spread *spread, sy_cgheight_value *out) {
  const bool runs = out->by[SY_CGHEIGHT_RUNS] > 0, scatter = runs || spread->widened > 1;
  const double dof = runs ? spread->run_dof : scatter ? spread->dof : spread->load_dof;
  double found = 0, stated = 0;
  for (int k = 0; k < SY_CGHEIGHT_SOURCES; k++) {
    const bool lift = k == SY_CGHEIGHT_LIFTS && scatter;
    *(k == SY_CGHEIGHT_LOADS || k == SY_CGHEIGHT_RUNS || lift ? &found : &stated) += out->by[k] * out->by[k];
  }
  const double u[2] = {sqrt(found), sqrt(stated)}, dofs[2] = {dof, (double)INFINITY};
  out->u = sqrt(found + stated);
  out->dof = sy_stats_welch_dof(u, dofs, 2);
  out->half_width = sy_uncertain_half_width(u[1], u[0], dof, coverage);
}

void cgheight_value(const cgheight_workspace *b, const sy_lsq *f, cgheight_answer which,
                    const cgheight_spread *spread, sy_cgheight_value *out) {
  const double stated =
      b->problem->session->drift; /* NaN: the runs' scatter stands for it, but in the height */
  out->value = cgheight_answer_of(b->problem, f->x, which);
  take_gradient(b, f->x, which);
  cgheight_weigh(b, f);
  const double loads = spread->widened * by_loads(b), lifts = spread->widened * by_lifts(b);
  const double runs = by_runs(b, spread->run_sd);
  out->by[SY_CGHEIGHT_LOADS] = loads;
  out->by[SY_CGHEIGHT_LIFTS] = lifts;
  out->by[SY_CGHEIGHT_BLOCKS] = by_block_heights(b);
  out->by[SY_CGHEIGHT_MASS] = sqrt(square_of(b, b->problem->mass_row));
  out->by[SY_CGHEIGHT_DRIFT] = by_drift(b, which == CGHEIGHT_HEIGHT ? spread->drift
                                           : isnan(stated)          ? 0
                                                                    : stated);
  if (b->problem->session->by_body) { /* else found by change */
    out->by[SY_CGHEIGHT_WHEELBASE] = by_places(b, CGHEIGHT_WHEELBASE, CGHEIGHT_WHEELBASE);
    out->by[SY_CGHEIGHT_FRONT_RADIUS] = by_places(b, CGHEIGHT_FRONT_RADIUS, CGHEIGHT_FRONT_RADIUS);
    out->by[SY_CGHEIGHT_REAR_RADIUS] = by_places(b, CGHEIGHT_REAR_RADIUS, CGHEIGHT_REAR_RADIUS);
    out->by[SY_CGHEIGHT_POINT] = by_places(b, CGHEIGHT_FRONT_POINT_X, CGHEIGHT_REAR_POINT_Z);
  }
  out->by[SY_CGHEIGHT_RUNS] = sqrt(fmax(runs * runs - loads * loads - lifts * lifts, 0));
  add_up(spread, out);
}
