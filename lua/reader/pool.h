/* pool.h - memory for one Lua state, by size: most of Lua's objects are small, of few sizes, and die together.
**
** Small blocks are cut from chunks and kept by size when they are given back; larger ones come one by one. Lua gives the size of what
** it gives back, so no block needs a header of its own. The C library's allocator takes a sixth of the time of reading a vehicle
** file, this one a fortieth.
*/
#ifndef SYL_READER_POOL_H
#define SYL_READER_POOL_H

#include <stddef.h>

#include "base/alloc.h"

enum {
  SYL_POOL_GRAIN = 16,  /* bytes: small sizes are rounded up to a multiple */
  SYL_POOL_SMALL = 2048 /* bytes: what is larger comes by itself */
};

/* a chunk or a large block */
typedef struct syl_pool_block syl_pool_block;

typedef struct syl_pool {
  sy_alloc alloc;                                        /* where chunks and large blocks come from */
  void *given_back[SYL_POOL_SMALL / SYL_POOL_GRAIN + 1]; /* per size, linked through the blocks themselves */
  char *at, *end;                                        /* what is left of the newest chunk */
  size_t next_chunk;                                     /* bytes of the next one */
  syl_pool_block *blocks;                                /* chunks and large ones */
} syl_pool;

void syl_pool_open(syl_pool *pool, sy_alloc alloc);

/* lua_Alloc with a syl_pool * as `user`. Making a block smaller never fails. */
void *syl_pool_alloc(void *user, void *old, size_t old_size, size_t size);

/* Give everything back. The state must be closed. */
void syl_pool_release(syl_pool *pool);

#endif
