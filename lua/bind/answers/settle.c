/* settle.c - from tanks in a ledger to liquid that follows the body. */
#include "bind/answers/settle.h"

#include <lauxlib.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/booking.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"

#define TANKS "steelyard.tanks"

const syl_tanks *syl_opt_tanks(lua_State *L, int index) {
  return lua_isnoneornil(L, index) ? NULL : luaL_checkudata(L, index, TANKS);
}

sy_settle_tanks syl_tanks_of(const syl_tanks *tanks) {
  return tanks == NULL ? (sy_settle_tanks){NULL, 0} : (sy_settle_tanks){tanks->tank, tanks->count};
}

void syl_add_drawn(const syl_tanks *tanks, sy_totals *drawn) {
  if (tanks != NULL) sy_settle_add(drawn, &tanks->drawn);
}

static const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};

static sy_sums lies(lua_State *L, const sy_settle_tank *t, const sy_vehicle *v, sy_vec3 gravity,
                    const double *pose) {
  sy_sums sums;
  sy_error err;
  if (sy_settle_liquid(t, v, gravity, pose, &sums, &err) != SY_OK) syl_raise(L, &err);
  return sums;
}

void syl_set_liquids(lua_State *L, const syl_tanks *tanks, const sy_vehicle *vehicle, sy_vec3 gravity,
                     const double *pose) {
  if (tanks == NULL) return;
  lua_createtable(L, (int)tanks->count, 0);
  for (size_t i = 0; i < tanks->count; i++) {
    const sy_settle_tank *t = &tanks->tank[i];
    const sy_sums now = lies(L, t, vehicle, gravity, pose);
    syl_push_three(L, sy_vec3_sub(now.first, tanks->rest[i]), SY_MILLIMETRE * t->mass);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "liquids");
}

/* ---- from the ledger ---------------------------------------------------------------------------------------------------- */

/* Nine numbers of a turn by rows, then a shift in mm, at `index`; nil: none. */
static sy_frame frame_at(lua_State *L, int index) {
  if (lua_isnoneornil(L, index)) return sy_frame_identity();
  return (sy_frame){syl_matrix_at(L, index), syl_three_at(L, index, 10, SY_MILLIMETRE)};
}

/* The entry {route, liquid} on top of the stack. */
static bool read_tank(lua_State *L, const syl_geometry *g, const sy_ledger *ledger, const sy_frame *body,
                      sy_settle_tank *out, sy_error *err) {
  const int entry = lua_gettop(L);
  sy_item item;
  syl_held held;
  sy_vec3 cg; /* of tank and liquid, from the tank's middle in its own directions */
  lua_geti(L, entry, 1);
  const sy_route route = syl_check_route(L, -1);
  lua_geti(L, entry, 2);
  if (sy_ledger_item(ledger, &route, &item, err) != SY_OK || !syl_read_held(L, g, &held, &cg, err))
    return false;
  luaL_argcheck(L, item.part != NULL, 3, "a tank is a part");
  const sy_mat3 own = sy_mat3_mul(held.alone, sy_mat3_mul(syl_mirror_of(L, ledger, &item), held.own));
  sy_frame tank = {sy_mat3_mul(item.outer.turn, own), sy_frame_apply(&item.outer, item.part->cg)};
  tank.at = sy_vec3_sub(tank.at, sy_mat3_apply(tank.turn, cg));
  tank = sy_frame_compose(body, &tank);
  sy_vec3 up = held.up;
  if (held.tank.in_file_axes) {
    tank.turn = sy_mat3_mul(tank.turn, g->axes.matrix);
    up = sy_axes_vector_out(&g->axes, up);
  }
  *out = (sy_settle_tank){.tank = held.tank.tank,
                          .volume = held.volume * (held.tank.volume / held.tank.capacity),
                          .mass = held.mass * item.part->count,
                          .turn = tank.turn,
                          .middle = sy_vec3_sub(tank.at, sy_mat3_apply(tank.turn, held.tank.middle))};
  lua_settop(L, entry);
  return sy_settle_book(out, up, err) == SY_OK;
}

/* core.tanks(geometry, ledger, {{route, liquid}, ...}, frame?, drawn?) -> what the car on its springs needs to know of them
** liquid  as a booking states it (bind/mass/booking.h)
** frame   of a body that has since been set to other heights as a whole: nine numbers of a turn, then mm
** drawn   the tanks of the drawn state, where they are not level as filed */
static int l_tanks(lua_State *L) {
  const syl_geometry *g = syl_check_geometry(L, 1);
  const sy_ledger *ledger = syl_check_ledger(L, 2);
  luaL_checktype(L, 3, LUA_TTABLE);
  const sy_frame body = frame_at(L, 4);
  const syl_tanks *drawn = syl_opt_tanks(L, 5);
  const lua_Integer count = syl_length(L, 3);
  luaL_argcheck(L, count >= 0 && count <= 1000000, 3, "too many tanks");
  syl_tanks *t = lua_newuserdatauv(L, sizeof *t, 3);
  *t = (syl_tanks){.count = 0};
  sy_error err;
  luaL_setmetatable(L, TANKS);
  lua_pushvalue(L, 3);
  lua_setiuservalue(L, -2, 1);
  t->tank = lua_newuserdatauv(L, (size_t)count * sizeof *t->tank, 0);
  lua_setiuservalue(L, -2, 2);
  t->rest = lua_newuserdatauv(L, (size_t)count * sizeof *t->rest, 0);
  lua_setiuservalue(L, -2, 3);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, 3, i);
    luaL_checktype(L, -1, LUA_TTABLE);
    if (!read_tank(L, g, ledger, &body, &t->tank[i - 1], &err)) return syl_raise(L, &err);
    t->rest[i - 1] = lies(L, &t->tank[i - 1], &g->vehicle, level, NULL).first;
    t->count++;
    lua_pop(L, 1);
  }
  const sy_settle_tanks as_drawn = syl_tanks_of(drawn);
  if (sy_settle_moved(&as_drawn, &g->vehicle, level, NULL, &t->drawn, &err) != SY_OK)
    return syl_raise(L, &err);
  return 1;
}

/* core.tanks_run(tanks, geometry, forward, left) -> {forward, left, up} in kg mm: how far the liquid runs under inertia forces per weight, in
** a body as drawn, from where it stands level */
static int l_tanks_run(lua_State *L) {
  const syl_tanks *t = luaL_checkudata(L, 1, TANKS);
  const syl_geometry *g = syl_check_geometry(L, 2);
  const double weight = SY_STANDARD_GRAVITY;
  const sy_vec3 pull = {weight * luaL_checknumber(L, 3), weight * luaL_checknumber(L, 4), -weight};
  sy_vec3 run = {0, 0, 0};
  for (size_t i = 0; i < t->count; i++) {
    const sy_sums now = lies(L, &t->tank[i], &g->vehicle, pull, NULL);
    run = sy_vec3_add(run, sy_vec3_sub(now.first, t->rest[i]));
  }
  syl_push_three(L, run, SY_MILLIMETRE);
  return 1;
}

void syl_open_settle(lua_State *L) {
  static const luaL_Reg functions[] = {{"tanks", l_tanks}, {"tanks_run", l_tanks_run}, {NULL, NULL}};
  luaL_newmetatable(L, TANKS);
  lua_pop(L, 1);
  luaL_setfuncs(L, functions, 0);
}
