/* sensitivity_make.c - inputs, and what they do to first order. */
#include <math.h>
#include <string.h>

#include "study/sensitivity_parts.h"

static sy_status no_memory(sy_error *err) {
  return sy_fail(err, SY_LIMIT, "sensitivity", NULL, "memory is out");
}

/* ---- inputs ------------------------------------------------------------------------------------------------------------------ */

/* Which errors are one input: all but those of an instrument and of a record's readings stand by themselves. */
static bool is_one_input(const drawn_source *a, const drawn_source *b) {
  const sy_elementary *e = a->is.error, *f = b->is.error;
  if (e == NULL || f == NULL) return false;
  if (e->kind == SY_ERROR_READING && f->kind == SY_ERROR_READING)
    return e->number / SY_RECORD_READINGS == f->number / SY_RECORD_READINGS;
  const bool instruments = (e->kind == SY_ERROR_BIAS || e->kind == SY_ERROR_GAIN) &&
                           (f->kind == SY_ERROR_BIAS || f->kind == SY_ERROR_GAIN);
  return instruments && e->number == f->number && e->family == f->family;
}

static bool may_be_shared(const drawn_source *s) {
  const sy_elementary *e = s->is.error;
  return e != NULL && (e->kind == SY_ERROR_BIAS || e->kind == SY_ERROR_GAIN || e->kind == SY_ERROR_READING);
}

/* In the order of the sources; member[] is where each input's own stand. */
static void find_inputs(sy_sensitivities *s) {
  const sy_spread *p = s->of;
  size_t members = 0;
  s->inputs = 0;
  for (size_t j = 0; j < p->sources; j++) {
    bool known = false;
    for (size_t k = 0; k < j && !known && may_be_shared(&p->source[j]); k++)
      known = is_one_input(&p->source[k], &p->source[j]);
    if (known) continue;
    input_errors *input = &s->input[s->inputs++];
    *input = (input_errors){members, 0};
    for (size_t k = j; k < p->sources; k++) {
      if (k > j && !is_one_input(&p->source[j], &p->source[k])) continue;
      s->member[members++] = k;
      if (!may_be_shared(&p->source[j])) break;
    }
    input->count = members - input->first;
  }
}

/* ---- making ------------------------------------------------------------------------------------------------------------------ */

static sy_status make(sy_sensitivities *s, sy_error *err) {
  sy_spread *p = s->of;
  const size_t all = p->answers * p->sources;
  s->stated = sy_alloc_new(&s->alloc, (all + 1) * sizeof *s->stated);
  s->variance = sy_alloc_new(&s->alloc, (p->answers + 1) * sizeof *s->variance);
  s->member = sy_alloc_new(&s->alloc, (p->sources + 1) * sizeof *s->member);
  s->input = sy_alloc_new(&s->alloc, (p->sources + 1) * sizeof *s->input);
  if (s->stated == NULL || s->variance == NULL || s->member == NULL || s->input == NULL)
    return no_memory(err);
  const sy_status status = sy_spread_effects(p, err);
  if (status != SY_OK) return status;
  memcpy(s->stated, p->effect, all * sizeof *s->stated);
  sy_spread_condition(p);
  for (size_t a = 0; a < p->answers; a++) {
    s->variance[a] = 0;
    for (size_t j = 0; j < p->sources; j++) {
      const double by = p->effect[a * p->sources + j];
      s->variance[a] += by * by * source_variance(p, j);
    }
  }
  find_inputs(s);
  return SY_OK;
}

sy_status sy_sensitivities_new(const sy_alloc *alloc, const sy_spread_set *sets, size_t count,
                               sy_sensitivities **out, sy_error *err) {
  const sy_alloc own = sy_alloc_or_default(alloc);
  sy_sensitivities *s = sy_alloc_new(&own, sizeof *s);
  if (s == NULL) return no_memory(err);
  memset(s, 0, sizeof *s);
  s->alloc = own;
  sy_status status = sy_spread_make(&own, sets, count, NULL, true, &s->of, err);
  if (status == SY_OK) status = make(s, err);
  if (status == SY_OK)
    *out = s;
  else
    sy_sensitivities_free(s);
  return status;
}

void sy_sensitivities_free(sy_sensitivities *s) {
  if (s == NULL) return;
  const sy_alloc alloc = s->alloc;
  if (s->of != NULL) {
    const size_t sources = s->of->sources, answers = s->of->answers;
    sy_alloc_free(&alloc, s->stated, (answers * sources + 1) * sizeof *s->stated);
    sy_alloc_free(&alloc, s->variance, (answers + 1) * sizeof *s->variance);
    sy_alloc_free(&alloc, s->member, (sources + 1) * sizeof *s->member);
    sy_alloc_free(&alloc, s->input, (sources + 1) * sizeof *s->input);
  }
  sy_spread_free(s->of);
  sy_alloc_free(&alloc, s, sizeof *s);
}

size_t sy_sensitivities_inputs(const sy_sensitivities *s) { return s->inputs; }

sy_input sy_sensitivities_input(const sy_sensitivities *s, size_t i) {
  const input_errors *input = &s->input[i];
  sy_input out = {s->member[input->first], input->count, false, false};
  for (size_t k = 0; k < input->count; k++) {
    const sy_elementary *e = s->of->source[s->member[input->first + k]].is.error;
    out.bias = out.bias || (e != NULL && e->kind == SY_ERROR_BIAS);
    out.gain = out.gain || (e != NULL && e->kind == SY_ERROR_GAIN);
  }
  return out;
}

size_t sy_sensitivities_sources(const sy_sensitivities *s) { return s->of->sources; }

sy_spread_source sy_sensitivities_source(const sy_sensitivities *s, size_t i) { return s->of->source[i].is; }

size_t sy_sensitivities_answers(const sy_sensitivities *s) { return s->of->answers; }

double sy_sensitivities_value(const sy_sensitivities *s, size_t answer) { return s->of->value[answer]; }

double sy_sensitivities_sd(const sy_sensitivities *s, size_t answer) {
  if (isnan(s->of->value[answer])) return (double)NAN;
  const double sd = sqrt(s->variance[answer]);
  return sd <= sy_spread_rounding(s->of, answer) ? 0.0 : sd;
}
