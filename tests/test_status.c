#include "base/status.h"

#include <float.h>
#include <string.h>

#include "base/alloc.h"
#include "near.h"

static void fail_fills_every_field_and_returns_the_status(void **state) {
  (void)state;
  sy_error err;
  const sy_status status = sy_fail(&err, SY_RANGE, "engine", "mass", "is %g kg, must be >= 0", -96.2);
  assert_int_equal(status, SY_RANGE);
  assert_int_equal(err.status, SY_RANGE);
  assert_string_equal(err.part, "engine");
  assert_string_equal(err.field, "mass");
  assert_string_equal(err.message, "is -96.2 kg, must be >= 0");
}

static void fail_writes_every_format_it_promises(void **state) {
  (void)state;
  sy_error err;
  sy_fail(&err, SY_TYPE, NULL, NULL, "%s %d %d %zu %g%% %g", "text", -2147483647 - 1, 42, SIZE_MAX, 0.1,
          DBL_MAX);
  assert_string_equal(err.message, "text -2147483648 42 18446744073709551615 0.1% 1.7976931348623157e308");
  assert_string_equal(err.part, "");
  assert_string_equal(err.field, "");
}

static void fail_without_an_error_to_fill_still_returns_the_status(void **state) {
  (void)state;
  assert_int_equal(sy_fail(NULL, SY_CLASH, "a", "b", "%s", "c"), SY_CLASH);
}

static void fail_long_texts_end_in_dots_between_characters(void **state) {
  (void)state;
  char name[400];
  memset(name, 'n', sizeof name - 1);
  name[sizeof name - 1] = '\0';
  sy_error err;
  sy_fail(&err, SY_UNKNOWN, name, name, "is %s", name);
  assert_int_equal(strlen(err.part), sizeof err.part - 1);
  assert_string_equal(err.part + sizeof err.part - 1 - 4, "n...");
  assert_string_equal(err.field + sizeof err.field - 1 - 4, "n...");
  assert_string_equal(err.message + sizeof err.message - 1 - 4, "n...");

  /* two-byte letters, starting at an even and at an odd place: one of the two cuts would fall inside a letter, which JSON and
  ** terminals refuse */
  for (size_t start = 0; start < 2; start++) {
    memset(name, 'n', sizeof name - 1);
    for (size_t i = start; i + 2 < sizeof name; i += 2) memcpy(name + i, "\xC3\xA9", 2);
    sy_fail(&err, SY_UNKNOWN, name, "", "%s", "");
    const size_t kept = strlen(err.part) - 3;
    assert_memory_equal(err.part + kept - 2, "\xC3\xA9", 2);
    assert_string_equal(err.part + kept, "...");
  }
}

static void fail_a_text_that_just_fits_is_whole(void **state) {
  (void)state;
  sy_error err;
  char name[sizeof err.field];
  memset(name, 'f', sizeof name - 1);
  name[sizeof name - 1] = '\0';
  sy_fail(&err, SY_RANGE, "", name, "%s", "");
  assert_string_equal(err.field, name);
}

/* The words scripts compare with. */
static void name_and_meaning_of_every_status(void **state) {
  (void)state;
  assert_string_equal(sy_status_name(SY_RANGE), "range");
  assert_string_equal(sy_status_name(SY_GEOMETRY), "geometry");
  assert_string_equal(sy_status_meaning(SY_UNKNOWN), "a name fits nothing");
  assert_string_equal(sy_status_name((sy_status)99), "none");
  assert_string_equal(sy_status_meaning((sy_status)99), "no such status");
}

static void default_allocator_gives_grows_and_takes_back(void **state) {
  (void)state;
  const sy_alloc alloc = sy_alloc_default();
  char *block = sy_alloc_new(&alloc, 16);
  assert_non_null(block);
  memcpy(block, "fifteen letters", 16);
  block = alloc.resize(alloc.user, block, 16, 4096);
  assert_non_null(block);
  assert_string_equal(block, "fifteen letters");
  sy_alloc_free(&alloc, block, 4096);
  sy_alloc_free(&alloc, NULL, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(fail_fills_every_field_and_returns_the_status),
      cmocka_unit_test(fail_writes_every_format_it_promises),
      cmocka_unit_test(fail_without_an_error_to_fill_still_returns_the_status),
      cmocka_unit_test(fail_long_texts_end_in_dots_between_characters),
      cmocka_unit_test(fail_a_text_that_just_fits_is_whole),
      cmocka_unit_test(name_and_meaning_of_every_status),
      cmocka_unit_test(default_allocator_gives_grows_and_takes_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
