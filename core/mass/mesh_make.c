#include "mass/mesh.h"

#include <string.h>

#include "base/text.h"
#include "mass/mesh_parts.h"
#include "mass/tetrahedra.h"

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

static uint64_t bits(double x) {
  uint64_t b;
  memcpy(&b, &x, sizeof b);
  return b;
}

/* Mixing after Steele, Lea & Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014. */
static size_t hash(sy_vec3 p) {
  uint64_t h = bits(p.x) * 0x9e3779b97f4a7c15u;
  h = (h ^ h >> 32 ^ bits(p.y)) * 0xbf58476d1ce4e5b9u;
  h = (h ^ h >> 29 ^ bits(p.z)) * 0x94d049bb133111ebu;
  return (size_t)(h ^ h >> 32);
}

static void enter(const sy_mesh *mesh, uint32_t *table, size_t size, uint32_t number) {
  size_t at = hash(mesh->vertex[number]) & (size - 1);
  while (table[at] != 0) at = (at + 1) & (size - 1);
  table[at] = number + 1;
}

static bool widen_table(sy_mesh *mesh, size_t size) {
  uint32_t *table = sy_alloc_new(&mesh->alloc, size * sizeof *table);
  if (table == NULL) return false;
  memset(table, 0, size * sizeof *table);
  for (size_t i = 0; i < mesh->about.vertices; i++) enter(mesh, table, size, (uint32_t)i);
  sy_alloc_free(&mesh->alloc, mesh->table, mesh->table_size * sizeof *table);
  mesh->table = table;
  mesh->table_size = size;
  return true;
}

/* Half full at most. */
bool sy_mesh_expect(sy_mesh *mesh, size_t vertices) {
  size_t size = mesh->table_size == 0 ? 256 : mesh->table_size;
  while (size < 2 * vertices) size *= 2;
  return size == mesh->table_size || widen_table(mesh, size);
}

static bool fine(double x) { return fabs(x) <= SY_MESH_MOST_COORDINATE; } /* false for NaN */

static bool same_place(sy_vec3 p, sy_vec3 q) { return p.x == q.x && p.y == q.y && p.z == q.z; }

sy_status sy_mesh_weld(sy_mesh *mesh, sy_vec3 p, const char *where, uint32_t *number, sy_error *err) {
  if (!fine(p.x) || !fine(p.y) || !fine(p.z)) {
    const double x = !fine(p.x) ? p.x : !fine(p.y) ? p.y : p.z;
    return sy_fail(err, SY_CONTENT, where, "", "has a coordinate of %g, must be within +-%g", x,
                   SY_MESH_MOST_COORDINATE);
  }
  p = (sy_vec3){p.x + 0.0, p.y + 0.0, p.z + 0.0}; /* no negative zeros */
  const size_t spot = hash(p);
  uint32_t *recent = &mesh->recent[spot % MESH_RECENT];
  if (*recent != 0 && same_place(mesh->vertex[*recent - 1], p)) {
    *number = *recent - 1;
    return SY_OK;
  }
  if (!sy_mesh_expect(mesh, mesh->about.vertices + 1)) return sy_mesh_no_memory(err);
  size_t at = spot & (mesh->table_size - 1);
  for (; mesh->table[at] != 0; at = (at + 1) & (mesh->table_size - 1))
    if (same_place(mesh->vertex[mesh->table[at] - 1], p)) {
      *recent = mesh->table[at];
      *number = *recent - 1;
      return SY_OK;
    }
  void *block = mesh->vertex;
  if (!grow(&mesh->alloc, &block, &mesh->vertex_room, mesh->about.vertices, sizeof p))
    return sy_mesh_no_memory(err);
  mesh->vertex = block;
  *number = (uint32_t)mesh->about.vertices;
  mesh->vertex[mesh->about.vertices++] = p;
  mesh->table[at] = *recent = *number + 1;
  return SY_OK;
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

void sy_mesh_free(sy_mesh *mesh) {
  if (mesh == NULL) return;
  const sy_alloc alloc = mesh->alloc;
  sy_alloc_free(&alloc, mesh->vertex, mesh->vertex_room * sizeof *mesh->vertex);
  sy_alloc_free(&alloc, mesh->triangle, mesh->triangle_room * sizeof *mesh->triangle);
  sy_alloc_free(&alloc, mesh->table, mesh->table_size * sizeof *mesh->table);
  sy_alloc_free(&alloc, mesh->wrong, mesh->about.triangles * sizeof *mesh->wrong);
  sy_alloc_free(&alloc, mesh, sizeof *mesh);
}

/* ---- making one ---------------------------------------------------------------------------------------------------- */

static sy_mesh *new_mesh(const sy_alloc *alloc) {
  sy_mesh *mesh = sy_alloc_new(alloc, sizeof *mesh);
  if (mesh != NULL) *mesh = (sy_mesh){.alloc = sy_alloc_or_default(alloc)};
  return mesh;
}

/* Around the triangles: an OBJ may hold corners that none of them uses. */
static void measure_box(sy_mesh *mesh) {
  sy_vec3 low = mesh->vertex[mesh->triangle[0].corner[0]], high = low;
  for (size_t i = 0; i < 3 * mesh->about.triangles; i++)
    mesh_widen(&low, &high, mesh->vertex[mesh->triangle[i / 3].corner[i % 3]]);
  mesh->about.low = low;
  mesh->about.high = high;
}

/* The box around it, and what sy_mesh_explore finds; the mesh is given out, or freed when `status` is a failure. */
static sy_status finish(sy_mesh *mesh, sy_status status, sy_mesh **out, sy_error *err) {
  if (status == SY_OK && mesh->about.triangles == 0)
    status = sy_fail(err, SY_CONTENT, "mesh", "", "has no triangles%s",
                     mesh->about.collapsed > 0 ? " but such that two of their corners are one" : "");
  if (status == SY_OK) {
    measure_box(mesh);
    sy_alloc_free(&mesh->alloc, mesh->table, mesh->table_size * sizeof *mesh->table);
    mesh->table = NULL;
    mesh->table_size = 0;
    status = sy_mesh_explore(mesh, err);
  }
  if (status == SY_OK)
    *out = mesh;
  else
    sy_mesh_free(mesh);
  return status;
}

static bool is_text(const char *bytes, size_t size) {
  for (size_t i = 0; i < size; i++) {
    const unsigned char c = (unsigned char)bytes[i];
    if (c < ' ' && c != '\t' && c != '\n' && c != '\r' && c != '\f') return false;
  }
  return true;
}

static bool begins_with_solid(const char *bytes, size_t size) {
  static const char word[] = "solid";
  size_t i = 0;
  while (i < size && (bytes[i] == ' ' || bytes[i] == '\t' || bytes[i] == '\n' || bytes[i] == '\r')) i++;
  for (size_t k = 0; k < sizeof word - 1; k++, i++)
    if (i >= size || (bytes[i] | 32) != word[k]) return false;
  return true;
}

sy_status sy_mesh_read(const char *bytes, size_t size, const sy_alloc *alloc, sy_mesh **out, sy_error *err) {
  if (size == 0) return sy_fail(err, SY_CONTENT, "mesh", "", "is empty");
  sy_mesh *mesh = new_mesh(alloc);
  if (mesh == NULL) return sy_mesh_no_memory(err);
  size_t count;
  sy_status status;
  /* a binary file may well begin with "solid": its length tells */
  if (sy_mesh_is_binary(bytes, size, &count) || !is_text(bytes, size)) {
    mesh->about.format = SY_MESH_STL;
    status = sy_mesh_read_binary(mesh, bytes, size, err);
  } else if (begins_with_solid(bytes, size)) {
    mesh->about.format = SY_MESH_STL_TEXT;
    status = sy_mesh_read_stl_text(mesh, bytes, size, err);
  } else {
    mesh->about.format = SY_MESH_OBJ;
    status = sy_mesh_read_obj(mesh, bytes, size, err);
  }
  return finish(mesh, status, out, err);
}

sy_status sy_mesh_make(const double *corners, size_t corner_count, const uint32_t *triangles,
                       size_t triangle_count, const sy_alloc *alloc, sy_mesh **out, sy_error *err) {
  sy_mesh *mesh = new_mesh(alloc);
  if (mesh == NULL) return sy_mesh_no_memory(err);
  sy_status status = SY_OK;
  mesh->about.format = SY_MESH_OBJ;
  for (size_t i = 0; i < triangle_count && status == SY_OK; i++) {
    uint32_t corner[3] = {0, 0, 0};
    char where[MESH_WHERE];
    sy_mesh_where(where, "triangle", i);
    for (int k = 0; k < 3 && status == SY_OK; k++) {
      const uint32_t at = triangles[3 * i + (size_t)k];
      if (at >= corner_count)
        status = sy_fail(err, SY_CONTENT, where, "", "has corner %zu, there are %zu", (size_t)at + 1,
                         corner_count);
      else
        status = sy_mesh_weld(
            mesh,
            (sy_vec3){corners[3 * (size_t)at], corners[3 * (size_t)at + 1], corners[3 * (size_t)at + 2]},
            where, &corner[k], err);
    }
    if (status == SY_OK) status = sy_mesh_add_triangle(mesh, corner[0], corner[1], corner[2], err);
  }
  return finish(mesh, status, out, err);
}

/* ---- asking -------------------------------------------------------------------------------------------------------- */

const sy_mesh_about *sy_mesh_tell(const sy_mesh *mesh) { return &mesh->about; }

sy_vec3 sy_mesh_vertex(const sy_mesh *mesh, size_t i) { return mesh->vertex[i]; }

void sy_mesh_triangle(const sy_mesh *mesh, size_t i, sy_vec3 corner[3]) { mesh_corners(mesh, i, corner); }

void sy_mesh_turn_outward(sy_mesh *mesh) {
  for (size_t i = 0; mesh->wrong != NULL && i < mesh->about.triangles; i++)
    if (mesh->wrong[i]) {
      const uint32_t b = mesh->triangle[i].corner[1];
      mesh->triangle[i].corner[1] = mesh->triangle[i].corner[2];
      mesh->triangle[i].corner[2] = b;
      mesh->wrong[i] = false;
    }
  mesh->about.inward = 0;
}

void sy_mesh_scale(sy_mesh *mesh, double factor) {
  for (size_t i = 0; i < mesh->about.vertices; i++) mesh->vertex[i] = sy_vec3_scale(factor, mesh->vertex[i]);
  mesh->about.low = sy_vec3_scale(factor, mesh->about.low);
  mesh->about.high = sy_vec3_scale(factor, mesh->about.high);
}

static sy_vec3 centre_of_box(const sy_mesh *mesh) {
  return sy_vec3_scale(0.5, sy_vec3_add(mesh->about.low, mesh->about.high));
}

/* About the centre of the box around it. */
static sy_sums sums_near(const sy_mesh *mesh) {
  const sy_vec3 apex = centre_of_box(mesh);
  tetrahedra sum = {0};
  for (size_t i = 0; i < mesh->about.triangles; i++) {
    sy_vec3 p[3];
    mesh_corners(mesh, i, p);
    tetrahedra_add(&sum, sy_vec3_sub(p[0], apex), sy_vec3_sub(p[1], apex), sy_vec3_sub(p[2], apex));
  }
  return tetrahedra_sums(&sum);
}

sy_sums sy_mesh_sums(const sy_mesh *mesh) {
  const sy_sums near = sums_near(mesh);
  return sy_sums_place(&near, &(sy_frame){sy_mat3_identity(), centre_of_box(mesh)});
}

sy_status sy_mesh_check(const sy_mesh *mesh, sy_error *err) {
  const sy_mesh_about *a = &mesh->about;
  if (a->twice > 0)
    return sy_fail(err, SY_GEOMETRY, "mesh", "",
                   "has %zu of %zu triangles that stand there twice: export each face once", a->twice,
                   a->triangles);
  if (a->open_edges > 0)
    return sy_fail(err, SY_GEOMETRY, "mesh", "", "is open: %zu of its edges belong to one triangle only",
                   a->open_edges);
  if (a->bad_edges > 0)
    return sy_fail(err, SY_GEOMETRY, "mesh", "",
                   "has %zu edges where more than two triangles meet and do not pair up", a->bad_edges);
  if (a->twisted > 0)
    return sy_fail(err, SY_GEOMETRY, "mesh", "",
                   "has no inner side: across %zu of its edges inside and outside change places", a->twisted);
  if (a->inward == a->triangles)
    return sy_fail(err, SY_GEOMETRY, "mesh", "", "is inside out: all of its %zu triangles look inward",
                   a->triangles);
  if (a->inward > 0)
    return sy_fail(err, SY_GEOMETRY, "mesh", "", "has %zu of %zu triangles that look the wrong way",
                   a->inward, a->triangles);
  const double volume = sums_near(mesh).m;
  if (!(volume > 0))
    return sy_fail(err, SY_GEOMETRY, "mesh", "", "encloses nothing: its volume is %g", volume);
  return SY_OK;
}

sy_status sy_mesh_body(sy_sums volume, sy_vec3 origin, double mass, sy_massprops *out, sy_error *err) {
  if (!(volume.m > 0))
    return sy_fail(err, SY_GEOMETRY, "mesh", "", "encloses nothing: its volume is %g", volume.m);
  sy_massprops body = sy_sums_body(&volume);
  body = (sy_massprops){mass, sy_vec3_add(body.cg, origin), sy_sym3_scale(mass / volume.m, body.inertia)};
  if (!isfinite(mass) || !sy_vec3_finite(body.cg) || !sy_sym3_finite(body.inertia))
    return sy_fail(err, SY_GEOMETRY, "mesh", "", "has no centre that is a number: its volume is %g",
                   volume.m);
  *out = body;
  return SY_OK;
}

sy_status sy_mesh_massprops(const sy_mesh *mesh, double mass, sy_massprops *out, sy_error *err) {
  if (!(mass >= 0 && isfinite(mass)))
    return sy_fail(err, SY_RANGE, "mesh", "mass", "is %g kg, must be >= 0 and finite", mass);
  const sy_status status = sy_mesh_check(mesh, err);
  if (status != SY_OK) return status;
  return sy_mesh_body(sums_near(mesh), centre_of_box(mesh), mass, out, err);
}
