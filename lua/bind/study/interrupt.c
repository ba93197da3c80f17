#include "bind/study/interrupt.h"

#include <signal.h>
#include <stdbool.h>

#include <lauxlib.h>

#define WATCHER "steelyard.interrupts"

typedef struct watcher {
  struct sigaction before;
  bool watches;
} watcher;

/* All that a signal handler may write. */
static volatile sig_atomic_t arrived;

static void note(int number) {
  if (arrived) { /* whoever asks twice does not want to wait */
    signal(number, SIG_DFL);
    raise(number);
  }
  arrived = 1;
}

static int l_close(lua_State *L) {
  watcher *w = luaL_checkudata(L, 1, WATCHER);
  if (w->watches) sigaction(SIGINT, &w->before, NULL);
  w->watches = false;
  return 0;
}

static int l_arrived(lua_State *L) {
  luaL_checkudata(L, 1, WATCHER);
  lua_pushboolean(L, arrived != 0);
  return 1;
}

static bool is_ignored(const struct sigaction *a) {
  return (a->sa_flags & SA_SIGINFO) == 0 && a->sa_handler == SIG_IGN;
}

static bool is_ours(const struct sigaction *a) {
  return (a->sa_flags & SA_SIGINFO) == 0 && a->sa_handler == note;
}

static int l_interrupts(lua_State *L) {
  static const luaL_Reg methods[] = {{"close", l_close}, {"arrived", l_arrived}, {NULL, NULL}};
  static const luaL_Reg ends[] = {{"__close", l_close}, {"__gc", l_close}, {NULL, NULL}};
  watcher *w = lua_newuserdatauv(L, sizeof *w, 0);
  w->watches = false;
  if (luaL_newmetatable(L, WATCHER)) {
    luaL_setfuncs(L, ends, 0);
    luaL_newlib(L, methods);
    lua_setfield(L, -2, "__index");
  }
  lua_setmetatable(L, -2);
  struct sigaction ours = {.sa_handler = note, .sa_flags = SA_RESTART};
  sigemptyset(&ours.sa_mask);
  if (sigaction(SIGINT, NULL, &w->before) != 0) return 1;
  if (!is_ours(&w->before)) arrived = 0;
  if (is_ignored(&w->before)) return 1;
  w->watches = sigaction(SIGINT, &ours, NULL) == 0;
  return 1;
}

void syl_open_interrupt(lua_State *L) {
  lua_pushcfunction(L, l_interrupts);
  lua_setfield(L, -2, "interrupts");
}
