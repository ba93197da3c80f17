/* error_list_make.c - finds the errors of ledgers by the walk of propagate.h. */
#include <string.h>

#include "mass/error_list_parts.h"
#include "mass/ledger_check.h"

static bool find(finder *f) {
  const sy_alloc *alloc = &f->list->alloc;
  sy_finder_meet(f);
  if (f->out_of_memory) return false;
  f->counts = sy_alloc_new(alloc, (f->pieces * f->terms * TEN + 1) * sizeof *f->counts);
  if (f->counts == NULL) return false;
  sy_finder_walk(f, f->terms * TEN, false);
  if (f->weighed && !f->differs) {
    f->carried = sy_alloc_new(alloc, (f->pieces * SY_CARRIER_COUNT + 1) * sizeof *f->carried);
    if (f->carried == NULL) return false;
    sy_finder_walk(f, SY_CARRIER_COUNT, true);
  }
  return f->differs || (sy_finder_stakes(f) && sy_finder_figures(f));
}

static void release(finder *f) {
  const sy_alloc *alloc = &f->list->alloc;
  sy_alloc_free(alloc, f->counts, (f->pieces * f->terms * TEN + 1) * sizeof *f->counts);
  if (f->carried != NULL)
    sy_alloc_free(alloc, f->carried, (f->pieces * SY_CARRIER_COUNT + 1) * sizeof *f->carried);
  sy_alloc_free(alloc, f->met, f->room * sizeof *f->met);
}

static sy_status take_ledgers(finder *f, const sy_ledger *const *ledgers, size_t count, sy_error *err) {
  if (count == 0 || count > SY_MOST_TERMS)
    return sy_fail(err, SY_LIMIT, "errors", "ledgers", "are %zu, must be 1 to %d", count, (int)SY_MOST_TERMS);
  f->m = sy_ledger_measured(ledgers[0]);
  for (size_t i = 0; i < count; i++) {
    if (sy_ledger_measured(ledgers[i]) != f->m)
      return sy_fail(err, SY_CLASH, "errors", "ledgers", "carry different records");
    f->term[f->terms++] = (sy_term){.ledger = ledgers[i], .sign = 1.0};
  }
  for (size_t i = 0; f->m != NULL && i < f->m->records; i++)
    f->term[f->terms++] = (sy_term){.ledger = f->m->record[i].adjusted, .sign = 1.0};
  for (size_t i = 0; i < f->terms; i++) f->term[i].by = f->by[i];
  f->q = (request){.terms = f->term, .term_count = f->terms};
  if (f->m != NULL)
    f->q.pairings = (const sy_pairing *const *)f->m->pairing, f->q.pairing_count = f->m->pairings;
  return SY_OK;
}

sy_status sy_error_list_make(const sy_alloc *alloc, const sy_ledger *const *ledgers, size_t count,
                             bool weighed, sy_error_list **out, sy_error *err) {
  const sy_alloc own = sy_alloc_or_default(alloc);
  sy_error_list *list = sy_alloc_new(&own, sizeof *list);
  finder *f = sy_alloc_new(&own, sizeof *f);
  sy_status status = SY_OK;
  if (list != NULL) memset(list, 0, sizeof *list), list->alloc = own;
  if (list == NULL || f == NULL) {
    status = sy_ledger_no_memory(err);
  } else {
    memset(f, 0, sizeof *f);
    f->list = list;
    f->exact_too = weighed;
    status = take_ledgers(f, ledgers, count, err);
    if (status == SY_OK && !find(f)) status = sy_ledger_no_memory(err);
    if (status == SY_OK && f->differs)
      status = sy_fail(err, SY_CLASH, "errors", "ledgers", "do not agree on the pieces of a line");
    release(f);
  }
  sy_alloc_free(&own, f, sizeof *f);
  if (status == SY_OK)
    *out = list;
  else
    sy_error_list_free(list);
  return status;
}
