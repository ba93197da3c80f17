/* plan_car.h - all numbers of a car that its answers rest on, as one list.
**
** A variant of a car differs from it in some of these numbers and in nothing else: two cars whose lists differ in length, or that differ in
** what is not a number (how many wheels, which shape of tank, bars on or off), are unlike and not variants of one another.
** Units    SI, as the car has them. Frame ISO 8855:2011.
** Memory   a value type of some 70 kB that points into itself: sy_plan_car_copy and not an assignment.
*/
#ifndef SY_STUDY_PLAN_CAR_H
#define SY_STUDY_PLAN_CAR_H

#include "../answers/shaft_answers.h"
#include "../shop/clearance.h"

enum {
  SY_PLAN_TANKS = 8,
  SY_PLAN_SHAFTS = 8,
  SY_PLAN_ENVELOPES = 32,
  SY_PLAN_PAIRS = 64,
  SY_PLAN_GAPS = 8,
  SY_PLAN_NUMBERS = 3072 /* no car has as many */
};

/* Two envelopes that must not touch, or one over the ground. */
typedef struct sy_plan_pair {
  unsigned char gap, a, b;
  bool ground; /* b does not count */
  bool
      marked; /* of bare points: the gap counts along the line from one to the other as drawn, below 0 when they changed places */
  sy_vec3 mark[2];
} sy_plan_pair;

/* What gaps are found from: each is the least of its pairs. */
typedef struct sy_plan_gaps {
  sy_envelope envelope[SY_PLAN_ENVELOPES];
  sy_plan_pair pair[SY_PLAN_PAIRS];
  double asked[SY_PLAN_GAPS]; /* m, 0: nothing */
  size_t envelopes, pairs, count;
} sy_plan_gaps;

/* A car with its own sums, tanks and shafts. car.now and car.drawn are not read; map follows from the vehicle. */
typedef struct sy_plan_car {
  sy_car car;
  sy_totals now, drawn; /* sums of what is aboard, and of the drawn state; of `now` also the covariance */
  double cross_sd; /* standard uncertainty of the cross weight, 0: none stated; NaN: records measured it */
  double cross_cov
      [5]; /* its covariance with m and the first moments of `now`, and its variance, where records measured it */
  bool places_err; /* where its wheels stand is uncertain */
  sy_settle_tank tank[SY_PLAN_TANKS];
  sy_shaft shaft
      [SY_PLAN_SHAFTS]; /* whose errors do not count; sy_plan_car_follow makes `found` of them, and of gaps what is below */
  size_t shaft_count;
  sy_shaft_found found[SY_PLAN_SHAFTS];
  sy_plan_gaps gaps;
  double pair_gap[SY_PLAN_PAIRS]; /* m */
  sy_gap_found gap_found[SY_PLAN_GAPS];
} sy_plan_car;

/* car     its tanks are copied
** now     of both sums only those of carriers named in them are read; its covariance is 0 where no uncertainty will be asked
** gaps    copied; NULL: none
** Errors  SY_LIMIT  more than SY_PLAN_TANKS or SY_PLAN_SHAFTS */
SY_API sy_status sy_plan_car_make(const sy_car *car, const sy_totals *now, const sy_totals *drawn,
                                  const sy_shaft *shaft, size_t shaft_count, const sy_plan_gaps *gaps,
                                  sy_plan_car *out, sy_error *err);

SY_API void sy_plan_car_copy(const sy_plan_car *from, sy_plan_car *out);

/* Where the numbers lie in `car`, always in the same order; returns how many. The first 2 x SY_CARRIER_COUNT + 2 times ten are the sums. */
SY_API size_t sy_plan_car_numbers(sy_plan_car *car, double *at[SY_PLAN_NUMBERS]);

/* Do they differ in nothing but numbers? */
SY_API bool sy_plan_car_alike(const sy_plan_car *a, const sy_plan_car *b);

/* What follows from numbers that moved. */
typedef struct sy_plan_moved {
  bool places;                /* of wheels and axles, or the cross weight: the map of loads */
  unsigned shafts, envelopes; /* bit sets: what is found of them */
} sy_plan_moved;

/* What follows from the number at `number`, one of those of `car`. */
SY_API void sy_plan_car_note(const sy_plan_car *car, const double *number, sy_plan_moved *moved);

/* Makes that anew, and which carriers carry. Of a shaft whose joints have no answer NaN is found.
** Errors  those of sy_loadmap_make */
SY_API sy_status sy_plan_car_follow(sy_plan_car *car, sy_plan_moved moved, sy_error *err);

#endif
