/* perches.c - turns of the spring perches, as Lua tables. */
#include <lauxlib.h>
#include <math.h>

#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/statics/corner.h"
#include "statics/perches.h"

static const char *const hold_word[] = {"heights",     "front heights", "rear heights",
                                        "least turns", "all heights",   NULL};

static sy_perch_ask read_ask(lua_State *L, int index) {
  luaL_checktype(L, index, LUA_TTABLE);
  sy_perch_ask a = {.hold = SY_HOLD_HEIGHTS};
  lua_getfield(L, index, "hold");
  a.hold = (sy_hold)luaL_checkoption(L, -1, "heights", hold_word);
  lua_pop(L, 1);
  const double cross = syl_number_under(L, index, "cross_share", 1, (double)NAN);
  a.cross = !isnan(cross);
  a.cross_share = a.cross ? cross * 0.01 : 0.0;
  lua_getfield(L, index, "front");
  a.raise = !lua_isnil(L, -1);
  lua_pop(L, 1);
  a.front = syl_number_under(L, index, "front", 1, 0.0) * 1e-3;
  a.rear = syl_number_under(L, index, "rear", 1, 0.0) * 1e-3;
  a.notch = syl_number_under(L, index, "notch", 1, 0.0);
  return a;
}

/* core.perches(asked, {hold?, cross_share?, front?, rear?, notch?})
** -> {turns, exact, rule?, pad_allowed?, before, at_exact, after, by_rule}: turns by wheel, beyond those given; front and rear are
** changes of height, mm. Nothing when no turns bring it about. */
static int l_perches(lua_State *L) {
  const sy_perch_ask ask = read_ask(L, 2);
  syl_asked q;
  sy_stand stand;
  sy_perch_answer a;
  sy_error err;
  syl_read_asked(L, 1, &q);
  syl_stand(L, &q, &stand);
  const sy_vec3 gravity = stand.gravity;
  const sy_status status =
      sy_settle_perches(&stand.model, &stand.now, &q.car.tanks, gravity, &stand.setting, &ask, &a, &err);
  if (status == SY_GEOMETRY) return 0; /* it was found standing without them */
  if (status != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 8);
  syl_set_by_wheel(L, "turns", q.g, a.turns, 1.0);
  syl_set_by_wheel(L, "exact", q.g, a.exact, 1.0);
  if (ask.cross) {
    lua_pushnumber(L, a.rule);
    lua_setfield(L, -2, "rule");
  }
  if (!isnan(a.pad_allowed)) {
    lua_pushnumber(L, a.pad_allowed * 1e3);
    lua_setfield(L, -2, "pad_allowed");
  }
  const sy_corner_result *const states[] = {&a.before, &a.at_exact, &a.after, &a.by_rule};
  static const char *const name[] = {"before", "at_exact", "after", "by_rule"};
  for (int i = 0; i < 4; i++) {
    syl_push_stand(L, q.g, states[i]);
    syl_set_liquids(L, q.tanks, &q.g->vehicle, gravity, states[i]->pose);
    lua_setfield(L, -2, name[i]);
  }
  return 1;
}

static const luaL_Reg functions[] = {{"perches", l_perches}, {NULL, NULL}};

void syl_open_perches(lua_State *L) { luaL_setfuncs(L, functions, 0); }
