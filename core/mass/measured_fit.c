/* measured_fit.c - the errors that agree best with all figures of all records, in the space of the figures.
**
** With R the covariance of the figures as read and p = R^-1 (read - figures), the errors that make
**   sum (error / sd)^2 + (read - figures)^T R^-1 (read - figures)
** least are C H^T p, H taken there. So a step looks for p = S^-1 (read - figures + H errors), linear in the errors, and then for the errors.
** These are not kept: the ledgers of the records, corrected, hold them all.
*/
#include <float.h>
#include <math.h>
#include <string.h>

#include "mass/ledger_check.h"
#include "mass/measured_parts.h"

enum { MOST_STEPS = 300, MANY_STEPS = 40, NO_BETTER = 20 };

/* Of the square of a step in standard deviations of what is read less booked. A ten billionth of one is the end. The ledger keeps places to a
** picometre: where steps have not been shorter for some time, a billionth is, and after MANY_STEPS a millionth, for figures that are read to
** nanometres. */
#define SMALL_STEP_2 1e-20
static double rounded_step_2(int steps) { return steps < MANY_STEPS ? 1e-18 : 1e-12; }

/* How much of a step is gone at least and at most: more than all of it only near the end. */
#define LEAST_PART 0.02
#define MOST_PART 10.0
#define NEAR_2 1e-4 /* of the square of a step */

/* What is left of a pivot when it should be nothing: a few roundings of what was taken from it. */
#define ROUNDING (64 * DBL_EPSILON)

/* ---- checks ------------------------------------------------------------------------------------------------------------ */

static sy_status fail_record(size_t i, sy_status status, const char *field, const char *why, sy_error *err) {
  sy_error name;
  sy_fail(&name, SY_OK, NULL, NULL, "record %zu", i + 1);
  return sy_fail(err, status, name.message, field, "%s", why);
}

static bool finite_record(const sy_record *r) {
  for (size_t k = 0; k < r->figures; k++) {
    if (!isfinite(r->figure[k].read)) return false;
    for (int j = 0; j < 4; j++)
      if (!isfinite(r->figure[k].of[j])) return false;
    for (size_t j = 0; j < r->readings; j++)
      if (!isfinite(r->effect[k][j])) return false;
  }
  for (size_t j = 0; j < r->readings * r->readings; j++)
    if (!isfinite(r->covariance[j])) return false;
  for (size_t i = 0; i < r->instruments; i++)
    for (size_t j = 0; j < r->readings; j++)
      if (!isfinite(r->instrument[i].bias[j]) || !isfinite(r->instrument[i].gain[j])) return false;
  return true;
}

static bool known_family(const family *f, const family *first, sy_pairing *const *pairings, size_t count) {
  bool known = f == first;
  for (size_t i = 0; i < count; i++)
    known = known || (pairings[i]->family[0] == first && pairings[i]->family[1] == f);
  return known;
}

static sy_status check_record(const sy_record *r, size_t i, sy_error *err) {
  if (r->figures < 1 || r->figures > SY_RECORD_FIGURES)
    return fail_record(i, SY_MISSING, "figures", "has none, or more than 4", err);
  if (r->readings < 1 || r->readings > SY_RECORD_READINGS)
    return fail_record(i, SY_MISSING, "readings", "has none, or more than 40", err);
  if (!finite_record(r)) return fail_record(i, SY_RANGE, "readings", "has a number that is not finite", err);
  if (r->ledger->measured != NULL)
    return fail_record(i, SY_CLASH, "ledger", "is corrected by records already", err);
  for (size_t k = 0; k < r->instruments; k++)
    if (r->instrument[k].number < 1 || r->instrument[k].number > r->ledger->family->instrument_count)
      return fail_record(i, SY_UNKNOWN, "instrument", "is not one of its ledger's", err);
  return SY_OK;
}

static sy_status check(const sy_ledger *relative, const sy_record *records, size_t count,
                       sy_pairing *const *pairings, size_t pairing_count, sy_error *err) {
  if (count == 0) return sy_fail(err, SY_MISSING, "records", NULL, "are none");
  if (count > SY_MOST_RECORDS || pairing_count > SY_MOST_PAIRINGS)
    return sy_fail(err, SY_LIMIT, "records", NULL, "are %zu of %zu other files; the most are %d of %d", count,
                   pairing_count, (int)SY_MOST_RECORDS, (int)SY_MOST_PAIRINGS);
  size_t read_on = 0;
  for (size_t i = 0; i < count; i++) {
    const sy_status status = check_record(&records[i], i, err);
    if (status != SY_OK) return status;
    read_on += records[i].instruments;
    if (read_on > SY_MOST_READ_ON) return fail_record(i, SY_LIMIT, "instrument", "makes more than 32", err);
    if (!known_family(records[i].ledger->family, relative->family, pairings, pairing_count))
      return fail_record(i, SY_UNKNOWN, "ledger", "is of a family that no pairing leads to", err);
  }
  return SY_OK;
}

/* ---- owning ---------------------------------------------------------------------------------------------------------------- */

static void release(conditions *first) {
  sy_measured *m = (sy_measured *)(void *)first;
  const sy_alloc alloc = m->alloc;
  const size_t square = m->figures * m->figures * sizeof(double);
  for (size_t i = 0; i < m->records; i++) {
    kept_record *r = &m->record[i];
    sy_ledger_release(r->stated);
    sy_ledger_release(r->adjusted);
    sy_alloc_free(&alloc, r->noise, r->readings * r->readings * sizeof *r->noise);
    sy_alloc_free(&alloc, r->instrument, r->instruments * sizeof *r->instrument);
  }
  for (size_t i = 0; i < m->pairings; i++) sy_pairing_free(m->pairing[i]);
  sy_weighings_release(&alloc, m->weighings, NULL);
  sy_alloc_free(&alloc, m->record, m->records * sizeof *m->record);
  sy_alloc_free(&alloc, m->noise, square);
  sy_alloc_free(&alloc, m->factor, square);
  sy_family_release(m->family);
  sy_alloc_free(&alloc, m, sizeof *m);
}

void sy_measured_release(sy_measured *m) { sy_conditions_release(m != NULL ? &m->seen : NULL); }

static void *copy_of(const sy_alloc *alloc, const void *from, size_t bytes) {
  void *to = bytes > 0 ? sy_alloc_new(alloc, bytes) : NULL;
  if (to != NULL) memcpy(to, from, bytes);
  return to;
}

static bool keep_record(sy_measured *m, const sy_record *from, kept_record *r) {
  r->stated = sy_ledger_share((sy_ledger *)(uintptr_t)from->ledger);
  r->adjusted = sy_ledger_share(r->stated);
  r->figures = from->figures, r->readings = from->readings, r->instruments = from->instruments;
  memcpy(r->figure, from->figure, sizeof r->figure);
  memcpy(r->effect, from->effect, sizeof r->effect);
  sy_totals t;
  sy_ledger_sums(r->stated, &t);
  r->filed = t.all;
  r->first = m->figures;
  m->figures += r->figures;
  r->noise = copy_of(&m->alloc, from->covariance, r->readings * r->readings * sizeof *r->noise);
  r->instrument = copy_of(&m->alloc, from->instrument, r->instruments * sizeof *r->instrument);
  return r->noise != NULL && (r->instrument != NULL || r->instruments == 0);
}

/* Takes over the pairings also where memory is out: then NULL. */
static sy_measured *keep(const sy_alloc *alloc, const sy_ledger *relative, const sy_record *records,
                         size_t count, sy_pairing *const *pairings, size_t pairing_count) {
  const sy_alloc own = sy_alloc_or_default(alloc);
  sy_measured *m = sy_alloc_new(&own, sizeof *m);
  if (m == NULL) {
    for (size_t i = 0; i < pairing_count; i++) sy_pairing_free(pairings[i]);
    return NULL;
  }
  memset(m, 0, sizeof *m);
  atomic_init(&m->seen.refs, 1u);
  m->seen.release = release;
  m->seen.covariance = sy_measured_covariance;
  m->seen.of_item = sy_measured_item_covariance;
  m->alloc = own;
  m->family = sy_family_share(relative->family);
  for (; m->pairings < pairing_count; m->pairings++) m->pairing[m->pairings] = pairings[m->pairings];
  m->record = sy_alloc_new(&own, count * sizeof *m->record);
  bool fine = m->record != NULL;
  if (fine) memset(m->record, 0, count * sizeof *m->record);
  m->records = fine ? count : 0;
  m->beside = count;
  for (size_t i = 0; i < m->records; i++) fine = keep_record(m, &records[i], &m->record[i]) && fine;
  const size_t square = m->figures * m->figures * sizeof(double);
  if (fine) m->noise = sy_alloc_new(&own, square);
  if (fine) m->factor = sy_alloc_new(&own, square);
  if (m->noise != NULL && m->factor != NULL) return m;
  release(&m->seen);
  return NULL;
}

/* ---- the figures ------------------------------------------------------------------------------------------------------------ */

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
} step_of_fit;

/* S at the ledgers as adjusted; false where no stated error moves a figure. */
static bool spread(sy_measured *m) {
  extended e;
  double unit[SY_MOST_FIGURES * SY_MOST_FIGURES] = {0};
  const size_t n = m->figures;
  bool moves = false;
  for (size_t r = 0; r < n; r++) unit[r * n + r] = 1.0;
  sy_measured_extend(m, NULL, 0, n, unit, NULL, &e);
  sy_blocks_covariance(&e.q, n, m->factor);
  for (size_t r = 0; r < n; r++) moves = moves || m->factor[r * n + r] > 0;
  for (size_t r = 0; r < n * n; r++) m->factor[r] += m->noise[r];
  return moves;
}

static sy_status no_mass(size_t record, sy_error *err) {
  return fail_record(record, SY_RANGE, "mass", "is of a ledger without mass, or leaves it none", err);
}

/* H e of a figure: its sensitivity times what the sums would have changed by, were they linear in the errors. */
static double by_errors(const kept_record *r, size_t k) {
  sy_totals t;
  sy_ledger_sums(r->adjusted, &t);
  const sy_vec3 first = sy_vec3_add(sy_vec3_sub(t.all.first, r->filed.first), r->crossed);
  return r->by[k].m * (t.all.m - r->filed.m) + sy_vec3_dot(r->by[k].first, first);
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
      s->off[r] = m->record[i].figure[k].read - s->figure[r] + by_errors(&m->record[i], k);
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

/* Also the weighings that no record's ledger has, for all ledgers that are corrected later. */
static sy_status keep_weighings(sy_measured *m, const sy_ledger *relative, sy_error *err) {
  sy_ledger *corrected;
  if (relative->measured != NULL) return SY_OK;
  const sy_status status = sy_measured_apply(m, relative, false, NULL, 1.0, NULL, &m->weighings, &corrected, err);
  if (status == SY_OK) sy_ledger_release(corrected);
  return status;
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
  return more > 0 ? fmin(fmax(part / more, LEAST_PART), most) : most;
}

static sy_status fit(sy_measured *m, sy_error *err) {
  step_of_fit s = {.length2 = 0};
  double best = INFINITY, part = 1;
  int best_at = 0;
  figure_noise(m);
  for (int n = 0; n < MOST_STEPS; n++) {
    sy_status status = step(m, &s, err);
    if (status != SY_OK) return status;
    if (n == 0) note_booked(m, m->factor, &s);
    if (n > 1) part = next_part(part, &s);
    const bool rounded = s.length2 <= rounded_step_2(n) && n >= best_at + NO_BETTER;
    if (s.length2 < best) best = s.length2, best_at = n;
    const bool end = s.length2 <= SMALL_STEP_2 || rounded;
    status = adjust(m, end ? 1.0 : part, err);
    if (status != SY_OK) return status;
    if (end) {
      m->chi2 = fit_chi2(m);
      return SY_OK;
    }
    if (!isfinite(s.length2)) break;
  }
  return sy_fail(err, SY_LIMIT, "records", NULL,
                 "cannot be reached by correcting the ledger (%d steps tried): they are of another car or load",
                 MOST_STEPS);
}

sy_status sy_measured_new(const sy_alloc *alloc, const sy_ledger *relative, const sy_record *records,
                          size_t count, sy_pairing *const *pairings, size_t pairing_count, sy_measured **out,
                          sy_error *err) {
  sy_status status = check(relative, records, count, pairings, pairing_count, err);
  if (status != SY_OK) {
    for (size_t i = 0; i < pairing_count; i++) sy_pairing_free(pairings[i]);
    return status;
  }
  sy_measured *m = keep(alloc, relative, records, count, pairings, pairing_count);
  if (m == NULL) return sy_ledger_no_memory(err);
  status = fit(m, err);
  if (status == SY_OK) status = keep_weighings(m, relative, err);
  if (status == SY_OK)
    *out = m;
  else
    sy_measured_release(m);
  return status;
}
