#include <string.h>

#include "mass/ledger_node.h"

/* The rows that are not all zero: what was taken out again must leave no trace. */
static unsigned rows_in_use(unsigned rows, const void *first, size_t size) {
  static const ten_sums nothing; /* the larger of the two kinds */
  unsigned used = 0;
  for (unsigned i = 0; rows >> i != 0; i++)
    if (rows >> i & 1u && memcmp((const char *)first + i * size, nothing, size) != 0) used |= 1u << i;
  return used;
}

/* Copy the rows in use side by side; returns the place behind the last. */
static char *pack_rows(char *to, unsigned rows, const void *first, size_t size) {
  for (unsigned i = 0; rows >> i != 0; i++)
    if (rows >> i & 1u) {
      memcpy(to, (const char *)first + i * size, size);
      to += size;
    }
  return to;
}

static branch *branch_of(family *f, uint8_t level, size_t used, const amount *a) {
  const unsigned carriers = rows_in_use(a->carriers, a->sums, sizeof(ten_sums));
  const unsigned scales = rows_in_use(a->scales, a->scale, sizeof(scale_sums));
  branch *b = sy_branch_new(f, carriers, scales);
  if (b == NULL) return NULL;
  b->head.level = level;
  b->head.used = (uint8_t)used;
  b->tally = a->tally;
  char *const behind = pack_rows((char *)b->sums, carriers, a->sums, sizeof(ten_sums));
  pack_rows(behind, scales, a->scale, sizeof(scale_sums));
  return b;
}

static void release_all(family *f, node *const *items, size_t count) {
  for (size_t i = 0; i < count; i++) sy_node_release(f, items[i]);
}

static void amount_zero(amount *a) {
  a->carriers = a->scales = 0;
  memset(&a->tally, 0, sizeof a->tally);
}

branch *sy_branch_make(family *f, uint8_t level, node *const *child, size_t used, bool *too_large) {
  amount a;
  amount_zero(&a);
  bool fits = true;
  for (size_t i = 0; i < used && fits; i++)
    fits = sy_amount_add(&a, child[i]); /* beyond, whole numbers overflow */
  branch *b = fits ? branch_of(f, level, used, &a) : NULL;
  *too_large = !fits;
  if (b == NULL) {
    release_all(f, child, used);
    return NULL;
  }
  memcpy(b->child, child, used * sizeof *child);
  return b;
}

branch *sy_branch_replace(family *f, const branch *old, size_t index, node *child, bool *too_large) {
  amount a;
  sy_amount_of_branch(&a, old);
  const bool fits = sy_amount_sub(&a, old->child[index]) && sy_amount_add(&a, child);
  branch *b = fits ? branch_of(f, old->head.level, old->head.used, &a) : NULL;
  *too_large = !fits;
  if (b == NULL) {
    sy_node_release(f, child);
    return NULL;
  }
  for (size_t i = 0; i < old->head.used; i++) b->child[i] = i == index ? child : sy_node_share(old->child[i]);
  return b;
}

/* One more child at the end of `old`. */
static branch *branch_extend(family *f, const branch *old, node *child, bool *too_large) {
  node *all[SY_RADIX];
  for (size_t i = 0; i < old->head.used; i++) all[i] = sy_node_share(old->child[i]);
  all[old->head.used] = child;
  return sy_branch_make(f, old->head.level, all, (size_t)old->head.used + 1, too_large);
}

static uint64_t branch_room(uint8_t level) { return (uint64_t)1 << (SY_RADIX_BITS * (level + 1)); }

/* Wrap an item in branches up to `level`. */
static branch *branch_tower(family *f, uint8_t level, node *item, bool *too_large) {
  branch *b = NULL;
  for (uint8_t l = 0; l <= level; l++) {
    b = sy_branch_make(f, l, &item, 1, too_large);
    if (b == NULL) return NULL;
    item = &b->head;
  }
  return b;
}

branch *sy_branch_append(family *f, const branch *root, uint32_t children, node *item, bool *too_large) {
  if (root == NULL) return branch_tower(f, 0, item, too_large);
  const uint8_t level = root->head.level;
  if (children == branch_room(level)) { /* full: one level more */
    branch *tower = branch_tower(f, level, item, too_large);
    if (tower == NULL) return NULL;
    node *both[2] = {sy_node_share((node *)(uintptr_t)&root->head), &tower->head};
    return sy_branch_make(f, (uint8_t)(level + 1), both, 2, too_large);
  }
  /* down the last path to where there is room */
  const branch *path[SY_RADIX_LEVELS];
  int depth = 0;
  const branch *b = root;
  uint64_t inside = children;
  while (true) {
    path[depth++] = b;
    if (b->head.level == 0) break;
    const uint64_t room = branch_room((uint8_t)(b->head.level - 1));
    const uint64_t in_last = inside - room * (b->head.used - 1u);
    if (in_last == room) break;
    inside = in_last;
    b = (const branch *)b->child[b->head.used - 1];
  }
  const branch *last = path[depth - 1];
  branch *fresh;
  if (last->head.level == 0) {
    fresh = branch_extend(f, last, item, too_large);
  } else {
    branch *tower = branch_tower(f, (uint8_t)(last->head.level - 1), item, too_large);
    if (tower == NULL) return NULL;
    fresh = branch_extend(f, last, &tower->head, too_large);
  }
  for (int i = depth - 2; i >= 0 && fresh != NULL; i--)
    fresh = sy_branch_replace(f, path[i], path[i]->head.used - 1u, &fresh->head, too_large);
  return fresh;
}

/* Level by level, in place: each pass leaves the branches of 16 where the first of their children stood. */
branch *sy_branch_build(family *f, node **items, size_t count, bool *too_large) {
  *too_large = false;
  if (count == 0) return NULL;
  for (uint8_t level = 0;; level++) {
    size_t made = 0;
    for (size_t i = 0; i < count; i += SY_RADIX, made++) {
      const size_t used = count - i < SY_RADIX ? count - i : (size_t)SY_RADIX;
      branch *b = sy_branch_make(f, level, items + i, used, too_large);
      if (b == NULL) {
        release_all(f, items, made);
        release_all(f, items + i + used, count - i - used);
        return NULL;
      }
      items[made] = &b->head;
    }
    count = made;
    if (count == 1) return (branch *)items[0];
  }
}
