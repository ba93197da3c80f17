#include "bind/mass/ledger.h"

#include <lauxlib.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/booking.h"
#include "bind/mass/pair.h"

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

static sy_item pair_around(lua_State *L, const sy_ledger *ledger, const sy_item *item) {
  sy_route route = item->route;
  sy_item pair;
  sy_error err;
  route.depth--;
  if (sy_ledger_item(ledger, &route, &pair, &err) != SY_OK) syl_raise(L, &err);
  return pair;
}

sy_mat3 syl_mirror_of(lua_State *L, const sy_ledger *ledger, const sy_item *item) {
  if (item->part == NULL || !item->side || !(item->part->flags & SY_PART_IMAGE)) return sy_mat3_identity();
  return syl_reflection(pair_around(L, ledger, item).group->twin_normal);
}

/* What a booking must know of a piece of a pair. */
static syl_piece piece_of(lua_State *L, const sy_ledger *ledger, const sy_item *item) {
  const sy_item pair = pair_around(L, ledger, item);
  const uint32_t last = item->route.depth - 1;
  sy_route other_route = item->route;
  sy_item other;
  sy_error err;
  other_route.child[last] = 1 - other_route.child[last];
  if (sy_ledger_item(ledger, &other_route, &other, &err) != SY_OK) syl_raise(L, &err);
  return (syl_piece){.side = item->route.child[last] == 0 ? 1 : -1,
                     .image = (item->part->flags & SY_PART_IMAGE) != 0,
                     .normal = pair.group->twin_normal,
                     .centre = syl_centre_plane(&item->outer),
                     .other_stated = other.part->cg_stated};
}

static sy_status put_part(lua_State *L, const sy_ledger *ledger, const sy_item *item, const syl_geometry *g,
                          sy_ledger **box, sy_error *err) {
  sy_part part = *item->part;
  sy_fill fill;
  syl_piece piece;
  part.whole = NULL; /* stated anew it is a part like any other */
  if (item->side) piece = piece_of(L, ledger, item);
  /* a pair's own frame is that of its surroundings */
  const bool at_top = item->route.depth == (item->side ? 2u : 1u);
  if (!syl_read_booking(L, 4, g, at_top, item->side ? &piece : NULL, &part, &fill, err)) return err->status;
  if (item->side) { /* one of the two may be out */
    const uint32_t not_aboard = item->part->flags & (uint32_t)SY_PART_NOT_ABOARD;
    part.flags = (part.flags & ~(uint32_t)SY_PART_NOT_ABOARD) | not_aboard;
  }
  return sy_ledger_put(ledger, &item->route, &part, box, err);
}

/* Both pieces of a pair, the one that its line states first: the other takes its place from there. */
static sy_status put_pair(lua_State *L, const sy_ledger *ledger, const sy_item *pair, const syl_geometry *g,
                          sy_ledger **box, sy_error *err) {
  sy_ledger **half = syl_new_ledger(L);
  sy_item side[2];
  sy_route route = pair->route;
  route.depth++;
  for (uint32_t i = 0; i < 2; i++) {
    route.child[route.depth - 1] = i;
    const sy_status status = sy_ledger_item(ledger, &route, &side[i], err);
    if (status != SY_OK) return status;
  }
  const int own = side[0].part->flags & SY_PART_IMAGE ? 1 : 0;
  lua_pushboolean(L, true);
  lua_setfield(L, 4, "as_pair");
  sy_status status = put_part(L, ledger, &side[own], g, half, err);
  if (status == SY_OK) status = sy_ledger_item(*half, &side[1 - own].route, &side[1 - own], err);
  return status == SY_OK ? put_part(L, *half, &side[1 - own], g, box, err) : status;
}

/* ledger:put(route, geometry, booking): the fields given replace those there. A pair's are those of the piece that its line states. */
static int l_put(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  const syl_geometry *g = syl_check_geometry(L, 3);
  luaL_checktype(L, 4, LUA_TTABLE);
  lua_settop(L, 4);
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
    syl_read_group(L, 4, g, route.depth == 1, &group);
    status = sy_ledger_put_group(ledger, &route, &group, box, &err);
  }
  if (status != SY_OK) return syl_raise(L, &err);
  lua_settop(L, 5);
  return 1;
}

/* ledger:renumber(route, number): of a group or a pair itself, without its pieces */
static int l_renumber(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_error err;
  sy_item item;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_item(ledger, &route, &item, &err) != SY_OK) return syl_raise(L, &err);
  luaL_argcheck(L, item.group != NULL, 2, "a part's number comes with its booking");
  sy_group group = *item.group;
  group.number = (uint32_t)luaL_checkinteger(L, 3);
  if (sy_ledger_put_group(ledger, &route, &group, box, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

/* ledger:askew(route) -> boolean: is the piece of a pair the image in a plane that is not upright along its group? */
static int l_askew(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_item item;
  sy_error err;
  if (sy_ledger_item(ledger, &route, &item, &err) != SY_OK) return syl_raise(L, &err);
  luaL_argcheck(L, item.side, 2, "a piece of a pair is needed");
  const sy_vec3 n = pair_around(L, ledger, &item).group->twin_normal;
  lua_pushboolean(L, n.x != 0 || n.z != 0);
  return 1;
}

/* ledger:retag(route, tags?): tags separated by line breaks */
static int l_retag(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_error err;
  const char *tags = luaL_optstring(L, 3, NULL);
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_set_tags(ledger, &route, tags, box, &err) != SY_OK) return syl_raise(L, &err);
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

/* core.tank_offset(liquid, geometry) -> {forward, left, up} in mm: see bind/mass/booking.h */
static int l_tank_offset(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 2);
  sy_vec3 offset;
  sy_error err;
  lua_settop(L, 2);
  lua_pushvalue(L, 1);
  if (!syl_tank_offset(L, g, NULL, &offset, &err)) return syl_raise(L, &err);
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
  if (count == 1) all[0] = one; /* as it mostly is: a search goes through all parts */
  if (count > 1) search(ledger, word, all, count);
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

/* An item's own reference point in the vehicle's frame; a pair's is the middle between its pieces. */
static sy_vec3 origin_of(const sy_ledger *ledger, const sy_item *item) {
  if (item->part != NULL) return sy_frame_apply(&item->outer, item->part->cg);
  if (!item->group->twin) return sy_frame_apply(&item->outer, item->group->frame.at);
  sy_vec3 sum = {0, 0, 0};
  sy_route route = item->route;
  sy_item piece;
  route.depth++;
  for (uint32_t i = 0; i < 2; i++) {
    route.child[route.depth - 1] = i;
    if (sy_ledger_item(ledger, &route, &piece, NULL) == SY_OK)
      sum = sy_vec3_muladd(sum, 0.5, sy_frame_apply(&piece.outer, piece.part->cg));
  }
  return sum;
}

static void push_item(lua_State *L, const sy_ledger *ledger, const sy_item *item) {
  lua_createtable(L, 0, 13);
  lua_pushstring(L, item->name != NULL ? item->name : "");
  lua_setfield(L, -2, "name");
  syl_push_route(L, &item->route);
  lua_setfield(L, -2, "route");
  lua_pushinteger(L, (lua_Integer)(item->part != NULL ? item->part->number : item->group->number));
  lua_setfield(L, -2, "number");
  lua_pushstring(L, item->part != NULL ? "part" : item->group->twin ? "pair" : "group");
  lua_setfield(L, -2, "form");
  lua_pushboolean(L, item->aboard);
  lua_setfield(L, -2, "aboard");
  lua_pushboolean(L, item->side);
  lua_setfield(L, -2, "side");
  lua_pushinteger(L, (lua_Integer)item->children);
  lua_setfield(L, -2, "children");
  /* the item's own reference point, in mm of the vehicle's frame */
  push_place(L, origin_of(ledger, item));
  lua_setfield(L, -2, "origin");
  if (item->part != NULL) {
    lua_pushboolean(L, (item->part->flags & SY_PART_IMAGE) != 0);
    lua_setfield(L, -2, "image");
    lua_pushnumber(L, item->part->mass);
    lua_setfield(L, -2, "mass");
    if (item->part->flags & SY_PART_CORRECTED) {
      lua_pushnumber(L, item->part->mass_stated);
      lua_setfield(L, -2, "mass_stated");
    }
    lua_pushnumber(L, sy_part_mass_sd(item->part));
    lua_setfield(L, -2, "mass_sd");
    if (item->part->fill != NULL) {
      lua_pushnumber(L, item->part->fill->volume_sd / SY_LITRE);
      lua_setfield(L, -2, "litres_sd");
    }
    lua_pushinteger(L, (lua_Integer)item->part->count);
    lua_setfield(L, -2, "count");
  }
}

/* ledger:item(route) -> {name, route, number, form, aboard, side, children, origin {forward, left, up}, image?, mass?, ...} */
static int l_item(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_item item;
  sy_error err;
  if (sy_ledger_item(ledger, &route, &item, &err) != SY_OK) return syl_raise(L, &err);
  push_item(L, ledger, &item);
  return 1;
}

/* ledger:origin(route, geometry?, liquid?) -> forward, left, up in mm: the item's own reference point, without the rest; with `liquid` (see
** bind/mass/booking.h) the middle of the tank that holds it */
static int l_origin(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_item item;
  sy_error err;
  lua_settop(L, 4);
  if (sy_ledger_item(ledger, &route, &item, &err) != SY_OK) return syl_raise(L, &err);
  sy_vec3 at = origin_of(ledger, &item);
  if (!lua_isnil(L, 4)) {
    const sy_mat3 mirror = syl_mirror_of(L, ledger, &item);
    sy_vec3 offset;
    luaL_argcheck(L, item.part != NULL, 2, "a tank is a part");
    if (!syl_tank_offset(L, syl_check_geometry(L, 3), &mirror, &offset, &err)) return syl_raise(L, &err);
    at = sy_vec3_sub(at, sy_mat3_apply(item.outer.turn, offset));
  }
  lua_pushnumber(L, at.x * 1e3);
  lua_pushnumber(L, at.y * 1e3);
  lua_pushnumber(L, at.z * 1e3);
  return 3;
}

typedef struct listing {
  lua_State *L;
  const sy_ledger *ledger;
  lua_Integer count;
  bool into_pairs, chosen;
  sy_route group; /* only what lies in it; of depth 0: everything */
} listing;

bool syl_leads_to(const sy_item *item, const sy_route *group) {
  for (uint32_t i = 0; i < item->route.depth && i < group->depth; i++)
    if (item->route.child[i] != group->child[i]) return false;
  return true;
}

/* Is the number of the item among the keys of the table at index 4? */
static bool is_chosen(lua_State *L, const sy_item *item) {
  const bool chosen =
      lua_rawgeti(L, 4, item->part != NULL ? item->part->number : item->group->number) != LUA_TNIL;
  lua_pop(L, 1);
  return chosen;
}

static bool list_item(void *user, const sy_item *item) {
  listing *list = user;
  if (!syl_leads_to(item, &list->group)) return false;
  if (item->route.depth <= list->group.depth) return true;
  if (!list->chosen || is_chosen(list->L, item)) {
    push_item(list->L, list->ledger, item);
    lua_seti(list->L, -2, ++list->count);
  }
  return list->into_pairs || item->group == NULL || !item->group->twin;
}

/* ledger:items(into_pairs?, route?, chosen?) -> list of items as above, in file order; with a route those inside that group, with a table
** those whose number is a key in it */
static int l_items(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  listing list = {.L = L, .ledger = ledger, .into_pairs = lua_toboolean(L, 2)};
  if (!lua_isnoneornil(L, 3)) list.group = syl_check_route(L, 3);
  lua_settop(L, 4);
  list.chosen = !lua_isnil(L, 4);
  if (list.chosen) luaL_checktype(L, 4, LUA_TTABLE);
  lua_newtable(L);
  sy_ledger_visit(ledger, list_item, &list);
  return 1;
}

/* ledger:has_mass() -> boolean: is the mass aboard above 0? */
static int l_has_mass(lua_State *L) {
  lua_pushboolean(L, sy_ledger_has_mass(syl_check_ledger(L, 1)));
  return 1;
}

static const luaL_Reg ledger_methods[] = {
    {"shift", l_shift},       {"turn", l_turn},   {"aboard", l_aboard},
    {"put", l_put},           {"find", l_find},   {"tagged", l_tagged},
    {"item", l_item},         {"items", l_items}, {"origin", l_origin},
    {"renumber", l_renumber}, {"retag", l_retag}, {"askew", l_askew},
    {"has_mass", l_has_mass}, {NULL, NULL},
};

void syl_open_class(lua_State *L, const char *name, const luaL_Reg *methods, lua_CFunction gc) {
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
  syl_open_class(L, SYL_LEDGER, ledger_methods, l_ledger_gc);
  lua_pushcfunction(L, l_tank_offset);
  lua_setfield(L, -2, "tank_offset");
}
