/* pack_cars.h - the rows of a pack (pack.h) as answers of cars that carry what is in the slots: the same vehicle in several load states,
** each asked what it must hold there.
**
** Units    SI, kg; each answer times its scale, plus its offset.
** Slots    what lies in one enters the sums by its mass alone. The springs stay as they were set: `drawn` is without it.
** Memory   value types, nothing to free.
*/
#ifndef SY_STUDY_PACK_CARS_H
#define SY_STUDY_PACK_CARS_H

#include "../answers/answer_set.h"
#include "pack.h"

/* A car without anything in the slots. The car it was made of, and what that rests on, stay as they are as long as it is used. */
typedef struct sy_pack_car {
  const sy_car *car;
  sy_totals now, drawn;          /* sums */
  sy_totals unit[SY_PACK_SLOTS]; /* what 1 kg in each slot adds to `now` */
} sy_pack_car;

/* Its sums; nothing is known of its slots. Errors  those of sy_car_check */
SY_API sy_status sy_pack_car_make(const sy_car *car, sy_pack_car *out, sy_error *err);

/* 1 kg at a point in the vehicle's frame, on that carrier (mass/ledger.h).
** Errors  SY_RANGE  a slot or carrier there is not, a place that is not finite */
SY_API sy_status sy_pack_car_at(sy_pack_car *car, int slot, sy_vec3 place, int carrier, sy_error *err);

/* The same from a ledger that holds `kg` more than the car's own, in that slot and nowhere else.
** Errors  SY_RANGE   a slot there is not, kg that is not > 0
**         SY_MISSING  the ledger weighs no more: the slot is in what is not aboard
**         SY_CLASH   it weighs more by something else than kg */
SY_API sy_status sy_pack_car_with(sy_pack_car *car, int slot, const sy_ledger *with, double kg,
                                  sy_error *err);

/* One row: the answer `asked` of car number `car`, times its scale, plus the offset. */
typedef struct sy_pack_answer {
  int car;
  const sy_answer_set *set;
  sy_asked asked;
  double offset;
} sy_pack_answer;

/* What sy_pack_cars_values gets as `user`. */
typedef struct sy_pack_cars {
  const sy_pack_car *car;
  int cars;
  const sy_pack_answer *answer; /* by row of the pack */
  int answers;
  int slots;
} sy_pack_cars;

/* Errors  SY_UNKNOWN  a car, row, axle or wheel there is not;  SY_LIMIT  more slots or answers than a pack has */
SY_API sy_status sy_pack_cars_check(const sy_pack_cars *cars, sy_error *err);

/* What a pack of checked cars takes as `values`: rows of a car that does not stand with these masses are NaN. */
SY_API sy_status sy_pack_cars_values(void *user, const double *mass, const bool *wanted, double *value);

#endif
