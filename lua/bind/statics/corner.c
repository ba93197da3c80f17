/* corner.c - the vehicle on its springs, as Lua tables. */
#include "bind/statics/corner.h"

#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "answers/corner_answers.h"
#include "base/units.h"
#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"

void syl_push_axle_key(lua_State *L, const syl_geometry *g, int geometry_index, int axle) {
  if (g->vehicle.axle_count == 2) {
    lua_pushstring(L, axle == 0 ? "front" : "rear");
    return;
  }
  lua_getiuservalue(L, geometry_index, SYL_AXLE_NAMES);
  lua_geti(L, -1, axle + 1);
  lua_remove(L, -2);
}

/* ---- what goes in ------------------------------------------------------------------------------------------------------- */

void syl_read_list(lua_State *L, int index, int count, double scale, double *out) {
  for (int i = 0; i < count; i++) out[i] = 0.0;
  if (lua_isnoneornil(L, index)) return;
  luaL_checktype(L, index, LUA_TTABLE);
  for (int i = 0; i < count; i++) {
    lua_geti(L, index, i + 1);
    out[i] = luaL_checknumber(L, -1) * scale;
    lua_pop(L, 1);
  }
}

/* ---- headline answers from the wheels' loads ------------------------------------------------------------------------------ */

static void set_headlines(lua_State *L, const syl_geometry *g, const double *load) {
  static const struct {
    const char *name;
    double scale;
  } shown[SY_LOAD_WHEEL] = {{"front", SYL_PER_KG}, {"rear", SYL_PER_KG},   {"left", SYL_PER_KG},
                            {"right", SYL_PER_KG}, {"mass", 1.0},          {"front_share", 100.0},
                            {"left_share", 100.0}, {"cross_share", 100.0}, {"diagonal_ratio", 1.0}};
  double by[SY_MAX_WHEELS];
  for (int a = 0; a < SY_LOAD_WHEEL; a++)
    syl_set_number(L, shown[a].name, shown[a].scale * sy_load_answer(&g->map, load, a, by));
  for (int i = 0; i < g->map.wheel_count; i++) syl_set_number(L, g->wheel_key[i], load[i] * SYL_PER_KG);
}

/* ---- what comes out ----------------------------------------------------------------------------------------------------------- */

void syl_set_by_wheel(lua_State *L, const char *key, const syl_geometry *g, const double *value,
                      double scale) {
  lua_createtable(L, 0, g->map.wheel_count);
  for (int i = 0; i < g->map.wheel_count; i++) syl_set_number(L, g->wheel_key[i], value[i] * scale);
  lua_setfield(L, -2, key);
}

static void set_heights(lua_State *L, const syl_geometry *g, const sy_corner_result *r) {
  const sy_vehicle *v = &g->vehicle;
  lua_createtable(L, 0, g->map.wheel_count + 2);
  syl_set_number(L, "front", (r->pose[0] - r->pose[1] * v->axle[0].x) * 1e3);
  syl_set_number(L, "rear", (r->pose[0] - r->pose[1] * v->axle[v->axle_count - 1].x) * 1e3);
  for (int i = 0; i < g->map.wheel_count; i++)
    if (g->map.wheel[i].side != 0) syl_set_number(L, g->wheel_key[i], r->height[i] * 1e3);
  lua_setfield(L, -2, "heights");
}

static void set_lists(lua_State *L, const syl_geometry *g, const sy_corner_result *r) {
  lua_Integer lifted = 0;
  lua_newtable(L);
  lua_newtable(L);
  for (int i = 0; i < g->map.wheel_count; i++) {
    if (!r->fits[i].touches) {
      lua_pushstring(L, g->wheel_key[i]);
      lua_seti(L, -3, ++lifted);
    }
    if (r->fits[i].stop != 0) {
      lua_pushstring(L, r->fits[i].stop > 0 ? "bump" : "droop");
      lua_setfield(L, -2, g->wheel_key[i]);
    }
  }
  lua_setfield(L, -3, "stops");
  lua_setfield(L, -2, "lifted");
}

/* Of an axle whose wheels differ the mean, beside each wheel's own. */
static double wheel_rate(lua_State *L, const syl_geometry *g, const double *rate, int axle, int first) {
  const double left = rate[first];
  if (g->vehicle.axle[axle].wheels == 1 || left == rate[first + 1]) return left * 1e-3;
  for (int i = 0; i < 2; i++) syl_set_number(L, g->wheel_key[first + i], rate[first + i] * 1e-3);
  return 0.5 * (left + rate[first + 1]) * 1e-3;
}

void syl_set_wheel_rates(lua_State *L, const syl_geometry *g, int geometry_index, const sy_stand *stand) {
  double rate[SY_MAX_WHEELS];
  sy_corner_rates_at(&stand->model, &stand->setting, &stand->result, rate);
  lua_createtable(L, 0, g->vehicle.axle_count);
  for (int a = 0, first = 0; a < g->vehicle.axle_count; first += g->vehicle.axle[a].wheels, a++) {
    const double mean = wheel_rate(L, g, rate, a, first);
    syl_push_axle_key(L, g, geometry_index, a);
    lua_pushnumber(L, mean);
    lua_settable(L, -3);
  }
  lua_setfield(L, -2, "wheel_rate");
}

double syl_ride_hz(const sy_stand *s, int axle) {
  return s->model.bent != 0 ? sy_corner_ride_hz_at(&s->model, &s->setting, &s->load, &s->result, axle)
                            : sy_corner_ride_hz(&s->model, axle);
}

static void set_axles(lua_State *L, const syl_geometry *g, int geometry_index, const sy_stand *stand) {
  static const char *const name[2] = {"bars", "ride_hz"};
  const bool bars = stand->setting.bars;
  syl_set_wheel_rates(L, g, geometry_index, stand);
  for (int k = 0; k < 2; k++) {
    lua_createtable(L, 0, g->vehicle.axle_count);
    for (int a = 0; a < g->vehicle.axle_count; a++) {
      if (k == 0 && (!bars || g->vehicle.axle[a].wheels == 1)) continue;
      const double value =
          k == 0 ? stand->result.bar[a] * sy_vehicle_track(&g->vehicle, a) + 0.0 : syl_ride_hz(stand, a);
      if (isnan(value)) continue;
      syl_push_axle_key(L, g, geometry_index, a);
      lua_pushnumber(L, value);
      lua_settable(L, -3);
    }
    lua_setfield(L, -2, name[k]);
  }
}

/* {lf = mm that the wheel is into its bump stop}; nothing where no wheel has one. */
static void set_bump_stops(lua_State *L, const syl_geometry *g, const sy_corner_result *r) {
  bool any = false;
  for (int i = 0; i < g->map.wheel_count; i++) any = any || !isnan(g->vehicle.wheel[i].stop_gap);
  if (!any) return;
  lua_newtable(L);
  for (int i = 0; i < g->map.wheel_count; i++) {
    const sy_wheel *w = &g->vehicle.wheel[i];
    if (sy_wheel_on_bump_stop(w, r->travel[i]))
      syl_set_number(L, g->wheel_key[i], (r->travel[i] - w->stop_gap) * 1e3);
  }
  lua_setfield(L, -2, "bump_stops");
}

/* {lf = {lf = kg.., cross_share = %, height = mm, heights = {..}}, ..}: what one step (m) under or at each wheel changes. */
static void push_steps(lua_State *L, const syl_geometry *g, const double *load,
                       double by[SY_MAX_WHEELS][SY_MAX_WHEELS], double rise[SY_MAX_WHEELS][SY_MAX_WHEELS],
                       const double *step) {
  double by_load[SY_MAX_WHEELS];
  const double cross = sy_load_answer(&g->map, load, SY_LOAD_CROSS_SHARE, by_load);
  lua_createtable(L, 0, g->map.wheel_count);
  for (int j = 0; j < g->map.wheel_count; j++) {
    if (isnan(step[j])) continue;
    double share = 0.0;
    lua_createtable(L, 0, g->map.wheel_count + 3);
    for (int i = 0; i < g->map.wheel_count; i++) {
      share += 100.0 * by_load[i] * by[i][j] * step[j];
      syl_set_number(L, g->wheel_key[i], by[i][j] * step[j] * SYL_PER_KG + 0.0);
    }
    if (!isnan(cross)) syl_set_number(L, "cross_share", share + 0.0);
    syl_set_number(L, "height", rise[j][j] * step[j] * 1e3);
    lua_createtable(L, 0, g->map.wheel_count);
    for (int i = 0; i < g->map.wheel_count; i++)
      syl_set_number(L, g->wheel_key[i], rise[i][j] * step[j] * 1e3 + 0.0);
    lua_setfield(L, -2, "heights");
    lua_setfield(L, -2, g->wheel_key[j]);
  }
}

/* core.corner_steps(asked) -> per_turn, per_pad_mm, liquid lying as it does */
static int l_corner_steps(lua_State *L) {
  syl_asked a;
  sy_stand stand;
  sy_corner_sensitivities s;
  sy_error err;
  double turn[SY_MAX_WHEELS], millimetre[SY_MAX_WHEELS];
  syl_read_asked(L, 1, &a);
  syl_stand(L, &a, &stand);
  if (sy_stand_sensitivities(&stand, &s, &err) != SY_OK) return syl_raise(L, &err);
  for (int i = 0; i < a.g->map.wheel_count; i++) {
    turn[i] = a.g->vehicle.wheel[i].perch_pitch;
    millimetre[i] = 1e-3;
  }
  push_steps(L, a.g, stand.result.load, s.load_perch, s.height_perch, turn);
  push_steps(L, a.g, stand.result.load, s.load_pad, s.height_pad, millimetre);
  return 2;
}

static void set_pose(lua_State *L, const sy_corner_result *r) {
  syl_set_number(L, "pitch", -r->pose[1] / SY_DEGREE + 0.0); /* nose up */
  syl_set_number(L, "roll", 0.5 * (r->pose[2] + r->pose[3]) / SY_DEGREE);
  syl_set_number(L, "twist", (r->pose[2] - r->pose[3]) / SY_DEGREE);
}

void syl_push_stand(lua_State *L, const syl_geometry *g, const sy_corner_result *r) {
  lua_createtable(L, 0, 32);
  set_headlines(L, g, r->load);
  set_lists(L, g, r);
  set_heights(L, g, r);
  set_pose(L, r);
  syl_set_by_wheel(L, "travel", g, r->travel, 1e3);
  set_bump_stops(L, g, r);
}

/* core.corners(asked) -> loads and heights, liquids: kg, mm, degrees, percent. asked: see bind/answers/asked.h */
static int l_corners(lua_State *L) {
  syl_asked a;
  sy_stand stand;
  syl_read_asked(L, 1, &a);
  syl_stand(L, &a, &stand);
  const int geometry = syl_push_geometry_of(L, 1);
  syl_push_stand(L, a.g, &stand.result);
  set_axles(L, a.g, geometry, &stand);
  syl_set_liquids(L, a.tanks, &a.g->vehicle, stand.gravity, stand.result.pose);
  return 1;
}

static const luaL_Reg functions[] = {{"corners", l_corners}, {"corner_steps", l_corner_steps}, {NULL, NULL}};

void syl_open_corner(lua_State *L) { luaL_setfuncs(L, functions, 0); }
