#include "study/corner_variants.h"

#include <float.h>
#include <stdlib.h>
#include <string.h>

#include "base/units.h"
#include "dice.h"
#include "near.h"
#include "statics/corner.h"

enum { IN = 18, OUT = 8, MOST = 1003 };

typedef struct columns {
  double in[IN][MOST], out[OUT][MOST];
} columns;

/* Even about the centre plane, which has a way of its own, and each wheel at a place of its own. */
static const sy_variants_frame EVEN = {
    {0.02, -2.43}, {0.02, 0.02, -2.43, -2.43}, {0.751, -0.751, 0.738, -0.738}};
static const sy_variants_frame UNLIKE = {
    {0.02, -2.43}, {0.05, 0.013, -2.47, -2.41}, {0.727, -0.751, 0.791, -0.738}};
static const sy_variants_frame *const FRAMES[2] = {&EVEN, &UNLIKE};

/* The two, then an even one with one of its eight places 10 mm off. */
enum { KINDS = 10 };
static sy_variants_frame frame_of(int which) {
  if (which < 2) return *FRAMES[which];
  sy_variants_frame f = EVEN;
  *(which < 6 ? &f.x[which - 2] : &f.y[which - 6]) += 0.01;
  return f;
}

static sy_variants_in in_of(columns *c, size_t from) {
  sy_variants_in v;
  for (int i = 0; i < 4; i++) {
    v.wheel_rate[i] = c->in[i] + from;
    v.tyre_rate[i] = c->in[4 + i] + from;
    v.unsprung[i] = c->in[14 + i] + from;
  }
  v.bar_rate[0] = c->in[8] + from;
  v.bar_rate[1] = c->in[9] + from;
  v.torsion = c->in[10] + from;
  v.weight = c->in[11] + from;
  v.x = c->in[12] + from;
  v.y = c->in[13] + from;
  return v;
}

static sy_variants_out out_of(columns *c, size_t from) {
  double *o[OUT];
  for (int i = 0; i < OUT; i++) o[i] = c->out[i] + from;
  return (sy_variants_out){o[0], o[1], o[2], o[3], {o[4], o[5], o[6], o[7]}};
}

static columns *random_columns(void) {
  columns *c = calloc(1, sizeof *c);
  assert_non_null(c);
  dice d = {2468};
  for (int i = 0; i < MOST; i++) {
    for (int w = 0; w < 4; w++) {
      c->in[w][i] = dice_between(&d, 1e4, 9e4);
      c->in[4 + w][i] = dice_between(&d, 1.5e5, 3e5);
      c->in[14 + w][i] = dice_between(&d, 150, 450);
    }
    for (int a = 0; a < 2; a++) c->in[8 + a][i] = dice_between(&d, 0, 3e4);
    c->in[10][i] = dice_between(&d, 1e4, 2e6);
    c->in[11][i] = dice_between(&d, 4000, 12000);
    c->in[12][i] = dice_between(&d, -2, -0.6);
    c->in[13][i] = dice_between(&d, -0.1, 0.1);
  }
  return c;
}

/* The same equilibrium by corner.h, which is checked against SciPy; the load goes from a drawn state to the variant's, and heights are the
** difference of the two variants. */
static int agree_with_the_corner_model(const sy_variants_frame *f, columns *c, int i) {
  sy_vehicle v = sy_vehicle_default();
  v.axle_count = 2;
  v.torsion = c->in[10][i];
  for (int a = 0; a < 2; a++) v.axle[a].x = f->axle[a], v.axle[a].bar_rate = c->in[8 + a][i];
  for (int k = 0; k < 4; k++) {
    v.wheel[k].x = f->x[k], v.wheel[k].y = f->y[k];
    v.wheel[k].loaded_radius = 0.3;
    v.wheel[k].spring_rate = c->in[k][i];
    v.wheel[k].tyre_rate = c->in[4 + k][i];
  }
  sy_corner_load load[2];
  double drawn[SY_MAX_WHEELS] = {0};
  memset(load, 0, sizeof load);
  for (int s = 0; s < 2; s++) {
    const double w = c->in[11][i + s], x = c->in[12][i + s], y = c->in[13][i + s];
    const double near = (x - f->axle[1]) / (f->axle[0] - f->axle[1]);
    const double body[4] = {w, -w * x, w * y * near, w * y * (1 - near)};
    memcpy(load[s].body, body, sizeof body);
    for (int k = 0; k < 4; k++) {
      const double u = c->in[14 + k][i + s], own = (f->x[k] - f->axle[1]) / (f->axle[0] - f->axle[1]);
      load[s].wheel[k] = u;
      load[s].body[0] += u;
      load[s].body[1] -= u * f->x[k];
      load[s].body[2] += u * f->y[k] * own;
      load[s].body[3] += u * f->y[k] * (1 - own);
      if (s == 0) drawn[k] = -c->in[4 + k][i] * c->out[4 + k][i]; /* as the kernel has it */
    }
  }
  sy_corner_model model;
  sy_corner_result r;
  sy_error err;
  if (sy_corner_make(&v, &load[0], drawn, &model, &err) != SY_OK)
    return 0; /* a wheel pulls: not this model's */
  const sy_corner_setting setting = {.bars = true};
  if (sy_corner_solve(&model, &load[1], &setting, &r, &err) != SY_OK)
    fail_msg("%s: %s", err.field, err.message);
  for (int k = 0; k < 4; k++)
    if (!r.fits[k].touches) return 0;
  const double tol = 1e-12; /* m: heights of some 0.1 m through two eliminations of a dozen operations each */
  for (int k = 0; k < 4; k++) {
    const double change = c->out[4 + k][i + 1] - c->out[4 + k][i];
    assert_near(r.load[k], -c->in[4 + k][i] * c->out[4 + k][i + 1], 1e-9 * c->in[11][i]);
    assert_near(r.height[k] + r.travel[k], change, tol);
  }
  assert_near(r.pose[0], c->out[0][i + 1] - c->out[0][i], tol);
  assert_near(r.pose[1], c->out[1][i + 1] - c->out[1][i], tol);
  assert_near(0.5 * (r.pose[2] + r.pose[3]), c->out[2][i + 1] - c->out[2][i], tol);
  assert_near(r.pose[2] - r.pose[3], c->out[3][i + 1] - c->out[3][i], tol);
  return 1;
}

static void variants_agree_with_the_corner_model(void **state) {
  (void)state;
  enum { N = 400 };
  for (int which = 0; which < 2; which++) {
    columns *c = random_columns();
    for (int i = 0; i < N; i++) /* pairs: 2 k as drawn, 2 k + 1 loaded otherwise, on the same springs */
      for (int q = 0; q < 11; q++) c->in[q][i] = c->in[q][i - i % 2];
    const sy_variants_in in = in_of(c, 0);
    const sy_variants_out out = out_of(c, 0);
    sy_corner_variants(FRAMES[which], &in, N, &out);
    int compared = 0;
    for (int i = 0; i < N; i += 2) compared += agree_with_the_corner_model(FRAMES[which], c, i);
    assert_true(compared > N / 4); /* half of the pairs or more stand on all four wheels */
    free(c);
  }
}

/* A place a little off the even one: the one way goes over into the other. */
static void nearly_even_variants_are_as_even_ones(void **state) {
  (void)state;
  columns *one = random_columns(), *other = random_columns();
  const double off = 1e-9;
  sy_variants_frame near = EVEN;
  near.y[2] += off;
  const sy_variants_in in = in_of(one, 0);
  const sy_variants_out out = out_of(one, 0), to = out_of(other, 0);
  sy_corner_variants(&EVEN, &in, MOST, &out);
  sy_corner_variants(&near, &in, MOST, &to);
  for (int k = 0; k < OUT; k++) /* heights of 1 m or less on tracks of 1.5 m */
    for (int i = 0; i < MOST; i++) assert_near(other->out[k][i], one->out[k][i], 2 * off);
  free(one);
  free(other);
}

/* Forces on body and wheels balance. */
static void variants_balance(void **state) {
  (void)state;
  for (int which = 0; which < KINDS; which++) {
    const sy_variants_frame frame = frame_of(which), *f = &frame;
    columns *c = random_columns();
    const sy_variants_in in = in_of(c, 0);
    const sy_variants_out out = out_of(c, 0);
    sy_corner_variants(f, &in, MOST, &out);
    for (int i = 0; i < MOST; i++) {
      double up = 0, pitch = 0, roll = 0, front = 0;
      for (int k = 0; k < 4; k++) {
        const double net = -c->in[4 + k][i] * c->out[4 + k][i] - c->in[14 + k][i];
        up += net;
        pitch -= net * f->x[k];
        roll += net * f->y[k];
        front += net * f->y[k] * (f->x[k] - f->axle[1]) / (f->axle[0] - f->axle[1]);
      }
      const double w = c->in[11][i], tol = 1e-10 * w;
      assert_near(up, w, tol);
      assert_near(pitch, -w * c->in[12][i], tol);
      assert_near(roll, w * c->in[13][i], tol);
      /* front half: its roll moment, less its share of the weight's, is what the chassis passes on */
      const double near = (c->in[12][i] - f->axle[1]) / (f->axle[0] - f->axle[1]);
      assert_near(front - w * c->in[13][i] * near, c->in[10][i] * c->out[3][i], 1e-9 * w);
    }
    free(c);
  }
}

/* What springs, bars and tyres do at the answer: each wheel carries what springs press it down with and its own weight. With the balance of
** the whole and of the front half these are the eight equations of the model. */
static void variants_hold_each_wheel(void **state) {
  (void)state;
  for (int which = 0; which < 2; which++) {
    const sy_variants_frame *f = FRAMES[which];
    columns *c = random_columns();
    const sy_variants_in in = in_of(c, 0);
    const sy_variants_out out = out_of(c, 0);
    sy_corner_variants(f, &in, MOST, &out);
    for (int i = 0; i < MOST; i++) {
      double travel[4];
      for (int k = 0; k < 4; k++) {
        const double near = (f->x[k] - f->axle[1]) / (f->axle[0] - f->axle[1]);
        const double roll = c->out[2][i] + (near - 0.5) * c->out[3][i];
        travel[k] = c->out[4 + k][i] - (c->out[0][i] - f->x[k] * c->out[1][i] + f->y[k] * roll);
      }
      for (int k = 0; k < 4; k++) {
        const double spring = c->in[k][i] * travel[k] + c->in[8 + k / 2][i] * (travel[k] - travel[k ^ 1]);
        const double tyre = -c->in[4 + k][i] * c->out[4 + k][i];
        /* some thirty roundings of heights of 0.3 m, felt by tyres of 3e5 N/m; the general way has three times as many */
        assert_near(tyre - c->in[14 + k][i], spring, (which == 0 ? 30 : 100) * DBL_EPSILON * 0.3 * 3e5);
      }
    }
    free(c);
  }
}

/* A torsion without end is a rigid chassis: no twist, and all else as with one of 1e20 N m/rad, which a car
** twists by 1e-17 rad. */
static void check_rigid(const sy_variants_frame *f) {
  columns *one = random_columns(), *other = random_columns();
  for (int i = 0; i < MOST; i++) {
    one->in[10][i] = (double)INFINITY;
    other->in[10][i] = 1e20;
  }
  const sy_variants_in in = in_of(one, 0), stiff = in_of(other, 0);
  const sy_variants_out out = out_of(one, 0), as_stiff = out_of(other, 0);
  sy_corner_variants(f, &in, MOST, &out);
  sy_corner_variants(f, &stiff, MOST, &as_stiff);
  for (int i = 0; i < MOST; i++) {
    assert_near(one->out[3][i], 0, 0);
    for (int k = 0; k < OUT; k++)
      assert_near(one->out[k][i], other->out[k][i], 1e-14); /* roundings of 0.3 m */
  }
  free(one);
  free(other);
}

static void rigid_chassis_does_not_twist(void **state) {
  (void)state;
  for (int which = 0; which < 2; which++) check_rigid(FRAMES[which]);
}

/* Columns a multiple of 4096 bytes apart go by way of blocks: the same bits at any count. */
static void check_colliding(const sy_variants_frame *f) {
  enum { PAGE = 4096 / sizeof(double), STRIDE = 2 * PAGE };
  columns *one = random_columns();
  double *block = aligned_alloc(4096, (IN + OUT) * STRIDE * sizeof(double)), *at[IN + OUT];
  assert_non_null(block);
  for (int c = 0; c < IN + OUT; c++) at[c] = block + c * STRIDE;
  for (int c = 0; c < IN; c++) memcpy(at[c], one->in[c], MOST * sizeof(double));
  const sy_variants_in in = {{at[0], at[1], at[2], at[3]},
                             {at[4], at[5], at[6], at[7]},
                             {at[8], at[9]},
                             at[10],
                             at[11],
                             at[12],
                             at[13],
                             {at[14], at[15], at[16], at[17]}};
  const sy_variants_out out = {at[18], at[19], at[20], at[21], {at[22], at[23], at[24], at[25]}};
  const sy_variants_in from = in_of(one, 0);
  const sy_variants_out to = out_of(one, 0);
  sy_corner_variants(f, &from, MOST, &to);
  static const size_t counts[] = {MOST, 64, 63, 65, 7, 1};
  for (size_t n = 0; n < sizeof counts / sizeof *counts; n++) {
    for (int c = IN; c < IN + OUT; c++) memset(at[c], 0x55, STRIDE * sizeof(double));
    sy_corner_variants(f, &in, counts[n], &out);
    for (int c = 0; c < OUT; c++) {
      assert_memory_equal(at[IN + c], one->out[c], counts[n] * sizeof(double));
      for (size_t i = counts[n] * sizeof(double); i < STRIDE * sizeof(double);
           i++) /* nothing beyond the count */
        assert_int_equal(((unsigned char *)at[IN + c])[i], 0x55);
    }
  }
  free(block);
  free(one);
}

static void columns_that_collide_give_the_same_bits(void **state) {
  (void)state;
  for (int which = 0; which < 2; which++) check_colliding(FRAMES[which]);
}

static void check_levels(const sy_variants_frame *f) {
  columns *one = random_columns(), *other = random_columns();
  const sy_variants_in in = in_of(one, 0);
  const sy_variants_out out = out_of(one, 0), same = out_of(other, 0);
  assert_int_equal(sy_corner_variants_level(1, f, &in, MOST, &out), 1);
  assert_int_equal(sy_corner_variants_level(2, f, &in, MOST, &same), 0);
  for (int level = 3; level <= 4; level++) {
    memset(other->out, 0x77, sizeof other->out);
    if (!sy_corner_variants_level(level, f, &in, MOST, &same)) continue;
    assert_memory_equal(one->out, other->out, sizeof one->out);
  }
  free(one);
  free(other);
}

static void every_level_gives_the_same_bits(void **state) {
  (void)state;
  for (int which = 0; which < 2; which++) check_levels(FRAMES[which]);
}

/* Any split of the columns, also into single variants. */
static void check_splits(const sy_variants_frame *f) {
  columns *one = random_columns(), *other = random_columns();
  const sy_variants_in in = in_of(one, 0);
  const sy_variants_out out = out_of(one, 0);
  sy_corner_variants(f, &in, MOST, &out);
  dice d = {9};
  for (size_t at = 0; at < MOST;) {
    size_t n = 1 + dice_below(&d, 40);
    if (n > MOST - at) n = MOST - at;
    const sy_variants_in part = in_of(one, at);
    const sy_variants_out piece = out_of(other, at);
    sy_corner_variants(f, &part, n, &piece);
    at += n;
  }
  assert_memory_equal(one->out, other->out, sizeof one->out);
  free(one);
  free(other);
}

static void every_split_gives_the_same_bits(void **state) {
  (void)state;
  for (int which = 0; which < 2; which++) check_splits(FRAMES[which]);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(variants_agree_with_the_corner_model),
      cmocka_unit_test(nearly_even_variants_are_as_even_ones),
      cmocka_unit_test(variants_balance),
      cmocka_unit_test(variants_hold_each_wheel),
      cmocka_unit_test(rigid_chassis_does_not_twist),
      cmocka_unit_test(columns_that_collide_give_the_same_bits),
      cmocka_unit_test(every_level_gives_the_same_bits),
      cmocka_unit_test(every_split_gives_the_same_bits),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
