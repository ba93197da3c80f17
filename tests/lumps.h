/* lumps.h - the totals of a few masses at points, without a ledger. */
#ifndef SY_TESTS_LUMPS_H
#define SY_TESTS_LUMPS_H

#include <string.h>

#include "mass/ledger.h"

/* Masses at points, each with who carries it. */
typedef struct lump {
  double mass, x, y, z;
  int carrier;
} lump;

static inline sy_totals totals_of(const lump *list, size_t count) {
  sy_totals t;
  memset(&t, 0, sizeof t);
  for (size_t i = 0; i < count; i++) {
    const sy_massprops body = {list[i].mass, {list[i].x, list[i].y, list[i].z}, {0, 0, 0, 0, 0, 0}};
    const sy_sums s = sy_sums_of(&body);
    t.all = sy_sums_add(&t.all, &s);
    t.carried[list[i].carrier] = sy_sums_add(&t.carried[list[i].carrier], &s);
    t.carriers |= 1u << list[i].carrier;
  }
  return t;
}

#endif
