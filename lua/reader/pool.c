#include "reader/pool.h"

#include <stdalign.h>
#include <stdint.h>
#include <string.h>

enum {
  FIRST_CHUNK = 4096,
  LARGEST_CHUNK = 1 << 16
}; /* bytes: doubled from chunk to chunk, so that small states stay small */

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

static size_t class_of(size_t size) { return (size + SYL_POOL_GRAIN - 1) / SYL_POOL_GRAIN; }

static void give_back_small(syl_pool *pool, void *old, size_t class) {
  memcpy(old, &pool->given_back[class], sizeof(void *));
  pool->given_back[class] = old;
}

static void *small(syl_pool *pool, size_t class) {
  void *block = pool->given_back[class];
  if (block != NULL) {
    memcpy(&pool->given_back[class], block, sizeof(void *));
    return block;
  }
  const size_t size = class * SYL_POOL_GRAIN;
  if ((size_t)(pool->end - pool->at) < size) {
    char *chunk = large(pool, pool->next_chunk);
    if (chunk == NULL) return NULL;
    if (pool->at < pool->end)
      give_back_small(pool, pool->at, (size_t)(pool->end - pool->at) / SYL_POOL_GRAIN);
    pool->at = chunk;
    pool->end = chunk + pool->next_chunk;
    if (pool->next_chunk < LARGEST_CHUNK) pool->next_chunk *= 2;
  }
  block = pool->at;
  pool->at += size;
  return block;
}

/* ---- the allocator --------------------------------------------------------------------------------------------- */

void syl_pool_open(syl_pool *pool, sy_alloc alloc) {
  *pool = (syl_pool){.alloc = alloc, .next_chunk = FIRST_CHUNK};
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
  if (old_size <= SYL_POOL_SMALL && class_of(old_size) == class_of(size)) return old;
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
  syl_pool_open(pool, pool->alloc);
}
