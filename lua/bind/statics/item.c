/* item.c - what one item of a ledger comes to, and trials of where it might lie. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/vehicle/geometry.h"
#include "statics/trial.h"

static const char *const letters[3] = {"x", "y", "z"};

/* Set key = value in the two tables on top: the result at -2, its sd at -1. */
static void set_both(lua_State *L, const char *key, double value, double uncertainty) {
  lua_pushnumber(L, value);
  lua_setfield(L, -3, key);
  lua_pushnumber(L, uncertainty);
  lua_setfield(L, -2, key);
}

/* core.item_totals(ledger, geometry, route) -> {mass, cg?, growth, parts, points, unstated, unknown, sd = {mass, cg?}};
** whether or not it is aboard; mm in file axes */
static int l_item_totals(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const syl_geometry *g = syl_check_geometry(L, 2);
  const sy_route route = syl_check_route(L, 3);
  sy_totals t;
  sy_error err;
  if (sy_ledger_item_totals(ledger, &route, &t, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 8);
  lua_createtable(L, 0, 2);
  const sy_sensitivity mass = {1, {0, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
  set_both(L, "mass", t.all.m, sqrt(sy_cov4_variance(&t.cov, &mass)));
  if (t.all.m > 0) {
    const sy_vec3 cg = sy_vec3_scale(1 / t.all.m, t.all.first), shown = sy_axes_point_out(&g->axes, cg);
    const double place[3] = {cg.x, cg.y, cg.z}, file[3] = {shown.x, shown.y, shown.z};
    double uncertainty[3];
    for (int i = 0; i < 3; i++) {
      double unit[3] = {0, 0, 0};
      unit[i] = 1 / t.all.m;
      const sy_sensitivity by = {
          -place[i] / t.all.m, {unit[0], unit[1], unit[2]}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
      uncertainty[i] = sqrt(sy_cov4_variance(&t.cov, &by));
    }
    const sy_vec3 spread =
        sy_axes_vector_out(&g->axes, (sy_vec3){uncertainty[0], uncertainty[1], uncertainty[2]});
    const double file_uncertainty[3] = {fabs(spread.x), fabs(spread.y), fabs(spread.z)};
    lua_createtable(L, 0, 3);
    lua_createtable(L, 0, 3);
    for (int i = 0; i < 3; i++) set_both(L, letters[i], file[i] * 1e3, file_uncertainty[i] * 1e3);
    lua_setfield(L, -3, "cg"); /* into sd */
    lua_setfield(L, -3, "cg");
  }
  lua_setfield(L, -2, "sd");
  syl_set_number(L, "growth", t.growth_mass);
  lua_pushinteger(L, (lua_Integer)t.parts);
  lua_setfield(L, -2, "parts");
  lua_pushinteger(L, (lua_Integer)t.points);
  lua_setfield(L, -2, "points");
  lua_pushinteger(L, (lua_Integer)t.unstated);
  lua_setfield(L, -2, "unstated");
  lua_pushinteger(L, (lua_Integer)t.unknown);
  lua_setfield(L, -2, "unknown");
  return 1;
}

/* core.usual_shapes(ledger) -> number of lines aboard whose inertia is that of a body of a usual density */
static int l_usual_shapes(lua_State *L) {
  sy_totals t;
  sy_ledger_sums(syl_check_ledger(L, 1), &t);
  lua_pushinteger(L, (lua_Integer)t.usual);
  return 1;
}

/* core.points(ledger) -> number of lines aboard that count as points */
static int l_points(lua_State *L) {
  sy_totals t;
  sy_ledger_sums(syl_check_ledger(L, 1), &t);
  lua_pushinteger(L, (lua_Integer)t.points);
  return 1;
}

/* core.item_sums(ledger, route) -> m, m x, m y, m z, m (x^2 + y^2) with the parts' own: kg and metres in the vehicle's frame, about
** its origin, whether or not the item is aboard. They add up: a change of the car is the sum of its items' changes. */
static int l_item_sums(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const sy_route route = syl_check_route(L, 2);
  sy_totals t;
  sy_error err;
  if (sy_ledger_item_totals(ledger, &route, &t, &err) != SY_OK) return syl_raise(L, &err);
  lua_pushnumber(L, t.all.m);
  lua_pushnumber(L, t.all.first.x);
  lua_pushnumber(L, t.all.first.y);
  lua_pushnumber(L, t.all.first.z);
  lua_pushnumber(L, t.all.second.xx + t.all.second.yy);
  return 5;
}

/* core.same_sums(ledger, route, ledger, route, most) -> boolean: do no two of those five differ by more than `most`? */
static int l_same_sums(lua_State *L) {
  const sy_route a = syl_check_route(L, 2), b = syl_check_route(L, 4);
  const double most = luaL_checknumber(L, 5);
  sy_totals p, q;
  sy_error err;
  if (sy_ledger_item_totals(syl_check_ledger(L, 1), &a, &p, &err) != SY_OK ||
      sy_ledger_item_totals(syl_check_ledger(L, 3), &b, &q, &err) != SY_OK)
    return syl_raise(L, &err);
  const sy_vec3 d = sy_vec3_sub(p.all.first, q.all.first);
  const double second = (p.all.second.xx + p.all.second.yy) - (q.all.second.xx + q.all.second.yy);
  lua_pushboolean(L, fabs(p.all.m - q.all.m) <= most && fabs(d.x) <= most && fabs(d.y) <= most &&
                         fabs(d.z) <= most && fabs(second) <= most);
  return 1;
}

/* ---- trial ----------------------------------------------------------------------------------------------------- */

typedef struct trial_box {
  sy_trial trial;
  sy_loadmap map;
  syl_shown place[3]; /* x, y, z in the file's axes */
} trial_box;

/* The function a trial gives: mm -> mass, cg, yaw_inertia, front, rear, then each wheel's load. */
static int l_trial_at(lua_State *L) {
  const trial_box *box = lua_touserdata(L, lua_upvalueindex(1));
  sy_trial_result r;
  sy_trial_at(&box->trial, luaL_checknumber(L, 1) * 1e-3, &r);
  const double cg[3] = {r.cg.x, r.cg.y, r.cg.z};
  lua_settop(L, 1);
  lua_pushnumber(L, r.mass);
  lua_createtable(L, 0, 3);
  for (int i = 0; i < 3; i++) {
    const syl_shown *shown = &box->place[i];
    lua_pushnumber(L, shown->scale * cg[(int)shown->answer - (int)SY_ANSWER_CG_X] + shown->offset);
    lua_setfield(L, -2, letters[i]);
  }
  lua_pushnumber(L, r.yaw_inertia);
  double front = 0, rear = 0;
  for (int i = 0; i < box->map.wheel_count; i++) *(box->map.wheel[i].axle == 0 ? &front : &rear) += r.load[i];
  lua_pushnumber(L, front * SYL_PER_KG);
  lua_pushnumber(L, rear * SYL_PER_KG);
  luaL_checkstack(L, SY_MAX_WHEELS, NULL);
  for (int i = 0; i < box->map.wheel_count; i++) lua_pushnumber(L, r.load[i] * SYL_PER_KG);
  return 5 + box->map.wheel_count;
}

/* core.trial(ledger, geometry, routes, forward, left, up) -> function(mm); routes must not hold one another */
static int l_trial(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const syl_geometry *g = syl_check_geometry(L, 2);
  luaL_checktype(L, 3, LUA_TTABLE);
  trial_box *box = lua_newuserdatauv(L, sizeof *box, 0);
  sy_totals t;
  sy_error err;
  sy_ledger_sums(ledger, &t);
  if (!(t.all.m > 0)) {
    sy_fail(&err, SY_MISSING, "vehicle", "mass", "nothing aboard has a mass");
    return syl_raise(L, &err);
  }
  box->map = g->map;
  box->trial.car = t.all;
  box->trial.map = &box->map;
  box->trial.direction = (sy_vec3){luaL_checknumber(L, 4), luaL_checknumber(L, 5), luaL_checknumber(L, 6)};
  box->trial.item_mass = 0;
  box->trial.item_first = (sy_vec3){0, 0, 0};
  const lua_Integer count = syl_length(L, 3);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, 3, i);
    const sy_route route = syl_check_route(L, -1);
    sy_item item;
    if (sy_ledger_item(ledger, &route, &item, &err) != SY_OK ||
        sy_ledger_item_totals(ledger, &route, &t, &err) != SY_OK)
      return syl_raise(L, &err);
    if (item.aboard) {
      box->trial.item_mass += t.all.m;
      box->trial.item_first = sy_vec3_add(box->trial.item_first, t.all.first);
    }
    lua_pop(L, 1);
  }
  for (int i = 0; i < 3; i++) box->place[i] = syl_shown_place(&g->axes, i, SY_ANSWER_CG_X);
  lua_pushcclosure(L, l_trial_at, 1);
  return 1;
}

static const luaL_Reg functions[] = {
    {"item_totals", l_item_totals},
    {"item_sums", l_item_sums},
    {"usual_shapes", l_usual_shapes},
    {"points", l_points},
    {"same_sums", l_same_sums},
    {"trial", l_trial},
    {NULL, NULL},
};

void syl_open_item(lua_State *L) { luaL_setfuncs(L, functions, 0); }
