/* corner_uncertainty.c - doubts of loads and heights on springs: first order, from masses, places, pads, perches and rates. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/module.h"
#include "bind/numbers.h"
#include "bind/statics/corner.h"
#include "bind/statics/sensitivities.h"
#include "mass/propagate.h"

enum { ANSWERS = SYL_PLAIN_ANSWERS + SY_MAX_WHEELS };

static double slope_of(const syl_geometry *g, const double *load, int answer, double slope[SY_MAX_WHEELS]) {
  if (answer < SYL_PLAIN_ANSWERS) return syl_corner_answer(g, load, answer, slope);
  for (int i = 0; i < g->map.wheel_count; i++) slope[i] = i == answer - SYL_PLAIN_ANSWERS ? SYL_PER_KG : 0.0;
  return load[answer - SYL_PLAIN_ANSWERS] * SYL_PER_KG;
}

/* How an answer rests on the weights now (`body`, see corner.h), on each wheel's load as drawn and on the drawn roll moment. */
typedef struct weights {
  double body[4], drawn[SY_MAX_WHEELS], torque;
} weights;

/* The same on the sums of the ledger as it is now (`to`) and, negative, on those of the drawn state (`from`). Unsprung parts whose
** doubts are not the same in both states are taken as sprung, and on a slope as if roll centres were on the ground. */
static void ledger_slopes(const syl_geometry *g, sy_vec3 lean, const weights *w, sy_sensitivity *from,
                          sy_sensitivity *to) {
  const sy_vehicle *v = &g->vehicle;
  const double gravity = SY_STANDARD_GRAVITY, down = -lean.z, length = sy_vehicle_wheelbase(v),
               last = v->axle[v->axle_count - 1].x;
  double drawn[3] = {0, 0, 0};
  for (int j = 0; j < g->map.wheel_count; j++)
    for (int k = 0; k < 3; k++) drawn[k] += w->drawn[j] * g->map.c[j][k];
  const double front = w->body[2], rear = w->body[3];
  const double across = rear - (front - rear) * last / length;
  *to = (sy_sensitivity){.carriers = SY_ALL_CARRIERS};
  to->m = down * w->body[0];
  to->first.x = -down * w->body[1];
  to->first.y = down * across;
  to->first.z = lean.y * across - lean.x * w->body[1];
  to->second.xy = 0.5 * down * (front - rear) / length; /* counts twice: sums.h */
  to->second.xz = 0.5 * lean.y * (front - rear) / length;
  *from = (sy_sensitivity){.carriers = SY_ALL_CARRIERS};
  from->m = -drawn[0];
  from->first.x = -drawn[1];
  from->first.y = -drawn[2] + w->torque * gravity * last / length;
  from->second.xy = -0.5 * w->torque * gravity / length;
}

static void ledger_variance(const syl_asked *q, const weights *w, int count, double *variance) {
  sy_sensitivity from[ANSWERS], to[ANSWERS];
  const sy_vec3 lean = q->corner.gravity;
  const bool level = lean.x == 0.0 && lean.y == 0.0;
  for (int k = 0; k < count; k++) {
    ledger_slopes(q->g, lean, &w[k], &from[k], &to[k]);
    if (q->now != q->drawn) continue;
    to[k].m -= from[k].m;
    to[k].first = sy_vec3_sub(to[k].first, from[k].first);
    to[k].second.xy =
        level ? 0.0 : to[k].second.xy - from[k].second.xy; /* one ledger, one weight: they cancel */
    to[k].flat = level;
  }
  const sy_term terms[2] = {{q->drawn, -1.0, from}, {q->now, 1.0, to}};
  if (q->now == q->drawn) /* one or two terms are not too many */
    (void)sy_propagate_variance(&(sy_term){q->now, 1.0, to}, 1, (size_t)count, NULL, variance, NULL);
  else
    (void)sy_propagate_variance(terms, 2, (size_t)count, NULL, variance, NULL);
}

/* An answer with slopes `a` by the loads. */
static weights by_loads(const syl_geometry *g, const sy_corner_slopes *s, const double *a) {
  weights w = {{0, 0, 0, 0}, {0}, 0};
  for (int i = 0; i < g->map.wheel_count; i++) {
    for (int k = 0; k < 4; k++) w.body[k] += a[i] * s->load_body[i][k];
    for (int j = 0; j < g->map.wheel_count; j++) w.drawn[j] += a[i] * s->load_drawn[i][j];
    w.torque += a[i] * s->load_torque[i];
  }
  return w;
}

/* An answer with slopes `a` by the pose. */
static weights by_pose(const syl_geometry *g, const sy_corner_slopes *s, const double a[4]) {
  weights w = {{0, 0, 0, 0}, {0}, 0};
  for (int p = 0; p < 4; p++) {
    for (int k = 0; k < 4; k++) w.body[k] += a[p] * s->pose_body[p][k];
    for (int j = 0; j < g->map.wheel_count; j++) w.drawn[j] += a[p] * s->pose_drawn[p][j];
    w.torque += a[p] * s->pose_torque[p];
  }
  return w;
}

static void add_setting_variance(const syl_geometry *g, const sy_corner_result *r, const sy_corner_slopes *s,
                                 const double *pad_sd, const double *turn_sd, int count, double *variance) {
  double a[SY_MAX_WHEELS];
  for (int k = 0; k < count; k++) {
    slope_of(g, r->load, k, a);
    for (int j = 0; j < g->map.wheel_count; j++) {
      const double pitch = g->vehicle.wheel[j].perch_pitch;
      double pad = 0.0, perch = 0.0;
      for (int i = 0; i < g->map.wheel_count; i++) {
        pad += a[i] * s->load_pad[i][j] * pad_sd[j];
        if (turn_sd[j] != 0.0) perch += a[i] * s->load_perch[i][j] * pitch * turn_sd[j];
      }
      variance[k] += pad * pad + perch * perch;
    }
  }
}

void syl_shift_by_entry(lua_State *L, int index, lua_Integer entry, double part, sy_vehicle *v) {
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

/* The k-th answer at an equilibrium. */
typedef double value_of(const syl_asked *q, const sy_corner_result *r, int k);

static void add_difference(const syl_asked *q, const sy_corner_result r[2], value_of *value, int count,
                           double *variance) {
  for (int k = 0; k < count; k++) {
    const double half = 0.5 * (value(q, &r[0], k) - value(q, &r[1], k));
    if (!isnan(half)) variance[k] += half * half;
  }
}

/* Stated doubts of rates and of the cross share as drawn: solve again one standard uncertainty above and below. */
static void add_rate_variance(lua_State *L, int index, const syl_asked *q, value_of *value, int count,
                              double *variance) {
  if (lua_isnoneornil(L, index)) return;
  const lua_Integer n = syl_length(L, index);
  sy_totals drawn;
  sy_ledger_sums(q->drawn, &drawn);
  syl_add_drawn(q->tanks, &drawn);
  for (lua_Integer i = 1; i <= n; i++) {
    sy_corner_result r[2];
    for (int side = 0; side < 2; side++) {
      sy_vehicle v = q->g->vehicle;
      syl_shift_by_entry(L, index, i, side == 0 ? 1.0 : -1.0, &v);
      syl_corner other = q->corner;
      sy_error err;
      if (syl_corner_drawn(&drawn, q->g, &v, &other.model, &err) != SY_OK) syl_raise(L, &err);
      syl_corner_solve(L, &other, &q->setting, &r[side]);
    }
    add_difference(q, r, value, count, variance);
  }
}

enum by_axle { PRELOAD, DOWNFORCE };

/* Stated doubts of bars' preloads or of downforce, by axle, each times `unit`: likewise. */
static void add_axle_variance(lua_State *L, int index, double unit, enum by_axle which, const syl_asked *q,
                              value_of *value, int count, double *variance) {
  double sd[SY_MAX_AXLES];
  syl_read_list(L, index, q->g->vehicle.axle_count, unit, sd);
  for (int a = 0; a < q->g->vehicle.axle_count; a++) {
    if (!(sd[a] > 0.0)) continue;
    sy_corner_result r[2];
    for (int side = 0; side < 2; side++) {
      sy_corner_setting setting = q->setting;
      double *const of = which == PRELOAD ? setting.preload : setting.downforce;
      of[a] += side == 0 ? sd[a] : -sd[a];
      syl_corner_solve(L, &q->corner, &setting, &r[side]);
    }
    add_difference(q, r, value, count, variance);
  }
}

/* Stated doubts of the ground's slope (deg), fields of the table at `index`: likewise. */
static void add_slope_variance(lua_State *L, int index, const syl_asked *q, value_of *value, int count,
                               double *variance) {
  double sd[2];
  const sy_settle_tanks tanks = syl_tanks_of(q->tanks);
  syl_read_lean(L, index, sd);
  for (int k = 0; k < 2; k++) {
    if (sd[k] == 0.0) continue;
    sy_corner_result r[2];
    for (int side = 0; side < 2; side++) {
      double lean[2] = {q->lean[0], q->lean[1]};
      lean[k] += side == 0 ? sd[k] : -sd[k];
      sy_settled s;
      sy_error err;
      if (sy_settle_corner(&q->corner.model, &q->corner.now, &tanks, syl_lean_gravity(lean), &q->setting, &s,
                           &err) != SY_OK)
        syl_raise(L, &err);
      r[side] = s.stand;
    }
    add_difference(q, r, value, count, variance);
  }
}

static double load_answer(const syl_asked *q, const sy_corner_result *r, int k) {
  double unused[SY_MAX_WHEELS];
  return slope_of(q->g, r->load, k, unused);
}

/* core.corner_doubts(ledger, drawn, geometry, pads?, perches?, preload?, bars?, tanks?, pad_sd?, turn_sd?, rates?, preload_sd?) ->
** standard uncertainties by the names that core.corners gives; pad_sd may have fields nose_up and left_up (deg). Liquid lies
** as it does, but for a slope's doubt. */
static int l_corner_doubts(lua_State *L) {
  lua_settop(L, 12);
  syl_asked q;
  syl_corner_ask(L, 0, &q);
  sy_corner_slopes s;
  syl_corner_slopes(L, &q, &s);
  double variance[ANSWERS], pad_sd[SY_MAX_WHEELS], turn_sd[SY_MAX_WHEELS];
  const int count = SYL_PLAIN_ANSWERS + q.g->map.wheel_count;
  weights w[ANSWERS] = {{{0, 0, 0, 0}, {0}, 0}};
  double a[SY_MAX_WHEELS];
  for (int k = 0; k < count; k++) {
    slope_of(q.g, q.result.load, k, a);
    w[k] = by_loads(q.g, &s, a);
  }
  ledger_variance(&q, w, count, variance);
  syl_read_list(L, 9, q.g->map.wheel_count, 1e-3, pad_sd);
  syl_read_list(L, 10, q.g->map.wheel_count, 1.0, turn_sd);
  add_setting_variance(q.g, &q.result, &s, pad_sd, turn_sd, count, variance);
  add_rate_variance(L, 11, &q, load_answer, count, variance);
  add_axle_variance(L, 12, 1e-3, PRELOAD, &q, load_answer, count, variance);
  add_slope_variance(L, 9, &q, load_answer, count, variance);
  lua_createtable(L, 0, count);
  for (int k = 0; k < count; k++) {
    const double value = slope_of(q.g, q.result.load, k, a), doubt = sqrt(fmax(variance[k], 0.0));
    if (isnan(value)) continue;
    /* what is set to a value is exact; differences of equal variances leave about 1e-8 of it */
    lua_pushnumber(L, doubt > 1e-7 * fabs(value) ? doubt : 0.0);
    lua_setfield(L, -2, k < SYL_PLAIN_ANSWERS ? syl_plain_name[k] : q.g->wheel_key[k - SYL_PLAIN_ANSWERS]);
  }
  return 1;
}

/* Heights and angles of the body, in mm and degrees, by its pose; after them the CG's height above the ground. */
enum { FRONT, REAR, RAKE, PITCH, ROLL, TWIST, HEIGHTS, CG_HEIGHT = HEIGHTS, HEIGHT_ANSWERS };
static const char *const height_name[HEIGHT_ANSWERS] = {"front", "rear",  "rake",  "pitch",
                                                        "roll",  "twist", "height"};

static void height_slope(const syl_geometry *g, int k, double by[4]) {
  const double first = g->vehicle.axle[0].x, last = g->vehicle.axle[g->vehicle.axle_count - 1].x,
               deg = 1.0 / SY_DEGREE;
  const double rows[HEIGHTS][4] = {{1e3, -1e3 * first, 0, 0},       {1e3, -1e3 * last, 0, 0},
                                   {0, 1e3 * (first - last), 0, 0}, {0, -deg, 0, 0},
                                   {0, 0, 0.5 * deg, 0.5 * deg},    {0, 0, deg, -deg}};
  memcpy(by, rows[k], sizeof rows[k]);
}

static double height_answer(const syl_asked *q, const sy_corner_result *r, int k) {
  double by[4];
  if (k == CG_HEIGHT) return syl_cg_rise(q->g, &q->corner, r) * 1e3;
  height_slope(q->g, k, by);
  return by[0] * r->pose[0] + by[1] * r->pose[1] + by[2] * r->pose[2] + by[3] * r->pose[3];
}

/* The CG's height by the sums of both ledgers, mm. */
static bool cg_height_by_sums(void *user, const sy_totals *now, const sy_totals *drawn, double *out) {
  const syl_asked *q = user;
  syl_asked other = *q;
  sy_corner_result r;
  sy_totals level = *drawn;
  syl_add_drawn(q->tanks, &level);
  if (syl_corner_drawn(&level, q->g, &q->g->vehicle, &other.corner.model, NULL) != SY_OK ||
      syl_corner_load(now, q->g, &other.corner, NULL) != SY_OK ||
      sy_corner_solve(&other.corner.model, &other.corner.load, &q->setting, &r, NULL) != SY_OK)
    return false;
  *out = (now->all.first.z / now->all.m + syl_cg_rise(q->g, &other.corner, &r)) * 1e3;
  return true;
}

/* Doubts of pads and perches (m): solved again one standard uncertainty above and below. */
static void add_cg_variance(lua_State *L, const syl_asked *q, const double *pad_sd, const double *perch_sd,
                            double *variance) {
  for (int j = 0; j < 2 * q->g->map.wheel_count; j++) {
    const int wheel = j / 2;
    const double sd = j % 2 == 0 ? pad_sd[wheel] : perch_sd[wheel];
    if (sd == 0.0) continue;
    sy_corner_result r[2];
    for (int side = 0; side < 2; side++) {
      sy_corner_setting s = q->setting;
      (j % 2 == 0 ? s.pad : s.perch)[wheel] += side == 0 ? sd : -sd;
      syl_corner_solve(L, &q->corner, &s, &r[side]);
    }
    const double half = 0.5e3 * (syl_cg_rise(q->g, &q->corner, &r[0]) - syl_cg_rise(q->g, &q->corner, &r[1]));
    *variance += half * half;
  }
}

static void add_pose_variance(const syl_asked *q, const sy_corner_slopes *s, const double *pad_sd,
                              const double *perch_sd, double *variance) {
  double by[4];
  for (int k = 0; k < HEIGHTS; k++) {
    height_slope(q->g, k, by);
    for (int j = 0; j < q->g->map.wheel_count; j++) {
      double pad = 0.0, perch = 0.0;
      for (int p = 0; p < 4; p++) {
        pad += by[p] * s->pose_pad[p][j] * pad_sd[j];
        perch += by[p] * s->pose_perch[p][j] * perch_sd[j];
      }
      variance[k] += pad * pad + perch * perch;
    }
  }
}

/* core.height_doubts: asked as core.corner_doubts, then downforce? and its standard uncertainties? (kg by axle) -> standard uncertainties of front and rear height, rake (mm), pitch, roll, twist (deg)
** and of the CG's height above the ground (mm) */
static int l_height_doubts(lua_State *L) {
  lua_settop(L, 14);
  syl_asked q;
  syl_corner_ask(L, 13, &q);
  sy_corner_slopes s;
  syl_corner_slopes(L, &q, &s);
  double by[4], variance[HEIGHT_ANSWERS], pad_sd[SY_MAX_WHEELS], perch_sd[SY_MAX_WHEELS];
  weights w[HEIGHTS];
  for (int k = 0; k < HEIGHTS; k++) {
    height_slope(q.g, k, by);
    w[k] = by_pose(q.g, &s, by);
  }
  ledger_variance(&q, w, HEIGHTS, variance);
  syl_sums_variance(q.now, q.drawn, cg_height_by_sums, &q, 1, &variance[CG_HEIGHT]);
  syl_read_list(L, 9, q.g->map.wheel_count, 1e-3, pad_sd);
  syl_read_list(L, 10, q.g->map.wheel_count, 1.0, perch_sd);
  for (int j = 0; j < q.g->map.wheel_count; j++) /* a perch of unknown pitch has no size */
    if (perch_sd[j] != 0.0) perch_sd[j] *= q.g->vehicle.wheel[j].perch_pitch;
  add_pose_variance(&q, &s, pad_sd, perch_sd, variance);
  add_cg_variance(L, &q, pad_sd, perch_sd, &variance[CG_HEIGHT]);
  add_rate_variance(L, 11, &q, height_answer, HEIGHT_ANSWERS, variance);
  add_axle_variance(L, 12, 1e-3, PRELOAD, &q, height_answer, HEIGHT_ANSWERS, variance);
  add_axle_variance(L, 14, SY_STANDARD_GRAVITY, DOWNFORCE, &q, height_answer, HEIGHT_ANSWERS, variance);
  add_slope_variance(L, 9, &q, height_answer, HEIGHT_ANSWERS, variance);
  lua_createtable(L, 0, HEIGHT_ANSWERS);
  for (int k = 0; k < HEIGHT_ANSWERS; k++) {
    const double doubt = sqrt(fmax(variance[k], 0.0));
    const double nothing = k <= RAKE || k == CG_HEIGHT ? 1e-6 : 1e-7; /* mm, deg: below it lies rounding */
    lua_pushnumber(L, doubt > nothing ? doubt : 0.0);
    lua_setfield(L, -2, height_name[k]);
  }
  return 1;
}

static const luaL_Reg functions[] = {
    {"corner_doubts", l_corner_doubts}, {"height_doubts", l_height_doubts}, {NULL, NULL}};

void syl_open_corner_doubt(lua_State *L) { luaL_setfuncs(L, functions, 0); }
