#include "statics/perches.h"

#include <math.h>
#include <string.h>

#include "numeric/linsolve.h"

enum { MOST_CONDITIONS = 5 };

/* Conditions on the turns: row . turns = value. */
typedef struct conditions {
  int count, wheels;
  double row[MOST_CONDITIONS][SY_MAX_WHEELS];
  double value[MOST_CONDITIONS];
} conditions;

typedef struct search {
  const sy_corner_model *m;
  const sy_corner_load *load;
  const sy_perch_ask *ask;
  sy_corner_sensitivities
      sensitivities; /* all wheels touching; of bent wheels where they were looked at last */
  double pitch[SY_MAX_WHEELS];
  double cross[SY_MAX_WHEELS]; /* of the cross weight, per turn */
  sy_corner_result before;
} search;

double sy_corner_cross(const double load[4]) {
  return (load[1] + load[2]) / (load[0] + load[1] + load[2] + load[3]);
}

static bool crossed(const sy_corner_model *m) { return m->vehicle.axle_count == 2 && m->wheel_count == 4; }

/* ---- conditions ------------------------------------------------------------------------------------------------------ */

/* A height or roll of the body as weights of the pose. */
static void add_pose(conditions *c, const search *s, const double weight[4], double change,
                     const sy_corner_result *now) {
  double *row = c->row[c->count], value = change;
  for (int j = 0; j < c->wheels; j++) {
    row[j] = 0.0;
    for (int k = 0; k < 4; k++) row[j] += weight[k] * s->sensitivities.pose_perch[k][j] * s->pitch[j];
  }
  for (int k = 0; k < 4; k++) value -= weight[k] * (now->pose[k] - s->before.pose[k]);
  c->value[c->count++] = value;
}

static void add_line(conditions *c, const search *s, int axle, double change, const sy_corner_result *now) {
  const double weight[4] = {1.0, -s->m->vehicle.axle[axle].x, 0.0, 0.0};
  add_pose(c, s, weight, change, now);
}

/* What is asked of the body over a wheel. */
static double asked_rise(const search *s, int wheel) {
  const sy_perch_ask *a = s->ask;
  const bool first = s->m->wheel[wheel].axle == 0;
  return (first ? a->front : a->rear) + (first ? a->front_roll : a->rear_roll) * s->m->wheel[wheel].y;
}

/* Both corners of an axle, or its one wheel. */
static void add_corners(conditions *c, const search *s, int axle, const sy_corner_result *now) {
  for (int i = 0; i < s->m->wheel_count; i++)
    if (s->m->wheel[i].axle == axle) add_pose(c, s, s->m->arm[i], asked_rise(s, i), now);
}

static void add_roll(conditions *c, const search *s, const sy_corner_result *now) {
  const double mean[4] = {0.0, 0.0, 0.5, 0.5};
  add_pose(c, s, mean, 0.5 * (s->ask->front_roll + s->ask->rear_roll), now);
}

static void gather(conditions *c, const search *s, const sy_corner_result *now) {
  const sy_perch_ask *a = s->ask;
  const int last = s->m->vehicle.axle_count - 1;
  c->count = 0;
  c->wheels = s->m->wheel_count;
  if (a->cross) {
    memcpy(c->row[0], s->cross, sizeof c->row[0]);
    c->value[c->count++] = a->cross_share - sy_corner_cross(now->load);
  }
  switch (a->hold) {
  case SY_HOLD_LEAST_TURNS:
    if (a->raise) {
      add_line(c, s, 0, a->front, now);
      add_line(c, s, last, a->rear, now);
    }
    if (a->lean) add_roll(c, s, now);
    break;
  case SY_HOLD_FRONT_HEIGHTS:
    add_corners(c, s, 0, now);
    add_line(c, s, last, a->rear, now);
    break;
  case SY_HOLD_REAR_HEIGHTS:
    add_line(c, s, 0, a->front, now);
    add_corners(c, s, last, now);
    break;
  default:
    add_line(c, s, 0, a->front, now);
    add_line(c, s, last, a->rear, now);
    add_roll(c, s, now);
  }
}

/* The shortest turns that meet the conditions. */
static sy_status least_turns(const conditions *c, double *turns, sy_error *err) {
  double a[SY_MAX_WHEELS * MOST_CONDITIONS], diagonal[MOST_CONDITIONS], scale[MOST_CONDITIONS],
      work[MOST_CONDITIONS];
  size_t order[MOST_CONDITIONS];
  for (int j = 0; j < c->wheels; j++)
    for (int k = 0; k < c->count; k++) a[j * c->count + k] = c->row[k][j];
  sy_qr qr = {(size_t)c->wheels, (size_t)c->count, a, diagonal, scale, order};
  if (sy_qr_factor(&qr, NULL) != SY_OK)
    return sy_fail(err, SY_GEOMETRY, "vehicle", "perches",
                   "cannot meet these conditions one by one: they depend on one another");
  sy_qr_least_norm(&qr, c->value, turns, work);
  return SY_OK;
}

/* A twisting chassis cannot keep all four corners: the cross weight exactly, the heights by least squares. With heights h = H t the
** condition s . t = d reads (H^-T s) . h = d, whose shortest h is known. */
static sy_status least_heights(const search *s, const sy_corner_result *now, double *turns, sy_error *err) {
  double a[16], transposed[16], w[4], h[4], b[4], diagonal[4], scale[4];
  size_t order[4];
  for (int i = 0; i < 4; i++)
    for (int j = 0; j < 4; j++)
      a[4 * i + j] = transposed[4 * j + i] = s->sensitivities.height_perch[i][j] * s->pitch[j];
  sy_qr qr = {4, 4, transposed, diagonal, scale, order};
  if (sy_qr_factor(&qr, NULL) != SY_OK)
    return sy_fail(err, SY_GEOMETRY, "vehicle", "perches", "do not set the heights one by one");
  memcpy(b, s->cross, sizeof b);
  sy_qr_least_squares(&qr, b, w);
  double square = 0.0, kept = 0.0;
  for (int i = 0; i < 4; i++) {
    h[i] = asked_rise(s, i) - (now->height[i] - s->before.height[i]);
    square += w[i] * w[i];
    kept += w[i] * h[i];
  }
  const double miss = s->ask->cross_share - sy_corner_cross(now->load) - kept;
  for (int i = 0; i < 4; i++) h[i] += w[i] * miss / square;
  qr = (sy_qr){4, 4, a, diagonal, scale, order};
  if (sy_qr_factor(&qr, NULL) != SY_OK)
    return sy_fail(err, SY_GEOMETRY, "vehicle", "perches", "do not set the heights one by one");
  sy_qr_least_squares(&qr, h, turns);
  return SY_OK;
}

static bool spreads_misfit(const search *s) {
  return s->ask->hold == SY_HOLD_ALL_HEIGHTS && !s->m->rigid && s->ask->cross && s->m->wheel_count == 4;
}

/* How far the corners are from what was asked of them. */
static double misfit(const search *s, const sy_corner_result *at) {
  double square = 0.0;
  if (!spreads_misfit(s)) return (double)NAN;
  for (int i = 0; i < 4; i++) square += pow(at->height[i] - s->before.height[i] - asked_rise(s, i), 2);
  return sqrt(square);
}

/* ---- the search ---------------------------------------------------------------------------------------------------------- */

static sy_corner_setting turned(const search *s, const sy_corner_setting *setting, const double *turns) {
  sy_corner_setting at = *setting;
  for (int i = 0; i < s->m->wheel_count; i++) at.perch[i] += turns[i] * s->pitch[i];
  return at;
}

static sy_status solve_at(const search *s, const sy_corner_setting *setting, const double *turns,
                          sy_corner_result *out, sy_error *err) {
  const sy_corner_setting at = turned(s, setting, turns);
  return sy_corner_solve(s->m, s->load, &at, out, err);
}

/* The sensitivities there, with wheels that are off the ground or at a stop back from it: the turns may bring them back. */
static sy_status look(search *s, const sy_corner_setting *setting, const sy_corner_result *at,
                      sy_error *err) {
  sy_corner_result freed = *at;
  double total = s->load->body[0];
  for (int i = 0; i < s->m->wheel_count; i++) freed.fits[i] = (sy_wheel_case){true, 0};
  const sy_status status = sy_corner_sensitivity(s->m, setting, &freed, &s->sensitivities, err);
  if (status != SY_OK) return status;
  for (int axle = 0; axle < s->m->vehicle.axle_count; axle++) total += setting->downforce[axle];
  for (int j = 0; j < s->m->wheel_count; j++)
    s->cross[j] =
        (s->sensitivities.load_perch[1][j] + s->sensitivities.load_perch[2][j]) * s->pitch[j] / total;
  return SY_OK;
}

/* The same with turned perches; straight wheels have the same everywhere. */
static sy_status look_again(search *s, const sy_corner_setting *setting, const double *turns,
                            const sy_corner_result *at, sy_error *err) {
  const sy_corner_setting there = turned(s, setting, turns);
  return s->m->bent != 0 ? look(s, &there, at, err) : SY_OK;
}

static sy_status next_turns(const search *s, const sy_corner_result *now, double *turns, sy_error *err) {
  if (spreads_misfit(s)) return least_heights(s, now, turns, err);
  conditions c;
  gather(&c, s, now);
  memset(turns, 0, SY_MAX_WHEELS * sizeof *turns);
  return c.count == 0 ? SY_OK : least_turns(&c, turns, err);
}

static double largest(const double *list, int n) {
  double most = 0.0;
  for (int i = 0; i < n; i++) most = fmax(most, fabs(list[i]));
  return most;
}

/* Exact turns. While no wheel lifts or lands the first step is right; the second shows it. */
static sy_status find_exact(search *s, const sy_corner_setting *setting, sy_perch_answer *out,
                            sy_error *err) {
  const int n = s->m->wheel_count;
  out->at_exact = s->before;
  memset(out->exact, 0, sizeof out->exact);
  for (int round = 0; round < 60; round++) {
    double more[SY_MAX_WHEELS];
    sy_status status = next_turns(s, &out->at_exact, more, err);
    if (status != SY_OK) return status;
    if (largest(more, n) <= 1e-9 * (1.0 + largest(out->exact, n))) return SY_OK;
    for (int i = 0; i < n; i++) out->exact[i] += more[i];
    if (largest(out->exact, n) > 1e4) break; /* runs away: no perch is as long */
    status = solve_at(s, setting, out->exact, &out->at_exact, err);
    if (status == SY_OK) status = look_again(s, setting, out->exact, &out->at_exact, err);
    if (status != SY_OK) return status;
  }
  return sy_fail(err, SY_GEOMETRY, "vehicle", "perches",
                 "cannot bring this about: a wheel stays off the ground or a suspension at its stop");
}

/* To the notches below or above, each perch: all combinations. */
static void round_turns(const search *s, sy_perch_answer *out) {
  const int n = s->m->wheel_count;
  const double notch = s->ask->notch;
  memcpy(out->turns, out->exact, sizeof out->turns);
  if (!(notch > 0.0)) return;
  double least_miss = (double)INFINITY, least_change = (double)INFINITY;
  for (unsigned choice = 0; choice < 1u << n && n <= 8; choice++) {
    double turns[SY_MAX_WHEELS], miss = 0.0, change = 0.0;
    for (int i = 0; i < n; i++) {
      const double notches = out->exact[i] / notch;
      /* what is a notch but for rounding is that notch */
      const double below = fabs(notches - round(notches)) < 1e-6 ? round(notches) : floor(notches);
      const bool up = choice >> i & 1u;
      turns[i] = (below + up) * notch;
      const double off = turns[i] - out->exact[i];
      miss += s->cross[i] * off;
      change += off * off;
    }
    miss = s->ask->cross ? fabs(miss) : 0.0;
    const bool equal = fabs(miss - least_miss) <= 1e-9; /* of a share: far below any scale */
    if (equal ? change < least_change - 1e-9 : miss < least_miss) {
      least_miss = fmin(miss, least_miss);
      least_change = change;
      memcpy(out->turns, turns, (size_t)n * sizeof *turns);
    }
  }
  if (n > 8)
    for (int i = 0; i < n; i++) out->turns[i] = round(out->exact[i] / notch) * notch;
}

/* Every perch by the same turns: right front and left rear up, the others down. */
static sy_status rule_of_thumb(const search *s, const sy_corner_setting *setting, sy_perch_answer *out,
                               sy_error *err) {
  out->rule = 0.0;
  out->by_rule = s->before;
  if (!s->ask->cross) return SY_OK;
  static const double way[4] = {-1.0, 1.0, 1.0, -1.0};
  double per_turn = 0.0, turns[SY_MAX_WHEELS] = {0};
  for (int i = 0; i < 4; i++) per_turn += way[i] * s->cross[i];
  out->rule = (s->ask->cross_share - sy_corner_cross(s->before.load)) / per_turn;
  if (s->ask->notch > 0.0) out->rule = round(out->rule / s->ask->notch) * s->ask->notch;
  for (int i = 0; i < 4; i++) turns[i] = way[i] * out->rule;
  return solve_at(s, setting, turns, &out->by_rule, err);
}

static double pad_allowed(const search *s) {
  if (!crossed(s->m)) return (double)NAN;
  double total = 0.0, worst = 0.0;
  for (int i = 0; i < 4; i++) total += s->before.load[i];
  for (int j = 0; j < 4; j++)
    worst = fmax(worst, fabs(s->sensitivities.load_pad[1][j] + s->sensitivities.load_pad[2][j]) / total);
  return 0.001 / worst;
}

static sy_status check_ask(const sy_corner_model *m, const sy_perch_ask *a, sy_error *err) {
  for (int i = 0; i < m->wheel_count; i++) {
    if (!isnan(m->vehicle.wheel[i].perch_pitch)) continue;
    char name[SY_WHEEL_NAME];
    sy_vehicle_wheel_name(&m->vehicle, i, name);
    return sy_fail(err, SY_MISSING, name, "perch_pitch", "is not given");
  }
  if (a->cross && !crossed(m))
    return sy_fail(err, SY_GEOMETRY, "vehicle", "cross_share", "is one of two axles with two wheels each");
  if (a->cross && !(a->cross_share >= 0.0 && a->cross_share <= 1.0))
    return sy_fail(err, SY_RANGE, "vehicle", "cross_share", "is %g, must be between 0 and 1", a->cross_share);
  if (!isfinite(a->front) || !isfinite(a->rear))
    return sy_fail(err, SY_RANGE, "vehicle", "heights", "are not finite");
  if (!isfinite(a->front_roll) || !isfinite(a->rear_roll))
    return sy_fail(err, SY_RANGE, "vehicle", "roll", "is not finite");
  if (!(a->notch >= 0.0 && isfinite(a->notch)))
    return sy_fail(err, SY_RANGE, "vehicle", "notch", "is %g, must be 0 or more", a->notch);
  return SY_OK;
}

sy_status sy_perches_find(const sy_corner_model *m, const sy_corner_load *load,
                          const sy_corner_setting *setting, const sy_perch_ask *ask, sy_perch_answer *out,
                          sy_error *err) {
  search s = {.m = m, .load = load, .ask = ask};
  static const double none[SY_MAX_WHEELS] = {0};
  for (int j = 0; j < m->wheel_count; j++) s.pitch[j] = m->vehicle.wheel[j].perch_pitch;
  sy_status status = check_ask(m, ask, err);
  if (status == SY_OK) status = sy_corner_solve(m, load, setting, &s.before, err);
  if (status == SY_OK) status = look(&s, setting, &s.before, err);
  if (status != SY_OK) return status;
  sy_perch_answer a;
  memset(&a, 0, sizeof a);
  a.before = s.before;
  status = find_exact(&s, setting, &a, err);
  if (status != SY_OK) return status;
  round_turns(&s, &a);
  status = look_again(&s, setting, none, &s.before, err);
  if (status == SY_OK) status = solve_at(&s, setting, a.turns, &a.after, err);
  if (status == SY_OK) status = rule_of_thumb(&s, setting, &a, err);
  if (status != SY_OK) return status;
  a.misfit = misfit(&s, &a.at_exact);
  a.pad_allowed = pad_allowed(&s);
  *out = a;
  return SY_OK;
}
