#include "bind/study/summary.h"

#include <lauxlib.h>
#include <string.h>

#include "bind/numbers.h"
#include "bind/open.h"
#include "bind/study/runs.h"

#define SUMMARY "steelyard.summary"

enum {
  WORDS = 8,
  WORD = 8
}; /* in bytes: eight numbers of eight, the lowest byte first, the same on every machine */

static sy_summary *check_summary(lua_State *L, int arg) { return luaL_checkudata(L, arg, SUMMARY); }

sy_summary *syl_summary_test(lua_State *L, int index) { return luaL_testudata(L, index, SUMMARY); }

static void to_words(const sy_summary *s, uint64_t word[WORDS]) {
  memcpy(&word[0], &s->min, WORD);
  memcpy(&word[1], &s->max, WORD);
  const uint64_t rest[6] = {s->at_min, s->at_max, s->known, s->unknown, s->coarse, s->fine};
  memcpy(&word[2], rest, sizeof rest);
}

static void of_words(const uint64_t word[WORDS], sy_summary *s) {
  memcpy(&s->min, &word[0], WORD);
  memcpy(&s->max, &word[1], WORD);
  s->at_min = word[2];
  s->at_max = word[3];
  s->known = word[4];
  s->unknown = word[5];
  s->coarse = word[6];
  s->fine = word[7] % ((uint64_t)1 << 45);
}

static sy_summary read_bytes(lua_State *L, int arg) {
  size_t size;
  const char *bytes = luaL_checklstring(L, arg, &size);
  luaL_argcheck(L, size == WORDS * WORD, arg, "64 bytes of a summary expected");
  uint64_t word[WORDS] = {0};
  for (unsigned k = 0; k < WORDS * WORD; k++)
    word[k / WORD] |= (uint64_t)(unsigned char)bytes[k] << (8 * (k % WORD));
  sy_summary s;
  of_words(word, &s);
  return s;
}

/* core.summary(bytes?) -> summary: of nothing, or as summary:bytes() gave it */
static int l_summary(lua_State *L) {
  const sy_summary s = lua_isnoneornil(L, 1) ? sy_summary_begin() : read_bytes(L, 1);
  sy_summary *made = lua_newuserdatauv(L, sizeof *made, 0);
  *made = s;
  luaL_setmetatable(L, SUMMARY);
  return 1;
}

/* summary:add(column, from, to, first) -> summary: adds those entries, which are of variants from number `first` on */
static int l_add(lua_State *L) {
  sy_summary *s = check_summary(L, 1);
  syl_column *c = syl_column_check(L, 2);
  size_t count;
  const size_t start = syl_check_run(L, 3, syl_column_count(c), &count);
  const lua_Integer first = luaL_checkinteger(L, 5);
  luaL_argcheck(L, first >= 1, 5, "variants count from 1");
  double room[SYL_RUN];
  for (size_t i = 0; i < count; i += SYL_RUN) {
    const size_t n = count - i < SYL_RUN ? count - i : SYL_RUN;
    sy_summary_add(s, syl_column_run(c, start + i, n, room), n, (uint64_t)first - 1 + i);
  }
  lua_settop(L, 1);
  return 1;
}

/* summary:join(other or its bytes) -> summary: adds what that was made of */
static int l_join(lua_State *L) {
  sy_summary *s = check_summary(L, 1);
  const sy_summary other = lua_type(L, 2) == LUA_TSTRING ? read_bytes(L, 2) : *check_summary(L, 2);
  sy_summary_join(s, &other);
  lua_settop(L, 1);
  return 1;
}

/* summary:bytes() -> 64 bytes */
static int l_bytes(lua_State *L) {
  uint64_t word[WORDS];
  char bytes[WORDS * WORD];
  to_words(check_summary(L, 1), word);
  for (unsigned k = 0; k < WORDS * WORD; k++)
    bytes[k] = (char)(unsigned char)(word[k / WORD] >> (8 * (k % WORD)));
  lua_pushlstring(L, bytes, sizeof bytes);
  return 1;
}

/* summary:unknown() -> how many are unknown */
static int l_unknown(lua_State *L) {
  lua_pushinteger(L, (lua_Integer)check_summary(L, 1)->unknown);
  return 1;
}

static void set_whole(lua_State *L, const char *key, uint64_t value) {
  lua_pushinteger(L, (lua_Integer)value);
  lua_setfield(L, -2, key);
}

/* summary:read() -> {known, unknown; min, max, at_min, at_max where anything is known; mean unless the values are too large for it} */
static int l_read(lua_State *L) {
  const sy_summary *s = check_summary(L, 1);
  lua_createtable(L, 0, 7);
  set_whole(L, "known", s->known);
  set_whole(L, "unknown", s->unknown);
  if (s->known == 0) return 1;
  syl_set_number(L, "min", s->min);
  syl_set_number(L, "max", s->max);
  syl_set_number(L, "mean", sy_summary_mean(s));
  set_whole(L, "at_min", s->at_min + 1);
  set_whole(L, "at_max", s->at_max + 1);
  return 1;
}

void syl_open_summary(lua_State *L) {
  static const luaL_Reg methods[] = {{"add", l_add},         {"join", l_join}, {"bytes", l_bytes},
                                     {"unknown", l_unknown}, {"read", l_read}, {NULL, NULL}};
  luaL_newmetatable(L, SUMMARY);
  lua_newtable(L);
  luaL_setfuncs(L, methods, 0);
  lua_setfield(L, -2, "__index");
  lua_pop(L, 1);
  lua_pushcfunction(L, l_summary);
  lua_setfield(L, -2, "summary");
}
