#include "study/corner_variants.h"

#include <math.h>
#include <string.h>

#include "base/lanes.h"
#include "study/kernels/corner_lanes.h"

/* NULL where that level was not built or this processor has not got it. */
static sy_corner_lanes *kernel(int level) {
  if (!sy_lanes_level(level)) return NULL;
#ifdef __x86_64__
  if (level == 3) return sy_corner_lanes_v3;
  if (level == 4) return sy_corner_lanes_v4;
#endif
  return sy_corner_lanes_v1;
}

/* The inverse of m by elimination with pivots; not finite where there is none. */
static void invert(double m[4][4], double out[4][4]) {
  double a[4][8];
  for (int i = 0; i < 4; i++)
    for (int k = 0; k < 4; k++) a[i][k] = m[i][k], a[i][4 + k] = i == k;
  for (int c = 0; c < 4; c++) {
    int best = c;
    double top[8];
    for (int r = c + 1; r < 4; r++)
      if (fabs(a[r][c]) > fabs(a[best][c])) best = r;
    memcpy(top, a[best], sizeof top);
    memcpy(a[best], a[c], sizeof top);
    for (int k = 0; k < 8; k++) a[c][k] = top[k] / top[c];
    for (int r = 0; r < 4; r++) {
      const double factor = a[r][c];
      for (int k = 0; k < 8 && r != c; k++) a[r][k] -= factor * a[c][k];
    }
  }
  for (int i = 0; i < 4; i++) memcpy(out[i], a[i] + 4, sizeof out[i]);
}

static bool is_even(const sy_variants_frame *f, int axle) {
  const int left = 2 * axle, right = left + 1;
  return f->x[left] == f->axle[axle] && f->x[right] == f->axle[axle] && f->y[left] == -f->y[right];
}

/* A body moved by its freedoms q rises over the wheels by arm q; so the forces of the wheels push the freedoms by arm^T, and what a
** weight or the chassis' moment puts on the wheels is the inverse of that. */
static sy_corner_frame prepare(const sy_variants_frame *f) {
  sy_corner_frame g = {.front = f->axle[0], .rear = f->axle[1]};
  const double length = g.front - g.rear;
  g.even = is_even(f, 0) && is_even(f, 1);
  if (g.even) {
    g.along = 1 / length;
    for (int k = 0; k < 2; k++) g.across[k] = 1 / f->y[2 * k], g.half_across[k] = 0.5 / f->y[2 * k];
    return g;
  }
  double arm[4][4], inverse[4][4]; /* inverse[freedom][wheel] */
  for (int w = 0; w < 4; w++) {
    const double near = (f->x[w] - g.rear) / length;
    const double row[4] = {1.0, -f->x[w], f->y[w] * near, f->y[w] * (1.0 - near)};
    memcpy(arm[w], row, sizeof row);
  }
  invert(arm, inverse);
  for (int w = 0; w < 4; w++) {
    g.heave[w] = inverse[0][w];
    g.pitch[w] = inverse[1][w];
    g.roll[w] = 0.5 * (inverse[2][w] + inverse[3][w]);
    g.pair[w] = inverse[2][w] - inverse[3][w];
    /* a weight of 1 at x, y pushes heave by 1, pitch by -x and the rolls by y (x - rear) / length and the rest of y */
    g.share[w][0] = inverse[0][w];
    g.share[w][1] = -inverse[1][w];
    g.share[w][2] = inverse[3][w] - g.pair[w] * g.rear / length;
    g.share[w][3] = g.pair[w] / length;
  }
  return g;
}

int sy_corner_variants_level(int level, const sy_variants_frame *frame, const sy_variants_in *in,
                             size_t count, const sy_variants_out *out) {
  sy_corner_lanes *const run = kernel(level);
  if (run == NULL) return 0;
  const sy_corner_frame g = prepare(frame);
  run(&g, in, count, out);
  return 1;
}

void sy_corner_variants(const sy_variants_frame *frame, const sy_variants_in *in, size_t count,
                        const sy_variants_out *out) {
  for (int level = 4; level > 0; level--)
    if (sy_corner_variants_level(level, frame, in, count, out)) return;
}
