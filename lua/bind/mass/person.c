/* person.c - somebody seated: core/mass/person.h. Lengths mm, angles degrees. */
#include <lauxlib.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "mass/person.h"

/* core.person{women = true?, mass, stature, torso, thigh, knee, ankle, shoulder, elbow, head} -> {cg = {forward, left, up of the middle
** of the hips}, inertia = {xx, yy, zz, xy, xz, yz} in the library's frame, lower_legs, heels = {forward, left, up}, heels_least?,
** heels_most?} */
static int l_person(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  sy_person p = sy_person_default();
  lua_getfield(L, 1, "women");
  p.segments = lua_toboolean(L, -1) ? SY_SEGMENTS_WOMEN : SY_SEGMENTS_MEN;
  lua_pop(L, 1);
  p.mass = syl_number_under(L, 1, "mass", 1, p.mass);
  p.stature = syl_number_under(L, 1, "stature", SY_MILLIMETRE, p.stature);
  p.torso = syl_number_under(L, 1, "torso", SY_DEGREE, p.torso);
  p.thigh = syl_number_under(L, 1, "thigh", SY_DEGREE, p.thigh);
  p.knee = syl_number_under(L, 1, "knee", SY_DEGREE, p.knee);
  p.ankle = syl_number_under(L, 1, "ankle", SY_DEGREE, p.ankle);
  p.shoulder = syl_number_under(L, 1, "shoulder", SY_DEGREE, p.shoulder);
  p.elbow = syl_number_under(L, 1, "elbow", SY_DEGREE, p.elbow);
  p.head = syl_number_under(L, 1, "head", SY_DEGREE, p.head);
  sy_seated r;
  sy_error err;
  if (sy_person_seated(&p, &r, &err) != SY_OK) return syl_raise(L, &err);
  const sy_sym3 j = r.body.inertia;
  lua_createtable(L, 0, 6);
  syl_set_list(L, "cg", (const double[]){r.body.cg.x, r.body.cg.y, r.body.cg.z}, 3, SY_MILLIMETRE);
  syl_set_list(L, "inertia", (const double[]){j.xx, j.yy, j.zz, j.xy, j.xz, j.yz}, 6, 1);
  syl_set_list(L, "heels", (const double[]){r.heel.x, r.heel.y, r.heel.z}, 3, SY_MILLIMETRE);
  syl_set_number(L, "lower_legs", r.lower_legs);
  syl_set_number(L, "heels_least", r.heels_least);
  syl_set_number(L, "heels_most", r.heels_most);
  return 1;
}

void syl_open_person(lua_State *L) {
  lua_pushcfunction(L, l_person);
  lua_setfield(L, -2, "person");
}
