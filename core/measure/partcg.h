/* partcg.h - mass and cg of a part that stood on scales in one pose or several.
**
** Units    m, rad; masses and loads kg (what a scale reads). Axes of the part, x forward, y left, z up in its level pose.
** Angles   as in frame.h: roll > 0 lifts the left side, pitch > 0 puts the nose down, turn = Ry(pitch) Rx(roll).
** Model    supports are points of the part, forces on them vertical. Three loads of a pose follow from mass and cg; more of them leave
**          the split open, so each support above three has a free load. Two supports determine the cg along the line between them (edges
**          across it), one the mass alone. A balance: the part and a known mass at one place rest on an edge.
** Unread   a support that stood there with no scale, or whose reading was lost, carries what equilibrium asks: a pose of three supports
**          with one unread still gives two equations, with two unread one. Mass then comes from other poses.
** Fit      total least squares: every reading, place, angle and known mass that is uncertain is an observation with its own standard
**          uncertainty; what is exact is not an unknown. Directions of the cg that no pose determines are left out.
** Source   equilibrium of a rigid body (derived here); fit: lsq.h.
*/
#ifndef SY_MEASURE_PARTCG_H
#define SY_MEASURE_PARTCG_H

#include <stdbool.h>

#include "../base/vec3.h"
#include "../numeric/lsq.h"

enum { SY_PARTCG_POSES = 16, SY_PARTCG_LEGS = 8, SY_PARTCG_PLACES = 48, SY_PARTCG_BALANCES = 8 };

/* A point of the part that stood on a scale in some pose. */
typedef struct sy_partcg_place {
  sy_vec3 at, sd; /* an sd of 0: exact */
} sy_partcg_place;

typedef struct sy_partcg_pose {
  double roll, pitch, roll_sd, pitch_sd;
  size_t legs;
  size_t place[SY_PARTCG_LEGS]; /* which place each leg is */
  double load[SY_PARTCG_LEGS];  /* kg, net of what was there without the part */
  double sd[SY_PARTCG_LEGS];    /* > 0 */
  bool unread[SY_PARTCG_LEGS];  /* stood there and was not read: its load and sd are not looked at */
} sy_partcg_pose;

/* The part with a known mass at `at` balances on an edge at `edge`, both along the part's axis 0, 1 or 2. */
typedef struct sy_partcg_balance {
  int axis;
  double edge, edge_sd; /* m; sd > 0 */
  double mass, mass_sd; /* kg; 0 for the part alone */
  double at, at_sd;     /* m */
} sy_partcg_balance;

typedef struct sy_partcg {
  size_t places, poses, balances;
  sy_partcg_place place[SY_PARTCG_PLACES];
  sy_partcg_pose pose[SY_PARTCG_POSES];
  sy_partcg_balance balance[SY_PARTCG_BALANCES];
} sy_partcg;

typedef enum sy_partcg_cause {
  SY_PARTCG_READINGS,
  SY_PARTCG_PLACED,
  SY_PARTCG_ANGLES,
  SY_PARTCG_EDGES,
  SY_PARTCG_CAUSES
} sy_partcg_cause;

typedef struct sy_partcg_result {
  double mass, mass_sd;   /* NaN when nothing determines the mass */
  double cg[3], cg_sd[3]; /* NaN where not known */
  bool known[3];
  double cause[SY_PARTCG_CAUSES]
              [3]; /* standard uncertainty of each coordinate by what it comes from; NaN where not known */
  sy_lsq fit;      /* its rows: read loads pose by pose, then edges, then what else is uncertain */
  size_t loads;
} sy_partcg_result;

/* Bytes for the fit, aligned for any type; the result's fit points into them. */
SY_API size_t sy_partcg_size(const sy_partcg *problem);

/* Errors  SY_MISSING   no pose and no balance; a lone balance, which determines neither mass nor cg
**         SY_RANGE     a value is not finite, an sd is < 0 (of a load or an edge: not > 0), more than the enum allows
**         SY_GEOMETRY  the supports of a pose stand in one line, or two of them in one place; too few supports of a pose were read to
**                      determine anything; the mass would not be > 0; the poses do not settle mass and cg
** The part in an error is "pose 2" or "edge 1". */
SY_API sy_status sy_partcg_solve(const sy_partcg *problem, void *memory, sy_partcg_result *out,
                                 sy_error *err);

#endif
