#include "bind/mass/booking.h"

#include <lauxlib.h>
#include <string.h>

#include "base/units.h"
#include "bind/mass/node.h"
#include "bind/numbers.h"

static bool read_number(lua_State *L, int t, const char *key, double *out) {
  lua_getfield(L, t, key);
  const bool there = !lua_isnil(L, -1);
  if (there) *out = luaL_checknumber(L, -1);
  lua_pop(L, 1);
  return there;
}

static void read_flag(lua_State *L, int t, const char *key, uint32_t flag, sy_part *part) {
  lua_getfield(L, t, key);
  if (!lua_isnil(L, -1)) part->flags = lua_toboolean(L, -1) ? part->flags | flag : part->flags & ~flag;
  lua_pop(L, 1);
}

static bool read_unsigned(lua_State *L, int t, const char *key, uint32_t *out) {
  lua_getfield(L, t, key);
  const bool there = !lua_isnil(L, -1);
  if (there) {
    const lua_Integer v = luaL_checkinteger(L, -1);
    luaL_argcheck(L, v >= 0 && v <= (lua_Integer)UINT32_MAX, t, "a count or number is out of range");
    *out = (uint32_t)v;
  }
  lua_pop(L, 1);
  return there;
}

/* Coordinates 1 2 3 of a list over what stands in v (mm). */
static bool read_three(lua_State *L, int t, const char *key, double v[3]) {
  const bool there = lua_getfield(L, t, key) != LUA_TNIL;
  if (there) syl_some_at(L, -1, 1, v);
  lua_pop(L, 1);
  return there;
}

static bool flag_at(lua_State *L, int t, const char *key) {
  lua_getfield(L, t, key);
  const bool set = lua_toboolean(L, -1);
  lua_pop(L, 1);
  return set;
}

/* The coordinates of the file that the list under "at" leaves out stay as they are and as they were stated, to the bit. */
static void keep_left_out(lua_State *L, int t, const syl_geometry *g, const sy_part *was, sy_part *part) {
  double *const cg[3] = {&part->cg.x, &part->cg.y, &part->cg.z};
  double *const stated[3] = {&part->cg_stated.x, &part->cg_stated.y, &part->cg_stated.z};
  const double old_cg[3] = {was->cg.x, was->cg.y, was->cg.z};
  const double old_stated[3] = {was->cg_stated.x, was->cg_stated.y, was->cg_stated.z};
  lua_getfield(L, t, "at");
  for (int column = 0; column < 3; column++) {
    const bool given = lua_geti(L, -1, column + 1) != LUA_TNIL;
    lua_pop(L, 1);
    for (int row = 0; row < 3 && !given; row++)
      if (g->axes.matrix.m[row][column] != 0) *cg[row] = old_cg[row], *stated[row] = old_stated[row];
  }
  lua_pop(L, 1);
}

static void read_place(lua_State *L, int t, const syl_geometry *g, bool at_top, const syl_piece *piece,
                       sy_part *part) {
  const bool image = piece != NULL && piece->image && flag_at(L, t, "as_pair");
  const sy_vec3 cg = image ? syl_mirrored(piece->centre, part->cg) : part->cg;
  const sy_vec3 now = at_top ? sy_axes_point_out(&g->axes, cg) : sy_axes_vector_out(&g->axes, cg);
  double v[3] = {now.x * 1e3, now.y * 1e3, now.z * 1e3};
  const bool placed = read_three(L, t, "at", v);
  const sy_vec3 sd_now = sy_axes_vector_out(&g->axes, part->cg_sd);
  double sd[3] = {fabs(sd_now.x) * 1e3, fabs(sd_now.y) * 1e3, fabs(sd_now.z) * 1e3};
  const bool uncertain = read_three(L, t, "at_sd", sd);
  if (!placed && !uncertain) return;
  sy_part stated = *part;
  syl_place_part(g, at_top, v, sd, &stated);
  if (!placed) { /* and not there and back through the file's axes */
    stated.cg = cg;
    stated.cg_stated = part->cg_stated;
  } else if (!image && !(part->flags & SY_PART_MIRRORED)) {
    keep_left_out(L, t, g, part, &stated);
  }
  if (!uncertain) stated.cg_sd = part->cg_sd;
  if (image) {
    stated.cg = placed ? syl_mirrored(piece->centre, stated.cg) : part->cg;
    stated.cg_stated = piece->other_stated; /* one statement of both */
    stated.flags |= SY_PART_MIRRORED;
  }
  *part = stated;
}

/* As the ledger keeps lengths: what one fill adds to a place another takes away again without a trace. */
static sy_vec3 whole_picometres(sy_vec3 v) {
  return (sy_vec3){rint(v.x * 1e12) / 1e12, rint(v.y * 1e12) / 1e12, rint(v.z * 1e12) / 1e12};
}

/* A tank and its liquid, from the tank's middle in its own directions. */
typedef struct filled {
  sy_massprops joint;
  sy_vec3 liquid, surface; /* where there is none: the joint cg */
} filled;

/* The table on top of the stack. */
static bool read_held(lua_State *L, const syl_geometry *g, syl_held *held, filled *out, sy_error *err) {
  const int field = lua_gettop(L);
  double litres = 0;
  *held = (syl_held){.own = sy_mat3_identity(), .alone = sy_mat3_identity()};
  read_number(L, field, "litres", &litres);
  read_number(L, field, "dry", &held->dry);
  read_number(L, field, "mass", &held->mass);
  held->volume = litres * SY_LITRE;
  sy_massprops parts[2] = {{.mass = 0}, {.mass = held->mass}};
  if (lua_getfield(L, field, "turned") != LUA_TNIL) held->own = syl_read_turn(L, -1);
  if (lua_getfield(L, field, "alone") != LUA_TNIL) held->alone = syl_matrix_at(L, -1);
  double level[3] = {0, 0, 0};
  const sy_vec3 stated = read_three(L, field, "up", level)
                             ? sy_axes_vector_in(&g->axes, (sy_vec3){level[0], level[1], level[2]})
                             : (sy_vec3){0, 0, 1};
  held->up = sy_mat3_apply(sy_mat3_transpose(held->own), stated);
  sy_liquid w;
  lua_getfield(L, field, "shape");
  bool fine =
      syl_read_tank(L, -1, &held->tank, err) &&
      (!(held->dry > 0) || syl_tank_shell(&held->tank, &g->axes, held->dry, &parts[0], err) == SY_OK) &&
      syl_tank_liquid(&held->tank, &g->axes, held->volume, held->up, &w, err) == SY_OK;
  if (fine && w.volume > 0) {
    parts[1].cg = w.centroid;
    parts[1].inertia = sy_sym3_scale(parts[1].mass, w.inertia);
  }
  out->joint = parts[0];
  if (fine && parts[0].mass + parts[1].mass > 0)
    fine = sy_massprops_combine(parts, 2, &out->joint, err) == SY_OK;
  if (fine) {
    out->liquid = w.volume > 0 ? w.centroid : out->joint.cg;
    out->surface = w.area > 0 ? w.surface : out->liquid;
  }
  lua_settop(L, field);
  return fine;
}

bool syl_read_held(lua_State *L, const syl_geometry *g, syl_held *held, sy_vec3 *cg, sy_error *err) {
  filled tank;
  luaL_checktype(L, -1, LUA_TTABLE);
  const bool fine = read_held(L, g, held, &tank, err);
  if (fine) *cg = tank.joint.cg;
  return fine;
}

/* A tank as it lies in its group. */
typedef struct lying {
  sy_vec3 offset; /* of the joint cg from the tank's middle */
  sy_sym3 inertia;
  sy_vec3 dry_arm, liquid_arm, surface_arm; /* see sy_fill */
} lying;

/* The table on top of the stack, see syl_tank_offset. mirror: of an image, or NULL. */
static bool read_liquid(lua_State *L, const syl_geometry *g, const sy_mat3 *mirror, lying *out,
                        sy_error *err) {
  syl_held held;
  filled tank;
  if (!read_held(L, g, &held, &tank, err)) return false;
  const sy_mat3 filed = mirror != NULL ? sy_mat3_mul(*mirror, held.own) : held.own;
  const sy_mat3 lies = sy_mat3_mul(held.alone, filed);
  const sy_vec3 cg = tank.joint.cg;
  out->offset = whole_picometres(sy_mat3_apply(lies, cg));
  out->inertia = sy_sym3_turn(lies, tank.joint.inertia);
  out->dry_arm = sy_mat3_apply(lies, sy_vec3_scale(-1, cg));
  out->liquid_arm = sy_mat3_apply(lies, sy_vec3_sub(tank.liquid, cg));
  out->surface_arm = sy_mat3_apply(lies, sy_vec3_sub(tank.surface, cg));
  return true;
}

bool syl_tank_offset(lua_State *L, const syl_geometry *g, const sy_mat3 *mirror, sy_vec3 *offset,
                     sy_error *err) {
  lying tank;
  luaL_checktype(L, -1, LUA_TTABLE);
  const bool fine = read_liquid(L, g, mirror, &tank, err);
  if (fine) *offset = tank.offset;
  return fine;
}

/* Tank and liquid over what stands in `part`, whose cg is the tank's middle: they have theirs elsewhere. The table is on top. */
bool syl_add_liquid(lua_State *L, const syl_geometry *g, const sy_mat3 *mirror, sy_part *part, sy_fill *fill,
                    sy_error *err) {
  lying tank;
  if (!read_liquid(L, g, mirror, &tank, err)) return false;
  part->cg = sy_vec3_add(part->cg, tank.offset);
  part->inertia = tank.inertia;
  part->flags &= ~(uint32_t)(SY_PART_SOLID | SY_PART_POINT | SY_PART_USUAL);
  fill->dry_arm = tank.dry_arm;
  fill->liquid_arm = tank.liquid_arm;
  fill->surface_arm = tank.surface_arm;
  return true;
}

/* The fields of the booking itself: what replaces a part or stands for one. */
static void read_own(lua_State *L, int t, sy_part *part) {
  read_number(L, t, "mass", &part->mass);
  read_number(L, t, "mass_sd", &part->mass_sd);
  read_unsigned(L, t, "number", &part->number);
  read_unsigned(L, t, "instrument", &part->instrument);
  read_number(L, t, "bias_share", &part->bias_share);
  read_number(L, t, "gain_mass", &part->gain_mass);
  read_flag(L, t, "unstated", SY_PART_UNSTATED, part);
  read_flag(L, t, "unknown", SY_PART_UNKNOWN, part);
  if (flag_at(L, t, "point")) {
    part->inertia = (sy_sym3){0, 0, 0, 0, 0, 0};
    part->fill = NULL;
    part->flags = (part->flags | SY_PART_POINT) & ~(uint32_t)(SY_PART_SOLID | SY_PART_USUAL);
    if (flag_at(L, t, "usual")) syl_set_usual(part);
  }
}

/* What the booking's node says, if it names one. */
static bool read_node(lua_State *L, int t, const syl_geometry *g, const syl_piece *piece,
                      const sy_mat3 *mirror, sy_part *part, sy_fill *fill, sy_error *err) {
  const int top = lua_gettop(L);
  syl_node n = {.piece = piece, .mirror = mirror, .litres_sd = (double)NAN};
  bool fine = true;
  if (lua_getfield(L, t, "node") == LUA_TTABLE) {
    luaL_argcheck(L, lua_getfield(L, t, "context") == LUA_TTABLE, t, "a node needs its context");
    n.node = top + 1, n.context = top + 2;
    n.is_fill = read_number(L, t, "litres", &n.litres);
    read_number(L, t, "litres_sd", &n.litres_sd);
    if (lua_getfield(L, t, "alone") == LUA_TTABLE) n.alone = top + 3;
    n.has_liquid = lua_getfield(L, t, "liquid") == LUA_TTABLE;
    fine = syl_read_node(L, &n, g, part, fill, err) &&
           (!n.has_liquid || syl_add_liquid(L, g, mirror, part, fill, err));
  }
  lua_settop(L, top);
  return fine;
}

bool syl_read_booking(lua_State *L, int index, const syl_geometry *g, bool at_top, const syl_piece *piece,
                      sy_part *part, sy_fill *fill, sy_error *err) {
  const int t = lua_absindex(L, index);
  const bool image = piece != NULL && piece->image;
  const sy_mat3 reflection = image ? syl_reflection(piece->normal) : sy_mat3_identity();
  const sy_mat3 *mirror = image ? &reflection : NULL;
  luaL_checktype(L, t, LUA_TTABLE);
  if (lua_getfield(L, t, "liquid_was") != LUA_TNIL) {
    lying tank;
    if (!read_liquid(L, g, mirror, &tank, err)) return false;
    part->cg = sy_vec3_sub(part->cg, tank.offset);
  }
  lua_pop(L, 1);
  read_own(L, t, part);
  read_place(L, t, g, at_top, piece, part);
  return read_node(L, t, g, piece, mirror, part, fill, err);
}

void syl_read_group(lua_State *L, int index, const syl_geometry *g, bool at_top, sy_group *group) {
  sy_part place = sy_part_default();
  sy_fill none;
  sy_error ignored;
  place.cg = group->frame.at;
  lua_createtable(L, 0, 1);
  lua_getfield(L, index, "at");
  lua_setfield(L, -2, "at");
  (void)syl_read_booking(L, -1, g, at_top, NULL, &place, &none, &ignored); /* reads a place only */
  lua_pop(L, 1);
  group->frame.at = place.cg;
  if (lua_getfield(L, index, "turned") != LUA_TNIL) group->frame.turn = syl_read_turn(L, -1);
  if (lua_getfield(L, index, "number") != LUA_TNIL) group->number = (uint32_t)luaL_checkinteger(L, -1);
  if (lua_getfield(L, index, "not_aboard") != LUA_TNIL) group->not_aboard = lua_toboolean(L, -1);
  lua_pop(L, 3);
}
