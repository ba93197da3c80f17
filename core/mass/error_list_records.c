/* error_list_records.c - errors of the readings of records, and what all errors do to their figures. */
#include <math.h>
#include <string.h>

#include "mass/error_list_parts.h"

/* A root of a covariance, rows x rows, lower: root root^T is it again. A reading that is exact, or that others say, adds nothing. */
static void root_of(const double *covariance, size_t rows, double *root) {
  memset(root, 0, rows * rows * sizeof *root);
  for (size_t i = 0; i < rows; i++)
    for (size_t j = 0; j <= i; j++) {
      double sum = covariance[i * rows + j];
      for (size_t k = 0; k < j; k++) sum -= root[i * rows + k] * root[j * rows + k];
      if (i != j)
        root[i * rows + j] = root[j * rows + j] > 0 ? sum / root[j * rows + j] : 0.0;
      else
        root[i * rows + i] = sum > 64 * 2.3e-16 * covariance[i * rows + i] ? sqrt(sum) : 0.0;
    }
}

/* What readings have of one error: `by` is what one unit of it does to each reading. */
static void add_reading_effect(finder *f, size_t record, const double *by, size_t error) {
  const sy_measured *m = f->m;
  const kept_record *r = &m->record[record];
  for (size_t j = 0; j < r->readings; j++) {
    if (m->beside == record) f->list->beside[error] += by[j] * m->by_reading[j];
    for (size_t k = 0; k < r->figures; k++)
      f->list->figure[error * m->figures + r->first + k] -= by[j] * r->effect[k][j];
  }
}

static bool add_readings(finder *f, size_t record) {
  const kept_record *r = &f->m->record[record];
  const size_t n = r->readings;
  double root[SY_RECORD_READINGS * SY_RECORD_READINGS];
  root_of(r->noise, n, root);
  for (size_t z = 0; z < n && !f->out_of_memory; z++) {
    if (!(root[z * n + z] > 0)) continue;
    if (r->common[z] == 0)
      (void)sy_finder_error(f, SY_ERROR_READING, 1.0, NULL, (uint32_t)(record * SY_RECORD_READINGS + z));
    else if (sy_error_list_place(f->list, r->common[z]) == SY_NO_ERROR)
      (void)sy_finder_error(f, SY_ERROR_PLACE, root[z * n + z], NULL, r->common[z]);
  }
  return !f->out_of_memory;
}

/* What one unit of an error does to the readings of a record; false: nothing. root: of their covariance. */
static bool by_error(const kept_record *r, size_t record, const double *root, const sy_elementary *error,
                     double by[SY_RECORD_READINGS]) {
  bool any = false;
  for (size_t j = 0; j < r->readings; j++) {
    by[j] = 0;
    if (error->kind == SY_ERROR_PLACE) by[j] = r->common[j] == error->number;
    if (error->kind == SY_ERROR_READING && error->number / SY_RECORD_READINGS == record)
      by[j] = root[j * r->readings + error->number % SY_RECORD_READINGS];
    any = any || by[j] != 0;
  }
  return any;
}

bool sy_finder_figures(finder *f) {
  const sy_measured *m = f->m;
  sy_error_list *list = f->list;
  if (m == NULL) return true;
  for (size_t i = 0; i < m->records; i++)
    if (!add_readings(f, i)) return false;
  list->figures = m->figures, list->of_figures = list->errors;
  list->figure = sy_alloc_new(&list->alloc, list->errors * m->figures * sizeof *list->figure);
  list->beside = sy_alloc_new(&list->alloc, list->errors * sizeof *list->beside);
  double *effect = sy_alloc_new(&list->alloc, list->errors * sizeof *effect);
  const bool fine = list->figure != NULL && list->beside != NULL && effect != NULL;
  if (fine) memset(list->figure, 0, list->errors * m->figures * sizeof *list->figure);
  if (fine) memset(list->beside, 0, list->errors * sizeof *list->beside);
  for (size_t i = 0; i < m->records && fine; i++) {
    const kept_record *r = &m->record[i];
    for (size_t k = 0; k < r->figures; k++) {
      sy_sensitivity by[SY_WALK_TERMS];
      for (size_t t = 0; t < f->terms; t++)
        by[t] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
      by[f->terms - m->records + i] = r->by[k];
      memset(effect, 0, list->errors * sizeof *effect);
      sy_error_list_effects(list, by, NULL, effect);
      for (size_t e = 0; e < list->errors; e++) list->figure[e * m->figures + r->first + k] += effect[e];
    }
    double root[SY_RECORD_READINGS * SY_RECORD_READINGS], by[SY_RECORD_READINGS];
    root_of(r->noise, r->readings, root);
    for (size_t e = 0; e < list->errors; e++)
      if (by_error(r, i, root, &list->error[e], by)) add_reading_effect(f, i, by, e);
    for (size_t s = 0; s < r->instruments; s++) {
      const instrument_errors *at = &f->read_on[i][r->instrument[s].number - 1];
      if (at->bias != SY_NO_ERROR) add_reading_effect(f, i, r->instrument[s].bias, (size_t)at->bias);
      if (at->gain != SY_NO_ERROR) add_reading_effect(f, i, r->instrument[s].gain, (size_t)at->gain);
    }
  }
  sy_alloc_free(&list->alloc, effect, list->errors * sizeof *effect);
  return fine;
}
