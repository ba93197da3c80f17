/* floor.h - a place in plan view: x forward, y left on level ground (ISO 8855:2011), or whatever two axes the caller keeps to. */
#ifndef SY_SHOP_FLOOR_H
#define SY_SHOP_FLOOR_H

typedef struct sy_plan {
  double x, y; /* m */
} sy_plan;

#endif
