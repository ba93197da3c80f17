/* mesh_table.h - vertices found by their places while a mesh is read, in line: three times a triangle. Private to the files mesh*.c. */
#ifndef SY_MASS_MESH_TABLE_H
#define SY_MASS_MESH_TABLE_H

#include <string.h>

#include "mass/mesh_parts.h"

static inline uint64_t mesh_bits(double x) {
  uint64_t b;
  memcpy(&b, &x, sizeof b);
  return b;
}

/* Mixing after Steele, Lea & Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014. */
static inline uint64_t mesh_hash(sy_vec3 p) {
  uint64_t h = mesh_bits(p.x) * 0x9e3779b97f4a7c15u;
  h = (h ^ h >> 32 ^ mesh_bits(p.y)) * 0xbf58476d1ce4e5b9u;
  h = (h ^ h >> 29 ^ mesh_bits(p.z)) * 0x94d049bb133111ebu;
  return h ^ h >> 32;
}

/* An entry of the table: the upper half of the hash, so that few other vertices are looked at, then the number + 1. */
static inline uint64_t mesh_entry(uint64_t spot, uint32_t number) {
  return (spot & 0xffffffff00000000u) | (number + 1);
}

static inline uint32_t mesh_entry_number(uint64_t entry) { return (uint32_t)entry - 1; }

static inline bool mesh_entry_alike(uint64_t entry, uint64_t spot) { return (entry ^ spot) >> 32 == 0; }

static inline mesh_corner mesh_corner_of(sy_vec3 p) {
  p = (sy_vec3){p.x + 0.0, p.y + 0.0, p.z + 0.0}; /* no negative zeros */
  return (mesh_corner){p, mesh_hash(p)};
}

static inline size_t mesh_next(const sy_mesh *mesh, size_t at) { return (at + 1) & (mesh->table_size - 1); }

/* Memory answers late, so a corner is announced some way before it is welded and its vertex half way. Call sy_mesh_expect before. */
static inline mesh_corner mesh_foresee(const sy_mesh *mesh, sy_vec3 p) {
  const mesh_corner c = mesh_corner_of(p);
  __builtin_prefetch(&mesh->table[c.spot & (mesh->table_size - 1)]);
  return c;
}

static inline void mesh_foresee_vertex(const sy_mesh *mesh, const mesh_corner *c) {
  size_t at = c->spot & (mesh->table_size - 1);
  while (mesh->table[at] != 0 && !mesh_entry_alike(mesh->table[at], c->spot)) at = mesh_next(mesh, at);
  if (mesh->table[at] != 0) __builtin_prefetch(&mesh->vertex[mesh_entry_number(mesh->table[at])]);
}

/* The vertex there, or false and *at where it would be entered. The table is not empty. */
static inline bool mesh_find(const sy_mesh *mesh, const mesh_corner *c, size_t *at, uint32_t *number) {
  for (*at = c->spot & (mesh->table_size - 1); mesh->table[*at] != 0; *at = mesh_next(mesh, *at)) {
    *number = mesh_entry_number(mesh->table[*at]);
    const sy_vec3 *v = &mesh->vertex[*number];
    if (mesh_entry_alike(mesh->table[*at], c->spot) && v->x == c->at.x && v->y == c->at.y && v->z == c->at.z)
      return true;
  }
  return false;
}

#endif
