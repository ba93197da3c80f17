/* subtract.c - a part from weighings with and without it, or hung from several points. Lengths mm. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "measure/hang.h"
#include "measure/subtract.h"
#include "numeric/stats.h"

static const char *const entry[6] = {"xx", "yy", "zz", "xy", "xz", "yz"};

static sy_vec3 point_under(lua_State *L, int index, const char *key, double missing) {
  sy_vec3 p = {missing, missing, missing};
  if (lua_getfield(L, index, key) != LUA_TNIL) {
    luaL_checktype(L, -1, LUA_TTABLE);
    const int at = lua_gettop(L);
    p = (sy_vec3){syl_number_under(L, at, "x", 1, missing), syl_number_under(L, at, "y", 1, missing),
                  syl_number_under(L, at, "z", 1, missing)};
  }
  lua_pop(L, 1);
  return sy_vec3_scale(SY_MILLIMETRE, p);
}

static sy_sym3 tensor_under(lua_State *L, int index, const char *key) {
  double v[6] = {0, 0, 0, 0, 0, 0};
  if (lua_getfield(L, index, key) != LUA_TNIL) {
    luaL_checktype(L, -1, LUA_TTABLE);
    for (int i = 0; i < 6; i++) v[i] = syl_number_under(L, lua_gettop(L), entry[i], 1, 0);
  }
  lua_pop(L, 1);
  return (sy_sym3){v[0], v[1], v[2], v[3], v[4], v[5]};
}

static void push_point(lua_State *L, sy_vec3 p) {
  static const char *const letter[3] = {"x", "y", "z"};
  const double v[3] = {p.x, p.y, p.z};
  lua_createtable(L, 0, 3);
  for (int i = 0; i < 3; i++)
    if (!isnan(v[i])) {
      lua_pushnumber(L, v[i] / SY_MILLIMETRE);
      lua_setfield(L, -2, letter[i]);
    }
}

static void push_tensor(lua_State *L, sy_sym3 a) {
  const double v[6] = {a.xx, a.yy, a.zz, a.xy, a.xz, a.yz};
  lua_createtable(L, 0, 6);
  for (int i = 0; i < 6; i++) {
    lua_pushnumber(L, v[i]);
    lua_setfield(L, -2, entry[i]);
  }
}

enum { MOST_BODIES = 64 };

/* core.subtract(bodies, with_inertia) -> {mass, cg, inertia?, sd = {the same}}; bodies a list of {mass, mass_sd, cg = {x, y, z}, cg_sd,
** inertia, inertia_sd, without} */
static int l_subtract(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const lua_Integer count = syl_length(L, 1);
  luaL_argcheck(L, count <= MOST_BODIES, 1, "too many bodies");
  const bool with_inertia = lua_toboolean(L, 2);
  sy_weighed bodies[MOST_BODIES];
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, 1, i + 1);
    const int at = lua_gettop(L);
    sy_weighed *w = &bodies[i];
    w->body = (sy_massprops){syl_number_under(L, at, "mass", 1, (double)NAN),
                             point_under(L, at, "cg", (double)NAN), tensor_under(L, at, "inertia")};
    w->mass_sd = syl_number_under(L, at, "mass_sd", 1, 0);
    w->cg_sd = point_under(L, at, "cg_sd", 0);
    w->inertia_sd = tensor_under(L, at, "inertia_sd");
    lua_getfield(L, at, "without");
    w->without = lua_toboolean(L, -1);
    lua_settop(L, at - 1);
  }
  sy_weighed rest;
  sy_error err;
  if (sy_subtract(bodies, (size_t)count, with_inertia, &rest, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 4);
  lua_createtable(L, 0, 3);
  lua_pushnumber(L, rest.body.mass);
  lua_setfield(L, -3, "mass");
  lua_pushnumber(L, rest.mass_sd);
  lua_setfield(L, -2, "mass");
  push_point(L, rest.body.cg);
  lua_setfield(L, -3, "cg");
  push_point(L, rest.cg_sd);
  lua_setfield(L, -2, "cg");
  if (with_inertia) {
    push_tensor(L, rest.body.inertia);
    lua_setfield(L, -3, "inertia");
    push_tensor(L, rest.inertia_sd);
    lua_setfield(L, -2, "inertia");
  }
  lua_setfield(L, -2, "sd");
  return 1;
}

/* core.hang(lines) -> {cg, sd, miss, miss_sd, below, chi2, p, dof}; lines a list of {from, to, from_sd, to_sd}, points {x =, y =, z =} */
static int l_hang(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const lua_Integer count = syl_length(L, 1);
  luaL_argcheck(L, count <= SY_HANG_MOST, 1, "too many lines");
  sy_plumb lines[SY_HANG_MOST];
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, 1, i + 1);
    const int at = lua_gettop(L);
    lines[i].from = point_under(L, at, "from", (double)NAN);
    lines[i].to = point_under(L, at, "to", (double)NAN);
    lines[i].from_sd = point_under(L, at, "from_sd", 0);
    lines[i].to_sd = point_under(L, at, "to_sd", 0);
    lua_settop(L, at - 1);
  }
  sy_hung h;
  sy_error err;
  if (sy_hang_cg(lines, (size_t)count, &h, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 8);
  push_point(L, h.cg);
  lua_setfield(L, -2, "cg");
  push_point(L, h.cg_sd);
  lua_setfield(L, -2, "sd");
  syl_set_list(L, "miss", h.miss, (size_t)count, SY_MILLIMETRE);
  syl_set_list(L, "miss_sd", h.miss_sd, (size_t)count, SY_MILLIMETRE);
  syl_set_list(L, "below", h.below, (size_t)count, SY_MILLIMETRE);
  lua_pushnumber(L, h.chi2);
  lua_setfield(L, -2, "chi2");
  lua_pushnumber(L, sy_stats_chi2_tail(h.chi2, h.dof));
  lua_setfield(L, -2, "p");
  lua_pushinteger(L, h.dof);
  lua_setfield(L, -2, "dof");
  return 1;
}

void syl_open_weighed(lua_State *L) {
  static const luaL_Reg functions[] = {{"subtract", l_subtract}, {"hang", l_hang}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
