#include "answers/balance_answers.h"

#include "statics/balance.h"

_Static_assert(sizeof(sy_balance) <= sizeof(sy_answer_state), "the room for states");

static const sy_balance *of(const void *state) { return state; }

static double value(const void *state, int at) { return of(state)->value[at]; }

static void by_sums(const void *state, int at, sy_sensitivity *now, sy_sensitivity *drawn) {
  (void)drawn;
  *now = sy_balance_sensitivity(of(state), (sy_answer)at);
}

/* How far each wheel goes by one unit of a stated number; false where it is not a place. */
static bool ways_of(const sy_balance *b, const sy_stated *stated, sy_balance_ways *out) {
  *out = (sy_balance_ways){0};
  if (!sy_stated_place(stated)) return false;
  for (int i = 0; i < b->map.wheel_count; i++) out->wheel[i] = sy_stated_wheel_way(&b->map, stated, i);
  out->front_x = sy_stated_line_way(&b->map, stated, 0);
  out->rear_x = sy_stated_line_way(&b->map, stated, b->axle_count - 1);
  return true;
}

static bool by_stated(const void *state, int at, const sy_stated *stated, double *by) {
  sy_balance_ways ways;
  if (ways_of(of(state), stated, &ways)) return sy_balance_by_places(of(state), (sy_answer)at, &ways, by);
  *by = stated->field == SY_STATED_CROSS_SHARE ? sy_balance_by_cross(of(state), (sy_answer)at) : 0.0;
  return true;
}

/* ---- from the front axle -------------------------------------------------------------------------------------------------- */

static double behind(const void *state, int at) { return of(state)->front_x - of(state)->value[at]; }

static void behind_by_sums(const void *state, int at, sy_sensitivity *now, sy_sensitivity *drawn) {
  by_sums(state, at, now, drawn);
  now->m = -now->m;
  now->first = sy_vec3_scale(-1.0, now->first);
}

static bool behind_by_stated(const void *state, int at, const sy_stated *stated, double *by) {
  sy_balance_ways ways;
  (void)at;
  ways_of(of(state), stated, &ways);
  *by = ways.front_x;
  return true;
}

/* ---- about the rear axle ---------------------------------------------------------------------------------------------------- */

/* About the upright axis through the middle of the last axle at x = r: S_xx + S_yy - 2 r f_x + r^2 m, no square of the cg in it. */
static double yaw_inertia_rear(const void *state, int at) {
  const sy_sums *s = &of(state)->sums;
  const double r = of(state)->rear_x;
  (void)at;
  return s->second.xx + s->second.yy - 2.0 * r * s->first.x + r * r * s->m;
}

static void yaw_inertia_rear_by_sums(const void *state, int at, sy_sensitivity *now, sy_sensitivity *drawn) {
  const double r = of(state)->rear_x;
  (void)at, (void)drawn;
  *now = (sy_sensitivity){
      .m = r * r, .first = {-2.0 * r, 0, 0}, .second = {1, 1, 0, 0, 0, 0}, .carriers = SY_ALL_CARRIERS};
}

static bool yaw_inertia_rear_by_stated(const void *state, int at, const sy_stated *stated, double *by) {
  const sy_balance *b = of(state);
  sy_balance_ways ways;
  (void)at;
  ways_of(b, stated, &ways);
  *by = 2.0 * (b->rear_x * b->sums.m - b->sums.first.x) * ways.rear_x;
  return true;
}

#define ROW(name, per, at, unit)                                                                             \
  { name, per, at, unit, value, by_sums, by_stated, NULL, NULL }
#define CAR(name, at, unit) ROW(name, SY_PER_CAR, SY_ANSWER_##at, SY_UNIT_##unit)
static const sy_answer_row rows[] = {
    CAR("mass", MASS, KILOGRAM),
    CAR("front", FRONT, NEWTON),
    CAR("rear", REAR, NEWTON),
    CAR("left", LEFT, NEWTON),
    CAR("right", RIGHT, NEWTON),
    CAR("front_share", FRONT_SHARE, FRACTION),
    CAR("left_share", LEFT_SHARE, FRACTION),
    CAR("cross_share", CROSS_SHARE, FRACTION),
    CAR("diagonal_ratio", DIAGONAL_RATIO, RATIO),
    CAR("cg.x", CG_X, METRE),
    CAR("cg.y", CG_Y, METRE),
    CAR("cg.z", CG_Z, METRE),
    CAR("height", CG_Z, METRE),
    CAR("cg_left", CG_Y, METRE),
    {"cg_behind", SY_PER_CAR, SY_ANSWER_CG_X, SY_UNIT_METRE, behind, behind_by_sums, behind_by_stated, NULL,
     NULL},
    CAR("yaw_inertia", ZZ, KILOGRAM_METRE_2),
    CAR("yaw_index", YAW_INDEX, RATIO),
    CAR("pitch_inertia", YY, KILOGRAM_METRE_2),
    /* none of the sheet's own answers */
    {"yaw_inertia_rear", SY_PER_CAR, SY_ANSWER_COUNT, SY_UNIT_KILOGRAM_METRE_2, yaw_inertia_rear,
     yaw_inertia_rear_by_sums, yaw_inertia_rear_by_stated, NULL, NULL},
    CAR("inertia.xx", XX, KILOGRAM_METRE_2),
    CAR("inertia.yy", YY, KILOGRAM_METRE_2),
    CAR("inertia.zz", ZZ, KILOGRAM_METRE_2),
    CAR("inertia.xy", XY, KILOGRAM_METRE_2),
    CAR("inertia.xz", XZ, KILOGRAM_METRE_2),
    CAR("inertia.yz", YZ, KILOGRAM_METRE_2),
    CAR("sprung.mass", SPRUNG_MASS, KILOGRAM),
    CAR("sprung.cg.x", SPRUNG_X, METRE),
    CAR("sprung.cg.y", SPRUNG_Y, METRE),
    CAR("sprung.cg.z", SPRUNG_Z, METRE),
    CAR("unsprung.mass", UNSPRUNG_MASS, KILOGRAM),
    CAR("unsprung.cg.x", UNSPRUNG_X, METRE),
    CAR("unsprung.cg.y", UNSPRUNG_Y, METRE),
    CAR("unsprung.cg.z", UNSPRUNG_Z, METRE),
    ROW("axle.", SY_PER_AXLE, SY_ANSWER_AXLE, SY_UNIT_NEWTON),
    ROW("unsprung.axle.", SY_PER_AXLE, SY_ANSWER_UNSPRUNG_AXLE, SY_UNIT_KILOGRAM),
    ROW("", SY_PER_WHEEL, SY_ANSWER_WHEEL, SY_UNIT_NEWTON),
};

static sy_status solve(const sy_car *car, const sy_totals *now, const sy_totals *drawn, const void *base,
                       bool runs, void *state, sy_error *err) {
  (void)drawn, (void)base, (void)runs;
  return sy_balance_make(now, &car->vehicle, &car->map, state, err);
}

const sy_answer_set *sy_balance_answers(void) {
  static const sy_answer_set set = {.name = "balance",
                                    .row = rows,
                                    .rows = sizeof rows / sizeof *rows,
                                    .fields = 1u << SY_STATED_CROSS_SHARE | SY_STATED_PLACES,
                                    .sums = (1u << SY_SUMS) - 1u,
                                    .solve = solve};
  return &set;
}
