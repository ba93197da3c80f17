/* Lanes are variants. The Makefile compiles this file once a level: SY_LEVEL 1 (any processor, two lanes), 3 (four), 4 (eight). The
** width is the registers' own: wider vectors go through memory. */
#include "study/kernels/corner_lanes.h"

#include <string.h>

#ifndef SY_LEVEL
#define SY_LEVEL 1
#endif

#if SY_LEVEL == 4
enum { LANES = 8 };
#define FUNCTION sy_corner_lanes_v4
#elif SY_LEVEL == 3
enum { LANES = 4 };
#define FUNCTION sy_corner_lanes_v3
#else
enum { LANES = 2 };
#define FUNCTION sy_corner_lanes_v1
#endif

typedef double lanes __attribute__((vector_size(LANES * sizeof(double))));

static inline lanes load(const double *column) {
  lanes v;
  memcpy(&v, column, sizeof v);
  return v;
}

static inline void store(double *column, lanes v) { memcpy(column, &v, sizeof v); }

static inline lanes all(double value) {
#if SY_LEVEL == 4
  return (lanes){value, value, value, value, value, value, value, value};
#elif SY_LEVEL == 3
  return (lanes){value, value, value, value};
#else
  return (lanes){value, value};
#endif
}

/* One axle: its springs, what the body feels of it (per unit of even and of opposite height left and right), and what the wheels'
** own weight does. */
typedef struct axle {
  lanes left, right, bar;      /* resist the left and the right travel, bar in it; the bar */
  lanes left_tyre, right_tyre; /* the same with the tyre */
  lanes inverse;               /* 1 / determinant of the 2 x 2 system of the wheels */
  lanes left_weight, right_weight;
  lanes even, mixed, odd;  /* stiffness: sum, left - right, sum with the cross terms turned */
  lanes force, difference; /* of the wheels' weight on the body: sum, left - right */
} axle;

static inline axle axle_of(lanes left, lanes right, lanes left_tyre, lanes right_tyre, lanes bar,
                           lanes left_weight, lanes right_weight) {
  axle a;
  a.bar = bar;
  a.left = left + bar;
  a.right = right + bar;
  a.left_tyre = a.left + left_tyre;
  a.right_tyre = a.right + right_tyre;
  a.left_weight = left_weight;
  a.right_weight = right_weight;
  const lanes square = bar * bar;
  a.inverse = all(1.0) / (a.left_tyre * a.right_tyre - square);
  const lanes l = left_tyre * a.inverse, r = right_tyre * a.inverse;
  const lanes s11 = l * (a.left * a.right_tyre - square), s22 = r * (a.right * a.left_tyre - square);
  const lanes cross = l * right_tyre * bar, twice = cross + cross; /* -s12 */
  a.even = s11 + s22 - twice;
  a.odd = s11 + s22 + twice;
  a.mixed = s11 - s22;
  const lanes fl = l * (a.right_tyre * left_weight + bar * right_weight) - left_weight;
  const lanes fr = r * (a.left_tyre * right_weight + bar * left_weight) - right_weight;
  a.force = fl + fr;
  a.difference = fl - fr;
  return a;
}

/* Heights of the wheels under a body at these heights. */
static inline void wheels_of(const axle *a, lanes left_body, lanes right_body, lanes *left, lanes *right) {
  const lanes l = a->left * left_body - a->bar * right_body - a->left_weight;
  const lanes r = a->right * right_body - a->bar * left_body - a->right_weight;
  *left = a->inverse * (a->right_tyre * l + a->bar * r);
  *right = a->inverse * (a->left_tyre * r + a->bar * l);
}

typedef struct pose {
  lanes heave, pitch, roll, twist;
} pose;

/* Body freedoms from the two axles. Rise over a wheel: heave - x pitch +- h (roll +- twist / 2). */
static inline pose body_of(const sy_variants_frame *g, const axle *f, const axle *r, lanes torsion,
                           lanes weight, lanes x, lanes y) {
  const lanes af = all(-g->x[0]), ar = all(-g->x[1]), hf = all(g->half_track[0]), hr = all(g->half_track[1]);
  const lanes half = all(0.5), ef = half * hf, er = all(-0.5) * hr;
  const lanes mf = hf * f->mixed, mr = hr * r->mixed, of = hf * f->odd, orr = hr * r->odd;
  const lanes k00 = f->even + r->even, k01 = af * f->even + ar * r->even;
  const lanes k11 = af * (af * f->even) + ar * (ar * r->even);
  const lanes k02 = mf + mr, k03 = half * (mf - mr), k12 = af * mf + ar * mr,
              k13 = half * (af * mf - ar * mr);
  const lanes k22 = hf * of + hr * orr, k23 = ef * of + er * orr;
  const lanes k33 = half * (ef * of - er * orr) + torsion;
  const lanes moment = weight * y;
  const lanes share =
      (x - all(g->x[1])) * all(1.0 / (g->x[0] - g->x[1])) - half; /* lever rule, less its mean */
  lanes b0 = f->force + r->force - weight, b1 = af * f->force + ar * r->force + weight * x;
  lanes b2 = hf * f->difference + hr * r->difference - moment;
  lanes b3 = ef * f->difference + er * r->difference - moment * share;
  /* L D L^T */
  const lanes one = all(1.0), i0 = one / k00;
  const lanes l10 = k01 * i0, l20 = k02 * i0, l30 = k03 * i0;
  const lanes d1 = k11 - l10 * k01, i1 = one / d1;
  const lanes u12 = k12 - l10 * k02, u13 = k13 - l10 * k03;
  const lanes l21 = u12 * i1, l31 = u13 * i1;
  const lanes d2 = k22 - l20 * k02 - l21 * u12, i2 = one / d2;
  const lanes u23 = k23 - l20 * k03 - l21 * u13, l32 = u23 * i2;
  const lanes d3 = k33 - l30 * k03 - l31 * u13 - l32 * u23;
  b1 -= l10 * b0;
  b2 -= l20 * b0 + l21 * b1;
  b3 -= l30 * b0 + l31 * b1 + l32 * b2;
  pose q;
  q.twist = b3 / d3;
  q.roll = b2 * i2 - l32 * q.twist;
  q.pitch = b1 * i1 - l21 * q.roll - l31 * q.twist;
  q.heave = b0 * i0 - l10 * q.pitch - l20 * q.roll - l30 * q.twist;
  return q;
}

/* LANES variants from the columns' place i on; written to place `to` of the results. */
static inline void solve(const sy_variants_frame *g, const sy_variants_in *in, size_t i,
                         const sy_variants_out *out, size_t to) {
  const axle f = axle_of(load(in->wheel_rate[0] + i), load(in->wheel_rate[1] + i), load(in->tyre_rate[0] + i),
                         load(in->tyre_rate[1] + i), load(in->bar_rate[0] + i), load(in->unsprung[0] + i),
                         load(in->unsprung[1] + i));
  const axle r = axle_of(load(in->wheel_rate[2] + i), load(in->wheel_rate[3] + i), load(in->tyre_rate[2] + i),
                         load(in->tyre_rate[3] + i), load(in->bar_rate[1] + i), load(in->unsprung[2] + i),
                         load(in->unsprung[3] + i));
  const pose q =
      body_of(g, &f, &r, load(in->torsion + i), load(in->weight + i), load(in->x + i), load(in->y + i));
  store(out->heave + to, q.heave);
  store(out->pitch + to, q.pitch);
  store(out->roll + to, q.roll);
  store(out->twist + to, q.twist);
  const lanes half = all(0.5) * q.twist;
  for (int k = 0; k < 2; k++) {
    const lanes middle = q.heave - all(g->x[k]) * q.pitch;
    const lanes side = all(g->half_track[k]) * (k == 0 ? q.roll + half : q.roll - half);
    lanes left, right;
    wheels_of(k == 0 ? &f : &r, middle + side, middle - side, &left, &right);
    store(out->wheel[2 * k] + to, left);
    store(out->wheel[2 * k + 1] + to, right);
  }
}

enum { IN = 18, OUT = 8 };

/* The last few variants, fewer than a register holds: copied to full ones. */
static void solve_rest(const sy_variants_frame *g, const sy_variants_in *in, size_t i, size_t count,
                       const sy_variants_out *out) {
  double from[IN][LANES], to[OUT][LANES];
  const double *const columns[IN] = {in->wheel_rate[0],
                                     in->wheel_rate[1],
                                     in->wheel_rate[2],
                                     in->wheel_rate[3],
                                     in->tyre_rate[0],
                                     in->tyre_rate[1],
                                     in->tyre_rate[2],
                                     in->tyre_rate[3],
                                     in->bar_rate[0],
                                     in->bar_rate[1],
                                     in->torsion,
                                     in->weight,
                                     in->x,
                                     in->y,
                                     in->unsprung[0],
                                     in->unsprung[1],
                                     in->unsprung[2],
                                     in->unsprung[3]};
  double *const results[OUT] = {out->heave,    out->pitch,    out->roll,     out->twist,
                                out->wheel[0], out->wheel[1], out->wheel[2], out->wheel[3]};
  for (int c = 0; c < IN; c++)
    for (size_t k = 0; k < LANES; k++) from[c][k] = columns[c][k < count ? i + k : i];
  const sy_variants_in few = {{from[0], from[1], from[2], from[3]},
                              {from[4], from[5], from[6], from[7]},
                              {from[8], from[9]},
                              from[10],
                              from[11],
                              from[12],
                              from[13],
                              {from[14], from[15], from[16], from[17]}};
  const sy_variants_out own = {to[0], to[1], to[2], to[3], {to[4], to[5], to[6], to[7]}};
  solve(g, &few, 0, &own, 0);
  for (int c = 0; c < OUT; c++) memcpy(results[c] + i, to[c], count * sizeof(double));
}

void FUNCTION(const sy_variants_frame *frame, const sy_variants_in *in, size_t count,
              const sy_variants_out *out) {
  const sy_variants_frame g = *frame; /* values that no store can change */
  const sy_variants_in from = *in;
  const sy_variants_out to = *out;
  size_t i = 0;
  for (; i + LANES <= count; i += LANES) solve(&g, &from, i, &to, i);
  if (i < count) solve_rest(&g, &from, i, count - i, &to);
}
