#include "shop/overlaps.h"

#include <stdlib.h>

struct sy_overlaps {
  sy_alloc alloc;
  sy_overlap *list;
  size_t count, room;
};

/* The box along the axes round a body, and which body it is. */
typedef struct box {
  double low[3], high[3];
  size_t body;
} box;

typedef struct search {
  const sy_envelope *body;
  double gap, triangle_pairs;
  size_t pairs;
  sy_overlaps *found;
  sy_error *err;
} search;

static sy_status no_memory(sy_error *err) { return sy_fail(err, SY_LIMIT, "overlaps", "", "memory is out"); }

/* Errors of one body say which. */
static sy_status refuse(const search *s, size_t body, const sy_error *cause) {
  sy_error name;
  sy_fail(&name, SY_OK, "", "", "body %zu", body + 1);
  return sy_fail(s->err, cause->status, name.message, cause->field, "%s", cause->message);
}

/* ---- boxes ---------------------------------------------------------------------------------------------------------- */

/* What the box of a body is taken from: itself, or the box of its mesh, which is as good here and has eight points. */
static sy_envelope outline(const sy_envelope *e) {
  sy_envelope o = *e;
  if (e->kind != SY_ENVELOPE_MESH || e->mesh == NULL) return o;
  const sy_mesh_about *about = sy_mesh_describe(e->mesh);
  o.kind = SY_ENVELOPE_POINTS;
  o.count = 8;
  for (int i = 0; i < 8; i++)
    o.point[i] = (sy_vec3){i & 1 ? about->high.x : about->low.x, i & 2 ? about->high.y : about->low.y,
                           i & 4 ? about->high.z : about->low.z};
  return o;
}

static sy_status box_of(const sy_envelope *e, box *out, sy_error *err) {
  static const sy_vec3 way[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  const sy_envelope o = outline(e);
  for (int i = 0; i < 3; i++) {
    sy_vec3 far, near;
    sy_status status = sy_envelope_reach(&o, way[i], &far, err);
    if (status == SY_OK) status = sy_envelope_reach(&o, sy_vec3_scale(-1, way[i]), &near, err);
    if (status != SY_OK) return status;
    out->high[i] = sy_vec3_along(far, i);
    out->low[i] = sy_vec3_along(near, i);
  }
  return SY_OK;
}

static int by_low_x(const void *p, const void *q) {
  const box *a = p, *b = q;
  if (a->low[0] != b->low[0]) return a->low[0] < b->low[0] ? -1 : 1;
  return a->body < b->body ? -1 : 1;
}

static bool boxes_meet(const box *a, const box *b, double gap) {
  for (int i = 0; i < 3; i++)
    if (a->low[i] > b->high[i] + gap || b->low[i] > a->high[i] + gap) return false;
  return true;
}

/* ---- one pair ------------------------------------------------------------------------------------------------------- */

/* The same body smaller by half of what counts as touching all round: less of its rounding, or drawn together along its own axes. */
static sy_status shrink(const sy_envelope *e, sy_envelope *out, sy_error *err) {
  const double by = 0.5 * SY_OVERLAPS_TOUCH;
  *out = *e;
  if (e->rounding > 0) {
    out->rounding = fmax(0, e->rounding - by);
    return SY_OK;
  }
  sy_envelope own = *e;
  own.place = sy_frame_identity();
  own.sweep = (sy_vec3){0, 0, 0};
  box b;
  const sy_status status = box_of(&own, &b, err);
  if (status != SY_OK) return status;
  double factor[3];
  sy_vec3 keep = {0.5 * (b.low[0] + b.high[0]), 0.5 * (b.low[1] + b.high[1]), 0.5 * (b.low[2] + b.high[2])};
  for (int i = 0; i < 3; i++) {
    const double half = 0.5 * (b.high[i] - b.low[i]);
    factor[i] = half > 0 ? fmax(0, 1 - by / half) : 1;
    for (int k = 0; k < 3; k++) out->place.turn.m[k][i] *= factor[i];
  }
  keep = (sy_vec3){(1 - factor[0]) * keep.x, (1 - factor[1]) * keep.y, (1 - factor[2]) * keep.z};
  out->place.at = sy_vec3_add(e->place.at, sy_mat3_apply(e->place.turn, keep));
  return SY_OK;
}

/* Are two bodies that meet deeper in one another than touching? */
static sy_status is_deep(const sy_envelope *a, const sy_envelope *b, bool *deep, sy_error *err) {
  sy_envelope small_a, small_b;
  sy_gap gap;
  sy_status status = shrink(a, &small_a, err);
  if (status == SY_OK) status = shrink(b, &small_b, err);
  if (status == SY_OK) status = sy_clearance(&small_a, &small_b, &gap, err);
  if (status == SY_OK) *deep = gap.overlap;
  return status;
}

static sy_status keep(search *s, const sy_overlap *pair) {
  sy_overlaps *found = s->found;
  if (found->count == found->room) {
    const size_t room = found->room == 0 ? 64 : 2 * found->room;
    sy_overlap *list =
        found->alloc.resize(found->alloc.user, found->list, found->room * sizeof *list, room * sizeof *list);
    if (list == NULL) return no_memory(s->err);
    found->list = list;
    found->room = room;
  }
  found->list[found->count++] = *pair;
  return SY_OK;
}

static double triangles(const sy_envelope *e) {
  return e->kind == SY_ENVELOPE_MESH ? (double)sy_mesh_describe(e->mesh)->triangles : 1;
}

static sy_status measure(search *s, size_t i, size_t k) {
  const size_t low = i < k ? i : k, high = i < k ? k : i;
  const sy_envelope *a = &s->body[low], *b = &s->body[high];
  s->triangle_pairs += triangles(a) * triangles(b);
  if (++s->pairs > SY_OVERLAPS_MOST || s->triangle_pairs > SY_CLEARANCE_MOST)
    return sy_fail(s->err, SY_LIMIT, "overlaps", "bodies", "too many to compare: %s",
                   s->pairs > SY_OVERLAPS_MOST ? "the boxes of more than 200000 pairs meet"
                                               : "their meshes are too fine");
  sy_gap gap;
  sy_error cause;
  sy_status status = sy_clearance(a, b, &gap, &cause);
  bool deep = false;
  if (status == SY_OK && gap.overlap) status = is_deep(a, b, &deep, &cause);
  if (status != SY_OK) return refuse(s, low, &cause);
  const double apart = fmax(0, gap.gap);
  if (!deep && !(apart < s->gap)) return SY_OK;
  return keep(s, &(sy_overlap){low, high, deep, deep ? 0 : apart, {gap.at[0], gap.at[1]}});
}

/* ---- all ------------------------------------------------------------------------------------------------------------ */

static sy_status sweep(search *s, box *boxes, size_t count) {
  for (size_t i = 0; i < count; i++) {
    sy_error cause;
    boxes[i].body = i;
    if (box_of(&s->body[i], &boxes[i], &cause) != SY_OK) return refuse(s, i, &cause);
  }
  qsort(boxes, count, sizeof *boxes, by_low_x);
  for (size_t i = 0; i < count; i++)
    for (size_t k = i + 1; k < count && boxes[k].low[0] <= boxes[i].high[0] + s->gap; k++) {
      if (!boxes_meet(&boxes[i], &boxes[k], s->gap)) continue;
      const sy_status status = measure(s, boxes[i].body, boxes[k].body);
      if (status != SY_OK) return status;
    }
  return SY_OK;
}

static int by_bodies(const void *p, const void *q) {
  const sy_overlap *a = p, *b = q;
  if (a->a != b->a) return a->a < b->a ? -1 : 1;
  return a->b < b->b ? -1 : 1;
}

sy_status sy_overlaps_find(const sy_envelope *body, size_t count, double gap, const sy_alloc *alloc,
                           sy_overlaps **out, sy_error *err) {
  if (!(gap >= 0 && isfinite(gap)))
    return sy_fail(err, SY_RANGE, "overlaps", "gap", "is %g m, must be >= 0 and finite", gap);
  const sy_alloc from = sy_alloc_or_default(alloc);
  if (count > SIZE_MAX / sizeof(box)) return no_memory(err);
  sy_overlaps *found = sy_alloc_new(&from, sizeof *found);
  if (found == NULL) return no_memory(err);
  *found = (sy_overlaps){.alloc = from};
  if (count == 0) {
    *out = found;
    return SY_OK;
  }
  box *boxes = sy_alloc_new(&from, count * sizeof *boxes);
  search s = {.body = body, .gap = gap, .found = found, .err = err};
  const sy_status status = boxes != NULL ? sweep(&s, boxes, count) : no_memory(err);
  sy_alloc_free(&from, boxes, count * sizeof *boxes);
  if (status != SY_OK) {
    sy_overlaps_free(found);
    return status;
  }
  if (found->count > 0) qsort(found->list, found->count, sizeof *found->list, by_bodies);
  *out = found;
  return SY_OK;
}

size_t sy_overlaps_count(const sy_overlaps *found) { return found->count; }

sy_overlap sy_overlaps_at(const sy_overlaps *found, size_t i) { return found->list[i]; }

void sy_overlaps_free(sy_overlaps *found) {
  if (found == NULL) return;
  const sy_alloc alloc = found->alloc;
  if (found->list != NULL) sy_alloc_free(&alloc, found->list, found->room * sizeof *found->list);
  sy_alloc_free(&alloc, found, sizeof *found);
}
