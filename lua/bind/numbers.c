#include "bind/numbers.h"

#include <lauxlib.h>
#include <math.h>

#include "bind/errors.h"
#include "bind/open.h"

double syl_number_under(lua_State *L, int index, const char *key, double unit, double missing) {
  const double x = lua_getfield(L, index, key) == LUA_TNIL ? missing : luaL_checknumber(L, -1) * unit;
  lua_pop(L, 1);
  return x;
}

lua_Integer syl_length(lua_State *L, int index) {
  enum { MOST = 1000000 };
  if (lua_type(L, index) != LUA_TTABLE)
    return luaL_error(L, "a list is needed, got %s", luaL_typename(L, index));
  const lua_Unsigned length = lua_rawlen(L, index);
  if (length > MOST) return luaL_error(L, "a list has more than %d entries", (int)MOST);
  return (lua_Integer)length;
}

int syl_whole_under(lua_State *L, int index, const char *key, int low, int high, int missing) {
  const double x = syl_number_under(L, index, key, 1, missing);
  if (!(x >= low && x <= high) || x != floor(x))
    return luaL_error(L, "%s must be a whole number from %d to %d", key, low, high);
  return (int)x;
}

double syl_number_at(lua_State *L, int index, lua_Integer i) {
  lua_geti(L, index, i);
  const double x = luaL_checknumber(L, -1);
  lua_pop(L, 1);
  return x;
}

sy_vec3 syl_three_at(lua_State *L, int index, lua_Integer first, double unit) {
  luaL_checktype(L, index, LUA_TTABLE);
  const sy_vec3 v = {syl_number_at(L, index, first), syl_number_at(L, index, first + 1),
                     syl_number_at(L, index, first + 2)};
  return sy_vec3_scale(unit, v);
}

void syl_some_at(lua_State *L, int index, double unit, double v[3]) {
  const int t = lua_absindex(L, index);
  luaL_checktype(L, t, LUA_TTABLE);
  for (int i = 0; i < 3; i++) {
    lua_geti(L, t, i + 1);
    if (!lua_isnil(L, -1)) v[i] = luaL_checknumber(L, -1) * unit;
    lua_pop(L, 1);
  }
}

sy_vec3 syl_three_under(lua_State *L, int index, const char *key, double unit) {
  lua_getfield(L, index, key);
  const sy_vec3 v = syl_three_at(L, -1, 1, unit);
  lua_pop(L, 1);
  return v;
}

sy_mat3 syl_matrix_at(lua_State *L, int index) {
  sy_mat3 m;
  luaL_checktype(L, index, LUA_TTABLE);
  for (int i = 0; i < 9; i++) m.m[i / 3][i % 3] = syl_number_at(L, index, i + 1);
  return m;
}

size_t syl_push_list(lua_State *L, int index, const char *key, size_t most, const char *part) {
  lua_getfield(L, index, key);
  luaL_checktype(L, -1, LUA_TTABLE);
  const size_t count = (size_t)syl_length(L, -1);
  if (count > most)
    return (size_t)syl_fail(
        L, &(syl_failure){.code = "range",
                          .part = part,
                          .kind = "",
                          .field = key,
                          .message = lua_pushfstring(L, "are %d, more than %d", (int)count, (int)most)});
  return count;
}

/* The list on top of the stack goes on with these from entry `first`. */
static void append(lua_State *L, lua_Integer first, const double *values, int count, double unit) {
  for (int i = 0; i < count; i++) {
    lua_pushnumber(L, values[i] / unit);
    lua_seti(L, -2, first + i);
  }
}

void syl_push_three(lua_State *L, sy_vec3 v, double unit) {
  lua_createtable(L, 3, 0);
  append(L, 1, (double[3]){v.x, v.y, v.z}, 3, unit);
}

void syl_push_matrix(lua_State *L, const sy_mat3 *m) {
  lua_createtable(L, 9, 0);
  append(L, 1, &m->m[0][0], 9, 1);
}

void syl_push_frame(lua_State *L, const sy_frame *f, double unit) {
  lua_createtable(L, 12, 0);
  append(L, 1, &f->turn.m[0][0], 9, 1);
  append(L, 10, (double[3]){f->at.x, f->at.y, f->at.z}, 3, unit);
}

void syl_set_number(lua_State *L, const char *key, double x) {
  if (isnan(x)) return;
  lua_pushnumber(L, x + 0.0); /* no minus zero */
  lua_setfield(L, -2, key);
}

void syl_set_list(lua_State *L, const char *key, const double *values, size_t count, double unit) {
  lua_createtable(L, (int)count, 0);
  append(L, 1, values, (int)count, unit);
  lua_setfield(L, -2, key);
}

/* core.only_number(table) -> key, number: of a table that holds one finite number and no more; nothing of any other value */
static int l_only_number(lua_State *L) {
  lua_settop(L, 1);
  if (lua_type(L, 1) != LUA_TTABLE) return 0;
  lua_pushnil(L);
  if (lua_next(L, 1) == 0 || lua_type(L, 3) != LUA_TNUMBER || !isfinite(lua_tonumber(L, 3))) return 0;
  lua_pushvalue(L, 2);
  return lua_next(L, 1) == 0 ? 2 : 0;
}

void syl_open_numbers(lua_State *L) {
  lua_pushcfunction(L, l_only_number);
  lua_setfield(L, -2, "only_number");
}
