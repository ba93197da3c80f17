/* cgheight.h - the height of the centre of gravity from axle loads read level and lifted.
**
** Unknown are the height, the level loads and the true tilt of every lifted reading; observed are loads and tilts. The fit is
** total least squares with the stated uncertainties (numeric/lsq.h) of the exact loads (measure/lift.h).
** Levels   each run has a level load of its own, on each axle that was read: friction or a zero that moved between runs then
**          shifts a run and not the height. The mean of the runs' totals is the mass.
** Unseen   wrong wheelbase, radii and a steady drift of the zeros leave no residual: their effect on the height is worked out
**          by fitting again with each one changed by its uncertainty (drift: through the fit's gain).
** Side     the same serves a vehicle tilted sideways on tyres with a crown of radius rho: wheelbase = track, both radii = rho,
**          front = left. A tyre rolls sideways on its crown, not about the wheel centre.
** Plane    a vehicle that stands as a whole on one inclined plane, scales and all (a tilt table, a ramp), presses on it by the
**          cosine of its tilt; it turns about its contacts, so no radius matters: on_plane.
** Units    m, rad, kg; loads are what scales read.
** Source   ISO 10392:2011, 6 (steps up and down, hysteresis); JCGM 100:2008, 5.1 (propagation), G.4 (effective degrees of
**          freedom); W. Baarda, 1968, as in lsq.h.
*/
#ifndef SY_MEASURE_CGHEIGHT_H
#define SY_MEASURE_CGHEIGHT_H

#include "measure/lift.h"

enum { SY_CGHEIGHT_MOST_READINGS = 128, SY_CGHEIGHT_MOST_RUNS = 32, SY_CGHEIGHT_MOST_TIED = 8 };

/* One setting. */
typedef struct sy_cgheight_reading {
  size_t run;         /* 0.. */
  sy_lift_end lifted; /* no matter when level */
  double lift;        /* m, or rad with by_angle; 0 level, else > 0 */
  double lift_sd;     /* the same; 0 counts as exact */
  double load[2];     /* kg, front and rear; NaN where not read */
  double load_sd[2];  /* kg, > 0 where read */
  double shift;       /* kg m: sy_lift_liquid at this tilt, 0 without liquids */
} sy_cgheight_reading;

typedef struct sy_cgheight_session {
  sy_lift_car car;
  double wheelbase_sd, radius_sd[2]; /* m; default 0 */
  bool by_angle;                     /* lifts are angles of the body */
  bool on_plane;     /* the pads tilt with the vehicle; lifts are angles then, springs locked */
  bool by_body;      /* the lifted end is held at held[end], its wheels hang */
  double held[2][2]; /* m: x, z of the point at the front and the rear end */
  const sy_cgheight_reading *reading;
  size_t count, runs;
  double mass, mass_sd; /* kg, weighed elsewhere; NaN (default): from the readings */
  double load_dof;      /* degrees of freedom of the loads' sd; default INFINITY */
  double
      drift; /* kg: how far the zeros can have moved over the session; NaN (default): the gap between the levels */
  bool common_level; /* one level for all runs */
} sy_cgheight_session;

/* What the height's uncertainty is made of. */
typedef enum sy_cgheight_source {
  SY_CGHEIGHT_LOADS,
  SY_CGHEIGHT_LIFTS,
  SY_CGHEIGHT_FRONT_RADIUS,
  SY_CGHEIGHT_REAR_RADIUS,
  SY_CGHEIGHT_WHEELBASE,
  SY_CGHEIGHT_MASS,
  SY_CGHEIGHT_DRIFT,
  SY_CGHEIGHT_SOURCES
} sy_cgheight_source;

/* What of a reading. */
typedef enum sy_cgheight_what { SY_CGHEIGHT_FRONT, SY_CGHEIGHT_REAR, SY_CGHEIGHT_LIFT } sy_cgheight_what;

typedef struct sy_cgheight_name {
  size_t reading;
  sy_cgheight_what what;
} sy_cgheight_name;

typedef struct sy_cgheight_row {
  double tilt;            /* rad, as read; nose up */
  double residual[3];     /* read - fitted: kg, kg, rad; NaN where not read or exact */
  double standardised[3]; /* the same over its own sd; NaN where the fit cannot test it */
  double redundancy[3];
  double height, u_height; /* of this reading with its run's level; NaN when level */
} sy_cgheight_row;

typedef struct sy_cgheight_level {
  double load[2], u[2]; /* kg; NaN where never read */
  size_t readings;
} sy_cgheight_level;

typedef struct sy_cgheight {
  double height, u_height;       /* m; with all sources */
  double dof;                    /* effective, INFINITY when all is stated */
  double u[SY_CGHEIGHT_SOURCES]; /* m: each source's part; the squares add up */
  double mass, u_mass;           /* kg */
  double behind, u_behind;       /* m: cg behind the front axle */
  double chi2;
  size_t tested;  /* degrees of freedom of chi2 */
  double p;       /* chance of a larger one; NaN when nothing is tested */
  double widened; /* factor on loads and lifts where p < 5 %: sqrt(chi2/tested); else 1 */
  double trend,
      u_trend; /* m per unit of |tan tilt|: how a height that may change with the tilt would; NaN when not to be told */
  double drift;         /* kg, as used */
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
** Errors  SY_RANGE     a value is not finite or of the wrong sign, an angle of 90 degrees or more
**         SY_MISSING   no mass: no run has both axles level and none was given; a reading without load
**         SY_GEOMETRY  nothing lifted, or too little to tell the height; geometry of lift.h
**         SY_LIMIT     too many readings or runs; the fit does not settle
** The part of an error is "reading 3" where it is about one. */
SY_API sy_status sy_cgheight_fit(const sy_cgheight_session *session, void *memory, sy_cgheight *out,
                                 sy_cgheight_row *rows, sy_cgheight_level *levels, sy_error *err);

/* The cg's place across the vehicle (m, left positive) from four wheel loads (LF, RF, LR, RR; kg) of the same sd: the mean
** over the settings weighted by their doubt. It depends neither on tilt nor on how twist shares the loads.
** load    count x 4        track  front, rear
** Errors  SY_RANGE  count is 0, a total or a track is not > 0, an sd not > 0 */
SY_API sy_status sy_cgheight_lateral(const double *load, const double *sd, size_t count,
                                     const double track[2], double *y, double *u, sy_error *err);

#endif
