/* bind_measure_weigh.c - wheel loads from runs over scales, in kg. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "bind.h"
#include "fail.h"
#include "measure/weigh.h"
#include "numeric/stats.h"
#include "numeric/uncertain.h"

static double number_of(lua_State *L, int index, const char *key) {
  lua_getfield(L, index, key);
  const double x = luaL_optnumber(L, -1, 0);
  lua_pop(L, 1);
  return x;
}

/* Push the list under `key` and give its length. */
static size_t push_list(lua_State *L, int index, const char *key, size_t most) {
  lua_getfield(L, index, key);
  luaL_checktype(L, -1, LUA_TTABLE);
  const size_t count = (size_t)luaL_len(L, -1);
  if (count > most)
    return (size_t)syl_fail(
        L, &(syl_failure){.code = "range",
                          .part = "corner_scales",
                          .kind = "",
                          .field = key,
                          .message = lua_pushfstring(L, "are %d, more than %d", (int)count, (int)most)});
  return count;
}

static void read_problem(lua_State *L, sy_weigh *p) {
  memset(p, 0, sizeof *p);
  p->wheels = push_list(L, 1, "wheels", SY_WEIGH_WHEELS);
  for (size_t i = 0; i < p->wheels; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    p->front[i] = (int)number_of(L, lua_gettop(L), "front");
    p->left[i] = (int)number_of(L, lua_gettop(L), "left");
    lua_pop(L, 1);
  }
  p->pads = push_list(L, 1, "pads", SY_WEIGH_PADS);
  for (size_t i = 0; i < p->pads; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    p->offset_sd[i] = number_of(L, lua_gettop(L), "offset_sd");
    p->gain_sd[i] = number_of(L, lua_gettop(L), "gain_sd");
    lua_pop(L, 1);
  }
  p->readings = push_list(L, 1, "readings", SY_WEIGH_READINGS);
  for (size_t i = 0; i < p->readings; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    const int at = lua_gettop(L);
    p->reading[i] =
        (sy_weigh_reading){(unsigned)number_of(L, at, "wheels"), (size_t)number_of(L, at, "pad") - 1,
                           (int)number_of(L, at, "facing"), number_of(L, at, "load"), number_of(L, at, "sd")};
    lua_pop(L, 1);
  }
  p->ratio_sd = number_of(L, 1, "ratio_sd");
  lua_getfield(L, 1, "slopes");
  p->slopes = lua_toboolean(L, -1);
  lua_pop(L, 1);
}

static void set_number(lua_State *L, const char *key, double x) {
  if (isnan(x)) return;
  lua_pushnumber(L, x);
  lua_setfield(L, -2, key);
}

static void set_list(lua_State *L, const char *key, const double *values, size_t count) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushnumber(L, values[i]);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, key);
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
  set_list(L, "loads", r.load, p->wheels);
  set_list(L, "cov", r.cov, p->wheels * p->wheels);
  set_list(L, "offsets", r.offset, p->pads);
  set_list(L, "offset_sd", r.offset_sd, p->pads);
  set_number(L, "slope_front", r.slope_front);
  set_number(L, "slope_left", r.slope_left);
  lua_createtable(L, (int)p->readings, 0);
  for (size_t i = 0; i < p->readings; i++) {
    lua_createtable(L, 0, 2);
    set_number(L, "residual", r.fit.residual[i]);
    set_number(L, "sigmas", r.fit.standardised[i]);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "rows");
  set_number(L, "chi2", r.fit.chi2);
  set_number(L, "dof", (double)r.fit.dof);
  set_number(L, "p", r.fit.dof > 0 ? sy_stats_chi2_tail(r.fit.chi2, (double)r.fit.dof) : 1);
  set_number(L, "critical", sy_lsq_critical(p->readings, 0.05));
  const size_t worst = sy_lsq_worst(&r.fit, 0, p->readings);
  if (worst < p->readings) set_number(L, "worst", (double)worst + 1);
  return 1;
}

/* core.ratio(a, b, values, cov) -> (a . values) / (b . values), its standard uncertainty; lists, cov row by row */
static int l_ratio(lua_State *L) {
  double a[SY_WEIGH_WHEELS], b[SY_WEIGH_WHEELS], q[SY_WEIGH_WHEELS], cov[SY_WEIGH_WHEELS * SY_WEIGH_WHEELS],
      value, u;
  const lua_Integer n = luaL_len(L, 3);
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
