#include <float.h>
#include <math.h>

#include "statics/transfer.h"

sy_vec3 sy_transfer_gravity(const sy_transfer_path *path, double s) {
  const sy_vec3 sum = sy_vec3_muladd(path->fixed, s, path->along);
  return path->table ? sy_vec3_scale(1.0 / sqrt(1.0 + s * s), sum) : sum;
}

/* ---- looking ------------------------------------------------------------------------------------------------------------- */

typedef enum stand { STANDS, LIFTS, TIPS } stand;

typedef struct search {
  sy_transfer_stand *stand;
  void *user;
  int wheel_count;
  const sy_transfer_path *path;
} search;

/* A look that stood. */
typedef struct place {
  double s, down; /* down: gravity's part into the ground there */
  sy_corner_result r;
} place;

/* Only SY_GEOMETRY is tipping; any other failure is one of the search. `at` is written when it does not tip. */
static sy_status look(const search *q, double s, stand *out, place *at, sy_error *err) {
  const sy_vec3 gravity = sy_transfer_gravity(q->path, s);
  const sy_status status = q->stand(q->user, gravity, &at->r, err);
  if (status == SY_GEOMETRY) return *out = TIPS, SY_OK;
  if (status != SY_OK) return status;
  at->s = s, at->down = -gravity.z;
  *out = STANDS;
  for (int i = 0; i < q->wheel_count; i++)
    if (!at->r.fits[i].touches) *out = LIFTS;
  return SY_OK;
}

/* The lifted wheel, or when it tips at once the one with the least load just before. */
static int off(const search *q, const sy_corner_result *before, const sy_corner_result *after) {
  int least = 0;
  for (int i = 0; i < q->wheel_count; i++) {
    if (after != NULL && !after->fits[i].touches) return i;
    if (before->load[i] < before->load[least]) least = i;
  }
  return least;
}

/* Between changes of contact a load goes with s along a line that is all but straight; on a table, which turns gravity, by what of it goes into
** the ground. */
static double load_at(const place *p, int wheel) { return p->r.load[wheel] / p->down; }

static double least_load(const search *q, const place *p) {
  double least = (double)INFINITY;
  for (int i = 0; i < q->wheel_count; i++)
    if (p->r.fits[i].touches) least = fmin(least, load_at(p, i));
  return least;
}

static bool same_contact(const search *q, const place *a, const place *b) {
  for (int i = 0; i < q->wheel_count; i++)
    if (a->r.fits[i].touches != b->r.fits[i].touches || a->r.fits[i].stop != b->r.fits[i].stop) return false;
  return true;
}

/* ---- an edge ------------------------------------------------------------------------------------------------------------- */

typedef struct found_edge {
  double s;
  place below, above; /* `above` is of no use when it tips there */
  bool tips;
} found_edge;

/* The edge lies on [low, high]. */
typedef struct bracket {
  double low, high;
  double s, load; /* where it stood before the last look that did, and the least load there */
  bool two;       /* there was one, on the same contacts */
  double guess;   /* where a straight line through both loads comes to nothing */
  double wide;    /* how much further off than its own change the guess is looked past and short of */
  bool past;      /* the look was past the guess */
} bracket;

/* Standing is blurred by some 1e-13 of s, as far as rounds are taken: below this an edge is not looked for. */
static const double blur = 1e-12;

/* Where to look next. Near a lift the load falls along a line that is all but straight: a look just short of where it comes to nothing makes the
** next guess so much better; once the guess is as good as it need be, one past it closes the bracket. Each look that did not come out as
** wanted makes the next ones wider, down to halves where the load does not come to nothing at the edge. */
static double next_look(const search *q, const found_edge *e, bracket *b) {
  const double middle = 0.5 * (b->low + b->high), load = least_load(q, &e->below), fall = b->load - load;
  b->past = false;
  if (!b->two || !(fall > 0.0)) return middle;
  const double guess = b->low + load * (b->low - b->s) / fall;
  const double least = 0.25 * blur * guess, near = b->wide * fmax(0.1 * fabs(guess - b->guess), least);
  b->guess = guess;
  b->past = guess - b->low <= 2.0 * near && near <= 8.0 * b->wide * least;
  const double at = b->past ? guess + near : guess - near;
  return at > b->low && at < b->high ? at : middle;
}

/* Where on [low, high] the state becomes at least `limit`; at `low` it is below it, as e->below stood there or a little before. `before` that: a
** look on the same contacts, or NULL. */
static sy_status edge(const search *q, double low, double high, stand limit, const place *before,
                      found_edge *e, sy_error *err) {
  bracket b = {.low = low, .high = high, .guess = low, .wide = 1};
  if (before != NULL) b.s = before->s, b.load = least_load(q, before), b.two = true;
  for (int n = 0; n < 96 && b.high - b.low > blur * b.high; n++) {
    double at = next_look(q, e, &b);
    place there;
    stand now;
    sy_status status = look(q, at, &now, &there, err);
    if (status ==
        SY_LIMIT) { /* within rounding of a lift some cars settle on neither side; half-way is further off */
      at = 0.5 * (b.low + b.high);
      b.wide *= 8.0;
      status = look(q, at, &now, &there, err);
    }
    if (status != SY_OK) return status;
    const bool stands = now < limit;
    if (b.two && stands == b.past) b.wide *= 8.0;
    if (stands) {
      b.two = same_contact(q, &e->below, &there);
      b.s = e->below.s, b.load = least_load(q, &e->below);
      b.low = at;
      e->below = there;
    } else {
      b.high = at;
      e->tips = now == TIPS;
      if (now != TIPS) e->above = there;
    }
  }
  e->s = 0.5 * (b.low + b.high);
  return SY_OK;
}

/* What lies between `before`, which stood, and `after`, at `next`, which stands or not as `then`. `earlier`: a look on the contacts of `before`, or
** NULL. `lifted` is written where the wheel is found that does. */
static sy_status narrow(const search *q, const place *earlier, const place *before, double next,
                        const place *after, stand then, sy_transfer_limit *limit, place *lifted,
                        sy_error *err) {
  found_edge e = {0, *before, *after, then == TIPS};
  if (then != STANDS && !limit->lifts) {
    const sy_status status = edge(q, before->s, next, LIFTS, earlier, &e, err);
    if (status != SY_OK) return status;
    limit->lift = e.s;
    limit->wheel = off(q, &e.below.r, e.tips ? NULL : &e.above.r);
    limit->lifts = true;
    earlier = NULL;
    if (e.tips && then == TIPS) { /* with its first wheel off it is over already */
      limit->tip = e.s;
      limit->tips = true;
      return SY_OK;
    }
    if (!e.tips) *lifted = e.below = e.above;
  }
  if (then == TIPS) {
    e.tips = true;
    const sy_status status = edge(q, e.below.s, next, TIPS, earlier, &e, err);
    if (status != SY_OK) return status;
    limit->tip = e.s;
    limit->tips = true;
  }
  return SY_OK;
}

/* ---- the search ---------------------------------------------------------------------------------------------------------- */

enum { GRID = 103 };

/* By 0.05 up to 2 g or 63 degrees, beyond coarser, to 40. */
static int lay_grid(double grid[GRID]) {
  int n = 0;
  for (grid[0] = 0.0; grid[n] < 40.0 && n + 1 < GRID; n++)
    grid[n + 1] = n < 40 ? (n + 1) * 0.05 : grid[n] * 1.05;
  return n;
}

/* How many steps of the grid lie before the first load comes to nothing, by a straight line through two looks on the same contacts: at least one. */
static int steps_ahead(const search *q, const place *earlier, const place *now, const double *grid, int n,
                       int last) {
  double nearest = (double)INFINITY;
  for (int i = 0; i < q->wheel_count; i++) {
    const double load = load_at(now, i), fall = load_at(earlier, i) - load;
    if (now->r.fits[i].touches && fall > 0.0)
      nearest = fmin(nearest, now->s + load * (now->s - earlier->s) / fall);
  }
  int ahead = n;
  while (ahead < last && grid[ahead + 1] < nearest) ahead++;
  return ahead > n ? ahead - n : 1;
}

/* Did loads go along the line from `earlier` to `now` as far as `there`, on the same contacts? Then nothing lifted on the way. What bends is seen by the
** hundredths of the weight that it makes. */
static bool goes_on(const search *q, const place *earlier, const place *now, const place *there) {
  if (!same_contact(q, now, there)) return false;
  const double by = (there->s - now->s) / (now->s - earlier->s);
  double sum = 0.0, off_line = 0.0;
  for (int i = 0; i < q->wheel_count; i++) {
    const double line = load_at(now, i) + by * (load_at(now, i) - load_at(earlier, i));
    sum += load_at(now, i);
    off_line = fmax(off_line, fabs(load_at(there, i) - line));
  }
  return off_line <= 0.05 * sum;
}

/* Step by step along the grid, as a search that knows nothing would go; but steps between which nothing can have happened are left out: as many as
** the loads allow, and half as many while those were too many. */
sy_status sy_transfer_limits_of(sy_transfer_stand *solve, void *user, int wheel_count,
                                const sy_transfer_path *path, sy_transfer_limit *out, sy_error *err) {
  const search asked = {solve, user, wheel_count, path}, *q = &asked;
  place earlier, before, after, lifted = {.s = -1.0};
  sy_transfer_limit limit = {0, 0, 0, false, false};
  double grid[GRID];
  const int last = lay_grid(grid);
  const sy_vec3 rest = sy_transfer_gravity(path, 0.0);
  sy_status status = solve(user, rest, &before.r, err);
  if (status != SY_OK) return status;
  before.s = 0.0, before.down = -rest.z;
  stand now = STANDS, then;
  for (int i = 0; i < wheel_count; i++)
    if (!before.r.fits[i].touches) now = LIFTS;
  if (now == LIFTS) limit.lifts = true, limit.wheel = off(q, &before.r, &before.r);
  bool two = false; /* `earlier` stood on the contacts of `before` */
  int most = last;
  for (int n = 0; n < last && now != TIPS;) {
    int steps = two ? steps_ahead(q, &earlier, &before, grid, n, last) : 1;
    if (steps > most) steps = most;
    after = before; /* stays so when it tips */
    status = look(q, grid[n + steps], &then, &after, err);
    const bool fine = status == SY_OK && then == now && two && goes_on(q, &earlier, &before, &after);
    if (steps > 1 && !fine) {
      most = steps / 2;
      continue;
    }
    if (status == SY_OK)
      status = narrow(q, two ? &earlier : NULL, &before, grid[n + 1], &after, then, &limit, &lifted, err);
    if (status != SY_OK) return status;
    earlier = lifted.s > before.s ? lifted : before;
    before = after;
    two = then != TIPS && same_contact(q, &earlier, &before);
    if (!fine) most = last; /* whatever was in the way lies behind */
    now = then;
    n += steps;
  }
  *out = limit;
  return SY_OK;
}

static sy_status stand_on_model(void *user, sy_vec3 gravity, sy_corner_result *out, sy_error *err) {
  const sy_transfer_model *const *const t = user;
  return sy_transfer_solve(*t, gravity, out, err);
}

sy_status sy_transfer_limits(const sy_transfer_model *t, const sy_transfer_path *path, sy_transfer_limit *out,
                             sy_error *err) {
  return sy_transfer_limits_of(stand_on_model, &t, t->corner.wheel_count, path, out, err);
}
