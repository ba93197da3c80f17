/* sensitivity_largest.c - the inputs that move an answer most, each put into the car and that solved again. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "study/sensitivity_parts.h"

/* ---- answers with errors in them ------------------------------------------------------------------------------------------------ */

/* What the records leave of errors, and of the number read beside the sums: e' = e - C H^T S^-1 H e. */
static double condition(const sy_spread *p, double *e) {
  const sy_error_list *list = p->list;
  double pull[SY_MOST_RECORDS * SY_RECORD_FIGURES] = {0}, beside = 0;
  if (list->figures == 0) return 0;
  for (size_t j = 0; j < list->of_figures; j++)
    for (size_t r = 0; r < list->figures; r++) pull[r] += list->figure[j * list->figures + r] * e[j];
  sy_error_list_solve(p->ledger[0], pull);
  for (size_t j = 0; j < list->of_figures; j++) {
    for (size_t r = 0; r < list->figures; r++)
      e[j] -= source_variance(p, j) * list->figure[j * list->figures + r] * pull[r];
    beside += list->beside[j] * e[j];
  }
  return beside;
}

static double by_change(const sy_spread *p, size_t ledger, const sy_totals *now, const sy_sensitivity *g) {
  const sy_sums *a = &p->base[ledger].all, *b = &now[ledger].all;
  const sy_sym3 d = sy_sym3_sub(b->second, a->second);
  return g->m * (b->m - a->m) + sy_vec3_dot(g->first, sy_vec3_sub(b->first, a->first)) + g->second.xx * d.xx +
         g->second.yy * d.yy + g->second.zz * d.zz +
         2.0 * (g->second.xy * d.xy + g->second.xz * d.xz + g->second.yz * d.yz);
}

/* How far a measured cross weight is then from what it is taken for. */
static double cross_off(const sy_spread *p, const plan_set *s, const sy_totals *now, const double *e,
                        double beside) {
  const sy_beside *b = s->car.beside;
  if (b == NULL) return beside;
  double off = b->by_measured * beside;
  for (size_t k = 0; k < s->follow_count; k++)
    if (!s->follows[k].measured)
      off += sy_beside_by_stated(b, &s->stated[s->follows[k].stated]) * e[s->follows[k].source];
  if (s->at == NONE) return off;
  off += by_change(p, s->at, now, &b->by_at);
  return off + by_change(p, s->drawn, now, &b->by_drawn);
}

static const plan_set *set_of(const sy_spread *p, size_t answer) {
  const plan_set *s = p->set;
  while (answer >= s->first + (size_t)s->count) s++;
  return s;
}

static double linear_value(const sy_spread *p, size_t answer, const double *e) {
  double value = p->value[answer];
  for (size_t j = 0; j < p->sources; j++) value += p->effect[answer * p->sources + j] * e[j];
  return value;
}

/* The answer with errors e (by source, used up) in everything; NaN where the car does not stand so. */
static double value_with(const sy_spread *p, size_t answer, double *e) {
  const plan_set *s = set_of(p, answer);
  sy_totals now[SY_MOST_TERMS];
  sy_answer_state state;
  sy_car car = s->car, next;
  if (s->runs_linear) return linear_value(p, answer, e);
  const double beside = condition(p, e);
  memcpy(now, p->base, p->ledgers * sizeof *now);
  sy_error_list_totals(p->list, e, now, p->ledgers);
  for (size_t k = 0; k < s->follow_count; k++) {
    const set_stated *f = &s->follows[k];
    const double by = f->measured ? cross_off(p, s, now, e, beside) : e[f->source];
    if (by == 0) continue;
    if (sy_car_step(&car, &s->stated[f->stated], by, &next, NULL) != SY_OK) return (double)NAN;
    car = next;
  }
  if (s->set->solve(&car, &now[s->now], &now[s->drawn], NULL, true, state.room, NULL) != SY_OK)
    return (double)NAN;
  const sy_asked *asked = &s->asked[answer - s->first];
  const sy_answer_row *row = &s->set->row[asked->row];
  return asked->scale * row->value(state.room, row->at + asked->index);
}

/* ---- the largest ------------------------------------------------------------------------------------------------------------- */

/* By one sigma of input i: of one error with its sign, of several the length of all. */
static double change_of(const sy_sensitivities *s, size_t answer, size_t i) {
  const sy_spread *p = s->of;
  const double *effect = p->effect + answer * p->sources;
  const input_errors *input = &s->input[i];
  const size_t *member = s->member + input->first;
  if (input->count == 1) return effect[member[0]] * p->source[member[0]].sd;
  double sum = 0;
  for (size_t k = 0; k < input->count; k++)
    sum += effect[member[k]] * effect[member[k]] * source_variance(p, member[k]);
  return sqrt(sum);
}

/* One sigma of input i as errors: of several along the way that moves the answer most. */
static void one_sigma(const sy_sensitivities *s, size_t answer, size_t i, double sign, double *e) {
  const sy_spread *p = s->of;
  const double *effect = p->effect + answer * p->sources, change = change_of(s, answer, i);
  const input_errors *input = &s->input[i];
  const size_t *member = s->member + input->first;
  memset(e, 0, p->sources * sizeof *e);
  if (input->count == 1) e[member[0]] = sign * p->source[member[0]].sd;
  for (size_t k = 0; k < input->count && input->count > 1; k++)
    e[member[k]] = sign * effect[member[k]] * source_variance(p, member[k]) / change;
}

static int by_size(const void *a, const void *b) {
  const sy_moved *l = a, *r = b;
  const double size = fabs(l->change), other = fabs(r->change);
  if (size != other) return size > other ? -1 : 1;
  return l->input < r->input ? -1 : l->input > r->input;
}

/* All inputs that move the answer, by size; how many. */
static size_t sorted(const sy_sensitivities *s, size_t answer, sy_moved *list) {
  const double least = sy_spread_rounding(s->of, answer);
  size_t count = 0;
  for (size_t i = 0; i < s->inputs; i++) {
    const double change = change_of(s, answer, i);
    if (!(fabs(change) > least)) continue;
    list[count++] = (sy_moved){i, change, (double)NAN, (double)NAN, change * change / s->variance[answer]};
  }
  qsort(list, count, sizeof *list, by_size);
  return count;
}

/* The share of those that are not listed, without the listed ones taken from 1: their digits would be lost. */
static double rest_of(const sy_sensitivities *s, size_t answer, const sy_moved *list, size_t count,
                      bool *in) {
  double rest = 0;
  memset(in, 0, (s->inputs + 1) * sizeof *in);
  for (size_t k = 0; k < count; k++) in[list[k].input] = true;
  for (size_t i = 0; i < s->inputs; i++) {
    const double change = in[i] ? 0 : change_of(s, answer, i);
    rest += change * change;
  }
  return s->variance[answer] > 0 ? rest / s->variance[answer] : 0.0;
}

sy_status sy_sensitivities_largest(const sy_sensitivities *s, size_t answer, size_t most, sy_moved *out,
                                   size_t *count, double *rest, sy_error *err) {
  const sy_spread *p = s->of;
  if (answer >= p->answers)
    return sy_fail(err, SY_UNKNOWN, "sensitivity", "answer", "is %zu of %zu", answer + 1, p->answers);
  sy_moved *list = sy_alloc_new(&s->alloc, (s->inputs + 1) * sizeof *list);
  double *e = sy_alloc_new(&s->alloc, (p->sources + 1) * sizeof *e);
  bool *in = sy_alloc_new(&s->alloc, (s->inputs + 1) * sizeof *in);
  const bool fine = list != NULL && e != NULL && in != NULL;
  if (fine) {
    const bool uncertain = sy_sensitivities_sd(s, answer) > 0;
    const size_t all = uncertain ? sorted(s, answer, list) : 0;
    *count = all < most ? all : most;
    for (size_t k = 0; k < *count; k++) {
      out[k] = list[k];
      one_sigma(s, answer, list[k].input, -1.0, e);
      out[k].low = value_with(p, answer, e);
      one_sigma(s, answer, list[k].input, 1.0, e);
      out[k].high = value_with(p, answer, e);
    }
    *rest = uncertain ? rest_of(s, answer, list, *count, in) : 0.0;
  }
  sy_alloc_free(&s->alloc, list, (s->inputs + 1) * sizeof *list);
  sy_alloc_free(&s->alloc, e, (p->sources + 1) * sizeof *e);
  sy_alloc_free(&s->alloc, in, (s->inputs + 1) * sizeof *in);
  return fine ? SY_OK : sy_fail(err, SY_LIMIT, "sensitivity", NULL, "memory is out");
}
