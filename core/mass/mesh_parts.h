/* mesh_parts.h - the inside of a mesh, for the files mesh*.c only. */
#ifndef SY_MASS_MESH_PARTS_H
#define SY_MASS_MESH_PARTS_H

#include <stdbool.h>

#include "mesh.h"

typedef struct mesh_triangle {
  uint32_t corner[3]; /* numbers of vertices */
} mesh_triangle;

struct sy_mesh {
  sy_alloc alloc;
  sy_vec3 *vertex;
  mesh_triangle *triangle;
  bool *wrong; /* by triangle: looks the wrong way; NULL when none does or it is not known */
  size_t vertex_room, triangle_room;
  uint64_t *table; /* vertices by place, while a mesh is read; 0 for a free entry */
  size_t table_size;
  sy_mesh_about about;
};

/* A corner as it is looked up. */
typedef struct mesh_corner {
  sy_vec3 at;
  uint64_t spot; /* hash of the place */
} mesh_corner;

static inline void mesh_corners(const sy_mesh *mesh, size_t triangle, sy_vec3 corner[3]) {
  for (int k = 0; k < 3; k++) corner[k] = mesh->vertex[mesh->triangle[triangle].corner[k]];
}

/* Widen the box so that p lies in it. */
static inline void mesh_widen(sy_vec3 *low, sy_vec3 *high, sy_vec3 p) {
  if (p.x < low->x) low->x = p.x;
  if (p.y < low->y) low->y = p.y;
  if (p.z < low->z) low->z = p.z;
  if (p.x > high->x) high->x = p.x;
  if (p.y > high->y) high->y = p.y;
  if (p.z > high->z) high->z = p.z;
}

/* An empty one; NULL when memory is out. */
sy_mesh *sy_mesh_new(const sy_alloc *alloc);

/* Make room for so many vertices at once. False when memory is out. */
bool sy_mesh_expect(sy_mesh *mesh, size_t vertices);

/* The same, and so many triangles: nothing is then moved while they are read. */
bool sy_mesh_reserve(sy_mesh *mesh, size_t vertices, size_t triangles);

/* The number of the vertex at `p`, a new one if need be. `where` is the part of an error. */
sy_status sy_mesh_weld(sy_mesh *mesh, sy_vec3 p, const char *where, uint32_t *number, sy_error *err);

/* The same of a corner that was looked up before (mesh_table.h). Call sy_mesh_expect before. */
sy_status sy_mesh_weld_foreseen(sy_mesh *mesh, const mesh_corner *c, const char *where, uint32_t *number,
                                sy_error *err);

sy_status sy_mesh_add_triangle(sy_mesh *mesh, uint32_t a, uint32_t b, uint32_t c, sy_error *err);

/* Edges, shells, cavities and which way the faces look, into `about` and `wrong`. */
sy_status sy_mesh_explore(sy_mesh *mesh, sy_error *err);

sy_status sy_mesh_no_memory(sy_error *err);

/* A body of `mass` from a volume and its moments about `origin`. SY_GEOMETRY when that is none. */
sy_status sy_mesh_body(sy_sums volume, sy_vec3 origin, double mass, sy_massprops *out, sy_error *err);

/* Triangles a binary STL says it has, when `size` bytes can hold its header. */
bool sy_mesh_is_binary(const char *bytes, size_t size, size_t *count);

/* The readers of the three formats: triangles into an empty mesh. */
sy_status sy_mesh_read_binary(sy_mesh *mesh, const char *bytes, size_t size, sy_error *err);
sy_status sy_mesh_read_stl_text(sy_mesh *mesh, const char *bytes, size_t size, sy_error *err);
sy_status sy_mesh_read_obj(sy_mesh *mesh, const char *bytes, size_t size, sy_error *err);

/* "triangle 7" into a buffer, from 1. */
enum { MESH_WHERE = 40 };
void sy_mesh_where(char where[MESH_WHERE], const char *word, size_t index);

#endif
