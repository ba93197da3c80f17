/* weigh_lines.c - what can be weighed or measured. */
#include "study/weigh_parts.h"

/* Has a stake of the line before this one an error of that kind for the same piece? Then this states what holds in another ledger, or it
** is the same error. */
static bool is_stated_before(const sy_error_list *list, size_t stake, int kind) {
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
  if (!is_own(list, s->error[kind]) || is_stated_before(list, stake, kind)) return 0;
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

size_t sy_weigh_lines(const sy_error_list *list, double scale, double tape, candidate *out) {
  size_t count = 0;
  for (size_t i = 0; i < list->stakes; i++) {
    count += add_mass(list, i, SY_ERROR_MASS, scale, &out[count]);
    count += add_mass(list, i, SY_ERROR_DRY_MASS, scale, &out[count]);
    count += add_mass(list, i, SY_ERROR_SHARE, scale, &out[count]);
    count += add_place(list, i, tape, &out[count]);
  }
  return count;
}
