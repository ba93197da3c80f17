/* cgheight_model.h - a session of readings as unknowns and observations. Private to cgheight_fit.c and its parts.
**
** Unknowns      height, [trend], [mass], levels, tilts in the order of the readings, errors of the blocks, errors of the
**               geometry where the body is held at a point
** Observations  per reading: front load, rear load, tilt, as far as read and not exact; then blocks and geometry (their error is 0 as
**               far as known); then [mass]
*/
#ifndef SY_MEASURE_CGHEIGHT_MODEL_H
#define SY_MEASURE_CGHEIGHT_MODEL_H

#include "../numeric/lsq.h"
#include "cgheight.h"

enum { CGHEIGHT_NONE = -1 };

/* What of the geometry may err, and how an error of it changes a tilt as read and a load at a given tilt. */
typedef enum cgheight_geometry {
  CGHEIGHT_WHEELBASE,
  CGHEIGHT_FRONT_RADIUS,
  CGHEIGHT_REAR_RADIUS,
  CGHEIGHT_FRONT_POINT_X,
  CGHEIGHT_FRONT_POINT_Z,
  CGHEIGHT_REAR_POINT_X,
  CGHEIGHT_REAR_POINT_Z,
  CGHEIGHT_GEOMETRY
} cgheight_geometry;

typedef struct cgheight_problem {
  const sy_cgheight_session *session;
  sy_lift_car car; /* the session's, or with one value changed */
  size_t rows, cols, groups;
  int trend, mass, mass_row;           /* columns and a row, or NONE */
  int level[SY_CGHEIGHT_MOST_RUNS][2]; /* column of each group's level, or NONE */
  size_t complete;                     /* groups with both levels */
  int tilt
      [SY_CGHEIGHT_MOST_READINGS]; /* column of a tilt, or NONE where the blocks alone settle it, or nothing errs */
  int block[SY_CGHEIGHT_MOST_BLOCKS]; /* column of a block's error, or NONE where exact or unused */
  int block_row[SY_CGHEIGHT_MOST_BLOCKS];
  int row[SY_CGHEIGHT_MOST_READINGS][3];       /* row of front, rear and tilt, or NONE */
  double seen_tilt[SY_CGHEIGHT_MOST_READINGS]; /* rad */
  double tilt_sd[SY_CGHEIGHT_MOST_READINGS];
  double rate[SY_CGHEIGHT_MOST_READINGS]; /* d tilt / d lift: rad/m, or +-1 */
  int geometry[CGHEIGHT_GEOMETRY],
      geometry_row[CGHEIGHT_GEOMETRY]; /* or NONE where exact, or never held at a point */
  double tilt_by[SY_CGHEIGHT_MOST_READINGS][CGHEIGHT_GEOMETRY],
      load_by[SY_CGHEIGHT_MOST_READINGS][CGHEIGHT_GEOMETRY];
  double *y, *sd, *start; /* rows, rows, cols: the caller's */
} cgheight_problem;

/* Check the session and lay the problem out; no tilts yet. */
sy_status cgheight_lay_out(cgheight_problem *p, const sy_cgheight_session *session, bool trend,
                           sy_error *err);

/* The tilts of p->car, all observations and a start. */
sy_status cgheight_observe(cgheight_problem *p, sy_error *err);

/* Loads of reading i as read, and level by the start; the axle that was not read is the rest of the mass. */
sy_lift_loads cgheight_seen_loads(const cgheight_problem *p, size_t i);

/* sy_lsq_model; user is the problem. */
sy_status cgheight_model(void *user, const double *x, double *fitted, double *jacobian, sy_error *err);

size_t cgheight_group(const cgheight_problem *p, size_t reading);
sy_lift_hold cgheight_hold(const cgheight_problem *p, size_t reading);

/* What a scale reads of an upright load: 1, on an inclined plane the cosine of its tilt. */
double cgheight_press(const cgheight_problem *p, double tilt);

/* The tilt of a reading by the unknowns, and `weight` times its derivatives added to `gradient` (cols). */
double cgheight_tilt_of(const cgheight_problem *p, const double *x, size_t reading);
void cgheight_add_tilt(const cgheight_problem *p, size_t reading, double weight, double *gradient);

/* What the unknowns x say about the level vehicle in a reading's run: load of an axle, mass; and add `weight` times
** their derivatives to `gradient` (cols). */
double cgheight_level_of(const cgheight_problem *p, const double *x, size_t group, int end);
double cgheight_mass_of(const cgheight_problem *p, const double *x);
double cgheight_wheelbase_of(const cgheight_problem *p, const double *x);
void cgheight_add_level(const cgheight_problem *p, size_t group, int end, double weight, double *gradient);
void cgheight_add_mass(const cgheight_problem *p, double weight, double *gradient);

#endif
