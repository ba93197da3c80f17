#include "base/alloc.h"

#include <stdlib.h>

static void *resize_with_realloc(void *user, void *old, size_t old_size, size_t new_size) {
  (void)user;
  (void)old_size;
  if (new_size > 0) return realloc(old, new_size);
  free(old);
  return NULL;
}

sy_alloc sy_alloc_default(void) { return (sy_alloc){resize_with_realloc, NULL}; }

void *sy_alloc_new(const sy_alloc *alloc, size_t size) { return alloc->resize(alloc->user, NULL, 0, size); }

void sy_alloc_free(const sy_alloc *alloc, void *block, size_t size) {
  if (block != NULL) alloc->resize(alloc->user, block, size, 0);
}
