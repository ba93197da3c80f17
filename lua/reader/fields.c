/* fields.c - the fields of a table of a vehicle file, read by the rows of steelyard/file/language.lua.
**
** A number, a text, a list of texts or a point that is right goes into the result here, with or without units and uncertainties. A value
** that is wrong, and one of a reader that is not among these, is left to the readers in Lua, which have the sentences. */
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include <lauxlib.h>

#include "base/text.h"
#include "bind/open.h"
#include "reader/fields_kind.h"
#include "reader/text_file.h"

enum { KIND_MARK = SYL_FILE_MARKS + 1 }; /* upvalue: the metatable of kinds */

/* arguments of core.read_fields, and what is at hand */
enum { KIND = 1, PARTIAL, FROM, OUT, LISTED, KEY, VALUE };

/* core.is_line(text) -> boolean */
static int l_is_line(lua_State *L) {
  size_t length;
  const char *text = luaL_checklstring(L, 1, &length);
  lua_pushboolean(L, syl_is_line(text, length));
  return 1;
}

/* ---- values ------------------------------------------------------------------------------------------------------ */

/* out[key] = the value on top of the stack, which goes */
static void put_out(lua_State *L) {
  lua_pushvalue(L, KEY);
  lua_insert(L, -2);
  lua_rawset(L, OUT);
}

/* out[key .. "_sd"] = the same. Lua finds a text by the address it came from sooner than by its letters. */
static void put_sd(lua_State *L, const syl_field *f) {
  lua_pushstring(L, f->sd_name);
  lua_insert(L, -2);
  lua_rawset(L, OUT);
}

static bool take_number(lua_State *L, const syl_field *f) {
  syl_file_number n;
  if (syl_read_file_number(L, VALUE, &f->in, false, &n) != SYL_FINE || !syl_in_range(f, n.value))
    return false;
  lua_pushnumber(L, n.value);
  put_out(L);
  if (n.has_sd) {
    lua_pushnumber(L, n.sd);
    put_sd(L, f);
  }
  if (n.limits) {
    lua_pushfstring(L, "%s_limits", lua_tostring(L, KEY));
    lua_pushboolean(L, 1);
    lua_rawset(L, OUT);
  }
  return true;
}

static bool take_mass(lua_State *L, const syl_field *f) {
  if (lua_type(L, VALUE) == LUA_TNUMBER || !syl_is_marked(L, VALUE, SYL_UNKNOWN)) return take_number(L, f);
  lua_pushboolean(L, 1);
  lua_setfield(L, OUT, "unknown");
  return true;
}

/* {value =, sd =} */
static bool take_whole(lua_State *L, const syl_field *f) {
  syl_file_number n;
  if (syl_read_file_number(L, VALUE, &f->in, false, &n) != SYL_FINE || !syl_in_range(f, n.value))
    return false;
  lua_createtable(L, 0, 2);
  lua_pushnumber(L, n.value);
  lua_setfield(L, -2, "value");
  if (n.has_sd) {
    lua_pushnumber(L, n.sd);
    lua_setfield(L, -2, "sd");
  }
  put_out(L);
  return true;
}

/* An uncertainty of it has no use, which is remarked in Lua. */
static bool take_within(lua_State *L, const syl_field *f) {
  double x;
  if (syl_read_plain(L, VALUE, &f->in, &x) != SYL_FINE || !syl_in_range(f, x)) return false;
  lua_pushnumber(L, x);
  lua_setfield(L, OUT, "within");
  return true;
}

static bool keep_value(lua_State *L) {
  lua_pushvalue(L, VALUE);
  put_out(L);
  return true;
}

static bool take_text(lua_State *L, const syl_kind *k) {
  size_t length;
  if (lua_type(L, VALUE) != LUA_TSTRING) return false;
  const char *text = lua_tolstring(L, VALUE, &length);
  const bool note = strcmp(lua_tostring(L, KEY), "note") == 0; /* may have many lines */
  return (note || (length <= k->text && syl_is_line(text, length))) && keep_value(L);
}

static bool is_text(lua_State *L, int index, const syl_kind *k) {
  size_t length;
  if (lua_type(L, index) != LUA_TSTRING) return false;
  const char *text = lua_tolstring(L, index, &length);
  return length <= k->text && syl_is_line(text, length);
}

/* A text or a list of texts, as a list. */
static bool take_texts(lua_State *L, const syl_kind *k) {
  if (is_text(L, VALUE, k)) {
    lua_createtable(L, 1, 0);
    lua_pushvalue(L, VALUE);
    lua_rawseti(L, -2, 1);
    put_out(L);
    return true;
  }
  if (lua_type(L, VALUE) != LUA_TTABLE || lua_getmetatable(L, VALUE)) return false;
  const lua_Unsigned count = lua_rawlen(L, VALUE);
  lua_Unsigned entries = 0;
  if (count > k->texts) return false;
  lua_createtable(L, (int)count, 0);
  lua_pushnil(L);
  while (lua_next(L, VALUE)) {
    if (!lua_isinteger(L, -2) || !is_text(L, -1, k)) return false;
    const lua_Integer at = lua_tointeger(L, -2);
    if (at < 1 || (lua_Unsigned)at > count) return false;
    lua_rawseti(L, -3, at);
    entries++;
  }
  if (entries != count) return false;
  put_out(L);
  return true;
}

static bool take_choice(lua_State *L, const syl_field *f) {
  if (lua_type(L, VALUE) != LUA_TSTRING) return false;
  const char *text = lua_tostring(L, VALUE);
  for (int i = 0; i < f->words; i++)
    if (text == f->word[i]) return keep_value(L);
  return false;
}

static bool take_count(lua_State *L, const syl_kind *k) {
  int whole;
  if (lua_type(L, VALUE) != LUA_TNUMBER) return false;
  const lua_Integer count = lua_tointegerx(L, VALUE, &whole);
  if (!whole || count < 1 || count > k->pieces) return false;
  lua_pushinteger(L, count);
  put_out(L);
  return true;
}

/* Which coordinates a plain table at `index` has: its first `count` as a list, or some by letter; 0 when it has anything else. */
static int coordinates(lua_State *L, int index, bool by_letter[3]) {
  int listed = 0, named = 0;
  lua_pushnil(L);
  while (lua_next(L, index)) {
    lua_pop(L, 1);
    size_t length = 0;
    const char *key = lua_type(L, -1) == LUA_TSTRING ? lua_tolstring(L, -1, &length) : NULL;
    const int letter = length == 1 ? key[0] - 'x' : -1;
    if (letter >= 0 && letter < 3) {
      by_letter[letter] = true;
      named++;
    } else if (lua_isinteger(L, -1) && lua_tointeger(L, -1) >= 1 && lua_tointeger(L, -1) <= 3) {
      listed++;
    } else {
      lua_pop(L, 1);
      return 0;
    }
  }
  const bool mixed = named > 0 && listed > 0;
  return mixed || (listed > 0 && (lua_Unsigned)listed != lua_rawlen(L, index)) ? 0 : named + listed;
}

/* out[key .. "_limits"] = {[i] = true}: the coordinates that were stated with limits. */
static void put_limits(lua_State *L, const bool there[3], const syl_file_number n[3]) {
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    if (!there[i] || !n[i].limits) continue;
    lua_pushboolean(L, 1);
    lua_rawseti(L, -2, i + 1);
  }
  lua_pushfstring(L, "%s_limits", lua_tostring(L, KEY));
  lua_insert(L, -2);
  lua_rawset(L, OUT);
}

/* {x, y, z} or {x =, y =, z =}; of a partial table some of them. */
static bool take_point(lua_State *L, const syl_kind *k, const syl_field *f, bool partial) {
  static const char letters[3][2] = {"x", "y", "z"};
  if (lua_type(L, VALUE) != LUA_TTABLE || lua_getmetatable(L, VALUE)) return false;
  bool named[3] = {false, false, false}, uncertain = false, limited = false;
  const int count = coordinates(L, VALUE, named);
  if (count != 3 && !(partial && count > 0)) return false;
  const bool by_letter = named[0] || named[1] || named[2];
  syl_file_number n[3];
  bool there[3];
  for (int i = 0; i < 3; i++) {
    there[i] = by_letter ? named[i] : i < count;
    if (!there[i]) continue;
    if (by_letter)
      syl_raw_field(L, VALUE, letters[i]);
    else
      lua_rawgeti(L, VALUE, i + 1);
    if (syl_read_file_number(L, lua_gettop(L), &k->mm, false, &n[i]) != SYL_FINE ||
        !(fabs(n[i].value) <= k->longest))
      return false;
    uncertain = uncertain || n[i].has_sd;
    limited = limited || n[i].limits;
  }
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    if (!there[i]) continue;
    lua_pushnumber(L, n[i].value);
    lua_rawseti(L, -2, i + 1);
  }
  put_out(L);
  if (!uncertain) return true;
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    if (!there[i] || !n[i].has_sd) continue;
    lua_pushnumber(L, n[i].sd);
    lua_rawseti(L, -2, i + 1);
  }
  put_sd(L, f);
  if (limited) put_limits(L, there, n);
  return true;
}

static const char *skip_spaces(const char *at) { return at + strspn(at, " \t"); }

/* "15 %", or a number from 0 to 1 */
static bool take_fraction(lua_State *L) {
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

static bool take_value(lua_State *L, const syl_kind *k, const syl_field *f, bool partial) {
  switch (f->reads) {
  case SYL_NUMBER: return take_number(L, f);
  case SYL_MASS: return take_mass(L, f);
  case SYL_WHOLE: return take_whole(L, f);
  case SYL_WITHIN: return take_within(L, f);
  case SYL_POINT: return take_point(L, k, f, partial);
  case SYL_CHOICE: return take_choice(L, f);
  case SYL_COUNT: return take_count(L, k);
  case SYL_FLAG: return lua_isboolean(L, VALUE) && keep_value(L);
  case SYL_TEXT: return take_text(L, k);
  case SYL_TEXTS: return take_texts(L, k);
  case SYL_FRACTION: return take_fraction(L);
  default: return false;
  }
}

/* ---- tables ----------------------------------------------------------------------------------------------------- */

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

/* The number of the key's field, or -1. */
static int find_field(lua_State *L, const syl_kind *k) {
  if (lua_type(L, KEY) != LUA_TSTRING) return -1;
  const char *name = lua_tostring(L, KEY);
  for (int i = 0; i < k->count; i++)
    if (k->name[i] == name) return i;
  return -1;
}

/* Defaults of fields that are not there; rows of those that must be. */
static void take_defaults(lua_State *L, syl_kind *k, const bool *seen, late_list *missing) {
  const int top = lua_gettop(L);
  for (int i = 0; i < k->count; i++) {
    if (seen[i] || !k->field[i].always) continue;
    const bool required = syl_ready_field(L, KIND, k, i)->required;
    syl_push_row(L, KIND, i);
    if (required) {
      append(L, missing);
    } else {
      lua_rawgeti(L, -1, 3);
      syl_raw_field(L, top + 2, "default");
      lua_setfield(L, OUT, k->name[i]);
    }
    lua_settop(L, top);
  }
}

/* core.read_fields(kind, partial, from, out, listed) -> rest, bad, missing
**   kind     of core.fields_kind                          from  what the user wrote, a plain table
**   partial  some fields alone: none is missing, none has a default     out   takes what was read, and defaults
**   listed   the list in `from` is somebody else's business
**   rest     names of fields whose readers in Lua must look            bad   keys that are not fields
**   missing  rows of fields that are required and not there; each of the three nil when empty */
static int l_read_fields(lua_State *L) {
  enum { REST = VALUE + 1, BAD, MISSING, NEXT };
  lua_settop(L, LISTED);
  syl_kind *k = syl_kind_at(L, KIND, lua_upvalueindex(KIND_MARK));
  luaL_argcheck(L, k != NULL, KIND, "a kind of core.fields_kind");
  const bool partial = lua_toboolean(L, PARTIAL);
  luaL_checktype(L, FROM, LUA_TTABLE);
  luaL_checktype(L, OUT, LUA_TTABLE);
  const lua_Integer listed = lua_toboolean(L, LISTED) ? (lua_Integer)lua_rawlen(L, FROM) : 0;
  lua_settop(L, NEXT); /* the key that lua_next goes on from is on top, and first nil */
  late_list rest = {REST, 0}, bad = {BAD, 0}, missing = {MISSING, 0};
  bool seen[SYL_MOST_FIELDS] = {false};
  while (lua_next(L, FROM)) {
    lua_replace(L, VALUE);
    lua_pushvalue(L, NEXT);
    lua_replace(L, KEY);
    const int i = find_field(L, k);
    if (i >= 0) {
      seen[i] = true;
      const bool read = take_value(L, k, syl_ready_field(L, KIND, k, i), partial);
      lua_settop(L, NEXT);
      if (!read) {
        lua_pushvalue(L, NEXT);
        append(L, &rest);
      }
    } else if (!lua_isinteger(L, KEY) || lua_tointeger(L, KEY) < 1 || lua_tointeger(L, KEY) > listed) {
      lua_pushvalue(L, KEY);
      append(L, &bad);
    }
    lua_settop(L, NEXT);
  }
  lua_settop(L, MISSING);
  if (!partial) take_defaults(L, k, seen, &missing);
  return 3;
}

void syl_open_fields(lua_State *L) {
  lua_pushcfunction(L, l_is_line);
  lua_setfield(L, -2, "is_line");
  syl_push_marks(L);
  syl_push_kind_mark(L);
  lua_pushvalue(L, -1);
  lua_pushcclosure(L, syl_fields_kind, 1);
  lua_setfield(L, -6, "fields_kind");
  lua_pushcclosure(L, l_read_fields, KIND_MARK);
  lua_setfield(L, -2, "read_fields");
}
