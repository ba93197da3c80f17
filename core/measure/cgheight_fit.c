#include <math.h>
#include <string.h>

#include "base/finite.h"
#include "measure/cgheight_geometry.h"
#include "measure/cgheight_parts.h"
#include "numeric/stats.h"

static const double least_tilt = 1e-6; /* rad: the height's uncertainty is millions of the loads' */

/* The most rows and columns that a session can come to, with a trend. */
static size_t most_rows(const sy_cgheight_session *s) {
  return 3 * s->count + SY_CGHEIGHT_MOST_BLOCKS + CGHEIGHT_GEOMETRY + 1;
}
static size_t most_cols(const sy_cgheight_session *s) {
  return 3 + 2 * s->runs + s->count + SY_CGHEIGHT_MOST_BLOCKS + CGHEIGHT_GEOMETRY;
}

size_t sy_cgheight_size(const sy_cgheight_session *s) {
  if (s->count > SY_CGHEIGHT_MOST_READINGS || s->runs > SY_CGHEIGHT_MOST_RUNS) return 0;
  const size_t rows = most_rows(s), cols = most_cols(s);
  return sizeof(cgheight_problem) + (3 * rows + 2 * cols) * sizeof(double) + sy_lsq_size(rows, cols);
}

static cgheight_workspace set_up(const sy_cgheight_session *s, void *memory) {
  const size_t rows = most_rows(s), cols = most_cols(s);
  cgheight_workspace b = {.problem = memory};
  double *next = (double *)(void *)(b.problem + 1);
  b.problem->y = next;
  b.problem->sd = next + rows;
  b.weight = next + 2 * rows;
  b.problem->start = next + 3 * rows;
  b.gradient = next + 3 * rows + cols;
  b.fit = next + 3 * rows + 2 * cols;
  return b;
}

/* sy_lsq_fit, sy_lsq_estimate where nothing is asked of single readings, or sy_lsq_minimum where no uncertainty is. */
typedef sy_status fitter(sy_lsq_model *model, void *user, const double *y, const double *sd,
                         const double *start, size_t rows, size_t cols, void *memory, sy_lsq *out,
                         sy_error *err);

static sy_status fit(const cgheight_workspace *b, fitter *by, sy_lsq *out, sy_error *err) {
  cgheight_problem *p = b->problem;
  sy_status status = cgheight_observe(p, err);
  if (status != SY_OK) return status;
  for (int round = 0; status == SY_OK && round < (p->session->by_body ? 2 : 1); round++) {
    if (round > 0) memcpy(p->start, out->x, p->cols * sizeof *p->start);
    status = cgheight_linearise(p, p->start, err); /* at the start, then at what was found from there */
    if (status == SY_OK)
      status = by(cgheight_model, p, p->y, p->sd, p->start, p->rows, p->cols, b->fit, out, err);
  }
  if (status == SY_GEOMETRY && err != NULL && strcmp(err->field, "rank") == 0)
    status =
        sy_fail(err, SY_GEOMETRY, "readings", "",
                "do not tell the height: a run needs the same axle at two lifts, level being one of them");
  if (status == SY_RANGE && err != NULL && strcmp(err->field, "observations") == 0)
    status =
        sy_fail(err, SY_GEOMETRY, "readings", "", "are too few to tell the height: read level and lifted");
  return status;
}

/* ---- sources that leave no residual -------------------------------------------------------------------------------------- */

/* Half the difference of the answers found with one value up and down by its uncertainty, added to the source by squares. A value that
** would not stay above 0 is only raised: the whole difference. */
static sy_status by_change(const cgheight_workspace *b, double *value, double by, sy_cgheight_source source,
                           sy_cgheight_value *const answer[CGHEIGHT_ANSWERS], sy_error *err) {
  if (!(by > 0)) return SY_OK;
  const double keep = *value, down = keep - by > 0 ? keep - by : keep;
  double found[2][CGHEIGHT_ANSWERS];
  for (int k = 0; k < 2; k++) {
    sy_lsq f;
    *value = k == 0 ? keep + by : down;
    const sy_status status = fit(b, sy_lsq_minimum, &f, err);
    for (int which = 0; status == SY_OK && which < CGHEIGHT_ANSWERS; which++)
      found[k][which] = cgheight_answer_of(b->problem, f.x, (cgheight_answer)which);
    *value = keep;
    if (status != SY_OK) return status;
  }
  for (int which = 0; which < CGHEIGHT_ANSWERS; which++)
    answer[which]->by[source] =
        hypot(answer[which]->by[source], (found[0][which] - found[1][which]) * by / (keep + by - down));
  return SY_OK;
}

static sy_status unseen(const cgheight_workspace *b, sy_cgheight_value *const answer[CGHEIGHT_ANSWERS],
                        sy_error *err) {
  const sy_cgheight_session *s = b->problem->session;
  sy_lift_car *car = &b->problem->car;
  sy_status status = SY_OK;
  if (!s->by_body) { /* else seen: unknowns of the fit */
    status = by_change(b, &car->wheelbase, s->wheelbase_sd, SY_CGHEIGHT_WHEELBASE, answer, err);
    if (status == SY_OK)
      status = by_change(b, &car->radius[0], s->radius_sd[0], SY_CGHEIGHT_FRONT_RADIUS, answer, err);
    if (status == SY_OK)
      status = by_change(b, &car->radius[1], s->radius_sd[1], SY_CGHEIGHT_REAR_RADIUS, answer, err);
  }
  for (int end = 0; status == SY_OK && end < 2; end++) {
    status = by_change(b, &car->compliance[end], s->compliance_sd[end], SY_CGHEIGHT_SPRINGS, answer, err);
    if (status == SY_OK)
      status = by_change(b, &car->tyre[end], s->tyre_sd[end], SY_CGHEIGHT_TYRES, answer, err);
    if (status == SY_OK)
      status = by_change(b, &car->unsprung[end], s->unsprung_sd[end], SY_CGHEIGHT_UNSPRUNG, answer, err);
  }
  return status;
}

/* ---- more scatter than stated ----------------------------------------------------------------------------------------------- */

/* Does the height seem to change with the tilt? One unknown more; needs a reading to spare and two tilts. */
static void look_for_trend(const cgheight_workspace *b, const sy_cgheight_session *s, sy_cgheight *out) {
  sy_lsq f;
  out->trend = out->u_trend = (double)NAN;
  if (cgheight_lay_out(b->problem, s, true, NULL) != SY_OK || fit(b, sy_lsq_estimate, &f, NULL) != SY_OK ||
      f.dof == 0)
    return;
  out->trend = f.x[b->problem->trend];
  out->u_trend = sqrt(f.covariance[(size_t)b->problem->trend * (f.cols + 1)]);
}

/* chi2 with one level for all runs and the levels that are then no longer free; NaN where that cannot be fitted. */
static double with_one_level(const cgheight_workspace *b, const sy_cgheight_session *s, size_t *cols) {
  sy_cgheight_session one = *s;
  sy_lsq f;
  one.common_level = true;
  if (cgheight_lay_out(b->problem, &one, false, NULL) != SY_OK || fit(b, sy_lsq_minimum, &f, NULL) != SY_OK)
    return (double)NAN;
  *cols = f.cols;
  return f.chi2;
}

/* Do the runs lie further apart than their readings explain: by what is stated and, where the readings scatter more, by that too?
** `more` is what one level for all adds to chi2, on `runs` degrees of freedom. */
static bool runs_differ(const sy_cgheight_session *s, const sy_cgheight *a, double more, double runs) {
  if (!(runs > 0) || !(sy_stats_f_tail(more / runs, runs, s->load_dof) < CGHEIGHT_UNLIKELY)) return false;
  if (!(a->p < CGHEIGHT_UNLIKELY)) return true;
  const double scatter = a->chi2 / (double)a->tested;
  return sy_stats_f_tail(more / runs / scatter, runs, (double)a->tested) < CGHEIGHT_UNLIKELY;
}

/* `f` is the fit with a level for each run, `one_level` chi2 without. Where the runs agree their gaps are scatter like the residuals,
** and are pooled with them. Runs that a stated drift of the zeros explains are not scatter. Pads whose sd came from the scatter
** (load_dof) are as wide as that already. */
static cgheight_spread spread_of(const cgheight_workspace *b, const sy_lsq *f, double one_level,
                                 size_t one_cols, sy_cgheight *out) {
  const sy_cgheight_session *s = b->problem->session;
  const double runs = f->cols > one_cols ? (double)(f->cols - one_cols) : 0;
  const double more = runs > 0 ? fmax(one_level - f->chi2, 0) : 0;
  out->chi2 = f->chi2;
  out->tested = f->dof;
  out->p = f->dof > 0 ? sy_stats_chi2_tail(f->chi2, (double)f->dof) : (double)NAN;
  const bool differ = runs_differ(s, out, more, runs);
  const double chi2 = f->chi2 + (differ ? 0 : more), dof = (double)f->dof + (differ ? 0 : runs);
  const bool wide = isinf(s->load_dof) && dof > 0 && sy_stats_chi2_tail(chi2, dof) < CGHEIGHT_UNLIKELY;
  out->widened = wide ? sqrt(chi2 / dof) : 1;
  out->widened_dof = dof;
  const double gap = cgheight_gap(b->problem, f->x);
  out->run_sd = out->run_dof = 0;
  if (differ && !(s->drift >= gap)) out->run_sd = cgheight_run_scatter(b->problem, f->x, &out->run_dof);
  out->drift = !isnan(s->drift) ? s->drift : differ ? gap : 0;
  return (cgheight_spread){out->widened, dof, s->load_dof, out->run_sd, out->run_dof, out->drift};
}

/* ---- all together -------------------------------------------------------------------------------------------------------- */

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
  const cgheight_workspace b = set_up(session, memory);
  sy_error own; /* fit() looks at it */
  sy_error *e = err != NULL ? err : &own;
  sy_cgheight answer = {0};
  sy_cgheight_value *const value[CGHEIGHT_ANSWERS] = {&answer.height, &answer.mass, &answer.behind,
                                                      &answer.front_share};
  sy_lsq f;
  sy_status status = cgheight_lay_out(b.problem, session, false, e);
  if (status == SY_OK) status = cgheight_observe(b.problem, e);
  if (status == SY_OK) status = check_tilts(b.problem, e);
  if (status == SY_OK)
    status = unseen(&b, value, e); /* fits too: what cannot be fitted is refused there or below */
  if (status != SY_OK) return status;
  look_for_trend(&b, session, &answer);
  size_t one_cols = SIZE_MAX;
  const bool several = session->runs > 1 && !session->common_level;
  const double one_level = several ? with_one_level(&b, session, &one_cols) : (double)NAN;
  status = cgheight_lay_out(b.problem, session, false, e);
  if (status == SY_OK) status = fit(&b, sy_lsq_fit, &f, e);
  if (status != SY_OK) return status;
  const cgheight_spread spread = spread_of(&b, &f, one_level, one_cols, &answer);
  for (int which = 0; which < CGHEIGHT_ANSWERS; which++)
    cgheight_value(&b, &f, (cgheight_answer)which, &spread, value[which]);
  if (!(isfinite(answer.height.value) && isfinite(answer.height.u)))
    return sy_fail(e, SY_GEOMETRY, "readings", "", "do not tell the height: its uncertainty has no bound");
  for (int which = 0; which < CGHEIGHT_ANSWERS; which++) {
    const double found[3] = {value[which]->value, value[which]->u, value[which]->half_width};
    status = sy_finite_results(found, 3, "readings", "load", e);
    if (status != SY_OK) return status;
  }
  cgheight_list_levels(&b, &f, answer.widened, levels);
  cgheight_list_rows(&b, &f, answer.widened, rows);
  cgheight_suspect(&b, &f, &answer);
  *out = answer;
  return SY_OK;
}
