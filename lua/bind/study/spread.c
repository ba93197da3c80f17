/* spread.c - simulations of a car's answers (study/montecarlo.h), as userdata with functions of steelyard.core. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/sources.h"
#include "study/montecarlo.h"

#define SPREAD "steelyard.spread"

typedef struct spread {
  sy_spread *plan;
  uint64_t draws;
  double *total;                    /* user value 2 */
  uint64_t *counts;                 /* user value 3 */
  double offset[SY_SPREAD_ANSWERS]; /* what the file's zero adds to each answer */
} spread; /* user value 1: what the cars were asked with, which keeps their ledgers */

static spread *check_spread(lua_State *L) {
  spread *s = luaL_checkudata(L, 1, SPREAD);
  luaL_argcheck(L, s->plan != NULL, 1, "is closed");
  return s;
}

static int l_gc(lua_State *L) {
  spread *s = luaL_checkudata(L, 1, SPREAD);
  sy_spread_free(s->plan);
  s->plan = NULL;
  return 0;
}

/* ---- making one ------------------------------------------------------------------------------------------------------------------- */

/* The list of numbers under `key` of the table at 2. */
static double *list_under(lua_State *L, const char *key, size_t *count) {
  lua_getfield(L, 2, key);
  luaL_checktype(L, -1, LUA_TTABLE);
  *count = (size_t)syl_length(L, lua_gettop(L));
  double *list = lua_newuserdatauv(L, (*count + 1) * sizeof *list, 0);
  for (size_t i = 0; i < *count; i++) list[i] = syl_number_at(L, lua_gettop(L) - 1, (lua_Integer)i + 1);
  return list;
}

/* core.spread({{set =, asked =, names =}, ...}, growth?) -> a simulation of these answers
** asked   as core.ask takes it; the tables must stay as they are
** growth  {fraction =, fixed =}: lists by the number of a node, how much of its mass and how many kg may be added */
static int l_spread(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_settop(L, 2);
  spread *s = lua_newuserdatauv(L, sizeof *s, 3);
  memset(s, 0, sizeof *s);
  luaL_setmetatable(L, SPREAD);
  lua_pushvalue(L, 1);
  lua_setiuservalue(L, 3, 1);
  const syl_sets *r = syl_read_sets(L, 1, s->offset);
  sy_spread_growth growth = {NULL, NULL, 0};
  if (!lua_isnil(L, 2)) {
    size_t other;
    luaL_checktype(L, 2, LUA_TTABLE);
    growth.fraction = list_under(L, "fraction", &growth.numbers);
    growth.fixed = list_under(L, "fixed", &other);
    luaL_argcheck(L, other == growth.numbers, 2, "lists of two lengths");
  }
  sy_error err;
  if (sy_spread_new(NULL, r->set, (size_t)r->count, lua_isnil(L, 2) ? NULL : &growth, &s->plan, &err) !=
      SY_OK)
    return syl_raise(L, &err);
  lua_settop(L, 3);
  return 1;
}

/* ---- sources ------------------------------------------------------------------------------------------------------------------------ */

static sy_spread_source source_at(const void *plan, size_t i) { return sy_spread_source_of(plan, i); }

/* core.spread_sources(spread) -> list of what is drawn, as syl_push_source has it */
static int l_sources(lua_State *L) {
  const spread *s = check_spread(L);
  syl_push_sources(L, sy_spread_sources(s->plan), source_at, s->plan);
  return 1;
}

/* A list of numbers at `index`, NaN for what is not a number, of every answer. */
static double *numbers_at(lua_State *L, int index, size_t count) {
  double *list = lua_newuserdatauv(L, (count + 1) * sizeof *list, 0);
  for (size_t i = 0; i < count; i++) {
    lua_geti(L, index, (lua_Integer)i + 1);
    list[i] = lua_isnumber(L, -1) ? lua_tonumber(L, -1) : (double)NAN;
    lua_pop(L, 1);
  }
  return list;
}

static void name_sources(lua_State *L, sy_spread *plan) {
  static const char *const kinds[] = {"normal", "rectangular", "triangular", NULL};
  for (size_t i = 0; i < sy_spread_sources(plan); i++) {
    lua_geti(L, 2, (lua_Integer)i + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    lua_getfield(L, -1, "path");
    lua_getfield(L, -2, "quantity");
    lua_getfield(L, -3, "distribution");
    sy_spread_name(plan, i, sy_random_path(luaL_checkstring(L, -3)), (uint32_t)luaL_checkinteger(L, -2),
                   (sy_distribution)luaL_checkoption(L, -1, "normal", kinds));
    lua_pop(L, 4);
  }
}

/* Totals and counts that nothing was added to. */
static void start_totals(lua_State *L, spread *s) {
  const size_t counts = sy_spread_answers(s->plan) * SY_SPREAD_COUNTS;
  s->total = lua_newuserdatauv(L, (sy_spread_numbers(s->plan) + 1) * sizeof *s->total, 0);
  lua_setiuservalue(L, 1, 2);
  s->counts = lua_newuserdatauv(L, (counts + 1) * sizeof *s->counts, 0);
  lua_setiuservalue(L, 1, 3);
  sy_spread_nothing(s->plan, s->total);
  memset(s->counts, 0, counts * sizeof *s->counts);
}

/* core.spread_start(spread, names, {draws =, seed =, wider =, below =, above =}) -> true, or false and the numbers of two sources that
** would be
** drawn alike
** names  of each source {path, quantity, distribution?}; wider: by answer, 1 unless stated; below, above: lists by answer, what is not a
**        number is not asked */
static int l_start(lua_State *L) {
  spread *s = check_spread(L);
  luaL_checktype(L, 2, LUA_TTABLE);
  luaL_checktype(L, 3, LUA_TTABLE);
  lua_settop(L, 3);
  const size_t answers = sy_spread_answers(s->plan);
  name_sources(L, s->plan);
  lua_getfield(L, 3, "draws");
  s->draws = (uint64_t)luaL_checkinteger(L, -1);
  lua_getfield(L, 3, "seed");
  const uint64_t seed = (uint64_t)luaL_checkinteger(L, -1);
  lua_getfield(L, 3, "wider");
  luaL_checktype(L, -1, LUA_TTABLE);
  double *wider = numbers_at(L, lua_gettop(L), answers);
  for (size_t a = 0; a < answers; a++)
    if (!(wider[a] >= 1)) wider[a] = 1;
  lua_getfield(L, 3, "below");
  double *below = numbers_at(L, lua_gettop(L), answers);
  lua_getfield(L, 3, "above");
  double *above = numbers_at(L, lua_gettop(L), answers);
  for (size_t a = 0; a < answers; a++) below[a] -= s->offset[a], above[a] -= s->offset[a];
  size_t first = 0, second = 0;
  sy_error err;
  const sy_status status = sy_spread_start(s->plan, seed, wider, below, above, &first, &second, &err);
  if (status == SY_CLASH && first != second) {
    lua_pushboolean(L, 0);
    lua_pushinteger(L, (lua_Integer)first + 1);
    lua_pushinteger(L, (lua_Integer)second + 1);
    return 3;
  }
  if (status != SY_OK) return syl_raise(L, &err);
  start_totals(L, s);
  lua_pushboolean(L, 1);
  return 1;
}

/* core.spread_restored({{value =, sd =, from =, to =, inputs = number}, ...}) -> what adds up draws made elsewhere: spread_take,
** spread_result and
** spread_correlation work on it. Without the offsets of the file's zero, which those numbers have in them. */
static int l_restored(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_settop(L, 1);
  const lua_Integer count = syl_length(L, 1);
  luaL_argcheck(L, count >= 1 && count <= SY_SPREAD_ANSWERS, 1, "too many answers");
  sy_spread_first first[SY_SPREAD_ANSWERS];
  size_t inputs[SY_SPREAD_ANSWERS];
  const double none = (double)NAN;
  for (lua_Integer i = 0; i < count; i++) {
    lua_geti(L, 1, i + 1);
    luaL_checktype(L, -1, LUA_TTABLE);
    const int at = lua_gettop(L);
    first[i] = (sy_spread_first){
        syl_number_under(L, at, "value", 1, none), syl_number_under(L, at, "sd", 1, none),
        syl_number_under(L, at, "from", 1, none), syl_number_under(L, at, "to", 1, none), 0};
    inputs[i] = (size_t)syl_whole_under(L, at, "inputs", 0, SY_SPREAD_INPUTS, 0);
    lua_pop(L, 1);
  }
  spread *s = lua_newuserdatauv(L, sizeof *s, 3);
  memset(s, 0, sizeof *s);
  luaL_setmetatable(L, SPREAD);
  s->plan = sy_spread_restored(NULL, (size_t)count, first, inputs);
  if (s->plan == NULL) return luaL_error(L, "memory is out");
  lua_replace(L, 1);
  start_totals(L, s);
  return 1;
}

/* core.spread_first(spread, answer) -> {value, sd, from, to, rounding, inputs = list of sources}, to be kept for core.spread_restored */
static int l_first(lua_State *L) {
  const spread *s = check_spread(L);
  const lua_Integer answer = luaL_checkinteger(L, 2);
  luaL_argcheck(L, answer >= 1 && (size_t)answer <= sy_spread_answers(s->plan), 2, "is not an answer");
  const sy_spread_first f = sy_spread_first_of(s->plan, (size_t)answer - 1);
  const double offset = s->offset[answer - 1];
  size_t source[SY_SPREAD_INPUTS];
  const size_t count = sy_spread_inputs(s->plan, (size_t)answer - 1, source);
  lua_createtable(L, 0, 5);
  syl_set_number(L, "value", f.value + offset);
  syl_set_number(L, "sd", f.sd);
  syl_set_number(L, "from", f.from + offset);
  syl_set_number(L, "to", f.to + offset);
  syl_set_number(L, "rounding", f.rounding);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushinteger(L, (lua_Integer)source[i] + 1);
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "inputs");
  return 1;
}

/* ---- draws --------------------------------------------------------------------------------------------------------------- */

static void add_word(luaL_Buffer *b, uint64_t word) {
  char bytes[8];
  for (int i = 0; i < 8; i++) bytes[i] = (char)(unsigned char)(word >> 8 * i);
  luaL_addlstring(b, bytes, sizeof bytes);
}

/* Seven bits a byte, the lowest first; the highest bit says that more follow. */
static void add_small(luaL_Buffer *b, uint64_t value) {
  for (; value >= 128; value >>= 7) luaL_addchar(b, (char)(unsigned char)(value | 128u));
  luaL_addchar(b, (char)(unsigned char)value);
}

/* core.spread_run(spread, first, count, threads) -> what the draws of blocks first .. first + count - 1 (from 0, of 256) found, as bytes */
static int l_run(lua_State *L) {
  const spread *s = check_spread(L);
  const lua_Integer first = luaL_checkinteger(L, 2), asked = luaL_checkinteger(L, 3);
  const lua_Integer threads = luaL_optinteger(L, 4, 1);
  const lua_Integer blocks = (lua_Integer)((s->draws + SY_DRAWS - 1) / SY_DRAWS);
  luaL_argcheck(L, first >= 0 && first < blocks, 2, "out of range");
  luaL_argcheck(L, asked >= 1, 3, "out of range");
  const lua_Integer count = asked < blocks - first ? asked : blocks - first;
  luaL_argcheck(L, count <= 1000000, 3, "out of range");
  const size_t numbers = sy_spread_numbers(s->plan), counts = sy_spread_answers(s->plan) * SY_SPREAD_COUNTS;
  double *number = lua_newuserdatauv(L, (numbers + 1) * sizeof *number, 0);
  uint32_t *bin = lua_newuserdatauv(L, (counts + 1) * sizeof *bin, 0);
  sy_error err;
  if (sy_spread_run(s->plan, (uint64_t)first, (size_t)count, s->draws, (int)threads, number, bin, &err) !=
      SY_OK)
    return syl_raise(L, &err);
  luaL_Buffer b;
  luaL_buffinit(L, &b);
  for (size_t i = 0; i < numbers; i++) {
    uint64_t word;
    memcpy(&word, &number[i], sizeof word);
    add_word(&b, word);
  }
  size_t gap = 0;
  for (size_t i = 0; i < counts; i++, gap++) {
    if (bin[i] == 0) continue;
    add_small(&b, gap);
    add_small(&b, bin[i]);
    gap = 0;
  }
  luaL_pushresult(&b);
  return 1;
}

static bool read_small(const unsigned char **at, const unsigned char *end, uint64_t *out) {
  *out = 0;
  for (int shift = 0; *at < end && shift < 63; shift += 7) {
    const unsigned char byte = *(*at)++;
    *out |= (uint64_t)(byte & 127u) << shift;
    if (!(byte & 128u)) return true;
  }
  return false;
}

static int bad_bytes(lua_State *L) { return luaL_error(L, "these are not draws of this simulation"); }

/* core.spread_take(spread, bytes): adds what draws found to the totals; in the order of the draws */
static int l_take(lua_State *L) {
  const spread *s = check_spread(L);
  size_t length;
  const unsigned char *at = (const unsigned char *)luaL_checklstring(L, 2, &length), *end = at + length;
  const size_t numbers = sy_spread_numbers(s->plan), counts = sy_spread_answers(s->plan) * SY_SPREAD_COUNTS;
  luaL_argcheck(L, s->total != NULL, 1, "is not started");
  if (length < 8 * numbers) return bad_bytes(L);
  double *number = lua_newuserdatauv(L, (numbers + 1) * sizeof *number, 0);
  for (size_t i = 0; i < numbers; i++) {
    uint64_t word = 0;
    for (int k = 0; k < 8; k++) word |= (uint64_t)*at++ << 8 * k;
    memcpy(&number[i], &word, sizeof word);
  }
  const unsigned char *const bins = at;
  uint64_t bin = 0, gap, count;
  while (at < end) { /* looked at before any is added */
    if (!read_small(&at, end, &gap) || !read_small(&at, end, &count)) return bad_bytes(L);
    bin += gap;
    if (gap >= counts || bin >= counts) return bad_bytes(L);
  }
  sy_spread_fold(s->plan, number, s->total);
  at = bins, bin = 0;
  while (at < end) {
    (void)read_small(&at, end, &gap), (void)read_small(&at, end, &count);
    bin += gap;
    s->counts[bin] += count;
  }
  return 0;
}

static void set_whole(lua_State *L, const char *key, size_t value) {
  lua_pushinteger(L, (lua_Integer)value);
  lua_setfield(L, -2, key);
}

/* ---- results ------------------------------------------------------------------------------------------------------------- */

static void push_inputs(lua_State *L, const spread *s, size_t answer) {
  size_t source[SY_SPREAD_INPUTS];
  const size_t count = sy_spread_inputs(s->plan, answer, source);
  lua_createtable(L, (int)count, 0);
  for (size_t i = 0; i < count; i++) {
    lua_pushnumber(L, sy_spread_input_correlation(s->plan, s->total, answer, i));
    lua_rawseti(L, -2, (lua_Integer)i + 1);
  }
  lua_setfield(L, -2, "correlations");
}

static void push_counts(lua_State *L, const spread *s, size_t answer) {
  const uint64_t *own = s->counts + answer * SY_SPREAD_COUNTS;
  lua_createtable(L, SY_SPREAD_BINS, 0);
  for (int i = 0; i < SY_SPREAD_BINS; i++) {
    lua_pushinteger(L, (lua_Integer)own[i]);
    lua_rawseti(L, -2, i + 1);
  }
  lua_setfield(L, -2, "counts");
  set_whole(L, "under", (size_t)own[SY_SPREAD_UNDER]);
  set_whole(L, "over", (size_t)own[SY_SPREAD_OVER]);
}

static size_t check_answer(lua_State *L, const spread *s, int index) {
  const lua_Integer answer = luaL_checkinteger(L, index);
  luaL_argcheck(L, answer >= 1 && (size_t)answer <= sy_spread_answers(s->plan), index, "is not an answer");
  return (size_t)answer - 1;
}

/* core.spread_result(spread, answer) -> {drawn, mean, sd, mean_error, sd_error, low, high, below, above, first_order, first_order_sd,
** from, to, counts,
** under, over, p2_5, p50, p97_5, correlations = with each of its inputs}: a field that there is not is nil */
static int l_result(lua_State *L) {
  const spread *s = check_spread(L);
  luaL_argcheck(L, s->total != NULL, 1, "is not started");
  const size_t a = check_answer(L, s, 2);
  const double offset = s->offset[a];
  const sy_spread_result r = sy_spread_result_of(s->plan, s->total, a);
  const sy_spread_first f = sy_spread_first_of(s->plan, a);
  lua_createtable(L, 0, 20);
  syl_set_number(L, "drawn", r.drawn);
  syl_set_number(L, "mean", r.mean + offset);
  syl_set_number(L, "sd", r.sd);
  syl_set_number(L, "mean_error", r.mean_error);
  syl_set_number(L, "sd_error", r.sd_error);
  syl_set_number(L, "low", r.low + offset);
  syl_set_number(L, "high", r.high + offset);
  syl_set_number(L, "below", r.below);
  syl_set_number(L, "above", r.above);
  syl_set_number(L, "first_order", f.value + offset);
  syl_set_number(L, "first_order_sd", f.sd);
  syl_set_number(L, "from", f.from + offset);
  syl_set_number(L, "to", f.to + offset);
  syl_set_number(L, "p2_5", sy_spread_percentile(s->plan, s->counts, a, 0.025) + offset);
  syl_set_number(L, "p50", sy_spread_percentile(s->plan, s->counts, a, 0.5) + offset);
  syl_set_number(L, "p97_5", sy_spread_percentile(s->plan, s->counts, a, 0.975) + offset);
  push_counts(L, s, a);
  push_inputs(L, s, a);
  return 1;
}

/* core.spread_correlation(spread, answer, other) -> their correlation, covariance */
static int l_correlation(lua_State *L) {
  const spread *s = check_spread(L);
  luaL_argcheck(L, s->total != NULL, 1, "is not started");
  const size_t a = check_answer(L, s, 2), b = check_answer(L, s, 3);
  lua_pushnumber(L, sy_spread_correlation(s->plan, s->total, a, b));
  lua_pushnumber(L, sy_spread_covariance(s->plan, s->total, a, b));
  return 2;
}

/* core.spread_drawn(spread) -> how many numbers a draw takes */
static int l_drawn(lua_State *L) {
  lua_pushinteger(L, (lua_Integer)sy_spread_drawn(check_spread(L)->plan));
  return 1;
}

/* core.spread_values(spread, block) -> a list an answer of its values in the draws of a block of 256, in their order */
static int l_values(lua_State *L) {
  const spread *s = check_spread(L);
  const lua_Integer block = luaL_checkinteger(L, 2);
  luaL_argcheck(L, block >= 0 && block < (lua_Integer)(SY_MOST_DRAWS / SY_DRAWS), 2, "out of range");
  const size_t answers = sy_spread_answers(s->plan);
  double *values = lua_newuserdatauv(L, answers * SY_DRAWS * sizeof *values, 0);
  sy_error err;
  if (sy_spread_values(s->plan, (uint64_t)block, values, &err) != SY_OK) return syl_raise(L, &err);
  lua_createtable(L, (int)answers, 0);
  for (size_t a = 0; a < answers; a++) {
    lua_createtable(L, SY_DRAWS, 0);
    for (int i = 0; i < SY_DRAWS; i++) {
      lua_pushnumber(L, values[a * SY_DRAWS + (size_t)i] + s->offset[a]);
      lua_rawseti(L, -2, 4 * (i % (SY_DRAWS / 4)) + i / (SY_DRAWS / 4) + 1);
    }
    lua_rawseti(L, -2, (lua_Integer)a + 1);
  }
  return 1;
}

static const luaL_Reg functions[] = {
    {"spread", l_spread},        {"spread_sources", l_sources},
    {"spread_start", l_start},   {"spread_run", l_run},
    {"spread_take", l_take},     {"spread_result", l_result},
    {"spread_drawn", l_drawn},   {"spread_restored", l_restored},
    {"spread_first", l_first},   {"spread_correlation", l_correlation},
    {"spread_values", l_values}, {NULL, NULL},
};

void syl_open_spread(lua_State *L) {
  luaL_newmetatable(L, SPREAD);
  lua_pushcfunction(L, l_gc);
  lua_setfield(L, -2, "__gc");
  lua_pop(L, 1);
  luaL_setfuncs(L, functions, 0);
}
