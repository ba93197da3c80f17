/* The full roll-up of a tree with eight children a node; bench_rollup.py writes the file, checks the answer and compares. */
#include "serve.h"

#include "mass/rollup.h"

enum { LEVELS = 4, FAN = 8 };

typedef struct tree {
  sy_rollup_level level[LEVELS];
  double *work;
  sy_massprops body;
} tree;

static const double *take(const double **data, size_t count) {
  const double *column = *data;
  *data += count;
  return column;
}

static uint32_t *child_ends(size_t parents, size_t children) {
  uint32_t *end = malloc(parents * sizeof *end);
  if (end == NULL) exit(1);
  for (size_t i = 0; i < parents; i++)
    end[i] = (uint32_t)((i + 1) * FAN < children ? (i + 1) * FAN : children);
  return end;
}

/* Columns from the file into the blocks of a level; outside the clock. */
static const double *blocks(const double **data, size_t numbers, size_t count) {
  double *block = bench_memory(sy_rollup_room(numbers, count) * sizeof *block);
  memset(block, 0, sy_rollup_room(numbers, count) * sizeof *block);
  for (size_t k = 0; k < numbers; k++) {
    const double *column = take(data, count);
    for (size_t i = 0; i < count; i++) block[sy_rollup_at(numbers, i, k)] = column[i];
  }
  return block;
}

/* The file: number of parts; their mass, cg and inertia columns; then turn and at columns level by level. */
static tree tree_of(const double *data) {
  tree t = {.work = NULL};
  size_t count = (size_t)*take(&data, 1);
  t.level[0].body = blocks(&data, SY_ROLLUP_BODY, count);
  for (int l = 0; l < LEVELS; l++) {
    sy_rollup_level *level = &t.level[l];
    level->count = count;
    level->place = blocks(&data, SY_ROLLUP_PLACE, count);
    if (l > 0) level->child_end = child_ends(count, level[-1].count);
    count = (count + FAN - 1) / FAN;
  }
  t.work = bench_memory(sy_rollup_work(t.level, LEVELS) * sizeof(double));
  return t;
}

static void roll_up(void *user, size_t items) {
  tree *t = user;
  for (size_t i = 0; i < items; i++)
    if (sy_rollup(t->level, LEVELS, t->work, &t->body, NULL) != SY_OK) exit(1);
}

int main(int argc, char **argv) {
  if (argc != 2) return 1;
  size_t count;
  tree t = tree_of(bench_read(argv[1], &count));
  roll_up(&t, 1);
  const sy_massprops b = t.body;
  printf("%.17g %.17g %.17g %.17g %.17g %.17g %.17g %.17g %.17g %.17g\n", b.mass, b.cg.x, b.cg.y, b.cg.z,
         b.inertia.xx, b.inertia.yy, b.inertia.zz, b.inertia.xy, b.inertia.xz, b.inertia.yz);
  fflush(stdout);
  bench_job jobs[] = {{"rollup", roll_up, 0}};
  return bench_serve(jobs, 1, &t);
}
