/* Roll-ups of random trees against the joined bodies, and their bits against every compiler. */
#include "mass/rollup.h"

#include <float.h>
#include <stdlib.h>
#include <string.h>

#include "base/lanes.h"
#include "dice.h"
#include "mass/kernels/rollup_lanes.h"
#include "near.h"

enum { LEVELS = 4, MOST = 700, ROOM = MOST + SY_ROLLUP_BLOCK };

/* A tree with its columns; bodies hang at every level. */
typedef struct tree {
  double body[LEVELS][SY_ROLLUP_BODY * ROOM], place[LEVELS][SY_ROLLUP_PLACE * ROOM];
  double sums[LEVELS][SY_ROLLUP_SUMS * ROOM]; /* of the children; for the test of the kernels */
  uint32_t child_end[LEVELS][MOST];
  sy_rollup_level level[LEVELS];
} tree;

/* Numbers of node i of level k. */
enum { MASS, CG, INERTIA = 4, TURN = 0, AT = 9 };
static double *body(tree *t, size_t k, size_t i, size_t number) {
  return &t->body[k][sy_rollup_at(SY_ROLLUP_BODY, i, number)];
}
static double *place(tree *t, size_t k, size_t i, size_t number) {
  return &t->place[k][sy_rollup_at(SY_ROLLUP_PLACE, i, number)];
}

/* From four whole numbers: no libm, so the same on every machine. */
static sy_mat3 random_turn(dice *d) {
  double q[4] = {0}, square = 0;
  while (square == 0) {
    square = 0;
    for (int i = 0; i < 4; i++) {
      q[i] = (double)dice_below(d, 201) - 100;
      square += q[i] * q[i];
    }
  }
  const double s = 2 / square, w = q[0], x = q[1], y = q[2], z = q[3];
  return (sy_mat3){{{1 - s * (y * y + z * z), s * (x * y - w * z), s * (x * z + w * y)},
                    {s * (x * y + w * z), 1 - s * (x * x + z * z), s * (y * z - w * x)},
                    {s * (x * z - w * y), s * (y * z + w * x), 1 - s * (x * x + y * y)}}};
}

static void fill_node(tree *t, size_t k, size_t i, dice *d) {
  const double mass = dice_between(d, 0.1, 40);
  *body(t, k, i, MASS) = dice_below(d, 9) == 0 ? 0 : mass;
  const sy_mat3 own = random_turn(d), turn = random_turn(d);
  const double a = dice_between(d, 0.01, 0.2), b = dice_between(d, 0.01, 0.2), c = dice_between(d, 0.01, 0.2);
  const double m = *body(t, k, i, MASS) / 12;
  const sy_sym3 j = sy_sym3_turn(own, (sy_sym3){m * (b + c), m * (a + c), m * (a + b), 0, 0, 0}); /* a box */
  const double list[6] = {j.xx, j.yy, j.zz, j.xy, j.xz, j.yz};
  for (size_t q = 0; q < 6; q++) *body(t, k, i, INERTIA + q) = list[q];
  for (size_t q = 0; q < 3; q++) {
    *body(t, k, i, CG + q) = dice_between(d, -0.5, 0.5);
    *place(t, k, i, AT + q) = dice_between(d, -1, 1);
    for (size_t r = 0; r < 3; r++) *place(t, k, i, TURN + 3 * q + r) = turn.m[q][r];
  }
}

/* counts from the lowest level up; uneven families, some without children */
static tree *random_tree(dice *d, const size_t counts[LEVELS], unsigned bodies) {
  tree *t = malloc(sizeof *t);
  assert_non_null(t);
  for (size_t k = 0; k < LEVELS; k++) {
    sy_rollup_level *level = &t->level[k];
    *level = (sy_rollup_level){.count = counts[k], .place = t->place[k], .child_end = t->child_end[k]};
    assert_true(counts[k] <= MOST);
    for (size_t q = 0; q < SY_ROLLUP_BODY * ROOM; q++) t->body[k][q] = (double)NAN; /* past the last node */
    for (size_t q = 0; q < SY_ROLLUP_PLACE * ROOM; q++) t->place[k][q] = (double)NAN;
    for (size_t i = 0; i < counts[k]; i++) fill_node(t, k, i, d);
    if (bodies >> k & 1u) level->body = t->body[k];
    if (k == 0) continue;
    size_t given = 0;
    for (size_t i = 0; i < counts[k]; i++) { /* about as many each, from none to twice the mean */
      const size_t mean = counts[k - 1] / counts[k];
      given += dice_below(d, 2 * mean + 1);
      if (given > counts[k - 1] || i + 1 == counts[k]) given = counts[k - 1];
      t->child_end[k][i] = (uint32_t)given;
    }
  }
  return t;
}

static sy_massprops rolled_up(const tree *t) {
  double *work = malloc(sy_rollup_work(t->level, LEVELS) * sizeof *work + 1);
  assert_non_null(work);
  sy_massprops out;
  sy_error err;
  const sy_status status = sy_rollup(t->level, LEVELS, work, &out, &err);
  if (status != SY_OK) print_error("%s\n", err.message);
  assert_int_equal(status, SY_OK);
  free(work);
  return out;
}

/* The body of node i with everything below it, each placed into the frame around by the functions for single bodies. */
static size_t collect(tree *t, size_t k, size_t i, const sy_frame *around, sy_massprops *all, size_t count) {
  sy_frame own;
  for (size_t q = 0; q < 9; q++) own.turn.m[q / 3][q % 3] = *place(t, k, i, TURN + q);
  own.at = (sy_vec3){*place(t, k, i, AT), *place(t, k, i, AT + 1), *place(t, k, i, AT + 2)};
  const sy_frame frame = sy_frame_compose(around, &own);
  if (t->level[k].body != NULL) {
    double v[SY_ROLLUP_BODY];
    for (size_t q = 0; q < SY_ROLLUP_BODY; q++) v[q] = *body(t, k, i, q);
    const sy_massprops one = {v[0], {v[1], v[2], v[3]}, {v[4], v[5], v[6], v[7], v[8], v[9]}};
    all[count++] = sy_massprops_place(&one, &frame);
  }
  if (k == 0) return count;
  for (uint32_t c = i > 0 ? t->child_end[k][i - 1] : 0; c < t->child_end[k][i]; c++)
    count = collect(t, k - 1, c, &frame, all, count);
  return count;
}

static void assert_rolled_up_is_joined(tree *t) {
  sy_massprops *all = malloc(LEVELS * MOST * sizeof *all), want;
  assert_non_null(all);
  const sy_frame root = sy_frame_identity();
  size_t count = 0;
  for (size_t i = 0; i < t->level[LEVELS - 1].count; i++)
    count = collect(t, LEVELS - 1, i, &root, all, count);
  assert_int_equal(sy_massprops_combine(all, count, &want, NULL), SY_OK);
  const sy_massprops got = rolled_up(t);
  /* four levels of turns and shifts of up to 1.7 m, so parts lie within 8 m; some ten roundings a level, random in sign
  ** over hundreds of parts */
  const double tol = 64 * DBL_EPSILON, reach = 8;
  assert_near(got.mass, want.mass, tol * want.mass);
  assert_near(got.cg.x, want.cg.x, tol * reach);
  assert_near(got.cg.y, want.cg.y, tol * reach);
  assert_near(got.cg.z, want.cg.z, tol * reach);
  const double square = tol * want.mass * reach * reach;
  assert_near(got.inertia.xx, want.inertia.xx, square);
  assert_near(got.inertia.yy, want.inertia.yy, square);
  assert_near(got.inertia.zz, want.inertia.zz, square);
  assert_near(got.inertia.xy, want.inertia.xy, square);
  assert_near(got.inertia.xz, want.inertia.xz, square);
  assert_near(got.inertia.yz, want.inertia.yz, square);
  free(all);
}

static void rollup_of_random_trees_is_the_joined_bodies(void **state) {
  (void)state;
  dice d = {2024};
  /* around the block of 64; single children; wide and narrow */
  const size_t shapes[][LEVELS] = {{300, 38, 5, 1},  {63, 9, 2, 1},       {64, 64, 64, 64}, {65, 3, 2, 2},
                                   {129, 70, 65, 1}, {640, 80, 10, 2},    {5, 40, 3, 1},    {1, 1, 1, 1},
                                   {700, 1, 1, 1},   {200, 130, 129, 128}};
  for (size_t s = 0; s < sizeof shapes / sizeof *shapes; s++)
    for (unsigned bodies = 1; bodies < 1u << LEVELS; bodies++) { /* which levels have bodies of their own */
      tree *t = random_tree(&d, shapes[s], bodies);
      for (size_t k = 0; k < LEVELS; k++) *body(t, k, 0, MASS) = 1.37; /* something has a mass */
      assert_rolled_up_is_joined(t);
      free(t);
    }
}

/* One solid cylinder of r = 0.2 m, h = 0.8 m cut across into eight slices of height h/8 on one axis, turned and far off.
** Source: I = m (3 r^2 + h^2)/12 and m r^2/2, Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4. */
static void rollup_of_the_slices_of_a_cylinder_is_the_cylinder(void **state) {
  (void)state;
  enum { SLICES = 8 };
  const double m = 91.2, r = 0.2, h = 0.8, slice = m / SLICES, height = h / SLICES;
  const double across = slice * (3 * r * r + height * height) / 12, along = slice * r * r / 2;
  double body[SY_ROLLUP_BODY * SLICES] = {0}, place[SY_ROLLUP_PLACE * SLICES] = {0};
  double top[SY_ROLLUP_PLACE * SY_ROLLUP_BLOCK] = {0};
  for (size_t i = 0; i < SLICES; i++) {
    const double of[SY_ROLLUP_BODY] = {slice, 0, 0, 0, across, across, along, 0, 0, 0};
    const double at[SY_ROLLUP_PLACE] = {1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, ((double)i + 0.5) * height - h / 2};
    for (size_t k = 0; k < SY_ROLLUP_BODY; k++) body[sy_rollup_at(SY_ROLLUP_BODY, i, k)] = of[k];
    for (size_t k = 0; k < SY_ROLLUP_PLACE; k++) place[sy_rollup_at(SY_ROLLUP_PLACE, i, k)] = at[k];
  }
  const uint32_t end[1] = {SLICES};
  /* about y by the angle of a 3-4-5 triangle */
  const double far[SY_ROLLUP_PLACE] = {0.6, 0, 0.8, 0, 1, 0, -0.8, 0, 0.6, 7.31, -2.09, 0.57};
  for (size_t k = 0; k < SY_ROLLUP_PLACE; k++) top[sy_rollup_at(SY_ROLLUP_PLACE, 0, k)] = far[k];
  const sy_rollup_level level[2] = {{.count = SLICES, .body = body, .place = place},
                                    {.count = 1, .place = top, .child_end = end}};
  double work[160];
  assert_int_equal(sy_rollup_work(level, 2), 160);
  sy_massprops got;
  assert_int_equal(sy_rollup(level, 2, work, &got, NULL), SY_OK);
  const double i_across = m * (3 * r * r + h * h) / 12, i_along = m * r * r / 2;
  const double tol = 32 * DBL_EPSILON * m * 60; /* moments about an origin 7.6 m away */
  assert_near(got.mass, m, 8 * DBL_EPSILON * m);
  assert_near(got.cg.x, 7.31, 16 * DBL_EPSILON * 8);
  assert_near(got.cg.y, -2.09, 16 * DBL_EPSILON * 8);
  assert_near(got.inertia.xx, 0.36 * i_across + 0.64 * i_along, tol);
  assert_near(got.inertia.yy, i_across, tol);
  assert_near(got.inertia.zz, 0.64 * i_across + 0.36 * i_along, tol);
  assert_near(got.inertia.xz, 0.48 * (i_along - i_across), tol);
  assert_near(got.inertia.xy, 0, tol);
}

/* FNV-1a over the bytes of the ten results; the sum was made by gcc -O0 and is the same for gcc and clang at every level
** with and without wider vectors. What the results mean is tested above. */
static void rollup_gives_the_same_bits_everywhere(void **state) {
  (void)state;
  uint64_t hash = 14695981039346656037u;
  dice d = {7};
  const size_t shape[LEVELS] = {650, 90, 11, 3};
  for (int turn = 0; turn < 20; turn++) {
    tree *t = random_tree(&d, shape, 15);
    const sy_massprops got = rolled_up(t);
    double v[10];
    assert_int_equal(sizeof v, sizeof got);
    memcpy(v, &got, sizeof v);
    for (int i = 0; i < 10; i++) {
      uint64_t bits;
      memcpy(&bits, &v[i], sizeof bits);
      for (int k = 0; k < 64; k += 8) hash = (hash ^ (bits >> k & 255u)) * 1099511628211u;
    }
    free(t);
  }
  assert_true(hash == 0xa3a2604433ae06bdu);
}

/* Each level of instructions that this processor runs gives the bytes of the plainest, whatever the families. */
static void rollup_gives_the_same_bits_at_every_level(void **state) {
  (void)state;
  static double plain[SY_ROLLUP_SUMS * ROOM], wide[SY_ROLLUP_SUMS * ROOM];
  dice d = {11};
  const size_t shapes[][LEVELS] = {{650, 90, 11, 3}, {700, 1, 1, 1}, {64, 64, 64, 64}, {13, 5, 2, 1}};
  for (size_t s = 0; s < sizeof shapes / sizeof *shapes; s++) {
    tree *t = random_tree(&d, shapes[s], 15);
    const double *sums = NULL;
    for (size_t k = 0; k + 1 < LEVELS; k++) {
      const size_t parents = shapes[s][k + 1];
      sy_rollup_lanes_v1(&t->level[k], sums, t->child_end[k + 1], parents, plain);
#ifdef __x86_64__
      sy_rollup_lanes *const level[] = {sy_rollup_lanes_v3, sy_rollup_lanes_v4};
      for (int l = 0; l < 2; l++) {
        if (!sy_lanes_level(3 + l)) continue;
        level[l](&t->level[k], sums, t->child_end[k + 1], parents, wide);
        assert_memory_equal(plain, wide, sy_rollup_room(SY_ROLLUP_SUMS, parents) * sizeof *wide);
      }
#endif
      sums = memcpy(t->sums[k], plain, sizeof plain);
    }
    free(t);
  }
}

static void assert_refused(const tree *t, size_t levels, sy_status status, const char *field) {
  double work[10 * 3 * ROOM];
  sy_massprops out = {.mass = 123};
  sy_error err;
  assert_int_equal(sy_rollup(t->level, levels, work, &out, &err), status);
  assert_string_equal(err.part, "tree");
  assert_string_equal(err.field, field);
  assert_true(err.message[0] != 0);
  assert_true(out.mass == 123);
}

static void rollup_of_what_is_no_tree_is_refused(void **state) {
  (void)state;
  dice d = {3};
  const size_t shape[LEVELS] = {30, 10, 4, 2};
  tree *t = random_tree(&d, shape, 15);
  assert_refused(t, 0, SY_MISSING, "");
  t->level[3].count = 0;
  assert_refused(t, LEVELS, SY_MISSING, "");
  t->level[3].count = 2;
  const uint32_t kept = t->child_end[1][9], middle = t->child_end[1][5];
  t->child_end[1][9] = 31;
  assert_refused(t, LEVELS, SY_CLASH, "child_end");
  t->child_end[1][9] = 29;
  assert_refused(t, LEVELS, SY_CLASH, "child_end");
  t->child_end[1][9] = kept;
  t->child_end[1][5] = 31; /* falls afterwards */
  assert_refused(t, LEVELS, SY_CLASH, "child_end");
  t->child_end[1][5] = middle;
  for (size_t k = 0; k < LEVELS; k++) t->level[k].body = NULL;
  assert_refused(t, LEVELS, SY_MISSING, "mass");
  free(t);
}

static void rollup_of_values_that_are_no_numbers_is_refused(void **state) {
  (void)state;
  dice d = {3};
  const size_t shape[LEVELS] = {30, 10, 4, 2};
  const double bad[] = {(double)NAN, (double)INFINITY, -1e9};
  for (int b = 0; b < 3; b++)
    for (int field = 0; field < (b < 2 ? 4 : 1);
         field++) { /* a negative mass alone is refused: the others have a sign */
      tree *t = random_tree(&d, shape, 15);
      *(field == 0   ? body(t, 0, 17, MASS)
        : field == 1 ? body(t, 1, 3, CG + 2)
        : field == 2 ? body(t, 0, 2, INERTIA + 4)
                     : place(t, 2, 1, AT + 1)) = bad[b];
      *body(t, 1, 3, MASS) = *body(t, 0, 2, MASS) = 1.37;
      assert_refused(t, LEVELS, SY_RANGE, "");
      free(t);
    }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(rollup_of_random_trees_is_the_joined_bodies),
      cmocka_unit_test(rollup_of_the_slices_of_a_cylinder_is_the_cylinder),
      cmocka_unit_test(rollup_gives_the_same_bits_everywhere),
      cmocka_unit_test(rollup_gives_the_same_bits_at_every_level),
      cmocka_unit_test(rollup_of_what_is_no_tree_is_refused),
      cmocka_unit_test(rollup_of_values_that_are_no_numbers_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
