#include "bind/check_word.h"

#include <string.h>

#include <lauxlib.h>

enum { NUMBER = 8 };

uint64_t syl_number(const char *bytes) {
  const unsigned char *b = (const unsigned char *)bytes;
  return (uint64_t)b[0] | (uint64_t)b[1] << 8 | (uint64_t)b[2] << 16 | (uint64_t)b[3] << 24 |
         (uint64_t)b[4] << 32 | (uint64_t)b[5] << 40 | (uint64_t)b[6] << 48 | (uint64_t)b[7] << 56;
}

/* The multiplier is odd, so that a step is one to one: the golden ratio's 64 bits. */
static inline uint64_t step(uint64_t sum, uint64_t number) {
  sum = (sum ^ number) * 0x9E3779B97F4A7C15u;
  return sum ^ sum >> 32;
}

uint64_t syl_check_word(uint64_t before, const char *bytes, size_t size) {
  const char *const end = bytes + size / NUMBER * NUMBER;
  uint64_t sum = step(before, size + 1); /* an empty text counts too */
  for (; bytes < end; bytes += NUMBER) sum = step(sum, syl_number(bytes));
  if (size % NUMBER == 0) return sum;
  char last[NUMBER] = {0};
  memcpy(last, bytes, size % NUMBER);
  return step(sum, syl_number(last));
}

static int l_check_word(lua_State *L) {
  uint64_t sum = 0;
  for (int i = 1; i <= lua_gettop(L); i++) {
    size_t size;
    const char *bytes = luaL_checklstring(L, i, &size);
    sum = syl_check_word(sum, bytes, size);
  }
  lua_pushinteger(L, (lua_Integer)sum);
  return 1;
}

void syl_open_check_word(lua_State *L) {
  lua_pushcfunction(L, l_check_word);
  lua_setfield(L, -2, "check_word");
}
