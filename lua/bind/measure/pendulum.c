/* pendulum.c - inertia from swings, tensors from several axes, and what their uncertainties need. Lengths mm, angles
** degrees. */
#include <lauxlib.h>
#include <math.h>
#include <stddef.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "mass/massprops.h"
#include "measure/pendulum.h"
#include "measure/tensor.h"
#include "numeric/stats.h"

/* the fields of a measurement as a script names them; `unit` is one of theirs in SI */
static const struct {
  const char *name;
  size_t offset;
  double unit;
} fields[] = {
    {"mass", offsetof(sy_pendulum, mass), 1},
    {"period", offsetof(sy_pendulum, period), 1},
    {"g", offsetof(sy_pendulum, gravity), 1},
    {"arm", offsetof(sy_pendulum, arm), SY_MILLIMETRE},
    {"arm_a", offsetof(sy_pendulum, arm_a), SY_MILLIMETRE},
    {"arm_b", offsetof(sy_pendulum, arm_b), SY_MILLIMETRE},
    {"wire", offsetof(sy_pendulum, wire), SY_MILLIMETRE},
    {"stiffness", offsetof(sy_pendulum, stiffness), 1},
    {"platform_mass", offsetof(sy_pendulum, platform_mass), 1},
    {"platform_period", offsetof(sy_pendulum, platform_period), 1},
    {"rod_mass", offsetof(sy_pendulum, rod_mass), 1},
    {"rod_length", offsetof(sy_pendulum, rod_length), SY_MILLIMETRE},
    {"rod_diameter", offsetof(sy_pendulum, rod_diameter), SY_MILLIMETRE},
    {"rod_period", offsetof(sy_pendulum, rod_period), 1},
    {"swing", offsetof(sy_pendulum, swing), SY_DEGREE},
};

static double *field_at(sy_pendulum *p, size_t i) { return (double *)(void *)((char *)p + fields[i].offset); }

/* core.pendulum(kind, fields, rod_on_platform) -> {inertia, stiffness?, amplitude, sensitivity = {field = d inertia / d field}};
** kind compound, bifilar, trifilar or torsion */
static int l_pendulum(lua_State *L) {
  static const char *const kinds[] = {"compound", "bifilar", "trifilar", "torsion", NULL};
  const int kind = luaL_checkoption(L, 1, NULL, kinds);
  luaL_checktype(L, 2, LUA_TTABLE);
  sy_pendulum p = sy_pendulum_default();
  for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
    if (lua_getfield(L, 2, fields[i].name) != LUA_TNIL)
      *field_at(&p, i) = luaL_checknumber(L, -1) * fields[i].unit;
    lua_pop(L, 1);
  }
  sy_pendulum_result r;
  sy_error err;
  if (sy_pendulum_inertia((sy_pendulum_kind)kind, &p, lua_toboolean(L, 3), &r, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_createtable(L, 0, 4);
  syl_set_number(L, "inertia", r.inertia);
  syl_set_number(L, "amplitude", r.amplitude);
  syl_set_number(L, "stiffness", r.stiffness);
  lua_createtable(L, 0, 8);
  for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
    const double sensitivity = *field_at(&r.sensitivity, i) * fields[i].unit;
    if (sensitivity == 0) continue;
    lua_pushnumber(L, sensitivity);
    lua_setfield(L, -2, fields[i].name);
  }
  lua_setfield(L, -2, "sensitivity");
  return 1;
}

/* core.tensor(swings, cov, mirror) -> {value, sd, residual, dof}; swings a list of {axis, axis_sd, inertia}, cov the
** covariance of the inertias row by row; value and sd hold the known ones of xx yy zz xy xz yz */
static int l_tensor(lua_State *L) {
  static const char *const name[6] = {"xx", "yy", "zz", "xy", "xz", "yz"};
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checktype(L, 2, LUA_TTABLE);
  const lua_Integer count = syl_length(L, 1);
  sy_tensor_swing swings[SY_TENSOR_MOST];
  double cov[SY_TENSOR_MOST * SY_TENSOR_MOST];
  for (lua_Integer i = 0; i < count && i < SY_TENSOR_MOST; i++) {
    lua_geti(L, 1, i + 1);
    const int swing = lua_gettop(L);
    lua_getfield(L, swing, "inertia");
    swings[i] = (sy_tensor_swing){syl_three_under(L, swing, "axis", 1),
                                  syl_three_under(L, swing, "axis_sd", 1), luaL_checknumber(L, -1)};
    lua_settop(L, swing - 1);
  }
  for (lua_Integer i = 0; i < count * count && i < SY_TENSOR_MOST * SY_TENSOR_MOST; i++)
    cov[i] = syl_number_at(L, 2, i + 1);
  sy_tensor t;
  sy_error err;
  if (sy_tensor_fit(swings, (size_t)count, cov, lua_toboolean(L, 3), &t, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_createtable(L, 0, 4);
  lua_createtable(L, 0, 6);
  lua_createtable(L, 0, 6);
  for (int k = 0; k < 6; k++)
    if (t.known[k]) {
      lua_pushnumber(L, t.value[k]);
      lua_setfield(L, -3, name[k]);
      lua_pushnumber(L, t.sd[k]);
      lua_setfield(L, -2, name[k]);
    }
  lua_setfield(L, -3, "sd");
  lua_setfield(L, -2, "value");
  syl_set_list(L, "residual", t.residual, (size_t)count, 1);
  lua_pushinteger(L, t.dof);
  lua_setfield(L, -2, "dof");
  return 1;
}

/* core.can_be_inertia(xx, yy, zz, xy, xz, yz, slack) -> boolean: can a body have this tensor, give or take a share `slack` of its
** largest moment? */
static int l_can_be_inertia(lua_State *L) {
  const sy_massprops body = {1,
                             {0, 0, 0},
                             {luaL_checknumber(L, 1), luaL_checknumber(L, 2), luaL_checknumber(L, 3),
                              luaL_checknumber(L, 4), luaL_checknumber(L, 5), luaL_checknumber(L, 6)}};
  lua_pushboolean(L, sy_massprops_check(&body, luaL_checknumber(L, 7), "body", NULL) == SY_OK);
  return 1;
}

/* core.student(p, dof) -> quantile of Student's t */
static int l_student(lua_State *L) {
  lua_pushnumber(L, sy_stats_student_quantile(luaL_checknumber(L, 1), luaL_checknumber(L, 2)));
  return 1;
}

void syl_open_pendulum(lua_State *L) {
  static const luaL_Reg functions[] = {{"pendulum", l_pendulum},
                                       {"tensor", l_tensor},
                                       {"can_be_inertia", l_can_be_inertia},
                                       {"student", l_student},
                                       {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
