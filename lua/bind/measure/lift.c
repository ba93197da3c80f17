/* lift.c - a vehicle with one end lifted, and the height of its CG from readings. Lengths mm, angles degrees, loads kg,
** rates N/mm of an axle; x counts back from the front axle. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "measure/cgheight.h"
#include "numeric/uncertain.h"

/* Entries 1 and 2 of a list in a field; `missing` where there is none. */
static void two_or(lua_State *L, int t, const char *key, double unit, double missing, double out[2]) {
  out[0] = out[1] = missing;
  if (lua_getfield(L, t, key) != LUA_TNIL)
    for (int i = 0; i < 2; i++) {
      lua_geti(L, -1, i + 1);
      if (!lua_isnil(L, -1)) out[i] = luaL_checknumber(L, -1) * unit;
      lua_pop(L, 1);
    }
  lua_pop(L, 1);
}

static bool flag(lua_State *L, int t, const char *key) {
  lua_getfield(L, t, key);
  const bool set = lua_toboolean(L, -1);
  lua_pop(L, 1);
  return set;
}

/* compliance or tyre by a rate per axle in N/mm; none is stiff */
static void softness(lua_State *L, int t, const char *key, double out[2]) {
  double rate[2];
  two_or(L, t, key, 1e3, (double)INFINITY, rate);
  for (int i = 0; i < 2; i++) out[i] = 1 / rate[i];
}

/* the sd of a compliance by that of its rate: d(1/k) = dk/k^2 */
static void softness_sd(lua_State *L, int t, const char *key, const double compliance[2], double out[2]) {
  double rate_sd[2];
  two_or(L, t, key, 1e3, 0, rate_sd);
  for (int i = 0; i < 2; i++) out[i] = rate_sd[i] * compliance[i] * compliance[i];
}

static sy_lift_car read_car(lua_State *L, int t) {
  sy_lift_car car = sy_lift_car_default();
  car.wheelbase = syl_number_under(L, t, "wheelbase", SY_MILLIMETRE, car.wheelbase);
  two_or(L, t, "radius", SY_MILLIMETRE, (double)NAN, car.radius);
  two_or(L, t, "unsprung", 1, 0, car.unsprung);
  softness(L, t, "rate", car.compliance);
  softness(L, t, "tyre", car.tyre);
  car.gravity = syl_number_under(L, t, "gravity", 1, car.gravity);
  return car;
}

static sy_lift_end read_end(lua_State *L, int t) {
  lua_getfield(L, t, "lifted");
  const char *const names[] = {"front", "rear", NULL};
  const int end = luaL_checkoption(L, -1, "rear", names);
  lua_pop(L, 1);
  return end == 0 ? SY_LIFT_FRONT : SY_LIFT_REAR;
}

/* key = {{a, b}, {a, b}} for the front and the rear end */
static bool read_pairs(lua_State *L, int t, const char *key, double unit, double out[2][2]) {
  const bool there = lua_getfield(L, t, key) != LUA_TNIL;
  for (int end = 0; there && end < 2; end++) {
    lua_geti(L, -1, end + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    for (int i = 0; i < 2; i++) {
      lua_geti(L, -1, i + 1);
      out[end][i] = luaL_checknumber(L, -1) * unit;
      lua_pop(L, 1);
    }
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  return there;
}

/* ---- one lift ------------------------------------------------------------------------------------------------------------ */

static sy_lift_hold read_hold(lua_State *L, int t) {
  double held[2][2] = {{0, 0}, {0, 0}};
  sy_lift_hold hold = {.lifted = read_end(L, t), .by_body = read_pairs(L, t, "held", SY_MILLIMETRE, held)};
  hold.x = -held[hold.lifted][0]; /* back to forward */
  hold.z = held[hold.lifted][1];
  return hold;
}

/* core.lift_tilt(car, lift) -> degrees of the body, > 0, or nil and a message; car = {wheelbase, radius = {front, rear}, lifted,
** held?}: stiff and locked */
static int l_lift_tilt(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const sy_lift_car car = read_car(L, 1);
  const sy_lift_hold hold = read_hold(L, 1);
  double tilt;
  sy_error err;
  if (sy_lift_check(&car, &hold, &err) != SY_OK) return syl_raise(L, &err);
  if (sy_lift_tilt(&car, &hold, luaL_checknumber(L, 2) * SY_MILLIMETRE, NULL, &tilt, NULL, &err) != SY_OK) {
    lua_pushnil(L);
    lua_pushstring(L, err.message);
    return 2;
  }
  lua_pushnumber(L, fabs(tilt) / SY_DEGREE);
  return 1;
}

static double signed_tilt(const sy_lift_hold *hold, double degrees) {
  return (hold->lifted == SY_LIFT_REAR ? -degrees : degrees) * SY_DEGREE;
}

/* core.lift_of_tilt(car, degrees) -> mm */
static int l_lift_of_tilt(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const sy_lift_car car = read_car(L, 1);
  const sy_lift_hold hold = read_hold(L, 1);
  lua_pushnumber(L, sy_lift_of_tilt(&car, &hold, signed_tilt(&hold, luaL_checknumber(L, 2))) / SY_MILLIMETRE);
  return 1;
}

/* core.lift_point(car, back, up, degrees) -> mm above the ground of a body point */
static int l_lift_point(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const sy_lift_car car = read_car(L, 1);
  const sy_lift_hold hold = read_hold(L, 1);
  const double x = -luaL_checknumber(L, 2) * SY_MILLIMETRE, z = luaL_checknumber(L, 3) * SY_MILLIMETRE;
  lua_pushnumber(L, sy_lift_point(&car, &hold, x, z, signed_tilt(&hold, luaL_checknumber(L, 4))) /
                        SY_MILLIMETRE);
  return 1;
}

/* core.lift_load(car, mass, front, height, degrees) -> front load, kg, locked */
static int l_lift_load(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const sy_lift_car car = read_car(L, 1);
  const sy_lift_hold hold = read_hold(L, 1);
  const sy_lift_body body = {luaL_checknumber(L, 2), luaL_checknumber(L, 3),
                             luaL_checknumber(L, 4) * SY_MILLIMETRE, 0};
  sy_lift_load load;
  sy_error err;
  if (sy_lift_front_load(&car, &hold, &body, signed_tilt(&hold, luaL_checknumber(L, 5)), &load, &err) !=
      SY_OK)
    return syl_raise(L, &err);
  lua_pushnumber(L, load.front);
  return 1;
}

/* ---- a session ------------------------------------------------------------------------------------------------------------- */

/* blocks = {1, 3}: numbers of those that the lift stands on */
static uint32_t read_blocks(lua_State *L, int t) {
  uint32_t blocks = 0;
  if (lua_getfield(L, t, "blocks") != LUA_TNIL) {
    luaL_checktype(L, -1, LUA_TTABLE);
    const lua_Integer count = syl_length(L, -1);
    luaL_argcheck(L, count <= SY_CGHEIGHT_MOST_BLOCKS, 1, "too many blocks");
    for (lua_Integer k = 1; k <= count; k++) {
      lua_geti(L, -1, k);
      const lua_Integer block = luaL_checkinteger(L, -1);
      luaL_argcheck(L, 1 <= block && block <= SY_CGHEIGHT_MOST_BLOCKS, 1, "no such block");
      blocks |= (uint32_t)1 << (block - 1);
      lua_pop(L, 1);
    }
  }
  lua_pop(L, 1);
  return blocks;
}

static sy_cgheight_reading read_reading(lua_State *L, int t, double unit) {
  sy_cgheight_reading r = {.lifted = read_end(L, t)};
  r.run = (size_t)syl_whole_under(L, t, "run", 1, SY_CGHEIGHT_MOST_RUNS, 1) - 1;
  r.lift = syl_number_under(L, t, "lift", unit, 0);
  r.lift_sd = syl_number_under(L, t, "lift_sd", unit, 0);
  two_or(L, t, "load", 1, (double)NAN, r.load);
  two_or(L, t, "load_sd", 1, 0, r.load_sd);
  two_or(L, t, "step_sd", 1, 0, r.step_sd);
  r.blocks = read_blocks(L, t);
  r.shift = syl_number_under(L, t, "shift", 1, 0);
  return r;
}

static void read_block_sds(lua_State *L, int t, double sd[SY_CGHEIGHT_MOST_BLOCKS]) {
  if (lua_getfield(L, t, "block_sd") != LUA_TNIL) {
    luaL_checktype(L, -1, LUA_TTABLE);
    const lua_Integer count = syl_length(L, -1);
    luaL_argcheck(L, count <= SY_CGHEIGHT_MOST_BLOCKS, 1, "too many blocks");
    for (lua_Integer k = 0; k < count; k++) {
      lua_geti(L, -1, k + 1);
      sd[k] = luaL_checknumber(L, -1) * SY_MILLIMETRE;
      lua_pop(L, 1);
    }
  }
  lua_pop(L, 1);
}

static void read_session(lua_State *L, int t, sy_cgheight_session *s) {
  *s = sy_cgheight_session_default();
  s->car = read_car(L, t);
  s->wheelbase_sd = syl_number_under(L, t, "wheelbase_sd", SY_MILLIMETRE, 0);
  two_or(L, t, "radius_sd", SY_MILLIMETRE, 0, s->radius_sd);
  two_or(L, t, "unsprung_sd", 1, 0, s->unsprung_sd);
  softness_sd(L, t, "rate_sd", s->car.compliance, s->compliance_sd);
  softness_sd(L, t, "tyre_sd", s->car.tyre, s->tyre_sd);
  s->by_angle = flag(L, t, "by_angle");
  s->on_plane = flag(L, t, "on_plane");
  s->by_body = read_pairs(L, t, "held", SY_MILLIMETRE, s->held);
  read_pairs(L, t, "held_sd", SY_MILLIMETRE, s->held_sd);
  for (int end = 0; end < 2; end++) s->held[end][0] = -s->held[end][0]; /* back to forward */
  s->mass = syl_number_under(L, t, "mass", 1, s->mass);
  s->mass_sd = syl_number_under(L, t, "mass_sd", 1, 0);
  s->load_dof = syl_number_under(L, t, "load_dof", 1, s->load_dof);
  s->drift = syl_number_under(L, t, "drift", 1, s->drift);
  s->common_level = flag(L, t, "common_level");
  read_block_sds(L, t, s->block_sd);
  s->runs = (size_t)syl_whole_under(L, t, "runs", 1, SY_CGHEIGHT_MOST_RUNS, 1);
  lua_getfield(L, t, "readings");
  luaL_checktype(L, -1, LUA_TTABLE);
  const lua_Integer count = syl_length(L, -1);
  luaL_argcheck(L, count <= SY_CGHEIGHT_MOST_READINGS, 1, "too many readings");
  /* scratch belongs to the collector and stays on the stack while it is read */
  sy_cgheight_reading *list = lua_newuserdatauv(L, (size_t)count * sizeof *list, 0);
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, -2, i + 1);
    list[i] = read_reading(L, lua_gettop(L), s->by_angle ? SY_DEGREE : SY_MILLIMETRE);
    lua_pop(L, 1);
  }
  s->reading = list;
  s->count = (size_t)count;
}

/* the three things of a reading as {front =, rear =, lift =}; lifts as degrees */
static void put_three(lua_State *L, const char *key, const double v[3], double angle) {
  lua_createtable(L, 0, 3);
  syl_set_number(L, "front", v[0]);
  syl_set_number(L, "rear", v[1]);
  syl_set_number(L, "lift", v[2] / angle);
  lua_setfield(L, -2, key);
}

static void push_rows(lua_State *L, const sy_cgheight_row *rows, size_t count) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_createtable(L, 0, 6);
    syl_set_number(L, "tilt", fabs(rows[i].tilt) / SY_DEGREE);
    syl_set_number(L, "height", rows[i].height / SY_MILLIMETRE);
    syl_set_number(L, "u_height", rows[i].u_height / SY_MILLIMETRE);
    put_three(L, "residual", rows[i].residual, SY_DEGREE);
    put_three(L, "standardised", rows[i].standardised, 1);
    put_three(L, "redundancy", rows[i].redundancy, 1);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
}

static void push_levels(lua_State *L, const sy_cgheight_level *levels, size_t count) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_createtable(L, 0, 5);
    syl_set_number(L, "front", levels[i].load[0]);
    syl_set_number(L, "rear", levels[i].load[1]);
    syl_set_number(L, "u_front", levels[i].u[0]);
    syl_set_number(L, "u_rear", levels[i].u[1]);
    lua_pushinteger(L, (lua_Integer)levels[i].readings);
    lua_setfield(L, -2, "readings");
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
}

static void push_tied(lua_State *L, const sy_cgheight *a) {
  static const char *const what[] = {"front", "rear", "lift", "block"};
  lua_createtable(L, (int)a->tied_count, 0);
  for (size_t i = 0; i < a->tied_count; i++) {
    lua_createtable(L, 0, 2);
    lua_pushinteger(L, (lua_Integer)a->tied[i].reading + 1);
    lua_setfield(L, -2, "reading");
    lua_pushstring(L, what[a->tied[i].what]);
    lua_setfield(L, -2, "what");
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
}

/* NAME, u_NAME, dof_NAME and half_NAME, half the width of the 95 % */
static void put_value(lua_State *L, const char *name, const sy_cgheight_value *v, double unit) {
  syl_set_number(L, name, v->value / unit);
  lua_pushfstring(L, "u_%s", name);
  lua_pushnumber(L, v->u / unit);
  lua_settable(L, -3);
  lua_pushfstring(L, "dof_%s", name);
  lua_pushnumber(L, v->dof);
  lua_settable(L, -3);
  lua_pushfstring(L, "half_%s", name);
  lua_pushnumber(L, v->half_width / unit);
  lua_settable(L, -3);
}

static void push_answer(lua_State *L, const sy_cgheight *a) {
  static const char *const sources[] = {
      "loads",      "lifts", "blocks",   "front radius", "rear radius", "wheelbase", "jack point",
      "suspension", "tyres", "unsprung", "mass",         "drift",       "runs"};
  lua_createtable(L, 0, 32);
  put_value(L, "height", &a->height, SY_MILLIMETRE);
  put_value(L, "mass", &a->mass, 1);
  put_value(L, "behind", &a->behind, SY_MILLIMETRE);
  put_value(L, "front_share", &a->front_share, 0.01);
  syl_set_number(L, "run_sd", a->run_sd);
  syl_set_number(L, "run_dof", a->run_dof);
  syl_set_number(L, "chi2", a->chi2);
  syl_set_number(L, "tested", (double)a->tested);
  syl_set_number(L, "p", a->p);
  syl_set_number(L, "widened", a->widened);
  syl_set_number(L, "widened_dof", a->widened_dof);
  syl_set_number(L, "trend", a->trend / SY_MILLIMETRE);
  syl_set_number(L, "u_trend", a->u_trend / SY_MILLIMETRE);
  syl_set_number(L, "zero_drift", a->drift);
  syl_set_number(L, "off", a->off);
  syl_set_number(L, "critical", a->critical);
  lua_pushboolean(L, a->suspicious);
  lua_setfield(L, -2, "suspicious");
  push_tied(L, a);
  lua_setfield(L, -2, "tied");
  lua_createtable(L, SY_CGHEIGHT_SOURCES, 0);
  for (int k = 0; k < SY_CGHEIGHT_SOURCES; k++) {
    lua_createtable(L, 0, 2);
    lua_pushstring(L, sources[k]);
    lua_setfield(L, -2, "source");
    syl_set_number(L, "u", a->height.by[k] / SY_MILLIMETRE);
    lua_seti(L, -2, k + 1);
  }
  lua_setfield(L, -2, "sources");
}

/* core.cg_height{wheelbase =, radius = {front, rear}, ..., readings = {{run =, lifted =, lift =, load = {front, rear}, ...}}} ->
** the answer of sy_cgheight_fit with rows and levels; trend in mm per unit of tan tilt. Fields as read above. */
static int l_cg_height(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  sy_cgheight_session s;
  read_session(L, 1, &s);
  void *memory = lua_newuserdatauv(L, sy_cgheight_size(&s), 0);
  sy_cgheight_row *rows = lua_newuserdatauv(L, s.count * sizeof *rows, 0);
  sy_cgheight_level levels[SY_CGHEIGHT_MOST_RUNS];
  sy_cgheight answer;
  sy_error err;
  if (sy_cgheight_fit(&s, memory, &answer, rows, levels, &err) != SY_OK) return syl_raise(L, &err);
  push_answer(L, &answer);
  push_rows(L, rows, s.count);
  lua_setfield(L, -2, "rows");
  push_levels(L, levels, s.runs);
  lua_setfield(L, -2, "levels");
  return 1;
}

/* core.lateral(loads, sds, places) -> mm left of the centre, its standard uncertainty; loads = {{lf, rf, lr, rr}, ...}, places = {lf, rf, lr, rr}:
** mm left of the centre */
static int l_lateral(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checktype(L, 2, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TTABLE);
  const lua_Integer count = syl_length(L, 1);
  luaL_argcheck(L, count <= SY_CGHEIGHT_MOST_READINGS, 1, "too many readings");
  double load[4 * SY_CGHEIGHT_MOST_READINGS], sd[SY_CGHEIGHT_MOST_READINGS];
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, 1, i + 1);
    for (int k = 0; k < 4; k++) {
      lua_geti(L, -1, k + 1);
      load[4 * i + k] = luaL_checknumber(L, -1);
      lua_pop(L, 1);
    }
    lua_geti(L, 2, i + 1);
    sd[i] = luaL_checknumber(L, -1);
    lua_pop(L, 2);
  }
  double place[4], y, u;
  for (int k = 0; k < 4; k++) {
    lua_geti(L, 3, k + 1);
    place[k] = luaL_checknumber(L, -1) * SY_MILLIMETRE;
    lua_pop(L, 1);
  }
  sy_error err;
  if (sy_cgheight_lateral(load, sd, (size_t)count, place, &y, &u, &err) != SY_OK) return syl_raise(L, &err);
  lua_pushnumber(L, y / SY_MILLIMETRE);
  lua_pushnumber(L, u / SY_MILLIMETRE);
  return 2;
}

/* core.interval(value, u, dof, coverage) -> low, high, factor */
static int l_interval(lua_State *L) {
  sy_interval interval;
  sy_error err;
  if (sy_uncertain_interval(luaL_checknumber(L, 1), luaL_checknumber(L, 2), luaL_checknumber(L, 3),
                            luaL_checknumber(L, 4), &interval, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_pushnumber(L, interval.low);
  lua_pushnumber(L, interval.high);
  lua_pushnumber(L, interval.factor);
  return 3;
}

void syl_open_lift(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"lift_tilt", l_lift_tilt},   {"lift_of_tilt", l_lift_of_tilt},
      {"lift_point", l_lift_point}, {"lift_load", l_lift_load},
      {"cg_height", l_cg_height},   {"lateral", l_lateral},
      {"interval", l_interval},     {NULL, NULL},
  };
  luaL_setfuncs(L, functions, 0);
}
