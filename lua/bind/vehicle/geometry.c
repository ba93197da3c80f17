#include "bind/vehicle/geometry.h"

#include <lauxlib.h>
#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/vehicle/suspension.h"

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

/* What a table, of an axle or of one of its sides, says of a wheel; the rest stays. */
static void read_wheel(lua_State *L, int t, sy_wheel *w) {
  const double mm = 1e-3, per_mm = 1e3; /* N/mm to N/m */
  w->loaded_radius = syl_number_under(L, t, "loaded_radius", mm, w->loaded_radius);
  w->tyre_rate = syl_number_under(L, t, "tyre_rate", per_mm, w->tyre_rate);
  w->spring_rate = syl_number_under(L, t, "spring_rate", per_mm, w->spring_rate);
  syl_read_suspension(L, t, w);
  w->perch_pitch = syl_number_under(L, t, "perch_pitch", mm, w->perch_pitch);
  w->bump = syl_number_under(L, t, "bump", mm, w->bump);
  w->droop = syl_number_under(L, t, "droop", mm, w->droop);
}

static const char *const side_name[2] = {"left", "right"};

enum { OF_THE_AXLE, OF_A_SIDE }; /* who stated a rate: sy_stated.source */

/* Both sides as the axle says, then what each says otherwise. */
static void add_axle(lua_State *L, int t, sy_vehicle *v) {
  const double mm = 1e-3, per_mm = 1e3;
  sy_axle a = sy_axle_default();
  sy_wheel w = sy_wheel_default();
  a.x = syl_number_under(L, t, "forward", mm, a.x);
  a.wheels = syl_whole_under(L, t, "wheels", 1, 2, 2);
  const double track = syl_number_under(L, t, "track", mm, (double)NAN);
  a.bar_rate = syl_number_under(L, t, "bar_rate", per_mm, a.bar_rate);
  a.roll_centre = syl_number_under(L, t, "roll_centre", mm, a.roll_centre);
  a.lateral_rate = syl_number_under(L, t, "tyre_lateral_rate", per_mm, a.lateral_rate);
  syl_read_links(L, t, &a);
  read_wheel(L, t, &w);
  sy_vehicle_add_axle(v, a, track, w);
  sy_wheel *const own = &v->wheel[sy_vehicle_first_wheel(v, v->axle_count - 1)];
  for (int k = 0; k < 2 && a.wheels == 2; k++) {
    if (lua_getfield(L, t, side_name[k]) == LUA_TTABLE) {
      const int side = lua_gettop(L);
      const double sign = k == 0 ? 1.0 : -1.0;
      own[k].x = syl_number_under(L, side, "forward", mm, own[k].x);
      own[k].y = sign * syl_number_under(L, side, "half_track", mm, sign * own[k].y);
      read_wheel(L, side, &own[k]);
    }
    lua_pop(L, 1);
  }
}

/* Rates that may be uncertain; of each wheel, then of the axle. */
static const struct {
  sy_stated_field field;
  double unit;
} rates[] = {{SY_STATED_SPRING_RATE, 1e3}, /* N/mm */
             {SY_STATED_TYRE_RATE, 1e3},    {SY_STATED_MOTION_RATIO, 1.0}, {SY_STATED_BAR_RATE, 1e3},
             {SY_STATED_LATERAL_RATE, 1e3}, {SY_STATED_ROLL_CENTRE, 1e-3}};

/* What the table at t states of a rate, as "spring_rate_sd" beside it; `at`: the wheels or axles that have this one number. */
static void add_rate(lua_State *L, int t, syl_geometry *g, size_t i, unsigned at, uint32_t source) {
  const sy_stated_field field = rates[i].field;
  lua_pushfstring(L, "%s_sd", sy_stated_name(field));
  const double sd = syl_number_under(L, t, lua_tostring(L, -1), rates[i].unit, 0.0);
  lua_getfield(L, t, sy_stated_name(field));
  const double value = lua_tonumber(L, -1); /* 0 of a curve: that states none */
  lua_pop(L, 2);
  /* what is not there has no uncertainty; a roll centre may lie on the ground */
  if (at != 0 && sd > 0.0 && (value != 0.0 || field == SY_STATED_ROLL_CENTRE))
    g->rate[g->rate_count++] = (sy_stated){.field = field, .at = at, .sd = sd, .source = source};
}

static bool states(lua_State *L, int t, const char *name) {
  const bool is = lua_getfield(L, t, name) != LUA_TNIL;
  lua_pop(L, 1);
  return is;
}

/* What the entry of an axle states of its rates. A number that a side states is an error of its own; that of the axle is one error of the wheels
** whose side states none. */
static void add_rates(lua_State *L, int t, syl_geometry *g, int axle) {
  const int first = sy_vehicle_first_wheel(&g->vehicle, axle), wheels = g->vehicle.axle[axle].wheels,
            top = lua_gettop(L);
  for (int k = 0; k < 2; k++) lua_getfield(L, t, side_name[k]);
  for (size_t i = 0; i < sizeof rates / sizeof *rates; i++) {
    if (sy_stated_counts(rates[i].field) == SY_BY_AXLE) {
      add_rate(L, t, g, i, 1u << axle, OF_THE_AXLE);
      continue;
    }
    unsigned both = (wheels == 2 ? 3u : 1u) << first;
    for (int k = 0; k < 2; k++)
      if (wheels == 2 && lua_istable(L, top + 1 + k) &&
          states(L, top + 1 + k, sy_stated_name(rates[i].field)))
        both &= ~(1u << (first + k));
    add_rate(L, t, g, i, both, OF_THE_AXLE);
    for (int k = 0; k < 2; k++)
      if (wheels == 2 && lua_istable(L, top + 1 + k))
        add_rate(L, top + 1 + k, g, i, 1u << (first + k), OF_A_SIDE);
  }
  lua_settop(L, top);
  g->rate_count +=
      syl_read_suspension_rates(L, t, axle, (wheels == 2 ? 3u : 1u) << first, g->rate + g->rate_count);
}

/* Where axles and wheels stand, as "at_sd" and so on; how far it was moved since and by what records correct it, "at_shifted"; and the number of
** its error in these, "at_error". */
static const struct {
  const char *sd, *shifted, *error;
} place_keys[SY_STATED_COUNT] = {
    [SY_STATED_AT] = {"at_sd", "at_shifted", "at_error"},
    [SY_STATED_TRACK] = {"track_sd", "track_shifted", "track_error"},
    [SY_STATED_WHEEL_AT] = {"at_sd", "at_shifted", "at_error"},
    [SY_STATED_HALF_TRACK] = {"half_track_sd", "half_track_shifted", "half_track_error"},
};

static void add_place(lua_State *L, int t, syl_geometry *g, sy_stated_field field, unsigned at,
                      uint32_t source) {
  const double sd = syl_number_under(L, t, place_keys[field].sd, SY_MILLIMETRE, 0.0);
  if (at == 0 || !(sd > 0.0)) return;
  g->places_err = true;
  g->rate[g->rate_count++] = (sy_stated){
      .field = field,
      .at = at,
      .sd = sd,
      .source = source,
      .error = (uint32_t)syl_whole_under(L, t, place_keys[field].error, 0, INT_MAX, 0),
      .shifted = syl_number_under(L, t, place_keys[field].shifted, SY_MILLIMETRE, 0.0),
  };
}

/* A wheel whose side states its place stands by itself. */
static void add_places(lua_State *L, int t, syl_geometry *g, int axle) {
  const int first = sy_vehicle_first_wheel(&g->vehicle, axle), top = lua_gettop(L);
  const bool two = g->vehicle.axle[axle].wheels == 2;
  unsigned along = (two ? 3u : 1u) << first, across = two ? 3u << first : 0u;
  for (int k = 0; k < 2 && two; k++) {
    lua_getfield(L, t, side_name[k]);
    const int side = lua_gettop(L);
    if (!lua_istable(L, side)) continue;
    const unsigned wheel = 1u << (first + k);
    if (states(L, side, "at")) {
      along &= ~wheel;
      add_place(L, side, g, SY_STATED_WHEEL_AT, wheel, OF_A_SIDE);
    }
    if (states(L, side, "half_track")) {
      across &= ~wheel;
      add_place(L, side, g, SY_STATED_HALF_TRACK, wheel, OF_A_SIDE);
    }
  }
  add_place(L, t, g, SY_STATED_AT, along, OF_THE_AXLE);
  add_place(L, t, g, SY_STATED_TRACK, across, OF_THE_AXLE);
  lua_settop(L, top);
}

/* What it states of the car's own numbers. */
static void add_own_rates(lua_State *L, int t, syl_geometry *g) {
  const double torsion = syl_number_under(L, t, "torsion_sd", 1.0 / SY_DEGREE, 0.0);
  if (torsion > 0.0) g->rate[g->rate_count++] = (sy_stated){.field = SY_STATED_TORSION, .sd = torsion};
  if (g->cross_sd > 0.0 && g->map.split == SY_SPLIT_CROSS_SHARE)
    g->rate[g->rate_count++] = (sy_stated){.field = SY_STATED_CROSS_SHARE,
                                           .sd = g->cross_sd,
                                           .source = g->cross_measured ? SY_SOURCE_MEASURED : 0};
}

/* core.geometry{axes = {way, way, way}, origin = {x, y, z}, axles = {{name, forward, track, ...}, ...}, torsion?,
** cross_share?} -> geometry. mm, N/mm, N m/deg, percent; `forward` counts from the front axle. Standard uncertainties stand beside rates and
** cross_share as spring_rate_sd and so on, of places as add_places says. An axle may have left = {forward?, half_track?, loaded_radius?, ...} and right = {...}.
** cross_measured?: the records that the ledgers carry read the cross weight. */
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
  lua_getfield(L, 1, "cross_measured");
  g->cross_measured = lua_toboolean(L, -1);
  lua_pop(L, 1);
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
    add_rates(L, lua_gettop(L), g, (int)i - 1);
    add_places(L, lua_gettop(L), g, (int)i - 1);
    lua_getfield(L, -1, "name");
    lua_seti(L, names, i);
    lua_pop(L, 1);
  }
  const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};
  if (sy_loadmap_make(&g->vehicle, level, &g->map, &err) != SY_OK) return syl_raise(L, &err);
  add_own_rates(L, 1, g);
  for (int i = 0; i < g->map.wheel_count; i++) sy_wheel_key(&g->vehicle, i, g->wheel_key[i]);
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

/* geometry:axle_lines() -> list of places of the axle lines, mm forward of the first one as drawn */
static int l_axle_lines(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 1);
  lua_createtable(L, g->vehicle.axle_count, 0);
  for (int a = 0; a < g->vehicle.axle_count; a++) {
    lua_pushnumber(L, g->vehicle.axle[a].x * 1e3);
    lua_rawseti(L, -2, a + 1);
  }
  return 1;
}

/* geometry:warp() -> list by wheel: the one change of four loads that leaves their sum and moments, for 1 more on right front and left rear;
** nothing where loads do not follow a cross weight */
static int l_warp(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 1);
  if (g->map.split != SY_SPLIT_CROSS_SHARE) return 0;
  double way[4];
  sy_loadmap_warp(&g->map, way);
  lua_createtable(L, 4, 0);
  for (int i = 0; i < 4; i++) {
    lua_pushnumber(L, way[i]);
    lua_rawseti(L, -2, i + 1);
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

/* ---- along the file's axes ------------------------------------------------------------------------------------------ */

double syl_in_workshop_units(sy_unit unit) {
  switch (unit) {
  case SY_UNIT_FRACTION: return 100.0;
  case SY_UNIT_NEWTON: return SYL_PER_KG;
  case SY_UNIT_METRE: return 1e3;
  case SY_UNIT_METRE_3: return 1.0 / SY_LITRE;
  case SY_UNIT_RADIAN: return 1.0 / SY_DEGREE;
  default: return 1.0;
  }
}

syl_along syl_file_axis(const sy_axes *axes, int letter) {
  const double origin[3] = {axes->origin.x, axes->origin.y, axes->origin.z};
  for (int iso = 0; iso < 3; iso++)
    if (axes->matrix.m[iso][letter] != 0)
      return (syl_along){iso, axes->matrix.m[iso][letter], origin[letter]};
  return (syl_along){letter, 1, origin[letter]};
}

syl_shown syl_shown_place(const sy_axes *axes, int letter, sy_answer x) {
  const syl_along a = syl_file_axis(axes, letter);
  return (syl_shown){(sy_answer)((int)x + a.axis), a.sign * 1e3, a.origin * 1e3};
}

syl_shown syl_shown_moment(const sy_axes *axes, int first, int second) {
  static const sy_answer entry[3][3] = {{SY_ANSWER_XX, SY_ANSWER_XY, SY_ANSWER_XZ},
                                        {SY_ANSWER_XY, SY_ANSWER_YY, SY_ANSWER_YZ},
                                        {SY_ANSWER_XZ, SY_ANSWER_YZ, SY_ANSWER_ZZ}};
  const syl_along i = syl_file_axis(axes, first), j = syl_file_axis(axes, second);
  return (syl_shown){entry[i.axis][j.axis], i.sign * j.sign, 0};
}

syl_shown syl_shown_behind(const syl_geometry *g) {
  return (syl_shown){SY_ANSWER_CG_X, -1e3, g->vehicle.axle[0].x * 1e3};
}

static const luaL_Reg methods[] = {
    {"wheels", l_wheels},         {"axle_lines", l_axle_lines},   {"warp", l_warp},
    {"point_in", l_point_in},     {"point_out", l_point_out},     {"vector_in", l_vector_in},
    {"vector_out", l_vector_out}, {"left_handed", l_left_handed}, {NULL, NULL},
};

void syl_open_geometry(lua_State *L) {
  luaL_newmetatable(L, SYL_GEOMETRY);
  luaL_newlib(L, methods);
  lua_setfield(L, -2, "__index");
  lua_pop(L, 1);
  lua_pushcfunction(L, l_geometry);
  lua_setfield(L, -2, "geometry");
}
