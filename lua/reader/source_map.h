/* source_map.h - where things stand in the text of a vehicle file.
**
** Lua forgets the lines of a table's fields, keeps the last of two equal keys without a word, and reads
** `mass = 12,5` as mass 12 and a nameless 5. So the text is read a second time, as tokens: every table
** constructor with its entries and their lines. No Lua state is needed; any bytes are accepted (text that is
** not Lua gives some tree), and the time is proportional to their number.
*/
#ifndef SYL_READER_SOURCE_MAP_H
#define SYL_READER_SOURCE_MAP_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/alloc.h"
#include "reader/lexer.h"

/* One entry of a table constructor: `key = value`, `["key"] = value`, or a value alone. Small on purpose: a page the
** allocator has to fetch from the system costs more than reading the tokens on it. */
typedef struct syl_map_entry {
  syl_piece key;   /* none: a value alone, or a key that is not a text */
  syl_piece value; /* all of it, from its first to its last token */
  int opening;     /* length of its first token when that is a number, else 0 */
  int line;        /* of its first token, from 1 */
  int table;       /* index of the constructor it belongs to */
  int previous;    /* index of the entry before it in the same constructor, or -1 */
  int child;       /* index of the first constructor in its value, or -1 */
  int place;       /* a value alone: which of its constructor, from 1; else 0 */
  bool positional;
  bool ends_in_number;
} syl_map_entry;

typedef struct syl_map_table {
  syl_piece word; /* `part` in  part "engine" { ... } */
  syl_piece name; /* what stands between its quotes, escapes as written */
  int line;       /* of the word; of the brace when there is none */
  int start;      /* byte where that is */
  int parent;     /* index of the entry whose value it is part of, or -1 */
  int last;       /* index of its last entry, or -1 */
  int listed;     /* how many values stand alone in it */
} syl_map_table;

typedef struct syl_source_map {
  const char *text;     /* what was read */
  syl_map_entry *entry; /* in the order of the text */
  syl_map_table *table;
  size_t entries, entry_room, tables, table_room;
  int full;                 /* line where there were too many, or 0 */
  const char *const *items; /* NULL, or the words that make items, NULL behind the last: silent_errors.h */
  sy_alloc alloc;
} syl_source_map;

/* Reads `size` bytes, which must outlive the result. Returns false when memory is out; `out` then owns nothing.
** More than 2^31 - 1 bytes are refused in the same way. Reading stops where more than 250 brackets and blocks lie inside
** one another: Lua reads 200; and behind SYL_MOST_ENTRIES entries or tables, so that what is taken up is bounded: `full` then
** is the line. */
enum { SYL_MOST_ENTRIES = 200000 };
bool syl_source_map_read(const char *text, size_t size, const sy_alloc *alloc, syl_source_map *out);
void syl_source_map_free(syl_source_map *map);

/* The constructor written as `word "name" {` on a line, or the first with that word on that line; -1 for none. */
int syl_source_map_find(const syl_source_map *map, const char *word, const char *name, int line);

/* The entry of a constructor by key (of a key given twice the second, as in Lua) or by place; -1 for none. */
int syl_source_map_key(const syl_source_map *map, int table, const char *key, size_t length);
int syl_source_map_place(const syl_source_map *map, int table, int place);

/* Adds to the module table on top of the stack:
**   source_map(bytes) -> map
**   map:find(word, name, line) -> constructor or nil, the byte it starts at
**   map:entry(constructor, key) -> line, the byte it starts at, constructor in its value or nil; nothing when there is
**       no such entry. key: a text, or a number for the values that stand alone.
**   map:span(constructor, key) -> from, first, last, behind: bytes, counted from 1: where the entry begins, the first and last of its
**       value, the last with the comma behind it; nothing when there is no such entry
**   map:braces(constructor) -> the bytes of its braces; nothing when it is never closed */
void syl_open_source_map(lua_State *L);

#endif
