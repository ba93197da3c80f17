#include "bind/study/plan_car.h"

#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/shop/clearance.h"
#include "bind/shop/shafts.h"
#include "mass/measured.h"

static void too_many(lua_State *L, const char *what) {
  sy_error err;
  sy_fail(&err, SY_LIMIT, "plan", NULL, "has too many %s to be compiled", what);
  syl_raise(L, &err);
}

/* The envelope on top of the stack, taken off: its number among those there are. `seen`, a table, knows them. */
static unsigned char envelope_number(lua_State *L, int seen, const sy_axes *axes, sy_plan_gaps *out) {
  lua_pushvalue(L, -1);
  if (lua_rawget(L, seen) == LUA_TNIL) {
    if (out->envelopes == SY_PLAN_ENVELOPES) too_many(L, "shapes");
    lua_pop(L, 1);
    out->envelope[out->envelopes] = syl_read_envelope(L, lua_gettop(L), axes);
    lua_pushvalue(L, -1);
    lua_pushinteger(L, (lua_Integer)out->envelopes++);
    lua_rawset(L, seen);
    lua_pushinteger(L, (lua_Integer)out->envelopes - 1);
  }
  const unsigned char number = (unsigned char)lua_tointeger(L, -1);
  lua_pop(L, 2);
  return number;
}

/* {asked = mm, pairs = {{a, b or nil: the ground, marks = {{f, l, u}, {f, l, u}} or nil}, ...}} on top of the stack. */
static void read_gap(lua_State *L, int seen, const sy_axes *axes, sy_plan_gaps *out) {
  const int entry = lua_gettop(L);
  if (out->count == SY_PLAN_GAPS) too_many(L, "gaps");
  out->asked[out->count] = syl_number_under(L, entry, "asked", SY_MILLIMETRE, 0);
  lua_getfield(L, entry, "pairs");
  const int pairs = lua_gettop(L);
  const lua_Integer count = syl_length(L, pairs);
  if ((size_t)count + out->pairs > SY_PLAN_PAIRS) too_many(L, "pairs of shapes");
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, pairs, i);
    const int pair = lua_gettop(L);
    sy_plan_pair *p = &out->pair[out->pairs++];
    *p = (sy_plan_pair){.gap = (unsigned char)out->count};
    lua_geti(L, pair, 1);
    p->a = envelope_number(L, seen, axes, out);
    p->ground = lua_geti(L, pair, 2) == LUA_TNIL;
    if (p->ground)
      lua_pop(L, 1);
    else
      p->b = envelope_number(L, seen, axes, out);
    p->marked = lua_getfield(L, pair, "marks") != LUA_TNIL;
    for (int k = 0; k < 2 && p->marked; k++) {
      lua_geti(L, pair + 1, k + 1);
      p->mark[k] = syl_three_at(L, -1, 1, SY_MILLIMETRE);
      lua_pop(L, 1);
    }
    lua_settop(L, pairs);
  }
  out->count++;
  lua_settop(L, entry);
}

/* The list under `gaps_from` of the table at `index`. */
static void read_gaps(lua_State *L, int index, const sy_axes *axes, sy_plan_gaps *out) {
  memset(out, 0, sizeof *out);
  lua_getfield(L, index, "gaps_from");
  const int list = lua_gettop(L);
  if (lua_isnil(L, list)) return;
  lua_newtable(L);
  const lua_Integer count = syl_length(L, list);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, list, i);
    read_gap(L, list + 1, axes, out);
    lua_pop(L, 1);
  }
}

void syl_read_plan_car(lua_State *L, int index, bool uncertain, sy_plan_car *out) {
  syl_asked asked;
  sy_totals now, drawn;
  sy_shaft shaft[SY_PLAN_SHAFTS];
  sy_joint_error error[SY_MOST_OWN];
  sy_plan_gaps gaps;
  sy_error err;
  syl_read_asked(L, index, &asked);
  (uncertain ? sy_ledger_totals : sy_ledger_sums)(asked.car.now, &now);
  if (!uncertain) asked.car.stated_count = 0;
  if (asked.car.drawn != asked.car.now)
    sy_ledger_sums(asked.car.drawn, &drawn);
  else
    drawn = now;
  lua_getfield(L, index, "joints");
  const int list = lua_gettop(L);
  const lua_Integer count = lua_isnil(L, list) ? 0 : syl_length(L, list);
  if (count > SY_PLAN_SHAFTS) too_many(L, "shafts");
  for (lua_Integer i = 0; i < count; i++) {
    luaL_checkstack(L, 16, NULL);
    lua_geti(L, list, i + 1);
    syl_read_shaft(L, lua_gettop(L), error, &shaft[i]);
  }
  luaL_checkstack(L, 16, NULL);
  read_gaps(L, index, &asked.g->axes, &gaps);
  if (sy_plan_car_make(&asked.car, &now, &drawn, shaft, (size_t)count, &gaps, out, &err) != SY_OK)
    syl_raise(L, &err);
  if (isnan(out->cross_sd) && sy_measured_beside_covariance(asked.car.now, out->cross_cov, &err) != SY_OK)
    syl_raise(L, &err);
}
