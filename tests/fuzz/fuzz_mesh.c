/* fuzz_mesh.c - meshes from any bytes: nothing breaks, what is called closed can be turned outward, integrated and filled. */
#include <stdint.h>
#include <stdlib.h>

#include "mass/tank.h"

static void require(int fine) {
  if (!fine) abort();
}

static void fill(const sy_mesh *mesh) {
  sy_tank tank = sy_tank_default(SY_TANK_MESH);
  tank.mesh = mesh;
  double full;
  sy_error err;
  sy_liquid liquid;
  require(sy_tank_capacity(&tank, &full, &err) == SY_OK);
  for (int i = 0; i < 3; i++) {
    const sy_vec3 up = {i == 1 ? 0.3 : 0, i == 2 ? -0.7 : 0, 1};
    require(sy_tank_liquid(&tank, 0.37 * full, up, &liquid, &err) == SY_OK);
    require(liquid.volume >= 0);
  }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  const sy_alloc alloc = sy_alloc_default();
  sy_mesh *mesh = NULL;
  sy_error err;
  sy_massprops body;
  (void)sy_mesh_body_of_stl((const char *)data, size, &body, &err);
  if (sy_mesh_read((const char *)data, size, &alloc, &mesh, &err) != SY_OK) return 0;
  const sy_mesh_about *about = sy_mesh_describe(mesh);
  require(about->triangles > 0 && about->inward <= about->triangles);
  if (sy_mesh_check(mesh, &err) != SY_OK) sy_mesh_turn_outward(mesh);
  if (sy_mesh_check(mesh, &err) == SY_OK) {
    if (sy_mesh_massprops(mesh, 1, &body, &err) == SY_OK) require(sy_vec3_finite(body.cg));
    fill(mesh);
  }
  sy_mesh_free(mesh);
  return 0;
}
