/* vec3.h - three numbers along x, y and z of whatever frame the caller keeps to.
**
** What stands in headers of this library is C++ as well: no compound literals.
*/
#ifndef SY_BASE_VEC3_H
#define SY_BASE_VEC3_H

#include <math.h>
#include <stdbool.h>

typedef struct sy_vec3 {
  double x, y, z;
} sy_vec3;

static inline sy_vec3 sy_vec3_add(sy_vec3 a, sy_vec3 b) {
  const sy_vec3 result = {a.x + b.x, a.y + b.y, a.z + b.z};
  return result;
}

/* the coordinate along x, y or z for i = 0, 1, 2 */
static inline double sy_vec3_along(sy_vec3 a, int i) { return i == 0 ? a.x : i == 1 ? a.y : a.z; }

static inline sy_vec3 sy_vec3_sub(sy_vec3 a, sy_vec3 b) {
  const sy_vec3 result = {a.x - b.x, a.y - b.y, a.z - b.z};
  return result;
}

static inline sy_vec3 sy_vec3_scale(double s, sy_vec3 a) {
  const sy_vec3 result = {s * a.x, s * a.y, s * a.z};
  return result;
}

/* a + s b */
static inline sy_vec3 sy_vec3_muladd(sy_vec3 a, double s, sy_vec3 b) {
  const sy_vec3 result = {a.x + s * b.x, a.y + s * b.y, a.z + s * b.z};
  return result;
}

static inline double sy_vec3_dot(sy_vec3 a, sy_vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }

static inline sy_vec3 sy_vec3_cross(sy_vec3 a, sy_vec3 b) {
  const sy_vec3 result = {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
  return result;
}

static inline double sy_vec3_length(sy_vec3 a) { return sqrt(sy_vec3_dot(a, a)); }

static inline bool sy_vec3_finite(sy_vec3 a) { return isfinite(a.x) && isfinite(a.y) && isfinite(a.z); }

#endif
