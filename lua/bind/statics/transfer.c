/* transfer.c - load transfer as Lua tables. */
#include "bind/statics/transfer.h"

#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/module.h"
#include "bind/numbers.h"
#include "bind/statics/sensitivities.h"

/* Moves a cross share by `by` and nothing else. */
static void shift_cross(const syl_geometry *g, double by, double *loads) {
  double way[4], total = 0.0;
  sy_loadmap_warp(&g->map, way);
  for (int i = 0; i < 4; i++) total += loads[i];
  for (int i = 0; i < 4; i++) loads[i] += by * total * way[i];
}

static sy_status corner_drawn(const sy_totals *drawn, const syl_geometry *g, const sy_vehicle *vehicle,
                              sy_corner_model *out, sy_error *err) {
  const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};
  const sy_sums *all = &drawn->all;
  sy_corner_load load;
  double loads[SY_MAX_WHEELS];
  const double q[4] = {all->m, all->first.x, all->first.y, all->first.z};
  sy_loadmap_apply(&g->map, q, loads);
  if (g->map.split == SY_SPLIT_CROSS_SHARE && vehicle->cross_share != g->vehicle.cross_share)
    shift_cross(g, vehicle->cross_share - g->vehicle.cross_share, loads);
  const sy_status status = sy_corner_load_of(drawn, vehicle, level, &load, err);
  return status == SY_OK ? sy_corner_make(vehicle, &load, loads, out, err) : status;
}

/* Steps a field of the vehicle by `part` of its standard uncertainty, as entry number `entry` of the list at `index` says it: {axle, field,
** standard uncertainty} in the file's units. Rates stay above 0. */
static void shift_by_entry(lua_State *L, int index, lua_Integer entry, double part, sy_vehicle *v) {
  lua_geti(L, index, entry);
  for (int k = 1; k <= 3; k++) lua_geti(L, -k, k);
  const lua_Integer number = luaL_checkinteger(L, -3);
  luaL_argcheck(L, number >= 1 && number <= v->axle_count, index, "no such axle");
  const int axle = (int)number - 1;
  const char *const name = luaL_checkstring(L, -2);
  const double by = part * luaL_checknumber(L, -1);
  sy_axle *a = &v->axle[axle];
  sy_wheel *left = &v->wheel[sy_vehicle_first_wheel(v, axle)], *right = left + (a->wheels - 1);
  const struct {
    const char *name;
    double *field[2], unit; /* of both wheels: one statement of the file, one error */
    bool above_zero;
  } fields[] = {{"spring_rate", {&left->spring_rate, &right->spring_rate}, 1e3, true},
                {"tyre_rate", {&left->tyre_rate, &right->tyre_rate}, 1e3, true},
                {"bar_rate", {&a->bar_rate, NULL}, 1e3, true},
                {"motion_ratio", {&left->motion_ratio, &right->motion_ratio}, 1.0, true},
                {"torsion", {&v->torsion, NULL}, SY_NEWTON_METRE_PER_DEGREE, true},
                {"roll_centre", {&a->roll_centre, NULL}, 1e-3, false},
                {"cross_share", {&v->cross_share, NULL}, 0.01, false}};
  lua_pop(L, 4); /* the entry holds the name on */
  for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
    if (strcmp(fields[i].name, name) != 0) continue;
    for (int k = 0; k < 2; k++) {
      double *const field = fields[i].field[k];
      if (field == NULL || (k == 1 && field == fields[i].field[0])) continue;
      const double is = *field + by * fields[i].unit;
      *field = fields[i].above_zero ? fmax(is, 0.01 * *field) : is;
    }
    return;
  }
  luaL_argerror(L, index, "no such field");
}

sy_status syl_push_car(const syl_push *p, const sy_totals *now, const sy_totals *drawn, bool downforce,
                       syl_pushed *out, sy_error *err) {
  sy_totals level = *drawn;
  syl_add_drawn(p->tanks, &level);
  const sy_status status = corner_drawn(&level, p->g, &p->vehicle, &out->corner, err);
  out->car =
      (sy_settle_car){&out->corner, now, downforce ? p->downforce : NULL, p->bars, syl_tanks_of(p->tanks)};
  return status;
}

sy_status syl_push_frozen(const syl_pushed *p, const sy_sums *moved, sy_vec3 gravity, sy_corner_result *out) {
  sy_totals now = *p->car.now;
  sy_settle_add(&now, moved);
  sy_settle_car car = p->car;
  car.now = &now;
  car.tanks.count = 0;
  sy_settled_transfer s;
  const sy_status status = sy_settle_transfer(&car, gravity, &s, NULL);
  if (status == SY_OK) *out = s.stand;
  return status;
}

static sy_vec3 gravity_of(const syl_push *p) {
  const double g = SY_STANDARD_GRAVITY;
  return (sy_vec3){p->forward * g, p->left * g, -g};
}

/* ---- the answers that have a doubt ---------------------------------------------------------------------------------------- */

enum { ROLL, PITCH, TWIST, FRONT_TRANSFER_SHARE, PITCH_GAIN, LIMIT_LOAD, PLAIN_COUNT };
static const char *const plain_name[PLAIN_COUNT] = {
    "roll", "pitch", "twist", "front_transfer_share", "pitch_gain", "limit_load"};

/* How the liquid lies in each of the three, found once with the ledgers as they are. */
typedef struct lying {
  sy_sums rest, loaded, limit;
} lying;

typedef struct state {
  sy_transfer_model model;
  sy_corner_result rest, loaded; /* standing still without air, and under the force */
  lying at;
} state;

static const sy_vec3 level = {0, 0, -SY_STANDARD_GRAVITY};

static sy_status solve(const syl_push *p, const sy_totals *now, const sy_totals *drawn, state *out,
                       sy_error *err) {
  syl_pushed still, moving;
  sy_settled_transfer s;
  sy_status status = syl_push_car(p, now, drawn, false, &still, err);
  if (status == SY_OK) status = sy_settle_transfer(&still.car, level, &s, err);
  if (status != SY_OK) return status;
  out->rest = s.stand;
  out->at.rest = s.moved;
  status = syl_push_car(p, now, drawn, true, &moving, err);
  if (status == SY_OK) status = sy_settle_transfer(&moving.car, gravity_of(p), &s, err);
  if (status != SY_OK) return status;
  out->model = s.model;
  out->loaded = s.stand;
  out->at.loaded = s.moved;
  return SY_OK;
}

/* N from the left wheel of an axle to its right one since standing still; NAN for a single wheel. */
static double across(const syl_geometry *g, const state *s, int axle) {
  if (g->vehicle.axle[axle].wheels == 1) return (double)NAN;
  const int i = sy_vehicle_first_wheel(&g->vehicle, axle);
  return 0.5 * (s->loaded.load[i + 1] - s->loaded.load[i] - s->rest.load[i + 1] + s->rest.load[i]);
}

static double axle_gain(const syl_push *p, const state *s, int axle) {
  const syl_geometry *g = p->g;
  double sum = -p->downforce[axle];
  for (int i = 0; i < g->map.wheel_count; i++)
    if (g->map.wheel[i].axle == axle) sum += s->loaded.load[i] - s->rest.load[i];
  return sum;
}

static void plain_answers(const syl_push *p, const state *s, double *out) {
  const syl_geometry *g = p->g;
  double moment[2] = {0, 0};
  for (int a = 0; a < g->vehicle.axle_count; a++)
    if (g->vehicle.axle[a].wheels == 2) {
      moment[0] += a == 0 ? across(g, s, a) : 0.0;
      moment[1] += across(g, s, a);
    }
  const double *now = s->loaded.pose, *rest = s->rest.pose;
  out[ROLL] = 0.5 * (now[2] + now[3] - rest[2] - rest[3]) / SY_DEGREE;
  out[PITCH] = -(now[1] - rest[1]) / SY_DEGREE;
  out[TWIST] = (now[2] - now[3] - rest[2] + rest[3]) / SY_DEGREE;
  out[FRONT_TRANSFER_SHARE] = p->left != 0.0 ? 100.0 * moment[0] / moment[1] : (double)NAN;
  out[PITCH_GAIN] = axle_gain(p, s, 0) * SYL_PER_KG;
}

/* ---- first wheel off ------------------------------------------------------------------------------------------------------- */

static sy_transfer_path path_of(const syl_push *p) {
  const double g = SY_STANDARD_GRAVITY;
  if (p->left != 0.0) return (sy_transfer_path){{p->forward * g, 0, -g}, {0, p->left > 0 ? g : -g, 0}, false};
  return (sy_transfer_path){{0, 0, -g}, {p->forward > 0 ? g : -g, 0, 0}, false};
}

typedef struct near_lift {
  double s; /* below the first lift */
  int wheel;
} near_lift;

/* kg on the wheel that is about to lift; fills `lies` with where the liquid is then. */
static double limit_load(const syl_push *p, const sy_totals *now, const sy_totals *drawn, near_lift at,
                         sy_sums *lies) {
  const sy_transfer_path path = path_of(p);
  syl_pushed moving;
  sy_settled_transfer s;
  if (at.wheel < 0 || syl_push_car(p, now, drawn, true, &moving, NULL) != SY_OK ||
      sy_settle_transfer(&moving.car, sy_transfer_gravity(&path, at.s), &s, NULL) != SY_OK)
    return (double)NAN;
  *lies = s.moved;
  return s.stand.load[at.wheel] * SYL_PER_KG;
}

/* ---- doubts ------------------------------------------------------------------------------------------------------------------ */

static int answer_count(const syl_push *p) { return PLAIN_COUNT + 2 * p->g->map.wheel_count; }

static void all_answers(const syl_push *p, const state *s, double limit, double *out) {
  plain_answers(p, s, out);
  out[LIMIT_LOAD] = limit;
  for (int i = 0; i < p->g->map.wheel_count; i++) {
    out[PLAIN_COUNT + 2 * i] = s->loaded.load[i] * SYL_PER_KG;
    out[PLAIN_COUNT + 2 * i + 1] = (s->loaded.load[i] - s->rest.load[i]) * SYL_PER_KG;
  }
}

typedef struct question {
  const syl_push *push;
  near_lift at;
  lying lies;
} question;

static bool by_sums(void *user, const sy_totals *now, const sy_totals *drawn, double *out) {
  const question *q = user;
  const syl_push *p = q->push;
  const sy_transfer_path path = path_of(p);
  syl_pushed still, moving;
  state s;
  sy_corner_result limit;
  if (syl_push_car(p, now, drawn, false, &still, NULL) != SY_OK ||
      syl_push_car(p, now, drawn, true, &moving, NULL) != SY_OK ||
      syl_push_frozen(&still, &q->lies.rest, level, &s.rest) != SY_OK ||
      syl_push_frozen(&moving, &q->lies.loaded, gravity_of(p), &s.loaded) != SY_OK)
    return false;
  const bool lifts =
      q->at.wheel >= 0 &&
      syl_push_frozen(&moving, &q->lies.limit, sy_transfer_gravity(&path, q->at.s), &limit) == SY_OK;
  all_answers(p, &s, lifts ? limit.load[q->at.wheel] * SYL_PER_KG : (double)NAN, out);
  return true;
}

/* By another force or rate; there the liquid runs along. */
static bool by_push(const syl_push *p, void *user, double *out) {
  const question *q = user;
  sy_totals now, drawn;
  sy_sums unused;
  state s;
  sy_ledger_sums(p->now, &now);
  sy_ledger_sums(p->drawn, &drawn);
  if (solve(p, &now, &drawn, &s, NULL) != SY_OK) return false;
  all_answers(p, &s, limit_load(p, &now, &drawn, q->at, &unused), out);
  return true;
}

/* The part of a standard uncertainty by which answers are differenced. Limits are looked at a thousandth before a wheel lifts (set_limit):
** a whole one would lift it on one side, and half of the slope be lost. */
static const double part_of_doubt = 1e-3;

static void add_variance(const syl_push side[2], syl_push_answers *value, void *user, int count,
                         double *variance) {
  double v[2][SYL_MOST_SLOPES];
  const bool good = value(&side[0], user, v[0]) && value(&side[1], user, v[1]);
  for (int k = 0; k < count; k++) {
    const double half = good ? 0.5 * (v[0][k] - v[1][k]) / part_of_doubt : (double)NAN;
    variance[k] += half * half;
  }
}

void syl_add_rate_variance(lua_State *L, int index, const syl_push *p, syl_push_answers *value, void *user,
                           int count, double *variance) {
  if (lua_isnoneornil(L, index)) return;
  const lua_Integer n = syl_length(L, index);
  for (lua_Integer i = 1; i <= n; i++) {
    syl_push side[2] = {*p, *p};
    for (int k = 0; k < 2; k++)
      shift_by_entry(L, index, i, k == 0 ? part_of_doubt : -part_of_doubt, &side[k].vehicle);
    add_variance(side, value, user, count, variance);
  }
}

/* Doubts of the force itself at `index`: {forward, left, downforce of each axle (kg)}, standard uncertainties. */
static void add_force_variance(lua_State *L, int index, const syl_push *p, question *q, double *variance) {
  double sd[2 + SY_MAX_AXLES];
  syl_read_list(L, index, 2 + p->g->vehicle.axle_count, 1.0, sd);
  for (int k = 0; k < 2 + p->g->vehicle.axle_count; k++) {
    if (!(sd[k] > 0)) continue;
    syl_push side[2] = {*p, *p};
    for (int m = 0; m < 2; m++) {
      const double by = part_of_doubt * (m == 0 ? sd[k] : -sd[k]);
      if (k == 0) side[m].forward += by;
      if (k == 1) side[m].left += by;
      if (k > 1) side[m].downforce[k - 2] += by * SY_STANDARD_GRAVITY;
    }
    add_variance(side, by_push, q, answer_count(p), variance);
  }
}

/* ---- in and out ---------------------------------------------------------------------------------------------------------------- */

/* (ledger, drawn, geometry, forward, left, downforce?, bars, tanks?): forces per weight, kg by axle */
static syl_push read_push(lua_State *L) {
  syl_push p = {
      .now = syl_check_ledger(L, 1), .drawn = syl_check_ledger(L, 2), .g = syl_check_geometry(L, 3)};
  p.vehicle = p.g->vehicle;
  p.forward = luaL_checknumber(L, 4);
  p.left = luaL_checknumber(L, 5);
  syl_read_list(L, 6, p.vehicle.axle_count, SY_STANDARD_GRAVITY, p.downforce);
  p.bars = lua_toboolean(L, 7);
  p.tanks = syl_opt_tanks(L, 8);
  return p;
}

/* What differences leave of a doubt that is none: kg, deg, % or g. */
static const double nothing = 1e-6;

static void set_doubt(lua_State *L, const char *key, double variance) {
  const double doubt = sqrt(variance);
  syl_set_number(L, key, doubt < nothing ? 0.0 : doubt); /* NAN stays NAN */
}

/* Onto the outer wheel. */
static void set_paths(lua_State *L, const syl_push *p, const state *s) {
  const double side = p->left < 0 ? 1.0 : -1.0, push = fabs(p->left);
  lua_newtable(L);
  for (int a = 0; a < p->vehicle.axle_count; a++) {
    if (p->vehicle.axle[a].wheels == 1) continue;
    const double track = sy_vehicle_track(&p->vehicle, a);
    const double total = side * across(p->g, s, a) * SYL_PER_KG,
                 geometric = push * s->model.geometric[a] / track,
                 unsprung = push * s->model.unsprung[a] / track;
    syl_push_axle_key(L, p->g, 3, a);
    lua_createtable(L, 0, 4);
    syl_set_number(L, "total", total);
    syl_set_number(L, "geometric", geometric);
    syl_set_number(L, "unsprung", unsprung);
    syl_set_number(L, "elastic", total - geometric - unsprung);
    lua_settable(L, -3);
  }
  lua_setfield(L, -2, "paths");
}

static near_lift set_limit(lua_State *L, const syl_push *p, const sy_totals *now, const sy_totals *drawn) {
  const sy_transfer_path path = path_of(p);
  sy_transfer_limit limit;
  near_lift at = {0, -1};
  syl_pushed moving;
  sy_error err;
  sy_status status = syl_push_car(p, now, drawn, true, &moving, &err);
  if (status == SY_OK) status = sy_settle_limits(&moving.car, &path, &limit, &err);
  if (status == SY_GEOMETRY) return at; /* it does not stand without the force that grows */
  if (status != SY_OK) {
    syl_raise(L, &err);
    return at; /* never: it raises */
  }
  lua_newtable(L);
  if (limit.lifts) {
    at = (near_lift){limit.lift * (1.0 - 1e-3), limit.wheel}; /* on the near side of the kink */
    syl_set_number(L, "g", limit.lift);
    lua_pushstring(L, p->g->wheel_key[limit.wheel]);
    lua_setfield(L, -2, "wheel");
  }
  if (limit.tips) syl_set_number(L, "tips", limit.tip);
  lua_setfield(L, -2, "first_lift");
  return at;
}

/* core.transfer(ledger, drawn, geometry, forward, left, downforce?, bars, tanks?) -> loads, gain (kg by wheel), paths, roll, pitch, twist (deg from
** standing still), front_transfer_share (%), pitch_gain (kg), first_lift {g, wheel, tips}, travel, lifted, stops, liquids */
static int l_transfer(lua_State *L) {
  const syl_push p = read_push(L);
  sy_totals now, drawn;
  state s;
  sy_error err;
  double plain[PLAIN_COUNT], gain[SY_MAX_WHEELS];
  sy_ledger_sums(p.now, &now);
  sy_ledger_sums(p.drawn, &drawn);
  if (solve(&p, &now, &drawn, &s, &err) != SY_OK) return syl_raise(L, &err);
  plain_answers(&p, &s, plain);
  for (int i = 0; i < p.g->map.wheel_count; i++) gain[i] = s.loaded.load[i] - s.rest.load[i];
  syl_push_stand(L, p.g, &s.loaded);
  for (int k = 0; k < LIMIT_LOAD; k++) syl_set_number(L, plain_name[k], plain[k]);
  syl_set_by_wheel(L, "gain", p.g, gain, SYL_PER_KG);
  syl_set_by_wheel(L, "standing", p.g, s.rest.load, SYL_PER_KG);
  if (p.left != 0.0) set_paths(L, &p, &s);
  set_limit(L, &p, &now, &drawn);
  syl_set_liquids(L, p.tanks, &p.vehicle, gravity_of(&p), s.loaded.pose);
  return 1;
}

/* Slope of the wheel's load by the force near the lift. */
static double limit_slope(const syl_push *p, const sy_totals *now, const sy_totals *drawn, near_lift at) {
  sy_sums unused;
  const double load = limit_load(p, now, drawn, at, &unused), s = at.s;
  at.s *= 1.0 - 1e-3;
  return (load - limit_load(p, now, drawn, at, &unused)) / (s - at.s);
}

/* core.transfer_doubts(ledger, drawn, geometry, forward, left, downforce?, bars, tanks?, force_sd?, rates?) -> standard uncertainties: by wheel key, gain
** by wheel, roll, pitch, twist, front_transfer_share, pitch_gain, first_lift */
static int l_transfer_doubts(lua_State *L) {
  const syl_push p = read_push(L);
  lua_settop(L, 10);
  sy_totals now, drawn;
  state s;
  sy_error err;
  double variance[SYL_MOST_SLOPES];
  question q = {.push = &p, .at = {0, -1}};
  sy_ledger_sums(p.now, &now);
  sy_ledger_sums(p.drawn, &drawn);
  if (solve(&p, &now, &drawn, &s, &err) != SY_OK) return syl_raise(L, &err);
  lua_newtable(L); /* the limit's own table is left behind */
  q.at = set_limit(L, &p, &now, &drawn);
  lua_pop(L, 1);
  q.lies = s.at;
  limit_load(&p, &now, &drawn, q.at, &q.lies.limit);
  syl_sums_variance(p.now, p.drawn, by_sums, &q, answer_count(&p), variance);
  add_force_variance(L, 9, &p, &q, variance);
  syl_add_rate_variance(L, 10, &p, by_push, &q, answer_count(&p), variance);
  lua_newtable(L);
  for (int k = 0; k < LIMIT_LOAD; k++) set_doubt(L, plain_name[k], variance[k]);
  if (q.at.wheel >= 0 && q.at.s > 0)
    syl_set_number(L, "first_lift", sqrt(variance[LIMIT_LOAD]) / fabs(limit_slope(&p, &now, &drawn, q.at)));
  lua_newtable(L);
  for (int i = 0; i < p.g->map.wheel_count; i++)
    set_doubt(L, p.g->wheel_key[i], variance[PLAIN_COUNT + 2 * i + 1]);
  lua_setfield(L, -2, "gain");
  for (int i = 0; i < p.g->map.wheel_count; i++)
    set_doubt(L, p.g->wheel_key[i], variance[PLAIN_COUNT + 2 * i]);
  return 1;
}

static const luaL_Reg functions[] = {
    {"transfer", l_transfer}, {"transfer_doubts", l_transfer_doubts}, {NULL, NULL}};

void syl_open_transfer(lua_State *L) { luaL_setfuncs(L, functions, 0); }
