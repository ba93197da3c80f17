/* cgheight.h - the height of the centre of gravity from axle loads read level and lifted.
**
** Unknown are the height, the level loads, the true tilts and the true blocks; observed are loads, tilts and blocks. The fit is
** total least squares with the stated uncertainties (numeric/lsq.h) of the exact loads (measure/lift.h).
** Levels   each run has a level load of its own, on each axle that was read: friction or a zero that moved between runs then
**          shifts a run and not the height. The mean of the runs' totals is the mass.
** Blocks   a lift is the sum of the blocks it stands on; a block that is used again has the same error again.
** Scatter  readings that scatter more about the fit than their uncertainties allow widen every answer by sqrt(chi2/dof) and make it
**          a Student t of that dof; runs that lie further apart than that do the same to mass, place and share, which are means of
**          the runs. Both are tested at 1 in 8: with a preliminary test at 5 % the interval behind it falls short of its coverage where
**          something is wrong, at the 25 % often advised it is too wide where nothing is (tests/nightly holds both in bounds).
** Display  readings at the same setting that show the same load share the error of the display's step: repeating them gains nothing.
** Unseen   wrong wheelbase, radii and a steady drift of the zeros leave no residual: their effect is worked out by fitting again
**          with each one changed by its uncertainty (drift: through the fit's gain). Held at a point of the body they do leave one,
**          between level on the wheels and lifted at the point: there geometry and point are unknowns too.
** Side     the same serves a vehicle tilted sideways on tyres with a crown of radius rho: wheelbase = track, both radii = rho,
**          front = left. A tyre rolls sideways on its crown, not about the wheel centre.
** Plane    a vehicle that stands as a whole on one inclined plane, scales and all (a tilt table, a ramp), presses on it by the
**          cosine of its tilt; it turns about its contacts, so no radius matters: on_plane.
** Units    m, rad, kg; loads are what scales read.
** Source   ISO 10392:2011, 6 (steps up and down, hysteresis); JCGM 100:2008, 4.2 (repeated readings), 5.1 (propagation), 5.2
**          (correlated inputs), G.4 (effective degrees of freedom); W. Baarda, 1968, as in lsq.h; the 25 %: H. Bozivich,
**          T. Bancroft, H. Hartley, Annals of Mathematical Statistics 27, 1956 (from memory).
*/
#ifndef SY_MEASURE_CGHEIGHT_H
#define SY_MEASURE_CGHEIGHT_H

#include <stdint.h>

#include "lift.h"

enum {
  SY_CGHEIGHT_MOST_READINGS = 128,
  SY_CGHEIGHT_MOST_RUNS = 32,
  SY_CGHEIGHT_MOST_BLOCKS = 32,
  SY_CGHEIGHT_MOST_TIED = 8
};

/* One setting. */
typedef struct sy_cgheight_reading {
  size_t run;         /* 0.. */
  sy_lift_end lifted; /* no matter when level */
  double lift;        /* m, or rad with by_angle; 0 level, else > 0 */
  double lift_sd;     /* the same, of this reading alone; 0 counts as exact. Level readings may have one */
  uint32_t blocks;    /* bit k: the lift stands on block k too; 0 without (default), and with by_angle */
  double load[2];     /* kg, front and rear; NaN where not read */
  double load_sd[2];  /* kg, > 0 where read */
  double step_sd[2];  /* kg: the part of load_sd that is the display's step; default 0 */
  double shift;       /* kg m: sy_lift_liquid at this tilt, 0 without liquids */
} sy_cgheight_reading;

typedef struct sy_cgheight_session {
  sy_lift_car car;
  double wheelbase_sd, radius_sd[2];                   /* m; default 0 */
  double compliance_sd[2], tyre_sd[2], unsprung_sd[2]; /* m/N, m/N, kg: of the car's; default 0 */
  bool by_angle;                                       /* lifts are angles of the body */
  bool on_plane; /* the pads tilt with the vehicle; lifts are angles then, springs locked */
  bool by_body;  /* the lifted end is held at held[end], its wheels hang */
  double held[2][2], held_sd[2][2]; /* m: x, z of the point at the front and the rear end; sd default 0 */
  const sy_cgheight_reading *reading;
  size_t count, runs;
  double block_sd[SY_CGHEIGHT_MOST_BLOCKS]; /* m, of each block's height; 0 counts as exact */
  double mass, mass_sd;                     /* kg, weighed elsewhere; NaN (default): from the readings */
  double load_dof;                          /* degrees of freedom of the loads' sd; default INFINITY */
  double
      drift; /* kg: how far the zeros can have moved over the session; NaN (default): for the height the gap between
                  the levels; mass, place and share have the scatter of the runs */
  bool common_level; /* one level for all runs */
} sy_cgheight_session;

/* What an uncertainty is made of. */
typedef enum sy_cgheight_source {
  SY_CGHEIGHT_LOADS,
  SY_CGHEIGHT_LIFTS,
  SY_CGHEIGHT_BLOCKS,
  SY_CGHEIGHT_FRONT_RADIUS,
  SY_CGHEIGHT_REAR_RADIUS,
  SY_CGHEIGHT_WHEELBASE,
  SY_CGHEIGHT_POINT,    /* where the body was held */
  SY_CGHEIGHT_SPRINGS,  /* suspension that was not locked, both axles */
  SY_CGHEIGHT_TYRES,    /* both axles */
  SY_CGHEIGHT_UNSPRUNG, /* both axles */
  SY_CGHEIGHT_MASS,
  SY_CGHEIGHT_DRIFT,
  SY_CGHEIGHT_RUNS, /* what the runs' scatter has over what their readings explain; none for the height */
  SY_CGHEIGHT_SOURCES
} sy_cgheight_source;

/* What of a reading; or a block, `reading` then is its number. */
typedef enum sy_cgheight_what {
  SY_CGHEIGHT_FRONT,
  SY_CGHEIGHT_REAR,
  SY_CGHEIGHT_LIFT,
  SY_CGHEIGHT_BLOCK
} sy_cgheight_what;

typedef struct sy_cgheight_name {
  size_t reading;
  sy_cgheight_what what;
} sy_cgheight_name;

typedef struct sy_cgheight_row {
  double tilt;             /* rad, as read; nose up */
  double residual[3];      /* read - fitted: kg, kg, rad; NaN where not read or exact */
  double standardised[3];  /* the same over its own sd; NaN where the fit cannot test it */
  double redundancy[3];    /* NaN where not read or exact */
  double height, u_height; /* of this reading with its run's level, widened; NaN when level */
} sy_cgheight_row;

typedef struct sy_cgheight_level {
  double load[2], u[2]; /* kg, widened; NaN where never read */
  size_t readings;
} sy_cgheight_level;

/* An answer: its value, its standard uncertainty by all sources, the effective degrees of freedom of that (INFINITY when all is
** stated), half the width of its 95 % interval (sy_uncertain_half_width: wider than by those degrees of freedom, which hold too
** little where they are few) and each source's part; the squares add up. */
typedef struct sy_cgheight_value {
  double value, u;
  double dof; /* INFINITY when all is stated */
  double half_width;
  double by[SY_CGHEIGHT_SOURCES];
} sy_cgheight_value;

typedef struct sy_cgheight {
  sy_cgheight_value height;      /* m */
  sy_cgheight_value mass;        /* kg */
  sy_cgheight_value behind;      /* m: cg behind the front axle */
  sy_cgheight_value front_share; /* of the mass, 0..1, level */
  double chi2;
  size_t tested; /* degrees of freedom of chi2 */
  double p;      /* chance of a larger one; NaN when nothing is tested */
  double
      widened; /* factor on loads and lifts where the chance of chi2, with that of the runs' gaps while they agree, is below 1 in 8:
                     sqrt(chi2/dof); else 1 */
  double widened_dof; /* of that factor */
  double run_sd;  /* kg: scatter of the level loads from run to run where they differ, p < 1 in 8; else 0 */
  double run_dof; /* of run_sd: axles x (runs - 1) */
  double trend,
      u_trend; /* m per unit of |tan tilt|: how a height that may change with the tilt would; NaN when not to be determined */
  double drift;         /* kg, as used for the height */
  bool suspicious;      /* one reading is off by more than chance allows (5 % over all) */
  double off, critical; /* its standardised residual and what chance allows */
  size_t tied_count;    /* readings whose error would look just the same; the first is the worst */
  sy_cgheight_name tied[SY_CGHEIGHT_MOST_TIED];
} sy_cgheight;

SY_API sy_cgheight_session sy_cgheight_session_default(void);

/* Bytes of memory for sy_cgheight_fit, aligned for any type; 0 when there are too many readings or runs. */
SY_API size_t sy_cgheight_size(const sy_cgheight_session *session);

/* rows    session->count       levels  session->runs; with common_level all are the same
** memory  the caller's, of the size above
**
** Errors  SY_RANGE     a value is not finite or of the wrong sign, an angle of 90 degrees or more, a block without an sd
**         SY_MISSING   no mass: no run has both axles level and none was given; a reading without load
**         SY_GEOMETRY  nothing lifted, or too little to determine the height; geometry of lift.h
**         SY_LIMIT     too many readings or runs; the fit does not settle
** The part of an error is "reading 3" where it is about one. */
SY_API sy_status sy_cgheight_fit(const sy_cgheight_session *session, void *memory, sy_cgheight *out,
                                 sy_cgheight_row *rows, sy_cgheight_level *levels, sy_error *err);

/* The cg's place across the vehicle (m, left positive) from four wheel loads (LF, RF, LR, RR; kg) of the same sd: the mean
** over the settings weighted by their uncertainty. It depends neither on tilt nor on how twist shares the loads.
** load    count x 4        place  y of the four wheels, m
** Errors  SY_RANGE     count is 0, a total or an sd is not > 0 or not finite, a place or a result is not finite
**         SY_GEOMETRY  a left wheel is not left of the right one of its axle */
SY_API sy_status sy_cgheight_lateral(const double *load, const double *sd, size_t count,
                                     const double place[4], double *y, double *u, sy_error *err);

#endif
