#include "mass/ledger_node.h"

#include <string.h>

family *sy_family_new(const sy_alloc *alloc) {
  family *f = sy_alloc_new(alloc, sizeof *f);
  if (f == NULL) return NULL;
  atomic_init(&f->refs, 1u);
  atomic_init(&f->next_id, 1u);
  f->alloc = sy_alloc_or_default(alloc);
  f->instrument_count = 0;
  return f;
}

family *sy_family_share(family *f) {
  atomic_fetch_add_explicit(&f->refs, 1u, memory_order_relaxed);
  return f;
}

/* True for the last owner. */
static bool last_reference(atomic_uint *refs) {
  return atomic_fetch_sub_explicit(refs, 1u, memory_order_acq_rel) == 1u;
}

void sy_family_release(family *f) {
  if (!last_reference(&f->refs)) return;
  const sy_alloc alloc = f->alloc;
  sy_alloc_free(&alloc, f, sizeof *f);
}

node *sy_node_share(node *n) {
  atomic_fetch_add_explicit(&n->refs, 1u, memory_order_relaxed);
  return n;
}

static size_t text_size(label l) { return (size_t)l.name + 1u + (size_t)l.tags + 1u; }

/* A tank's fill stands behind the texts, where a double may stand. */
static size_t part_size(label l, bool filled) {
  const size_t bytes = sizeof(part_node) + text_size(l), unit = sizeof(double);
  return filled ? (bytes + unit - 1) / unit * unit + sizeof(sy_fill) : bytes;
}

static unsigned count_bits(unsigned x) {
  unsigned n = 0;
  for (; x != 0; x &= x - 1u) n++;
  return n;
}

static size_t branch_size(unsigned carriers, unsigned scales) {
  return sizeof(branch) + count_bits(carriers) * sizeof(ten_sums) + count_bits(scales) * sizeof(scale_sums);
}

const scale_sums *sy_branch_scales(const branch *b) {
  return (const scale_sums *)(b->sums + count_bits(b->carriers));
}

static size_t node_size(const node *n) {
  switch ((node_kind)n->kind) {
  case NODE_PART: return part_size(((const part_node *)n)->label, ((const part_node *)n)->part.fill != NULL);
  case NODE_GROUP: return sizeof(group_node) + text_size(((const group_node *)n)->label);
  case NODE_BRANCH: break;
  }
  return branch_size(((const branch *)n)->carriers, ((const branch *)n)->scales);
}

/* The next child of `n` to be let go, or NULL. `*at` counts them. */
static node *next_child(node *n, unsigned *at) {
  if (n->kind == NODE_GROUP) {
    branch *root = ((group_node *)n)->root;
    return (*at)++ == 0 && root != NULL ? &root->head : NULL;
  }
  if (n->kind == NODE_BRANCH && *at < n->used) return ((branch *)n)->child[(*at)++];
  return NULL;
}

/* A tree of a million parts is deep by no more than SY_MAX_PATH: a fixed stack instead of recursion. */
void sy_node_release(family *f, node *n) {
  struct {
    node *n;
    unsigned at;
  } stack[SY_MAX_PATH];
  size_t depth = 0;
  if (n == NULL || !last_reference(&n->refs)) return;
  stack[depth].n = n;
  stack[depth++].at = 0;
  while (depth > 0) {
    node *const top = stack[depth - 1].n;
    node *const child = next_child(top, &stack[depth - 1].at);
    if (child == NULL) {
      sy_alloc_free(&f->alloc, top, node_size(top));
      depth--;
    } else if (last_reference(&child->refs)) {
      stack[depth].n = child;
      stack[depth++].at = 0;
    }
  }
}

static label label_of(const char *name, const char *tags) {
  const size_t n = name != NULL ? strlen(name) : 0, t = tags != NULL ? strlen(tags) : 0;
  return (label){(uint16_t)(n < UINT16_MAX ? n : UINT16_MAX), (uint16_t)(t < UINT16_MAX ? t : UINT16_MAX)};
}

static void write_text(char *text, label l, const char *name, const char *tags) {
  if (l.name > 0) memcpy(text, name, l.name);
  text[l.name] = 0;
  if (l.tags > 0) memcpy(text + l.name + 1, tags, l.tags);
  text[l.name + 1 + l.tags] = 0;
}

static void start_node(node *n, node_kind kind) {
  atomic_init(&n->refs, 1u);
  n->kind = (uint8_t)kind;
  n->level = n->used = n->spare = 0;
}

part_node *sy_node_part(family *f, const sy_part *part, const char *name, const char *tags) {
  const label l = label_of(name, tags);
  const size_t size = part_size(l, part->fill != NULL);
  part_node *p = sy_alloc_new(&f->alloc, size);
  if (p == NULL) return NULL;
  start_node(&p->head, NODE_PART);
  p->label = l;
  p->part = *part;
  write_text(p->text, l, name, tags);
  if (part->fill != NULL)
    p->part.fill = memcpy((char *)p + size - sizeof(sy_fill), part->fill, sizeof(sy_fill));
  return p;
}

group_node *sy_node_group(family *f, const sy_group *group, const char *name, const char *tags, branch *root,
                          uint32_t children) {
  const label l = label_of(name, tags);
  group_node *g = sy_alloc_new(&f->alloc, sizeof *g + text_size(l));
  if (g == NULL) {
    if (root != NULL) sy_node_release(f, &root->head);
    return NULL;
  }
  start_node(&g->head, NODE_GROUP);
  g->label = l;
  g->group = *group;
  g->root = root;
  g->children = children;
  write_text(g->text, l, name, tags);
  return g;
}

const char *sy_label_name(const node *item) {
  if (item->kind == NODE_PART) {
    const part_node *p = (const part_node *)item;
    return p->label.name > 0 ? p->text : NULL;
  }
  const group_node *g = (const group_node *)item;
  return g->label.name > 0 ? g->text : NULL;
}

const char *sy_label_tags(const node *item) {
  if (item->kind == NODE_PART) {
    const part_node *p = (const part_node *)item;
    return p->label.tags > 0 ? p->text + p->label.name + 1 : NULL;
  }
  const group_node *g = (const group_node *)item;
  return g->label.tags > 0 ? g->text + g->label.name + 1 : NULL;
}

/* ---- branches ------------------------------------------------------------------------------------------------ */

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
  branch *b = sy_alloc_new(&f->alloc, branch_size(carriers, scales));
  if (b == NULL) return NULL;
  start_node(&b->head, NODE_BRANCH);
  b->head.level = level;
  b->head.used = (uint8_t)used;
  b->carriers = carriers;
  b->scales = scales;
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
  amount_zero(&a);
  const bool fits =
      sy_amount_add(&a, &old->head) && sy_amount_sub(&a, old->child[index]) && sy_amount_add(&a, child);
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

node *sy_branch_item(const branch *root, uint32_t index) {
  const branch *b = root;
  while (b->head.level > 0) {
    const unsigned shift = (unsigned)SY_RADIX_BITS * b->head.level;
    b = (const branch *)b->child[index >> shift & (SY_RADIX - 1u)];
  }
  return b->child[index & (SY_RADIX - 1u)];
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

sy_ledger *sy_ledger_wrap(family *f, group_node *root) {
  sy_ledger *l = sy_alloc_new(&f->alloc, sizeof *l);
  if (l == NULL) {
    sy_node_release(f, &root->head);
    return NULL;
  }
  atomic_init(&l->refs, 1u);
  l->family = sy_family_share(f);
  l->root = root;
  return l;
}

sy_ledger *sy_ledger_share(sy_ledger *ledger) {
  atomic_fetch_add_explicit(&ledger->refs, 1u, memory_order_relaxed);
  return ledger;
}

void sy_ledger_release(sy_ledger *ledger) {
  if (ledger == NULL || !last_reference(&ledger->refs)) return;
  family *f = ledger->family;
  sy_node_release(f, &ledger->root->head);
  sy_alloc_free(&f->alloc, ledger, sizeof *ledger);
  sy_family_release(f);
}
