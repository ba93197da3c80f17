/* What studies ask of C under Lua, wherever memory ends: an error that can be printed, and afterwards the same call with the same answer.
** The memory is that of the Lua state; what the library takes of its own is in test_plan.c and test_montecarlo.c. */
#include "near.h"

#include <stdbool.h>
#include <stdlib.h>

#include <lauxlib.h>
#include <lualib.h>

#include "bind/open.h"

typedef struct budget {
  long left; /* requests still granted; negative: all */
  size_t live;
} budget;

static void *grant(void *user, void *old, size_t old_size, size_t size) {
  budget *b = user;
  const size_t before = old == NULL ? 0 : old_size;
  if (size == 0) {
    free(old);
    b->live -= before;
    return NULL;
  }
  if (size > before && b->left == 0) return NULL;
  if (size > before && b->left > 0) b->left--;
  void *block = realloc(old, size);
  assert_non_null(block);
  b->live += size - before;
  return block;
}

static lua_State *new_state(budget *b) {
  *b = (budget){-1, 0};
  lua_State *L = lua_newstate(grant, b);
  assert_non_null(L);
  luaL_openlibs(L);
  luaL_getsubtable(L, LUA_REGISTRYINDEX, LUA_PRELOAD_TABLE);
  lua_pushcfunction(L, luaopen_steelyard_core);
  lua_setfield(L, -2, "steelyard.core");
  lua_pop(L, 1);
  return L;
}

static void must_run(lua_State *L, const char *text, int results) {
  if (luaL_loadstring(L, text) != LUA_OK || lua_pcall(L, 0, results, 0) != LUA_OK)
    fail_msg("%s", lua_tostring(L, -1));
}

/* The function on top of the stack, with request number 0, `step`, 2 `step` .. refused, until none is: whatever it gives then is the same
** text. Gives back how many were refused. */
static long refuse_each(lua_State *L, budget *b, long step) {
  lua_pushvalue(L, -1);
  if (lua_pcall(L, 0, 1, 0) != LUA_OK) fail_msg("%s", lua_tostring(L, -1));
  assert_true(lua_isstring(L, -1)); /* what comes of it, as text */
  long refused = 0;
  for (long n = 0;; n += step) {
    lua_pushvalue(L, -2);
    b->left = n;
    const int status = lua_pcall(L, 0, 1, 0);
    const bool complete = b->left > 0;
    b->left = -1;
    if (complete && status != LUA_OK) fail_msg("%s", luaL_tolstring(L, -1, NULL));
    if (status == LUA_OK)
      assert_true(lua_rawequal(L, -1, -2));
    else
      assert_non_null(luaL_tolstring(L, -1, NULL)), lua_pop(L, 1);
    lua_pop(L, 1);
    if (complete) break;
    refused++;
  }
  lua_pop(L, 1);
  return refused;
}

static const char jobs[] =
    "local core = require 'steelyard.core'\n"
    "local words = {'pass', 'near', 'unknown', 'fail'}\n"
    "local function text(...)\n"
    "  local list = {}\n"
    "  for i, c in ipairs{...} do list[i] = table.concat(c:list(), ' ') end\n"
    "  return table.concat(list, '; ')\n"
    "end\n"
    "local list = {function()\n"
    "  local c, codes = core.column_of({4, 1, 3, 2, 5, 0.5}, 6), core.column_codes(6, words)\n"
    "  core.column_put(codes, 1, 6, '\\1\\1\\2\\1\\4\\1', 1)\n"
    "  local part = core.column_part(core.column_grid({1, 2}, 3, 6), 2, 3, 2)\n"
    "  return text(c, codes, part) .. core.column_bytes(c, 1, 6)\n"
    "end, function()\n"
    "  local u = core.points_latin(3, 1, 40, 1, 40)\n"
    "  return text(core.points_between(u, -1, 2), core.points_pick(core.points_sobol(2, 1, 40), {1, 4, 9}))\n"
    "end, function()\n"
    "  local c, sd = core.column_of({4, 1, 3, 2}, 4), core.column_of({1, 0.1, 0.2, 0.3}, 4)\n"
    "  local codes, low, high = core.column_codes(2, words), core.column(2), core.column(2)\n"
    "  local low_at, high_at = core.column(2, {'a', 'b'}), core.column(2, {'a', 'b'})\n"
    "  local all = core.column_codes(4, words)\n"
    "  core.column_put(all, 1, 4, '\\0\\0\\0\\0', 1)\n"
    "  core.judge(all, 1, 4, {{name = 'mass', max = 3.5}}, {c}, {sd}, 1.96)\n"
    "  core.fold(c, 1, 2, 2, 1, low, high, low_at, high_at)\n"
    "  core.fold_verdict(all, 1, 2, 2, 1, codes)\n"
    "  local s = core.summary():add(c, 1, 4, 1)\n"
    "  local r = core.summary(s:bytes()):join(s) or s\n"
    "  return text(low, high, low_at, high_at, codes, all) .. s:read().mean .. "
    "table.concat({core.verdict_count(all, 1, 4)}, ' ')\n"
    "end}\n"
    "return list\n";

static void study_columns_points_and_verdicts_survive_each_refused_request(void **state) {
  (void)state;
  budget b;
  lua_State *L = new_state(&b);
  must_run(L, jobs, 1);
  for (lua_Integer i = 1; i <= (lua_Integer)lua_rawlen(L, 1); i++) {
    lua_rawgeti(L, 1, i);
    assert_in_range(refuse_each(L, &b, 1), 8, 2000);
    lua_pop(L, 1);
  }
  lua_close(L);
  assert_int_equal(b.live, 0);
}

/* Whole studies of a demo car, every so many-th request: a study asks for many thousand, and each refusal makes Lua look through all it
** has. By hand all of them: STUDY_FAULTS=1. */
static const char studies[] =
    "package.path = 'lua/?.lua;lua/?/init.lua;' .. package.path\n"
    "local sy = require 'steelyard'\n"
    "local car = sy.load 'vehicles/first_guess.lua':state 'race start'\n"
    "return {function()\n"
    "  return tostring(sy.study{car, vary = {sy.vary('powertrain', 'back', -40, 60, 3), sy.vary('driver', "
    "'mass', {60, 90})},\n"
    "    show = {'front_share', 'shafts.worst_angle'}, worst_over = {'driver'}, quiet = true, threads = 2})\n"
    "end, function()\n"
    "  return tostring(sy.spread{car, draws = 600, seed = 1, show = {'mass', 'front_share'}, quiet = true, "
    "threads = 2})\n"
    "end}\n";

static void whole_studies_survive_refused_requests(void **state) {
  (void)state;
  budget b;
  lua_State *L = new_state(&b);
  const char *given = getenv("STUDY_FAULTS");
  const long step = given != NULL ? strtol(given, NULL, 10) : 53;
  must_run(L, studies, 1);
  for (lua_Integer i = 1; i <= (lua_Integer)lua_rawlen(L, 1); i++) {
    lua_rawgeti(L, 1, i);
    assert_in_range(refuse_each(L, &b, step > 0 ? step : 53), 10, 1000000);
    lua_pop(L, 1);
  }
  lua_close(L);
  assert_int_equal(b.live, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(study_columns_points_and_verdicts_survive_each_refused_request),
      cmocka_unit_test(whole_studies_survive_refused_requests),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
