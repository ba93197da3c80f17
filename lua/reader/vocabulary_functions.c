#include "reader/vocabulary_functions.h"

#include <string.h>

#include <lauxlib.h>

#include "bind/errors.h"
#include "reader/sandbox_limits.h"
#include "reader/script_words.h"

/* The innermost Lua function outside the text of the word that was called (level 1); false when there is none. */
static int find_caller(lua_State *L, lua_Debug *about) {
  lua_Debug word;
  if (!lua_getstack(L, 1, &word)) return 0;
  lua_getinfo(L, "S", &word);
  for (int level = 2; lua_getstack(L, level, about); level++) {
    lua_getinfo(L, "Sl", about);
    if (about->currentline > 0 && strcmp(about->source, word.source) != 0) return 1;
  }
  return 0;
}

static int l_where(lua_State *L) {
  lua_Debug about;
  if (!find_caller(L, &about)) return 0;
  lua_pushinteger(L, about.currentline);
  lua_pushstring(L, about.short_src);
  return 2;
}

static int l_where_sandboxed(lua_State *S) {
  const int line = syl_user_line(S);
  if (line == 0) return 0;
  lua_pushinteger(S, line);
  return 1;
}

static int l_raise(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_Debug about;
  lua_getfield(L, 1, "line");
  if (lua_isnil(L, -1) && find_caller(L, &about)) {
    lua_pushinteger(L, about.currentline);
    lua_setfield(L, 1, "line");
    lua_pushstring(L, about.short_src);
    lua_setfield(L, 1, "file");
  }
  lua_settop(L, 1);
  syl_mark_failure(L);
  return lua_error(L);
}

static void take_text(lua_State *S, const char *key, char *buffer, size_t room) {
  lua_getfield(S, 1, key);
  size_t length;
  const char *text = lua_tolstring(S, -1, &length);
  if (text != NULL) syl_keep_text(buffer, room, text, length);
  lua_pop(S, 1);
}

/* The problem is kept outside the state, so that reporting it needs nothing more from there. */
static int l_raise_sandboxed(lua_State *S) {
  luaL_checktype(S, 1, LUA_TTABLE);
  syl_problem problem = {.line = 0};
  take_text(S, "code", problem.code, sizeof problem.code);
  take_text(S, "message", problem.message, sizeof problem.message);
  take_text(S, "part", problem.part, sizeof problem.part);
  take_text(S, "field", problem.field, sizeof problem.field);
  take_text(S, "hint", problem.hint, sizeof problem.hint);
  take_text(S, "kind", problem.kind, sizeof problem.kind);
  lua_getfield(S, 1, "line");
  problem.line = lua_isinteger(S, -1) ? (int)lua_tointeger(S, -1) : syl_user_line(S);
  syl_sandbox *sandbox = syl_sandbox_of(S);
  sandbox->problem = problem;
  lua_pushlightuserdata(S, sandbox);
  return lua_error(S);
}

static int l_nearest(lua_State *L) {
  const char *word = luaL_checkstring(L, 1);
  luaL_checktype(L, 2, LUA_TTABLE);
  lua_pushstring(L, syl_nearest(L, word, 2));
  return 1;
}

void syl_push_marked(lua_State *L, const char *name) {
  const char *key = lua_pushfstring(L, "steelyard.%s", name);
  if (luaL_getmetatable(L, key) == LUA_TNIL) {
    lua_pop(L, 1);
    lua_createtable(L, 0, 0);
    lua_pushvalue(L, -1);
    lua_setfield(L, LUA_REGISTRYINDEX, key);
  }
  lua_remove(L, -2);
}

static int l_marked(lua_State *L) {
  syl_push_marked(L, luaL_checkstring(L, 1));
  return 1;
}

static int l_marked_sandboxed(lua_State *S) {
  size_t length;
  const char *name = luaL_checklstring(S, 1, &length);
  syl_sandbox *sandbox = syl_sandbox_of(S);
  if (sandbox->marks == SYL_MARKS) return luaL_error(S, "too many marks");
  lua_createtable(S, 0, 0);
  lua_pushvalue(S, -1);
  luaL_ref(S, LUA_REGISTRYINDEX); /* alive as long as the state: its address stays its own */
  sandbox->mark[sandbox->marks].metatable = lua_topointer(S, -1);
  syl_keep_text(sandbox->mark[sandbox->marks].name, sizeof sandbox->mark[0].name, name, length);
  sandbox->marks++;
  return 1;
}

static int l_type(lua_State *L) {
  luaL_checkany(L, 1);
  lua_pushstring(L, luaL_typename(L, 1));
  return 1;
}

static int l_setmetatable(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checktype(L, 2, LUA_TTABLE);
  lua_settop(L, 2);
  lua_setmetatable(L, 1);
  return 1;
}

static int l_getmetatable(lua_State *L) {
  luaL_checkany(L, 1);
  const int type = lua_type(L, 1);
  if ((type != LUA_TTABLE && type != LUA_TUSERDATA) || !lua_getmetatable(L, 1)) lua_pushnil(L);
  return 1;
}

/* open(value) -> the table of a sealed one; anything else itself */
static int l_open_sealed(lua_State *S) {
  luaL_checkany(S, 1);
  lua_settop(S, 1);
  if (lua_type(S, 1) == LUA_TUSERDATA) lua_getiuservalue(S, 1, 1);
  return 1;
}

/* seal(table, metatable) -> a value that the file can neither look into nor change, but by the metatable */
static int l_seal(lua_State *S) {
  luaL_checktype(S, 1, LUA_TTABLE);
  luaL_checktype(S, 2, LUA_TTABLE);
  lua_settop(S, 2);
  lua_newuserdatauv(S, 0, 1);
  lua_pushvalue(S, 1);
  lua_setiuservalue(S, -2, 1);
  lua_pushvalue(S, 2);
  lua_setmetatable(S, -2);
  return 1;
}

/* In a script everything stays a table. */
static int l_open_plain(lua_State *L) {
  luaL_checkany(L, 1);
  lua_settop(L, 1);
  return 1;
}

static const luaL_Reg common[] = {{"type", l_type},
                                  {"setmetatable", l_setmetatable},
                                  {"getmetatable", l_getmetatable},
                                  {"nearest", l_nearest},
                                  {NULL, NULL}};

void syl_push_vocabulary_functions(lua_State *S) {
  static const luaL_Reg own[] = {{"where", l_where_sandboxed},   {"raise", l_raise_sandboxed},
                                 {"marked", l_marked_sandboxed}, {"seal", l_seal},
                                 {"open", l_open_sealed},        {NULL, NULL}};
  lua_createtable(S, 0, 10);
  luaL_setfuncs(S, common, 0);
  luaL_setfuncs(S, own, 0);
  lua_pushboolean(S, 1);
  lua_setfield(S, -2, "sandbox");
}

void syl_open_vocabulary_functions(lua_State *L) {
  static const luaL_Reg own[] = {{"where", l_where},       {"raise", l_raise},     {"marked", l_marked},
                                 {"seal", l_setmetatable}, {"open", l_open_plain}, {NULL, NULL}};
  lua_createtable(L, 0, 12);
  luaL_setfuncs(L, common, 0);
  luaL_setfuncs(L, own, 0);
  syl_add_script_words(L);
  lua_setfield(L, -2, "vocabulary_functions");
}
