/* fields_kind.h - a kind of table of a vehicle file: the rows of steelyard/file/language.lua, made ready for fields.c. */
#ifndef SYL_READER_FIELDS_KIND_H
#define SYL_READER_FIELDS_KIND_H

#include <stddef.h>

#include "reader/file_number.h"

/* How the values of a reader are read; SYL_OTHER: in Lua alone. */
typedef enum syl_how {
  SYL_OTHER,
  SYL_NUMBER,
  SYL_MASS,
  SYL_WHOLE,
  SYL_WITHIN,
  SYL_POINT,
  SYL_CHOICE,
  SYL_COUNT,
  SYL_FLAG,
  SYL_TEXT,
  SYL_TEXTS,
  SYL_FRACTION
} syl_how;

enum {
  SYL_MOST_WORDS = 8,
  SYL_MOST_FIELDS = 64,
  SYL_SHORT = 40
}; /* SYL_SHORT: bytes of a text that Lua keeps one copy of */

/* A row, made ready when a table first has the field. Its texts live as long as the rows, which the kind keeps. */
typedef struct syl_field {
  bool ready;
  bool always; /* required, or with a default */
  syl_how reads;
  syl_unit in;
  double low, high;
  bool above; /* the lowest itself is out */
  bool required;
  char sd_name[SYL_SHORT + sizeof "_sd"];
  int words;
  const char *word[SYL_MOST_WORDS];
} syl_field;

/* Is a number, in the file's unit, one that the field takes? */
static inline bool syl_in_range(const syl_field *f, double x) {
  return (f->above ? x > f->low : x >= f->low) && x <= f->high;
}

typedef struct syl_kind {
  double longest;     /* mm: a coordinate of any point */
  lua_Integer pieces; /* most of one line */
  size_t text, texts; /* longest line in bytes, most texts in a list */
  syl_unit mm;
  int count;
  const char *name[SYL_MOST_FIELDS];
  syl_field field[]; /* of the same names */
} syl_kind;

/* Push the metatable of kinds. */
void syl_push_kind_mark(lua_State *L);

/* The kind at `index`, or NULL. metatable: stack index of that of all kinds. */
syl_kind *syl_kind_at(lua_State *L, int index, int metatable);

/* Push the row of field `i` of the kind at `index`. */
void syl_push_row(lua_State *L, int index, int i);

/* Field `i` of the kind `k` at `index`, ready. Raises when its row is none. */
const syl_field *syl_ready_field(lua_State *L, int index, syl_kind *k, int i);

/* core.fields_kind(rows, always, units, {length =, pieces =, text =, texts =}) -> kind; upvalue 1: the metatable of kinds
**   rows    of a kind of steelyard/file/language.lua, which must stay as they are
**   always  {numbers of those that are required or have a default}        units   of fields: {[unit] = {dims =, factor =}} */
int syl_fields_kind(lua_State *L);

#endif
