#include "base/mat3.h"

sy_mat3 sy_mat3_mul(sy_mat3 a, sy_mat3 b) {
  sy_mat3 c;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++)
      c.m[i][j] = a.m[i][0] * b.m[0][j] + a.m[i][1] * b.m[1][j] + a.m[i][2] * b.m[2][j];
  return c;
}

sy_mat3 sy_mat3_transpose(sy_mat3 a) {
  sy_mat3 t;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) t.m[i][j] = a.m[j][i];
  return t;
}

double sy_mat3_det(sy_mat3 a) {
  return a.m[0][0] * (a.m[1][1] * a.m[2][2] - a.m[1][2] * a.m[2][1]) -
         a.m[0][1] * (a.m[1][0] * a.m[2][2] - a.m[1][2] * a.m[2][0]) +
         a.m[0][2] * (a.m[1][0] * a.m[2][1] - a.m[1][1] * a.m[2][0]);
}

bool sy_mat3_is_rotation(sy_mat3 a, double tol) {
  const sy_mat3 gram = sy_mat3_mul(sy_mat3_transpose(a), a);
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++)
      if (!(fabs(gram.m[i][j] - (i == j ? 1.0 : 0.0)) <= tol)) return false; /* false for NaN too */
  return sy_mat3_det(a) > 0;
}

static sy_mat3 full(sy_sym3 a) {
  return (sy_mat3){{{a.xx, a.xy, a.xz}, {a.xy, a.yy, a.yz}, {a.xz, a.yz, a.zz}}};
}

sy_sym3 sy_sym3_turn(sy_mat3 r, sy_sym3 a) {
  const sy_mat3 ra = sy_mat3_mul(r, full(a));
  double t[3][3]; /* upper triangle of (r a) r^T */
  for (int i = 0; i < 3; i++)
    for (int j = i; j < 3; j++)
      t[i][j] = ra.m[i][0] * r.m[j][0] + ra.m[i][1] * r.m[j][1] + ra.m[i][2] * r.m[j][2];
  return (sy_sym3){t[0][0], t[1][1], t[2][2], t[0][1], t[0][2], t[1][2]};
}

sy_sym3 sy_sym3_steiner(sy_vec3 d) {
  return (sy_sym3){d.y * d.y + d.z * d.z,
                   d.x * d.x + d.z * d.z,
                   d.x * d.x + d.y * d.y,
                   -d.x * d.y,
                   -d.x * d.z,
                   -d.y * d.z};
}

/* One Jacobi rotation in the plane (p, q): zeroes a[p][q] and carries the change over to the eigenvectors' columns. */
static void rotate(double a[3][3], double v[3][3], int p, int q) {
  if (a[p][q] == 0.0) return;
  const double theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
  /* the smaller root of t^2 + 2 theta t - 1 = 0: the rotation stays below 45 degrees; hypot does not overflow */
  const double t = (theta >= 0 ? 1.0 : -1.0) / (fabs(theta) + hypot(1.0, theta));
  const double c = 1.0 / sqrt(1.0 + t * t);
  const double s = t * c;
  const int r = 3 - p - q;
  a[p][p] -= t * a[p][q];
  a[q][q] += t * a[p][q];
  a[p][q] = a[q][p] = 0.0;
  const double rp = a[r][p], rq = a[r][q];
  a[r][p] = a[p][r] = c * rp - s * rq;
  a[r][q] = a[q][r] = s * rp + c * rq;
  for (int k = 0; k < 3; k++) {
    const double vp = v[k][p], vq = v[k][q];
    v[k][p] = c * vp - s * vq;
    v[k][q] = s * vp + c * vq;
  }
}

static double largest_entry(sy_sym3 a) {
  return fmax(fmax(fmax(fabs(a.xx), fabs(a.yy)), fabs(a.zz)), fmax(fmax(fabs(a.xy), fabs(a.xz)), fabs(a.yz)));
}

sy_eigen3 sy_sym3_eigen(sy_sym3 given) {
  /* a power of two brings the largest entry near 1, so no square overflows or vanishes, and costs no rounding */
  int exponent;
  frexp(largest_entry(given), &exponent);
  const sy_mat3 scaled =
      full((sy_sym3){ldexp(given.xx, -exponent), ldexp(given.yy, -exponent), ldexp(given.zz, -exponent),
                     ldexp(given.xy, -exponent), ldexp(given.xz, -exponent), ldexp(given.yz, -exponent)});
  double a[3][3], v[3][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) a[i][j] = scaled.m[i][j];
  /* convergence is quadratic: 3 x 3 takes 5 or 6 sweeps until the off-diagonal entries underflow */
  for (int sweep = 0; sweep < 16 && (a[0][1] != 0 || a[0][2] != 0 || a[1][2] != 0); sweep++) {
    rotate(a, v, 0, 1);
    rotate(a, v, 0, 2);
    rotate(a, v, 1, 2);
  }
  int order[3] = {0, 1, 2};
  for (int i = 0; i < 2; i++)
    for (int j = 0; j < 2 - i; j++)
      if (a[order[j]][order[j]] > a[order[j + 1]][order[j + 1]]) {
        const int swap = order[j];
        order[j] = order[j + 1];
        order[j + 1] = swap;
      }
  sy_eigen3 e;
  for (int i = 0; i < 3; i++) {
    const int k = order[i];
    e.value[i] = ldexp(a[k][k], exponent);
    e.axis[i] = (sy_vec3){v[0][k], v[1][k], v[2][k]};
  }
  if (sy_vec3_dot(sy_vec3_cross(e.axis[0], e.axis[1]), e.axis[2]) < 0)
    e.axis[2] = sy_vec3_scale(-1.0, e.axis[2]);
  return e;
}
