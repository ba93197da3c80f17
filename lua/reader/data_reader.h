/* data_reader.h - a vehicle file as it is read by data_file.h: the token at hand, and what is pushed for it. Private to the files data_*.
**
** Each function reads one construct: it uses up its tokens, pushes what it makes and returns true; or it returns false, with anything on
** the stack: the text is left to the sandbox.
*/
#ifndef SYL_READER_DATA_READER_H
#define SYL_READER_DATA_READER_H

#include <lua.h>
#include <stdbool.h>
#include <string.h>

#include "reader/lexer.h"

enum {
  SYL_DATA_ROOM = 20, /* stack for one value, without its entries */
  SYL_DATA_WORDS = 64
};

/* What a word makes. */
typedef enum syl_data_sort {
  SYL_DATA_ITEM,
  SYL_DATA_SHAPE,
  SYL_DATA_SD,
  SYL_DATA_WITHIN,
  SYL_DATA_UNKNOWN,
  SYL_DATA_NONE
} syl_data_sort;

typedef struct syl_data_word {
  const char *name;
  syl_data_sort is;
} syl_data_word;

typedef struct syl_data_reader syl_data_reader;

struct syl_data_reader {
  lua_State *L;
  syl_lexer lex;
  syl_token at;     /* not used up yet */
  syl_token before; /* the last one used up */
  int depth;
  bool (*value)(syl_data_reader *r); /* pushes what stands here: tables hold values that are tables */
  int made;                          /* stack index of the list of items */
  lua_Integer items;                 /* in it */
  int words;                         /* that there are */
  syl_data_word word[SYL_DATA_WORDS];
  int item, shape, uncertainty; /* stack indices of metatables */
  int language;                 /* stack index of language.words, for its units */
};

/* A number with units: exponents of M L F A, as in file/vocabulary.lua. */
typedef struct syl_dimension {
  bool is_amount;
  int exponent[4];
} syl_dimension;

static inline void syl_data_advance(syl_data_reader *r) {
  r->before = r->at;
  r->at = syl_next_token(&r->lex);
}

static inline bool syl_data_is_sign(const syl_data_reader *r, char sign) {
  return r->at.kind == SYL_SIGN && r->at.sign == sign;
}

static inline bool syl_data_take_sign(syl_data_reader *r, char sign) {
  if (!syl_data_is_sign(r, sign)) return false;
  syl_data_advance(r);
  return true;
}

/* Is the token this word? */
static inline bool syl_data_reads(const syl_data_reader *r, const char *word) {
  const char *start = r->lex.text + r->at.text.start;
  const size_t length = (size_t)r->at.text.length;
  return word[0] == start[0] && strlen(word) == length && memcmp(word, start, length) == 0;
}

/* 0.4 / 0.745, 30*lb, 0.74*kg/litre: a number, or an amount where `of` then says so */
bool syl_data_product(syl_data_reader *r, syl_dimension *of);

/* A text between plain quotes on one line. */
bool syl_data_text(syl_data_reader *r, bool may_escape);

/* `{ ... }`. A number alone behind `key = number` is a decimal comma: the sandbox reports it. */
bool syl_data_table(syl_data_reader *r);

/* `{ ... }` or `({ ... })` behind a word */
bool syl_data_braces(syl_data_reader *r);

/* Push an item without fields; kind and name are on top of the stack and stay below it. */
void syl_data_push_item(syl_data_reader *r, int line);

/* true, false, or a word: what it makes. */
bool syl_data_named_value(syl_data_reader *r);

/* The words of {[word] = sort} at `sorts` that mean something here; they live as long as it. One too many is left to the sandbox. */
void syl_data_take_words(syl_data_reader *r, int sorts);

#endif
