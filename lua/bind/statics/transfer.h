/* transfer.h - what the bindings of transfer and stability share: a car on its springs under a force, asked by totals. */
#ifndef SYL_BIND_STATICS_TRANSFER_H
#define SYL_BIND_STATICS_TRANSFER_H

#include "bind/statics/corner.h"
#include "bind/statics/settle.h"
#include "statics/settle.h"

typedef struct syl_push {
  const sy_ledger *now, *drawn;
  const syl_geometry *g;
  sy_vehicle vehicle;             /* g's, or one with another rate */
  double forward, left;           /* inertia force per weight */
  double downforce[SY_MAX_AXLES]; /* N */
  bool bars;
  const syl_tanks *tanks; /* or NULL */
} syl_push;

/* A push with totals given, kept by the caller. */
typedef struct syl_pushed {
  sy_corner_model corner;
  sy_settle_car car; /* points at the push, the corner above and `now` */
} syl_pushed;

/* With `downforce` or without. */
sy_status syl_push_car(const syl_push *push, const sy_totals *now, const sy_totals *drawn, bool downforce,
                       syl_pushed *out, sy_error *err);

/* Where it stands with its liquid lying where it was found before: for doubts, which the liquid does not enter. */
sy_status syl_push_frozen(const syl_pushed *pushed, const sy_sums *moved, sy_vec3 gravity,
                          sy_corner_result *out);

/* Adds to variance[] what `count` answers of `value` change by one standard uncertainty of each field in the list at `index` ({axle,
** field, standard uncertainty}; nil: none). */
typedef bool syl_push_answers(const syl_push *push, void *user, double *answers);
void syl_add_rate_variance(lua_State *L, int index, const syl_push *push, syl_push_answers *value, void *user,
                           int count, double *variance);

#endif
