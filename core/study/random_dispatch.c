#include "study/random.h"

#include <math.h>
#include <stddef.h>

#include "answers/found.h"
#include "base/lanes.h"
#include "numeric/rng_lanes.h"
#include "study/kernels/draw_lanes.h"

const sy_draw_kernels *sy_draw_kernels_of(int level) {
  if (!sy_lanes_level(level)) return NULL;
#ifdef __x86_64__
  if (level == 3) return &sy_draw_kernels_v3;
  if (level == 4) return &sy_draw_kernels_v4;
#endif
  return &sy_draw_kernels_v1;
}

const sy_draw_kernels *sy_draw_kernels_best(void) {
  for (int level = 4; level > 1; level--) {
    const sy_draw_kernels *k = sy_draw_kernels_of(level);
    if (k != NULL) return k;
  }
  return sy_draw_kernels_of(1);
}

static void draw(const sy_draw_kernels *k, sy_distribution kind, uint64_t seed, uint64_t path,
                 uint32_t quantity, uint64_t block, float out[SY_DRAWS]) {
  uint32_t schedule[5];
  sy_rng_schedule(sy_rng_key(seed), schedule);
  k->draw(kind, schedule, path, quantity, (uint32_t)(block * (SY_DRAWS / 4)), out);
}

void sy_random_block(sy_distribution kind, uint64_t seed, uint64_t path, uint32_t quantity, uint64_t block,
                     float out[SY_DRAWS]) {
  draw(sy_draw_kernels_best(), kind, seed, path, quantity, block, out);
}

int sy_random_block_level(int level, sy_distribution kind, uint64_t seed, uint64_t path, uint32_t quantity,
                          uint64_t block, float out[SY_DRAWS]) {
  const sy_draw_kernels *k = sy_draw_kernels_of(level);
  if (k == NULL) return 0;
  draw(k, kind, seed, path, quantity, block, out);
  return 1;
}

uint64_t sy_random_path(const char *path) { return sy_error_key(path); }

double sy_distribution_mean(sy_distribution kind) { return kind == SY_ALLOWANCE ? 0.5 : 0.0; }

double sy_distribution_sd(sy_distribution kind) { return kind == SY_ALLOWANCE ? 1.0 / sqrt(12.0) : 1.0; }
