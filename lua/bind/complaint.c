#include "bind/complaint.h"

#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include <lauxlib.h>

#include "bind/errors.h"

bool syl_is_failure(lua_State *L, int index) {
  if (lua_type(L, index) != LUA_TTABLE || !lua_getmetatable(L, index)) return false;
  luaL_getmetatable(L, SYL_ERROR);
  const bool ours = lua_rawequal(L, -1, -2);
  lua_pop(L, 2);
  return ours;
}

static int exit_code(lua_State *L, int index) {
  if (!syl_is_failure(L, index)) return SYL_EXIT_FAILED;
  const char *code = lua_getfield(L, index, "code") == LUA_TSTRING ? lua_tostring(L, -1) : "";
  const int result = strcmp(code, "usage") == 0         ? SYL_EXIT_USAGE
                     : strcmp(code, "unavailable") == 0 ? SYL_EXIT_NOT_BUILT_IN
                                                        : SYL_EXIT_INPUT;
  lua_pop(L, 1);
  return result;
}

int syl_complain(lua_State *L, int index, const char *script) {
  const int error = lua_absindex(L, index), top = lua_gettop(L);
  const int code = exit_code(L, error);
  if (lua_type(L, error) != LUA_TSTRING && !luaL_callmeta(L, error, "__tostring"))
    lua_pushfstring(L, "the script raised a %s", luaL_typename(L, error));
  else if (lua_type(L, error) == LUA_TSTRING)
    lua_pushvalue(L, error);
  const char *line = lua_tostring(L, -1);
  fprintf(stderr, "steelyard: %s", line == NULL ? "an error that is not a text" : line);
  if (code == SYL_EXIT_USAGE && script != NULL)
    fprintf(stderr, "; `steelyard %s --help` shows examples", script);
  fputs("\n", stderr);
  lua_settop(L, top);
  return code;
}

void syl_outlive_readers(void) { signal(SIGPIPE, SIG_IGN); }

bool syl_reader_is_gone(void) {
  struct pollfd out = {.fd = STDOUT_FILENO, .events = POLLOUT};
  return poll(&out, 1, 0) == 1 && (out.revents & (POLLERR | POLLHUP)) != 0;
}

static int l_complain(lua_State *L) {
  luaL_checkany(L, 1);
  lua_pushinteger(L, syl_complain(L, 1, luaL_optstring(L, 2, NULL)));
  return 1;
}

static int l_outlive_readers(lua_State *L) {
  (void)L;
  syl_outlive_readers();
  return 0;
}

static int l_reader_is_gone(lua_State *L) {
  lua_pushboolean(L, syl_reader_is_gone());
  return 1;
}

void syl_open_complaint(lua_State *L) {
  static const luaL_Reg functions[] = {{"complain", l_complain},
                                       {"outlive_readers", l_outlive_readers},
                                       {"reader_is_gone", l_reader_is_gone},
                                       {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
