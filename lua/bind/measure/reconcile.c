/* reconcile.c - the ledger against the scales: kg and mm, forward, left and up in the vehicle's own directions. */
#include "bind/measure/reconcile.h"

#include <lauxlib.h>
#include <limits.h>
#include <math.h>
#include <string.h>

#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/statics/corner.h"
#include "numeric/stats.h"

static const char *const letters[3] = {"forward", "left", "up"};

/* The number that an error of a place has in all records; 0: of this one alone. */
static uint32_t error_under(lua_State *L, int index, const char *key) {
  return (uint32_t)syl_whole_under(L, index, key, 0, INT_MAX, 0);
}

void syl_read_scales(lua_State *L, int index, sy_reconcile *p) {
  lua_getfield(L, index, "supports");
  luaL_checktype(L, -1, LUA_TTABLE);
  p->supports = (size_t)syl_length(L, -1);
  luaL_argcheck(L, p->supports <= SY_MAX_WHEELS, index, "too many supports");
  for (size_t i = 0; i < p->supports; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    const int at = lua_gettop(L);
    p->support[i] = (sy_reconcile_support){
        syl_number_under(L, at, "forward", 1e-3, 0), syl_number_under(L, at, "left", 1e-3, 0),
        syl_number_under(L, at, "load", 1, 0), syl_number_under(L, at, "sd", 1, 0),
        syl_whole_under(L, at, "axle", 1, SY_MAX_AXLES, 1) - 1};
    p->x_sd[i] = syl_number_under(L, at, "forward_sd", 1e-3, (double)NAN);
    p->y_sd[i] = syl_number_under(L, at, "left_sd", 1e-3, (double)NAN);
    p->x_error[i] = error_under(L, at, "forward_error"), p->y_error[i] = error_under(L, at, "left_error");
    if (!isnan(p->x_sd[i])) p->own_x |= 1u << i;
    if (!isnan(p->y_sd[i])) p->own_y |= 1u << i;
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  lua_getfield(L, index, "axles");
  luaL_checktype(L, -1, LUA_TTABLE);
  for (lua_Integer i = 0; i < syl_length(L, -1) && i < SY_MAX_AXLES; i++) {
    lua_geti(L, -1, i + 1);
    p->place_sd[i] = syl_number_under(L, lua_gettop(L), "place_sd", 1e-3, 0);
    p->track_sd[i] = syl_number_under(L, lua_gettop(L), "track_sd", 1e-3, 0);
    p->place_error[i] = error_under(L, lua_gettop(L), "place_error");
    p->track_error[i] = error_under(L, lua_gettop(L), "track_error");
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  lua_getfield(L, index, "lateral");
  p->lateral = lua_toboolean(L, -1);
  lua_pop(L, 1);
  p->height = syl_number_under(L, index, "height", 1e-3, (double)NAN);
  p->height_sd = syl_number_under(L, index, "height_sd", 1e-3, 0);
}

/* {change, before, after, sigmas?, alone?} */
static void push_error(lua_State *L, const sy_reconciled_error *e, double scale) {
  lua_createtable(L, 0, 5);
  syl_set_number(L, "change", e->change * scale);
  syl_set_number(L, "before", e->before * scale);
  syl_set_number(L, "after", e->after * scale);
  syl_set_number(L, "sigmas", e->sigmas);
  syl_set_number(L, "alone", e->alone * scale);
}

static void set_error(lua_State *L, const char *key, const sy_reconciled_error *e, double scale) {
  push_error(L, e, scale);
  lua_setfield(L, -2, key);
}

/* {mass, forward?, left?, up?, sd = the same} */
static void set_body(lua_State *L, const char *key, const sy_reconcile_body *b) {
  lua_createtable(L, 0, 5);
  syl_set_number(L, "mass", b->mass);
  for (int i = 0; i < 3; i++) syl_set_number(L, letters[i], b->cg[i] * 1e3);
  lua_createtable(L, 0, 4);
  syl_set_number(L, "mass", b->mass_sd);
  for (int i = 0; i < 3; i++) syl_set_number(L, letters[i], b->cg_sd[i] * 1e3);
  lua_setfield(L, -2, "sd");
  lua_setfield(L, -2, key);
}

static void push_line(lua_State *L, const sy_reconcile_line *line, const sy_reconciled_line *r) {
  lua_createtable(L, 0, 9);
  syl_push_route(L, &line->route);
  lua_setfield(L, -2, "route");
  lua_pushboolean(L, line->side);
  lua_setfield(L, -2, "side");
  lua_pushboolean(L, line->same_mass && line->same_place[0] && line->same_place[1] && line->same_place[2]);
  lua_setfield(L, -2, "same");
  syl_set_number(L, "stated", line->mass);
  syl_set_number(L, "pieces", line->pieces);
  const double place[3] = {line->place.x, line->place.y, line->place.z};
  syl_set_list(L, "place", place, 3, 1e-3);
  set_error(L, "mass", &r->mass, 1);
  for (int i = 0; i < 3; i++) set_error(L, letters[i], &r->place[i], 1e3);
}

static void set_readings(lua_State *L, const sy_reconcile *p, const sy_reconciled *r) {
  syl_set_list(L, "loads", r->load, p->supports, 1);
  lua_createtable(L, (int)p->supports, 0);
  for (size_t i = 0; i < p->supports; i++) {
    push_error(L, &r->reading[i], 1);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "readings");
  if (!isnan(r->warp_sd)) {
    syl_set_list(L, "warp", r->warp, p->supports, 1);
    syl_set_number(L, "warp_sd", r->warp_sd);
  }
  if (!isnan(p->height)) set_error(L, "height", &r->height, 1e3);
}

static void push_result(lua_State *L, const sy_reconcile *p, const sy_reconciled *r) {
  static const char *const off[4] = {"mass", "forward", "left", "up"};
  lua_createtable(L, 0, 16);
  set_body(L, "ledger", &r->ledger);
  set_body(L, "scales", &r->scales);
  set_body(L, "both", &r->both);
  set_body(L, "missing", &r->missing);
  lua_createtable(L, 0, 4);
  for (int i = 0; i < 4; i++) syl_set_number(L, off[i], r->off_sigmas[i]);
  lua_setfield(L, -2, "off");
  syl_set_number(L, "chi2", r->chi2);
  syl_set_number(L, "dof", (double)r->dof);
  syl_set_number(L, "log_det", r->log_det);
  syl_set_number(L, "p", r->p);
  set_readings(L, p, r);
  lua_createtable(L, (int)p->lines, 0);
  for (size_t i = 0; i < p->lines; i++) {
    push_line(L, &p->line[i], &r->line[i]);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "lines");
  lua_createtable(L, (int)p->instruments, 0);
  for (size_t i = 0; i < p->instruments; i++) {
    lua_createtable(L, 0, 2);
    set_error(L, "bias", &r->bias[i], 1);
    set_error(L, "gain", &r->gain[i], 1);
    lua_seti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "instruments");
}

static void push_likelihood(lua_State *L, const sy_reconciled *r) {
  lua_createtable(L, 0, 2);
  syl_set_number(L, "chi2", r->chi2);
  syl_set_number(L, "log_det", r->log_det);
}

/* core.reconcile(ledger, {supports = {{forward, left?, load, sd, axle, forward_sd?, left_sd?}}, lateral, axles = {{place_sd, track_sd}}, height?, height_sd?})
** -> {ledger, scales, both, missing = bodies, off, chi2, dof, log_det, p, loads, readings, warp?, warp_sd?, height?, lines = {{route, side, same,
** stated, pieces, place, mass, forward, left, up}}, instruments = {{bias, gain}}}. With `brief` as a third argument {chi2, log_det} alone. */
static int l_reconcile(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  luaL_checktype(L, 2, LUA_TTABLE);
  const bool brief = lua_toboolean(L, 3);
  sy_instrument instruments[SY_MAX_INSTRUMENTS];
  sy_reconcile *p = lua_newuserdatauv(L, sizeof *p, 0);
  memset(p, 0, sizeof *p);
  syl_read_scales(L, 2, p);
  if (lua_getfield(L, 2, "covariance") != LUA_TNIL) {
    double *loads = lua_newuserdatauv(L, (p->supports * p->supports + 1) * sizeof *loads, 0);
    syl_read_list(L, -2, (int)(p->supports * p->supports), 1, loads);
    p->load_covariance = loads;
  }
  p->instruments = sy_ledger_instruments(ledger, instruments);
  p->instrument = instruments;
  p->lines = sy_reconcile_lines(ledger, NULL, 0);
  sy_reconcile_line *lines = lua_newuserdatauv(L, (p->lines + 1) * sizeof *lines, 0);
  sy_reconcile_lines(ledger, lines, p->lines);
  p->line = lines;
  void *memory = lua_newuserdatauv(L, sy_reconcile_size(p->lines, p->instruments) + 1, 0);
  sy_reconciled *r = lua_newuserdatauv(L, sizeof *r, 0);
  sy_error err;
  if (sy_reconcile_solve(p, memory, r, &err) != SY_OK) return syl_raise(L, &err);
  if (brief)
    push_likelihood(L, r);
  else
    push_result(L, p, r);
  return 1;
}

/* core.chi2_tail(chi2, dof) -> chance of a larger one */
static int l_chi2_tail(lua_State *L) {
  lua_pushnumber(L, sy_stats_chi2_tail(luaL_checknumber(L, 1), luaL_checknumber(L, 2)));
  return 1;
}

void syl_open_reconcile(lua_State *L) {
  static const luaL_Reg functions[] = {{"reconcile", l_reconcile}, {"chi2_tail", l_chi2_tail}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
