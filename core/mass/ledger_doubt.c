/* ledger_doubt.c - variances of answers and of their changes, from the errors of single parts.
**
** Both are one walk over two ledgers at once (an empty one for a plain variance). Every error that the two share is met once,
** with the difference of what it does to the two answers; nothing is found by subtracting nearly equal variances.
*/
#include <string.h>

#include "mass/ledger_node.h"

enum { BLOCK = 8 }; /* answers a walk */

/* One placed part in one of the two ledgers. sign +1: `to`, -1: `from`. */
typedef struct piece {
  const sy_part *part;
  const sy_sensitivity *slopes;
  double sign;
  const sy_vec3 *mirror; /* the image in a pair: normal of the plane; else NULL */
} piece;

/* What one unit of an instrument's bias and of its gain error does to each answer. */
typedef struct common_effect {
  double bias[BLOCK], gain[BLOCK];
} common_effect;

typedef struct walk {
  size_t count; /* answers */
  bool flat;    /* all slopes are */
  double *variance;
  common_effect *common; /* one an instrument */
} walk;

static double carried_fraction(const sy_part *p, unsigned carriers) {
  if (carriers == SY_ALL_CARRIERS) return 1.0;
  double body = 1.0, sum = 0;
  for (unsigned i = 0; i < p->carry.count; i++) {
    body -= p->carry.fraction[i];
    if (carriers >> p->carry.carrier[i] & 1u) sum += p->carry.fraction[i];
  }
  return carriers & 1u ? sum + body : sum;
}

static sy_vec3 apply_sym(sy_sym3 g, sy_vec3 r) {
  return (sy_vec3){g.xx * r.x + g.xy * r.y + g.xz * r.z, g.xy * r.x + g.yy * r.y + g.yz * r.z,
                   g.xz * r.x + g.yz * r.y + g.zz * r.z};
}

/* What one kilogram more of each piece, lying at `at`, does to the answer. A solid's own moments grow with its mass. */
static double mass_effect_at(const piece *p, const sy_sensitivity *g, sy_vec3 at) {
  double effect = g->m + sy_vec3_dot(g->first, at);
  if (!g->flat) {
    effect += sy_sym3_quadratic(g->second, at);
    if (p->part->flags & SY_PART_SOLID && p->part->mass > 0) {
      const sy_sym3 j = p->part->inertia;
      const double half = 0.5 * (j.xx + j.yy + j.zz);
      const double own = g->second.xx * (half - j.xx) + g->second.yy * (half - j.yy) +
                         g->second.zz * (half - j.zz) -
                         2.0 * (g->second.xy * j.xy + g->second.xz * j.xz + g->second.yz * j.yz);
      effect += own / p->part->mass;
    }
  }
  return p->sign * (double)p->part->count * carried_fraction(p->part, g->carriers) * effect;
}

static double mass_effect(const piece *p, const sy_sensitivity *g) {
  return mass_effect_at(p, g, p->part->cg);
}

/* What one unit of a mass error does. */
static double error_effect(const piece *p, const sy_sensitivity *g, int kind) {
  if (kind == 0) return mass_effect(p, g);
  const mass_error e = sy_mass_error_of(p->part, kind);
  return e.effect * mass_effect_at(p, g, sy_vec3_add(p->part->cg, e.arm));
}

/* What one metre of error of its place does, along the directions of the error as stated. */
static sy_vec3 place_effect(const piece *p, const sy_sensitivity *g) {
  sy_vec3 effect = g->first;
  if (!g->flat) effect = sy_vec3_muladd(effect, 2.0, apply_sym(g->second, p->part->cg));
  effect = sy_vec3_scale(
      p->sign * (double)p->part->count * p->part->mass * carried_fraction(p->part, g->carriers), effect);
  return p->mirror != NULL ? sy_twin_reflect(*p->mirror, effect) : effect;
}

/* Which pieces of a line are the first to state a place: each such statement is one error. */
static void first_places(const piece *pieces, size_t count, bool *place) {
  for (size_t i = 0; i < count; i++) {
    place[i] = true;
    for (size_t j = 0; j < i; j++)
      place[i] = place[i] && !sy_same_place_statement(pieces[j].part, pieces[i].part);
  }
}

/* One piece alone, as in every walk over a single ledger. */
static void add_piece(const walk *w, const piece *p) {
  const sy_vec3 sd = p->part->cg_sd;
  for (size_t k = 0; k < w->count; k++) {
    const double mass = mass_effect(p, &p->slopes[k]) * p->part->mass_sd;
    const sy_vec3 place = place_effect(p, &p->slopes[k]);
    const double x = place.x * sd.x, y = place.y * sd.y, z = place.z * sd.z;
    w->variance[k] += mass * mass + x * x + y * y + z * z;
    for (int kind = 1; kind < sy_mass_error_count(p->part); kind++) {
      const double of_fill = error_effect(p, &p->slopes[k], kind) * sy_mass_error_of(p->part, kind).sd;
      w->variance[k] += of_fill * of_fill;
    }
  }
}

/* One kind of mass error of the pieces of a line: statements that are the same are one error. */
static void add_mass_errors(const walk *w, const piece *pieces, size_t count, int kind) {
  bool met[4] = {false, false, false, false};
  for (size_t i = 0; i < count; i++) {
    if (met[i] || kind >= sy_mass_error_count(pieces[i].part)) continue;
    const double sd = sy_mass_error_of(pieces[i].part, kind).sd;
    if (!(sd > 0)) continue; /* nor has any that states the same */
    bool same[4] = {false, false, false, false};
    for (size_t j = i; j < count; j++) {
      same[j] = !met[j] && (j == i || sy_same_mass_error(pieces[i].part, pieces[j].part, kind));
      met[j] = met[j] || same[j];
    }
    for (size_t k = 0; k < w->count; k++) {
      double effect = 0;
      for (size_t j = i; j < count; j++)
        if (same[j]) effect += error_effect(&pieces[j], &pieces[j].slopes[k], kind);
      w->variance[k] += effect * sd * (effect * sd);
    }
  }
}

/* Pieces of one booked line (at most four: a pair in two ledgers): those that state the same have one error, so their
** effects add before they are squared. */
static void add_line(const walk *w, const piece *pieces, size_t count) {
  if (count == 1) {
    add_piece(w, pieces);
    return;
  }
  bool first_place[4];
  for (int kind = 0; kind < MASS_ERRORS; kind++) add_mass_errors(w, pieces, count, kind);
  first_places(pieces, count, first_place);
  for (size_t i = 0; i < count; i++) {
    const sy_part *p = pieces[i].part;
    const bool doubted = p->cg_sd.x > 0 || p->cg_sd.y > 0 || p->cg_sd.z > 0;
    for (size_t k = 0; k < w->count; k++) {
      sy_vec3 place = {0, 0, 0};
      for (size_t j = i; j < count; j++) {
        if (first_place[i] && doubted && sy_same_place_statement(pieces[j].part, p))
          place = sy_vec3_add(place, place_effect(&pieces[j], &pieces[j].slopes[k]));
      }
      const double x = place.x * p->cg_sd.x, y = place.y * p->cg_sd.y, z = place.z * p->cg_sd.z;
      w->variance[k] += x * x + y * y + z * z;
    }
  }
}

/* Errors of the scales are met again and again on the way: their effects are gathered and squared at the end. */
static void add_common(const walk *w, const piece *pieces, size_t count) {
  for (size_t i = 0; i < count; i++) {
    const sy_part *p = pieces[i].part;
    if (p->instrument == 0) continue;
    common_effect *c = &w->common[p->instrument - 1];
    for (size_t k = 0; k < w->count; k++) {
      const double effect = mass_effect(&pieces[i], &pieces[i].slopes[k]);
      c->bias[k] += effect * p->bias_share;
      c->gain[k] += effect * p->gain_mass;
    }
  }
}

static void square_common(const walk *w, const family *f) {
  for (size_t i = 0; i < f->instrument_count; i++)
    for (size_t k = 0; k < w->count; k++) {
      const double bias = w->common[i].bias[k] * f->instrument[i].bias_sd;
      const double gain = w->common[i].gain[k] * f->instrument[i].gain_sd;
      w->variance[k] += bias * bias + gain * gain;
    }
}

static uint64_t item_id(const node *n) {
  return n->kind == NODE_PART ? ((const part_node *)n)->part.id : ((const group_node *)n)->group.id;
}

/* One side of a pair, if it is aboard; returns the number of pieces. */
static size_t pair_piece(const group_node *g, uint32_t side, const sy_sensitivity *slopes, double sign,
                         piece *out) {
  if (g == NULL || side >= g->children) return 0;
  const part_node *p = (const part_node *)sy_branch_item(g->root, side);
  if (!sy_node_aboard(&p->head)) return 0;
  *out = (piece){&p->part, slopes, sign, p->part.flags & SY_PART_MIRRORED ? &g->group.twin_normal : NULL};
  return 1;
}

static void walk_two(const walk *w, const node *from, const node *to, const sy_sensitivity *sf,
                     const sy_sensitivity *st);

/* The slopes of a group's surroundings, taken inside. NULL stays NULL. */
static const sy_sensitivity *slopes_inside(const walk *w, const group_node *g, const sy_sensitivity *slopes,
                                           sy_sensitivity *room) {
  if (g == NULL) return NULL;
  for (size_t k = 0; k < w->count; k++) room[k] = sy_sensitivity_inside(&slopes[k], &g->group.frame);
  return room;
}

static void walk_groups(const walk *w, const group_node *from, const group_node *to, const sy_sensitivity *sf,
                        const sy_sensitivity *st) {
  sy_sensitivity room_from[BLOCK] = {{0}}, room_to[BLOCK] = {{0}};
  sf = slopes_inside(w, from, sf, room_from);
  st = slopes_inside(w, to, st, room_to);
  if ((from != NULL && from->group.twin) || (to != NULL && to->group.twin)) {
    piece pieces[4];
    size_t count = 0;
    /* side by side: what did not change then cancels to nothing */
    for (uint32_t side = 0; side < 2; side++) {
      count += pair_piece(from, side, sf, -1.0, pieces + count);
      count += pair_piece(to, side, st, 1.0, pieces + count);
    }
    add_line(w, pieces, count);
    add_common(w, pieces, count);
    return;
  }
  const node *bf = from != NULL && from->root != NULL ? &from->root->head : NULL;
  const node *bt = to != NULL && to->root != NULL ? &to->root->head : NULL;
  walk_two(w, bf, bt, sf, st);
}

/* A branch both have: its errors act through the difference of the slopes, those of the scales added to what is met elsewhere. */
static void add_shared_branch(const walk *w, const branch *b, const sy_sensitivity *sf,
                              const sy_sensitivity *st) {
  sy_cov4 cov;
  for (int i = 0; i < 10; i++) cov.c[i] = sy_exact_value(b->tally.cov[i]);
  for (size_t k = 0; k < w->count; k++) {
    sy_sensitivity d = st[k];
    d.m -= sf[k].m;
    d.first = sy_vec3_sub(d.first, sf[k].first);
    w->variance[k] += sy_cov4_variance(&cov, &d);
    const double slope[4] = {d.m, d.first.x, d.first.y, d.first.z};
    const scale_sums *scale = sy_branch_scales(b);
    for (unsigned s = 0; b->scales >> s != 0; s++)
      if (b->scales >> s & 1u) {
        for (int i = 0; i < 4; i++) {
          w->common[s].bias[k] += slope[i] * sy_exact_value((*scale)[i]);
          w->common[s].gain[k] += slope[i] * sy_exact_value((*scale)[4 + i]);
        }
        scale++;
      }
  }
}

static void walk_branches(const walk *w, const branch *from, const branch *to, const sy_sensitivity *sf,
                          const sy_sensitivity *st) {
  if (from == to && w->flat) {
    add_shared_branch(w, from, sf, st);
    return;
  }
  const uint8_t level_from = from != NULL ? from->head.level : 0, level_to = to != NULL ? to->head.level : 0;
  if (from != NULL && to != NULL &&
      level_from != level_to) { /* one has grown a level: the other is its first child */
    const branch *tall = level_from > level_to ? from : to;
    for (size_t i = 0; i < tall->head.used; i++) {
      const branch *deep = (const branch *)tall->child[i];
      const bool first = i == 0;
      walk_branches(w,
                    tall == from ? deep
                    : first      ? from
                                 : NULL,
                    tall == to ? deep
                    : first    ? to
                               : NULL,
                    sf, st);
    }
    return;
  }
  const size_t nf = from != NULL ? from->head.used : 0, nt = to != NULL ? to->head.used : 0;
  for (size_t i = 0; i < nf || i < nt; i++)
    walk_two(w, i < nf ? from->child[i] : NULL, i < nt ? to->child[i] : NULL, sf, st);
}

/* What both have as it is acts through the difference of the slopes: one walk over it instead of two side by side. False when
** the two answers are not about the same carriers. */
static bool walk_shared(const walk *w, const node *both, const sy_sensitivity *sf, const sy_sensitivity *st) {
  sy_sensitivity d[BLOCK];
  for (size_t k = 0; k < w->count; k++) {
    if (sf[k].carriers != st[k].carriers) return false;
    d[k] = (sy_sensitivity){st[k].m - sf[k].m, sy_vec3_sub(st[k].first, sf[k].first),
                            sy_sym3_add(st[k].second, sy_sym3_scale(-1, sf[k].second)), st[k].carriers,
                            st[k].flat && sf[k].flat};
  }
  walk_two(w, NULL, both, NULL, d);
  return true;
}

/* Depth is bounded by SY_MAX_PATH, so the recursion is. */
static void walk_two(const walk *w, const node *from, const node *to, const sy_sensitivity *sf,
                     const sy_sensitivity *st) {
  const node *any = from != NULL ? from : to;
  if (any == NULL) return;
  if (from == to && !w->flat && walk_shared(w, from, sf, st)) return;
  if (any->kind == NODE_BRANCH) {
    walk_branches(w, (const branch *)from, (const branch *)to, sf, st);
    return;
  }
  if (from != NULL && !sy_node_aboard(from)) from = NULL;
  if (to != NULL && !sy_node_aboard(to)) to = NULL;
  if (from != NULL && to != NULL && (item_id(from) != item_id(to) || from->kind != to->kind)) {
    walk_two(w, from, NULL, sf,
             NULL); /* two cars that grew apart: other items at the same place in the list */
    from = NULL;
  }
  any = from != NULL ? from : to;
  if (any == NULL) return;
  if (any->kind == NODE_GROUP) {
    walk_groups(w, (const group_node *)from, (const group_node *)to, sf, st);
    return;
  }
  piece pieces[2];
  size_t count = 0;
  if (from != NULL) pieces[count++] = (piece){&((const part_node *)from)->part, sf, -1.0, NULL};
  if (to != NULL) pieces[count++] = (piece){&((const part_node *)to)->part, st, 1.0, NULL};
  add_line(w, pieces, count);
  add_common(w, pieces, count);
}

static bool whole_flat(const sy_sensitivity *s) { return s->flat && s->carriers == SY_ALL_CARRIERS; }

/* Up to BLOCK answers that are walked together: a flat one lets whole branches be skipped, which one that is not would forbid
** all others. */
typedef struct block {
  sy_sensitivity from[BLOCK], to[BLOCK];
  size_t answer[BLOCK], count;
} block;

/* The next answers from *next on that are flat in both ledgers, or are not, as asked. slopes_from may be NULL. */
static block next_block(const sy_sensitivity *slopes_from, const sy_sensitivity *slopes_to, size_t count,
                        bool flat, size_t *next) {
  block b;
  b.count = 0;
  for (; *next < count && b.count < BLOCK; ++*next) {
    const sy_sensitivity *from = slopes_from != NULL ? &slopes_from[*next] : NULL, *to = &slopes_to[*next];
    if ((whole_flat(to) && (from == NULL || whole_flat(from))) != flat) continue;
    if (from != NULL) b.from[b.count] = *from;
    b.to[b.count] = *to;
    b.answer[b.count++] = *next;
  }
  return b;
}

static void scatter(const block *b, const double *of_block, double *variance) {
  for (size_t k = 0; k < b->count; k++) variance[b->answer[k]] = of_block[k];
}

void sy_ledger_change_variance(const sy_ledger *from, const sy_ledger *to, const sy_sensitivity *slopes_from,
                               const sy_sensitivity *slopes_to, size_t count, double *variance) {
  const bool related = from->family == to->family; /* else equal numbers do not mean the same part */
  for (int flat = 0; flat < 2; flat++)
    for (size_t next = 0; next < count;) {
      const block b = next_block(slopes_from, slopes_to, count, flat != 0, &next);
      if (b.count == 0) break;
      double found[BLOCK] = {0};
      common_effect common[SY_MAX_INSTRUMENTS] = {{{0}, {0}}};
      const walk w = {b.count, flat != 0, found, common};
      walk_two(&w, &from->root->head, related ? &to->root->head : NULL, b.from, b.to);
      square_common(&w, from->family);
      if (!related) {
        memset(common, 0, sizeof common);
        walk_two(&w, NULL, &to->root->head, b.from, b.to);
        square_common(&w, to->family);
      }
      scatter(&b, found, variance);
    }
}

void sy_ledger_variance(const sy_ledger *ledger, const sy_sensitivity *slopes, size_t count,
                        double *variance) {
  sy_totals totals;
  bool any_flat = false;
  for (size_t i = 0; i < count; i++) any_flat = any_flat || whole_flat(&slopes[i]);
  if (any_flat) sy_ledger_totals(ledger, &totals);
  for (size_t i = 0; i < count; i++)
    if (whole_flat(&slopes[i])) variance[i] = sy_cov4_variance(&totals.cov, &slopes[i]);
  for (size_t next = 0; next < count;) {
    const block b = next_block(NULL, slopes, count, false, &next);
    if (b.count == 0) break;
    double found[BLOCK] = {0};
    common_effect common[SY_MAX_INSTRUMENTS] = {{{0}, {0}}};
    const walk w = {b.count, false, found, common};
    walk_two(&w, NULL, &ledger->root->head, NULL, b.to);
    square_common(&w, ledger->family);
    scatter(&b, found, variance);
  }
}
