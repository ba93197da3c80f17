#include "bind/study/sources.h"

#include <lauxlib.h>
#include <string.h>

#include "answers/sets.h"
#include "bind/answers/answers.h"
#include "bind/numbers.h"

/* ---- what is asked ------------------------------------------------------------------------------------------------------------- */

/* The group {set =, asked =, names =} on top of the stack. */
static void read_group(lua_State *L, syl_sets *r, double *offset) {
  const int group = lua_gettop(L), i = r->count;
  lua_getfield(L, group, "set");
  const sy_answer_set *set = sy_answer_set_find(luaL_checkstring(L, -1));
  luaL_argcheck(L, set != NULL, 1, "is not a set of answers");
  lua_getfield(L, group, "asked");
  const int asked = lua_gettop(L);
  syl_read_asked(L, asked, &r->asked[i]);
  const int geometry = syl_push_geometry_of(L, asked);
  lua_getfield(L, group, "names");
  luaL_checktype(L, -1, LUA_TTABLE);
  const lua_Integer count = syl_length(L, lua_gettop(L));
  const int names = lua_gettop(L);
  luaL_argcheck(L, r->answers + count <= SY_SPREAD_ANSWERS, 1, "too many names");
  for (lua_Integer k = 0; k < count; k++) {
    lua_geti(L, names, k + 1);
    const char *name = luaL_checkstring(L, -1);
    if (!syl_find_answer(L, geometry, set, name, &r->name[i][k], &offset[r->answers + k]))
      luaL_error(L, "no answer is called '%s'", name);
    lua_pop(L, 1);
  }
  r->set[i] = (sy_spread_set){set, &r->asked[i].car, r->name[i], (int)count};
  r->count++, r->answers += (int)count;
  lua_settop(L, group - 1);
}

const syl_sets *syl_read_sets(lua_State *L, int index, double *offset) {
  luaL_checktype(L, index, LUA_TTABLE);
  const lua_Integer count = syl_length(L, index);
  luaL_argcheck(L, count >= 1 && count <= SY_SPREAD_SETS, index, "too many sets");
  syl_sets *r = lua_newuserdatauv(L, sizeof *r, 0);
  r->count = r->answers = 0;
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, index, i + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    read_group(L, r, offset);
  }
  return r;
}

/* ---- what errs ------------------------------------------------------------------------------------------------------------------ */

static const char *kind_name(sy_error_kind kind) {
  static const char *const names[SY_ERROR_KINDS] = {
      "mass",   "dry mass",   "density",    "volume",     "share",      "x",          "y",
      "z",      "inertia xx", "inertia yy", "inertia zz", "inertia xy", "inertia xz", "inertia yz",
      "growth", "usual",      "bias",       "gain",       "reading",    "place"};
  return names[kind];
}

static void set_whole(lua_State *L, const char *key, size_t value) {
  lua_pushinteger(L, (lua_Integer)value);
  lua_setfield(L, -2, key);
}

static void push_error(lua_State *L, const sy_elementary *e) {
  lua_pushstring(L, kind_name(e->kind));
  lua_setfield(L, -2, "kind");
  set_whole(L, "code", (size_t)e->kind);
  set_whole(L, "number", e->number);
  set_whole(L, "again", e->again);
  set_whole(L, "family", e->family);
  lua_pushboolean(L, e->part != NULL && (e->part->flags & SY_PART_IMAGE) != 0);
  lua_setfield(L, -2, "image");
  lua_pushboolean(L, e->part != NULL && e->part->whole != NULL);
  lua_setfield(L, -2, "whole");
  if (e->kind == SY_ERROR_READING) set_whole(L, "record", e->number / SY_RECORD_READINGS + 1);
  syl_set_number(L, "sd", e->sd);
}

void syl_push_source(lua_State *L, const sy_spread_source *is) {
  lua_createtable(L, 0, 9);
  if (is->error != NULL) {
    push_error(L, is->error);
  } else if (is->stated != NULL) {
    lua_pushstring(L, sy_stated_name(is->stated->field));
    lua_setfield(L, -2, "field");
    set_whole(L, "code", (size_t)is->stated->field);
    set_whole(L, "at", is->stated->at);
    set_whole(L, "source", is->stated->source);
    syl_set_number(L, "sd", is->stated->sd);
  } else {
    lua_pushfstring(L, "%I", (lua_Integer)is->own->key);
    lua_setfield(L, -2, "key");
    syl_set_number(L, "sd", is->own->sd);
  }
}

void syl_push_sources(lua_State *L, size_t count, sy_spread_source (*at)(const void *of, size_t i),
                      const void *of) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    const sy_spread_source is = at(of, i);
    syl_push_source(L, &is);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
}
