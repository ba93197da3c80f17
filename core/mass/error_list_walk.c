/* error_list_walk.c - walks over the pieces of ledgers: which there are, and how their sums count. */
#include "mass/error_list_parts.h"

static void note_pieces(void *with, const piece *pieces, size_t count, const instrument_slots *slots) {
  finder *f = with;
  for (size_t i = 0; i < count && !f->out_of_memory; i++) {
    const uint32_t instrument = pieces[i].part->instrument;
    const int slot = instrument > 0 ? slots->of[pieces[i].family][instrument - 1] : SY_NO_ERROR;
    f->weighed = f->weighed || pieces[i].part->whole != NULL;
    if (slot != SY_NO_ERROR) f->used[slot] = true;
    if (!sy_finder_grow(&f->list->alloc, (void **)&f->met, f->pieces, &f->room, sizeof *f->met))
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

void sy_finder_walk(finder *f, size_t answers, bool carriers) {
  const line_listener counts = {f, read_counts, no_instruments};
  f->q.listener = &counts;
  for (size_t first = 0; first < answers && !f->differs; first += ROUND)
    walk_units(f, first, answers - first < ROUND ? answers - first : (size_t)ROUND, carriers);
  f->q.listener = NULL;
}

void sy_finder_meet(finder *f) {
  const line_listener note = {f, note_pieces, sy_finder_name_instruments};
  f->q.listener = &note;
  sy_finder_clear_slots(f);
  for (size_t r = 0; r < SY_MOST_RECORDS; r++)
    for (size_t i = 0; i < SY_MAX_INSTRUMENTS; i++)
      f->read_on[r][i] = (instrument_errors){SY_NO_ERROR, SY_NO_ERROR};
  for (size_t t = 0; t < f->terms; t++)
    for (size_t k = 0; k < ROUND; k++) f->by[t][k] = (sy_sensitivity){.carriers = WHOLE_CAR};
  sy_blocks_lines(&f->q, 1);
  f->q.listener = NULL;
}
