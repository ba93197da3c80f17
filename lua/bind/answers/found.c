#include "bind/answers/found.h"

#include <lauxlib.h>
#include <string.h>

#include "bind/numbers.h"
#include "bind/open.h"

#define FOUND "steelyard.found"

typedef struct syl_found {
  syl_found_kind kind;
  size_t count;
  union {
    sy_shaft_found shaft;
    sy_gap_found gap;
    sy_found usable;
  } first; /* and more behind it */
} syl_found;

static size_t size_of(syl_found_kind kind) {
  return kind == SYL_FOUND_SHAFTS ? sizeof(sy_shaft_found)
         : kind == SYL_FOUND_GAPS ? sizeof(sy_gap_found)
                                  : sizeof(sy_found);
}

void *syl_new_found(lua_State *L, syl_found_kind kind, size_t count) {
  const size_t size = size_of(kind) * count;
  const size_t room = size > sizeof(sy_shaft_found) ? size : sizeof(sy_shaft_found);
  syl_found *f = lua_newuserdatauv(L, offsetof(syl_found, first) + room, 0);
  f->kind = kind, f->count = count;
  memset(&f->first, 0, sizeof f->first);
  luaL_setmetatable(L, FOUND);
  return &f->first;
}

const void *syl_opt_found(lua_State *L, int index, syl_found_kind kind, size_t *count) {
  *count = 0;
  if (lua_isnoneornil(L, index)) return NULL;
  const syl_found *f = luaL_checkudata(L, index, FOUND);
  luaL_argcheck(L, f->kind == kind, index, "is what was found of something else");
  *count = f->count;
  return &f->first;
}

/* core.join_found(list) -> one for all entries, nil for none */
static int l_join_found(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_settop(L, 1);
  const lua_Integer n = syl_length(L, 1);
  size_t count = 0;
  syl_found_kind kind = SYL_FOUND_SHAFTS;
  for (lua_Integer i = 1; i <= n; i++) {
    lua_geti(L, 1, i);
    const syl_found *f = luaL_checkudata(L, -1, FOUND);
    if (i == 1) kind = f->kind;
    luaL_argcheck(L, f->kind == kind, 1, "are not of one kind");
    count += f->count;
    lua_pop(L, 1);
  }
  if (count == 0) return 0;
  unsigned char *to = syl_new_found(L, kind, count);
  for (lua_Integer i = 1; i <= n; i++) {
    lua_geti(L, 1, i);
    const syl_found *f = luaL_checkudata(L, -1, FOUND);
    memcpy(to, &f->first, f->count * size_of(kind));
    to += f->count * size_of(kind);
    lua_pop(L, 1);
  }
  return 1;
}

void syl_open_found(lua_State *L) {
  static const luaL_Reg functions[] = {{"join_found", l_join_found}, {NULL, NULL}};
  luaL_newmetatable(L, FOUND);
  lua_pop(L, 1);
  luaL_setfuncs(L, functions, 0);
}
