/* error_list_errors.c - the errors of the pieces of a line, each once however many pieces have it. */
#include <math.h>
#include <string.h>

#include "mass/error_list_parts.h"

bool sy_finder_grow(const sy_alloc *alloc, void **block, size_t used, size_t *room, size_t size) {
  if (used < *room) return true;
  const size_t more = *room == 0 ? 64 : 2 * *room;
  void *fresh = sy_alloc_new(alloc, more * size);
  if (fresh == NULL) return false;
  if (used > 0) memcpy(fresh, *block, used * size);
  sy_alloc_free(alloc, *block, *room * size);
  *block = fresh, *room = more;
  return true;
}

int sy_finder_error(finder *f, sy_error_kind kind, double sd, const sy_part *part, uint32_t number) {
  sy_error_list *list = f->list;
  if (!sy_finder_grow(&list->alloc, (void **)&list->error, list->errors, &list->error_room,
                      sizeof *list->error)) {
    f->out_of_memory = true;
    return SY_NO_ERROR;
  }
  list->error[list->errors] = (sy_elementary){kind, sd, part != NULL ? part->id : 0, part, number, 0, 0};
  return (int)list->errors++;
}

/* Errors of the line's pieces met before that are of that kind. */
static uint32_t before(const finder *f, int error, int first) {
  uint32_t count = 0;
  for (int i = first; i < error; i++) count += f->list->error[i].kind == f->list->error[error].kind;
  return count;
}

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
      out->mass[i][kind] =
          sy_finder_error(f, (sy_error_kind)kind, sd, p[i].piece.part, p[i].piece.part->number);
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
      *mine = sy_finder_error(f, (sy_error_kind)(SY_ERROR_X + axis), sd, p[i].piece.part,
                              p[i].piece.part->number);
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
      const int e = sy_finder_error(f, (sy_error_kind)(SY_ERROR_INERTIA + k), sd[k], p[i].piece.part,
                                    p[i].piece.part->number);
      if (f->out_of_memory) return;
      if (k == 0) out->inertia[i] = e;
      f->list->error[e].family = (uint32_t)p[i].piece.family;
      f->list->error[e].again = before(f, e, first);
    }
  }
}

bool sy_finder_line_errors(finder *f, const met_piece *p, size_t count, line_errors *out) {
  const int first = (int)f->list->errors;
  find_mass_errors(f, p, count, first, out);
  if (!f->out_of_memory) find_place_errors(f, p, count, first, out);
  if (!f->out_of_memory) find_inertia_errors(f, p, count, first, out);
  return !f->out_of_memory;
}
