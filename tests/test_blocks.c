/* Blocks by several threads: each is done once, and what they wrote is there when the run returns. The claims are about order and
** memory, so the same tests are run under ThreadSanitizer (build with CFLAGS="-O1 -g -fsanitize=thread"). */
#if defined(__linux__)
#define _GNU_SOURCE
#endif
#include "study/blocks.h"

#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

#include "near.h"

enum { MOST = 10007 };

typedef struct ledger_of_work {
  size_t first;
  unsigned char done[MOST]; /* plain bytes: no two threads may touch one */
  double value[MOST];
} ledger_of_work;

static void note(void *with, size_t block) {
  ledger_of_work *w = with;
  w->done[block - w->first]++;
  double x = (double)block;
  for (int i = 0; i < 50; i++) x = sqrt(x + i);
  w->value[block - w->first] = x;
}

static void every_block_is_done_once_and_alike_by_any_number_of_threads(void **state) {
  (void)state;
  static const int threads[] = {-3, 0, 1, 2, 3, 5, 64, 1000};
  static const size_t counts[] = {0, 1, 2, 63, 64, MOST};
  static ledger_of_work alone, shared;
  for (size_t c = 0; c < sizeof counts / sizeof *counts; c++) {
    memset(&alone, 0, sizeof alone);
    alone.first = 1000003;
    assert_int_equal(sy_blocks_run(alone.first, counts[c], 1, note, &alone), SY_OK);
    for (size_t i = 0; i < MOST; i++) assert_int_equal(alone.done[i], i < counts[c]);
    for (size_t t = 0; t < sizeof threads / sizeof *threads; t++) {
      memset(&shared, 0, sizeof shared);
      shared.first = alone.first;
      assert_int_equal(sy_blocks_run(shared.first, counts[c], threads[t], note, &shared), SY_OK);
      assert_memory_equal(&shared, &alone, sizeof alone);
    }
  }
}

typedef struct order_of_work {
  size_t next;
  pthread_t by;
} order_of_work;

static void note_order(void *with, size_t block) {
  order_of_work *w = with;
  assert_int_equal(block, w->next++);
  assert_true(pthread_equal(w->by, pthread_self()));
}

static void one_thread_is_the_caller_s_and_goes_by_number(void **state) {
  (void)state;
  order_of_work w = {7, pthread_self()};
  assert_int_equal(sy_blocks_run(7, 300, 1, note_order, &w), SY_OK);
  assert_int_equal(w.next, 307);
}

/* Both must be at work at the same time to get on: with one thread this would never end. */
static void meet(void *with, size_t block) {
  atomic_int *here = with;
  (void)block;
  atomic_fetch_add(here, 1);
  while (atomic_load(here) < 2) continue;
}

static void two_threads_work_at_the_same_time(void **state) {
  (void)state;
  atomic_int here = 0;
  assert_int_equal(sy_blocks_run(0, 2, 2, meet, &here), SY_OK);
  assert_int_equal(atomic_load(&here), 2);
}

static void numbers_beyond_size_t_are_refused_and_nothing_is_done(void **state) {
  (void)state;
  order_of_work w = {0, pthread_self()};
  assert_int_equal(sy_blocks_run(SIZE_MAX - 1, 3, 2, note_order, &w), SY_RANGE);
  assert_int_equal(sy_blocks_run(0, SIZE_MAX, 2, note_order, &w), SY_RANGE);
  assert_int_equal(w.next, 0);
  w.next = SIZE_MAX - 2;
  assert_int_equal(sy_blocks_run(SIZE_MAX - 2, 2, 1, note_order, &w), SY_OK);
}

#if defined(__linux__)
static void *idle(void *with) { return with; }

/* A stack larger than any address space: the system starts no thread. */
static void threads_that_cannot_be_started_are_done_without(void **state) {
  (void)state;
  static ledger_of_work w;
  pthread_attr_t usual, huge;
  assert_int_equal(pthread_getattr_default_np(&usual), 0);
  assert_int_equal(pthread_attr_init(&huge), 0);
  assert_int_equal(pthread_attr_setstacksize(&huge, (size_t)1 << 50), 0);
  assert_int_equal(pthread_setattr_default_np(&huge), 0);
  pthread_t none;
  const int refused = pthread_create(&none, NULL, idle, NULL);
  const sy_status status = sy_blocks_run(0, 500, 4, note, &w);
  assert_int_equal(pthread_setattr_default_np(&usual), 0);
  pthread_attr_destroy(&huge);
  pthread_attr_destroy(&usual);
  assert_int_not_equal(refused, 0);
  assert_int_equal(status, SY_OK);
  for (size_t i = 0; i < 500; i++) assert_int_equal(w.done[i], 1);
}
#endif

int main(void) {
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_block_is_done_once_and_alike_by_any_number_of_threads),
    cmocka_unit_test(one_thread_is_the_caller_s_and_goes_by_number),
    cmocka_unit_test(two_threads_work_at_the_same_time),
    cmocka_unit_test(numbers_beyond_size_t_are_refused_and_nothing_is_done),
#if defined(__linux__)
    cmocka_unit_test(threads_that_cannot_be_started_are_done_without),
#endif
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
