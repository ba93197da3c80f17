/* stand.h - a car as it stands on its springs: the corner model of its drawn state, what is on it now, its liquid where it lies.
**
** Units, frame and model as in statics/corner.h and statics/settle.h.
*/
#ifndef SY_ANSWERS_STAND_H
#define SY_ANSWERS_STAND_H

#include "car.h"

typedef struct sy_stand {
  sy_corner_model model;
  sy_totals now;   /* liquid where the ledger books it */
  sy_vec3 gravity; /* in the frame of the floor: leaning when that slopes */
  sy_corner_setting setting;
  sy_corner_load load;  /* now, here and below with the liquid where it lies */
  sy_sums sums, sprung; /* now, about the vehicle's origin */
  sy_sums moved;        /* what that did to the sums */
  sy_corner_result result;
} sy_stand;

/* The model of the drawn state of these totals, with what its liquid does added. Errors as sy_corner_make. */
SY_API sy_status sy_stand_model(const sy_car *car, const sy_totals *drawn, sy_corner_model *out,
                                sy_error *err);

/* lies  what the liquid does to the sums of `now`, when that is known; NULL: it is found
** Errors  those of sy_corner_make and sy_settle_corner */
SY_API sy_status sy_stand_solve(const sy_car *car, const sy_totals *now, const sy_totals *drawn,
                                const sy_sums *lies, sy_stand *out, sy_error *err);

/* The same for the car's own ledgers. */
SY_API sy_status sy_stand_make(const sy_car *car, sy_stand *out, sy_error *err);

/* The sensitivities of loads and pose there; errors as sy_corner_sensitivity. */
SY_API sy_status sy_stand_sensitivities(const sy_stand *stand, sy_corner_sensitivities *out, sy_error *err);

/* How far the cg went up with body, wheels and liquid, m. */
SY_API double sy_stand_cg_rise(const sy_stand *stand);

#endif
