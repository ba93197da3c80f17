/* The sandbox from outside: wherever memory ends, in the script's state or in the sandbox, nothing leaks and the script
** gets an error it can go on from. The files themselves are tested in tests/lua/test_sandbox.lua. */
#include "near.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <lauxlib.h>

#include "bind/errors.h"
#include "reader/sandbox.h"

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

/* words that do a little of everything the real ones do */
static const char words[] =
    "local host, lent = ...\n"
    "if lent[1] ~= 'lent' then host.raise{code = 'type', message = 'no words were lent'} end\n"
    "local Item = host.marked 'item'\n"
    "local made = {}\n"
    "local function part(name)\n"
    "  if host.type(name) ~= 'string' then host.raise{code = 'type', message = 'no name'} end\n"
    "  made[#made + 1] = host.setmetatable({name = name, line = host.where()}, Item)\n"
    "  return made[#made]\n"
    "end\n"
    "return {part = part}, {made = made}\n";

static void push_language(lua_State *L) {
  static const char *const sorts[][2] = {{"part", "item"}, {"box", "shape"}, {"sd", "sd"}};
  lua_newtable(L);
  lua_pushstring(L, words);
  lua_setfield(L, -2, "code");
  lua_newtable(L);
  lua_pushliteral(L, "lent");
  lua_rawseti(L, -2, 1);
  lua_newtable(L); /* units = {{"lb", "M", 0.45359237}} */
  lua_newtable(L);
  lua_pushliteral(L, "lb");
  lua_rawseti(L, -2, 1);
  lua_pushliteral(L, "M");
  lua_rawseti(L, -2, 2);
  lua_pushnumber(L, 0.45359237);
  lua_rawseti(L, -2, 3);
  lua_rawseti(L, -2, 1);
  lua_setfield(L, -2, "units");
  lua_setfield(L, -2, "words");
  lua_newtable(L);
  for (size_t i = 0; i < sizeof sorts / sizeof *sorts; i++) {
    lua_pushstring(L, sorts[i][1]);
    lua_setfield(L, -2, sorts[i][0]);
  }
  lua_setfield(L, -2, "sorts");
}

static int run(lua_State *L) {
  const char *text = lua_touserdata(L, 1);
  lua_newtable(L);
  syl_open_fail(L);
  syl_open_sandbox(L);
  lua_getfield(L, -1, "run_file");
  lua_pushstring(L, text);
  lua_pushliteral(L, "a.lua");
  push_language(L);
  lua_call(L, 3, 1);
  return 1;
}

/* Runs `text` with every request number refused in turn, until none is; gives back how often that took. `check` looks at
** the result of the full run. */
static long refuse_each(const char *text, int wanted_status, void (*check)(lua_State *L)) {
  for (long n = 0;; n++) {
    budget b = {-1, 0};
    lua_State *L = lua_newstate(grant, &b);
    assert_non_null(L);
    b.left = n;
    lua_pushcfunction(L, run);
    lua_pushlightuserdata(L, (void *)(uintptr_t)text);
    const int status = lua_pcall(L, 1, 1, 0);
    const bool complete = b.left > 0;
    b.left = -1;
    if (complete) {
      assert_int_equal(status, wanted_status);
      check(L);
    } else if (status != LUA_OK) {
      assert_non_null(luaL_tolstring(L, -1, NULL)); /* an error that can be printed */
    }
    lua_close(L);
    assert_int_equal(b.live, 0);
    if (complete) return n;
  }
}

static void check_made(lua_State *L) {
  lua_getfield(L, -1, "made");
  assert_int_equal(lua_rawlen(L, -1), 2);
  lua_rawgeti(L, -1, 2);
  assert_true(lua_getmetatable(L, -1));
  luaL_getmetatable(L, "steelyard.item");
  assert_true(lua_rawequal(L, -1, -2));
  lua_pop(L, 2);
  lua_getfield(L, -1, "line");
  assert_int_equal(lua_tointeger(L, -1), 2);
  lua_getfield(L, -2, "name");
  assert_string_equal(lua_tostring(L, -1), "b");
}

static void run_file_with_each_request_refused_keeps_nothing(void **state) {
  (void)state;
  assert_in_range(refuse_each("part 'a'\npart 'b'", LUA_OK, check_made), 30, 100000);
}

static void check_raised(lua_State *L) {
  assert_string_equal(luaL_tolstring(L, -1, NULL), "a.lua:2: no name");
}

static void run_file_that_raises_with_each_request_refused_keeps_nothing(void **state) {
  (void)state;
  assert_in_range(refuse_each("part 'a'\npart(5)", LUA_ERRRUN, check_raised), 30, 100000);
}

static void check_syntax(lua_State *L) {
  assert_string_equal(luaL_tolstring(L, -1, NULL), "a.lua:1: unexpected symbol near '='");
}

static void run_file_of_no_lua_with_each_request_refused_keeps_nothing(void **state) {
  (void)state;
  assert_in_range(refuse_each("=", LUA_ERRRUN, check_syntax), 30, 100000);
}

static void check_data(lua_State *L) {
  lua_getfield(L, -1, "made");
  assert_int_equal(lua_rawlen(L, -1), 3); /* the words above know no vehicle: this did not come from them */
  lua_getfield(L, -2, "vehicle");
  lua_getfield(L, -1, "fields");
  lua_getfield(L, -1, "title");
  assert_string_equal(lua_tostring(L, -1), "A");
}

static void run_file_of_data_with_each_request_refused_keeps_nothing(void **state) {
  (void)state;
  const char *text = "vehicle { title = 'A', axes = { x = \"back\" },\n"
                     "parts = { part 'a' { mass = sd(1, 0.1), at = {0, -1.5, 3}, shape = box {1, 2, 3} },\n"
                     "part 'b\\'s' { mass = sd(30*lb, 0.2*lb), density = 0.7*lb/2 } } }";
  assert_in_range(refuse_each(text, LUA_OK, check_data), 20, 100000);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(run_file_with_each_request_refused_keeps_nothing),
      cmocka_unit_test(run_file_that_raises_with_each_request_refused_keeps_nothing),
      cmocka_unit_test(run_file_of_no_lua_with_each_request_refused_keeps_nothing),
      cmocka_unit_test(run_file_of_data_with_each_request_refused_keeps_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
