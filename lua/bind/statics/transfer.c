/* transfer.c - load transfer as Lua tables. */
#include <lauxlib.h>
#include <math.h>

#include "answers/transfer_answers.h"
#include "base/units.h"
#include "bind/answers/asked.h"
#include "bind/answers/shown.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/statics/corner.h"

static sy_vec3 gravity_of(const sy_pushed *s) {
  const double g = SY_STANDARD_GRAVITY;
  return (sy_vec3){s->forward * g, s->left * g, -g};
}

/* Onto the outer wheel. */
static void set_paths(lua_State *L, const syl_geometry *g, int geometry, const sy_pushed *s) {
  const double side = s->left < 0 ? SYL_PER_KG : -SYL_PER_KG;
  lua_newtable(L);
  for (int a = 0; a < g->vehicle.axle_count; a++) {
    if (g->vehicle.axle[a].wheels == 1) continue;
    const sy_across across = sy_pushed_across(s, a);
    syl_push_axle_key(L, g, geometry, a);
    lua_createtable(L, 0, 5);
    syl_set_number(L, "total", side * across.total);
    syl_set_number(L, "geometric", side * across.geometric);
    syl_set_number(L, "unsprung", side * across.unsprung);
    syl_set_number(L, "elastic", side * across.elastic);
    if (!isnan(g->vehicle.axle[a].lateral_rate)) syl_set_number(L, "tyres", side * across.tyres);
    lua_settable(L, -3);
  }
  lua_setfield(L, -2, "paths");
}

static void set_first_lift(lua_State *L, const syl_geometry *g, const sy_pushed *s) {
  if (!s->stands) return;
  lua_newtable(L);
  syl_set_number(L, "g", s->lift.limit);
  if (!isnan(s->lift.limit)) {
    lua_pushstring(L, g->wheel_key[s->lift.wheel]);
    lua_setfield(L, -2, "wheel");
  }
  syl_set_number(L, "tips", s->tips);
  lua_setfield(L, -2, "first_lift");
}

/* How far the body rose over the first and last axle line since standing still, mm. */
static void set_heights(lua_State *L, const sy_pushed *s) {
  lua_createtable(L, 0, 2);
  syl_set_number(L, "front", sy_pushed_height(s, 0) * 1e3);
  syl_set_number(L, "rear", sy_pushed_height(s, s->model.corner.vehicle.axle_count - 1) * 1e3);
  lua_setfield(L, -2, "heights");
}

/* links = {front =, rear =, front_share =}, percent; nothing where no link carries any of it. */
static void set_links(lua_State *L, const sy_pushed *s) {
  sy_transfer_links links;
  if (sy_transfer_links_at(&s->model, gravity_of(s), &links, NULL) != SY_OK) return;
  if (!(links.part[0] != 0.0 || links.part[1] != 0.0) || isnan(links.front_share)) return;
  lua_createtable(L, 0, 3);
  syl_set_number(L, "front", 100.0 * links.part[0]);
  syl_set_number(L, "rear", 100.0 * links.part[1]);
  syl_set_number(L, "front_share", 100.0 * links.front_share);
  lua_setfield(L, -2, "links");
}

/* Of a car without rates: where it goes over, and the first wheel off as a rigid one. */
static void set_rigid(lua_State *L, const syl_geometry *g, const sy_pushed *s) {
  const sy_rigid_turn *turn = &s->rigid.turn;
  lua_createtable(L, 0, 3);
  if (turn->wheel >= 0) {
    syl_set_number(L, "g", turn->lift);
    lua_pushstring(L, g->wheel_key[turn->wheel]);
    lua_setfield(L, -2, "wheel");
  }
  syl_set_number(L, "tips", turn->tips);
  lua_setfield(L, -2, "rigid_lift");
}

/* core.transfer(asked, sd?) -> loads, gain (kg by wheel), paths, roll, pitch, twist (deg from standing still), front_transfer_share (%),
** pitch_gain (kg), heights {front, rear} (mm from standing still), links?, first_lift {g, wheel, tips}, travel, lifted, stops, liquids, and
** with `sd` a table of standard uncertainties by the set's names; nil and why where it does not stand. Without rates `rigid` is true and
** rigid_lift {g, wheel, tips} there, and only what does not rest on springs */
static int l_transfer(lua_State *L) {
  syl_asked a;
  sy_pushed s;
  sy_error err;
  double gain[SY_MAX_WHEELS];
  lua_settop(L, 2);
  syl_read_asked(L, 1, &a);
  const sy_status status = sy_pushed_make(&a.car, &s, &err);
  if (status == SY_GEOMETRY) {
    lua_pushnil(L);
    syl_push_error(L, &err);
    return 2;
  }
  if (status != SY_OK) return syl_raise(L, &err);
  for (int i = 0; i < a.g->map.wheel_count; i++) gain[i] = s.loaded.load[i] - s.rest.load[i];
  const int geometry = syl_push_geometry_of(L, 1);
  syl_push_stand(L, a.g, &s.loaded);
  syl_set_answers(L, sy_transfer_answers(), &s);
  static const char *const elsewhere[] = {"first_lift.g", "heights.front", "heights.rear"};
  for (int i = 0; i < 3; i++) { /* they stand in tables of their own */
    lua_pushnil(L);
    lua_setfield(L, -2, elsewhere[i]);
  }
  set_heights(L, &s);
  set_links(L, &s);
  syl_set_by_wheel(L, "gain", a.g, gain, SYL_PER_KG);
  syl_set_by_wheel(L, "standing", a.g, s.rest.load, SYL_PER_KG);
  lua_pushnil(L);
  lua_setfield(L, -2, "rigid_lift.g");
  lua_pushboolean(L, !s.sprung);
  lua_setfield(L, -2, "rigid");
  if (s.left != 0.0 && s.sprung) set_paths(L, a.g, geometry, &s);
  set_first_lift(L, a.g, &s);
  if (!s.sprung) set_rigid(L, a.g, &s);
  syl_set_liquids(L, a.tanks, &a.g->vehicle, gravity_of(&s), s.loaded.pose);
  if (!lua_toboolean(L, 2)) return 1;
  syl_push_uncertainties(L, sy_transfer_answers(), &a.car, &s);
  return 2;
}

static const luaL_Reg functions[] = {{"transfer", l_transfer}, {NULL, NULL}};

void syl_open_transfer(lua_State *L) { luaL_setfuncs(L, functions, 0); }
