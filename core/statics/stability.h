/* stability.h - how far a rigid vehicle is from tipping, and what its tyres can hold: sideways, on grades, braking, driving.
**
** Units    SI: kg, m, rad; accelerations as multiples of g. Frame ISO 8855:2011.
** Tipping  the line of the whole force through the cg meets the ground at x + h a_f, y + h a_l (forces per weight, forward and left);
**          it goes over when that point leaves the area that the wheels stand round, over the side of it that it crosses. On a
**          table or grade the same with the tangent of its angle.
** Rigid    springs and tyres that give bring the cg outward: transfer.h has that.
** Static   and steady: no bump, kerb, soft ground or slide is in it. Not a driving limit.
** Grip     one coefficient for all tyres, one axle line in front and one behind, no drag.
** Air      downforce adds to what the tyres press with, and not to what must be turned, driven or stopped.
** Source   static stability factor: U.S. National Highway Traffic Safety Administration, rollover resistance rulemaking,
**          chapter V (T / 2h); braking, traction and grades: T. Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 2, 3;
**          J. Wong, Theory of Ground Vehicles (both from memory).
*/
#ifndef SY_STATICS_STABILITY_H
#define SY_STATICS_STABILITY_H

#include <stdbool.h>

#include "equilibrium.h"

typedef struct sy_reach {
  double distance; /* m; < 0 when the point is outside already */
  int wheel[2];    /* the edge it leaves by, wheel indices */
} sy_reach;

/* How far a ground point can go in the direction {dx, dy} (not both 0) before it leaves the wheels' area. */
SY_API sy_reach sy_stability_reach(const sy_vehicle *vehicle, double x, double y, double dx, double dy);

/* T / 2h with the mean track of the axles; NAN when an axle has one wheel. */
SY_API double sy_stability_ssf(const sy_vehicle *vehicle, double height);

/* The sideways force per weight at which it tips, with `forward` (braking positive) acting at the same time.
** side  +1: force to the left, as in a right turn or on a table whose left side is low; -1: to the right
** NAN when it goes over by `forward` alone. */
SY_API double sy_stability_side(const sy_vehicle *vehicle, sy_vec3 cg, double forward, int side,
                                sy_reach *edge);

/* A rigid vehicle on equal tyres shares a moment M about a line along x so that wheel i gains M arm[i] / S, S the returned sum of their
** squares: a plane fit. With equal sides the arm is the wheel's distance y from the centre plane, else y less its straight line over x. */
SY_API double sy_stability_roll_arms(const sy_vehicle *vehicle, double arm[SY_MAX_WHEELS]);

/* The tangent of a table's angle at which the first wheel lifts of a rigid vehicle on equal tyres: each wheel gains by its arm above.
** With three wheels it is exact. INFINITY when none does.
** level  loads on level ground, any unit;  wheel  may be NULL */
SY_API double sy_stability_lift_off(const sy_vehicle *vehicle, const double level[SY_MAX_WHEELS],
                                    double height, int side, int *wheel);

/* Where what presses the tyres acts between the axle lines, weight and downforce together: a behind the front, b ahead of the rear; the height
** of the cg; and weight and downforce over weight, 1 without air. */
typedef struct sy_between {
  double a, b, height, press;
} sy_between;

/* For a vehicle of two axles with its cg there and these forces (N) on the body over its axles. a + b is the wheelbase; where wheels stand off
** their axle lines, the length over which a moment moves load from one axle to the other: there a, b and height are those of a vehicle with
** all wheels on the lines whose axles carry the same, whatever it is pushed by.
** map  of the vehicle on level ground */
SY_API sy_between sy_stability_between(const sy_vehicle *vehicle, const sy_loadmap *map, double mass,
                                       sy_vec3 cg, const double downforce[SY_MAX_AXLES]);

/* The cg of a weight alone that tips the vehicle at the same acceleration as this cg does under downforce. */
SY_API sy_vec3 sy_stability_pressed(const sy_vehicle *vehicle, double mass, sy_vec3 cg,
                                    const double downforce[SY_MAX_AXLES]);

/* Largest steady acceleration by driven axle; on a grade the same numbers are its tangent. Front wheels leave the ground at b / h. */
typedef struct sy_traction {
  double front, rear, all;
} sy_traction;

SY_API sy_traction sy_stability_traction(sy_between cg, double mu);

/* The same of a car that splits the drive in a fixed ratio, front_share of it to the first axle, 0 to 1. */
typedef struct sy_split_traction {
  double front_slips, rear_slips; /* acceleration at which that axle has no more grip; INFINITY: never */
  double lifts;                   /* at which the front wheels leave the ground */
  double most;                    /* the smallest of the three */
  double ideal;                   /* front share with which both axles slip together, at mu */
} sy_split_traction;

SY_API sy_split_traction sy_stability_split_traction(sy_between cg, double mu, double front_share);

/* Front share of the brake force with which both axles lock together at the deceleration z. */
SY_API double sy_stability_ideal_brake(sy_between cg, double z);

typedef struct sy_braking {
  double front_locks, rear_locks; /* deceleration; INFINITY: never */
  double critical;                /* above it the rear locks first, below it the front */
  bool rear_first;                /* at this mu */
} sy_braking;

/* front_share  of the brake force, 0 to 1 */
SY_API sy_braking sy_stability_braking(sy_between cg, double mu, double front_share);

#endif
