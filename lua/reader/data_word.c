/* data_word.c - words, and what they make: items, shapes, uncertainties, the unknown mass. */
#include <lauxlib.h>
#include <math.h>

#include "numeric/uncertain.h"
#include "reader/data_reader.h"
#include "reader/vocabulary_functions.h"

static void put_line(lua_State *L, int line) {
  lua_pushinteger(L, line);
  lua_setfield(L, -2, "line");
}

void syl_data_push_item(syl_data_reader *r, int line) {
  lua_State *L = r->L;
  lua_createtable(L, 0, 5);
  lua_pushvalue(L, -3);
  lua_setfield(L, -2, "kind");
  lua_pushvalue(L, -2);
  lua_setfield(L, -2, "name");
  put_line(L, line);
  lua_pushboolean(L, 0);
  lua_setfield(L, -2, "file"); /* only a script's items have one */
  lua_pushboolean(L, 0);
  lua_setfield(L, -2, "fields");
  lua_pushvalue(L, -1);
  lua_rawseti(L, r->made, ++r->items);
}

/* `part "x" { ... }`, the word used up and pushed */
static bool item(syl_data_reader *r, int line) {
  lua_State *L = r->L;
  const bool bracket = syl_data_take_sign(r, '(');
  if (!syl_data_text(r, true) || (bracket && !syl_data_take_sign(r, ')'))) return false;
  syl_data_push_item(r, line);
  if (syl_data_is_sign(r, '{') || syl_data_is_sign(r, '(')) {
    if (!syl_data_braces(r)) return false;
    lua_setfield(L, -2, "fields");
  }
  lua_pushvalue(L, r->item);
  lua_setmetatable(L, -2);
  lua_replace(L, -3); /* kind and name go */
  lua_pop(L, 1);
  return true;
}

/* `box { ... }`, the word used up and pushed */
static bool shape(syl_data_reader *r, int line) {
  lua_State *L = r->L;
  if (!syl_data_braces(r)) return false;
  lua_createtable(L, 0, 3);
  lua_insert(L, -2);
  lua_setfield(L, -2, "fields");
  lua_insert(L, -2);
  lua_setfield(L, -2, "shape");
  put_line(L, line);
  lua_pushvalue(L, r->shape);
  lua_setmetatable(L, -2);
  return true;
}

/* The number or amount on top of the stack, if it is one of 0 or more; as a standard uncertainty when it is a limit. */
static bool limits_to_sd(lua_State *L, bool limits, bool is_amount) {
  if (is_amount) lua_getfield(L, -1, "value");
  const double u = lua_tonumber(L, -1);
  if (!(u >= 0 && u < (double)INFINITY)) return false;
  if (limits) lua_pushnumber(L, sy_uncertain_limits(u));
  if (limits && is_amount) lua_setfield(L, -3, "value");
  if (limits && is_amount) { /* divided by a plain number, as the sandbox does it */
    lua_getfield(L, -2, "factor");
    lua_pushnumber(L, lua_tonumber(L, -1));
    lua_setfield(L, -4, "factor");
    lua_pop(L, 1);
  }
  if (is_amount)
    lua_pop(L, 1);
  else if (limits)
    lua_remove(L, -2);
  return true;
}

/* `sd(value, u)` or `within(value, limit)`, the word used up */
static bool uncertainty(syl_data_reader *r, bool limits) {
  lua_State *L = r->L;
  syl_dimension of, also;
  lua_createtable(L, 0, limits ? 3 : 2);
  if (!syl_data_take_sign(r, '(') || !syl_data_product(r, &of)) return false;
  lua_setfield(L, -2, "value");
  if (!syl_data_take_sign(r, ',') || !syl_data_product(r, &also) || !syl_data_take_sign(r, ')')) return false;
  if (of.is_amount != also.is_amount || memcmp(of.exponent, also.exponent, sizeof of.exponent) != 0)
    return false;
  if (!limits_to_sd(L, limits, of.is_amount)) return false;
  lua_setfield(L, -2, "sd");
  if (limits) {
    lua_pushboolean(L, 1);
    lua_setfield(L, -2, "limits");
  }
  lua_pushvalue(L, r->uncertainty);
  lua_setmetatable(L, -2);
  return true;
}

static syl_data_sort sort_called(const char *name) {
  static const struct {
    const char *name;
    syl_data_sort is;
  } sorts[] = {{"item", SYL_DATA_ITEM},
               {"shape", SYL_DATA_SHAPE},
               {"sd", SYL_DATA_SD},
               {"within", SYL_DATA_WITHIN},
               {"unknown", SYL_DATA_UNKNOWN}};
  for (size_t i = 0; i < sizeof sorts / sizeof *sorts; i++)
    if (strcmp(name, sorts[i].name) == 0) return sorts[i].is;
  return SYL_DATA_NONE;
}

void syl_data_take_words(syl_data_reader *r, int sorts) {
  lua_State *L = r->L;
  lua_pushnil(L);
  while (lua_next(L, sorts)) {
    if (lua_type(L, -2) == LUA_TSTRING && lua_type(L, -1) == LUA_TSTRING && r->words < SYL_DATA_WORDS) {
      const syl_data_sort is = sort_called(lua_tostring(L, -1));
      if (is != SYL_DATA_NONE) r->word[r->words++] = (syl_data_word){lua_tostring(L, -2), is};
    }
    lua_pop(L, 1);
  }
}

static syl_data_sort sort_of(const syl_data_reader *r) {
  for (int i = 0; i < r->words; i++)
    if (syl_data_reads(r, r->word[i].name)) return r->word[i].is;
  return SYL_DATA_NONE;
}

bool syl_data_named_value(syl_data_reader *r) {
  lua_State *L = r->L;
  const int line = r->at.line;
  if (syl_data_reads(r, "true") || syl_data_reads(r, "false")) {
    lua_pushboolean(L, syl_data_reads(r, "true"));
    syl_data_advance(r);
    return true;
  }
  const syl_data_sort is = sort_of(r);
  if (is == SYL_DATA_ITEM || is == SYL_DATA_SHAPE)
    lua_pushlstring(L, r->lex.text + r->at.text.start, (size_t)r->at.text.length);
  syl_data_advance(r);
  if (is == SYL_DATA_ITEM) return item(r, line);
  if (is == SYL_DATA_SHAPE) return shape(r, line);
  if (is == SYL_DATA_SD || is == SYL_DATA_WITHIN) return uncertainty(r, is == SYL_DATA_WITHIN);
  if (is != SYL_DATA_UNKNOWN) return false;
  lua_createtable(L, 0, 0);
  syl_push_marked(L, "unknown");
  lua_setmetatable(L, -2);
  return true;
}
