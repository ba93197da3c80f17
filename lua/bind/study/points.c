/* points.c - the values of each input, as columns (core/study/points.h). Inputs, variants and points count from 1. */
#include <lauxlib.h>

#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/column.h"
#include "study/points.h"
#include "study/sobol.h"

/* A whole number, from `least` on, as an index or count. */
static size_t check_size(lua_State *L, int arg, lua_Integer least) {
  const lua_Integer n = luaL_checkinteger(L, arg);
  luaL_argcheck(L, n >= least, arg, "is too small");
  return (size_t)n;
}

/* Numbers of the list at `arg`, kept by the collector; pushes them. */
static double *push_numbers(lua_State *L, int arg, size_t *count) {
  luaL_checktype(L, arg, LUA_TTABLE);
  *count = (size_t)syl_length(L, arg);
  luaL_argcheck(L, *count > 0, arg, "at least one value expected");
  double *values = lua_newuserdatauv(L, *count * sizeof *values, 0);
  for (size_t i = 0; i < *count; i++) values[i] = syl_number_at(L, arg, (lua_Integer)i + 1);
  return values;
}

/* The data of a stored column. */
static double *check_data(lua_State *L, int arg, size_t *count) {
  syl_column *c = syl_column_check(L, arg);
  double *data = syl_column_data(c);
  luaL_argcheck(L, data != NULL, arg, "a stored column expected");
  *count = syl_column_count(c);
  return data;
}

/* core.points_range(from, to, n) -> {n values} */
static int l_range(lua_State *L) {
  enum { MOST = 1000000 };
  const double from = luaL_checknumber(L, 1), to = luaL_checknumber(L, 2);
  const lua_Integer n = luaL_checkinteger(L, 3);
  luaL_argcheck(L, n <= MOST, 3, "at most a million values");
  const size_t count = n < 0 ? 0 : (size_t)n;
  double *values = lua_newuserdatauv(L, count * sizeof *values, 0);
  sy_error err;
  if (sy_points_range(from, to, count, values, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushnumber(L, values[i]);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  return 1;
}

/* core.points_shape{numbers of values} -> {every how many variants each changes}, number of variants */
static int l_shape(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const size_t inputs = (size_t)syl_length(L, 1);
  size_t *n = lua_newuserdatauv(L, 2 * (inputs + 1) * sizeof *n, 0), *each = n + inputs, total;
  for (size_t k = 0; k < inputs; k++) {
    lua_rawgeti(L, 1, (lua_Integer)k + 1);
    const lua_Integer count = luaL_checkinteger(L, -1);
    n[k] = count < 0 ? 0 : (size_t)count;
    lua_pop(L, 1);
  }
  sy_error err;
  if (sy_points_grid_shape(n, inputs, each, &total, &err) != SY_OK) return syl_raise(L, &err);
  if (total > LUA_MAXINTEGER)
    return syl_fail(L, &(syl_failure){.code = "limit",
                                      .field = "vary",
                                      .message = "makes more variants than can be counted"});
  lua_createtable(L, (int)inputs, 0);
  for (size_t k = 0; k < inputs; k++) {
    lua_pushinteger(L, (lua_Integer)each[k]);
    lua_rawseti(L, -2, (lua_Integer)k + 1);
  }
  lua_pushinteger(L, (lua_Integer)total);
  return 2;
}

/* core.points_one({values}, base, start, first, count) -> column of variants first .. first + count - 1: the values from variant `start` on, else
** base */
static int l_one(lua_State *L) {
  size_t n;
  const double base = luaL_checknumber(L, 2);
  const size_t start = check_size(L, 3, 1), first = check_size(L, 4, 1), count = check_size(L, 5, 0);
  const double *values = push_numbers(L, 1, &n);
  sy_points_one(values, n, base, start - 1, first - 1, count, syl_column_data(syl_column_new(L, count)));
  return 1;
}

/* core.points_latin(seed, stream, n, first, count) -> column of u, 0 < u < 1; seed, stream: any integers */
static int l_latin(lua_State *L) {
  const uint64_t seed = (uint64_t)luaL_checkinteger(L, 1), stream = (uint64_t)luaL_checkinteger(L, 2);
  const size_t n = check_size(L, 3, 1), first = check_size(L, 4, 1), count = check_size(L, 5, 0);
  double *u = syl_column_data(syl_column_new(L, count));
  sy_error err;
  if (sy_points_latin(seed, stream, n, first - 1, count, u, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

/* core.points_sobol(input, first, count) -> column of u, 0 <= u < 1 */
static int l_sobol(lua_State *L) {
  const size_t input = check_size(L, 1, 1), first = check_size(L, 2, 1), count = check_size(L, 3, 0);
  double *u = syl_column_data(syl_column_new(L, count));
  sy_error err;
  const unsigned k = input > SY_SOBOL_INPUTS ? SY_SOBOL_INPUTS : (unsigned)input - 1;
  if (sy_sobol(k, first - 1, count, u, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

/* core.points_between(column, from, to) -> the same column: u becomes from + u (to - from) */
static int l_between(lua_State *L) {
  size_t count;
  double *u = check_data(L, 1, &count);
  sy_points_between(luaL_checknumber(L, 2), luaL_checknumber(L, 3), u, count, u);
  lua_settop(L, 1);
  return 1;
}

/* core.points_pick(column, {values}) -> the same column: u becomes one of the values, each as often */
static int l_pick(lua_State *L) {
  size_t count, n;
  double *u = check_data(L, 1, &count);
  const double *values = push_numbers(L, 2, &n);
  sy_points_pick(values, n, u, count, u);
  lua_settop(L, 1);
  return 1;
}

void syl_open_points(lua_State *L) {
  static const luaL_Reg functions[] = {{"points_range", l_range}, {"points_shape", l_shape},
                                       {"points_one", l_one},     {"points_latin", l_latin},
                                       {"points_sobol", l_sobol}, {"points_between", l_between},
                                       {"points_pick", l_pick},   {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
