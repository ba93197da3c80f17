/* error_list_instruments.c - bias and gain of what parts were weighed on and records read on. */
#include <string.h>

#include "mass/error_list_parts.h"

static int instrument_error(finder *f, int known, sy_error_kind kind, double sd, size_t number, size_t slot) {
  if (known != SY_NO_ERROR || !(sd > 0)) return known;
  const int error = sy_finder_error(f, kind, sd, NULL, (uint32_t)number + 1);
  if (error != SY_NO_ERROR) f->list->error[error].family = (uint32_t)(slot / SY_MAX_INSTRUMENTS);
  return error;
}

void sy_finder_clear_slots(finder *f) {
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

void sy_finder_name_instruments(void *with, const family *fam, const uint8_t *slot, bool last) {
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
  sy_finder_clear_slots(f);
}
