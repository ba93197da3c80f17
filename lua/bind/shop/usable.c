/* usable.c - what can be drawn from a tank. */
#include <lauxlib.h>

#include "answers/usable_answers.h"
#include "base/units.h"
#include "bind/answers/found.h"
#include "bind/errors.h"
#include "bind/mass/mesh.h"
#include "bind/numbers.h"
#include "bind/open.h"

/* The list of stated coordinates at `index` (nil: none): {key, value, sd, move = {forward, left, up} in mm by one standard uncertainty} */
static size_t read_pick_up_errors(lua_State *L, int index, sy_pick_up_error out[3]) {
  const lua_Integer count = lua_isnoneornil(L, index) ? 0 : syl_length(L, index);
  luaL_argcheck(L, count <= 3, index, "a pick-up has three coordinates");
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, index, i + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    const int entry = lua_gettop(L);
    lua_getfield(L, entry, "key");
    out[i] = (sy_pick_up_error){
        sy_error_key(luaL_checkstring(L, -1)), syl_number_under(L, entry, "value", 1, 0),
        syl_number_under(L, entry, "sd", SY_MILLIMETRE, 0), syl_three_under(L, entry, "move", SY_MILLIMETRE)};
    lua_settop(L, entry - 1);
  }
  return (size_t)count;
}

static int push_usable(lua_State *L, const sy_found *found) {
  lua_pushnumber(L, found->value / SY_LITRE);
  lua_pushnumber(L, sy_found_sd(found) / SY_LITRE);
  *(sy_found *)syl_new_found(L, SYL_FOUND_USABLE, 1) = *found;
  return 3;
}

/* core.unusable(shape, {forward, left, up} point from the middle in mm, {forward, left, up} direction up, errors?) -> litres that stand below
** the point: what a pick-up there leaves behind; their standard uncertainty; what was found (bind/answers/found.h) */
static int l_unusable(lua_State *L) {
  syl_tank tank;
  sy_found found;
  sy_error err;
  sy_pick_up_error error[3];
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_settop(L, 4);
  luaL_checktype(L, 2, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TTABLE);
  const sy_vec3 point = syl_three_at(L, 2, 1, SY_MILLIMETRE), up = syl_three_at(L, 3, 1, 1);
  const size_t errors = read_pick_up_errors(L, 4, error);
  if (!syl_read_tank(L, 1, &tank, &err)) return syl_raise(L, &err);
  if (sy_unusable_find(&tank.tank, tank.capacity / tank.volume, sy_vec3_add(point, tank.middle), up, error,
                       errors, &found, &err) != SY_OK)
    return syl_raise(L, &err);
  return push_usable(L, &found);
}

/* core.litres_found(key, litres, sd) -> litres, sd, what was found: stated litres */
static int l_litres_found(lua_State *L) {
  const char *key = luaL_checkstring(L, 1);
  const double litres = luaL_checknumber(L, 2), sd = luaL_checknumber(L, 3);
  sy_found found = sy_found_of(litres * SY_LITRE);
  sy_found_add(&found, sy_error_key(key), litres, sd, sd * SY_LITRE);
  return push_usable(L, &found);
}

/* core.usable(fill, unusable) -> litres, sd, what was found: of one less the other */
static int l_usable(lua_State *L) {
  size_t count;
  const sy_found *fill = syl_opt_found(L, 1, SYL_FOUND_USABLE, &count);
  luaL_argcheck(L, fill != NULL, 1, "is missing");
  const sy_found *unusable = syl_opt_found(L, 2, SYL_FOUND_USABLE, &count);
  luaL_argcheck(L, unusable != NULL, 2, "is missing");
  const sy_found found = sy_usable_find(fill, unusable);
  return push_usable(L, &found);
}

void syl_open_usable(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"unusable", l_unusable}, {"litres_found", l_litres_found}, {"usable", l_usable}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
