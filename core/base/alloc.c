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

sy_alloc sy_alloc_or_default(const sy_alloc *alloc) { return alloc != NULL ? *alloc : sy_alloc_default(); }

void *sy_alloc_new(const sy_alloc *alloc, size_t size) {
  const sy_alloc from = sy_alloc_or_default(alloc);
  return from.resize(from.user, NULL, 0, size);
}

void sy_alloc_free(const sy_alloc *alloc, void *block, size_t size) {
  const sy_alloc from = sy_alloc_or_default(alloc);
  if (block != NULL) from.resize(from.user, block, size, 0);
}
