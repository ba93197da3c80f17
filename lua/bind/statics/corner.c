/* corner.c - the vehicle on its springs, as Lua tables. */
#include "bind/statics/corner.h"

#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/module.h"
#include "bind/numbers.h"

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

static void read_setting(lua_State *L, const syl_geometry *g, int index, sy_corner_setting *out) {
  memset(out, 0, sizeof *out);
  syl_read_list(L, index, g->map.wheel_count, 1e-3, out->pad);
  syl_read_list(L, index + 1, g->map.wheel_count, 1.0, out->perch);
  for (int i = 0; i < g->map.wheel_count; i++) { /* turns to metres at the spring */
    const double pitch = g->vehicle.wheel[i].perch_pitch;
    if (out->perch[i] != 0.0) out->perch[i] *= pitch;
  }
  syl_read_list(L, index + 2, g->vehicle.axle_count, 1e-3, out->preload);
  out->bars = lua_toboolean(L, index + 3);
}

void syl_read_lean(lua_State *L, int index, double lean[2]) {
  static const char *const name[2] = {"nose_up", "left_up"};
  for (int k = 0; k < 2; k++) {
    lean[k] = 0.0;
    if (!lua_istable(L, index)) continue;
    lua_getfield(L, index, name[k]);
    lean[k] = luaL_optnumber(L, -1, 0.0);
    lua_pop(L, 1);
  }
}

sy_vec3 syl_lean_gravity(const double lean[2]) {
  const double g = SY_STANDARD_GRAVITY, fore = sin(lean[0] * SY_DEGREE), across = sin(lean[1] * SY_DEGREE);
  return (sy_vec3){-g * fore, -g * across, -g * sqrt(1.0 - fore * fore - across * across)};
}

/* Moves a cross share by `by` and nothing else. */
static void shift_cross(const syl_geometry *g, double by, double *loads) {
  double way[4], total = 0.0;
  sy_loadmap_warp(&g->map, way);
  for (int i = 0; i < 4; i++) total += loads[i];
  for (int i = 0; i < 4; i++) loads[i] += by * total * way[i];
}

sy_status syl_corner_drawn(const sy_totals *drawn, const syl_geometry *g, const sy_vehicle *vehicle,
                           sy_corner_model *out, sy_error *err) {
  const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};
  const sy_sums *all = &drawn->all;
  sy_corner_load load;
  double loads[SY_MAX_WHEELS];
  const double q[4] = {all->m, all->first.x, all->first.y, all->first.z};
  sy_loadmap_apply(&g->map, q, loads);
  if (g->map.split == SY_SPLIT_CROSS_SHARE && vehicle->cross_share != g->vehicle.cross_share)
    shift_cross(g, vehicle->cross_share - g->vehicle.cross_share, loads);
  const sy_status status = sy_corner_load_of(drawn, vehicle, level, &load, err);
  return status == SY_OK ? sy_corner_make(vehicle, &load, loads, out, err) : status;
}

sy_status syl_corner_load(const sy_totals *now, const syl_geometry *g, syl_corner *out, sy_error *err) {
  sy_totals t = *now;
  sy_settle_add(&t, &out->moved);
  out->sums = t.all;
  out->sprung = t.carried[SY_CARRIER_BODY];
  return sy_corner_load_of(&t, &g->vehicle, out->gravity, &out->load, err);
}

static void corner_of(lua_State *L, const syl_asked *q, syl_corner *out) {
  sy_error err;
  sy_totals *t = &out->now;
  sy_ledger_sums(q->drawn, t); /* doubts are asked for elsewhere */
  syl_add_drawn(q->tanks, t);
  if (syl_corner_drawn(t, q->g, &q->g->vehicle, &out->model, &err) != SY_OK) syl_raise(L, &err);
  if (q->now != q->drawn || q->tanks != NULL) sy_ledger_sums(q->now, t);
}

void syl_corner_solve(lua_State *L, const syl_corner *c, const sy_corner_setting *s, sy_corner_result *out) {
  sy_error err;
  if (sy_corner_solve(&c->model, &c->load, s, out, &err) != SY_OK) syl_raise(L, &err);
}

void syl_corner_ask(lua_State *L, int downforce, syl_asked *out) {
  out->now = syl_check_ledger(L, 1);
  out->drawn = syl_check_ledger(L, 2);
  out->g = syl_check_geometry(L, 3);
  out->tanks = syl_opt_tanks(L, 8);
  syl_read_lean(L, 4, out->lean);
  syl_corner *c = &out->corner;
  c->gravity = syl_lean_gravity(out->lean);
  corner_of(L, out, c);
  read_setting(L, out->g, 4, &out->setting);
  if (downforce != 0)
    syl_read_list(L, downforce, out->g->vehicle.axle_count, SY_STANDARD_GRAVITY, out->setting.downforce);
  const sy_settle_tanks tanks = syl_tanks_of(out->tanks);
  sy_settled s;
  sy_error err;
  if (sy_settle_corner(&c->model, &c->now, &tanks, c->gravity, &out->setting, &s, &err) != SY_OK)
    syl_raise(L, &err);
  out->result = s.stand;
  c->load = s.load;
  c->moved = s.moved;
  c->sums = sy_sums_add(&c->now.all, &s.moved);
  c->sprung = s.moved;
  if (c->now.carriers & 1u) c->sprung = sy_sums_add(&c->now.carried[SY_CARRIER_BODY], &s.moved);
}

void syl_corner_slopes(lua_State *L, const syl_asked *asked, sy_corner_slopes *out) {
  sy_error err;
  if (sy_corner_slope(&asked->corner.model, &asked->setting, asked->result.fits, out, &err) != SY_OK)
    syl_raise(L, &err);
}

const char *const syl_plain_name[SYL_PLAIN_ANSWERS] = {
    "front", "rear", "left", "right", "mass", "front_share", "left_share", "cross_share", "diagonal_ratio"};

/* ---- headline answers from the wheels' loads ------------------------------------------------------------------------------ */

/* What counts for a sum: 1, 0, or 1/2 on the centre line. */
static double counts(const sy_contact *w, int sum) {
  const double left = 0.5 + 0.5 * w->side;
  const bool cross = (w->axle == 0) == (w->side < 0);
  switch (sum) {
  case SYL_FRONT:
  case SYL_FRONT_SHARE: return w->axle == 0;
  case SYL_REAR: return w->axle != 0;
  case SYL_LEFT:
  case SYL_LEFT_SHARE: return left;
  case SYL_RIGHT: return 1.0 - left;
  case SYL_MASS: return 1.0;
  default: return cross;
  }
}

double syl_corner_answer(const syl_geometry *g, const double *load, int answer, double slope[SY_MAX_WHEELS]) {
  const bool crossed = g->map.split == SY_SPLIT_CROSS_SHARE;
  double part = 0.0, total = 0.0;
  for (int i = 0; i < g->map.wheel_count; i++) {
    part += counts(&g->map.wheel[i], answer) * load[i];
    total += load[i];
  }
  const double share = part / total;
  for (int i = 0; i < g->map.wheel_count; i++) {
    const double mine = counts(&g->map.wheel[i], answer), rest = total - part;
    slope[i] = answer <= SYL_MASS             ? mine * SYL_PER_KG
               : answer == SYL_DIAGONAL_RATIO ? (mine - (1.0 - mine) * part / rest) / rest
                                              : 100.0 * (mine - share) / total;
  }
  if (answer <= SYL_MASS) return part * SYL_PER_KG;
  if (answer >= SYL_CROSS_SHARE && !crossed) return (double)NAN;
  return answer == SYL_DIAGONAL_RATIO ? part / (total - part) : 100.0 * share;
}

static void set_headlines(lua_State *L, const syl_geometry *g, const double *load) {
  double slope[SY_MAX_WHEELS];
  for (int a = 0; a < SYL_PLAIN_ANSWERS; a++)
    syl_set_number(L, syl_plain_name[a], syl_corner_answer(g, load, a, slope));
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

static void set_axles(lua_State *L, const syl_geometry *g, int geometry_index, const sy_corner_model *m,
                      const sy_corner_result *r, bool bars) {
  static const char *const name[3] = {"bars", "wheel_rate", "ride_hz"};
  for (int k = 0; k < 3; k++) {
    lua_createtable(L, 0, g->vehicle.axle_count);
    for (int a = 0, first = 0; a < g->vehicle.axle_count; first += g->vehicle.axle[a].wheels, a++) {
      if (k == 0 && (!bars || g->vehicle.axle[a].wheels == 1)) continue;
      const double value = k == 0   ? r->bar[a] * sy_vehicle_track(&g->vehicle, a) + 0.0
                           : k == 1 ? m->wheel_rate[first] * 1e-3
                                    : sy_corner_ride_hz(m, a);
      if (isnan(value)) continue;
      syl_push_axle_key(L, g, geometry_index, a);
      lua_pushnumber(L, value);
      lua_settable(L, -3);
    }
    lua_setfield(L, -2, name[k]);
  }
}

/* {lf = {lf = kg.., cross_share = %, height = mm, heights = {..}}, ..}: what one step (m) under or at each wheel changes. */
static void push_steps(lua_State *L, const syl_geometry *g, const double *load,
                       double by[SY_MAX_WHEELS][SY_MAX_WHEELS], double rise[SY_MAX_WHEELS][SY_MAX_WHEELS],
                       const double *step) {
  double slope[SY_MAX_WHEELS];
  const double cross = syl_corner_answer(g, load, SYL_CROSS_SHARE, slope);
  lua_createtable(L, 0, g->map.wheel_count);
  for (int j = 0; j < g->map.wheel_count; j++) {
    if (isnan(step[j])) continue;
    double share = 0.0;
    lua_createtable(L, 0, g->map.wheel_count + 3);
    for (int i = 0; i < g->map.wheel_count; i++) {
      share += slope[i] * by[i][j] * step[j];
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

/* core.corner_steps(ledger, drawn, geometry, pads?, perches?, preload?, bars?, tanks?) -> per_turn, per_pad_mm, liquid lying as it does */
static int l_corner_steps(lua_State *L) {
  syl_asked q;
  syl_corner_ask(L, 0, &q);
  sy_corner_slopes s;
  syl_corner_slopes(L, &q, &s);
  double turn[SY_MAX_WHEELS], millimetre[SY_MAX_WHEELS];
  for (int i = 0; i < q.g->map.wheel_count; i++) {
    turn[i] = q.g->vehicle.wheel[i].perch_pitch;
    millimetre[i] = 1e-3;
  }
  push_steps(L, q.g, q.result.load, s.load_perch, s.height_perch, turn);
  push_steps(L, q.g, q.result.load, s.load_pad, s.height_pad, millimetre);
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
}

/* core.corners(ledger, drawn, geometry, pads?, perches?, preload?, bars?, tanks?) -> loads and heights, liquids.
** Pads mm, perches turns, by wheel in their order; preload mm by axle; the ground's slope as fields nose_up and left_up (deg) of pads. kg,
** mm, degrees, percent. */
static int l_corners(lua_State *L) {
  syl_asked q;
  syl_corner_ask(L, 0, &q);
  syl_push_stand(L, q.g, &q.result);
  set_axles(L, q.g, 3, &q.corner.model, &q.result, q.setting.bars);
  syl_set_liquids(L, q.tanks, &q.g->vehicle, q.corner.gravity, q.result.pose);
  return 1;
}

static const luaL_Reg functions[] = {{"corners", l_corners}, {"corner_steps", l_corner_steps}, {NULL, NULL}};

void syl_open_corner(lua_State *L) { luaL_setfuncs(L, functions, 0); }
