#include "reader/fields_kind.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <lauxlib.h>

static syl_how reader_of(const char *name) {
  static const struct {
    const char *reader;
    syl_how reads;
  } known[] = {
      {"number", SYL_NUMBER}, {"mass", SYL_MASS},         {"whole", SYL_WHOLE},
      {"within", SYL_WITHIN}, {"point", SYL_POINT},       {"choice", SYL_CHOICE},
      {"count", SYL_COUNT},   {"flag", SYL_FLAG},         {"text", SYL_TEXT},
      {"texts", SYL_TEXTS},   {"fraction", SYL_FRACTION}, {"ratio", SYL_NUMBER}}; /* unless it is a curve */
  for (size_t i = 0; i < sizeof known / sizeof *known; i++)
    if (strcmp(known[i].reader, name) == 0) return known[i].reads;
  return SYL_OTHER;
}

static double option(lua_State *L, int options, const char *key, double otherwise) {
  const double value = syl_raw_field(L, options, key) == LUA_TNUMBER ? lua_tonumber(L, -1) : otherwise;
  lua_pop(L, 1);
  return value;
}

static syl_unit unit_of(lua_State *L, int units, const char *name) {
  const int top = lua_gettop(L);
  if (syl_raw_field(L, units, name) != LUA_TTABLE || syl_raw_field(L, top + 1, "dims") != LUA_TSTRING)
    luaL_error(L, "no unit %s", name);
  const syl_unit found = {lua_tostring(L, -1), option(L, top + 1, "factor", 1)};
  lua_settop(L, top);
  return found;
}

static void read_words(lua_State *L, int options, syl_field *f) {
  const int top = lua_gettop(L);
  if (syl_raw_field(L, options, "words") == LUA_TTABLE)
    for (; lua_rawgeti(L, top + 1, f->words + 1) != LUA_TNIL; lua_settop(L, top + 1)) {
      if (f->words == SYL_MOST_WORDS || lua_type(L, -1) != LUA_TSTRING || lua_rawlen(L, -1) > SYL_SHORT)
        luaL_error(L, "at most %d short words to choose from", SYL_MOST_WORDS);
      f->word[f->words++] = lua_tostring(L, -1);
    }
  lua_settop(L, top);
}

/* user values of a kind */
enum { ROWS = 1, UNITS };

void syl_push_kind_mark(lua_State *L) { luaL_newmetatable(L, "steelyard.fields_kind"); }

syl_kind *syl_kind_at(lua_State *L, int index, int metatable) {
  if (lua_type(L, index) != LUA_TUSERDATA || !lua_getmetatable(L, index)) return NULL;
  const bool kind = lua_rawequal(L, -1, metatable);
  lua_pop(L, 1);
  return kind ? lua_touserdata(L, index) : NULL;
}

void syl_push_row(lua_State *L, int index, int i) {
  lua_getiuservalue(L, index, ROWS);
  lua_rawgeti(L, -1, i + 1);
  lua_remove(L, -2);
}

static void make_ready(lua_State *L, int index, syl_kind *k, int i) {
  syl_field *f = &k->field[i];
  const int row = lua_gettop(L) + 1, units = row + 1, options = row + 3;
  *f = (syl_field){.always = f->always, .low = -(double)INFINITY, .high = (double)INFINITY};
  syl_push_row(L, index, i);
  lua_getiuservalue(L, index, UNITS);
  if (lua_rawgeti(L, row, 2) != LUA_TSTRING) luaL_error(L, "%s has no reader", k->name[i]);
  f->reads = reader_of(lua_tostring(L, -1));
  if (lua_rawgeti(L, row, 3) == LUA_TTABLE) {
    f->low = option(L, options, "above", f->low);
    f->above = f->low > -(double)INFINITY;
    if (!f->above) f->low = option(L, options, "min", f->low);
    f->high = option(L, options, "max", f->high);
    f->required = syl_raw_field(L, options, "required") != LUA_TNIL;
    if (syl_raw_field(L, options, "unit") == LUA_TSTRING) f->in = unit_of(L, units, lua_tostring(L, -1));
    read_words(L, options, f);
  }
  snprintf(f->sd_name, sizeof f->sd_name, "%s_sd", k->name[i]);
  f->ready = true;
  lua_settop(L, row - 1);
}

const syl_field *syl_ready_field(lua_State *L, int index, syl_kind *k, int i) {
  if (!k->field[i].ready) make_ready(L, index, k, i);
  return &k->field[i];
}

int syl_fields_kind(lua_State *L) {
  lua_settop(L, 4);
  for (int i = 1; i <= 4; i++) luaL_checktype(L, i, LUA_TTABLE);
  const int count = (int)lua_rawlen(L, 1);
  luaL_argcheck(L, count <= SYL_MOST_FIELDS, 1, "too many fields");
  syl_kind *k = lua_newuserdatauv(L, sizeof *k + (size_t)count * sizeof *k->field, 2);
  k->longest = option(L, 4, "length", 0);
  k->pieces = (lua_Integer)option(L, 4, "pieces", 0);
  k->text = (size_t)option(L, 4, "text", 0);
  k->texts = (size_t)option(L, 4, "texts", 0);
  k->mm = unit_of(L, 3, "mm");
  k->count = count;
  for (int i = 0; i < count; i++) {
    k->field[i].ready = k->field[i].always = false;
    luaL_argcheck(L, lua_rawgeti(L, 1, i + 1) == LUA_TTABLE, 1, "rows are tables");
    luaL_argcheck(L, lua_rawgeti(L, -1, 1) == LUA_TSTRING && lua_rawlen(L, -1) <= SYL_SHORT, 1,
                  "a row begins with a short name");
    k->name[i] = lua_tostring(L, -1);
    lua_pop(L, 2);
  }
  for (lua_Integer n = 1; lua_rawgeti(L, 2, n) != LUA_TNIL; n++) {
    const lua_Integer i = lua_tointeger(L, -1);
    luaL_argcheck(L, i >= 1 && i <= count, 2, "numbers of rows");
    k->field[i - 1].always = true;
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  lua_pushvalue(L, 1);
  lua_setiuservalue(L, -2, ROWS);
  lua_pushvalue(L, 3);
  lua_setiuservalue(L, -2, UNITS);
  lua_pushvalue(L, lua_upvalueindex(1));
  lua_setmetatable(L, -2);
  return 1;
}
