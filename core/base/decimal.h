/* decimal.h - a decimal number with all its digits, and doubling and halving it exactly.
**
** Every double is a whole number times a power of two, so its exact decimal digits are finite in number: at most 767
** that count. Writing and reading text both come down to shifting such a digit string by bits and rounding it once.
** Private to base/text.c; nothing here depends on the locale or on the C library's printf and strtod.
**
** Source  the method is the "simple decimal conversion" known from W. D. Clinger, How to Read Floating Point Numbers
**         Accurately, 1990; the digit string keeps 800 places and remembers whether anything was cut.
*/
#ifndef SY_BASE_DECIMAL_H
#define SY_BASE_DECIMAL_H

#include <stdbool.h>
#include <stdint.h>

enum { SY_DECIMAL_DIGITS = 800 };

/* 0.d1 d2 d3 ... x 10^point; no leading and no trailing zeros; count 0 is zero. */
typedef struct sy_decimal {
  int count;
  int point;
  bool cut; /* non-zero digits beyond the last were dropped */
  unsigned char digit[SY_DECIMAL_DIGITS];
} sy_decimal;

void sy_decimal_from_integer(sy_decimal *d, uint64_t value);

/* One more digit at the end of a string being read; `point` is the caller's business. */
void sy_decimal_append(sy_decimal *d, int digit);

void sy_decimal_trim(sy_decimal *d);

/* d x 2^bits, bits of any sign. */
void sy_decimal_shift(sy_decimal *d, int bits);

/* Keep `count` digits (a number below 0 leaves nothing), rounded to nearest, ties to even. */
void sy_decimal_round(sy_decimal *d, int count);

/* Keep `count` digits, cut, and count one up in the last if `up`. */
void sy_decimal_cut(sy_decimal *d, int count, bool up);

/* Would keeping `count` digits round up? */
bool sy_decimal_rounds_up(const sy_decimal *d, int count);

/* The nearest whole number, ties to even; the value must be below 2^64. */
uint64_t sy_decimal_to_integer(const sy_decimal *d);

#endif
