/* measured_steps.c - the errors that agree best with all figures of all records, in the space of the figures.
**
** With R the covariance of the figures as read and p = R^-1 (read - figures), the errors that make
**   sum (error / sd)^2 + (read - figures)^T R^-1 (read - figures)
** least are C H^T p, H taken there. So a step looks for p = S^-1 (read - figures + H errors), linear in the errors, and then for the errors.
** These are not kept: the ledgers of the records, corrected, hold them all.
*/
#include <float.h>
#include <math.h>
#include <string.h>

#include "mass/measured_parts.h"

enum { MOST_STEPS = 100, MANY_STEPS = 40, NO_BETTER = 20 };

/* Of the square of a step in standard deviations of what is read less booked. A ten billionth of one is the end. The ledger keeps places to a
** picometre: where steps have not been shorter for some time, a billionth is, and after MANY_STEPS a millionth, for figures that are read to
** nanometres. */
#define SMALL_STEP_2 1e-20
static double rounded_step_2(int steps) { return steps < MANY_STEPS ? 1e-18 : 1e-12; }

/* How much of a step is gone at least and at most: more than all of it only near the end. */
#define LEAST_PART 0.02
#define MOST_PART  2.0
#define NEAR_2     1e-4 /* of the square of a step */

/* Of what was read beyond what is booked: the first stage, the least, and the square of a step that ends one. */
#define FIRST_SHARE  0.1
#define LEAST_SHARE  1e-4
#define STAGE_STEP_2 1e-8

sy_status sy_measured_refuse(size_t i, sy_status status, const char *field, const char *why, sy_error *err) {
  sy_error name;
  sy_fail(&name, SY_OK, NULL, NULL, "record %zu", i + 1);
  return sy_fail(err, status, name.message, field, "%s", why);
}

/* ---- the figures ------------------------------------------------------------------------------------------------------------ */

/* What figures of two records have of errors that are in both. */
static void add_shared_noise(sy_measured *m, const kept_record *r, const kept_record *other) {
  for (size_t j = 0; j < r->readings; j++)
    for (size_t k = 0; r->common[j] != 0 && k < other->readings; k++) {
      const double shared = sy_measured_shared(r, j, other, k);
      for (size_t a = 0; shared != 0 && a < r->figures; a++)
        for (size_t b = 0; b < other->figures; b++)
          m->noise[(r->first + a) * m->figures + other->first + b] +=
              r->effect[a][j] * shared * other->effect[b][k];
    }
}

/* R: figures of one record share its readings. */
static void figure_noise(sy_measured *m) {
  memset(m->noise, 0, m->figures * m->figures * sizeof *m->noise);
  for (size_t i = 0; i < m->records; i++) {
    const kept_record *r = &m->record[i];
    for (size_t a = 0; a < r->figures; a++)
      for (size_t b = 0; b < r->figures; b++)
        for (size_t j = 0; j < r->readings; j++)
          for (size_t k = 0; k < r->readings; k++)
            m->noise[(r->first + a) * m->figures + r->first + b] +=
                r->effect[a][j] * r->noise[j * r->readings + k] * r->effect[b][k];
    for (size_t k = 0; m->shared && k < m->records; k++)
      if (k != i) add_shared_noise(m, r, &m->record[k]);
  }
}

bool sy_measured_look_at(kept_record *r, double figure[SY_RECORD_FIGURES]) {
  sy_totals t;
  sy_ledger_sums(r->adjusted, &t);
  const double m = t.all.m;
  const sy_vec3 first = t.all.first;
  if (!(m > 0)) return false;
  for (size_t k = 0; k < r->figures; k++) {
    const sy_record_figure *f = &r->figure[k];
    sy_sensitivity by = {
        .m = f->of[0], .first = {f->of[1], f->of[2], f->of[3]}, .carriers = SY_ALL_CARRIERS, .flat = true};
    figure[k] = by.m * m + sy_vec3_dot(by.first, first);
    if (f->per_mass) {
      figure[k] /= m;
      by.m = (by.m - figure[k]) / m;
      by.first = sy_vec3_scale(1.0 / m, by.first);
    }
    r->by[k] = by;
  }
  return true;
}

/* ---- the steps -------------------------------------------------------------------------------------------------------------- */

typedef struct step_of_fit {
  double figure[SY_MOST_FIGURES], off[SY_MOST_FIGURES]; /* read - figures + H errors: linear in the errors */
  double change[SY_MOST_FIGURES];                       /* of the pull */
  double length2;                                       /* of the step, in standard deviations, squared */
  double along; /* the step before, by which this one goes on: -1 is back to where that came from */
  double share; /* of what was read beyond what is booked */
} step_of_fit;

/* S at the ledgers as adjusted; false where no stated error moves a figure. */
static bool spread(sy_measured *m) {
  const read_errors none = {NULL, 0, 0, 0};
  extended e;
  double unit[SY_MOST_FIGURES * SY_MOST_FIGURES] = {0};
  const size_t n = m->figures;
  bool moves = false;
  for (size_t r = 0; r < n; r++) unit[r * n + r] = 1.0;
  sy_measured_extend(m, NULL, 0, none, n, unit, NULL, &e);
  sy_blocks_covariance(&e.q, n, m->factor);
  for (size_t r = 0; r < n; r++) moves = moves || m->factor[r * n + r] > 0;
  for (size_t r = 0; r < n * n; r++) m->factor[r] += m->noise[r];
  return moves;
}

static sy_status no_mass(size_t record, sy_error *err) {
  return sy_measured_refuse(record, SY_RANGE, "mass", "is of a ledger without mass, or leaves it none", err);
}

/* H e of a figure: its sensitivity times what the sums would have changed by, were they linear in the errors. */
static double by_errors(const kept_record *r, size_t k) {
  sy_totals t;
  sy_ledger_sums(r->adjusted, &t);
  const sy_vec3 first = sy_vec3_add(sy_vec3_sub(t.all.first, r->filed.first), r->crossed);
  return r->by[k].m * (t.all.m - r->filed.m) + sy_vec3_dot(r->by[k].first, first);
}

/* What the figure is to be: that share of the way from what is booked to what was read. */
static double wanted(const kept_record *r, size_t k, double share) {
  return share < 1 ? r->booked[k] + share * (r->figure[k].read - r->booked[k]) : r->figure[k].read;
}

/* Looks at all figures, takes S there and the step that follows. */
static sy_status step(sy_measured *m, step_of_fit *s, sy_error *err) {
  for (size_t i = 0; i < m->records; i++)
    if (!sy_measured_look_at(&m->record[i], s->figure + m->record[i].first)) return no_mass(i, err);
  if (!spread(m))
    return sy_fail(err, SY_CLASH, "ledger", NULL,
                   "has no stated uncertainty that the records could correct: nothing in it may move");
  if (!sy_measured_factor(m->factor, m->figures))
    return sy_fail(err, SY_GEOMETRY, "records", NULL,
                   "do not settle mass and place: supports in one line, or one figure read exactly twice");
  double by[SY_MOST_FIGURES] = {0};
  for (size_t i = 0; i < m->records; i++)
    for (size_t k = 0; k < m->record[i].figures; k++) {
      const size_t r = m->record[i].first + k;
      s->off[r] = wanted(&m->record[i], k, s->share) - s->figure[r] + by_errors(&m->record[i], k);
    }
  memcpy(by, s->off, m->figures * sizeof *by);
  sy_measured_solve(m, by);
  double before2 = 0, both = 0;
  s->length2 = 0;
  for (size_t c = 0; c < m->figures; c++) { /* d^T S d with S = L L^T, d the step */
    double now = 0, before = 0;
    for (size_t r = c; r < m->figures; r++) {
      now += m->factor[r * m->figures + c] * (by[r] - m->pull[r]);
      before += m->factor[r * m->figures + c] * s->change[r];
    }
    s->length2 += now * now, before2 += before * before, both += now * before;
  }
  s->along = before2 > 0 ? both / before2 : 0;
  for (size_t r = 0; r < m->figures; r++) s->change[r] = by[r] - m->pull[r];
  memcpy(m->pull, by, m->figures * sizeof *by);
  return SY_OK;
}

static bool is_mass(const sy_record_figure *f) {
  return !f->per_mass && f->of[0] == 1 && f->of[1] == 0 && f->of[2] == 0 && f->of[3] == 0;
}

/* Of figure a by the mass, from the factor of the figures' own covariance: | L^T (e_a - x e_0) | / m */
static double place_off_sd(const double *l, const kept_record *r, size_t a) {
  const double x = r->booked[a] / r->booked[0];
  double sum = 0;
  for (size_t c = 0; c <= a; c++) {
    const double along = l[a * r->figures + c] - (c == 0 ? x * l[0] : 0.0);
    sum += along * along;
  }
  return sqrt(sum) / r->booked[0];
}

/* What the figures are as booked, and how far off they are, each record by itself. */
static void note_booked(sy_measured *m, const double *factor_of_s, const step_of_fit *s) {
  for (size_t i = 0; i < m->records; i++) {
    kept_record *r = &m->record[i];
    double own[SY_RECORD_FIGURES * SY_RECORD_FIGURES] = {0}, off[SY_RECORD_FIGURES] = {0};
    for (size_t a = 0; a < r->figures; a++) {
      r->booked[a] = s->figure[r->first + a];
      off[a] = r->figure[a].read - r->booked[a];
      for (size_t b = 0; b < r->figures; b++)
        for (size_t c = 0; c <= (a < b ? a : b) + r->first; c++) /* S = L L^T */
          own[a * r->figures + b] +=
              factor_of_s[(r->first + a) * m->figures + c] * factor_of_s[(r->first + b) * m->figures + c];
      r->off_sd[a] = sqrt(own[a * r->figures + a]);
    }
    r->chi2 = (double)NAN;
    for (size_t a = 0; a < r->figures; a++) r->place_off_sd[a] = (double)NAN;
    if (!sy_measured_factor(own, r->figures)) continue;
    r->chi2 = 0;
    for (size_t a = 0; a < r->figures; a++) { /* | L^-1 off |^2 */
      for (size_t b = 0; b < a; b++) off[a] -= own[a * r->figures + b] * off[b];
      off[a] /= own[a * r->figures + a];
      r->chi2 += off[a] * off[a];
    }
    for (size_t a = 1; a < r->figures && is_mass(&r->figure[0]); a++)
      if (!r->figure[a].per_mass) r->place_off_sd[a] = place_off_sd(own, r, a);
  }
}

/* All ledgers by the errors as found so far, that part of the way. */
static sy_status adjust(sy_measured *m, double part, sy_error *err) {
  sy_ledger *fresh[SY_MOST_RECORDS];
  sy_vec3 crossed[SY_MOST_RECORDS];
  corrected_weighing *weighings = NULL;
  for (size_t i = 0; i < m->records; i++) {
    const sy_status status =
        sy_measured_apply(m, m->record[i].stated, false, part != 1 ? m->record[i].adjusted : NULL, part,
                          &crossed[i], &weighings, &fresh[i], err);
    if (status == SY_OK) continue;
    while (i > 0) sy_ledger_release(fresh[--i]);
    sy_weighings_release(&m->alloc, weighings, NULL);
    return status;
  }
  for (size_t i = 0; i < m->records; i++) {
    sy_ledger_release(m->record[i].adjusted);
    m->record[i].adjusted = fresh[i];
    m->record[i].crossed = crossed[i];
  }
  sy_weighings_release(&m->alloc, m->weighings, NULL);
  m->weighings = weighings;
  return SY_OK;
}

/* chi2 of all figures, linear in the errors: p^T S p with S = L L^T. */
static double fit_chi2(const sy_measured *m) {
  double sum = 0;
  for (size_t c = 0; c < m->figures; c++) {
    double along = 0;
    for (size_t r = c; r < m->figures; r++) along += m->factor[r * m->figures + c] * m->pull[r];
    sum += along * along;
  }
  return sum;
}

/* Of masses and places that err much at once a whole step may lead as far beyond what is best as it was before. With steps that each come to
** `along` times the one before a part of 1 / (1 - rate) ends them, rate as whole steps would have it (J. Barzilai & J. M. Borwein, Two-point
** step size gradient methods, IMA J. Numer. Anal. 8, 1988, from memory: the step that the change between two asks for). */
static double next_part(double part, const step_of_fit *s) {
  const double more = 1.0 - s->along, most = s->length2 < NEAR_2 ? MOST_PART : 1.0;
  return more > 0 ? fmin(fmax(part / more, LEAST_PART), most) : 1.0;
}

/* As far as the ledgers are adjusted. */
typedef struct stage {
  size_t records;
  sy_ledger *adjusted[SY_MOST_RECORDS];
  sy_vec3 crossed[SY_MOST_RECORDS];
  double pull[SY_MOST_FIGURES];
} stage;

static void drop_stage(stage *s) {
  for (size_t i = 0; i < s->records; i++) sy_ledger_release(s->adjusted[i]);
}

static void keep_stage(const sy_measured *m, stage *s) {
  s->records = m->records;
  for (size_t i = 0; i < s->records; i++) {
    s->adjusted[i] = sy_ledger_share(m->record[i].adjusted);
    s->crossed[i] = m->record[i].crossed;
  }
  memcpy(s->pull, m->pull, m->figures * sizeof *s->pull);
}

static void return_to_stage(sy_measured *m, const stage *s) {
  for (size_t i = 0; i < s->records; i++) {
    sy_ledger_release(m->record[i].adjusted);
    m->record[i].adjusted = sy_ledger_share(s->adjusted[i]);
    m->record[i].crossed = s->crossed[i];
  }
  memcpy(m->pull, s->pull, m->figures * sizeof *s->pull);
}

/* Steps from where the ledgers are, towards that share of what was read beyond what is booked; *ended: they came to an end. enough2: of the
** square of a step. */
static sy_status go_on(sy_measured *m, double share, double enough2, bool *ended, sy_error *err) {
  step_of_fit s = {.share = share};
  double best = (double)INFINITY, part = 1;
  int best_at = 0;
  *ended = false;
  for (int n = 0; n < MOST_STEPS; n++) {
    sy_status status = step(m, &s, err);
    if (status != SY_OK) return status;
    if (n > 1) part = next_part(part, &s);
    const bool rounded = s.length2 <= rounded_step_2(n) && n >= best_at + NO_BETTER;
    if (s.length2 < best) best = s.length2, best_at = n;
    *ended = s.length2 <= enough2 || rounded;
    if (!isfinite(s.length2)) return SY_OK;
    status = adjust(m, *ended ? 1.0 : part, err);
    if (status != SY_OK || *ended) return status;
  }
  return SY_OK;
}

/* Out of reach of straight steps: masses and places that must both move by many of their uncertainties. What was read is approached from what
** is booked, as far at a time as the steps of a stage come to an end. */
static sy_status approach(sy_measured *m, bool *ended, sy_error *err) {
  double share = 0, further = FIRST_SHARE;
  while (share < 1 && further >= LEAST_SHARE) {
    const double to = fmin(1.0, share + further);
    stage before;
    keep_stage(m, &before);
    sy_status status = go_on(m, to, to < 1 ? STAGE_STEP_2 : SMALL_STEP_2, ended, err);
    if (status == SY_OK && *ended) {
      share = to;
      further *= 2;
    } else if (status == SY_OK || status == SY_RANGE) { /* a ledger without mass is a step too far as well */
      status = SY_OK;
      return_to_stage(m, &before);
      further *= 0.25;
    }
    drop_stage(&before);
    if (status != SY_OK) return status;
  }
  *ended = share >= 1;
  return SY_OK;
}

/* As booked, and what that says of each record. */
static sy_status start(sy_measured *m, sy_error *err) {
  step_of_fit s = {.share = 1};
  figure_noise(m);
  const sy_status status = step(m, &s, err);
  if (status != SY_OK) return status;
  note_booked(m, m->factor, &s);
  memset(m->pull, 0, sizeof m->pull);
  return SY_OK;
}

/* The record that lies furthest from the ledger as booked. */
static size_t furthest(const sy_measured *m) {
  size_t most = 0;
  for (size_t i = 1; i < m->records; i++)
    if (m->record[i].chi2 > m->record[most].chi2) most = i;
  return most;
}

sy_status sy_measured_settle(sy_measured *m, sy_error *err) {
  bool ended = false;
  stage booked;
  sy_error straight;
  sy_status status = start(m, err);
  if (status != SY_OK) return status;
  keep_stage(m, &booked);
  status = go_on(m, 1.0, SMALL_STEP_2, &ended, &straight);
  if (!ended && (status == SY_OK || status == SY_RANGE)) {
    return_to_stage(m, &booked);
    status = approach(m, &ended, &straight);
  }
  drop_stage(&booked);
  if (status != SY_OK) {
    if (err != NULL) *err = straight;
    return status;
  }
  if (!ended)
    return sy_measured_refuse(furthest(m), SY_LIMIT, "readings",
                              "cannot be reached by correcting the ledger: they are of another car or load",
                              err);
  m->chi2 = fit_chi2(m);
  return SY_OK;
}
