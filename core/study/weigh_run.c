/* weigh_run.c - step by step, the best of all that are left. */
#include <math.h>
#include <string.h>

#include "study/weigh_parts.h"

/* Of the mean variance: a step takes more. It is 3e-5 of an uncertainty, which no page shows. */
#define LEAST 1e-9

static sy_status no_memory(sy_error *err) {
  return sy_fail(err, SY_LIMIT, "weigh_next", NULL, "memory is out");
}

size_t sy_weigh_most(const sy_sensitivities *s) { return s->of->list->errors; }

typedef struct search {
  const sy_spread *p;
  known now, other; /* as known so far, and room to try */
  candidate *list;
  size_t count;
  double *first; /* answers: variances at the start, 0 of those that do not count */
  size_t counting;
} search;

/* The best step; NULL where none is left. */
static candidate *best_of(search *s) {
  candidate *best = NULL;
  for (size_t i = 0; i < s->count; i++) {
    candidate *c = &s->list[i];
    if (c->done) continue;
    if (!c->known) c->drop = sy_weigh_drop(s->p, &s->now, c, s->first) / (double)s->counting, c->known = true;
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
  sy_known_sum(p, k);
  for (size_t a = 0; a < p->answers; a++) {
    const double found = sqrt(k->total[a]);
    sd[a] = isnan(p->value[a]) ? (double)NAN : found <= sy_spread_rounding(p, a) ? 0.0 : found;
  }
}

static void begin(const sy_sensitivities *of, search *s, double scale, double tape) {
  const sy_spread *p = of->of;
  sy_known_start(of, &s->now);
  for (size_t a = 0; a < p->answers; a++) {
    const double sd = sy_sensitivities_sd(of, a);
    s->first[a] = sd > 0 && isfinite(sd) ? of->variance[a] : 0.0;
    s->counting += s->first[a] > 0;
  }
  s->count = sy_weigh_lines(p->list, scale, tape, s->list);
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
    sy_known_apply(s->p, c, &s->now);
  } else {
    memcpy(s->other.room, s->now.room, sy_known_room(s->p) * sizeof *s->now.room);
    sy_known_apply(s->p, c, &s->other);
    if (!sy_known_settle(s->p, &s->other)) return false;
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
  const bool fine = s.list != NULL && s.first != NULL && sy_known_new(p, &s.now) && sy_known_new(p, &s.other);
  sy_status status = fine ? SY_OK : no_memory(err);
  if (fine) begin(of, &s, scale, tape);
  if (fine && !sy_known_settle(p, &s.now))
    status = sy_fail(err, SY_GEOMETRY, "weigh_next", "records", "read nothing that errs");
  if (status == SY_OK) run(of, &s, most, step, after, count, left);
  sy_alloc_free(&p->alloc, s.list, errors * sizeof *s.list);
  sy_alloc_free(&p->alloc, s.first, (p->answers + 1) * sizeof *s.first);
  if (s.now.room != NULL) sy_alloc_free(&p->alloc, s.now.room, sy_known_room(p) * sizeof(double));
  if (s.other.room != NULL) sy_alloc_free(&p->alloc, s.other.room, sy_known_room(p) * sizeof(double));
  return status;
}
