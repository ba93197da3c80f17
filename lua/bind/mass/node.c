#include "bind/mass/node.h"

#include <math.h>
#include <string.h>

#include <lauxlib.h>

#include "base/units.h"
#include "bind/numbers.h"
#include "mass/solids.h"

/* Push a field without metamethods; its type. */
static int field(lua_State *L, int t, const char *key) {
  lua_pushstring(L, key);
  return lua_rawget(L, t);
}

static bool is_true(lua_State *L, int t, const char *key) {
  field(L, t, key);
  const bool set = lua_toboolean(L, -1);
  lua_pop(L, 1);
  return set;
}

/* The number, or `otherwise` when there is none. */
static double number(lua_State *L, int t, const char *key, double otherwise) {
  const double value = field(L, t, key) == LUA_TNUMBER ? lua_tonumber(L, -1) : otherwise;
  lua_pop(L, 1);
  return value;
}

static void set_flag(sy_part *part, uint32_t flag, bool set) {
  part->flags = set ? part->flags | flag : part->flags & ~flag;
}

static bool is_kind(lua_State *L, int node, const char *kind) {
  const bool is = field(L, node, "kind") == LUA_TSTRING && strcmp(lua_tostring(L, -1), kind) == 0;
  lua_pop(L, 1);
  return is;
}

/* ---- mass -------------------------------------------------------------------------------------------------------- */

double syl_assumed_share(lua_State *L, int context, const char *basis) {
  const int top = lua_gettop(L);
  double share = -1;
  if (field(L, context, "assume") == LUA_TTABLE)
    share = number(L, top + 1, basis != NULL ? basis : "estimate", -1);
  lua_settop(L, top);
  return share;
}

/* The same for the node's basis. People weigh what they say: nobody is an estimate for want of a basis. */
static double assumed_share(lua_State *L, const syl_node *n) {
  const int top = lua_gettop(L);
  if (field(L, n->context, "assume") != LUA_TTABLE) {
    lua_settop(L, top);
    return -1;
  }
  const char *basis = field(L, n->node, "basis") == LUA_TSTRING ? lua_tostring(L, -1) : NULL;
  const bool none = basis == NULL && is_kind(L, n->node, "person");
  const double share = none ? -1 : syl_assumed_share(L, n->context, basis);
  lua_settop(L, top);
  return share;
}

/* What a tank's mass is made of: each of its errors is the same at every fill, but for that of the fill itself. */
static void read_fill(lua_State *L, const syl_node *n, sy_part *part, sy_fill *fill) {
  const int node = n->node;
  const double none = (double)NAN;
  const double litres = n->is_fill ? n->litres : number(L, node, "fill", 0);
  const double litres_sd = n->is_fill ? n->litres_sd : number(L, node, "fill_sd", none);
  const double dry = number(L, node, "dry_mass", 0), dry_sd = number(L, node, "dry_mass_sd", none);
  const double density = number(L, node, "density", 0), density_sd = number(L, node, "density_sd", none);
  const bool stated = !isnan(dry_sd) || !isnan(density_sd) || !isnan(litres_sd);
  const double share = stated ? 0 : fmax(0, assumed_share(L, n));
  *fill = (sy_fill){.dry = dry,
                    .dry_sd = isnan(dry_sd) ? 0 : dry_sd,
                    .density = density / SY_LITRE,
                    .density_sd = isnan(density_sd) ? 0 : density_sd / SY_LITRE,
                    .volume = litres * SY_LITRE,
                    .volume_sd = isnan(litres_sd) ? 0 : litres_sd * SY_LITRE,
                    .share_sd = share};
  part->fill = fill;
  part->mass = dry + density * litres;
  part->mass_sd = 0;
  set_flag(part, SY_PART_UNSTATED, !stated && !(share > 0));
}

/* share: what is assumed where no sd is stated (below 0), or below 0 */
static void set_mass(double mass, bool unknown, double sd, double share, sy_part *part) {
  if (sd < 0 && share >= 0) sd = share * mass;
  part->mass = unknown ? 0 : mass;
  part->mass_sd = fmax(0, sd);
  set_flag(part, SY_PART_UNKNOWN, unknown);
  set_flag(part, SY_PART_UNSTATED, sd < 0);
}

static void read_mass(lua_State *L, const syl_node *n, sy_part *part) {
  const double mass = number(L, n->node, "mass", (double)NAN);
  const bool unknown = isnan(mass) || is_true(L, n->node, "unknown");
  const double sd = unknown ? 0 : number(L, n->node, "mass_sd", -1);
  set_mass(mass, unknown, sd, sd < 0 ? assumed_share(L, n) : -1, part);
}

/* The number of what the node was read on. */
static uint32_t read_instrument(lua_State *L, const syl_node *n) {
  const int top = lua_gettop(L);
  lua_Integer number = 0;
  if (field(L, n->node, "instrument") == LUA_TSTRING) {
    luaL_argcheck(L, field(L, n->context, "scales") == LUA_TTABLE, n->context, "not made by build.context");
    lua_pushvalue(L, top + 1);
    if (lua_rawget(L, top + 2) == LUA_TNUMBER) number = lua_tointeger(L, -1);
  }
  lua_settop(L, top);
  return (uint32_t)number;
}

static void read_unsprung(lua_State *L, const syl_node *n, const syl_geometry *g, sy_part *part) {
  const int top = lua_gettop(L);
  part->unsprung.count = 0;
  if (field(L, n->node, "unsprung") == LUA_TTABLE) {
    const lua_Integer count = (lua_Integer)lua_rawlen(L, -1);
    luaL_argcheck(L, count <= SY_MAX_UNSPRUNG, n->node, "too many carriers for one part");
    luaL_argcheck(L, field(L, n->context, "carriers") == LUA_TTABLE, n->context, "not made by build.context");
    for (lua_Integer i = 0; i < count; i++) {
      luaL_argcheck(L, lua_rawgeti(L, top + 1, i + 1) == LUA_TTABLE, n->node, "a share is not a table");
      const int share = lua_gettop(L);
      field(L, share, "carrier");
      const lua_Integer carrier = lua_rawget(L, top + 2) == LUA_TNUMBER ? lua_tointeger(L, -1) : -1;
      luaL_argcheck(L, carrier >= 0 && carrier < SY_CARRIER_COUNT, n->node, "no such carrier");
      part->unsprung.carrier[i] = (uint8_t)carrier;
      part->unsprung.fraction[i] = number(L, share, "fraction", 0);
      lua_settop(L, top + 2);
    }
    part->unsprung.count = (uint8_t)count;
  }
  lua_settop(L, top);
  if (n->piece != NULL) syl_unsprung_on_side(part, n->piece->side, &g->map);
}

/* ---- place and body ------------------------------------------------------------------------------------------------ */

static sy_vec3 metres(const double v[3]) { return (sy_vec3){v[0] * 1e-3, v[1] * 1e-3, v[2] * 1e-3}; }

void syl_place_part(const syl_geometry *g, bool at_top, const double at[3], const double sd[3],
                    sy_part *part) {
  part->cg = at_top ? sy_axes_point_in(&g->axes, metres(at)) : sy_axes_vector_in(&g->axes, metres(at));
  const sy_vec3 in = sy_axes_vector_in(&g->axes, metres(sd));
  part->cg_sd = (sy_vec3){fabs(in.x), fabs(in.y), fabs(in.z)};
  part->cg_stated = part->cg;
  part->flags &= ~(uint32_t)SY_PART_MIRRORED; /* stated where it lies */
}

static double angle(lua_State *L, int t, const char *key) {
  lua_getfield(L, t, key);
  const double degrees = luaL_optnumber(L, -1, 0);
  lua_pop(L, 1);
  return degrees;
}

sy_mat3 syl_read_turn(lua_State *L, int index) {
  const int t = lua_absindex(L, index);
  const double up = angle(L, t, "nose_up"), down = angle(L, t, "nose_down");
  const double left_up = angle(L, t, "left_up"), right_up = angle(L, t, "right_up");
  const double left = angle(L, t, "nose_left"), right = angle(L, t, "nose_right");
  return sy_frame_rotation((left_up - right_up) * SY_DEGREE, (down - up) * SY_DEGREE,
                           (left - right) * SY_DEGREE);
}

/* A body of revolution built along z, its axis laid along library axis 0, 1 or 2. */
static sy_sym3 lay_axis(sy_sym3 j, int axis) {
  if (axis == 0) return (sy_sym3){j.zz, j.yy, j.xx, 0, 0, 0};
  if (axis == 1) return (sy_sym3){j.xx, j.zz, j.yy, 0, 0, 0};
  return j;
}

static sy_status solid_of(const char *kind, double m, const double s[3], sy_massprops *out, sy_error *err) {
  if (strcmp(kind, "box") == 0) return sy_solid_box(m, s[0], s[1], s[2], out, err);
  if (strcmp(kind, "ellipsoid") == 0) return sy_solid_ellipsoid(m, s[0], s[1], s[2], out, err);
  if (strcmp(kind, "cylinder") == 0) return sy_solid_cylinder(m, s[0], s[1], out, err);
  if (strcmp(kind, "tube") == 0) return sy_solid_tube(m, s[0], s[1], s[2], out, err);
  if (strcmp(kind, "sphere") == 0) return sy_solid_sphere(m, s[0], out, err);
  if (strcmp(kind, "hollow_sphere") == 0)
    return sy_solid_hollow_sphere(m, s[0], s[0] - 2 * s[1], out, err); /* by wall */
  if (strcmp(kind, "cone") == 0) return sy_solid_cone(m, s[0], s[1], out, err);
  if (strcmp(kind, "rod") == 0) return sy_solid_rod(m, s[0], out, err);
  if (strcmp(kind, "plate") == 0) return sy_solid_plate(m, s[0], s[1], out, err);
  return sy_fail(err, SY_UNKNOWN, NULL, "shape", "is a %s, which is not a known shape", kind);
}

/* The library axis that the file's coordinate x, y or z runs along. */
static int axis_of(const syl_geometry *g, const char *letter) {
  const int column = letter[0] - 'x';
  for (int row = 0; row < 3; row++)
    if (column >= 0 && column < 3 && g->axes.matrix.m[row][column] != 0) return row;
  return 2;
}

static sy_sym3 read_tensor(lua_State *L, int t, const syl_geometry *g) {
  const sy_sym3 j = {number(L, t, "xx", 0), number(L, t, "yy", 0), number(L, t, "zz", 0),
                     number(L, t, "xy", 0), number(L, t, "xz", 0), number(L, t, "yz", 0)};
  return sy_axes_tensor_in(&g->axes, j);
}

/* The solid or mesh on top of the stack, at the part's mass. */
static bool read_shape(lua_State *L, const syl_geometry *g, sy_part *part, sy_error *err) {
  const int shape = lua_gettop(L);
  luaL_argcheck(L, field(L, shape, "kind") == LUA_TSTRING, shape, "a shape without a kind");
  const char *kind = lua_tostring(L, -1);
  bool fine = true;
  if (strcmp(kind, "mesh") == 0) {
    luaL_argcheck(L, field(L, shape, "per_kg") == LUA_TTABLE, shape, "a mesh without its inertia");
    part->inertia = sy_sym3_scale(part->mass, read_tensor(L, lua_gettop(L), g));
  } else {
    double size[3] = {0, 0, 0};
    sy_massprops body;
    syl_some_at(L, shape, SY_MILLIMETRE, size);
    const int axis = field(L, shape, "axis") == LUA_TSTRING ? axis_of(g, lua_tostring(L, -1)) : 2;
    fine = solid_of(kind, part->mass, size, &body, err) == SY_OK;
    if (fine) part->inertia = lay_axis(body.inertia, axis);
  }
  lua_settop(L, shape);
  set_flag(part, SY_PART_SOLID, fine || (part->flags & SY_PART_SOLID) != 0);
  return fine;
}

/* As stated, or as the segments of a person have it at one kilogram. False: the node states none. */
static bool read_inertia(lua_State *L, const syl_node *n, const syl_geometry *g, sy_part *part) {
  const int top = lua_gettop(L);
  const bool per_kg = field(L, n->node, "per_kg") == LUA_TTABLE;
  const bool stated = field(L, n->node, "inertia") == LUA_TTABLE || per_kg;
  if (stated) {
    part->inertia = read_tensor(L, lua_istable(L, -1) ? top + 2 : top + 1, g);
    if (per_kg) part->inertia = sy_sym3_scale(part->mass, part->inertia);
    set_flag(part, SY_PART_SOLID, per_kg);
  }
  lua_settop(L, top);
  return stated;
}

/* Inertia and how it lies, for the mass that stands in `part`: as stated, turned as filed, in the mirror, then turned by itself. */
static bool read_body(lua_State *L, const syl_node *n, const syl_geometry *g, sy_part *part, sy_error *err) {
  const int top = lua_gettop(L);
  bool stated = !n->is_fill && read_inertia(L, n, g, part);
  const bool has_shape = field(L, n->node, "shape") == LUA_TTABLE;
  if (!n->is_fill) set_flag(part, SY_PART_POINT, !stated && !has_shape);
  const bool has_mass = part->fill != NULL || field(L, n->node, "mass") == LUA_TNUMBER;
  lua_settop(L, top + 1);
  if (has_shape && !stated && has_mass && !n->has_liquid) {
    if (!read_shape(L, g, part, err)) return false;
    set_flag(part, SY_PART_POINT, false);
    stated = true;
  }
  lua_settop(L, top);
  if (!stated) return true;
  if (field(L, n->node, "turned") == LUA_TTABLE)
    part->inertia = sy_sym3_turn(syl_read_turn(L, -1), part->inertia);
  if (n->mirror != NULL) part->inertia = sy_sym3_turn(*n->mirror, part->inertia);
  if (n->alone != 0) part->inertia = sy_sym3_turn(syl_matrix_at(L, n->alone), part->inertia);
  lua_settop(L, top);
  return true;
}

/* ---- the node ------------------------------------------------------------------------------------------------------ */

void syl_set_usual(sy_part *part) {
  part->inertia = sy_solid_usual(part->mass);
  part->flags = (part->flags | SY_PART_USUAL | SY_PART_SOLID) & ~(uint32_t)SY_PART_POINT;
}

bool syl_assumes_shapes(lua_State *L, int context) {
  const int top = lua_gettop(L);
  const bool assumes = field(L, context, "assume") == LUA_TTABLE && field(L, top + 1, "shape") == LUA_TSTRING;
  lua_settop(L, top);
  return assumes;
}

bool syl_read_node(lua_State *L, const syl_node *n, const syl_geometry *g, sy_part *part, sy_fill *fill,
                   sy_error *err) {
  if (is_kind(L, n->node, "tank"))
    read_fill(L, n, part, fill);
  else
    read_mass(L, n, part);
  if (!n->is_fill) {
    part->growth = number(L, n->node, "growth", 0);
    const double count = number(L, n->node, "count", part->count);
    luaL_argcheck(L, count >= 1 && count <= (double)UINT32_MAX, n->node, "a count is out of range");
    part->count = (uint32_t)count;
    part->instrument = read_instrument(L, n);
    part->bias_share = number(L, n->node, "bias_share", 0);
    part->gain_mass = number(L, n->node, "gain_mass", 0);
    read_unsprung(L, n, g, part);
  }
  if (!n->is_fill) set_flag(part, SY_PART_USUAL, false);
  if (!read_body(L, n, g, part, err)) return false;
  if (part->flags & SY_PART_USUAL || (part->flags & SY_PART_POINT && syl_assumes_shapes(L, n->context)))
    syl_set_usual(part);
  return true;
}

double syl_place_sd_otherwise(lua_State *L, int context) {
  const double otherwise = number(L, context, "otherwise", -1);
  luaL_argcheck(L, otherwise >= 0, context, "not made by build.context");
  return otherwise;
}

void syl_plain_part(const syl_plain_line *line, const syl_geometry *g, bool at_top, double otherwise,
                    double share, bool shapes, sy_part *part) {
  double sd[3];
  for (int i = 0; i < 3; i++) sd[i] = line->at_sd[i] < 0 ? otherwise : line->at_sd[i];
  syl_place_part(g, at_top, line->at, sd, part);
  set_mass(line->mass, false, line->mass_sd, share, part);
  set_flag(part, SY_PART_USUAL, false);
  set_flag(part, SY_PART_POINT, true);
  if (shapes) syl_set_usual(part);
}

void syl_read_node_place(lua_State *L, const syl_node *n, const syl_geometry *g, bool at_top, sy_part *part) {
  const double otherwise = syl_place_sd_otherwise(L, n->context);
  double at[3] = {0, 0, 0}, sd[3] = {otherwise, otherwise, otherwise};
  if (field(L, n->node, "at") == LUA_TTABLE) syl_some_at(L, -1, 1, at);
  if (field(L, n->node, "at_sd") == LUA_TTABLE) syl_some_at(L, -1, 1, sd);
  lua_pop(L, 2);
  syl_place_part(g, at_top, at, sd, part);
}

void syl_push_tags(lua_State *L, int node) {
  const int top = lua_gettop(L);
  const lua_Integer count = field(L, node, "tags") == LUA_TTABLE ? (lua_Integer)lua_rawlen(L, -1) : 0;
  if (count == 0) {
    lua_settop(L, top);
    lua_pushnil(L);
    return;
  }
  luaL_Buffer tags;
  luaL_buffinit(L, &tags);
  for (lua_Integer i = 1; i <= count; i++) {
    if (i > 1) luaL_addchar(&tags, '\n');
    if (lua_rawgeti(L, top + 1, i) != LUA_TSTRING) luaL_error(L, "a tag is not a text");
    luaL_addvalue(&tags);
  }
  luaL_pushresult(&tags);
  lua_replace(L, top + 1);
}
