/* answer_errors.h - the errors that ledgers state, and the ledgers' sums under any set of them, added up apart from the library: what
** brute-force differences and simulations of answers go by.
**
** Errors   are keyed by what states them (line, kind, value, standard uncertainty), so one that two ledgers share is one. A drawn error is
**          given in standard uncertainties. The sums are those of the masses and places with their errors, products and all.
*/
#ifndef SY_TESTS_ANSWER_ERRORS_H
#define SY_TESTS_ANSWER_ERRORS_H

#include "ledger_tools.h"

/* ---- errors, and ledgers as lists of pieces -------------------------------------------------------------------------------------- */

enum { MOST_ERRORS = 400, MOST_PIECES = 64, MASS_KINDS = 5, PLACE_KIND = 5, BIAS_KIND = 8, GAIN_KIND = 9 };

typedef struct error_key {
  uint64_t line; /* identity; of an instrument its number */
  int kind;      /* 0..4 mass errors, 5..7 the place along x, y, z, 8 and 9 bias and gain */
  double value, sd;
} error_key;

typedef struct error_list {
  error_key error[MOST_ERRORS];
  int count;
} error_list;

typedef struct piece {
  sy_part part;
  sy_fill fill;
  sy_frame outer;
  bool mirrored;
  sy_vec3 normal;
  int error[8], bias, gain; /* -1: none */
} piece;

typedef struct pieces {
  piece piece[MOST_PIECES];
  int count;
} pieces;

/* The error of that key, distinguished by everything in it. */
static inline int error_of(error_list *list, error_key key) {
  if (!(key.sd > 0)) return -1;
  for (int i = 0; i < list->count; i++) {
    const error_key *e = &list->error[i];
    if (e->line == key.line && e->kind == key.kind && e->value == key.value && e->sd == key.sd) return i;
  }
  assert_true(list->count < MOST_ERRORS);
  list->error[list->count] = key;
  return list->count++;
}

typedef struct gathering {
  const sy_ledger *ledger;
  error_list *errors;
  pieces *out;
} gathering;

static inline bool gather_item(void *user, const sy_item *item) {
  gathering *g = user;
  if (item->part == NULL || !item->aboard) return true;
  assert_true(g->out->count < MOST_PIECES);
  piece *p = &g->out->piece[g->out->count++];
  *p = (piece){.part = *item->part, .outer = item->outer, .bias = -1, .gain = -1};
  uint64_t line = item->part->id;
  if (item->side) {
    sy_route route = item->route;
    sy_item pair;
    route.depth--;
    must(sy_ledger_item(g->ledger, &route, &pair, NULL), NULL);
    line = pair.group->id;
    p->normal = pair.group->twin_normal;
    p->mirrored = (p->part.flags & SY_PART_MIRRORED) != 0;
  }
  const sy_part *q = &p->part;
  for (int k = 0; k < 8; k++) p->error[k] = -1;
  p->error[0] = error_of(g->errors, (error_key){line, 0, q->mass, q->mass_sd});
  if (q->fill != NULL) {
    const sy_fill *f = &p->fill;
    p->fill = *q->fill;
    p->part.fill = f;
    p->error[1] = error_of(g->errors, (error_key){line, 1, f->dry, f->dry_sd});
    p->error[2] = error_of(g->errors, (error_key){line, 2, f->density, f->density_sd});
    p->error[3] = error_of(g->errors, (error_key){line, 3, f->volume, f->volume_sd});
    p->error[4] = error_of(g->errors, (error_key){line, 4, 0, f->share_sd});
  }
  const double sd[3] = {q->cg_sd.x, q->cg_sd.y, q->cg_sd.z};
  const double stated[3] = {q->cg_stated.x, q->cg_stated.y, q->cg_stated.z};
  for (int k = 0; k < 3; k++)
    p->error[PLACE_KIND + k] = error_of(g->errors, (error_key){line, PLACE_KIND + k, stated[k], sd[k]});
  if (q->instrument != 0) {
    sy_instrument list[SY_MAX_INSTRUMENTS];
    sy_ledger_instruments(g->ledger, list);
    const sy_instrument *i = &list[q->instrument - 1];
    p->bias = error_of(g->errors, (error_key){q->instrument, BIAS_KIND, 0, i->bias_sd});
    p->gain = error_of(g->errors, (error_key){q->instrument, GAIN_KIND, 0, i->gain_sd});
  }
  return true;
}

static inline void gather(const sy_ledger *ledger, error_list *errors, pieces *out) {
  gathering g = {ledger, errors, out};
  out->count = 0;
  sy_ledger_visit(ledger, gather_item, &g);
  for (int i = 0; i < out->count; i++)
    if (out->piece[i].part.fill != NULL) out->piece[i].part.fill = &out->piece[i].fill;
}

/* ---- sums ------------------------------------------------------------------------------------------------------------------------ */

/* What error number i is in this draw, in its own unit. */
static inline double drawn_error(const error_list *errors, const double *draw, int i) {
  return i < 0 ? 0.0 : draw[i] * errors->error[i].sd;
}

static inline void add_mass_at(sy_sums *s, double mass, sy_vec3 at) {
  const sy_sums more = {mass,
                        sy_vec3_scale(mass, at),
                        {mass * at.x * at.x, mass * at.y * at.y, mass * at.z * at.z, mass * at.x * at.y,
                         mass * at.x * at.z, mass * at.y * at.z}};
  *s = sy_sums_add(s, &more);
}

/* The sums of one piece with its errors, in its group's frame. */
static inline sy_sums sums_of_piece(const piece *p, const error_list *errors, const double *draw) {
  const sy_part *q = &p->part;
  const double e[3] = {drawn_error(errors, draw, p->error[5]), drawn_error(errors, draw, p->error[6]),
                       drawn_error(errors, draw, p->error[7])};
  sy_vec3 off = {e[0], e[1], e[2]};
  if (p->mirrored) off = sy_vec3_muladd(off, -2 * sy_vec3_dot(p->normal, off), p->normal);
  const sy_vec3 at = sy_vec3_add(q->cg, off);
  const double n = q->count;
  const double by_scale =
      q->bias_share * drawn_error(errors, draw, p->bias) + q->gain_mass * drawn_error(errors, draw, p->gain);
  const double plain = q->mass + drawn_error(errors, draw, p->error[0]) + by_scale;
  sy_sums s = {0, {0, 0, 0}, {0, 0, 0, 0, 0, 0}};
  double mass = plain;
  add_mass_at(&s, n * plain, at);
  if (q->fill != NULL) {
    const sy_fill *f = q->fill;
    const double effect[5] = {0, 1, f->volume, f->density, q->mass};
    const sy_vec3 arm[5] = {{0, 0, 0}, f->dry_arm, f->liquid_arm, f->surface_arm, {0, 0, 0}};
    for (int k = 1; k < 5; k++) {
      const double more = effect[k] * drawn_error(errors, draw, p->error[k]);
      add_mass_at(&s, n * more, sy_vec3_add(at, arm[k]));
      mass += more;
    }
  }
  const double size = q->flags & SY_PART_SOLID && q->mass > 0 ? mass / q->mass : 1.0;
  const sy_sym3 j = sy_sym3_scale(n * size, q->inertia);
  const double half = 0.5 * (j.xx + j.yy + j.zz);
  s.second = sy_sym3_add(s.second, (sy_sym3){half - j.xx, half - j.yy, half - j.zz, -j.xy, -j.xz, -j.yz});
  return s;
}

static inline void carry(sy_totals *t, unsigned carrier, sy_sums s) {
  t->carried[carrier] = sy_sums_add(&t->carried[carrier], &s);
  t->carriers |= 1u << carrier;
}

/* What a piece weighs now, by who carries it. */
static inline void carry_piece(sy_totals *t, const sy_unsprung *by, const sy_sums *s) {
  double body = 1.0;
  for (unsigned k = 0; k < by->count; k++) {
    body -= by->fraction[k];
    if (by->fraction[k] != 0.0) carry(t, by->carrier[k], sy_sums_scale(by->fraction[k], s));
  }
  if (body != 0.0) carry(t, SY_CARRIER_BODY, sy_sums_scale(body, s));
}

/* All sums with these errors. draw NULL: none.
** as_body  errors of unsprung parts are the body's, as answers that are differenced take them */
static inline void sums_with(const pieces *list, const error_list *errors, const double *draw, bool as_body,
                             sy_totals *out) {
  static const double none[MOST_ERRORS];
  memset(out, 0, sizeof *out);
  for (int i = 0; i < list->count; i++) {
    const piece *p = &list->piece[i];
    const sy_sums inside = sums_of_piece(p, errors, draw != NULL ? draw : none),
                  plain = as_body ? sums_of_piece(p, errors, none) : inside;
    const sy_sums s = sy_sums_place(&inside, &p->outer), booked = sy_sums_place(&plain, &p->outer);
    const sy_sums less = sy_sums_scale(-1.0, &booked);
    out->all = sy_sums_add(&out->all, &s);
    carry_piece(out, &p->part.unsprung, &booked);
    if (as_body) carry(out, SY_CARRIER_BODY, sy_sums_add(&s, &less));
  }
}

#endif
