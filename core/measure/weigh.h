/* weigh.h - wheel loads from runs over scales: pads swapped, the car turned, one axle at a time.
**
** Units    kg (what a scale reads).
** Model    a reading is the sum of the loads of the wheels on the pad, plus the pad's offset, plus what a floor that is not level adds:
**          turned round, the car has that with the other sign. With equal sides front wheels gain `slope_front`, rear wheels lose it;
**          left wheels gain `slope_left`, right wheels lose it. Unlike wheels gain by their own places.
** Fit      least squares, lsq.h. An offset is an unknown that is observed as 0 with its standard uncertainty, so pads that were never
**          swapped leave their uncertainty in the loads, and pads that were are compared by them. Gains and a lever's ratio err in the same
**          sense in all readings of a pad, or in all; they are propagated afterwards.
** Source   comparison weighing by exchange: JCGM 100:2008, F.1.2.3 (common errors), 5.2 (correlated inputs); model derived here.
*/
#ifndef SY_MEASURE_WEIGH_H
#define SY_MEASURE_WEIGH_H

#include <stdbool.h>

#include "../numeric/lsq.h"

enum { SY_WEIGH_WHEELS = 8, SY_WEIGH_PADS = 16, SY_WEIGH_READINGS = 256 };

typedef struct sy_weigh_reading {
  unsigned wheels; /* bit i: wheel i stood on it */
  size_t pad;
  int facing;      /* 1 or -1 (turned round); with floor slopes only */
  double load, sd; /* kg; sd > 0 */
} sy_weigh_reading;

typedef struct sy_weigh {
  size_t wheels, pads, readings;
  /* What a wheel gains of a slope: 1, -1 or 0 (neither, on the centre line); at unlike places in proportion to c[wheel][1] along and
  ** c[wheel][2] across of its load map (equilibrium.h), the largest being 1. */
  double front[SY_WEIGH_WHEELS], left[SY_WEIGH_WHEELS];
  bool slopes;                     /* the floor's two slopes are unknowns */
  double offset_sd[SY_WEIGH_PADS]; /* kg; 0: the pad has no offset */
  double gain_sd[SY_WEIGH_PADS];   /* relative */
  double ratio_sd;                 /* relative, of all readings together */
  sy_weigh_reading reading[SY_WEIGH_READINGS];
} sy_weigh;

typedef struct sy_weigh_result {
  double load[SY_WEIGH_WHEELS];
  double cov[SY_WEIGH_WHEELS * SY_WEIGH_WHEELS]; /* wheels x wheels */
  double offset[SY_WEIGH_PADS], offset_sd[SY_WEIGH_PADS];
  double slope_front, slope_left; /* kg on a wheel that gains 1; 0 without slopes */
  sy_lsq fit;                     /* its first rows are the readings */
} sy_weigh_result;

SY_API size_t sy_weigh_size(const sy_weigh *problem);

/* memory   sy_weigh_size bytes, aligned for any type; the result's fit points into it
** Errors   SY_MISSING   no readings
**          SY_RANGE     a value is not finite, an sd is not > 0 (of offsets, gains and the ratio: < 0), more than the enum allows, a pad or
**                       wheel that is not there, a facing that is not 1 or -1, a result that is not finite; the part is "reading 3"
**          SY_GEOMETRY  the readings do not settle the loads */
SY_API sy_status sy_weigh_solve(const sy_weigh *problem, void *memory, sy_weigh_result *out, sy_error *err);

#endif
