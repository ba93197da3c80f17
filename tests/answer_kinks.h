/* answer_kinks.h - of an answer that is the least of several, which one it is: the wheel that lifts first, the side or the edge that a car
** goes over, the axle that ends the traction of a drive with a fixed split. Where another becomes the least the answer has a kink, and its uncertainty of first order is that of one side of it.
*/
#ifndef SY_TESTS_ANSWER_KINKS_H
#define SY_TESTS_ANSWER_KINKS_H

#include <string.h>

#include "answers/stability_answers.h"
#include "answers/transfer_answers.h"

static inline int edge_number(sy_reach reach) { return reach.wheel[0] * SY_MAX_WHEELS + reach.wheel[1]; }

static inline int least_of_rigid(const sy_answer_row *row, const sy_car *car, const sy_totals *now,
                                 const sy_rigid *s) {
  const double x = now->all.first.x / now->all.m, y = now->all.first.y / now->all.m;
  const int at = row->at;
  if (strcmp(row->name, "side_g") == 0)
    return s->weak == 0 ? 1 + edge_number(s->edge[0]) : -1 - edge_number(s->edge[1]);
  if (at == SY_RIGID_SPLIT) return 1 + s->split_by;
  if (at >= SY_RIGID_TRACTION || at < SY_RIGID_TIP) return 0;
  if (at >= SY_RIGID_GRADE)
    return edge_number(sy_stability_reach(&car->vehicle, x, y, at == SY_RIGID_GRADE ? -1 : 1, 0));
  if (at >= SY_RIGID_TURN) return edge_number(s->edge[at - SY_RIGID_TURN]);
  if (at >= SY_RIGID_LIFT) return s->lift_wheel[at - SY_RIGID_LIFT];
  return edge_number(sy_stability_reach(&car->vehicle, x, y, 0, at == SY_RIGID_TIP ? 1 : -1));
}

/* Which one, as a number that means nothing else; 0 for answers that are not the least of several.
** now    the sums that the state was solved for */
static inline int least_of(const sy_answer_set *set, const sy_answer_row *row, const sy_car *car,
                           const sy_totals *now, const void *state) {
  if (set == sy_stability_answers()) return least_of_rigid(row, car, now, state);
  if (set == sy_transfer_answers() && row->near != NULL) return ((const sy_pushed *)state)->lift.wheel;
  if (set != sy_compliant_answers()) return 0;
  const sy_compliant *s = state; /* rows: two of lifts, two of tips */
  return row->at < 2 ? s->lift[row->at].wheel : s->tip[row->at - 2].wheel;
}

#endif
