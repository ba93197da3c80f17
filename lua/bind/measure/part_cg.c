/* part_cg.c - a part on scales. Lengths mm, angles degrees, axes x forward, y left, z up. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "measure/partcg.h"
#include "numeric/stats.h"

static sy_vec3 triple_of(lua_State *L, int index, const char *key) {
  double v[3];
  lua_getfield(L, index, key);
  luaL_checktype(L, -1, LUA_TTABLE);
  for (int i = 0; i < 3; i++) {
    lua_geti(L, -1, i + 1);
    v[i] = luaL_checknumber(L, -1) * SY_MILLIMETRE;
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  return (sy_vec3){v[0], v[1], v[2]};
}

static void read_pose(lua_State *L, int at, sy_partcg_pose *pose) {
  pose->roll = syl_number_under(L, at, "roll", SY_DEGREE, 0);
  pose->pitch = syl_number_under(L, at, "pitch", SY_DEGREE, 0);
  pose->roll_sd = syl_number_under(L, at, "roll_sd", SY_DEGREE, 0);
  pose->pitch_sd = syl_number_under(L, at, "pitch_sd", SY_DEGREE, 0);
  pose->legs = syl_push_list(L, at, "legs", SY_PARTCG_LEGS, "part_cg");
  for (size_t j = 0; j < pose->legs; j++) {
    lua_geti(L, -1, (lua_Integer)j + 1);
    const int leg = lua_gettop(L);
    pose->place[j] = (size_t)syl_whole_under(L, leg, "place", 1, SY_PARTCG_PLACES, 1) - 1;
    pose->load[j] = syl_number_under(L, leg, "load", 1, 0);
    pose->sd[j] = syl_number_under(L, leg, "sd", 1, 0);
    lua_getfield(L, leg, "unread");
    pose->unread[j] = lua_toboolean(L, -1);
    lua_pop(L, 1);
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
}

static void read_problem(lua_State *L, sy_partcg *p) {
  memset(p, 0, sizeof *p);
  p->places = syl_push_list(L, 1, "places", SY_PARTCG_PLACES, "part_cg");
  for (size_t i = 0; i < p->places; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    p->place[i] = (sy_partcg_place){triple_of(L, lua_gettop(L), "at"), triple_of(L, lua_gettop(L), "sd")};
    lua_pop(L, 1);
  }
  p->poses = syl_push_list(L, 1, "poses", SY_PARTCG_POSES, "part_cg");
  for (size_t k = 0; k < p->poses; k++) {
    lua_geti(L, -1, (lua_Integer)k + 1);
    read_pose(L, lua_gettop(L), &p->pose[k]);
    lua_pop(L, 1);
  }
  p->balances = syl_push_list(L, 1, "balances", SY_PARTCG_BALANCES, "part_cg");
  for (size_t b = 0; b < p->balances; b++) {
    lua_geti(L, -1, (lua_Integer)b + 1);
    const int at = lua_gettop(L);
    p->balance[b] = (sy_partcg_balance){syl_whole_under(L, at, "axis", 0, 2, 0),
                                        syl_number_under(L, at, "edge", SY_MILLIMETRE, 0),
                                        syl_number_under(L, at, "edge_sd", SY_MILLIMETRE, 0),
                                        syl_number_under(L, at, "mass", 1, 0),
                                        syl_number_under(L, at, "mass_sd", 1, 0),
                                        syl_number_under(L, at, "at", SY_MILLIMETRE, 0),
                                        syl_number_under(L, at, "at_sd", SY_MILLIMETRE, 0)};
    lua_pop(L, 1);
  }
}

/* list of three, false where not known */
static void set_triple(lua_State *L, const char *key, const double *v, const bool *known) {
  lua_createtable(L, 3, 0);
  for (int i = 0; i < 3; i++) {
    if (known[i])
      lua_pushnumber(L, v[i] / SY_MILLIMETRE);
    else
      lua_pushboolean(L, 0);
    lua_seti(L, -2, i + 1);
  }
  lua_setfield(L, -2, key);
}

static void set_rows(lua_State *L, const sy_partcg_result *r) {
  lua_createtable(L, (int)r->loads, 0);
  for (size_t i = 0; i < r->loads; i++) {
    lua_createtable(L, 0, 3);
    syl_set_number(L, "residual", r->fit.residual[i]);
    syl_set_number(L, "redundancy", r->fit.redundancy[i]);
    syl_set_number(L, "sigmas", r->fit.standardised[i]);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "rows");
}

/* The reading that fits worst, and the others that an error in it cannot be distinguished from. */
static void set_worst(lua_State *L, const sy_partcg_result *r) {
  const double correlated = 0.95; /* of 1: what a few readings can separate at all */
  const size_t worst = sy_lsq_worst(&r->fit, 0, r->loads);
  if (worst == r->loads) return;
  lua_createtable(L, 2, 0);
  lua_Integer n = 0;
  for (size_t i = 0; i < r->loads; i++)
    if (i == worst || fabs(sy_lsq_correlation(&r->fit, worst, i)) > correlated) {
      lua_pushinteger(L, (lua_Integer)i + 1);
      lua_seti(L, -2, ++n);
    }
  lua_setfield(L, -2, "tied");
  lua_pushinteger(L, (lua_Integer)worst + 1);
  lua_setfield(L, -2, "worst");
}

/* core.part_cg(problem) -> {mass, mass_sd, cg, cg_sd, cause, rows, chi2, dof, p, worst, tied, critical}; problem {places = {{at, sd}},
** poses = {{roll, pitch, roll_sd, pitch_sd, legs = {{place, load, sd, unread?}}}}, balances = {{axis = 0..2, edge, edge_sd, mass, mass_sd, at, at_sd}}} */
static int l_part_cg(lua_State *L) {
  static const char *const cause[SY_PARTCG_CAUSES] = {"readings", "places", "angles", "edges"};
  luaL_checktype(L, 1, LUA_TTABLE);
  sy_partcg *p = lua_newuserdatauv(L, sizeof *p, 0);
  read_problem(L, p);
  void *memory = lua_newuserdatauv(L, sy_partcg_size(p), 0);
  sy_partcg_result r;
  sy_error err;
  if (sy_partcg_solve(p, memory, &r, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 12);
  syl_set_number(L, "mass", r.mass);
  syl_set_number(L, "mass_sd", r.mass_sd);
  set_triple(L, "cg", r.cg, r.known);
  set_triple(L, "cg_sd", r.cg_sd, r.known);
  lua_createtable(L, 0, SY_PARTCG_CAUSES);
  for (int i = 0; i < SY_PARTCG_CAUSES; i++) set_triple(L, cause[i], r.cause[i], r.known);
  lua_setfield(L, -2, "cause");
  set_rows(L, &r);
  set_worst(L, &r);
  syl_set_number(L, "chi2", r.fit.chi2);
  lua_pushinteger(L, (lua_Integer)r.fit.dof);
  lua_setfield(L, -2, "dof");
  syl_set_number(L, "p", r.fit.dof > 0 ? sy_stats_chi2_tail(r.fit.chi2, (double)r.fit.dof) : 1);
  syl_set_number(L, "critical", sy_lsq_critical(r.loads > 0 ? r.loads : 1, 0.05));
  return 1;
}

void syl_open_partcg(lua_State *L) {
  static const luaL_Reg functions[] = {{"part_cg", l_part_cg}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
