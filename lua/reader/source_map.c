#include "reader/source_map.h"

#include <limits.h>
#include <stdint.h>
#include <string.h>

#include <lauxlib.h>

/* ---- the tree --------------------------------------------------------------------------------------------- */

static bool is_sign(const syl_token *t, char sign) { return t->kind == SYL_SIGN && t->sign == sign; }

/* a bracket or block that is open: `table` is -1 when it is not a table constructor */
typedef struct level {
  int table;
  int entry;   /* the entry being read, or -1 between two */
  int last;    /* the entry before, or -1 */
  int outside; /* what `entry` is one level out: the entry that holds a constructor inside brackets */
} level;

enum { BEFORE = 4, DEEPEST = 250 };

typedef struct reader {
  syl_lexer lex;
  size_t size;
  syl_source_map *map;
  level *open;
  size_t depth, room;
  syl_token before[BEFORE]; /* the last tokens, in turn; the newest is number `count` */
  unsigned count;
} reader;

/* Twice the room, at first for `start`, for `most` at most. */
static void *grow(const sy_alloc *alloc, void *block, size_t *room, size_t start, size_t most, size_t size) {
  const size_t wanted = *room == 0 ? start : 2 * *room;
  const size_t more = wanted < most ? wanted : most;
  void *bigger = alloc->resize(alloc->user, block, *room * size, more * size);
  if (bigger != NULL) *room = more;
  return bigger;
}

static level *top(reader *r) { return r->depth > 0 ? &r->open[r->depth - 1] : NULL; }

/* The entry that whatever opens now belongs to, or -1. */
static int holder(reader *r) {
  const level *inner = top(r);
  if (inner == NULL) return -1;
  return inner->table >= 0 ? inner->entry : inner->outside;
}

static bool push(reader *r, int table) {
  const int outside = table >= 0 ? -1 : holder(r);
  if (r->depth == r->room) {
    level *bigger = grow(&r->map->alloc, r->open, &r->room, 32, DEEPEST + 2, sizeof *bigger);
    if (bigger == NULL) return false;
    r->open = bigger;
  }
  r->open[r->depth++] = (level){table, -1, -1, outside};
  return true;
}

/* `part "engine" {`, `part("engine") {` or `box {` */
static void name_table(const reader *r, syl_map_table *table) {
  const syl_token *last[BEFORE];
  for (unsigned i = 0; i < BEFORE; i++) last[i] = &r->before[(r->count - i) % BEFORE];
  const syl_token *word = NULL;
  if (last[0]->kind == SYL_NAME) {
    word = last[0];
  } else if (last[0]->kind == SYL_TEXT && last[1]->kind == SYL_NAME) {
    word = last[1];
    table->name = last[0]->text;
  } else if (is_sign(last[0], ')') && last[1]->kind == SYL_TEXT && is_sign(last[2], '(') &&
             last[3]->kind == SYL_NAME) {
    word = last[3];
    table->name = last[1]->text;
  }
  if (word == NULL) return;
  table->word = word->text;
  table->line = word->line;
  table->start = word->text.start;
}

static bool open_table(reader *r, const syl_token *brace) {
  syl_source_map *map = r->map;
  if (map->tables == map->table_room) {
    syl_map_table *bigger =
        grow(&map->alloc, map->table, &map->table_room, 64 + r->size / 48, SYL_MOST_ENTRIES, sizeof *bigger);
    if (bigger == NULL) return false;
    map->table = bigger;
  }
  const int index = (int)map->tables++;
  const int parent = holder(r);
  map->table[index] = (syl_map_table){.word = {-1, 0},
                                      .name = {-1, 0},
                                      .line = brace->line,
                                      .start = brace->text.start,
                                      .parent = parent,
                                      .last = -1};
  name_table(r, &map->table[index]);
  if (parent >= 0 && map->entry[parent].child < 0) map->entry[parent].child = index;
  return push(r, index);
}

/* The first token of an entry is at hand: takes in `key =`, and gives back the first token of the value. */
static syl_token read_key(reader *r, syl_token first, syl_map_entry *entry) {
  syl_lexer ahead = r->lex;
  const syl_token second = syl_next_token(&ahead);
  if (first.kind == SYL_NAME && is_sign(&second, '=')) {
    entry->key = first.text;
  } else if (is_sign(&first, '[')) {
    const syl_token third = syl_next_token(&ahead);
    const syl_token fourth = syl_next_token(&ahead);
    entry->positional = false;
    if (second.kind != SYL_TEXT || !is_sign(&third, ']') || !is_sign(&fourth, '=')) return first;
    entry->key = second.text;
  } else {
    return first;
  }
  entry->positional = false;
  r->lex = ahead;
  return syl_next_token(&r->lex);
}

static bool begin_entry(reader *r, syl_token *t) {
  syl_source_map *map = r->map;
  if (map->entries == map->entry_room) {
    syl_map_entry *bigger =
        grow(&map->alloc, map->entry, &map->entry_room, 64 + r->size / 12, SYL_MOST_ENTRIES, sizeof *bigger);
    if (bigger == NULL) return false;
    map->entry = bigger;
  }
  level *in = top(r);
  syl_map_entry entry = {.key = {-1, 0},
                         .line = t->line,
                         .table = in->table,
                         .previous = in->last,
                         .child = -1,
                         .positional = true};
  *t = read_key(r, *t, &entry);
  entry.value = (syl_piece){t->text.start, 0};
  if (t->kind == SYL_NUMBER) entry.opening = t->text.length;
  if (entry.positional) entry.place = ++map->table[in->table].listed;
  in->entry = in->last = map->table[in->table].last = (int)map->entries;
  map->entry[map->entries++] = entry;
  return true;
}

/* `word` is as long as the token */
static bool is_word(const reader *r, const syl_token *t, const char *word) {
  return memcmp(r->lex.text + t->text.start, word, (size_t)t->text.length) == 0;
}

/* +1 for a token that opens a bracket or a block, -1 for one that closes it, else 0 */
static int nesting(const reader *r, const syl_token *t) {
  if (t->kind == SYL_SIGN)
    return t->sign == '{' || t->sign == '(' || t->sign == '['   ? 1
           : t->sign == '}' || t->sign == ')' || t->sign == ']' ? -1
                                                                : 0;
  if (t->kind != SYL_NAME) return 0;
  switch (t->text.length) {
  case 2: return is_word(r, t, "if") || is_word(r, t, "do") ? 1 : 0;
  case 3: return is_word(r, t, "end") ? -1 : 0;
  case 5: return is_word(r, t, "until") ? -1 : 0;
  case 6: return is_word(r, t, "repeat") ? 1 : 0;
  case 8: return is_word(r, t, "function") ? 1 : 0;
  default: return 0;
  }
}

/* One token, already read; where `key =` comes first, `t` becomes the token behind. Returns false when memory is out. */
static bool take(reader *r, syl_token *t) {
  level *in = top(r);
  int nests = nesting(r, t);
  if (in != NULL && in->table >= 0) {
    if (is_sign(t, ',') || is_sign(t, ';')) {
      in->entry = -1;
      return true;
    }
    if (in->entry < 0 && nests >= 0) {
      if (!begin_entry(r, t)) return false;
      nests = nesting(r, t); /* of the first token behind `key =` */
    }
  }
  if (nests < 0) {
    if (r->depth > 0) r->depth--;
    in = top(r);
  }
  if (in != NULL && in->table >= 0 && in->entry >= 0) { /* the token is the last of its entry so far */
    syl_map_entry *entry = &r->map->entry[in->entry];
    entry->value.length = t->end - entry->value.start;
    entry->ends_in_number = t->kind == SYL_NUMBER;
  }
  if (nests > 0) return is_sign(t, '{') ? open_table(r, t) : push(r, -1);
  return true;
}

bool syl_source_map_read(const char *text, size_t size, const sy_alloc *alloc, syl_source_map *out) {
  *out = (syl_source_map){.text = text, .alloc = *alloc};
  if (size > INT_MAX) return false;
  reader r = {.lex = {text, text, text + size, 1, false}, .size = size, .map = out};
  bool fine = true;
  for (syl_token t = syl_next_token(&r.lex); fine && t.kind != SYL_END && r.depth <= DEEPEST;
       t = syl_next_token(&r.lex)) {
    if (out->entries == SYL_MOST_ENTRIES || out->tables == SYL_MOST_ENTRIES) {
      out->full = t.line;
      break;
    }
    fine = take(&r, &t);
    r.before[++r.count % BEFORE] = t;
  }
  sy_alloc_free(alloc, r.open, r.room * sizeof *r.open);
  if (!fine) syl_source_map_free(out);
  return fine;
}

void syl_source_map_free(syl_source_map *map) {
  sy_alloc_free(&map->alloc, map->entry, map->entry_room * sizeof *map->entry);
  sy_alloc_free(&map->alloc, map->table, map->table_room * sizeof *map->table);
  *map = (syl_source_map){.alloc = map->alloc};
}

/* ---- finding ------------------------------------------------------------------------------------------------ */

static bool reads(const syl_source_map *map, syl_piece piece, const char *text, size_t length) {
  return piece.start >= 0 && (size_t)piece.length == length &&
         memcmp(map->text + piece.start, text, length) == 0;
}

int syl_source_map_find(const syl_source_map *map, const char *word, const char *name, int line) {
  int second = -1;
  for (size_t i = 0; i < map->tables; i++) {
    const syl_map_table *t = &map->table[i];
    if (t->line != line || !reads(map, t->word, word, strlen(word))) continue;
    if (t->name.start < 0 ? name[0] == '\0' : reads(map, t->name, name, strlen(name))) return (int)i;
    if (second < 0) second = (int)i;
  }
  return second;
}

int syl_source_map_key(const syl_source_map *map, int table, const char *key, size_t length) {
  int i = map->table[table].last;
  while (i >= 0 && !reads(map, map->entry[i].key, key, length)) i = map->entry[i].previous;
  return i;
}

int syl_source_map_place(const syl_source_map *map, int table, int place) {
  int i = map->table[table].last;
  while (i >= 0 && map->entry[i].place != place) i = map->entry[i].previous;
  return i;
}

/* ---- Lua -------------------------------------------------------------------------------------------------- */

#define MAP_BOX "steelyard.source_map"

static int l_free(lua_State *L) {
  syl_source_map_free(luaL_checkudata(L, 1, MAP_BOX));
  return 0;
}

/* map:find(word, name, line) -> constructor, byte */
static int l_find(lua_State *L) {
  const syl_source_map *map = luaL_checkudata(L, 1, MAP_BOX);
  const lua_Integer line = luaL_checkinteger(L, 4);
  if (line < 1 || line > INT_MAX) return 0;
  const int table = syl_source_map_find(map, luaL_checkstring(L, 2), luaL_checkstring(L, 3), (int)line);
  if (table < 0) return 0;
  lua_pushinteger(L, table);
  lua_pushinteger(L, map->table[table].start);
  return 2;
}

static int check_constructor(lua_State *L, const syl_source_map *map) {
  const lua_Integer table = luaL_checkinteger(L, 2);
  luaL_argcheck(L, table >= 0 && (size_t)table < map->tables, 2, "no such constructor");
  return (int)table;
}

/* The entry of the constructor at 2 by the key at 3, or NULL. */
static const syl_map_entry *find_entry(lua_State *L, const syl_source_map *map) {
  const int table = check_constructor(L, map);
  int i = -1;
  if (lua_type(L, 3) == LUA_TSTRING) {
    size_t length;
    const char *key = lua_tolstring(L, 3, &length);
    i = syl_source_map_key(map, table, key, length);
  } else if (lua_isinteger(L, 3) && lua_tointeger(L, 3) > 0 && lua_tointeger(L, 3) <= INT_MAX) {
    i = syl_source_map_place(map, table, (int)lua_tointeger(L, 3));
  }
  return i >= 0 ? &map->entry[i] : NULL;
}

/* map:entry(constructor, key) -> line, byte, constructor */
static int l_entry(lua_State *L) {
  const syl_source_map *map = luaL_checkudata(L, 1, MAP_BOX);
  const syl_map_entry *entry = find_entry(L, map);
  if (entry == NULL) return 0;
  lua_pushinteger(L, entry->line);
  lua_pushinteger(L, entry->key.start >= 0 ? entry->key.start : entry->value.start);
  if (entry->child < 0) return 2;
  lua_pushinteger(L, entry->child);
  return 3;
}

/* The tokens of the map's text from a byte on. */
static syl_lexer lexer_at(lua_State *L, int byte) {
  size_t size;
  lua_getiuservalue(L, 1, 1);
  const char *text = lua_tolstring(L, -1, &size);
  lua_pop(L, 1); /* the map keeps it alive */
  return (syl_lexer){text, text + byte, text + size, 1, false};
}

/* Is the piece that begins here a text? Pieces leave the quote before it out. */
static bool is_quoted(const syl_source_map *map, int at) {
  return at > 0 && (map->text[at - 1] == '"' || map->text[at - 1] == '\'');
}

static int value_start(const syl_source_map *map, const syl_map_entry *entry) {
  return is_quoted(map, entry->value.start) ? entry->value.start - 1 : entry->value.start;
}

/* Where an entry begins: at its key, and at the bracket of a key in brackets. */
static int beginning(const syl_source_map *map, const syl_map_entry *entry) {
  if (entry->key.start < 0) return value_start(map, entry);
  int at = entry->key.start;
  if (!is_quoted(map, at)) return at;
  while (at > 0 && map->text[at] != '[') at--;
  return at;
}

/* map:span(constructor, key) -> from, first, last, behind */
static int l_span(lua_State *L) {
  const syl_source_map *map = luaL_checkudata(L, 1, MAP_BOX);
  const syl_map_entry *entry = find_entry(L, map);
  if (entry == NULL) return 0;
  const int end = entry->value.start + entry->value.length;
  syl_lexer lex = lexer_at(L, end);
  const syl_token next = syl_next_token(&lex);
  lua_pushinteger(L, beginning(map, entry) + 1);
  lua_pushinteger(L, value_start(map, entry) + 1);
  lua_pushinteger(L, end);
  lua_pushinteger(L, is_sign(&next, ',') || is_sign(&next, ';') ? next.end : end);
  return 4;
}

/* map:braces(constructor) -> opening, closing */
static int l_braces(lua_State *L) {
  const syl_source_map *map = luaL_checkudata(L, 1, MAP_BOX);
  syl_lexer lex = lexer_at(L, map->table[check_constructor(L, map)].start);
  int depth = 0, opening = 0;
  for (syl_token t = syl_next_token(&lex); t.kind != SYL_END; t = syl_next_token(&lex)) {
    if (is_sign(&t, '{') && depth++ == 0) opening = t.end;
    if (!is_sign(&t, '}') || depth == 0 || --depth > 0) continue;
    lua_pushinteger(L, opening);
    lua_pushinteger(L, t.end);
    return 2;
  }
  return 0;
}

/* core.source_map(bytes) -> map */
static int l_source_map(lua_State *L) {
  static const luaL_Reg methods[] = {
      {"find", l_find}, {"entry", l_entry}, {"span", l_span}, {"braces", l_braces}, {NULL, NULL}};
  size_t size;
  const char *text = luaL_checklstring(L, 1, &size);
  const sy_alloc alloc = sy_alloc_default();
  syl_source_map *map = lua_newuserdatauv(L, sizeof *map, 1);
  *map = (syl_source_map){.alloc = alloc};
  if (luaL_newmetatable(L, MAP_BOX)) {
    lua_pushcfunction(L, l_free);
    lua_setfield(L, -2, "__gc");
    luaL_newlib(L, methods);
    lua_setfield(L, -2, "__index");
  }
  lua_setmetatable(L, -2); /* from here on the collector frees it */
  lua_pushvalue(L, 1);
  lua_setiuservalue(L, -2, 1); /* the text stays as long as the map does */
  if (!syl_source_map_read(text, size, &alloc, map)) return luaL_error(L, "not enough memory");
  return 1;
}

void syl_open_source_map(lua_State *L) {
  lua_pushcfunction(L, l_source_map);
  lua_setfield(L, -2, "source_map");
}
