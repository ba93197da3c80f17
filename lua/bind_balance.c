/* bind_balance.c - answers, their doubts and the doubts of their changes, as Lua tables. */
#include <lauxlib.h>
#include <string.h>

#include "base/units.h"
#include "bind.h"
#include "bind_geometry.h"
#include "bind_ledger.h"
#include "fail.h"
#include "statics/trial.h"

#define PER_KG (1.0 / SY_STANDARD_GRAVITY)

static void balance_of(lua_State *L, const sy_ledger *ledger, const syl_geometry *g, sy_totals *totals,
                       sy_balance *out) {
  sy_error err;
  sy_ledger_totals(ledger, totals);
  if (sy_balance_make(totals, &g->vehicle, &g->map, out, &err) != SY_OK) syl_raise(L, &err);
}

static double shown_value(const sy_balance *b, syl_shown s) {
  return s.scale * b->value[s.answer] + s.offset;
}

/* Standard uncertainty of a flat answer, straight from the root's covariance. */
static double flat_doubt(const sy_balance *b, const sy_totals *t, syl_shown s) {
  const sy_slope slope = sy_balance_slope(b, s.answer);
  return fabs(s.scale) * sqrt(sy_cov4_variance(&t->cov, &slope));
}

/* ---- the balance sheet ----------------------------------------------------------------------------------------- */

/* Set key = value in the table below the two on top: result at -2, its sd table at -1. */
static void set_both(lua_State *L, const char *key, double value, double doubt) {
  if (isnan(value)) return;
  lua_pushnumber(L, value);
  lua_setfield(L, -3, key);
  lua_pushnumber(L, doubt);
  lua_setfield(L, -2, key);
}

static void set_answer(lua_State *L, const sy_balance *b, const sy_totals *t, const char *key, syl_shown s) {
  set_both(L, key, shown_value(b, s), flat_doubt(b, t, s));
}

static void push_number_field(lua_State *L, const char *key, double value) {
  if (isnan(value)) return;
  lua_pushnumber(L, value);
  lua_setfield(L, -2, key);
}

static const char *const letters[3] = {"x", "y", "z"};

/* {x, y, z} in file axes of the point whose first answer is `x` */
static void push_centre(lua_State *L, const sy_balance *b, const sy_axes *axes, sy_answer x) {
  lua_createtable(L, 0, 3);
  for (int i = 0; i < 3; i++) push_number_field(L, letters[i], shown_value(b, syl_shown_place(axes, i, x)));
}

static void push_inertia(lua_State *L, const sy_balance *b, const sy_axes *axes) {
  static const char *const name[6] = {"xx", "yy", "zz", "xy", "xz", "yz"};
  lua_createtable(L, 0, 6);
  for (int i = 0; i < 6; i++) /* + 0.0: no minus zero where an axis is reversed */
    push_number_field(L, name[i],
                      shown_value(b, syl_shown_moment(axes, name[i][0] - 'x', name[i][1] - 'x')) + 0.0);
}

static void push_axle_masses(lua_State *L, const sy_balance *b, int first) {
  lua_createtable(L, 0, b->axle_count);
  lua_getiuservalue(L, 2, 1);
  for (int i = 0; i < b->axle_count; i++) {
    lua_geti(L, -1, i + 1);
    lua_pushnumber(L, b->value[first + i] * (first == SY_ANSWER_AXLE ? PER_KG : 1.0));
    lua_settable(L, -4);
  }
  lua_pop(L, 1);
}

static void set_loads(lua_State *L, const sy_balance *b, const sy_totals *t, const syl_geometry *g) {
  static const char *const plain[] = {"front",       "rear",       "left",        "right",
                                      "front_share", "left_share", "cross_share", "diagonal_ratio"};
  static const double scale[] = {PER_KG, PER_KG, PER_KG, PER_KG, 100, 100, 100, 1};
  for (int i = 0; i < 8; i++)
    set_answer(L, b, t, plain[i], (syl_shown){(sy_answer)(SY_ANSWER_FRONT + i), scale[i], 0});
  for (int i = 0; i < b->map.wheel_count; i++)
    set_answer(L, b, t, g->wheel_key[i], (syl_shown){(sy_answer)(SY_ANSWER_WHEEL + i), PER_KG, 0});
}

/* Wheels whose load is negative, by key: the vehicle would tip. */
static void push_lifted(lua_State *L, const sy_balance *b, const syl_geometry *g) {
  lua_Integer n = 0;
  lua_newtable(L);
  for (int i = 0; i < b->map.wheel_count; i++)
    if (b->value[SY_ANSWER_WHEEL + i] < 0) {
      lua_pushstring(L, g->wheel_key[i]);
      lua_seti(L, -2, ++n);
    }
}

static void set_carried(lua_State *L, const sy_balance *b, const sy_axes *axes) {
  lua_createtable(L, 0, 2);
  push_number_field(L, "mass", b->value[SY_ANSWER_SPRUNG_MASS]);
  push_centre(L, b, axes, SY_ANSWER_SPRUNG_X);
  lua_setfield(L, -2, "cg");
  lua_setfield(L, -2, "sprung");
  lua_createtable(L, 0, 3);
  push_number_field(L, "mass", b->value[SY_ANSWER_UNSPRUNG_MASS]);
  push_centre(L, b, axes, SY_ANSWER_UNSPRUNG_X);
  lua_setfield(L, -2, "cg");
  push_axle_masses(L, b, SY_ANSWER_UNSPRUNG_AXLE);
  lua_setfield(L, -2, "axle");
  lua_setfield(L, -2, "unsprung");
}

static void set_axles_and_cg(lua_State *L, const sy_balance *b, const sy_totals *t, const sy_axes *axes) {
  const int sd = lua_gettop(L), result = sd - 1;
  lua_createtable(L, 0, 3);
  lua_createtable(L, 0, 3);
  for (int i = 0; i < 3; i++) set_answer(L, b, t, letters[i], syl_shown_place(axes, i, SY_ANSWER_CG_X));
  lua_setfield(L, sd, "cg");
  lua_setfield(L, result, "cg");
  push_axle_masses(L, b, SY_ANSWER_AXLE);
  lua_setfield(L, result, "axle");
  lua_createtable(L, 0, b->axle_count);
  lua_getiuservalue(L, 2, 1);
  for (int i = 0; i < b->axle_count; i++) {
    lua_geti(L, -1, i + 1);
    lua_pushnumber(L, flat_doubt(b, t, (syl_shown){(sy_answer)(SY_ANSWER_AXLE + i), PER_KG, 0}));
    lua_settable(L, -4);
  }
  lua_pop(L, 1);
  lua_setfield(L, sd, "axle");
}

static void set_counts(lua_State *L, const sy_balance *b, const sy_totals *t) {
  lua_createtable(L, 0, 2);
  lua_pushinteger(L, (lua_Integer)t->unstated);
  lua_setfield(L, -2, "parts");
  lua_pushnumber(L, 100.0 * t->unstated_mass / b->whole.mass);
  lua_setfield(L, -2, "mass_share");
  lua_setfield(L, -2, "unstated");
  lua_pushinteger(L, (lua_Integer)t->points);
  lua_setfield(L, -2, "points");
  lua_pushinteger(L, (lua_Integer)t->parts);
  lua_setfield(L, -2, "parts");
  lua_pushinteger(L, (lua_Integer)t->unknown);
  lua_setfield(L, -2, "unknown");
}

/* core.balance(ledger, geometry) -> result with sd, all fields of the page but state, notes and corner_basis.
** Loads in kg, shares in percent, places in mm and file axes. The doubts of inertia and of what is carried are left to
** core.doubts. */
static int l_balance(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const syl_geometry *g = syl_check_geometry(L, 2);
  sy_totals t;
  sy_balance b;
  balance_of(L, ledger, g, &t, &b);
  lua_createtable(L, 0, 40);
  lua_createtable(L, 0, 24);
  set_answer(L, &b, &t, "mass", (syl_shown){SY_ANSWER_MASS, 1, 0});
  set_answer(L, &b, &t, "height", (syl_shown){SY_ANSWER_CG_Z, 1e3, 0});
  set_answer(L, &b, &t, "cg_behind", syl_shown_behind(g));
  set_answer(L, &b, &t, "cg_left", (syl_shown){SY_ANSWER_CG_Y, 1e3, 0});
  set_loads(L, &b, &t, g);
  set_axles_and_cg(L, &b, &t, &g->axes);
  lua_setfield(L, -2, "sd");
  push_number_field(L, "mass_with_growth", b.whole.mass + t.growth_mass);
  push_number_field(L, "wheelbase", (b.front_x - b.rear_x) * 1e3);
  push_number_field(L, "yaw_inertia", b.value[SY_ANSWER_ZZ]);
  push_number_field(L, "yaw_index", b.value[SY_ANSWER_YAW_INDEX]);
  push_inertia(L, &b, &g->axes);
  lua_setfield(L, -2, "inertia");
  push_lifted(L, &b, g);
  lua_setfield(L, -2, "lifted");
  set_carried(L, &b, &g->axes);
  set_counts(L, &b, &t);
  return 1;
}

/* core.split(geometry) -> "determinate", "cross share" or "least norm": where the wheel loads come from */
static int l_split(lua_State *L) {
  static const char *const word[] = {"determinate", "cross share", "least norm"};
  lua_pushstring(L, word[syl_check_geometry(L, 1)->map.split]);
  return 1;
}

/* ---- answers by name ------------------------------------------------------------------------------------------- */

enum { MAX_NAMES = 64 };

/* The list of names at `index` as answers of the geometry at `geometry_index`; unknown names raise. */
static size_t check_names(lua_State *L, int index, int geometry_index, syl_shown out[MAX_NAMES]) {
  luaL_checktype(L, index, LUA_TTABLE);
  const lua_Integer count = luaL_len(L, index);
  luaL_argcheck(L, count <= MAX_NAMES, index, "too many names");
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, index, i + 1);
    const char *name = luaL_checkstring(L, -1);
    if (!syl_shown_by_name(L, geometry_index, name, &out[i]))
      return (size_t)luaL_error(L, "no answer is called '%s'", name);
    lua_pop(L, 1);
  }
  return (size_t)count;
}

static void push_doubts(lua_State *L, const double *variance, const syl_shown *shown, size_t count) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushnumber(L, fabs(shown[i].scale) * sqrt(variance[i]));
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
}

/* core.answers(ledger, geometry, names) -> list of values; NaN where an answer has no meaning */
static int l_answers(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const syl_geometry *g = syl_check_geometry(L, 2);
  syl_shown shown[MAX_NAMES];
  const size_t count = check_names(L, 3, 2, shown);
  sy_totals t;
  sy_balance b;
  balance_of(L, ledger, g, &t, &b);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushnumber(L, shown_value(&b, shown[i]));
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  return 1;
}

/* core.knows(geometry, name) -> boolean: is there an answer of that name? */
static int l_knows(lua_State *L) {
  syl_shown s;
  lua_pushboolean(L, syl_shown_by_name(L, 1, luaL_checkstring(L, 2), &s));
  return 1;
}

/* core.doubts(ledger, geometry, names) -> list of standard uncertainties */
static int l_doubts(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const syl_geometry *g = syl_check_geometry(L, 2);
  syl_shown shown[MAX_NAMES];
  sy_slope slope[MAX_NAMES];
  double variance[MAX_NAMES];
  const size_t count = check_names(L, 3, 2, shown);
  sy_totals t;
  sy_balance b;
  balance_of(L, ledger, g, &t, &b);
  for (size_t i = 0; i < count; i++) slope[i] = sy_balance_slope(&b, shown[i].answer);
  sy_ledger_variance(ledger, slope, count, variance);
  push_doubts(L, variance, shown, count);
  return 1;
}

/* core.change_doubts(from, from_geometry, to, to_geometry, names) -> list of standard uncertainties of to less from */
static int l_change_doubts(lua_State *L) {
  const sy_ledger *from = syl_check_ledger(L, 1), *to = syl_check_ledger(L, 3);
  const syl_geometry *gf = syl_check_geometry(L, 2), *gt = syl_check_geometry(L, 4);
  syl_shown shown_from[MAX_NAMES] = {{SY_ANSWER_MASS, 0, 0}}, shown_to[MAX_NAMES] = {{SY_ANSWER_MASS, 0, 0}};
  sy_slope slope_from[MAX_NAMES], slope_to[MAX_NAMES];
  double variance[MAX_NAMES];
  const size_t count = check_names(L, 5, 2, shown_from);
  if (check_names(L, 5, 4, shown_to) != count) return luaL_error(L, "the list of names changed");
  sy_totals t;
  sy_balance bf = {0}, bt = {0};
  balance_of(L, from, gf, &t, &bf);
  balance_of(L, to, gt, &t, &bt);
  for (size_t i = 0; i < count; i++) {
    slope_from[i] = sy_balance_slope(&bf, shown_from[i].answer);
    slope_to[i] = sy_balance_slope(&bt, shown_to[i].answer);
    /* the two may be shown in opposite directions */
    if (shown_from[i].scale * shown_to[i].scale < 0) {
      slope_from[i].m = -slope_from[i].m;
      slope_from[i].first = sy_vec3_scale(-1, slope_from[i].first);
      slope_from[i].second = sy_sym3_scale(-1, slope_from[i].second);
    }
  }
  sy_ledger_change_variance(from, to, slope_from, slope_to, count, variance);
  push_doubts(L, variance, shown_to, count);
  return 1;
}

/* ---- one item -------------------------------------------------------------------------------------------------- */

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
  const sy_slope mass = {1, {0, 0, 0}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
  set_both(L, "mass", t.all.m, sqrt(sy_cov4_variance(&t.cov, &mass)));
  if (t.all.m > 0) {
    const sy_vec3 cg = sy_vec3_scale(1 / t.all.m, t.all.first), shown = sy_axes_point_out(&g->axes, cg);
    const double place[3] = {cg.x, cg.y, cg.z}, file[3] = {shown.x, shown.y, shown.z};
    double doubt[3];
    for (int i = 0; i < 3; i++) {
      double unit[3] = {0, 0, 0};
      unit[i] = 1 / t.all.m;
      const sy_slope slope = {
          -place[i] / t.all.m, {unit[0], unit[1], unit[2]}, {0, 0, 0, 0, 0, 0}, SY_ALL_CARRIERS, true};
      doubt[i] = sqrt(sy_cov4_variance(&t.cov, &slope));
    }
    const sy_vec3 spread = sy_axes_vector_out(&g->axes, (sy_vec3){doubt[0], doubt[1], doubt[2]});
    const double file_doubt[3] = {fabs(spread.x), fabs(spread.y), fabs(spread.z)};
    lua_createtable(L, 0, 3);
    lua_createtable(L, 0, 3);
    for (int i = 0; i < 3; i++) set_both(L, letters[i], file[i] * 1e3, file_doubt[i] * 1e3);
    lua_setfield(L, -3, "cg"); /* into sd */
    lua_setfield(L, -3, "cg");
  }
  lua_setfield(L, -2, "sd");
  push_number_field(L, "growth", t.growth_mass);
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
  lua_pushnumber(L, front * PER_KG);
  lua_pushnumber(L, rear * PER_KG);
  luaL_checkstack(L, SY_MAX_WHEELS, NULL);
  for (int i = 0; i < box->map.wheel_count; i++) lua_pushnumber(L, r.load[i] * PER_KG);
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
  const lua_Integer count = luaL_len(L, 3);
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
    {"balance", l_balance},
    {"split", l_split},
    {"answers", l_answers},
    {"knows", l_knows},
    {"doubts", l_doubts},
    {"change_doubts", l_change_doubts},
    {"item_totals", l_item_totals},
    {"item_sums", l_item_sums},
    {"same_sums", l_same_sums},
    {"trial", l_trial},
    {NULL, NULL},
};

void syl_open_balance(lua_State *L) { luaL_setfuncs(L, functions, 0); }
