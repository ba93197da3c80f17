#include "reader/file_number.h"

#include <math.h>

#include <lauxlib.h>

#include "bind/open.h"
#include "reader/vocabulary_functions.h"

void syl_push_marks(lua_State *L) {
  syl_push_marked(L, "uncertainty");
  syl_push_marked(L, "amount");
  syl_push_marked(L, "unknown");
}

int syl_raw_field(lua_State *L, int t, const char *key) {
  lua_pushstring(L, key);
  return lua_rawget(L, t);
}

bool syl_is_marked(lua_State *L, int index, int mark) {
  if (lua_type(L, index) != LUA_TTABLE || !lua_getmetatable(L, index)) return false;
  const bool same = lua_rawequal(L, -1, mark);
  lua_pop(L, 1);
  return same;
}

syl_fault syl_read_plain(lua_State *L, int index, const syl_unit *in, double *out) {
  const int top = lua_gettop(L);
  if (lua_type(L, index) == LUA_TNUMBER) {
    *out = lua_tonumber(L, index);
  } else {
    if (!syl_is_marked(L, index, SYL_AMOUNT) || syl_raw_field(L, index, "value") != LUA_TNUMBER) {
      lua_settop(L, top);
      return SYL_NO_NUMBER;
    }
    syl_raw_field(L, index, "factor");
    const bool same = syl_raw_field(L, index, "dims") == LUA_TSTRING && lua_tostring(L, -1) == in->dims;
    *out = lua_tonumber(L, -3) * (lua_tonumber(L, -2) / in->factor);
    lua_settop(L, top);
    if (!same) return SYL_OTHER_UNIT;
  }
  if (*out - *out == 0) return SYL_FINE;
  return isnan(*out) ? SYL_NOT_A_NUMBER : SYL_INFINITE;
}

syl_fault syl_read_file_number(lua_State *L, int index, const syl_unit *in, bool report,
                               syl_file_number *out) {
  const int top = lua_gettop(L);
  *out = (syl_file_number){.has_sd = false};
  if (lua_type(L, index) == LUA_TNUMBER || !syl_is_marked(L, index, SYL_UNCERTAIN)) {
    const syl_fault at = syl_read_plain(L, index, in, &out->value);
    if (at != SYL_FINE && report) lua_pushvalue(L, index);
    return at;
  }
  out->has_sd = true;
  syl_raw_field(L, index, "value");
  syl_fault at = syl_read_plain(L, top + 1, in, &out->value);
  if (at == SYL_FINE) {
    lua_settop(L, top);
    syl_raw_field(L, index, "sd");
    at = syl_read_plain(L, top + 1, in, &out->sd);
    if (at == SYL_FINE && out->sd < 0) at = SYL_BAD_SD;
  }
  if (at != SYL_FINE && report) return at;
  lua_settop(L, top);
  out->limits = syl_raw_field(L, index, "limits") == LUA_TBOOLEAN;
  lua_settop(L, top);
  return at;
}

/* core.number_of(value, dims, factor) -> number, sd or nil; or nil, what is wrong, the value or the part of it that is. */
static int l_number_of(lua_State *L) {
  static const char *const faults[] = {"", "no number", "other unit", "infinite", "not a number", "sd"};
  const syl_unit in = {luaL_checkstring(L, 2), luaL_checknumber(L, 3)};
  lua_settop(L, 3);
  syl_file_number n;
  const syl_fault at = syl_read_file_number(L, 1, &in, true, &n);
  if (at != SYL_FINE) {
    lua_pushnil(L);
    lua_pushstring(L, faults[at]);
    lua_rotate(L, -3, -1);
    return 3;
  }
  lua_pushnumber(L, n.value);
  if (!n.has_sd) return 1;
  lua_pushnumber(L, n.sd);
  return 2;
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

/* core.plain_sizes(value, count, most) -> a list of numbers above 0, or nil */
static int l_plain_sizes(lua_State *L) {
  enum { MOST = 3, NAMES = 2 }; /* room for kind and axis beside the names of the sizes */
  const lua_Integer count = luaL_checkinteger(L, 2);
  const double most = luaL_checknumber(L, 3);
  luaL_argcheck(L, count >= 1 && count <= MOST, 2, "shapes have 1 to 3 sizes");
  lua_settop(L, 1);
  if (lua_type(L, 1) != LUA_TTABLE || lua_getmetatable(L, 1) || !has_entries(L, 1, count)) return 0;
  double v[MOST];
  for (int i = 0; i < count; i++) {
    if (lua_rawgeti(L, 1, i + 1) != LUA_TNUMBER) return 0;
    v[i] = lua_tonumber(L, -1);
    if (!(v[i] > 0 && v[i] <= most)) return 0;
  }
  lua_createtable(L, (int)count, (int)count + NAMES);
  for (int i = 0; i < count; i++) {
    lua_pushnumber(L, v[i]);
    lua_rawseti(L, -2, i + 1);
  }
  return 1;
}

void syl_open_file_number(lua_State *L) {
  lua_pushcfunction(L, l_plain_sizes);
  lua_setfield(L, -2, "plain_sizes");
  syl_push_marks(L);
  lua_pushcclosure(L, l_number_of, SYL_FILE_MARKS);
  lua_setfield(L, -2, "number_of");
}
