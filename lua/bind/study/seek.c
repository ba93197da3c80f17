/* seek.c - a search (core/study/seek.h): places go to a script's functions through columns. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/column.h"
#include "bind/study/solver.h"

/* Where places and their answers lie, and who answers. */
typedef struct asker {
  lua_State *L;
  sy_seek_problem problem;
  double *point[SY_SEEK_INPUTS];
  const double *answer[SY_SEEK_ANSWERS];
  bool failed; /* the error lies on top of the stack */
} asker;

enum { SPEC = 1, SOLVER, ASK, EXACT };

/* ---- asking ------------------------------------------------------------------------------------------------------------------------- */

/* A library that cannot be unwound is below: an error is kept until it has returned, and nothing here raises one. */
static bool ask_function(asker *a, int function, size_t count, const double *x, double *answer) {
  const sy_seek_problem *p = &a->problem;
  for (size_t i = 0; i < p->inputs; i++)
    for (size_t k = 0; k < count * p->folds; k++) a->point[i][k] = x[k / p->folds * p->inputs + i];
  lua_pushvalue(a->L, function);
  lua_pushinteger(a->L, (lua_Integer)count);
  a->failed = lua_pcall(a->L, 1, 0, 0) != LUA_OK;
  if (a->failed) return false;
  for (size_t k = 0; k < count; k++)
    for (size_t q = 0; q < p->quantities; q++)
      memcpy(answer + (k * p->quantities + q) * p->folds, a->answer[q] + k * p->folds,
             p->folds * sizeof *answer);
  return true;
}

static bool ask(void *user, size_t count, const double *x, double *answer) {
  return ask_function(user, ASK, count, x, answer);
}

static bool ask_exactly(void *user, size_t count, const double *x, double *answer) {
  return ask_function(user, EXACT, count, x, answer);
}

/* ---- reading ------------------------------------------------------------------------------------------------------------------------- */

/* The table under `key` of the spec, left on the stack; its length. */
static size_t list_under(lua_State *L, const char *key, size_t most) {
  lua_getfield(L, SPEC, key);
  luaL_checktype(L, -1, LUA_TTABLE);
  const lua_Integer count = syl_length(L, lua_gettop(L));
  if ((size_t)count > most) luaL_error(L, "too many %s", key);
  return (size_t)count;
}

/* The stored column on top of the stack, taken off: where it lies. */
static double *column_of(lua_State *L, size_t least) {
  syl_column *c = syl_column_check(L, lua_gettop(L));
  luaL_argcheck(L, syl_column_data(c) != NULL && syl_column_count(c) >= least, SPEC, "a column is too short");
  lua_pop(L, 1);
  return syl_column_data(c);
}

static const double *read_values(lua_State *L, int entry, size_t *count) {
  lua_getfield(L, entry, "values");
  if (lua_isnil(L, -1)) return *count = 0, NULL;
  const int list = lua_gettop(L);
  *count = (size_t)syl_length(L, list);
  double *value = lua_newuserdatauv(L, (*count + 1) * sizeof *value, 0); /* stays on the stack */
  for (size_t k = 0; k < *count; k++) value[k] = syl_number_at(L, list, (lua_Integer)k + 1);
  return value;
}

/* {{low =, high =, now =, per =, values =?, column =}, ...} */
static sy_seek_input *read_inputs(lua_State *L, asker *a) {
  const size_t count = list_under(L, "inputs", SY_SEEK_INPUTS);
  const int list = lua_gettop(L);
  sy_seek_input *input = lua_newuserdatauv(L, (count + 1) * sizeof *input, 0);
  luaL_checkstack(L, 4 * SY_SEEK_INPUTS + 16, NULL);
  for (size_t i = 0; i < count; i++) {
    lua_geti(L, list, (lua_Integer)i + 1);
    const int entry = lua_gettop(L);
    input[i].low = syl_number_under(L, entry, "low", 1, (double)NAN);
    input[i].high = syl_number_under(L, entry, "high", 1, (double)NAN);
    input[i].now = syl_number_under(L, entry, "now", 1, (double)NAN);
    input[i].per = syl_number_under(L, entry, "per", 1, (double)NAN);
    input[i].value = read_values(L, entry, &input[i].count);
    lua_getfield(L, entry, "column");
    a->point[i] = column_of(L, SY_SEEK_BATCH * a->problem.folds);
  }
  a->problem.inputs = count;
  return input;
}

/* {{size =, column =}, ...} */
static double *read_quantities(lua_State *L, asker *a) {
  const size_t count = list_under(L, "quantities", SY_SEEK_ANSWERS);
  const int list = lua_gettop(L);
  double *size = lua_newuserdatauv(L, (count + 1) * sizeof *size, 0);
  for (size_t q = 0; q < count; q++) {
    lua_geti(L, list, (lua_Integer)q + 1);
    size[q] = syl_number_under(L, lua_gettop(L), "size", 1, (double)NAN);
    lua_getfield(L, -1, "column");
    a->answer[q] = column_of(L, SY_SEEK_BATCH * a->problem.folds);
    lua_pop(L, 1);
  }
  a->problem.quantities = count;
  return size;
}

/* A number under `key` counts from 1. */
static size_t number_under(lua_State *L, int entry, const char *key) {
  return (size_t)syl_whole_under(L, entry, key, 1, SY_SEEK_ANSWERS, 1) - 1;
}

/* {{quantity =, value =, within =?}, ...} and {{quantity =, min =?, max =?}, ...} */
static void read_asked(lua_State *L, sy_seek_problem *p, sy_seek_target *target, sy_seek_limit *limit) {
  p->targets = list_under(L, "targets", SY_SEEK_TARGETS);
  for (size_t k = 0; k < p->targets; k++) {
    lua_geti(L, -1, (lua_Integer)k + 1);
    const int entry = lua_gettop(L);
    target[k] = (sy_seek_target){number_under(L, entry, "quantity"),
                                 syl_number_under(L, entry, "value", 1, (double)NAN),
                                 syl_number_under(L, entry, "within", 1, (double)NAN)};
    lua_pop(L, 1);
  }
  p->limits = list_under(L, "limits", SY_SEEK_LIMITS);
  for (size_t j = 0; j < p->limits; j++) {
    lua_geti(L, -1, (lua_Integer)j + 1);
    const int entry = lua_gettop(L);
    limit[j] = (sy_seek_limit){number_under(L, entry, "quantity"),
                               syl_number_under(L, entry, "min", 1, -(double)INFINITY),
                               syl_number_under(L, entry, "max", 1, (double)INFINITY)};
    lua_pop(L, 1);
  }
  p->target = target, p->limit = limit;
}

/* ---- giving ----------------------------------------------------------------------------------------------------------------------------- */

static void set_whole(lua_State *L, const char *key, size_t value) {
  lua_pushinteger(L, (lua_Integer)value);
  lua_setfield(L, -2, key);
}

static void push_numbers(lua_State *L, const char *key, const double *x, size_t count) {
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushnumber(L, x[i]);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, key);
}

static void push_bindings(lua_State *L, const sy_seek_found *f) {
  static const char *const kinds[] = {"bound", "limit", "target"};
  lua_createtable(L, (int)f->bindings, 0);
  for (size_t k = 0; k < f->bindings; k++) {
    lua_createtable(L, 0, 4);
    lua_pushstring(L, kinds[f->binding[k].kind]);
    lua_setfield(L, -2, "kind");
    set_whole(L, "number", f->binding[k].number + 1);
    lua_pushnumber(L, f->binding[k].value);
    lua_setfield(L, -2, "value");
    if (!isnan(f->binding[k].gain)) {
      lua_pushnumber(L, f->binding[k].gain);
      lua_setfield(L, -2, "gain");
    }
    lua_rawseti(L, -2, (lua_Integer)k + 1);
  }
  lua_setfield(L, -2, "binding");
}

static void push_found(lua_State *L, const sy_seek_problem *p, const sy_seek_found *f) {
  static const char *const outcomes[] = {"reached", "nearest", "broken", "unmoved", "unknown", "stopped"};
  lua_createtable(L, 0, 7);
  lua_pushstring(L, outcomes[f->outcome]);
  lua_setfield(L, -2, "outcome");
  set_whole(L, "which", f->which + 1);
  set_whole(L, "agree", f->agree);
  set_whole(L, "gains", f->gains + 1);
  lua_pushboolean(L, f->by_values);
  lua_setfield(L, -2, "by_values");
  push_numbers(L, "values", f->x, p->inputs);
  push_numbers(L, "within", f->within, p->targets);
  push_bindings(L, f);
}

/* core.seek(spec, solver, ask, exact) -> {outcome = "reached" "nearest" "broken" "unmoved" "unknown", which = number of a quantity, values = list by
** input, within = list by target, agree =, by_values =, binding = {{kind =, number =, value =, gain =?}, ...}}
** spec     {folds =, inputs =, quantities =, targets =, limits =, aim = -1, 0 or 1, aimed =, starts =, seed =}, as above
** ask      function(count): the columns of the inputs hold count x folds entries, a place's folds one after the other; fills those of the
**          quantities
** exact    the same by what decides */
static int l_seek(lua_State *L) {
  asker a = {.L = L};
  sy_seek_problem *p = &a.problem;
  sy_seek_target target[SY_SEEK_TARGETS];
  sy_seek_limit limit[SY_SEEK_LIMITS];
  sy_seek_found found;
  sy_error err;
  lua_settop(L, 4);
  luaL_checktype(L, SPEC, LUA_TTABLE);
  const syl_solver *solver = luaL_checkudata(L, SOLVER, SYL_SOLVER);
  if (strncmp(solver->version, SY_VERSION, sizeof SY_VERSION) != 0)
    return luaL_error(L, "the solver belongs to another version of steelyard");
  p->folds = (size_t)syl_whole_under(L, SPEC, "folds", 1, SY_SEEK_ANSWERS, 1);
  p->input = read_inputs(L, &a);
  p->size = read_quantities(L, &a);
  luaL_checkstack(L, 16, NULL);
  read_asked(L, p, target, limit);
  p->aim = syl_whole_under(L, SPEC, "aim", -1, 1, 0);
  p->aimed = number_under(L, SPEC, "aimed");
  p->starts = (size_t)syl_whole_under(L, SPEC, "starts", 1, SY_SEEK_STARTS, 1);
  lua_getfield(L, SPEC, "seed");
  p->seed = (uint64_t)luaL_optinteger(L, -1, 1);
  p->ask = ask, p->exact = ask_exactly, p->user = &a;
  if (sy_seek_run(p, &solver->solver, NULL, &found, &err) != SY_OK) return syl_raise(L, &err);
  if (a.failed) return lua_error(L);
  push_found(L, p, &found);
  return 1;
}

/* core.seek_most: how many of each there may be */
void syl_open_seek(lua_State *L) {
  lua_pushcfunction(L, l_seek);
  lua_setfield(L, -2, "seek");
  lua_createtable(L, 0, 6);
  set_whole(L, "inputs", SY_SEEK_INPUTS);
  set_whole(L, "targets", SY_SEEK_TARGETS);
  set_whole(L, "limits", SY_SEEK_LIMITS);
  set_whole(L, "starts", SY_SEEK_STARTS);
  set_whole(L, "answers", SY_SEEK_ANSWERS);
  set_whole(L, "batch", SY_SEEK_BATCH);
  lua_setfield(L, -2, "seek_most");
}
