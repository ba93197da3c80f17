/* stability.c - tipping, first wheel lift on a table, grades, traction and brake split as Lua tables. */
#include <lauxlib.h>
#include <math.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/module.h"
#include "bind/numbers.h"
#include "bind/statics/sensitivities.h"
#include "bind/statics/transfer.h"
#include "statics/stability.h"

/* What differences leave of a doubt that is none: deg, g, %. */
static void set_doubt(lua_State *L, const char *key, double doubt) {
  syl_set_number(L, key, doubt < 1e-6 ? 0.0 : doubt);
}

/* ---- rigid ----------------------------------------------------------------------------------------------------------------- */

enum {
  SSF,
  TIP_LEFT,
  TIP_RIGHT,
  LIFT_LEFT,
  LIFT_RIGHT,
  LEFT_TURN,
  RIGHT_TURN,
  GRADE_UP,
  GRADE_DOWN,
  DRIVE_FRONT,
  DRIVE_REAR,
  DRIVE_ALL,
  BRAKE_IDEAL,
  CRITICAL,
  FRONT_LOCKS,
  REAR_LOCKS,
  RIGID_COUNT,
  RUNS = GRADE_DOWN + 1 /* from TIP_LEFT up to here liquid runs to the low or outer side */
};
/* deg, g, brake_ideal in %; core.stability gives them under these names */
static const char *const rigid_name[RIGID_COUNT] = {
    "ssf",         "tip_left", "tip_right",   "lift_left",   "lift_right", "left_turn",
    "right_turn",  "grade_up", "grade_down",  "drive_front", "drive_rear", "drive_all",
    "brake_ideal", "critical", "front_locks", "rear_locks"};

typedef struct rigid {
  const syl_geometry *g;
  double mu, forward, share; /* share NAN: no split given */
  double downforce[SY_MAX_AXLES],
      sink;               /* N; m that the cg sinks under it: where springs tell, taken as exact */
  const syl_tanks *tanks; /* or NULL */
  sy_sums lies[RUNS];     /* where the liquid is by then, against the ledger */
} rigid;

static double degrees(double tangent) { return atan(tangent) / SY_DEGREE; }

static void between_axles(const rigid *q, double mass, sy_vec3 cg, double *out) {
  const sy_vehicle *v = &q->g->vehicle;
  for (int k = DRIVE_FRONT; k < RIGID_COUNT; k++) out[k] = (double)NAN;
  if (v->axle_count != 2) return;
  cg.z -= q->sink;
  const sy_between at = sy_stability_between(v, mass, cg, q->downforce);
  const sy_traction t = sy_stability_traction(at, q->mu);
  out[DRIVE_FRONT] = t.front, out[DRIVE_REAR] = t.rear, out[DRIVE_ALL] = t.all;
  out[BRAKE_IDEAL] = 100.0 * sy_stability_ideal_brake(at, q->mu);
  if (isnan(q->share)) return;
  const sy_braking b = sy_stability_braking(at, q->mu, q->share);
  out[CRITICAL] = b.critical;
  out[FRONT_LOCKS] = isfinite(b.front_locks) ? b.front_locks : (double)NAN;
  out[REAR_LOCKS] = isfinite(b.rear_locks) ? b.rear_locks : (double)NAN;
}

static int side_of(int answer) { /* of the low or outer side: +1 left */
  return answer == TIP_LEFT || answer == LIFT_LEFT || answer == RIGHT_TURN ? 1 : -1;
}

/* Loads on level ground, with what the liquid has run sideways on equal tyres. */
static void level_loads(const rigid *q, const sy_totals *t, const sy_sums *run, double *level) {
  const double moments[4] = {t->all.m, t->all.first.x + run->first.x, t->all.first.y,
                             t->all.first.z + run->first.z};
  double arm[SY_MAX_WHEELS];
  sy_loadmap_apply(&q->g->map, moments, level);
  const double squares = sy_stability_roll_arms(&q->g->vehicle, arm);
  for (int i = 0; i < q->g->map.wheel_count; i++)
    level[i] += SY_STANDARD_GRAVITY * run->first.y * arm[i] / squares;
}

/* The tangent or force of an answer with the liquid run so; the wheel of a lift, the edge of a turn. */
static double limit_of(const rigid *q, const sy_totals *t, int answer, const sy_sums *run, int *wheel,
                       sy_reach *edge) {
  const sy_vehicle *v = &q->g->vehicle;
  const sy_vec3 cg = sy_vec3_scale(1.0 / t->all.m, sy_vec3_add(t->all.first, run->first));
  const sy_vec3 low = {cg.x, cg.y, cg.z - q->sink}; /* tables and grades stand still: no air there */
  double level[SY_MAX_WHEELS];
  switch (answer) {
  case LIFT_LEFT:
  case LIFT_RIGHT:
    level_loads(q, t, run, level);
    return sy_stability_first_lift(v, level, cg.z, side_of(answer), wheel);
  case LEFT_TURN:
  case RIGHT_TURN:
    return sy_stability_side(v, sy_stability_pressed(v, t->all.m, low, q->downforce), q->forward,
                             side_of(answer), edge);
  case GRADE_UP: return sy_stability_reach(v, cg.x, cg.y, -1, 0).distance / cg.z;
  case GRADE_DOWN: return sy_stability_reach(v, cg.x, cg.y, 1, 0).distance / cg.z;
  default: return sy_stability_side(v, cg, 0.0, side_of(answer), NULL);
  }
}

/* The pull on the liquid at that limit, in units of the weight's part into the ground. */
static sy_vec3 pull_of(const rigid *q, int answer, double limit) {
  if (answer == GRADE_UP) return (sy_vec3){-limit, 0, -1};
  if (answer == GRADE_DOWN) return (sy_vec3){limit, 0, -1};
  return (sy_vec3){answer == LEFT_TURN || answer == RIGHT_TURN ? q->forward : 0.0, side_of(answer) * limit,
                   -1};
}

/* Liquid for the limit, the limit for the liquid: each round leaves some hundredth of the error before. */
static sy_status run_liquid(rigid *q, const sy_totals *t, sy_error *err) {
  const sy_settle_tanks tanks = syl_tanks_of(q->tanks);
  const double same = 1e-12; /* rounding */
  sy_status status = SY_OK;
  for (int k = TIP_LEFT; k < RUNS && tanks.count > 0 && status == SY_OK; k++) {
    double limit = 0.0, before = (double)INFINITY;
    for (int n = 0; n < 100 && status == SY_OK && fabs(limit - before) > same * fabs(limit); n++) {
      status = sy_settle_moved(&tanks, &q->g->vehicle, pull_of(q, k, limit), NULL, &q->lies[k], err);
      before = limit;
      limit = limit_of(q, t, k, &q->lies[k], NULL, NULL);
      if (!isfinite(limit)) break; /* it never lifts, or is over already */
    }
  }
  return status;
}

static void rigid_answers(const rigid *q, const sy_totals *t, double *out) {
  const sy_vec3 cg = sy_vec3_scale(1.0 / t->all.m, t->all.first);
  out[SSF] = sy_stability_ssf(&q->g->vehicle, cg.z);
  for (int k = TIP_LEFT; k < RUNS; k++) {
    const double limit = limit_of(q, t, k, &q->lies[k], NULL, NULL);
    out[k] = k == LEFT_TURN || k == RIGHT_TURN ? limit : degrees(limit);
  }
  between_axles(q, t->all.m, cg, out);
}

static bool rigid_by_sums(void *user, const sy_totals *now, const sy_totals *drawn, double *out) {
  (void)drawn;
  rigid_answers(user, now, out);
  return true;
}

/* {left = key, right = key}: the wheel that lifts first on a table with that side low */
static void set_lift_wheels(lua_State *L, const rigid *q, const sy_totals *t) {
  lua_createtable(L, 0, 2);
  for (int k = 0; k < 2; k++) {
    int wheel = -1;
    limit_of(q, t, LIFT_LEFT + k, &q->lies[LIFT_LEFT + k], &wheel, NULL);
    if (wheel < 0) continue;
    lua_pushstring(L, q->g->wheel_key[wheel]);
    lua_setfield(L, -2, k == 0 ? "left" : "right");
  }
  lua_setfield(L, -2, "lift_wheel");
}

/* {left_turn = {key, key}, ..}: the two wheels of the line it tips over */
static void set_edges(lua_State *L, const rigid *q, const sy_totals *t) {
  lua_createtable(L, 0, 2);
  for (int k = 0; k < 2; k++) {
    sy_reach edge;
    limit_of(q, t, LEFT_TURN + k, &q->lies[LEFT_TURN + k], NULL, &edge);
    lua_createtable(L, 2, 0);
    for (int i = 0; i < 2; i++) {
      const int a = edge.wheel[0], b = edge.wheel[1]; /* in the wheels' order */
      lua_pushstring(L, q->g->wheel_key[(i == 0) == (a < b) ? a : b]);
      lua_seti(L, -2, i + 1);
    }
    lua_setfield(L, -2, k == 0 ? "left_turn" : "right_turn");
  }
  lua_setfield(L, -2, "edges");
}

/* What presses the tyres must press, and not all of it lie beyond the wheels. */
static void check_air(lua_State *L, const rigid *q, double mass) {
  double force = mass * SY_STANDARD_GRAVITY;
  for (int a = 0; a < q->g->vehicle.axle_count; a++) force += q->downforce[a];
  if (force > 0.0) return;
  sy_error err;
  sy_fail(&err, SY_GEOMETRY, "vehicle", "downforce",
          "is so much lift that wheels carry nothing more: it would tip");
  syl_raise(L, &err);
}

/* core.stability(ledger, geometry, mu, forward, brake_front_share?, doubts?, tanks?, downforce?, sink?) -> answers by name (see rigid_name),
** lift_wheel, edges, and with `doubts` their standard uncertainties as a second table. Forward: braking per weight; share 0 to 1; downforce
** kg by axle, with the mm that the cg sinks under it. */
static int l_stability(lua_State *L) {
  const sy_ledger *now = syl_check_ledger(L, 1);
  rigid q = {.g = syl_check_geometry(L, 2),
             .mu = luaL_checknumber(L, 3),
             .forward = luaL_checknumber(L, 4),
             .share = luaL_optnumber(L, 5, (double)NAN),
             .tanks = syl_opt_tanks(L, 7)};
  const bool doubts = lua_toboolean(L, 6);
  syl_read_list(L, 8, q.g->vehicle.axle_count, SY_STANDARD_GRAVITY, q.downforce);
  q.sink = luaL_optnumber(L, 9, 0.0) * 1e-3;
  sy_totals t;
  sy_ledger_sums(now, &t);
  sy_error err;
  if (!(t.all.m > 0))
    return syl_raise(L, (sy_fail(&err, SY_MISSING, "vehicle", "mass", "nothing aboard has a mass"), &err));
  check_air(L, &q, t.all.m);
  if (!(t.all.first.z > q.sink * t.all.m)) {
    sy_fail(&err, SY_GEOMETRY, "vehicle", "cg", "is %g m above the ground, must be above it",
            t.all.first.z / t.all.m);
    return syl_raise(L, &err);
  }
  const sy_vec3 cg = sy_vec3_scale(1.0 / t.all.m, t.all.first);
  if (sy_stability_reach(&q.g->vehicle, cg.x, cg.y, 1, 0).distance < 0) {
    sy_fail(&err, SY_GEOMETRY, "vehicle", "cg", "lies outside the wheels: it tips on level ground");
    return syl_raise(L, &err);
  }
  if (run_liquid(&q, &t, &err) != SY_OK) return syl_raise(L, &err);
  double value[RIGID_COUNT], variance[RIGID_COUNT];
  rigid_answers(&q, &t, value);
  lua_newtable(L);
  for (int k = 0; k < RIGID_COUNT; k++) syl_set_number(L, rigid_name[k], value[k]);
  set_lift_wheels(L, &q, &t);
  set_edges(L, &q, &t);
  if (!doubts) return 1;
  syl_sums_variance(now, now, rigid_by_sums, &q, RIGID_COUNT, variance);
  lua_newtable(L);
  for (int k = 0; k < RIGID_COUNT; k++) set_doubt(L, rigid_name[k], sqrt(variance[k]));
  return 2;
}

/* ---- on springs, on a table ------------------------------------------------------------------------------------------------- */

/* Where a wheel's load comes to nothing: a tangent of the table's angle a little below that, and which wheel. */
typedef struct ending {
  double s;
  int wheel; /* -1: none */
} ending;

enum { LIFTS_LEFT, LIFTS_RIGHT, TIPS_LEFT, TIPS_RIGHT, ENDINGS };

static sy_transfer_path table_path(int side) {
  const double g = SY_STANDARD_GRAVITY;
  return (sy_transfer_path){{0, 0, -g}, {0, side * g, 0}, true};
}

static sy_transfer_path path_of(int k) { return table_path(k == LIFTS_LEFT || k == TIPS_LEFT ? 1 : -1); }

/* Load of the wheel there; fills `lies` with where the liquid is then. */
static double load_at(const syl_pushed *p, int k, ending at, sy_sums *lies) {
  const sy_transfer_path path = path_of(k);
  sy_settled_transfer s;
  if (at.wheel < 0 || sy_settle_transfer(&p->car, sy_transfer_gravity(&path, at.s), &s, NULL) != SY_OK)
    return (double)NAN;
  *lies = s.moved;
  return s.stand.load[at.wheel];
}

/* The wheel on the high side that carries least, but something, shortly before it tips. */
static ending before_tip(const syl_pushed *p, double tip, int side) {
  const sy_transfer_path path = table_path(side);
  ending at = {tip * (1.0 - 1e-3), -1};
  sy_settled_transfer s;
  if (sy_settle_transfer(&p->car, sy_transfer_gravity(&path, at.s), &s, NULL) != SY_OK) return at;
  const sy_corner_result *r = &s.stand;
  for (int i = 0; i < p->corner.wheel_count; i++)
    if (r->fits[i].touches && (at.wheel < 0 || r->load[i] < r->load[at.wheel])) at.wheel = i;
  return at;
}

typedef struct tilt {
  const syl_push *push;
  ending at[ENDINGS];
  sy_sums lies[ENDINGS];
} tilt;

static bool tilt_by_sums(void *user, const sy_totals *now, const sy_totals *drawn, double *out) {
  const tilt *q = user;
  syl_pushed p;
  if (syl_push_car(q->push, now, drawn, false, &p, NULL) != SY_OK) return false;
  for (int k = 0; k < ENDINGS; k++) {
    const sy_transfer_path path = path_of(k);
    sy_corner_result r;
    const bool stands = q->at[k].wheel >= 0 &&
                        syl_push_frozen(&p, &q->lies[k], sy_transfer_gravity(&path, q->at[k].s), &r) == SY_OK;
    out[k] = stands ? r.load[q->at[k].wheel] : (double)NAN;
  }
  return true;
}

static bool tilt_by_push(const syl_push *push, void *user, double *out) {
  const tilt *q = user;
  sy_totals now, drawn;
  sy_sums unused;
  syl_pushed p;
  sy_ledger_sums(push->now, &now);
  sy_ledger_sums(push->drawn, &drawn);
  if (syl_push_car(push, &now, &drawn, false, &p, NULL) != SY_OK) return false;
  for (int k = 0; k < ENDINGS; k++) out[k] = load_at(&p, k, q->at[k], &unused);
  return true;
}

static const char *const ending_name[ENDINGS] = {"lift_left", "lift_right", "tip_left", "tip_right"};

/* A load's doubt as one of the angle at which it comes to nothing. */
static void set_angle_doubts(lua_State *L, const syl_pushed *p, const tilt *q, const double *variance) {
  sy_sums unused;
  lua_newtable(L);
  for (int k = 0; k < ENDINGS; k++) {
    ending lower = q->at[k];
    lower.s *= 1.0 - 1e-3;
    const double slope =
        (load_at(p, k, q->at[k], &unused) - load_at(p, k, lower, &unused)) / (q->at[k].s - lower.s);
    const double tangent = sqrt(variance[k]) / fabs(slope);
    set_doubt(L, ending_name[k], tangent / (1.0 + q->at[k].s * q->at[k].s) / SY_DEGREE);
  }
}

/* core.stability_springs(ledger, drawn, geometry, bars, tanks?, rates?) -> angles (deg) lift_left, lift_right, tip_left, tip_right of a table with
** that side low, lift_wheel {left, right}; their standard uncertainties */
static int l_stability_springs(lua_State *L) {
  syl_push p = {
      .now = syl_check_ledger(L, 1), .drawn = syl_check_ledger(L, 2), .g = syl_check_geometry(L, 3)};
  p.vehicle = p.g->vehicle;
  p.bars = lua_toboolean(L, 4);
  p.tanks = syl_opt_tanks(L, 5);
  sy_totals now, drawn;
  syl_pushed m;
  sy_error err;
  tilt q = {.push = &p};
  const char *wheel[2] = {NULL, NULL};
  sy_ledger_sums(p.now, &now);
  sy_ledger_sums(p.drawn, &drawn);
  if (syl_push_car(&p, &now, &drawn, false, &m, &err) != SY_OK) return syl_raise(L, &err);
  lua_settop(L, 6);
  lua_newtable(L);
  for (int k = 0; k < 2; k++) {
    sy_transfer_limit limit;
    const sy_transfer_path path = table_path(k == 0 ? 1 : -1);
    if (sy_settle_limits(&m.car, &path, &limit, &err) != SY_OK) return syl_raise(L, &err);
    if (limit.lifts) wheel[k] = p.g->wheel_key[limit.wheel];
    q.at[LIFTS_LEFT + k] =
        (ending){limit.lift * (1.0 - 1e-3), limit.lifts && limit.lift > 0 ? limit.wheel : -1};
    q.at[TIPS_LEFT + k] = limit.tips ? before_tip(&m, limit.tip, k == 0 ? 1 : -1) : (ending){0, -1};
    syl_set_number(L, ending_name[LIFTS_LEFT + k], limit.lifts ? degrees(limit.lift) : (double)NAN);
    syl_set_number(L, ending_name[TIPS_LEFT + k], limit.tips ? degrees(limit.tip) : (double)NAN);
  }
  lua_createtable(L, 0, 2);
  for (int k = 0; k < 2; k++) {
    if (wheel[k] == NULL) continue;
    lua_pushstring(L, wheel[k]);
    lua_setfield(L, -2, k == 0 ? "left" : "right");
  }
  lua_setfield(L, -2, "lift_wheel");
  for (int k = 0; k < ENDINGS; k++) load_at(&m, k, q.at[k], &q.lies[k]);
  double variance[ENDINGS];
  syl_sums_variance(p.now, p.drawn, tilt_by_sums, &q, ENDINGS, variance);
  syl_add_rate_variance(L, 6, &p, tilt_by_push, &q, ENDINGS, variance);
  set_angle_doubts(L, &m, &q, variance);
  return 2;
}

static const luaL_Reg functions[] = {
    {"stability", l_stability}, {"stability_springs", l_stability_springs}, {NULL, NULL}};

void syl_open_stability(lua_State *L) { luaL_setfuncs(L, functions, 0); }
