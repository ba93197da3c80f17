/* text.c - numbers to text and back, the same in every locale. */
#include <lauxlib.h>
#include <string.h>

#include "base/sha256.h"
#include "base/text.h"
#include "base/version.h"
#include "bind/open.h"

/* core.fixed(x, decimals) -> "12.50": rounded once from the exact value, ties to even; no sign on what rounds to zero */
static int l_fixed(lua_State *L) {
  const double x = luaL_checknumber(L, 1);
  const lua_Integer decimals = luaL_checkinteger(L, 2);
  luaL_argcheck(L, decimals >= 0 && decimals <= SY_TEXT_DECIMALS, 2, "0 to 30 decimals expected");
  char buffer[SY_TEXT_FIXED];
  lua_pushlstring(L, buffer, sy_text_fixed(x, (int)decimals, buffer));
  return 1;
}

/* core.shortest(x) -> the shortest text that reads back as the same number: "27.4", "5", "1e-7" */
static int l_shortest(lua_State *L) {
  char buffer[SY_TEXT_DOUBLE];
  luaL_checknumber(L, 1);
  if (lua_isinteger(L, 1)) /* exact, also beyond 2^53 */
    lua_pushfstring(L, "%I", (LUAI_UACINT)lua_tointeger(L, 1));
  else
    lua_pushlstring(L, buffer, sy_text_from_double(lua_tonumber(L, 1), buffer));
  return 1;
}

/* core.number(text) -> the number a decimal literal means, or nil for anything else */
static int l_number(lua_State *L) {
  size_t length;
  const char *text = luaL_checklstring(L, 1, &length);
  double x;
  if (sy_text_to_double(text, length, &x))
    lua_pushnumber(L, x);
  else
    lua_pushnil(L);
  return 1;
}

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

static bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

/* Is this, to its end, a number as tables print it: a sign perhaps, a digit, digits and points? */
static bool ends_as_number(const char *at) {
  if (*at == '+' || *at == '-') at++;
  if (!is_digit(*at)) return false;
  while (is_digit(*at) || *at == '.') at++;
  return *at == '\0';
}

/* "left 12.5": words in front of a number */
static bool is_worded(const char *text) {
  if (!is_letter(*text)) return false;
  const char *last = strrchr(text, ' ');
  if (last == NULL || !ends_as_number(last + 1)) return false;
  while (text < last && (is_letter(*text) || *text == ' ')) text++;
  return text == last;
}

/* core.cell_lead(cell) -> kind, bytes: what a cell of a table is, and how much of it stands left of the edge at which numbers end:
** "number" all of it, "uncertainty" the 343 of "343 +- 10", "worded" all of it; nil for anything else */
static int l_cell_lead(lua_State *L) {
  size_t length;
  const char *cell = luaL_checklstring(L, 1, &length);
  const char *uncertainty = cell;
  while ((uncertainty = strstr(uncertainty, " +- ")) != NULL &&
         !(uncertainty > cell && is_digit(uncertainty[-1]) && is_digit(uncertainty[4])))
    uncertainty++;
  const char *kind = ends_as_number(cell)  ? "number"
                     : uncertainty != NULL ? "uncertainty"
                     : is_worded(cell)     ? "worded"
                                           : NULL;
  if (kind == NULL) return 0;
  lua_pushstring(L, kind);
  lua_pushinteger(L, uncertainty != NULL ? uncertainty - cell : (lua_Integer)length);
  return 2;
}

/* core.ascii_length(text) -> its length when all its bytes are ASCII, else nil: most texts are, and take a column a byte */
static int l_ascii_length(lua_State *L) {
  size_t length;
  const char *text = luaL_checklstring(L, 1, &length);
  unsigned char all = 0;
  for (size_t i = 0; i < length; i++) all |= (unsigned char)text[i];
  if (all > 0x7F) return 0;
  lua_pushinteger(L, (lua_Integer)length);
  return 1;
}

/* core.before(a, b) -> boolean: byte by byte, for sorting; Lua's own < follows the locale */
static int l_before(lua_State *L) {
  size_t length_a, length_b;
  const char *a = luaL_checklstring(L, 1, &length_a);
  const char *b = luaL_checklstring(L, 2, &length_b);
  const int order = memcmp(a, b, length_a < length_b ? length_a : length_b);
  lua_pushboolean(L, order != 0 ? order < 0 : length_a < length_b);
  return 1;
}

/* core.sha256(bytes, ...) -> the SHA-256 digest of the texts one behind the other, in 64 hexadecimal digits */
static int l_sha256(lua_State *L) {
  sy_sha256 digest = sy_sha256_begin();
  char text[SY_SHA256_TEXT];
  for (int i = 1; i <= lua_gettop(L); i++) {
    size_t size;
    const char *bytes = luaL_checklstring(L, i, &size);
    sy_sha256_add(&digest, bytes, size);
  }
  sy_sha256_text(&digest, text);
  lua_pushstring(L, text);
  return 1;
}

void syl_open_text(lua_State *L) {
  static const luaL_Reg functions[] = {
      {"fixed", l_fixed},
      {"shortest", l_shortest},
      {"number", l_number},
      {"before", l_before},
      {"cell_lead", l_cell_lead},
      {"sha256", l_sha256},
      {"ascii_length", l_ascii_length},
      {NULL, NULL},
  };
  luaL_setfuncs(L, functions, 0);
  lua_pushstring(L, sy_version());
  lua_setfield(L, -2, "version");
}
