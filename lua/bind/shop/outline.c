/* outline.c - what drawings need of a car's geometry: outlines in three views, and the ellipse of its CG. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/shop/clearance.h"
#include "bind/vehicle/geometry.h"
#include "shop/cg_ellipse.h"

#define SYL_OUTLINE "steelyard.outline"

/* found is NULL once closed */
typedef struct outline_box {
  sy_outline *found;
} outline_box;

static int l_outline_gc(lua_State *L) {
  outline_box *b = luaL_checkudata(L, 1, SYL_OUTLINE);
  sy_outline_free(b->found);
  b->found = NULL;
  return 0;
}

static const char *const views[] = {"side", "plan", "front", NULL};

/* One of the two coordinates of a view as the file counts it, mm. */
typedef struct shown_axis {
  double scale, offset;
} shown_axis;

/* axis 0 fore-aft, 1 across, 2 upright */
static shown_axis shown_along(const sy_axes *axes, int axis) {
  for (int letter = 0; letter < 3; letter++) {
    const syl_along a = syl_file_axis(axes, letter);
    if (a.axis == axis) return (shown_axis){a.sign / SY_MILLIMETRE, a.origin / SY_MILLIMETRE};
  }
  return (shown_axis){1 / SY_MILLIMETRE, 0};
}

static void shown_in(const sy_axes *axes, sy_view view, shown_axis out[2]) {
  out[0] = shown_along(axes, view == SY_VIEW_FRONT ? 1 : 0);
  out[1] = shown_along(axes, view == SY_VIEW_PLAN ? 1 : 2);
}

static double shown(const shown_axis *a, double m) { return m * a->scale + a->offset + 0.0; /* no -0 */ }

/* Least and greatest coordinate along each axis. */
typedef struct outline_range {
  double from[2], to[2];
} outline_range;

static void widen(outline_range *r, int axis, double value) {
  if (value < r->from[axis]) r->from[axis] = value;
  if (value > r->to[axis]) r->to[axis] = value;
}

static void push_loop(lua_State *L, const sy_outline *o, size_t loop, const shown_axis axis[2],
                      outline_range *range) {
  const size_t count = sy_outline_points(o, loop);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    const sy_plan p = sy_outline_point(o, loop, i);
    const double at[2] = {shown(&axis[0], p.x), shown(&axis[1], p.y)};
    lua_createtable(L, 2, 0);
    for (int k = 0; k < 2; k++) {
      widen(range, k, at[k]);
      lua_pushnumber(L, at[k]);
      lua_rawseti(L, -2, k + 1);
    }
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
}

/* core.outline(envelope, geometry, "side" | "plan" | "front") -> list of loops of {a, b}: coordinates of the file, mm, along its fore-aft and
** upright, its fore-aft and cross, its cross and upright axes; least and greatest a, least and greatest b. Raises what outline.h refuses. */
static int l_outline(lua_State *L) {
  const sy_axes *axes = &syl_check_geometry(L, 2)->axes;
  const sy_view view = (sy_view)luaL_checkoption(L, 3, NULL, views);
  const sy_envelope e = syl_read_envelope(L, 1, axes);
  outline_box *b = lua_newuserdatauv(L, sizeof *b, 0);
  b->found = NULL;
  luaL_setmetatable(L, SYL_OUTLINE);
  sy_error err;
  if (sy_outline_make(&e, view, NULL, &b->found, &err) != SY_OK) return syl_raise(L, &err);
  shown_axis axis[2];
  shown_in(axes, view, axis);
  const size_t loops = sy_outline_loops(b->found);
  outline_range range = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
  lua_createtable(L, (int)loops, 0);
  for (size_t i = 0; i < loops; i++) {
    push_loop(L, b->found, i, axis, &range);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  sy_outline_free(b->found);
  b->found = NULL;
  for (int k = 0; k < 2; k++) {
    lua_pushnumber(L, range.from[k]);
    lua_pushnumber(L, range.to[k]);
  }
  return 5;
}

/* core.cg_ellipse(ledger, geometry, view, probability) -> long and short half axis, mm, and how far the long one is turned from the view's
** first axis of the file towards its second, degrees in (-90, 90] */
static int l_cg_ellipse(lua_State *L) {
  const sy_ledger *ledger = syl_check_ledger(L, 1);
  const syl_geometry *g = syl_check_geometry(L, 2);
  const sy_view view = (sy_view)luaL_checkoption(L, 3, NULL, views);
  sy_totals t;
  sy_ellipse e;
  sy_error err;
  sy_ledger_totals(ledger, &t);
  if (sy_cg_ellipse(&t.all, &t.cov, view, luaL_checknumber(L, 4), &e, &err) != SY_OK)
    return syl_raise(L, &err);
  shown_axis axis[2];
  shown_in(&g->axes, view, axis);
  const bool flipped = axis[0].scale * axis[1].scale < 0;
  const double turn = flipped && e.turn < SY_PI / 2 ? -e.turn : e.turn; /* upright stays upright */
  lua_pushnumber(L, e.half[0] / SY_MILLIMETRE);
  lua_pushnumber(L, e.half[1] / SY_MILLIMETRE);
  lua_pushnumber(L, turn / SY_DEGREE + 0.0);
  return 3;
}

/* core.file_axis(geometry, 0 | 1 | 2) -> "x", "y" or "z": the file's letter for fore-aft, across or upright; +1 or -1 as it counts along or
** against forward, left and up; its coordinate of the vehicle's origin, mm */
static int l_file_axis(lua_State *L) {
  static const char *const letters[3] = {"x", "y", "z"};
  const sy_axes *axes = &syl_check_geometry(L, 1)->axes;
  const lua_Integer axis = luaL_checkinteger(L, 2);
  luaL_argcheck(L, axis >= 0 && axis <= 2, 2, "an axis is 0, 1 or 2");
  for (int letter = 0; letter < 3; letter++) {
    const syl_along a = syl_file_axis(axes, letter);
    if (a.axis != axis) continue;
    lua_pushstring(L, letters[letter]);
    lua_pushinteger(L, a.sign > 0 ? 1 : -1);
    lua_pushnumber(L, a.origin / SY_MILLIMETRE);
    return 3;
  }
  return 0;
}

void syl_open_outline(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"outline", l_outline}, {"cg_ellipse", l_cg_ellipse}, {"file_axis", l_file_axis}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
  luaL_newmetatable(L, SYL_OUTLINE);
  lua_pushcfunction(L, l_outline_gc);
  lua_setfield(L, -2, "__gc");
  lua_pop(L, 1);
}
