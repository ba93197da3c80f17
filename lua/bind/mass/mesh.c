#include "bind/mass/mesh.h"

#include <lauxlib.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/vehicle/geometry.h"
#include "reader/huge_pages.h"

/* mesh is NULL once closed; user value 1: the file's name or nil */
typedef struct box {
  sy_mesh *mesh;
} box;

static sy_mesh *open_mesh(lua_State *L, int index) {
  const box *b = luaL_checkudata(L, index, SYL_MESH);
  luaL_argcheck(L, b->mesh != NULL, index, "the mesh is closed");
  return b->mesh;
}

const sy_mesh *syl_check_mesh(lua_State *L, int index) { return open_mesh(L, index); }

static int refuse(lua_State *L, int index, const sy_error *err) {
  lua_getiuservalue(L, index, 1);
  return syl_fail(L, &(syl_failure){.code = sy_status_name(err->status),
                                    .message = err->message,
                                    .file = lua_tostring(L, -1),
                                    .part = strcmp(err->part, "mesh") == 0 ? NULL : err->part,
                                    .kind = ""});
}

static int l_close(lua_State *L) {
  box *b = luaL_checkudata(L, 1, SYL_MESH);
  sy_mesh_free(b->mesh);
  b->mesh = NULL;
  return 0;
}

/* core.mesh(bytes, file?) -> mesh; raises what mesh.h refuses, with the file's name */
static int l_mesh(lua_State *L) {
  size_t size;
  const char *bytes = luaL_checklstring(L, 1, &size);
  lua_settop(L, 2);
  const sy_alloc alloc = syl_huge_pages(); /* vertices are looked up all over them */
  box *b = lua_newuserdatauv(L, sizeof *b, 1);
  b->mesh = NULL;
  luaL_setmetatable(L, SYL_MESH);
  lua_pushvalue(L, 2);
  lua_setiuservalue(L, 3, 1);
  sy_error err;
  if (sy_mesh_read(bytes, size, &alloc, &b->mesh, &err) != SY_OK) return refuse(L, 3, &err);
  return 1;
}

static void set_count(lua_State *L, const char *key, size_t count) {
  lua_pushinteger(L, (lua_Integer)count);
  lua_setfield(L, -2, key);
}

static void set_point(lua_State *L, const char *key, double scale, sy_vec3 p) {
  const double v[3] = {scale * p.x, scale * p.y, scale * p.z};
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    lua_pushnumber(L, v[i]);
    lua_seti(L, -2, i + 1);
  }
  lua_setfield(L, -2, key);
}

static void set_tensor(lua_State *L, const char *key, sy_sym3 j) {
  lua_createtable(L, 0, 6);
  syl_set_number(L, "xx", j.xx);
  syl_set_number(L, "yy", j.yy);
  syl_set_number(L, "zz", j.zz);
  syl_set_number(L, "xy", j.xy);
  syl_set_number(L, "xz", j.xz);
  syl_set_number(L, "yz", j.yz);
  lua_setfield(L, -2, key);
}

/* mesh:about() -> {format, triangles, vertices, collapsed, open_edges, shells, cavities, inward, low, high}: lengths in the mesh's unit */
static int l_about(lua_State *L) {
  static const char *const formats[] = {"binary STL", "text STL", "OBJ"};
  const sy_mesh_about *a = sy_mesh_describe(open_mesh(L, 1));
  lua_createtable(L, 0, 10);
  lua_pushstring(L, formats[a->format]);
  lua_setfield(L, -2, "format");
  set_count(L, "triangles", a->triangles);
  set_count(L, "vertices", a->vertices);
  set_count(L, "collapsed", a->collapsed);
  set_count(L, "open_edges", a->open_edges);
  set_count(L, "shells", a->shells);
  set_count(L, "cavities", a->cavities);
  set_count(L, "inward", a->inward);
  set_point(L, "low", 1, a->low);
  set_point(L, "high", 1, a->high);
  return 1;
}

/* mesh:check() raises unless the mesh encloses a body, seen from outside */
static int l_check(lua_State *L) {
  sy_error err;
  if (sy_mesh_check(open_mesh(L, 1), &err) != SY_OK) return refuse(L, 1, &err);
  return 0;
}

/* mesh:turn_outward() */
static int l_turn_outward(lua_State *L) {
  sy_mesh_turn_outward(open_mesh(L, 1));
  return 0;
}

/* mesh:scale(factor) */
static int l_scale(lua_State *L) {
  const double factor = luaL_checknumber(L, 2);
  luaL_argcheck(L, factor > 0 && factor <= 1e3, 2, "a factor above 0 is needed");
  sy_mesh_scale(open_mesh(L, 1), factor);
  return 0;
}

/* mesh:body() -> {volume, centroid, inertia}: of 1 kg, in m; raises what is not a body */
static int l_body(lua_State *L) {
  const sy_mesh *mesh = open_mesh(L, 1);
  sy_massprops body;
  sy_error err;
  if (sy_mesh_massprops(mesh, 1, &body, &err) != SY_OK) return refuse(L, 1, &err);
  const sy_sums sums = sy_mesh_sums(mesh);
  lua_createtable(L, 0, 4);
  syl_set_number(L, "volume", sums.m);
  syl_set_number(L, "area", sy_mesh_area(mesh));
  set_point(L, "centroid", 1, body.cg);
  set_tensor(L, "inertia", body.inertia);
  return 1;
}

static bool same_point(sy_vec3 p, sy_vec3 q) { return p.x == q.x && p.y == q.y && p.z == q.z; }

/* Two meshes with the same triangles in the same order. */
static int l_equal(lua_State *L) {
  const sy_mesh *p = open_mesh(L, 1), *q = open_mesh(L, 2);
  const size_t count = sy_mesh_describe(p)->triangles;
  bool same = count == sy_mesh_describe(q)->triangles;
  for (size_t i = 0; i < count && same; i++) {
    sy_vec3 a[3], b[3];
    sy_mesh_triangle(p, i, a);
    sy_mesh_triangle(q, i, b);
    for (int k = 0; k < 3; k++) same = same && same_point(a[k], b[k]);
  }
  lua_pushboolean(L, same);
  return 1;
}

/* ---- tanks ---------------------------------------------------------------------------------------------------------- */

static double number_field(lua_State *L, int t, const char *key, double missing) {
  lua_getfield(L, t, key);
  const double x = lua_isnil(L, -1) ? missing : luaL_checknumber(L, -1);
  lua_pop(L, 1);
  return x;
}

static bool read_kind(lua_State *L, int t, const double s[3], syl_tank *out, sy_error *err) {
  static const sy_vec3 along[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  lua_getfield(L, t, "kind");
  const char *kind = luaL_checkstring(L, -1);
  sy_tank *tank = &out->tank;
  bool known = true;
  if (strcmp(kind, "box") == 0 || strcmp(kind, "ellipsoid") == 0) {
    *tank = sy_tank_default(kind[0] == 'b' ? SY_TANK_BOX : SY_TANK_ELLIPSOID);
    tank->size = (sy_vec3){s[0], s[1], s[2]};
  } else if (strcmp(kind, "sphere") == 0) {
    *tank = sy_tank_default(SY_TANK_ELLIPSOID);
    tank->size = (sy_vec3){s[0], s[0], s[0]};
  } else if (strcmp(kind, "cylinder") == 0) {
    const double axis = number_field(L, t, "axis", 2);
    *tank = sy_tank_default(SY_TANK_CYLINDER);
    tank->diameter = s[0];
    tank->length = s[1];
    tank->axis = along[axis == 0 ? 0 : axis == 1 ? 1 : 2];
  } else if (strcmp(kind, "mesh") == 0) {
    *tank = sy_tank_default(SY_TANK_MESH);
    lua_getfield(L, t, "mesh");
    tank->mesh = syl_check_mesh(L, -1); /* the table keeps it alive */
    lua_pop(L, 1);
  } else {
    known = false;
    sy_fail(err, SY_UNKNOWN, NULL, "shape", "is a %s, in which the level of a liquid is not worked out",
            kind);
  }
  lua_pop(L, 1);
  return known;
}

bool syl_read_tank(lua_State *L, int index, syl_tank *out, sy_error *err) {
  const int t = lua_absindex(L, index);
  double s[3] = {0, 0, 0};
  syl_some_at(L, t, SY_MILLIMETRE, s);
  *out = (syl_tank){.middle = {0, 0, 0}};
  if (!read_kind(L, t, s, out, err) || sy_tank_capacity(&out->tank, &out->volume, err) != SY_OK) return false;
  out->capacity = number_field(L, t, "capacity", out->volume / SY_LITRE) * SY_LITRE;
  if (!(out->capacity > 0))
    return sy_fail(err, SY_RANGE, NULL, "capacity", "must be above 0 litres") == SY_OK;
  if (out->tank.kind == SY_TANK_MESH) {
    const sy_sums sums = sy_mesh_sums(out->tank.mesh);
    out->middle = sy_vec3_scale(1 / sums.m, sums.first);
    out->in_file_axes = true;
  }
  return true;
}

/* What a part of the capacity fills of the shape: foam and baffles are taken to be spread evenly. */
static double spread(const syl_tank *t, double volume) { return volume * (t->volume / t->capacity); }

sy_status syl_tank_liquid(const syl_tank *t, const sy_axes *axes, double volume, sy_vec3 up, sy_liquid *out,
                          sy_error *err) {
  const bool map = t->in_file_axes && axes != NULL;
  sy_liquid w;
  const sy_status status =
      sy_tank_liquid(&t->tank, spread(t, volume), map ? sy_axes_vector_out(axes, up) : up, &w, err);
  if (status != SY_OK) return status;
  w.centroid = sy_vec3_sub(w.centroid, t->middle);
  w.surface = sy_vec3_sub(w.surface, t->middle);
  if (w.volume > 0) w.inertia = sy_sym3_scale(1 / w.volume, w.inertia);
  if (map) {
    w.centroid = sy_axes_vector_in(axes, w.centroid);
    w.surface = sy_axes_vector_in(axes, w.surface);
    w.inertia = sy_axes_tensor_in(axes, w.inertia);
    w.surface_second = sy_axes_tensor_in(axes, w.surface_second); /* turns like any symmetric matrix */
  }
  w.volume = volume;
  *out = w;
  return SY_OK;
}

sy_status syl_tank_shell(const syl_tank *t, const sy_axes *axes, double mass, sy_massprops *out,
                         sy_error *err) {
  sy_massprops sheet;
  const sy_status status = sy_tank_shell(&t->tank, mass, &sheet, err);
  if (status != SY_OK) return status;
  sheet.cg = sy_vec3_sub(sheet.cg, t->middle);
  if (t->in_file_axes && axes != NULL) {
    sheet.cg = sy_axes_vector_in(axes, sheet.cg);
    sheet.inertia = sy_axes_tensor_in(axes, sheet.inertia);
  }
  *out = sheet;
  return SY_OK;
}

static void read_three(lua_State *L, int index, double v[3]) {
  luaL_checktype(L, index, LUA_TTABLE);
  for (int i = 0; i < 3; i++) {
    lua_geti(L, index, i + 1);
    v[i] = luaL_checknumber(L, -1);
    lua_pop(L, 1);
  }
}

/* core.tank_liquid(shape, litres, {forward, left, up}, geometry?) -> {depth, centroid?, area, surface?, metacentre}
** shape  as a booking states it (bind/mass/mesh.h), its `capacity` in litres; a mesh is along the file's axes when the geometry is given
** The third argument points against gravity, in the tank's own directions. Lengths in mm from the shape's middle along forward,
** left and up; area in cm2; metacentre in mm: the radius I / V about the level axis that leans most easily. An empty tank has no
** centroid and no surface. Raises what tank.h refuses. */
static int l_tank_liquid(lua_State *L) {
  syl_tank tank;
  sy_liquid w;
  sy_error err;
  double up[3];
  luaL_checktype(L, 1, LUA_TTABLE);
  const double litres = luaL_checknumber(L, 2);
  read_three(L, 3, up);
  const sy_axes *axes = lua_isnoneornil(L, 4) ? NULL : &syl_check_geometry(L, 4)->axes;
  if (!syl_read_tank(L, 1, &tank, &err) ||
      syl_tank_liquid(&tank, axes, litres * SY_LITRE, (sy_vec3){up[0], up[1], up[2]}, &w, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_createtable(L, 0, 5);
  syl_set_number(L, "depth", w.depth / SY_MILLIMETRE);
  syl_set_number(L, "area", w.area * 1e4);
  if (w.volume > 0) set_point(L, "centroid", 1 / SY_MILLIMETRE, w.centroid);
  if (w.area > 0) set_point(L, "surface", 1 / SY_MILLIMETRE, w.surface);
  const sy_eigen3 e = sy_sym3_eigen(w.surface_second);
  syl_set_number(L, "metacentre", w.area > 0 ? e.value[2] / spread(&tank, w.volume) / SY_MILLIMETRE : 0);
  return 1;
}

/* core.tank_to_height(shape, mm, up) -> litres up to a height above the tank's lowest point. up: as in core.tank_liquid, without a geometry */
static int l_tank_to_height(lua_State *L) {
  syl_tank tank;
  sy_liquid w;
  sy_error err;
  double up[3];
  luaL_checktype(L, 1, LUA_TTABLE);
  const double height = luaL_checknumber(L, 2) * SY_MILLIMETRE;
  read_three(L, 3, up);
  if (!syl_read_tank(L, 1, &tank, &err) ||
      sy_tank_to_height(&tank.tank, height, (sy_vec3){up[0], up[1], up[2]}, &w, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_pushnumber(L, w.volume * (tank.capacity / tank.volume) / SY_LITRE);
  return 1;
}

/* A point from the tank's middle, in mm, where the tank has it. */
static sy_vec3 point_in_tank(const syl_tank *tank, const sy_axes *axes, const double mm[3]) {
  const sy_vec3 p = {mm[0] * SY_MILLIMETRE, mm[1] * SY_MILLIMETRE, mm[2] * SY_MILLIMETRE};
  return sy_vec3_add(tank->in_file_axes && axes != NULL ? sy_axes_vector_out(axes, p) : p, tank->middle);
}

/* core.tank_holds(shape, {forward, left, up} point from the middle in mm, geometry?) -> does the point lie in the tank? */
static int l_tank_holds(lua_State *L) {
  syl_tank tank;
  sy_error err;
  double point[3];
  bool holds;
  luaL_checktype(L, 1, LUA_TTABLE);
  read_three(L, 2, point);
  const sy_axes *axes = lua_isnoneornil(L, 3) ? NULL : &syl_check_geometry(L, 3)->axes;
  if (!syl_read_tank(L, 1, &tank, &err) ||
      sy_tank_holds(&tank.tank, point_in_tank(&tank, axes, point), &holds, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_pushboolean(L, holds);
  return 1;
}

void syl_open_mesh(lua_State *L) {
  static const luaL_Reg methods[] = {
      {"about", l_about}, {"check", l_check}, {"turn_outward", l_turn_outward},
      {"scale", l_scale}, {"body", l_body},   {NULL, NULL},
  };
  static const luaL_Reg meta[] = {{"__gc", l_close}, {"__close", l_close}, {"__eq", l_equal}, {NULL, NULL}};
  static const luaL_Reg functions[] = {{"mesh", l_mesh},
                                       {"tank_liquid", l_tank_liquid},
                                       {"tank_holds", l_tank_holds},
                                       {"tank_to_height", l_tank_to_height},
                                       {NULL, NULL}};
  luaL_newmetatable(L, SYL_MESH);
  luaL_setfuncs(L, meta, 0);
  lua_newtable(L);
  luaL_setfuncs(L, methods, 0);
  lua_setfield(L, -2, "__index");
  lua_pop(L, 1);
  luaL_setfuncs(L, functions, 0);
}
