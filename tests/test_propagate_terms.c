/* Variances and covariances over several ledgers at once, against the sum over all elementary errors written out one by one: each line of
** each ledger is looked at in the vehicle's frame, by formula, and what one error does in all of them is added up in a table. */
#include <float.h>
#include <math.h>

#include "ledger_tools.h"

enum { ANSWERS = 11, MOST_ERRORS = 4096, MOST_ROUTES = 2048 };

/* ---- the table of errors ------------------------------------------------------------------------------------------------- */

/* An elementary error: of which line, of what (0..4 a mass error, 5..7 a coordinate, 8 bias, 9 gain), and what is stated. */
typedef struct error_of {
  uint64_t line;
  int kind,
      turned; /* turned: 1 for the image of a pair that states itself, along an axis the mirror changes */
  double value, other, sd;
  double effect[ANSWERS];
} error_of;

typedef struct table {
  size_t count;
  error_of error[MOST_ERRORS];
  /* the ledger being added */
  const sy_term *term;
  uint64_t pair; /* identity of the pair around the item, 0: none */
  sy_vec3 normal;
  int family;
  const sy_same_line *lines; /* of a pairing, or NULL */
  const uint64_t (*line_ids)[2];
  size_t line_count;
  const uint32_t *same_instrument;
} table;

static double *effect_of(table *t, error_of key) {
  for (size_t i = 0; i < t->count; i++) {
    const error_of *e = &t->error[i];
    if (e->line == key.line && e->kind == key.kind && e->turned == key.turned && e->other == key.other &&
        e->sd == key.sd && fabs(e->value - key.value) <= 1e-10)
      return t->error[i].effect;
  }
  assert_true(t->count < MOST_ERRORS);
  t->error[t->count] = key;
  return t->error[t->count++].effect;
}

static double coordinate(sy_vec3 v, int axis) { return axis == 0 ? v.x : axis == 1 ? v.y : v.z; }

static double times(sy_sym3 g, sy_vec3 a, sy_vec3 b) {
  return a.x * (g.xx * b.x + g.xy * b.y + g.xz * b.z) + a.y * (g.xy * b.x + g.yy * b.y + g.yz * b.z) +
         a.z * (g.xz * b.x + g.yz * b.y + g.zz * b.z);
}

static double carried(const sy_part *p, unsigned carriers) {
  double body = 1, sum = 0;
  for (unsigned i = 0; i < p->unsprung.count; i++) {
    body -= p->unsprung.fraction[i];
    if (carriers >> p->unsprung.carrier[i] & 1u) sum += p->unsprung.fraction[i];
  }
  return sum + (carriers & 1u ? body : 0);
}

/* A kilogram more of each piece at r, of an own inertia j per kilogram. */
static double of_mass(const sy_sensitivity *g, sy_vec3 r, const sy_sym3 *j) {
  double effect = g->m + sy_vec3_dot(g->first, r) + times(g->second, r, r);
  if (j != NULL) {
    const double half = 0.5 * (j->xx + j->yy + j->zz);
    effect += g->second.xx * (half - j->xx) + g->second.yy * (half - j->yy) + g->second.zz * (half - j->zz) -
              2 * (g->second.xy * j->xy + g->second.xz * j->xz + g->second.yz * j->yz);
  }
  return effect;
}

typedef struct placed {
  const sy_part *part;
  sy_vec3 at;
  sy_sym3 per_kg;
  bool solid;
  sy_mat3 turn; /* of what surrounds it */
} placed;

static void add_mass_error(table *t, const placed *p, error_of key, double size, sy_vec3 arm) {
  double *effect = effect_of(t, key);
  for (int k = 0; k < ANSWERS; k++) {
    const sy_sensitivity *g = &t->term->by[k];
    effect[k] += t->term->sign * (double)p->part->count * carried(p->part, g->carriers) * size *
                 of_mass(g, sy_vec3_add(p->at, sy_mat3_apply(p->turn, arm)), p->solid ? &p->per_kg : NULL);
  }
}

static void add_mass_errors(table *t, const placed *p, uint64_t line) {
  const sy_part *q = p->part;
  const sy_vec3 none = {0, 0, 0};
  add_mass_error(t, p, (error_of){line, 0, 0, q->mass, 0, q->mass_sd, {0}}, 1, none);
  if (q->fill != NULL) {
    const sy_fill *f = q->fill;
    add_mass_error(t, p, (error_of){line, 1, 0, f->dry, 0, f->dry_sd, {0}}, 1, f->dry_arm);
    add_mass_error(t, p, (error_of){line, 2, 0, f->density, 0, f->density_sd, {0}}, f->volume, f->liquid_arm);
    add_mass_error(t, p, (error_of){line, 3, 0, f->volume, 0, f->volume_sd, {0}}, f->density, f->surface_arm);
    add_mass_error(t, p, (error_of){line, 4, 0, 0, 0, f->share_sd, {0}}, q->mass, none);
  }
  if (q->instrument == 0) return;
  static const double bias_sd[SCALES] = {0.002, 0.017, 0.13}, gain_sd[SCALES] = {0.0013, 0, 0.0021};
  uint64_t number = q->instrument;
  if (t->family == 1) {
    number += 100;
    for (uint32_t i = 0; i < SCALES && t->same_instrument != NULL; i++)
      if (t->same_instrument[i] == q->instrument) number = i + 1;
  }
  add_mass_error(t, p, (error_of){number, 8, 0, 0, 0, bias_sd[q->instrument - 1], {0}}, q->bias_share, none);
  add_mass_error(t, p, (error_of){number, 9, 0, 0, 0, gain_sd[q->instrument - 1], {0}}, q->gain_mass, none);
}

static void add_place_errors(table *t, const placed *p, uint64_t line, sy_vec3 shift) {
  const sy_part *q = p->part;
  const bool itself = (q->flags & (SY_PART_IMAGE | SY_PART_MIRRORED)) == SY_PART_IMAGE;
  for (int axis = 0; axis < 3; axis++) {
    sy_vec3 along = {axis == 0, axis == 1, axis == 2};
    if (q->flags & SY_PART_MIRRORED && t->pair != 0)
      along = sy_vec3_muladd(along, -2 * sy_vec3_dot(along, t->normal), t->normal);
    along = sy_mat3_apply(p->turn, along);
    const int turned = t->pair != 0 && itself && coordinate(t->normal, axis) != 0;
    double *effect = effect_of(t, (error_of){line,
                                             5 + axis,
                                             turned,
                                             coordinate(q->cg_stated, axis) + coordinate(shift, axis),
                                             0,
                                             coordinate(q->cg_sd, axis),
                                             {0}});
    for (int k = 0; k < ANSWERS; k++) {
      const sy_sensitivity *g = &t->term->by[k];
      effect[k] += t->term->sign * (double)q->count * q->mass * carried(q, g->carriers) *
                   (sy_vec3_dot(g->first, along) + 2 * times(g->second, p->at, along));
    }
  }
}

static bool add_item(void *user, const sy_item *item) {
  table *t = user;
  if (!item->aboard) return false;
  if (item->group != NULL) {
    t->pair = item->group->twin ? item->group->id : 0;
    t->normal = item->group->twin_normal;
    return true;
  }
  const sy_part *q = item->part;
  if (!item->side) t->pair = 0;
  placed p = {q, sy_frame_apply(&item->outer, q->cg), {0, 0, 0, 0, 0, 0}, false, item->outer.turn};
  p.solid = q->flags & SY_PART_SOLID && q->mass > 0;
  if (p.solid) p.per_kg = sy_sym3_scale(1 / q->mass, sy_sym3_turn(item->outer.turn, q->inertia));
  uint64_t line = item->side ? t->pair : q->id;
  sy_vec3 shift = {0, 0, 0};
  bool found = false;
  for (size_t i = 0; i < t->line_count && !found; i++)
    if (t->line_ids[i][t->family] == line) {
      if (t->family == 0) shift = t->lines[i].shift;
      line = t->line_ids[i][0];
      found = true;
    }
  if (!found && t->family == 1) line |= (uint64_t)1 << 62;
  add_mass_errors(t, &p, line);
  add_place_errors(t, &p, line, shift);
  return true;
}

static void add_term(table *t, const sy_term *term, int family) {
  t->term = term;
  t->family = family;
  t->pair = 0;
  sy_ledger_visit(term->ledger, add_item, t);
}

/* Each against the product of what the two answers are uncertain by in every ledger alone. */
static void assert_as_written_out(const table *t, const double alone[ANSWERS], const double *variance,
                                  const double *covariance) {
  for (int k = 0; k < ANSWERS; k++)
    for (int l = 0; l < ANSWERS; l++) {
      double sum = 0;
      for (size_t i = 0; i < t->count; i++)
        sum += t->error[i].effect[k] * t->error[i].effect[l] * t->error[i].sd * t->error[i].sd;
      /* roundings of a few hundred squares; places are kept to 1e-12 m */
      assert_near(covariance[k * ANSWERS + l], sum, 1e-10 * alone[k] * alone[l]);
      assert_true(covariance[k * ANSWERS + l] == covariance[l * ANSWERS + k]);
      if (k == l) assert_true(covariance[k * ANSWERS + l] == variance[k]);
    }
}

/* ---- random terms ------------------------------------------------------------------------------------------------------------ */

/* Answers 0 to 4 are flat over the whole car, 5 flat over some carriers, the others not flat; their carriers are the same in all terms
** but for the last, which is about other pieces in each. */
static void random_sensitivities(dice *d, sy_sensitivity by[ANSWERS]) {
  for (int k = 0; k < ANSWERS; k++) {
    by[k] = (sy_sensitivity){dice_between(d, -1, 1),
                             {dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1)},
                             {0, 0, 0, 0, 0, 0},
                             k < 8 ? SY_ALL_CARRIERS : 1u << SY_CARRIER_BODY | 2u << k,
                             k < 6};
    if (k == 5) by[k].carriers = 1u | 8u;
    if (k == ANSWERS - 1) by[k].carriers = (unsigned)dice_below(d, SY_ALL_CARRIERS);
    if (k >= 6)
      by[k].second = (sy_sym3){dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1),
                               dice_between(d, -1, 1), dice_between(d, -1, 1), dice_between(d, -1, 1)};
  }
}

static void random_fill(dice *d, const sy_fill *old, sy_fill *out) {
  if (old != NULL) *out = *old;
  if (old == NULL)
    *out = (sy_fill){.dry = 5.1,
                     .dry_sd = 0.3,
                     .density = 745,
                     .density_sd = 9,
                     .share_sd = 0.02,
                     .dry_arm = {0, 0, -0.1}};
  out->volume = dice_between(d, 0, 0.05);
  out->volume_sd = dice_below(d, 2) ? 0.001 : 0.002;
  out->liquid_arm = (sy_vec3){dice_between(d, -0.1, 0.1), 0, dice_between(d, -0.1, 0.1)};
  out->surface_arm = (sy_vec3){dice_between(d, -0.1, 0.1), 0, 0.2};
}

/* A line says another mass, coordinate, uncertainty or fill; the image of a pair says so by itself. */
static sy_ledger *restate(const sy_ledger *ledger, const sy_item *item, dice *d) {
  sy_part p = *item->part;
  sy_fill fill;
  double *const at[3] = {&p.cg.x, &p.cg.y, &p.cg.z};
  double *const stated[3] = {&p.cg_stated.x, &p.cg_stated.y, &p.cg_stated.z};
  double *const sd[3] = {&p.cg_sd.x, &p.cg_sd.y, &p.cg_sd.z};
  const size_t axis = dice_below(d, 3);
  switch (dice_below(d, 5)) {
  case 0: p.mass *= dice_between(d, 0.8, 1.2); break;
  case 1: p.mass_sd *= 0.5; break;
  case 2:
  case 3:
    *at[axis] = *stated[axis] = dice_between(d, -1, 1);
    if (item->side && p.flags & SY_PART_MIRRORED)
      p.flags = (p.flags & ~(uint32_t)SY_PART_MIRRORED) | SY_PART_IMAGE;
    break;
  default:
    if (dice_below(d, 2)) *sd[axis] *= 0.5;
    random_fill(d, p.fill, &fill);
    p.fill = &fill;
  }
  sy_ledger *out = NULL;
  sy_error err;
  must(sy_ledger_put(ledger, &item->route, &p, &out, &err), &err);
  return out;
}

static sy_ledger *append(const sy_ledger *ledger, dice *d) {
  sy_ledger_builder *b = sy_ledger_builder_new(NULL, ledger);
  const sy_route root = {.depth = 0};
  sy_ledger *out = NULL;
  sy_error err;
  add_random_items(b, d, 3, 1);
  must(sy_ledger_append(ledger, &root, b, &out, &err), &err);
  sy_ledger_builder_free(b);
  return out;
}

static sy_ledger *random_edit(const sy_ledger *ledger, dice *d) {
  sy_route routes[MOST_ROUTES];
  const size_t count = all_routes(ledger, routes, MOST_ROUTES);
  const sy_route route = routes[dice_below(d, count)];
  sy_item item;
  sy_ledger *out = NULL;
  sy_error err;
  must(sy_ledger_item(ledger, &route, &item, &err), &err);
  const size_t kind = dice_below(d, 8);
  if (kind == 0) return append(ledger, d);
  if (kind == 1)
    must(sy_ledger_set_aboard(ledger, &route, dice_below(d, 2) == 0, &out, &err), &err);
  else if (kind == 2 || (item.part == NULL && kind > 4))
    must(sy_ledger_turn(ledger, &route, random_frame(d).turn, (sy_vec3){0.1, -0.4, 0.3}, &out, &err), &err);
  else if (kind <= 4 || item.part == NULL)
    must(sy_ledger_shift(ledger, &route, (sy_vec3){dice_between(d, -0.1, 0.1), 0.02, 0}, &out, &err), &err);
  else
    return restate(ledger, &item, d);
  return out;
}

static sy_ledger *edited(const sy_ledger *ledger, dice *d, size_t edits) {
  sy_ledger *now = sy_ledger_share((sy_ledger *)(uintptr_t)ledger);
  for (size_t i = 0; i < edits; i++) {
    sy_ledger *next = random_edit(now, d);
    sy_ledger_release(now);
    now = next;
  }
  return now;
}

static void alone(const sy_term *terms, size_t count, double sd[ANSWERS]) {
  for (int k = 0; k < ANSWERS; k++) sd[k] = 0;
  for (size_t i = 0; i < count; i++) {
    double variance[ANSWERS];
    sy_error err;
    must(sy_propagate_variance(&terms[i], 1, ANSWERS, NULL, variance, &err), &err);
    for (int k = 0; k < ANSWERS; k++) sd[k] = hypot(sd[k], sqrt(variance[k]));
  }
}

static void propagate(const sy_term *terms, size_t count, const sy_pairing *pairing, double *variance,
                      double *covariance) {
  sy_error err;
  must(sy_propagate_variance(terms, count, ANSWERS, pairing, variance, &err), &err);
  must(sy_propagate_covariance(terms, count, ANSWERS, pairing, covariance, &err), &err);
}

/* Two cars, each as it stands and as drawn, and the ledger a record was taken on: one family, grown apart from one start. */
static void one_to_five_terms_are_the_sum_over_all_errors(void **state) {
  (void)state;
  table *t = test_malloc(sizeof *t);
  for (uint64_t seed = 1; seed <= 150; seed++) {
    dice d = {seed};
    sy_ledger *start = random_ledger(&d, 2 + dice_below(&d, 24)), *ledger[5];
    sy_sensitivity by[5][ANSWERS];
    sy_term terms[5];
    ledger[0] = edited(start, &d, dice_below(&d, 4));
    ledger[1] = edited(ledger[0], &d, dice_below(&d, 3)); /* often the same */
    ledger[2] = edited(start, &d, dice_below(&d, 6));
    ledger[3] = edited(ledger[2], &d, dice_below(&d, 3));
    ledger[4] = edited(start, &d, dice_below(&d, 3));
    random_sensitivities(&d, by[0]);
    for (int i = 0; i < 5; i++) {
      memcpy(by[i], by[0], sizeof by[i]);
      if (dice_below(&d, 3)) random_sensitivities(&d, by[i]);
      terms[i] = (sy_term){.ledger = ledger[i], .sign = i == 4 ? 0.37 : i < 2 ? 1 : -1, .by = by[i]};
    }
    const size_t count = 1 + seed % 5;
    double sd[ANSWERS], variance[ANSWERS], covariance[ANSWERS * ANSWERS];
    memset(t, 0, sizeof *t);
    for (size_t i = 0; i < count; i++) add_term(t, &terms[i], 0);
    alone(terms, count, sd);
    propagate(terms, count, NULL, variance, covariance);
    assert_as_written_out(t, sd, variance, covariance);
    for (int i = 0; i < 5; i++) sy_ledger_release(ledger[i]);
    sy_ledger_release(start);
  }
  test_free(t);
}

/* Second moments that do the same in both, as those of a yaw inertia, whatever the masses and places do: walked as flat, and to the bit as in
** the covariance. Groups of the random ledgers have places and turns of their own, and some count as pairs. */
static void change_of_what_second_moments_share_is_the_sum_over_all_errors(void **state) {
  (void)state;
  table *t = test_malloc(sizeof *t);
  for (uint64_t seed = 1; seed <= 150; seed++) {
    dice d = {seed};
    sy_ledger *start = random_ledger(&d, 2 + dice_below(&d, 24)), *ledger[2];
    sy_sensitivity by[2][ANSWERS];
    sy_term terms[2];
    double sd[ANSWERS], variance[ANSWERS], covariance[ANSWERS * ANSWERS];
    for (int i = 0; i < 2; i++) {
      ledger[i] = edited(start, &d, dice_below(&d, 4));
      random_sensitivities(&d, by[i]);
      for (int k = 6; k < ANSWERS; k++)
        by[i][k].second = by[0][k].second, by[i][k].carriers = by[0][k].carriers;
      terms[i] = (sy_term){.ledger = ledger[i], .sign = i == 0 ? -1 : 1, .by = by[i]};
    }
    memset(t, 0, sizeof *t);
    for (int i = 0; i < 2; i++) add_term(t, &terms[i], 0);
    alone(terms, 2, sd);
    propagate(terms, 2, NULL, variance, covariance);
    assert_as_written_out(t, sd, variance, covariance);
    for (int i = 0; i < 2; i++) sy_ledger_release(ledger[i]);
    sy_ledger_release(start);
  }
  test_free(t);
}

/* ---- two families ---------------------------------------------------------------------------------------------------------------- */

/* The same car from another file: another family with other identities and child numbers, measured from a zero `shift` away, with
** some lines left out. */
typedef struct refiling {
  sy_ledger_builder *builder;
  uint32_t depth;
  dice *d;
  sy_vec3 shift;
  uint32_t next[SY_MAX_NESTING + 1]; /* child number to be given */
  sy_route at;                       /* of the item around, in the new file */
  sy_same_line lines[MOST_ROUTES];
  uint64_t ids[MOST_ROUTES][2];
  size_t count;
} refiling;

static bool file_again(void *user, const sy_item *item) {
  refiling *r = user;
  sy_error err;
  for (; r->depth > item->route.depth - 1; r->depth--) close_group(r->builder);
  if (!item->side && dice_below(r->d, 8) == 0) return false; /* left out, with all that is in it */
  const bool pair = item->group != NULL && item->group->twin;
  r->at.depth = item->route.depth;
  r->at.child[r->depth] = r->next[r->depth]++;
  sy_vec3 shift = {0, 0, 0};
  if (item->part != NULL) {
    sy_part p = *item->part;
    p.id = 0;
    if (r->depth == 0) {
      shift = r->shift;
      p.cg = sy_vec3_add(p.cg, shift);
      p.cg_stated = sy_vec3_add(p.cg_stated, shift);
    }
    must(sy_ledger_add_part(r->builder, item->name, NULL, &p, &err), &err);
  } else if (item->group != NULL) {
    sy_group g = *item->group;
    g.id = 0;
    must(sy_ledger_open_group(r->builder, item->name, NULL, &g, &err), &err);
    r->depth++;
    r->next[r->depth] = 0;
  }
  if (!item->side && (pair || item->part != NULL) && dice_below(r->d, 8) > 0) {
    r->ids[r->count][0] = pair ? item->group->id : item->part->id;
    r->lines[r->count++] = (sy_same_line){item->route, r->at, shift};
  }
  return true;
}

static sy_ledger *filed_again(const sy_ledger *ledger, refiling *r) {
  r->builder = start_ledger(NULL);
  const sy_part first = point(3, 0, 0, 0);
  add(r->builder, "of this file only", &first);
  r->next[0] = 1;
  sy_ledger_visit(ledger, file_again, r);
  for (; r->depth > 0; r->depth--) close_group(r->builder);
  sy_ledger *out = finish(r->builder);
  for (size_t i = 0; i < r->count; i++) {
    sy_item item;
    sy_error err;
    must(sy_ledger_item(out, &r->lines[i].to, &item, &err), &err);
    r->ids[i][1] = item.group != NULL ? item.group->id : item.part->id;
  }
  return out;
}

/* Scale 1 is the same in both files; 2 and 3 are not known to be. */
static const uint32_t one_scale[SY_MAX_INSTRUMENTS] = {1};

static void paired_families_share_what_their_lines_state_alike(void **state) {
  (void)state;
  table *t = test_malloc(sizeof *t);
  refiling *r = test_malloc(sizeof *r);
  size_t paired = 0;
  for (uint64_t seed = 1; seed <= 150; seed++) {
    dice d = {seed};
    memset(r, 0, sizeof *r);
    r->d = &d;
    r->shift = (sy_vec3){2.45, dice_below(&d, 2) ? 0 : -0.013, 0.1};
    sy_ledger *start = random_ledger(&d, 2 + dice_below(&d, 24)), *again = filed_again(start, r), *ledger[4];
    sy_pairing *pairing = NULL;
    sy_error err;
    must(sy_pairing_new(NULL, start, again, r->lines, r->count, one_scale, &pairing, &err), &err);
    ledger[0] = edited(start, &d, dice_below(&d, 4));
    ledger[1] = edited(ledger[0], &d, dice_below(&d, 3));
    ledger[2] = edited(again, &d, dice_below(&d, 4));
    ledger[3] = edited(ledger[2], &d, dice_below(&d, 3));
    sy_sensitivity by[4][ANSWERS];
    sy_term terms[4];
    random_sensitivities(&d, by[0]);
    for (int i = 0; i < 4; i++) {
      memcpy(by[i], by[0], sizeof by[i]);
      if (dice_below(&d, 3)) random_sensitivities(&d, by[i]);
      /* now and then with the terms of the two files in turn, or the later one first */
      const int file = seed % 3 == 0 ? i % 2 : seed % 3 == 1 ? i / 2 : 1 - i / 2;
      terms[i] = (sy_term){.ledger = ledger[2 * file + (seed % 3 == 0 ? i / 2 : i % 2)],
                           .sign = file == 0 ? -1 : 1,
                           .by = by[i]};
    }
    double sd[ANSWERS], variance[ANSWERS], covariance[ANSWERS * ANSWERS];
    memset(t, 0, sizeof *t);
    t->lines = r->lines;
    t->line_ids = (const uint64_t(*)[2])r->ids;
    t->line_count = r->count;
    t->same_instrument = one_scale;
    for (size_t i = 0; i < 4; i++)
      add_term(t, &terms[i], terms[i].ledger == ledger[0] || terms[i].ledger == ledger[1] ? 0 : 1);
    alone(terms, 4, sd);
    propagate(terms, 4, pairing, variance, covariance);
    assert_as_written_out(t, sd, variance, covariance);
    paired += r->count;
    sy_pairing_free(pairing);
    for (int i = 0; i < 4; i++) sy_ledger_release(ledger[i]);
    sy_ledger_release(again);
    sy_ledger_release(start);
  }
  assert_true(paired > 1000); /* there was something to share */
  test_free(r);
  test_free(t);
}

/* One file twice: no line has an error of its own, and no instrument that is the same in both. */
static void the_same_file_read_twice_has_not_changed(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 50; seed++) {
    dice d = {seed};
    sy_ledger *from = random_ledger(&d, 20), *to = built_anew(from);
    sy_sensitivity by[ANSWERS];
    double variance[ANSWERS];
    sy_pairing *pairing = NULL;
    sy_same_line lines[MOST_ROUTES];
    sy_route routes[MOST_ROUTES];
    const uint32_t scales[SY_MAX_INSTRUMENTS] = {1, 2, 3};
    sy_error err;
    size_t count = 0;
    const size_t all = all_routes(from, routes, MOST_ROUTES);
    for (size_t i = 0; i < all; i++) {
      sy_item item;
      must(sy_ledger_item(from, &routes[i], &item, &err), &err);
      if (item.part != NULL ? !item.side : item.group->twin)
        lines[count++] = (sy_same_line){routes[i], routes[i], {0, 0, 0}};
    }
    must(sy_pairing_new(NULL, from, to, lines, count, scales, &pairing, &err), &err);
    random_sensitivities(&d, by);
    const sy_term terms[2] = {{.ledger = from, .sign = -1, .by = by}, {.ledger = to, .sign = 1, .by = by}};
    must(sy_propagate_variance(terms, 2, ANSWERS, pairing, variance, &err), &err);
    for (int k = 0; k < ANSWERS; k++) assert_true(variance[k] == 0);
    sy_pairing_free(pairing);
    sy_ledger_release(to);
    sy_ledger_release(from);
  }
}

/* ---- pairings ---------------------------------------------------------------------------------------------------------------------- */

/* engine {block, pump}, pump, a pair "sill"; twice. `other` has one line more in front and its groups the other way round. */
static sy_ledger *small_car(bool other, const sy_alloc *alloc) {
  sy_ledger_builder *b = start_ledger(alloc);
  const sy_group group = sy_group_default();
  sy_part p = point(3, 0.1, 0.2, 0.3);
  p.mass_sd = 0.4;
  if (other) add(b, "dash", &p);
  if (other) add(b, "pump", &p);
  open_group(b, "engine", &group);
  p.mass = 7;
  add(b, "block", &p);
  add(b, "pump", &p);
  close_group(b);
  p.mass = 3;
  if (!other) add(b, "pump", &p);
  p.mass = 9;
  add_pair(b, "sill", &group, &p);
  add(b, NULL, &p); /* without a name */
  return finish(b);
}

static double sd_of_mass_change(const sy_ledger *from, const sy_ledger *to, const sy_pairing *pairing) {
  const sy_sensitivity mass = {1, {0, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
  const sy_term terms[2] = {{.ledger = from, .sign = -1, .by = &mass},
                            {.ledger = to, .sign = 1, .by = &mass}};
  double variance;
  sy_error err;
  must(sy_propagate_variance(terms, 2, 1, pairing, &variance, &err), &err);
  return sqrt(variance);
}

/* Of all lines only "dash" and the two without a name are no pair: three errors of 0.4 kg. Without a pairing also those of three parts and
** of two sills at once, twice over. */
static void pairing_by_path_finds_equal_paths(void **state) {
  (void)state;
  sy_ledger *from = small_car(false, NULL), *to = small_car(true, NULL);
  sy_pairing *pairing = NULL;
  sy_error err;
  must(sy_pairing_by_path(NULL, from, to, &pairing, &err), &err);
  assert_near(sd_of_mass_change(from, to, pairing), 0.4 * sqrt(3), 1e-15);
  assert_near(sd_of_mass_change(to, from, pairing), 0.4 * sqrt(3), 1e-15);
  assert_near(sd_of_mass_change(from, to, NULL), 0.4 * sqrt(1 + 2 * (3 + 4 + 1)), 1e-14);
  sy_pairing_free(pairing);
  sy_ledger_release(from);
  sy_ledger_release(to);
}

/* A line that lies in a group in one file and beside it in the other, 2.45 m from where the other's zero is. */
static void pairing_joins_lines_of_different_groups(void **state) {
  (void)state;
  sy_ledger *from = small_car(false, NULL), *to = small_car(true, NULL);
  sy_pairing *pairing = NULL;
  sy_error err;
  const sy_same_line pump = {{1, {1}}, {2, {2, 1}}, {0, 0, 0}};
  sy_item item;
  must(sy_ledger_item(to, &pump.to, &item, &err), &err);
  sy_part moved = *item.part;
  sy_ledger *there = NULL;
  moved.mass = 3;
  moved.cg_stated.x = moved.cg.x += 2.45;
  moved.cg_sd.x = 0.01;
  must(sy_ledger_put(to, &pump.to, &moved, &there, &err), &err);
  must(sy_ledger_item(from, &pump.from, &item, &err), &err);
  sy_part here_part = *item.part;
  here_part.cg_sd.x = 0.01;
  sy_ledger *here = NULL;
  must(sy_ledger_put(from, &pump.from, &here_part, &here, &err), &err);
  const sy_sensitivity x = {0, {1, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
  const sy_term terms[2] = {{.ledger = here, .sign = -1, .by = &x}, {.ledger = there, .sign = 1, .by = &x}};
  for (int shifted = 0; shifted < 2; shifted++) {
    sy_same_line line = pump;
    if (shifted) line.shift.x = 2.45;
    must(sy_pairing_new(NULL, from, to, &line, 1, NULL, &pairing, &err), &err);
    double with, alone[2];
    must(sy_propagate_variance(terms, 2, 1, pairing, &with, &err), &err);
    for (int i = 0; i < 2; i++) must(sy_propagate_variance(&terms[i], 1, 1, NULL, &alone[i], &err), &err);
    /* its mass error acts at 0.1 and 2.55 m: 2 x 0.1 x 2.55 less of 0.16; that of its place, 3 kg of 0.01 m, goes out where the zeros are
    ** stated */
    const double wanted = alone[0] + alone[1] - 2 * 0.16 * 0.1 * 2.55 - (shifted ? 2 * 0.03 * 0.03 : 0);
    assert_near(with, wanted, 1e-13);
    sy_pairing_free(pairing);
  }
  sy_ledger_release(here);
  sy_ledger_release(there);
  sy_ledger_release(from);
  sy_ledger_release(to);
}

/* A pair 0.7 m from the centre plane, in a group 0.3 m left of it: one file states the left piece, the other the right one. An error of
** the half track goes out of a change all the same, and so do those along x and up. */
static void pairing_compares_opposite_pieces_as_images(void **state) {
  (void)state;
  sy_ledger *ledger[2];
  sy_group group = sy_group_default();
  group.frame.at = (sy_vec3){-0.4, 0.3, 0};
  for (int file = 0; file < 2; file++) {
    sy_ledger_builder *b = start_ledger(NULL);
    sy_part side[2] = {point(3, 0.1, 0.4, 0.3),
                       point(3, 0.1, -1.0, 0.3)}; /* 0.7 left and right on the vehicle */
    side[1 - file].flags |= SY_PART_IMAGE | SY_PART_MIRRORED;
    for (int i = 0; i < 2; i++) {
      side[i].cg_stated = side[file].cg;
      side[i].cg_sd = (sy_vec3){0.01, 0.02, 0.03};
    }
    sy_group pair = sy_group_default();
    pair.twin = true;
    pair.twin_normal = (sy_vec3){0, 1, 0};
    open_group(b, "group", &group);
    open_group(b, "corner", &pair);
    add(b, "left", &side[0]);
    add(b, "right", &side[1]);
    close_group(b);
    close_group(b);
    ledger[file] = finish(b);
  }
  sy_pairing *pairing = NULL;
  sy_error err;
  must(sy_pairing_by_path(NULL, ledger[0], ledger[1], &pairing, &err), &err);
  for (int k = 0; k < 4;
       k++) { /* m x, m y, m z and the second moment m y^2, to which the left and right errors add up */
    const sy_sensitivity by = {0, {k == 0, k == 1, k == 2}, {0, k == 3, 0, 0, 0, 0}, SY_ALL_CARRIERS, k < 3};
    const sy_term terms[2] = {{.ledger = ledger[0], .sign = -1, .by = &by},
                              {.ledger = ledger[1], .sign = 1, .by = &by}};
    const double sd[4] = {2 * 3 * 0.01, 0, 2 * 3 * 0.03, 2 * 3 * 2 * 0.7 * 0.02};
    double one, change;
    must(sy_propagate_variance(terms, 1, 1, NULL, &one, &err), &err);
    must(sy_propagate_variance(terms, 2, 1, pairing, &change, &err), &err);
    assert_near(one, sd[k] * sd[k], 1e-14);
    assert_near(change, 0, 1e-30);
  }
  sy_pairing_free(pairing);
  for (int file = 0; file < 2; file++) sy_ledger_release(ledger[file]);
}

/* Groups that lie at the zeros of their files, 2.45 m apart; one turned by a quarter, so that what lies ahead lies across inside. */
static void pairing_shift_counts_from_the_group_that_is_the_same(void **state) {
  (void)state;
  sy_ledger *ledger[2];
  for (int file = 0; file < 2; file++) {
    sy_ledger_builder *b = start_ledger(NULL);
    sy_group outer = sy_group_default(), inner = sy_group_default();
    outer.frame.at.x = file == 0 ? 0 : -2.45;
    inner.frame.at = (sy_vec3){0.2, file == 0 ? 0 : 0.05, 0};
    inner.frame.turn = sy_frame_rotation(0, 0, acos(-1) / 2);
    const sy_part p = point(1, 0, 0, 0);
    open_group(b, "outer", &outer);
    open_group(b, "inner", &inner);
    add(b, "part", &p);
    close_group(b);
    close_group(b);
    ledger[file] = finish(b);
  }
  const sy_same_line line = {{3, {0, 0, 0}}, {3, {0, 0, 0}}, {0, 0, 0}};
  const sy_vec3 by = {0.3, 0, 0}, want[3] = {{-0.05, -2.75, 0}, {-0.05, 0, 0}, {0, 0, 0}};
  sy_vec3 shift;
  sy_error err;
  for (uint32_t depth = 0; depth < 3; depth++) {
    must(sy_pairing_shift(ledger[0], ledger[1], &line, (uint32_t[2]){depth, depth}, by, &shift, &err), &err);
    assert_near(shift.x, want[depth].x, 1e-15);
    assert_near(shift.y, want[depth].y, 1e-15);
    assert_near(shift.z, 0, 0);
  }
  const sy_same_line nowhere = {{3, {0, 0, 1}}, {3, {0, 0, 0}}, {0, 0, 0}};
  const sy_vec3 infinite = {(double)INFINITY, 0, 0};
  assert_int_equal(sy_pairing_shift(ledger[0], ledger[1], &line, (uint32_t[2]){0, 3}, by, &shift, &err),
                   SY_UNKNOWN);
  assert_string_equal(err.field, "depth");
  assert_int_equal(sy_pairing_shift(ledger[0], ledger[1], &nowhere, (uint32_t[2]){0, 0}, by, &shift, &err),
                   SY_UNKNOWN);
  assert_int_equal(sy_pairing_shift(ledger[0], ledger[1], &line, (uint32_t[2]){0, 0}, infinite, &shift, &err),
                   SY_RANGE);
  assert_string_equal(err.field, "by");
  for (int file = 0; file < 2; file++) sy_ledger_release(ledger[file]);
}

static void pairing_refuses_what_is_no_line(void **state) {
  (void)state;
  sy_ledger *from = small_car(false, NULL), *to = small_car(true, NULL);
  const sy_route engine = {1, {0}}, block = {2, {0, 0}}, sill = {1, {2}}, left = {2, {2, 0}};
  const sy_route engine2 = {1, {2}}, block2 = {2, {2, 0}}, pump2 = {1, {1}}, sill2 = {1, {3}},
                 beyond = {1, {99}}, deep = {SY_MAX_NESTING + 1, {0}};
  const struct {
    sy_same_line lines[2];
    size_t count;
    uint32_t instrument[SY_MAX_INSTRUMENTS];
    sy_status status;
    const char *field;
  } cases[] = {
      {{{block, beyond, {0, 0, 0}}}, 1, {0}, SY_UNKNOWN, ""},
      {{{deep, block2, {0, 0, 0}}}, 1, {0}, SY_UNKNOWN, ""},
      {{{engine, engine2, {0, 0, 0}}}, 1, {0}, SY_TYPE, "from"},
      {{{left, block2, {0, 0, 0}}}, 1, {0}, SY_TYPE, "from"},
      {{{block, engine2, {0, 0, 0}}}, 1, {0}, SY_TYPE, "to"},
      {{{sill, block2, {0, 0, 0}}}, 1, {0}, SY_TYPE, ""},
      {{{block, sill2, {0, 0, 0}}}, 1, {0}, SY_TYPE, ""},
      {{{block, block2, {0, 0, 0}}, {block, pump2, {0, 0, 0}}}, 2, {0}, SY_CLASH, "from"},
      {{{block, block2, {0, 0, 0}}, {{1, {1}}, block2, {0, 0, 0}}}, 2, {0}, SY_CLASH, "to"},
      {{{block, block2, {0, (double)NAN, 0}}}, 1, {0}, SY_RANGE, "shift"},
      {{{block, block2, {0, 0, 0}}}, 1, {0, 0, 0, 1}, SY_UNKNOWN, "instrument"},
      {{{block, block2, {0, 0, 0}}}, 1, {4}, SY_UNKNOWN, "instrument"},
      {{{block, block2, {0, 0, 0}}}, 1, {2, 2}, SY_CLASH, "instrument"},
  };
  sy_pairing *pairing = NULL;
  sy_error err;
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    assert_int_equal(
        sy_pairing_new(NULL, from, to, cases[i].lines, cases[i].count, cases[i].instrument, &pairing, &err),
        cases[i].status);
    assert_string_equal(err.field, cases[i].field);
    assert_null(pairing);
  }
  assert_int_equal(sy_pairing_new(NULL, from, from, NULL, 0, NULL, &pairing, &err), SY_CLASH);
  assert_null(pairing);
  sy_pairing_free(NULL);
  must(sy_pairing_new(NULL, from, to, NULL, 0, NULL, &pairing, &err),
       &err); /* nothing in common is not a mistake */
  sy_pairing_free(pairing);
  sy_ledger_release(from);
  sy_ledger_release(to);
}

/* Refuse one request after the other: an error each time, and nothing is lost. */
static void pairing_without_memory_says_so(void **state) {
  (void)state;
  sy_ledger *from = small_car(false, NULL), *to = small_car(true, NULL);
  size_t refused = 0;
  for (counted_memory m = {.refuse = 1};; m = (counted_memory){.refuse = refused + 1}) {
    const sy_alloc alloc = counting_alloc(&m);
    sy_pairing *pairing = NULL;
    sy_error err;
    const sy_status status = sy_pairing_by_path(&alloc, from, to, &pairing, &err);
    if (status == SY_OK) {
      sy_pairing_free(pairing);
      assert_int_equal(atomic_load(&m.live), 0);
      break;
    }
    assert_int_equal(status, SY_LIMIT);
    assert_null(pairing);
    assert_int_equal(atomic_load(&m.live), 0);
    refused++;
  }
  assert_int_equal(refused, 3);
  sy_ledger_release(from);
  sy_ledger_release(to);
}

/* ---- limits -------------------------------------------------------------------------------------------------------------------------- */

static void nine_terms_are_refused(void **state) {
  (void)state;
  sy_ledger *ledger = small_car(false, NULL);
  sy_sensitivity by[ANSWERS];
  dice d = {1};
  random_sensitivities(&d, by);
  sy_term terms[SY_MOST_TERMS + 1];
  for (int i = 0; i <= SY_MOST_TERMS; i++) terms[i] = (sy_term){.ledger = ledger, .sign = 0.125, .by = by};
  double eight[ANSWERS], one[ANSWERS], out[ANSWERS * ANSWERS] = {7};
  sy_error err;
  assert_int_equal(sy_propagate_variance(terms, SY_MOST_TERMS + 1, ANSWERS, NULL, out, &err), SY_LIMIT);
  assert_string_equal(err.field, "terms");
  assert_int_equal(sy_propagate_covariance(terms, SY_MOST_TERMS + 1, ANSWERS, NULL, out, &err), SY_LIMIT);
  assert_true(out[0] == 7);
  /* the same ledger eight times, an eighth of each */
  must(sy_propagate_variance(terms, SY_MOST_TERMS, ANSWERS, NULL, eight, &err), &err);
  terms[0].sign = 1;
  must(sy_propagate_variance(terms, 1, ANSWERS, NULL, one, &err), &err);
  for (int k = 0; k < ANSWERS; k++) assert_near(eight[k], one[k], 1e-14 * one[k]);
  must(sy_propagate_variance(terms, 0, ANSWERS, NULL, out, &err), &err);
  for (int k = 0; k < ANSWERS; k++) assert_true(out[k] == 0);
  sy_ledger_release(ledger);
}

static void an_answer_that_is_no_number_leaves_the_others(void **state) {
  (void)state;
  dice d = {5};
  sy_ledger *ledger = random_ledger(&d, 20);
  sy_sensitivity by[ANSWERS];
  random_sensitivities(&d, by);
  const sy_term term = {.ledger = ledger, .sign = 1, .by = by};
  double clean[ANSWERS], clean_cov[ANSWERS * ANSWERS], variance[ANSWERS], covariance[ANSWERS * ANSWERS];
  propagate(&term, 1, NULL, clean, clean_cov);
  by[2].m = (double)NAN;
  by[7].second.xz = (double)INFINITY;
  propagate(&term, 1, NULL, variance, covariance);
  for (int k = 0; k < ANSWERS; k++) {
    const bool lost = k == 2 || k == 7;
    assert_true(lost ? isnan(variance[k]) : variance[k] == clean[k]);
    for (int l = 0; l < ANSWERS; l++)
      assert_true(lost || l == 2 || l == 7 ? isnan(covariance[k * ANSWERS + l])
                                           : covariance[k * ANSWERS + l] == clean_cov[k * ANSWERS + l]);
  }
  sy_ledger_release(ledger);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(one_to_five_terms_are_the_sum_over_all_errors),
      cmocka_unit_test(change_of_what_second_moments_share_is_the_sum_over_all_errors),
      cmocka_unit_test(paired_families_share_what_their_lines_state_alike),
      cmocka_unit_test(the_same_file_read_twice_has_not_changed),
      cmocka_unit_test(pairing_by_path_finds_equal_paths),
      cmocka_unit_test(pairing_joins_lines_of_different_groups),
      cmocka_unit_test(pairing_compares_opposite_pieces_as_images),
      cmocka_unit_test(pairing_shift_counts_from_the_group_that_is_the_same),
      cmocka_unit_test(pairing_refuses_what_is_no_line),
      cmocka_unit_test(pairing_without_memory_says_so),
      cmocka_unit_test(nine_terms_are_refused),
      cmocka_unit_test(an_answer_that_is_no_number_leaves_the_others),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
