#include "bind/vehicle/suspension.h"

#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/numbers.h"

static const double per_mm = 1e3; /* N/mm to N/m */

static void read_curve(lua_State *L, int list, sy_wheel *w) {
  const lua_Integer count = syl_length(L, list);
  luaL_argcheck(L, count <= SY_MAX_RATIOS, 1, "too many points of a motion_ratio");
  w->motion_ratio = 1.0;
  w->curve.count = (int)count;
  for (int i = 0; i < (int)count; i++) {
    lua_geti(L, list, i + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    w->curve.travel[i] = syl_number_at(L, lua_gettop(L), 1) * SY_MILLIMETRE;
    w->curve.ratio[i] = syl_number_at(L, lua_gettop(L), 2);
    lua_pop(L, 1);
  }
}

void syl_read_suspension(lua_State *L, int t, sy_wheel *w) {
  const int kind = lua_getfield(L, t, "motion_ratio");
  if (kind == LUA_TTABLE) {
    read_curve(L, lua_gettop(L), w);
  } else if (kind != LUA_TNIL) {
    w->motion_ratio = luaL_checknumber(L, -1);
    w->curve.count = 0;
  }
  if (lua_getfield(L, t, "bump_stop") == LUA_TTABLE) {
    w->stop_gap = syl_number_under(L, lua_gettop(L), "gap", SY_MILLIMETRE, w->stop_gap);
    w->stop_rate = syl_number_under(L, lua_gettop(L), "rate", per_mm, w->stop_rate);
  }
  lua_pop(L, 2);
}

/* One of the fields: the fraction, or the angle. */
static void read_part(lua_State *L, int t, const char *name, double *fraction, double *angle) {
  const int kind = lua_getfield(L, t, name);
  if (kind == LUA_TTABLE)
    *angle = syl_number_under(L, lua_gettop(L), "angle", SY_DEGREE, *angle);
  else if (kind != LUA_TNIL)
    *fraction = luaL_checknumber(L, -1) * 0.01;
  lua_pop(L, 1);
}

void syl_read_links(lua_State *L, int t, sy_axle *a) {
  read_part(L, t, "anti_dive", &a->brake_links,
            &a->brake_angle); /* of one axle the file has one of the two */
  read_part(L, t, "anti_lift", &a->brake_links, &a->brake_angle);
  read_part(L, t, "anti_squat", &a->drive_links, &a->drive_angle);
}

static int add(sy_stated *out, int count, sy_stated_field field, unsigned at, double sd) {
  if (sd > 0.0) out[count++] = (sy_stated){.field = field, .at = at, .sd = sd};
  return count;
}

static int add_part(lua_State *L, int t, const char *name, sy_stated_field fraction, sy_stated_field angle,
                    unsigned at, sy_stated *out, int count) {
  if (lua_getfield(L, t, name) == LUA_TTABLE) {
    count = add(out, count, angle, at, syl_number_under(L, lua_gettop(L), "angle_sd", SY_DEGREE, 0.0));
  } else {
    lua_pushfstring(L, "%s_sd", name);
    count = add(out, count, fraction, at, syl_number_under(L, t, lua_tostring(L, -1), 0.01, 0.0));
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  return count;
}

int syl_read_suspension_rates(lua_State *L, int t, int axle, unsigned wheels, sy_stated *out) {
  const unsigned at = 1u << axle;
  int n = 0;
  if (lua_getfield(L, t, "bump_stop") == LUA_TTABLE) {
    const int stop = lua_gettop(L);
    n = add(out, n, SY_STATED_STOP_GAP, wheels, syl_number_under(L, stop, "gap_sd", SY_MILLIMETRE, 0.0));
    n = add(out, n, SY_STATED_STOP_RATE, wheels, syl_number_under(L, stop, "rate_sd", per_mm, 0.0));
  }
  lua_pop(L, 1);
  const char *const braking = axle == 0 ? "anti_dive" : "anti_lift";
  n = add_part(L, t, braking, SY_STATED_BRAKE_LINKS, SY_STATED_BRAKE_ANGLE, at, out, n);
  return add_part(L, t, "anti_squat", SY_STATED_DRIVE_LINKS, SY_STATED_DRIVE_ANGLE, at, out, n);
}
