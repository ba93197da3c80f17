/* ledger_build.c - from a list of parts and groups to a ledger, and more items for an existing one. */
#include <string.h>

#include "mass/ledger_check.h"

/* A group that is still open: its children so far. Level 0 is the top. */
typedef struct open_group {
  sy_group group;
  char *text; /* name, zero, tags, zero */
  size_t text_size, name_size;
  node **items;
  size_t count, room;
} open_group;

struct sy_ledger_builder {
  family *family;
  size_t depth;   /* open levels; at least 1 */
  size_t deepest; /* the most groups inside one another so far */
  open_group level[SY_MAX_NESTING];
};

sy_part sy_part_default(void) {
  sy_part p;
  memset(&p, 0, sizeof p);
  p.count = 1;
  return p;
}

sy_group sy_group_default(void) {
  sy_group g;
  memset(&g, 0, sizeof g);
  g.frame = sy_frame_identity();
  return g;
}

sy_ledger_builder *sy_ledger_builder_new(const sy_alloc *alloc, const sy_ledger *relative) {
  const sy_alloc *from = relative != NULL ? &relative->family->alloc : alloc;
  sy_ledger_builder *b = sy_alloc_new(from, sizeof *b);
  if (b == NULL) return NULL;
  memset(b, 0, sizeof *b);
  b->family = relative != NULL ? sy_family_share(relative->family) : sy_family_new(from);
  if (b->family == NULL) {
    sy_alloc_free(from, b, sizeof *b);
    return NULL;
  }
  b->depth = 1;
  b->level[0].group = sy_group_default();
  return b;
}

static void close_level(family *f, open_group *g) {
  for (size_t i = 0; i < g->count; i++) sy_node_release(f, g->items[i]);
  sy_alloc_free(&f->alloc, g->items, g->room * sizeof *g->items);
  sy_alloc_free(&f->alloc, g->text, g->text_size);
  memset(g, 0, sizeof *g);
}

sy_status sy_ledger_builder_instruments(sy_ledger_builder *b, const sy_instrument *instruments, size_t count,
                                        sy_error *err) {
  family *f = b->family;
  if (b->depth != 1 || b->level[0].count > 0 || atomic_load(&f->next_id) != 1u)
    return sy_fail(err, SY_CLASH, "ledger", "instruments", "must be named before anything is booked");
  if (count > SY_MAX_INSTRUMENTS)
    return sy_fail(err, SY_LIMIT, "ledger", "instruments", "are %zu, at most %d", count, SY_MAX_INSTRUMENTS);
  for (size_t i = 0; i < count; i++)
    if (!(instruments[i].bias_sd >= 0 && isfinite(instruments[i].bias_sd) && instruments[i].gain_sd >= 0 &&
          isfinite(instruments[i].gain_sd)))
      return sy_fail(err, SY_RANGE, "ledger", "instruments",
                     "number %zu has an uncertainty below 0 or not finite", i + 1);
  if (count > 0) memcpy(f->instrument, instruments, count * sizeof *instruments);
  f->instrument_count = count;
  return SY_OK;
}

void sy_ledger_builder_free(sy_ledger_builder *b) {
  if (b == NULL) return;
  family *f = b->family;
  for (size_t i = 0; i < b->depth; i++) close_level(f, &b->level[i]);
  const sy_alloc alloc = f->alloc;
  sy_alloc_free(&alloc, b, sizeof *b);
  sy_family_release(f);
}

/* Takes over `item`. */
static sy_status push_item(sy_ledger_builder *b, node *item, sy_error *err) {
  family *f = b->family;
  if (item == NULL) return sy_ledger_no_memory(err);
  open_group *g = &b->level[b->depth - 1];
  if (g->count == g->room) {
    const size_t room = g->room > 0 ? 2 * g->room : 16;
    node **grown =
        f->alloc.resize(f->alloc.user, g->items, g->room * sizeof *g->items, room * sizeof *g->items);
    if (grown == NULL) {
      sy_node_release(f, item);
      return sy_ledger_no_memory(err);
    }
    g->items = grown;
    g->room = room;
  }
  g->items[g->count++] = item;
  return SY_OK;
}

/* A number given by hand is passed over when the count comes to it. */
static uint64_t identity(family *f, uint64_t wanted) {
  if (wanted == 0) return (uint64_t)atomic_fetch_add_explicit(&f->next_id, 1u, memory_order_relaxed);
  unsigned long long next = atomic_load_explicit(&f->next_id, memory_order_relaxed);
  while (next <= wanted && !atomic_compare_exchange_weak_explicit(
                               &f->next_id, &next, wanted + 1u, memory_order_relaxed, memory_order_relaxed)) {
  }
  return wanted;
}

sy_status sy_ledger_add_part(sy_ledger_builder *b, const char *name, const char *tags, const sy_part *part,
                             sy_error *err) {
  sy_part kept;
  sy_status status = sy_ledger_check_instrument(b->family, name, part, err);
  if (status == SY_OK) status = sy_ledger_check_part(name, part, &kept, err);
  if (status != SY_OK) return status;
  kept.id = identity(b->family, part->id);
  part_node *p = sy_node_part(b->family, &kept, name, tags);
  return push_item(b, p != NULL ? &p->head : NULL, err);
}

sy_status sy_ledger_open_group(sy_ledger_builder *b, const char *name, const char *tags,
                               const sy_group *group, sy_error *err) {
  if (b->depth == SY_MAX_NESTING)
    return sy_fail(err, SY_LIMIT, name, NULL, "is group %d inside one another, at most %d", SY_MAX_NESTING,
                   SY_MAX_NESTING - 1);
  open_group *g = &b->level[b->depth];
  const sy_status status = sy_ledger_check_group(name, group, &g->group, err);
  if (status != SY_OK) return status;
  const size_t n = name != NULL ? strlen(name) : 0, t = tags != NULL ? strlen(tags) : 0;
  char *text = sy_alloc_new(&b->family->alloc, n + t + 2);
  if (text == NULL) return sy_ledger_no_memory(err);
  memset(text, 0, n + t + 2);
  if (n > 0) memcpy(text, name, n);
  if (t > 0) memcpy(text + n + 1, tags, t);
  g->text = text;
  g->text_size = n + t + 2;
  g->name_size = n;
  g->group.id = identity(b->family, group->id);
  if (b->depth > b->deepest) b->deepest = b->depth;
  b->depth++;
  return SY_OK;
}

/* The level's items become a group node. */
static sy_status gather(family *f, open_group *g, group_node **out, sy_error *err) {
  bool too_large;
  const size_t count = g->count;
  if (count > UINT32_MAX) return sy_fail(err, SY_LIMIT, g->text, NULL, "has too many children");
  g->count = 0; /* the branches take the references over */
  branch *root = sy_branch_build(f, g->items, count, &too_large);
  if (root == NULL && count > 0) return sy_ledger_sum_failed(too_large, err);
  *out = sy_node_group(f, &g->group, g->text, g->text != NULL ? g->text + g->name_size + 1 : NULL, root,
                       (uint32_t)count, NULL);
  return *out != NULL ? SY_OK : sy_ledger_no_memory(err);
}

sy_status sy_ledger_close_group(sy_ledger_builder *b, sy_error *err) {
  if (b->depth == 1) return sy_fail(err, SY_CLASH, "ledger", NULL, "no group is open");
  open_group *g = &b->level[b->depth - 1];
  if (g->group.twin && (g->count != 2 || g->items[0]->kind != NODE_PART || g->items[1]->kind != NODE_PART))
    return sy_fail(err, SY_CLASH, g->text, "pair", "must hold two parts");
  group_node *made = NULL;
  const sy_status status = gather(b->family, g, &made, err);
  if (status != SY_OK) return status;
  close_level(b->family, g);
  b->depth--;
  return push_item(b, &made->head, err);
}

sy_status sy_ledger_finish(sy_ledger_builder *b, sy_ledger **out, sy_error *err) {
  if (b->depth != 1)
    return sy_fail(err, SY_CLASH, b->level[b->depth - 1].text, NULL, "the group is still open");
  group_node *root = NULL;
  const sy_status status = gather(b->family, &b->level[0], &root, err);
  if (status != SY_OK) return status;
  sy_ledger *ledger = sy_ledger_wrap(b->family, root, NULL);
  if (ledger == NULL) return sy_ledger_no_memory(err);
  *out = ledger;
  return SY_OK;
}

sy_status sy_ledger_builder_fits(const sy_ledger_builder *b, const family *f, const char *name, size_t depth,
                                 sy_error *err) {
  if (b->family != f)
    return sy_fail(err, SY_CLASH, "ledger", NULL, "the items to append come from an unrelated ledger");
  if (b->depth != 1)
    return sy_fail(err, SY_CLASH, b->level[b->depth - 1].text, NULL, "the group is still open");
  if (depth + b->deepest >= SY_MAX_NESTING)
    return sy_fail(err, SY_LIMIT, name, NULL, "would hold %zu groups inside one another, at most %d",
                   depth + b->deepest, SY_MAX_NESTING - 1);
  return SY_OK;
}

/* Hand over the top-level items one by one. */
node *sy_ledger_builder_take(sy_ledger_builder *b, size_t index) {
  open_group *g = &b->level[0];
  return index < g->count ? sy_node_share(g->items[index]) : NULL;
}
