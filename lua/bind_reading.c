/* bind_reading.c - what the readers of a vehicle file ask of nearly every part, without a dozen steps of Lua. */
#include <stdbool.h>

#include <string.h>

#include <lauxlib.h>

#include "bind.h"
#include "word_host.h"

/* One line that can be shown and looked up, so neither empty nor with control characters in it. */
static bool is_line(const char *text, size_t length) {
  for (size_t i = 0; i < length; i++)
    if ((unsigned char)text[i] < 0x20 || text[i] == 0x7f) return false;
  return length > 0;
}

/* core.is_line(text) -> boolean */
static int l_is_line(lua_State *L) {
  size_t length;
  const char *text = luaL_checklstring(L, 1, &length);
  lua_pushboolean(L, is_line(text, length));
  return 1;
}

/* Has the table at `index` three entries? */
static bool has_three(lua_State *L, int index) {
  int count = 0;
  lua_pushnil(L);
  while (lua_next(L, index)) {
    lua_pop(L, 1);
    if (++count > 3) {
      lua_pop(L, 1);
      return false;
    }
  }
  return count == 3;
}

/* Push {x, y, z} as floats if the value at `index` is a plain table of three plain numbers from -most to most and nothing else. */
static bool push_plain_point(lua_State *L, int index, double most) {
  if (lua_type(L, index) != LUA_TTABLE || lua_getmetatable(L, index) || !has_three(L, index)) return false;
  double v[3];
  for (int i = 0; i < 3; i++) {
    if (lua_rawgeti(L, index, i + 1) != LUA_TNUMBER) return false;
    v[i] = lua_tonumber(L, -1);
    if (!(v[i] >= -most && v[i] <= most)) return false;
    lua_pop(L, 1);
  }
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    lua_pushnumber(L, v[i]);
    lua_rawseti(L, -2, i + 1);
  }
  return true;
}

/* core.plain_point(value, most) -> {x, y, z} or nil */
static int l_plain_point(lua_State *L) {
  const double most = luaL_checknumber(L, 2);
  lua_settop(L, 1);
  return push_plain_point(L, 1, most) ? 1 : 0;
}

/* ---- records ----------------------------------------------------------------------------------------------------- */

/* What the readers of fields.lua do with a plain value, for the commonest of them. A value that is anything else, or out of its limits,
** stays with the reader in Lua, which knows what to say. */

/* arguments and upvalue of core.read_record */
enum { KNOWN = 1, ALWAYS, FROM, OUT, LISTED, KEY, VALUE, FIELD, OPTIONS };
#define DOUBT_MARK lua_upvalueindex(1)

static const double longest = 1e6; /* mm: fields.MOST_LENGTH */

/* out[key .. behind] = the value on top of the stack, which goes */
static void put_out(lua_State *L, const char *behind) {
  if (*behind == '\0')
    lua_pushvalue(L, KEY);
  else
    lua_pushfstring(L, "%s%s", lua_tostring(L, KEY), behind);
  lua_insert(L, -2);
  lua_rawset(L, OUT);
}

static bool limit(lua_State *L, const char *name, double *out) {
  lua_pushstring(L, name);
  const bool there = lua_rawget(L, OPTIONS) == LUA_TNUMBER;
  if (there) *out = lua_tonumber(L, -1);
  lua_pop(L, 1);
  return there;
}

static bool keeps_limits(lua_State *L, double x) {
  double bound;
  if (limit(L, "above", &bound) && !(x > bound)) return false;
  if (limit(L, "min", &bound) && !(x >= bound)) return false;
  return !(limit(L, "max", &bound) && !(x <= bound));
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
  put_out(L, "");
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
  put_out(L, "");
  lua_pushnumber(L, sd);
  put_out(L, "_sd");
  return true;
}

static bool keep_value(lua_State *L) {
  lua_pushvalue(L, VALUE);
  put_out(L, "");
  return true;
}

static bool read_text(lua_State *L) {
  size_t length;
  if (lua_type(L, VALUE) != LUA_TSTRING) return false;
  const char *text = lua_tolstring(L, VALUE, &length);
  const bool note = strcmp(lua_tostring(L, KEY), "note") == 0; /* may have many lines */
  return (note || is_line(text, length)) && keep_value(L);
}

static bool read_texts(lua_State *L) {
  if (lua_type(L, VALUE) != LUA_TTABLE || lua_getmetatable(L, VALUE)) return false;
  const lua_Unsigned count = lua_rawlen(L, VALUE);
  lua_Unsigned entries = 0;
  lua_createtable(L, (int)count, 0);
  lua_pushnil(L);
  while (lua_next(L, VALUE)) {
    size_t length;
    if (!lua_isinteger(L, -2) || lua_type(L, -1) != LUA_TSTRING) return false;
    const lua_Integer at = lua_tointeger(L, -2);
    const char *text = lua_tolstring(L, -1, &length);
    if (at < 1 || (lua_Unsigned)at > count || !is_line(text, length)) return false;
    lua_rawseti(L, -3, at);
    entries++;
  }
  if (entries != count) return false;
  put_out(L, "");
  return true;
}

static bool read_choice(lua_State *L) {
  lua_pushliteral(L, "words");
  if (lua_type(L, VALUE) != LUA_TSTRING || lua_rawget(L, OPTIONS) != LUA_TTABLE) return false;
  for (lua_Integer i = 1; lua_rawgeti(L, -1, i) != LUA_TNIL; i++) {
    if (lua_rawequal(L, -1, VALUE)) return keep_value(L);
    lua_pop(L, 1);
  }
  return false;
}

static bool read_count(lua_State *L) {
  if (!lua_isinteger(L, VALUE)) return false;
  const lua_Integer count = lua_tointeger(L, VALUE);
  return count >= 1 && count <= 1000000 && keep_value(L);
}

static bool read_point(lua_State *L) {
  if (!push_plain_point(L, VALUE, longest)) return false;
  put_out(L, "");
  return true;
}

/* The field on top of KEY, VALUE, FIELD, OPTIONS, by its reader's name. */
static bool read_field(lua_State *L, const char *reader) {
  switch (reader[0]) {
  case 'm': return strcmp(reader, "mass") == 0 && read_doubted(L);
  case 'n': return strcmp(reader, "number") == 0 && read_doubted(L);
  case 'p': return strcmp(reader, "point") == 0 && read_point(L);
  case 'c':
    return strcmp(reader, "choice") == 0 ? read_choice(L) : strcmp(reader, "count") == 0 && read_count(L);
  case 'f': return strcmp(reader, "flag") == 0 && lua_isboolean(L, VALUE) && keep_value(L);
  case 't': return strcmp(reader, "text") == 0 ? read_text(L) : strcmp(reader, "texts") == 0 && read_texts(L);
  case 'w':
    if (strcmp(reader, "within") != 0 || lua_type(L, VALUE) != LUA_TNUMBER) return false;
    lua_pushliteral(L, "within");
    lua_replace(L, KEY);
    return read_number(L);
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
    lua_rawgeti(L, field, 1);
    lua_pushvalue(L, -1);
    if (lua_rawget(L, FROM) == LUA_TNIL) {
      lua_rawgeti(L, field, 3);
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

/* core.read_record(known, always, from, out, listed) -> rest, bad, missing
**   known    {[name] = {name, reader, options}} as in fields.lua      from  what the user wrote, a plain table
**   always   the fields that are required or have a default, or nil     out   takes what was read, and defaults
**   listed   the list in `from` is somebody else's business
**   rest     names of fields whose readers in Lua must look            bad   keys that are no fields
**   missing  fields that are required and not there; each of the three nil when empty */
static int l_read_record(lua_State *L) {
  enum { REST = 10, BAD, MISSING, NEXT };
  lua_settop(L, LISTED);
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
      lua_rawgeti(L, FIELD, 3);
      lua_replace(L, OPTIONS);
      lua_rawgeti(L, FIELD, 2);
      const bool read = read_field(L, lua_tostring(L, -1));
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

void syl_open_reading(lua_State *L) {
  static const luaL_Reg functions[] = {{"is_line", l_is_line}, {"plain_point", l_plain_point}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
  syl_push_marked(L, "doubt");
  lua_pushcclosure(L, l_read_record, 1);
  lua_setfield(L, -2, "read_record");
}
