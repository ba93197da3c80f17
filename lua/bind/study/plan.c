#include "bind/study/plan.h"

#include <lauxlib.h>
#include <math.h>

#include "answers/sets.h"
#include "bind/answers/answers.h"
#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/plan_car.h"

#define PLAN "steelyard.plan"

syl_plan *syl_check_plan(lua_State *L, int index) {
  syl_plan *p = luaL_checkudata(L, index, PLAN);
  luaL_argcheck(L, p->plan != NULL, index, "the plan is closed");
  return p;
}

static int l_gc(lua_State *L) {
  syl_plan *p = luaL_checkudata(L, 1, PLAN);
  sy_plan_free(p->plan);
  p->plan = NULL;
  return 0;
}

/* ---- making ---------------------------------------------------------------------------------------------------------------- */

/* The answer of that name in one of the sets named in the list at 1, which are all solved as the first is. */
static bool find_output(lua_State *L, int geometry, const char *name, sy_plan_output *out) {
  const lua_Integer sets = syl_length(L, 1);
  for (lua_Integer i = 1; i <= sets; i++) {
    sy_asked asked;
    double offset;
    lua_geti(L, 1, i);
    const sy_answer_set *set = sy_answer_set_find(luaL_checkstring(L, -1));
    lua_pop(L, 1);
    if (set == NULL || !syl_find_answer(L, geometry, set, name, &asked, &offset)) continue;
    *out = (sy_plan_output){&set->row[asked.row], asked.index, asked.scale, offset};
    return true;
  }
  return false;
}

/* core.plan({set, ...}, asked, names, sd?) -> plan, list of booleans: which of the names it answers; with `sd` another: of which it has the
** standard uncertainty. The sets are solved alike, as the first. */
static int l_plan(lua_State *L) {
  sy_plan_car car;
  sy_error err;
  lua_settop(L, 4);
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TTABLE);
  lua_geti(L, 1, 1);
  const sy_answer_set *set = sy_answer_set_find(luaL_checkstring(L, -1));
  luaL_argcheck(L, set != NULL, 1, "is not a set of answers");
  syl_plan *p = lua_newuserdatauv(L, sizeof *p, 1);
  const int self = lua_gettop(L);
  p->plan = NULL, p->outputs = 0, p->is_ready = false;
  p->uncertain = lua_toboolean(L, 4);
  luaL_setmetatable(L, PLAN);
  lua_newtable(L);
  const int known = lua_gettop(L), geometry = syl_push_geometry_of(L, 2);
  const lua_Integer count = syl_length(L, 3);
  luaL_argcheck(L, count <= SY_MOST_ASKED, 3, "too many names");
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, 3, i);
    const bool found = find_output(L, geometry, luaL_checkstring(L, -1), &p->output[p->outputs]);
    lua_pop(L, 1);
    p->outputs += found;
    lua_pushboolean(L, found);
    lua_rawseti(L, known, i);
  }
  const int before = lua_gettop(L);
  syl_read_plan_car(L, 2, p->uncertain, &car);
  const int after = lua_gettop(L);
  lua_createtable(L, after - before + 1, 0); /* what the car holds on to */
  lua_pushvalue(L, 2);
  lua_rawseti(L, -2, 1);
  for (int i = before + 1; i <= after; i++) {
    lua_pushvalue(L, i);
    lua_rawseti(L, -2, i - before + 1);
  }
  lua_setiuservalue(L, self, 1);
  if (sy_plan_make(NULL, set, &car, &p->plan, &err) != SY_OK) return syl_raise(L, &err);
  lua_settop(L, known);
  if (!p->uncertain) return 2;
  lua_createtable(L, (int)count, 0);
  size_t o = 0;
  for (lua_Integer i = 1; i <= count; i++) {
    lua_rawgeti(L, known, i);
    const bool answers = lua_toboolean(L, -1);
    lua_pop(L, 1);
    lua_pushboolean(L, answers && sy_plan_has_sd(p->plan, &p->output[o]));
    lua_rawseti(L, known + 1, i);
    o += answers;
  }
  return 3;
}

/* plan:try(asked) -> true, or false and why it is not a variant */
static int l_try(lua_State *L) {
  syl_plan *p = syl_check_plan(L, 1);
  sy_plan_car car;
  sy_error err;
  lua_settop(L, 2);
  syl_read_plan_car(L, 2, p->uncertain, &car);
  const sy_status status = sy_plan_try(p->plan, &car, &err);
  if (status != SY_OK && status != SY_CLASH) return syl_raise(L, &err);
  lua_pushboolean(L, status == SY_OK);
  if (status == SY_OK) return 1;
  lua_pushstring(L, err.message);
  return 2;
}

/* plan:term{{input =, way = "powers" "angle" "table" or "pieces", ...nodes}, ...}: of the cars tried since the last one */
static int l_term(lua_State *L) {
  static const char *const ways[] = {"powers", "angle", "table", "pieces", NULL};
  syl_plan *p = syl_check_plan(L, 1);
  sy_plan_factor factor[SY_PLAN_MOST_FACTORS];
  sy_error err;
  lua_settop(L, 2);
  luaL_checktype(L, 2, LUA_TTABLE);
  const lua_Integer count = syl_length(L, 2);
  luaL_argcheck(L, count >= 1 && count <= SY_PLAN_MOST_FACTORS, 2, "too many inputs act on one another");
  for (lua_Integer f = 0; f < count; f++) {
    lua_geti(L, 2, f + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    const int entry = lua_gettop(L);
    const lua_Integer nodes = syl_length(L, entry);
    double *node = lua_newuserdatauv(L, ((size_t)nodes + 1) * sizeof *node, 0);
    for (lua_Integer i = 0; i < nodes; i++) node[i] = syl_number_at(L, entry, i + 1);
    const int input = syl_whole_under(L, entry, "input", 1, SY_PLAN_MOST_INPUTS, 1);
    lua_getfield(L, entry, "way");
    factor[f] = (sy_plan_factor){(unsigned)input - 1, (sy_plan_way)luaL_checkoption(L, -1, NULL, ways), node,
                                 (size_t)nodes};
    luaL_checkstack(L, 8, NULL);
  }
  p->is_ready = false;
  if (sy_plan_term(p->plan, factor, (size_t)count, &err) != SY_OK) return syl_raise(L, &err);
  return 0;
}

static int l_clear(lua_State *L) {
  syl_plan *p = syl_check_plan(L, 1);
  p->is_ready = false;
  sy_plan_clear(p->plan);
  return 0;
}

/* plan:level(1, 3 or 4; 0 the best) -> boolean: runs that build of the kernels, if there is one; for tests */
static int l_level(lua_State *L) {
  lua_pushboolean(L, sy_plan_use_level(syl_check_plan(L, 1)->plan, (int)luaL_checkinteger(L, 2)));
  return 1;
}

static void read_values(lua_State *L, int index, double value[SY_PLAN_MOST_INPUTS]) {
  const lua_Integer count = syl_length(L, index);
  luaL_argcheck(L, count <= SY_PLAN_MOST_INPUTS, index, "too many inputs");
  for (lua_Integer i = 0; i < SY_PLAN_MOST_INPUTS; i++)
    value[i] = i < count ? syl_number_at(L, index, i + 1) : 0.0;
}

/* plan:miss(values by input, asked) -> how far the plan is from that car, by the size of its numbers */
static int l_miss(lua_State *L) {
  const syl_plan *p = syl_check_plan(L, 1);
  sy_plan_car car;
  double value[SY_PLAN_MOST_INPUTS];
  lua_settop(L, 3);
  read_values(L, 2, value);
  syl_read_plan_car(L, 3, p->uncertain, &car);
  lua_pushnumber(L, sy_plan_miss(p->plan, value, &car));
  return 1;
}

/* plan:at(values by input) -> list of answers, in the order of the names it answers; false where there is none */
static int l_at(lua_State *L) {
  const syl_plan *p = syl_check_plan(L, 1);
  double value[SY_PLAN_MOST_INPUTS], answer[SY_MOST_ASKED];
  const double *values[SY_PLAN_MOST_INPUTS];
  double *answers[SY_MOST_ASKED];
  sy_error err;
  lua_settop(L, 2);
  read_values(L, 2, value);
  for (size_t i = 0; i < SY_PLAN_MOST_INPUTS; i++) values[i] = &value[i];
  for (size_t i = 0; i < SY_MOST_ASKED; i++) answers[i] = &answer[i];
  if (sy_plan_solve(p->plan, values, 1, p->output, p->outputs, answers, NULL, false, NULL, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_createtable(L, (int)p->outputs, 0);
  for (size_t i = 0; i < p->outputs; i++) {
    if (isnan(answer[i]))
      lua_pushboolean(L, false);
    else
      lua_pushnumber(L, answer[i]);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  return 1;
}

void syl_open_plan(lua_State *L) {
  static const luaL_Reg methods[] = {{"try", l_try}, {"term", l_term},   {"clear", l_clear}, {"miss", l_miss},
                                     {"at", l_at},   {"level", l_level}, {NULL, NULL}};
  syl_open_class(L, PLAN, methods, l_gc);
  lua_pushcfunction(L, l_plan);
  lua_setfield(L, -2, "plan");
}
