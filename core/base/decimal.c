#include "base/decimal.h"

#include <string.h>

/* A digit (< 10) times 2^60 plus a carry (< 2^60 x 10 / 9) stays below 2^64. */
enum { MAX_STEP = 59 };

/* Digits a left shift by MAX_STEP can add in front: 59 log10 2 = 17.8. */
enum { HEADROOM = 18 };

void sy_decimal_trim(sy_decimal *d) {
  while (d->count > 0 && d->digit[d->count - 1] == 0) d->count--;
  if (d->count == 0) d->point = 0;
}

void sy_decimal_append(sy_decimal *d, int digit) {
  if (d->count < SY_DECIMAL_DIGITS)
    d->digit[d->count++] = (unsigned char)digit;
  else if (digit != 0)
    d->cut = true;
}

void sy_decimal_from_integer(sy_decimal *d, uint64_t value) {
  unsigned char reversed[20];
  int n = 0;
  for (; value > 0; value /= 10) reversed[n++] = (unsigned char)(value % 10);
  d->count = n;
  d->point = n;
  d->cut = false;
  for (int i = 0; i < n; i++) d->digit[i] = reversed[n - 1 - i];
  sy_decimal_trim(d);
}

/* Long division by 2^bits, first digit first. */
static void shift_right(sy_decimal *d, int bits) {
  int read = 0;
  int write = 0;
  uint64_t rest = 0;
  for (; rest >> bits == 0; read++) { /* until the first digit of the quotient */
    if (read >= d->count && rest == 0) {
      d->count = 0;
      return;
    }
    rest = rest * 10 + (read < d->count ? d->digit[read] : 0u);
  }
  d->point -= read - 1;
  const uint64_t mask = ((uint64_t)1 << bits) - 1;
  while (read < d->count || rest > 0) {
    const unsigned char quotient = (unsigned char)(rest >> bits);
    const unsigned next = read < d->count ? d->digit[read] : 0u;
    read++;
    rest = (rest & mask) * 10 + next;
    if (write < SY_DECIMAL_DIGITS)
      d->digit[write++] = quotient; /* never ahead of `read` */
    else if (quotient != 0)
      d->cut = true;
  }
  d->count = write;
  sy_decimal_trim(d);
}

/* Long multiplication by 2^bits, last digit first, into the end of a longer string. */
static void shift_left(sy_decimal *d, int bits) {
  unsigned char product[SY_DECIMAL_DIGITS + HEADROOM];
  const int size = d->count + HEADROOM;
  uint64_t carry = 0;
  int first = size;
  for (int i = d->count - 1; i >= 0 || carry > 0; i--) {
    carry += i >= 0 ? (uint64_t)d->digit[i] << bits : 0;
    product[--first] = (unsigned char)(carry % 10);
    carry /= 10;
  }
  const int count = size - first;
  d->point += count - d->count;
  d->count = 0;
  for (int i = first; i < size; i++) sy_decimal_append(d, product[i]);
  sy_decimal_trim(d);
}

void sy_decimal_shift(sy_decimal *d, int bits) {
  if (d->count == 0) return;
  for (; bits > MAX_STEP; bits -= MAX_STEP) shift_left(d, MAX_STEP);
  for (; bits < -MAX_STEP; bits += MAX_STEP) shift_right(d, MAX_STEP);
  if (bits > 0) shift_left(d, bits);
  if (bits < 0) shift_right(d, -bits);
}

bool sy_decimal_rounds_up(const sy_decimal *d, int count) {
  if (count < 0 || count >= d->count) return false;
  const bool tie = d->digit[count] == 5 && count + 1 == d->count && !d->cut;
  if (tie) return count > 0 && d->digit[count - 1] % 2 == 1;
  return d->digit[count] >= 5;
}

void sy_decimal_cut(sy_decimal *d, int count, bool up) {
  if (count < 0) count = 0;
  if (count < d->count) d->count = count;
  if (up) {
    int i = d->count - 1;
    while (i >= 0 && d->digit[i] == 9) i--;
    d->count = i + 1; /* the nines have become zeros */
    if (i >= 0) {
      d->digit[i]++;
      return;
    }
    d->digit[0] = 1; /* 0.999 -> 0.1 x 10 */
    d->count = 1;
    d->point++;
    return;
  }
  sy_decimal_trim(d);
}

void sy_decimal_round(sy_decimal *d, int count) { sy_decimal_cut(d, count, sy_decimal_rounds_up(d, count)); }

uint64_t sy_decimal_to_integer(const sy_decimal *d) {
  if (d->point < 0) return 0;
  uint64_t value = 0;
  for (int i = 0; i < d->point; i++) value = value * 10 + (i < d->count ? d->digit[i] : 0u);
  return value + (sy_decimal_rounds_up(d, d->point) ? 1 : 0);
}
