/* bind_corner_doubt.c - doubts of loads and heights on springs: first order, from masses, places, pads, perches and rates. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "bind.h"
#include "bind_corner.h"
#include "bind_ledger.h"
#include "fail.h"

#define PER_KG (1.0 / SY_STANDARD_GRAVITY)

enum { ANSWERS = SYL_PLAIN_ANSWERS + SY_MAX_WHEELS };

static double slope_of(const syl_geometry *g, const double *load, int answer, double slope[SY_MAX_WHEELS]) {
  if (answer < SYL_PLAIN_ANSWERS) return syl_corner_answer(g, load, answer, slope);
  for (int i = 0; i < g->map.wheel_count; i++) slope[i] = i == answer - SYL_PLAIN_ANSWERS ? PER_KG : 0.0;
  return load[answer - SYL_PLAIN_ANSWERS] * PER_KG;
}

/* How an answer rests on the weights now (`body`, see corner.h), on each wheel's load as drawn and on the drawn roll moment. */
typedef struct weights {
  double body[4], drawn[SY_MAX_WHEELS], torque;
} weights;

/* The same on the sums of the ledger as it is now (`to`) and, negative, on those of the drawn state (`from`). Unsprung parts whose
** doubts are not the same in both states are taken as sprung. */
static void ledger_slopes(const syl_geometry *g, const weights *w, sy_slope *from, sy_slope *to) {
  const sy_vehicle *v = &g->vehicle;
  const double gravity = SY_STANDARD_GRAVITY, length = sy_vehicle_wheelbase(v),
               last = v->axle[v->axle_count - 1].x;
  double drawn[3] = {0, 0, 0};
  for (int j = 0; j < g->map.wheel_count; j++)
    for (int k = 0; k < 3; k++) drawn[k] += w->drawn[j] * g->map.c[j][k];
  const double front = w->body[2], rear = w->body[3];
  *to = (sy_slope){.carriers = SY_ALL_CARRIERS};
  to->m = gravity * w->body[0];
  to->first.x = -gravity * w->body[1];
  to->first.y = gravity * (rear - (front - rear) * last / length);
  to->second.xy = 0.5 * gravity * (front - rear) / length; /* counts twice: sums.h */
  *from = (sy_slope){.carriers = SY_ALL_CARRIERS};
  from->m = -drawn[0];
  from->first.x = -drawn[1];
  from->first.y = -drawn[2] + w->torque * gravity * last / length;
  from->second.xy = -0.5 * w->torque * gravity / length;
}

static void ledger_variance(const sy_ledger *now, const sy_ledger *drawn, const syl_geometry *g,
                            const weights *w, int count, double *variance) {
  sy_slope from[ANSWERS], to[ANSWERS];
  for (int k = 0; k < count; k++) {
    ledger_slopes(g, &w[k], &from[k], &to[k]);
    if (now != drawn) continue;
    to[k].m -= from[k].m; /* one ledger: the products of inertia cancel */
    to[k].first = sy_vec3_sub(to[k].first, from[k].first);
    to[k].second.xy = 0.0;
    to[k].flat = true;
  }
  if (now == drawn)
    sy_ledger_variance(now, to, (size_t)count, variance);
  else
    sy_ledger_change_variance(drawn, now, from, to, (size_t)count, variance);
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
      const double pitch = g->vehicle.axle[g->map.wheel[j].axle].perch_pitch;
      double pad = 0.0, perch = 0.0;
      for (int i = 0; i < g->map.wheel_count; i++) {
        pad += a[i] * s->load_pad[i][j] * pad_sd[j];
        if (turn_sd[j] != 0.0) perch += a[i] * s->load_perch[i][j] * pitch * turn_sd[j];
      }
      variance[k] += pad * pad + perch * perch;
    }
  }
}

double *syl_rate_field(sy_vehicle *v, int axle, const char *field) {
  if (strcmp(field, "torsion") == 0) return &v->torsion;
  sy_axle *a = &v->axle[axle];
  if (strcmp(field, "spring_rate") == 0) return &a->spring_rate;
  if (strcmp(field, "tyre_rate") == 0) return &a->tyre_rate;
  if (strcmp(field, "motion_ratio") == 0) return &a->motion_ratio;
  return strcmp(field, "bar_rate") == 0 ? &a->bar_rate : NULL;
}

/* The k-th answer at an equilibrium. */
typedef double value_of(const syl_geometry *g, const sy_corner_result *r, int k);

/* Stated doubts of rates: solve again one standard uncertainty above and below. The list at `index` holds {axle, field, relative
** standard uncertainty}. */
static void add_rate_variance(lua_State *L, int index, const syl_asked *q, value_of *value, int count,
                              double *variance) {
  if (lua_isnoneornil(L, index)) return;
  const sy_corner_model *m = &q->corner.model;
  const lua_Integer n = luaL_len(L, index);
  for (lua_Integer i = 1; i <= n; i++) {
    lua_geti(L, index, i);
    lua_geti(L, -1, 1);
    lua_geti(L, -2, 2);
    lua_geti(L, -3, 3);
    const int axle = (int)luaL_checkinteger(L, -3) - 1;
    luaL_argcheck(L, axle >= 0 && axle < m->vehicle.axle_count, index, "no such axle");
    const double part = luaL_checknumber(L, -1);
    sy_corner_result r[2];
    for (int side = 0; side < 2; side++) {
      sy_vehicle v = m->vehicle;
      double *field = syl_rate_field(&v, axle, luaL_checkstring(L, -2));
      luaL_argcheck(L, field != NULL, index, "no such rate");
      *field *= side == 0 ? 1.0 + part : fmax(1.0 - part, 0.01); /* a rate stays above 0 */
      syl_corner other = q->corner;
      sy_error err;
      if (sy_corner_make(&v, &m->drawn_load, m->drawn, &other.model, &err) != SY_OK) syl_raise(L, &err);
      syl_corner_solve(L, &other, &q->setting, &r[side]);
    }
    for (int k = 0; k < count; k++) {
      const double half = 0.5 * (value(q->g, &r[0], k) - value(q->g, &r[1], k));
      if (!isnan(half)) variance[k] += half * half;
    }
    lua_pop(L, 4);
  }
}

static double load_answer(const syl_geometry *g, const sy_corner_result *r, int k) {
  double unused[SY_MAX_WHEELS];
  return slope_of(g, r->load, k, unused);
}

/* core.corner_doubts(ledger, drawn, geometry, pads?, perches?, preload?, bars?, pad_sd?, turn_sd?, rates?) -> standard
** uncertainties by the names that core.corners gives */
static int l_corner_doubts(lua_State *L) {
  lua_settop(L, 10);
  syl_asked q;
  syl_corner_ask(L, &q);
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
  ledger_variance(q.now, q.drawn, q.g, w, count, variance);
  syl_read_list(L, 8, q.g->map.wheel_count, 1e-3, pad_sd);
  syl_read_list(L, 9, q.g->map.wheel_count, 1.0, turn_sd);
  add_setting_variance(q.g, &q.result, &s, pad_sd, turn_sd, count, variance);
  add_rate_variance(L, 10, &q, load_answer, count, variance);
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

/* Heights and angles of the body, in mm and degrees, by its pose. */
enum { FRONT, REAR, RAKE, PITCH, ROLL, TWIST, HEIGHTS };
static const char *const height_name[HEIGHTS] = {"front", "rear", "rake", "pitch", "roll", "twist"};

static void height_slope(const syl_geometry *g, int k, double by[4]) {
  const double first = g->vehicle.axle[0].x, last = g->vehicle.axle[g->vehicle.axle_count - 1].x,
               deg = 1.0 / SY_DEGREE;
  const double rows[HEIGHTS][4] = {{1e3, -1e3 * first, 0, 0},       {1e3, -1e3 * last, 0, 0},
                                   {0, 1e3 * (first - last), 0, 0}, {0, -deg, 0, 0},
                                   {0, 0, 0.5 * deg, 0.5 * deg},    {0, 0, deg, -deg}};
  memcpy(by, rows[k], sizeof rows[k]);
}

static double height_answer(const syl_geometry *g, const sy_corner_result *r, int k) {
  double by[4];
  height_slope(g, k, by);
  return by[0] * r->pose[0] + by[1] * r->pose[1] + by[2] * r->pose[2] + by[3] * r->pose[3];
}

static double pose_change(const double by[4], double slope[4][SY_MAX_WHEELS], int wheel, double size) {
  double sum = 0.0;
  for (int p = 0; p < 4; p++) sum += by[p] * slope[p][wheel];
  return size == 0.0 ? 0.0 : sum * size; /* a perch of unknown pitch has no size */
}

/* core.height_doubts: asked as core.corner_doubts -> standard uncertainties of front and rear height, rake (mm), pitch, roll and twist
** (deg) */
static int l_height_doubts(lua_State *L) {
  lua_settop(L, 10);
  syl_asked q;
  syl_corner_ask(L, &q);
  sy_corner_slopes s;
  syl_corner_slopes(L, &q, &s);
  double by[HEIGHTS][4], variance[HEIGHTS], pad_sd[SY_MAX_WHEELS], turn_sd[SY_MAX_WHEELS];
  weights w[HEIGHTS];
  for (int k = 0; k < HEIGHTS; k++) {
    height_slope(q.g, k, by[k]);
    w[k] = by_pose(q.g, &s, by[k]);
  }
  ledger_variance(q.now, q.drawn, q.g, w, HEIGHTS, variance);
  syl_read_list(L, 8, q.g->map.wheel_count, 1e-3, pad_sd);
  syl_read_list(L, 9, q.g->map.wheel_count, 1.0, turn_sd);
  for (int j = 0; j < q.g->map.wheel_count; j++) {
    if (turn_sd[j] != 0.0) turn_sd[j] *= q.g->vehicle.axle[q.g->map.wheel[j].axle].perch_pitch;
    for (int k = 0; k < HEIGHTS; k++) {
      const double pad = pose_change(by[k], s.pose_pad, j, pad_sd[j]);
      const double perch = pose_change(by[k], s.pose_perch, j, turn_sd[j]);
      variance[k] += pad * pad + perch * perch;
    }
  }
  add_rate_variance(L, 10, &q, height_answer, HEIGHTS, variance);
  lua_createtable(L, 0, HEIGHTS);
  for (int k = 0; k < HEIGHTS; k++) {
    const double doubt = sqrt(fmax(variance[k], 0.0));
    const double nothing = k <= RAKE ? 1e-6 : 1e-7; /* mm, deg: below it lies rounding */
    lua_pushnumber(L, doubt > nothing ? doubt : 0.0);
    lua_setfield(L, -2, height_name[k]);
  }
  return 1;
}

static const luaL_Reg functions[] = {
    {"corner_doubts", l_corner_doubts}, {"height_doubts", l_height_doubts}, {NULL, NULL}};

void syl_open_corner_doubt(lua_State *L) { luaL_setfuncs(L, functions, 0); }
