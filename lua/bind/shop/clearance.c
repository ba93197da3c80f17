#include "bind/shop/clearance.h"

#include <lauxlib.h>
#include <string.h>

#include "answers/gap_answers.h"
#include "base/units.h"
#include "bind/answers/found.h"
#include "bind/errors.h"
#include "bind/mass/mesh.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/vehicle/geometry.h"
#include "shop/overlaps.h"

static sy_envelope box_of(double l, double w, double h) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_POINTS);
  e.count = 8;
  for (int i = 0; i < 8; i++)
    e.point[i] = (sy_vec3){(i & 1 ? 0.5 : -0.5) * l, (i & 2 ? 0.5 : -0.5) * w, (i & 4 ? 0.5 : -0.5) * h};
  return e;
}

/* A round body along library axis 0, 1 or 2, between -below and +above its middle. */
static sy_envelope round_of(double radius, double tip, double below, double above, int axis) {
  static const sy_vec3 way[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_ROUND);
  e.end[0] = sy_vec3_scale(-below, way[axis]);
  e.end[1] = sy_vec3_scale(above, way[axis]);
  e.radius[0] = radius;
  e.radius[1] = tip;
  return e;
}

static sy_envelope ellipsoid_of(double l, double w, double h) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_ELLIPSOID);
  e.half = (sy_vec3){l / 2, w / 2, h / 2};
  return e;
}

/* A plate is a box without a third size: length upright and width across when its normal is fore-aft, length fore-aft and width upright
** when it is across (vehicles/README.md). */
static sy_envelope plate_of(double l, double w, int normal) {
  return normal == 0 ? box_of(0, w, l) : normal == 1 ? box_of(l, 0, w) : box_of(l, w, 0);
}

/* A mesh along the file's axes, its centroid at the part's place. */
static sy_envelope mesh_of(lua_State *L, int t, const sy_axes *axes) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_MESH);
  lua_getfield(L, t, "mesh");
  e.mesh = syl_check_mesh(L, -1); /* the table keeps it alive */
  lua_pop(L, 1);
  const sy_sums sums = sy_mesh_sums(e.mesh);
  e.place.turn = axes->matrix;
  e.place.at = sy_vec3_scale(-1 / sums.m, sy_mat3_apply(e.place.turn, sums.first));
  return e;
}

/* The list of points on top of the stack. */
static sy_envelope points_of(lua_State *L) {
  sy_envelope e = sy_envelope_default(SY_ENVELOPE_POINTS);
  luaL_checktype(L, -1, LUA_TTABLE);
  const lua_Integer count = syl_length(L, -1);
  luaL_argcheck(L, count >= 1 && count <= SY_ENVELOPE_POINTS_MOST, 1, "1 to 8 points");
  e.count = (int)count;
  for (int i = 0; i < e.count; i++) {
    lua_geti(L, -1, i + 1);
    e.point[i] = syl_three_at(L, -1, 1, SY_MILLIMETRE);
    lua_pop(L, 1);
  }
  return e;
}

sy_envelope syl_read_envelope(lua_State *L, int t, const sy_axes *axes) {
  double s[3] = {0, 0, 0};
  syl_some_at(L, t, SY_MILLIMETRE, s);
  lua_getfield(L, t, "axis");
  const lua_Integer given = luaL_optinteger(L, -1, 2);
  luaL_argcheck(L, given >= 0 && given <= 2, t, "an axis is 0, 1 or 2");
  const int axis = (int)given;
  lua_getfield(L, t, "kind");
  const char *kind = luaL_checkstring(L, -1);
  sy_envelope e;
  if (strcmp(kind, "box") == 0)
    e = box_of(s[0], s[1], s[2]);
  else if (strcmp(kind, "plate") == 0)
    e = plate_of(s[0], s[1], axis);
  else if (strcmp(kind, "cylinder") == 0)
    e = round_of(s[0] / 2, s[0] / 2, s[1] / 2, s[1] / 2, axis);
  else if (strcmp(kind, "tube") == 0)
    e = round_of(s[0] / 2, s[0] / 2, s[2] / 2, s[2] / 2, axis);
  else if (strcmp(kind, "rod") == 0)
    e = round_of(0, 0, s[0] / 2, s[0] / 2, axis);
  else if (strcmp(kind, "cone") == 0)
    e = round_of(s[0] / 2, 0, s[1] / 4, 3 * s[1] / 4, axis); /* from its cg */
  else if (strcmp(kind, "sphere") == 0 || strcmp(kind, "hollow_sphere") == 0)
    e = ellipsoid_of(s[0], s[0], s[0]);
  else if (strcmp(kind, "ellipsoid") == 0)
    e = ellipsoid_of(s[0], s[1], s[2]);
  else if (strcmp(kind, "mesh") == 0)
    e = mesh_of(L, t, axes);
  else {
    luaL_argcheck(L, strcmp(kind, "points") == 0, t, "no such envelope");
    lua_getfield(L, t, "points");
    e = points_of(L);
    lua_pop(L, 1);
  }
  lua_pop(L, 2);
  lua_getfield(L, t, "radius");
  e.rounding = luaL_optnumber(L, -1, 0) * SY_MILLIMETRE;
  if (lua_getfield(L, t, "sweep") != LUA_TNIL) e.sweep = syl_three_at(L, -1, 1, SY_MILLIMETRE);
  if (lua_getfield(L, t, "frames") != LUA_TNIL) {
    luaL_checktype(L, -1, LUA_TTABLE);
    const lua_Integer count = syl_length(L, -1);
    for (lua_Integer i = 1; i <= count; i++) {
      lua_geti(L, -1, i);
      const sy_frame outer = {syl_matrix_at(L, -1), syl_three_at(L, -1, 10, SY_MILLIMETRE)};
      e.place = sy_frame_compose(&outer, &e.place);
      lua_pop(L, 1);
    }
  }
  lua_pop(L, 3);
  return e;
}

/* core.gap(a, b, geometry) -> gap in mm, overlap, nearest point of a, of b; raises what clearance.h refuses */
static int l_gap(lua_State *L) {
  const sy_axes *axes = &syl_check_geometry(L, 3)->axes;
  const sy_envelope a = syl_read_envelope(L, 1, axes), b = syl_read_envelope(L, 2, axes);
  sy_gap gap;
  sy_error err;
  if (sy_clearance(&a, &b, &gap, &err) != SY_OK) return syl_raise(L, &err);
  lua_pushnumber(L, gap.gap / SY_MILLIMETRE);
  lua_pushboolean(L, gap.overlap);
  syl_push_three(L, gap.at[0], SY_MILLIMETRE);
  syl_push_three(L, gap.at[1], SY_MILLIMETRE);
  return 4;
}

/* core.reach(envelope, {f, l, u}, geometry) -> the point of it that lies farthest that way */
static int l_reach(lua_State *L) {
  const sy_axes *axes = &syl_check_geometry(L, 3)->axes;
  const sy_envelope e = syl_read_envelope(L, 1, axes);
  lua_settop(L, 2);
  const sy_vec3 way = syl_three_at(L, -1, 1, 1);
  sy_vec3 p;
  sy_error err;
  if (sy_envelope_reach(&e, way, &p, &err) != SY_OK) return syl_raise(L, &err);
  syl_push_three(L, p, SY_MILLIMETRE);
  return 1;
}

/* found is NULL once closed */
typedef struct found_box {
  sy_overlaps *found;
} found_box;

#define SYL_OVERLAPS "steelyard.overlaps"

static int l_overlaps_gc(lua_State *L) {
  found_box *b = luaL_checkudata(L, 1, SYL_OVERLAPS);
  sy_overlaps_free(b->found);
  b->found = NULL;
  return 0;
}

static void push_overlap(lua_State *L, const sy_overlap *pair) {
  lua_createtable(L, 0, 6);
  lua_pushinteger(L, (lua_Integer)pair->a + 1);
  lua_setfield(L, -2, "a");
  lua_pushinteger(L, (lua_Integer)pair->b + 1);
  lua_setfield(L, -2, "b");
  lua_pushboolean(L, pair->overlap);
  lua_setfield(L, -2, "overlap");
  lua_pushnumber(L, pair->gap / SY_MILLIMETRE);
  lua_setfield(L, -2, "gap");
  syl_push_three(L, pair->at[0], SY_MILLIMETRE);
  lua_setfield(L, -2, "p");
  syl_push_three(L, pair->at[1], SY_MILLIMETRE);
  lua_setfield(L, -2, "q");
}

/* core.overlaps({envelope ...}, gap, geometry) -> list of {a, b = places in the list, overlap, gap, p, q}; see overlaps.h */
static int l_overlaps(lua_State *L) {
  const sy_axes *axes = &syl_check_geometry(L, 3)->axes;
  const lua_Integer count = syl_length(L, 1);
  const double gap = luaL_checknumber(L, 2) * SY_MILLIMETRE;
  sy_envelope *bodies = lua_newuserdatauv(L, (size_t)count * sizeof *bodies + 1, 0);
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, 1, i + 1);
    bodies[i] = syl_read_envelope(L, lua_gettop(L), axes);
    lua_pop(L, 1);
  }
  found_box *b = lua_newuserdatauv(L, sizeof *b, 0);
  b->found = NULL;
  luaL_setmetatable(L, SYL_OVERLAPS);
  sy_error err;
  if (sy_overlaps_find(bodies, (size_t)count, gap, NULL, &b->found, &err) != SY_OK) return syl_raise(L, &err);
  const size_t found = sy_overlaps_count(b->found);
  lua_createtable(L, (int)found, 0);
  for (size_t i = 0; i < found; i++) {
    const sy_overlap pair = sy_overlaps_at(b->found, i);
    push_overlap(L, &pair);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  sy_overlaps_free(b->found);
  b->found = NULL;
  return 1;
}

/* {key, at, sd}: what stands at a stated place, mm along forward, left and up */
static sy_placed placed_at(lua_State *L, int index) {
  luaL_checktype(L, index, LUA_TTABLE);
  lua_getfield(L, index, "key");
  const sy_placed placed = {sy_error_key(luaL_checkstring(L, -1)),
                            syl_three_under(L, index, "at", SY_MILLIMETRE),
                            syl_three_under(L, index, "sd", SY_MILLIMETRE)};
  lua_pop(L, 1);
  return placed;
}

/* core.gap_found(gap, asked?, a, p, b?, q) -> standard uncertainty in mm, what was found (bind/answers/found.h). a, b: see placed_at, b nil: the
** ground. p, q: the nearest points, mm. */
static int l_gap_found(lua_State *L) {
  lua_settop(L, 6);
  const double gap = luaL_checknumber(L, 1) * SY_MILLIMETRE, asked = luaL_optnumber(L, 2, 0) * SY_MILLIMETRE;
  const sy_placed a = placed_at(L, 3);
  sy_placed b = a;
  const bool ground = lua_isnil(L, 5);
  if (!ground) b = placed_at(L, 5);
  luaL_checktype(L, 4, LUA_TTABLE);
  luaL_checktype(L, 6, LUA_TTABLE);
  const sy_vec3 p = syl_three_at(L, 4, 1, SY_MILLIMETRE), q = syl_three_at(L, 6, 1, SY_MILLIMETRE);
  const sy_gap_found found = {sy_gap_find(gap, &a, p, ground ? NULL : &b, q), asked};
  lua_pushnumber(L, sy_found_sd(&found.gap) / SY_MILLIMETRE);
  *(sy_gap_found *)syl_new_found(L, SYL_FOUND_GAPS, 1) = found;
  return 2;
}

void syl_open_clearance(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"gap", l_gap}, {"reach", l_reach}, {"gap_found", l_gap_found}, {"overlaps", l_overlaps}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
  luaL_newmetatable(L, SYL_OVERLAPS);
  lua_pushcfunction(L, l_overlaps_gc);
  lua_setfield(L, -2, "__gc");
  lua_pop(L, 1);
}
