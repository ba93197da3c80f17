#include "answers/stability_answers.h"

#include <math.h>
#include <string.h>

#include "answers/stand.h"
#include "base/units.h"

_Static_assert(sizeof(sy_rigid) <= sizeof(sy_answer_state), "the room for states");
_Static_assert(sizeof(sy_compliant) <= sizeof(sy_answer_state), "the room for states");

/* What differences leave of an uncertainty that is none: a millionth of a degree, per cent, g or of the factor. */
static double rounding(const sy_answer_row *row, double value) {
  (void)value;
  return row->unit == SY_UNIT_RADIAN ? 1e-6 * SY_DEGREE : row->unit == SY_UNIT_FRACTION ? 1e-8 : 1e-6;
}

/* Stated fields of springs, tyres, bars and chassis. */
#define RATES                                                                                                \
  (1u << SY_STATED_SPRING_RATE | 1u << SY_STATED_TYRE_RATE | 1u << SY_STATED_MOTION_RATIO |                  \
   1u << SY_STATED_BAR_RATE | 1u << SY_STATED_ROLL_CENTRE | 1u << SY_STATED_TORSION |                        \
   1u << SY_STATED_STOP_GAP | 1u << SY_STATED_STOP_RATE | 1u << SY_STATED_LATERAL_RATE)

/* ---- rigid: limits that liquid runs to ------------------------------------------------------------------------------------------ */

enum { RUNS = SY_RIGID_GRADE + 2 }; /* from SY_RIGID_TIP up to here liquid runs to the low or outer side */

/* Beside the answers of a sy_rigid: the first wheel off in a left and a right turn. */
enum { TURN_LIFTS = SY_RIGID_COUNT + 1 };
_Static_assert((TURN_LIFTS - SY_RIGID_TIP) % 2 == 0, "sides are even and odd");

typedef enum limit_kind { TIP, LIFT, TURN, GRADE, TURN_LIFT } limit_kind;

static limit_kind kind_of(int answer) {
  return answer >= TURN_LIFTS       ? TURN_LIFT
         : answer >= SY_RIGID_GRADE ? GRADE
         : answer >= SY_RIGID_TURN  ? TURN
         : answer >= SY_RIGID_LIFT  ? LIFT
                                    : TIP;
}

/* Which of the two: 0 left or up, 1 right or down. */
static int second(int answer) { return (answer - SY_RIGID_TIP) % 2; }

/* Of the low or outer side: +1 left. In a left turn the outer side is the right one. */
static int side_of(int answer) {
  const int low = second(answer) == 0 ? 1 : -1;
  return kind_of(answer) == TURN || kind_of(answer) == TURN_LIFT ? -low : low;
}

/* Loads on level ground under a force along the car, with what the liquid has run sideways on equal tyres. */
static void level_loads(const sy_car *car, const sy_totals *t, const sy_sums *run, double forward,
                        double *level) {
  const double up = t->all.first.z + run->first.z;
  const double moments[4] = {t->all.m, t->all.first.x + run->first.x + forward * up, t->all.first.y, up};
  double arm[SY_MAX_WHEELS];
  sy_loadmap_apply(&car->map, moments, level);
  const double squares = sy_stability_roll_arms(&car->vehicle, arm);
  for (int i = 0; i < car->map.wheel_count; i++)
    level[i] += SY_STANDARD_GRAVITY * run->first.y * arm[i] / squares;
}

/* The force of a turn at which the first wheel leaves the ground: braking, drive and air load the axles, and only weight goes outward. */
static double turn_lift(const sy_car *car, const sy_totals *t, const sy_sums *run, double height, int side,
                        int *wheel) {
  const sy_vehicle *v = &car->vehicle;
  double level[SY_MAX_WHEELS], sum = 0.0;
  level_loads(car, t, run, car->forward, level);
  for (int i = 0; i < car->map.wheel_count; i++) {
    const sy_contact *w = &car->map.wheel[i];
    const double part = v->axle[w->axle].wheels == 1 ? 1.0 : sy_vehicle_lever(v, w->axle, w->side);
    level[i] += car->setting.downforce[w->axle] * part;
    sum += level[i];
  }
  const double weight = t->all.m * SY_STANDARD_GRAVITY;
  return fmax(sy_stability_lift_off(v, level, height * weight / sum, side, wheel), 0.0);
}

/* The tangent or force of a limit with the liquid run so; the wheel of a lift, the edge of a turn (each may be NULL). */
static double limit_of(const sy_car *car, const sy_totals *t, double sink, int answer, const sy_sums *run,
                       int *wheel, sy_reach *edge) {
  const sy_vehicle *v = &car->vehicle;
  const sy_vec3 cg = sy_vec3_scale(1.0 / t->all.m, sy_vec3_add(t->all.first, run->first));
  const sy_vec3 low = {cg.x, cg.y, cg.z - sink}; /* tables and grades stand still: no air there */
  double level[SY_MAX_WHEELS];
  switch (kind_of(answer)) {
  case LIFT:
    level_loads(car, t, run, 0.0, level);
    return sy_stability_lift_off(v, level, cg.z, side_of(answer), wheel);
  case TURN:
    return sy_stability_side(v, sy_stability_pressed(v, t->all.m, low, car->setting.downforce), car->forward,
                             side_of(answer), edge);
  case TURN_LIFT: return turn_lift(car, t, run, low.z, side_of(answer), wheel);
  case GRADE: return sy_stability_reach(v, cg.x, cg.y, second(answer) == 0 ? -1 : 1, 0).distance / cg.z;
  default: return sy_stability_side(v, cg, 0.0, side_of(answer), NULL);
  }
}

/* The pull on the liquid at that limit, in units of the weight's part into the ground. */
static sy_vec3 pull_of(const sy_car *car, int answer, double limit) {
  if (kind_of(answer) == GRADE) return (sy_vec3){second(answer) == 0 ? -limit : limit, 0, -1};
  const bool turns = kind_of(answer) == TURN || kind_of(answer) == TURN_LIFT;
  return (sy_vec3){turns ? car->forward : 0.0, side_of(answer) * limit, -1};
}

static const sy_sums nothing; /* zeros */

/* Liquid for the limit, the limit for the liquid: each round leaves some hundredth of the error before, `part`. That is known from two of them, so
** the rest of the way is taken at once, which leaves the square of it; and what a round would still leave is known before it is taken. */
static sy_status run_liquid(const sy_car *car, const sy_totals *t, double sink, int answer, sy_sums *lies,
                            sy_error *err) {
  const double same = 1e-12; /* rounding */
  double at = 0.0, last_at = 0.0, last_found = 0.0, part = 1.0;
  *lies = nothing;
  if (car->tanks.count == 0) return SY_OK;
  for (int n = 0; n < 100; n++) {
    const sy_status status =
        sy_settle_moved(&car->tanks, &car->vehicle, pull_of(car, answer, at), NULL, lies, err);
    if (status != SY_OK) return status;
    const double found = limit_of(car, t, sink, answer, lies, NULL, NULL), left = found - at;
    if (!isfinite(found)) break; /* it never lifts, or is over already */
    if (n > 0) part = at != last_at ? (found - last_found) / (at - last_at) : 0.0;
    const bool even = n > 0 && fabs(part) < 0.5;
    if (fabs(left) * (even ? fmax(fabs(part), 1e-3) : 1.0) <= same * fabs(found)) break;
    last_at = at, last_found = found;
    at = even ? at + left / (1.0 - part) : found;
  }
  return SY_OK;
}

/* ---- rigid: the sink, and between the axles ----------------------------------------------------------------------------------------- */

static bool has_air(const sy_car *car) {
  for (int a = 0; a < car->vehicle.axle_count; a++)
    if (car->setting.downforce[a] != 0.0) return true;
  return false;
}

/* By how much the CG of the car sinks under the air, on level ground. */
static sy_status sink_of(const sy_car *car, double *sink, sy_error *err) {
  sy_car level = *car;
  sy_stand pressed, still;
  *sink = 0.0;
  if (!has_air(car) || !sy_car_has_rates(car)) return SY_OK;
  level.nose_up = level.left_up = 0.0;
  level.setting = (sy_corner_setting){.bars = car->setting.bars};
  sy_status status = sy_stand_make(&level, &still, err);
  memcpy(level.setting.downforce, car->setting.downforce, sizeof level.setting.downforce);
  if (status == SY_OK) status = sy_stand_make(&level, &pressed, err);
  if (status == SY_OK) *sink = sy_stand_cg_rise(&still) - sy_stand_cg_rise(&pressed);
  return status;
}

static void split_drive(const sy_car *car, sy_between at, sy_rigid *s) {
  if (isnan(car->drive_front_share)) return;
  const sy_split_traction t = sy_stability_split_traction(at, car->mu, car->drive_front_share);
  s->value[SY_RIGID_SPLIT] = t.most;
  if (t.ideal >= 0.0) s->value[SY_RIGID_SPLIT_IDEAL] = t.ideal;
  s->split_by = t.most == t.front_slips ? 0 : t.most == t.rear_slips ? 1 : 2;
}

static void between_axles(const sy_car *car, double mass, sy_vec3 cg, double sink, sy_rigid *s) {
  double *const out = s->value;
  for (int k = SY_RIGID_TRACTION; k < SY_RIGID_COUNT; k++) out[k] = (double)NAN;
  if (car->vehicle.axle_count != 2) return;
  cg.z -= sink;
  const sy_between at = sy_stability_between(&car->vehicle, &car->map, mass, cg, car->setting.downforce);
  const sy_traction t = sy_stability_traction(at, car->mu);
  out[SY_RIGID_TRACTION] = t.front, out[SY_RIGID_TRACTION + 1] = t.rear, out[SY_RIGID_TRACTION + 2] = t.all;
  out[SY_RIGID_BRAKE] = sy_stability_ideal_brake(at, car->mu);
  split_drive(car, at, s);
  if (isnan(car->brake_front_share)) return;
  const sy_braking b = sy_stability_braking(at, car->mu, car->brake_front_share);
  out[SY_RIGID_CRITICAL] = b.critical;
  out[SY_RIGID_LOCKS] = isfinite(b.front_locks) ? b.front_locks : (double)NAN;
  out[SY_RIGID_LOCKS + 1] = isfinite(b.rear_locks) ? b.rear_locks : (double)NAN;
}

/* ---- rigid: solved -------------------------------------------------------------------------------------------------------------------- */

/* What presses the tyres must press, and not all of it lie beyond the wheels. */
static sy_status check_stands(const sy_car *car, const sy_totals *t, double sink, sy_error *err) {
  double force = t->all.m * SY_STANDARD_GRAVITY;
  for (int a = 0; a < car->vehicle.axle_count; a++) force += car->setting.downforce[a];
  if (!(force > 0.0))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "downforce",
                   "is so much lift that wheels carry nothing more: it would tip");
  if (!(t->all.first.z > sink * t->all.m))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "is %g mm above the ground, must be above 0",
                   round(1e4 * t->all.first.z / t->all.m) / 10);
  const sy_vec3 cg = sy_vec3_scale(1.0 / t->all.m, t->all.first);
  if (sy_stability_reach(&car->vehicle, cg.x, cg.y, 1, 0).distance < 0)
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "lies outside the wheels: it tips on level ground");
  return SY_OK;
}

static double or_nothing(double limit) { return isnan(limit) ? 0.0 : limit; }

/* Of the limits, bits by answer. */
static const unsigned all_limits = (1u << RUNS) - (1u << SY_RIGID_TIP);

static bool is_wanted(unsigned wanted, int k) { return (wanted >> k & 1u) != 0; }

static void set_limits(const sy_car *car, const sy_totals *t, unsigned wanted, sy_rigid *s) {
  for (int k = SY_RIGID_TIP; k < RUNS; k++) {
    const int i = second(k);
    s->value[k] = (double)NAN;
    if (!is_wanted(wanted, k)) continue;
    int *const wheel = kind_of(k) == LIFT ? &s->lift_wheel[i] : NULL;
    sy_reach *const edge = kind_of(k) == TURN ? &s->edge[i] : NULL;
    if (kind_of(k) == LIFT) s->lift_wheel[i] = -1;
    const double limit = limit_of(car, t, s->sink, k, &s->lies[k], wheel, edge);
    s->value[k] = kind_of(k) == TURN ? limit : atan(limit);
  }
}

static sy_status solve_limits(const sy_car *car, const sy_totals *now, const sy_rigid *was, bool runs,
                              unsigned wanted, sy_rigid *out, sy_error *err) {
  sy_rigid s;
  sy_status status = SY_OK;
  if (!(now->all.m > 0.0)) return sy_fail(err, SY_MISSING, "vehicle", "mass", "nothing aboard has a mass");
  if (was != NULL && !runs) {
    s.sink = was->sink;
    memcpy(s.lies, was->lies, sizeof s.lies);
  } else {
    status = sink_of(car, &s.sink, err);
  }
  s.air = has_air(car);
  if (status == SY_OK) status = check_stands(car, now, s.sink, err);
  if (was == NULL || runs) memset(s.lies, 0, sizeof s.lies);
  for (int k = SY_RIGID_TIP; k < RUNS && status == SY_OK && (was == NULL || runs); k++)
    if (is_wanted(wanted, k)) status = run_liquid(car, now, s.sink, k, &s.lies[k], err);
  if (status != SY_OK) return status;
  const sy_vec3 cg = sy_vec3_scale(1.0 / now->all.m, now->all.first);
  s.value[SY_RIGID_SSF] = sy_stability_ssf(&car->vehicle, cg.z);
  set_limits(car, now, wanted, &s);
  s.split_by = 0;
  between_axles(car, now->all.m, cg, s.sink, &s);
  s.weak =
      was != NULL ? was->weak : or_nothing(s.value[SY_RIGID_TURN]) > or_nothing(s.value[SY_RIGID_TURN + 1]);
  *out = s;
  return SY_OK;
}

static sy_status solve_rigid(const sy_car *car, const sy_totals *now, const sy_totals *drawn,
                             const void *base, bool runs, void *state, sy_error *err) {
  (void)drawn; /* it counts for the sink alone, which is that of the car's own ledgers */
  return solve_limits(car, now, base, runs, all_limits, state, err);
}

static sy_status check_asked(const sy_car *car, sy_error *err) {
  const sy_status status = sy_car_check(car, err);
  if (status == SY_OK && !(car->mu > 0.0 && isfinite(car->mu)))
    return sy_fail(err, SY_RANGE, "car", "mu", "is %g, must be > 0 and finite", car->mu);
  if (status == SY_OK && !isfinite(car->forward))
    return sy_fail(err, SY_RANGE, "car", "forward", "is not finite");
  const double share[2] = {car->brake_front_share, car->drive_front_share};
  for (int i = 0; i < 2 && status == SY_OK; i++)
    if (share[i] < 0.0 || share[i] > 1.0)
      return sy_fail(err, SY_RANGE, "car", i == 0 ? "brake_front_share" : "drive_front_share",
                     "is %g, must be between 0 and 1, or NaN", share[i]);
  return status;
}

sy_status sy_rigid_make(const sy_car *car, sy_rigid *out, sy_error *err) {
  sy_totals now;
  const sy_status status = check_asked(car, err);
  sy_ledger_sums(car->now, &now);
  return status == SY_OK ? solve_limits(car, &now, NULL, true, all_limits, out, err) : status;
}

sy_status sy_tip_lines_make(const sy_car *car, sy_tip_lines *out, sy_error *err) {
  sy_totals now;
  sy_tip_lines lines;
  double sink = 0.0;
  sy_status status = check_asked(car, err);
  if (status != SY_OK) return status;
  sy_ledger_sums(car->now, &now);
  if (!(now.all.m > 0.0)) return sy_fail(err, SY_MISSING, "vehicle", "mass", "nothing aboard has a mass");
  status = sink_of(car, &sink, err);
  if (status == SY_OK) status = check_stands(car, &now, sink, err);
  for (int k = 0; k < 2 && status == SY_OK; k++) {
    sy_sums lies;
    status = run_liquid(car, &now, sink, SY_RIGID_TURN + k, &lies, err);
    if (status == SY_OK)
      lines.turn[k] = limit_of(car, &now, sink, SY_RIGID_TURN + k, &lies, NULL, &lines.edge[k]);
  }
  if (status == SY_OK) *out = lines;
  return status;
}

sy_status sy_rigid_turn_make(const sy_car *car, const sy_totals *now, const sy_rigid_turn *was,
                             sy_rigid_turn *out, sy_error *err) {
  sy_rigid_turn r = {.wheel = -1};
  double limit[2];
  if (was != NULL) memcpy(r.lies, was->lies, sizeof r.lies);
  for (int k = 0; k < 2; k++) {
    const int answer = (k == 0 ? TURN_LIFTS : SY_RIGID_TURN) + (car->left > 0.0);
    const sy_status status = was == NULL ? run_liquid(car, now, 0.0, answer, &r.lies[k], err) : SY_OK;
    if (status != SY_OK) return status;
    limit[k] = limit_of(car, now, 0.0, answer, &r.lies[k], k == 0 ? &r.wheel : NULL, NULL);
  }
  r.lift = limit[0], r.tips = limit[1];
  *out = r;
  return SY_OK;
}

static double rigid_value(const void *state, int at) { return ((const sy_rigid *)state)->value[at]; }

/* Rates say how far it sinks under air, and nothing else. */
static bool rigid_by_stated(const void *state, int at, const sy_stated *stated, double *by) {
  (void)at;
  *by = 0.0;
  return (RATES >> stated->field & 1u) && !((const sy_rigid *)state)->air;
}

/* The smaller of both sides; beside a car that is equal on both, that of the side it was. */
static double side_g(const void *state, int at) {
  const sy_rigid *s = state;
  return or_nothing(s->value[at + s->weak]);
}

#define RIGID(name, at, unit)                                                                                \
  { name, SY_PER_CAR, at, SY_UNIT_##unit, rigid_value, NULL, rigid_by_stated, NULL, NULL }
static const sy_answer_row rigid_rows[] = {
    RIGID("ssf", SY_RIGID_SSF, RATIO),
    RIGID("tip.left", SY_RIGID_TIP, RADIAN),
    RIGID("tip.right", SY_RIGID_TIP + 1, RADIAN),
    RIGID("lift.left.angle", SY_RIGID_LIFT, RADIAN),
    RIGID("lift.right.angle", SY_RIGID_LIFT + 1, RADIAN),
    RIGID("side.left_turn", SY_RIGID_TURN, G),
    RIGID("side.right_turn", SY_RIGID_TURN + 1, G),
    {"side_g", SY_PER_CAR, SY_RIGID_TURN, SY_UNIT_G, side_g, NULL, rigid_by_stated, NULL, NULL},
    RIGID("grade.up", SY_RIGID_GRADE, RADIAN),
    RIGID("grade.down", SY_RIGID_GRADE + 1, RADIAN),
    RIGID("traction.front", SY_RIGID_TRACTION, G),
    RIGID("traction.rear", SY_RIGID_TRACTION + 1, G),
    RIGID("traction.all", SY_RIGID_TRACTION + 2, G),
    RIGID("traction.split", SY_RIGID_SPLIT, G),
    RIGID("split.ideal", SY_RIGID_SPLIT_IDEAL, FRACTION),
    RIGID("brake.ideal", SY_RIGID_BRAKE, FRACTION),
    RIGID("brake.critical_z", SY_RIGID_CRITICAL, G),
    RIGID("brake.front_locks", SY_RIGID_LOCKS, G),
    RIGID("brake.rear_locks", SY_RIGID_LOCKS + 1, G),
};

_Static_assert(sizeof rigid_rows / sizeof *rigid_rows <= 64, "rows are bits");

/* Liquid takes most of the time, and each limit has its own. */
static sy_status solve_rigid_rows(const sy_car *car, const sy_totals *now, const sy_totals *drawn,
                                  uint64_t wanted, void *state, sy_error *err) {
  unsigned limits = 0;
  (void)drawn;
  for (size_t r = 0; r < sizeof rigid_rows / sizeof *rigid_rows; r++) {
    if ((wanted >> r & 1u) == 0) continue;
    limits |= 1u << rigid_rows[r].at;
    if (rigid_rows[r].value == side_g) limits |= 1u << (rigid_rows[r].at + 1);
  }
  return solve_limits(car, now, NULL, true, limits & all_limits, state, err);
}

const sy_answer_set *sy_stability_answers(void) {
  static const sy_answer_set set = {.name = "stability",
                                    .row = rigid_rows,
                                    .rows = sizeof rigid_rows / sizeof *rigid_rows,
                                    .sums = SY_SUM_M | SY_SUM_X | SY_SUM_Y | SY_SUM_Z,
                                    .fields = RATES | 1u << SY_STATED_CROSS_SHARE |
                                              1u << SY_STATED_DOWNFORCE | 1u << SY_STATED_FORWARD |
                                              1u << SY_STATED_MU | 1u << SY_STATED_BRAKE_FRONT_SHARE |
                                              1u << SY_STATED_DRIVE_FRONT_SHARE | SY_STATED_PLACES,
                                    .solve = solve_rigid,
                                    .solve_rows = solve_rigid_rows,
                                    .rounding = rounding};
  return &set;
}

/* ---- on springs, on a table ----------------------------------------------------------------------------------------------------------- */

static sy_transfer_path table_path(int side) {
  const double g = SY_STANDARD_GRAVITY;
  return (sy_transfer_path){{0, 0, -g}, {0, side == 0 ? g : -g, 0}, true};
}

/* The wheel that carries least, but something, just before it tips. */
static int least_loaded(const sy_steady *steady, const sy_transfer_path *path, double tip) {
  sy_corner_result r;
  sy_sums moved;
  int least = -1;
  if (sy_settle_stand(&steady->car, sy_transfer_gravity(path, tip * (1.0 - 1e-5)), &r, &moved, NULL) != SY_OK)
    return -1;
  for (int i = 0; i < steady->corner.wheel_count; i++)
    if (r.fits[i].touches && (least < 0 || r.load[i] < r.load[least])) least = i;
  return least;
}

static const sy_ending no_ending = {.wheel = -1};

static sy_status find_endings(const sy_steady *steady, sy_compliant *s, sy_error *err) {
  for (int side = 0; side < 2; side++) {
    const sy_transfer_path path = table_path(side);
    sy_transfer_limit limit;
    const sy_status status = sy_settle_limits(&steady->car, &path, &limit, err);
    if (status != SY_OK) return status;
    s->lift[side] = s->tip[side] = no_ending;
    s->lift[side].limit = s->tip[side].limit = (double)NAN;
    if (limit.lifts) {
      s->lift[side] = sy_ending_make(steady, &path, limit.lift, limit.lift > 0.0 ? limit.wheel : -1);
      s->lift[side].wheel = limit.wheel;
    }
    if (limit.tips)
      s->tip[side] = sy_ending_make(steady, &path, limit.tip, least_loaded(steady, &path, limit.tip));
  }
  return SY_OK;
}

static sy_status solve_compliant(const sy_car *car, const sy_totals *now, const sy_totals *drawn,
                                 const void *base, bool runs, void *state, sy_error *err) {
  const sy_compliant *const was = base;
  sy_compliant *const s = state;
  sy_steady steady;
  const sy_status status = sy_steady_make(car, now, drawn, false, &steady, err);
  if (status != SY_OK) return status;
  if (was == NULL) return find_endings(&steady, s, err);
  for (int side = 0; side < 2; side++) {
    const sy_transfer_path path = table_path(side);
    s->lift[side] = sy_ending_of_other(&was->lift[side], &steady, &path, runs);
    s->tip[side] = sy_ending_of_other(&was->tip[side], &steady, &path, runs);
  }
  return SY_OK;
}

sy_status sy_compliant_make(const sy_car *car, sy_compliant *out, sy_error *err) {
  sy_totals now, drawn;
  sy_compliant s;
  sy_ledger_sums(car->now, &now);
  sy_ledger_sums(car->drawn, &drawn);
  sy_status status = sy_car_check(car, err);
  if (status == SY_OK) status = solve_compliant(car, &now, &drawn, NULL, true, &s, err);
  if (status == SY_OK) *out = s;
  return status;
}

enum { LIFTS, TIPS = LIFTS + 2 };

static const sy_ending *ending_at(const void *state, int at) {
  const sy_compliant *s = state;
  return at < TIPS ? &s->lift[at - LIFTS] : &s->tip[at - TIPS];
}

static double angle(const void *state, int at) { return atan(ending_at(state, at)->limit); }

static double load_before(const void *state, int at) { return ending_at(state, at)->load; }

/* Per radian of the table. */
static double fall_before(const void *state, int at) {
  const sy_ending *e = ending_at(state, at);
  return e->fall * (1.0 + e->before * e->before);
}

#define ANGLE(name, at)                                                                                      \
  { name, SY_PER_CAR, at, SY_UNIT_RADIAN, angle, NULL, NULL, load_before, fall_before }
static const sy_answer_row compliant_rows[] = {
    ANGLE("lift.left.angle", LIFTS),
    ANGLE("lift.right.angle", LIFTS + 1),
    ANGLE("tip.left", TIPS),
    ANGLE("tip.right", TIPS + 1),
};

const sy_answer_set *sy_compliant_answers(void) {
  static const sy_answer_set set = {.name = "stability.compliant",
                                    .row = compliant_rows,
                                    .rows = sizeof compliant_rows / sizeof *compliant_rows,
                                    .on_drawn = true,
                                    .sums = SY_SUM_M | SY_SUM_X | SY_SUM_Y | SY_SUM_Z | SY_SUM_XY |
                                            SY_SUM_XZ | SY_SUM_XX,
                                    .fields = RATES | 1u << SY_STATED_CROSS_SHARE | SY_STATED_PLACES,
                                    .solve = solve_compliant,
                                    .rounding = rounding};
  return &set;
}
