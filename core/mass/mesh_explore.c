/* Which faces meet at which edge, what hangs together, what lies inside what, and which way everything looks. */
#include <string.h>

#include "base/units.h"
#include "mass/mesh_parts.h"

#define NONE UINT32_MAX

/* A side of a triangle, 3 times its number plus the corner it starts from, where it is sorted: behind the larger of its two vertices and
** before whether it leads up to that. */
typedef uint64_t entry;

typedef struct shell {
  size_t first; /* of its triangles in `order` */
  size_t count;
  double six; /* its volume, as turned, times 6 */
  sy_vec3 apex, low, high;
  bool turn; /* to look outward, what is not `turned` */
} shell;

/* Blocks of the exploration, all freed at its end. */
typedef struct work {
  sy_mesh *mesh;
  entry *sides;
  uint32_t *bucket; /* where each vertex's sides begin in `sides`, one more at the end */
  uint32_t
      *mate; /* by side: twice the one on the other face, 1 more where the faces look the same way; or NONE */
  uint32_t *order; /* triangles, shell by shell */
  uint16_t *in;    /* by triangle: the number of its shell, from 1; 0 until it is found */
  bool *turned;    /* by triangle, against its shell's first */
  bool crowded;    /* an edge has more than two faces */
  shell *shells;
  size_t shell_count, shell_room;
} work;

/* ---- edges ---------------------------------------------------------------------------------------------------------- */

static entry entry_of(uint32_t far, uint32_t side, bool rises) {
  return (entry)far << 32 | (entry)side << 1 | rises;
}

static uint32_t far_of(entry e) { return (uint32_t)(e >> 32); }

static uint32_t side_of(entry e) { return (uint32_t)e >> 1; }

static bool rises(entry e) { return e & 1; }

/* The sides sorted by their lower vertex: a counting sort. */
static void sort_sides(work *w) {
  const sy_mesh *m = w->mesh;
  memset(w->bucket, 0, (m->about.vertices + 2) * sizeof *w->bucket);
  for (size_t t = 0; t < m->about.triangles; t++)
    for (size_t k = 0; k < 3; k++) {
      const uint32_t a = m->triangle[t].corner[k], b = m->triangle[t].corner[k < 2 ? k + 1 : 0];
      w->bucket[(a < b ? a : b) + 2]++;
    }
  for (size_t v = 2; v < m->about.vertices + 2; v++) w->bucket[v] += w->bucket[v - 1];
  for (size_t t = 0; t < m->about.triangles; t++)
    for (size_t k = 0; k < 3; k++) {
      const uint32_t a = m->triangle[t].corner[k], b = m->triangle[t].corner[k < 2 ? k + 1 : 0];
      w->sides[w->bucket[(a < b ? a : b) + 1]++] = entry_of(a < b ? b : a, (uint32_t)(3 * t + k), a < b);
    }
}

/* By far vertex, then by number: few entries, so by insertion; a vertex of very many by shell sort's larger steps first.
** Source  D. L. Shell, A high-speed sorting procedure, Communications of the ACM 2 (1959). */
static void sort_bucket(entry *s, size_t count) {
  for (size_t step = count > 64 ? count / 2 : 1; step > 0; step = step > 1 ? step * 5 / 11 + (step == 2) : 0)
    for (size_t i = step; i < count; i++) {
      const entry one = s[i];
      size_t k = i;
      for (; k >= step && s[k - step] > one; k -= step) s[k] = s[k - step];
      s[k] = one;
    }
}

/* Calls for each edge: the `count` entries at `s` share it. */
typedef void edge_visitor(work *w, entry *s, size_t count);

static inline void each_edge_of(work *w, size_t v, edge_visitor *visit) {
  for (size_t i = w->bucket[v], end = w->bucket[v + 1], next; i < end; i = next) {
    for (next = i + 1; next < end && far_of(w->sides[next]) == far_of(w->sides[i]);) next++;
    visit(w, w->sides + i, next - i);
  }
}

/* For a triangle's side from its lowest vertex to the middle one: its highest vertex and the way it turns, else NONE. */
static uint32_t face_of(const work *w, entry e) {
  const uint32_t side = side_of(e), third = w->mesh->triangle[side / 3].corner[(side + 2) % 3];
  return third > far_of(e) ? 2 * third + rises(e) : NONE;
}

/* Triangles of the same three vertices that turn the same way: the sides of an edge sorted by their faces, and back. Turned the other
** way it is the common wall of two bodies, which both have. */
static size_t count_twice(const work *w, entry *s, size_t count) {
  const uint32_t far = far_of(s[0]);
  size_t twice = 0;
  for (size_t i = 0; i < count; i++) s[i] = entry_of(face_of(w, s[i]), side_of(s[i]), rises(s[i]));
  sort_bucket(s, count);
  for (size_t i = 1; i < count; i++) twice += far_of(s[i]) != NONE && far_of(s[i]) == far_of(s[i - 1]);
  for (size_t i = 0; i < count; i++) s[i] = entry_of(far, side_of(s[i]), rises(s[i]));
  sort_bucket(s, count);
  return twice;
}

static void pair_up(work *w, entry *s, size_t count) {
  sy_mesh_about *about = &w->mesh->about;
  if (count == 1) about->open_edges++;
  if (count > 2) {
    w->crowded = true;
    about->twice += count_twice(w, s, count);
  }
  if (count != 2) {
    for (size_t i = 0; i < count; i++) w->mate[side_of(s[i])] = NONE;
    return;
  }
  /* two faces that look the same way pass their edge in opposite directions */
  const bool agree = rises(s[0]) != rises(s[1]);
  if (!agree) about->twice += face_of(w, s[0]) != NONE && face_of(w, s[0]) == face_of(w, s[1]);
  w->mate[side_of(s[0])] = 2 * side_of(s[1]) + agree;
  w->mate[side_of(s[1])] = 2 * side_of(s[0]) + agree;
}

/* After everything looks the right way: is a crowded edge passed as often one way as the other? */
static void balance(work *w, entry *s, size_t count) {
  if (count < 3) return;
  size_t rising = 0;
  for (size_t i = 0; i < count; i++) rising += rises(s[i]) != w->mesh->wrong[side_of(s[i]) / 3];
  if (2 * rising != count) w->mesh->about.bad_edges++;
}

/* ---- shells --------------------------------------------------------------------------------------------------------- */

static inline void step_across(work *w, uint32_t s, size_t *found) {
  if (w->mate[s] == NONE) return;
  const uint32_t other = w->mate[s] / 2, here = s / 3, there = other / 3;
  const bool agree = w->mate[s] & 1, turned = w->turned[here] == agree;
  if (w->in[there] == 0) {
    w->in[there] = w->in[here];
    w->turned[there] = turned;
    w->order[(*found)++] = there;
  } else if (w->turned[there] != turned && s < other) {
    w->mesh->about.twisted++;
  }
}

static bool new_shell(work *w, size_t first) {
  const sy_alloc *alloc = &w->mesh->alloc;
  if (w->shell_count == w->shell_room) {
    const size_t more = w->shell_room == 0 ? 8 : 2 * w->shell_room;
    shell *bigger =
        alloc->resize(alloc->user, w->shells, w->shell_room * sizeof *bigger, more * sizeof *bigger);
    if (bigger == NULL) return false;
    w->shells = bigger;
    w->shell_room = more;
  }
  w->shells[w->shell_count++] = (shell){.first = first};
  return true;
}

/* From triangle t on as many as are of one shell, whose box counts only beside others'; where they end. */
static size_t measure_run(const work *w, size_t t, bool boxed, shell *out) {
  const sy_mesh *m = w->mesh;
  const uint16_t in = w->in[t];
  shell s = *out; /* by value: a sum in memory is waited for */
  for (; t < m->about.triangles && w->in[t] == in; t++) {
    sy_vec3 p[3];
    mesh_corners(m, t, p);
    for (int k = 0; k < 3; k++) {
      if (boxed) mesh_widen(&s.low, &s.high, p[k]);
      p[k] = sy_vec3_sub(p[k], s.apex);
    }
    const double v = sy_vec3_dot(p[0], sy_vec3_cross(p[1], p[2]));
    s.six += w->turned[t] ? -v : v;
  }
  *out = s;
  return t;
}

/* Volumes and boxes, in the order of the triangles, in which their corners lie near each other. */
static void measure_shells(work *w) {
  const sy_mesh *m = w->mesh;
  for (size_t i = 0; i < w->shell_count; i++) {
    shell *s = &w->shells[i];
    s->low = s->high = s->apex = m->vertex[m->triangle[w->order[s->first]].corner[0]];
  }
  for (size_t t = 0; t < m->about.triangles;)
    t = measure_run(w, t, w->shell_count > 1, &w->shells[w->in[t] - 1]);
}

static sy_status find_shells(work *w, sy_error *err) {
  sy_mesh *m = w->mesh;
  size_t found = 0;
  for (uint32_t t = 0; t < m->about.triangles; t++) {
    if (w->in[t] != 0) continue;
    if (w->shell_count == SY_MESH_MOST_SHELLS)
      return sy_fail(err, SY_LIMIT, "mesh", "", "falls into more than %d pieces that do not hang together",
                     SY_MESH_MOST_SHELLS);
    if (!new_shell(w, found)) return sy_mesh_no_memory(err);
    w->in[t] = (uint16_t)w->shell_count;
    w->order[found++] = t;
    shell *s = &w->shells[w->shell_count - 1];
    for (size_t i = s->first; i < found; i++)
      for (uint32_t k = 0; k < 3; k++) step_across(w, 3 * w->order[i] + k, &found);
    s->count = found - s->first;
  }
  measure_shells(w);
  return SY_OK;
}

/* ---- inside and outside --------------------------------------------------------------------------------------------- */

/* The solid angle of a triangle seen from the origin, positive when it is seen from behind.
** Source  A. van Oosterom, J. Strackee, The solid angle of a plane triangle, IEEE Trans. Biomedical Engineering 30 (1983),
**         eq. 8 (from memory). */
static double solid_angle(sy_vec3 a, sy_vec3 b, sy_vec3 c) {
  const double la = sy_vec3_length(a), lb = sy_vec3_length(b), lc = sy_vec3_length(c);
  const double above = sy_vec3_dot(a, sy_vec3_cross(b, c));
  const double below =
      la * lb * lc + sy_vec3_dot(a, b) * lc + sy_vec3_dot(a, c) * lb + sy_vec3_dot(b, c) * la;
  return 2 * atan2(above, below);
}

static bool encloses(const work *w, const shell *s, sy_vec3 point) {
  double sum = 0;
  for (size_t i = s->first; i < s->first + s->count; i++) {
    sy_vec3 p[3];
    mesh_corners(w->mesh, w->order[i], p);
    for (int k = 0; k < 3; k++) p[k] = sy_vec3_sub(p[k], point);
    const double angle = solid_angle(p[0], p[1], p[2]);
    sum += w->turned[w->order[i]] ? -angle : angle;
  }
  return fabs(sum) > 2 * SY_PI; /* 4 pi inside, 0 outside */
}

static bool box_within(const shell *in, const shell *out) {
  return out->low.x < in->low.x && out->low.y < in->low.y && out->low.z < in->low.z &&
         in->high.x < out->high.x && in->high.y < out->high.y && in->high.z < out->high.z;
}

static sy_vec3 middle(const sy_mesh *m, size_t triangle) {
  sy_vec3 p[3];
  mesh_corners(m, triangle, p);
  return sy_vec3_scale(1.0 / 3, sy_vec3_add(p[0], sy_vec3_add(p[1], p[2])));
}

/* Two of three points decide, should one lie on the other's surface. */
static bool lies_in(const work *w, const shell *in, const shell *out) {
  if (!box_within(in, out)) return false;
  int votes = 0;
  for (size_t k = 0; k < 3; k++)
    votes += encloses(w, out, middle(w->mesh, w->order[in->first + k * (in->count - 1) / 2]));
  return votes >= 2;
}

static void look_outward(work *w) {
  sy_mesh *m = w->mesh;
  for (size_t i = 0; i < w->shell_count; i++) {
    shell *s = &w->shells[i];
    bool cavity = false;
    for (size_t k = 0; k < w->shell_count; k++)
      if (k != i && lies_in(w, s, &w->shells[k])) cavity = !cavity;
    if (cavity) m->about.cavities++;
    s->turn = (s->six < 0) != cavity; /* a cavity's volume counts negative */
  }
  for (size_t t = 0; t < m->about.triangles; t++) {
    m->wrong[t] = w->turned[t] != w->shells[w->in[t] - 1].turn;
    m->about.inward += m->wrong[t];
  }
}

/* ---- all of it ------------------------------------------------------------------------------------------------------ */

static sy_status explore(work *w, sy_error *err) {
  sy_mesh *m = w->mesh;
  const size_t t = m->about.triangles;
  memset(w->turned, 0, t * sizeof *w->turned);
  memset(w->in, 0, t * sizeof *w->in);
  sort_sides(w);
  for (size_t v = 0; v < m->about.vertices; v++) {
    sort_bucket(w->sides + w->bucket[v], w->bucket[v + 1] - w->bucket[v]);
    each_edge_of(w, v, pair_up);
  }
  if (m->about.twice > 0) { /* which of them bound what? */
    m->about.open_edges = 0;
    return SY_OK;
  }
  if (m->about.open_edges > 0) return SY_OK; /* an open surface has no inside */
  const sy_status status = find_shells(w, err);
  if (status != SY_OK || m->about.twisted > 0) return status;
  m->about.shells = w->shell_count;
  look_outward(w);
  for (size_t v = 0; v < m->about.vertices && w->crowded; v++) each_edge_of(w, v, balance);
  return SY_OK;
}

sy_status sy_mesh_explore(sy_mesh *mesh, sy_error *err) {
  work w = {.mesh = mesh};
  const size_t t = mesh->about.triangles, v = mesh->about.vertices;
  mesh->wrong = sy_alloc_new(&mesh->alloc, t * sizeof *mesh->wrong);
  if (mesh->wrong == NULL) return sy_mesh_no_memory(err);
  memset(mesh->wrong, 0, t * sizeof *mesh->wrong);
  /* one block, the strictest alignment first */
  const size_t bytes = 3 * t * (sizeof *w.sides + sizeof *w.mate) + (v + 2) * sizeof *w.bucket +
                       t * (sizeof *w.order + sizeof *w.in + sizeof *w.turned);
  char *block = sy_alloc_new(&mesh->alloc, bytes);
  if (block == NULL) return sy_mesh_no_memory(err);
  w.sides = (void *)block;
  w.mate = (void *)(w.sides + 3 * t);
  w.bucket = w.mate + 3 * t;
  w.order = w.bucket + v + 2;
  w.in = (void *)(w.order + t);
  w.turned = (void *)(w.in + t);
  const sy_status status = explore(&w, err);
  sy_alloc_free(&mesh->alloc, block, bytes);
  sy_alloc_free(&mesh->alloc, w.shells, w.shell_room * sizeof *w.shells);
  return status;
}
