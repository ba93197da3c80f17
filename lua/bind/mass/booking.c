#include "bind/mass/booking.h"

#include <lauxlib.h>
#include <string.h>

#include "base/units.h"
#include "bind/numbers.h"
#include "mass/solids.h"

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

static sy_vec3 metres(const double v[3]) { return (sy_vec3){v[0] * 1e-3, v[1] * 1e-3, v[2] * 1e-3}; }

void syl_place_part(const syl_geometry *g, bool at_top, const double at[3], const double sd[3],
                    sy_part *part) {
  part->cg = at_top ? sy_axes_point_in(&g->axes, metres(at)) : sy_axes_vector_in(&g->axes, metres(at));
  const sy_vec3 in = sy_axes_vector_in(&g->axes, metres(sd));
  part->cg_sd = (sy_vec3){fabs(in.x), fabs(in.y), fabs(in.z)};
  part->cg_stated = part->cg;
  part->flags &= ~(uint32_t)SY_PART_MIRRORED; /* stated where it lies */
}

static bool flag_at(lua_State *L, int t, const char *key) {
  lua_getfield(L, t, key);
  const bool set = lua_toboolean(L, -1);
  lua_pop(L, 1);
  return set;
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
  }
  if (!uncertain) stated.cg_sd = part->cg_sd;
  if (image) {
    stated.cg = placed ? syl_mirrored(piece->centre, stated.cg) : part->cg;
    stated.cg_stated = piece->other_stated; /* one statement of both */
    stated.flags |= SY_PART_MIRRORED;
  }
  *part = stated;
}

sy_mat3 syl_read_turn(lua_State *L, int index) {
  double up = 0, down = 0, left_up = 0, right_up = 0, left = 0, right = 0;
  const int t = lua_absindex(L, index);
  read_number(L, t, "nose_up", &up);
  read_number(L, t, "nose_down", &down);
  read_number(L, t, "left_up", &left_up);
  read_number(L, t, "right_up", &right_up);
  read_number(L, t, "nose_left", &left);
  read_number(L, t, "nose_right", &right);
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

sy_status syl_solid_inertia(const char *kind, double mass, const double size[3], int axis, sy_sym3 *out,
                            sy_error *err) {
  sy_massprops body;
  const sy_status status = solid_of(kind, mass, size, &body, err);
  if (status == SY_OK) *out = lay_axis(body.inertia, axis);
  return status;
}

static sy_sym3 read_tensor(lua_State *L, int t, const syl_geometry *g) {
  sy_sym3 j = {0, 0, 0, 0, 0, 0};
  read_number(L, t, "xx", &j.xx);
  read_number(L, t, "yy", &j.yy);
  read_number(L, t, "zz", &j.zz);
  read_number(L, t, "xy", &j.xy);
  read_number(L, t, "xz", &j.xz);
  read_number(L, t, "yz", &j.yz);
  return sy_axes_tensor_in(&g->axes, j);
}

/* The shape on top of the stack at `mass`: {kind = "tube", a, b, c (mm), axis = 0 fore-aft, 1 across, 2 upright}, or {kind =
** "mesh", per_kg = its inertia at 1 kg, file axes}. */
static bool shape_inertia(lua_State *L, double mass, const syl_geometry *g, sy_sym3 *out, sy_error *err) {
  const int shape = lua_gettop(L);
  double s[3] = {0, 0, 0}, axis = 2;
  lua_getfield(L, shape, "kind");
  const char *kind = luaL_checkstring(L, -1);
  if (strcmp(kind, "mesh") == 0) {
    lua_getfield(L, shape, "per_kg");
    luaL_checktype(L, -1, LUA_TTABLE);
    *out = sy_sym3_scale(mass, read_tensor(L, lua_gettop(L), g));
    lua_settop(L, shape);
    return true;
  }
  syl_some_at(L, shape, SY_MILLIMETRE, s);
  read_number(L, shape, "axis", &axis);
  const bool fine = syl_solid_inertia(kind, mass, s, (int)axis, out, err) == SY_OK;
  lua_settop(L, shape);
  return fine;
}

static bool read_shape(lua_State *L, int t, const syl_geometry *g, sy_part *part, sy_error *err) {
  bool fine = true;
  lua_getfield(L, t, "shape");
  if (!lua_isnil(L, -1)) {
    fine = shape_inertia(L, part->mass, g, &part->inertia, err);
    if (fine) part->flags = (part->flags | SY_PART_SOLID) & ~(uint32_t)SY_PART_POINT;
  }
  lua_pop(L, 1);
  return fine;
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

/* The same for the field `key`; *there: has the booking one? */
static bool read_liquid_field(lua_State *L, int t, const char *key, const syl_geometry *g,
                              const sy_mat3 *mirror, lying *out, bool *there, sy_error *err) {
  *there = lua_getfield(L, t, key) != LUA_TNIL;
  const bool fine = !*there || read_liquid(L, g, mirror, out, err);
  lua_pop(L, 1);
  return fine;
}

bool syl_tank_offset(lua_State *L, const syl_geometry *g, const sy_mat3 *mirror, sy_vec3 *offset,
                     sy_error *err) {
  lying tank;
  luaL_checktype(L, -1, LUA_TTABLE);
  const bool fine = read_liquid(L, g, mirror, &tank, err);
  if (fine) *offset = tank.offset;
  return fine;
}

/* What a tank's mass is made of. tank: where its liquid lies; NULL for one whose liquid counts at its own place. */
static void read_fill(lua_State *L, int t, const lying *tank, sy_part *part, sy_fill *fill) {
  const int type = lua_getfield(L, t, "fill");
  if (type == LUA_TTABLE) {
    const int f = lua_gettop(L);
    *fill = (sy_fill){.dry = 0};
    read_number(L, f, "dry", &fill->dry);
    read_number(L, f, "dry_sd", &fill->dry_sd);
    read_number(L, f, "density", &fill->density);
    read_number(L, f, "density_sd", &fill->density_sd);
    read_number(L, f, "litres", &fill->volume);
    read_number(L, f, "litres_sd", &fill->volume_sd);
    read_number(L, f, "share_sd", &fill->share_sd);
    fill->density /= SY_LITRE;
    fill->density_sd /= SY_LITRE;
    fill->volume *= SY_LITRE;
    fill->volume_sd *= SY_LITRE;
    if (tank != NULL) {
      fill->dry_arm = tank->dry_arm;
      fill->liquid_arm = tank->liquid_arm;
      fill->surface_arm = tank->surface_arm;
    }
    part->fill = fill;
  } else if (type == LUA_TBOOLEAN) {
    part->fill = NULL;
  }
  lua_pop(L, 1);
}

static void read_inertia(lua_State *L, int t, const syl_geometry *g, sy_part *part) {
  lua_getfield(L, t, "inertia");
  if (!lua_isnil(L, -1)) {
    part->inertia = read_tensor(L, lua_gettop(L), g);
    part->flags &= ~(uint32_t)(SY_PART_SOLID | SY_PART_POINT);
    lua_getfield(L, t, "per_kg"); /* true: it is that of one kilogram */
    if (lua_toboolean(L, -1)) {
      part->inertia = sy_sym3_scale(part->mass, part->inertia);
      part->flags |= SY_PART_SOLID;
    }
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
}

static bool read_unsprung(lua_State *L, int t, sy_part *part) {
  const bool there = lua_getfield(L, t, "unsprung") != LUA_TNIL;
  if (there) {
    const lua_Integer count = syl_length(L, -1);
    luaL_argcheck(L, count <= SY_MAX_UNSPRUNG, t, "too many carriers for one part");
    part->unsprung.count = (uint8_t)count;
    for (lua_Integer i = 0; i < count; i++) {
      lua_geti(L, -1, i + 1);
      lua_geti(L, -1, 1);
      lua_geti(L, -2, 2);
      const lua_Integer carrier = luaL_checkinteger(L, -2);
      luaL_argcheck(L, carrier >= 0 && carrier < SY_CARRIER_COUNT, t, "no such carrier");
      part->unsprung.carrier[i] = (uint8_t)carrier;
      part->unsprung.fraction[i] = luaL_checknumber(L, -1);
      lua_pop(L, 3);
    }
  }
  lua_pop(L, 1);
  return there;
}

static bool has(lua_State *L, int t, const char *key) {
  const bool there = lua_getfield(L, t, key) != LUA_TNIL;
  lua_pop(L, 1);
  return there;
}

/* Inertia and how it lies, for the mass that stands in `part`: as stated, in the mirror, then turned by itself. */
static bool read_body(lua_State *L, int t, const syl_geometry *g, const sy_mat3 *mirror, sy_part *part,
                      sy_error *err) {
  const bool stated = has(L, t, "inertia") || has(L, t, "shape");
  read_inertia(L, t, g, part);
  if (!read_shape(L, t, g, part, err)) return false;
  read_flag(L, t, "point", SY_PART_POINT, part);
  lua_getfield(L, t, "turned");
  if (!lua_isnil(L, -1)) part->inertia = sy_sym3_turn(syl_read_turn(L, -1), part->inertia);
  lua_pop(L, 1);
  if (!stated) return true;
  if (mirror != NULL) part->inertia = sy_sym3_turn(*mirror, part->inertia);
  if (lua_getfield(L, t, "alone") != LUA_TNIL)
    part->inertia = sy_sym3_turn(syl_matrix_at(L, -1), part->inertia);
  lua_pop(L, 1);
  return true;
}

bool syl_read_booking(lua_State *L, int index, const syl_geometry *g, bool at_top, const syl_piece *piece,
                      sy_part *part, sy_fill *fill, sy_error *err) {
  const int t = lua_absindex(L, index);
  const bool image = piece != NULL && piece->image;
  const sy_mat3 reflection = image ? syl_reflection(piece->normal) : sy_mat3_identity();
  const sy_mat3 *mirror = image ? &reflection : NULL;
  luaL_checktype(L, t, LUA_TTABLE);
  lying tank;
  bool there;
  if (!read_liquid_field(L, t, "liquid_was", g, mirror, &tank, &there, err)) return false;
  if (there) part->cg = sy_vec3_sub(part->cg, tank.offset);
  read_number(L, t, "mass", &part->mass);
  read_number(L, t, "mass_sd", &part->mass_sd);
  read_number(L, t, "growth", &part->growth);
  read_unsigned(L, t, "count", &part->count);
  read_unsigned(L, t, "number", &part->number);
  read_unsigned(L, t, "instrument", &part->instrument);
  read_number(L, t, "bias_share", &part->bias_share);
  read_number(L, t, "gain_mass", &part->gain_mass);
  read_flag(L, t, "unstated", SY_PART_UNSTATED, part);
  read_flag(L, t, "unknown", SY_PART_UNKNOWN, part);
  read_flag(L, t, "not_aboard", SY_PART_NOT_ABOARD, part);
  read_place(L, t, g, at_top, piece, part);
  if (read_unsprung(L, t, part) && piece != NULL) syl_unsprung_on_side(part, piece->side, &g->map);
  if (!read_body(L, t, g, mirror, part, err)) return false;
  /* a tank's `at` is its middle, the part's cg is where tank and liquid have theirs */
  if (!read_liquid_field(L, t, "liquid", g, mirror, &tank, &there, err)) return false;
  read_fill(L, t, there ? &tank : NULL, part, fill);
  if (there) {
    part->cg = sy_vec3_add(part->cg, tank.offset);
    part->inertia = tank.inertia;
    part->flags &= ~(uint32_t)(SY_PART_SOLID | SY_PART_POINT);
  }
  return true;
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
