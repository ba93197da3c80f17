#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "mass/ledger_check.h"
#include "mass/pairing_line.h"

const paired_line *sy_pairing_find(const sy_pairing *p, int f, uint64_t id) {
  size_t low = 0, high = p->count;
  while (low < high) {
    const size_t middle = low + (high - low) / 2;
    const paired_key *k = &p->key[f][middle];
    if (k->id == id) return &p->line[k->line];
    if (k->id < id)
      low = middle + 1;
    else
      high = middle;
  }
  return NULL;
}

void sy_pairing_free(sy_pairing *p) {
  if (p == NULL) return;
  const sy_alloc alloc = p->alloc;
  for (int f = 0; f < 2; f++) sy_family_release(p->family[f]);
  sy_alloc_free(&alloc, p, p->bytes);
}

/* ---- from a list of lines ------------------------------------------------------------------------------------------- */

static int ascending(const void *a, const void *b) {
  const paired_key *x = a, *y = b;
  return x->id < y->id ? -1 : x->id > y->id;
}

static sy_status sort_keys(sy_pairing *p, sy_error *err) {
  for (int f = 0; f < 2; f++) {
    for (size_t i = 0; i < p->count; i++) p->key[f][i] = (paired_key){p->line[i].id[f], i};
    if (p->count > 0) qsort(p->key[f], p->count, sizeof *p->key[f], ascending);
    for (size_t i = 1; i < p->count; i++)
      if (p->key[f][i].id == p->key[f][i - 1].id)
        return sy_fail(err, SY_CLASH, "pairing", f == 0 ? "from" : "to", "names one line twice");
  }
  return SY_OK;
}

/* One side of a line. *used counts child numbers. */
static sy_status take_side(sy_pairing *p, const sy_ledger *ledger, int f, const sy_route *route,
                           paired_line *line, uint32_t *used, sy_item *item, sy_error *err) {
  const sy_status status = sy_ledger_item(ledger, route, item, err);
  if (status != SY_OK) return status;
  const bool pair = item->group != NULL && item->group->twin;
  if ((item->group != NULL && !pair) || item->side)
    return sy_fail(err, SY_TYPE, item->name, f == 0 ? "from" : "to", "is not a part or a pair as a whole");
  line->id[f] = pair ? item->group->id : item->part->id;
  line->depth[f] = route->depth;
  line->way[f] = *used;
  memcpy(p->child + *used, route->child, route->depth * sizeof *p->child);
  *used += route->depth;
  return SY_OK;
}

/* Is the left piece of the pair the image of the one that is stated? */
static bool states_the_right(const sy_ledger *ledger, const sy_item *pair) {
  sy_route left = pair->route;
  sy_item item;
  left.child[left.depth++] = 0;
  return sy_ledger_item(ledger, &left, &item, NULL) == SY_OK && (item.part->flags & SY_PART_IMAGE) != 0;
}

/* The image of r in the centre plane: r - 2 n (n . r) - 2 n d with d the plane's offset; the last term goes with the shift. */
static void compare_as_images(paired_line *line, const sy_item *pair) {
  const sy_frame inside = sy_frame_compose(&pair->outer, &pair->group->frame);
  line->opposite = true;
  line->shift = sy_vec3_muladd(line->shift, 2.0 * inside.at.y, pair->group->twin_normal);
}

static sy_status take_lines(sy_pairing *p, const sy_ledger *const ledger[2], const sy_same_line *lines,
                            sy_error *err) {
  uint32_t used = 0;
  for (size_t i = 0; i < p->count; i++) {
    sy_item item[2];
    paired_line *line = &p->line[i];
    sy_status status = take_side(p, ledger[0], 0, &lines[i].from, line, &used, &item[0], err);
    if (status == SY_OK) status = take_side(p, ledger[1], 1, &lines[i].to, line, &used, &item[1], err);
    if (status != SY_OK) return status;
    if ((item[0].group != NULL) != (item[1].group != NULL))
      return sy_fail(err, SY_TYPE, "pairing", NULL, "names a part in one ledger and a pair in the other");
    if (!sy_vec3_finite(lines[i].shift)) return sy_fail(err, SY_RANGE, "pairing", "shift", "is not finite");
    line->shift = lines[i].shift;
    line->opposite = false;
    if (item[0].group != NULL &&
        states_the_right(ledger[0], &item[0]) != states_the_right(ledger[1], &item[1]))
      compare_as_images(line, &item[1]);
  }
  return sort_keys(p, err);
}

/* Those that state other uncertainties, such as a new certificate, are two instruments. */
static sy_status take_instruments(sy_pairing *p, const uint32_t *same, sy_error *err) {
  const family *const f[2] = {p->family[0], p->family[1]};
  bool taken[SY_MAX_INSTRUMENTS] = {false};
  for (size_t i = 0; same != NULL && i < SY_MAX_INSTRUMENTS; i++) {
    if (same[i] == 0) continue;
    if (i >= f[0]->instrument_count || same[i] > f[1]->instrument_count)
      return sy_fail(err, SY_UNKNOWN, "pairing", "instrument", "number %zu is not there", i + 1);
    if (taken[same[i] - 1])
      return sy_fail(err, SY_CLASH, "pairing", "instrument", "number %zu is named twice", (size_t)same[i]);
    taken[same[i] - 1] = true;
    const sy_instrument *a = &f[0]->instrument[i], *b = &f[1]->instrument[same[i] - 1];
    if (a->bias_sd == b->bias_sd && a->gain_sd == b->gain_sd) p->same_instrument[i] = same[i];
  }
  return SY_OK;
}

/* All arrays behind one another in one block, largest units first. */
static sy_pairing *room_for(const sy_alloc *alloc, const sy_same_line *lines, size_t count) {
  size_t children = 0;
  for (size_t i = 0; i < count; i++) children += (size_t)lines[i].from.depth + lines[i].to.depth;
  if (children > UINT32_MAX) return NULL;
  const size_t keys = sizeof(sy_pairing) + count * sizeof(paired_line);
  const size_t behind = keys + 2 * count * sizeof(paired_key);
  const size_t bytes = behind + children * sizeof(uint32_t);
  sy_pairing *p = sy_alloc_new(alloc, bytes);
  if (p == NULL) return NULL;
  memset(p, 0, sizeof *p);
  p->alloc = sy_alloc_or_default(alloc);
  p->bytes = bytes;
  p->count = count;
  p->line = (paired_line *)(p + 1);
  p->key[0] = (paired_key *)((char *)p + keys);
  p->key[1] = p->key[0] + count;
  p->child = (uint32_t *)((char *)p + behind);
  return p;
}

sy_status sy_pairing_new(const sy_alloc *alloc, const sy_ledger *from, const sy_ledger *to,
                         const sy_same_line *lines, size_t count,
                         const uint32_t same_instrument[SY_MAX_INSTRUMENTS], sy_pairing **out,
                         sy_error *err) {
  if (from->family == to->family)
    return sy_fail(err, SY_CLASH, "pairing", NULL, "is of two ledgers that know each other's lines already");
  for (size_t i = 0; i < count; i++) /* before they are copied */
    if (lines[i].from.depth > SY_MAX_NESTING || lines[i].to.depth > SY_MAX_NESTING)
      return sy_fail(err, SY_UNKNOWN, "ledger", NULL, "the route leads to no item");
  sy_pairing *p = room_for(alloc, lines, count);
  if (p == NULL) return sy_ledger_no_memory(err);
  p->family[0] = sy_family_share(from->family);
  p->family[1] = sy_family_share(to->family);
  sy_status status = take_lines(p, (const sy_ledger *const[2]){from, to}, lines, err);
  if (status == SY_OK) status = take_instruments(p, same_instrument, err);
  if (status != SY_OK) {
    sy_pairing_free(p);
    return status;
  }
  *out = p;
  return SY_OK;
}
