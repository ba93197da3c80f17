#include "mass/whole.h"

#include <math.h>
#include <string.h>

#include "mass/ledger_check.h"
#include "mass/propagate_walk.h"

sy_weighed_whole sy_weighed_whole_default(void) {
  sy_weighed_whole w;
  memset(&w, 0, sizeof w);
  w.mass = (double)NAN;
  return w;
}

/* ---- what remains uncertain --------------------------------------------------------------------------------------------- */

/* By the walk that every answer takes: the pieces as they are, less as they were weighed. */
static void covariance(const group_node *g, sy_cov4 *out) {
  const sy_sensitivity none = {.carriers = SY_ALL_CARRIERS, .flat = true};
  sy_sensitivity now[SY_WALK_ANSWERS] = {none, none, none, none}, weighed[SY_WALK_ANSWERS];
  now[0].m = now[1].first.x = now[2].first.y = now[3].first.z = 1;
  for (int k = 0; k < 4; k++) weighed[k] = sy_weighed_sensitivity(g->weighing, &now[k]);
  const roots both = {2, {{&g->root->head, now}, {&g->weighing->pieces->head, weighed}}};
  sum_of_errors sum;
  memset(&sum, 0, sizeof sum);
  sum.count = 4;
  sum.crossed = true;
  const walked_family alone = {&both, NULL};
  term_walk walk = {.sum = &sum, .flat = true, .family = &alone, .families = 1};
  for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++) walk.slots.of[0][i] = (uint8_t)i;
  sy_walk_terms(&walk);
  int at = 0;
  for (int i = 0; i < 4; i++)
    for (int k = i; k < 4; k++) out->c[at++] = i == k ? sum.variance[i] : sum.product[i][k];
}

/* ---- checks --------------------------------------------------------------------------------------------------------------- */

static bool good_sd(sy_vec3 v) { return sy_vec3_finite(v) && v.x >= 0 && v.y >= 0 && v.z >= 0; }

static sy_status check_whole(const sy_weighed_whole *w, sy_error *err) {
  if (!(w->mass > 0 && isfinite(w->mass)))
    return sy_fail(err, SY_RANGE, "whole", "mass", "is %g kg, must be above 0", w->mass);
  if (!(w->mass_sd >= 0 && isfinite(w->mass_sd)))
    return sy_fail(err, SY_RANGE, "whole", "mass", "has an uncertainty of %g kg, must be >= 0", w->mass_sd);
  if (w->has_cg && !(sy_vec3_finite(w->cg) && good_sd(w->cg_sd)))
    return sy_fail(err, SY_RANGE, "whole", "cg", "is not finite or has an uncertainty below 0");
  const sy_sym3 sd = w->inertia_sd;
  if (w->has_inertia && !(sy_sym3_finite(w->inertia) && sy_sym3_finite(sd) && sd.xx >= 0 && sd.yy >= 0 &&
                          sd.zz >= 0 && sd.xy >= 0 && sd.xz >= 0 && sd.yz >= 0))
    return sy_fail(err, SY_RANGE, "whole", "inertia", "is not finite or has an uncertainty below 0");
  return SY_OK;
}

/* The item after `depth` steps of the route, NULL when there is none; *wholes: groups on the way that count as weighed. */
static const node *find_node(const sy_ledger *ledger, const sy_route *route, uint32_t depth, int *wholes) {
  const node *n = &ledger->root->head;
  for (uint32_t d = 0; d < depth; d++) {
    const group_node *g = (const group_node *)n;
    if (n->kind != NODE_GROUP || route->child[d] >= g->children) return NULL;
    *wholes += g->weighing != NULL;
    n = sy_branch_item(g->root, route->child[d]);
  }
  return n;
}

/* Most groups inside one another below a node that count as weighed. Depth is bounded as the tree is. */
static int deepest(const node *n) {
  int most = 0;
  if (n->kind == NODE_GROUP) {
    const group_node *g = (const group_node *)n;
    return (g->root != NULL ? deepest(&g->root->head) : 0) + (g->weighing != NULL);
  }
  const branch *b = (const branch *)n;
  for (size_t i = 0; n->kind == NODE_BRANCH && i < n->used; i++) {
    const int inside = deepest(b->child[i]);
    if (inside > most) most = inside;
  }
  return most;
}

/* The group and the line, as the header asks for them. */
static sy_status find(const sy_ledger *pieces, const sy_ledger *ledger, const sy_route *line,
                      const group_node **before, const part_node **out, sy_error *err) {
  int wholes = 0, ignored = 0;
  if (pieces->measured != NULL || ledger->measured != NULL)
    return sy_fail(err, SY_CLASH, "whole", "pieces", "are as records correct them, not as they were weighed");
  if (line->depth < 2 || line->depth > SY_MAX_NESTING)
    return sy_fail(err, SY_UNKNOWN, "whole", "line", "lies in no group");
  const node *group = find_node(ledger, line, line->depth - 1, &wholes);
  const node *item = find_node(ledger, line, line->depth, &ignored),
             *was = find_node(pieces, line, line->depth - 1, &ignored);
  if (group == NULL || item == NULL || was == NULL)
    return sy_fail(err, SY_UNKNOWN, "whole", "line", "is not there");
  const uint32_t at = line->child[line->depth - 1];
  const group_node *now = (const group_node *)group, *then = (const group_node *)was;
  if (pieces->family != ledger->family || was->kind != NODE_GROUP || now->group.id != then->group.id ||
      item->kind != NODE_PART || at + 1 != now->children || then->children != at || now->weighing != NULL)
    return sy_fail(err, SY_CLASH, "whole", "line",
                   "is not the last of a group that had all its other children when it was weighed");
  if (then->root == NULL) return sy_fail(err, SY_MISSING, "whole", "pieces", "are missing");
  if (wholes + deepest(was) >= SY_MOST_WHOLES)
    return sy_fail(err, SY_LIMIT, "whole", "groups",
                   "that count as weighed lie inside one another, at most %d may", (int)SY_MOST_WHOLES);
  *before = then;
  *out = (const part_node *)item;
  return SY_OK;
}

/* ---- booking -------------------------------------------------------------------------------------------------------------- */

/* How far the mass of the pieces lies from their cg, by axis: of the inertia about it, half its trace less itself. */
static sy_vec3 spread_of(const sy_massprops *sum) {
  const sy_sym3 j = sum->inertia;
  const double half = 0.5 * (j.xx + j.yy + j.zz), m = sum->mass;
  return (sy_vec3){sqrt(fmax(0, half - j.xx) / m), sqrt(fmax(0, half - j.yy) / m),
                   sqrt(fmax(0, half - j.zz) / m)};
}

/* The line: (mass, moment, second moments) of the whole less those of the pieces. */
static sy_part line_of(const sy_part *as_booked, const sy_massprops *sum, const sy_weighed_whole *w,
                       sy_whole *more) {
  sy_part p = *as_booked;
  p.mass = w->mass - sum->mass;
  p.mass_sd = w->mass_sd;
  p.cg = sum->cg;
  p.cg_sd = w->has_cg ? w->cg_sd : spread_of(sum);
  p.cg_stated = w->has_cg ? w->cg : (sy_vec3){0, 0, 0};
  *more = (sy_whole){.mass = w->mass, .stated = w->mass, .moved = w->has_cg ? w->mass : p.mass};
  if (w->has_cg) more->arm = sy_vec3_sub(w->cg, sum->cg);
  const sy_vec3 a = more->arm;
  const double square = sy_vec3_dot(a, a), m = w->mass;
  p.inertia = (sy_sym3){m * (square - a.x * a.x), m * (square - a.y * a.y), m * (square - a.z * a.z),
                        -m * a.x * a.y,           -m * a.x * a.z,           -m * a.y * a.z};
  p.flags &= ~(uint32_t)(SY_PART_POINT | SY_PART_SOLID | SY_PART_USUAL);
  if (w->has_inertia) {
    p.inertia = sy_sym3_add(p.inertia, sy_sym3_add(w->inertia, sy_sym3_scale(-1.0, sum->inertia)));
    more->inertia_sd = w->inertia_sd;
  }
  p.whole = more;
  return p;
}

static const sy_part *line_of_whole(const group_node *g) {
  return &((const part_node *)sy_branch_item(g->root, g->weighing->line))->part;
}

/* Of what lies below a branch; all 0 without mass. */
static sy_massprops sum_of(const branch *b) {
  amount a;
  sy_totals t;
  a.carriers = a.scales = 0;
  memset(&a.tally, 0, sizeof a.tally);
  (void)sy_amount_add(&a, &b->head); /* its sums were found to fit when it was built */
  sy_amount_totals(&a, &t);
  return t.all.m > 0 ? sy_sums_body(&t.all) : (sy_massprops){0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
}

static weighing *new_weighing(family *f, const group_node *then, uint32_t line, const sy_massprops *sum,
                              const sy_weighed_whole *w) {
  weighing *made = sy_alloc_new(&f->alloc, sizeof *made);
  if (made == NULL) return NULL;
  memset(made, 0, sizeof *made);
  atomic_init(&made->head.refs, 1u);
  made->head.kind = NODE_WEIGHING;
  made->pieces = (branch *)sy_node_share(&then->root->head);
  made->line = line;
  made->mass = sum->mass;
  made->cg = sum->cg;
  made->by_pieces = w->has_cg ? 0.0 : w->mass / sum->mass;
  made->inertia = w->has_inertia;
  made->cov = covariance;
  return made;
}

sy_status sy_ledger_count_whole(const sy_ledger *pieces, const sy_ledger *ledger, const sy_route *line,
                                const sy_weighed_whole *whole, sy_ledger **out, sy_error *err) {
  const group_node *then = NULL;
  const part_node *item = NULL;
  sy_status status = check_whole(whole, err);
  if (status == SY_OK) status = find(pieces, ledger, line, &then, &item, err);
  if (status != SY_OK) return status;
  const sy_massprops sum = sum_of(then->root);
  if (!(sum.mass > 0))
    return sy_fail(err, SY_MISSING, "whole", "pieces", "have no mass, so the whole has no place");
  sy_whole more;
  const sy_part part = line_of(&item->part, &sum, whole, &more);
  sy_ledger *with_line = NULL;
  status = sy_ledger_put(ledger, line, &part, &with_line, err);
  if (status != SY_OK) return status;
  weighing *w = new_weighing(ledger->family, then, line->child[line->depth - 1], &sum, whole);
  sy_route group = *line;
  group.depth--;
  status = w != NULL ? sy_ledger_put_weighing(with_line, &group, w, out, err) : sy_ledger_no_memory(err);
  if (w != NULL) sy_node_release(ledger->family, &w->head);
  sy_ledger_release(with_line);
  return status;
}

/* ---- as one body ---------------------------------------------------------------------------------------------------------- */

static bool same_children(const branch *a, const branch *b, uint32_t count);

static bool same_vector(sy_vec3 a, sy_vec3 b) { return a.x == b.x && a.y == b.y && a.z == b.z; }

static bool same_item(const node *a, const node *b) {
  if (a == b) return true;
  if (a->kind != b->kind || sy_node_aboard(a) != sy_node_aboard(b)) return false;
  if (a->kind == NODE_PART) {
    const sy_part *p = &((const part_node *)a)->part, *q = &((const part_node *)b)->part;
    return p->id == q->id && p->mass == q->mass && p->mass_sd == q->mass_sd && p->count == q->count &&
           same_vector(p->cg, q->cg) && same_vector(p->cg_sd, q->cg_sd) &&
           same_vector(p->cg_stated, q->cg_stated);
  }
  const group_node *g = (const group_node *)a, *h = (const group_node *)b;
  return g->group.id == h->group.id && g->children == h->children && g->weighing == h->weighing &&
         memcmp(&g->group.frame, &h->group.frame, sizeof g->group.frame) == 0 &&
         same_children(g->root, h->root, g->children);
}

/* Depth is bounded by SY_MAX_NESTING, so the recursion is. */
static bool same_children(const branch *a, const branch *b, uint32_t count) {
  if (a == b) return true;
  for (uint32_t i = 0; i < count; i++)
    if (!same_item(sy_branch_item(a, i), sy_branch_item(b, i))) return false;
  return true;
}

/* The place's covariance from that of the moments, which an error of the mass moves by `at` a kilogram. */
static void spread_place(const group_node *g, sy_vec3 at, sy_whole_body *out) {
  sy_cov4 cov;
  covariance(g, &cov);
  const double mass = out->mass_sd * out->mass_sd, square = out->mass * out->mass;
  const sy_sym3 of_place = {
      (cov.c[4] - mass * at.x * at.x) / square, (cov.c[7] - mass * at.y * at.y) / square,
      (cov.c[9] - mass * at.z * at.z) / square, (cov.c[5] - mass * at.x * at.y) / square,
      (cov.c[6] - mass * at.x * at.z) / square, (cov.c[8] - mass * at.y * at.z) / square};
  const sy_eigen3 e = sy_sym3_eigen(of_place);
  const sy_vec3 *a = e.axis;
  out->directions = (sy_mat3){{{a[0].x, a[1].x, a[2].x}, {a[0].y, a[1].y, a[2].y}, {a[0].z, a[1].z, a[2].z}}};
  out->place_sd = (sy_vec3){sqrt(fmax(0, e.value[0])), sqrt(fmax(0, e.value[1])), sqrt(fmax(0, e.value[2]))};
}

bool sy_ledger_whole_body(const sy_ledger *ledger, const sy_route *group, sy_whole_body *out) {
  int ignored = 0;
  const node *n = find_node(ledger, group, group->depth, &ignored);
  if (n == NULL || n->kind != NODE_GROUP || !sy_counts_as_weighed((const group_node *)n)) return false;
  const group_node *g = (const group_node *)n;
  const sy_part *line = line_of_whole(g);
  const sy_massprops sum = sum_of(g->root);
  *out = (sy_whole_body){.mass = sum.mass,
                         .mass_sd = line->mass_sd,
                         .place = sum.cg,
                         .directions = sy_mat3_identity(),
                         .place_sd = line->cg_sd,
                         .instrument = line->instrument,
                         .bias_share = line->bias_share,
                         .gain_mass = line->gain_mass};
  out->unchanged =
      g->children == g->weighing->line + 1 && same_children(g->root, g->weighing->pieces, g->weighing->line);
  if (g->weighing->by_pieces != 0) spread_place(g, sy_vec3_add(line->cg, sy_part_arm(line)), out);
  return true;
}
