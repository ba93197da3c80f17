#include "statics/settle.h"

#include <string.h>

#include "base/finite.h"
#include "numeric/repeat.h"
#include "statics/corner_body.h"

/* ---- one liquid ---------------------------------------------------------------------------------------------------------- */

static const sy_sums nothing; /* zeros */

static sy_status liquid_sums(const sy_settle_tank *t, sy_vec3 up, sy_sums *out, sy_error *err) {
  sy_liquid w;
  const sy_status status = sy_tank_liquid(&t->tank, t->volume, up, &w, err);
  if (status != SY_OK) return status;
  if (!(w.volume > 0)) {
    *out = nothing;
    return SY_OK;
  }
  const sy_massprops body = {t->mass, sy_vec3_add(t->middle, sy_mat3_apply(t->turn, w.centroid)),
                             sy_sym3_scale(t->mass / w.volume, sy_sym3_turn(t->turn, w.inertia))};
  const sy_sums lies = sy_sums_of(&body);
  const sy_status finite = sy_finite_results(&lies.m, sizeof lies / sizeof(double), "tank", "middle", err);
  if (finite == SY_OK) *out = lies;
  return finite;
}

sy_status sy_settle_book(sy_settle_tank *t, sy_vec3 up, sy_error *err) {
  sy_sums booked;
  const sy_status status = liquid_sums(t, up, &booked, err);
  if (status == SY_OK) t->booked = booked;
  return status;
}

/* The direction against gravity in the body where the tank is: u - w x u for a small turn w of the body. */
static sy_vec3 up_in_body(const sy_settle_tank *t, const sy_vehicle *v, sy_vec3 gravity, const double *pose) {
  const sy_vec3 up = sy_vec3_scale(-1.0, gravity);
  if (pose == NULL || !(t->booked.m > 0)) return up;
  const double near = sy_corner_nearness(v, t->booked.first.x / t->booked.m);
  const sy_vec3 turn = {near * pose[2] + (1.0 - near) * pose[3], pose[1], 0};
  return sy_vec3_sub(up, sy_vec3_cross(turn, up));
}

sy_status sy_settle_liquid(const sy_settle_tank *t, const sy_vehicle *vehicle, sy_vec3 gravity,
                           const double pose[4], sy_sums *out, sy_error *err) {
  const sy_status status = sy_vehicle_check_counts(vehicle, err);
  if (status != SY_OK) return status;
  const sy_vec3 up = up_in_body(t, vehicle, gravity, pose);
  return liquid_sums(t, sy_mat3_apply(sy_mat3_transpose(t->turn), up), out, err);
}

sy_status sy_settle_moved(const sy_settle_tanks *tanks, const sy_vehicle *vehicle, sy_vec3 gravity,
                          const double pose[4], sy_sums *out, sy_error *err) {
  sy_sums moved = nothing;
  for (size_t i = 0; i < tanks->count; i++) {
    const sy_settle_tank *t = &tanks->tank[i];
    sy_sums lies;
    const sy_status status = sy_settle_liquid(t, vehicle, gravity, pose, &lies, err);
    if (status != SY_OK) return status;
    const sy_sums left = sy_sums_scale(-1.0, &t->booked);
    const sy_sums change = sy_sums_add(&lies, &left);
    moved = sy_sums_add(&moved, &change);
  }
  moved.m = 0.0;
  const sy_status finite = sy_finite_results(&moved.m, sizeof moved / sizeof(double), "tank", "booked", err);
  if (finite == SY_OK) *out = moved;
  return finite;
}

void sy_settle_add(sy_totals *totals, const sy_sums *moved) {
  sy_sums *body = &totals->carried[SY_CARRIER_BODY];
  if (!(totals->carriers & 1u)) *body = nothing;
  totals->all = sy_sums_add(&totals->all, moved);
  *body = sy_sums_add(body, moved);
  totals->carriers |= 1u;
}

/* ---- to and fro ---------------------------------------------------------------------------------------------------------- */

static const double as_drawn[4] = {0, 0, 0, 0};

/* One round: where the body stands when the totals are these. */
typedef sy_status stand_of(void *user, const sy_totals *totals, sy_corner_result *out, sy_error *err);

static double most_turned(const double by[4]) { return fmax(fabs(by[1]), fmax(fabs(by[2]), fabs(by[3]))); }

/* A round leaves an even part of the way before it, some thousandths, so the rest follows from two of them (Aitken's delta-squared process,
** for each angle by itself). Where it is less even the next rounds find out. */
static void look_ahead(const double before[4], const double by[4], double pose[4]) {
  for (int k = 1; k < 4; k++) {
    const double part = before[k] != 0.0 ? by[k] / before[k] : 0.0;
    if (fabs(part) < 0.5) pose[k] += by[k] * part / (1.0 - part);
  }
}

/* start  a pose near the answer, or as_drawn
** part   of the error before that a round leaves, at most, as known from elsewhere: UNKNOWN_PART; then as found here */
#define UNKNOWN_PART 1.0
static sy_status repeat(const sy_totals *now, const sy_settle_tanks *tanks, const sy_vehicle *vehicle,
                        sy_vec3 gravity, const double start[4], double *part, stand_of *stand, void *user,
                        sy_corner_result *out, sy_sums *moved, sy_error *err) {
  *moved = nothing;
  if (tanks->count == 0) return stand(user, now, out, err);
  if (!sy_vec3_finite(gravity) || !(gravity.z < 0.0))
    return stand(user, now, out, err); /* says what is wrong */
  /* rad: times a car's roll stiffness some 1e-7 N, a hundredth of a milligram on a wheel */
  const double still = 1e-12;
  const double blurred = 1e-13; /* rad: of steps as small as rounding no part is left */
  const int slow = 10; /* where wheels have lifted a round may leave nearly all of the way before it */
  double pose[4], last[4] = {0, 0, 0, 0}, left = *part;
  sy_repeat rounds;
  memset(&rounds, 0, sizeof rounds);
  memcpy(pose, start, sizeof pose);
  for (int round = 0; round < SY_REPEAT_MOST; round++) {
    sy_corner_result r;
    sy_totals totals = *now;
    sy_status status = sy_settle_moved(tanks, vehicle, gravity, pose, moved, err);
    if (status != SY_OK) return status;
    sy_settle_add(&totals, moved);
    status = stand(user, &totals, &r, err);
    if (status == SY_GEOMETRY && sy_repeat_back(&rounds, 4, pose)) continue;
    if (status != SY_OK) return status;
    double by[4];
    for (int k = 0; k < 4; k++) by[k] = r.pose[k] - pose[k];
    /* not of the round that looked ahead: it leaves less than a round does */
    if (round > 0 && round != 2 && most_turned(last) > blurred)
      left = fmin(1.0, fmax(round == 1 ? 0.0 : left, most_turned(by) / most_turned(last)));
    if (most_turned(by) * left <= still) {
      if (round > 0) *part = fmin(1.0, 10.0 * left); /* elsewhere a wheel may be off the ground */
      *out = r;
      return SY_OK;
    }
    if (round >= slow) {
      sy_repeat_next(&rounds, 4, pose, r.pose);
      continue;
    }
    memcpy(pose, r.pose, sizeof pose);
    if (round == 1) look_ahead(last, by, pose);
    memcpy(last, by, sizeof last);
  }
  if (sy_repeat_runs_away(&rounds))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cg", "goes on moving with the liquid: it would tip");
  return sy_fail(err, SY_LIMIT, "vehicle", "tank", "liquid and body do not come to rest in %d rounds",
                 (int)SY_REPEAT_MOST);
}

/* ---- on springs ---------------------------------------------------------------------------------------------------------- */

typedef struct corner_ask {
  const sy_corner_model *model;
  const sy_corner_setting *setting;
  sy_vec3 gravity;
  sy_corner_load load;
} corner_ask;

static sy_status stand_on_springs(void *user, const sy_totals *totals, sy_corner_result *out, sy_error *err) {
  corner_ask *a = user;
  const sy_status status = sy_corner_load_of(totals, &a->model->vehicle, a->gravity, &a->load, err);
  return status == SY_OK ? sy_corner_solve(a->model, &a->load, a->setting, out, err) : status;
}

sy_status sy_settle_corner(const sy_corner_model *model, const sy_totals *now, const sy_settle_tanks *tanks,
                           sy_vec3 gravity, const sy_corner_setting *setting, sy_settled *out,
                           sy_error *err) {
  corner_ask ask = {.model = model, .setting = setting, .gravity = gravity};
  sy_settled s;
  double part = UNKNOWN_PART;
  const sy_status status = repeat(now, tanks, &model->vehicle, gravity, as_drawn, &part, stand_on_springs,
                                  &ask, &s.stand, &s.moved, err);
  if (status != SY_OK) return status;
  s.load = ask.load;
  *out = s;
  return SY_OK;
}

/* ---- perches ------------------------------------------------------------------------------------------------------------- */

typedef struct perch_work {
  const sy_corner_model *model;
  const sy_totals *now;
  const sy_settle_tanks *tanks;
  sy_vec3 gravity;
  const sy_corner_setting *setting;
} perch_work;

static sy_status turn_perches(const perch_work *w, const double turns[SY_MAX_WHEELS], sy_settled *out,
                              sy_error *err) {
  sy_corner_setting s = *w->setting;
  for (int i = 0; i < w->model->wheel_count; i++)
    if (turns[i] != 0.0) s.perch[i] += turns[i] * w->model->vehicle.wheel[i].perch_pitch;
  return sy_settle_corner(w->model, w->now, w->tanks, w->gravity, &s, out, err);
}

/* The four equilibria of an answer, each with its own liquid. */
static sy_status settle_answer(const perch_work *w, sy_perch_answer *a, sy_error *err) {
  double none[SY_MAX_WHEELS] = {0}, rule[SY_MAX_WHEELS] = {0};
  for (int i = 0; i < w->model->wheel_count; i++)
    rule[i] = (w->model->wheel[i].axle == 0) == (w->model->wheel[i].side < 0) ? a->rule : -a->rule;
  const double *const turns[4] = {none, a->exact, a->turns, rule};
  sy_corner_result *const to[4] = {&a->before, &a->at_exact, &a->after, &a->by_rule};
  for (int k = 0; k < 4; k++) {
    sy_settled s;
    const sy_status status = turn_perches(w, turns[k], &s, err);
    if (status != SY_OK) return status;
    *to[k] = s.stand;
  }
  return SY_OK;
}

sy_status sy_settle_perches(const sy_corner_model *model, const sy_totals *now, const sy_settle_tanks *tanks,
                            sy_vec3 gravity, const sy_corner_setting *setting, const sy_perch_ask *ask,
                            sy_perch_answer *out, sy_error *err) {
  const perch_work w = {model, now, tanks, gravity, setting};
  sy_settled lies;
  sy_perch_answer a;
  sy_status status = sy_settle_corner(model, now, tanks, gravity, setting, &lies, err);
  if (status == SY_OK) status = sy_perches_find(model, &lies.load, setting, ask, &a, err);
  if (status != SY_OK) return status;
  /* the turns change the pose, the pose moves the liquid, and the liquid asks for other turns: a thousandth of a thousandth */
  for (int round = 0; round < 3 && tanks->count > 0; round++) {
    status = turn_perches(&w, a.exact, &lies, err);
    if (status == SY_OK) status = sy_perches_find(model, &lies.load, setting, ask, &a, err);
    if (status != SY_OK) return status;
  }
  if (tanks->count > 0) status = settle_answer(&w, &a, err);
  if (status == SY_OK) *out = a;
  return status;
}

/* ---- under a steady force --------------------------------------------------------------------------------------------------- */

typedef struct transfer_ask {
  const sy_settle_car *car;
  sy_vec3 gravity;
  bool begun; /* the model below has the car's corner */
  bool made;  /* and its sums as booked */
  sy_transfer_model model;
  double roll[SY_TRANSFER_ROLLS]; /* where it stood before, 0 to begin with */
} transfer_ask;

static void begin(transfer_ask *ask, const sy_settle_car *car) {
  ask->car = car, ask->begun = ask->made = false;
  memset(ask->roll, 0, sizeof ask->roll);
}

/* The model depends on the totals alone: without tanks it is made once. */
static sy_status stand_under_force(void *user, const sy_totals *totals, sy_corner_result *out,
                                   sy_error *err) {
  transfer_ask *a = user;
  const sy_settle_car *c = a->car;
  if (!a->made) {
    const sy_corner_model *corner = a->begun ? &a->model.corner : c->corner;
    const sy_status status = sy_transfer_make(corner, totals, c->downforce, c->bars, &a->model, err);
    if (status != SY_OK) return status;
    a->model.brake_front_share = c->brake_front_share;
    a->begun = true;
    a->made = c->tanks.count == 0;
  }
  return sy_transfer_solve_from(&a->model, a->gravity, a->roll, out, err);
}

/* From a pose near the answer, or as_drawn. */
static sy_status push_from(transfer_ask *ask, sy_vec3 gravity, const double start[4], double *part,
                           sy_corner_result *stand, sy_sums *moved, sy_error *err) {
  const sy_settle_car *c = ask->car;
  ask->gravity = gravity;
  return repeat(c->now, &c->tanks, &c->corner->vehicle, gravity, start, part, stand_under_force, ask, stand,
                moved, err);
}

sy_status sy_settle_transfer(const sy_settle_car *car, sy_vec3 gravity, sy_settled_transfer *out,
                             sy_error *err) {
  transfer_ask ask;
  sy_corner_result stand;
  sy_sums moved;
  double part = UNKNOWN_PART;
  begin(&ask, car);
  const sy_status status = push_from(&ask, gravity, as_drawn, &part, &stand, &moved, err);
  if (status != SY_OK) return status;
  out->model = ask.model;
  out->stand = stand;
  out->moved = moved;
  return SY_OK;
}

sy_status sy_settle_stand(const sy_settle_car *car, sy_vec3 gravity, sy_corner_result *stand, sy_sums *moved,
                          sy_error *err) {
  transfer_ask ask;
  double part = UNKNOWN_PART;
  sy_corner_result r;
  sy_sums run;
  begin(&ask, car);
  const sy_status status = push_from(&ask, gravity, as_drawn, &part, &r, &run, err);
  if (status != SY_OK) return status;
  *stand = r;
  *moved = run;
  return SY_OK;
}

/* A search looks at many places of one path: liquid starts where it would lie in a body whose pose goes on along the line of the last two looks. The lean
** starts upright at each, since a car that has to swing onto another wheel may stand under a force it came to slowly and tip under the same one
** at once. */
typedef struct growing {
  const sy_transfer_path *path;
  double s[2], pose[2][4]; /* of the looks that stood, the last one first */
  int looks;               /* how many of them there are */
  double part;
  transfer_ask ask;
} growing;

/* Where on the path that gravity is: the inverse of sy_transfer_gravity. */
static double place_on(const sy_transfer_path *path, sy_vec3 gravity) {
  const double part = sy_vec3_dot(gravity, path->along) / sy_vec3_dot(path->along, path->along);
  return path->table ? part * path->fixed.z / gravity.z : part;
}

static sy_status stand_by_force(void *user, sy_vec3 gravity, sy_corner_result *out, sy_error *err) {
  growing *g = user;
  sy_corner_result stand;
  sy_sums moved;
  double start[4];
  const double s = place_on(g->path, gravity), step = g->s[0] - g->s[1];
  memcpy(start, g->pose[0], sizeof start);
  for (int k = 0; k < 4 && g->looks == 2 && step != 0.0; k++)
    start[k] += (s - g->s[0]) / step * (g->pose[0][k] - g->pose[1][k]);
  memset(g->ask.roll, 0, sizeof g->ask.roll);
  const sy_status status = push_from(&g->ask, gravity, start, &g->part, &stand, &moved, err);
  if (status != SY_OK) return status;
  if (s != g->s[0] || g->looks == 0) {
    g->s[1] = g->s[0];
    memcpy(g->pose[1], g->pose[0], sizeof g->pose[1]);
    g->looks = g->looks > 0 ? 2 : 1;
  }
  g->s[0] = s;
  memcpy(g->pose[0], stand.pose, sizeof g->pose[0]);
  *out = stand;
  return SY_OK;
}

sy_status sy_settle_limits(const sy_settle_car *car, const sy_transfer_path *path, sy_transfer_limit *out,
                           sy_error *err) {
  growing g = {.path = path, .part = UNKNOWN_PART};
  begin(&g.ask, car);
  return sy_transfer_limits_of(stand_by_force, &g, car->corner->wheel_count, path, out, err);
}
