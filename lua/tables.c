#include "tables.h"

#include <lauxlib.h>
#include <math.h>

#include "fail.h"

double syl_number_under(lua_State *L, int index, const char *key, double unit, double missing) {
  const double x = lua_getfield(L, index, key) == LUA_TNIL ? missing : luaL_checknumber(L, -1) * unit;
  lua_pop(L, 1);
  return x;
}

size_t syl_push_list(lua_State *L, int index, const char *key, size_t most, const char *part) {
  lua_getfield(L, index, key);
  luaL_checktype(L, -1, LUA_TTABLE);
  const size_t count = (size_t)luaL_len(L, -1);
  if (count > most)
    return (size_t)syl_fail(
        L, &(syl_failure){.code = "range",
                          .part = part,
                          .kind = "",
                          .field = key,
                          .message = lua_pushfstring(L, "are %d, more than %d", (int)count, (int)most)});
  return count;
}

void syl_set_number(lua_State *L, const char *key, double x) {
  if (isnan(x)) return;
  lua_pushnumber(L, x);
  lua_setfield(L, -2, key);
}

void syl_set_list(lua_State *L, const char *key, const double *values, size_t count, double unit) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushnumber(L, values[i] / unit);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, key);
}
