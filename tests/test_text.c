#include "base/text.h"

#include <float.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "dice.h"
#include "near.h"

static void assert_shortest(double x, const char *want) {
  char text[SY_TEXT_DOUBLE];
  const size_t length = sy_text_from_double(x, text);
  assert_string_equal(text, want);
  assert_int_equal(length, strlen(want));
}

/* The limits of IEEE 754 binary64 in shortest form, as printed by every correct shortest-digits algorithm; 2^-44 is a power
** of two whose shortest text is not the nearest one of its length: R. Steele, J. White, How to Print Floating-Point Numbers
** Accurately, 1990 (the problem; the digits by exact arithmetic). */
static void from_double_limits_and_hard_cases_are_shortest(void **state) {
  (void)state;
  assert_shortest(5e-324, "5e-324");
  assert_shortest(DBL_MIN, "2.2250738585072014e-308");
  assert_shortest(DBL_MAX, "1.7976931348623157e308");
  assert_shortest(ldexp(1, -44), "5.684341886080802e-14");
  assert_shortest(0.1 + 0.2, "0.30000000000000004");
  assert_shortest(1.0 / 3.0, "0.3333333333333333");
  assert_shortest(9007199254740992.0, "9007199254740992");
}

static void from_double_reads_as_a_person_writes(void **state) {
  (void)state;
  assert_shortest(27.4, "27.4");
  assert_shortest(-1450, "-1450");
  assert_shortest(0.001, "0.001");
  assert_shortest(0.00001, "0.00001");
  assert_shortest(0.0000025, "2.5e-6");
  assert_shortest(1e15, "1000000000000000");
  assert_shortest(1e16, "1e16");
  assert_shortest(1.5e300, "1.5e300");
  assert_shortest(0.0, "0");
  assert_shortest(-0.0, "-0");
  assert_shortest((double)INFINITY, "inf");
  assert_shortest((double)-INFINITY, "-inf");
  assert_shortest((double)NAN, "nan");
}

static void assert_fixed(double x, int decimals, const char *want) {
  char text[SY_TEXT_FIXED];
  assert_int_equal(sy_text_fixed(x, decimals, text), strlen(want));
  assert_string_equal(text, want);
}

/* Exact values: 1.005 is 1.00499999999999989..., 999.995 is 999.99500000000000454..., 1e23 is 99999999999999991611392. */
static void fixed_rounds_the_exact_value_once(void **state) {
  (void)state;
  assert_fixed(1.005, 2, "1.00");
  assert_fixed(999.995, 2, "1000.00");
  assert_fixed(1e23, 0, "99999999999999991611392");
  assert_fixed(0.125, 2, "0.12"); /* ties, to even */
  assert_fixed(0.375, 2, "0.38");
  assert_fixed(2.5, 0, "2");
  assert_fixed(0.5, 0, "0");
  assert_fixed(1.5, 0, "2");
  assert_fixed(-4.6875, 2, "-4.69");
  assert_fixed(0.0625, 6, "0.062500");
  assert_fixed(9.96, 1, "10.0");
}

static void fixed_what_rounds_to_zero_has_no_sign(void **state) {
  (void)state;
  assert_fixed(-0.004, 2, "0.00");
  assert_fixed(-0.0, 1, "0.0");
  assert_fixed(-0.006, 2, "-0.01");
}

static void fixed_keeps_decimals_in_range_and_writes_specials(void **state) {
  (void)state;
  assert_fixed(1.25, -3, "1");
  assert_fixed(0.5, 99, "0.500000000000000000000000000000");
  assert_fixed((double)NAN, 2, "nan");
  assert_fixed((double)-INFINITY, 2, "-inf");
  char text[SY_TEXT_FIXED];
  assert_int_equal(sy_text_fixed(-DBL_MAX, SY_TEXT_DECIMALS, text),
                   SY_TEXT_FIXED - 1 - 2); /* the longest, and room */
}

/* Marsaglia's xorshift64 (Xorshift RNGs, 2003): the same numbers on every machine. */
static uint64_t next_random(uint64_t *s) {
  *s ^= *s << 13;
  *s ^= *s >> 7;
  *s ^= *s << 17;
  return *s;
}

static double random_double(uint64_t *s) {
  const uint64_t bits = next_random(s);
  if (bits % 3 == 0) return (double)(next_random(s) % 2000000000u) / 1000.0 - 1e6; /* workshop numbers */
  if (bits % 7 == 0) return ldexp(1.0, (int)(next_random(s) % 2098) - 1074);       /* powers of two */
  double x;
  memcpy(&x, &bits, sizeof x);
  return isfinite(x) ? x : 1.0;
}

/* Against the C library's strtod and printf, which glibc documents as correctly rounded. */
static void random_doubles_agree_with_the_c_library(void **state) {
  (void)state;
  uint64_t seed = 88172645463325252u;
  for (int i = 0; i < dice_rounds(20000); i++) {
    const double x = random_double(&seed);
    char ours[SY_TEXT_FIXED], theirs[512];
    sy_text_from_double(x, ours);
    const double there = strtod(ours, NULL);
    double back = 0;
    assert_true(sy_text_to_double(ours, strlen(ours), &back));
    if (memcmp(&back, &x, sizeof x) != 0 || memcmp(&there, &x, sizeof x) != 0) fail_msg("%a as %s", x, ours);

    const int decimals = (int)(next_random(&seed) % 8);
    sy_text_fixed(x, decimals, ours);
    snprintf(theirs, sizeof theirs, "%.*f", decimals, x);
    const bool unsigned_zero = theirs[0] == '-' && strspn(theirs + 1, "0.") == strlen(theirs + 1);
    assert_string_equal(ours, theirs + (unsigned_zero ? 1 : 0));

    snprintf(theirs, sizeof theirs, "%.*e", (int)(next_random(&seed) % 30), x);
    const double rounded = strtod(theirs, NULL);
    const bool fits = sy_text_to_double(theirs, strlen(theirs), &back);
    if (fits ? back != rounded : isfinite(rounded)) fail_msg("%s read as %a, want %a", theirs, back, rounded);
  }
}

/* No shorter text reads back: the C library's %.*g with fewer digits does not. */
static void from_double_random_doubles_have_no_shorter_text(void **state) {
  (void)state;
  uint64_t seed = 1234567890123456789u;
  for (int i = 0; i < dice_rounds(5000); i++) {
    const double x = random_double(&seed);
    char ours[SY_TEXT_DOUBLE], theirs[512];
    sy_text_from_double(x, ours);
    size_t digits = strcspn(ours, "e"); /* at most: signs, points and zeros around are taken off below */
    char significant[SY_TEXT_DOUBLE];
    size_t n = 0;
    for (size_t k = 0; k < digits; k++)
      if (ours[k] >= '0' && ours[k] <= '9' && (n > 0 || ours[k] != '0')) significant[n++] = ours[k];
    while (n > 0 && significant[n - 1] == '0') n--;
    if (n < 2) continue;
    snprintf(theirs, sizeof theirs, "%.*g", (int)n - 1, x);
    if (strtod(theirs, NULL) == x) fail_msg("%a as %s, shorter is %s", x, ours, theirs);
  }
}

static void assert_reads(const char *text, double want) {
  double got = -777;
  assert_true(sy_text_to_double(text, strlen(text), &got));
  assert_memory_equal(&got, &want, sizeof want);
}

/* 9007199254740993 = 2^53 + 1 lies half-way between two doubles; 2.2250738585072012e-308 lies just above the midpoint under
** the smallest normal double, a value that has hung careless readers: IEEE 754 round to nearest, ties to even. */
static void to_double_half_ways_go_to_even(void **state) {
  (void)state;
  assert_reads("9007199254740993", 9007199254740992.0);
  assert_reads("9007199254740995", 9007199254740996.0);
  const char half_way[] = "9007199254740993.";
  char digits[1200];
  memset(digits, '0', sizeof digits - 1);
  digits[sizeof digits - 1] = '\0';
  memcpy(digits, half_way, sizeof half_way - 1);
  assert_reads(digits, 9007199254740992.0);
  digits[sizeof digits - 2] = '1'; /* beyond the 800 digits that are kept */
  assert_reads(digits, 9007199254740994.0);
  assert_reads("2.2250738585072012e-308", DBL_MIN);
  assert_reads("2.2250738585072011e-308", DBL_MIN - ldexp(1, -1074));
  assert_reads("2.4703282292062327e-324", 0.0); /* just below half the smallest double */
  assert_reads("2.4703282292062328e-324", ldexp(1, -1074));
}

static void to_double_takes_every_plain_literal(void **state) {
  (void)state;
  assert_reads("12.5", 12.5);
  assert_reads("+12.5e0", 12.5);
  assert_reads("-.5", -0.5);
  assert_reads("5.", 5);
  assert_reads("000123.4500E-02", 1.2345);
  assert_reads("-0", -0.0);
  assert_reads("0e999999999999", 0);
  assert_reads("1e-999999999999", 0);
  assert_reads("0.00000000000000000000000000000000000001e38", 1);
}

/* Zeros in front are no digits: 1000 of them leave all 800 places to what follows. */
static void to_double_zeros_in_front_cost_no_digits(void **state) {
  (void)state;
  char text[1100];
  memset(text, '0', 1002);
  text[1] = '.';
  memcpy(text + 1002, "12345e1000", sizeof "12345e1000");
  assert_reads(text, 0.12345);
  text[1] = '0';
  memcpy(text + 1002, "12345", sizeof "12345");
  assert_reads(text, 12345);
}

static void to_double_anything_else_is_refused_and_leaves_the_output(void **state) {
  (void)state;
  const char *const wrong[] = {
      "",       " 1", "1 ", "12,5", "1.2.3", "0x10", "inf", "nan",   "1e",      "1e+",
      "e5",     ".",  "-",  "+-1",  "1e5.5", "1f",   "1_0", "1e400", "1.8e308", "1e999999999999",
      "-1e9999"};
  for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
    double out = 42.5;
    if (sy_text_to_double(wrong[i], strlen(wrong[i]), &out)) fail_msg("\"%s\" was read as %g", wrong[i], out);
    assert_near(out, 42.5, 0);
  }
  double part = 0;
  assert_true(sy_text_to_double("12,5", 2, &part)); /* only `length` bytes are looked at */
  assert_near(part, 12, 0);
}

/* Both ways under a locale with a decimal comma: the one named in CHECK_LOCALE, or any that the machine has. */
static void both_ways_ignore_the_locale(void **state) {
  (void)state;
  const char *given = getenv("CHECK_LOCALE");
  const char *const with_comma[] = {given != NULL ? given : "de_DE.UTF-8",
                                    "de_DE.utf8",
                                    "fr_FR.UTF-8",
                                    "de_DE",
                                    "nl_NL.UTF-8",
                                    "sv_SE.UTF-8"};
  bool set = false;
  for (size_t i = 0; i < sizeof with_comma / sizeof *with_comma && !set; i++)
    set = setlocale(LC_NUMERIC, with_comma[i]) != NULL;
  if (!set) skip();
  assert_string_equal(localeconv()->decimal_point, ",");
  assert_shortest(27.4, "27.4");
  assert_fixed(27.45, 1, "27.4");
  assert_reads("27.4", 27.4);
  setlocale(LC_NUMERIC, "C");
}

static const char *nearest(const char *word) {
  static const char *const fields[] = {
      "name",        "at",        "track",  "loaded_radius", "tyre_rate", "spring_rate", "motion_ratio",
      "roll_centre", "wheelbase", "length", "gearbox",       "mass",      "made"};
  return sy_text_nearest(word, fields, sizeof fields / sizeof *fields);
}

static void nearest_finds_the_word_that_was_meant(void **state) {
  (void)state;
  assert_string_equal(nearest("lenght"), "length"); /* swapped */
  assert_string_equal(nearest("wheelbse"), "wheelbase");
  assert_string_equal(nearest("trackk"), "track");
  assert_string_equal(nearest("Mass"), "mass");
  assert_string_equal(nearest("nane"), "name");
  assert_string_equal(nearest("spring rate"), "spring_rate");
  assert_string_equal(nearest("roll_center"), "roll_centre");
  assert_string_equal(nearest("gear"), "gearbox");      /* a beginning */
  assert_string_equal(nearest("track_width"), "track"); /* and more than one */
  assert_string_equal(nearest("mase"), "mass");         /* as near as "made", first in the list */
  static const char *const parts[] = {"engine cradle", "engine", "engine mount"};
  assert_string_equal(sy_text_nearest("engin", parts, 3), "engine"); /* one letter before a beginning */
}

static void nearest_does_not_guess(void **state) {
  (void)state;
  assert_null(nearest("engine"));
  assert_null(nearest(""));
  assert_null(nearest("x"));
  assert_null(nearest("be")); /* both its letters would have to change */
  assert_null(sy_text_nearest("mass", NULL, 0));
  char longest[300];
  memset(longest, 'm', sizeof longest - 1);
  longest[sizeof longest - 1] = '\0';
  assert_null(nearest(longest));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(from_double_limits_and_hard_cases_are_shortest),
      cmocka_unit_test(from_double_reads_as_a_person_writes),
      cmocka_unit_test(fixed_rounds_the_exact_value_once),
      cmocka_unit_test(fixed_what_rounds_to_zero_has_no_sign),
      cmocka_unit_test(fixed_keeps_decimals_in_range_and_writes_specials),
      cmocka_unit_test(random_doubles_agree_with_the_c_library),
      cmocka_unit_test(from_double_random_doubles_have_no_shorter_text),
      cmocka_unit_test(to_double_half_ways_go_to_even),
      cmocka_unit_test(to_double_takes_every_plain_literal),
      cmocka_unit_test(to_double_zeros_in_front_cost_no_digits),
      cmocka_unit_test(to_double_anything_else_is_refused_and_leaves_the_output),
      cmocka_unit_test(both_ways_ignore_the_locale),
      cmocka_unit_test(nearest_finds_the_word_that_was_meant),
      cmocka_unit_test(nearest_does_not_guess),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
