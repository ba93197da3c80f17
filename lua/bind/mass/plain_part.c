#include "bind/mass/plain_part.h"

#include <string.h>

#include <lauxlib.h>

#include "base/units.h"
#include "bind/mass/booking.h"
#include "bind/numbers.h"

/* Push a field without metamethods; its type. */
static int field(lua_State *L, int t, const char *key) {
  lua_pushstring(L, key);
  return lua_rawget(L, t);
}

static bool is_there(lua_State *L, int t, const char *key) {
  const bool there = field(L, t, key) != LUA_TNIL;
  lua_pop(L, 1);
  return there;
}

/* The number, or `otherwise` when there is none. */
static double number(lua_State *L, int t, const char *key, double otherwise) {
  const double value = field(L, t, key) == LUA_TNUMBER ? lua_tonumber(L, -1) : otherwise;
  lua_pop(L, 1);
  return value;
}

static bool is_plain(lua_State *L, int node) {
  static const char *const other[] = {"turned", "inertia",    "per_kg",   "unknown",
                                      "scale",  "bias_share", "gain_mass"};
  for (size_t i = 0; i < sizeof other / sizeof *other; i++)
    if (is_there(L, node, other[i])) return false;
  field(L, node, "kind");
  const char *kind = lua_tostring(L, -1);
  const bool plain = kind != NULL && (strcmp(kind, "part") == 0 || strcmp(kind, "person") == 0);
  lua_pop(L, 1);
  return plain && is_there(L, node, "mass") && is_there(L, node, "at");
}

static bool is_person(lua_State *L, int node) {
  field(L, node, "kind");
  const bool person = strcmp(lua_tostring(L, -1), "person") == 0; /* is_plain has seen a kind */
  lua_pop(L, 1);
  return person;
}

/* An uncertainty that is not stated is the share that the file assumes for the part's basis, if it does; nobody is an estimate
** for want of a basis. */
static void read_mass(lua_State *L, int node, int context, sy_part *part) {
  part->mass = number(L, node, "mass", 0);
  part->mass_sd = number(L, node, "mass_sd", -1);
  const bool assumes = part->mass_sd < 0 && (is_there(L, node, "basis") || !is_person(L, node));
  if (assumes && field(L, context, "assume") == LUA_TTABLE) {
    if (field(L, node, "basis") != LUA_TSTRING) {
      lua_pop(L, 1);
      lua_pushliteral(L, "estimate");
    }
    if (lua_rawget(L, -2) == LUA_TNUMBER) part->mass_sd = lua_tonumber(L, -1) * part->mass;
    lua_pop(L, 1);
  }
  if (part->mass_sd < 0) {
    part->mass_sd = 0;
    part->flags |= SY_PART_UNSTATED;
  } else {
    part->flags &= ~(uint32_t)SY_PART_UNSTATED;
  }
}

/* Numbers of the list `key` over those in v. */
static void read_list(lua_State *L, int t, const char *key, double v[3]) {
  if (field(L, t, key) == LUA_TTABLE) syl_some_at(L, -1, 1, v);
  lua_pop(L, 1);
}

/* The library axis that the file's coordinate x, y or z runs along. */
static int axis_of(const syl_geometry *g, const char *letter) {
  const int column = letter[0] - 'x';
  for (int row = 0; row < 3; row++)
    if (column >= 0 && column < 3 && g->axes.matrix.m[row][column] != 0) return row;
  return 2;
}

/* False for a mesh. A solid that cannot be is found out by the general way, which says so. */
static bool read_shape(lua_State *L, int node, const syl_geometry *g, sy_part *part) {
  const int top = lua_gettop(L);
  if (field(L, node, "shape") != LUA_TTABLE) {
    lua_settop(L, top);
    part->flags |= SY_PART_POINT;
    return true;
  }
  double size[3] = {0, 0, 0};
  syl_some_at(L, top + 1, SY_MILLIMETRE, size);
  const int axis = field(L, top + 1, "axis") == LUA_TSTRING ? axis_of(g, lua_tostring(L, -1)) : 2;
  const bool solid = field(L, top + 1, "kind") == LUA_TSTRING && strcmp(lua_tostring(L, -1), "mesh") != 0;
  sy_error ignored;
  const bool fine = solid && syl_solid_inertia(lua_tostring(L, -1), part->mass, size, axis, &part->inertia,
                                               &ignored) == SY_OK;
  part->flags = (part->flags | SY_PART_SOLID) & ~(uint32_t)SY_PART_POINT;
  lua_settop(L, top);
  return fine;
}

static bool read_carriers(lua_State *L, int node, int context, sy_part *part) {
  const int top = lua_gettop(L);
  if (field(L, node, "unsprung") != LUA_TTABLE) {
    lua_settop(L, top);
    return true;
  }
  luaL_argcheck(L, field(L, context, "carriers") == LUA_TTABLE, context, "not made by build.context");
  lua_Integer i = 0;
  for (; lua_rawgeti(L, top + 1, i + 1) == LUA_TTABLE && i < SY_MAX_UNSPRUNG; i++) {
    const int share = lua_gettop(L);
    field(L, share, "carrier");
    if (lua_rawget(L, top + 2) != LUA_TNUMBER) break;
    const lua_Integer carrier = lua_tointeger(L, -1);
    if (carrier < 0 || carrier >= SY_CARRIER_COUNT) break;
    part->unsprung.carrier[i] = (uint8_t)carrier;
    part->unsprung.fraction[i] = number(L, share, "fraction", 0);
    lua_settop(L, top + 2);
  }
  const bool fine = lua_isnil(L, -1); /* the list's end */
  part->unsprung.count = (uint8_t)i;
  lua_settop(L, top);
  return fine;
}

/* Push the tags, one a line; NULL without any. */
static const char *push_tags(lua_State *L, int node) {
  const int top = lua_gettop(L);
  const lua_Integer count = field(L, node, "tags") == LUA_TTABLE ? (lua_Integer)lua_rawlen(L, -1) : 0;
  if (count == 0) {
    lua_settop(L, top);
    lua_pushnil(L);
    return NULL;
  }
  luaL_Buffer tags;
  luaL_buffinit(L, &tags);
  for (lua_Integer i = 1; i <= count; i++) {
    if (i > 1) luaL_addchar(&tags, '\n');
    if (lua_rawgeti(L, top + 1, i) != LUA_TSTRING) luaL_error(L, "a tag is not a text");
    luaL_addvalue(&tags);
  }
  luaL_pushresult(&tags);
  lua_replace(L, top + 1);
  return lua_tostring(L, top + 1);
}

bool syl_read_node(lua_State *L, int node, int context, const syl_geometry *g, bool at_top,
                   syl_plain_node *out) {
  if (!is_plain(L, node)) return false;
  sy_part *part = &out->part;
  const double otherwise = number(L, context, "otherwise", -1);
  luaL_argcheck(L, otherwise >= 0, context, "not made by build.context");
  double at[3] = {0, 0, 0}, sd[3] = {otherwise, otherwise, otherwise};
  read_mass(L, node, context, part);
  read_list(L, node, "at", at);
  read_list(L, node, "at_sd", sd);
  syl_place_part(g, at_top, at, sd, part);
  part->growth = number(L, node, "growth", 0);
  const double count = number(L, node, "count", part->count);
  if (!(count >= 1 && count <= (double)UINT32_MAX)) return false;
  part->count = (uint32_t)count;
  if (!read_shape(L, node, g, part) || !read_carriers(L, node, context, part)) return false;
  field(L, node, "pair");
  out->pair = lua_toboolean(L, -1);
  lua_pop(L, 1);
  out->tags = push_tags(L, node);
  field(L, node, "name");
  out->name = lua_tostring(L, -1);
  return true;
}
