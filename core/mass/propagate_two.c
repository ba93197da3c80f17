/* propagate_two.c - lanes are parts; they meet in the sums alone, one after the other. The products are those of add_piece in
** propagate_line.c, in the same order. */
#include "mass/propagate_two.h"

typedef double two __attribute__((vector_size(2 * sizeof(double))));

typedef struct vector {
  two x, y, z;
} vector;

typedef struct tensor {
  two xx, yy, zz, xy, xz, yz;
} tensor;

static inline two both(double a) { return (two){a, a}; }

static inline vector vectors(sy_vec3 a, sy_vec3 b) {
  return (vector){(two){a.x, b.x}, (two){a.y, b.y}, (two){a.z, b.z}};
}

static inline vector both_vectors(sy_vec3 a) { return vectors(a, a); }

static inline tensor tensors(sy_sym3 a, sy_sym3 b) {
  return (tensor){(two){a.xx, b.xx}, (two){a.yy, b.yy}, (two){a.zz, b.zz},
                  (two){a.xy, b.xy}, (two){a.xz, b.xz}, (two){a.yz, b.yz}};
}

bool sy_takes_two(const sum_of_errors *sum, const sy_sensitivity *by) {
  bool whole = !sum->crossed;
  for (size_t k = 0; k < sum->count; k++) whole = whole && by[k].carriers == SY_ALL_CARRIERS;
  return whole;
}

/* Own moments that grow with the mass; of what has no shape, or no mass, nothing does. */
static inline double growth_of(const sy_part *p) { return p->flags & SY_PART_SOLID && p->mass > 0 ? 1 : 0; }

/* What the second moments do to an answer; most often to a yaw inertia, where those of the plan view count alike and no others do. */
typedef enum second_kind { NO_SECOND, OF_PLAN, ALL_SECOND } second_kind;

/* A change between two cars keeps nothing of what both answers have in common. */
static inline second_kind kind_of(const sy_sensitivity *g) {
  const sy_sym3 *s = &g->second;
  if (g->flat) return NO_SECOND;
  if (s->zz != 0 || s->xy != 0 || s->xz != 0 || s->yz != 0) return ALL_SECOND;
  return s->xx != 0 || s->yy != 0 ? OF_PLAN : NO_SECOND;
}

/* Both parts, as far as every answer takes the same of them. */
typedef struct two_parts {
  const sy_part *first, *second;
  two count, mass_sd, moved;
  vector at, sd;
  bool grows;
  two growth, kilograms, xx, yy, zz; /* of own moments, where one of them grows */
} two_parts;

/* Terms that are 0 are left out: they add nothing to any bit. */
static inline void add_of_plan(const two_parts *p, const sy_sensitivity *g, two *effect, vector *place) {
  const two xx = both(g->second.xx), yy = both(g->second.yy);
  const vector at = p->at;
  *effect += xx * at.x * at.x + yy * at.y * at.y;
  place->x += 2.0 * (xx * at.x);
  place->y += 2.0 * (yy * at.y);
  if (p->grows) *effect += p->growth * (xx * p->xx + yy * p->yy) / p->kilograms;
}

static inline void add_all_second(const two_parts *p, const sy_sensitivity *g, two *effect, vector *place) {
  const tensor s = tensors(g->second, g->second);
  const vector at = p->at;
  *effect += s.xx * at.x * at.x + s.yy * at.y * at.y + s.zz * at.z * at.z +
             2.0 * (s.xy * at.x * at.y + s.xz * at.x * at.z + s.yz * at.y * at.z);
  place->x += 2.0 * (s.xx * at.x + s.xy * at.y + s.xz * at.z);
  place->y += 2.0 * (s.xy * at.x + s.yy * at.y + s.yz * at.z);
  place->z += 2.0 * (s.xz * at.x + s.yz * at.y + s.zz * at.z);
  if (!p->grows) return;
  const tensor j = tensors(p->first->inertia, p->second->inertia);
  *effect += p->growth *
             (s.xx * p->xx + s.yy * p->yy + s.zz * p->zz - 2.0 * (s.xy * j.xy + s.xz * j.xz + s.yz * j.yz)) /
             p->kilograms;
}

static inline void note_growth(two_parts *t) {
  const sy_part *p = t->first, *q = t->second;
  t->growth = (two){growth_of(p), growth_of(q)};
  t->grows = t->growth[0] > 0 || t->growth[1] > 0;
  if (!t->grows) return;
  t->kilograms = (two){t->growth[0] > 0 ? p->mass : 1, t->growth[1] > 0 ? q->mass : 1};
  t->xx = (two){p->inertia.xx, q->inertia.xx};
  t->yy = (two){p->inertia.yy, q->inertia.yy};
  t->zz = (two){p->inertia.zz, q->inertia.zz};
  const two half = 0.5 * (t->xx + t->yy + t->zz);
  t->xx = half - t->xx, t->yy = half - t->yy, t->zz = half - t->zz;
}

void sy_add_two(sum_of_errors *sum, const sy_part *p, const sy_part *q, const sy_sensitivity *by) {
  two_parts t = {.first = p, .second = q, .at = vectors(p->cg, q->cg), .sd = vectors(p->cg_sd, q->cg_sd)};
  t.count = (two){(double)p->count, (double)q->count}, t.mass_sd = (two){p->mass_sd, q->mass_sd};
  t.moved = t.count * (two){p->mass, q->mass};
  note_growth(&t);
  for (size_t k = 0; k < sum->count; k++) {
    const sy_sensitivity *g = &by[k];
    const vector first = both_vectors(g->first);
    two effect = both(g->m) + (first.x * t.at.x + first.y * t.at.y + first.z * t.at.z);
    vector place = first;
    const second_kind kind = kind_of(g);
    if (kind == OF_PLAN) add_of_plan(&t, g, &effect, &place);
    if (kind == ALL_SECOND) add_all_second(&t, g, &effect, &place);
    const two mass = t.count * effect * t.mass_sd;
    const two x = t.moved * place.x * t.sd.x, y = t.moved * place.y * t.sd.y, z = t.moved * place.z * t.sd.z;
    const two squares = mass * mass + x * x + y * y + z * z;
    sum->variance[k] += squares[0];
    sum->variance[k] += squares[1];
  }
}
