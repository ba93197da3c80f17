/* shaft_answers.h - joint angles and plunge of shafts, with what the stated places of their joints and the travel of their wheels leave
** open.
**
** Units    SI: m, rad. Frame and model as in shop/driveline.h.
*/
#ifndef SY_ANSWERS_SHAFT_ANSWERS_H
#define SY_ANSWERS_SHAFT_ANSWERS_H

#include "../shop/driveline.h"
#include "answer_set.h"

/* A stated coordinate of a joint's centre. */
typedef struct sy_joint_error {
  uint64_t key; /* see sy_own_error */
  double value, sd;
  int joint;    /* 0 inner, 1 outer */
  sy_vec3 move; /* m, of the centre by one standard uncertainty */
} sy_joint_error;

/* A stated number of travel. */
typedef struct sy_travel_error {
  uint64_t key;
  double sd; /* m; 0: none */
} sy_travel_error;

typedef struct sy_shaft {
  sy_joint inner, outer;
  sy_path path;
  double droop, bump;          /* m, NaN: not known */
  double steer;                /* rad */
  const sy_joint_error *error; /* at most SY_MOST_OWN - 2 of them */
  size_t error_count;
  sy_travel_error droop_error, bump_error;
} sy_shaft;

/* sweep   may be NULL; written when droop and bump are known
** Errors  those of sy_shaft_pose_make and sy_shaft_sweep;  SY_LIMIT  too many errors of joints;  SY_RANGE  an error is not
**         finite, or beyond SY_MOST_ERROR */
SY_API sy_status sy_shaft_find(const sy_shaft *shaft, sy_shaft_found *out, sy_sweep *sweep, sy_error *err);

/* The set "shafts": static_angle, worst_angle, plunge: the largest of all shafts that the car brings; not known while one is not. */
SY_API const sy_answer_set *sy_shaft_answers(void);

#endif
