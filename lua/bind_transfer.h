/* bind_transfer.h - what the bindings of transfer and stability share: a car on its springs under a force, asked by totals. */
#ifndef SYL_BIND_TRANSFER_H
#define SYL_BIND_TRANSFER_H

#include "bind_corner.h"
#include "statics/transfer.h"

typedef struct syl_push {
  const sy_ledger *now, *drawn;
  const syl_geometry *g;
  sy_vehicle vehicle;             /* g's, or one with another rate */
  double forward, left;           /* inertia force per weight */
  double downforce[SY_MAX_AXLES]; /* N */
  bool bars;
} syl_push;

/* The model with the totals given; with `downforce` or without. */
sy_status syl_push_model(const syl_push *push, const sy_totals *now, const sy_totals *drawn, bool downforce,
                         sy_transfer_model *out, sy_error *err);

/* Adds to variance[] what `count` answers of `value` change by one standard uncertainty of each field in the list at `index` (see
** syl_shift_by_entry; nil: none). */
typedef bool syl_push_answers(const syl_push *push, void *user, double *answers);
void syl_add_rate_variance(lua_State *L, int index, const syl_push *push, syl_push_answers *value, void *user,
                           int count, double *variance);

#endif
