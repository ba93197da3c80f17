/* lexer.h - the tokens of a Lua text, with their lines.
**
** No Lua state is needed. Any bytes are accepted: text that is not Lua gives some tokens, and the time is proportional to their
** number. A number is as long as its letters, digits and points go; whether it is one is not looked at.
** Source  Lua 5.4 Reference Manual, 3.1 (lexical conventions).
*/
#ifndef SYL_READER_LEXER_H
#define SYL_READER_LEXER_H

#include <stdbool.h>

/* a piece of a text: bytes start to start + length; start -1 when there is none */
typedef struct syl_piece {
  int start, length;
} syl_piece;

typedef enum syl_token_kind { SYL_END, SYL_NAME, SYL_NUMBER, SYL_TEXT, SYL_SIGN } syl_token_kind;

typedef struct syl_token {
  syl_token_kind kind;
  char sign; /* of a sign: the character, '=' only when it stands alone; '?' for two-character operators */
  syl_piece text; /* of a text: what is between the quotes, escapes as written */
  int end, line;
} syl_token;

typedef struct syl_lexer {
  const char *text, *at, *end; /* the text starts at `text` and is at most INT_MAX bytes long */
  int line;
  bool torn; /* has a text or a long comment been met that is never closed? */
} syl_lexer;

syl_token syl_next_token(syl_lexer *x);

#endif
