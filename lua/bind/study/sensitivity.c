/* sensitivity.c - what answers rest on (study/sensitivity.h) and what to weigh next (study/weigh_next.h), as functions of steelyard.core. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/sources.h"
#include "study/weigh_next.h"

#define SENSITIVITY "steelyard.sensitivity"

typedef struct sensitivity {
  sy_sensitivities *of;
  double offset[SY_SPREAD_ANSWERS]; /* what the file's zero adds to each answer */
} sensitivity; /* user value 1: what the cars were asked with, which keeps their ledgers */

static sensitivity *check(lua_State *L) {
  sensitivity *s = luaL_checkudata(L, 1, SENSITIVITY);
  luaL_argcheck(L, s->of != NULL, 1, "is closed");
  return s;
}

static int l_gc(lua_State *L) {
  sensitivity *s = luaL_checkudata(L, 1, SENSITIVITY);
  sy_sensitivities_free(s->of);
  s->of = NULL;
  return 0;
}

/* core.sensitivity({{set =, asked =, names =}, ...}) -> what these answers rest on
** asked   as core.ask takes it; the tables must stay as they are */
static int l_sensitivity(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_settop(L, 1);
  sensitivity *s = lua_newuserdatauv(L, sizeof *s, 1);
  memset(s, 0, sizeof *s);
  luaL_setmetatable(L, SENSITIVITY);
  lua_pushvalue(L, 1);
  lua_setiuservalue(L, 2, 1);
  const syl_sets *r = syl_read_sets(L, 1, s->offset);
  sy_error err;
  if (sy_sensitivities_new(NULL, r->set, (size_t)r->count, &s->of, &err) != SY_OK) return syl_raise(L, &err);
  lua_settop(L, 2);
  return 1;
}

static sy_spread_source source_at(const void *of, size_t i) { return sy_sensitivities_source(of, i); }

/* core.sensitivity_sources(s) -> list of the elementary errors, as syl_push_source has them */
static int l_sources(lua_State *L) {
  const sensitivity *s = check(L);
  syl_push_sources(L, sy_sensitivities_sources(s->of), source_at, s->of);
  return 1;
}

static void set_whole(lua_State *L, const char *key, size_t value) {
  lua_pushinteger(L, (lua_Integer)value);
  lua_setfield(L, -2, key);
}

static void push_moved(lua_State *L, const sensitivity *s, const sy_moved *m, double offset) {
  const sy_input input = sy_sensitivities_input(s->of, m->input);
  lua_createtable(L, 0, 8);
  set_whole(L, "source", input.first + 1);
  set_whole(L, "errors", input.errors);
  lua_pushboolean(L, input.bias && input.gain);
  lua_setfield(L, -2, "both");
  syl_set_number(L, "change", m->change);
  syl_set_number(L, "low", m->low + offset);
  syl_set_number(L, "high", m->high + offset);
  syl_set_number(L, "share", m->share);
}

static lua_Integer check_count(lua_State *L, int index, lua_Integer most) {
  const lua_Integer count = luaL_checkinteger(L, index);
  luaL_argcheck(L, count >= 0, index, "out of range");
  return count < most ? count : most;
}

/* core.sensitivity_answer(s, answer, most) -> {value, sd, rest}, and the list, longest first, of what moves it most: {source = number of its
** first error, errors = how many, both = an instrument's bias and gain, change, low, high, share}. Shares are of the variance, to 1. */
static int l_answer(lua_State *L) {
  const sensitivity *s = check(L);
  const lua_Integer answer = luaL_checkinteger(L, 2);
  luaL_argcheck(L, answer >= 1 && (size_t)answer <= sy_sensitivities_answers(s->of), 2, "is not an answer");
  const size_t a = (size_t)answer - 1;
  const size_t most = (size_t)check_count(L, 3, (lua_Integer)sy_sensitivities_inputs(s->of));
  sy_moved *list = lua_newuserdatauv(L, (most + 1) * sizeof *list, 0);
  size_t count;
  double rest;
  sy_error err;
  if (sy_sensitivities_largest(s->of, a, most, list, &count, &rest, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 3);
  syl_set_number(L, "value", sy_sensitivities_value(s->of, a) + s->offset[a]);
  syl_set_number(L, "sd", sy_sensitivities_sd(s->of, a));
  syl_set_number(L, "rest", rest);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    push_moved(L, s, &list[i], s->offset[a]);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  return 2;
}

/* A list of numbers on the stack, nil for those that are not numbers. */
static void push_list(lua_State *L, const double *list, size_t count) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    if (isnan(list[i])) continue;
    lua_pushnumber(L, list[i]);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
}

static void push_step(lua_State *L, const sy_weigh_step *step, const double *after, size_t answers) {
  static const char *const what[] = {"mass", "dry_mass", "place"};
  lua_createtable(L, 0, 5);
  set_whole(L, "source", step->source + 1);
  lua_pushstring(L, what[step->what]);
  lua_setfield(L, -2, "what");
  syl_set_number(L, "share", step->share);
  syl_set_number(L, "drop", step->drop);
  push_list(L, after, answers);
  lua_setfield(L, -2, "after");
}

/* core.weigh_next(s, scale, tape, most) -> list, in order, of {source, what = "mass" "dry_mass" "place", share, drop, after = list by answer
** of standard uncertainties}, and the list of these when all is done. scale: kg, tape: mm; shares and drops are of the mean variance. */
static int l_weigh_next(lua_State *L) {
  const sensitivity *s = check(L);
  const double scale = luaL_checknumber(L, 2), tape = luaL_checknumber(L, 3) * SY_MILLIMETRE;
  const size_t most = (size_t)check_count(L, 4, (lua_Integer)sy_weigh_most(s->of));
  const size_t answers = sy_sensitivities_answers(s->of);
  sy_weigh_step *step = lua_newuserdatauv(L, (most + 1) * sizeof *step, 0);
  double *after = lua_newuserdatauv(L, (most * answers + 1) * sizeof *after, 0);
  double left[SY_SPREAD_ANSWERS];
  size_t count;
  sy_error err;
  if (sy_weigh_next(s->of, scale, tape, most, step, after, &count, left, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    push_step(L, &step[i], after + i * answers, answers);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  push_list(L, left, answers);
  return 2;
}

static const luaL_Reg functions[] = {
    {"sensitivity", l_sensitivity},
    {"sensitivity_sources", l_sources},
    {"sensitivity_answer", l_answer},
    {"weigh_next", l_weigh_next},
    {NULL, NULL},
};

void syl_open_sensitivity(lua_State *L) {
  luaL_newmetatable(L, SENSITIVITY);
  lua_pushcfunction(L, l_gc);
  lua_setfield(L, -2, "__gc");
  lua_pop(L, 1);
  luaL_setfuncs(L, functions, 0);
}
