/* measured_correct.c - a ledger with the mean of each stated error beside what its lines state. */
#include <math.h>
#include <string.h>

#include "mass/ledger_check.h"
#include "mass/measured_weighed.h"

/* ---- one line ------------------------------------------------------------------------------------------------------- */

/* The pieces to be corrected first, then those of the records; `by` of these is how they pull. */
typedef struct met {
  piece piece[SY_MOST_PIECES];
  size_t own, count;
} met;

static void correct_masses(const met *line, int kind, moved *out) {
  bool done[SY_MOST_PIECES] = {false};
  for (size_t i = 0; i < line->own; i++) {
    const sy_part *p = line->piece[i].part;
    if (done[i] || kind >= sy_mass_error_count(p)) continue;
    const mass_error e = sy_mass_error_of(p, kind);
    if (!(e.sd > 0)) continue;
    double pull = 0;
    for (size_t j = line->own; j < line->count; j++)
      if (kind < sy_mass_error_count(line->piece[j].part) &&
          sy_same_mass_error_of_pieces(&line->piece[i], &line->piece[j], kind))
        pull += sy_mass_effect(&line->piece[j], line->piece[j].by, kind);
    const double mean = e.sd * e.sd * pull;
    out[i].mass += e.effect * mean;
    out[i].first = sy_vec3_muladd(out[i].first, e.effect * mean, e.arm);
  }
}

static double along(sy_vec3 v, int axis) { return axis == 0 ? v.x : axis == 1 ? v.y : v.z; }

static void add_along(sy_vec3 *v, int axis, double by) {
  *(axis == 0 ? &v->x : axis == 1 ? &v->y : &v->z) += by;
}

static void correct_places(const met *line, moved *out) {
  for (size_t i = 0; i < line->own; i++) {
    const piece *p = &line->piece[i];
    for (int axis = 0; axis < 3; axis++) {
      const double sd = along(p->part->cg_sd, axis);
      if (!(sd > 0)) continue;
      double pull = 0;
      for (size_t j = line->own; j < line->count; j++)
        if (sy_same_coordinate_of_pieces(p, &line->piece[j], axis))
          pull += along(sy_place_effect(&line->piece[j], line->piece[j].by), axis);
      const bool against = p->line != NULL && p->line->opposite && fabs(along(*p->normal, axis)) == 1;
      add_along(&out[i].place, axis, (against ? -1.0 : 1.0) * sd * sd * pull);
    }
  }
}

static sy_vec3 between(sy_vec3 from, sy_vec3 to, double part) {
  return sy_vec3_muladd(from, part, sy_vec3_sub(to, from));
}

/* was: the piece as it was corrected before; NULL: that counts nothing. */
static sy_part corrected(const correction *c, const piece *p, const sy_part *was, const moved *by,
                         const sy_mat3 *turn) {
  sy_part out = *p->part;
  sy_vec3 shift = by->place, beside = {0, 0, 0};
  if (out.flags & SY_PART_MIRRORED && p->normal != NULL) shift = sy_twin_reflect(*p->normal, shift);
  double mass = out.mass + by->mass;
  sy_vec3 cg = sy_vec3_add(out.cg, shift);
  if (mass != 0) cg = sy_vec3_muladd(cg, 1.0 / mass, by->first);
  if (was != NULL) {
    mass = was->mass + c->part * (mass - was->mass);
    cg = between(was->cg, cg, c->part);
  }
  cg = sy_ledger_keep_length(cg);
  if (mass == out.mass && cg.x == out.cg.x && cg.y == out.cg.y && cg.z == out.cg.z) return out;
  if (mass != 0) beside = sy_vec3_scale(1.0 / mass, by->first);
  if (c->crossed != NULL && turn != NULL) {
    const sy_vec3 gone = sy_vec3_sub(sy_vec3_sub(cg, out.cg), beside);
    *c->crossed =
        sy_vec3_muladd(*c->crossed, (double)out.count * (mass - out.mass), sy_mat3_apply(*turn, gone));
  }
  out.flags |= SY_PART_CORRECTED;
  out.mass_stated = out.mass;
  out.mass = mass;
  out.cg = cg;
  if (out.flags & SY_PART_SOLID && out.mass_stated > 0)
    out.inertia = sy_sym3_scale(out.mass / out.mass_stated, out.inertia);
  return out;
}

/* ---- its pieces in the records --------------------------------------------------------------------------------------- */

/* Both pieces of a line, aboard or not: what a part is worth does not depend on that. */
static void add_own(const node *n, const paired_line *paired, int me, met *line) {
  const group_node *pair = n->kind == NODE_GROUP ? (const group_node *)n : NULL;
  line->own = 0;
  for (uint32_t side = 0; side < (pair != NULL ? 2u : 1u); side++) {
    const node *item = pair != NULL ? sy_branch_item(pair->root, side) : n;
    line->piece[line->own++] = (piece){&((const part_node *)item)->part, NULL,
                                       pair != NULL ? &pair->group.twin_normal : NULL, me, paired};
  }
  line->count = line->own;
}

/* inside: room for a pair's directions, one a record */
static void add_pieces(const node *n, const sy_sensitivity *by, int whose, const paired_line *paired,
                       sy_sensitivity *inside, met *line) {
  const sy_group *pair = n->kind == NODE_GROUP ? &((const group_node *)n)->group : NULL;
  *inside = pair != NULL ? sy_sensitivity_inside(by, &pair->frame) : *by;
  for (uint32_t side = 0; side < 2; side++) {
    const sy_part *p = sy_piece_of_line(n, side);
    if (p != NULL)
      line->piece[line->count++] =
          (piece){p, inside, pair != NULL ? &pair->twin_normal : NULL, whose, paired};
  }
}

static uint64_t item_id(const node *n) {
  return n->kind == NODE_PART ? ((const part_node *)n)->part.id : ((const group_node *)n)->group.id;
}

/* How all figures of a record pull at the sums of its ledger. */
static sy_sensitivity pull_of(const sy_measured *m, const kept_record *r) {
  sy_sensitivity sum = {.carriers = SY_ALL_CARRIERS, .flat = true};
  for (size_t k = 0; k < r->figures; k++) {
    sum.m += m->pull[r->first + k] * r->by[k].m;
    sum.first = sy_vec3_muladd(sum.first, m->pull[r->first + k], r->by[k].first);
  }
  return sum;
}

/* The line in ledgers of other families. inside: room for each place that is added. */
static void find_elsewhere(const correction *c, const node *n, sy_sensitivity *inside, met *line) {
  for (size_t i = 0; i < c->m->records; i++) {
    const int of = c->record_family[i];
    const paired_line *paired = of != c->me ? sy_line_in_family(c->walked, c->me, item_id(n), of) : NULL;
    if (paired == NULL) continue;
    const kept_record *r = &c->m->record[i];
    const sy_sensitivity by = pull_of(c->m, r);
    const place root = {&r->adjusted->root->head, &by};
    found_line there;
    there.count = 0;
    sy_find_line(c->walked, c->me, of, paired, &root, 1, &there);
    for (size_t k = 0; k < there.count && line->count + 2 <= SY_MOST_PIECES; k++)
      add_pieces(there.at[k].node, there.at[k].by, of, of > 0 ? paired : NULL, inside++, line);
  }
}

static void find_line(const correction *c, const node *n, uint32_t child, const level *at,
                      sy_sensitivity inside[SY_MOST_PIECES], met *line) {
  const paired_line *mine = c->me > 0 ? sy_pairing_find(c->walked[c->me].pairing, 1, item_id(n)) : NULL;
  size_t used = 0;
  add_own(n, mine, c->me, line);
  for (size_t i = 0; i < at->count && line->count + 2 <= SY_MOST_PIECES; i++) {
    const level_place *p = &at->at[i];
    const node *same = child < p->children ? sy_branch_item(p->root, child) : NULL;
    if (same != NULL && item_id(same) == item_id(n) && same->kind == n->kind && sy_node_aboard(same))
      add_pieces(same, &p->by, c->me, mine, &inside[used++], line);
  }
  if (c->m->pairings > 0) find_elsewhere(c, n, inside + used, line);
}

/* By what the records move the pieces that `line` owns. */
static void move_line(const correction *c, const node *n, uint32_t child, const level *at, met *line,
                      moved by[2]) {
  sy_sensitivity inside[SY_MOST_PIECES];
  memset(by, 0, 2 * sizeof *by);
  find_line(c, n, child, at, inside, line);
  for (int kind = 0; kind < MASS_ERRORS; kind++) correct_masses(line, kind, by);
  correct_places(line, by);
  for (size_t i = 0; i < line->own; i++) {
    const sy_part *p = line->piece[i].part;
    if (p->instrument == 0) continue;
    const common_error *e = &c->common[p->instrument - 1];
    by[i].mass += p->bias_share * e->bias + p->gain_mass * e->gain;
  }
}

static void correction_of_line(const correction *c, const node *n, uint32_t child, const level *at,
                               moved by[2]) {
  met line;
  move_line(c, n, child, at, &line, by);
}

/* ---- the tree ------------------------------------------------------------------------------------------------------------ */

static node *remade(const correction *c, const node *old, const sy_part *part) {
  part_node *made = sy_node_part(c->family, part, sy_label_name(old), sy_label_tags(old));
  return made != NULL ? &made->head : NULL;
}

/* The group with these children, to which it takes over the references; NULL: memory, or too large. */
static node *regroup(correction *c, const group_node *g, node **children, weighing *weighed) {
  branch *root = sy_branch_build(c->family, children, g->children, &c->too_large);
  if (root == NULL && g->children > 0) return NULL;
  group_node *made = sy_node_group(c->family, &g->group, sy_label_name(&g->head), sy_label_tags(&g->head),
                                   root, g->children, weighed);
  return made != NULL ? &made->head : NULL;
}

/* Piece `side` of a line; n may be NULL. */
static const sy_part *part_at(const node *n, size_t side) {
  if (n == NULL || n->kind == NODE_PART) return n != NULL ? &((const part_node *)n)->part : NULL;
  return &((const part_node *)sy_branch_item(((const group_node *)n)->root, (uint32_t)side))->part;
}

static node *correct_line(correction *c, const node *n, const node *was, uint32_t child, const level *at) {
  met line;
  moved by[2];
  move_line(c, n, child, at, &line, by);
  sy_part part[2];
  bool any = false;
  const sy_mat3 turn =
      n->kind == NODE_GROUP ? sy_mat3_mul(at->turn, ((const group_node *)n)->group.frame.turn) : at->turn;
  for (size_t i = 0; i < line.own; i++) {
    const bool aboard = at->aboard && sy_node_aboard(n) && !(line.piece[i].part->flags & SY_PART_NOT_ABOARD);
    part[i] = corrected(c, &line.piece[i], part_at(was, i), &by[i], aboard ? &turn : NULL);
    if (!sy_part_terms_fit(&part[i])) {
      c->too_large = true;
      return NULL;
    }
    any = any || part[i].flags & SY_PART_CORRECTED;
  }
  if (!any) return sy_node_share((node *)(uintptr_t)n);
  if (n->kind == NODE_PART) return remade(c, n, &part[0]);
  const group_node *pair = (const group_node *)n;
  node *pieces[2] = {remade(c, sy_branch_item(pair->root, 0), &part[0]), NULL};
  if (pieces[0] != NULL) pieces[1] = remade(c, sy_branch_item(pair->root, 1), &part[1]);
  if (pieces[1] == NULL) {
    sy_node_release(c->family, pieces[0]);
    return NULL;
  }
  return regroup(c, pair, pieces, NULL);
}

/* What several ledgers have there as it is acts once. False: too many. */
static bool add_level_place(level *l, const branch *root, uint32_t children, const sy_sensitivity *by) {
  for (size_t i = 0; i < l->count; i++)
    if (l->at[i].root == root) {
      l->at[i].by.m += by->m;
      l->at[i].by.first = sy_vec3_add(l->at[i].by.first, by->first);
      return true;
    }
  if (l->count == SY_MOST_PLACES) return false;
  l->at[l->count++] = (level_place){root, children, *by};
  return true;
}

/* A group of a record's ledger, with its pieces as they were weighed; `by` in its directions. */
static bool add_level_group(level *l, const group_node *g, const sy_sensitivity *by) {
  if (g->root == NULL) return true;
  if (!add_level_place(l, g->root, g->children, by)) return false;
  if (!sy_counts_as_weighed(g)) return true;
  const sy_sensitivity weighed = sy_weighed_sensitivity(g->weighing, by);
  return add_level_place(l, g->weighing->pieces, g->weighing->line, &weighed);
}

/* The level of what lies in a group, the child of the one around it. */
static bool go_in(const group_node *g, uint32_t child, const level *around, level *out) {
  out->turn = sy_mat3_mul(around->turn, g->group.frame.turn);
  out->aboard = around->aboard && sy_node_aboard(&g->head);
  out->count = 0;
  bool fits = true;
  for (size_t i = 0; i < around->count && fits; i++) {
    const level_place *p = &around->at[i];
    if (child >= p->children) continue;
    const node *same = sy_branch_item(p->root, child);
    if (same->kind != NODE_GROUP || item_id(same) != g->group.id || !sy_node_aboard(same)) continue;
    const group_node *there = (const group_node *)same;
    const sy_sensitivity by = sy_sensitivity_inside(&p->by, &there->group.frame);
    fits = add_level_group(out, there, &by);
  }
  return fits;
}

static node *correct_item(correction *c, const node *n, const node *was, uint32_t child, const level *at);

/* The children; that of the line of a whole comes from `line`. was: the group as it was corrected before, or NULL. */
static node *correct_children(correction *c, const group_node *g, const group_node *was, const level *at,
                              weighing *weighed, node *line) {
  const sy_alloc *alloc = &c->m->alloc;
  const size_t bytes = (g->children + 1u) * sizeof(node *);
  node **children = sy_alloc_new(alloc, bytes), *out = NULL;
  uint32_t made = 0;
  for (; children != NULL && made < g->children; made++) {
    const bool of_whole = line != NULL && made == weighed->line;
    const node *item = sy_branch_item(g->root, made),
               *before = was != NULL ? sy_branch_item(was->root, made) : NULL;
    children[made] = of_whole ? sy_node_share(line) : correct_item(c, item, before, made, at);
    if (children[made] == NULL) break;
  }
  if (children != NULL && made == g->children)
    out = regroup(c, g, children, weighed);
  else
    while (made > 0) sy_node_release(c->family, children[--made]);
  if (children != NULL) sy_alloc_free(alloc, children, bytes);
  return out;
}

static bool has_whole(const group_node *g) {
  return g->weighing != NULL &&
         ((const part_node *)sy_branch_item(g->root, g->weighing->line))->part.whole != NULL;
}

static node *correct_group(correction *c, const group_node *g, const group_node *was, const level *at) {
  if (!has_whole(g)) return correct_children(c, g, was, at, g->weighing, NULL);
  weighing *weighed = NULL;
  node *line = NULL;
  if (!sy_correct_weighing(c, g, at, &weighed, &line)) return NULL;
  node *out = correct_children(c, g, was, at, weighed, line);
  sy_node_release(c->family, line);
  sy_node_release(c->family, &weighed->head);
  return out;
}

/* Depth is bounded by SY_MAX_NESTING, so the recursion is. */
static node *correct_item(correction *c, const node *n, const node *was, uint32_t child, const level *at) {
  if (n->kind != NODE_GROUP || ((const group_node *)n)->group.twin) return correct_line(c, n, was, child, at);
  level inner;
  if (go_in((const group_node *)n, child, at, &inner))
    return correct_group(c, (const group_node *)n, (const group_node *)was, &inner);
  c->too_many = true;
  return NULL;
}

static int family_index(const sy_measured *m, const family *f) {
  if (f == m->family) return 0;
  for (size_t i = 0; i < m->pairings; i++)
    if (m->pairing[i]->family[1] == f) return (int)i + 1;
  return -1;
}

/* The records' ledgers of its own family at the root. */
static bool start_level(const sy_measured *m, const correction *c, level *top) {
  bool fits = true;
  top->count = 0, top->turn = sy_mat3_identity(), top->aboard = true;
  for (size_t i = 0; i < m->records && fits; i++) {
    if (c->record_family[i] != c->me) continue;
    const sy_sensitivity by = pull_of(m, &m->record[i]);
    fits = add_level_group(top, m->record[i].adjusted->root, &by);
  }
  return fits;
}

sy_status sy_measured_apply(const sy_measured *m, const sy_ledger *ledger, bool carry, const sy_ledger *was,
                            double part, sy_vec3 *crossed, corrected_weighing **weighings, sy_ledger **out,
                            sy_error *err) {
  correction c = {.line_by = correction_of_line,
                  .child = correct_item,
                  .m = m,
                  .family = ledger->family,
                  .me = family_index(m, ledger->family),
                  .crossed = crossed,
                  .part = was != NULL ? part : 1.0,
                  .weighings = weighings};
  level top;
  if (crossed != NULL) *crossed = (sy_vec3){0, 0, 0};
  if (c.me < 0) return sy_fail(err, SY_UNKNOWN, "ledger", NULL, "is of a family that no pairing leads to");
  for (size_t i = 0; i < m->pairings; i++) c.walked[i + 1].pairing = m->pairing[i];
  for (size_t i = 0; i < m->records; i++) c.record_family[i] = family_index(m, m->record[i].adjusted->family);
  sy_measured_common(m, ledger->family, c.common);
  c.too_many = !start_level(m, &c, &top);
  node *root = c.too_many ? NULL : correct_group(&c, ledger->root, was != NULL ? was->root : NULL, &top);
  if (c.too_many)
    return sy_fail(err, SY_LIMIT, "ledger", NULL, "has groups that were weighed in too many ways");
  if (root == NULL) return sy_ledger_sum_failed(c.too_large, err);
  sy_ledger *made =
      sy_ledger_wrap(ledger->family, (group_node *)root, carry ? (conditions *)(uintptr_t)&m->seen : NULL);
  if (made == NULL) return sy_ledger_no_memory(err);
  *out = made;
  return SY_OK;
}

sy_status sy_measured_correct(const sy_measured *m, const sy_ledger *ledger, sy_ledger **out, sy_error *err) {
  if (ledger->measured != NULL)
    return sy_fail(err, SY_CLASH, "ledger", NULL, "is corrected by records already");
  corrected_weighing *weighings = m->weighings; /* those it does not have are this ledger's own */
  const sy_status status = sy_measured_apply(m, ledger, true, NULL, 1.0, NULL, &weighings, out, err);
  sy_weighings_release(&m->alloc, weighings, m->weighings);
  return status;
}

const sy_measured *sy_ledger_measured(const sy_ledger *ledger) {
  return (const sy_measured *)(const void *)ledger->measured;
}
