/* alloc.h - where owners of memory get it from.
**
** One function does everything, so that a test can refuse any single request:
**   resize(user, NULL, 0, n)      a new block of n bytes, or NULL
**   resize(user, old, old_n, n)   the block grown or shrunk; NULL leaves the old block as it was
**   resize(user, old, old_n, 0)   the block is given back; returns NULL
** Blocks are aligned for any type.
** Wherever the library takes an allocator, NULL stands for sy_alloc_default.
*/
#ifndef SY_BASE_ALLOC_H
#define SY_BASE_ALLOC_H

#include <stddef.h>

#include "api.h"

typedef struct sy_alloc {
  void *(*resize)(void *user, void *old, size_t old_size, size_t new_size);
  void *user;
} sy_alloc;

/* realloc and free. */
SY_API sy_alloc sy_alloc_default(void);

/* *alloc, or sy_alloc_default for NULL: what an owner keeps. */
SY_API sy_alloc sy_alloc_or_default(const sy_alloc *alloc);

/* A new block, or NULL. */
SY_API void *sy_alloc_new(const sy_alloc *alloc, size_t size);

/* Give a block back by the allocator and with the size it has; `block` NULL is fine. */
SY_API void sy_alloc_free(const sy_alloc *alloc, void *block, size_t size);

#endif
