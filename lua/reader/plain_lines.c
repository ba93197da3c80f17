#include "reader/plain_lines.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include <lauxlib.h>

#include "bind/open.h"
#include "numeric/uncertain.h"
#include "reader/fields_kind.h"
#include "reader/item.h"
#include "reader/vocabulary_functions.h"

#define PLAIN_LINES "steelyard.plain_lines"

/* user values: the names by row, the path of the group, the kind whose rows read them */
enum { NAMES = 1, PATH, KIND };

/* upvalues of l_take behind SYL_FILE_MARKS: the metatable of items, and the keys of an item */
enum { ITEM_MARK = SYL_FILE_MARKS + 1, KEY_KIND, KEY_NAME, KEY_FIELDS, KEY_LINE };

struct syl_plain_lines {
  lua_Integer count;
  const syl_field *basis;
  signed char otherwise; /* the basis of a line that states none; below 0: there is no such */
  syl_plain_line line[]; /* `count` of them; of those that were not taken the mass is NaN */
};

static syl_plain_lines *check(lua_State *L, int index) { return luaL_checkudata(L, index, PLAIN_LINES); }

const syl_plain_line *syl_check_plain_lines(lua_State *L, int index, lua_Integer row, lua_Integer count) {
  const syl_plain_lines *s = check(L, index);
  luaL_argcheck(L, row >= 1 && count >= 0 && count <= s->count - (row - 1), index, "has no such rows");
  for (lua_Integer i = 0; i < count; i++)
    luaL_argcheck(L, !isnan(s->line[row - 1 + i].mass), index, "has rows that were not taken");
  return &s->line[row - 1];
}

const char *syl_plain_basis(lua_State *L, int index, int basis) {
  const syl_plain_lines *s = check(L, index);
  return basis < 0 || s->basis == NULL || basis >= s->basis->words ? NULL : s->basis->word[basis];
}

void syl_push_plain_name(lua_State *L, int index, lua_Integer row) {
  lua_getiuservalue(L, index, NAMES);
  lua_rawgeti(L, -1, row);
  lua_remove(L, -2);
}

/* ---- reading --------------------------------------------------------------------------------------------------- */

static bool take_mass(lua_State *L, int value, const syl_field *f, syl_plain_line *out) {
  syl_file_number n;
  if (syl_read_file_number(L, value, &f->in, false, &n) != SYL_FINE || !syl_in_range(f, n.value))
    return false;
  out->mass = n.value;
  if (n.has_sd) out->mass_sd = n.sd;
  out->mass_limits = n.limits;
  return true;
}

/* {x, y, z} */
static bool take_place(lua_State *L, int value, const syl_kind *k, syl_plain_line *out) {
  const int top = lua_gettop(L);
  int count = 0;
  if (!syl_is_plain_table(L, value)) return false;
  lua_pushnil(L);
  for (; lua_next(L, value); lua_pop(L, 1), count++) {
    syl_file_number n;
    const lua_Integer i = lua_isinteger(L, top + 1) ? lua_tointeger(L, top + 1) - 1 : -1;
    if (i < 0 || i > 2 || syl_read_file_number(L, top + 2, &k->mm, false, &n) != SYL_FINE ||
        !(fabs(n.value) <= k->longest)) {
      lua_settop(L, top);
      return false;
    }
    out->at[i] = n.value;
    if (n.has_sd) out->at_sd[i] = n.sd;
    if (n.limits) out->at_limits |= (unsigned char)(1u << i);
  }
  return count == 3;
}

static bool take_basis(lua_State *L, int value, const syl_field *f, syl_plain_line *out) {
  if (lua_type(L, value) != LUA_TSTRING) return false;
  const char *word = lua_tostring(L, value);
  for (int i = 0; i < f->words; i++)
    if (word == f->word[i]) {
      out->basis = (signed char)i;
      return true;
    }
  return false;
}

/* The field `i` of the kind at `kind`, its value at `value`. within: takes the limits of all coordinates, mm. */
static bool take_field(lua_State *L, int kind, syl_kind *k, int i, int value, syl_plain_line *out,
                       double *within) {
  const syl_field *f = syl_ready_field(L, kind, k, i);
  if (f->reads == SYL_MASS) return take_mass(L, value, f, out);
  if (f->reads == SYL_POINT && strcmp(k->name[i], "at") == 0) return take_place(L, value, k, out);
  if (f->reads == SYL_WITHIN && strcmp(k->name[i], "within_mm") == 0)
    return syl_read_plain(L, value, &f->in, within) == SYL_FINE && syl_in_range(f, *within);
  if (f->reads == SYL_CHOICE && strcmp(k->name[i], "basis") == 0) return take_basis(L, value, f, out);
  return false;
}

/* Limits for all coordinates, none of which may have an uncertainty of its own. */
static bool spread_limits(double within, syl_plain_line *out) {
  for (int i = 0; i < 3; i++) {
    if (out->at_sd[i] >= 0) return false;
    out->at_sd[i] = sy_uncertain_limits(within);
  }
  out->at_limits = 7;
  return true;
}

/* The fields at `fields`: true when there are no others than these four, each as it should be, and all that are asked for. */
static bool take_fields(lua_State *L, int kind, syl_kind *k, int fields, const syl_plain_lines *s,
                        syl_plain_line *out) {
  const int top = lua_gettop(L);
  double within = -1;
  bool seen[SYL_MOST_FIELDS] = {false};
  lua_pushnil(L);
  for (; lua_next(L, fields); lua_settop(L, top + 1)) {
    const char *name = lua_type(L, top + 1) == LUA_TSTRING ? lua_tostring(L, top + 1) : NULL;
    int i = 0;
    while (i < k->count && k->name[i] != name) i++;
    if (i == k->count || !take_field(L, kind, k, i, top + 2, out, &within)) {
      lua_settop(L, top);
      return false;
    }
    seen[i] = true;
  }
  for (int i = 0; i < k->count; i++) {
    if (!k->field[i].always || seen[i]) continue;
    if (&k->field[i] != s->basis || s->otherwise < 0) return false;
    out->basis = s->otherwise;
  }
  return within < 0 || spread_limits(within, out);
}

static bool is_new(lua_State *L, int table, int key) {
  lua_pushvalue(L, key);
  const bool fresh = lua_rawget(L, table) == LUA_TNIL;
  lua_pop(L, 1);
  return fresh;
}

static void push_of_item(lua_State *L, int item, int key) {
  lua_pushvalue(L, lua_upvalueindex(key));
  lua_rawget(L, item);
}

enum { LINES = 1, FROM, FIRST, MOST, SIBLINGS, REACHED, ITEMS, BEFORE, LONGEST, NAME_LIST, KIND_AT, VALUE };
enum { ITEM_KIND = VALUE + 1, NAME, FIELDS, LINE };

/* Is the value at VALUE an item that is a plain part? Pushes its kind, name, fields and line. */
static bool take_item(lua_State *L, syl_kind *k, size_t longest, const syl_plain_lines *s,
                      syl_plain_line *out) {
  if (lua_type(L, VALUE) != LUA_TTABLE || !lua_getmetatable(L, VALUE)) return false;
  const bool item = lua_rawequal(L, -1, lua_upvalueindex(ITEM_MARK));
  lua_pop(L, 1);
  if (!item) return false;
  push_of_item(L, VALUE, KEY_KIND);
  push_of_item(L, VALUE, KEY_NAME);
  push_of_item(L, VALUE, KEY_FIELDS);
  push_of_item(L, VALUE, KEY_LINE);
  if (lua_type(L, ITEM_KIND) != LUA_TSTRING || strcmp(lua_tostring(L, ITEM_KIND), "part") != 0) return false;
  if (!syl_is_name(L, NAME, longest) || !syl_is_plain_table(L, FIELDS) || !lua_isinteger(L, LINE))
    return false;
  const lua_Integer line = lua_tointeger(L, LINE);
  if (line < 0 || line > INT_MAX || !is_new(L, REACHED, VALUE) || !is_new(L, SIBLINGS, NAME)) return false;
  *out = (syl_plain_line){.mass_sd = -1, .at_sd = {-1, -1, -1}, .line = (int)line, .basis = -1};
  return take_fields(L, KIND_AT, k, FIELDS, s, out);
}

/* lines:take(list, first, most, siblings, reached, items, before, longest) -> how many entries of the list from `first` on were plain
** parts, at most `most`: they are rows of the same numbers now.
**   siblings  {[name] = line}: takes the names    reached  {[value] = true}: takes the values    items  takes them behind the first `before`
**   longest   bytes of a name */
static int l_take(lua_State *L) {
  lua_settop(L, LONGEST);
  syl_plain_lines *s = check(L, LINES);
  luaL_checktype(L, FROM, LUA_TTABLE);
  for (int i = SIBLINGS; i <= ITEMS; i++) luaL_checktype(L, i, LUA_TTABLE);
  const lua_Integer first = luaL_checkinteger(L, FIRST), before = luaL_checkinteger(L, BEFORE),
                    longest = luaL_checkinteger(L, LONGEST);
  luaL_argcheck(L, first >= 1 && first <= s->count, FIRST, "is not a row");
  const lua_Integer rest = s->count - (first - 1), asked = luaL_checkinteger(L, MOST);
  const lua_Integer most = asked < rest ? asked : rest;
  lua_getiuservalue(L, LINES, NAMES);
  lua_getiuservalue(L, LINES, KIND);
  syl_kind *k = lua_touserdata(L, KIND_AT);
  lua_Integer i = 0;
  for (; i < most && longest > 0; i++) {
    syl_plain_line line;
    lua_settop(L, KIND_AT);
    lua_rawgeti(L, FROM, first + i);
    if (!take_item(L, k, (size_t)longest, s, &line)) break;
    lua_pushvalue(L, VALUE);
    lua_pushboolean(L, 1);
    lua_rawset(L, REACHED);
    lua_pushvalue(L, VALUE);
    lua_rawseti(L, ITEMS, before + i + 1);
    lua_pushvalue(L, NAME);
    lua_rawseti(L, NAME_LIST, first + i);
    lua_settop(L, LINE);
    lua_pushvalue(L, NAME);
    lua_insert(L, LINE);
    lua_rawset(L, SIBLINGS);
    s->line[first + i - 1] = line;
  }
  lua_pushinteger(L, i);
  return 1;
}

/* ---- nodes ----------------------------------------------------------------------------------------------------- */

static void put_three(lua_State *L, const char *key, const double v[3]) {
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    if (v[i] < 0) continue;
    lua_pushnumber(L, v[i]);
    lua_rawseti(L, -2, i + 1);
  }
  lua_setfield(L, -2, key);
}

static void put_place(lua_State *L, const syl_plain_line *p) {
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    lua_pushnumber(L, p->at[i]);
    lua_rawseti(L, -2, i + 1);
  }
  lua_setfield(L, -2, "at");
  if (p->at_sd[0] >= 0 || p->at_sd[1] >= 0 || p->at_sd[2] >= 0) put_three(L, "at_sd", p->at_sd);
  if (p->at_limits == 0) return;
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    if ((p->at_limits >> i & 1) == 0) continue;
    lua_pushboolean(L, 1);
    lua_rawseti(L, -2, i + 1);
  }
  lua_setfield(L, -2, "at_limits");
}

static void put_mass(lua_State *L, const syl_plain_line *p) {
  lua_pushnumber(L, p->mass);
  lua_setfield(L, -2, "mass");
  if (p->mass_sd >= 0) {
    lua_pushnumber(L, p->mass_sd);
    lua_setfield(L, -2, "mass_sd");
  }
  if (p->mass_limits) {
    lua_pushboolean(L, 1);
    lua_setfield(L, -2, "mass_limits");
  }
}

static void push_path(lua_State *L, lua_Integer row) {
  size_t length;
  lua_getiuservalue(L, 1, PATH);
  (void)lua_tolstring(L, -1, &length);
  if (length == 0) {
    lua_pop(L, 1);
    syl_push_plain_name(L, 1, row);
    return;
  }
  lua_pushliteral(L, "/");
  syl_push_plain_name(L, 1, row);
  lua_concat(L, 3);
}

/* lines[row] -> its node, a new one; lines.method */
static int l_index(lua_State *L) {
  if (!lua_isinteger(L, 2)) {
    lua_pushvalue(L, 2);
    lua_rawget(L, lua_upvalueindex(1));
    return 1;
  }
  const lua_Integer row = lua_tointeger(L, 2);
  const syl_plain_line *p = syl_check_plain_lines(L, 1, row, 1);
  lua_createtable(L, 0, 8);
  lua_pushliteral(L, "part");
  lua_setfield(L, -2, "kind");
  syl_push_plain_name(L, 1, row);
  lua_setfield(L, -2, "name");
  lua_pushinteger(L, p->line);
  lua_setfield(L, -2, "line");
  push_path(L, row);
  lua_setfield(L, -2, "path");
  put_mass(L, p);
  put_place(L, p);
  lua_pushstring(L, syl_plain_basis(L, 1, p->basis));
  lua_setfield(L, -2, "basis");
  return 1;
}

/* lines:called(name, row, count) -> list of those of these rows that have that name, counted from 1; nil without any */
static int l_called(lua_State *L) {
  luaL_checkstring(L, 2);
  const lua_Integer row = luaL_checkinteger(L, 3), count = luaL_checkinteger(L, 4);
  lua_Integer found = 0;
  (void)syl_check_plain_lines(L, 1, row, count);
  lua_getiuservalue(L, 1, NAMES);
  const int names = lua_gettop(L);
  lua_pushnil(L); /* the list */
  for (lua_Integer i = 0; i < count; i++) {
    lua_rawgeti(L, names, row + i);
    const bool same = lua_rawequal(L, -1, 2);
    lua_pop(L, 1);
    if (!same) continue;
    if (found == 0) {
      lua_createtable(L, 1, 0);
      lua_replace(L, names + 1);
    }
    lua_pushinteger(L, i + 1);
    lua_rawseti(L, names + 1, ++found);
  }
  return 1;
}

/* The word that row `i` of the kind at `kind` has as its default, as a number; below 0: none. */
static signed char default_word(lua_State *L, int kind, int i, const syl_field *f) {
  const int top = lua_gettop(L);
  signed char found = -1;
  syl_push_row(L, kind, i);
  if (lua_rawgeti(L, top + 1, 3) == LUA_TTABLE && syl_raw_field(L, top + 2, "default") == LUA_TSTRING)
    for (int w = 0; w < f->words; w++)
      if (f->word[w] == lua_tostring(L, -1)) found = (signed char)w;
  lua_settop(L, top);
  return found;
}

/* core.plain_lines(count, kind, path) -> lines. kind: of core.fields_kind, that of parts; path: of the group they lie in */
static int l_plain_lines(lua_State *L) {
  const lua_Integer count = luaL_checkinteger(L, 1);
  luaL_argcheck(L, count >= 0 && count <= INT_MAX, 1, "is not a count");
  lua_settop(L, 3);
  syl_push_kind_mark(L);
  syl_kind *k = syl_kind_at(L, 2, 4);
  luaL_argcheck(L, k != NULL, 2, "a kind of core.fields_kind");
  luaL_checkstring(L, 3);
  syl_plain_lines *s = lua_newuserdatauv(L, sizeof *s + (size_t)count * sizeof *s->line, 3);
  s->count = count, s->basis = NULL, s->otherwise = -1;
  for (lua_Integer i = 0; i < count; i++) s->line[i].mass = (double)NAN;
  for (int i = 0; i < k->count; i++)
    if (strcmp(k->name[i], "basis") == 0) {
      s->basis = syl_ready_field(L, 2, k, i);
      s->otherwise = default_word(L, 2, i, s->basis);
    }
  luaL_setmetatable(L, PLAIN_LINES);
  lua_createtable(L, (int)count, 0);
  lua_setiuservalue(L, -2, NAMES);
  lua_pushvalue(L, 3);
  lua_setiuservalue(L, -2, PATH);
  lua_pushvalue(L, 2);
  lua_setiuservalue(L, -2, KIND);
  return 1;
}

void syl_open_plain_lines(lua_State *L) {
  static const char *const keys[] = {"kind", "name", "fields", "line"};
  luaL_newmetatable(L, PLAIN_LINES);
  lua_newtable(L); /* methods */
  syl_push_marks(L);
  syl_push_marked(L, "item");
  for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) lua_pushstring(L, keys[i]);
  lua_pushcclosure(L, l_take, KEY_LINE);
  lua_setfield(L, -2, "take");
  lua_pushcfunction(L, l_called);
  lua_setfield(L, -2, "called");
  lua_pushcclosure(L, l_index, 1);
  lua_setfield(L, -2, "__index");
  lua_pop(L, 1);
  lua_pushcfunction(L, l_plain_lines);
  lua_setfield(L, -2, "plain_lines");
}
