/* mat3.h - 3 x 3 matrices: general (row major) and symmetric.
**
** A symmetric matrix that is an inertia tensor has the tensor sign: xy = -(integral of x y dm).
*/
#ifndef SY_BASE_MAT3_H
#define SY_BASE_MAT3_H

#include "api.h"
#include "vec3.h"

typedef struct sy_mat3 {
  double m[3][3]; /* m[row][column] */
} sy_mat3;

typedef struct sy_sym3 {
  double xx, yy, zz, xy, xz, yz;
} sy_sym3;

static inline sy_mat3 sy_mat3_identity(void) {
  const sy_mat3 result = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
  return result;
}

static inline sy_vec3 sy_mat3_apply(sy_mat3 a, sy_vec3 v) {
  const sy_vec3 result = {a.m[0][0] * v.x + a.m[0][1] * v.y + a.m[0][2] * v.z,
                          a.m[1][0] * v.x + a.m[1][1] * v.y + a.m[1][2] * v.z,
                          a.m[2][0] * v.x + a.m[2][1] * v.y + a.m[2][2] * v.z};
  return result;
}

static inline bool sy_mat3_is_identity(const sy_mat3 *a) {
  return a->m[0][0] == 1 && a->m[1][1] == 1 && a->m[2][2] == 1 && a->m[0][1] == 0 && a->m[0][2] == 0 &&
         a->m[1][0] == 0 && a->m[1][2] == 0 && a->m[2][0] == 0 && a->m[2][1] == 0;
}

SY_API sy_mat3 sy_mat3_mul(sy_mat3 a, sy_mat3 b);
SY_API sy_mat3 sy_mat3_transpose(sy_mat3 a);
SY_API double sy_mat3_det(sy_mat3 a);

/* Is `a` a rotation: orthonormal to `tol` in every entry of a^T a - 1, determinant +1? */
SY_API bool sy_mat3_is_rotation(sy_mat3 a, double tol);

static inline sy_sym3 sy_sym3_add(sy_sym3 a, sy_sym3 b) {
  const sy_sym3 result = {a.xx + b.xx, a.yy + b.yy, a.zz + b.zz, a.xy + b.xy, a.xz + b.xz, a.yz + b.yz};
  return result;
}

static inline sy_sym3 sy_sym3_sub(sy_sym3 a, sy_sym3 b) {
  const sy_sym3 result = {a.xx - b.xx, a.yy - b.yy, a.zz - b.zz, a.xy - b.xy, a.xz - b.xz, a.yz - b.yz};
  return result;
}

static inline sy_sym3 sy_sym3_scale(double s, sy_sym3 a) {
  const sy_sym3 result = {s * a.xx, s * a.yy, s * a.zz, s * a.xy, s * a.xz, s * a.yz};
  return result;
}

static inline bool sy_sym3_finite(sy_sym3 a) {
  return isfinite(a.xx) && isfinite(a.yy) && isfinite(a.zz) && isfinite(a.xy) && isfinite(a.xz) &&
         isfinite(a.yz);
}

/* R a R^T for any R, rotation or reflection. */
SY_API sy_sym3 sy_sym3_turn(sy_mat3 r, sy_sym3 a);

/* Steiner matrix S(d) = |d|^2 1 - d d^T: what a unit mass at d adds to the inertia tensor.
** Source  parallel-axis theorem: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, App. B. */
SY_API sy_sym3 sy_sym3_steiner(sy_vec3 d);

/* a v */
static inline sy_vec3 sy_sym3_apply(sy_sym3 a, sy_vec3 v) {
  const sy_vec3 result = {a.xx * v.x + a.xy * v.y + a.xz * v.z, a.xy * v.x + a.yy * v.y + a.yz * v.z,
                          a.xz * v.x + a.yz * v.y + a.zz * v.z};
  return result;
}

/* v^T a v */
static inline double sy_sym3_quadratic(sy_sym3 a, sy_vec3 v) {
  return a.xx * v.x * v.x + a.yy * v.y * v.y + a.zz * v.z * v.z +
         2.0 * (a.xy * v.x * v.y + a.xz * v.x * v.z + a.yz * v.y * v.z);
}

/* Eigenvalues in ascending order and their unit vectors, right-handed (axis[0] x axis[1] = axis[2]).
** Cyclic Jacobi: Golub & Van Loan, Matrix Computations, 8.5. Equal values leave the axes' direction
** arbitrary; signs always are. Never fails for finite input. */
typedef struct sy_eigen3 {
  double value[3];
  sy_vec3 axis[3];
} sy_eigen3;
SY_API sy_eigen3 sy_sym3_eigen(sy_sym3 a);

#endif
