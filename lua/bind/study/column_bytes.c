/* column_bytes.c - entries of columns as bytes and back, for the blocks of a study that are kept in a file, and parts of columns.
**
** A number is eight bytes, IEEE 754 with the lowest byte first, a code is one byte: the same on every machine.
*/
#include <lauxlib.h>
#include <stdint.h>
#include <string.h>

#include "bind/open.h"
#include "bind/study/column.h"

enum { NUMBER = 8 };

static void put_number(unsigned char *at, double x) {
  uint64_t bits;
  memcpy(&bits, &x, sizeof bits);
  for (unsigned k = 0; k < NUMBER; k++) at[k] = (unsigned char)(bits >> (8 * k));
}

static double get_number(const unsigned char *at) {
  uint64_t bits = 0;
  for (unsigned k = 0; k < NUMBER; k++) bits |= (uint64_t)at[k] << (8 * k);
  double x;
  memcpy(&x, &bits, sizeof x);
  return x;
}

/* Entries from .. to (from 1) of the column at index 1, checked: the first of them from 0, and how many. */
static size_t check_range(lua_State *L, const syl_column *c, size_t *count) {
  const lua_Integer from = luaL_checkinteger(L, 2), to = luaL_checkinteger(L, 3);
  luaL_argcheck(L, from >= 1, 2, "outside the column");
  luaL_argcheck(L, to >= from - 1 && (lua_Unsigned)to <= syl_column_count(c), 3, "outside the column");
  *count = (size_t)(to - from + 1);
  return (size_t)from - 1;
}

/* core.column_bytes(column, from, to) -> bytes of those entries of a stored column or one of codes */
static int l_bytes(lua_State *L) {
  syl_column *c = syl_column_check(L, 1);
  size_t count;
  const size_t first = check_range(L, c, &count);
  const unsigned char *codes = syl_column_codes(c);
  const double *data = syl_column_data(c);
  luaL_argcheck(L, codes != NULL || data != NULL, 1, "a stored column expected");
  if (codes != NULL) {
    lua_pushlstring(L, (const char *)codes + first, count);
    return 1;
  }
  luaL_Buffer buffer;
  unsigned char *at = (unsigned char *)luaL_buffinitsize(L, &buffer, count * NUMBER);
  for (size_t i = 0; i < count; i++) put_number(at + NUMBER * i, data[first + i]);
  luaL_pushresultsize(&buffer, count * NUMBER);
  return 1;
}

/* core.column_put(column, from, to, bytes, at) -> where the next bytes begin; those from `at` (from 1) become the entries */
static int l_put(lua_State *L) {
  syl_column *c = syl_column_check(L, 1);
  size_t count, length;
  const size_t first = check_range(L, c, &count);
  const unsigned char *bytes = (const unsigned char *)luaL_checklstring(L, 4, &length);
  const lua_Integer at = luaL_checkinteger(L, 5);
  unsigned char *codes = syl_column_codes(c);
  double *data = syl_column_data(c);
  luaL_argcheck(L, codes != NULL || data != NULL, 1, "a stored column expected");
  const size_t size = count * (codes != NULL ? 1 : NUMBER);
  luaL_argcheck(L, at >= 1 && (lua_Unsigned)at - 1 <= length && size <= length - ((size_t)at - 1), 4,
                "too few bytes");
  bytes += at - 1;
  if (codes != NULL) {
    memcpy(codes + first, bytes, count);
  } else {
    for (size_t i = 0; i < count; i++) data[first + i] = get_number(bytes + NUMBER * i);
  }
  lua_pushinteger(L, at + (lua_Integer)size);
  return 1;
}

/* core.column_code(column, i, code): an entry of a column of codes */
static int l_code(lua_State *L) {
  syl_column *c = syl_column_check(L, 1);
  const lua_Integer i = luaL_checkinteger(L, 2), code = luaL_checkinteger(L, 3);
  unsigned char *codes = syl_column_codes(c);
  luaL_argcheck(L, codes != NULL, 1, "a column of codes expected");
  luaL_argcheck(L, i >= 1 && (lua_Unsigned)i <= syl_column_count(c), 2, "outside the column");
  luaL_argcheck(L, code >= 0 && code <= UINT8_MAX, 3, "0 to 255 expected");
  codes[i - 1] = (unsigned char)code;
  return 0;
}

/* core.column_next(column, from, to, code) -> number of the first entry from .. to of a column of codes that is the code, or nil */
static int l_next(lua_State *L) {
  syl_column *c = syl_column_check(L, 1);
  size_t count;
  const size_t first = check_range(L, c, &count);
  const lua_Integer code = luaL_checkinteger(L, 4);
  const unsigned char *codes = syl_column_codes(c);
  luaL_argcheck(L, codes != NULL, 1, "a column of codes expected");
  const unsigned char *found =
      code >= 0 && code <= UINT8_MAX ? memchr(codes + first, (int)code, count) : NULL;
  if (found == NULL) return 0;
  lua_pushinteger(L, (lua_Integer)(found - codes) + 1);
  return 1;
}

/* Entries that are written out one by one: 2 GiB. Parts of a study are blocks of it, a few thousand times what is folded; a slip beyond
** that would fill the memory of the machine before anything is said. */
#define PART_MOST ((lua_Integer)1 << 28)

/* core.column_part(column, first, count, times) -> column of entries first .. first + count - 1 (from 1), each so many times in a row */
static int l_part(lua_State *L) {
  const syl_column *c = syl_column_check(L, 1);
  const lua_Integer first = luaL_checkinteger(L, 2), count = luaL_checkinteger(L, 3),
                    times = luaL_checkinteger(L, 4);
  const size_t n = syl_column_count(c);
  luaL_argcheck(L, first >= 1 && (lua_Unsigned)first - 1 <= n, 2, "outside the column");
  luaL_argcheck(L, count >= 0 && (lua_Unsigned)count <= n - ((size_t)first - 1), 3, "outside the column");
  luaL_argcheck(L, times >= 1 && (count == 0 || times <= LUA_MAXINTEGER / count), 4, "1 or more expected");
  if (syl_column_new_part(L, c, (size_t)first - 1, (size_t)count, (size_t)times)) return 1;
  luaL_argcheck(L, count * times <= PART_MOST, 4, "more entries than a part holds");
  double *data = syl_column_data(syl_column_new(L, (size_t)count * (size_t)times));
  if (times == 1) {
    syl_column_read(c, (size_t)first - 1, (size_t)count, data);
    return 1;
  }
  for (size_t i = 0; i < (size_t)count; i++) {
    const double x = syl_column_at(c, (size_t)first - 1 + i);
    for (size_t k = 0; k < (size_t)times; k++) *data++ = x;
  }
  return 1;
}

void syl_open_column_bytes(lua_State *L) {
  static const luaL_Reg functions[] = {{"column_bytes", l_bytes}, {"column_put", l_put},
                                       {"column_code", l_code},   {"column_next", l_next},
                                       {"column_part", l_part},   {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
