#include "reader/syntax_error.h"

#include <limits.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "reader/lexer.h"

static void say(syl_problem *out, const char *message, const char *hint) {
  syl_keep_text(out->message, sizeof out->message, message, strlen(message));
  syl_keep_text(out->hint, sizeof out->hint, hint, strlen(hint));
}

/* ---- a character that is not part of Lua ------------------------------------------------------------------------- */

/* Characters that editors, word processors and web pages put where a plain one was meant.
** Source  The Unicode Standard, names list. */
static const struct {
  uint32_t first, last;
  const char *name, *hint;
} strangers[] = {
    {0x00A0, 0x00A0, "a no-break space", "replace it by an ordinary space"},
    {0x00AB, 0x00AB, "a typographic quote", "write the straight quote \""},
    {0x00B2, 0x00B3, "a raised digit", "a power is written ^2 or ^3"},
    {0x00B7, 0x00B7, "a raised dot", "multiply with *"},
    {0x00BB, 0x00BB, "a typographic quote", "write the straight quote \""},
    {0x00D7, 0x00D7, "a multiplication sign", "multiply with *"},
    {0x00F7, 0x00F7, "a division sign", "divide with /"},
    {0x2000, 0x200A, "a space of another width", "replace it by an ordinary space"},
    {0x200B, 0x200F, "an invisible character", "delete it"},
    {0x2010, 0x2015, "a dash", "write - for minus, or -- in front of a comment"},
    {0x2018, 0x201F, "a typographic quote", "write the straight quote \""},
    {0x2026, 0x2026, "three dots in one character", "delete it"},
    {0x2028, 0x202E, "an invisible character", "delete it"},
    {0x202F, 0x202F, "a no-break space", "replace it by an ordinary space"},
    {0x2032, 0x2033, "a prime", "write the straight quote \", or the unit: 5*ft, 5*inch"},
    {0x2212, 0x2212, "a minus sign of print", "write -"},
    {0x3000, 0x3000, "a wide space", "replace it by an ordinary space"},
    {0xFEFF, 0xFEFF, "an invisible character", "delete it"},
    {0xFF01, 0xFF5E, "a full-width character", "write the ordinary one"},
};

/* The character at `at`, of text that is known to be UTF-8. */
static uint32_t decode(const char *at, const char *end) {
  const unsigned char first = (unsigned char)*at;
  uint32_t letter = first >= 0xF0 ? first & 0x07u : first >= 0xE0 ? first & 0x0Fu : first & 0x1Fu;
  for (at++; at < end && ((unsigned char)*at & 0xC0) == 0x80; at++)
    letter = letter << 6 | ((unsigned char)*at & 0x3Fu);
  return letter;
}

/* The first character above ASCII outside texts and comments, at most on the compiler's line; false when there is none. */
static bool find_stranger(const char *text, size_t size, int last_line, syl_problem *out) {
  syl_lexer x = {text, text, text + size, 1, false};
  for (;;) {
    const syl_token t = syl_next_token(&x);
    if (t.kind == SYL_END || t.line > last_line) return false;
    if (t.kind != SYL_SIGN || (unsigned char)t.sign < 0x80) continue;
    const uint32_t letter = decode(x.at - 1, text + size);
    const char
        *name = "a letter or sign that Lua has no use for",
        *hint = "names are written with a to z, digits and _; other letters stand in texts, between quotes";
    for (size_t i = 0; i < sizeof strangers / sizeof *strangers; i++)
      if (letter >= strangers[i].first && letter <= strangers[i].last) {
        name = strangers[i].name;
        hint = strangers[i].hint;
      }
    char message[160];
    snprintf(message, sizeof message, "the character U+%04X stands outside quotes: %s", (unsigned)letter,
             name);
    say(out, message, hint);
    out->line = t.line;
    return true;
  }
}

/* ---- a bracket that is open at the end ---------------------------------------------------------------------------- */

enum { LEVELS = 256 }; /* Lua reads 200 */

typedef struct opening {
  char sign;
  int line, column;
  syl_piece word; /* `vehicle` in  vehicle {, `part` in  part "x" { */
} opening;

typedef struct brackets {
  opening open[LEVELS];
  int depth;
  opening
      early; /* closed by a bracket further left than the line it stands on: probably its own is missing */
  int closed_on;
} brackets;

/* How far the line that holds `at` is indented, and whether nothing but blanks stand before `at`. */
static int indent(const char *text, const char *at, bool *alone) {
  const char *line = at;
  while (line > text && line[-1] != '\n') line--;
  int columns = 0;
  while (line < at && (*line == ' ' || *line == '\t')) {
    columns++;
    line++;
  }
  *alone = line == at;
  return columns;
}

static bool opens(char sign) { return sign == '{' || sign == '(' || sign == '['; }
static bool closes(char sign) { return sign == '}' || sign == ')' || sign == ']'; }

static void note(brackets *b, const syl_lexer *x, const syl_token *t, syl_piece word) {
  bool alone;
  const int column = indent(x->text, x->at - 1, &alone);
  if (opens(t->sign)) {
    if (b->depth < LEVELS) b->open[b->depth] = (opening){t->sign, t->line, column, word};
    b->depth++;
  } else if (b->depth > 0) {
    b->depth--;
    if (b->depth < LEVELS && alone && b->closed_on == 0 && column < b->open[b->depth].column) {
      b->early = b->open[b->depth];
      b->closed_on = t->line;
    }
  }
}

static void name_opening(const char *text, const opening *o, char *buffer, size_t room) {
  if (o->word.start < 0)
    snprintf(buffer, room, "the %c on line %d", o->sign, o->line);
  else
    snprintf(buffer, room, "the %c of %.*s on line %d", o->sign, o->word.length > 40 ? 40 : o->word.length,
             text + o->word.start, o->line);
}

static char closing(char sign) { return sign == '{' ? '}' : sign == '(' ? ')' : ']'; }

/* What is open at the end of the text; false when nothing is. */
static bool find_open(const char *text, size_t size, syl_problem *out) {
  syl_lexer x = {text, text, text + size, 1, false};
  static const syl_piece none = {-1, 0};
  brackets b = {.depth = 0, .closed_on = 0};
  syl_piece word = none;
  for (;;) {
    const syl_token t = syl_next_token(&x);
    if (t.kind == SYL_END) break;
    if (t.kind == SYL_SIGN && (opens(t.sign) || closes(t.sign))) note(&b, &x, &t, word);
    if (t.kind == SYL_NAME) word = t.text;
    if (t.kind == SYL_SIGN || t.kind == SYL_NUMBER) word = none; /* a text may stand between word and brace */
  }
  if (x.torn || b.depth == 0) return false;
  const opening *last = &b.open[(b.depth < LEVELS ? b.depth : LEVELS) - 1];
  char where[120], message[240], hint[200];
  name_opening(text, last, where, sizeof where);
  snprintf(message, sizeof message, "the file ends and %s is still open: a %c is missing", where,
           closing(last->sign));
  hint[0] = '\0';
  if (b.closed_on > 0) {
    name_opening(text, &b.early, where, sizeof where);
    snprintf(hint, sizeof hint, "the indents say it belongs before line %d, to close %s", b.closed_on, where);
  }
  say(out, message, hint);
  return true;
}

/* ---------------------------------------------------------------------------------------------------------------- */

static bool ends_with(const char *text, const char *end) {
  const size_t length = strlen(text), tail = strlen(end);
  return length >= tail && strcmp(text + length - tail, end) == 0;
}

static bool begins(const char *text, const char *start) { return strncmp(text, start, strlen(start)) == 0; }

void syl_explain_syntax(const char *text, size_t size, const char *message, int line, syl_problem *out) {
  *out = (syl_problem){.line = line};
  snprintf(out->code, sizeof out->code, "syntax");
  if (size > INT_MAX) {
    say(out, message, "");
    return;
  }
  /* "near '<\226>'": the compiler shows the first byte of a character by its number */
  if (strstr(message, "near '<\\") != NULL && find_stranger(text, size, line > 0 ? line : INT_MAX, out))
    return;
  if (ends_with(message, "near <eof>") && find_open(text, size, out)) return;
  if (begins(message, "unfinished string")) {
    say(out, message, "a text ends on its line with the quote that it began with");
    return;
  }
  /* `{ mass = 5 at = {0, 0, 0} }`: Lua wanted the closing brace because no comma came */
  say(out, message, begins(message, "'}' expected") ? "is a comma missing before this place?" : "");
}
