/* sets.h - all sets of answers, and single answers by name.
**
** Names    of the balance as they are ("front_share", "cg.x", "lf"), of every other set with its name in front ("corners.lf",
**          "attitude.heights.front"). Values in the units of the rows, SI.
*/
#ifndef SY_ANSWERS_SETS_H
#define SY_ANSWERS_SETS_H

#include "ask.h"

/* The i-th set; NULL behind the last. */
SY_API const sy_answer_set *sy_answer_set_nth(int i);

/* NULL when no set is called so. */
SY_API const sy_answer_set *sy_answer_set_find(const char *name);

/* The set and row behind a full name; NULL when there is none for this vehicle. */
SY_API const sy_answer_set *sy_answer_by_name(const sy_vehicle *vehicle, const char *name, sy_asked *out);

/* sd  may be NULL
** Errors  SY_UNKNOWN  no answer has that name for this vehicle; and those of sy_answers_ask */
SY_API sy_status sy_answer_of(const sy_car *car, const char *name, double *value, double *sd, sy_error *err);

/* to less from. pairing and errors as sy_answers_change. */
SY_API sy_status sy_answer_change_of(const sy_car *from, const sy_car *to, const char *name,
                                     const sy_pairing *pairing, double *change, double *sd, sy_error *err);

#endif
