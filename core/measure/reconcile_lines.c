#include "measure/reconcile_lines.h"

#include "mass/whole.h"

typedef struct listing {
  const sy_ledger *ledger;
  sy_reconcile_line *lines;
  size_t room, count;
  sy_vec3 normal;       /* of the pair that was met last, in its own directions */
  const sy_part *other; /* the piece of that pair which is a line already; NULL: none */
} listing;

/* A rotation with the mirror before it: what an error as stated does to the image. */
static sy_mat3 mirrored(sy_mat3 turn, sy_vec3 n) {
  const sy_mat3 mirror = {{{1 - 2 * n.x * n.x, -2 * n.x * n.y, -2 * n.x * n.z},
                           {-2 * n.y * n.x, 1 - 2 * n.y * n.y, -2 * n.y * n.z},
                           {-2 * n.z * n.x, -2 * n.z * n.y, 1 - 2 * n.z * n.z}}};
  return sy_mat3_mul(turn, mirror);
}

/* One error of the whole mass stands for all that a line's mass is made of. */
static bool same_mass(const sy_part *a, const sy_part *b) {
  return sy_same_mass_statement(a, b) && sy_part_mass_sd(a) == sy_part_mass_sd(b);
}

static sy_reconcile_line line_of(const listing *list, const sy_item *item) {
  const sy_part *p = item->part;
  const sy_part *other = item->side ? list->other : NULL;
  const bool image = item->side && (p->flags & SY_PART_MIRRORED) != 0;
  return (sy_reconcile_line){
      .route = item->route,
      .mass = p->mass,
      .mass_sd = sy_part_mass_sd(p),
      .pieces = (double)p->count,
      .place = sy_frame_apply(&item->outer, p->cg),
      .place_sd = p->cg_sd,
      .directions = image ? mirrored(item->outer.turn, list->normal) : item->outer.turn,
      .side = item->side,
      .same_mass = other != NULL && same_mass(other, p),
      .same_place = {other != NULL && sy_same_coordinate(other, p, 0, &list->normal),
                     other != NULL && sy_same_coordinate(other, p, 1, &list->normal),
                     other != NULL && sy_same_coordinate(other, p, 2, &list->normal)},
      .instrument = p->instrument,
      .bias_share = p->bias_share,
      .gain_mass = p->gain_mass,
  };
}

static void add_line(listing *list, const sy_reconcile_line *line) {
  if (list->count < list->room) list->lines[list->count] = *line;
  list->count++;
}

/* A group that counts as it was weighed is one body, as long as nothing in it was changed. */
static bool add_whole(listing *list, const sy_item *item) {
  sy_whole_body body;
  if (!sy_ledger_whole_body(list->ledger, &item->route, &body) || !body.unchanged) return false;
  const sy_frame frame = sy_frame_compose(&item->outer, &item->group->frame);
  add_line(list, &(sy_reconcile_line){
                     .route = item->route,
                     .mass = body.mass,
                     .mass_sd = body.mass_sd,
                     .pieces = 1,
                     .place = sy_frame_apply(&frame, body.place),
                     .place_sd = body.place_sd,
                     .directions = sy_mat3_mul(frame.turn, body.directions),
                     .instrument = body.instrument,
                     .bias_share = body.bias_share,
                     .gain_mass = body.gain_mass,
                 });
  return true;
}

static bool add_item(void *user, const sy_item *item) {
  listing *list = user;
  if (!item->aboard) return false; /* nothing inside it is aboard either */
  if (item->group != NULL) {
    if (add_whole(list, item)) return false;
    list->normal = item->group->twin_normal;
    list->other = NULL;
    return true;
  }
  const sy_reconcile_line line = line_of(list, item);
  add_line(list, &line);
  list->other = item->side ? item->part : NULL;
  return true;
}

size_t sy_reconcile_lines(const sy_ledger *ledger, sy_reconcile_line *lines, size_t room) {
  listing list = {ledger, lines, room, 0, {0, 0, 0}, NULL};
  sy_ledger_visit(ledger, add_item, &list);
  return list.count;
}
