#include "bind/answers/answers.h"

#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "answers/balance_answers.h"
#include "answers/sets.h"
#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/mass/pairing.h"
#include "bind/numbers.h"
#include "bind/open.h"

/* ---- names ------------------------------------------------------------------------------------------------------------------- */

/* How an answer is shown: `asked` holds what it is multiplied by. */
typedef struct shown {
  sy_asked asked;
  double offset;
} shown;

/* The rest of a name behind its prefix, or NULL. */
static const char *behind(const char *name, const char *prefix) {
  const size_t n = strlen(prefix);
  return strncmp(name, prefix, n) == 0 ? name + n : NULL;
}

static bool is_letter(char c) { return c >= 'x' && c <= 'z'; }

/* Names along the file's axes ("cg.x", "inertia.xz") as the library's: the same with other letters, perhaps of the other sign. */
static bool find_in_axes(const syl_geometry *g, const sy_answer_set *set, const char *name, shown *out) {
  static const char *const places[] = {"cg.", "sprung.cg.", "unsprung.cg."};
  char other[SY_ANSWER_NAME];
  for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
    const char *letter = behind(name, places[i]);
    if (letter == NULL || !is_letter(letter[0]) || letter[1] != 0) continue;
    const syl_along along = syl_file_axis(&g->axes, letter[0] - 'x');
    memcpy(other, name, strlen(name) + 1);
    other[letter - name] = (char)('x' + along.axis);
    if (!sy_answer_find(set, &g->vehicle, other, &out->asked)) return false;
    out->asked.scale = along.sign * 1e3;
    out->offset = along.origin * 1e3;
    return true;
  }
  const char *pair = behind(name, "inertia.");
  if (pair == NULL || !is_letter(pair[0]) || !is_letter(pair[1]) || pair[2] != 0) return false;
  const syl_along first = syl_file_axis(&g->axes, pair[0] - 'x'),
                  second = syl_file_axis(&g->axes, pair[1] - 'x');
  const int low = first.axis < second.axis ? first.axis : second.axis, high = first.axis + second.axis - low;
  memcpy(other, name, strlen(name) + 1);
  other[pair - name] = (char)('x' + low);
  other[pair - name + 1] = (char)('x' + high);
  if (!sy_answer_find(set, &g->vehicle, other, &out->asked)) return false;
  out->asked.scale = first.sign * second.sign;
  return true;
}

/* Number of the axle of that name, -1 when there is none. */
static int axle_by_name(lua_State *L, int geometry, const char *name) {
  const int count = syl_check_geometry(L, geometry)->vehicle.axle_count;
  int found = -1;
  lua_getiuservalue(L, geometry, SYL_AXLE_NAMES);
  for (int i = 0; i < count && found < 0; i++) {
    lua_geti(L, -1, i + 1);
    const char *axle = lua_tostring(L, -1);
    if (axle != NULL && strcmp(axle, name) == 0) found = i;
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  return found;
}

/* Axles go by the file's names. */
static bool find_of_axle(lua_State *L, int geometry, const sy_answer_set *set, const char *name, shown *out) {
  static const char *const prefix[] = {"axle.", "unsprung.axle."};
  for (int i = 0; i < 2; i++) {
    const char *axle = behind(name, prefix[i]);
    const int number = axle != NULL ? axle_by_name(L, geometry, axle) : -1;
    if (number < 0) continue;
    char other[SY_ANSWER_NAME];
    const size_t length = strlen(prefix[i]);
    memcpy(other, prefix[i], length);
    other[length] = (char)('1' + number), other[length + 1] = 0;
    return sy_answer_find(set, &syl_check_geometry(L, geometry)->vehicle, other, &out->asked);
  }
  return false;
}

/* The answer of the set that a quantity's name means in a file ("cg.x", "front_share", "axle.rear", "lf"). */
static bool find(lua_State *L, int geometry, const sy_answer_set *set, const char *name, shown *out) {
  const syl_geometry *g = syl_check_geometry(L, geometry);
  *out = (shown){{0, 0, 1}, 0};
  if (set == sy_balance_answers()) {
    if (find_in_axes(g, set, name, out)) return true;
    if (behind(name, "axle.") != NULL || behind(name, "unsprung.axle.") != NULL) {
      if (!find_of_axle(L, geometry, set, name, out)) return false;
      out->asked.scale = syl_in_workshop_units(set->row[out->asked.row].unit);
      return true;
    }
  }
  if (!sy_answer_find(set, &g->vehicle, name, &out->asked)) return false;
  out->asked.scale = syl_in_workshop_units(set->row[out->asked.row].unit);
  return true;
}

bool syl_find_answer(lua_State *L, int geometry, const sy_answer_set *set, const char *name, sy_asked *asked,
                     double *offset) {
  shown s;
  if (!find(L, geometry, set, name, &s)) return false;
  *asked = s.asked;
  *offset = s.offset;
  return true;
}

/* A list of names that was looked up once. */
typedef struct names {
  const sy_answer_set *set;
  int count;
  sy_asked asked[SY_MOST_ASKED];
  double offset[SY_MOST_ASKED];
} names;

#define NAMES "steelyard.names"
enum { NAMES_GEOMETRY = 1 }; /* its user value */

static int read_names(lua_State *L, int index, int geometry, const sy_answer_set *set, sy_asked *asked,
                      double *offset) {
  luaL_checktype(L, index, LUA_TTABLE);
  const lua_Integer count = syl_length(L, index);
  luaL_argcheck(L, count <= SY_MOST_ASKED, index, "too many names");
  for (lua_Integer i = 0; i < count; i++) {
    shown s;
    lua_geti(L, index, i + 1);
    const char *name = luaL_checkstring(L, -1);
    if (!find(L, geometry, set, name, &s)) return luaL_error(L, "no answer is called '%s'", name);
    asked[i] = s.asked;
    if (offset != NULL) offset[i] = s.offset;
    lua_pop(L, 1);
  }
  return (int)count;
}

/* The list of names at `index`, or core.names of it, as answers of the set; unknown names raise. */
static int check_names(lua_State *L, int index, int geometry, const sy_answer_set *set, sy_asked *asked,
                       double *offset) {
  if (lua_type(L, index) != LUA_TUSERDATA) return read_names(L, index, geometry, set, asked, offset);
  const names *n = luaL_checkudata(L, index, NAMES);
  lua_getiuservalue(L, index, NAMES_GEOMETRY);
  luaL_argcheck(L, n->set == set && lua_rawequal(L, -1, geometry), index, "were looked up for another car");
  lua_pop(L, 1);
  memcpy(asked, n->asked, (size_t)n->count * sizeof *asked);
  if (offset != NULL) memcpy(offset, n->offset, (size_t)n->count * sizeof *offset);
  return n->count;
}

static const sy_answer_set *check_set(lua_State *L, int index) {
  const sy_answer_set *set = sy_answer_set_find(luaL_checkstring(L, index));
  luaL_argcheck(L, set != NULL, index, "is not a set of answers");
  return set;
}

/* core.names(set, geometry, names) -> what core.ask and core.change take in place of the list, for cars of that geometry */
static int l_names(lua_State *L) {
  const sy_answer_set *set = check_set(L, 1);
  syl_check_geometry(L, 2);
  lua_settop(L, 3);
  names *n = lua_newuserdatauv(L, sizeof *n, NAMES_GEOMETRY);
  n->set = set;
  n->count = read_names(L, 3, 2, set, n->asked, n->offset);
  lua_pushvalue(L, 2);
  lua_setiuservalue(L, -2, NAMES_GEOMETRY);
  luaL_setmetatable(L, NAMES);
  return 1;
}

static void push_list(lua_State *L, const double *numbers, int count) {
  lua_createtable(L, count, 0);
  for (int i = 0; i < count; i++) {
    lua_pushnumber(L, numbers[i]);
    lua_rawseti(L, -2, i + 1);
  }
}

/* ---- asking ------------------------------------------------------------------------------------------------------------------ */

static void push_by_name(lua_State *L, const sy_answer_set *set, const sy_vehicle *v, const sy_asked *asked,
                         const double *numbers, int count) {
  lua_createtable(L, 0, count);
  for (int i = 0; i < count; i++) {
    char name[SY_ANSWER_NAME];
    sy_answer_name(set, v, asked[i], name);
    syl_set_number(L, name, numbers[i]);
  }
}

/* All answers of the set, along the library's axes. */
static int ask_all(lua_State *L, const sy_answer_set *set, const syl_asked *a, bool with_sd) {
  const int count = sy_answer_count(set, &a->g->vehicle);
  sy_asked asked[SY_MOST_ASKED];
  double value[SY_MOST_ASKED], sd[SY_MOST_ASKED] = {0};
  sy_error err;
  for (int i = 0; i < count && i < SY_MOST_ASKED; i++) {
    asked[i] = sy_answer_nth(set, &a->g->vehicle, i);
    asked[i].scale = syl_in_workshop_units(set->row[asked[i].row].unit);
  }
  if (sy_answers_ask(set, &a->car, asked, count, value, with_sd ? sd : NULL, &err) != SY_OK)
    return syl_raise(L, &err);
  push_by_name(L, set, &a->g->vehicle, asked, value, count);
  if (with_sd) push_by_name(L, set, &a->g->vehicle, asked, sd, count);
  return with_sd ? 2 : 1;
}

/* core.ask(set, asked, names?, sd?) -> values, and with `sd` their standard uncertainties: lists in workshop units and the file's axes, NaN
** where an answer has no meaning; without names tables by name of all that have one. asked: see asked.h */
static int l_ask(lua_State *L) {
  const sy_answer_set *set = check_set(L, 1);
  const bool with_sd = lua_toboolean(L, 4);
  syl_asked a;
  sy_asked asked[SY_MOST_ASKED];
  double value[SY_MOST_ASKED], sd[SY_MOST_ASKED] = {0}, offset[SY_MOST_ASKED];
  sy_error err;
  syl_read_asked(L, 2, &a);
  if (lua_isnoneornil(L, 3)) return ask_all(L, set, &a, with_sd);
  const int count = check_names(L, 3, syl_push_geometry_of(L, 2), set, asked, offset);
  if (sy_answers_ask(set, &a.car, asked, count, value, with_sd ? sd : NULL, &err) != SY_OK)
    return syl_raise(L, &err);
  for (int i = 0; i < count; i++) value[i] += offset[i];
  push_list(L, value, count);
  if (!with_sd) return 1;
  push_list(L, sd, count);
  return 2;
}

/* core.covariance(set, asked, names) -> covariances of the answers, a list of rows in the units that core.ask gives */
static int l_covariance(lua_State *L) {
  const sy_answer_set *set = check_set(L, 1);
  syl_asked a;
  sy_asked asked[SY_MOST_ASKED];
  sy_error err;
  syl_read_asked(L, 2, &a);
  const int count = check_names(L, 3, syl_push_geometry_of(L, 2), set, asked, NULL);
  double *all = lua_newuserdatauv(L, ((size_t)count * (size_t)count + 1) * sizeof *all, 0);
  if (sy_answers_covariance(set, &a.car, asked, count, all, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, count, 0);
  for (int i = 0; i < count; i++) {
    push_list(L, all + i * count, count);
    lua_rawseti(L, -2, i + 1);
  }
  return 1;
}

/* core.covariance_between(asked, set, names, other set, its names) -> covariances of the former with the latter, a list of rows */
static int l_covariance_between(lua_State *L) {
  syl_asked a;
  sy_asked asked[2][SY_MOST_ASKED];
  sy_question q[2];
  sy_error err;
  lua_settop(L, 5);
  syl_read_asked(L, 1, &a);
  for (int k = 0; k < 2; k++) {
    q[k].set = check_set(L, 2 + 2 * k), q[k].asked = asked[k];
    q[k].count = check_names(L, 3 + 2 * k, syl_push_geometry_of(L, 1), q[k].set, asked[k], NULL);
  }
  double *all = lua_newuserdatauv(L, ((size_t)q[0].count * (size_t)q[1].count + 1) * sizeof *all, 0);
  if (sy_answers_between(&a.car, q[0], q[1], all, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, q[0].count, 0);
  for (int i = 0; i < q[0].count; i++) {
    push_list(L, all + i * q[1].count, q[1].count);
    lua_rawseti(L, -2, i + 1);
  }
  return 1;
}

/* core.change(set, from, to, names, pairing?, names_to?, values?) -> standard uncertainties of `to` less `from`, a list as above, and with
** `values` those of `to`, as core.ask gives them; names_to: the same names, looked up for the geometry of `to` */
static int l_change(lua_State *L) {
  lua_settop(L, 7);
  const bool with_values = lua_toboolean(L, 7);
  const int names_to = lua_isnil(L, 6) ? 4 : 6;
  const sy_answer_set *set = check_set(L, 1);
  const sy_pairing *pairing = syl_opt_pairing(L, 5);
  syl_asked from, to;
  sy_asked asked_from[SY_MOST_ASKED], asked_to[SY_MOST_ASKED];
  double change[SY_MOST_ASKED], sd[SY_MOST_ASKED], offset[SY_MOST_ASKED], value[SY_MOST_ASKED];
  sy_error err;
  syl_read_asked(L, 2, &from);
  syl_read_asked(L, 3, &to);
  const int count = check_names(L, 4, syl_push_geometry_of(L, 2), set, asked_from, offset);
  if (check_names(L, names_to, syl_push_geometry_of(L, 3), set, asked_to, offset) != count)
    return luaL_error(L, "the list of names changed");
  if (sy_answers_change(set, &from.car, asked_from, &to.car, asked_to, count, pairing, change, sd, value,
                        &err) != SY_OK)
    return syl_raise(L, &err);
  push_list(L, sd, count);
  if (!with_values) return 1;
  for (int i = 0; i < count; i++) value[i] += offset[i];
  push_list(L, value, count);
  return 2;
}

/* core.answers(ledger, geometry, names) -> values of the balance, a list as above */
static int l_answers(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 2);
  const sy_car car = {.now = syl_check_ledger(L, 1), .drawn = car.now, .vehicle = g->vehicle, .map = g->map};
  sy_asked asked[SY_MOST_ASKED];
  double value[SY_MOST_ASKED], offset[SY_MOST_ASKED];
  sy_error err;
  const int count = check_names(L, 3, 2, sy_balance_answers(), asked, offset);
  if (sy_answers_ask(sy_balance_answers(), &car, asked, count, value, NULL, &err) != SY_OK)
    return syl_raise(L, &err);
  for (int i = 0; i < count; i++) value[i] += offset[i];
  push_list(L, value, count);
  return 1;
}

/* core.knows(geometry, name) -> boolean: has the balance an answer of that name? */
static int l_knows(lua_State *L) {
  shown s;
  lua_pushboolean(L, find(L, 1, sy_balance_answers(), luaL_checkstring(L, 2), &s));
  return 1;
}

/* core.split(geometry) -> "determinate", "cross weight" or "least norm": where the wheel loads come from */
static int l_split(lua_State *L) {
  static const char *const word[] = {"determinate", "cross weight", "least norm"};
  lua_pushstring(L, word[syl_check_geometry(L, 1)->map.split]);
  return 1;
}

/* core.room(n) -> an empty table with room for n answers by name: one that grows is moved four times on the way to eight */
static int l_room(lua_State *L) {
  const lua_Integer n = luaL_checkinteger(L, 1);
  luaL_argcheck(L, n >= 0 && n <= SY_MOST_ASKED, 1, "0 to 64 answers expected");
  lua_createtable(L, 0, (int)n);
  return 1;
}

static const luaL_Reg functions[] = {
    {"room", l_room},
    {"ask", l_ask},
    {"change", l_change},
    {"answers", l_answers},
    {"knows", l_knows},
    {"split", l_split},
    {"names", l_names},
    {"covariance", l_covariance},
    {"covariance_between", l_covariance_between},
    {NULL, NULL},
};

void syl_open_answers(lua_State *L) {
  luaL_newmetatable(L, NAMES);
  lua_pop(L, 1);
  luaL_setfuncs(L, functions, 0);
}
