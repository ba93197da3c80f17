/* corner_scales.c - wheel loads from runs over scales, in kg. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "measure/weigh.h"
#include "numeric/stats.h"
#include "numeric/uncertain.h"

static void read_problem(lua_State *L, sy_weigh *p) {
  memset(p, 0, sizeof *p);
  p->wheels = syl_push_list(L, 1, "wheels", SY_WEIGH_WHEELS, "corner_scales");
  for (size_t i = 0; i < p->wheels; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    p->front[i] = syl_whole_under(L, lua_gettop(L), "front", -1, 1, 0);
    p->left[i] = syl_whole_under(L, lua_gettop(L), "left", -1, 1, 0);
    lua_pop(L, 1);
  }
  p->pads = syl_push_list(L, 1, "pads", SY_WEIGH_PADS, "corner_scales");
  for (size_t i = 0; i < p->pads; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    p->offset_sd[i] = syl_number_under(L, lua_gettop(L), "offset_sd", 1, 0);
    p->gain_sd[i] = syl_number_under(L, lua_gettop(L), "gain_sd", 1, 0);
    lua_pop(L, 1);
  }
  p->readings = syl_push_list(L, 1, "readings", SY_WEIGH_READINGS, "corner_scales");
  for (size_t i = 0; i < p->readings; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    const int at = lua_gettop(L);
    p->reading[i] =
        (sy_weigh_reading){(unsigned)syl_whole_under(L, at, "wheels", 0, (1 << SY_WEIGH_WHEELS) - 1, 0),
                           (size_t)syl_whole_under(L, at, "pad", 1, SY_WEIGH_PADS, 1) - 1,
                           syl_whole_under(L, at, "facing", -1, 1, 0), syl_number_under(L, at, "load", 1, 0),
                           syl_number_under(L, at, "sd", 1, 0)};
    lua_pop(L, 1);
  }
  p->ratio_sd = syl_number_under(L, 1, "ratio_sd", 1, 0);
  lua_getfield(L, 1, "slopes");
  p->slopes = lua_toboolean(L, -1);
  lua_pop(L, 1);
}

/* core.weigh(problem) -> {loads, cov, offsets, offset_sd, slope_front, slope_left, rows = {{residual, sigmas}}, chi2, dof, p, worst, critical};
** problem {wheels = {{front, left}}, pads = {{offset_sd, gain_sd}}, readings = {{wheels = bits, pad, facing, load, sd}}, ratio_sd, slopes} */
static int l_weigh(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  sy_weigh *p = lua_newuserdatauv(L, sizeof *p, 0);
  read_problem(L, p);
  void *memory = lua_newuserdatauv(L, sy_weigh_size(p), 0);
  sy_weigh_result r;
  sy_error err;
  if (sy_weigh_solve(p, memory, &r, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 12);
  syl_set_list(L, "loads", r.load, p->wheels, 1);
  syl_set_list(L, "cov", r.cov, p->wheels * p->wheels, 1);
  syl_set_list(L, "offsets", r.offset, p->pads, 1);
  syl_set_list(L, "offset_sd", r.offset_sd, p->pads, 1);
  syl_set_number(L, "slope_front", r.slope_front);
  syl_set_number(L, "slope_left", r.slope_left);
  lua_createtable(L, (int)p->readings, 0);
  for (size_t i = 0; i < p->readings; i++) {
    lua_createtable(L, 0, 2);
    syl_set_number(L, "residual", r.fit.residual[i]);
    syl_set_number(L, "sigmas", r.fit.standardised[i]);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "rows");
  syl_set_number(L, "chi2", r.fit.chi2);
  syl_set_number(L, "dof", (double)r.fit.dof);
  syl_set_number(L, "p", r.fit.dof > 0 ? sy_stats_chi2_tail(r.fit.chi2, (double)r.fit.dof) : 1);
  syl_set_number(L, "critical", sy_lsq_critical(p->readings, 0.05));
  const size_t worst = sy_lsq_worst(&r.fit, 0, p->readings);
  if (worst < p->readings) syl_set_number(L, "worst", (double)worst + 1);
  return 1;
}

/* core.ratio(a, b, values, cov) -> (a . values) / (b . values), its standard uncertainty; lists, cov row by row */
static int l_ratio(lua_State *L) {
  double a[SY_WEIGH_WHEELS], b[SY_WEIGH_WHEELS], q[SY_WEIGH_WHEELS], cov[SY_WEIGH_WHEELS * SY_WEIGH_WHEELS],
      value, u;
  const lua_Integer n = syl_length(L, 3);
  luaL_argcheck(L, n >= 1 && n <= SY_WEIGH_WHEELS, 3, "too many values");
  double *const into[4] = {a, b, q, cov};
  for (int k = 0; k < 4; k++)
    for (lua_Integer i = 0; i < (k == 3 ? n * n : n); i++) {
      lua_geti(L, k + 1, i + 1);
      into[k][i] = luaL_checknumber(L, -1);
      lua_pop(L, 1);
    }
  sy_error err;
  if (sy_uncertain_ratio(a, b, q, cov, (size_t)n, &value, &u, &err) != SY_OK) return syl_raise(L, &err);
  lua_pushnumber(L, value);
  lua_pushnumber(L, u);
  return 2;
}

void syl_open_weigh(lua_State *L) {
  static const luaL_Reg functions[] = {{"weigh", l_weigh}, {"ratio", l_ratio}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
