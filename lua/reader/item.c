/* item.c - an entry of a list of parts, when it is a part, group, tank or person written as it should be. */
#include "reader/item.h"

#include <string.h>

#include <lauxlib.h>

#include "bind/open.h"
#include "reader/text_file.h"
#include "reader/vocabulary_functions.h"

enum { VALUE = 1, SIBLINGS, REACHED, PATH, SHALLOW, KIND, NAME, FIELDS, LINE, FULL };
#define ITEM_MARK lua_upvalueindex(1)
#define KINDS     lua_upvalueindex(2)
#define LONGEST   lua_upvalueindex(3)

static bool is_kind(lua_State *L, int index) {
  if (lua_type(L, index) != LUA_TSTRING) return false;
  lua_pushvalue(L, index);
  const bool known = lua_rawget(L, KINDS) != LUA_TNIL;
  lua_pop(L, 1);
  return known;
}

bool syl_is_name(lua_State *L, int index, size_t longest) {
  size_t length;
  if (lua_type(L, index) != LUA_TSTRING) return false;
  const char *name = lua_tolstring(L, index, &length);
  return length <= longest && syl_is_line(name, length) && memchr(name, '/', length) == NULL;
}

bool syl_is_plain_table(lua_State *L, int index) {
  if (lua_type(L, index) != LUA_TTABLE) return false;
  if (!lua_getmetatable(L, index)) return true;
  lua_pop(L, 1);
  return false;
}

/* Push a field of the item. */
static void push_field(lua_State *L, const char *key) {
  lua_pushstring(L, key);
  lua_rawget(L, VALUE);
}

/* Is table[key] nil? */
static bool is_new(lua_State *L, int table, int key) {
  lua_pushvalue(L, key);
  const bool fresh = lua_rawget(L, table) == LUA_TNIL;
  lua_pop(L, 1);
  return fresh;
}

/* Pushes kind, name, fields and line: false when nodes.lua must look, which says what is wrong. */
static bool is_in_order(lua_State *L) {
  if (!lua_toboolean(L, SHALLOW) || lua_type(L, VALUE) != LUA_TTABLE || !lua_getmetatable(L, VALUE))
    return false;
  const bool item = lua_rawequal(L, -1, ITEM_MARK);
  lua_pop(L, 1);
  if (!item) return false;
  push_field(L, "kind");
  push_field(L, "name");
  push_field(L, "fields");
  push_field(L, "line");
  return is_kind(L, KIND) && syl_is_name(L, NAME, (size_t)lua_tointeger(L, LONGEST)) &&
         syl_is_plain_table(L, FIELDS) && is_new(L, REACHED, VALUE) && is_new(L, SIBLINGS, NAME);
}

/* enter_item(value, siblings, reached, path, shallow) -> kind, name, fields, line, full path; or nil with nothing noted.
**   siblings  {[name] = line}: takes the name    reached  {[value] = true}: takes the value    shallow  not too deep in groups */
static int l_enter_item(lua_State *L) {
  lua_settop(L, SHALLOW);
  luaL_checktype(L, SIBLINGS, LUA_TTABLE);
  luaL_checktype(L, REACHED, LUA_TTABLE);
  if (!is_in_order(L)) return 0;
  lua_pushvalue(L, VALUE);
  lua_pushboolean(L, 1);
  lua_rawset(L, REACHED);
  lua_pushvalue(L, NAME);
  lua_pushvalue(L, LINE);
  if (lua_isnil(L, -1)) {
    lua_pop(L, 1);
    lua_pushboolean(L, 1);
  }
  lua_rawset(L, SIBLINGS);
  if (lua_rawlen(L, PATH) == 0)
    lua_pushvalue(L, NAME);
  else {
    lua_pushvalue(L, PATH);
    lua_pushliteral(L, "/");
    lua_pushvalue(L, NAME);
    lua_concat(L, 3);
  }
  return FULL - KIND + 1;
}

/* core.item_reader(kinds, longest) -> enter_item. kinds: {[kind] = true} of what may stand among parts; longest: bytes of a name */
static int l_item_reader(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checkinteger(L, 2);
  lua_settop(L, 2);
  syl_push_marked(L, "item");
  lua_insert(L, 1);
  lua_pushcclosure(L, l_enter_item, 3);
  return 1;
}

void syl_open_item_reader(lua_State *L) {
  lua_pushcfunction(L, l_item_reader);
  lua_setfield(L, -2, "item_reader");
}
