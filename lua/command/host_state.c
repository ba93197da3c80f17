#include "command/host_state.h"

#include <stdio.h>
#include <string.h>

#include "reader/huge_pages.h"

/* KB taken before the collector first looks, as if so much had been given back: most commands are done by then. */
enum { FIRST_CREDIT = 8192 };

/* Most of what a script makes is cars that it asks once and lets go. The collector looks at the young alone, whenever they are a tenth of
** all: what it gives back is then still in the cache, with the ledgers that hang on it, which it does not count. Lua before 5.4.4 is known to
** have errors in this mode. */
enum { YOUNG = 10, FIRST_SOUND_RELEASE = 50404 };

/* An error outside every pcall: Lua aborts when this returns. */
static int panic(lua_State *L) {
  const char *message = lua_tostring(L, -1);
  fprintf(stderr, "steelyard: %s\n", message == NULL ? "an error that is not a text" : message);
  return 0;
}

/* Lua's `warn`: silent until it gets "@on", as under stock Lua (Lua 5.4 Reference Manual, 6.1, warn). */
static void warn_silent(void *user, const char *message, int to_continue);

static void warn_aloud(void *user, const char *message, int to_continue);

static void warn_rest(void *user, const char *message, int to_continue) {
  fputs(message, stderr);
  if (to_continue) return;
  fputs("\n", stderr);
  lua_setwarnf(user, warn_aloud, user);
}

static void warn_aloud(void *user, const char *message, int to_continue) {
  if (!to_continue && strcmp(message, "@off") == 0) {
    lua_setwarnf(user, warn_silent, user);
    return;
  }
  if (!to_continue && message[0] == '@') return; /* a control message of somebody else's */
  fputs("Lua warning: ", stderr);
  lua_setwarnf(user, warn_rest, user);
  warn_rest(user, message, to_continue);
}

static void warn_silent(void *user, const char *message, int to_continue) {
  if (!to_continue && strcmp(message, "@on") == 0) lua_setwarnf(user, warn_aloud, user);
}

lua_State *syl_new_state(syl_pool *pool) {
  syl_pool_open(pool, syl_huge_pages(), SYL_HUGE_PAGE);
  lua_State *L = lua_newstate(syl_pool_alloc, pool);
  if (L == NULL) {
    syl_pool_release(pool);
    return NULL;
  }
  lua_atpanic(L, panic);
  lua_setwarnf(L, warn_silent, L);
  if (LUA_VERSION_RELEASE_NUM >= FIRST_SOUND_RELEASE) lua_gc(L, LUA_GCGEN, YOUNG, 0);
  lua_gc(L, LUA_GCSTEP, -FIRST_CREDIT);
  return L;
}
