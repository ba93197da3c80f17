/* ledger_query.c - totals, items and names. */
#include <string.h>

#include "mass/ledger_check.h"

void sy_ledger_sums(const sy_ledger *ledger, sy_totals *out) {
  amount a;
  (void)sy_amount_of_item(&a, &ledger->root->head); /* its sums were found to fit when it was built */
  sy_amount_totals(&a, out);
  out->cov = (sy_cov4){{0}};
}

void sy_ledger_totals(const sy_ledger *ledger, sy_totals *out) {
  amount a;
  (void)sy_amount_of_item(&a, &ledger->root->head); /* its sums were found to fit when it was built */
  sy_amount_totals(&a, out);
  sy_amount_add_scales(&a, ledger->family, &out->cov);
  if (ledger->measured != NULL) ledger->measured->covariance(ledger, &out->cov);
}

/* The root lies in the vehicle's frame: its branch's rows are the whole's. */
bool sy_ledger_has_mass(const sy_ledger *ledger) {
  const branch *b = ledger->root->root;
  sy_exact mass = {0, 0};
  size_t row = 0;
  for (unsigned c = b != NULL ? b->carriers : 0; c != 0; c &= c - 1)
    mass = sy_exact_add(mass, b->sums[row++][0]);
  return sy_exact_value(mass) > 0;
}

size_t sy_ledger_instruments(const sy_ledger *ledger, sy_instrument out[SY_MAX_INSTRUMENTS]) {
  const family *f = ledger->family;
  for (size_t i = 0; i < f->instrument_count; i++) out[i] = f->instrument[i];
  return f->instrument_count;
}

static void describe(const node *n, const sy_frame *outer, bool aboard, bool side, sy_item *out) {
  out->name = sy_label_name(n);
  out->tags = sy_label_tags(n);
  out->outer = *outer;
  out->side = side;
  if (n->kind == NODE_PART) {
    out->part = &((const part_node *)n)->part;
    out->group = NULL;
    out->children = 0;
    out->aboard = aboard && !(out->part->flags & SY_PART_NOT_ABOARD);
  } else {
    out->part = NULL;
    out->group = &((const group_node *)n)->group;
    out->children = ((const group_node *)n)->children;
    out->aboard = aboard && !out->group->not_aboard;
  }
}

/* *around: the group the item lies in; not set for the root. */
static sy_status find_route(const sy_ledger *ledger, const sy_route *route, const node **found,
                            const group_node **around, sy_item *out, sy_error *err) {
  const node *n = &ledger->root->head;
  sy_item item;
  const sy_frame identity = sy_frame_identity();
  describe(n, &identity, true, false, &item);
  if (route->depth > SY_MAX_NESTING)
    return sy_fail(err, SY_UNKNOWN, "ledger", NULL, "the route leads to no item");
  for (uint32_t d = 0; d < route->depth; d++) {
    const group_node *g = (const group_node *)n;
    if (n->kind != NODE_GROUP || route->child[d] >= g->children)
      return sy_fail(err, SY_UNKNOWN, "ledger", NULL, "the route leads to no item");
    const sy_frame inner = d > 0 ? sy_frame_compose(&item.outer, &g->group.frame) : identity;
    n = sy_branch_item(g->root, route->child[d]);
    *around = g;
    describe(n, &inner, item.aboard, g->group.twin, &item);
  }
  item.route = *route;
  *out = item;
  *found = n;
  return SY_OK;
}

sy_status sy_ledger_item(const sy_ledger *ledger, const sy_route *route, sy_item *out, sy_error *err) {
  const node *n;
  const group_node *around;
  return find_route(ledger, route, &n, &around, out, err);
}

sy_status sy_ledger_item_totals(const sy_ledger *ledger, const sy_route *route, sy_totals *out,
                                sy_error *err) {
  const node *n;
  const group_node *around;
  sy_item item;
  const sy_status status = find_route(ledger, route, &n, &around, &item, err);
  if (status != SY_OK) return status;
  amount a;
  (void)sy_amount_of_item(&a, n);
  sy_amount_totals(&a, out);
  if (route->depth == 0) {
    sy_ledger_totals(ledger, out);
    return SY_OK;
  }
  const uint32_t index = route->child[route->depth - 1];
  if (item.side) out->cov = sy_pair_cov(around, index == 0, index == 1);
  sy_amount_add_scales(&a, ledger->family, &out->cov);
  out->all = sy_sums_place(&out->all, &item.outer);
  for (unsigned c = 0; c < SY_CARRIER_COUNT; c++)
    if (out->carriers >> c & 1u) out->carried[c] = sy_sums_place(&out->carried[c], &item.outer);
  out->cov = sy_cov4_place(&out->cov, &item.outer);
  return ledger->measured != NULL ? ledger->measured->of_item(ledger, route, &out->cov, err) : SY_OK;
}

/* A walk in file order with a stack of groups: how far each has got, and what its children share. */
typedef struct walk_level {
  const group_node *g;
  uint32_t next;
  sy_frame inner;
  bool aboard;
} walk_level;

void sy_ledger_visit(const sy_ledger *ledger, sy_ledger_visitor *visit, void *user) {
  walk_level level[SY_MAX_NESTING + 1];
  sy_item item;
  item.route.depth = 0;
  size_t depth = 1;
  level[0] = (walk_level){ledger->root, 0, sy_frame_identity(), true};
  while (depth > 0) {
    walk_level *const top = &level[depth - 1];
    if (top->next == top->g->children) {
      depth--;
      continue;
    }
    item.route.depth = (uint32_t)depth;
    item.route.child[depth - 1] = top->next;
    const node *n = sy_branch_item(top->g->root, top->next++);
    describe(n, &top->inner, top->aboard, top->g->group.twin, &item);
    const bool enter = visit(user, &item);
    if (enter && n->kind == NODE_GROUP) {
      const group_node *g = (const group_node *)n;
      level[depth++] = (walk_level){g, 0, sy_frame_compose(&top->inner, &g->group.frame), item.aboard};
    }
  }
}

/* ---- names --------------------------------------------------------------------------------------------------- */

typedef struct search {
  const sy_ledger *ledger;
  const char *word; /* whole path, or the tag */
  const char *last; /* its last component */
  sy_route *routes;
  size_t room, found;
} search;

static bool named(const char *name, const char *word, size_t length) {
  return name != NULL && strncmp(name, word, length) == 0 && name[length] == 0;
}

/* Do the components before the last name the groups around the item, from the inside out? */
static bool groups_fit(const search *s, const sy_route *route) {
  sy_route around = *route;
  const char *end = s->last;
  while (end > s->word) {
    const char *start = --end; /* on the slash */
    while (start > s->word && start[-1] != '/') start--;
    if (around.depth < 2) return false;
    around.depth--;
    sy_item group;
    if (sy_ledger_item(s->ledger, &around, &group, NULL) != SY_OK) return false;
    if (!named(group.name, start, (size_t)(end - start))) return false;
    end = start;
  }
  return true;
}

static void note(search *s, const sy_route *route) {
  if (s->found < s->room) s->routes[s->found] = *route;
  s->found++;
}

static bool match_name(void *user, const sy_item *item) {
  search *s = user;
  const bool bare = s->last == s->word;
  if (item->side && bare) return true; /* "left" alone names no part */
  if (named(item->name, s->last, strlen(s->last)) && groups_fit(s, &item->route)) note(s, &item->route);
  return true;
}

size_t sy_ledger_find(const sy_ledger *ledger, const char *name, sy_route *routes, size_t room) {
  const char *slash = strrchr(name, '/');
  search s = {ledger, name, slash != NULL ? slash + 1 : name, routes, room, 0};
  sy_ledger_visit(ledger, match_name, &s);
  return s.found;
}

static bool has_tag(const char *tags, const char *tag, size_t length) {
  while (tags != NULL) {
    if (strncmp(tags, tag, length) == 0 && (tags[length] == 0 || tags[length] == '\n')) return true;
    tags = strchr(tags, '\n');
    if (tags != NULL) tags++;
  }
  return false;
}

static bool match_tag(void *user, const sy_item *item) {
  search *s = user;
  if (item->tags != NULL && has_tag(item->tags, s->word, strlen(s->word))) note(s, &item->route);
  return true;
}

size_t sy_ledger_find_tag(const sy_ledger *ledger, const char *tag, sy_route *routes, size_t room) {
  if (strchr(tag, '\n') != NULL) return 0; /* two tags are not one tag */
  search s = {ledger, tag, tag, routes, room, 0};
  sy_ledger_visit(ledger, match_tag, &s);
  return s.found;
}
