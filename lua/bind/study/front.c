/* front.c - the Pareto front of columns (core/study/front.h). Variants count from 1. */
#include <lauxlib.h>
#include <stdbool.h>

#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/runs.h"
#include "study/front.h"
#include "study/judge.h"

/* Entries of a column that is not stored, in one that is: pushed, to live as long as the call. */
static const double *stored(lua_State *L, syl_column *c) {
  const double *data = syl_column_data(c);
  if (data != NULL) return data;
  syl_column *copy = syl_column_new(L, syl_column_count(c));
  syl_column_read(c, 0, syl_column_count(c), syl_column_data(copy));
  return syl_column_data(copy);
}

/* A byte a variant, not 0 where its verdict is unknown or fail; pushed. NULL without verdicts. */
static const uint8_t *infeasible(lua_State *L, int arg, size_t n) {
  size_t length;
  if (lua_isnoneornil(L, arg)) return NULL;
  const uint8_t *verdict = syl_check_codes(L, arg, &length);
  luaL_argcheck(L, length >= n, arg, "shorter than the columns");
  uint8_t *out = syl_column_codes(syl_column_new_codes(L, n));
  for (size_t i = 0; i < n; i++) out[i] = verdict[i] != SY_PASS && verdict[i] != SY_NEAR;
  return out;
}

/* core.front({columns}, {true where most is better}, verdicts?) -> {variant numbers}: of those that are known, and feasible where there are
** verdicts, those that no other betters; along the first column */
static int l_front(lua_State *L) {
  const double *output[SY_FRONT_OUTPUTS];
  bool most[SY_FRONT_OUTPUTS];
  luaL_checktype(L, 2, LUA_TTABLE);
  const size_t outputs = (size_t)syl_length(L, 1);
  luaL_argcheck(L, outputs >= 1 && outputs <= SY_FRONT_OUTPUTS, 1, "1 to 16 columns expected");
  lua_settop(L, 3);
  luaL_checkstack(L, 2 * SY_FRONT_OUTPUTS + 8, NULL);
  size_t n = 0;
  for (size_t k = 0; k < outputs; k++) {
    lua_geti(L, 1, (lua_Integer)k + 1); /* stays there: the columns live until the end */
    syl_column *c = syl_column_test(L, -1);
    luaL_argcheck(L, c != NULL, 1, "a list of columns expected");
    luaL_argcheck(L, k == 0 || syl_column_count(c) == n, 1, "columns of one length expected");
    n = syl_column_count(c);
    output[k] = stored(L, c);
    lua_geti(L, 2, (lua_Integer)k + 1);
    most[k] = lua_toboolean(L, -1);
    lua_pop(L, 1);
  }
  const uint8_t *left_out = infeasible(L, 3, n);
  size_t *front = lua_newuserdatauv(L, n * sizeof *front, 0), members;
  sy_error err;
  if (sy_front(output, most, outputs, left_out, n, NULL, front, &members, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_createtable(L, (int)members, 0);
  for (size_t i = 0; i < members; i++) {
    lua_pushinteger(L, (lua_Integer)front[i] + 1);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  return 1;
}

void syl_open_front(lua_State *L) {
  lua_pushcfunction(L, l_front);
  lua_setfield(L, -2, "front");
}
