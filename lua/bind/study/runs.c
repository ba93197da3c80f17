#include "bind/study/runs.h"

#include <lauxlib.h>

size_t syl_check_run(lua_State *L, int arg, size_t n, size_t *count) {
  const lua_Integer from = luaL_checkinteger(L, arg), to = luaL_checkinteger(L, arg + 1);
  luaL_argcheck(L, from >= 1, arg, "outside the column");
  luaL_argcheck(L, to >= from - 1 && (lua_Unsigned)to <= n, arg + 1, "outside the column");
  *count = (size_t)(to - from + 1);
  return (size_t)from - 1;
}

size_t syl_check_start(lua_State *L, int arg, size_t n, size_t count) {
  const lua_Integer from = luaL_checkinteger(L, arg);
  luaL_argcheck(L, from >= 1 && (lua_Unsigned)from - 1 <= n && count <= n - ((size_t)from - 1), arg,
                "outside the column");
  return (size_t)from - 1;
}

const double *syl_column_run(syl_column *c, size_t first, size_t count, double room[SYL_RUN]) {
  const double *data = syl_column_data(c);
  if (data != NULL) return data + first;
  syl_column_read(c, first, count, room);
  return room;
}

double *syl_check_stored(lua_State *L, int arg, size_t *n) {
  *n = 0;
  if (lua_isnoneornil(L, arg)) return NULL;
  syl_column *c = syl_column_check(L, arg);
  luaL_argcheck(L, syl_column_data(c) != NULL, arg, "a stored column expected");
  *n = syl_column_count(c);
  return syl_column_data(c);
}

uint8_t *syl_check_codes(lua_State *L, int arg, size_t *n) {
  syl_column *c = syl_column_check(L, arg);
  luaL_argcheck(L, syl_column_codes(c) != NULL, arg, "a column of codes expected");
  *n = syl_column_count(c);
  return syl_column_codes(c);
}
