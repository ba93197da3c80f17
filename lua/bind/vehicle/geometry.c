#include "bind/vehicle/geometry.h"

#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"

const syl_geometry *syl_check_geometry(lua_State *L, int index) {
  return luaL_checkudata(L, index, SYL_GEOMETRY);
}

static sy_way check_way(lua_State *L, int table, int i) {
  sy_way way = SY_WAY_COUNT;
  lua_geti(L, table, i);
  const char *word = luaL_checkstring(L, -1);
  for (int w = 0; w < SY_WAY_COUNT; w++)
    if (strcmp(word, sy_way_name((sy_way)w)) == 0) way = (sy_way)w;
  lua_pop(L, 1);
  return way;
}

/* Both sides equal. */
static void add_axle(lua_State *L, int t, sy_vehicle *v) {
  const double mm = 1e-3, per_mm = 1e3; /* N/mm to N/m */
  sy_axle a = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  a.x = syl_number_under(L, t, "forward", mm, a.x);
  a.wheels = syl_whole_under(L, t, "wheels", 1, 2, 2);
  const double track = syl_number_under(L, t, "track", mm, (double)NAN);
  w.loaded_radius = syl_number_under(L, t, "loaded_radius", mm, w.loaded_radius);
  w.tyre_rate = syl_number_under(L, t, "tyre_rate", per_mm, w.tyre_rate);
  w.spring_rate = syl_number_under(L, t, "spring_rate", per_mm, w.spring_rate);
  w.motion_ratio = syl_number_under(L, t, "motion_ratio", 1, w.motion_ratio);
  a.bar_rate = syl_number_under(L, t, "bar_rate", per_mm, a.bar_rate);
  a.roll_centre = syl_number_under(L, t, "roll_centre", mm, a.roll_centre);
  w.perch_pitch = syl_number_under(L, t, "perch_pitch", mm, w.perch_pitch);
  w.bump = syl_number_under(L, t, "bump", mm, w.bump);
  w.droop = syl_number_under(L, t, "droop", mm, w.droop);
  sy_vehicle_add_axle(v, a, track, w);
}

/* lf rf lr rr, three wheels f lr rr or lf rf r, more axles l1 r1 c2 l3 r3 ... (at most eight axles: one digit) */
static void name_wheels(syl_geometry *g) {
  const bool plain = g->vehicle.axle_count == 2;
  for (int i = 0; i < g->map.wheel_count; i++) {
    const sy_contact *w = &g->map.wheel[i];
    char *key = g->wheel_key[i];
    if (w->side != 0 || !plain) *key++ = w->side > 0 ? 'l' : w->side < 0 ? 'r' : 'c';
    *key++ = plain ? (w->axle == 0 ? 'f' : 'r') : (char)('1' + w->axle);
    *key = 0;
  }
}

/* core.geometry{axes = {way, way, way}, origin = {x, y, z}, axles = {{name, forward, track, ...}, ...}, torsion?,
** cross_share?, cross_share_sd?} -> geometry. mm, N/mm, N m/deg, percent; `forward` counts from the front axle. */
static int l_geometry(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  syl_geometry *g = lua_newuserdatauv(L, sizeof *g, SYL_WHEEL_KEYS);
  memset(g, 0, sizeof *g);
  sy_error err;
  sy_way way[3];
  double origin[3];
  lua_getfield(L, 1, "axes");
  luaL_checktype(L, -1, LUA_TTABLE);
  for (int i = 0; i < 3; i++) way[i] = check_way(L, lua_gettop(L), i + 1);
  lua_getfield(L, 1, "origin");
  luaL_checktype(L, -1, LUA_TTABLE);
  for (int i = 0; i < 3; i++) {
    lua_geti(L, -1, i + 1);
    origin[i] = luaL_checknumber(L, -1) * 1e-3;
    lua_pop(L, 1);
  }
  if (sy_axes_make(way, (sy_vec3){origin[0], origin[1], origin[2]}, &g->axes, &err) != SY_OK)
    return syl_raise(L, &err);
  g->vehicle = sy_vehicle_default();
  g->vehicle.torsion = syl_number_under(L, 1, "torsion", 1.0 / SY_DEGREE, g->vehicle.torsion);
  g->vehicle.cross_share = syl_number_under(L, 1, "cross_share", 0.01, g->vehicle.cross_share);
  g->cross_sd = syl_number_under(L, 1, "cross_share_sd", 0.01, 0.0);
  lua_getfield(L, 1, "axles");
  luaL_checktype(L, -1, LUA_TTABLE);
  const int axles = lua_gettop(L);
  const lua_Integer count = syl_length(L, axles);
  luaL_argcheck(L, count <= SY_MAX_AXLES, 1, "too many axles");
  lua_createtable(L, (int)count, 0);
  const int names = lua_gettop(L);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, axles, i);
    luaL_checktype(L, -1, LUA_TTABLE);
    add_axle(L, lua_gettop(L), &g->vehicle);
    lua_getfield(L, -1, "name");
    lua_seti(L, names, i);
    lua_pop(L, 1);
  }
  const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};
  if (sy_loadmap_make(&g->vehicle, level, &g->map, &err) != SY_OK) return syl_raise(L, &err);
  name_wheels(g);
  lua_setiuservalue(L, 2, SYL_AXLE_NAMES);
  lua_createtable(L, g->map.wheel_count, 0);
  for (int i = 0; i < g->map.wheel_count; i++) {
    lua_pushstring(L, g->wheel_key[i]);
    lua_rawseti(L, -2, i + 1);
  }
  lua_setiuservalue(L, 2, SYL_WHEEL_KEYS);
  lua_settop(L, 2);
  luaL_setmetatable(L, SYL_GEOMETRY);
  return 1;
}

/* geometry:wheels() -> list of {key, axle, side}: side 1 left, -1 right, 0 on the centre line */
static int l_wheels(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 1);
  lua_createtable(L, g->map.wheel_count, 0);
  for (int i = 0; i < g->map.wheel_count; i++) {
    const sy_contact *w = &g->map.wheel[i];
    lua_createtable(L, 0, 5);
    lua_pushstring(L, g->wheel_key[i]);
    lua_setfield(L, -2, "key");
    lua_pushnumber(L, w->x * 1e3);
    lua_setfield(L, -2, "forward");
    lua_pushnumber(L, w->y * 1e3);
    lua_setfield(L, -2, "left");
    lua_pushinteger(L, w->axle + 1);
    lua_setfield(L, -2, "axle");
    lua_pushinteger(L, w->side);
    lua_setfield(L, -2, "side");
    lua_seti(L, -2, i + 1);
  }
  return 1;
}

/* geometry:point_in(x, y, z) -> forward, left, up in mm; geometry:point_out and vector_* likewise */
static int map_three(lua_State *L, sy_vec3 (*map)(const sy_axes *, sy_vec3)) {
  const syl_geometry *g = syl_check_geometry(L, 1);
  const sy_vec3 v = {luaL_checknumber(L, 2) * 1e-3, luaL_checknumber(L, 3) * 1e-3,
                     luaL_checknumber(L, 4) * 1e-3};
  const sy_vec3 out = map(&g->axes, v);
  lua_pushnumber(L, out.x * 1e3);
  lua_pushnumber(L, out.y * 1e3);
  lua_pushnumber(L, out.z * 1e3);
  return 3;
}

static int l_point_in(lua_State *L) { return map_three(L, sy_axes_point_in); }

static int l_point_out(lua_State *L) { return map_three(L, sy_axes_point_out); }

static int l_vector_in(lua_State *L) { return map_three(L, sy_axes_vector_in); }

static int l_vector_out(lua_State *L) { return map_three(L, sy_axes_vector_out); }

/* geometry:left_handed() -> boolean */
static int l_left_handed(lua_State *L) {
  lua_pushboolean(L, syl_check_geometry(L, 1)->axes.left_handed);
  return 1;
}

/* ---- names of answers ------------------------------------------------------------------------------------------ */

typedef struct named_answer {
  const char *name;
  sy_answer answer;
  double scale;
} named_answer;

static const named_answer simple[] = {
    {"mass", SY_ANSWER_MASS, 1},
    {"height", SY_ANSWER_CG_Z, 1e3},
    {"cg_left", SY_ANSWER_CG_Y, 1e3},
    {"front", SY_ANSWER_FRONT, SYL_PER_KG},
    {"rear", SY_ANSWER_REAR, SYL_PER_KG},
    {"left", SY_ANSWER_LEFT, SYL_PER_KG},
    {"right", SY_ANSWER_RIGHT, SYL_PER_KG},
    {"front_share", SY_ANSWER_FRONT_SHARE, 100},
    {"left_share", SY_ANSWER_LEFT_SHARE, 100},
    {"cross_share", SY_ANSWER_CROSS_SHARE, 100},
    {"diagonal_ratio", SY_ANSWER_DIAGONAL_RATIO, 1},
    {"yaw_inertia", SY_ANSWER_ZZ, 1},
    {"yaw_index", SY_ANSWER_YAW_INDEX, 1},
    {"sprung.mass", SY_ANSWER_SPRUNG_MASS, 1},
    {"unsprung.mass", SY_ANSWER_UNSPRUNG_MASS, 1},
};

/* Which library axis a file axis runs along, and which way. */
static int file_axis(const sy_axes *axes, int file, double *sign) {
  for (int iso = 0; iso < 3; iso++)
    if (axes->matrix.m[iso][file] != 0) {
      *sign = axes->matrix.m[iso][file];
      return iso;
    }
  *sign = 1;
  return file;
}

syl_shown syl_shown_place(const sy_axes *axes, int letter, sy_answer x) {
  double sign;
  const double origin[3] = {axes->origin.x, axes->origin.y, axes->origin.z};
  const int iso = file_axis(axes, letter, &sign);
  return (syl_shown){(sy_answer)((int)x + iso), sign * 1e3, origin[letter] * 1e3};
}

syl_shown syl_shown_moment(const sy_axes *axes, int first, int second) {
  static const sy_answer entry[3][3] = {{SY_ANSWER_XX, SY_ANSWER_XY, SY_ANSWER_XZ},
                                        {SY_ANSWER_XY, SY_ANSWER_YY, SY_ANSWER_YZ},
                                        {SY_ANSWER_XZ, SY_ANSWER_YZ, SY_ANSWER_ZZ}};
  double sign_first, sign_second;
  const int i = file_axis(axes, first, &sign_first), j = file_axis(axes, second, &sign_second);
  return (syl_shown){entry[i][j], sign_first * sign_second, 0};
}

syl_shown syl_shown_behind(const syl_geometry *g) {
  return (syl_shown){SY_ANSWER_CG_X, -1e3, g->vehicle.axle[0].x * 1e3};
}

static bool is_letter(char c) { return c >= 'x' && c <= 'z'; }

/* The rest of a name behind its prefix, or NULL. */
static const char *behind(const char *name, const char *prefix) {
  const size_t n = strlen(prefix);
  return strncmp(name, prefix, n) == 0 ? name + n : NULL;
}

static bool shown_in_axes(const sy_axes *axes, const char *name, syl_shown *out) {
  static const struct {
    const char *prefix;
    sy_answer x;
  } places[] = {
      {"cg.", SY_ANSWER_CG_X}, {"sprung.cg.", SY_ANSWER_SPRUNG_X}, {"unsprung.cg.", SY_ANSWER_UNSPRUNG_X}};
  for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
    const char *letter = behind(name, places[i].prefix);
    if (letter != NULL && is_letter(letter[0]) && letter[1] == 0) {
      *out = syl_shown_place(axes, letter[0] - 'x', places[i].x);
      return true;
    }
  }
  const char *pair = behind(name, "inertia.");
  if (pair == NULL || !is_letter(pair[0]) || !is_letter(pair[1]) || pair[2] != 0) return false;
  *out = syl_shown_moment(axes, pair[0] - 'x', pair[1] - 'x');
  return true;
}

static int axle_by_name(lua_State *L, int geometry_index, int count, const char *name) {
  int found = -1;
  lua_getiuservalue(L, geometry_index, SYL_AXLE_NAMES);
  for (int i = 0; i < count && found < 0; i++) {
    lua_geti(L, -1, i + 1);
    const char *axle = lua_tostring(L, -1);
    if (axle != NULL && strcmp(axle, name) == 0) found = i;
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  return found;
}

bool syl_shown_by_name(lua_State *L, int geometry_index, const char *name, syl_shown *out) {
  const syl_geometry *g = syl_check_geometry(L, geometry_index);
  for (size_t i = 0; i < sizeof simple / sizeof *simple; i++)
    if (strcmp(name, simple[i].name) == 0) {
      *out = (syl_shown){simple[i].answer, simple[i].scale, 0};
      return true;
    }
  if (shown_in_axes(&g->axes, name, out)) return true;
  if (strcmp(name, "cg_behind") == 0) {
    *out = syl_shown_behind(g);
    return true;
  }
  for (int i = 0; i < g->map.wheel_count; i++)
    if (strcmp(name, g->wheel_key[i]) == 0) {
      *out = (syl_shown){(sy_answer)(SY_ANSWER_WHEEL + i), SYL_PER_KG, 0};
      return true;
    }
  const bool unsprung = strncmp(name, "unsprung.axle.", 14) == 0;
  if (!unsprung && strncmp(name, "axle.", 5) != 0) return false;
  const int axle = axle_by_name(L, geometry_index, g->vehicle.axle_count, name + (unsprung ? 14 : 5));
  if (axle < 0) return false;
  *out = unsprung ? (syl_shown){(sy_answer)(SY_ANSWER_UNSPRUNG_AXLE + axle), 1, 0}
                  : (syl_shown){(sy_answer)(SY_ANSWER_AXLE + axle), SYL_PER_KG, 0};
  return true;
}

static const luaL_Reg methods[] = {
    {"wheels", l_wheels},
    {"point_in", l_point_in},
    {"point_out", l_point_out},
    {"vector_in", l_vector_in},
    {"vector_out", l_vector_out},
    {"left_handed", l_left_handed},
    {NULL, NULL},
};

void syl_open_geometry(lua_State *L) {
  luaL_newmetatable(L, SYL_GEOMETRY);
  luaL_newlib(L, methods);
  lua_setfield(L, -2, "__index");
  lua_pop(L, 1);
  lua_pushcfunction(L, l_geometry);
  lua_setfield(L, -2, "geometry");
}
