/* pool.h - memory for one Lua state, by size: most of Lua's objects are small, of few sizes, and die together.
**
** Small blocks are cut from chunks and kept by size when they are given back; larger ones come one by one. Lua gives the size of what
** it gives back, so no block needs a header of its own. The C library's allocator takes a sixth of the time of reading a vehicle
** file, this one a fortieth. Sizes go up in steps of 16 bytes to 2 KiB and by halves and thirds above, as the parts of Lua's tables do.
*/
#ifndef SYL_READER_POOL_H
#define SYL_READER_POOL_H

#include <stddef.h>

#include "base/alloc.h"

enum {
  SYL_POOL_GRAIN = 16,    /* bytes: the finest sizes are multiples of it */
  SYL_POOL_FINE = 2048,   /* bytes: up to here */
  SYL_POOL_SMALL = 32768, /* bytes: what is larger comes by itself */
  SYL_POOL_FINE_CLASSES = SYL_POOL_FINE / SYL_POOL_GRAIN + 1, /* one for each size from 0 on */
  SYL_POOL_CLASSES = SYL_POOL_FINE_CLASSES + 8                /* 3072, 4096, 6144 ... 32768 */
};

/* a chunk or a large block */
typedef struct syl_pool_block syl_pool_block;

typedef struct syl_pool {
  sy_alloc alloc;                     /* where chunks and large blocks come from */
  void *given_back[SYL_POOL_CLASSES]; /* per size, linked through the blocks themselves */
  char *at, *end;                     /* what is left of the newest chunk */
  size_t first_chunk, next_chunk;     /* bytes */
  syl_pool_block *blocks;             /* chunks and large ones */
} syl_pool;

/* first_chunk: bytes; each chunk is twice as large as the one before, up to 2 MiB. */
void syl_pool_open(syl_pool *pool, sy_alloc alloc, size_t first_chunk);

/* lua_Alloc with a syl_pool * as `user`. Making a block smaller never fails. */
void *syl_pool_alloc(void *user, void *old, size_t old_size, size_t size);

/* Give everything back. The state must be closed. */
void syl_pool_release(syl_pool *pool);

#endif
