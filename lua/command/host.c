/* host.c - the command: `steelyard NAME ARGS` runs scripts/NAME.lua, `steelyard FILE.lua ARGS` any script.
**
** Exit codes: 0 done, 1 failed, 2 wrong usage, 3 bad input or nothing written, 4 a limit is broken (the script says so), 5 not
** built in.
*/
#include <errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <lauxlib.h>
#include <lualib.h>

#include "base/version.h"
#include "bind/complaint.h"
#include "bind/errors.h"
#include "command/host_home.h"
#include "command/host_list.h"
#include "command/host_state.h"
#include "command/host_vehicle.h"

/* The global `arg`: the script at 0, its arguments from 1 on. */
static void set_arguments(lua_State *L, const char *script, int argc, char **argv) {
  lua_createtable(L, argc, 1);
  lua_pushstring(L, script);
  lua_seti(L, -2, 0);
  for (int i = 0; i < argc; i++) {
    lua_pushstring(L, argv[i]);
    lua_seti(L, -2, i + 1);
  }
  lua_setglobal(L, "arg");
}

/* ---- errors ---------------------------------------------------------------------------------------------------- */

/* Does the file that a function comes from lie in home's folder of that name? */
static bool lies_below(const lua_Debug *at, const char *home, const char *folder) {
  const size_t length = strlen(home);
  if (at->source[0] != '@' || strncmp(at->source + 1, home, length) != 0 || at->source[1 + length] != '/')
    return false;
  return strncmp(at->source + 1 + length + 1, folder, strlen(folder)) == 0;
}

/* Is it one of our own modules? Those that come compiled name no file. */
static bool is_own(const lua_Debug *at, const char *home) {
  return strcmp(at->source, "=?") == 0 || lies_below(at, home, "lua/steelyard/");
}

/* Is the innermost function written in Lua one of our own? */
static bool arose_in_own(lua_State *L, const char *home) {
  lua_Debug at;
  for (int level = 1; lua_getstack(L, level, &at); level++) {
    lua_getinfo(L, "S", &at);
    if (*at.what != 'C') return is_own(&at, home);
  }
  return false;
}

/* The line of the user's own script, if there is one, into an error object at index 1 that names no place. Wrong usage is not a fault of
** the script. */
static void add_place(lua_State *L, const char *home) {
  lua_Debug at;
  if (lua_getfield(L, 1, "code") == LUA_TSTRING && strcmp(lua_tostring(L, -1), "usage") == 0) return;
  const bool placed = lua_getfield(L, 1, "file") != LUA_TNIL || lua_getfield(L, 1, "line") != LUA_TNIL;
  lua_settop(L, 1);
  if (placed) return;
  for (int level = 1; lua_getstack(L, level, &at); level++) {
    lua_getinfo(L, "Sl", &at);
    if (*at.what == 'C' || is_own(&at, home)) continue;
    if (lies_below(&at, home, "scripts/")) return;
    lua_pushstring(L, at.short_src);
    lua_setfield(L, 1, "file");
    lua_pushinteger(L, at.currentline);
    lua_setfield(L, 1, "line");
    return;
  }
}

/* Handler: an error object learns where in the user's script it arose; a plain error raised in our own Lua files is a
** fault of ours, and its trail is wanted. Upvalue 1: home. */
static int l_handle(lua_State *L) {
  const char *home = lua_tostring(L, lua_upvalueindex(1));
  if (syl_is_failure(L, 1)) {
    add_place(L, home);
    lua_settop(L, 1);
  } else if (lua_type(L, 1) == LUA_TSTRING && arose_in_own(L, home)) {
    const char *message = lua_tostring(L, 1);
    const bool compiled = strncmp(message, "?:", 2) == 0;
    message =
        compiled ? lua_pushfstring(L, "%s (STEELYARD_HOME=%s shows the lines)", message, home) : message;
    luaL_traceback(L, L, lua_pushfstring(L, "internal error: %s", message), 1);
  }
  return 1;
}

static bool asks_for_json(int argc, char **argv) {
  for (int i = 1; i < argc && strcmp(argv[i], "--") != 0; i++)
    if (strcmp(argv[i], "--json") == 0) return true;
  return false;
}

/* (argc, argv, error) -> exit code; says on stderr what went wrong, and with --json in a document as well. */
static int l_complain(lua_State *L) {
  const int argc = (int)lua_tointeger(L, 1);
  char **argv = lua_touserdata(L, 2);
  const bool runs =
      lua_getglobal(L, "arg") == LUA_TTABLE; /* else no script was found that could be asked for --help */
  luaL_getsubtable(L, LUA_REGISTRYINDEX, LUA_LOADED_TABLE);
  if (lua_getfield(L, -1, "steelyard.command.options") == LUA_TTABLE) {
    lua_getfield(L, -1, "typed");
    lua_pushvalue(L, 3);
    lua_call(L, 1, 0);
  }
  const int code = syl_complain(L, 3, runs ? argv[1] : NULL);
  if (asks_for_json(argc, argv)) {
    lua_getglobal(L, "require");
    lua_pushliteral(L, "steelyard.command.out");
    lua_call(L, 1, 1);
    lua_getfield(L, -1, "failed");
    lua_pushvalue(L, 3);
    lua_call(L, 1, 0);
  }
  lua_pushinteger(L, code);
  return 1;
}

/* The same for the error on top of the stack, whatever goes wrong on the way. */
static int complain(lua_State *L, int argc, char **argv) {
  lua_pushcfunction(L, l_complain);
  lua_pushinteger(L, argc);
  lua_pushlightuserdata(L, argv);
  lua_pushvalue(L, -4);
  const bool said = lua_pcall(L, 3, 1, 0) == LUA_OK;
  return said ? (int)lua_tointeger(L, -1) : EXIT_FAILURE;
}

/* ---- which script ---------------------------------------------------------------------------------------------- */

static void print_help(lua_State *L, const char *home, bool whole) {
  if (whole)
    printf("steelyard balance vehicles/first_guess.lua\n"
           "steelyard what_if vehicles/first_guess.lua \"powertrain 50 back\"\n\n");
  printf(
      "Begin with\n"
      "  steelyard start mycar.lua                         writes a commented file: put your own numbers in\n"
      "  steelyard balance mycar.lua                       axle and wheel loads, CG, inertia\n"
      "  steelyard what_if mycar.lua \"powertrain 50 back\"  what a change does to them\n"
      "\n"
      "Usage: steelyard NAME ARGUMENTS       one of the commands below, by step of the work\n"
      "       steelyard NAME --help          its examples, arguments and options\n"
      "       steelyard FILE.lua ARGUMENTS   a script of your own\n\n");
  syl_list_scripts(L, home);
  if (whole)
    printf(
        "\nEvery command takes --json (one document) and --quiet, nearly all take --to FILE. Results go to "
        "stdout,\n"
        "remarks and errors to stderr; with --json an error is a document on stdout as well.\n"
        "Exit codes: 0 done, 1 failed, 2 wrong usage, 3 bad input or nothing written, 4 a limit is broken,\n"
        "5 not built in.\n"
        "Results are arithmetic, not permission: local codes and licensed practice decide.\n");
  else /* what stands above may have left the screen */
    printf("\nBegin with: steelyard start mycar.lua, balance mycar.lua, what_if mycar.lua \"powertrain 50 "
           "back\"\n");
}

static int raise_usage(lua_State *L, const char *message, const char *hint) {
  return syl_fail(L, &(syl_failure){.code = "usage", .message = message, .hint = hint});
}

static bool ends_in_lua(const char *name) {
  const size_t length = strlen(name);
  return length > 4 && strcmp(name + length - 4, ".lua") == 0;
}

/* Push the path of the script that `name` asks for. */
static const char *push_script(lua_State *L, const char *home, const char *name) {
  if (ends_in_lua(name)) {
    if (access(name, R_OK) != 0)
      raise_usage(L, lua_pushfstring(L, "cannot read the script %s: %s", name, strerror(errno)), NULL);
    return lua_pushstring(L, name);
  }
  if (strchr(name, '/') == NULL) {
    const char *path = lua_pushfstring(L, "%s/scripts/%s.lua", home, name);
    if (access(path, R_OK) == 0) return path;
  }
  syl_push_script_names(L, home);
  const char *near = syl_nearest(L, name, -1);
  raise_usage(L, lua_pushfstring(L, "there is no script \"%s\"", name),
              near != NULL ? lua_pushfstring(L, "did you mean \"%s\"?", near)
                           : "`steelyard` alone lists them; a path ends in .lua");
  return NULL;
}

/* ---- running --------------------------------------------------------------------------------------------------- */

/* What waits for the end of a script: the document of --json. */
static void print_waiting(lua_State *L) {
  luaL_getsubtable(L, LUA_REGISTRYINDEX, LUA_LOADED_TABLE);
  if (lua_getfield(L, -1, "steelyard.command.out") == LUA_TTABLE) {
    lua_getfield(L, -1, "finish");
    lua_call(L, 0, 0);
  }
}

/* (argc, argv): everything that may raise. */
static int l_run(lua_State *L) {
  const int argc = (int)lua_tointeger(L, 1);
  char **argv = lua_touserdata(L, 2);
  const char *name = argc > 1 ? argv[1] : NULL;
  if (name != NULL && strcmp(name, "--version") == 0) {
    printf("steelyard %s\n", sy_version());
    return 0;
  }
  luaL_openlibs(L);
  syl_push_home(L, argc > 0 ? argv[0] : NULL);
  const char *home = lua_tostring(L, -2), *compiled = lua_tostring(L, -1),
             *called = argc > 0 ? argv[0] : NULL;
  if (name == NULL || strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0) {
    print_help(L, home, name != NULL);
    return 0;
  }
  if (name[0] == '-') {
    syl_set_search(L, home, compiled, called);
    return raise_usage(L, lua_pushfstring(L, "%s stands before the script's name", name),
                       "steelyard itself takes --help and --version");
  }
  syl_set_search(L, home, compiled, called);
  const char *script = push_script(L, home, name);
  if (ends_in_lua(name) && syl_is_vehicle_file(script))
    return raise_usage(L, lua_pushfstring(L, "%s is a vehicle file, not a script", name),
                       lua_pushfstring(L, "a command reads it: steelyard balance %s", name));
  set_arguments(L, script, argc - 2, argv + 2);
  lua_pushstring(L, home);
  lua_pushcclosure(L, l_handle, 1);
  const int handler = lua_gettop(L);
  if (luaL_loadfilex(L, script, "t") != LUA_OK) return lua_error(L);
  luaL_checkstack(L, argc, "too many arguments");
  for (int i = 2; i < argc; i++) lua_pushstring(L, argv[i]);
  if (lua_pcall(L, argc - 2, 0, handler) != LUA_OK) return lua_error(L);
  if (!ends_in_lua(name)) print_waiting(L);
  return 0;
}

/* A full disk must not look like success. A reader that has seen enough is none of our business: the exit code says what came out,
** however much of it was read. */
static int finish_output(int code) {
  const bool failed_before = ferror(stdout) != 0;
  errno = 0;
  if ((fflush(stdout) == 0 && !failed_before) || syl_reader_is_gone()) return code;
  fprintf(stderr, "steelyard: the output could not be written%s%s\n", errno == 0 ? "" : ": ",
          errno == 0 ? "" : strerror(errno));
  return EXIT_FAILURE;
}

int main(int argc, char **argv) {
  syl_outlive_readers();
  static syl_pool pool; /* what is not given back at the end is still reachable, and no leak */
  lua_State *L = syl_new_state(&pool);
  if (L == NULL) {
    fputs("steelyard: not enough memory\n", stderr);
    return EXIT_FAILURE;
  }
  lua_pushcfunction(L, l_run);
  lua_pushinteger(L, argc);
  lua_pushlightuserdata(L, argv);
  int code = EXIT_SUCCESS;
  bool closes = argc < 2 || ends_in_lua(argv[1]);
  if (lua_pcall(L, 2, 0, 0) != LUA_OK) {
    fflush(stdout); /* what was printed comes before what went wrong */
    code = complain(L, argc, argv);
    closes = true;
  }
  /* A script of the user's may leave values that do something when they are closed or collected. A command of ours leaves none: freeing
  ** a whole car piece by piece, for a process that ends, is a tenth of its time. */
  if (!closes) return finish_output(code);
  lua_close(L);
  code = finish_output(code);
  syl_pool_release(&pool);
  return code;
}
