/* tetrahedra.h - sums over the tetrahedra that triangles make with one point (for meshes and tanks). */
#ifndef SY_MASS_TETRAHEDRA_H
#define SY_MASS_TETRAHEDRA_H

#include "sums.h"

/* 6 times the volume, 24 times its first moments, 120 times the mixed second moments and 60 times the squares: the divisions
** are left to the end. */
typedef struct tetrahedra {
  double v, x, y, z, xx, yy, zz, xy, xz, yz;
} tetrahedra;

/* 6 times the volume of the tetrahedron below. */
static inline double tetrahedra_volume(sy_vec3 a, sy_vec3 b, sy_vec3 c) {
  return a.x * (b.y * c.z - b.z * c.y) + a.y * (b.z * c.x - b.x * c.z) + a.z * (b.x * c.y - b.y * c.x);
}

/* The tetrahedron 0 a b c, positive when 0 lies behind the triangle:
** 6 V = a . b x c,  24 F = 6 V s,  120 S = 6 V (s s^T + a a^T + b b^T + c c^T) with s = a + b + c; on the diagonal the
** bracket is 2 (a s + b (b + c) + c c), which is one product less. */
static inline void tetrahedra_add(tetrahedra *t, sy_vec3 a, sy_vec3 b, sy_vec3 c) {
  const double v = tetrahedra_volume(a, b, c);
  const sy_vec3 bc = sy_vec3_add(b, c), s = sy_vec3_add(a, bc);
  t->v += v;
  t->x += v * s.x;
  t->y += v * s.y;
  t->z += v * s.z;
  t->xx += v * (a.x * s.x + b.x * bc.x + c.x * c.x);
  t->yy += v * (a.y * s.y + b.y * bc.y + c.y * c.y);
  t->zz += v * (a.z * s.z + b.z * bc.z + c.z * c.z);
  t->xy += v * (s.x * s.y + a.x * a.y + b.x * b.y + c.x * c.y);
  t->xz += v * (s.x * s.z + a.x * a.z + b.x * b.z + c.x * c.z);
  t->yz += v * (s.y * s.z + a.y * a.z + b.y * b.z + c.y * c.z);
}

/* Volume and its moments, about the point 0. */
static inline sy_sums tetrahedra_sums(const tetrahedra *t) {
  const double first = 1.0 / 24, square = 1.0 / 60, mixed = 1.0 / 120;
  return (sy_sums){
      t->v / 6,
      {first * t->x, first * t->y, first * t->z},
      {square * t->xx, square * t->yy, square * t->zz, mixed * t->xy, mixed * t->xz, mixed * t->yz}};
}

#endif
