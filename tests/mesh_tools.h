/* mesh_tools.h - bodies of triangles for tests, in memory and as the bytes of each format. */
#ifndef SY_TESTS_MESH_TOOLS_H
#define SY_TESTS_MESH_TOOLS_H

#include <stdio.h>

#include "ledger_tools.h"
#include "mass/mesh.h"

enum { MOST_CORNERS = 64, MOST_FACES = 128, MOST_TEXT = 1 << 16 };

typedef struct body {
  double corner[MOST_CORNERS][3];
  uint32_t face[MOST_FACES][3];
  size_t corners, faces;
} body;

/* Adds a box between two points; inside out when `inward`. */
static inline void add_box(body *b, const double low[3], const double high[3], bool inward) {
  static const uint32_t box[12][3] = {{0, 2, 3}, {0, 3, 1}, {4, 5, 7}, {4, 7, 6}, {0, 1, 5}, {0, 5, 4},
                                      {2, 6, 7}, {2, 7, 3}, {0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5}};
  for (size_t i = 0; i < 12; i++)
    for (size_t k = 0; k < 3; k++)
      b->face[b->faces + i][inward ? 2 - k : k] = (uint32_t)b->corners + box[i][k];
  for (size_t i = 0; i < 8; i++)
    for (size_t k = 0; k < 3; k++) b->corner[b->corners + i][k] = i >> k & 1 ? high[k] : low[k];
  b->faces += 12;
  b->corners += 8;
}

static inline body one_box(void) {
  body b = {.corners = 0};
  add_box(&b, (double[3]){-0.5, 0.25, 1}, (double[3]){1.5, 1, 4.5}, false);
  return b;
}

static inline sy_mesh *mesh_of(const body *b) {
  const sy_alloc alloc = sy_alloc_default();
  sy_mesh *mesh = NULL;
  sy_error err = {.status = SY_OK};
  must(sy_mesh_make(&b->corner[0][0], b->corners, &b->face[0][0], b->faces, &alloc, &mesh, &err), &err);
  return mesh;
}

static inline size_t as_binary(const body *b, char *bytes) {
  memset(bytes, 0, 80);
  memcpy(bytes, "solid is not a sign of text", 24);
  const uint32_t count = (uint32_t)b->faces;
  memcpy(bytes + 80, &count, 4); /* the machines that run the tests have the little end first */
  for (size_t i = 0; i < b->faces; i++) {
    char *at = bytes + 84 + 50 * i;
    memset(at, 0, 50);
    for (size_t k = 0; k < 3; k++)
      for (size_t c = 0; c < 3; c++) {
        const float f = (float)b->corner[b->face[i][k]][c];
        memcpy(at + 12 + 12 * k + 4 * c, &f, 4);
      }
  }
  return 84 + 50 * b->faces;
}

static inline size_t as_stl_text(const body *b, char *text) {
  char *at = text + sprintf(text, "solid a box, facet by facet\r\n");
  for (size_t i = 0; i < b->faces; i++) {
    at += sprintf(at, "  facet normal nan 0 0\r\n    OUTER loop\r\n");
    for (size_t k = 0; k < 3; k++) {
      const double *p = b->corner[b->face[i][k]];
      at += sprintf(at, "      vertex %.9e %.9E %.9g\r\n", p[0], p[1], p[2]);
    }
    at += sprintf(at, "    endloop\r\n  endfacet\r\n");
  }
  return (size_t)(at + sprintf(at, "endsolid a box") - text);
}

/* Corners with normals, faces counted from the front or from the back; the first two triangles of a box as one face. */
static inline size_t as_obj(const body *b, char *text) {
  char *at = text + sprintf(text, "# a box\nmtllib box.mtl\no box\n");
  for (size_t i = 0; i < b->corners; i++)
    at +=
        sprintf(at, "v %.17g %.17g %.17g 1.0\nvn 0 0 1\n", b->corner[i][0], b->corner[i][1], b->corner[i][2]);
  at += sprintf(at, "f 1 3 \\\n 4 2\n");
  for (size_t i = 2; i < b->faces; i++) {
    const uint32_t *f = b->face[i];
    if (i % 2 == 0)
      at += sprintf(at, "f %u/1/%u %u//2 %u/3\n", f[0] + 1, f[0] + 1, f[1] + 1, f[2] + 1);
    else
      at += sprintf(at, "f %d %d %d\n", (int)f[0] - (int)b->corners, (int)f[1] - (int)b->corners,
                    (int)f[2] - (int)b->corners);
  }
  return (size_t)(at - text);
}

#endif
