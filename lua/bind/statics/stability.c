/* stability.c - tipping and first wheel lift, rigid and on springs, as Lua tables. */
#include <lauxlib.h>

#include "answers/stability_answers.h"
#include "bind/answers/asked.h"
#include "bind/answers/shown.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"

/* {left = key, right = key}: the wheel that lifts first on a table with that side low */
static void set_lift_wheels(lua_State *L, const syl_geometry *g, const int wheel[2]) {
  lua_createtable(L, 0, 2);
  for (int k = 0; k < 2; k++) {
    if (wheel[k] < 0) continue;
    lua_pushstring(L, g->wheel_key[wheel[k]]);
    lua_setfield(L, -2, k == 0 ? "left" : "right");
  }
  lua_setfield(L, -2, "lift_wheel");
}

/* {left_turn = {key, key}, ..}: the two wheels of the line it tips over */
static void set_edges(lua_State *L, const syl_geometry *g, const sy_reach edge[2]) {
  lua_createtable(L, 0, 2);
  for (int k = 0; k < 2; k++) {
    lua_createtable(L, 2, 0);
    for (int i = 0; i < 2; i++) {
      const int a = edge[k].wheel[0], b = edge[k].wheel[1]; /* in the wheels' order */
      lua_pushstring(L, g->wheel_key[(i == 0) == (a < b) ? a : b]);
      lua_seti(L, -2, i + 1);
    }
    lua_setfield(L, -2, k == 0 ? "left_turn" : "right_turn");
  }
  lua_setfield(L, -2, "edges");
}

/* core.stability(asked, sd?) -> the set "stability" by name (deg, g, %), lift_wheel, edges, sink (mm), split_by, and with `sd` a table of standard
** uncertainties; nil and why where it does not stand */
static int l_stability(lua_State *L) {
  syl_asked a;
  sy_rigid s;
  sy_error err;
  syl_read_asked(L, 1, &a);
  const sy_status status = sy_rigid_make(&a.car, &s, &err);
  if (status == SY_GEOMETRY) {
    lua_pushnil(L);
    syl_push_error(L, &err);
    return 2;
  }
  if (status != SY_OK) return syl_raise(L, &err);
  lua_newtable(L);
  syl_set_answers(L, sy_stability_answers(), &s);
  set_lift_wheels(L, a.g, s.lift_wheel);
  set_edges(L, a.g, s.edge);
  syl_set_number(L, "sink", s.sink * 1e3);
  static const char *const limit[] = {"front", "rear", "lift"};
  lua_pushstring(L, limit[s.split_by]);
  lua_setfield(L, -2, "split_by");
  if (!lua_toboolean(L, 2)) return 1;
  syl_push_uncertainties(L, sy_stability_answers(), &a.car, &s);
  return 2;
}

/* core.tip_lines(asked) -> {left_turn = g, right_turn = g, edges =}: of a car that core.stability answers */
static int l_tip_lines(lua_State *L) {
  syl_asked a;
  sy_tip_lines lines;
  sy_error err;
  syl_read_asked(L, 1, &a);
  if (sy_tip_lines_make(&a.car, &lines, &err) != SY_OK) return syl_raise(L, &err);
  lua_newtable(L);
  syl_set_number(L, "left_turn", lines.turn[0]);
  syl_set_number(L, "right_turn", lines.turn[1]);
  set_edges(L, a.g, lines.edge);
  return 1;
}

/* core.stability_springs(asked) -> the set "stability.compliant" by name (deg), lift_wheel; standard uncertainties */
static int l_stability_springs(lua_State *L) {
  syl_asked a;
  sy_compliant s;
  sy_error err;
  syl_read_asked(L, 1, &a);
  if (sy_compliant_make(&a.car, &s, &err) != SY_OK) return syl_raise(L, &err);
  const int wheel[2] = {s.lift[0].wheel, s.lift[1].wheel};
  lua_newtable(L);
  syl_set_answers(L, sy_compliant_answers(), &s);
  set_lift_wheels(L, a.g, wheel);
  syl_push_uncertainties(L, sy_compliant_answers(), &a.car, &s);
  return 2;
}

static const luaL_Reg functions[] = {{"stability", l_stability},
                                     {"stability_springs", l_stability_springs},
                                     {"tip_lines", l_tip_lines},
                                     {NULL, NULL}};

void syl_open_stability(lua_State *L) { luaL_setfuncs(L, functions, 0); }
