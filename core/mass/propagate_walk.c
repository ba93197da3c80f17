/* propagate_walk.c
**
** What stands at the same place in the trees is looked at together, so every line is visited once with all it is in all terms. What several
** terms share as it is acts through the sum of their sensitivities.
*/
#include "mass/propagate_walk.h"

#include <string.h>

#include "mass/propagate_two.h"

enum { BLOCK = SY_WALK_ANSWERS };

typedef term_walk walk;

static void walk_on(const walk *w, const place *places, size_t count);

/* ---- lines ------------------------------------------------------------------------------------------------------------ */

static uint64_t item_id(const node *n) {
  return n->kind == NODE_PART ? ((const part_node *)n)->part.id : ((const group_node *)n)->group.id;
}

static void go_inside(size_t count, const sy_frame *frame, const sy_sensitivity *by, sy_sensitivity *inside) {
  for (size_t k = 0; k < count; k++) inside[k] = sy_sensitivity_inside(&by[k], frame);
}

static bool is_in_place(const sy_frame *frame) {
  return frame->at.x == 0 && frame->at.y == 0 && frame->at.z == 0 && sy_mat3_is_identity(&frame->turn);
}

/* The same where they need not be copied: most groups have no place of their own. */
static const sy_sensitivity *inside_of(size_t count, const sy_frame *frame, const sy_sensitivity *by,
                                       sy_sensitivity *room) {
  if (is_in_place(frame)) return by;
  go_inside(count, frame, by, room);
  return room;
}

/* ---- groups that count as they were weighed ----------------------------------------------------------------------------- */

static const sy_part *line_of(const group_node *g) {
  return &((const part_node *)sy_branch_item(g->root, g->weighing->line))->part;
}

/* The carriers' part of what is in the line: pieces go out of the group's sum as a whole, whoever carries them. */
static double line_fraction(const sy_part *line, unsigned carriers) {
  double body = 1.0, sum = 0;
  for (unsigned i = 0; i < line->unsprung.count; i++) {
    body -= line->unsprung.fraction[i];
    if (carriers >> line->unsprung.carrier[i] & 1u) sum += line->unsprung.fraction[i];
  }
  return carriers & 1u ? sum + body : sum;
}

/* The line is (M - m) at c without a measured cg (m and c of the pieces), M C - m c with one; its second moments are those of a whole with the
** pieces' inertia about its cg, or with a measured one, and of its moment beyond that at c. */
sy_sensitivity sy_weighed_sensitivity(const weighing *w, const sy_sensitivity *g) {
  const double k = w->by_pieces;
  sy_sensitivity out = {-g->m - k * sy_vec3_dot(g->first, w->cg),
                        sy_vec3_scale(k - 1.0, g->first),
                        {0, 0, 0, 0, 0, 0},
                        SY_ALL_CARRIERS,
                        true};
  if (g->flat) return out;
  const double square = sy_sym3_quadratic(g->second, w->cg), own = w->inertia ? 0.0 : 1.0;
  const sy_vec3 turn = sy_vec3_scale(2.0 / w->mass, sy_sym3_apply(g->second, w->moment));
  out.m += (own - 2.0 * k) * square - sy_vec3_dot(turn, w->cg);
  out.first = sy_vec3_muladd(out.first, 2.0 * (k - own), sy_sym3_apply(g->second, w->cg));
  out.first = sy_vec3_add(out.first, turn);
  if (w->inertia) {
    out.second = sy_sym3_scale(-1.0, g->second);
    out.flat = false;
  }
  return out;
}

static sy_sensitivity scaled(double factor, const sy_sensitivity *g) {
  return (sy_sensitivity){factor * g->m, sy_vec3_scale(factor, g->first), sy_sym3_scale(factor, g->second),
                          g->carriers, g->flat};
}

/* Of the pieces as weighed, for sensitivities in the directions of the group. */
static void of_weighed(const group_node *g, const sy_sensitivity *by, size_t count, sy_sensitivity *out) {
  for (size_t k = 0; k < count; k++) {
    const sy_sensitivity whole = sy_weighed_sensitivity(g->weighing, &by[k]);
    out[k] = scaled(line_fraction(line_of(g), by[k].carriers), &whole);
  }
}

/* The pieces as weighed beside those of each place: once a weighing, however many places have it. */
static void add_weighed(const walk *w, const group_node *g, const sy_sensitivity *by, place *weighed,
                        size_t *filled, sy_sensitivity room[SY_MOST_WHOLES][BLOCK]) {
  const node *pieces = &g->weighing->pieces->head;
  size_t at = 0;
  while (at < *filled && weighed[at].node != pieces) at++;
  if (at == SY_MOST_WHOLES) return; /* whole.c books no more */
  if (at == *filled) {
    of_weighed(g, by, w->sum->count, room[at]);
    weighed[(*filled)++] = (place){pieces, room[at]};
    return;
  }
  sy_sensitivity more[BLOCK];
  of_weighed(g, by, w->sum->count, more);
  for (size_t k = 0; k < w->sum->count; k++)
    room[at][k] = (sy_sensitivity){room[at][k].m + more[k].m, sy_vec3_add(room[at][k].first, more[k].first),
                                   sy_sym3_add(room[at][k].second, more[k].second), SY_ALL_CARRIERS,
                                   room[at][k].flat && more[k].flat};
}

/* The nodes of one line, of this family and behind them of the others. */
typedef struct line_places {
  place at[SY_MOST_PLACES];
  int family[SY_MOST_PLACES];
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
static size_t pieces_of(const walk *w, const line_places *line, sy_sensitivity room[SY_MOST_PLACES][BLOCK],
                        piece *out) {
  const sy_sensitivity *inside[SY_MOST_PLACES];
  size_t found = 0;
  for (uint32_t side = 0; side < 2; side++)
    for (size_t i = 0; i < line->count; i++) {
      const node *n = line->at[i].node;
      const sy_part *p = sy_piece_of_line(n, side);
      if (p == NULL) continue;
      const int whose = i < line->own ? w->me : line->family[i];
      const sy_group *pair = n->kind == NODE_GROUP ? &((const group_node *)n)->group : NULL;
      if (pair != NULL && (side == 0 || sy_piece_of_line(n, 0) == NULL))
        inside[i] = inside_of(w->sum->count, &pair->frame, line->at[i].by, room[i]);
      out[found++] =
          (piece){p, pair != NULL ? inside[i] : line->at[i].by, pair != NULL ? &pair->twin_normal : NULL,
                  whose, w->families > 1 ? line->line[whose] : NULL};
    }
  return found;
}

/* Pairings lead from the first family: from any other it is by way of it. */
const paired_line *sy_line_in_family(const walked_family *all, int me, uint64_t id, int of) {
  if (me == 0) return sy_pairing_find(all[of].pairing, 0, id);
  const paired_line *mine = sy_pairing_find(all[me].pairing, 1, id);
  return mine == NULL || of == 0 || of == me ? mine : sy_pairing_find(all[of].pairing, 0, mine->id[0]);
}

/* By what stands there now and by what its groups were weighed with; `by` is in the directions around the node. kept: it outlives the call. */
static void find_below(const paired_line *line, const uint32_t *way, int f, const node *n, uint32_t depth,
                       const sy_sensitivity *by, bool kept, size_t count, found_line *out) {
  if (!sy_node_aboard(n)) return;
  if (depth == line->depth[f]) {
    if (item_id(n) != line->id[f] || !has_pieces(n) || out->count == SY_MOST_PLACES) return;
    if (!kept) memcpy(out->room[out->count], by, count * sizeof *by);
    out->at[out->count] = (place){n, kept ? by : out->room[out->count]};
    out->count++;
    return;
  }
  const group_node *g = (const group_node *)n;
  const uint32_t child = way[depth];
  if (n->kind != NODE_GROUP || child >= g->children) return;
  sy_sensitivity room[BLOCK], weighed[BLOCK];
  const sy_sensitivity *inside = inside_of(count, &g->group.frame, by, room);
  find_below(line, way, f, sy_branch_item(g->root, child), depth + 1, inside, kept && inside == by, count,
             out);
  if (!sy_counts_as_weighed(g) || child >= g->weighing->line) return;
  of_weighed(g, inside, count, weighed);
  find_below(line, way, f, sy_branch_item(g->weighing->pieces, child), depth + 1, weighed, false, count, out);
}

void sy_find_line(const walked_family *all, int me, int of, const paired_line *line, const place *root,
                  size_t count, found_line *out) {
  const int f = of > 0; /* which side of its pairing */
  const sy_pairing *pairing = all[of > 0 ? of : me].pairing;
  find_below(line, pairing->child + line->way[f], f, root->node, 0, root->by, true, count, out);
}

/* Adds the places of line `id` in the terms of another family. */
static void add_other(const walk *w, uint64_t id, int of, found_line *others, line_places *line) {
  const paired_line *paired = sy_line_in_family(w->family, w->me, id, of);
  line->line[of] = of > 0 ? paired : NULL;
  if (paired == NULL) return;
  const roots *r = w->family[of].roots;
  const size_t before = others->count;
  for (size_t i = 0; i < r->count; i++)
    sy_find_line(w->family, w->me, of, paired, &r->at[i], w->sum->count, others);
  for (size_t i = before; i < others->count && line->count < SY_MOST_PLACES; i++) {
    line->family[line->count] = of;
    line->at[line->count++] = others->at[i];
  }
}

/* Adds what all others have of the line; false: an earlier one has it aboard, so it was met. */
static bool add_others(const walk *w, uint64_t id, found_line *others, line_places *line) {
  others->count = 0;
  for (int of = 0; of < w->families; of++) {
    line->line[of] = NULL;
    if (of == w->me)
      line->line[of] = of > 0 ? sy_pairing_find(w->family[of].pairing, 1, id) : NULL;
    else
      add_other(w, id, of, others, line);
    if (of < w->me && line->count > line->own) return false;
  }
  return true;
}

/* A line that may have two sides or stand in several families. */
static void walk_wide_line(const walk *w, const place *places, size_t count) {
  sy_sensitivity inside[SY_MOST_PLACES][BLOCK];
  found_line others;
  line_places line;
  line.count = 0;
  for (size_t i = 0; i < count; i++)
    if (has_pieces(places[i].node)) line.at[line.count++] = places[i];
  line.own = line.count;
  if (line.own == 0) return;
  if (w->families > 1 && !add_others(w, item_id(places[0].node), &others, &line)) return;
  piece pieces[SY_MOST_PIECES];
  const size_t found = pieces_of(w, &line, inside, pieces);
  sy_add_line(w->sum, pieces, found, &w->slots);
}

static void add_part(const walk *w, const place *only) {
  const piece p = {&((const part_node *)only->node)->part, only->by, NULL, w->me, NULL};
  sy_add_line(w->sum, &p, 1, &w->slots);
}

static void walk_line(const walk *w, const place *places, size_t count) {
  if (w->families > 1 || places[0].node->kind != NODE_PART) {
    walk_wide_line(w, places, count);
    return;
  }
  piece pieces[SY_MOST_PLACES];
  for (size_t i = 0; i < count; i++)
    pieces[i] = (piece){&((const part_node *)places[i].node)->part, places[i].by, NULL, w->me, NULL};
  sy_add_line(w->sum, pieces, count, &w->slots);
}

/* ---- the trees ---------------------------------------------------------------------------------------------------------- */

static void walk_group(const walk *w, const place *places, size_t count) {
  sy_sensitivity room[SY_MOST_PLACES][BLOCK], taken_out[SY_MOST_WHOLES][BLOCK];
  place inside[SY_MOST_PLACES], weighed[SY_MOST_WHOLES];
  size_t filled = 0, more = 0;
  for (size_t i = 0; i < count; i++) {
    const group_node *g = (const group_node *)places[i].node;
    if (g->root == NULL) continue;
    const sy_sensitivity *by = inside_of(w->sum->count, &g->group.frame, places[i].by, room[filled]);
    if (sy_counts_as_weighed(g)) add_weighed(w, g, by, weighed, &more, taken_out);
    inside[filled++] = (place){&g->root->head, by};
  }
  for (size_t i = 0; i < more && filled < SY_MOST_PLACES; i++) inside[filled++] = weighed[i];
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
  place left[SY_MOST_PLACES], same[SY_MOST_PLACES];
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

/* The items of a branch that one term has left, or all share: plain parts two at a time, in order. */
static void walk_one_list(const walk *w, const branch *b, const sy_sensitivity *by) {
  const bool takes_two = w->families == 1 && sy_takes_two(w->sum, by);
  const node *waiting = NULL;
  for (size_t c = 0; c < b->head.used; c++) {
    const node *n = b->child[c];
    if (!sy_node_aboard(n)) continue;
    const bool is_part = n->kind == NODE_PART && w->families == 1;
    if (is_part && takes_two && sy_is_plain_part(&((const part_node *)n)->part)) {
      if (waiting != NULL)
        sy_add_two(w->sum, &((const part_node *)waiting)->part, &((const part_node *)n)->part, by);
      waiting = waiting != NULL ? NULL : n;
      continue;
    }
    if (waiting != NULL) add_part(w, &(place){waiting, by});
    waiting = NULL;
    if (is_part)
      add_part(w, &(place){n, by});
    else
      walk_item(w, &(place){n, by}, 1);
  }
  if (waiting != NULL) add_part(w, &(place){waiting, by});
}

/* What only one term has left, or all share. */
static void walk_one_branch(const walk *w, const place *only) {
  const branch *b = (const branch *)only->node;
  if (b->head.level == 0) {
    walk_one_list(w, b, only->by);
    return;
  }
  for (size_t c = 0; c < b->head.used; c++) walk_one_branch(w, &(place){b->child[c], only->by});
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

/* Do second moments do nothing to any of the answers? */
static bool all_flat(const walk *w, const sy_sensitivity *by) {
  bool flat = true;
  for (size_t k = 0; k < w->sum->count && flat; k++) {
    const sy_sym3 *s = &by[k].second;
    flat = by[k].flat || (s->xx == 0 && s->yy == 0 && s->zz == 0 && s->xy == 0 && s->xz == 0 && s->yz == 0);
  }
  return flat;
}

static bool same_carriers(const walk *w, const place *a, const place *b) {
  for (size_t k = 0; k < w->sum->count; k++)
    if (a->by[k].carriers != b->by[k].carriers) return false;
  return true;
}

/* What all places of a branch do together, worked out when the first child asks: most of a group's items are shared where one was changed. */
typedef struct together {
  const sy_sensitivity *by; /* NULL: not yet */
  sy_sensitivity room[BLOCK];
  bool fits;           /* they may be walked as one */
  bool takes_two;      /* plain parts two at a time */
  const node *waiting; /* a plain part that waits for the next */
} together;

static bool all_alike(const walk *w, const place *places, size_t count) {
  bool alike = count > 1 && (!w->flat || (w->families == 1 && count == w->family[w->me].roots->count));
  for (size_t i = 1; i < count && alike; i++) alike = same_carriers(w, &places[0], &places[i]);
  return alike;
}

/* A group that all terms share and that has no place of its own: by one covariance, as add_whole_branch inside it. */
static bool add_whole_group(const walk *w, const node *n, const sy_sensitivity *by) {
  if (n->kind != NODE_GROUP || !sy_node_aboard(n)) return false;
  const group_node *g = (const group_node *)n;
  if (g->group.twin || g->root == NULL || sy_counts_as_weighed(g) || !is_in_place(&g->group.frame) ||
      !all_flat(w, by))
    return false;
  sy_add_branch(w->sum, g->root, by, w->slots.of[w->me]);
  return true;
}

static void add_waiting(const walk *w, together *t) {
  if (t->waiting != NULL) add_part(w, &(place){t->waiting, t->by});
  t->waiting = NULL;
}

/* Plain parts in their order, two at a time. */
static bool wait_for_two(const walk *w, const node *n, together *t) {
  if (!t->takes_two || n->kind != NODE_PART || !sy_is_plain_part(&((const part_node *)n)->part)) return false;
  if (!sy_node_aboard(n)) return true;
  if (t->waiting != NULL)
    sy_add_two(w->sum, &((const part_node *)t->waiting)->part, &((const part_node *)n)->part, t->by);
  t->waiting = t->waiting != NULL ? NULL : n;
  return true;
}

/* Child c where it is one node in all places; false: it is not, or not to be walked as one. */
static bool walk_one_child(const walk *w, const place *places, size_t count, size_t c, together *t) {
  const node *n = ((const branch *)places[0].node)->child[c];
  for (size_t i = 1; i < count; i++)
    if (((const branch *)places[i].node)->child[c] != n) return false;
  if (t->by == NULL) {
    t->by = add_up(w, places, count, (1u << count) - 1u, t->room);
    t->takes_two = w->families == 1 && sy_takes_two(w->sum, t->by);
  }
  if (wait_for_two(w, n, t)) return true;
  add_waiting(w, t);
  if (w->flat && n->kind != NODE_PART) return add_whole_group(w, n, t->by);
  walk_on(w, &(place){n, t->by}, 1);
  return true;
}

static void walk_branches(const walk *w, const place *places, size_t count) {
  uint8_t level = 0;
  for (size_t i = 0; i < count; i++)
    if (places[i].node->level > level) level = places[i].node->level;
  size_t most = 0, least = SIZE_MAX;
  for (size_t i = 0; i < count; i++) {
    const size_t used = places[i].node->level == level ? places[i].node->used : 1;
    if (used > most) most = used;
    if (places[i].node->level != level) least = 0;
    if (used < least) least = used;
  }
  together all = {.by = NULL, .fits = all_alike(w, places, count), .waiting = NULL};
  for (size_t c = 0; c < most; c++) {
    if (all.fits && c < least && walk_one_child(w, places, count, c, &all)) continue;
    add_waiting(w, &all);
    place child[SY_MOST_PLACES];
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
  add_waiting(w, &all);
}

/* The places that stand on the same node as place i and can be walked with it. */
static unsigned sharing(const walk *w, const place *places, size_t count, size_t i) {
  unsigned mask = 1u << i;
  for (size_t j = i + 1; j < count; j++)
    if (places[j].node == places[i].node && same_carriers(w, &places[i], &places[j])) mask |= 1u << j;
  return mask;
}

/* Walks what the places in the mask share once. At most SY_MOST_PLACES - 1 of these are inside one another. */
static void walk_shared(const walk *w, const place *places, size_t count, size_t i, unsigned mask) {
  sy_sensitivity sum[BLOCK];
  place fewer[SY_MOST_PLACES];
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
  if (!all_flat(w, by)) return false;
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
