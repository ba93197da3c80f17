/* measured_weighed.c - a group that counts as it was weighed, as records leave it.
**
** Its line is the whole less the pieces as they were weighed. So these are corrected as their errors are, and the line is booked again: by the
** weighing's own errors and by what the pieces changed. While they are as they were weighed the group is what the whole is.
*/
#include <math.h>
#include <string.h>

#include "mass/ledger_check.h"
#include "mass/measured_weighed.h"

static bool body_of(const branch *pieces, sy_massprops *out) {
  amount a;
  sy_totals t;
  a.carriers = a.scales = 0;
  memset(&a.tally, 0, sizeof a.tally);
  (void)sy_amount_add(&a, &pieces->head); /* its sums were found to fit when it was built */
  sy_amount_totals(&a, &t);
  if (!(t.all.m > 0)) return false;
  *out = sy_sums_body(&t.all);
  return true;
}

/* The pieces as they were weighed. was: as they were corrected before, or NULL; crossed: of these, in the group's directions. */
static branch *correct_pieces(correction *c, const weighing *w, const branch *was, const level *at,
                              sy_vec3 *crossed) {
  const sy_alloc *alloc = &c->m->alloc;
  const size_t bytes = w->line * sizeof(node *);
  node **children = sy_alloc_new(alloc, bytes);
  if (children == NULL) return NULL;
  level inside = *at;
  inside.turn = sy_mat3_identity(), inside.aboard = true;
  sy_vec3 *outer = c->crossed;
  c->crossed = crossed;
  *crossed = (sy_vec3){0, 0, 0};
  uint32_t made = 0;
  for (; made < w->line; made++) {
    const node *before = was != NULL ? sy_branch_item(was, made) : NULL;
    children[made] = c->child(c, sy_branch_item(w->pieces, made), before, made, &inside);
    if (children[made] == NULL) break;
  }
  c->crossed = outer;
  branch *out = NULL;
  if (made == w->line)
    out = sy_branch_build(c->family, children, w->line, &c->too_large);
  else
    while (made > 0) sy_node_release(c->family, children[--made]);
  sy_alloc_free(alloc, children, bytes);
  return out;
}

/* Takes over `pieces`. whole: the line as stated. */
static weighing *booked_again(correction *c, const weighing *stated, branch *pieces, const sy_part *whole,
                              const corrected_weighing *k) {
  weighing *made = sy_alloc_new(&c->family->alloc, sizeof *made);
  if (made == NULL) {
    sy_node_release(c->family, &pieces->head);
    return NULL;
  }
  memset(made, 0, sizeof *made);
  atomic_init(&made->head.refs, 1u);
  made->head.kind = NODE_WEIGHING;
  made->pieces = pieces;
  made->line = stated->line;
  made->mass = k->after.mass, made->cg = k->after.cg;
  if (stated->by_pieces != 0) {
    made->by_pieces = (whole->whole->mass + k->by.mass) / k->after.mass;
    made->moment = sy_vec3_scale(whole->whole->moved, k->by.place);
  }
  made->inertia = stated->inertia;
  made->cov = stated->cov;
  return made;
}

static corrected_weighing *known(corrected_weighing *k, const weighing *stated) {
  while (k != NULL && k->stated != stated) k = k->next;
  return k;
}

/* The errors of the weighing, as far as they go this time. */
static moved errors_of(const correction *c, const moved *all, const corrected_weighing *before) {
  if (before == NULL) return *all;
  const sy_vec3 more = sy_vec3_sub(all->place, before->by.place);
  return (moved){before->by.mass + c->part * (all->mass - before->by.mass),
                 sy_vec3_muladd(before->by.place, c->part, more),
                 {0, 0, 0}};
}

/* line: of the group, as stated */
static corrected_weighing *add_weighing(correction *c, const weighing *w, const level *at, const node *line) {
  const sy_part *whole = &((const part_node *)line)->part;
  const corrected_weighing *before = c->part != 1 ? known(c->m->weighings, w) : NULL;
  moved by[2];
  corrected_weighing *made = sy_alloc_new(&c->m->alloc, sizeof *made);
  if (made == NULL) return NULL;
  memset(made, 0, sizeof *made);
  c->line_by(c, line, w->line, at, by);
  made->by = errors_of(c, &by[0], before);
  branch *pieces =
      correct_pieces(c, w, before != NULL ? before->corrected->pieces : NULL, at, &made->crossed);
  if (pieces != NULL && body_of(w->pieces, &made->before) && body_of(pieces, &made->after)) {
    made->corrected = booked_again(c, w, pieces, whole, made);
  } else if (pieces != NULL) {
    c->too_large = true; /* nothing left of them: the whole has no place */
    sy_node_release(c->family, &pieces->head);
  }
  if (made->corrected == NULL) {
    sy_alloc_free(&c->m->alloc, made, sizeof *made);
    return NULL;
  }
  made->family = sy_family_share(c->family);
  made->stated = (weighing *)sy_node_share((node *)(uintptr_t)&w->head);
  made->next = *c->weighings;
  return *c->weighings = made;
}

static sy_sym3 inertia_at(double m, sy_vec3 a) { return sy_sym3_scale(m, sy_sym3_steiner(a)); }

/* The line as whole.c books it, by what its whole and its pieces changed. Where only the mass was measured the error of its place is one of
** its moment, of what it was booked with: a mass near 0 lies nowhere. */
static sy_part line_again(const sy_part *stated, const corrected_weighing *k, sy_whole *more) {
  sy_part p = *stated;
  *more = *stated->whole;
  p.flags |= SY_PART_CORRECTED;
  p.mass_stated = stated->mass;
  p.mass += k->by.mass - (k->after.mass - k->before.mass);
  p.cg = sy_ledger_keep_length(sy_vec3_add(p.cg, sy_vec3_sub(k->after.cg, k->before.cg)));
  more->mass += k->by.mass;
  if (k->stated->by_pieces == 0) {
    more->moved = more->mass;
    more->arm = sy_vec3_sub(sy_vec3_add(more->arm, k->by.place), sy_vec3_sub(p.cg, stated->cg));
  } else {
    more->moment = k->corrected->moment;
  }
  p.inertia = sy_sym3_add(p.inertia, sy_sym3_sub(inertia_at(more->mass, more->arm),
                                                 inertia_at(stated->whole->mass, stated->whole->arm)));
  if (k->stated->inertia)
    p.inertia = sy_sym3_add(p.inertia, sy_sym3_sub(k->before.inertia, k->after.inertia));
  p.whole = more;
  return p;
}

/* What the line's moment would have changed by, were it linear in all errors, less what it has. */
static sy_vec3 crossed_by_line(const sy_part *stated, const sy_part *line, const corrected_weighing *k) {
  if (k->stated->by_pieces == 0) return sy_vec3_sub(sy_vec3_scale(k->by.mass, k->by.place), k->crossed);
  const double more = k->after.mass - k->before.mass;
  const sy_vec3 cg = sy_vec3_sub(k->after.cg, k->before.cg),
                first = sy_vec3_add(sy_vec3_sub(sy_vec3_scale(k->after.mass, k->after.cg),
                                                sy_vec3_scale(k->before.mass, k->before.cg)),
                                    k->crossed),
                linear = sy_vec3_scale(1.0 / k->after.mass, sy_vec3_muladd(first, -more, k->after.cg));
  return sy_vec3_sub(sy_vec3_scale(line->mass, linear), sy_vec3_scale(stated->mass, cg));
}

bool sy_correct_weighing(correction *c, const group_node *g, const level *at, weighing **out, node **line) {
  const node *old = sy_branch_item(g->root, g->weighing->line);
  const sy_part *stated = &((const part_node *)old)->part;
  sy_whole more;
  const corrected_weighing *k = known(*c->weighings, g->weighing);
  if (k == NULL) k = add_weighing(c, g->weighing, at, old);
  if (k == NULL) return false;
  const sy_part part = line_again(stated, k, &more);
  if (!sy_part_terms_fit(&part)) {
    c->too_large = true;
    return false;
  }
  part_node *made = sy_node_part(c->family, &part, sy_label_name(old), sy_label_tags(old));
  if (made == NULL) return false;
  if (c->crossed != NULL && at->aboard && sy_node_aboard(old))
    *c->crossed = sy_vec3_add(*c->crossed, sy_mat3_apply(at->turn, crossed_by_line(stated, &part, k)));
  *line = &made->head;
  *out = (weighing *)sy_node_share(&k->corrected->head);
  return true;
}
