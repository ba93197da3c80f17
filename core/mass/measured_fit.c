/* measured_fit.c - records checked and kept, and the errors that agree best with them (measured_steps.c). */
#include <math.h>
#include <string.h>

#include "mass/ledger_check.h"
#include "mass/measured_parts.h"

/* ---- checks ------------------------------------------------------------------------------------------------------------ */

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
    return sy_measured_refuse(i, SY_MISSING, "figures", "has none, or more than 4", err);
  if (r->readings < 1 || r->readings > SY_RECORD_READINGS)
    return sy_measured_refuse(i, SY_MISSING, "readings", "has none, or more than 40", err);
  if (!finite_record(r))
    return sy_measured_refuse(i, SY_RANGE, "readings", "has a number that is not finite", err);
  if (r->ledger->measured != NULL)
    return sy_measured_refuse(i, SY_CLASH, "ledger", "is corrected by records already", err);
  for (size_t k = 0; k < r->instruments; k++)
    if (r->instrument[k].number < 1 || r->instrument[k].number > r->ledger->family->instrument_count)
      return sy_measured_refuse(i, SY_UNKNOWN, "instrument", "is not one of its ledger's", err);
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
    if (read_on > SY_MOST_READ_ON)
      return sy_measured_refuse(i, SY_LIMIT, "instrument", "makes more than 32", err);
    if (!known_family(records[i].ledger->family, relative->family, pairings, pairing_count))
      return sy_measured_refuse(i, SY_UNKNOWN, "ledger", "is of a family that no pairing leads to", err);
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
  memcpy(r->common, from->common, sizeof r->common);
  for (size_t j = 0; j < r->readings; j++) m->shared = m->shared || r->common[j] != 0;
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

/* Also the weighings that no record's ledger has, for all ledgers that are corrected later. */
static sy_status keep_weighings(sy_measured *m, const sy_ledger *relative, sy_error *err) {
  sy_ledger *corrected;
  if (relative->measured != NULL) return SY_OK;
  const sy_status status =
      sy_measured_apply(m, relative, false, NULL, 1.0, NULL, &m->weighings, &corrected, err);
  if (status == SY_OK) sy_ledger_release(corrected);
  return status;
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
  status = sy_measured_settle(m, err);
  if (status == SY_OK) status = keep_weighings(m, relative, err);
  if (status == SY_OK)
    *out = m;
  else
    sy_measured_release(m);
  return status;
}
