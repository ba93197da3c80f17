#include "bind/study/terminal.h"

#include <time.h>
#include <unistd.h>

#include <lauxlib.h>

static int l_seconds(lua_State *L) {
  struct timespec now = {0, 0};
  clock_gettime(CLOCK_MONOTONIC, &now);
  lua_pushnumber(L, (double)now.tv_sec + 1e-9 * (double)now.tv_nsec);
  return 1;
}

static int l_stderr_is_terminal(lua_State *L) {
  lua_pushboolean(L, isatty(STDERR_FILENO));
  return 1;
}

void syl_open_terminal(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"seconds", l_seconds}, {"stderr_is_terminal", l_stderr_is_terminal}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
