#include "bind_ledger.h"

#include <lauxlib.h>
#include <string.h>

#include "bind_booking.h"
#include "fail.h"

/* ---- handles --------------------------------------------------------------------------------------------------- */

const sy_ledger *syl_check_ledger(lua_State *L, int index) {
  sy_ledger **box = luaL_checkudata(L, index, SYL_LEDGER);
  luaL_argcheck(L, *box != NULL, index, "the ledger is closed");
  return *box;
}

sy_ledger **syl_new_ledger(lua_State *L) {
  sy_ledger **box = lua_newuserdatauv(L, sizeof(sy_ledger *), 0);
  *box = NULL;
  luaL_setmetatable(L, SYL_LEDGER);
  return box;
}

static int l_ledger_gc(lua_State *L) {
  sy_ledger **box = luaL_checkudata(L, 1, SYL_LEDGER);
  sy_ledger_release(*box);
  *box = NULL;
  return 0;
}

sy_route syl_check_route(lua_State *L, int index) {
  size_t size;
  const char *bytes = luaL_checklstring(L, index, &size);
  sy_route route;
  luaL_argcheck(L, size % sizeof *route.child == 0 && size <= sizeof route.child, index, "not a route");
  route.depth = (uint32_t)(size / sizeof *route.child);
  memcpy(route.child, bytes, size);
  return route;
}

void syl_push_route(lua_State *L, const sy_route *route) {
  lua_pushlstring(L, (const char *)route->child, route->depth * sizeof *route->child);
}

/* ---- building -------------------------------------------------------------------------------------------------- */

typedef struct syl_builder {
  sy_ledger_builder *builder;
  size_t depth;                       /* open groups around the next item */
  sy_frame outer[SY_MAX_NESTING * 2]; /* from the open group to the vehicle's frame */
  bool at_top;                        /* the outermost level holds points of the file */
} syl_builder;                        /* user value 1: the geometry */

static syl_builder *check_builder(lua_State *L) {
  syl_builder *b = luaL_checkudata(L, 1, SYL_BUILDER);
  luaL_argcheck(L, b->builder != NULL, 1, "the builder is used up");
  return b;
}

static const syl_geometry *builder_geometry(lua_State *L) {
  lua_getiuservalue(L, 1, 1);
  const syl_geometry *g = syl_check_geometry(L, -1);
  lua_pop(L, 1); /* the builder keeps it alive */
  return g;
}

/* The list {{bias_sd, gain_sd}, ...} at `index`: kg and fractions. */
static sy_status read_instruments(lua_State *L, int index, sy_ledger_builder *builder, sy_error *err) {
  sy_instrument list[SY_MAX_INSTRUMENTS];
  luaL_checktype(L, index, LUA_TTABLE);
  const lua_Integer count = luaL_len(L, index);
  luaL_argcheck(L, count <= SY_MAX_INSTRUMENTS, index, "too many instruments");
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, index, i + 1);
    lua_geti(L, -1, 1);
    lua_geti(L, -2, 2);
    list[i] = (sy_instrument){luaL_checknumber(L, -2), luaL_checknumber(L, -1)};
    lua_pop(L, 3);
  }
  return sy_ledger_builder_instruments(builder, list, (size_t)count, err);
}

/* core.builder(geometry, ledger?, route?, instruments?) -> builder. With a ledger its items are for that ledger's group at `route`. */
static int l_builder(lua_State *L) {
  lua_settop(L, 4);
  syl_check_geometry(L, 1);
  const sy_ledger *relative = lua_isnoneornil(L, 2) ? NULL : syl_check_ledger(L, 2);
  syl_builder *b = lua_newuserdatauv(L, sizeof *b, 1);
  memset(b, 0, sizeof *b);
  b->outer[0] = sy_frame_identity();
  b->at_top = true;
  if (relative != NULL && !lua_isnoneornil(L, 3)) {
    const sy_route route = syl_check_route(L, 3);
    sy_item item;
    sy_error err;
    if (sy_ledger_item(relative, &route, &item, &err) != SY_OK) return syl_raise(L, &err);
    if (route.depth > 0 && item.group != NULL) {
      b->outer[0] = sy_frame_compose(&item.outer, &item.group->frame);
      b->at_top = false;
    }
  }
  luaL_setmetatable(L, SYL_BUILDER);
  lua_pushvalue(L, 1);
  lua_setiuservalue(L, -2, 1);
  sy_alloc alloc; /* the state's own, called as Lua calls it: all ledgers are closed before the state is */
  alloc.resize = lua_getallocf(L, &alloc.user);
  b->builder = sy_ledger_builder_new(&alloc, relative);
  if (b->builder == NULL) return luaL_error(L, "not enough memory");
  sy_error err;
  if (!lua_isnoneornil(L, 4) && read_instruments(L, 4, b->builder, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

static int l_builder_gc(lua_State *L) {
  syl_builder *b = luaL_checkudata(L, 1, SYL_BUILDER);
  sy_ledger_builder_free(b->builder);
  b->builder = NULL;
  return 0;
}

static bool item_at_top(const syl_builder *b) { return b->at_top && b->depth == 0; }

/* builder:part(name, tags, booking) */
static int l_add_part(lua_State *L) {
  syl_builder *b = check_builder(L);
  sy_part part = sy_part_default();
  sy_error err;
  if (!syl_read_booking(L, 4, builder_geometry(L), item_at_top(b), &part, &err) ||
      sy_ledger_add_part(b->builder, luaL_optstring(L, 2, NULL), luaL_optstring(L, 3, NULL), &part, &err) !=
          SY_OK)
    return syl_raise(L, &err);
  return 0;
}

/* A mirror plane in a group's own frame: normal . p + offset = 0. */
typedef struct plane {
  sy_vec3 normal;
  double offset;
} plane;

/* The centre plane y = 0 of the vehicle. */
static plane centre_plane(const sy_frame *outer) {
  return (plane){sy_mat3_apply(sy_mat3_transpose(outer->turn), (sy_vec3){0, 1, 0}), outer->at.y};
}

/* Left and right piece from the stated one. side: +1 it is the left one, -1 the right one, 0 as it lies. */
static void both_sides(const sy_part *stated, int side, plane mirror, const sy_loadmap *map,
                       sy_part pieces[2]) {
  if (side == 0) side = sy_vec3_dot(mirror.normal, stated->cg) + mirror.offset >= 0 ? 1 : -1;
  sy_part own = *stated;
  syl_carry_on_side(&own, side, map);
  const sy_part twin = syl_mirror_part(&own, mirror.normal, mirror.offset, map);
  pieces[0] = side > 0 ? own : twin;
  pieces[1] = side > 0 ? twin : own;
}

/* builder:pair(name, tags, booking): the booking is of one piece; its mirror image in the centre plane goes with it */
static int l_add_pair(lua_State *L) {
  syl_builder *b = check_builder(L);
  const syl_geometry *g = builder_geometry(L);
  sy_part part = sy_part_default(), pieces[2];
  sy_group group = sy_group_default();
  sy_error err;
  if (!syl_read_booking(L, 4, g, item_at_top(b), &part, &err)) return syl_raise(L, &err);
  const plane centre = centre_plane(&b->outer[b->depth]);
  group.record = part.record;
  group.ashore = (part.flags & SY_PART_ASHORE) != 0;
  group.twin = true;
  group.twin_normal = centre.normal;
  part.flags &= ~(uint32_t)SY_PART_ASHORE;
  both_sides(&part, 0, centre, &g->map, pieces);
  const char *name = luaL_optstring(L, 2, NULL), *tags = luaL_optstring(L, 3, NULL);
  if (sy_ledger_open_group(b->builder, name, tags, &group, &err) != SY_OK ||
      sy_ledger_add_part(b->builder, "left", NULL, &pieces[0], &err) != SY_OK ||
      sy_ledger_add_part(b->builder, "right", NULL, &pieces[1], &err) != SY_OK ||
      sy_ledger_close_group(b->builder, &err) != SY_OK)
    return syl_raise(L, &err);
  return 0;
}

/* The fields of a group at `index` over what stands in `group`: at (mm), turned, record, ashore. */
static void read_group(lua_State *L, int index, const syl_geometry *g, bool at_top, sy_group *group) {
  sy_part place = sy_part_default();
  sy_error ignored;
  place.cg = group->frame.at;
  lua_createtable(L, 0, 1);
  lua_getfield(L, index, "at");
  lua_setfield(L, -2, "at");
  (void)syl_read_booking(L, -1, g, at_top, &place, &ignored); /* reads a place only */
  lua_pop(L, 1);
  group->frame.at = place.cg;
  if (lua_getfield(L, index, "turned") != LUA_TNIL) group->frame.turn = syl_read_turn(L, -1);
  if (lua_getfield(L, index, "record") != LUA_TNIL) group->record = (uint32_t)luaL_checkinteger(L, -1);
  if (lua_getfield(L, index, "ashore") != LUA_TNIL) group->ashore = lua_toboolean(L, -1);
  lua_pop(L, 3);
}

/* builder:open(name, tags, {at?, turned?, record?, ashore?}) ... builder:close() */
static int l_open_group(lua_State *L) {
  syl_builder *b = check_builder(L);
  const syl_geometry *g = builder_geometry(L);
  sy_group group = sy_group_default();
  sy_error err;
  luaL_checktype(L, 4, LUA_TTABLE);
  /* a group without a place lies at the file's own origin: its parts are then written as if there were none */
  if (item_at_top(b)) group.frame.at = sy_axes_point_in(&g->axes, (sy_vec3){0, 0, 0});
  read_group(L, 4, g, item_at_top(b), &group);
  if (sy_ledger_open_group(b->builder, luaL_optstring(L, 2, NULL), luaL_optstring(L, 3, NULL), &group,
                           &err) != SY_OK)
    return syl_raise(L, &err);
  b->outer[b->depth + 1] = sy_frame_compose(&b->outer[b->depth], &group.frame);
  b->depth++;
  return 0;
}

static int l_close_group(lua_State *L) {
  syl_builder *b = check_builder(L);
  sy_error err;
  if (sy_ledger_close_group(b->builder, &err) != SY_OK) return syl_raise(L, &err);
  b->depth--;
  return 0;
}

/* builder:finish() -> ledger */
static int l_finish(lua_State *L) {
  syl_builder *b = check_builder(L);
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_finish(b->builder, box, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

/* ---- editing: each returns a new ledger ------------------------------------------------------------------------ */

/* ledger:shift(route, forward, left, up) in mm */
static int l_shift(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  const sy_vec3 by = {luaL_checknumber(L, 3) * 1e-3, luaL_checknumber(L, 4) * 1e-3,
                      luaL_checknumber(L, 5) * 1e-3};
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_shift(ledger, &route, by, box, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

/* ledger:turn(route, {nose_up = ...}, forward, left, up): about that point, in mm of the vehicle's frame */
static int l_turn(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  luaL_checktype(L, 3, LUA_TTABLE);
  const sy_vec3 about = {luaL_checknumber(L, 4) * 1e-3, luaL_checknumber(L, 5) * 1e-3,
                         luaL_checknumber(L, 6) * 1e-3};
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_turn(ledger, &route, syl_read_turn(L, 3), about, box, &err) != SY_OK)
    return syl_raise(L, &err);
  return 1;
}

/* ledger:aboard(route, boolean) */
static int l_aboard(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_set_aboard(ledger, &route, lua_toboolean(L, 3), box, &err) != SY_OK)
    return syl_raise(L, &err);
  return 1;
}

static sy_status put_part(lua_State *L, const sy_ledger *ledger, const sy_item *item, const syl_geometry *g,
                          sy_ledger **box, sy_error *err) {
  sy_part part = *item->part;
  /* a pair's own frame is that of its surroundings */
  const bool at_top = item->route.depth == (item->side ? 2u : 1u);
  if (!syl_read_booking(L, 4, g, at_top, &part, err)) return err->status;
  return sy_ledger_put(ledger, &item->route, &part, box, err);
}

/* Both pieces of a pair, a booking being of the one that was stated. A new place is that piece's and the other becomes its mirror
** image in the vehicle; without one each stays where it is, but for what its liquid does, and they are images in the plane they
** were booked with, wherever the pair has been moved and turned. */
static sy_status put_pair(lua_State *L, const sy_ledger *ledger, const sy_item *pair, const syl_geometry *g,
                          sy_ledger **box, sy_error *err) {
  sy_ledger *half = NULL;
  sy_item side[2]; /* left, right */
  sy_route route = pair->route;
  route.depth++;
  for (unsigned i = 0; i < 2; i++) {
    route.child[route.depth - 1] = i;
    const sy_status status = sy_ledger_item(ledger, &route, &side[i], err);
    if (status != SY_OK) return status;
  }
  const int own = side[0].part->flags & SY_PART_MIRRORED ? 1 : 0;
  sy_part part = *side[own].part, pieces[2];
  if (!syl_read_booking(L, 4, g, pair->route.depth == 1, &part, err)) return err->status;
  const bool placed = lua_getfield(L, 4, "at") != LUA_TNIL;
  lua_pop(L, 1);
  const plane mirror = placed ? centre_plane(&side[0].outer) : (plane){pair->group->twin_normal, 0};
  both_sides(&part, placed ? 0 : own == 0 ? 1 : -1, mirror, &g->map, pieces);
  for (int i = 0; i < 2; i++) { /* one of them may be out */
    const uint32_t ashore = side[i].part->flags & (uint32_t)SY_PART_ASHORE;
    pieces[i].flags = (pieces[i].flags & ~(uint32_t)SY_PART_ASHORE) | ashore;
  }
  if (!placed) {
    const sy_vec3 shift = sy_vec3_sub(part.cg, side[own].part->cg), n = mirror.normal;
    pieces[own].cg = part.cg;
    pieces[1 - own].cg =
        sy_vec3_add(side[1 - own].part->cg, sy_vec3_muladd(shift, -2.0 * sy_vec3_dot(shift, n), n));
  }
  route.child[route.depth - 1] = 0;
  sy_status status = sy_ledger_put(ledger, &route, &pieces[0], &half, err);
  if (status != SY_OK) return status;
  route.child[route.depth - 1] = 1;
  status = sy_ledger_put(half, &route, &pieces[1], box, err);
  sy_ledger_release(half);
  return status;
}

/* ledger:put(route, geometry, booking): the fields given replace those there */
static int l_put(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  const syl_geometry *g = syl_check_geometry(L, 3);
  luaL_checktype(L, 4, LUA_TTABLE);
  sy_error err;
  sy_item item;
  sy_ledger **box = syl_new_ledger(L);
  sy_status status = sy_ledger_item(ledger, &route, &item, &err);
  if (status == SY_OK && item.part != NULL) {
    status = put_part(L, ledger, &item, g, box, &err);
  } else if (status == SY_OK && item.group->twin) {
    status = put_pair(L, ledger, &item, g, box, &err);
  } else if (status == SY_OK) {
    sy_group group = *item.group;
    read_group(L, 4, g, route.depth == 1, &group);
    status = sy_ledger_put_group(ledger, &route, &group, box, &err);
  }
  if (status != SY_OK) return syl_raise(L, &err);
  return 1;
}

/* ledger:append(route, builder) */
static int l_append(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  const syl_builder *b = luaL_checkudata(L, 3, SYL_BUILDER);
  luaL_argcheck(L, b->builder != NULL, 3, "the builder is used up");
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_append(ledger, &route, b->builder, box, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

static void push_place(lua_State *L, sy_vec3 p) {
  lua_createtable(L, 3, 0);
  const double v[3] = {p.x, p.y, p.z};
  for (int i = 0; i < 3; i++) {
    lua_pushnumber(L, v[i] * 1e3);
    lua_seti(L, -2, i + 1);
  }
}

/* core.tank_offset(liquid, geometry) -> {forward, left, up} in mm: see bind_booking.h */
static int l_tank_offset(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 2);
  sy_vec3 offset;
  sy_error err;
  lua_settop(L, 2);
  lua_pushvalue(L, 1);
  if (!syl_tank_offset(L, g, &offset, &err)) return syl_raise(L, &err);
  push_place(L, offset);
  return 1;
}

/* ---- asking ---------------------------------------------------------------------------------------------------- */

typedef size_t find_function(const sy_ledger *, const char *, sy_route *, size_t);

static int find(lua_State *L, find_function *search) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const char *word = luaL_checkstring(L, 2);
  sy_route one;
  const size_t count = search(ledger, word, &one, 1);
  sy_route *all = lua_newuserdatauv(L, (count + 1) * sizeof *all, 0); /* scratch belongs to the collector */
  search(ledger, word, all, count);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    syl_push_route(L, &all[i]);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  return 1;
}

/* ledger:find(name or path) -> list of routes */
static int l_find(lua_State *L) { return find(L, sy_ledger_find); }

/* ledger:tagged(tag) -> list of routes */
static int l_tagged(lua_State *L) { return find(L, sy_ledger_find_tag); }

/* An item's own reference point in the vehicle's frame. */
static sy_vec3 origin_of(const sy_item *item) {
  return sy_frame_apply(&item->outer, item->part != NULL ? item->part->cg : item->group->frame.at);
}

static void push_item(lua_State *L, const sy_item *item) {
  lua_createtable(L, 0, 12);
  lua_pushstring(L, item->name != NULL ? item->name : "");
  lua_setfield(L, -2, "name");
  syl_push_route(L, &item->route);
  lua_setfield(L, -2, "route");
  lua_pushinteger(L, (lua_Integer)(item->part != NULL ? item->part->record : item->group->record));
  lua_setfield(L, -2, "record");
  lua_pushstring(L, item->part != NULL ? "part" : item->group->twin ? "pair" : "group");
  lua_setfield(L, -2, "form");
  lua_pushboolean(L, item->aboard);
  lua_setfield(L, -2, "aboard");
  lua_pushboolean(L, item->side);
  lua_setfield(L, -2, "side");
  lua_pushinteger(L, (lua_Integer)item->children);
  lua_setfield(L, -2, "children");
  /* the item's own reference point, in mm of the vehicle's frame */
  push_place(L, origin_of(item));
  lua_setfield(L, -2, "origin");
  if (item->part != NULL) {
    lua_pushnumber(L, item->part->mass);
    lua_setfield(L, -2, "mass");
    lua_pushnumber(L, item->part->mass_sd);
    lua_setfield(L, -2, "mass_sd");
    lua_pushinteger(L, (lua_Integer)item->part->count);
    lua_setfield(L, -2, "count");
  }
}

/* ledger:item(route) -> {name, route, record, form, aboard, side, children, origin {forward, left, up}, mass?, ...} */
static int l_item(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_item item;
  sy_error err;
  if (sy_ledger_item(ledger, &route, &item, &err) != SY_OK) return syl_raise(L, &err);
  push_item(L, &item);
  return 1;
}

/* ledger:origin(route) -> forward, left, up in mm: the item's own reference point, without the rest */
static int l_origin(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_item item;
  sy_error err;
  if (sy_ledger_item(ledger, &route, &item, &err) != SY_OK) return syl_raise(L, &err);
  const sy_vec3 at = origin_of(&item);
  lua_pushnumber(L, at.x * 1e3);
  lua_pushnumber(L, at.y * 1e3);
  lua_pushnumber(L, at.z * 1e3);
  return 3;
}

typedef struct listing {
  lua_State *L;
  lua_Integer count;
  bool into_pairs;
} listing;

static bool list_item(void *user, const sy_item *item) {
  listing *list = user;
  push_item(list->L, item);
  lua_seti(list->L, -2, ++list->count);
  return list->into_pairs || item->group == NULL || !item->group->twin;
}

/* ledger:items(into_pairs?) -> list of items as above, in file order */
static int l_items(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  listing list = {L, 0, lua_toboolean(L, 2)};
  lua_newtable(L);
  sy_ledger_visit(ledger, list_item, &list);
  return 1;
}

static const luaL_Reg ledger_methods[] = {
    {"shift", l_shift},   {"turn", l_turn},     {"aboard", l_aboard}, {"put", l_put},
    {"append", l_append}, {"find", l_find},     {"tagged", l_tagged}, {"item", l_item},
    {"items", l_items},   {"origin", l_origin}, {NULL, NULL},
};

static const luaL_Reg builder_methods[] = {
    {"part", l_add_part},     {"pair", l_add_pair}, {"open", l_open_group},
    {"close", l_close_group}, {"finish", l_finish}, {NULL, NULL},
};

static void open_class(lua_State *L, const char *name, const luaL_Reg *methods, lua_CFunction gc) {
  luaL_newmetatable(L, name);
  lua_newtable(L);
  luaL_setfuncs(L, methods, 0);
  lua_setfield(L, -2, "__index");
  lua_pushcfunction(L, gc);
  lua_setfield(L, -2, "__gc");
  lua_pushcfunction(L, gc);
  lua_setfield(L, -2, "__close");
  lua_pop(L, 1);
}

void syl_open_ledger(lua_State *L) {
  open_class(L, SYL_LEDGER, ledger_methods, l_ledger_gc);
  open_class(L, SYL_BUILDER, builder_methods, l_builder_gc);
  lua_pushcfunction(L, l_builder);
  lua_setfield(L, -2, "builder");
  lua_pushcfunction(L, l_tank_offset);
  lua_setfield(L, -2, "tank_offset");
}
