/* plan_car.h - a car as all numbers of which plans are made (core/study/plan_car.h), from a table. */
#ifndef SYL_BIND_STUDY_PLAN_CAR_H
#define SYL_BIND_STUDY_PLAN_CAR_H

#include <lua.h>
#include <stdbool.h>

#include "study/plan_car.h"

/* The car of the table at `index` (bind/answers/asked.h), which may have `joints`, a list of what core.shaft takes, and `gaps_from`, a list
** of {asked = mm, pairs = {{a, b or nil: the ground, marks = {{f, l, u}, {f, l, u}} or nil}, ...}}. uncertain: with covariances. What it holds
** on to is left on the stack. Raises what is wrong. */
void syl_read_plan_car(lua_State *L, int index, bool uncertain, sy_plan_car *out);

#endif
