#include "bind/answers/asked.h"

#include <lauxlib.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "bind/answers/found.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"

/* The list under `key` of the table at `index`, `count` numbers times `unit`; left as it is without one. False without one. */
static bool list_under(lua_State *L, int index, const char *key, int count, double unit, double *out) {
  lua_getfield(L, index, key);
  const bool there = !lua_isnil(L, -1);
  if (there) {
    luaL_checktype(L, -1, LUA_TTABLE);
    for (int i = 0; i < count; i++) {
      lua_geti(L, -1, i + 1);
      out[i] = luaL_checknumber(L, -1) * unit;
      lua_pop(L, 1);
    }
  }
  lua_pop(L, 1);
  return there;
}

static void state(syl_asked *a, sy_stated_field field, unsigned at, double sd) {
  if (!(sd > 0.0) || a->car.stated_count == SYL_MOST_STATED) return;
  a->stated[a->car.stated_count++] = (sy_stated){.field = field, .at = at, .sd = sd};
}

/* A list by wheel or axle and that of its uncertainties. times: what each number counts, or NULL. */
static void read_list(lua_State *L, int index, const char *key, const char *key_sd, int count, double unit,
                      const double *times, sy_stated_field field, double *out, syl_asked *a) {
  double sd[SY_MAX_WHEELS];
  list_under(L, index, key, count, unit, out);
  for (int i = 0; i < count; i++)
    if (times != NULL && out[i] != 0.0) out[i] *= times[i];
  if (!list_under(L, index, key_sd, count, unit, sd)) return;
  for (int i = 0; i < count; i++)
    if (sd[i] > 0.0) state(a, field, 1u << i, times != NULL ? sd[i] * times[i] : sd[i]);
}

static void read_number(lua_State *L, int index, const char *key, const char *key_sd, double unit,
                        sy_stated_field field, double *out, syl_asked *a) {
  const double value = syl_number_under(L, index, key, unit, (double)NAN);
  if (isnan(value)) return; /* what is not there has no uncertainty either: most tables have none of these */
  *out = value;
  state(a, field, 0, syl_number_under(L, index, key_sd, unit, 0.0));
}

/* The slope of the floor, fields of a table under `key`. */
static bool slope_under(lua_State *L, int index, const char *key, double out[2]) {
  lua_getfield(L, index, key);
  const bool there = !lua_isnil(L, -1);
  if (there) {
    luaL_checktype(L, -1, LUA_TTABLE);
    const int t = lua_gettop(L);
    out[0] = syl_number_under(L, t, "nose_up", SY_DEGREE, 0.0);
    out[1] = syl_number_under(L, t, "left_up", SY_DEGREE, 0.0);
  }
  lua_pop(L, 1);
  return there;
}

static void read_slope(lua_State *L, int index, syl_asked *a) {
  double lean[2] = {0, 0}, sd[2] = {0, 0};
  slope_under(L, index, "slope", lean);
  a->car.nose_up = lean[0];
  a->car.left_up = lean[1];
  slope_under(L, index, "slope_sd", sd);
  state(a, SY_STATED_NOSE_UP, 0, sd[0]);
  state(a, SY_STATED_LEFT_UP, 0, sd[1]);
}

static void read_raised(lua_State *L, int index, syl_asked *a) {
  double raised[2] = {0, 0}, sd[2] = {0, 0};
  list_under(L, index, "raised", 2, SY_MILLIMETRE, raised);
  list_under(L, index, "raised_sd", 2, SY_MILLIMETRE, sd);
  a->car.raised_front = raised[0];
  a->car.raised_rear = raised[1];
  state(a, SY_STATED_RAISED_FRONT, 0, sd[0]);
  state(a, SY_STATED_RAISED_REAR, 0, sd[1]);
}

/* The cross weight of the drawn state, where another one is found than the file states; false without one. */
static bool read_cross_share(lua_State *L, int index, syl_asked *a) {
  const double share = syl_number_under(L, index, "cross_share", 0.01, (double)NAN);
  sy_error err;
  if (isnan(share)) return false;
  if (sy_car_set_cross(&a->car, share, &a->car, &err) != SY_OK) syl_raise(L, &err);
  return true;
}

static const sy_ledger *ledger_under(lua_State *L, int index, const char *key) {
  lua_getfield(L, index, key);
  const sy_ledger *ledger = lua_isnil(L, -1) ? NULL : syl_check_ledger(L, -1);
  lua_pop(L, 1);
  return ledger;
}

static const void *found_under(lua_State *L, int index, const char *key, syl_found_kind kind, size_t *count) {
  lua_getfield(L, index, key);
  const void *first = syl_opt_found(L, lua_gettop(L), kind, count);
  lua_pop(L, 1);
  return first;
}

int syl_push_geometry_of(lua_State *L, int index) {
  lua_getfield(L, index, "geometry");
  return lua_gettop(L);
}

/* Has the table fields beside its ledger and its geometry? Most have not: a car is asked as it is loaded, and thirty names need not be
** looked up. */
static bool says_more(lua_State *L, int index, bool drawn) {
  int fields = 0;
  lua_pushnil(L);
  while (fields <= 2 && lua_next(L, index) != 0) {
    lua_pop(L, 1);
    fields++;
  }
  if (fields > 2) lua_pop(L, 1);
  return drawn || fields > 2;
}

void syl_read_asked(lua_State *L, int index, syl_asked *a) {
  luaL_checktype(L, index, LUA_TTABLE);
  const sy_ledger *now = ledger_under(L, index, "now"), *drawn = ledger_under(L, index, "drawn");
  luaL_argcheck(L, now != NULL, index, "has no ledger `now`");
  a->g = syl_check_geometry(L, syl_push_geometry_of(L, index));
  lua_pop(L, 1);
  memset(&a->car.tanks, 0,
         sizeof a->car - offsetof(sy_car, tanks)); /* all but what follows, which is most of it */
  a->car.now = now;
  a->car.drawn = drawn != NULL ? drawn : now;
  a->car.vehicle = a->g->vehicle;
  a->car.map = a->g->map;
  a->car.mu = 1.0;
  a->car.brake_front_share = a->car.drive_front_share = (double)NAN;
  a->car.stated = a->stated;
  a->tanks = NULL;
  if (!says_more(L, index, drawn != NULL)) {
    memcpy(a->stated, a->g->rate, (size_t)a->g->rate_count * sizeof *a->stated);
    a->car.stated_count = (size_t)a->g->rate_count;
    return;
  }
  lua_getfield(L, index, "tanks");
  a->tanks = syl_opt_tanks(L, lua_gettop(L));
  lua_pop(L, 1);
  a->car.tanks = syl_tanks_of(a->tanks);
  if (a->tanks != NULL) a->car.drawn_liquid = a->tanks->drawn;
  const int wheels = a->g->map.wheel_count, axles = a->g->vehicle.axle_count;
  sy_corner_setting *s = &a->car.setting;
  double pitch[SY_MAX_WHEELS];
  for (int i = 0; i < wheels; i++) pitch[i] = a->g->vehicle.wheel[i].perch_pitch;
  read_list(L, index, "pads", "pads_sd", wheels, SY_MILLIMETRE, NULL, SY_STATED_PAD, s->pad, a);
  read_list(L, index, "turns", "turns_sd", wheels, 1.0, pitch, SY_STATED_PERCH, s->perch, a);
  const bool found = read_cross_share(L, index, a);
  for (int i = 0; i < a->g->rate_count; i++)
    if (!found || a->g->rate[i].field != SY_STATED_CROSS_SHARE)
      a->stated[a->car.stated_count++] = a->g->rate[i];
  read_list(L, index, "preload", "preload_sd", axles, SY_MILLIMETRE, NULL, SY_STATED_PRELOAD, s->preload, a);
  read_list(L, index, "downforce", "downforce_sd", axles, SY_STANDARD_GRAVITY, NULL, SY_STATED_DOWNFORCE,
            s->downforce, a);
  read_raised(L, index, a);
  lua_getfield(L, index, "bars");
  s->bars = lua_toboolean(L, -1);
  lua_pop(L, 1);
  read_slope(L, index, a);
  read_number(L, index, "forward", "forward_sd", 1.0, SY_STATED_FORWARD, &a->car.forward, a);
  read_number(L, index, "left", "left_sd", 1.0, SY_STATED_LEFT, &a->car.left, a);
  read_number(L, index, "mu", "mu_sd", 1.0, SY_STATED_MU, &a->car.mu, a);
  read_number(L, index, "brake_front_share", "brake_front_share_sd", 0.01, SY_STATED_BRAKE_FRONT_SHARE,
              &a->car.brake_front_share, a);
  lua_getfield(L, index, "beside");
  a->car.beside = lua_isnil(L, -1) ? NULL : luaL_checkudata(L, -1, SYL_BESIDE);
  lua_pop(L, 1);
  read_number(L, index, "drive_front_share", "drive_front_share_sd", 0.01, SY_STATED_DRIVE_FRONT_SHARE,
              &a->car.drive_front_share, a);
  size_t one;
  a->car.shaft = found_under(L, index, "shafts", SYL_FOUND_SHAFTS, &a->car.shaft_count);
  a->car.gap = found_under(L, index, "gaps", SYL_FOUND_GAPS, &a->car.gap_count);
  a->car.usable = found_under(L, index, "usable", SYL_FOUND_USABLE, &one);
}

void syl_stand(lua_State *L, const syl_asked *asked, sy_stand *out) {
  sy_error err;
  if (sy_stand_make(&asked->car, out, &err) != SY_OK) syl_raise(L, &err);
}
