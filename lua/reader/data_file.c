#include "reader/data_file.h"

#include <lauxlib.h>

#include "reader/data_reader.h"
#include "reader/vocabulary_functions.h"

enum { LONGEST = 256 << 10 /* bytes: what such a text takes up stays below the sandbox's caps */ };

/* Push one value; false when what stands here is anything else. An operator behind it is found by who asked. */
static bool value(syl_data_reader *r) {
  syl_dimension any;
  switch (r->at.kind) {
  case SYL_NUMBER: return syl_data_product(r, &any);
  case SYL_TEXT: return syl_data_text(r, true);
  case SYL_NAME: return syl_data_named_value(r);
  case SYL_SIGN: return r->at.sign == '{' ? syl_data_table(r) : syl_data_product(r, &any);
  default: return false;
  }
}

/* `vehicle { ... }` and nothing else: pushes its item. */
static bool file(syl_data_reader *r) {
  lua_State *L = r->L;
  const int line = r->at.line;
  if (r->at.kind != SYL_NAME || !syl_data_reads(r, "vehicle")) return false;
  lua_pushliteral(L, "vehicle");
  lua_pushliteral(L, "");
  syl_data_advance(r);
  if (!syl_data_braces(r) || r->at.kind != SYL_END || r->lex.torn) return false;
  lua_rotate(L, -3, 1); /* the fields below kind and name */
  syl_data_push_item(r, line);
  lua_pushvalue(L, -4);
  lua_setfield(L, -2, "fields");
  lua_pushvalue(L, r->item);
  lua_setmetatable(L, -2);
  return true;
}

bool syl_read_data(lua_State *L, const char *bytes, size_t size, int sorts, int language) {
  const int top = lua_gettop(L);
  if (size > LONGEST) return false;
  luaL_checkstack(L, SYL_DATA_ROOM, NULL);
  syl_data_reader r = {.L = L,
                       .lex = {bytes, bytes, bytes + size, 1, false},
                       .made = top + 2,
                       .item = top + 3,
                       .shape = top + 4,
                       .uncertainty = top + 5,
                       .language = language,
                       .value = value};
  syl_data_take_words(&r, sorts);
  lua_createtable(L, 0, 2);
  lua_newtable(L);
  syl_push_marked(L, "item");
  syl_push_marked(L, "shape");
  syl_push_marked(L, "uncertainty");
  r.at = syl_next_token(&r.lex);
  if (!file(&r)) {
    lua_settop(L, top);
    return false;
  }
  lua_setfield(L, top + 1, "vehicle");
  lua_pushvalue(L, r.made);
  lua_setfield(L, top + 1, "made");
  lua_settop(L, top + 1);
  return true;
}
