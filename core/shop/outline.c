#include "shop/outline.h"

#include <math.h>
#include <stdlib.h>

#include "base/units.h"

/* A point this near the line between its neighbours is left out: a nanometre, which is what rounding leaves of a straight edge. */
#define STRAIGHT 1e-9

/* One loop runs from start[i] up to start[i + 1]. */
struct sy_outline {
  sy_alloc alloc;
  sy_plan *point;
  size_t *start;
  size_t loops, point_room, start_room;
};

static sy_status no_memory(sy_error *err) { return sy_fail(err, SY_LIMIT, "outline", "", "memory is out"); }

sy_plan sy_view_point(sy_view view, sy_vec3 p) {
  return view == SY_VIEW_SIDE   ? (sy_plan){p.x, p.z}
         : view == SY_VIEW_PLAN ? (sy_plan){p.x, p.y}
                                : (sy_plan){p.y, p.z};
}

/* The direction of a view's plane as one of space. */
static sy_vec3 in_space(sy_view view, double a, double b) {
  return view == SY_VIEW_SIDE   ? (sy_vec3){a, 0, b}
         : view == SY_VIEW_PLAN ? (sy_vec3){a, b, 0}
                                : (sy_vec3){0, a, b};
}

/* What of a vector points at the viewer, or away from him: which of both makes no difference here. */
static double towards(sy_view view, sy_vec3 n) {
  return view == SY_VIEW_SIDE ? -n.y : view == SY_VIEW_PLAN ? n.z : n.x;
}

static sy_outline *outline_new(const sy_alloc *alloc, size_t points, size_t loops) {
  const sy_alloc own = sy_alloc_or_default(alloc);
  sy_outline *o = sy_alloc_new(&own, sizeof *o);
  if (o == NULL) return NULL;
  *o = (sy_outline){.alloc = own};
  o->point = sy_alloc_new(&own, points * sizeof *o->point);
  o->start = sy_alloc_new(&own, (loops + 1) * sizeof *o->start);
  if (o->point != NULL) o->point_room = points;
  if (o->start != NULL) o->start_room = loops + 1;
  if (o->point != NULL && o->start != NULL) {
    o->start[0] = 0;
    return o;
  }
  sy_outline_free(o);
  return NULL;
}

void sy_outline_free(sy_outline *outline) {
  if (outline == NULL) return;
  const sy_alloc own = outline->alloc;
  sy_alloc_free(&own, outline->point, outline->point_room * sizeof *outline->point);
  sy_alloc_free(&own, outline->start, outline->start_room * sizeof *outline->start);
  sy_alloc_free(&own, outline, sizeof *outline);
}

size_t sy_outline_loops(const sy_outline *outline) { return outline->loops; }

size_t sy_outline_points(const sy_outline *outline, size_t i) {
  return outline->start[i + 1] - outline->start[i];
}

sy_plan sy_outline_point(const sy_outline *outline, size_t i, size_t k) {
  return outline->point[outline->start[i] + k];
}

/* ---- convex bodies: the hull of some points ------------------------------------------------------------------------- */

static int by_place(const void *p, const void *q) {
  const sy_plan *a = p, *b = q;
  if (a->x != b->x) return a->x < b->x ? -1 : 1;
  return a->y < b->y ? -1 : a->y > b->y;
}

/* Does the way from a over b to c turn left by more than rounding? */
static bool turns_left(sy_plan a, sy_plan b, sy_plan c) {
  const double cross = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
  return cross > STRAIGHT * hypot(c.x - a.x, c.y - a.y);
}

static void chain(const sy_plan *at, size_t n, bool forward, sy_plan *hull, size_t *count) {
  const size_t first = *count;
  for (size_t i = 0; i < n; i++) {
    const sy_plan p = at[forward ? i : n - 1 - i];
    while (*count - first >= 2 && !turns_left(hull[*count - 2], hull[*count - 1], p)) (*count)--;
    hull[(*count)++] = p;
  }
  (*count)--; /* the last point begins the other chain */
}

/* The hull of `n` points, n >= 1, which are sorted on the way; `hull` has room for n + 1. */
static size_t hull_of(sy_plan *at, size_t n, sy_plan *hull) {
  size_t kept = 1, count = 0;
  qsort(at, n, sizeof *at, by_place);
  for (size_t i = 1; i < n; i++)
    if (hypot(at[i].x - at[kept - 1].x, at[i].y - at[kept - 1].y) > STRAIGHT) at[kept++] = at[i];
  if (kept == 1) {
    hull[0] = at[0];
    return 1;
  }
  chain(at, kept, true, hull, &count);
  chain(at, kept, false, hull, &count);
  return count;
}

enum { CONVEX_MOST = SY_OUTLINE_WAYS + 2 * SY_ENVELOPE_POINTS_MOST };

/* Corners where it has corners and nothing round, else what lies farthest each way. */
static sy_status convex_points(const sy_envelope *e, sy_view view, sy_plan at[CONVEX_MOST], size_t *count,
                               sy_error *err) {
  sy_vec3 p;
  sy_error cause;
  *count = 0;
  /* reach checks the body, also where its answer is not used */
  const bool corners = e->kind == SY_ENVELOPE_POINTS && e->rounding == 0;
  for (int i = 0; i < (corners ? 1 : SY_OUTLINE_WAYS); i++) {
    const double angle = SY_PI * 2 * i / SY_OUTLINE_WAYS;
    if (sy_envelope_reach(e, in_space(view, cos(angle), sin(angle)), &p, &cause) != SY_OK)
      return sy_fail(err, cause.status, "body", cause.field, "%s", cause.message);
    at[(*count)++] = sy_view_point(view, p);
  }
  if (!corners) return SY_OK;
  *count = 0;
  for (int i = 0; i < e->count; i++) {
    p = sy_frame_apply(&e->place, e->point[i]);
    at[(*count)++] = sy_view_point(view, p);
    at[(*count)++] = sy_view_point(view, sy_vec3_add(p, e->sweep));
  }
  return SY_OK;
}

static sy_status convex_outline(const sy_envelope *e, sy_view view, const sy_alloc *alloc, sy_outline **out,
                                sy_error *err) {
  sy_plan at[CONVEX_MOST], hull[CONVEX_MOST + 1];
  size_t count;
  const sy_status status = convex_points(e, view, at, &count, err);
  if (status != SY_OK) return status;
  const size_t found = hull_of(at, count, hull);
  sy_outline *o = outline_new(alloc, found, 1);
  if (o == NULL) return no_memory(err);
  for (size_t i = 0; i < found; i++) o->point[i] = hull[i];
  o->start[1] = found;
  o->loops = 1;
  *out = o;
  return SY_OK;
}

/* ---- meshes: where the surface turns away ----------------------------------------------------------------------------- */

/* An edge of a triangle that looks at the viewer, along that triangle's own way round. */
typedef struct edge {
  sy_vec3 from, to; /* in the mesh's own frame, where corners at one place are equal to the bit */
  bool used;
} edge;

static int compare_places(sy_vec3 a, sy_vec3 b) {
  if (a.x != b.x) return a.x < b.x ? -1 : 1;
  if (a.y != b.y) return a.y < b.y ? -1 : 1;
  return a.z < b.z ? -1 : a.z > b.z;
}

static int by_ends(const void *p, const void *q) {
  const edge *a = p, *b = q;
  const int from = compare_places(a->from, b->from);
  return from != 0 ? from : compare_places(a->to, b->to);
}

/* The first edge at or behind `key` in the sorted list. */
static size_t first_at(const edge *list, size_t count, const edge *key,
                       int (*compare)(const void *, const void *)) {
  size_t low = 0, high = count;
  while (low < high) {
    const size_t middle = low + (high - low) / 2;
    if (compare(&list[middle], key) < 0)
      low = middle + 1;
    else
      high = middle;
  }
  return low;
}

static int by_from(const void *p, const void *q) {
  return compare_places(((const edge *)p)->from, ((const edge *)q)->from);
}

/* An unused edge at or behind `i` with the same ends, by `compare`; count where there is none. */
static size_t unused_like(const edge *list, size_t count, const edge *key,
                          int (*compare)(const void *, const void *)) {
  size_t i = first_at(list, count, key, compare);
  while (i < count && list[i].used && compare(&list[i], key) == 0) i++;
  return i < count && compare(&list[i], key) == 0 ? i : count;
}

/* The edges of the outline; how many. */
static size_t edges_towards(const sy_envelope *e, sy_view view, edge *list) {
  const size_t triangles = sy_mesh_describe(e->mesh)->triangles;
  size_t count = 0;
  for (size_t i = 0; i < triangles; i++) {
    sy_vec3 c[3];
    sy_mesh_triangle(e->mesh, i, c);
    const sy_vec3 n = sy_vec3_cross(sy_vec3_sub(c[1], c[0]), sy_vec3_sub(c[2], c[0]));
    if (!(towards(view, sy_mat3_apply(e->place.turn, n)) > 0)) continue;
    for (int k = 0; k < 3; k++) list[count++] = (edge){c[k], c[(k + 1) % 3], false};
  }
  qsort(list, count, sizeof *list, by_ends);
  /* an edge between two triangles that both look at the viewer is none of the outline */
  for (size_t i = 0; i < count; i++) {
    if (list[i].used) continue;
    const edge reverse = {list[i].to, list[i].from, false};
    const size_t back = unused_like(list, count, &reverse, by_ends);
    if (back < count) list[i].used = list[back].used = true;
  }
  size_t left = 0;
  for (size_t i = 0; i < count; i++)
    if (!list[i].used) list[left++] = list[i];
  return left;
}

/* Follows edges from each that is left until the way closes: in as many of them as out of every corner, so it does. */
static void follow(const sy_envelope *e, sy_view view, edge *list, size_t count, sy_outline *o) {
  size_t points = 0;
  for (size_t i = 0; i < count; i++) {
    if (list[i].used) continue;
    const size_t first = points;
    for (size_t k = i; k < count;) {
      const edge next = {list[k].to, list[k].to, false};
      list[k].used = true;
      o->point[points++] = sy_view_point(view, sy_frame_apply(&e->place, list[k].from));
      k = unused_like(list, count, &next, by_from);
    }
    if (points - first >= 3)
      o->start[++o->loops] = points;
    else
      points = first;
  }
}

static sy_status mesh_outline(const sy_envelope *e, sy_view view, const sy_alloc *alloc, sy_outline **out,
                              sy_error *err) {
  sy_vec3 p;
  sy_error cause;
  if (sy_envelope_reach(e, (sy_vec3){0, 0, 1}, &p, &cause) != SY_OK)
    return sy_fail(err, cause.status, "body", cause.field, "%s", cause.message);
  if (e->rounding > 0 || sy_vec3_length(e->sweep) > 0)
    return sy_fail(err, SY_CLASH, "body", "mesh", "is rounded or swept, which is not outlined");
  const sy_alloc own = sy_alloc_or_default(alloc);
  const size_t room = 3 * sy_mesh_describe(e->mesh)->triangles * sizeof(edge);
  edge *list = sy_alloc_new(&own, room);
  if (list == NULL) return no_memory(err);
  const size_t count = edges_towards(e, view, list);
  sy_outline *o = outline_new(alloc, count + 1, count / 3 + 1);
  if (o != NULL) follow(e, view, list, count, o);
  sy_alloc_free(&own, list, room);
  if (o == NULL) return no_memory(err);
  *out = o;
  return SY_OK;
}

sy_status sy_outline_make(const sy_envelope *body, sy_view view, const sy_alloc *alloc, sy_outline **out,
                          sy_error *err) {
  if ((unsigned)view >= SY_VIEW_COUNT)
    return sy_fail(err, SY_RANGE, "body", "view", "is %d, which is unknown", (int)view);
  return body->kind == SY_ENVELOPE_MESH ? mesh_outline(body, view, alloc, out, err)
                                        : convex_outline(body, view, alloc, out, err);
}
