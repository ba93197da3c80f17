#include "mass/mesh.h"

#include <string.h>

#include "base/text.h"
#include "mass/mesh_table.h"

sy_status sy_mesh_no_memory(sy_error *err) { return sy_fail(err, SY_LIMIT, "mesh", "", "memory is out"); }

void sy_mesh_where(char where[MESH_WHERE], const char *word, size_t index) {
  char number[SY_TEXT_DOUBLE];
  sy_text_from_double((double)(index + 1), number); /* people count from 1 */
  size_t n = strlen(word);
  memcpy(where, word, n);
  where[n++] = ' ';
  memcpy(where + n, number, strlen(number) + 1);
}

/* ---- vertices and triangles ---------------------------------------------------------------------------------------- */

/* At least one more of `item` bytes. */
static bool grow(const sy_alloc *alloc, void **block, size_t *room, size_t used, size_t item) {
  if (used < *room) return true;
  const size_t more = *room < 64 ? 64 : *room * 2;
  void *bigger = alloc->resize(alloc->user, *block, *room * item, more * item);
  if (bigger == NULL) return false;
  *block = bigger;
  *room = more;
  return true;
}

static void enter(const sy_mesh *mesh, uint64_t *table, size_t size, uint32_t number) {
  const uint64_t spot = mesh_hash(mesh->vertex[number]);
  size_t at = (size_t)spot & (size - 1);
  while (table[at] != 0) at = (at + 1) & (size - 1);
  table[at] = mesh_entry(spot, number);
}

static bool widen_table(sy_mesh *mesh, size_t size) {
  uint64_t *table = sy_alloc_new(&mesh->alloc, size * sizeof *table);
  if (table == NULL) return false;
  memset(table, 0, size * sizeof *table);
  for (size_t i = 0; i < mesh->about.vertices; i++) enter(mesh, table, size, (uint32_t)i);
  sy_alloc_free(&mesh->alloc, mesh->table, mesh->table_size * sizeof *table);
  mesh->table = table;
  mesh->table_size = size;
  return true;
}

static bool make_room(const sy_mesh *mesh, void **block, size_t *room, size_t count, size_t item) {
  if (count <= *room) return true;
  void *bigger = mesh->alloc.resize(mesh->alloc.user, *block, *room * item, count * item);
  if (bigger == NULL) return false;
  *block = bigger;
  *room = count;
  return true;
}

bool sy_mesh_reserve(sy_mesh *mesh, size_t vertices, size_t triangles) {
  void *corners = mesh->vertex, *faces = mesh->triangle;
  const bool fine = make_room(mesh, &corners, &mesh->vertex_room, vertices, sizeof *mesh->vertex) &&
                    make_room(mesh, &faces, &mesh->triangle_room, triangles, sizeof *mesh->triangle);
  mesh->vertex = corners;
  mesh->triangle = faces;
  return fine && sy_mesh_expect(mesh, vertices);
}

/* The table half full at most. */
bool sy_mesh_expect(sy_mesh *mesh, size_t vertices) {
  size_t size = mesh->table_size == 0 ? 256 : mesh->table_size;
  while (size < 2 * vertices) size *= 2;
  return size == mesh->table_size || widen_table(mesh, size);
}

static bool fine(double x) { return fabs(x) <= SY_MESH_MOST_COORDINATE; } /* false for NaN */

sy_status sy_mesh_weld_foreseen(sy_mesh *mesh, const mesh_corner *c, const char *where, uint32_t *number,
                                sy_error *err) {
  const sy_vec3 p = c->at;
  if (!fine(p.x) || !fine(p.y) || !fine(p.z)) {
    const double x = !fine(p.x) ? p.x : !fine(p.y) ? p.y : p.z;
    return sy_fail(err, SY_CONTENT, where, "", "has a coordinate of %g, must be within +-%g", x,
                   SY_MESH_MOST_COORDINATE);
  }
  if (mesh->table_size == 0 && !sy_mesh_expect(mesh, 1)) return sy_mesh_no_memory(err);
  size_t at;
  if (mesh_find(mesh, c, &at, number)) return SY_OK;
  void *block = mesh->vertex;
  if (!grow(&mesh->alloc, &block, &mesh->vertex_room, mesh->about.vertices, sizeof p))
    return sy_mesh_no_memory(err);
  mesh->vertex = block;
  *number = (uint32_t)mesh->about.vertices;
  mesh->vertex[mesh->about.vertices++] = p;
  mesh->table[at] = mesh_entry(c->spot, *number);
  return sy_mesh_expect(mesh, mesh->about.vertices + 1) ? SY_OK : sy_mesh_no_memory(err);
}

sy_status sy_mesh_weld(sy_mesh *mesh, sy_vec3 p, const char *where, uint32_t *number, sy_error *err) {
  const mesh_corner c = mesh_corner_of(p);
  return sy_mesh_weld_foreseen(mesh, &c, where, number, err);
}

sy_status sy_mesh_add_triangle(sy_mesh *mesh, uint32_t a, uint32_t b, uint32_t c, sy_error *err) {
  if (a == b || b == c || c == a) {
    mesh->about.collapsed++;
    return SY_OK;
  }
  if (mesh->about.triangles >= SY_MESH_MOST_TRIANGLES)
    return sy_fail(err, SY_LIMIT, "mesh", "", "has more than %d triangles", SY_MESH_MOST_TRIANGLES);
  void *block = mesh->triangle;
  if (!grow(&mesh->alloc, &block, &mesh->triangle_room, mesh->about.triangles, sizeof *mesh->triangle))
    return sy_mesh_no_memory(err);
  mesh->triangle = block;
  mesh->triangle[mesh->about.triangles++] = (mesh_triangle){{a, b, c}};
  return SY_OK;
}

sy_mesh *sy_mesh_new(const sy_alloc *alloc) {
  sy_mesh *mesh = sy_alloc_new(alloc, sizeof *mesh);
  if (mesh != NULL) *mesh = (sy_mesh){.alloc = sy_alloc_or_default(alloc)};
  return mesh;
}

void sy_mesh_free(sy_mesh *mesh) {
  if (mesh == NULL) return;
  const sy_alloc alloc = mesh->alloc;
  sy_alloc_free(&alloc, mesh->vertex, mesh->vertex_room * sizeof *mesh->vertex);
  sy_alloc_free(&alloc, mesh->triangle, mesh->triangle_room * sizeof *mesh->triangle);
  sy_alloc_free(&alloc, mesh->table, mesh->table_size * sizeof *mesh->table);
  sy_alloc_free(&alloc, mesh->wrong, mesh->about.triangles * sizeof *mesh->wrong);
  sy_alloc_free(&alloc, mesh, sizeof *mesh);
}
