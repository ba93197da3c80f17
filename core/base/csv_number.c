#include "base/csv_number.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"

enum {
  LONGEST = 400, /* bytes of a number; the longest exact double with a sign and a few groups is shorter */
  ALWAYS_DIGITS =
      15 /* so many digits, and ten to that power, are exact doubles: one division rounds once (W. D.
                     ** Clinger, How to Read Floating Point Numbers Accurately, 1990) */
};

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

/* Bytes of the space at `p`: blank, tab, line ends, U+00A0 no-break, U+2007 figure, U+2009 thin, U+202F narrow
** no-break; or 0. */
static size_t space_length(const char *p, const char *end) {
  if (*p == ' ' || *p == '\t' || *p == '\n' || *p == '\r') return 1;
  if ((unsigned char)*p < 0x80) return 0;
  if (end - p >= 2 && memcmp(p, "\xC2\xA0", 2) == 0) return 2;
  if (end - p < 3) return 0;
  const bool space = memcmp(p, "\xE2\x80\x87", 3) == 0 || memcmp(p, "\xE2\x80\x89", 3) == 0 ||
                     memcmp(p, "\xE2\x80\xAF", 3) == 0;
  return space ? 3 : 0;
}

/* Bytes of an apostrophe (' or U+2019), or 0. */
static size_t apostrophe_length(const char *p, const char *end) {
  if (*p == '\'') return 1;
  return end - p >= 3 && memcmp(p, "\xE2\x80\x99", 3) == 0 ? 3 : 0;
}

static sy_csv_cell trim(sy_csv_cell cell) {
  const char *start = cell.text, *end = cell.text + cell.length;
  size_t n;
  while (start < end && (n = space_length(start, end)) > 0) start += n;
  while (end > start) {
    size_t back = 0;
    for (size_t k = 1; k <= 3 && (size_t)(end - start) >= k; k++)
      if (space_length(end - k, end) == k) back = k;
    if (back == 0) break;
    end -= back;
  }
  return (sy_csv_cell){start, (size_t)(end - start)};
}

/* ---- the parts of a number --------------------------------------------------------------------------------------- */

typedef enum separator { NO_SEPARATOR, SPACE, APOSTROPHE, POINT, COMMA } separator;

/* A number as it stands: digits, with what was found between them. */
typedef struct parts {
  char digits[LONGEST]; /* without separators; an 'E...' part at the end stays */
  size_t whole;         /* digits in front of the last mark, or all when there is none */
  size_t count;         /* digits in all, without the power of ten */
  size_t length;        /* of `digits` */
  separator thousands;  /* between groups in front of the last mark */
  separator last;       /* POINT or COMMA: a mark that is there once, and last */
  bool negative;
  bool power; /* of ten */
} parts;

static separator separator_at(const char *p, const char *end, size_t *length) {
  *length = 1;
  if (*p == '.') return POINT;
  if (*p == ',') return COMMA;
  if ((*length = apostrophe_length(p, end)) > 0) return APOSTROPHE;
  if ((*length = space_length(p, end)) > 0) return SPACE;
  return NO_SEPARATOR;
}

/* Sign in front: + - and U+2212 minus. */
static const char *skip_sign(const char *p, const char *end, bool *negative) {
  *negative = false;
  if (end - p >= 3 && memcmp(p, "\xE2\x88\x92", 3) == 0) {
    *negative = true;
    return p + 3;
  }
  if (p < end && (*p == '-' || *p == '+')) {
    *negative = *p == '-';
    return p + 1;
  }
  return p;
}

/* E, sign?, digits up to the end. */
static bool take_power(const char *p, const char *end, parts *out) {
  if (*p != 'e' && *p != 'E') return false;
  const char *digit = p + 1;
  if (digit < end && (*digit == '-' || *digit == '+')) digit++;
  if (digit == end) return false;
  for (const char *c = digit; c < end; c++)
    if (!is_digit(*c)) return false;
  out->power = true;
  memcpy(out->digits + out->length, p, (size_t)(end - p));
  out->length += (size_t)(end - p);
  return true;
}

/* Was the one mark so far one of thousands? Then one to three digits stand before it and three behind. */
static bool mark_was_thousands(parts *out, size_t group) {
  if (out->thousands != NO_SEPARATOR || group != 3 || out->whole == 0 || out->whole > 3) return false;
  out->thousands = out->last;
  out->last = NO_SEPARATOR;
  return true;
}

/* Takes the separator `s` that stands behind `group` digits: another of thousands, or the last mark. */
static bool take_separator(parts *out, separator s, size_t group) {
  const bool mark = s == POINT || s == COMMA;
  if (out->last != NO_SEPARATOR && !(mark && mark_was_thousands(out, group))) return false;
  if (out->thousands != NO_SEPARATOR && group != 3) return false;
  if (out->thousands != NO_SEPARATOR && s == out->thousands) return true;
  if (mark) {
    out->last = s;
    out->whole = out->count;
    return true;
  }
  if (out->thousands != NO_SEPARATOR || group == 0 || group > 3) return false;
  out->thousands = s;
  return true;
}

/* Splits a trimmed cell; false when it is not a number whatever the marks mean. */
static bool split(sy_csv_cell cell, parts *out) {
  out->count = out->length = out->whole = 0;
  out->thousands = out->last = NO_SEPARATOR;
  out->power = false;
  const char *end = cell.text + cell.length;
  const char *p = skip_sign(cell.text, end, &out->negative);
  if (cell.length >= LONGEST) return false;
  size_t group = 0;
  while (p < end) {
    if (is_digit(*p)) {
      out->digits[out->length++] = *p++;
      out->count++;
      group++;
      continue;
    }
    if (out->count > 0 && take_power(p, end, out)) break;
    size_t length;
    const separator s = separator_at(p, end, &length);
    if (s == NO_SEPARATOR || !take_separator(out, s, group)) return false;
    p += length;
    group = 0;
  }
  if (out->count == 0 || (out->thousands != NO_SEPARATOR && out->digits[0] == '0')) return false;
  if (out->last == NO_SEPARATOR) {
    out->whole = out->count;
    return out->thousands == NO_SEPARATOR || group == 3;
  }
  return true;
}

/* ---- most numbers ------------------------------------------------------------------------------------------------ */

/* Nearly all cells are a sign, a few digits and at most one mark, and there may be a million of them: one look at each
** letter. What is not so simple goes the long way. */
typedef struct simple {
  uint64_t digits; /* as one whole number */
  size_t before, after;
  char mark; /* 0: none */
  bool negative, zero_in_front;
} simple;

static bool take_simple(sy_csv_cell cell, simple *out) {
  const char *p = cell.text, *end = p + cell.length, *mark = NULL;
  if (cell.length == 0 || cell.length > ALWAYS_DIGITS + 2) return false;
  const bool negative = *p == '-';
  if (negative) p++;
  const char *start = p;
  uint64_t digits = 0;
  for (; p < end; p++) {
    const unsigned digit = (unsigned)*p - '0';
    if (digit < 10) {
      digits = 10 * digits + digit;
    } else {
      if (mark != NULL || (*p != '.' && *p != ',')) return false;
      mark = p;
    }
  }
  out->digits = digits;
  out->mark = mark == NULL ? '\0' : *mark;
  out->before = (size_t)((mark == NULL ? end : mark) - start);
  out->after = mark == NULL ? 0 : (size_t)(end - mark) - 1;
  out->negative = negative;
  out->zero_in_front = *start == '0';
  const size_t count = out->before + out->after;
  return count > 0 && count <= ALWAYS_DIGITS;
}

static double with_decimals(uint64_t digits, size_t decimals, bool negative) {
  static const double power[ALWAYS_DIGITS + 1] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                  1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  const double value = (double)digits / power[decimals];
  return negative ? -value : value;
}

/* Could the mark be one of thousands, as in 1,234? Then a group of one to three digits without a zero in front stands
** before it and exactly three digits behind. */
static bool looks_like_thousands(size_t before, size_t after, bool zero_in_front) {
  return before >= 1 && before <= 3 && after == 3 && !zero_in_front;
}

/* ---- what it means ----------------------------------------------------------------------------------------------- */

static bool could_be_thousands(const parts *n) {
  return n->last != NO_SEPARATOR && n->thousands == NO_SEPARATOR && !n->power &&
         looks_like_thousands(n->whole, n->count - n->whole, n->digits[0] == '0');
}

sy_csv_cell sy_csv_without_unit(sy_csv_cell cell) {
  cell = trim(cell);
  size_t n = cell.length;
  while (n > 0 && ((cell.text[n - 1] >= 'a' && cell.text[n - 1] <= 'z') ||
                   (cell.text[n - 1] >= 'A' && cell.text[n - 1] <= 'Z') || cell.text[n - 1] == '"' ||
                   cell.text[n - 1] == '%'))
    n--;
  return trim((sy_csv_cell){cell.text, n});
}

sy_csv_mark sy_csv_mark_of(sy_csv_cell cell) {
  simple easy;
  if (take_simple(cell, &easy)) {
    if (easy.mark == '\0') return SY_CSV_MARK_NONE;
    if (looks_like_thousands(easy.before, easy.after, easy.zero_in_front)) return SY_CSV_MARK_EITHER;
    return easy.mark == '.' ? SY_CSV_MARK_POINT : SY_CSV_MARK_COMMA;
  }
  parts n;
  if (!split(sy_csv_without_unit(cell), &n)) return SY_CSV_MARK_NONE;
  if (n.last == POINT) return could_be_thousands(&n) ? SY_CSV_MARK_EITHER : SY_CSV_MARK_POINT;
  if (n.last == COMMA) return could_be_thousands(&n) ? SY_CSV_MARK_EITHER : SY_CSV_MARK_COMMA;
  if (n.thousands == POINT) return SY_CSV_MARK_COMMA; /* 1.234.567 */
  if (n.thousands == COMMA) return SY_CSV_MARK_POINT;
  return SY_CSV_MARK_NONE;
}

static bool to_double(const parts *n, size_t whole, double *out) {
  char text[LONGEST + 3];
  size_t length = 0;
  if (n->negative) text[length++] = '-';
  memcpy(text + length, n->digits, whole);
  length += whole;
  text[length++] = '.';
  memcpy(text + length, n->digits + whole, n->length - whole);
  length += n->length - whole;
  return sy_text_to_double(text, length, out);
}

/* #DIV/0! #REF! #WERT! #NOM? #N/A #NV and their kin in all languages; Err:502 and the like. */
static bool is_error_value(sy_csv_cell cell) {
  const char *p = cell.text;
  const size_t n = cell.length;
  if (n >= 5 && n <= 7 && memcmp(p, "Err:", 4) == 0) return is_digit(p[4]) && is_digit(p[n - 1]);
  if (n < 3 || p[0] != '#' || is_digit(p[1])) return false;
  const bool called = p[n - 1] == '!' || p[n - 1] == '?';
  bool stroke = false;
  for (size_t i = 1; i < n; i++) {
    if (p[i] == ' ' && called && i == n - 2)
      continue; /* French: a blank in front of "!", sometimes no-break */
    if (p[i] == ' ' || p[i] == '\n' || p[i] == '\r' || (p[i] >= 'a' && p[i] <= 'z')) return false;
    if (p[i] == '/') stroke = true;
  }
  return stroke || called || (n == 3 && memcmp(p, "#NV", 3) == 0);
}

sy_csv_kind sy_csv_number(sy_csv_cell cell, char mark, double *out) {
  simple easy;
  if (take_simple(cell, &easy) && (easy.mark == '\0' || easy.mark == mark)) {
    *out = with_decimals(easy.digits, easy.after, easy.negative);
    return SY_CSV_NUMBER;
  }
  const separator decimal = mark == ',' ? COMMA : POINT;
  const sy_csv_cell trimmed = trim(cell);
  parts n;
  if (trimmed.length == 0) return SY_CSV_BLANK;
  if (!split(trimmed, &n)) return is_error_value(trimmed) ? SY_CSV_ERROR_VALUE : SY_CSV_TEXT;
  if (n.thousands == decimal) return SY_CSV_TEXT;
  size_t whole = n.whole;
  if (n.last != NO_SEPARATOR && n.last != decimal) {
    if (!could_be_thousands(&n)) return SY_CSV_TEXT;
    whole = n.count;
  }
  return to_double(&n, whole, out) ? SY_CSV_NUMBER : SY_CSV_TEXT;
}

/* ---- the decimal mark of a table --------------------------------------------------------------------------------- */

sy_csv_marks sy_csv_marks_none(void) {
  const sy_csv_place nowhere = {SIZE_MAX, SIZE_MAX};
  return (sy_csv_marks){nowhere, nowhere, nowhere};
}

static void note(sy_csv_place *place, size_t row, size_t column) {
  if (row < place->row || (row == place->row && column < place->column)) *place = (sy_csv_place){row, column};
}

void sy_csv_look_for_marks(const sy_csv *csv, size_t column, size_t first_row, sy_csv_marks *marks) {
  const size_t rows = sy_csv_describe(csv).rows;
  for (size_t row = first_row; row < rows; row++) {
    const sy_csv_cell cell = sy_csv_at(csv, row, column);
    switch (sy_csv_mark_of(cell)) {
    case SY_CSV_MARK_NONE: break;
    case SY_CSV_MARK_POINT: note(&marks->point, row, column); break;
    case SY_CSV_MARK_COMMA: note(&marks->comma, row, column); break;
    case SY_CSV_MARK_EITHER: note(&marks->either, row, column); break;
    }
  }
}

/* row 2, column B: "96,2" */
static void describe(const sy_csv *csv, sy_csv_place place, sy_error *out) {
  enum { SHOWN = 24 };
  const sy_csv_cell cell = trim(sy_csv_at(csv, place.row, place.column));
  char text[SHOWN + 1], letters[SY_CSV_LETTERS];
  size_t length = cell.length < SHOWN ? cell.length : SHOWN;
  while (length > 0 && length < cell.length && ((unsigned char)cell.text[length] & 0xC0) == 0x80) length--;
  memcpy(text, cell.text, length);
  text[length] = '\0';
  sy_csv_letters(place.column, letters);
  sy_fail(out, SY_OK, NULL, NULL, "row %zu, column %s: \"%s\"", place.row + 1, letters, text);
}

sy_status sy_csv_decide_mark(const sy_csv *csv, const sy_csv_marks *marks, char *mark, sy_error *err) {
  sy_error a, b;
  if (marks->point.row != SIZE_MAX && marks->comma.row != SIZE_MAX) {
    describe(csv, marks->point, &a);
    describe(csv, marks->comma, &b);
    return sy_fail(err, SY_CLASH, NULL, NULL, "decimal point and decimal comma in one table: %s; %s",
                   a.message, b.message);
  }
  const bool shown = marks->point.row != SIZE_MAX || marks->comma.row != SIZE_MAX;
  if (!shown && marks->either.row != SIZE_MAX) {
    describe(csv, marks->either, &a);
    return sy_fail(err, SY_CONTENT, NULL, NULL,
                   "%s could have thousands or decimals, and no other cell tells which", a.message);
  }
  *mark = marks->comma.row != SIZE_MAX ? ',' : '.';
  return SY_OK;
}
