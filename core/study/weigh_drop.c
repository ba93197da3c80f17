/* weigh_drop.c - what weighing or measuring a line takes of the variances of the answers. */
#include <string.h>

#include "study/weigh_parts.h"

/* What the step takes of the variance of answer a, without records. */
static double plain_drop(const sy_spread *p, const known *k, const candidate *c, size_t a) {
  const double *effect = k->effect + a * p->sources;
  double drop = 0;
  for (size_t i = 0; i < c->count; i++) {
    const size_t j = c->source[i];
    drop += effect[j] * effect[j] * (k->variance[j] - c->variance[i]);
  }
  for (size_t i = 0; i < 2; i++) {
    if (c->common[i] == NONE) continue;
    const double whole = effect[c->common[i]], part = c->per[i] * effect[c->source[0]];
    drop += k->variance[c->common[i]] * part * (2.0 * whole - part);
  }
  return drop;
}

/* After records: c^T (P + Q)^-1 c, c the covariances of its errors with the answer, P of one another, by Cholesky's factor of P + Q. */
static bool step_factor(const sy_spread *p, const known *k, const candidate *c, double m[PLACES * PLACES]) {
  const size_t n = p->list->figures;
  for (size_t x = 0; x < c->count; x++)
    for (size_t y = 0; y <= x; y++) {
      const size_t i = c->source[x], j = c->source[y];
      double both = 0;
      for (size_t r = 0; r < n; r++) both += k->half[i * n + r] * k->half[j * n + r];
      m[x * c->count + y] = -both * k->variance[i] * k->variance[j];
      if (x != y) continue;
      const double v = k->variance[i], then = c->variance[x];
      m[x * c->count + x] += v + v * then / (v - then);
    }
  return sy_error_list_factor(m, c->count);
}

static double recorded_drop(const sy_spread *p, const known *k, const candidate *c, const double *m,
                            size_t a) {
  double drop = 0, half[PLACES];
  for (size_t x = 0; x < c->count; x++) {
    const size_t j = c->source[x];
    half[x] = k->effect[a * p->sources + j] * k->variance[j];
    for (size_t y = 0; y < x; y++) half[x] -= m[x * c->count + y] * half[y];
    half[x] /= m[x * c->count + x];
    drop += half[x] * half[x];
  }
  return drop;
}

/* An error as it is known, and as a step would leave it. */
typedef struct changed {
  size_t source;
  double before, after;      /* variances */
  double h[2][MOST_FIGURES]; /* what it does to the figures */
  double per;                /* of the effects of the line's mass that go out of its own */
} changed;

static size_t list_changed(const sy_spread *p, const known *k, const candidate *c, changed out[3]) {
  const size_t n = p->list->figures, j = c->source[0];
  size_t count = 0;
  for (size_t i = 0; i < 3; i++) {
    const size_t source = i == 0 ? j : c->common[i - 1];
    if (source == NONE) continue;
    changed *e = &out[count++];
    *e = (changed){.source = source, .before = k->variance[source], .after = k->variance[source]};
    if (i == 0) e->after = c->variance[0];
    if (i > 0) e->per = c->per[i - 1];
    for (size_t r = 0; r < n; r++) {
      e->h[0][r] = k->figure[source * n + r];
      e->h[1][r] = e->h[0][r] - e->per * k->figure[j * n + r];
    }
  }
  return count;
}

/* The matrix of the figures as the step would leave it, factored. */
static bool changed_factor(const known *k, size_t n, const changed *list, size_t count, double *l) {
  memcpy(l, k->matrix, n * n * sizeof *l);
  for (size_t i = 0; i < count; i++)
    for (size_t x = 0; x < n; x++)
      for (size_t y = 0; y < n; y++)
        l[x * n + y] += list[i].after * list[i].h[1][x] * list[i].h[1][y] -
                        list[i].before * list[i].h[0][x] * list[i].h[0][y];
  return sy_error_list_factor(l, n);
}

/* What a step takes of the variance of answer a where other errors go with it. About the gain w as it is the sum of H C (g - w H) is zero, so
** with w + d the variance is more by d S d, and the changed errors count otherwise. */
static double changed_drop(const sy_spread *p, const known *k, const candidate *c, const changed *list,
                           size_t count, const double *l, size_t a) {
  const size_t n = p->list->figures;
  const double *g = k->stated + a * p->sources, *w = k->gain + a * n;
  double together[MOST_FIGURES], then[MOST_FIGURES], more = 0;
  for (size_t x = 0; x < n; x++) {
    together[x] = 0;
    for (size_t y = 0; y < n; y++) together[x] += k->matrix[x * n + y] * w[y];
    for (size_t i = 0; i < count; i++) {
      const double own = g[list[i].source], left = own - list[i].per * g[c->source[0]];
      together[x] += list[i].after * left * list[i].h[1][x] - list[i].before * own * list[i].h[0][x];
    }
  }
  sy_known_solve(l, n, together, true, then);
  for (size_t x = 0; x < n; x++)
    for (size_t y = 0; y < n; y++) more += (then[x] - w[x]) * k->matrix[x * n + y] * (then[y] - w[y]);
  for (size_t i = 0; i < count; i++) {
    double was = g[list[i].source], is = was - list[i].per * g[c->source[0]];
    for (size_t x = 0; x < n; x++) was -= then[x] * list[i].h[0][x], is -= then[x] * list[i].h[1][x];
    more += list[i].after * is * is - list[i].before * was * was;
  }
  return -more;
}

/* Of a line that was weighed on an instrument, with records. */
static double tried_drop(const sy_spread *p, const known *k, const candidate *c, const double *first) {
  changed list[3];
  double l[MOST_FIGURES * MOST_FIGURES], sum = 0;
  const size_t count = list_changed(p, k, c, list);
  if (!changed_factor(k, p->list->figures, list, count, l)) return 0.0;
  for (size_t a = 0; a < p->answers; a++)
    if (first[a] > 0) sum += changed_drop(p, k, c, list, count, l, a) / first[a];
  return sum;
}

double sy_weigh_drop(const sy_spread *p, const known *k, const candidate *c, const double *first) {
  const bool shared = c->common[0] != NONE || c->common[1] != NONE, records = p->list->figures > 0;
  double m[PLACES * PLACES], sum = 0;
  if (shared && records) return tried_drop(p, k, c, first);
  if (!shared && !(k->variance[c->source[0]] > c->variance[0])) return 0; /* no better known */
  if (records && !step_factor(p, k, c, m)) return 0;
  for (size_t a = 0; a < p->answers; a++) {
    if (!(first[a] > 0)) continue;
    sum += (records ? recorded_drop(p, k, c, m, a) : plain_drop(p, k, c, a)) / first[a];
  }
  return sum;
}
