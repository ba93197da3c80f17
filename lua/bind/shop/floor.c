/* floor.c - tapes and surveys on a floor as plain functions of mm and degrees, in whatever two axes the caller keeps to. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "shop/survey.h"

static sy_plan read_place(lua_State *L, int index) {
  luaL_checktype(L, index, LUA_TTABLE);
  index = lua_absindex(L, index);
  return (sy_plan){syl_number_at(L, index, 1) * SY_MILLIMETRE, syl_number_at(L, index, 2) * SY_MILLIMETRE};
}

/* {{x, y}, {x, y}} */
static sy_tapes read_tapes(lua_State *L, int index) {
  sy_tapes tapes;
  luaL_checktype(L, index, LUA_TTABLE);
  index = lua_absindex(L, index);
  lua_geti(L, index, 1);
  tapes.a = read_place(L, -1);
  lua_geti(L, index, 2);
  tapes.b = read_place(L, -1);
  lua_pop(L, 2);
  return tapes;
}

static int push_two(lua_State *L, double a, double b) {
  lua_pushnumber(L, a);
  lua_pushnumber(L, b);
  return 2;
}

/* core.tape_lengths(tapes, {x, y}) -> a, b */
static int l_lengths(lua_State *L) {
  const sy_tapes tapes = read_tapes(L, 1);
  double a, b;
  sy_tapes_lengths(&tapes, read_place(L, 2), &a, &b);
  return push_two(L, a / SY_MILLIMETRE, b / SY_MILLIMETRE);
}

/* core.tape_place(tapes, a, b, near) -> x, y: of the two places the one on the side of `near` */
static int l_place(lua_State *L) {
  const sy_tapes tapes = read_tapes(L, 1);
  sy_plan p;
  sy_error err;
  if (sy_tapes_place(&tapes, luaL_checknumber(L, 2) * SY_MILLIMETRE, luaL_checknumber(L, 3) * SY_MILLIMETRE,
                     read_place(L, 4), &p, &err) != SY_OK)
    return syl_raise(L, &err);
  return push_two(L, p.x / SY_MILLIMETRE, p.y / SY_MILLIMETRE);
}

/* core.tape_uncertainty(tapes, {x, y}, sd_a, sd_b) -> sd_x, sd_y (math.huge where the tapes do not cross), degrees at which they cross */
static int l_uncertainty(lua_State *L) {
  const sy_tapes tapes = read_tapes(L, 1);
  const sy_tapes_uncertainty d =
      sy_tapes_uncertainty_at(&tapes, read_place(L, 2), luaL_checknumber(L, 3) * SY_MILLIMETRE,
                              luaL_checknumber(L, 4) * SY_MILLIMETRE);
  push_two(L, d.sd_x / SY_MILLIMETRE, d.sd_y / SY_MILLIMETRE);
  lua_pushnumber(L, d.crossing / SY_DEGREE);
  return 3;
}

/* {drawn = {x, y}, value = {two}, sd = {two}, taped = boolean} on top of the stack */
static sy_survey_line read_line(lua_State *L) {
  luaL_checktype(L, -1, LUA_TTABLE);
  const int t = lua_gettop(L);
  sy_survey_line line;
  lua_getfield(L, t, "drawn");
  line.drawn = read_place(L, -1);
  lua_getfield(L, t, "value");
  const sy_plan value = read_place(L, -1);
  lua_getfield(L, t, "sd");
  const sy_plan sd = read_place(L, -1);
  line.value[0] = value.x, line.value[1] = value.y, line.sd[0] = sd.x, line.sd[1] = sd.y;
  lua_getfield(L, t, "taped");
  line.taped = lua_toboolean(L, -1);
  lua_settop(L, t);
  return line;
}

/* Observations whose errors would look like the worst one's: their correlation within this of 1. */
#define CORRELATED 0.999999

static void push_points(lua_State *L, const sy_survey_line *lines, size_t count, const sy_lsq *fit) {
  const size_t worst = sy_lsq_worst(fit, 0, 2 * count);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    const sy_plan p = sy_survey_place(fit->x, lines[i].drawn);
    const double a = fit->standardised[2 * i], b = fit->standardised[2 * i + 1];
    bool like = false;
    for (size_t k = 2 * i; worst < 2 * count && k < 2 * i + 2; k++)
      like = like || k == worst || fabs(sy_lsq_correlation(fit, worst, k)) > CORRELATED;
    lua_createtable(L, 0, 5);
    lua_pushnumber(L, p.x / SY_MILLIMETRE);
    lua_setfield(L, -2, "x");
    lua_pushnumber(L, p.y / SY_MILLIMETRE);
    lua_setfield(L, -2, "y");
    /* fmax leaves out what is untestable: NaN */
    const double sigmas = fmax(fabs(a), fabs(b));
    if (!isnan(sigmas)) {
      lua_pushnumber(L, sigmas);
      lua_setfield(L, -2, "sigmas");
    }
    lua_pushboolean(L, like);
    lua_setfield(L, -2, "worst");
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
}

/* core.survey(lines, tapes or nil) -> {turn (degrees), x, y, sd = {turn, x, y}, chi2, dof, critical, points = {{x, y, sigmas?, worst}}}:
** where the fit puts each drawn point, and whether an error in it looks like the worst observation */
static int l_survey(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const size_t count = (size_t)syl_length(L, 1);
  luaL_argcheck(L, count <= 512, 1, "at most 512 points");
  sy_tapes tapes;
  const bool taped = !lua_isnoneornil(L, 2);
  if (taped) tapes = read_tapes(L, 2);
  /* scratch belongs to the collector */
  sy_survey_line *lines = lua_newuserdatauv(L, (count + 1) * sizeof *lines, 0);
  void *memory = lua_newuserdatauv(L, sy_lsq_size(2 * count + 1, SY_SURVEY_COLS), 0);
  for (size_t i = 0; i < count; i++) {
    lua_geti(L, 1, (lua_Integer)i + 1);
    lines[i] = read_line(L);
    lua_pop(L, 1);
  }
  sy_lsq fit;
  sy_error err;
  if (sy_survey_fit(lines, count, taped ? &tapes : NULL, memory, &fit, &err) != SY_OK)
    return syl_raise(L, &err);
  static const char *const name[SY_SURVEY_COLS] = {"turn", "x", "y"};
  const double scale[SY_SURVEY_COLS] = {1 / SY_DEGREE, 1 / SY_MILLIMETRE, 1 / SY_MILLIMETRE};
  lua_createtable(L, 0, 8);
  lua_createtable(L, 0, SY_SURVEY_COLS);
  for (int k = 0; k < SY_SURVEY_COLS; k++) {
    lua_pushnumber(L, fit.x[k] * scale[k]);
    lua_setfield(L, -3, name[k]);
    lua_pushnumber(L, sqrt(fit.covariance[k * SY_SURVEY_COLS + k]) * scale[k]);
    lua_setfield(L, -2, name[k]);
  }
  lua_setfield(L, -2, "sd");
  lua_pushnumber(L, fit.chi2);
  lua_setfield(L, -2, "chi2");
  lua_pushinteger(L, (lua_Integer)fit.dof);
  lua_setfield(L, -2, "dof");
  lua_pushnumber(L, sy_lsq_critical(2 * count, 0.05));
  lua_setfield(L, -2, "critical");
  push_points(L, lines, count, &fit);
  lua_setfield(L, -2, "points");
  return 1;
}

static const luaL_Reg functions[] = {
    {"tape_lengths", l_lengths},
    {"tape_place", l_place},
    {"tape_uncertainty", l_uncertainty},
    {"survey", l_survey},
    {NULL, NULL},
};

void syl_open_shop_floor(lua_State *L) { luaL_setfuncs(L, functions, 0); }
