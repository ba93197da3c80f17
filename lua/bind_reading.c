/* bind_reading.c - what the readers of a vehicle file ask of nearly every part, without a dozen steps of Lua. */
#include <stdbool.h>

#include <lauxlib.h>

#include "bind.h"

/* core.is_line(text) -> boolean: one line that can be shown and looked up, so neither empty nor with control characters in it */
static int l_is_line(lua_State *L) {
  size_t length;
  const char *text = luaL_checklstring(L, 1, &length);
  bool fine = length > 0;
  for (size_t i = 0; i < length && fine; i++) fine = (unsigned char)text[i] >= 0x20 && text[i] != 0x7f;
  lua_pushboolean(L, fine);
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

/* core.plain_point(value, most) -> {x, y, z} as floats, if value is a plain table of three plain numbers from -most to most and
** nothing else; otherwise nil */
static int l_plain_point(lua_State *L) {
  const double most = luaL_checknumber(L, 2);
  if (lua_type(L, 1) != LUA_TTABLE || lua_getmetatable(L, 1) || !has_three(L, 1)) return 0;
  double v[3];
  for (int i = 0; i < 3; i++) {
    if (lua_rawgeti(L, 1, i + 1) != LUA_TNUMBER) return 0;
    v[i] = lua_tonumber(L, -1);
    if (!(v[i] >= -most && v[i] <= most)) return 0;
  }
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    lua_pushnumber(L, v[i]);
    lua_rawseti(L, -2, i + 1);
  }
  return 1;
}

void syl_open_reading(lua_State *L) {
  static const luaL_Reg functions[] = {{"is_line", l_is_line}, {"plain_point", l_plain_point}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
