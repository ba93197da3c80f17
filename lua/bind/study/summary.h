/* summary.h - least, greatest and mean of columns (core/study/summary.h), block by block and as bytes. Variants count from 1. */
#ifndef SYL_BIND_STUDY_SUMMARY_H
#define SYL_BIND_STUDY_SUMMARY_H

#include <lua.h>

#include "study/summary.h"

/* The summary at `index`, or NULL. */
sy_summary *syl_summary_test(lua_State *L, int index);

#endif
