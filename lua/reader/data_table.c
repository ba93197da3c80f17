/* data_table.c - tables in braces, and their entries. */
#include "reader/data_reader.h"

enum {
  DEEPEST = 60, /* tables and words in one another */
  GATHERED = 16 /* entries that are counted before their table is made */
};

/* Source  Lua 5.4 Reference Manual, 3.1 */
static bool is_reserved(const syl_data_reader *r) {
  static const char *const words[] = {"and",      "break",  "do",   "else", "elseif", "end",  "false", "for",
                                      "function", "goto",   "if",   "in",   "local",  "nil",  "not",   "or",
                                      "repeat",   "return", "then", "true", "until",  "while"};
  for (size_t i = 0; i < sizeof words / sizeof *words; i++)
    if (syl_data_reads(r, words[i])) return true;
  return false;
}

/* An entry: pushes its value, below it a key if it has one. */
static bool entry(syl_data_reader *r, bool *named) {
  *named = false;
  if (syl_data_take_sign(r, '[')) {
    *named = true;
    if (!syl_data_text(r, false) || !syl_data_take_sign(r, ']') || !syl_data_take_sign(r, '=')) return false;
  } else if (r->at.kind == SYL_NAME) {
    syl_lexer ahead = r->lex;
    const syl_token next = syl_next_token(&ahead);
    if (next.kind == SYL_SIGN && next.sign == '=') {
      *named = true;
      if (is_reserved(r)) return false;
      lua_pushlstring(r->L, r->lex.text + r->at.text.start, (size_t)r->at.text.length);
      r->lex = ahead;
      syl_data_advance(r);
    }
  }
  return r->value(r);
}

/* The key and value on top of the stack into the table at `table`; false when the key is there already. */
static bool put(lua_State *L, int table) {
  lua_pushvalue(L, -2);
  const bool fresh = lua_rawget(L, table) == LUA_TNIL;
  lua_pop(L, 1);
  if (fresh) lua_rawset(L, table);
  return fresh;
}

typedef struct gathering {
  int table;                 /* stack index of the table, or nil there while its entries are gathered above */
  bool made;                 /* is it there? */
  int count;                 /* entries gathered: values, below each its key if it has one */
  int named;                 /* of them */
  lua_Integer length;        /* of the table's list */
  const char *key[GATHERED]; /* of each; NULL in the list */
} gathering;

/* Short texts are one object in Lua wherever they come from; longer ones are compared. */
static bool same_text(const char *a, const char *b) { return a == b || strcmp(a, b) == 0; }

static bool note_key(lua_State *L, gathering *g, bool named) {
  const char *key = named ? lua_tostring(L, -2) : NULL;
  for (int i = 0; named && i < g->count; i++)
    if (g->key[i] != NULL && same_text(g->key[i], key)) return false;
  g->key[g->count++] = key;
  g->named += named;
  return true;
}

/* The gathered entries go into their table. */
static void make_table(lua_State *L, gathering *g) {
  g->length = g->count - g->named;
  lua_createtable(L, (int)g->length, g->named);
  lua_replace(L, g->table);
  lua_Integer place = g->length;
  for (int i = g->count - 1; i >= 0; i--) /* from the top of the stack down */
    if (g->key[i] != NULL)
      lua_rawset(L, g->table);
    else
      lua_rawseti(L, g->table, place--);
  g->made = true;
}

bool syl_data_table(syl_data_reader *r) {
  lua_State *L = r->L;
  if (r->depth == DEEPEST || !lua_checkstack(L, 2 * GATHERED + SYL_DATA_ROOM) || !syl_data_take_sign(r, '{'))
    return false;
  r->depth++;
  lua_pushnil(L);
  gathering g = {.table = lua_gettop(L)};
  bool torn = false; /* may the next entry be what a comma tore off? */
  while (!syl_data_is_sign(r, '}')) {
    bool named;
    if (torn && r->at.kind == SYL_NUMBER) return false;
    if (!entry(r, &named)) return false;
    torn = named && r->before.kind == SYL_NUMBER;
    if (!g.made) {
      if (!note_key(L, &g, named)) return false;
      if (g.count == GATHERED) make_table(L, &g);
    } else if (!named) {
      lua_rawseti(L, g.table, ++g.length);
    } else if (!put(L, g.table)) {
      return false;
    }
    if (!syl_data_take_sign(r, ',') && !syl_data_take_sign(r, ';') && !syl_data_is_sign(r, '}')) return false;
  }
  syl_data_advance(r);
  r->depth--;
  if (!g.made) make_table(L, &g);
  return true;
}

bool syl_data_braces(syl_data_reader *r) {
  const bool bracket = syl_data_take_sign(r, '(');
  return syl_data_table(r) && (!bracket || syl_data_take_sign(r, ')'));
}
