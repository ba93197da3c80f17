/* trial.h - one item moved along one direction, as often as asked, from the sums of the car as it stands.
**
** Units    SI. Nothing is rebuilt: a body of mass m and moments f moved by d changes the car's ten sums by
**          first += m d,  second += f d^T + d f^T + m d d^T, and every answer follows from the ten sums.
** Exact    for a pure shift. The car itself stays as it is.
*/
#ifndef SY_STATICS_TRIAL_H
#define SY_STATICS_TRIAL_H

#include "../mass/sums.h"
#include "equilibrium.h"

typedef struct sy_trial {
  sy_sums car;           /* about the vehicle's origin, item included */
  double item_mass;      /* kg */
  sy_vec3 item_first;    /* kg m */
  sy_vec3 direction;     /* unit vector, vehicle frame */
  const sy_loadmap *map; /* the caller keeps it alive */
} sy_trial;

typedef struct sy_trial_result {
  double mass;                /* kg */
  sy_vec3 cg;                 /* m */
  double yaw_inertia;         /* kg m^2 about the cg */
  double load[SY_MAX_WHEELS]; /* N, map->wheel_count of them */
} sy_trial_result;

/* The answers with the item moved by `distance` (m) along the trial's direction. car.m must be > 0. */
SY_API void sy_trial_at(const sy_trial *trial, double distance, sy_trial_result *out);

#endif
