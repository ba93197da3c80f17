/* The Makefile compiles this file once a level: SY_LEVEL 1 (any processor), 3 and 4. Loops run over the draws of a block with nothing
** passed
** from one to the next, so a compiler puts as many side by side as registers hold. */
#include "study/kernels/draw_lanes.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "numeric/rng_lanes.h"

#ifndef SY_LEVEL
#define SY_LEVEL 1
#endif

#if SY_LEVEL == 4
#define TABLE sy_draw_kernels_v4
#elif SY_LEVEL == 3
#define TABLE sy_draw_kernels_v3
#else
#define TABLE sy_draw_kernels_v1
#endif

enum { COUNTERS = SY_DRAWS / 4 };

typedef uint32_t words[4][COUNTERS];

#define INLINE static inline __attribute__((always_inline))

static void random_words(const uint32_t k[5], uint64_t path, uint32_t quantity, uint32_t first, words out) {
  const uint32_t low = (uint32_t)path, high = (uint32_t)(path >> 32);
  for (uint32_t j = 0; j < COUNTERS; j++) {
    uint32_t a = first + j, b = low, c = high, d = quantity;
    sy_rng_rounds(k, &a, &b, &c, &d);
    out[0][j] = a;
    out[1][j] = b;
    out[2][j] = c;
    out[3][j] = d;
  }
}

/* ---- distributions ----------------------------------------------------------------------------------------------------------- */

typedef union bits {
  float number;
  uint32_t word;
  int32_t whole;
} bits;

/* Natural logarithm of u in (0, 1]: u = 2^e (1 + f) with 1 + f between the roots of 1/2 and 2; ln (1 + f) = f - f^2 / 2 + f^3 p(f). Of
** the two
** parts of ln 2 the first is exact in e times it. Fit: error 8e-10 of p. */
INLINE float logarithm(float u) {
  bits b = {u};
  const int32_t over = b.whole - 0x3f3504f3; /* the root of 1/2 */
  const float e = (float)(over >> 23);
  b.word -= (uint32_t)over & 0xff800000u;
  const float f = b.number - 1.0f, square = f * f;
  float p = 6.921046580e-02f;
  p = p * f - 1.178069873e-01f;
  p = p * f + 1.186513097e-01f;
  p = p * f - 1.238555208e-01f;
  p = p * f + 1.422002178e-01f;
  p = p * f - 1.666921638e-01f;
  p = p * f + 2.000214608e-01f;
  p = p * f - 2.499998642e-01f;
  p = p * f + 3.333331193e-01f;
  p = p * f * square;
  p += e * -2.12194440e-4f;
  p -= 0.5f * square;
  return f + p + e * 0.693359375f;
}

/* Two normals from two words: the first makes the radius; of the second 30 bits are an angle within 45 degrees, one bit takes sine for
** cosine and
** one turns the cosine round, which together are all directions. Fits: errors 4e-9 and 1e-10. */
INLINE void normal_pair(uint32_t v, uint32_t w, float *first, float *second) {
  const float u = (float)(int32_t)(v >> 1 | 1u) * 0x1p-31f;
  const float r = sqrtf(-2.0f * logarithm(u));
  const float x = (float)(int32_t)(w << 2) * (float)(0.78539816339744831 * 0x1p-31), z = x * x;
  const float sine = ((-1.951759283e-04f * z + 8.332180857e-03f) * z - 1.666665500e-01f) * z * x + x;
  bits cosine = {((2.443948302e-05f * z - 1.388737791e-03f) * z + 4.166664712e-02f) * z * z - 0.5f * z +
                 1.0f};
  cosine.word ^= w & 0x80000000u;
  const bits s = {sine};
  const uint32_t swap = 0u - (w >> 30 & 1u);
  const bits a = {.word = (s.word & swap) | (cosine.word & ~swap)},
             b = {.word = (cosine.word & swap) | (s.word & ~swap)};
  *first = r * a.number;
  *second = r * b.number;
}

static void normals(const uint32_t *restrict v, const uint32_t *restrict w, float *restrict a,
                    float *restrict b) {
  for (int j = 0; j < COUNTERS; j++) normal_pair(v[j], w[j], &a[j], &b[j]);
}

/* In (0, 1): 23 bits and a half, exact in a float, the same steps everywhere. */
INLINE float between(uint32_t word) { return ((float)(int32_t)(word >> 9) + 0.5f) * 0x1p-23f; }

static void rectangular(const uint32_t *restrict v, float *restrict out) {
  const float root_12 = 3.46410162f;
  for (int j = 0; j < COUNTERS; j++) out[j] = (between(v[j]) - 0.5f) * root_12;
}

static void allowance(const uint32_t *restrict v, float *restrict out) {
  for (int j = 0; j < COUNTERS; j++) out[j] = between(v[j]);
}

/* By the inverse of its distribution function: both halves alike. */
static void triangular(const uint32_t *restrict v, float *restrict out) {
  const float root_6 = 2.44948974f;
  for (int j = 0; j < COUNTERS; j++) {
    const float u = between(v[j]), lower = u < 0.5f ? u : 1.0f - u;
    const float away = 1.0f - sqrtf(2.0f * lower);
    out[j] = u < 0.5f ? -root_6 * away : root_6 * away;
  }
}

static void draw(sy_distribution kind, const uint32_t key[5], uint64_t path, uint32_t quantity,
                 uint32_t first, float *out) {
  words w;
  random_words(key, path, quantity, first, w);
  if (kind == SY_NORMAL) {
    normals(w[0], w[1], out, out + COUNTERS);
    normals(w[2], w[3], out + 2 * COUNTERS, out + 3 * COUNTERS);
    return;
  }
  for (int i = 0; i < 4; i++) {
    if (kind == SY_RECTANGULAR)
      rectangular(w[i], out + i * COUNTERS);
    else if (kind == SY_TRIANGULAR)
      triangular(w[i], out + i * COUNTERS);
    else
      allowance(w[i], out + i * COUNTERS);
  }
}

/* ---- lines with plain errors --------------------------------------------------------------------------------------------------- */

/* Written out for each `second` and `pooled`, so that the loop has nothing to ask. Lines are added one after another. */
INLINE void add_lone(const sy_lone two[2], int second, unsigned pooled, double *restrict m,
                     double *restrict fx, double *restrict fy, double *restrict fz, double *restrict xx,
                     double *restrict yy, double *restrict zz, double *restrict xy, double *restrict xz,
                     double *restrict yz, double *restrict vx, double *restrict vy, double *restrict vz) {
  const sy_lone a[2] = {two[0], two[1]};
  for (int j = 0; j < SY_DRAWS; j++) {
    double sm = m[j], sx = fx[j], sy = fy[j], sz = fz[j];
    double sxx = 0, syy = 0, szz = 0, sxy = 0, sxz = 0, syz = 0, wx = 0, wy = 0, wz = 0;
    if (second >= SY_YAW_SECOND) sxx = xx[j], syy = yy[j];
    if (second == SY_ALL_SECOND) szz = zz[j], sxy = xy[j], sxz = xz[j], syz = yz[j];
    if (pooled & 1u) wx = vx[j];
    if (pooled & 2u) wy = vy[j];
    if (pooled & 4u) wz = vz[j];
    for (int k = 0; k < 2; k++) {
      const sy_lone *p = &a[k];
      const double mass = p->mass + p->mass_sd * (double)p->z_mass[j];
      const double x = pooled & 1u ? p->at[0] : p->at[0] + p->sd[0] * (double)p->z_place[0][j];
      const double y = pooled & 2u ? p->at[1] : p->at[1] + p->sd[1] * (double)p->z_place[1][j];
      const double z = pooled & 4u ? p->at[2] : p->at[2] + p->sd[2] * (double)p->z_place[2][j];
      const double mx = mass * x, my = mass * y, mz = mass * z;
      sm += mass;
      sx += mx;
      sy += my;
      sz += mz;
      if (second >= SY_YAW_SECOND) {
        sxx += mx * x + mass * p->own[0];
        syy += my * y + mass * p->own[1];
      }
      if (second == SY_ALL_SECOND) {
        szz += mz * z + mass * p->own[2];
        sxy += mx * y + mass * p->own[3];
        sxz += mx * z + mass * p->own[4];
        syz += my * z + mass * p->own[5];
      }
      const double square = mass * mass;
      if (pooled & 1u) wx += square * (p->sd[0] * p->sd[0]);
      if (pooled & 2u) wy += square * (p->sd[1] * p->sd[1]);
      if (pooled & 4u) wz += square * (p->sd[2] * p->sd[2]);
    }
    m[j] = sm, fx[j] = sx, fy[j] = sy, fz[j] = sz;
    if (second >= SY_YAW_SECOND) xx[j] = sxx, yy[j] = syy;
    if (second == SY_ALL_SECOND) zz[j] = szz, xy[j] = sxy, xz[j] = sxz, yz[j] = syz;
    if (pooled & 1u) vx[j] = wx;
    if (pooled & 2u) vy[j] = wy;
    if (pooled & 4u) vz[j] = wz;
  }
}

#define LONE(SECOND, POOLED)                                                                                 \
  add_lone(two, SECOND, POOLED, s->of[0], s->of[1], s->of[2], s->of[3], s->of[4], s->of[5], s->of[6],        \
           s->of[7], s->of[8], s->of[9], pool->variance[0], pool->variance[1], pool->variance[2])

static void lone(const sy_lone two[2], int second, unsigned pooled, sy_lane_sums *s, sy_pool *pool) {
  if (second == SY_NO_SECOND && pooled == 0)
    LONE(SY_NO_SECOND, 0u);
  else if (second == SY_NO_SECOND)
    LONE(SY_NO_SECOND, 7u);
  else if (second == SY_YAW_SECOND && pooled == 0)
    LONE(SY_YAW_SECOND, 0u);
  else if (second == SY_YAW_SECOND)
    LONE(SY_YAW_SECOND, 4u);
  else
    LONE(SY_ALL_SECOND, 0u);
}

static void add_pool(const double *restrict variance, const float *restrict z, double *restrict to) {
  for (int j = 0; j < SY_DRAWS; j++) to[j] += sqrt(variance[j]) * (double)z[j];
}

/* ---- any line -------------------------------------------------------------------------------------------------------------------- */

static void scale(double by, const float *restrict z, double *restrict out) {
  for (int j = 0; j < SY_DRAWS; j++) out[j] = by * (double)z[j];
}

static void add(double by, const double *restrict e, double *restrict to) {
  for (int j = 0; j < SY_DRAWS; j++) to[j] += by * e[j];
}

/* A mass that errs, at its place as shifted. */
static void point(double by, const double *restrict e, const double place[3], sy_lane *restrict shift,
                  int second, sy_lane_sums *restrict s) {
  const double px = place[0], py = place[1], pz = place[2];
  for (int j = 0; j < SY_DRAWS; j++) {
    const double mass = by * e[j], x = px + shift[0][j], y = py + shift[1][j], z = pz + shift[2][j];
    s->of[0][j] += mass;
    s->of[1][j] += mass * x;
    s->of[2][j] += mass * y;
    s->of[3][j] += mass * z;
  }
  for (int j = 0; j < SY_DRAWS && second != SY_NO_SECOND; j++) {
    const double mass = by * e[j], x = px + shift[0][j], y = py + shift[1][j], z = pz + shift[2][j];
    s->of[4][j] += mass * x * x;
    s->of[5][j] += mass * y * y;
    s->of[6][j] += mass * z * z;
    s->of[7][j] += mass * x * y;
    s->of[8][j] += mass * x * z;
    s->of[9][j] += mass * y * z;
  }
}

/* A mass that only moves: (p + d)(p + d)^T - p p^T = p d^T + d p^T + d d^T. */
static void move(double mass, const double place[3], sy_lane *restrict shift, int second,
                 sy_lane_sums *restrict s) {
  const double px = place[0], py = place[1], pz = place[2];
  for (int j = 0; j < SY_DRAWS; j++) {
    s->of[1][j] += mass * shift[0][j];
    s->of[2][j] += mass * shift[1][j];
    s->of[3][j] += mass * shift[2][j];
  }
  for (int j = 0; j < SY_DRAWS && second != SY_NO_SECOND; j++) {
    const double x = shift[0][j], y = shift[1][j], z = shift[2][j];
    s->of[4][j] += mass * (x * (px + px + x));
    s->of[5][j] += mass * (y * (py + py + y));
    s->of[6][j] += mass * (z * (pz + pz + z));
    s->of[7][j] += mass * (px * y + py * x + x * y);
    s->of[8][j] += mass * (px * z + pz * x + x * z);
    s->of[9][j] += mass * (py * z + pz * y + y * z);
  }
}

/* ---- sums over draws ---------------------------------------------------------------------------------------------------------------- */

/* Eight sums side by side, then folded in one order. */
static double product_sum(const double *restrict a, const double *restrict b) {
  double part[8] = {0, 0, 0, 0, 0, 0, 0, 0};
  for (int j = 0; j < SY_DRAWS; j += 8)
    for (int l = 0; l < 8; l++) part[l] += a[j + l] * b[j + l];
  return ((part[0] + part[1]) + (part[2] + part[3])) + ((part[4] + part[5]) + (part[6] + part[7]));
}

static double plain_sum(const double *restrict a) {
  double part[8] = {0, 0, 0, 0, 0, 0, 0, 0};
  for (int j = 0; j < SY_DRAWS; j += 8)
    for (int l = 0; l < 8; l++) part[l] += a[j + l];
  return ((part[0] + part[1]) + (part[2] + part[3])) + ((part[4] + part[5]) + (part[6] + part[7]));
}

static void judge(const double *restrict value, const double *restrict here, double middle, double from,
                  double per_bin, int bins, double *restrict mask, double *restrict off,
                  int32_t *restrict bin, double ends[2]) {
  double low[8], high[8];
  const double all = (double)bins;
  for (int l = 0; l < 8; l++) low[l] = ends[0], high[l] = ends[1];
  for (int j = 0; j < SY_DRAWS; j++) {
    const double v = value[j], m = fabs(v) <= DBL_MAX ? here[j] : 0.0;
    mask[j] = m;
    off[j] = m > 0 ? v - middle : 0.0;
  }
  for (int j = 0; j < SY_DRAWS; j++) {
    const double at = (value[j] - from) * per_bin;
    const double inside =
        at >= 0 ? (at < all ? at : all + 1.0) : all; /* one that is not a number too: outside the mask */
    bin[j] = (int32_t)inside;
  }
  for (int j = 0; j < SY_DRAWS; j += 8)
    for (int l = 0; l < 8; l++) {
      const double v = value[j + l];
      low[l] = mask[j + l] > 0 && v < low[l] ? v : low[l];
      high[l] = mask[j + l] > 0 && v > high[l] ? v : high[l];
    }
  for (int l = 0; l < 8; l++) {
    ends[0] = low[l] < ends[0] ? low[l] : ends[0];
    ends[1] = high[l] > ends[1] ? high[l] : ends[1];
  }
}

const sy_draw_kernels TABLE = {draw, lone, add_pool, scale, add, point, move, judge, product_sum, plain_sum};
