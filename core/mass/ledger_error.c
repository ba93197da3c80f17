/* ledger_error.c - how parts and pairs err: what one error of each kind does to mass and moments, and what two lines have in common. */
#include "mass/ledger_node.h"

bool sy_same_mass_statement(const sy_part *a, const sy_part *b) {
  if (a->whole != NULL && b->whole != NULL)
    return a->whole->stated == b->whole->stated && a->mass_sd == b->mass_sd;
  return sy_part_stated_mass(a) == sy_part_stated_mass(b) && a->mass_sd == b->mass_sd;
}

static double along(sy_vec3 v, int axis) { return axis == 0 ? v.x : axis == 1 ? v.y : v.z; }

/* The image of a pair that was stated where it lies no longer errs as in the mirror. */
static bool states_itself(const sy_part *p) {
  return (p->flags & (SY_PART_IMAGE | SY_PART_MIRRORED)) == SY_PART_IMAGE;
}

bool sy_same_direction(const sy_part *a, const sy_part *b, int axis, const sy_vec3 *mirror) {
  return mirror == NULL || states_itself(a) == states_itself(b) || along(*mirror, axis) == 0;
}

bool sy_same_coordinate(const sy_part *a, const sy_part *b, int axis, const sy_vec3 *mirror) {
  return along(a->cg_stated, axis) == along(b->cg_stated, axis) &&
         along(a->cg_sd, axis) == along(b->cg_sd, axis) && sy_same_direction(a, b, axis, mirror);
}

mass_error sy_mass_error_of(const sy_part *p, int kind) {
  const sy_fill *f = p->fill;
  switch (kind) {
  case 1: return (mass_error){1, f->dry_sd, f->dry_arm};
  case 2: return (mass_error){f->volume, f->density_sd, f->liquid_arm};
  case 3: return (mass_error){f->density, f->volume_sd, f->surface_arm};
  case 4: return (mass_error){sy_part_stated_mass(p), f->share_sd, {0, 0, 0}};
  default: return (mass_error){1, p->mass_sd, sy_part_arm(p)};
  }
}

bool sy_same_mass_error(const sy_part *a, const sy_part *b, int kind) {
  if (kind == 0) return sy_same_mass_statement(a, b);
  if (a->fill == NULL || b->fill == NULL) return false;
  const sy_fill *f = a->fill, *g = b->fill;
  switch (kind) {
  case 1: return f->dry == g->dry && f->dry_sd == g->dry_sd;
  case 2: return f->density == g->density && f->density_sd == g->density_sd;
  case 3: return f->volume == g->volume && f->volume_sd == g->volume_sd;
  default: return f->share_sd == g->share_sd;
  }
}

double sy_part_mass_sd(const sy_part *part) {
  if (part->fill == NULL) return part->mass_sd;
  double variance = 0;
  for (int kind = 0; kind < MASS_ERRORS; kind++) {
    const mass_error e = sy_mass_error_of(part, kind);
    variance += e.effect * e.sd * (e.effect * e.sd);
  }
  return sqrt(variance);
}

void sy_part_turn_fill(sy_part *part, sy_mat3 turn, sy_fill *room) {
  if (part->fill == NULL) return;
  *room = *part->fill;
  room->dry_arm = sy_mat3_apply(turn, room->dry_arm);
  room->liquid_arm = sy_mat3_apply(turn, room->liquid_arm);
  room->surface_arm = sy_mat3_apply(turn, room->surface_arm);
  part->fill = room;
}

sy_vec3 sy_twin_reflect(sy_vec3 normal, sy_vec3 v) {
  return sy_vec3_muladd(v, -2.0 * sy_vec3_dot(normal, v), normal);
}

/* C += variance w w^T for an error that changes q by w */
void sy_cov_add_mass(double c[10], const double w[4], double variance) {
  static const int row[10] = {0, 0, 0, 0, 1, 1, 1, 2, 2, 3}, column[10] = {0, 1, 2, 3, 1, 2, 3, 2, 3, 3};
  for (int k = 0; k < 10; k++) c[k] += variance * w[row[k]] * w[column[k]];
}

void sy_mass_response(const sy_part *p, double w[4]) {
  const double n = (double)p->count;
  const sy_vec3 at = sy_vec3_add(p->cg, sy_part_arm(p));
  w[0] += n;
  w[1] += n * at.x;
  w[2] += n * at.y;
  w[3] += n * at.z;
}

/* What one unit of a mass error does to (m, m x, m y, m z), added to w. */
static void error_response(const sy_part *p, const mass_error *e, double w[4]) {
  const double n = (double)p->count * e->effect;
  w[0] += n;
  w[1] += n * (p->cg.x + e->arm.x);
  w[2] += n * (p->cg.y + e->arm.y);
  w[3] += n * (p->cg.z + e->arm.z);
}

static void cov_of_fill(const sy_part *p, double c[10]) {
  for (int kind = 1; kind < MASS_ERRORS; kind++) {
    const mass_error e = sy_mass_error_of(p, kind);
    double w[4] = {0, 0, 0, 0};
    error_response(p, &e, w);
    sy_cov_add_mass(c, w, e.sd * e.sd);
  }
}

/* An error e of the place, in the group's directions, changes (m x, m y, m z) by n m e. */
void sy_part_cov(const sy_part *p, double c[10]) {
  double w[4] = {0, 0, 0, 0};
  sy_mass_response(p, w);
  sy_cov_add_mass(c, w, p->mass_sd * p->mass_sd);
  if (p->fill != NULL) cov_of_fill(p, c);
  const double nm = (double)p->count * sy_part_moved(p), k = nm * nm;
  c[4] += k * p->cg_sd.x * p->cg_sd.x;
  c[7] += k * p->cg_sd.y * p->cg_sd.y;
  c[9] += k * p->cg_sd.z * p->cg_sd.z;
}

/* What an error along `direction` as stated is where the piece lies. */
static sy_vec3 error_of_piece(const sy_part *p, sy_vec3 normal, sy_vec3 direction) {
  return p->flags & SY_PART_MIRRORED ? sy_twin_reflect(normal, direction) : direction;
}

/* The mass errors of a pair but for the first, one at a time. */
static void cov_of_pair_fill(const sy_part *const side[2], double c[10]) {
  for (int kind = 1; kind < MASS_ERRORS; kind++)
    for (int s = 0; s < 2; s++) {
      if (side[s] == NULL || side[s]->fill == NULL) continue;
      const sy_part *other = side[1 - s];
      const bool one = other != NULL && sy_same_mass_error(side[0], side[1], kind);
      if (one && s == 1) continue;
      double w[4] = {0, 0, 0, 0};
      const mass_error e = sy_mass_error_of(side[s], kind);
      error_response(side[s], &e, w);
      if (one) {
        const mass_error same = sy_mass_error_of(other, kind);
        error_response(other, &same, w);
      }
      sy_cov_add_mass(c, w, e.sd * e.sd);
    }
}

/* Pieces that state the same have one error; the place of the image errs as the mirror image of what is stated. */
static void cov_of_pair(sy_vec3 normal, const sy_part *left, const sy_part *right, double c[10]) {
  const sy_part *const side[2] = {left, right};
  const bool both = left != NULL && right != NULL;
  const bool one_mass = both && sy_same_mass_statement(left, right);
  double w[2][4] = {{0, 0, 0, 0}, {0, 0, 0, 0}};
  for (int s = 0; s < 2; s++)
    if (side[s] != NULL) sy_mass_response(side[s], w[one_mass ? 0 : s]);
  cov_of_pair_fill(side, c);
  const sy_vec3 unit[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  for (int s = 0; s < 2; s++) {
    const sy_part *p = side[s];
    if (p == NULL) continue;
    if (s == 0 || !one_mass) sy_cov_add_mass(c, w[s], p->mass_sd * p->mass_sd);
    const double sd[3] = {p->cg_sd.x, p->cg_sd.y, p->cg_sd.z}, nm = (double)p->count * p->mass;
    for (int i = 0; i < 3; i++) {
      const bool one = both && sy_same_coordinate(left, right, i, &normal);
      if (s == 1 && one) continue;
      sy_vec3 r = sy_vec3_scale(nm, error_of_piece(p, normal, unit[i]));
      if (one)
        r = sy_vec3_muladd(r, (double)right->count * right->mass, error_of_piece(right, normal, unit[i]));
      sy_cov_add_mass(c, (double[4]){0, r.x, r.y, r.z}, sd[i] * sd[i]);
    }
  }
}

sy_cov4 sy_pair_cov(const group_node *pair, bool left, bool right) {
  const part_node *first = (const part_node *)sy_branch_item(pair->root, 0),
                  *second = (const part_node *)sy_branch_item(pair->root, 1);
  sy_cov4 cov = {{0}};
  cov_of_pair(pair->group.twin_normal, left ? &first->part : NULL, right ? &second->part : NULL, cov.c);
  return cov;
}
