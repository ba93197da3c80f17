/* ledger_edit.c - every edit copies the nodes on one path and shares the rest. */
#include <string.h>

#include "mass/ledger_check.h"

/* The nodes from the root group down to an item, and which child each leads on to. */
typedef struct path {
  size_t count;
  struct {
    const node *n;
    uint32_t index; /* branches only */
  } step[SY_MAX_PATH];
  const node *item;
  sy_frame outer; /* the item's surroundings in the vehicle's frame */
} path;

static sy_status no_such_route(sy_error *err) {
  return sy_fail(err, SY_UNKNOWN, "ledger", NULL, "the route leads to no item");
}

static void note_step(path *p, const node *n, uint32_t index) {
  p->step[p->count].n = n;
  p->step[p->count++].index = index;
}

static sy_status walk(const sy_ledger *ledger, const sy_route *route, path *p, sy_error *err) {
  p->count = 0;
  p->item = &ledger->root->head;
  p->outer = sy_frame_identity();
  if (route->depth > SY_MAX_NESTING) return no_such_route(err);
  for (uint32_t d = 0; d < route->depth; d++) {
    if (p->item->kind != NODE_GROUP) return no_such_route(err);
    const group_node *g = (const group_node *)p->item;
    const uint32_t index = route->child[d];
    if (index >= g->children) return no_such_route(err);
    note_step(p, p->item, 0);
    if (d > 0)
      p->outer = sy_frame_compose(&p->outer, &g->group.frame); /* the root's own frame is the vehicle's */
    const branch *b = g->root;
    for (;;) {
      const uint32_t i = index >> (SY_RADIX_BITS * (unsigned)b->head.level) & (SY_RADIX - 1u);
      note_step(p, &b->head, i);
      if (b->head.level == 0) break;
      b = (const branch *)b->child[i];
    }
    p->item = b->child[index & (SY_RADIX - 1u)];
  }
  return SY_OK;
}

/* A group like `old` around another root; takes over `root`. */
static node *regroup(family *f, const group_node *old, branch *root, uint32_t children) {
  group_node *g = sy_node_group(f, &old->group, sy_label_name(&old->head), sy_label_tags(&old->head), root,
                                children, old->weighing);
  return g != NULL ? &g->head : NULL;
}

/* Put `fresh` (taken over) where the path ends and copy upwards. */
static sy_status rebuild(const sy_ledger *ledger, const path *p, node *fresh, sy_ledger **out,
                         sy_error *err) {
  family *f = ledger->family;
  bool too_large = false;
  for (size_t i = p->count; i > 0 && fresh != NULL; i--) {
    const node *n = p->step[i - 1].n;
    if (n->kind == NODE_BRANCH) {
      branch *b = sy_branch_replace(f, (const branch *)n, p->step[i - 1].index, fresh, &too_large);
      fresh = b != NULL ? &b->head : NULL;
    } else {
      fresh = regroup(f, (const group_node *)n, (branch *)fresh, ((const group_node *)n)->children);
    }
  }
  if (fresh == NULL) return sy_ledger_sum_failed(too_large, err);
  sy_ledger *made = sy_ledger_wrap(f, (group_node *)fresh, ledger->measured);
  if (made == NULL) return sy_ledger_no_memory(err);
  *out = made;
  return SY_OK;
}

static sy_status replace_part(const sy_ledger *ledger, const path *p, const sy_part *part, sy_ledger **out,
                              sy_error *err) {
  const part_node *old = (const part_node *)p->item;
  sy_part kept;
  sy_status status = sy_ledger_check_instrument(ledger->family, sy_label_name(p->item), part, err);
  if (status == SY_OK) status = sy_ledger_check_part(sy_label_name(p->item), part, &kept, err);
  if (status != SY_OK) return status;
  kept.id = old->part.id;
  part_node *fresh = sy_node_part(ledger->family, &kept, sy_label_name(p->item), sy_label_tags(p->item));
  if (fresh == NULL) return sy_ledger_no_memory(err);
  return rebuild(ledger, p, &fresh->head, out, err);
}

static sy_status replace_group(const sy_ledger *ledger, const path *p, const sy_group *group, sy_ledger **out,
                               sy_error *err) {
  const group_node *old = (const group_node *)p->item;
  sy_group kept;
  const sy_status status = sy_ledger_check_group(sy_label_name(p->item), group, &kept, err);
  if (status != SY_OK) return status;
  kept.id = old->group.id;
  kept.twin = old->group.twin;
  kept.twin_normal = old->group.twin_normal;
  branch *root = old->root != NULL ? (branch *)sy_node_share(&old->root->head) : NULL;
  group_node *fresh = sy_node_group(ledger->family, &kept, sy_label_name(p->item), sy_label_tags(p->item),
                                    root, old->children, old->weighing);
  if (fresh == NULL) return sy_ledger_no_memory(err);
  return rebuild(ledger, p, &fresh->head, out, err);
}

static const char *called(const node *item) {
  const char *name = sy_label_name(item);
  return name != NULL ? name : "item without a name";
}

sy_status sy_ledger_put(const sy_ledger *ledger, const sy_route *route, const sy_part *part, sy_ledger **out,
                        sy_error *err) {
  path p;
  const sy_status status = walk(ledger, route, &p, err);
  if (status != SY_OK) return status;
  if (p.item->kind != NODE_PART) return sy_fail(err, SY_TYPE, called(p.item), NULL, "is a group, not a part");
  return replace_part(ledger, &p, part, out, err);
}

sy_status sy_ledger_put_group(const sy_ledger *ledger, const sy_route *route, const sy_group *group,
                              sy_ledger **out, sy_error *err) {
  path p;
  const sy_status status = walk(ledger, route, &p, err);
  if (status != SY_OK) return status;
  if (route->depth == 0) return sy_fail(err, SY_TYPE, "ledger", NULL, "the whole ledger cannot be replaced");
  if (p.item->kind != NODE_GROUP)
    return sy_fail(err, SY_TYPE, called(p.item), NULL, "is a part, not a group");
  return replace_group(ledger, &p, group, out, err);
}

/* A pair with other pieces, left then right; identities, names and tags stay. */
static sy_status replace_pieces(const sy_ledger *ledger, const path *p, const sy_group *group,
                                const sy_part pieces[2], sy_ledger **out, sy_error *err) {
  const group_node *old = (const group_node *)p->item;
  family *f = ledger->family;
  sy_group kept_group;
  sy_part kept[2];
  sy_status status = sy_ledger_check_group(sy_label_name(p->item), group, &kept_group, err);
  for (uint32_t i = 0; i < 2 && status == SY_OK; i++) {
    status = sy_ledger_check_instrument(f, sy_label_name(p->item), &pieces[i], err);
    if (status == SY_OK) status = sy_ledger_check_part(sy_label_name(p->item), &pieces[i], &kept[i], err);
  }
  if (status != SY_OK) return status;
  node *fresh[2] = {NULL, NULL};
  for (uint32_t i = 0; i < 2; i++) {
    const node *piece = sy_branch_item(old->root, i);
    kept[i].id = ((const part_node *)piece)->part.id;
    part_node *made = sy_node_part(f, &kept[i], sy_label_name(piece), sy_label_tags(piece));
    if (made == NULL) {
      if (i == 1) sy_node_release(f, fresh[0]);
      return sy_ledger_no_memory(err);
    }
    fresh[i] = &made->head;
  }
  bool too_large = false;
  branch *root = sy_branch_build(f, fresh, 2, &too_large);
  if (root == NULL) return sy_ledger_sum_failed(too_large, err);
  kept_group.id = old->group.id;
  kept_group.twin = true;
  kept_group.twin_normal = old->group.twin_normal;
  group_node *pair = sy_node_group(f, &kept_group, sy_label_name(p->item), sy_label_tags(p->item), root,
                                   old->children, NULL);
  if (pair == NULL) return sy_ledger_no_memory(err);
  return rebuild(ledger, p, &pair->head, out, err);
}

static const group_node *pair_of(const node *item) {
  const group_node *g = item->kind == NODE_GROUP ? (const group_node *)item : NULL;
  return g != NULL && g->group.twin ? g : NULL;
}

static const sy_part *piece_of(const group_node *pair, uint32_t side) {
  return &((const part_node *)sy_branch_item(pair->root, side))->part;
}

/* An edit of a pair is one of its two pieces, so that a pair that was moved is, to the bit, one that was filed there. `move` maps a
** placement in the pair's own frame. */
static sy_status place_pieces(const sy_ledger *ledger, const path *p, const sy_frame *move, sy_ledger **out,
                              sy_error *err) {
  const group_node *pair = pair_of(p->item);
  sy_part pieces[2];
  sy_fill fills[2];
  for (uint32_t i = 0; i < 2; i++) {
    pieces[i] = *piece_of(pair, i);
    sy_part_turn_fill(&pieces[i], move->turn, &fills[i]);
    pieces[i].cg = sy_frame_apply(move, pieces[i].cg);
    pieces[i].inertia = sy_sym3_turn(move->turn, pieces[i].inertia);
  }
  return replace_pieces(ledger, p, &pair->group, pieces, out, err);
}

/* Everything that moves an item rigidly. `move` maps a placement in the item's surroundings to the new one. */
static sy_status place_item(const sy_ledger *ledger, const path *p, const sy_frame *move, sy_ledger **out,
                            sy_error *err) {
  if (p->item->kind == NODE_GROUP) {
    sy_group group = ((const group_node *)p->item)->group;
    group.frame = sy_frame_compose(move, &group.frame);
    return replace_group(ledger, p, &group, out, err);
  }
  sy_part part = ((const part_node *)p->item)->part;
  sy_fill fill;
  sy_part_turn_fill(&part, move->turn, &fill);
  part.cg = sy_frame_apply(move, part.cg);
  part.inertia = sy_sym3_turn(move->turn, part.inertia);
  return replace_part(ledger, p, &part, out, err);
}

sy_status sy_ledger_shift(const sy_ledger *ledger, const sy_route *route, sy_vec3 by, sy_ledger **out,
                          sy_error *err) {
  path p;
  const sy_status status = walk(ledger, route, &p, err);
  if (status != SY_OK) return status;
  if (route->depth == 0) return sy_fail(err, SY_TYPE, "ledger", NULL, "the whole ledger cannot be moved");
  if (!sy_vec3_finite(by)) return sy_fail(err, SY_RANGE, sy_label_name(p.item), "move", "is not finite");
  /* added, not composed: a shift there and back must leave the same bits */
  const sy_vec3 local = sy_ledger_keep_length(sy_mat3_apply(sy_mat3_transpose(p.outer.turn), by));
  if (pair_of(p.item) != NULL) {
    const group_node *pair = pair_of(p.item);
    const sy_vec3 inside =
        sy_ledger_keep_length(sy_mat3_apply(sy_mat3_transpose(pair->group.frame.turn), local));
    sy_part pieces[2] = {*piece_of(pair, 0), *piece_of(pair, 1)};
    for (int i = 0; i < 2; i++) pieces[i].cg = sy_vec3_add(pieces[i].cg, inside);
    return replace_pieces(ledger, &p, &pair->group, pieces, out, err);
  }
  if (p.item->kind == NODE_GROUP) {
    sy_group group = ((const group_node *)p.item)->group;
    group.frame.at = sy_vec3_add(group.frame.at, local);
    return replace_group(ledger, &p, &group, out, err);
  }
  sy_part part = ((const part_node *)p.item)->part;
  part.cg = sy_vec3_add(part.cg, local);
  return replace_part(ledger, &p, &part, out, err);
}

sy_status sy_ledger_turn(const sy_ledger *ledger, const sy_route *route, sy_mat3 turn, sy_vec3 point,
                         sy_ledger **out, sy_error *err) {
  path p;
  const sy_status status = walk(ledger, route, &p, err);
  if (status != SY_OK) return status;
  if (route->depth == 0) return sy_fail(err, SY_TYPE, "ledger", NULL, "the whole ledger cannot be turned");
  if (!sy_vec3_finite(point) || !sy_mat3_is_rotation(turn, 1e-9)) /* rounding of sines and cosines */
    return sy_fail(err, SY_RANGE, sy_label_name(p.item), "turn", "is not a rotation about a point");
  const group_node *pair = pair_of(p.item);
  const sy_frame surroundings =
      pair != NULL ? sy_frame_compose(&p.outer, &pair->group.frame) : p.outer; /* of what is turned */
  const sy_frame inward = sy_frame_inverse(&surroundings);
  const sy_frame about = sy_frame_about(turn, point);
  const sy_frame half = sy_frame_compose(&about, &surroundings);
  const sy_frame move = sy_frame_compose(&inward, &half);
  return pair != NULL ? place_pieces(ledger, &p, &move, out, err) : place_item(ledger, &p, &move, out, err);
}

sy_status sy_ledger_set_aboard(const sy_ledger *ledger, const sy_route *route, bool aboard, sy_ledger **out,
                               sy_error *err) {
  path p;
  const sy_status status = walk(ledger, route, &p, err);
  if (status != SY_OK) return status;
  if (route->depth == 0) return sy_fail(err, SY_TYPE, "ledger", NULL, "the whole ledger cannot be removed");
  if (p.item->kind == NODE_GROUP) {
    sy_group group = ((const group_node *)p.item)->group;
    group.not_aboard = !aboard;
    return replace_group(ledger, &p, &group, out, err);
  }
  sy_part part = ((const part_node *)p.item)->part;
  part.flags = aboard ? part.flags & ~(uint32_t)SY_PART_NOT_ABOARD : part.flags | SY_PART_NOT_ABOARD;
  return replace_part(ledger, &p, &part, out, err);
}

sy_status sy_ledger_set_tags(const sy_ledger *ledger, const sy_route *route, const char *tags,
                             sy_ledger **out, sy_error *err) {
  path p;
  const sy_status status = walk(ledger, route, &p, err);
  if (status != SY_OK) return status;
  if (route->depth == 0) return sy_fail(err, SY_TYPE, "ledger", NULL, "the whole ledger takes no tags");
  family *f = ledger->family;
  node *fresh = NULL;
  if (p.item->kind == NODE_GROUP) {
    const group_node *old = (const group_node *)p.item;
    branch *root = old->root != NULL ? (branch *)sy_node_share(&old->root->head) : NULL;
    group_node *g =
        sy_node_group(f, &old->group, sy_label_name(p.item), tags, root, old->children, old->weighing);
    if (g != NULL) fresh = &g->head;
  } else {
    part_node *made = sy_node_part(f, &((const part_node *)p.item)->part, sy_label_name(p.item), tags);
    if (made != NULL) fresh = &made->head;
  }
  return fresh != NULL ? rebuild(ledger, &p, fresh, out, err) : sy_ledger_no_memory(err);
}

sy_status sy_ledger_put_weighing(const sy_ledger *ledger, const sy_route *route, weighing *weighed,
                                 sy_ledger **out, sy_error *err) {
  path p;
  const sy_status status = walk(ledger, route, &p, err);
  if (status != SY_OK) return status;
  const group_node *old = (const group_node *)p.item;
  group_node *g = sy_node_group(ledger->family, &old->group, sy_label_name(p.item), sy_label_tags(p.item),
                                (branch *)sy_node_share(&old->root->head), old->children, weighed);
  return g != NULL ? rebuild(ledger, &p, &g->head, out, err) : sy_ledger_no_memory(err);
}

sy_status sy_ledger_append(const sy_ledger *ledger, const sy_route *route, sy_ledger_builder *items,
                           sy_ledger **out, sy_error *err) {
  path p;
  const sy_status status = walk(ledger, route, &p, err);
  if (status != SY_OK) return status;
  if (p.item->kind != NODE_GROUP)
    return sy_fail(err, SY_TYPE, sy_label_name(p.item), NULL, "is a part, not a group");
  const group_node *old = (const group_node *)p.item;
  if (old->group.twin)
    return sy_fail(err, SY_CLASH, sy_label_name(p.item), "pair", "holds two parts and no more");
  family *f = ledger->family;
  const sy_status fits = sy_ledger_builder_fits(items, f, sy_label_name(p.item), route->depth, err);
  if (fits != SY_OK) return fits;
  branch *root = old->root != NULL ? (branch *)sy_node_share(&old->root->head) : NULL;
  uint32_t children = old->children;
  node *item;
  bool too_large = false;
  for (size_t i = 0; (item = sy_ledger_builder_take(items, i)) != NULL; i++) {
    branch *longer = sy_branch_append(f, root, children, item, &too_large);
    if (root != NULL) sy_node_release(f, &root->head);
    if (longer == NULL) return sy_ledger_sum_failed(too_large, err);
    root = longer;
    children++;
  }
  node *fresh = regroup(f, old, root, children);
  if (fresh == NULL) return sy_ledger_no_memory(err);
  return rebuild(ledger, &p, fresh, out, err);
}
