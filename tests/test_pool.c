/* The pool of a Lua state: random requests against what they should hold, and memory that ends. */
#include "near.h"

#include <stdint.h>
#include <string.h>

#include "dice.h"
#include "reader/pool.h"

enum { BLOCKS = 200, STEPS = 20000, LARGEST = 2 * SYL_POOL_SMALL, CHUNK = 4096 };

typedef struct held {
  unsigned char *bytes;
  size_t size;
  unsigned char fill;
} held;

static void check_fill(const held *h, size_t size) {
  for (size_t i = 0; i < size; i++) assert_int_equal(h->bytes[i], h->fill);
}

/* Every block keeps its bytes whatever is asked for and given back around it, and lies where any object may. */
static void pool_of_random_requests_keeps_every_byte(void **state) {
  (void)state;
  syl_pool pool;
  syl_pool_open(&pool, sy_alloc_default(), CHUNK);
  held blocks[BLOCKS] = {{NULL, 0, 0}};
  dice d = {7};
  for (int step = 0; step < STEPS; step++) {
    held *h = &blocks[dice_below(&d, BLOCKS)];
    const size_t kind = dice_below(&d, 5);
    const size_t size = kind == 0 ? 0 : 1 + dice_below(&d, kind == 1 ? LARGEST : 128);
    /* Lua states the kind of a new object where there is no old size */
    unsigned char *bytes = syl_pool_alloc(&pool, h->bytes, h->bytes == NULL ? 4 : h->size, size);
    assert_true((bytes == NULL) == (size == 0));
    assert_int_equal((uintptr_t)bytes % SYL_POOL_GRAIN, 0);
    const size_t kept = size < h->size ? size : h->size;
    h->bytes = bytes;
    check_fill(h, kept);
    h->size = size;
    h->fill = (unsigned char)step;
    if (size > 0) memset(bytes, h->fill, size);
  }
  for (int i = 0; i < BLOCKS; i++) check_fill(&blocks[i], blocks[i].size);
  syl_pool_release(&pool); /* the sanitizers see that nothing is left */
  syl_pool_release(&pool);
}

/* A block that was given back is the next one of its size. */
static void pool_given_a_block_back_uses_it_again(void **state) {
  (void)state;
  syl_pool pool;
  syl_pool_open(&pool, sy_alloc_default(), CHUNK);
  void *first = syl_pool_alloc(&pool, NULL, 0, 40);
  (void)syl_pool_alloc(&pool, NULL, 0, 40);
  assert_null(syl_pool_alloc(&pool, first, 40, 0));
  assert_ptr_equal(syl_pool_alloc(&pool, NULL, 0, 33), first);
  void *table = syl_pool_alloc(&pool, NULL, 0, 5000);
  assert_null(syl_pool_alloc(&pool, table, 5000, 0));
  assert_ptr_equal(syl_pool_alloc(&pool, NULL, 0, 6144), table);
  assert_ptr_equal(syl_pool_alloc(&pool, table, 6144, 4097), table);
  syl_pool_release(&pool);
}

/* Grants requests until `left` is 0. */
typedef struct budget {
  int left;
  size_t live;
} budget;

static void *grant(void *user, void *old, size_t old_size, size_t size) {
  budget *b = user;
  if (size > 0 && b->left == 0) return NULL;
  if (size > 0) b->left--;
  b->live += size - old_size;
  return sy_alloc_default().resize(NULL, old, old_size, size);
}

/* Small blocks take few requests, each of twice the bytes up to 2 MiB; what a chunk has left when the next one begins is used as well. */
static void pool_of_many_small_blocks_asks_seldom(void **state) {
  (void)state;
  budget b = {1000, 0};
  syl_pool pool;
  syl_pool_open(&pool, (sy_alloc){grant, &b}, CHUNK);
  for (size_t given = 0; given < (64u << 20); given += 64)
    assert_non_null(syl_pool_alloc(&pool, NULL, 0, 64));
  assert_in_range(1000 - b.left, 64 / 2, 64 / 2 + 10);
  const int left = b.left;
  const size_t before = b.live;
  (void)syl_pool_alloc(&pool, NULL, 0, 32768);
  while (b.left == left) (void)syl_pool_alloc(&pool, NULL, 0, 32768);
  for (int i = 0; i < 10; i++) (void)syl_pool_alloc(&pool, NULL, 0, 2048);
  assert_int_equal(b.live - before, 2u << 20);
  syl_pool_release(&pool);
  assert_int_equal(b.live, 0);
}

/* Refused: it is as it was. */
static void resize_block(syl_pool *pool, held *h, size_t size) {
  unsigned char *bytes = syl_pool_alloc(pool, h->bytes, h->size, size);
  if (size < h->size) assert_non_null(bytes); /* Lua counts on it */
  if (bytes != NULL) h->bytes = bytes;
  check_fill(h, bytes != NULL && size < h->size ? size : h->size);
  if (bytes == NULL) return;
  *h = (held){bytes, size, (unsigned char)(h->fill + 1)};
  memset(bytes, h->fill, size);
}

/* Memory ends at request 1, 2, ...: what is refused stays as it was, making a block smaller is never refused, and all goes back. */
static void pool_without_memory_refuses_and_keeps_what_there_is(void **state) {
  (void)state;
  static const size_t sizes[] = {24, 400, 900, 5000, 70000, 800, 30, 512, 513, 16, 1};
  for (int granted = 0, refused = 1; refused > 0; granted++) {
    budget b = {granted, 0};
    syl_pool pool;
    syl_pool_open(&pool, (sy_alloc){grant, &b}, CHUNK);
    held many[40] = {{NULL, 0, 0}};
    refused = 0;
    for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++)
      for (size_t i = 0; i < 40; i++) {
        resize_block(&pool, &many[i], sizes[k]);
        refused += many[i].size != sizes[k];
      }
    syl_pool_release(&pool);
    assert_int_equal(b.live, 0);
  }
}

/* More than can be counted is refused without asking. */
static void pool_asked_for_too_much_refuses(void **state) {
  (void)state;
  budget b = {1, 0};
  syl_pool pool;
  syl_pool_open(&pool, (sy_alloc){grant, &b}, CHUNK);
  held h = {syl_pool_alloc(&pool, NULL, 0, 1000), 1000, 3};
  memset(h.bytes, h.fill, h.size);
  assert_null(syl_pool_alloc(&pool, NULL, 0, SIZE_MAX));
  assert_null(syl_pool_alloc(&pool, h.bytes, h.size, SIZE_MAX));
  check_fill(&h, h.size);
  syl_pool_release(&pool);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(pool_of_random_requests_keeps_every_byte),
      cmocka_unit_test(pool_given_a_block_back_uses_it_again),
      cmocka_unit_test(pool_of_many_small_blocks_asks_seldom),
      cmocka_unit_test(pool_without_memory_refuses_and_keeps_what_there_is),
      cmocka_unit_test(pool_asked_for_too_much_refuses),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
