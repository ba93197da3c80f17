#include "reader/lexer.h"

#include <limits.h>
#include <stddef.h>

static syl_piece piece(const syl_lexer *x, const char *start, const char *end) {
  return (syl_piece){(int)(start - x->text), (int)(end - start)};
}

/* what a byte can be; one table look-up a byte is most of the work */
enum { DIGIT = 1, LETTER = 2, NEWLINE = 4, BLANK = 8 };
static const unsigned char class_of[256] = {
    ['\t'] = BLANK, ['\v'] = BLANK, ['\f'] = BLANK, [' '] = BLANK,  ['\n'] = NEWLINE, ['\r'] = NEWLINE,
    ['_'] = LETTER, ['0'] = DIGIT,  ['1'] = DIGIT,  ['2'] = DIGIT,  ['3'] = DIGIT,    ['4'] = DIGIT,
    ['5'] = DIGIT,  ['6'] = DIGIT,  ['7'] = DIGIT,  ['8'] = DIGIT,  ['9'] = DIGIT,    ['a'] = LETTER,
    ['b'] = LETTER, ['c'] = LETTER, ['d'] = LETTER, ['e'] = LETTER, ['f'] = LETTER,   ['g'] = LETTER,
    ['h'] = LETTER, ['i'] = LETTER, ['j'] = LETTER, ['k'] = LETTER, ['l'] = LETTER,   ['m'] = LETTER,
    ['n'] = LETTER, ['o'] = LETTER, ['p'] = LETTER, ['q'] = LETTER, ['r'] = LETTER,   ['s'] = LETTER,
    ['t'] = LETTER, ['u'] = LETTER, ['v'] = LETTER, ['w'] = LETTER, ['x'] = LETTER,   ['y'] = LETTER,
    ['z'] = LETTER, ['A'] = LETTER, ['B'] = LETTER, ['C'] = LETTER, ['D'] = LETTER,   ['E'] = LETTER,
    ['F'] = LETTER, ['G'] = LETTER, ['H'] = LETTER, ['I'] = LETTER, ['J'] = LETTER,   ['K'] = LETTER,
    ['L'] = LETTER, ['M'] = LETTER, ['N'] = LETTER, ['O'] = LETTER, ['P'] = LETTER,   ['Q'] = LETTER,
    ['R'] = LETTER, ['S'] = LETTER, ['T'] = LETTER, ['U'] = LETTER, ['V'] = LETTER,   ['W'] = LETTER,
    ['X'] = LETTER, ['Y'] = LETTER, ['Z'] = LETTER};

static bool is(char c, int classes) { return (class_of[(unsigned char)c] & classes) != 0; }
static bool is_digit(char c) { return is(c, DIGIT); }
static bool is_letter(char c) { return is(c, LETTER); }
static bool is_newline(char c) { return is(c, NEWLINE); }

static char peek(const syl_lexer *x, size_t ahead) {
  return (size_t)(x->end - x->at) > ahead ? x->at[ahead] : '\0';
}

/* "\r\n" and "\n\r" are one line end, as in Lua */
static void skip_newline(syl_lexer *x) {
  const char first = *x->at++;
  if (x->at < x->end && is_newline(*x->at) && *x->at != first) x->at++;
  x->line++;
}

/* At "[": the number of "=" of a long bracket, or -1. */
static int long_bracket(const syl_lexer *x) {
  size_t level = 0;
  while (peek(x, level + 1) == '=') level++;
  return peek(x, level + 1) == '[' && level < INT_MAX ? (int)level : -1;
}

/* Past a long text or comment whose opening bracket is at hand; the text between is returned. */
static syl_piece skip_long(syl_lexer *x, int level) {
  x->at += level + 2;
  const char *start = x->at;
  while (x->at < x->end) {
    if (is_newline(*x->at)) {
      skip_newline(x);
    } else if (*x->at == ']') {
      const char *close = x->at++;
      int seen = 0;
      while (x->at < x->end && *x->at == '=') {
        x->at++;
        seen++;
      }
      if (seen == level && x->at < x->end && *x->at == ']') {
        x->at++;
        return piece(x, start, close);
      }
    } else {
      x->at++;
    }
  }
  x->torn = true;
  return piece(x, start, x->end);
}

static void skip_comment(syl_lexer *x) {
  x->at += 2;
  const int level = peek(x, 0) == '[' ? long_bracket(x) : -1;
  if (level >= 0) {
    skip_long(x, level);
    return;
  }
  while (x->at < x->end && !is_newline(*x->at)) x->at++;
}

static void skip_blanks(syl_lexer *x) {
  while (x->at < x->end) {
    if (is_newline(*x->at))
      skip_newline(x);
    else if (*x->at == '-' && peek(x, 1) == '-')
      skip_comment(x);
    else if (is(*x->at, BLANK))
      x->at++;
    else
      return;
  }
}

static syl_piece quoted(syl_lexer *x) {
  const char quote = *x->at++;
  const char *start = x->at;
  while (x->at < x->end && *x->at != quote) {
    if (*x->at == '\\' && x->at + 1 < x->end) x->at++;
    if (is_newline(*x->at))
      skip_newline(x); /* only behind "\" in right text; elsewhere Lua reports it */
    else
      x->at++;
  }
  const syl_piece text = piece(x, start, x->at);
  if (x->at < x->end)
    x->at++;
  else
    x->torn = true;
  return text;
}

static void skip_number(syl_lexer *x) {
  const bool hex = x->at[0] == '0' && (peek(x, 1) == 'x' || peek(x, 1) == 'X');
  if (hex) x->at += 2;
  while (x->at < x->end) {
    const char c = *x->at;
    const bool exponent = hex ? (c == 'p' || c == 'P') : (c == 'e' || c == 'E');
    if (exponent && (peek(x, 1) == '-' || peek(x, 1) == '+'))
      x->at += 2;
    else if (is(c, DIGIT | LETTER) || c == '.')
      x->at++;
    else
      return;
  }
}

static void operator_sign(syl_lexer *x, syl_token *t) {
  const char c = *x->at++;
  t->kind = SYL_SIGN;
  t->sign = c;
  if (x->at == x->end) return;
  const bool compares = (c == '=' || c == '~' || c == '<' || c == '>') && *x->at == '=';
  const bool doubled = (c == ':' || c == '/' || c == '.' || c == '<' || c == '>') && *x->at == c;
  if (!compares && !doubled) return;
  t->sign = '?';
  x->at++;
  if (c == '.' && x->at < x->end && *x->at == '.') x->at++;
}

syl_token syl_next_token(syl_lexer *x) {
  skip_blanks(x);
  syl_token t = {.kind = SYL_END, .sign = '\0', .text = piece(x, x->at, x->at), .line = x->line};
  if (x->at < x->end) {
    const char c = *x->at;
    const int level = c == '[' ? long_bracket(x) : -1;
    if (is_letter(c)) {
      t.kind = SYL_NAME;
      while (x->at < x->end && is(*x->at, LETTER | DIGIT)) x->at++;
    } else if (is_digit(c) || (c == '.' && is_digit(peek(x, 1)))) {
      t.kind = SYL_NUMBER;
      skip_number(x);
    } else if (c == '"' || c == '\'' || level >= 0) {
      t.kind = SYL_TEXT;
      t.text = level >= 0 ? skip_long(x, level) : quoted(x);
    } else {
      operator_sign(x, &t);
    }
  }
  t.end = (int)(x->at - x->text);
  if (t.kind != SYL_TEXT) t.text.length = t.end - t.text.start;
  return t;
}
