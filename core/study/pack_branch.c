#include "study/pack_parts.h"

#include <math.h>
#include <string.h>

/* ---- one combination ----------------------------------------------------------------------------------------------------------------- */

static double sum_of(const pack_search *s, const unsigned *steps) {
  double sum = 0.0;
  for (int k = 0; k < s->pack->slots; k++) sum += pack_mass(s, k, steps[k]);
  return sum;
}

/* Works a combination out and keeps it when it is better. */
static void try_steps(pack_search *s, const unsigned *steps) {
  const double mass = sum_of(s, steps);
  double value[SY_PACK_ROWS] = {0}, squares = 0.0, score = mass;
  bool wanted[SY_PACK_ROWS] = {false};
  if (s->goal == PACK_LESS) score = pack_mass(s, s->slot, steps[s->slot]);
  if (s->goal == PACK_MORE) score = -pack_mass(s, s->slot, steps[s->slot]);
  if (mass > s->mass + 1e-9 || (s->goal != PACK_MISS && !pack_better(s, score))) return;
  for (int r = 0; r < s->pack->rows; r++) wanted[r] = s->counts[r] || (s->hold[r] && s->can_fail[r]);
  if (!pack_values_at(s, steps, wanted, value)) return;
  for (int r = 0; r < s->pack->rows; r++) {
    if (wanted[r] && s->hold[r] && !pack_holds(&s->pack->row[r], value[r])) return;
    if (!s->counts[r]) continue;
    const double off = pack_off(&s->pack->row[r], value[r]);
    squares += off * off;
  }
  if (squares > s->most_miss) return;
  if (s->goal == PACK_MISS) score = squares;
  if (!isfinite(score) || !pack_better(s, score)) return;
  s->any = true;
  s->score = score;
  memcpy(s->best, steps, sizeof s->best);
}

/* ---- boxes ----------------------------------------------------------------------------------------------------------------------------- */

/* So few combinations are worked out one by one: a bound would take as many. */
enum { FEW = 9, LEVELS = 64 };

static bool is_few(const pack_search *s, const pack_box *box) {
  double count = 1.0;
  for (int k = 0; k < s->pack->slots; k++) count *= box->last[k] - box->first[k] + 1.0;
  return count <= FEW;
}

static void try_all(pack_search *s, const pack_box *box) {
  unsigned at[SY_PACK_SLOTS] = {0};
  memcpy(at, box->first, sizeof at);
  for (;;) {
    try_steps(s, at);
    int k = s->pack->slots - 1;
    while (k >= 0 && at[k] == box->last[k]) at[k] = box->first[k], k--;
    if (k < 0) return;
    at[k]++;
  }
}

static double width_of(const pack_search *s, const pack_box *box, int k) {
  return (box->last[k] - box->first[k]) * s->step[k];
}

static unsigned clamp_step(const pack_box *box, int k, double steps) {
  return steps <= box->first[k] ? box->first[k] : steps >= box->last[k] ? box->last[k] : (unsigned)steps;
}

/* Where the line of a row leaves more of it, in units, a box stays open for what is bent and not for its steps: that shrinks with the widest
** side alone. */
#define BENT 0.25

/* The slot to part a box at, and the last step of its lower half: where x lies between two steps, else the widest in its middle. */
static int part_at(const pack_search *s, const pack_box *box, const double *x, double left, unsigned *last) {
  int best = -1, widest = 0;
  double most = 1e-6;
  for (int k = 0; k < s->pack->slots; k++) {
    const double at = x[k] / s->step[k], off = fabs(at - round(at));
    if (width_of(s, box, k) > width_of(s, box, widest)) widest = k;
    if (left < BENT && box->last[k] > box->first[k] && off > most) most = off, best = k;
  }
  const int k = best >= 0 ? best : widest;
  const unsigned middle = box->first[k] + (box->last[k] - box->first[k]) / 2;
  *last = best >= 0 ? clamp_step(box, k, floor(x[k] / s->step[k])) : middle;
  if (*last == box->last[k]) --*last;
  return k;
}

typedef struct list {
  pack_box *box;
  size_t count, room;
} list;

static bool push(const pack_search *s, list *l, const pack_box *box) {
  if (l->count == l->room) {
    const size_t room = l->room == 0 ? LEVELS : 2 * l->room;
    pack_box *more =
        s->alloc->resize(s->alloc->user, l->box, l->room * sizeof *l->box, room * sizeof *l->box);
    if (more == NULL) return false;
    l->box = more, l->room = room;
  }
  l->box[l->count++] = *box;
  return true;
}

/* What a line leaves in a box it leaves no more of in half of it: many a half is known to hold nothing without a row being worked out there. */
static bool push_half(pack_search *s, const pack_box *half, const pack_line *line, list *l) {
  double x[SY_PACK_SLOTS], left;
  return !pack_bound(s, half, line, x, &left) || push(s, l, half);
}

/* Bounds a box and puts what is left of it on the list, the half where x lies last: that one is looked at first. */
static bool look(pack_search *s, const pack_box *box, list *l) {
  double x[SY_PACK_SLOTS], left;
  unsigned near[SY_PACK_SLOTS] = {0}, last;
  pack_line line[SY_PACK_ROWS];
  s->boxes++;
  if (is_few(s, box)) {
    try_all(s, box);
    return true;
  }
  pack_measure(s, box, line);
  if (!pack_bound(s, box, line, x, &left)) return true;
  for (int k = 0; k < s->pack->slots; k++) near[k] = clamp_step(box, k, round(x[k] / s->step[k]));
  try_steps(s, near);
  const int k = part_at(s, box, x, left, &last);
  pack_box half[2] = {*box, *box};
  half[0].last[k] = last;
  half[1].first[k] = last + 1;
  const int first = near[k] <= last ? 0 : 1;
  return push_half(s, &half[1 - first], line, l) && push_half(s, &half[first], line, l);
}

uint64_t pack_work(const pack_search *s) { return s->boxes + s->tried / PACK_TRIED_A_BOX; }

sy_status pack_branch(pack_search *s, sy_error *err) {
  list l = {0};
  bool room = push(s, &l, &s->whole);
  while (room && l.count > 0 && pack_work(s) < s->most_work) {
    const pack_box box = l.box[--l.count];
    room = look(s, &box, &l);
    if (s->pack->watch != NULL) s->pack->watch(s->pack->watcher);
  }
  const bool done = l.count == 0;
  sy_alloc_free(s->alloc, l.box, l.room * sizeof *l.box);
  if (!room) return sy_fail(err, SY_LIMIT, "slots", NULL, "no memory for the search");
  if (!done)
    return sy_fail(err, SY_LIMIT, "slots", "step",
                   "too many combinations of steps stay open: take larger steps or fewer slots");
  return SY_OK;
}
