/* sources.h - what simulations and sensitivities are asked of, and what errs in that, as Lua tables. */
#ifndef SYL_BIND_STUDY_SOURCES_H
#define SYL_BIND_STUDY_SOURCES_H

#include "bind/answers/asked.h"
#include "study/montecarlo.h"

/* Cars and names of all sets while they are read; in a userdata, so that errors leave nothing behind. */
typedef struct syl_sets {
  syl_asked asked[SY_SPREAD_SETS];
  sy_asked name[SY_SPREAD_SETS][SY_SPREAD_ANSWERS];
  sy_spread_set set[SY_SPREAD_SETS];
  int count, answers;
} syl_sets;

/* The list {{set =, asked =, names =}, ...} at `index`: pushes the userdata that holds them. offset: SY_SPREAD_ANSWERS, what the file's zero
** adds to each answer. */
const syl_sets *syl_read_sets(lua_State *L, int index, double *offset);

/* Pushes an error of the ledgers {kind, code, number (of a node, an instrument or a reading), again, family (not 0: the node is of a
** record's own file), image, whole (the line of a weighed group), record (number,
** of a reading), sd}, a stated number {field, code, at (bits of wheels or axles), source, sd} or
** what was found of shafts, gaps, tanks {key, sd}. */
void syl_push_source(lua_State *L, const sy_spread_source *is);

/* Pushes the list of `count` of them. */
void syl_push_sources(lua_State *L, size_t count, sy_spread_source (*at)(const void *of, size_t i),
                      const void *of);

#endif
