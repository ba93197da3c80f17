/* montecarlo_compile.c - which lines are drawn in which way. */
#include <math.h>
#include <string.h>

#include "study/montecarlo_plan.h"

/* ---- plain lines --------------------------------------------------------------------------------------------------------------------- */

/* The vehicle's axis that it runs along, or -1. */
static int axis_of(sy_vec3 way) {
  for (int i = 0; i < 3; i++) {
    const double along = fabs(sy_vec3_along(way, i));
    if (along != 1.0) continue;
    return sy_vec3_along(way, (i + 1) % 3) == 0 && sy_vec3_along(way, (i + 2) % 3) == 0 ? i : -1;
  }
  return -1;
}

static bool has_plain_mass(const sy_stake *s) {
  for (int kind = 1; kind < 5; kind++)
    if (s->error[kind] != SY_NO_ERROR) return false;
  return s->effect[0] == 1.0 || s->error[0] == SY_NO_ERROR;
}

/* May it be drawn by the kernel for plain lines? It is the only stake of its line, in the one ledger whose sums are wanted as a whole. */
static bool is_lone(const sy_spread *p, size_t i) {
  const sy_error_list *list = p->list;
  const sy_stake *s = &list->stake[i];
  if (p->all_global || p->carriers != 0 || p->ledgers > 1) return false;
  if (i > 0 && list->stake[i - 1].line == s->line) return false;
  if (i + 1 < list->stakes && list->stake[i + 1].line == s->line) return false;
  return s->map == SY_NO_ERROR && s->bias == SY_NO_ERROR && s->gain == SY_NO_ERROR &&
         s->usual == SY_NO_ERROR && s->growth == SY_NO_ERROR && s->inertia == SY_NO_ERROR &&
         s->moved == s->mass && s->mass > 0 && has_plain_mass(s);
}

static bool is_pooled(const sy_spread *p, const lone_line *l) {
  for (int i = 0; i < 4; i++)
    if (l->source[i] != NONE && p->source[l->source[i]].kept && i > 0) return false;
  for (int i = 1; i < 4; i++)
    if (l->source[i] != NONE && p->source[l->source[i]].kind != SY_NORMAL) return false;
  return true;
}

/* Fills `out`; false where its places do not err along the vehicle's axes. */
static bool make_lone(const sy_spread *p, const sy_stake *s, lone_line *out) {
  memset(out, 0, sizeof *out);
  for (int i = 0; i < 4; i++) out->source[i] = NONE;
  if (s->error[0] != SY_NO_ERROR) {
    out->source[0] = (size_t)s->error[0];
    out->lone.mass_sd = s->count * p->source[out->source[0]].sd;
  }
  for (int k = 0; k < 3; k++) {
    if (s->place[k] == SY_NO_ERROR) continue;
    const int axis = axis_of(s->along[k]);
    if (axis < 0 || out->source[1 + axis] != NONE) return false;
    out->source[1 + axis] = (size_t)s->place[k];
    out->lone.sd[axis] = sy_vec3_along(s->along[k], axis) * p->source[s->place[k]].sd;
  }
  out->lone.mass = s->count * s->mass;
  for (int axis = 0; axis < 3; axis++) out->lone.at[axis] = sy_vec3_along(s->at, axis);
  const double per_kg = s->power / s->mass;
  const double own[6] = {s->own.xx, s->own.yy, s->own.zz, s->own.xy, s->own.xz, s->own.yz};
  for (int k = 0; k < 6; k++) out->lone.own[k] = per_kg * own[k];
  const unsigned free_axes = p->second == SY_NO_SECOND ? 7u : p->second == SY_YAW_SECOND ? 4u : 0u;
  bool any = false;
  for (int axis = 0; axis < 3; axis++) any = any || (free_axes >> axis & 1u && out->source[1 + axis] != NONE);
  out->pooled = any && is_pooled(p, out) ? free_axes : 0u;
  return true;
}

static bool errs(const lone_line *l) {
  for (int i = 0; i < 4; i++)
    if (l->source[i] != NONE) return true;
  return false;
}

/* ---- other lines
** ----------------------------------------------------------------------------------------------------------------------- */

static bool is_own(const sy_spread *p, int error) {
  if (error == SY_NO_ERROR || p->source[error].lane != SY_NO_ERROR) return false;
  const sy_error_kind kind = p->list->error[error].kind;
  return kind != SY_ERROR_USUAL && kind < SY_ERROR_BIAS;
}

static void add_own(sy_spread *p, any_line *line, int error) {
  if (!is_own(p, error)) return;
  for (size_t i = 0; i < line->sources; i++)
    if (p->own[line->from + i] == (size_t)error) return;
  p->own[line->from + line->sources++] = (size_t)error;
}

static bool is_moved(const sy_stake *s) {
  bool any = s->bias != SY_NO_ERROR || s->gain != SY_NO_ERROR || s->growth != SY_NO_ERROR ||
             s->usual != SY_NO_ERROR || s->inertia != SY_NO_ERROR;
  for (int k = 0; k < 5; k++) any = any || s->error[k] != SY_NO_ERROR;
  for (int k = 0; k < 3; k++) any = any || s->place[k] != SY_NO_ERROR;
  return any;
}

static void add_line(sy_spread *p, size_t first, size_t count) {
  any_line *line = &p->line[p->lines];
  *line = (any_line){first, count, p->owns, 0};
  bool any = false;
  for (size_t i = first; i < first + count; i++) {
    const sy_stake *s = &p->list->stake[i];
    if (s->term >= p->ledgers) continue; /* a record's own ledger */
    any = any || is_moved(s);
    for (int k = 0; k < 5; k++) add_own(p, line, s->error[k]);
    for (int k = 0; k < 3; k++) add_own(p, line, s->place[k]);
    for (int k = 0; k < 6 && s->inertia != SY_NO_ERROR; k++) add_own(p, line, s->inertia + k);
    add_own(p, line, s->growth);
  }
  if (!any) return;
  p->owns += line->sources;
  if (line->sources > p->most_own) p->most_own = line->sources;
  p->lines++;
}

/* Sources that are kept over the block: of no line alone, stated, and all where records condition them. */
static void set_lanes(sy_spread *p) {
  p->lanes = 0;
  for (size_t i = 0; i < p->sources; i++) {
    const sy_elementary *e = p->source[i].is.error;
    const bool of_line = e != NULL && e->line != 0;
    if (p->all_global || !of_line || p->source[i].kept) p->source[i].lane = (int)p->lanes++;
  }
}

bool sy_spread_compile(sy_spread *p) {
  const sy_error_list *list = p->list;
  p->lones = p->lines = p->owns = p->most_own = 0, p->pooled = 0;
  p->all_global = list->figures > 0;
  set_lanes(p);
  p->lone = sy_alloc_new(&p->alloc, (list->stakes + 2) * sizeof *p->lone);
  p->line = sy_alloc_new(&p->alloc, (list->stakes + 1) * sizeof *p->line);
  p->own = sy_alloc_new(&p->alloc, (list->errors + 1) * sizeof *p->own);
  if (p->lone == NULL || p->line == NULL || p->own == NULL) return false;
  for (size_t i = 0; i < list->stakes;) {
    size_t end = i + 1;
    while (end < list->stakes && list->stake[end].line == list->stake[i].line) end++;
    lone_line *l = &p->lone[p->lones];
    if (is_lone(p, i) && make_lone(p, &list->stake[i], l)) {
      p->pooled |= errs(l) ? l->pooled : 0u;
      if (errs(l)) p->lones++;
    } else {
      add_line(p, i, end - i);
    }
    i = end;
  }
  return true;
}
