#include "reader/data_file.h"

#include <math.h>
#include <string.h>

#include <lauxlib.h>

#include "numeric/uncertain.h"
#include "reader/lexer.h"
#include "reader/vocabulary_functions.h"

enum {
  LONGEST = 256 << 10, /* bytes: what such a text takes up stays below the sandbox's caps */
  DEEPEST = 60,        /* tables and words in one another */
  GATHERED = 16,       /* entries that are counted before their table is made */
  ROOM = 20,           /* stack for one value, without its entries */
  LONGEST_NUMBER = 64, /* bytes */
  MOST_WORDS = 64
};

/* What a word makes. */
typedef enum sort { ITEM, SHAPE, SD, WITHIN, UNKNOWN, NONE } sort;

typedef struct known_word {
  const char *name;
  sort is;
} known_word;

typedef struct reader {
  lua_State *L;
  syl_lexer lex;
  syl_token at;     /* not used up yet */
  syl_token before; /* the last one used up */
  int depth;
  int made;          /* stack index of the list of items */
  lua_Integer items; /* in it */
  int words;         /* that there are */
  known_word word[MOST_WORDS];
  int item, shape, uncertainty; /* stack indices of metatables */
  int language;                 /* stack index of language.words, for its units */
} reader;

/* A number with units: exponents of M L F A, as in file/vocabulary.lua. */
typedef struct dimension {
  bool is_amount;
  int exponent[4];
} dimension;

static void advance(reader *r) {
  r->before = r->at;
  r->at = syl_next_token(&r->lex);
}

static bool is_sign(const reader *r, char sign) { return r->at.kind == SYL_SIGN && r->at.sign == sign; }

static bool take_sign(reader *r, char sign) {
  if (!is_sign(r, sign)) return false;
  advance(r);
  return true;
}

/* Is the token this word? */
static bool reads(const reader *r, const char *word) {
  const char *start = r->lex.text + r->at.text.start;
  const size_t length = (size_t)r->at.text.length;
  return word[0] == start[0] && strlen(word) == length && memcmp(word, start, length) == 0;
}

static bool value(reader *r);

/* ---- plain values ---------------------------------------------------------------------------------------------- */

static bool number(reader *r) {
  char digits[LONGEST_NUMBER];
  const bool negative = take_sign(r, '-');
  const size_t length = (size_t)r->at.text.length;
  if (r->at.kind != SYL_NUMBER || length >= sizeof digits) return false;
  memcpy(digits, r->lex.text + r->at.text.start, length);
  digits[length] = '\0';
  if (lua_stringtonumber(r->L, digits) != length + 1)
    return false; /* nothing is pushed for what is not a number */
  if (negative) lua_arith(r->L, LUA_OPUNM);
  advance(r);
  return true;
}

/* "M", "L3": those of single units */
static bool note_dimension(const char *dims, dimension *of) {
  static const char letters[] = "MLFA";
  const char *letter = dims[0] != '\0' ? strchr(letters, dims[0]) : NULL;
  const bool cubed = dims[0] != '\0' && strcmp(dims + 1, "3") == 0;
  if (letter == NULL || (dims[1] != '\0' && !cubed)) return false;
  of->exponent[letter - letters] = cubed ? 3 : 1;
  return true;
}

/* A unit word at hand: pushes its size in the base units and notes its dimension. */
static bool unit(reader *r, dimension *of) {
  lua_State *L = r->L;
  const int top = lua_gettop(L);
  *of = (dimension){.is_amount = true};
  if (r->at.kind != SYL_NAME || lua_getfield(L, r->language, "units") != LUA_TTABLE) {
    lua_settop(L, top);
    return false;
  }
  for (lua_Integer i = 1; lua_rawgeti(L, top + 1, i) == LUA_TTABLE; i++) {
    if (lua_rawgeti(L, top + 2, 1) == LUA_TSTRING && reads(r, lua_tostring(L, -1)) &&
        lua_rawgeti(L, top + 2, 2) == LUA_TSTRING && lua_rawgeti(L, top + 2, 3) == LUA_TNUMBER &&
        note_dimension(lua_tostring(L, -2), of)) {
      lua_replace(L, top + 1);
      lua_settop(L, top + 1);
      advance(r);
      return true;
    }
    lua_settop(L, top + 1);
  }
  lua_settop(L, top);
  return false;
}

/* "ML-3": the name of a dimension, as in file/vocabulary.lua */
static void push_dims(lua_State *L, const dimension *of) {
  static const char *const bases[] = {"M", "L", "F", "A"};
  lua_pushliteral(L, "");
  for (int i = 0; i < 4; i++) {
    if (of->exponent[i] == 0) continue;
    if (of->exponent[i] == 1)
      lua_pushstring(L, bases[i]);
    else
      lua_pushfstring(L, "%s%d", bases[i], of->exponent[i]);
    lua_concat(L, 2);
  }
}

/* Value and factor on top of the stack become an amount. */
static void make_amount(lua_State *L, const dimension *of) {
  const int value = lua_gettop(L) - 1;
  lua_createtable(L, 0, 4);
  lua_createtable(L, 4, 0);
  for (int i = 0; i < 4; i++) {
    lua_pushinteger(L, of->exponent[i]);
    lua_rawseti(L, -2, i + 1);
  }
  lua_setfield(L, -2, "exponents");
  push_dims(L, of);
  lua_setfield(L, -2, "dims");
  lua_insert(L, value);
  lua_setfield(L, value, "factor");
  lua_setfield(L, value, "value");
  syl_push_marked(L, "amount");
  lua_setmetatable(L, value);
}

/* Behind a value and its factor: `* 2`, `/ 0.745`, `* kg`. The factor of what has no unit is the whole number 1, as there. */
static bool times(reader *r, dimension *of) {
  lua_State *L = r->L;
  const bool over = is_sign(r, '/');
  advance(r);
  dimension by = {.is_amount = false};
  if (r->at.kind == SYL_NAME) {
    if (!unit(r, &by)) return false;
    lua_pushinteger(L, 1);
    lua_insert(L, -2);
  } else {
    if (!number(r)) return false;
    lua_pushinteger(L, 1);
  } /* value, factor, value, factor */
  const int operation = over ? LUA_OPDIV : LUA_OPMUL;
  lua_pushvalue(L, -4);
  lua_pushvalue(L, -3);
  lua_arith(L, operation);
  lua_replace(L, -5); /* new value, factor, value, factor */
  lua_remove(L, -2);
  lua_arith(L, operation);
  for (int i = 0; i < 4; i++) of->exponent[i] += over ? -by.exponent[i] : by.exponent[i];
  of->is_amount = of->is_amount || by.is_amount;
  return true;
}

/* 0.4 / 0.745, 30*lb, 0.74*kg/litre */
static bool product(reader *r, dimension *of) {
  *of = (dimension){.is_amount = false};
  if (!number(r)) return false;
  if (!is_sign(r, '*') && !is_sign(r, '/')) return true;
  lua_pushinteger(r->L, 1);
  while (is_sign(r, '*') || is_sign(r, '/'))
    if (!times(r, of)) return false;
  if (of->is_amount)
    make_amount(r->L, of);
  else
    lua_pop(r->L, 1);
  return true;
}

static bool plain_product(reader *r) {
  dimension any;
  return product(r, &any);
}

/* What the letter behind a backslash stands for; '\0': the sandbox knows. */
static char escaped(char letter) {
  static const char letters[] = "\\\"'abfnrtv", meant[] = "\\\"'\a\b\f\n\r\t\v";
  const char *at = letter != '\0' ? strchr(letters, letter) : NULL;
  return at != NULL ? meant[at - letters] : '\0';
}

/* A text with backslashes in it. */
static bool escaped_text(reader *r, const char *start, size_t length) {
  luaL_Buffer to;
  char *bytes = luaL_buffinitsize(r->L, &to, length);
  const int top = lua_gettop(r->L);
  size_t count = 0;
  bool fine = true;
  for (size_t i = 0; i < length && fine; i++) {
    char c = start[i];
    if (c == '\\') {
      c = ++i < length ? escaped(start[i]) : '\0';
      fine = c != '\0';
    }
    bytes[count++] = c;
  }
  luaL_pushresultsize(&to, count);
  if (!fine) lua_settop(r->L, top);
  return fine;
}

/* A text between plain quotes on one line. */
static bool text(reader *r, bool may_escape) {
  if (r->at.kind != SYL_TEXT) return false;
  const char *start = r->lex.text + r->at.text.start;
  const size_t length = (size_t)r->at.text.length;
  if (start[-1] != '"' && start[-1] != '\'') return false;
  if (memchr(start, '\n', length) != NULL || memchr(start, '\r', length) != NULL) return false;
  if (memchr(start, '\\', length) == NULL)
    lua_pushlstring(r->L, start, length);
  else if (!may_escape || !escaped_text(r, start, length))
    return false;
  advance(r);
  return true;
}

/* ---- tables ---------------------------------------------------------------------------------------------------- */

/* Source  Lua 5.4 Reference Manual, 3.1 */
static bool is_reserved(const reader *r) {
  static const char *const words[] = {"and",      "break",  "do",   "else", "elseif", "end",  "false", "for",
                                      "function", "goto",   "if",   "in",   "local",  "nil",  "not",   "or",
                                      "repeat",   "return", "then", "true", "until",  "while"};
  for (size_t i = 0; i < sizeof words / sizeof *words; i++)
    if (reads(r, words[i])) return true;
  return false;
}

/* An entry: pushes its value, below it a key if it has one. */
static bool entry(reader *r, bool *named) {
  *named = false;
  if (take_sign(r, '[')) {
    *named = true;
    if (!text(r, false) || !take_sign(r, ']') || !take_sign(r, '=')) return false;
  } else if (r->at.kind == SYL_NAME) {
    syl_lexer ahead = r->lex;
    const syl_token next = syl_next_token(&ahead);
    if (next.kind == SYL_SIGN && next.sign == '=') {
      *named = true;
      if (is_reserved(r)) return false;
      lua_pushlstring(r->L, r->lex.text + r->at.text.start, (size_t)r->at.text.length);
      r->lex = ahead;
      advance(r);
    }
  }
  return value(r);
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

/* `{ ... }`. A number alone behind `key = number` is a decimal comma: the sandbox reports it. */
static bool table(reader *r) {
  lua_State *L = r->L;
  if (r->depth == DEEPEST || !lua_checkstack(L, 2 * GATHERED + ROOM) || !take_sign(r, '{')) return false;
  r->depth++;
  lua_pushnil(L);
  gathering g = {.table = lua_gettop(L)};
  bool torn = false; /* may the next entry be what a comma tore off? */
  while (!is_sign(r, '}')) {
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
    if (!take_sign(r, ',') && !take_sign(r, ';') && !is_sign(r, '}')) return false;
  }
  advance(r);
  r->depth--;
  if (!g.made) make_table(L, &g);
  return true;
}

/* `{ ... }` or `({ ... })` behind a word */
static bool braces(reader *r) {
  const bool bracket = take_sign(r, '(');
  return table(r) && (!bracket || take_sign(r, ')'));
}

/* ---- words ----------------------------------------------------------------------------------------------------- */

static void put_line(lua_State *L, int line) {
  lua_pushinteger(L, line);
  lua_setfield(L, -2, "line");
}

/* Push an item without fields; kind and name are on top of the stack and stay below it. */
static void push_item(reader *r, int line) {
  lua_State *L = r->L;
  lua_createtable(L, 0, 5);
  lua_pushvalue(L, -3);
  lua_setfield(L, -2, "kind");
  lua_pushvalue(L, -2);
  lua_setfield(L, -2, "name");
  put_line(L, line);
  lua_pushboolean(L, 0);
  lua_setfield(L, -2, "file"); /* only a script's items have one */
  lua_pushboolean(L, 0);
  lua_setfield(L, -2, "fields");
  lua_pushvalue(L, -1);
  lua_rawseti(L, r->made, ++r->items);
}

/* `part "x" { ... }`, the word used up and pushed */
static bool item(reader *r, int line) {
  lua_State *L = r->L;
  const bool bracket = take_sign(r, '(');
  if (!text(r, true) || (bracket && !take_sign(r, ')'))) return false;
  push_item(r, line);
  if (is_sign(r, '{') || is_sign(r, '(')) {
    if (!braces(r)) return false;
    lua_setfield(L, -2, "fields");
  }
  lua_pushvalue(L, r->item);
  lua_setmetatable(L, -2);
  lua_replace(L, -3); /* kind and name go */
  lua_pop(L, 1);
  return true;
}

/* `box { ... }`, the word used up and pushed */
static bool shape(reader *r, int line) {
  lua_State *L = r->L;
  if (!braces(r)) return false;
  lua_createtable(L, 0, 3);
  lua_insert(L, -2);
  lua_setfield(L, -2, "fields");
  lua_insert(L, -2);
  lua_setfield(L, -2, "shape");
  put_line(L, line);
  lua_pushvalue(L, r->shape);
  lua_setmetatable(L, -2);
  return true;
}

/* The number or amount on top of the stack, if it is one of 0 or more; as a standard uncertainty when it is a limit. */
static bool limits_to_sd(lua_State *L, bool limits, bool is_amount) {
  if (is_amount) lua_getfield(L, -1, "value");
  const double u = lua_tonumber(L, -1);
  if (!(u >= 0 && u < (double)INFINITY)) return false;
  if (limits) lua_pushnumber(L, sy_uncertain_limits(u));
  if (limits && is_amount) lua_setfield(L, -3, "value");
  if (limits && is_amount) { /* divided by a plain number, as the sandbox does it */
    lua_getfield(L, -2, "factor");
    lua_pushnumber(L, lua_tonumber(L, -1));
    lua_setfield(L, -4, "factor");
    lua_pop(L, 1);
  }
  if (is_amount)
    lua_pop(L, 1);
  else if (limits)
    lua_remove(L, -2);
  return true;
}

/* `sd(value, u)` or `within(value, limit)`, the word used up */
static bool uncertainty(reader *r, bool limits) {
  lua_State *L = r->L;
  dimension of, also;
  lua_createtable(L, 0, limits ? 3 : 2);
  if (!take_sign(r, '(') || !product(r, &of)) return false;
  lua_setfield(L, -2, "value");
  if (!take_sign(r, ',') || !product(r, &also) || !take_sign(r, ')')) return false;
  if (of.is_amount != also.is_amount || memcmp(of.exponent, also.exponent, sizeof of.exponent) != 0)
    return false;
  if (!limits_to_sd(L, limits, of.is_amount)) return false;
  lua_setfield(L, -2, "sd");
  if (limits) {
    lua_pushboolean(L, 1);
    lua_setfield(L, -2, "limits");
  }
  lua_pushvalue(L, r->uncertainty);
  lua_setmetatable(L, -2);
  return true;
}

static sort sort_called(const char *name) {
  static const struct {
    const char *name;
    sort is;
  } sorts[] = {{"item", ITEM}, {"shape", SHAPE}, {"sd", SD}, {"within", WITHIN}, {"unknown", UNKNOWN}};
  for (size_t i = 0; i < sizeof sorts / sizeof *sorts; i++)
    if (strcmp(name, sorts[i].name) == 0) return sorts[i].is;
  return NONE;
}

/* The words of {[word] = sort} at `sorts` that mean something here; they live as long as it. One too many is left to the sandbox. */
static void take_words(reader *r, int sorts) {
  lua_State *L = r->L;
  lua_pushnil(L);
  while (lua_next(L, sorts)) {
    if (lua_type(L, -2) == LUA_TSTRING && lua_type(L, -1) == LUA_TSTRING && r->words < MOST_WORDS) {
      const sort is = sort_called(lua_tostring(L, -1));
      if (is != NONE) r->word[r->words++] = (known_word){lua_tostring(L, -2), is};
    }
    lua_pop(L, 1);
  }
}

static sort sort_of(const reader *r) {
  for (int i = 0; i < r->words; i++)
    if (reads(r, r->word[i].name)) return r->word[i].is;
  return NONE;
}

/* true, false, or a word: what it makes. */
static bool named_value(reader *r) {
  lua_State *L = r->L;
  const int line = r->at.line;
  if (reads(r, "true") || reads(r, "false")) {
    lua_pushboolean(L, reads(r, "true"));
    advance(r);
    return true;
  }
  const sort is = sort_of(r);
  if (is == ITEM || is == SHAPE)
    lua_pushlstring(L, r->lex.text + r->at.text.start, (size_t)r->at.text.length);
  advance(r);
  if (is == ITEM) return item(r, line);
  if (is == SHAPE) return shape(r, line);
  if (is == SD || is == WITHIN) return uncertainty(r, is == WITHIN);
  if (is != UNKNOWN) return false;
  lua_createtable(L, 0, 0);
  syl_push_marked(L, "unknown");
  lua_setmetatable(L, -2);
  return true;
}

/* Push one value; false when what stands here is anything else. An operator behind it is found by who asked. */
static bool value(reader *r) {
  switch (r->at.kind) {
  case SYL_NUMBER: return plain_product(r);
  case SYL_TEXT: return text(r, true);
  case SYL_NAME: return named_value(r);
  case SYL_SIGN: return r->at.sign == '{' ? table(r) : plain_product(r);
  default: return false;
  }
}

/* ---- the file -------------------------------------------------------------------------------------------------- */

/* `vehicle { ... }` and nothing else: pushes its item. */
static bool file(reader *r) {
  lua_State *L = r->L;
  const int line = r->at.line;
  if (r->at.kind != SYL_NAME || !reads(r, "vehicle")) return false;
  lua_pushliteral(L, "vehicle");
  lua_pushliteral(L, "");
  advance(r);
  if (!braces(r) || r->at.kind != SYL_END || r->lex.torn) return false;
  lua_rotate(L, -3, 1); /* the fields below kind and name */
  push_item(r, line);
  lua_pushvalue(L, -4);
  lua_setfield(L, -2, "fields");
  lua_pushvalue(L, r->item);
  lua_setmetatable(L, -2);
  return true;
}

bool syl_read_data(lua_State *L, const char *bytes, size_t size, int sorts, int language) {
  const int top = lua_gettop(L);
  if (size > LONGEST) return false;
  luaL_checkstack(L, ROOM, NULL);
  reader r = {.L = L,
              .lex = {bytes, bytes, bytes + size, 1, false},
              .made = top + 2,
              .item = top + 3,
              .shape = top + 4,
              .uncertainty = top + 5,
              .language = language};
  take_words(&r, sorts);
  lua_createtable(L, 0, 2);
  lua_newtable(L);
  syl_push_marked(L, "item");
  syl_push_marked(L, "shape");
  syl_push_marked(L, "uncertainty");
  r.at = syl_next_token(&r.lex);
  if (!file(&r)) {
    lua_settop(L, top);
    return false;
  }
  lua_setfield(L, top + 1, "vehicle");
  lua_pushvalue(L, r.made);
  lua_setfield(L, top + 1, "made");
  lua_settop(L, top + 1);
  return true;
}
