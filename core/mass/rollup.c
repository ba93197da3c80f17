/* rollup.c - blocks of nodes through plain loops over columns, which compilers turn into vector code by themselves. */
#include "mass/rollup.h"

#include <stdbool.h>
#include <string.h>

/* The sums of a node: m, first moments m x m y m z, and the tensor about the frame's origin xx yy zz xy xz yz. */
enum { M, FX, FY, FZ, XX, YY, ZZ, XY, XZ, YZ, SUMS };

/* A block and its columns (SUMS in, SUMS out, 22 read) stay within 32 kB of cache. */
enum { BLOCK = 64 };
typedef double block[SUMS][BLOCK];

/* Bodies about their own origin: f = m c, J_o = J + m (|c|^2 1 - c c^T). `n` is BLOCK but at the end of a level; given as a
** constant it lets the compiler unroll. */
static inline void start_with_bodies(const sy_rollup_level *level, size_t from, size_t n,
                                     double (*restrict s)[BLOCK]) {
  const double *mass = level->mass + from;
  const double *cx = level->cg[0] + from, *cy = level->cg[1] + from, *cz = level->cg[2] + from;
  for (size_t i = 0; i < n; i++) {
    const double fx = mass[i] * cx[i], fy = mass[i] * cy[i], fz = mass[i] * cz[i];
    s[M][i] = mass[i];
    s[FX][i] = fx;
    s[FY][i] = fy;
    s[FZ][i] = fz;
    s[XX][i] = fy * cy[i] + fz * cz[i];
    s[YY][i] = fx * cx[i] + fz * cz[i];
    s[ZZ][i] = fx * cx[i] + fy * cy[i];
    s[XY][i] = -(fx * cy[i]);
    s[XZ][i] = -(fx * cz[i]);
    s[YZ][i] = -(fy * cz[i]);
  }
  for (int k = 0; k < 6; k++) {
    const double *own = level->inertia[k] + from;
    for (size_t i = 0; i < n; i++) s[XX + k][i] += own[i];
  }
}

/* What the children have added up to so far. */
static inline void add_columns(const double *sums, size_t stride, size_t n, bool to_bodies,
                               double (*restrict s)[BLOCK]) {
  for (int k = 0; k < SUMS; k++) {
    const double *column = sums + (size_t)k * stride;
    if (to_bodies)
      for (size_t i = 0; i < n; i++) s[k][i] += column[i];
    else
      for (size_t i = 0; i < n; i++) s[k][i] = column[i];
  }
}

/* Into the parents' frames, in place: g = R f,  f' = g + m t,
** J' = R J R^T + (2 g.t + m |t|^2) 1 - (g t^T + t g^T + m t t^T), with h = g + m t / 2 the last is h t^T + t h^T. */
static inline void place(const sy_rollup_level *level, size_t from, size_t n, double (*restrict s)[BLOCK]) {
  const double *r00 = level->turn[0] + from, *r01 = level->turn[1] + from, *r02 = level->turn[2] + from;
  const double *r10 = level->turn[3] + from, *r11 = level->turn[4] + from, *r12 = level->turn[5] + from;
  const double *r20 = level->turn[6] + from, *r21 = level->turn[7] + from, *r22 = level->turn[8] + from;
  const double *tx = level->at[0] + from, *ty = level->at[1] + from, *tz = level->at[2] + from;
  for (size_t i = 0; i < n; i++) {
    const double m = s[M][i], x = tx[i], y = ty[i], z = tz[i];
    const double gx = r00[i] * s[FX][i] + r01[i] * s[FY][i] + r02[i] * s[FZ][i];
    const double gy = r10[i] * s[FX][i] + r11[i] * s[FY][i] + r12[i] * s[FZ][i];
    const double gz = r20[i] * s[FX][i] + r21[i] * s[FY][i] + r22[i] * s[FZ][i];
    /* R J, row by row */
    const double xx = s[XX][i], yy = s[YY][i], zz = s[ZZ][i], xy = s[XY][i], xz = s[XZ][i], yz = s[YZ][i];
    const double a0 = r00[i] * xx + r01[i] * xy + r02[i] * xz, a1 = r00[i] * xy + r01[i] * yy + r02[i] * yz,
                 a2 = r00[i] * xz + r01[i] * yz + r02[i] * zz;
    const double b0 = r10[i] * xx + r11[i] * xy + r12[i] * xz, b1 = r10[i] * xy + r11[i] * yy + r12[i] * yz,
                 b2 = r10[i] * xz + r11[i] * yz + r12[i] * zz;
    const double c0 = r20[i] * xx + r21[i] * xy + r22[i] * xz, c1 = r20[i] * xy + r21[i] * yy + r22[i] * yz,
                 c2 = r20[i] * xz + r21[i] * yz + r22[i] * zz;
    const double hx = gx + 0.5 * (m * x), hy = gy + 0.5 * (m * y), hz = gz + 0.5 * (m * z);
    const double px = 2.0 * (hx * x), py = 2.0 * (hy * y), pz = 2.0 * (hz * z);
    s[FX][i] = gx + m * x;
    s[FY][i] = gy + m * y;
    s[FZ][i] = gz + m * z;
    s[XX][i] = (a0 * r00[i] + a1 * r01[i] + a2 * r02[i]) + (py + pz);
    s[YY][i] = (b0 * r10[i] + b1 * r11[i] + b2 * r12[i]) + (px + pz);
    s[ZZ][i] = (c0 * r20[i] + c1 * r21[i] + c2 * r22[i]) + (px + py);
    s[XY][i] = (a0 * r10[i] + a1 * r11[i] + a2 * r12[i]) - (hx * y + x * hy);
    s[XZ][i] = (a0 * r20[i] + a1 * r21[i] + a2 * r22[i]) - (hx * z + x * hz);
    s[YZ][i] = (b0 * r20[i] + b1 * r21[i] + b2 * r22[i]) - (hy * z + y * hz);
  }
}

static inline void placed_block(const sy_rollup_level *level, const double *sums, size_t from, size_t n,
                                double (*restrict s)[BLOCK]) {
  if (level->mass != NULL) start_with_bodies(level, from, n, s);
  if (sums != NULL) add_columns(sums + from, level->count, n, level->mass != NULL, s);
  if (level->mass == NULL && sums == NULL) memset(s, 0, sizeof(block));
  place(level, from, n, s);
}

/* Add the nodes [from, from + n) of a level to their parents; *parent is where the last block ended. */
static void add_to_parents(double (*s)[BLOCK], size_t from, size_t n, const uint32_t *child_end,
                           size_t stride, double *parents, size_t *parent) {
  size_t p = *parent;
  for (size_t i = 0; i < n; p++) {
    const size_t left = child_end[p] - from, end = left < n ? left : n;
    for (int k = 0; k < SUMS; k++) {
      double sum = parents[(size_t)k * stride + p];
      for (size_t j = i; j < end; j++) sum += s[k][j];
      parents[(size_t)k * stride + p] = sum;
    }
    i = end;
    if (left > n) break; /* the next block goes on with this parent */
  }
  *parent = p;
}

/* One level into the sums of the next, or of the root, which has all as its children. */
static void roll_level(const sy_rollup_level *level, const double *sums, const uint32_t *child_end,
                       size_t stride, double *parents) {
  block s;
  size_t parent = 0;
  for (size_t from = 0; from < level->count; from += BLOCK) {
    const size_t rest = level->count - from, n = rest < BLOCK ? rest : (size_t)BLOCK;
    if (n == BLOCK)
      placed_block(level, sums, from, BLOCK, s);
    else
      placed_block(level, sums, from, n, s);
    add_to_parents(s, from, n, child_end, stride, parents, &parent);
  }
}

static sy_status check_shape(const sy_rollup_level *levels, size_t level_count, sy_error *err) {
  if (level_count == 0 || levels[level_count - 1].count == 0)
    return sy_fail(err, SY_MISSING, "tree", NULL, "there is nothing to roll up");
  for (size_t k = 0; k < level_count; k++) {
    if (levels[k].count > UINT32_MAX)
      return sy_fail(err, SY_RANGE, "tree", "count", "is %zu, at most %zu", levels[k].count,
                     (size_t)UINT32_MAX);
    if (k == 0) continue;
    const uint32_t *end = levels[k].child_end;
    for (size_t i = 1; i < levels[k].count; i++)
      if (end[i] < end[i - 1])
        return sy_fail(err, SY_CLASH, "tree", "child_end", "falls at node %zu of level %zu", i + 1, k + 1);
    const size_t last = levels[k].count > 0 ? end[levels[k].count - 1] : 0;
    if (last != levels[k - 1].count)
      return sy_fail(err, SY_CLASH, "tree", "child_end",
                     "of level %zu ends at %zu, but the level below has %zu nodes", k + 1, last,
                     levels[k - 1].count);
  }
  return SY_OK;
}

size_t sy_rollup_work(const sy_rollup_level *levels, size_t level_count) {
  size_t nodes = 0;
  for (size_t k = 1; k < level_count; k++) nodes += levels[k].count;
  return SUMS * nodes;
}

sy_status sy_rollup(const sy_rollup_level *levels, size_t level_count, double *work, sy_massprops *out,
                    sy_error *err) {
  const sy_status status = check_shape(levels, level_count, err);
  if (status != SY_OK) return status;
  const size_t room = sy_rollup_work(levels, level_count);
  for (size_t i = 0; i < room; i++) work[i] = 0;
  const double *sums = NULL;
  double *parents = work;
  for (size_t k = 0; k + 1 < level_count; k++) {
    const size_t stride = levels[k + 1].count;
    roll_level(&levels[k], sums, levels[k + 1].child_end, stride, parents);
    sums = parents;
    parents += SUMS * stride;
  }
  double root[SUMS] = {0};
  const sy_rollup_level *top = &levels[level_count - 1];
  const uint32_t all = (uint32_t)top->count;
  roll_level(top, sums, &all, 1, root);
  const double m = root[M];
  if (m == 0) return sy_fail(err, SY_MISSING, "tree", "mass", "nothing has a mass");
  sy_massprops body = {m, {root[FX] / m, root[FY] / m, root[FZ] / m}, {0, 0, 0, 0, 0, 0}};
  const sy_sym3 about_origin = {root[XX], root[YY], root[ZZ], root[XY], root[XZ], root[YZ]};
  body.inertia = sy_sym3_sub(about_origin, sy_sym3_scale(m, sy_sym3_steiner(body.cg)));
  if (!(isfinite(m) && m > 0 && sy_vec3_finite(body.cg) && sy_sym3_finite(body.inertia)))
    return sy_fail(err, SY_RANGE, "tree", NULL,
                   "a mass, place or inertia is negative, too large or not a number");
  *out = body;
  return SY_OK;
}
