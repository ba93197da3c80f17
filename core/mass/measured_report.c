/* measured_report.c - what is known of records once they are fitted. */
#include <math.h>
#include <string.h>

#include "mass/measured_parts.h"
#include "numeric/stats.h"

/* What the errors of its instruments, as found so far, add to each reading. */
static void change_by_instruments(const sy_measured *m, const kept_record *r, double *change) {
  common_error common[SY_MAX_INSTRUMENTS];
  for (size_t j = 0; j < r->readings; j++) change[j] = 0;
  if (r->instruments == 0) return;
  sy_measured_common(m, r->stated->family, common);
  for (size_t s = 0; s < r->instruments; s++) {
    const common_error *e = &common[r->instrument[s].number - 1];
    for (size_t j = 0; j < r->readings; j++)
      change[j] += r->instrument[s].bias[j] * e->bias + r->instrument[s].gain[j] * e->gain;
  }
}

sy_status sy_measured_beside(sy_measured *m, size_t record, const double *by, sy_error *err) {
  if (record >= m->records) return sy_fail(err, SY_UNKNOWN, "records", NULL, "are %zu", m->records);
  for (size_t j = 0; j < m->record[record].readings; j++)
    if (!isfinite(by[j])) return sy_fail(err, SY_RANGE, "record", "beside", "is not finite");
  m->beside = record;
  memcpy(m->by_reading, by, m->record[record].readings * sizeof *by);
  return SY_OK;
}

sy_measured_fit sy_measured_fit_of(const sy_measured *m) {
  return (sy_measured_fit){m->chi2, sy_stats_chi2_tail(m->chi2, (double)m->figures), m->figures, m->records};
}

/* The mean of what the readings were off by: - N A^T p of their own, and their instrument's. */
static void reading_change(const sy_measured *m, const kept_record *r, double *change) {
  change_by_instruments(m, r, change);
  for (size_t j = 0; j < r->readings; j++)
    for (size_t k = 0; k < r->figures; k++)
      for (size_t i = 0; i < r->readings; i++)
        change[j] -= r->noise[j * r->readings + i] * r->effect[k][i] * m->pull[r->first + k];
  for (const kept_record *o = m->record; m->shared && o < m->record + m->records; o++)
    for (size_t j = 0; o->first != r->first && j < r->readings; j++)
      for (size_t k = 0; k < o->figures; k++)
        for (size_t i = 0; i < o->readings; i++)
          change[j] -= sy_measured_shared(r, j, o, i) * o->effect[k][i] * m->pull[o->first + k];
}

double sy_measured_error(const sy_measured *m, uint32_t number) {
  size_t record, reading;
  double change[SY_RECORD_READINGS];
  if (!sy_measured_find(m, number, &record, &reading)) return 0;
  reading_change(m, &m->record[record], change);
  return change[reading];
}

sy_status sy_measured_record_of(const sy_measured *m, size_t record, sy_measured_record *out, sy_error *err) {
  if (record >= m->records) return sy_fail(err, SY_UNKNOWN, "records", NULL, "are %zu", m->records);
  kept_record r = m->record[record]; /* looked at anew, so not the one others read */
  double figure[SY_RECORD_FIGURES] = {0};
  if (!sy_measured_look_at(&r, figure))
    return sy_fail(err, SY_RANGE, "record", "mass", "leaves its ledger none");
  *out = (sy_measured_record){.figures = r.figures,
                              .readings = r.readings,
                              .chi2 = r.chi2,
                              .p = sy_stats_chi2_tail(r.chi2, (double)r.figures)};
  for (size_t k = 0; k < r.figures; k++)
    out->figure[k] =
        (sy_measured_figure){r.figure[k].read, r.booked[k], figure[k], r.off_sd[k], r.place_off_sd[k]};
  reading_change(m, &r, out->change);
  return SY_OK;
}

const sy_ledger *sy_measured_ledger(const sy_measured *m, size_t record) {
  return record < m->records ? m->record[record].adjusted : NULL;
}
