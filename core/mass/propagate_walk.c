/* propagate_walk.c
**
** What stands at the same place in the trees is looked at together, so every line is visited once with all it is in all terms. What several
** terms share as it is acts through the sum of their sensitivities.
*/
#include "mass/propagate_walk.h"

#include <string.h>

enum { BLOCK = SY_WALK_ANSWERS };

typedef term_walk walk;

static void walk_on(const walk *w, const place *places, size_t count);

/* ---- lines ------------------------------------------------------------------------------------------------------------ */

static uint64_t item_id(const node *n) {
  return n->kind == NODE_PART ? ((const part_node *)n)->part.id : ((const group_node *)n)->group.id;
}

static void go_inside(const walk *w, const sy_frame *frame, const sy_sensitivity *by,
                      sy_sensitivity *inside) {
  for (size_t k = 0; k < w->sum->count; k++) inside[k] = sy_sensitivity_inside(&by[k], frame);
}

/* The nodes of one line, of this family and behind them of the others. */
typedef struct line_places {
  place at[SY_WALK_TERMS];
  int family[SY_WALK_TERMS];
  const paired_line *line[SY_MOST_FAMILIES];
  size_t own, count;
} line_places;

const sy_part *sy_piece_of_line(const node *n, uint32_t side) {
  if (n->kind == NODE_PART) return side == 0 ? &((const part_node *)n)->part : NULL;
  const group_node *g = (const group_node *)n;
  if (side >= g->children) return NULL;
  const node *item = sy_branch_item(g->root, side);
  return sy_node_aboard(item) ? &((const part_node *)item)->part : NULL;
}

static bool has_pieces(const node *n) {
  return sy_piece_of_line(n, 0) != NULL || sy_piece_of_line(n, 1) != NULL;
}

/* The pieces of a line, side by side: what did not change then cancels to nothing. room: for a pair's directions. */
static size_t pieces_of(const walk *w, const line_places *line, sy_sensitivity room[SY_WALK_TERMS][BLOCK],
                        piece *out) {
  size_t found = 0;
  for (uint32_t side = 0; side < 2; side++)
    for (size_t i = 0; i < line->count; i++) {
      const node *n = line->at[i].node;
      const sy_part *p = sy_piece_of_line(n, side);
      if (p == NULL) continue;
      const int whose = i < line->own ? w->me : line->family[i];
      const sy_group *pair = n->kind == NODE_GROUP ? &((const group_node *)n)->group : NULL;
      if (pair != NULL && (side == 0 || sy_piece_of_line(n, 0) == NULL))
        go_inside(w, &pair->frame, line->at[i].by, room[i]);
      out[found++] =
          (piece){p, pair != NULL ? room[i] : line->at[i].by, pair != NULL ? &pair->twin_normal : NULL, whose,
                  w->families > 1 ? line->line[whose] : NULL};
    }
  return found;
}

/* Pairings lead from the first family: from any other it is by way of it. */
const paired_line *sy_line_in_family(const walked_family *all, int me, uint64_t id, int of) {
  if (me == 0) return sy_pairing_find(all[of].pairing, 0, id);
  const paired_line *mine = sy_pairing_find(all[me].pairing, 1, id);
  return mine == NULL || of == 0 || of == me ? mine : sy_pairing_find(all[of].pairing, 0, mine->id[0]);
}

const node *sy_find_line(const walked_family *all, int me, int of, const paired_line *line, const node *root,
                         size_t count, sy_sensitivity *by) {
  const int f = of > 0; /* which side of its pairing */
  const sy_pairing *pairing = all[of > 0 ? of : me].pairing;
  const uint32_t *child = pairing->child + line->way[f];
  const node *n = root;
  for (uint32_t d = 0; d < line->depth[f]; d++) {
    const group_node *g = (const group_node *)n;
    if (n->kind != NODE_GROUP || !sy_node_aboard(n) || child[d] >= g->children) return NULL;
    for (size_t k = 0; k < count; k++) by[k] = sy_sensitivity_inside(&by[k], &g->group.frame);
    n = sy_branch_item(g->root, child[d]);
  }
  return item_id(n) == line->id[f] && sy_node_aboard(n) && has_pieces(n) ? n : NULL;
}

/* Adds the places of line `id` in the terms of another family. */
static void add_other(const walk *w, uint64_t id, int of, sy_sensitivity room[SY_WALK_TERMS][BLOCK],
                      line_places *line) {
  const paired_line *paired = sy_line_in_family(w->family, w->me, id, of);
  line->line[of] = of > 0 ? paired : NULL;
  if (paired == NULL) return;
  const roots *r = w->family[of].roots;
  for (size_t i = 0; i < r->count; i++) {
    sy_sensitivity *by = room[line->count];
    memcpy(by, r->at[i].by, w->sum->count * sizeof *by);
    const node *n = sy_find_line(w->family, w->me, of, paired, r->at[i].node, w->sum->count, by);
    if (n == NULL) continue;
    line->family[line->count] = of;
    line->at[line->count++] = (place){n, by};
  }
}

/* Adds what all others have of the line; false: an earlier one has it aboard, so it was met. */
static bool add_others(const walk *w, uint64_t id, sy_sensitivity room[SY_WALK_TERMS][BLOCK],
                       line_places *line) {
  for (int of = 0; of < w->families; of++) {
    line->line[of] = NULL;
    if (of == w->me)
      line->line[of] = of > 0 ? sy_pairing_find(w->family[of].pairing, 1, id) : NULL;
    else
      add_other(w, id, of, room, line);
    if (of < w->me && line->count > line->own) return false;
  }
  return true;
}

/* A line that may have two sides or stand in several families. */
static void walk_wide_line(const walk *w, const place *places, size_t count) {
  sy_sensitivity around[SY_WALK_TERMS][BLOCK], inside[SY_WALK_TERMS][BLOCK];
  line_places line;
  line.count = 0;
  for (size_t i = 0; i < count; i++)
    if (has_pieces(places[i].node)) line.at[line.count++] = places[i];
  line.own = line.count;
  if (line.own == 0) return;
  if (w->families > 1 && !add_others(w, item_id(places[0].node), around, &line)) return;
  piece pieces[SY_MOST_PIECES];
  const size_t found = pieces_of(w, &line, inside, pieces);
  sy_add_line(w->sum, pieces, found, &w->slots);
}

static void walk_line(const walk *w, const place *places, size_t count) {
  if (w->families > 1 || places[0].node->kind != NODE_PART) {
    walk_wide_line(w, places, count);
    return;
  }
  piece pieces[SY_WALK_TERMS];
  for (size_t i = 0; i < count; i++)
    pieces[i] = (piece){&((const part_node *)places[i].node)->part, places[i].by, NULL, w->me, NULL};
  sy_add_line(w->sum, pieces, count, &w->slots);
}

/* ---- the trees ---------------------------------------------------------------------------------------------------------- */

static void walk_group(const walk *w, const place *places, size_t count) {
  sy_sensitivity room[SY_WALK_TERMS][BLOCK];
  place inside[SY_WALK_TERMS];
  size_t filled = 0;
  for (size_t i = 0; i < count; i++) {
    const group_node *g = (const group_node *)places[i].node;
    if (g->root == NULL) continue;
    go_inside(w, &g->group.frame, places[i].by, room[i]);
    inside[filled++] = (place){&g->root->head, room[i]};
  }
  walk_on(w, inside, filled);
}

static void walk_item(const walk *w, const place *places, size_t count) {
  const node *n = places[0].node;
  if (n->kind == NODE_GROUP && !((const group_node *)n)->group.twin)
    walk_group(w, places, count);
  else
    walk_line(w, places, count);
}

/* Cars that grew apart have other items at the same place in the list: each is met by itself. */
static void walk_items(const walk *w, const place *places, size_t count) {
  place left[SY_WALK_TERMS], same[SY_WALK_TERMS];
  size_t others = 0;
  for (size_t i = 0; i < count; i++)
    if (sy_node_aboard(places[i].node)) left[others++] = places[i];
  while (others > 0) {
    const node *first = left[0].node;
    const size_t open = others;
    size_t alike = 0;
    others = 0;
    for (size_t i = 0; i < open; i++)
      if (item_id(left[i].node) == item_id(first) && left[i].node->kind == first->kind)
        same[alike++] = left[i];
      else
        left[others++] = left[i];
    walk_item(w, same, alike);
  }
}

/* What only one term has left, or all share. */
static void walk_one_branch(const walk *w, const place *only) {
  const branch *b = (const branch *)only->node;
  for (size_t c = 0; c < b->head.used; c++) {
    const place child = {b->child[c], only->by};
    if (b->head.level > 0)
      walk_one_branch(w, &child);
    else if (sy_node_aboard(child.node))
      walk_item(w, &child, 1);
  }
}

static void walk_branches(const walk *w, const place *places, size_t count) {
  uint8_t level = 0;
  for (size_t i = 0; i < count; i++)
    if (places[i].node->level > level) level = places[i].node->level;
  size_t most = 0;
  for (size_t i = 0; i < count; i++) {
    const size_t used = places[i].node->level == level ? places[i].node->used : 1;
    if (used > most) most = used;
  }
  for (size_t c = 0; c < most; c++) {
    place child[SY_WALK_TERMS];
    size_t found = 0;
    for (size_t i = 0; i < count; i++) {
      const branch *b = (const branch *)places[i].node;
      if (b->head.level == level) {
        if (c < b->head.used) child[found++] = (place){b->child[c], places[i].by};
      } else if (c == 0) { /* another has grown a level: this one stands for its first child */
        child[found++] = places[i];
      }
    }
    walk_on(w, child, found);
  }
}

/* Sum of the sensitivities of the places in the mask: in *out, or where the only one's are. */
static const sy_sensitivity *add_up(const walk *w, const place *places, size_t count, unsigned mask,
                                    sy_sensitivity *out) {
  const sy_sensitivity *so_far = NULL;
  for (size_t i = 0; i < count; i++) {
    if (!(mask >> i & 1u)) continue;
    const sy_sensitivity *g = places[i].by;
    for (size_t k = 0; so_far != NULL && k < w->sum->count; k++)
      out[k] = (sy_sensitivity){so_far[k].m + g[k].m, sy_vec3_add(so_far[k].first, g[k].first),
                                sy_sym3_add(so_far[k].second, g[k].second), g[k].carriers,
                                so_far[k].flat && g[k].flat};
    so_far = so_far == NULL ? g : out;
  }
  return so_far;
}

static bool same_carriers(const walk *w, const place *a, const place *b) {
  for (size_t k = 0; k < w->sum->count; k++)
    if (a->by[k].carriers != b->by[k].carriers) return false;
  return true;
}

/* The places that stand on the same node as place i and can be walked with it. */
static unsigned sharing(const walk *w, const place *places, size_t count, size_t i) {
  unsigned mask = 1u << i;
  for (size_t j = i + 1; j < count; j++)
    if (places[j].node == places[i].node && same_carriers(w, &places[i], &places[j])) mask |= 1u << j;
  return mask;
}

/* Walks what the places in the mask share once. At most SY_WALK_TERMS - 1 of these are inside one another. */
static void walk_shared(const walk *w, const place *places, size_t count, size_t i, unsigned mask) {
  sy_sensitivity sum[BLOCK];
  place fewer[SY_WALK_TERMS];
  size_t left = 0;
  const sy_sensitivity *by = add_up(w, places, count, mask, sum);
  for (size_t j = 0; j < count; j++)
    if (j == i)
      fewer[left++] = (place){places[i].node, by};
    else if (!(mask >> j & 1u))
      fewer[left++] = places[j];
  walk_on(w, fewer, left);
}

/* A branch that all terms share: one covariance for all lines below it. */
static bool add_whole_branch(const walk *w, const place *places, size_t count) {
  if (w->families > 1 || count != w->family[w->me].roots->count) return false;
  for (size_t i = 1; i < count; i++)
    if (places[i].node != places[0].node) return false;
  sy_sensitivity sum[BLOCK];
  const sy_sensitivity *by = add_up(w, places, count, (1u << count) - 1u, sum);
  sy_add_branch(w->sum, (const branch *)places[0].node, by, w->slots.of[w->me]);
  return true;
}

/* Depth is bounded by SY_MAX_PATH, so the recursion is. */
static void walk_on(const walk *w, const place *places, size_t count) {
  if (count == 0) return;
  for (size_t i = 0; !w->flat && i + 1 < count; i++) {
    const unsigned mask = sharing(w, places, count, i);
    if (mask == 1u << i) continue;
    walk_shared(w, places, count, i, mask);
    return;
  }
  if (places[0].node->kind != NODE_BRANCH)
    walk_items(w, places, count);
  else if (w->flat && add_whole_branch(w, places, count))
    return;
  else if (count == 1)
    walk_one_branch(w, places);
  else
    walk_branches(w, places, count);
}

void sy_walk_terms(const term_walk *w) {
  const roots *r = w->family[w->me].roots;
  walk_on(w, r->at, r->count);
}
