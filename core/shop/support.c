#include "shop/support.h"

#include <math.h>

static double cross(sy_plan o, sy_plan a, sy_plan b) {
  return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

/* Stands whose triangle is flatter than this part of its longest side squared stand on one line: a micrometre on a metre. */
#define FLAT 1e-6

static bool before(sy_plan a, sy_plan b) { return a.x < b.x || (a.x == b.x && a.y < b.y); }

/* One chain of the hull over `order[0..n)`; appends to hull[*count...]. */
static void chain(const sy_plan *at, const int *order, int n, int *hull, int *count) {
  const int first = *count;
  for (int i = 0; i < n; i++) {
    while (*count - first >= 2 && cross(at[hull[*count - 2]], at[hull[*count - 1]], at[order[i]]) <= 0)
      (*count)--;
    hull[(*count)++] = order[i];
  }
  (*count)--; /* the last point begins the other chain */
}

static void find_hull(sy_support *s) {
  int order[SY_MAX_STANDS] = {0}, hull[2 * SY_MAX_STANDS] = {0}, count = 0;
  for (int i = 0; i < s->count; i++) {
    int k = i;
    for (; k > 0 && before(s->at[i], s->at[order[k - 1]]); k--) order[k] = order[k - 1];
    order[k] = i;
  }
  chain(s->at, order, s->count, hull, &count);
  for (int i = 0; i < s->count / 2; i++) {
    const int swap = order[i];
    order[i] = order[s->count - 1 - i], order[s->count - 1 - i] = swap;
  }
  chain(s->at, order, s->count, hull, &count);
  s->hull_count = count;
  for (int i = 0; i < count; i++) s->hull[i] = hull[i];
}

static const char *const stand_name[SY_MAX_STANDS] = {
    "stand 1", "stand 2",  "stand 3",  "stand 4",  "stand 5",  "stand 6",  "stand 7",  "stand 8",
    "stand 9", "stand 10", "stand 11", "stand 12", "stand 13", "stand 14", "stand 15", "stand 16"};

sy_status sy_support_make(const sy_plan *at, int count, sy_support *out, sy_error *err) {
  if (count < 3 || count > SY_MAX_STANDS)
    return sy_fail(err, SY_RANGE, NULL, "at", "are %d, 3 to %d stands are possible", count, SY_MAX_STANDS);
  sy_support s = {.count = count};
  double longest = 0, widest = 0;
  for (int i = 0; i < count; i++) {
    if (!(isfinite(at[i].x) && isfinite(at[i].y)))
      return sy_fail(err, SY_RANGE, stand_name[i], "at", "is not finite");
    s.at[i] = at[i];
    for (int k = 0; k < i; k++) {
      longest = fmax(longest, hypot(at[i].x - at[k].x, at[i].y - at[k].y));
      for (int l = 0; l < k; l++) widest = fmax(widest, fabs(cross(at[i], at[k], at[l])));
    }
  }
  if (!(widest > FLAT * longest * longest))
    return sy_fail(err, SY_GEOMETRY, NULL, "at", "lie on one line: the car would fall to either side");
  find_hull(&s);
  *out = s;
  return SY_OK;
}

/* The edge from hull corner i: its ends and outward unit vector. */
static sy_plan outward_of(const sy_support *s, int i, int *from, int *to) {
  *from = s->hull[i], *to = s->hull[(i + 1) % s->hull_count];
  const sy_plan a = s->at[*from], b = s->at[*to];
  const double length = hypot(b.x - a.x, b.y - a.y);
  return (sy_plan){(b.y - a.y) / length, -(b.x - a.x) / length};
}

/* How far p lies inside an edge. */
static double inside(sy_plan corner, sy_plan outward, sy_plan p) {
  return (corner.x - p.x) * outward.x + (corner.y - p.y) * outward.y;
}

/* Loads of stands that give alike, a + b x + c y about their middle, with sums 1, cg.x, cg.y. Only those in `use`. Returns false
** when they stand on one line. */
static bool least_squares(const sy_support *s, const bool *use, sy_plan cg, double *load) {
  double n = 0, mx = 0, my = 0;
  for (int i = 0; i < s->count; i++)
    if (use[i]) n += 1, mx += s->at[i].x, my += s->at[i].y;
  mx /= n, my /= n;
  double xx = 0, xy = 0, yy = 0;
  for (int i = 0; i < s->count; i++)
    if (use[i]) {
      const double x = s->at[i].x - mx, y = s->at[i].y - my;
      xx += x * x, xy += x * y, yy += y * y;
    }
  const double d = xx * yy - xy * xy;
  if (!(d > FLAT * FLAT * xx * xx) || !(d > FLAT * FLAT * yy * yy)) return false;
  const double dx = cg.x - mx, dy = cg.y - my;
  const double b = (yy * dx - xy * dy) / d, c = (xx * dy - xy * dx) / d;
  for (int i = 0; i < s->count; i++)
    load[i] = use[i] ? 1 / n + b * (s->at[i].x - mx) + c * (s->at[i].y - my) : 0;
  return true;
}

/* A stand cannot pull: the one that would pull the most is left out, and the others share anew. */
static void share(const sy_support *s, sy_plan cg, sy_support_loads *out) {
  bool use[SY_MAX_STANDS];
  for (int i = 0; i < s->count; i++) use[i] = true;
  for (int left = s->count; left >= 3; left--) {
    double load[SY_MAX_STANDS];
    if (!least_squares(s, use, cg, load)) return;
    int worst = 0;
    for (int i = 1; i < s->count; i++)
      if (load[i] < load[worst]) worst = i;
    if (load[worst] >= 0) {
      out->even = left > 3;
      for (int i = 0; i < s->count; i++) out->load[i] = load[i];
      return;
    }
    use[worst] = false;
  }
}

sy_support_loads sy_support_load(const sy_support *support, sy_plan cg) {
  sy_support_loads held = {.margin = (double)INFINITY};
  for (int i = 0; i < support->hull_count; i++) {
    int from, to;
    const sy_plan outward = outward_of(support, i, &from, &to), a = support->at[from], b = support->at[to];
    const double margin = inside(a, outward, cg);
    if (!(margin < held.margin)) continue;
    const double along = (cg.x - a.x) * (b.x - a.x) + (cg.y - a.y) * (b.y - a.y);
    const double length2 = (b.x - a.x) * (b.x - a.x) + (b.y - a.y) * (b.y - a.y);
    held.margin = margin, held.from = from, held.to = to, held.outward = outward;
    held.share = fmin(fmax(along / length2, 0), 1);
  }
  if (held.margin >= 0) share(support, cg, &held);
  return held;
}

double sy_support_to_tip(const sy_support *support, sy_plan cg, sy_plan at) {
  double least = (double)INFINITY;
  for (int i = 0; i < support->hull_count; i++) {
    int from, to;
    const sy_plan outward = outward_of(support, i, &from, &to), a = support->at[from];
    const double held = inside(a, outward, cg), beyond = -inside(a, outward, at);
    if (held <= 0) return 0;
    if (beyond > 0) least = fmin(least, held / beyond);
  }
  return least;
}
