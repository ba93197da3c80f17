#define _DEFAULT_SOURCE /* for memory in huge pages, which POSIX does not name */
#include "bind/study/column.h"

#include <lauxlib.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#include "bind/errors.h"
#include "bind/numbers.h"
#include "bind/open.h"
#include "study/points.h"

#define COLUMN "steelyard.column"

enum { WORDS = 1, LINE = 64, LINES = 64 }; /* user value; bytes of a cache line and their number in a page */

static const size_t HUGE_PAGE = (size_t)2 << 20, LARGE = (size_t)4 << 20, LEAST_DUE = (size_t)256 << 20,
                    MOST_SPARE = (size_t)128 << 20;

struct syl_column {
  size_t n;
  double *data;             /* stored */
  unsigned char *codes;     /* codes */
  void *map;                /* what was mapped for either, or NULL */
  size_t held;              /* bytes of either */
  size_t each, count, skip; /* of a grid, whose values follow */
  double value[];
};

/* ---- memory -------------------------------------------------------------------------------------------------------------------- */

static void *take_small(syl_column *c, size_t bytes) {
  c->held = bytes == 0 ? 1 : bytes;
  return calloc(c->held, 1);
}

/* Memory of a large column that nobody has any more: pages that were written once are worth keeping, since the system clears each page
** before the first write. */
typedef struct spare {
  void *map;
  size_t held;
} spare;

enum { SPARES = 16 };

/* What the collector does not see: bytes in columns, and how many call for a collection; and memory to use again, MOST_SPARE bytes. One a Lua
** state, kept by the metatable. */
typedef struct pool {
  size_t live, due;
  spare spare[SPARES];
  size_t spares, spare_bytes;
} pool;

/* Where a column lies in what was mapped. Columns that begin at the same place of their pages would fight for the same places of the first-level
** cache when ten of them are written in step, so each starts some lines in, by where it was mapped. */
static char *huge_start(void *map) {
  return (char *)map + (HUGE_PAGE - (uintptr_t)map % HUGE_PAGE) % HUGE_PAGE;
}

static void *column_start(void *map) {
  char *start = huge_start(map);
  return start + (uintptr_t)start / HUGE_PAGE * 11 % LINES * LINE;
}

/* Spare memory of `held` bytes or a little more; false when there is none. What was written there stands there still. */
static bool take_spare(pool *p, syl_column *c, size_t held) {
  for (size_t k = 0; k < p->spares; k++) {
    if (p->spare[k].held < held || p->spare[k].held - held > held / 4) continue;
    c->map = p->spare[k].map, c->held = p->spare[k].held;
    p->spare_bytes -= c->held;
    p->spare[k] = p->spare[--p->spares];
    return true;
  }
  return false;
}

static void give_back(pool *p, void *map, size_t held) {
  if (p->spares == SPARES || held > MOST_SPARE - p->spare_bytes) {
    munmap(map, held);
    return;
  }
#ifdef MADV_FREE
  (void)madvise(huge_start(map), held - HUGE_PAGE,
                MADV_FREE); /* the system may have it where memory is short */
#endif
  p->spare[p->spares++] = (spare){map, held};
  p->spare_bytes += held;
}

static int l_pool_close(lua_State *L) {
  pool *p = lua_touserdata(L, 1);
  while (p->spares > 0) {
    const spare s = p->spare[--p->spares];
    munmap(s.map, s.held);
  }
  p->spare_bytes = MOST_SPARE; /* columns that are closed later keep nothing */
  return 0;
}

/* Pages of their own; of zeros where `zeros`, else what was written there before may stand there. */
static void *map_large(pool *p, syl_column *c, size_t bytes, bool zeros) {
#ifndef MAP_ANONYMOUS
  (void)p, (void)zeros;
  return take_small(c, bytes);
#else
  const size_t room = (bytes + LINE * LINES + HUGE_PAGE - 1) / HUGE_PAGE * HUGE_PAGE;
  if (!zeros && take_spare(p, c, room + HUGE_PAGE)) return column_start(c->map);
  void *map = mmap(NULL, room + HUGE_PAGE, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
  if (map == MAP_FAILED) return NULL;
  c->map = map;
  c->held = room + HUGE_PAGE;
#ifdef MADV_HUGEPAGE
  (void)madvise(huge_start(map), room, MADV_HUGEPAGE); /* a wish: without it all works, slower */
#endif
  return column_start(map);
#endif
}

static pool *get_pool(lua_State *L) {
  luaL_getmetatable(L, COLUMN);
  lua_getfield(L, -1, "pool");
  pool *p = lua_touserdata(L, -1);
  lua_pop(L, 2);
  return p;
}

/* As the collector paces itself: again when twice as much is held as was in use after the last time. */
static void collect(lua_State *L, pool *p) {
  lua_gc(L, LUA_GCCOLLECT);
  p->due = p->live > LEAST_DUE / 2 ? 2 * p->live : LEAST_DUE;
}

/* Memory for the column on top, which is closed so far: an error leaks nothing. NULL when there is none. */
static void *acquire(lua_State *L, syl_column *c, size_t entry, bool zeros) {
  if (c->n > (SIZE_MAX >> 2) / entry) return NULL;
  const size_t bytes = c->n * entry;
  pool *p = get_pool(L);
  if (p->live > p->due || bytes > p->due - p->live) collect(L, p);
  void *block = bytes < LARGE ? take_small(c, bytes) : map_large(p, c, bytes, zeros);
  if (block == NULL) { /* columns that nobody has any more may still hold theirs */
    collect(L, p);
    block = bytes < LARGE ? take_small(c, bytes) : map_large(p, c, bytes, zeros);
  }
  if (block != NULL) p->live += c->held;
  return block;
}

static syl_column *push_new(lua_State *L, size_t n, size_t values) {
  syl_column *c = lua_newuserdatauv(L, sizeof *c + values * sizeof(double), WORDS);
  memset(c, 0, sizeof *c);
  c->n = n;
  c->each = c->count = 1;
  luaL_setmetatable(L, COLUMN);
  return c;
}

static int no_memory(lua_State *L, size_t n, size_t entry) {
  const double bytes = (double)n * (double)entry;
  sy_error err;
  sy_fail(&err, SY_LIMIT, NULL, NULL, "no memory for a column of %zu variants (%g MB)", n, ceil(bytes / 1e6));
  syl_push_error(L, &err);
  lua_pushliteral(
      L, "fewer variants at a time: reduce = true keeps none of them, shard = {1, 4} runs a quarter");
  lua_setfield(L, -2, "hint");
  return lua_error(L);
}

static syl_column *push_stored(lua_State *L, size_t n, bool zeros) {
  syl_column *c = push_new(L, n, 0);
  c->data = acquire(L, c, sizeof(double), zeros);
  if (c->data == NULL) no_memory(L, n, sizeof(double));
  return c;
}

syl_column *syl_column_new(lua_State *L, size_t n) { return push_stored(L, n, true); }

bool syl_column_new_part(lua_State *L, const syl_column *of, size_t first, size_t count, size_t times) {
  const size_t round = of->each * of->count, skip = of->skip + first;
  if (of->data != NULL || of->codes != NULL || of->n == 0 || round > SIZE_MAX / 4 / times) return false;
  syl_column *c = push_new(L, count * times, of->count);
  memcpy(c->value, of->value, of->count * sizeof *c->value);
  c->each = of->each * times, c->count = of->count, c->skip = skip % round * times;
  return true;
}

syl_column *syl_column_new_codes(lua_State *L, size_t n) {
  syl_column *c = push_new(L, n, 0);
  c->codes = acquire(L, c, 1, true);
  if (c->codes == NULL) no_memory(L, n, 1);
  return c;
}

static int l_close(lua_State *L) {
  syl_column *c = luaL_checkudata(L, 1, COLUMN);
  pool *p = get_pool(L);
  if (c->data != NULL || c->codes != NULL) p->live -= c->held;
  if (c->map != NULL) {
    give_back(p, c->map, c->held);
  } else {
    free(c->data);
    free(c->codes);
  }
  c->map = c->data = NULL, c->codes = NULL, c->n = 0;
  return 0;
}

/* ---- entries ------------------------------------------------------------------------------------------------------------------- */

syl_column *syl_column_check(lua_State *L, int arg) { return luaL_checkudata(L, arg, COLUMN); }
syl_column *syl_column_test(lua_State *L, int index) { return luaL_testudata(L, index, COLUMN); }
size_t syl_column_count(const syl_column *c) { return c->n; }
double *syl_column_data(syl_column *c) { return c->data; }
unsigned char *syl_column_codes(syl_column *c) { return c->codes; }

double syl_column_at(const syl_column *c, size_t i) {
  if (c->data != NULL) return c->data[i];
  if (c->codes != NULL) return c->codes[i];
  return c->value[(i + c->skip) / c->each % c->count];
}

void syl_column_read(const syl_column *c, size_t first, size_t count, double *out) {
  if (c->data != NULL) {
    memcpy(out, c->data + first, count * sizeof *out);
  } else if (c->codes != NULL) {
    for (size_t i = 0; i < count; i++) out[i] = c->codes[first + i];
  } else {
    sy_points_grid(c->value, c->count, c->each, c->skip + first, count, out);
  }
}

/* Pushes entry i of the column at index 1: a number, a word or nil; with `words` a list of them is on top. */
static void push_entry(lua_State *L, const syl_column *c, size_t i, bool words) {
  const double x = syl_column_at(c, i);
  if (isnan(x) || (words && !(x >= 1 && x <= (double)INT32_MAX)))
    lua_pushnil(L);
  else if (words)
    lua_rawgeti(L, -1, (lua_Integer)x);
  else
    lua_pushnumber(L, x);
}

/* Pushes the list of words of the column at `index`, or nil. */
static bool push_words(lua_State *L, int index) { return lua_getiuservalue(L, index, WORDS) == LUA_TTABLE; }

/* c[i], c.list: the methods are upvalue 1 */
static int l_index(lua_State *L) {
  const syl_column *c = syl_column_check(L, 1);
  int is_whole;
  const lua_Integer i = lua_tointegerx(L, 2, &is_whole);
  if (!is_whole || lua_type(L, 2) != LUA_TNUMBER) {
    lua_settop(L, 2);
    lua_rawget(L, lua_upvalueindex(1));
    return 1;
  }
  if (i < 1 || (lua_Unsigned)i > c->n) return 0;
  push_entry(L, c, (size_t)i - 1, push_words(L, 1));
  return 1;
}

static int l_length(lua_State *L) {
  lua_pushinteger(L, (lua_Integer)syl_column_check(L, 1)->n);
  return 1;
}

static int l_refuse(lua_State *L) {
  return luaL_error(L, "a column cannot be changed; c:list() is a table of its entries");
}

static int next_known(lua_State *L) {
  const syl_column *c = syl_column_check(L, 1);
  lua_Integer i = luaL_checkinteger(L, 2);
  const bool words = push_words(L, 1);
  for (; i >= 0 && (lua_Unsigned)i < c->n; i++) {
    push_entry(L, c, (size_t)i, words);
    if (lua_isnil(L, -1)) {
      lua_pop(L, 1);
      continue;
    }
    lua_pushinteger(L, i + 1);
    lua_insert(L, -2);
    return 2;
  }
  return 0;
}

static int l_pairs(lua_State *L) {
  syl_column_check(L, 1);
  lua_settop(L, 1);
  lua_pushcfunction(L, next_known);
  lua_insert(L, 1);
  lua_pushinteger(L, 0);
  return 3;
}

/* column:list() -> {entries}, nil where unknown */
static int l_list(lua_State *L) {
  const syl_column *c = syl_column_check(L, 1);
  lua_createtable(L, c->n > INT32_MAX ? INT32_MAX : (int)c->n, 0);
  const int list = lua_gettop(L);
  const bool words = push_words(L, 1);
  for (size_t i = 0; i < c->n; i++) {
    push_entry(L, c, i, words);
    lua_rawseti(L, list, (lua_Integer)i + 1);
  }
  lua_settop(L, list);
  return 1;
}

/* The least entry, of the entries times `sign`. */
static int push_least(lua_State *L, double sign) {
  const syl_column *c = syl_column_check(L, 1);
  if (push_words(L, 1)) return luaL_error(L, "a column of words has no least and no greatest");
  double best = (double)NAN;
  /* those of a grid come again after a round of its values, and until then each stands for a run */
  const bool grid = c->data == NULL && c->codes == NULL;
  size_t i = 0, round = grid && c->n / c->each >= c->count ? c->each * c->count : c->n;
  while (i < round) {
    const double x = sign * syl_column_at(c, i);
    if (x < best || isnan(best)) best = isnan(x) ? best : x;
    i += c->each - (i + c->skip) % c->each;
  }
  if (isnan(best)) return 0;
  lua_pushnumber(L, sign * best);
  return 1;
}

static int l_min(lua_State *L) { return push_least(L, 1); }
static int l_max(lua_State *L) { return push_least(L, -1); }

static int l_text(lua_State *L) {
  lua_pushfstring(L, "column of %I", (LUAI_UACINT)syl_column_check(L, 1)->n);
  return 1;
}

/* ---- making -------------------------------------------------------------------------------------------------------------------- */

/* Gives the column on top the list of words at `arg`, if there is one. */
static int with_words(lua_State *L, int arg) {
  if (lua_isnoneornil(L, arg)) return 1;
  luaL_checktype(L, arg, LUA_TTABLE);
  lua_pushvalue(L, arg);
  lua_setiuservalue(L, -2, WORDS);
  return 1;
}

static size_t check_count(lua_State *L, int arg) {
  const lua_Integer n = luaL_checkinteger(L, arg);
  luaL_argcheck(L, n >= 0, arg, "0 entries or more expected");
  return (size_t)n;
}

/* core.column(n, words?) -> column of n zeros */
static int l_column(lua_State *L) {
  lua_settop(L, 2);
  syl_column_new(L, check_count(L, 1));
  return with_words(L, 2);
}

/* core.column_unset(n, words?) -> column of n entries that are yet to be written, all of them: faster than one of zeros */
static int l_unset(lua_State *L) {
  lua_settop(L, 2);
  push_stored(L, check_count(L, 1), false);
  return with_words(L, 2);
}

/* core.column_codes(n, words?) -> column of n zeros, a byte each */
static int l_codes(lua_State *L) {
  lua_settop(L, 2);
  syl_column_new_codes(L, check_count(L, 1));
  return with_words(L, 2);
}

/* core.column_of({numbers}, n?, words?) -> column; nil and NaN are unknown */
static int l_of(lua_State *L) {
  enum { MOST = 1 << 24 }; /* what a table in Lua may reasonably hold */
  lua_settop(L, 3);
  luaL_checktype(L, 1, LUA_TTABLE);
  const size_t n = lua_isnoneornil(L, 2) ? (size_t)lua_rawlen(L, 1) : check_count(L, 2);
  luaL_argcheck(L, n <= MOST, 2, "more than 16,777,216 entries");
  syl_column *c = syl_column_new(L, n);
  for (size_t i = 0; i < n; i++) {
    if (lua_rawgeti(L, 1, (lua_Integer)i + 1) == LUA_TNUMBER)
      c->data[i] = lua_tonumber(L, -1);
    else if (lua_isnil(L, -1))
      c->data[i] = (double)NAN;
    else
      return luaL_argerror(L, 1,
                           lua_pushfstring(L, "entry %I: a number expected, got %s", (LUAI_UACINT)i + 1,
                                           luaL_typename(L, -1)));
    lua_pop(L, 1);
  }
  return with_words(L, 3);
}

/* core.column_grid({values}, each, n, words?, skip?) -> column whose entry i, from 0, is value (i + skip) // each % #values, from 0; skip: what
** other parts of the study have before it */
static int l_grid(lua_State *L) {
  const lua_Integer count = syl_length(L, 1), each = luaL_checkinteger(L, 2);
  luaL_argcheck(L, count > 0, 1, "at least one value expected");
  luaL_argcheck(L, each > 0, 2, "1 or more expected");
  const lua_Integer skip = luaL_optinteger(L, 5, 0);
  luaL_argcheck(L, skip >= 0, 5, "0 or more expected");
  lua_settop(L, 4);
  syl_column *c = push_new(L, check_count(L, 3), (size_t)count);
  c->each = (size_t)each;
  c->count = (size_t)count;
  c->skip = (size_t)skip;
  for (size_t i = 0; i < c->count; i++) c->value[i] = syl_number_at(L, 1, (lua_Integer)i + 1);
  return with_words(L, 4);
}

/* core.column_set(column, i, x): x a number, nil where it is unknown */
static int l_set(lua_State *L) {
  syl_column *c = syl_column_check(L, 1);
  const lua_Integer i = luaL_checkinteger(L, 2);
  luaL_argcheck(L, c->data != NULL, 1, "a stored column expected");
  luaL_argcheck(L, i >= 1 && (lua_Unsigned)i <= c->n, 2, "outside the column");
  c->data[i - 1] = lua_isnoneornil(L, 3) ? (double)NAN : luaL_checknumber(L, 3);
  return 0;
}

/* core.column_cut(column, n) -> column: of the same one, with the first n entries; a study that was stopped knows no more */
static int l_cut(lua_State *L) {
  syl_column *c = syl_column_check(L, 1);
  const size_t n = check_count(L, 2);
  luaL_argcheck(L, n <= c->n, 2, "the column is shorter");
  c->n = n;
  lua_settop(L, 1);
  return 1;
}

void syl_open_column(lua_State *L) {
  static const luaL_Reg meta[] = {{"__gc", l_close},    {"__len", l_length},    {"__newindex", l_refuse},
                                  {"__pairs", l_pairs}, {"__tostring", l_text}, {NULL, NULL}};
  static const luaL_Reg methods[] = {{"list", l_list}, {"min", l_min}, {"max", l_max}, {NULL, NULL}};
  static const luaL_Reg functions[] = {
      {"column", l_column},    {"column_unset", l_unset}, {"column_codes", l_codes}, {"column_of", l_of},
      {"column_grid", l_grid}, {"column_set", l_set},     {"column_cut", l_cut},     {NULL, NULL}};
  luaL_newmetatable(L, COLUMN);
  luaL_setfuncs(L, meta, 0);
  *(pool *)lua_newuserdatauv(L, sizeof(pool), 0) = (pool){.due = LEAST_DUE};
  lua_createtable(L, 0, 1);
  lua_pushcfunction(L, l_pool_close);
  lua_setfield(L, -2, "__gc");
  lua_setmetatable(L, -2);
  lua_setfield(L, -2, "pool");
  lua_newtable(L);
  luaL_setfuncs(L, methods, 0);
  lua_pushcclosure(L, l_index, 1);
  lua_setfield(L, -2, "__index");
  lua_pop(L, 1);
  luaL_setfuncs(L, functions, 0);
}
