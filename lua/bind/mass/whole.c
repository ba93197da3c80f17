/* whole.c - groups that count as they were weighed. mm and kg m2 in the file's axes, inside a group in its own. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/vehicle/geometry.h"
#include "mass/whole.h"

static sy_vec3 sizes(sy_vec3 v) { return (sy_vec3){fabs(v.x), fabs(v.y), fabs(v.z)}; }

static sy_sym3 tensor_at(lua_State *L, int index, const syl_geometry *g) {
  const sy_sym3 j = {syl_number_under(L, index, "xx", 1, 0), syl_number_under(L, index, "yy", 1, 0),
                     syl_number_under(L, index, "zz", 1, 0), syl_number_under(L, index, "xy", 1, 0),
                     syl_number_under(L, index, "xz", 1, 0), syl_number_under(L, index, "yz", 1, 0)};
  return sy_axes_tensor_in(&g->axes, j);
}

/* {mass, sd?, cg?, cg_sd?, inertia?, inertia_sd?} */
static sy_weighed_whole whole_at(lua_State *L, int index, const syl_geometry *g) {
  sy_weighed_whole w = sy_weighed_whole_default();
  w.mass = syl_number_under(L, index, "mass", 1, (double)NAN);
  w.mass_sd = syl_number_under(L, index, "sd", 1, 0);
  w.has_cg = lua_getfield(L, index, "cg") != LUA_TNIL;
  if (w.has_cg) w.cg = sy_axes_vector_in(&g->axes, syl_three_at(L, -1, 1, SY_MILLIMETRE));
  if (w.has_cg)
    w.cg_sd = sizes(sy_axes_vector_in(&g->axes, syl_three_under(L, index, "cg_sd", SY_MILLIMETRE)));
  w.has_inertia = lua_getfield(L, index, "inertia") != LUA_TNIL;
  if (w.has_inertia) {
    w.inertia = tensor_at(L, lua_gettop(L), g);
    lua_getfield(L, index, "inertia_sd");
    const sy_sym3 sd = tensor_at(L, lua_gettop(L), g);
    w.inertia_sd = (sy_sym3){fabs(sd.xx), fabs(sd.yy), fabs(sd.zz), fabs(sd.xy), fabs(sd.xz), fabs(sd.yz)};
    lua_pop(L, 1);
  }
  lua_pop(L, 2);
  return w;
}

/* core.count_whole(pieces, ledger, geometry, line, whole) -> ledger; see whole.h */
static int l_count_whole(lua_State *L) {
  const sy_ledger *pieces = syl_check_ledger(L, 1), *ledger = syl_check_ledger(L, 2);
  const syl_geometry *g = syl_check_geometry(L, 3);
  const sy_route line = syl_check_route(L, 4);
  luaL_checktype(L, 5, LUA_TTABLE);
  const sy_weighed_whole w = whole_at(L, 5, g);
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_count_whole(pieces, ledger, &line, &w, box, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

static sy_item item_at(lua_State *L, int index) {
  const sy_route route = syl_check_route(L, index);
  sy_item item;
  sy_error err;
  if (sy_ledger_item(syl_check_ledger(L, 1), &route, &item, &err) != SY_OK) syl_raise(L, &err);
  return item;
}

/* core.place_in_group(ledger, geometry, group, {x, y, z}, {sd, sd, sd}) -> x, y, z, their uncertainties: of the file */
static int l_place_in_group(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 2);
  const sy_item item = item_at(L, 3);
  luaL_argcheck(L, item.group != NULL, 3, "not a group");
  const sy_frame frame = sy_frame_compose(&item.outer, &item.group->frame);
  lua_settop(L, 5);
  const sy_vec3 sd = sy_axes_vector_in(&g->axes, syl_three_at(L, 5, 1, SY_MILLIMETRE));
  const sy_vec3 at = sy_axes_vector_in(&g->axes, syl_three_at(L, 4, 1, SY_MILLIMETRE));
  const sy_vec3 place = sy_axes_point_out(&g->axes, sy_frame_apply(&frame, at));
  double square[3];
  for (int i = 0; i < 3; i++) {
    const double *row = frame.turn.m[i];
    square[i] = pow(row[0] * sd.x, 2) + pow(row[1] * sd.y, 2) + pow(row[2] * sd.z, 2);
  }
  const sy_vec3 spread =
      sizes(sy_axes_vector_out(&g->axes, (sy_vec3){sqrt(square[0]), sqrt(square[1]), sqrt(square[2])}));
  const double out[6] = {place.x, place.y, place.z, spread.x, spread.y, spread.z};
  for (int i = 0; i < 6; i++) lua_pushnumber(L, out[i] / SY_MILLIMETRE);
  return 6;
}

/* core.beyond_parts(ledger, geometry, line) -> kg, kg m along the file's x, y and z: what a whole has beyond its parts, about their cg; nil
** when the line is none of that */
static int l_beyond_parts(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 2);
  const sy_item item = item_at(L, 3);
  if (item.part == NULL || item.part->whole == NULL) return 0;
  const sy_whole *w = item.part->whole;
  const sy_vec3 moment = sy_vec3_muladd(w->moment, w->mass, w->arm);
  const sy_vec3 out = sy_axes_vector_out(&g->axes, sy_mat3_apply(item.outer.turn, moment));
  lua_pushnumber(L, item.part->mass);
  lua_pushnumber(L, out.x);
  lua_pushnumber(L, out.y);
  lua_pushnumber(L, out.z);
  return 4;
}

/* core.whole_changed(ledger, group) -> counts a group as it was weighed while something in it is not as it then was? */
static int l_whole_changed(lua_State *L) {
  const sy_route route = syl_check_route(L, 2);
  sy_whole_body body;
  lua_pushboolean(L, sy_ledger_whole_body(syl_check_ledger(L, 1), &route, &body) && !body.unchanged);
  return 1;
}

void syl_open_whole(lua_State *L) {
  static const luaL_Reg functions[] = {{"count_whole", l_count_whole},
                                       {"place_in_group", l_place_in_group},
                                       {"beyond_parts", l_beyond_parts},
                                       {"whole_changed", l_whole_changed},
                                       {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
