/* mesh.h - surfaces of triangles: read from bytes, welded, asked whether they enclose a body, and integrated.
**
** Units    whatever the file is in, which it does not say: mm more often than not. sy_mesh_scale brings it to m, and what
**          else is here is in the mesh's unit then.
** Reads    STL, binary and text (3D Systems Inc., StereoLithography Interface Specification, 1989, from memory) and OBJ
**          (its lines v and f, Wavefront Technologies 1992, from memory; faces of more than three corners are cut into
**          triangles that share the first). Corners at exactly the same place are one vertex; a triangle of which two
**          corners are one is left out and counted.
** Closed   every edge is passed as often one way as the other; so it is when each belongs to two faces. A shell is
**          what hangs together across such edges. Its faces look outward, or inward where it lies in an odd number of
**          other shells and is a cavity. A surface that cuts through itself is not noticed.
*/
#ifndef SY_MASS_MESH_H
#define SY_MASS_MESH_H

#include <stdint.h>

#include "../base/alloc.h"
#include "sums.h"

enum {
  SY_MESH_MOST_TRIANGLES = 5000000,
  SY_MESH_MOST_SHELLS = 4096,
};
#define SY_MESH_MOST_COORDINATE 1e9 /* in the file's unit: its fifth power is still a number */

typedef struct sy_mesh sy_mesh;

typedef enum sy_mesh_format { SY_MESH_STL, SY_MESH_STL_TEXT, SY_MESH_OBJ } sy_mesh_format;

typedef struct sy_mesh_about {
  sy_mesh_format format;
  size_t triangles, vertices;
  size_t collapsed;  /* triangles left out: two of their corners are one */
  size_t twice;      /* triangles that stand there already, turned the same way; then nothing below */
  size_t open_edges; /* of one face only */
  size_t bad_edges;  /* of more than two faces, not passed as often one way as the other */
  size_t twisted;    /* edges across which no side is the inner one, as on a Moebius strip */
  size_t shells, cavities;
  size_t inward;     /* triangles that look the wrong way; known when all of the above is in order */
  sy_vec3 low, high; /* the box around it */
} sy_mesh_about;

/* Read a surface, closed or not.
** bytes  not needed afterwards
** out    written only when SY_OK is returned; ended by sy_mesh_free
** Errors  SY_CONTENT  neither of the three formats, cut off, a coordinate that is not a number, not finite or above
**                     SY_MESH_MOST_COORDINATE, a face with a corner that is not there, no triangles at all
**         SY_LIMIT    more triangles or shells than above; no memory
** The part of an error is "triangle 7" or "line 12" where it is known. */
SY_API sy_status sy_mesh_read(const char *bytes, size_t size, const sy_alloc *alloc, sy_mesh **out,
                              sy_error *err);

/* The same from corners in memory, three numbers each, and triangles of three corners each, counted from 0. */
SY_API sy_status sy_mesh_make(const double *corners, size_t corner_count, const uint32_t *triangles,
                              size_t triangle_count, const sy_alloc *alloc, sy_mesh **out, sy_error *err);

/* NULL is fine. */
SY_API void sy_mesh_free(sy_mesh *mesh);

SY_API const sy_mesh_about *sy_mesh_describe(const sy_mesh *mesh);

/* The three corners of triangle `i`, counter-clockwise when seen from where it looks. */
SY_API void sy_mesh_triangle(const sy_mesh *mesh, size_t i, sy_vec3 corner[3]);

/* Vertex `i`. */
SY_API sy_vec3 sy_mesh_vertex(const sy_mesh *mesh, size_t i);

/* Does it enclose a body, seen from outside?
** Errors  SY_GEOMETRY  a triangle stands twice, it is open, has edges of too many faces, no inner side, faces that look inward, or no volume */
SY_API sy_status sy_mesh_check(const sy_mesh *mesh, sy_error *err);

/* Turn the faces that look the wrong way; `about.inward` is 0 then. */
SY_API void sy_mesh_turn_outward(sy_mesh *mesh);

/* p -> factor p, factor > 0: 1e-3 from mm to m. */
SY_API void sy_mesh_scale(sy_mesh *mesh, double factor);

/* Volume, and the first and second moments of volume, about the mesh's own origin.
** Source  moments of a tetrahedron: F. Tonon, Explicit exact formulas for the 3-D tetrahedron inertia tensor in terms
**         of its vertex coordinates, Journal of Mathematics and Statistics 1 (2005) 8-11 (its matrix (2) has b' and c'
**         in each other's place); summed from a point near the mesh, so that one far from its origin loses no digits. */
SY_API sy_sums sy_mesh_sums(const sy_mesh *mesh);

/* Area of all its triangles, those round cavities too, in the square of the mesh's unit. */
SY_API double sy_mesh_area(const sy_mesh *mesh);

/* A uniform body of that shape and `mass`; the mesh in m. Errors as sy_mesh_check; SY_RANGE mass < 0 or not finite. */
SY_API sy_status sy_mesh_massprops(const sy_mesh *mesh, double mass, sy_massprops *out, sy_error *err);

/* The same straight from the bytes of a binary STL, for a surface that is known to be closed: nothing of that is looked at.
** The mass is the volume in the file's own unit, the inertia that of density 1.
** Errors  SY_CONTENT  no binary STL, or cut off;  SY_GEOMETRY  the volume is not > 0, or a value not finite */
SY_API sy_status sy_mesh_body_of_stl(const char *bytes, size_t size, sy_massprops *out, sy_error *err);

#endif
