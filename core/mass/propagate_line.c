#include "mass/propagate_line.h"

#include <math.h>
#include <string.h>

#include "mass/solids.h"

enum { MOST_TOGETHER = 4 }; /* errors that are added in one go: a mass and three coordinates */

/* What one standard uncertainty of some errors does to each answer. */
typedef struct effects {
  double of[SY_WALK_ANSWERS][MOST_TOGETHER];
} effects;

static void add_products(sum_of_errors *sum, const effects *e, int used) {
  for (size_t k = 0; k < sum->count; k++)
    for (size_t l = k + 1; l < sum->count; l++)
      for (int j = 0; j < used; j++) sum->product[k][l] += e->of[k][j] * e->of[l][j];
}

static inline void add_effects(sum_of_errors *sum, const effects *e, int used) {
  for (size_t k = 0; k < sum->count; k++) {
    double squares = e->of[k][0] * e->of[k][0];
    for (int j = 1; j < used; j++) squares += e->of[k][j] * e->of[k][j];
    sum->variance[k] += squares;
  }
  if (sum->crossed) add_products(sum, e, used);
}

/* ---- one piece --------------------------------------------------------------------------------------------------- */

static double carried_fraction(const sy_part *p, unsigned carriers) {
  if (carriers == SY_ALL_CARRIERS) return 1.0;
  double body = 1.0, sum = 0;
  for (unsigned i = 0; i < p->unsprung.count; i++) {
    body -= p->unsprung.fraction[i];
    if (carriers >> p->unsprung.carrier[i] & 1u) sum += p->unsprung.fraction[i];
  }
  return carriers & 1u ? sum + body : sum;
}

/* A piece's own second moments, with the products' sign turned. */
static sy_sym3 own_moments(sy_sym3 j) {
  const double half = 0.5 * (j.xx + j.yy + j.zz);
  return (sy_sym3){half - j.xx, half - j.yy, half - j.zz, j.xy, j.xz, j.yz};
}

/* What they do to the answer. */
static double own_effect(const sy_sym3 *own, const sy_sensitivity *g) {
  return g->second.xx * own->xx + g->second.yy * own->yy + g->second.zz * own->zz -
         2.0 * (g->second.xy * own->xy + g->second.xz * own->xz + g->second.yz * own->yz);
}

/* A solid's own moments grow with its mass: of one density and any size as m^(5/3). 0: they do not. */
static double growth_of(const sy_part *p) {
  if (!(p->flags & SY_PART_SOLID && p->mass > 0)) return 0;
  return p->flags & SY_PART_USUAL ? 5.0 / 3.0 : 1.0;
}

/* What one kilogram more at `at` does, and one metre more of what lies there, a kilogram. */
static double effect_of_mass(const sy_sensitivity *g, sy_vec3 at) {
  const double effect = g->m + sy_vec3_dot(g->first, at);
  return g->flat ? effect : effect + sy_sym3_quadratic(g->second, at);
}

static sy_vec3 effect_of_place(const sy_sensitivity *g, sy_vec3 at) {
  return g->flat ? g->first : sy_vec3_muladd(g->first, 2.0, sy_sym3_apply(g->second, at));
}

/* What one kilogram more of each piece, lying at `at`, does to the answer. */
static double mass_effect_at(const piece *p, const sy_sensitivity *g, sy_vec3 at) {
  double effect = effect_of_mass(g, at);
  const double growth = g->flat ? 0 : growth_of(p->part);
  if (growth > 0) {
    const sy_sym3 own = own_moments(p->part->inertia);
    effect += growth * own_effect(&own, g) / p->part->mass;
  }
  return (double)p->part->count * carried_fraction(p->part, g->carriers) * effect;
}

static sy_vec3 mass_place(const piece *p) { return sy_vec3_add(p->part->cg, sy_part_arm(p->part)); }

static double mass_effect(const piece *p, const sy_sensitivity *g) {
  return mass_effect_at(p, g, mass_place(p));
}

/* What one unit of a mass error does. */
static double error_effect(const piece *p, const sy_sensitivity *g, int kind) {
  if (kind == 0) return mass_effect(p, g);
  const mass_error e = sy_mass_error_of(p->part, kind);
  return e.effect * mass_effect_at(p, g, sy_vec3_add(p->part->cg, e.arm));
}

/* What one metre of error of its place does, along the directions of the error as stated. */
static sy_vec3 place_effect(const piece *p, const sy_sensitivity *g) {
  const sy_vec3 effect =
      sy_vec3_scale((double)p->part->count * sy_part_moved(p->part) * carried_fraction(p->part, g->carriers),
                    effect_of_place(g, mass_place(p)));
  return p->part->flags & SY_PART_MIRRORED && p->normal != NULL ? sy_twin_reflect(*p->normal, effect)
                                                                : effect;
}

static void add_fill_errors(sum_of_errors *sum, const piece *p) {
  for (int kind = 1; kind < sy_mass_error_count(p->part); kind++) {
    const double fill_sd = sy_mass_error_of(p->part, kind).sd;
    effects e;
    for (size_t k = 0; k < sum->count; k++) e.of[k][0] = error_effect(p, &p->by[k], kind) * fill_sd;
    add_effects(sum, &e, 1);
  }
}

/* What one standard uncertainty of each entry of a whole's measured inertia does: second moments are half its trace less itself. */
static void add_inertia_error(sum_of_errors *sum, const piece *pieces, const bool *same, size_t count,
                              sy_sym3 sd) {
  effects e[2];
  memset(e, 0, sizeof e);
  for (size_t k = 0; k < sum->count; k++)
    for (size_t j = 0; j < count; j++) {
      const sy_sensitivity *g = &pieces[j].by[k];
      if (!same[j] || g->flat) continue;
      const double part = carried_fraction(pieces[j].part, g->carriers),
                   half = 0.5 * (g->second.xx + g->second.yy + g->second.zz);
      e[0].of[k][0] += part * (half - g->second.xx) * sd.xx;
      e[0].of[k][1] += part * (half - g->second.yy) * sd.yy;
      e[0].of[k][2] += part * (half - g->second.zz) * sd.zz;
      e[1].of[k][0] -= 2.0 * part * g->second.xy * sd.xy;
      e[1].of[k][1] -= 2.0 * part * g->second.xz * sd.xz;
      e[1].of[k][2] -= 2.0 * part * g->second.yz * sd.yz;
    }
  add_effects(sum, &e[0], 3);
  add_effects(sum, &e[1], 3);
}

/* A weighing that says the same of its mass and of how well its inertia is known is the same one. */
static void add_inertia_errors(sum_of_errors *sum, const piece *pieces, size_t count) {
  bool met[SY_MOST_PIECES] = {false};
  for (size_t i = 0; i < count; i++) {
    const sy_whole *w = pieces[i].part->whole;
    if (met[i] || w == NULL) continue;
    bool same[SY_MOST_PIECES] = {false};
    for (size_t j = i; j < count; j++) {
      const sy_whole *v = pieces[j].part->whole;
      same[j] = !met[j] && v != NULL && sy_same_mass_statement(pieces[i].part, pieces[j].part) &&
                memcmp(&v->inertia_sd, &w->inertia_sd, sizeof v->inertia_sd) == 0;
      met[j] = met[j] || same[j];
    }
    add_inertia_error(sum, pieces, same, count, w->inertia_sd);
  }
}

/* One piece alone, as in every walk over a single ledger: most of the time goes here, so what is the same for every answer is worked out
** once. The products are those of mass_effect and place_effect, in the same order. */
static void add_piece(sum_of_errors *sum, const piece *p) {
  const sy_part *part = p->part;
  const sy_vec3 at = mass_place(p), sd = part->cg_sd;
  const sy_sym3 own = own_moments(part->inertia);
  const double count = (double)part->count, moved = count * sy_part_moved(part), mass_sd = part->mass_sd,
               kilograms = part->mass, growth = growth_of(part);
  const bool mirrored = part->flags & SY_PART_MIRRORED && p->normal != NULL;
  effects e;
  for (size_t k = 0; k < sum->count; k++) {
    const sy_sensitivity *g = &p->by[k];
    const double fraction = carried_fraction(part, g->carriers);
    double effect = effect_of_mass(g, at);
    if (growth > 0 && !g->flat) effect += growth * own_effect(&own, g) / kilograms;
    sy_vec3 place = sy_vec3_scale(moved * fraction, effect_of_place(g, at));
    if (mirrored) place = sy_twin_reflect(*p->normal, place);
    const double mass = count * fraction * effect * mass_sd;
    const double x = place.x * sd.x, y = place.y * sd.y, z = place.z * sd.z;
    sum->variance[k] += mass * mass + x * x + y * y + z * z;
    if (sum->crossed) e.of[k][0] = mass, e.of[k][1] = x, e.of[k][2] = y, e.of[k][3] = z;
  }
  if (sum->crossed) add_products(sum, &e, 4);
  if (part->fill != NULL) add_fill_errors(sum, p);
}

/* ---- several pieces ------------------------------------------------------------------------------------------------ */

/* Of a ledger that does not move the answer, as that of a record does not but through its figures. */
static bool moves_nothing(const sy_sensitivity *g) {
  return g->flat && g->m == 0 && g->first.x == 0 && g->first.y == 0 && g->first.z == 0;
}

/* One kind of mass error: statements that are the same are one error. */
static void add_mass_errors(sum_of_errors *sum, const piece *pieces, size_t count, int kind) {
  bool met[SY_MOST_PIECES], same[SY_MOST_PIECES];
  memset(met, 0, count * sizeof *met); /* few of as many as there may be */
  for (size_t i = 0; i < count; i++) {
    if (met[i] || kind >= sy_mass_error_count(pieces[i].part)) continue;
    const double sd = sy_mass_error_of(pieces[i].part, kind).sd;
    if (!(sd > 0)) continue; /* nor has any that states the same */
    for (size_t j = i; j < count; j++) {
      same[j] = !met[j] && (j == i || sy_same_mass_error(pieces[i].part, pieces[j].part, kind));
      met[j] = met[j] || same[j];
    }
    effects e;
    for (size_t k = 0; k < sum->count; k++) {
      double effect = 0;
      for (size_t j = i; j < count; j++)
        if (same[j] && !moves_nothing(&pieces[j].by[k]))
          effect += error_effect(&pieces[j], &pieces[j].by[k], kind);
      e.of[k][0] = effect * sd;
    }
    add_effects(sum, &e, 1);
  }
}

/* Two files state one place along other axes and from another zero: the same to rounding, which for a few metres is a millionth of this. */
#define SAME_PLACE 1e-10

static double along(sy_vec3 v, int axis) { return axis == 0 ? v.x : axis == 1 ? v.y : v.z; }

static bool opposite(const piece *p) { return p->line != NULL && p->line->opposite; }

/* An error that is the same as along the axis or, of the opposite piece of a pair, as against it. */
static bool along_or_against(const piece *p, int axis) {
  if (!opposite(p)) return true;
  const double n = fabs(along(*p->normal, axis));
  return n == 0 || n == 1;
}

/* The place as stated, as the first family says it. */
static sy_vec3 stated_in_first(const piece *p) {
  if (p->line == NULL) return p->part->cg_stated;
  const sy_vec3 place =
      p->line->opposite ? sy_twin_reflect(*p->normal, p->part->cg_stated) : p->part->cg_stated;
  return sy_vec3_sub(place, p->line->shift);
}

static bool same_coordinate(const piece *a, const piece *b, int axis) {
  if (a->family == b->family) return sy_same_coordinate(a->part, b->part, axis, a->normal);
  return fabs(along(stated_in_first(a), axis) - along(stated_in_first(b), axis)) <= SAME_PLACE &&
         along(a->part->cg_sd, axis) == along(b->part->cg_sd, axis) &&
         sy_same_direction(a->part, b->part, axis, b->normal) && along_or_against(a, axis) &&
         along_or_against(b, axis);
}

/* What a metre of the error does as the first family states it: of the opposite piece it goes the other way across the plane. */
static sy_vec3 common_place_effect(const piece *p, const sy_sensitivity *g) {
  sy_vec3 effect = place_effect(p, g);
  if (!opposite(p)) return effect;
  if (fabs(p->normal->x) == 1) effect.x = -effect.x;
  if (fabs(p->normal->y) == 1) effect.y = -effect.y;
  if (fabs(p->normal->z) == 1) effect.z = -effect.z;
  return effect;
}

/* Which coordinates (bits) of piece j >= i are the same error as those of piece i and were not met before. */
static void same_places(const piece *pieces, size_t count, size_t i, unsigned *met, unsigned *same) {
  const sy_vec3 sd = pieces[i].part->cg_sd;
  unsigned open = 0; /* those that matter, of piece i itself */
  for (int axis = 0; axis < 3; axis++)
    if (along(sd, axis) > 0 && !(met[i] >> axis & 1u)) open |= 1u << axis;
  for (size_t j = i; j < count; j++) {
    same[j] = 0;
    for (int axis = 0; axis < 3; axis++)
      if ((open & ~met[j]) >> axis & 1u && (j == i || same_coordinate(&pieces[i], &pieces[j], axis)))
        same[j] |= 1u << axis;
    met[j] |= same[j];
  }
}

static void add_place_errors(sum_of_errors *sum, const piece *pieces, size_t count) {
  unsigned met[SY_MOST_PIECES], same[SY_MOST_PIECES];
  memset(met, 0, count * sizeof *met);
  for (size_t i = 0; i < count; i++) {
    const sy_vec3 sd = pieces[i].part->cg_sd;
    same_places(pieces, count, i, met, same);
    if (same[i] == 0) continue;
    effects e;
    for (size_t k = 0; k < sum->count; k++) {
      sy_vec3 place = {0, 0, 0};
      for (size_t j = i; j < count; j++) {
        if (same[j] == 0 || moves_nothing(&pieces[j].by[k])) continue;
        const sy_vec3 effect = common_place_effect(&pieces[j], &pieces[j].by[k]);
        if (same[j] & 1u) place.x += effect.x;
        if (same[j] & 2u) place.y += effect.y;
        if (same[j] & 4u) place.z += effect.z;
      }
      e.of[k][0] = place.x * sd.x;
      e.of[k][1] = place.y * sd.y;
      e.of[k][2] = place.z * sd.z;
    }
    add_effects(sum, &e, 3);
  }
}

static void gather_usual(sum_of_errors *sum, const piece *p) {
  if (!(p->part->flags & SY_PART_USUAL)) return;
  const sy_sym3 own = own_moments(p->part->inertia);
  for (size_t k = 0; k < sum->count; k++)
    if (!p->by[k].flat)
      sum->usual[k] +=
          (double)p->part->count * carried_fraction(p->part, p->by[k].carriers) * own_effect(&own, &p->by[k]);
}

void sy_add_usual(sum_of_errors *sum) {
  effects e;
  for (size_t k = 0; k < sum->count; k++) e.of[k][0] = sum->usual[k] * SY_USUAL_SD;
  add_effects(sum, &e, 1);
}

static void gather_instruments(sum_of_errors *sum, const piece *p, const instrument_slots *slots) {
  if (p->part->instrument == 0) return;
  const size_t slot = slots->of[p->family][p->part->instrument - 1];
  for (size_t k = 0; k < sum->count; k++) {
    if (moves_nothing(&p->by[k])) continue;
    const double effect = mass_effect(p, &p->by[k]);
    sum->bias[slot][k] += effect * p->part->bias_share;
    sum->gain[slot][k] += effect * p->part->gain_mass;
  }
}

static inline bool is_flat_whole(const sy_sensitivity *g) {
  return g->flat && g->carriers == SY_ALL_CARRIERS;
}

/* The same part met in two terms, as nearly all of a group are of which one was changed: every error is one, so nothing is compared. To the
** bit as by add_mass_errors and add_place_errors, also where sensitivities are flat and over the whole car, which leaves little to do. */
static void add_part_of_two(sum_of_errors *sum, const piece *a, const piece *b) {
  const sy_part *part = a->part;
  const sy_vec3 sd = part->cg_sd, at = mass_place(a);
  const double mass_sd = part->mass_sd, count = (double)part->count, moved = count * sy_part_moved(part);
  const bool mirrored = part->flags & SY_PART_MIRRORED && (a->normal != NULL || b->normal != NULL);
  effects mass, place;
  for (size_t k = 0; k < sum->count; k++) {
    const sy_sensitivity *g = &a->by[k], *h = &b->by[k];
    sy_vec3 both;
    if (!mirrored && is_flat_whole(g) && is_flat_whole(h)) {
      both = sy_vec3_add(sy_vec3_scale(moved, g->first), sy_vec3_scale(moved, h->first));
      mass.of[k][0] =
          (count * (g->m + sy_vec3_dot(g->first, at)) + count * (h->m + sy_vec3_dot(h->first, at))) * mass_sd;
    } else {
      both = sy_vec3_add(place_effect(a, g), place_effect(b, h));
      mass.of[k][0] = (mass_effect_at(a, g, at) + mass_effect_at(b, h, at)) * mass_sd;
    }
    place.of[k][0] = both.x * sd.x, place.of[k][1] = both.y * sd.y, place.of[k][2] = both.z * sd.z;
  }
  add_effects(sum, &mass, 1);
  add_effects(sum, &place, 3);
}

/* One family's and with no error but of mass and place. */
static bool is_part_of_two(const piece *pieces, size_t count) {
  const sy_part *p = pieces[0].part;
  return count == 2 && pieces[1].part == p && p->fill == NULL && pieces[0].family == pieces[1].family &&
         !opposite(&pieces[0]) && !opposite(&pieces[1]);
}

void sy_add_line(sum_of_errors *sum, const piece *pieces, size_t count, const instrument_slots *slots) {
  if (sum->listener != NULL) {
    sum->listener->line(sum->listener->with, pieces, count, slots);
    return;
  }
  if (count == 1) {
    add_piece(sum, pieces);
  } else if (is_part_of_two(pieces, count)) {
    add_part_of_two(sum, &pieces[0], &pieces[1]);
  } else {
    int kinds = 1;
    for (size_t i = 0; i < count; i++)
      if (pieces[i].part->fill != NULL) kinds = MASS_ERRORS;
    for (int kind = 0; kind < kinds; kind++) add_mass_errors(sum, pieces, count, kind);
    add_place_errors(sum, pieces, count);
  }
  if (pieces[0].part->whole != NULL) add_inertia_errors(sum, pieces, count);
  for (size_t i = 0; i < count; i++) {
    gather_usual(sum, &pieces[i]);
    gather_instruments(sum, &pieces[i], slots);
  }
}

bool sy_same_mass_error_of_pieces(const piece *a, const piece *b, int kind) {
  return sy_same_mass_error(a->part, b->part, kind);
}

bool sy_same_coordinate_of_pieces(const piece *a, const piece *b, int axis) {
  return same_coordinate(a, b, axis);
}

double sy_mass_effect(const piece *p, const sy_sensitivity *g, int kind) { return error_effect(p, g, kind); }

sy_vec3 sy_place_effect(const piece *p, const sy_sensitivity *g) { return common_place_effect(p, g); }

/* ---- whole branches, instruments ------------------------------------------------------------------------------------- */

void sy_add_branch(sum_of_errors *sum, const branch *b, const sy_sensitivity *g, const uint8_t *slot) {
  sy_cov4 cov;
  for (int i = 0; i < 10; i++) cov.c[i] = sy_exact_value(b->tally.cov[i]);
  for (size_t k = 0; k < sum->count; k++) {
    sum->variance[k] += sy_cov4_variance(&cov, &g[k]);
    for (size_t l = k + 1; sum->crossed && l < sum->count; l++)
      sum->product[k][l] += sy_cov4_covariance(&cov, &g[k], &g[l]);
    const double by[4] = {g[k].m, g[k].first.x, g[k].first.y, g[k].first.z};
    const scale_sums *row = sy_branch_scales(b);
    for (unsigned s = 0; b->scales >> s != 0; s++)
      if (b->scales >> s & 1u) {
        for (int i = 0; i < 4; i++) {
          sum->bias[slot[s]][k] += by[i] * sy_exact_value((*row)[i]);
          sum->gain[slot[s]][k] += by[i] * sy_exact_value((*row)[4 + i]);
        }
        row++;
      }
  }
}

void sy_add_instrument(sum_of_errors *sum, size_t slot, const sy_instrument *instrument) {
  effects e;
  for (size_t k = 0; k < sum->count; k++) {
    e.of[k][0] = sum->bias[slot][k] * instrument->bias_sd;
    e.of[k][1] = sum->gain[slot][k] * instrument->gain_sd;
  }
  add_effects(sum, &e, 2);
}
