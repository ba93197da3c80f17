#include "mass/mesh_parts.h"
#include "mass/tetrahedra.h"

const sy_mesh_about *sy_mesh_describe(const sy_mesh *mesh) { return &mesh->about; }

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

/* All but the volume. */
static sy_status check_faces(const sy_mesh *mesh, sy_error *err) {
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
  return SY_OK;
}

sy_status sy_mesh_check(const sy_mesh *mesh, sy_error *err) {
  const sy_status status = check_faces(mesh, err);
  if (status != SY_OK) return status;
  const double volume = sums_near(mesh).m;
  if (!(volume > 0))
    return sy_fail(err, SY_GEOMETRY, "mesh", "", "encloses nothing: its volume is %g", volume);
  return SY_OK;
}

double sy_mesh_area(const sy_mesh *mesh) {
  double sum = 0;
  for (size_t i = 0; i < sy_mesh_describe(mesh)->triangles; i++) {
    sy_vec3 p[3];
    sy_mesh_triangle(mesh, i, p);
    sum += 0.5 * sy_vec3_length(sy_vec3_cross(sy_vec3_sub(p[1], p[0]), sy_vec3_sub(p[2], p[0])));
  }
  return sum;
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
  const sy_status status = check_faces(mesh, err);
  if (status != SY_OK) return status;
  return sy_mesh_body(sums_near(mesh), centre_of_box(mesh), mass, out, err);
}
