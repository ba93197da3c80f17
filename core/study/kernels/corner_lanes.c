/* Lanes are variants. The Makefile compiles this file once a level: SY_LEVEL 1 (any processor, two lanes), 3 (four), 4 (eight). The
** width is the registers' own: wider vectors go through memory. */
#include "study/kernels/corner_lanes.h"

#include <stdint.h>
#include <string.h>

#include "base/kernel_lanes.h"

#if SY_LEVEL == 4
#define FUNCTION sy_corner_lanes_v4
#elif SY_LEVEL == 3
#define FUNCTION sy_corner_lanes_v3
#else
#define FUNCTION sy_corner_lanes_v1
#endif

/* The springs and tyres of an axle. */
typedef struct axle {
  lanes left_rate, right_rate, bar; /* N/m, at the wheels */
  lanes inverse;                    /* 1 / determinant of springs and bar together */
  lanes left_give, right_give;      /* m/N of the tyres */
  lanes left_unsprung, right_unsprung;
} axle;

/* Three divisions are made one, since nothing takes longer. */
static inline axle axle_of(const sy_variants_in *in, size_t i, int k) {
  axle a;
  const lanes left_tyre = load(in->tyre_rate[2 * k] + i), right_tyre = load(in->tyre_rate[2 * k + 1] + i);
  a.left_rate = load(in->wheel_rate[2 * k] + i);
  a.right_rate = load(in->wheel_rate[2 * k + 1] + i);
  a.bar = load(in->bar_rate[k] + i);
  a.left_unsprung = load(in->unsprung[2 * k] + i);
  a.right_unsprung = load(in->unsprung[2 * k + 1] + i);
  const lanes springs = a.left_rate + a.right_rate, tyres = left_tyre * right_tyre;
  const lanes determinant = a.left_rate * a.right_rate + a.bar * springs;
  const lanes all_three = all(1.0) / (tyres * determinant), both = all_three * determinant;
  a.inverse = all_three * tyres;
  a.left_give = both * right_tyre;
  a.right_give = both * left_tyre;
  return a;
}

/* ---- equal sides -------------------------------------------------------------------------------------------------------- */

/* One axle and what stands on it. What its two wheels carry of the body follows from balance, but for a pair of forces that the chassis
** passes from end to end: as much more on the left as less on the right. */
typedef struct end {
  axle on;
  lanes left, right; /* N from the body, without the pair */
  lanes lean;        /* m, how far the body's left side then stands above its right */
  lanes give;        /* m less of it for each N of the pair */
} end;

/* Axle k, `weight` of the body over it at y. */
static inline end end_of(const sy_corner_frame *g, const sy_variants_in *in, size_t i, int k, lanes weight,
                         lanes y) {
  end e = {.on = axle_of(in, i, k)};
  const axle *a = &e.on;
  const lanes half = all(0.5) * weight, moved = half * (y * all(g->across[k]));
  e.left = half + moved;
  e.right = half - moved;
  e.lean = (e.right + a->right_unsprung) * a->right_give - (e.left + a->left_unsprung) * a->left_give -
           (a->right_rate * e.left - a->left_rate * e.right) * a->inverse;
  e.give = a->left_give + a->right_give + (a->left_rate + a->right_rate) * a->inverse;
  return e;
}

/* Heights of the wheels of an axle, stored, and of the body between them, with the pair known. */
static inline lanes settle(const end *e, lanes pair, double *left_wheel, double *right_wheel) {
  const axle *a = &e->on;
  const lanes left = e->left + pair, right = e->right - pair, bars = a->bar + a->bar;
  const lanes lower_left = (left + a->left_unsprung) * a->left_give;
  const lanes lower_right = (right + a->right_unsprung) * a->right_give;
  store(left_wheel, -lower_left);
  store(right_wheel, -lower_right);
  const lanes travels = ((a->right_rate + bars) * left + (a->left_rate + bars) * right) * a->inverse;
  return all(-0.5) * (lower_left + lower_right + travels);
}

/* LANES variants from the columns' place i on; written to place `to` of the results. */
static inline void solve_even(const sy_corner_frame *g, const sy_variants_in *in, size_t i,
                              const sy_variants_out *out, size_t to) {
  const lanes weight = load(in->weight + i), y = load(in->y + i);
  const lanes on_front = weight * ((load(in->x + i) - all(g->rear)) * all(g->along));
  const end f = end_of(g, in, i, 0, on_front, y), r = end_of(g, in, i, 1, weight - on_front, y);
  const lanes front = all(g->half_across[0]), rear = all(g->half_across[1]);
  const lanes chassis = all(1.0) / load(in->torsion + i); /* rad for each N m */
  const lanes moment =
      (front * f.lean - rear * r.lean) / (chassis + front * (front * f.give) + rear * (rear * r.give));
  const lanes twist = chassis * moment, pair = front * moment;
  const lanes front_height = settle(&f, pair, out->wheel[0] + to, out->wheel[1] + to);
  const lanes rear_height = settle(&r, -(rear * moment), out->wheel[2] + to, out->wheel[3] + to);
  const lanes pitch = (rear_height - front_height) * all(g->along);
  store(out->heave + to, front_height + all(g->front) * pitch);
  store(out->pitch + to, pitch);
  store(out->roll + to, front * (f.lean - f.give * pair) - all(0.5) * twist);
  store(out->twist + to, twist);
}

/* ---- unlike sides ------------------------------------------------------------------------------------------------------- */

/* How far the body sinks over the wheels of an axle under these forces on its springs, tyres left out. */
static inline void sink(const axle *a, lanes left, lanes right, lanes *over_left, lanes *over_right) {
  const lanes bars = a->bar * (left + right);
  *over_left = (a->right_rate * left + bars) * a->inverse;
  *over_right = (a->left_rate * right + bars) * a->inverse;
}

static inline lanes dot(const double by[4], const lanes value[4]) {
  return (all(by[0]) * value[0] + all(by[1]) * value[1]) + (all(by[2]) * value[2] + all(by[3]) * value[3]);
}

static inline void solve_unlike(const sy_corner_frame *g, const sy_variants_in *in, size_t i,
                                const sy_variants_out *out, size_t to) {
  const lanes weight = load(in->weight + i), x = load(in->x + i), y = load(in->y + i);
  const axle a[2] = {axle_of(in, i, 0), axle_of(in, i, 1)};
  lanes force[4], height[4], by_pair[4]; /* of the last, what a moment of 1 lowers the body by */
  for (int w = 0; w < 4; w++)
    force[w] = weight * ((all(g->share[w][0]) + all(g->share[w][1]) * x) +
                         y * (all(g->share[w][2]) + all(g->share[w][3]) * x));
  for (int k = 0; k < 2; k++) {
    lanes *h = height + 2 * k, *b = by_pair + 2 * k;
    const lanes left = all(g->pair[2 * k]), right = all(g->pair[2 * k + 1]);
    sink(&a[k], force[2 * k], force[2 * k + 1], &h[0], &h[1]);
    h[0] = -h[0] - (force[2 * k] + a[k].left_unsprung) * a[k].left_give;
    h[1] = -h[1] - (force[2 * k + 1] + a[k].right_unsprung) * a[k].right_give;
    sink(&a[k], left, right, &b[0], &b[1]);
    b[0] += left * a[k].left_give;
    b[1] += right * a[k].right_give;
  }
  const lanes chassis = all(1.0) / load(in->torsion + i); /* rad for each N m */
  const lanes moment = dot(g->pair, height) / (chassis + dot(g->pair, by_pair));
  for (int w = 0; w < 4; w++) {
    const axle *own = &a[w / 2];
    const lanes carried = force[w] + all(g->pair[w]) * moment;
    const lanes lower = w % 2 == 0 ? (carried + own->left_unsprung) * own->left_give
                                   : (carried + own->right_unsprung) * own->right_give;
    store(out->wheel[w] + to, -lower);
    height[w] -= by_pair[w] * moment;
  }
  store(out->heave + to, dot(g->heave, height));
  store(out->pitch + to, dot(g->pitch, height));
  store(out->roll + to, dot(g->roll, height));
  store(out->twist + to, chassis * moment);
}

/* ---- all of them -------------------------------------------------------------------------------------------------------- */

static inline void solve(const sy_corner_frame *g, bool even, const sy_variants_in *in, size_t i,
                         const sy_variants_out *out, size_t to) {
  if (even)
    solve_even(g, in, i, out, to);
  else
    solve_unlike(g, in, i, out, to);
}

enum { IN = 18, OUT = 8, BLOCK = 64 };

static void list_columns(const sy_variants_in *in, const sy_variants_out *out, const double *from[IN],
                         double *to[OUT]) {
  for (int k = 0; k < 4; k++) {
    from[k] = in->wheel_rate[k];
    from[4 + k] = in->tyre_rate[k];
    from[14 + k] = in->unsprung[k];
    to[4 + k] = out->wheel[k];
  }
  from[8] = in->bar_rate[0];
  from[9] = in->bar_rate[1];
  from[10] = in->torsion;
  from[11] = in->weight;
  from[12] = in->x;
  from[13] = in->y;
  to[0] = out->heave;
  to[1] = out->pitch;
  to[2] = out->roll;
  to[3] = out->twist;
}

static inline void copy(double *to, const double *from, size_t count) {
  size_t i = 0;
  for (; i + LANES <= count; i += LANES) store(to + i, load(from + i));
  for (; i < count; i++) to[i] = from[i];
}

/* The same for `count` variants, at most a block, by way of columns of our own, which are whole registers long. */
static void solve_block(const sy_corner_frame *g, bool even, const double *const from[IN],
                        double *const to[OUT], size_t at, size_t count) {
  double i[IN][BLOCK], o[OUT][BLOCK];
  for (int c = 0; c < IN; c++) {
    copy(i[c], from[c] + at, count);
    for (size_t k = count; k % LANES != 0; k++) i[c][k] = i[c][0];
  }
  const sy_variants_in in = {
      {i[0], i[1], i[2], i[3]},    {i[4], i[5], i[6], i[7]}, {i[8], i[9]}, i[10], i[11], i[12], i[13],
      {i[14], i[15], i[16], i[17]}};
  const sy_variants_out out = {o[0], o[1], o[2], o[3], {o[4], o[5], o[6], o[7]}};
  for (size_t k = 0; k < count; k += LANES) solve(g, even, &in, k, &out, k);
  for (int c = 0; c < OUT; c++) copy(to[c] + at, o[c], count);
}

/* Do the columns put each other out of the first-level cache? Those a multiple of 4096 bytes apart, as large arrays often are, share
** the same few places in it, in most processors 8. Each variant then takes up to ten times as long, in blocks less than twice. */
static bool collide(const double *const from[IN], double *const to[OUT]) {
  enum { LINE = 64, SETS = 64, WAYS = 8 };
  unsigned char columns[SETS] = {0};
  bool full = false;
  for (int c = 0; c < IN + OUT; c++) {
    const uintptr_t place = (uintptr_t)(c < IN ? from[c] : to[c - IN]) / LINE % SETS;
    full = full || ++columns[place] > WAYS;
  }
  return full;
}

/* `even` is written out at each call, so that each becomes a loop of its own. */
static inline void run(const sy_corner_frame *frame, bool even, const sy_variants_in *in, size_t count,
                       const sy_variants_out *out) {
  const sy_corner_frame g = *frame; /* values that no store can change */
  const sy_variants_in columns = *in;
  const sy_variants_out results = *out;
  const double *from[IN];
  double *to[OUT];
  list_columns(in, out, from, to);
  size_t i = 0;
  if (collide(from, to)) {
    for (; i + BLOCK <= count; i += BLOCK) solve_block(&g, even, from, to, i, BLOCK);
  } else {
    for (; i + LANES <= count; i += LANES) solve(&g, even, &columns, i, &results, i);
  }
  if (i < count) solve_block(&g, even, from, to, i, count - i);
}

void FUNCTION(const sy_corner_frame *frame, const sy_variants_in *in, size_t count,
              const sy_variants_out *out) {
  if (frame->even)
    run(frame, true, in, count, out);
  else
    run(frame, false, in, count, out);
}
