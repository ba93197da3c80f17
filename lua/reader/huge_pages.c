#define _DEFAULT_SOURCE /* MAP_ANONYMOUS, madvise */

#include "reader/huge_pages.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

/* A leak finder does not look into memory that it did not give out. */
#if defined(__SANITIZE_ADDRESS__)
#define WATCHED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define WATCHED 1
#endif
#endif

#if defined(MADV_HUGEPAGE) && !defined(WATCHED)

static size_t beyond(uintptr_t size) { return size % SYL_HUGE_PAGE; }

static size_t up_to_huge_page(uintptr_t size) { return beyond(SYL_HUGE_PAGE - beyond(size)); }

static char *map(size_t size) {
  char *block = mmap(NULL, size, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
  return block == MAP_FAILED ? NULL : block;
}

/* Systems put one block in front of the other, so after the first that begins with a huge page the next ones do. */
static char *map_aligned(size_t size) {
  char *block = map(size);
  if (block == NULL || beyond((uintptr_t)block) == 0) return block;
  munmap(block, size);
  block = map(size + SYL_HUGE_PAGE);
  if (block == NULL) return map(size); /* few addresses are left */
  const size_t front = up_to_huge_page((uintptr_t)block);
  if (front > 0) munmap(block, front);
  munmap(block + front + size, SYL_HUGE_PAGE - front);
  return block + front;
}

static void *new_block(size_t size) {
  if (size < SYL_HUGE_PAGE) return malloc(size);
  if (size > SIZE_MAX / 2) return NULL;
  const size_t whole = size + up_to_huge_page(size);
  char *block = map_aligned(whole);
  if (block != NULL) (void)madvise(block, whole, MADV_HUGEPAGE); /* a wish */
  return block;
}

static void give_back(void *block, size_t size) {
  if (size < SYL_HUGE_PAGE)
    free(block);
  else
    munmap(block, size + up_to_huge_page(size));
}

static void *resize(void *user, void *old, size_t old_size, size_t size) {
  (void)user;
  if (old == NULL) return size == 0 ? NULL : new_block(size);
  if (size == 0) {
    give_back(old, old_size);
    return NULL;
  }
  if (old_size < SYL_HUGE_PAGE && size < SYL_HUGE_PAGE) return realloc(old, size);
  void *block = new_block(size);
  if (block == NULL) return NULL;
  memcpy(block, old, old_size < size ? old_size : size);
  give_back(old, old_size);
  return block;
}

sy_alloc syl_huge_pages(void) { return (sy_alloc){resize, NULL}; }

#else

sy_alloc syl_huge_pages(void) { return sy_alloc_default(); }

#endif
