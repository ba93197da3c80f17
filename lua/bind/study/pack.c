/* pack.c - masses in slots of a car (core/study/pack.h, pack_cars.h). Units of the workshop, the file's axes. */
#include <lauxlib.h>
#include <math.h>

#include "answers/sets.h"
#include "bind/answers/answers.h"
#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "study/pack_cars.h"

enum { MOST_CARS = 24, STACK = 3 * MOST_CARS + 20 };

typedef struct request {
  sy_pack pack;
  sy_pack_cars cars;
  sy_pack_slot slot[SY_PACK_SLOTS];
  sy_pack_row row[SY_PACK_ROWS];
  sy_pack_answer answer[SY_PACK_ROWS];
  syl_asked asked[MOST_CARS];
  sy_pack_car car[MOST_CARS];
} request;

static int read_slots(lua_State *L, int index, sy_pack_slot *slot) {
  const int n = (int)syl_length(L, index);
  luaL_argcheck(L, n >= 1 && n <= SY_PACK_SLOTS, 1, "1 to 8 slots expected");
  for (int k = 0; k < n; k++) {
    lua_geti(L, index, k + 1);
    const int t = lua_gettop(L);
    slot[k] =
        (sy_pack_slot){syl_number_under(L, t, "min", 1, 0), syl_number_under(L, t, "max", 1, (double)NAN),
                       syl_number_under(L, t, "step", 1, 0)};
    lua_pop(L, 1);
  }
  return n;
}

/* {asked =, with = {ledger with `kg` in slot 1, ...}, kg =}. What it reads stays on the stack: it keeps ledgers and geometry alive. */
static void read_car(lua_State *L, int slots, syl_asked *asked, sy_pack_car *car) {
  const int t = lua_gettop(L);
  const double kg = syl_number_under(L, t, "kg", 1, 1);
  sy_error err;
  lua_getfield(L, t, "asked");
  syl_read_asked(L, lua_gettop(L), asked);
  if (sy_pack_car_make(&asked->car, car, &err) != SY_OK) syl_raise(L, &err);
  lua_getfield(L, t, "with");
  luaL_checktype(L, -1, LUA_TTABLE);
  for (int k = 0; k < slots; k++) {
    lua_geti(L, -1, k + 1);
    if (sy_pack_car_with(car, k, syl_check_ledger(L, -1), kg, &err) != SY_OK) syl_raise(L, &err);
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
}

/* {car =, set =, name =, target?, min?, max?, unit?, share?}: share: of the mass, which its car's is. An offset goes with min and max. */
static void read_row(lua_State *L, int index, const int *asked_at, request *q, int r) {
  sy_pack_answer *a = &q->answer[r];
  lua_getfield(L, index, "car");
  const lua_Integer car = luaL_checkinteger(L, -1);
  luaL_argcheck(L, car >= 1 && car <= q->cars.cars, 1, "a row of no car");
  a->car = (int)car - 1;
  lua_getfield(L, index, "set");
  a->set = sy_answer_set_find(luaL_checkstring(L, -1));
  luaL_argcheck(L, a->set != NULL, 1, "not a set of answers");
  lua_getfield(L, index, "name");
  const char *name = luaL_checkstring(L, -1);
  if (!syl_find_answer(L, syl_push_geometry_of(L, asked_at[a->car]), a->set, name, &a->asked, &a->offset))
    luaL_error(L, "no answer is called %s", name);
  q->row[r] = (sy_pack_row){.target = syl_number_under(L, index, "target", 1, (double)NAN),
                            .min = syl_number_under(L, index, "min", 1, -(double)INFINITY),
                            .max = syl_number_under(L, index, "max", 1, (double)INFINITY),
                            .unit = syl_number_under(L, index, "unit", 1, 0),
                            .whole = q->car[a->car].now.all.m};
  lua_pop(L, 4);
}

static request *read_request(lua_State *L) {
  int asked_at[MOST_CARS];
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checkstack(L, STACK, "too many cars");
  request *q = lua_newuserdatauv(L, sizeof *q, 0);
  lua_getfield(L, 1, "slots");
  q->cars.slots = q->pack.slots = read_slots(L, lua_gettop(L), q->slot);
  lua_getfield(L, 1, "cars");
  const int cars = lua_gettop(L), count = (int)syl_length(L, cars);
  luaL_argcheck(L, count >= 1 && count <= MOST_CARS, 1, "1 to 24 cars expected");
  for (int i = 0; i < count; i++) {
    lua_geti(L, cars, i + 1);
    read_car(L, q->cars.slots, &q->asked[i], &q->car[i]);
    asked_at[i] = lua_gettop(L);
  }
  q->cars.cars = count, q->cars.car = q->car, q->cars.answer = q->answer;
  lua_getfield(L, 1, "rows");
  const int rows = lua_gettop(L), n = (int)syl_length(L, rows);
  luaL_argcheck(L, n >= 1 && n <= SY_PACK_ROWS, 1, "1 to 64 rows expected");
  for (int r = 0; r < n; r++) {
    lua_geti(L, rows, r + 1);
    read_row(L, lua_gettop(L), asked_at, q, r);
    lua_pop(L, 1);
  }
  q->cars.answers = n;
  q->pack = (sy_pack){.slot = q->slot,
                      .slots = q->cars.slots,
                      .row = q->row,
                      .rows = n,
                      .values = sy_pack_cars_values,
                      .user = &q->cars};
  return q;
}

static void push_numbers(lua_State *L, const double *x, int n) {
  lua_createtable(L, n, 0);
  for (int i = 0; i < n; i++) {
    lua_pushnumber(L, x[i]);
    lua_rawseti(L, -2, i + 1);
  }
}

/* core.pack_effects(request) -> half of what a step does to each row (sy_pack_units), values of the rows with the least in the slots, and a list
** by slot of what `kg` more there does to each row */
static int l_effects(lua_State *L) {
  request *q = read_request(L);
  double unit[SY_PACK_ROWS], mass[SY_PACK_SLOTS], base[SY_PACK_ROWS], more[SY_PACK_ROWS];
  bool wanted[SY_PACK_ROWS];
  sy_error err;
  sy_status status = sy_pack_cars_check(&q->cars, &err);
  if (status == SY_OK) status = sy_pack_units(&q->pack, NULL, unit, &err);
  if (status != SY_OK) return syl_raise(L, &err);
  for (int r = 0; r < q->pack.rows; r++) wanted[r] = true;
  for (int k = 0; k < q->pack.slots; k++) mass[k] = q->slot[k].min;
  sy_pack_cars_values(&q->cars, mass, wanted, base);
  push_numbers(L, unit, q->pack.rows);
  push_numbers(L, base, q->pack.rows);
  lua_createtable(L, q->pack.slots, 0);
  for (int k = 0; k < q->pack.slots; k++) {
    mass[k] = q->slot[k].max;
    sy_pack_cars_values(&q->cars, mass, wanted, more);
    mass[k] = q->slot[k].min;
    for (int r = 0; r < q->pack.rows; r++) more[r] -= base[r];
    push_numbers(L, more, q->pack.rows);
    lua_rawseti(L, -2, k + 1);
  }
  return 3;
}

static void push_reasons(lua_State *L, const request *q, const sy_pack_why *why, int count) {
  static const char *const word[] = {"slot", "slots", "steps", "limit", "limits", "targets"};
  lua_createtable(L, count, 0);
  for (int i = 0; i < count; i++) {
    lua_createtable(L, 0, 3);
    lua_pushstring(L, word[why[i].kind]);
    lua_setfield(L, -2, "kind");
    lua_pushinteger(L, why[i].at + 1);
    lua_setfield(L, -2, "at");
    push_numbers(L, why[i].mass, q->pack.slots);
    lua_setfield(L, -2, "mass");
    push_numbers(L, why[i].value, q->pack.rows);
    lua_setfield(L, -2, "values");
    lua_rawseti(L, -2, i + 1);
  }
}

static void push_gains(lua_State *L, const request *q, const sy_packed *found, double most) {
  sy_error err;
  for (int kind = 0; kind < 2; kind++) {
    const int n = kind == 0 ? q->pack.slots : q->pack.rows;
    double gain[SY_PACK_ROWS];
    for (int i = 0; i < n; i++) {
      const bool limit = kind == 1 && isnan(q->row[i].target);
      const bool full =
          kind == 0 &&
          found->mass[i] + (q->slot[i].step > 0 ? q->slot[i].step : SY_PACK_GRAIN) > q->slot[i].max;
      gain[i] = 0.0;
      if ((limit || full) && sy_pack_gain(&q->pack, found, kind == 1 ? i : -1, kind == 0 ? i : -1, most, NULL,
                                          &gain[i], &err) != SY_OK)
        gain[i] = 0.0; /* given up */
    }
    push_numbers(L, gain, n);
    lua_setfield(L, -2, kind == 0 ? "slot_gain" : "row_gain");
  }
}

/* ---- watching ------------------------------------------------------------------------------------------------------------------------ */

enum { WATCH_EVERY = 64 }; /* boxes: half a millisecond to some ten */

typedef struct watcher {
  lua_State *L;
  int function; /* its index */
  lua_Integer boxes;
} watcher;

/* An error of the function is dropped: the search holds memory and goes on. */
static void watch(void *with) {
  watcher *w = with;
  if (++w->boxes % WATCH_EVERY != 0) return;
  lua_pushvalue(w->L, w->function);
  lua_pushinteger(w->L, w->boxes);
  if (lua_pcall(w->L, 1, 0, 0) != LUA_OK) lua_pop(w->L, 1);
}

/* core.pack{slots = {{min =, max =, step?},..}, cars = {{asked =, with = ledgers, kg =},..}, rows = {{car =, set =, name =, target?, min?,
** max?, unit =},..}, most = kg}, watch? -> {possible, limits_hold, mass = list, steps = list, values = list, miss, boxes, tried; slot_gain, row_gain
** = lists (kg) where possible, why = list of {kind, at, mass, values} where not}. watch: function(boxes), called as the search goes on */
static int l_pack(lua_State *L) {
  lua_settop(L, 2);
  request *q = read_request(L);
  watcher w = {L, 2, 0};
  if (lua_isfunction(L, 2)) q->pack.watch = watch, q->pack.watcher = &w;
  luaL_checkstack(L, LUA_MINSTACK, "no room to watch");
  const double most = syl_number_under(L, 1, "most", 1, (double)NAN);
  sy_packed found;
  sy_pack_why why[SY_PACK_WHYS];
  sy_error err;
  int reasons = 0;
  sy_status status = sy_pack_cars_check(&q->cars, &err);
  if (status == SY_OK) status = sy_pack_solve(&q->pack, NULL, &found, &err);
  if (status == SY_OK && !found.possible) status = sy_pack_explain(&q->pack, most, NULL, why, &reasons, &err);
  if (status != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, 0, 12);
  lua_pushboolean(L, found.possible);
  lua_setfield(L, -2, "possible");
  lua_pushboolean(L, found.limits_hold);
  lua_setfield(L, -2, "limits_hold");
  push_numbers(L, found.mass, q->pack.slots);
  lua_setfield(L, -2, "mass");
  lua_createtable(L, q->pack.slots, 0);
  for (int k = 0; k < q->pack.slots; k++) {
    lua_pushinteger(L, (lua_Integer)found.steps[k]);
    lua_rawseti(L, -2, k + 1);
  }
  lua_setfield(L, -2, "steps");
  push_numbers(L, found.value, q->pack.rows);
  lua_setfield(L, -2, "values");
  syl_set_number(L, "miss", found.miss);
  lua_pushinteger(L, (lua_Integer)found.boxes);
  lua_setfield(L, -2, "boxes");
  lua_pushinteger(L, (lua_Integer)found.tried);
  lua_setfield(L, -2, "tried");
  if (found.possible)
    push_gains(L, q, &found, most);
  else {
    push_reasons(L, q, why, reasons);
    lua_setfield(L, -2, "why");
  }
  return 1;
}

void syl_open_pack(lua_State *L) {
  static const luaL_Reg functions[] = {{"pack", l_pack}, {"pack_effects", l_effects}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
