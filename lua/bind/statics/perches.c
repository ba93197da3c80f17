/* perches.c - turns of the spring perches, as Lua tables. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "answers/corner_answers.h"
#include "answers/reading.h"
#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/mass/pairing.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/statics/corner.h"
#include "statics/perches.h"

static const char *const hold_word[] = {"heights",     "front heights", "rear heights",
                                        "least turns", "all heights",   NULL};

static sy_perch_ask read_ask(lua_State *L, int index) {
  luaL_checktype(L, index, LUA_TTABLE);
  sy_perch_ask a = {.hold = SY_HOLD_HEIGHTS};
  lua_getfield(L, index, "hold");
  a.hold = (sy_hold)luaL_checkoption(L, -1, "heights", hold_word);
  lua_pop(L, 1);
  const double cross = syl_number_under(L, index, "cross_share", 1, (double)NAN);
  a.cross = !isnan(cross);
  a.cross_share = a.cross ? cross * 0.01 : 0.0;
  lua_getfield(L, index, "front");
  a.raise = !lua_isnil(L, -1);
  lua_pop(L, 1);
  a.front = syl_number_under(L, index, "front", 1, 0.0) * 1e-3;
  a.rear = syl_number_under(L, index, "rear", 1, 0.0) * 1e-3;
  lua_getfield(L, index, "front_roll");
  a.lean = !lua_isnil(L, -1);
  lua_pop(L, 1);
  a.front_roll = syl_number_under(L, index, "front_roll", SY_DEGREE, 0.0);
  a.rear_roll = syl_number_under(L, index, "rear_roll", SY_DEGREE, 0.0);
  a.notch = syl_number_under(L, index, "notch", 1, 0.0);
  return a;
}

/* core.perches(asked, {hold?, cross_share?, front?, rear?, front_roll?, rear_roll?, notch?})
** -> {turns, exact, rule?, pad_allowed?, misfit?, before, at_exact, after, by_rule}: turns by wheel, beyond those given; front and rear are
** changes of height, mm, the rolls such of roll, deg. Nothing when no turns bring it about. */
static int l_perches(lua_State *L) {
  const sy_perch_ask ask = read_ask(L, 2);
  syl_asked q;
  sy_stand stand;
  sy_perch_answer a;
  sy_error err;
  syl_read_asked(L, 1, &q);
  syl_stand(L, &q, &stand);
  const sy_vec3 gravity = stand.gravity;
  const sy_status status =
      sy_settle_perches(&stand.model, &stand.now, &q.car.tanks, gravity, &stand.setting, &ask, &a, &err);
  if (status == SY_GEOMETRY) return 0; /* it was found standing without them */
  if (status != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 9);
  syl_set_by_wheel(L, "turns", q.g, a.turns, 1.0);
  syl_set_by_wheel(L, "exact", q.g, a.exact, 1.0);
  if (ask.cross) {
    lua_pushnumber(L, a.rule);
    lua_setfield(L, -2, "rule");
  }
  if (!isnan(a.pad_allowed)) {
    lua_pushnumber(L, a.pad_allowed * 1e3);
    lua_setfield(L, -2, "pad_allowed");
  }
  if (!isnan(a.misfit)) {
    lua_pushnumber(L, a.misfit * 1e3);
    lua_setfield(L, -2, "misfit");
  }
  const sy_corner_result *const states[] = {&a.before, &a.at_exact, &a.after, &a.by_rule};
  static const char *const name[] = {"before", "at_exact", "after", "by_rule"};
  for (int i = 0; i < 4; i++) {
    syl_push_stand(L, q.g, states[i]);
    syl_set_liquids(L, q.tanks, &q.g->vehicle, gravity, states[i]->pose);
    lua_setfield(L, -2, name[i]);
  }
  return 1;
}

/* Loads, kg in the order of the wheels, and their covariance row by row, kg^2; 0: none. */
static sy_reading check_reading(lua_State *L, int loads, int covariance, const syl_geometry *g) {
  const int wheels = g->map.wheel_count;
  double square[SY_MAX_WHEELS * SY_MAX_WHEELS];
  sy_reading r;
  memset(&r, 0, sizeof r);
  syl_read_list(L, loads, wheels, SY_STANDARD_GRAVITY, r.load);
  if (covariance == 0) return r;
  syl_read_list(L, covariance, wheels * wheels, SY_STANDARD_GRAVITY * SY_STANDARD_GRAVITY, square);
  for (int i = 0; i < wheels; i++)
    memcpy(r.covariance[i], square + i * wheels, (size_t)wheels * sizeof *square);
  return r;
}

/* core.set_as_read(asked, loads) -> the cross weight of the drawn state, %, with which the car reads that of the loads; asked: as it
** stood on the scales */
static int l_set_as_read(lua_State *L) {
  syl_asked stood;
  sy_car set;
  sy_error err;
  syl_read_asked(L, 1, &stood);
  const sy_reading r = check_reading(L, 2, 0, stood.g);
  if (sy_reading_set_up(&r, &stood.car, &set, &err) != SY_OK) return syl_raise(L, &err);
  lua_pushnumber(L, set.vehicle.cross_share * 100.0);
  return 1;
}

/* core.expect(stood, loads, covariance, then, pairing?) -> what the scales will read of `then`: answers of corners by name, and their standard
** uncertainties. stood and then with the cross_share of core.set_as_read */
static int l_expect(lua_State *L) {
  const sy_answer_set *set = sy_corner_answers();
  syl_asked stood, then;
  sy_asked asked[SY_MOST_ASKED];
  double number[2][SY_MOST_ASKED];
  sy_error err;
  lua_settop(L, 5);
  const sy_pairing *pairing = syl_opt_pairing(L, 5);
  syl_read_asked(L, 1, &stood);
  syl_read_asked(L, 4, &then);
  const sy_reading r = check_reading(L, 2, 3, stood.g);
  const int count = sy_answer_count(set, &stood.g->vehicle);
  for (int i = 0; i < count; i++) {
    asked[i] = sy_answer_nth(set, &stood.g->vehicle, i);
    asked[i].scale = syl_in_workshop_units(set->row[asked[i].row].unit);
  }
  if (sy_reading_expect(&r, &stood.car, &then.car, asked, count, pairing, number[0], number[1], &err) !=
      SY_OK)
    return syl_raise(L, &err);
  for (int k = 0; k < 2; k++) {
    lua_createtable(L, 0, count);
    for (int i = 0; i < count; i++) {
      char name[SY_ANSWER_NAME];
      sy_answer_name(set, &stood.g->vehicle, asked[i], name);
      syl_set_number(L, name, number[k][i]);
    }
  }
  return 2;
}

static const luaL_Reg functions[] = {
    {"perches", l_perches}, {"set_as_read", l_set_as_read}, {"expect", l_expect}, {NULL, NULL}};

void syl_open_perches(lua_State *L) { luaL_setfuncs(L, functions, 0); }
