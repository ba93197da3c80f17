#include <string.h>

#include "measure/partcg_plan.h"

sy_vec3 sy_partcg_cg(const sy_partcg_plan *pl, const double *x) {
  sy_vec3 c = pl->reference;
  for (size_t i = 0; i < pl->directions; i++)
    c = sy_vec3_muladd(c, x[(pl->has_mass ? 1 : 0) + i], pl->direction[i]);
  return c;
}

/* One pose with the unknowns as they are: what equilibrium gives for the corner legs, and all that its sensitivities need. */
typedef struct stand {
  sy_partcg_ground g;
  size_t legs, corners;
  sy_vec3 at[SY_PARTCG_LEGS]; /* in the part */
  double load[SY_PARTCG_LEGS];
  double inverse
      [3][3]; /* of the corner legs' equations: sum, and moments about the ground axes (or along two legs) */
} stand;

/* The three sums that a force or mass `weight` at `p` puts into the equations. */
static void sums_at(const sy_partcg_plan *pl, size_t k, const sy_partcg_ground *g, double weight, sy_vec3 p,
                    double out[3]) {
  const double x = sy_vec3_dot(g->x, p), y = sy_vec3_dot(g->y, p);
  const bool two = pl->problem->pose[k].legs == 2;
  out[0] = weight;
  out[1] = weight * (two ? pl->along[k].x * x + pl->along[k].y * y : x);
  out[2] = weight * y;
}

/* The same for a change of the two ground coordinates: (dx, dy) per unit of an unknown. */
static void moments_of(const sy_partcg_plan *pl, size_t k, double weight, double dx, double dy,
                       double out[3]) {
  const bool two = pl->problem->pose[k].legs == 2;
  out[0] = 0;
  out[1] = weight * (two ? pl->along[k].x * dx + pl->along[k].y * dy : dx);
  out[2] = weight * dy;
}

static bool invert(size_t n, double a[3][3], double inverse[3][3]) {
  if (n == 1) {
    inverse[0][0] = 1;
    return true;
  }
  if (n == 2) {
    const double det = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    inverse[0][0] = a[1][1] / det, inverse[0][1] = -a[0][1] / det;
    inverse[1][0] = -a[1][0] / det, inverse[1][1] = a[0][0] / det;
    return det != 0;
  }
  const sy_vec3 r[3] = {
      {a[0][0], a[0][1], a[0][2]}, {a[1][0], a[1][1], a[1][2]}, {a[2][0], a[2][1], a[2][2]}};
  const double det = sy_vec3_dot(r[0], sy_vec3_cross(r[1], r[2]));
  for (int j = 0; j < 3; j++) {
    const sy_vec3 column = sy_vec3_scale(1 / det, sy_vec3_cross(r[(j + 1) % 3], r[(j + 2) % 3]));
    inverse[0][j] = column.x, inverse[1][j] = column.y, inverse[2][j] = column.z;
  }
  return det != 0;
}

static void add(double *to, const double *v, double sign) {
  for (int i = 0; i < 3; i++) to[i] += sign * v[i];
}

/* corner loads that put `sums` into the equations */
static void corner_loads(const stand *s, const double *sums, double *load) {
  const size_t n = s->corners < 3 ? s->corners : 3; /* never more; checkers want it said here */
  for (size_t i = 0; i < n; i++) {
    load[i] = 0;
    for (size_t j = 0; j < n; j++) load[i] += s->inverse[i][j] * sums[j];
  }
}

static bool make_stand(const sy_partcg_plan *pl, size_t k, const double *x, stand *s) {
  const sy_partcg *p = pl->problem;
  const sy_partcg_pose *pose = &p->pose[k];
  s->g = sy_partcg_ground_of(sy_partcg_value(pl->roll[k], x, pose->roll),
                             sy_partcg_value(pl->pitch[k], x, pose->pitch));
  s->legs = pose->legs, s->corners = pose->legs > 3 ? 3 : pose->legs;
  double sums[3], part[3], a[3][3], load[3];
  sums_at(pl, k, &s->g, x[0], sy_vec3_sub(sy_partcg_cg(pl, x), pl->reference), sums);
  for (size_t j = 0; j < s->legs; j++) {
    const sy_partcg_place *place = &p->place[pose->place[j]];
    const size_t *column = pl->place[pose->place[j]];
    s->at[j] =
        (sy_vec3){sy_partcg_value(column[0], x, place->at.x), sy_partcg_value(column[1], x, place->at.y),
                  sy_partcg_value(column[2], x, place->at.z)};
    s->load[j] = 0;
    if (pl->free_load[k][j] == SY_PARTCG_NONE) continue;
    s->load[j] = x[pl->free_load[k][j]];
    sums_at(pl, k, &s->g, s->load[j], sy_vec3_sub(s->at[j], pl->reference), part);
    add(sums, part, -1);
  }
  for (size_t i = 0; i < s->corners; i++) {
    sums_at(pl, k, &s->g, 1, sy_vec3_sub(s->at[pl->corner[k][i]], pl->reference), part);
    for (size_t j = 0; j < s->corners; j++) a[j][i] = part[j];
  }
  if (!invert(s->corners, a, s->inverse)) return false;
  corner_loads(s, sums, load);
  for (size_t i = 0; i < s->corners; i++) s->load[pl->corner[k][i]] = load[i];
  return true;
}

/* Corner loads' sensitivity by one unknown: what it does to the equations with all loads held. */
static void set_sensitivities(const sy_partcg_plan *pl, size_t k, const stand *s, const double *sums,
                              size_t column, double *jacobian) {
  double sensitivity[3];
  corner_loads(s, sums, sensitivity);
  for (size_t i = 0; i < s->corners; i++) {
    const size_t row = pl->load_row[k][pl->corner[k][i]];
    if (row != SY_PARTCG_NONE) jacobian[row * pl->cols + column] += sensitivity[i];
  }
}

static void pose_sensitivities(const sy_partcg_plan *pl, size_t k, const stand *s, const double *x,
                               double *jacobian) {
  const sy_partcg_pose *pose = &pl->problem->pose[k];
  const sy_vec3 c = sy_vec3_sub(sy_partcg_cg(pl, x), pl->reference);
  double sums[3], part[3];
  sums_at(pl, k, &s->g, 1, c, sums);
  set_sensitivities(pl, k, s, sums, 0, jacobian);
  for (size_t i = 0; i < pl->directions; i++) {
    moments_of(pl, k, x[0], sy_vec3_dot(s->g.x, pl->direction[i]), sy_vec3_dot(s->g.y, pl->direction[i]),
               sums);
    set_sensitivities(pl, k, s, sums, 1 + i, jacobian);
  }
  for (size_t j = 0; j < s->legs; j++) {
    for (int i = 0; i < 3; i++) {
      const size_t column = pl->place[pose->place[j]][i];
      if (column == SY_PARTCG_NONE) continue;
      moments_of(pl, k, -s->load[j], sy_vec3_along(s->g.x, i), sy_vec3_along(s->g.y, i), sums);
      set_sensitivities(pl, k, s, sums, column, jacobian);
    }
    if (pl->free_load[k][j] == SY_PARTCG_NONE) continue;
    sums_at(pl, k, &s->g, -1, sy_vec3_sub(s->at[j], pl->reference), sums);
    set_sensitivities(pl, k, s, sums, pl->free_load[k][j], jacobian);
    jacobian[pl->load_row[k][j] * pl->cols + pl->free_load[k][j]] = 1; /* an unread leg is a corner */
  }
  for (int turn = 0; turn < 2; turn++) {
    const size_t column = turn == 0 ? pl->roll[k] : pl->pitch[k];
    if (column == SY_PARTCG_NONE) continue;
    const sy_vec3 dx = turn == 0 ? s->g.x_roll : s->g.x_pitch,
                  dy = turn == 0 ? s->g.y_roll : (sy_vec3){0, 0, 0};
    moments_of(pl, k, x[0], sy_vec3_dot(dx, c), sy_vec3_dot(dy, c), sums);
    for (size_t j = 0; j < s->legs; j++) {
      const sy_vec3 at = sy_vec3_sub(s->at[j], pl->reference);
      moments_of(pl, k, s->load[j], sy_vec3_dot(dx, at), sy_vec3_dot(dy, at), part);
      add(sums, part, -1);
    }
    set_sensitivities(pl, k, s, sums, column, jacobian);
  }
}

/* The edge under the joint cg of the part and the known mass. */
static void balance_row(const sy_partcg_plan *pl, size_t b, const double *x, double *fitted, double *row) {
  const sy_partcg_balance *e = &pl->problem->balance[b];
  const double mass = sy_partcg_value(pl->mass[b], x, e->mass), at = sy_partcg_value(pl->at[b], x, e->at);
  const double part = pl->has_mass ? x[0] : 1, whole = part + mass,
               place = sy_vec3_along(sy_partcg_cg(pl, x), e->axis);
  *fitted = (part * place + mass * at) / whole;
  if (row == NULL) return;
  const size_t first = pl->has_mass ? 1 : 0;
  if (pl->has_mass) row[0] = (place - *fitted) / whole;
  for (size_t i = 0; i < pl->directions; i++)
    row[first + i] = part / whole * sy_vec3_along(pl->direction[i], e->axis);
  if (pl->mass[b] != SY_PARTCG_NONE) row[pl->mass[b]] = (at - *fitted) / whole;
  if (pl->at[b] != SY_PARTCG_NONE) row[pl->at[b]] = mass / whole;
}

/* An uncertain input is observed as itself. */
static void own_rows(const sy_partcg_plan *pl, const double *x, size_t row, double *fitted,
                     double *jacobian) {
  for (size_t column = pl->cols - (pl->rows - row); column < pl->cols; column++, row++) {
    fitted[row] = x[column];
    if (jacobian != NULL) jacobian[row * pl->cols + column] = 1;
  }
}

sy_status sy_partcg_model(void *user, const double *x, double *fitted, double *jacobian, sy_error *err) {
  const sy_partcg_plan *pl = user;
  if (jacobian != NULL) memset(jacobian, 0, pl->rows * pl->cols * sizeof *jacobian);
  for (size_t k = 0; k < pl->problem->poses; k++) {
    stand s = {.legs = 0};
    if (!make_stand(pl, k, x, &s))
      return sy_partcg_bad(err, SY_GEOMETRY, "pose", k, "supports", "stand in one line");
    for (size_t j = 0; j < s.legs; j++)
      if (pl->load_row[k][j] != SY_PARTCG_NONE) fitted[pl->load_row[k][j]] = s.load[j];
    if (jacobian != NULL) pose_sensitivities(pl, k, &s, x, jacobian);
  }
  size_t row = pl->loads;
  for (size_t b = 0; b < pl->problem->balances; b++, row++)
    balance_row(pl, b, x, fitted + row, jacobian == NULL ? NULL : jacobian + row * pl->cols);
  own_rows(pl, x, row, fitted, jacobian);
  return SY_OK;
}
