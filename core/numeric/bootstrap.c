#include "numeric/bootstrap.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/lanes.h"
#include "numeric/kernels/bootstrap_lanes.h"
#include "numeric/rng_lanes.h"

enum { LANES = SY_RNG_LANES };

typedef sy_bootstrap_sums terms;

typedef struct problem {
  sy_bootstrap_draws d;
  size_t group;
  double centre, scale; /* t = centre + scale * terms.t */
  double per_count, per_scale;
  sy_bootstrap_line line; /* at the centre: intercept there, slope per terms.t */
} problem;

/* ---- the line through all ------------------------------------------------------------------------------------ */

/* How many numbers below `span` come from 64 random bits so that any set of them has 2^20 bit patterns or more, all within one
** of each other: a chance even to within a millionth. */
static int draws_of(size_t span) {
  int draws = 1;
  for (double sets = (double)span * (double)span; sets <= 0x1p44; sets *= (double)span) draws++;
  return draws;
}

/* Few rows, so that they stay in the fastest cache: 512 x 32 bytes. */
static void lay_out(size_t count, problem *p) {
  p->d.count = count;
  p->group = 1;
  p->d.rows = count;
  for (; p->d.rows * count <= 512 && p->group < count; p->group++) p->d.rows *= count;
  p->d.groups = count / p->group;
  p->d.singles = count % p->group;
  p->d.group_draws = draws_of(p->d.rows);
  p->d.single_draws = draws_of(count);
  p->d.group_words = (p->d.groups + (size_t)p->d.group_draws - 1) / (size_t)p->d.group_draws;
  p->d.taken = p->d.group_words + (p->d.singles + (size_t)p->d.single_draws - 1) / (size_t)p->d.single_draws;
}

static size_t all_rows(const problem *p) { return p->d.rows + p->d.count; }

size_t sy_bootstrap_size(size_t count) {
  if (count < 2 || count > SY_BOOTSTRAP_MOST_READINGS) return 0;
  problem p;
  lay_out(count, &p);
  return all_rows(&p) * sizeof(terms) + p.d.taken * LANES * sizeof(uint64_t);
}

static double mean_of(const double *v, size_t count) {
  double rough = 0.0, rest = 0.0;
  for (size_t i = 0; i < count; i++) rough += v[i] / (double)count;
  for (size_t i = 0; i < count; i++) rest += v[i] - rough; /* what rounding left */
  return rough + rest / (double)count;
}

static sy_status check(const double *t, const double *y, size_t count, sy_error *err) {
  const double most = 1e150; /* its square is still a number */
  if (sy_bootstrap_size(count) == 0)
    return sy_fail(err, SY_RANGE, "readings", "count", "is %zu, must be 2 to %d", count,
                   (int)SY_BOOTSTRAP_MOST_READINGS);
  for (size_t i = 0; i < count; i++)
    if (!(fabs(t[i]) <= most && fabs(y[i]) <= most)) {
      sy_error part;
      sy_fail(&part, SY_OK, NULL, NULL, "reading %zu of %zu", i + 1, count);
      return sy_fail(err, SY_RANGE, part.message, fabs(t[i]) <= most ? "y" : "t",
                     "is %g, must be a number below %g", fabs(t[i]) <= most ? y[i] : t[i], most);
    }
  return SY_OK;
}

/* Fits all readings and writes the terms of what is left. */
static sy_status fit_all(const double *t, const double *y, problem *p, sy_error *err) {
  const size_t count = p->d.count;
  terms *out = p->d.row + p->d.rows;
  const double rounding = 1e-14; /* of t: some 50 roundings */
  double far = 0.0, largest = 0.0, tt = 0.0, ty = 0.0;
  p->centre = mean_of(t, count);
  for (size_t i = 0; i < count; i++) {
    far = fmax(far, fabs(t[i] - p->centre));
    largest = fmax(largest, fabs(t[i]));
  }
  if (!(far > rounding * largest))
    return sy_fail(err, SY_GEOMETRY, "readings", "t", "is the same in all: no slope follows from them");
  p->scale = far;
  const double y_mean = mean_of(y, count);
  for (size_t i = 0; i < count; i++) {
    const double at = (t[i] - p->centre) / far;
    tt += at * at;
    ty += at * (y[i] - y_mean);
  }
  p->line = (sy_bootstrap_line){y_mean, ty / tt};
  for (size_t i = 0; i < count; i++) {
    const double at = (t[i] - p->centre) / far, left = (y[i] - y_mean) - p->line.slope * at;
    out[i] = (terms){at, left, at * at, at * left};
  }
  return SY_OK;
}

/* From the terms of single readings, which stand last, the rows of groups: row i n + j is row i and reading j. */
static void make_rows(problem *p) {
  const size_t n = p->d.count;
  const terms *single = p->d.row + p->d.rows;
  memcpy(p->d.row, single, n * sizeof *single);
  for (size_t rows = n; rows < p->d.rows; rows *= n)
    for (size_t i = rows * n; i-- > 0;) { /* from the end: what is still to be read stands lower */
      const terms a = p->d.row[i / n], b = single[i % n];
      p->d.row[i] = (terms){a.t + b.t, a.y + b.y, a.tt + b.tt, a.ty + b.ty};
    }
}

/* ---- replicas ------------------------------------------------------------------------------------------------ */

static void sums_of(const problem *p, uint64_t first, uint32_t try, terms sum[LANES]) {
#ifdef __x86_64__
  if (sy_lanes_level(4)) {
    sy_bootstrap_lanes_v4(&p->d, first, try, sum);
    return;
  }
  if (sy_lanes_level(3)) {
    sy_bootstrap_lanes_v3(&p->d, first, try, sum);
    return;
  }
#endif
  sy_bootstrap_lanes_v1(&p->d, first, try, sum);
}

/* False when the readings drawn are all of one t. */
static bool line_of(const problem *p, terms s, double *intercept, double *slope) {
  const double rounding = 1e-13; /* of the product: some hundred roundings of sums */
  const double n = (double)p->d.count, det = n * s.tt - s.t * s.t;
  const bool settled = det > rounding * (n * s.tt);
  const double more = (n * s.ty - s.t * s.y) / det;
  const double at_centre = p->line.intercept + (s.y - more * s.t) * p->per_count;
  *slope = (p->line.slope + more) * p->per_scale;
  *intercept = at_centre - *slope * p->centre;
  return settled;
}

/* Ends: at least half of all draws hold two different t, as the readings do. */
static void draw_again(const problem *p, uint64_t replica, double *intercept, double *slope) {
  for (uint32_t try = 1;; try++) {
    terms sum[LANES];
    sums_of(p, replica, try, sum);
    if (line_of(p, sum[0], intercept, slope)) return;
  }
}

static void eight(const problem *p, uint64_t first, int lanes, double *intercept, double *slope) {
  terms sum[LANES];
  bool settled[LANES];
  sums_of(p, first, 0, sum);
  for (int lane = 0; lane < lanes; lane++)
    settled[lane] = line_of(p, sum[lane], &intercept[lane], &slope[lane]);
  for (int lane = 0; lane < lanes; lane++)
    if (!settled[lane]) draw_again(p, first + (uint64_t)lane, &intercept[lane], &slope[lane]);
}

sy_status sy_bootstrap_line_fit(const double *t, const double *y, size_t count, uint64_t seed, uint64_t first,
                                size_t replicas, void *memory, double *intercept, double *slope,
                                sy_bootstrap_line *out, sy_error *err) {
  sy_status status = check(t, y, count, err);
  if (status != SY_OK) return status;
  problem p;
  lay_out(count, &p);
  p.d.row = memory;
  p.d.bits = (uint64_t *)(p.d.row + all_rows(&p));
  status = fit_all(t, y, &p, err);
  if (status != SY_OK) return status;
  make_rows(&p);
  p.per_count = 1.0 / (double)count;
  p.per_scale = 1.0 / p.scale;
  sy_rng_schedule(sy_rng_key(seed), p.d.key);
  for (size_t k = 0; k < replicas; k += LANES)
    eight(&p, first + k, replicas - k < LANES ? (int)(replicas - k) : LANES, intercept + k, slope + k);
  const double steep = p.line.slope / p.scale;
  if (out != NULL) *out = (sy_bootstrap_line){p.line.intercept - steep * p.centre, steep};
  return SY_OK;
}

/* ---- percentiles --------------------------------------------------------------------------------------------- */

static int ascending(const void *a, const void *b) {
  const double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

void sy_bootstrap_sort(double *values, size_t count) { qsort(values, count, sizeof *values, ascending); }

double sy_bootstrap_quantile(const double *sorted, size_t count, double p) {
  if (count == 0 || !(p >= 0 && p <= 1)) return (double)NAN;
  const double place = p * (double)(count - 1), below = floor(place);
  const size_t i = (size_t)below;
  if (i + 1 >= count) return sorted[count - 1];
  return sorted[i] + (place - below) * (sorted[i + 1] - sorted[i]);
}
