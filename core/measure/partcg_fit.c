#include "measure/partcg_plan.h"

size_t sy_partcg_size(const sy_partcg *problem) {
  sy_partcg_plan pl;
  if (sy_partcg_make_plan(problem, &pl, NULL) != SY_OK) return 1;
  return sy_lsq_size(pl.rows > pl.cols ? pl.rows : pl.cols, pl.cols) + 3 * pl.rows * sizeof(double) +
         pl.cols * sizeof(double);
}

static void put_own(size_t column, double value, double sd, const sy_partcg_plan *pl, double *y, double *s,
                    double *start) {
  if (column == SY_PARTCG_NONE) return;
  const size_t row = column + pl->rows - pl->cols; /* own rows and own columns end together */
  y[row] = start[column] = value;
  s[row] = sd;
}

/* The mass to start from: the mean sum of the poses that were read in full, or the largest of the others. */
static double start_mass(const sy_partcg *p) {
  double full = 0, count = 0, most = 0;
  for (size_t k = 0; k < p->poses; k++) {
    double sum = 0;
    bool all = true;
    for (size_t j = 0; j < p->pose[k].legs; j++) {
      all = all && !p->pose[k].unread[j];
      if (!p->pose[k].unread[j]) sum += p->pose[k].load[j];
    }
    if (all) full += sum, count++;
    most = fmax(most, sum);
  }
  return count > 0 ? full / count : most;
}

/* Observations, their uncertainties and a start: mass from the loads, places and angles as measured, the cg at the reference. */
static void observe(const sy_partcg_plan *pl, double *y, double *sd, double *start) {
  const sy_partcg *p = pl->problem;
  size_t row = 0;
  for (size_t i = 0; i < pl->cols; i++) start[i] = 0;
  if (p->poses > 0) start[0] = start_mass(p);
  for (size_t k = 0; k < p->poses; k++) {
    for (size_t j = 0; j < p->pose[k].legs; j++) {
      if (p->pose[k].unread[j]) continue;
      y[row] = p->pose[k].load[j], sd[row++] = p->pose[k].sd[j];
      if (pl->free_load[k][j] != SY_PARTCG_NONE) start[pl->free_load[k][j]] = p->pose[k].load[j];
    }
    put_own(pl->roll[k], p->pose[k].roll, p->pose[k].roll_sd, pl, y, sd, start);
    put_own(pl->pitch[k], p->pose[k].pitch, p->pose[k].pitch_sd, pl, y, sd, start);
  }
  for (size_t i = 0; i < p->places; i++)
    for (int x = 0; x < 3; x++)
      put_own(pl->place[i][x], sy_vec3_along(p->place[i].at, x), sy_vec3_along(p->place[i].sd, x), pl, y, sd,
              start);
  for (size_t b = 0; b < p->balances; b++, row++) {
    y[row] = p->balance[b].edge, sd[row] = p->balance[b].edge_sd;
    if (p->poses == 0 && pl->has_mass) start[0] = fmax(start[0], p->balance[b].mass);
    put_own(pl->mass[b], p->balance[b].mass, p->balance[b].mass_sd, pl, y, sd, start);
    put_own(pl->at[b], p->balance[b].at, p->balance[b].at_sd, pl, y, sd, start);
  }
}

static sy_partcg_cause cause_of(const sy_partcg_plan *pl, size_t row) {
  if (row < pl->loads) return SY_PARTCG_READINGS;
  if (row < pl->loads + pl->problem->balances) return SY_PARTCG_EDGES;
  const size_t column = row + pl->cols - pl->rows;
  for (size_t k = 0; k < pl->problem->poses; k++)
    if (column == pl->roll[k] || column == pl->pitch[k]) return SY_PARTCG_ANGLES;
  for (size_t b = 0; b < pl->problem->balances; b++)
    if (column == pl->mass[b] || column == pl->at[b]) return SY_PARTCG_EDGES;
  return SY_PARTCG_PLACED;
}

static void publish(const sy_partcg_plan *pl, const double *sd, sy_partcg_result *r) {
  const sy_lsq *fit = &r->fit;
  const size_t first = pl->has_mass ? 1 : 0;
  const sy_vec3 c = sy_partcg_cg(pl, fit->x);
  r->loads = pl->loads;
  r->mass = pl->has_mass ? fit->x[0] : (double)NAN;
  r->mass_sd = pl->has_mass ? sqrt(fit->covariance[0]) : (double)NAN;
  for (int i = 0; i < 3; i++) {
    double seen = 0, variance = 0;
    for (size_t d = 0; d < pl->directions; d++)
      seen += sy_vec3_along(pl->direction[d], i) * sy_vec3_along(pl->direction[d], i);
    r->known[i] = seen > 1 - 1e-9; /* the rest lies along a direction that no pose determines */
    r->cg[i] = r->cg_sd[i] = (double)NAN;
    for (int cause = 0; cause < SY_PARTCG_CAUSES; cause++) r->cause[cause][i] = 0;
    if (!r->known[i]) continue;
    r->cg[i] = sy_vec3_along(c, i);
    for (size_t row = 0; row < pl->rows; row++) {
      double sensitivity = 0;
      for (size_t d = 0; d < pl->directions; d++)
        sensitivity += sy_vec3_along(pl->direction[d], i) * fit->gain[(first + d) * pl->rows + row];
      const double u = sensitivity * sd[row];
      r->cause[cause_of(pl, row)][i] += u * u;
      variance += u * u;
    }
    r->cg_sd[i] = sqrt(variance);
    for (int cause = 0; cause < SY_PARTCG_CAUSES; cause++) r->cause[cause][i] = sqrt(r->cause[cause][i]);
  }
}

/* The first support that was not read is why, else the poses are. */
static sy_status unsettled(const sy_partcg *p, sy_error *err) {
  for (size_t k = 0; k < p->poses; k++)
    for (size_t j = 0; j < p->pose[k].legs; j++)
      if (p->pose[k].unread[j])
        return sy_partcg_bad(
            err, SY_GEOMETRY, "pose", k, "readings",
            "with a support not read, and the other poses, do not settle mass and CG: read it as well");
  return sy_fail(err, SY_GEOMETRY, "part_cg", "poses",
                 "do not settle mass and CG: add a pose, or tilt further");
}

sy_status sy_partcg_solve(const sy_partcg *problem, void *memory, sy_partcg_result *out, sy_error *err) {
  sy_partcg_plan pl;
  sy_status status = sy_partcg_make_plan(problem, &pl, err);
  if (status != SY_OK) return status;
  if (pl.rows < pl.cols && problem->poses > 0) return unsettled(problem, err);
  if (pl.rows < pl.cols)
    return sy_fail(
        err, SY_MISSING, "edge", NULL,
        "balances are too few: one of the part alone and one with a known mass give its mass and CG");
  double *y = (double *)memory, *sd = y + pl.rows, *start = sd + pl.rows;
  observe(&pl, y, sd, start);
  if (pl.has_mass && !(start[0] > 0))
    return sy_fail(err, SY_GEOMETRY, "part_cg", "readings", "sum up to no mass");
  sy_partcg_result r = {.mass = 0};
  status = sy_lsq_fit(sy_partcg_model, &pl, y, sd, start, pl.rows, pl.cols, start + pl.cols, &r.fit, err);
  if (status == SY_GEOMETRY) return unsettled(problem, err);
  if (status != SY_OK) return status;
  if (pl.has_mass && !(r.fit.x[0] > 0))
    return sy_fail(err, SY_GEOMETRY, "part_cg", "mass", "would be %g kg", r.fit.x[0]);
  publish(&pl, sd, &r);
  *out = r;
  return SY_OK;
}
