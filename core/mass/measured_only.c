/* measured_only.c - one item alone in a ledger, so that what it has in common with records can be asked by itself. */
#include "mass/ledger_check.h"
#include "mass/measured_parts.h"

/* The item aboard, or not; with a new reference. NULL: memory. */
static node *set_aboard(family *f, const node *item, bool aboard) {
  if (sy_node_aboard(item) == aboard) return sy_node_share((node *)(uintptr_t)item);
  if (item->kind == NODE_PART) {
    sy_part part = ((const part_node *)item)->part;
    part.flags = aboard ? part.flags & ~(uint32_t)SY_PART_NOT_ABOARD : part.flags | SY_PART_NOT_ABOARD;
    part_node *made = sy_node_part(f, &part, sy_label_name(item), sy_label_tags(item));
    return made != NULL ? &made->head : NULL;
  }
  const group_node *g = (const group_node *)item;
  sy_group group = g->group;
  group.not_aboard = !aboard;
  branch *root = g->root != NULL ? (branch *)sy_node_share(&g->root->head) : NULL;
  group_node *made =
      sy_node_group(f, &group, sy_label_name(item), sy_label_tags(item), root, g->children, g->weighing);
  return made != NULL ? &made->head : NULL;
}

/* The group, aboard, with `inner` for the child `index` and no other child aboard; takes over the reference to `inner`. */
static node *around(family *f, const group_node *g, uint32_t index, node *inner, bool *too_large) {
  const size_t bytes = g->children * sizeof(node *);
  node **children = sy_alloc_new(&f->alloc, bytes);
  uint32_t made = 0;
  for (; children != NULL && made < g->children; made++) {
    children[made] = made == index ? inner : set_aboard(f, sy_branch_item(g->root, made), false);
    if (children[made] == NULL) break;
  }
  if (children == NULL || made < g->children) {
    if (made <= index) sy_node_release(f, inner);
    while (made > 0) sy_node_release(f, children[--made]);
    sy_alloc_free(&f->alloc, children, bytes);
    return NULL;
  }
  branch *root = sy_branch_build(f, children, g->children, too_large);
  sy_alloc_free(&f->alloc, children, bytes);
  if (root == NULL) return NULL;
  sy_group group = g->group;
  group.not_aboard = false;
  group_node *out = sy_node_group(f, &group, sy_label_name(&g->head), sy_label_tags(&g->head), root,
                                  g->children, g->weighing);
  return out != NULL ? &out->head : NULL;
}

sy_status sy_measured_only(const sy_ledger *ledger, const sy_route *route, sy_ledger **out, sy_error *err) {
  const group_node *group[SY_MAX_NESTING + 1];
  const node *item = &ledger->root->head;
  for (uint32_t d = 0; d < route->depth; d++) { /* the caller has found the item: it is there */
    group[d] = (const group_node *)item;
    item = sy_branch_item(group[d]->root, route->child[d]);
  }
  bool too_large = false;
  node *made = set_aboard(ledger->family, item, true);
  for (uint32_t d = route->depth; d > 0 && made != NULL; d--)
    made = around(ledger->family, group[d - 1], route->child[d - 1], made, &too_large);
  if (made == NULL) return sy_ledger_sum_failed(too_large, err);
  sy_ledger *only = sy_ledger_wrap(ledger->family, (group_node *)made, ledger->measured);
  if (only == NULL) return sy_ledger_no_memory(err);
  *out = only;
  return SY_OK;
}
