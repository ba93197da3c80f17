/* error_list_make.c - finds the errors of ledgers by the walk of propagate.h.
**
** The walk carries sensitivities down to the pieces. Here they are those of the ten sums themselves, so what arrives at a piece says how
** its
** own sums count in those of each ledger: as they lie in the vehicle, or through the map of a group that was weighed.
*/
#include <math.h>
#include <string.h>

#include "mass/error_list.h"
#include "mass/ledger_check.h"
#include "mass/measured_parts.h"
#include "mass/solids.h"

enum { TEN = 10, ROUND = SY_WALK_ANSWERS };

/* Not SY_ALL_CARRIERS, which the pieces of a weighed group have: so these are never taken together with others. */
#define WHOLE_CAR (SY_ALL_CARRIERS | 1u << SY_CARRIER_COUNT)

typedef struct met_piece {
  piece piece; /* `by` is not good any more */
  uint32_t line;
  int bias, gain; /* errors of its instrument; first the slot */
} met_piece;

/* How a piece's own sums count in one sum of a ledger. */
typedef struct count_in {
  double m;
  sy_vec3 first;
  sy_sym3 second;
} count_in;

typedef struct instrument_errors {
  int bias, gain;
} instrument_errors;

typedef struct finder {
  sy_error_list *list;
  request q;
  sy_term term[SY_WALK_TERMS];
  sy_sensitivity by[SY_WALK_TERMS][ROUND];
  size_t terms;
  met_piece *met;
  size_t pieces, room;
  count_in *counts; /* pieces x terms x TEN */
  double *carried;  /* pieces x carriers; only where a group counts as weighed */
  /* while a walk is on */
  size_t first, many, at; /* answers of this walk; pieces met so far */
  uint32_t line;
  bool counting, weighed, differs, out_of_memory;
  bool exact_too;                        /* mass errors of sd 0, of what was weighed on an instrument */
  instrument_errors slot[SY_MOST_SLOTS]; /* of the families that are walked together */
  bool used[SY_MOST_SLOTS];              /* something was weighed on it */
  size_t from;                           /* their first piece */
  const sy_measured *m;
  instrument_errors read_on[SY_MOST_RECORDS][SY_MAX_INSTRUMENTS];
} finder;

/* ---- walks ----------------------------------------------------------------------------------------------------------------- */

static bool grow(const sy_alloc *alloc, void **block, size_t used, size_t *room, size_t size) {
  if (used < *room) return true;
  const size_t more = *room == 0 ? 64 : 2 * *room;
  void *fresh = sy_alloc_new(alloc, more * size);
  if (fresh == NULL) return false;
  if (used > 0) memcpy(fresh, *block, used * size);
  sy_alloc_free(alloc, *block, *room * size);
  *block = fresh, *room = more;
  return true;
}

static void note_pieces(void *with, const piece *pieces, size_t count, const instrument_slots *slots) {
  finder *f = with;
  for (size_t i = 0; i < count && !f->out_of_memory; i++) {
    const uint32_t instrument = pieces[i].part->instrument;
    const int slot = instrument > 0 ? slots->of[pieces[i].family][instrument - 1] : SY_NO_ERROR;
    f->weighed = f->weighed || pieces[i].part->whole != NULL;
    if (slot != SY_NO_ERROR) f->used[slot] = true;
    if (!grow(&f->list->alloc, (void **)&f->met, f->pieces, &f->room, sizeof *f->met))
      f->out_of_memory = true;
    else
      f->met[f->pieces++] = (met_piece){pieces[i], f->line, slot, slot};
  }
  f->line++;
}

static void read_counts(void *with, const piece *pieces, size_t count, const instrument_slots *slots) {
  finder *f = with;
  (void)slots;
  for (size_t i = 0; i < count; i++, f->at++) {
    if (f->at >= f->pieces || f->met[f->at].piece.part != pieces[i].part) {
      f->differs = true;
      return;
    }
    for (size_t k = 0; k < f->many; k++) {
      const sy_sensitivity *g = &pieces[i].by[k];
      const size_t answer = f->first + k;
      if (f->carried != NULL && f->counting)
        f->carried[f->at * SY_CARRIER_COUNT + answer] = g->m;
      else
        f->counts[f->at * f->terms * TEN + answer] = (count_in){g->m, g->first, g->second};
    }
  }
}

static void no_instruments(void *with, const family *f, const uint8_t *slot, bool last) {
  (void)with, (void)f, (void)slot, (void)last;
}

static sy_sensitivity unit_of(size_t sum, unsigned carriers) {
  sy_sensitivity g = {.carriers = carriers};
  double *const at[TEN] = {&g.m,         &g.first.x,   &g.first.y,   &g.first.z,   &g.second.xx,
                           &g.second.yy, &g.second.zz, &g.second.xy, &g.second.xz, &g.second.yz};
  *at[sum] = sum >= 7 ? 0.5 : 1.0; /* an off-diagonal entry counts twice: sums.h */
  return g;
}

/* The answers from `first` on: sum `i % TEN` of ledger `i / TEN`, or what carrier i carries of the mass of all of them. */
static void walk_units(finder *f, size_t first, size_t many, bool carriers) {
  for (size_t t = 0; t < f->q.term_count; t++)
    for (size_t k = 0; k < many; k++) {
      const size_t i = first + k;
      if (carriers)
        f->by[t][k] = unit_of(0, 1u << i);
      else if (i / TEN == t)
        f->by[t][k] = unit_of(i % TEN, WHOLE_CAR);
      else
        f->by[t][k] = (sy_sensitivity){.carriers = WHOLE_CAR};
    }
  f->first = first, f->many = many, f->at = 0, f->counting = carriers;
  sy_blocks_lines(&f->q, many);
  f->differs = f->differs || f->at != f->pieces;
}

static void walk_all(finder *f, size_t answers, bool carriers) {
  for (size_t first = 0; first < answers && !f->differs; first += ROUND)
    walk_units(f, first, answers - first < ROUND ? answers - first : (size_t)ROUND, carriers);
}

/* ---- errors ---------------------------------------------------------------------------------------------------------------- */

static int add_error(finder *f, sy_error_kind kind, double sd, const sy_part *part, uint32_t number) {
  sy_error_list *list = f->list;
  if (!grow(&list->alloc, (void **)&list->error, list->errors, &list->error_room, sizeof *list->error)) {
    f->out_of_memory = true;
    return SY_NO_ERROR;
  }
  list->error[list->errors] = (sy_elementary){kind, sd, part != NULL ? part->id : 0, part, number, 0, 0};
  return (int)list->errors++;
}

static int instrument_error(finder *f, int known, sy_error_kind kind, double sd, size_t number, size_t slot) {
  if (known != SY_NO_ERROR || !(sd > 0)) return known;
  const int error = add_error(f, kind, sd, NULL, (uint32_t)number + 1);
  if (error != SY_NO_ERROR) f->list->error[error].family = (uint32_t)(slot / SY_MAX_INSTRUMENTS);
  return error;
}

static void clear_slots(finder *f) {
  for (size_t i = 0; i < SY_MOST_SLOTS; i++) f->slot[i] = (instrument_errors){SY_NO_ERROR, SY_NO_ERROR};
  memset(f->used, 0, sizeof f->used);
}

/* Was something read on the instrument that is asked about: a part, or a record? */
static bool is_used(const finder *f, const family *fam, size_t number, size_t slot) {
  if (f->used[slot]) return true;
  for (size_t r = 0; f->m != NULL && r < f->m->records; r++) {
    const kept_record *record = &f->m->record[r];
    for (size_t s = 0; s < record->instruments && record->adjusted->family == fam; s++)
      if (record->instrument[s].number == number + 1) return true;
  }
  return false;
}

/* Two errors for each instrument of a family; then those that were walked together know theirs. */
static void name_instruments(void *with, const family *fam, const uint8_t *slot, bool last) {
  finder *f = with;
  for (size_t i = 0; i < fam->instrument_count; i++) {
    instrument_errors *at = &f->slot[slot[i]];
    if (!is_used(f, fam, i, slot[i])) continue;
    at->bias = instrument_error(f, at->bias, SY_ERROR_BIAS, fam->instrument[i].bias_sd, i, slot[i]);
    at->gain = instrument_error(f, at->gain, SY_ERROR_GAIN, fam->instrument[i].gain_sd, i, slot[i]);
    for (size_t r = 0; f->m != NULL && r < f->m->records; r++)
      if (f->m->record[r].adjusted->family == fam) f->read_on[r][i] = *at;
  }
  if (!last) return;
  for (; f->from < f->pieces; f->from++) {
    met_piece *p = &f->met[f->from];
    if (p->bias == SY_NO_ERROR) continue;
    p->gain = f->slot[p->bias].gain;
    p->bias = f->slot[p->bias].bias;
  }
  clear_slots(f);
}

/* Errors of the line's pieces met before that are of that kind. */
static uint32_t before(const finder *f, int error, int first) {
  uint32_t count = 0;
  for (int i = first; i < error; i++) count += f->list->error[i].kind == f->list->error[error].kind;
  return count;
}

typedef struct line_errors {
  int mass[SY_MOST_PIECES][MASS_ERRORS], place[SY_MOST_PIECES][3], inertia[SY_MOST_PIECES];
} line_errors;

static void find_mass_errors(finder *f, const met_piece *p, size_t count, int first, line_errors *out) {
  for (int kind = 0; kind < MASS_ERRORS; kind++)
    for (size_t i = 0; i < count; i++) {
      out->mass[i][kind] = SY_NO_ERROR;
      if (kind >= sy_mass_error_count(p[i].piece.part)) continue;
      const double sd = sy_mass_error_of(p[i].piece.part, kind).sd;
      if (!(sd > 0) && !(f->exact_too && kind == SY_ERROR_MASS && p[i].piece.part->instrument > 0)) continue;
      for (size_t j = 0; j < i && out->mass[i][kind] == SY_NO_ERROR; j++)
        if (out->mass[j][kind] != SY_NO_ERROR && sy_same_mass_error_of_pieces(&p[j].piece, &p[i].piece, kind))
          out->mass[i][kind] = out->mass[j][kind];
      if (out->mass[i][kind] != SY_NO_ERROR) continue;
      out->mass[i][kind] = add_error(f, (sy_error_kind)kind, sd, p[i].piece.part, p[i].piece.part->number);
      if (f->out_of_memory) return;
      f->list->error[out->mass[i][kind]].family = (uint32_t)p[i].piece.family;
      f->list->error[out->mass[i][kind]].again = before(f, out->mass[i][kind], first);
    }
}

static void find_place_errors(finder *f, const met_piece *p, size_t count, int first, line_errors *out) {
  for (size_t i = 0; i < count; i++)
    for (int axis = 0; axis < 3; axis++) {
      const double sd = sy_vec3_along(p[i].piece.part->cg_sd, axis);
      int *mine = &out->place[i][axis];
      *mine = SY_NO_ERROR;
      if (!(sd > 0)) continue;
      for (size_t j = 0; j < i && *mine == SY_NO_ERROR; j++)
        if (out->place[j][axis] != SY_NO_ERROR &&
            sy_same_coordinate_of_pieces(&p[j].piece, &p[i].piece, axis))
          *mine = out->place[j][axis];
      if (*mine != SY_NO_ERROR) continue;
      *mine = add_error(f, (sy_error_kind)(SY_ERROR_X + axis), sd, p[i].piece.part, p[i].piece.part->number);
      if (f->out_of_memory) return;
      f->list->error[*mine].family = (uint32_t)p[i].piece.family;
      f->list->error[*mine].again = before(f, *mine, first);
    }
}

static void find_inertia_errors(finder *f, const met_piece *p, size_t count, int first, line_errors *out) {
  for (size_t i = 0; i < count; i++) {
    const sy_whole *w = p[i].piece.part->whole;
    out->inertia[i] = SY_NO_ERROR;
    if (w == NULL) continue;
    for (size_t j = 0; j < i && out->inertia[i] == SY_NO_ERROR; j++)
      if (out->inertia[j] != SY_NO_ERROR && sy_same_mass_statement(p[j].piece.part, p[i].piece.part) &&
          memcmp(&p[j].piece.part->whole->inertia_sd, &w->inertia_sd, sizeof w->inertia_sd) == 0)
        out->inertia[i] = out->inertia[j];
    if (out->inertia[i] != SY_NO_ERROR) continue;
    const double sd[6] = {w->inertia_sd.xx, w->inertia_sd.yy, w->inertia_sd.zz,
                          w->inertia_sd.xy, w->inertia_sd.xz, w->inertia_sd.yz};
    double most = 0;
    for (int k = 0; k < 6; k++) most = fmax(most, sd[k]);
    for (int k = 0; k < 6 && most > 0; k++) {
      const int e = add_error(f, (sy_error_kind)(SY_ERROR_INERTIA + k), sd[k], p[i].piece.part,
                              p[i].piece.part->number);
      if (f->out_of_memory) return;
      if (k == 0) out->inertia[i] = e;
      f->list->error[e].family = (uint32_t)p[i].piece.family;
      f->list->error[e].again = before(f, e, first);
    }
  }
}

/* ---- stakes ------------------------------------------------------------------------------------------------------------------ */

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
  if (!grow(&list->alloc, (void **)&list->map, list->maps, &list->map_room, sizeof *list->map)) {
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
  if (!grow(&list->alloc, (void **)&list->stake, list->stakes, &list->stake_room, sizeof *list->stake)) {
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

static bool add_line(finder *f, size_t from, size_t count, int usual) {
  line_errors e;
  const int first = (int)f->list->errors;
  if (count > SY_MOST_PIECES) count = SY_MOST_PIECES;
  find_mass_errors(f, f->met + from, count, first, &e);
  if (!f->out_of_memory) find_place_errors(f, f->met + from, count, first, &e);
  if (!f->out_of_memory) find_inertia_errors(f, f->met + from, count, first, &e);
  for (size_t i = 0; i < count; i++)
    for (uint32_t t = 0; t < f->terms && !f->out_of_memory; t++) add_stake(f, from + i, i, t, &e, usual);
  return !f->out_of_memory;
}

static bool add_lines(finder *f) {
  bool any_usual = false;
  for (size_t i = 0; i < f->pieces; i++)
    any_usual = any_usual || (f->met[i].piece.part->flags & SY_PART_USUAL) != 0;
  const int usual = any_usual ? add_error(f, SY_ERROR_USUAL, SY_USUAL_SD, NULL, 0) : SY_NO_ERROR;
  for (size_t from = 0; from < f->pieces && !f->out_of_memory;) {
    size_t end = from + 1;
    while (end < f->pieces && f->met[end].line == f->met[from].line) end++;
    add_line(f, from, end - from, usual);
    from = end;
  }
  return !f->out_of_memory;
}

/* ---- records ------------------------------------------------------------------------------------------------------------------- */

/* A root of a covariance, rows x rows, lower: root root^T is it again. A reading that is exact, or that others say, adds nothing. */
static void root_of(const double *covariance, size_t rows, double *root) {
  memset(root, 0, rows * rows * sizeof *root);
  for (size_t i = 0; i < rows; i++)
    for (size_t j = 0; j <= i; j++) {
      double sum = covariance[i * rows + j];
      for (size_t k = 0; k < j; k++) sum -= root[i * rows + k] * root[j * rows + k];
      if (i != j)
        root[i * rows + j] = root[j * rows + j] > 0 ? sum / root[j * rows + j] : 0.0;
      else
        root[i * rows + i] = sum > 64 * 2.3e-16 * covariance[i * rows + i] ? sqrt(sum) : 0.0;
    }
}

/* What readings have of one error: `by` is what one unit of it does to each reading. */
static void add_reading_effect(finder *f, size_t record, const double *by, size_t error) {
  const sy_measured *m = f->m;
  const kept_record *r = &m->record[record];
  for (size_t j = 0; j < r->readings; j++) {
    if (m->beside == record) f->list->beside[error] += by[j] * m->by_reading[j];
    for (size_t k = 0; k < r->figures; k++)
      f->list->figure[error * m->figures + r->first + k] -= by[j] * r->effect[k][j];
  }
}

static bool add_readings(finder *f, size_t record) {
  const kept_record *r = &f->m->record[record];
  const size_t n = r->readings;
  double root[SY_RECORD_READINGS * SY_RECORD_READINGS];
  root_of(r->noise, n, root);
  for (size_t z = 0; z < n && !f->out_of_memory; z++) {
    if (!(root[z * n + z] > 0)) continue;
    if (r->common[z] == 0)
      (void)add_error(f, SY_ERROR_READING, 1.0, NULL, (uint32_t)(record * SY_RECORD_READINGS + z));
    else if (sy_error_list_place(f->list, r->common[z]) == SY_NO_ERROR)
      (void)add_error(f, SY_ERROR_PLACE, root[z * n + z], NULL, r->common[z]);
  }
  return !f->out_of_memory;
}

/* What one unit of an error does to the readings of a record; false: nothing. root: of their covariance. */
static bool by_error(const kept_record *r, size_t record, const double *root, const sy_elementary *error,
                     double by[SY_RECORD_READINGS]) {
  bool any = false;
  for (size_t j = 0; j < r->readings; j++) {
    by[j] = 0;
    if (error->kind == SY_ERROR_PLACE) by[j] = r->common[j] == error->number;
    if (error->kind == SY_ERROR_READING && error->number / SY_RECORD_READINGS == record)
      by[j] = root[j * r->readings + error->number % SY_RECORD_READINGS];
    any = any || by[j] != 0;
  }
  return any;
}

/* The effects of all errors on the figures, once all errors are known. */
static bool find_figures(finder *f) {
  const sy_measured *m = f->m;
  sy_error_list *list = f->list;
  if (m == NULL) return true;
  for (size_t i = 0; i < m->records; i++)
    if (!add_readings(f, i)) return false;
  list->figures = m->figures, list->of_figures = list->errors;
  list->figure = sy_alloc_new(&list->alloc, list->errors * m->figures * sizeof *list->figure);
  list->beside = sy_alloc_new(&list->alloc, list->errors * sizeof *list->beside);
  double *effect = sy_alloc_new(&list->alloc, list->errors * sizeof *effect);
  const bool fine = list->figure != NULL && list->beside != NULL && effect != NULL;
  if (fine) memset(list->figure, 0, list->errors * m->figures * sizeof *list->figure);
  if (fine) memset(list->beside, 0, list->errors * sizeof *list->beside);
  for (size_t i = 0; i < m->records && fine; i++) {
    const kept_record *r = &m->record[i];
    for (size_t k = 0; k < r->figures; k++) {
      sy_sensitivity by[SY_WALK_TERMS];
      for (size_t t = 0; t < f->terms; t++)
        by[t] = (sy_sensitivity){.carriers = SY_ALL_CARRIERS, .flat = true};
      by[f->terms - m->records + i] = r->by[k];
      memset(effect, 0, list->errors * sizeof *effect);
      sy_error_list_effects(list, by, NULL, effect);
      for (size_t e = 0; e < list->errors; e++) list->figure[e * m->figures + r->first + k] += effect[e];
    }
    double root[SY_RECORD_READINGS * SY_RECORD_READINGS], by[SY_RECORD_READINGS];
    root_of(r->noise, r->readings, root);
    for (size_t e = 0; e < list->errors; e++)
      if (by_error(r, i, root, &list->error[e], by)) add_reading_effect(f, i, by, e);
    for (size_t s = 0; s < r->instruments; s++) {
      const instrument_errors *at = &f->read_on[i][r->instrument[s].number - 1];
      if (at->bias != SY_NO_ERROR) add_reading_effect(f, i, r->instrument[s].bias, (size_t)at->bias);
      if (at->gain != SY_NO_ERROR) add_reading_effect(f, i, r->instrument[s].gain, (size_t)at->gain);
    }
  }
  sy_alloc_free(&list->alloc, effect, list->errors * sizeof *effect);
  return fine;
}

/* ---- all of it ------------------------------------------------------------------------------------------------------------------ */

static bool find(finder *f) {
  const line_listener note = {f, note_pieces, name_instruments}, counts = {f, read_counts, no_instruments};
  const sy_alloc *alloc = &f->list->alloc;
  f->q.listener = &note;
  clear_slots(f);
  for (size_t r = 0; r < SY_MOST_RECORDS; r++)
    for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++)
      f->read_on[r][i] = (instrument_errors){SY_NO_ERROR, SY_NO_ERROR};
  for (size_t t = 0; t < f->terms; t++)
    for (size_t k = 0; k < ROUND; k++) f->by[t][k] = (sy_sensitivity){.carriers = WHOLE_CAR};
  sy_blocks_lines(&f->q, 1);
  if (f->out_of_memory) return false;
  f->q.listener = &counts;
  f->counts = sy_alloc_new(alloc, (f->pieces * f->terms * TEN + 1) * sizeof *f->counts);
  if (f->counts == NULL) return false;
  walk_all(f, f->terms * TEN, false);
  if (f->weighed && !f->differs) {
    f->carried = sy_alloc_new(alloc, (f->pieces * SY_CARRIER_COUNT + 1) * sizeof *f->carried);
    if (f->carried == NULL) return false;
    walk_all(f, SY_CARRIER_COUNT, true);
  }
  return f->differs || (add_lines(f) && find_figures(f));
}

static void release(finder *f) {
  const sy_alloc *alloc = &f->list->alloc;
  sy_alloc_free(alloc, f->counts, (f->pieces * f->terms * TEN + 1) * sizeof *f->counts);
  if (f->carried != NULL)
    sy_alloc_free(alloc, f->carried, (f->pieces * SY_CARRIER_COUNT + 1) * sizeof *f->carried);
  sy_alloc_free(alloc, f->met, f->room * sizeof *f->met);
}

static sy_status take_ledgers(finder *f, const sy_ledger *const *ledgers, size_t count, sy_error *err) {
  if (count == 0 || count > SY_MOST_TERMS)
    return sy_fail(err, SY_LIMIT, "errors", "ledgers", "are %zu, must be 1 to %d", count, (int)SY_MOST_TERMS);
  f->m = sy_ledger_measured(ledgers[0]);
  for (size_t i = 0; i < count; i++) {
    if (sy_ledger_measured(ledgers[i]) != f->m)
      return sy_fail(err, SY_CLASH, "errors", "ledgers", "carry different records");
    f->term[f->terms++] = (sy_term){.ledger = ledgers[i], .sign = 1.0};
  }
  for (size_t i = 0; f->m != NULL && i < f->m->records; i++)
    f->term[f->terms++] = (sy_term){.ledger = f->m->record[i].adjusted, .sign = 1.0};
  for (size_t i = 0; i < f->terms; i++) f->term[i].by = f->by[i];
  f->q = (request){.terms = f->term, .term_count = f->terms};
  if (f->m != NULL)
    f->q.pairings = (const sy_pairing *const *)f->m->pairing, f->q.pairing_count = f->m->pairings;
  return SY_OK;
}

sy_status sy_error_list_make(const sy_alloc *alloc, const sy_ledger *const *ledgers, size_t count,
                             bool weighed, sy_error_list **out, sy_error *err) {
  const sy_alloc own = sy_alloc_or_default(alloc);
  sy_error_list *list = sy_alloc_new(&own, sizeof *list);
  finder *f = sy_alloc_new(&own, sizeof *f);
  sy_status status = SY_OK;
  if (list != NULL) memset(list, 0, sizeof *list), list->alloc = own;
  if (list == NULL || f == NULL) {
    status = sy_ledger_no_memory(err);
  } else {
    memset(f, 0, sizeof *f);
    f->list = list;
    f->exact_too = weighed;
    status = take_ledgers(f, ledgers, count, err);
    if (status == SY_OK && !find(f)) status = sy_ledger_no_memory(err);
    if (status == SY_OK && f->differs)
      status = sy_fail(err, SY_CLASH, "errors", "ledgers", "do not agree on the pieces of a line");
    release(f);
  }
  sy_alloc_free(&own, f, sizeof *f);
  if (status == SY_OK)
    *out = list;
  else
    sy_error_list_free(list);
  return status;
}
