#include "measure/partcg_plan.h"

#include <stdbool.h>
#include <string.h>

#include "base/mat3.h"

sy_partcg_ground sy_partcg_ground_of(double roll, double pitch) {
  const double sr = sin(roll), cr = cos(roll), sp = sin(pitch), cp = cos(pitch);
  return (sy_partcg_ground){
      {cp, sp * sr, sp * cr}, {0, cr, -sr}, {0, sp * cr, -sp * sr}, {0, -sr, -cr}, {-sp, cp * sr, cp * cr}};
}

/* ---- checks ---------------------------------------------------------------------------------------------------------- */

static bool good_sd(double sd) { return sd >= 0 && isfinite(sd); }

sy_status sy_partcg_bad(sy_error *err, sy_status status, const char *what, size_t number, const char *field,
                        const char *why) {
  sy_error name;
  sy_fail(&name, SY_OK, NULL, NULL, "%s %zu", what, number + 1);
  return sy_fail(err, status, name.message, field, "%s", why);
}

static sy_status check_pose(const sy_partcg *p, size_t k, sy_error *err) {
  const sy_partcg_pose *pose = &p->pose[k];
  if (pose->legs == 0 || pose->legs > SY_PARTCG_LEGS)
    return sy_partcg_bad(err, SY_RANGE, "pose", k, "supports", "has no support, or more than 8");
  if (!isfinite(pose->roll) || !isfinite(pose->pitch) || !good_sd(pose->roll_sd) || !good_sd(pose->pitch_sd))
    return sy_partcg_bad(err, SY_RANGE, "pose", k, "tilt", "or its uncertainty is not finite or below 0");
  for (size_t j = 0; j < pose->legs; j++) {
    if (pose->place[j] >= p->places)
      return sy_partcg_bad(err, SY_RANGE, "pose", k, "supports", "names no place");
    if (pose->unread[j]) continue;
    if (!isfinite(pose->load[j]) || !(pose->sd[j] > 0 && isfinite(pose->sd[j])))
      return sy_partcg_bad(err, SY_RANGE, "pose", k, "readings",
                           "or their uncertainties are not finite or not above 0");
  }
  return SY_OK;
}

static sy_status check(const sy_partcg *p, sy_error *err) {
  if (p->poses > SY_PARTCG_POSES || p->places > SY_PARTCG_PLACES || p->balances > SY_PARTCG_BALANCES)
    return sy_fail(err, SY_RANGE, "part_cg", NULL, "has more than %d poses, %d places or %d edges",
                   (int)SY_PARTCG_POSES, (int)SY_PARTCG_PLACES, (int)SY_PARTCG_BALANCES);
  if (p->poses == 0 && p->balances == 0) return sy_fail(err, SY_MISSING, "part_cg", "poses", "are missing");
  for (size_t i = 0; i < p->places; i++) {
    const sy_partcg_place *place = &p->place[i];
    if (!sy_vec3_finite(place->at) || !good_sd(place->sd.x) || !good_sd(place->sd.y) || !good_sd(place->sd.z))
      return sy_fail(err, SY_RANGE, "part_cg", "supports",
                     "or their uncertainties are not finite or below 0");
  }
  for (size_t k = 0; k < p->poses; k++) {
    const sy_status status = check_pose(p, k, err);
    if (status != SY_OK) return status;
  }
  for (size_t b = 0; b < p->balances; b++) {
    const sy_partcg_balance *e = &p->balance[b];
    if (e->axis < 0 || e->axis > 2 || !isfinite(e->edge) || !(e->edge_sd > 0 && isfinite(e->edge_sd)) ||
        !(e->mass >= 0) || !isfinite(e->mass) || !isfinite(e->at) || !good_sd(e->mass_sd) ||
        !good_sd(e->at_sd))
      return sy_partcg_bad(err, SY_RANGE, "edge", b, "",
                           "has a number that is not finite, or an uncertainty or mass below 0");
  }
  return SY_OK;
}

/* ---- the plan -------------------------------------------------------------------------------------------------------- */

static sy_vec3 on_ground(const sy_partcg_ground *g, sy_vec3 p) {
  return (sy_vec3){sy_vec3_dot(g->x, p), sy_vec3_dot(g->y, p), 0};
}

static double area(sy_vec3 a, sy_vec3 b, sy_vec3 c) {
  return fabs((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y));
}

/* Of the legs a, b, c how many were not read. */
static size_t unread_of(const sy_partcg_pose *pose, size_t a, size_t b, size_t c) {
  return (size_t)pose->unread[a] + (size_t)pose->unread[b] + (size_t)pose->unread[c];
}

static size_t all_unread(const sy_partcg_pose *pose) {
  size_t unread = 0;
  for (size_t j = 0; j < pose->legs; j++) unread += pose->unread[j];
  return unread;
}

/* A pose gives three equations, two on two legs, one on one; each unread load takes one of them away. */
static sy_status check_read(const sy_partcg_plan *pl, size_t k, sy_error *err) {
  const sy_partcg_pose *pose = &pl->problem->pose[k];
  if (all_unread(pose) < (pose->legs < 3 ? pose->legs : 3)) return SY_OK;
  return sy_partcg_bad(err, SY_GEOMETRY, "pose", k, "readings",
                       "are too few: with so many supports not read the pose tells nothing");
}

/* The three legs that stand round the largest triangle carry what equilibrium asks, or both of two. Legs that were not read are among
** them: their loads follow from nothing else. */
static sy_status choose_corners(sy_partcg_plan *pl, size_t k, const sy_partcg_ground *g, sy_error *err) {
  const sy_partcg_pose *pose = &pl->problem->pose[k];
  sy_vec3 at[SY_PARTCG_LEGS];
  double size = 0, best = 0;
  for (size_t j = 0; j < pose->legs; j++) at[j] = on_ground(g, pl->problem->place[pose->place[j]].at);
  for (size_t j = 1; j < pose->legs; j++) size = fmax(size, sy_vec3_length(sy_vec3_sub(at[j], at[0])));
  const double least =
      1e-3; /* of the size: legs within a thousandth of one line determine nothing across it */
  if (pose->legs == 1) return SY_OK;
  if (!(size > 0)) return sy_partcg_bad(err, SY_GEOMETRY, "pose", k, "supports", "stand one above the other");
  pl->corner[k][1] = 1;
  pl->along[k] = sy_vec3_scale(1 / sy_vec3_length(sy_vec3_sub(at[1], at[0])), sy_vec3_sub(at[1], at[0]));
  const size_t unread = all_unread(pose);
  for (size_t a = 0; a < pose->legs; a++)
    for (size_t b = a + 1; b < pose->legs; b++)
      for (size_t c = b + 1; c < pose->legs; c++)
        if (unread_of(pose, a, b, c) == unread && area(at[a], at[b], at[c]) > best) {
          best = area(at[a], at[b], at[c]);
          pl->corner[k][0] = a, pl->corner[k][1] = b, pl->corner[k][2] = c;
        }
  if (pose->legs > 2 && !(best > least * size * size))
    return sy_partcg_bad(err, SY_GEOMETRY, "pose", k, "supports",
                         "stand in one line: they tell nothing across it");
  return SY_OK;
}

static void add_direction(sy_sym3 *seen, sy_vec3 d) {
  *seen = sy_sym3_add(*seen, (sy_sym3){d.x * d.x, d.y * d.y, d.z * d.z, d.x * d.y, d.x * d.z, d.y * d.z});
}

/* A corner's load grows with the cg's distance from the line through the other two: what one that was read determines of the
** cg when another was not. */
static void add_corners(const sy_partcg_plan *pl, size_t k, const sy_partcg_ground *g, sy_sym3 *seen) {
  const sy_partcg_pose *pose = &pl->problem->pose[k];
  for (int i = 0; i < 3; i++) {
    if (pose->unread[pl->corner[k][i]]) continue;
    const sy_vec3 b = on_ground(g, pl->problem->place[pose->place[pl->corner[k][(i + 1) % 3]]].at);
    const sy_vec3 c = on_ground(g, pl->problem->place[pose->place[pl->corner[k][(i + 2) % 3]]].at);
    const sy_vec3 line = sy_vec3_scale(1 / sy_vec3_length(sy_vec3_sub(c, b)), sy_vec3_sub(c, b));
    add_direction(seen, sy_vec3_muladd(sy_vec3_scale(-line.y, g->x), line.x, g->y));
  }
}

/* What each pose determines of the cg: two directions across its vertical, or the one along two legs. */
static sy_status find_directions(sy_partcg_plan *pl, sy_error *err) {
  const sy_partcg *p = pl->problem;
  sy_sym3 seen = {0, 0, 0, 0, 0, 0};
  for (size_t k = 0; k < p->poses; k++) {
    const sy_partcg_ground g = sy_partcg_ground_of(p->pose[k].roll, p->pose[k].pitch);
    sy_status status = check_read(pl, k, err);
    if (status == SY_OK) status = choose_corners(pl, k, &g, err);
    if (status != SY_OK) return status;
    if (p->pose[k].legs == 2)
      add_direction(&seen, sy_vec3_muladd(sy_vec3_scale(pl->along[k].x, g.x), pl->along[k].y, g.y));
    if (p->pose[k].legs < 3) continue;
    if (all_unread(&p->pose[k]) > 0) {
      add_corners(pl, k, &g, &seen);
    } else {
      add_direction(&seen, g.x), add_direction(&seen, g.y);
    }
  }
  for (size_t b = 0; b < p->balances; b++) {
    const int axis = p->balance[b].axis;
    add_direction(&seen, (sy_vec3){axis == 0, axis == 1, axis == 2});
  }
  const sy_eigen3 e = sy_sym3_eigen(seen);
  const double least = 1e-6; /* poses less than a tenth of a degree apart determine nothing between them */
  for (int i = 0; i < 3; i++)
    if (e.value[i] > least) pl->direction[pl->directions++] = e.axis[i];
  return SY_OK;
}

static size_t take(size_t *next, bool wanted) { return wanted ? (*next)++ : SY_PARTCG_NONE; }

static void number_unknowns(sy_partcg_plan *pl) {
  const sy_partcg *p = pl->problem;
  size_t next = (pl->has_mass ? 1 : 0) + pl->directions;
  for (size_t k = 0; k < p->poses; k++)
    for (size_t j = 0; j < p->pose[k].legs; j++) {
      const size_t *c = pl->corner[k];
      const bool corner = p->pose[k].legs <= 2 || j == c[0] || j == c[1] || j == c[2];
      pl->free_load[k][j] = take(&next, !corner);
      pl->load_row[k][j] = take(&pl->loads, !p->pose[k].unread[j]);
    }
  pl->rows = pl->loads + p->balances;
  const size_t certain = next;
  for (size_t k = 0; k < p->poses; k++) {
    pl->roll[k] = take(&next, p->pose[k].roll_sd > 0);
    pl->pitch[k] = take(&next, p->pose[k].pitch_sd > 0);
  }
  for (size_t i = 0; i < p->places; i++)
    for (int x = 0; x < 3; x++) pl->place[i][x] = take(&next, sy_vec3_along(p->place[i].sd, x) > 0);
  for (size_t b = 0; b < p->balances; b++) {
    pl->mass[b] = take(&next, p->balance[b].mass_sd > 0);
    pl->at[b] = take(&next, p->balance[b].at_sd > 0);
  }
  pl->rows += next - certain;
  pl->cols = next;
}

sy_status sy_partcg_make_plan(const sy_partcg *p, sy_partcg_plan *pl, sy_error *err) {
  const sy_status fine = check(p, err);
  if (fine != SY_OK) return fine;
  memset(pl, 0, sizeof *pl);
  pl->problem = p;
  pl->has_mass = p->poses > 0;
  for (size_t b = 0; b < p->balances; b++) pl->has_mass = pl->has_mass || p->balance[b].mass > 0;
  for (size_t i = 0; i < p->places; i++)
    pl->reference = sy_vec3_muladd(pl->reference, 1.0 / (double)p->places, p->place[i].at);
  const sy_status status = find_directions(pl, err);
  if (status == SY_OK) number_unknowns(pl);
  return status;
}
