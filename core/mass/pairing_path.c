/* pairing_path.c - lines of two ledgers that have the same path of names, and how far apart their zeros are. */
#include <stdlib.h>
#include <string.h>

#include "mass/ledger_check.h"
#include "mass/pairing.h"

/* A line by its path; `order` in the file, so that the first of several with one path is found. */
typedef struct named_line {
  uint64_t hash;
  size_t order;
  bool pair;
  sy_route route;
} named_line;

typedef struct listing {
  named_line *lines; /* NULL: only counted */
  size_t count;
  uint64_t hash[SY_MAX_NESTING + 1]; /* of the path to each depth */
  bool named[SY_MAX_NESTING + 1];    /* all of it */
} listing;

/* FNV-1a, a zero after each name. Paths are compared before they are believed to be the same. */
static uint64_t hash_on(uint64_t h, const char *name) {
  for (const char *c = name;; c++) {
    h = (h ^ (unsigned char)*c) * 1099511628211u;
    if (*c == 0) return h;
  }
}

static bool list_item(void *user, const sy_item *item) {
  listing *l = user;
  const uint32_t d = item->route.depth;
  l->named[d] = item->name != NULL && l->named[d - 1];
  if (!l->named[d]) return false; /* what has no name has no path, nor has anything inside it */
  l->hash[d] = hash_on(l->hash[d - 1], item->name);
  const bool pair = item->group != NULL && item->group->twin;
  if (item->group != NULL && !pair) return true;
  if (l->lines != NULL) l->lines[l->count] = (named_line){l->hash[d], l->count, pair, item->route};
  l->count++;
  return false;
}

static size_t list_lines(const sy_ledger *ledger, named_line *lines) {
  listing l = {.lines = lines, .hash = {14695981039346656037u}, .named = {true}};
  sy_ledger_visit(ledger, list_item, &l);
  return l.count;
}

static int by_path(const void *a, const void *b) {
  const named_line *x = a, *y = b;
  if (x->hash != y->hash) return x->hash < y->hash ? -1 : 1;
  return x->order < y->order ? -1 : x->order > y->order;
}

static bool same_names(const sy_ledger *from, const sy_ledger *to, const sy_route *a, const sy_route *b) {
  if (a->depth != b->depth) return false;
  sy_route x = *a, y = *b;
  for (; x.depth > 0; x.depth--, y.depth--) {
    sy_item p, q;
    if (sy_ledger_item(from, &x, &p, NULL) != SY_OK || sy_ledger_item(to, &y, &q, NULL) != SY_OK)
      return false;
    if (strcmp(p.name, q.name) != 0) return false;
  }
  return true;
}

/* Both lists in the order of their paths; returns how many lines are in both. */
static size_t match(const sy_ledger *from, const sy_ledger *to, const named_line *a, size_t na,
                    const named_line *b, size_t nb, sy_same_line *out) {
  size_t count = 0, i = 0, j = 0;
  while (i < na && j < nb) {
    const uint64_t x = a[i].hash, y = b[j].hash;
    if (x == y && a[i].pair == b[j].pair && same_names(from, to, &a[i].route, &b[j].route))
      out[count++] = (sy_same_line){a[i].route, b[j].route, {0, 0, 0}};
    if (x <= y) /* on to the next path: of equal ones the first counts */
      while (i < na && a[i].hash == x) i++;
    if (y <= x)
      while (j < nb && b[j].hash == y) j++;
  }
  return count;
}

static void same_numbers(const sy_ledger *from, const sy_ledger *to, uint32_t same[SY_MAX_INSTRUMENTS]) {
  sy_instrument a[SY_MAX_INSTRUMENTS], b[SY_MAX_INSTRUMENTS];
  const size_t na = sy_ledger_instruments(from, a), nb = sy_ledger_instruments(to, b);
  for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++)
    same[i] = i < na && i < nb && a[i].bias_sd == b[i].bias_sd && a[i].gain_sd == b[i].gain_sd
                  ? (uint32_t)i + 1
                  : 0;
}

sy_status sy_pairing_by_path(const sy_alloc *alloc, const sy_ledger *from, const sy_ledger *to,
                             sy_pairing **out, sy_error *err) {
  const size_t na = list_lines(from, NULL), nb = list_lines(to, NULL), least = na < nb ? na : nb;
  const size_t list_bytes = (na + nb + 1) * sizeof(named_line),
               line_bytes = (least + 1) * sizeof(sy_same_line);
  named_line *list = sy_alloc_new(alloc, list_bytes);
  sy_same_line *lines = sy_alloc_new(alloc, line_bytes);
  sy_status status = list != NULL && lines != NULL ? SY_OK : sy_ledger_no_memory(err);
  if (list != NULL && lines != NULL) {
    uint32_t same[SY_MAX_INSTRUMENTS];
    list_lines(from, list);
    list_lines(to, list + na);
    qsort(list, na, sizeof *list, by_path);
    qsort(list + na, nb, sizeof *list, by_path);
    same_numbers(from, to, same);
    const size_t count = match(from, to, list, na, list + na, nb, lines);
    status = sy_pairing_new(alloc, from, to, lines, count, same, out, err);
  }
  sy_alloc_free(alloc, lines, line_bytes);
  sy_alloc_free(alloc, list, list_bytes);
  return status;
}

/* ---- zeros ----------------------------------------------------------------------------------------------------------- */

/* From the zero of the group at that depth to that of what surrounds the item, in the vehicle's directions; `turn` is of the latter. */
static sy_status from_group(const sy_ledger *ledger, const sy_route *route, uint32_t depth, sy_vec3 *out,
                            sy_mat3 *turn, sy_error *err) {
  sy_item item, inside;
  sy_route first = *route;
  const sy_status status = sy_ledger_item(ledger, route, &item, err);
  if (status != SY_OK) return status;
  if (depth >= route->depth)
    return sy_fail(err, SY_UNKNOWN, item.name, "depth", "is %zu, must be of a group around it",
                   (size_t)depth);
  first.depth = depth + 1;
  if (sy_ledger_item(ledger, &first, &inside, err) != SY_OK) return SY_UNKNOWN;
  *out = sy_vec3_sub(item.outer.at, inside.outer.at);
  *turn = item.outer.turn;
  return SY_OK;
}

sy_status sy_pairing_shift(const sy_ledger *from, const sy_ledger *to, const sy_same_line *line,
                           const uint32_t depth[2], sy_vec3 by, sy_vec3 *shift, sy_error *err) {
  sy_vec3 old, new;
  sy_mat3 turn;
  if (!sy_vec3_finite(by)) return sy_fail(err, SY_RANGE, "pairing", "by", "is not finite");
  sy_status status = from_group(from, &line->from, depth[0], &old, &turn, err);
  if (status == SY_OK) status = from_group(to, &line->to, depth[1], &new, &turn, err);
  if (status != SY_OK) return status;
  sy_vec3 apart = sy_vec3_sub(old, new);
  if (depth[1] == 0) apart = sy_vec3_add(apart, by);
  *shift = sy_mat3_apply(sy_mat3_transpose(turn), apart);
  return SY_OK;
}
