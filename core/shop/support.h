/* support.h - a car on stands: what each carries, how far it is from tipping, and what tips it.
**
** Units    m; loads as fractions of the weight. Plan view: x forward, y left (ISO 8855:2011). Level ground, stands that neither
**          sink nor pull.
** Tipping  over an edge of the convex hull of the stands, when the cg passes it. A weight set down beyond an edge tips the car
**          when its moment about that edge exceeds the car's: m_w d_w = m d.
** Loads    three stands: the balance alone. More: as if each gave alike (least squares), those that would have to pull left out.
** Source   equilibrium of moments; hull by A. M. Andrew, Information Processing Letters 9(5):216-219, 1979 (from memory).
*/
#ifndef SY_SHOP_SUPPORT_H
#define SY_SHOP_SUPPORT_H

#include <stdbool.h>

#include "../base/status.h"
#include "floor.h"

enum { SY_MAX_STANDS = 16 };

typedef struct sy_support {
  int count; /* stands */
  sy_plan at[SY_MAX_STANDS];
  int hull_count;          /* corners of the hull, counted against the clock */
  int hull[SY_MAX_STANDS]; /* indices of stands */
} sy_support;

typedef struct sy_support_loads {
  double margin;   /* of the cg to the nearest edge; negative outside: it tips */
  int from, to;    /* the stands that edge runs between */
  sy_plan outward; /* unit vector across that edge */
  double share;    /* 0 at `from`, 1 at `to`: where on the edge it is nearest */
  double load
      [SY_MAX_STANDS]; /* fractions of the weight, 0 for a stand that carries nothing; all 0 when it tips */
  bool even;           /* more than three carry: how they share is a guess */
} sy_support_loads;

/* Errors  SY_RANGE     fewer than three or more than SY_MAX_STANDS stands, a place not finite (part "stand 2")
**         SY_GEOMETRY  all of them on one line */
SY_API sy_status sy_support_make(const sy_plan *at, int count, sy_support *out, sy_error *err);

SY_API sy_support_loads sy_support_load(const sy_support *support, sy_plan cg);

/* Weight at `at` that brings a car with its cg at `cg` to the point of tipping, as a fraction of the car's; INFINITY when `at` lies
** within the stands, 0 when the car tips by itself. */
SY_API double sy_support_to_tip(const sy_support *support, sy_plan cg, sy_plan at);

#endif
