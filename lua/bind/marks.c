/* marks.c - marks on paper as text: what would be slow letter by letter in Lua. */
#include <lauxlib.h>
#include <math.h>
#include <stdbool.h>

#include "bind/open.h"

#define LARGEST 1e9 /* mm: a coordinate beyond is none of a sheet of paper */

static char *put_whole(char *at, long long n) {
  char digits[24];
  int count = 0;
  do digits[count++] = (char)('0' + n % 10);
  while ((n /= 10) > 0);
  while (count > 0) *at++ = digits[--count];
  return at;
}

/* Hundredths, finer than any printer's dot, without zeros at the end: "12.5" */
static char *put_hundredths(char *at, double x) {
  long long n = (long long)floor(x * 100.0 + 0.5);
  if (n < 0) {
    *at++ = '-';
    n = -n;
  }
  at = put_whole(at, n / 100);
  const int rest = (int)(n % 100);
  if (rest == 0) return at;
  *at++ = '.';
  *at++ = (char)('0' + rest / 10);
  if (rest % 10 != 0) *at++ = (char)('0' + rest % 10);
  return at;
}

enum { ROOM = 32 }; /* for one coordinate */

static double on_paper(lua_State *L, int index) {
  const double x = luaL_checknumber(L, index);
  if (!(fabs(x) <= LARGEST)) luaL_error(L, "a coordinate of a picture is %f mm", x);
  return x;
}

/* core.hundredths(x) -> "12.5": mm of paper */
static int l_hundredths(lua_State *L) {
  char text[ROOM];
  lua_pushlstring(L, text, (size_t)(put_hundredths(text, on_paper(L, 1)) - text));
  return 1;
}

static double coordinate(lua_State *L, lua_Integer i) {
  lua_rawgeti(L, -1, i);
  const double x = on_paper(L, lua_gettop(L));
  lua_pop(L, 1);
  return x;
}

/* The loop at the top of the stack. */
static void add_loop(lua_State *L, luaL_Buffer *b, int loop, bool closed) {
  const lua_Integer count = (lua_Integer)lua_rawlen(L, loop);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_rawgeti(L, loop, i);
    luaL_checktype(L, -1, LUA_TTABLE);
    const double x = coordinate(L, 1), y = coordinate(L, 2);
    lua_pop(L, 1);
    char text[2 * ROOM], *at = text;
    *at++ = i == 1 ? 'M' : 'L';
    at = put_hundredths(at, x);
    *at++ = ' ';
    at = put_hundredths(at, y);
    luaL_addlstring(b, text, (size_t)(at - text));
  }
  if (closed) luaL_addchar(b, 'Z');
}

/* core.path_data(loops, closed) -> "M1 2L3.5 4": loops of points {x, y}, mm of paper, as the path of an SVG 1.1 file */
static int l_path_data(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  const bool closed = lua_toboolean(L, 2);
  const lua_Integer loops = (lua_Integer)lua_rawlen(L, 1);
  lua_settop(L, 3); /* the third is the loop in hand */
  luaL_Buffer b;
  luaL_buffinit(L, &b);
  for (lua_Integer i = 1; i <= loops; i++) {
    lua_rawgeti(L, 1, i);
    luaL_checktype(L, -1, LUA_TTABLE);
    lua_replace(L, 3);
    add_loop(L, &b, 3, closed);
  }
  luaL_pushresult(&b);
  return 1;
}

#define WIDEST 0xffff /* units of a font: what its own tables can say (OpenType, hmtx: 16 bits) */

static lua_Integer check_width(lua_State *L, lua_Integer width, int argument) {
  luaL_argcheck(L, width >= 0 && width <= WIDEST, argument, "the width of a letter is 0 to 65535");
  return width;
}

/* core.letters(text, widths, other) -> sum of widths[byte], `other` for a byte that is not in the table; nil where a byte is none of ASCII */
static int l_letters(lua_State *L) {
  size_t length;
  const char *text = luaL_checklstring(L, 1, &length);
  luaL_checktype(L, 2, LUA_TTABLE);
  const lua_Integer other = check_width(L, luaL_checkinteger(L, 3), 3);
  lua_Integer sum = 0;
  for (size_t i = 0; i < length; i++) {
    const unsigned char byte = (unsigned char)text[i];
    if (byte >= 0x80) return 0;
    sum += lua_rawgeti(L, 2, byte) == LUA_TNUMBER ? check_width(L, lua_tointeger(L, -1), 2) : other;
    lua_pop(L, 1);
  }
  lua_pushinteger(L, sum);
  return 1;
}

void syl_open_marks(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"hundredths", l_hundredths}, {"path_data", l_path_data}, {"letters", l_letters}, {NULL, NULL}};
  luaL_setfuncs(L, functions, 0);
}
