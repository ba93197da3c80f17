/* plan.c - what is varied of a car, compiled (study/plan.h), and run over columns. */
#include <lauxlib.h>
#include <math.h>
#include <stdatomic.h>
#include <string.h>

#include "answers/sets.h"
#include "bind/answers/answers.h"
#include "bind/answers/asked.h"
#include "bind/errors.h"
#include "bind/mass/ledger.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/shop/clearance.h"
#include "bind/shop/shafts.h"
#include "bind/study/column.h"
#include "bind/study/summary.h"
#include "mass/measured.h"
#include "study/blocks.h"
#include "study/plan.h"

#define PLAN "steelyard.plan"

typedef struct syl_plan {
  sy_plan *plan;  /* NULL: closed */
  bool uncertain; /* its cars bring covariances */
  size_t outputs;
  sy_plan_output output[SY_MOST_ASKED];
  bool is_ready, ready_sd[SY_MOST_ASKED]; /* made ready for these uncertainties */
  sy_plan_ready ready;
} syl_plan; /* user value 1: what keeps paths and meshes of its first car alive */

static syl_plan *check_plan(lua_State *L, int index) {
  syl_plan *p = luaL_checkudata(L, index, PLAN);
  luaL_argcheck(L, p->plan != NULL, index, "the plan is closed");
  return p;
}

static int l_gc(lua_State *L) {
  syl_plan *p = luaL_checkudata(L, 1, PLAN);
  sy_plan_free(p->plan);
  p->plan = NULL;
  return 0;
}

/* ---- cars ------------------------------------------------------------------------------------------------------------------ */

static void too_many(lua_State *L, const char *what) {
  sy_error err;
  sy_fail(&err, SY_LIMIT, "plan", NULL, "has too many %s to be compiled", what);
  syl_raise(L, &err);
}

/* The envelope on top of the stack, taken off: its number among those there are. `seen`, a table, knows them. */
static unsigned char envelope_number(lua_State *L, int seen, const sy_axes *axes, sy_plan_gaps *out) {
  lua_pushvalue(L, -1);
  if (lua_rawget(L, seen) == LUA_TNIL) {
    if (out->envelopes == SY_PLAN_ENVELOPES) too_many(L, "shapes");
    lua_pop(L, 1);
    out->envelope[out->envelopes] = syl_read_envelope(L, lua_gettop(L), axes);
    lua_pushvalue(L, -1);
    lua_pushinteger(L, (lua_Integer)out->envelopes++);
    lua_rawset(L, seen);
    lua_pushinteger(L, (lua_Integer)out->envelopes - 1);
  }
  const unsigned char number = (unsigned char)lua_tointeger(L, -1);
  lua_pop(L, 2);
  return number;
}

/* {asked = mm, pairs = {{a, b or nil: the ground, marks = {{f, l, u}, {f, l, u}} or nil}, ...}} on top of the stack. */
static void read_gap(lua_State *L, int seen, const sy_axes *axes, sy_plan_gaps *out) {
  const int entry = lua_gettop(L);
  if (out->count == SY_PLAN_GAPS) too_many(L, "gaps");
  out->asked[out->count] = syl_number_under(L, entry, "asked", SY_MILLIMETRE, 0);
  lua_getfield(L, entry, "pairs");
  const int pairs = lua_gettop(L);
  const lua_Integer count = syl_length(L, pairs);
  if ((size_t)count + out->pairs > SY_PLAN_PAIRS) too_many(L, "pairs of shapes");
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, pairs, i);
    const int pair = lua_gettop(L);
    sy_plan_pair *p = &out->pair[out->pairs++];
    *p = (sy_plan_pair){.gap = (unsigned char)out->count};
    lua_geti(L, pair, 1);
    p->a = envelope_number(L, seen, axes, out);
    p->ground = lua_geti(L, pair, 2) == LUA_TNIL;
    if (p->ground)
      lua_pop(L, 1);
    else
      p->b = envelope_number(L, seen, axes, out);
    p->marked = lua_getfield(L, pair, "marks") != LUA_TNIL;
    for (int k = 0; k < 2 && p->marked; k++) {
      lua_geti(L, pair + 1, k + 1);
      p->mark[k] = syl_three_at(L, -1, 1, SY_MILLIMETRE);
      lua_pop(L, 1);
    }
    lua_settop(L, pairs);
  }
  out->count++;
  lua_settop(L, entry);
}

/* The list under `gaps_from` of the table at `index`. */
static void read_gaps(lua_State *L, int index, const sy_axes *axes, sy_plan_gaps *out) {
  memset(out, 0, sizeof *out);
  lua_getfield(L, index, "gaps_from");
  const int list = lua_gettop(L);
  if (lua_isnil(L, list)) return;
  lua_newtable(L);
  const lua_Integer count = syl_length(L, list);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, list, i);
    read_gap(L, list + 1, axes, out);
    lua_pop(L, 1);
  }
}

/* The car of the table at `index` (bind/answers/asked.h), which may have `joints`, a list of what core.shaft takes, and
** `gaps_from`, a list for read_gap. What it holds on to is
** left on the stack. */
static void read_car(lua_State *L, int index, bool uncertain, sy_plan_car *out) {
  syl_asked asked;
  sy_totals now, drawn;
  sy_shaft shaft[SY_PLAN_SHAFTS];
  sy_joint_error error[SY_MOST_OWN];
  sy_plan_gaps gaps;
  sy_error err;
  syl_read_asked(L, index, &asked);
  (uncertain ? sy_ledger_totals : sy_ledger_sums)(asked.car.now, &now);
  if (!uncertain) asked.car.stated_count = 0;
  if (asked.car.drawn != asked.car.now)
    sy_ledger_sums(asked.car.drawn, &drawn);
  else
    drawn = now;
  lua_getfield(L, index, "joints");
  const int list = lua_gettop(L);
  const lua_Integer count = lua_isnil(L, list) ? 0 : syl_length(L, list);
  if (count > SY_PLAN_SHAFTS) too_many(L, "shafts");
  for (lua_Integer i = 0; i < count; i++) {
    luaL_checkstack(L, 16, NULL);
    lua_geti(L, list, i + 1);
    syl_read_shaft(L, lua_gettop(L), error, &shaft[i]);
  }
  luaL_checkstack(L, 16, NULL);
  read_gaps(L, index, &asked.g->axes, &gaps);
  if (sy_plan_car_make(&asked.car, &now, &drawn, shaft, (size_t)count, &gaps, out, &err) != SY_OK)
    syl_raise(L, &err);
  if (isnan(out->cross_sd) && sy_measured_beside_covariance(asked.car.now, out->cross_cov, &err) != SY_OK)
    syl_raise(L, &err);
}

/* ---- making ---------------------------------------------------------------------------------------------------------------- */

/* The answer of that name in one of the sets named in the list at 1, which are all solved as the first is. */
static bool find_output(lua_State *L, int geometry, const char *name, sy_plan_output *out) {
  const lua_Integer sets = syl_length(L, 1);
  for (lua_Integer i = 1; i <= sets; i++) {
    sy_asked asked;
    double offset;
    lua_geti(L, 1, i);
    const sy_answer_set *set = sy_answer_set_find(luaL_checkstring(L, -1));
    lua_pop(L, 1);
    if (set == NULL || !syl_find_answer(L, geometry, set, name, &asked, &offset)) continue;
    *out = (sy_plan_output){&set->row[asked.row], asked.index, asked.scale, offset};
    return true;
  }
  return false;
}

/* core.plan({set, ...}, asked, names, sd?) -> plan, list of booleans: which of the names it answers; with `sd` another: of which it has the
** standard uncertainty. The sets are solved alike, as the first. */
static int l_plan(lua_State *L) {
  sy_plan_car car;
  sy_error err;
  lua_settop(L, 4);
  luaL_checktype(L, 1, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TTABLE);
  lua_geti(L, 1, 1);
  const sy_answer_set *set = sy_answer_set_find(luaL_checkstring(L, -1));
  luaL_argcheck(L, set != NULL, 1, "is not a set of answers");
  syl_plan *p = lua_newuserdatauv(L, sizeof *p, 1);
  const int self = lua_gettop(L);
  p->plan = NULL, p->outputs = 0, p->is_ready = false;
  p->uncertain = lua_toboolean(L, 4);
  luaL_setmetatable(L, PLAN);
  lua_newtable(L);
  const int known = lua_gettop(L), geometry = syl_push_geometry_of(L, 2);
  const lua_Integer count = syl_length(L, 3);
  luaL_argcheck(L, count <= SY_MOST_ASKED, 3, "too many names");
  for (lua_Integer i = 1; i <= count; i++) {
    lua_geti(L, 3, i);
    const bool found = find_output(L, geometry, luaL_checkstring(L, -1), &p->output[p->outputs]);
    lua_pop(L, 1);
    p->outputs += found;
    lua_pushboolean(L, found);
    lua_rawseti(L, known, i);
  }
  const int before = lua_gettop(L);
  read_car(L, 2, p->uncertain, &car);
  const int after = lua_gettop(L);
  lua_createtable(L, after - before + 1, 0); /* what the car holds on to */
  lua_pushvalue(L, 2);
  lua_rawseti(L, -2, 1);
  for (int i = before + 1; i <= after; i++) {
    lua_pushvalue(L, i);
    lua_rawseti(L, -2, i - before + 1);
  }
  lua_setiuservalue(L, self, 1);
  if (sy_plan_make(NULL, set, &car, &p->plan, &err) != SY_OK) return syl_raise(L, &err);
  lua_settop(L, known);
  if (!p->uncertain) return 2;
  lua_createtable(L, (int)count, 0);
  size_t o = 0;
  for (lua_Integer i = 1; i <= count; i++) {
    lua_rawgeti(L, known, i);
    const bool answers = lua_toboolean(L, -1);
    lua_pop(L, 1);
    lua_pushboolean(L, answers && sy_plan_has_sd(p->plan, &p->output[o]));
    lua_rawseti(L, known + 1, i);
    o += answers;
  }
  return 3;
}

/* plan:try(asked) -> true, or false and why it is not a variant */
static int l_try(lua_State *L) {
  syl_plan *p = check_plan(L, 1);
  sy_plan_car car;
  sy_error err;
  lua_settop(L, 2);
  read_car(L, 2, p->uncertain, &car);
  const sy_status status = sy_plan_try(p->plan, &car, &err);
  if (status != SY_OK && status != SY_CLASH) return syl_raise(L, &err);
  lua_pushboolean(L, status == SY_OK);
  if (status == SY_OK) return 1;
  lua_pushstring(L, err.message);
  return 2;
}

/* plan:term{{input =, way = "powers" "angle" "table" or "pieces", ...nodes}, ...}: of the cars tried since the last one */
static int l_term(lua_State *L) {
  static const char *const ways[] = {"powers", "angle", "table", "pieces", NULL};
  syl_plan *p = check_plan(L, 1);
  sy_plan_factor factor[SY_PLAN_MOST_FACTORS];
  sy_error err;
  lua_settop(L, 2);
  luaL_checktype(L, 2, LUA_TTABLE);
  const lua_Integer count = syl_length(L, 2);
  luaL_argcheck(L, count >= 1 && count <= SY_PLAN_MOST_FACTORS, 2, "too many inputs act on one another");
  for (lua_Integer f = 0; f < count; f++) {
    lua_geti(L, 2, f + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    const int entry = lua_gettop(L);
    const lua_Integer nodes = syl_length(L, entry);
    double *node = lua_newuserdatauv(L, ((size_t)nodes + 1) * sizeof *node, 0);
    for (lua_Integer i = 0; i < nodes; i++) node[i] = syl_number_at(L, entry, i + 1);
    const int input = syl_whole_under(L, entry, "input", 1, SY_PLAN_MOST_INPUTS, 1);
    lua_getfield(L, entry, "way");
    factor[f] = (sy_plan_factor){(unsigned)input - 1, (sy_plan_way)luaL_checkoption(L, -1, NULL, ways), node,
                                 (size_t)nodes};
    luaL_checkstack(L, 8, NULL);
  }
  p->is_ready = false;
  if (sy_plan_term(p->plan, factor, (size_t)count, &err) != SY_OK) return syl_raise(L, &err);
  return 0;
}

static int l_clear(lua_State *L) {
  syl_plan *p = check_plan(L, 1);
  p->is_ready = false;
  sy_plan_clear(p->plan);
  return 0;
}

/* plan:level(1, 3 or 4; 0 the best) -> boolean: runs that build of the kernels, if there is one; for tests */
static int l_level(lua_State *L) {
  lua_pushboolean(L, sy_plan_use_level(check_plan(L, 1)->plan, (int)luaL_checkinteger(L, 2)));
  return 1;
}

static void read_values(lua_State *L, int index, double value[SY_PLAN_MOST_INPUTS]) {
  const lua_Integer count = syl_length(L, index);
  luaL_argcheck(L, count <= SY_PLAN_MOST_INPUTS, index, "too many inputs");
  for (lua_Integer i = 0; i < SY_PLAN_MOST_INPUTS; i++)
    value[i] = i < count ? syl_number_at(L, index, i + 1) : 0.0;
}

/* plan:miss(values by input, asked) -> how far the plan is from that car, by the size of its numbers */
static int l_miss(lua_State *L) {
  const syl_plan *p = check_plan(L, 1);
  sy_plan_car car;
  double value[SY_PLAN_MOST_INPUTS];
  lua_settop(L, 3);
  read_values(L, 2, value);
  read_car(L, 3, p->uncertain, &car);
  lua_pushnumber(L, sy_plan_miss(p->plan, value, &car));
  return 1;
}

/* plan:at(values by input) -> list of answers, in the order of the names it answers; false where there is none */
static int l_at(lua_State *L) {
  const syl_plan *p = check_plan(L, 1);
  double value[SY_PLAN_MOST_INPUTS], answer[SY_MOST_ASKED];
  const double *values[SY_PLAN_MOST_INPUTS];
  double *answers[SY_MOST_ASKED];
  sy_error err;
  lua_settop(L, 2);
  read_values(L, 2, value);
  for (size_t i = 0; i < SY_PLAN_MOST_INPUTS; i++) values[i] = &value[i];
  for (size_t i = 0; i < SY_MOST_ASKED; i++) answers[i] = &answer[i];
  if (sy_plan_solve(p->plan, values, 1, p->output, p->outputs, answers, NULL, false, NULL, &err) != SY_OK)
    return syl_raise(L, &err);
  lua_createtable(L, (int)p->outputs, 0);
  for (size_t i = 0; i < p->outputs; i++) {
    if (isnan(answer[i]))
      lua_pushboolean(L, false);
    else
      lua_pushnumber(L, answer[i]);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  return 1;
}

/* ---- running ------------------------------------------------------------------------------------------------------------------ */

enum {
  CHUNK = 512, /* variants that sy_plan_settle takes */
  ROOM = 1 << 14 /* values of a chunk: threads of some systems have half a megabyte of stack */,
  MOST_SETS = 16,
  MOST_CHOICES = 16,
  LARGE = 1 << 19 /* numbers: 4 MB */
};

/* An input whose values are numbers of words, from 1; or (`empty`) one of a tank, which is the first of two words at 0; or, with `stands`,
** one that leaves the wheels where the file has them at one value. */
typedef struct choice {
  unsigned input;
  size_t count;
  bool empty;
  double stands;
} choice;

typedef struct job {
  size_t first, count, block; /* variants; `first` from 0 */
  size_t chunk;               /* of a block at a time */
  unsigned inputs;
  const syl_column *point[SY_PLAN_MOST_INPUTS];
  choice word[MOST_CHOICES], wheel[MOST_CHOICES];
  size_t words, wheels, cases; /* cases: combinations of words, twice as many where wheels may move */
  bool stream;                 /* columns are larger than caches */
  size_t sets;
  const syl_plan *const *plan[MOST_SETS];       /* by set, then by case; NULL: nothing is known then */
  size_t outputs[MOST_SETS], before[MOST_SETS]; /* of each set, and of all sets before it */
  size_t kept[MOST_SETS];                       /* entries of its columns */
  double **column[MOST_SETS],
      **sd[MOST_SETS]; /* by set, then by its outputs: where variant 0 lies; NULL where it is not wanted */
  sy_summary **summary[MOST_SETS]; /* likewise, what is added to in the end */
  sy_summary *part;                /* by block, then by output of all sets */
  size_t part_outputs, number;     /* of a block; of the first variant, for summaries */
  atomic_size_t singly;            /* variants that took a search of their own, by any set */
  atomic_size_t missed;            /* 1 + the first variant that has a value without an answer; 0: none */
} job;

static size_t case_of(const job *j, double *const *value, size_t i) {
  size_t at = 0;
  bool moved = false;
  for (size_t k = 0; k < j->words; k++) {
    const double given = value[j->word[k].input][i],
                 v = j->word[k].empty ? (given == 0.0 ? 1.0 : 2.0) : given;
    if (!(v >= 1.0 && v <= (double)j->word[k].count)) return j->cases;
    at = at * j->word[k].count + ((size_t)v - 1);
  }
  for (size_t k = 0; k < j->wheels; k++) moved = moved || value[j->wheel[k].input][i] != j->wheel[k].stands;
  return j->wheels > 0 ? 2 * at + moved : at;
}

static void miss(job *j, size_t variant) {
  size_t before = atomic_load(&j->missed);
  while ((before == 0 || before > variant + 1) &&
         !atomic_compare_exchange_weak(&j->missed, &before, variant + 1)) {
  }
}

static void leave_unknown(const sy_plan_into *into, size_t outputs, size_t count) {
  for (size_t o = 0; o < outputs; o++) {
    for (size_t i = 0; i < count && into->column[o] != NULL; i++) into->column[o][i] = (double)NAN;
    for (size_t i = 0; i < count && into->sd[o] != NULL; i++) into->sd[o][i] = (double)NAN;
    if (into->summary[o] != NULL) into->summary[o]->unknown += count;
  }
}

/* Variants from `from` on whose values lie at `value`, all of one case. */
static void solve_run(job *j, size_t block, size_t from, size_t count, size_t which,
                      const double *const *value, bool *singly) {
  for (size_t s = 0; s < j->sets; s++) {
    const syl_plan *plan = which < j->cases ? j->plan[s][which] : NULL;
    double *column[SY_MOST_ASKED], *sd[SY_MOST_ASKED];
    sy_summary *summary[SY_MOST_ASKED];
    for (size_t o = 0; o < j->outputs[s]; o++) {
      column[o] = j->column[s][o] != NULL ? j->column[s][o] + from : NULL;
      sd[o] = j->sd[s][o] != NULL ? j->sd[s][o] + from : NULL;
      summary[o] = j->summary[s][o] != NULL ? &j->part[block * j->part_outputs + j->before[s] + o] : NULL;
    }
    const sy_plan_into into = {column, sd, summary, j->number + (from - j->first), j->stream, singly};
    if (plan != NULL && sy_plan_run(&plan->ready, value, count, &into, NULL) == SY_OK) continue;
    leave_unknown(&into, j->outputs[s], count);
    if (plan != NULL || which >= j->cases) miss(j, from);
  }
}

/* By input, up to j->chunk of them, in `room`. */
static void read_values_of(const job *j, size_t from, size_t count, double room[ROOM],
                           double *value[SY_PLAN_MOST_INPUTS]) {
  for (unsigned k = 0; k < j->inputs; k++) {
    value[k] = room + k * j->chunk;
    syl_column_read(j->point[k], from, count, value[k]);
  }
}

/* As many as are of one case and follow each other: where they end. */
static size_t end_of_run(const job *j, double *const *value, size_t at, size_t count, size_t *which) {
  *which = case_of(j, value, at);
  size_t end = j->words == 0 && j->wheels == 0 ? count : at + 1;
  while (end < count && case_of(j, value, end) == *which) end++;
  return end;
}

static void do_chunk(job *j, size_t block, size_t from, size_t count) {
  double room[ROOM], *value[SY_PLAN_MOST_INPUTS];
  bool singly[CHUNK];
  size_t at = 0, alone = 0;
  memset(singly, 0, count * sizeof *singly);
  read_values_of(j, from, count, room, value);
  while (at < count) {
    size_t which;
    const size_t end = end_of_run(j, value, at, count, &which);
    const double *here[SY_PLAN_MOST_INPUTS];
    for (unsigned k = 0; k < j->inputs; k++) here[k] = value[k] + at;
    solve_run(j, block, from + at, end - at, which, here, singly + at);
    at = end;
  }
  if (memchr(singly, 1, count) == NULL) return; /* most often */
  for (size_t i = 0; i < count; i++) alone += singly[i];
  atomic_fetch_add(&j->singly, alone);
}

static void do_block(void *with, size_t block) {
  job *j = with;
  const size_t end = block * j->block + j->block < j->count ? block * j->block + j->block : j->count;
  for (size_t at = block * j->block; at < end; at += j->chunk)
    do_chunk(j, block, j->first + at, end - at < j->chunk ? end - at : j->chunk);
}

/* An extreme of output o of set s was noted as of variant `number`, the first of a run: of which it is. */
static void settle(const job *j, sy_summary *summary, size_t s, size_t o, uint64_t number) {
  double room[ROOM], *value[SY_PLAN_MOST_INPUTS];
  const double *here[SY_PLAN_MOST_INPUTS];
  const size_t at = (size_t)(number - j->number), in_block = at % j->block;
  size_t count = j->chunk - in_block % j->chunk, which; /* to the end of the chunk, of the block, of all */
  count = count < j->block - in_block ? count : j->block - in_block;
  count = count < j->count - at ? count : j->count - at;
  read_values_of(j, j->first + at, count, room, value);
  for (unsigned k = 0; k < j->inputs; k++) here[k] = value[k];
  const size_t run = end_of_run(j, value, 0, count, &which);
  if (which < j->cases && j->plan[s][which] != NULL)
    (void)sy_plan_settle(&j->plan[s][which]->ready, here, run, number, o, summary, NULL);
}

/* What the blocks came to goes to the summaries that were asked for. */
static void join_parts(const job *j, size_t blocks) {
  for (size_t s = 0; s < j->sets; s++)
    for (size_t o = 0; o < j->outputs[s]; o++) {
      sy_summary joined = sy_summary_begin();
      if (j->summary[s][o] == NULL) continue;
      for (size_t b = 0; b < blocks; b++)
        sy_summary_join(&joined, &j->part[b * j->part_outputs + j->before[s] + o]);
      if (joined.known > 0) {
        settle(j, &joined, s, o, joined.at_min);
        settle(j, &joined, s, o, joined.at_max);
      }
      sy_summary_join(j->summary[s][o], &joined);
    }
}

static size_t read_choices(lua_State *L, const char *key, bool words, choice out[MOST_CHOICES]) {
  lua_getfield(L, 1, key);
  const lua_Integer count = lua_isnil(L, -1) ? 0 : syl_length(L, lua_gettop(L));
  luaL_argcheck(L, count <= MOST_CHOICES, 1, "too many inputs of words");
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
static double *column_under(lua_State *L, int index, const job *j, size_t *entries) {
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
static const syl_plan **read_plans(lua_State *L, const job *j, int entry, size_t outputs, double *const *sd) {
  const syl_plan **plans = lua_newuserdatauv(L, j->cases * sizeof *plans, 0);
  lua_getfield(L, entry, "plans");
  for (size_t i = 0; i < j->cases; i++) {
    lua_geti(L, -1, (lua_Integer)i + 1);
    syl_plan *plan = lua_toboolean(L, -1) ? check_plan(L, lua_gettop(L)) : NULL;
    luaL_argcheck(L, plan == NULL || plan->outputs == outputs, 1, "outputs and plans do not go together");
    if (plan != NULL) make_ready(L, plan, sd);
    plans[i] = plan;
    lua_pop(L, 1);
  }
  return plans;
}

/* One entry of `sets`, on top of the stack. */
static void read_set(lua_State *L, job *j, size_t s) {
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

static void read_points(lua_State *L, job *j) {
  const lua_Integer inputs = syl_length(L, 4);
  luaL_argcheck(L, inputs <= SY_PLAN_MOST_INPUTS, 4, "too many inputs");
  for (lua_Integer i = 0; i < inputs; i++) {
    lua_geti(L, 4, i + 1);
    j->point[i] = syl_column_check(L, lua_gettop(L));
    luaL_argcheck(L, syl_column_count(j->point[i]) >= j->first + j->count, 4, "a column is too short");
    lua_pop(L, 1);
  }
  j->inputs = (unsigned)inputs;
  const size_t fits = j->inputs > 0 ? ROOM / j->inputs / 8 * 8 : CHUNK;
  j->chunk = fits < CHUNK ? fits : CHUNK;
}

static void read_cases(lua_State *L, job *j) {
  j->words = read_choices(L, "words", true, j->word);
  j->wheels = read_choices(L, "wheels", false, j->wheel);
  j->cases = j->wheels > 0 ? 2 : 1;
  for (size_t k = 0; k < j->words; k++) j->cases *= j->word[k].count;
  luaL_argcheck(L, j->cases <= 1000000, 1, "too many cases");
}

/* Summaries of the blocks, of nothing so far. */
static void make_parts(lua_State *L, job *j, size_t blocks) {
  const size_t parts = blocks * j->part_outputs;
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
  job j = {.inputs = 0};
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
  j.block = (size_t)syl_whole_under(L, 1, "block", 1, 1000000, 8 * CHUNK);
  luaL_checkstack(L, 64 * MOST_SETS, NULL);
  read_points(L, &j);
  read_cases(L, &j);
  lua_getfield(L, 1, "sets");
  const int sets = lua_gettop(L);
  size_t written = 0;
  j.sets = (size_t)syl_length(L, sets);
  luaL_argcheck(L, j.sets <= MOST_SETS, 1, "too many sets");
  for (size_t s = 0; s < j.sets; s++) {
    lua_geti(L, sets, (lua_Integer)s + 1);
    read_set(L, &j, s);
    written += j.kept[s];
  }
  j.stream = written > LARGE;
  sy_error err;
  const size_t blocks = (j.count + j.block - 1) / j.block;
  make_parts(L, &j, blocks);
  if (sy_blocks_run(0, blocks, threads, do_block, &j) != SY_OK) return luaL_error(L, "too many blocks");
  const size_t missed = atomic_load(&j.missed);
  if (missed > 0) {
    sy_fail(&err, SY_UNKNOWN, "plan", NULL, "variant %zu has a value that was not compiled", missed);
    return syl_raise(L, &err);
  }
  join_parts(&j, blocks);
  lua_pushinteger(L, (lua_Integer)atomic_load(&j.singly));
  return 1;
}

void syl_open_plan(lua_State *L) {
  static const luaL_Reg methods[] = {{"try", l_try}, {"term", l_term},   {"clear", l_clear}, {"miss", l_miss},
                                     {"at", l_at},   {"level", l_level}, {NULL, NULL}};
  static const luaL_Reg functions[] = {{"plan", l_plan}, {"plan_run", l_run}, {NULL, NULL}};
  syl_open_class(L, PLAN, methods, l_gc);
  luaL_setfuncs(L, functions, 0);
}
