#include <float.h>
#include <math.h>

#include "measure/cgheight_parts.h"

static const double same_look =
    0.999; /* correlation of two observations from which on they are indistinguishable */
static const double chance = 0.05; /* that a session without a wrong reading is said to have one */

/* ---- the readings one by one -------------------------------------------------------------------------------------------- */

/* The upright front load as the reading shows it, its share of each axle's reading by their uncertainties, and what it changes by the tilt
** (on a plane). */
static double front_seen(const cgheight_workspace *b, const sy_lsq *f, size_t i, double share[2],
                         double *by_tilt) {
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

/* `weight` times the tilt as it was read: by itself and by the blocks. */
static void weigh_tilt(const cgheight_workspace *b, size_t i, double weight) {
  const cgheight_problem *p = b->problem;
  if (p->tilt[i] != CGHEIGHT_NONE) b->weight[p->row[i][SY_CGHEIGHT_LIFT]] += weight;
  for (int k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++)
    if ((p->session->reading[i].blocks >> k & 1) != 0 && p->block[k] != CGHEIGHT_NONE)
      b->weight[p->block_row[k]] += weight * p->rate[i];
  for (int what = 0; what < CGHEIGHT_GEOMETRY; what++)
    if (p->geometry[what] != CGHEIGHT_NONE) b->weight[p->geometry_row[what]] += weight * p->tilt_by[i][what];
}

static void height_alone(const cgheight_workspace *b, const sy_lsq *f, size_t i, double widened,
                         sy_cgheight_row *row) {
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
  cgheight_clear(
      b); /* d height = (d front - by_front d level - by_mass d mass - by_tilt d tilt) / by_height */
  cgheight_add_mass(p, -load.by_mass, b->gradient);
  cgheight_add_level(p, group, SY_LIFT_FRONT, share[1] - load.by_front, b->gradient);
  cgheight_add_level(p, group, SY_LIFT_REAR, share[1], b->gradient);
  cgheight_weigh(b, f);
  if (p->row[i][0] != CGHEIGHT_NONE) b->weight[p->row[i][0]] += share[0] / press;
  if (p->row[i][1] != CGHEIGHT_NONE) b->weight[p->row[i][1]] -= share[1] / press;
  weigh_tilt(b, i, by_tilt - load.by_tilt);
  row->u_height = widened * cgheight_uncertainty(b) / fabs(load.by_height);
}

void cgheight_list_rows(const cgheight_workspace *b, const sy_lsq *f, double widened, sy_cgheight_row *rows) {
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
    if (p->session->reading[i].lift > 0) height_alone(b, f, i, widened, &rows[i]);
  }
}

void cgheight_list_levels(const cgheight_workspace *b, const sy_lsq *f, double widened,
                          sy_cgheight_level *levels) {
  const cgheight_problem *p = b->problem;
  for (size_t run = 0; run < p->session->runs; run++) {
    const size_t group = p->session->common_level ? 0 : run;
    levels[run].readings = 0;
    for (size_t i = 0; i < p->session->count; i++) levels[run].readings += p->session->reading[i].run == run;
    for (int end = 0; end < 2; end++) {
      const int column = p->level[group][end];
      levels[run].load[end] = column == CGHEIGHT_NONE ? (double)NAN : f->x[column];
      levels[run].u[end] = column == CGHEIGHT_NONE
                               ? (double)NAN
                               : widened * sqrt(f->covariance[(size_t)column * (f->cols + 1)]);
    }
  }
}

/* ---- suspects ---------------------------------------------------------------------------------------------------------- */

static sy_cgheight_name name_of(const cgheight_problem *p, size_t row) {
  for (size_t i = 0; i < p->session->count; i++)
    for (int what = 0; what < 3; what++)
      if (p->row[i][what] == (int)row) return (sy_cgheight_name){i, (sy_cgheight_what)what};
  for (size_t k = 0; k < SY_CGHEIGHT_MOST_BLOCKS; k++)
    if (p->block_row[k] == (int)row) return (sy_cgheight_name){k, SY_CGHEIGHT_BLOCK};
  return (sy_cgheight_name){p->session->count, SY_CGHEIGHT_FRONT}; /* the mass */
}

void cgheight_suspect(const cgheight_workspace *b, const sy_lsq *f, sy_cgheight *out) {
  const size_t end = f->rows - (b->problem->mass_row == CGHEIGHT_NONE ? 0 : 1);
  size_t tested = 0;
  for (size_t i = 0; i < end; i++) tested += isnan(f->standardised[i]) ? 0 : 1;
  out->critical = sy_lsq_critical(tested, chance);
  out->off = (double)NAN;
  out->tied_count = 0;
  out->suspicious = false;
  const size_t worst = sy_lsq_worst(f, 0, end);
  if (worst == end) return;
  out->off = f->standardised[worst];
  out->suspicious = fabs(out->off) > out->critical;
  out->tied[out->tied_count++] = name_of(b->problem, worst);
  for (size_t i = 0; i < end && out->tied_count < SY_CGHEIGHT_MOST_TIED; i++)
    if (i != worst && fabs(sy_lsq_correlation(f, worst, i)) > same_look)
      out->tied[out->tied_count++] = name_of(b->problem, i);
}
