/* Lanes are nodes. The Makefile compiles this file once a level: SY_LEVEL 1 (any processor, two lanes), 3 (four), 4 (eight). The width is
** the registers' own: wider vectors go through memory. Sums over the lanes of a block are folded in halves, eight parents at a time, which
** turns the rows of parents into the columns of the next level. */
#include "mass/kernels/rollup_lanes.h"

#include <stdbool.h>
#include <string.h>

#include "base/kernel_lanes.h"

#if SY_LEVEL == 4
#define FIRST_LANES ((masks){0, 1, 2, 3, 4, 5, 6, 7})
#define FUNCTION    sy_rollup_lanes_v4
#elif SY_LEVEL == 3
#define FIRST_LANES ((masks){0, 1, 2, 3})
#define FUNCTION    sy_rollup_lanes_v3
#else
#define FIRST_LANES ((masks){0, 1})
#define FUNCTION    sy_rollup_lanes_v1
#endif

enum { BLOCK = SY_ROLLUP_BLOCK, BODY = SY_ROLLUP_BODY, PLACE = SY_ROLLUP_PLACE };
enum { SUMS = SY_ROLLUP_SUMS };

typedef double block[SUMS][BLOCK] __attribute__((aligned(64)));

/* ---- nodes into their parents' frames ----------------------------------------------------------------------------------- */

typedef struct vector {
  lanes x, y, z;
} vector;

typedef struct turn {
  vector row[3];
} turn;

/* Of a tensor, or what a tensor is made of. */
typedef struct tensor {
  lanes xx, yy, zz, xy, xz, yz;
} tensor;

/* m, the first moments m r, and the tensor about the origin. */
typedef struct sums {
  lanes m;
  vector f;
  tensor j;
} sums;

/* Columns one after the other, as they stand in a block. */
static inline vector load_vector(const double *c) {
  return (vector){load(c), load(c + BLOCK), load(c + 2 * BLOCK)};
}

static inline tensor load_tensor(const double *c) {
  return (tensor){load(c),
                  load(c + BLOCK),
                  load(c + 2 * BLOCK),
                  load(c + 3 * BLOCK),
                  load(c + 4 * BLOCK),
                  load(c + 5 * BLOCK)};
}

static inline sums load_sums(const double *c) {
  return (sums){load(c), load_vector(c + BLOCK), load_tensor(c + 4 * BLOCK)};
}

static inline void store_vector(double *c, vector v) {
  store(c, v.x);
  store(c + BLOCK, v.y);
  store(c + 2 * BLOCK, v.z);
}

static inline void store_sums(double *c, sums s) {
  store(c, s.m);
  store_vector(c + BLOCK, s.f);
  store_vector(c + 4 * BLOCK, (vector){s.j.xx, s.j.yy, s.j.zz});
  store_vector(c + 7 * BLOCK, (vector){s.j.xy, s.j.xz, s.j.yz});
}

static inline lanes dot(vector a, vector b) { return a.x * b.x + a.y * b.y + a.z * b.z; }

/* R J R^T by the rows of R J. */
static inline tensor turn_tensor(turn r, tensor t) {
  const vector x = {t.xx, t.xy, t.xz}, y = {t.xy, t.yy, t.yz}, z = {t.xz, t.yz, t.zz};
  const vector a = {dot(r.row[0], x), dot(r.row[0], y), dot(r.row[0], z)};
  const vector b = {dot(r.row[1], x), dot(r.row[1], y), dot(r.row[1], z)};
  const vector c = {dot(r.row[2], x), dot(r.row[2], y), dot(r.row[2], z)};
  return (tensor){dot(a, r.row[0]), dot(b, r.row[1]), dot(c, r.row[2]),
                  dot(a, r.row[1]), dot(a, r.row[2]), dot(b, r.row[2])};
}

static inline vector turn_vector(turn r, vector v) {
  return (vector){dot(r.row[0], v), dot(r.row[1], v), dot(r.row[2], v)};
}

/* J + |.|^2 1 - p q^T for what makes that symmetric. */
static inline tensor add_steiner(tensor j, vector p, vector q, lanes xy, lanes xz, lanes yz) {
  const lanes xx = p.x * q.x, yy = p.y * q.y, zz = p.z * q.z;
  return (tensor){j.xx + (yy + zz), j.yy + (xx + zz), j.zz + (xx + yy), j.xy - xy, j.xz - xz, j.yz - yz};
}

/* A body's about the origin of its own frame: f = m p, J + m (|p|^2 1 - p p^T), with J about its cg at p. */
static inline sums body_sums(lanes m, vector p, tensor j) {
  const vector f = {m * p.x, m * p.y, m * p.z};
  return (sums){m, f, add_steiner(j, f, p, f.x * p.y, f.x * p.z, f.y * p.z)};
}

/* Bodies alone: placed first, p = R c + t. */
static inline sums place_bodies(const double *body, turn r, vector t) {
  const vector c = turn_vector(r, load_vector(body + BLOCK));
  const vector p = {c.x + t.x, c.y + t.y, c.z + t.z};
  return body_sums(load(body), p, turn_tensor(r, load_tensor(body + 4 * BLOCK)));
}

static inline sums add_bodies(const double *body, sums s) {
  const sums b = body_sums(load(body), load_vector(body + BLOCK), load_tensor(body + 4 * BLOCK));
  return (sums){
      s.m + b.m,
      {s.f.x + b.f.x, s.f.y + b.f.y, s.f.z + b.f.z},
      {s.j.xx + b.j.xx, s.j.yy + b.j.yy, s.j.zz + b.j.zz, s.j.xy + b.j.xy, s.j.xz + b.j.xz, s.j.yz + b.j.yz}};
}

/* Sums about the own origin: g = R f, f' = g + m t, J' = R J R^T + (t.(g + f')) 1 - (t f'^T + g t^T). */
static inline sums place_sums(sums s, turn r, vector t) {
  const vector g = turn_vector(r, s.f);
  const vector f = {g.x + s.m * t.x, g.y + s.m * t.y, g.z + s.m * t.z};
  const vector both = {g.x + f.x, g.y + f.y, g.z + f.z};
  return (sums){s.m, f,
                add_steiner(turn_tensor(r, s.j), t, both, t.x * f.y + g.x * t.y, t.x * f.z + g.x * t.z,
                            t.y * f.z + g.y * t.z)};
}

/* In a level too long for the cache, what a block four further on is asked for now: memory answers within about that time. */
static inline void fetch_ahead(const sy_rollup_level *level, const double *place, const double *body) {
  enum { LONG = 16384, AHEAD = 4 };
  if (level->count < LONG) return;
  for (int k = 0; k < PLACE; k++) __builtin_prefetch(place + (AHEAD * PLACE + k) * BLOCK);
  for (int k = 0; k < BODY && body != NULL; k++) __builtin_prefetch(body + (AHEAD * BODY + k) * BLOCK);
}

static inline void place_block(const sy_rollup_level *level, const double *below, size_t at,
                               double (*restrict out)[BLOCK]) {
  const double *place = level->place + at * PLACE * BLOCK;
  const double *body = level->body == NULL ? NULL : level->body + at * BODY * BLOCK;
  fetch_ahead(level, place, body);
  for (int i = 0; i < BLOCK; i += LANES) {
    const turn r = {
        {load_vector(place + i), load_vector(place + 3 * BLOCK + i), load_vector(place + 6 * BLOCK + i)}};
    const vector t = load_vector(place + 9 * BLOCK + i);
    sums s = {.m = {0}};
    if (below == NULL && body != NULL) {
      s = place_bodies(body + i, r, t);
    } else if (below != NULL) {
      s = load_sums(below + at * SUMS * BLOCK + i);
      if (body != NULL) s = add_bodies(body + i, s);
      s = place_sums(s, r, t);
    }
    store_sums(&out[0][i], s);
  }
}

/* ---- families ----------------------------------------------------------------------------------------------------------- */

/* What is under way in a level. */
typedef struct walk {
  const sy_rollup_level *level;
  const double *below;
  size_t placed; /* the block that stands in `nodes`, of which more than one parent has some */
  block nodes;
} walk;

/* The lanes from `first` up to before `end` of a block. */
static inline void add_some(double (*restrict to)[BLOCK], double (*restrict from)[BLOCK], bool begin,
                            int first, int end) {
  for (int i = 0; i < BLOCK; i += LANES) {
    const masks lane = FIRST_LANES + i, in = (lane >= first) & (lane < end);
    for (int k = 0; k < SUMS; k++) {
      const lanes some = (lanes)((masks)load(from[k] + i) & in); /* so that no neighbour's NaN comes along */
      store(to[k] + i, begin ? some : load(to[k] + i) + some);
    }
  }
}

/* Nodes [from, end) of the level, lane by lane. */
static inline void add_family(walk *w, size_t from, size_t end, double (*restrict family)[BLOCK]) {
  if (from == end) memset(family, 0, sizeof(block));
  for (size_t at = from / BLOCK, begin = at; at * BLOCK < end; at++) {
    const size_t node = at * BLOCK;
    const bool whole = node >= from && node + BLOCK <= end;
    if (whole && at == begin) {
      place_block(w->level, w->below, at, family);
      continue;
    }
    if (w->placed != at) place_block(w->level, w->below, at, w->nodes);
    w->placed = at;
    add_some(family, w->nodes, at == begin, node >= from ? 0 : (int)(from - node),
             end - node < BLOCK ? (int)(end - node) : BLOCK);
  }
}

/* ---- eight parents' lanes into one column ------------------------------------------------------------------------------- */

#if defined(__has_builtin)
#if __has_builtin(__builtin_shufflevector)
#define PICK __builtin_shufflevector
#endif
#endif

#ifdef PICK
/* Each half of the lanes holds one parent's halves, added; then quarters; then single lanes. */
#if SY_LEVEL == 4
static inline lanes halves(lanes a, lanes b) {
  return PICK(a, b, 0, 1, 2, 3, 8, 9, 10, 11) + PICK(a, b, 4, 5, 6, 7, 12, 13, 14, 15);
}
static inline lanes quarters(lanes a, lanes b) {
  return PICK(a, b, 0, 1, 8, 9, 4, 5, 12, 13) + PICK(a, b, 2, 3, 10, 11, 6, 7, 14, 15);
}
static inline lanes singles(lanes a, lanes b) {
  return PICK(a, b, 0, 8, 2, 10, 4, 12, 6, 14) + PICK(a, b, 1, 9, 3, 11, 5, 13, 7, 15);
}
#elif SY_LEVEL == 3
static inline lanes quarters(lanes a, lanes b) { return PICK(a, b, 0, 1, 4, 5) + PICK(a, b, 2, 3, 6, 7); }
static inline lanes singles(lanes a, lanes b) { return PICK(a, b, 0, 4, 2, 6) + PICK(a, b, 1, 5, 3, 7); }
#else
static inline lanes singles(lanes a, lanes b) { return PICK(a, b, 0, 2) + PICK(a, b, 1, 3); }
#endif

/* Column k of eight parents. */
static inline void fold(block family[BLOCK], int k, double *out) {
#define ROW(parent, lane) load(&family[parent][k][lane])
#if SY_LEVEL == 4
#define HALVES(i) halves(ROW(i, 0), ROW(i + 4, 0))
  store(out, singles(quarters(HALVES(0), HALVES(2)), quarters(HALVES(1), HALVES(3))));
#elif SY_LEVEL == 3
#define HALVES(i) (ROW(i, 0) + ROW(i, 4))
  store(out, singles(quarters(HALVES(0), HALVES(2)), quarters(HALVES(1), HALVES(3))));
  store(out + 4, singles(quarters(HALVES(4), HALVES(6)), quarters(HALVES(5), HALVES(7))));
#else
#define HALVES(i) ((ROW(i, 0) + ROW(i, 4)) + (ROW(i, 2) + ROW(i, 6)))
  for (int i = 0; i < BLOCK; i += LANES) store(out + i, singles(HALVES(i), HALVES(i + 1)));
#endif
#undef ROW
#undef HALVES
}
#else
static inline void fold(block family[BLOCK], int k, double *out) {
  for (int i = 0; i < BLOCK; i++) {
    const double *v = family[i][k];
    out[i] = ((v[0] + v[4]) + (v[2] + v[6])) + ((v[1] + v[5]) + (v[3] + v[7]));
  }
}
#endif

void FUNCTION(const sy_rollup_level *level, const double *below, const uint32_t *child_end, size_t parents,
              double *out) {
  walk w = {.level = level, .below = below, .placed = SIZE_MAX};
  block family[BLOCK];
  size_t from = 0;
  for (size_t p = 0; p < parents; p += BLOCK, out += SUMS * BLOCK) {
    for (size_t i = 0; i < BLOCK; i++) {
      const size_t end = p + i < parents ? child_end[p + i] : from;
      add_family(&w, from, end, family[i]);
      from = end;
    }
    for (int k = 0; k < SUMS; k++) fold(family, k, out + k * BLOCK);
  }
}
