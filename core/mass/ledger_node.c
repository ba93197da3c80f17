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

/* A tank's fill, or what the line of a weighed group knows, stands behind the texts, where a double may stand. */
static size_t part_size(label l, const sy_part *p) {
  const size_t bytes = sizeof(part_node) + text_size(l), unit = sizeof(double);
  const size_t more = (p->fill != NULL ? sizeof(sy_fill) : 0) + (p->whole != NULL ? sizeof(sy_whole) : 0);
  return more > 0 ? (bytes + unit - 1) / unit * unit + more : bytes;
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
  case NODE_PART: return part_size(((const part_node *)n)->label, &((const part_node *)n)->part);
  case NODE_WEIGHING: return sizeof(weighing);
  case NODE_GROUP: return sizeof(group_node) + text_size(((const group_node *)n)->label);
  case NODE_BRANCH: break;
  }
  return branch_size(((const branch *)n)->carriers, ((const branch *)n)->scales);
}

/* The next child of `n` to be let go, or NULL. `*at` counts them. */
static node *next_child(node *n, unsigned *at) {
  if (n->kind == NODE_GROUP) {
    group_node *g = (group_node *)n;
    if (++*at == 1 && g->root != NULL) return &g->root->head;
    return *at <= 2 && (*at = 2, g->weighing != NULL) ? &g->weighing->head : NULL;
  }
  if (n->kind == NODE_WEIGHING) return (*at)++ == 0 ? &((weighing *)n)->pieces->head : NULL;
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
  const size_t size = part_size(l, part);
  part_node *p = sy_alloc_new(&f->alloc, size);
  if (p == NULL) return NULL;
  start_node(&p->head, NODE_PART);
  p->label = l;
  p->part = *part;
  write_text(p->text, l, name, tags);
  char *behind = (char *)p + size;
  if (part->whole != NULL) p->part.whole = memcpy(behind -= sizeof(sy_whole), part->whole, sizeof(sy_whole));
  if (part->fill != NULL) p->part.fill = memcpy(behind - sizeof(sy_fill), part->fill, sizeof(sy_fill));
  return p;
}

group_node *sy_node_group(family *f, const sy_group *group, const char *name, const char *tags, branch *root,
                          uint32_t children, weighing *weighed) {
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
  g->weighing = weighed != NULL ? (weighing *)sy_node_share(&weighed->head) : NULL;
  g->children = children;
  write_text(g->text, l, name, tags);
  return g;
}

bool sy_counts_as_weighed(const group_node *g) {
  if (g->weighing == NULL) return false;
  const node *line = sy_branch_item(g->root, g->weighing->line);
  return sy_node_aboard(line) && ((const part_node *)line)->part.whole != NULL;
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

branch *sy_branch_new(family *f, unsigned carriers, unsigned scales) {
  branch *b = sy_alloc_new(&f->alloc, branch_size(carriers, scales));
  if (b == NULL) return NULL;
  start_node(&b->head, NODE_BRANCH);
  b->carriers = carriers;
  b->scales = scales;
  return b;
}

node *sy_branch_item(const branch *root, uint32_t index) {
  const branch *b = root;
  while (b->head.level > 0) {
    const unsigned shift = (unsigned)SY_RADIX_BITS * b->head.level;
    b = (const branch *)b->child[index >> shift & (SY_RADIX - 1u)];
  }
  return b->child[index & (SY_RADIX - 1u)];
}

void sy_conditions_release(conditions *c) {
  if (c != NULL && last_reference(&c->refs)) c->release(c);
}

sy_ledger *sy_ledger_wrap(family *f, group_node *root, conditions *measured) {
  sy_ledger *l = sy_alloc_new(&f->alloc, sizeof *l);
  if (l == NULL) {
    sy_node_release(f, &root->head);
    return NULL;
  }
  atomic_init(&l->refs, 1u);
  l->family = sy_family_share(f);
  l->root = root;
  l->measured = measured;
  if (measured != NULL) atomic_fetch_add_explicit(&measured->refs, 1u, memory_order_relaxed);
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
  sy_conditions_release(ledger->measured);
  sy_alloc_free(&f->alloc, ledger, sizeof *ledger);
  sy_family_release(f);
}
