/* inertia.c - the inertia of a ledger about a point: kg m2 along the file's axes, places in mm. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/vehicle/geometry.h"
#include "mass/inertia.h"

static void set_place(lua_State *L, const char *key, sy_vec3 p) {
  lua_createtable(L, 0, 3);
  syl_set_number(L, "x", p.x / SY_MILLIMETRE);
  syl_set_number(L, "y", p.y / SY_MILLIMETRE);
  syl_set_number(L, "z", p.z / SY_MILLIMETRE);
  lua_setfield(L, -2, key);
}

/* sizes: without the signs that axes give products */
static void set_tensor(lua_State *L, const char *key, const sy_axes *axes, sy_sym3 inside, bool sizes) {
  const sy_sym3 j = sy_axes_tensor_out(axes, inside);
  const double v[6] = {j.xx, j.yy, j.zz, j.xy, j.xz, j.yz};
  static const char *const name[6] = {"xx", "yy", "zz", "xy", "xz", "yz"};
  lua_createtable(L, 0, 6);
  for (int i = 0; i < 6; i++) syl_set_number(L, name[i], sizes ? fabs(v[i]) : v[i]);
  lua_setfield(L, -2, key);
}

/* The vehicle's direction an axis lies nearest to, forward, left or up, and the axis turned that way round. */
static int nearest_way(sy_vec3 *axis) {
  int best = 0;
  for (int i = 1; i < 3; i++)
    if (fabs(sy_vec3_along(*axis, i)) > fabs(sy_vec3_along(*axis, best))) best = i;
  if (sy_vec3_along(*axis, best) < 0) *axis = sy_vec3_scale(-1, *axis);
  return best;
}

static void push_principal(lua_State *L, const sy_inertia *r, int i) {
  static const char *const way[3] = {"fore-aft", "across", "upright"};
  sy_vec3 axis = r->axis[i];
  const int near = nearest_way(&axis);
  lua_createtable(L, 0, 4);
  syl_set_number(L, "moment", r->moment[i]);
  syl_set_list(L, "axis", &axis.x, 3, 1);
  lua_pushstring(L, way[near]);
  lua_setfield(L, -2, "near");
  syl_set_number(L, "off", acos(fmin(1, sy_vec3_along(axis, near))) / SY_DEGREE);
}

static void set_turns(lua_State *L, sy_sym3 j) {
  syl_set_number(L, "roll_inertia", j.xx);
  syl_set_number(L, "pitch_inertia", j.yy);
  syl_set_number(L, "yaw_inertia", j.zz);
}

/* core.inertia(ledger, geometry, {forward, left, up}?) -> {mass, cg, about, inertia, roll_inertia, pitch_inertia, yaw_inertia, principal =
** {{moment, axis = {forward, left, up}, near, off}, ...}, sd = {the same but for places}, parts, points}: about the point, or the cg */
static int l_inertia(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_axes *axes = &syl_check_geometry(L, 2)->axes;
  lua_settop(L, 3);
  const bool given = !lua_isnil(L, 3);
  const sy_vec3 about = given ? syl_three_at(L, 3, 1, SY_MILLIMETRE) : (sy_vec3){0, 0, 0};
  sy_inertia r;
  sy_error err;
  if (sy_ledger_inertia(ledger, given ? &about : NULL, &r, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 8);
  syl_set_number(L, "mass", r.mass);
  set_place(L, "cg", sy_axes_point_out(axes, r.cg));
  set_place(L, "about", sy_axes_point_out(axes, r.about));
  set_tensor(L, "inertia", axes, r.tensor, false);
  set_turns(L, r.tensor);
  syl_set_number(L, "parts", (double)r.parts);
  syl_set_number(L, "points", (double)r.points);
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    push_principal(L, &r, i);
    lua_seti(L, -2, i + 1);
  }
  lua_setfield(L, -2, "principal");
  lua_createtable(L, 0, 2);
  set_tensor(L, "inertia", axes, r.tensor_sd, true);
  set_turns(L, r.tensor_sd);
  syl_set_list(L, "principal", r.moment_sd, 3, 1);
  lua_setfield(L, -2, "sd");
  return 1;
}

void syl_open_inertia(lua_State *L) {
  lua_pushcfunction(L, l_inertia);
  lua_setfield(L, -2, "inertia");
}
