/* plain_fields.c - what the readers of a vehicle file ask of nearly every part, without a dozen steps of Lua. */
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include <lauxlib.h>

#include "base/text.h"
#include "bind/module.h"
#include "reader/sandbox_words.h"
#include "reader/text_file.h"

/* core.is_line(text) -> boolean */
static int l_is_line(lua_State *L) {
  size_t length;
  const char *text = luaL_checklstring(L, 1, &length);
  lua_pushboolean(L, syl_is_line(text, length));
  return 1;
}

/* Has the table at `index` this many entries? */
static bool has_entries(lua_State *L, int index, lua_Integer wanted) {
  lua_Integer count = 0;
  lua_pushnil(L);
  while (lua_next(L, index)) {
    lua_pop(L, 1);
    if (++count > wanted) {
      lua_pop(L, 1);
      return false;
    }
  }
  return count == wanted;
}

/* Push a list of floats with room for as many named entries, if the value at `index` is a plain table of just `count` plain numbers from
** low (itself in or out) to most and nothing else; otherwise false. */
static bool push_numbers(lua_State *L, int index, lua_Integer count, double low, bool above, double most,
                         int names) {
  enum { MOST = 3 };
  double v[MOST];
  if (count > MOST || lua_type(L, index) != LUA_TTABLE || lua_getmetatable(L, index) ||
      !has_entries(L, index, count))
    return false;
  for (int i = 0; i < count; i++) {
    if (lua_rawgeti(L, index, i + 1) != LUA_TNUMBER) return false;
    v[i] = lua_tonumber(L, -1);
    if (!(above ? v[i] > low : v[i] >= low) || !(v[i] <= most)) return false;
    lua_pop(L, 1);
  }
  lua_createtable(L, (int)count, names);
  for (int i = 0; i < count; i++) {
    lua_pushnumber(L, v[i]);
    lua_rawseti(L, -2, i + 1);
  }
  return true;
}

static bool push_plain_point(lua_State *L, int index, double most) {
  return push_numbers(L, index, 3, -most, false, most, 0);
}

/* core.plain_point(value, most) -> {x, y, z} or nil */
static int l_plain_point(lua_State *L) {
  const double most = luaL_checknumber(L, 2);
  lua_settop(L, 1);
  return push_plain_point(L, 1, most) ? 1 : 0;
}

/* core.plain_sizes(value, count, most) -> a list of numbers above 0, or nil */
static int l_plain_sizes(lua_State *L) {
  const lua_Integer count = luaL_checkinteger(L, 2);
  const double most = luaL_checknumber(L, 3);
  luaL_argcheck(L, count >= 1 && count <= 3, 2, "shapes have 1 to 3 sizes");
  lua_settop(L, 1);
  const int names = (int)count + 2; /* of the sizes, kind, axis */
  return push_numbers(L, 1, count, 0, true, most, names) ? 1 : 0;
}

/* ---- records ----------------------------------------------------------------------------------------------------- */

/* What the readers of fields.lua do with a plain value, for the commonest of them (file/language.lua says which field has which reader). A value that is anything else, or out of its limits,
** stays with the reader in Lua, which knows what to say. */

/* arguments and upvalue of core.read_record */
enum { KNOWN = 1, ALWAYS, FROM, OUT, LISTED, KEY, VALUE, FIELD };

/* a field: a row of file/language.lua */
enum { NAME = 1, READER, OPTIONS };

/* How the plain values of a reader are read. */
typedef enum plain { OTHER, NUMBER, POINT, CHOICE, COUNT, FLAG, TEXT, TEXTS, WITHIN, FRACTION } plain;

/* upvalues of core.read_record */
#define DOUBT_MARK lua_upvalueindex(1)
#define READERS    lua_upvalueindex(2) /* {[reader] = plain} */
#define LIMITS     lua_upvalueindex(3) /* a userdata with the limits below */

typedef struct limits {
  double length;      /* mm: a coordinate */
  lua_Integer pieces; /* of one line */
  size_t text, texts; /* bytes of a line, texts in a list */
} limits;

static const limits *limits_of(lua_State *L) { return lua_touserdata(L, LIMITS); }

/* out[key] = the value on top of the stack, which goes */
static void put_out(lua_State *L) {
  lua_pushvalue(L, KEY);
  lua_insert(L, -2);
  lua_rawset(L, OUT);
}

/* options.key of the field, or `otherwise` when it has none. */
static double option(lua_State *L, int options, const char *key, double otherwise) {
  lua_pushstring(L, key);
  const double value = lua_rawget(L, options) == LUA_TNUMBER ? lua_tonumber(L, -1) : otherwise;
  lua_pop(L, 1);
  return value;
}

/* Does x keep the limits of the field? */
static bool keeps_limits(lua_State *L, double x) {
  if (lua_rawgeti(L, FIELD, OPTIONS) != LUA_TTABLE) {
    lua_pop(L, 1);
    return true;
  }
  const int options = lua_gettop(L);
  const double infinite = (double)INFINITY;
  const bool fine = x > option(L, options, "above", -infinite) && x >= option(L, options, "min", -infinite) &&
                    x <= option(L, options, "max", infinite);
  lua_pop(L, 1);
  return fine;
}

/* The number at `index`, if it is finite and keeps the limits. */
static bool plain_number(lua_State *L, int index, double *out) {
  if (lua_type(L, index) != LUA_TNUMBER) return false;
  *out = lua_tonumber(L, index);
  return *out - *out == 0 && keeps_limits(L, *out);
}

static bool read_number(lua_State *L) {
  double x;
  if (!plain_number(L, VALUE, &x)) return false;
  lua_pushnumber(L, x);
  put_out(L);
  return true;
}

/* a number, or one with a doubt */
static bool read_doubted(lua_State *L) {
  if (lua_type(L, VALUE) != LUA_TTABLE) return read_number(L);
  if (!lua_getmetatable(L, VALUE)) return false;
  const bool doubt = lua_rawequal(L, -1, DOUBT_MARK);
  lua_pushliteral(L, "value");
  lua_rawget(L, VALUE);
  lua_pushliteral(L, "sd");
  lua_rawget(L, VALUE);
  double x;
  if (!doubt || !plain_number(L, -2, &x) || lua_type(L, -1) != LUA_TNUMBER) return false;
  const double sd = lua_tonumber(L, -1);
  if (!(sd - sd == 0 && sd >= 0)) return false;
  lua_pushnumber(L, x);
  put_out(L);
  lua_pushfstring(L, "%s_sd", lua_tostring(L, KEY));
  lua_pushnumber(L, sd);
  lua_rawset(L, OUT);
  lua_pushliteral(L, "limits");
  if (lua_rawget(L, VALUE) == LUA_TBOOLEAN) { /* stated by its limits */
    lua_pushfstring(L, "%s_limits", lua_tostring(L, KEY));
    lua_pushboolean(L, 1);
    lua_rawset(L, OUT);
  }
  return true;
}

static bool keep_value(lua_State *L) {
  lua_pushvalue(L, VALUE);
  put_out(L);
  return true;
}

static bool read_text(lua_State *L) {
  size_t length;
  if (lua_type(L, VALUE) != LUA_TSTRING) return false;
  const char *text = lua_tolstring(L, VALUE, &length);
  const bool note = strcmp(lua_tostring(L, KEY), "note") == 0; /* may have many lines */
  return (note || (length <= limits_of(L)->text && syl_is_line(text, length))) && keep_value(L);
}

static bool read_texts(lua_State *L) {
  if (lua_type(L, VALUE) != LUA_TTABLE || lua_getmetatable(L, VALUE)) return false;
  const lua_Unsigned count = lua_rawlen(L, VALUE);
  lua_Unsigned entries = 0;
  if (count > limits_of(L)->texts) return false;
  lua_createtable(L, (int)count, 0);
  lua_pushnil(L);
  while (lua_next(L, VALUE)) {
    size_t length;
    if (!lua_isinteger(L, -2) || lua_type(L, -1) != LUA_TSTRING) return false;
    const lua_Integer at = lua_tointeger(L, -2);
    const char *text = lua_tolstring(L, -1, &length);
    if (at < 1 || (lua_Unsigned)at > count || length > limits_of(L)->text || !syl_is_line(text, length))
      return false;
    lua_rawseti(L, -3, at);
    entries++;
  }
  if (entries != count) return false;
  put_out(L);
  return true;
}

static bool read_choice(lua_State *L) {
  if (lua_type(L, VALUE) != LUA_TSTRING) return false;
  if (lua_rawgeti(L, FIELD, OPTIONS) != LUA_TTABLE) return false;
  lua_pushliteral(L, "words");
  if (lua_rawget(L, -2) != LUA_TTABLE) return false;
  for (lua_Integer i = 1; lua_rawgeti(L, -1, i) != LUA_TNIL; i++) {
    if (lua_rawequal(L, -1, VALUE)) return keep_value(L);
    lua_pop(L, 1);
  }
  return false;
}

static bool read_count(lua_State *L) {
  if (!lua_isinteger(L, VALUE)) return false;
  const lua_Integer count = lua_tointeger(L, VALUE);
  return count >= 1 && count <= limits_of(L)->pieces && keep_value(L);
}

static bool read_point(lua_State *L) {
  if (!push_plain_point(L, VALUE, limits_of(L)->length)) return false;
  put_out(L);
  return true;
}

static bool read_within(lua_State *L) {
  lua_pushliteral(L, "within");
  lua_replace(L, KEY);
  return read_number(L);
}

static const char *skip_spaces(const char *at) { return at + strspn(at, " \t"); }

/* "15 %", or a number from 0 to 1 */
static bool read_fraction(lua_State *L) {
  double share;
  if (lua_type(L, VALUE) == LUA_TNUMBER) {
    share = lua_tonumber(L, VALUE);
    if (!(share >= 0 && share <= 1)) return false;
  } else {
    if (lua_type(L, VALUE) != LUA_TSTRING) return false;
    const char *start = skip_spaces(lua_tostring(L, VALUE));
    const size_t length = strspn(start, "0123456789.");
    const char *behind = skip_spaces(start + length);
    if (*behind != '%' || *skip_spaces(behind + 1) != '\0' || !sy_text_to_double(start, length, &share))
      return false;
    share /= 100;
  }
  lua_pushnumber(L, share);
  put_out(L);
  return true;
}

static bool read_field(lua_State *L, plain how) {
  switch (how) {
  case NUMBER: return read_doubted(L);
  case POINT: return read_point(L);
  case CHOICE: return read_choice(L);
  case COUNT: return read_count(L);
  case FLAG: return lua_isboolean(L, VALUE) && keep_value(L);
  case TEXT: return read_text(L);
  case TEXTS: return read_texts(L);
  case FRACTION: return read_fraction(L);
  case WITHIN: return lua_type(L, VALUE) == LUA_TNUMBER && read_within(L);
  default: return false;
  }
}

/* A list that is made when the first entry comes. */
typedef struct late_list {
  int at; /* stack index: nil, or the list */
  lua_Integer count;
} late_list;

/* The value on top of the stack goes to the end of the list. */
static void append(lua_State *L, late_list *list) {
  if (list->count == 0) {
    lua_createtable(L, 4, 0);
    lua_replace(L, list->at);
  }
  lua_rawseti(L, list->at, ++list->count);
}

static void take_defaults(lua_State *L, late_list *missing) {
  if (lua_isnil(L, ALWAYS)) return;
  for (lua_Integer i = 1; lua_rawgeti(L, ALWAYS, i) != LUA_TNIL; i++) {
    const int field = lua_gettop(L);
    luaL_argcheck(L, lua_istable(L, field), ALWAYS, "a list of fields is needed");
    lua_rawgeti(L, field, NAME);
    lua_pushvalue(L, -1);
    if (lua_rawget(L, FROM) == LUA_TNIL) {
      luaL_argcheck(L, lua_rawgeti(L, field, OPTIONS) == LUA_TTABLE, ALWAYS,
                    "a field has a table of options");
      lua_pushliteral(L, "required");
      lua_rawget(L, -2);
      if (lua_toboolean(L, -1)) {
        lua_pushvalue(L, field);
        append(L, missing);
      } else {
        lua_pushvalue(L, field + 1);
        lua_pushliteral(L, "default");
        lua_rawget(L, field + 3);
        lua_rawset(L, OUT);
      }
    }
    lua_settop(L, field - 1);
  }
  lua_pop(L, 1);
}

/* read_record(known, always, from, out, listed) -> rest, bad, missing
**   known    {[name] = row} of file/language.lua                  from  what the user wrote, a plain table
**   always   the fields that are required or have a default, or nil     out   takes what was read, and defaults
**   listed   the list in `from` is somebody else's business
**   rest     names of fields whose readers in Lua must look            bad   keys that are no fields
**   missing  fields that are required and not there; each of the three nil when empty */
static int l_read_record(lua_State *L) {
  enum { REST = FIELD + 1, BAD, MISSING, NEXT };
  lua_settop(L, LISTED);
  luaL_checktype(L, KNOWN, LUA_TTABLE);
  if (!lua_isnil(L, ALWAYS)) luaL_checktype(L, ALWAYS, LUA_TTABLE);
  luaL_checktype(L, FROM, LUA_TTABLE);
  luaL_checktype(L, OUT, LUA_TTABLE);
  const lua_Integer listed = lua_toboolean(L, LISTED) ? (lua_Integer)lua_rawlen(L, FROM) : 0;
  lua_settop(L, NEXT); /* the key that lua_next goes on from is on top, and first nil */
  late_list rest = {REST, 0}, bad = {BAD, 0}, missing = {MISSING, 0};
  while (lua_next(L, FROM)) {
    lua_replace(L, VALUE);
    lua_pushvalue(L, NEXT);
    lua_replace(L, KEY);
    lua_pushvalue(L, KEY);
    if (lua_type(L, KEY) == LUA_TSTRING && lua_rawget(L, KNOWN) == LUA_TTABLE) {
      lua_replace(L, FIELD);
      lua_rawgeti(L, FIELD, READER);
      lua_rawget(L, READERS);
      const lua_Integer how = lua_tointeger(L, -1); /* 0 for a reader that is not there */
      const bool read = how >= OTHER && how <= FRACTION && read_field(L, (plain)how);
      lua_settop(L, NEXT);
      lua_pushvalue(L, NEXT);
      if (!read) append(L, &rest);
    } else if (!lua_isinteger(L, KEY) || lua_tointeger(L, KEY) < 1 || lua_tointeger(L, KEY) > listed) {
      lua_pushvalue(L, KEY);
      append(L, &bad);
    }
    lua_settop(L, NEXT);
  }
  lua_settop(L, MISSING);
  take_defaults(L, &missing);
  return 3;
}

static void push_readers(lua_State *L) {
  static const struct {
    const char *reader;
    plain how;
  } known[] = {{"number", NUMBER}, {"mass", NUMBER},      {"point", POINT}, {"choice", CHOICE},
               {"count", COUNT},   {"flag", FLAG},        {"text", TEXT},   {"texts", TEXTS},
               {"within", WITHIN}, {"fraction", FRACTION}};
  lua_createtable(L, 0, (int)(sizeof known / sizeof *known));
  for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
    lua_pushinteger(L, (lua_Integer)known[i].how);
    lua_setfield(L, -2, known[i].reader);
  }
}

/* core.record_reader(length, pieces, text, texts) -> read_record; the limits as above */
static int l_record_reader(lua_State *L) {
  const lua_Integer text = luaL_checkinteger(L, 3), texts = luaL_checkinteger(L, 4);
  luaL_argcheck(L, text > 0, 3, "above 0");
  luaL_argcheck(L, texts > 0, 4, "above 0");
  const limits most = {luaL_checknumber(L, 1), luaL_checkinteger(L, 2), (size_t)text, (size_t)texts};
  syl_push_marked(L, "doubt");
  push_readers(L);
  *(limits *)lua_newuserdatauv(L, sizeof most, 0) = most;
  lua_pushcclosure(L, l_read_record, 3);
  return 1;
}

void syl_open_reading(lua_State *L) {
  static const luaL_Reg functions[] = {{"is_line", l_is_line},
                                       {"plain_point", l_plain_point},
                                       {"plain_sizes", l_plain_sizes},
                                       {"record_reader", l_record_reader},
                                       {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
