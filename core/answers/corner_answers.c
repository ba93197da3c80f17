#include "answers/corner_answers.h"

#include <math.h>
#include <string.h>

#include "answers/stand.h"
#include "base/units.h"

typedef struct corner_state {
  sy_stand stand;
  sy_loadmap map;
  double raised[2]; /* m, front and rear */
  bool one;         /* the ledger now is the drawn one */
  bool smooth;      /* there are sensitivities */
  sy_corner_sensitivities sensitivities;
} corner_state;
_Static_assert(sizeof(corner_state) <= sizeof(sy_answer_state), "the room for states");

static sy_status solve(const sy_car *car, const sy_totals *now, const sy_totals *drawn, const void *base,
                       bool runs, void *state, sy_error *err) {
  corner_state *s = state;
  const sy_sums *lies = base != NULL && !runs ? &((const corner_state *)base)->stand.moved : NULL;
  const sy_status status = sy_stand_solve(car, now, drawn, lies, &s->stand, err);
  if (status != SY_OK) return status;
  s->map = car->map;
  s->raised[0] = car->raised_front, s->raised[1] = car->raised_rear;
  s->one = car->now == car->drawn;
  s->smooth = base == NULL && sy_stand_sensitivities(&s->stand, &s->sensitivities, NULL) == SY_OK;
  return SY_OK;
}

static bool searched(const void *state) {
  const sy_stand *stand = &((const corner_state *)state)->stand;
  return sy_sums_any(&stand->moved) || !sy_corner_is_plain(&stand->model, &stand->result);
}

/* ---- how an answer rests on weights ------------------------------------------------------------------------------------------ */

/* On the weights now (`body`, see corner.h), on each wheel's load as drawn and on the drawn roll moment. */
typedef struct weights {
  double body[4], drawn[SY_MAX_WHEELS], torque;
} weights;

/* The same on the sums of both ledgers. */
static void by_weights(const corner_state *s, const weights *w, sy_sensitivity *now, sy_sensitivity *drawn) {
  const sy_vehicle *v = &s->stand.model.vehicle;
  const sy_vec3 lean = s->stand.gravity;
  const double gravity = SY_STANDARD_GRAVITY, down = -lean.z, length = sy_vehicle_wheelbase(v),
               last = v->axle[v->axle_count - 1].x;
  const bool level = lean.x == 0.0 && lean.y == 0.0;
  double sum[3] = {0, 0, 0};
  for (int j = 0; j < s->map.wheel_count; j++)
    for (int k = 0; k < 3; k++) sum[k] += w->drawn[j] * s->map.c[j][k];
  const double front = w->body[2], rear = w->body[3];
  const double across = rear - (front - rear) * last / length;
  *now = (sy_sensitivity){.carriers = SY_ALL_CARRIERS};
  now->m = down * w->body[0];
  now->first.x = -down * w->body[1];
  now->first.y = down * across;
  now->first.z = lean.y * across - lean.x * w->body[1];
  now->second.xy = 0.5 * down * (front - rear) / length; /* counts twice: sums.h */
  now->second.xz = 0.5 * lean.y * (front - rear) / length;
  *drawn = (sy_sensitivity){.carriers = SY_ALL_CARRIERS};
  drawn->m = sum[0];
  drawn->first.x = sum[1];
  drawn->first.y = sum[2] - w->torque * gravity * last / length;
  drawn->second.xy = 0.5 * w->torque * gravity / length;
  if (s->one && level) { /* one ledger, one weight: they cancel */
    now->second.xy = drawn->second.xy = 0.0;
    now->flat = drawn->flat = true;
  }
}

static void unknown(sy_sensitivity *now, sy_sensitivity *drawn) {
  *now = *drawn = (sy_sensitivity){.m = (double)NAN, .carriers = SY_ALL_CARRIERS, .flat = true};
}

/* ---- loads --------------------------------------------------------------------------------------------------------------------- */

/* What of a wheel counts for a sum: 1, 0, or 1/2 on the centre line. */
static double counts(const sy_contact *w, int at) {
  const double left = 0.5 + 0.5 * w->side;
  const bool cross = (w->axle == 0) == (w->side < 0);
  switch (at) {
  case SY_LOAD_FRONT:
  case SY_LOAD_FRONT_SHARE: return w->axle == 0;
  case SY_LOAD_REAR: return w->axle != 0;
  case SY_LOAD_LEFT:
  case SY_LOAD_LEFT_SHARE: return left;
  case SY_LOAD_RIGHT: return 1.0 - left;
  case SY_LOAD_MASS: return 1.0;
  default: return cross;
  }
}

double sy_load_answer(const sy_loadmap *map, const double load[SY_MAX_WHEELS], int at,
                      double by[SY_MAX_WHEELS]) {
  const int wheels = map->wheel_count;
  if (at >= SY_LOAD_WHEEL) {
    for (int i = 0; i < wheels; i++) by[i] = i == at - SY_LOAD_WHEEL ? 1.0 : 0.0;
    return load[at - SY_LOAD_WHEEL];
  }
  double part = 0.0, total = 0.0;
  for (int i = 0; i < wheels; i++) {
    part += counts(&map->wheel[i], at) * load[i];
    total += load[i];
  }
  const double share = part / total, per_kg = 1.0 / SY_STANDARD_GRAVITY;
  for (int i = 0; i < wheels; i++) {
    const double mine = counts(&map->wheel[i], at), rest = total - part;
    by[i] = at < SY_LOAD_MASS              ? mine
            : at == SY_LOAD_MASS           ? per_kg
            : at == SY_LOAD_DIAGONAL_RATIO ? (mine - (1.0 - mine) * part / rest) / rest
                                           : (mine - share) / total;
  }
  if (at < SY_LOAD_MASS) return part;
  if (at == SY_LOAD_MASS) return total * per_kg;
  if (at >= SY_LOAD_CROSS_SHARE && map->split != SY_SPLIT_CROSS_SHARE) return (double)NAN;
  return at == SY_LOAD_DIAGONAL_RATIO ? part / (total - part) : share;
}

static double by_loads(const corner_state *s, int at, double by[SY_MAX_WHEELS]) {
  return sy_load_answer(&s->map, s->stand.result.load, at, by);
}

static double load_value(const void *state, int at) {
  double by[SY_MAX_WHEELS];
  return by_loads(state, at, by);
}

static void load_by_sums(const void *state, int at, sy_sensitivity *now, sy_sensitivity *drawn) {
  const corner_state *s = state;
  const sy_corner_sensitivities *c = &s->sensitivities;
  double by[SY_MAX_WHEELS];
  if (!s->smooth) {
    unknown(now, drawn);
    return;
  }
  by_loads(s, at, by);
  weights w = {{0, 0, 0, 0}, {0}, 0};
  for (int i = 0; i < s->map.wheel_count; i++) {
    for (int k = 0; k < 4; k++) w.body[k] += by[i] * c->load_body[i][k];
    for (int j = 0; j < s->map.wheel_count; j++) w.drawn[j] += by[i] * c->load_drawn[i][j];
    w.torque += by[i] * c->load_torque[i];
  }
  by_weights(s, &w, now, drawn);
}

static bool is_under_wheels(const sy_stated *stated) {
  return stated->field == SY_STATED_PAD || stated->field == SY_STATED_PERCH;
}

static bool load_by_stated(const void *state, int at, const sy_stated *stated, double *out) {
  const corner_state *s = state;
  double by[SY_MAX_WHEELS], sum = 0.0;
  if (!is_under_wheels(stated)) return false;
  by_loads(s, at, by);
  for (int j = 0; j < s->map.wheel_count; j++)
    for (int i = 0; i < s->map.wheel_count && (stated->at >> j & 1u); i++)
      sum += by[i] *
             (stated->field == SY_STATED_PAD ? s->sensitivities.load_pad : s->sensitivities.load_perch)[i][j];
  *out = s->smooth ? sum : (double)NAN;
  return true;
}

/* ---- heights and angles, by the pose; and the cg's height ------------------------------------------------------------------------- */

enum { HEIGHT_FRONT, HEIGHT_REAR, RAKE, PITCH, ROLL, TWIST, POSES };

static void by_pose(const corner_state *s, int at, double by[4]) {
  const sy_vehicle *v = &s->stand.model.vehicle;
  const double first = v->axle[0].x, last = v->axle[v->axle_count - 1].x;
  const double row[POSES][4] = {{1, -first, 0, 0}, {1, -last, 0, 0}, {0, first - last, 0, 0},
                                {0, -1, 0, 0},     {0, 0, 0.5, 0.5}, {0, 0, 1, -1}};
  memcpy(by, row[at], sizeof row[at]);
}

/* What the perches had raised the body by before, and with `by` what 1 m of it at either end does. */
static double raised_before(const corner_state *s, int at, double by[2]) {
  const double length = sy_vehicle_wheelbase(&s->stand.model.vehicle), front = s->raised[0],
               rear = s->raised[1];
  const double sine = (front - rear) / length, turn = 1.0 / (length * sqrt(1.0 - sine * sine));
  const double row[POSES][2] = {{1, 0}, {0, 1}, {-1, 1}, {turn, -turn}, {0, 0}, {0, 0}};
  memcpy(by, row[at], sizeof row[at]);
  return at == PITCH ? asin(sine) : by[0] * front + by[1] * rear;
}

static double pose_value(const void *state, int at) {
  const corner_state *s = state;
  const double *pose = s->stand.result.pose;
  double by[4], unused[2];
  by_pose(s, at, by);
  return by[0] * pose[0] + by[1] * pose[1] + by[2] * pose[2] + by[3] * pose[3] + raised_before(s, at, unused);
}

static void pose_by_sums(const void *state, int at, sy_sensitivity *now, sy_sensitivity *drawn) {
  const corner_state *s = state;
  const sy_corner_sensitivities *c = &s->sensitivities;
  double by[4];
  if (!s->smooth) {
    unknown(now, drawn);
    return;
  }
  by_pose(s, at, by);
  weights w = {{0, 0, 0, 0}, {0}, 0};
  for (int p = 0; p < 4; p++) {
    for (int k = 0; k < 4; k++) w.body[k] += by[p] * c->pose_body[p][k];
    for (int j = 0; j < s->map.wheel_count; j++) w.drawn[j] += by[p] * c->pose_drawn[p][j];
    w.torque += by[p] * c->pose_torque[p];
  }
  by_weights(s, &w, now, drawn);
}

/* 0 or 1: which end of the body an uncertainty of what it was raised by is of; -1: another one. */
static int raised_end(const sy_stated *stated) {
  return stated->field == SY_STATED_RAISED_FRONT ? 0 : stated->field == SY_STATED_RAISED_REAR ? 1 : -1;
}

static bool pose_by_stated(const void *state, int at, const sy_stated *stated, double *out) {
  const corner_state *s = state;
  const int end = raised_end(stated);
  double by[4], sum = 0.0;
  if (end >= 0) {
    double raised[2];
    raised_before(s, at, raised);
    *out = raised[end];
    return true;
  }
  if (!is_under_wheels(stated)) return false;
  by_pose(s, at, by);
  for (int j = 0; j < s->map.wheel_count; j++)
    for (int p = 0; p < 4 && (stated->at >> j & 1u); p++)
      sum += by[p] *
             (stated->field == SY_STATED_PAD ? s->sensitivities.pose_pad : s->sensitivities.pose_perch)[p][j];
  *out = s->smooth ? sum : (double)NAN;
  return true;
}

static double cg_height(const void *state, int at) {
  const sy_stand *s = &((const corner_state *)state)->stand;
  (void)at;
  return s->now.all.first.z / s->now.all.m + sy_stand_cg_rise(s);
}

/* The cg goes up with the sprung part of it, by the lever between the axle lines. */
static bool cg_height_by_stated(const void *state, int at, const sy_stated *stated, double *out) {
  const sy_stand *s = &((const corner_state *)state)->stand;
  const sy_vehicle *v = &s->model.vehicle;
  const int end = raised_end(stated);
  (void)at;
  if (end < 0) return false;
  const double last = v->axle[v->axle_count - 1].x, length = sy_vehicle_wheelbase(v);
  const double front =
      (s->sprung.first.x - last * s->sprung.m) / length; /* kg of the sprung mass on the first axle line */
  *out = (end == 0 ? front : s->sprung.m - front) / s->sums.m;
  return true;
}

/* ---- the sets -------------------------------------------------------------------------------------------------------------------- */

#define LOAD(name, per, at, unit)                                                                            \
  { name, per, at, unit, load_value, load_by_sums, load_by_stated, NULL, NULL }
static const sy_answer_row loads[] = {
    LOAD("front", SY_PER_CAR, SY_LOAD_FRONT, SY_UNIT_NEWTON),
    LOAD("rear", SY_PER_CAR, SY_LOAD_REAR, SY_UNIT_NEWTON),
    LOAD("left", SY_PER_CAR, SY_LOAD_LEFT, SY_UNIT_NEWTON),
    LOAD("right", SY_PER_CAR, SY_LOAD_RIGHT, SY_UNIT_NEWTON),
    LOAD("mass", SY_PER_CAR, SY_LOAD_MASS, SY_UNIT_KILOGRAM),
    LOAD("front_share", SY_PER_CAR, SY_LOAD_FRONT_SHARE, SY_UNIT_FRACTION),
    LOAD("left_share", SY_PER_CAR, SY_LOAD_LEFT_SHARE, SY_UNIT_FRACTION),
    LOAD("cross_share", SY_PER_CAR, SY_LOAD_CROSS_SHARE, SY_UNIT_FRACTION),
    LOAD("diagonal_ratio", SY_PER_CAR, SY_LOAD_DIAGONAL_RATIO, SY_UNIT_RATIO),
    LOAD("", SY_PER_WHEEL, SY_LOAD_WHEEL, SY_UNIT_NEWTON),
};

#define POSE(name, at, unit)                                                                                 \
  { name, SY_PER_CAR, at, unit, pose_value, pose_by_sums, pose_by_stated, NULL, NULL }
static const sy_answer_row poses[] = {
    POSE("heights.front", HEIGHT_FRONT, SY_UNIT_METRE),
    POSE("heights.rear", HEIGHT_REAR, SY_UNIT_METRE),
    POSE("rake", RAKE, SY_UNIT_METRE),
    POSE("pitch", PITCH, SY_UNIT_RADIAN),
    POSE("roll", ROLL, SY_UNIT_RADIAN),
    POSE("twist", TWIST, SY_UNIT_RADIAN),
    {"height", SY_PER_CAR, 0, SY_UNIT_METRE, cg_height, NULL, cg_height_by_stated, NULL, NULL},
};

/* What is set to a value is exact; rounding leaves about 1e-8 of it. */
static double load_rounding(const sy_answer_row *row, double value) {
  (void)row;
  return 1e-7 * fabs(value);
}

static double pose_rounding(const sy_answer_row *row, double value) {
  (void)value;
  return row->unit == SY_UNIT_METRE ? 1e-9 : 1e-7 * SY_DEGREE;
}

/* Stated fields that a car standing on its springs rests on. */
#define FIELDS                                                                                               \
  (1u << SY_STATED_SPRING_RATE | 1u << SY_STATED_TYRE_RATE | 1u << SY_STATED_MOTION_RATIO |                  \
   1u << SY_STATED_BAR_RATE | 1u << SY_STATED_ROLL_CENTRE | 1u << SY_STATED_TORSION |                        \
   1u << SY_STATED_CROSS_SHARE | 1u << SY_STATED_PAD | 1u << SY_STATED_PERCH | 1u << SY_STATED_PRELOAD |     \
   1u << SY_STATED_DOWNFORCE | 1u << SY_STATED_NOSE_UP | 1u << SY_STATED_LEFT_UP |                           \
   1u << SY_STATED_STOP_GAP | 1u << SY_STATED_STOP_RATE | SY_STATED_PLACES)
/* Mass, first moments, the products that say how roll moments lie along the car, and the square that says how heights do when it
** pitches. */
#define SUMS (SY_SUM_M | SY_SUM_X | SY_SUM_Y | SY_SUM_Z | SY_SUM_XY | SY_SUM_XZ | SY_SUM_XX)

const sy_answer_set *sy_corner_answers(void) {
  static const sy_answer_set set = {.name = "corners",
                                    .row = loads,
                                    .rows = sizeof loads / sizeof *loads,
                                    .on_drawn = true,
                                    .sums = SUMS,
                                    .fields = FIELDS,
                                    .solve = solve,
                                    .rounding = load_rounding,
                                    .searched = searched};
  return &set;
}

const sy_answer_set *sy_attitude_answers(void) {
  static const sy_answer_set set = {.name = "attitude",
                                    .row = poses,
                                    .rows = sizeof poses / sizeof *poses,
                                    .on_drawn = true,
                                    .sums = SUMS,
                                    .fields = FIELDS,
                                    .solve = solve,
                                    .rounding = pose_rounding,
                                    .searched = searched};
  return &set;
}
