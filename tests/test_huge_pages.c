/* Memory in huge pages: random requests against what they should hold. */
#include "near.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "dice.h"
#include "reader/huge_pages.h"

enum { BLOCKS = 40, STEPS = 1500, KIB = 1 << 10, EVERY = 4093 };

typedef struct held {
  unsigned char *bytes;
  size_t size;
  unsigned char fill;
} held;

static void check_fill(const held *h, size_t size) {
  for (size_t i = 0; i < size; i += EVERY) assert_int_equal(h->bytes[i], h->fill);
  if (size > 0) assert_int_equal(h->bytes[size - 1], h->fill);
}

/* Small, one huge page, or some: on both sides of each bound. */
static size_t any_size(dice *d) {
  switch (dice_below(d, 5)) {
  case 0: return 0;
  case 1: return SYL_HUGE_PAGE - 1 + dice_below(d, 3);
  case 2: return SYL_HUGE_PAGE * (1 + dice_below(d, 3));
  case 3: return 1 + dice_below(d, 6 * SYL_HUGE_PAGE);
  default: return 1 + dice_below(d, 64 * KIB);
  }
}

/* Where there are none, and under a leak finder, which would not look into them. */
static bool are_of_the_c_library(void) { return syl_huge_pages().resize == sy_alloc_default().resize; }

static void huge_pages_of_random_requests_keep_every_byte(void **state) {
  (void)state;
  const sy_alloc from = syl_huge_pages();
  held blocks[BLOCKS] = {{NULL, 0, 0}};
  dice d = {11};
  for (int step = 0; step < dice_rounds(STEPS); step++) {
    held *h = &blocks[dice_below(&d, BLOCKS)];
    const size_t size = any_size(&d), kept = size < h->size ? size : h->size;
    h->bytes = from.resize(from.user, h->bytes, h->size, size);
    assert_true((h->bytes == NULL) == (size == 0));
    if (size >= SYL_HUGE_PAGE && !are_of_the_c_library())
      assert_int_equal((uintptr_t)h->bytes % SYL_HUGE_PAGE, 0);
    check_fill(h, kept);
    h->size = size;
    h->fill = (unsigned char)step;
    if (size > 0) memset(h->bytes, h->fill, size);
  }
  for (int i = 0; i < BLOCKS; i++) {
    check_fill(&blocks[i], blocks[i].size);
    sy_alloc_free(&from, blocks[i].bytes, blocks[i].size);
  }
}

/* What cannot be had is refused, and the old block is as it was. */
static void huge_pages_asked_for_too_much_refuse(void **state) {
  (void)state;
  if (are_of_the_c_library()) return; /* a sanitizer ends the process that asks it for so much */
  const sy_alloc from = syl_huge_pages();
  held h = {sy_alloc_new(&from, SYL_HUGE_PAGE), SYL_HUGE_PAGE, 5};
  assert_non_null(h.bytes);
  memset(h.bytes, h.fill, h.size);
  const size_t much[] = {SIZE_MAX, SIZE_MAX - SYL_HUGE_PAGE, SIZE_MAX / 2, (size_t)1 << 62};
  for (size_t i = 0; i < sizeof much / sizeof *much; i++) {
    assert_null(from.resize(from.user, NULL, 0, much[i]));
    assert_null(from.resize(from.user, h.bytes, h.size, much[i]));
  }
  check_fill(&h, h.size);
  sy_alloc_free(&from, h.bytes, h.size);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(huge_pages_of_random_requests_keep_every_byte),
      cmocka_unit_test(huge_pages_asked_for_too_much_refuse),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
