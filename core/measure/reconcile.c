#include "measure/reconcile.h"

#include <math.h>
#include <string.h>

#include "measure/reconcile_fit.h"
#include "measure/record.h"
#include "numeric/stats.h"

enum { N = SY_FIT_SUMS };

#define UNKNOWN ((double)NAN)

/* ---- checks --------------------------------------------------------------------------------------------------- */

static bool good_sd(double sd) { return sd >= 0 && isfinite(sd); }

static sy_status check_line(const sy_reconcile *p, size_t i, sy_error *err) {
  const sy_reconcile_line *l = &p->line[i];
  const char *field = NULL;
  if (!(l->mass >= 0 && isfinite(l->mass) && l->pieces >= 0 && isfinite(l->pieces))) field = "mass";
  if (!good_sd(l->mass_sd)) field = "mass_sd";
  if (!sy_vec3_finite(l->place)) field = "place";
  if (!good_sd(l->place_sd.x) || !good_sd(l->place_sd.y) || !good_sd(l->place_sd.z)) field = "place_sd";
  if (l->instrument > p->instruments || !isfinite(l->bias_share) || !isfinite(l->gain_mass))
    field = "instrument";
  if (field == NULL) return SY_OK;
  sy_error name;
  sy_fail(&name, SY_OK, NULL, NULL, "line %zu", i + 1);
  return sy_fail(err, SY_RANGE, name.message, field, "is negative, not finite or not among those given");
}

static sy_status check_lines(const sy_reconcile *p, sy_error *err) {
  for (size_t i = 0; i < p->instruments; i++) {
    if (good_sd(p->instrument[i].bias_sd) && good_sd(p->instrument[i].gain_sd)) continue;
    sy_error name;
    sy_fail(&name, SY_OK, NULL, NULL, "instrument %zu", i + 1);
    return sy_fail(err, SY_RANGE, name.message, "sd", "is negative or not finite");
  }
  sy_status status = SY_OK;
  for (size_t i = 0; i < p->lines && status == SY_OK; i++) status = check_line(p, i, err);
  return status;
}

static sy_status check(const sy_reconcile *p, sy_error *err) {
  if (p->lines == 0) return sy_fail(err, SY_MISSING, "ledger", NULL, "has nothing aboard");
  const sy_status status = check_lines(p, err);
  if (status != SY_OK) return status;
  bool uncertain = false;
  for (size_t i = 0; i < p->lines; i++) {
    const sy_reconcile_line *l = &p->line[i];
    uncertain = uncertain || l->mass_sd > 0 || l->place_sd.x > 0 || l->place_sd.y > 0 || l->place_sd.z > 0;
    const sy_instrument *scale = l->instrument > 0 ? &p->instrument[l->instrument - 1] : NULL;
    uncertain = uncertain || (scale != NULL && (scale->bias_sd > 0 || scale->gain_sd > 0));
  }
  return uncertain ? SY_OK
                   : sy_fail(err, SY_CLASH, "ledger", NULL,
                             "has no stated uncertainty anywhere, so nothing in it may be adjusted");
}

/* ---- what was measured ---------------------------------------------------------------------------------------- */

static void support_row(const sy_reconcile *p, size_t i, double row[N]) {
  const sy_reconcile_support *s = &p->support[i];
  row[0] = 1;
  row[1] = s->x;
  row[2] = p->lateral ? s->y : 0;
  row[3] = 0;
}

/* Of two loads, kg^2. */
static double covariance(const sy_reconcile *p, size_t i, size_t j) {
  const double sd = p->support[i].load_sd;
  if (p->load_covariance != NULL) return p->load_covariance[i * p->supports + j];
  return i == j && sd > 0 ? sd * sd : 0.0;
}

/* Of a load with the sums that all of them make. */
static void with_sums(const sy_reconcile *p, size_t i, double with[N]) {
  memset(with, 0, N * sizeof *with);
  for (size_t j = 0; j < p->supports; j++) {
    double row[N];
    support_row(p, j, row);
    for (int r = 0; r < N; r++) with[r] += covariance(p, i, j) * row[r];
  }
}

/* What was read, and its covariance. */
static sy_status measure(const sy_reconcile *p, sy_reconcile_fit *fit, sy_error *err) {
  double loads[SY_MAX_WHEELS * SY_MAX_WHEELS] = {0}, room[SY_RECORD_READINGS * SY_RECORD_READINGS];
  sy_record record;
  for (size_t i = 0; i < p->supports && p->supports <= SY_MAX_WHEELS; i++)
    for (size_t j = 0; j < p->supports; j++) loads[i * p->supports + j] = covariance(p, i, j);
  const sy_status status = sy_record_loads(p, loads, room, &record, err);
  if (status != SY_OK) return status;
  fit->rows = record.figures;
  for (size_t r = 0; r < fit->rows; r++) {
    fit->measured[r] = record.figure[r].read;
    fit->per_mass[r] = record.figure[r].per_mass;
    memcpy(fit->of.a[r], record.figure[r].of, sizeof fit->of.a[r]);
    for (size_t c = 0; c < fit->rows; c++)
      for (size_t j = 0; j < record.readings; j++)
        for (size_t k = 0; k < record.readings; k++)
          fit->noise.a[r][c] +=
              record.effect[r][j] * record.covariance[j * record.readings + k] * record.effect[c][k];
  }
  return SY_OK;
}

/* The measured values as sums q with covariance: a height is one moment, m z = height m. Returns which sums are known. */
static unsigned measured_sums(const sy_reconcile *p, const sy_reconcile_fit *fit, double q[N],
                              sy_matrix4 *cov) {
  const size_t loads = p->lateral ? 3 : 2;
  memset(cov, 0, sizeof *cov);
  memset(q, 0, N * sizeof *q);
  for (size_t r = 0; r < loads; r++) {
    q[r] = fit->measured[r];
    for (size_t c = 0; c < loads; c++) cov->a[r][c] = fit->noise.a[r][c];
  }
  unsigned known = p->lateral ? 7u : 3u;
  if (isnan(p->height)) return known;
  q[3] = p->height * q[0];
  for (size_t c = 0; c < loads; c++) cov->a[3][c] = cov->a[c][3] = p->height * cov->a[0][c];
  cov->a[3][3] = p->height * p->height * cov->a[0][0] + q[0] * q[0] * p->height_sd * p->height_sd;
  return known | 8u;
}

/* Mass and cg of sums with their covariance; what `known` lacks stays unknown. */
static sy_reconcile_body body_of(const double q[N], const sy_matrix4 *cov, unsigned known) {
  sy_reconcile_body b = {q[0], {UNKNOWN, UNKNOWN, UNKNOWN}, sqrt(cov->a[0][0]), {UNKNOWN, UNKNOWN, UNKNOWN}};
  for (int k = 1; k < N; k++) {
    if (!(known >> k & 1u) || q[0] == 0) continue;
    double c[N] = {0};
    b.cg[k - 1] = q[k] / q[0];
    c[0] = -b.cg[k - 1] / q[0];
    c[k] = 1 / q[0];
    b.cg_sd[k - 1] = sqrt(fmax(0, sy_matrix4_form(cov, c, c)));
  }
  return b;
}

static void compare(const sy_reconcile *p, const sy_reconcile_fit *fit, sy_reconciled *out) {
  double q[N], d[N];
  sy_matrix4 cov, sum;
  const unsigned known = measured_sums(p, fit, q, &cov);
  for (int r = 0; r < N; r++) {
    d[r] = q[r] - fit->booked[r];
    for (int c = 0; c < N; c++) sum.a[r][c] = cov.a[r][c] + fit->booked_cov.a[r][c];
  }
  out->ledger = body_of(fit->booked, &fit->booked_cov, 15);
  out->scales = body_of(q, &cov, known);
  out->missing = body_of(d, &sum, known);
  out->off_sigmas[0] = out->missing.mass / out->missing.mass_sd;
  for (int k = 0; k < 3; k++)
    out->off_sigmas[k + 1] =
        (out->scales.cg[k] - out->ledger.cg[k]) / hypot(out->scales.cg_sd[k], out->ledger.cg_sd[k]);
}

/* ---- what is adjusted ----------------------------------------------------------------------------------------- */

/* For answers linear in q: `pull` is what draws them, `stiff` what the measured values hold of them. */
typedef struct leverage {
  double pull[N];   /* G^T S^-1 (measured - ...) */
  sy_matrix4 stiff; /* G^T S^-1 G */
} leverage;

static leverage leverage_of(const sy_reconcile_fit *fit) {
  leverage l;
  memset(&l, 0, sizeof l);
  for (int k = 0; k < N; k++)
    for (int r = 0; r < N; r++) {
      l.pull[k] += fit->sensitivity.a[r][k] * fit->pull[r];
      for (int j = 0; j < N; j++)
        for (int s = 0; s < N; s++)
          l.stiff.a[k][j] += fit->sensitivity.a[r][k] * fit->weight.a[r][s] * fit->sensitivity.a[s][j];
    }
  return l;
}

static double dot(const double a[N], const double b[N]) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3];
}

/* A kilogram or a metre that moves the measured values by less than this share of their uncertainty moves them by rounding only: the two
** pieces of a pair across the car. */
#define UNTESTABLE 1e-9

/* w and `alone` of an error with effect h on q. */
static void test_error(const leverage *l, const double h[N], sy_reconciled_error *out) {
  const double power = sy_matrix4_form(&l->stiff, h, h), pull = dot(h, l->pull);
  const bool untestable = !(power > UNTESTABLE * UNTESTABLE);
  out->sigmas = untestable ? UNKNOWN : pull / sqrt(power);
  out->alone = untestable ? UNKNOWN : pull / power;
}

/* Adjustment and uncertainties of something whose covariance with q is `with` and whose variance is `variance`. */
static void adjust(const leverage *l, const double with[N], double variance, sy_reconciled_error *out) {
  out->change = dot(with, l->pull);
  out->before = sqrt(variance);
  out->after = sqrt(fmax(0, variance - sy_matrix4_form(&l->stiff, with, with)));
}

static void adjust_mass(const sy_reconcile *p, const sy_reconcile_fit *fit, const leverage *l, size_t i,
                        double common[][2][N], sy_reconciled_error *out) {
  const sy_reconcile_line *line = &p->line[i];
  const double own = line->mass_sd * line->mass_sd;
  double h[N], with[N], variance = own;
  sy_reconcile_effect(fit, fit->error, sy_reconcile_owner(fit, i, 0), 0, h);
  test_error(l, h, out);
  for (int k = 0; k < N; k++) with[k] = own * h[k];
  if (line->instrument > 0) {
    const sy_instrument *scale = &p->instrument[line->instrument - 1];
    const double share[2] = {line->bias_share, line->gain_mass}, sd[2] = {scale->bias_sd, scale->gain_sd};
    for (int kind = 0; kind < 2; kind++) {
      const double factor = share[kind] * sd[kind] * sd[kind];
      variance += factor * share[kind];
      for (int k = 0; k < N; k++) with[k] += factor * common[line->instrument - 1][kind][k];
    }
  }
  adjust(l, with, variance, out);
}

static void adjust_places(const sy_reconcile_fit *fit, const leverage *l, size_t i, sy_reconciled_line *out) {
  const sy_mat3 *e = &fit->line[i].directions;
  double h[3][N];
  for (int k = 0; k < 3; k++)
    sy_reconcile_effect(fit, fit->error, sy_reconcile_owner(fit, i, k + 1), k + 1, h[k]);
  for (int axis = 0; axis < 3; axis++) {
    double with[N] = {0}, shift[N] = {0}, variance = 0;
    for (int k = 0; k < 3; k++) {
      const double c = sy_reconcile_sd(fit, i, k + 1), factor = e->m[axis][k];
      variance += factor * factor * c * c;
      for (int j = 0; j < N; j++) {
        with[j] += factor * c * c * h[k][j];
        shift[j] +=
            factor * h[k][j]; /* the directions are orthogonal, so their transpose takes a shift apart */
      }
    }
    test_error(l, shift, &out->place[axis]);
    adjust(l, with, variance, &out->place[axis]);
  }
}

static void adjust_lines(const sy_reconcile *p, const sy_reconcile_fit *fit, const leverage *l,
                         sy_reconciled_line *line, sy_reconciled *out) {
  double common[SY_MAX_INSTRUMENTS][2][N] = {{{0}}};
  for (size_t s = 0; s < p->instruments; s++)
    for (int kind = 0; kind < 2; kind++) {
      sy_reconciled_error *error = kind == 0 ? &out->bias[s] : &out->gain[s];
      const double sd = kind == 0 ? p->instrument[s].bias_sd : p->instrument[s].gain_sd;
      double with[N];
      sy_reconcile_common(fit, fit->error, s, kind, common[s][kind]);
      for (int k = 0; k < N; k++) with[k] = sd * sd * common[s][kind][k];
      test_error(l, common[s][kind], error);
      adjust(l, with, sd * sd, error);
    }
  for (size_t i = 0; i < p->lines; i++) {
    adjust_mass(p, fit, l, i, common, &line[i].mass);
    adjust_places(fit, l, i, &line[i]);
  }
  out->line = line;
}

/* The sums as adjusted, their covariance what the measured values leave of the ledger's. */
static void adjust_sums(const sy_reconcile_fit *fit, const leverage *l, sy_reconciled *out, sy_matrix4 *cov) {
  for (int r = 0; r < N; r++)
    for (int c = 0; c < N; c++)
      cov->a[r][c] = fit->cov.a[r][c] - sy_matrix4_form(&l->stiff, fit->cov.a[r], fit->cov.a[c]);
  for (int r = 0; r < N; r++) cov->a[r][r] = fmax(0, cov->a[r][r]);
  out->both = body_of(fit->sums, cov, 15);
}

/* ln det of the inverse of the leading n x n block, symmetric and positive definite: by elimination. */
static double log_det_of_inverse(const sy_matrix4 *m, size_t n) {
  sy_matrix4 a = *m;
  double sum = 0;
  for (size_t k = 0; k < n; k++) {
    sum -= log(a.a[k][k]);
    for (size_t i = k + 1; i < n; i++)
      for (size_t j = n; j-- > k;) a.a[i][j] -= a.a[i][k] * a.a[k][j] / a.a[k][k];
  }
  return sum;
}

/* ---- readings and the warp ------------------------------------------------------------------------------------ */

static void test_readings(const sy_reconcile *p, const sy_reconcile_fit *fit, sy_reconciled *out) {
  for (size_t i = 0; i <= p->supports; i++) {
    double row[N] = {0};
    sy_reconciled_error *e = i < p->supports ? &out->reading[i] : &out->height;
    *e = (sy_reconciled_error){UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN};
    if (i < p->supports) {
      support_row(p, i, row);
    } else {
      if (isnan(p->height)) return;
      row[fit->rows - 1] = 1;
    }
    const double power = sy_matrix4_form(&fit->weight, row, row), pull = dot(row, fit->pull);
    e->sigmas = pull / sqrt(power);
    e->alone = pull / power;
    e->before = i < p->supports ? sqrt(covariance(p, i, i)) : p->height_sd;
    if (i == p->supports) {
      e->change = -fit->residual[fit->rows - 1];
      e->after = sqrt(fmax(0, e->before * e->before * (1 - e->before * e->before * power)));
    }
  }
}

static double determinant3(const double a[N], const double b[N], const double c[N]) {
  return a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) +
         a[2] * (b[0] * c[1] - b[1] * c[0]);
}

/* Loads that belong to the adjusted sums and lie nearest to the readings. */
static void adjust_loads(const sy_reconcile *p, const sy_reconcile_fit *fit, const sy_matrix4 *sums_cov,
                         sy_reconciled *out) {
  const size_t loads = p->lateral ? 3 : 2;
  double moved[N] = {0};
  sy_matrix4 weight;
  sy_matrix4_invert(&fit->noise, loads, &weight); /* the fit has done it before */
  for (size_t r = 0; r < loads; r++)
    for (size_t c = 0; c < loads; c++) moved[r] += weight.a[r][c] * fit->residual[c];
  for (size_t i = 0; i < p->supports; i++) {
    double with[N], gain[N] = {0};
    with_sums(p, i, with);
    out->load[i] = p->support[i].load - dot(with, moved);
    out->reading[i].change = out->load[i] - p->support[i].load;
    /* what the sums leave open of it, and what is left of the sums' own uncertainty */
    const double open = covariance(p, i, i) - sy_matrix4_form(&weight, with, with);
    for (int r = 0; r < N; r++)
      for (int c = 0; c < N; c++) gain[r] += weight.a[r][c] * with[c];
    out->reading[i].after = sqrt(fmax(0, open) + sy_matrix4_form(sums_cov, gain, gain));
  }
}

/* With four wheels, what the loads have beyond the least-norm split runs along one vector to which total and moments do not respond: the
** determinants of the other three wheels, with alternating signs. */
static void find_warp(const sy_reconcile *p, const sy_reconcile_fit *fit, const sy_matrix4 *sums_cov,
                      sy_reconciled *out) {
  for (size_t i = 0; i < SY_MAX_WHEELS; i++) out->warp[i] = UNKNOWN;
  out->warp_sd = UNKNOWN;
  if (!p->lateral || p->supports != 4) return;
  double row[4][N], v[4], length = 0, along = 0, own = 0, gain[N] = {0}, seen[N] = {0};
  sy_matrix4 weight;
  sy_matrix4_invert(&fit->noise, 3, &weight);
  for (size_t i = 0; i < 4; i++) support_row(p, i, row[i]);
  for (int i = 0; i < 4; i++) {
    const double d = determinant3(row[(i + 1) % 4], row[(i + 2) % 4], row[(i + 3) % 4]);
    v[i] = i % 2 == 0 ? d : -d;
    length += v[i] * v[i];
    along += v[i] * out->load[i];
  }
  for (int i = 0; i < 4; i++) {
    double with[N];
    with_sums(p, (size_t)i, with);
    out->warp[i] = along / length * v[i];
    for (int j = 0; j < 4; j++) own += v[i] * covariance(p, (size_t)i, (size_t)j) * v[j];
    for (int r = 0; r < N; r++) seen[r] += v[i] * with[r];
  }
  for (int r = 0; r < N; r++)
    for (int c = 0; c < N; c++) gain[r] += weight.a[r][c] * seen[c];
  const double left =
      fmax(0, own - sy_matrix4_form(&weight, seen, seen)) + sy_matrix4_form(sums_cov, gain, gain);
  out->warp_sd = fabs(v[0]) / length * sqrt(left);
}

/* ---- the whole ------------------------------------------------------------------------------------------------- */

size_t sy_reconcile_size(size_t lines, size_t instruments) {
  return lines * sizeof(sy_reconciled_line) + 2 * (4 * lines + 2 * instruments) * sizeof(double);
}

sy_status sy_reconcile_solve(const sy_reconcile *problem, void *memory, sy_reconciled *out, sy_error *err) {
  sy_reconcile_fit fit;
  memset(&fit, 0, sizeof fit);
  sy_status status = measure(problem, &fit, err);
  if (status == SY_OK) status = check(problem, err);
  if (status != SY_OK) return status;
  fit.line = problem->line, fit.lines = problem->lines;
  fit.instrument = problem->instrument, fit.instruments = problem->instruments;
  sy_reconciled_line *line = memory;
  fit.error = (double *)(void *)(line + fit.lines);
  fit.trial = fit.error + sy_reconcile_errors(&fit);
  status = sy_reconcile_fit_solve(&fit, err);
  if (status != SY_OK) return status;
  sy_reconciled found;
  sy_matrix4 sums_cov;
  memset(&found, 0, sizeof found);
  const leverage l = leverage_of(&fit);
  found.chi2 = fit.chi2;
  found.dof = fit.rows;
  found.log_det = log_det_of_inverse(&fit.weight, fit.rows);
  found.p = sy_stats_chi2_tail(fit.chi2, (double)fit.rows);
  compare(problem, &fit, &found);
  adjust_lines(problem, &fit, &l, line, &found);
  adjust_sums(&fit, &l, &found, &sums_cov);
  test_readings(problem, &fit, &found);
  adjust_loads(problem, &fit, &sums_cov, &found);
  find_warp(problem, &fit, &sums_cov, &found);
  *out = found;
  return SY_OK;
}
