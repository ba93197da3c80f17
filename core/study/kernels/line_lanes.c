#include "study/kernels/line_lanes.h"

#include <math.h>

#include "study/kernels/going_lanes.h"

/* ((from + by u) + then) + last, times the inverse of the mass; or by (u / mass) + from. */
enum { SUMS_MOST = 2, TIMES = 4, MEAN = 8 }; /* how many of `then` and `last` there are; shares; the cg */

static inline __attribute__((always_inline)) lanes line_at(const line *l, lanes u, int shape) {
  if (shape & MEAN) return l->by * (u * l->times) + l->from;
  lanes v = l->from + l->by * u;
  if ((shape & 3) > 0) v = v + l->then;
  if ((shape & 3) > 1) v = v + l->last;
  return shape & TIMES ? v * l->times : v;
}

static inline __attribute__((always_inline)) void run_line_of(const line *l, size_t whole,
                                                              double *restrict out, int how, int shape,
                                                              quick_summing *restrict sum) {
  const double *restrict u = l->u;
  const line known = *l;
  QUICK_BEGIN;
  for (size_t i = 0; i < whole; i += LANES) {
    const lanes v = line_at(&known, load(u + i), shape);
    put(out + i, v, how);
    if (how & SUM) QUICK_ADD(v);
  }
  if (how & SUM) *sum = QUICK_SO_FAR;
}

#define LINE_LOOPS(name, shape)                                                                              \
  static __attribute__((noinline)) void name(const line *l, size_t whole, double *out, int how,              \
                                             quick_summing *sum) {                                           \
    switch (how) {                                                                                           \
    case KEEP: run_line_of(l, whole, out, KEEP, shape, sum); break;                                          \
    case KEEP | SUM: run_line_of(l, whole, out, KEEP | SUM, shape, sum); break;                              \
    case SUM: run_line_of(l, whole, out, SUM, shape, sum); break;                                            \
    default: run_line_of(l, whole, out, KEEP | STREAM | SUM, shape, sum); break;                             \
    }                                                                                                        \
  }

LINE_LOOPS(run_load_0, 0)
LINE_LOOPS(run_load_1, 1)
LINE_LOOPS(run_load_2, 2)
LINE_LOOPS(run_share_0, TIMES)
LINE_LOOPS(run_share_1, TIMES | 1)
LINE_LOOPS(run_share_2, TIMES | 2)
LINE_LOOPS(run_line_mean, MEAN)

/* Adding 0 to what is not 0 changes nothing, nor does adding -0 to anything. */
static bool adds_nothing(double from, double by) { return by == 0.0 && (from != 0.0 || signbit(by)); }

int LINE_OF(const sy_lane_answer *w, const sums_of *s, line *l) {
  const unsigned varying = s->varying & 0xf;
  if (w->clamps || (varying & 1) != 0) return -1;
  const double inverse = 1.0 / s->same[0][0];
  l->times = all(inverse);
  if (w->kind == SY_LANE_MEAN && (varying >> w->i & 1) != 0) {
    l->u = s->at[w->i], l->from = all(w->c[1]), l->by = all(w->c[0]);
    return MEAN;
  }
  if ((w->kind != SY_LANE_LINEAR && w->kind != SY_LANE_SHARE) || (varying & (varying - 1)) != 0) return -1;
  const int only = varying == 2 ? 1 : varying == 4 ? 2 : 3;
  double from = w->c[0] * s->same[0][0], rest[SUMS_MOST + 1];
  int sums = 0;
  for (int k = 1; k < only; k++) from = from + w->c[k] * s->same[k][0];
  for (int k = only + 1; k < 4; k++) {
    rest[sums] = w->c[k] * s->same[k][0];
    sums += !adds_nothing(from, rest[sums]);
  }
  l->u = s->at[only], l->from = all(from), l->by = all(w->c[only]);
  l->then = all(sums > 0 ? rest[0] : 0.0), l->last = all(sums > 1 ? rest[1] : 0.0);
  return sums | (w->kind == SY_LANE_SHARE ? TIMES : 0);
}

void LINE_EXTREMES(const line *l, int shape, const double range[2], sy_reduced *reduced) {
  const double a = line_at(l, all(range[0]), shape)[0], b = line_at(l, all(range[1]), shape)[0];
  reduced->min = a < b ? a : b;
  reduced->max = a < b ? b : a;
}

typedef void line_loops(const line *l, size_t whole, double *out, int how, quick_summing *sum);

bool RUN_LINE(const line *l, int shape, size_t n, double *out, int how, sy_reduced *reduced) {
  static line_loops *const of_shape[MEAN + 1] = {
      [0] = run_load_0,          [1] = run_load_1,          [2] = run_load_2,      [TIMES] = run_share_0,
      [TIMES | 1] = run_share_1, [TIMES | 2] = run_share_2, [MEAN] = run_line_mean};
  const size_t whole = n / LANES * LANES;
  quick_summing sum;
  of_shape[shape](l, whole, out, how, &sum);
  if (whole < n) {
    const lanes v = line_at(l, load(l->u + whole), shape);
    put_rest(out + whole, &v, n - whole, how, &sum);
  }
  return (how & SUM) == 0 || quick_end(&sum, (n + LANES - 1) / LANES, n, reduced);
}
