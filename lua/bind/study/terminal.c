#include "bind/study/terminal.h"

#include <time.h>
#include <unistd.h>

#include <lauxlib.h>

#include "study/blocks.h"

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

static int l_processors(lua_State *L) {
#ifdef _SC_NPROCESSORS_ONLN /* not in POSIX, but wherever there are several */
  const long count = sysconf(_SC_NPROCESSORS_ONLN);
#else
  const long count = 1;
#endif
  lua_pushinteger(L, count < 1 ? 1 : count > SY_BLOCKS_MOST_THREADS ? SY_BLOCKS_MOST_THREADS : count);
  return 1;
}

void syl_open_terminal(lua_State *L) {
  static const luaL_Reg functions[] = {{"seconds", l_seconds},
                                       {"stderr_is_terminal", l_stderr_is_terminal},
                                       {"processors", l_processors},
                                       {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
