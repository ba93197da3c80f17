/* measured_correct.c - a ledger with the mean of each stated error beside what its lines state. */
#include <math.h>
#include <string.h>

#include "mass/ledger_check.h"
#include "mass/measured_parts.h"

/* The ledgers of the records, of all families, and the one that is corrected. */
typedef struct correction {
  const sy_measured *m;
  family *family; /* of the ledger */
  walked_family walked[SY_MOST_FAMILIES];
  int me, record_family[SY_MOST_RECORDS];
  common_error common[SY_MAX_INSTRUMENTS];
  bool too_large;
  const group_node
      *weighed;     /* the group that counts as it was weighed and so cannot be corrected; NULL: none */
  sy_vec3 *crossed; /* NULL: not wanted */
} correction;

/* What the records of the ledger's own family have at the place of a group, and how they pull there. */
typedef struct level {
  const group_node *in[SY_MOST_RECORDS]; /* NULL: of another family, or not there, or not aboard */
  sy_sensitivity by[SY_MOST_RECORDS];
  sy_mat3 turn; /* from here to the vehicle's directions */
  bool aboard;
} level;

/* ---- one line ------------------------------------------------------------------------------------------------------- */

/* The pieces to be corrected first, then those of the records; `by` of these is how they pull. */
typedef struct met {
  piece piece[SY_MOST_PIECES];
  size_t own, count;
} met;

typedef struct moved {
  double mass;
  sy_vec3 place, first; /* as stated, of the place; m cg of errors that do not act there */
} moved;

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

static sy_part corrected(correction *c, const piece *p, const moved *by, const sy_mat3 *turn) {
  sy_part out = *p->part;
  sy_vec3 shift = by->place;
  double mass = by->mass;
  if (out.flags & SY_PART_MIRRORED && p->normal != NULL) shift = sy_twin_reflect(*p->normal, shift);
  if (out.instrument > 0) {
    const common_error *e = &c->common[out.instrument - 1];
    mass += out.bias_share * e->bias + out.gain_mass * e->gain;
  }
  if (c->crossed != NULL && turn != NULL)
    *c->crossed = sy_vec3_muladd(*c->crossed, (double)out.count * mass, sy_mat3_apply(*turn, shift));
  if (mass == 0 && shift.x == 0 && shift.y == 0 && shift.z == 0) return out;
  out.flags |= SY_PART_CORRECTED;
  out.mass_stated = out.mass;
  out.mass += mass;
  out.cg = sy_vec3_add(out.cg, shift);
  if (out.mass != 0) out.cg = sy_vec3_muladd(out.cg, 1.0 / out.mass, by->first);
  out.cg = sy_ledger_keep_length(out.cg);
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

static void find_line(const correction *c, const node *n, uint32_t child, const level *at,
                      sy_sensitivity inside[SY_MOST_RECORDS], met *line) {
  const bool joined = c->m->pairings > 0;
  const paired_line *mine = c->me > 0 ? sy_pairing_find(c->walked[c->me].pairing, 1, item_id(n)) : NULL;
  add_own(n, mine, c->me, line);
  for (size_t i = 0; i < c->m->records; i++) {
    const kept_record *r = &c->m->record[i];
    const int of = c->record_family[i];
    if (of == c->me) {
      const group_node *g = at->in[i];
      const node *same = g != NULL && child < g->children ? sy_branch_item(g->root, child) : NULL;
      if (same != NULL && item_id(same) == item_id(n) && same->kind == n->kind && sy_node_aboard(same))
        add_pieces(same, &at->by[i], of, mine, &inside[i], line);
    } else if (joined) {
      const paired_line *paired = sy_line_in_family(c->walked, c->me, item_id(n), of);
      if (paired == NULL) continue;
      const sy_sensitivity by = pull_of(c->m, r);
      const place root = {&r->adjusted->root->head, &by};
      found_line there;
      there.count = 0;
      sy_find_line(c->walked, c->me, of, paired, &root, 1, &there);
      if (there.count > 0) /* once at most: no group of a record counts as weighed */
        add_pieces(there.at[0].node, there.at[0].by, of, of > 0 ? paired : NULL, &inside[i], line);
    }
  }
}

/* ---- the tree ------------------------------------------------------------------------------------------------------------ */

static node *correct_item(correction *c, const node *n, uint32_t child, const level *at);

static node *remade(const correction *c, const node *old, const sy_part *part) {
  part_node *made = sy_node_part(c->family, part, sy_label_name(old), sy_label_tags(old));
  return made != NULL ? &made->head : NULL;
}

/* The group with these children, to which it takes over the references; NULL: memory, or too large. */
static node *regroup(correction *c, const group_node *g, node **children) {
  branch *root = sy_branch_build(c->family, children, g->children, &c->too_large);
  if (root == NULL && g->children > 0) return NULL;
  group_node *made = sy_node_group(c->family, &g->group, sy_label_name(&g->head), sy_label_tags(&g->head),
                                   root, g->children, NULL);
  return made != NULL ? &made->head : NULL;
}

static node *correct_line(correction *c, const node *n, uint32_t child, const level *at) {
  sy_sensitivity inside[SY_MOST_RECORDS];
  met line;
  moved by[2];
  memset(by, 0, sizeof by);
  find_line(c, n, child, at, inside, &line);
  for (int kind = 0; kind < MASS_ERRORS; kind++) correct_masses(&line, kind, by);
  correct_places(&line, by);
  sy_part part[2];
  bool any = false;
  const sy_mat3 turn =
      n->kind == NODE_GROUP ? sy_mat3_mul(at->turn, ((const group_node *)n)->group.frame.turn) : at->turn;
  for (size_t i = 0; i < line.own; i++) {
    const bool aboard = at->aboard && sy_node_aboard(n) && !(line.piece[i].part->flags & SY_PART_NOT_ABOARD);
    part[i] = corrected(c, &line.piece[i], &by[i], aboard ? &turn : NULL);
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
  return regroup(c, pair, pieces);
}

/* The level of what lies in a group, the child of the one around it. */
static void go_in(const correction *c, const group_node *g, uint32_t child, const level *around, level *out) {
  out->turn = sy_mat3_mul(around->turn, g->group.frame.turn);
  out->aboard = around->aboard && sy_node_aboard(&g->head);
  for (size_t i = 0; i < c->m->records; i++) {
    const group_node *outer = around->in[i];
    out->in[i] = NULL;
    if (outer == NULL || child >= outer->children) continue;
    const node *same = sy_branch_item(outer->root, child);
    if (same->kind != NODE_GROUP || item_id(same) != g->group.id || !sy_node_aboard(same)) continue;
    out->in[i] = (const group_node *)same;
    out->by[i] = sy_sensitivity_inside(&around->by[i], &out->in[i]->group.frame);
  }
}

/* A group that counts as it was weighed would need its pieces as weighed and its line corrected with it: refused. */
static node *correct_group(correction *c, const group_node *g, const level *at) {
  if (g->weighing != NULL) {
    c->weighed = g;
    return NULL;
  }
  const sy_alloc *alloc = &c->m->alloc;
  const size_t bytes = (g->children + 1u) * sizeof(node *);
  node **children = sy_alloc_new(alloc, bytes);
  if (children == NULL) return NULL;
  uint32_t made = 0;
  for (; made < g->children; made++) {
    children[made] = correct_item(c, sy_branch_item(g->root, made), made, at);
    if (children[made] == NULL) break;
  }
  node *out = NULL;
  if (made == g->children)
    out = regroup(c, g, children);
  else
    while (made > 0) sy_node_release(c->family, children[--made]);
  sy_alloc_free(alloc, children, bytes);
  return out;
}

/* Depth is bounded by SY_MAX_NESTING, so the recursion is. */
static node *correct_item(correction *c, const node *n, uint32_t child, const level *at) {
  if (n->kind != NODE_GROUP || ((const group_node *)n)->group.twin) return correct_line(c, n, child, at);
  level inner;
  go_in(c, (const group_node *)n, child, at, &inner);
  return correct_group(c, (const group_node *)n, &inner);
}

static int family_index(const sy_measured *m, const family *f) {
  if (f == m->family) return 0;
  for (size_t i = 0; i < m->pairings; i++)
    if (m->pairing[i]->family[1] == f) return (int)i + 1;
  return -1;
}

sy_status sy_measured_apply(const sy_measured *m, const sy_ledger *ledger, bool carry, sy_vec3 *crossed,
                            sy_ledger **out, sy_error *err) {
  correction c = {
      .m = m, .family = ledger->family, .me = family_index(m, ledger->family), .crossed = crossed};
  level top = {.turn = sy_mat3_identity(), .aboard = true};
  if (crossed != NULL) *crossed = (sy_vec3){0, 0, 0};
  if (c.me < 0) return sy_fail(err, SY_UNKNOWN, "ledger", NULL, "is of a family that no pairing leads to");
  for (size_t i = 0; i < m->pairings; i++) c.walked[i + 1].pairing = m->pairing[i];
  for (size_t i = 0; i < m->records; i++) {
    c.record_family[i] = family_index(m, m->record[i].adjusted->family);
    top.in[i] = c.record_family[i] == c.me ? m->record[i].adjusted->root : NULL;
    top.by[i] = pull_of(m, &m->record[i]);
  }
  sy_measured_common(m, ledger->family, c.common);
  node *root = correct_group(&c, ledger->root, &top);
  if (c.weighed != NULL)
    return sy_fail(err, SY_CLASH, sy_label_name(&c.weighed->head), "whole",
                   "counts as it was weighed, so records cannot correct what is in it");
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
  return sy_measured_apply(m, ledger, true, NULL, out, err);
}

const sy_measured *sy_ledger_measured(const sy_ledger *ledger) {
  return (const sy_measured *)(const void *)ledger->measured;
}
