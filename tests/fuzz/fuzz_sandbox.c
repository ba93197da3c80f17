/* fuzz_sandbox.c - any bytes as a vehicle file: a result or one error object, soon, and nothing kept; what is read as mere data
** (data_file.h) is what the sandbox makes of it. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <lauxlib.h>
#include <lualib.h>

#include "bind/errors.h"
#include "bind/open.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Small caps: what takes the full ones to find is found with these, a hundred times sooner. */
static const char harness[] =
    "local core, bytes, words = ...\n"
    "local language = require 'steelyard.file.language'\n"
    "local function with(code) return {code = code, words = language.words, sorts = language.sorts} end\n"
    "local caps = {live = 2e6, total = 16e6, text = 4096, steps = 20000, seconds = 1}\n"
    "local fine, result = pcall(core.run_file, bytes, 'fuzz.lua', with(words), caps)\n"
    "local function same(a, b)\n"
    "  if type(a) ~= 'table' then return math.type(a) == math.type(b) and (a == b or a ~= a and b ~= b) end\n"
    "  if type(b) ~= 'table' or getmetatable(a) ~= getmetatable(b) then return false end\n"
    "  for k, v in next, a do if not same(v, rawget(b, k)) then return false end end\n"
    "  for k in next, b do if rawget(a, k) == nil then return false end end\n"
    "  return true\n"
    "end\n"
    "local is_data, data = pcall(core.run_file, bytes, 'fuzz.lua', with(function() error() end))\n"
    "if is_data then assert(fine and same(data, result) or not fine and result.code == 'limit', 'data "
    "differ') end\n"
    "if not fine then\n"
    "  assert(getmetatable(result) == core.error_metatable, tostring(result))\n"
    "  assert(type(result.code) == 'string' and not tostring(result):find('^%s*$'))\n"
    "  return\n"
    "end\n"
    "local vehicle_file = require 'steelyard.file.vehicle_file'\n"
    "local fine, spec = pcall(vehicle_file.read, result, {file = 'fuzz.lua', bytes = bytes})\n"
    "assert(fine or getmetatable(spec) == core.error_metatable, tostring(spec))\n";

static char *read_whole(const char *path, size_t *length) {
  FILE *file = fopen(path, "rb");
  if (file == NULL) return NULL;
  enum { ROOM = 1 << 18 };
  char *text = malloc(ROOM);
  *length = text == NULL ? 0 : fread(text, 1, ROOM, file);
  fclose(file);
  return text;
}

/* One state for all inputs: what one of them breaks shows in the next. The sandbox itself is new each time. */
static lua_State *open_state(void) {
  lua_State *L = luaL_newstate();
  if (L == NULL) abort();
  luaL_openlibs(L);
  luaL_requiref(L, "steelyard.core", luaopen_steelyard_core, 0);
  if (luaL_dostring(L, "package.path = 'lua/?.lua;lua/?/init.lua;' .. package.path") != LUA_OK) abort();
  size_t length;
  char *words = read_whole("lua/steelyard/file/vocabulary.lua", &length);
  if (words == NULL) {
    fprintf(stderr, "lua/steelyard/file/vocabulary.lua is not here: run this from the top of the tree\n");
    exit(1);
  }
  lua_pushlstring(L, words, length);
  free(words);
  return L; /* core, words */
}

static lua_State *state;
static void close_state(void) { lua_close(state); }

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (state == NULL) {
    state = open_state();
    atexit(close_state);
  }
  lua_State *L = state;
  lua_settop(L, 2);
  if (luaL_loadbuffer(L, harness, strlen(harness), "=harness") != LUA_OK) abort();
  lua_pushvalue(L, 1);
  lua_pushlstring(L, (const char *)data, size);
  lua_pushvalue(L, 2);
  if (lua_pcall(L, 3, 0, 0) != LUA_OK) {
    fprintf(stderr, "%s\n", lua_tostring(L, -1));
    abort();
  }
  lua_gc(L, LUA_GCCOLLECT);
  return 0;
}
