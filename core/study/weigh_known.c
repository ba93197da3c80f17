/* weigh_known.c - what is known of a car's lines and answers while lines are weighed and measured. */
#include <string.h>

#include "study/weigh_parts.h"

size_t sy_known_room(const sy_spread *p) {
  const size_t n = p->list->figures, effects = p->answers * p->sources;
  return p->sources + 2 * effects + 2 * n * p->list->of_figures + n * n + n * p->answers + p->answers + 1;
}

bool sy_known_new(const sy_spread *p, known *k) {
  const size_t n = p->list->figures, figures = n * p->list->of_figures, effects = p->answers * p->sources;
  k->room = sy_alloc_new(&p->alloc, sy_known_room(p) * sizeof *k->room);
  if (k->room == NULL) return false;
  k->variance = k->room, k->stated = k->variance + p->sources;
  k->effect = n > 0 ? k->stated + effects : k->stated; /* without figures nothing takes anything back */
  k->figure = k->stated + 2 * effects, k->half = k->figure + figures;
  k->matrix = k->half + figures, k->gain = k->matrix + n * n, k->total = k->gain + n * p->answers;
  return true;
}

void sy_known_start(const sy_sensitivities *s, known *k) {
  const sy_spread *p = s->of;
  for (size_t j = 0; j < p->sources; j++) k->variance[j] = source_variance(p, j);
  memcpy(k->stated, s->stated, p->answers * p->sources * sizeof *k->stated);
  memcpy(k->effect, p->effect, p->answers * p->sources * sizeof *k->effect);
  if (p->list->figures > 0)
    memcpy(k->figure, p->list->figure, p->list->figures * p->list->of_figures * sizeof *k->figure);
}

/* S of the figures. */
static void sum_figures(const sy_spread *p, known *k) {
  const size_t n = p->list->figures;
  memset(k->matrix, 0, n * n * sizeof *k->matrix);
  for (size_t j = 0; j < p->list->of_figures; j++) {
    const double *h = k->figure + j * n;
    for (size_t a = 0; a < n; a++)
      for (size_t b = 0; b < n && h[a] != 0; b++) k->matrix[a * n + b] += k->variance[j] * h[a] * h[b];
  }
}

void sy_known_solve(const double *l, size_t n, const double *b, bool whole, double *x) {
  for (size_t i = 0; i < n; i++) {
    x[i] = b[i];
    for (size_t k = 0; k < i; k++) x[i] -= l[i * n + k] * x[k];
    x[i] /= l[i * n + i];
  }
  for (size_t i = n; whole && i-- > 0;) {
    for (size_t k = i + 1; k < n; k++) x[i] -= l[k * n + i] * x[k];
    x[i] /= l[i * n + i];
  }
}

/* In four sums, whose additions need not wait for one another. */
static double variance_of(const double *effect, const double *variance, size_t count) {
  double sum[4] = {0, 0, 0, 0};
  size_t j = 0;
  for (; j + 4 <= count; j += 4)
    for (size_t k = 0; k < 4; k++) sum[k] += effect[j + k] * effect[j + k] * variance[j + k];
  for (; j < count; j++) sum[0] += effect[j] * effect[j] * variance[j];
  return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

void sy_known_sum(const sy_spread *p, known *k) {
  for (size_t a = 0; a < p->answers; a++)
    k->total[a] = variance_of(k->effect + a * p->sources, k->variance, p->sources);
}

bool sy_known_settle(const sy_spread *p, known *k) {
  double l[MOST_FIGURES * MOST_FIGURES], together[MOST_FIGURES];
  const size_t n = p->list->figures, errors = p->list->of_figures;
  if (n == 0) return true;
  sum_figures(p, k);
  memcpy(l, k->matrix, n * n * sizeof *l);
  if (!sy_error_list_factor(l, n)) return false;
  for (size_t j = 0; j < errors; j++) sy_known_solve(l, n, k->figure + j * n, false, k->half + j * n);
  memcpy(k->effect, k->stated, p->answers * p->sources * sizeof *k->effect);
  for (size_t a = 0; a < p->answers; a++) {
    double *effect = k->effect + a * p->sources, *w = k->gain + a * n;
    memset(together, 0, n * sizeof *together);
    for (size_t j = 0; j < errors; j++)
      for (size_t r = 0; r < n; r++) together[r] += k->figure[j * n + r] * effect[j] * k->variance[j];
    sy_known_solve(l, n, together, true, w);
    for (size_t j = 0; j < errors; j++)
      for (size_t r = 0; r < n; r++) effect[j] -= w[r] * k->figure[j * n + r];
  }
  return true;
}

void sy_known_apply(const sy_spread *p, const candidate *c, known *k) {
  const size_t n = p->list->figures, j = c->source[0];
  for (size_t i = 0; i < 2; i++) { /* what its instrument did by way of this line */
    if (c->common[i] == NONE) continue;
    for (size_t a = 0; a < p->answers; a++)
      k->stated[a * p->sources + c->common[i]] -= c->per[i] * k->stated[a * p->sources + j];
    for (size_t r = 0; r < n; r++) k->figure[c->common[i] * n + r] -= c->per[i] * k->figure[j * n + r];
  }
  for (size_t i = 0; i < c->count; i++) k->variance[c->source[i]] = c->variance[i];
}
