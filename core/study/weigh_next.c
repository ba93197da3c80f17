#include "study/weigh_next.h"

#include <math.h>
#include <string.h>

#include "study/sensitivity_parts.h"

enum {
  MOST_FIGURES = SY_MOST_RECORDS * SY_RECORD_FIGURES,
  PLACES = 6 /* of the two pieces of a pair */
};

/* Of the mean variance: less is no step. It is 3e-5 of an uncertainty, which no page shows. */
#define LEAST 1e-9

static sy_status no_memory(sy_error *err) {
  return sy_fail(err, SY_LIMIT, "weigh_next", NULL, "memory is out");
}

/* ---- what can be weighed or measured ---------------------------------------------------------------------------------------------- */

/* Errors that one step states anew. */
typedef struct candidate {
  sy_weigh_what what;
  size_t source[PLACES], count;
  double variance[PLACES]; /* then */
  size_t common[2];        /* errors of the instrument that it was weighed on; NONE */
  double per[2];           /* kg by one unit of each */
  double share, drop;      /* of the mean variance; the drop as far as it was worked out */
  bool known, done;
} candidate;

/* Has a stake of the line before this one an error of that kind for the same piece? Then this states what holds in another ledger, or it
** is the same error. */
static bool is_told(const sy_error_list *list, size_t stake, int kind) {
  const sy_stake *s = &list->stake[stake];
  for (size_t k = stake; k-- > 0 && list->stake[k].line == s->line;) {
    const sy_stake *o = &list->stake[k];
    if (o->error[kind] == s->error[kind]) return true;
    if (o->error[kind] != SY_NO_ERROR && o->part->id == s->part->id) return true;
  }
  return false;
}

/* Of a file that is not the car's own nothing can be weighed any more. */
static bool is_own(const sy_error_list *list, int error) {
  return error != SY_NO_ERROR && list->error[error].family == 0;
}

static size_t add_mass(const sy_error_list *list, size_t stake, int kind, double scale, candidate *c) {
  const sy_stake *s = &list->stake[stake];
  if (!is_own(list, s->error[kind]) || is_told(list, stake, kind)) return 0;
  *c = (candidate){.what = kind == SY_ERROR_DRY_MASS ? SY_WEIGH_DRY_MASS : SY_WEIGH_MASS, .count = 1};
  const double unit = kind == SY_ERROR_SHARE ? sy_part_stated_mass(s->part) : 1.0;
  c->source[0] = (size_t)s->error[kind], c->variance[0] = scale / unit * (scale / unit);
  c->common[0] = c->common[1] = NONE;
  if (kind != SY_ERROR_MASS) return 1;
  if (s->bias != SY_NO_ERROR) c->common[0] = (size_t)s->bias, c->per[0] = s->bias_share;
  if (s->gain != SY_NO_ERROR) c->common[1] = (size_t)s->gain, c->per[1] = s->gain_mass;
  return 1;
}

/* Is the error in the list, or one of the same piece along the same axis? */
static bool is_listed(const sy_error_list *list, const candidate *c, int error) {
  const sy_elementary *e = &list->error[error];
  for (size_t i = 0; i < c->count; i++) {
    const sy_elementary *o = &list->error[c->source[i]];
    if (c->source[i] == (size_t)error || (o->kind == e->kind && o->line == e->line)) return true;
  }
  return false;
}

/* Coordinates of the line whose first stake this is that the tape knows better. */
static size_t add_place(const sy_error_list *list, size_t stake, double tape, candidate *c) {
  const uint32_t line = list->stake[stake].line;
  if (stake > 0 && list->stake[stake - 1].line == line) return 0;
  *c = (candidate){.what = SY_WEIGH_PLACE, .common = {NONE, NONE}};
  for (size_t i = stake; i < list->stakes && list->stake[i].line == line; i++) {
    const sy_stake *s = &list->stake[i];
    for (int axis = 0; axis < 3 && s->part->whole == NULL; axis++) {
      const int e = s->place[axis];
      if (!is_own(list, e) || !(list->error[e].sd > tape) || c->count == PLACES || is_listed(list, c, e))
        continue;
      c->source[c->count] = (size_t)e;
      c->variance[c->count++] = tape * tape;
    }
  }
  return c->count > 0;
}

static size_t find(const sy_error_list *list, double scale, double tape, candidate *out) {
  size_t count = 0;
  for (size_t i = 0; i < list->stakes; i++) {
    count += add_mass(list, i, SY_ERROR_MASS, scale, &out[count]);
    count += add_mass(list, i, SY_ERROR_DRY_MASS, scale, &out[count]);
    count += add_mass(list, i, SY_ERROR_SHARE, scale, &out[count]);
    count += add_place(list, i, tape, &out[count]);
  }
  return count;
}

size_t sy_weigh_most(const sy_sensitivities *s) { return s->of->list->errors; }

/* ---- what is known ----------------------------------------------------------------------------------------------------------------- */

/* Variances of all errors, what they do to answers and to figures of records, and what that comes to. */
typedef struct known {
  double *variance; /* sources */
  double *stated;   /* answers x sources, before records */
  double *figure;   /* errors x figures */
  double *effect;   /* answers x sources, after records */
  double *half;     /* errors x figures: L^-1 H, where S = H C H^T = L L^T */
  double *matrix;   /* figures x figures: S */
  double *gain;     /* answers x figures: S^-1 H C g */
  double *total;    /* answers: variances */
  double *room;     /* all of it */
} known;

static size_t room_of(const sy_spread *p) {
  const size_t n = p->list->figures, effects = p->answers * p->sources;
  return p->sources + 2 * effects + 2 * n * p->list->of_figures + n * n + n * p->answers + p->answers + 1;
}

static bool make_room(const sy_spread *p, known *k) {
  const size_t n = p->list->figures, figures = n * p->list->of_figures, effects = p->answers * p->sources;
  k->room = sy_alloc_new(&p->alloc, room_of(p) * sizeof *k->room);
  if (k->room == NULL) return false;
  k->variance = k->room, k->stated = k->variance + p->sources;
  k->effect = n > 0 ? k->stated + effects : k->stated; /* without figures nothing takes anything back */
  k->figure = k->stated + 2 * effects, k->half = k->figure + figures;
  k->matrix = k->half + figures, k->gain = k->matrix + n * n, k->total = k->gain + n * p->answers;
  return true;
}

static void start(const sy_sensitivities *s, known *k) {
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

/* L^-1 b and, `whole`, (L L^T)^-1 b. */
static void solve(const double *l, size_t n, const double *b, bool whole, double *x) {
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

static void sum_up(const sy_spread *p, known *k) {
  for (size_t a = 0; a < p->answers; a++)
    k->total[a] = variance_of(k->effect + a * p->sources, k->variance, p->sources);
}

/* Effects after records; false where these have nothing left that errs. */
static bool settle(const sy_spread *p, known *k) {
  double l[MOST_FIGURES * MOST_FIGURES], together[MOST_FIGURES];
  const size_t n = p->list->figures, errors = p->list->of_figures;
  if (n == 0) return true;
  sum_figures(p, k);
  memcpy(l, k->matrix, n * n * sizeof *l);
  if (!sy_error_list_factor(l, n)) return false;
  for (size_t j = 0; j < errors; j++) solve(l, n, k->figure + j * n, false, k->half + j * n);
  memcpy(k->effect, k->stated, p->answers * p->sources * sizeof *k->effect);
  for (size_t a = 0; a < p->answers; a++) {
    double *effect = k->effect + a * p->sources, *w = k->gain + a * n;
    memset(together, 0, n * sizeof *together);
    for (size_t j = 0; j < errors; j++)
      for (size_t r = 0; r < n; r++) together[r] += k->figure[j * n + r] * effect[j] * k->variance[j];
    solve(l, n, together, true, w);
    for (size_t j = 0; j < errors; j++)
      for (size_t r = 0; r < n; r++) effect[j] -= w[r] * k->figure[j * n + r];
  }
  return true;
}

/* ---- one step -------------------------------------------------------------------------------------------------------------------- */

/* States the candidate's errors anew. */
static void apply(const sy_spread *p, const candidate *c, known *k) {
  const size_t n = p->list->figures, j = c->source[0];
  for (size_t i = 0; i < 2; i++) { /* what its instrument did by way of this line */
    if (c->common[i] == NONE) continue;
    for (size_t a = 0; a < p->answers; a++)
      k->stated[a * p->sources + c->common[i]] -= c->per[i] * k->stated[a * p->sources + j];
    for (size_t r = 0; r < n; r++) k->figure[c->common[i] * n + r] -= c->per[i] * k->figure[j * n + r];
  }
  for (size_t i = 0; i < c->count; i++) k->variance[c->source[i]] = c->variance[i];
}

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

typedef struct search {
  const sy_spread *p;
  known now, other; /* as known so far, and room to try */
  candidate *list;
  size_t count;
  double *first; /* answers: variances at the start, 0 of those that do not count */
  size_t counting;
} search;

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
  solve(l, n, together, true, then);
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
static double tried_drop(const search *s, const candidate *c) {
  const sy_spread *p = s->p;
  changed list[3];
  double l[MOST_FIGURES * MOST_FIGURES], sum = 0;
  const size_t count = list_changed(p, &s->now, c, list);
  if (!changed_factor(&s->now, p->list->figures, list, count, l)) return 0.0;
  for (size_t a = 0; a < p->answers; a++)
    if (s->first[a] > 0) sum += changed_drop(p, &s->now, c, list, count, l, a) / s->first[a];
  return sum / (double)s->counting;
}

static double drop_of(const search *s, const candidate *c) {
  const sy_spread *p = s->p;
  const bool shared = c->common[0] != NONE || c->common[1] != NONE, records = p->list->figures > 0;
  double m[PLACES * PLACES], sum = 0;
  if (shared && records) return tried_drop(s, c);
  if (!shared && !(s->now.variance[c->source[0]] > c->variance[0])) return 0; /* no better known */
  if (records && !step_factor(p, &s->now, c, m)) return 0;
  for (size_t a = 0; a < p->answers; a++) {
    if (!(s->first[a] > 0)) continue;
    sum += (records ? recorded_drop(p, &s->now, c, m, a) : plain_drop(p, &s->now, c, a)) / s->first[a];
  }
  return sum / (double)s->counting;
}

/* The best step; NULL where none is left. */
static candidate *best_of(search *s) {
  candidate *best = NULL;
  for (size_t i = 0; i < s->count; i++) {
    candidate *c = &s->list[i];
    if (c->done) continue;
    if (!c->known) c->drop = drop_of(s, c), c->known = true;
    if (c->drop > (best != NULL ? best->drop : LEAST)) best = c;
  }
  return best;
}

/* ---- all of it ---------------------------------------------------------------------------------------------------------------------- */

static double share_of(const search *s, const candidate *c) {
  double sum = 0;
  for (size_t a = 0; a < s->p->answers; a++)
    for (size_t i = 0; i < c->count && s->first[a] > 0; i++) {
      const double by = s->now.effect[a * s->p->sources + c->source[i]];
      sum += by * by * s->now.variance[c->source[i]] / s->first[a];
    }
  return sum / (double)s->counting;
}

static void note_sd(const sy_sensitivities *of, known *k, double *sd) {
  const sy_spread *p = of->of;
  sum_up(p, k);
  for (size_t a = 0; a < p->answers; a++) {
    const double found = sqrt(k->total[a]);
    sd[a] = isnan(p->value[a]) ? (double)NAN : found <= sy_spread_rounding(p, a) ? 0.0 : found;
  }
}

static void begin(const sy_sensitivities *of, search *s, double scale, double tape) {
  const sy_spread *p = of->of;
  start(of, &s->now);
  for (size_t a = 0; a < p->answers; a++) {
    const double sd = sy_sensitivities_sd(of, a);
    s->first[a] = sd > 0 && isfinite(sd) ? of->variance[a] : 0.0;
    s->counting += s->first[a] > 0;
  }
  s->count = find(p->list, scale, tape, s->list);
}

/* After a step drops are others: all where records are read again, without them those of lines that were weighed on the same instrument. */
static void forget(search *s, const candidate *taken) {
  const bool records = s->p->list->figures > 0;
  for (size_t i = 0; i < s->count; i++) {
    candidate *c = &s->list[i];
    for (size_t k = 0; k < 2; k++)
      if (records || (taken->common[k] != NONE && taken->common[k] == c->common[k])) c->known = false;
  }
}

/* Takes the step; false, and nothing is taken, where records would have nothing left that errs. */
static bool take(search *s, candidate *c) {
  c->done = true;
  if (s->p->list->figures == 0) {
    apply(s->p, c, &s->now);
  } else {
    memcpy(s->other.room, s->now.room, room_of(s->p) * sizeof *s->now.room);
    apply(s->p, c, &s->other);
    if (!settle(s->p, &s->other)) return false;
    const known was = s->now;
    s->now = s->other, s->other = was;
  }
  forget(s, c);
  return true;
}

static void run(const sy_sensitivities *of, search *s, size_t most, sy_weigh_step *step, double *after,
                size_t *count, double *left) {
  const size_t answers = of->of->answers;
  for (size_t i = 0; i < s->count && s->counting > 0; i++) s->list[i].share = share_of(s, &s->list[i]);
  *count = 0;
  for (candidate *c = NULL; s->counting > 0 && (c = best_of(s)) != NULL;) {
    if (!take(s, c) || *count >= most) continue;
    step[*count] = (sy_weigh_step){c->source[0], c->what, c->share, c->drop};
    note_sd(of, &s->now, after + *count * answers);
    ++*count;
  }
  note_sd(of, &s->now, left);
}

sy_status sy_weigh_next(const sy_sensitivities *of, double scale, double tape, size_t most,
                        sy_weigh_step *step, double *after, size_t *count, double *left, sy_error *err) {
  const sy_spread *p = of->of;
  if (!(scale > 0 && isfinite(scale)))
    return sy_fail(err, SY_RANGE, "weigh_next", "scale", "is %g kg, must be above 0", scale);
  if (!(tape > 0 && isfinite(tape)))
    return sy_fail(err, SY_RANGE, "weigh_next", "tape", "is %g m, must be above 0", tape);
  search s = {.p = p};
  const size_t errors = 2 * p->list->errors + 2; /* each is stated anew once at most, and one is tried */
  s.list = sy_alloc_new(&p->alloc, errors * sizeof *s.list);
  s.first = sy_alloc_new(&p->alloc, (p->answers + 1) * sizeof *s.first);
  const bool fine = s.list != NULL && s.first != NULL && make_room(p, &s.now) && make_room(p, &s.other);
  sy_status status = fine ? SY_OK : no_memory(err);
  if (fine) begin(of, &s, scale, tape);
  if (fine && !settle(p, &s.now))
    status = sy_fail(err, SY_GEOMETRY, "weigh_next", "records", "read nothing that errs");
  if (status == SY_OK) run(of, &s, most, step, after, count, left);
  sy_alloc_free(&p->alloc, s.list, errors * sizeof *s.list);
  sy_alloc_free(&p->alloc, s.first, (p->answers + 1) * sizeof *s.first);
  if (s.now.room != NULL) sy_alloc_free(&p->alloc, s.now.room, room_of(p) * sizeof(double));
  if (s.other.room != NULL) sy_alloc_free(&p->alloc, s.other.room, room_of(p) * sizeof(double));
  return status;
}
