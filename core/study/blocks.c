#include "study/blocks.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdint.h>

typedef struct crew {
  atomic_size_t next; /* blocks claimed so far; runs past `count` by one a thread at the end */
  size_t first, count;
  sy_block_work work;
  void *with;
} crew;

static void *claim(void *shared) {
  crew *c = shared;
  for (;;) {
    /* relaxed: what the caller wrote before reaches a thread by its start, what a thread wrote reaches the caller by the join */
    const size_t k = atomic_fetch_add_explicit(&c->next, 1, memory_order_relaxed);
    if (k >= c->count) return NULL;
    c->work(c->with, c->first + k);
  }
}

sy_status sy_blocks_run(size_t first, size_t count, int threads, sy_block_work work, void *with) {
  if (count > SIZE_MAX - SY_BLOCKS_MOST_THREADS || first > SIZE_MAX - count) return SY_RANGE;
  crew c = {.first = first, .count = count, .work = work, .with = with};
  atomic_init(&c.next, 0);
  if (threads > SY_BLOCKS_MOST_THREADS) threads = SY_BLOCKS_MOST_THREADS;
  pthread_t helper[SY_BLOCKS_MOST_THREADS];
  int helpers = 0;
  while (helpers + 1 < threads && (size_t)helpers + 1 < count) {
    if (pthread_create(&helper[helpers], NULL, claim, &c) != 0) break;
    helpers++;
  }
  claim(&c);
  while (helpers > 0) pthread_join(helper[--helpers], NULL);
  return SY_OK;
}
