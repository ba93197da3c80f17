#include "shop/clearance.h"

#include "base/finite.h"
#include "base/units.h"

/* Where the iteration stops: the bracket is below a ten thousandth of a millimetre, far below what anything is built to. */
#define CLOSE_ENOUGH 1e-7
enum { MOST_STEPS = 100, SIMPLEX = 4 };

sy_envelope sy_envelope_default(sy_envelope_kind kind) {
  const double none = (double)NAN;
  sy_envelope e = {.kind = kind, .place = sy_frame_identity()};
  e.half = (sy_vec3){none, none, none};
  e.radius[0] = e.radius[1] = none;
  return e;
}

/* ---- checks --------------------------------------------------------------------------------------------------------- */

static bool fine_size(double x) { return x >= 0 && isfinite(x); }

static sy_status check(const sy_envelope *e, const char *part, sy_error *err) {
  if (!fine_size(e->rounding))
    return sy_fail(err, SY_RANGE, part, "rounding", "is %g m, must be >= 0 and finite", e->rounding);
  if (e->kind > SY_ENVELOPE_MESH)
    return sy_fail(err, SY_RANGE, part, "kind", "is %d, which is unknown", (int)e->kind);
  bool finite = sy_vec3_finite(e->sweep) && sy_vec3_finite(e->place.at);
  for (int k = 0; k < 9; k++) finite = finite && isfinite(e->place.turn.m[k / 3][k % 3]);
  switch (e->kind) {
  case SY_ENVELOPE_POINTS:
    if (e->count < 1 || e->count > SY_ENVELOPE_POINTS_MOST)
      return sy_fail(err, SY_RANGE, part, "points", "are %d, must be 1 to %d", e->count,
                     SY_ENVELOPE_POINTS_MOST);
    for (int i = 0; i < e->count; i++) finite = finite && sy_vec3_finite(e->point[i]);
    break;
  case SY_ENVELOPE_ROUND:
    finite = finite && sy_vec3_finite(e->end[0]) && sy_vec3_finite(e->end[1]);
    if (!fine_size(e->radius[0]) || !fine_size(e->radius[1]))
      return sy_fail(err, SY_RANGE, part, "radius", "is %g and %g m, must be >= 0 and finite", e->radius[0],
                     e->radius[1]);
    break;
  case SY_ENVELOPE_ELLIPSOID:
    if (!(fine_size(e->half.x) && fine_size(e->half.y) && fine_size(e->half.z)))
      return sy_fail(err, SY_RANGE, part, "half", "must be >= 0 m and finite");
    break;
  case SY_ENVELOPE_MESH:
    if (e->mesh == NULL) return sy_fail(err, SY_MISSING, part, "mesh", "is missing");
    break;
  }
  return finite ? SY_OK : sy_fail(err, SY_RANGE, part, "place", "is not finite");
}

/* ---- support: the point of a convex body farthest along d ----------------------------------------------------------- */

/* A convex body; one triangle at a time when it belongs to a mesh. */
typedef struct convex {
  const sy_envelope *e;
  sy_vec3 corner[3]; /* of the triangle, in the outer frame */
  sy_mat3 back;      /* outer directions to the envelope's own */
} convex;

static sy_vec3 farthest(const sy_vec3 *points, int count, sy_vec3 d) {
  sy_vec3 best = points[0];
  for (int i = 1; i < count; i++)
    if (sy_vec3_dot(points[i], d) > sy_vec3_dot(best, d)) best = points[i];
  return best;
}

/* Less than this of a direction lies across the axis: that is rounding. A rim point left out for it is at most its radius times this
** short of the farthest. */
#define ALONG_THE_AXIS 1e-12

/* What of d is across the axis. Taken out twice: once leaves a residue along the axis, which for a d that runs nearly along it is as
** large as what is across. */
static sy_vec3 across_axis(sy_vec3 d, sy_vec3 axis) {
  const double size = sy_vec3_dot(axis, axis);
  if (!(size > 0)) return d;
  const sy_vec3 once = sy_vec3_muladd(d, -sy_vec3_dot(d, axis) / size, axis);
  return sy_vec3_muladd(once, -sy_vec3_dot(once, axis) / size, axis);
}

/* The rim of the farther disc; its middle where d runs along the axis. */
static sy_vec3 round_support(const sy_envelope *e, sy_vec3 d) {
  const sy_vec3 across = across_axis(d, sy_vec3_sub(e->end[1], e->end[0]));
  const double size = sy_vec3_length(across);
  const bool has_rim = size > ALONG_THE_AXIS * sy_vec3_length(d);
  sy_vec3 rim[2];
  for (int i = 0; i < 2; i++)
    rim[i] = has_rim ? sy_vec3_muladd(e->end[i], e->radius[i] / size, across) : e->end[i];
  return farthest(rim, 2, d);
}

static sy_vec3 ellipsoid_support(const sy_envelope *e, sy_vec3 d) {
  const sy_vec3 s = {e->half.x * d.x, e->half.y * d.y, e->half.z * d.z};
  const double size = sy_vec3_length(s);
  if (!(size > 0)) return (sy_vec3){0, 0, 0};
  return (sy_vec3){e->half.x * s.x / size, e->half.y * s.y / size, e->half.z * s.z / size};
}

static sy_vec3 support(const convex *c, sy_vec3 d) {
  const sy_envelope *e = c->e;
  sy_vec3 p;
  if (e->kind == SY_ENVELOPE_MESH) {
    p = farthest(c->corner, 3, d);
  } else {
    const sy_vec3 own = sy_mat3_apply(c->back, d);
    p = e->kind == SY_ENVELOPE_POINTS  ? farthest(e->point, e->count, own)
        : e->kind == SY_ENVELOPE_ROUND ? round_support(e, own)
                                       : ellipsoid_support(e, own);
    p = sy_frame_apply(&e->place, p);
  }
  return sy_vec3_dot(e->sweep, d) > 0 ? sy_vec3_add(p, e->sweep) : p;
}

static convex whole(const sy_envelope *e) {
  return (convex){.e = e, .back = sy_mat3_transpose(e->place.turn)};
}

/* ---- the closest point of a simplex to the origin ------------------------------------------------------------------- */

typedef struct vertex {
  sy_vec3 w, a, b; /* w = a - b, of the two bodies */
} vertex;

/* Weights of the points `pick` of v that give the point of their plane, line or corner nearest to the origin; false when it lies
** outside them or they have no extent. By the normal equations: at most three unknowns. */
static bool nearest_of(const vertex *v, const int *pick, int count, double weight[SIMPLEX]) {
  double g[3][4];
  const sy_vec3 base = v[pick[0]].w;
  sy_vec3 edge[3];
  for (int i = 1; i < count; i++) edge[i - 1] = sy_vec3_sub(v[pick[i]].w, base);
  for (int i = 0; i < count - 1; i++) {
    for (int k = 0; k < count - 1; k++) g[i][k] = sy_vec3_dot(edge[i], edge[k]);
    g[i][3] = -sy_vec3_dot(edge[i], base);
  }
  for (int i = 0; i < count - 1; i++) { /* the Gram matrix is positive: no pivots */
    if (!(g[i][i] > 1e-14 * sy_vec3_dot(edge[i], edge[i]))) return false; /* its points lie in less */
    for (int r = i + 1; r < count - 1; r++) {
      const double f = g[r][i] / g[i][i];
      for (int k = i; k < count - 1; k++) g[r][k] -= f * g[i][k];
      g[r][3] -= f * g[i][3];
    }
  }
  double rest = 1;
  for (int i = count - 2; i >= 0; i--) {
    double x = g[i][3];
    for (int k = i + 1; k < count - 1; k++) x -= g[i][k] * weight[k + 1];
    weight[i + 1] = x / g[i][i];
    if (!(weight[i + 1] >= 0)) return false;
    rest -= weight[i + 1];
  }
  weight[0] = rest;
  return rest >= 0;
}

static sy_vec3 blend(const vertex *v, const int *pick, const double *weight, int count, int which) {
  sy_vec3 sum = {0, 0, 0};
  for (int i = 0; i < count; i++) {
    const vertex *p = &v[pick[i]];
    sum = sy_vec3_muladd(sum, weight[i], which == 0 ? p->w : which == 1 ? p->a : p->b);
  }
  return sum;
}

typedef struct simplex {
  vertex v[SIMPLEX];
  int count;
  sy_vec3 near, a, b; /* the nearest point and the two points of the bodies behind it */
} simplex;

/* The corner, edge, face or inside that is nearest; only its vertices are kept. */
static void reduce(simplex *s) {
  int kept[SIMPLEX] = {0}, kept_count = 0;
  double kept_weight[SIMPLEX] = {1}, best = (double)INFINITY;
  for (int set = 1; set < 1 << s->count; set++) {
    int pick[SIMPLEX], count = 0;
    double weight[SIMPLEX] = {1, 0, 0, 0};
    for (int i = 0; i < s->count; i++)
      if (set >> i & 1) pick[count++] = i;
    if (!nearest_of(s->v, pick, count, weight)) continue;
    const sy_vec3 p = blend(s->v, pick, weight, count, 0);
    const double size = sy_vec3_dot(p, p);
    if (size < best) {
      best = size;
      kept_count = count;
      for (int i = 0; i < count; i++) {
        kept[i] = pick[i];
        kept_weight[i] = weight[i];
      }
    }
  }
  s->near = blend(s->v, kept, kept_weight, kept_count, 0);
  s->a = blend(s->v, kept, kept_weight, kept_count, 1);
  s->b = blend(s->v, kept, kept_weight, kept_count, 2);
  for (int i = 0; i < kept_count; i++) s->v[i] = s->v[kept[i]]; /* kept is in ascending order */
  s->count = kept_count;
}

static vertex farthest_apart(const convex *a, const convex *b, sy_vec3 d) {
  const sy_vec3 p = support(a, d), q = support(b, sy_vec3_scale(-1, d));
  return (vertex){sy_vec3_sub(p, q), p, q};
}

/* Distance between two convex bodies without their roundings; 0 when they overlap. */
static sy_gap distance(const convex *a, const convex *b) {
  simplex s = {.count = 1};
  s.v[0] = farthest_apart(a, b, (sy_vec3){1, 0, 0});
  reduce(&s);
  double lower = 0;
  for (int step = 0; step < MOST_STEPS; step++) {
    const double size = sy_vec3_length(s.near);
    if (s.count == SIMPLEX || size <= CLOSE_ENOUGH) return (sy_gap){0, 0, {s.a, s.b}, true};
    const vertex w = farthest_apart(a, b, sy_vec3_scale(-1, s.near));
    lower = fmax(lower, sy_vec3_dot(s.near, w.w) / size); /* all of a - b lies beyond this plane */
    if (size - lower <= CLOSE_ENOUGH) break;
    simplex next = s;
    next.v[next.count++] = w;
    reduce(&next);
    if (!(sy_vec3_dot(next.near, next.near) < size * size)) break; /* as near as doubles come */
    s = next;
  }
  const double size = sy_vec3_length(s.near);
  return (sy_gap){size, size - lower, {s.a, s.b}, false};
}

/* ---- meshes: their triangles one by one, those that cannot be nearest left out ------------------------------------------ */

typedef struct ball {
  sy_vec3 centre;
  double radius;
} ball;

/* Round a triangle, its sweep included. */
static ball ball_of_triangle(const convex *c) {
  const sy_vec3 sum = sy_vec3_add(c->corner[0], sy_vec3_add(c->corner[1], c->corner[2]));
  const sy_vec3 centre = sy_vec3_scale(1.0 / 3, sum);
  double r = 0;
  for (int i = 0; i < 3; i++) r = fmax(r, sy_vec3_length(sy_vec3_sub(c->corner[i], centre)));
  return (ball){centre, r + sy_vec3_length(c->e->sweep)};
}

/* Round a convex body: half the diagonal of the box around it. */
static ball ball_of_body(const convex *c) {
  const sy_vec3 way[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  double lo[3], hi[3];
  for (int i = 0; i < 3; i++) {
    hi[i] = sy_vec3_dot(support(c, way[i]), way[i]);
    lo[i] = sy_vec3_dot(support(c, sy_vec3_scale(-1, way[i])), way[i]);
  }
  const sy_vec3 low = {lo[0], lo[1], lo[2]}, high = {hi[0], hi[1], hi[2]};
  return (ball){sy_vec3_scale(0.5, sy_vec3_add(low, high)), 0.5 * sy_vec3_length(sy_vec3_sub(high, low))};
}

static void set_triangle(convex *c, size_t i) {
  sy_mesh_triangle(c->e->mesh, i, c->corner);
  for (int k = 0; k < 3; k++) c->corner[k] = sy_frame_apply(&c->e->place, c->corner[k]);
}

static size_t pieces(const sy_envelope *e) {
  return e->kind == SY_ENVELOPE_MESH ? sy_mesh_describe(e->mesh)->triangles : 1;
}

static void least_over_b(const convex *a, ball round_a, const sy_envelope *b, sy_gap *best) {
  convex piece = whole(b);
  const size_t count = pieces(b);
  for (size_t i = 0; i < count; i++) {
    if (b->kind == SY_ENVELOPE_MESH) set_triangle(&piece, i);
    const ball round_b = b->kind == SY_ENVELOPE_MESH ? ball_of_triangle(&piece) : ball_of_body(&piece);
    const double least =
        sy_vec3_length(sy_vec3_sub(round_a.centre, round_b.centre)) - round_a.radius - round_b.radius;
    if (least >= best->gap) continue;
    const sy_gap now = distance(a, &piece);
    if (now.gap < best->gap) *best = now;
    if (best->overlap) return;
  }
}

/* Does a closed mesh hold a point? By the solid angle of its triangles: A. van Oosterom, J. Strackee, The solid angle of a plane
** triangle, IEEE Trans. Biomedical Engineering 30 (1983), eq. 8 (from memory). */
static bool holds(const sy_envelope *e, sy_vec3 point) {
  convex c = whole(e);
  double sum = 0;
  for (size_t i = 0; i < pieces(e); i++) {
    set_triangle(&c, i);
    sy_vec3 p[3];
    double l[3];
    for (int k = 0; k < 3; k++) {
      p[k] = sy_vec3_sub(c.corner[k], point);
      l[k] = sy_vec3_length(p[k]);
    }
    const double above = sy_vec3_dot(p[0], sy_vec3_cross(p[1], p[2]));
    const double below = l[0] * l[1] * l[2] + sy_vec3_dot(p[0], p[1]) * l[2] +
                         sy_vec3_dot(p[0], p[2]) * l[1] + sy_vec3_dot(p[1], p[2]) * l[0];
    sum += 2 * atan2(above, below);
  }
  return fabs(sum) > 2 * SY_PI; /* 4 pi inside, 0 outside */
}

static sy_vec3 some_point(const sy_envelope *e) {
  convex c = whole(e);
  if (e->kind == SY_ENVELOPE_MESH) set_triangle(&c, 0);
  return support(&c, (sy_vec3){0, 0, 1});
}

sy_status sy_clearance(const sy_envelope *a, const sy_envelope *b, sy_gap *out, sy_error *err) {
  sy_status status = check(a, "a", err);
  if (status == SY_OK) status = check(b, "b", err);
  if (status != SY_OK) return status;
  if ((double)pieces(a) * (double)pieces(b) > SY_CLEARANCE_MOST)
    return sy_fail(err, SY_LIMIT, "a", "mesh", "has %zu triangles and b %zu: too fine to compare", pieces(a),
                   pieces(b));
  sy_gap best = {(double)INFINITY, 0, {{0, 0, 0}, {0, 0, 0}}, false};
  convex piece = whole(a);
  for (size_t i = 0; i < pieces(a) && !best.overlap; i++) {
    if (a->kind == SY_ENVELOPE_MESH) set_triangle(&piece, i);
    least_over_b(&piece, a->kind == SY_ENVELOPE_MESH ? ball_of_triangle(&piece) : ball_of_body(&piece), b,
                 &best);
  }
  /* surfaces apart, yet one inside the other */
  if (!best.overlap && ((a->kind == SY_ENVELOPE_MESH && holds(a, some_point(b))) ||
                        (b->kind == SY_ENVELOPE_MESH && holds(b, some_point(a))))) {
    best.gap = 0;
    best.overlap = true;
  }
  best.gap -= a->rounding + b->rounding;
  best.overlap = best.overlap || best.gap < 0;
  const double found[8] = {best.gap,     best.uncertainty, best.at[0].x, best.at[0].y,
                           best.at[0].z, best.at[1].x,     best.at[1].y, best.at[1].z};
  status = sy_finite_results(found, 8, "b", "place", err);
  if (status == SY_OK) *out = best;
  return status;
}

sy_status sy_envelope_reach(const sy_envelope *a, sy_vec3 down, sy_vec3 *out, sy_error *err) {
  sy_status status = check(a, "a", err);
  const double size = sy_vec3_length(down);
  if (status != SY_OK) return status;
  if (!(size > 0 && isfinite(size))) return sy_fail(err, SY_RANGE, "a", "down", "is not a direction");
  convex c = whole(a);
  sy_vec3 best = {0, 0, 0};
  for (size_t i = 0; i < pieces(a); i++) {
    if (a->kind == SY_ENVELOPE_MESH) set_triangle(&c, i);
    const sy_vec3 p = support(&c, down);
    if (i == 0 || sy_vec3_dot(p, down) > sy_vec3_dot(best, down)) best = p;
  }
  best = sy_vec3_muladd(best, a->rounding / size, down);
  status = sy_finite_results(&best.x, 3, "a", "place", err);
  if (status == SY_OK) *out = best;
  return status;
}
