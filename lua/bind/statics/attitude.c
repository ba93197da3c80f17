/* attitude.c - where the body stands and how it rides, as Lua tables. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/statics/corner.h"
#include "statics/rake.h"
#include "statics/ride.h"

static double rise_at(const syl_geometry *g, const sy_corner_result *r, double x, double y) {
  const sy_vehicle *v = &g->vehicle;
  const double c = (x - v->axle[v->axle_count - 1].x) / sy_vehicle_wheelbase(v);
  return r->pose[0] - r->pose[1] * x + y * (c * r->pose[2] + (1.0 - c) * r->pose[3]);
}

/* Rises (mm) of points given as {forward, left} (mm). */
static void set_rises(lua_State *L, const syl_geometry *g, const sy_corner_result *r, int points) {
  lua_newtable(L);
  if (!lua_isnoneornil(L, points)) {
    luaL_checktype(L, points, LUA_TTABLE);
    const lua_Integer n = syl_length(L, points);
    for (lua_Integer i = 1; i <= n; i++) {
      lua_geti(L, points, i);
      lua_geti(L, -1, 1);
      lua_geti(L, -2, 2);
      const double x = luaL_checknumber(L, -2) * 1e-3, y = luaL_checknumber(L, -1) * 1e-3;
      lua_pop(L, 3);
      lua_pushnumber(L, rise_at(g, r, x, y) * 1e3);
      lua_seti(L, -2, i);
    }
  }
  lua_setfield(L, -2, "rises");
}

/* How far the CG went with the body, the wheels and the liquid: mm forward, left, up. The body turns about a point at the front wheels' height
** over the front axle that only rises. */
static void set_cg_shift(lua_State *L, const syl_geometry *g, const sy_stand *c) {
  const sy_corner_result *r = &c->result;
  const double height = sy_vehicle_radius(&g->vehicle, 0), m = c->sums.m;
  const double above = c->sprung.first.z - height * c->sprung.m; /* kg m */
  const double roll = 0.5 * (r->pose[2] + r->pose[3]);
  const double shift[3] = {(r->pose[1] * above + c->moved.first.x) / m, (c->moved.first.y - roll * above) / m,
                           sy_stand_cg_rise(c)};
  static const char *const way[3] = {"forward", "left", "up"};
  lua_createtable(L, 0, 3);
  for (int k = 0; k < 3; k++) syl_set_number(L, way[k], shift[k] * 1e3);
  lua_setfield(L, -2, "cg_shift");
}

typedef struct axle_ride {
  double hz, hop, deflection; /* NAN where nothing is carried or unsprung */
} axle_ride;

/* Wheel and tyre in series. */
static double ride_rate(double wheel, double tyre) { return wheel * tyre / (wheel + tyre); }

/* wheel_rate  where the car stands, under the air too;  r  how it stands without */
static axle_ride ride_of(const sy_stand *c, const double *wheel_rate, const sy_corner_result *r, int axle) {
  double rate = 0.0, force = 0.0, load = 0.0, unsprung = 0.0, stiff = 0.0;
  for (int i = 0; i < c->model.wheel_count; i++) {
    if (c->model.wheel[i].axle != axle) continue;
    rate += ride_rate(wheel_rate[i], c->model.tyre_rate[i]);
    stiff += wheel_rate[i] + c->model.tyre_rate[i];
    force += r->load[i] - c->load.wheel[i];
    load += r->load[i];
    unsprung += c->load.wheel[i] / -c->gravity.z;
  }
  const double none = (double)NAN;
  const bool carries = force > SY_CORNER_NOTHING * load;
  return (axle_ride){carries ? sqrt(rate * -c->gravity.z / force) / (2.0 * SY_PI) : none,
                     unsprung > 0 ? sy_ride_wheel_hop(stiff, 0, unsprung) : none,
                     carries ? sy_ride_deflection(force, rate) : none};
}

/* By axle: frequency, hop and deflection as loaded, ride_hz as drawn. */
static void set_axle_rides(lua_State *L, const syl_geometry *g, int geometry_index, const sy_stand *c,
                           const double *wheel_rate, const sy_corner_result *r) {
  static const char *const name[4] = {"frequency", "hop", "deflection", "ride_hz"};
  for (int k = 0; k < 4; k++) {
    lua_createtable(L, 0, 4);
    for (int a = 0; a < g->vehicle.axle_count; a++) {
      const axle_ride ride = ride_of(c, wheel_rate, r, a);
      const double value[4] = {ride.hz, ride.hop, ride.deflection * 1e3, syl_ride_hz(c, a)};
      if (isnan(value[k])) continue;
      syl_push_axle_key(L, g, geometry_index, a);
      lua_pushnumber(L, value[k]);
      lua_settable(L, -3);
    }
    lua_setfield(L, -2, name[k]);
  }
}

/* Modes, nodes and index of the sprung body; left out when it has no inertia about the cross axis. */
static void set_modes(lua_State *L, const syl_geometry *g, const sy_stand *c, const double *wheel_rate) {
  if (!(c->sprung.m > 0)) return;
  const sy_massprops body = sy_sums_body(&c->sprung);
  double x[SY_MAX_WHEELS], rate[SY_MAX_WHEELS];
  for (int i = 0; i < g->map.wheel_count; i++) {
    x[i] = g->map.wheel[i].x;
    rate[i] = ride_rate(wheel_rate[i], c->model.tyre_rate[i]);
  }
  sy_ride_modes m;
  if (sy_ride_modes_of(body.mass, body.inertia.yy, body.cg.x, x, rate, (size_t)g->map.wheel_count, &m,
                       NULL) != SY_OK)
    return;
  lua_getfield(L, -1, "frequency");
  syl_set_number(L, "bounce", m.bounce);
  syl_set_number(L, "pitch", m.pitch);
  lua_pop(L, 1);
  lua_createtable(L, 0, 2);
  syl_set_number(L, "bounce", m.bounce_alone);
  syl_set_number(L, "pitch", m.pitch_alone);
  lua_setfield(L, -2, "uncoupled");
  lua_createtable(L, 0, 2);
  if (isfinite(m.bounce_node)) syl_set_number(L, "bounce", m.bounce_node * 1e3);
  syl_set_number(L, "pitch", m.pitch_node * 1e3);
  lua_setfield(L, -2, "node");
  syl_set_number(L, "dynamic_index",
                 sy_ride_dynamic_index(body.mass, body.inertia.yy, body.cg.x, g->vehicle.axle[0].x,
                                       g->vehicle.axle[g->vehicle.axle_count - 1].x));
  syl_set_number(L, "sprung_mass", body.mass);
  syl_set_number(L, "pitch_inertia", body.inertia.yy);
}

/* How it stands without air: what bounces is the mass, whatever presses it. */
static sy_corner_result without_air(lua_State *L, const syl_asked *a, const sy_stand *stand) {
  syl_asked still = *a;
  sy_stand other;
  bool air = false;
  for (int i = 0; i < a->g->vehicle.axle_count; i++) {
    air = air || still.car.setting.downforce[i] != 0.0;
    still.car.setting.downforce[i] = 0.0;
  }
  if (!air) return stand->result;
  syl_stand(L, &still, &other);
  return other.result;
}

/* core.attitude(asked, points?) -> what core.corners gives of heights, and rises of the points (mm, in their order), cg_shift (mm forward,
** left, up), wheel_rate where it bends, frequency, uncoupled, hop (Hz), node (mm ahead of the sprung CG), deflection (mm), ride_hz, dynamic_index, sprung_mass,
** pitch_inertia */
static int l_attitude(lua_State *L) {
  lua_settop(L, 2);
  syl_asked a;
  sy_stand stand;
  syl_read_asked(L, 1, &a);
  syl_stand(L, &a, &stand);
  const sy_corner_result still = without_air(L, &a, &stand);
  const int geometry = syl_push_geometry_of(L, 1);
  syl_push_stand(L, a.g, &stand.result);
  set_rises(L, a.g, &stand.result, 2);
  set_cg_shift(L, a.g, &stand);
  double rate[SY_MAX_WHEELS];
  sy_corner_rates_at(&stand.model, &stand.setting, &stand.result, rate);
  set_axle_rides(L, a.g, geometry, &stand, rate, &still);
  set_modes(L, a.g, &stand, rate);
  if (stand.model.bent != 0) syl_set_wheel_rates(L, a.g, geometry, &stand);
  syl_set_liquids(L, a.tanks, &a.g->vehicle, stand.gravity, stand.result.pose);
  return 1;
}

/* core.rake(geometry, {{forward, up, height, sd}, {..}}) -> {front, rear (mm up at the axle lines from drawn), nose_down (deg)}, the same of
** standard uncertainties: of a body two of whose points were measured above the floor; mm */
static int l_rake(lua_State *L) {
  const sy_vehicle *v = &syl_check_geometry(L, 1)->vehicle;
  sy_rake_point p[2];
  sy_rake r;
  sy_error err;
  luaL_checktype(L, 2, LUA_TTABLE);
  for (int i = 0; i < 2; i++) {
    double number[4];
    lua_geti(L, 2, i + 1);
    syl_read_list(L, lua_gettop(L), 4, SY_MILLIMETRE, number);
    lua_pop(L, 1);
    p[i] = (sy_rake_point){number[0], number[1], number[2], number[3]};
  }
  const double anchor = sy_vehicle_radius(v, 0); /* as car/ride_height.lua turns the body */
  if (sy_rake_of(p, v->axle[0].x, v->axle[v->axle_count - 1].x, anchor, &r, &err) != SY_OK)
    return syl_raise(L, &err);
  const double shown[2][3] = {{r.front, r.rear, r.pitch}, {r.front_sd, r.rear_sd, r.pitch_sd}};
  for (int k = 0; k < 2; k++) {
    lua_createtable(L, 0, 3);
    syl_set_number(L, "front", shown[k][0] / SY_MILLIMETRE);
    syl_set_number(L, "rear", shown[k][1] / SY_MILLIMETRE);
    syl_set_number(L, "nose_down", shown[k][2] / SY_DEGREE);
  }
  return 2;
}

static const luaL_Reg functions[] = {{"attitude", l_attitude}, {"rake", l_rake}, {NULL, NULL}};

void syl_open_attitude(lua_State *L) { luaL_setfuncs(L, functions, 0); }
