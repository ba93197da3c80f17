/* data_text.c - texts between quotes. */
#include <lauxlib.h>

#include "reader/data_reader.h"

/* What the letter behind a backslash stands for; '\0': the sandbox knows. */
static char escaped(char letter) {
  static const char letters[] = "\\\"'abfnrtv", meant[] = "\\\"'\a\b\f\n\r\t\v";
  const char *at = letter != '\0' ? strchr(letters, letter) : NULL;
  return at != NULL ? meant[at - letters] : '\0';
}

/* A text with backslashes in it. */
static bool escaped_text(syl_data_reader *r, const char *start, size_t length) {
  luaL_Buffer to;
  char *bytes = luaL_buffinitsize(r->L, &to, length);
  const int top = lua_gettop(r->L);
  size_t count = 0;
  bool fine = true;
  for (size_t i = 0; i < length && fine; i++) {
    char c = start[i];
    if (c == '\\') {
      c = ++i < length ? escaped(start[i]) : '\0';
      fine = c != '\0';
    }
    bytes[count++] = c;
  }
  luaL_pushresultsize(&to, count);
  if (!fine) lua_settop(r->L, top);
  return fine;
}

bool syl_data_text(syl_data_reader *r, bool may_escape) {
  if (r->at.kind != SYL_TEXT) return false;
  const char *start = r->lex.text + r->at.text.start;
  const size_t length = (size_t)r->at.text.length;
  if (start[-1] != '"' && start[-1] != '\'') return false;
  if (memchr(start, '\n', length) != NULL || memchr(start, '\r', length) != NULL) return false;
  if (memchr(start, '\\', length) == NULL)
    lua_pushlstring(r->L, start, length);
  else if (!may_escape || !escaped_text(r, start, length))
    return false;
  syl_data_advance(r);
  return true;
}
