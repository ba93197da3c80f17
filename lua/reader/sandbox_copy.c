#include "reader/sandbox_copy.h"

#include <stdio.h>
#include <string.h>

#include <lauxlib.h>

#include "reader/vocabulary_functions.h"

enum {
  DEEPEST = 200,
  ROOM = 8,
  EACH = 16,        /* bytes that a value counts */
  SMALL = 8 * EACH, /* what a table counts whose size was not kept */
  SHORT_TEXT = 40   /* bytes: Lua itself keeps one copy of these */
};

typedef struct copying {
  lua_State *L;
  syl_sandbox *sandbox;
  const char *file;
  int seen;    /* stack index in L: address in the sandbox -> copy */
  int written; /* stack index in L: the same -> bytes written out, where that is more than SMALL */
  int marks;   /* stack index in L: before the metatables of sandbox->mark */
} copying;

static size_t copy_value(const copying *c, int depth);

static void refuse(const copying *c, const char *message, const char *hint) {
  syl_fail(c->L, &(syl_failure){.code = "limit", .message = message, .file = c->file, .hint = hint});
}

static void copy_mark(const copying *c) {
  lua_State *S = c->sandbox->S;
  if (!lua_getmetatable(S, -1)) return;
  const void *metatable = lua_topointer(S, -1);
  lua_pop(S, 1);
  for (int i = 0; i < c->sandbox->marks; i++) {
    if (c->sandbox->mark[i].metatable != metatable) continue;
    lua_pushvalue(c->L, c->marks + 1 + i);
    lua_setmetatable(c->L, -2);
  }
}

static bool is_place(lua_State *S, int index, lua_Unsigned length) {
  return lua_isinteger(S, index) && (lua_Unsigned)lua_tointeger(S, index) - 1 < length;
}

/* How many entries of the table on top lie outside its list: room for them is made at once. */
static int count_fields(const copying *c, lua_Unsigned length) {
  lua_State *S = c->sandbox->S;
  int count = 0, odd = 0;
  lua_pushnil(S);
  while (lua_next(S, -2)) {
    lua_pop(S, 1);
    if (lua_type(S, -1) == LUA_TSTRING) {
      count++;
    } else if (!is_place(S, -1, length)) {
      count++;
      if (++odd > SYL_MOST_ODD)
        refuse(c, "a table has more than 200 keys that are neither names nor places of a list",
               "fields have names, and lists count from 1");
    }
  }
  return count;
}

/* The bytes that the table at `address`, which was met before, comes to. */
static size_t written_before(const copying *c, const void *address) {
  size_t size = SMALL;
  if (lua_rawgetp(c->L, c->written, address) == LUA_TNUMBER) size = (size_t)lua_tointeger(c->L, -1);
  lua_pop(c->L, 1);
  return size;
}

static size_t copy_entries(const copying *c, int depth) {
  lua_State *L = c->L, *S = c->sandbox->S;
  size_t size = 0;
  lua_pushnil(S);
  while (lua_next(S, -2)) { /* key, value */
    lua_pushvalue(S, -2);
    size_t entry = copy_value(c, depth + 1) - EACH; /* the key */
    lua_pop(S, 1);
    entry += copy_value(c, depth + 1);
    lua_rawset(L, -3);
    lua_pop(S, 1);
    size += entry;
    if (size > SYL_MOST_WRITTEN &&
        depth > 1) /* the list of all items holds those that lie in others once more */
      refuse(c, "says more than 4 MiB when every table and text is written out in each place it stands in",
             "is a long list or text used in many places?");
  }
  return size;
}

static size_t copy_table(const copying *c, int depth) {
  lua_State *L = c->L, *S = c->sandbox->S;
  const void *address = lua_topointer(S, -1);
  if (lua_rawgetp(L, c->seen, address) == LUA_TTABLE) return written_before(c, address);
  lua_pop(L, 1);
  luaL_checkstack(L, ROOM, NULL); /* for the table, and for a key and a value in it */
  if (depth == DEEPEST || !lua_checkstack(S, ROOM)) refuse(c, "tables lie inside one another too deep", NULL);
  const lua_Unsigned length = lua_rawlen(S, -1);
  lua_createtable(L, (int)length, count_fields(c, length));
  lua_pushvalue(L, -1);
  lua_rawsetp(L, c->seen, address);
  const size_t size = EACH + copy_entries(c, depth);
  copy_mark(c);
  if (size > SMALL) {
    lua_pushinteger(L, (lua_Integer)size);
    lua_rawsetp(L, c->written, address);
  }
  return size;
}

/* A sealed table (vocabulary_functions.h): its copy is a plain one. */
static size_t copy_sealed(const copying *c, int depth) {
  lua_State *S = c->sandbox->S;
  if (!lua_checkstack(S, ROOM)) refuse(c, "tables lie inside one another too deep", NULL);
  lua_getiuservalue(S, -1, 1);
  const size_t size = copy_table(c, depth);
  lua_pop(S, 1);
  copy_mark(c);
  return size;
}

/* A long text stays one text wherever it stands. */
static size_t copy_text(const copying *c) {
  lua_State *L = c->L;
  size_t length;
  const char *text = lua_tolstring(c->sandbox->S, -1, &length); /* a string already: nothing is converted */
  if (length <= SHORT_TEXT) {
    lua_pushlstring(L, text, length);
  } else if (lua_rawgetp(L, c->seen, text) != LUA_TSTRING) {
    lua_pop(L, 1);
    lua_pushlstring(L, text, length);
    lua_pushvalue(L, -1);
    lua_rawsetp(L, c->seen, text);
  }
  return length <= SHORT_TEXT ? EACH : EACH + length;
}

static void copy_strange(const copying *c, const char *what) {
  lua_createtable(c->L, 0, 1);
  lua_pushstring(c->L, what);
  lua_setfield(c->L, -2, "what");
  syl_push_marked(c->L, "strange");
  lua_setmetatable(c->L, -2);
}

/* Pushes a copy of what is on top of the sandbox's stack and gives the bytes it comes to. */
static size_t copy_value(const copying *c, int depth) {
  lua_State *L = c->L, *S = c->sandbox->S;
  switch (lua_type(S, -1)) {
  case LUA_TNIL: lua_pushnil(L); break;
  case LUA_TBOOLEAN: lua_pushboolean(L, lua_toboolean(S, -1)); break;
  case LUA_TNUMBER:
    if (lua_isinteger(S, -1))
      lua_pushinteger(L, lua_tointeger(S, -1));
    else
      lua_pushnumber(L, lua_tonumber(S, -1));
    break;
  case LUA_TSTRING: return copy_text(c);
  case LUA_TTABLE: return copy_table(c, depth);
  case LUA_TUSERDATA: return copy_sealed(c, depth);
  default: copy_strange(c, lua_typename(S, lua_type(S, -1))); break;
  }
  return EACH;
}

void syl_copy_out(lua_State *L, syl_sandbox *sandbox, const char *file) {
  if (!lua_checkstack(sandbox->S, ROOM)) luaL_error(L, "not enough memory");
  lua_newtable(L);
  lua_newtable(L);
  const int top = lua_gettop(L);
  const copying c = {L, sandbox, file, top - 1, top, top};
  luaL_checkstack(L, sandbox->marks + ROOM, NULL);
  for (int i = 0; i < sandbox->marks; i++) {
    syl_push_marked(L, sandbox->mark[i].name);
  }
  copy_value(&c, 0);
  lua_replace(L, c.seen);
  lua_settop(L, c.seen);
}
