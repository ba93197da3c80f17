#include "bind/shop/shafts.h"

#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "answers/shaft_answers.h"
#include "base/units.h"
#include "bind/answers/found.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "shop/cardan.h"
#include "shop/driveline.h"
#include "shop/hoist.h"
#include "shop/support.h"

enum { MOST_POINTS = 1000 };

/* ---- reading --------------------------------------------------------------------------------------------------- */

/* The list of {travel, x, y, z} on top of the stack, into memory of the collector, which is left on the stack. */
static void read_points(lua_State *L, sy_path *path) {
  luaL_checktype(L, -1, LUA_TTABLE);
  const int list = lua_gettop(L);
  const lua_Integer count = syl_length(L, list);
  luaL_argcheck(L, count <= MOST_POINTS, 1, "a path of more than 1000 points");
  sy_path_point *points = lua_newuserdatauv(L, ((size_t)count + 1) * sizeof *points, 0);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, list, i);
    luaL_checktype(L, -1, LUA_TTABLE);
    points[i - 1] =
        (sy_path_point){syl_number_at(L, -1, 1) * SY_MILLIMETRE, syl_three_at(L, -1, 2, SY_MILLIMETRE)};
    lua_pop(L, 1);
  }
  path->kind = SY_PATH_POINTS, path->points = points, path->count = (size_t)count;
}

/* path = "still" "vertical" or {at, pivot, hinge} or {points = {{travel, x, y, z}, ...}}. What it holds on to stays on the stack. */
static sy_path read_path(lua_State *L, int table) {
  sy_path path = {.kind = SY_PATH_VERTICAL};
  if (lua_getfield(L, table, "path") == LUA_TTABLE) {
    const int t = lua_gettop(L);
    if (lua_getfield(L, t, "points") != LUA_TNIL) {
      read_points(L, &path);
      return path;
    }
    path.kind = SY_PATH_ARC;
    path.at = syl_three_under(L, t, "at", SY_MILLIMETRE);
    path.pivot = syl_three_under(L, t, "pivot", SY_MILLIMETRE);
    path.hinge = syl_three_under(L, t, "hinge", 1);
  } else if (strcmp(luaL_optstring(L, -1, "vertical"), "still") == 0) {
    path.kind = SY_PATH_STILL;
  }
  return path;
}

/* ---- pushing --------------------------------------------------------------------------------------------------- */

static void set_three(lua_State *L, const char *key, sy_vec3 v, double scale) {
  const double list[3] = {v.x * scale, v.y * scale, v.z * scale};
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    lua_pushnumber(L, list[i]);
    lua_seti(L, -2, i + 1);
  }
  lua_setfield(L, -2, key);
}

static void push_pose(lua_State *L, const sy_shaft_pose *p) {
  lua_createtable(L, 0, 6);
  syl_set_number(L, "inner", p->inner / SY_DEGREE);
  syl_set_number(L, "outer", p->outer / SY_DEGREE);
  syl_set_number(L, "length", p->length / SY_MILLIMETRE);
  syl_set_number(L, "planes", p->planes / SY_DEGREE);
}

/* ---- shafts ---------------------------------------------------------------------------------------------------- */

/* A pose at one travel, straight ahead, pushed. */
static void push_pose_at(lua_State *L, const sy_joint *inner, const sy_joint *outer, const sy_path *path,
                         double travel) {
  sy_error err;
  sy_vec3 move;
  sy_shaft_pose pose;
  if (sy_path_move(path, travel, &move, &err) != SY_OK) syl_raise(L, &err);
  const sy_joint there = {sy_vec3_add(outer->at, move), outer->axis};
  if (sy_shaft_pose_make(inner, &there, &pose, &err) != SY_OK) syl_raise(L, &err);
  push_pose(L, &pose);
  set_three(L, "outer_at", there.at, 1 / SY_MILLIMETRE);
}

static void push_sweep(lua_State *L, const sy_sweep *sweep) {
  push_pose(L, &sweep->worst);
  syl_set_number(L, "angle", sweep->worst_angle / SY_DEGREE);
  syl_set_number(L, "travel", sweep->worst_travel / SY_MILLIMETRE);
  syl_set_number(L, "steer", sweep->worst_steer / SY_DEGREE);
  lua_pushstring(L, sweep->worst_joint == 1 ? "outer" : "inner");
  lua_setfield(L, -2, "joint");
  lua_setfield(L, -2, "worst");
  push_pose(L, &sweep->shortest);
  syl_set_number(L, "travel", sweep->shortest_travel / SY_MILLIMETRE);
  lua_setfield(L, -2, "shortest");
  push_pose(L, &sweep->longest);
  syl_set_number(L, "travel", sweep->longest_travel / SY_MILLIMETRE);
  lua_setfield(L, -2, "longest");
}

/* The list of stated coordinates under `errors`: {key, value, sd, move = {forward, left, up} in mm by one standard uncertainty, outer =
** true}. Of the outer joint when that is set. Raises when they are too many. */
static size_t read_errors(lua_State *L, int table, sy_joint_error out[SY_MOST_OWN]) {
  lua_getfield(L, table, "errors");
  const int list = lua_gettop(L);
  const lua_Integer count = lua_isnil(L, list) ? 0 : syl_length(L, list);
  luaL_argcheck(L, count <= SY_MOST_OWN - 2, table, "too many stated coordinates");
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, list, i + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    const int entry = lua_gettop(L);
    lua_getfield(L, entry, "key");
    lua_getfield(L, entry, "outer");
    out[i] =
        (sy_joint_error){sy_error_key(luaL_checkstring(L, -2)), syl_number_under(L, entry, "value", 1, 0),
                         syl_number_under(L, entry, "sd", 1, 0), lua_toboolean(L, -1),
                         syl_three_under(L, entry, "move", SY_MILLIMETRE)};
    lua_settop(L, entry - 1);
  }
  lua_settop(L, list - 1);
  return (size_t)count;
}

static sy_travel_error travel_error(lua_State *L, int table, const char *key, const char *sd) {
  lua_getfield(L, table, key);
  const sy_travel_error e = {sy_error_key(luaL_optstring(L, -1, key)),
                             syl_number_under(L, table, sd, SY_MILLIMETRE, 0)};
  lua_pop(L, 1);
  return e;
}

/* sd = {static_angle, worst_angle, plunge} in the table on top, deg and mm */
static void set_found_sd(lua_State *L, const sy_shaft_found *found) {
  lua_createtable(L, 0, 3);
  syl_set_number(L, "static_angle", sy_found_sd(&found->static_angle) / SY_DEGREE);
  syl_set_number(L, "worst_angle", sy_found_sd(&found->worst_angle) / SY_DEGREE);
  syl_set_number(L, "plunge", sy_found_sd(&found->plunge) / SY_MILLIMETRE);
  lua_setfield(L, -2, "sd");
}

void syl_read_shaft(lua_State *L, int index, sy_joint_error error[SY_MOST_OWN], sy_shaft *shaft) {
  *shaft = (sy_shaft){.error = error, .error_count = read_errors(L, index, error)};
  shaft->inner = (sy_joint){syl_three_under(L, index, "inner", SY_MILLIMETRE),
                            syl_three_under(L, index, "inner_axis", 1)};
  shaft->outer = (sy_joint){syl_three_under(L, index, "outer", SY_MILLIMETRE),
                            syl_three_under(L, index, "outer_axis", 1)};
  shaft->droop_error = travel_error(L, index, "droop_key", "droop_sd");
  shaft->bump_error = travel_error(L, index, "bump_key", "bump_sd");
  shaft->droop = syl_number_under(L, index, "droop", SY_MILLIMETRE, (double)NAN);
  shaft->bump = syl_number_under(L, index, "bump", SY_MILLIMETRE, (double)NAN);
  shaft->steer = syl_number_under(L, index, "steer", SY_DEGREE, 0);
  shaft->path = read_path(L, index);
}

/* core.shaft{inner, inner_axis, outer, outer_axis = {forward, left, up} in mm, path?, droop?, bump?, steer?, travels?, errors?, droop_sd?,
** bump_sd?, droop_key?, bump_key?} -> {ride, sd, and with droop and bump also: droop, bump, worst, shortest, longest, and a list of
** those at `travels`}, what was found (bind/answers/found.h). */
static int l_shaft(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_settop(L, 1);
  sy_joint_error error[SY_MOST_OWN];
  sy_shaft shaft;
  syl_read_shaft(L, 1, error, &shaft);
  const bool listed = lua_getfield(L, 1, "travels") == LUA_TTABLE;
  const int travels = lua_gettop(L);
  lua_newtable(L);
  push_pose_at(L, &shaft.inner, &shaft.outer, &shaft.path, 0);
  lua_setfield(L, -2, "ride");
  const lua_Integer count = listed ? syl_length(L, travels) : 0;
  for (lua_Integer i = 1; i <= count; i++) {
    push_pose_at(L, &shaft.inner, &shaft.outer, &shaft.path, syl_number_at(L, travels, i) * SY_MILLIMETRE);
    lua_seti(L, -2, i);
  }
  sy_shaft_found found;
  sy_sweep sweep;
  sy_error err;
  if (sy_shaft_find(&shaft, &found, &sweep, &err) != SY_OK) return syl_raise(L, &err);
  set_found_sd(L, &found);
  if (!isnan(shaft.droop) && !isnan(shaft.bump)) {
    push_pose_at(L, &shaft.inner, &shaft.outer, &shaft.path, -shaft.droop);
    lua_setfield(L, -2, "droop");
    push_pose_at(L, &shaft.inner, &shaft.outer, &shaft.path, shaft.bump);
    lua_setfield(L, -2, "bump");
    push_sweep(L, &sweep);
  }
  *(sy_shaft_found *)syl_new_found(L, SYL_FOUND_SHAFTS, 1) = found;
  return 2;
}

static int refuse_bent(lua_State *L) {
  sy_error err;
  sy_fail(&err, SY_GEOMETRY, "shaft", "joint",
          "is bent by 90 degrees or more: a Cardan joint turns nothing there");
  return syl_raise(L, &err);
}

/* core.cardan(degrees) -> slowest, fastest (of 1), unevenness in percent, lead in degrees */
static int l_cardan(lua_State *L) {
  const sy_ripple r = sy_cardan_ripple(luaL_checknumber(L, 1) * SY_DEGREE);
  if (isnan(r.fastest)) return refuse_bent(L);
  lua_pushnumber(L, r.slowest);
  lua_pushnumber(L, r.fastest);
  lua_pushnumber(L, 100 * r.unevenness);
  lua_pushnumber(L, r.lead / SY_DEGREE);
  return 4;
}

/* core.cardan_pair(degrees, degrees, twist in degrees) -> degrees of the one joint that turns alike */
static int l_cardan_pair(lua_State *L) {
  const double pair = sy_cardan_pair(luaL_checknumber(L, 1) * SY_DEGREE, luaL_checknumber(L, 2) * SY_DEGREE,
                                     luaL_checknumber(L, 3) * SY_DEGREE);
  if (isnan(pair)) return refuse_bent(L);
  lua_pushnumber(L, pair / SY_DEGREE);
  return 1;
}

/* ---- slings ---------------------------------------------------------------------------------------------------- */

static void set_legs(lua_State *L, const char *key, const double *value, int count, double scale) {
  lua_createtable(L, count, 0);
  for (int i = 0; i < count; i++) {
    lua_pushnumber(L, value[i] * scale);
    lua_seti(L, -2, i + 1);
  }
  lua_setfield(L, -2, key);
}

/* core.sling{cg = {forward, left, up}, points = {{...}, ...}, lengths = {...}} in mm -> {hook, up, pitch, roll, tilt, tension (of 1),
** angle, slack, shared}; degrees, nose down and left side up positive */
static int l_sling(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const sy_vec3 cg = syl_three_under(L, 1, "cg", SY_MILLIMETRE);
  sy_sling sling = {0};
  lua_getfield(L, 1, "points");
  lua_getfield(L, 1, "lengths");
  luaL_checktype(L, 2, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TTABLE);
  const lua_Integer count = syl_length(L, 2);
  sling.count = count > SY_MAX_LEGS ? SY_MAX_LEGS + 1 : (int)count;
  for (int i = 0; i < sling.count && i < SY_MAX_LEGS; i++) {
    lua_geti(L, 2, i + 1);
    sling.point[i] = syl_three_at(L, -1, 1, SY_MILLIMETRE);
    lua_pop(L, 1);
    sling.length[i] = syl_number_at(L, 3, i + 1) * SY_MILLIMETRE;
  }
  sy_hang hang;
  sy_error err;
  if (sy_hang_make(&sling, cg, &hang, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 9);
  set_three(L, "hook", hang.hook, 1 / SY_MILLIMETRE);
  set_three(L, "up", hang.up, 1);
  syl_set_number(L, "pitch", hang.pitch / SY_DEGREE);
  syl_set_number(L, "roll", hang.roll / SY_DEGREE);
  syl_set_number(L, "tilt", hang.tilt / SY_DEGREE);
  set_legs(L, "tension", hang.tension, sling.count, 1);
  set_legs(L, "angle", hang.angle, sling.count, 1 / SY_DEGREE);
  lua_createtable(L, sling.count, 0);
  for (int i = 0; i < sling.count; i++) {
    lua_pushboolean(L, hang.slack[i]);
    lua_seti(L, -2, i + 1);
  }
  lua_setfield(L, -2, "slack");
  lua_pushboolean(L, hang.shared);
  lua_setfield(L, -2, "shared");
  return 1;
}

/* ---- stands ---------------------------------------------------------------------------------------------------- */

static sy_plan read_plan(lua_State *L, int index) {
  luaL_checktype(L, index, LUA_TTABLE);
  index = lua_absindex(L, index);
  return (sy_plan){syl_number_at(L, index, 1) * SY_MILLIMETRE, syl_number_at(L, index, 2) * SY_MILLIMETRE};
}

/* core.support(stands, cg, weights) -> {margin, from, to, outward, share, loads, even}, list of fractions of the car that tip it from
** each place in `weights` (math.huge: never). Places are {forward, left} in mm; loads fractions of the weight. */
static int l_support(lua_State *L) {
  lua_settop(L, 3);
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TTABLE);
  const lua_Integer count = syl_length(L, 1);
  sy_plan at[SY_MAX_STANDS];
  for (int i = 0; i < count && i < SY_MAX_STANDS; i++) {
    lua_geti(L, 1, i + 1);
    at[i] = read_plan(L, -1);
    lua_pop(L, 1);
  }
  sy_support support;
  sy_error err;
  if (sy_support_make(at, count > SY_MAX_STANDS ? SY_MAX_STANDS + 1 : (int)count, &support, &err) != SY_OK)
    return syl_raise(L, &err);
  const sy_plan cg = read_plan(L, 2);
  const sy_support_loads held = sy_support_load(&support, cg);
  lua_createtable(L, 0, 7);
  syl_set_number(L, "margin", held.margin / SY_MILLIMETRE);
  syl_set_number(L, "share", held.share);
  set_three(L, "outward", (sy_vec3){held.outward.x, held.outward.y, 0}, 1);
  set_legs(L, "loads", held.load, support.count, 1);
  lua_pushinteger(L, held.from + 1);
  lua_setfield(L, -2, "from");
  lua_pushinteger(L, held.to + 1);
  lua_setfield(L, -2, "to");
  lua_pushboolean(L, held.even);
  lua_setfield(L, -2, "even");
  const lua_Integer weights = syl_length(L, 3);
  lua_createtable(L, (int)weights, 0);
  for (lua_Integer i = 1; i <= weights; i++) {
    lua_geti(L, 3, i);
    const sy_plan place = read_plan(L, -1);
    lua_pop(L, 1);
    lua_pushnumber(L, sy_support_to_tip(&support, cg, place));
    lua_seti(L, -2, i);
  }
  return 2;
}

static const luaL_Reg functions[] = {
    {"shaft", l_shaft}, {"cardan", l_cardan},   {"cardan_pair", l_cardan_pair},
    {"sling", l_sling}, {"support", l_support}, {NULL, NULL},
};

void syl_open_shop(lua_State *L) { luaL_setfuncs(L, functions, 0); }
