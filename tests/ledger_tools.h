/* ledger_tools.h - what the tests of the ledger share: an allocator that counts and refuses, short ways to build, random
** trees, and the same content built anew.
*/
#ifndef SY_TESTS_LEDGER_TOOLS_H
#define SY_TESTS_LEDGER_TOOLS_H

#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include "dice.h"
#include "mass/propagate.h"
#include "near.h"

/* ---- memory: each block remembers its size, so a wrong `old_size` is found ---------------------------------- */

typedef struct counted_memory {
  atomic_size_t live, calls; /* bytes now; blocks asked for so far */
  size_t refuse;             /* which call is refused, counted from 1; 0: none */
} counted_memory;

enum { METER_HEAD = 16 }; /* keeps the alignment of malloc */

static inline void *counting_resize(void *user, void *old, size_t old_size, size_t new_size) {
  counted_memory *m = user;
  char *block = old != NULL ? (char *)old - METER_HEAD : NULL;
  if (block != NULL) {
    size_t kept;
    memcpy(&kept, block, sizeof kept);
    assert_int_equal(kept, old_size);
  } else {
    assert_int_equal(old_size, 0);
  }
  if (new_size == 0) {
    atomic_fetch_sub(&m->live, old_size);
    free(block);
    return NULL;
  }
  if (atomic_fetch_add(&m->calls, 1) + 1 == m->refuse) return NULL;
  char *fresh = realloc(block, METER_HEAD + new_size);
  assert_non_null(fresh);
  memcpy(fresh, &new_size, sizeof new_size);
  atomic_fetch_add(&m->live, new_size);
  atomic_fetch_sub(&m->live, old_size);
  return fresh + METER_HEAD;
}

static inline sy_alloc counting_alloc(counted_memory *m) { return (sy_alloc){counting_resize, m}; }

/* ---- short ways to build ------------------------------------------------------------------------------------ */

static inline void must(sy_status status, const sy_error *err) {
  if (status == SY_OK) return;
  if (err != NULL)
    print_error("%s: %s, %s: %s\n", sy_status_name(status), err->part, err->field, err->message);
  fail();
}

enum { SCALES = 3 }; /* that every ledger here knows; random parts may have been weighed on one */

static inline sy_ledger_builder *start_ledger(const sy_alloc *alloc) {
  const sy_alloc usual = sy_alloc_default();
  const sy_instrument scales[SCALES] = {{0.002, 0.0013}, {0.017, 0}, {0.13, 0.0021}};
  sy_ledger_builder *b = sy_ledger_builder_new(alloc != NULL ? alloc : &usual, NULL);
  assert_non_null(b);
  assert_int_equal(sy_ledger_builder_instruments(b, scales, SCALES, NULL), SY_OK);
  return b;
}

/* Variances of answers in one ledger, and of their changes from one to another. */
static inline void ledger_variance(const sy_ledger *ledger, const sy_sensitivity *by, size_t count,
                                   double *variance) {
  sy_error err;
  must(sy_propagate_variance(&(sy_term){.ledger = ledger, .sign = 1, .by = by}, 1, count, NULL, variance,
                             &err),
       &err);
}

static inline void change_variance(const sy_ledger *from, const sy_ledger *to, const sy_sensitivity *by_from,
                                   const sy_sensitivity *by_to, size_t count, double *variance) {
  const sy_term terms[2] = {{.ledger = from, .sign = -1, .by = by_from},
                            {.ledger = to, .sign = 1, .by = by_to}};
  sy_error err;
  must(sy_propagate_variance(terms, 2, count, NULL, variance, &err), &err);
}

static inline void add(sy_ledger_builder *b, const char *name, const sy_part *part) {
  sy_error err;
  must(sy_ledger_add_part(b, name, NULL, part, &err), &err);
}

static inline void open_group(sy_ledger_builder *b, const char *name, const sy_group *group) {
  sy_error err;
  must(sy_ledger_open_group(b, name, NULL, group, &err), &err);
}

static inline void close_group(sy_ledger_builder *b) {
  sy_error err;
  must(sy_ledger_close_group(b, &err), &err);
}

/* Ends the builder too. */
static inline sy_ledger *finish(sy_ledger_builder *b) {
  sy_ledger *ledger = NULL;
  sy_error err;
  must(sy_ledger_finish(b, &ledger, &err), &err);
  sy_ledger_builder_free(b);
  return ledger;
}

static inline sy_part point(double mass, double x, double y, double z) {
  sy_part p = sy_part_default();
  p.mass = mass;
  p.cg = (sy_vec3){x, y, z};
  p.cg_stated = p.cg;
  p.flags = SY_PART_POINT;
  return p;
}

static inline sy_route route0(void) { return (sy_route){.depth = 0}; }
static inline sy_route route1(uint32_t a) { return (sy_route){.depth = 1, .child = {a}}; }
static inline sy_route route2(uint32_t a, uint32_t b) { return (sy_route){.depth = 2, .child = {a, b}}; }
static inline sy_route route3(uint32_t a, uint32_t b, uint32_t c) {
  return (sy_route){.depth = 3, .child = {a, b, c}};
}

static inline sy_totals totals_of(const sy_ledger *ledger) {
  sy_totals t;
  sy_ledger_totals(ledger, &t);
  return t;
}

/* ---- comparing ---------------------------------------------------------------------------------------------- */

/* Every bit of every total; only rows of carriers in the mask are written. */
static inline bool same_totals(const sy_totals *a, const sy_totals *b) {
  if (memcmp(&a->all, &b->all, sizeof a->all) != 0 || memcmp(&a->cov, &b->cov, sizeof a->cov) != 0 ||
      memcmp(&a->growth_mass, &b->growth_mass, sizeof a->growth_mass) != 0 ||
      memcmp(&a->unstated_mass, &b->unstated_mass, sizeof a->unstated_mass) != 0)
    return false;
  if (a->parts != b->parts || a->points != b->points || a->unstated != b->unstated ||
      a->unknown != b->unknown || a->carriers != b->carriers)
    return false;
  for (unsigned c = 0; c < SY_CARRIER_COUNT; c++)
    if (a->carriers >> c & 1u && memcmp(&a->carried[c], &b->carried[c], sizeof a->carried[c]) != 0)
      return false;
  return true;
}

static inline void assert_same_ledgers(const sy_ledger *a, const sy_ledger *b) {
  const sy_totals ta = totals_of(a), tb = totals_of(b);
  assert_true(same_totals(&ta, &tb));
}

/* ---- random content ----------------------------------------------------------------------------------------- */

static inline sy_frame random_frame(dice *d) {
  sy_frame f = sy_frame_identity();
  f.at = (sy_vec3){dice_between(d, -2.5, 0.5), dice_between(d, -0.8, 0.8), dice_between(d, 0, 1)};
  if (dice_below(d, 3) > 0)
    f.turn = sy_frame_rotation(dice_between(d, -3, 3), dice_between(d, -1.5, 1.5), dice_between(d, -3, 3));
  return f;
}

static inline sy_unsprung random_unsprung(dice *d) {
  sy_unsprung c = {.count = 0};
  const size_t kind = dice_below(d, 6);
  if (kind == 0) { /* one axle has it all */
    c = (sy_unsprung){{1}, {(uint8_t)(SY_CARRIER_AXLE + dice_below(d, 2))}, 1};
  } else if (kind == 1) { /* half carried */
    c = (sy_unsprung){{0.5}, {(uint8_t)(SY_CARRIER_AXLE + dice_below(d, 2))}, 1};
  } else if (kind == 2) { /* two wheels and the body */
    c = (sy_unsprung){{0.31, 0.17}, {SY_CARRIER_WHEEL, SY_CARRIER_WHEEL + 3}, 2};
  }
  return c;
}

static inline sy_part random_part(dice *d) {
  sy_part p = point(dice_between(d, 0.05, 90), dice_between(d, -2.5, 0.5), dice_between(d, -0.8, 0.8),
                    dice_between(d, 0, 1));
  p.mass_sd = dice_below(d, 3) == 0 ? 0 : p.mass * dice_between(d, 0.001, 0.2);
  if (dice_below(d, 3) > 0)
    p.cg_sd = (sy_vec3){dice_between(d, 0, 0.02), dice_between(d, 0, 0.02), dice_between(d, 0, 0.02)};
  p.cg_stated = p.cg;
  p.flags = dice_below(d, 4) == 0 ? SY_PART_UNSTATED : 0;
  if (dice_below(d, 2) == 0) { /* a box of sides a, b, c: m (b^2 + c^2)/12 and so on, turned */
    const double a = dice_between(d, 0.1, 0.6), b = dice_between(d, 0.1, 0.6), c = dice_between(d, 0.1, 0.6);
    const double k = p.mass / 12;
    const sy_sym3 box = {k * (b * b + c * c), k * (a * a + c * c), k * (a * a + b * b), 0, 0, 0};
    p.inertia = sy_sym3_turn(random_frame(d).turn, box);
    p.flags |= SY_PART_SOLID;
  } else {
    p.flags |= SY_PART_POINT;
  }
  p.growth = dice_below(d, 4) == 0 ? dice_between(d, 0, 0.3) : 0;
  p.count = dice_below(d, 5) == 0 ? (uint32_t)dice_below(d, 9) + 1 : 1;
  p.unsprung = random_unsprung(d);
  if (dice_below(d, 3) == 0) {
    p.instrument = (uint32_t)dice_below(d, SCALES) + 1;
    p.bias_share = dice_below(d, 3) == 0 ? 0 : 1; /* a tare takes the bias away */
    p.gain_mass = p.mass;
  }
  if (dice_below(d, 8) == 0) p.flags |= SY_PART_NOT_ABOARD;
  return p;
}

/* The mirror image in the plane through the origin with this normal: r - 2 n (n . r), the tensor likewise. */
static inline sy_part mirrored(const sy_part *p, sy_vec3 n) {
  sy_part right = *p;
  right.cg = sy_vec3_muladd(p->cg, -2 * sy_vec3_dot(n, p->cg), n);
  const double v[3] = {n.x, n.y, n.z};
  sy_mat3 reflect;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) reflect.m[i][j] = (i == j) - 2 * v[i] * v[j];
  right.inertia = sy_sym3_turn(reflect, p->inertia);
  right.flags ^= SY_PART_MIRRORED;
  return right;
}

static inline void add_pair(sy_ledger_builder *b, const char *name, const sy_group *group,
                            const sy_part *left) {
  sy_group g = *group;
  g.twin = true;
  if (!(sy_vec3_length(g.twin_normal) > 0)) g.twin_normal = (sy_vec3){0, 1, 0};
  const sy_part right = mirrored(left, g.twin_normal);
  open_group(b, name, &g);
  add(b, "left", left);
  add(b, "right", &right);
  close_group(b);
}

/* Up to `items` items, groups to three levels. */
static inline void add_random_items(sy_ledger_builder *b, dice *d, size_t items, int levels) {
  for (size_t i = 0; i < items; i++) {
    const size_t kind = dice_below(d, 8);
    const sy_part part = random_part(d);
    sy_group group = sy_group_default();
    if (kind < 5 || levels == 0) {
      add(b, "part", &part);
      continue;
    }
    if (kind > 5) group.frame = random_frame(d);
    group.not_aboard = dice_below(d, 8) == 0;
    if (kind == 7) {
      group.twin_normal = sy_mat3_apply(sy_mat3_transpose(group.frame.turn), (sy_vec3){0, 1, 0});
      add_pair(b, "pair", &group, &part);
      continue;
    }
    open_group(b, "group", &group);
    add_random_items(b, d, 1 + dice_below(d, 6), levels - 1);
    close_group(b);
  }
}

static inline sy_ledger *random_ledger(dice *d, size_t items) {
  sy_ledger_builder *b = start_ledger(NULL);
  add_random_items(b, d, items, 3);
  return finish(b);
}

/* ---- the same content built anew ---------------------------------------------------------------------------- */

typedef struct copying {
  sy_ledger_builder *builder;
  uint32_t depth; /* of the item added last */
} copying;

static inline bool copy_item(void *user, const sy_item *item) {
  copying *c = user;
  for (; c->depth > item->route.depth - 1; c->depth--) close_group(c->builder);
  sy_error err;
  if (item->part != NULL) {
    must(sy_ledger_add_part(c->builder, item->name, item->tags, item->part, &err), &err);
  } else {
    must(sy_ledger_open_group(c->builder, item->name, item->tags, item->group, &err), &err);
    c->depth++;
  }
  return true;
}

/* No edit in its past: everything that `ledger` shows, put into a new builder in file order. */
static inline sy_ledger *built_anew(const sy_ledger *ledger) {
  copying c = {start_ledger(NULL), 0};
  sy_ledger_visit(ledger, copy_item, &c);
  for (; c.depth > 0; c.depth--) close_group(c.builder);
  return finish(c.builder);
}

/* All routes in file order. */
typedef struct route_list {
  sy_route *route;
  size_t count, room;
} route_list;

static inline bool note_route(void *user, const sy_item *item) {
  route_list *list = user;
  assert_true(list->count < list->room);
  list->route[list->count++] = item->route;
  return true;
}

static inline size_t all_routes(const sy_ledger *ledger, sy_route *routes, size_t room) {
  route_list list = {routes, 0, room};
  sy_ledger_visit(ledger, note_route, &list);
  return list.count;
}

#endif
