/* fixed.c - where parts stand in the vehicle, and where what is fixed to them went. */
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

void syl_open_fixed(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"turn_alone", l_turn_alone}, {"follow", l_follow}, {"pose", l_pose}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
