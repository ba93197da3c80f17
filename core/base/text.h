/* text.h - numbers as text, the same in every locale, and the nearest right word for a wrong one.
**
** The decimal sign is a point. Nothing here looks at the locale or the rounding mode.
*/
#ifndef SY_BASE_TEXT_H
#define SY_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "api.h"

enum {
  SY_TEXT_DOUBLE = 32,   /* bytes that hold any result of sy_text_from_double, closing zero included */
  SY_TEXT_DECIMALS = 30, /* most decimals sy_text_fixed writes */
  SY_TEXT_FIXED =
      344 /* bytes that hold any result of sy_text_fixed: 309 digits, 30 decimals, "-", ".", zero */
};

/* The shortest text that reads back as the same double; of several that short, the nearest one. Whole numbers have no
** point: "27.4", "5", "-0", "1e16", "2.5e-7", "inf", "-inf", "nan". An exponent stands below 1e-5 and from 1e16 on.
** Returns the length. */
SY_API size_t sy_text_from_double(double x, char buffer[SY_TEXT_DOUBLE]);

/* `x` with a fixed number of decimals (0 to SY_TEXT_DECIMALS; others are brought into that range), rounded once from its
** exact value, ties to even. What rounds to zero has no sign. "inf", "-inf" and "nan" as above. Returns the length. */
SY_API size_t sy_text_fixed(double x, int decimals, char buffer[SY_TEXT_FIXED]);

/* Read a decimal literal: sign?, digits with at most one point among them, exponent?; all `length` bytes, with at least
** one digit, no blanks, no hexadecimal, no names. The nearest double, ties to even, however many digits there are.
** Returns false and leaves `out` alone for anything else and for numbers too large for a double; too small gives 0. */
SY_API bool sy_text_to_double(const char *text, size_t length, double *out);

/* The word of the list that `word` was probably meant to be, or NULL when none is near. Near means: at most a third of
** the word's letters (at least one) left out, added, changed or swapped with their neighbour, or one begins with the
** other. Upper and lower case are alike. The first of equally near words wins. */
SY_API const char *sy_text_nearest(const char *word, const char *const *list, size_t count);

#endif
