/* plan_run.c - from what a script asks of plans and columns to a job (bind/study/plan_job.h). */
#include <lauxlib.h>

#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/plan_job.h"
#include "bind/study/summary.h"
#include "study/blocks.h"

enum { LARGE = 1 << 19 /* numbers: 4 MB */ };

static size_t read_choices(lua_State *L, const char *key, bool words, syl_plan_choice out[SYL_PLAN_CHOICES]) {
  lua_getfield(L, 1, key);
  const lua_Integer count = lua_isnil(L, -1) ? 0 : syl_length(L, lua_gettop(L));
  luaL_argcheck(L, count <= SYL_PLAN_CHOICES, 1, "too many inputs of words");
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, -1, i + 1);
    const int entry = lua_gettop(L);
    luaL_checktype(L, entry, LUA_TTABLE);
    out[i].input = (unsigned)syl_whole_under(L, entry, "input", 1, SY_PLAN_MOST_INPUTS, 1) - 1;
    out[i].count = words ? (size_t)syl_whole_under(L, entry, "count", 1, 1000000, 1) : 0;
    lua_getfield(L, entry, "empty");
    out[i].empty = lua_toboolean(L, -1);
    out[i].stands = words ? 0 : syl_number_under(L, entry, "stands", 1, 0);
    lua_settop(L, entry - 1);
  }
  lua_pop(L, 1);
  return (size_t)count;
}

/* Where the column lies that the table at `index` has under the key on top, which is taken off; NULL without one. */
static double *column_under(lua_State *L, int index, const syl_plan_job *j, size_t *entries) {
  lua_gettable(L, index);
  if (!lua_toboolean(L, -1)) {
    lua_pop(L, 1);
    return NULL;
  }
  syl_column *c = syl_column_check(L, lua_gettop(L));
  *entries += syl_column_count(c);
  luaL_argcheck(L, syl_column_data(c) != NULL && syl_column_count(c) >= j->first + j->count, index,
                "a column is too short");
  lua_pop(L, 1);
  return syl_column_data(c);
}

/* Plans are made ready before threads share them. */
static void make_ready(lua_State *L, syl_plan *p, double *const *sd) {
  sy_error err;
  bool same = p->is_ready;
  for (size_t o = 0; o < p->outputs; o++) {
    same = same && p->ready_sd[o] == (sd[o] != NULL);
    p->ready_sd[o] = sd[o] != NULL;
  }
  if (same) return;
  if (sy_plan_prepare(p->plan, p->output, p->outputs, p->ready_sd, &p->ready, &err) != SY_OK)
    syl_raise(L, &err);
  p->is_ready = true;
}

/* The plans by case of the set at `entry`, for these uncertainties. */
static const syl_plan **read_plans(lua_State *L, const syl_plan_job *j, int entry, size_t outputs,
                                   double *const *sd) {
  const syl_plan **plans = lua_newuserdatauv(L, j->cases * sizeof *plans, 0);
  lua_getfield(L, entry, "plans");
  for (size_t i = 0; i < j->cases; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    syl_plan *plan = lua_toboolean(L, -1) ? syl_check_plan(L, lua_gettop(L)) : NULL;
    luaL_argcheck(L, plan == NULL || plan->outputs == outputs, 1, "outputs and plans do not go together");
    if (plan != NULL) make_ready(L, plan, sd);
    plans[i] = plan;
    lua_pop(L, 1);
  }
  return plans;
}

/* One entry of `sets`, on top of the stack. */
static void read_set(lua_State *L, syl_plan_job *j, size_t s) {
  const int entry = lua_gettop(L);
  luaL_checktype(L, entry, LUA_TTABLE);
  lua_getfield(L, entry, "outputs");
  const lua_Integer count = syl_length(L, lua_gettop(L));
  luaL_argcheck(L, count <= SY_MOST_ASKED, 1, "too many outputs");
  double **columns = lua_newuserdatauv(L, 2 * ((size_t)count + 1) * sizeof *columns, 0),
         **sds = columns + count + 1;
  sy_summary **summaries = lua_newuserdatauv(L, ((size_t)count + 1) * sizeof *summaries, 0);
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, entry + 1, i + 1);
    for (int k = 0; k < 2; k++) lua_pushvalue(L, -1);
    summaries[i] = lua_istable(L, 7) ? (lua_gettable(L, 7), syl_summary_test(L, -1)) : NULL;
    lua_pop(L, 1);
    columns[i] = column_under(L, 5, j, &j->kept[s]);
    sds[i] = lua_istable(L, 6) ? column_under(L, 6, j, &j->kept[s]) : (lua_pop(L, 1), NULL);
    luaL_argcheck(L, columns[i] != NULL || summaries[i] != NULL, 5, "lacks a column");
  }
  j->plan[s] = read_plans(L, j, entry, (size_t)count, sds);
  j->outputs[s] = (size_t)count, j->column[s] = columns, j->sd[s] = sds, j->summary[s] = summaries;
  j->before[s] = j->part_outputs, j->part_outputs += (size_t)count;
  luaL_checkstack(L, 8, NULL);
}

static void read_points(lua_State *L, syl_plan_job *j) {
  const lua_Integer inputs = syl_length(L, 4);
  luaL_argcheck(L, inputs <= SY_PLAN_MOST_INPUTS, 4, "too many inputs");
  for (lua_Integer i = 0; i < inputs; i++) {
    lua_geti(L, 4, i + 1);
    j->point[i] = syl_column_check(L, lua_gettop(L));
    luaL_argcheck(L, syl_column_count(j->point[i]) >= j->first + j->count, 4, "a column is too short");
    lua_pop(L, 1);
  }
  j->inputs = (unsigned)inputs;
  const size_t fits = j->inputs > 0 ? SYL_PLAN_ROOM / j->inputs / 8 * 8 : SYL_PLAN_CHUNK;
  j->chunk = fits < SYL_PLAN_CHUNK ? fits : SYL_PLAN_CHUNK;
}

static void read_cases(lua_State *L, syl_plan_job *j) {
  j->words = read_choices(L, "words", true, j->word);
  j->wheels = read_choices(L, "wheels", false, j->wheel);
  j->cases = j->wheels > 0 ? 2 : 1;
  for (size_t k = 0; k < j->words; k++) j->cases *= j->word[k].count;
  luaL_argcheck(L, j->cases <= 1000000, 1, "too many cases");
}

/* Summaries of the blocks, of nothing so far. */
static void make_parts(lua_State *L, syl_plan_job *j) {
  const size_t parts = syl_plan_job_parts(j);
  j->part = lua_newuserdatauv(L, (parts + 1) * sizeof *j->part, 0);
  for (size_t i = 0; i < parts; i++) j->part[i] = sy_summary_begin();
}

/* core.plan_run(spec, first, count, points, columns, sds?, summaries?, number?) -> how many took a search of their own: fills variants
** first .. first + count - 1 (from 1) of the columns.
** spec     {words = {{input =, count =, empty = true: of a tank, 0 and all else}, ...}, wheels = {{input =, stands =}, ...}, sets = {{plans = list by case (false: nothing is known),
**          outputs = list of keys of columns}, ...}, threads?, block?}. Cases: combinations of words, those of the last fastest; where
**          `wheels` is not empty each twice, wheels as filed and moved
** points   list of columns by input
** summaries  by key, too, what the answers are added to, as of variants from `number` on (else `first`); what has one needs no column */
static int l_run(lua_State *L) {
  syl_plan_job j = {.inputs = 0};
  atomic_init(&j.missed, 0);
  atomic_init(&j.singly, 0);
  lua_settop(L, 8);
  for (int i = 1; i <= 5; i += i == 1 ? 3 : 1) luaL_checktype(L, i, LUA_TTABLE);
  const lua_Integer first = luaL_checkinteger(L, 2), count = luaL_checkinteger(L, 3),
                    number = luaL_optinteger(L, 8, first);
  luaL_argcheck(L, first >= 1, 2, "counts from 1");
  luaL_argcheck(L, count >= 0, 3, "is below 0");
  luaL_argcheck(L, number >= 1, 8, "counts from 1");
  j.first = (size_t)first - 1, j.count = (size_t)count, j.number = (size_t)number - 1;
  const int threads = syl_whole_under(L, 1, "threads", 1, SY_BLOCKS_MOST_THREADS, 1);
  j.block = (size_t)syl_whole_under(L, 1, "block", 1, 1000000, 8 * SYL_PLAN_CHUNK);
  luaL_checkstack(L, 64 * SYL_PLAN_SETS, NULL);
  read_points(L, &j);
  read_cases(L, &j);
  lua_getfield(L, 1, "sets");
  const int sets = lua_gettop(L);
  size_t written = 0;
  j.sets = (size_t)syl_length(L, sets);
  luaL_argcheck(L, j.sets <= SYL_PLAN_SETS, 1, "too many sets");
  for (size_t s = 0; s < j.sets; s++) {
    lua_geti(L, sets, (lua_Integer)s + 1);
    read_set(L, &j, s);
    written += j.kept[s];
  }
  j.stream = written > LARGE;
  sy_error err;
  make_parts(L, &j);
  if (!syl_plan_job_run(&j, threads)) return luaL_error(L, "too many blocks");
  const size_t missed = atomic_load(&j.missed);
  if (missed > 0) {
    sy_fail(&err, SY_UNKNOWN, "plan", NULL, "variant %zu has a value that was not compiled", missed);
    return syl_raise(L, &err);
  }
  syl_plan_job_join(&j);
  lua_pushinteger(L, (lua_Integer)atomic_load(&j.singly));
  return 1;
}

void syl_open_plan_run(lua_State *L) {
  lua_pushcfunction(L, l_run);
  lua_setfield(L, -2, "plan_run");
}
