#include "reader/silent_errors.h"

#include <stdio.h>
#include <string.h>

/* indices of entries: the one that is wrong and the one it is held against */
typedef struct pair {
  int entry, other;
} pair;

/* Entries of one constructor side by side, of one key in the order of the text. */
static bool key_before(const syl_source_map *map, int a, int b) {
  const syl_map_entry *one = &map->entry[a], *other = &map->entry[b];
  if (one->table != other->table) return one->table < other->table;
  if (one->key.length != other->key.length) return one->key.length < other->key.length;
  const int order = memcmp(map->text + one->key.start, map->text + other->key.start, (size_t)one->key.length);
  return order != 0 ? order < 0 : a < b;
}

static bool same_key(const syl_source_map *map, int a, int b) {
  const syl_map_entry *one = &map->entry[a], *other = &map->entry[b];
  return one->table == other->table && one->key.length == other->key.length &&
         memcmp(map->text + one->key.start, map->text + other->key.start, (size_t)one->key.length) == 0;
}

static void sink(const syl_source_map *map, int *heap, size_t at, size_t count) {
  for (size_t child = 2 * at + 1; child < count; child = 2 * at + 1) {
    if (child + 1 < count && key_before(map, heap[child], heap[child + 1])) child++;
    if (!key_before(map, heap[at], heap[child])) return;
    const int lower = heap[at];
    heap[at] = heap[child];
    heap[child] = lower;
    at = child;
  }
}

/* Heapsort: n log n whatever the keys, while every hash of a fixed seed has keys that collide. */
static void sort_keys(const syl_source_map *map, int *list, size_t count) {
  for (size_t i = count / 2; i-- > 0;) sink(map, list, i, count);
  for (size_t end = count; end-- > 1;) {
    const int last = list[end];
    list[end] = list[0];
    list[0] = last;
    sink(map, list, 0, end);
  }
}

/* The first entry whose key stands in the same constructor already; `list` has room for all entries. */
static bool find_twice(const syl_source_map *map, int *list, pair *out) {
  size_t count = 0;
  for (int i = 0; i < (int)map->entries; i++)
    if (map->entry[i].key.start >= 0) list[count++] = i;
  sort_keys(map, list, count);
  bool found = false;
  for (size_t i = 1; i < count; i++) {
    if (!same_key(map, list[i - 1], list[i]) || (found && list[i] > out->entry)) continue;
    found = true;
    *out = (pair){list[i], list[i - 1]};
  }
  return found;
}

/* The first number that a decimal comma tore off the entry before it. */
static bool find_comma(const syl_source_map *map, pair *out) {
  for (int i = 0; i < (int)map->entries; i++) {
    const syl_map_entry *entry = &map->entry[i];
    if (!entry->positional || entry->opening == 0 || entry->previous < 0) continue;
    const syl_map_entry *before = &map->entry[entry->previous];
    if (before->positional || !before->ends_in_number) continue;
    *out = (pair){entry->previous, i};
    return true;
  }
  return false;
}

static bool is_item(const syl_source_map *map, const syl_map_table *table) {
  if (table->word.start < 0 || table->name.start < 0) return false;
  const size_t length = (size_t)table->word.length;
  for (const char *const *item = map->items; *item != NULL; item++)
    if (length == strlen(*item) && memcmp(map->text + table->word.start, *item, length) == 0) return true;
  return false;
}

static void keep_piece(char *buffer, size_t room, const syl_source_map *map, int start, int length) {
  syl_keep_text(buffer, room, map->text + start, (size_t)length);
}

/* The path "group/part" of the item that entry `entry` belongs to, and its word. */
static void name_item(const syl_source_map *map, const syl_map_entry *entry, syl_problem *out) {
  char path[sizeof out->part] = "";
  const syl_map_entry *at = entry;
  while (at != NULL) {
    const syl_map_table *table = &map->table[at->table];
    if (is_item(map, table)) {
      char name[sizeof out->part], longer[sizeof name + sizeof path + 1];
      keep_piece(name, sizeof name, map, table->name.start, table->name.length);
      if (path[0] == '\0')
        keep_piece(out->kind, sizeof out->kind, map, table->word.start, table->word.length);
      snprintf(longer, sizeof longer, "%s%s%s", name, path[0] == '\0' ? "" : "/", path);
      syl_keep_text(path, sizeof path, longer, strlen(longer));
    }
    at = table->parent >= 0 ? &map->entry[table->parent] : NULL;
  }
  memcpy(out->part, path, sizeof path);
}

static void describe_twice(const syl_source_map *map, pair which, syl_problem *out) {
  const syl_map_entry *entry = &map->entry[which.entry], *first = &map->entry[which.other];
  snprintf(out->code, sizeof out->code, "content");
  if (first->line == entry->line)
    snprintf(out->message, sizeof out->message, "is given twice on this line");
  else
    snprintf(out->message, sizeof out->message, "is given twice, first on line %d", first->line);
  snprintf(out->hint, sizeof out->hint, "Lua would keep the second alone");
  out->line = entry->line;
}

static void describe_comma(const syl_source_map *map, pair which, syl_problem *out) {
  const syl_map_entry *entry = &map->entry[which.entry], *tail = &map->entry[which.other];
  char value[64], rest[64];
  keep_piece(value, sizeof value, map, entry->value.start, entry->value.length);
  keep_piece(rest, sizeof rest, map, tail->value.start, tail->opening);
  snprintf(out->code, sizeof out->code, "content");
  snprintf(out->message, sizeof out->message, "%s,%s is two values, %s and a nameless %s", value, rest, value,
           rest);
  snprintf(out->hint, sizeof out->hint, "decimals take a point: %s.%s", value, rest);
  out->line = tail->line;
}

static syl_silent_error find_in(const syl_source_map *map, int *list, syl_problem *out) {
  pair comma = {0, 0}, twice = {0, 0};
  const bool has_comma = find_comma(map, &comma);
  const bool has_twice = find_twice(map, list, &twice);
  if (!has_comma && !has_twice) return SYL_SILENT_NONE;
  *out = (syl_problem){.line = 0};
  const bool comma_first = has_comma && (!has_twice || comma.other < twice.entry);
  const syl_map_entry *entry = &map->entry[comma_first ? comma.entry : twice.entry];
  name_item(map, entry, out);
  if (entry->key.start >= 0)
    keep_piece(out->field, sizeof out->field, map, entry->key.start, entry->key.length);
  if (comma_first)
    describe_comma(map, comma, out);
  else
    describe_twice(map, twice, out);
  return SYL_SILENT_FOUND;
}

syl_silent_error syl_find_silent_error(const char *text, size_t size, const char *const *items,
                                       const sy_alloc *alloc, syl_problem *out) {
  syl_source_map map;
  if (!syl_source_map_read(text, size, alloc, &map)) return SYL_SILENT_NO_MEMORY;
  map.items = items;
  syl_silent_error found = SYL_SILENT_NO_MEMORY;
  int *list = sy_alloc_new(alloc, (map.entries + 1) * sizeof *list);
  if (map.full > 0) {
    *out = (syl_problem){.line = map.full};
    snprintf(out->code, sizeof out->code, "limit");
    snprintf(out->message, sizeof out->message, "has more than %d entries", SYL_MOST_ENTRIES);
    snprintf(out->hint, sizeof out->hint, "long lists of parts are read from tables, with from_csv");
    found = SYL_SILENT_LIMIT;
  } else if (list != NULL) {
    found = find_in(&map, list, out);
  }
  sy_alloc_free(alloc, list, (map.entries + 1) * sizeof *list);
  syl_source_map_free(&map);
  return found;
}

/* ---- naming a line -------------------------------------------------------------------------------------------- */

/* Lua allows 200 brackets inside one another, and nobody writes a thousand entries on a line; text that is not Lua may
** hold millions of both, and is not followed up. */
enum { LEVELS = 200, ENTRIES_ON_A_LINE = 1000 };

/* Going up from an entry: its innermost item, and the entry of that item it lies in. Entry index, or -1. */
static int entry_of_item(const syl_source_map *map, int entry) {
  for (int level = 0; level < LEVELS && entry >= 0; level++) {
    if (is_item(map, &map->table[map->entry[entry].table])) return entry;
    entry = map->table[map->entry[entry].table].parent;
  }
  return -1;
}

/* Does the constructor `inner` lie in `outer`, or is it the same? */
static bool lies_in(const syl_source_map *map, int inner, int outer) {
  while (inner != outer && map->table[inner].parent >= 0) inner = map->entry[map->table[inner].parent].table;
  return inner == outer;
}

static void name_line(const syl_source_map *map, syl_problem *problem) {
  int item = -1, found = -1; /* the innermost item on the line, and its entry there; -2: more than one */
  int seen = 0;
  for (int i = 0; i < (int)map->entries; i++) {
    if (map->entry[i].line != problem->line) continue;
    if (++seen > ENTRIES_ON_A_LINE) return;
    const int at = entry_of_item(map, i);
    if (at < 0) continue;
    const int own = map->entry[at].table;
    if (item >= 0 && own != item && lies_in(map, item, own)) continue;
    if (item >= 0 && own != item && !lies_in(map, own, item))
      return; /* two parts: which one cannot be determined */
    found = own != item || found == at ? at : -2;
    item = own;
  }
  if (item < 0) return;
  syl_problem named = {.line = 0};
  const syl_map_entry inside = {.table = item};
  name_item(map, &inside, &named);
  memcpy(problem->part, named.part, sizeof named.part);
  memcpy(problem->kind, named.kind, sizeof named.kind);
  if (found >= 0 && map->entry[found].key.start >= 0)
    keep_piece(problem->field, sizeof problem->field, map, map->entry[found].key.start,
               map->entry[found].key.length);
}

void syl_name_line(const char *text, size_t size, const char *const *items, const sy_alloc *alloc,
                   syl_problem *problem) {
  syl_source_map map;
  if (problem->line <= 0 || problem->part[0] != '\0' || !syl_source_map_read(text, size, alloc, &map)) return;
  map.items = items;
  name_line(&map, problem);
  syl_source_map_free(&map);
}
