/* plan.h - a compiled plan of variants (core/study/plan.h) as a Lua value. */
#ifndef SYL_BIND_STUDY_PLAN_H
#define SYL_BIND_STUDY_PLAN_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

#include "study/plan.h"

typedef struct syl_plan {
  sy_plan *plan;  /* NULL: closed */
  bool uncertain; /* its cars bring covariances */
  size_t outputs;
  sy_plan_output output[SY_MOST_ASKED];
  bool is_ready, ready_sd[SY_MOST_ASKED]; /* made ready for these uncertainties */
  sy_plan_ready ready;
} syl_plan; /* user value 1: what keeps paths and meshes of its first car alive */

/* The plan at `index`, not closed; raises for anything else. */
syl_plan *syl_check_plan(lua_State *L, int index);

#endif
