/* errors.h - error objects: what a script sees when something is wrong.
**
** An error object is a table {code, message, file, line, part, field, hint, kind} with the metatable registered as
** "steelyard.error". Fields that say nothing are absent. tostring gives one line, and `..` joins it to a text:
**   cars/a.lua:12: part "powertrain/engine", mass: must be 0 kg or more, is -5 kg (hint)
** `kind` is the word in front of the name, "part" when absent; "" prints the name alone. `typed` is the hint for one who types on the
** command line or in a table, where that of a script is in Lua; a command shows it instead.
*/
#ifndef SYL_BIND_ERRORS_H
#define SYL_BIND_ERRORS_H

#include <lua.h>

#include "base/status.h"

#define SYL_ERROR "steelyard.error"

typedef struct syl_failure {
  const char
      *code; /* read syntax run limit content range missing unknown type clash geometry unavailable io */
  const char *message;
  const char *file; /* from here on NULL, or 0 for the line: not known */
  int line;
  const char *part;
  const char *field;
  const char *hint;
  const char *kind;
} syl_failure;

/* The same, kept outside any Lua state; "" where nothing is known. */
typedef struct syl_problem {
  char code[16], message[480], part[200], field[64], hint[200], kind[16];
  int line;
} syl_problem;

/* Copy `length` bytes into a buffer of `room` bytes, closing zero included; a longer text ends in "..." and is never
** cut inside a letter of UTF-8. */
void syl_keep_text(char *buffer, size_t room, const char *text, size_t length);

/* Raise an error object. Never returns; the int lets a C function write `return syl_fail(...)`. */
int syl_fail(lua_State *L, const syl_failure *failure);

/* The same for an error of the core. */
int syl_raise(lua_State *L, const sy_error *error);

/* Push an error object without raising it. */
void syl_push_failure(lua_State *L, const syl_failure *failure);

/* The same for an error of the core. */
void syl_push_error(lua_State *L, const sy_error *error);

void syl_push_problem(lua_State *L, const syl_problem *problem, const char *file);

/* Give the value on top of the stack the metatable of error objects. */
void syl_mark_failure(lua_State *L);

/* The word of the list at `index` (texts; anything else is skipped) that `word` was probably meant to be, or NULL. The
** text belongs to the list. Leaves the stack as it was. */
const char *syl_nearest(lua_State *L, const char *word, int index);

/* Adds to the module table on top of the stack:
**   fail{code =, message =, ...}    raises an error object
**   error_metatable                 what marks one
**   nearest(word, list)             the nearest word, or nil */
void syl_open_fail(lua_State *L);

#endif
