#include "reader/pool.h"

#include <stdalign.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

enum { LARGEST_CHUNK = 2 << 20 }; /* bytes */

struct syl_pool_block {
  alignas(SYL_POOL_GRAIN) syl_pool_block *next;
  syl_pool_block *before;
  size_t size; /* with this header */
};

/* ---- chunks and large blocks ----------------------------------------------------------------------------------- */

static void link_block(syl_pool *pool, syl_pool_block *block) {
  block->before = NULL;
  block->next = pool->blocks;
  if (pool->blocks != NULL) pool->blocks->before = block;
  pool->blocks = block;
}

static void unlink_block(syl_pool *pool, const syl_pool_block *block) {
  if (block->before != NULL)
    block->before->next = block->next;
  else
    pool->blocks = block->next;
  if (block->next != NULL) block->next->before = block->before;
}

static void *large(syl_pool *pool, size_t size) {
  if (size > SIZE_MAX - sizeof(syl_pool_block)) return NULL;
  syl_pool_block *block = sy_alloc_new(&pool->alloc, sizeof *block + size);
  if (block == NULL) return NULL;
  block->size = sizeof *block + size;
  link_block(pool, block);
  return block + 1;
}

static void *resize_large(syl_pool *pool, void *old, size_t size) {
  if (size > SIZE_MAX - sizeof(syl_pool_block)) return NULL;
  syl_pool_block *block = (syl_pool_block *)old - 1;
  unlink_block(pool, block);
  syl_pool_block *resized = pool->alloc.resize(pool->alloc.user, block, block->size, sizeof *block + size);
  if (resized != NULL) resized->size = sizeof *block + size;
  link_block(pool, resized == NULL ? block : resized);
  return resized == NULL ? NULL : resized + 1;
}

static void give_back_large(syl_pool *pool, void *old) {
  syl_pool_block *block = (syl_pool_block *)old - 1;
  unlink_block(pool, block);
  sy_alloc_free(&pool->alloc, block, block->size);
}

/* ---- small blocks ---------------------------------------------------------------------------------------------- */

typedef struct size_class {
  size_t number, size;
} size_class;

/* The smallest class for a block of at most SYL_POOL_SMALL bytes. */
static size_class class_of(size_t size) {
  enum { COARSE = SYL_POOL_CLASSES - SYL_POOL_FINE_CLASSES };
  static const size_t coarse[COARSE] = {3072, 4096, 6144, 8192, 12288, 16384, 24576, SYL_POOL_SMALL};
  const size_t grains = (size + SYL_POOL_GRAIN - 1) / SYL_POOL_GRAIN;
  if (size <= SYL_POOL_FINE) return (size_class){grains, grains * SYL_POOL_GRAIN};
  size_t i = 0;
  while (i < COARSE - 1 && coarse[i] < size) i++;
  return (size_class){SYL_POOL_FINE_CLASSES + i, coarse[i]};
}

static void give_back_small(syl_pool *pool, void *old, size_class c) {
  memcpy(old, &pool->given_back[c.number], sizeof(void *));
  pool->given_back[c.number] = old;
}

/* What is left of the newest chunk, in the largest pieces it has. */
static void give_back_rest(syl_pool *pool) {
  while (pool->at < pool->end) {
    const size_t rest = (size_t)(pool->end - pool->at);
    size_class c = class_of(rest);
    if (c.size > rest) c = class_of(c.size * 2 / 3); /* the one before */
    give_back_small(pool, pool->at, c);
    pool->at += c.size;
  }
}

static bool open_chunk(syl_pool *pool, size_t least) {
  const size_t room = pool->next_chunk - sizeof(syl_pool_block), size = room < least ? least : room;
  char *chunk = large(pool, size);
  if (chunk == NULL) return false;
  give_back_rest(pool);
  pool->at = chunk;
  pool->end = chunk + size;
  if (pool->next_chunk < LARGEST_CHUNK) pool->next_chunk *= 2;
  return true;
}

static void *small(syl_pool *pool, size_class c) {
  void *block = pool->given_back[c.number];
  if (block != NULL) {
    memcpy(&pool->given_back[c.number], block, sizeof(void *));
    return block;
  }
  if ((size_t)(pool->end - pool->at) < c.size && !open_chunk(pool, c.size)) return NULL;
  block = pool->at;
  pool->at += c.size;
  return block;
}

/* ---- the allocator --------------------------------------------------------------------------------------------- */

void syl_pool_open(syl_pool *pool, sy_alloc alloc, size_t first_chunk) {
  *pool = (syl_pool){.alloc = alloc, .first_chunk = first_chunk, .next_chunk = first_chunk};
}

static void give_back(syl_pool *pool, void *old, size_t size) {
  if (size > SYL_POOL_SMALL)
    give_back_large(pool, old);
  else
    give_back_small(pool, old, class_of(size));
}

void *syl_pool_alloc(void *user, void *old, size_t old_size, size_t size) {
  syl_pool *pool = user;
  if (old == NULL)
    return size == 0 ? NULL : size > SYL_POOL_SMALL ? large(pool, size) : small(pool, class_of(size));
  if (size == 0) {
    give_back(pool, old, old_size);
    return NULL;
  }
  if (old_size > SYL_POOL_SMALL && size > SYL_POOL_SMALL) {
    void *resized = resize_large(pool, old, size);
    return resized == NULL && size <= old_size ? old : resized;
  }
  if (old_size <= SYL_POOL_SMALL && size <= SYL_POOL_SMALL &&
      class_of(old_size).number == class_of(size).number)
    return old;
  void *moved = size > SYL_POOL_SMALL ? large(pool, size) : small(pool, class_of(size));
  if (moved == NULL)
    return size < old_size ? old : NULL; /* given back as small later, and freed with the pool */
  memcpy(moved, old, old_size < size ? old_size : size);
  give_back(pool, old, old_size);
  return moved;
}

void syl_pool_release(syl_pool *pool) {
  while (pool->blocks != NULL) {
    syl_pool_block *next = pool->blocks->next;
    sy_alloc_free(&pool->alloc, pool->blocks, pool->blocks->size);
    pool->blocks = next;
  }
  syl_pool_open(pool, pool->alloc, pool->first_chunk);
}
