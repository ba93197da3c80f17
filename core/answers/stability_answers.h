/* stability_answers.h - how far a car is from tipping, rigid and on its springs, and what its tyres can hold.
**
** Units    SI: rad of tables and grades, forces per weight in g, shares as fractions, m. Models as in statics/stability.h and transfer.h.
** Sides    0 left: a table whose left side is low, a left turn; 1 right.
** Liquid   runs to the low or outer side, to where it lies at that very limit; by the static stability factor, traction and brakes it lies
**          as booked.
** Air      downforce counts in turns, traction and braking; tables and grades stand still. How far the CG sinks under it comes from the
**          springs and follows the uncertainties of rates and downforce, not those of masses; without rates it does not sink.
*/
#ifndef SY_ANSWERS_STABILITY_ANSWERS_H
#define SY_ANSWERS_STABILITY_ANSWERS_H

#include "../statics/stability.h"
#include "answer_set.h"
#include "steady.h"

/* Of the rigid vehicle. */
typedef enum sy_rigid_answer {
  SY_RIGID_SSF,
  SY_RIGID_TIP,                           /* rad of a table, left and right */
  SY_RIGID_LIFT = SY_RIGID_TIP + 2,       /* rad, first wheel off it, left and right */
  SY_RIGID_TURN = SY_RIGID_LIFT + 2,      /* g, left and right */
  SY_RIGID_GRADE = SY_RIGID_TURN + 2,     /* rad, up and down */
  SY_RIGID_TRACTION = SY_RIGID_GRADE + 2, /* g, driven in front, in the rear, on all wheels; two axles */
  SY_RIGID_BRAKE = SY_RIGID_TRACTION + 3, /* ideal front share of the brake force, at a deceleration of mu */
  SY_RIGID_CRITICAL, /* g, above it the rear locks first; this and the next with a brake_front_share */
  SY_RIGID_LOCKS,    /* g at which front and rear lock; NaN: never */
  SY_RIGID_SPLIT = SY_RIGID_LOCKS + 2, /* g, traction with a drive_front_share; two axles, as the next */
  SY_RIGID_SPLIT_IDEAL, /* front share of the drive with which both axles slip together, at mu; NaN: the front lifts before */
  SY_RIGID_COUNT
} sy_rigid_answer;

/* The car's `forward` acts in the turns, `mu` on all tyres. */
typedef struct sy_rigid {
  double value[SY_RIGID_COUNT]; /* NaN: no meaning for this car */
  int lift_wheel[2];            /* -1: none lifts */
  sy_reach edge[2];             /* the line it tips over in a turn */
  int weak;                     /* the side that tips at the smaller force; 0 when they are the same */
  int split_by; /* what limits the split drive: 0 front grip, 1 rear grip, 2 the front lifts */
  bool air;     /* there is downforce */
  double sink;  /* m */
  sy_sums lies[SY_RIGID_COUNT]; /* what the liquid does to the sums by then */
} sy_rigid;

/* Errors  those of sy_car_check
**         SY_RANGE     mu not > 0 or not finite, forward not finite, a brake or drive share beyond 0..1
**         SY_MISSING   nothing aboard has a mass
**         SY_GEOMETRY  field "downforce": so much lift that wheels carry nothing; field "cg": it is not above the ground, or outside
**                      the wheels
**         of the sink those of sy_stand_make, with downforce and all rates */
SY_API sy_status sy_rigid_make(const sy_car *car, sy_rigid *out, sy_error *err);

/* Of all that the lines it tips over in a left and a right turn, with the car's `forward`, and the forces per weight at which it does (NaN: it goes
** over by `forward` alone). Errors  those of sy_rigid_make */
typedef struct sy_tip_lines {
  double turn[2];
  sy_reach edge[2];
} sy_tip_lines;

SY_API sy_status sy_tip_lines_make(const sy_car *car, sy_tip_lines *out, sy_error *err);

/* A rigid vehicle in the turn that the car's `left` names, with its `forward` and its downforce, as that turn grows; it does not sink. */
typedef struct sy_rigid_turn {
  double lift;     /* g at which the first wheel lifts, on equal vertical rates; INFINITY: none does */
  double tips;     /* g; NaN: it tips by `forward` alone */
  int wheel;       /* that lifts; -1 */
  sy_sums lies[2]; /* what the liquid does to the sums by the one and the other */
} sy_rigid_turn;

/* was     the liquid stays where it was there; NULL: it runs
** Errors  those of sy_settle_moved */
SY_API sy_status sy_rigid_turn_make(const sy_car *car, const sy_totals *now, const sy_rigid_turn *was,
                                    sy_rigid_turn *out, sy_error *err);

/* ssf, tip.left, tip.right, lift.left.angle, lift.right.angle, side.left_turn, side.right_turn, side_g (the smaller, 0 when braking alone
** tips it), grade.up, grade.down, traction.front, .rear, .all, .split, split.ideal, brake.ideal, brake.critical_z, brake.front_locks, brake.rear_locks */
SY_API const sy_answer_set *sy_stability_answers(void);

/* On springs and tyres, on a table. */
typedef struct sy_compliant {
  sy_ending lift[2],
      tip[2]; /* by side; limits are tangents of the table's angle, NaN: none up to 88.6 degrees. Of a tip the wheel is the
                                one on the high side that carries least shortly before it goes over; -1: none carries anything */
} sy_compliant;

/* Errors  those of sy_car_check, sy_corner_make and sy_settle_limits */
SY_API sy_status sy_compliant_make(const sy_car *car, sy_compliant *out, sy_error *err);

/* The set "stability.compliant": lift.left.angle, lift.right.angle, tip.left, tip.right. Errors of unsprung parts are taken as the body's. */
SY_API const sy_answer_set *sy_compliant_answers(void);

#endif
