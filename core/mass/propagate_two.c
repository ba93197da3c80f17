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

void sy_add_two(sum_of_errors *sum, const sy_part *p, const sy_part *q, const sy_sensitivity *by) {
  const two count = {(double)p->count, (double)q->count}, mass_sd = {p->mass_sd, q->mass_sd};
  const two moved = count * (two){p->mass, q->mass};
  const vector at = vectors(p->cg, q->cg), sd = vectors(p->cg_sd, q->cg_sd);
  const two growth = {growth_of(p), growth_of(q)};
  const two kilograms = {growth[0] > 0 ? p->mass : 1, growth[1] > 0 ? q->mass : 1};
  const bool grows = growth[0] > 0 || growth[1] > 0;
  const tensor j = tensors(p->inertia, q->inertia);
  const two half = 0.5 * (j.xx + j.yy + j.zz);
  for (size_t k = 0; k < sum->count; k++) {
    const sy_sensitivity *g = &by[k];
    const vector first = both_vectors(g->first);
    two effect = both(g->m) + (first.x * at.x + first.y * at.y + first.z * at.z);
    vector place = first;
    if (!g->flat) {
      const tensor s = tensors(g->second, g->second);
      effect += s.xx * at.x * at.x + s.yy * at.y * at.y + s.zz * at.z * at.z +
                2.0 * (s.xy * at.x * at.y + s.xz * at.x * at.z + s.yz * at.y * at.z);
      place.x += 2.0 * (s.xx * at.x + s.xy * at.y + s.xz * at.z);
      place.y += 2.0 * (s.xy * at.x + s.yy * at.y + s.yz * at.z);
      place.z += 2.0 * (s.xz * at.x + s.yz * at.y + s.zz * at.z);
      if (grows)
        effect += growth *
                  (s.xx * (half - j.xx) + s.yy * (half - j.yy) + s.zz * (half - j.zz) -
                   2.0 * (s.xy * j.xy + s.xz * j.xz + s.yz * j.yz)) /
                  kilograms;
    }
    const two mass = count * effect * mass_sd;
    const two x = moved * place.x * sd.x, y = moved * place.y * sd.y, z = moved * place.z * sd.z;
    const two squares = mass * mass + x * x + y * y + z * z;
    sum->variance[k] += squares[0];
    sum->variance[k] += squares[1];
  }
}
