/* measured_terms.c - the records' ledgers as terms of the propagation, and what an answer has of the records' readings. */
#include <float.h>
#include <math.h>
#include <string.h>

#include "mass/measured_parts.h"

/* What is left of a pivot when it should be nothing: a few roundings of what was taken from it. */
#define ROUNDING (64 * DBL_EPSILON)

bool sy_measured_factor(double *a, size_t n) {
  for (size_t i = 0; i < n; i++)
    for (size_t j = 0; j <= i; j++) {
      double sum = a[i * n + j];
      for (size_t k = 0; k < j; k++) sum -= a[i * n + k] * a[j * n + k];
      if (i != j) {
        a[i * n + j] = sum / a[j * n + j];
      } else {
        if (!(sum > ROUNDING * a[i * n + i] && isfinite(sum))) return false;
        a[i * n + i] = sqrt(sum);
      }
    }
  return true;
}

void sy_measured_solve(const sy_measured *m, double *b) {
  const size_t n = m->figures;
  const double *l = m->factor;
  for (size_t i = 0; i < n; i++) {
    for (size_t k = 0; k < i; k++) b[i] -= l[i * n + k] * b[k];
    b[i] /= l[i * n + i];
  }
  for (size_t i = n; i-- > 0;) {
    for (size_t k = i + 1; k < n; k++) b[i] -= l[k * n + i] * b[k];
    b[i] /= l[i * n + i];
  }
}

void sy_weighings_release(const sy_alloc *alloc, corrected_weighing *first, corrected_weighing *end) {
  while (first != end) {
    corrected_weighing *next = first->next;
    sy_node_release(first->family, &first->stated->head);
    sy_node_release(first->family, &first->corrected->head);
    sy_family_release(first->family);
    sy_alloc_free(alloc, first, sizeof *first);
    first = next;
  }
}

bool sy_measured_find(const sy_measured *m, uint32_t number, size_t *record, size_t *reading) {
  for (size_t i = 0; i < m->records && number != 0; i++)
    for (size_t j = 0; j < m->record[i].readings; j++)
      if (m->record[i].common[j] == number) {
        *record = i, *reading = j;
        return true;
      }
  return false;
}

bool sy_measured_reads(const sy_measured *m, uint32_t number) {
  size_t record, reading;
  return sy_measured_find(m, number, &record, &reading);
}

/* What answer a has of errors of readings by itself. Of an error that several records have it counts at the first. */
static void add_read(const extended *e, size_t a, size_t record, double out[SY_RECORD_READINGS]) {
  for (size_t t = 0; t < e->read.count && a < e->read.answers; t++) {
    const sy_term *term = e->read.term[t];
    size_t at, j;
    if (sy_measured_find(e->m, term->error, &at, &j) && at == record)
      out[j] += term->sign * term->by_error[e->read.first + a];
  }
}

/* What one unit of a reading's error does to answer a: the figures less what was read, the number beside them, and the answer itself. */
static void by_readings(const extended *e, size_t a, size_t record, double out[SY_RECORD_READINGS]) {
  const kept_record *r = &e->m->record[record];
  const double beside = e->beside != NULL && e->m->beside == record ? e->beside[a] : 0.0;
  const double *figure = e->figure + a * e->m->figures + r->first;
  for (size_t j = 0; j < r->readings; j++) {
    out[j] = beside != 0 ? beside * e->m->by_reading[j] : 0.0;
    for (size_t k = 0; k < r->figures; k++) out[j] -= figure[k] * r->effect[k][j];
  }
  add_read(e, a, record, out);
}

static sy_sensitivity by_figures(const kept_record *r, const double *figure) {
  sy_sensitivity sum = {.carriers = SY_ALL_CARRIERS, .flat = true};
  for (size_t k = 0; k < r->figures; k++) {
    sum.m += figure[r->first + k] * r->by[k].m;
    sum.first = sy_vec3_muladd(sum.first, figure[r->first + k], r->by[k].first);
  }
  return sum;
}

/* only: of which record alone answers have figures; m->records: of any. Errors of readings may be of any. */
static void extend(const sy_measured *m, size_t only, const sy_term *terms, size_t term_count,
                   read_errors read, size_t count, const double *figure, const double *beside,
                   extended *out) {
  const bool all = only == m->records || read.count > 0;
  size_t read_on = 0, filled = term_count;
  out->m = m, out->figure = figure, out->beside = beside, out->read = read;
  for (size_t i = 0; i < term_count; i++) out->term[i] = terms[i];
  for (size_t i = 0; i < m->records; i++) {
    const kept_record *r = &m->record[i];
    const bool counts = all || i == only || (beside != NULL && i == m->beside);
    if (!counts) continue;
    for (size_t a = 0; a < count; a++) out->by[i][a] = by_figures(r, figure + a * m->figures);
    out->term[filled++] = (sy_term){.ledger = r->adjusted, .sign = 1.0, .by = out->by[i]};
    for (size_t s = 0; s < r->instruments; s++, read_on++) {
      for (size_t a = 0; a < count; a++) {
        double by[SY_RECORD_READINGS], bias = 0, gain = 0;
        by_readings(out, a, i, by);
        for (size_t j = 0; j < r->readings; j++) {
          bias += by[j] * r->instrument[s].bias[j];
          gain += by[j] * r->instrument[s].gain[j];
        }
        out->bias[read_on][a] = bias, out->gain[read_on][a] = gain;
      }
      out->at[read_on] = (reading_effect){r->adjusted->family, r->instrument[s].number, out->bias[read_on],
                                          out->gain[read_on]};
    }
  }
  out->q = (request){.terms = out->term,
                     .term_count = filled,
                     .pairings = (const sy_pairing *const *)m->pairing,
                     .pairing_count = m->pairings,
                     .readings = out->at,
                     .reading_count = read_on};
}

void sy_measured_extend(const sy_measured *m, const sy_term *terms, size_t term_count, read_errors read,
                        size_t count, const double *figure, const double *beside, extended *out) {
  extend(m, m->records, terms, term_count, read, count, figure, beside, out);
}

void sy_measured_extend_one(const sy_measured *m, size_t record, const sy_term *terms, size_t term_count,
                            read_errors read, size_t count, const double *figure, const double *beside,
                            extended *out) {
  extend(m, record, terms, term_count, read, count, figure, beside, out);
}

double sy_measured_shared(const kept_record *r, size_t j, const kept_record *other, size_t k) {
  if (r->common[j] == 0 || r->common[j] != other->common[k]) return 0;
  return sqrt(r->noise[j * r->readings + j] * other->noise[k * other->readings + k]);
}

/* What errors that are in both records add to the covariance of two answers. */
static double shared_noise(const extended *e, size_t a, size_t b, size_t i, size_t other) {
  const kept_record *r = &e->m->record[i], *o = &e->m->record[other];
  double sum = 0, left[SY_RECORD_READINGS], right[SY_RECORD_READINGS];
  by_readings(e, a, i, left);
  by_readings(e, b, other, right);
  for (size_t j = 0; j < r->readings; j++)
    for (size_t k = 0; r->common[j] != 0 && k < o->readings; k++)
      sum += left[j] * sy_measured_shared(r, j, o, k) * right[k];
  return sum;
}

double sy_extended_noise(const extended *e, size_t a, size_t b) {
  double sum = 0, left[SY_RECORD_READINGS], right[SY_RECORD_READINGS];
  for (size_t i = 0; i < e->m->records; i++) {
    const kept_record *r = &e->m->record[i];
    by_readings(e, a, i, left);
    by_readings(e, b, i, right);
    for (size_t j = 0; j < r->readings; j++)
      for (size_t k = 0; k < r->readings; k++) sum += left[j] * r->noise[j * r->readings + k] * right[k];
    for (size_t k = 0; e->m->shared && k < e->m->records; k++)
      if (k != i) sum += shared_noise(e, a, b, i, k);
  }
  return sum;
}

/* By all figures at once, as `pull` draws: the mean of an error is its variance times that. */
void sy_measured_common(const sy_measured *m, const family *f, common_error out[SY_MAX_INSTRUMENTS]) {
  const read_errors none = {NULL, 0, 0, 0};
  double bias[SY_MAX_INSTRUMENTS], gain[SY_MAX_INSTRUMENTS];
  extended e;
  sy_measured_extend(m, NULL, 0, none, 1, m->pull, NULL, &e);
  sy_blocks_instruments(&e.q, f, bias, gain);
  for (size_t i = 0; i < f->instrument_count; i++) {
    const sy_instrument *instrument = &f->instrument[i];
    out[i] = (common_error){instrument->bias_sd * instrument->bias_sd * bias[i],
                            instrument->gain_sd * instrument->gain_sd * gain[i]};
  }
}
