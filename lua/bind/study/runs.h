/* runs.h - runs of entries of columns, as the arguments of the bindings that reduce them. */
#ifndef SYL_BIND_STUDY_RUNS_H
#define SYL_BIND_STUDY_RUNS_H

#include <stdint.h>

#include "bind/study/column.h"

enum {
  SYL_RUN = 4096
}; /* entries that are copied at a time from columns that are not stored: they stay in the cache */

/* Entries from .. to, counted from 1, of a column of n; they stand at `arg` and `arg` + 1. Gives the first from 0. */
size_t syl_check_run(lua_State *L, int arg, size_t n, size_t *count);

/* `count` entries from number `arg` on, of a column of n. */
size_t syl_check_start(lua_State *L, int arg, size_t n, size_t count);

/* Entries first .. first + count - 1, count <= SYL_RUN, where they lie; copied to `room` where the column is not stored. */
const double *syl_column_run(syl_column *c, size_t first, size_t count, double room[SYL_RUN]);

/* The stored column at `arg`, or NULL for nil; its length. */
double *syl_check_stored(lua_State *L, int arg, size_t *n);

/* The column of codes at `arg`. */
uint8_t *syl_check_codes(lua_State *L, int arg, size_t *n);

#endif
