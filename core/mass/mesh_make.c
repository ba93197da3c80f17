#include <string.h>

#include "mass/mesh_parts.h"

/* Around the triangles: an OBJ may hold corners that none of them uses, and a triangle left out may have had some. */
static void measure_box(sy_mesh *mesh) {
  const sy_mesh_about *about = &mesh->about;
  const bool all_used = about->format != SY_MESH_OBJ && about->collapsed == 0;
  sy_vec3 low = mesh->vertex[mesh->triangle[0].corner[0]], high = low;
  for (size_t i = 0; i < about->vertices && all_used; i++) mesh_widen(&low, &high, mesh->vertex[i]);
  for (size_t i = 0; i < 3 * about->triangles && !all_used; i++)
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
  sy_mesh *mesh = sy_mesh_new(alloc);
  if (mesh == NULL) return sy_mesh_no_memory(err);
  size_t count;
  sy_status status;
  /* a binary file may well begin with "solid": its length decides */
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
  sy_mesh *mesh = sy_mesh_new(alloc);
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
