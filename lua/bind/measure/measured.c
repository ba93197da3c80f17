/* measured.c - records of a car as a Lua value: what they make of its ledgers, and what is asked of them. kg and mm, forward, left and up. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/mass/pairing.h"
#include "bind/measure/reconcile.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "measure/record.h"

#define MEASURED "steelyard.measured"

static sy_measured *check_measured(lua_State *L, int index) {
  sy_measured **box = luaL_checkudata(L, index, MEASURED);
  luaL_argcheck(L, *box != NULL, index, "the records are closed");
  return *box;
}

static int l_gc(lua_State *L) {
  sy_measured **box = luaL_checkudata(L, 1, MEASURED);
  sy_measured_release(*box);
  *box = NULL;
  return 0;
}

/* ---- records ------------------------------------------------------------------------------------------------------------------ */

/* `count` numbers of the list under `key` of the table at `index`; all 0 without one. */
static void list_of(lua_State *L, int index, const char *key, size_t count, double *out) {
  memset(out, 0, count * sizeof *out);
  if (lua_getfield(L, index, key) != LUA_TNIL) {
    luaL_argcheck(L, (size_t)syl_length(L, -1) == count, index, "a list of another length than the loads");
    for (size_t i = 0; i < count; i++) out[i] = syl_number_at(L, lua_gettop(L), (lua_Integer)i + 1);
  }
  lua_pop(L, 1);
}

/* Mass and place of an assembly; false where the record is none. */
static bool read_body(lua_State *L, int index, double q[4]) {
  static const char *const keys[4] = {"mass", "forward", "left", "up"};
  const bool body = lua_getfield(L, index, "body") != LUA_TNIL;
  for (int k = 0; body && k < 4; k++)
    q[k] = syl_number_under(L, lua_gettop(L), keys[k], k > 0 ? 1e-3 : 1, (double)NAN);
  lua_pop(L, 1);
  return body;
}

/* The record at `index`; what it points to is anchored in the list at `kept`. */
static void read_record(lua_State *L, int index, int kept, sy_record *out) {
  sy_reconcile p;
  double q[4], covariance[SY_MAX_WHEELS * SY_MAX_WHEELS];
  sy_error err;
  memset(&p, 0, sizeof p);
  lua_getfield(L, index, "ledger");
  const sy_ledger *ledger = syl_check_ledger(L, -1);
  lua_pop(L, 1);
  const bool body = read_body(L, index, q);
  size_t loads = 0;
  if (body)
    for (int k = 0; k < 4; k++) loads += isnan(q[k]) ? 0u : 1u;
  else {
    syl_read_scales(L, index, &p);
    loads = p.supports;
  }
  list_of(L, index, "covariance", loads * loads, covariance);
  double *room = lua_newuserdatauv(L, SY_RECORD_READINGS * SY_RECORD_READINGS * sizeof *room, 0);
  lua_rawseti(L, kept, (lua_Integer)lua_rawlen(L, kept) + 1);
  const sy_status status = body ? sy_record_body(q, covariance, room, out, &err)
                                : sy_record_loads(&p, covariance, room, out, &err);
  if (status != SY_OK) syl_raise(L, &err);
  out->ledger = ledger;
  out->instruments = syl_push_list(L, index, "instruments", SY_MAX_INSTRUMENTS, "record");
  const int list = lua_gettop(L);
  sy_record_instrument *at = lua_newuserdatauv(L, (out->instruments + 1) * sizeof *at, 0);
  lua_rawseti(L, kept, (lua_Integer)lua_rawlen(L, kept) + 1);
  memset(at, 0, (out->instruments + 1) * sizeof *at);
  for (size_t i = 0; i < out->instruments; i++) {
    lua_geti(L, list, (lua_Integer)i + 1);
    at[i].number = (uint32_t)syl_whole_under(L, lua_gettop(L), "number", 1, SY_MAX_INSTRUMENTS, 0);
    list_of(L, lua_gettop(L), "bias", loads, at[i].bias);
    list_of(L, lua_gettop(L), "gain", loads, at[i].gain);
    lua_pop(L, 1);
  }
  out->instrument = at;
  lua_settop(L, list - 1);
}

/* core.measured(ledger, records, pairings) -> the records, for all ledgers related to `ledger`. Each record: {ledger, covariance = {row by row},
** instruments? = {{number, bias = {...}, gain = {...}}}} with what core.reconcile takes (loads), or body = {mass, forward?, left?, up?} of a
** ledger that holds the assembly alone. pairings: from that family of ledgers to others; they are used up. */
static int l_measured(lua_State *L) {
  const sy_ledger *relative = syl_check_ledger(L, 1);
  lua_settop(L, 3);
  const lua_Integer count = syl_length(L, 2), joined = syl_length(L, 3);
  luaL_argcheck(L, count <= SY_MOST_RECORDS, 2, "too many records");
  luaL_argcheck(L, joined <= SY_MOST_PAIRINGS, 3, "too many other files");
  lua_newtable(L);
  sy_record *records = lua_newuserdatauv(L, (size_t)(count + 1) * sizeof *records, 0);
  sy_measured **box = lua_newuserdatauv(L, sizeof *box, 0);
  *box = NULL;
  luaL_setmetatable(L, MEASURED);
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, 2, i + 1);
    read_record(L, lua_gettop(L), 4, &records[i]);
    lua_pop(L, 1);
  }
  sy_pairing *pairings[SY_MOST_PAIRINGS];
  for (lua_Integer i = 0; i < joined; i++) { /* all are values of this kind before one is taken */
    lua_geti(L, 3, i + 1);
    luaL_argcheck(L, syl_opt_pairing(L, lua_gettop(L)) != NULL, 3, "a pairing is needed");
  }
  for (lua_Integer i = 0; i < joined; i++) pairings[i] = syl_take_pairing(L, 6 + (int)i + 1);
  lua_settop(L, 6);
  sy_error err;
  if (sy_measured_new(NULL, relative, records, (size_t)count, pairings, (size_t)joined, box, &err) != SY_OK)
    return syl_raise(L, &err);
  return 1;
}

/* core.cross_share({lf, rf, lr, rr}) -> percent, and what one kg of each adds to it (a fraction) */
static int l_cross_share(lua_State *L) {
  double load[4], share, by[4];
  sy_error err;
  for (int i = 0; i < 4; i++) load[i] = syl_number_at(L, 1, i + 1);
  if (sy_record_cross_share(load, &share, by, &err) != SY_OK) return syl_raise(L, &err);
  lua_pushnumber(L, 100 * share);
  lua_createtable(L, 4, 0);
  for (int i = 0; i < 4; i++) {
    lua_pushnumber(L, by[i]);
    lua_rawseti(L, -2, i + 1);
  }
  return 2;
}

/* ---- methods ------------------------------------------------------------------------------------------------------------------- */

/* measured:correct(ledger) -> the ledger with its lines corrected; what is edited out of it carries the records */
static int l_correct(lua_State *L) {
  const sy_measured *m = check_measured(L, 1);
  const sy_ledger *ledger = syl_check_ledger(L, 2);
  sy_error err;
  sy_ledger **box = syl_new_ledger(L);
  if (sy_measured_correct(m, ledger, box, &err) != SY_OK) return syl_raise(L, &err);
  return 1;
}

/* measured:beside(record, by): the number that a record read beside the sums, by each of its readings */
static int l_beside(lua_State *L) {
  double by[SY_RECORD_READINGS] = {0};
  sy_error err;
  const lua_Integer n = syl_length(L, 3);
  for (lua_Integer i = 0; i < n && i < SY_RECORD_READINGS; i++) by[i] = syl_number_at(L, 3, i + 1);
  if (sy_measured_beside(check_measured(L, 1), (size_t)luaL_checkinteger(L, 2) - 1, by, &err) != SY_OK)
    return syl_raise(L, &err);
  return 0;
}

/* measured:record(i) -> {figures = {{read, booked, adjusted, off_sd, place_off_sd?}}, chi2, p, change = {of each reading}} in SI */
static int l_record(lua_State *L) {
  sy_measured_record r;
  sy_error err;
  if (sy_measured_record_of(check_measured(L, 1), (size_t)luaL_checkinteger(L, 2) - 1, &r, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_createtable(L, 0, 4);
  lua_createtable(L, (int)r.figures, 0);
  for (size_t k = 0; k < r.figures; k++) {
    const sy_measured_figure *f = &r.figure[k];
    lua_createtable(L, 0, 4);
    syl_set_number(L, "read", f->read);
    syl_set_number(L, "booked", f->booked);
    syl_set_number(L, "adjusted", f->adjusted);
    syl_set_number(L, "off_sd", f->off_sd);
    syl_set_number(L, "place_off_sd", f->place_off_sd);
    lua_rawseti(L, -2, (lua_Integer)k + 1);
  }
  lua_setfield(L, -2, "figures");
  syl_set_number(L, "chi2", r.chi2);
  syl_set_number(L, "p", r.p);
  syl_set_list(L, "change", r.change, r.readings, 1);
  return 1;
}

/* measured:place(number) -> mm: the mean of that error of a place (core.measured's place_error and so on) after all records */
static int l_place(lua_State *L) {
  const sy_measured *m = check_measured(L, 1);
  lua_pushnumber(L, 1e3 * sy_measured_error(m, (uint32_t)luaL_checkinteger(L, 2)));
  return 1;
}

/* measured:fit() -> chi2, p, dof of all figures together */
static int l_fit(lua_State *L) {
  const sy_measured_fit f = sy_measured_fit_of(check_measured(L, 1));
  lua_pushnumber(L, f.chi2);
  lua_pushnumber(L, f.p);
  lua_pushinteger(L, (lua_Integer)f.dof);
  return 3;
}

void syl_open_measured(lua_State *L) {
  static const luaL_Reg methods[] = {{"correct", l_correct}, {"beside", l_beside}, {"record", l_record},
                                     {"place", l_place},     {"fit", l_fit},       {NULL, NULL}};
  static const luaL_Reg functions[] = {
      {"measured", l_measured}, {"cross_share", l_cross_share}, {NULL, NULL}};
  syl_open_class(L, MEASURED, methods, l_gc);
  luaL_setfuncs(L, functions, 0);
}
