/* propagate_all.c - what is asked of terms: as it is where their ledgers carry no records, after these where they do. */
#include <math.h>
#include <string.h>

#include "mass/measured_parts.h"

/* What is asked of terms, taken apart. */
typedef struct asked_terms {
  sy_term term[SY_MOST_TERMS];
  size_t count;
  double beside[SY_MOST_EXTENDED]; /* coefficients of the number beside the sums */
  bool has_beside;
  const sy_term *read[SY_MOST_READ_ERRORS];
  size_t reads;
  const sy_measured *m;
  bool differ; /* they carry different records: no error of one is an error of the other */
} asked_terms;

static bool is_read_error(const sy_term *term) { return term->ledger == NULL && term->error != 0; }

static sy_status check_counts(const sy_term *terms, size_t term_count, sy_error *err) {
  size_t reads = 0;
  for (size_t i = 0; i < term_count; i++) reads += is_read_error(&terms[i]);
  if (term_count - reads > SY_MOST_TERMS)
    return sy_fail(err, SY_LIMIT, "propagation", "terms", "are %zu, at most %d", term_count - reads,
                   (int)SY_MOST_TERMS);
  if (reads > SY_MOST_READ_ERRORS)
    return sy_fail(err, SY_LIMIT, "propagation", "errors", "of readings are %zu, at most %d", reads,
                   (int)SY_MOST_READ_ERRORS);
  return SY_OK;
}

static sy_status check_read(const asked_terms *a, sy_error *err) {
  for (size_t i = 0; i < a->reads; i++)
    if (a->m == NULL || !sy_measured_reads(a->m, a->read[i]->error))
      return sy_fail(err, SY_UNKNOWN, "propagation", "error", "%u is of no reading of the ledgers' records",
                     (unsigned)a->read[i]->error);
  return SY_OK;
}

static sy_status take_apart(const sy_term *terms, size_t term_count, size_t count, asked_terms *out,
                            sy_error *err) {
  const sy_status status = check_counts(terms, term_count, err);
  if (status != SY_OK) return status;
  out->count = out->reads = 0, out->has_beside = out->differ = false, out->m = NULL;
  for (size_t i = 0; i < term_count; i++) {
    if (is_read_error(&terms[i])) {
      out->read[out->reads++] = &terms[i];
      continue;
    }
    if (terms[i].ledger == NULL) {
      if (!out->has_beside) memset(out->beside, 0, sizeof out->beside);
      for (size_t k = 0; k < count && k < SY_MOST_EXTENDED; k++)
        out->beside[k] += terms[i].sign * terms[i].by[k].m;
      out->has_beside = true;
      continue;
    }
    const sy_measured *m = sy_ledger_measured(terms[i].ledger);
    out->differ = out->differ || (out->count > 0 && m != out->m);
    out->m = m;
    out->term[out->count++] = terms[i];
  }
  if (out->m != NULL && count > SY_MOST_EXTENDED)
    return sy_fail(err, SY_LIMIT, "propagation", "answers", "are %zu, at most %d of a ledger with records",
                   count, (int)SY_MOST_EXTENDED);
  return out->differ ? SY_OK : check_read(out, err);
}

static read_errors read_of(const asked_terms *a, size_t first, size_t answers) {
  return (read_errors){a->read, a->reads, first, answers};
}

/* Answers from .. from + many - 1, and behind them the figures of one record, each by itself. */
typedef struct beside_figures {
  sy_sensitivity by[SY_MOST_TERMS][SY_HALF + SY_RECORD_FIGURES];
  sy_term term[SY_MOST_TERMS];
  double figure[(SY_HALF + SY_RECORD_FIGURES) * SY_MOST_FIGURES], beside[SY_HALF + SY_RECORD_FIGURES];
  extended e;
} beside_figures;

static void put_beside(const asked_terms *a, size_t from, size_t many, size_t record, beside_figures *out) {
  const kept_record *r = &a->m->record[record];
  const size_t n = a->m->figures;
  memset(out->figure, 0, (many + r->figures) * n * sizeof *out->figure);
  for (size_t k = 0; k < r->figures; k++) out->figure[(many + k) * n + r->first + k] = 1.0;
  memset(out->beside, 0, sizeof out->beside);
  for (size_t k = 0; a->has_beside && k < many; k++) out->beside[k] = a->beside[from + k];
  for (size_t i = 0; i < a->count; i++) {
    for (size_t k = 0; k < many; k++) out->by[i][k] = a->term[i].by[from + k];
    for (size_t k = 0; k < r->figures; k++)
      out->by[i][many + k] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
    out->term[i] = (sy_term){.ledger = a->term[i].ledger, .sign = a->term[i].sign, .by = out->by[i]};
  }
  sy_measured_extend_one(a->m, record, out->term, a->count, read_of(a, from, many), many + r->figures,
                         out->figure, a->has_beside ? out->beside : NULL, &out->e);
}

/* w of all answers, count x figures: S^-1 of what each has in common with the figures, with the sign to take it away. */
static void weights(const asked_terms *a, size_t count, double *w) {
  const size_t n = a->m->figures;
  for (size_t from = 0; from < count; from += SY_HALF) {
    const size_t many = count - from < SY_HALF ? count - from : (size_t)SY_HALF;
    for (size_t record = 0; record < a->m->records; record++) {
      const kept_record *r = &a->m->record[record];
      double common[SY_HALF * SY_RECORD_FIGURES];
      beside_figures b;
      put_beside(a, from, many, record, &b);
      sy_blocks_cross(&b.e.q, many, r->figures, common);
      for (size_t k = 0; k < many; k++)
        for (size_t i = 0; i < r->figures; i++)
          w[(from + k) * n + r->first + i] =
              -(common[k * r->figures + i] + sy_extended_noise(&b.e, k, many + i));
    }
    for (size_t k = 0; k < many; k++) sy_measured_solve(a->m, w + (from + k) * n);
  }
}

static void all_unknown(double *out, size_t count) {
  for (size_t i = 0; i < count; i++) out[i] = (double)NAN;
}

static void variance_after(const asked_terms *a, size_t count, double *variance) {
  double w[SY_MOST_EXTENDED * SY_MOST_FIGURES];
  extended e;
  weights(a, count, w);
  sy_measured_extend(a->m, a->term, a->count, read_of(a, 0, count), count, w,
                     a->has_beside ? a->beside : NULL, &e);
  sy_blocks_variance(&e.q, count, variance);
  for (size_t k = 0; k < count; k++) variance[k] += sy_extended_noise(&e, k, k);
}

static void covariance_after(const asked_terms *a, size_t count, double *covariance) {
  double w[SY_MOST_EXTENDED * SY_MOST_FIGURES];
  extended e;
  weights(a, count, w);
  sy_measured_extend(a->m, a->term, a->count, read_of(a, 0, count), count, w,
                     a->has_beside ? a->beside : NULL, &e);
  sy_blocks_covariance(&e.q, count, covariance);
  for (size_t i = 0; i < count; i++)
    for (size_t j = 0; j <= i; j++) {
      covariance[i * count + j] += sy_extended_noise(&e, i, j);
      covariance[j * count + i] = covariance[i * count + j];
    }
}

sy_status sy_propagate_variance(const sy_term *terms, size_t term_count, size_t count,
                                const sy_pairing *pairing, double *variance, sy_error *err) {
  asked_terms a;
  const sy_status status = take_apart(terms, term_count, count, &a, err);
  if (status != SY_OK) return status;
  if (a.differ) {
    all_unknown(variance, count);
  } else if (a.m != NULL) {
    variance_after(&a, count, variance);
  } else {
    const request q = {
        .terms = a.term, .term_count = a.count, .pairings = &pairing, .pairing_count = pairing != NULL};
    sy_blocks_variance(&q, count, variance);
  }
  return SY_OK;
}

sy_status sy_propagate_covariance(const sy_term *terms, size_t term_count, size_t count,
                                  const sy_pairing *pairing, double *covariance, sy_error *err) {
  asked_terms a;
  const sy_status status = take_apart(terms, term_count, count, &a, err);
  if (status != SY_OK) return status;
  if (a.differ) {
    all_unknown(covariance, count * count);
  } else if (a.m != NULL) {
    covariance_after(&a, count, covariance);
  } else {
    const request q = {
        .terms = a.term, .term_count = a.count, .pairings = &pairing, .pairing_count = pairing != NULL};
    sy_blocks_covariance(&q, count, covariance);
  }
  return SY_OK;
}

/* m, m x, m y, m z; and the number beside them, which rests on no ledger. */
static const sy_sensitivity sums[5] = {
    {.m = 1, .carriers = SY_ALL_CARRIERS, .flat = true},
    {.first = {1, 0, 0}, .carriers = SY_ALL_CARRIERS, .flat = true},
    {.first = {0, 1, 0}, .carriers = SY_ALL_CARRIERS, .flat = true},
    {.first = {0, 0, 1}, .carriers = SY_ALL_CARRIERS, .flat = true},
    {.carriers = SY_ALL_CARRIERS, .flat = true},
};

sy_status sy_measured_beside_covariance(const sy_ledger *ledger, double out[5], sy_error *err) {
  sy_sensitivity beside[5] = {{.m = 0}};
  double c[25];
  if (sy_ledger_measured(ledger) == NULL)
    return sy_fail(err, SY_UNKNOWN, "ledger", "records", "there are none that it carries");
  beside[4].m = 1;
  const sy_term terms[2] = {{.ledger = ledger, .sign = 1.0, .by = sums}, {.sign = 1.0, .by = beside}};
  const sy_status status = sy_propagate_covariance(terms, 2, 5, NULL, c, err);
  for (int i = 0; i < 5 && status == SY_OK; i++) out[i] = c[4 * 5 + i];
  return status;
}

void sy_measured_covariance(const sy_ledger *ledger, sy_cov4 *out) {
  const sy_term term = {.ledger = ledger, .sign = 1.0, .by = sums};
  double c[16] = {0};
  int n = 0;
  (void)sy_propagate_covariance(&term, 1, 4, NULL, c, NULL); /* one term is always accepted */
  for (int i = 0; i < 4; i++)
    for (int j = i; j < 4; j++) out->c[n++] = c[i * 4 + j];
}

sy_status sy_measured_item_covariance(const sy_ledger *ledger, const sy_route *route, sy_cov4 *out,
                                      sy_error *err) {
  sy_ledger *only = NULL;
  const sy_status status = sy_measured_only(ledger, route, &only, err);
  if (status != SY_OK) return status;
  sy_measured_covariance(only, out);
  sy_ledger_release(only);
  return SY_OK;
}
