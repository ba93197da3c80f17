/* car.h - a car as it is asked: what is aboard, what it was set up with, what it stands on or is pushed by, and which of its rates and
** settings are uncertain.
**
** Units    SI: kg, m, N, N/m, N m/rad, rad. Frame ISO 8855:2011. Forces per weight are in g, shares are fractions.
** Ledgers  `now` is what is aboard; `drawn` the state that the springs were set up in (corner.h). They may be one and the same. Both
**          are the caller's and stay as they are as long as the car is asked.
** Stated   uncertainties of rates and settings, beside those that the ledgers hold of masses and places. Independent of one another.
** Memory   a value type: copied freely, nothing to free.
*/
#ifndef SY_ANSWERS_CAR_H
#define SY_ANSWERS_CAR_H

#include <stdint.h>

#include "../statics/equilibrium.h"
#include "../statics/settle.h"
#include "found.h"

/* What an uncertainty may be stated of. X(code, name as in files and calls, counted by) */
#define SY_STATED_LIST(X)                                                                                    \
  X(SY_STATED_SPRING_RATE, "spring_rate", SY_BY_WHEEL)           /* N/m */                                   \
  X(SY_STATED_TYRE_RATE, "tyre_rate", SY_BY_WHEEL)               /* N/m */                                   \
  X(SY_STATED_MOTION_RATIO, "motion_ratio", SY_BY_WHEEL)         /* spring travel / wheel travel */          \
  X(SY_STATED_BAR_RATE, "bar_rate", SY_BY_AXLE)                  /* N/m */                                   \
  X(SY_STATED_ROLL_CENTRE, "roll_centre", SY_BY_AXLE)            /* m */                                     \
  X(SY_STATED_LATERAL_RATE, "tyre_lateral_rate", SY_BY_AXLE)     /* N/m of one tyre */                       \
  X(SY_STATED_TORSION, "torsion", SY_BY_CAR)                     /* N m/rad */                               \
  X(SY_STATED_CROSS_SHARE, "cross_share", SY_BY_CAR)             /* fraction, as drawn */                    \
  X(SY_STATED_PAD, "pads", SY_BY_WHEEL)                          /* m */                                     \
  X(SY_STATED_PERCH, "perches", SY_BY_WHEEL)                     /* m at the spring */                       \
  X(SY_STATED_PRELOAD, "preload", SY_BY_AXLE)                    /* m of travel difference */                \
  X(SY_STATED_DOWNFORCE, "downforce", SY_BY_AXLE)                /* N */                                     \
  X(SY_STATED_NOSE_UP, "nose_up", SY_BY_CAR)                     /* rad, of the floor */                     \
  X(SY_STATED_LEFT_UP, "left_up", SY_BY_CAR)                     /* rad, of the floor */                     \
  X(SY_STATED_FORWARD, "forward", SY_BY_CAR)                     /* g */                                     \
  X(SY_STATED_LEFT, "left", SY_BY_CAR)                           /* g */                                     \
  X(SY_STATED_MU, "mu", SY_BY_CAR)                               /* coefficient of friction */               \
  X(SY_STATED_BRAKE_FRONT_SHARE, "brake_front_share", SY_BY_CAR) /* fraction */                              \
  X(SY_STATED_DRIVE_FRONT_SHARE, "drive_front_share", SY_BY_CAR) /* fraction */                              \
  X(SY_STATED_RAISED_FRONT, "raised_front", SY_BY_CAR)           /* m */                                     \
  X(SY_STATED_RAISED_REAR, "raised_rear", SY_BY_CAR)             /* m */                                     \
  X(SY_STATED_STOP_GAP, "stop_gap", SY_BY_WHEEL)                 /* m of wheel travel */                     \
  X(SY_STATED_STOP_RATE, "stop_rate", SY_BY_WHEEL)               /* N/m at the wheel */                      \
  X(SY_STATED_BRAKE_LINKS, "brake_links", SY_BY_AXLE)            /* fraction */                              \
  X(SY_STATED_BRAKE_ANGLE, "brake_angle", SY_BY_AXLE)            /* rad */                                   \
  X(SY_STATED_DRIVE_LINKS, "drive_links", SY_BY_AXLE)            /* fraction */                              \
  X(SY_STATED_DRIVE_ANGLE, "drive_angle", SY_BY_AXLE)            /* rad */                                   \
  X(SY_STATED_AT, "at", SY_BY_WHEEL)                 /* m forward, an axle line and its wheels */            \
  X(SY_STATED_TRACK, "track", SY_BY_WHEEL)           /* m, half of it each way */                            \
  X(SY_STATED_WHEEL_AT, "at", SY_BY_WHEEL)           /* m forward, a wheel off its axle line */              \
  X(SY_STATED_HALF_TRACK, "half_track", SY_BY_WHEEL) /* m to the left */

typedef enum sy_stated_field {
#define SY_STATED_CODE(code, name, by) code,
  SY_STATED_LIST(SY_STATED_CODE)
#undef SY_STATED_CODE
      SY_STATED_COUNT
} sy_stated_field;

/* Bit set: those that say where wheels stand. */
#define SY_STATED_PLACES                                                                                     \
  (1u << SY_STATED_AT | 1u << SY_STATED_TRACK | 1u << SY_STATED_WHEEL_AT | 1u << SY_STATED_HALF_TRACK)

typedef enum sy_stated_by { SY_BY_CAR, SY_BY_AXLE, SY_BY_WHEEL } sy_stated_by;

/* The source of a cross weight that the records of the car's ledgers read beside the sums (mass/measured.h): its error is theirs. */
#define SY_SOURCE_MEASURED UINT32_MAX

/* One uncertainty of one number. */
typedef struct sy_stated {
  sy_stated_field field;
  unsigned
      at; /* bit set of the wheels (or axles, see the list) that have this one number in common; 0 for the car's own fields */
  double sd; /* standard uncertainty, > 0, in the field's unit */
  uint32_t
      source; /* who stated it: 0, or a number of the caller's. In two cars it is the same error where field, stated value, sd and
                      source are the same and a wheel has it in both: another number for one wheel of two leaves the other's error */
  uint32_t
      error; /* the number under which readings of the records that the car's ledgers carry have this error too (mass/measured.h): it
                errs with them. 0, or of none of these records: it errs by itself */
  double
      shifted; /* of a place: how far it was moved since it was stated, and by what records correct it. Neither states anything */
} sy_stated;

enum { SY_BESIDE_PLACES = 12 }; /* two an axle and two a wheel, of two axles of two wheels */

typedef struct sy_beside_place {
  sy_stated_field field;
  unsigned at;
  double by; /* per m */
} sy_beside_place;

/* How a number that is worked out from a measured one rests on that, and on a ledger that carries the same records. */
typedef struct sy_beside {
  double by_measured;      /* per unit of the number that was read beside the sums */
  const sy_ledger *at;     /* NULL: on none */
  sy_sensitivity by_at;    /* by its sums */
  sy_sensitivity by_drawn; /* by those of the car's drawn ledger */
  /* By where wheels stand: of the car's stated places. All others do nothing. */
  size_t places;
  sy_beside_place place[SY_BESIDE_PLACES];
} sy_beside;

/* Per unit of a stated number. beside: may be NULL */
SY_API double sy_beside_by_stated(const sy_beside *beside, const sy_stated *stated);

typedef struct sy_car {
  const sy_ledger *now, *drawn;
  sy_vehicle vehicle;
  sy_loadmap map;        /* of the vehicle on level ground; sy_car_make and sy_car_step make it */
  sy_settle_tanks tanks; /* whose liquid follows the body; none: it lies as booked */
  sy_sums
      drawn_liquid; /* what the liquid of the drawn state does to the drawn ledger's sums; 0 while it is level as booked */
  sy_corner_setting setting; /* pads, perches, preload, downforce, bars */
  double raised_front,
      raised_rear; /* m that the perches had set the body higher at the first and last axle line when the ledgers were drawn up:
                              heights and pitch are counted from before that */
  double nose_up, left_up;  /* rad, slope of the floor */
  double forward, left;     /* force per weight, g: forward as under braking, left as in a right turn */
  double mu;                /* coefficient of friction, default 1 */
  double brake_front_share; /* front share of the brake force, NaN: not stated */
  double
      drive_front_share; /* front share of the drive force of a car that splits it in a fixed ratio, NaN: not stated */
  const sy_stated *stated; /* `stated_count` of them, the caller's */
  size_t stated_count;
  const sy_beside *
      beside; /* the caller's, of a cross weight whose source is SY_SOURCE_MEASURED; NULL: it is the one that was read */
  /* What was found of it beside its ledgers, the caller's; none: those answers are not known. */
  const sy_shaft_found *shaft;
  size_t shaft_count;
  const sy_gap_found *gap;
  size_t gap_count;
  const sy_found *usable; /* of one tank; may be NULL */
} sy_car;

/* A car on level pads, without forces, bars off, no liquid that moves, nothing stated.
** drawn    NULL: as `now`
** Errors   those of sy_loadmap_make */
SY_API sy_status sy_car_make(const sy_ledger *now, const sy_ledger *drawn, const sy_vehicle *vehicle,
                             sy_car *out, sy_error *err);

/* "spring_rate"; never NULL. And whether the field is a wheel's, an axle's or the car's. */
SY_API const char *sy_stated_name(sy_stated_field field);
SY_API sy_stated_by sy_stated_counts(sy_stated_field field);

/* Errors  SY_RANGE    an sd that is not > 0 or not finite, counts of axles or wheels
**         SY_UNKNOWN  a field there is not, a wheel or axle the car has not, no wheel or axle at all
**         SY_CLASH    a measured cross weight stated twice
** The part in the error is "stated 2 of 5", the field the name of the field. */
SY_API sy_status sy_car_check(const sy_car *car, sy_error *err);

/* Of where wheels stand. */
SY_API bool sy_stated_place(const sy_stated *stated);

/* How far a wheel goes when such a number is one metre more, forward and to the left; 0 of all others, and of
** wheels there are not. */
SY_API sy_vec3 sy_stated_wheel_way(const sy_loadmap *map, const sy_stated *stated, int wheel);

/* And an axle line, forward. */
SY_API double sy_stated_line_way(const sy_loadmap *map, const sy_stated *stated, int axle);

/* Does it err with readings of the records that the car's ledgers carry? */
SY_API bool sy_car_stated_read(const sy_car *car, const sy_stated *stated);

/* Of a cross weight, by SY_SOURCE_MEASURED. */
SY_API bool sy_stated_measured(const sy_stated *stated);

/* The number that an uncertainty is stated of, at the first of its wheels or axles. */
SY_API double sy_car_stated_value(const sy_car *car, const sy_stated *stated);

/* Is it the same error in both cars? */
SY_API bool sy_same_stated(const sy_car *car, const sy_stated *stated, const sy_car *other_car,
                           const sy_stated *other);

/* The car with that number `by` more. Rates and motion ratios stay above a hundredth of what they were.
** Errors  SY_RANGE  a cross weight outside 0..1;  those of sy_loadmap_make where wheels would stand so */
SY_API sy_status sy_car_step(const sy_car *car, const sy_stated *stated, double by, sy_car *out,
                             sy_error *err);

/* The car drawn with that cross weight, (right front + left rear) / total. Errors  those of sy_loadmap_make */
SY_API sy_status sy_car_set_cross(const sy_car *car, double cross_share, sy_car *out, sy_error *err);

/* Does every wheel state its spring and its tyre rate? Without them nothing is known of how the car stands on them. */
SY_API bool sy_car_has_rates(const sy_car *car);

/* Gravity in the frame of the floor, m/s^2. */
SY_API sy_vec3 sy_car_gravity(const sy_car *car);

#endif
