/* script_words.c - the words of a script that it says most often, in order: part "x", its braces, sd and within.
**
** What steelyard/file/vocabulary.lua does in Lua takes 4 us a part, most of it calls. These make the same tables; whatever is not as it should
** be goes to the function there, which says what is wrong. A sandbox has the functions alone. */
#include "reader/script_words.h"

#include <math.h>
#include <string.h>

#include <lauxlib.h>

/* The innermost Lua function that called: false when there is none. */
static bool find_caller(lua_State *L, lua_Debug *about) {
  for (int level = 1; lua_getstack(L, level, about); level++) {
    lua_getinfo(L, "Sl", about);
    if (about->currentline > 0) return true;
  }
  return false;
}

/* All arguments to the function at `upvalue`, and what it gives. */
static int otherwise(lua_State *L, int upvalue) {
  lua_pushvalue(L, lua_upvalueindex(upvalue));
  lua_insert(L, 1);
  lua_call(L, lua_gettop(L) - 1, LUA_MULTRET);
  return lua_gettop(L);
}

static void put(lua_State *L, const char *key) { /* the value on top into the table below it */
  lua_pushstring(L, key);
  lua_insert(L, -2);
  lua_rawset(L, -3);
}

/* Items stay until a car is made of them. Where there are very many, the collector goes over them again and again as they become more, which
** doubles the time of making them: so most of what they take is given back to it as credit. What else is made is collected as ever. */
enum {
  LARGE = 32768 /* KB in use, far above caches */,
  ITEMS = 256 /* at a time */,
  CREDIT = 128 /* KB for these */
};

/* upvalues of an item's word */
enum { KIND = 1, ITEM, ITEM_OTHERWISE, LAST_FILE, MADE };

static void count_item(lua_State *L) {
  const lua_Integer made = lua_tointeger(L, lua_upvalueindex(MADE)) + 1;
  lua_pushinteger(L, made % ITEMS);
  lua_replace(L, lua_upvalueindex(MADE));
  if (made == ITEMS && lua_gc(L, LUA_GCCOUNT) > LARGE) lua_gc(L, LUA_GCSTEP, -CREDIT);
}

/* part(name) -> item without fields */
static int l_item(lua_State *L) {
  lua_Debug about;
  if (lua_type(L, 1) != LUA_TSTRING) return otherwise(L, ITEM_OTHERWISE);
  const bool called = find_caller(L, &about);
  count_item(L);
  lua_createtable(L, 0, 5);
  lua_pushvalue(L, lua_upvalueindex(KIND));
  put(L, "kind");
  lua_pushvalue(L, 1);
  put(L, "name");
  lua_pushinteger(L, called ? about.currentline : 0);
  put(L, "line");
  if (!called) {
    lua_pushboolean(L, 0);
  } else {
    const char *last = lua_tostring(L, lua_upvalueindex(LAST_FILE));
    if (last == NULL || strcmp(last, about.short_src) != 0) {
      lua_pushstring(L, about.short_src);
      lua_replace(L, lua_upvalueindex(LAST_FILE));
    }
    lua_pushvalue(L, lua_upvalueindex(LAST_FILE));
  }
  put(L, "file");
  lua_pushboolean(L, 0);
  put(L, "fields");
  lua_pushvalue(L, lua_upvalueindex(ITEM));
  lua_setmetatable(L, -2);
  return 1;
}

/* item(fields) -> the item with these fields */
static int l_braces(lua_State *L) {
  if (lua_gettop(L) != 2 || lua_type(L, 1) != LUA_TTABLE || lua_type(L, 2) != LUA_TTABLE ||
      lua_getmetatable(L, 2))
    return otherwise(L, 1);
  lua_pushliteral(L, "fields");
  const bool taken = lua_rawget(L, 1) != LUA_TBOOLEAN || lua_toboolean(L, -1);
  lua_settop(L, 2);
  if (taken) return otherwise(L, 1);
  lua_pushliteral(L, "fields");
  lua_insert(L, 2);
  lua_rawset(L, 1);
  return 1;
}

/* upvalues of sd and within */
enum { UNCERTAINTY = 1, ROOT, SD_OTHERWISE };

/* sd(value, u), or within(value, limit) where ROOT is a number */
static int l_uncertain(lua_State *L) {
  const bool limits = lua_type(L, lua_upvalueindex(ROOT)) == LUA_TNUMBER;
  const double u = lua_type(L, 2) == LUA_TNUMBER ? lua_tonumber(L, 2) : -1;
  if (lua_gettop(L) != 2 || lua_type(L, 1) != LUA_TNUMBER || !(u >= 0 && u < (double)INFINITY))
    return otherwise(L, SD_OTHERWISE);
  lua_createtable(L, 0, limits ? 3 : 2);
  lua_pushvalue(L, 1);
  put(L, "value");
  if (limits)
    lua_pushnumber(L, u / lua_tonumber(L, lua_upvalueindex(ROOT)));
  else
    lua_pushvalue(L, 2);
  put(L, "sd");
  if (limits) {
    lua_pushboolean(L, 1);
    put(L, "limits");
  }
  lua_pushvalue(L, lua_upvalueindex(UNCERTAINTY));
  lua_setmetatable(L, -2);
  return 1;
}

/* item_word(kind, metatable of items, otherwise) -> word */
static int l_item_word(lua_State *L) {
  luaL_checkstring(L, 1);
  luaL_checktype(L, 2, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TFUNCTION);
  lua_settop(L, 3);
  lua_pushnil(L);
  lua_pushinteger(L, 0);
  lua_pushcclosure(L, l_item, MADE);
  return 1;
}

/* braces_word(otherwise) -> what a call of an item does */
static int l_braces_word(lua_State *L) {
  luaL_checktype(L, 1, LUA_TFUNCTION);
  lua_settop(L, 1);
  lua_pushcclosure(L, l_braces, 1);
  return 1;
}

/* uncertain_word(metatable of uncertainties, root or nil, otherwise) -> word. root: what limits are divided by */
static int l_uncertain_word(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TFUNCTION);
  lua_settop(L, 3);
  lua_pushcclosure(L, l_uncertain, SD_OTHERWISE);
  return 1;
}

void syl_add_script_words(lua_State *L) {
  static const luaL_Reg words[] = {{"item_word", l_item_word},
                                   {"braces_word", l_braces_word},
                                   {"uncertain_word", l_uncertain_word},
                                   {NULL, NULL}};
  luaL_setfuncs(L, words, 0);
}
