/* Lanes are variants. The Makefile compiles this file once a level: SY_LEVEL 1 (any processor, two lanes), 3 (four), 4 (eight). The
** width is the registers' own: wider vectors go through memory. */
#include "study/kernels/corner_lanes.h"

#include <stdbool.h>
#include <stdint.h>
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

/* One axle and what stands on it. What its two wheels carry of the body follows from balance, but for a pair of forces that the chassis
** passes from end to end: as much more on the left as less on the right. */
typedef struct end {
  lanes left_rate, right_rate, bar; /* N/m, at the wheels */
  lanes inverse;                    /* 1 / determinant of springs and bar together */
  lanes left_give, right_give;      /* m/N of the tyres */
  lanes left_unsprung, right_unsprung;
  lanes left, right; /* N from the body, without the pair */
  lanes lean;        /* m, how far the body's left side then stands above its right */
  lanes give;        /* m less of it for each N of the pair */
} end;

/* Axle k, `weight` of the body over it at y. Three divisions are made one, since nothing takes longer. */
static inline end end_of(const sy_variants_frame *g, const sy_variants_in *in, size_t i, int k, lanes weight,
                         lanes y) {
  end e;
  const lanes left_tyre = load(in->tyre_rate[2 * k] + i), right_tyre = load(in->tyre_rate[2 * k + 1] + i);
  e.left_rate = load(in->wheel_rate[2 * k] + i);
  e.right_rate = load(in->wheel_rate[2 * k + 1] + i);
  e.bar = load(in->bar_rate[k] + i);
  e.left_unsprung = load(in->unsprung[2 * k] + i);
  e.right_unsprung = load(in->unsprung[2 * k + 1] + i);
  const lanes springs = e.left_rate + e.right_rate, tyres = left_tyre * right_tyre;
  const lanes determinant = e.left_rate * e.right_rate + e.bar * springs;
  const lanes all_three = all(1.0) / (tyres * determinant), both = all_three * determinant;
  e.inverse = all_three * tyres;
  e.left_give = both * right_tyre;
  e.right_give = both * left_tyre;
  const lanes half = all(0.5) * weight, moved = half * (y * all(1 / g->half_track[k]));
  e.left = half + moved;
  e.right = half - moved;
  e.lean = (e.right + e.right_unsprung) * e.right_give - (e.left + e.left_unsprung) * e.left_give -
           (e.right_rate * e.left - e.left_rate * e.right) * e.inverse;
  e.give = e.left_give + e.right_give + springs * e.inverse;
  return e;
}

/* Heights of the wheels of an axle, stored, and of the body between them, with the pair known. */
static inline lanes settle(const end *e, lanes pair, double *left_wheel, double *right_wheel) {
  const lanes left = e->left + pair, right = e->right - pair, bars = e->bar + e->bar;
  const lanes lower_left = (left + e->left_unsprung) * e->left_give;
  const lanes lower_right = (right + e->right_unsprung) * e->right_give;
  store(left_wheel, -lower_left);
  store(right_wheel, -lower_right);
  const lanes travels = ((e->right_rate + bars) * left + (e->left_rate + bars) * right) * e->inverse;
  return all(-0.5) * (lower_left + lower_right + travels);
}

/* LANES variants from the columns' place i on; written to place `to` of the results. */
static inline void solve(const sy_variants_frame *g, const sy_variants_in *in, size_t i,
                         const sy_variants_out *out, size_t to) {
  const double length = g->x[0] - g->x[1];
  const lanes weight = load(in->weight + i), y = load(in->y + i);
  const lanes on_front = weight * ((load(in->x + i) - all(g->x[1])) * all(1 / length));
  const end f = end_of(g, in, i, 0, on_front, y), r = end_of(g, in, i, 1, weight - on_front, y);
  const lanes front = all(0.5 / g->half_track[0]), rear = all(0.5 / g->half_track[1]);
  const lanes chassis = all(1.0) / load(in->torsion + i); /* rad for each N m */
  const lanes moment =
      (front * f.lean - rear * r.lean) / (chassis + front * (front * f.give) + rear * (rear * r.give));
  const lanes twist = chassis * moment, pair = front * moment;
  const lanes front_height = settle(&f, pair, out->wheel[0] + to, out->wheel[1] + to);
  const lanes rear_height = settle(&r, -(rear * moment), out->wheel[2] + to, out->wheel[3] + to);
  const lanes pitch = (rear_height - front_height) * all(1 / length);
  store(out->heave + to, front_height + all(g->x[0]) * pitch);
  store(out->pitch + to, pitch);
  store(out->roll + to, front * (f.lean - f.give * pair) - all(0.5) * twist);
  store(out->twist + to, twist);
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
static void solve_block(const sy_variants_frame *g, const double *const from[IN], double *const to[OUT],
                        size_t at, size_t count) {
  double i[IN][BLOCK], o[OUT][BLOCK];
  for (int c = 0; c < IN; c++) {
    copy(i[c], from[c] + at, count);
    for (size_t k = count; k % LANES != 0; k++) i[c][k] = i[c][0];
  }
  const sy_variants_in in = {
      {i[0], i[1], i[2], i[3]},    {i[4], i[5], i[6], i[7]}, {i[8], i[9]}, i[10], i[11], i[12], i[13],
      {i[14], i[15], i[16], i[17]}};
  const sy_variants_out out = {o[0], o[1], o[2], o[3], {o[4], o[5], o[6], o[7]}};
  for (size_t k = 0; k < count; k += LANES) solve(g, &in, k, &out, k);
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

void FUNCTION(const sy_variants_frame *frame, const sy_variants_in *in, size_t count,
              const sy_variants_out *out) {
  const sy_variants_frame g = *frame; /* values that no store can change */
  const sy_variants_in columns = *in;
  const sy_variants_out results = *out;
  const double *from[IN];
  double *to[OUT];
  list_columns(in, out, from, to);
  size_t i = 0;
  if (collide(from, to)) {
    for (; i + BLOCK <= count; i += BLOCK) solve_block(&g, from, to, i, BLOCK);
  } else {
    for (; i + LANES <= count; i += LANES) solve(&g, &columns, i, &results, i);
  }
  if (i < count) solve_block(&g, from, to, i, count - i);
}
