#include "bind/mass/pairing.h"

#include <lauxlib.h>

#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"

#define PAIRING "steelyard.pairing"

const sy_pairing *syl_opt_pairing(lua_State *L, int index) {
  if (lua_isnoneornil(L, index)) return NULL;
  sy_pairing **box = luaL_checkudata(L, index, PAIRING);
  luaL_argcheck(L, *box != NULL, index, "the pairing is closed");
  return *box;
}

sy_pairing *syl_take_pairing(lua_State *L, int index) {
  sy_pairing **box = luaL_checkudata(L, index, PAIRING);
  sy_pairing *pairing = *box;
  luaL_argcheck(L, pairing != NULL, index, "the pairing is closed");
  *box = NULL;
  return pairing;
}

static int l_pairing_gc(lua_State *L) {
  sy_pairing **box = luaL_checkudata(L, 1, PAIRING);
  sy_pairing_free(*box);
  *box = NULL;
  return 0;
}

static sy_same_line *read_lines(lua_State *L, const sy_ledger *from, const sy_ledger *to, sy_vec3 by,
                                size_t *count) {
  const lua_Integer n = syl_length(L, 3);
  sy_error err;
  *count = (size_t)n / 4;
  sy_same_line *lines = lua_newuserdatauv(L, (*count + 1) * sizeof *lines, 0);
  for (size_t i = 0; i < *count; i++) {
    const int top = lua_gettop(L);
    for (lua_Integer k = 1; k <= 4; k++) lua_geti(L, 3, (lua_Integer)i * 4 + k);
    lines[i].from = syl_check_route(L, top + 1);
    lines[i].to = syl_check_route(L, top + 2);
    const uint32_t depth[2] = {(uint32_t)luaL_checkinteger(L, top + 3),
                               (uint32_t)luaL_checkinteger(L, top + 4)};
    if (sy_pairing_shift(from, to, &lines[i], depth, by, &lines[i].shift, &err) != SY_OK) syl_raise(L, &err);
    lua_settop(L, top);
  }
  return lines;
}

/* core.pairing(from, to, {route, route, depth, depth, ...}, {forward, left, up}, scales) -> which lines and scales of two ledgers are the
** same. Of each line the ways to it, and from how deep a group in each its place is comparable, 0: from the vehicle, of which the parts
** lie that far (mm) elsewhere in the second file. scales[i]: the number in `to` of the scale i of `from`, 0 for none. */
static int l_pairing(lua_State *L) {
  const sy_ledger *from = syl_check_ledger(L, 1), *to = syl_check_ledger(L, 2);
  luaL_checktype(L, 3, LUA_TTABLE);
  luaL_checktype(L, 4, LUA_TTABLE);
  luaL_checktype(L, 5, LUA_TTABLE);
  double by[3] = {0, 0, 0};
  syl_some_at(L, 4, 1, by);
  uint32_t scales[SY_MAX_INSTRUMENTS] = {0};
  for (lua_Integer i = 0; i < SY_MAX_INSTRUMENTS; i++) {
    lua_geti(L, 5, i + 1);
    scales[i] = (uint32_t)luaL_optinteger(L, -1, 0);
    lua_pop(L, 1);
  }
  sy_pairing **box = lua_newuserdatauv(L, sizeof *box, 0);
  *box = NULL;
  luaL_setmetatable(L, PAIRING);
  size_t count;
  const sy_same_line *lines =
      read_lines(L, from, to, (sy_vec3){by[0] * 1e-3, by[1] * 1e-3, by[2] * 1e-3}, &count);
  sy_error err;
  if (sy_pairing_new(NULL, from, to, lines, count, scales, box, &err) != SY_OK) return syl_raise(L, &err);
  lua_pop(L, 1); /* the list */
  return 1;
}

void syl_open_pairing(lua_State *L) {
  static const luaL_Reg none[] = {{NULL, NULL}};
  syl_open_class(L, PAIRING, none, l_pairing_gc);
  lua_pushcfunction(L, l_pairing);
  lua_setfield(L, -2, "pairing");
}
