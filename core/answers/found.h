/* found.h - answers that rest on neither ledgers nor springs, with the errors that they rest on: of a shaft, a gap, what can be drawn from a
** tank. They are found before a car is asked, and the car brings them along (car.h).
**
** Errors   are elementary: one for each stated number. Two cars have the same error where key, stated value and standard uncertainty agree;
**          then it counts in a change with the difference of what it does to both.
** Memory   value types; nothing is allocated.
*/
#ifndef SY_ANSWERS_FOUND_H
#define SY_ANSWERS_FOUND_H

#include <stdint.h>

#include "../base/api.h"

typedef struct sy_own_error {
  uint64_t key;     /* which number of which thing: the same in all cars of one design */
  double value, sd; /* as stated, any unit */
  double effect;    /* of one standard uncertainty on the answer, in the answer's unit */
} sy_own_error;

enum { SY_MOST_OWN = 16 };

/* No place or travel is uncertain by more, m. */
#define SY_MOST_ERROR 1e3

typedef struct sy_found {
  double value; /* NaN: not known */
  int errors;
  sy_own_error error[SY_MOST_OWN];
} sy_found;

/* Of a shaft, see shaft_answers.h. */
typedef struct sy_shaft_found {
  sy_found static_angle; /* rad, the larger of both joints' at ride height */
  sy_found worst_angle;  /* rad, over all travel; this and the next not known without droop or bump */
  sy_found plunge;       /* m, longest less shortest */
} sy_shaft_found;

/* Of a gap, see gap_answers.h. */
typedef struct sy_gap_found {
  sy_found gap; /* m */
  double asked; /* m, what it must be at least; 0 when nothing is asked */
} sy_gap_found;

/* A key from a name such as "left shaft inner x". */
SY_API uint64_t sy_error_key(const char *name);

/* Of that value, without errors. */
SY_API sy_found sy_found_of(double value);

/* Adds an error's effect; to one that is there already, what it does more. sd <= 0 is not an error.
** More than SY_MOST_OWN errors are a mistake of the program. */
SY_API void sy_found_add(sy_found *found, uint64_t key, double value, double sd, double effect);

/* Standard uncertainty; NaN where the value is. */
SY_API double sy_found_sd(const sy_found *found);

/* Of two answers about one car: what their common errors do to both. */
SY_API double sy_found_covariance(const sy_found *a, const sy_found *b);

/* Variance of `to` plus `sign` times `from`. */
SY_API double sy_found_change_variance(const sy_found *from, const sy_found *to, double sign);

#endif
