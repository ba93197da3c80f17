#include "measure/weigh.h"

#include <math.h>
#include <string.h>

#include "base/finite.h"

/* Unknowns: loads, the two slopes, then the offsets that are uncertain, each with a row of its own at the end. */
typedef struct layout {
  size_t rows, cols, slopes, offsets;
  size_t offset[SY_WEIGH_PADS]; /* column, or cols where there is none */
} layout;

static layout lay_out(const sy_weigh *p) {
  layout l = {.slopes = p->wheels};
  l.cols = l.offsets = p->wheels + (p->slopes ? 2 : 0);
  for (size_t i = 0; i < p->pads; i++)
    if (p->offset_sd[i] > 0) l.cols++;
  for (size_t i = 0, next = l.offsets; i < p->pads; i++) l.offset[i] = p->offset_sd[i] > 0 ? next++ : l.cols;
  l.rows = p->readings + l.cols - l.offsets;
  return l;
}

static bool good_sd(double sd) { return sd >= 0 && isfinite(sd); }

static sy_status check(const sy_weigh *p, sy_error *err) {
  if (p->readings == 0) return sy_fail(err, SY_MISSING, "runs", NULL, "have no reading");
  if (p->wheels == 0 || p->wheels > SY_WEIGH_WHEELS || p->pads > SY_WEIGH_PADS ||
      p->readings > SY_WEIGH_READINGS)
    return sy_fail(err, SY_RANGE, "runs", NULL, "have more than %d wheels, %d pads or %d readings",
                   (int)SY_WEIGH_WHEELS, (int)SY_WEIGH_PADS, (int)SY_WEIGH_READINGS);
  for (size_t i = 0; i < p->pads; i++)
    if (!good_sd(p->offset_sd[i]) || !good_sd(p->gain_sd[i]))
      return sy_fail(err, SY_RANGE, "pads", NULL, "have an uncertainty below 0 or not finite");
  if (!good_sd(p->ratio_sd))
    return sy_fail(err, SY_RANGE, "plank", "ratio", "has an uncertainty below 0 or not finite");
  for (size_t w = 0; w < p->wheels && p->slopes; w++)
    if (!isfinite(p->front[w]) || !isfinite(p->left[w]))
      return sy_fail(err, SY_RANGE, "wheels", NULL, "have a share of a slope that is not finite");
  for (size_t i = 0; i < p->readings; i++) {
    const sy_weigh_reading *r = &p->reading[i];
    sy_error name;
    sy_fail(&name, SY_OK, NULL, NULL, "reading %zu", i + 1);
    if (r->pad >= p->pads || r->wheels == 0 || r->wheels >> p->wheels != 0)
      return sy_fail(err, SY_RANGE, name.message, NULL, "names a pad or wheel that is not there");
    if (p->slopes && r->facing != 1 && r->facing != -1)
      return sy_fail(err, SY_RANGE, name.message, "facing", "is %d, must be 1 or -1", r->facing);
    if (!isfinite(r->load) || !(r->sd > 0 && isfinite(r->sd)))
      return sy_fail(err, SY_RANGE, name.message, NULL, "is not finite, or its uncertainty not above 0");
  }
  return SY_OK;
}

/* Doubles before the fit's own memory: the matrix, observations and their uncertainties. */
static size_t own_doubles(const layout *l) { return l->rows * l->cols + 2 * l->rows; }

size_t sy_weigh_size(const sy_weigh *problem) {
  if (check(problem, NULL) != SY_OK) return 1;
  const layout l = lay_out(problem);
  return own_doubles(&l) * sizeof(double) + sy_lsq_size(l.rows > l.cols ? l.rows : l.cols, l.cols);
}

static void fill(const sy_weigh *p, const layout *l, double *a, double *y, double *sd) {
  memset(a, 0, l->rows * l->cols * sizeof *a);
  for (size_t i = 0; i < p->readings; i++) {
    const sy_weigh_reading *r = &p->reading[i];
    double *row = a + i * l->cols;
    for (size_t w = 0; w < p->wheels; w++) {
      if ((r->wheels >> w & 1) == 0) continue;
      row[w] = 1;
      if (!p->slopes) continue;
      row[l->slopes] += r->facing * p->front[w];
      row[l->slopes + 1] += r->facing * p->left[w];
    }
    if (l->offset[r->pad] < l->cols) row[l->offset[r->pad]] = 1;
    y[i] = r->load;
    sd[i] = r->sd;
  }
  for (size_t i = 0, row = p->readings; i < p->pads; i++) {
    if (l->offset[i] == l->cols) continue;
    a[row * l->cols + l->offset[i]] = 1;
    y[row] = 0;
    sd[row++] = p->offset_sd[i];
  }
}

/* An error of one relative size in the readings of one pad (or of all, pad == pads): what it does to the loads. */
static void add_common(const sy_weigh *p, const layout *l, const sy_lsq *fit, size_t pad, double relative,
                       double *cov) {
  double move[SY_WEIGH_WHEELS];
  if (relative == 0) return;
  for (size_t w = 0; w < p->wheels; w++) {
    move[w] = 0;
    for (size_t i = 0; i < p->readings; i++)
      if (pad == p->pads || p->reading[i].pad == pad)
        move[w] += fit->gain[w * l->rows + i] * p->reading[i].load * relative;
  }
  for (size_t w = 0; w < p->wheels; w++)
    for (size_t v = 0; v < p->wheels; v++) cov[w * p->wheels + v] += move[w] * move[v];
}

sy_status sy_weigh_solve(const sy_weigh *problem, void *memory, sy_weigh_result *out, sy_error *err) {
  const sy_weigh *p = problem;
  sy_status status = check(p, err);
  if (status != SY_OK) return status;
  const layout l = lay_out(p);
  if (l.rows < l.cols)
    return sy_fail(err, SY_GEOMETRY, "runs", NULL, "are too few: they do not settle every load");
  double *a = memory, *y = a + l.rows * l.cols, *sd = y + l.rows;
  sy_weigh_result r = {.slope_front = 0};
  fill(p, &l, a, y, sd);
  status = sy_lsq_linear(a, y, sd, l.rows, l.cols, sd + l.rows, &r.fit, err);
  if (status == SY_GEOMETRY)
    return sy_fail(err, SY_GEOMETRY, "runs", NULL,
                   "do not settle every load: some wheels were only weighed together");
  if (status != SY_OK) return status;
  for (size_t w = 0; w < p->wheels; w++) {
    r.load[w] = r.fit.x[w];
    for (size_t v = 0; v < p->wheels; v++) r.cov[w * p->wheels + v] = r.fit.covariance[w * l.cols + v];
  }
  for (size_t i = 0; i < p->pads; i++) {
    add_common(p, &l, &r.fit, i, p->gain_sd[i], r.cov);
    if (l.offset[i] == l.cols) continue;
    r.offset[i] = r.fit.x[l.offset[i]];
    r.offset_sd[i] = sqrt(r.fit.covariance[l.offset[i] * l.cols + l.offset[i]]);
  }
  add_common(p, &l, &r.fit, p->pads, p->ratio_sd, r.cov);
  if (p->slopes) r.slope_front = r.fit.x[l.slopes], r.slope_left = r.fit.x[l.slopes + 1];
  status = sy_finite_results(r.cov, p->wheels * p->wheels, "pads", "gain", err);
  if (status == SY_OK) *out = r;
  return status;
}
