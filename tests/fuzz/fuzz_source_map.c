/* fuzz_source_map.c - any bytes through the source map: it ends, stays inside the text, and its tree holds together. */
#include <stdint.h>
#include <stdlib.h>

#include "reader/silent_errors.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(bool holds) {
  if (!holds) abort();
}

static void demand_inside(syl_piece piece, size_t size) {
  if (piece.start < 0) return;
  demand(piece.length >= 0 && (size_t)piece.start + (size_t)piece.length <= size);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  const sy_alloc alloc = sy_alloc_default();
  const char *text = (const char *)data;
  syl_source_map s;
  demand(syl_source_map_read(text, size, &alloc, &s));
  for (size_t i = 0; i < s.entries; i++) {
    const syl_map_entry *e = &s.entry[i];
    demand_inside(e->key, size);
    demand_inside(e->value, size);
    demand(e->opening >= 0 && (size_t)e->value.start + (size_t)e->opening <= size);
    demand(e->line >= 1 && e->table >= 0 && (size_t)e->table < s.tables);
    demand(e->previous < (int)i && e->child < (int)s.tables);
    demand(e->previous < 0 || s.entry[e->previous].table == e->table);
    demand(e->child < 0 || s.table[e->child].parent == (int)i);
  }
  for (size_t i = 0; i < s.tables; i++) {
    demand_inside(s.table[i].word, size);
    demand_inside(s.table[i].name, size);
    demand(s.table[i].parent < (int)s.entries);
    demand(s.table[i].parent < 0 || s.entry[s.table[i].parent].table < (int)i);
  }
  syl_source_map_free(&s);
  syl_problem problem;
  static const char *const items[] = {"part", "group", NULL};
  demand(syl_find_silent_error(text, size, items, &alloc, &problem) != SYL_SILENT_NO_MEMORY);
  return 0;
}
