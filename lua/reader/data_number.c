/* data_number.c - numbers and amounts: products of numbers and units. */
#include "reader/data_reader.h"
#include "reader/vocabulary_functions.h"

enum { LONGEST_NUMBER = 64 /* bytes */ };

static bool number(syl_data_reader *r) {
  char digits[LONGEST_NUMBER];
  const bool negative = syl_data_take_sign(r, '-');
  const size_t length = (size_t)r->at.text.length;
  if (r->at.kind != SYL_NUMBER || length >= sizeof digits) return false;
  memcpy(digits, r->lex.text + r->at.text.start, length);
  digits[length] = '\0';
  if (lua_stringtonumber(r->L, digits) != length + 1)
    return false; /* nothing is pushed for what is not a number */
  if (negative) lua_arith(r->L, LUA_OPUNM);
  syl_data_advance(r);
  return true;
}

/* "M", "L3": those of single units */
static bool note_dimension(const char *dims, syl_dimension *of) {
  static const char letters[] = "MLFA";
  const char *letter = dims[0] != '\0' ? strchr(letters, dims[0]) : NULL;
  const bool cubed = dims[0] != '\0' && strcmp(dims + 1, "3") == 0;
  if (letter == NULL || (dims[1] != '\0' && !cubed)) return false;
  of->exponent[letter - letters] = cubed ? 3 : 1;
  return true;
}

/* A unit word at hand: pushes its size in the base units and notes its dimension. */
static bool unit(syl_data_reader *r, syl_dimension *of) {
  lua_State *L = r->L;
  const int top = lua_gettop(L);
  *of = (syl_dimension){.is_amount = true};
  if (r->at.kind != SYL_NAME || lua_getfield(L, r->language, "units") != LUA_TTABLE) {
    lua_settop(L, top);
    return false;
  }
  for (lua_Integer i = 1; lua_rawgeti(L, top + 1, i) == LUA_TTABLE; i++) {
    if (lua_rawgeti(L, top + 2, 1) == LUA_TSTRING && syl_data_reads(r, lua_tostring(L, -1)) &&
        lua_rawgeti(L, top + 2, 2) == LUA_TSTRING && lua_rawgeti(L, top + 2, 3) == LUA_TNUMBER &&
        note_dimension(lua_tostring(L, -2), of)) {
      lua_replace(L, top + 1);
      lua_settop(L, top + 1);
      syl_data_advance(r);
      return true;
    }
    lua_settop(L, top + 1);
  }
  lua_settop(L, top);
  return false;
}

/* "ML-3": the name of a dimension, as in file/vocabulary.lua */
static void push_dims(lua_State *L, const syl_dimension *of) {
  static const char *const bases[] = {"M", "L", "F", "A"};
  lua_pushliteral(L, "");
  for (int i = 0; i < 4; i++) {
    if (of->exponent[i] == 0) continue;
    if (of->exponent[i] == 1)
      lua_pushstring(L, bases[i]);
    else
      lua_pushfstring(L, "%s%d", bases[i], of->exponent[i]);
    lua_concat(L, 2);
  }
}

/* Value and factor on top of the stack become an amount. */
static void make_amount(lua_State *L, const syl_dimension *of) {
  const int value = lua_gettop(L) - 1;
  lua_createtable(L, 0, 4);
  lua_createtable(L, 4, 0);
  for (int i = 0; i < 4; i++) {
    lua_pushinteger(L, of->exponent[i]);
    lua_rawseti(L, -2, i + 1);
  }
  lua_setfield(L, -2, "exponents");
  push_dims(L, of);
  lua_setfield(L, -2, "dims");
  lua_insert(L, value);
  lua_setfield(L, value, "factor");
  lua_setfield(L, value, "value");
  syl_push_marked(L, "amount");
  lua_setmetatable(L, value);
}

/* Behind a value and its factor: `* 2`, `/ 0.745`, `* kg`. The factor of what has no unit is the whole number 1, as there. */
static bool times(syl_data_reader *r, syl_dimension *of) {
  lua_State *L = r->L;
  const bool over = syl_data_is_sign(r, '/');
  syl_data_advance(r);
  syl_dimension by = {.is_amount = false};
  if (r->at.kind == SYL_NAME) {
    if (!unit(r, &by)) return false;
    lua_pushinteger(L, 1);
    lua_insert(L, -2);
  } else {
    if (!number(r)) return false;
    lua_pushinteger(L, 1);
  } /* value, factor, value, factor */
  const int operation = over ? LUA_OPDIV : LUA_OPMUL;
  lua_pushvalue(L, -4);
  lua_pushvalue(L, -3);
  lua_arith(L, operation);
  lua_replace(L, -5); /* new value, factor, value, factor */
  lua_remove(L, -2);
  lua_arith(L, operation);
  for (int i = 0; i < 4; i++) of->exponent[i] += over ? -by.exponent[i] : by.exponent[i];
  of->is_amount = of->is_amount || by.is_amount;
  return true;
}

bool syl_data_product(syl_data_reader *r, syl_dimension *of) {
  *of = (syl_dimension){.is_amount = false};
  if (!number(r)) return false;
  if (!syl_data_is_sign(r, '*') && !syl_data_is_sign(r, '/')) return true;
  lua_pushinteger(r->L, 1);
  while (syl_data_is_sign(r, '*') || syl_data_is_sign(r, '/'))
    if (!times(r, of)) return false;
  if (of->is_amount)
    make_amount(r->L, of);
  else
    lua_pop(r->L, 1);
  return true;
}
