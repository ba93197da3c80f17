/* error_list_stakes.c - pieces as they stand in each ledger, and the errors that move them. */
#include <math.h>
#include <string.h>

#include "mass/error_list_parts.h"
#include "mass/ledger_check.h"
#include "mass/solids.h"

static bool is_near(double a, double b, double scale) { return fabs(a - b) <= 1e-12 * (1.0 + scale); }

/* Does the piece count as it lies, in the frame that its counts in mass and first moments say? */
static bool is_placed(const count_in *c, sy_frame *frame) {
  const sy_vec3 t = {c[1].m, c[2].m, c[3].m};
  const sy_mat3 turn = {{{c[1].first.x, c[1].first.y, c[1].first.z},
                         {c[2].first.x, c[2].first.y, c[2].first.z},
                         {c[3].first.x, c[3].first.y, c[3].first.z}}};
  *frame = (sy_frame){turn, t};
  if (c[0].m != 1.0 || c[0].first.x != 0 || c[0].first.y != 0 || c[0].first.z != 0) return false;
  if (!sy_mat3_is_rotation(turn, 1e-9)) return false;
  const double far = sy_vec3_dot(t, t);
  return is_near(c[4].m, t.x * t.x, far) && is_near(c[5].m, t.y * t.y, far) &&
         is_near(c[6].m, t.z * t.z, far) && is_near(c[7].m, t.x * t.y, far);
}

static bool counts_nothing(const count_in *c) {
  for (int q = 0; q < TEN; q++) {
    const double all[TEN] = {c[q].m,         c[q].first.x,   c[q].first.y,   c[q].first.z,   c[q].second.xx,
                             c[q].second.yy, c[q].second.zz, c[q].second.xy, c[q].second.xz, c[q].second.yz};
    for (int k = 0; k < TEN; k++)
      if (all[k] != 0) return false;
  }
  return true;
}

static int add_map(finder *f, const count_in *c) {
  sy_error_list *list = f->list;
  if (!sy_finder_grow(&list->alloc, (void **)&list->map, list->maps, &list->map_room, sizeof *list->map)) {
    f->out_of_memory = true;
    return SY_NO_ERROR;
  }
  for (int q = 0; q < TEN; q++) {
    const double row[TEN] = {
        c[q].m,         c[q].first.x,   c[q].first.y,         c[q].first.z,         c[q].second.xx,
        c[q].second.yy, c[q].second.zz, 2.0 * c[q].second.xy, 2.0 * c[q].second.xz, 2.0 * c[q].second.yz};
    memcpy(list->map[list->maps][q], row, sizeof row);
  }
  return (int)list->maps++;
}

static sy_sym3 own_moments(sy_sym3 j) {
  const double half = 0.5 * (j.xx + j.yy + j.zz);
  return (sy_sym3){half - j.xx, half - j.yy, half - j.zz, -j.xy, -j.xz, -j.yz};
}

static void carry(sy_stake *s, uint8_t carrier, double fraction) {
  if (fraction == 0 || s->carriers == SY_STAKE_CARRIERS) return;
  s->carrier[s->carriers] = carrier;
  s->fraction[s->carriers++] = fraction;
}

static void set_carriers(const finder *f, size_t at, sy_stake *s) {
  const sy_unsprung *u = &s->part->unsprung;
  double body = 1.0;
  s->carriers = 0;
  if (s->map != SY_NO_ERROR) { /* by the line of the group */
    const double *by = f->carried + at * SY_CARRIER_COUNT;
    double all = 0;
    for (int c = 0; c < SY_CARRIER_COUNT; c++) all += by[c];
    for (int c = 0; c < SY_CARRIER_COUNT; c++) carry(s, (uint8_t)c, all != 0 ? by[c] / all : c == 0);
    return;
  }
  for (unsigned i = 0; i < u->count; i++) body -= u->fraction[i];
  carry(s, SY_CARRIER_BODY, body);
  for (unsigned i = 0; i < u->count; i++) carry(s, u->carrier[i], u->fraction[i]);
}

/* The directions of its place errors, as the first family states them. */
static void set_directions(const piece *p, const sy_mat3 *turn, sy_stake *s) {
  static const sy_vec3 unit[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  for (int axis = 0; axis < 3; axis++) {
    sy_vec3 way = unit[axis];
    if (p->part->flags & SY_PART_MIRRORED && p->normal != NULL) way = sy_twin_reflect(*p->normal, way);
    if (p->line != NULL && p->line->opposite && p->normal != NULL &&
        fabs(sy_vec3_along(*p->normal, axis)) == 1)
      way = sy_vec3_scale(-1.0, way);
    s->along[axis] = sy_mat3_apply(*turn, way);
  }
}

static void add_stake(finder *f, size_t at, size_t i, uint32_t term, const line_errors *e, int usual) {
  sy_error_list *list = f->list;
  const met_piece *met = &f->met[at];
  const sy_part *p = met->piece.part;
  const count_in *c = &f->counts[(at * f->terms + term) * TEN];
  if (counts_nothing(c)) return;
  if (!sy_finder_grow(&list->alloc, (void **)&list->stake, list->stakes, &list->stake_room,
                      sizeof *list->stake)) {
    f->out_of_memory = true;
    return;
  }
  sy_stake *s = &list->stake[list->stakes];
  memset(s, 0, sizeof *s);
  sy_frame frame;
  s->term = term, s->line = met->line, s->part = p;
  s->map = SY_NO_ERROR;
  if (!is_placed(c, &frame)) {
    s->map = add_map(f, c);
    if (f->out_of_memory) return;
    frame = sy_frame_identity();
  }
  list->stakes++;
  s->turn = frame.turn;
  s->count = (double)p->count, s->mass = p->mass, s->moved = sy_part_moved(p);
  s->at = sy_frame_apply(&frame, sy_vec3_add(p->cg, sy_part_arm(p)));
  s->own = sy_sym3_turn(frame.turn, own_moments(p->inertia));
  s->power = p->flags & SY_PART_SOLID && p->mass > 0 ? (p->flags & SY_PART_USUAL ? 5.0 / 3.0 : 1.0) : 0.0;
  for (int kind = 0; kind < MASS_ERRORS; kind++) {
    s->error[kind] = e->mass[i][kind];
    if (s->error[kind] == SY_NO_ERROR) continue;
    const mass_error m = sy_mass_error_of(p, kind);
    s->effect[kind] = m.effect;
    s->act_at[kind] = kind == 0 ? s->at : sy_frame_apply(&frame, sy_vec3_add(p->cg, m.arm));
  }
  for (int axis = 0; axis < 3; axis++) s->place[axis] = e->place[i][axis];
  set_directions(&met->piece, &frame.turn, s);
  s->inertia = e->inertia[i];
  s->usual = p->flags & SY_PART_USUAL ? usual : SY_NO_ERROR;
  s->growth = SY_NO_ERROR;
  s->bias = met->bias, s->gain = met->gain;
  s->bias_share = p->bias_share, s->gain_mass = p->gain_mass;
  set_carriers(f, at, s);
}

static void add_line(finder *f, size_t from, size_t count, int usual) {
  line_errors e;
  if (count > SY_MOST_PIECES) count = SY_MOST_PIECES;
  if (!sy_finder_line_errors(f, f->met + from, count, &e)) return;
  for (size_t i = 0; i < count; i++)
    for (uint32_t t = 0; t < f->terms && !f->out_of_memory; t++) add_stake(f, from + i, i, t, &e, usual);
}

bool sy_finder_stakes(finder *f) {
  bool any_usual = false;
  for (size_t i = 0; i < f->pieces; i++)
    any_usual = any_usual || (f->met[i].piece.part->flags & SY_PART_USUAL) != 0;
  const int usual = any_usual ? sy_finder_error(f, SY_ERROR_USUAL, SY_USUAL_SD, NULL, 0) : SY_NO_ERROR;
  for (size_t from = 0; from < f->pieces && !f->out_of_memory;) {
    size_t end = from + 1;
    while (end < f->pieces && f->met[end].line == f->met[from].line) end++;
    add_line(f, from, end - from, usual);
    from = end;
  }
  return !f->out_of_memory;
}
