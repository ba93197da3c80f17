#include "carry.h"

#include <string.h>

#include <lauxlib.h>

#include "word_host.h"

enum { DEEPEST = 200, ROOM = 8 };

typedef struct carrier {
  lua_State *L;
  syl_meter *meter;
  int seen;  /* stack index in L: address in the sandbox -> copy */
  int marks; /* stack index in L: before the metatables of meter->mark */
} carrier;

static void carry(const carrier *c, int depth);

static void carry_mark(const carrier *c) {
  lua_State *S = c->meter->S;
  if (!lua_getmetatable(S, -1)) return;
  const void *metatable = lua_topointer(S, -1);
  lua_pop(S, 1);
  for (int i = 0; i < c->meter->marks; i++) {
    if (c->meter->mark[i].metatable != metatable) continue;
    lua_pushvalue(c->L, c->marks + 1 + i);
    lua_setmetatable(c->L, -2);
  }
}

/* How many entries of the table on top lie outside its list: room for them is made at once. */
static int count_fields(lua_State *S, lua_Unsigned length) {
  lua_Unsigned count = 0;
  lua_pushnil(S);
  while (lua_next(S, -2)) {
    lua_pop(S, 1);
    count++;
  }
  return count > length ? (int)(count - length) : 0;
}

static void carry_table(const carrier *c, int depth) {
  lua_State *L = c->L, *S = c->meter->S;
  const void *address = lua_topointer(S, -1);
  if (lua_rawgetp(L, c->seen, address) == LUA_TTABLE) return;
  lua_pop(L, 1);
  luaL_checkstack(L, ROOM, NULL); /* for the table, and for a key and a value in it */
  if (depth == DEEPEST || !lua_checkstack(S, ROOM))
    syl_fail(L, &(syl_failure){.code = "limit", .message = "tables lie inside one another too deep"});
  const lua_Unsigned length = lua_rawlen(S, -1);
  lua_createtable(L, (int)length, count_fields(S, length));
  lua_pushvalue(L, -1);
  lua_rawsetp(L, c->seen, address);
  lua_pushnil(S);
  while (lua_next(S, -2)) { /* key, value */
    lua_pushvalue(S, -2);
    carry(c, depth + 1); /* the key */
    lua_pop(S, 1);
    carry(c, depth + 1);
    lua_rawset(L, -3);
    lua_pop(S, 1);
  }
  carry_mark(c);
}

static void carry_strange(const carrier *c, const char *what) {
  lua_createtable(c->L, 0, 1);
  lua_pushstring(c->L, what);
  lua_setfield(c->L, -2, "what");
  syl_push_marked(c->L, "strange");
  lua_setmetatable(c->L, -2);
}

static void carry(const carrier *c, int depth) {
  lua_State *L = c->L, *S = c->meter->S;
  switch (lua_type(S, -1)) {
  case LUA_TNIL: lua_pushnil(L); break;
  case LUA_TBOOLEAN: lua_pushboolean(L, lua_toboolean(S, -1)); break;
  case LUA_TNUMBER:
    if (lua_isinteger(S, -1))
      lua_pushinteger(L, lua_tointeger(S, -1));
    else
      lua_pushnumber(L, lua_tonumber(S, -1));
    break;
  case LUA_TSTRING: {
    size_t length;
    const char *text = lua_tolstring(S, -1, &length); /* a string already: nothing is converted */
    lua_pushlstring(L, text, length);
    break;
  }
  case LUA_TTABLE: carry_table(c, depth); break;
  default: carry_strange(c, lua_typename(S, lua_type(S, -1))); break;
  }
}

void syl_carry(lua_State *L, syl_meter *meter) {
  if (!lua_checkstack(meter->S, ROOM)) luaL_error(L, "not enough memory");
  lua_newtable(L);
  const carrier c = {L, meter, lua_gettop(L), lua_gettop(L)};
  luaL_checkstack(L, meter->marks + ROOM, NULL);
  for (int i = 0; i < meter->marks; i++) {
    syl_push_marked(L, meter->mark[i].name);
  }
  carry(&c, 0);
  lua_replace(L, c.seen);
  lua_settop(L, c.seen);
}
