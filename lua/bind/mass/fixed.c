/* fixed.c - where parts stand in the vehicle, and where what is fixed to them went. */
#include <math.h>

#include <lauxlib.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/booking.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"

static sy_mat3 matrix_or_none(lua_State *L, int index) {
  return lua_isnoneornil(L, index) ? sy_mat3_identity() : syl_matrix_at(L, index);
}

static sy_item item_at(lua_State *L, const sy_ledger *ledger, const sy_route *route) {
  sy_item item;
  sy_error err;
  if (sy_ledger_item(ledger, route, &item, &err) != SY_OK) syl_raise(L, &err);
  return item;
}

/* core.turn_alone(ledger, route, words, so_far?) -> the turns of a part by itself, in its group's directions, after one more that is
** said in the vehicle's. A ledger keeps a part's inertia but not how it was turned. */
static int l_turn_alone(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  luaL_checktype(L, 3, LUA_TTABLE);
  const sy_mat3 before = matrix_or_none(L, 4);
  const sy_item item = item_at(L, ledger, &route);
  const sy_mat3 in =
      sy_mat3_mul(sy_mat3_transpose(item.outer.turn), sy_mat3_mul(syl_read_turn(L, 3), item.outer.turn));
  const sy_mat3 after = sy_mat3_mul(in, before);
  syl_push_matrix(L, &after);
  return 1;
}

/* From the item's own frame to the vehicle's; `own` is how a part stands in its group. */
static sy_frame place_of(const sy_item *item, sy_mat3 own) {
  const sy_frame inner = item->part != NULL ? (sy_frame){own, item->part->cg} : item->group->frame;
  return sy_frame_compose(&item->outer, &inner);
}

static sy_mat3 turn_at(lua_State *L, int index) {
  return lua_isnoneornil(L, index) ? sy_mat3_identity() : syl_read_turn(L, index);
}

/* core.follow(filed, now, route, alone?, turned_filed?, turned_now?) -> nine numbers of a rotation by rows, then forward, left, up:
** where a point of the vehicle's frame that is fixed to the item went, p' = R p + at. mm. */
static int l_follow(lua_State *L) {
  const sy_ledger *filed = syl_check_ledger(L, 1), *now = syl_check_ledger(L, 2);
  const sy_route route = syl_check_route(L, 3);
  const sy_mat3 alone = matrix_or_none(L, 4), turned_filed = turn_at(L, 5), turned_now = turn_at(L, 6);
  const sy_item from = item_at(L, filed, &route), to = item_at(L, now, &route);
  const sy_frame old = place_of(&from, turned_filed), new = place_of(&to, sy_mat3_mul(alone, turned_now));
  const sy_frame back = sy_frame_inverse(&old), whole = sy_frame_compose(&new, &back);
  syl_push_frame(L, &whole, SY_MILLIMETRE);
  return 1;
}

/* core.pose(ledger, route, turned?, offset?, alone?) -> frame of a part's shape: from its own directions, unturned, to the vehicle's.
** offset: of the stated part's cg from the shape's middle, in its group's directions as filed; alone: what turned the part by itself since, see
** core.turn_alone. The second piece of a pair is a mirror image, and its frame one. */
static int l_pose(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  lua_settop(L, 5);
  const sy_item item = item_at(L, ledger, &route);
  luaL_argcheck(L, item.part != NULL, 2, "a part is needed");
  sy_frame own = {turn_at(L, 3), item.part->cg};
  const sy_mat3 mirror = syl_mirror_of(L, ledger, &item);
  const sy_mat3 since = sy_mat3_mul(matrix_or_none(L, 5), mirror);
  own.turn = sy_mat3_mul(since, own.turn);
  if (!lua_isnil(L, 4))
    own.at = sy_vec3_sub(own.at, sy_mat3_apply(since, syl_three_at(L, 4, 1, SY_MILLIMETRE)));
  const sy_frame whole = sy_frame_compose(&item.outer, &own);
  syl_push_frame(L, &whole, SY_MILLIMETRE);
  return 1;
}

/* The angles of a rotation, roll first, as sy_frame_rotation takes them: into the table on top of the stack by words of the file, degrees. */
static void push_words(lua_State *L, const sy_mat3 *r) {
  const double roll = atan2(r->m[2][1], r->m[2][2]), yaw = atan2(r->m[1][0], r->m[0][0]);
  const double pitch = atan2(-r->m[2][0], hypot(r->m[0][0], r->m[1][0]));
  lua_createtable(L, 0, 3);
  lua_pushnumber(L, -pitch / SY_DEGREE);
  lua_setfield(L, -2, "nose_up");
  lua_pushnumber(L, roll / SY_DEGREE);
  lua_setfield(L, -2, "left_up");
  lua_pushnumber(L, yaw / SY_DEGREE);
  lua_setfield(L, -2, "nose_left");
}

/* The item's place where its line would state it: in its own group, or in that at `into`. */
static sy_frame stated_frame(lua_State *L, const sy_ledger *ledger, const sy_item *item, sy_frame own,
                             int into) {
  if (lua_isnoneornil(L, into)) return own;
  const sy_route route = syl_check_route(L, into);
  const sy_frame whole = sy_frame_compose(&item->outer, &own);
  if (route.depth == 0) return whole;
  const sy_item group = item_at(L, ledger, &route);
  luaL_argcheck(L, group.group != NULL, into, "a group is needed");
  const sy_frame inside = sy_frame_compose(&group.outer, &group.group->frame);
  const sy_frame back = sy_frame_inverse(&inside);
  return sy_frame_compose(&back, &whole);
}

/* core.stated(ledger, route, geometry, {into = route, liquid =, turned =, alone =}) -> {x, y, z}, {nose_up =, left_up =, nose_left =}: where
** the item lies and how it is turned, as the line of a file states it: mm along the file's axes from the place of its group, or of that at
** `into` ("" is the file itself). liquid: what a tank holds, see bind/mass/booking.h; turned, alone: see core.pose. Of a pair the piece that
** is stated is asked. */
static int l_stated(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  const syl_geometry *g = syl_check_geometry(L, 3);
  luaL_checktype(L, 4, LUA_TTABLE);
  lua_settop(L, 4);
  enum { INTO = 5, LIQUID, TURNED, ALONE };
  static const char *const fields[] = {"into", "liquid", "turned", "alone"};
  for (int i = 0; i < 4; i++) lua_getfield(L, 4, fields[i]);
  const sy_item item = item_at(L, ledger, &route);
  sy_frame own;
  if (item.part != NULL) {
    own = (sy_frame){sy_mat3_mul(matrix_or_none(L, ALONE), turn_at(L, TURNED)), item.part->cg};
  } else {
    own = item.group->frame;
  }
  if (item.part != NULL && !lua_isnil(L, LIQUID)) {
    sy_vec3 offset;
    sy_error err;
    lua_pushvalue(L, LIQUID);
    if (!syl_tank_offset(L, g, NULL, &offset, &err)) return syl_raise(L, &err);
    lua_pop(L, 1);
    own.at = sy_vec3_sub(own.at, offset);
  }
  const uint32_t top = item.side ? 2 : 1;
  const bool at_top = lua_isnil(L, INTO) ? route.depth == top : lua_rawlen(L, INTO) == 0;
  const sy_frame stated = stated_frame(L, ledger, &item, own, INTO);
  const sy_vec3 at =
      at_top ? sy_axes_point_out(&g->axes, stated.at) : sy_axes_vector_out(&g->axes, stated.at);
  const double v[3] = {at.x, at.y, at.z};
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    lua_pushnumber(L, v[i] * 1e3);
    lua_rawseti(L, -2, i + 1);
  }
  push_words(L, &stated.turn);
  return 2;
}

void syl_open_fixed(lua_State *L) {
  static const luaL_Reg functions[] = {{"turn_alone", l_turn_alone},
                                       {"follow", l_follow},
                                       {"pose", l_pose},
                                       {"stated", l_stated},
                                       {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
