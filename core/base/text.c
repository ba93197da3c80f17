#include "base/text.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "base/decimal.h"

enum {
  MANTISSA_BITS = 53,
  ALWAYS_DIGITS = 15, /* DBL_DIG: any text of so few digits survives a double */
  ENOUGH_DIGITS = 17, /* DBL_DECIMAL_DIG: so many distinguish any two doubles */
  PLAIN_FROM = -5,    /* 1e-5 is the smallest number written without exponent */
  PLAIN_BELOW = 16,   /* and 1e16 the first that has one */
  LONGEST_WORD = 63,
  SHORTEST_BEGINNING = 3
};

/* |x| = mantissa 2^exponent, exactly */
static sy_decimal exact_digits(double x) {
  int exponent;
  const double half = frexp(fabs(x), &exponent);
  sy_decimal d;
  sy_decimal_from_integer(&d, (uint64_t)ldexp(half, MANTISSA_BITS));
  sy_decimal_shift(&d, exponent - MANTISSA_BITS);
  return d;
}

/* ---- reading -------------------------------------------------------------------------------------------- */

/* Whole numbers below 2^53 and powers of ten up to 10^22 are exact doubles, so one multiplication or division rounds
** once: right at the first attempt (Clinger's fast path). */
static bool few_digits(const sy_decimal *d, double *out) {
  static const double power[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
  const int scale = d->point - d->count;
  if (d->count > ALWAYS_DIGITS || scale < -22 || scale > 22) return false;
  double whole = 0;
  for (int i = 0; i < d->count; i++) whole = whole * 10 + d->digit[i];
  *out = scale < 0 ? whole / power[-scale] : whole * power[scale];
  return true;
}

/* Scale to [1/2, 1) by powers of two, keeping count, then take 53 bits (fewer below DBL_MIN) in one rounding. */
static bool nearest_double(sy_decimal *d, double *out) {
  if (d->count == 0 || d->point < -330) { /* the smallest double is 4.9e-324 */
    *out = 0;
    return true;
  }
  if (d->point > 310) return false;
  if (few_digits(d, out)) return true;
  int exponent = 0;
  while (d->point > 0) { /* 10^point > 2^(3 point) */
    const int bits = d->point > 1 ? 3 * (d->point - 1) : 1;
    sy_decimal_shift(d, -bits);
    exponent += bits;
  }
  while (d->point < 0 || d->digit[0] < 5) {
    const int bits = d->point < 0 ? -3 * d->point : 1;
    sy_decimal_shift(d, bits);
    exponent -= bits;
  }
  int bits = MANTISSA_BITS;
  if (exponent < DBL_MIN_EXP) bits -= DBL_MIN_EXP - exponent;
  sy_decimal_shift(d, bits);
  *out = ldexp((double)sy_decimal_to_integer(d), exponent - bits);
  return isfinite(*out);
}

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

/* Exponents beyond any use stop growing here, well before int overflows. */
static int read_exponent(const char *text, size_t length, size_t *at) {
  const bool negative = *at < length && text[*at] == '-';
  if (*at < length && (text[*at] == '-' || text[*at] == '+')) ++*at;
  int value = 0;
  for (; *at < length && is_digit(text[*at]); ++*at)
    if (value < 100000000) value = value * 10 + (text[*at] - '0');
  return negative ? -value : value;
}

bool sy_text_to_double(const char *text, size_t length, double *out) {
  size_t at = 0;
  if (length > 100000000) return false; /* keeps the digit count in an int */
  const bool negative = length > 0 && text[0] == '-';
  if (length > 0 && (text[0] == '-' || text[0] == '+')) at++;
  sy_decimal d = {.count = 0};
  bool any = false;
  bool after_point = false;
  for (; at < length && (is_digit(text[at]) || (text[at] == '.' && !after_point)); at++) {
    if (text[at] == '.') {
      after_point = true;
      continue;
    }
    any = true;
    const bool leading_zero = d.count == 0 && text[at] == '0';
    if (!leading_zero) sy_decimal_append(&d, text[at] - '0');
    if (after_point ? leading_zero : !leading_zero) d.point += after_point ? -1 : 1;
  }
  if (!any) return false;
  if (at < length && (text[at] == 'e' || text[at] == 'E')) {
    at++;
    if (at >= length || !(is_digit(text[length - 1]))) return false;
    d.point += read_exponent(text, length, &at);
  }
  if (at != length) return false;
  sy_decimal_trim(&d);
  double value;
  if (!nearest_double(&d, &value)) return false;
  *out = negative ? -value : value;
  return true;
}

/* ---- writing -------------------------------------------------------------------------------------------- */

static bool special(double x, char *buffer, size_t *length) {
  if (isfinite(x)) return false;
  const char *word = isnan(x) ? "nan" : x < 0 ? "-inf" : "inf";
  *length = strlen(word);
  memcpy(buffer, word, *length + 1);
  return true;
}

static char *put_digits(char *p, const sy_decimal *d, int from, int to) {
  for (int i = from; i < to; i++) *p++ = (char)('0' + (i >= 0 && i < d->count ? d->digit[i] : 0));
  return p;
}

static bool reads_back(const sy_decimal *d, double x) {
  sy_decimal copy = *d;
  double back;
  return nearest_double(&copy, &back) && back == x;
}

/* The fewest digits that read back. Among normal numbers 15 digits always keep a text that was no longer, so only 15, 16
** and 17 need a trial (trailing zeros go by themselves); below DBL_MIN fewer may do. With 16 digits at a power of two
** the neighbour of the nearest text may be the one that reads back, because doubles lie closer on one side. */
static sy_decimal shortest(double x) {
  const sy_decimal all = exact_digits(x);
  for (int n = x < DBL_MIN ? 1 : ALWAYS_DIGITS; n < ENOUGH_DIGITS; n++) {
    const bool up = sy_decimal_rounds_up(&all, n);
    for (int other = 0; other < 2; other++) {
      sy_decimal d = all;
      sy_decimal_cut(&d, n, other ? !up : up);
      if (reads_back(&d, x)) return d;
    }
  }
  sy_decimal d = all;
  sy_decimal_round(&d, ENOUGH_DIGITS);
  return d;
}

static char *put_exponent(char *p, int e) {
  *p++ = 'e';
  if (e < 0) *p++ = '-';
  if (e < 0) e = -e;
  if (e >= 100) *p++ = (char)('0' + e / 100);
  if (e >= 10) *p++ = (char)('0' + e / 10 % 10);
  *p++ = (char)('0' + e % 10);
  return p;
}

size_t sy_text_from_double(double x, char buffer[SY_TEXT_DOUBLE]) {
  size_t length;
  if (special(x, buffer, &length)) return length;
  char *p = buffer;
  if (signbit(x)) *p++ = '-';
  const sy_decimal d = shortest(fabs(x));
  const int e = d.point - 1;                                           /* d.ddd x 10^e */
  const int count = d.count < ENOUGH_DIGITS ? d.count : ENOUGH_DIGITS; /* never more: said for the compiler */
  if (d.count == 0) {
    *p++ = '0';
  } else if (e < PLAIN_FROM || e >= PLAIN_BELOW) {
    p = put_digits(p, &d, 0, 1);
    if (count > 1) *p++ = '.';
    p = put_digits(p, &d, 1, count);
    p = put_exponent(p, e);
  } else {
    p = d.point > 0 ? put_digits(p, &d, 0, d.point) : put_digits(p, &d, -1, 0);
    if (count > d.point) *p++ = '.';
    p = put_digits(p, &d, d.point, count);
  }
  *p = '\0';
  return (size_t)(p - buffer);
}

size_t sy_text_fixed(double x, int decimals, char buffer[SY_TEXT_FIXED]) {
  size_t length;
  if (special(x, buffer, &length)) return length;
  if (decimals < 0) decimals = 0;
  if (decimals > SY_TEXT_DECIMALS) decimals = SY_TEXT_DECIMALS;
  sy_decimal d = exact_digits(x);
  sy_decimal_round(&d, d.point + decimals);
  char *p = buffer;
  if (x < 0 && d.count > 0) *p++ = '-';
  p = d.point > 0 ? put_digits(p, &d, 0, d.point) : put_digits(p, &d, -1, 0);
  if (decimals > 0) *p++ = '.';
  p = put_digits(p, &d, d.point, d.point + decimals);
  *p = '\0';
  return (size_t)(p - buffer);
}

/* ---- words ---------------------------------------------------------------------------------------------- */

static char lower(char c) { return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c; }

/* Letters left out, added, changed, or swapped with the next: optimal string alignment. Three rows of the table. */
static size_t edits(const char *a, size_t na, const char *b, size_t nb) {
  size_t row[3][LONGEST_WORD + 1];
  for (size_t j = 0; j <= nb; j++) row[0][j] = j;
  for (size_t i = 1; i <= na; i++) {
    size_t *now = row[i % 3];
    const size_t *before = row[(i - 1) % 3];
    const size_t *two_before = row[(i + 1) % 3];
    now[0] = i;
    for (size_t j = 1; j <= nb; j++) {
      const bool same = lower(a[i - 1]) == lower(b[j - 1]);
      size_t best = before[j - 1] + (same ? 0 : 1);
      if (before[j] + 1 < best) best = before[j] + 1;
      if (now[j - 1] + 1 < best) best = now[j - 1] + 1;
      const bool swapped =
          i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]);
      if (swapped && two_before[j - 2] + 1 < best) best = two_before[j - 2] + 1;
      now[j] = best;
    }
  }
  return row[na % 3][nb];
}

static bool begins_alike(const char *a, size_t na, const char *b, size_t nb) {
  const size_t n = na < nb ? na : nb;
  if (n < SHORTEST_BEGINNING) return false;
  for (size_t i = 0; i < n; i++)
    if (lower(a[i]) != lower(b[i])) return false;
  return true;
}

const char *sy_text_nearest(const char *word, const char *const *list, size_t count) {
  const size_t length = strlen(word);
  if (length == 0 || length > LONGEST_WORD) return NULL;
  const size_t allowed = length < 6 ? 1 : length / 3;
  const char *nearest = NULL;
  size_t least =
      2 * allowed + 2; /* twice the letters; one more where only the beginning is alike: a slip comes first */
  for (size_t i = 0; i < count; i++) {
    const size_t other = strlen(list[i]);
    if (other > LONGEST_WORD) continue;
    const size_t slips = edits(word, length, list[i], other);
    size_t distance = 2 * slips;
    if (slips > allowed && begins_alike(word, length, list[i], other)) distance = 2 * allowed + 1;
    if (distance < least && distance < 2 * length) {
      least = distance;
      nearest = list[i];
    }
  }
  return nearest;
}
