/* judge.c - verdicts of variants and what is folded of them (core/study/judge.h, fold.h). Entries count from 1. A verdict is its number: pass 1,
** near 2, unknown 3, fail 4. */
#include <lauxlib.h>
#include <math.h>
#include <stdbool.h>

#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/runs.h"
#include "study/fold.h"
#include "study/judge.h"

enum { MOST_LIMITS = 256 };

static sy_limit read_limit(lua_State *L, int index) {
  const sy_limit limit = {syl_number_under(L, index, "min", 1, -(double)INFINITY),
                          syl_number_under(L, index, "max", 1, (double)INFINITY),
                          syl_number_under(L, index, "near", 1, (double)NAN),
                          syl_number_under(L, index, "share", 1, 0)};
  lua_getfield(L, index, "name");
  const char *name = lua_tostring(L, -1);
  sy_error err;
  if (sy_limit_check(&limit, name, &err) != SY_OK) syl_raise(L, &err);
  lua_pop(L, 1);
  return limit;
}

/* The column that is entry k of the list at `index`, or NULL; it stays in the list, which keeps it. */
static syl_column *entry(lua_State *L, int index, size_t k) {
  lua_geti(L, index, (lua_Integer)k + 1);
  syl_column *c = syl_column_test(L, -1);
  lua_pop(L, 1);
  return c;
}

/* One limit on a run of entries, over the verdicts that stand there. */
static void judge_run(const sy_limit *limit, syl_column *x, syl_column *sd, double coverage, size_t first,
                      size_t count, uint8_t *verdict) {
  double x_room[SYL_RUN], sd_room[SYL_RUN];
  uint8_t found[SYL_RUN];
  const double *const values[] = {syl_column_run(x, first, count, x_room)};
  const double *const sds[] = {sd != NULL ? syl_column_run(sd, first, count, sd_room) : NULL};
  sy_judge(limit, 1, values, sds, coverage, count, found);
  for (size_t i = 0; i < count; i++) verdict[i] = found[i] > verdict[i] ? found[i] : verdict[i];
}

/* core.judge(verdicts, from, to, {limits}, {columns}, {columns of sd, or false}, coverage): the verdicts of entries from .. to become the worse
** of what they are and how entry k of the columns stands to limit k, a table {name =, min?, max?, near?, share?}; 0 is better than all. */
static int l_judge(lua_State *L) {
  size_t n, count;
  uint8_t *verdict = syl_check_codes(L, 1, &n);
  const size_t first = syl_check_run(L, 2, n, &count), limits = (size_t)syl_length(L, 4);
  const double coverage = luaL_checknumber(L, 7);
  luaL_checktype(L, 5, LUA_TTABLE);
  luaL_checktype(L, 6, LUA_TTABLE);
  luaL_argcheck(L, limits <= MOST_LIMITS, 4, "too many limits");
  sy_limit limit[MOST_LIMITS];
  syl_column *x[MOST_LIMITS], *sd[MOST_LIMITS];
  for (size_t k = 0; k < limits; k++) {
    lua_geti(L, 4, (lua_Integer)k + 1);
    luaL_argcheck(L, lua_istable(L, -1), 4, "a list of limits expected");
    limit[k] = read_limit(L, lua_gettop(L));
    lua_pop(L, 1);
    x[k] = entry(L, 5, k);
    sd[k] = entry(L, 6, k);
    luaL_argcheck(L, x[k] != NULL && syl_column_count(x[k]) >= first + count, 5,
                  "a column a limit expected, as long as the verdicts");
    luaL_argcheck(L, sd[k] == NULL || syl_column_count(sd[k]) >= first + count, 6,
                  "a column is shorter than the verdicts");
  }
  for (size_t i = 0; i < count; i += SYL_RUN) {
    const size_t part = count - i < SYL_RUN ? count - i : SYL_RUN;
    for (size_t j = 0; j < part; j++)
      verdict[first + i + j] = verdict[first + i + j] == 0 ? SY_PASS : verdict[first + i + j];
    for (size_t k = 0; k < limits; k++)
      judge_run(&limit[k], x[k], sd[k], coverage, first + i, part, verdict + first + i);
  }
  return 0;
}

/* core.verdict_count(verdicts, from, to) -> pass, near, unknown, fail: how many are of each */
static int l_count(lua_State *L) {
  size_t n, count;
  const uint8_t *verdict = syl_check_codes(L, 1, &n);
  const size_t first = syl_check_run(L, 2, n, &count);
  uint64_t counts[4] = {0};
  sy_verdict_count(verdict + first, count, counts);
  for (int k = 0; k < 4; k++) lua_pushinteger(L, (lua_Integer)counts[k]);
  return 4;
}

static size_t check_number(lua_State *L, int arg, lua_Integer least) {
  const lua_Integer n = luaL_checkinteger(L, arg);
  luaL_argcheck(L, n >= least && n <= INT32_MAX, arg, "outside what is possible");
  return (size_t)n;
}

/* core.fold(values, from, folds, count, at, lowest, highest, lowest_at, highest_at): of `count` variants with `folds` combinations each, one after
** the other from entry `from` of the values on, into entries from `at` on of the other columns, any of which may be nil */
static int l_fold(lua_State *L) {
  size_t n;
  const double *x = syl_check_stored(L, 1, &n);
  luaL_argcheck(L, x != NULL, 1, "a stored column expected");
  const size_t folds = check_number(L, 3, 1), count = check_number(L, 4, 0);
  const size_t first = syl_check_start(L, 2, n, folds * count);
  double *out[4];
  for (int k = 0; k < 4; k++) {
    out[k] = syl_check_stored(L, 6 + k, &n);
    if (out[k] != NULL) out[k] += syl_check_start(L, 5, n, count);
  }
  const sy_folded folded = {out[0], out[1], out[2], out[3]};
  sy_fold(x + first, folds, count, &folded);
  return 0;
}

/* core.fold_verdict(verdicts, from, folds, count, at, worst): the same of verdicts, into column `worst` */
static int l_fold_verdict(lua_State *L) {
  size_t n, room;
  const uint8_t *verdict = syl_check_codes(L, 1, &n);
  uint8_t *worst = syl_check_codes(L, 6, &room);
  const size_t folds = check_number(L, 3, 1), count = check_number(L, 4, 0);
  const size_t first = syl_check_start(L, 2, n, folds * count), at = syl_check_start(L, 5, room, count);
  sy_fold_verdict(verdict + first, folds, count, worst + at);
  return 0;
}

void syl_open_judge(lua_State *L) {
  static const luaL_Reg functions[] = {{"judge", l_judge},
                                       {"verdict_count", l_count},
                                       {"fold", l_fold},
                                       {"fold_verdict", l_fold_verdict},
                                       {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
