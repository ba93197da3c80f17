/* answers.c - single answers by name, their doubts and the doubts of their changes. */
#include <lauxlib.h>
#include <math.h>

#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/module.h"
#include "bind/numbers.h"
#include "bind/statics/balance.h"
#include "mass/propagate.h"

enum { MAX_NAMES = 64 };

/* The list of names at `index` as answers of the geometry at `geometry_index`; unknown names raise. */
static size_t check_names(lua_State *L, int index, int geometry_index, syl_shown out[MAX_NAMES]) {
  luaL_checktype(L, index, LUA_TTABLE);
  const lua_Integer count = syl_length(L, index);
  luaL_argcheck(L, count <= MAX_NAMES, index, "too many names");
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, index, i + 1);
    const char *name = luaL_checkstring(L, -1);
    if (!syl_shown_by_name(L, geometry_index, name, &out[i]))
      return (size_t)luaL_error(L, "no answer is called '%s'", name);
    lua_pop(L, 1);
  }
  return (size_t)count;
}

/* variance: by the parts, of the answers; by_cross: what the cross share does to them as they are shown. */
static void push_doubts(lua_State *L, const double *variance, const double *by_cross, const syl_shown *shown,
                        size_t count) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    const double parts = fabs(shown[i].scale) * sqrt(variance[i]);
    lua_pushnumber(L, by_cross[i] != 0 ? sqrt(parts * parts + by_cross[i] * by_cross[i]) : parts);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
}

/* core.answers(ledger, geometry, names) -> list of values; NaN where an answer has no meaning */
static int l_answers(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const syl_geometry *g = syl_check_geometry(L, 2);
  syl_shown shown[MAX_NAMES];
  const size_t count = check_names(L, 3, 2, shown);
  sy_totals t;
  sy_balance b;
  syl_balance_of(L, ledger, g, &t, &b);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushnumber(L, syl_shown_value(&b, shown[i]));
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  return 1;
}

/* core.knows(geometry, name) -> boolean: is there an answer of that name? */
static int l_knows(lua_State *L) {
  syl_shown s;
  lua_pushboolean(L, syl_shown_by_name(L, 1, luaL_checkstring(L, 2), &s));
  return 1;
}

static void propagate(lua_State *L, const sy_term *terms, size_t term_count, size_t count, double *variance) {
  sy_error err;
  if (sy_propagate_variance(terms, term_count, count, NULL, variance, &err) != SY_OK) syl_raise(L, &err);
}

/* core.doubts(ledger, geometry, names) -> list of standard uncertainties */
static int l_doubts(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const syl_geometry *g = syl_check_geometry(L, 2);
  syl_shown shown[MAX_NAMES];
  sy_sensitivity by[MAX_NAMES];
  double variance[MAX_NAMES], by_cross[MAX_NAMES];
  const size_t count = check_names(L, 3, 2, shown);
  sy_totals t;
  sy_balance b;
  syl_balance_of(L, ledger, g, &t, &b);
  for (size_t i = 0; i < count; i++) {
    by[i] = sy_balance_sensitivity(&b, shown[i].answer);
    by_cross[i] = syl_cross_effect(&b, g, shown[i]);
  }
  propagate(L, &(sy_term){ledger, 1.0, by}, 1, count, variance);
  push_doubts(L, variance, by_cross, shown, count);
  return 1;
}

/* A cross share stated alike in both is one number with one error, which goes out of a change; else each has its own. */
static double cross_change(const syl_geometry *gf, double from, const syl_geometry *gt, double to) {
  const bool alike = gf->vehicle.cross_share == gt->vehicle.cross_share && gf->cross_sd == gt->cross_sd;
  return alike ? to - from : sqrt(to * to + from * from);
}

/* core.change_doubts(from, from_geometry, to, to_geometry, names) -> list of standard uncertainties of to less from */
static int l_change_doubts(lua_State *L) {
  const sy_ledger *from = syl_check_ledger(L, 1), *to = syl_check_ledger(L, 3);
  const syl_geometry *gf = syl_check_geometry(L, 2), *gt = syl_check_geometry(L, 4);
  syl_shown shown_from[MAX_NAMES] = {{SY_ANSWER_MASS, 0, 0}}, shown_to[MAX_NAMES] = {{SY_ANSWER_MASS, 0, 0}};
  sy_sensitivity by_from[MAX_NAMES], by_to[MAX_NAMES];
  double variance[MAX_NAMES], by_cross[MAX_NAMES];
  const size_t count = check_names(L, 5, 2, shown_from);
  if (check_names(L, 5, 4, shown_to) != count) return luaL_error(L, "the list of names changed");
  sy_totals t;
  sy_balance bf = {0}, bt = {0};
  syl_balance_of(L, from, gf, &t, &bf);
  syl_balance_of(L, to, gt, &t, &bt);
  for (size_t i = 0; i < count; i++) {
    by_from[i] = sy_balance_sensitivity(&bf, shown_from[i].answer);
    by_to[i] = sy_balance_sensitivity(&bt, shown_to[i].answer);
    by_cross[i] = cross_change(gf, syl_cross_effect(&bf, gf, shown_from[i]), gt,
                               syl_cross_effect(&bt, gt, shown_to[i]));
    /* the two may be shown in opposite directions */
    if (shown_from[i].scale * shown_to[i].scale < 0) {
      by_from[i].m = -by_from[i].m;
      by_from[i].first = sy_vec3_scale(-1, by_from[i].first);
      by_from[i].second = sy_sym3_scale(-1, by_from[i].second);
    }
  }
  const sy_term terms[2] = {{from, -1.0, by_from}, {to, 1.0, by_to}};
  propagate(L, terms, 2, count, variance);
  push_doubts(L, variance, by_cross, shown_to, count);
  return 1;
}

/* core.split(geometry) -> "determinate", "cross share" or "least norm": where the wheel loads come from */
static int l_split(lua_State *L) {
  static const char *const word[] = {"determinate", "cross share", "least norm"};
  lua_pushstring(L, word[syl_check_geometry(L, 1)->map.split]);
  return 1;
}

static const luaL_Reg functions[] = {
    {"answers", l_answers}, {"knows", l_knows}, {"doubts", l_doubts}, {"change_doubts", l_change_doubts},
    {"split", l_split},     {NULL, NULL},
};

void syl_open_answers(lua_State *L) { luaL_setfuncs(L, functions, 0); }
