/* beside.c - the cross weight that springs were set to, from one that was read. */
#include "answers/beside.h"

#include <lauxlib.h>

#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/open.h"

static int l_nothing(lua_State *L) {
  (void)L;
  return 0;
}

/* core.beside(asked, measured) -> percent of the drawn state, and how it rests on the percent that was measured: for `beside` of a car that is
** asked (asked.h) */
static int l_beside(lua_State *L) {
  syl_asked a;
  sy_car set;
  sy_error err;
  const double measured = luaL_checknumber(L, 2) * 0.01;
  lua_settop(L, 1);
  syl_read_asked(L, 1, &a);
  sy_beside *beside = lua_newuserdatauv(L, sizeof *beside, 1);
  if (sy_beside_make(&a.car, measured, &set, beside, &err) != SY_OK) return syl_raise(L, &err);
  lua_getfield(L, 1, "now"); /* kept alive with it */
  lua_setiuservalue(L, -2, 1);
  luaL_setmetatable(L, SYL_BESIDE);
  lua_pushnumber(L, set.vehicle.cross_share * 100.0);
  lua_insert(L, -2);
  return 2;
}

void syl_open_beside(lua_State *L) {
  static const luaL_Reg none[] = {{NULL, NULL}};
  syl_open_class(L, SYL_BESIDE, none, l_nothing);
  lua_pushcfunction(L, l_beside);
  lua_setfield(L, -2, "beside");
}
