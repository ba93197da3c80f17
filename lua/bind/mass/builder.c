/* builder.c - a ledger that is being filled, as a Lua value. */
#include <string.h>

#include <lauxlib.h>

#include "bind/errors.h"
#include "bind/mass/booking.h"
#include "bind/mass/ledger.h"
#include "bind/mass/node.h"
#include "bind/mass/pair.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "reader/fields_kind.h"

#define SYL_BUILDER "steelyard.builder"

typedef struct syl_builder {
  sy_ledger_builder *builder;
  size_t depth;                       /* open groups around the next item */
  sy_frame outer[SY_MAX_NESTING * 2]; /* from the open group to the vehicle's frame */
  bool at_top;                        /* the outermost level holds points of the file */
} syl_builder;                        /* user value 1: the geometry */

static syl_builder *check(lua_State *L, int index) {
  syl_builder *b = luaL_checkudata(L, index, SYL_BUILDER);
  luaL_argcheck(L, b->builder != NULL, index, "the builder is used up");
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
  const lua_Integer count = syl_length(L, index);
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
  syl_builder *b = check(L, 1);
  sy_part part = sy_part_default();
  sy_fill fill;
  sy_error err;
  if (!syl_read_booking(L, 4, builder_geometry(L), item_at_top(b), NULL, &part, &fill, &err) ||
      sy_ledger_add_part(b->builder, luaL_optstring(L, 2, NULL), luaL_optstring(L, 3, NULL), &part, &err) !=
          SY_OK)
    return syl_raise(L, &err);
  return 0;
}

/* A part and its mirror image in the centre plane. */
static sy_status add_pair(syl_builder *b, const syl_geometry *g, const char *name, const char *tags,
                          sy_part *part, sy_error *err) {
  sy_part pieces[2];
  sy_fill image;
  sy_group group = sy_group_default();
  const syl_plane centre = syl_centre_plane(&b->outer[b->depth]);
  group.number = part->number;
  group.not_aboard = (part->flags & SY_PART_NOT_ABOARD) != 0;
  group.twin = true;
  group.twin_normal = centre.normal;
  part->flags &= ~(uint32_t)SY_PART_NOT_ABOARD;
  syl_both_sides(part, centre, &g->map, pieces, &image);
  sy_status status = sy_ledger_open_group(b->builder, name, tags, &group, err);
  if (status == SY_OK) status = sy_ledger_add_part(b->builder, "left", NULL, &pieces[0], err);
  if (status == SY_OK) status = sy_ledger_add_part(b->builder, "right", NULL, &pieces[1], err);
  return status == SY_OK ? sy_ledger_close_group(b->builder, err) : status;
}

/* builder:node(node, number, not_aboard, context, liquid?): a part, tank or person, or a pair of them. liquid: what a tank with a level
** holds, see syl_tank_offset */
static int l_add_node(lua_State *L) {
  enum { NODE = 2, NUMBER, NOT_ABOARD, CONTEXT, LIQUID, TAGS, NAME };
  syl_builder *b = check(L, 1);
  const syl_geometry *g = builder_geometry(L);
  sy_part part = sy_part_default();
  sy_fill fill;
  sy_error err;
  lua_settop(L, LIQUID);
  luaL_checktype(L, NODE, LUA_TTABLE);
  luaL_checktype(L, CONTEXT, LUA_TTABLE);
  const syl_node n = {.node = NODE, .context = CONTEXT, .has_liquid = lua_istable(L, LIQUID)};
  part.number = (uint32_t)luaL_checkinteger(L, NUMBER);
  if (lua_toboolean(L, NOT_ABOARD)) part.flags |= SY_PART_NOT_ABOARD;
  syl_read_node_place(L, &n, g, item_at_top(b), &part);
  if (!syl_read_node(L, &n, g, &part, &fill, &err) ||
      (n.has_liquid && !syl_add_liquid(L, g, NULL, &part, &fill, &err)))
    return syl_raise(L, &err);
  syl_push_tags(L, NODE);
  lua_getfield(L, NODE, "name");
  lua_getfield(L, NODE, "pair");
  const char *name = lua_tostring(L, NAME), *tags = lua_tostring(L, TAGS);
  const sy_status status = lua_toboolean(L, -1) ? add_pair(b, g, name, tags, &part, &err)
                                                : sy_ledger_add_part(b->builder, name, tags, &part, &err);
  return status == SY_OK ? 0 : syl_raise(L, &err);
}

/* builder:lines(lines, row, count, number, not_aboard, context): the nodes of these rows (reader/plain_lines.h), numbered from `number` on */
static int l_add_lines(lua_State *L) {
  enum { LINES = 2, ROW, COUNT, NUMBER, NOT_ABOARD, CONTEXT };
  syl_builder *b = check(L, 1);
  const syl_geometry *g = builder_geometry(L);
  const lua_Integer row = luaL_checkinteger(L, ROW), count = luaL_checkinteger(L, COUNT),
                    number = luaL_checkinteger(L, NUMBER);
  const syl_plain_line *line = syl_check_plain_lines(L, LINES, row, count);
  luaL_checktype(L, CONTEXT, LUA_TTABLE);
  lua_settop(L, CONTEXT);
  const double otherwise = syl_place_sd_otherwise(L, CONTEXT);
  const bool shapes = syl_assumes_shapes(L, CONTEXT);
  double share[SYL_MOST_WORDS + 1]; /* by basis, the first without one */
  for (int i = 0; i <= SYL_MOST_WORDS; i++)
    share[i] = syl_assumed_share(L, CONTEXT, syl_plain_basis(L, LINES, i - 1));
  for (lua_Integer i = 0; i < count; i++) {
    sy_part part = sy_part_default();
    sy_error err;
    part.number = (uint32_t)(number + i);
    if (lua_toboolean(L, NOT_ABOARD)) part.flags |= SY_PART_NOT_ABOARD;
    syl_plain_part(&line[i], g, item_at_top(b), otherwise, share[line[i].basis + 1], shapes, &part);
    syl_push_plain_name(L, LINES, row + i);
    if (sy_ledger_add_part(b->builder, lua_tostring(L, -1), NULL, &part, &err) != SY_OK)
      return syl_raise(L, &err);
    lua_pop(L, 1);
  }
  return 0;
}

/* builder:open(name, tags, {at?, turned?, number?, not_aboard?}) ... builder:close() */
static int l_open_group(lua_State *L) {
  syl_builder *b = check(L, 1);
  const syl_geometry *g = builder_geometry(L);
  sy_group group = sy_group_default();
  sy_error err;
  luaL_checktype(L, 4, LUA_TTABLE);
  /* a group without a place lies at the file's own origin: its parts are then written as if there were none */
  if (item_at_top(b)) group.frame.at = sy_axes_point_in(&g->axes, (sy_vec3){0, 0, 0});
  syl_read_group(L, 4, g, item_at_top(b), &group);
  if (sy_ledger_open_group(b->builder, luaL_optstring(L, 2, NULL), luaL_optstring(L, 3, NULL), &group,
                           &err) != SY_OK)
    return syl_raise(L, &err);
  b->outer[b->depth + 1] = sy_frame_compose(&b->outer[b->depth], &group.frame);
  b->depth++;
  return 0;
}

static int l_close_group(lua_State *L) {
  syl_builder *b = check(L, 1);
  sy_error err;
  if (sy_ledger_close_group(b->builder, &err) != SY_OK) return syl_raise(L, &err);
  b->depth--;
  return 0;
}

/* builder:finish() -> ledger */
static int l_finish(lua_State *L) {
  syl_builder *b = check(L, 1);
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_finish(b->builder, box, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

/* builder:append_to(ledger, route) -> the ledger with what was built at the end of that group */
static int l_append_to(lua_State *L) {
  sy_ledger_builder *builder = check(L, 1)->builder;
  const sy_ledger *ledger = syl_check_ledger(L, 2);
  const sy_route route = syl_check_route(L, 3);
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_ledger_append(ledger, &route, builder, box, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

void syl_open_builder(lua_State *L) {
  static const luaL_Reg methods[] = {
      {"part", l_add_part},     {"node", l_add_node}, {"lines", l_add_lines},     {"open", l_open_group},
      {"close", l_close_group}, {"finish", l_finish}, {"append_to", l_append_to}, {NULL, NULL},
  };
  syl_open_class(L, SYL_BUILDER, methods, l_builder_gc);
  lua_pushcfunction(L, l_builder);
  lua_setfield(L, -2, "builder");
}
